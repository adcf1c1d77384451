//! `sweep`: one plan worked out many times over, its numbers varied, into a table.

use std::fs;
use std::path::{Path, PathBuf};

use steadypull_contract::answer::CONTRACT_VERSION;
use steadypull_contract::answer_plan;
use steadypull_contract::plan_file::{ParsedPlan, PlanText, Varied, plan_of_study};
use steadypull_contract::printed::{
    ListedInput, ListedOutput, SweepInput, SweepList, SweepSummary,
};
use steadypull_contract::study::{Cell, Study, StudyError, found_in};

use super::{Done, Ending, json_text};
use crate::answering::{PlanFile, plan_text};
use crate::args::Sweep;
use crate::failure::Failure;
use crate::interrupt;
use crate::progress::Counted;
use crate::report::Page;
use crate::sweep::merge::{Joined, copied};
use crate::sweep::rows::{CsvLines, Growing};
use crate::sweep::shard::Shard;
use crate::sweep::{Form, Line, TableFile, Tally, odd_table, parquet, unusable, work};

/// Works a study out, joins its shards, or lists what there is.
pub fn run(wanted: &Sweep, json: bool) -> Result<Done, Failure> {
    let texts = Texts::read(wanted)?;
    if wanted.list {
        return list(&texts, json);
    }
    let study = texts.study()?;
    // The command line asks for it unless --list is there.
    let Some(table) = &wanted.output else {
        return Err(Failure::other("no table is named", "-o FILE names it"));
    };
    let written = if wanted.merge.is_empty() {
        worked_out(&study, table, wanted)?
    } else {
        joined(&study, table, wanted)?
    };
    let summary = summary(&study, table, &written);
    let text = if json {
        json_text(&summary)?
    } else {
        told(&summary)
    };
    let ending = if written.complete {
        Ending::Worked
    } else {
        Ending::Stopped
    };
    Ok(Done { text, ending })
}

/// The study and the plan as text, with what people know them by.
struct Texts {
    study: String,
    study_name: String,
    plan: PlanFile,
    plan_name: String,
}

impl Texts {
    fn read(wanted: &Sweep) -> Result<Self, Failure> {
        let text = plan_text(&wanted.file)?;
        let flags = !wanted.vary.is_empty()
            || !wanted.want.is_empty()
            || wanted.runs.is_some()
            || wanted.points.is_some()
            || wanted.seed.is_some();
        let Some(plan) = plan_of_study(&text) else {
            return Ok(Self {
                study: study_of_flags(wanted)?,
                study_name: "command line".into(),
                plan: PlanFile::of(&wanted.file, text),
                plan_name: wanted.file.clone(),
            });
        };
        if flags {
            let hint = "write it in the study file, or name the plan itself";
            let message = "is a study: --vary, --want, --runs, --points and --seed are for a plan";
            return Err(Failure::of_file(&wanted.file, message, hint));
        }
        // A study without the name of its plan tells so when it is read.
        let plan_name = beside(&wanted.file, &plan);
        let plan = if plan.is_empty() {
            String::new()
        } else {
            plan_text(&plan_name)?
        };
        Ok(Self {
            study: text,
            study_name: wanted.file.clone(),
            plan: PlanFile::of(&plan_name, plan),
            plan_name,
        })
    }

    fn study(&self) -> Result<Study<'_>, Failure> {
        let plan = match &self.plan.text[..] {
            // Any plan will do to tell what is wrong with a study that names none.
            "" => steadypull_contract::EXAMPLES
                .first()
                .map_or("", |(_, text)| text)
                .into(),
            _ => PlanText::from(&self.plan),
        };
        Study::new(&self.study, plan).map_err(|error| match error {
            StudyError::Plan(problems) => {
                Failure::of_plan(&self.plan_name, &self.plan.text, &problems)
            }
            StudyError::Study(problems) => {
                Failure::of_study(&self.study_name, &self.study, &problems)
            }
            StudyError::Whole(message) => {
                let hint = "docs/sweeps.md shows how a study is written";
                Failure::of_file(&self.study_name, &message, hint)
            }
        })
    }
}

/// A plan named in a study file lies beside it.
fn beside(study: &str, plan: &str) -> String {
    let folder = Path::new(study).parent().unwrap_or(Path::new(""));
    folder.join(plan).display().to_string()
}

/// The study that the options of the command line stand for.
fn study_of_flags(wanted: &Sweep) -> Result<String, Failure> {
    let quoted = |text: &str| format!("{:?}", text.replace(|c: char| c.is_control(), " "));
    let mut text = format!("plan = {}\n", quoted("the plan named"));
    if let Some(runs) = wanted.runs {
        text += &format!("runs = {runs}\n");
    }
    if let Some(points) = &wanted.points {
        text += &format!("points = {}\n", quoted(points));
    }
    if let Some(seed) = wanted.seed {
        text += &format!("seed = {seed}\n");
    }
    if !wanted.want.is_empty() {
        let paths: Vec<String> = wanted.want.iter().map(|path| quoted(path)).collect();
        text += &format!("want = [{}]\n", paths.join(", "));
    }
    text += "[vary]\n";
    for one in &wanted.vary {
        let Some((key, values)) = one.split_once('=') else {
            let message = format!("--vary \"{one}\" names no values");
            let hint = "write it like --vary \"casualty.mass=2.2 t to 2.6 t\"";
            return Err(Failure::other(&message, hint));
        };
        text += &format!("{} = {}\n", quoted(key.trim()), quoted(values.trim()));
    }
    Ok(text)
}

/// What was written.
struct Outcome {
    shard: Shard,
    tally: Tally,
    found: u64,
    complete: bool,
}

fn worked_out(study: &Study, table: &TableFile, wanted: &Sweep) -> Result<Outcome, Failure> {
    let shard = wanted.shard.unwrap_or(Shard::WHOLE);
    let points = shard.range(study.len());
    let columns = study.columns();
    let rows_path = match table.form {
        Form::Csv => table.path.clone(),
        Form::Parquet => with_ending(&table.path, "rows.csv"),
    };
    if table.form == Form::Parquet && table.path.exists() {
        if !wanted.force {
            return whole_already(study, table, shard);
        }
        // Else a run stopped early would find the old table in its way.
        fs::remove_file(&table.path)
            .map_err(|e| unusable(&table.path.display().to_string(), &e))?;
    }
    let mut rows = Growing::open(&rows_path, &columns, study.id(), &points, wanted.force)?;
    let found = rows.tally.rows();
    let stop = interrupt::watched();
    let mut progress = Counted::start(
        rows.next - points.start,
        points.end - points.start,
        "points",
    );
    let complete = work::in_order(
        study,
        rows.next..points.end,
        wanted.threads,
        stop,
        |block| {
            let lines: Vec<Line> = block
                .into_iter()
                .map(|row| Line::of(row, study.id()))
                .collect();
            rows.add(&lines)?;
            progress.now(rows.next - points.start);
            Ok(())
        },
    )?;
    drop(progress);
    let tally = rows.tally;
    drop(rows);
    if complete && table.form == Form::Parquet {
        let mut lines = CsvLines::open(&rows_path, &columns)?;
        in_place(&table.path, |part| {
            parquet::write(part, &columns, study.id(), &mut lines)
        })?;
        fs::remove_file(&rows_path).map_err(|e| unusable(&rows_path.display().to_string(), &e))?;
    }
    Ok(Outcome {
        shard,
        tally,
        found,
        complete,
    })
}

/// A Parquet table is only there once it is whole.
fn whole_already(study: &Study, table: &TableFile, shard: Shard) -> Result<Outcome, Failure> {
    let points = shard.range(study.len());
    let mut tally = Tally::default();
    let name = table.path.display().to_string();
    let same = parquet::about(&table.path)
        .is_some_and(|(id, rows)| id == study.id() && rows == points.end - points.start);
    if !same {
        return Err(odd_table(&name, "holds another table; nothing was written"));
    }
    let mut lines = parquet::ParquetLines::open(&table.path, &study.columns())?;
    while let Some(line) = crate::sweep::Lines::next_line(&mut lines)? {
        if !points.contains(&line.index) {
            return Err(odd_table(&name, "holds another shard; nothing was written"));
        }
        tally.add(&line);
    }
    let found = tally.rows();
    Ok(Outcome {
        shard,
        tally,
        found,
        complete: true,
    })
}

fn joined(study: &Study, table: &TableFile, wanted: &Sweep) -> Result<Outcome, Failure> {
    let columns = study.columns();
    let name = table.path.display().to_string();
    if table.path.exists() && !wanted.force {
        let hint = "--force writes over it";
        return Err(Failure::of_file(
            &name,
            "is there already; nothing was written",
            hint,
        ));
    }
    let mut lines = Joined::open(study, &wanted.merge)?;
    in_place(&table.path, |part| match table.form {
        Form::Parquet => parquet::write(part, &columns, study.id(), &mut lines),
        Form::Csv => {
            let all = 0..study.len();
            let mut rows = Growing::open(part, &columns, study.id(), &all, true)?;
            copied(&mut lines, &mut rows)
        }
    })?;
    Ok(Outcome {
        shard: Shard::WHOLE,
        tally: lines.tally,
        found: 0,
        complete: true,
    })
}

/// Writes beside `path` and moves the file there once it is whole.
fn in_place(path: &Path, write: impl FnOnce(&Path) -> Result<(), Failure>) -> Result<(), Failure> {
    let part = with_ending(path, "part");
    let written = write(&part).and_then(|()| {
        fs::rename(&part, path).map_err(|error| unusable(&path.display().to_string(), &error))
    });
    if written.is_err() {
        // Nothing half done is left; the mistake itself is what is told.
        let _ = fs::remove_file(&part);
    }
    written
}

fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".");
    name.push(ending);
    PathBuf::from(name)
}

fn summary(study: &Study, table: &TableFile, written: &Outcome) -> SweepSummary {
    let drawn = study
        .inputs()
        .iter()
        .any(|input| matches!(input.varied, Varied::Drawn(_)));
    let (points, seed) = study.sampling();
    SweepSummary {
        contract_version: CONTRACT_VERSION,
        study: study.id().into(),
        file: table.path.display().to_string(),
        complete: written.complete,
        points: study.len(),
        runs: study.runs(),
        sampling: drawn.then(|| points.word().into()),
        seed: drawn.then_some(seed),
        shard: format!("{}/{}", written.shard.number, written.shard.of),
        rows: written.tally.rows(),
        rows_found: written.found,
        ok: written.tally.ok,
        refused: written.tally.refused,
        failed: written.tally.failed,
        inputs: study.inputs().iter().map(input).collect(),
        columns: study
            .columns()
            .into_iter()
            .map(|column| column.name)
            .collect(),
        left_at_middle: study
            .left_at_middle()
            .into_iter()
            .map(String::from)
            .collect(),
        cautions: cautions(),
    }
}

fn input(input: &steadypull_contract::plan_file::StudyInput) -> SweepInput {
    let how = match input.varied {
        Varied::Listed(_) => "listed",
        Varied::Drawn(_) => "drawn",
    };
    SweepInput {
        key: input.variable.key.clone(),
        unit: input.variable.unit.into(),
        how: how.into(),
        text: input.text.clone(),
    }
}

fn cautions() -> Vec<String> {
    [
        "These are estimates from stated models and inputs; they certify nothing.",
        "A row without an answer is no safe row: look at its status and reason.",
        "A table says how the model answers to its inputs, not how likely an accident is.",
    ]
    .map(String::from)
    .to_vec()
}

fn told(summary: &SweepSummary) -> String {
    let mut page = Page::default();
    let end = if summary.complete {
        "holds"
    } else {
        "stopped early; holds"
    };
    page.drawn(&format!("{} {end} {} rows", summary.file, summary.rows));
    page.paragraph(&format!(
        "{} with an answer, {} refused as no plan, {} failed; {} were there before. \
         Part {} of {} points, study {}.",
        summary.ok,
        summary.refused,
        summary.failed,
        summary.rows_found,
        summary.shard,
        summary.points,
        summary.study
    ));
    for input in &summary.inputs {
        page.item("-", &format!("{} {}: {}", input.key, input.how, input.text));
    }
    if let (Some(sampling), Some(seed)) = (&summary.sampling, summary.seed) {
        page.paragraph(&format!(
            "{} draws ({sampling}, seed {seed}).",
            summary.runs
        ));
    }
    if !summary.left_at_middle.is_empty() {
        let keys = summary.left_at_middle.join(", ");
        page.paragraph(&format!(
            "Spreads of the plan left at their middle: {keys}."
        ));
    }
    if !summary.complete {
        page.paragraph("Run the same command again: it goes on from there.");
    }
    for caution in &summary.cautions {
        page.item("!", caution);
    }
    page.finish()
}

fn list(texts: &Texts, json: bool) -> Result<Done, Failure> {
    let (name, plan) = (&texts.plan_name, &texts.plan);
    let of_plan = |problems| Failure::of_plan(name, &plan.text, &problems);
    let parsed = ParsedPlan::new(plan).map_err(of_plan)?;
    let variables = parsed.variables().map_err(of_plan)?;
    let plan = parsed.plan().map_err(of_plan)?;
    let answer = answer_plan(&plan).map_err(|error| Failure::of_answer(name, &error))?;
    let answer = serde_json::to_value(&answer)
        .map_err(|error| Failure::other(&format!("no JSON could be made: {error}"), "report it"))?;
    let with_unit = |value: f64, unit: &str| format!("{value} {unit}").trim_end().to_string();
    let list = SweepList {
        contract_version: CONTRACT_VERSION,
        inputs: variables
            .into_iter()
            .map(|one| ListedInput {
                value: with_unit(one.value, one.unit),
                limits: one.limit_text.map(String::from),
                what: one.what.into(),
                given: one.given,
                key: one.key,
            })
            .collect(),
        outputs: found_in(&answer)
            .into_iter()
            .map(|(path, cell)| ListedOutput {
                path,
                value: match cell {
                    Cell::Number(number) => number.to_string(),
                    Cell::Text(text) => text,
                    Cell::Missing => String::new(),
                },
            })
            .collect(),
    };
    let text = if json {
        json_text(&list)?
    } else {
        listed(&list)
    };
    Ok(Done {
        text,
        ending: Ending::Worked,
    })
}

fn listed(list: &SweepList) -> String {
    let mut page = Page::default();
    page.heading("INPUTS", "what can be varied, with its value in SI");
    for one in &list.inputs {
        let limits = one.limits.as_ref().map(|limits| format!(", {limits}"));
        let from = if one.given { "" } else { "; a default" };
        let limits = limits.unwrap_or_default();
        page.item(
            "-",
            &format!("{} = {} ({}{limits}{from})", one.key, one.value, one.what),
        );
    }
    page.heading(
        "OUTPUTS",
        "what can be a column, with its value for the plan",
    );
    for one in &list.outputs {
        page.item("-", &format!("{} = {}", one.path, one.value));
    }
    page.finish()
}
