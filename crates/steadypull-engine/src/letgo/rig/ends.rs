//! A free end of line that recoils along its part of line.
//!
//! The end flies from the break towards the next stop. Where the line goes round
//! that stop and on, all the line behind it gives its energy too: it is laid out
//! straight beyond the stop, at the same tension, and the sheave is taken without
//! friction or mass. The end itself gets no further past that stop than its own
//! part of line is long; hardware that comes off the line flies on.
//!
//! The recoil is the chain of lumped masses of [`crate::letgo::run`], whose plane
//! is turned into the frame of the plan. Where there are more different ends than
//! are run, and where a run cannot be finished, the greatest speed is bounded:
//! `min(sqrt(2 E/M), v_end)`, the free end of a line without mass or hardware.

use super::pieces::{Piece, Stretchy, energy_j};
use super::scene::{Scene, level};
use super::tails::Inside;
use crate::letgo::assemble::free_end_speed;
use crate::letgo::bodies::{dot, minus, plus};
use crate::letgo::{LinePart, Outcome};
use crate::units::Mass;

/// Every how many samples of a path one is kept for the zone.
const PATH_STRIDE: usize = 8;
/// Least tension that is worth a recoil, N.
pub(super) const LEAST_TENSION_N: f64 = 1.0;

/// A free end.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FreeEndOf {
    pub run: usize,
    pub segment: usize,
    /// Whether it flies to the run's last stop, as against its first.
    pub to_last: bool,
    /// Lines from the far end to the free end, and the join after each.
    pub lines: Vec<(Stretchy, Mass)>,
    /// How many of them, at the free end, lie on its own part of line.
    pub own: usize,
    /// Length of line on its own part of line, m.
    pub own_m: f64,
    /// Hardware on the end.
    pub hardware: Mass,
    /// Tension, N.
    pub tension_n: f64,
    /// Where it breaks, m.
    pub from_m: [f64; 3],
    /// Where inside its line, of a line that parts there.
    pub inside: Option<Inside>,
}

impl FreeEndOf {
    /// The end left on the side of stop `segment` (or of the next, `to_last`) when
    /// piece `at` of the part of line lets go at `share` of its load. A line that
    /// lets go parts at its far end as seen from there. None if no line is left.
    pub fn new(
        scene: &Scene,
        (run, segment, at): (usize, usize, usize),
        to_last: bool,
        share: f64,
        extra: Mass,
    ) -> Option<Self> {
        let tension_n = scene.tension_n(run, segment) * share;
        if tension_n < LEAST_TENSION_N {
            return None;
        }
        // Seen from the held stop outwards.
        let outwards = |segment: usize| -> Vec<&Piece> {
            let all = scene.pieces[run][segment].iter();
            if to_last {
                all.rev().collect()
            } else {
                all.collect()
            }
        };
        let pieces = outwards(segment);
        let last = if to_last {
            pieces.len().checked_sub(at + 1)?
        } else {
            at
        };
        let mut own_lines = Vec::new();
        add_pieces(&mut own_lines, pieces.get(..=last)?);
        let own_m: f64 = own_lines.iter().map(|(s, _)| s.rest_m).sum();
        // What comes after the last line is on the end.
        let on_end = own_lines.last_mut().map(|l| core::mem::take(&mut l.1))?;
        let own = own_lines.len();
        let mut lines = beyond(scene, (run, segment), to_last, share, &outwards);
        lines.append(&mut own_lines);
        let length_m = scene.solved.runs[run].length_m[segment];
        let stops = &scene.graph.runs[run].stops;
        let held = scene.place(stops[if to_last { segment + 1 } else { segment }].node);
        let way = scene.way(run, segment);
        let out = if to_last { -1.0 } else { 1.0 };
        Some(Self {
            run,
            segment,
            to_last,
            lines,
            own,
            own_m,
            hardware: on_end + extra,
            tension_n,
            from_m: plus(held, out * own_m.min(length_m), way),
            inside: None,
        })
    }

    /// Node towards which it flies.
    pub fn towards(&self, scene: &Scene) -> usize {
        let stops = &scene.graph.runs[self.run].stops;
        stops[if self.to_last {
            self.segment + 1
        } else {
            self.segment
        }]
        .node
    }

    /// Whether its line is made fast where it flies to.
    pub fn ends_there(&self, scene: &Scene) -> bool {
        self.far(scene) == self.towards(scene)
    }

    /// Level direction in which it flies.
    pub fn way(&self, scene: &Scene) -> [f64; 2] {
        level(minus(scene.place(self.towards(scene)), self.from_m))
    }

    /// How steeply its part of line climbs to that stop, rise over run.
    pub fn climb(&self, scene: &Scene) -> f64 {
        let to = minus(scene.place(self.towards(scene)), self.from_m);
        let flat = libm::hypot(to[0], to[1]);
        if flat > 1e-9 { to[2] / flat } else { 0.0 }
    }

    /// Its lines ready to recoil from `tension_n`.
    pub fn line_parts(&self, tension_n: f64, back: f64) -> Vec<LinePart> {
        let weakest = self
            .lines
            .iter()
            .map(|(s, _)| s.law.breaking_n())
            .fold(f64::INFINITY, f64::min);
        self.lines
            .iter()
            .map(|(s, joint)| LinePart {
                joint_mass: *joint,
                ..s.line_part(tension_n.min(weakest), back)
            })
            .collect()
    }

    /// Whether the two fly alike.
    pub fn twin(&self, other: &Self) -> bool {
        self.run == other.run
            && self.segment == other.segment
            && self.to_last == other.to_last
            && self.lines.len() == other.lines.len()
            && self.inside.is_some() == other.inside.is_some()
            && (self.own_m - other.own_m).abs() < 1e-9
            && (self.hardware.get() - other.hardware.get()).abs() < 1e-9
            && (self.tension_n / other.tension_n - 1.0).abs() < 1e-9
    }

    /// Greatest speed it can reach, m/s, and energy of its hardware (of the last
    /// half metre of line where there is none), J.
    pub fn bound(&self) -> (f64, f64) {
        let parts = self.line_parts(self.tension_n, 1.0);
        let stored: f64 = parts.iter().map(energy_j).sum();
        let fastest = parts.iter().map(free_end_speed).fold(0.0, f64::max);
        let tail_kg = parts.last().map_or(0.0, |p| {
            0.5_f64.min(p.length.get()) * p.mass_per_length.get()
        });
        let kg = self.hardware.get().max(tail_kg);
        let speed = fastest.min((2.0 * stored / kg).sqrt());
        (speed, 0.5 * kg * speed * speed)
    }

    /// The node at which its line ends.
    pub fn far(&self, scene: &Scene) -> usize {
        let stops = &scene.graph.runs[self.run].stops;
        if self.to_last {
            stops[stops.len() - 1].node
        } else {
            stops[0].node
        }
    }

    /// A point of its run (x along the flight, y to the left) in plan.
    pub fn in_plan(&self, scene: &Scene, (x, y): (f64, f64)) -> (f64, f64) {
        let way = self.way(scene);
        (
            self.from_m[0] + x * way[0] - y * way[1],
            self.from_m[1] + x * way[1] + y * way[0],
        )
    }

    /// From the break to its stop along the level, m.
    pub fn to_stop_m(&self, scene: &Scene) -> f64 {
        let to_stop = minus(scene.place(self.towards(scene)), self.from_m);
        dot2(self.way(scene), to_stop)
    }

    /// Name of the line whose end it is.
    pub fn line_name(&self) -> &str {
        let line = self.lines.last();
        line.map_or("the line", |(line, _)| line.line.name.as_str())
    }

    /// Where things are or come down in plan: the end on its line as long as it is
    /// followed, dampers, and the first touch of hardware that came off.
    pub fn landings(&self, scene: &Scene, outcome: &Outcome) -> Vec<(f64, f64)> {
        let to_stop = self.to_stop_m(scene);
        // On its line it gets as far past the stop as its own part is long.
        let held = |(x, y): (f64, f64)| {
            let past = x - to_stop;
            let size = (past * past + y * y).sqrt();
            let keep = if past > 0.0 && size > self.own_m {
                self.own_m / size
            } else {
                1.0
            };
            if past > 0.0 {
                (to_stop + past * keep, y * keep)
            } else {
                (x, y)
            }
        };
        let path = outcome
            .path
            .iter()
            .step_by(PATH_STRIDE)
            .chain([&outcome.end])
            .map(|p| (p.place_m[0], p.place_m[1]));
        let dampers = outcome.dampers.iter().map(|d| (d.rests_m[0], d.rests_m[1]));
        let free = outcome.free_flight.iter().map(|flight| flight.lands_m);
        // As likely to the left as to the right.
        path.chain(dampers)
            .map(held)
            .chain(free)
            .flat_map(|(x, y)| [(x, y), (x, -y)])
            .map(|p| self.in_plan(scene, p))
            .collect()
    }
}

fn dot2(way: [f64; 2], v: [f64; 3]) -> f64 {
    dot([way[0], way[1], 0.0], v)
}

/// Lines beyond the stop that the part of line goes round, from the far end.
///
/// Friction leaves them another tension; each gets the length that holds its own
/// energy at the tension of the part that broke.
fn beyond<'p>(
    scene: &Scene,
    (run, segment): (usize, usize),
    to_last: bool,
    share: f64,
    outwards: &dyn Fn(usize) -> Vec<&'p Piece>,
) -> Vec<(Stretchy, Mass)> {
    let count = scene.pieces[run].len();
    let further: Vec<usize> = if to_last {
        (segment + 1..count).rev().collect()
    } else {
        (0..segment).collect()
    };
    let here_n = scene.tension_n(run, segment) * share;
    let mut lines = Vec::new();
    for s in further {
        let from = lines.len();
        add_pieces(&mut lines, &outwards(s));
        let there_n = scene.tension_n(run, s) * share;
        for (line, _) in &mut lines[from..] {
            let held = energy_j(&line.line_part(there_n, 1.0));
            let alike = energy_j(&line.line_part(here_n, 1.0));
            if held > 0.0 && alike > 0.0 {
                line.rest_m = (line.rest_m * held / alike).max(0.05);
            }
        }
    }
    lines
}

/// Adds lines; hardware after a line is the join at its free end.
fn add_pieces(lines: &mut Vec<(Stretchy, Mass)>, pieces: &[&Piece]) {
    for piece in pieces {
        match (&piece.stretchy, lines.last_mut()) {
            (Some(line), _) => lines.push((line.clone(), Mass::ZERO)),
            (None, Some(before)) => before.1 = before.1 + piece.mass,
            (None, None) => {}
        }
    }
}
