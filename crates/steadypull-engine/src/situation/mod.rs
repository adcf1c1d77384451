//! How hard the casualty is stuck, and what the tug can do about it.

pub mod handbook;
pub mod resistance;
mod soil;
pub mod surface;
pub mod tug_ability;

pub use resistance::{ForceRange, Resistance, Term, TermKind, Treatment, resistance};
pub use soil::{SoilFacts, soil_facts};
pub use tug_ability::{TugAbility, tug_ability};
