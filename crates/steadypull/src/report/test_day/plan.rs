//! A day of tests.

use steadypull_contract::answer::{StandoffOfPlan, TestsPlanAnswer};
use steadypull_contract::show::{Units, percent};

use crate::report::Page;

/// Writes the order, what it can show, and when to stop.
pub fn write(page: &mut Page, answer: &TestsPlanAnswer, units: Units) {
    page.heading(
        "ORDER",
        "pull them like this; each block holds each set-up once",
    );
    let mut block = 0;
    for pull in &answer.pulls {
        if pull.block != block {
            block = pull.block;
            page.paragraph(&format!("Block {block}"));
        }
        let levels = answer.factors.iter().zip(&pull.levels);
        let levels: Vec<String> = levels
            .map(|(factor, level)| format!("{factor} {level}"))
            .collect();
        page.item(&format!("{:>4}.", pull.number), &levels.join(", "));
    }
    shows(page, answer, units);
    page.heading("STOP", "what ends a pull, or the day, at once");
    page.fact("Stand back", &units.length(answer.standoff_m));
    match &answer.standoff_of_plan {
        Some(of_plan) => of_let_go(page, of_plan, units),
        None => page.fact(
            "",
            "as the day file states it; no let-go was reckoned for it",
        ),
    }
    page.fact("Highest load", &units.force(answer.highest_load_n));
    for rule in &answer.stop_rules {
        page.item("-", rule);
    }
    page.heading("RECORD", "a line a pull; -o SHEET.csv writes the sheet");
    let head = answer
        .sheet
        .first()
        .map_or(String::new(), |head| head.join(", "));
    page.paragraph(&head);
}

fn shows(page: &mut Page, answer: &TestsPlanAnswer, units: Units) {
    page.heading("WHAT IT CAN SHOW", "by pulls of each set-up");
    let guessed = if answer.spread_guessed {
        ", which is a guess,"
    } else {
        ""
    };
    page.paragraph(&format!(
        "{} pulls of each set-up show a difference of {} {} of times, with a spread of {}{guessed} from pull to pull and {} pairs compared.",
        answer.pulls_each,
        units.force(answer.difference_n),
        percent(answer.chance),
        units.force(answer.spread_n),
        answer.comparisons
    ));
    let shown = |difference: Option<f64>| difference.map_or("nothing".into(), |d| units.force(d));
    let rows: Vec<[String; 2]> = answer
        .seen
        .iter()
        .map(|seen| [seen.pulls_each.to_string(), shown(seen.difference_n)])
        .collect();
    page.table(
        &[
            "Pulls each",
            &format!("Shown {} of times", percent(answer.power)),
        ],
        &rows,
    );
}

/// Where the distance comes from, and for which load.
fn of_let_go(page: &mut Page, of_plan: &StandoffOfPlan, units: Units) {
    let length = |m| units.length(m);
    page.fact(
        "",
        &format!(
            "the let-go of {} ({}): {} parts could let go, with {} in the line",
            of_plan.file,
            of_plan.title,
            of_plan.parts,
            units.force(of_plan.load_n)
        ),
    );
    let worst = of_plan.worst.as_ref();
    let worst = worst.map_or(String::new(), |worst| format!("; worst {worst}"));
    page.fact(
        "",
        &format!(
            "behind the casualty {}, behind the tug {}, beside the line {}{worst}",
            length(of_plan.behind_casualty_m),
            length(of_plan.behind_tug_m),
            length(of_plan.beside_m)
        ),
    );
    let which = match of_plan.computed_governs {
        true => "computed",
        false => "by the rule, which the computed zone does not pass",
    };
    page.fact(
        "",
        &format!(
            "{which}; {} of {} runs lie inside; rule {}: {}",
            percent(of_plan.quantile),
            of_plan.runs,
            length(of_plan.rule_m),
            of_plan.rule
        ),
    );
    page.drawn(&format!("  SHA-256 {}", of_plan.sha256));
}
