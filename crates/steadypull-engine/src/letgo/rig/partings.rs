//! Every part of a rig that could part, one by one.
//!
//! What it answers: for each part in each part of line, and for each point,
//! anchor, block, ring and winch mount: the energy that comes free, what is left
//! holding, and what flies to which side.
//!
//! Energy comes free from every run that goes slack, whole; and from a line that
//! loses the block it goes round, as far as it gives back in snapping straight.
//! Each part lets go at the load of the pull, or at its own strength if that is
//! less. Parts alike in what flies are worked out once; the most energetic as a chain
//! in time ([`super::flown`]), the rest by an upper bound.

use super::causes::{in_lines, in_nodes};
use super::draft::{Draft, draft};
use super::ends::FreeEndOf;
use super::flights::{end_flight, thrown_flight};
use super::flown::{FlownEnd, flown};
use super::holding::Left;
use super::parting::{Flight, FreedRun, Holding, Parting};
use super::pieces::energy_j;
use super::scene::Scene;
use super::throw::Throw;
use crate::plan::Plan;
use crate::rig::{Graph, Solved};
use crate::units::{Energy, Force};

/// All the partings of a rig, with what the zone is scattered from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Partings {
    /// One a part.
    pub list: Vec<Parting>,
    /// Ends that could not be run and are bounded instead (ideally 0).
    pub failed: u32,
    /// Breaks at the ends of lines, the most energetic first, then tails.
    pub(super) ends: Vec<FreeEndOf>,
    pub(super) throws: Vec<(Throw, f64)>,
    /// Landings of the ends that were run, in the order of the ends.
    pub(super) landings: Vec<Option<Vec<(f64, f64)>>>,
}

/// Every part that could part.
pub fn partings(plan: &Plan, graph: &Graph, solved: &Solved) -> Partings {
    let scene = Scene::new(plan, graph, solved);
    let mut out = Partings::default();
    let drafts = drafts(&scene);
    let (ends, tails) = all_ends(&drafts);
    for d in &drafts {
        for t in &d.throws {
            let twin =
                |o: &(Throw, f64)| o.0.node == t.node && o.0.mass == t.mass && o.1 == d.share;
            if !out.throws.iter().any(twin) {
                out.throws.push((t.clone(), d.share));
            }
        }
    }
    let (all, failed) = flown(&scene, ends, tails);
    out.failed = failed;
    out.landings = all
        .iter()
        .map(|f| f.outcome.as_ref().map(|o| f.end.landings(&scene, o)))
        .collect();
    out.list = drafts.iter().map(|d| parting(&scene, d, &all)).collect();
    out.ends = all.into_iter().map(|f| f.end).collect();
    out
}

/// Every part that could part, nothing run yet.
pub(super) fn drafts(scene: &Scene) -> Vec<Draft> {
    let causes = in_lines(scene).into_iter().chain(in_nodes(scene));
    causes.filter_map(|c| draft(scene, c)).collect()
}

/// The ends of line and the tails that fly, those that fly alike once.
pub(super) fn all_ends(drafts: &[Draft]) -> (Vec<FreeEndOf>, Vec<FreeEndOf>) {
    let (mut ends, mut tails) = (Vec::new(), Vec::new());
    for d in drafts {
        d.ends.iter().for_each(|end| add(&mut ends, end));
        d.tails.iter().for_each(|tail| add(&mut tails, tail));
    }
    (ends, tails)
}

/// Adds an end that flies like none before.
fn add(ends: &mut Vec<FreeEndOf>, end: &FreeEndOf) {
    if !ends.iter().any(|e| e.twin(end)) {
        ends.push(end.clone());
    }
}

fn parting(scene: &Scene, d: &Draft, flown: &[FlownEnd]) -> Parting {
    let of = |end: &FreeEndOf| flown.iter().find(|f| f.is(end));
    let mut flights: Vec<Flight> = d
        .ends
        .iter()
        .chain(&d.tails)
        .filter_map(of)
        .map(|f| end_flight(scene, f))
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
            Some(slack) if slack > 0.05 => {
                let slack = scene.plan.units.rough_length(slack);
                format!(", once {slack} of slack has run out")
            }
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
