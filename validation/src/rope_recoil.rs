//! Recoil of ropes of the published data, in the chain at its default
//! resolution: bare, at the strength of the rope, straight, giving back all they
//! hold, over ground and in air, both ends 1 m up.

use steadypull_engine::letgo::{Hardware, LinePart, Outcome, Setup, run};
use steadypull_engine::line::Unloading;
use steadypull_engine::line::rope_data::{HMPE, NYLON, RopeFit};
use steadypull_engine::units::{Duration, Force, Length, Mass};

/// Length of the ropes whose speed and reach are compared.
pub const ROPE_M: f64 = 20.0;
/// The HMPE of the published trial: diameter taken here, and the length of its
/// tail; the bulletin names 22 m of tail, the lengths of HMPE are assumed.
const TRIAL_HMPE_M: f64 = 0.044;
const TAIL_M: f64 = 22.0;
/// HMPE on each side of the break (assumed).
pub const TRIAL_END_M: f64 = 10.0;

fn rope(fit: RopeFit, diameter: Length, length_m: f64, tension: Force) -> LinePart {
    LinePart {
        length: Length::new(length_m),
        mass_per_length: fit.mass(diameter),
        unloading: Unloading {
            strain_max: tension.get() / fit.stiffness(diameter).get(),
            tension_max_n: tension.get(),
            strain_slack: 0.0,
            exponent: 1.0,
        },
        diameter,
        joint_mass: Mass::ZERO,
    }
}

fn let_go(lines: Vec<LinePart>, time_s: f64) -> Option<Outcome> {
    let mut setup = Setup::new(lines, Hardware::default());
    setup.free_height = Length::new(1.0);
    setup.held_height = Length::new(1.0);
    setup.max_time = Duration::new(time_s);
    run(&setup).ok()
}

/// 20 m of rope let go at its strength: speed of its end, m/s, when the front is
/// at the held end, and how far past its holder the end flies after that, in
/// lengths of rope.
pub fn at_strength(fit: RopeFit, diameter: Length) -> (f64, f64) {
    let line = rope(fit, diameter, ROPE_M, fit.strength(diameter));
    let speed =
        let_go(vec![line], crossing_s(fit, diameter)).map_or(f64::NAN, |o| o.launch.speed.get());
    let reach = let_go(vec![line], 1.0).map_or(f64::NAN, |o| o.reach.get() / ROPE_M);
    (speed, reach)
}

/// When the held end of 20 m falls slack, over the time L/c that a front needs.
pub fn front_over_crossing(fit: RopeFit, diameter: Length) -> f64 {
    let line = rope(fit, diameter, ROPE_M, fit.strength(diameter));
    let crossing_s = crossing_s(fit, diameter);
    let_go(vec![line], 2.0 * crossing_s)
        .and_then(|o| o.slack_at_held)
        .map_or(f64::NAN, |t| t.get() / crossing_s)
}

/// L/c of 20 m, s.
fn crossing_s(fit: RopeFit, diameter: Length) -> f64 {
    ROPE_M / (fit.stiffness(diameter).get() / fit.mass(diameter).get()).sqrt()
}

/// What an end of the trial did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// Farthest from the break, m.
    pub flown_m: f64,
    /// Mean speed over the first 15 m, m/s; nothing if it never got there.
    pub over_15_m_m_s: f64,
    /// Energy the line held, J.
    pub stored_j: f64,
}

impl End {
    fn of(outcome: Option<Outcome>) -> Self {
        let Some(o) = outcome else {
            return Self {
                flown_m: f64::NAN,
                over_15_m_m_s: f64::NAN,
                stored_j: f64::NAN,
            };
        };
        let past = o.path.iter().find(|p| p.place_m[0] >= 15.0);
        Self {
            flown_m: o.path.iter().map(|p| p.place_m[0]).fold(0.0, f64::max),
            over_15_m_m_s: past.map_or(0.0, |p| p.place_m[0] / p.time.get()),
            stored_j: o.stored.get(),
        }
    }
}

/// The published trial at a share of the rope's strength, followed for `time_s`:
/// the end of HMPE that hangs on the elastic tail, or the one that does not.
pub fn trial(share: f64, with_tail: bool, time_s: f64) -> End {
    let thickness = Length::new(TRIAL_HMPE_M);
    let pull = share * HMPE.strength(thickness);
    let mut lines = vec![rope(HMPE, thickness, TRIAL_END_M, pull)];
    if with_tail {
        lines.insert(0, rope(NYLON, as_strong_as_hmpe(thickness), TAIL_M, pull));
    }
    End::of(let_go(lines, time_s))
}

/// Diameter of nylon rope as strong as HMPE of that diameter, by halving.
pub fn as_strong_as_hmpe(diameter: Length) -> Length {
    let wanted = HMPE.strength(diameter).get();
    let (mut low, mut high) = (0.01, 0.2);
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        if NYLON.strength(Length::new(mid)).get() < wanted {
            low = mid
        } else {
            high = mid
        }
    }
    Length::new(high)
}
