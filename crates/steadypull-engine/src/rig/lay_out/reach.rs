//! Whether every line reaches, and only pulls.
//!
//! Places are those of the first guess, which is the rig without friction at
//! rest under its haul: lengths along it are least lengths.

use super::build::Built;
use super::first_guess::{LIES_RIGHT_M, excess_m, length_m, settle_again};
use super::{RigFault, RigSubject, none_or};
use crate::plan::{Line, Part, Plan, Winch};
use crate::pull::winch::drum::Drum;
use crate::rig::statics::vector::{dot, minus};
use crate::rig::{Graph, GraphRun, Holds, Meets, Motion, NodeKind};
use crate::show::Units;
use crate::units::Length;

/// A line that leaves the nose or tail by more than this runs back over its own
/// vehicle (assumed): cosine of 120 deg.
const BACK_OVER: f64 = -0.5;
/// Cosine of the angle within which a line runs straight past a block (178 deg).
const STRAIGHT_PAST: f64 = -0.999_39;
/// A hanger shorter than its rest length by this share hangs slack.
const SLACK: f64 = 0.01;
/// Fixed points closer than this lie in one place, m.
const APART_M: f64 = 0.05;
/// Pulls on the casualty cancel when less than this share of the haul is left.
const CANCELS: f64 = 0.02;

pub(super) fn check(plan: &Plan, built: &Built) -> Result<(), Vec<RigFault>> {
    let graph = &built.graph;
    none_or(in_one_place(built))?;
    none_or(out_of_reach(plan.units, built))?;
    let mut faults = Vec::new();
    for (run, what) in graph.runs.iter().zip(&built.run_is) {
        if matches!(run.holds, Holds::Hauled { .. }) {
            faults.extend(short_of_line(plan, graph, run, what));
        }
    }
    faults.extend(back_over_the_vehicle(built));
    faults.extend(slack_hangers(built));
    if faults.is_empty() && graph.motion == Motion::HaulingIn {
        faults.extend(no_pull(built));
    }
    none_or(faults)
}

/// Lines between fixed points that lie in one place pull no way at all.
fn in_one_place(built: &Built) -> Vec<RigFault> {
    let graph = &built.graph;
    let mut faults = Vec::new();
    for (run, what) in graph.runs.iter().zip(&built.run_is) {
        let mut legs = run.stops.windows(2).map(|leg| (leg[0].node, leg[1].node));
        let together = legs.find(|(a, b)| {
            let apart = toward(graph, *a, *b);
            let fixed = graph.nodes[*a].fixed && graph.nodes[*b].fixed;
            fixed && dot(apart, apart) < APART_M * APART_M
        });
        if let Some((a, b)) = together {
            let [a, b] = [a, b].map(|node| &graph.nodes[node].name);
            faults.push(RigFault::new(
                what.clone(),
                format!(
                    "{a} and {b} lie in one place, and run {} goes between them",
                    run.name
                ),
                "check where the vehicles stand and which way they face",
            ));
        }
    }
    faults
}

/// The run that is furthest too short, and every one between fixed ends.
fn out_of_reach(units: Units, built: &Built) -> Vec<RigFault> {
    let graph = &built.graph;
    let too_long = |run: &GraphRun| excess_m(graph, run) > LIES_RIGHT_M;
    let is_fixed = |run: &GraphRun| run.stops.iter().all(|stop| graph.nodes[stop.node].fixed);
    let runs = || {
        graph
            .runs
            .iter()
            .zip(&built.run_is)
            .filter(|(run, _)| too_long(run))
    };
    let mut faults: Vec<RigFault> = runs()
        .filter(|(run, _)| is_fixed(run))
        .map(|(run, what)| unreachable(units, graph, run, what))
        .collect();
    if faults.is_empty() {
        let worst = runs().max_by(|a, b| excess_m(graph, a.0).total_cmp(&excess_m(graph, b.0)));
        faults.extend(worst.map(|(run, what)| unreachable(units, graph, run, what)));
    }
    faults
}

fn unreachable(units: Units, graph: &Graph, run: &GraphRun, what: &RigSubject) -> RigFault {
    let (short, name) = (told(units, excess_m(graph, run)), &run.name);
    let ends = [run.stops.first(), run.stops.last()]
        .map(|stop| stop.map_or("", |stop| &graph.nodes[stop.node].name));
    let (message, longer) = match what {
        RigSubject::Part(bridle) => (
            format!("bridle {bridle} cannot reach what it joins: it is {short} too short"),
            "use a longer bridle",
        ),
        _ => (
            format!(
                "{} cannot be reached from {}: run {name} is {} long, {short} too short",
                ends[1],
                ends[0],
                told(units, run.rest_m)
            ),
            "lengthen it",
        ),
    };
    let remedy = format!("{longer} by at least that, or check the places of what it joins");
    RigFault::new(what.clone(), message, remedy)
}

/// A length of line as people read it.
fn told(units: Units, value_m: f64) -> String {
    if value_m < 0.1 {
        units.thickness(value_m)
    } else {
        units.rough_length(value_m)
    }
}

fn short_of_line(
    plan: &Plan,
    graph: &Graph,
    run: &GraphRun,
    what: &RigSubject,
) -> Option<RigFault> {
    let (needed_m, there_m) = (length_m(graph, run), run.rest_m);
    if needed_m > there_m + LIES_RIGHT_M {
        let message = format!(
            "run {} is too short: it needs {} of line as it lies and has {}",
            run.name,
            told(plan.units, needed_m),
            told(plan.units, there_m)
        );
        let short = told(plan.units, needed_m - there_m);
        let remedy = format!("add an extension of {short} or more, or bring its ends closer");
        return Some(RigFault::new(what.clone(), message, remedy));
    }
    let hauls = graph.nodes[run.stops.last()?.node].kind;
    let winch = plan
        .tug
        .winch
        .as_ref()
        .filter(|_| hauls == NodeKind::Winch)?;
    let Some(Part::Line(line)) = plan.kit.part(&winch.line) else {
        return None;
    };
    wraps(plan, (winch, line), run, there_m - needed_m, what)
}

/// Wraps left on the drum.
fn wraps(
    plan: &Plan,
    (winch, line): (&Winch, &Line),
    run: &GraphRun,
    left_m: f64,
    what: &RigSubject,
) -> Option<RigFault> {
    let drum = Drum::of(winch, line);
    let (left, safe) = (drum.wraps_in(Length::new(left_m)), winch.least_wraps);
    (left < f64::from(safe)).then(|| {
        let message = format!(
            "run {} leaves {:.1} wraps on the drum; {safe} must stay to hold the line (tug.winch.least_wraps)",
            run.name,
            // Rounded down: 4.96 wraps are not 5.0.
            libm::floor(left * 10.0) / 10.0,
        );
        let missing = drum.length_of_wraps(u32::from(safe)).get() - left_m;
        let short = told(plan.units, missing);
        let remedy = format!("add an extension of {short} or more, or bring its ends closer");
        RigFault::new(what.clone(), message, remedy)
    })
}

/// Lines that leave the nose of a vehicle towards its tail, or the reverse.
fn back_over_the_vehicle(built: &Built) -> Vec<RigFault> {
    let graph = &built.graph;
    let mut faults: Vec<RigFault> = Vec::new();
    for (run, what) in graph.runs.iter().zip(&built.run_is) {
        let next = run.stops.windows(2).map(|leg| (leg[0].node, leg[1].node));
        let legs = next.clone().chain(next.map(|(a, b)| (b, a)));
        for (at, to) in legs.filter(|(at, _)| built.at_an_end[*at]) {
            let node = &graph.nodes[at];
            let Some(strong) = node.strong else { continue };
            if cosine(toward(graph, at, to), strong) < BACK_OVER {
                let message = format!(
                    "{} lies at one end of its vehicle, and run {} leaves it towards the other: a line pulls, it cannot push",
                    node.name, run.name
                );
                let remedy =
                    "use a point at the end that the line leaves from, or check facing and forward";
                let fault = RigFault::new(what.clone(), message, remedy);
                if !faults.contains(&fault) {
                    faults.push(fault);
                }
            }
        }
    }
    faults
}

fn toward(graph: &Graph, from: usize, to: usize) -> [f64; 3] {
    minus(graph.nodes[to].place_m, graph.nodes[from].place_m)
}

/// Cosine of the angle between two directions; 0 where one has none.
fn cosine(a: [f64; 3], b: [f64; 3]) -> f64 {
    let sizes = (dot(a, a) * dot(b, b)).sqrt();
    if sizes > 1e-12 {
        dot(a, b) / sizes
    } else {
        0.0
    }
}

/// Blocks and rings that the line runs straight past, their hangers slack.
fn slack_hangers(built: &Built) -> Vec<RigFault> {
    let graph = &built.graph;
    let free = graph.nodes.iter().enumerate().filter(|(_, n)| !n.fixed);
    free.filter_map(|(at, node)| {
        let hangs = |run: &&GraphRun| {
            let ends = [run.stops.first(), run.stops.last()];
            ends.iter().flatten().any(|stop| stop.node == at)
        };
        let mut hangers = graph.runs.iter().filter(hangs);
        let hanger = hangers.clone().next()?;
        let past = graph.runs.iter().any(|run| straight_past(graph, run, at));
        let slack = past && hangers.all(|run| is_slack(graph, run));
        slack.then(|| {
            let message = format!(
                "the line runs straight past {}: run {} hangs slack, and could only push it",
                node.name, hanger.name
            );
            let remedy = "shorten that run, move what it is made fast to away from the line, or leave it out";
            RigFault::new(built.named_at[at].clone(), message, remedy)
        })
    })
    .collect()
}

/// Whether the line of a run goes round a node without a bend.
fn straight_past(graph: &Graph, run: &GraphRun, at: usize) -> bool {
    run.stops.windows(3).any(|three| {
        let ways = [three[0].node, three[2].node].map(|to| toward(graph, at, to));
        three[1].node == at
            && three[1].meets != Meets::Slides
            && cosine(ways[0], ways[1]) < STRAIGHT_PAST
    })
}

fn is_slack(graph: &Graph, run: &GraphRun) -> bool {
    match run.holds {
        Holds::Length(rest_m) => length_m(graph, run) < rest_m * (1.0 - SLACK),
        Holds::Hauled { .. } => false,
    }
}

/// A haul whose pulls on the casualty cancel. The pull is how the line taken in
/// falls as the casualty gives way.
fn no_pull(built: &Built) -> Option<RigFault> {
    const GIVES_M: f64 = 0.05;
    let graph = &built.graph;
    if pulled_by_one(built) {
        return None;
    }
    let moved = |axis: usize, by_m: f64| {
        let mut moved = graph.clone();
        for node in moved
            .nodes
            .iter_mut()
            .filter(|n| n.kind == NodeKind::Casualty)
        {
            node.place_m[axis] += by_m;
        }
        settle_again(&mut moved);
        taken_in_m(&moved)
    };
    let slope = |axis| (moved(axis, GIVES_M) - moved(axis, -GIVES_M)) / (2.0 * GIVES_M);
    let pull = (slope(0) * slope(0) + slope(1) * slope(1)).sqrt();
    (pull < CANCELS).then(|| {
        RigFault::new(
            RigSubject::Layout,
            "the haul does not move the casualty: the pulls on it cancel, or its lines hang slack",
            "lay the lines so that their pulls add up the way it has to go, and see that the haul reaches it",
        )
    })
}

/// Whether a single run, hauled or taut, leads to a casualty without a bridle:
/// then there is nothing for its pull to cancel with.
fn pulled_by_one(built: &Built) -> bool {
    let graph = &built.graph;
    let at_casualty = |run: &GraphRun| {
        let kinds = run.stops.iter().map(|stop| graph.nodes[stop.node].kind);
        kinds.filter(|kind| *kind == NodeKind::Casualty).count()
    };
    let runs = || graph.runs.iter().zip(&built.run_is);
    let is_leg = |what: &RigSubject| matches!(what, RigSubject::Part(_));
    let legs = runs().any(|(_, what)| is_leg(what));
    let mut direct = runs().filter(|(run, what)| !is_leg(what) && at_casualty(run) > 0);
    match (direct.next(), direct.next()) {
        (Some((run, _)), None) => !legs && at_casualty(run) == 1 && !is_slack(graph, run),
        _ => false,
    }
}

fn taken_in_m(graph: &Graph) -> f64 {
    let hauled = graph.runs.iter().map(|run| match run.holds {
        Holds::Hauled { share } => share * length_m(graph, run),
        Holds::Length(_) => 0.0,
    });
    hauled.sum()
}
