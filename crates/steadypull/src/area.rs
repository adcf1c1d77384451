//! The areas of an answer, one command each.

/// One area.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Area {
    /// How hard the casualty is stuck.
    Situation,
    /// Every method, least hazardous first.
    Options,
    /// The load in every link.
    LoadPath,
    /// A rig laid out on the ground under its load.
    Rig,
    /// What a kinetic pull would do.
    Pull,
    /// What comes back if a part lets go.
    LetGo,
    /// How far back people stand.
    Standoff,
    /// Lowering down a slope.
    Lowering,
}

impl Area {
    /// Every area, in the order of a report.
    pub const ALL: [Self; 8] = [
        Self::Situation,
        Self::Options,
        Self::LoadPath,
        Self::Rig,
        Self::Pull,
        Self::LetGo,
        Self::Standoff,
        Self::Lowering,
    ];
}
