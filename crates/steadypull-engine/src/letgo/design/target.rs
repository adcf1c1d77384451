//! What a design is made for: one link that lets go, and the draws it is held to.

use super::order::fewest_draws;
use crate::chance::Column;
use crate::letgo::Setup;
use crate::letgo::cases::{Prepared, bare_setup};
use crate::letgo::draw::{Draw, DrawnLines, INPUTS};
use crate::letgo::sides::Cut;
use crate::plan::Plan;
use crate::rig::{LoadPath, Side};
use crate::units::{Force, Length, Mass};

/// First stream of the draws that designs are chosen by.
const SEARCH_STREAM: u64 = 700;
/// First stream of the fresh draws that a chosen design is checked on.
const CHECK_STREAM: u64 = 720;

/// A link that lets go, without any damper or tether.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// The link.
    pub link: String,
    /// The end at which it lets go; what is left flies to the other vehicle.
    pub at: Side,
    /// Where it lets go, and which side of it this is.
    pub cut: Cut,
    /// What flies, in words.
    pub flies: String,
    /// Tension in the line when it does.
    pub tension: Force,
    /// Mass of hardware at the free end.
    pub hardware: Mass,
    /// Whether an earlier one flies alike.
    pub twin: bool,
    /// The run with the dampers planned, for a tether.
    pub(super) planned: Setup,
    /// The run without.
    pub(super) bare: Setup,
    pub(super) lines: DrawnLines,
}

impl Target {
    /// The targets among prepared cases.
    pub fn all(path: &LoadPath, prepared: &[Prepared]) -> Vec<Self> {
        let target = |case: &Prepared| Self {
            link: case.link.clone(),
            at: case.at,
            cut: case.cut,
            flies: case.flies.clone(),
            tension: case.tension,
            hardware: case.hardware,
            planned: case.planned.clone(),
            bare: case.bare.clone(),
            lines: DrawnLines::of(path, &case.cut),
            twin: case.twin.is_some(),
        };
        prepared.iter().map(target).collect()
    }

    /// The same link letting go at another tension in the line; none where hardly
    /// any line is left on its side.
    pub fn at_tension(&self, plan: &Plan, path: &LoadPath, tension: Force) -> Option<Self> {
        let bare = bare_setup(plan, path, &self.cut, self.hardware, tension)?;
        Some(Self {
            tension,
            planned: bare.clone(),
            bare,
            ..self.clone()
        })
    }

    /// Strength of the weakest line: no tension is greater.
    pub fn weakest_line(&self) -> Force {
        self.lines.weakest()
    }

    /// Rest length of the line.
    pub fn line_length(&self) -> Length {
        self.bare.rest_length()
    }

    /// From the break to the far recovery point.
    pub fn distance(&self) -> Length {
        self.bare.taut_length()
    }
}

/// Draws of what the plan does not settle, the same for every design compared.
///
/// The most energetic come first, so that a design that will not do is soon seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Draws(Vec<Draw>);

impl Draws {
    /// Draws to choose designs by.
    pub fn to_search(seed: u64, count: usize) -> Self {
        Self::from_streams(seed, SEARCH_STREAM, count)
    }

    /// Fresh draws to check a chosen design on.
    pub fn to_check(seed: u64, count: usize) -> Self {
        Self::from_streams(seed, CHECK_STREAM, count)
    }

    fn from_streams(seed: u64, first: u64, count: usize) -> Self {
        let columns: [Column; INPUTS] =
            core::array::from_fn(|k| Column::new(seed, first + k as u64, count));
        let mut draws: Vec<Draw> = (0..count).map(|i| Draw::of(&columns, i)).collect();
        // Energy goes with the square of the load; the energy return matters less.
        let harsh = |d: &Draw| d.load * d.load * (1.0 + d.back);
        draws.sort_by(|a, b| harsh(b).total_cmp(&harsh(a)));
        Self(draws)
    }

    /// `count` of them, or as many as a quantile of that chance takes: evenly from the
    /// harshest to the mildest.
    pub(super) fn spread_over(&self, count: usize, chance: f64) -> Self {
        let count = count.max(fewest_draws(chance)).min(self.0.len()).max(1);
        let at = |k: usize| self.0[(2 * k + 1) * self.0.len() / (2 * count)];
        Self((0..count).map(at).collect())
    }

    /// How many.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn draw(&self, i: usize) -> &Draw {
        &self.0[i]
    }
}
