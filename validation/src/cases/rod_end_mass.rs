//! The let-go of a rod with a mass at its end against the classical wave
//! solution (Saint-Venant), until two reflections have come back to the mass;
//! and the books of energy and momentum over the same and over real lines.
//!
//! Case A of the reference at the default 64 segments. The solution is derived
//! and checked in `validation/independent/rod_end_mass.py`.

use crate::check::{Check, Tolerance, check, checks};
use crate::reference::independent;
use steadypull_engine::letgo::{Hardware, HeldEnd, LinePart, Outcome, Setup, run};
use steadypull_engine::line::{Condition, Law, Material, Unloading};
use steadypull_engine::source::{Source, Status};
use steadypull_engine::units::{Area, Duration, Force, Length, LineMass, Mass, Speed};

const WAVES: Source = Source::new(
    "rod and end mass, d'Alembert (Saint-Venant); pieces checked by sympy (validation/independent/rod_end_mass.py)",
    Status::Computed,
);
const BOOKS: Source = Source::new("conservation of energy and momentum", Status::Computed);
const DEFAULT: &str = "1 % at default resolution";
const TENTH: &str = "0.1 % of what was put in, at any time of the run";

checks! {
    cv_wave_01 => histories("CV-WAVE-01", "speed of the end mass each half L/c until its greatest, line over mass 0.1 (two reflections deep)", "0.1", &["0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4", "4.5"]);
    cv_wave_01_next => histories("CV-WAVE-01", "the same, line over mass 0.15", "0.15", &["0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4"]);
    cv_wave_01_light => histories("CV-WAVE-01", "the same, line over mass 0.5 (one reflection deep)", "0.5", &["0.5", "1", "1.5", "2"]);
    cv_wave_02 => check("CV-WAVE-02", "greatest speed of the end mass, line over mass 0.1, 0.15, 0.2, 0.5, 1, 2", WAVES, "x c e")
        .values(
            RATIOS.map(|ratio| of(end_mass(ratio, 8.0), |o| o.launch.speed.get() / C_E)),
            RATIOS.map(|ratio| exact(ratio, "greatest speed")),
            Tolerance::Rel(0.01),
            DEFAULT,
        );
    cv_wave_03 => pulls("CV-WAVE-03", "impulse on the held end by 2, 3, 4, 4.5 L/c, line over mass 0.1", "0.1", &["2", "3", "4", "4.5"]);
    cv_wave_03_heavier_line => pulls("CV-WAVE-03", "the same by 1.5, 2 L/c, line over mass 0.5", "0.5", &["1.5", "2"]);
    cv_wave_04 => check("CV-WAVE-04", "impulse on the held end until it is slack, line over mass 0.2, 0.5, 1, 2", WAVES, "x T L/c")
        .values(
            RATIOS[2..].iter().map(|ratio| impulse(ratio, exact(ratio, "time the held end goes slack"))).collect::<Vec<_>>(),
            RATIOS[2..].iter().map(|ratio| exact(ratio, "impulse on the held end by then")).collect::<Vec<_>>(),
            Tolerance::Rel(0.01),
            DEFAULT,
        );
    cv_audit_01 => check("CV-AUDIT-01", "energy unaccounted for at worst: case A with 0, 2, 45 kg; 9 t webbing with 1.5 kg over ground in air, far end fixed and rolling", BOOKS, "% of what was put in")
        .bands(audited(|o| 100.0 * o.energy.worst_error_share), [(0.0, 0.1); 5], TENTH);
    cv_audit_01_stiffening => check("CV-AUDIT-01", "energy unaccounted for at worst in a second, flapping and all: 70 kN (e/0.18)^2 and ^3, 1.5 kg", BOOKS, "% of what was put in")
        .bands([2.0, 3.0].map(|exponent| of(stiffening(exponent), |o| 100.0 * o.energy.worst_error_share)), [(0.0, 0.1); 2], TENTH);
    cv_audit_02 => check("CV-AUDIT-02", "momentum unaccounted for, the same runs", BOOKS, "% of sqrt(2 m E)")
        .bands(audited(|o| 100.0 * o.momentum.error_share), [(0.0, 0.1); 5], TENTH);
}

/// Case A: 9 m, 0.5 kg/m, EA 450 kN, strain 0.1.
const TENSION_N: f64 = 45e3;
const C: f64 = 948.683298;
const C_E: f64 = 94.868330;
/// L/c, s.
const CROSSING_S: f64 = 9.0 / C;
/// Mass of the line over mass of the hardware, as in the table.
const RATIOS: [&str; 6] = ["0.1", "0.15", "0.2", "0.5", "1", "2"];

fn exact(ratio: &str, quantity: &str) -> f64 {
    independent("rod_end_mass", &[ratio], quantity)
}

fn case_a(kg: f64, time_s: f64) -> Setup {
    let line = LinePart {
        length: Length::new(9.0),
        mass_per_length: LineMass::new(0.5),
        unloading: Unloading {
            strain_max: 0.1,
            tension_max_n: TENSION_N,
            strain_slack: 0.0,
            exponent: 1.0,
        },
        diameter: Length::new(0.03),
        joint_mass: Mass::ZERO,
    };
    let hardware = Hardware {
        mass: Mass::new(kg),
        drag_area: Area::new(0.004),
    };
    let mut setup = Setup::new(vec![line], hardware).in_empty_space();
    setup.max_time = Duration::new(time_s);
    setup
}

/// Until `crossings` times L/c.
fn end_mass(ratio: &str, crossings: f64) -> Setup {
    let ratio: f64 = ratio.parse().unwrap_or(f64::NAN);
    case_a(4.5 / ratio, crossings * CROSSING_S)
}

/// A value of a run; none, and so a failed check, if it could not be run.
fn of(setup: Setup, value: impl Fn(&Outcome) -> f64) -> f64 {
    run(&setup).map_or(f64::NAN, |o| value(&o))
}

fn histories(id: &'static str, what: &'static str, ratio: &str, times: &[&str]) -> Check {
    let at = |time: &&str| {
        let crossings = time.parse().unwrap_or(f64::NAN);
        of(end_mass(ratio, crossings), |o| o.end.speed.get() / C_E)
    };
    let got: Vec<f64> = times.iter().map(at).collect();
    let expected: Vec<f64> = times
        .iter()
        .map(|time| exact(ratio, &format!("speed at {time}")))
        .collect();
    check(id, what, WAVES, "x c e").values(got, expected, Tolerance::Rel(0.01), DEFAULT)
}

/// Impulse that the held end has taken, in pulls at the start times L/c.
fn impulse(ratio: &str, crossings: f64) -> f64 {
    of(end_mass(ratio, crossings), |o| {
        o.momentum.impulse[0] / (TENSION_N * CROSSING_S)
    })
}

fn pulls(id: &'static str, what: &'static str, ratio: &str, times: &[&str]) -> Check {
    let got: Vec<f64> = times
        .iter()
        .map(|time| impulse(ratio, time.parse().unwrap_or(f64::NAN)))
        .collect();
    let expected: Vec<f64> = times
        .iter()
        .map(|time| exact(ratio, &format!("impulse on the held end by {time}")))
        .collect();
    check(id, what, WAVES, "x T L/c").values(got, expected, Tolerance::Rel(0.01), DEFAULT)
}

fn audited(value: fn(&Outcome) -> f64) -> Vec<f64> {
    let bare = [0.0, 2.0, 45.0].map(|kg| case_a(kg, 0.25));
    bare.into_iter()
        .chain([webbing(false), webbing(true)])
        .map(|setup| of(setup, value))
        .collect()
}

/// A line that stiffens strongly, 1.5 kg on its end, over ground in air.
fn stiffening(exponent: f64) -> Setup {
    let mut line = case_a(1.5, 0.1).lines[0];
    line.mass_per_length = LineMass::new(0.55);
    line.unloading = Unloading {
        strain_max: 0.18,
        tension_max_n: 70e3,
        strain_slack: 0.0,
        exponent,
    };
    let mut setup = Setup::new(vec![line], case_a(1.5, 0.1).hardware);
    setup.max_time = Duration::new(1.0);
    setup
}

/// 9 m of 9 t nylon webbing let go at 6 t with 1.5 kg on its end, followed for 2 s.
fn webbing(rolling: bool) -> Setup {
    let Ok(curve) = Material::NylonWebbing.curve() else {
        return case_a(f64::NAN, 0.0);
    };
    let law = Law::new(&curve, Force::from_tf(9.0), &Condition::default(), Material::NylonWebbing);
    let mut setup = case_a(1.5, 2.0);
    let line = LinePart {
        mass_per_length: LineMass::new(0.55),
        unloading: law.unloading(law.strain_at(Force::from_tf(6.0).get())),
        diameter: Length::new(0.05),
        ..setup.lines[0]
    };
    let hardware = setup.hardware;
    setup = Setup::new(vec![line], hardware);
    setup.max_time = Duration::new(2.0);
    if rolling {
        setup.held = HeldEnd::Vehicle {
            mass: Mass::new(2500.0),
            speed: Speed::new(1.0),
        };
    }
    setup
}
