//! The whole lowering: holding, paying out, and what happens if a part lets go at
//! any place on the way.
//!
//! Run-aways are worked out with the mass at its upper and the rolling resistance
//! at its lower design quantile, from evenly spaced places, at the lowering speed.

use thiserror::Error;

use super::anchor_hold::anchor_hold;
use super::holding::{Draws, Held, Holding, Station, at_wheels, holding, line_point};
use super::line_way::Terrain;
use super::parts::{Left, PartKind, PartLoad, parts, point_limit};
use super::pay_out::{PayOut, pay_out};
use super::profile::Profile;
use super::run_away::{CatchLine, End, RunAway, Setup, run_away};
use crate::chance::normal_quantile;
use crate::line::{Law, Path};
use crate::plan::{Belay, Block, Holder, Line, Lowering, Part, Plan};
use crate::units::{Force, Length, Mass};

/// Places from which a run-away is followed.
const RUNS: usize = 13;

/// Why a lowering could not be worked out.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum LoweringError {
    /// A line that the kit does not hold.
    #[error("the kit has no line called {0}")]
    NoLine(String),
    /// Nothing to go down.
    #[error("the lowering ends where it starts: give a way to go")]
    NoWay,
}

/// A run-away from one place.
#[derive(Debug, Clone, PartialEq)]
pub struct RunFrom {
    /// Place of the upper axle when it parts.
    pub distance: Length,
    /// What happens.
    pub run: RunAway,
}

/// How the belay does.
#[derive(Debug, Clone, PartialEq)]
pub struct BelayStudy {
    /// Run-aways from place to place, the belay catching.
    pub runs: Vec<RunFrom>,
    /// Index of the worst: one that is not caught, else the highest peak.
    pub worst: usize,
    /// Strength of the line as it is.
    pub strength: Force,
    /// What its anchor holds, if known, at the design quantile.
    pub anchor_holds: Option<Force>,
    /// What its point may carry and what says so.
    pub point: (Option<Force>, &'static str),
    /// Line needed at the end, and line there is.
    pub needed: Length,
    /// Line there is.
    pub there_is: Length,
}

impl BelayStudy {
    /// The worst run.
    pub fn worst(&self) -> &RunFrom {
        &self.runs[self.worst]
    }

    /// Whether it catches from every place: the line holds and does not run
    /// through, and neither its anchor nor its point is asked for too much.
    pub fn catches(&self) -> bool {
        self.stopped() && self.anchor_stands() && self.point_stands()
    }

    /// Whether the line and its device stop the vehicle from every place.
    pub fn stopped(&self) -> bool {
        let held = |r: &RunFrom| matches!(r.run.end, End::Caught | End::Stays);
        self.runs.iter().all(held)
    }

    /// Peak on the belay from any place.
    pub fn peak(&self) -> Force {
        self.runs
            .iter()
            .map(|r| r.run.peak)
            .fold(Force::ZERO, Force::max)
    }

    /// Whether the anchor is known to hold the peak.
    pub fn anchor_stands(&self) -> bool {
        self.anchor_holds.is_some_and(|holds| self.peak() <= holds)
    }

    /// Whether the casualty's point may carry the peak.
    pub fn point_stands(&self) -> bool {
        self.point.0.is_some_and(|limit| self.peak() <= limit)
    }
}

/// A lowering worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// The way.
    pub profile: Profile,
    /// The holding force.
    pub holding: Holding,
    /// Paying out.
    pub pay_out: PayOut,
    /// Every part of the main line.
    pub parts: Vec<PartLoad>,
    /// Run-aways with nothing to catch.
    pub loose: Vec<RunFrom>,
    /// The belay, if there is one.
    pub belay: Option<BelayStudy>,
    /// Run-aways when a redirect lets go and the main line comes tight again.
    pub redirect: Vec<RunFrom>,
}

impl Study {
    /// The fastest run-away with nothing to catch.
    pub fn fastest(&self) -> Option<&RunFrom> {
        worst_by(&self.loose, |r| r.greatest_speed.get()).map(|i| &self.loose[i])
    }

    /// The hardest catch by the main line after a redirect let go.
    pub fn worst_redirect(&self) -> Option<&RunFrom> {
        worst_by(&self.redirect, badness).map(|i| &self.redirect[i])
    }
}

/// A run that is not caught is worse than any peak.
fn badness(run: &RunAway) -> f64 {
    match run.end {
        End::Caught | End::Stays => run.peak.get(),
        End::Parted | End::RanThrough | End::Runs => 1e12 + run.greatest_speed.get(),
    }
}

fn worst_by(runs: &[RunFrom], of: fn(&RunAway) -> f64) -> Option<usize> {
    let all = runs.iter().enumerate();
    all.max_by(|a, b| of(&a.1.run).total_cmp(&of(&b.1.run)))
        .map(|(i, _)| i)
}

/// Works out the lowering of `plan`.
pub fn study(plan: &Plan, lowering: &Lowering) -> Result<Study, LoweringError> {
    if lowering.to <= lowering.from {
        return Err(LoweringError::NoWay);
    }
    let line = line_of(plan, &lowering.main.line)?;
    let profile = Profile::new(&lowering.way, lowering.edge_radius.get());
    let anchor = &lowering.main.anchor;
    let terrain = Terrain::new(&profile, anchor.back.get(), anchor.height.get());
    let on = Held {
        profile: &profile,
        terrain: &terrain,
        lowering,
        blocks: blocks_leave(plan, lowering),
        mass: plan.casualty.vehicle.mass,
        design_quantile: plan.policy.design_quantile,
    };
    let holding = holding(&on, &Draws::new(lowering, plan.seed));
    let pay_out = pay_out(
        lowering,
        &holding,
        line,
        plan.tug.winch.as_ref(),
        (plan.seed, plan.policy.design_quantile),
    );
    let peak = holding.peak();
    let parts = parts(plan, lowering, line, (peak.hold, peak.at_holder), &pay_out);
    let bench = Bench {
        plan,
        lowering,
        profile: &profile,
        places: places(&holding),
    };
    let loose = bench.runs(|_| None);
    let redirect = if parts.iter().any(|p| p.kind == PartKind::Block) {
        bench.runs(|at| Some(after_redirect(lowering, line, &pay_out, at)))
    } else {
        Vec::new()
    };
    let belay = match &lowering.belay {
        Some(belay) => Some(bench.belay(belay)?),
        None => None,
    };
    Ok(Study {
        loose,
        redirect,
        belay,
        parts,
        pay_out,
        holding,
        profile: profile.clone(),
    })
}

/// The line of the kit called `name`.
pub(super) fn line_of<'p>(plan: &'p Plan, name: &str) -> Result<&'p Line, LoweringError> {
    match plan.kit.part(name) {
        Some(Part::Line(line)) => Ok(line),
        _ => Err(LoweringError::NoLine(name.into())),
    }
}

/// Share of tension that survives all redirects of the main line.
pub(super) fn blocks_leave(plan: &Plan, lowering: &Lowering) -> f64 {
    let named = lowering.main.through.iter();
    let blocks = named.filter_map(|name| match plan.kit.part(name) {
        Some(Part::Block(block)) => Some(block),
        _ => None,
    });
    blocks.map(survives).product()
}

/// Share of tension behind a redirect, the line half way round a ring.
fn survives(block: &Block) -> f64 {
    match block.ring_friction {
        Some(mu) => libm::exp(-mu * core::f64::consts::PI),
        None => block.efficiency,
    }
}

/// Evenly spaced stations, first and last among them.
fn places(holding: &Holding) -> Vec<&Station> {
    let last = holding.stations.len() - 1;
    let mut at: Vec<usize> = (0..RUNS).map(|i| i * last / (RUNS - 1)).collect();
    at.dedup();
    at.into_iter().map(|i| &holding.stations[i]).collect()
}

/// The main line once a redirect has let go.
fn after_redirect(lowering: &Lowering, line: &Line, pay_out: &PayOut, at: &Station) -> CatchLine {
    let out = Length::new(at.line.length_m);
    CatchLine {
        path: path(line),
        length: out,
        slack: lowering.main.block_gives,
        slips_at: match lowering.main.holder {
            Holder::Winch => None,
            Holder::Turns(_) => pay_out.turns_hold.map(|hold| hold.median),
        },
        tail: (line.length - out).max(Length::ZERO),
    }
}

fn path(line: &Line) -> Path {
    let law = Law::new(&line.curve, line.mbs, &line.condition, line.material);
    Path::new(law, line.condition.strain_seen)
}

struct Bench<'a> {
    plan: &'a Plan,
    lowering: &'a Lowering,
    profile: &'a Profile,
    places: Vec<&'a Station>,
}

impl Bench<'_> {
    fn runs(&self, catch: impl Fn(&Station) -> Option<CatchLine>) -> Vec<RunFrom> {
        let lowering = self.lowering;
        let z = normal_quantile(self.plan.policy.design_quantile);
        let mass = self.plan.casualty.vehicle.mass * libm::exp(z * lowering.mass_spread);
        let rolling = lowering.rolling * libm::exp(-z * lowering.rolling_spread);
        let from = |at: &&Station| RunFrom {
            distance: Length::new(at.distance_m),
            run: run_away(&self.setup(at, mass, rolling, catch(at))),
        };
        self.places.iter().map(from).collect()
    }

    fn setup(&self, at: &Station, mass: Mass, rolling: f64, catch: Option<CatchLine>) -> Setup<'_> {
        Setup {
            profile: self.profile,
            wheelbase: self.lowering.body.wheelbase,
            mass,
            holds_back: at_wheels(self.lowering, rolling),
            start: Length::new(at.distance_m),
            foot: self.lowering.to,
            speed: self.lowering.speed,
            catch,
        }
    }

    fn belay(&self, belay: &Belay) -> Result<BelayStudy, LoweringError> {
        let line = line_of(self.plan, &belay.line)?;
        let anchor = &belay.anchor;
        let terrain = Terrain::new(self.profile, anchor.back.get(), anchor.height.get());
        let out = |at: &Station| {
            let point = line_point(&at.stance, &self.lowering.body);
            Length::new(terrain.line_to(point).length_m)
        };
        let runs = self.runs(|at| {
            Some(CatchLine {
                path: path(line),
                length: out(at) + belay.slack,
                slack: belay.slack,
                slips_at: belay.slips_at,
                tail: belay.tail,
            })
        });
        let most = self
            .places
            .iter()
            .map(|at| out(at))
            .fold(Length::ZERO, Length::max);
        let sure = self.plan.policy.design_quantile;
        Ok(BelayStudy {
            worst: worst_by(&runs, badness).unwrap_or(0),
            runs,
            strength: line.mbs * line.condition.strength_factor(line.material),
            anchor_holds: anchor_hold(self.plan, anchor, sure),
            point: point_limit(self.plan, &belay.point),
            needed: most + belay.slack + belay.tail,
            there_is: line.length,
        })
    }
}

/// What is left when `part` lets go, and how it does.
pub fn then(study: &Study, part: &PartLoad) -> Option<RunFrom> {
    match part.left {
        Left::MainLine => study.worst_redirect().cloned(),
        Left::Belay => study.belay.as_ref().map(|b| b.worst().clone()),
        Left::Nothing => study.fastest().cloned(),
    }
}

/// What `line` may carry in a catch: its strength as it is over the policy's
/// factor for a pull whose peak is short.
pub fn catch_limit(plan: &Plan, study: &BelayStudy) -> Force {
    study.strength / plan.policy.kinetic_design_factor
}
