//! The greatest value of a smooth quantity that is seen at steps only.
//!
//! The crest is taken from the parabola through three values in a row, where its top
//! lies between them: its error falls with the third power of the step, that of the
//! greatest value itself with the second.

/// The greatest value so far, not below nothing, and when it was.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Crest {
    /// Greatest value.
    pub(super) greatest: f64,
    /// When.
    pub(super) when: f64,
    before: Option<(f64, f64)>,
    last: Option<(f64, f64)>,
}

impl Crest {
    /// Begins a new smooth stretch with its first value.
    pub(super) fn start(&mut self, time: f64, value: f64) {
        self.before = None;
        self.last = Some((time, value));
        self.take(time, value);
    }

    /// The next value of the stretch.
    pub(super) fn watch(&mut self, time: f64, value: f64) {
        let last = self.last.replace((time, value));
        let before = core::mem::replace(&mut self.before, last);
        self.take(time, value);
        let (Some(a), Some(b)) = (before, last) else {
            return;
        };
        let c = (time, value);
        // Far below the greatest so far there is no need to look.
        if a.1.max(b.1).max(value) < 0.9 * self.greatest {
            return;
        }
        if let Some((when, height)) = top(a, b, c) {
            self.take(when, height);
        }
    }

    /// A value that is not to be looked between.
    pub(super) fn take(&mut self, time: f64, value: f64) {
        if value > self.greatest {
            self.greatest = value;
            self.when = time;
        }
    }
}

/// Top of the parabola through three points, where it lies between them.
fn top(a: (f64, f64), b: (f64, f64), c: (f64, f64)) -> Option<(f64, f64)> {
    let rise = (b.1 - a.1) / (b.0 - a.0);
    let fall = (c.1 - b.1) / (c.0 - b.0);
    let bend = (fall - rise) / (c.0 - a.0);
    let slope = rise + bend * (b.0 - a.0);
    let when = b.0 - 0.5 * slope / bend;
    (bend < 0.0 && when > a.0 && when < c.0).then(|| (when, b.1 - 0.25 * slope * slope / bend))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_parabola_and_sine() {
        let mut crest = Crest::default();
        for t in [0.0, 0.3, 0.7, 1.2, 1.5] {
            crest.watch(t, 5.0 - (t - 0.8) * (t - 0.8));
        }
        assert!((crest.greatest - 5.0).abs() < 1e-14 && (crest.when - 0.8).abs() < 1e-14);
        let mut crest = Crest::default();
        for i in 0..100 {
            let t = 0.033 * f64::from(i);
            crest.watch(t, libm::sin(t));
        }
        assert!((crest.greatest - 1.0).abs() < 1e-7);
    }

    #[test]
    fn a_new_stretch_does_not_look_back() {
        let mut crest = Crest::default();
        crest.watch(0.0, 1.0);
        crest.watch(1.0, 2.0);
        crest.start(1.0, 9.0);
        crest.watch(2.0, 3.0);
        assert_eq!((crest.greatest, crest.when), (9.0, 1.0));
    }
}
