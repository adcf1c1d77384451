//! What is said of lines that were measured in tests: where they come from, and where the
//! plan asks more of them than the tests can say.

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::plan::{Part, Plan, TestedLine, ToldApart};

use super::ChosenRig;
use super::lowering::Worked;
use crate::show::percent;

const TESTS: &str = "the line file";

/// The greatest load on each line that carries one, N.
#[derive(Debug, Default)]
pub(super) struct Loads(Vec<(String, f64)>);

impl Loads {
    /// The loads of an answer.
    pub fn of(plan: &Plan, chosen: Option<&ChosenRig>, lowering: Option<&Worked>) -> Self {
        let mut loads = Self::default();
        for link in chosen.into_iter().flat_map(|rig| rig.links) {
            loads.add(&link.link.name, link.load.get());
        }
        if let Some(worked) = lowering {
            let main = worked.study.holding.peak().hold.design;
            loads.add(&worked.lowering.main.line, main.get());
            let belay = plan.lowering.as_ref().and_then(|l| l.belay.as_ref());
            if let (Some(belay), Some(study)) = (belay, &worked.study.belay) {
                loads.add(&belay.line, study.peak().get());
            }
        }
        loads
    }

    /// One load more; a line named twice carries the greater.
    pub fn add(&mut self, line: &str, load_n: f64) {
        match self.0.iter_mut().find(|(name, _)| name == line) {
            Some((_, known)) => *known = known.max(load_n),
            None => self.0.push((line.into(), load_n)),
        }
    }

    fn on(&self, line: &str) -> Option<f64> {
        let found = self.0.iter().find(|(name, _)| name == line);
        found.map(|(_, load_n)| *load_n)
    }
}

/// What there is to say of every tested line under these loads.
pub(super) fn findings(plan: &Plan, loads: &Loads) -> Vec<Finding> {
    let of = |tested: &TestedLine| {
        let mut found = vec![from_tests(tested)];
        // What a line that carries nothing cannot say harms nobody.
        if let Some(load_n) = loads.on(&tested.line) {
            found.extend(beyond_data(plan, tested, load_n));
            found.extend(strength_as_stated(tested));
            found.extend(overdue(tested));
            found.extend(not_told_apart(tested));
        }
        found
    };
    plan.tested.iter().flat_map(of).collect()
}

fn from_tests(tested: &TestedLine) -> Finding {
    let held = match tested.held.is_empty() {
        true => String::new(),
        false => format!("; {} held, not measured", tested.held.join(", ")),
    };
    let message = format!(
        "this line is as measured in {} of {} (\"{}\"), {}{held}; {} holds it; {}",
        pulls(tested.pulls),
        tested.date,
        tested.title,
        data(tested),
        tested.file,
        drawn(tested)
    );
    Finding::new(
        Severity::Note,
        "line-from-tests",
        tested.line.clone(),
        message,
        "see that it is the very line that was tested, and still as it was then",
        TESTS,
    )
}

/// How its ranges are drawn, in words.
fn drawn(tested: &TestedLine) -> &'static str {
    match tested.together {
        Some(_) => "its ranges are drawn together, as they lean on one another in the tests",
        None => "each of its ranges is drawn by itself",
    }
}

fn pulls(count: u32) -> String {
    match count {
        1 => "one pull".into(),
        count => format!("{count} pulls"),
    }
}

/// How far there is data, in words.
pub(super) fn data(tested: &TestedLine) -> String {
    let wet = if tested.wet { "wet, " } else { "" };
    format!("{wet}data up to {} of its MBS", percent(tested.data_to))
}

fn beyond_data(plan: &Plan, tested: &TestedLine, load_n: f64) -> Option<Finding> {
    let mbs_n = match plan.kit.part(&tested.line)? {
        Part::Line(line) => line.mbs.get(),
        Part::Bridle(bridle) => bridle.line.mbs.get(),
        _ => return None,
    };
    let share = load_n / mbs_n;
    (share > tested.data_to).then(|| {
        Finding::new(
            Severity::Warning,
            "beyond-line-data",
            tested.line.clone(),
            format!(
                "the plan loads it to {} of its MBS, and the tests went to {}: the curve above \
                 that is a straight continuation, and no interval knows how far it is off",
                percent(share),
                percent(tested.data_to)
            ),
            "test it up to this load, or plan a lower one",
            TESTS,
        )
    })
}

/// The curve is as tested; the strength is what somebody wrote.
fn strength_as_stated(tested: &TestedLine) -> Option<Finding> {
    let worn = tested.condition.as_deref().filter(|word| *word != "new");
    let state = match (worn, tested.wet) {
        (None, false) => return None,
        (None, true) => "wet".to_string(),
        (Some(worn), false) => worn.to_string(),
        (Some(worn), true) => format!("{worn} and wet"),
    };
    Some(Finding::new(
        Severity::Warning,
        "strength-as-stated",
        tested.line.clone(),
        format!(
            "it was tested {state}: its curve holds that, but its strength is only what the test \
             file states, and nothing more comes off it"
        ),
        "see that mbs in the test file is what the line is worth as it is now, not its label",
        TESTS,
    ))
}

fn overdue(tested: &TestedLine) -> Option<Finding> {
    let cells = tested.overdue.join(", ");
    let without = match tested.without_cell {
        0 => None,
        count => Some(format!(
            "no certificate vouches for the loads of {}",
            pulls(count)
        )),
    };
    let run_out = (!cells.is_empty())
        .then(|| format!("the certificate of {cells} had run out on the day of the tests"));
    let message: Vec<String> = run_out.into_iter().chain(without).collect();
    (!message.is_empty()).then(|| {
        Finding::new(
            Severity::Warning,
            "line-cell-not-vouched-for",
            tested.line.clone(),
            message.join("; "),
            "have the cell calibrated and see whether it read true; until then the curve may be off by more than its intervals",
            TESTS,
        )
    })
}

fn not_told_apart(tested: &TestedLine) -> Option<Finding> {
    let severity = match tested.told {
        ToldApart::Apart => return None,
        ToldApart::Leaning => Severity::Note,
        ToldApart::Open => Severity::Warning,
    };
    let help = match tested.together {
        Some(_) => {
            "`steadypull chance` draws them together, as the tests know them; alone none of them \
             is known so well: test more, or hold one"
        }
        None => {
            "`steadypull chance` draws each by itself, not as the tests know them together; fit \
             again for a line file that says how they go together, test more, or hold one"
        }
    };
    Some(Finding::new(
        severity,
        "line-not-told-apart",
        tested.line.clone(),
        format!("its parameters cannot all be told apart: {}", tested.says),
        help,
        TESTS,
    ))
}
