//! The factory towing eye: proven for half the vehicle's mass, no more.
//!
//! A type-approved towing device withstands a static pull or push of at least
//! half the vehicle's technically permissible maximum laden mass. That is all
//! a plain eye is known to carry.

use crate::source::{Source, Status};
use crate::units::{Force, Mass};

/// The rule.
pub const SOURCE: Source = Source::new(
    "Commission Regulation (EU) 1005/2010, official summary",
    Status::Read,
);

/// Static pull that the eye is proven for.
pub fn proven_pull(greatest_laden_mass: Mass) -> Force {
    greatest_laden_mass.weight() * 0.5
}
