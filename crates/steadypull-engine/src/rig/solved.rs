//! A rig at rest under load: what the statics solver says.

use super::graph::Graph;
use crate::units::{Angle, Force, Length};

/// A force, or a direction, along x, y and z.
pub type Vector = [f64; 3];

/// One node under load.
#[derive(Debug, Clone, PartialEq)]
pub struct SolvedNode {
    /// Where it comes to rest, m.
    pub place_m: Vector,
    /// All line pulls on it, N; nothing for a node in balance, and what the
    /// ground or vehicle must hold for a fixed one.
    pub load_n: Vector,
    /// Load on the node itself, as a part: what its hanger carries. For a block
    /// or ring the sum of the pulls of the line round it; else as `load_n`.
    pub carries: Force,
    /// Angle between the two parts of the line that goes round it.
    pub included: Option<Angle>,
    /// Angle between the load and the direction in which it is strong.
    pub side_angle: Option<Angle>,
    /// How it moves for a metre of casualty movement, m; none for a fixed node.
    pub travel: Vector,
}

/// One run under load.
#[derive(Debug, Clone, PartialEq)]
pub struct SolvedRun {
    /// Tension of each part of line, N.
    pub tension_n: Vec<f64>,
    /// Length of each part of line as it lies, m.
    pub length_m: Vec<f64>,
    /// Whether it hangs slack.
    pub slack: bool,
}

/// A rig at rest under load.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// Its nodes, in the graph's order.
    pub nodes: Vec<SolvedNode>,
    /// Its runs, in the graph's order.
    pub runs: Vec<SolvedRun>,
    /// Tension at the haul of share 1.
    pub haul: Force,
    /// Sum of the line pulls on the casualty, N.
    pub pull_n: Vector,
    /// Direction along which the casualty moves: level, along the pull on it.
    pub way: Vector,
    /// Pull on the casualty along its way over the haul, friction in.
    pub real_advantage: f64,
    /// The same without friction.
    pub ideal_advantage: f64,
    /// Line hauled in for a metre of casualty movement, all hauls by their share.
    pub haul_per_metre: f64,
    /// Largest force left unbalanced at a node that moves, over the haul.
    pub residual: f64,
}

impl Solved {
    /// Pull on the casualty along its way.
    pub fn pull(&self) -> Force {
        let [p, w] = [self.pull_n, self.way];
        Force::new(p[0] * w[0] + p[1] * w[1] + p[2] * w[2])
    }

    /// The same rig at `times` the load: geometry alike, forces in proportion.
    pub fn scaled(&self, times: f64) -> Self {
        let mut out = self.clone();
        out.haul = out.haul * times;
        out.pull_n = out.pull_n.map(|f| f * times);
        for node in &mut out.nodes {
            node.load_n = node.load_n.map(|f| f * times);
            node.carries = node.carries * times;
        }
        for run in &mut out.runs {
            for tension in &mut run.tension_n {
                *tension *= times;
            }
        }
        out
    }

    /// Line paid out in run `run`, m.
    pub fn paid_out(&self, run: usize) -> Length {
        Length::new(self.runs[run].length_m.iter().sum())
    }
}

/// A rig laid out on the ground, solved.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidOut {
    /// The rig.
    pub graph: Graph,
    /// It under a haul of 1 N.
    pub at_unit_haul: Solved,
}
