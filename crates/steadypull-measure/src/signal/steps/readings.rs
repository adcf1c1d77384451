//! Values on their way through the steps.
//!
//! What is done to each value by itself is only noted, and done where the values are next
//! wanted: a long log then goes through memory once for all of it.

use std::borrow::Cow;

use crate::signal::calibration::{Calibration, CalibrationError, Law};
use crate::signal::cfc::Filter;
use crate::signal::lanes;
use crate::signal::survey::Survey;
use crate::together::Together;

/// Values as they came, and what is still to be done to each.
pub(super) struct Readings<'a> {
    values: Cow<'a, [f64]>,
    then: Vec<Change>,
    /// Least and greatest of what will have been done, where that is known.
    ends: Option<(f64, f64)>,
    /// Whether none of them is missing, as far as is known.
    whole: bool,
}

/// What is done to a value.
enum Change {
    Negated,
    Less(f64),
    Load(Law),
}

impl<'a> Readings<'a> {
    pub fn new(values: &'a [f64], survey: &Survey) -> Self {
        Self {
            values: Cow::Borrowed(values),
            then: Vec::new(),
            ends: Some(survey.ends),
            whole: survey.whole,
        }
    }

    pub fn len(&self) -> usize {
        self.values.len()
    }

    /// The values, all done.
    pub fn all(&mut self) -> &[f64] {
        if !self.then.is_empty() {
            let mut done = Vec::with_capacity(self.values.len());
            self.in_blocks(|block| done.extend_from_slice(block));
            self.values = Cow::Owned(done);
            self.then.clear();
        }
        &self.values
    }

    /// The values, all done, to be changed in any way.
    pub fn list(&mut self) -> &mut Vec<f64> {
        self.all();
        (self.ends, self.whole) = (None, false);
        self.values.to_mut()
    }

    /// Other values in their place.
    pub fn replace(&mut self, values: Vec<f64>) {
        *self = Self {
            values: Cow::Owned(values),
            then: Vec::new(),
            ends: None,
            whole: false,
        };
    }

    /// The values, all done, which are taken away.
    pub fn take(&mut self) -> Vec<f64> {
        core::mem::take(self.list())
    }

    pub fn negate(&mut self) {
        self.ends = self.ends.map(|(low, high)| (-high, -low));
        self.then.push(Change::Negated);
    }

    pub fn take_off(&mut self, level: f64) {
        self.ends = self.ends.map(|(low, high)| (low - level, high - level));
        self.then.push(Change::Less(level));
    }

    /// Makes loads of readings; the greatest load, at least nought, N.
    pub fn calibrate(&mut self, calibration: &Calibration) -> Result<f64, CalibrationError> {
        let (low, high) = self.ends();
        let law = calibration.law();
        calibration.check_from(low, high)?;
        self.then.push(Change::Load(law.clone()));
        let (one, other) = (law.load_n(low), law.load_n(high));
        // A gain keeps the order of values, rounding included; a curve might not.
        let is_gain = matches!(law, Law::Gain(_)) && one.is_finite() && other.is_finite();
        self.ends = is_gain.then(|| (one.min(other), one.max(other)));
        Ok(match self.ends {
            Some((_, high)) => high.max(0.0),
            None => lanes::greatest(self.all(), 0.0),
        })
    }

    /// Least and greatest value that is there; the wrong way round where none is.
    fn ends(&mut self) -> (f64, f64) {
        let is_known = |ends: &(f64, f64)| ends.0.is_finite() && ends.1.is_finite();
        if let Some(known) = self.ends.filter(is_known) {
            return known;
        }
        let there = self.all().iter().copied().filter(|v| v.is_finite());
        there.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(v), h.max(v))
        })
    }

    /// All of them through a filter in one stretch; `None` where that cannot be, or one
    /// turns out to be missing.
    pub fn through(&self, filter: &Filter, hands: &impl Together) -> Option<Vec<f64>> {
        if !self.whole {
            return None;
        }
        let through = filter.stretch_by(self.len(), |from, block| self.fill(from, block), hands)?;
        // What is no number never leaves the filter: it would have come back to the start.
        through[0].is_finite().then_some(through)
    }

    fn in_blocks(&self, mut take: impl FnMut(&[f64])) {
        let mut block = [0.0; 1024];
        for from in (0..self.len()).step_by(block.len()) {
            let count = block.len().min(self.len() - from);
            self.fill(from, &mut block[..count]);
            take(&block[..count]);
        }
    }

    /// Those from `from` on, done.
    fn fill(&self, from: usize, block: &mut [f64]) {
        block.copy_from_slice(&self.values[from..from + block.len()]);
        for change in &self.then {
            match change {
                Change::Negated => block.iter_mut().for_each(|v| *v = -*v),
                Change::Less(level) => block.iter_mut().for_each(|v| *v -= level),
                Change::Load(law) => law.apply(block),
            }
        }
    }
}
