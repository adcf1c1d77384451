//! Where people stand, what they do, and how they talk. The roles, signals and
//! words are common practice.

use steadypull_contract::answer::Answer;
use steadypull_contract::show::{Units, percent};

use super::{Block, ListKind, Pair, Section, Topic, sentence};
use crate::{BriefFigure, Figure, HandSignal};

/// The zone and who stands where.
pub(super) fn standoff(answer: &Answer, units: Units) -> Section {
    let standoff = &answer.standoff;
    let mut blocks = Vec::new();
    if !standoff.zone.is_empty() || !standoff.outlines.is_empty() {
        blocks.push(Block::Figure(BriefFigure::Answer(Figure::PlanView)));
    }
    blocks.push(Block::Text(format!(
        "{} behind the casualty and {} behind the tug (from their recovery points), {} to each side of the line.",
        units.length(standoff.behind_casualty_m),
        units.length(standoff.behind_tug_m),
        units.length(standoff.beside_m)
    )));
    blocks.push(Block::Text(basis(answer, units)));
    let places: Vec<String> = standoff
        .places
        .iter()
        .map(|p| format!("{}: {}", p.who, p.place))
        .collect();
    if !places.is_empty() {
        blocks.push(Block::List {
            kind: ListKind::Bullet,
            items: places,
        });
    }
    Section {
        topic: Topic::Standoff,
        heading: "Standoff: nobody inside while the line is loaded".into(),
        blocks,
    }
}

/// The rig of a lowering from above; where people stand is told with the lowering.
pub(super) fn rig_from_above() -> Section {
    Section {
        topic: Topic::Standoff,
        heading: "The rig from above".into(),
        blocks: vec![Block::Figure(BriefFigure::Answer(Figure::PlanView))],
    }
}

fn basis(answer: &Answer, units: Units) -> String {
    let standoff = &answer.standoff;
    let governs = if standoff.computed_governs {
        "The computed zone is the larger"
    } else {
        "The rule is the larger"
    };
    let failed = if standoff.failed_runs == 0 {
        String::new()
    } else {
        format!(", {} failed", standoff.failed_runs)
    };
    format!(
        "{governs}. Rule: {}. {} Computed reach past a recovery point: {} ({} quantile of {} runs{failed}). {}",
        units.length(standoff.rule_m),
        sentence(&standoff.rule),
        units.length(standoff.computed_reach_m),
        percent(standoff.quantile),
        standoff.runs,
        sentence(&answer.let_go.shelter)
    )
}

/// Who does what.
pub(super) fn roles(answer: &Answer) -> Section {
    let plan = &answer.plan;
    let role = |name: &str, note: String| Pair {
        name: name.into(),
        value: String::new(),
        note,
    };
    let mut pairs = vec![
        role(
            "In charge",
            "One person only. Gives every signal, sees both drivers, drives neither vehicle."
                .into(),
        ),
        role(
            "Driver, casualty",
            format!(
                "In {}, belted. Moves only on a signal from the person in charge.",
                plan.casualty
            ),
        ),
        role(
            "Driver, tug",
            format!(
                "In {}, belted. Watches the person in charge, not the line.",
                plan.tug
            ),
        ),
        role(
            "Line watcher",
            "Outside the zone with a view of line, dampers and attachments. Calls STOP.".into(),
        ),
        role(
            "Zone keeper",
            format!(
                "Keeps {} out of the zone and reports CLEAR.",
                bystanders(plan.bystanders)
            ),
        ),
    ];
    for (name, note) in super::rig::roles(answer) {
        pairs.push(role(name, note));
    }
    let share = if (plan.crew as usize) < pairs.len() {
        format!(
            "Crew of {}: people share roles, but the person in charge never drives, and without eyes on the zone there is no pull.",
            plan.crew
        )
    } else {
        format!(
            "Crew of {}. Whoever has no role stands with the bystanders.",
            plan.crew
        )
    };
    Section {
        topic: Topic::Roles,
        heading: "Roles".into(),
        blocks: vec![Block::Pairs(pairs), Block::Text(share)],
    }
}

fn bystanders(count: u32) -> String {
    match count {
        0 => "anybody who turns up".into(),
        1 => "1 bystander".into(),
        n => format!("{n} bystanders"),
    }
}

/// Hand signals and words.
pub(super) fn signals() -> Section {
    let word = |name: &str, note: &str| Pair {
        name: name.into(),
        value: String::new(),
        note: note.into(),
    };
    Section {
        topic: Topic::Signals,
        heading: "Hand signals and words".into(),
        blocks: vec![
            Block::Signals(HandSignal::ALL.to_vec()),
            Block::Pairs(vec![
                word(
                    "STOP",
                    "Called by anybody, obeyed by everybody, at once, without asking why.",
                ),
                word("HOLD", "Keep the load where it is. Nobody moves."),
                word(
                    "CLEAR",
                    "Zone keeper only: the zone is empty. No load before this word.",
                ),
                word(
                    "SLACK",
                    "Person in charge only: the line is slack and both vehicles are braked. Only now may anybody walk in.",
                ),
            ]),
            Block::Text(
                "Common practice: agree and show each signal before the first pull.".into(),
            ),
        ],
    }
}
