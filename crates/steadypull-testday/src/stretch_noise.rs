//! Noise of a stretch as a fit weighs it: of one reading, and how readings err together.

use core::f64::consts::PI;

use steadypull_measure::signal::Quality;

/// Noise of the readings of a pull.
#[derive(Debug, Clone)]
pub(crate) struct ReadNoise {
    /// Standard deviation of one, m.
    pub deviation_m: f64,
    /// Correlation of two, 1, 2, … places apart.
    pub correlation: Vec<f64>,
}

/// Of every so manieth sample of a channel, samples `step_s` apart: noise without memory through its
/// filter, or that of marks through their smoothing spline.
pub(crate) fn of_channel(quality: &Quality, step_s: f64, every: usize) -> ReadNoise {
    if let Some(from) = quality.smoothed_from {
        let density = quality.noise * quality.noise * step_s;
        return smoothed(density, from / (2.0 * PI), step_s * every as f64);
    }
    let filter = quality.filter.as_ref();
    ReadNoise {
        deviation_m: quality.noise_after_filter(),
        correlation: filter.map_or_else(Vec::new, |filter| filter.noise_correlation(every)),
    }
}

/// `2 ∫ G²` over f from nothing on, for f₀ = 1.
const WHOLE: f64 = 5.0 / 9.0 * PI;
/// Swings looked at, in f₀, and how many.
const FASTEST: f64 = 3.0;
const SWINGS: usize = 150;

/// Noise that a smoothing spline leaves of marks whose noise has a density, m² s, in readings so far
/// apart.
///
/// It passes swings as `G = 1/(1 + (f/f₀)⁶)` (the equivalent of least `Σ r² + λ ∫ (g‴)²` far from the
/// ends: B. W. Silverman, Ann. Statist. 12 (1984) 898–916, from memory). What white noise of density D has left
/// after it is `D ∫ G² df = D · 2 f₀ (5/6)(π/6)/sin(π/6)`.
fn smoothed(density_m2_s: f64, f0_hz: f64, apart_s: f64) -> ReadNoise {
    // As far as five swings of f₀, a taper that leaves them the correlations of a noise.
    let far = libm::ceil(5.0 / (f0_hz * apart_s)).clamp(0.0, 2000.0);
    let count = if far.is_nan() { 0 } else { far as usize };
    ReadNoise {
        deviation_m: libm::sqrt(density_m2_s * WHOLE * f0_hz),
        correlation: (1..=count)
            .map(|k| {
                let taper = 1.0 - k as f64 / (count as f64 + 1.0);
                taper * correlation(2.0 * PI * f0_hz * apart_s * k as f64)
            })
            .collect(),
    }
}

/// Correlation of what passes the smoothing, by the angle that a swing of f₀ makes meanwhile.
fn correlation(angle: f64) -> f64 {
    let step = FASTEST / SWINGS as f64;
    let (mut sum, mut whole) = (0.0, 0.0);
    for i in 0..=SWINGS {
        let f = step * i as f64;
        let passes = 1.0 / (1.0 + libm::pow(f, 6.0));
        let end = if i == 0 || i == SWINGS { 0.5 } else { 1.0 };
        whole += end * passes * passes;
        sum += end * passes * passes * libm::cos(angle * f);
    }
    sum / whole
}

#[cfg(test)]
mod tests {
    use super::*;

    /// White noise through the smoothing by its recursion in frequency: the density over all lags is that
    /// of the marks, whatever the smoothing.
    #[test]
    fn smoothing_moves_noise_and_keeps_its_density() {
        let density = 4e-6 / 240.0;
        for f0_hz in [3.0, 12.0] {
            let read = smoothed(density, f0_hz, 0.004);
            let all = 1.0 + 2.0 * read.correlation.iter().sum::<f64>();
            let found = read.deviation_m * read.deviation_m * all * 0.004;
            assert!((found / density - 1.0).abs() < 0.06, "{found}");
        }
    }

    #[test]
    fn the_integral_is_the_sum() {
        let step = 1e-3;
        let passes = |f: f64| 1.0 / (1.0 + libm::pow(f, 6.0));
        let sum: f64 = (0..20_000)
            .map(|i| passes(step * (f64::from(i) + 0.5)))
            .map(|g| g * g)
            .sum();
        assert!((2.0 * step * sum / WHOLE - 1.0).abs() < 1e-6);
        assert!((correlation(0.0) - 1.0).abs() < 1e-12 && correlation(12.0).abs() < 0.02);
    }
}
