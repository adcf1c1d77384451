//! A kinetic pull studied whole: chances against run-up speed, the window, the
//! design pull, repeats.

use super::pull_chances::PullChances;
use super::pull_draws::{PULLS, PullDraws, asked_movement};
use super::window::Window;
use crate::line::Path;
use crate::plan::Plan;
use crate::pull::kinetic::{Drive, Outcome, PullError, Setup};
use crate::pull::many::{Marks, Pulls};
use crate::pull::run_up_window::{Against, Limits, Point, curve, design_limit, pull_against};
use crate::rig::{LoadPath, allowed_tension};
use crate::situation::tug_ability::{drive_limit, grip_force};
use crate::situation::{Resistance, resistance::SUCTION_LENGTH_M};
use crate::units::{Duration, Force, G, Length, Speed};

/// A kinetic pull has worked when it moves the casualty this far: it is freed in
/// a row of gentle pulls, not in one (common practice).
pub const SHIFT: Length = Length::new(1.0);
/// Pulls in a row with the same line.
const REPEATS: usize = 3;
/// Speeds are looked at this far past the rule and the plan.
const BEYOND: f64 = 1.2;

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

/// A kinetic pull studied whole.
#[derive(Debug, Clone, PartialEq)]
pub struct KineticStudy {
    /// The rig.
    pub path: LoadPath,
    /// Run-up speed taken.
    pub speed: Speed,
    /// Whether the plan gave it.
    pub planned: bool,
    /// Chances against run-up speed.
    pub chances: PullChances,
    /// The run-up window.
    pub window: Window,
    /// Peak in the design case and movement against run-up speed.
    pub curve: Vec<Point>,
    /// The pull against the design resistance.
    pub design: Outcome,
    /// The pull against a casualty that does not move.
    pub fixed: Outcome,
    /// Pulls in a row.
    pub repeats: Vec<Repeat>,
}

/// Studies the kinetic pull of `path` against `resistance`.
pub fn kinetic_study(
    plan: &Plan,
    path: LoadPath,
    resistance: &Resistance,
    pulls: &dyn Pulls,
) -> Result<KineticStudy, PullError> {
    let base = kinetic_setup(plan, &path)?;
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
    let stated = stated_speed(plan, &path);
    let fastest = stated.map_or(plan.policy.max_run_up, |s| s.max(plan.policy.max_run_up));
    let draws = PullDraws::new(plan, &path, &base, resistance)?;
    let chances = PullChances::run(plan, &path, &draws, fastest * BEYOND, pulls)?;
    let limit = design_limit(&base, design, &limits(plan, &path))?;
    let window = Window::find(&chances, &plan.policy, &limit);
    let speed = stated
        .or(window.planned())
        .or(window.greatest)
        .unwrap_or(plan.policy.max_run_up);
    let fixed = Against {
        fixed: true,
        ..design
    };
    Ok(KineticStudy {
        repeats: repeats(&base, speed, wanted)?,
        curve: curve(&base, wanted, design, &chances.speeds())?,
        design: pull_against(&base, speed, design)?,
        fixed: pull_against(&base, speed, fixed)?,
        chances,
        window,
        speed,
        planned: stated.is_some(),
        path,
    })
}

/// Share of pulls of `path` against `resistance` with a run-up at `speed` that move
/// the casualty as far as asked.
pub(super) fn shifts_at(
    plan: &Plan,
    path: &LoadPath,
    resistance: &Resistance,
    speed: Speed,
    pulls: &dyn Pulls,
) -> Result<f64, PullError> {
    if resistance.fixed_end {
        return Ok(0.0);
    }
    let draws = PullDraws::new(plan, path, &kinetic_setup(plan, path)?, resistance)?;
    let one = |i: usize| Marks::of_pull(&draws.setup(i, speed));
    let asked = asked_movement(plan).get();
    let mut shifted = 0.0;
    for marks in pulls.run(PULLS, &one) {
        shifted += f64::from(u8::from(marks?.movement_m >= asked));
    }
    Ok(shifted / PULLS as f64)
}

/// The run-up speed of the plan's own rig, if `path` is that.
fn stated_speed(plan: &Plan, path: &LoadPath) -> Option<Speed> {
    let own = plan.rig.as_ref().filter(|_| !path.proposed);
    own.and_then(|r| r.run_up_speed)
}

/// The pull before speed and resistance are known.
pub(crate) fn kinetic_setup(plan: &Plan, path: &LoadPath) -> Result<Setup, PullError> {
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
