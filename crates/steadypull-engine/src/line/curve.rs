//! Tension against strain as a table with a monotone cubic through it.
//!
//! The table runs from (0, 0) to (strain at break, 1) in shares of the breaking
//! strength. Between points: the monotone piecewise cubic of Fritsch and
//! Butland (SIAM J. Sci. Stat. Comput. 5 (1984) 300–304), which never
//! overshoots, so a stiffer table never gives a softer line.

use thiserror::Error;

/// Rate effect: one Maxwell branch in parallel with the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// Instant stiffness over slow stiffness, at least 1.
    pub stiffness_ratio: f64,
    /// Relaxation time, s.
    pub relaxation_s: f64,
}

/// A normalised extension curve with what it gives back.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    strain: Vec<f64>,
    share: Vec<f64>,
    slope: Vec<f64>,
    /// Energy given back over energy taken, 0 to 1.
    pub energy_return: f64,
    /// Strain left after unloading over greatest strain seen, 0 to 1.
    pub set_fraction: f64,
    /// Rate effect, if any.
    pub rate: Option<Rate>,
}

/// Why a table is no extension curve.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CurveError {
    /// Fewer than two points.
    #[error("an extension curve needs at least two points, got {0}")]
    TooFewPoints(usize),
    /// The table does not start at no load.
    #[error("the first point must be no strain at no load")]
    NoOrigin,
    /// Strain or load does not rise.
    #[error("strain and load must both rise from point to point; point {0} does not")]
    NotRising(usize),
    /// The last point is not the breaking load.
    #[error("the last point must be at the breaking load (100 %), got {0:.1} %")]
    NotToBreak(f64),
    /// A strain that no line reaches.
    #[error("strain at break must be between 0.1 % and 100 %, got {0:.2} %")]
    StrainOutOfRange(f64),
    /// Energy return or set out of range.
    #[error("energy return must be in (0, 1] and set in [0, 0.9]")]
    ReturnOutOfRange,
}

impl Curve {
    /// A curve through `points` of (strain, share of breaking strength).
    pub fn new(
        points: &[(f64, f64)],
        energy_return: f64,
        set_fraction: f64,
    ) -> Result<Self, CurveError> {
        if points.len() < 2 {
            return Err(CurveError::TooFewPoints(points.len()));
        }
        if points[0] != (0.0, 0.0) {
            return Err(CurveError::NoOrigin);
        }
        for i in 1..points.len() {
            let rises = points[i].0 > points[i - 1].0 && points[i].1 > points[i - 1].1;
            if !rises {
                return Err(CurveError::NotRising(i + 1));
            }
        }
        let (strain_at_break, top) = points[points.len() - 1];
        if (top - 1.0).abs() > 1e-9 {
            return Err(CurveError::NotToBreak(top * 100.0));
        }
        if !(0.001..=1.0).contains(&strain_at_break) {
            return Err(CurveError::StrainOutOfRange(strain_at_break * 100.0));
        }
        let in_range =
            energy_return > 0.0 && energy_return <= 1.0 && (0.0..=0.9).contains(&set_fraction);
        if !in_range {
            return Err(CurveError::ReturnOutOfRange);
        }
        let strain: Vec<f64> = points.iter().map(|p| p.0).collect();
        let share: Vec<f64> = points.iter().map(|p| p.1).collect();
        let slope = monotone_slopes(&strain, &share);
        Ok(Self {
            strain,
            share,
            slope,
            energy_return,
            set_fraction,
            rate: None,
        })
    }

    /// A straight line to the breaking strength at `strain_at_break`.
    pub fn linear(
        strain_at_break: f64,
        energy_return: f64,
        set_fraction: f64,
    ) -> Result<Self, CurveError> {
        Self::new(
            &[(0.0, 0.0), (strain_at_break, 1.0)],
            energy_return,
            set_fraction,
        )
    }

    /// Strain at the breaking strength.
    pub fn strain_at_break(&self) -> f64 {
        self.strain[self.strain.len() - 1]
    }

    /// The table, as (strain, share of breaking strength).
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.strain.iter().copied().zip(self.share.iter().copied())
    }

    /// Share of breaking strength at `strain`; past the table, straight on.
    pub fn share_at(&self, strain: f64) -> f64 {
        let Some((i, h, t)) = self.locate(strain) else {
            return self.outside(strain).0;
        };
        let (t2, t3) = (t * t, t * t * t);
        (2.0 * t3 - 3.0 * t2 + 1.0) * self.share[i]
            + (t3 - 2.0 * t2 + t) * h * self.slope[i]
            + (3.0 * t2 - 2.0 * t3) * self.share[i + 1]
            + (t3 - t2) * h * self.slope[i + 1]
    }

    /// The cubic piece that holds `strain`: its ends, and the share's coefficients of
    /// powers of (strain − its start). None off the table.
    pub(crate) fn piece_at(&self, strain: f64) -> Option<(f64, f64, [f64; 4])> {
        let (i, h, _) = self.locate(strain)?;
        let (from, to) = (self.strain[i], self.strain[i + 1]);
        let (a, b) = (self.slope[i], self.slope[i + 1]);
        let rise = (self.share[i + 1] - self.share[i]) / h;
        let bend = (3.0 * rise - 2.0 * a - b) / h;
        let twist = (a + b - 2.0 * rise) / (h * h);
        Some((from, to, [self.share[i], a, bend, twist]))
    }

    /// Slope of the share against strain.
    pub fn slope_at(&self, strain: f64) -> f64 {
        let Some((i, h, t)) = self.locate(strain) else {
            return self.outside(strain).1;
        };
        let t2 = t * t;
        (6.0 * t2 - 6.0 * t) * (self.share[i] - self.share[i + 1]) / h
            + (3.0 * t2 - 4.0 * t + 1.0) * self.slope[i]
            + (3.0 * t2 - 2.0 * t) * self.slope[i + 1]
    }

    /// Area under the curve to `strain`: energy per metre over breaking strength.
    pub fn energy_at(&self, strain: f64) -> f64 {
        if strain <= 0.0 {
            return 0.0;
        }
        let mut sum = 0.0;
        for i in 0..self.strain.len() - 1 {
            let h = self.strain[i + 1] - self.strain[i];
            let t = ((strain - self.strain[i]) / h).min(1.0);
            let (t2, t3, t4) = (t * t, t * t * t, t * t * t * t);
            sum += h
                * ((0.5 * t4 - t3 + t) * self.share[i]
                    + (0.25 * t4 - 2.0 / 3.0 * t3 + 0.5 * t2) * h * self.slope[i]
                    + (t3 - 0.5 * t4) * self.share[i + 1]
                    + (0.25 * t4 - t3 / 3.0) * h * self.slope[i + 1]);
            if strain <= self.strain[i + 1] {
                return sum;
            }
        }
        let past = strain - self.strain_at_break();
        let end = self.slope[self.slope.len() - 1];
        sum + past * (1.0 + 0.5 * end * past)
    }

    /// Strain at which the curve carries `share` of the breaking strength.
    pub fn strain_for_share(&self, share: f64) -> f64 {
        if share <= 0.0 {
            return 0.0;
        }
        if share >= 1.0 {
            let end = self.slope[self.slope.len() - 1];
            return self.strain_at_break() + (share - 1.0) / end;
        }
        let (mut low, mut high) = (0.0, self.strain_at_break());
        // 60 halvings reach the last bit of a double from any bracket below 1.
        for _ in 0..60 {
            let mid = 0.5 * (low + high);
            if self.share_at(mid) < share {
                low = mid
            } else {
                high = mid
            }
        }
        0.5 * (low + high)
    }

    /// The same curve with every strain multiplied by `factor` (wet, worn).
    pub fn with_strain_scaled(&self, factor: f64) -> Self {
        Self {
            strain: self.strain.iter().map(|e| e * factor).collect(),
            share: self.share.clone(),
            slope: self.slope.iter().map(|s| s / factor).collect(),
            ..self.clone()
        }
    }

    fn locate(&self, strain: f64) -> Option<(usize, f64, f64)> {
        if strain < 0.0 || strain > self.strain_at_break() {
            return None;
        }
        let i = self
            .strain
            .partition_point(|&e| e <= strain)
            .clamp(1, self.strain.len() - 1)
            - 1;
        let h = self.strain[i + 1] - self.strain[i];
        Some((i, h, (strain - self.strain[i]) / h))
    }

    /// Share and slope off the table: nothing below it, straight on above it.
    fn outside(&self, strain: f64) -> (f64, f64) {
        if strain > 0.0 {
            let end = self.slope[self.slope.len() - 1];
            (1.0 + end * (strain - self.strain_at_break()), end)
        } else {
            (0.0, 0.0)
        }
    }
}

fn monotone_slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let n = x.len();
    let secant: Vec<f64> = (0..n - 1)
        .map(|i| (y[i + 1] - y[i]) / (x[i + 1] - x[i]))
        .collect();
    let mut slope = vec![0.0; n];
    for i in 1..n - 1 {
        // Weighted harmonic mean of the neighbouring secants, all positive here.
        let (h0, h1) = (x[i] - x[i - 1], x[i + 1] - x[i]);
        let alpha = (1.0 + h1 / (h0 + h1)) / 3.0;
        slope[i] = secant[i - 1] * secant[i] / (alpha * secant[i] + (1.0 - alpha) * secant[i - 1]);
    }
    // One-sided ends, kept inside the monotone region (at most 3 secants).
    slope[0] = end_slope(secant[0], slope.get(1).copied(), n);
    slope[n - 1] = end_slope(secant[n - 2], slope.get(n - 2).copied(), n);
    slope
}

fn end_slope(secant: f64, inner: Option<f64>, points: usize) -> f64 {
    match inner {
        Some(inner) if points > 2 => {
            ((3.0 * secant - inner) / 2.0).clamp(0.2 * secant, 3.0 * secant)
        }
        _ => secant,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_linear_energy() {
        let curve = Curve::linear(0.18, 0.7, 0.1).unwrap();
        assert!((curve.energy_at(0.18) - 0.09).abs() < 1e-15);
        assert!((curve.energy_at(0.27) - 0.5 * 1.5 * 0.27).abs() < 1e-12);
        assert!((curve.strain_for_share(0.5) - 0.09).abs() < 1e-12);
    }

    #[test]
    fn cubic_passes_through_its_points_and_integrates() {
        let points = [(0.0, 0.0), (0.05, 0.2), (0.1, 0.5), (0.18, 1.0)];
        let curve = Curve::new(&points, 0.7, 0.1).unwrap();
        for (e, s) in points {
            assert!((curve.share_at(e) - s).abs() < 1e-12);
        }
        let steps = 20_000;
        let h = 0.18 / f64::from(steps);
        let sum: f64 = (0..steps)
            .map(|i| curve.share_at((f64::from(i) + 0.5) * h) * h)
            .sum();
        assert!((curve.energy_at(0.18) - sum).abs() < 1e-9);
    }

    #[test]
    fn bad_tables_say_why() {
        assert_eq!(
            Curve::new(&[(0.0, 0.0)], 0.7, 0.1),
            Err(CurveError::TooFewPoints(1))
        );
        assert_eq!(
            Curve::new(&[(0.0, 0.0), (0.1, 0.5), (0.05, 1.0)], 0.7, 0.1),
            Err(CurveError::NotRising(3))
        );
        assert!(matches!(
            Curve::linear(f64::NAN, 0.7, 0.1),
            Err(CurveError::NotRising(2))
        ));
        assert_eq!(
            Curve::linear(0.1, 1.2, 0.1),
            Err(CurveError::ReturnOutOfRange)
        );
    }
}
