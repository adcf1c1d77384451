//! What comes back if a part of a rig laid out on the ground lets go.
//!
//! - [`partings`]: every part that could part, the energy that comes free, what is
//!   left holding and what flies to which side.
//! - [`rig_scatter`], [`rig_zone`]: where it comes down, and where nobody stands:
//!   the rule, the computed reach and the inside of every bight.
//! - [`filmed`]: one flight moment by moment.
//! - [`rig_let_go`], [`laid_out_let_go`]: all of it; [`laid_out_rule_zone`] what of it
//!   needs no run.

mod area;
mod causes;
mod draft;
mod drawn;
mod end_setup;
mod ends;
mod filmed;
mod flights;
mod flown;
mod holding;
mod parting;
mod partings;
mod pieces;
mod scatter;
mod scene;
mod settling;
mod shape;
mod struck;
mod tails;
mod terrain;
mod throw;
mod zone;

pub use area::DangerArea;
pub use drawn::{RigFlights, RigItem, RigLaunch};
pub use filmed::{EndShown, FilmedFlight, Shown, ThrownAt, Which, filmed};
pub use parting::{Flight, FlightSort, FreedRun, Holding, Parting, TriedPlace, WayOver};
pub use partings::{Partings, partings};
pub use scatter::{Group, RigScatter, rig_scatter};
pub use shape::Spot;
pub use throw::thrown_block_speed;
pub use zone::{RigRule, RigZone, rig_zone};

use crate::plan::Plan;
use crate::rig::{Graph, LaidOut, Solved};
use crate::units::Force;

/// All that a let-go of a rig laid out on the ground says.
#[derive(Debug, Clone, PartialEq)]
pub struct RigLetGo {
    /// Every part that could part.
    pub partings: Partings,
    /// Where nobody stands.
    pub zone: RigZone,
}

/// The let-go of a rig under these loads.
pub fn rig_let_go(plan: &Plan, graph: &Graph, solved: &Solved) -> RigLetGo {
    let partings = partings(plan, graph, solved);
    let thrown = rig_scatter(plan, graph, solved, &partings);
    RigLetGo {
        zone: rig_zone(plan, graph, solved, &thrown),
        partings,
    }
}

/// The same when `pull` is the pull on the casualty along its way. A rig that does
/// not pull has nothing that flies, and the rule for its zone.
pub fn laid_out_let_go(plan: &Plan, rig: &LaidOut, pull: Force) -> RigLetGo {
    rig_let_go(plan, &rig.graph, &under(rig, pull))
}

/// The zone under the same pull before anything flies: the rule and the bights alone.
/// What flies can only make it larger.
pub fn laid_out_rule_zone(plan: &Plan, rig: &LaidOut, pull: Force) -> RigZone {
    rig_zone(plan, &rig.graph, &under(rig, pull), &RigScatter::default())
}

fn under(rig: &LaidOut, pull: Force) -> Solved {
    rig.at_unit_haul.scaled(times(rig, pull))
}

/// What the loads at unit haul are multiplied by.
fn times(rig: &LaidOut, pull: Force) -> f64 {
    let times = pull / rig.at_unit_haul.pull();
    if times.is_finite() {
        times.max(0.0)
    } else {
        0.0
    }
}
