//! Any bytes as a plan file: read or refused, never a panic, never a hang.
#![no_main]

use libfuzzer_sys::fuzz_target;
use steadypull_contract::plan_file::{inputs, read_plan};
use steadypull_contract::show::Units;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = core::str::from_utf8(bytes) else {
        return;
    };
    match read_plan(text) {
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
