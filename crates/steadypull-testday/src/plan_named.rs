//! A plan file that a test file or a day file names, with what it names itself.

use steadypull_contract::answer::{Answer, Severity, StandoffOfPlan};
use steadypull_contract::answer_plan;
use steadypull_contract::plan_file::{LineFiles, read_plan};
use steadypull_contract::sha256_of;
use steadypull_contract::show::Units;

use crate::files::Files;
use crate::trouble::Trouble;

/// The whole answer of a plan, and its SHA-256. `whose` is the table that names it.
pub(crate) fn answered(
    name: &str,
    whose: &str,
    units: Units,
    files: &dyn Files,
) -> Result<(Answer, String), Trouble> {
    let bytes = files
        .read(name)
        .map_err(|why| Trouble::new(name, why).hinting(format!("{whose} names it")))?;
    let text = String::from_utf8(bytes)
        .map_err(|_| Trouble::new(name, "the plan is not text in UTF-8"))?;
    // Beside the plan, wherever that lies.
    let folder = name.rfind('/').map_or("", |at| &name[..=at]);
    let lines = LineFiles::fetched(&text, |line| {
        let bytes = files.read(&format!("{folder}{line}"))?;
        String::from_utf8(bytes).map_err(|_| "it is no text in UTF-8".into())
    });
    let plan = read_plan((&text[..], &lines)).map_err(|problems| {
        Trouble::new(name, problems.to_string())
            .hinting("`steadypull check PLAN` shows every mistake")
    })?;
    let answer = answer_plan(&plan.said_in(units));
    let answer = answer.map_err(|error| Trouble::new(name, error.to_string()))?;
    Ok((answer, sha256_of(&text)))
}

/// How far back people stand by a plan's let-go.
pub(crate) fn standoff(
    name: &str,
    units: Units,
    files: &dyn Files,
) -> Result<StandoffOfPlan, Trouble> {
    let (answer, sha256) = answered(name, "plan of the day file", units, files)?;
    let (load_n, parts) = let_go(&answer);
    if parts == 0 {
        let why = answer
            .let_go
            .missing
            .unwrap_or_else(|| "nothing could let go".into());
        let message = format!("the plan has no let-go to stand back from: {why}");
        let hint = "name the plan of the pull as it is rigged, or write standoff by hand";
        return Err(Trouble::new(name, message).hinting(hint));
    }
    let critical = answer.findings.iter();
    let critical = critical.filter(|found| found.severity == Severity::Critical);
    let standoff = answer.standoff;
    let sides = [
        standoff.behind_casualty_m,
        standoff.behind_tug_m,
        standoff.beside_m,
    ];
    Ok(StandoffOfPlan {
        file: name.into(),
        sha256,
        title: answer.plan.title,
        headline: answer.verdict.headline,
        within_policy: answer.verdict.within_policy,
        critical: critical.map(|found| found.message.clone()).collect(),
        load_n,
        parts,
        worst: answer.let_go.worst,
        distance_m: sides.into_iter().fold(0.0, f64::max),
        behind_casualty_m: standoff.behind_casualty_m,
        behind_tug_m: standoff.behind_tug_m,
        beside_m: standoff.beside_m,
        computed_governs: standoff.computed_governs,
        quantile: standoff.quantile,
        runs: standoff.runs,
        failed_runs: standoff.failed_runs,
        rule_m: standoff.rule_m,
        rule: standoff.rule,
    })
}

/// Greatest load in a line at which a part was taken to let go, N, and how many parts could:
/// of a rig laid out on the ground the tension of the line that carries most.
fn let_go(answer: &Answer) -> (f64, u32) {
    let mut parts: Vec<&str> = answer.let_go.cases.iter().map(|c| &c.link[..]).collect();
    parts.dedup();
    let straight = answer.let_go.cases.iter().map(|case| case.tension_n);
    let laid_out = &answer.let_go.partings;
    let freed = laid_out
        .iter()
        .flat_map(|p| &p.freed)
        .map(|run| run.tension_n);
    let load_n = straight.chain(freed).fold(0.0, f64::max);
    (load_n, (parts.len() + laid_out.len()) as u32)
}
