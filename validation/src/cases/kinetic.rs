//! The kinetic pull against closed forms and an independent integrator.

use crate::check::{Tolerance, check, checks};
use crate::reference::independent;
use steadypull_engine::line::{Condition, Law, Material, Path};
use steadypull_engine::pull::kinetic::{Drive, EventKind, Outcome, PullError, Setup, run};
use steadypull_engine::source::{Source, Status};
use steadypull_engine::units::{Angle, Duration, Force, Length, Mass, Power, Speed};

const CLOSED: Source = Source::new(
    "one and two masses on a spring: closed forms",
    Status::Computed,
);
const RK45: Source = Source::new("RK45, rtol 1e-9, of the reference table", Status::Computed);
const SCIPY: Source = Source::new(
    "scipy 1.17.1 solve_ivp, DOP853, rtol 1e-10 (validation/independent/kinetic_pull.py)",
    Status::Computed,
);
const PRACTICE: Source = Source::new("common practice", Status::CommonPractice);
const DIGITS: &str = "1e-6, figures as printed";

checks! {
    cv_kin_01 => check("CV-KIN-01", "fixed casualty: peak, stretch, time of peak", CLOSED, "N; m; s")
        .values(peak(&linear(None, 0.0, 4.0)), [48_989.795, 0.816497, 0.320637], Tolerance::Rel(2e-6), "figures as printed, the time to half its last digit");
    cv_kin_02 => check("CV-KIN-02", "free casualty: peak, stretch, time of peak", CLOSED, "N; m; s")
        .values(peak(&linear(Some(2000.0), 0.0, 4.0)), [32_659.863, 0.544331, 0.213758], Tolerance::Rel(3e-6), "figures as printed, the time to half its last digit");
    cv_kin_03 => check("CV-KIN-03", "casualty held by dry friction: peak, stretch", CLOSED, "N; m")
        .values(peak(&linear(Some(2000.0), 20e3, 4.0))[..2].to_vec(), [42_222.222, 0.703704], Tolerance::Rel(1e-6), DIGITS);
    cv_kin_05 => check("CV-KIN-05", "the same: movement, tug's end speed", RK45, "m; m/s")
        .values(
            ran(&linear(Some(2000.0), 20e3, 4.0), |o| vec![o.movement.get(), o.tug_end_speed.get()]),
            [0.85958, -1.49890], Tolerance::Rel(1e-4), "1e-4 as the row asks");
    cv_kin_06 => check("CV-KIN-06", "least run-up that breaks out", CLOSED, "m/s")
        .values([least_that_breaks_out()], [1.632993], Tolerance::Rel(1e-6), DIGITS);
    cv_kin_07 => check("CV-KIN-07", "run-up that parts a linear 9 t strap on a fixed casualty, tug of 2, 2.5, 3 t", CLOSED, "km/h")
        .values([2000.0, 2500.0, 3000.0].map(parting_speed), [30.4387, 27.2252, 24.8531], Tolerance::Rel(1e-5), "1e-5 as the row asks");
    cv_kin_08 => check("CV-KIN-08", "wave speed and recoil speed of that strap at 0.55 kg/m", CLOSED, "m/s")
        .values(
            {
                let law = strap(1.0, 0.0);
                let c = (law.slope(0.0) / 0.55).sqrt();
                [c, c * law.strain_at(law.breaking_n())]
            },
            [944.200, 169.956], Tolerance::Rel(1e-5), "1e-5 as the row asks");
    cv_kin_09 => check("CV-KIN-09", "fall on a rope: greatest force", Source::new("harmonic rope model (UIAA impact force formula)", Status::Computed), "N")
        .values([fall(20e3, 1.77), fall(30e3, 1.0)], [8278.553, 7690.139], Tolerance::Rel(1e-6), DIGITS)
        .note("run as a pull of 80 kg on a fixed end, its weight as the drive held on");
    cv_ind_kin_1 => check("CV-IND-KIN-1", "full pull: break-out, peak, its time, stretch, movement", SCIPY, "s; N; s; m; m")
        .values(full_values(&full(0.0, 0.0)), independent_values("full"), Tolerance::Rel(1e-6), "events are located to 1e-7 s");
    cv_ind_kin_2 => check("CV-IND-KIN-2", "the same with 1 m of slack, tug 5 deg uphill", SCIPY, "s; N; s; m; m")
        .values(full_values(&full(1.0, 5.0)), independent_values("slack and grade"), Tolerance::Rel(1e-6), "events are located to 1e-7 s");
    tf_05 => check("TF-05", "run-up that parts a 9 t strap on a casualty that cannot move, tug of 2.5 and 3 t", PRACTICE, "km/h")
        .bands([2500.0, 3000.0].map(parting_speed), [(10.0, 35.0), (10.0, 35.0)], "under 35 km/h, and more than a walk");
}

/// A lossless spring of 60 kN/m and a tug of 2.5 t without drive.
fn linear(casualty_kg: Option<f64>, friction_n: f64, speed: f64) -> Setup {
    let stiffness = Force::new(60e3 * 9.0);
    let law = Law::linear_elastic(stiffness, stiffness * 0.5).expect("a straight line is a curve");
    Setup {
        tug_mass: Mass::new(2500.0),
        casualty_mass: casualty_kg.map(Mass::new),
        length: Length::new(9.0),
        path: Path::new(law, 0.0),
        run_up_speed: Speed::new(speed),
        slack: Length::ZERO,
        drive: Drive::NONE,
        tug_grade: Force::ZERO,
        tug_rolling: Force::ZERO,
        slide: Force::new(friction_n),
        break_extra: Force::ZERO,
        break_length: Length::new(0.3),
        viscous_n_s_per_m: 0.0,
        parts_at: None,
        duration: Duration::new(2.0),
    }
}

/// A value from a run; no values, and so a failed check, if it could not be run.
fn ran(setup: &Setup, of: impl Fn(&Outcome) -> Vec<f64>) -> Vec<f64> {
    run(setup).map(|o| of(&o)).unwrap_or_default()
}

fn peak(setup: &Setup) -> Vec<f64> {
    ran(setup, |o| {
        vec![o.peak_force.get(), o.stretch.get(), o.peak_time.get()]
    })
}

/// The slowest of two speeds a millionth apart between which `does` turns true.
fn threshold(top: f64, does: impl Fn(f64) -> Result<bool, PullError>) -> f64 {
    let (mut low, mut high) = (0.0, top);
    while high - low > 1e-7 * top {
        let mid = 0.5 * (low + high);
        match does(mid) {
            Ok(true) => high = mid,
            Ok(false) => low = mid,
            Err(_) => return f64::NAN,
        }
    }
    high
}

fn least_that_breaks_out() -> f64 {
    threshold(4.0, |v| {
        Ok(run(&linear(Some(2000.0), 20e3, v))?.movement.get() > 0.0)
    })
}

fn strap(energy_return: f64, set: f64) -> Law {
    let curve = steadypull_engine::line::Curve::linear(0.18, energy_return, set)
        .expect("a straight line is a curve");
    Law::new(
        &curve,
        Force::from_tf(9.0),
        &Condition::default(),
        Material::NylonWebbing,
    )
}

fn parting_speed(tug_kg: f64) -> f64 {
    let speed = threshold(20.0, |v| {
        let mut setup = linear(None, 0.0, v);
        setup.tug_mass = Mass::new(tug_kg);
        setup.path = Path::new(strap(0.7, 0.1), 0.0);
        setup.parts_at = Some(Force::from_tf(9.0));
        Ok(run(&setup)?.parted)
    });
    Speed::new(speed).to_kmh()
}

/// 80 kg falling `factor` rope lengths on a rope of modulus `ea`.
fn fall(ea_n: f64, factor: f64) -> f64 {
    let weight = Mass::new(80.0).weight();
    let law = Law::linear_elastic(Force::new(ea_n), Force::new(ea_n))
        .expect("a straight line is a curve");
    let mut setup = linear(None, 0.0, 0.0);
    setup.tug_mass = Mass::new(80.0);
    setup.length = Length::new(10.0);
    setup.path = Path::new(law, 0.0);
    setup.slack = setup.length * factor;
    setup.drive = Drive {
        greatest: weight,
        power: Power::new(1e12),
        held: true,
    };
    setup.duration = Duration::new(5.0);
    ran(&setup, |o| vec![o.peak_force.get()])
        .first()
        .copied()
        .unwrap_or(f64::NAN)
}

/// The full pull of validation/independent/kinetic_pull.py.
fn full(slack_m: f64, uphill_deg: f64) -> Setup {
    let tug = Mass::new(2900.0);
    Setup {
        tug_mass: tug,
        casualty_mass: Some(Mass::new(2600.0)),
        path: Path::new(strap(0.7, 0.1), 0.0),
        run_up_speed: Speed::new(3.5),
        slack: Length::new(slack_m),
        drive: Drive {
            greatest: Force::new(8e3),
            power: Power::new(1e12),
            held: true,
        },
        tug_grade: tug.weight() * Angle::from_deg(uphill_deg).sin(),
        slide: Force::new(30e3),
        break_extra: Force::new(8e3),
        ..linear(None, 0.0, 0.0)
    }
}

fn full_values(setup: &Setup) -> Vec<f64> {
    ran(setup, |o| {
        let broke = o.events.iter().find(|e| e.kind == EventKind::BreakOut);
        vec![
            broke.map_or(f64::NAN, |e| e.time.get()),
            o.peak_force.get(),
            o.peak_time.get(),
            o.stretch.get(),
            o.movement.get(),
        ]
    })
}

fn independent_values(case: &str) -> Vec<f64> {
    [
        "time of break-out",
        "peak tension",
        "time of peak",
        "greatest stretch",
        "casualty movement",
    ]
    .map(|quantity| independent("kinetic_pull", &[case], quantity))
    .to_vec()
}
