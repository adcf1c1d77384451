//! What each part of line is made of, and the energy in it.
//!
//! A part of line is what lies between one stop of a run and the next: lines,
//! shackles, straps in series, all at its tension. The rest length of a line is
//! its own from the kit; one that goes round a stop, runs onto the drum or is a
//! bridle's leg gets what its neighbours leave of the part of line as it lies.
//! Energy given back: the unloading law of each line at that tension.

use crate::letgo::LinePart;
use crate::letgo::side_setup::return_range;
use crate::line::Law;
use crate::plan::{Line, Part, Plan};
use crate::rig::{Graph, GraphRun, Holds, Solved};
use crate::units::{Force, Length, Mass};

/// Shortest piece of line, m: what a run of the recoil takes.
const SHORTEST_M: f64 = 0.05;

/// A part of the kit in a part of line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    pub name: String,
    pub words: &'static str,
    /// Strength after wet, wear and knots, where stated.
    pub strength: Option<Force>,
    /// Mass of a shackle or other hardware; none for a line.
    pub mass: Mass,
    pub stretchy: Option<Stretchy>,
}

/// A line in a part of line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stretchy {
    pub line: Line,
    pub law: Law,
    pub rest_m: f64,
}

impl Stretchy {
    /// Ready to recoil from `tension_n`; `share` of the way from the least to the
    /// greatest energy return of its range.
    pub fn line_part(&self, tension_n: f64, share: f64) -> LinePart {
        let (low, high) = return_range(&self.line);
        let law = self.law.with_energy_return(low + (high - low) * share);
        LinePart {
            length: Length::new(self.rest_m),
            mass_per_length: self.line.mass_per_length,
            unloading: law.unloading(law.strain_at(tension_n)),
            diameter: self.line.material.diameter(self.line.mass_per_length),
            joint_mass: Mass::ZERO,
        }
    }

    /// Mass of what lies here, kg.
    pub fn kg(&self) -> f64 {
        self.rest_m * self.line.mass_per_length.get()
    }
}

/// Energy that `part` gives back, J.
pub(super) fn energy_j(part: &LinePart) -> f64 {
    part.length.get() * part.unloading.energy(part.unloading.strain_max)
}

/// How much longer than slack `part` is, m.
pub(super) fn stretch_m(part: &LinePart) -> f64 {
    part.length.get() * (part.unloading.strain_max - part.unloading.strain_slack)
}

/// Energy that lines give back over the first `shorter_m` of coming together, J.
///
/// All keep a common share of their tensions as they unload.
pub(super) fn energy_over_j(parts: &[LinePart], shorter_m: f64) -> f64 {
    let stretched: f64 = parts.iter().map(stretch_m).sum();
    let whole: f64 = parts.iter().map(energy_j).sum();
    let keep_m = stretched - shorter_m;
    if keep_m <= 0.0 {
        return whole;
    }
    let of = |share: f64, power: fn(f64) -> f64, size: fn(&LinePart) -> f64| -> f64 {
        parts
            .iter()
            .map(|p| size(p) * libm::pow(share, power(p.unloading.exponent)))
            .sum()
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if of(middle, |p| 1.0 / p, stretch_m) < keep_m {
            low = middle;
        } else {
            high = middle;
        }
    }
    whole - of(low, |p| (p + 1.0) / p, energy_j).min(whole)
}

/// Every run's parts of line, each as its pieces in order.
pub(super) fn pieces(plan: &Plan, graph: &Graph, solved: &Solved) -> Vec<Vec<Vec<Piece>>> {
    graph
        .runs
        .iter()
        .zip(&solved.runs)
        .map(|(run, under_load)| {
            run.parts
                .iter()
                .zip(&under_load.length_m)
                .enumerate()
                .map(|(i, (names, length_m))| part_of_line(plan, run, i, names, *length_m))
                .collect()
        })
        .collect()
}

fn part_of_line(
    plan: &Plan,
    run: &GraphRun,
    segment: usize,
    names: &[String],
    length_m: f64,
) -> Vec<Piece> {
    let mut found: Vec<Piece> = names.iter().filter_map(|name| piece(plan, name)).collect();
    let last_of_haul = |i: usize| {
        matches!(run.holds, Holds::Hauled { .. }) && segment + 1 == run.parts.len() && {
            let after = names.iter().skip(i + 1);
            !after.clone().any(|n| is_line(plan, n))
        }
    };
    let open: Vec<bool> = names
        .iter()
        .filter(|name| plan.kit.part(name).is_some())
        .enumerate()
        .map(|(i, name)| is_open(plan, run, name) || last_of_haul(i))
        .collect();
    share_out(&mut found, &open, length_m);
    found
}

fn is_line(plan: &Plan, name: &str) -> bool {
    matches!(
        plan.kit.part(name),
        Some(Part::Line(_)) | Some(Part::Bridle(_))
    )
}

/// Whether less than its whole length lies in one part of line.
fn is_open(plan: &Plan, run: &GraphRun, name: &str) -> bool {
    let spans = run
        .parts
        .iter()
        .filter(|names| names.iter().any(|n| n == name))
        .count();
    spans > 1 || matches!(plan.kit.part(name), Some(Part::Bridle(_)))
}

fn share_out(found: &mut [Piece], open: &[bool], length_m: f64) {
    let lines = |pick: bool| {
        let of = |(piece, open): (&Piece, &bool)| {
            (*open == pick)
                .then(|| piece.stretchy.as_ref().map(|s| s.line.length.get()))
                .flatten()
        };
        found.iter().zip(open).filter_map(of).collect::<Vec<f64>>()
    };
    let (closed, loose) = (lines(false), lines(true));
    let own: f64 = closed.iter().sum();
    let (times, each) = if loose.is_empty() {
        (length_m / own.max(SHORTEST_M), 0.0)
    } else {
        (1.0, (length_m - own) / loose.len() as f64)
    };
    for (piece, open) in found.iter_mut().zip(open) {
        if let Some(s) = &mut piece.stretchy {
            let rest = if *open { each } else { s.rest_m * times };
            s.rest_m = rest.max(SHORTEST_M);
        }
    }
}

fn piece(plan: &Plan, name: &str) -> Option<Piece> {
    let hard = |name: &str, words, mbs, mass| Piece {
        name: name.to_string(),
        words,
        strength: Some(mbs),
        mass,
        stretchy: None,
    };
    Some(match plan.kit.part(name)? {
        Part::Line(line) => of_line(line, "line"),
        Part::Bridle(bridle) => of_line(&bridle.line, "bridle leg"),
        Part::Shackle(s) => hard(&s.name, "shackle", s.mbs, s.mass),
        Part::Block(b) => hard(&b.name, "block", b.mbs, b.mass),
    })
}

fn of_line(line: &Line, words: &'static str) -> Piece {
    let law = Law::new(&line.curve, line.mbs, &line.condition, line.material);
    Piece {
        name: line.name.clone(),
        words,
        strength: Some(Force::new(law.breaking_n())),
        mass: Mass::ZERO,
        stretchy: Some(Stretchy {
            line: line.clone(),
            rest_m: line.length.get(),
            law,
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::LineMass;

    fn linear(length: f64) -> LinePart {
        let law = Law::linear_elastic(Force::new(450e3), Force::new(90e3)).unwrap();
        LinePart {
            length: Length::new(length),
            mass_per_length: LineMass::new(0.5),
            unloading: law.unloading(0.1),
            diameter: Length::new(0.02),
            joint_mass: Mass::ZERO,
        }
    }

    #[test]
    fn closed_form_energy_of_a_linear_line() {
        // T^2 L/(2 EA) and, half unloaded, three quarters of it.
        let whole = 45e3 * 45e3 * 9.0 / (2.0 * 450e3);
        let parts = [linear(4.0), linear(5.0)];
        assert!((energy_over_j(&parts, 10.0) / whole - 1.0).abs() < 1e-9);
        assert!((energy_over_j(&parts, 0.45) / (0.75 * whole) - 1.0).abs() < 1e-6);
        assert!(energy_over_j(&parts, 0.0).abs() < 1e-3);
    }
}
