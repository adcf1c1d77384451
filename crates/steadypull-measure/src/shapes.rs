//! Errors that follow no bell curve, and what they do to an interval.
//!
//! A time between two frames is spread evenly; how many frames off the first one is that somebody
//! saw is a whole number. Where such an error is most of a doubt, 1.96 standard deviations do
//! not hold 95 in 100: of an even spread alone they hold all, of a frame that is right four
//! times in five 92. So the half-width is taken from the distribution of the sum (JCGM 101:2008,
//! 5.2: distributions propagated), by its characteristic function:
//!
//! ```text
//! P(|X| < h) = 2/π ∫ sin(h t)/t φ(t) dt,   φ the product of those of the parts
//! ```
//!
//! Of a whole number with mean nought and a standard deviation σ nothing else is known: by the
//! principle of the greatest entropy `p(k) ∝ exp(−k²/2τ²)`, τ such that the deviation is σ (JCGM
//! 101:2008 6.4.7 has the same for a number that need not be whole: the bell curve).

use core::f64::consts::PI;

/// An error that is no bell curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Evenly spread.
    Even,
    /// A whole number of steps, of a standard deviation in steps.
    Whole(f64),
}

/// A part of a doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Its standard deviation.
    pub deviation: f64,
    /// How it is spread.
    pub shape: Shape,
}

/// Least share of bell curve, in standard deviations: a sum without any would need an endless sum.
const BELL_LEAST: f64 = 0.05;
/// Step and end of `t`, in standard deviations of the whole: the step lets the distribution
/// repeat itself 25 deviations on, beyond the end the bell curve has left 1e-8.
const STEP: f64 = 0.25;
const END: f64 = 6.0;
/// Halvings of the half-width.
const HALVINGS: usize = 24;
/// Half-widths that are looked at, in standard deviations.
const WIDEST: f64 = 8.0;
/// Steps off, in deviations of the curve that whole numbers lie on, that are counted.
const COUNTED: f64 = 8.0;

impl Part {
    /// The same error times a number.
    pub fn times(self, factor: f64) -> Self {
        Self {
            deviation: self.deviation * factor.abs(),
            ..self
        }
    }
}

/// Chances of 0, 1, 2, … steps to either side.
fn chances(deviation: f64) -> Vec<f64> {
    let of = |curve: f64| -> Vec<f64> {
        let count = (COUNTED * curve) as usize + 2;
        let weight = |k: usize| libm::exp(-0.5 * (k * k) as f64 / (curve * curve));
        let all: Vec<f64> = (0..count).map(weight).collect();
        let sum = all[0] + 2.0 * all[1..].iter().sum::<f64>();
        all.iter().map(|w| w / sum).collect()
    };
    let square = |chances: &[f64]| -> f64 {
        let each = chances.iter().enumerate();
        2.0 * each.map(|(k, p)| p * (k * k) as f64).sum::<f64>()
    };
    // On a curve much wider than a step the two deviations are one.
    let (mut low, mut high) = (0.05, deviation + 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        match square(&of(middle)) < deviation * deviation {
            true => low = middle,
            false => high = middle,
        }
    }
    of(0.5 * (low + high))
}

/// A part's characteristic function, ready to be asked.
enum Asked {
    Even { half: f64 },
    Whole { step: f64, chances: Vec<f64> },
}

impl Asked {
    /// In units of the whole deviation.
    fn of(part: &Part, whole: f64) -> Self {
        let deviation = part.deviation / whole;
        match part.shape {
            Shape::Even => Self::Even {
                half: deviation * 3f64.sqrt(),
            },
            Shape::Whole(steps) => Self::Whole {
                step: deviation / steps,
                chances: chances(steps),
            },
        }
    }

    fn at(&self, t: f64) -> f64 {
        match self {
            Self::Even { half } => libm::sin(half * t) / (half * t),
            Self::Whole { step, chances } => {
                let each = chances.iter().enumerate().skip(1);
                let sides: f64 = each.map(|(k, p)| p * libm::cos(k as f64 * step * t)).sum();
                chances[0] + 2.0 * sides
            }
        }
    }
}

/// Half of the interval about nought that holds a share of the sum of a bell curve of standard
/// deviation `bell` and the parts, none of which has to do with another.
pub fn half_width(bell: f64, parts: &[Part], share: f64) -> f64 {
    let there = |p: &&Part| p.deviation > 0.0 && !matches!(p.shape, Shape::Whole(s) if s <= 0.0);
    let parts: Vec<&Part> = parts.iter().filter(there).collect();
    let square: f64 = parts.iter().map(|p| p.deviation * p.deviation).sum();
    let whole = libm::sqrt(bell * bell + square);
    if parts.is_empty() || !whole.is_finite() {
        return whole * steadypull_engine::chance::normal_quantile(0.5 + 0.5 * share);
    }
    let bell = (bell / whole).max(BELL_LEAST);
    let asked: Vec<Asked> = parts.iter().map(|part| Asked::of(part, whole)).collect();
    let count = (END / bell / STEP) as usize;
    let points: Vec<(f64, f64)> = (1..=count)
        .map(|k| {
            let t = k as f64 * STEP;
            let of_parts: f64 = asked.iter().map(|part| part.at(t)).product();
            (t, libm::exp(-0.5 * bell * bell * t * t) * of_parts / t)
        })
        .collect();
    let held = |h: f64| -> f64 {
        let sum: f64 = points.iter().map(|(t, f)| f * libm::sin(h * t)).sum();
        2.0 / PI * STEP * (0.5 * h + sum)
    };
    let (mut low, mut high) = (0.0, WIDEST);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        match held(middle) < share {
            true => low = middle,
            false => high = middle,
        }
    }
    whole * 0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVEN: Part = Part {
        deviation: 0.288_675_134_594_812_9,
        shape: Shape::Even,
    };

    fn whole(step: f64, steps: f64) -> Part {
        Part {
            deviation: step * steps,
            shape: Shape::Whole(steps),
        }
    }

    /// By mixtures and the bell curve's antiderivative, scipy 1.17.1
    /// (`validation/independent/measure/shapes.py`).
    #[test]
    fn published_by_scipy() {
        for (bell, parts, want) in [
            (1.0, vec![], 1.959_963_985),
            (0.3, vec![EVEN], 0.799_963_296),
            (0.1, vec![EVEN, whole(1.0, 0.46)], 1.264_140_363),
            (0.3, vec![EVEN, whole(1.0, 0.5)], 1.365_836_235),
            (0.2, vec![EVEN, whole(1.0, 1.2)], 2.432_446_043),
            (
                0.4,
                vec![EVEN.times(0.5), whole(0.5, 0.5), whole(0.5, 0.5)],
                1.091_207_082,
            ),
        ] {
            let got = half_width(bell, &parts, 0.95);
            assert!((got / want - 1.0).abs() < 1e-5, "{parts:?}: {got} {want}");
        }
        // Of an even spread alone, 95 in 100 lie within so much of its half.
        let alone = half_width(0.0, &[EVEN], 0.95);
        assert!((alone / 0.475 - 1.0).abs() < 0.005, "{alone}");
    }

    /// A whole number is nought, or one to either side, with these chances.
    #[test]
    fn whole_numbers_have_the_deviation_asked() {
        for deviation in [0.1, 0.46, 0.7, 1.5, 6.0] {
            let chances = chances(deviation);
            let each = chances.iter().enumerate();
            let square = 2.0 * each.map(|(k, p)| p * (k * k) as f64).sum::<f64>();
            assert!(
                (libm::sqrt(square) / deviation - 1.0).abs() < 1e-4,
                "{deviation}"
            );
        }
    }
}
