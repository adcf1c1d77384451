//! An invented test day to start from: pulls run by the engine, written as a logger would
//! write them, with noise. They check nothing; they show how the files go together.

use steadypull_engine::line::{Condition, Law, Material, Path};
use steadypull_engine::pull::kinetic::Drive;
use steadypull_engine::pull::{Sample, Setup, run};
use steadypull_engine::units::{Duration, Force, Length, Mass, Speed};

use crate::draws::Draws;
use crate::trouble::{TestsError, Trouble};

/// Samples a second of the logs.
const RATE_HZ: f64 = 1000.0;
/// Quiet before the run-up, s.
const QUIET_S: f64 = 1.0;
/// Run-up before the line comes tight, s.
const RUN_UP_S: f64 = 0.4;
/// After that, s.
const PULL_S: f64 = 1.8;
/// Where the loads stand with the line slack, N.
const ZERO_N: f64 = 350.0;
/// Noise of one load, N, and of one stretch, m.
const NOISE: (f64, f64) = (120.0, 0.001);

/// One file of the demo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExampleFile {
    /// Its name.
    pub name: String,
    /// What it holds, in words.
    pub holds: &'static str,
    /// Its text.
    pub text: String,
}

const TESTS: &str = include_str!("example/tests.toml");
const RECIPE: &str = include_str!("example/logger.toml");
const DAY: &str = include_str!("example/day.toml");

/// The pulls: name, wet, run-up speed, m/s.
const PULLS: [(&str, bool, f64); 10] = [
    ("dry-1", false, 3.02),
    ("wet-1", true, 2.97),
    ("wet-2", true, 3.05),
    ("dry-2", false, 2.95),
    ("dry-3", false, 3.06),
    ("wet-3", true, 3.01),
    ("wet-4", true, 2.98),
    ("dry-4", false, 2.99),
    ("dry-5", false, 3.03),
    ("wet-5", true, 3.04),
];

/// The files of the demo: a test file, its recipe and logs, and a day file.
pub fn example() -> Result<Vec<ExampleFile>, TestsError> {
    let file = |name: &str, holds, text: &str| ExampleFile {
        name: name.into(),
        holds,
        text: text.into(),
    };
    let mut files = vec![
        file("tests.toml", "test file", TESTS),
        file("logger.toml", "recipe of the logs", RECIPE),
        file("day.toml", "day file", DAY),
    ];
    for (at, (name, wet, speed)) in PULLS.iter().enumerate() {
        let text = log(*wet, *speed, at as u64 + 1)?;
        files.push(file(&format!("{name}.csv"), "log", &text));
    }
    Ok(files)
}

fn pulled(wet: bool, speed: f64) -> Result<Vec<Sample>, TestsError> {
    let material = Material::NylonWebbing;
    let condition = Condition {
        wet,
        ..Condition::default()
    };
    let curve = material.curve().map_err(|error| unmade(&error))?;
    let law = Law::new(&curve, Force::from_tf(9.0), &condition, material);
    let outcome = run(&Setup {
        tug_mass: Mass::new(2900.0),
        casualty_mass: Some(Mass::new(2600.0)),
        length: Length::new(9.0),
        path: Path::new(law, 0.0),
        run_up_speed: Speed::new(speed),
        slack: Length::ZERO,
        drive: Drive::NONE,
        tug_grade: Force::ZERO,
        tug_rolling: Force::ZERO,
        slide: Force::new(30e3),
        break_extra: Force::new(8e3),
        break_length: Length::new(0.3),
        viscous_n_s_per_m: 0.0,
        parts_at: None,
        duration: Duration::new(PULL_S),
    });
    Ok(outcome.map_err(|error| unmade(&error))?.series)
}

fn unmade(error: &dyn core::fmt::Display) -> Trouble {
    Trouble::new("the demo", format!("its pulls could not be made: {error}"))
}

/// A log of clock, load and how much further apart the line's ends are than its rest length.
fn log(wet: bool, speed: f64, seed: u64) -> Result<String, TestsError> {
    let series = pulled(wet, speed)?;
    let apart = apart(&series);
    let mut draws = Draws::new(seed);
    let mut text = String::from("Time (s);Load (kN);Apart (m)\r\n");
    let taut_s = QUIET_S + RUN_UP_S;
    let rows = ((taut_s + PULL_S) * RATE_HZ) as u32;
    let mut at = 0;
    for row in 0..rows {
        let time_s = f64::from(row) / RATE_HZ;
        let since = time_s - taut_s;
        let (force, far) = if since < 0.0 {
            (0.0, speed * since.max(-RUN_UP_S))
        } else {
            while at + 2 < series.len() && series[at + 1].time_s <= since {
                at += 1;
            }
            let (a, b) = (&series[at], &series[at + 1]);
            let share = ((since - a.time_s) / (b.time_s - a.time_s).max(1e-12)).clamp(0.0, 1.0);
            let between = |from: f64, to: f64| from + share * (to - from);
            (
                between(a.force_n, b.force_n),
                between(apart[at], apart[at + 1]),
            )
        };
        let force = force + ZERO_N + NOISE.0 * draws.normal();
        let far = far + NOISE.1 * draws.normal();
        text += &format!("{time_s:.3};{:.3};{far:.4}\r\n", force / 1e3);
    }
    Ok(text)
}

/// How much further apart the ends are than the rest length, from the speeds of both.
fn apart(series: &[Sample]) -> Vec<f64> {
    let mut far = 0.0;
    let mut all = vec![far];
    for pair in series.windows(2) {
        let rate = |s: &Sample| s.tug_speed_m_s - s.casualty_speed_m_s;
        far += 0.5 * (rate(&pair[0]) + rate(&pair[1])) * (pair[1].time_s - pair[0].time_s);
        // Taut, the engine's own stretch is exact.
        if pair[1].force_n > 0.0 {
            far = pair[1].stretch_m;
        }
        all.push(far);
    }
    all
}
