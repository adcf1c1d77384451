//! The folder that test days are kept in: one folder a day, with its test file and whatever
//! that names. A day that is removed moves to `removed/`, a file of one to the day's own.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use steadypull_contract::answer::CONTRACT_VERSION;
use steadypull_contract::operation::{StoredTestDay, TestDayEntry, TestDayList, order_in_tests};
use steadypull_contract::plan_file::{TestFile, read_tests};
use steadypull_contract::printed::Errors;
use steadypull_testday::Shelf;

use super::day_files::Hashes;
use super::file_name::{REMOVED, TESTS};
use super::{
    Name, Saved, StoreError, changed_s, file, fits, revision_of, text_in, title_of, unopened,
    words_of,
};

/// The folder.
pub struct Days {
    folder: PathBuf,
    /// Hashes of files that were worked out lately.
    pub(super) hashes: Hashes,
    /// Logs and records of all days, for the next question about the same.
    pub(super) shelf: Shelf,
}

/// Most bytes of logs and records that are kept in memory: four or so of ten million rows.
const SHELF: usize = 1 << 30;

/// Why a test file is not changed.
pub enum ChangeError {
    /// The change itself cannot be made.
    Change(Errors),
    /// The store.
    Store(StoreError),
}

impl<E: Into<StoreError>> From<E> for ChangeError {
    fn from(error: E) -> Self {
        Self::Store(error.into())
    }
}

impl Days {
    /// Opens a folder, making it where it is not there.
    pub fn open(folder: &Path) -> io::Result<Self> {
        fs::create_dir_all(folder)?;
        let folder = fs::canonicalize(folder)?;
        // A folder that cannot be written shows itself now, not at the first save.
        drop(file::lock(&folder)?);
        file::clear_parts(&folder);
        for entry in fs::read_dir(&folder)?.flatten() {
            if entry.file_type().is_ok_and(|kind| kind.is_dir()) {
                file::clear_parts(&entry.path());
            }
        }
        Ok(Self {
            folder,
            hashes: Hashes::default(),
            shelf: Shelf::new(SHELF),
        })
    }

    /// Where it is.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Every folder in the folder, the last changed first; what is wrong with one is said
    /// beside it.
    pub fn list(&self) -> Result<TestDayList, StoreError> {
        let mut days = Vec::new();
        for entry in fs::read_dir(&self.folder)? {
            let entry = entry?;
            let name = entry.file_name().to_string_lossy().into_owned();
            // A link may lead to a folder, and is listed with what is wrong with it.
            let may_be_one = entry.path().is_dir();
            if may_be_one && !name.starts_with('.') && name != REMOVED {
                days.push(listed(name, &entry.path()));
            }
        }
        days.sort_by(|a, b| (b.changed_s, &a.name).cmp(&(a.changed_s, &b.name)));
        Ok(TestDayList {
            contract_version: CONTRACT_VERSION,
            folder: self.folder.display().to_string(),
            days,
        })
    }

    /// A test day as it is kept.
    pub fn read(&self, name: &Name) -> Result<StoredTestDay, StoreError> {
        let path = self.path(name)?;
        let (text, changed_s) = test_text(&path)?;
        let (test, mistakes, more) = match read_tests(&text) {
            Ok(test) => (Some(test), Vec::new(), 0),
            Err(problems) => {
                let errors = Errors::of_plan(None, &problems);
                (None, errors.errors, errors.more)
            }
        };
        let names =
            |list: &dyn Fn(&TestFile) -> Vec<String>| test.as_ref().map_or_else(Vec::new, list);
        Ok(StoredTestDay {
            contract_version: CONTRACT_VERSION,
            name: name.as_str().into(),
            revision: revision_of(&text),
            changed_s,
            mistakes,
            more,
            files: self.listed_files(&path, test.as_ref())?,
            pulls: test.iter().flat_map(|t| &t.pulls).map(Into::into).collect(),
            cells: names(&|t| t.cells.iter().map(|c| c.name.clone()).collect()),
            setups: names(&|t| t.setups.iter().map(|s| s.name.clone()).collect()),
            fits: names(&|t| t.fits.iter().map(|f| f.name.clone()).collect()),
            comparisons: names(&|t| t.compares.iter().map(|c| c.name.clone()).collect()),
            order: order_in_tests(&text),
            text,
        })
    }

    /// The test file of a day: its text and its revision.
    pub fn text(&self, name: &Name) -> Result<(String, String), StoreError> {
        let (text, _) = test_text(&self.path(name)?)?;
        let revision = revision_of(&text);
        Ok((text, revision))
    }

    /// Keeps a new day of these files, its test file among them, under `name` or one with a
    /// number after it.
    pub fn add(
        &self,
        name: &Name,
        files: &[(String, String)],
    ) -> Result<StoredTestDay, StoreError> {
        let part = file::part_beside(&self.folder.join(name.as_str()));
        let added = filled(&part, files).and_then(|()| self.placed(name, &part));
        if added.is_err() {
            // One that stays is cleared away later.
            let _ = fs::remove_dir_all(&part);
        }
        self.read(&added?)
    }

    /// Moves a whole folder to where no other stands, and gives the name that it got.
    fn placed(&self, name: &Name, part: &Path) -> io::Result<Name> {
        let _lock = file::lock(&self.folder)?;
        for number in 1..=file::MOST_ALIKE {
            let name = name.numbered(number);
            let path = self.folder.join(name.as_str());
            if name.as_str() != REMOVED && fs::symlink_metadata(&path).is_err() {
                fs::rename(part, &path)?;
                file::sync_folder(&self.folder)?;
                return Ok(name);
            }
        }
        Err(ErrorKind::AlreadyExists.into())
    }

    /// Keeps a test file in place of the one of `revision`.
    pub fn save(
        &self,
        name: &Name,
        text: &str,
        revision: &str,
    ) -> Result<Saved<StoredTestDay>, StoreError> {
        fits(text)?;
        let _lock = file::lock(&self.folder)?;
        let (standing, at) = self.text(name)?;
        // The same text is kept already, whoever saved it.
        if standing == text {
            return self.read(name).map(Saved::Kept);
        }
        if at != revision {
            return self.read(name).map(Saved::Conflict);
        }
        file::replace(&self.path(name)?.join(TESTS), text)?;
        self.read(name).map(Saved::Kept)
    }

    /// Changes the test file of `revision`.
    pub fn change(
        &self,
        name: &Name,
        revision: &str,
        change: impl FnOnce(&str) -> Result<String, Errors>,
    ) -> Result<Saved<StoredTestDay>, ChangeError> {
        let (text, at) = self.text(name)?;
        if at != revision {
            return Ok(Saved::Conflict(self.read(name)?));
        }
        let changed = change(&text).map_err(ChangeError::Change)?;
        // Whoever was faster meanwhile is seen by the save.
        Ok(self.save(name, &changed, revision)?)
    }

    /// Gives a day another name; none where another day, or anything else, has it already.
    pub fn rename(&self, name: &Name, to: &Name) -> Result<Option<StoredTestDay>, StoreError> {
        let _lock = file::lock(&self.folder)?;
        let (from, path) = (self.path(name)?, self.folder.join(to.as_str()));
        if to.as_str() == REMOVED || fs::symlink_metadata(&path).is_ok() {
            return Ok(None);
        }
        fs::rename(from, path)?;
        file::sync_folder(&self.folder)?;
        self.read(to).map(Some)
    }

    /// Moves a day to the removed ones and gives it back once more.
    pub fn remove(&self, name: &Name) -> Result<StoredTestDay, StoreError> {
        let _lock = file::lock(&self.folder)?;
        let day = self.read(name)?;
        let removed = self.folder.join(REMOVED);
        file::put_away(&self.path(name)?, &removed, name.as_str(), "")?;
        Ok(day)
    }

    /// The folder of a day, which is one: no link to elsewhere.
    pub(super) fn path(&self, name: &Name) -> Result<PathBuf, StoreError> {
        let path = self.folder.join(name.as_str());
        let there = fs::symlink_metadata(&path).map_err(unopened)?;
        match (name.as_str(), there.is_dir()) {
            (REMOVED, _) => Err(StoreError::Missing),
            (_, true) => Ok(path),
            (_, false) => Err(StoreError::Unreadable(NO_FOLDER.into())),
        }
    }
}

const NO_FOLDER: &str = "is no folder of its own here, but a link or a file";

/// A folder of these files, on the disk.
fn filled(folder: &Path, files: &[(String, String)]) -> io::Result<()> {
    fs::create_dir(folder)?;
    for (name, text) in files {
        file::create(&folder.join(name), text)?;
    }
    file::sync_folder(folder)
}

/// The text of a day's test file, and when it was changed.
fn test_text(folder: &Path) -> Result<(String, u64), StoreError> {
    let path = folder.join(TESTS);
    let (open, about) = file::open_own(&path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => StoreError::Unreadable(format!("holds no {TESTS}")),
        ErrorKind::InvalidInput => StoreError::Unreadable(format!("has a {TESTS} that {error}")),
        _ => StoreError::Disk(error),
    })?;
    Ok((text_in(open)?, changed_s(&about)))
}

fn listed(name: String, path: &Path) -> TestDayEntry {
    let own = fs::symlink_metadata(path).is_ok_and(|there| there.is_dir());
    let text = match own {
        true => test_text(path),
        false => Err(StoreError::Unreadable(NO_FOLDER.into())),
    };
    let (text, changed_s, problem) = match (Name::new(&name), text) {
        (_, Err(error)) => (None, 0, Some(words_of(&error))),
        (Ok(_), Ok((text, at))) => (Some(text), at, None),
        (Err(why), Ok((text, at))) => {
            let why = format!("cannot be opened here under its name: {why}; rename the folder");
            (Some(text), at, Some(why))
        }
    };
    TestDayEntry {
        name,
        title: text.as_deref().and_then(title_of),
        revision: text.as_deref().map(revision_of),
        changed_s,
        problem,
    }
}
