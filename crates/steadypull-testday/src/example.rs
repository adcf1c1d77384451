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
/// The pull that was filmed instead, and its table of marks.
const FILMED: (&str, &str) = ("dry-5", "dry-5-marks.csv");
/// The film: time of frame 0 by the log, s, frames a second, how many.
const FILM: (f64, f64, u32) = (1.1013, 240.0, 420);
/// Metres to a pixel, pixels a click is off, where the line's end is when the line comes taut.
const PICTURE: (f64, f64, [f64; 2]) = (0.002, 1.0, [1200.0, 520.0]);

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
const PLAN: &str = include_str!("example/strap.toml");
const CERTIFICATE: &str = include_str!("example/EF-0417.txt");

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

/// The files of the demo: a test file, its recipe, its cell's certificate, logs and marks,
/// and a day file with the plan that its standoff comes from.
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
        file("strap.toml", "plan of its pulls", PLAN),
        file("EF-0417.txt", "certificate of the cell", CERTIFICATE),
    ];
    for (at, (name, wet, speed)) in PULLS.iter().enumerate() {
        let (pull, seed) = (Pulled::new(*wet, *speed)?, at as u64 + 1);
        files.push(file(&format!("{name}.csv"), "log", &pull.log(seed)));
        if *name == FILMED.0 {
            files.push(file(
                FILMED.1,
                "marks in its footage",
                &pull.marks(seed + 100),
            ));
        }
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

/// A pull as it was, at any time of its log.
struct Pulled {
    speed: f64,
    series: Vec<Sample>,
    apart: Vec<f64>,
}

impl Pulled {
    fn new(wet: bool, speed: f64) -> Result<Self, TestsError> {
        let series = pulled(wet, speed)?;
        let apart = apart(&series);
        Ok(Self {
            speed,
            series,
            apart,
        })
    }

    /// Load, N, and how much further apart the line's ends are than its rest length, m.
    fn at(&self, time_s: f64) -> (f64, f64) {
        let since = time_s - QUIET_S - RUN_UP_S;
        if since < 0.0 {
            return (0.0, self.speed * since.max(-RUN_UP_S));
        }
        let after = self.series.partition_point(|s| s.time_s <= since);
        let at = after.clamp(1, self.series.len() - 1) - 1;
        let (a, b) = (&self.series[at], &self.series[at + 1]);
        let share = ((since - a.time_s) / (b.time_s - a.time_s).max(1e-12)).clamp(0.0, 1.0);
        let between = |from: f64, to: f64| from + share * (to - from);
        (
            between(a.force_n, b.force_n),
            between(self.apart[at], self.apart[at + 1]),
        )
    }

    /// A log of clock, load and stretch.
    fn log(&self, seed: u64) -> String {
        let mut draws = Draws::new(seed);
        let mut text = String::from("Time (s);Load (kN);Apart (m)\r\n");
        for row in 0..((QUIET_S + RUN_UP_S + PULL_S) * RATE_HZ) as u32 {
            let time_s = f64::from(row) / RATE_HZ;
            let (force, far) = self.at(time_s);
            let force = force + ZERO_N + NOISE.0 * draws.normal();
            let far = far + NOISE.1 * draws.normal();
            text += &format!("{time_s:.3};{:.3};{far:.4}\r\n", force / 1e3);
        }
        text
    }

    /// Marks of the tug's end in the frames; the casualty stays where it is.
    fn marks(&self, seed: u64) -> String {
        let (frame_0_s, rate_hz, frames) = FILM;
        let (metres, click, [x, y]) = PICTURE;
        let mut draws = Draws::new(seed);
        let mut text = String::from("frame,x,y\r\n");
        for frame in 0..frames {
            let (_, far) = self.at(frame_0_s + f64::from(frame) / rate_hz);
            let x = x + far / metres + click * draws.normal();
            let y = y + click * draws.normal();
            text += &format!("{frame},{x:.1},{y:.1}\r\n");
        }
        text
    }
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
