//! A plan and its rig made ready: one draw of every variable gives one recovery.
//!
//! A steady pull brings the least of what the tug grips, drives or winches and what
//! its hold as an anchor bears; it moves the casualty if that is at least the
//! resistance and no part lets go before. A kinetic pull is run in time with the drawn
//! masses, grip, run-up, energy return and resistance until the weakest drawn part lets
//! go. The load on every link is its share of the pull.

use thiserror::Error;

use super::flights::Flights;
use super::fly::fly;
use super::lowered::Lowered;
use super::no_rig::NoRig;
use super::prepared::Studied;
use super::{
    Drawn, FlyingItem, Levels, MethodTold, Rigged, Role, Variable, ZoneFrame, gear_spread,
    variables as spread,
};
use crate::chance::LogNormal;
use crate::letgo::cases::return_range;
use crate::line::Path;
use crate::options::{SHIFT, kinetic_setup};
use crate::plan::{Method, Plan};
use crate::pull::PullError;
use crate::pull::kinetic::{self, Outcome, Setup};
use crate::pull::lowering::study::LoweringError;
use crate::pull::winch::pull_in_use;
use crate::rig::PathError;
use crate::rig::loads::strength;
use crate::situation::resistance::{driven_share, fast_suction, has_fixed_end, terms};
use crate::situation::tug_ability::drive_limit;
use crate::situation::{Term, TermKind};
use crate::units::{Force, Length, Speed};

/// Why a study cannot be made.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum StudyError {
    /// The pull cannot be set up.
    #[error("the pull could not be worked out: {0}")]
    Pull(#[from] PullError),
    /// The lowering cannot be worked out.
    #[error("the lowering could not be worked out: {0}")]
    Lowering(#[from] LoweringError),
    /// Its rig cannot be laid.
    #[error("{0}")]
    Rig(#[from] PathError),
}

/// A link as a study sees it.
struct LinkLimit {
    /// Its part, by its number; none where its strength is not stated.
    part: Option<(usize, LogNormal)>,
    share: f64,
    wll_n: Option<f64>,
    mbs_n: Option<f64>,
    /// Gives way slowly: it limits the pull and does not let go.
    slides: bool,
}

/// How the casualty is pulled, or lowered.
enum Hauls<'a> {
    /// By a tow or a winch; the pull of the winch at the casualty, N.
    Steady(Option<f64>),
    /// By a run-up, before speed, masses and resistance are known.
    Kinetic(Box<Setup>, Speed),
    /// Not pulled but lowered.
    Lowered(Box<Lowered<'a>>),
    /// By no rig: what the tug alone would decide.
    NoRig(Box<NoRig>),
}

/// A plan made ready.
pub struct Model<'a> {
    pub(super) plan: &'a Plan,
    rigged: &'a Rigged,
    roles: Vec<Role>,
    terms: Vec<Term>,
    fixed_end: bool,
    fast_suction: f64,
    hauls: Hauls<'a>,
    links: Vec<LinkLimit>,
    pub(super) parts: Vec<String>,
    pub(super) flights: Flights<'a>,
    /// Place in the flights of each thing that could fly; none where this plan's
    /// numbers leave it nothing to fly.
    pub(super) items: Vec<Option<usize>>,
}

/// Draws to be worked out together.
pub struct Row<'m, 'a> {
    /// The model.
    pub model: &'m Model<'a>,
    /// Level of every variable.
    pub levels: Vec<f64>,
    /// An earlier draw of the list that differs in few variables: what it has worked
    /// out already is not done again.
    pub like: Option<usize>,
}

/// A pull in a draw, with what it was worked out from.
struct Pulled {
    drawn: Drawn,
    setup: Option<Setup>,
}

impl<'a> Model<'a> {
    /// The plan with its rig; `variables` are those of the study, whose order the
    /// levels of a draw have. Of a plan that is a draw of its numbers, `base` is the
    /// model of the plan as it stands, whose numbering of parts and things it keeps.
    pub fn new(
        plan: &'a Plan,
        rigged: &'a Rigged,
        variables: &[Variable],
        base: Option<&Model>,
    ) -> Result<Self, StudyError> {
        let path = &rigged.path;
        let parts = base.map_or_else(|| rigged.parts(), |b| b.parts.clone());
        let hauls = hauls(plan, rigged, &parts)?;
        let flights = Flights::new(plan, rigged);
        let items = same_items(&flights.items(), base);
        let number = |name: &str| parts.iter().position(|p| p == name);
        let links = path
            .links
            .iter()
            .filter(|link| link.load_share > 0.0)
            .map(|link| LinkLimit {
                part: number(&link.name).zip(strength(link)),
                share: link.load_share,
                wll_n: link.derated_wll().map(Force::get),
                mbs_n: link.derated_mbs().map(Force::get),
                slides: link.gives_slowly,
            })
            .collect();
        Ok(Self {
            plan,
            rigged,
            roles: variables.iter().map(|v| v.role).collect(),
            terms: terms(&plan.casualty, rigged.treatment, plan.units),
            // What holds a casualty that is lowered was cleared before.
            fixed_end: rigged.studied != Studied::Lowering
                && has_fixed_end(&plan.casualty, rigged.treatment),
            fast_suction: fast_suction(&plan.casualty),
            hauls,
            links,
            parts,
            flights,
            items,
        })
    }

    /// The parts whose strength is drawn, by their number.
    pub fn parts(&self) -> &[String] {
        &self.parts
    }

    /// Whether the part with this number carries load.
    pub fn carries(&self, part: usize) -> bool {
        let mut numbers = self.links.iter().filter_map(|l| l.part);
        numbers.any(|(number, _)| number == part)
    }

    /// The methods that the tug alone would decide, of a plan without a rig.
    pub fn methods(&self) -> &[MethodTold] {
        match &self.hauls {
            Hauls::NoRig(of) => &of.methods,
            _ => &[],
        }
    }

    /// Everything that could fly, by its number.
    pub fn items(&self) -> Vec<FlyingItem> {
        self.flights.items()
    }

    /// What the zone is drawn on; `rule` is the rule distance of a straight rig.
    pub fn frame(&self, rule: Length) -> ZoneFrame {
        self.flights.frame(rule)
    }

    /// Distance of a place in plan, m, from the nearest part of line.
    pub fn off_line(&self, place: (f64, f64)) -> Length {
        self.flights.off_line(place)
    }

    /// Works out `rows`, in their order.
    pub fn draw_all(rows: &[Row]) -> Vec<Drawn> {
        let mut pulled: Vec<Pulled> = Vec::with_capacity(rows.len());
        for row in rows {
            let like = row.like.map(|i| &pulled[i]);
            let next = row.model.pull(&row.model.levels(row), like);
            pulled.push(next);
        }
        let drawn = pulled.into_iter().map(|p| p.drawn).collect();
        fly(rows, drawn)
    }

    pub(super) fn levels<'r>(&'r self, row: &'r Row) -> Levels<'r> {
        Levels {
            roles: &self.roles,
            levels: &row.levels,
        }
    }

    /// Whether something holds the casualty that does not yield, dug out first or not.
    pub(super) fn held_fast(&self, dug: bool) -> bool {
        self.fixed_end && !dug
    }

    /// Resistance of `terms` once moving and suction on top, N.
    fn resistance(&self, levels: &Levels, terms: &[Term]) -> (f64, f64) {
        let mass = spread::mass(1.0).quantile(levels.of(Role::CasualtyMass));
        let (mut net, mut suction) = (0.0, 0.0);
        for term in terms {
            let size = term.size.quantile(levels.of(Role::of_term(term.kind)));
            match term.kind {
                TermKind::Suction => suction += size,
                TermKind::Obstacle => net += size,
                _ if term.helps => net -= size * mass,
                _ => net += size * mass,
            }
        }
        (net.max(0.0), suction)
    }

    /// Pull at which each part of the rig lets go, the least of them, and the least
    /// pull at which an anchor slides, N.
    fn limits(&self, levels: &Levels) -> (Option<(usize, f64)>, f64) {
        let mut first: Option<(usize, f64)> = None;
        let mut slides = f64::INFINITY;
        for link in &self.links {
            let Some((part, size)) = link.part else {
                continue;
            };
            let at = size.quantile(levels.of(Role::Strength(part))) / link.share;
            if link.slides {
                slides = slides.min(at);
            } else if first.is_none_or(|(_, least)| at < least) {
                first = Some((part, at));
            }
        }
        (first, slides)
    }

    fn pull(&self, levels: &Levels, like: Option<&Pulled>) -> Pulled {
        let (slide, suction) = self.resistance(levels, &self.terms);
        let (first, slides) = self.limits(levels);
        match &self.hauls {
            Hauls::Lowered(of) => {
                let asked = of.asked(levels, slides);
                let mut pulled = self.steady(asked.holds_n, asked.pull_n, first);
                pulled.drawn.lets_go = Some(of.lets_go(levels, self.stretch(levels)));
                pulled
            }
            Hauls::NoRig(of) => {
                let (net, sucks) = self.resistance(levels, &of.dug);
                let (found, dug) = (slide + suction, net + sucks);
                let by_method = self.by_method(levels, of, found, dug);
                let drawn = Drawn {
                    resistance_n: (!self.fixed_end).then_some(found),
                    resistance_dug_n: Some(dug),
                    works: by_method.iter().any(|m| m.moves),
                    by_method,
                    ..Drawn::default()
                };
                Pulled { drawn, setup: None }
            }
            Hauls::Steady(winch) => {
                let brings = self.brings(levels, *winch).min(slides);
                self.steady(brings, slide + suction, first)
            }
            Hauls::Kinetic(base, speed) => {
                let mut setup = self.kinetic_setup(levels, base, *speed);
                setup.slide = Force::new(slide);
                setup.break_extra = Force::new(suction * self.fast_suction);
                self.kinetic(setup, first, like)
            }
        }
    }

    /// Stretch of the lines over that taken.
    pub(super) fn stretch(&self, levels: &Levels) -> f64 {
        gear_spread::stretch(&self.rigged.path).quantile(levels.of(Role::Stretch))
    }

    /// Greatest pull at the casualty of a tow or a winch, N.
    pub(super) fn brings(&self, levels: &Levels, winch: Option<f64>) -> f64 {
        let tug = &self.plan.tug;
        let mass = spread::mass(1.0).quantile(levels.of(Role::TugMass));
        let weight = tug.vehicle.mass.weight().get() * mass;
        let grip = LogNormal::new(tug.grip, tug.grip_spread).quantile(levels.of(Role::TugGrip));
        let (sin, cos) = (tug.slope_along.sin(), tug.slope_along.cos());
        match winch {
            Some(pull) => {
                let winch = self.plan.tug.winch.as_ref();
                let times = winch.map_or(1.0, |w| {
                    gear_spread::winch_pull(w).quantile(levels.of(Role::WinchPull))
                });
                let hold = (weight * (grip * cos - sin)).max(0.0);
                (pull * times).min(hold / self.rigged.path.tug_share())
            }
            None => {
                let driven = grip * driven_share(tug.vehicle.driven) * weight * cos;
                let own = weight * (sin + tug.rolling * cos);
                (driven.min(drive_limit(tug).get()) - own).max(0.0) * self.rigged.path.advantage
            }
        }
    }

    fn steady(&self, brings: f64, resistance: f64, first: Option<(usize, f64)>) -> Pulled {
        let asked = if self.fixed_end {
            brings
        } else {
            brings.min(resistance)
        };
        let gone = first.filter(|(_, at)| *at < asked);
        let peak = gone.map_or(asked, |(_, at)| at);
        let drawn = Drawn {
            parting_chance: self.parting_chance(asked),
            resistance_n: (!self.fixed_end).then_some(resistance),
            brings_n: Some(brings),
            works: !self.fixed_end && gone.is_none() && brings >= resistance,
            ..self.loaded(peak, gone)
        };
        Pulled { drawn, setup: None }
    }

    /// A pull before its resistance and strength are known.
    fn kinetic_setup(&self, levels: &Levels, base: &Setup, speed: Speed) -> Setup {
        let of = |role, d: crate::chance::Distribution| d.quantile(levels.of(role));
        let tug = &self.plan.tug;
        let tug_times = of(Role::TugMass, spread::mass(1.0));
        let casualty_times = of(Role::CasualtyMass, spread::mass(1.0));
        let grip = LogNormal::new(tug.grip, tug.grip_spread).quantile(levels.of(Role::TugGrip));
        let carried = driven_share(tug.vehicle.driven) * tug.slope_along.cos();
        let weight = tug.vehicle.mass.weight() * tug_times;
        // The tug gains speed evenly over the slack: v² grows with it.
        let slack = if self.rigged.slack.get() > 0.0 {
            of(Role::Slack, spread::slack(1.0)).sqrt()
        } else {
            1.0
        };
        let mut setup = base.clone();
        setup.tug_mass = base.tug_mass * tug_times;
        setup.casualty_mass = base
            .casualty_mass
            .filter(|_| !self.fixed_end)
            .map(|m| m * casualty_times);
        setup.run_up_speed = speed * (of(Role::RunUp, spread::run_up(1.0)) * slack);
        setup.drive.greatest = (weight * (grip * carried)).min(drive_limit(tug));
        setup.tug_grade = base.tug_grade * tug_times;
        setup.tug_rolling = base.tug_rolling * tug_times;
        // The same load at so much more stretch.
        setup.length = base.length * self.stretch(levels);
        if let Some(line) = self.rigged.path.leading_line() {
            let (low, high) = return_range(line);
            let back = low + (high - low) * levels.of(Role::EnergyReturn);
            let law = base.path.law().with_energy_return(back);
            setup.path = Path::new(law, base.path.strain_max());
        }
        setup
    }

    fn kinetic(&self, setup: Setup, first: Option<(usize, f64)>, like: Option<&Pulled>) -> Pulled {
        // The same pull as that of an earlier draw in which nothing lets go either.
        let same = like.filter(|l| l.setup.as_ref() == Some(&setup) && l.drawn.first.is_none());
        if let Some(same) = same.filter(|l| first.is_none_or(|(_, at)| at >= l.drawn.peak_n)) {
            return Pulled {
                drawn: same.drawn.clone(),
                setup: Some(setup),
            };
        }
        let drawn = match self.kinetic_until(&setup, first) {
            Ok((whole, outcome)) => {
                let gone = first.filter(|_| outcome.parted);
                let shift = self.plan.casualty.free_after.min(SHIFT);
                let broken = setup.slide + setup.break_extra;
                Drawn {
                    parting_chance: self.parting_chance(whole.get()),
                    resistance_n: (!self.fixed_end).then_some(broken.get()),
                    movement_m: Some(outcome.movement.get()),
                    works: !self.fixed_end && outcome.movement >= shift,
                    ..self.loaded(outcome.peak_force.get(), gone)
                }
            }
            Err(_) => Drawn {
                failed_pull: true,
                ..Drawn::default()
            },
        };
        Pulled {
            drawn,
            setup: Some(setup),
        }
    }

    /// The peak of a pull in which nothing lets go, and the pull until the weakest part
    /// does.
    fn kinetic_until(
        &self,
        setup: &Setup,
        first: Option<(usize, f64)>,
    ) -> Result<(Force, Outcome), PullError> {
        let whole = kinetic::run_without_series(setup)?;
        let peak = whole.peak_force;
        match first.filter(|(_, at)| *at < peak.get()) {
            None => Ok((peak, whole)),
            Some((_, at)) => {
                let mut cut = setup.clone();
                cut.parts_at = Some(Force::new(at));
                Ok((peak, kinetic::run_without_series(&cut)?))
            }
        }
    }

    /// Chance that a part lets go at a pull of `pull_n`, whatever strengths are drawn.
    fn parting_chance(&self, pull_n: f64) -> f64 {
        let mut of_part = vec![0.0_f64; self.parts.len()];
        for link in self.links.iter().filter(|l| !l.slides) {
            if let Some((part, size)) = link.part {
                let chance = size.probability_below(pull_n * link.share);
                of_part[part] = of_part[part].max(chance);
            }
        }
        1.0 - of_part.iter().map(|p| 1.0 - p).product::<f64>()
    }

    /// The links under a pull at the casualty.
    fn loaded(&self, peak_n: f64, gone: Option<(usize, f64)>) -> Drawn {
        let most = |limit: fn(&LinkLimit) -> Option<f64>| {
            let shares = self
                .links
                .iter()
                .filter_map(|l| limit(l).map(|n| peak_n * l.share / n));
            shares.fold(None, |most: Option<f64>, s| {
                Some(most.map_or(s, |m| m.max(s)))
            })
        };
        Drawn {
            peak_n,
            share_of_wll: most(|l| l.wll_n),
            share_of_mbs: most(|l| l.mbs_n),
            first: gone.map(|(part, _)| part),
            ..Drawn::default()
        }
    }
}

fn hauls<'a>(plan: &'a Plan, rigged: &Rigged, parts: &[String]) -> Result<Hauls<'a>, StudyError> {
    let path = &rigged.path;
    Ok(match (rigged.studied, path.method, rigged.run_up) {
        (Studied::NoRig, _, _) => Hauls::NoRig(Box::new(NoRig::new(plan))),
        (Studied::Lowering, _, _) => {
            let lowering = plan.lowering.as_ref().ok_or(LoweringError::NoWay)?;
            let number = |name: &str| parts.iter().position(|p| p == name);
            Hauls::Lowered(Box::new(Lowered::new(plan, lowering, path, number)?))
        }
        (_, Method::Kinetic, Some(speed)) => {
            Hauls::Kinetic(Box::new(kinetic_setup(plan, path)?), speed)
        }
        (_, Method::WinchSingle | Method::WinchMulti, _) => {
            let pull = plan.winch_and_line().map(|(w, l)| pull_in_use(w, l));
            Hauls::Steady(pull.map(|p| p.get() * path.advantage))
        }
        _ => Hauls::Steady(None),
    })
}

/// Where each item of `base` (of `own` where there is none) is among `own`.
fn same_items(own: &[FlyingItem], base: Option<&Model>) -> Vec<Option<usize>> {
    let Some(base) = base else {
        return (0..own.len()).map(Some).collect();
    };
    let at = |wanted: &FlyingItem| {
        let same = |i: &FlyingItem| i.end == wanted.end && i.parts.contains(&wanted.parts[0]);
        own.iter().position(same)
    };
    base.flights.items().iter().map(at).collect()
}
