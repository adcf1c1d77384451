//! A lowering made ready, so that one draw of what is not known costs little.
//!
//! What it answers: with this mass and rolling resistance, how hard does the line pull
//! at the most, at the vehicle and at the holder; and if the main line lets go at this
//! place, how does the vehicle run and does the belay catch it.
//!
//! The stances, and the way of both lines, depend on neither: they are worked out once.
//! The tension is very nearly straight in the rolling resistance (as in
//! [`super::holding`]), so two points of it are kept for each place.

use super::holding::{Draws, Held, at_wheels, balance, holding, line_point};
use super::line_way::Terrain;
use super::profile::Profile;
use super::run_away::{CatchLine, RunAway, Setup, run_away};
use super::study::{LoweringError, blocks_leave, line_of};
use crate::line::{Law, Path};
use crate::plan::{Belay, Line, Lowering, Plan};
use crate::units::{Force, Length};

/// A place on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    distance: Length,
    /// Tension over the weight without rolling resistance, and per unit of it.
    smooth: f64,
    per_rolling: f64,
    /// Tension at the holder over that at the vehicle.
    survives: f64,
    /// Main line between its anchor and the vehicle.
    out: Length,
    /// The same of the belay; nothing without one.
    belay_out: Length,
}

/// The greatest tension in the main line on the whole way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Greatest {
    /// At the vehicle.
    pub at_vehicle: Force,
    /// At the holder, after edges and blocks.
    pub at_holder: Force,
}

/// What a draw says of the belay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BelayDraw {
    /// Strength of its line over that stated, after reductions.
    pub strength: f64,
    /// Stretch of its line over that taken.
    pub stretch: f64,
    /// Slack kept in it over that stated.
    pub slack: f64,
}

/// A lowering made ready.
#[derive(Debug, Clone, PartialEq)]
pub struct Ready<'a> {
    plan: &'a Plan,
    lowering: &'a Lowering,
    profile: Profile,
    places: Vec<Place>,
    belay: Option<(&'a Belay, &'a Line)>,
}

impl<'a> Ready<'a> {
    /// The lowering of `plan`.
    pub fn new(plan: &'a Plan, lowering: &'a Lowering) -> Result<Self, LoweringError> {
        if lowering.to <= lowering.from {
            return Err(LoweringError::NoWay);
        }
        line_of(plan, &lowering.main.line)?;
        let belay = match &lowering.belay {
            Some(belay) => Some((belay, line_of(plan, &belay.line)?)),
            None => None,
        };
        let profile = Profile::new(&lowering.way, lowering.edge_radius.get());
        let places = places(plan, lowering, &profile);
        Ok(Self {
            plan,
            lowering,
            profile,
            places,
            belay,
        })
    }

    /// The greatest tension with the mass so many times that stated and this rolling
    /// resistance.
    pub fn greatest(&self, mass_times: f64, rolling: f64) -> Greatest {
        let weight = self.plan.casualty.vehicle.mass.weight().get() * mass_times;
        let mut most = Greatest {
            at_vehicle: Force::ZERO,
            at_holder: Force::ZERO,
        };
        for place in &self.places {
            let tension = Force::new(weight * place.tension(rolling));
            most.at_vehicle = most.at_vehicle.max(tension);
            most.at_holder = most.at_holder.max(tension * place.survives);
        }
        most
    }

    /// Tension at the holder over that at the vehicle, each where it is greatest, as
    /// the plan states mass and rolling resistance; 1 where nothing pulls.
    pub fn at_holder_share(&self) -> f64 {
        let most = self.greatest(1.0, self.lowering.rolling);
        if most.at_vehicle.get() > 0.0 {
            most.at_holder / most.at_vehicle
        } else {
            1.0
        }
    }

    /// The most of the main line that is out.
    pub fn most_out(&self) -> Length {
        let out = self.places.iter().map(|place| place.out);
        out.fold(Length::ZERO, Length::max)
    }

    /// What the vehicle does if the main line lets go at the place `level` (0 to 1) of
    /// the way, caught by the belay if it is told of one.
    pub fn lets_go(
        &self,
        level: f64,
        mass_times: f64,
        rolling: f64,
        belay: Option<BelayDraw>,
    ) -> RunAway {
        let last = self.places.len() - 1;
        let place = &self.places[((level * (last + 1) as f64) as usize).min(last)];
        run_away(&Setup {
            profile: &self.profile,
            wheelbase: self.lowering.body.wheelbase,
            mass: self.plan.casualty.vehicle.mass * mass_times,
            holds_back: at_wheels(self.lowering, rolling),
            start: place.distance,
            foot: self.lowering.to,
            speed: self.lowering.speed,
            catch: self
                .belay
                .zip(belay)
                .map(|(of, draw)| caught(of, &draw, place)),
        })
    }
}

impl Place {
    /// Tension over the weight; a line does not push.
    fn tension(&self, rolling: f64) -> f64 {
        (self.smooth + self.per_rolling * rolling).max(0.0)
    }
}

/// The belay as drawn, the vehicle at `place`.
fn caught((belay, line): (&Belay, &Line), draw: &BelayDraw, place: &Place) -> CatchLine {
    // So much stronger and as stiff as before.
    let strong = Law::new(
        &line.curve,
        line.mbs * draw.strength,
        &line.condition,
        line.material,
    );
    let law = strong.with_stiffness_scaled(1.0 / draw.strength);
    let slack = belay.slack * draw.slack;
    CatchLine {
        path: Path::new(law, line.condition.strain_seen),
        // The same load at so much more stretch.
        length: (place.belay_out + slack) * draw.stretch,
        slack,
        slips_at: belay.slips_at,
        tail: belay.tail,
    }
}

fn places(plan: &Plan, lowering: &Lowering, profile: &Profile) -> Vec<Place> {
    let terrain_of = |anchor: &crate::plan::LineAnchor| {
        Terrain::new(profile, anchor.back.get(), anchor.height.get())
    };
    let terrain = terrain_of(&lowering.main.anchor);
    let belay = lowering.belay.as_ref().map(|b| terrain_of(&b.anchor));
    let on = Held {
        profile,
        terrain: &terrain,
        lowering,
        blocks: blocks_leave(plan, lowering),
        mass: plan.casualty.vehicle.mass,
        design_quantile: plan.policy.design_quantile,
    };
    // How it stands goes by the middle: one draw tells.
    let middle = Draws {
        mass: vec![1.0],
        rolling: vec![lowering.rolling],
    };
    let body = &lowering.body;
    let stations = holding(&on, &middle).stations;
    stations
        .iter()
        .map(|station| {
            let tension = |rolling| {
                let wheels = at_wheels(lowering, rolling);
                balance(&station.stance, body, station.line.out, wheels).tension
            };
            let (soft, hard) = (0.5 * lowering.rolling, 2.0 * lowering.rolling);
            let per_rolling = (tension(hard) - tension(soft)) / (hard - soft).max(1e-12);
            let point = line_point(&station.stance, body);
            Place {
                distance: Length::new(station.distance_m),
                smooth: tension(soft) - per_rolling * soft,
                per_rolling,
                survives: on.blocks * libm::exp(-lowering.edge_friction * station.line.wrap_rad),
                out: Length::new(station.line.length_m),
                belay_out: belay.as_ref().map_or(Length::ZERO, |terrain| {
                    Length::new(terrain.line_to(point).length_m)
                }),
            }
        })
        .collect()
}
