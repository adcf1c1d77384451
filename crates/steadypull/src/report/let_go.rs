//! What comes back if a part lets go.

use steadypull_contract::answer::{Arrival, FlyingSort, LetGo, LetGoCase, Side};
use steadypull_contract::show::{Units, figures, percent, seconds};

use super::{Detail, Page};

/// Writes a row a link, and in full what flies and what holds it.
pub fn write(page: &mut Page, let_go: &LetGo, units: Units, detail: Detail) {
    page.heading("LET-GO", "what comes back if a part lets go");
    if let Some(why) = &let_go.missing {
        page.paragraph(why);
    }
    if let_go.cases.is_empty() && let_go.partings.is_empty() {
        return;
    }
    page.fact("Load case", &let_go.load_case);
    if let Some(worst) = &let_go.worst {
        page.fact("Worst", worst);
    }
    let energy = units.energy(let_go.injury_energy_j);
    page.fact(
        "Hazardous from",
        &format!("{energy} ({})", let_go.injury_source),
    );
    if let (Detail::Full, Some(first)) = (detail, first_casualties(let_go, units)) {
        page.fact("First casualties from", &first);
    }
    page.fact("Shelter", &let_go.shelter);
    super::partings::write(page, let_go, units, detail);
    if let_go.cases.is_empty() {
        return;
    }
    page.gap();
    let rows: Vec<[String; 7]> = let_go.cases.iter().map(|case| row(case, units)).collect();
    page.table(
        &[
            "If this lets go",
            "flies to",
            "launched",
            "arrives",
            "energy",
            "undamped",
            "x hazard",
        ],
        &rows,
    );
    page.paragraph(
        "Energy: of the hardware alone. Undamped: without dampers or tethers. x hazard: all that arrives together, dampers included, over the energy above.",
    );
    super::flying::write_faces(page, let_go, units);
    for case in shown(let_go, detail) {
        page.gap();
        flight(page, case, units);
        super::flying::write_side(page, &case.side, units, detail);
        holds(page, case, units);
        if detail == Detail::Full {
            course(page, case, units);
        }
    }
}

/// The lower criterion that stretches of the way are told for, with its source.
fn first_casualties(let_go: &LetGo, units: Units) -> Option<String> {
    let things = let_go.cases.iter().flat_map(|case| &case.side.things);
    let on_path = things
        .flat_map(|t| &t.hazardous)
        .map(|s| (s.criterion_j, &s.source));
    let flights = let_go.partings.iter().flat_map(|p| &p.flights);
    let in_plan = flights
        .flat_map(|f| f.hazardous.iter().chain(&f.hazardous_off_line))
        .map(|s| (s.criterion_j, &s.source));
    let (lower_j, source) = on_path
        .chain(in_plan)
        .find(|(criterion_j, _)| *criterion_j < let_go.injury_energy_j)?;
    Some(format!("{} ({source})", units.energy(lower_j)))
}

/// The worst case alone, or all of them.
fn shown(let_go: &LetGo, detail: Detail) -> Vec<&LetGoCase> {
    let all = let_go.cases.iter();
    match detail {
        Detail::Full => all.collect(),
        Detail::Short => all
            .filter(|case| let_go.worst.as_ref() == Some(&case.link))
            .collect(),
    }
}

fn row(case: &LetGoCase, units: Units) -> [String; 7] {
    let energy = |arrival: &Option<Arrival>| match arrival {
        Some(arrival) => units.energy(arrival.energy_j),
        None => "-".into(),
    };
    let arrives = match &case.arrival {
        Some(arrival) => units.flight_speed(arrival.speed_m_s),
        None => "does not".into(),
    };
    [
        link(case),
        short_end(case.side.flies_to).into(),
        units.flight_speed(case.launch_speed_m_s),
        arrives,
        energy(&case.arrival),
        energy(&case.arrival_bare),
        figures(case.times_injury),
    ]
}

/// The link, with the place inside it where it parts, if it does.
fn link(case: &LetGoCase) -> String {
    match case.side.inside_at_m {
        Some(_) => format!("{}, inside", case.link),
        None => case.link.clone(),
    }
}

fn short_end(side: Side) -> &'static str {
    match side {
        Side::Casualty => "casualty",
        Side::Between => "between",
        Side::Tug => "tug",
    }
}

fn flight(page: &mut Page, case: &LetGoCase, units: Units) {
    page.item(
        "-",
        &format!(
            "{} lets go {}: {} flies to {}",
            case.link,
            case.side.parts,
            case.flies,
            to(case.side.flies_to)
        ),
    );
    let arrives = match &case.arrival {
        Some(arrival) => met(arrival, units),
        None => "does not reach the far vehicle".into(),
    };
    page.under(&format!("It {arrives}."));
    if let Some(bare) = &case.arrival_bare {
        page.under(&format!(
            "Without dampers or tethers it {}.",
            met(bare, units)
        ));
    }
    page.under(&format!(
        "Past the far recovery point, were no vehicle there: {} on the line, {} if it comes off.",
        units.length(case.reach_m),
        units.length(case.free_reach_m)
    ));
}

fn to(side: Side) -> &'static str {
    match side {
        Side::Tug => "the tug",
        _ => "the casualty",
    }
}

/// Where a link lets go, in words.
pub(super) fn end(side: Side) -> &'static str {
    match side {
        Side::Casualty => "at the casualty",
        Side::Between => "between the vehicles",
        Side::Tug => "at the tug",
    }
}

fn met(arrival: &Arrival, units: Units) -> String {
    format!(
        "arrives after {} at {} with {}, {} up: {}",
        seconds(arrival.time_s),
        units.flight_speed(arrival.speed_m_s),
        units.energy(arrival.energy_j),
        units.length(arrival.height_m),
        arrival.strikes
    )
}

fn holds(page: &mut Page, case: &LetGoCase, units: Units) {
    for damper in &case.dampers {
        // Its flight stands with all that flies.
        let told = case
            .side
            .things
            .iter()
            .any(|t| t.sort == FlyingSort::Damper);
        if told {
            page.under(&format!(
                "The grip of damper {} slipped {}.",
                damper.name,
                super::flying::near(units, damper.slipped_m)
            ));
            continue;
        }
        page.under(&format!(
            "Damper {} itself flies at {} with {}; its grip slipped {}.",
            damper.name,
            units.flight_speed(damper.speed_m_s),
            units.energy(damper.energy_j),
            units.length(damper.slipped_m)
        ));
    }
    for tether in &case.tethers {
        let outcome = match tether.parts_at_s {
            Some(time) => format!("PARTS after {}", seconds(time)),
            None if tether.parts => "PARTS".into(),
            None => "holds".into(),
        };
        page.under(&format!(
            "Tether {} {outcome}: peak {}, takes up {}, is asked for {}.",
            tether.name,
            units.force(tether.peak_load_n),
            units.energy(tether.energy_capacity_j),
            units.energy(tether.energy_asked_j)
        ));
    }
}

/// Whether the end on its line strikes a vehicle.
fn strikes(case: &LetGoCase) -> bool {
    let on_line = case.side.things.first();
    on_line.is_some_and(|thing| thing.strike.is_some())
}

fn course(page: &mut Page, case: &LetGoCase, units: Units) {
    page.under(&format!(
        "Tension {}, energy stored {}, hardware {}, launched with {}.",
        units.force(case.tension_n),
        units.energy(case.stored_energy_j),
        units.mass(case.hardware_mass_kg),
        units.energy(case.launch_energy_j)
    ));
    let side = if case.rests_y_m < 0.0 {
        "right"
    } else {
        "left"
    };
    page.under(&format!(
        "{} {} towards the tug from the casualty's point, {} to the {side}.",
        if strikes(case) {
            "Had it not struck it would have come to rest"
        } else {
            "Comes to rest"
        },
        units.length(case.rests_x_m),
        units.length(case.rests_y_m.abs())
    ));
    page.under(&format!(
        "By then the far vehicle has moved {}. Energy unaccounted for: {}.",
        units.length(case.vehicle_moved_m),
        percent(case.audit_error_share)
    ));
    let along: Vec<String> = case
        .energy_along
        .iter()
        .map(|at| {
            format!(
                "{} at {}",
                units.energy(at.energy_j),
                units.length(at.distance_m)
            )
        })
        .collect();
    if !along.is_empty() {
        page.under(&format!("Energy as it flies: {}.", along.join(", ")));
    }
}
