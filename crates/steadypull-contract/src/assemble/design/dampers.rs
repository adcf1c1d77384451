//! `steadypull dampers`.

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::letgo::design::{
    self, Asked, AtLoad, Bounds, Claims, DamperWish, Effort, Energies, Hung, LITTLE, Least,
    MASS_STEP, Make, PLACE_STEP, Spread, Target, Usual, damper_design,
};
use steadypull_engine::letgo::injury;
use steadypull_engine::plan::Plan;
use steadypull_engine::rig::Side;
use steadypull_engine::units::{Area, Energy, Force, Mass};

use super::AtVehicle;
use super::chosen::{Chosen, chosen, for_rig, run, targets};
use crate::AnswerError;
use crate::answer::{
    AdviceHolds, ArrivalEnergies, DamperChoice, DamperDesign, DesignAccuracy, EnergySpread,
    GripPoint, HungDamper, LoadPoint, MassCurve, MassPoint, OtherLink, PlacePoint, UsualSetUp,
};
use crate::assemble::load_path::side;
use crate::assemble::{ChosenRig, findings};
use crate::printed::DampersAnswer;
use crate::show::{Units, percent};

/// Most that a person is taken to carry and hang, unless the question says (assumed).
const MOST: Mass = Mass::new(15.0);
/// Grip and drag area of a damper where the plan has none to go by: the defaults of a
/// plan's dampers (assumed).
const GRIP: Force = Force::new(200.0);
const DRAG_AREA: Area = Area::new(0.05);

/// What is asked; what is left out is taken from the plan's policy.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DamperQuestion {
    /// The link that lets go; the worst where none is named.
    pub link: Option<String>,
    /// The vehicle at which it arrives; either where none is named.
    pub at: Option<AtVehicle>,
    /// Nothing may arrive with more, J; the policy's injury energy where left out.
    pub under_j: Option<f64>,
    /// In this share of the draws, 0.5 to 0.99; the policy's zone quantile where left out.
    pub chance: Option<f64>,
    /// Greatest mass of a damper, kg; 15 kg where left out.
    pub most_kg: Option<f64>,
    /// Force at which grips slip, N; that of the plan's first damper where left out.
    pub grip_n: Option<f64>,
}

/// Designs dampers for a plan.
pub fn answer_dampers(
    plan: &Plan,
    question: &DamperQuestion,
) -> Result<DampersAnswer, AnswerError> {
    let found = for_rig(
        plan,
        "dampers",
        |rig| designed(plan, rig, question),
        nothing,
    )?;
    AnswerError::refuse_numbers(DampersAnswer {
        contract_version: crate::answer::CONTRACT_VERSION,
        title: plan.title.clone(),
        dampers: found.design,
        findings: found.findings,
        cautions: found.cautions,
    })
}

fn nothing(missing: String) -> DamperDesign {
    DamperDesign {
        headline: missing.clone(),
        missing: Some(missing),
        wish: None,
        meets: false,
        bare: None,
        numbers: Vec::new(),
        chosen: None,
        other_links: Vec::new(),
        by_mass: Vec::new(),
        by_place: Vec::new(),
        placed_mass_kg: 0.0,
        by_grip: Vec::new(),
        by_load: Vec::new(),
        usual: Vec::new(),
        advice: Vec::new(),
        accuracy: None,
    }
}

fn designed(
    plan: &Plan,
    rig: &ChosenRig,
    question: &DamperQuestion,
) -> Result<(DamperDesign, Vec<crate::answer::Finding>), AnswerError> {
    let wish = wish(plan, question);
    let parts_at = question.at.map(|at| match at {
        AtVehicle::Casualty => Side::Tug,
        AtVehicle::Tug => Side::Casualty,
    });
    let all = targets(plan, rig);
    let chosen = chosen(plan, &all, question.link.as_deref(), parts_at, &wish)?;
    let design = damper_design(plan, rig.path, &chosen.targets, &wish, &run);
    let (Some(target), Some(found)) = (chosen.targets.first(), design) else {
        return Ok((
            nothing("nothing in the rig carries load".into()),
            Vec::new(),
        ));
    };
    let line_m = target.line_length().get();
    let mut answer = DamperDesign {
        missing: None,
        wish: Some(asked(&chosen, target, &wish, found.bare.stored)),
        meets: found.meets(),
        headline: String::new(),
        bare: Some(energies(&found.bare)),
        numbers: found.least.iter().map(|l| choice(l, line_m)).collect(),
        chosen: found.chosen.map(|k| k as u32),
        other_links: others(&chosen, &found),
        by_mass: found.by_mass.iter().map(mass_curve).collect(),
        by_place: found
            .by_place
            .iter()
            .map(|p| PlacePoint {
                from_hardware_share: p.at,
                energies: energies(&p.energies),
            })
            .collect(),
        placed_mass_kg: found.placed.get(),
        by_grip: found
            .by_grip
            .iter()
            .map(|p| GripPoint {
                grip_n: p.at.get(),
                energies: energies(&p.energies),
            })
            .collect(),
        by_load: found
            .by_load
            .iter()
            .map(|at| load_point(at, target.tension))
            .collect(),
        usual: Usual::ALL
            .iter()
            .map(|u| usual(*u, line_m, plan.units))
            .collect(),
        advice: advice(&found.by_load, target, &wish, plan.units),
        accuracy: Some(accuracy(&found, &wish)),
    };
    answer.headline = headline(&answer, &found, &wish, plan.units);
    let findings = own_findings(&answer, target, &wish, plan.units);
    Ok((answer, findings))
}

fn wish(plan: &Plan, question: &DamperQuestion) -> DamperWish {
    let first = plan.kit.dampers.first();
    let make = Make {
        grip: question
            .grip_n
            .map(Force::new)
            .or(first.map(|d| d.slips_at))
            .unwrap_or(GRIP),
        drag_area: first.map_or(DRAG_AREA, |d| d.drag_area),
    };
    DamperWish {
        asked: Asked {
            under: question
                .under_j
                .map_or(plan.policy.injury_energy, Energy::new),
            chance: question
                .chance
                .unwrap_or(plan.policy.zone_quantile)
                .clamp(0.5, 0.99),
        },
        bounds: Bounds {
            most: question.most_kg.map_or(MOST, Mass::new),
            make,
        },
        effort: Effort::default(),
    }
}

/// The set-up told, if the other links at that end let go instead.
fn others(chosen: &Chosen, found: &design::DamperDesign) -> Vec<OtherLink> {
    let others = chosen.targets.iter().skip(1).zip(&found.others);
    others
        .map(|(target, of)| OtherLink {
            link: target.link.clone(),
            line_m: target.line_length().get(),
            tension_n: target.tension.get(),
            hardware_mass_kg: target.hardware.get(),
            meets: of.meets,
            check: energies(&of.energies),
        })
        .collect()
}

fn asked(
    chosen: &Chosen,
    target: &Target,
    wish: &DamperWish,
    stored: Energy,
) -> crate::answer::DamperWish {
    crate::answer::DamperWish {
        link: target.link.clone(),
        worst: chosen.worst,
        parts_at: side(target.at),
        flies: target.flies.clone(),
        hardware_mass_kg: target.hardware.get(),
        tension_n: target.tension.get(),
        stored_energy_j: stored.get(),
        line_m: target.line_length().get(),
        under_j: wish.asked.under.get(),
        chance: wish.asked.chance,
        first_casualty_j: injury::FIRST_CASUALTY.get(),
        most_kg: wish.bounds.most.get(),
        grip_n: wish.bounds.make.grip.get(),
        drag_area_m2: wish.bounds.make.drag_area.get(),
    }
}

fn spread(of: &Spread) -> EnergySpread {
    EnergySpread {
        median_j: of.median.get(),
        quantile_j: of.quantile.get(),
        band_low_j: of.band_low.get(),
        band_high_j: of.band_high.map(|e| e.get()),
    }
}

fn energies(of: &Energies) -> ArrivalEnergies {
    ArrivalEnergies {
        hardware: spread(&of.hardware),
        damper: spread(&of.damper),
        worst: spread(&of.worst),
        met_share: of.met_share,
        met_low: of.met_band.low,
        met_high: of.met_band.high,
        arrives_share: of.arrives_share,
        draws: of.draws as u32,
        failed: of.failed as u32,
    }
}

fn hung(dampers: &[Hung], line_m: f64) -> Vec<HungDamper> {
    let mut dampers: Vec<HungDamper> = dampers
        .iter()
        .map(|d| HungDamper {
            mass_kg: d.mass.get(),
            from_hardware_m: d.place * line_m,
            from_hardware_share: d.place,
        })
        .collect();
    dampers.sort_by(|a, b| a.from_hardware_share.total_cmp(&b.from_hardware_share));
    dampers
}

fn choice(least: &Least, line_m: f64) -> DamperChoice {
    DamperChoice {
        dampers: hung(&least.set_up.dampers, line_m),
        total_kg: least.set_up.total().get(),
        meets: least.meets,
        search: energies(&least.search),
        check: energies(&least.check),
    }
}

fn mass_curve(curve: &design::MassCurve) -> MassCurve {
    MassCurve {
        places: curve.places.clone(),
        points: curve
            .points
            .iter()
            .map(|p| MassPoint {
                each_kg: p.at.get(),
                energies: energies(&p.energies),
            })
            .collect(),
    }
}

fn usual(set_up: Usual, line_m: f64, units: Units) -> UsualSetUp {
    UsualSetUp {
        name: set_up.words(units),
        dampers: hung(&set_up.dampers(), line_m),
    }
}

fn load_point(at: &AtLoad, own: Force) -> LoadPoint {
    LoadPoint {
        tension_n: at.tension.get(),
        stored_energy_j: at.stored.get(),
        own: at.tension == own,
        energies: at.energies.iter().map(energies).collect(),
        advice: at.claims.map(|claims| AdviceHolds {
            light_does_little: claims.light_does_little,
            in_order: claims.in_order,
            two_stop_hardware: claims.two_stop_hardware,
            two_stop_all: claims.two_stop_all,
        }),
    }
}

fn accuracy(found: &design::DamperDesign, wish: &DamperWish) -> DesignAccuracy {
    let effort = &wish.effort;
    let median = |pick: fn(&(Energies, Energies)) -> &Energies| {
        let compared = found.compared.as_ref();
        compared.map(|both| pick(both).worst.median.get())
    };
    DesignAccuracy {
        segments: effort.segments as u32,
        check_segments: found.check_segments as u32,
        finer_adds_share: found.allowance,
        finer_adds_to_curves_share: found.curve_allowance,
        search_draws: found.bare.draws as u32,
        check_draws: found
            .least
            .iter()
            .map(|l| l.check.draws as u32)
            .max()
            .unwrap_or(0),
        mass_step_kg: MASS_STEP.get(),
        place_step_share: PLACE_STEP,
        compared_draws: effort.compared as u32,
        compared_check_j: median(|both| &both.0),
        compared_search_j: median(|both| &both.1),
    }
}

fn headline(
    answer: &DamperDesign,
    found: &design::DamperDesign,
    wish: &DamperWish,
    units: Units,
) -> String {
    let under = units.energy(wish.asked.under.get());
    let chance = percent(wish.asked.chance);
    if found.bare_meets {
        return format!(
            "No damper is needed: nothing arrives with over {under} in {chance} of the draws"
        );
    }
    let told = answer.chosen.and_then(|k| answer.numbers.get(k as usize));
    let words = told
        .map(|c| set_up_words(&c.dampers, units))
        .unwrap_or_default();
    match (found.told().filter(|l| l.meets), told) {
        (Some(_), Some(_)) if answer.meets => {
            format!("{words}: nothing arrives with over {under} in {chance} of the draws")
        }
        (Some(_), Some(_)) => {
            format!(
                "{words} would do for {}, but not for every link that could fly that way",
                answer.wish.as_ref().map_or("it", |w| &w.link)
            )
        }
        (None, Some(closest)) => format!(
            "No dampers up to {} each will do: the closest, {words}, leaves {} at {chance}, {:.1} times the wish",
            units.mass(wish.bounds.most.get()),
            units.energy(closest.check.worst.quantile_j),
            closest.check.worst.quantile_j / wish.asked.under.get(),
        ),
        (_, None) => String::new(),
    }
}

/// Dampers in words: `5 kg hard against the hardware and 3 kg 4.5 m from it`.
fn set_up_words(dampers: &[HungDamper], units: Units) -> String {
    let one = |d: &HungDamper| {
        let mass = units.mass(d.mass_kg);
        if d.from_hardware_share < 1e-6 {
            format!("{mass} hard against the hardware")
        } else {
            let away = units.length(d.from_hardware_m);
            format!("{mass} {away} from the hardware")
        }
    };
    let all: Vec<String> = dampers.iter().map(one).collect();
    match all.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => all.concat(),
    }
}

/// Whether a piece of advice holds.
type Holds = fn(&Claims) -> bool;

/// Where each piece of advice holds for this line and hardware, and at this load.
fn advice(map: &[AtLoad], target: &Target, wish: &DamperWish, units: Units) -> Vec<String> {
    let under = units.energy(wish.asked.under.get());
    let five = units.plain_mass(5.0);
    let claims: [(String, Holds); 4] = [
        (
            format!(
                "A light damper in the middle does little (takes less than {} of the hardware's median energy)",
                percent(LITTLE)
            ),
            |c| c.light_does_little,
        ),
        (
            format!(
                "The hardware's median energy falls from no damper to a light one in the middle, to {five} there, to two of {five} with one hard against the hardware"
            ),
            |c| c.in_order,
        ),
        (
            format!(
                "Two of {five}, one hard against the hardware, keep the hardware alone under {under}"
            ),
            |c| c.two_stop_hardware,
        ),
        (
            format!("With these two nothing arrives with over {under}, the dampers included"),
            |c| c.two_stop_all,
        ),
    ];
    let own = map.iter().find(|at| at.tension == target.tension);
    let here = |holds: Holds| match own.map(|at| at.claims) {
        Some(Some(claims)) if holds(&claims) => "at this load: holds",
        Some(Some(_)) => "at this load: does not hold",
        _ => "at this load: nothing arrives with more anyway",
    };
    let mut said: Vec<String> = claims
        .iter()
        .map(|(claim, holds)| {
            format!(
                "{claim}: {}; {}",
                here(*holds),
                over_the_map(map, *holds, units)
            )
        })
        .collect();
    let moot: Vec<&AtLoad> = map.iter().filter(|at| at.claims.is_none()).collect();
    if !moot.is_empty() {
        said.push(format!(
            "Without any damper nothing arrives with over {under} at {}",
            loads(&moot, units)
        ));
    }
    said
}

/// The loads of the map at which a claim holds.
fn over_the_map(map: &[AtLoad], holds: Holds, units: Units) -> String {
    let judged = map.iter().filter(|at| at.claims.is_some());
    let (yes, no): (Vec<&AtLoad>, Vec<&AtLoad>) =
        judged.partition(|at| at.claims.as_ref().is_some_and(holds));
    if no.is_empty() {
        "it holds at every load tried".into()
    } else if yes.is_empty() {
        "it holds at no load tried".into()
    } else {
        format!(
            "of the loads tried it holds at {}, not at {}",
            loads(&yes, units),
            loads(&no, units)
        )
    }
}

fn loads(of: &[&AtLoad], units: Units) -> String {
    let load = |at: &&AtLoad| units.force_as_load(at.tension.get());
    of.iter().map(load).collect::<Vec<_>>().join(", ")
}

fn own_findings(
    answer: &DamperDesign,
    target: &Target,
    wish: &DamperWish,
    units: Units,
) -> Vec<crate::answer::Finding> {
    let mut found = Vec::new();
    if !answer.meets {
        found.push(Finding::new(
            Severity::Critical,
            "no-damper-will-do",
            &target.link,
            format!("{}. Do not count on dampers at this load", answer.headline),
            "lower the load, take metal off the end that could let go, hold it by a tether (`steadypull tether PLAN`), nobody in line",
            injury::FRAGMENT_SOURCE.name,
        ));
    }
    found.extend(grip_finding(answer, target, wish, units));
    found.into_iter().map(findings::in_contract).collect()
}

/// The grip is assumed: says whether another one would change the answer.
fn grip_finding(
    answer: &DamperDesign,
    target: &Target,
    wish: &DamperWish,
    units: Units,
) -> Option<Finding> {
    let under = wish.asked.under.get();
    let kept: Vec<bool> = answer
        .by_grip
        .iter()
        .map(|p| p.energies.worst.quantile_j <= under)
        .collect();
    let changes = kept.iter().any(|k| *k) && kept.iter().any(|k| !k);
    let told: Vec<String> = answer
        .by_grip
        .iter()
        .map(|p| {
            format!(
                "{} at {}",
                units.energy(p.energies.worst.quantile_j),
                units.hand_force(p.grip_n)
            )
        })
        .collect();
    changes.then(|| {
        Finding::new(
            Severity::Warning,
            "grip-decides",
            &target.link,
            format!(
                "whether these dampers do depends on the force at which their grip slips on the line: {}",
                told.join(", ")
            ),
            "measure the grip on this line, wet and dry, and give it as `slips_at`",
            "computed; no published grip of a damper was found",
        )
    })
}
