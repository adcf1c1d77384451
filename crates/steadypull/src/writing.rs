//! Files that commands write.

use std::fs;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use steadypull_contract::answer::{Answer, CONTRACT_VERSION};
use steadypull_contract::printed::{FileKind, SkippedFigure, Written, WrittenFile};

use crate::failure::Failure;
use crate::report::Page;

/// Where a brief or a report goes, and in which form.
#[derive(Debug, Clone)]
pub struct DocumentFile {
    /// The file.
    pub path: PathBuf,
    /// Its form, by its ending.
    pub kind: FileKind,
}

/// The file that a document is to be written to, for the command line.
pub fn document_file(text: &str) -> Result<DocumentFile, String> {
    let path = PathBuf::from(text);
    let ending = path
        .extension()
        .map(|e| e.to_string_lossy().to_ascii_lowercase());
    let kind = match ending.as_deref() {
        Some("pdf") => FileKind::Pdf,
        Some("html") => FileKind::Html,
        _ => return Err("it is written to NAME.pdf or NAME.html".into()),
    };
    Ok(DocumentFile { path, kind })
}

/// Whether a file that is there may be written over.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Overwrite {
    /// It may.
    Allowed,
    /// It may not.
    Refused,
}

/// Writes `bytes` to `path`.
pub fn write(path: &Path, bytes: &[u8], overwrite: Overwrite) -> Result<(), Failure> {
    let mut open = fs::OpenOptions::new();
    open.write(true);
    match overwrite {
        Overwrite::Allowed => open.create(true).truncate(true),
        Overwrite::Refused => open.create_new(true),
    };
    let written = open.open(path).and_then(|mut file| file.write_all(bytes));
    written.map_err(|error| unwritable(path, &error))
}

/// Makes the folder `path`, if it is not there.
pub fn make_folder(path: &Path) -> Result<(), Failure> {
    fs::create_dir_all(path).map_err(|error| unwritable(path, &error))
}

fn unwritable(path: &Path, error: &std::io::Error) -> Failure {
    let file = path.display().to_string();
    match error.kind() {
        ErrorKind::AlreadyExists => Failure::of_file(
            &file,
            "is there already; nothing was written",
            "--force writes over it",
        ),
        ErrorKind::NotFound => {
            Failure::of_file(&file, "its folder is not there", "make the folder first")
        }
        ErrorKind::PermissionDenied => {
            Failure::of_file(&file, "may not be written by you", "choose another place")
        }
        _ => {
            let message = format!("cannot be written: {error}");
            Failure::of_file(&file, &message, "choose another place, or check the disk")
        }
    }
}

/// The report on what was written for `answer`, or for no plan at all.
pub fn written(
    written: Vec<WrittenFile>,
    skipped: Vec<SkippedFigure>,
    answer: Option<Answer>,
) -> Written {
    let (findings, cautions) = match answer {
        Some(answer) => (answer.findings, answer.cautions),
        None => (vec![], vec![]),
    };
    Written {
        contract_version: CONTRACT_VERSION,
        written,
        skipped,
        findings,
        cautions,
    }
}

/// One file of a report.
pub fn file(path: &Path, holds: &str, kind: FileKind) -> WrittenFile {
    WrittenFile {
        file: path.display().to_string(),
        holds: holds.into(),
        kind,
    }
}

/// The same report for people.
pub fn written_text(report: &Written, headline: Option<&str>) -> String {
    let mut page = Page::default();
    for one in &report.written {
        // A long path stays whole, so that it can be copied.
        page.drawn(&format!("wrote {} ({})", one.file, one.holds));
    }
    for one in &report.skipped {
        page.flush_left(&format!("left out {}: {}", one.figure, one.why));
    }
    if let Some(headline) = headline {
        page.flush_left(&format!("verdict: {headline}"));
    }
    for caution in &report.cautions {
        page.item("!", caution);
    }
    page.finish()
}
