//! What differs from one kinetic pull to the next.
//!
//! One draw is one pull that could happen: the same draw is made at every run-up
//! speed (common random numbers), so that chances at two speeds differ by the speed
//! alone. Inputs are independent.
//!
//! | input | how it varies |
//! |---|---|
//! | each term of the resistance | as the situation says |
//! | grip of the tug | as the plan says |
//! | energy return of the line | evenly over its material's range |
//! | stretch of the line | log-normal, 10 % (assumed: the 16 to 22 % of common practice, TF-02, is 90 % of it) |
//! | run-up speed as driven | bell curve about the speed planned, 10 %, never over 30 % off (assumed: 2 km/h either way at 12 km/h, nine times in ten) |
//! | slack as laid out | evenly 25 % either way (assumed); the tug gains speed over all of it, so speed goes with its square root |
//! | masses of both vehicles | log-normal, 5 % (assumed, for a mass from plate and load) |
//!
//! A range or distribution that the plan gives for one of these takes its place. The
//! strength of parts is not drawn but reckoned with whole, as a distribution, for
//! each peak.

use super::kinetic_study::SHIFT;
use crate::chance::{Distribution, LogNormal, REPLICATES, Sampler};
use crate::line::Path;
use crate::plan::{Line, Plan, Spread};
use crate::pull::kinetic::{PullError, Setup};
use crate::rig::LoadPath;
use crate::situation::tug_ability::{drive_limit, grip_force};
use crate::situation::{Resistance, TermKind};
use crate::units::{Force, Length, Mass, Speed};

/// Pulls at each speed, in [`REPLICATES`] repeats.
pub const PULLS: usize = 128;
/// Stretch of the line, 1-sigma of the logarithm.
const STRETCH_SPREAD: f64 = 0.1;
/// Run-up speed as driven over the one planned: 1-sigma, and the most either way.
const DRIVEN_SPREAD: f64 = 0.1;
const DRIVEN_MOST: f64 = 0.3;
/// Slack as laid out over that planned, either way.
const SLACK_MOST: f64 = 0.25;
/// Mass of a vehicle, 1-sigma of the logarithm.
const MASS_SPREAD: f64 = 0.05;
/// Inputs after the terms of the resistance.
const GRIP: usize = TermKind::COUNT;
const RETURN: usize = GRIP + 1;
const STRETCH: usize = GRIP + 2;
const DRIVEN: usize = GRIP + 3;
const SLACK: usize = GRIP + 4;
const TUG_MASS: usize = GRIP + 5;
const CASUALTY_MASS: usize = GRIP + 6;
const INPUTS: usize = GRIP + 7;

/// Setups that differ as pulls do.
#[derive(Debug, Clone)]
pub(super) struct PullDraws {
    /// One a draw, at rest.
    setups: Vec<Setup>,
    /// Speed as driven over the one planned.
    driven: Vec<f64>,
}

impl PullDraws {
    /// Draws of the pull `base` of `path` against `resistance`.
    pub(super) fn new(
        plan: &Plan,
        path: &LoadPath,
        base: &Setup,
        resistance: &Resistance,
    ) -> Result<Self, PullError> {
        let sampler = Sampler::sobol(plan.seed, INPUTS, REPLICATES).map_err(PullError::Draws)?;
        let spreads = Spreads::of(plan, path);
        let mut draws = Self {
            setups: Vec::with_capacity(PULLS),
            driven: Vec::with_capacity(PULLS),
        };
        for i in 0..PULLS {
            let level = |input| sampler.level(i as u64, input);
            // The tug gains speed evenly over the slack: v² grows with it.
            let slack = spreads.slack.as_ref().map_or(1.0, |s| s.at(level(SLACK)));
            draws
                .driven
                .push(spreads.driven.at(level(DRIVEN)) * slack.sqrt());
            let mut setup = base.clone();
            setup.length =
                base.length * LogNormal::new(1.0, STRETCH_SPREAD).quantile(level(STRETCH));
            setup.path = Path::new(
                base.path
                    .law()
                    .with_energy_return(spreads.returns.quantile(level(RETURN))),
                base.path.strain_max(),
            );
            let grip = spreads.grip.quantile(level(GRIP));
            weigh_tug(
                &mut setup,
                plan,
                base,
                spreads.tug_mass.at(level(TUG_MASS)),
                grip,
            );
            let casualty = spreads.casualty_mass.at(level(CASUALTY_MASS));
            resist(&mut setup, resistance, casualty, |kind| {
                level(kind as usize)
            });
            draws.setups.push(setup);
        }
        Ok(draws)
    }

    /// The pull numbered `i`, with a run-up planned at `speed`.
    pub(super) fn setup(&self, i: usize, speed: Speed) -> Setup {
        let mut setup = self.setups[i].clone();
        setup.run_up_speed = speed * self.driven[i];
        setup
    }
}

/// How far a kinetic pull has to move the casualty to have worked.
pub(super) fn asked_movement(plan: &Plan) -> Length {
    plan.casualty.free_after.min(SHIFT)
}

/// How the inputs vary that are not terms of the resistance.
struct Spreads {
    grip: Distribution,
    returns: Distribution,
    driven: Share,
    /// None where no slack is planned.
    slack: Option<Share>,
    tug_mass: Share,
    casualty_mass: Share,
}

impl Spreads {
    fn of(plan: &Plan, path: &LoadPath) -> Self {
        let given = |key: &str| plan.spreads.iter().find(|s| s.key == key);
        let share = |key, own| Share::of(given(key), own);
        let mass = Distribution::LogNormal(LogNormal::new(1.0, MASS_SPREAD));
        let driven = Distribution::NormalWithin {
            mean: 1.0,
            sd: DRIVEN_SPREAD,
            low: 1.0 - DRIVEN_MOST,
            high: 1.0 + DRIVEN_MOST,
        };
        let slack = Distribution::Uniform {
            low: 1.0 - SLACK_MOST,
            high: 1.0 + SLACK_MOST,
        };
        let grip = LogNormal::new(plan.tug.grip, plan.tug.grip_spread);
        let own_rig = plan.rig.as_ref().filter(|_| !path.proposed);
        Self {
            grip: given("tug.grip").map_or(Distribution::LogNormal(grip), |s| s.distribution),
            returns: path
                .leading_line()
                .map_or(Distribution::Fixed(0.7), |line| {
                    let key = format!("line.{}.energy_return", line.name);
                    given(&key).map_or_else(|| return_range(line), |s| s.distribution)
                }),
            driven: share("rig.run_up_speed", driven),
            slack: own_rig
                .filter(|rig| rig.slack.get() > 0.0)
                .map(|_| share("rig.slack", slack)),
            tug_mass: share("tug.mass", mass),
            casualty_mass: share("casualty.mass", mass),
        }
    }
}

/// Energy return over its material's range, its own within.
fn return_range(line: &Line) -> Distribution {
    let preset = line.material.preset().energy_return;
    let own = line.curve.energy_return;
    let (low, high) = (preset.0.min(own), preset.2.max(own));
    if low < high {
        Distribution::Uniform { low, high }
    } else {
        Distribution::Fixed(own)
    }
}

/// What a quantity may be over what it is planned or stated to be.
struct Share {
    distribution: Distribution,
    over: f64,
}

impl Share {
    /// Of a stated spread over its middle, else the project's own.
    fn of(stated: Option<&Spread>, own: Distribution) -> Self {
        match stated.filter(|s| s.middle > 0.0) {
            Some(spread) => Self {
                distribution: spread.distribution,
                over: spread.middle,
            },
            None => Self {
                distribution: own,
                over: 1.0,
            },
        }
    }

    /// At a level; never nothing, which no mass and no speed is.
    fn at(&self, level: f64) -> f64 {
        (self.distribution.quantile(level) / self.over).max(0.01)
    }
}

fn weigh_tug(setup: &mut Setup, plan: &Plan, base: &Setup, share: f64, grip: f64) {
    let tug = &plan.tug;
    setup.tug_mass = Mass::new(base.tug_mass.get() * share);
    setup.tug_grade = base.tug_grade * share;
    setup.tug_rolling = base.tug_rolling * share;
    setup.drive.greatest = (grip_force(tug, grip) * share).min(drive_limit(tug));
}

fn resist(setup: &mut Setup, resistance: &Resistance, share: f64, level: impl Fn(TermKind) -> f64) {
    let (slide, suction) = resistance.drawn(share, level);
    setup.slide = Force::new(slide);
    setup.break_extra = Force::new(suction * resistance.fast_suction);
    setup.casualty_mass = if resistance.fixed_end {
        None
    } else {
        setup.casualty_mass.map(|m| Mass::new(m.get() * share))
    };
}
