//! Everything that flies on one side of a break, in the contract's words.

use steadypull_engine::letgo::body::{BodyEnd, Face, Passing};
use steadypull_engine::letgo::cases::{Case, Scatter};
use steadypull_engine::letgo::flying::{self, Meets, Stretch};
use steadypull_engine::letgo::shield::{self, Holds};
use steadypull_engine::letgo::{Crack, Flown, Thing, injury, sides};
use steadypull_engine::plan::{BodyShape, Plan, Vehicle};
use steadypull_engine::rig::{LoadPath, Side};
use steadypull_engine::units::{Energy, Mass};

use super::load_path::side;
use crate::answer::{
    BodyFace, BreakPlace, FaceStruck, FlyingSide, FlyingSort, FlyingThing, Hazardous, Meeting,
    Passes, Shield, SnapBack, Strike, Whip,
};

/// Height of the knee and of the shoulder of a standing person, and of the crown of
/// a tall one, m (assumed).
const KNEE_M: f64 = 0.5;
const WAIST_M: f64 = 1.0;
const SHOULDER_M: f64 = 1.45;
const CROWN_M: f64 = 1.95;

/// The vehicle at `at`.
pub(super) fn vehicle(plan: &Plan, at: Side) -> &Vehicle {
    match at {
        Side::Tug => &plan.tug.vehicle,
        _ => &plan.casualty.vehicle,
    }
}

pub(super) fn flying_side(plan: &Plan, path: &LoadPath, case: &Case) -> FlyingSide {
    let to = vehicle(plan, case.cut.flies_to);
    let (end, _) = sides::end_of(plan, path, case.cut.flies_to, to);
    let comes_to = match end {
        BodyEnd::Front => format!("the front of {}", to.name),
        BodyEnd::Rear => format!("the rear of {}", to.name),
    };
    let line_m = path
        .lines
        .get(case.cut.line)
        .map_or(0.0, |l| l.length.get());
    let along_m = |share: f64| line_m * share;
    FlyingSide {
        flies_to: side(case.cut.flies_to),
        parts: parts(case),
        inside_at_m: case.cut.inside.then(|| along_m(case.cut.along)),
        places: case
            .places
            .iter()
            .map(|p| BreakPlace {
                at_m: along_m(p.along),
                speed_m_s: p.launch_speed.get(),
                energy_j: p.arriving.get(),
            })
            .collect(),
        stays: stays(plan, case),
        stays_mass_kg: case.stays.mass.get(),
        snaps_back: case.stays.thrown.map(|(speed, energy)| SnapBack {
            speed_m_s: speed.get(),
            energy_j: energy.get(),
        }),
        comes_to,
        things: case
            .planned
            .flown
            .iter()
            .map(|f| thing(plan, case, f))
            .collect(),
        whip: whip(case),
    }
}

fn parts(case: &Case) -> String {
    let line = case.flies.starts_with("the bare") || case.flies.starts_with("what joined");
    match (case.cut.inside, line, case.cut.along > 0.5) {
        (true, _, _) if case.cut.along == 0.5 => "in its middle".into(),
        (true, _, _) => format!("{:.0} % along it", 100.0 * case.cut.along),
        (false, true, false) => "at its casualty end".into(),
        (false, true, true) => "at its tug end".into(),
        (false, false, _) if case.stays.line.get() > 0.0 => "between two lines".into(),
        (false, false, _) if case.at == Side::Tug => "at the tug".into(),
        (false, false, _) => "at the casualty".into(),
    }
}

fn stays(plan: &Plan, case: &Case) -> String {
    let on = &vehicle(plan, case.stays.on).name;
    let line = case.stays.line.get();
    if line > 0.0 {
        return format!(
            "{} of line flies to {on}, told as the other side",
            plan.units.length(line)
        );
    }
    if case.stays.links.is_empty() {
        return format!("nothing stays on {on}");
    }
    let links = case.stays.links.join(", ");
    match case.stays.thrown {
        Some((speed, energy)) => format!(
            "{links} on {on}: the bridle snaps back at up to {}, {}",
            plan.units.flight_speed(speed.get()),
            plan.units.energy(energy.get())
        ),
        None => format!("{links} on {on}; no line is left to throw it, it drops and swings"),
    }
}

fn thing(plan: &Plan, case: &Case, flown: &Flown) -> FlyingThing {
    let (sort, what) = sort_and_words(plan, case, flown);
    let shape = &vehicle(plan, case.cut.flies_to).shape;
    let (meeting, strike, passes) = meets(case, shape, flown);
    FlyingThing {
        what,
        sort,
        mass_kg: flown.mass.get(),
        speed_m_s: flown.max_speed.get(),
        energy_j: flown.max_energy.get(),
        meets: meeting,
        strike,
        passes,
        rests_x_m: super::let_go::in_plan(case.at, &case.planned, flown.rests_m[0]),
        rests_y_m: super::let_go::sideways(case.at, flown.rests_m[1]),
        hazardous: flown.over.iter().map(|s| hazardous(case, s)).collect(),
    }
}

/// What something that flies is, in words.
pub(super) fn thing_words(plan: &Plan, case: &Case, flown: &Flown) -> String {
    sort_and_words(plan, case, flown).1
}

fn sort_and_words(plan: &Plan, case: &Case, flown: &Flown) -> (FlyingSort, String) {
    let bare = case.hardware.get() <= 0.0;
    match flown.thing {
        Thing::FreeEnd if bare => (FlyingSort::LineEnd, case.flies.clone()),
        Thing::FreeEnd => (FlyingSort::Hardware, with_dampers(case)),
        Thing::Tail => (FlyingSort::Tail, "the end of the line behind it".into()),
        Thing::Damper(k) => {
            let name = case.dampers.get(k).map_or("", |n| n.as_str());
            (FlyingSort::Damper, format!("damper {name}"))
        }
        Thing::OffTheLine if bare => (
            FlyingSort::OffTheLine,
            "half a metre of line, torn off".into(),
        ),
        Thing::OffTheLine => (
            FlyingSort::OffTheLine,
            format!(
                "{}, off the line",
                plan.units.rough_mass(case.hardware.get())
            ),
        ),
    }
}

fn with_dampers(case: &Case) -> String {
    let carried: Vec<&str> = case
        .dampers
        .iter()
        .zip(&case.planned.dampers)
        .filter(|(_, d)| d.picked_up_at.is_some())
        .map(|(name, _)| name.as_str())
        .collect();
    if carried.is_empty() {
        case.flies.clone()
    } else {
        format!("{}, with {}", case.flies, carried.join(" and "))
    }
}

fn meets(
    case: &Case,
    shape: &BodyShape,
    flown: &Flown,
) -> (Meeting, Option<Strike>, Option<Passes>) {
    match &flown.meets {
        Meets::StopsShort => (Meeting::StopsShort, None, None),
        Meets::Passes(passed) => {
            let how = match passed.how {
                Passing::Over => Meeting::PassesOver,
                Passing::Under => Meeting::PassesUnder,
                Passing::Beside => Meeting::PassesBeside,
            };
            let passes = Passes {
                time_s: passed.time.get(),
                height_m: passed.height.get(),
                side_m: super::let_go::sideways(case.at, passed.side.get()),
                speed_m_s: passed.speed.get(),
                energy_j: passed.energy.get(),
            };
            (how, None, Some(passes))
        }
        Meets::Strikes(strike) => (
            Meeting::Strikes,
            Some(struck(case, shape, flown.mass, strike)),
            None,
        ),
    }
}

fn struck(case: &Case, shape: &BodyShape, mass: Mass, strike: &flying::Strike) -> Strike {
    let side = super::let_go::sideways(case.at, strike.side.get());
    Strike {
        side_m: side,
        ..strike_on(shape, mass, strike)
    }
}

/// A strike of a body of `mass`, its side to the left of its own way.
pub(super) fn strike_on(shape: &BodyShape, mass: Mass, strike: &flying::Strike) -> Strike {
    let (shields, glass_is_guarded) = shields(shape, strike.face, mass, strike.energy);
    let glass = strike
        .face
        .is_glass()
        .then(|| injury::windscreen_test_energy().get());
    Strike {
        face: face(strike.face),
        time_s: strike.time.get(),
        height_m: strike.height.get(),
        behind_m: strike.depth.get(),
        side_m: strike.side.get(),
        speed_m_s: strike.speed.get(),
        normal_speed_m_s: strike.normal_speed.get(),
        energy_j: strike.energy.get(),
        windscreen_test_j: glass,
        shields,
        glass_is_guarded,
    }
}

/// What stands before the glass that a strike on `at` goes for, and whether
/// something rated holds it; nothing where there is no glass behind it.
fn shields(shape: &BodyShape, at: Face, mass: Mass, energy: Energy) -> (Vec<Shield>, Option<bool>) {
    let glass = match at {
        Face::RaisedBonnet => Face::Windscreen,
        face if face.is_glass() => face,
        _ => return (Vec::new(), None),
    };
    let bonnet = (at == Face::RaisedBonnet).then(|| shield::raised_bonnet(shape, mass, energy));
    let guard = shape
        .screen_guard
        .as_ref()
        .filter(|g| glass.is_guarded_by(g.over))
        .map(|g| shield::guard(g, energy));
    let all: Vec<shield::Shield> = bonnet.into_iter().chain(guard).collect();
    let held = all.iter().any(|s| s.holds == Holds::Yes);
    (all.into_iter().map(in_contract).collect(), Some(held))
}

fn in_contract(shield: shield::Shield) -> Shield {
    Shield {
        what: shield.what,
        holds: match shield.holds {
            Holds::Yes => Some(true),
            Holds::No => Some(false),
            Holds::NotKnown => None,
        },
        rated_energy_j: shield.rated.map(|e| e.get()),
        margin: shield.margin,
        perforated_from_j: shield.estimate.map(|(low, high)| [low.get(), high.get()]),
        source: format!("{} ({})", shield.source.name, shield.source.status.words()),
    }
}

pub(super) fn face(face: Face) -> BodyFace {
    match face {
        Face::Grille => BodyFace::Grille,
        Face::Bonnet => BodyFace::Bonnet,
        Face::RaisedBonnet => BodyFace::RaisedBonnet,
        Face::Windscreen => BodyFace::Windscreen,
        Face::Tailgate => BodyFace::Tailgate,
        Face::RearScreen => BodyFace::RearScreen,
        Face::Roof => BodyFace::Roof,
        Face::Side => BodyFace::Side,
    }
}

/// A face in words.
pub(super) fn words(face: Face) -> &'static str {
    match face {
        Face::Grille => "the grille",
        Face::Bonnet => "the bonnet",
        Face::RaisedBonnet => "the raised bonnet",
        Face::Windscreen => "the windscreen",
        Face::Tailgate => "the tailgate",
        Face::RearScreen => "the rear screen",
        Face::Roof => "the roof",
        Face::Side => "the side",
    }
}

fn hazardous(case: &Case, stretch: &Stretch) -> Hazardous {
    let at = |x| super::let_go::in_plan(case.at, &case.planned, x);
    let (from, to) = (at(stretch.from.get()), at(stretch.to.get()));
    let (lowest, highest) = (stretch.lowest.get(), stretch.highest.get());
    Hazardous {
        criterion_j: stretch.criterion.get(),
        source: criterion_source(stretch.criterion),
        from_x_m: from.min(to),
        to_x_m: from.max(to),
        lowest_m: lowest,
        highest_m: highest,
        body: body_words(lowest, highest),
    }
}

/// Where an injury criterion comes from.
pub(super) fn criterion_source(criterion: Energy) -> String {
    let source = if criterion == injury::FIRST_CASUALTY {
        injury::FIRST_CASUALTY_SOURCE
    } else {
        injury::FRAGMENT_SOURCE
    };
    format!("{} ({})", source.name, source.status.words())
}

/// What of a standing person lies between two heights, m.
pub(super) fn body_words(lowest: f64, highest: f64) -> String {
    let bands = [
        ("feet and shins", 0.0, KNEE_M),
        ("legs", KNEE_M, WAIST_M),
        ("trunk", WAIST_M, SHOULDER_M),
        ("head and neck", SHOULDER_M, CROWN_M),
        ("over the head", CROWN_M, f64::INFINITY),
    ];
    let met: Vec<&str> = bands
        .iter()
        .filter(|(_, from, to)| highest >= *from && lowest < *to)
        .map(|(words, _, _)| *words)
        .collect();
    match met.as_slice() {
        [] => "at the ground".into(),
        [one] => (*one).into(),
        [first, .., last] => format!("{first} to {last}"),
    }
}

fn whip(case: &Case) -> Option<Whip> {
    let crack = case.crack()?;
    let [x, y, _] = crack.place_m;
    Some(Whip {
        x_m: super::let_go::in_plan(case.at, &case.planned, x),
        y_m: super::let_go::sideways(case.at, y),
        ..whip_of(&crack)
    })
}

/// A crack where its own coordinates are.
pub(super) fn whip_of(crack: &Crack) -> Whip {
    let [x_m, y_m, height_m] = crack.place_m;
    Whip {
        at_least_m_s: crack.at_least.get(),
        at_most_m_s: crack.at_most.get(),
        time_s: crack.time.get(),
        x_m,
        y_m,
        height_m,
    }
}

/// Faces that scattered runs strike, hardest first.
pub(super) fn faces(plan: &Plan, thrown: &Scatter) -> Vec<FaceStruck> {
    let mut found: Vec<FaceStruck> = Vec::new();
    for met in &thrown.met {
        let Meets::Strikes(strike) = &met.meets else {
            continue;
        };
        let (vehicle, face) = (side(met.vehicle), face(strike.face));
        let shape = &self::vehicle(plan, met.vehicle).shape;
        let (shields, guarded) = shields(shape, strike.face, met.hardware, strike.energy);
        let of_vehicle =
            |m: &&steadypull_engine::letgo::cases::ScatterMet| m.vehicle == met.vehicle;
        let now = FaceStruck {
            vehicle,
            face,
            strikes: 1,
            runs: thrown.met.iter().filter(of_vehicle).count() as u32,
            link: met.link.clone(),
            speed_m_s: strike.speed.get(),
            energy_j: strike.energy.get(),
            shields,
            glass_is_guarded: guarded,
        };
        match found
            .iter_mut()
            .find(|f| f.vehicle == vehicle && f.face == face)
        {
            None => found.push(now),
            Some(known) if now.energy_j > known.energy_j => {
                *known = FaceStruck {
                    strikes: known.strikes + 1,
                    speed_m_s: known.speed_m_s.max(now.speed_m_s),
                    ..now
                };
            }
            Some(known) => {
                known.strikes += 1;
                known.speed_m_s = known.speed_m_s.max(now.speed_m_s);
            }
        }
    }
    found.sort_by(|a, b| b.energy_j.total_cmp(&a.energy_j));
    found
}
