//! What flies in a run, at its worst and where it arrives.

use steadypull_engine::letgo::flying::Meets;
use steadypull_engine::letgo::{Flown, FreeEnd, Outcome, Thing};

use crate::operation::ReplayThing;

/// Every thing of a run, `name` giving its words; the far vehicle's name where there is one.
pub(super) fn things(
    outcome: &Outcome,
    criterion_j: f64,
    far: Option<&str>,
    name: &dyn Fn(&Flown) -> String,
) -> Vec<ReplayThing> {
    let one = |flown: &Flown| {
        let arrival = arrival(outcome, flown);
        let strike = match &flown.meets {
            Meets::Strikes(strike) => Some(strike),
            _ => None,
        };
        let arrival_j = arrival.map(|a| a.2);
        let strike_j = strike.map(|s| s.energy.get());
        let there = [arrival_j, strike_j].into_iter().flatten();
        let (fastest_m_s, greatest_energy_j) = greatest(outcome, flown);
        ReplayThing {
            name: name(flown),
            mass_kg: flown.mass.get(),
            fastest_m_s,
            greatest_energy_j,
            arrives_s: arrival.map(|a| a.0),
            arrival_speed_m_s: arrival.map(|a| a.1),
            arrival_energy_j: arrival_j,
            strikes: strike.map(|s| {
                let face = crate::assemble::flying::words(s.face);
                far.map_or(face.to_string(), |far| format!("{face} of {far}"))
            }),
            strikes_s: strike.map(|s| s.time.get()),
            strike_speed_m_s: strike.map(|s| s.speed.get()),
            strike_energy_j: strike_j,
            over_criterion: there.map(|j| j > criterion_j).reduce(|a, b| a || b),
        }
    };
    outcome.flown.iter().map(one).collect()
}

/// Greatest speed and energy as the answer tells them: of the free end on its way to the
/// far vehicle.
fn greatest(outcome: &Outcome, flown: &Flown) -> (f64, f64) {
    match flown.thing {
        Thing::FreeEnd => (outcome.launch.speed.get(), outcome.launch_energy.get()),
        _ => (flown.max_speed.get(), flown.max_energy.get()),
    }
}

/// Time, speed and energy at the far recovery point.
fn arrival(outcome: &Outcome, flown: &Flown) -> Option<(f64, f64, f64)> {
    let of = |end: &FreeEnd| (end.time.get(), end.speed.get(), end.energy.get());
    match (flown.thing, &flown.meets) {
        (Thing::FreeEnd, _) => outcome.arrival.as_ref().map(of),
        (_, Meets::Passes(p)) => Some((p.time.get(), p.speed.get(), p.energy.get())),
        _ => None,
    }
}
