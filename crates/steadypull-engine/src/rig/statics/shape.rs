//! The rig while it is solved: which nodes move, and the spans of each run.

use super::vector::towards;
use crate::rig::graph::{Graph, Holds, Meets};
use crate::rig::solved::Vector;

/// The rig while it is solved; forces are over the haul, lengths in metres.
pub(super) struct Shape<'g> {
    pub graph: &'g Graph,
    /// Place of each moving node among the unknowns, in threes.
    pub slot: Vec<Option<usize>>,
    /// How many nodes move.
    pub moving: usize,
}

impl<'g> Shape<'g> {
    pub fn new(graph: &'g Graph) -> Self {
        let mut moving = 0;
        let slot = graph
            .nodes
            .iter()
            .map(|node| {
                (!node.fixed).then(|| {
                    moving += 1;
                    moving - 1
                })
            })
            .collect();
        Self {
            graph,
            slot,
            moving,
        }
    }

    /// The two nodes of each span of a run.
    pub fn spans(&self, run: usize) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.graph.runs[run]
            .stops
            .windows(2)
            .map(|pair| (pair[0].node, pair[1].node))
    }

    /// Whether anything on a run can move: one between fixed places carries nothing
    /// that statics could tell.
    pub fn gives(&self, run: usize) -> bool {
        let stops = &self.graph.runs[run].stops;
        stops.iter().any(|stop| self.slot[stop.node].is_some())
    }

    /// Length of a run as it lies.
    pub fn length(&self, run: usize, places: &[Vector]) -> f64 {
        self.spans(run)
            .map(|(a, b)| towards(places[a], places[b]).1)
            .sum()
    }

    /// Share of haul of a hauled run, or the length a run keeps.
    pub fn holds(&self, run: usize) -> Holds {
        self.graph.runs[run].holds
    }

    /// Tension of each span over the run's own: that at the haul for a hauled
    /// run, that of the first span else. `flow` is the way the line moves over
    /// each inner stop: towards the run's last stop, away from it, or not at all.
    pub fn factors(&self, run: usize, places: &[Vector], flow: &[f64]) -> Vec<f64> {
        let run = &self.graph.runs[run];
        let count = run.stops.len() - 1;
        let mut factors = vec![1.0; count];
        // Over each inner stop: tension after it over tension before it.
        let ratio = |stop: usize| {
            let left = survives(run.stops[stop].meets, || {
                let at = |s: usize| places[run.stops[s].node];
                let (back, _) = towards(at(stop), at(stop - 1));
                let (on, _) = towards(at(stop), at(stop + 1));
                core::f64::consts::PI - super::vector::angle_between(back, on)
            });
            match flow[stop - 1] {
                f if f > 0.0 => 1.0 / left,
                f if f < 0.0 => left,
                _ => 1.0,
            }
        };
        if matches!(run.holds, Holds::Hauled { .. }) {
            for span in (0..count - 1).rev() {
                factors[span] = factors[span + 1] / ratio(span + 1);
            }
        } else {
            for span in 1..count {
                factors[span] = factors[span - 1] * ratio(span);
            }
        }
        factors
    }
}

/// Share of tension that survives a stop.
fn survives(meets: Meets, wrap: impl Fn() -> f64) -> f64 {
    match meets {
        Meets::Fast | Meets::Slides => 1.0,
        Meets::Sheave(efficiency) => efficiency,
        Meets::Round(friction) => libm::exp(-friction * wrap()),
    }
}
