//! `brief`: a printable plan for the crew.

use std::cmp::Reverse;
use steadypull_brief::Studied;
use steadypull_contract::answer::{Answer, Chance};
use steadypull_contract::design::{DamperQuestion, answer_dampers};
use steadypull_contract::printed::{DampersAnswer, FileKind};
use steadypull_contract::show::Units;
use steadypull_contract::{ChanceOptions, answer_plan};

use super::chance::studied;
use super::{Done, Ending, json_text};
use crate::answering::{PlanFile, read, said};
use crate::args::Brief;
use crate::date::today;
use crate::failure::Failure;
use crate::progress::Progress;
use crate::writing::{self, DocumentFile, Overwrite};

/// Writes the brief.
pub fn run(brief: &Brief, units: Units, json: bool) -> Result<Done, Failure> {
    let DocumentFile { path, kind } = &brief.output;
    let made = made(brief, units)?;
    let made_on = brief.date.clone().unwrap_or_else(today);
    let bytes = drawn(&made, *kind, units, &made_on)?;
    writing::write(path, &bytes, Overwrite::Allowed)?;

    let ending = Ending::of(&made.answer);
    let headline = made.answer.verdict.headline.clone();
    let files = vec![writing::file(path, "brief", *kind)];
    let report = writing::written(files, vec![], Some(made.answer));
    let text = if json {
        json_text(&report)?
    } else {
        writing::written_text(&report, Some(&headline))
    };
    Ok(Done { text, ending })
}

/// The answer and the studies that were asked for; what these found stands among the
/// findings of the answer, so that the brief is of one mind.
struct Made {
    answer: Answer,
    chance: Option<Chance>,
    dampers: Option<DampersAnswer>,
}

fn made(brief: &Brief, units: Units) -> Result<Made, Failure> {
    let file = &brief.plan;
    let text = PlanFile::open(file)?;
    let plan = read(file, &text, units)?;
    let mut answer = said(file, "Working out the answer", || answer_plan(&plan))?;
    let chances = ChanceOptions {
        units,
        ..ChanceOptions::default()
    };
    let chance = match brief.chance {
        true => Some(studied(file, &text, &chances)?),
        false => None,
    };
    let dampers = match brief.dampers {
        true => Some(said(file, "Trying dampers", || {
            answer_dampers(&plan, &DamperQuestion::default())
        })?),
        false => None,
    };
    let found = chance.iter().flat_map(|c| &c.findings);
    let found = found.chain(dampers.iter().flat_map(|d| &d.findings));
    for finding in found {
        if !answer.findings.contains(finding) {
            answer.findings.push(finding.clone());
        }
    }
    answer.findings.sort_by_key(|f| Reverse(f.severity));
    Ok(Made {
        answer,
        chance,
        dampers,
    })
}

fn drawn(made: &Made, kind: FileKind, units: Units, made_on: &str) -> Result<Vec<u8>, Failure> {
    let _progress = Progress::show("Drawing the brief");
    let of = Studied {
        answer: &made.answer,
        chance: made.chance.as_ref(),
        dampers: made.dampers.as_ref().map(|d| &d.dampers),
    };
    let bytes = match kind {
        FileKind::Pdf => steadypull_brief::pdf(of, units, made_on),
        _ => steadypull_brief::html(of, units, made_on).map(String::into_bytes),
    };
    bytes.map_err(|error| Failure::other(&error.to_string(), super::REPORT_IT))
}
