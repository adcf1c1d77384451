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

/// Of every so manieth sample of a channel: noise without memory through its filter.
pub(crate) fn of_channel(quality: &Quality, every: usize) -> ReadNoise {
    let filter = quality.filter.as_ref();
    ReadNoise {
        deviation_m: quality.noise_after_filter(),
        correlation: filter.map_or_else(Vec::new, |filter| filter.noise_correlation(every)),
    }
}

/// Noise that a smoothing spline leaves of marks.
///
/// It passes swings as `G = 1/(1 + (f/f₀)⁶)` (the equivalent of least `Σ r² + λ ∫ (g‴)²` far from the
/// ends: B. W. Silverman, Ann. Statist. 12 (1984) 898–916, from memory). What white noise of density D has left
/// after it is `D ∫ G² df = D · 2 f₀ (5/6)(π/6)/sin(π/6)`: that the spline's own error is this, on average,
/// tells f₀.
#[derive(Debug, Clone, Copy)]
pub(crate) struct MarksNoise {
    /// Standard deviation of the smoothed place, m.
    pub deviation_m: f64,
    /// Density of the marks' noise, m² s.
    pub density_m2_s: f64,
    /// Time from sample to sample of the load, s.
    pub step_s: f64,
}

/// `2 ∫ G²` over f from nothing on, for f₀ = 1.
const WHOLE: f64 = 5.0 / 9.0 * PI;
/// Swings looked at, in f₀, and how many.
const FASTEST: f64 = 3.0;
const SWINGS: usize = 150;

impl MarksNoise {
    /// That of every so manieth sample of the load.
    pub fn every(&self, every: usize) -> ReadNoise {
        let f0_hz = self.deviation_m * self.deviation_m / (self.density_m2_s * WHOLE);
        let apart_s = self.step_s * every as f64;
        // As far as five swings of f₀, a taper that leaves them the correlations of a noise.
        let far = libm::ceil(5.0 / (f0_hz * apart_s)).clamp(0.0, 2000.0);
        let count = if far.is_nan() { 0 } else { far as usize };
        ReadNoise {
            deviation_m: self.deviation_m,
            correlation: (1..=count)
                .map(|k| {
                    let taper = 1.0 - k as f64 / (count as f64 + 1.0);
                    taper * correlation(2.0 * PI * f0_hz * apart_s * k as f64)
                })
                .collect(),
        }
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
        for deviation_m in [0.3e-3, 0.6e-3] {
            let marks = MarksNoise {
                deviation_m,
                density_m2_s: 4e-6 / 240.0,
                step_s: 0.001,
            };
            let read = marks.every(4);
            let all = 1.0 + 2.0 * read.correlation.iter().sum::<f64>();
            let density = deviation_m * deviation_m * all * 0.004;
            assert!(
                (density / marks.density_m2_s - 1.0).abs() < 0.06,
                "{density}"
            );
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
