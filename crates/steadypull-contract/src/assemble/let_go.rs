//! The `let_go` area.

use steadypull_engine::letgo::cases::Case;
use steadypull_engine::letgo::{FreeEnd, Outcome, injury};
use steadypull_engine::plan::{Plan, Vehicle};
use steadypull_engine::rig::Side;
use steadypull_engine::units::kinetic_energy;

use super::ChosenRig;
use super::load_path::side;
use crate::answer::{Arrival, DamperFlight, EnergyAt, FlightPath, LetGo, LetGoCase, TetherOutcome};

pub(super) fn let_go(plan: &Plan, chosen: Option<&ChosenRig>, cases: &[Case]) -> LetGo {
    let criterion = plan.policy.injury_energy.get();
    let cases: Vec<LetGoCase> = cases.iter().map(|c| case(plan, c, criterion)).collect();
    let worst = cases
        .iter()
        .max_by(|a, b| a.times_injury.total_cmp(&b.times_injury))
        .map(|c| c.link.clone());
    LetGo {
        load_case: "each link lets go at the load of the pull, or at its own strength if that is less; the line gives back the most of its energy-return range".into(),
        missing: match (chosen, cases.is_empty()) {
            (None, _) => Some("there is no rig".into()),
            (Some(_), true) => Some("nothing in the rig carries load".into()),
            _ => None,
        },
        cases,
        partings: Vec::new(),
        worst,
        injury_energy_j: criterion,
        injury_source: injury::FRAGMENT_SOURCE.name.into(),
    }
}

fn case(plan: &Plan, case: &Case, criterion: f64) -> LetGoCase {
    let outcome = &case.planned;
    let far = if case.at == Side::Casualty {
        &plan.tug.vehicle
    } else {
        &plan.casualty.vehicle
    };
    let heights = (far.shape.screen_height.get(), far.shape.roof_height.get());
    let arrival = outcome
        .arrival
        .as_ref()
        .map(|a| arrival(a, case, far, heights));
    LetGoCase {
        link: case.link.clone(),
        parts_at: side(case.at),
        flies: case.flies.clone(),
        tension_n: case.tension.get(),
        stored_energy_j: outcome.stored.get(),
        hardware_mass_kg: case.hardware.get(),
        launch_speed_m_s: outcome.launch.speed.get(),
        launch_energy_j: outcome.launch_energy.get(),
        times_injury: arriving_j(case) / criterion,
        arrival,
        arrival_bare: case
            .bare
            .arrival
            .as_ref()
            .map(|a| self::arrival(a, case, far, heights)),
        energy_along: outcome
            .energy_along
            .iter()
            .map(|e| EnergyAt {
                distance_m: e.distance.get(),
                energy_j: e.energy.get(),
            })
            .collect(),
        rests_x_m: in_plan(case.at, outcome, outcome.end.place_m[0]),
        rests_y_m: sideways(case.at, outcome.end.place_m[1]),
        reach_m: outcome.reach.get(),
        free_reach_m: outcome.free_reach.map_or(0.0, |r| r.get()).max(0.0),
        dampers: dampers(case),
        tethers: tethers(case),
        vehicle_moved_m: outcome
            .tethers
            .iter()
            .find_map(|t| t.held_moved)
            .unwrap_or(outcome.held_moved)
            .get(),
        audit_error_share: outcome.energy.worst_error_share,
        path: path(case.at, outcome),
    }
}

/// Energy of the hardware alone at `end`; of the line's last half metre where
/// there is no hardware. Dampers that come with it are told apart.
fn own_energy_j(end: &FreeEnd, case: &Case) -> f64 {
    if case.hardware.get() > 0.0 {
        kinetic_energy(case.hardware, end.speed).get()
    } else {
        end.energy.get()
    }
}

/// The most energetic thing that arrives: hardware with what it has picked up.
pub(super) fn arriving_j(case: &Case) -> f64 {
    let together = case
        .planned
        .arrival
        .as_ref()
        .map_or(0.0, |a| a.energy.get());
    together.max(
        case.planned
            .arrival
            .as_ref()
            .map_or(0.0, |a| own_energy_j(a, case)),
    )
}

fn in_plan(at: Side, outcome: &Outcome, x: f64) -> f64 {
    if at == Side::Casualty {
        x
    } else {
        outcome.far_point.get() - x
    }
}

fn sideways(at: Side, y: f64) -> f64 {
    // Never minus nothing.
    if y == 0.0 {
        0.0
    } else if at == Side::Casualty {
        y
    } else {
        -y
    }
}

fn arrival(end: &FreeEnd, case: &Case, far: &Vehicle, (screen, roof): (f64, f64)) -> Arrival {
    let height = end.place_m[2];
    let strikes = if height <= 0.05 {
        "sliding on the ground under it".to_string()
    } else if height < screen {
        format!("the body of {}", far.name)
    } else if height < roof {
        format!("the screen of {}", far.name)
    } else {
        "over the roof".to_string()
    };
    Arrival {
        time_s: end.time.get(),
        speed_m_s: end.speed.get(),
        energy_j: own_energy_j(end, case),
        height_m: height,
        strikes,
    }
}

fn dampers(case: &Case) -> Vec<DamperFlight> {
    case.dampers
        .iter()
        .zip(&case.planned.dampers)
        .map(|(name, d)| DamperFlight {
            name: name.clone(),
            speed_m_s: d.max_speed.get(),
            energy_j: d.max_energy.get(),
            slipped_m: d.slipped.get(),
        })
        .collect()
}

fn tethers(case: &Case) -> Vec<TetherOutcome> {
    case.tethers
        .iter()
        .zip(&case.planned.tethers)
        .map(|(name, t)| TetherOutcome {
            name: name.clone(),
            parts: t.parted_at.is_some(),
            parts_at_s: t.parted_at.map(|d| d.get()),
            peak_load_n: t.peak_load.get(),
            energy_capacity_j: t.capacity.get(),
            energy_asked_j: t.asked.get(),
        })
        .collect()
}

fn path(at: Side, outcome: &Outcome) -> FlightPath {
    let samples = &outcome.path;
    FlightPath {
        time_s: samples.iter().map(|s| s.time.get()).collect(),
        x_m: samples
            .iter()
            .map(|s| in_plan(at, outcome, s.place_m[0]))
            .collect(),
        y_m: samples.iter().map(|s| sideways(at, s.place_m[1])).collect(),
        z_m: samples.iter().map(|s| s.place_m[2]).collect(),
        speed_m_s: samples.iter().map(|s| s.speed.get()).collect(),
    }
}
