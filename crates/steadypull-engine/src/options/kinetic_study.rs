//! A kinetic pull studied whole: window, design pull, repeats, chances.

use crate::chance::Column;
use crate::line::Path;
use crate::plan::Plan;
use crate::pull::kinetic::{Drive, Outcome, PullError, Setup};
use crate::pull::run_up_window::{Against, Limits, Window, pull_against, run_up_window};
use crate::rig::loads::strength;
use crate::rig::{LoadPath, allowed_tension};
use crate::situation::tug_ability::{drive_limit, grip_force};
use crate::situation::{Resistance, resistance::SUCTION_LENGTH_M};
use crate::units::{Duration, Force, G, Length, Speed};

/// A kinetic pull has worked when it moves the casualty this far: it is freed in
/// a row of gentle pulls, not in one (common practice).
pub const SHIFT: Length = Length::new(1.0);
/// Pulls behind the chances.
const CHANCE_SAMPLES: usize = 96;
/// Pulls in a row with the same line.
const REPEATS: usize = 3;
/// Stream of the line's energy return.
const RETURN_STREAM: u64 = 200;

/// One of a row of pulls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeat {
    /// Peak tension.
    pub peak: Force,
    /// Movement in this pull.
    pub movement: Length,
    /// Length not taken back before it.
    pub set: Length,
}

/// Chances at the run-up speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chances {
    /// That it moves as far as asked.
    pub shifts: f64,
    /// That a link passes its working load limit.
    pub passes_wll: f64,
    /// That a link lets go.
    pub parts: f64,
    /// Samples behind these.
    pub samples: usize,
}

/// A kinetic pull studied whole.
#[derive(Debug, Clone, PartialEq)]
pub struct KineticStudy {
    /// The rig.
    pub path: LoadPath,
    /// Run-up speed taken.
    pub speed: Speed,
    /// Whether the plan gave it.
    pub planned: bool,
    /// The run-up window.
    pub window: Window,
    /// The pull against the design resistance.
    pub design: Outcome,
    /// The pull against a casualty that does not move.
    pub fixed: Outcome,
    /// Pulls in a row.
    pub repeats: Vec<Repeat>,
    /// Chances.
    pub chances: Chances,
}

/// Studies the kinetic pull of `path` against `resistance`.
pub fn kinetic_study(
    plan: &Plan,
    path: LoadPath,
    resistance: &Resistance,
) -> Result<KineticStudy, PullError> {
    let base = setup(plan, &path)?;
    let against = |p: f64| {
        let (slide, suction) = resistance.design(p);
        Against {
            slide,
            extra: suction * resistance.fast_suction,
            fixed: resistance.fixed_end,
        }
    };
    let (wanted, design) = (
        against(plan.policy.shift_probability),
        against(plan.policy.design_quantile),
    );
    let limits = limits(plan, &path);
    let shift = plan.casualty.free_after.min(SHIFT);
    let window = run_up_window(&base, wanted, design, shift, &limits)?;
    let stated = plan
        .rig
        .as_ref()
        .filter(|_| !path.proposed)
        .and_then(|r| r.run_up_speed);
    let speed = stated
        .or(window.planned())
        .or(window.greatest)
        .unwrap_or(plan.policy.max_run_up);
    let pull = pull_against(&base, speed, design)?;
    let fixed = pull_against(
        &base,
        speed,
        Against {
            fixed: true,
            ..design
        },
    )?;
    Ok(KineticStudy {
        repeats: repeats(&base, speed, wanted)?,
        chances: chances(plan, &path, &base, speed, resistance)?,
        design: pull,
        fixed,
        window,
        speed,
        planned: stated.is_some(),
        path,
    })
}

/// The pull before speed and resistance are known.
fn setup(plan: &Plan, path: &LoadPath) -> Result<Setup, PullError> {
    let tug = &plan.tug;
    let law = path
        .law()
        .map_err(|_| PullError::NotPositive("the line's length"))?;
    let weight = tug.vehicle.mass.weight();
    let seen = path
        .lines
        .iter()
        .map(|l| l.condition.strain_seen)
        .fold(0.0, f64::max);
    Ok(Setup {
        tug_mass: tug.vehicle.mass,
        casualty_mass: Some(plan.casualty.vehicle.mass),
        length: path.line_length(),
        path: Path::new(law, seen),
        run_up_speed: Speed::ZERO,
        slack: Length::ZERO,
        drive: Drive {
            greatest: grip_force(tug, tug.grip).min(drive_limit(tug)),
            power: tug.power,
            held: tug.holds_drive,
        },
        tug_grade: weight * tug.slope_along.sin(),
        tug_rolling: weight * (tug.rolling * tug.slope_along.cos()),
        slide: Force::ZERO,
        break_extra: Force::ZERO,
        break_length: Length::new(SUCTION_LENGTH_M),
        viscous_n_s_per_m: 0.0,
        parts_at: None,
        duration: Duration::new(4.0),
    })
}

fn limits(plan: &Plan, path: &LoadPath) -> Limits {
    Limits {
        links: path
            .links
            .iter()
            .map(|l| {
                (
                    l.name.clone(),
                    allowed_tension(l, path.method, &plan.policy),
                )
            })
            .collect(),
        deceleration_m_s2: plan.policy.max_occupant_g * G,
        speed: plan.policy.max_run_up,
    }
}

fn repeats(base: &Setup, speed: Speed, against: Against) -> Result<Vec<Repeat>, PullError> {
    let mut setup = base.clone();
    let mut found = Vec::new();
    for _ in 0..REPEATS {
        let set = setup.length * setup.path.strain_slack();
        let outcome = pull_against(&setup, speed, against)?;
        found.push(Repeat {
            peak: outcome.peak_force,
            movement: outcome.movement,
            set,
        });
        setup.path = outcome.path;
    }
    Ok(found)
}

fn chances(
    plan: &Plan,
    path: &LoadPath,
    base: &Setup,
    speed: Speed,
    resistance: &Resistance,
) -> Result<Chances, PullError> {
    let returns = Column::new(plan.seed, RETURN_STREAM, CHANCE_SAMPLES);
    let range = path.lines.first().map_or((0.7, 0.7, 0.7), |l| {
        let preset = l.material.preset().energy_return;
        (
            preset.0.min(l.curve.energy_return),
            l.curve.energy_return,
            preset.2.max(l.curve.energy_return),
        )
    });
    let stride = resistance.slide_samples().len() / CHANCE_SAMPLES;
    let (mut shifts, mut passes, mut parts) = (0.0, 0.0, 0.0);
    for i in 0..CHANCE_SAMPLES {
        let at = i * stride;
        let mut setup = base.clone();
        let back = range.0 + (range.2 - range.0) * returns.level(i);
        setup.path = Path::new(
            base.path.law().with_energy_return(back),
            base.path.strain_max(),
        );
        let against = Against {
            slide: Force::new(resistance.slide_samples()[at]),
            extra: Force::new(resistance.suction_samples()[at] * resistance.fast_suction),
            fixed: resistance.fixed_end,
        };
        let outcome = pull_against(&setup, speed, against)?;
        shifts += f64::from(outcome.movement >= plan.casualty.free_after.min(SHIFT));
        passes += f64::from(path.links.iter().any(|link| {
            link.derated_wll()
                .is_some_and(|wll| outcome.peak_force * link.load_share > wll)
        }));
        let all_hold: f64 = path
            .links
            .iter()
            .filter_map(|link| {
                let load = outcome.peak_force * link.load_share;
                strength(link).map(|s| 1.0 - s.probability_below(load.get()))
            })
            .product();
        parts += 1.0 - all_hold;
    }
    let n = CHANCE_SAMPLES as f64;
    Ok(Chances {
        shifts: shifts / n,
        passes_wll: passes / n,
        parts: parts / n,
        samples: CHANCE_SAMPLES,
    })
}
