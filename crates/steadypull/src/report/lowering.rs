//! Lowering down a slope.

use steadypull_contract::answer::{Belay, ForceRange, Lowering, LoweringPart, RunAway};
use steadypull_contract::show::{Units, figures, percent};

use super::{Detail, Page};

/// Places along the way in the short table.
const ROWS: usize = 8;

/// Writes the holding force, what the hand does, and what happens if it parts.
pub fn write(page: &mut Page, lowering: Option<&Lowering>, units: Units, detail: Detail) {
    page.heading("LOWERING", "down the slope on a held line");
    let Some(lowering) = lowering else {
        page.paragraph("The plan describes no lowering: no [lowering] table.");
        return;
    };
    hold(page, lowering, units);
    along(page, lowering, units, detail);
    tend(page, lowering, units);
    page.gap();
    for part in &lowering.parts {
        part_line(page, part, units);
    }
    page.gap();
    page.paragraph("If it is let go and nothing catches it:");
    away(page, &lowering.run_away, units);
    match &lowering.belay {
        Some(belay) => catch(page, belay, units, detail),
        None => page.fact("Belay", "NONE"),
    }
    page.fact(
        "Standoff",
        &format!(
            "nobody below; everybody without a task {} off",
            units.length(lowering.standoff_m)
        ),
    );
    if detail == Detail::Full {
        page.gap();
        for model in &lowering.models {
            page.item("-", model);
        }
    }
}

fn range(range: ForceRange, units: Units) -> String {
    format!(
        "{} ({} to {})",
        units.force(range.median_n),
        units.force(range.low_n),
        units.force(range.high_n)
    )
}

fn hold(page: &mut Page, lowering: &Lowering, units: Units) {
    page.fact("Line", &format!("{}, {}", lowering.line, lowering.held_by));
    page.fact("Fixed to", &lowering.anchor);
    page.fact(
        "Greatest holding force",
        &format!(
            "{}, upper axle {} down the way",
            range(lowering.greatest, units),
            units.length(lowering.greatest_at_m)
        ),
    );
    page.fact(
        "Parts are judged at",
        &units.force(lowering.greatest_design_n),
    );
    page.fact("At the holder", &range(lowering.at_holder, units));
    let nose = if lowering.nose_down { "down" } else { "up" };
    page.fact(
        "Vehicle",
        &format!(
            "nose {nose}; at least {} of its weight stays on the upper axle",
            percent(lowering.upper_axle_share)
        ),
    );
    if let Some(rock) = lowering.rocks {
        page.fact(
            "Rocks on its chassis",
            &format!(
                "at {}, from {:.0} deg to {:.0} deg",
                units.length(rock.at_m),
                rock.from_deg,
                rock.to_deg
            ),
        );
    }
}

fn along(page: &mut Page, lowering: &Lowering, units: Units, detail: Detail) {
    let series = &lowering.series;
    let count = series.distance_m.len();
    let rows = if detail == Detail::Full {
        3 * ROWS
    } else {
        ROWS
    };
    let last = count.saturating_sub(1);
    let mut at: Vec<usize> = (0..=rows).map(|i| i * last / rows).collect();
    at.dedup();
    let cells: Vec<[String; 5]> = at
        .into_iter()
        .filter(|i| *i < count)
        .map(|i| {
            [
                units.length(series.distance_m[i]),
                format!("{:.0} deg", series.pitch_deg[i]),
                units.force(series.hold_n[i]),
                units.force(series.hold_high_n[i]),
                units.length(series.line_out_m[i]),
            ]
        })
        .collect();
    page.gap();
    page.table(
        &["upper axle at", "pitch", "holds", "95 %", "line out"],
        &cells,
    );
    page.gap();
}

fn tend(page: &mut Page, lowering: &Lowering, units: Units) {
    let out = &lowering.pay_out;
    if let (Some(hand), Some(design), Some(limit), Some(turns)) = (
        out.hand,
        out.hand_design_n,
        out.hand_limit_n,
        out.turns_needed,
    ) {
        page.fact(
            "Brake hand holds",
            &format!(
                "{} at the median, {} at the worst; limit {}",
                units.hand_force(hand.median_n),
                units.hand_force(design),
                units.hand_force(limit)
            ),
        );
        page.fact("Turns needed", &turns.to_string());
    }
    page.fact(
        "Line",
        &format!(
            "{} out at the most; needs {}, there is {}",
            units.length(out.out_greatest_m),
            units.length(out.needed_m),
            units.length(out.there_is_m)
        ),
    );
    page.fact(
        "Speed and time",
        &format!(
            "{} or slower, {} without a stop",
            units.speed(out.speed_m_s),
            minutes(out.time_s)
        ),
    );
    page.fact("Heat at the holder", &heat(lowering, units));
}

fn heat(lowering: &Lowering, units: Units) -> String {
    let out = &lowering.pay_out;
    let energy = units.energy(out.heat_j);
    match (out.heat_limit_j, out.hottest_c) {
        (Some(test), _) => format!(
            "{energy}; a winch brake is tested with {}",
            units.energy(test)
        ),
        (None, Some(hottest)) => format!(
            "{energy}, up to {}; the line stands {}",
            units.temperature(hottest),
            units.temperature(out.line_stands_c)
        ),
        (None, None) => energy,
    }
}

fn part_line(page: &mut Page, part: &LoweringPart, units: Units) {
    let limit = part.limit_n.map_or("no limit known".to_string(), |n| {
        format!("may carry {}", units.force(n))
    });
    let state = if part.within { "within" } else { "NOT WITHIN" };
    page.sides(
        &format!(
            "  {} {}: {}, {limit}",
            part.kind,
            part.name,
            units.force(part.load_n)
        ),
        state,
    );
    let then = part.then.as_ref().map_or(String::new(), |run| {
        format!("; then {}", ending(run, units))
    });
    page.under(&format!("if it lets go: {} is left{then}", part.left));
}

fn ending(run: &RunAway, units: Units) -> String {
    match run.end.as_str() {
        "caught" => format!("caught, peak {}", units.force(run.peak_force_n)),
        "stays" => "it stays".into(),
        _ => format!("it reaches {}", units.speed(run.told_speed_m_s())),
    }
}

fn away(page: &mut Page, run: &RunAway, units: Units) {
    page.fact(
        "Worst place",
        &format!("upper axle {} down the way", units.length(run.from_m)),
    );
    page.fact("It reaches", &units.speed(run.told_speed_m_s()));
    if let Some(foot) = run.foot_speed_m_s {
        page.fact("At the end of the way", &units.speed(foot));
    }
    let stops = match (run.ran_m, run.past_foot_m) {
        (_, Some(past)) => format!("{} past the end of the way", units.length(past)),
        (Some(ran), None) => format!("after {}", units.length(ran)),
        (None, None) => format!(
            "NOT WITHIN {} of the end, the last slope going on",
            units.length(RunAway::FOLLOWED_M)
        ),
    };
    page.fact("Stops", &stops);
}

fn catch(page: &mut Page, belay: &Belay, units: Units, detail: Detail) {
    page.gap();
    page.fact(
        "Belay",
        &format!("{} on {}: {}", belay.line, belay.anchor, belay.words),
    );
    page.fact(
        "Highest peak on it",
        &format!(
            "{}; its line may carry {} in a catch",
            units.force(belay.peak_force_n),
            units.force(belay.limit_n)
        ),
    );
    let holds = belay
        .anchor_holds_n
        .map_or("not known".to_string(), |n| units.force(n));
    page.fact("Its anchor holds", &holds);
    if let Some(stopping) = belay.worst.stopping_m {
        page.fact(
            "Worst catch",
            &format!(
                "from {} down the way, at {}, in {}, {} of it through the device",
                units.length(belay.worst.from_m),
                units.speed(belay.worst.taut_speed_m_s.unwrap_or_default()),
                units.length(stopping),
                units.length(belay.worst.slipped_m)
            ),
        );
    }
    page.fact("Slack kept", &units.length(belay.slack_m));
    if detail == Detail::Full {
        let rows: Vec<[String; 2]> = belay
            .from_m
            .iter()
            .zip(&belay.peaks_n)
            .map(|(from, peak)| [units.length(*from), units.force(*peak)])
            .collect();
        page.gap();
        page.table(&["let go at", "peak on the belay"], &rows);
        page.gap();
    }
}

/// A time as people plan it.
fn minutes(time_s: f64) -> String {
    if time_s < 120.0 {
        format!("{} s", figures(time_s))
    } else {
        format!("{} min", figures(time_s / 60.0))
    }
}
