//! Tolerance limits of a normal spread: a bound on a stated share of all parts, from n
//! of them, at a stated confidence.
//!
//! One side, mean − k s:
//!
//! ```text
//! P(T ≤ k √n) = confidence,   T noncentral t, ν = n − 1, δ = z √n
//! ```
//!
//! Both sides, mean ± k s, exactly (ISO 16269-6; the quantities are the error `z` of
//! the mean in units of σ, and the half-width `r(z)` about it that covers the share):
//!
//! ```text
//! 2 √n ∫₀^∞ φ(√n z) P(χ²_ν > ν r(z)²/k²) dz = confidence
//! Φ(z + r) − Φ(z − r) = cover
//! ```
//!
//! The integrand is even in z and dies like a normal density, so the trapezium rule
//! converges faster than any power. Limits: the parts' values must be normal (take the
//! logarithm of strengths) and drawn from the lot that is judged; a factor says nothing of a lot
//! that was not tested.

use steadypull_engine::chance::{crossing, normal_cdf, normal_quantile};

use super::chi_square::chi_square_above;
use super::power::noncentral_t_below;
use crate::problem::{Problem, in_range};

/// Step of the sum over the error of the mean, in standard errors.
const STEP: f64 = 0.1;
/// How far it goes: φ(9)/φ(0) is 3e-18.
const REACH: f64 = 9.0;

/// What a tolerance limit promises.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Promise {
    /// Share of all parts that the limit covers, 0.5 to below 1.
    pub cover: f64,
    /// How often such a limit keeps its word, 0.5 to below 1.
    pub confidence: f64,
}

impl Promise {
    fn check(&self, tests: usize) -> Result<(), Problem> {
        in_range("the share covered", self.cover, 0.5, 1.0 - 1e-9)?;
        in_range("the confidence", self.confidence, 0.5, 1.0 - 1e-9)?;
        if tests < 2 {
            return Err(Problem::TooFew {
                what: "tests behind a tolerance limit (one test has no spread)",
                least: 2,
                got: tests,
            });
        }
        in_range("tests", tests as f64, 2.0, 1e6)?;
        Ok(())
    }
}

/// The least k from `start` up for which the promise is kept.
fn factor(start: f64, kept: impl Fn(f64) -> bool) -> f64 {
    let mut high = start.max(1.0);
    while !kept(high) && high < 1e12 {
        high *= 2.0;
    }
    crossing(0.0, high, |k| !kept(k))
}

/// The factor of a limit on one side, from `tests` parts.
pub fn one_sided(tests: usize, promise: Promise) -> Result<f64, Problem> {
    promise.check(tests)?;
    let (n, freedom) = (tests as f64, tests as f64 - 1.0);
    let shift = normal_quantile(promise.cover) * n.sqrt();
    Ok(factor(1.0, |k| {
        noncentral_t_below(k * n.sqrt(), freedom, shift) >= promise.confidence
    }))
}

/// The half-width about `z` that covers `cover` of a standard normal.
fn half_width(z: f64, cover: f64) -> f64 {
    let high = z + normal_quantile(0.5 + 0.5 * cover);
    crossing(0.0, high, |r| normal_cdf(z + r) - normal_cdf(z - r) < cover)
}

/// The factor of limits on both sides, from `tests` parts.
pub fn two_sided(tests: usize, promise: Promise) -> Result<f64, Problem> {
    promise.check(tests)?;
    let (n, freedom) = (tests as f64, tests as f64 - 1.0);
    let nodes = (REACH / STEP) as usize;
    let errors: Vec<(f64, f64)> = (0..=nodes)
        .map(|i| {
            let x = STEP * i as f64;
            // The middle node is shared between the halves of the even integrand.
            let weight = libm::exp(-0.5 * x * x) * if i == 0 { 0.5 } else { 1.0 };
            (weight, half_width(x / n.sqrt(), promise.cover))
        })
        .collect();
    let all: f64 = errors.iter().map(|e| e.0).sum();
    let kept = |k: f64| {
        let sum: f64 = errors
            .iter()
            .map(|(w, r)| w * chi_square_above(freedom * r * r / (k * k), freedom))
            .sum();
        sum / all >= promise.confidence
    };
    Ok(factor(1.0, kept))
}

#[cfg(test)]
mod tests {
    use super::*;
    use steadypull_engine::chance::normal_quantile;

    fn promise(cover: f64, confidence: f64) -> Promise {
        Promise { cover, confidence }
    }

    /// CV-TOL-01 and -02: noncentral t and the integral of ISO 16269-6, computed.
    #[test]
    fn published_factors() {
        let tests = [3, 5, 6, 10, 20, 30];
        let one = [7.6559, 4.2027, 3.7077, 2.9110, 2.3960, 2.2198];
        let two = [9.7888, 5.0769, 4.4222, 3.3934, 2.7603, 2.5549];
        for ((n, one), two) in tests.into_iter().zip(one).zip(two) {
            let ours = one_sided(n, promise(0.95, 0.95)).unwrap();
            assert!((ours - one).abs() < 1e-4, "{n} {ours}");
            let ours = two_sided(n, promise(0.95, 0.95)).unwrap();
            assert!((ours - two).abs() < 1e-4, "{n} {ours}");
        }
    }

    /// The table of factors of the project's reference folder, 16 numbers of tests.
    #[test]
    fn published_table() {
        for (n, k95, k90, k99, both) in [
            (2, 26.2597, 20.5815, 37.0936, 36.5192),
            (3, 7.6559, 6.1553, 10.5527, 9.7888),
            (4, 5.1439, 4.1619, 7.0424, 6.3411),
            (5, 4.2027, 3.4066, 5.7411, 5.0769),
            (6, 3.7077, 3.0063, 5.0620, 4.4222),
            (7, 3.3995, 2.7554, 4.6417, 4.0196),
            (8, 3.1873, 2.5819, 4.3539, 3.7455),
            (9, 3.0312, 2.4538, 4.1430, 3.5459),
            (10, 2.9110, 2.3546, 3.9811, 3.3934),
            (12, 2.7363, 2.2101, 3.7471, 3.1747),
            (15, 2.5660, 2.0684, 3.5201, 2.9649),
            (20, 2.3960, 1.9260, 3.2952, 2.7603),
            (25, 2.2917, 1.8381, 3.1580, 2.6377),
            (30, 2.2198, 1.7773, 3.0639, 2.5549),
            (40, 2.1255, 1.6972, 2.9409, 2.4484),
            (50, 2.0650, 1.6456, 2.8624, 2.3816),
        ] {
            for (cover, k) in [(0.95, k95), (0.90, k90), (0.99, k99)] {
                let ours = one_sided(n, promise(cover, 0.95)).unwrap();
                assert!((ours - k).abs() < 1e-4, "{n} {cover} {ours}");
            }
            let ours = two_sided(n, promise(0.95, 0.95)).unwrap();
            assert!((ours - both).abs() < 1e-4, "{n} {ours}");
        }
    }

    /// Howe's approximation (J. Am. Stat. Assoc. 64 (1969) 610–620), for its rows.
    fn howe(n: usize, cover: f64, confidence: f64) -> f64 {
        let freedom = n as f64 - 1.0;
        let chi = crossing(0.0, 10.0 * freedom + 50.0, |x| {
            chi_square_above(x, freedom) > confidence
        });
        normal_quantile(0.5 + 0.5 * cover) * (freedom * (1.0 + 1.0 / n as f64) / chi).sqrt()
    }

    /// CV-TOL-03 (Howe 1969) and CV-TOL-04 (NIST/SEMATECH Handbook 7.2.6.3, its
    /// figures from memory: 2.217 and 1.8752). The handbook's two-sided figure is
    /// Howe's; the exact one is 2.2228, so ours is set beside quadrature instead.
    #[test]
    fn published_howe_and_handbook() {
        for (n, k) in [(3, 9.9928), (5, 5.0935), (10, 3.3819)] {
            assert!((howe(n, 0.95, 0.95) - k).abs() < 1e-4);
        }
        assert!((howe(43, 0.9, 0.99) - 2.2173).abs() < 1e-4);
        let one = one_sided(43, promise(0.9, 0.99)).unwrap();
        assert!((one - 1.8740).abs() < 1e-4 && (one - 1.8752).abs() < 2e-3);
    }

    /// scipy 1.17.1, adaptive quadrature and Brent's root:
    /// `validation/independent/measure/compare.py`.
    #[test]
    fn published_by_scipy_exact_two_sided() {
        for (n, cover, confidence, k) in [
            (43, 0.9, 0.99, 2.222_825_173_791),
            (2, 0.95, 0.95, 36.519_214_612_062),
            (7, 0.99, 0.9, 4.508_492_492_191),
            (200, 0.9, 0.95, 1.798_432_298_003),
        ] {
            let ours = two_sided(n, promise(cover, confidence)).unwrap();
            assert!((ours / k - 1.0).abs() < 1e-9, "{n} {ours}");
        }
    }

    #[test]
    fn one_test_makes_no_limit() {
        let said = one_sided(1, promise(0.95, 0.95)).unwrap_err().to_string();
        assert!(said.contains("one test has no spread"), "{said}");
        assert!(two_sided(5, promise(1.0, 0.95)).is_err());
        assert!(two_sided(5, promise(0.9, f64::NAN)).is_err());
    }
}
