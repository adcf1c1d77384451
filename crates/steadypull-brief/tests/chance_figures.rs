//! The figures of a study by chance: well formed, in words, to scale with the zone.

#[path = "fixtures/words.rs"]
mod words;

use std::sync::atomic::AtomicBool;

use steadypull_brief::{BriefError, ChanceFigure, chance_figure, png};
use steadypull_contract::answer::Chance;
use steadypull_contract::show::Units;
use steadypull_contract::{ChanceOptions, ChanceRuns, chance};
use words::words;

fn study(name: &str) -> Chance {
    let path = format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("the example is there");
    let options = ChanceOptions {
        runs: ChanceRuns::Count(128),
        ..ChanceOptions::default()
    };
    let never = AtomicBool::new(false);
    chance(&text, &options, &mut |_| (), &never).expect("it can be studied")
}

#[test]
fn figures_say_what_the_study_says() {
    let answer = study("side-slope-bridle");
    for which in ChanceFigure::ALL {
        for units in [Units::Metric, Units::Imperial] {
            let svg = chance_figure(&answer, which, units).expect("it is drawn");
            assert_eq!(svg, chance_figure(&answer, which, units).expect("again"));
            let seen = words(&svg);
            assert!(!seen.contains("NaN") && !seen.contains("unknown"), "{seen}");
            assert!(png(&svg, 800).is_ok_and(|picture| picture.len() > 1000));
        }
    }
    let map = words(&chance_figure(&answer, ChanceFigure::ZoneMap, Units::Metric).expect("drawn"));
    assert!(map.contains("NOBODY INSIDE"), "{map}");
    assert!(
        map.contains(&Units::Metric.length(answer.zone.furthest_m)),
        "{map}"
    );
    let tornado = chance_figure(&answer, ChanceFigure::Tornado, Units::Metric).expect("drawn");
    let first = &answer.drivers[1].drivers[0].what;
    assert!(words(&tornado).contains(first.as_str()), "{first}");
}

#[test]
fn what_holds_nothing_is_refused_with_its_reason() {
    let mut answer = study("side-slope-bridle");
    answer.drivers.clear();
    let refused = chance_figure(&answer, ChanceFigure::Tornado, Units::Metric);
    assert!(matches!(
        refused,
        Err(BriefError::NoChanceFigure { why, .. }) if !why.is_empty()
    ));
    answer.zone.corners.clear();
    answer.zone.outer.clear();
    answer.zone.contours.clear();
    answer.zone.outlines.clear();
    assert!(chance_figure(&answer, ChanceFigure::ZoneMap, Units::Metric).is_err());
}
