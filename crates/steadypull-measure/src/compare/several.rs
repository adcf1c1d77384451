//! Several set-ups: each pair compared, the chance of a false alarm held over all.

use super::holm::holm;
use super::two::{Comparison, Rules, Verdict, two_setups};
use crate::problem::Problem;

/// One pair of set-ups.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// Places of the set-ups in the list.
    pub setups: (usize, usize),
    /// The second less the first; its intervals are the pair's own.
    pub comparison: Comparison,
    /// Permutation p by Holm's steps over all pairs that could be compared; none for a
    /// set-up pulled once or without spread.
    pub adjusted_p: Option<f64>,
    /// What may be said with all pairs in view; none where there is nothing to judge.
    pub verdict: Option<Verdict>,
}

/// Compares each set-up with each later one.
///
/// The verdict asks for the pair's own ([`Verdict::Shown`]) and for Holm's adjusted
/// p at or below one less the confidence.
pub fn several_setups(setups: &[&[f64]], rules: &Rules) -> Result<Vec<Pair>, Problem> {
    if setups.len() < 2 {
        return Err(Problem::TooFew {
            what: "set-ups to compare",
            least: 2,
            got: setups.len(),
        });
    }
    let mut pairs = Vec::new();
    for first in 0..setups.len() {
        for second in first + 1..setups.len() {
            pairs.push(Pair {
                setups: (first, second),
                comparison: two_setups(setups[first], setups[second], rules)?,
                adjusted_p: None,
                verdict: None,
            });
        }
    }
    judge(&mut pairs, 1.0 - rules.confidence);
    Ok(pairs)
}

fn judge(pairs: &mut [Pair], alpha: f64) {
    let compared = |pair: &Pair| match &pair.comparison {
        Comparison::Compared(difference) => Some((difference.permutation.p, difference.verdict)),
        _ => None,
    };
    let p: Vec<f64> = pairs
        .iter()
        .filter_map(|pair| compared(pair).map(|c| c.0))
        .collect();
    let mut adjusted = holm(&p).into_iter();
    for pair in pairs {
        let Some((_, own)) = compared(pair) else {
            continue;
        };
        pair.adjusted_p = adjusted.next();
        let late = pair.adjusted_p.is_none_or(|p| p > alpha);
        pair.verdict = Some(match own {
            Verdict::Shown if late => Verdict::NotShown,
            other => other,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_pair_once_and_none_from_one_pull() {
        let a = [10.0, 11.0, 9.5, 10.4, 10.2];
        let b = [20.0, 21.0, 19.5, 20.4, 20.3];
        let pairs = several_setups(&[&a, &b, &[15.0], &a], &Rules::default()).unwrap();
        assert_eq!(pairs.len(), 6);
        assert_eq!(pairs[0].verdict, Some(Verdict::Shown));
        assert_eq!(pairs[1].verdict, None);
        assert_eq!(pairs[2].verdict, Some(Verdict::NotShown));
        // Three pairs can be compared: two at 2/252, so the least is tripled.
        assert!((pairs[0].adjusted_p.unwrap() - 3.0 * 2.0 / 252.0).abs() < 1e-12);
        assert!(several_setups(&[&a], &Rules::default()).is_err());
    }
}
