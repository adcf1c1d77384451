//! `brief`: a printable plan for the crew.

use std::path::PathBuf;

use steadypull_contract::answer::Answer;
use steadypull_contract::printed::FileKind;
use steadypull_contract::show::Units;

use super::{Done, Ending, json_text};
use crate::answering::answer_to;
use crate::args::Brief;
use crate::date::today;
use crate::failure::Failure;
use crate::progress::Progress;
use crate::writing::{self, Overwrite};

/// Where a brief goes, and in which form.
#[derive(Debug, Clone)]
pub struct BriefFile {
    path: PathBuf,
    kind: FileKind,
}

/// The file a brief is to be written to, for the command line.
pub fn brief_file(text: &str) -> Result<BriefFile, String> {
    let path = PathBuf::from(text);
    let ending = path
        .extension()
        .map(|e| e.to_string_lossy().to_ascii_lowercase());
    let kind = match ending.as_deref() {
        Some("pdf") => FileKind::Pdf,
        Some("html") => FileKind::Html,
        _ => return Err("a brief is written to NAME.pdf or NAME.html".into()),
    };
    Ok(BriefFile { path, kind })
}

/// Writes the brief.
pub fn run(brief: &Brief, units: Units, json: bool) -> Result<Done, Failure> {
    let BriefFile { path, kind } = &brief.output;
    let answer = answer_to(&brief.plan)?;
    let made_on = brief.date.clone().unwrap_or_else(today);
    let bytes = drawn(&answer, *kind, units, &made_on)?;
    writing::write(path, &bytes, Overwrite::Allowed)?;

    let ending = Ending::of(&answer);
    let headline = answer.verdict.headline.clone();
    let files = vec![writing::file(path, "brief", *kind)];
    let report = writing::written(files, vec![], Some(answer));
    let text = if json {
        json_text(&report)?
    } else {
        writing::written_text(&report, Some(&headline))
    };
    Ok(Done { text, ending })
}

fn drawn(answer: &Answer, kind: FileKind, units: Units, made_on: &str) -> Result<Vec<u8>, Failure> {
    let _progress = Progress::show("Drawing the brief");
    let bytes = match kind {
        FileKind::Pdf => steadypull_brief::pdf(answer, units, made_on),
        _ => steadypull_brief::html(answer, units, made_on).map(String::into_bytes),
    };
    bytes.map_err(|error| Failure::other(&error.to_string(), super::REPORT_IT))
}
