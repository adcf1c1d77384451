//! The `let_go` area.

use steadypull_engine::letgo::body::Passing;
use steadypull_engine::letgo::cases::{Case, Scatter};
use steadypull_engine::letgo::flying::Meets;
use steadypull_engine::letgo::{FreeEnd, Outcome, injury};
use steadypull_engine::plan::{Plan, Vehicle};
use steadypull_engine::rig::{LoadPath, Side};
use steadypull_engine::units::kinetic_energy;

use super::ChosenRig;
use super::load_path::side;
use crate::answer::{Arrival, DamperFlight, EnergyAt, FlightPath, LetGo, LetGoCase, TetherOutcome};

/// What stands in the way of what flies.
pub(super) const SHELTER: &str = "no vehicle is taken to shelter anybody: what strikes one is told, and followed on as if nothing stood there, so reach, rest and zone are those of what misses or goes through";

pub(super) fn let_go(
    plan: &Plan,
    chosen: Option<&ChosenRig>,
    cases: &[Case],
    thrown: &Scatter,
) -> LetGo {
    let criterion = plan.policy.injury_energy.get();
    let cases: Vec<LetGoCase> = match chosen {
        Some(chosen) => cases
            .iter()
            .map(|c| case(plan, chosen.path, c, criterion))
            .collect(),
        None => Vec::new(),
    };
    let worst = cases
        .iter()
        .max_by(|a, b| a.times_injury.total_cmp(&b.times_injury))
        .map(|c| c.link.clone());
    LetGo {
        load_case: "each link lets go at the load of the pull, or at its own strength if that is less; the line gives back the most of its energy-return range; a line that parts inside does so where the plan says, or where most arrives of five places along it".into(),
        missing: match (chosen, cases.is_empty()) {
            (None, _) => Some("there is no rig".into()),
            (Some(_), true) => Some("nothing in the rig carries load".into()),
            _ => None,
        },
        cases,
        partings: Vec::new(),
        faces: super::flying::faces(plan, thrown),
        worst,
        injury_energy_j: criterion,
        injury_source: injury::FRAGMENT_SOURCE.name.into(),
        shelter: SHELTER.into(),
    }
}

pub(super) fn case(plan: &Plan, path: &LoadPath, case: &Case, criterion: f64) -> LetGoCase {
    let outcome = &case.planned;
    let far = if case.at == Side::Casualty {
        &plan.tug.vehicle
    } else {
        &plan.casualty.vehicle
    };
    let arrival = outcome
        .arrival
        .as_ref()
        .map(|a| arrival(a, case, far, outcome));
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
            .map(|a| self::arrival(a, case, far, &case.bare)),
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
        side: super::flying::flying_side(plan, path, case),
        path: self::path(case.at, outcome),
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

pub(super) fn in_plan(at: Side, outcome: &Outcome, x: f64) -> f64 {
    if at == Side::Casualty {
        x
    } else {
        outcome.far_point.get() - x
    }
}

pub(super) fn sideways(at: Side, y: f64) -> f64 {
    // Never minus nothing.
    if y == 0.0 {
        0.0
    } else if at == Side::Casualty {
        y
    } else {
        -y
    }
}

fn arrival(end: &FreeEnd, case: &Case, far: &Vehicle, outcome: &Outcome) -> Arrival {
    let height = end.place_m[2];
    let meets = outcome.flown.first().map(|f| f.meets);
    let strikes = match meets {
        Some(Meets::Strikes(strike)) => {
            format!("{} of {}", super::flying::words(strike.face), far.name)
        }
        Some(Meets::Passes(passed)) if passed.how == Passing::Over => "over the roof".into(),
        Some(Meets::Passes(passed)) if passed.how == Passing::Beside => {
            format!("beside {}", far.name)
        }
        _ => "sliding on the ground under it".into(),
    };
    Arrival {
        time_s: end.time.get(),
        speed_m_s: end.speed.get(),
        energy_j: own_energy_j(end, case),
        height_m: height.max(0.0),
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
