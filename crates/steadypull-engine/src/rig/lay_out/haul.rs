//! Which runs are hauled, and which way they are read.

use super::entry::{self, Entry};
use super::trace::{Traced, TracedStop};
use super::{RigFault, RigSubject};
use crate::plan::{Layout, Method, Plan};
use crate::rig::NodeKind;

/// A hauled run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Haul {
    /// Which of the traced runs.
    pub run: usize,
    /// Whether it is written from the haul on and has to be turned round.
    pub turned: bool,
}

/// The hauled runs, at least one.
pub(super) fn hauls(
    plan: &Plan,
    method: Method,
    traced: &[Traced],
) -> Result<Vec<Haul>, Vec<RigFault>> {
    one_run_at_the_winch(traced)?;
    let layout = plan.rig.as_ref().and_then(|rig| rig.layout.as_ref());
    let at_winch = |end: &TracedStop| is_winch(end);
    let at_tow = |end: &TracedStop| layout.is_some_and(|layout| tows(plan, layout, end));
    let found = match method {
        Method::WinchSingle | Method::WinchMulti => ends_where(traced, at_winch)?,
        Method::Lower => held_back(traced, at_winch, at_tow)?,
        _ => ends_where(traced, at_tow)?,
    };
    if found.is_empty() {
        return Err(vec![no_haul(method)]);
    }
    for haul in &found {
        by_the_winch_line(plan, &traced[haul.run])?;
    }
    Ok(found)
}

fn is_winch(end: &TracedStop) -> bool {
    matches!(&end.entry, Entry::Point(point) if point.kind == NodeKind::Winch)
}

/// Whether a tow hauls at this end.
fn tows(plan: &Plan, layout: &Layout, end: &TracedStop) -> bool {
    match &end.entry {
        Entry::Point(point) => point.tows,
        Entry::Bridle(bridle) => entry::bridle_points(plan, layout, bridle)
            .is_some_and(|points| points.iter().all(|point| point.tows)),
        _ => false,
    }
}

/// Runs with one such end; two ends of one line cannot both haul.
fn ends_where(
    traced: &[Traced],
    hauls: impl Fn(&TracedStop) -> bool,
) -> Result<Vec<Haul>, Vec<RigFault>> {
    let mut found = Vec::new();
    for (run, line) in traced.iter().enumerate() {
        let [first, last] = line.ends();
        match (hauls(first), hauls(last)) {
            (true, true) => return Err(vec![both_ends(line)]),
            (turned, at_last) if turned || at_last => found.push(Haul { run, turned }),
            _ => {}
        }
    }
    Ok(found)
}

/// Lowering: the winch pays out, else the tug eases back, else the first line
/// that is made fast to an anchor is let out there.
fn held_back(
    traced: &[Traced],
    at_winch: impl Fn(&TracedStop) -> bool,
    at_tow: impl Fn(&TracedStop) -> bool,
) -> Result<Vec<Haul>, Vec<RigFault>> {
    let winch = ends_where(traced, at_winch)?;
    if !winch.is_empty() {
        return Ok(winch);
    }
    let tug = ends_where(traced, at_tow)?;
    if !tug.is_empty() {
        return Ok(tug);
    }
    let at_anchor = |end: &TracedStop| match &end.entry {
        Entry::Post(_) => true,
        Entry::Point(point) => point.kind == NodeKind::Anchor,
        _ => false,
    };
    let has_line = |run: &Traced| run.series.iter().any(|part| matches!(part, Entry::Line(_)));
    let first = traced.iter().position(|run| {
        let [a, b] = run.ends();
        has_line(run)
            && at_anchor(a) != at_anchor(b)
            && !matches!(
                (&a.entry, &b.entry),
                (Entry::Block(_), _) | (_, Entry::Block(_))
            )
    });
    Ok(first
        .map(|run| Haul {
            run,
            turned: at_anchor(traced[run].ends()[0]),
        })
        .into_iter()
        .collect())
}

fn both_ends(run: &Traced) -> RigFault {
    RigFault::new(
        RigSubject::Run(run.name.into()),
        format!("run {} is hauled at both ends", run.name),
        "make one end fast to an anchor or to the casualty",
    )
}

fn no_haul(method: Method) -> RigFault {
    let (who, remedy) = match method {
        Method::WinchSingle | Method::WinchMulti => (
            "no run ends at the winch",
            "end the run of the winch's line at tug.winch",
        ),
        Method::Lower => (
            "no run is held at a winch, a tug or an anchor",
            "end the line that is paid out at tug.winch, at a point of the tug or at an anchor",
        ),
        _ => (
            "no run ends at the tug",
            "end the line that is towed on at a recovery point of the tug",
        ),
    };
    RigFault::new(
        RigSubject::Layout,
        format!("nothing hauls this rig: {who}"),
        remedy,
    )
}

fn one_run_at_the_winch(traced: &[Traced]) -> Result<(), Vec<RigFault>> {
    let mut at_winch = traced
        .iter()
        .flat_map(|run| run.ends().map(|end| (run, end.index, is_winch(end))))
        .filter(|(_, _, winch)| *winch);
    let first = at_winch.next();
    match (first, at_winch.next()) {
        (Some((one, ..)), Some((other, index, _))) => Err(vec![RigFault::new(
            RigSubject::Stop {
                run: other.name.into(),
                index,
            },
            if one.name == other.name {
                format!("run {} has both its ends at the winch", one.name)
            } else {
                format!("runs {} and {} both end at the winch", one.name, other.name)
            },
            "a winch has one line: end the other run elsewhere",
        )]),
        _ => Ok(()),
    }
}

/// A run reaches the winch by the winch's own line.
fn by_the_winch_line(plan: &Plan, run: &Traced) -> Result<(), Vec<RigFault>> {
    let Some(winch) = &plan.tug.winch else {
        return Ok(());
    };
    for (end, parts) in run
        .ends()
        .into_iter()
        .zip([run.parts.first(), run.parts.last()])
    {
        let near = if end.index == 0 {
            parts.and_then(|p| p.first())
        } else {
            parts.and_then(|p| p.last())
        };
        if is_winch(end) && near != Some(&winch.line.as_str()) {
            return Err(vec![RigFault::new(
                RigSubject::Stop {
                    run: run.name.into(),
                    index: end.index,
                },
                format!(
                    "run {} reaches the winch by another line than its own",
                    run.name
                ),
                format!(
                    "name {}, the line on the winch, next to tug.winch",
                    winch.line
                ),
            )]);
        }
    }
    Ok(())
}
