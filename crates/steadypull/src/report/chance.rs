//! Chances: what an instructor reads first, then the numbers behind it.

use steadypull_contract::answer::{
    Chance, ChanceProbability, ChanceStudied, ChanceVariable, Drivers, Quantiles, ReckonedChance,
    StoppedBy,
};
use steadypull_contract::in_these;
use steadypull_contract::show::{Units, figures, of_100, percent};

use super::bar::bar;
use super::page::{WIDTH, wrapped};
use super::{Page, cautions, chance_flights, chance_kinds, findings, head};

/// Columns of a driver's bar.
const BAR: usize = 20;
/// Least total share of a driver that is told.
const TOLD: f64 = 0.01;

/// The whole study; `written` says which figures were written.
pub fn chance(answer: &Chance, units: Units, written: &[String]) -> String {
    let mut page = Page::default();
    head::write(&mut page, &answer.plan, units);
    page.fact("Studied", &studied(answer, units));
    page.heading("VERDICT", "");
    page.paragraph(&answer.headline);
    page.paragraph(&format!("From {}.", sample(answer)));
    if let Some(chance) = &answer.moves {
        moves(&mut page, answer, chance, units);
    }
    if let Some(lowering) = &answer.lowering {
        chance_kinds::lowering(&mut page, lowering, units);
    }
    if answer.studied == ChanceStudied::NoRig {
        chance_kinds::without_rig(&mut page, answer, units);
    } else {
        breaks(&mut page, answer);
    }
    stand(&mut page, answer, units);
    drivers(&mut page, &answer.drivers);
    numbers(&mut page, answer, units);
    if has_flights(answer) {
        chance_flights::write(&mut page, answer, units);
    }
    drawn(&mut page, answer, units);
    if !answer.not_said.is_empty() {
        page.heading("NOT SAID", "what this cannot tell, and why");
    }
    for line in &answer.not_said {
        page.item("-", line);
    }
    page.heading("NOTES", "what to know about these numbers");
    for note in &answer.notes {
        page.item("-", note);
    }
    if !written.is_empty() {
        page.gap();
        for line in written {
            // A long path stays whole, so that it can be copied.
            page.drawn(line);
        }
    }
    findings::write(&mut page, &answer.findings);
    cautions::write(&mut page, &answer.cautions);
    page.finish()
}

/// Whether what flies is told, or belongs here to say that nothing does.
fn has_flights(answer: &Chance) -> bool {
    answer.studied == ChanceStudied::Pull || !answer.flights.is_empty()
}

fn studied(answer: &Chance, units: Units) -> String {
    let run_up = match answer.run_up_m_s {
        Some(speed) => format!(", run-up {}", units.speed(speed)),
        None => String::new(),
    };
    let dug = if answer.dug_first {
        ", after digging"
    } else {
        ""
    };
    let Some(method) = answer.method else {
        return "no rig: what the tug alone decides".into();
    };
    let rig = answer.rig.join(" - ");
    let whose = if answer.proposed {
        ", the tool's proposal"
    } else {
        ""
    };
    format!("{}{run_up}{dug}{whose}: {rig}", method.title())
}

fn sample(answer: &Chance) -> String {
    let sample = &answer.sample;
    let stopped = match sample.stopped {
        StoppedBy::Interrupt => ", INTERRUPTED",
        StoppedBy::MostDraws => ", the most allowed",
        StoppedBy::Error => ", then the error asked for was reached",
        StoppedBy::Count => ", as asked",
    };
    let quantiles = match sample.error_of_quantiles {
        Some(error) => format!(
            "quantiles within {} of themselves either way",
            percent(error)
        ),
        None => "some quantiles not bounded by so few draws".into(),
    };
    format!(
        "{} draws{stopped}; probabilities within {} either way, {quantiles}, in {} of 100 such \
         studies",
        sample.draws,
        percent(sample.error_of_probabilities),
        of_100(sample.confidence)
    )
}

fn moves(page: &mut Page, answer: &Chance, chance: &ChanceProbability, units: Units) {
    page.heading("WILL IT MOVE", "before anything lets go");
    page.fact("It moves", &in_these(chance, "pulls"));
    let spread = |of: &Quantiles| between(of, |n| units.force(n));
    match &answer.resistance_n {
        Some(resistance) => page.fact("Resistance", &spread(resistance)),
        None => page.fact("Resistance", "HELD FAST: no pull moves it"),
    }
    if let Some(brings) = &answer.brings_n {
        page.fact("The method can bring", &spread(brings));
    }
    if let Some(movement) = &answer.movement_m {
        let told = between(movement, |m| units.length(m));
        page.fact("Movement in one pull", &told);
    }
}

/// `20 kN to 45 kN in 90 of 100, middle 30 kN`.
pub(super) fn between(of: &Quantiles, show: impl Fn(f64) -> String) -> String {
    let at = |level: f64| {
        let found = of.at.iter().find(|q| (q.level - level).abs() < 1e-9);
        found.map_or("not known".into(), |q| show(q.value))
    };
    format!(
        "{} to {} in 90 of 100, middle {}",
        at(0.05),
        at(0.95),
        at(0.5)
    )
}

fn breaks(page: &mut Page, answer: &Chance) {
    page.heading("CAN IT BREAK", "and what breaks first");
    let what = match answer.studied {
        ChanceStudied::Lowering => "lowerings",
        _ => "pulls",
    };
    let in_draws = |p: &ChanceProbability| in_these(p, what);
    let say = |p: &Option<ChanceProbability>, none: &str| p.as_ref().map_or(none.into(), in_draws);
    page.fact(
        "A part passes its WLL",
        &say(&answer.passes_wll, "not known: no part has a stated WLL"),
    );
    page.fact(
        "A part lets go",
        &say(&answer.lets_go, "not known: no strength is stated"),
    );
    if let Some(reckoned) = &answer.lets_go_reckoned {
        page.fact(
            "  strengths not drawn",
            &format!(
                "{}: their laws reckoned whole at the load of each draw",
                rare(reckoned, what)
            ),
        );
    }
    let first = &answer.first_to_go;
    let seen: Vec<_> = first.iter().filter(|f| f.probability.hits > 0).collect();
    for part in &seen {
        page.fact(
            &format!("First: {}", part.part),
            &in_draws(&part.probability),
        );
    }
    if let (true, Some(never)) = (seen.len() < first.len(), first.last()) {
        let names: Vec<&str> = first
            .iter()
            .filter(|f| f.probability.hits == 0)
            .map(|f| f.part.as_str())
            .collect();
        page.fact(
            "Never first in a draw",
            &format!(
                "{}: each {}",
                names.join(", "),
                in_draws(&never.probability)
            ),
        );
    }
    if !answer.strength_not_stated.is_empty() {
        page.fact(
            "Strength not stated",
            &format!(
                "{}: not counted here",
                answer.strength_not_stated.join(", ")
            ),
        );
    }
}

/// A chance that may be very small, such as `3.2 (2.1 to 4.3) in a million pulls`.
fn rare(chance: &ReckonedChance, what: &str) -> String {
    let ReckonedChance {
        estimate,
        low,
        high,
    } = *chance;
    if high < 1e-9 {
        return format!("in under 1 of a thousand million {what}");
    }
    let (times, of) = match estimate {
        common if common >= 0.01 => (100.0, "100"),
        seldom if seldom >= 1e-5 => (1e5, "100 000"),
        _ => (1e9, "a thousand million"),
    };
    let shown = |share: f64| figures(share * times);
    format!(
        "in {} ({} to {}) of {of} {what}",
        shown(estimate),
        shown(low),
        shown(high)
    )
}

fn stand(page: &mut Page, answer: &Chance, units: Units) {
    let zone = &answer.zone;
    page.heading("HOW FAR TO STAND", "nobody inside while the line is loaded");
    let length = |m: f64| units.length(m);
    let band = format!(
        "{} (between {} and {} by sampling)",
        length(zone.furthest_m),
        length(zone.furthest_inner_m),
        length(zone.furthest_outer_m)
    );
    page.fact("Furthest from a line", &band);
    for (label, distance) in [
        ("Behind the casualty", zone.behind_casualty_m),
        ("Behind the tug", zone.behind_tug_m),
        ("Beside the line", zone.beside_m),
    ] {
        if let Some(distance) = distance {
            page.fact(label, &length(distance));
        }
    }
    page.fact("Rule", &format!("{}: {}", length(zone.rule_m), zone.rule));
    let which = if zone.computed_governs {
        "LARGER THAN THE RULE somewhere, so it sets the distance there"
    } else {
        "inside the rule everywhere, so the rule sets the distance"
    };
    if answer.sample.let_go_runs == 0 {
        page.fact(
            "Computed",
            "no let-go was worked out: the rule alone stands",
        );
        return;
    }
    let of = of_100(zone.quantile);
    page.fact(
        "Computed",
        &format!(
            "{which}: of each thing that could fly, {of} of 100 let-gos come down inside along \
             any way"
        ),
    );
    if zone.open_share > 0.0 {
        page.fact(
            "Not bounded",
            &format!(
                "along {} of the ways in which it passes the rule, by so few runs: further is safer",
                percent(zone.open_share)
            ),
        );
    }
}

fn drivers(page: &mut Page, all: &[Drivers]) {
    page.heading(
        "WHAT DRIVES THE ANSWER",
        "share of the spread: alone # and in all |",
    );
    if all.is_empty() {
        page.paragraph("Not worked out.");
    }
    for result in all {
        page.paragraph(&format!("{}, from {} draws", result.result, result.draws));
        let told: Vec<_> = result.drivers.iter().filter(|d| d.total >= TOLD).collect();
        if told.is_empty() {
            page.under("it does not vary, or too seldom to tell what drives it");
        }
        for driver in told {
            let drawn = bar(driver.alone.max(0.0), Some(driver.total.min(0.999)), BAR);
            let shares = format!(
                "    {drawn} {:>5} {:>5}  ",
                whole_percent(driver.alone),
                whole_percent(driver.total)
            );
            for line in beside(&shares, &driver.what) {
                page.drawn(&line);
            }
        }
    }
}

/// Words beside what is drawn, on as many lines as they take.
fn beside(drawn: &str, words: &str) -> Vec<String> {
    let left = drawn.chars().count();
    let lines = wrapped(words, WIDTH - left).into_iter().enumerate();
    lines
        .map(|(i, line)| match i {
            0 => format!("{drawn}{line}"),
            _ => format!("{:left$}{line}", ""),
        })
        .collect()
}

fn whole_percent(share: f64) -> String {
    format!("{:.0} %", (share * 100.0).max(0.0))
}

fn numbers(page: &mut Page, answer: &Chance, units: Units) {
    page.heading("NUMBERS", "5 %, middle and 95 %, and how sure the 95 % is");
    let force = |n: f64| units.force(n);
    let length = |m: f64| units.length(m);
    let mut rows = Vec::new();
    let mut add = |what: &str, of: Option<&Quantiles>, show: &dyn Fn(f64) -> String| {
        rows.extend(of.map(|of| row(what, of, show)));
    };
    add("Resistance", answer.resistance_n.as_ref(), &force);
    add("  dug out", answer.resistance_dug_n.as_ref(), &force);
    add("Method can bring", answer.brings_n.as_ref(), &force);
    if let Some(lowering) = &answer.lowering {
        add("Holding asks", Some(&lowering.asked_n), &force);
        add("Holder can hold", Some(&lowering.can_hold_n), &force);
    }
    add("Greatest pull", answer.peak_n.as_ref(), &force);
    if let Some(lowering) = &answer.lowering {
        add("If main goes: speed", Some(&lowering.loose_m_s), &|v| {
            units.flight_speed(v)
        });
        let belay = lowering.belay.as_ref().map(|b| &b.peak_n);
        add("  peak on the belay", belay, &force);
    }
    add("Movement", answer.movement_m.as_ref(), &length);
    add(
        "Greatest share of WLL",
        answer.share_of_wll.as_ref(),
        &percent,
    );
    add(
        "Greatest share of MBS",
        answer.share_of_mbs.as_ref(),
        &percent,
    );
    if let Some(flight) = &answer.if_a_part_lets_go {
        add("If one lets go: speed", Some(&flight.speed_m_s), &|v| {
            units.flight_speed(v)
        });
        add("  energy", Some(&flight.energy_j), &|j| units.energy(j));
        add("  reach from a line", Some(&flight.reach_m), &length);
    }
    page.table(&["", "5 %", "middle", "95 %", "95 % between"], &rows);
}

fn row(what: &str, of: &Quantiles, show: &dyn Fn(f64) -> String) -> [String; 5] {
    let at = |level: f64| of.at.iter().find(|q| (q.level - level).abs() < 1e-9);
    let value = |level: f64| at(level).map_or(String::new(), |q| show(q.value));
    let sure = at(0.95).map_or(String::new(), |q| match (q.low, q.high) {
        (Some(low), Some(high)) => format!("{} .. {}", show(low), show(high)),
        (Some(low), None) => format!("over {}", show(low)),
        _ => "not bounded".into(),
    });
    [what.into(), value(0.05), value(0.5), value(0.95), sure]
}

fn drawn(page: &mut Page, answer: &Chance, units: Units) {
    page.heading("DRAWN", "what is uncertain, 5 % to 95 %; * assumed here");
    for variable in &answer.variables {
        let mark = if variable.assumed { "*" } else { "-" };
        page.item(
            mark,
            &format!(
                "{}: {} ({}; {})",
                variable.what,
                range(variable, units),
                variable.law,
                variable.source
            ),
        );
    }
    let defaults = answer.plan.assumed.len();
    if defaults > 0 {
        page.paragraph(&format!(
            "{defaults} defaults were filled in and are not drawn: `steadypull check PLAN` lists them."
        ));
    }
}

fn range(variable: &ChanceVariable, units: Units) -> String {
    let show = |x: f64| match variable.unit.as_str() {
        "N" => units.force(x),
        "kg" => units.mass(x),
        "m/s" => units.speed(x),
        "m" => units.length(x),
        "J" => units.energy(x),
        "rad" => format!("{} deg", figures(x.to_degrees())),
        "" => figures(x),
        other => format!("{} {other}", figures(x)),
    };
    format!("{} to {}", show(variable.low), show(variable.high))
}
