//! Statistics that a few wild values do not move.
//!
//! Source: P. J. Rousseeuw, C. Croux, J. Am. Stat. Assoc. 88 (1993) 1273–1283, for the
//! median absolute deviation and its factor for a bell curve (from memory).

/// Makes the median absolute deviation the standard deviation of a bell curve:
/// 1/Φ⁻¹(3/4).
pub(crate) const MAD_TO_SIGMA: f64 = 1.482_602_218_505_602;
/// Values looked at most; of more, as many are taken evenly spread.
const LOOKED_AT_MOST: usize = 200_000;
/// Lags looked at most for likeness of neighbours.
const LAGS_MOST: usize = 2000;

/// Median of `values`, which it puts out of order; `None` if there are none.
pub(crate) fn median_of(values: &mut [f64]) -> Option<f64> {
    if values.is_empty() {
        return None;
    }
    let (middle, even) = (values.len() / 2, values.len().is_multiple_of(2));
    let (below, upper, _) = values.select_nth_unstable_by(middle, f64::total_cmp);
    let upper = *upper;
    if !even {
        return Some(upper);
    }
    let lower = below.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    Some(0.5 * (lower + upper))
}

/// Median and 1.4826 times the median absolute deviation of the finite values.
pub(crate) fn centre_and_scatter(values: &[f64]) -> Option<(f64, f64)> {
    let there = values.iter().copied().filter(|v| v.is_finite());
    let mut kept: Vec<f64> = thinned(there, values.len()).collect();
    let centre = median_of(&mut kept)?;
    kept.iter_mut().for_each(|v| *v = (*v - centre).abs());
    Some((centre, MAD_TO_SIGMA * median_of(&mut kept)?))
}

/// Scatter from sample to sample: of second differences, over √6, so that neither a
/// level nor a steady rise counts. `None` under three finite neighbours.
///
/// Right for noise without memory; noise slower than a few samples hides from it. Where all
/// values are known to be `whole` (there, and no larger than 1e300) those in between need
/// not be looked at.
pub(crate) fn sample_to_sample(values: &[f64], whole: bool) -> Option<f64> {
    let second = |w: &[f64]| w[0] - 2.0 * w[1] + w[2];
    let kept = if whole {
        thinned(values.windows(3), values.len())
            .map(second)
            .collect()
    } else {
        let seconds = values.windows(3).map(second).filter(|d| d.is_finite());
        thinned(seconds, values.len()).collect::<Vec<_>>()
    };
    let (_, scatter) = centre_and_scatter(&kept)?;
    Some(scatter / 6f64.sqrt())
}

/// How much more uncertain a mean is for residuals that resemble their neighbours:
/// `1 + 2 Σ ρ_k` up to the first `ρ_k` that is not above nought, at least 1 (M. B. Priestley, Spectral Analysis and Time
/// Series, 1981, 5.3, from memory).
pub(crate) fn memory(left: &[f64]) -> f64 {
    let square: f64 = left.iter().map(|r| r * r).sum();
    let mut factor = 1.0;
    for lag in 1..(left.len() / 2).min(LAGS_MOST) {
        let together: f64 = left.iter().zip(&left[lag..]).map(|(a, b)| a * b).sum();
        if together.is_nan() || together <= 0.0 {
            break;
        }
        factor += 2.0 * together / square;
    }
    factor
}

/// Neighbours of a list of `len`: all of them, or of a long list as many in a hundred stretches
/// evenly spread. What comes round every few places is met as often as it is there, which
/// every k-th place might not do.
pub(crate) fn stretches(len: usize) -> impl Iterator<Item = core::ops::Range<usize>> {
    const STRETCHES: usize = 100;
    let (count, each) = match len > LOOKED_AT_MOST {
        true => (STRETCHES, LOOKED_AT_MOST / STRETCHES),
        false => (1, len),
    };
    (0..count).map(move |k| {
        let from = (len - each) * k / (count - 1).max(1);
        from..from + each
    })
}

/// All of them, or every k-th where there are too many.
fn thinned<T>(values: impl Iterator<Item = T>, about: usize) -> impl Iterator<Item = T> {
    values.step_by(about / LOOKED_AT_MOST + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn medians_by_hand() {
        assert_eq!(median_of(&mut []), None);
        assert_eq!(median_of(&mut [3.0, 1.0, 2.0]), Some(2.0));
        assert_eq!(median_of(&mut [4.0, 1.0, 2.0, 3.0]), Some(2.5));
    }

    #[test]
    fn stretches_reach_from_end_to_end() {
        for whole in [0, 200_000] {
            let mut all = stretches(whole);
            assert_eq!((all.next(), all.next()), (Some(0..whole), None));
        }
        let long: Vec<_> = stretches(10_000_000).collect();
        assert_eq!((long[0].start, long[99].end), (0, 10_000_000));
        assert_eq!(
            long.iter().map(ExactSizeIterator::len).sum::<usize>(),
            200_000
        );
        assert!(long.windows(2).all(|w| w[0].end <= w[1].start));
    }

    #[test]
    fn a_wild_value_moves_nothing_much() {
        let values = [1.0, 2.0, 3.0, 4.0, f64::NAN, 1e9];
        let (centre, scatter) = centre_and_scatter(&values).unwrap();
        assert_eq!(centre, 3.0);
        assert!((scatter - MAD_TO_SIGMA).abs() < 1e-12);
        assert_eq!(centre_and_scatter(&[f64::NAN]), None);
    }

    #[test]
    fn a_slope_is_no_scatter() {
        let ramp: Vec<f64> = (0..100).map(|i| 5.0 * f64::from(i)).collect();
        assert!(sample_to_sample(&ramp, true).unwrap() < 1e-12);
        assert_eq!(sample_to_sample(&[1.0, 2.0], false), None);
    }
}
