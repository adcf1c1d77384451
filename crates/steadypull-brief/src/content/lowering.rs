//! A lowering in the brief: its own limits, stop list, roles and checklist. Roles,
//! stop list and steps are common practice.

use steadypull_contract::answer::{Answer, Belay, Lowering, RunAway};
use steadypull_contract::show::{Units, figures, percent};

use super::{Block, ListKind, Pair, Section, Topic, crew};
use crate::{BriefFigure, Figure};

fn pair(name: &str, value: String, note: impl Into<String>) -> Pair {
    Pair {
        name: name.into(),
        value,
        note: note.into(),
    }
}

fn section(topic: Topic, heading: &str, blocks: Vec<Block>) -> Section {
    Section {
        topic,
        heading: heading.into(),
        blocks,
    }
}

fn list(kind: ListKind, items: Vec<String>) -> Block {
    Block::List { kind, items }
}

/// The sections of a lowering, in reading order.
pub(super) fn sections(answer: &Answer, lowering: &Lowering, units: Units) -> Vec<Section> {
    vec![
        section(
            Topic::Lowering,
            Figure::Lowering.title(),
            vec![Block::Figure(BriefFigure::Answer(Figure::Lowering))],
        ),
        limits(answer, lowering, units),
        stop_when(lowering, units),
        parts(lowering, units),
        standoff(answer, lowering, units),
        roles(answer, lowering),
        crew::signals(),
        checklist(lowering, units),
    ]
}

fn limits(answer: &Answer, lowering: &Lowering, units: Units) -> Section {
    let out = &lowering.pay_out;
    let mut pairs = vec![
        pair(
            "The line holds, at most",
            units.force(lowering.greatest.median_n),
            format!(
                "{} to {}; upper axle {} down the way",
                units.force(lowering.greatest.low_n),
                units.force(lowering.greatest.high_n),
                units.length(lowering.greatest_at_m)
            ),
        ),
        pair(
            "Never load the line past",
            units.force(line_limit(lowering)),
            "the weakest part of it is then at its limit",
        ),
        pair(
            "Speed, never faster than",
            units.speed(out.speed_m_s),
            "walking pace: the edge watcher walks beside it",
        ),
    ];
    if let (Some(hand), Some(limit)) = (out.hand_design_n, out.hand_limit_n) {
        pairs.push(pair(
            "Brake hand, at most",
            units.hand_force(limit),
            format!(
                "{} expected at the worst; more: STOP, another turn",
                units.hand_force(hand)
            ),
        ));
    }
    pairs.push(pair(
        "Line left at the end",
        units.length(out.there_is_m - out.out_greatest_m),
        format!(
            "{} out of {}; mark the line where only the tail is left",
            units.length(out.out_greatest_m),
            units.length(out.there_is_m)
        ),
    ));
    pairs.extend(lowering.belay.as_ref().map(|b| belay_pair(b, units)));
    let away = &lowering.run_away;
    pairs.push(pair(
        "If nothing holds it",
        units.speed(away.told_speed_m_s()),
        match away.past_foot_m {
            Some(past) => format!("stops {} past the end", units.length(past)),
            None => format!(
                "does not stop within {} of the end",
                units.length(RunAway::FOLLOWED_M)
            ),
        },
    ));
    let heading = if super::plan::stops(answer) {
        "Limits, for information: this rig does not lower"
    } else {
        "Limits to act on"
    };
    section(Topic::Limits, heading, vec![Block::Pairs(pairs)])
}

/// Tension at the vehicle at which the first part reaches its limit.
fn line_limit(lowering: &Lowering) -> f64 {
    let shares = lowering.parts.iter().filter_map(|p| p.share_of_limit);
    let greatest = shares.fold(0.0, f64::max);
    if greatest > 0.0 {
        lowering.greatest_design_n / greatest
    } else {
        0.0
    }
}

fn belay_pair(belay: &Belay, units: Units) -> Pair {
    pair(
        "Belay slack, never more than",
        units.length(belay.slack_m),
        format!(
            "{}; highest peak {}, line may carry {} in a catch",
            belay.words,
            units.force(belay.peak_force_n),
            units.force(belay.limit_n)
        ),
    )
}

fn stop_when(lowering: &Lowering, units: Units) -> Section {
    let mut items = vec![
        "Anybody calls or signals STOP, or a signal is not understood.".to_string(),
        "Anybody is below the vehicle or on the run-out.".into(),
        "It goes faster than a walk, or not as the brake hand lets it.".into(),
        "The belay is not in its hand, or hangs in a bight.".into(),
    ];
    if let Some(limit) = lowering.pay_out.hand_limit_n {
        items.push(format!(
            "The brake hand has to hold more than {}, or the turns smoke, creep or ride up.",
            units.hand_force(limit)
        ));
    } else {
        items.push("The winch brake slips, smells, or the drum is too hot to touch.".into());
    }
    items.push("A mark on the line comes off the holder: first mark slow, last mark stop.".into());
    items.push("An upper wheel lifts, the vehicle leans, slews, or hangs on its chassis.".into());
    items.push("An anchor, tree or strap moves, or the edge breaks away.".into());
    if let Some(rock) = lowering.rocks {
        items.push(format!(
            "Before it rocks over the edge, upper axle {} down the way: stop, then ease.",
            units.length(rock.at_m)
        ));
    }
    section(
        Topic::StopWhen,
        "Stop at once when",
        vec![list(ListKind::Bullet, items)],
    )
}

fn parts(lowering: &Lowering, units: Units) -> Section {
    let pairs = lowering
        .parts
        .iter()
        .map(|part| {
            let limit = part.limit_n.map_or("no limit known".to_string(), |n| {
                format!("limit {}", units.force(n))
            });
            let state = if part.within { "within" } else { "NOT WITHIN" };
            pair(
                &format!("{} {}", part.kind, part.name),
                units.force(part.load_n),
                format!("{limit}, {state}; if it lets go {} is left", part.left),
            )
        })
        .collect();
    section(
        Topic::LoadPath,
        "Every part of the main line, vehicle end first",
        vec![Block::Pairs(pairs)],
    )
}

fn standoff(answer: &Answer, lowering: &Lowering, units: Units) -> Section {
    let places = answer.standoff.places.iter();
    let items = places.map(|p| format!("{}: {}", p.who, p.place)).collect();
    section(
        Topic::Standoff,
        "Standoff: nobody below, nobody in a bend of the line",
        vec![
            Block::Text(format!(
                "{} from vehicle, lines and anchors for everybody without a task ({}).",
                units.length(lowering.standoff_m),
                lowering.standoff_rule
            )),
            list(ListKind::Bullet, items),
        ],
    )
}

fn roles(answer: &Answer, lowering: &Lowering) -> Section {
    let role = |name: &str, note: String| pair(name, String::new(), note);
    let hand = if lowering.pay_out.hand.is_some() {
        "Tends the turns, both hands on the tail, gloves on, never inside the loop. Pays out only on the signal; holds when in doubt."
    } else {
        "At the winch control, out of the line. Powers out only on the signal; feels the drum at every stop."
    };
    let belay = match &lowering.belay {
        Some(belay) => format!(
            "Tends {} all the way, slack no more than planned, from before the first load until the wheels are chocked.",
            belay.line
        ),
        None => "NOBODY: no belay is planned. Nothing catches the vehicle.".into(),
    };
    let pairs = vec![
        role(
            "In charge",
            "One person only. Gives every signal, sees vehicle, brake hand and belay hand, holds no line.".into(),
        ),
        role("Brake hand", hand.into()),
        role("Belay hand", belay),
        role(
            "Edge watcher",
            "To the side at the edge: watches the chassis, the upper wheels and the line over the edge. Calls STOP.".into(),
        ),
        role(
            "Driver, casualty",
            format!(
                "By choice of the person in charge nobody in {}. If it must be steered: belted, windows up, engine on, low gear, foot on the brake; else steering held straight and the vehicle empty.",
                answer.plan.casualty
            ),
        ),
        role(
            "Zone keeper",
            "Keeps everybody off the way and the run-out and reports CLEAR.".into(),
        ),
    ];
    let crew = format!(
        "Crew of {}. Brake hand, belay hand and person in charge are three people; with fewer there is no lowering. Common practice.",
        answer.plan.crew
    );
    section(
        Topic::Roles,
        "Roles",
        vec![Block::Pairs(pairs), Block::Text(crew)],
    )
}

fn checklist(lowering: &Lowering, units: Units) -> Section {
    let mut items = vec![
        "Main line and belay on their own anchors and their own points, each looked at and handled.".to_string(),
        format!("Line marked: at {} out, and where only the tail is left.", units.length(lowering.pay_out.out_greatest_m)),
    ];
    if let Some(turns) = lowering.pay_out.turns_needed {
        items.push(format!(
            "At least {} turns, lying side by side, tail held.",
            figures(turns)
        ));
    } else {
        items
            .push("Winch: rope wound tight, enough turns left, remote led out of the line.".into());
    }
    items.push("Edge padded or rounded; no line over a sharp edge.".into());
    items.push(format!(
        "Loose load out of the vehicle or lashed down; it keeps {} of its weight on the upper axle.",
        percent(lowering.upper_axle_share)
    ));
    items.push("Everybody briefed; signals shown and repeated; one person in charge named.".into());
    items.push("Way and run-out empty: CLEAR reported.".into());
    items.push("Test: line loaded a metre down the way, stopped, held for a minute, everything looked at again.".into());
    items.push("After: wheels chocked below, both lines slack, then walk in. Inspect and log every part; let the holder cool.".into());
    section(
        Topic::Checklist,
        "Checklist",
        vec![list(ListKind::Tick, items)],
    )
}
