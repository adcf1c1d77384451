//! Everything that flies on one side of a link that lets go, and what it meets.

use steadypull_contract::answer::{
    BodyFace, BreakPlace, FaceStruck, FlyingSide, FlyingSort, FlyingThing, Hazardous, LetGo,
    Meeting, Shield, Side, Strike, Whip,
};
use steadypull_contract::show::{Units, figures, seconds};

use super::{Detail, Page};

/// Writes the faces that are struck, hardest first.
pub fn write_faces(page: &mut Page, let_go: &LetGo, units: Units) {
    if let_go.faces.is_empty() {
        return;
    }
    page.gap();
    page.paragraph("What is struck, with directions, masses and loads scattered:");
    for struck in &let_go.faces {
        page.item("-", &face_line(struck, units));
        for shield in &struck.shields {
            page.under(&shield_line(shield, units));
        }
        if struck.glass_is_guarded == Some(false) {
            page.under("Nothing that is rated to hold it stands before the glass.");
        }
    }
}

fn face_line(struck: &FaceStruck, units: Units) -> String {
    format!(
        "{} of the {}: {} of {} runs, at worst {} with {} when {} lets go",
        face(struck.face),
        vehicle(struck.vehicle),
        struck.strikes,
        struck.runs,
        units.flight_speed(struck.speed_m_s),
        units.energy(struck.energy_j),
        struck.link
    )
}

/// Slower than this a damper has not flown, m/s.
const STILL_M_S: f64 = 1.0;

/// Writes what flies on this side, what stays, and the crack of the tail.
pub fn write_side(page: &mut Page, side: &FlyingSide, units: Units, detail: Detail) {
    page.under(&format!("The line comes to {}.", side.comes_to));
    let flew = |t: &&FlyingThing| t.sort != FlyingSort::Damper || t.speed_m_s >= STILL_M_S;
    for thing in side.things.iter().filter(flew) {
        page.under(&thing_line(thing, units));
        if detail == Detail::Full && !thing.hazardous.is_empty() {
            page.under(&hazard_line(&thing.hazardous, units));
        }
    }
    if let Some(whip) = &side.whip {
        page.under(&whip_line(whip, units));
    }
    write_places(page, &side.places, "arrive", units);
    page.under(&format!("What stays: {}.", side.stays));
}

/// Writes what a break at each place along its line gave.
pub(super) fn write_places(page: &mut Page, places: &[BreakPlace], does: &str, units: Units) {
    if places.len() < 2 {
        return;
    }
    let each: Vec<String> = places
        .iter()
        .map(|p| format!("{} at {}", units.energy(p.energy_j), near(units, p.at_m)))
        .collect();
    page.under(&format!(
        "Tried along the line: {} {does}; told where most does.",
        each.join(", ")
    ));
}

fn thing_line(thing: &FlyingThing, units: Units) -> String {
    let rests = format!(
        "at {} along, {} aside",
        near(units, thing.rests_x_m),
        near(units, thing.rests_y_m.abs())
    );
    let meets = match (&thing.strike, &thing.passes) {
        (Some(strike), _) => format!(
            "{}; if it missed it would rest {rests}",
            strike_words(strike, units)
        ),
        (None, Some(passes)) => format!(
            "{} at {} with {}, {} up; rests {rests}",
            passing(thing.meets),
            units.flight_speed(passes.speed_m_s),
            units.energy(passes.energy_j),
            near(units, passes.height_m)
        ),
        (None, None) => format!("does not get there; rests {rests}"),
    };
    format!(
        "{}: up to {}, {}; {meets}.",
        first_up(&thing.what),
        units.flight_speed(thing.speed_m_s),
        units.energy(thing.energy_j)
    )
}

/// With a capital where it starts with a word, not a name.
fn first_up(what: &str) -> String {
    ["the ", "damper ", "half ", "what "]
        .iter()
        .find(|word| what.starts_with(**word))
        .map_or(what.into(), |_| {
            let (first, rest) = what.split_at(1);
            format!("{}{rest}", first.to_uppercase())
        })
}

pub(super) fn strike_words(strike: &Strike, units: Units) -> String {
    let square = if strike.normal_speed_m_s < 0.95 * strike.speed_m_s {
        format!(
            " ({} square to it)",
            units.flight_speed(strike.normal_speed_m_s)
        )
    } else {
        String::new()
    };
    let test = match strike.windscreen_test_j {
        Some(test) => format!(
            ", {} times the ball of the windscreen test",
            figures(strike.energy_j / test)
        ),
        None => String::new(),
    };
    let shields: String = strike
        .shields
        .iter()
        .map(|s| format!("; {}", shield_line(s, units).trim_end_matches('.')))
        .collect();
    format!(
        "strikes {} after {}, {} up, at {}{square} with {}{test}{shields}",
        face(strike.face),
        seconds(strike.time_s),
        near(units, strike.height_m),
        units.flight_speed(strike.speed_m_s),
        units.energy(strike.energy_j)
    )
}

fn shield_line(shield: &Shield, units: Units) -> String {
    match (shield.holds, shield.rated_energy_j, shield.margin) {
        (Some(true), Some(rated), Some(margin)) => format!(
            "the {} holds by its rating of {}, {} times that.",
            shield.what,
            units.energy(rated),
            figures(margin)
        ),
        (Some(false), Some(rated), Some(margin)) => format!(
            "the {} DOES NOT HOLD: rated {}, {} times that.",
            shield.what,
            units.energy(rated),
            figures(margin)
        ),
        (holds, _, _) => {
            let said = match holds {
                Some(false) => "DOES NOT HOLD",
                _ => "is not known to hold, so it does not count",
            };
            let estimate = match shield.perforated_from_j {
                Some([low, high]) => format!(
                    ": such sheet is pierced from {} to {}, a rough estimate",
                    units.energy(low),
                    units.energy(high)
                ),
                None => ": it has no rating".into(),
            };
            format!("the {} {said}{estimate}.", shield.what)
        }
    }
}

/// The stretches over each criterion in one line.
fn hazard_line(stretches: &[Hazardous], units: Units) -> String {
    let alike = |a: &Hazardous, b: &Hazardous| {
        let apart = [a.from_x_m - b.from_x_m, a.to_x_m - b.to_x_m];
        apart.iter().all(|m| m.abs() < 0.05)
    };
    if let [low, high] = stretches
        && alike(low, high)
    {
        let both = format!("{} and ", units.energy(low.criterion_j));
        let one = hazard_line(&stretches[1..], units);
        return one.replacen("Over ", &format!("Over {both}"), 1);
    }
    let each: Vec<String> = stretches
        .iter()
        .map(|s| {
            format!(
                "{} from {} to {} along, up to {} up ({})",
                units.energy(s.criterion_j),
                near(units, s.from_x_m),
                near(units, s.to_x_m),
                near(units, s.highest_m),
                s.body
            )
        })
        .collect();
    format!("Over {}.", each.join("; over "))
}

fn whip_line(whip: &Whip, units: Units) -> String {
    format!(
        "Whip: past the vehicle or turned back, {}, {} along and {} up.",
        crack(whip, units),
        near(units, whip.x_m),
        near(units, whip.height_m)
    )
}

/// The range of a crack's speed, and when.
pub(super) fn crack(whip: &Whip, units: Units) -> String {
    format!(
        "its last half metre cracks at {} or more (no more than {}), after {}",
        units.flight_speed(whip.at_least_m_s),
        units.flight_speed(whip.at_most_m_s),
        seconds(whip.time_s)
    )
}

/// A length to the centimetre: no hairs.
pub(super) fn near(units: Units, metres: f64) -> String {
    let rounded = (metres * 100.0).round() / 100.0;
    // Never minus nothing.
    units.length(if rounded == 0.0 { 0.0 } else { rounded })
}

fn passing(meeting: Meeting) -> &'static str {
    match meeting {
        Meeting::PassesUnder => "passes under the vehicle",
        Meeting::PassesBeside => "passes beside the vehicle",
        Meeting::Strikes | Meeting::PassesOver => "passes over the vehicle",
        Meeting::StopsShort => "does not get there",
    }
}

fn face(face: BodyFace) -> &'static str {
    match face {
        BodyFace::Grille => "the grille",
        BodyFace::Bonnet => "the bonnet",
        BodyFace::RaisedBonnet => "the raised bonnet",
        BodyFace::Windscreen => "the windscreen",
        BodyFace::Tailgate => "the tailgate",
        BodyFace::RearScreen => "the rear screen",
        BodyFace::Roof => "the roof",
        BodyFace::Side => "a side",
    }
}

pub(super) fn vehicle(side: Side) -> &'static str {
    match side {
        Side::Tug => "tug",
        _ => "casualty",
    }
}
