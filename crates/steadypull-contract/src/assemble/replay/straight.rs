//! One case of a straight rig.

use steadypull_engine::letgo::cases::{Case, filmed, greatest_tension, prepared};
use steadypull_engine::letgo::sides::{body, other};
use steadypull_engine::plan::Plan;
use steadypull_engine::rig::Side;
use steadypull_engine::units::Force;

use super::tracks::{Names, mm, tracks};
use super::{Rig, asked, common};
use crate::answer;
use crate::assemble::flying::{self, vehicle};
use crate::assemble::let_go::{self, in_plan, sideways};
use crate::assemble::load_path::side;
use crate::operation::{Replay, ReplayRequest, ReplayVehicle};
use crate::printed::Errors;

pub(super) fn replay(plan: &Plan, rig: &Rig, request: &ReplayRequest) -> Result<Replay, Errors> {
    if request.flight.is_some() {
        return Err(asked::refused(
            "there is a flight asked for, and the rig is straight".into(),
            "no flight: a case is one side of a link".into(),
        ));
    }
    let most = greatest_tension(&rig.path);
    if let Some(load_n) = request.load_n {
        asked::within(asked::LOAD, load_n, (asked::LOAD_N.0, most.get()))?;
    }
    let tension = request.load_n.map(Force::new);
    let on_path = (&rig.path, rig.links.as_slice());
    let shown = filmed(plan, on_path, request.case as usize, tension).ok_or_else(|| {
        let there_are = prepared(plan, &rig.path, &rig.links).len();
        asked::no_such("case", request.case, Some(there_are))
    })?;
    let (case, film) = shown.map_err(asked::failed)?;
    let told = let_go::case(plan, &rig.path, &case, plan.policy.injury_energy.get());
    let outcome = &case.planned;
    let in_frame = |[x, y, z]: [f64; 3]| {
        [
            in_plan(case.at, outcome, x),
            sideways(case.at, y),
            z.max(0.0),
        ]
    };
    let names = Names {
        line: "the line",
        hardware: &case.flies,
        dampers: &case.dampers,
        tethers: &case.tethers,
    };
    let far = &vehicle(plan, case.cut.flies_to).name;
    Ok(Replay {
        parts: parts(&told),
        load_n: case.tension.get(),
        most_load_n: most.get(),
        flies_to: Some(side(case.cut.flies_to)),
        time_s: film.frames.iter().map(|f| f.time.get()).collect(),
        apart_m: film.apart.get(),
        at_rest: outcome.at_rest,
        tracks: tracks(case.setup(), (outcome, &film), &names, &in_frame),
        vehicles: vehicles(plan, rig, &case),
        things: super::things::things(
            outcome,
            plan.policy.injury_energy.get(),
            Some(far),
            &|flown| flying::thing_words(plan, &case, flown),
        ),
        stored_energy_j: outcome.stored.get(),
        segments: case.setup().segments as u32,
        energy_error_share: outcome.energy.worst_error_share,
        case: Some(told),
        ..common(plan, rig)
    })
}

fn parts(case: &answer::LetGoCase) -> String {
    format!("{} parts {}", case.link, case.side.parts)
}

/// Both vehicles where they stand when the link lets go.
fn vehicles(plan: &Plan, rig: &Rig, case: &Case) -> Vec<ReplayVehicle> {
    let one = |at: Side| {
        let body = body(plan, &rig.path, at);
        // Depths and sides are as seen by what flies to it.
        let from = other(at);
        let x = |depth: f64| match at {
            Side::Tug => case.planned.far_point.get() + depth,
            _ => -depth,
        };
        let [right, left] = body.sides_m().map(|y| sideways(from, y));
        let corner = |[depth, height]: [f64; 2]| [mm(x(depth)), mm(height)];
        ReplayVehicle {
            side: side(at),
            name: vehicle(plan, at).name.clone(),
            outline_mm: body.outline_m().into_iter().map(corner).collect(),
            right_mm: mm(right.min(left)),
            left_mm: mm(right.max(left)),
            holds_line: at == case.cut.flies_to,
        }
    };
    [Side::Casualty, Side::Tug].map(one).to_vec()
}
