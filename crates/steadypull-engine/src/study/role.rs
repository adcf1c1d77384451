//! What an uncertain input does in a recovery, and the levels drawn for all of them.

use crate::situation::TermKind;

/// What an uncertain input does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Size of a term of the resistance; rolling and mire are one, the ground.
    Term(TermKind),
    /// Mass of the casualty over that stated.
    CasualtyMass,
    /// Mass of the tug over that stated.
    TugMass,
    /// Coefficient of grip of the tug.
    TugGrip,
    /// Speed driven over that wanted.
    RunUp,
    /// Slack laid out over that wanted.
    Slack,
    /// Place of the lines' energy return in its range.
    EnergyReturn,
    /// Stretch of the lines over that taken, in the pull and as a part lets go.
    Stretch,
    /// Rolling resistance on the way of a lowering.
    Rolling,
    /// Friction of the line round what lowers it.
    HolderFriction,
    /// Slack kept in a belay over that wanted.
    BelaySlack,
    /// Where on the way the main line of a lowering lets go, if it does.
    LetGoPlace,
    /// Pull of the tug's winch over that rated.
    WinchPull,
    /// Strength of the part with this number.
    Strength(usize),
    /// Which of the things that could fly does, if a part lets go.
    WhichItem,
    /// Launch direction above the line of pull.
    LaunchUp,
    /// Launch direction to the left of it.
    LaunchLeft,
    /// Mass of what flies over that stated.
    HardwareMass,
    /// Grip of dampers on the line over that stated.
    DamperGrip,
    /// Strength of tethers over that stated.
    TetherStrength,
    /// Friction of the ground under what flies.
    GroundFriction,
    /// Where along its line a break inside it is.
    BreakPlace,
    /// Speed of the wind in a let-go over its mean.
    Gust,
    /// Direction of the wind in a let-go off its mean.
    WindTurn,
    /// Where the bumps lie under a let-go, along.
    BumpsAlong,
    /// The same, across.
    BumpsAcross,
    /// An input that the plan states as uncertain, by its number there.
    Stated(usize),
}

impl Role {
    /// The role of a term of the resistance.
    pub fn of_term(kind: TermKind) -> Self {
        match kind {
            TermKind::Rolling | TermKind::Mire => Self::Term(TermKind::Mire),
            other => Self::Term(other),
        }
    }
}

/// One draw: a level in (0, 1) for every variable.
#[derive(Debug, Clone, Copy)]
pub struct Levels<'a> {
    /// What each variable does.
    pub roles: &'a [Role],
    /// The level of each.
    pub levels: &'a [f64],
}

impl Levels<'_> {
    /// Level of `role`; the middle where nothing is drawn for it.
    pub fn of(&self, role: Role) -> f64 {
        let at = self.roles.iter().position(|r| *r == role);
        at.and_then(|i| self.levels.get(i)).copied().unwrap_or(0.5)
    }
}
