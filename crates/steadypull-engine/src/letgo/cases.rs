//! Which links could let go, what then flies, and where it comes down.
//!
//! One run for each side of each link at its load, with the dampers and tethers
//! planned and again bare, and a scatter of coarse runs for the zone. A link that
//! lets go leaves whatever hangs between it and the line on the line's end; a line
//! parts at its ends and in its middle (see [`sides`](super::sides)). What the
//! zone does not know is drawn at random from the seed: direction (5° each way,
//! assumed), energy return, mass and tension.

use super::draw::{Draw, DrawnLines, INPUTS};
use super::flying::Meets;
use super::sides::{self, Cut, Stays, is_line};
use super::{
    DamperOnLine, Hardware, HeldEnd, LetGoError, LinePart, Outcome, Roughness, Setup, TetherToLine,
    Thing, run, run_each,
};
use crate::chance::Column;
use crate::plan::{Line, Plan, Site, Tether};
use crate::rig::{LoadPath, LoadedLink, Side};
use crate::units::{Area, Duration, Energy, Force, Length, Mass};

/// Spread of the launch direction, 1-sigma, up and to the side (assumed).
pub(crate) const DIRECTION_SPREAD_DEG: f64 = 5.0;
/// Spread of mass and tension at parting, 1-sigma of the logarithm (assumed).
pub(crate) const LOAD_SPREAD: f64 = 0.1;
/// Drag area of hardware by mass: a chunky fragment, coefficient 0.9 on the
/// face of a steel lump of that mass (CV-INJ-10; density 7850 kg/m³).
const DRAG_PER_FACE: f64 = 0.9;
/// Distance at which flying hardware runs into a damper, m.
pub(super) const CONTACT_M: f64 = 0.15;
/// Segments of a case: hardware speed is within 1 % of 64 segments, at a quarter
/// of the work (test `cases_are_converged`).
pub(super) const CASE_SEGMENTS: usize = 32;
/// Least segments of a case that takes part of the path.
const LEAST_SEGMENTS: usize = 8;
/// Longest run of a line that parts inside, s.
const INSIDE_S: f64 = 0.7;
/// Shortest side of a break that is run, m: what a run takes.
pub(super) const SHORTEST_M: f64 = 0.05;
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
    /// The vehicle that this side of it parted from; it flies to the other.
    pub at: Side,
    /// Where it lets go.
    pub cut: Cut,
    /// What flies.
    pub flies: String,
    /// What stays on the vehicle it parted from.
    pub stays: Stays,
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
    /// How each run met the vehicle that it flew to.
    pub met: Vec<ScatterMet>,
}

/// How the free end of a scattered run met the vehicle that it flew to.
#[derive(Debug, Clone, PartialEq)]
pub struct ScatterMet {
    /// The link that let go.
    pub link: String,
    /// The vehicle.
    pub vehicle: Side,
    /// Mass of its hardware.
    pub hardware: Mass,
    /// What it met, on its line or, where it missed there, off it.
    pub meets: Meets,
}

/// A case before it is run: what lets go, and the two runs that it takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Prepared {
    pub(super) link: String,
    pub(super) at: Side,
    pub(super) cut: Cut,
    pub(super) flies: String,
    pub(super) stays: Stays,
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

    /// The link that lets go.
    pub(super) fn link(&self) -> &str {
        &self.link
    }

    /// The end at which it lets go.
    pub(super) fn at(&self) -> Side {
        self.at
    }

    /// What flies, in words.
    pub(super) fn flies(&self) -> &str {
        &self.flies
    }

    /// Mass of hardware on the line's end.
    pub(super) fn hardware(&self) -> Mass {
        self.hardware
    }

    /// The run with the dampers and tethers planned.
    pub(super) fn setup(&self) -> &Setup {
        &self.planned
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
        let tension = tension(path, links, link);
        if tension.get() <= 0.0 {
            continue;
        }
        for cut in sides::cuts(links, i) {
            found.extend(prepare(plan, (path, links), i, cut, tension, &found));
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
            cut: case.cut,
            flies: case.flies,
            stays: case.stays,
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
        .find(|l| is_line(l.link.kind))
        .map_or(1.0, |l| l.link.load_share);
    let weakest = path
        .line_laws()
        .iter()
        .map(|(law, _)| law.breaking_n())
        .fold(f64::MAX, f64::min);
    (pull * in_line).min(Force::new(weakest))
}

fn prepare(
    plan: &Plan,
    (path, links): (&LoadPath, &[LoadedLink]),
    i: usize,
    cut: Cut,
    tension: Force,
    earlier: &[Prepared],
) -> Option<Prepared> {
    let link = &links[i].link;
    let at = cut.parted_from();
    let hardware = sides::hardware(links, i, &cut);
    let bare = bare_setup(plan, path, &cut, hardware, tension)?;
    let (planned, dampers, tethers) = if cut.inside {
        let (setup, dampers) = with_dampers(plan, path, &bare, &cut);
        (setup, dampers, Vec::new())
    } else {
        with_gear_of(plan, path, &bare, &cut)
    };
    let flies = match hardware.get() > 0.0 {
        false => "the bare end of the line".to_string(),
        true if is_line(link.kind) => {
            format!("what joined it to the next line, {:.1} kg", hardware.get())
        }
        true => format!(
            "{} and what it leaves on the line, {:.1} kg",
            link.name,
            hardware.get()
        ),
    };
    let twin = earlier.iter().position(|c| {
        c.at == at
            && c.hardware == hardware
            && c.bare.rest_length() == bare.rest_length()
            && (c.tension / tension - 1.0).abs() < 1e-9
    });
    Some(Prepared {
        link: link.name.clone(),
        at,
        cut,
        flies,
        stays: sides::stays(plan, path, links, i, &cut, tension),
        tension,
        hardware,
        planned,
        bare,
        dampers,
        tethers,
        twin,
    })
}

/// The bare run of one side of a break; none if hardly any line is left on it.
pub(super) fn bare_setup(
    plan: &Plan,
    path: &LoadPath,
    cut: &Cut,
    hardware: Mass,
    tension: Force,
) -> Option<Setup> {
    let (far, near) = (cut.flies_to, cut.parted_from());
    let joints = joint_masses(path, cut);
    let mut lines = Vec::new();
    // Line between the vehicle it parted from and the break.
    let mut offset = Length::ZERO;
    for (k, (line, (law, length))) in path.lines.iter().zip(path.line_laws()).enumerate() {
        let unloading = law
            .with_energy_return(return_range(line).1)
            .unloading(law.strain_at(tension.get()));
        let share = cut.share_of(k);
        offset = offset + length * ((1.0 - share) * (1.0 + unloading.strain_max));
        if share * length.get() < SHORTEST_M {
            continue;
        }
        lines.push(LinePart {
            length: length * share,
            mass_per_length: line.mass_per_length,
            unloading,
            diameter: line.material.diameter(line.mass_per_length),
            joint_mass: joints[k],
        });
    }
    if lines.is_empty() {
        return None;
    }
    // Lines run from the far vehicle to the free end.
    if far == Side::Tug {
        lines.reverse();
    }
    if let Some(last) = lines.last_mut() {
        last.joint_mass = Mass::ZERO;
    }
    let mut setup = Setup::new(
        lines,
        Hardware {
            mass: hardware,
            drag_area: drag_area(hardware),
        },
    );
    let far_mass = match far {
        Side::Tug => plan.tug.vehicle.mass,
        _ => plan.casualty.vehicle.mass,
    };
    setup.held = HeldEnd::Vehicle {
        mass: far_mass,
        speed: crate::units::Speed::ZERO,
    };
    let taut = setup.taut_length();
    let (from, to) = (height(plan, near), height(plan, far));
    setup.held_height = to;
    setup.free_height = from + (to - from) * (offset / (offset + taut));
    setup.break_offset = offset;
    setup.max_time = time_to_tell(&setup, plan.policy.injury_energy);
    if cut.inside {
        // A bare tail over a short way.
        setup.max_time = setup.max_time.min(Duration::new(INSIDE_S));
    }
    setup.segments = segments(path, &setup);
    lay_site(plan, &mut setup, far);
    setup.watched.far_body = Some(sides::body(plan, path, far));
    setup.watched.criteria = vec![super::injury::FIRST_CASUALTY, plan.policy.injury_energy];
    Some(setup)
}

/// As fine as a case of the whole path, so that a shorter side costs less.
fn segments(path: &LoadPath, setup: &Setup) -> usize {
    let share = setup.rest_length() / path.line_length();
    let wanted = libm::ceil(CASE_SEGMENTS as f64 * share) as usize;
    wanted
        .clamp(LEAST_SEGMENTS, CASE_SEGMENTS)
        .max(setup.lines.len())
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
pub(crate) fn return_range(line: &Line) -> (f64, f64) {
    let (low, taken, high) = line.material.preset().energy_return;
    let own = line.curve.energy_return;
    if own == taken {
        (low, high)
    } else {
        (own, own)
    }
}

/// Mass of the join at the end of each line that is towards the break, by the
/// lines of the path from the casualty.
fn joint_masses(path: &LoadPath, cut: &Cut) -> Vec<Mass> {
    // Joins follow the lines from the casualty on.
    let mut after = vec![Mass::ZERO; path.lines.len()];
    let mut passed = 0;
    for link in &path.links {
        if is_line(link.kind) {
            passed += 1;
        } else if passed > 0 && passed < path.lines.len() {
            after[passed - 1] = after[passed - 1] + link.mass;
        }
    }
    match cut.flies_to {
        // The break is on the casualty's side: the join before each line.
        Side::Tug => (0..after.len())
            .map(|k| k.checked_sub(1).map_or(Mass::ZERO, |j| after[j]))
            .collect(),
        _ => after,
    }
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

/// The dampers planned, where they hang on the side that flies. One within reach of
/// the break is on neither side: nobody knows which keeps it. One within reach of
/// the far vehicle stays there.
fn with_dampers(plan: &Plan, path: &LoadPath, bare: &Setup, cut: &Cut) -> (Setup, Vec<String>) {
    let whole = path.line_length();
    let own = bare.rest_length();
    let mut setup = bare.clone();
    let mut names = Vec::new();
    for damper in &plan.kit.dampers {
        let from_far = match cut.flies_to {
            Side::Tug => whole * (1.0 - damper.place),
            _ => whole * damper.place,
        };
        let from_free_end = own - from_far;
        if from_free_end.get() > CONTACT_M && from_far.get() > CONTACT_M {
            names.push(damper.name.clone());
            setup.dampers.push(on_line(damper, from_free_end));
        }
    }
    (setup, names)
}

/// Dampers and tethers of a break at an end of the path; of one between two lines
/// the dampers alone.
fn with_gear_of(
    plan: &Plan,
    path: &LoadPath,
    bare: &Setup,
    cut: &Cut,
) -> (Setup, Vec<String>, Vec<String>) {
    if (bare.rest_length() / path.line_length() - 1.0).abs() < 1e-9 {
        let near = match cut.parted_from() {
            Side::Tug => path.links.last(),
            _ => path.links.first(),
        };
        let used = near.map_or("", |link| link.name.as_str());
        return with_gear(plan, bare, cut.parted_from(), used);
    }
    let (setup, dampers) = with_dampers(plan, path, bare, cut);
    (setup, dampers, Vec::new())
}

/// Where a tether's own recovery point lies in the coordinates of the run; none for
/// the point of the line.
fn anchor_of(
    plan: &Plan,
    setup: &Setup,
    tether: &Tether,
    (at, used): (Side, &str),
) -> Option<[f64; 3]> {
    let full = tether.point.as_ref()?;
    let (owner, short) = full.split_once('.')?;
    let vehicle = match owner {
        "tug" => &plan.tug.vehicle,
        _ => &plan.casualty.vehicle,
    };
    let points = &vehicle.recovery_points;
    let own = points.iter().find(|p| p.name == short)?;
    let used = used.split_once('.').map_or(used, |(_, short)| short);
    let used = points.iter().find(|p| p.name == used).or(points.first())?;
    let aside = own.offset.get() - used.offset.get();
    let behind = (own.forward.get() - used.forward.get()).abs();
    // Seen along the flight the other points of that vehicle lie behind the break; the
    // left of a vehicle is the left of the flight away from its nose.
    let left = if used.forward.get() < 0.0 {
        -aside
    } else {
        aside
    };
    let height = setup.free_height.get() + own.height.get() - used.height.get();
    let on = match (owner, at) {
        ("tug", Side::Tug) | ("casualty", Side::Casualty) => -behind,
        // A tether from the far vehicle holds from there.
        _ => setup.taut_length().get(),
    };
    Some([on, left, height.max(0.0)])
}

/// Air and ground between the vehicles as seen along a flight to `to`.
fn lay_site(plan: &Plan, setup: &mut Setup, to: Side) {
    let site = &plan.site;
    let turn = if to == Side::Tug { 1.0 } else { -1.0 };
    let [along, left] = site.air_m_s();
    setup.wind_m_s = [turn * along, turn * left, 0.0];
    if let Some(ground) = &mut setup.ground {
        ground.slope = site.slope_along * turn;
        ground.cross_slope = site.slope_across * turn;
        ground.roughness = bumps(site);
    }
}

/// The bumps of a site.
pub(super) fn bumps(site: &Site) -> Roughness {
    if site.bumps.get() > 0.0 {
        Roughness {
            height: site.bumps,
            spacing: site.bump_spacing,
            phase: [0.0; 2],
        }
    } else {
        Roughness::EVEN
    }
}

fn on_line(damper: &crate::plan::Damper, from_free_end: Length) -> DamperOnLine {
    DamperOnLine {
        mass: damper.mass,
        from_free_end,
        drag_area: damper.drag_area,
        slips_at: damper.slips_at,
        contact_radius: Length::new(CONTACT_M),
    }
}

/// With the dampers and the tethers planned at that end, where the line was made fast
/// to `used`.
pub(super) fn with_gear(
    plan: &Plan,
    bare: &Setup,
    at: Side,
    used: &str,
) -> (Setup, Vec<String>, Vec<String>) {
    let mut setup = bare.clone();
    let whole = setup.rest_length();
    for damper in &plan.kit.dampers {
        let share = if at == Side::Casualty {
            damper.place
        } else {
            1.0 - damper.place
        };
        setup.dampers.push(on_line(damper, whole * share));
    }
    let tethers: Vec<_> = plan
        .kit
        .tethers
        .iter()
        .filter(|t| t.at_casualty == (at == Side::Casualty))
        .collect();
    for tether in &tethers {
        setup.tethers.push(TetherToLine {
            anchor_m: anchor_of(plan, &setup, tether, (at, used)),
            exponent: tether.exponent,
            energy_return: tether.energy_return,
            ..TetherToLine::new(
                tether.length,
                tether.mbs,
                tether.strain_at_break,
                tether.mass,
            )
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
        // A line that parts inside reaches no further than one that parts at its end.
        let known = |d: &&Case| d.at == case.at && d.hardware == case.hardware;
        if !case.cut.inside && !distinct.iter().any(known) {
            distinct.push(case);
        }
    }
    let mut out = Scatter::default();
    if distinct.is_empty() {
        return out;
    }
    let column = |k| Column::new(plan.seed, SCATTER_STREAM + k, count);
    let columns: [Column; INPUTS] = core::array::from_fn(|k| column(k as u64));
    let case_of = |i: usize| distinct[i % distinct.len()];
    run_each(
        which,
        |i| scattered(path, case_of(i), &columns, i),
        |i, outcome| match outcome {
            Ok(outcome) => {
                let case = case_of(i);
                out.runs.push(in_plan(case.at, &outcome));
                out.met.extend(met(case, &outcome));
            }
            Err(_) => out.failed += 1,
        },
    );
    out
}

/// The harder strike of the free end on its line and of hardware off it.
fn met(case: &Case, outcome: &Outcome) -> Option<ScatterMet> {
    let ends = outcome
        .flown
        .iter()
        .filter(|f| matches!(f.thing, Thing::FreeEnd | Thing::OffTheLine));
    let struck_j = |meets: &Meets| match meets {
        Meets::Strikes(strike) => strike.energy.get(),
        Meets::Passes(_) => -1.0,
        Meets::StopsShort => -2.0,
    };
    let meets = ends
        .map(|f| f.meets)
        .max_by(|a, b| struck_j(a).total_cmp(&struck_j(b)))?;
    Some(ScatterMet {
        link: case.link.clone(),
        vehicle: case.cut.flies_to,
        hardware: case.hardware,
        meets,
    })
}

fn scattered(path: &LoadPath, case: &Case, columns: &[Column; INPUTS], i: usize) -> Setup {
    let mut setup = case.setup.clone();
    setup.segments = SCATTER_SEGMENTS;
    setup.max_time = Duration::new(SCATTER_S);
    let lines = DrawnLines::of(path, &case.cut);
    Draw::of(columns, i).put_on(&mut setup, &lines, case.tension);
    setup
}

/// Where things are or come down, in the plan's frame: the free end's path, where
/// it and the dampers rest, and where hardware that came off the line at its
/// greatest speed first touches the ground. How far such hardware skips and
/// slides after that is reported with the case, not drawn: with friction alone
/// it comes to hundreds of metres along the line of pull, and no zone would say
/// it better than words.
pub(super) fn in_plan(at: Side, outcome: &Outcome) -> Vec<(f64, f64)> {
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
