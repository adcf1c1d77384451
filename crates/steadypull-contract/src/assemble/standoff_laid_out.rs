//! The `standoff` area of a rig laid out on the ground.

use steadypull_engine::letgo::rig::{RigRule, RigZone};
use steadypull_engine::letgo::rule_distance::MANUAL_SOURCE;
use steadypull_engine::plan::Plan;
use steadypull_engine::units::Length;

use super::standoff::{Lowered, lowering_places, lowering_rule, points};
use crate::answer::{DangerArea, Place, Standoff};

/// The area but for the outlines, which are those of the rig.
pub(super) fn standoff(
    plan: &Plan,
    zone: &RigZone,
    failed_partings: u32,
    lowered: Option<Lowered>,
) -> Standoff {
    Standoff {
        rule_m: zone.rule.distance.get(),
        rule: match lowered {
            Some(lowered) => format!(
                "{} of the line that is out at the most",
                lowering_rule(plan, lowered).1
            ),
            None => rule_words(plan, &zone.rule),
        },
        computed_reach_m: zone.computed_reach.get(),
        computed_governs: zone.computed_governs,
        quantile: plan.policy.zone_quantile,
        runs: zone.runs as u32,
        failed_runs: zone.failed + failed_partings,
        zone: points(&zone.corners),
        rule_zone: points(&zone.rule_corners),
        behind_casualty_m: zone.behind_casualty.get(),
        behind_tug_m: zone.behind_tug.get(),
        beside_m: zone.beside.get(),
        outlines: Vec::new(),
        places: match lowered {
            Some(_) => lowering_places(plan, zone.rule.distance),
            None => places(plan, zone),
        },
        danger_areas: zone
            .areas
            .iter()
            .map(|a| DangerArea {
                name: a.name.clone(),
                why: a.why.clone(),
                corners: points(&a.corners),
            })
            .collect(),
    }
}

fn rule_words(plan: &Plan, rule: &RigRule) -> String {
    match &rule.by_run {
        Some((run, times)) if rule.metal => format!(
            "{times} lengths of the wire paid out in {run} from every part of line ({})",
            MANUAL_SOURCE.name
        ),
        Some((run, times)) => format!(
            "{times} lengths of the line paid out in {run} from every part of line (recovery strap regulations 2010 reg. 8)"
        ),
        None => format!(
            "policy: at least {} from every part of line, and one length of the longest",
            plan.units.length(plan.policy.standoff_min.get())
        ),
    }
}

fn places(plan: &Plan, zone: &RigZone) -> Vec<Place> {
    let length = |l: Length| plan.units.length(l.get());
    let mut places = vec![Place {
        who: "drivers".into(),
        place: "in their vehicles, belted, windows up, bonnet of a vehicle that faces a line raised; never in a bight".into(),
    }];
    let outside: Vec<&str> = zone.areas.iter().map(|a| a.observers.as_str()).collect();
    let side = if outside.is_empty() {
        "to the side".to_string()
    } else {
        outside.join("; ")
    };
    places.push(Place {
        who: "person in charge".into(),
        place: format!(
            "{side}; at least {} from every line, in sight of every driver",
            length(zone.beside)
        ),
    });
    if !zone.areas.is_empty() {
        let names: Vec<&str> = zone.areas.iter().map(|a| a.name.as_str()).collect();
        places.push(Place {
            who: "nobody".into(),
            place: format!("in the {} while the line is loaded", names.join(" or the ")),
        });
    }
    if plan.people.bystanders > 0 {
        places.push(Place {
            who: format!("{} bystanders", plan.people.bystanders),
            place: format!(
                "{side}; at least {} from every line, {} from the casualty and {} from the tug",
                length(zone.beside),
                length(zone.behind_casualty),
                length(zone.behind_tug)
            ),
        });
    }
    places
}
