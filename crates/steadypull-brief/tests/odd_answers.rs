//! However odd the answer: nothing panics, nothing hangs, no NaN is printed.

mod fixtures;

use proptest::prelude::*;
use steadypull_brief::{BriefError, Figure, figure, html, pdf};
use steadypull_contract::answer::*;
use steadypull_contract::show::Units;

fn odd_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(0.0),
        Just(-0.0),
        Just(1e-300),
        Just(1e300),
        Just(-1e300),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        -1e6..1e6f64,
    ]
}

fn odd_words() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        Just("<svg onload=\"x\">&amp;'\"]]>".to_string()),
        Just("\0\u{1b}\u{202e}\u{fffe}\n\t".to_string()),
        Just("漢字かな交じり文と emoji 🛻 عربى".repeat(40)),
        Just("W".repeat(3000)),
        ".{0,80}",
    ]
}

prop_compose! {
    fn oddities()(numbers in prop::collection::vec(odd_number(), 12), words in prop::collection::vec(odd_words(), 4),
                  some in prop::collection::vec(any::<bool>(), 8), count in 0usize..30, within in any::<bool>()) -> Oddities {
        Oddities { numbers, words, some, count, within }
    }
}

#[derive(Debug)]
struct Oddities {
    numbers: Vec<f64>,
    words: Vec<String>,
    some: Vec<bool>,
    count: usize,
    within: bool,
}

fn spoilt(odd: &Oddities) -> Answer {
    let n = &odd.numbers;
    let w = &odd.words;
    let maybe = |i: usize| odd.some[i % 8].then_some(n[i % 12]);
    let mut a = fixtures::kinetic_pull();
    a.verdict.within_policy = odd.within;
    (a.plan.title, a.plan.casualty, a.verdict.headline) =
        (w[0].clone(), w[1].clone(), w[2].clone());
    a.plan.casualty_mass_kg = n[0];
    let link = a.load_path.links[0].clone();
    a.load_path.links = (0..odd.count)
        .map(|i| Link {
            name: w[i % 4].clone(),
            words: w[(i + 1) % 4].clone(),
            load_n: n[i % 12],
            share_of_wll: maybe(i),
            share_of_mbs: maybe(i + 1),
            derated_wll_n: maybe(i + 2),
            derated_mbs_n: maybe(i + 3),
            weakest: i == 1,
            included_angle_deg: maybe(i + 4),
            ..link.clone()
        })
        .collect();
    a.load_path.tension_n = n[1];
    for point in a.standoff.zone.iter_mut().step_by(2) {
        (point.x_m, point.y_m) = (n[2], n[3]);
    }
    (a.standoff.behind_casualty_m, a.standoff.beside_m) = (n[4], n[5]);
    if odd.some[0] {
        a.standoff.outlines.clear()
    }
    if odd.some[1] {
        a.options.ladder.clear()
    }
    for rung in &mut a.options.ladder {
        (rung.shift_probability, rung.peak_load_n, rung.reason) =
            (maybe(6), maybe(7), w[3].clone());
    }
    for term in &mut a.situation.terms {
        (term.name, term.range.median_n, term.range.high_n) = (w[0].clone(), n[6], n[7]);
    }
    a.situation.design_n = n[8];
    a.let_go.injury_energy_j = n[9];
    for case in &mut a.let_go.cases {
        case.times_injury = n[10];
        case.energy_along
            .iter_mut()
            .step_by(3)
            .for_each(|e| (e.energy_j, e.distance_m) = (n[11], n[0]));
    }
    if let Some(pull) = &mut a.pull.kinetic {
        (
            pull.peak_force_n,
            pull.peak_force_fixed_n,
            pull.run_up_speed_m_s,
        ) = (n[1], n[2], n[3]);
        pull.series
            .force_n
            .iter_mut()
            .step_by(7)
            .for_each(|f| *f = n[4]);
        pull.series.time_s.truncate(odd.count * 40);
        (pull.window.least_m_s, pull.window.greatest_m_s) = (maybe(2), maybe(3));
        pull.window.curve.truncate(odd.count);
    }
    a.pull.winch = fixtures::winch_haul().pull.winch;
    if let Some(haul) = &mut a.pull.winch {
        (haul.drum.line, haul.advantage) = (w[1].clone(), n[1]);
        let course = &mut haul.design;
        (course.movement_m, course.time_s) = (n[2], n[3]);
        course.series.time_s.truncate(odd.count * 7);
        let pull = course.series.line_pull_n.iter_mut().step_by(5);
        pull.for_each(|f| *f = n[4]);
        course.first_rest_after_s = maybe(4);
        haul.drum.layers.truncate(odd.count % 5);
    }
    a.cautions = w.clone();
    a.plan.assumed = (0..odd.count * 8)
        .map(|i| AssumedDefault {
            key: w[i % 4].clone(),
            value: w[1].clone(),
            reason: String::new(),
        })
        .collect();
    a
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn odd_answers_are_drawn_or_refused(odd in oddities()) {
        let answer = spoilt(&odd);
        for which in Figure::ALL {
            match figure(&answer, which, Units::Imperial) {
                Ok(svg) => {
                    prop_assert!(!svg.contains("=\"NaN") && !svg.contains("=\"inf"));
                    prop_assert!(usvg::Tree::from_str(&svg, &usvg::Options::default()).is_ok(), "{}", which.name());
                }
                Err(error) => prop_assert!(matches!(error, BriefError::NothingToDraw { .. }), "{error}"),
            }
        }
        let page = html(&answer, Units::Metric, &odd.words[0]).expect("a page");
        prop_assert!(!page.contains("<svg onload"));
        prop_assert_eq!(page.contains("DO NOT PULL"), !odd.within);
        prop_assert!(pdf(&answer, Units::Metric, &odd.words[0]).is_ok());
    }
}
