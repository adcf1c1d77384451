//! What a line does under load: extension, energy return, wet and worn.
//!
//! - [`Material`]: presets, each citing its curve.
//! - [`Curve`]: tension against strain, normalised by breaking strength.
//! - [`Condition`]: wet, wear, knots, set.
//! - [`Law`]: the path law of one line, ready for the equations of motion.

pub mod catenary;
mod condition;
mod curve;
mod law;
mod material;
pub mod rope_data;

pub use crate::gear::knot::Knot;
pub use condition::{Condition, strength_factors};
pub use curve::{Curve, CurveError, Rate};
pub use law::{Law, Path, Unloading};
pub use material::{Material, Preset};
