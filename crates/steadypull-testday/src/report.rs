//! Everything that a report of a test day shows: the answers, what draws them, and the hash
//! of every file that they rest on.

use steadypull_contract::answer::{
    CONTRACT_VERSION, CellUsed, DrawnPull, Finding, HashedFile, PullRead, TestsReport,
};
use steadypull_contract::plan_file::{PullEntry, TestFile};
use steadypull_contract::sha256_of;

use crate::files::Files;
use crate::finding::sorted;
use crate::levels::levels_of;
use crate::take::{Taken, Wanted, take};
use crate::trouble::{TestsError, Trouble, sound};

/// Parts that the load in time is drawn in.
const PARTS: usize = 480;
/// Readings that a loop is drawn of at most.
const LOOP_MOST: usize = 400;

/// The report of a test day: `name` and `text` are those of the test file that `test` was
/// read from.
pub fn report(
    test: &TestFile,
    (name, text): (&str, &[u8]),
    files: &dyn Files,
) -> Result<TestsReport, TestsError> {
    let read = crate::read(test, None, files)?;
    let fit = match test.fits.is_empty() {
        true => None,
        false => Some(crate::fit(test, files)?),
    };
    let compare = match test.compares.is_empty() && test.predicts.is_empty() {
        true => None,
        false => Some(crate::compare(test, files)?),
    };
    let each = test.pulls.iter().map(|entry| drawn(test, entry, files));
    let drawn = each.collect::<Result<_, TestsError>>()?;
    let lists = [
        Some(&read.findings),
        fit.as_ref().map(|fit| &fit.findings),
        compare.as_ref().map(|compare| &compare.findings),
    ];
    let findings = each_once(lists.into_iter().flatten().flatten());
    sound(TestsReport {
        contract_version: CONTRACT_VERSION,
        program_version: env!("CARGO_PKG_VERSION").into(),
        test_file: hashed(name, "test file", text),
        beside: beside(test, &read.pulls, files)?,
        read,
        fit,
        compare,
        drawn,
        findings,
    })
}

fn each_once<'a>(findings: impl Iterator<Item = &'a Finding>) -> Vec<Finding> {
    let mut once: Vec<Finding> = Vec::new();
    for finding in findings {
        if !once.contains(finding) {
            once.push(finding.clone());
        }
    }
    sorted(once)
}

fn hashed(name: &str, holds: &str, bytes: &[u8]) -> HashedFile {
    HashedFile {
        file: name.into(),
        holds: holds.into(),
        sha256: sha256_of(bytes),
        bytes: bytes.len() as u64,
    }
}

fn certificate(cell: &CellUsed) -> Option<HashedFile> {
    let kept = cell.certificate_file.as_ref()?;
    Some(HashedFile {
        file: kept.file.clone(),
        holds: format!("certificate {} of cell {}", cell.certificate, cell.name),
        sha256: kept.sha256.clone(),
        bytes: kept.bytes,
    })
}

/// Certificates of the cells that took the pulls, recipes, marks of the other end and plans,
/// each once, in the order of the test file.
fn beside(
    test: &TestFile,
    pulls: &[PullRead],
    files: &dyn Files,
) -> Result<Vec<HashedFile>, Trouble> {
    let cells = pulls.iter().filter_map(|pull| pull.cell.as_ref());
    let recipes = test.pulls.iter().map(|pull| (&pull.recipe, "recipe"));
    let footage = test.pulls.iter().filter_map(|pull| pull.footage.as_ref());
    let other_ends = footage.filter_map(|footage| footage.other_end.as_ref());
    let plans = test.predicts.iter().filter_map(|p| p.plan.as_ref());
    let recipes = recipes.chain(other_ends.map(|marks| (marks, "marks of the other end")));
    let mut found: Vec<HashedFile> = Vec::new();
    for kept in cells.filter_map(certificate) {
        if !found.contains(&kept) {
            found.push(kept);
        }
    }
    for (name, holds) in recipes.chain(plans.map(|plan| (plan, "plan"))) {
        if !found.iter().any(|file| file.file == *name) {
            let bytes = files.read(name).map_err(|why| Trouble::new(name, why))?;
            found.push(hashed(name, holds, &bytes));
        }
    }
    Ok(found)
}

fn drawn(test: &TestFile, entry: &PullEntry, files: &dyn Files) -> Result<DrawnPull, TestsError> {
    let taken = take(test, entry, files, Wanted::Readings)?;
    let (taut_s, end_s) = (taken.pull().taut.time_s, taken.pull().end.time_s);
    let (start_s, stop_s) = (taken.load.series.start_s(), taken.load.series.end_s());
    let long_s = end_s - taut_s;
    let window = (
        (taut_s - 0.15 * long_s).max(start_s),
        (end_s + 0.3 * long_s).min(stop_s),
    );
    let (stretch_m, force_n) = curve(&taken);
    Ok(DrawnPull {
        levels: levels_of(&taken, Some(window), PARTS)?,
        stretch_m,
        force_n,
    })
}

/// Stretch and load side by side from taut to slack, or to the parting.
fn curve(taken: &Taken) -> (Vec<f64>, Vec<f64>) {
    let Some(Ok(displacement)) = &taken.displacement else {
        return (Vec::new(), Vec::new());
    };
    let (load, pull) = (&taken.load.series, taken.pull());
    let end_s = pull.parting.unwrap_or(pull.end).time_s;
    let Some(rest_m) = displacement.series.at(pull.taut.time_s) else {
        return (Vec::new(), Vec::new());
    };
    let samples = load.between(pull.taut.time_s, end_s);
    let every = samples.len().div_ceil(LOOP_MOST).max(1);
    let both = |at: usize| {
        let (force, far) = (load.values()[at], displacement.series.at(load.time_s(at))?);
        (force.is_finite() && far.is_finite()).then_some((far - rest_m, force))
    };
    samples.step_by(every).filter_map(both).unzip()
}
