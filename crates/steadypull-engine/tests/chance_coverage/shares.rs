//! Random functions whose shares of variance are known.

use steadypull_engine::chance::Distribution;

use super::problem::Draw;

/// A sum of terms, or a product of factors, each of one input with known variance.
pub enum Driven {
    /// Weights of inputs of any kind: Sᵢ = STᵢ = wᵢ² σᵢ²/Σ.
    Sum(Vec<(f64, Distribution)>),
    /// The a of Sobol's g-function, Vᵢ = 1/(3 (1 + aᵢ)²).
    Product(Vec<f64>),
}

impl Driven {
    pub fn random(draw: &mut Draw) -> Self {
        let inputs = draw.count(2, 5);
        if draw.count(0, 1) == 0 {
            let term = |_| (draw.between(-3.0, 3.0), super::problem::any(draw));
            Self::Sum((0..inputs).map(term).collect())
        } else {
            Self::Product((0..inputs).map(|_| draw.between(0.0, 6.0)).collect())
        }
    }

    pub fn inputs(&self) -> usize {
        match self {
            Self::Sum(terms) => terms.len(),
            Self::Product(a) => a.len(),
        }
    }

    pub fn answer(&self, level: impl Fn(usize) -> f64) -> f64 {
        match self {
            Self::Sum(terms) => terms
                .iter()
                .enumerate()
                .map(|(j, (w, d))| w * d.quantile(level(j)))
                .sum(),
            Self::Product(a) => a
                .iter()
                .enumerate()
                .map(|(j, a)| ((4.0 * level(j) - 2.0).abs() + a) / (1.0 + a))
                .product(),
        }
    }

    /// First-order and total share of one input.
    pub fn shares(&self, input: usize) -> [f64; 2] {
        match self {
            Self::Sum(terms) => {
                let part = |(w, d): &(f64, Distribution)| w * w * d.sd() * d.sd();
                let share = part(&terms[input]) / terms.iter().map(part).sum::<f64>();
                [share, share]
            }
            Self::Product(a) => {
                let part = |a: f64| 1.0 / (3.0 * (1.0 + a) * (1.0 + a));
                let all: f64 = a.iter().map(|a| 1.0 + part(*a)).product();
                let own = part(a[input]);
                [own / (all - 1.0), own / (1.0 + own) * all / (all - 1.0)]
            }
        }
    }
}
