//! Seconds a run takes, as plain text, for `validation/independent/speed/race.py`.
//!
//! `seconds JOB CHUNK`: repeats the job for CHUNK seconds and prints the least and
//! the mean time of a run, how many there were, then what they found (so that
//! rivals can be seen to have worked out the same). Without arguments: the names of
//! the jobs.

use std::time::{Duration as Clock, Instant};
use steadypull_engine::letgo::{Hardware, LinePart, Setup, StepChoice, run};
use steadypull_engine::line::{Condition, Curve, Law, Material, Path, Unloading};
use steadypull_engine::pull::kinetic;
use steadypull_engine::units::{Area, Duration, Force, Length, LineMass, Mass, Power, Speed};

/// A run; gives back numbers that tell what it found.
type Job = Box<dyn Fn() -> [f64; 4]>;

fn main() {
    let jobs = jobs();
    let mut words = std::env::args().skip(1);
    let (name, chunk) = (words.next(), words.next().and_then(|c| c.parse().ok()));
    let job = jobs
        .iter()
        .find(|(known, _)| Some(*known) == name.as_deref());
    let (Some((_, job)), Some(chunk_s)) = (job, chunk) else {
        let names: Vec<&str> = jobs.iter().map(|(known, _)| *known).collect();
        println!("{}", names.join("\n"));
        return;
    };
    let (least_s, mean_s, found, runs) = timed(job, chunk_s);
    let found = found.map(|value| format!("{value:.10e}")).join(" ");
    println!("{least_s:.9} {mean_s:.9} {runs} {found}");
}

/// The least and the mean seconds of a run, what it found and how many there
/// were; one run more, first, to warm up.
fn timed(job: &Job, chunk_s: f64) -> (f64, f64, [f64; 4], u32) {
    let mut found = job();
    let chunk = Clock::from_secs_f64(chunk_s);
    let (start, mut least, mut runs) = (Instant::now(), f64::INFINITY, 0_u32);
    while runs == 0 || start.elapsed() < chunk {
        let before = Instant::now();
        found = std::hint::black_box(job());
        least = least.min(before.elapsed().as_secs_f64());
        runs += 1;
    }
    let mean = start.elapsed().as_secs_f64() / f64::from(runs);
    (least, mean, found, runs)
}

fn jobs() -> Vec<(&'static str, Job)> {
    vec![
        // The step of the rivals; the viscosity that is stable at it.
        (
            "recoil-fixed",
            recoil(64, 0.5, StepChoice::Fixed(Duration::new(5e-5))),
        ),
        ("recoil-64", recoil(64, 1.0, StepChoice::ByWave)),
        ("recoil-16", recoil(16, 1.0, StepChoice::ByWave)),
        ("kinetic", pull()),
    ]
}

/// The reference case of the speed comparison: its greatest speed, m/s,
/// when, s, and the same as the hardware passes the held end.
fn recoil(segments: usize, viscosity: f64, step: StepChoice) -> Job {
    let line = LinePart {
        length: Length::new(9.0),
        mass_per_length: LineMass::new(0.35),
        unloading: Unloading {
            strain_max: 0.18,
            tension_max_n: 88e3,
            strain_slack: 0.0,
            exponent: 1.0,
        },
        diameter: Length::new(0.03),
        joint_mass: Mass::ZERO,
    };
    let hardware = Hardware {
        mass: Mass::new(1.3),
        drag_area: Area::new(0.004),
    };
    let mut setup = Setup::new(vec![line], hardware);
    setup.ground = None;
    setup.segments = segments;
    setup.viscosity = viscosity;
    setup.dashpot_n_s = 10.0;
    setup.max_time = Duration::new(0.5);
    setup.step = step;
    Box::new(move || {
        run(std::hint::black_box(&setup)).map_or([f64::NAN; 4], |o| {
            let arrival = o.arrival.unwrap_or_default();
            [
                o.launch.speed.get(),
                o.launch.time.get(),
                arrival.speed.get(),
                arrival.time.get(),
            ]
        })
    })
}

/// The full pull of `kinetic_pull.py`: when the casualty breaks out, s, the peak
/// force, N, its time, s, and how far the casualty moves, m.
fn pull() -> Job {
    let Ok(curve) = Curve::linear(0.18, 0.7, 0.1) else {
        return Box::new(|| [f64::NAN; 4]);
    };
    let law = Law::new(
        &curve,
        Force::from_tf(9.0),
        &Condition::default(),
        Material::NylonWebbing,
    );
    let setup = kinetic::Setup {
        tug_mass: Mass::new(2900.0),
        casualty_mass: Some(Mass::new(2600.0)),
        length: Length::new(9.0),
        path: Path::new(law, 0.0),
        run_up_speed: Speed::new(3.5),
        slack: Length::ZERO,
        drive: kinetic::Drive {
            greatest: Force::new(8e3),
            power: Power::new(1e12),
            held: true,
        },
        tug_grade: Force::ZERO,
        tug_rolling: Force::ZERO,
        slide: Force::new(30e3),
        break_extra: Force::new(8e3),
        break_length: Length::new(0.3),
        viscous_n_s_per_m: 0.0,
        parts_at: None,
        duration: Duration::new(2.0),
    };
    Box::new(move || {
        kinetic::run(std::hint::black_box(&setup)).map_or([f64::NAN; 4], |o| {
            let broke = o
                .events
                .iter()
                .find(|e| e.kind == kinetic::EventKind::BreakOut);
            [
                broke.map_or(f64::NAN, |e| e.time.get()),
                o.peak_force.get(),
                o.peak_time.get(),
                o.movement.get(),
            ]
        })
    })
}
