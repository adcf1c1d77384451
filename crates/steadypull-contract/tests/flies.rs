//! What flies when a link lets go: laws of the answer, with no number of its own.

mod two_wagons;

use steadypull_contract::answer::{Answer, FlyingSort, LetGoCase, Meeting, Side};
use two_wagons::{answer, plan};

fn inside(answer: &Answer) -> Vec<&LetGoCase> {
    let cases = answer.let_go.cases.iter();
    cases.filter(|c| c.side.inside_at_m.is_some()).collect()
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-6 * a.abs().max(b.abs()).max(1e-6)
}

#[test]
fn both_sides_of_a_symmetric_line_are_symmetric() {
    let answer = answer(&plan("", ""));
    let [to_tug, to_casualty] = inside(&answer)[..] else {
        panic!("a line parts inside to both sides");
    };
    assert_eq!(to_tug.side.flies_to, Side::Tug);
    assert_eq!(to_casualty.side.flies_to, Side::Casualty);
    assert!(close(to_tug.launch_speed_m_s, to_casualty.launch_speed_m_s));
    assert!(close(to_tug.times_injury, to_casualty.times_injury));
    assert_eq!(to_tug.side.things.len(), to_casualty.side.things.len());
    for (a, b) in to_tug.side.things.iter().zip(&to_casualty.side.things) {
        assert_eq!((a.sort, a.meets), (b.sort, b.meets));
        assert!(close(a.speed_m_s, b.speed_m_s) && close(a.energy_j, b.energy_j));
        let face = |t: &steadypull_contract::answer::FlyingThing| {
            t.strike.as_ref().map(|s| (s.face, s.height_m))
        };
        assert_eq!(face(a), face(b));
    }
    // The ends of the line fly alike too, one to each vehicle.
    let ends: Vec<&LetGoCase> = answer
        .let_go
        .cases
        .iter()
        .filter(|c| c.link == "strap" && c.side.inside_at_m.is_none())
        .collect();
    assert_eq!(ends.len(), 2);
    assert!(close(ends[0].launch_speed_m_s, ends[1].launch_speed_m_s));
}

#[test]
fn everything_that_flies_says_what_it_meets_and_what_stays() {
    let answer = answer(&plan(
        "",
        "[damper.bag]\nmass = \"5 kg\"\nplace = \"middle\"\n",
    ));
    assert!(!answer.let_go.cases.is_empty());
    for case in &answer.let_go.cases {
        let side = &case.side;
        assert!(!side.stays.is_empty() && !side.parts.is_empty() && !side.comes_to.is_empty());
        let sorts: Vec<FlyingSort> = side.things.iter().map(|t| t.sort).collect();
        let first = match case.hardware_mass_kg > 0.0 {
            true => FlyingSort::Hardware,
            false => FlyingSort::LineEnd,
        };
        assert_eq!(sorts.first(), Some(&first), "{}", case.link);
        assert!(sorts.contains(&FlyingSort::OffTheLine), "{}", case.link);
        for thing in &side.things {
            assert_eq!(thing.strike.is_some(), thing.meets == Meeting::Strikes);
            if let Some(strike) = &thing.strike {
                // Square to the face of a vehicle that may itself roll a little.
                assert!(strike.normal_speed_m_s <= strike.speed_m_s + 0.5);
                assert!(strike.energy_j <= thing.energy_j + 1e-9);
                assert!(strike.height_m <= 1.9);
            }
            for stretch in &thing.hazardous {
                assert!(stretch.from_x_m <= stretch.to_x_m);
                assert!(stretch.lowest_m <= stretch.highest_m);
                assert!(thing.energy_j >= stretch.criterion_j);
            }
        }
        if let Some(whip) = &side.whip {
            assert!(whip.at_least_m_s <= whip.at_most_m_s);
        }
    }
}

#[test]
fn a_guard_is_judged_by_its_rating_and_a_bonnet_never_counts() {
    let codes = |more: &str| -> Vec<String> {
        let answer = answer(&plan("", more));
        let codes = answer.findings.iter().filter(|f| f.subject == "Two");
        codes.map(|f| f.code.clone()).collect()
    };
    let guard = |energy: &str| {
        format!("[tug.body.screen_guard]\nwhat = \"mesh guard\"\nover = \"both\"\n{energy}")
    };
    assert!(codes("").contains(&"into-screen".to_string()));
    assert!(codes(&guard("rated_energy = \"1 J\"")).contains(&"guard-does-not-hold".to_string()));
    assert!(codes(&guard("rated_energy = \"500 kJ\"")).contains(&"guard-holds".to_string()));
    assert!(codes(&guard("")).contains(&"screen-not-known".to_string()));
    // The line comes to the tug's rear: a raised bonnet stands elsewhere.
    let raised = "[tug.body]\nbonnet = \"raised\"\n";
    assert!(codes(raised).contains(&"into-screen".to_string()));
    let front = plan("", raised).replace("[tug.point.rear]", "[tug.point.front]");
    let front = answer(&front.replace("tug.rear", "tug.front"));
    let at_tug = front.let_go.faces.iter().filter(|f| f.vehicle == Side::Tug);
    for struck in at_tug {
        assert_ne!(struck.glass_is_guarded, Some(true), "{struck:?}");
    }
}

#[test]
fn mirrored_winds_mirror() {
    let rests = |from: &str| -> Vec<f64> {
        let site = format!("[site]\nwind = \"12 m/s\"\nwind_from = \"{from}\"\n");
        let answer = answer(&plan("", &site));
        let cases = answer.let_go.cases.iter();
        cases.map(|c| c.rests_y_m).collect()
    };
    let (left, right) = (rests("90 deg"), rests("-90 deg"));
    assert_eq!(left.len(), right.len());
    assert!(left.iter().any(|y| y.abs() > 1e-3), "{left:?}");
    for (a, b) in left.iter().zip(&right) {
        assert!((a + b).abs() < 1e-3, "{a} {b}");
    }
}
