//! The plan in short, the verdict, the charts, the inputs.

use steadypull_contract::answer::{Answer, KineticPull, MethodName};
use steadypull_contract::show::{Units, percent};

use super::{Banner, Block, ListKind, Section, Topic};
use crate::figure::winch_haul;
use crate::{BriefFigure, Figure};

/// Place, date, vehicles, people.
pub(super) fn about(answer: &Answer, units: Units, made_on: &str) -> Vec<String> {
    let plan = &answer.plan;
    let mut lines = Vec::new();
    let mut first = vec!["Recovery brief".to_string()];
    first.extend(plan.place.clone());
    if !made_on.trim().is_empty() {
        first.push(format!("made on {made_on}"));
    }
    lines.push(first.join(" · "));
    lines.push(format!(
        "Casualty: {}, {} · Tug: {}, {} · Crew {}, bystanders {}",
        plan.casualty,
        units.mass(plan.casualty_mass_kg),
        plan.tug,
        units.mass(plan.tug_mass_kg),
        plan.crew,
        plan.bystanders
    ));
    lines
}

/// Whether the pull must not go ahead like this: a critical finding stops it as
/// surely as the policy does.
pub(super) fn stops(answer: &Answer) -> bool {
    !answer.verdict.within_policy || answer.has_critical()
}

/// Whether a kinetic pull is among the methods to try.
pub(super) fn kinetic_in(answer: &Answer) -> bool {
    let verdict = &answer.verdict;
    verdict.first_method == Some(MethodName::Kinetic)
        || verdict.sequence.contains(&MethodName::Kinetic)
}

/// The verdict.
pub(super) fn banner(answer: &Answer) -> Banner {
    let stop = stops(answer);
    let mut reasons = answer.verdict.reasons.clone();
    if !answer.verdict.sequence.is_empty() {
        let names: Vec<&str> = answer.verdict.sequence.iter().map(|m| m.title()).collect();
        reasons.push(format!("Order to try: {}.", names.join(", then ")));
    }
    Banner {
        stop,
        words: match (stop, answer.lowering.is_some()) {
            (true, true) => "DO NOT LOWER",
            (true, false) => "DO NOT PULL",
            (false, _) => "WITHIN POLICY",
        },
        headline: answer.verdict.headline.clone(),
        reasons,
    }
}

/// Sections that are mainly drawn.
pub(super) fn charts(answer: &Answer) -> Vec<Section> {
    let section = |topic, heading: &str, blocks| Section {
        topic,
        heading: heading.into(),
        blocks,
    };
    let mut sections = Vec::new();
    if let Some(haul) = &answer.pull.winch {
        let block = match winch_haul::shown(haul) {
            Some(_) => Block::Figure(BriefFigure::Answer(Figure::WinchHaul)),
            None => Block::Text(format!(
                "The casualty does not move: {}.",
                haul.median.end_words
            )),
        };
        sections.push(section(Topic::Pull, Figure::WinchHaul.title(), vec![block]));
    }
    match &answer.pull.kinetic {
        Some(pull) => sections.push(section(
            Topic::Pull,
            kinetic_heading(answer),
            kinetic_figures(answer, pull),
        )),
        // A winch pull is what the plan is about; no kinetic pull is no news there.
        None if answer.pull.winch.is_some() => {}
        None => {
            let why = answer
                .pull
                .missing
                .clone()
                .unwrap_or_else(|| "No kinetic pull was worked out.".into());
            sections.push(section(Topic::Pull, "Kinetic pull", vec![Block::Text(why)]));
        }
    }
    let flights = answer.let_go.cases.iter().any(|c| c.energy_along.len() > 1);
    let block = if flights {
        Some(Block::Figure(BriefFigure::Answer(Figure::LetGoEnergy)))
    } else if !answer.let_go.partings.is_empty() {
        // What flies off a rig on the ground stands among the limits and findings.
        None
    } else {
        Some(Block::Text(
            answer
                .let_go
                .missing
                .clone()
                .unwrap_or_else(|| "No flight was worked out.".into()),
        ))
    };
    sections
        .extend(block.map(|block| section(Topic::LetGo, Figure::LetGoEnergy.title(), vec![block])));
    if !answer.options.ladder.is_empty() {
        sections.push(section(
            Topic::Methods,
            Figure::OptionsLadder.title(),
            vec![Block::Figure(BriefFigure::Answer(Figure::OptionsLadder))],
        ));
    }
    if !answer.situation.terms.is_empty() {
        sections.push(section(
            Topic::Resistance,
            "What holds the casualty",
            vec![Block::Figure(BriefFigure::Answer(Figure::Resistance))],
        ));
    }
    sections
}

fn kinetic_heading(answer: &Answer) -> &'static str {
    if stops(answer) || !kinetic_in(answer) {
        "Kinetic pull, for information"
    } else {
        "Kinetic pull"
    }
}

fn kinetic_figures(answer: &Answer, pull: &KineticPull) -> Vec<Block> {
    let mut blocks = Vec::new();
    if pull.series.time_s.len().min(pull.series.force_n.len()) > 1 {
        blocks.push(Block::Figure(BriefFigure::Answer(Figure::ForceTime)));
    }
    // A window is only shown to a crew that may run up, or to say there is none.
    if !kinetic_in(answer) {
        blocks.push(Block::Text("Not in the order to try: no run-up.".into()));
    } else if stops(answer) && !pull.window.empty {
        blocks.push(Block::Text("No run-up: do not pull.".into()));
    } else if pull.window.chances.len() > 1 {
        blocks.push(Block::Figure(BriefFigure::Answer(Figure::RunUpChances)));
    } else if pull.window.curve.len() > 1 {
        blocks.push(Block::Figure(BriefFigure::Answer(Figure::RunUpWindow)));
    } else {
        blocks.push(Block::Text(pull.window.words.clone()));
    }
    blocks
}

/// Inputs and assumed defaults.
pub(super) fn inputs(answer: &Answer) -> Vec<Section> {
    let small = |items| {
        vec![Block::List {
            kind: ListKind::Small,
            items,
        }]
    };
    let plan = &answer.plan;
    let mut sections = Vec::new();
    if !plan.inputs.is_empty() {
        sections.push(Section {
            topic: Topic::Inputs,
            heading: "Inputs as read".into(),
            blocks: small(plan.inputs.clone()),
        });
    }
    if !plan.assumed.is_empty() {
        let items = plan.assumed.iter().map(|a| {
            let reason = if a.reason.is_empty() {
                String::new()
            } else {
                format!(" ({})", a.reason)
            };
            format!("{} = {}{reason}", a.key, a.value)
        });
        sections.push(Section {
            topic: Topic::Assumed,
            heading: "Assumed, not given".into(),
            blocks: small(items.collect()),
        });
    }
    sections
}

/// Where the numbers come from.
pub(super) fn footer(answer: &Answer) -> String {
    let audit = answer.pull.kinetic.as_ref().map_or(String::new(), |pull| {
        format!(
            " Energy left over in the kinetic run: {}.",
            percent(pull.audit.error_share.abs())
        )
    });
    format!(
        "Steadypull. The model and source of every number are in the JSON answer (contract {}, seed {}).{audit}",
        answer.contract_version, answer.plan.seed
    )
}
