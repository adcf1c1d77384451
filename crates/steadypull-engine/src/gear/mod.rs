//! Published rules of the gear: what a part carries, and what takes from it.
//!
//! One file a part or an idea. Every rule names its source and how far that
//! was seen; a rule coded right is not a rule that is right for a given part,
//! so a maker's own figure always comes first.

pub mod age;
pub mod anchor;
pub mod block;
pub mod bridle;
pub mod design_factor;
pub mod knot;
pub mod shackle;
pub mod sling;
pub mod strap_rule;
pub mod termination;
pub mod towing_eye;
pub mod wire_rope;
