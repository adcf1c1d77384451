//! The `standoff` area.

use steadypull_engine::letgo::cases::{Case, Scatter};
use steadypull_engine::letgo::rule_distance::uninvolved_distance;
use steadypull_engine::letgo::zone::{Zone, ZoneRule, zone};
use steadypull_engine::plan::Plan;
use steadypull_engine::units::{Angle, Length};

use super::rig::design_load;
use super::{ChosenRig, outlines};
use crate::answer::{Outline, Place, PlanPoint, Standoff};

/// Vehicle outlines in plan, m: a wagon (assumed; for the drawing only).
pub(super) const VEHICLE_LENGTH_M: f64 = 4.9;
pub(super) const VEHICLE_WIDTH_M: f64 = 1.9;
/// Rays of the zone's polygon, one every three degrees.
const ZONE_RAYS: usize = 120;
/// Half the angle one landing stands for: over twice the 5 deg spread of
/// directions, so that few runs leave no gap that looks safe between two lobes.
const LOBE_DEG: f64 = 12.0;
/// Distance between the vehicles where there is no rig to say.
pub(super) const NO_RIG_SPAN: Length = Length::new(9.0);

/// Lines of a lowering: the most of one that is out, and whether one is metal.
#[derive(Clone, Copy)]
pub(super) struct Lowered {
    pub span: Length,
    pub metal: bool,
}

pub(super) fn standoff(
    plan: &Plan,
    chosen: Option<&ChosenRig>,
    lowered: Option<Lowered>,
    cases: &[Case],
    thrown: &Scatter,
) -> Standoff {
    let without_rig = lowered.map_or(NO_RIG_SPAN, |l| l.span);
    let span = chosen.map_or(without_rig, |c| {
        c.path.line_length().max(lowered_span(lowered))
    });
    let (rule, rule_words) = rule(plan, chosen, lowered, span);
    let zone_rule = ZoneRule {
        span,
        radius: rule,
        quantile: plan.policy.zone_quantile,
        rays: ZONE_RAYS,
        lobe: Angle::from_deg(LOBE_DEG),
        mirrored: true,
    };
    let zone = zone(&zone_rule, &thrown.by_thing());
    Standoff {
        rule_m: rule.get(),
        rule: rule_words,
        computed_reach_m: reach(cases, thrown, span),
        computed_governs: zone.computed_governs,
        quantile: plan.policy.zone_quantile,
        runs: thrown.runs.len() as u32,
        failed_runs: thrown.failed,
        zone: points(&zone.corners),
        rule_zone: points(&zone.rule_corners),
        behind_casualty_m: zone.behind_casualty.get(),
        behind_tug_m: zone.behind_tug.get(),
        beside_m: zone.beside.get(),
        outlines: outlines(plan, chosen, span),
        places: match lowered {
            Some(_) => lowering_places(plan, rule),
            None => places(plan, &zone),
        },
        danger_areas: Vec::new(),
    }
}

fn lowered_span(lowered: Option<Lowered>) -> Length {
    lowered.map_or(Length::ZERO, |l| l.span)
}

/// The rule round a lowering: by the line that is out at the most.
pub(super) fn lowering_rule(plan: &Plan, lowered: Lowered) -> (Length, String) {
    rule(plan, None, Some(lowered), lowered.span)
}

/// The largest rule that applies: the policy's multiples of line length, never
/// under one length of the longest line or the policy's least.
pub(super) fn rule(
    plan: &Plan,
    chosen: Option<&ChosenRig>,
    lowered: Option<Lowered>,
    span: Length,
) -> (Length, String) {
    let policy = &plan.policy;
    let lines = chosen.map(|c| c.path.lines.as_slice()).unwrap_or_default();
    let metal = lines.iter().any(|l| l.material.is_metal()) || lowered.is_some_and(|l| l.metal);
    let (times, source) = if metal {
        (
            policy.standoff_wire_lengths,
            "US Army FM 4-30.31 ch. 4, read in a reproduction",
        )
    } else {
        (
            policy.standoff_line_lengths,
            "recovery strap regulations 2010 reg. 8",
        )
    };
    let lengths: Vec<Length> = lines.iter().map(|l| l.length).collect();
    let by_length = span * times;
    let distance = by_length
        .max(uninvolved_distance(&lengths))
        .max(policy.standoff_min);
    let words = if distance > by_length {
        format!(
            "policy: at least {}",
            plan.units.length(policy.standoff_min.get())
        )
    } else {
        format!("{times} line lengths ({source})")
    };
    (distance, words)
}

/// Greatest distance beyond either recovery point, all runs together.
fn reach(cases: &[Case], thrown: &Scatter, span: Length) -> f64 {
    let beyond = |x: f64| (-x).max(x - span.get());
    let scattered = thrown
        .runs
        .iter()
        .flat_map(|r| &r.places_m)
        .map(|(x, _)| beyond(*x));
    let planned = cases.iter().map(|c| c.planned.reach.get());
    planned.chain(scattered).fold(0.0, f64::max)
}

pub(super) fn points(corners: &[(f64, f64)]) -> Vec<PlanPoint> {
    corners
        .iter()
        .map(|&(x_m, y_m)| PlanPoint { x_m, y_m })
        .collect()
}

pub(super) fn outlines(plan: &Plan, chosen: Option<&ChosenRig>, span: Length) -> Vec<Outline> {
    if let Some((laid_out, scale)) = chosen.and_then(design_load) {
        return outlines::outlines(plan, laid_out, scale);
    }
    let span = span.get();
    let mut found = vec![
        rectangle(
            "casualty",
            &plan.casualty.vehicle.name,
            -VEHICLE_LENGTH_M,
            0.0,
        ),
        rectangle("tug", &plan.tug.vehicle.name, span, span + VEHICLE_LENGTH_M),
    ];
    let Some(chosen) = chosen else { return found };
    let mut from = 0.0;
    for line in &chosen.path.lines {
        let to = from + line.length.get();
        found.push(open("line", &line.name, &[(from, 0.0), (to, 0.0)]));
        from = to;
    }
    for damper in &plan.kit.dampers {
        found.push(open("damper", &damper.name, &[(damper.place * span, 0.0)]));
    }
    found
}

fn rectangle(what: &str, name: &str, from: f64, to: f64) -> Outline {
    let half = 0.5 * VEHICLE_WIDTH_M;
    let corners = [(from, -half), (to, -half), (to, half), (from, half)];
    Outline {
        closed: true,
        ..open(what, name, &corners)
    }
}

fn open(what: &str, name: &str, corners: &[(f64, f64)]) -> Outline {
    Outline {
        what: what.into(),
        name: name.into(),
        closed: false,
        points: points(corners),
        tension_n: None,
    }
}

/// Who stands where in a lowering (common practice).
pub(super) fn lowering_places(plan: &Plan, rule: Length) -> Vec<Place> {
    let away = plan.units.length(rule.get());
    let place = |who: &str, place: String| Place {
        who: who.into(),
        place,
    };
    let mut places = vec![
        place(
            "everybody",
            "nobody below the vehicle or on the run-out, from the first load to the last".into(),
        ),
        place(
            "brake hand and belay hand",
            "uphill of their devices, to the side of the lines, never in a bend".into(),
        ),
        place(
            "edge watcher",
            "to the side of the way, level with the edge, clear of the lines".into(),
        ),
        place(
            "person in charge",
            "to the side, in sight of vehicle, brake hand and belay hand".into(),
        ),
    ];
    if plan.people.bystanders > 0 {
        places.push(place(
            &format!("{} bystanders", plan.people.bystanders),
            format!("uphill and to the side, at least {away} from vehicle, lines and anchors"),
        ));
    }
    places
}

fn places(plan: &Plan, zone: &Zone) -> Vec<Place> {
    let length = |l: Length| plan.units.length(l.get());
    let mut places = vec![
        Place {
            who: "drivers".into(),
            place: "in their vehicles, belted, windows up, bonnet of the vehicle that faces the line raised".into(),
        },
        Place {
            who: "person in charge".into(),
            place: format!("to the side, at least {} from the line, in sight of both drivers", length(zone.beside)),
        },
    ];
    if plan.people.bystanders > 0 {
        places.push(Place {
            who: format!("{} bystanders", plan.people.bystanders),
            place: format!(
                "to the side, at least {} from the line; nobody behind the casualty within {} or behind the tug within {}",
                length(zone.beside),
                length(zone.behind_casualty),
                length(zone.behind_tug)
            ),
        });
    }
    places
}
