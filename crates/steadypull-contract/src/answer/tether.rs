//! A tether by design: what `steadypull tether` answers.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Side;

/// What tether holds a recoil, or that none will do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TetherDesign {
    /// Why nothing was worked out, if so; everything else is then empty.
    pub missing: Option<String>,
    /// What was asked, and for which link.
    pub wish: Option<TetherWish>,
    /// Whether a tether in the range holds.
    pub meets: bool,
    /// The answer in a sentence.
    pub headline: String,
    /// The tether that takes the least strength, after its check on fresh draws.
    pub least: Option<TetherFit>,
    /// Share of the fresh draws in which it holds.
    pub held_share: Option<f64>,
    /// Lower end of the 90 % sampling band of that share.
    pub held_low: Option<f64>,
    /// Upper end.
    pub held_high: Option<f64>,
    /// Strength against stretch: every length tried with every stretch.
    pub cells: Vec<TetherCell>,
    /// The points of the vehicle that a tether could be made fast to.
    pub points: Vec<TetherPoint>,
    /// Draws of the search.
    pub search_draws: u32,
    /// Fresh draws of the check.
    pub check_draws: u32,
    /// Runs of the check that failed; they count as parted.
    pub failed: u32,
    /// Segments of the runs of the search.
    pub segments: u32,
    /// Segments of the check.
    pub check_segments: u32,
    /// Step of the strengths tried, as a ratio.
    pub strength_step: f64,
}

/// What was asked of the tether.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TetherWish {
    /// The link that lets go.
    pub link: String,
    /// Whether it is the worst of the rig, as against one that was named.
    pub worst: bool,
    /// The end at which it lets go, where the tether is made fast.
    pub parts_at: Side,
    /// What flies, in words.
    pub flies: String,
    /// Mass of the hardware that flies, median; 0 for a bare line.
    pub hardware_mass_kg: f64,
    /// Tension in the line when it lets go, median.
    pub tension_n: f64,
    /// Energy of the hardware at the far vehicle without a tether or dampers, at the
    /// wish's chance.
    pub untethered_j: f64,
    /// The tether must hold in this share of the draws.
    pub chance: f64,
    /// What is held gets no further than this from where it let go.
    pub within_m: f64,
    /// Least strength tried.
    pub weakest_n: f64,
    /// Greatest strength tried.
    pub strongest_n: f64,
    /// Dampers of the plan on the line meanwhile.
    pub dampers: u32,
}

/// One length and stretch.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TetherCell {
    /// Length.
    pub length_m: f64,
    /// Stretch at break, as a ratio.
    pub stretch_at_break: f64,
    /// How far it lets anything get: length and stretch.
    pub reach_m: f64,
    /// Whether that is further than asked.
    pub too_long: bool,
    /// The least tether that holds; null where none in the range does.
    pub fit: Option<TetherFit>,
}

/// A tether that holds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TetherFit {
    /// Length.
    pub length_m: f64,
    /// Stretch at break, as a ratio.
    pub stretch_at_break: f64,
    /// Strength.
    pub mbs_n: f64,
    /// Mass, as nylon webbing.
    pub mass_kg: f64,
    /// Load that it hands to its anchor point, median.
    pub peak_median_n: f64,
    /// The same at the wish's chance.
    pub peak_n: f64,
    /// Energy that it takes up before it parts; if it parts, its own ends fly with it.
    pub capacity_j: f64,
    /// Greatest speed that this energy could give the tether's own mass.
    pub end_speed_m_s: f64,
}

/// A point of the vehicle that the tether could be made fast to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TetherPoint {
    /// Its name in the plan.
    pub name: String,
    /// Whether the line itself is made fast there: it may be what lets go.
    pub in_use: bool,
    /// Whether it is a rated point.
    pub rated: bool,
    /// Working load limit, if stated.
    pub wll_n: Option<f64>,
    /// Breaking strength, if stated.
    pub mbs_n: Option<f64>,
    /// Peak load of the least tether over the working load limit.
    pub share_of_wll: Option<f64>,
    /// Peak load of the least tether over the breaking strength.
    pub share_of_mbs: Option<f64>,
}
