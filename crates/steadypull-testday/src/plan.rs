//! A day of tests: in what order, how many pulls, when to stop, what to write down.

use steadypull_contract::answer::{
    CONTRACT_VERSION, Finding, PlannedPull, Seen, Severity, StandoffOfPlan, TestSummary,
    TestsPlanAnswer,
};
use steadypull_contract::plan_file::DayFile;
use steadypull_engine::units::{Force, Length};
use steadypull_measure::day::{Aim, DayPlan, Factor, Run, Spread, plan_day, resolution};
use steadypull_measure::problem::Problem;

use crate::files::Files;
use crate::finding::{Noticed, sorted, warning};
use crate::plan_named::standoff;
use crate::trouble::{TestsError, Trouble, sound};

/// Numbers of pulls each that are told of at least.
const TOLD: usize = 10;

/// Plans the day. Where it names a plan, people stand back as far as that plan's let-go
/// says, or as far as the day file does if that is further.
pub fn plan(day: &DayFile, files: &dyn Files) -> Result<TestsPlanAnswer, TestsError> {
    let failed = |problem: Problem| Trouble::new("the day file", problem.to_string());
    let named = day.plan.as_deref();
    let of_plan = named
        .map(|name| standoff(name, day.units, files))
        .transpose()?;
    let of_model = of_plan.as_ref().map_or(0.0, |of_plan| of_plan.distance_m);
    let standoff_m = day.standoff_m.unwrap_or(0.0).max(of_model);
    let planned = planned(day, standoff_m).map_err(failed)?;
    let most = TOLD.max(planned.repeats.each);
    let seen = (1..=most).map(|each| seen(&planned, each));
    let seen = seen.collect::<Result<Vec<_>, _>>().map_err(failed)?;
    sound(TestsPlanAnswer {
        contract_version: CONTRACT_VERSION,
        test: TestSummary {
            title: day.title.clone(),
            date: day.date.map(|day| day.to_string()),
            place: day.place.clone(),
            seed: day.seed,
            setups: Vec::new(),
            assumed: crate::assumed(&day.assumed, day.units),
        },
        factors: planned.factors.iter().map(|f| f.name.clone()).collect(),
        pulls: pulls(&planned),
        comparisons: planned.comparisons as u32,
        pulls_each: planned.repeats.each as u32,
        chance: planned.repeats.power,
        difference_n: day.difference_n,
        spread_n: planned.repeats.spread,
        spread_guessed: planned.repeats.guessed,
        power: day.power,
        findings: sorted(findings(day, &planned, of_plan.as_ref())),
        seen,
        standoff_m: planned.standoff.get(),
        standoff_stated_m: day.standoff_m,
        standoff_of_plan: of_plan,
        highest_load_n: day.highest_load_n,
        limit_n: day.limit_n,
        stop_rules: planned.stops.iter().map(|s| s.words(day.units)).collect(),
        sheet: planned.sheet(day.units),
        cautions: crate::cautions(),
    })
}

fn planned(day: &DayFile, standoff_m: f64) -> Result<DayPlan, Problem> {
    let factor = |(name, levels): &(String, Vec<String>)| Factor {
        name: name.clone(),
        levels: levels.clone(),
    };
    let spread = match day.spread_pulls {
        Some(pulls) => Spread::Measured {
            deviation: day.spread_n,
            pulls: pulls as usize,
        },
        None => Spread::Guessed(day.spread_n),
    };
    let aim = Aim {
        difference: day.difference_n,
        spread,
        power: day.power,
        confidence: day.confidence,
    };
    let factors = day.factors.iter().map(factor).collect();
    let loads = (Force::new(day.highest_load_n), Force::new(day.limit_n));
    plan_day(factors, aim, Length::new(standoff_m), loads, day.seed)
}

fn pulls(planned: &DayPlan) -> Vec<PlannedPull> {
    let told = |(at, run): (usize, &Run)| PlannedPull {
        number: at as u32 + 1,
        block: run.block as u32,
        levels: planned
            .factors
            .iter()
            .zip(&run.setup)
            .map(|(factor, level)| factor.levels[*level].clone())
            .collect(),
    };
    planned.runs.iter().enumerate().map(told).collect()
}

/// Whether so many pulls could ever pass the permutation test that `compare` asks for, with
/// all pairs in view: its least p is 2 of all C(2n, n) deals.
fn can_pass(planned: &DayPlan, each: usize) -> bool {
    let deals: f64 = (1..=each).map(|k| (each + k) as f64 / k as f64).product();
    let level = (1.0 - planned.aim.confidence) / planned.comparisons.max(1) as f64;
    2.0 / deals <= level
}

fn seen(planned: &DayPlan, each: usize) -> Result<Seen, Problem> {
    let shown = each >= 2 && can_pass(planned, each);
    let difference = shown.then(|| resolution(&planned.aim, each, planned.comparisons));
    Ok(Seen {
        pulls_each: each as u32,
        difference_n: difference.transpose()?,
    })
}

/// A plan that says not to pull says so of the day, too.
fn own_verdict(of_plan: &StandoffOfPlan) -> Option<Finding> {
    let first = of_plan.critical.first();
    let why = match (first, of_plan.critical.len()) {
        (Some(first), 1) => first.clone(),
        (Some(first), all) => format!("{first} (and {} more)", all - 1),
        (None, _) if of_plan.within_policy => return None,
        (None, _) => "its rig is out of policy".into(),
    };
    let message = format!(
        "{} itself says \"{}\": {why}",
        of_plan.file, of_plan.headline
    );
    Some(
        Noticed {
            severity: Severity::Critical,
            code: "plan-says-do-not",
            subject: "the day".into(),
            message,
            remedy: "look at the plan with `steadypull options PLAN` and mend it: standing back is no answer to it",
            source: "the answer of the plan",
        }
        .into(),
    )
}

/// What the standoff rests on, held against what the day will do.
fn standing(day: &DayFile, of_plan: &StandoffOfPlan) -> Vec<Finding> {
    let (length, force) = (|m| day.units.length(m), |n| day.units.force(n));
    let mut findings: Vec<Finding> = own_verdict(of_plan).into_iter().collect();
    if day.highest_load_n > of_plan.load_n {
        let message = format!(
            "DO NOT PULL to {}: the let-go of {} was reckoned at {} in the line, and a part that lets go at more throws further than {}",
            force(day.highest_load_n),
            of_plan.file,
            force(of_plan.load_n),
            length(of_plan.distance_m),
        );
        findings.push(
            Noticed {
                severity: Severity::Critical,
                code: "load-over-let-go",
                subject: "the day".into(),
                message,
                remedy: "plan the day's hardest pull in that file, or write highest_load as low as that",
                source: "the let-go model of the plan",
            }
            .into(),
        );
    }
    if let Some(stated) = day.standoff_m.filter(|stated| *stated < of_plan.distance_m) {
        findings.push(warning(
            "standoff-under-model",
            "the day",
            format!(
                "the standoff of {} that is written is less than the {} of the let-go of {}, which is taken",
                length(stated),
                length(of_plan.distance_m),
                of_plan.file
            ),
            "leave standoff out, or write what the let-go asks",
        ));
    }
    if of_plan.failed_runs > 0 {
        findings.push(warning(
            "let-go-runs-failed",
            "the day",
            format!(
                "{} of the runs behind the standoff failed and are not in it",
                of_plan.failed_runs
            ),
            "look at the plan with `steadypull let-go PLAN`, and stand further back",
        ));
    }
    findings
}

fn findings(day: &DayFile, planned: &DayPlan, of_plan: Option<&StandoffOfPlan>) -> Vec<Finding> {
    let each = planned.repeats.each;
    let mut findings: Vec<Finding> = Vec::new();
    findings.extend(
        of_plan
            .into_iter()
            .flat_map(|of_plan| standing(day, of_plan)),
    );
    if !can_pass(planned, each) {
        findings.push(warning(
            "too-few-to-show",
            "the day",
            format!("{each} pulls of each set-up are enough for the t test, but too few for the permutation test that `compare` asks for"),
            "want a smaller difference, so that more pulls are planned, or fewer set-ups",
        ));
    }
    if let Some(most) = day.pulls_at_most.filter(|most| (*most as usize) < each) {
        findings.push(warning(
            "too-few-pulls",
            "the day",
            format!("there is time for {most} pulls of each set-up, and {each} are needed to show the wanted difference"),
            "vary less, make pulls more alike, or want a larger difference",
        ));
    }
    if planned.repeats.guessed {
        findings.push(warning(
            "spread-guessed",
            "the day",
            "the spread from pull to pull is a guess: the number of pulls is one too",
            "pull one set-up five times first, and write spread and spread_pulls",
        ));
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use steadypull_contract::plan_file::read_day;

    struct Nothing;

    impl Files for Nothing {
        fn read(&self, _name: &str) -> Result<Vec<u8>, String> {
            Err("there is no such file".into())
        }
    }

    fn day(more: &str) -> DayFile {
        let text = format!(
            "title = \"Day\"\nspread = \"1 kN\"\ndifference = \"2 kN\"\nstandoff = \"20 m\"\nlimit = \"60 kN\"\n{more}\n[factor.line]\nlevels = [\"a\", \"b\", \"c\"]\n"
        );
        read_day(&text).unwrap_or_else(|e| panic!("{e:#?}"))
    }

    /// 2 of C(2n, n) deals: 2/70 for four against four, by hand; three pairs at 5 % are
    /// 1.67 % each, so four pulls can never pass and five (2/252) can.
    #[test]
    fn by_hand_least_deals() {
        let answer = plan(&day(""), &Nothing).unwrap();
        assert_eq!(answer.comparisons, 3);
        assert_eq!(answer.seen[3].difference_n, None);
        assert!(answer.seen[4].difference_n.is_some());
        assert_eq!(answer.pulls.len() as u32, 3 * answer.pulls_each);
        assert_eq!(answer.sheet.len(), answer.pulls.len() + 1);
        let at = answer.seen[answer.pulls_each as usize - 1].difference_n;
        assert!(at.is_some_and(|shown| shown <= 2e3), "{answer:?}");
    }

    #[test]
    fn what_is_short_is_said() {
        let codes = |more: &str| -> Vec<String> {
            let findings = plan(&day(more), &Nothing).unwrap().findings;
            findings.into_iter().map(|f| f.code).collect()
        };
        assert_eq!(codes("spread_pulls = 6"), [""; 0]);
        assert_eq!(
            codes("pulls_at_most = 2"),
            ["too-few-pulls", "spread-guessed"]
        );
        let easy = day("").clone();
        let easy = DayFile {
            difference_n: 20e3,
            ..easy
        };
        assert_eq!(
            plan(&easy, &Nothing).unwrap().findings[0].code,
            "too-few-to-show"
        );
    }

    #[test]
    fn mistakes_come_together() {
        let problems =
            read_day("title = \"x\"\nspread = 3\n[factor.a]\nlevels = [\"b\"]\n").unwrap_err();
        let said: Vec<&str> = problems.problems.iter().map(|p| &p.message[..]).collect();
        for words in [
            "spread is a bare number",
            "factor.a.levels are no levels",
            "limit is missing",
            "standoff is missing",
            "difference is missing",
        ] {
            assert!(said.iter().any(|s| s.contains(words)), "{words}: {said:#?}");
        }
    }
}
