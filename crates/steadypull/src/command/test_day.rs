//! `tests ...`: logs of test pulls.

use std::fs::File;
use std::io::{ErrorKind, Read, stdin};
use std::path::{Path, PathBuf};

use serde::Serialize;
use steadypull_contract::answer::{Finding, FittedLine};
use steadypull_contract::plan_file::{
    LINE_FILE_ENDING, TestFile, check_line_file, is_line_file, read_day, read_tests,
};
use steadypull_contract::printed::{FileKind, Written};
use steadypull_contract::show::Units;
use steadypull_testday::{Files, Place, Shelf, TestsError, unfetched};

use super::{Done, Ending, json_text};
use crate::answering::{FileSort, text_of};
use crate::args::{
    TestsCommand, TestsExample, TestsFit, TestsLook, TestsPlan, TestsRead, TestsReportFile,
};
use crate::failure::Failure;
use crate::file_identity::Identity;
use crate::progress::Progress;
use crate::report;
use crate::writing::{self, DocumentFile, Overwrite};

/// Runs one command of the tests area.
pub fn run(command: &TestsCommand, units: Units, json: bool) -> Result<Done, Failure> {
    match command {
        TestsCommand::Look(of) => look(of, json),
        TestsCommand::Read(of) => read(of, units, json),
        TestsCommand::Fit(of) => fit(of, units, json),
        TestsCommand::Compare(of) => compare(&of.tests, units, json),
        TestsCommand::Report(of) => report(of, units, json),
        TestsCommand::Plan(of) => plan(of, units, json),
        TestsCommand::Example(of) => example(of, json),
    }
}

/// Bytes of logs and records kept from one pull to the next: two logs of ten million samples.
const SHELF: usize = 512 << 20;

/// The files beside a test file, and what was made of them: pulls share logs.
struct Beside {
    folder: PathBuf,
    shelf: Shelf,
}

impl Beside {
    fn of(file: &str) -> Self {
        let folder = Path::new(file).parent().filter(|_| file != "-");
        Self {
            folder: folder.unwrap_or(Path::new("")).into(),
            shelf: Shelf::new(SHELF),
        }
    }
}

impl Files for Beside {
    fn read(&self, name: &str) -> Result<Vec<u8>, String> {
        std::fs::read(self.folder.join(name)).map_err(|error| unread(&error))
    }

    fn open(&self, name: &str) -> Result<Box<dyn Read + Send + '_>, String> {
        let path = self.folder.join(name);
        // A folder can be opened, and not be read.
        match path.is_dir() {
            true => Err(unread(&ErrorKind::IsADirectory.into())),
            false => match File::open(path) {
                Ok(file) => Ok(Box::new(file)),
                Err(error) => Err(unread(&error)),
            },
        }
    }

    fn place(&self, name: &str) -> Option<Place<'_>> {
        let about = std::fs::metadata(self.folder.join(name)).ok()?;
        Some(Place {
            shelf: &self.shelf,
            identity: format!("{:?}", Identity::of(&about)),
        })
    }
}

fn unread(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file beside the test file".into(),
        ErrorKind::IsADirectory => "is a folder, not a file".into(),
        ErrorKind::PermissionDenied => "may not be read by you".into(),
        _ => unfetched(error),
    }
}

/// A test file with its text.
fn test_file(file: &str, units: Units) -> Result<(TestFile, String), Failure> {
    let text = text_of(file, FileSort::Tests)?;
    let test = read_tests(&text);
    let test = test.map_err(|problems| Failure::of_study(file, &text, &problems))?;
    Ok((test.said_in(units), text))
}

/// What `work` makes of a test file; `doing` is said on the terminal meanwhile.
fn worked_out<T>(
    file: &str,
    units: Units,
    doing: &'static str,
    work: impl FnOnce(&TestFile, &dyn Files) -> Result<T, TestsError>,
) -> Result<T, Failure> {
    made_of(file, &test_file(file, units)?.0, doing, work)
}

/// The same of a test file that was read.
fn made_of<T>(
    file: &str,
    test: &TestFile,
    doing: &'static str,
    work: impl FnOnce(&TestFile, &dyn Files) -> Result<T, TestsError>,
) -> Result<T, Failure> {
    let _progress = Progress::show(doing);
    work(test, &Beside::of(file)).map_err(|error| Failure::of_tests(file, &error))
}

/// The answer as it is printed, after the files that were written.
fn done(
    answer: &impl Serialize,
    findings: &[Finding],
    wrote: Option<&Path>,
    text: impl FnOnce() -> String,
    json: bool,
) -> Result<Done, Failure> {
    let wrote = wrote.map_or(String::new(), |path| format!("wrote {}\n", path.display()));
    let text = if json {
        json_text(answer)?
    } else {
        wrote + &text()
    };
    Ok(Done {
        text,
        ending: Ending::by(findings),
    })
}

fn overwrite(force: bool) -> Overwrite {
    if force {
        Overwrite::Allowed
    } else {
        Overwrite::Refused
    }
}

fn look(of: &TestsLook, json: bool) -> Result<Done, Failure> {
    let bytes = log_bytes(&of.log)?;
    let answer = {
        let _progress = Progress::show("Looking at the log");
        steadypull_testday::look(&of.log, &bytes)
    };
    let answer = answer.map_err(|error| Failure::of_tests(&of.log, &error))?;
    if let Some(path) = &of.output {
        writing::write(path, answer.recipe.as_bytes(), overwrite(of.force))?;
    }
    let text = || report::tests_look(&answer);
    done(&answer, &[], of.output.as_deref(), text, json)
}

fn log_bytes(file: &str) -> Result<Vec<u8>, Failure> {
    let hint = "check the name, the file and the disk";
    let read = if file == "-" {
        let mut bytes = Vec::new();
        stdin().lock().read_to_end(&mut bytes).map(|_| bytes)
    } else {
        std::fs::read(file)
    };
    read.map_err(|error| match error.kind() {
        ErrorKind::NotFound => Failure::of_file(file, "there is no such file", hint),
        _ => Failure::of_file(file, &format!("cannot be read: {error}"), hint),
    })
}

fn read(of: &TestsRead, units: Units, json: bool) -> Result<Done, Failure> {
    let answer = worked_out(&of.tests, units, "Reading the pulls", |test, files| {
        steadypull_testday::read(test, of.pull.as_deref(), files)
    })?;
    let text = || report::tests_read(&answer, units);
    done(&answer, &answer.findings, None, text, json)
}

fn fit(of: &TestsFit, units: Units, json: bool) -> Result<Done, Failure> {
    let (mut test, _) = test_file(&of.tests, units)?;
    let names: Vec<String> = test.fits.iter().map(|fit| fit.name.clone()).collect();
    let names = || names.join(", ");
    if let Some(wanted) = &of.fit {
        test.fits.retain(|fit| fit.name == *wanted);
        if test.fits.is_empty() {
            let message = format!("asks for no line called \"{wanted}\" to be fitted");
            let hint = format!("it asks for: {}", names());
            return Err(Failure::of_file(&of.tests, &message, &hint));
        }
    }
    if of.use_in.is_some() && test.fits.len() > 1 {
        let message = format!(
            "asks for {} lines, and a line file holds one",
            test.fits.len()
        );
        let hint = format!("say which by --fit: {}", names());
        return Err(Failure::of_file(&of.tests, &message, &hint));
    }
    let answer = made_of(&of.tests, &test, "Fitting lines", steadypull_testday::fit)?;
    if let (Some(path), Some(line)) = (&of.use_in, answer.lines.first()) {
        write_line_file(path, line, of.force)?;
    }
    let text = || report::tests_fit(&answer, units);
    done(&answer, &answer.findings, of.use_in.as_deref(), text, json)
}

/// A line that no plan would take is told now, not when somebody plans with it.
fn write_line_file(path: &Path, line: &FittedLine, force: bool) -> Result<(), Failure> {
    let name = path.display().to_string();
    check_line_file(&name, &line.line_toml).map_err(|problems| {
        let first = problems.problems.first();
        let why = first.map_or(String::new(), |first| format!(": {}", first.message));
        let message = format!("no plan can take this line{why}; nothing was written");
        let hint = "look at the fit without --use: its numbers lie outside of what a line can be";
        Failure::of_file(&name, &message, hint)
    })?;
    writing::write(path, line.line_toml.as_bytes(), overwrite(force))
}

/// The name of a line file to write, for the command line.
pub fn line_file(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    let name = path.file_name().and_then(|name| name.to_str());
    match name.is_some_and(is_line_file) {
        true => Ok(path),
        false => Err(format!(
            "a line file is called NAME{LINE_FILE_ENDING}, NAME of lower-case letters, digits and hyphens"
        )),
    }
}

fn compare(file: &str, units: Units, json: bool) -> Result<Done, Failure> {
    let answer = worked_out(
        file,
        units,
        "Comparing set-ups",
        steadypull_testday::compare,
    )?;
    let text = || report::tests_compare(&answer, units);
    done(&answer, &answer.findings, None, text, json)
}

/// Writes the report, and says what was noticed: it is the reason of the exit code.
fn report(of: &TestsReportFile, units: Units, json: bool) -> Result<Done, Failure> {
    let (test, text) = test_file(&of.tests, units)?;
    let name = Path::new(&of.tests).file_name().filter(|_| of.tests != "-");
    let name = name.map_or("standard input".into(), |name| name.to_string_lossy());
    let worked_out = {
        let _progress = Progress::show("Working out the report");
        let files = Beside::of(&of.tests);
        steadypull_testday::report(&test, (&name, text.as_bytes()), &files)
    };
    let worked_out = worked_out.map_err(|error| Failure::of_tests(&of.tests, &error))?;
    let DocumentFile { path, kind } = &of.output;
    let bytes = match kind {
        FileKind::Pdf => steadypull_brief::test_report_pdf(&worked_out, units),
        _ => steadypull_brief::test_report_html(&worked_out, units).map(String::into_bytes),
    };
    let bytes = bytes.map_err(|error| Failure::other(&error.to_string(), super::REPORT_IT))?;
    writing::write(path, &bytes, overwrite(of.force))?;
    let written = Written {
        findings: worked_out.findings,
        cautions: worked_out.read.cautions,
        ..writing::written(
            vec![writing::file(path, "test report", *kind)],
            vec![],
            None,
        )
    };
    let text = match json {
        true => json_text(&written)?,
        false => report::tests_report(&written),
    };
    Ok(Done {
        text,
        ending: Ending::by(&written.findings),
    })
}

fn plan(of: &TestsPlan, units: Units, json: bool) -> Result<Done, Failure> {
    let text = text_of(&of.day, FileSort::Tests)?;
    let day = read_day(&text).map_err(|problems| Failure::of_study(&of.day, &text, &problems))?;
    let answer = {
        let _progress = Progress::show("Planning the day");
        steadypull_testday::plan(&day.said_in(units), &Beside::of(&of.day))
    };
    let answer = answer.map_err(|error| Failure::of_tests(&of.day, &error))?;
    if let Some(path) = &of.output {
        writing::write(path, csv(&answer.sheet).as_bytes(), overwrite(of.force))?;
    }
    let text = || report::tests_plan(&answer, units);
    done(&answer, &answer.findings, of.output.as_deref(), text, json)
}

/// A table as CSV (RFC 4180).
fn csv(rows: &[Vec<String>]) -> String {
    let cell = |cell: &String| match cell.contains([',', '"', '\n', '\r']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell.clone(),
    };
    let row = |row: &Vec<String>| row.iter().map(cell).collect::<Vec<_>>().join(",") + "\r\n";
    rows.iter().map(row).collect()
}

fn example(of: &TestsExample, json: bool) -> Result<Done, Failure> {
    let files = steadypull_testday::example();
    let files = files.map_err(|error| Failure::other(&error.to_string(), super::REPORT_IT))?;
    writing::make_folder(&of.output)?;
    let mut written = Vec::new();
    for file in files {
        let path = of.output.join(&file.name);
        writing::write(&path, file.text.as_bytes(), overwrite(of.force))?;
        let kind = match path.extension().is_some_and(|ending| ending == "csv") {
            true => FileKind::Csv,
            false => FileKind::Toml,
        };
        written.push(writing::file(&path, file.holds, kind));
    }
    let report = writing::written(written, vec![], None);
    let text = if json {
        json_text(&report)?
    } else {
        writing::written_text(&report, None)
    };
    Ok(Done {
        text,
        ending: Ending::Worked,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What was made of a log counts no longer once its bytes are others.
    #[test]
    fn a_log_that_was_changed_is_read_again() {
        let folder = std::env::temp_dir().join(format!("steadypull-beside-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a folder");
        let files = steadypull_testday::example().expect("the demo");
        let write =
            |name: &str, text: &str| std::fs::write(folder.join(name), text).expect("written");
        files.iter().for_each(|file| write(&file.name, &file.text));
        let log = |name: &str| &files.iter().find(|f| f.name == name).expect("a log").text;
        let test = read_tests(log("tests.toml")).expect("the demo's test file");
        let beside = Beside::of(&folder.join("tests.toml").to_string_lossy());
        let peak = || {
            let answer = steadypull_testday::read(&test, Some("dry-1"), &beside).expect("it reads");
            let pull = &answer.pulls[0];
            (pull.log.sha256.clone(), pull.readings.peak_n.value)
        };
        let (first, kept) = (peak(), peak());
        assert_eq!(first, kept);
        assert!(beside.shelf.bytes() > 0, "it was kept");
        write("dry-1.csv", log("dry-2.csv"));
        let changed = peak();
        std::fs::remove_dir_all(&folder).expect("cleared away");
        assert!(
            changed.0 != first.0 && changed.1 != first.1,
            "{changed:?} {first:?}"
        );
    }
}
