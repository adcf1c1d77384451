//! Segments and steps: how far the speed of what flies still moves.

use crate::check::{Tolerance, check, checks};
use crate::convergence::{CASES, Case, STEPS};
use steadypull_engine::letgo::StepChoice;
use steadypull_engine::source::{Source, Status};

const EXACT: Source = Source::new(
    "c e, rod and end mass, simple wave; stiffening with hardware: 1024 segments of our own",
    Status::Computed,
);
const REFINED: Source = Source::new("our own run with finer steps", Status::Computed);
const HALVED: Source = Source::new("our own run with twice the segments", Status::Computed);
const ONE: &str = "1 % in the speed of what flies, as asked of the default resolution";

checks! {
    cv_conv_01 => check("CV-CONV-01", "9 m straight and stiffening, bare, 1.3, 6 kg at 64 segments: greatest speed", EXACT, "m/s")
        .values(of_each(|case| case.default_m_s()), of_each(|case| case.settled_m_s()), Tolerance::Rel(0.01), ONE);
    cv_conv_01_doubled => check("CV-CONV-01", "the same at 64 against 128 segments", HALVED, "m/s")
        .values(of_each(|case| case.default_m_s()), of_each(|case| case.speed_m_s(128, StepChoice::ByWave)), Tolerance::Rel(0.01), ONE);
    cv_conv_01_fine => check("CV-CONV-01", "the same at 256 segments against what it settles to", EXACT, "m/s")
        .values(of_each(|case| case.speed_m_s(256, StepChoice::ByWave)), of_each(|case| case.settled_m_s()), Tolerance::Rel(0.005), "0.5 %: the error must fall with the segments");
    cv_conv_02 => check("CV-CONV-02", "the same with the step chosen by the wave against a fixed one of a fortieth of the crossing of a segment", REFINED, "m/s")
        .values(of_each(|case| case.default_m_s()), of_each(|case| case.at_step_m_s(STEPS[5])), Tolerance::Rel(0.01), ONE);
    cv_conv_02_halved => check("CV-CONV-02", "the same with fixed steps of 0.29 against 0.1 of the crossing", REFINED, "m/s")
        .values(of_each(|case| case.at_step_m_s(STEPS[1])), of_each(|case| case.at_step_m_s(STEPS[3])), Tolerance::Rel(0.01), ONE);
}

fn of_each(value: impl Fn(&Case) -> f64) -> Vec<f64> {
    CASES.iter().map(value).collect()
}
