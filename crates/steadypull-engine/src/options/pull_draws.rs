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
//! | run-up speed as driven | log-normal about the speed planned, 10 % (assumed: 2 km/h either way at 12 km/h, nine times in ten) |
//! | masses of both vehicles | log-normal, 5 % (assumed, for a mass from plate and load; ±10 % is 95 % of it) |
//!
//! Slack is not drawn: the run-up speed is that at which the line comes taut, and
//! what slack does to it is in the speed as driven. The strength of parts is not
//! drawn either but reckoned with whole, as a distribution, for each peak.

use super::kinetic_study::SHIFT;
use crate::chance::{LogNormal, REPLICATES, Sampler};
use crate::line::Path;
use crate::plan::Plan;
use crate::pull::kinetic::{PullError, Setup};
use crate::rig::LoadPath;
use crate::situation::tug_ability::{drive_limit, grip_force};
use crate::situation::{Resistance, TermKind};
use crate::units::{Force, Length, Mass, Speed};

/// Pulls at each speed, in [`REPLICATES`] repeats.
pub const PULLS: usize = 64;
/// Stretch of the line, 1-sigma of the logarithm.
const STRETCH_SPREAD: f64 = 0.1;
/// Run-up speed as driven over the one planned, 1-sigma of the logarithm.
const DRIVEN_SPREAD: f64 = 0.1;
/// Mass of a vehicle, 1-sigma of the logarithm.
const MASS_SPREAD: f64 = 0.05;
/// Inputs after the terms of the resistance.
const GRIP: usize = TermKind::COUNT;
const RETURN: usize = GRIP + 1;
const STRETCH: usize = GRIP + 2;
const DRIVEN: usize = GRIP + 3;
const TUG_MASS: usize = GRIP + 4;
const CASUALTY_MASS: usize = GRIP + 5;
const INPUTS: usize = GRIP + 6;

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
        let mut draws = Self {
            setups: Vec::with_capacity(PULLS),
            driven: Vec::with_capacity(PULLS),
        };
        for i in 0..PULLS {
            let level = |input| sampler.level(i as u64, input);
            let about = |input, spread| LogNormal::new(1.0, spread).quantile(level(input));
            draws.driven.push(about(DRIVEN, DRIVEN_SPREAD));
            let masses = (
                about(TUG_MASS, MASS_SPREAD),
                about(CASUALTY_MASS, MASS_SPREAD),
            );
            let mut setup = base.clone();
            setup.length = base.length * about(STRETCH, STRETCH_SPREAD);
            setup.path = with_return(base, path, level(RETURN));
            let grip = LogNormal::new(plan.tug.grip, plan.tug.grip_spread).quantile(level(GRIP));
            weigh_tug(&mut setup, plan, base, masses.0, grip);
            resist(&mut setup, resistance, masses.1, |kind| {
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

/// The line with its energy return at `level` of the range.
fn with_return(base: &Setup, path: &LoadPath, level: f64) -> Path {
    let range = path.lines.first().map_or((0.7, 0.7), |line| {
        let preset = line.material.preset().energy_return;
        let own = line.curve.energy_return;
        (preset.0.min(own), preset.2.max(own))
    });
    let back = range.0 + (range.1 - range.0) * level;
    Path::new(
        base.path.law().with_energy_return(back),
        base.path.strain_max(),
    )
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
