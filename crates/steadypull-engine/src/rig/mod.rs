//! The load path: which parts carry the pull, in order, and what each may carry.
//!
//! - [`links`]: a part of the plan as a link, with deratings and refusals.
//! - [`path`]: the rig as planned, or one proposed from the kit.
//! - [`graph`], [`solved`]: a rig laid out on the ground, and it under load.
//! - [`lay_out`]: the words of the plan to that graph, or what is wrong with them.
//! - [`loads`]: each link's load against its limits; the weakest link.

pub mod graph;
pub mod lay_out;
pub mod links;
pub mod loads;
pub mod path;
pub mod solved;

pub use graph::{Graph, GraphRun, Holds, Meets, Motion, Node, NodeKind, Stop};
pub use lay_out::{RigFault, RigSubject};
pub use links::{Factor, Link, LinkKind, Side};
pub use loads::{LinkState, LoadedLink, allowed_tension, load_links};
pub use path::{LoadPath, PathError, find_path};
pub use solved::{LaidOut, Solved, SolvedNode, SolvedRun};
