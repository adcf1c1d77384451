//! What an instructor must know of what flies at a vehicle.

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::letgo::injury;
use steadypull_engine::plan::Plan;
use steadypull_engine::rig::Side as EngineSide;

use super::findings::in_contract;
use super::flying::vehicle;
use crate::answer::{self, BodyFace, FaceStruck, LetGo, Shield, Side};
use crate::show::{Units, figures};

/// Findings on what strikes glass and what stands before it.
pub(super) fn findings(plan: &Plan, let_go: &LetGo) -> Vec<answer::Finding> {
    let glass = let_go.faces.iter().filter(|f| f.glass_is_guarded.is_some());
    glass
        .filter(|f| f.energy_j >= let_go.injury_energy_j.min(injury::FIRST_CASUALTY.get()))
        .map(|f| in_contract(at_glass(plan, f)))
        .collect()
}

fn at_glass(plan: &Plan, struck: &FaceStruck) -> Finding {
    let name = &vehicle(plan, engine_side(struck.vehicle)).name;
    let strike = format!(
        "in {} of {} scattered runs what flies at {name} strikes {}, at worst with {} ({} times the ball of the windscreen test) when {} lets go",
        struck.strikes,
        struck.runs,
        words(struck.face),
        plan.units.energy(struck.energy_j),
        figures(struck.energy_j / injury::windscreen_test_energy().get()),
        struck.link
    );
    if struck.glass_is_guarded == Some(true) {
        let margin = struck
            .shields
            .iter()
            .filter_map(|s| s.margin)
            .fold(0.0, f64::max);
        return Finding::new(
            Severity::Note,
            "guard-holds",
            name,
            format!(
                "{strike}; the guard before it holds by its rating, {} times that",
                figures(margin)
            ),
            "check that the guard is fitted as it was rated",
            "the rating stated in the plan",
        );
    }
    let failing: Vec<String> = struck
        .shields
        .iter()
        .map(|shield| said(shield, plan.units))
        .collect();
    let (code, before) = if struck.shields.iter().any(|s| s.rated_energy_j.is_some()) {
        ("guard-does-not-hold", failing.join(", "))
    } else if failing.is_empty() {
        ("into-screen", "nothing stands before it".to_string())
    } else {
        ("screen-not-known", failing.join(", "))
    };
    Finding::new(
        Severity::Warning,
        code,
        name,
        format!("{strike}; {before}"),
        "lower the load, dampers hard against the hardware, a guard with a rating before the glass, drivers low and out of line; a bonnet counts for nothing here",
        "UN Regulation 43 annex 6/4.2; box model of this plan",
    )
}

fn said(shield: &Shield, units: Units) -> String {
    match (
        shield.holds,
        shield.rated_energy_j,
        shield.perforated_from_j,
    ) {
        (Some(false), Some(rated), _) => format!(
            "the {} is rated {} and does not hold",
            shield.what,
            units.energy(rated)
        ),
        (Some(false), None, Some([_, high])) => format!(
            "the {} does not hold (sheet steel is pierced from {} at the most, an estimate)",
            shield.what,
            units.energy(high)
        ),
        _ => format!("whether the {} holds is not known", shield.what),
    }
}

fn words(face: BodyFace) -> &'static str {
    match face {
        BodyFace::Windscreen => "the windscreen over the bonnet",
        BodyFace::RaisedBonnet => "the raised bonnet",
        _ => "the rear screen",
    }
}

fn engine_side(side: Side) -> EngineSide {
    match side {
        Side::Tug => EngineSide::Tug,
        _ => EngineSide::Casualty,
    }
}
