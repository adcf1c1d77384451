//! A recovery under everything that is not known: how likely it is to work, to break,
//! what breaks first, how far things fly, and what drives all that.
//!
//! - [`Variable`], [`variables`]: what is uncertain about a plan and its rig, by kind
//!   and source.
//! - [`Model`]: the plan made ready; one draw of every variable gives one [`Drawn`].
//! - [`Totals`]: what many draws come to, in memory that does not grow with them.
//! - [`ZoneTally`]: where things come down, ray by ray.
//!
//! One draw of all variables is one whole recovery: the resistance met, what the tug
//! brings to bear, the load on every link against its limits and against a drawn
//! strength of it, the first link to go if one does, and a let-go at the load of that
//! draw. The rig fails at the first link to be exceeded. The variables are taken as
//! independent but for the numbers of a line measured in tests ([`joined`]): a wetter site
//! lowers grip and raises mire together, which this does not know. A lowering ([`Studied::Lowering`]) is one whole way down and the main line let
//! go somewhere on it; a plan without a rig ([`Studied::NoRig`]) is the resistance against
//! what the tug alone brings.

mod drawn;
mod flights;
mod fly;
mod gear_spread;
mod lowered;
mod lowering_variables;
mod meeting;
mod model;
mod no_rig;
mod prepared;
mod role;
mod totals;
mod variable;
mod variables;
mod zone_frame;
mod zone_tally;

pub use drawn::{Drawn, Flown};
pub use flights::FlyingItem;
pub use lowered::{BelayCaught, LetGoOnTheWay};
pub use meeting::{Hit, Meeting};
pub use model::{Model, Row, StudyError};
pub use no_rig::{MethodDrawn, MethodTold};
pub use prepared::{Rigged, Studied};
pub use role::{Levels, Role};
pub use totals::{BelayTotals, Counts, ItemTotals, MethodTotals, Totals};
pub use variable::{Group, Variable};
pub use variables::{joined, variables};
pub use zone_frame::ZoneFrame;
pub use zone_tally::{Contour, ZoneTally};
