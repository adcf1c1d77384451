//! What a study says, in words that say no more than it knows.

use steadypull_engine::plan::Plan;

use super::rigged::StudiedRig;
use crate::answer::{
    Chance, ChanceLowering, ChanceProbability, ChanceStudied, Severity, StoppedBy,
};
use crate::show::of_100;

/// How often something happens in pulls, such as `in between 91 and 95 of 100 pulls`.
pub(super) fn of_draws(p: &ChanceProbability) -> String {
    of_these(p, "pulls")
}

/// The same of whatever is counted, such as `let-gos`.
pub fn of_these(p: &ChanceProbability, what: &str) -> String {
    if p.hits == 0 {
        return format!("{}, and never in {} draws", under(p.high, what), p.draws);
    }
    if p.hits == p.draws {
        return format!("{}, and always in {} draws", over(p.low, what), p.draws);
    }
    let per = scale(p.estimate.min(1.0 - p.estimate));
    let low = (p.low * per).floor();
    let high = (p.high * per).ceil();
    let per = thousands(per);
    if low <= 0.0 {
        format!("in fewer than {} of {per} {what}", thousands(high.max(1.0)))
    } else {
        format!(
            "in between {} and {} of {per} {what}",
            thousands(low),
            thousands(high)
        )
    }
}

/// An upper bound, such as `in fewer than 2 of 1000 pulls`.
pub(super) fn under(high: f64, what: &str) -> String {
    let per = scale(high);
    format!(
        "in fewer than {} of {} {what}",
        thousands((high * per).ceil().max(1.0)),
        thousands(per)
    )
}

fn over(low: f64, what: &str) -> String {
    let per = scale(1.0 - low);
    format!(
        "in more than {} of {} {what}",
        thousands((low * per).floor()),
        thousands(per)
    )
}

/// Of how many to tell a share, so that it is a few of them at least.
fn scale(rare: f64) -> f64 {
    [100.0, 1000.0, 10_000.0, 100_000.0]
        .into_iter()
        .find(|per| rare * per >= 2.0)
        .unwrap_or(1_000_000.0)
}

fn thousands(n: f64) -> String {
    let text = format!("{n:.0}");
    if text.len() <= 4 {
        return text;
    }
    let (head, tail) = text.split_at(text.len() - 3);
    format!("{head} {tail}")
}

/// One line that says what to do with the rig.
pub(super) fn headline(plan: &Plan, answer: &Chance) -> String {
    let critical = |f: &&crate::answer::Finding| f.severity == Severity::Critical;
    if let Some(worst) = answer.findings.iter().find(critical) {
        let why = match worst.code.as_str() {
            "not-held" => "it is not held surely enough",
            "belay-fails" => "the belay does not hold surely enough",
            "refused-part" => "a part of it may never carry a recovery load",
            "held-fast" => "the casualty is held fast",
            "parting-likely" => "a part lets go too often",
            _ => "a part is overloaded too often",
        };
        return match answer.studied {
            ChanceStudied::Pull => format!("DO NOT PULL with this rig: {why}"),
            ChanceStudied::Lowering => format!("DO NOT LOWER with this rig: {why}"),
            ChanceStudied::NoRig => format!("DO NOT PULL: {why}"),
        };
    }
    let wanted = plan.policy.shift_probability;
    let Some(moves) = answer.moves else {
        return match answer.studied {
            ChanceStudied::Lowering => {
                "It will probably be held all the way down; stand back as far as the zone says"
                    .into()
            }
            _ => without_rig(answer, wanted),
        };
    };
    if moves.high < wanted {
        "This rig will probably not move it".into()
    } else if moves.low < wanted {
        "Whether this rig moves it often enough is not settled by so few draws".into()
    } else {
        "This rig will probably move it; stand back as far as the zone says".into()
    }
}

/// The first method, as found before dug, that the tug alone decides well.
fn without_rig(answer: &Chance, wanted: f64) -> String {
    let Some(works) = answer.by_method.iter().find(|m| m.moves.low >= wanted) else {
        return "There is no rig to study, and that the tug alone moves it often enough is not \
                shown"
            .into();
    };
    let dug = if works.dug_first {
        ", once dug out"
    } else {
        ""
    };
    format!(
        "There is no rig to study; the tug alone has enough for it{dug}: {}",
        works.method.title().to_lowercase()
    )
}

/// What an instructor reads first.
pub(super) fn summary(plan: &Plan, answer: &Chance) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    said.extend(
        answer
            .moves
            .map(|moves| format!("It moves {}.", of_draws(&moves))),
    );
    said.extend(answer.lowering.iter().flat_map(lowering));
    for method in &answer.by_method {
        let dug = if method.dug_first { ", dug first" } else { "" };
        said.push(format!(
            "{}{dug}: the tug alone moves it {}.",
            method.method.title(),
            of_draws(&method.moves)
        ));
    }
    if answer.studied == ChanceStudied::NoRig {
        said.push(stand_back(plan, answer));
        said.extend(drives(answer));
        return said;
    }
    let what = counted(answer.studied);
    if let Some(passes) = &answer.passes_wll {
        said.push(format!(
            "A part passes its working load limit {}.",
            of_these(passes, what)
        ));
    }
    match &answer.lets_go {
        Some(lets_go) => said.push(format!("A part lets go {}.", of_these(lets_go, what))),
        None => {
            said.push("No part has a stated strength: nothing is known of what lets go.".into())
        }
    }
    said.extend(first(answer));
    said.push(stand_back(plan, answer));
    said.extend(drives(answer));
    said
}

/// What is counted of a lowering.
pub(super) const LOWERINGS: &str = "lowerings";

/// What is counted of a study.
pub(super) fn counted(studied: ChanceStudied) -> &'static str {
    match studied {
        ChanceStudied::Lowering => LOWERINGS,
        _ => "pulls",
    }
}

fn lowering(of: &ChanceLowering) -> Vec<String> {
    let mut said = vec![format!(
        "It is held all the way down {}.",
        of_these(&of.held, LOWERINGS)
    )];
    let Some(belay) = &of.belay else {
        said.push("There is no belay: a part that lets go lets the vehicle run.".into());
        return said;
    };
    said.push(match &belay.holds {
        Some(holds) => format!(
            "If the main line lets go, the belay holds {}.",
            of_these(holds, LOWERINGS)
        ),
        None => format!(
            "If the main line lets go, the belay line and its device stop it {}; whether anchor \
             and point hold is not known.",
            of_these(&belay.stops, LOWERINGS)
        ),
    });
    said
}

fn first(answer: &Chance) -> Option<String> {
    let first = answer.first_to_go.first()?;
    let lets_go = answer.lets_go?;
    if first.probability.hits == 0 {
        return None;
    }
    Some(format!(
        "First to go: {}, in {} of the {} draws in which a part did.",
        first.part, first.probability.hits, lets_go.hits
    ))
}

fn stand_back(plan: &Plan, answer: &Chance) -> String {
    let zone = &answer.zone;
    let length = |m: f64| plan.units.length(m);
    if answer.sample.let_go_runs == 0 {
        return format!(
            "Stand back {} from every line: the rule; no let-go was worked out.",
            length(zone.rule_m)
        );
    }
    if !zone.computed_governs {
        return format!(
            "Stand back {} from every line: the rule; what flies comes down inside it {}.",
            length(zone.rule_m),
            share_words(zone.quantile)
        );
    }
    format!(
        "Stand back up to {} from the nearest line, as the zone is drawn (band {} to {}); the \
         rule alone would be {}.",
        length(zone.furthest_m),
        length(zone.furthest_inner_m),
        length(zone.furthest_outer_m),
        length(zone.rule_m)
    )
}

fn share_words(quantile: f64) -> String {
    format!("in {} of 100 let-gos of each part", of_100(quantile))
}

fn drives(answer: &Chance) -> Option<String> {
    let strongest = |i: usize| {
        let of = answer.drivers.get(i)?;
        let first = of.drivers.first().filter(|d| d.total > 0.05)?;
        Some(format!("{} by {}", of.result, first.what))
    };
    let said: Vec<String> = (0..answer.drivers.len()).filter_map(strongest).collect();
    (!said.is_empty()).then(|| format!("Driven most: {}.", said.join("; ")))
}

/// What to know about the numbers.
pub(super) fn notes(plan: &Plan, rig: &StudiedRig, answer: &Chance) -> Vec<String> {
    let sample = &answer.sample;
    let mut said = vec![format!(
        "Intervals hold the true value of this model in {} of 100 studies like this one; they \
         say nothing of whether the model or its inputs are right.",
        of_100(sample.confidence)
    )];
    said.push(match sample.stopped {
        StoppedBy::Interrupt => format!(
            "INTERRUPTED after {} draws: every interval is as wide as those draws leave it.",
            sample.draws
        ),
        StoppedBy::MostDraws => format!(
            "Stopped at the most draws allowed, {}, before the error asked for was reached.",
            sample.draws
        ),
        StoppedBy::Error => format!(
            "Stopped by itself after {} draws: the error asked for was reached.",
            sample.draws
        ),
        StoppedBy::Count => format!("{} draws, as asked.", sample.draws),
    });
    said.push(independent(plan));
    match answer.studied {
        ChanceStudied::NoRig => said.push(
            "Only the tug is told: what it grips, drives, winches and holds against the \
             resistance. Any rig adds what can break."
                .into(),
        ),
        _ => said.push(
            "The rig fails at the first part to be exceeded; what the others do after that is \
             not followed."
                .into(),
        ),
    }
    if answer.lowering.is_some() {
        said.extend(lowering_notes());
    }
    if answer.if_a_part_lets_go.is_some() {
        said.push(flights(rig));
    }
    if answer.dug_first {
        said.push("The casualty is dug out first, as the verdict on this method assumes.".into());
    }
    if rig.rigged.path.proposed {
        said.push("The rig is the tool's proposal: the plan gives none.".into());
    }
    if answer.brings_n.is_some() && plan.tug.winch.is_some() {
        said.push(
            "A winch pulls what it is rated for on the layer in use, times what is drawn for it."
                .into(),
        );
    }
    said
}

/// What is drawn by itself, and what is not.
fn independent(plan: &Plan) -> String {
    let sets: Vec<&str> = plan.together().map(|set| &set.words[..]).collect();
    let but = match sets.is_empty() {
        true => String::new(),
        false => format!(", but for {} (drawn together)", sets.join(" and ")),
    };
    format!(
        "Inputs are drawn independently{but}: a wetter site lowers grip and raises mire together, \
         which this does not know."
    )
}

fn lowering_notes() -> [String; 3] {
    [
        "Holding force: rigid vehicle at a steady crawl, its line hardest pulled anywhere on the \
         way; a jerk adds to it. Stances are those of the plan's way and load."
            .into(),
        "The main line is let go in every draw, at a place of the way drawn evenly; \
         `steadypull lowering` tells the worst place."
            .into(),
        "The tending hand is taken to hold its stated limit, no more and no less.".into(),
    ]
}

fn flights(rig: &StudiedRig) -> String {
    if rig.rigged.path.laid_out.is_some() {
        "Each thing that could fly is let go at the load of its draw, whether or not a part lets \
         go there; speed and energy are as it leaves."
            .into()
    } else {
        "Each part is let go at the load of its draw, whether or not one lets go there; speed \
         and energy are as the hardware passes the far recovery point."
            .into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(estimate: f64, low: f64, high: f64, hits: u64, draws: u64) -> ChanceProbability {
        ChanceProbability {
            estimate,
            low,
            high,
            hits,
            draws,
        }
    }

    #[test]
    fn chances_are_told_as_so_many_of_a_round_number() {
        let told = of_draws(&p(0.93, 0.912, 0.948, 1905, 2048));
        assert_eq!(told, "in between 91 and 95 of 100 pulls");
        let rare = of_draws(&p(0.0024, 0.001, 0.005, 5, 2048));
        assert_eq!(rare, "in between 1 and 5 of 1000 pulls");
    }

    #[test]
    fn never_seen_is_not_never() {
        let none = of_draws(&p(0.0, 0.0, 0.001_46, 0, 2048));
        assert_eq!(
            none,
            "in fewer than 15 of 10 000 pulls, and never in 2048 draws"
        );
        let all = of_draws(&p(1.0, 0.998_5, 1.0, 2048, 2048));
        assert_eq!(
            all,
            "in more than 9985 of 10 000 pulls, and always in 2048 draws"
        );
    }
}
