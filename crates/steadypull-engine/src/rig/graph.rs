//! A rig as a graph: where lines are made fast, what they go round, what is in them.
//!
//! Nodes are places; a run is a line, with the straps and shackles in series
//! with it, from one made fast end to the other over any number of nodes that it
//! goes round. Nodes that nothing holds to the ground (moving blocks, rings,
//! bridle apexes, redirect blocks on their straps) move to equilibrium.

/// What a node is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NodeKind {
    /// A recovery point of the casualty.
    Casualty,
    /// A recovery point of the tug.
    Tug,
    /// A winch.
    Winch,
    /// An anchor, or a recovery point of a vehicle that is one.
    Anchor,
    /// A block.
    Block,
    /// A ring.
    Ring,
    /// A join: the apex of a bridle.
    Apex,
}

/// A place where lines meet or turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Its name: that of the point, anchor, block, ring or bridle in the plan.
    pub name: String,
    /// What it is.
    pub kind: NodeKind,
    /// Where it is, m; for a node that moves, where the search for it begins.
    pub place_m: [f64; 3],
    /// Whether it stays where it is.
    pub fixed: bool,
    /// Direction in which it is strong, a unit vector out of the vehicle, for a
    /// recovery point or winch.
    pub strong: Option<[f64; 3]>,
}

/// How a line meets a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Meets {
    /// Made fast: an end of the run.
    Fast,
    /// Over a sheave: this share of tension survives, whatever the angle.
    Sheave(f64),
    /// Round a ring, post or trunk: `exp(-friction wrap)` survives.
    Round(f64),
    /// Sliding so little that friction does not settle: both sides alike, as at
    /// the apex of an equalising bridle.
    Slides,
}

/// A node on a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// Which node.
    pub node: usize,
    /// How the line meets it.
    pub meets: Meets,
}

/// What settles the tension of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Holds {
    /// The last stop hauls it in (or pays it out): winch, or vehicle that tows.
    /// All hauls of a rig pull alike, times their share.
    Hauled {
        /// Its tension over that of the rig's haul.
        share: f64,
    },
    /// It keeps its rest length, m.
    Length(f64),
}

/// A line with what is in series with it.
#[derive(Debug, Clone, PartialEq)]
pub struct GraphRun {
    /// Its name in the plan.
    pub name: String,
    /// Nodes from end to end; a hauled run ends at what hauls it.
    pub stops: Vec<Stop>,
    /// Names of the parts of the kit in each part of line, between one stop and
    /// the next; a line that goes round a node is named on both sides of it.
    pub parts: Vec<Vec<String>>,
    /// What settles its tension.
    pub holds: Holds,
    /// Rest length of all its parts, m; for a hauled run what there is of it.
    pub rest_m: f64,
    /// Axial stiffness EA of the whole, N, for rigs whose shares only stretch
    /// settles.
    pub stiffness_n: f64,
}

/// Which way the hauled lines move over what they go round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Motion {
    /// Towards the haul: friction adds to what the haul must pull.
    HaulingIn,
    /// Away from it: friction helps whoever holds.
    PayingOut,
    /// Not at all: no friction anywhere, for textbook values.
    Frictionless,
}

/// A rig as a graph.
#[derive(Debug, Clone, PartialEq)]
pub struct Graph {
    /// Its nodes.
    pub nodes: Vec<Node>,
    /// Its runs.
    pub runs: Vec<GraphRun>,
    /// Which way hauled lines move.
    pub motion: Motion,
}

impl Graph {
    /// The node called `name`.
    pub fn node(&self, name: &str) -> Option<usize> {
        self.nodes.iter().position(|n| n.name == name)
    }
}
