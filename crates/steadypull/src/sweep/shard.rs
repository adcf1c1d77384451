//! Which points of a study a run works out: one of so many parts.

use std::ops::Range;
use std::str::FromStr;

/// Part `number` of `of`, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shard {
    /// Which one, from 1.
    pub number: u64,
    /// Of how many.
    pub of: u64,
}

/// Most parts.
const MOST: u64 = 1_000_000;

impl Shard {
    /// All of it.
    pub const WHOLE: Self = Self { number: 1, of: 1 };

    /// Its points, of `points` in all; the parts follow one another.
    pub fn range(self, points: u64) -> Range<u64> {
        let end = |k: u64| (u128::from(points) * u128::from(k) / u128::from(self.of)) as u64;
        end(self.number - 1)..end(self.number)
    }
}

impl FromStr for Shard {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let read = |text: &str| text.trim().parse::<u64>().ok();
        let (number, of) = text.split_once('/').unwrap_or((text, ""));
        match (read(number), read(of)) {
            (Some(number), Some(of)) if number >= 1 && number <= of && of <= MOST => {
                Ok(Self { number, of })
            }
            _ => Err(format!(
                "a shard is written 3/16: the third of sixteen, at most {MOST}"
            )),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_follow_one_another_and_leave_nothing_out() {
        for points in [0, 1, 7, 100, 12_345, 1 << 40] {
            for of in [1, 2, 3, 16, 999] {
                let mut next = 0;
                for number in 1..=of {
                    let range = Shard { number, of }.range(points);
                    assert_eq!(range.start, next, "{number}/{of} of {points}");
                    next = range.end;
                }
                assert_eq!(next, points);
            }
        }
    }

    #[test]
    fn shards_as_people_write_them() {
        assert_eq!("3/16".parse(), Ok(Shard { number: 3, of: 16 }));
        for bad in ["", "3", "0/4", "5/4", "a/b", "1/", "-1/4", "1/4/2"] {
            assert!(bad.parse::<Shard>().is_err(), "{bad}");
        }
    }
}
