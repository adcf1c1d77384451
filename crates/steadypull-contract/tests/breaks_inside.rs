//! A line that parts inside: where, what flies on both sides, and what the zone makes of it.

mod two_wagons;

use steadypull_contract::answer::{Answer, BreakPlace, LetGoCase, Side};
use steadypull_contract::plan_file::read_plan;
use two_wagons::{answer, plan};

/// The side of the break inside the line that flies to `side`.
fn inside(answer: &Answer, side: Side) -> &LetGoCase {
    let mut cases = answer.let_go.cases.iter();
    let found = cases.find(|c| c.side.inside_at_m.is_some() && c.side.flies_to == side);
    found.expect("the line parts inside to both sides")
}

fn arriving(places: &[BreakPlace], at_m: f64) -> f64 {
    let mut found = places.iter().filter(|p| (p.at_m - at_m).abs() < 1e-9);
    found.next().expect("it was tried there").energy_j
}

const BAG: &str = "[damper.bag]\nmass = \"5 kg\"\nplace = \"middle\"\n";

#[test]
fn on_a_bare_line_the_place_hardly_matters() {
    let answer = answer(&plan("", ""));
    for side in [Side::Tug, Side::Casualty] {
        let case = inside(&answer, side);
        let places = &case.side.places;
        assert_eq!(places.len(), 5);
        let most = places.iter().map(|p| p.energy_j).fold(0.0, f64::max);
        let middle = arriving(places, 4.5);
        assert!(middle > 100.0 && most <= 1.03 * middle, "{places:?}");
        // The end of a tail leaves as the end of the whole line does, wherever the break is.
        let whole =
            answer.let_go.cases.iter().find(|c| {
                c.link == "strap" && c.side.inside_at_m.is_none() && c.side.flies_to == side
            });
        let whole = whole.expect("it parts at its ends").launch_speed_m_s;
        for place in places {
            assert!(
                (place.speed_m_s / whole - 1.0).abs() < 0.03,
                "{place:?} {whole}"
            );
        }
    }
}

#[test]
fn the_place_told_is_the_worst_that_was_tried() {
    let answer = answer(&plan("", BAG));
    for (side, toward_it) in [(Side::Tug, 6.3), (Side::Casualty, 2.7)] {
        let case = inside(&answer, side);
        let places = &case.side.places;
        let told = arriving(places, case.side.inside_at_m.unwrap());
        let most = places.iter().map(|p| p.energy_j).fold(0.0, f64::max);
        assert!(told >= most / 1.02, "{told} of {places:?}");
        // The run that is told is the run that was tried, and the hazard is of all that arrives.
        let all = case.times_injury * answer.let_go.injury_energy_j;
        assert!((all / told - 1.0).abs() < 1e-9, "{all} {told}");
        // A tail that brings the damper along arrives with far more than one that does not.
        assert!(told > 3.0 * arriving(places, toward_it), "{places:?}");
    }
}

#[test]
fn a_stated_place_is_taken_and_mirrors() {
    let at = |share: &str| answer(&plan(&format!("parts_at = \"{share}\""), BAG));
    let (near, far) = (at("20 %"), at("80 %"));
    let to_tug = inside(&near, Side::Tug);
    let to_casualty = inside(&far, Side::Casualty);
    assert!((to_tug.side.inside_at_m.unwrap() - 1.8).abs() < 1e-9);
    assert!((to_casualty.side.inside_at_m.unwrap() - 7.2).abs() < 1e-9);
    assert_eq!(to_tug.side.parts, "20 % along it");
    let (a, b) = (to_tug.times_injury, to_casualty.times_injury);
    assert!(a > 0.0 && (a / b - 1.0).abs() < 1e-6, "{a} {b}");
    // The zone looks along the whole line in any case.
    assert_eq!(near.standoff.zone, far.standoff.zone);
}

#[test]
fn a_place_beyond_the_line_is_refused() {
    let text = plan("parts_at = \"100 %\"", "");
    let problems = read_plan(&text).expect_err("it is no place inside");
    let said = problems.report("plan.toml", &text);
    assert!(
        said.contains("parts_at") && said.contains("1 % to 99 %"),
        "{said}"
    );
}

#[test]
fn both_tails_are_among_the_runs_behind_the_zone() {
    let answer = answer(&plan("", ""));
    assert_eq!(answer.standoff.failed_runs, 0);
    // Each draw is one break at an end of the line and one inside it.
    assert_eq!(answer.standoff.runs % 2, 0);
    let runs_to = |side| {
        let mut faces = answer.let_go.faces.iter();
        faces.find(|f| f.vehicle == side).map_or(0, |f| f.runs)
    };
    let (to_tug, to_casualty) = (runs_to(Side::Tug), runs_to(Side::Casualty));
    assert!(to_tug > answer.standoff.runs / 3 && to_casualty > answer.standoff.runs / 3);
}

#[test]
fn no_vehicle_shelters_anybody_and_the_answer_says_so() {
    // A tall vehicle against a low one: what is struck changes, nothing else.
    let with_roof = |roof: &str| {
        let tug = format!("[tug]\nroof_height = \"{roof}\"\n");
        answer(&plan("", "").replace("[tug]\n", &tug))
    };
    let (low, high) = (with_roof("1.6 m"), with_roof("4.5 m"));
    assert!(
        low.let_go
            .shelter
            .contains("no vehicle is taken to shelter")
    );
    assert_eq!(low.standoff.zone, high.standoff.zone);
    assert_eq!(
        low.standoff.computed_reach_m,
        high.standoff.computed_reach_m
    );
    for (a, b) in low.let_go.cases.iter().zip(&high.let_go.cases) {
        assert_eq!((a.rests_x_m, a.reach_m), (b.rests_x_m, b.reach_m));
        assert_eq!(a.side.whip, b.side.whip);
    }
    let struck = |answer: &Answer| {
        let faces = answer.let_go.faces.iter();
        faces
            .filter(|f| f.vehicle == Side::Tug)
            .map(|f| f.strikes)
            .sum::<u32>()
    };
    assert!(
        struck(&high) > struck(&low),
        "a higher vehicle is struck more"
    );
}

#[test]
fn a_rig_on_the_ground_has_both_tails_of_each_line() {
    let path = format!(
        "{}/../../examples/tree-double-line.toml",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(path).expect("the example is there");
    let answer = answer(&text);
    let lines = answer.let_go.partings.iter().filter(|p| p.what == "line");
    let mut seen = 0;
    for parting in lines {
        let tails: Vec<_> = parting
            .flights
            .iter()
            .filter(|f| f.inside_at_m.is_some())
            .collect();
        assert_eq!(tails.len(), 2, "{} {}", parting.part, parting.at);
        for tail in tails {
            seen += 1;
            assert_eq!(tail.places.len(), 5);
            assert!(tail.mass_kg == 0.0 && !tail.upper_bound);
            let told = arriving(&tail.places, tail.inside_at_m.unwrap());
            let most = tail.places.iter().map(|p| p.energy_j).fold(0.0, f64::max);
            assert!(told >= most / 1.02, "{:?}", tail.places);
            assert!(tail.energy_j <= parting.released_energy_j);
        }
    }
    assert!(seen >= 8, "{seen} tails");
}
