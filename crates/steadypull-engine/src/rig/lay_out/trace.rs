//! One run cut into its stops and the parts of line between them.

use super::entry::{self, Entry};
use super::{RigFault, RigSubject, none_or};
use crate::plan::{Layout, Plan, Run};
use crate::rig::NodeKind;

/// A stop of a run.
#[derive(Debug, Clone)]
pub(super) struct TracedStop<'p> {
    pub name: &'p str,
    pub entry: Entry<'p>,
    /// Its place in the run's path.
    pub index: usize,
}

/// A run cut into stops, with the parts between one and the next.
#[derive(Debug, Clone)]
pub(super) struct Traced<'p> {
    pub name: &'p str,
    pub stops: Vec<TracedStop<'p>>,
    /// Names of the parts; a line that goes round a stop is on both sides of it.
    pub parts: Vec<Vec<&'p str>>,
    /// Every part once, in order.
    pub series: Vec<Entry<'p>>,
}

impl<'p> Traced<'p> {
    pub fn ends(&self) -> [&TracedStop<'p>; 2] {
        [&self.stops[0], &self.stops[self.stops.len() - 1]]
    }

    fn at(&self, index: usize) -> RigSubject {
        RigSubject::Stop {
            run: self.name.into(),
            index,
        }
    }
}

/// Every run traced, or what is wrong with any of them.
pub(super) fn trace_all<'p>(
    plan: &'p Plan,
    layout: &'p Layout,
) -> Result<Vec<Traced<'p>>, Vec<RigFault>> {
    let mut faults = Vec::new();
    let mut traced = Vec::new();
    if layout.runs.is_empty() {
        faults.push(RigFault::new(
            RigSubject::Layout,
            "the rig has no runs",
            "describe each line from one made fast end to the other",
        ));
    }
    for run in &layout.runs {
        match trace(plan, layout, run) {
            Ok(run) => traced.push(run),
            Err(found) => faults.extend(found),
        }
    }
    faults.extend(used_twice(plan, layout));
    faults.extend(bridles_astray(plan, layout, &traced));
    none_or(faults).map(|()| traced)
}

fn trace<'p>(
    plan: &'p Plan,
    layout: &'p Layout,
    run: &'p Run,
) -> Result<Traced<'p>, Vec<RigFault>> {
    let mut entries = Vec::new();
    let mut faults = Vec::new();
    for (index, name) in run.path.iter().enumerate() {
        match entry::find(plan, layout, name) {
            Some(entry) => entries.push(TracedStop { name, entry, index }),
            None => faults.push(unknown(run, index)),
        }
    }
    none_or(faults)?;
    if entries.len() < 2 {
        return Err(vec![too_short(run)]);
    }
    let mut faults: Vec<_> = entries
        .iter()
        .filter_map(|entry| misplaced(run, &entries, entry.index))
        .collect();
    if faults.is_empty() {
        let traced = cut(run, entries);
        faults.extend(bare(&traced));
        faults.extend(straight_back(&traced));
        return none_or(faults).map(|()| traced);
    }
    Err(faults)
}

/// Cuts a run whose entries all stand where they may.
fn cut<'p>(run: &'p Run, entries: Vec<TracedStop<'p>>) -> Traced<'p> {
    let mut traced = Traced {
        name: &run.name,
        stops: Vec::new(),
        parts: Vec::new(),
        series: Vec::new(),
    };
    let mut segment = Vec::new();
    for entry in entries {
        if entry.entry.is_station() {
            if entry.index > 0 {
                let finished = core::mem::take(&mut segment);
                segment.extend(finished.last().copied());
                traced.parts.push(finished);
            }
            traced.stops.push(entry);
        } else {
            segment.push(entry.name);
            traced.series.push(entry.entry);
        }
    }
    traced
}

fn fault_at(run: &Run, index: usize, message: String, remedy: impl Into<String>) -> RigFault {
    let subject = RigSubject::Stop {
        run: run.name.clone(),
        index,
    };
    RigFault::new(subject, message, remedy)
}

fn unknown(run: &Run, index: usize) -> RigFault {
    let message = format!(
        "run {} names `{}`, which is not in the plan",
        run.name, run.path[index]
    );
    fault_at(
        run,
        index,
        message,
        "describe it, or name a part, an anchor, casualty.POINT, tug.POINT or tug.winch",
    )
}

fn too_short(run: &Run) -> RigFault {
    RigFault::new(
        RigSubject::Run(run.name.clone()),
        format!("run {} has no two ends", run.name),
        "begin and end it at a recovery point, winch, anchor, block, ring or bridle",
    )
}

/// What is wrong with where an entry stands in its run.
fn misplaced(run: &Run, entries: &[TracedStop], index: usize) -> Option<RigFault> {
    let TracedStop { name, entry, .. } = &entries[index];
    let at_end = index == 0 || index + 1 == entries.len();
    if let Entry::Vehicle(point) = entry {
        let message = format!("{name} is a vehicle: a line is made fast to one of its points");
        return Some(fault_at(run, index, message, format!("write \"{point}\"")));
    }
    if at_end {
        let loose = !entry.is_station();
        return loose.then(|| loose_end(run, index, name));
    }
    match entry {
        Entry::Line(_) | Entry::Shackle(_) => None,
        Entry::Bridle(_) => Some(fault_at(
            run,
            index,
            format!("bridle {name} stands in the middle of run {}", run.name),
            "a run ends at a bridle, that is at its apex",
        )),
        Entry::Point(_) | Entry::Vehicle(_) => Some(fault_at(
            run,
            index,
            format!("{name} stands in the middle of run {}", run.name),
            "end the run there and begin another behind it; a line goes round blocks, rings and trunks only",
        )),
        Entry::Block(_) | Entry::Post(_) => not_gone_round(run, entries, index),
    }
}

fn loose_end(run: &Run, index: usize, name: &str) -> RigFault {
    let side = if index == 0 { "begins" } else { "ends" };
    fault_at(
        run,
        index,
        format!(
            "a loose end: run {} {side} with {name}, made fast to nothing",
            run.name
        ),
        "make it fast to a recovery point, winch, anchor, block, ring or bridle",
    )
}

/// A block, ring or trunk within a run has a line before it, which goes on round
/// any number of them, and no other line straight behind.
fn not_gone_round(run: &Run, entries: &[TracedStop], index: usize) -> Option<RigFault> {
    let name = entries[index].name;
    let gone_round = |i: &usize| {
        let is_round = matches!(entries[*i].entry, Entry::Block(_) | Entry::Post(_));
        *i > 0 && is_round
    };
    let lead = (0..index).rev().find(|i| !gone_round(i))?;
    let (lead, before, after) = (&entries[lead], &entries[index - 1], &entries[index + 1]);
    match (&lead.entry, &after.entry) {
        (Entry::Line(line), Entry::Line(next)) if line.name == next.name => Some(fault_at(
            run,
            index + 1,
            format!("{} is named again behind {name}", next.name),
            "leave it out: a line goes on behind what it goes round",
        )),
        (Entry::Line(line), Entry::Line(next)) => Some(fault_at(
            run,
            index,
            format!(
                "{} would go round {name} and straight into {}",
                line.name, next.name
            ),
            format!(
                "end the run at {name} if {} is made fast to it; else name the shackle that joins the two lines",
                line.name
            ),
        )),
        (Entry::Line(_), _) => None,
        // What stands behind another has that one's fault.
        _ if lead.index + 1 < index => None,
        (Entry::Shackle(_), _) => Some(fault_at(
            run,
            index,
            format!(
                "no line goes round {name} in run {}: {} stands before it",
                run.name, before.name
            ),
            format!("end the run at {name}, or name the line that goes round it just before it"),
        )),
        _ => Some(fault_at(
            run,
            index,
            format!("there is no line between {} and {name}", before.name),
            format!("name the line that goes round {name} just before it"),
        )),
    }
}

/// A run without any line joins only what hangs close by.
fn bare(traced: &Traced) -> Option<RigFault> {
    let has_line = traced
        .series
        .iter()
        .any(|part| matches!(part, Entry::Line(_)));
    let hangs = traced
        .ends()
        .iter()
        .any(|end| matches!(end.entry, Entry::Block(_) | Entry::Bridle(_)));
    (!has_line && !hangs).then(|| {
        RigFault::new(
            RigSubject::Run(traced.name.into()),
            format!("run {} has no line in it", traced.name),
            "name the line between its ends",
        )
    })
}

fn straight_back(traced: &Traced) -> Option<RigFault> {
    let pair = traced
        .stops
        .windows(2)
        .find(|pair| pair[0].name == pair[1].name)?;
    Some(RigFault::new(
        traced.at(pair[1].index),
        format!(
            "run {} goes from {} straight back to it",
            traced.name, pair[0].name
        ),
        "name what it goes to in between, or leave one out",
    ))
}

/// A line or shackle is one thing; it is in one place.
fn used_twice(plan: &Plan, layout: &Layout) -> Vec<RigFault> {
    let mut seen: Vec<(&str, &str)> = Vec::new();
    let mut faults = Vec::new();
    for run in &layout.runs {
        for (index, name) in run.path.iter().enumerate() {
            // A line named again behind its block has its own fault.
            let is_station = |i: usize| {
                entry::find(plan, layout, &run.path[i]).is_some_and(|entry| entry.is_station())
            };
            let repeated = index >= 2 && run.path[index - 2] == *name && is_station(index - 1);
            let entry = entry::find(plan, layout, name);
            if repeated || entry.is_none_or(|entry| entry.is_station()) {
                continue;
            }
            if let Some((_, other)) = seen.iter().find(|(known, _)| known == name) {
                let place = if *other == run.name {
                    format!("run {other} twice")
                } else {
                    format!("run {other} and in run {}", run.name)
                };
                faults.push(fault_at(
                    run,
                    index,
                    format!("{name} is in {place}"),
                    "describe each part under its own name, even if they are alike",
                ));
            }
            seen.push((name, &run.name));
        }
    }
    faults
}

/// Bridles between points that the plan does not know, or of two vehicles.
fn bridles_astray(plan: &Plan, layout: &Layout, traced: &[Traced]) -> Vec<RigFault> {
    let ends = traced.iter().flat_map(Traced::ends);
    ends.filter_map(|end| {
        let Entry::Bridle(bridle) = &end.entry else {
            return None;
        };
        let astray = match entry::bridle_points(plan, layout, bridle) {
            None => true,
            Some(points) => {
                let winch = points.iter().any(|p| p.kind == NodeKind::Winch);
                winch || bridle.points[0] == bridle.points[1]
            }
        };
        astray.then(|| {
            RigFault::new(
                RigSubject::Part(end.name.into()),
                format!("bridle {} does not span two recovery points", end.name),
                "name two recovery points of one vehicle",
            )
        })
    })
    .collect()
}
