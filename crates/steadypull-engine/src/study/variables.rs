//! What is uncertain about a plan and its rig, by kind and source.
//!
//! What the plan gives as a range stands as it is given and takes the place of the
//! project's own spread of the same input. The rest are the spreads that the models
//! carry (resistance, grip, strength) and assumptions about what nobody measures;
//! every one is told.

use super::gear_spread::{stretch_variable, winch_variable, winch_variable_of};
use super::{Rigged, Role, Studied, Variable, lowering_variables};
use crate::chance::{Distribution, Joined, LogNormal};
use crate::letgo::cases::{DIRECTION_SPREAD_DEG, LOAD_SPREAD, return_range};
use crate::plan::{Method, Plan, Spread};
use crate::rig::loads::{BELOW_MBS, strength};
use crate::situation::TermKind;
use crate::situation::resistance::terms;
use crate::units::Angle;

/// Masses as estimated, 1-sigma of the logarithm.
const MASS_SPREAD: f64 = 0.05;
/// Run-up speed as driven over that wanted: 1-sigma, and the most either way.
const RUN_UP_SPREAD: f64 = 0.10;
const RUN_UP_MOST: f64 = 0.30;
/// Slack as laid out over that wanted, either way.
const SLACK_MOST: f64 = 0.25;
/// Grip of a damper on the line, 1-sigma of the logarithm.
const DAMPER_SPREAD: f64 = 0.3;
/// Strength of a tether, 1-sigma of the logarithm, its MBS the 5 % quantile.
const TETHER_SPREAD: f64 = 0.1;
/// Friction of line and hardware on the ground, low and high.
const FRICTION: (f64, f64) = (0.3, 0.6);

/// Everything uncertain about `plan` with the rig `rigged`.
pub fn variables(plan: &Plan, rigged: &Rigged) -> Vec<Variable> {
    let mut found = match (rigged.studied, &plan.lowering) {
        (Studied::Lowering, Some(lowering)) => lowering_variables::of(plan, lowering, rigged),
        (Studied::NoRig, _) => without_rig(plan, rigged),
        _ => pulling(plan, rigged),
    };
    found.retain(|own| !plan.spreads.iter().any(|s| replaces(&s.key, &own.key)));
    found.extend(plan.spreads.iter().enumerate().map(stated));
    told_as_one(plan, &mut found);
    found
}

/// The sets of `variables` that are drawn together.
pub fn joined(plan: &Plan, variables: &[Variable]) -> Vec<Joined> {
    plan.together()
        .filter_map(|set| set.joined(|key| place_of(key, variables)))
        .collect()
}

fn place_of(key: &str, variables: &[Variable]) -> Option<usize> {
    let stated = |v: &Variable| matches!(v.role, Role::Stated(_)) && v.key == key;
    variables.iter().position(stated)
}

/// What is drawn together has no share by itself in the spread of a result: one group.
fn told_as_one(plan: &Plan, variables: &mut [Variable]) {
    for set in plan.together() {
        let joined = set.joined(|key| place_of(key, variables));
        for place in joined.into_iter().flat_map(|j| j.places) {
            variables[place].group = set.words.clone();
        }
    }
}

fn pulling(plan: &Plan, rigged: &Rigged) -> Vec<Variable> {
    let mut found = resistance(plan, rigged);
    found.extend(vehicles(plan));
    if let (Method::Kinetic, Some(run_up)) = (rigged.path.method, rigged.run_up) {
        found.extend(driving(run_up.get(), rigged.slack.get()));
    }
    found.extend(winch_variable(plan, &rigged.path));
    found.extend(stretch_variable(&rigged.path));
    found.extend(energy_return(rigged));
    found.extend(strengths(rigged));
    found.extend(let_go(plan));
    found
}

/// What the tug alone decides.
fn without_rig(plan: &Plan, rigged: &Rigged) -> Vec<Variable> {
    let mut found = resistance(plan, rigged);
    found.extend(vehicles(plan));
    found.extend(plan.tug.winch.as_ref().map(winch_variable_of));
    found
}

/// Whether a spread of the plan takes the place of the project's own.
fn replaces(stated: &str, own: &str) -> bool {
    match own {
        "resistance.obstacle" => stated == "casualty.held_by.yields_at",
        "damper.slips_at" => stated.starts_with("damper.") && stated.ends_with(".slips_at"),
        _ => stated == own,
    }
}

/// An input that the plan gives as a range or a distribution.
fn stated((i, spread): (usize, &Spread)) -> Variable {
    Variable {
        role: Role::Stated(i),
        key: spread.key.clone(),
        words: spread.key.clone(),
        group: spread.key.clone(),
        distribution: spread.distribution,
        unit: spread.unit,
        source: format!("the plan: {}", spread.text),
        assumed: false,
    }
}

/// A variable of the models' own, its spread assumed.
pub(super) fn assumed(
    role: Role,
    key: &str,
    words: &str,
    group: &str,
    distribution: Distribution,
    unit: &'static str,
) -> Variable {
    Variable {
        role,
        key: key.into(),
        words: words.into(),
        group: group.into(),
        distribution,
        unit,
        source: "assumed".into(),
        assumed: true,
    }
}

fn lognormal(median: f64, spread: f64) -> Distribution {
    Distribution::LogNormal(LogNormal::new(median, spread))
}

fn resistance(plan: &Plan, rigged: &Rigged) -> Vec<Variable> {
    let spread = |t: &crate::situation::Term| t.size.spread > 0.0 && t.size.median > 0.0;
    terms(&plan.casualty, rigged.treatment, plan.units)
        .into_iter()
        .filter(spread)
        .map(|term| {
            let word = term.kind.word();
            let group = match term.kind {
                TermKind::LockedWheels | TermKind::Overturned => "damage to the casualty".into(),
                _ => word.to_string(),
            };
            Variable {
                role: Role::of_term(term.kind),
                key: format!("resistance.{}", word.replace(' ', "-")),
                words: format!("{word} of the casualty, {}", term.method),
                group,
                distribution: Distribution::LogNormal(term.size),
                unit: "N",
                source: format!("size: {}; spread of it assumed", term.source.name),
                assumed: term.kind != TermKind::Suction,
            }
        })
        .collect()
}

fn vehicles(plan: &Plan) -> Vec<Variable> {
    let of = |role, who: &str, kg: f64| {
        assumed(
            role,
            &format!("{who}.mass"),
            &format!("mass of the {who}, as estimated"),
            "masses of the vehicles",
            mass(kg),
            "kg",
        )
    };
    let tug = &plan.tug;
    let mut found = vec![
        of(
            Role::CasualtyMass,
            "casualty",
            plan.casualty.vehicle.mass.get(),
        ),
        of(Role::TugMass, "tug", tug.vehicle.mass.get()),
    ];
    if tug.grip_spread > 0.0 {
        found.push(Variable {
            source: "the plan, or the surface's own".into(),
            ..assumed(
                Role::TugGrip,
                "tug.grip",
                "grip of the tug",
                "grip of the tug",
                lognormal(tug.grip, tug.grip_spread),
                "",
            )
        });
    }
    found
}

/// Run-up speed as driven, where `wanted` was wanted.
pub(super) fn run_up(wanted: f64) -> Distribution {
    Distribution::NormalWithin {
        mean: wanted,
        sd: RUN_UP_SPREAD * wanted,
        low: (1.0 - RUN_UP_MOST) * wanted,
        high: (1.0 + RUN_UP_MOST) * wanted,
    }
}

/// Slack as laid out, where `wanted` was wanted.
pub(super) fn slack(wanted: f64) -> Distribution {
    about(wanted, SLACK_MOST)
}

/// Even about `middle`, a share of it either way.
pub(super) fn about(middle: f64, share: f64) -> Distribution {
    Distribution::Uniform {
        low: (1.0 - share) * middle,
        high: (1.0 + share) * middle,
    }
}

/// Mass as it is, where `stated` was estimated.
pub(super) fn mass(stated: f64) -> Distribution {
    lognormal(stated, MASS_SPREAD)
}

/// Direction of a launch off the line of pull, up or to the left, rad.
pub(super) fn direction() -> Distribution {
    Distribution::Normal {
        mean: 0.0,
        sd: DIRECTION_SPREAD_DEG.to_radians(),
    }
}

/// Mass of what flies over that stated.
pub(super) fn hardware() -> Distribution {
    lognormal(1.0, LOAD_SPREAD)
}

/// Friction of what flies on the ground.
pub(super) fn friction() -> Distribution {
    Distribution::Uniform {
        low: FRICTION.0,
        high: FRICTION.1,
    }
}

/// Grip of a damper over that stated.
pub(super) fn damper_grip() -> Distribution {
    lognormal(1.0, DAMPER_SPREAD)
}

/// Strength of a tether over that stated.
pub(super) fn tether_strength() -> Distribution {
    Distribution::LogNormal(LogNormal::with_quantile(1.0, BELOW_MBS, TETHER_SPREAD))
}

fn driving(run_up_m_s: f64, slack_m: f64) -> Vec<Variable> {
    let mut found = vec![assumed(
        Role::RunUp,
        "rig.run_up_speed",
        "run-up speed, as driven",
        "run-up as driven",
        run_up(run_up_m_s),
        "m/s",
    )];
    if slack_m > 0.0 {
        found.push(assumed(
            Role::Slack,
            "rig.slack",
            "slack, as laid out: the tug gains speed over all of it",
            "slack laid out",
            slack(slack_m),
            "m",
        ));
    }
    found
}

pub(super) fn energy_return(rigged: &Rigged) -> Option<Variable> {
    let line = rigged.path.leading_line()?;
    let (low, high) = return_range(line);
    (high > low).then(|| {
        assumed(
            Role::EnergyReturn,
            &format!("line.{}.energy_return", line.name),
            "energy that the lines give back, over that taken",
            "energy return of the lines",
            Distribution::Uniform { low, high },
            "",
        )
    })
}

pub(super) fn strengths(rigged: &Rigged) -> Vec<Variable> {
    let link = |name: &String| rigged.path.links.iter().find(|l| l.name == *name);
    let parts = rigged.parts();
    let of = |(i, name): (usize, &String)| {
        let size = strength(link(name)?)?;
        Some(Variable {
            source: format!(
                "its stated strength after reductions is what {:.0} of 100 such parts pass; \
                 spread assumed",
                (1.0 - BELOW_MBS) * 100.0
            ),
            ..assumed(
                Role::Strength(i),
                &format!("strength.{name}"),
                &format!("strength of {name}"),
                "strength of the parts",
                Distribution::LogNormal(size),
                "N",
            )
        })
    };
    parts.iter().enumerate().filter_map(of).collect()
}

pub(super) fn let_go(plan: &Plan) -> Vec<Variable> {
    let flight = "launch: direction, mass of hardware, ground";
    let mut found = vec![
        assumed(
            Role::WhichItem,
            "let-go.part",
            "which part lets go, if one does: each as likely",
            "which part lets go",
            Distribution::Uniform {
                low: 0.0,
                high: 1.0,
            },
            "",
        ),
        assumed(
            Role::LaunchUp,
            "let-go.up",
            "launch direction, above the line of pull",
            flight,
            direction(),
            "rad",
        ),
        assumed(
            Role::LaunchLeft,
            "let-go.left",
            "launch direction, to the side of the line of pull",
            flight,
            direction(),
            "rad",
        ),
        assumed(
            Role::HardwareMass,
            "let-go.hardware",
            "mass of what flies over that stated",
            flight,
            hardware(),
            "",
        ),
        assumed(
            Role::GroundFriction,
            "let-go.friction",
            "friction of what flies on the ground",
            flight,
            friction(),
            "",
        ),
    ];
    found.push(assumed(
        Role::BreakPlace,
        "let-go.along",
        "where along a line that parts inside it does",
        "which part lets go",
        Distribution::Uniform {
            low: 0.0,
            high: 1.0,
        },
        "",
    ));
    found.extend(site(plan));
    if !plan.kit.dampers.is_empty() {
        found.push(assumed(
            Role::DamperGrip,
            "damper.slips_at",
            "grip of the dampers over that stated",
            "dampers and tethers",
            damper_grip(),
            "",
        ));
    }
    if !plan.kit.tethers.is_empty() {
        found.push(assumed(
            Role::TetherStrength,
            "tether.mbs",
            "strength of the tethers over that stated",
            "dampers and tethers",
            tether_strength(),
            "",
        ));
    }
    found
}

/// The wind and the bumps of a let-go, where there are any.
fn site(plan: &Plan) -> Vec<Variable> {
    let (site, group) = (&plan.site, "wind and bumps under what flies");
    let even = Distribution::Uniform {
        low: 0.0,
        high: 1.0,
    };
    let of = |role, key: &str, words: &str, law, unit| assumed(role, key, words, group, law, unit);
    let mut found = Vec::new();
    if site.wind.get() > 0.0 && site.gusts.factor > 1.0 {
        let words = "wind in a let-go over its mean, up to its gust factor";
        found.push(of(Role::Gust, "site.gust", words, site.gusts.speed(), ""));
    }
    if site.wind.get() > 0.0 && site.gusts.turns > Angle::ZERO {
        let words = "direction of the wind in a let-go off its mean";
        let law = site.gusts.turn();
        found.push(of(Role::WindTurn, "site.wind-turn", words, law, "rad"));
    }
    if site.bumps.get() > 0.0 {
        for (role, key, way) in [
            (Role::BumpsAlong, "site.bumps-along", "along"),
            (Role::BumpsAcross, "site.bumps-across", "across"),
        ] {
            let words = format!("where the bumps lie, {way}, in their spacing");
            found.push(of(role, key, &words, even, ""));
        }
    }
    found
}
