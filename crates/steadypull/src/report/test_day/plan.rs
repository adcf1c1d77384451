//! A day of tests.

use steadypull_contract::answer::TestsPlanAnswer;
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
