//! Low-pass by channel frequency class, as crash and pull tests use it.
//!
//! Two-pole Butterworth by the bilinear transform, run forward and then backward, so
//! nothing shifts in time. With `wd = 2π · 2.0775 CFC`, `wa = tan(wd T/2)`,
//! `D = 1 + √2 wa + wa²`:
//!
//! ```text
//! a0 = a2 = wa²/D,  a1 = 2 a0,  b1 = −2 (wa² − 1)/D,  b2 = (−1 + √2 wa − wa²)/D
//! y[n] = a0 x[n] + a1 x[n−1] + a2 x[n−2] + b1 y[n−1] + b2 y[n−2]
//! ```
//!
//! Source: SAE J211/1 app. C, whose formula was read in public programs (CV-CFC-03 ff.);
//! classes, stop bands and least sample rates: ISO 6487 and SAE J211/1 as tabulated in a
//! signal-analysis manual (CV-CFC-01, read). ISO 6487 differs slightly in `wd`. The
//! standards name 60, 180, 600 and 1000; other numbers use the same formula.
//!
//! *Ends.* Each stretch is lengthened at both ends by its own samples mirrored through the
//! end point (`2 x[0] − x[k]`): 10 ms as the standards ask, or 20 time constants of the
//! filter where that is longer, so that what the filter started from has died to 2e−9.
//! Both passes start settled on their first value. The mirror holds the end points where they
//! are: within the padding of an end noise is not taken off, so leave quiet before and after.
//!
//! *Limits.* A digital filter's −3 dB point moves with the sample rate (CFC 60: 101.7 Hz at
//! 1 kHz, 99.9 Hz at 10 kHz; CV-CFC-08). It cannot take out what was folded down at
//! sampling: the recorder's own filter must do that.

use core::f64::consts::{PI, SQRT_2};
use std::sync::{Mutex, MutexGuard, PoisonError};

use thiserror::Error;

use super::Series;
use crate::together::{InTurn, Together};

/// Samples a second the standards ask for, over the class number.
const LEAST_RATE_PER_CLASS: f64 = 10.0;
/// Least lengthening at each end, s.
const PAD_S: f64 = 0.010;
/// Lengthening at each end in time constants of the filter.
const PAD_TIME_CONSTANTS: f64 = 20.0;
/// Values filtered at once, which stay in the nearest cache.
const BLOCK: usize = 1024;

/// Values, in lengthenings, that the second half of a pass is begun ahead by: 320 time constants.
const AHEAD: usize = 16;
/// How many times as long a stretch is that is worth halving.
const LONG: usize = 8;

/// What is kept of a pass: the last two values in and the last two out.
type Kept = [f64; 4];

/// A channel frequency class: 60, 180, 600, 1000 or another number above nought.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Cfc(f64);

/// Why a filter cannot be had.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CfcError {
    /// No class.
    #[error("a channel frequency class is a number above nought such as 60 or 180, got {0}")]
    NoClass(f64),
    /// Too few samples a second.
    #[error(
        "CFC {class} asks for at least {least_hz} samples a second and the record has {rate_hz:.1}: take a lower class or record faster"
    )]
    TooSlow {
        /// The class.
        class: f64,
        /// The record's rate, Hz.
        rate_hz: f64,
        /// The least rate, Hz.
        least_hz: f64,
    },
    /// No stretch is long enough.
    #[error(
        "no stretch of the record without a gap is as long as the {needed} samples CFC {class} needs at its ends"
    )]
    TooShort {
        /// The class.
        class: f64,
        /// Samples one end needs, and one more.
        needed: usize,
    },
}

/// Numbers of the recursion, named as the standard names them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficients {
    /// Weight of this value in, and of the one before the last.
    pub a0: f64,
    /// Weight of the value before.
    pub a1: f64,
    /// Weight of the value two before.
    pub a2: f64,
    /// Weight of the answer before.
    pub b1: f64,
    /// Weight of the answer two before.
    pub b2: f64,
}

/// A class at a sample rate, ready to run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filter {
    class: Cfc,
    rate_hz: f64,
    warped: f64,
    coefficients: Coefficients,
}

/// What came through the filter.
#[derive(Debug, Clone, PartialEq)]
pub struct Filtered {
    /// The series, missing where it was missing or a stretch was too short.
    pub series: Series,
    /// Samples in stretches too short to filter, now missing.
    pub left_out: usize,
}

impl Cfc {
    /// A class by its number.
    pub fn new(number: f64) -> Result<Self, CfcError> {
        if number.is_finite() && number > 0.0 {
            Ok(Self(number))
        } else {
            Err(CfcError::NoClass(number))
        }
    }

    /// The class number.
    pub fn number(self) -> f64 {
        self.0
    }

    /// Samples a second the class asks for, Hz (CV-CFC-01: ten times the number).
    pub fn least_rate_hz(self) -> f64 {
        LEAST_RATE_PER_CLASS * self.0
    }

    /// Nominal −3 dB frequency of both passes, Hz: five thirds of the number, rounded
    /// by the standards to 1650 for 1000 (CV-CFC-01).
    pub fn nominal_hz(self) -> f64 {
        if self.0 == 1000.0 {
            1650.0
        } else {
            self.0 / 0.6
        }
    }

    /// Design frequency of one pass, Hz: both passes together are 6.02 dB down there.
    pub fn design_hz(self) -> f64 {
        2.0775 * self.0
    }
}

impl Filter {
    /// The class at a sample rate; refused where the rate is under the class's least.
    pub fn new(class: Cfc, rate_hz: f64) -> Result<Self, CfcError> {
        let least_hz = class.least_rate_hz();
        // A step of a decimal fraction may miss the rate by rounding alone.
        if !(rate_hz.is_finite() && rate_hz >= least_hz * (1.0 - 1e-9)) {
            return Err(CfcError::TooSlow {
                class: class.0,
                rate_hz,
                least_hz,
            });
        }
        let warped = libm::tan(PI * class.design_hz() / rate_hz);
        Ok(Self {
            class,
            rate_hz,
            warped,
            coefficients: Coefficients::from_warped(warped),
        })
    }

    /// The class.
    pub fn class(&self) -> Cfc {
        self.class
    }

    /// The recursion's numbers.
    pub fn coefficients(&self) -> Coefficients {
        self.coefficients
    }

    /// What both passes leave of a steady oscillation, 0 to 1.
    pub fn gain(&self, frequency_hz: f64) -> f64 {
        let ratio = libm::tan(PI * frequency_hz / self.rate_hz) / self.warped;
        let square = ratio * ratio;
        1.0 / (1.0 + square * square)
    }

    /// Where both passes are 3 dB down at this sample rate, Hz.
    pub fn minus_3db_hz(&self) -> f64 {
        let ratio = libm::pow(libm::pow(10.0, 3.0 / 20.0) - 1.0, 0.25);
        self.rate_hz / PI * libm::atan(self.warped * ratio)
    }

    /// Samples each end is lengthened by.
    pub fn pad(&self) -> usize {
        let time_constant_s = SQRT_2 / (2.0 * PI * self.class.design_hz());
        let pad_s = PAD_S.max(PAD_TIME_CONSTANTS * time_constant_s);
        libm::ceil(pad_s * self.rate_hz - 1e-6) as usize
    }

    /// Weights of both passes about the middle: what a single 1 becomes, `pad` samples
    /// to either side.
    pub fn impulse_response(&self) -> Vec<f64> {
        self.weights_through(&[1.0])
    }

    /// Scatter left of noise without memory, as a share of its own: root of the sum of
    /// the squared weights.
    pub fn noise_share(&self) -> f64 {
        let squares: f64 = self.impulse_response().iter().map(|h| h * h).sum();
        libm::sqrt(squares)
    }

    /// Correlation that noise without memory has after the filter in samples `every`, twice `every`, …
    /// apart, as far as a ten-thousandth.
    pub fn noise_correlation(&self, every: usize) -> Vec<f64> {
        let response = self.impulse_response();
        let product = |apart: usize| -> f64 {
            let later = response.iter().skip(apart);
            later.zip(&response).map(|(a, b)| a * b).sum()
        };
        let square = product(0);
        let far = (1..)
            .map(|k| k * every.max(1))
            .take_while(|k| *k < response.len());
        let mut all: Vec<f64> = far.map(|apart| product(apart) / square).collect();
        let told = all
            .iter()
            .rposition(|r| r.abs() > 1e-4)
            .map_or(0, |last| last + 1);
        all.truncate(told);
        all
    }

    /// Time from 10 to 90 % of a sudden step, s: no rise can be read faster.
    pub fn rise_time_s(&self) -> f64 {
        let (mut sum, mut from) = (0.0, None);
        for (i, h) in self.impulse_response().iter().enumerate() {
            let before = sum;
            sum += h;
            if from.is_none() && sum >= 0.1 {
                from = Some(i as f64 - 1.0 + (0.1 - before) / h);
            }
            if let (Some(from), true) = (from, sum >= 0.9) {
                return (i as f64 - 1.0 + (0.9 - before) / h - from) / self.rate_hz;
            }
        }
        f64::NAN
    }

    /// A stretch without gaps through both passes; `None` if it is too short for its ends.
    pub fn stretch(&self, values: &[f64]) -> Option<Vec<f64>> {
        let fill = |from: usize, block: &mut [f64]| {
            block.copy_from_slice(&values[from..from + block.len()]);
        };
        self.stretch_by(values.len(), fill, &InTurn)
    }

    /// The same of `count` values that `fill` gives, those from a number on.
    ///
    /// Of a long one each pass is made in halves, the second begun beside the first: see
    /// [`in_halves`].
    pub(crate) fn stretch_by(
        &self,
        count: usize,
        fill: impl Fn(usize, &mut [f64]) + Sync,
        hands: &impl Together,
    ) -> Option<Vec<f64>> {
        let (pad, c) = (self.pad(), self.coefficients);
        let end = count.checked_sub(1).filter(|end| *end >= pad)?;
        let (mut head, mut tail) = (vec![0.0; pad + 1], vec![0.0; pad + 1]);
        fill(0, &mut head);
        fill(end - pad, &mut tail);
        let (first, last) = (head[0], tail[pad]);
        let mut start = Coefficients::settled(2.0 * first - head[pad]);
        for v in head[1..].iter().rev() {
            c.next(&mut start, 2.0 * first - v);
        }
        let forward = |values: &mut [f64], from: usize, mut state: Kept| {
            for (at, block) in values.chunks_mut(BLOCK).enumerate() {
                fill(from + at * BLOCK, block);
                block.iter_mut().for_each(|v| *v = c.next(&mut state, *v));
            }
            state
        };
        let ahead = AHEAD * pad;
        let is_long = count >= LONG * ahead;
        let middle = if is_long { count / 2 } else { count };
        let mut through = vec![0.0; count];
        let (one, other) = through.split_at_mut(middle);
        let (one, other) = (Mutex::new(one), Mutex::new(other));
        let mut before = vec![0.0; if is_long { ahead } else { 0 }];
        fill(middle - before.len(), &mut before);
        let mut state = in_halves(
            hands,
            || forward(&mut open(&one), 0, start),
            c.settled_through(before.iter()),
            |state, _| forward(&mut open(&other), middle, state),
        );
        let mirrored = tail[..pad].iter().rev();
        let beyond: Vec<f64> = mirrored
            .map(|v| c.next(&mut state, 2.0 * last - v))
            .collect();
        let mut state = Coefficients::settled(beyond.last().copied().unwrap_or(last));
        for v in beyond.iter().rev() {
            c.next(&mut state, *v);
        }
        for (kept, v) in before.iter_mut().zip(open(&other).iter()) {
            *kept = *v;
        }
        in_halves(
            hands,
            || c.backward_from(&mut open(&other), state),
            c.settled_through(before.iter().rev()),
            |state, is_again| {
                let mut one = open(&one);
                if is_again {
                    forward(&mut one, 0, start);
                }
                c.backward_from(&mut one, state)
            },
        );
        Some(through)
    }

    /// Weights of a sum of filtered samples as weights of the samples before the filter:
    /// as many more at either end as [`Self::pad`] says.
    pub(crate) fn weights_through(&self, weights: &[f64]) -> Vec<f64> {
        let pad = self.pad();
        let mut through = vec![0.0; weights.len() + 2 * pad];
        through[pad..pad + weights.len()].copy_from_slice(weights);
        self.coefficients.forward(&mut through, 0.0);
        self.coefficients.backward(&mut through, 0.0);
        through
    }

    /// The same of several sums at once, each as long as the others: side by side, so that none
    /// waits for its own last answer.
    pub(crate) fn weights_through_each<const N: usize>(
        &self,
        weights: &[[f64; N]],
    ) -> Vec<[f64; N]> {
        let pad = self.pad();
        let mut through = vec![[0.0; N]; weights.len() + 2 * pad];
        through[pad..pad + weights.len()].copy_from_slice(weights);
        let pass = |states: &mut [[f64; 4]; N], values: &mut [f64; N]| {
            for (state, v) in states.iter_mut().zip(values) {
                *v = self.coefficients.next(state, *v);
            }
        };
        let mut states = [Coefficients::settled(0.0); N];
        through.iter_mut().for_each(|v| pass(&mut states, v));
        states = [Coefficients::settled(0.0); N];
        through.iter_mut().rev().for_each(|v| pass(&mut states, v));
        through
    }

    /// Every stretch of a series through both passes, each by itself.
    pub fn run(&self, series: &Series) -> Result<Filtered, CfcError> {
        let mut left_out = 0;
        let mut filtered = Vec::new();
        let runs = series.runs();
        for run in &runs {
            filtered.resize(run.start, f64::NAN);
            match self.stretch(&series.values()[run.clone()]) {
                Some(stretch) if filtered.is_empty() => filtered = stretch,
                Some(stretch) => filtered.extend(stretch),
                None => left_out += run.len(),
            }
        }
        let kept: usize = runs.iter().map(|r| r.len()).sum::<usize>() - left_out;
        if kept == 0 {
            return Err(CfcError::TooShort {
                class: self.class.0,
                needed: self.pad() + 1,
            });
        }
        filtered.resize(series.values().len(), f64::NAN);
        Ok(Filtered {
            series: series.with_values(filtered),
            left_out,
        })
    }
}

/// A pass in halves, of which the second is begun beside the first with `guessed`, what some
/// values before it make of the filter; what is kept at its end. One after the other where nothing
/// is guessed.
///
/// What a filter started from dies away, below the last digit too: after some hundred time
/// constants it keeps the same bits wherever it began. Where it does not, as behind a value that
/// is no number, the second half is done again with what the first came to; so the bits are
/// always those of one pass from end to end.
fn in_halves(
    hands: &impl Together,
    first: impl Fn() -> Kept + Sync,
    guessed: Option<Kept>,
    second: impl Fn(Kept, bool) -> Kept + Sync,
) -> Kept {
    let Some(guessed) = guessed else {
        return second(first(), false);
    };
    let (reached, end) = hands.both(first, || second(guessed, false));
    if reached.map(f64::to_bits) == guessed.map(f64::to_bits) {
        end
    } else {
        second(reached, true)
    }
}

fn open<'m, 'v>(half: &'m Mutex<&'v mut [f64]>) -> MutexGuard<'m, &'v mut [f64]> {
    half.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Coefficients {
    fn from_warped(wa: f64) -> Self {
        let below = 1.0 + SQRT_2 * wa + wa * wa;
        let a0 = wa * wa / below;
        Self {
            a0,
            a1: 2.0 * a0,
            a2: a0,
            b1: -2.0 * (wa * wa - 1.0) / below,
            b2: (-1.0 + SQRT_2 * wa - wa * wa) / below,
        }
    }

    /// One pass in place, settled on `before` at the start.
    fn forward(&self, values: &mut [f64], before: f64) {
        let mut state = Self::settled(before);
        for v in values {
            *v = self.next(&mut state, *v);
        }
    }

    /// The same from the end.
    fn backward(&self, values: &mut [f64], before: f64) {
        self.backward_from(values, Self::settled(before));
    }

    /// The same from what is kept of values before; what is kept after it.
    fn backward_from(&self, values: &mut [f64], mut state: Kept) -> Kept {
        for v in values.iter_mut().rev() {
            *v = self.next(&mut state, *v);
        }
        state
    }

    /// What is kept once settled on the first of these values and through the others.
    fn settled_through<'v>(&self, mut values: impl Iterator<Item = &'v f64>) -> Option<Kept> {
        let mut state = Self::settled(*values.next()?);
        for v in values {
            self.next(&mut state, *v);
        }
        Some(state)
    }

    /// One answer; kept are the last two values in and the last two out. What needs the
    /// answer just before comes last, so that little waits for it.
    #[inline(always)]
    fn next(&self, kept: &mut Kept, x: f64) -> f64 {
        let [x1, x2, y1, y2] = *kept;
        let y = (self.a0 * x + self.a1 * x1 + (self.a2 * x2 + self.b2 * y2)) + self.b1 * y1;
        *kept = [x, x1, y, y1];
        y
    }

    /// What is kept once everything in and out has been `value`.
    fn settled(value: f64) -> Kept {
        [value; 4]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Both passes from end to end, as the recursion is written down.
    fn plainly(filter: &Filter, values: &[f64]) -> Vec<f64> {
        let (pad, c) = (filter.pad(), filter.coefficients());
        let end = values.len() - 1;
        let (first, last) = (values[0], values[end]);
        let head = (1..=pad).rev().map(|k| 2.0 * first - values[k]);
        let tail = (1..=pad).map(|k| 2.0 * last - values[end - k]);
        let longer = head.chain(values.iter().copied()).chain(tail);
        let mut longer: Vec<f64> = longer.collect();
        c.forward(&mut longer, 2.0 * first - values[pad]);
        let settled = longer[longer.len() - 1];
        c.backward(&mut longer, settled);
        longer[pad..pad + values.len()].to_vec()
    }

    /// To the bit, whether the second half meets the first or has to be done again.
    #[test]
    fn halves_are_as_one() {
        let filter = Filter::new(Cfc(60.0), 10_000.0).unwrap();
        let count = LONG * AHEAD * filter.pad() + 1001;
        let noise = |i: usize| ((i * 7919) % 1000) as f64 / 333.0;
        let pull = |i: usize| 1e5 * libm::sin(i as f64 / 1000.0);
        let odd = |i: usize| if i == 40 { f64::NAN } else { noise(i) };
        let late = |i: usize| if i == count - 40 { f64::NAN } else { noise(i) };
        // So large that what the other half forgets of it still counts.
        let (middle, ahead) = (count / 2, AHEAD * filter.pad());
        let large = |i: usize| {
            if i + ahead + 9 == middle {
                1e300
            } else {
                noise(i)
            }
        };
        let large_late = |i: usize| {
            if i == middle + ahead + 9 {
                1e300
            } else {
                noise(i)
            }
        };
        let signals: [&dyn Fn(usize) -> f64; 8] = [
            &noise,
            &pull,
            &odd,
            &late,
            &large,
            &large_late,
            &|_| 0.1,
            &|i| i as f64 * 1e-3,
        ];
        for (which, signal) in signals.iter().enumerate() {
            let values: Vec<f64> = (0..count).map(signal).collect();
            let bits = |values: &[f64]| values.iter().map(|v| v.to_bits()).collect::<Vec<_>>();
            let found = filter.stretch(&values).unwrap();
            assert!(
                bits(&found) == bits(&plainly(&filter, &values)),
                "signal {which}"
            );
        }
    }

    /// Where there is noise the second half meets the first, so that it saves time.
    #[test]
    fn a_filter_forgets_to_the_last_bit() {
        for class in [60.0, 180.0, 1000.0] {
            let filter = Filter::new(Cfc(class), 10_000.0).unwrap();
            let (c, ahead) = (filter.coefficients(), AHEAD * filter.pad());
            for from in 0..20 {
                let noise = |i: usize| 5.0 + ((i * 7919 + from * 31) % 1000) as f64 / 333.0;
                let mut values: Vec<f64> = (0..3 * ahead).map(noise).collect();
                let guessed = c.settled_through(values[2 * ahead..].iter());
                let mut reached = Coefficients::settled(-1e4);
                values
                    .iter_mut()
                    .for_each(|v| *v = c.next(&mut reached, *v));
                assert_eq!(guessed, Some(reached), "class {class}, from {from}");
            }
        }
    }
}
