//! The unloading branch of a line.

use crate::check::{Tolerance, check, checks};
use steadypull_engine::line::Unloading;
use steadypull_engine::source::{Source, Status};

const INTEGRAL: Source = Source::new("integral 1/(p+1)", Status::Computed);
const EXPECTED: [f64; 4] = [0.5, 0.4, 1.0 / 3.0, 0.25];

checks! {
    cv_unl_01 => check("CV-UNL-01", "energy under Tmax x^p, p 1, 1.5, 2, 3", INTEGRAL, "x Tmax e")
        .values(branches().map(|b| b.energy(STRAIN) / (TENSION_N * STRAIN)), EXPECTED, Tolerance::Rel(1e-12), "closed form");
    cv_unl_01_summed => check("CV-UNL-01", "the same by adding up the tension itself", INTEGRAL, "x Tmax e")
        .values(branches().map(summed), EXPECTED, Tolerance::Rel(1e-7), "midpoint rule, 20 000 strips");
}

const STRAIN: f64 = 0.15;
const TENSION_N: f64 = 60e3;

fn branches() -> [Unloading; 4] {
    [1.0, 1.5, 2.0, 3.0].map(|exponent| Unloading {
        strain_max: STRAIN,
        tension_max_n: TENSION_N,
        strain_slack: 0.0,
        exponent,
    })
}

fn summed(branch: Unloading) -> f64 {
    let strips = 20_000;
    let width = STRAIN / f64::from(strips);
    let area: f64 = (0..strips)
        .map(|i| branch.tension((f64::from(i) + 0.5) * width) * width)
        .sum();
    area / (TENSION_N * STRAIN)
}
