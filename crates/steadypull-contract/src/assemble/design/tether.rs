//! `steadypull tether`.

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::letgo::design::{
    self, Asked, Bounds, DamperWish, Effort, Make, Target, TetherFit as Fit, TetherWish,
    tether_design,
};
use steadypull_engine::plan::{Plan, PointKind, RecoveryPoint, Vehicle};
use steadypull_engine::rig::Side;
use steadypull_engine::units::{Area, Energy, Force, Length, Mass};

use super::AtVehicle;
use super::chosen::{Chosen, chosen, for_rig, run, targets};
use crate::AnswerError;
use crate::answer::{TetherCell, TetherDesign, TetherFit, TetherPoint};
use crate::assemble::load_path::side;
use crate::assemble::{ChosenRig, findings};
use crate::printed::TetherAnswer;
use crate::show::{Units, percent};

/// Lengths tried, m: from hard at the point to what still hangs off the ground.
const LENGTHS_M: [f64; 4] = [0.5, 1.0, 2.0, 4.0];
/// Stretch at break tried: wire and HMPE, polyester, nylon webbing, kinetic rope.
const STRETCHES: [f64; 4] = [0.03, 0.08, 0.15, 0.30];
/// Strengths tried: from a cord to what no vehicle point is rated for.
const WEAKEST: Force = Force::new(1e3);
const STRONGEST_TF: f64 = 40.0;
/// One step of the strengths tried.
const STRENGTH_STEP: f64 = 0.1;

/// What is asked; what is left out is taken from the plan's policy or tried in turn.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TetherQuestion {
    /// The link that lets go; the worst where none is named.
    pub link: Option<String>,
    /// The vehicle at which the tether is made fast; either where none is named.
    pub at: Option<AtVehicle>,
    /// It must hold in this share of the draws, 0.5 to 0.99.
    pub chance: Option<f64>,
    /// What is held gets no further than this, m; to the far vehicle where left out.
    pub within_m: Option<f64>,
    /// One length alone, m.
    pub length_m: Option<f64>,
    /// One stretch at break alone, as a ratio.
    pub stretch: Option<f64>,
}

/// Designs a tether for a plan.
pub fn answer_tether(plan: &Plan, question: &TetherQuestion) -> Result<TetherAnswer, AnswerError> {
    let found = for_rig(
        plan,
        "tethers",
        |rig| designed(plan, rig, question),
        nothing,
    )?;
    AnswerError::refuse_numbers(TetherAnswer {
        contract_version: crate::answer::CONTRACT_VERSION,
        title: plan.title.clone(),
        tether: found.design,
        findings: found.findings,
        cautions: found.cautions,
    })
}

fn nothing(missing: String) -> TetherDesign {
    TetherDesign {
        headline: missing.clone(),
        missing: Some(missing),
        wish: None,
        meets: false,
        least: None,
        held_share: None,
        held_low: None,
        held_high: None,
        cells: Vec::new(),
        points: Vec::new(),
        search_draws: 0,
        check_draws: 0,
        failed: 0,
        segments: 0,
        check_segments: 0,
        strength_step: STRENGTH_STEP,
    }
}

fn designed(
    plan: &Plan,
    rig: &ChosenRig,
    question: &TetherQuestion,
) -> Result<(TetherDesign, Vec<crate::answer::Finding>), AnswerError> {
    let chance = question
        .chance
        .unwrap_or(plan.policy.zone_quantile)
        .clamp(0.5, 0.99);
    let parts_at = question.at.map(|at| match at {
        AtVehicle::Casualty => Side::Casualty,
        AtVehicle::Tug => Side::Tug,
    });
    let bare = bare_wish(plan, chance);
    let all = at_an_end(targets(plan, rig));
    let chosen = chosen(plan, &all, question.link.as_deref(), parts_at, &bare)?;
    let Some(target) = chosen.targets.first() else {
        return Ok((
            nothing("nothing in the rig carries load".into()),
            Vec::new(),
        ));
    };
    let wish = TetherWish {
        chance,
        within: question.within_m.map_or(target.distance(), Length::new),
        lengths: question
            .length_m
            .map_or(LENGTHS_M.to_vec(), |l| vec![l])
            .into_iter()
            .map(Length::new)
            .collect(),
        strains: question.stretch.map_or(STRETCHES.to_vec(), |s| vec![s]),
        strengths: (WEAKEST, Force::from_tf(STRONGEST_TF)),
        effort: Effort::default(),
    };
    let found = tether_design(target, &wish, plan.seed, &run);
    let points = points(plan, rig, target, found.least.as_ref());
    let mut answer = TetherDesign {
        missing: None,
        wish: Some(asked(plan, &chosen, target, &wish, found.untethered)),
        meets: found.least.is_some(),
        headline: String::new(),
        least: found.least.as_ref().map(fit),
        held_share: found.held.map(|h| h.0),
        held_low: found.held.map(|h| h.1.low),
        held_high: found.held.map(|h| h.1.high),
        cells: found.cells.iter().map(|c| cell(c, wish.within)).collect(),
        points,
        search_draws: found.draws.0 as u32,
        check_draws: found.draws.1 as u32,
        failed: found.draws.2 as u32,
        segments: wish.effort.segments as u32,
        check_segments: wish.effort.check_segments as u32,
        strength_step: STRENGTH_STEP,
    };
    answer.headline = headline(&answer, &wish, plan.units);
    let findings = own_findings(&answer, target, plan.units);
    Ok((answer, findings))
}

/// Those that let go at an end of the path: a tether from a vehicle holds the end of
/// the line there, not a break in the middle.
fn at_an_end(mut all: Vec<Target>) -> Vec<Target> {
    let whole = all
        .iter()
        .map(Target::line_length)
        .fold(Length::ZERO, Length::max);
    all.retain(|t| !t.cut.inside && t.line_length() >= whole * 0.999);
    all
}

/// The wish by which the worst link is found: the energy with which it arrives bare.
fn bare_wish(plan: &Plan, chance: f64) -> DamperWish {
    DamperWish {
        asked: Asked {
            under: plan.policy.injury_energy,
            chance,
        },
        bounds: Bounds {
            most: Mass::ZERO,
            make: Make {
                grip: Force::ZERO,
                drag_area: Area::ZERO,
            },
        },
        effort: Effort::default(),
    }
}

fn asked(
    plan: &Plan,
    chosen: &Chosen,
    target: &Target,
    wish: &TetherWish,
    untethered: Energy,
) -> crate::answer::TetherWish {
    crate::answer::TetherWish {
        link: target.link.clone(),
        worst: chosen.worst,
        parts_at: side(target.at),
        flies: target.flies.clone(),
        hardware_mass_kg: target.hardware.get(),
        tension_n: target.tension.get(),
        untethered_j: untethered.get(),
        chance: wish.chance,
        within_m: wish.within.get(),
        weakest_n: wish.strengths.0.get(),
        strongest_n: wish.strengths.1.get(),
        dampers: plan.kit.dampers.len() as u32,
    }
}

fn fit(fit: &Fit) -> TetherFit {
    let mass = fit.tether.mass();
    TetherFit {
        length_m: fit.tether.length.get(),
        stretch_at_break: fit.tether.strain_at_break,
        mbs_n: fit.tether.mbs.get(),
        mass_kg: mass.get(),
        peak_median_n: fit.peak_median.get(),
        peak_n: fit.peak.get(),
        capacity_j: fit.capacity.get(),
        end_speed_m_s: (2.0 * fit.capacity.get() / mass.get()).sqrt(),
    }
}

fn cell(cell: &design::TetherCell, within: Length) -> TetherCell {
    TetherCell {
        length_m: cell.length.get(),
        stretch_at_break: cell.strain_at_break,
        reach_m: cell.reach.get(),
        too_long: cell.reach > within,
        fit: cell.fit.as_ref().map(fit),
    }
}

/// The points of the vehicle that the line parts from.
fn points(plan: &Plan, rig: &ChosenRig, target: &Target, least: Option<&Fit>) -> Vec<TetherPoint> {
    let (vehicle, word): (&Vehicle, &str) = if target.at == Side::Casualty {
        (&plan.casualty.vehicle, "casualty")
    } else {
        (&plan.tug.vehicle, "tug")
    };
    let point = |point: &RecoveryPoint| {
        let name = format!("{word}.{}", point.name);
        let over = |limit: Option<Force>| {
            let (fit, limit) = (least?, limit?);
            (limit.get() > 0.0).then(|| fit.peak / limit)
        };
        TetherPoint {
            in_use: rig.links.iter().any(|l| l.link.name == name),
            rated: matches!(point.kind, PointKind::Rated | PointKind::ReceiverInsert),
            wll_n: point.wll.map(|f| f.get()),
            mbs_n: point.mbs.map(|f| f.get()),
            share_of_wll: over(point.wll),
            share_of_mbs: over(point.mbs),
            name,
        }
    };
    vehicle.recovery_points.iter().map(point).collect()
}

fn headline(answer: &TetherDesign, wish: &TetherWish, units: Units) -> String {
    match &answer.least {
        Some(fit) => format!(
            "Least strength: {} at {} with {} of stretch at break; it hands {} to its point at {}",
            units.force_as_load(fit.mbs_n),
            units.length(fit.length_m),
            percent(fit.stretch_at_break),
            units.force_as_load(fit.peak_n),
            percent(wish.chance),
        ),
        None => format!(
            "No tether up to {} that keeps things within {} holds in {} of the draws",
            units.force_as_load(wish.strengths.1.get()),
            units.length(wish.within.get()),
            percent(wish.chance),
        ),
    }
}

/// Points that could hold the least tether within their working load limit.
fn holding(answer: &TetherDesign) -> Vec<&str> {
    let holds =
        |p: &&TetherPoint| p.rated && !p.in_use && p.share_of_wll.is_some_and(|share| share <= 1.0);
    answer
        .points
        .iter()
        .filter(holds)
        .map(|p| p.name.as_str())
        .collect()
}

fn own_findings(
    answer: &TetherDesign,
    target: &Target,
    units: Units,
) -> Vec<crate::answer::Finding> {
    let mut found = Vec::new();
    if !answer.meets {
        found.push(Finding::new(
            Severity::Critical,
            "no-tether-will-do",
            &target.link,
            format!("{}. Do not count on a tether at this load", answer.headline),
            "lower the load, or take a longer tether that stretches more; nobody in line",
            "computed; strength, stretch and length are those of a straight spring",
        ));
    } else if holding(answer).is_empty() {
        let least = answer.least.as_ref();
        found.push(Finding::new(
            Severity::Critical,
            "tether-point",
            &target.link,
            format!(
                "no other rated point of that vehicle with a known working load limit takes the {} that even the least tether hands to it",
                units.force_as_load(least.map_or(0.0, |f| f.peak_n))
            ),
            "find a rated point for it, or take a longer tether that stretches more: it hands less to its point",
            "working load limits of the plan",
        ));
    }
    found.into_iter().map(findings::in_contract).collect()
}
