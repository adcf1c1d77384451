//! Two like wagons tail to tail with a line of 9 m between them, and what their plan answers.

use steadypull_contract::answer::Answer;
use steadypull_contract::{answer_plan, plan_file::read_plan};

/// The plan, with more of its line and more after it.
pub fn plan(line: &str, more: &str) -> String {
    format!(
        r#"
[casualty]
name = "One"
mass = "2.6 t"
sits_in = "firm"
held_by = {{ what = "log", yields_at = "30 kN" }}

[casualty.point.rear]
kind = "rated"
mbs = "20 t"

[tug]
name = "Two"
mass = "2.6 t"
surface = "dry-road"

[tug.point.rear]
kind = "rated"
mbs = "20 t"

[line.strap]
material = "nylon-webbing"
length = "9 m"
mbs = "12 t"
{line}

[shackle.soft-1]
kind = "soft"
mbs = "15 t"

[shackle.soft-2]
kind = "soft"
mbs = "15 t"

[rig]
method = "kinetic"
path = ["casualty.rear", "soft-1", "strap", "soft-2", "tug.rear"]
run_up_speed = "14 km/h"
{more}"#
    )
}

pub fn answer(text: &str) -> Answer {
    let plan = read_plan(text).unwrap_or_else(|p| panic!("{}", p.report("plan.toml", text)));
    answer_plan(&plan).expect("the plan can be worked out")
}
