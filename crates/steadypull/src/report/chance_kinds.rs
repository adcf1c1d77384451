//! What is told first of a lowering, and of a plan without a rig.

use steadypull_contract::answer::{Chance, ChanceLowering};
use steadypull_contract::in_these;
use steadypull_contract::show::Units;

use super::Page;
use super::chance::between;

/// What is counted of a lowering.
const LOWERINGS: &str = "lowerings";

/// Whether it is held, and whether the belay holds.
pub(super) fn lowering(page: &mut Page, of: &ChanceLowering, units: Units) {
    page.heading("WILL IT HOLD", "all the way down, before anything lets go");
    page.fact("It is held", &in_these(&of.held, LOWERINGS));
    let force = |n: f64| units.force(n);
    page.fact("Holding asks for", &between(&of.asked_n, force));
    page.fact("The holder can hold", &between(&of.can_hold_n, force));
    page.heading("WILL THE BELAY HOLD", "if the main line lets go on the way");
    let Some(belay) = &of.belay else {
        page.fact("Belay", "NONE: a part that lets go lets the vehicle run");
        page.fact(
            "Speed then",
            &between(&of.loose_m_s, |v| units.flight_speed(v)),
        );
        return;
    };
    match &belay.holds {
        Some(holds) => page.fact("The belay holds", &in_these(holds, LOWERINGS)),
        None => page.fact("The belay holds", "not known, see NOT SAID"),
    }
    page.fact(
        "Line and device stop it",
        &in_these(&belay.stops, LOWERINGS),
    );
    page.fact("Peak on the belay", &between(&belay.peak_n, force));
    page.fact(
        "Speed with no belay",
        &between(&of.loose_m_s, |v| units.flight_speed(v)),
    );
}

/// What the tug alone decides.
pub(super) fn without_rig(page: &mut Page, answer: &Chance, units: Units) {
    page.heading("WILL IT MOVE", "no rig: what the tug alone decides");
    let force = |n: f64| units.force(n);
    match &answer.resistance_n {
        Some(resistance) => page.fact("Resistance", &between(resistance, force)),
        None => page.fact("Resistance", "HELD FAST: no pull moves it"),
    }
    if let Some(dug) = answer.resistance_dug_n.as_ref() {
        page.fact("  once dug out", &between(dug, force));
    }
    for method in &answer.by_method {
        let dug = if method.dug_first { ", dug first" } else { "" };
        page.fact(
            &format!("{}{dug}", method.method.title()),
            &in_these(&method.moves, "pulls"),
        );
        page.fact("  it can bring", &between(&method.brings_n, force));
    }
}
