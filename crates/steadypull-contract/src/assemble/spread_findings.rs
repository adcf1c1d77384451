//! What is said of inputs that are ranges or distributions.

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::plan::{Plan, Spread};

use crate::show::figures;

/// An answer at one value must not look surer than its inputs.
pub(super) fn middle_used(plan: &Plan) -> Option<Finding> {
    if plan.spreads.is_empty() {
        return None;
    }
    let each = plan.spreads.iter().map(|spread| {
        let middle = format!("{} {}", figures(spread.middle), spread.unit);
        format!(
            "{} ({}), here {}",
            spread.key,
            spread.text,
            middle.trim_end()
        )
    });
    Some(Finding::new(
        Severity::Note,
        "middle-of-spread",
        "inputs",
        format!(
            "the middle of each spread is used here, not the spread: {}",
            each.collect::<Vec<_>>().join("; ")
        ),
        "`steadypull chance` reckons with the spread",
        "the plan file",
    ))
}

/// The middle of a spread, in SI with its unit.
pub(super) fn middle(spread: &Spread) -> String {
    let text = format!("{} {}", figures(spread.middle), spread.unit);
    text.trim_end().into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan_file::read_plan;

    #[test]
    fn an_answer_at_the_middle_says_so() {
        let text = "[casualty]\nmass = \"2.2 t to 2.6 t\"\nsits_in = \"clay\"\n\
                    [tug]\nmass = \"2.9 t\"\nsurface = \"grass\"\n";
        let plan = read_plan(text).expect("a plan");
        let finding = middle_used(&plan).expect("a finding");
        assert!(
            finding
                .message
                .ends_with("casualty.mass (2.2 t to 2.6 t), here 2400 kg"),
            "{}",
            finding.message
        );
    }
}
