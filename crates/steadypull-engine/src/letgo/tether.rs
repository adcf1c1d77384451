//! A tether between the vehicle the line parted from and the line.
//!
//! A tension-only spring (its curve in `tether_curve`) from a point of the line to
//! the recovery point of that vehicle, or to an anchor of its own, which is taken to
//! stand still meanwhile. It parts for good when its load reaches its breaking
//! strength; the energy then in it is lost. Half its mass flies with the line.

use super::bodies::{Bodies, dot, minus, plus, square, times};
use super::tether_curve::TetherCurve;

/// A tether while it acts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TetherLine {
    /// The run it belongs to.
    pub lane: usize,
    pub segment: usize,
    pub share: f64,
    pub anchor: [f64; 3],
    pub length_m: f64,
    curve: TetherCurve,
    /// Whether it can part; not in a run that asks what it would have to absorb.
    can_part: bool,
    /// Greatest stretch so far, m.
    most_m: f64,
    pub parted_at_s: Option<f64>,
    pub parted_j: f64,
    pub peak_n: f64,
    pub peak_j: f64,
    /// Impulse on the line so far, N·s.
    pub impulse: [f64; 3],
    force: [f64; 3],
}

impl TetherLine {
    /// A tether not yet loaded, at a segment and share of the line.
    pub fn new(
        lane: usize,
        (segment, share): (usize, f64),
        anchor: [f64; 3],
        length_m: f64,
        curve: TetherCurve,
        can_part: bool,
    ) -> Self {
        Self {
            lane,
            segment,
            share,
            anchor,
            length_m,
            curve,
            can_part,
            most_m: 0.0,
            parted_at_s: None,
            parted_j: 0.0,
            peak_n: 0.0,
            peak_j: 0.0,
            impulse: [0.0; 3],
            force: [0.0; 3],
        }
    }

    /// Whether it has not parted.
    pub fn holds(&self) -> bool {
        self.parted_at_s.is_none()
    }

    /// Longest stable step with `node_kg` at its end.
    pub fn longest_step_s(&self, node_kg: f64) -> f64 {
        if self.holds() {
            0.3 * (node_kg / self.curve.steepest_n_m(self.most_m)).sqrt()
        } else {
            f64::INFINITY
        }
    }

    /// Pulls the line; `step_s` is the step that led here.
    pub fn pull(&mut self, b: &mut Bodies, time_s: f64, step_s: f64) {
        self.force = [0.0; 3];
        if !self.holds() {
            return;
        }
        let from = self.reach_from_anchor(b, 0.0);
        let distance = square(from).sqrt();
        let stretch = distance - self.length_m;
        if stretch <= 0.0 {
            return;
        }
        let curve = &self.curve;
        let longest = curve.parts_at_m;
        let mut load = curve.pull_n(stretch, self.most_m);
        self.peak_n = self.peak_n.max(load);
        if self.can_part && stretch >= longest {
            self.peak_n = curve.mbs_n;
            self.parted_at_s = Some(time_s);
            // It parted within this step: it pulls only from where the last step's
            // pull ended, half a step back, to the stretch at which it parts.
            let swept = step_s * dot(from, self.velocity(b)) / distance;
            let begun = stretch - 0.5 * swept;
            let given = curve.work_j(longest) - curve.taken_j(begun, self.most_m);
            load = given / swept.max(1e-9);
            self.parted_j = curve.work_j(longest);
            self.peak_j = self.parted_j;
        } else {
            self.most_m = self.most_m.max(stretch);
            self.peak_j = curve.work_j(self.most_m);
        }
        self.force = times(-load / distance, from);
        let (i, w, l) = (self.segment, self.share, self.lane);
        b.push(i, l, times(1.0 - w, self.force));
        b.push(i + 1, l, times(w, self.force));
    }

    fn velocity(&self, b: &Bodies) -> [f64; 3] {
        let (i, l) = (self.segment, self.lane);
        let held = b.velocity(i, l);
        plus(held, self.share, minus(b.velocity(i + 1, l), held))
    }

    /// Counts the impulse of this step.
    pub fn count(&mut self, dt_s: f64) {
        self.impulse = plus(self.impulse, dt_s, self.force);
    }

    /// Energy stored, at positions moved back by `back_s`.
    pub fn energy_j(&self, b: &Bodies, back_s: f64) -> f64 {
        if !self.holds() {
            return 0.0;
        }
        let stretch = square(self.reach_from_anchor(b, back_s)).sqrt() - self.length_m;
        self.curve.taken_j(stretch, self.most_m) - self.hysteresis_j()
    }

    /// Energy lost: turned to heat in it, or gone with it when it parted, J.
    pub fn lost_j(&self) -> f64 {
        self.parted_j + self.hysteresis_j()
    }

    fn hysteresis_j(&self) -> f64 {
        if self.holds() {
            self.curve.lost_j(self.most_m)
        } else {
            0.0
        }
    }

    fn reach_from_anchor(&self, b: &Bodies, back_s: f64) -> [f64; 3] {
        let l = self.lane;
        let at = |i: usize| plus(b.place(i, l), -back_s, b.velocity(i, l));
        let held = at(self.segment);
        let point = plus(held, self.share, minus(at(self.segment + 1), held));
        minus(point, self.anchor)
    }
}
