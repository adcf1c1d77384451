//! Any bytes as a plan file, and behind a mark of its own as the line file that it names: read
//! or refused, never a panic, never a hang.
#![no_main]

use libfuzzer_sys::fuzz_target;
use steadypull_contract::plan_file::{LineFiles, inputs, read_plan};
use steadypull_contract::show::Units;

/// What parts a plan from its line file.
const MARK: &str = "\n# the line file\n";

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = core::str::from_utf8(bytes) else {
        return;
    };
    let (text, line) = text.split_once(MARK).unwrap_or((text, ""));
    let lines = LineFiles::fetched(text, |_| Ok(line.into()));
    match read_plan((text, &lines)) {
        Ok(plan) => {
            let lines = inputs(&plan, Units::Metric).join("\n");
            assert!(!lines.contains("unknown km/h"), "{lines}");
            assert!(plan.casualty.vehicle.mass.is_finite() && plan.tug.vehicle.mass.is_finite());
        }
        Err(problems) => {
            assert!(!problems.problems.is_empty());
            let report = problems.report("plan.toml", text);
            assert!(report.ends_with("no plan was read\n"));
        }
    }
});
