//! What follows if a part of a rig laid out on the ground lets go.

use steadypull_contract::answer::{Flight, HazardousWay, LetGo, Parting, Whip};
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
        let inside = match flight.inside_at_m {
            Some(at) => format!(" (parted {} along it)", super::flying::near(units, at)),
            None => String::new(),
        };
        let lands = match flight.runs_on_m {
            Some(far) => format!("; off the line it skips and slides {}", units.length(far)),
            None => String::new(),
        };
        page.under(&format!(
            "{}{inside}: {}, {}, {}{lands}.",
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
        if let Some(whip) = &flight.whip {
            page.under(&whip_line(whip, units));
        }
        if detail == Detail::Full {
            hazards(page, "On its line", &flight.hazardous, units);
            hazards(page, "Off its line", &flight.hazardous_off_line, units);
            super::flying::write_places(page, &flight.places, "leave", units);
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

fn whip_line(whip: &Whip, units: Units) -> String {
    use super::flying::{crack, near};
    format!(
        "Whip: past its stop or turned back, {}, near x {}, y {} and {} up.",
        crack(whip, units),
        near(units, whip.x_m),
        near(units, whip.y_m),
        near(units, whip.height_m)
    )
}

/// The stretches over each criterion in one line.
fn hazards(page: &mut Page, what: &str, stretches: &[HazardousWay], units: Units) {
    use super::flying::near;
    // Less than that prints as nothing.
    let each: Vec<String> = stretches
        .iter()
        .filter(|s| s.length_m >= 0.05)
        .map(|s| {
            format!(
                "over {} for {} from x {}, y {}, up to {} up ({})",
                units.energy(s.criterion_j),
                near(units, s.length_m),
                near(units, s.from_x_m),
                near(units, s.from_y_m),
                near(units, s.highest_m),
                s.body
            )
        })
        .collect();
    if !each.is_empty() {
        page.under(&format!("{what}: {}.", each.join("; ")));
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
            inside_at_m: None,
            places: Vec::new(),
            whip: (!thrown).then_some(Whip {
                at_least_m_s: 61.0,
                at_most_m_s: 240.0,
                time_s: 0.3,
                x_m: -8.0,
                y_m: 0.5,
                height_m: 0.4,
            }),
            hazardous: Vec::new(),
            hazardous_off_line: vec![HazardousWay {
                criterion_j: 79.0,
                source: "a note".into(),
                from_x_m: 0.0,
                from_y_m: 0.0,
                to_x_m: 3.0,
                to_y_m: 4.0,
                length_m: 5.0,
                lowest_m: 0.0,
                highest_m: 0.6,
                body: "feet and shins to legs".into(),
            }],
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
            let words: Vec<&str> = text.split_whitespace().collect();
            let one = words.join(" ");
            let full = detail == Detail::Full;
            assert_eq!(one.contains("over 79.0 J for 5.00 m"), full, "{text}");
            assert!(one.contains("cracks at 61.0 m/s or more"), "{text}");
        }
    }

    #[test]
    fn a_straight_rig_has_no_such_table() {
        let mut page = Page::default();
        write(&mut page, &answer().let_go, Units::Metric, Detail::Full);
        assert!(page.finish().is_empty());
    }
}
