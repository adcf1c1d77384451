//! A day of tests: in what order, how many pulls, when to stop, what to write down.
//!
//! What so many pulls can show is reckoned by the t test of two set-ups of n pulls, with the
//! level divided by the number of pairs (Bonferroni: no looser than the steps of Holm that
//! `compare` takes); fewer pulls than the permutation test needs show nothing.

use steadypull_contract::answer::{
    CONTRACT_VERSION, Finding, PlannedPull, Seen, TestSummary, TestsPlanAnswer,
};
use steadypull_contract::plan_file::{DayFile, OrderBy, SetUpEntry};
use steadypull_measure::compare::{power, shift_seen};

use crate::draws::Draws;
use crate::finding::{note, warning};
use crate::trouble::{TestsError, Trouble, sound};

/// Numbers of pulls each that are told of at least.
const TOLD: u32 = 10;
/// Most pulls each that are asked for.
const MOST_PULLS: u32 = 200;

/// Columns of the record sheet after number, round and set-up.
const TO_FILL_IN: [&str; 9] = [
    "clock",
    "log file",
    "peak seen",
    "line rested min",
    "wet or dry",
    "run-up",
    "zero before",
    "zero after",
    "remarks",
];

/// Plans the day.
pub fn plan(day: &DayFile) -> Result<TestsPlanAnswer, TestsError> {
    let pulls = order(day);
    let failed =
        |e: steadypull_measure::problem::Problem| Trouble::new("the day file", e.to_string());
    let most = TOLD.max(day.pulls_each);
    let seen = (1..=most)
        .map(|n| seen(day, n))
        .collect::<Result<Vec<_>, _>>()
        .map_err(failed)?;
    let needed = needed(day).map_err(failed)?;
    sound(TestsPlanAnswer {
        contract_version: CONTRACT_VERSION,
        test: TestSummary {
            title: day.title.clone(),
            date: day.date.map(|day| day.to_string()),
            place: day.place.clone(),
            seed: day.seed,
            assumed: crate::assumed(&day.assumed),
        },
        sheet_csv: sheet(day, &pulls),
        sheet_columns: ["number", "round", "set-up"]
            .iter()
            .chain(&TO_FILL_IN)
            .map(|c| c.to_string())
            .collect(),
        findings: findings(day, needed),
        pulls,
        seen,
        difference_n: day.difference_n,
        spread_n: day.spread_n,
        power: day.power,
        pulls_needed: needed,
        stop_rules: stop_rules(day),
        cautions: crate::cautions(),
    })
}

fn order(day: &DayFile) -> Vec<PlannedPull> {
    let mut draws = Draws::new(day.seed);
    let mut all: Vec<(u32, &SetUpEntry)> = Vec::new();
    for round in 1..=day.pulls_each {
        let mut once: Vec<(u32, &SetUpEntry)> =
            day.setups.iter().map(|setup| (round, setup)).collect();
        draws.shuffle(&mut once);
        all.extend(once);
    }
    if day.order == OrderBy::Shuffled {
        draws.shuffle(&mut all);
    }
    let numbered = all
        .iter()
        .enumerate()
        .map(|(at, (round, setup))| PlannedPull {
            number: at as u32 + 1,
            round: match day.order {
                OrderBy::Rounds => *round,
                OrderBy::Shuffled => 1,
            },
            setup: setup.name.clone(),
        });
    numbered.collect()
}

/// Level of one pair's test.
fn level(day: &DayFile) -> f64 {
    let n = day.setups.len() as f64;
    (1.0 - day.confidence) / (0.5 * n * (n - 1.0)).max(1.0)
}

/// Least p that the permutation test of n pulls against n can give: 2 of all deals.
fn least_p(n: u32) -> f64 {
    let deals: f64 = (1..=n).map(|k| f64::from(n + k) / f64::from(k)).product();
    2.0 / deals
}

fn seen(day: &DayFile, n: u32) -> Result<Seen, steadypull_measure::problem::Problem> {
    let alpha = level(day);
    if n < 2 || least_p(n) > alpha {
        return Ok(Seen {
            pulls_each: n,
            difference_n: None,
            chance: None,
        });
    }
    let error = day.spread_n * (2.0 / f64::from(n)).sqrt();
    let freedom = 2.0 * f64::from(n) - 2.0;
    Ok(Seen {
        pulls_each: n,
        difference_n: Some(error * shift_seen(freedom, alpha, day.power)?),
        chance: Some(power(day.difference_n / error, freedom, alpha)),
    })
}

fn needed(day: &DayFile) -> Result<Option<u32>, steadypull_measure::problem::Problem> {
    for n in 2..=MOST_PULLS {
        if seen(day, n)?
            .chance
            .is_some_and(|chance| chance >= day.power)
        {
            return Ok(Some(n));
        }
    }
    Ok(None)
}

fn findings(day: &DayFile, needed: Option<u32>) -> Vec<Finding> {
    let mut findings = Vec::new();
    if needed.is_none_or(|n| n > day.pulls_each) {
        let message = match needed {
            Some(n) => format!(
                "{} pulls of each set-up will hardly show the difference asked for: {n} would",
                day.pulls_each
            ),
            None => format!(
                "no number of pulls up to {MOST_PULLS} of each set-up shows the difference asked for"
            ),
        };
        findings.push(warning(
            "too-few-pulls",
            "the day",
            message,
            "pull fewer set-ups more often, make pulls more alike, or ask for a larger difference",
        ));
    }
    if day.order == OrderBy::Shuffled {
        findings.push(note(
            "shuffled",
            "the day",
            "all pulls are shuffled: a set-up can fall on one part of the day",
            "order = \"rounds\" spreads them",
        ));
    }
    findings
}

/// Common practice, in the words of a briefing.
fn stop_rules(day: &DayFile) -> Vec<String> {
    let mut rules: Vec<String> = Vec::new();
    if let Some(most) = day.stop_above_n {
        rules.push(format!(
            "Stop when a peak passes {:.1} kN, and find out why before the next pull.",
            most / 1e3
        ));
    }
    rules.extend(
        [
            "Stop when anything lets go, bends, tears or slips that was not meant to.",
            "Stop when anybody stands inside the standoff zone, or may.",
            "Stop when the cell's zero has moved between pulls by more than its own doubt, and look at cell and cable.",
            "Stop when light, wind or ground have changed so that pulls no longer compare; note it and begin a new round.",
            "Anybody may stop the day, without giving a reason.",
        ]
        .map(String::from),
    );
    rules
}

fn sheet(day: &DayFile, pulls: &[PlannedPull]) -> String {
    let mut text = format!("# {}\r\n", day.title.replace(['\r', '\n'], " "));
    text += &format!("number,round,set-up,{}\r\n", TO_FILL_IN.join(","));
    for pull in pulls {
        let empty = ",".repeat(TO_FILL_IN.len());
        text += &format!("{},{},{}{empty}\r\n", pull.number, pull.round, pull.setup);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use steadypull_contract::plan_file::read_day;

    fn day(more: &str) -> DayFile {
        let text = format!(
            "title = \"Day\"\npulls_each = 5\nspread = \"1 kN\"\ndifference = \"2 kN\"\n{more}\n[setup.a]\n[setup.b]\n[setup.c]\n"
        );
        read_day(&text).unwrap_or_else(|e| panic!("{e}"))
    }

    #[test]
    fn every_set_up_once_a_round_and_the_same_seed_the_same_order() {
        let answer = plan(&day("")).unwrap();
        assert_eq!(answer.pulls, plan(&day("")).unwrap().pulls);
        assert_ne!(answer.pulls, plan(&day("seed = 9")).unwrap().pulls);
        for round in answer.pulls.chunks(3) {
            let mut names: Vec<&str> = round.iter().map(|p| &p.setup[..]).collect();
            names.sort_unstable();
            assert_eq!(names, ["a", "b", "c"]);
        }
        assert_eq!(answer.sheet_csv.lines().count(), 2 + 15);
    }

    /// Two of C(2n, n) deals: 2/70 for four against four, by hand.
    #[test]
    fn by_hand_least_p_and_its_bound() {
        assert!((least_p(4) - 2.0 / 70.0).abs() < 1e-15 && (least_p(3) - 0.1).abs() < 1e-15);
        let answer = plan(&day("")).unwrap();
        // Three pairs at 5 % are 1.67 % each: four pulls (2.9 %) can never show it.
        assert_eq!(answer.seen[3].difference_n, None);
        assert!(answer.seen[4].difference_n.is_some());
        let needed = answer.pulls_needed.unwrap() as usize;
        assert!(answer.seen[needed - 1].chance.unwrap() >= 0.8);
        assert!(
            answer.seen[needed - 2]
                .chance
                .is_none_or(|chance| chance < 0.8)
        );
    }
}
