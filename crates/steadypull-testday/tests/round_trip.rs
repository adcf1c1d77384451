//! Simulated pull to written log, imported, cleaned, fitted: the line it was made with.

mod common;

use common::{Folder, read};
use steadypull_contract::answer::{FitVerdict, Measured};
use steadypull_contract::answer_plan;
use steadypull_contract::plan_file::{LineFiles, read_plan, read_plan_with, read_tests};
use steadypull_engine::chance::Sampler;
use steadypull_engine::line::Material;
use steadypull_engine::plan::{Line, Part, Plan, Spread, Together, ToldApart};
use steadypull_testday::{compare, fit, look, read as read_pulls};

fn strap(plan: &Plan) -> &Line {
    match plan.kit.part("strap-dry") {
        Some(Part::Line(line)) => line,
        other => panic!("no line: {other:?}"),
    }
}

fn holds(measured: &Measured, truth: f64) -> bool {
    (measured.low.unwrap_or(f64::MIN)..=measured.high.unwrap_or(f64::MAX)).contains(&truth)
}

/// The demo's dry line is the engine's nylon webbing, 18 % at MBS, 70 % given back, 10 % set.
#[test]
fn the_line_comes_back_inside_its_intervals() {
    let folder = Folder::demo();
    let answer = fit(&folder.tests(), &folder).unwrap();
    let line = &answer.lines[0];
    let curve = Material::NylonWebbing.curve().unwrap();
    let truth = [
        curve.strain_at_break(),
        curve.energy_return,
        curve.set_fraction,
    ];
    assert_eq!(line.parameters.len(), 3);
    for (parameter, truth) in line.parameters.iter().zip(truth) {
        assert!(holds(&parameter.value, truth), "{truth}: {parameter:#?}");
        // And the interval says something.
        let width = parameter.value.high.unwrap() - parameter.value.low.unwrap();
        assert!(width < 0.25 * truth, "{width} {parameter:#?}");
    }
    assert_eq!(line.verdict, FitVerdict::Apart, "{}", line.says);
    assert!(
        (line.noise_n / 120.0 - 1.0).abs() < 0.25,
        "{}",
        line.noise_n
    );
    assert!(line.share_read > 0.3);
}

/// The first demo plan with a line from `line_toml`, named as a plan names one.
fn naming(line_toml: &str) -> Plan {
    let (_, plan) = steadypull_contract::EXAMPLES[0];
    let text = format!("{plan}\n[line.strap-dry]\nfile = \"strap-dry.line.toml\"\n");
    let lines = LineFiles::fetched(&text, |_| Ok(line_toml.into()));
    read_plan((&text[..], &lines)).unwrap_or_else(|e| panic!("{e:#?}\n{line_toml}"))
}

/// A plan that names the line file has the fitted line, and says where it comes from.
#[test]
fn a_plan_takes_the_line() {
    let folder = Folder::demo();
    let test = folder.tests();
    let answer = fit(&test, &folder).unwrap();
    let line = &answer.lines[0];
    let plan = naming(&line.line_toml);
    let named = strap(&plan);
    assert!(
        (named.curve.strain_at_break() / line.curve_stretch.last().unwrap() - 1.0).abs() < 1e-5
    );
    assert!((named.curve.energy_return / line.energy_return - 1.0).abs() < 1e-5);
    assert_eq!(named.condition.wear, 0.0);
    assert!((named.mbs.get() / line.mbs_n - 1.0).abs() < 1e-5);
    for pull in &line.pulls {
        assert!(line.line_toml.contains(&pull.sha256));
    }
    assert!(line.line_toml.contains(&test.sha256));
    let [tested] = &plan.tested[..] else {
        panic!("{:?}", plan.tested);
    };
    assert_eq!((&tested.date[..], tested.pulls), ("2031-05-14", 3));
    assert_eq!(tested.title, test.title);
    assert!((tested.data_to / line.share_read - 1.0).abs() < 1e-5);
    assert_eq!(tested.told, ToldApart::Apart);
    assert!(!tested.wet && tested.overdue.is_empty() && tested.held.is_empty());
    // Each interval as fitted: of a bell as wide as its wider side.
    for (key, parameter) in ["stretch", "energy_return", "set"]
        .iter()
        .zip(&line.parameters)
    {
        let key = format!("line.strap-dry.{key}");
        let spread = plan.spreads.iter().find(|s| s.key == key).expect(&key);
        let ends = [0.025, 0.975].map(|level| spread.distribution.quantile(level));
        let value = &parameter.value;
        let (low, high) = (value.low.unwrap(), value.high.unwrap());
        let wider = (high - value.value.unwrap()).max(value.value.unwrap() - low);
        let width = 0.5 * (ends[1] - ends[0]);
        assert!((width / wider - 1.0).abs() < 0.01, "{key}: {width} {wider}");
        assert!(
            ends[0] < low * 1.0001 && ends[1] > high * 0.9999,
            "{key}: {ends:?}"
        );
    }
}

/// How the fitted numbers go together comes into the plan, and into what is drawn of it.
#[test]
fn a_plan_draws_the_line_as_the_tests_know_it() {
    let folder = Folder::demo();
    for (asked, keys) in [
        ("mbs = \"9 t\"", &["stretch", "energy_return", "set"][..]),
        // The shape of a bent curve stays: its knots are in no interval.
        (
            "mbs = \"9 t\"\nknots = 3\nset = \"10 %\"",
            &["stretch", "energy_return"],
        ),
    ] {
        let test = folder.tests_with("mbs = \"9 t\"", asked);
        let line = &fit(&test, &folder).unwrap().lines[0];
        let plan = naming(&line.line_toml);
        let set = plan.tested[0].together.as_ref().expect("a set");
        assert_eq!(set.words, "line strap-dry as measured");
        let named: Vec<&str> = set
            .keys
            .iter()
            .filter_map(|k| k.rsplit('.').next())
            .collect();
        assert_eq!(named, keys);
        // Places of the same among the fit's parameters.
        let of = |key: &&str| {
            let name = match *key {
                "energy_return" => "energy-return",
                key => key,
            };
            let found = line
                .parameters
                .iter()
                .position(|p| p.name.starts_with(name));
            found.expect("a parameter")
        };
        let at: Vec<usize> = keys.iter().map(of).collect();
        let draws = drawn(&plan, set);
        for (i, j) in [(0, 1), (0, 2), (1, 2)]
            .into_iter()
            .filter(|(_, j)| *j < keys.len())
        {
            let fitted = line.correlation[at[i]][at[j]];
            assert!(
                (set.copula.between(i, j) - fitted).abs() < 1e-6,
                "{asked}: {fitted}"
            );
            let found = correlation(&draws[i], &draws[j]);
            // Four standard errors of so many plain draws (Fisher 1915, from memory). Values
            // go together a hair less than their scores, by the bend of a logarithm.
            let error = 4.0 * (1.0 - fitted * fitted) / (DRAWS as f64).sqrt();
            assert!((found - fitted).abs() < error, "{asked}: {found} {fitted}");
        }
    }
}

const DRAWS: u64 = 4096;

/// Values of the spreads of `set`, as a study draws them.
fn drawn(plan: &Plan, set: &Together) -> Vec<Vec<f64>> {
    let spreads: Vec<&Spread> = plan.spreads.iter().collect();
    let place = |key: &str| spreads.iter().position(|s| s.key == key);
    let joined = set.joined(place).expect("spreads that go together");
    let sampler = Sampler::sobol(1, spreads.len(), 1).unwrap();
    let levels = (0..DRAWS).map(|run| {
        let mut levels: Vec<f64> = (0..spreads.len()).map(|j| sampler.level(run, j)).collect();
        joined.join(&mut levels);
        levels
    });
    let levels: Vec<Vec<f64>> = levels.collect();
    let column = |at: &usize| {
        let value = |levels: &Vec<f64>| spreads[*at].distribution.quantile(levels[*at]);
        levels.iter().map(value).collect()
    };
    joined.places.iter().map(column).collect()
}

fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let mean = |x: &[f64]| x.iter().sum::<f64>() / x.len() as f64;
    let (ma, mb) = (mean(a), mean(b));
    let by = |x: &[f64], mx: f64, y: &[f64], my: f64| -> f64 {
        let products = x.iter().zip(y).map(|(x, y)| (x - mx) * (y - my));
        products.sum()
    };
    by(a, ma, b, mb) / (by(a, ma, a, ma) * by(b, mb, b, mb)).sqrt()
}

/// A bent curve with a rate effect and a set that is held is written and read too.
#[test]
fn a_plan_takes_a_bent_line() {
    let folder = Folder::demo();
    let test = folder.tests_with(
        "mbs = \"9 t\"",
        "mbs = \"9 t\"\nknots = 3\nset = \"10 %\"\nrate = true",
    );
    let line = &fit(&test, &folder).unwrap().lines[0];
    let plan = naming(&line.line_toml);
    let named = strap(&plan);
    assert_eq!(named.curve.points().count(), line.curve_stretch.len());
    assert!(named.curve.rate.is_some() && line.stiffness_ratio.is_some());
    assert_eq!(plan.tested[0].held, ["set"]);
    assert!(
        plan.spreads
            .iter()
            .any(|s| s.key == "line.strap-dry.stretch")
    );
}

/// What was tested wet says so, and an overdue cell is carried along.
#[test]
fn wet_lines_and_overdue_cells_say_so() {
    let folder = Folder::demo();
    let text = folder.text("tests.toml");
    let text = text.replace(
        "pulls = [\"dry-1\", \"dry-2\", \"dry-3\"]",
        "pulls = [\"wet-1\", \"wet-2\"]",
    );
    let due = text.find("due = ").expect("a certificate");
    let end = due + text[due..].find('\n').expect("a line");
    let text = format!("{}due = \"2030-01-01\"{}", &text[..due], &text[end..]);
    let line = &fit(&common::read(&text), &folder).unwrap().lines[0];
    let plan = naming(&line.line_toml);
    let tested = &plan.tested[0];
    assert!(tested.wet && !strap(&plan).condition.wet);
    // The demo's set-ups say what state the strap is in, as the line file does.
    let said = folder
        .tests()
        .setups
        .iter()
        .find(|s| s.name == "wet")
        .and_then(|s| s.condition.clone());
    assert_eq!(tested.condition, said);
    assert_eq!((tested.overdue.len(), tested.pulls), (1, 2));
}

/// Simulated pull, log, fit, line file, plan: the peak is that of the plan with the true
/// line, inside of what the intervals make of it.
#[test]
fn a_plan_with_the_line_file_foretells_the_peak() {
    let folder = Folder::demo();
    let line = &fit(&folder.tests(), &folder).unwrap().lines[0];
    let text = |line: &str| {
        format!(
            "[casualty]\nmass = \"2.6 t\"\nsits_in = \"clay\"\nsunk_to = \"wheel\"\n\
             [casualty.point.rear]\nkind = \"rated\"\nwll = \"5 t\"\n\
             [tug]\nmass = \"2.9 t\"\nsurface = \"dry-earth\"\n\
             [tug.point.front]\nkind = \"rated\"\nwll = \"5 t\"\n[line.strap]\n{line}\n\
             [rig]\nmethod = \"kinetic\"\npath = [\"casualty.rear\", \"strap\", \"tug.front\"]\n\
             run_up_speed = \"8 km/h\"\n"
        )
    };
    let peak = |plan: &Plan| {
        let kinetic = answer_plan(plan).unwrap().pull.kinetic;
        kinetic.expect("a kinetic pull").peak_force_n
    };
    // The line that the demo's pulls were made with.
    let truth = read_plan(&text(
        "material = \"nylon-webbing\"\nlength = \"9 m\"\nmbs = \"9 t\"\nstretch = \"18 %\"\n\
         energy_return = \"70 %\"\nset = \"10 %\"\ncondition = \"new\"",
    ));
    let truth = peak(&truth.unwrap());
    let text = text("file = \"strap.line.toml\"");
    let lines = LineFiles::fetched(&text, |_| Ok(line.line_toml.clone()));
    let plan = read_plan((&text[..], &lines)).unwrap();
    let foretold = peak(&plan);
    assert!((foretold / truth - 1.0).abs() < 0.01, "{foretold} {truth}");
    let mut ends = Vec::new();
    for stretch in [0.025, 0.975] {
        for back in [0.025, 0.975] {
            let set = |at: usize, level| {
                let spread = &plan.spreads[at];
                (spread.key.clone(), spread.distribution.quantile(level))
            };
            let set = [set(0, stretch), set(1, back)];
            ends.push(peak(&read_plan_with((&text[..], &lines), &set).unwrap()));
        }
    }
    let (low, high) = ends
        .iter()
        .fold((f64::MAX, 0.0_f64), |(l, h), p| (l.min(*p), h.max(*p)));
    assert!(low <= truth && truth <= high, "{low} {truth} {high}");
    // And the interval says something.
    assert!((high - low) / truth < 0.03, "{low} {high}");
}

/// The guess reads the demo's log as the recipe in its folder does.
#[test]
fn the_guess_is_the_recipe() {
    let folder = Folder::demo();
    let looked = look("dry-1.csv", &folder.0["dry-1.csv"]).unwrap();
    let guessed = steadypull_logs::Recipe::from_toml(&looked.recipe).unwrap();
    let kept = steadypull_logs::Recipe::from_toml(&folder.text("logger.toml")).unwrap();
    let by = |recipe| steadypull_logs::read(&folder.0["dry-1.csv"], recipe).unwrap();
    let (guessed, kept) = (by(&guessed), by(&kept));
    assert_eq!(guessed.times, kept.times);
    assert_eq!(guessed.channels[0].values(), kept.channels[0].values());
    assert_eq!(looked.channels[0].unit, "N");
    assert!(looked.unreadable.is_none() && looked.samples == kept.times.len() as u64);
}

/// The peaks read lie where the engine put them.
#[test]
fn peaks_are_those_of_the_pulls() {
    let folder = Folder::demo();
    let answer = read_pulls(&folder.tests(), None, &folder).unwrap();
    assert_eq!(answer.pulls.len(), 10);
    for pull in &answer.pulls {
        let readings = &pull.readings;
        let (peak, stretch) = (
            &readings.peak_n,
            readings.stretch.as_ref().expect("a stretch"),
        );
        let text = folder.text(&pull.log.file);
        let loads = text
            .lines()
            .skip(1)
            .map(|l| l.split(';').nth(1).unwrap().parse::<f64>().unwrap());
        // The highest sample less the zero, give or take the noise of one sample.
        let about = loads.fold(0.0, f64::max) * 1e3 - 350.0;
        assert!(
            (peak.value.unwrap() - about).abs() < 500.0,
            "{} {about}",
            peak.value.unwrap()
        );
        assert!(
            peak.low.is_some() && stretch.energy_in_j.low.is_some(),
            "{pull:#?}"
        );
        assert!(!peak.made_of.is_empty());
    }
    let one = read_pulls(&folder.tests(), Some("wet-2"), &folder).unwrap();
    assert_eq!(one.pulls.len(), 1);
    assert_eq!(one.pulls[0], answer.pulls[2]);
}

/// Wet nylon is stiffer in the model that made the logs: the comparison finds it.
#[test]
fn wet_is_told_from_dry() {
    use steadypull_contract::answer::CompareVerdict;
    let folder = Folder::demo();
    let answer = compare(&folder.tests(), &folder).unwrap();
    let peak = &answer.compared[0];
    assert_eq!((peak.setups[0].pulls, peak.setups[1].pulls), (5, 5));
    let pair = &peak.pairs[0];
    assert_eq!(pair.verdict, Some(CompareVerdict::Shown), "{pair:#?}");
    assert!(pair.difference.unwrap() > 0.0 && pair.low.unwrap() > 0.0);
    let tolerance = peak.setups[0].tolerance.unwrap();
    assert!(tolerance.low.is_none() && tolerance.high.unwrap() > peak.setups[0].mean.unwrap());
    assert_eq!(answer.predicted.len(), 1);
}

#[test]
fn answers_come_out_the_same_twice() {
    let folder = Folder::demo();
    let twice = || compare(&folder.tests(), &folder).unwrap();
    assert_eq!(twice(), twice());
    assert!(read_tests(&folder.text("tests.toml")).is_ok());
    let _ = read(&folder.text("tests.toml"));
}

/// Where a pull's stretch begins is moved by no more than a few of its doubts, and what is left
/// over is then noise.
#[test]
fn what_is_left_over_is_noise() {
    let folder = Folder::demo();
    let line = &fit(&folder.tests(), &folder).unwrap().lines[0];
    assert!(
        line.residuals_like_noise,
        "{} {}",
        line.runs_p, line.correlation_p
    );
    for pull in &line.pulls {
        assert!(pull.moved_m.abs() < 0.006, "{}", pull.moved_m);
    }
}

/// A point that falls freely for 0.4 s, seen at 240 frames a second and 500 pixels a metre:
/// 0.785 m, 3.92 m/s, and standard gravity lie in their intervals.
#[test]
fn footage_of_a_free_fall() {
    let mut folder = Folder::demo();
    let rows = (0..97).map(|frame| {
        let time = f64::from(frame) / 240.0;
        let wobble = 0.4 * libm::sin(f64::from(frame * frame));
        format!(
            "{frame},640.0,{:.2}\n",
            100.0 + wobble + 500.0 * 0.5 * 9.806_65 * time * time
        )
    });
    let table = format!("frame,x,y\n{}", rows.collect::<String>());
    folder.0.insert("marks.csv".into(), table.into_bytes());
    let test = folder.tests_with(
        "[pull.wet-1]",
        "[pull.dry-1.footage]\nmarks = \"marks.csv\"\nframe_rate = 240.0\nrows = 1080.0\nreadout = \"0 ms\"\n\
         known_length = \"1 m\"\nknown_length_uncertainty = \"1 mm\"\nknown_from = [100.0, 100.0]\n\
         known_to = [100.0, 600.0]\naskew = \"0.1 %\"\nclick = 0.5\n\n[pull.wet-1]",
    );
    let answer = read_pulls(&test, Some("dry-1"), &folder).unwrap();
    let seen = answer.pulls[0].footage.as_ref().expect("footage");
    let time = 96.0 / 240.0;
    for (measured, truth, width) in [
        (&seen.along.moved_m, 0.5 * 9.806_65 * time * time, 0.02),
        (&seen.along.speed_m_s, 9.806_65 * time, 0.5),
        (&seen.along.acceleration_m_s2, 9.806_65, 10.0),
    ] {
        assert!(holds(measured, truth), "{truth} {measured:?}");
        assert!(
            measured.high.unwrap() - measured.low.unwrap() < width,
            "{measured:?}"
        );
    }
    assert_eq!(seen.marks, 97);
    // The largest doubt first.
    for part in [&seen.along.moved_m, &seen.along.acceleration_m_s2] {
        let doubts: Vec<f64> = part
            .made_of
            .iter()
            .map(|d| d.standard_uncertainty)
            .collect();
        assert!(doubts.len() == 2 && doubts[0] >= doubts[1], "{doubts:?}");
    }
    folder
        .0
        .insert("marks.csv".into(), b"1,2,3\n2,x,3\n".to_vec());
    let found = common::troubles(read_pulls(&test, Some("dry-1"), &folder));
    assert!(found[0].message.contains("line 2"), "{found:?}");
}
