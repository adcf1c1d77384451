//! From a plan file to its answer.

use std::io::{ErrorKind, Read, stdin};
use std::path::Path;

use steadypull_contract::answer::Answer;
use steadypull_contract::plan_file::{
    LONGEST_LINE_FILE, LONGEST_PLAN, LineFiles, Plan, PlanText, read_plan,
};
use steadypull_contract::show::Units;
use steadypull_contract::{AnswerError, answer_plan};

use crate::failure::Failure;
use crate::progress::Progress;

/// The answer to the plan in `file`, or on standard input for `-`, told in `units`.
pub fn answer_to(file: &str, units: Units) -> Result<Answer, Failure> {
    worked_out(file, units, "Working out the answer", answer_plan)
}

/// What `work` makes of the plan in `file`, or on standard input for `-`; `doing` is
/// said on the terminal meanwhile.
pub fn worked_out<T>(
    file: &str,
    units: Units,
    doing: &'static str,
    work: impl FnOnce(&Plan) -> Result<T, AnswerError>,
) -> Result<T, Failure> {
    let plan = read(file, &PlanFile::open(file)?, units)?;
    said(file, doing, || work(&plan))
}

/// What `work` makes of a plan in `file`; `doing` is said on the terminal meanwhile.
pub fn said<T>(
    file: &str,
    doing: &'static str,
    work: impl FnOnce() -> Result<T, AnswerError>,
) -> Result<T, Failure> {
    let _progress = Progress::show(doing);
    work().map_err(|error| Failure::of_answer(file, &error))
}

/// The plan in `file`, to be told in `units`.
pub fn read(file: &str, plan: &PlanFile, units: Units) -> Result<Plan, Failure> {
    let read = read_plan(plan).map_err(|problems| Failure::of_plan(file, &plan.text, &problems))?;
    Ok(read.said_in(units))
}

/// A plan file's text, with the line files beside it that it names.
pub struct PlanFile {
    /// The text.
    pub text: String,
    /// The line files.
    pub lines: LineFiles,
}

impl PlanFile {
    /// The plan in `file`, or on standard input for `-`: its line files then lie in the
    /// current folder.
    pub fn open(file: &str) -> Result<Self, Failure> {
        Ok(Self::of(file, plan_text(file)?))
    }

    /// The plan whose text `file` holds.
    pub fn of(file: &str, text: String) -> Self {
        let folder = Path::new(file).parent().filter(|_| file != "-");
        let folder = folder.unwrap_or(Path::new(""));
        let lines = LineFiles::fetched(&text, |name| line_file_text(&folder.join(name)));
        Self { text, lines }
    }
}

impl<'t> From<&'t PlanFile> for PlanText<'t> {
    fn from(plan: &'t PlanFile) -> Self {
        Self {
            text: &plan.text,
            lines: &plan.lines,
        }
    }
}

/// The text of a line file, or why it cannot be had.
pub fn line_file_text(path: &Path) -> Result<String, String> {
    let why = |error: std::io::Error| match error.kind() {
        ErrorKind::NotFound => "there is no such file beside the plan".to_string(),
        ErrorKind::PermissionDenied => "it may not be read by you".into(),
        _ => format!("it cannot be read: {error}"),
    };
    // Looked at first: to open a pipe would wait for somebody to write.
    if !std::fs::metadata(path).map_err(why)?.is_file() {
        return Err("that is no file".into());
    }
    let open = std::fs::File::open(path).map_err(why)?;
    let mut bytes = Vec::new();
    let most = LONGEST_LINE_FILE as u64 + 1;
    open.take(most).read_to_end(&mut bytes).map_err(why)?;
    if bytes.len() > LONGEST_LINE_FILE {
        return Err(format!(
            "it is longer than any line file: over {LONGEST_LINE_FILE} bytes"
        ));
    }
    String::from_utf8(bytes).map_err(|_| "it is no text in UTF-8".into())
}

/// The text of a plan or study file, or of standard input for `-`.
pub fn plan_text(file: &str) -> Result<String, Failure> {
    let bytes = plan_bytes(file)?;
    let text = String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..at]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count()
            + 1;
        let message = format!("not a text file in UTF-8: the bytes on line {line} are no letters");
        Failure::of_file(file, &message, "save the plan as plain text, UTF-8")
    })?;
    if text.trim().is_empty() {
        let hint = "`steadypull example` prints a demo plan to start from";
        return Err(Failure::of_file(file, "the file is empty", hint));
    }
    Ok(text)
}

/// Reads a little past the longest plan, so that no endless stream fills memory.
fn plan_bytes(file: &str) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    let most = LONGEST_PLAN as u64 + 1;
    let read = if file == "-" {
        stdin().lock().take(most).read_to_end(&mut bytes)
    } else {
        std::fs::File::open(file).and_then(|open| open.take(most).read_to_end(&mut bytes))
    };
    read.map_err(|error| unreadable(file, &error))?;
    if bytes.len() > LONGEST_PLAN {
        let message = format!("too long for a plan: over {LONGEST_PLAN} bytes");
        return Err(Failure::of_file(
            file,
            &message,
            "is this really a plan file?",
        ));
    }
    Ok(bytes)
}

fn unreadable(file: &str, error: &std::io::Error) -> Failure {
    let (message, hint) = match error.kind() {
        ErrorKind::NotFound => (
            "there is no such file".to_string(),
            "check the name; `steadypull example -o plan.toml` writes a demo plan",
        ),
        ErrorKind::IsADirectory => ("is a folder, not a plan file".into(), "name the file in it"),
        ErrorKind::PermissionDenied => (
            "may not be read by you".into(),
            "check who owns the file and its permissions",
        ),
        _ => (
            format!("cannot be read: {error}"),
            "check the file and the disk",
        ),
    };
    Failure::of_file(file, &message, hint)
}
