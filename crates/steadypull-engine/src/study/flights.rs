//! What could fly, from a straight rig or one laid out on the ground, in one way of
//! asking.

use super::{Flown, Levels, Meeting, Rigged, Role, Studied, ZoneFrame, variables as spread};
use crate::letgo::drawn::{LetGoDraw, StraightFlights, StraightItem};
use crate::letgo::rig::{RigFlights, RigLaunch};
use crate::letgo::{FreeEnd, Outcome, Setup, SiteDraw};
use crate::plan::Plan;
use crate::rig::Side;
use crate::units::{Angle, Force, Length};

/// Something that could fly.
#[derive(Debug, Clone, PartialEq)]
pub struct FlyingItem {
    /// The parts that leave it to fly.
    pub parts: Vec<String>,
    /// What flies, in words.
    pub words: String,
    /// From which end or place, the same for every draw of a plan's numbers.
    pub(super) end: String,
}

/// Everything that could fly.
pub(super) enum Flights<'a> {
    /// Nothing whose flight is worked out: a lowering that is not laid out on the
    /// ground, or no rig. The vehicles stand so far apart.
    Nothing(Length),
    Straight(StraightFlights<'a>),
    LaidOut(RigFlights<'a>),
}

/// A let-go to be worked out.
pub(super) enum Launch {
    /// By this run.
    Run(Box<Setup>),
    /// Already known.
    Known(Flown),
}

impl<'a> Flights<'a> {
    pub fn new(plan: &'a Plan, rigged: &'a Rigged) -> Self {
        match &rigged.path.laid_out {
            None if rigged.studied != Studied::Pull => Self::Nothing(rigged.span),
            Some(rig) => Self::LaidOut(RigFlights::new(plan, rig, rigged.reference)),
            None => Self::Straight(StraightFlights::new(plan, &rigged.path)),
        }
    }

    pub fn items(&self) -> Vec<FlyingItem> {
        match self {
            Self::Nothing(_) => Vec::new(),
            Self::Straight(all) => {
                let of = |i: &StraightItem| FlyingItem {
                    parts: i.links.clone(),
                    words: match i.at {
                        _ if i.inside.is_some() => tail_words(i),
                        Side::Casualty => format!("{}, from the casualty's end", i.flies),
                        _ => format!("{}, from the tug's end", i.flies),
                    },
                    // A break inside a line is no break at its end.
                    end: match i.inside {
                        Some(_) => format!("{:?} inside", i.at),
                        None => format!("{:?}", i.at),
                    },
                };
                all.items.iter().map(of).collect()
            }
            Self::LaidOut(all) => {
                let of = |i: &crate::letgo::rig::RigItem| FlyingItem {
                    parts: i.parts.clone(),
                    words: i.flies.clone(),
                    end: i.end.clone(),
                };
                all.items.iter().map(of).collect()
            }
        }
    }

    /// Items that fly if `part` lets go.
    pub fn of_part(&self, part: &str) -> Vec<usize> {
        let has = |parts: &[String]| parts.iter().any(|p| p == part);
        match self {
            Self::Nothing(_) => Vec::new(),
            Self::Straight(all) => places(&all.items, |i| has(&i.links)),
            Self::LaidOut(all) => places(&all.items, |i| has(&i.parts)),
        }
    }

    /// How an item leaves in a draw; none where nothing flies.
    pub fn launch(&self, item: usize, draw: &LetGoDraw) -> Option<Launch> {
        Some(match self {
            Self::Nothing(_) => return None,
            Self::Straight(all) => Launch::Run(Box::new(all.setup(item, draw))),
            Self::LaidOut(all) => match all.launch(item, draw) {
                RigLaunch::Chain(setup) => Launch::Run(setup),
                RigLaunch::Thrown(speed, energy, places) => Launch::Known(Flown {
                    item,
                    speed_m_s: speed.get(),
                    energy_j: energy.get(),
                    reach_m: furthest(&places, |p| all.off_line(p).get()),
                    meeting: None,
                    places,
                }),
            },
        })
    }

    /// What a run came to, on a plan whose vehicles it may strike.
    pub fn flown(&self, plan: &Plan, item: usize, draw: &LetGoDraw, outcome: &Outcome) -> Flown {
        let (places, (speed_m_s, energy_j)) = match self {
            Self::Nothing(_) => Default::default(),
            Self::Straight(all) => {
                let arrives = |a: FreeEnd| (a.speed.get(), a.energy.get());
                let arrival = outcome.arrival.map_or((0.0, 0.0), arrives);
                (all.landings(item, outcome), arrival)
            }
            Self::LaidOut(all) => {
                let (speed, energy) = all.leaves(item, draw, outcome);
                (
                    all.landings(item, draw, outcome),
                    (speed.get(), energy.get()),
                )
            }
        };
        let shape = match self.flies_to(item) {
            Some(Side::Casualty) => Some(&plan.casualty.vehicle.shape),
            Some(_) => Some(&plan.tug.vehicle.shape),
            None => None,
        };
        let criterion = plan.policy.injury_energy;
        Flown {
            item,
            speed_m_s,
            energy_j,
            reach_m: furthest(&places, |p| self.off_line(p).get()),
            meeting: shape.map(|shape| Meeting::of(&outcome.flown, shape, criterion)),
            places,
        }
    }

    /// The vehicle that an item flies to, if it can strike one.
    fn flies_to(&self, item: usize) -> Option<Side> {
        match self {
            Self::Nothing(_) => None,
            Self::Straight(all) => Some(match all.items[item].at {
                Side::Casualty => Side::Tug,
                _ => Side::Casualty,
            }),
            Self::LaidOut(all) => all.flies_to(item),
        }
    }

    /// Distance of a place in plan, m, from the nearest part of line.
    pub fn off_line(&self, (x, y): (f64, f64)) -> Length {
        let beside = |span: Length| Length::new(libm::hypot(x - x.clamp(0.0, span.get()), y));
        match self {
            Self::Nothing(span) => beside(*span),
            Self::Straight(all) => beside(all.span()),
            Self::LaidOut(all) => all.off_line((x, y)),
        }
    }

    /// The zone's frame; `rule` is the rule distance of a straight rig.
    pub fn frame(&self, rule: Length) -> ZoneFrame {
        match self {
            Self::Nothing(span) => ZoneFrame::straight(*span, rule),
            Self::Straight(all) => ZoneFrame::straight(all.span(), rule),
            Self::LaidOut(all) => ZoneFrame::laid_out(all),
        }
    }
}

/// The tail of a line that parts inside, in words.
fn tail_words(item: &StraightItem) -> String {
    let to = match item.at {
        Side::Casualty => "tug",
        _ => "casualty",
    };
    format!(
        "the tail of {}, parted inside, to the {to}",
        item.links.join(" or ")
    )
}

fn places<T>(items: &[T], has: impl Fn(&T) -> bool) -> Vec<usize> {
    let found = items.iter().enumerate().filter(|(_, item)| has(item));
    found.map(|(i, _)| i).collect()
}

fn furthest(places: &[(f64, f64)], away: impl Fn((f64, f64)) -> f64) -> f64 {
    let finite = places.iter().filter(|p| p.0.is_finite() && p.1.is_finite());
    finite.map(|p| away(*p)).fold(0.0, f64::max)
}

/// What a draw says of a let-go at `pull`.
///
/// `stretch` is that of its lines over that taken.
pub(super) fn let_go_draw(levels: &Levels, pull: Force, stretch: f64) -> LetGoDraw {
    let of = |role, d: crate::chance::Distribution| d.quantile(levels.of(role));
    LetGoDraw {
        pull,
        // As likely a little down as up; down it meets the ground at once.
        up: Angle::new(of(Role::LaunchUp, spread::direction()).abs()),
        left: Angle::new(of(Role::LaunchLeft, spread::direction())),
        energy_return: levels.of(Role::EnergyReturn),
        stretch,
        hardware: of(Role::HardwareMass, spread::hardware()),
        damper_grip: of(Role::DamperGrip, spread::damper_grip()),
        tether_strength: of(Role::TetherStrength, spread::tether_strength()),
        friction: of(Role::GroundFriction, spread::friction()),
        casualty_mass: of(Role::CasualtyMass, spread::mass(1.0)),
        tug_mass: of(Role::TugMass, spread::mass(1.0)),
        site: SiteDraw {
            gust: levels.of(Role::Gust),
            turn: levels.of(Role::WindTurn),
            bumps: [levels.of(Role::BumpsAlong), levels.of(Role::BumpsAcross)],
        },
        along: levels.of(Role::BreakPlace),
    }
}
