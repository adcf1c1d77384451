//! Signed bias and spread of relative differences.

/// Statistics of a set of signed relative differences.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// How many values.
    pub count: usize,
    /// Mean, with its sign.
    pub bias: f64,
    /// 75 % of the differences are no larger than this.
    pub percentile_75: f64,
    /// The largest.
    pub greatest: f64,
}

impl Spread {
    /// The statistics of `differences`; `None` of nothing.
    pub fn of(differences: &[f64]) -> Option<Self> {
        let mut sizes: Vec<f64> = differences.iter().map(|d| d.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        let count = sizes.len();
        let greatest = *sizes.last()?;
        // The smallest size that 75 % of the values do not exceed.
        let at = (3 * count).div_ceil(4) - 1;
        Some(Self {
            count,
            bias: differences.iter().sum::<f64>() / count as f64,
            percentile_75: sizes[at],
            greatest,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Spread;

    #[test]
    fn bias_keeps_its_sign() {
        let spread = Spread::of(&[-0.04, 0.02, 0.01, -0.03]).unwrap();
        assert!((spread.bias + 0.01).abs() < 1e-15);
        assert_eq!((spread.percentile_75, spread.greatest), (0.03, 0.04));
        assert_eq!(Spread::of(&[]), None);
    }
}
