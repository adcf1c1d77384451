//! Scales of charts: straight and logarithmic, with round marks.

use steadypull_contract::show::{AxisUnit, tick};

/// One side of a chart.
#[derive(Debug, Clone)]
pub struct Axis {
    /// Value at the start, SI.
    low: f64,
    /// Value at the end, SI.
    high: f64,
    /// Sheet coordinate at the start.
    from: f64,
    /// Sheet coordinate at the end.
    to: f64,
    logarithmic: bool,
    /// Marks: value in SI and its text.
    pub marks: Vec<(f64, String)>,
    /// Unit of the marks.
    pub unit: &'static str,
}

impl Axis {
    /// A straight scale that holds `low` to `high` (SI), from one sheet
    /// coordinate to another, with about `wanted` marks.
    pub fn straight(range: (f64, f64), unit: AxisUnit, sheet: (f64, f64), wanted: usize) -> Self {
        let low = tame(range.0) / unit.si;
        let mut high = tame(range.1) / unit.si;
        if high <= low {
            high = low + 1.0;
        }
        let step = round_step((high - low) / wanted.max(1) as f64);
        let (first, last) = ((low / step).floor(), (high / step).ceil());
        let count = ((last - first) as usize).min(50);
        let marks = (0..=count)
            .map(|i| (first + i as f64) * step)
            .map(|v| (v * unit.si, tick(v, step)))
            .collect();
        Self {
            low: first * step * unit.si,
            high: last * step * unit.si,
            from: sheet.0,
            to: sheet.1,
            logarithmic: false,
            marks,
            unit: unit.name,
        }
    }

    /// A logarithmic scale in whole decades that holds `low` to `high` (SI, above 0).
    pub fn decades(range: (f64, f64), unit: AxisUnit, sheet: (f64, f64)) -> Self {
        let first = decade((tame(range.0) / unit.si).max(1e-6));
        let mut last = decade((tame(range.1) / unit.si).max(1e-6));
        let top = tame(range.1) / unit.si;
        if 10f64.powi(last) < top {
            last += 1;
        }
        let last = last.max(first + 1);
        let marks = (first..=last)
            .map(|d| 10f64.powi(d))
            .map(|v| (v * unit.si, tick(v, v)))
            .collect();
        Self {
            low: 10f64.powi(first) * unit.si,
            high: 10f64.powi(last) * unit.si,
            from: sheet.0,
            to: sheet.1,
            logarithmic: true,
            marks,
            unit: unit.name,
        }
    }

    /// Sheet coordinate of a value (SI), held inside the chart.
    pub fn at(&self, value: f64) -> f64 {
        let value = tame(value).clamp(self.low, self.high);
        let share = if self.logarithmic {
            log10(value / self.low) / log10(self.high / self.low)
        } else {
            (value - self.low) / (self.high - self.low)
        };
        self.from + share * (self.to - self.from)
    }
}

/// A value a chart can hold: not finite becomes 0.
fn tame(value: f64) -> f64 {
    if value.is_finite() {
        value.clamp(-1e15, 1e15)
    } else {
        0.0
    }
}

/// The next round step (1, 2 or 5 times a power of ten) at or above `raw`.
fn round_step(raw: f64) -> f64 {
    let raw = raw.max(1e-9);
    let power = 10f64.powi(decade(raw));
    let lead = raw / power;
    let nice = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|n| lead <= n * (1.0 + 1e-9));
    nice.unwrap_or(10.0) * power
}

/// Decimal exponent.
fn decade(value: f64) -> i32 {
    let text = format!("{value:e}");
    text.rsplit_once('e')
        .and_then(|(_, e)| e.parse().ok())
        .unwrap_or(0)
}

/// Base-ten logarithm, good to the width of a pen stroke: the exponent from the
/// decimal text, the rest from a series, so that no platform function is used.
fn log10(value: f64) -> f64 {
    if value.is_nan() || value <= 0.0 {
        return 0.0;
    }
    let exponent = decade(value);
    let lead = value / 10f64.powi(exponent);
    // ln(lead) = 2 atanh((lead - 1) / (lead + 1)), with lead brought near 1 by roots.
    let root = lead.sqrt().sqrt();
    let z = (root - 1.0) / (root + 1.0);
    let z2 = z * z;
    let ln = 8.0 * z * (1.0 + z2 / 3.0 + z2 * z2 / 5.0 + z2 * z2 * z2 / 7.0);
    f64::from(exponent) + ln / std::f64::consts::LN_10
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: AxisUnit = AxisUnit { name: "x", si: 1.0 };

    #[test]
    fn logarithm_is_good_enough_to_draw() {
        for (value, log) in [
            (1.0, 0.0),
            (3.0, 0.477_12),
            (9.99, 0.999_565),
            (0.05, -1.301_03),
            (4e6, 6.602_06),
        ] {
            assert!((log10(value) - log).abs() < 1e-5, "{value}");
        }
    }

    #[test]
    fn marks_are_round_and_hold_the_range() {
        let axis = Axis::straight((0.0, 87.0), PLAIN, (0.0, 100.0), 5);
        let texts: Vec<&str> = axis.marks.iter().map(|m| m.1.as_str()).collect();
        assert_eq!(texts, ["0", "20", "40", "60", "80", "100"]);
        assert!((axis.at(50.0) - 50.0).abs() < 1e-9);
        let odd = Axis::straight((f64::NAN, f64::INFINITY), PLAIN, (0.0, 100.0), 5);
        assert!(odd.at(f64::NAN).is_finite());
    }

    #[test]
    fn decades_hold_the_range() {
        let axis = Axis::decades((3.0, 4_000.0), PLAIN, (100.0, 0.0));
        assert_eq!(axis.marks.len(), 5);
        assert_eq!(axis.marks[4].1, "10 000");
        assert!((axis.at(100.0) - 50.0).abs() < 1e-6);
    }
}
