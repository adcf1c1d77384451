//! Simulated pull to written log, imported, cleaned, fitted: the line it was made with.

mod common;

use common::{Folder, read};
use steadypull_contract::answer::{FitVerdict, Measured};
use steadypull_contract::plan_file::{read_plan, read_tests};
use steadypull_engine::line::Material;
use steadypull_engine::plan::{Line, Part, Plan};
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

/// The fitted line, pasted into a plan in place of its kinetic line, reads and is that line.
#[test]
fn a_plan_takes_the_line() {
    let folder = Folder::demo();
    let answer = fit(&folder.tests(), &folder).unwrap();
    let line = &answer.lines[0];
    let (_, plan) = steadypull_contract::EXAMPLES[0];
    let text = format!("{plan}\n{}", line.line_toml);
    let plan = read_plan(&text).unwrap_or_else(|e| panic!("{e:#?}\n{}", line.line_toml));
    let pasted = strap(&plan);
    assert!(
        (pasted.curve.strain_at_break() / line.curve_stretch.last().unwrap() - 1.0).abs() < 1e-5
    );
    assert!((pasted.curve.energy_return / line.energy_return - 1.0).abs() < 1e-5);
    assert_eq!(pasted.condition.wear, 0.0);
    assert!((pasted.mbs.get() / line.mbs_n - 1.0).abs() < 1e-5);
    for pull in &line.pulls {
        assert!(line.line_toml.contains(&pull.sha256));
    }
}

/// A bent curve with a rate effect is written as pairs and read too.
#[test]
fn a_plan_takes_a_bent_line() {
    let folder = Folder::demo();
    let test = folder.tests_with(
        "mbs = \"9 t\"",
        "mbs = \"9 t\"\nknots = 3\nset = \"10 %\"\nrate = true",
    );
    let line = &fit(&test, &folder).unwrap().lines[0];
    let (_, plan) = steadypull_contract::EXAMPLES[0];
    let plan = read_plan(&format!("{plan}\n{}", line.line_toml))
        .unwrap_or_else(|e| panic!("{e:#?}\n{}", line.line_toml));
    let pasted = strap(&plan);
    assert_eq!(pasted.curve.points().count(), line.curve_stretch.len());
    assert!(pasted.curve.rate.is_some() && line.stiffness_ratio.is_some());
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
    assert_eq!(guessed.times_s, kept.times_s);
    assert_eq!(guessed.channels[0].values, kept.channels[0].values);
    assert_eq!(looked.channels[0].unit, "N");
    assert!(looked.unreadable.is_none() && looked.samples == kept.times_s.len() as u64);
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
    folder
        .0
        .insert("marks.csv".into(), b"1,2,3\n2,x,3\n".to_vec());
    let found = common::troubles(read_pulls(&test, Some("dry-1"), &folder));
    assert!(found[0].message.contains("line 2"), "{found:?}");
}
