//! Several tests at once: the chance of one false alarm among them all held at its word.
//!
//! Holm's steps: with the p values in rising order, `p_(i)` becomes the greatest of
//! `(m − j + 1) p_(j)` over j ≤ i, at most 1. Source: S. Holm, Scand. J. Stat. 6 (1979)
//! 65–70, from memory; the test's figures are worked by hand.

/// Holm's adjusted p values, in the order given.
pub fn holm(p: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..p.len()).collect();
    order.sort_by(|a, b| p[*a].total_cmp(&p[*b]));
    let mut adjusted = vec![1.0; p.len()];
    let mut greatest = 0.0_f64;
    for (rank, place) in order.into_iter().enumerate() {
        greatest = greatest.max((p.len() - rank) as f64 * p[place]).min(1.0);
        adjusted[place] = greatest;
    }
    adjusted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn by_hand() {
        let adjusted = holm(&[0.01, 0.04, 0.03, 0.005]);
        for (got, want) in adjusted.into_iter().zip([0.03, 0.06, 0.06, 0.02]) {
            assert!((got - want).abs() < 1e-15);
        }
        assert_eq!(holm(&[0.7, 0.9]), vec![1.0, 1.0]);
    }
}
