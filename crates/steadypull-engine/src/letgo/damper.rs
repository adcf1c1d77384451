//! A damper on the line: a point mass held by a grip that slips.
//!
//! What it answers: how a damper slows the line, how far its grip slips, how
//! fast it flies itself. The grip is a Jenkins element (a spring in series with
//! dry friction): a spring `k` joins the damper to a point of the line at rest
//! arc `s`; when the spring's pull along the line passes the slip force `S`, the
//! point slides along the line until it equals `S` again. The energy that damper and line
//! give to the grip and its spring no longer holds is dissipated (in steady slip `S`
//! times the way slid), as is the work of a small damping of the spring.
//! Across the line the damper hangs on it and cannot slip off.
//!
//! Flying hardware that comes within the contact radius, or the end of a line that
//! has run right through the grip, picks the damper up:
//! both go on together (inelastic; loss share `m_d/(M + m_d)` when the damper is
//! at rest, CV-DAMP-01). A damper picked up is taken to let go of the line, so
//! that it never shortens the leash that stops the hardware.

use super::air::drag;
use super::bodies::{Bodies, dot, minus, plus, square, times};
use super::lanes::BLOCK;
use super::segments::Built;
use crate::units::{Mass, Speed};

/// Stretch of the grip's spring at which it slips, m: small against a segment.
const GRIP_GIVE_M: f64 = 5e-3;
/// Share of critical damping in the grip's spring.
const GRIP_DAMPING: f64 = 0.1;

/// Nodes a slide may run over in one step: where the line lies bunched, many.
const SLIDE_PASSES: usize = 12;

/// A damper and its grip.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Grip {
    /// The run it belongs to, and the damper among its bodies.
    pub lane: usize,
    pub body: usize,
    /// Half air density times drag area, kg/m.
    pub air_kg_m: f64,
    pub segment: usize,
    /// Share of the segment from its held side to the attachment.
    pub share: f64,
    pub stiffness_n_m: f64,
    pub damping_n_s_m: f64,
    pub slips_at_n: f64,
    pub contact_radius_m: f64,
    pub slipped_m: f64,
    pub picked_up_at_s: Option<f64>,
    pub max_speed_m_s: f64,
    pub dissipated_j: f64,
    pub pick_up_j: f64,
    /// Mass times place relative to the hardware that picked it up, kg·m.
    pub carried_kg_m: [f64; 3],
    /// Pulls of damping, spring and air on the damper this step, for their work, and
    /// its velocity against the line before the kick.
    damping_n: [f64; 3],
    spring_n: [f64; 3],
    air_n: [f64; 3],
    slip_m_s: [f64; 3],
    /// Energy given to the spring and not yet accounted for, J.
    held_j: f64,
    /// Whether the line has run through to its end.
    at_end: bool,
}

impl Grip {
    /// A grip of damper (`lane`, `body`) on a segment at a share of it;
    /// `stiffest_n_m` bounds its spring.
    pub fn new(
        (lane, body): (usize, usize),
        air_kg_m: f64,
        (segment, share): (usize, f64),
        slips_at_n: f64,
        contact_radius_m: f64,
        stiffest_n_m: f64,
    ) -> Self {
        let stiffness_n_m = (slips_at_n / GRIP_GIVE_M).min(stiffest_n_m);
        Self {
            lane,
            body,
            air_kg_m,
            segment,
            share,
            stiffness_n_m,
            damping_n_s_m: 0.0,
            slips_at_n,
            contact_radius_m,
            slipped_m: 0.0,
            picked_up_at_s: None,
            max_speed_m_s: 0.0,
            dissipated_j: 0.0,
            pick_up_j: 0.0,
            carried_kg_m: [0.0; 3],
            damping_n: [0.0; 3],
            spring_n: [0.0; 3],
            air_n: [0.0; 3],
            slip_m_s: [0.0; 3],
            held_j: 0.0,
            at_end: false,
        }
    }

    /// Whether it still holds the line.
    pub fn holds(&self) -> bool {
        self.picked_up_at_s.is_none()
    }

    /// Longest stable step.
    pub fn longest_step_s(&mut self, damper_kg: f64, node_kg: f64) -> f64 {
        let inverse = 1.0 / damper_kg + 1.0 / node_kg;
        let frequency = (self.stiffness_n_m * inverse).sqrt();
        if frequency > 0.0 {
            self.damping_n_s_m = 2.0 * GRIP_DAMPING * frequency / inverse;
            0.3 / frequency
        } else {
            f64::INFINITY
        }
    }

    /// Slides if it must, then pulls damper and line, whose segments `built` end at node
    /// `tip`.
    pub fn pull(&mut self, b: &mut Bodies, built: &[Built], tip: usize, wind: [f64; 3]) {
        let slips = self.slide(b, built, tip);
        let (i, w, l) = (self.segment, self.share, self.lane);
        let stretch = self.stretch(b);
        self.slip_m_s = self.slip_velocity(b);
        let mut rate = self.slip_m_s;
        if slips {
            // The damping is in series with the friction: none along the line.
            let along = minus(b.place(i + 1, l), b.place(i, l));
            let share = dot(rate, along) / square(along).max(1e-18);
            rate = plus(rate, -share, along);
        }
        self.damping_n = times(-self.damping_n_s_m, rate);
        self.spring_n = times(-self.stiffness_n_m, stretch);
        // What the bodies gave the spring and it holds no more has become heat.
        let stored = 0.5 * self.stiffness_n_m * square(stretch);
        self.dissipated_j += self.held_j - stored;
        self.held_j = stored;
        let force = plus(self.damping_n, 1.0, self.spring_n);
        self.air_n = drag(self.air_kg_m, b.velocity(self.body, l), wind);
        b.push(self.body, l, plus(force, 1.0, self.air_n));
        b.push(i, l, times(-(1.0 - w), force));
        b.push(i + 1, l, times(-w, force));
    }

    /// Counts the work of spring, damping and air over `dt_s`, after the kick.
    pub fn count(&mut self, b: &mut Bodies, dt_s: f64) {
        self.count_work(self.slip_m_s, self.slip_velocity(b), dt_s);
        let e = b.at(self.body, self.lane);
        let twice_mean = plus(b.was.get(e), 1.0, b.velocity.get(e));
        b.air_j.add(e, -0.5 * dt_s * dot(self.air_n, twice_mean));
        b.outer.add(e, times(dt_s, self.air_n));
    }

    /// Work of spring and damping over `dt_s`, from the velocities before and after.
    fn count_work(&mut self, before: [f64; 3], after: [f64; 3], dt_s: f64) {
        let mean = times(0.5, plus(before, 1.0, after));
        self.dissipated_j -= dot(self.damping_n, mean) * dt_s;
        // Half of it up to the positions of this step, half after them.
        let half = -0.5 * dot(self.spring_n, mean) * dt_s;
        self.dissipated_j += half;
        self.held_j += half;
    }

    /// Velocity of the damper relative to its point of the line.
    fn slip_velocity(&self, b: &Bodies) -> [f64; 3] {
        minus(b.velocity(self.body, self.lane), self.line_velocity(b))
    }

    /// Energy in its spring, J: what it stored at the last positions looked at and half of
    /// the work of its pull since, as far as the velocities are.
    pub fn energy_j(&self) -> f64 {
        if self.holds() { self.held_j } else { 0.0 }
    }

    fn stretch(&self, b: &Bodies) -> [f64; 3] {
        let (i, w, l) = (self.segment, self.share, self.lane);
        let held = b.place(i, l);
        let point = plus(held, w, minus(b.place(i + 1, l), held));
        minus(b.place(self.body, l), point)
    }

    fn line_velocity(&self, b: &Bodies) -> [f64; 3] {
        let (i, w, l) = (self.segment, self.share, self.lane);
        let held = b.velocity(i, l);
        plus(held, w, minus(b.velocity(i + 1, l), held))
    }

    /// Moves the attachment until friction can hold; true if it moved.
    fn slide(&mut self, b: &Bodies, built: &[Built], tip: usize) -> bool {
        let (mut slips, l) = (false, self.lane);
        let give = self.slips_at_n / self.stiffness_n_m.max(1e-9);
        // A slide may run over nodes.
        for _ in 0..SLIDE_PASSES {
            let stretch = self.stretch(b);
            let along = minus(b.place(self.segment + 1, l), b.place(self.segment, l));
            let length = square(along).sqrt();
            if length <= 1e-9 {
                return slips;
            }
            let pull_m = dot(stretch, along) / length;
            let excess = pull_m.abs() - give;
            if excess <= 0.0 {
                return slips;
            }
            let wanted = self.share + excess.copysign(pull_m) / length;
            let share = wanted.clamp(0.0, 1.0);
            self.slipped_m += (share - self.share).abs() * rest_m(built, b.at(self.segment, l));
            self.share = share;
            slips = true;
            self.at_end = wanted >= 1.0 && self.segment + 1 == tip;
            if wanted > 1.0 && self.segment + 1 < tip {
                self.segment += 1;
                self.share = 0.0;
            } else if wanted < 0.0 && self.segment > 0 {
                self.segment -= 1;
                self.share = 1.0;
            } else {
                return slips;
            }
        }
        slips
    }

    /// Lets the free end (body `tip`) pick the damper up if it has run into it.
    pub fn meet(&mut self, b: &mut Bodies, tip: usize, time_s: f64) {
        if !self.holds() {
            return;
        }
        let l = self.lane;
        let apart = minus(b.place(self.body, l), b.place(tip, l));
        let touching = square(apart) <= self.contact_radius_m * self.contact_radius_m;
        if !touching && !self.at_end {
            return;
        }
        self.dissipated_j += self.held_j;
        self.held_j = 0.0;
        self.carried_kg_m = times(b.mass(self.body, l), apart);
        self.pick_up_j += stick(b, tip, self.body, l);
        self.picked_up_at_s = Some(time_s);
    }
}

/// Rest length of segment `e` of the blocks, m.
fn rest_m(built: &[Built], e: usize) -> f64 {
    built[e / BLOCK].rest_m[e % BLOCK]
}

/// Speed of two bodies along one axis after they stick together: momentum is
/// kept (CV-DAMP-01).
pub fn speed_after_pick_up(first: (Mass, Speed), second: (Mass, Speed)) -> Speed {
    let both = first.0 + second.0;
    first.1 * (first.0 / both) + second.1 * (second.0 / both)
}

/// Makes `tip` and `other` one body at `tip`; gives the kinetic energy lost.
///
/// `other` stays in the lists without mass, and is no longer counted.
fn stick(b: &mut Bodies, tip: usize, other: usize, l: usize) -> f64 {
    let before = b.kinetic_j(tip, l) + b.kinetic_j(other, l);
    let (m, d) = (b.mass(tip, l), b.mass(other, l));
    let (v, w) = (b.velocity(tip, l), b.velocity(other, l));
    let of = |kg: f64, speed: f64| (Mass::new(kg), Speed::new(speed));
    let after = [0, 1, 2].map(|k| speed_after_pick_up(of(m, v[k]), of(d, w[k])).get());
    b.velocity.set(b.at(tip, l), after);
    b.set_mass(tip, l, m + d);
    let e = b.at(other, l);
    b.mass.set(e, 0.0);
    b.inv_mass.set(e, 0.0);
    before - b.kinetic_j(tip, l)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_pick_up() {
        let mut b = Bodies::new(1, 1, 0);
        b.set_mass(0, 0, 1.5);
        b.set_mass(1, 0, 5.0);
        b.velocity.set(0, [80.0, 0.0, 0.0]);
        let lost = stick(&mut b, 0, 1, 0);
        assert!(
            (b.velocity(0, 0)[0] - 18.461_538).abs() < 1e-6,
            "CV-DAMP-01"
        );
        assert!((4800.0 - lost - 1_107.692).abs() < 1e-3, "CV-DAMP-01");
    }
}
