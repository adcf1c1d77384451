//! What each anchor of a rig holds, and what was noticed about it.

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::gear::anchor::TAIL;
use steadypull_engine::plan::{AnchorKind, Place, Plan};
use steadypull_engine::rig::Yielding;
use steadypull_engine::rig::yielding::{mark_first, tug_walks, yielding};
use steadypull_engine::source::Source;
use steadypull_engine::units::{Force, Length};

use crate::answer::{self, AnchorHold};
use crate::show::percent;

/// Cosine of the angle either side of the pull into which a tree may fall, 60 deg
/// (assumed).
const FALLS_WITHIN_COS: f64 = 0.5;

fn standing(
    plan: &Plan,
    loads: &[(String, [f64; 3])],
    winch_load: Option<[f64; 3]>,
    pull_n: f64,
) -> Vec<Yielding> {
    if !(pull_n > 0.0 && pull_n.is_finite()) {
        return Vec::new();
    }
    let share = |load: [f64; 3]| load.map(|f| f / pull_n);
    let shares: Vec<_> = loads
        .iter()
        .map(|(node, load)| (node.clone(), share(*load)))
        .collect();
    let mut all = yielding(&plan.kit.anchors, &shares, plan.units);
    if let Some(load) = winch_load {
        let layout = plan.rig.as_ref().and_then(|rig| rig.layout.as_ref());
        let pose = layout.map(|layout| layout.tug);
        all.push(tug_walks(&plan.tug, pose, share(load), plan.units));
        mark_first(&mut all);
    }
    all
}

/// How the anchors of a rig stand under `loads`, N, by the name of their node, at a
/// pull of `pull_n` at the casualty; with the load on the winch, the tug that winches
/// as well. Nothing for a rig that does not pull.
pub fn anchors(
    plan: &Plan,
    loads: &[(String, [f64; 3])],
    winch_load: Option<[f64; 3]>,
    pull_n: f64,
) -> Vec<AnchorHold> {
    standing(plan, loads, winch_load, pull_n)
        .iter()
        .map(|one| anchor_hold(plan, one, Force::new(pull_n)))
        .collect()
}

fn anchor_hold(plan: &Plan, one: &Yielding, pull: Force) -> AnchorHold {
    let hold = &one.hold;
    let yields_at = |which: usize| one.pulls().map(|at| at[which].get());
    AnchorHold {
        name: one.name.clone(),
        kind: plan
            .kit
            .anchor(&one.name)
            .map_or(answer::AnchorKind::Tug, |anchor| kind(&anchor.kind)),
        words: one.words.clone(),
        low_hold_n: hold.low.get(),
        median_hold_n: hold.median.get(),
        high_hold_n: hold.high.get(),
        load_n: (pull * one.share).get(),
        share: one.share,
        yield_probability: one.probability(pull),
        yields_at_low_n: yields_at(0),
        yields_at_median_n: yields_at(1),
        yields_at_high_n: yields_at(2),
        yields_first: one.first,
        when_it_yields: one.then.clone(),
        falls_within_m: hold.falls_within.map(Length::get),
        refused: hold.refused.clone(),
        method: hold.method().into(),
        source: hold.source().map(in_words).unwrap_or_default(),
    }
}

fn in_words(source: Source) -> String {
    format!("{} ({})", source.name, source.status.words())
}

fn kind(kind: &AnchorKind) -> answer::AnchorKind {
    match kind {
        AnchorKind::Tree(_) => answer::AnchorKind::Tree,
        AnchorKind::Pickets(_) => answer::AnchorKind::Pickets,
        AnchorKind::Deadman(_) => answer::AnchorKind::Deadman,
        AnchorKind::Plate(_) => answer::AnchorKind::Plate,
        AnchorKind::Vehicle(_) => answer::AnchorKind::Vehicle,
        AnchorKind::Stated(_) => answer::AnchorKind::Stated,
    }
}

/// What was noticed about them; the same arguments as [`anchors`].
pub fn findings(
    plan: &Plan,
    loads: &[(String, [f64; 3])],
    winch_load: Option<[f64; 3]>,
    pull_n: f64,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for one in standing(plan, loads, winch_load, pull_n) {
        found.extend(refused(&one));
        found.extend(over_loaded(plan, &one, Force::new(pull_n)));
        found.extend(one.hold.findings.iter().cloned());
        found.extend(falls(plan, &one, loads));
    }
    found
}

fn refused(one: &Yielding) -> Option<Finding> {
    let why = one.hold.refused.as_ref()?;
    Some(Finding::new(
        Severity::Critical,
        "anchor-refused",
        &one.name,
        why.clone(),
        "use another anchor",
        one.hold.source().map_or("common practice", |s| s.name),
    ))
}

/// A vehicle that slides gives warning as it goes; anything else does not, and is
/// held to the policy's chance of parting.
fn over_loaded(plan: &Plan, one: &Yielding, pull: Force) -> Option<Finding> {
    let chance = one.probability(pull);
    if chance <= plan.policy.parting_probability {
        return None;
    }
    let anchor = plan.kit.anchor(&one.name);
    let slides = anchor.is_none_or(|a| matches!(a.kind, AnchorKind::Vehicle(_)));
    let severity = if slides && chance <= TAIL {
        Severity::Warning
    } else {
        Severity::Critical
    };
    let metric = plan.units;
    let load = pull * one.share;
    Some(Finding::new(
        severity,
        "anchor-over-loaded",
        &one.name,
        format!(
            "{} on it, and one anchor in twenty like it yields at {}: the chance that it does \
             is {}, over the {} allowed; then {}",
            metric.force(load.get()),
            metric.force(one.hold.low.get()),
            percent(chance),
            percent(plan.policy.parting_probability),
            one.then
        ),
        "pull less, share the load between anchors, or use a stronger one",
        one.hold.source().map_or("common practice", |s| s.name),
    ))
}

/// A tree falls along the pull on it: who stands there?
fn falls(plan: &Plan, one: &Yielding, loads: &[(String, [f64; 3])]) -> Option<Finding> {
    let reach = one.hold.falls_within?;
    let tree = plan.kit.anchor(&one.name)?;
    let pull = loads.iter().find(|(node, _)| *node == one.name)?.1;
    let under: Vec<&str> = vehicles(plan)
        .into_iter()
        .filter(|(_, at)| lies_under(tree.place, *at, pull, reach))
        .map(|(name, _)| name)
        .collect();
    let far = plan.units.length(reach.get());
    let (severity, message) = if under.is_empty() {
        let message = format!("if it gives it falls along the pull and reaches {far}");
        (Severity::Note, message)
    } else {
        let under = under.join(" and ");
        let message = format!("if it gives it falls along the pull and reaches {far}: on {under}");
        (Severity::Warning, message)
    };
    Some(Finding::new(
        severity,
        "tree-falls",
        &one.name,
        message,
        "keep everybody out of its reach on the side it is pulled to; choose a tree that cannot \
         reach the vehicles",
        "common practice",
    ))
}

fn vehicles(plan: &Plan) -> Vec<(&str, Place)> {
    let layout = plan.rig.as_ref().and_then(|rig| rig.layout.as_ref());
    let mut found: Vec<(&str, Place)> = layout
        .map(|l| vec![("the casualty", l.casualty.at), ("the tug", l.tug.at)])
        .unwrap_or_default();
    found.extend(plan.kit.anchors.iter().filter_map(|a| match &a.kind {
        AnchorKind::Vehicle(vehicle) => Some((&a.name[..], vehicle.pose.at)),
        _ => None,
    }));
    found
}

fn lies_under(tree: Place, at: Place, pull: [f64; 3], reach: Length) -> bool {
    let [x, y] = [at.x.get() - tree.x.get(), at.y.get() - tree.y.get()];
    let (away, level) = (
        (x * x + y * y).sqrt(),
        (pull[0] * pull[0] + pull[1] * pull[1]).sqrt(),
    );
    let ahead = x * pull[0] + y * pull[1] >= FALLS_WITHIN_COS * away * level;
    away <= reach.get() && ahead
}
