//! One method with its verdict.

use super::rung_chances::RungChances;
use crate::plan::Method;
use crate::rig::{LoadPath, LoadedLink};
use crate::situation::Treatment;
use crate::units::{Energy, Force};

/// Whether a method is in or out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The least hazardous that works.
    First,
    /// Worth doing on the way; probably not enough alone.
    Step,
    /// Would work, but a less hazardous method comes before it.
    Reserve,
    /// Will probably not shift it.
    TooWeak,
    /// Gear or ground for it is not there.
    NotOnHand,
    /// Something would be overloaded, refused, or cannot be stopped in time.
    RuledOut,
}

/// One method.
#[derive(Debug, Clone, PartialEq)]
pub struct Rung {
    /// The method.
    pub method: Method,
    /// In or out.
    pub verdict: Verdict,
    /// Why.
    pub reason: String,
    /// Probability that it shifts the casualty as found.
    pub shift: Option<f64>,
    /// The same after clearing and digging.
    pub shift_dug: Option<f64>,
    /// Samples behind those.
    pub samples: usize,
    /// What it risks, where it has a rig.
    pub chances: Option<RungChances>,
    /// Load it needs at the casualty in the design case.
    pub needed: Option<Force>,
    /// What it can bring to bear, median.
    pub available: Option<Force>,
    /// Greatest load at the casualty.
    pub peak: Option<Force>,
    /// Energy stored in the line then.
    pub stored: Option<Energy>,
    /// What the loads assume has been done first.
    pub treatment: Treatment,
    /// The rig.
    pub path: Option<LoadPath>,
    /// Its links under the peak load.
    pub links: Vec<LoadedLink>,
}
