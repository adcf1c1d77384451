//! The recoil of a parted line against two general-purpose codes: an
//! ocean-mooring line library and a multibody engine (validation/independent).
//!
//! Ours at the default 64 segments, theirs at 240; gravity always, air for the
//! speeds, none for the pull at the held end, since the impulse of our books
//! holds that of the air too.

use crate::check::{Check, Tolerance, check, checks};
use crate::reference::independent;
use steadypull_engine::letgo::{Hardware, LinePart, Outcome, Setup, run};
use steadypull_engine::line::Unloading;
use steadypull_engine::source::{Source, Status};
use steadypull_engine::units::{Area, Duration, Length, LineMass, Mass};

const CODES: Source = Source::new(
    "moordyn 2.7.2 and mujoco 4.0.0, 240 segments (validation/independent/recoil_peers.py)",
    Status::Computed,
);
const TWO: &str = "2 % of a converged run of each code at our default resolution";
const OF_PULL: &str = "2 % of the pull at the start";

checks! {
    cv_ind_recoil_1 => speeds("CV-IND-RECOIL-1", "9 m, 0.35 kg/m, EA 489 kN at 18 %, 1.3 kg: speed of the hardware at its greatest and at the held end, by each code", &REFERENCE);
    cv_ind_recoil_1_slack => slack("CV-IND-RECOIL-1", "the same line: time the held end goes slack, impulse on it, by each code", &REFERENCE);
    cv_ind_recoil_1_pull => pulls("CV-IND-RECOIL-1", "the same line: mean pull at the held end in five windows of 4 ms over that at the start, by each code", &REFERENCE);
    cv_ind_recoil_2 => speeds("CV-IND-RECOIL-2", "15 m, 0.60 kg/m, EA 750 kN at 8 %, 6 kg: speed of the hardware at its greatest and at the held end", &HEAVY);
    cv_ind_recoil_2_slack => slack("CV-IND-RECOIL-2", "the same line: time the held end goes slack, impulse on it", &HEAVY);
    cv_ind_recoil_2_pull => pulls("CV-IND-RECOIL-2", "the same line: mean pull at the held end in five windows of 4 ms over that at the start", &HEAVY);
    cv_ind_recoil_3 => speeds("CV-IND-RECOIL-3", "6 m of stiff line at the held end joined by 1 kg to 9 m of soft, 2 kg: speed of the hardware at its greatest and at the held end", &JOINED);
    cv_ind_recoil_3_slack => slack("CV-IND-RECOIL-3", "the same lines: time the held end goes slack, impulse on it", &JOINED);
    cv_ind_recoil_3_pull => pulls("CV-IND-RECOIL-3", "the same lines: mean pull at the held end in five windows of 4 ms over that at the start, 128 segments", &Case { segments: 128, ..JOINED })
        .note("at the default 64 segments, of which 25 are in the stiff line, the third window is 2.3 % of the pull at the start low: the front arrives smeared");
    cv_ind_recoil_4 => speeds("CV-IND-RECOIL-4", "9 m, 0.55 kg/m, 70 kN (e/0.18)^2, 1.5 kg: speed of the hardware at its greatest and at the held end", &STIFFENING);
    cv_ind_recoil_4_slack => slack("CV-IND-RECOIL-4", "the same line: time the held end goes slack, impulse on it", &STIFFENING);
    cv_ind_recoil_4_pull => pulls("CV-IND-RECOIL-4", "the same line: mean pull at the held end in five windows of 4 ms over that at the start", &STIFFENING);
}

/// A line of the path: rest length m, kg/m, strain at parting, exponent, diameter m.
type Line = (f64, f64, f64, f64, f64);

/// A case of the script under the same name.
struct Case {
    name: &'static str,
    lines: &'static [Line],
    tension_n: f64,
    hardware_kg: f64,
    hardware_cda_m2: f64,
    joint_kg: f64,
    segments: usize,
}

const REFERENCE: Case = Case {
    name: "reference",
    lines: &[(9.0, 0.35, 0.18, 1.0, 0.03)],
    tension_n: 88e3,
    hardware_kg: 1.3,
    hardware_cda_m2: 0.004,
    joint_kg: 0.0,
    segments: 64,
};
const HEAVY: Case = Case {
    name: "heavy hardware",
    lines: &[(15.0, 0.60, 0.08, 1.0, 0.03)],
    tension_n: 60e3,
    hardware_kg: 6.0,
    hardware_cda_m2: 0.01,
    joint_kg: 0.0,
    segments: 64,
};
const JOINED: Case = Case {
    name: "two lines joined",
    lines: &[(6.0, 0.30, 0.02, 1.0, 0.012), (9.0, 0.55, 0.10, 1.0, 0.03)],
    tension_n: 50e3,
    hardware_kg: 2.0,
    hardware_cda_m2: 0.004,
    joint_kg: 1.0,
    segments: 64,
};
const STIFFENING: Case = Case {
    name: "stiffening line",
    lines: &[(9.0, 0.55, 0.18, 2.0, 0.03)],
    tension_n: 70e3,
    hardware_kg: 1.5,
    hardware_cda_m2: 0.004,
    joint_kg: 0.0,
    segments: 64,
};

const PEERS: [&str; 2] = ["moordyn", "mujoco"];
const WINDOW_S: f64 = 4e-3;
const WINDOWS: [&str; 5] = [
    "mean pull from 0 to 4 ms",
    "mean pull from 4 to 8 ms",
    "mean pull from 8 to 12 ms",
    "mean pull from 12 to 16 ms",
    "mean pull from 16 to 20 ms",
];

impl Case {
    /// Level, far above any ground, a dashpot of 10 N s as theirs.
    fn setup(&self, air: bool) -> Setup {
        let joint = Mass::new(self.joint_kg);
        let line = |&(length, kg_per_m, strain_max, exponent, diameter): &Line| LinePart {
            length: Length::new(length),
            mass_per_length: LineMass::new(kg_per_m),
            unloading: Unloading {
                strain_max,
                tension_max_n: self.tension_n,
                strain_slack: 0.0,
                exponent,
            },
            diameter: Length::new(diameter),
            joint_mass: joint,
        };
        let mut lines: Vec<LinePart> = self.lines.iter().map(line).collect();
        if let Some(free) = lines.last_mut() {
            free.joint_mass = Mass::ZERO;
        }
        let mut setup = Setup::new(
            lines,
            Hardware {
                mass: Mass::new(self.hardware_kg),
                drag_area: Area::new(self.hardware_cda_m2),
            },
        );
        setup.segments = self.segments;
        setup.ground = None;
        setup.dashpot_n_s = 10.0;
        if !air {
            setup.air_kg_m3 = 0.0;
        }
        setup.max_time = Duration::new(0.25);
        setup
    }

    fn theirs(&self, code: &str, air: &str, quantity: &str) -> f64 {
        independent("recoil_peers", &[self.name, code, air, "240"], quantity)
    }

    /// Impulse of the pull at the held end up to a time; no number if it could not be run.
    fn impulse_n_s(&self, until_s: f64) -> f64 {
        let mut setup = self.setup(false);
        setup.max_time = Duration::new(until_s);
        run(&setup).map_or(f64::NAN, |o| o.momentum.impulse[0])
    }
}

/// Ours once for each code, theirs beside it.
fn both(ours: &[f64], theirs: impl Fn(&str) -> Vec<f64>) -> (Vec<f64>, Vec<f64>) {
    PEERS
        .iter()
        .map(|code| (ours.to_vec(), theirs(code)))
        .fold((vec![], vec![]), |(mut a, mut b), (x, y)| {
            a.extend(x);
            b.extend(y);
            (a, b)
        })
}

fn speeds(id: &'static str, what: &'static str, case: &Case) -> Check {
    let speed = |of: fn(&Outcome) -> f64| run(&case.setup(true)).map_or(f64::NAN, |o| of(&o));
    let ours = [
        speed(|o| o.launch.speed.get()),
        speed(|o| o.arrival.map_or(f64::NAN, |a| a.speed.get())),
    ];
    let (got, expected) = both(&ours, |code| {
        ["hardware greatest speed", "hardware speed at plane of held end"]
            .map(|quantity| case.theirs(code, "yes", quantity))
            .to_vec()
    });
    check(id, what, CODES, "m/s").values(got, expected, Tolerance::Rel(0.02), TWO)
}

fn slack(id: &'static str, what: &'static str, case: &Case) -> Check {
    let slack_s = run(&case.setup(false))
        .ok()
        .and_then(|o| o.slack_at_held)
        .map_or(f64::NAN, |t| t.get());
    let ours = [slack_s, case.impulse_n_s(WINDOW_S * WINDOWS.len() as f64)];
    let (got, expected) = both(&ours, |code| {
        ["time the held end goes slack", "impulse on the held end"]
            .map(|quantity| case.theirs(code, "no", quantity))
            .to_vec()
    });
    check(id, what, CODES, "s; N s").values(got, expected, Tolerance::Rel(0.02), TWO)
}

fn pulls(id: &'static str, what: &'static str, case: &Case) -> Check {
    let until: Vec<f64> = (1..=WINDOWS.len())
        .map(|k| case.impulse_n_s(WINDOW_S * k as f64))
        .collect();
    let scale = case.tension_n;
    let ours: Vec<f64> = (0..WINDOWS.len())
        .map(|k| {
            let before = if k == 0 { 0.0 } else { until[k - 1] };
            (until[k] - before) / (WINDOW_S * scale)
        })
        .collect();
    let (got, expected) = both(&ours, |code| {
        WINDOWS
            .map(|quantity| case.theirs(code, "no", quantity) / scale)
            .to_vec()
    });
    check(id, what, CODES, "x pull at the start").values(got, expected, Tolerance::Abs(0.02), OF_PULL)
}
