//! Where common advice on dampers holds, by the load at which the line parts.
//!
//! The advice (common practice, no published source): a light damper in the middle of
//! the line does little; 5 kg there does more; 5 kg in each of two, one of them hard
//! against the hardware, stop the hardware before it reaches the far vehicle. Each
//! claim is put to the same draws at each load, and nothing is tuned to make one hold.

use super::energies::Energies;
use super::set_up::{Hung, Make, SetUp};
use super::study::Study;
use crate::show::Units;
use crate::units::{Energy, Force};

/// Share of the hardware's energy that a damper may take and still do "little".
pub const LITTLE: f64 = 0.3;
/// Loads of the map, as shares of the strength of the weakest line.
const LOADS: [f64; 7] = [0.03, 0.06, 0.12, 0.25, 0.4, 0.65, 1.0];

/// A set-up that people use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Usual {
    /// No damper.
    None,
    /// 0.5 kg in the middle.
    LightMiddle,
    /// 5 kg in the middle.
    HeavyMiddle,
    /// 5 kg hard against the hardware, 5 kg in the middle.
    Two,
    /// 5 kg hard against the hardware, in the middle, and a sixth of the line short
    /// of the far vehicle.
    Three,
}

impl Usual {
    /// All of them, in the order of the advice.
    pub const ALL: [Self; 5] = [
        Self::None,
        Self::LightMiddle,
        Self::HeavyMiddle,
        Self::Two,
        Self::Three,
    ];

    /// Its words.
    pub fn words(self, units: Units) -> String {
        let (light, heavy) = (units.plain_mass(0.5), units.plain_mass(5.0));
        match self {
            Self::None => "none".into(),
            Self::LightMiddle => format!("{light} in the middle"),
            Self::HeavyMiddle => format!("{heavy} in the middle"),
            Self::Two => format!("{heavy} at the hardware, {heavy} in the middle"),
            Self::Three => {
                format!("{heavy} at the hardware, in the middle, near the far end")
            }
        }
    }

    /// Its dampers.
    pub fn dampers(self) -> Vec<Hung> {
        match self {
            Self::None => vec![],
            Self::LightMiddle => vec![Hung::new(0.5, 0.5)],
            Self::HeavyMiddle => vec![Hung::new(5.0, 0.5)],
            Self::Two => vec![Hung::new(5.0, 0.0), Hung::new(5.0, 0.5)],
            Self::Three => vec![
                Hung::new(5.0, 0.0),
                Hung::new(5.0, 0.5),
                Hung::new(5.0, 5.0 / 6.0),
            ],
        }
    }

    /// Its dampers, made in one way.
    pub fn made(self, make: Make) -> SetUp {
        SetUp::of(self.dampers(), make)
    }
}

/// What the usual set-ups come to at one load.
#[derive(Debug, Clone, PartialEq)]
pub struct AtLoad {
    /// Tension in the line when the link lets go.
    pub tension: Force,
    /// Energy the line could give back then, median.
    pub stored: Energy,
    /// One a usual set-up, in their order.
    pub energies: Vec<Energies>,
    /// Which claims hold; none where the bare line keeps the wish, and there is
    /// nothing to advise on.
    pub claims: Option<Claims>,
}

/// Which claims of the advice hold at one load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Claims {
    /// A light damper in the middle takes less than [`LITTLE`] of the hardware's median
    /// energy.
    pub light_does_little: bool,
    /// Median energy of the hardware falls with each step until it is stopped: none,
    /// light, heavy, two.
    pub in_order: bool,
    /// With two the hardware alone keeps the wish.
    pub two_stop_hardware: bool,
    /// With two nothing that arrives passes the wish, dampers included.
    pub two_stop_all: bool,
}

impl AtLoad {
    /// The usual set-ups under a study's wish.
    pub(super) fn of(study: &mut Study, make: Make) -> Self {
        let bare = study.bare(&Usual::None.made(make));
        let others: Vec<SetUp> = Usual::ALL[1..].iter().map(|u| u.made(make)).collect();
        let mut energies = vec![bare];
        energies.extend(study.energies_of_all(&others));
        let most = study.asked.under * (1.0 / (1.0 + study.allowance(study.effort.segments)));
        Self {
            tension: study.target.tension,
            stored: bare.stored,
            claims: (!bare.meets(study.asked)).then(|| Claims::of(&energies, most)),
            energies,
        }
    }
}

impl Claims {
    /// With dampers no more than `under`, the wish less what finer segments could add.
    fn of(energies: &[Energies], under: Energy) -> Self {
        let [none, light, heavy, two] = core::array::from_fn(|k| energies[k].hardware);
        let median = |s: super::Spread| s.median.get();
        // Both already stopped is in order too.
        let falls = |from: super::Spread, to: super::Spread| {
            median(from) > median(to) || median(from) == 0.0
        };
        Self {
            light_does_little: median(light) > (1.0 - LITTLE) * median(none),
            in_order: falls(none, light) && falls(light, heavy) && falls(heavy, two),
            two_stop_hardware: two.quantile <= under,
            two_stop_all: energies[3].worst.quantile <= under,
        }
    }
}

/// The loads of the map for a line of this strength, with `own` among them.
pub(super) fn loads(weakest: Force, own: Force) -> Vec<Force> {
    let near = |load: &Force| (*load / own - 1.0).abs() < 0.15;
    let mut all: Vec<Force> = LOADS.iter().map(|&share| weakest * share).collect();
    all.retain(|load| !near(load));
    all.push(own);
    all.sort_by(|a, b| a.get().total_cmp(&b.get()));
    all
}
