//! Long lists looked through some values at a time, in an order that processors do at once.
//!
//! Least and greatest do not depend on the order, so that these give what a plain loop gives.

/// Values looked at side by side.
const LANES: usize = 8;

/// The best of `pick` over the list, from `start`: for picks of which the order is no matter.
fn over(values: &[f64], start: f64, pick: impl Fn(f64, f64) -> f64) -> f64 {
    let (whole, rest) = values.as_chunks::<LANES>();
    let mut best = [start; LANES];
    for chunk in whole {
        for (b, v) in best.iter_mut().zip(chunk) {
            *b = pick(*b, *v);
        }
    }
    best.iter().chain(rest).fold(start, |b, v| pick(b, *v))
}

/// The greatest value, at least `start`; what is missing is passed over.
pub(crate) fn greatest(values: &[f64], start: f64) -> f64 {
    over(values, start, |b, v| if v > b { v } else { b })
}

/// The least value, at most `start`; what is missing is passed over.
pub(crate) fn least(values: &[f64], start: f64) -> f64 {
    over(values, start, |b, v| if v < b { v } else { b })
}

/// Least difference above nought between neighbours; infinite where none differ.
pub(crate) fn least_step(values: &[f64]) -> f64 {
    let closer = |best: f64, d: f64| if d > 0.0 && d < best { d } else { best };
    let mut best = [f64::INFINITY; LANES];
    let next = values.get(1..).unwrap_or(&[]);
    let (before, after) = (values.as_chunks::<LANES>().0, next.as_chunks::<LANES>().0);
    for (before, after) in before.iter().zip(after) {
        for (best, (a, b)) in best.iter_mut().zip(before.iter().zip(after)) {
            *best = closer(*best, (b - a).abs());
        }
    }
    let rest = values[LANES * after.len()..].windows(2);
    let rest = rest.map(|w| (w[1] - w[0]).abs());
    best.into_iter().chain(rest).fold(f64::INFINITY, closer)
}

/// Whether `is` holds anywhere; all are looked at.
pub(crate) fn somewhere(values: &[f64], is: impl Fn(f64) -> bool) -> bool {
    values.iter().fold(false, |any, v| any | is(*v))
}

/// The first for which `is` holds; many are passed over at once.
pub(crate) fn first(values: &[f64], is: impl Fn(f64) -> bool + Copy) -> Option<usize> {
    const AT_ONCE: usize = 64;
    let mut blocks = values.chunks(AT_ONCE).enumerate();
    let (block, values) = blocks.find(|(_, block)| somewhere(block, is))?;
    let within = values.iter().position(|v| is(*v))?;
    Some(block * AT_ONCE + within)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..Default::default() })]

        /// What a plain loop finds, whatever is missing.
        #[test]
        fn as_a_plain_loop(
            values in prop::collection::vec(prop_oneof![8 => -9i8..9, 1 => Just(99)], 0..200),
        ) {
            let value = |v: i8| if v == 99 { f64::NAN } else { f64::from(v) };
            let values: Vec<f64> = values.into_iter().map(value).collect();
            let fold = |pick: fn(f64, f64) -> f64, from| values.iter().copied().fold(from, pick);
            prop_assert_eq!(greatest(&values, -5.0), fold(f64::max, -5.0));
            prop_assert_eq!(least(&values, 5.0), fold(f64::min, 5.0));
            let steps = values.windows(2).map(|w| (w[1] - w[0]).abs()).filter(|d| *d > 0.0);
            prop_assert_eq!(least_step(&values), steps.fold(f64::INFINITY, f64::min));
            prop_assert_eq!(somewhere(&values, f64::is_nan), values.iter().any(|v| v.is_nan()));
            let nan = values.iter().position(|v| v.is_nan());
            prop_assert_eq!(first(&values, f64::is_nan), nan);
        }
    }
}
