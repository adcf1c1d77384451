//! What differs from one kinetic pull to the next.
//!
//! One draw is one pull that could happen: the same draw is made at every run-up
//! speed (common random numbers), so that chances at two speeds differ by the speed
//! alone. Inputs are independent, but for the numbers of a line measured in tests, which are
//! drawn together where its file says how they go together.
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
use crate::chance::{Distribution, Joined, LogNormal, REPLICATES, Sampler};
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
            let levels = spreads.levels(&sampler, i as u64);
            let level = |input: usize| levels[input];
            // The tug gains speed evenly over the slack: v² grows with it.
            let slack = spreads.slack.as_ref().map_or(1.0, |s| s.at(level(SLACK)));
            draws
                .driven
                .push(spreads.driven.at(level(DRIVEN)) * slack.sqrt());
            let mut setup = base.clone();
            setup.length = base.length * spreads.stretch.at(level(STRETCH));
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
    stretch: Share,
    driven: Share,
    /// None where no slack is planned.
    slack: Option<Share>,
    tug_mass: Share,
    casualty_mass: Share,
    /// Inputs that are drawn together.
    joined: Vec<Joined>,
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
        let line = path.leading_line();
        let of_line = |word: &str| given(&format!("line.{}.{word}", line?.name));
        let stretch = Distribution::LogNormal(LogNormal::new(1.0, STRETCH_SPREAD));
        let stated = [
            (of_line("stretch"), STRETCH),
            (of_line("energy_return"), RETURN),
        ];
        let place = |key: &str| {
            let found = stated.iter().find(|(s, _)| s.is_some_and(|s| s.key == key));
            found.map(|(_, input)| *input)
        };
        let own_rig = plan.rig.as_ref().filter(|_| !path.proposed);
        Self {
            grip: given("tug.grip").map_or(Distribution::LogNormal(grip), |s| s.distribution),
            returns: match (of_line("energy_return"), line) {
                (Some(stated), _) => stated.distribution,
                (None, Some(line)) => return_range(line),
                (None, None) => Distribution::Fixed(0.7),
            },
            stretch: Share::of(of_line("stretch"), stretch),
            driven: share("rig.run_up_speed", driven),
            slack: own_rig
                .filter(|rig| rig.slack.get() > 0.0)
                .map(|_| share("rig.slack", slack)),
            tug_mass: share("tug.mass", mass),
            casualty_mass: share("casualty.mass", mass),
            joined: plan
                .together()
                .filter_map(|set| set.joined(place))
                .collect(),
        }
    }

    /// The level of every input in draw `i`.
    fn levels(&self, sampler: &Sampler, i: u64) -> Vec<f64> {
        let mut levels: Vec<f64> = (0..INPUTS).map(|input| sampler.level(i, input)).collect();
        for set in &self.joined {
            set.join(&mut levels);
        }
        levels
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::{Copula, normal_quantile};

    /// Stretch and energy return go together, every other input keeps its very level.
    #[test]
    fn what_goes_together_is_drawn_together() {
        let one = || Share::of(None, Distribution::Fixed(1.0));
        let spreads = |joined| Spreads {
            grip: Distribution::Fixed(0.5),
            returns: Distribution::Fixed(0.7),
            stretch: one(),
            driven: one(),
            slack: None,
            tug_mass: one(),
            casualty_mass: one(),
            joined,
        };
        let together = Joined {
            places: vec![STRETCH, RETURN],
            copula: Copula::new(2, |_, _| -0.6).unwrap(),
        };
        let sampler = Sampler::sobol(3, INPUTS, REPLICATES).unwrap();
        let (apart, together) = (spreads(Vec::new()), spreads(vec![together]));
        let mut product = 0.0;
        for i in 0..PULLS as u64 {
            let (own, joined) = (apart.levels(&sampler, i), together.levels(&sampler, i));
            let moved = (0..INPUTS).filter(|input| own[*input] != joined[*input]);
            assert_eq!(moved.collect::<Vec<_>>(), [RETURN]);
            product += normal_quantile(joined[STRETCH]) * normal_quantile(joined[RETURN]);
        }
        // Three standard errors of the mean product of so many plain pairs, √((1 + r²)/n).
        let error = 3.0 * (1.36 / PULLS as f64).sqrt();
        let found = product / PULLS as f64;
        assert!((found + 0.6).abs() < error, "{found} +/- {error}");
    }
}
