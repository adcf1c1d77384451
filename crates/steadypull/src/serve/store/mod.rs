//! The folder that plans are kept in: plain plan files, one a plan, and the line files that
//! they name; beside it that of test days (`days`).
//!
//! Every change is whole or not at all, made under the folder's lock, and never over a text
//! that its maker has not seen. A plan that is removed moves to `removed/`.

mod day_files;
mod days;
mod file;
mod file_name;
mod name;

use std::fs;
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

use steadypull_contract::answer::CONTRACT_VERSION;
use steadypull_contract::operation::{PlanEntry, PlanList, StoredPlan};
use steadypull_contract::plan_file::{LINE_FILE_ENDING, LONGEST_PLAN};
use steadypull_contract::sha256_of;
use toml::de::{DeTable, DeValue};

pub use day_files::{DayFiles, FileError, LONGEST_FILE, LONGEST_OUT, Piece};
pub use days::{ChangeError, Days};
pub use file_name::{FileName, TESTS};
pub use name::Name;

use crate::answering::line_file_text;

/// Ending of a plan file.
const ENDING: &str = "toml";
/// Where removed plans go, within the folder.
const REMOVED: &str = "removed";

/// The folder.
pub struct Store {
    folder: PathBuf,
}

/// Why a plan or a test day cannot be read, saved or removed.
#[derive(Debug)]
pub enum StoreError {
    /// None of that name is kept.
    Missing,
    /// The file is there and is no text of one, for this reason.
    Unreadable(String),
    /// The text to keep is longer than any.
    TooLong,
    /// The disk, or the right to use it.
    Disk(io::Error),
}

/// What became of a plan or a test file that was to be saved.
pub enum Saved<T> {
    /// It is kept.
    Kept(T),
    /// Another text stands there by now; nothing was changed.
    Conflict(T),
}

impl From<io::Error> for StoreError {
    fn from(error: io::Error) -> Self {
        Self::Disk(error)
    }
}

impl Store {
    /// Opens a folder, making it where it is not there.
    pub fn open(folder: &Path) -> io::Result<Self> {
        fs::create_dir_all(folder)?;
        let folder = fs::canonicalize(folder)?;
        // A folder that cannot be written shows itself now, not at the first save.
        drop(file::lock(&folder)?);
        file::clear_parts(&folder);
        Ok(Self { folder })
    }

    /// Where it is.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Every plan file in the folder, the last changed first; what is wrong with one is
    /// said beside it.
    pub fn list(&self) -> Result<PlanList, StoreError> {
        let mut plans = Vec::new();
        for entry in fs::read_dir(&self.folder)? {
            let path = entry?.path();
            let hidden = |p: &Path| {
                p.file_name()
                    .is_some_and(|n| n.as_encoded_bytes()[0] == b'.')
            };
            let is_plan = path.extension().is_some_and(|ending| ending == ENDING);
            if is_plan && !hidden(&path) && !is_line_file_path(&path) {
                plans.push(listed(&path));
            }
        }
        plans.sort_by(|a, b| (b.changed_s, &a.name).cmp(&(a.changed_s, &b.name)));
        Ok(PlanList {
            contract_version: CONTRACT_VERSION,
            folder: self.folder.display().to_string(),
            plans,
        })
    }

    /// A plan as it is kept.
    pub fn read(&self, name: &Name) -> Result<StoredPlan, StoreError> {
        text_of(&self.path(name)).map(|text| stored(name, text))
    }

    /// Keeps a new plan, under `name` or one with a number after it.
    pub fn add(&self, name: &Name, text: &str) -> Result<StoredPlan, StoreError> {
        fits(text)?;
        let _lock = file::lock(&self.folder)?;
        for number in 1..=file::MOST_ALIKE {
            let name = name.numbered(number);
            match file::create(&self.path(&name), text) {
                Ok(()) => return Ok(stored(&name, text.into())),
                Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error.into()),
            }
        }
        Err(StoreError::Disk(ErrorKind::AlreadyExists.into()))
    }

    /// Keeps a text in place of the one of `revision`.
    pub fn save(
        &self,
        name: &Name,
        text: &str,
        revision: &str,
    ) -> Result<Saved<StoredPlan>, StoreError> {
        fits(text)?;
        let _lock = file::lock(&self.folder)?;
        let standing = self.read(name)?;
        // The same text is kept already, whoever saved it: an answer that was lost on its
        // way must not look like a conflict when it is asked again.
        if standing.plan == text {
            return Ok(Saved::Kept(standing));
        }
        if standing.revision != revision {
            return Ok(Saved::Conflict(standing));
        }
        file::replace(&self.path(name), text)?;
        Ok(Saved::Kept(stored(name, text.into())))
    }

    /// Moves a plan to the removed ones and gives it back once more.
    pub fn remove(&self, name: &Name) -> Result<StoredPlan, StoreError> {
        let _lock = file::lock(&self.folder)?;
        let plan = self.read(name)?;
        let removed = self.folder.join(REMOVED);
        file::put_away(&self.path(name), &removed, name.as_str(), ".toml")?;
        Ok(plan)
    }

    /// The text of a plan or a line file here, by the name of its file.
    pub fn file(&self, name: &str) -> Option<String> {
        let plan = || {
            let stem = name.strip_suffix(ENDING)?.strip_suffix('.')?;
            text_of(&self.path(&Name::new(stem).ok()?)).ok()
        };
        self.line_file(name).or_else(plan)
    }

    /// The text of a line file that plans here may name; none where there is none that can be
    /// read. A plain name alone leads to one.
    pub fn line_file(&self, name: &str) -> Option<String> {
        let stem = Name::new(name.strip_suffix(LINE_FILE_ENDING)?).ok()?;
        line_file_text(&self.folder.join(line_file(&stem))).ok()
    }

    /// Keeps a line file under `name`, or one with a number after it where another text has
    /// that; the name of the file. A plan that names a line never gets another by this.
    pub fn add_line(&self, name: &Name, text: &str) -> Result<String, StoreError> {
        let _lock = file::lock(&self.folder)?;
        for number in 1..=file::MOST_ALIKE {
            let name = line_file(&name.numbered(number));
            let path = self.folder.join(&name);
            match file::create(&path, text) {
                Ok(()) => return Ok(name),
                Err(error) if error.kind() != ErrorKind::AlreadyExists => return Err(error.into()),
                Err(_) if line_file_text(&path).is_ok_and(|standing| standing == text) => {
                    return Ok(name);
                }
                Err(_) => {}
            }
        }
        Err(StoreError::Disk(ErrorKind::AlreadyExists.into()))
    }

    fn path(&self, name: &Name) -> PathBuf {
        self.folder.join(format!("{}.{ENDING}", name.as_str()))
    }
}

fn line_file(name: &Name) -> String {
    format!("{}{LINE_FILE_ENDING}", name.as_str())
}

/// Line files lie beside the plans and are none.
fn is_line_file_path(path: &Path) -> bool {
    let name = path.file_name().map(|name| name.to_string_lossy());
    name.is_some_and(|name| name.ends_with(LINE_FILE_ENDING))
}

/// The title that a plan gives itself, as far as it can be made out.
pub fn title_of(text: &str) -> Option<String> {
    let (table, _mistakes) = DeTable::parse_recoverable(text);
    match table.get_ref().get("title")?.get_ref() {
        DeValue::String(title) => Some(title.to_string()),
        _ => None,
    }
}

fn stored(name: &Name, plan: String) -> StoredPlan {
    StoredPlan {
        contract_version: CONTRACT_VERSION,
        name: name.as_str().into(),
        revision: revision_of(&plan),
        plan,
    }
}

/// The revision is the text's own hash: the same wherever it is worked out, and another
/// one whenever anybody changed the file, by whatever means.
fn revision_of(text: &str) -> String {
    sha256_of(text)
}

fn fits(text: &str) -> Result<(), StoreError> {
    match text.len() > LONGEST_PLAN {
        true => Err(StoreError::TooLong),
        false => Ok(()),
    }
}

fn listed(path: &Path) -> PlanEntry {
    let name = path.file_stem().unwrap_or_default().to_string_lossy();
    let changed = fs::metadata(path);
    let (title, problem) = match (Name::new(&name), text_of(path)) {
        (_, Err(error)) => (None, Some(words_of(&error))),
        (Err(why), Ok(text)) => (
            title_of(&text),
            Some(format!(
                "cannot be opened here under its name: {why}; rename the file"
            )),
        ),
        (Ok(_), Ok(text)) => (title_of(&text), None),
    };
    PlanEntry {
        name: name.into_owned(),
        title,
        changed_s: changed.map_or(0, |about| changed_s(&about)),
        problem,
    }
}

/// When a file was last changed, seconds since 1970 began (UTC).
fn changed_s(about: &fs::Metadata) -> u64 {
    let changed = about.modified().ok();
    let since = changed.and_then(|time| time.duration_since(UNIX_EPOCH).ok());
    since.map_or(0, |since| since.as_secs())
}

fn words_of(error: &StoreError) -> String {
    match error {
        StoreError::Missing => "is gone".into(),
        StoreError::Unreadable(why) => why.clone(),
        StoreError::TooLong => format!("is too long: over {LONGEST_PLAN} bytes"),
        StoreError::Disk(error) => format!("cannot be read: {error}"),
    }
}

/// The text of a plan file.
fn text_of(path: &Path) -> Result<String, StoreError> {
    // Looked at first: to open a pipe would wait for somebody to write.
    if !fs::metadata(path).map_err(unopened)?.is_file() {
        return Err(StoreError::Unreadable("is no file".into()));
    }
    text_in(fs::File::open(path).map_err(unopened)?)
}

fn unopened(error: io::Error) -> StoreError {
    match error.kind() {
        ErrorKind::NotFound => StoreError::Missing,
        _ => StoreError::Disk(error),
    }
}

/// The text in a file, if it can be that of a plan or a test file.
fn text_in(file: fs::File) -> Result<String, StoreError> {
    let mut bytes = Vec::new();
    let most = LONGEST_PLAN as u64 + 1;
    file.take(most).read_to_end(&mut bytes)?;
    if bytes.len() > LONGEST_PLAN {
        return Err(StoreError::Unreadable(words_of(&StoreError::TooLong)));
    }
    String::from_utf8(bytes).map_err(|_| {
        StoreError::Unreadable("is no text in UTF-8: save it as plain text, UTF-8".into())
    })
}
