//! A day of tests.

use steadypull_contract::answer::TestsPlanAnswer;
use steadypull_contract::show::{Units, percent};

use crate::report::Page;

/// Writes the order, what it can show, and when to stop.
pub fn write(page: &mut Page, answer: &TestsPlanAnswer, units: Units) {
    page.heading("ORDER", "pull them like this");
    let rounds = answer.pulls.iter().map(|pull| pull.round).max().unwrap_or(0);
    for round in 1..=rounds {
        let pulls = answer.pulls.iter().filter(|pull| pull.round == round);
        let names: Vec<String> = pulls.map(|pull| format!("{} {}", pull.number, pull.setup)).collect();
        page.fact(&format!("Round {round}"), &names.join(", "));
    }
    page.heading("WHAT IT CAN SHOW", "by pulls of each set-up");
    page.paragraph(&format!(
        "With a spread of {} from pull to pull, and all pairs of set-ups in view:",
        units.force(answer.spread_n)
    ));
    let wanted = units.force(answer.difference_n);
    let rows: Vec<[String; 3]> = answer
        .seen
        .iter()
        .map(|seen| {
            [
                seen.pulls_each.to_string(),
                seen.difference_n.map_or("nothing".into(), |d| units.force(d)),
                seen.chance.map_or("none".into(), percent),
            ]
        })
        .collect();
    let seen = format!("Seen {} of times", percent(answer.power));
    let chance = format!("Chance to see {wanted}");
    page.table(&["Pulls each", &seen, &chance], &rows);
    page.paragraph(&match answer.pulls_needed {
        Some(n) => format!("{n} pulls of each set-up show {wanted} {} of times.", percent(answer.power)),
        None => format!("No number of pulls up to 200 each shows {wanted} that often."),
    });
    page.heading("STOP", "rules of the day");
    for rule in &answer.stop_rules {
        page.item("-", rule);
    }
    page.heading("RECORD", "a line a pull; -o SHEET.csv writes the sheet");
    page.paragraph(&answer.sheet_columns.join(", "));
}
