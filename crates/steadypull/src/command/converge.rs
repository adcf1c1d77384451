//! `let-go --converge`: whether the let-go's numbers have settled.

use steadypull_contract::answer_convergence;
use steadypull_contract::show::Units;

use super::{Done, Ending, json_text};
use crate::answering::{PlanFile, read};
use crate::failure::Failure;
use crate::interrupt;
use crate::progress::Counted;
use crate::report;

/// Follows each run of the plan's let-go finer.
pub fn run(file: &str, units: Units, json: bool) -> Result<Done, Failure> {
    let plan = read(file, &PlanFile::open(file)?, units)?;
    let mut counted: Option<Counted> = None;
    let mut say = |done: usize, of: usize| {
        let line = counted.get_or_insert_with(|| Counted::start(0, of as u64, "runs"));
        line.now(done as u64);
    };
    let found = answer_convergence(&plan, &mut say, interrupt::watched());
    drop(counted);
    let answer = found.map_err(|error| Failure::of_answer(file, &error))?;
    let text = if json {
        json_text(&answer)?
    } else {
        report::convergence(&answer, units)
    };
    let ending = match answer.convergence.stopped {
        true => Ending::Stopped,
        false => Ending::by(&answer.findings),
    };
    Ok(Done { text, ending })
}
