//! What is uncertain about a lowering, by kind and source.

use super::gear_spread::{stretch_variable, winch_variable_of};
use super::variables::{assumed, energy_return, let_go, strengths};
use super::{Rigged, Role, Variable, lowered};
use crate::chance::{Distribution, LogNormal};
use crate::plan::{Holder, Lowering, Plan};

/// Everything uncertain about `lowering` with the rig `rigged`.
pub(super) fn of(plan: &Plan, lowering: &Lowering, rigged: &Rigged) -> Vec<Variable> {
    let mut found = vehicle(plan, lowering);
    found.extend(holder(plan, lowering));
    found.push(assumed(
        Role::LetGoPlace,
        "let-go.place",
        "where on the way the main line lets go, if it does: each place as likely",
        "where the main line lets go",
        Distribution::Uniform {
            low: 0.0,
            high: 1.0,
        },
        "",
    ));
    if let Some(belay) = lowering.belay.as_ref().filter(|b| b.slack.get() > 0.0) {
        found.push(assumed(
            Role::BelaySlack,
            "lowering.belay.slack",
            "slack in the belay, as tended",
            "slack in the belay",
            lowered::belay_slack(belay.slack.get()),
            "m",
        ));
    }
    found.extend(stretch_variable(&rigged.path));
    found.extend(strengths(rigged));
    if rigged.path.laid_out.is_some() {
        found.extend(energy_return(rigged));
        found.extend(let_go(plan));
    }
    found
}

fn vehicle(plan: &Plan, lowering: &Lowering) -> Vec<Variable> {
    vec![
        assumed(
            Role::CasualtyMass,
            "casualty.mass",
            "mass of the casualty, as estimated",
            "mass of the casualty",
            lowered::mass(lowering, plan.casualty.vehicle.mass.get()),
            "kg",
        ),
        assumed(
            Role::Rolling,
            "lowering.rolling",
            "rolling resistance on the way",
            "rolling resistance on the way",
            Distribution::LogNormal(LogNormal::new(lowering.rolling, lowering.rolling_spread)),
            "",
        ),
    ]
}

/// What holds the line back.
fn holder(plan: &Plan, lowering: &Lowering) -> Option<Variable> {
    match lowering.main.holder {
        Holder::Turns(turns) => Some(assumed(
            Role::HolderFriction,
            "lowering.main.friction",
            "friction of the line round what lowers it",
            "friction of the turns",
            Distribution::LogNormal(LogNormal::new(turns.friction, turns.friction_spread)),
            "",
        )),
        Holder::Winch => plan.tug.winch.as_ref().map(winch_variable_of),
    }
}
