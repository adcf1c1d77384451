//! Least and greatest of any stretch of a long record, quickly, for drawing it.
//!
//! Above the samples lie levels: each entry holds the least and the greatest of 16 entries
//! below. A stretch is put together from the fewest entries that fill it, so what is drawn is
//! exact at every zoom: no spike is thinned away. Missing samples stay gaps. A record of
//! ten million samples takes 11 MB of levels beside its 80 MB.

use core::ops::Range;

/// Entries below one entry.
const FAN: usize = 16;

/// Least and greatest of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Least value that is there; NaN if none is.
    pub least: f64,
    /// Greatest value that is there; NaN if none is.
    pub greatest: f64,
    /// Whether a sample is missing in it.
    pub gap: bool,
}

/// The levels above a record that is kept elsewhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Levels {
    samples: usize,
    levels: Vec<Vec<Span>>,
}

impl Span {
    const NOTHING: Self = Self {
        least: f64::NAN,
        greatest: f64::NAN,
        gap: false,
    };

    /// Whether no value is there.
    pub fn is_empty(&self) -> bool {
        self.least.is_nan()
    }

    fn of(values: &[f64]) -> Self {
        values.iter().fold(Self::NOTHING, |span, v| {
            span.with(Self {
                least: *v,
                greatest: *v,
                gap: v.is_nan(),
            })
        })
    }

    /// Both together; `min` and `max` pass a NaN over.
    fn with(self, other: Self) -> Self {
        Self {
            least: self.least.min(other.least),
            greatest: self.greatest.max(other.greatest),
            gap: self.gap | other.gap,
        }
    }
}

impl Levels {
    /// The levels above `values`, in one pass.
    pub fn new(values: &[f64]) -> Self {
        let mut levels = Vec::new();
        if values.len() > FAN {
            levels.push(values.chunks(FAN).map(Span::of).collect::<Vec<_>>());
        }
        while let Some(below) = levels.last().filter(|l| l.len() > FAN) {
            let above = below
                .chunks(FAN)
                .map(|c| c.iter().fold(Span::NOTHING, |a, b| a.with(*b)))
                .collect();
            levels.push(above);
        }
        Self {
            samples: values.len(),
            levels,
        }
    }

    /// Least and greatest in each of `pixels` even parts of `window`, of the same values
    /// that the levels were made from. A part narrower than a sample holds the sample it
    /// lies in; a window past the record is cut to it.
    pub fn query(&self, values: &[f64], window: Range<usize>, pixels: usize) -> Vec<Span> {
        debug_assert_eq!(values.len(), self.samples);
        let end = window.end.min(self.samples);
        let start = window.start.min(end);
        let length = end - start;
        if length == 0 {
            return vec![Span::NOTHING; pixels];
        }
        let edge = |p: usize| start + (p as u128 * length as u128 / pixels as u128) as usize;
        (0..pixels)
            .map(|p| {
                let from = edge(p);
                self.stretch(values, from..edge(p + 1).max(from + 1))
            })
            .collect()
    }

    /// Least and greatest of one stretch: raw samples to the next whole entry, entries,
    /// larger entries, and down again.
    fn stretch(&self, values: &[f64], samples: Range<usize>) -> Span {
        let (mut from, mut to) = (samples.start, samples.end);
        if to - from < 2 * FAN || self.levels.is_empty() {
            return Span::of(&values[from..to]);
        }
        let (head, tail) = (from.next_multiple_of(FAN), to / FAN * FAN);
        let mut span = Span::of(&values[from..head]).with(Span::of(&values[tail..to]));
        (from, to) = (head / FAN, tail / FAN);
        for (depth, level) in self.levels.iter().enumerate() {
            if to - from < 2 * FAN || depth + 1 == self.levels.len() {
                return all(&level[from..to], span);
            }
            let (head, tail) = (from.next_multiple_of(FAN), to / FAN * FAN);
            span = all(&level[from..head], span);
            span = all(&level[tail..to], span);
            (from, to) = (head / FAN, tail / FAN);
        }
        span
    }
}

fn all(spans: &[Span], start: Span) -> Span {
    spans.iter().fold(start, |a, b| a.with(*b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn same(a: f64, b: f64) -> bool {
        a == b || (a.is_nan() && b.is_nan())
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..Default::default() })]

        /// Every pixel of every window holds exactly what a plain search finds.
        #[test]
        fn exact_in_every_window(
            values in prop::collection::vec(prop_oneof![8 => -1e6..1e6f64, 1 => Just(f64::NAN)], 1..5000),
            ends in (0.0..1.0f64, 0.0..1.0f64),
            pixels in 1usize..300,
        ) {
            let at = |share: f64| (share * values.len() as f64) as usize;
            let (from, to) = (at(ends.0.min(ends.1)), at(ends.0.max(ends.1)));
            let spans = Levels::new(&values).query(&values, from..to, pixels);
            prop_assert_eq!(spans.len(), pixels);
            for (p, span) in spans.iter().enumerate() {
                let edge = |p: usize| from + p * (to - from) / pixels;
                let end = edge(p + 1).max(edge(p) + 1).min(to);
                let part = &values[edge(p).min(end)..end];
                let least = part.iter().copied().fold(f64::NAN, f64::min);
                let greatest = part.iter().copied().fold(f64::NAN, f64::max);
                prop_assert!(same(span.least, least) && same(span.greatest, greatest));
                prop_assert_eq!(span.gap, part.iter().any(|v| v.is_nan()));
            }
        }
    }

    #[test]
    fn one_sample_in_a_million_is_seen() {
        let mut values = vec![0.0; 1_000_000];
        values[654_321] = 7.0;
        values[10] = f64::NAN;
        let spans = Levels::new(&values).query(&values, 0..1_000_000, 100);
        assert_eq!(spans[65].greatest, 7.0);
        assert_eq!(spans.iter().filter(|s| s.greatest > 0.0).count(), 1);
        assert!(spans[0].gap && spans[0].least == 0.0 && !spans[1].gap);
    }

    #[test]
    fn nothing_to_draw_is_no_panic() {
        assert!(
            Levels::new(&[])
                .query(&[], 0..10, 3)
                .iter()
                .all(Span::is_empty)
        );
        assert!(Levels::new(&[1.0]).query(&[1.0], 5..9, 2)[0].is_empty());
    }
}
