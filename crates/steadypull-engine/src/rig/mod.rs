//! The load path: which parts carry the pull, in order, and what each may carry.
//!
//! - [`links`]: a part of the plan as a link, with deratings and refusals.
//! - [`path`]: the rig as planned, or one proposed from the kit.
//! - [`loads`]: each link's load against its limits; the weakest link.

pub mod links;
pub mod loads;
pub mod path;

pub use links::{Factor, Link, LinkKind, Side};
pub use loads::{LinkState, LoadedLink, allowed_tension, load_links};
pub use path::{LoadPath, PathError, find_path};
