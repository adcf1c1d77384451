//! A tether between the vehicle the line parted from and the line.
//!
//! A linear, tension-only spring of stiffness `k = MBS/(e_b l)` from a point of
//! the line to the recovery point of that vehicle, which is taken to stand still
//! meanwhile. It parts for good when its load reaches its breaking strength; the
//! energy then in it is lost. Half its mass flies with the line.

use super::bodies::{Bodies, dot, minus, plus, square, times};

/// A tether while it acts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TetherLine {
    pub segment: usize,
    pub share: f64,
    pub anchor: [f64; 3],
    pub length_m: f64,
    pub stiffness_n_m: f64,
    /// Strength; infinite for a run that asks what it would have to absorb.
    pub mbs_n: f64,
    pub parted_at_s: Option<f64>,
    pub parted_j: f64,
    pub peak_n: f64,
    pub peak_j: f64,
    /// Impulse on the line so far, N·s.
    pub impulse: [f64; 3],
    force: [f64; 3],
}

impl TetherLine {
    /// A tether not yet loaded.
    pub fn new(
        segment: usize,
        share: f64,
        anchor: [f64; 3],
        length_m: f64,
        stiffness_n_m: f64,
        mbs_n: f64,
    ) -> Self {
        Self {
            segment,
            share,
            anchor,
            length_m,
            stiffness_n_m,
            mbs_n,
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
            0.6 * (node_kg / self.stiffness_n_m).sqrt()
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
        let mut load = self.stiffness_n_m * stretch;
        self.peak_n = self.peak_n.max(load.min(self.mbs_n));
        if load >= self.mbs_n {
            self.parted_at_s = Some(time_s);
            let longest = self.mbs_n / self.stiffness_n_m;
            self.parted_j = 0.5 * self.mbs_n * longest;
            // It parted within this step: it pulls only from where the last step's
            // pull ended, half a step back, to the stretch at which it parts.
            let swept = step_s * dot(from, self.velocity(b)) / distance;
            let begun = stretch - 0.5 * swept;
            let mean = 0.5 * (self.mbs_n + self.stiffness_n_m * begun);
            load = mean * (longest - begun) / swept.max(1e-9);
        }
        self.peak_j = self
            .peak_j
            .max(0.5 * self.stiffness_n_m * stretch * stretch)
            .min(self.most_j());
        self.force = times(-load / distance, from);
        let (i, w) = (self.segment, self.share);
        b.push(i, times(1.0 - w, self.force));
        b.push(i + 1, times(w, self.force));
    }

    /// Energy it holds when it parts.
    fn most_j(&self) -> f64 {
        0.5 * self.mbs_n * self.mbs_n / self.stiffness_n_m
    }

    fn velocity(&self, b: &Bodies) -> [f64; 3] {
        let held = b.velocity(self.segment);
        plus(held, self.share, minus(b.velocity(self.segment + 1), held))
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
        let stretch = (square(self.reach_from_anchor(b, back_s)).sqrt() - self.length_m).max(0.0);
        0.5 * self.stiffness_n_m * stretch * stretch
    }

    fn reach_from_anchor(&self, b: &Bodies, back_s: f64) -> [f64; 3] {
        let at = |i: usize| plus(b.place(i), -back_s, b.velocity(i));
        let held = at(self.segment);
        let point = plus(held, self.share, minus(at(self.segment + 1), held));
        minus(point, self.anchor)
    }
}
