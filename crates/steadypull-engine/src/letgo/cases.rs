//! Which links could let go, what then flies, and where it comes down.
//!
//! One run for each link at its load, with the dampers and tethers planned and
//! again bare, and a scatter of coarse runs for the zone. A link that lets go
//! leaves whatever hangs between it and the line on the line's end. What the
//! zone does not know is drawn at random from the seed: direction (5° each way,
//! assumed), energy return, mass and tension.

use super::draw::{Draw, DrawnLines, INPUTS};
use super::{
    DamperOnLine, Hardware, HeldEnd, LetGoError, LinePart, Outcome, Setup, TetherToLine, run,
};
use crate::chance::Column;
use crate::plan::{Line, Plan};
use crate::rig::{LinkKind, LoadPath, LoadedLink, Side};
use crate::units::{Area, Duration, Energy, Force, Length, Mass};

/// Spread of the launch direction, 1-sigma, up and to the side (assumed).
pub(super) const DIRECTION_SPREAD_DEG: f64 = 5.0;
/// Spread of mass and tension at parting, 1-sigma of the logarithm (assumed).
pub(super) const LOAD_SPREAD: f64 = 0.1;
/// Drag area of hardware by mass: a chunky fragment, coefficient 0.9 on the
/// face of a steel lump of that mass (CV-INJ-10; density 7850 kg/m³).
const DRAG_PER_FACE: f64 = 0.9;
/// Distance at which flying hardware runs into a damper, m.
pub(super) const CONTACT_M: f64 = 0.15;
/// Segments of a case: hardware speed is within 1 % of 64 segments, at a quarter
/// of the work (test `cases_are_converged`).
pub(super) const CASE_SEGMENTS: usize = 32;
/// Segments of a scatter run: a few per cent in speed, less than its spreads.
pub(super) const SCATTER_SEGMENTS: usize = 12;
/// Longest scatter run; what still moves then has its free flight counted.
pub(super) const SCATTER_S: f64 = 1.0;
/// First stream of the scatter, past all others.
const SCATTER_STREAM: u64 = 300;

/// One link that could let go.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The link.
    pub link: String,
    /// The end at which it lets go.
    pub at: Side,
    /// What flies.
    pub flies: String,
    /// Tension in the line when it does.
    pub tension: Force,
    /// Mass of hardware at the free end.
    pub hardware: Mass,
    /// With the dampers and tethers planned.
    pub planned: Outcome,
    /// Without.
    pub bare: Outcome,
    /// Names of the dampers, in the order of the outcome's.
    pub dampers: Vec<String>,
    /// Names of the tethers, in the order of the outcome's.
    pub tethers: Vec<String>,
    setup: Setup,
}

/// What the scatter runs gave: for each run, where things come down in plan
/// (x from the casualty's recovery point towards the tug, y to the left), m.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scatter {
    /// Landing points by run.
    pub runs: Vec<Vec<(f64, f64)>>,
    /// Runs that could not be finished.
    pub failed: u32,
}

/// A case before it is run: what lets go, and the two runs that it takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Prepared {
    pub(super) link: String,
    pub(super) at: Side,
    pub(super) flies: String,
    pub(super) tension: Force,
    pub(super) hardware: Mass,
    pub(super) planned: Setup,
    pub(super) bare: Setup,
    pub(super) dampers: Vec<String>,
    pub(super) tethers: Vec<String>,
    /// An earlier case that flies alike: same load and hardware at the same end.
    pub(super) twin: Option<usize>,
}

/// The outcomes of a case: with the dampers and tethers planned, and without.
pub type Outcomes = (Outcome, Outcome);

impl Prepared {
    /// Runs it; nothing for one that flies as an earlier one does. Runs do not
    /// depend on each other, so a caller may run several at once.
    pub fn run(&self) -> Option<Result<Outcomes, LetGoError>> {
        self.twin.is_none().then(|| self.both())
    }

    fn both(&self) -> Result<Outcomes, LetGoError> {
        let planned = run(&self.planned)?;
        let bare = if self.dampers.is_empty() && self.tethers.is_empty() {
            planned.clone()
        } else {
            run(&self.bare)?
        };
        Ok((planned, bare))
    }
}

/// The cases of a loaded path before they are run.
pub fn prepared(plan: &Plan, path: &LoadPath, links: &[LoadedLink]) -> Vec<Prepared> {
    let mut found: Vec<Prepared> = Vec::new();
    for (i, link) in links.iter().enumerate() {
        for at in ends(link) {
            let hardware = hardware(links, i, at);
            let tension = tension(path, links, link);
            if tension.get() <= 0.0 {
                continue;
            }
            found.push(prepare(plan, path, link, at, hardware, tension, &found));
        }
    }
    found
}

/// Cases with the outcomes of [`Prepared::run`], in the same order.
pub fn cases_of(
    prepared: Vec<Prepared>,
    outcomes: Vec<Option<Result<Outcomes, LetGoError>>>,
) -> Result<Vec<Case>, LetGoError> {
    let mut found: Vec<Case> = Vec::with_capacity(prepared.len());
    for (case, outcome) in prepared.into_iter().zip(outcomes) {
        let twin = case.twin.and_then(|i| found.get(i));
        let (planned, bare) = match (outcome, twin) {
            (_, Some(twin)) => (twin.planned.clone(), twin.bare.clone()),
            (Some(outcome), None) => outcome?,
            (None, None) => case.both()?,
        };
        found.push(Case {
            link: case.link,
            at: case.at,
            flies: case.flies,
            tension: case.tension,
            hardware: case.hardware,
            planned,
            bare,
            dampers: case.dampers,
            tethers: case.tethers,
            setup: case.planned,
        });
    }
    Ok(found)
}

/// The ends at which a link lets go: its own, or both for what lies between.
fn ends(link: &LoadedLink) -> Vec<Side> {
    let line = matches!(link.link.kind, LinkKind::Line | LinkKind::KineticLine);
    match link.link.side {
        Side::Between => vec![Side::Casualty, Side::Tug],
        _ if line => vec![Side::Casualty, Side::Tug],
        side => vec![side],
    }
}

/// Tension in the line when `link` lets go: what the pull puts there, or less
/// if the link holds less.
fn tension(path: &LoadPath, links: &[LoadedLink], link: &LoadedLink) -> Force {
    let share = link.link.load_share;
    let held = link
        .link
        .derated_mbs()
        .map_or(link.load, |mbs| link.load.min(mbs));
    let pull = held / share;
    let in_line = links
        .iter()
        .find(|l| matches!(l.link.kind, LinkKind::Line | LinkKind::KineticLine))
        .map_or(1.0, |l| l.link.load_share);
    let weakest = path
        .line_laws()
        .iter()
        .map(|(law, _)| law.breaking_n())
        .fold(f64::MAX, f64::min);
    (pull * in_line).min(Force::new(weakest))
}

/// Mass left on the line's end: the link itself and all between it and the line.
fn hardware(links: &[LoadedLink], i: usize, at: Side) -> Mass {
    let is_line = |l: &LoadedLink| matches!(l.link.kind, LinkKind::Line | LinkKind::KineticLine);
    if is_line(&links[i]) {
        return Mass::ZERO;
    }
    let chain: Box<dyn Iterator<Item = &LoadedLink>> = match at {
        Side::Casualty => Box::new(links[i..].iter()),
        _ => Box::new(links[..=i].iter().rev()),
    };
    chain.take_while(|l| !is_line(l)).map(|l| l.link.mass).sum()
}

fn prepare(
    plan: &Plan,
    path: &LoadPath,
    link: &LoadedLink,
    at: Side,
    hardware: Mass,
    tension: Force,
    earlier: &[Prepared],
) -> Prepared {
    let line = matches!(link.link.kind, LinkKind::Line | LinkKind::KineticLine);
    let flies = if line {
        "the bare end of the line".to_string()
    } else {
        format!(
            "{} and what it leaves on the line, {:.1} kg",
            link.link.name,
            hardware.get()
        )
    };
    let twin = earlier.iter().position(|c| {
        c.at == at && c.hardware == hardware && (c.tension / tension - 1.0).abs() < 1e-9
    });
    let bare = bare_setup(plan, path, at, hardware, tension);
    let (planned, dampers, tethers) = with_gear(plan, &bare, at);
    Prepared {
        link: link.link.name.clone(),
        at,
        flies,
        tension,
        hardware,
        planned,
        bare,
        dampers,
        tethers,
        twin,
    }
}

pub(super) fn bare_setup(
    plan: &Plan,
    path: &LoadPath,
    at: Side,
    hardware: Mass,
    tension: Force,
) -> Setup {
    let mut lines: Vec<LinePart> = path
        .lines
        .iter()
        .zip(path.line_laws())
        .map(|(line, (law, length))| LinePart {
            length,
            mass_per_length: line.mass_per_length,
            unloading: law
                .with_energy_return(return_range(line).1)
                .unloading(law.strain_at(tension.get())),
            diameter: line.material.diameter(line.mass_per_length),
            joint_mass: Mass::ZERO,
        })
        .collect();
    // Lines run from the far vehicle to the free end.
    let (far, near, far_mass) = match at {
        Side::Casualty => (Side::Tug, Side::Casualty, plan.tug.vehicle.mass),
        _ => (Side::Casualty, Side::Tug, plan.casualty.vehicle.mass),
    };
    if far == Side::Tug {
        lines.reverse();
    }
    let joints: Vec<Mass> = joint_masses(path, far == Side::Tug);
    for (line, joint) in lines.iter_mut().zip(joints) {
        line.joint_mass = joint;
    }
    let mut setup = Setup::new(
        lines,
        Hardware {
            mass: hardware,
            drag_area: drag_area(hardware),
        },
    );
    setup.held = HeldEnd::Vehicle {
        mass: far_mass,
        speed: crate::units::Speed::ZERO,
    };
    setup.held_height = height(plan, far);
    setup.free_height = height(plan, near);
    setup.max_time = time_to_tell(&setup, plan.policy.injury_energy);
    setup.segments = CASE_SEGMENTS;
    setup
}

/// How long a run must last: what is slow enough to come later is not hazardous.
///
/// Hardware at the injury energy takes this long over the line's length; a bare
/// line end is taken as a kilogram. Between 1 and 3 s.
fn time_to_tell(setup: &Setup, injury: Energy) -> Duration {
    let mass = setup.hardware.mass.max(Mass::new(1.0));
    let slowest = (2.0 * injury.get() / mass.get()).sqrt();
    Duration::new((setup.taut_length().get() / slowest).clamp(1.0, 3.0))
}

/// Energy return of a line, least and most: its material's range, or its own
/// value where the plan gives another than the preset. What lets go is worked
/// out at the most, since no measurement stands behind the middle.
pub(super) fn return_range(line: &Line) -> (f64, f64) {
    let (low, taken, high) = line.material.preset().energy_return;
    let own = line.curve.energy_return;
    if own == taken {
        (low, high)
    } else {
        (own, own)
    }
}

/// Mass of the joins between lines, in the order from the far vehicle.
fn joint_masses(path: &LoadPath, reversed: bool) -> Vec<Mass> {
    let is_line = |kind| matches!(kind, LinkKind::Line | LinkKind::KineticLine);
    let mut masses = Vec::new();
    let mut sum = Mass::ZERO;
    let mut inside = false;
    for link in &path.links {
        if is_line(link.kind) {
            if inside {
                masses.push(sum);
            }
            inside = true;
            sum = Mass::ZERO;
        } else {
            sum = sum + link.mass;
        }
    }
    if reversed {
        masses.reverse();
    }
    masses
}

pub(super) fn drag_area(mass: Mass) -> Area {
    let face = libm::cbrt(mass.get() / 7850.0);
    Area::new(DRAG_PER_FACE * face * face)
}

fn height(plan: &Plan, side: Side) -> Length {
    let vehicle = if side == Side::Tug {
        &plan.tug.vehicle
    } else {
        &plan.casualty.vehicle
    };
    let sunk = if side == Side::Casualty {
        plan.casualty.sunk.map_or(Length::ZERO, |s| s.depth)
    } else {
        Length::ZERO
    };
    let above = vehicle
        .recovery_points
        .first()
        .map_or(Length::new(0.6), |p| p.height);
    // A sunk vehicle's points are nearer to the ground, never under it.
    (above - sunk).max(Length::new(0.1))
}

pub(super) fn with_gear(plan: &Plan, bare: &Setup, at: Side) -> (Setup, Vec<String>, Vec<String>) {
    let mut setup = bare.clone();
    let whole = setup.rest_length();
    for damper in &plan.kit.dampers {
        let share = if at == Side::Casualty {
            damper.place
        } else {
            1.0 - damper.place
        };
        setup.dampers.push(DamperOnLine {
            mass: damper.mass,
            from_free_end: whole * share,
            drag_area: damper.drag_area,
            slips_at: damper.slips_at,
            contact_radius: Length::new(CONTACT_M),
        });
    }
    let tethers: Vec<_> = plan
        .kit
        .tethers
        .iter()
        .filter(|t| t.at_casualty == (at == Side::Casualty))
        .collect();
    for tether in &tethers {
        setup.tethers.push(TetherToLine {
            from_free_end: Length::ZERO,
            length: tether.length,
            mbs: tether.mbs,
            strain_at_break: tether.strain_at_break,
            mass: tether.mass,
        });
    }
    let dampers = plan.kit.dampers.iter().map(|d| d.name.clone()).collect();
    (
        setup,
        dampers,
        tethers.iter().map(|t| t.name.clone()).collect(),
    )
}

/// Of `count` coarse runs over the distinct cases, for the zone, those whose numbers
/// lie in `which`: the parts of a scatter, put together in order, are the whole.
pub fn scatter(
    plan: &Plan,
    path: &LoadPath,
    cases: &[Case],
    count: usize,
    which: core::ops::Range<usize>,
) -> Scatter {
    let mut distinct: Vec<&Case> = Vec::new();
    for case in cases {
        if !distinct
            .iter()
            .any(|d| d.at == case.at && d.hardware == case.hardware)
        {
            distinct.push(case);
        }
    }
    let mut out = Scatter::default();
    if distinct.is_empty() {
        return out;
    }
    let column = |k| Column::new(plan.seed, SCATTER_STREAM + k, count);
    let columns: [Column; INPUTS] = core::array::from_fn(|k| column(k as u64));
    for i in which {
        let case = distinct[i % distinct.len()];
        let setup = scattered(path, case, &columns, i);
        match run(&setup) {
            Ok(outcome) => out.runs.push(in_plan(case.at, &outcome)),
            Err(_) => out.failed += 1,
        }
    }
    out
}

fn scattered(path: &LoadPath, case: &Case, columns: &[Column; INPUTS], i: usize) -> Setup {
    let mut setup = case.setup.clone();
    setup.segments = SCATTER_SEGMENTS;
    setup.max_time = Duration::new(SCATTER_S);
    let lines = DrawnLines::of(path, case.at == Side::Casualty);
    Draw::of(columns, i).put_on(&mut setup, &lines, case.tension);
    setup
}

/// Where things are or come down, in the plan's frame: the free end's path, where
/// it and the dampers rest, and where hardware that came off the line at its
/// greatest speed first touches the ground. How far such hardware skips and
/// slides after that is reported with the case, not drawn: with friction alone
/// it comes to hundreds of metres along the line of pull, and no zone would say
/// it better than words.
fn in_plan(at: Side, outcome: &Outcome) -> Vec<(f64, f64)> {
    let far = outcome.far_point.get();
    let path = outcome
        .path
        .iter()
        .chain([&outcome.end])
        .map(|p| (p.place_m[0], p.place_m[1]));
    let dampers = outcome.dampers.iter().map(|d| (d.rests_m[0], d.rests_m[1]));
    let free = outcome.free_flight.iter().map(|flight| flight.lands_m);
    path.chain(dampers)
        .chain(free)
        .map(|(x, y)| {
            if at == Side::Casualty {
                (x, y)
            } else {
                (far - x, -y)
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::{Law, Material};

    #[test]
    fn cases_are_converged() {
        let curve = Material::NylonWebbing.curve().unwrap();
        let law = Law::new(
            &curve,
            Force::from_tf(9.0),
            &Default::default(),
            Material::NylonWebbing,
        );
        for (tonnes, kg) in [(1.0, 1.5), (4.0, 2.0), (9.0, 0.5)] {
            let part = LinePart {
                length: Length::new(9.0),
                mass_per_length: crate::units::LineMass::new(0.55),
                unloading: law.unloading(law.strain_at(Force::from_tf(tonnes).get())),
                diameter: Length::new(0.03),
                joint_mass: Mass::ZERO,
            };
            let speed = |segments| {
                let hardware = Hardware {
                    mass: Mass::new(kg),
                    drag_area: drag_area(Mass::new(kg)),
                };
                let mut setup = Setup::new(vec![part], hardware);
                setup.segments = segments;
                setup.max_time = Duration::new(0.1);
                run(&setup).unwrap().launch.speed.get()
            };
            let ratio = speed(CASE_SEGMENTS) / speed(64);
            assert!((ratio - 1.0).abs() < 0.01, "{tonnes} t, {kg} kg: {ratio}");
        }
    }
}
