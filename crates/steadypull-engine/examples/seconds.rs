//! Seconds a run takes, as plain text, for `validation/independent/speed/race.py`.
//!
//! `seconds JOB CHUNK`: repeats the job for CHUNK seconds and prints the least and
//! the mean time of a run, how many there were, then what they found (so that
//! rivals can be seen to have worked out the same). Without arguments: the names of
//! the jobs. For `cost.py` also `runs-N`, `segments-N` and `steps-N`; `fine-N` are N runs
//! within 1 %, `threads-N` the same on two threads.

#[path = "shared/recoils.rs"]
mod recoils;

use recoils::{at_one_per_cent, at_one_per_cent_on, fixed, over_ground, reference, sum_of_speeds};
use std::time::{Duration as Clock, Instant};
use steadypull_engine::letgo::{How, Setup, StepChoice, run};
use steadypull_engine::line::{Condition, Curve, Law, Material, Path};
use steadypull_engine::pull::kinetic;
use steadypull_engine::pull::many::Marks;
use steadypull_engine::units::{Duration, Force, Length, Mass, Power, Speed};

/// A run; gives back numbers that tell what it found.
type Job = Box<dyn Fn() -> [f64; 4]>;

fn main() {
    let jobs = jobs();
    let mut words = std::env::args().skip(1);
    let (name, chunk) = (words.next(), words.next().and_then(|c| c.parse().ok()));
    let names: Vec<&str> = jobs.iter().map(|(known, _)| *known).collect();
    let job = name.and_then(|name| {
        let known = jobs.into_iter().find(|(known, _)| *known == name);
        known.map(|(_, job)| job).or_else(|| sized(&name))
    });
    let (Some(job), Some(chunk_s)) = (job, chunk) else {
        println!("{}", names.join("\n"));
        return;
    };
    let (least_s, mean_s, found, runs) = timed(&job, chunk_s);
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
        // The step and the damping of the rivals.
        ("recoil-fixed", recoil(fixed(64, 0.5))),
        ("recoil-64", recoil(reference(64))),
        ("recoil-16", recoil(reference(16))),
        ("kinetic", pull()),
        ("kinetic-many", pull_among_many()),
    ]
}

/// A job of a size, as `runs-256`, `segments-64`, `steps-1000`, `threads-10000`.
fn sized(name: &str) -> Option<Job> {
    let (what, size) = name.split_once('-')?;
    let size: usize = size.parse().ok()?;
    match what {
        "runs" => Some(summed(move || {
            sum_of_speeds(How::default(), 0..size, over_ground)
        })),
        "fine" => Some(summed(move || at_one_per_cent(size))),
        "threads" => Some(summed(move || at_one_per_cent_on(2, size))),
        "segments" => {
            // A step that is stable with the most segments.
            let mut setup = fixed(size, 0.02);
            setup.step = StepChoice::Fixed(Duration::new(1e-5));
            Some(recoil(setup))
        }
        "steps" => Some(recoil(fixed(64, 5e-5 * size as f64))),
        _ => None,
    }
}

fn summed(sum: impl Fn() -> f64 + 'static) -> Job {
    Box::new(move || [sum(), 0.0, 0.0, 0.0])
}

/// Its greatest speed, m/s, when, s, and the same as the hardware passes the held end.
fn recoil(setup: Setup) -> Job {
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

/// The full pull of `kinetic_pull.py`; none if its line is no line.
fn full_pull() -> Option<kinetic::Setup> {
    let curve = Curve::linear(0.18, 0.7, 0.1).ok()?;
    let law = Law::new(
        &curve,
        Force::from_tf(9.0),
        &Condition::default(),
        Material::NylonWebbing,
    );
    Some(kinetic::Setup {
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
    })
}

/// Peak force, N, and how far the casualty moves, m.
fn pull() -> Job {
    pull_job(|setup| {
        kinetic::run(setup)
            .ok()
            .map(|o| (o.peak_force.get(), o.movement.get()))
    })
}

/// The same as one of many, followed only as finely as its marks ask.
fn pull_among_many() -> Job {
    pull_job(|setup| Marks::of_pull(setup).ok().map(|m| (m.peak_n, m.movement_m)))
}

fn pull_job(of: fn(&kinetic::Setup) -> Option<(f64, f64)>) -> Job {
    let setup = full_pull();
    Box::new(move || {
        let setup = std::hint::black_box(&setup).as_ref();
        let (peak_n, movement_m) = setup.and_then(of).unwrap_or((f64::NAN, f64::NAN));
        [peak_n, movement_m, 0.0, 0.0]
    })
}
