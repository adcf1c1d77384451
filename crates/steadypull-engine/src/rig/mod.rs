//! The load path: which parts carry the pull, in order, and what each may carry.
//!
//! - `laid_out`, `walk`, `derated`: a solved rig as links, in the order of reading.
//! - [`lay_out`]: the plan's words as a graph; [`statics`]: the graph in balance.
//! - [`links`]: a part of the plan as a link, with deratings and refusals.
//! - [`path`]: the rig as planned, or one proposed from the kit.
//! - [`graph`], [`solved`]: a rig laid out on the ground, and it under load.
//! - [`node_load`]: the load on a place where lines meet or turn.
//! - `lowered`: what carries a lowering, and its belay.
//! - [`loads`]: each link's load against its limits; the weakest link.
//! - [`derating`]: what bends, hitches and side pulls take from a part.
//! - [`yielding`]: the pull at which each anchor yields, and what happens then.

mod derated;
pub mod derating;
pub mod graph;
mod laid_out;
pub mod lay_out;
pub mod links;
pub mod loads;
mod lowered;
pub mod node_load;
pub mod path;
pub mod solved;
pub mod statics;
mod walk;
pub mod yielding;

pub use graph::{Graph, GraphRun, Holds, Meets, Motion, Node, NodeKind, Stop};
pub use lay_out::{RigFault, RigSubject};
pub use links::{Factor, Link, LinkKind, Side};
pub use loads::{LinkState, LoadedLink, allowed_tension, load_links};
pub use lowered::lowered_path;
pub use node_load::{Direction, NodeLoad, node_load};
pub use path::{LoadPath, PathError, find_path, proposals};
pub use solved::{LaidOut, Solved, SolvedNode, SolvedRun};
pub use statics::{StaticsError, solve};
pub use yielding::{Yielding, yielding};
