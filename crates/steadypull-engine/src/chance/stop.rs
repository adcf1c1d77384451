//! When a study has run long enough.
//!
//! The runs are looked at after `first`, 2 × `first`, 4 × `first` … and at last
//! after `most` runs, never between; the study ends at the first look at which every
//! asked half-width is met. Doubling keeps looks few, and Sobol points are at their
//! best at each.
//!
//! Stopping when an interval happens to be short favours samples that scatter too
//! little, so such an interval holds less often than it says. Measured on 3000 random
//! problems on Sobol points, aims of 0.01 and 2 %, 256 to 8192 runs: 90 % intervals
//! held in 91.4 % at a fixed count and in 89.0 % at the stop (88.5 % with a look every
//! 256 runs). So the intervals of a
//! study that stops by itself are worked out at [`StopRule::confidence`], with three
//! quarters of the misses that are stated: `tests/chance_coverage.rs` checks that they
//! then hold as often as they say.

use thiserror::Error;

use super::interval::Interval;

/// Share of the stated misses that the intervals at a stop are worked out with.
const MISSES_AT_A_STOP: f64 = 0.75;

/// How sure one figure is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// A probability to this half-width, as a share (0.01 is one point in a hundred).
    Probability(f64),
    /// A quantile or mean to this half-width over its own size.
    Relative(f64),
}

impl Aim {
    /// Whether an estimate is as sure as asked. An open interval never is; a value of
    /// nothing is when its interval is nothing too.
    pub fn met(self, value: f64, interval: Interval) -> bool {
        let half = interval.half_width();
        if !half.is_finite() {
            return false;
        }
        match self {
            Self::Probability(asked) => half <= asked,
            Self::Relative(asked) => half <= asked * value.abs(),
        }
    }
}

/// When to look, and when to stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StopRule {
    first: u64,
    most: u64,
}

/// What to do after a look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next {
    /// Go on to this many runs in all, then look again.
    GoOnTo(u64),
    /// Every figure is as sure as asked.
    Reached,
    /// The most runs are done and some figure is less sure than asked: to be said.
    OutOfRuns,
}

/// Why a stop rule makes no sense.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum StopRuleError {
    /// No runs before the first look.
    #[error("the first look needs at least one run")]
    NoRuns,
    /// The limit comes before the first look.
    #[error("at most {most} runs is less than the {first} of the first look")]
    MostBelowFirst {
        /// Runs before the first look.
        first: u64,
        /// Runs in all.
        most: u64,
    },
}

impl StopRule {
    /// Looks from `first` runs on, at most `most`. For Sobol points `first` is the
    /// number of repeats times a power of two.
    pub fn new(first: u64, most: u64) -> Result<Self, StopRuleError> {
        if first == 0 {
            return Err(StopRuleError::NoRuns);
        }
        if most < first {
            return Err(StopRuleError::MostBelowFirst { first, most });
        }
        Ok(Self { first, most })
    }

    /// Runs before the first look.
    pub fn first(&self) -> u64 {
        self.first
    }

    /// Runs in all at most.
    pub fn most(&self) -> u64 {
        self.most
    }

    /// The confidence to work intervals out at, so that they hold in the `stated`
    /// share of studies in spite of the stopping.
    pub fn confidence(stated: f64) -> f64 {
        1.0 - MISSES_AT_A_STOP * (1.0 - stated)
    }

    /// What to do after `done` runs, when `met` says that every aim is met. A count
    /// between looks goes on to the next look, whatever has been met.
    pub fn after(&self, done: u64, met: bool) -> Next {
        let look = self.look_from(done);
        if done < look {
            Next::GoOnTo(look)
        } else if met {
            Next::Reached
        } else if done >= self.most {
            Next::OutOfRuns
        } else {
            Next::GoOnTo(self.look_from(done + 1))
        }
    }

    /// The first look at or after a count.
    fn look_from(&self, done: u64) -> u64 {
        let mut look = self.first;
        while look < done && look < self.most {
            look = look.saturating_mul(2).min(self.most);
        }
        look
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn looks_double_and_end_at_the_most() {
        let rule = StopRule::new(256, 3000).unwrap();
        let mut looks = vec![rule.first()];
        while let Next::GoOnTo(next) = rule.after(looks[looks.len() - 1], false) {
            looks.push(next);
        }
        assert_eq!(looks, [256, 512, 1024, 2048, 3000]);
        assert_eq!(rule.after(3000, false), Next::OutOfRuns);
        assert_eq!(rule.after(3000, true), Next::Reached);
        assert_eq!(rule.after(512, true), Next::Reached);
        // Between looks nothing is decided.
        assert_eq!(rule.after(600, true), Next::GoOnTo(1024));
        assert_eq!(rule.after(0, true), Next::GoOnTo(256));
    }

    #[test]
    fn aims_by_kind() {
        let interval = Interval {
            low: 8.0,
            high: 12.0,
        };
        assert!(Aim::Relative(0.2).met(10.0, interval));
        assert!(!Aim::Relative(0.19).met(10.0, interval));
        assert!(!Aim::Probability(1.9).met(10.0, interval));
        let open = Interval {
            low: 0.0,
            high: f64::INFINITY,
        };
        assert!(!Aim::Relative(1e9).met(10.0, open));
        let nothing = Interval {
            low: 0.0,
            high: 0.0,
        };
        assert!(Aim::Relative(0.05).met(0.0, nothing));
    }

    #[test]
    fn intervals_at_a_stop_are_wider() {
        assert!((StopRule::confidence(0.9) - 0.925).abs() < 1e-15);
    }

    #[test]
    fn rules_that_make_no_sense() {
        assert_eq!(StopRule::new(0, 10), Err(StopRuleError::NoRuns));
        let refused = StopRule::new(256, 100).unwrap_err().to_string();
        assert!(refused.contains("at most 100 runs is less than the 256"));
    }
}
