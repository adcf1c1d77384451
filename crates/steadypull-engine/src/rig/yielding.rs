//! The pull at the casualty at which each anchor yields, and what happens then.
//!
//! A rig at rest is in proportion: a load of `s` newton on an anchor for each
//! newton of pull at the casualty means that the anchor yields at a pull of its
//! hold over `s`. The anchor that yields first is the one with the least median.
//! Once one has begun to move the rig is no longer the rig that was solved: the
//! pull stops there.

use super::graph::NodeKind;
use super::solved::{LaidOut, Vector};
use super::statics::vector::{plus, size};
use crate::gear::anchor::{Hold, hold, vehicle, words};
use crate::plan::{Anchor, AnchorKind, Pose, Tug};
use crate::show::Units;
use crate::units::Force;

/// How an anchor stands in a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Yielding {
    /// Its name in the plan; `tug` for the tug that winches.
    pub name: String,
    /// What it is, in words.
    pub words: String,
    /// What it holds against the pull on it.
    pub hold: Hold,
    /// Load on it over the pull at the casualty.
    pub share: f64,
    /// Whether it is the first to yield.
    pub first: bool,
    /// What happens when it yields.
    pub then: String,
}

impl Yielding {
    /// The pull at the casualty at which it yields with probability `p`; `None`
    /// for an anchor that carries nothing.
    pub fn pull_at(&self, p: f64) -> Option<Force> {
        (self.share > 0.0).then(|| self.hold.quantile(p) / self.share)
    }

    /// The pull at which 5 %, half and 95 % of such anchors have yielded; `None` for
    /// one that carries nothing.
    pub fn pulls(&self) -> Option<[Force; 3]> {
        let Hold {
            low, median, high, ..
        } = self.hold;
        (self.share > 0.0).then(|| [low, median, high].map(|hold| hold / self.share))
    }

    /// Chance that it yields at `pull` at the casualty.
    pub fn probability(&self, pull: Force) -> f64 {
        self.hold.yield_probability(pull * self.share)
    }
}

/// The load on each anchor of a rig, N for each newton of pull at the casualty,
/// by the name of its node; nothing for a rig that does not pull.
pub fn anchor_loads(rig: &LaidOut) -> Vec<(String, Vector)> {
    let pull = rig.at_unit_haul.pull().get();
    if pull.is_nan() || pull <= 0.0 {
        return Vec::new();
    }
    let nodes = rig.graph.nodes.iter().zip(&rig.at_unit_haul.nodes);
    nodes
        .filter(|(node, _)| node.kind == NodeKind::Anchor)
        .map(|(node, solved)| (node.name.clone(), solved.load_n.map(|f| f / pull)))
        .collect()
}

/// How each anchor stands that carries something, by the load on it for each
/// newton of pull at the casualty. `NAME.POINT` counts to the anchor `NAME`; a
/// load on nothing that is an anchor is left out.
pub fn yielding(anchors: &[Anchor], loads: &[(String, Vector)], units: Units) -> Vec<Yielding> {
    let mut found: Vec<Yielding> = anchors
        .iter()
        .filter_map(|anchor| {
            let load = sum_on(&anchor.name, loads)?;
            let hold = hold(anchor, load, units);
            Some(Yielding {
                name: anchor.name.clone(),
                words: words(anchor, units),
                then: then(anchor, &hold, units),
                share: size(load),
                first: false,
                hold,
            })
        })
        .collect();
    mark_first(&mut found);
    found
}

/// How the tug stands that winches, by the load on its winch for each newton of
/// pull at the casualty.
pub fn tug_walks(tug: &Tug, pose: Option<Pose>, load: Vector, units: Units) -> Yielding {
    Yielding {
        name: "tug".into(),
        words: format!(
            "the tug, braked, of {}",
            units.whole_mass(tug.vehicle.mass.get())
        ),
        hold: vehicle::tug_hold(tug, pose, load, units),
        share: size(load),
        first: false,
        then: "the winch walks: it hauls the tug towards the pull and not the casualty".into(),
    }
}

/// Marks the first to yield of several, anchors and tug together.
pub fn mark_first(all: &mut [Yielding]) {
    let median = |y: &Yielding| y.pulls().map_or(f64::INFINITY, |at| at[1].get());
    let first = all
        .iter()
        .enumerate()
        .min_by(|a, b| median(a.1).total_cmp(&median(b.1)))
        .map(|(i, _)| i);
    for (i, one) in all.iter_mut().enumerate() {
        one.first = first == Some(i);
    }
}

fn sum_on(name: &str, loads: &[(String, Vector)]) -> Option<Vector> {
    let on_it = |node: &str| node.split('.').next() == Some(name);
    let mut sum = None;
    for (_, load) in loads.iter().filter(|(node, _)| on_it(node)) {
        sum = Some(plus(sum.unwrap_or([0.0; 3]), *load, 1.0));
    }
    sum
}

fn then(anchor: &Anchor, hold: &Hold, units: Units) -> String {
    let what = hold.likeliest().map_or("yields", |way| way.what);
    match &anchor.kind {
        AnchorKind::Tree(tree) => format!(
            "it {what} and falls along the pull, {} of tree, with all that hangs on it",
            units.whole_length(tree.height.get())
        ),
        AnchorKind::Pickets(_) => "the front pickets lean and draw, the rest follow one by one, \
                                   and the line goes slack with a jerk"
            .into(),
        AnchorKind::Deadman(_) => "it breaks out through the bank in front of it and follows \
                                   the line"
            .into(),
        AnchorKind::Plate(_) => "its pins draw, the plate lifts and follows the line".into(),
        AnchorKind::Vehicle(vehicle) if vehicle.tows => {
            format!("it {what} backward and the pull falls to what it still grips")
        }
        AnchorKind::Vehicle(_) => {
            format!("it {what}: the winch walks it towards the pull and not the casualty")
        }
        AnchorKind::Stated(_) => "it lets go, and the line with what is on it flies".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{AnchorVehicle, Place, StatedAnchor};
    use crate::units::{Angle, Mass};

    fn stated(name: &str, kn: f64) -> Anchor {
        Anchor {
            name: name.into(),
            place: Place::default(),
            kind: AnchorKind::Stated(StatedAnchor {
                what: "ring bolt".into(),
                holds: Force::from_kn(kn),
                spread: 0.3,
            }),
        }
    }

    #[test]
    fn the_harder_loaded_of_two_like_anchors_yields_first() {
        let anchors = [stated("a", 60.0), stated("b", 60.0), stated("idle", 1.0)];
        let loads = [
            ("a".to_string(), [-0.5, 0.0, 0.0]),
            ("b".to_string(), [0.0, 1.2, 1.6]),
            ("elsewhere".to_string(), [9.0, 0.0, 0.0]),
        ];
        let all = yielding(&anchors, &loads, Units::Metric);
        assert_eq!(all.len(), 2);
        assert!(!all[0].first && all[1].first);
        assert!((all[1].share - 2.0).abs() < 1e-12);
        let median = all[1].pull_at(0.5).unwrap();
        assert!((median.to_kn() - 30.0).abs() < 1e-9);
        assert!((all[1].probability(median) - 0.5).abs() < 1e-12);
        assert_eq!(all[1].pulls().unwrap()[1], median);
    }

    #[test]
    fn points_of_one_vehicle_are_added_up() {
        let vehicle = Anchor {
            name: "wagon-3".into(),
            place: Place::default(),
            kind: AnchorKind::Vehicle(AnchorVehicle {
                pose: Pose::default(),
                mass: Mass::new(2500.0),
                grip: 0.6,
                grip_spread: 0.2,
                slope_along: Angle::ZERO,
                chocked: true,
                tows: false,
                recovery_points: Vec::new(),
            }),
        };
        let loads = [
            ("wagon-3.left".to_string(), [0.5, 0.3, 0.0]),
            ("wagon-3.right".to_string(), [0.5, -0.3, 0.0]),
            ("wagon-33".to_string(), [5.0, 0.0, 0.0]),
        ];
        let all = yielding(&[vehicle], &loads, Units::Metric);
        assert!((all[0].share - 1.0).abs() < 1e-12);
        assert!(all[0].then.contains("walks"));
    }

    #[test]
    fn an_anchor_with_no_load_never_yields() {
        let all = yielding(
            &[stated("a", 60.0)],
            &[("a".into(), [0.0; 3])],
            Units::Metric,
        );
        assert_eq!(all[0].pull_at(0.5), None);
        assert_eq!(all[0].probability(Force::from_kn(1000.0)), 0.0);
    }
}
