//! What was noticed, worst first.

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::gear::strap_rule;
use steadypull_engine::letgo::cases::Case;
use steadypull_engine::line::Material;
use steadypull_engine::options::{KineticStudy, Ladder, SpeedStands, closed_window, opened_by};
use steadypull_engine::plan::{Line, Method, Plan};
use steadypull_engine::rig::{LinkKind, LinkState, LoadedLink};
use steadypull_engine::units::{Force, G, Length, Mass};

use super::load_path::link_because;
use super::lowering::Worked;
use super::{ChosenRig, lowering_findings, tested_findings};
use crate::answer::{self, Standoff};
use crate::show::{Units, percent};

const PRACTICE: &str = "common practice";

pub(super) fn findings(
    plan: &Plan,
    ladder: &Ladder,
    chosen: Option<&ChosenRig>,
    lowering: Option<&Worked>,
    cases: &[Case],
    standoff: &Standoff,
    haul: Option<&answer::WinchHaul>,
) -> Vec<answer::Finding> {
    let mut found = Vec::new();
    found.extend(
        haul.into_iter()
            .flat_map(|haul| super::winch_findings::winch(haul, plan.units)),
    );
    found.extend(super::spread_findings::middle_used(plan));
    let loads = tested_findings::Loads::of(plan, chosen, lowering);
    found.extend(tested_findings::findings(plan, &loads));
    found.extend(held(plan));
    found.extend(side_slope(plan));
    found.extend(bystanders(plan, standoff));
    found.extend(
        lowering
            .into_iter()
            .flat_map(|w| lowering_findings::lowering(plan, w)),
    );
    match chosen {
        Some(chosen) => {
            found.extend(
                chosen
                    .links
                    .iter()
                    .filter_map(|l| link_finding(l, chosen.path.method, plan)),
            );
            found.extend(parting(chosen, plan));
            found.extend(by_chance(chosen, plan));
            found.extend(super::rig::anchor_findings(plan, chosen));
            found.extend(straps(plan, chosen));
            found.extend(let_go(plan, cases));
            if chosen.path.method == Method::Kinetic {
                found.extend(kinetic(plan, ladder));
            }
        }
        None if lowering.is_some() => {}
        None => found.push(Finding::new(
            Severity::Critical,
            "no-rig",
            "rig",
            "no rig can be put together from what the plan says",
            "add what is missing to the kit, or change the rig",
            PRACTICE,
        )),
    }
    found.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
    found.into_iter().map(in_contract).collect()
}

pub(super) fn in_contract(finding: Finding) -> answer::Finding {
    answer::Finding {
        severity: match finding.severity {
            Severity::Note => answer::Severity::Note,
            Severity::Warning => answer::Severity::Warning,
            Severity::Critical => answer::Severity::Critical,
        },
        code: finding.code.into(),
        subject: finding.subject,
        message: finding.message,
        remedy: finding.remedy,
        source: finding.source.into(),
    }
}

fn link_finding(link: &LoadedLink, method: Method, plan: &Plan) -> Option<Finding> {
    if link.link.kind == LinkKind::Anchor {
        return None;
    }
    let (severity, code, remedy) = match link.state {
        LinkState::Within => return None,
        LinkState::Refused => (
            Severity::Critical,
            "refused",
            "take it out of the load path",
        ),
        LinkState::OverMbs => (
            Severity::Critical,
            "over-mbs",
            "use a stronger part or a lower load",
        ),
        LinkState::OverWll => (
            Severity::Critical,
            "over-wll",
            "use a part with a higher working load limit or a lower load",
        ),
        LinkState::OverPolicy => (
            Severity::Critical,
            "over-policy",
            "use a stronger part or a lower load",
        ),
    };
    Some(Finding::new(
        severity,
        code,
        &link.link.name,
        link_because(link, method, plan),
        remedy,
        PRACTICE,
    ))
}

fn parting(chosen: &ChosenRig, plan: &Plan) -> Option<Finding> {
    // Anchors yield rather than part: they have findings of their own.
    let parts = chosen.links.iter();
    let parts = parts.filter(|l| l.link.kind != LinkKind::Anchor);
    let likeliest = parts.max_by(|a, b| {
        let chance = |l: &LoadedLink| l.parting_probability.unwrap_or(0.0);
        chance(a).total_cmp(&chance(b))
    });
    let weakest = likeliest?;
    let chance = weakest.parting_probability?;
    (chance > plan.policy.parting_probability).then(|| {
        Finding::new(
            Severity::Critical,
            "parting",
            &weakest.link.name,
            format!(
                "the chance that it lets go at this load is {}, over the {} allowed",
                percent(chance),
                percent(plan.policy.parting_probability)
            ),
            "use a stronger part or a lower load",
            "policy",
        )
    })
}

/// What is likelier than policy lets it be over all that may vary; a kinetic pull has
/// its window for that.
fn by_chance(chosen: &ChosenRig, plan: &Plan) -> Option<Finding> {
    let steady = chosen.path.method != Method::Kinetic;
    let chances = chosen.rung.chances.as_ref().filter(|_| steady)?;
    Some(Finding::new(
        Severity::Critical,
        "by-chance",
        "rig",
        chances.trouble(&plan.policy)?,
        "use a stronger part, lower the resistance first, or use another method",
        "policy, over 2048 draws of what may vary",
    ))
}

fn held(plan: &Plan) -> Option<Finding> {
    let hold = plan.casualty.held_by.as_ref()?;
    if hold.yields_at.is_some() {
        return None;
    }
    Some(Finding::new(
        Severity::Critical,
        "fixed-end",
        "casualty",
        format!(
            "a {} holds it: until that is cleared the casualty is a fixed end",
            hold.what
        ),
        "clear it or lift the casualty off it before anything pulls",
        PRACTICE,
    ))
}

fn side_slope(plan: &Plan) -> Option<Finding> {
    let across = plan.casualty.slope_across.to_deg();
    (across >= 15.0).then(|| {
        Finding::new(
            Severity::Warning,
            "side-slope",
            "casualty",
            format!("it stands {across:.0} deg across the slope and may roll when it moves"),
            "hold it with a second line uphill, or pull so that it turns downhill first",
            PRACTICE,
        )
    })
}

fn bystanders(plan: &Plan, standoff: &Standoff) -> Option<Finding> {
    let at = plan.people.bystanders_at?.get();
    let needed = standoff.beside_m.max(standoff.rule_m);
    (plan.people.bystanders > 0 && at < needed).then(|| {
        Finding::new(
            Severity::Critical,
            "bystanders-close",
            "people",
            format!(
                "bystanders at {} are inside the zone, which reaches {} from the line",
                plan.units.length(at),
                plan.units.length(needed)
            ),
            "move them out of the zone before the line is loaded",
            "the larger of rule and computed zone",
        )
    })
}

/// The strap rule, the label, the wet warning and metal in the middle.
fn straps(plan: &Plan, chosen: &ChosenRig) -> Vec<Finding> {
    let mut found = Vec::new();
    let lighter = plan
        .casualty
        .vehicle
        .gross_mass
        .min(plan.tug.vehicle.gross_mass);
    for line in chosen.path.lines.iter().filter(|l| l.kinetic) {
        found.extend(strap_rating(line, lighter, plan.units));
        found.extend(strap_rule::instructions(&line.name));
        if !line.labelled {
            found.push(Finding::new(
                Severity::Critical,
                "label",
                &line.name,
                "it has no legible label, so its breaking strength is not known",
                "do not use it; retire it",
                strap_rule::SOURCE.name,
            ));
        }
        if line.condition.wet && line.material.is_nylon() {
            found.push(Finding::new(
                Severity::Warning,
                "wet",
                &line.name,
                "wet nylon is weaker and stretches less; both are in the numbers",
                "dry it, or use another",
                "UFC 4-159-03 table 6-8 note; recovery strap safety standard",
            ));
        }
    }
    if plan.kit.dampers.is_empty() {
        found.push(Finding::new(
            Severity::Warning,
            "no-damper",
            "kit",
            "there is no damper on the line",
            "hang a heavy damper near each end and one in the middle",
            strap_rule::SOURCE.name,
        ));
    }
    let between =
        |l: &&LoadedLink| l.link.side == steadypull_engine::rig::Side::Between && l.link.metal;
    let metal = chosen
        .links
        .iter()
        .filter(between)
        .find(|l| l.link.kind == LinkKind::Shackle);
    if let (Method::Kinetic, Some(metal)) = (chosen.path.method, metal) {
        found.push(Finding::new(
            Severity::Warning,
            "metal-in-line",
            &metal.link.name,
            "metal in the middle of a kinetic line flies whichever side parts",
            "join with a soft shackle",
            PRACTICE,
        ));
    }
    found
}

fn strap_rating(line: &Line, lighter: Mass, units: Units) -> Vec<Finding> {
    // The standard is about webbing straps; ropes get the same measure as advice.
    let mut found = strap_rule::rating_findings(&line.name, line.mbs, lighter, units);
    if line.material != Material::NylonWebbing {
        found
            .iter_mut()
            .for_each(|f| f.severity = f.severity.min(Severity::Warning));
    }
    found
}

fn let_go(plan: &Plan, cases: &[Case]) -> Vec<Finding> {
    let criterion = plan.policy.injury_energy.get();
    let energy = super::let_go::arriving_j;
    let Some(worst) = cases.iter().max_by(|a, b| energy(a).total_cmp(&energy(b))) else {
        return Vec::new();
    };
    let times = energy(worst) / criterion;
    if times <= 1.0 {
        return Vec::new();
    }
    let mut found = run_on(plan, cases);
    found.push(Finding::new(
        Severity::Warning,
        "let-go",
        &worst.link,
        format!(
            "if it lets go, what flies, dampers that come along included, reaches the other vehicle with {}, {times:.0} times what counts as hazardous",
            plan.units.energy(energy(worst))
        ),
        "lower the load, use soft shackles, hang heavier dampers hard against the hardware, bonnet up, nobody in line",
        "US DDESB TP-12, quoted in an engineering note",
    ));
    found
}

/// Hardware that comes off the line goes on past the drawn zone.
fn run_on(plan: &Plan, cases: &[Case]) -> Vec<Finding> {
    let furthest = cases
        .iter()
        .filter_map(|c| c.planned.free_reach)
        .fold(Length::ZERO, Length::max);
    if furthest.get() < 1.0 {
        return Vec::new();
    }
    vec![Finding::new(
        Severity::Warning,
        "run-on",
        "line of pull",
        format!(
            "hardware that comes off the line could skip and slide {} past a vehicle, beyond the drawn zone",
            plan.units.length(furthest.get())
        ),
        "keep the line of pull clear behind both vehicles as far as can be seen",
        "free flight with air drag and sliding friction of this plan",
    )]
}

fn kinetic(plan: &Plan, ladder: &Ladder) -> Vec<Finding> {
    let mut found = Vec::new();
    let Some(study) = &ladder.kinetic else {
        return found;
    };
    if !plan.tried.contains(&Method::SteadyTow) {
        found.push(Finding::new(
            Severity::Warning,
            "tow-first",
            "rig",
            "a steady tow has not been tried",
            "try a steady tow on a low-stretch line first",
            PRACTICE,
        ));
    }
    let window = &study.window;
    if let Some(closed) = closed_window(study, plan) {
        found.push(Finding::new(
            Severity::Critical,
            "window-empty",
            "run-up",
            format!("do not: no run-up speed is both enough and safe: {closed}"),
            opened_by(study, plan).map_or("use another method".into(), |by| {
                format!("use another method; it would open with {by}")
            }),
            "the run-up window of this plan, by probability",
        ));
    } else if window.greatest.is_some_and(|g| study.speed > g) {
        found.push(Finding::new(
            Severity::Critical,
            "run-up-too-fast",
            "run-up",
            format!(
                "{} is above the window: {}, {}",
                plan.units.speed(study.speed.get()),
                window.limit.subject(),
                window.limit.how()
            ),
            "slow down to the window",
            "the run-up window of this plan, by probability",
        ));
    } else if window.stands(study.speed) == SpeedStands::Close {
        found.push(Finding::new(
            Severity::Warning,
            "run-up-close",
            "run-up",
            format!(
                "{} is nearer to an end of the window than the sampling of {} pulls can tell",
                plan.units.speed(study.speed.get()),
                study.chances.samples()
            ),
            match window.sure {
                Some((least, greatest)) => format!(
                    "plan between {} and {}",
                    plan.units.speed(least.get()),
                    plan.units.speed(greatest.get())
                ),
                None => "take it as no window, or lower the resistance first".into(),
            },
            "the run-up window of this plan, by probability",
        ));
    }
    found.extend(slack(plan, study));
    found
}

/// Whether the slack laid out is enough to reach the run-up speed.
fn slack(plan: &Plan, study: &KineticStudy) -> Option<Finding> {
    let rig = plan.rig.as_ref().filter(|r| r.method == Method::Kinetic)?;
    let weight = plan.tug.vehicle.mass.weight();
    let push: Force =
        steadypull_engine::situation::tug_ability::grip_force(&plan.tug, plan.tug.grip).min(
            steadypull_engine::situation::tug_ability::drive_limit(&plan.tug),
        ) - steadypull_engine::situation::tug_ability::own_resistance(&plan.tug);
    let acceleration = G * (push / weight);
    if acceleration <= 0.0 {
        return None;
    }
    let needed = study.speed.get() * study.speed.get() / (2.0 * acceleration);
    (rig.slack.get() < needed).then(|| {
        Finding::new(
            Severity::Note,
            "slack-short",
            "run-up",
            format!(
                "with {} of slack the tug cannot reach {}; it needs about {}",
                plan.units.length(rig.slack.get()),
                plan.units.speed(study.speed.get()),
                plan.units.length(needed)
            ),
            "the pull will be gentler than computed; do not make up for it with more throttle",
            "uniform acceleration at the tug's grip",
        )
    })
}
