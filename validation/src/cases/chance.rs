//! Chance: distributions, sampling intervals, shares of variance.

use core::f64::consts::PI;

use steadypull_engine::chance::{
    Design, Distribution, LogNormal, REPLICATES, Sensitivity, clopper_pearson, wilson,
};
use steadypull_engine::source::{Source, Status};

use crate::check::{Tolerance, check, checks};

const SCIPY: Source = Source::new(
    "scipy 1.17.1, stats: an independent library",
    Status::Computed,
);
const ISHIGAMI: Source = Source::new(
    "Ishigami, Homma, ISUMA 1990; figures as in Saltelli and others, The Primer (2008)",
    Status::FromMemory,
);
const LINEAR: Source = Source::new("closed form a²σ²/Σ a²σ²", Status::Computed);
const G_FUNCTION: Source = Source::new(
    "Sobol 1993: Vᵢ = 1/(3 (1 + aᵢ)²), closed form",
    Status::Computed,
);
/// Groups of runs of each study of shares.
const GROUPS: u64 = 65_536;

checks! {
    cv_chance_01 => check("CV-CHANCE-01", "quantiles at 1e-6, 0.05, 0.9: normal 5, 2; log-normal 0.5, 0.3; triangular 2, 4, 10", SCIPY, "-")
        .values(
            [
                quantiles(Distribution::Normal { mean: 5.0, sd: 2.0 }),
                quantiles(Distribution::LogNormal(LogNormal::new(0.5, 0.3))),
                quantiles(Distribution::Triangular { low: 2.0, likely: 4.0, high: 10.0 }),
            ]
            .concat(),
            [
                -4.506_848_617_645_797, 1.710_292_746_097_054_3, 7.563_103_131_089_201,
                0.120_130_758_748_526_22, 0.305_256_378_981_498_6, 0.734_414_488_958_435_6,
                2.004, 2.894_427_190_999_915_7, 7.809_109_769_979_336,
            ],
            Tolerance::Rel(1e-12),
            "both are good to rounding",
        );
    cv_chance_02 => check("CV-CHANCE-02", "normal 5, 2 kept to 11..13 (3 to 4 deviations): quantiles at 1e-6, 0.05, 0.9; mean; deviation", SCIPY, "-")
        .values(
            bounded(),
            [
                11.000_000_594_888_297, 11.030_429_557_902_048, 12.185_848_222_631_224,
                11.520_908_571_180_048, 0.443_972_043_162_099,
            ],
            Tolerance::Rel(1e-10),
            "digits lost in the far tail by either",
        );
    cv_chance_03 => check("CV-CHANCE-03", "90 % interval of 3 in 50: Wilson; Clopper and Pearson", SCIPY, "-")
        .values(
            [wilson(3, 50, 0.9), clopper_pearson(3, 50, 0.9)].map(|i| [i.low, i.high]).concat(),
            [0.024_231_257_031_218_402, 0.140_941_946_460_699_3, 0.016_551_859_189_231, 0.147_837_176_364_181],
            Tolerance::Rel(1e-11),
            "both by root finding",
        );
    cv_chance_04 => check("CV-CHANCE-04", "Ishigami function a 7, b 0.1: S1 S2 S3, ST1 ST2 ST3", ISHIGAMI, "-")
        .values(
            shares(3, ishigami),
            [0.3139, 0.4424, 0.0, 0.5576, 0.4424, 0.2437],
            Tolerance::Abs(0.003),
            "sampling error of 65 536 groups of 5 runs",
        );
    cv_chance_05 => check("CV-CHANCE-05", "sum of normals with weights 1, -2, 3, 0.5: S, then ST", LINEAR, "-")
        .values(shares(4, linear), linear_shares(), Tolerance::Abs(0.003), "sampling error of 65 536 groups of 6 runs");
    cv_chance_06 => check("CV-CHANCE-06", "g-function a 0, 1, 4.5, 9: S, then ST", G_FUNCTION, "-")
        .values(shares(4, g_function), g_shares(), Tolerance::Abs(0.003), "sampling error of 65 536 groups of 6 runs");
}

fn quantiles(distribution: Distribution) -> [f64; 3] {
    [1e-6, 0.05, 0.9].map(|p| distribution.quantile(p))
}

fn bounded() -> Vec<f64> {
    let bell = Distribution::Normal { mean: 5.0, sd: 2.0 };
    bell.within(11.0, 13.0).map_or(Vec::new(), |d| {
        let mut all = quantiles(d).to_vec();
        all.extend([d.mean(), d.sd()]);
        all
    })
}

/// First-order shares of all inputs, then total ones.
fn shares(inputs: usize, f: fn(&[f64]) -> f64) -> Vec<f64> {
    let Ok(design) = Design::new(1, inputs, REPLICATES) else {
        return Vec::new();
    };
    let mut sensitivity = Sensitivity::new(inputs, REPLICATES);
    for group in 0..GROUPS {
        let answer = |run| {
            let levels: Vec<f64> = (0..inputs).map(|j| design.level(run, j)).collect();
            f(&levels)
        };
        let runs = group * design.group()..(group + 1) * design.group();
        sensitivity.add(group, &runs.map(answer).collect::<Vec<f64>>());
    }
    let shares = sensitivity.shares(0.9).unwrap_or_default();
    let first = shares.iter().map(|share| share.first);
    first.chain(shares.iter().map(|share| share.total)).collect()
}

fn ishigami(levels: &[f64]) -> f64 {
    let [a, b, c] = [0, 1, 2].map(|j| PI * (2.0 * levels[j] - 1.0));
    let s = libm::sin(b);
    libm::sin(a) * (1.0 + 0.1 * c * c * c * c) + 7.0 * s * s
}

const WEIGHTS: [f64; 4] = [1.0, -2.0, 3.0, 0.5];

fn linear(levels: &[f64]) -> f64 {
    let unit = Distribution::Normal { mean: 0.0, sd: 1.0 };
    levels.iter().zip(WEIGHTS).map(|(p, w)| w * unit.quantile(*p)).sum()
}

fn linear_shares() -> Vec<f64> {
    let whole: f64 = WEIGHTS.iter().map(|w| w * w).sum();
    let each = WEIGHTS.map(|w| w * w / whole);
    [each, each].concat()
}

const A: [f64; 4] = [0.0, 1.0, 4.5, 9.0];

fn g_function(levels: &[f64]) -> f64 {
    let factor = |(x, a): (&f64, f64)| ((4.0 * x - 2.0).abs() + a) / (1.0 + a);
    levels.iter().zip(A).map(factor).product()
}

fn g_shares() -> Vec<f64> {
    let parts = A.map(|a| 1.0 / (3.0 * (1.0 + a) * (1.0 + a)));
    let all: f64 = parts.iter().map(|v| 1.0 + v).product();
    let first = parts.map(|v| v / (all - 1.0));
    let total = parts.map(|v| v / (1.0 + v) * all / (all - 1.0));
    [first, total].concat()
}
