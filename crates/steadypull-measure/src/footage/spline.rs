//! A smoothing spline with its derivatives and how sure they are.
//!
//! ```text
//! least Σ wᵢ (yᵢ − g(tᵢ))² + λ ∫ (g⁽ᵐ⁾)² dt,   m = 2 (cubic) or 3 (quintic)
//! ```
//!
//! The same `g` is the mean of a motion whose m-th derivative is white noise of
//! intensity σ²/λ, of which nothing is known before (G. Wahba, J. R. Stat. Soc. B 40 (1978)
//! 364–372); so it is solved as a chain of states (`g`, `g'`, …), and the chain's
//! covariance gives pointwise errors of `g` and of the derivatives below the m-th. On
//! average over the points these hold the truth as often as they say (Wahba, J. R. Stat.
//! Soc. B 45 (1983) 133–150); at a kink they do not, and nothing of this form can.
//!
//! λ where the noise is not stated: least `n Σ w r²/(n − tr A)²`, generalised
//! cross-validation (P. Craven, G. Wahba, Numer. Math. 31 (1979) 377–403). Where it is: least
//! `Σ w r² + 2 σ² tr A`, the unbiased risk of the same paper. Papers from memory; checked against
//! scipy 1.17.1 and a dense solution with numpy.

use nalgebra::DMatrix;

use super::chain::{Chain, Square, State, product};
use crate::problem::{Problem, equal, finite, in_range, rising};

/// What is kept small.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Penalty {
    /// The second derivative: a cubic spline, no error for its acceleration.
    Acceleration,
    /// The third derivative: a quintic spline, with errors up to the acceleration.
    Jerk,
}

impl Penalty {
    fn order(self) -> usize {
        match self {
            Self::Acceleration => 2,
            Self::Jerk => 3,
        }
    }
}

/// What is known of the noise of a reading of weight 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Noise {
    /// Nothing: by cross-validation.
    Unknown,
    /// Its standard deviation.
    Stated(f64),
}

/// A smoothed run of readings, at its times.
#[derive(Debug, Clone, PartialEq)]
pub struct Smooth {
    /// The penalty λ used, in units of time to the 2m − 1.
    pub lambda: f64,
    /// Readings' worth of freedom that the curve takes: the trace of A.
    pub freedom: f64,
    /// Standard deviation of a reading of weight 1: stated, or found.
    pub noise: f64,
    /// `g` and its derivatives below the m-th at each time.
    pub derivatives: Vec<Vec<f64>>,
    /// Standard deviation of each.
    pub errors: Vec<Vec<f64>>,
}

/// The task in even units: times over their mean step.
struct Task<'a> {
    steps: Vec<f64>,
    values: &'a [f64],
    weights: &'a [f64],
    unit_s: f64,
}

/// k! of the small numbers in a chain.
fn factorial(k: usize) -> f64 {
    (1..=k).map(|i| i as f64).product()
}

/// How the state goes on by itself over a step of 1: Taylor's sum.
fn going_on<const M: usize>() -> Square<M> {
    core::array::from_fn(|i| {
        core::array::from_fn(|j| match j < i {
            true => 0.0,
            false => 1.0 / factorial(j - i),
        })
    })
}

/// The inverse root of the covariance of what white noise of intensity 1 adds to the state over a
/// step of 1: lower triangular.
fn held<const M: usize>() -> Square<M> {
    let covariance = DMatrix::from_fn(M, M, |i, j| {
        let (a, b) = (M - 1 - i, M - 1 - j);
        1.0 / ((a + b + 1) as f64 * factorial(a) * factorial(b))
    });
    let root = covariance.cholesky().map(|c| c.l());
    let inverse = root.and_then(|l| l.solve_lower_triangular(&DMatrix::identity(M, M)));
    // Definite for states of two and three; rows of not-a-number solve to none.
    let inverse = inverse.unwrap_or_else(|| DMatrix::repeat(M, M, f64::NAN));
    core::array::from_fn(|i| core::array::from_fn(|j| inverse[(i, j)]))
}

/// What ties a state to the next over a step of 1, and that after the step.
struct Ties<const M: usize> {
    tie: Square<M>,
    tied: Square<M>,
}

impl<const M: usize> Ties<M> {
    fn new() -> Self {
        let (tie, going_on) = (held(), going_on());
        Self {
            tie,
            tied: product(&tie, &going_on),
        }
    }

    /// The same over a step `h` with the root of a weight. In units of `h` a state's numbers are
    /// its own times a power of `h`, and the noise grows by one more half power.
    fn over(&self, h: f64, root_weight: f64) -> [Square<M>; 2] {
        let mut scale = [root_weight / h.sqrt(); M];
        for i in (0..M - 1).rev() {
            scale[i] = scale[i + 1] / h;
        }
        let scaled = |a: &Square<M>| a.map(|row| core::array::from_fn(|j| row[j] * scale[j]));
        [scaled(&self.tied), scaled(&self.tie)]
    }
}

impl Task<'_> {
    /// All states at the penalty `lambda` of even units; none where rounding wins.
    fn states<const M: usize>(&self, lambda: f64) -> Option<Vec<State<M>>> {
        let ties = Ties::<M>::new();
        let root = lambda.sqrt();
        let mut chain = Chain::new(self.values.len());
        for i in 0..self.values.len() {
            if i > 0 {
                let [tied, tie] = ties.over(self.steps[i - 1], root);
                chain.go(&tied, &tie);
            }
            chain.read(self.values[i], self.weights[i].sqrt());
        }
        chain.solve()
    }

    /// Weighted squares left and the trace of A.
    fn left<const M: usize>(&self, states: &[State<M>]) -> (f64, f64) {
        let each = states.iter().zip(self.values.iter().zip(self.weights));
        each.fold((0.0, 0.0), |(left, trace), (s, (y, w))| {
            let r = y - s.mean[0];
            (left + w * r * r, trace + w * s.covariance[0][0])
        })
    }

    /// What the choice of λ makes least.
    fn score<const M: usize>(&self, lambda: f64, noise: Noise) -> f64 {
        let Some(states) = self.states::<M>(lambda) else {
            return f64::INFINITY;
        };
        let (left, trace) = self.left(&states);
        let n = self.values.len() as f64;
        match noise {
            Noise::Unknown => n * left / ((n - trace) * (n - trace)),
            Noise::Stated(sigma) => left + 2.0 * sigma * sigma * trace,
        }
    }

    /// λ by steps of a factor of √10, then by golden section about the best.
    fn chosen<const M: usize>(&self, noise: Noise) -> f64 {
        let at = |x: f64| self.score::<M>(libm::exp(x), noise);
        let step = 0.5 * core::f64::consts::LN_10;
        let span = 2.0 * M as f64 * libm::log(self.values.len() as f64) + 6.0;
        let count = (span / step) as i32;
        let grid = (-8..=count).map(|k| f64::from(k) * step);
        let mut best = (0.0, f64::INFINITY);
        for x in grid {
            let score = at(x);
            if score < best.1 {
                best = (x, score);
            }
        }
        let golden = 0.618_033_988_749_894_8;
        let (mut low, mut high) = (best.0 - step, best.0 + step);
        let (mut a, mut b) = (high - golden * (high - low), low + golden * (high - low));
        let (mut at_a, mut at_b) = (at(a), at(b));
        while high - low > 1e-3 {
            if at_a < at_b {
                (high, b, at_b) = (b, a, at_a);
                a = high - golden * (high - low);
                at_a = at(a);
            } else {
                (low, a, at_a) = (a, b, at_b);
                b = low + golden * (high - low);
                at_b = at(b);
            }
        }
        libm::exp(0.5 * (low + high))
    }

    fn smooth<const M: usize>(&self, lambda: f64, noise: Noise) -> Result<Smooth, Problem> {
        let states = self.states::<M>(lambda).ok_or(Problem::Degenerate(
            "the readings cannot be smoothed with this penalty: times too uneven or penalty too great",
        ))?;
        let (left, freedom) = self.left(&states);
        let n = self.values.len() as f64;
        let noise = match noise {
            Noise::Stated(sigma) => sigma,
            Noise::Unknown => (left / (n - freedom)).sqrt(),
        };
        let per = |k: usize| libm::pow(self.unit_s, -(k as f64));
        Ok(Smooth {
            lambda: lambda * libm::pow(self.unit_s, 2.0 * M as f64 - 1.0),
            freedom,
            noise,
            derivatives: states
                .iter()
                .map(|s| (0..M).map(|k| per(k) * s.mean[k]).collect())
                .collect(),
            errors: states
                .iter()
                .map(|s| {
                    (0..M)
                        .map(|k| per(k) * noise * s.covariance[k][k].sqrt())
                        .collect()
                })
                .collect(),
        })
    }
}

fn task<'a>(
    times_s: &[f64],
    values: &'a [f64],
    weights: &'a [f64],
    penalty: Penalty,
) -> Result<Task<'a>, Problem> {
    let least = 2 * penalty.order() + 1;
    rising("times", times_s, least)?;
    finite("readings", values, least)?;
    finite("weights", weights, least)?;
    equal("times and readings", times_s.len(), values.len())?;
    equal("readings and weights", values.len(), weights.len())?;
    for weight in weights {
        in_range("a weight", *weight, 1e-12, 1e12)?;
    }
    let unit_s = (times_s[times_s.len() - 1] - times_s[0]) / (times_s.len() - 1) as f64;
    Ok(Task {
        steps: times_s.windows(2).map(|w| (w[1] - w[0]) / unit_s).collect(),
        values,
        weights,
        unit_s,
    })
}

/// Smooths readings, λ chosen by what is known of the noise.
pub fn smooth(
    times_s: &[f64],
    values: &[f64],
    weights: &[f64],
    penalty: Penalty,
    noise: Noise,
) -> Result<Smooth, Problem> {
    let task = task(times_s, values, weights, penalty)?;
    if let Noise::Stated(sigma) = noise {
        in_range("the noise of a reading", sigma, 1e-12, 1e12)?;
    }
    match penalty {
        Penalty::Acceleration => task.smooth::<2>(task.chosen::<2>(noise), noise),
        Penalty::Jerk => task.smooth::<3>(task.chosen::<3>(noise), noise),
    }
}

/// Smooths readings with a given λ, in units of time to the 2m − 1.
pub fn smooth_with(
    times_s: &[f64],
    values: &[f64],
    weights: &[f64],
    penalty: Penalty,
    lambda: f64,
) -> Result<Smooth, Problem> {
    let task = task(times_s, values, weights, penalty)?;
    let even = lambda * libm::pow(task.unit_s, 1.0 - 2.0 * penalty.order() as f64);
    // As far as a penalty is looked for with 20 000 readings that do not move.
    in_range("the penalty in even steps", even, 1e-12, 1e30)?;
    match penalty {
        Penalty::Acceleration => task.smooth::<2>(even, Noise::Unknown),
        Penalty::Jerk => task.smooth::<3>(even, Noise::Unknown),
    }
}
