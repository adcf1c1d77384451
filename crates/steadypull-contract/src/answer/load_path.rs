//! The `load_path` area.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::MethodName;

/// The load in every link from casualty to tug.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LoadPath {
    /// The method the rig is for; null when no rig could be put together.
    pub method: Option<MethodName>,
    /// Whether the tool proposed the rig (else the plan gave it).
    pub proposed: bool,
    /// The load case in words.
    pub load_case: String,
    /// Load in the line; in a rig laid out on the ground the pull at the casualty.
    pub tension_n: f64,
    /// Links in order from casualty to tug; in a rig laid out on the ground the
    /// haul from casualty to winch, then each branch.
    pub links: Vec<Link>,
    /// Name of the weakest link: the likeliest to let go first.
    pub weakest: Option<String>,
    /// Rest length of the lines in the path.
    pub line_length_m: f64,
    /// Why there is no rig, if there is none.
    pub missing: Option<String>,
}

/// One link.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Link {
    /// Its name in the plan.
    pub name: String,
    /// What it is.
    pub kind: LinkKind,
    /// What it is, in words (`forged bow shackle`).
    pub words: String,
    /// Which vehicle it is at.
    pub side: Side,
    /// Load on it.
    pub load_n: f64,
    /// Working load limit as marked.
    pub wll_n: Option<f64>,
    /// Breaking strength as stated.
    pub mbs_n: Option<f64>,
    /// Working load limit after derating.
    pub derated_wll_n: Option<f64>,
    /// Breaking strength after derating.
    pub derated_mbs_n: Option<f64>,
    /// Each derating.
    pub deratings: Vec<Derating>,
    /// Load over derated working load limit.
    pub share_of_wll: Option<f64>,
    /// Load over derated breaking strength.
    pub share_of_mbs: Option<f64>,
    /// Probability that it lets go at this load.
    pub parting_probability: Option<f64>,
    /// Whether it is the weakest link.
    pub weakest: bool,
    /// How it stands.
    pub state: LinkState,
    /// Why it stands so, in words.
    pub because: String,
    /// Included angle between a bridle's legs, or the two lines of a block or ring.
    pub included_angle_deg: Option<f64>,
    /// Its mass.
    pub mass_kg: f64,
    /// The run of line it belongs to, in a rig laid out on the ground.
    pub run: Option<String>,
    /// Where its branch joins the haul; null on the haul itself and in a
    /// straight rig.
    pub joins: Option<String>,
}

/// A reduction of strength.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Derating {
    /// What reduces it.
    pub what: String,
    /// What is left, 0 to 1.
    pub factor: f64,
    /// Where the figure comes from.
    pub source: String,
}

/// What a link is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LinkKind {
    /// A point on a vehicle.
    RecoveryPoint,
    /// A shackle, hard or soft.
    Shackle,
    /// A line made to stretch.
    KineticLine,
    /// A low-stretch line, strap or extension.
    Line,
    /// A two-legged bridle.
    Bridle,
    /// A block or ring.
    Block,
    /// A winch.
    Winch,
    /// A ring that a line goes round.
    Ring,
    /// What the rig is made fast to besides the tug.
    Anchor,
}

/// Which vehicle a link is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// At the casualty.
    Casualty,
    /// Between the vehicles.
    Between,
    /// At the tug.
    Tug,
}

/// How a link stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LinkState {
    /// Within its limits.
    Within,
    /// Over its working load limit.
    OverWll,
    /// Below its breaking strength, but with less in hand than the policy asks.
    OverPolicy,
    /// Over its breaking strength.
    OverMbs,
    /// No rating: nothing can be said for it.
    Unrated,
    /// May never carry a recovery load.
    Refused,
}

impl LinkState {
    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Within => "WITHIN",
            Self::OverWll => "OVER WLL",
            Self::OverPolicy => "OVER POLICY",
            Self::OverMbs => "OVER MBS",
            Self::Unrated => "UNRATED",
            Self::Refused => "REFUSED",
        }
    }
}
