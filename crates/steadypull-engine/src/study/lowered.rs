//! A lowering as it falls out in one draw.
//!
//! The mass, the rolling resistance and the friction at the holder are drawn; the line
//! pulls as hard as the place on the way that asks most; it is held if the holder and
//! what it is fixed to hold that and no part lets go below. Whether it does or not, the
//! main line is also let go at a drawn place of the way: what the vehicle does then
//! without a belay, and whether the belay catches it with the strengths of the draw.

use super::{Levels, Role, gear_spread, variables as spread};
use crate::chance::{Distribution, LogNormal};
use crate::gear::block::capstan_ratio;
use crate::plan::{Holder, Lowering, Part, Plan};
use crate::pull::lowering::drawn::{BelayDraw, Greatest, Ready};
use crate::pull::lowering::pay_out::wrap;
use crate::pull::lowering::run_away::End;
use crate::pull::lowering::study::LoweringError;
use crate::pull::winch::winch_pull;
use crate::rig::LoadPath;
use crate::rig::loads::strength;

/// Slack kept in a belay over that stated, either way (assumed).
const BELAY_SLACK_MOST: f64 = 0.5;

/// The main line let go somewhere on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LetGoOnTheWay {
    /// Greatest speed of the vehicle with nothing to catch it, m/s; up to the end of
    /// the way where it does not stop in sight.
    pub loose_m_s: f64,
    /// With the belay, if there is one.
    pub belay: Option<BelayCaught>,
}

/// What the belay does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BelayCaught {
    /// Peak tension in it, N.
    pub peak_n: f64,
    /// Whether its line and device stop the vehicle.
    pub stops: bool,
    /// The same, and its anchor and its point hold the peak; none where what one of
    /// them holds is not stated.
    pub holds: Option<bool>,
}

/// What holds the main line back.
enum HeldBy {
    /// The winch's brake, N.
    Winch(f64),
    /// Turns, by their friction.
    Turns(crate::plan::Turns),
    /// Nothing that is described.
    NotKnown,
}

/// A part of the belay: its number and strength, or nothing where none is stated.
type BelayPart = Option<(usize, LogNormal)>;

/// A lowering made ready.
pub(super) struct Lowered<'a> {
    plan: &'a Plan,
    lowering: &'a Lowering,
    ready: Ready<'a>,
    held_by: HeldBy,
    /// Line, anchor and point of the belay; the strength of its line over that stated.
    belay: Option<[BelayPart; 3]>,
    belay_mbs: Option<LogNormal>,
}

/// How hard the line pulls in a draw, and what holds it, both at the vehicle, N.
pub(super) struct Asked {
    pub pull_n: f64,
    pub holds_n: f64,
}

impl<'a> Lowered<'a> {
    /// The lowering of `plan`; `number` gives a part's number by its name.
    pub fn new(
        plan: &'a Plan,
        lowering: &'a Lowering,
        path: &LoadPath,
        number: impl Fn(&str) -> Option<usize>,
    ) -> Result<Self, LoweringError> {
        let of = |name: &str| -> BelayPart {
            let link = path.links.iter().find(|l| l.name == name)?;
            number(name).zip(strength(link).filter(|_| link.refused.is_none()))
        };
        let belay = lowering.belay.as_ref();
        let full = |point: &str| match point.strip_prefix("casualty.") {
            Some(_) => point.to_string(),
            None => format!("casualty.{point}"),
        };
        let over_stated = |name: &str| {
            let link = path.links.iter().find(|l| l.name == name)?;
            let (size, stated) = (strength(link)?, link.derated_mbs()?);
            Some(LogNormal::new(size.median / stated.get(), size.spread))
        };
        Ok(Self {
            ready: Ready::new(plan, lowering)?,
            held_by: held_by(plan, lowering),
            belay_mbs: belay.and_then(|b| over_stated(&b.line)),
            belay: belay.map(|b| [of(&b.line), of(&b.anchor.name), of(&full(&b.point))]),
            plan,
            lowering,
        })
    }

    /// What is asked of the line and what holds it; `slides` is the least of the anchors
    /// that give way slowly, at the vehicle.
    pub fn asked(&self, levels: &Levels, slides: f64) -> Asked {
        let Greatest {
            at_vehicle,
            at_holder,
        } = self.ready.greatest(self.mass(levels), self.rolling(levels));
        let share = if at_vehicle.get() > 0.0 {
            at_holder / at_vehicle
        } else {
            1.0
        };
        let holder = match &self.held_by {
            HeldBy::Winch(pull) => {
                let winch = self.plan.tug.winch.as_ref();
                let times = winch.map_or(Distribution::Fixed(1.0), gear_spread::winch_pull);
                pull * times.quantile(levels.of(Role::WinchPull))
            }
            HeldBy::Turns(turns) => {
                let friction = LogNormal::new(turns.friction, turns.friction_spread);
                let mu = friction.quantile(levels.of(Role::HolderFriction));
                turns.hand_limit.get() * capstan_ratio(mu, wrap(turns))
            }
            HeldBy::NotKnown => 0.0,
        };
        Asked {
            pull_n: at_vehicle.get(),
            holds_n: (holder / share.max(1e-9)).min(slides),
        }
    }

    /// The main line let go at the place of the draw.
    pub fn lets_go(&self, levels: &Levels, stretch: f64) -> LetGoOnTheWay {
        let (mass, rolling) = (self.mass(levels), self.rolling(levels));
        let place = levels.of(Role::LetGoPlace);
        let loose = self.ready.lets_go(place, mass, rolling, None);
        let speed = match (loose.ran, loose.foot_speed) {
            (None, Some(foot)) => foot,
            _ => loose.greatest_speed,
        };
        let belay = self.belay.as_ref().map(|parts| {
            let [line, anchor, point] = parts;
            let draw = BelayDraw {
                strength: self.belay_strength(levels, line),
                stretch,
                slack: belay_slack(1.0).quantile(levels.of(Role::BelaySlack)),
            };
            let run = self.ready.lets_go(place, mass, rolling, Some(draw));
            let stops = matches!(run.end, End::Caught | End::Stays);
            let peak_n = run.peak.get();
            let stands = |part: &BelayPart| {
                part.map(|(i, size)| size.quantile(levels.of(Role::Strength(i))) >= peak_n)
            };
            let holds = stands(anchor).zip(stands(point));
            BelayCaught {
                peak_n,
                stops,
                holds: holds.map(|(anchor, point)| stops && anchor && point),
            }
        });
        LetGoOnTheWay {
            loose_m_s: speed.get(),
            belay,
        }
    }

    fn belay_strength(&self, levels: &Levels, line: &BelayPart) -> f64 {
        match (line, self.belay_mbs) {
            (Some((i, _)), Some(over)) => over.quantile(levels.of(Role::Strength(*i))),
            _ => 1.0,
        }
    }

    fn mass(&self, levels: &Levels) -> f64 {
        mass(self.lowering, 1.0).quantile(levels.of(Role::CasualtyMass))
    }

    fn rolling(&self, levels: &Levels) -> f64 {
        let of = LogNormal::new(self.lowering.rolling, self.lowering.rolling_spread);
        of.quantile(levels.of(Role::Rolling))
    }
}

/// Mass of the lowered vehicle, where `stated` was estimated.
pub(super) fn mass(lowering: &Lowering, stated: f64) -> Distribution {
    Distribution::LogNormal(LogNormal::new(stated, lowering.mass_spread))
}

/// Slack kept in the belay, where `wanted` was wanted.
pub(super) fn belay_slack(wanted: f64) -> Distribution {
    spread::about(wanted, BELAY_SLACK_MOST)
}

fn held_by(plan: &Plan, lowering: &Lowering) -> HeldBy {
    match lowering.main.holder {
        Holder::Turns(turns) => HeldBy::Turns(turns),
        Holder::Winch => match (&plan.tug.winch, plan.kit.part(&lowering.main.line)) {
            (Some(winch), Some(Part::Line(line))) => {
                HeldBy::Winch(winch_pull(winch, winch.diameter_of(line)).get())
            }
            _ => HeldBy::NotKnown,
        },
    }
}
