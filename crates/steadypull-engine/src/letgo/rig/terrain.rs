//! The ground under a rig, as one plane.
//!
//! What it answers: how high a node is above the ground, and how the ground
//! leans along a line. The plane `z = z0 + b x + c y` goes by least squares
//! through the feet of the nodes whose height above the ground the plan states:
//! recovery points, winches and tree straps. Where these stand in one row it
//! leans along the row alone.
//!
//! Assumes even ground. A bank with an edge is taken as its mean slope, no
//! steeper than 45°.

use crate::plan::{AnchorKind, Plan};
use crate::rig::{Graph, NodeKind, Solved};
use crate::units::G;

/// Height taken for what the plan states none for, m: as a recovery point.
const USUAL_HEIGHT_M: f64 = 0.6;
/// Height of the line at an anchor in the ground, m (assumed).
const LOW_ANCHOR_M: f64 = 0.2;
/// Least height of anything on a line, m.
const LEAST_HEIGHT_M: f64 = 0.05;

/// The ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Terrain {
    middle: [f64; 3],
    lean: [f64; 2],
}

impl Terrain {
    /// Under the nodes of a rig.
    pub fn under(plan: &Plan, graph: &Graph, solved: &Solved) -> Self {
        let feet: Vec<[f64; 3]> = graph
            .nodes
            .iter()
            .zip(&solved.nodes)
            .filter_map(|(node, at)| {
                let [x, y, z] = at.place_m;
                Some([x, y, z - stated_height_m(plan, &node.name, node.kind)?])
            })
            .collect();
        Self::through(&feet)
    }

    fn through(feet: &[[f64; 3]]) -> Self {
        let n = feet.len().max(1) as f64;
        let mean = |k: usize| feet.iter().map(|p| p[k]).sum::<f64>() / n;
        let middle = [mean(0), mean(1), mean(2)];
        let sum = |i: usize, j: usize| {
            feet.iter()
                .map(|p| (p[i] - middle[i]) * (p[j] - middle[j]))
                .sum::<f64>()
        };
        // A hair of stiffness leaves the plane level across a single row.
        let hair = 1e-6 * (sum(0, 0) + sum(1, 1)) + 1e-12;
        let (xx, xy, yy) = (sum(0, 0) + hair, sum(0, 1), sum(1, 1) + hair);
        let (xz, yz) = (sum(0, 2), sum(1, 2));
        let det = xx * yy - xy * xy;
        let lean = [(yy * xz - xy * yz) / det, (xx * yz - xy * xz) / det];
        let steep = (lean[0] * lean[0] + lean[1] * lean[1]).sqrt().max(1.0);
        Self {
            middle,
            lean: lean.map(|l| if l.is_finite() { l / steep } else { 0.0 }),
        }
    }

    /// Height of a place above the ground, m.
    pub fn height_m(&self, p: [f64; 3]) -> f64 {
        let ground = self.middle[2]
            + self.lean[0] * (p[0] - self.middle[0])
            + self.lean[1] * (p[1] - self.middle[1]);
        (p[2] - ground).max(LEAST_HEIGHT_M)
    }

    /// Slope along a level direction, rise over run.
    pub fn rise_along(&self, way: [f64; 2]) -> f64 {
        self.lean[0] * way[0] + self.lean[1] * way[1]
    }

    /// Gravity seen from the plane, m/s².
    pub fn gravity(&self) -> [f64; 3] {
        let [b, c] = self.lean;
        let down = G / (1.0 + b * b + c * c).sqrt();
        [-b * down, -c * down, -down]
    }
}

/// Height above its own ground that the plan states for a node.
fn stated_height_m(plan: &Plan, name: &str, kind: NodeKind) -> Option<f64> {
    let of_point = |points: &[crate::plan::RecoveryPoint], short: &str| {
        points
            .iter()
            .find(|p| p.name == short)
            .map_or(USUAL_HEIGHT_M, |p| p.height.get())
    };
    let (owner, short) = name.split_once('.').unwrap_or((name, ""));
    match kind {
        NodeKind::Casualty => Some(of_point(&plan.casualty.vehicle.recovery_points, short)),
        NodeKind::Tug => Some(of_point(&plan.tug.vehicle.recovery_points, short)),
        NodeKind::Winch => plan.tug.winch.as_ref().map(|w| w.height.get()),
        NodeKind::Anchor => match &plan.kit.anchor(owner)?.kind {
            AnchorKind::Tree(tree) => Some(tree.strap_height.get()),
            AnchorKind::Vehicle(vehicle) => Some(of_point(&vehicle.recovery_points, short)),
            _ => Some(LOW_ANCHOR_M),
        },
        NodeKind::Block | NodeKind::Ring | NodeKind::Apex => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plane_is_found_again() {
        let at = |x: f64, y: f64| [x, y, 2.0 + 0.2 * x - 0.1 * y];
        let ground = Terrain::through(&[at(0.0, 0.0), at(10.0, 1.0), at(3.0, 8.0), at(-4.0, 2.0)]);
        assert!((ground.rise_along([1.0, 0.0]) - 0.2).abs() < 1e-5);
        assert!((ground.rise_along([0.0, 1.0]) + 0.1).abs() < 1e-5);
        let up = [5.0, 5.0, at(5.0, 5.0)[2] + 0.7];
        assert!((ground.height_m(up) - 0.7).abs() < 1e-4);
    }

    #[test]
    fn a_row_leans_along_itself_and_one_foot_is_level() {
        let ground = Terrain::through(&[[0.0, 0.0, 0.0], [10.0, 0.0, 3.0]]);
        assert!((ground.rise_along([1.0, 0.0]) - 0.3).abs() < 1e-5);
        assert_eq!(ground.rise_along([0.0, 1.0]), 0.0);
        let single = Terrain::through(&[[5.0, 1.0, 0.3]]);
        assert_eq!(single.rise_along([1.0, 1.0]), 0.0);
        assert_eq!(Terrain::through(&[]).gravity(), [0.0, 0.0, -G]);
    }
}
