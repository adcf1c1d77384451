//! What one draw of everything comes to.

use super::{LetGoOnTheWay, Meeting, MethodDrawn};

/// What one draw came to. Forces in N, at the casualty.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawn {
    /// Resistance to be overcome, or the holding force of a lowering; without end for a
    /// casualty that is held fast.
    pub resistance_n: Option<f64>,
    /// What the method can bring to bear, or hold in a lowering; none for a kinetic pull.
    pub brings_n: Option<f64>,
    /// Greatest pull that the rig sees; it stops where a part lets go.
    pub peak_n: f64,
    /// Movement of the casualty in one kinetic pull, m.
    pub movement_m: Option<f64>,
    /// Whether it works before anything lets go: the casualty moves, is held all the way
    /// down, or (without a rig) is moved by one of the methods.
    pub works: bool,
    /// Greatest load over working load limit of all links that have one.
    pub share_of_wll: Option<f64>,
    /// Greatest load over breaking strength of all links that have one.
    pub share_of_mbs: Option<f64>,
    /// The part that lets go, by its number, if one does: the first to be exceeded.
    pub first: Option<usize>,
    /// Chance that a part lets go under the load of this draw, the strengths reckoned
    /// whole.
    pub parting_chance: f64,
    /// What flies if a part lets go at the load of this draw, whether or not one does;
    /// which part is drawn.
    pub if_one_goes: Option<Flown>,
    /// What flies of the part that does let go.
    pub goes: Option<Flown>,
    /// Without a rig: the resistance once dug out.
    pub resistance_dug_n: Option<f64>,
    /// Without a rig: what each method that the tug alone decides comes to.
    pub by_method: Vec<MethodDrawn>,
    /// In a lowering: the main line let go somewhere on the way.
    pub lets_go: Option<LetGoOnTheWay>,
    /// Whether the pull could not be worked out.
    pub failed_pull: bool,
    /// Let-go runs that could not be finished.
    pub failed_flights: u32,
}

/// One let-go.
#[derive(Debug, Clone, PartialEq)]
pub struct Flown {
    /// What flies, by its number.
    pub item: usize,
    /// Speed of the hardware: as it passes the far recovery point on a straight rig
    /// (nothing if it never does), as it leaves on one laid out on the ground.
    pub speed_m_s: f64,
    /// Its energy there.
    pub energy_j: f64,
    /// Greatest distance from the nearest part of line at which anything is or comes
    /// down, m.
    pub reach_m: f64,
    /// What it does to the vehicle that it flies to; none where it flies to none.
    pub meeting: Option<Meeting>,
    /// Where things are or come down in plan, m.
    pub places: Vec<(f64, f64)>,
}
