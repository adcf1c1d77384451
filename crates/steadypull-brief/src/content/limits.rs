//! Numbers the crew acts on, and when to stop.

use steadypull_contract::answer::{Answer, HaulCourse, KineticPull, MethodName, Rung, WinchHaul};
use steadypull_contract::show::{Units, figures, gravities, one_in, percent, seconds};

use super::{Block, ListKind, Pair, Section, Topic};
use crate::figure::{kinetic_limits, path_limits, winch_haul};

fn pair(name: &str, value: String, note: impl Into<String>) -> Pair {
    Pair {
        name: name.into(),
        value,
        note: note.into(),
    }
}

/// Limits to act on.
pub(super) fn section(answer: &Answer, units: Units) -> Section {
    let mut pairs = Vec::new();
    if let Some(rung) = first_rung(answer) {
        pairs.push(pair(
            "Method",
            rung.method.title().into(),
            rung.reason.clone(),
        ));
    }
    pairs.extend(line_limits(answer, units));
    if let Some(pull) = &answer.pull.kinetic {
        pairs.extend(kinetic(answer, pull, units));
    }
    if let Some(haul) = &answer.pull.winch {
        pairs.extend(winch(haul, units));
    }
    pairs.extend(tug(answer, units));
    if let Some(worst) = &answer.let_go.worst {
        pairs.push(let_go(answer, worst, units));
    }
    let heading = if super::plan::stops(answer) {
        "Limits, for information: this rig is not to be pulled"
    } else {
        "Limits to act on"
    };
    Section {
        topic: Topic::Limits,
        heading: heading.into(),
        blocks: vec![Block::Pairs(pairs)],
    }
}

fn rung(answer: &Answer, method: MethodName) -> Option<&Rung> {
    answer.options.ladder.iter().find(|r| r.method == method)
}

fn first_rung(answer: &Answer) -> Option<&Rung> {
    answer
        .verdict
        .first_method
        .and_then(|method| rung(answer, method))
}

fn line_limits(answer: &Answer, units: Units) -> Vec<Pair> {
    let path = &answer.load_path;
    if path.links.is_empty() {
        return Vec::new();
    }
    let what = if answer.rig.is_some() {
        "Pull at the casualty"
    } else {
        "Load in the line"
    };
    let mut pairs = vec![pair(
        what,
        units.force(path.tension_n),
        path.load_case.clone(),
    )];
    if let Some(rig) = &answer.rig {
        pairs.extend(super::rig::limits(rig, units));
        return pairs;
    }
    if let (Some(wll), _) = path_limits(path) {
        let note = format!("{} is then at its WLL after derating", wll.link);
        pairs.push(pair(
            "Never load the line past",
            units.force(wll.tension_n),
            note,
        ));
    }
    pairs
}

fn kinetic(answer: &Answer, pull: &KineticPull, units: Units) -> Vec<Pair> {
    let mut pairs = Vec::new();
    if super::plan::stops(answer) {
        pairs.push(pair("Run-up", "NONE".into(), "Do not pull."));
        return pairs;
    }
    if !super::plan::kinetic_in(answer) {
        let (word, reason) = rung(answer, MethodName::Kinetic).map_or(("NOT PLANNED", ""), |r| {
            (r.verdict.word(), r.reason.as_str())
        });
        let note = format!("Not in the order to try: no run-up. {reason}");
        pairs.push(pair("Kinetic pull", word.into(), note.trim()));
        return pairs;
    }
    let window = &pull.window;
    match window.greatest_m_s {
        Some(greatest) if !window.empty => {
            let least = window
                .least_m_s
                .map_or(String::new(), |v| format!("{} shifts it; ", units.speed(v)));
            let doubt = match window.sure_greatest_m_s {
                Some(_) => "",
                None => "; so narrow that sampling could close it",
            };
            let note = format!(
                "{least}set by {}, {}{doubt}",
                window.limited_by, window.limited_how
            );
            pairs.push(pair(
                "Run-up, never faster than",
                units.speed(window.sure_greatest_m_s.unwrap_or(greatest)),
                note,
            ));
            let planned = if pull.run_up_planned {
                "planned"
            } else {
                "taken, none planned"
            };
            pairs.push(pair(
                "Run-up speed",
                units.speed(pull.run_up_speed_m_s),
                planned,
            ));
        }
        _ => pairs.push(pair(
            "Run-up",
            "NONE".into(),
            format!("Do not pull kinetically. {}", window.words),
        )),
    }
    pairs.push(pair(
        "Slack laid out",
        units.length(pull.slack_m),
        format!(
            "{}, {} of line",
            pull.line,
            units.length(pull.rest_length_m)
        ),
    ));
    pairs.push(pair(
        "Kinetic peak",
        units.force(pull.peak_force_n),
        format!(
            "{} if the casualty does not move",
            units.force(pull.peak_force_fixed_n)
        ),
    ));
    if let (Some(wll), _) = kinetic_limits(&answer.options, &answer.load_path) {
        pairs.push(pair(
            "Kinetic limit",
            units.force(wll.tension_n),
            format!("{} is then at its WLL", wll.link),
        ));
    }
    let chances = pull.chances;
    pairs.push(pair(
        "Kinetic chances",
        format!("{} shifts", percent(chances.shifts)),
        format!(
            "{} passes a WLL, {} something parts ({} pulls)",
            percent(chances.passes_wll),
            one_in(chances.parts),
            chances.samples
        ),
    ));
    pairs.push(pair(
        "People in the vehicles",
        gravities(
            pull.casualty_peak_acceleration_m_s2
                .max(pull.tug_peak_deceleration_m_s2),
        ),
        "greatest acceleration: belts on, heads back",
    ));
    pairs
}

/// What the winch operator acts on.
fn winch(haul: &WinchHaul, units: Units) -> Vec<Pair> {
    let drum = &haul.drum;
    let mut pairs = vec![pair(
        "Never pay out more than",
        units.length(drum.most_paid_out_m),
        format!(
            "{} wraps stay on the drum; {} out at the start leaves {}",
            drum.least_wraps,
            units.length(drum.paid_out_m),
            figures(drum.wraps_left)
        ),
    )];
    match winch_haul::shown(haul) {
        Some((course, against)) => pairs.extend(winch_course(haul, course, against, units)),
        None => pairs.push(pair(
            "Winch haul",
            "NONE".into(),
            format!("the casualty does not move: {}", haul.median.end_words),
        )),
    }
    pairs.push(pair(
        "Tug is drawn in at",
        units.force(haul.design.walks_at_n),
        "pull at the casualty, low end of its hold",
    ));
    pairs
}

fn winch_course(haul: &WinchHaul, course: &HaulCourse, against: &str, units: Units) -> Vec<Pair> {
    let mut pairs = vec![pair(
        "Winch haul, line pull",
        units.force(course.greatest_line_pull_n),
        format!(
            "against {against}: {} of what the layer allows, {} of what stalls it",
            percent(course.share_of_pull),
            percent(course.share_of_stall)
        ),
    )];
    let wound = course.first_layer..=course.last_layer;
    for layer in haul.drum.layers.iter().filter(|l| wound.contains(&l.layer)) {
        let name = format!("Winch, layer {}", layer.layer);
        let note = "its rating there; it falls as the drum fills";
        pairs.push(pair(&name, units.force(layer.rated_pull_n), note));
    }
    pairs.push(match course.first_rest_after_s {
        Some(longest) => pair(
            "Haul no longer than",
            seconds(longest),
            format!(
                "then rest, the brake holding the line loaded; rests: {}, {} min of {} min",
                course.rests,
                figures(course.resting_s / 60.0),
                figures(course.time_s / 60.0)
            ),
        ),
        None => pair(
            "Haul takes",
            seconds(course.time_s),
            "no rest needed by the model; feel the motor",
        ),
    });
    if let Some(electric) = &course.electric {
        let volts = electric.least_volts_v.map_or(String::new(), |v| {
            format!("{} V at the winch at the least; ", figures(v))
        });
        pairs.push(pair(
            "Current at the most",
            format!("{} A", figures(electric.greatest_current_a)),
            format!(
                "{volts}{} left in the battery",
                percent(electric.charge_left_share.max(0.0))
            ),
        ));
    }
    pairs
}

fn tug(answer: &Answer, units: Units) -> Vec<Pair> {
    let tug = &answer.situation.tug;
    let range = |low: f64, high: f64| format!("{} to {}", units.force(low), units.force(high));
    let mut pairs = vec![
        pair(
            "Tug, steady pull",
            units.force(tug.steady_pull.median_n),
            format!(
                "{}; limited by {}",
                range(tug.steady_pull.low_n, tug.steady_pull.high_n),
                tug.limited_by
            ),
        ),
        pair(
            "Tug slides at",
            units.force(tug.anchor_hold.median_n),
            format!(
                "{}, braked",
                range(tug.anchor_hold.low_n, tug.anchor_hold.high_n)
            ),
        ),
    ];
    if let Some(winch) = tug.winch_pull_n {
        pairs.push(pair(
            "Winch pull",
            units.force(winch),
            "on the drum layer in use",
        ));
    }
    pairs.push(pair(
        "Designed for",
        units.force(answer.situation.design_n),
        format!(
            "{} quantile of what holds the casualty",
            percent(answer.situation.design_quantile)
        ),
    ));
    pairs
}

fn let_go(answer: &Answer, worst: &str, units: Units) -> Pair {
    if let Some(pair) = rig_let_go(answer, units) {
        return pair;
    }
    let case = answer.let_go.cases.iter().find(|c| c.link == worst);
    let value = case
        .and_then(|c| c.arrival.as_ref())
        .map_or("does not arrive".into(), |a| units.energy(a.energy_j));
    let times = case.map_or(String::new(), |c| {
        format!(
            ", {} times the injury criterion with any damper that comes along",
            figures(c.times_injury)
        )
    });
    pair("Worst let-go, at arrival", value, format!("{worst}{times}"))
}

/// The worst parting of a rig laid out on the ground: what leaves, not what arrives.
fn rig_let_go(answer: &Answer, units: Units) -> Option<Pair> {
    let partings = answer.let_go.partings.iter();
    let worst = partings.max_by(|a, b| a.times_injury.total_cmp(&b.times_injury))?;
    let value = worst
        .flights
        .first()
        .map_or("nothing flies".into(), |f| units.energy(f.energy_j));
    Some(pair(
        "Worst let-go, as it leaves",
        value,
        format!(
            "{}, {} times the injury criterion, {}; {}",
            worst.part,
            figures(worst.times_injury),
            worst.side,
            worst.holding
        ),
    ))
}

/// When to stop.
pub(super) fn stop_when(answer: &Answer, units: Units) -> Section {
    let mut items =
        vec!["Anybody calls or signals STOP, or a signal is not understood.".to_string()];
    if !answer.standoff.zone.is_empty() {
        items.push("Anybody is inside the zone.".into());
    }
    if let Some(rig) = &answer.rig {
        items.extend(super::rig::stop_when(rig, units));
    } else if let (Some(wll), _) = path_limits(&answer.load_path) {
        items.push(format!(
            "A load cell passes {}.",
            units.force(wll.tension_n)
        ));
    }
    if let Some(haul) = &answer.pull.winch {
        items.push(format!(
            "The winch slows to a crawl, smells hot, or its line climbs to the flange; never under {} wraps.",
            haul.drum.least_wraps
        ));
    }
    items.push("A part slips, creaks, turns or bends, or a damper falls off.".into());
    items.push("The tug slides, digs in, or is drawn towards the casualty.".into());
    items.push("The casualty rises, leans, or moves another way than planned.".into());
    if let Some(rung) = first_rung(answer) {
        let stop = if rung.stoppable {
            "How to stop"
        } else {
            "CANNOT BE STOPPED once under way"
        };
        items.push(format!(
            "{} ({stop}): {}",
            rung.method.title(),
            rung.how_to_stop
        ));
    }
    Section {
        topic: Topic::StopWhen,
        heading: "Stop at once when".into(),
        blocks: vec![Block::List {
            kind: ListKind::Bullet,
            items,
        }],
    }
}
