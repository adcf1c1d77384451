//! `[rig.run.NAME]`: a rig laid out on the ground, run by run, and what the
//! engine finds wrong with it, told at its place in the file.

use core::ops::Range;

use steadypull_engine::plan::{Layout, Part, Plan, Run};
use steadypull_engine::rig::lay_out::{self, RigFault, RigSubject};

use super::defaults;
use super::names::{Names, Sort};
use super::section::Section;
use super::value::{Fault, Named};

/// Most runs.
const MOST_RUNS: usize = 30;
/// Longest path of a run.
const MOST_STEPS: usize = 40;

/// A run with its places in the file.
pub(super) struct WrittenRun {
    pub name: String,
    pub span: Range<usize>,
    /// Its path, each entry with its place.
    pub steps: Vec<(Range<usize>, String)>,
}

/// The tables `[rig.run.NAME]`, or `None` after reading them all if any is bad.
pub(super) fn written(rig: &Section) -> Option<Vec<WrittenRun>> {
    let group = rig.table("run");
    let tables = rig.named("run", MOST_RUNS);
    if !group.is_present() {
        return None;
    }
    // One with a bad name has been told, and is missing here.
    let all_named = tables.len() == group.names().len();
    let runs: Vec<_> = tables
        .into_iter()
        .map(|(name, section)| {
            let steps = section.items::<Named>("path", MOST_STEPS);
            if !section.has("path") {
                section.note_missing(
                    "path",
                    "what the line is made fast to, its parts in order, what its other end is made fast to".into(),
                );
            }
            section.close();
            let steps = steps?;
            Some(WrittenRun {
                name,
                span: section.heading(),
                steps: steps.into_iter().map(|(span, text)| (span, text.0)).collect(),
            })
            .filter(|_| section.has("path"))
        })
        .collect();
    let runs: Option<Vec<_>> = runs.into_iter().collect();
    runs.filter(|_| all_named)
}

/// Notes every name that the file does not describe; true if there is none.
pub(super) fn all_known(rig: &Section, runs: &[WrittenRun], names: &Names) -> bool {
    let steps = runs
        .iter()
        .flat_map(|run| run.steps.iter().map(move |step| (run, step)));
    let unknown = steps.filter(|(_, (_, name))| names.sort(name).is_none());
    unknown
        .map(|(run, (span, name))| {
            if rig.is_broken() {
                return;
            }
            let message = format!(
                "run {} names \"{name}\", which the file does not describe",
                run.name
            );
            let fault = Fault::new(message).expecting(
                "a part of the kit, an anchor, casualty.POINT, tug.POINT, ANCHOR.POINT or tug.winch",
            );
            let meant = names.meant(name, |_| true);
            let hint = meant.map(|meant| format!("did you mean \"{meant}\"?"));
            rig.note_whole(span.clone(), Fault { hint, ..fault });
        })
        .count()
        == 0
}

/// The engine's runs.
pub(super) fn runs_of(written: &[WrittenRun]) -> Vec<Run> {
    let run = |run: &WrittenRun| Run {
        name: run.name.clone(),
        path: run.steps.iter().map(|(_, name)| name.clone()).collect(),
    };
    written.iter().map(run).collect()
}

/// Notes what the engine finds wrong with the rig.
pub(super) fn check(file: &Section, plan: &Plan, written: &[WrittenRun]) {
    let Some(layout) = plan.rig.as_ref().and_then(|rig| rig.layout.as_ref()) else {
        return;
    };
    if file.is_broken() || !anchors_are_read(file, plan, layout) {
        return;
    }
    for fault in lay_out::graph(plan).err().unwrap_or_default() {
        let span = place_of(file, &fault, written);
        let RigFault {
            message, remedy, ..
        } = fault;
        file.note_whole(span, Fault::new(message).hinting(remedy));
    }
}

/// Whether the plan holds every anchor that the file describes and the rig uses:
/// one with a mistake in it has had that mistake noted.
fn anchors_are_read(file: &Section, plan: &Plan, layout: &Layout) -> bool {
    let described = file.table("anchor").names();
    let mut owners = used(plan, layout)
        .into_iter()
        .map(|name| name.split('.').next().unwrap_or_default().to_string());
    owners.all(|owner| {
        let is_anchor = described.iter().any(|(name, _)| *name == owner);
        !is_anchor || plan.kit.anchor(&owner).is_some()
    })
}

/// Every name in the runs, the points of their bridles included.
fn used(plan: &Plan, layout: &Layout) -> Vec<String> {
    let mut names: Vec<String> = layout
        .runs
        .iter()
        .flat_map(|run| run.path.clone())
        .collect();
    let bridles: Vec<String> = names
        .iter()
        .filter_map(|name| match plan.kit.part(name) {
            Some(Part::Bridle(bridle)) => Some(bridle.points.clone()),
            _ => None,
        })
        .flatten()
        .collect();
    names.extend(bridles);
    names
}

fn place_of(file: &Section, fault: &RigFault, written: &[WrittenRun]) -> Range<usize> {
    let run = |name: &str| written.iter().find(|run| run.name == name);
    let found = match &fault.subject {
        RigSubject::Stop { run: name, index } => run(name)
            .and_then(|run| run.steps.get(*index))
            .map(|(span, _)| span.clone()),
        RigSubject::Run(name) => run(name).map(|run| run.span.clone()),
        RigSubject::Part(name) => written
            .iter()
            .flat_map(|run| &run.steps)
            .find(|(_, step)| step == name)
            .map(|(span, _)| span.clone()),
        RigSubject::Layout => None,
    };
    found.unwrap_or_else(|| file.table("rig").heading())
}

/// Lists what a rig laid out on the ground takes for granted.
pub(super) fn assume(file: &Section, written: &[WrittenRun], names: &Names) {
    let used = used_points(file, written);
    for vehicle in ["casualty", "tug"] {
        let table = file.table(vehicle);
        for (name, point) in table.named("point", usize::MAX) {
            if !point.has("forward") && used.contains(&format!("{vehicle}.{name}")) {
                let metres = defaults::forward(&name).get();
                let text = defaults::carried_over(metres, "m");
                point.assume("forward", &text, defaults::FORWARD_REASON);
            }
        }
    }
    let winch = file.table("tug").table("winch");
    if winch.is_present() && !winch.has("forward") && used.iter().any(|name| name == "tug.winch") {
        let text = defaults::carried_over(defaults::FRONT.get(), "m");
        winch.assume("forward", &text, defaults::WINCH_FORWARD_REASON);
    }
    let rig = file.table("rig");
    rig.assume(
        "shackle_length",
        &defaults::carried_over(lay_out::SHACKLE_LENGTH.get(), "m"),
        defaults::SHACKLE_LENGTH_REASON,
    );
    let at_anchors = made_fast_to_anchors(written, names);
    for (name, line) in file.named("line", usize::MAX) {
        if at_anchors.contains(&name.as_str()) && !line.has("hitch") {
            line.assume("hitch", "straight", defaults::HITCH_REASON);
        }
    }
    let gone_round = |run: &WrittenRun| {
        let inner = run.steps.len().saturating_sub(1);
        let mut inner = run.steps.iter().take(inner).skip(1);
        inner.any(|(_, name)| names.sort(name) == Some(Sort::Anchor))
    };
    if written.iter().any(gone_round) {
        let text = lay_out::TRUNK_FRICTION.to_string();
        rig.assume("trunk_friction", &text, defaults::TRUNK_FRICTION_REASON);
    }
}

/// The line nearest to each end of a run at an anchor.
fn made_fast_to_anchors<'r>(written: &'r [WrittenRun], names: &Names) -> Vec<&'r str> {
    let is = |name: &str, sort: Sort| names.sort(name) == Some(sort);
    let mut found: Vec<&str> = Vec::new();
    for run in written {
        let forward: Vec<&str> = run.steps.iter().map(|(_, name)| name.as_str()).collect();
        let backward: Vec<&str> = forward.iter().rev().copied().collect();
        for steps in [forward, backward] {
            let at_anchor = steps.first().is_some_and(|end| is(end, Sort::Anchor));
            let nearest = steps.into_iter().find(|name| is(name, Sort::Line));
            found.extend(nearest.filter(|line| at_anchor && !found.contains(line)));
        }
    }
    found
}

/// Every name in the runs, and the points of the bridles they end at.
fn used_points(file: &Section, written: &[WrittenRun]) -> Vec<String> {
    let bridles = file.table("bridle");
    let mut names: Vec<String> = Vec::new();
    for (_, name) in written.iter().flat_map(|run| &run.steps) {
        names.push(name.clone());
        let points = bridles.texts_of(name, "points");
        names.extend(points.into_iter().map(str::to_string));
    }
    names
}
