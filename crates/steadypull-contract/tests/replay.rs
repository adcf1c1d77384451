//! A replay shows the run that the answer tells of, and refuses what it cannot show.

use steadypull_contract::answer::{Answer, Flight, LetGoCase};
use steadypull_contract::operation::{
    Replay, ReplayDamper, ReplayRequest, ReplayRig, TrackKind, replay,
};
use steadypull_contract::plan_file::read_plan;
use steadypull_contract::{EXAMPLES, answer_plan};
use steadypull_engine::units::Angle;

/// Standard gravity, m/s2 (ISO 80000-3:2019, by definition of the 3rd CGPM).
const G: f64 = 9.80665;

fn request(plan: &str, case: usize) -> ReplayRequest {
    ReplayRequest {
        plan: plan.into(),
        lines: Default::default(),
        rig: None,
        units: Default::default(),
        case: case as u32,
        flight: None,
        dampers: None,
        load_n: None,
    }
}

/// The same for the rig of an answer, which is then not looked for again.
fn of_answer(plan: &str, answer: &Answer, case: usize) -> ReplayRequest {
    ReplayRequest {
        rig: Some(ReplayRig {
            method: answer.load_path.method.expect("there is a rig"),
            pull_n: answer.load_path.tension_n,
        }),
        ..request(plan, case)
    }
}

fn shown(request: &ReplayRequest) -> Replay {
    replay(request).unwrap_or_else(|e| panic!("{:?}", e.errors))
}

fn answer(plan: &str) -> Answer {
    answer_plan(&read_plan(plan).expect("it reads")).expect("it works out")
}

/// Demo plans with a straight rig, each with its answer.
fn straight() -> Vec<(&'static str, &'static str, Answer)> {
    let all = EXAMPLES
        .iter()
        .map(|(name, text)| (*name, *text, answer(text)));
    let straight: Vec<_> = all.filter(|(_, _, a)| !a.let_go.cases.is_empty()).collect();
    assert!(straight.len() >= 3);
    straight
}

fn case(replay: &Replay) -> &LetGoCase {
    replay.case.as_ref().expect("a straight rig")
}

#[test]
fn every_case_of_every_demo_plan_is_the_answers_to_the_bit() {
    for (name, text, answer) in straight() {
        for (k, told) in answer.let_go.cases.iter().enumerate() {
            let quick = shown(&of_answer(text, &answer, k));
            assert_eq!(case(&quick), told, "{name} {k}");
            assert_eq!(quick.load_n, told.tension_n);
            let flies = &quick.things[0];
            assert_eq!(flies.fastest_m_s, told.launch_speed_m_s);
            assert_eq!(flies.greatest_energy_j, told.launch_energy_j);
            let arrival = told.arrival.as_ref();
            assert_eq!(flies.arrives_s, arrival.map(|a| a.time_s));
            assert_eq!(flies.arrival_speed_m_s, arrival.map(|a| a.speed_m_s));
            frames_are_sound(&quick, name);
        }
        // Looking for the rig again finds the same.
        let last = answer.let_go.cases.len() - 1;
        let whole = shown(&request(text, last));
        assert_eq!(whole, shown(&of_answer(text, &answer, last)), "{name}");
    }
}

/// Times go on, places and speeds are all there, the fast part is seen, no energy comes
/// from nowhere, and no line is longer than it was taut.
fn frames_are_sound(replay: &Replay, name: &str) {
    let frames = replay.time_s.len();
    assert!((20..=400).contains(&frames), "{name}: {frames}");
    assert_eq!(replay.time_s[0], 0.0);
    assert!(replay.time_s.windows(2).all(|t| t[1] > t[0]));
    let size = serde_json::to_string(replay).unwrap().len();
    assert!(size < 1_000_000, "{name}: {size} bytes");
    let line = &replay.tracks[0];
    assert_eq!(line.kind, TrackKind::Line);
    // Past a block a line is not shown.
    let whole = line.points == replay.segments + 1;
    assert!(whole || (replay.case.is_none() && line.points <= replay.segments));
    for track in &replay.tracks {
        assert_eq!(track.places_mm.len(), frames * track.points as usize * 3);
        if track.kind != TrackKind::Tether {
            assert_eq!(track.speed_m_s.len(), frames);
            assert_eq!(track.energy_j.len(), frames);
        }
    }
    let seen = line.speed_m_s.iter().copied().fold(0.0, f64::max);
    let fastest = replay.things[0].fastest_m_s;
    assert!(seen > 0.98 * fastest, "{name}: {seen} of {fastest}");
    let taut = length_m(replay, 0);
    let moving_kg: f64 = replay.tracks.iter().map(|t| t.mass_kg).sum();
    // What it falls is given back too, downhill as well.
    let fall_m = fall_m(replay);
    for f in 0..frames {
        let joules: f64 = replay.tracks.iter().filter_map(|t| t.energy_j.get(f)).sum();
        let most = replay.stored_energy_j + moving_kg * G * fall_m;
        assert!(joules <= most, "{name}: {joules} of {most} at frame {f}");
        let length = length_m(replay, f);
        assert!(
            !whole || length <= taut * 1.001,
            "{name}: {length} of {taut}"
        );
        // Slack line lies in folds between its points, which are then closer together; past
        // a block all of it may be at the end of its way.
        assert!(!whole || length > 0.0, "{name}: {length} of {taut}");
    }
}

/// How far anything can fall: to the ground, and with the ground.
fn fall_m(replay: &Replay) -> f64 {
    let slope = Angle::from_deg(replay.slope_deg);
    highest_m(replay) + (slope.sin() / slope.cos()).abs() * way_m(replay)
}

/// Greatest height of the line at the start.
fn highest_m(replay: &Replay) -> f64 {
    let line = &replay.tracks[0];
    let heights = line.places_mm.iter().skip(2).step_by(3);
    let highest = heights.take(line.points as usize).max().unwrap();
    1e-3 * f64::from(*highest)
}

/// Furthest that the free end gets from where it was, in plan.
fn way_m(replay: &Replay) -> f64 {
    let line = &replay.tracks[0];
    let points = line.points as usize;
    let at = |f: usize, a: usize| f64::from(line.places_mm[(f * points + points - 1) * 3 + a]);
    let way = |f: usize| {
        let (x, y) = (at(f, 0) - at(0, 0), at(f, 1) - at(0, 1));
        (x * x + y * y).sqrt()
    };
    1e-3 * (0..replay.time_s.len()).map(way).fold(0.0, f64::max)
}

/// Length of the line in a frame.
fn length_m(replay: &Replay, frame: usize) -> f64 {
    let line = &replay.tracks[0];
    let points = line.points as usize;
    let at = |p: usize, a: usize| f64::from(line.places_mm[(frame * points + p) * 3 + a]) * 1e-3;
    let between = |p: usize| {
        let way = |a: usize| at(p + 1, a) - at(p, a);
        (way(0).powi(2) + way(1).powi(2) + way(2).powi(2)).sqrt()
    };
    (0..points - 1).map(between).sum()
}

#[test]
fn a_line_starts_between_the_vehicles() {
    for (name, text, answer) in straight() {
        let replay = shown(&of_answer(text, &answer, 0));
        let [casualty, tug] = replay.vehicles.as_slice() else {
            panic!("{name}: two vehicles");
        };
        let nearest = |outline: &[[i32; 2]], of: fn(i32, i32) -> i32| {
            outline.iter().map(|c| c[0]).reduce(of).unwrap()
        };
        let (from, to) = (
            nearest(&casualty.outline_mm, i32::max),
            nearest(&tug.outline_mm, i32::min),
        );
        assert_eq!(from, 0);
        // The casualty's point lets go: the line is held at the tug.
        assert!(tug.holds_line && !casualty.holds_line);
        let line = &replay.tracks[0];
        let tip = (line.points as usize - 1) * 3;
        assert!((line.places_mm[0] - to).abs() <= 1, "{name}");
        assert!(line.places_mm[tip].abs() <= 1, "{name}");
        assert!(tug.left_mm > tug.right_mm);
    }
}

#[test]
fn no_dampers_is_the_bare_run_of_the_answer() {
    for (name, text, answer) in straight() {
        for (k, told) in answer.let_go.cases.iter().enumerate() {
            // A tail is told where it is worst, which dampers may move.
            if told.side.inside_at_m.is_some() {
                continue;
            }
            let bare = shown(&ReplayRequest {
                dampers: Some(Vec::new()),
                ..of_answer(text, &answer, k)
            });
            assert!(bare.dampers.is_empty());
            if told.tethers.is_empty() {
                assert_eq!(case(&bare).arrival, told.arrival_bare, "{name} {k}");
            }
            assert!(bare.tracks.iter().all(|t| t.kind != TrackKind::Damper));
        }
    }
}

#[test]
fn dampers_by_hand_are_those_of_a_plan_that_says_so() {
    let (_, text, told) = &straight()[1];
    let plan = read_plan(text).unwrap();
    let same: Vec<ReplayDamper> = plan
        .kit
        .dampers
        .iter()
        .map(|d| ReplayDamper {
            mass_kg: d.mass.get(),
            place: d.place,
        })
        .collect();
    assert!(!same.is_empty());
    let by_hand = |dampers: Vec<ReplayDamper>| {
        shown(&ReplayRequest {
            dampers: Some(dampers),
            ..of_answer(text, told, 0)
        })
    };
    assert_eq!(by_hand(same.clone()), shown(&of_answer(text, told, 0)));
    // Others, against the answer to a plan with those.
    let others = vec![
        ReplayDamper {
            mass_kg: 5.0,
            place: 0.1,
        },
        ReplayDamper {
            mass_kg: 7.5,
            place: 0.65,
        },
        ReplayDamper {
            mass_kg: 0.1,
            place: 1.0,
        },
    ];
    let mut changed = plan.clone();
    changed.kit.dampers = others
        .iter()
        .enumerate()
        .map(|(k, d)| steadypull_engine::plan::Damper {
            name: format!("damper-{}", k + 1),
            mass: steadypull_engine::units::Mass::new(d.mass_kg),
            place: d.place,
            drag_area: steadypull_engine::units::Area::new(0.05),
            slips_at: steadypull_engine::units::Force::new(200.0),
        })
        .collect();
    let names_as_planned = answer_plan(&changed).unwrap();
    let shown = by_hand(others);
    let (told, by_hand) = (&names_as_planned.let_go.cases[0], case(&shown));
    assert_eq!(by_hand.arrival, told.arrival);
    assert_eq!(by_hand.launch_speed_m_s, told.launch_speed_m_s);
    assert_eq!(by_hand.times_injury, told.times_injury);
    assert_eq!(
        shown
            .tracks
            .iter()
            .filter(|t| t.kind == TrackKind::Damper)
            .count(),
        3
    );
}

#[test]
fn a_lesser_load_throws_less() {
    let (_, text, told) = &straight()[1];
    let at = |load_n: f64| {
        let replay = shown(&ReplayRequest {
            load_n: Some(load_n),
            ..of_answer(text, told, 1)
        });
        assert_eq!(replay.load_n, load_n);
        replay.things[0].fastest_m_s
    };
    let design = told.let_go.cases[1].tension_n;
    assert_eq!(at(design), told.let_go.cases[1].launch_speed_m_s);
    assert!(at(0.25 * design) < at(0.5 * design) && at(0.5 * design) < at(design));
}

#[test]
fn a_replay_survives_its_json() {
    let (_, text, told) = &straight()[0];
    let asked = of_answer(text, told, 2);
    let read: ReplayRequest =
        serde_json::from_str(&serde_json::to_string(&asked).unwrap()).unwrap();
    assert_eq!(read, asked);
    let replay = shown(&asked);
    let read: Replay = serde_json::from_str(&serde_json::to_string(&replay).unwrap()).unwrap();
    assert_eq!(read, replay);
}

#[test]
fn what_cannot_be_shown_is_refused_in_words() {
    let (_, text, told) = &straight()[0];
    let good = of_answer(text, told, 0);
    let damper = |mass_kg: f64, place: f64| vec![ReplayDamper { mass_kg, place }];
    let with = |dampers: Vec<ReplayDamper>| ReplayRequest {
        dampers: Some(dampers),
        ..good.clone()
    };
    let loaded = |load_n: f64| ReplayRequest {
        load_n: Some(load_n),
        ..good.clone()
    };
    let pulled = |pull_n: f64| ReplayRequest {
        rig: Some(ReplayRig {
            pull_n,
            ..good.rig.unwrap()
        }),
        ..good.clone()
    };
    let mut hostile = vec![
        (
            "case",
            ReplayRequest {
                case: 1000,
                ..good.clone()
            },
        ),
        (
            "case",
            ReplayRequest {
                case: u32::MAX,
                ..good.clone()
            },
        ),
        (
            "flight",
            ReplayRequest {
                flight: Some(0),
                ..good.clone()
            },
        ),
        (
            "",
            ReplayRequest {
                plan: String::new(),
                ..good.clone()
            },
        ),
        (
            "",
            ReplayRequest {
                plan: "not = [a plan".into(),
                ..good.clone()
            },
        ),
        ("dampers", with(vec![damper(5.0, 0.5)[0].clone(); 13])),
    ];
    for mass in [f64::NAN, f64::INFINITY, -5.0, 0.0, 0.099, 100.1, 1e300] {
        hostile.push(("mass", with(damper(mass, 0.5))));
    }
    for place in [f64::NAN, f64::NEG_INFINITY, -1e-9, 1.0 + 1e-9, 1e9] {
        hostile.push(("place", with(damper(5.0, place))));
    }
    for load in [f64::NAN, f64::INFINITY, 0.0, -1.0, 9.9, 5e6, 1e300] {
        hostile.push(("load", loaded(load)));
    }
    for pull in [f64::NAN, f64::INFINITY, -1.0, 1e8] {
        hostile.push(("pull", pulled(pull)));
    }
    for (about, request) in hostile {
        let refused = replay(&request).expect_err(about);
        let first = &refused.errors[0];
        assert!(first.message.contains(about), "{about}: {}", first.message);
        assert!(!first.message.is_empty());
    }
    // No pull, nothing that could let go.
    assert!(replay(&pulled(0.0)).is_err());
}

#[test]
fn dampers_at_every_place_and_mass_can_be_shown() {
    let (_, text, told) = &straight()[1];
    for (mass_kg, place) in [
        (0.1, 0.0),
        (0.1, 1.0),
        (100.0, 0.0),
        (100.0, 1.0),
        (100.0, 0.5),
    ] {
        for case in 0..told.let_go.cases.len() {
            let replay = shown(&ReplayRequest {
                dampers: Some(vec![ReplayDamper { mass_kg, place }; 12]),
                ..of_answer(text, told, case)
            });
            assert!(replay.energy_error_share < 0.05, "{mass_kg} {place} {case}");
        }
    }
}

/// Every part and flight of a demo plan whose rig is laid out on the ground.
fn laid_out(mut each: impl FnMut(&str, &str, &Answer, (usize, usize), &Flight)) {
    let mut plans = 0;
    for (name, text) in EXAMPLES {
        let told = answer(text);
        plans += usize::from(!told.let_go.partings.is_empty());
        for (i, parting) in told.let_go.partings.iter().enumerate() {
            for (j, flight) in parting.flights.iter().enumerate() {
                each(name, text, &told, (i, j), flight);
            }
        }
    }
    assert!(plans >= 2);
}

fn of_flight(text: &str, told: &Answer, (i, j): (usize, usize)) -> ReplayRequest {
    ReplayRequest {
        flight: Some(j as u32),
        ..of_answer(text, told, i)
    }
}

#[test]
fn every_flight_of_every_demo_plan_is_the_answers_to_the_bit() {
    let (mut ends, mut thrown) = (0, 0);
    laid_out(|name, text, told, at, flight| {
        let replay = shown(&of_flight(text, told, at));
        assert_eq!(replay.flight.as_ref(), Some(flight), "{name} {at:?}");
        assert_eq!(replay.load_n, told.let_go.partings[at.0].load_n);
        let flies = &replay.things[0];
        if flight.thrown {
            thrown += 1;
            let first = &replay.tracks[0];
            assert!((first.speed_m_s[0] / flight.speed_m_s - 1.0).abs() < 1e-9);
            assert!((1e-3 * f64::from(first.places_mm[0]) - flight.from_x_m).abs() < 1e-3);
            assert!((1e-3 * f64::from(first.places_mm[1]) - flight.from_y_m).abs() < 1e-3);
            assert!(replay.time_s.windows(2).all(|t| t[1] > t[0]));
        } else {
            ends += 1;
            assert_eq!(flies.fastest_m_s, flight.speed_m_s);
            assert_eq!(flies.greatest_energy_j, flight.energy_j);
            // Once the launch is over hardware gets no faster but by its fall; a bare end
            // cracks later on.
            let seen = replay.tracks[0]
                .speed_m_s
                .iter()
                .copied()
                .fold(0.0, f64::max);
            let most = (flight.speed_m_s.powi(2) + 2.0 * G * fall_m(&replay)).sqrt();
            let bare = flight.mass_kg <= 0.0;
            assert!(
                bare || seen < 1.02 * most,
                "{name} {at:?}: {seen} of {most}"
            );
            frames_are_sound(&replay, name);
        }
    });
    assert!(ends > 20 && thrown > 10, "{ends} {thrown}");
}

#[test]
fn a_flight_starts_where_the_answer_says_and_goes_its_way() {
    laid_out(|name, text, told, at, flight| {
        let replay = shown(&of_flight(text, told, at));
        let track = &replay.tracks[0];
        let points = track.points as usize;
        let tip = |f: usize, a: usize| {
            1e-3 * f64::from(track.places_mm[(f * points + points - 1) * 3 + a])
        };
        assert!((tip(0, 0) - flight.from_x_m).abs() < 2e-3, "{name} {at:?}");
        assert!((tip(0, 1) - flight.from_y_m).abs() < 2e-3, "{name} {at:?}");
        let fastest = (0..replay.time_s.len())
            .max_by(|a, b| track.speed_m_s[*a].total_cmp(&track.speed_m_s[*b]))
            .unwrap()
            .max(1);
        let way = [tip(fastest, 0) - tip(0, 0), tip(fastest, 1) - tip(0, 1)];
        let heading = Angle::from_deg(flight.heading_deg);
        let along = way[0] * heading.cos() + way[1] * heading.sin();
        assert!(along > 0.0, "{name} {at:?}");
    });
}

#[test]
fn a_part_under_less_load_throws_less() {
    let (_, text) = EXAMPLES
        .iter()
        .find(|(name, _)| *name == "tree-double-line")
        .unwrap();
    let told = answer(text);
    let parting = &told.let_go.partings[2];
    let at = |share: f64| {
        let replay = shown(&ReplayRequest {
            load_n: Some(share * parting.load_n),
            ..of_flight(text, &told, (2, 1))
        });
        assert!((replay.load_n / (share * parting.load_n) - 1.0).abs() < 1e-9);
        replay.flight.unwrap().speed_m_s
    };
    assert!(at(0.25) < at(0.5) && at(0.5) < at(1.0));
    assert!((at(1.0) / parting.flights[1].speed_m_s - 1.0).abs() < 1e-6);
    for request in [
        ReplayRequest {
            load_n: Some(1e7),
            ..of_flight(text, &told, (2, 1))
        },
        of_flight(text, &told, (2, 99)),
        of_flight(text, &told, (999, 0)),
    ] {
        assert!(replay(&request).is_err());
    }
}
