//! Measuring: channel frequency classes, calibration, tolerance limits.

use crate::check::{Tolerance, check, checks};
use crate::reference;
use core::f64::consts::PI;
use steadypull_engine::source::{Source, Status};
use steadypull_measure::compare::tolerance::{Promise, one_sided, two_sided};
use steadypull_measure::compare::zero_failure_tests;
use steadypull_measure::signal::Series;
use steadypull_measure::signal::calibration::{
    E74Class, Iso376, lower_limit_factor_n, lower_limit_n,
};
use steadypull_measure::signal::cfc::{Cfc, Coefficients, Filter};

const TABLE: &str = "table as printed";
const RULE: &str = "the rule itself";
const CLASSES: Source = Source::new(
    "ISO 6487:2000 and SAE J211/1 MAR95, as tabulated in a signal-analysis manual",
    Status::Read,
);
const FORMULA: Source = Source::new(
    "SAE J211/1 app. C formula, as read in public programs",
    Status::Computed,
);
const BUTTERWORTH: Source = Source::new("bilinear Butterworth, run twice", Status::Computed);
const LIMITS: Source = Source::new(
    "noncentral t and the integral of ISO 16269-6 (NIST/SEMATECH Handbook 7.2.6.3)",
    Status::Computed,
);
const NO_FAILURE: Source = Source::new("n >= ln(1-C)/ln R", Status::Computed);
const E74: Source = Source::new("ASTM E74", Status::FromMemory);
const ISO_376: Source = Source::new("ISO 376:2011 table 2", Status::FromMemory);

checks! {
    cv_cfc_01 => check("CV-CFC-01", "-3 dB frequency and least sample rate of CFC 60, 180, 600, 1000", CLASSES, "Hz")
        .values(
            [60.0, 180.0, 600.0, 1000.0].into_iter().flat_map(|n| {
                let class = Cfc::new(n).expect("a class");
                [class.nominal_hz(), class.least_rate_hz()]
            }).collect::<Vec<f64>>(),
            [100.0, 600.0, 300.0, 1800.0, 1000.0, 6000.0, 1650.0, 10_000.0],
            Tolerance::Exact,
            TABLE,
        );
    cv_cfc_03 => coefficients("CV-CFC-03", "coefficients of CFC 60 at 10 kHz", 60.0);
    cv_cfc_04 => coefficients("CV-CFC-04", "coefficients of CFC 180 at 10 kHz", 180.0);
    cv_cfc_06 => check("CV-CFC-06", "gain at zero frequency, CFC 60, 180, 600 and 1000 at 10 kHz", FORMULA, "-")
        .values(
            [60.0, 180.0, 600.0, 1000.0].map(|n| {
                let c = filter(n, 10e3).coefficients();
                (c.a0 + c.a1 + c.a2) / (1.0 - c.b1 - c.b2)
            }),
            [1.0; 4],
            Tolerance::Rel(1e-12),
            RULE,
        );
    cv_cfc_07 => check("CV-CFC-07", "gain of both passes, CFC 60 at 10 kHz, 60 to 600 Hz", BUTTERWORTH, "dB")
        .values(
            [60.0, 100.0, 124.65, 210.0, 600.0].map(|hz| 20.0 * libm::log10(two_pass_gain(filter(60.0, 10e3).coefficients(), hz / 10e3))),
            [-0.45350, -3.00848, -6.02060, -19.16761, -55.00933],
            Tolerance::Abs(1e-3),
            "figures as printed",
        )
        .note("from the recursion's own numbers");
    cv_cfc_08 => {
        let table = reference::cfc_coefficients();
        let got: Vec<f64> = table
            .numbers("cfc")
            .into_iter()
            .zip(table.numbers("fs_hz"))
            .map(|(class, rate)| filter(class, rate).minus_3db_hz())
            .collect();
        check("CV-CFC-08", "-3 dB frequency by class and sample rate", BUTTERWORTH, "Hz")
            .values(got, table.numbers("f_minus3dB_hz"), Tolerance::Abs(0.01), "figures as printed")
    };
    cv_cfc_09 => check("CV-CFC-09", "half-sine of 5, 10, 20, 50 ms through CFC 60 at 10 kHz: what is left of the top", BUTTERWORTH, "-")
        .values(
            [5e-3, 10e-3, 20e-3, 50e-3].map(top_of_half_sine),
            [0.702384, 0.950788, 0.999176, 0.999959],
            Tolerance::Abs(1e-4),
            "figures as printed",
        );
    cv_cal_01 => check("CV-CAL-01", "lower limit factor; lower limits of class A and AA; residual 10 N", E74, "N")
        .values(
            [lower_limit_factor_n(10.0), lower_limit_n(10.0, E74Class::A), lower_limit_n(10.0, E74Class::AA)],
            [24.0, 9600.0, 48_000.0],
            Tolerance::Exact,
            RULE,
        );
    cv_cal_02 => check("CV-CAL-02", "reproducibility of class 00, 0.5, 1, 2", ISO_376, "%")
        .values(
            [Iso376::Class00, Iso376::Class05, Iso376::Class1, Iso376::Class2].map(|c| 100.0 * c.reproducibility()),
            [0.05, 0.10, 0.20, 0.40],
            Tolerance::Rel(1e-12),
            TABLE,
        );
    cv_tol_01 => {
        let table = reference::tolerance_factors();
        let all = [("k1_95_95", 0.95), ("k1_90_95", 0.90), ("k1_99_95", 0.99)];
        let got: Vec<f64> = all.iter().flat_map(|(_, cover)| {
            table.numbers("n").into_iter().map(|n| kept(one_sided(n as usize, promise(*cover, 0.95))))
        }).collect();
        let expected: Vec<f64> = all.iter().flat_map(|(column, _)| table.numbers(column)).collect();
        check("CV-TOL-01", "one-sided tolerance factors, 90, 95 and 99 % covered at 95 % confidence", LIMITS, "-")
            .values(got, expected, Tolerance::Abs(1e-4), "figures as printed")
    };
    cv_tol_02 => {
        let table = reference::tolerance_factors();
        let got: Vec<f64> = table
            .numbers("n")
            .into_iter()
            .map(|n| kept(two_sided(n as usize, promise(0.95, 0.95))))
            .collect();
        check("CV-TOL-02", "two-sided tolerance factors, 95 % covered at 95 % confidence, exact", LIMITS, "-")
            .values(got, table.numbers("k2_95_95_exact"), Tolerance::Abs(1e-4), "figures as printed")
            .note("older printed tables are approximate: 9.916 at n = 3")
    };
    cv_tol_04 => check("CV-TOL-04", "handbook example: 43 tests, 90 % covered at 99 % confidence, one-sided", LIMITS, "-")
        .values([kept(one_sided(43, promise(0.90, 0.99)))], [1.8740], Tolerance::Abs(1e-4), "figures as computed")
        .note("the handbook prints 1.8752 (from memory): its own approximation");
    cv_tol_06 => check("CV-TOL-06", "tests without a failure that show 90, 95, 99 % at 95 % confidence", NO_FAILURE, "tests")
        .values(
            [0.90, 0.95, 0.99].map(|r| kept(zero_failure_tests(r, 0.95).map(|n| n as f64))),
            [29.0, 59.0, 299.0],
            Tolerance::Exact,
            RULE,
        );
}

fn filter(class: f64, rate_hz: f64) -> Filter {
    Filter::new(Cfc::new(class).expect("a class"), rate_hz).expect("a rate fast enough")
}

fn coefficients(id: &'static str, what: &'static str, class: f64) -> crate::check::Check {
    let table = reference::cfc_coefficients();
    let row = table
        .numbers("cfc")
        .into_iter()
        .zip(table.numbers("fs_hz"))
        .position(|row| row == (class, 10e3));
    let expected = ["a0", "a1", "a2", "b1", "b2"]
        .map(|column| row.map_or(f64::NAN, |at| table.numbers(column)[at]));
    let Coefficients { a0, a1, a2, b1, b2 } = filter(class, 10e3).coefficients();
    check(id, what, FORMULA, "-").values(
        [a0, a1, a2, b1, b2],
        expected,
        Tolerance::Abs(1e-8),
        "figures as printed",
    )
}

/// Gain of the recursion run forward and backward, at a share of the sample rate.
fn two_pass_gain(c: Coefficients, share: f64) -> f64 {
    let turn = |k: f64| (libm::cos(2.0 * PI * share * k), -libm::sin(2.0 * PI * share * k));
    let sum = |terms: [(f64, (f64, f64)); 3]| {
        let part = |pick: fn((f64, f64)) -> f64| terms.map(|(a, z)| a * pick(z)).iter().sum::<f64>();
        let (re, im) = (part(|z| z.0), part(|z| z.1));
        re * re + im * im
    };
    let top = sum([(c.a0, turn(0.0)), (c.a1, turn(1.0)), (c.a2, turn(2.0))]);
    let bottom = sum([(1.0, turn(0.0)), (-c.b1, turn(1.0)), (-c.b2, turn(2.0))]);
    top / bottom
}

/// The top of a half-sine of height 1 and this duration, filtered between 0.2 s of nothing.
fn top_of_half_sine(duration_s: f64) -> f64 {
    const RATE_HZ: f64 = 10e3;
    const MARGIN: usize = 2000;
    let long = (duration_s * RATE_HZ) as usize;
    let pulse = (0..=long).map(|i| libm::sin(PI * i as f64 / long as f64));
    let quiet = || core::iter::repeat_n(0.0, MARGIN);
    let values: Vec<f64> = quiet().chain(pulse).chain(quiet()).collect();
    let series = Series::new(0.0, 1.0 / RATE_HZ, values).expect("a series");
    let through = filter(60.0, RATE_HZ).run(&series).expect("long enough");
    through.series.values().iter().copied().fold(0.0, f64::max)
}

fn promise(cover: f64, confidence: f64) -> Promise {
    Promise { cover, confidence }
}

fn kept<E>(found: Result<f64, E>) -> f64 {
    found.unwrap_or(f64::NAN)
}
