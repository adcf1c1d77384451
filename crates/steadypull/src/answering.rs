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

/// What a file is meant to hold: what is said where there is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileSort {
    /// A plan, or a study of one.
    Plan,
    /// A test file or a day file.
    Tests,
}

impl FileSort {
    fn name(self) -> &'static str {
        match self {
            Self::Plan => "plan",
            Self::Tests => "test",
        }
    }

    /// How to get one to start from.
    fn demo(self) -> &'static str {
        match self {
            Self::Plan => "`steadypull example -o plan.toml` writes a demo plan",
            Self::Tests => {
                "`steadypull tests example -o FOLDER` writes a demo test day, with a test file and a day file"
            }
        }
    }
}

/// The text of a plan or study file, or of standard input for `-`.
pub fn plan_text(file: &str) -> Result<String, Failure> {
    text_of(file, FileSort::Plan)
}

/// The text of a file of some sort, or of standard input for `-`.
pub fn text_of(file: &str, sort: FileSort) -> Result<String, Failure> {
    let bytes = bytes_of(file, sort)?;
    let text = String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..at]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count()
            + 1;
        let message = format!("not a text file in UTF-8: the bytes on line {line} are no letters");
        let hint = format!("save the {} file as plain text, UTF-8", sort.name());
        Failure::of_file(file, &message, &hint)
    })?;
    if text.trim().is_empty() {
        return Err(Failure::of_file(file, "the file is empty", sort.demo()));
    }
    Ok(text)
}

/// Reads a little past the longest plan, so that no endless stream fills memory.
fn bytes_of(file: &str, sort: FileSort) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    let most = LONGEST_PLAN as u64 + 1;
    let read = if file == "-" {
        stdin().lock().take(most).read_to_end(&mut bytes)
    } else {
        std::fs::File::open(file).and_then(|open| open.take(most).read_to_end(&mut bytes))
    };
    read.map_err(|error| unreadable(file, sort, &error))?;
    if bytes.len() > LONGEST_PLAN {
        let name = sort.name();
        let message = format!("too long for a {name}: over {LONGEST_PLAN} bytes");
        let hint = format!("is this really a {name} file?");
        return Err(Failure::of_file(file, &message, &hint));
    }
    Ok(bytes)
}

fn unreadable(file: &str, sort: FileSort, error: &std::io::Error) -> Failure {
    let (message, hint) = match error.kind() {
        ErrorKind::NotFound => (
            "there is no such file".to_string(),
            format!("check the name; {}", sort.demo()),
        ),
        ErrorKind::IsADirectory => (
            format!("is a folder, not a {} file", sort.name()),
            "name the file in it".into(),
        ),
        ErrorKind::PermissionDenied => (
            "may not be read by you".into(),
            "check who owns the file and its permissions".into(),
        ),
        _ => (
            format!("cannot be read: {error}"),
            "check the file and the disk".into(),
        ),
    };
    Failure::of_file(file, &message, &hint)
}
