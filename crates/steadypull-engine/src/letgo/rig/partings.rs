//! Every part of a rig that could part, one by one.
//!
//! What it answers: for each part in each part of line, and for each point,
//! anchor, block, ring and winch mount: the energy that comes free, what is left
//! holding, and what flies to which side.
//!
//! Energy comes free from every run that goes slack, whole; and from a line that
//! loses the block it goes round, as far as it gives back in snapping straight.
//! Each part lets go at the load of the pull, or at its own strength if that is
//! less. Parts alike in what flies are worked out once; the most energetic
//! [`FINE_RUNS`] as a chain in time, the rest by an upper bound.

use super::causes::{Cause, in_lines, in_nodes, mass_of, node_mass};
use super::ends::FreeEndOf;
use super::holding::{Left, Loss, left};
use super::parting::{Flight, FlightSort, FreedRun, Holding, Parting};
use super::pieces::energy_j;
use super::scene::{Scene, unit};
use super::throw::{Throw, throw};
use crate::letgo::bodies::minus;
use crate::letgo::flying::{Meets, Strike};
use crate::letgo::{Outcome, Setup, Thing, run_all};
use crate::plan::Plan;
use crate::rig::{Graph, NodeKind, Side, Solved};
use crate::units::{Energy, Force, Mass, Speed, kinetic_energy};

/// Most ends that are run in time.
const FINE_RUNS: usize = 24;
/// All the partings of a rig, with what the zone is scattered from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Partings {
    /// One a part.
    pub list: Vec<Parting>,
    /// Ends that could not be run and are bounded instead (ideally 0).
    pub failed: u32,
    pub(super) ends: Vec<FreeEndOf>,
    pub(super) throws: Vec<(Throw, f64)>,
    /// Landings of the ends that were run, in the order of the ends.
    pub(super) landings: Vec<Option<Vec<(f64, f64)>>>,
}

/// Every part that could part.
pub fn partings(plan: &Plan, graph: &Graph, solved: &Solved) -> Partings {
    let scene = Scene::new(plan, graph, solved);
    let mut out = Partings::default();
    let causes = in_lines(&scene).into_iter().chain(in_nodes(&scene));
    let drafts: Vec<Draft> = causes.filter_map(|c| draft(&scene, c)).collect();
    for d in &drafts {
        for end in &d.ends {
            if !out.ends.iter().any(|e| e.twin(end)) {
                out.ends.push(end.clone());
            }
        }
        for t in &d.throws {
            let twin =
                |o: &(Throw, f64)| o.0.node == t.node && o.0.mass == t.mass && o.1 == d.share;
            if !out.throws.iter().any(twin) {
                out.throws.push((t.clone(), d.share));
            }
        }
    }
    out.ends.sort_by(|a, b| b.bound().1.total_cmp(&a.bound().1));
    let fine: Vec<Setup> = out
        .ends
        .iter()
        .take(FINE_RUNS)
        .map(|end| end.setup(&scene))
        .collect();
    let mut fine: Vec<Option<Outcome>> = run_all(&fine).into_iter().map(Result::ok).collect();
    fine.resize(out.ends.len(), None);
    out.landings = out
        .ends
        .iter()
        .zip(&fine)
        .map(|(end, o)| o.as_ref().map(|o| end.landings(&scene, o)))
        .collect();
    out.failed = fine.iter().take(FINE_RUNS).filter(|f| f.is_none()).count() as u32;
    let outcome = |end: &FreeEndOf| {
        let at = out.ends.iter().position(|e| e.twin(end));
        at.and_then(|i| fine[i].as_ref())
    };
    out.list = drafts
        .iter()
        .map(|d| parting(&scene, d, &outcome))
        .collect();
    out
}

/// A cause with its consequences, the flights not yet run.
pub(super) struct Draft {
    pub cause: Cause,
    pub share: f64,
    left: Left,
    pub ends: Vec<FreeEndOf>,
    pub throws: Vec<Throw>,
}

pub(super) fn draft(scene: &Scene, cause: Cause) -> Option<Draft> {
    if !(cause.load_n.is_finite() && cause.load_n > 0.0) {
        return None;
    }
    let share = cause
        .strength
        .map_or(1.0, |s| (s.get() / cause.load_n).min(1.0));
    let left = left(scene, &cause.loss);
    let mut ends: Vec<FreeEndOf> = cause
        .ends
        .iter()
        .filter_map(|(place, to_last, extra)| {
            FreeEndOf::new(scene, *place, *to_last, share, *extra)
        })
        .collect();
    ends.extend(dangling(scene, &cause.loss, &left, share));
    let throws = left
        .thrown
        .iter()
        .filter(|&&n| flies(scene, n))
        .filter_map(|&n| {
            let mass = node_mass(scene, n) + on_node(scene, n, &left, &cause);
            throw(scene, n, mass, &left.carries)
        })
        .collect();
    Some(Draft {
        cause,
        share,
        left,
        ends,
        throws,
    })
}

/// Whether a node leaves its place: a tree or a point on a vehicle does not.
fn flies(scene: &Scene, n: usize) -> bool {
    !scene.node(n).fixed || matches!(scene.node(n).kind, NodeKind::Block | NodeKind::Ring)
}

/// What hangs on a thrown node besides itself: what the cause leaves there, and
/// the parts of any other run that went slack on it. A block that breaks flies alone.
fn on_node(scene: &Scene, node: usize, left: &Left, cause: &Cause) -> Mass {
    if cause.loss.node == Some(node) {
        return Mass::ZERO;
    }
    let pulls = scene.pulls_on(node);
    let own = pulls.iter().any(|p| cause.loss.runs.contains(&p.run));
    let others = pulls
        .iter()
        .filter(|p| !left.carries[p.run] && !cause.loss.runs.contains(&p.run));
    let hung: Mass = others
        .map(|p| mass_of(&scene.pieces[p.run][p.segment]))
        .sum();
    hung + if own { cause.on_node } else { Mass::ZERO }
}

/// Ends of runs that go slack because their node lost all else: the block comes
/// back on its strap.
fn dangling(scene: &Scene, loss: &Loss, left: &Left, share: f64) -> Vec<FreeEndOf> {
    let mut found = Vec::new();
    for (r, run) in scene.graph.runs.iter().enumerate() {
        let cut = loss.runs.contains(&r);
        let touches_gone = run.stops.iter().any(|s| Some(s.node) == loss.node);
        let last = run.stops.len().saturating_sub(1);
        if left.carries[r] || cut || touches_gone || last == 0 {
            continue;
        }
        for (stop, to_last) in [(0, true), (last, false)] {
            let node = run.stops[stop].node;
            if scene.node(node).fixed {
                continue;
            }
            let segment = if to_last { 0 } else { last - 1 };
            let piece = if to_last {
                0
            } else {
                scene.pieces[r][segment].len().saturating_sub(1)
            };
            let extra = node_mass(scene, node);
            found.extend(FreeEndOf::new(
                scene,
                (r, segment, piece),
                to_last,
                share,
                extra,
            ));
        }
    }
    found
}

fn parting<'o>(
    scene: &Scene,
    d: &Draft,
    outcome: &dyn Fn(&FreeEndOf) -> Option<&'o Outcome>,
) -> Parting {
    let mut flights: Vec<Flight> = d
        .ends
        .iter()
        .map(|e| end_flight(scene, e, outcome(e)))
        .chain(d.throws.iter().map(|t| thrown_flight(scene, t, d.share)))
        .collect();
    flights.sort_by(|a, b| b.energy.get().total_cmp(&a.energy.get()));
    let freed = freed(scene, d);
    let snapped: f64 = d
        .throws
        .iter()
        .map(|t| t.launch(scene, d.share).given_j)
        .sum();
    let most = flights.iter().map(|f| f.energy.get()).fold(0.0, f64::max);
    Parting {
        name: d.cause.name.clone(),
        words: d.cause.words.clone(),
        at: d.cause.at.clone(),
        place_m: d.cause.place_m,
        load: Force::new(d.cause.load_n * d.share),
        released: freed.iter().map(|f| f.energy).sum::<Energy>() + Energy::new(snapped),
        freed,
        holding: holding(scene, &d.left),
        side: sides(&flights),
        flights,
        times_injury: most / scene.plan.policy.injury_energy.get(),
    }
}

/// Every run that carried load and no longer does.
fn freed(scene: &Scene, d: &Draft) -> Vec<FreedRun> {
    (0..scene.graph.runs.len())
        .filter(|&r| !d.left.carries[r])
        .filter_map(|r| {
            let tension = (0..scene.pieces[r].len())
                .map(|s| scene.tension_n(r, s))
                .fold(0.0, f64::max);
            (tension > 0.0).then(|| FreedRun {
                name: scene.graph.runs[r].name.clone(),
                tension: Force::new(tension * d.share),
                energy: Energy::new(scene.run_parts(r, d.share).iter().map(energy_j).sum()),
            })
        })
        .collect()
}

fn holding(scene: &Scene, left: &Left) -> Holding {
    let name = |r: usize| scene.graph.runs[r].name.clone();
    let casualty_by: Vec<String> = left.casualty_by.iter().map(|r| name(*r)).collect();
    let hangs = |r: &usize| scene.solved.runs[*r].slack;
    let words = if casualty_by.is_empty() {
        "nothing holds the casualty".to_string()
    } else {
        let after = match left.slack_m {
            Some(slack) if slack > 0.05 => format!(", once {slack:.1} m of slack has run out"),
            _ if !left.thrown.is_empty() => ", once what is left has moved over".into(),
            _ if left.casualty_by.iter().all(hangs) => ", once it comes taut".into(),
            _ => String::new(),
        };
        format!(
            "{} still holds the casualty{after}",
            casualty_by.join(" and ")
        )
    };
    Holding {
        runs: (0..left.carries.len())
            .filter(|r| left.carries[*r])
            .map(name)
            .collect(),
        casualty_by,
        slack_m: left.slack_m,
        words,
    }
}

fn sides(flights: &[Flight]) -> String {
    let mut seen: Vec<&str> = Vec::new();
    for flight in flights {
        if !seen.contains(&flight.side.as_str()) {
            seen.push(&flight.side);
        }
    }
    if seen.is_empty() {
        "nothing flies far: there is no stretch in it".into()
    } else {
        seen.join("; ")
    }
}

fn end_flight(scene: &Scene, end: &FreeEndOf, outcome: Option<&Outcome>) -> Flight {
    let to = scene.node(end.towards(scene));
    let what = if end.hardware.get() > 0.0 {
        format!(
            "the end of {} with {:.1} kg on it, to {}",
            scene.graph.runs[end.run].name,
            end.hardware.get(),
            to.name
        )
    } else {
        format!(
            "the bare end of {}, to {}",
            scene.graph.runs[end.run].name, to.name
        )
    };
    let (speed, energy) = match outcome {
        Some(o) if end.hardware.get() > 0.0 => (
            o.launch.speed.get(),
            kinetic_energy(end.hardware, o.launch.speed).get(),
        ),
        Some(o) => (o.launch.speed.get(), o.launch_energy.get()),
        None => end.bound(),
    };
    let way = unit(minus(scene.place(end.towards(scene)), end.from_m));
    let flight = outcome.and_then(|o| o.free_flight);
    Flight {
        what,
        sort: FlightSort::LineEnd,
        mass: end.hardware,
        from_m: end.from_m,
        way,
        speed: Speed::new(speed),
        energy: Energy::new(energy),
        bound: outcome.is_none(),
        lands_m: flight.map(|f| end.in_plan(scene, f.lands_m)),
        stops_m: flight.map(|f| end.in_plan(scene, f.stops_m)),
        strike: outcome.and_then(|o| struck(scene, end, o)),
        side: scene.side(way).into(),
    }
}

/// What the end strikes off its line.
fn struck(scene: &Scene, end: &FreeEndOf, outcome: &Outcome) -> Option<(Side, Strike)> {
    let (side, _) = super::struck::far_body(scene, end)?;
    let off = outcome
        .flown
        .iter()
        .find(|f| f.thing == Thing::OffTheLine)?;
    match off.meets {
        Meets::Strikes(strike) => Some((side, strike)),
        _ => None,
    }
}

fn thrown_flight(scene: &Scene, t: &Throw, share: f64) -> Flight {
    let speed = t.launch(scene, share).speed_m_s;
    let flight = t.flight(scene, speed, 0.0, 0.0);
    let node = scene.node(t.node);
    let others: Vec<&str> = t
        .pulls
        .iter()
        .map(|p| scene.node(p.other).name.as_str())
        .collect();
    let where_to = if t.pulls.iter().any(|p| !p.fast) {
        "into the bight, between"
    } else {
        "pulled across, between"
    };
    Flight {
        what: format!("{}, {:.1} kg", node.name, t.mass.get()),
        sort: FlightSort::Thrown,
        mass: t.mass,
        from_m: scene.place(t.node),
        way: t.way,
        speed: Speed::new(speed),
        energy: kinetic_energy(t.mass, Speed::new(speed)),
        bound: true,
        lands_m: flight.map(|f| f.lands_m),
        stops_m: flight.map(|f| f.stops_m),
        strike: None,
        side: format!("{where_to} {}, {}", others.join(" and "), scene.side(t.way)),
    }
}
