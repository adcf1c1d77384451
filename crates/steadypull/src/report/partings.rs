//! What follows if a part of a rig laid out on the ground lets go.

use steadypull_contract::answer::{Flight, LetGo, Parting};
use steadypull_contract::show::{Units, figures};

use super::{Detail, Page};

/// Writes a row a part, and what is left holding and what flies.
pub fn write(page: &mut Page, let_go: &LetGo, units: Units, detail: Detail) {
    if let_go.partings.is_empty() {
        return;
    }
    page.gap();
    let rows: Vec<[String; 6]> = let_go.partings.iter().map(|p| row(p, units)).collect();
    page.table(
        &[
            "If this lets go",
            "load",
            "released",
            "launched",
            "energy",
            "x hazard",
        ],
        &rows,
    );
    page.paragraph(
        "Launched, energy: the most energetic thing that flies, as it leaves; < stands before an upper bound.",
    );
    for parting in shown(let_go, detail) {
        page.gap();
        consequences(page, parting, units, detail);
    }
}

/// The worst alone, or all of them.
fn shown(let_go: &LetGo, detail: Detail) -> Vec<&Parting> {
    let all = let_go.partings.iter();
    match detail {
        Detail::Full => all.collect(),
        Detail::Short => all
            .max_by(|a, b| a.times_injury.total_cmp(&b.times_injury))
            .into_iter()
            .collect(),
    }
}

fn title(parting: &Parting) -> String {
    if parting.at == parting.part {
        parting.part.clone()
    } else {
        format!("{}, {}", parting.part, parting.at)
    }
}

fn row(parting: &Parting, units: Units) -> [String; 6] {
    let worst = parting.flights.first();
    [
        title(parting),
        units.force(parting.load_n),
        units.energy(parting.released_energy_j),
        worst.map_or("-".into(), |f| speed(f, units)),
        worst.map_or("-".into(), |f| units.energy(f.energy_j)),
        figures(parting.times_injury),
    ]
}

fn speed(flight: &Flight, units: Units) -> String {
    let below = if flight.upper_bound { "<" } else { "" };
    format!("{below}{}", units.flight_speed(flight.speed_m_s))
}

fn consequences(page: &mut Page, parting: &Parting, units: Units, detail: Detail) {
    let what = format!("{} ({}): {}", title(parting), parting.what, parting.holding);
    page.item("-", &what);
    let count = if detail == Detail::Full {
        parting.flights.len()
    } else {
        2
    };
    for flight in parting.flights.iter().take(count) {
        let lands = match flight.runs_on_m {
            Some(far) => format!("; off the line it skips and slides {}", units.length(far)),
            None => String::new(),
        };
        page.under(&format!(
            "{}: {}, {}, {}{lands}.",
            flight.what,
            speed(flight, units),
            units.energy(flight.energy_j),
            flight.side
        ));
        if let (Some(vehicle), Some(strike)) = (flight.strikes_vehicle, &flight.strike) {
            page.under(&format!(
                "At the {}, off its line, it {}.",
                super::flying::vehicle(vehicle),
                super::flying::strike_words(strike, units)
            ));
        }
    }
    if detail == Detail::Full {
        for freed in &parting.freed {
            page.under(&format!(
                "{} goes slack from {} and gives back {}.",
                freed.run,
                units.force(freed.tension_n),
                units.energy(freed.energy_j)
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture::answer;
    use crate::report::page::width;
    use steadypull_contract::answer::FreedRun;

    fn flight(thrown: bool) -> Flight {
        Flight {
            strikes_vehicle: None,
            strike: None,
            what: "snatch-block, 7.7 kg".into(),
            thrown,
            mass_kg: 7.7,
            from_x_m: 0.0,
            from_y_m: 0.0,
            heading_deg: 53.0,
            climb_deg: 0.0,
            speed_m_s: 30.7,
            energy_j: 3642.0,
            upper_bound: thrown,
            lands_x_m: Some(7.6),
            lands_y_m: Some(7.6),
            runs_on_m: Some(110.0),
            side: "into the bight, between casualty.rear and tug.winch, to the left of the pull"
                .into(),
        }
    }

    fn let_go() -> LetGo {
        let mut out = answer().let_go;
        out.cases.clear();
        out.worst = Some("tree-strap".into());
        out.partings = vec![Parting {
            part: "tree-strap".into(),
            what: "line".into(),
            at: "tree-by-the-gate to snatch-block".into(),
            x_m: 0.0,
            y_m: 0.0,
            z_m: 0.6,
            load_n: 42e3,
            released_energy_j: 4082.0,
            freed: vec![FreedRun {
                run: "hanger".into(),
                tension_n: 42e3,
                energy_j: 440.0,
            }],
            holding: "main still holds the casualty, once 11.7 m of slack has run out".into(),
            runs_left: vec!["main".into()],
            casualty_held_by: vec!["main".into()],
            slack_m: Some(11.7),
            flights: vec![flight(true), flight(false)],
            side: "into the bight".into(),
            times_injury: 46.0,
        }];
        out
    }

    #[test]
    fn says_what_holds_and_where_it_flies_within_the_page() {
        for detail in [Detail::Short, Detail::Full] {
            let mut page = Page::default();
            write(&mut page, &let_go(), Units::Metric, detail);
            let text = page.finish();
            assert!(text.lines().all(|l| width(l) <= 80), "{text}");
            for wanted in ["tree-strap", "11.7 m of slack", "into the bight", "<"] {
                assert!(text.contains(wanted), "{wanted} is missing:\n{text}");
            }
            assert_eq!(text.contains("gives back"), detail == Detail::Full);
        }
    }

    #[test]
    fn a_straight_rig_has_no_such_table() {
        let mut page = Page::default();
        write(&mut page, &answer().let_go, Units::Metric, Detail::Full);
        assert!(page.finish().is_empty());
    }
}
