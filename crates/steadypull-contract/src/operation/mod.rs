//! What a screen asks of the engine, and what it gets: one function an operation.
//!
//! The local server and, later, the browser build speak these types and no others. An
//! answer to a plan is [`Answer`](crate::answer::Answer); everything here stands around
//! it: changing a plan's text without losing its comments, the plan as a form, the quick
//! answer while something is dragged, a recoil to look at, plans and test days that are kept.

mod edit;
mod form;
mod lines;
mod live;
mod placed;
mod replay;
mod rigging;
mod stored;
mod test_day;

pub use edit::{Edit, EditRequest, Edited, Rename, SetValue, edit};
pub use form::{Field, FieldKind, Filled, Form, FormTable};
pub use lines::CarriesLines;
pub use live::{Live, LiveRequest, live};
pub use replay::{
    Replay, ReplayDamper, ReplayRequest, ReplayRig, ReplayThing, ReplayTrack, ReplayVehicle,
    TrackKind,
};
pub use rigging::{LayOut, OpenAsRig, lay_out, open_as_rig};
pub use stored::{
    BriefFormat, BriefRequest, Health, KeptLineFile, NewLineFile, NewPlan, PlanEntry, PlanList,
    PlanRequest, ReadUnits, SavePlan, StoredPlan,
};
pub use test_day::{
    CompareRequest, EditTestDay, EventsByHand, FactorAsked, FitRequest, KeptTestFile,
    LevelsRequest, LookRequest, NewTestDay, OrderAsked, OrderRequest, ReadRequest, RenameTestDay,
    ReportRequest, SaveTestDay, StoredTestDay, TakeUpRequest, TestDayEntry, TestDayFile,
    TestDayFileKind, TestDayList, TestDayPull, edit_tests, named_in_tests, new_tests,
    order_in_tests,
};

pub use crate::assemble::replay::replay;
