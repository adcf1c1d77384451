//! Paying out: hand force, line, time and heat at the holder.
//!
//! Turns round a post: `T_hand = T exp(−mu w)`, `w = 2 pi turns` (Euler–Eytelwein,
//! CV-CAP-01); a hand that holds `H` holds `H exp(mu w)`. Few turns more change
//! much, and so does a little less friction (wet, ice, a polished drum): the hand
//! force is shown with its range, `mu` log-normal.
//!
//! Heat: the work of the line at the holder, `∫ T ds`. Round a post it all goes into
//! `heat_mass` of it, none away (an upper bound for a quick lowering, no bound for
//! the skin of the line): steel 490, wood 1700 J/(kg K) (handbook values, from
//! memory). A winch's brake is set against what the winch standard asks of it:
//! rated pull lowered 50 ft (SAE J706 in a third-party summary, CV-J706-01).

use super::holding::{Holding, Range, SAMPLES};
use crate::chance::{Column, normal_quantile};
use crate::line::Material;
use crate::plan::{Holder, Line, Lowering, Turns, Winch};
use crate::units::{Angle, Duration, Energy, Force, Length, Speed};

/// Stream of the friction round a post, and of the tension against it.
const FRICTION_STREAM: u64 = 312;
const TENSION_STREAM: u64 = 313;
/// Specific heat of steel and of wood, J/(kg K) (handbook values, from memory).
const STEEL_J_KG_K: f64 = 490.0;
const WOOD_J_KG_K: f64 = 1700.0;
/// Temperature of the day, deg C (assumed).
const DAY_C: f64 = 25.0;
/// Turns left on a drum (common practice: at least five).
pub const SAFE_WRAPS: f64 = 5.0;
/// Fall of the winch standard's lowering test.
pub const BRAKE_TEST: Length = Length::from_ft(50.0);

/// Paying out, all the way down.
#[derive(Debug, Clone, PartialEq)]
pub struct PayOut {
    /// Line between anchor and vehicle at the start.
    pub out_at_start: Length,
    /// The most line out.
    pub out_greatest: Length,
    /// Line needed in all: the most out, round the holder, and the tail.
    pub needed: Length,
    /// Line there is.
    pub there_is: Length,
    /// Speed taken: that wanted, or the winch's if it is slower.
    pub speed: Speed,
    /// Time to the end.
    pub time: Duration,
    /// Greatest force of the tending hand, for turns.
    pub hand: Option<Range>,
    /// Tension that the turns hold with the hand at its limit.
    pub turns_hold: Option<Range>,
    /// Whole and half turns that keep the hand within its limit at the design
    /// quantile.
    pub turns_needed: Option<f64>,
    /// Heat at the holder.
    pub heat: Energy,
    /// Heat that a winch's brake was tested with.
    pub brake_test: Option<Energy>,
    /// Temperature that the post reaches at the most, deg C.
    pub hottest_c: Option<f64>,
    /// Temperature that the line stands, deg C.
    pub line_stands_c: f64,
}

impl PayOut {
    /// Line left over; less than nothing if it is too short.
    pub fn left(&self) -> Length {
        self.there_is - self.needed
    }

    /// Whether the holder gets hotter than it or the line should.
    pub fn overheats(&self) -> bool {
        let brake = self.brake_test.is_some_and(|test| self.heat > test);
        brake || self.hottest_c.is_some_and(|t| t > self.line_stands_c)
    }
}

/// Highest temperature at which a line keeps its strength, deg C: fibre HMPE 65,
/// other fibre 100 (EN 1492 range), wire rope with a fibre core 100 (EN 13414),
/// chain 200 (EN 818); all from memory, see the maker.
pub fn line_stands_c(material: Material) -> f64 {
    match material {
        Material::Hmpe => 65.0,
        Material::Chain => 200.0,
        _ => 100.0,
    }
}

/// Paying out `line` as the lowering says.
pub fn pay_out(
    lowering: &Lowering,
    holding: &Holding,
    line: &Line,
    winch: Option<&Winch>,
    (seed, design_quantile): (u64, f64),
) -> PayOut {
    let lengths = || holding.stations.iter().map(|s| s.line.length_m);
    let start = lengths().next().unwrap_or_default();
    let greatest = lengths().fold(0.0, f64::max);
    let turns = match lowering.main.holder {
        Holder::Turns(turns) => Some(turns),
        Holder::Winch => None,
    };
    let held_back = match (turns, winch) {
        (Some(turns), _) => turns.turns * core::f64::consts::PI * turns.diameter.get(),
        (None, Some(winch)) => {
            let rope = line.material.diameter(line.mass_per_length);
            SAFE_WRAPS * core::f64::consts::PI * (winch.drum_diameter + rope).get()
        }
        (None, None) => 0.0,
    };
    let speed = winch
        .filter(|_| turns.is_none())
        .map_or(lowering.speed, |w| w.line_speed.min(lowering.speed));
    let way = (lowering.to - lowering.from).get();
    let heat = heat(holding);
    let peak = holding.peak().at_holder;
    PayOut {
        out_at_start: Length::new(start),
        out_greatest: Length::new(greatest),
        needed: Length::new(greatest + held_back) + lowering.main.tail,
        there_is: line.length,
        speed,
        time: Duration::new(way / speed.get()),
        hand: turns.map(|t| hand_force(&t, peak, seed, design_quantile)),
        turns_hold: turns.map(|t| turns_hold(&t, seed, design_quantile)),
        turns_needed: turns.map(|t| turns_needed(&t, peak.design, design_quantile)),
        heat,
        brake_test: winch
            .filter(|_| turns.is_none())
            .map(|w| Energy::new(w.rated_pull.get() * BRAKE_TEST.get())),
        hottest_c: turns.map(|t| DAY_C + temperature_rise(&t, heat)),
        line_stands_c: line_stands_c(line.material),
    }
}

/// Work of the line at the holder, median force.
fn heat(holding: &Holding) -> Energy {
    let pieces = holding.stations.windows(2).map(|pair| {
        let out = pair[1].line.length_m - pair[0].line.length_m;
        let mean = 0.5 * (pair[0].at_holder.median.get() + pair[1].at_holder.median.get());
        mean * out.max(0.0)
    });
    Energy::new(pieces.sum())
}

fn temperature_rise(turns: &Turns, heat: Energy) -> f64 {
    let specific = if turns.round.is_wood() {
        WOOD_J_KG_K
    } else {
        STEEL_J_KG_K
    };
    heat.get() / (turns.heat_mass.get() * specific)
}

/// Bend of the line round what it is turned round.
pub fn wrap(turns: &Turns) -> Angle {
    Angle::from_deg(360.0 * turns.turns)
}

/// Force at the hand with `tension` on the other side, friction `mu`.
pub fn hand_at(turns: &Turns, tension: Force, mu: f64) -> Force {
    tension / crate::gear::block::capstan_ratio(mu, wrap(turns))
}

fn hand_force(turns: &Turns, tension: Range, seed: u64, design: f64) -> Range {
    let friction = Column::new(seed, FRICTION_STREAM, SAMPLES);
    let load = Column::new(seed, TENSION_STREAM, SAMPLES);
    let spread =
        libm::log(tension.high / tension.median.max(Force::new(1e-9))) / normal_quantile(0.95);
    let mut values: Vec<f64> = (0..SAMPLES)
        .map(|i| {
            let mu = turns.friction * libm::exp(turns.friction_spread * friction.normal(i));
            let pull = tension.median * libm::exp(spread.max(0.0) * load.normal(i));
            hand_at(turns, pull, mu).get()
        })
        .collect();
    Range::of(&mut values, design)
}

fn turns_hold(turns: &Turns, seed: u64, design: f64) -> Range {
    let friction = Column::new(seed, FRICTION_STREAM, SAMPLES);
    let mut values: Vec<f64> = (0..SAMPLES)
        .map(|i| {
            let mu = turns.friction * libm::exp(turns.friction_spread * friction.normal(i));
            (turns.hand_limit * crate::gear::block::capstan_ratio(mu, wrap(turns))).get()
        })
        .collect();
    Range::of(&mut values, 1.0 - design)
}

/// Turns, in halves, with the friction at its low quantile.
fn turns_needed(turns: &Turns, tension: Force, design: f64) -> f64 {
    let mu = turns.friction * libm::exp(turns.friction_spread * normal_quantile(1.0 - design));
    let ratio = (tension / turns.hand_limit).max(1.0);
    let exact = libm::log(ratio) / (mu * 2.0 * core::f64::consts::PI);
    0.5 * libm::ceil(2.0 * exact)
}
