//! Ranges and distributions in place of one number.

use steadypull_contract::plan_file::{read_plan, read_plan_with, variables};
use steadypull_engine::chance::{Distribution, LogNormal};
use steadypull_engine::plan::{Plan, Spread};
use steadypull_engine::units::Angle;

fn plan(mass: &str, more: &str) -> Plan {
    let text = format!(
        "[casualty]\nmass = {mass}\nsits_in = \"clay\"\nsunk_to = \"wheel\"\n{more}\n\
         [tug]\nmass = \"2.9 t\"\nsurface = \"grass\"\n"
    );
    read_plan(&text).unwrap_or_else(|e| panic!("{}", e.report("plan.toml", &text)))
}

fn mass_of(written: &str) -> (f64, Spread) {
    let plan = plan(written, "");
    let mass = plan.casualty.vehicle.mass.get();
    let [spread] = <[Spread; 1]>::try_from(plan.spreads).expect("one spread");
    assert_eq!((&spread.key[..], spread.unit), ("casualty.mass", "kg"));
    assert_eq!(spread.middle, mass, "the plan holds the middle");
    (mass, spread)
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-9 * b.abs().max(1.0), "{a} is not {b}");
}

#[test]
fn ranges_as_people_write_them() {
    for written in [
        "\"2.2 t to 2.6 t\"",
        "\"2.2 to 2.6 t\"",
        "\"2200 kg to 2.6 t\"",
        "\"between 2.2 t and 2.6 t\"",
        "{ low = \"2.2 t\", high = \"2.6 t\" }",
    ] {
        let (mass, spread) = mass_of(written);
        close(mass, 2400.0);
        let (low, high) = spread.distribution.bounds();
        close(low, 2200.0);
        close(high, 2600.0);
        assert!(
            matches!(spread.distribution, Distribution::Uniform { .. }),
            "{written}"
        );
    }
}

#[test]
fn a_likely_value_is_the_middle() {
    for written in [
        "\"2.2 t to 2.6 t, likely 2.3 t\"",
        "\"2.2 to 2.6 t, most likely 2.3\"",
        "{ low = \"2.2 t\", likely = \"2.3 t\", high = \"2.6 t\" }",
    ] {
        let (mass, spread) = mass_of(written);
        close(mass, 2300.0);
        assert_eq!(
            spread.distribution,
            Distribution::Triangular {
                low: 2200.0,
                likely: 2300.0,
                high: 2600.0
            }
        );
    }
}

/// 19 in 20 of the values lie inside the tolerance (two standard deviations).
#[test]
fn a_tolerance_is_two_standard_deviations() {
    for written in [
        "\"2.4 t +/- 0.2 t\"",
        "\"2.4 t \u{b1} 200 kg\"",
        "\"2.4 +/- 0.2 t\"",
        "\"2400 kg +/- 200\"",
        "\"2.5 t +/- 8 %\"",
    ] {
        let (mass, spread) = mass_of(written);
        let inside = |p: f64| spread.distribution.quantile(p) - mass;
        assert!(
            (inside(0.977_249_868) - 200.0).abs() < 0.01,
            "{written}: {spread:?}"
        );
        assert!(
            (inside(0.022_750_132) + 200.0).abs() < 0.01,
            "{written}: {spread:?}"
        );
    }
    let (mass, spread) = mass_of("{ mean = \"2.4 t\", sd = \"0.1 t\" }");
    close(mass, 2400.0);
    close(spread.distribution.sd(), 100.0);
    // The limits of the key cut the tails off.
    assert_eq!(spread.distribution.bounds(), (300.0, 60_000.0));
}

#[test]
fn a_median_with_a_spread_is_log_normal() {
    for spread in ["\"20 %\"", "0.2"] {
        let (mass, spread) = mass_of(&format!("{{ median = \"2.4 t\", spread = {spread} }}"));
        close(mass, 2400.0);
        let whole = LogNormal::new(2400.0, 0.2);
        let expected = Distribution::LogNormal(whole).within(300.0, 60_000.0);
        assert_eq!(Ok(spread.distribution), expected);
    }
}

#[test]
fn a_table_may_stand_under_its_own_heading() {
    let text = "[casualty]\nsits_in = \"clay\"\n[casualty.mass]\nlow = \"2.2 t\"\nhigh = \"2.6 t\"\n\
                [tug]\nmass = \"2.9 t\"\nsurface = \"grass\"\n";
    let plan = read_plan(text).expect("a plan");
    close(plan.casualty.vehicle.mass.get(), 2400.0);
    assert_eq!(plan.spreads[0].text, "low 2.2 t, high 2.6 t");
}

#[test]
fn plain_numbers_shares_slopes_and_places_too() {
    let text = "[casualty]\nmass = \"2.4 t\"\nsits_in = \"clay\"\nslope_along = \"18 % +/- 2 %\"\n\
                at = [\"0 m\", \"1 m to 2 m\"]\nfacing = \"0 deg\"\n\
                [tug]\nmass = \"2.9 t\"\nsurface = \"grass\"\ngrip = \"0.3 to 0.5\"\n\
                rolling = { low = 0.05, likely = 0.08, high = 0.1 }\n\
                [line.strap-1]\nmaterial = \"nylon-webbing\"\nlength = \"9 m\"\nmbs = \"9 t +/- 5 %\"\n\
                stretch = \"15 % to 25 %\"\nenergy_return = \"60 % +/- 10 %\"\n";
    let plan = read_plan(text).unwrap_or_else(|e| panic!("{}", e.report("p", text)));
    let keys: Vec<&str> = plan.spreads.iter().map(|s| &s.key[..]).collect();
    assert_eq!(
        keys,
        [
            "casualty.at.2",
            "casualty.slope_along",
            "tug.grip",
            "tug.rolling",
            "line.strap-1.mbs",
            "line.strap-1.stretch",
            "line.strap-1.energy_return",
        ]
    );
    close(plan.tug.grip, 0.4);
    close(plan.tug.rolling, 0.08);
    let slope = &plan.spreads[1].distribution;
    close(slope.median(), Angle::from_grade(0.18).get());
    let steepest = slope.quantile(0.977_249_868);
    let half = 0.5 * (Angle::from_grade(0.2).get() - Angle::from_grade(0.16).get());
    assert!((steepest - slope.median() - half).abs() < 1e-6);
    let returned = plan.spreads[6].distribution.quantile(0.977_249_868);
    assert!(
        (returned - 0.7).abs() < 1e-4,
        "{returned}: points, not a tenth of 60 %"
    );
    let steadypull_engine::plan::Part::Line(line) = &plan.kit.parts[0] else {
        panic!("a line");
    };
    close(line.curve.strain_at_break(), 0.2);
}

/// A plan with a way in pieces, a winch with a plate and a stretch curve.
fn listed(way: &str, rows: &str, stretch: &str) -> String {
    format!(
        "[casualty]\nmass = \"2.4 t\"\nsits_in = \"firm\"\n\
         [casualty.point.rear]\nkind = \"rated\"\nwll = \"4.5 t\"\n\
         [tug]\nmass = \"2.8 t\"\nsurface = \"grass\"\n\
         [tug.winch]\nrated_pull = \"4 t\"\nline = \"rope\"\nrows = {rows}\n\
         [line.rope]\nmaterial = \"nylon-braid\"\nlength = \"60 m\"\nmbs = \"11 t\"\nstretch = {stretch}\n\
         [lowering]\n{way}\nsurface = \"dry-earth\"\n\
         [lowering.main]\nline = \"rope\"\npoint = \"casualty.rear\"\nby = \"turns\"\n\
         round = \"tree\"\nturns = 4\nanchor = \"oak\"\nanchor_holds = \"60 kN\"\nanchor_back = \"8 m\"\n"
    )
}

const WAY: &str = "way = [[\"6 m\", \"3 deg\"], [\"15 m to 21 m\", \"28 deg +/- 2 deg\"]]";
const ROWS: &str = "[[\"0 t\", \"8 m/min\", \"70 A\"], [\"4 t\", \"1.5 to 2.5 m/min\", \"400 A\"]]";
const STRETCH: &str = "[[\"5 %\", \"18 to 22 %\"], [\"20 % +/- 2 %\", \"100 %\"]]";

#[test]
fn figures_in_lists_may_be_spreads_by_their_place() {
    let text = listed(WAY, ROWS, STRETCH);
    let plan = read_plan(&text).unwrap_or_else(|e| panic!("{}", e.report("plan", &text)));
    let keys: Vec<&str> = plan.spreads.iter().map(|s| &s.key[..]).collect();
    for key in [
        "lowering.way.2.length",
        "lowering.way.2.slope",
        "tug.winch.rows.2.speed",
        "line.rope.stretch.1.share",
        "line.rope.stretch.2.stretch",
    ] {
        assert!(keys.contains(&key), "{key} in {keys:?}");
    }
    assert_eq!(keys.len(), 5);
    let piece = plan.lowering.expect("it lowers").way[1];
    close(piece.length.get(), 18.0);
    close(piece.slope.to_deg(), 28.0);
    let known = variables(&text).expect("it reads");
    let slope = known.iter().find(|v| v.key == "lowering.way.1.slope");
    let slope = slope.expect("plain figures are listed too");
    assert!(slope.given && slope.limits.is_some() && slope.unit == "rad");
    let set = |key: &str, size: f64| read_plan_with(&text, &[(key.to_string(), size)]);
    let steeper = set("lowering.way.1.slope", 0.2).expect("it reads");
    close(steeper.lowering.expect("it lowers").way[0].slope.get(), 0.2);
    assert!(set("lowering.way.1.slope", 1.4).is_err(), "a wall");
    assert!(
        set("lowering.way.3.slope", 0.2).is_err(),
        "there is no third piece"
    );
    let faster = set("tug.winch.rows.2.speed", 0.02).expect("it reads");
    assert_ne!(
        faster.tug.winch,
        read_plan(&text).expect("it reads").tug.winch
    );
    assert!(
        set("tug.winch.rows.2.speed", 0.2).is_err(),
        "faster under load"
    );
}

#[test]
fn spreads_in_lists_that_make_no_sense_have_their_place() {
    let cases = [
        (
            listed(
                "way = [[\"6 m\", \"3 deg\"], [\"18 m\", \"60 deg to 70 deg\"]]",
                ROWS,
                STRETCH,
            ),
            "lowering.way.2.slope reaches out of range",
        ),
        (
            listed(
                "points = [[\"0 m\", \"0 m\"], [\"-1 m to 0.5 m\", \"-1 m\"]]",
                ROWS,
                STRETCH,
            ),
            "lowering.points holds a point that is not further down the way",
        ),
        (
            listed(WAY, &ROWS.replace("\"0 t\"", "\"0 to 0.2 t\""), STRETCH),
            "tug.winch.rows do not start at no load",
        ),
        (
            listed(
                WAY,
                ROWS,
                &STRETCH.replace("\"100 %\"", "\"95 % to 100 %\""),
            ),
            "line.rope.stretch is no curve",
        ),
        (
            listed(
                WAY,
                ROWS,
                &STRETCH.replace("\"100 %\"", "\"95 % to 105 %\""),
            ),
            "line.rope.stretch.2.share reaches out of range",
        ),
    ];
    for (text, message) in cases {
        let report = read_plan(&text)
            .expect_err(message)
            .report("plan.toml", &text);
        let flat = report.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(message), "{report}");
        // File, line and column come first.
        let mut place = report.split(':').skip(1).map(|part| part.parse::<usize>());
        assert!(
            matches!((place.next(), place.next()), (Some(Ok(_)), Some(Ok(_)))),
            "{report}"
        );
    }
}
