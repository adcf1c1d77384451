//! One flight of a rig laid out on the ground.

use steadypull_engine::letgo::rig::{EndShown, FilmedFlight, Shown, ThrownAt, Which, filmed};
use steadypull_engine::letgo::{Flown, Thing};
use steadypull_engine::plan::Plan;
use steadypull_engine::rig::LaidOut;
use steadypull_engine::units::Force;

use super::tracks::{Names, from_point, mm, tracks};
use super::{Rig, asked, common};
use crate::answer::Flight;
use crate::assemble::flying::vehicle;
use crate::assemble::load_path::side;
use crate::assemble::partings;
use crate::operation::{Replay, ReplayRequest, ReplayThing, ReplayTrack, TrackKind};
use crate::printed::Errors;

/// What a launch that is carried on says besides.
const OWN_PART: &str = "of a line that goes on round a block its own part alone is shown, no further past the block than it is long: the rest is worked out laid straight past it";

pub(super) fn replay(
    plan: &Plan,
    rig: &Rig,
    laid_out: &LaidOut,
    request: &ReplayRequest,
) -> Result<Replay, Errors> {
    let which = Which {
        parting: request.case as usize,
        flight: request.flight.unwrap_or(0) as usize,
    };
    let at = |load| filmed(plan, laid_out, rig.pull, which, load);
    let no_such = || {
        let what = format!("part {} with a flight", request.case);
        asked::no_such(&what, request.flight.unwrap_or(0), None)
    };
    let planned = at(None).ok_or_else(no_such)?.map_err(asked::failed)?;
    let shown = match request.load_n {
        None => planned,
        Some(load_n) => {
            let most = planned.most_load.get();
            asked::within(asked::LOAD, load_n, (asked::LOAD_N.0, most))?;
            let other = at(Some(Force::new(load_n)));
            other.ok_or_else(no_such)?.map_err(asked::failed)?
        }
    };
    told(plan, rig, shown)
}

fn told(plan: &Plan, rig: &Rig, shown: FilmedFlight) -> Result<Replay, Errors> {
    let flight = partings::flight(plan, &shown.flight);
    let whole = Replay {
        parts: format!("{} parts, {}", shown.part, shown.at),
        load_n: shown.load.get(),
        most_load_n: shown.most_load.get(),
        ..common(plan, rig)
    };
    let whole = match &shown.shown {
        Some(Shown::End(end)) => of_end(plan, whole, end, &flight),
        Some(Shown::Thrown(states)) => of_throw(whole, states, &flight),
        None => {
            return Err(asked::not_shown(&format!(
                "{} is only bounded, not worked out in time: there is no motion to look at",
                flight.what
            )));
        }
    };
    Ok(Replay {
        flight: Some(flight),
        ..whole
    })
}

fn of_end(plan: &Plan, whole: Replay, end: &EndShown, flight: &Flight) -> Replay {
    let what = flight.what.as_str();
    let names = Names {
        line: "the line",
        hardware: what,
        dampers: &end.dampers,
        tethers: &end.tethers,
    };
    let both = (&end.outcome, &end.film);
    let mut moving = tracks(&end.setup, both, &names, &|place| end.in_plan(place));
    if let Some(line) = moving.first_mut() {
        from_point(line, end.from_node);
    }
    let far = end.flies_to.map(side);
    let to = end.flies_to.map(|at| vehicle(plan, at).name.as_str());
    let words = |flown: &Flown| words(plan, end, what, flown);
    let criterion_j = whole.criterion_j;
    let mut flying = super::things::things(&end.outcome, criterion_j, to, &words);
    if let Some(first) = flying.first_mut() {
        // As it leaves: what it falls adds to that later on.
        (first.fastest_m_s, first.greatest_energy_j) = (flight.speed_m_s, flight.energy_j);
    }
    Replay {
        flies_to: far,
        slope_deg: end.setup.ground.map_or(0.0, |g| g.slope.to_deg()),
        time_s: end.film.frames.iter().map(|f| f.time.get()).collect(),
        apart_m: end.film.apart.get(),
        at_rest: end.outcome.at_rest,
        tracks: moving,
        things: flying,
        stored_energy_j: end.outcome.stored.get(),
        segments: end.setup.segments as u32,
        energy_error_share: end.outcome.energy.worst_error_share,
        leaves_out: match end.from_node {
            0 => whole.leaves_out.clone(),
            _ => [whole.leaves_out.clone(), vec![OWN_PART.into()]].concat(),
        },
        ..whole
    }
}

fn words(plan: &Plan, end: &EndShown, what: &str, flown: &Flown) -> String {
    match flown.thing {
        Thing::FreeEnd => what.into(),
        Thing::Tail => "the end of the line behind it".into(),
        Thing::Damper(k) => {
            let name = end.dampers.get(k).map_or("", |n| n.as_str());
            format!("damper {name}")
        }
        Thing::OffTheLine => {
            let mass = plan.units.rough_mass(flown.mass.get());
            format!("{mass}, off the line")
        }
    }
}

/// A body that flies free and slides: an upper bound, as the answer has it.
fn of_throw(whole: Replay, states: &[ThrownAt], flight: &Flight) -> Replay {
    let kg = flight.mass_kg;
    let energy = |s: &ThrownAt| 0.5 * kg * s.speed.get() * s.speed.get();
    let place = |s: &ThrownAt| s.place_m.map(mm);
    let ways = states.windows(2).map(|two| {
        let (a, b) = (two[0].place_m, two[1].place_m);
        let way: f64 = (0..3).map(|k| (b[k] - a[k]) * (b[k] - a[k])).sum();
        way.sqrt()
    });
    Replay {
        time_s: states.iter().map(|s| s.time.get()).collect(),
        apart_m: ways.fold(0.0, f64::max),
        at_rest: true,
        tracks: vec![ReplayTrack {
            kind: TrackKind::Hardware,
            name: flight.what.clone(),
            mass_kg: kg,
            points: 1,
            places_mm: states.iter().flat_map(place).collect(),
            speed_m_s: states.iter().map(|s| s.speed.get()).collect(),
            energy_j: states.iter().map(energy).collect(),
            parts_at_s: None,
        }],
        things: vec![ReplayThing {
            name: flight.what.clone(),
            mass_kg: kg,
            fastest_m_s: flight.speed_m_s,
            greatest_energy_j: flight.energy_j,
            arrives_s: None,
            arrival_speed_m_s: None,
            arrival_energy_j: None,
            strikes: None,
            strikes_s: None,
            strike_speed_m_s: None,
            strike_energy_j: None,
            over_criterion: None,
        }],
        ..whole
    }
}
