//! Every figure of every fixture: well formed, in words, always the same.

mod fixtures;
#[path = "fixtures/words.rs"]
mod words;

use std::path::PathBuf;

use steadypull_brief::{BriefError, Figure, figure, png};
use steadypull_contract::show::Units;
use words::words;

const BOTH: [Units; 2] = [Units::Metric, Units::Imperial];

#[test]
fn figures_are_well_formed_and_say_no_nonsense() {
    let mut drawn = 0;
    for (name, answer) in fixtures::all() {
        for which in Figure::ALL {
            for units in BOTH {
                let svg = match figure(&answer, which, units) {
                    Ok(svg) => svg,
                    Err(BriefError::NothingToDraw { figure, why }) => {
                        assert_eq!(figure, which);
                        assert!(!why.is_empty());
                        continue;
                    }
                    Err(error) => panic!("{name} {}: {error}", which.name()),
                };
                drawn += 1;
                let seen = words(&svg);
                for nonsense in ["NaN", "inf", "unknown kN"] {
                    assert!(
                        !seen.split_whitespace().any(|w| w == nonsense),
                        "{name} {}: {nonsense}",
                        which.name()
                    );
                }
                assert!(!svg.contains("NaN"), "{name} {}", which.name());
                assert!(
                    svg.contains("role=\"img\"") && svg.contains("<title") && svg.contains("<desc")
                );
                usvg::Tree::from_str(&svg, &usvg::Options::default())
                    .expect("an SVG that can be drawn");
                assert_eq!(
                    svg,
                    figure(&answer, which, units).expect("drawn a moment ago")
                );
            }
        }
    }
    assert!(drawn > 90, "{drawn}");
}

#[test]
fn figures_without_content_are_refused_with_the_answers_reason() {
    let error =
        figure(&fixtures::no_rig(), Figure::ForceTime, Units::Metric).expect_err("no kinetic pull");
    assert_eq!(
        error,
        BriefError::NothingToDraw {
            figure: Figure::ForceTime,
            why: "No kinetic line in the kit.".into()
        }
    );
    for which in Figure::ALL {
        assert!(matches!(
            figure(&fixtures::bare(), which, Units::Metric),
            Err(BriefError::NothingToDraw { .. })
        ));
    }
}

#[test]
fn strip_marks_state_and_weakest_link_in_words() {
    let svg = figure(
        &fixtures::refused_ball(),
        Figure::LoadPathStrip,
        Units::Metric,
    )
    .expect("links");
    let seen = words(&svg);
    for word in ["WEAKEST", "REFUSED", "OVER WLL", "unrated", "131 %"] {
        assert!(seen.contains(word), "{word}");
    }
}

#[test]
fn plan_names_its_distances_in_the_units_asked_for() {
    let seen =
        words(&figure(&fixtures::giant_zone(), Figure::PlanView, Units::Imperial).expect("a zone"));
    for word in [
        "NOBODY INSIDE",
        "behind casualty 591\u{a0}ft",
        "behind tug 623\u{a0}ft",
        "beside 492\u{a0}ft each side",
    ] {
        assert!(
            seen.replace(' ', "\u{a0}")
                .contains(&word.replace(' ', "\u{a0}")),
            "{word}"
        );
    }
}

#[test]
fn an_empty_window_says_so() {
    let seen = words(
        &figure(
            &fixtures::empty_window(),
            Figure::RunUpWindow,
            Units::Metric,
        )
        .expect("a curve"),
    );
    assert!(seen.contains("NO WINDOW"));
}

#[test]
fn a_haul_names_its_limits_and_rests() {
    let answer = fixtures::winch_haul();
    let seen = words(&figure(&answer, Figure::WinchHaul, Units::Metric).expect("a haul"));
    let seen = seen.split_whitespace().collect::<Vec<_>>().join(" ");
    for word in [
        "Line pull at the winch (kN)",
        "Winding (C)",
        "330 A",
        "rests: 1",
    ] {
        assert!(seen.contains(word), "{word}: {seen}");
    }
}

#[test]
fn png_has_the_width_asked_for_and_is_always_the_same() {
    let svg = figure(&fixtures::good_tow(), Figure::PlanView, Units::Metric).expect("a zone");
    let picture = png(&svg, 300).expect("a picture");
    assert_eq!(&picture[1..4], b"PNG");
    assert_eq!(
        u32::from_be_bytes([picture[16], picture[17], picture[18], picture[19]]),
        300
    );
    assert_eq!(picture, png(&svg, 300).expect("a picture"));
    assert!(matches!(png(&svg, 0), Err(BriefError::PixelSize { .. })));
    assert!(matches!(png("<svg", 300), Err(BriefError::Svg(_))));
}

#[test]
fn a_lowering_is_drawn_with_its_vehicle_at_five_places() {
    let svg = figure(&fixtures::lowered(), Figure::Lowering, Units::Metric).expect("a way");
    let seen = words(&svg).replace('\u{a0}', " ");
    assert!(seen.contains("Holding force at the vehicle (kN)"), "{seen}");
    for number in 1..=5 {
        let lone = seen.lines().filter(|l| l.trim() == number.to_string());
        // A number on the axis of force may be the same.
        assert!(lone.count() >= 2, "vehicle and mark {number}");
    }
    assert!(seen.contains("parts are judged at 9.90"), "{seen}");
    let plan = figure(&fixtures::lowered(), Figure::PlanView, Units::Metric);
    assert!(matches!(plan, Err(BriefError::NothingToDraw { .. })));
}

/// `BLESS=1 cargo test -p steadypull-brief` renews the golden files.
#[test]
fn golden_figures() {
    for which in Figure::ALL {
        let answer = match which {
            Figure::WinchHaul => fixtures::winch_haul(),
            Figure::Lowering => fixtures::lowered(),
            _ => fixtures::kinetic_pull(),
        };
        let svg = figure(&answer, which, Units::Metric).expect("the fixture has every area");
        check_golden(&format!("{}.svg", which.name()), &svg);
    }
}

fn check_golden(name: &str, text: &str) {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/golden")
        .join(name);
    if std::env::var_os("BLESS").is_some() {
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("the folder can be made");
        std::fs::write(&path, text).expect("the golden file can be written");
    }
    let golden = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        golden == text,
        "{name} differs from its golden file; look at it, then BLESS=1"
    );
}
