//! Random problems with known answers.

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};
use steadypull_engine::chance::{Distribution, LogNormal};

/// Random numbers for making problems, apart from those that study them.
pub struct Draw(ChaCha8Rng);

impl Draw {
    pub fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    fn unit(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.unit() * (high - low)
    }

    pub fn count(&mut self, low: usize, high: usize) -> usize {
        low + (self.unit() * (high - low + 1) as f64) as usize
    }
}

#[derive(Clone, Copy)]
enum Kind {
    Sum,
    Product,
    Greatest,
    Least,
}

/// Inputs, what is worked out from them, and the truth about it.
pub struct Problem {
    pub inputs: Vec<Distribution>,
    kind: Kind,
    /// The true probability of an answer at or below `threshold`.
    pub level: f64,
    /// The true quantile at `level`.
    pub threshold: f64,
    /// The true mean.
    pub mean: f64,
}

impl Problem {
    /// One of six families in turn of the draw. Levels are even in their log odds
    /// from 2 % to 98 %, so tails are as common as middles.
    pub fn random(draw: &mut Draw) -> Self {
        let odds = draw.between(-3.9, 3.9);
        let level = 1.0 / (1.0 + libm::exp(-odds));
        match draw.count(0, 5) {
            0 => normal_sum(draw, level),
            1 => log_normal_product(draw, level),
            2 => uniform_sum(draw, level),
            3 => extreme(draw, Kind::Greatest, level),
            4 => extreme(draw, Kind::Least, level),
            _ => sum_of_two(draw, level),
        }
    }

    pub fn answer(&self, x: &[f64]) -> f64 {
        match self.kind {
            Kind::Sum => x.iter().sum(),
            Kind::Product => x.iter().product(),
            Kind::Greatest => x.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            Kind::Least => x.iter().copied().fold(f64::INFINITY, f64::min),
        }
    }

    fn new(
        kind: Kind,
        inputs: Vec<Distribution>,
        level: f64,
        mean: f64,
        below: impl Fn(f64) -> f64,
    ) -> Self {
        let (mut low, mut high) = (-1e4, 1e4);
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if below(middle) < level {
                low = middle;
            } else {
                high = middle;
            }
        }
        Self {
            inputs,
            kind,
            level,
            threshold: 0.5 * (low + high),
            mean,
        }
    }
}

pub fn any(draw: &mut Draw) -> Distribution {
    match draw.count(0, 4) {
        0 => {
            let low = draw.between(0.5, 5.0);
            let high = low + draw.between(0.5, 5.0);
            Distribution::Uniform { low, high }
        }
        1 => {
            let low = draw.between(0.5, 5.0);
            let likely = low + draw.between(0.0, 3.0);
            let high = likely + draw.between(0.1, 3.0);
            Distribution::Triangular { low, likely, high }
        }
        2 => Distribution::Normal {
            mean: draw.between(2.0, 6.0),
            sd: draw.between(0.2, 2.0),
        },
        3 => Distribution::LogNormal(LogNormal::new(
            draw.between(1.0, 5.0),
            draw.between(0.05, 0.6),
        )),
        _ => {
            let mean = draw.between(2.0, 6.0);
            let bell = Distribution::Normal { mean, sd: 1.5 };
            bell.within(mean - draw.between(0.5, 3.0), mean + draw.between(0.5, 3.0))
                .unwrap()
        }
    }
}

fn several(draw: &mut Draw, mut one: impl FnMut(&mut Draw) -> Distribution) -> Vec<Distribution> {
    (0..draw.count(1, 6)).map(|_| one(draw)).collect()
}

/// Closed form: normal again.
fn normal_sum(draw: &mut Draw, level: f64) -> Problem {
    let inputs = several(draw, |draw| Distribution::Normal {
        mean: draw.between(-3.0, 5.0),
        sd: draw.between(0.1, 3.0),
    });
    let mean = inputs.iter().map(Distribution::mean).sum();
    let variance: f64 = inputs.iter().map(|d| d.sd() * d.sd()).sum();
    let whole = Distribution::Normal {
        mean,
        sd: variance.sqrt(),
    };
    Problem::new(Kind::Sum, inputs, level, mean, |x| {
        whole.probability_below(x)
    })
}

/// Closed form: log-normal again.
fn log_normal_product(draw: &mut Draw, level: f64) -> Problem {
    let curves: Vec<LogNormal> = (0..draw.count(1, 6))
        .map(|_| LogNormal::new(draw.between(0.5, 2.0), draw.between(0.05, 0.5)))
        .collect();
    let median = curves.iter().map(|c| c.median).product();
    let spread = curves
        .iter()
        .map(|c| c.spread * c.spread)
        .sum::<f64>()
        .sqrt();
    let whole = LogNormal::new(median, spread);
    let inputs = curves.into_iter().map(Distribution::LogNormal).collect();
    Problem::new(Kind::Product, inputs, level, whole.mean(), |x| {
        whole.probability_below(x)
    })
}

/// Closed form: corners of the box cut off by the plane, with alternating signs.
fn uniform_sum(draw: &mut Draw, level: f64) -> Problem {
    let widths: Vec<f64> = (0..draw.count(1, 5))
        .map(|_| draw.between(0.5, 3.0))
        .collect();
    let inputs = widths
        .iter()
        .map(|w| Distribution::Uniform { low: 0.0, high: *w })
        .collect();
    let n = widths.len();
    let scale: f64 = widths
        .iter()
        .enumerate()
        .map(|(k, w)| w * (k + 1) as f64)
        .product();
    let total: f64 = widths.iter().sum();
    let below = |x: f64| {
        let corners = (0..1u32 << n).map(|corner| {
            let inside = |k: &usize| corner >> k & 1 == 1;
            let reach: f64 = (0..n).filter(inside).map(|k| widths[k]).sum();
            let sign = if corner.count_ones() % 2 == 0 {
                1.0
            } else {
                -1.0
            };
            sign * (x.min(total) - reach).max(0.0).powi(n as i32)
        });
        corners.sum::<f64>() / scale
    };
    Problem::new(Kind::Sum, inputs, level, 0.5 * total, below)
}

/// Closed form: the product of the inputs' own probabilities; the mean by fine
/// quadrature.
fn extreme(draw: &mut Draw, kind: Kind, level: f64) -> Problem {
    let inputs = several(draw, any);
    let below = |x: f64| match kind {
        Kind::Greatest => inputs.iter().map(|d| d.probability_below(x)).product(),
        _ => {
            let above = inputs.iter().map(|d| 1.0 - d.probability_below(x));
            1.0 - above.product::<f64>()
        }
    };
    // Mean = a + ∫ (1 − F) from a to b, with nothing to speak of outside.
    let ends = |p: f64| inputs.iter().map(move |d| d.quantile(p));
    let a = ends(1e-12).fold(f64::INFINITY, f64::min);
    let b = ends(1.0 - 1e-12).fold(f64::NEG_INFINITY, f64::max);
    let steps = 20_000;
    let h = (b - a) / f64::from(steps);
    let above = (0..steps).map(|i| 1.0 - below(a + (f64::from(i) + 0.5) * h));
    let mean = a + h * above.sum::<f64>();
    Problem::new(kind, inputs.clone(), level, mean, below)
}

/// Fine quadrature: P(X + Y ≤ x) as the mean of F_X(x − Y) over 4000 levels of Y.
fn sum_of_two(draw: &mut Draw, level: f64) -> Problem {
    let inputs = vec![any(draw), any(draw)];
    let first = inputs[0];
    let second: Vec<f64> = (0..4000)
        .map(|i| inputs[1].quantile((f64::from(i) + 0.5) / 4000.0))
        .collect();
    let below = |x: f64| {
        let sum: f64 = second.iter().map(|y| first.probability_below(x - y)).sum();
        sum / second.len() as f64
    };
    let mean = inputs.iter().map(Distribution::mean).sum();
    Problem::new(Kind::Sum, inputs, level, mean, below)
}
