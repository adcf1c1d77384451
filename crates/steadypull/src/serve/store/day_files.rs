//! The files of a test day: put in, listed, taken out, and read for whatever the test file
//! names. Nothing but the day's own files is ever opened.

use std::collections::HashMap;
use std::fs::{self, Metadata};
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use axum::body::Bytes;
use sha2::{Digest, Sha256};
use steadypull_contract::answer::CONTRACT_VERSION;
use steadypull_contract::operation::{KeptTestFile, StoredTestDay, TestDayFile, TestDayFileKind};
use steadypull_contract::plan_file::{CellEntry, LONGEST_PLAN, PullEntry, TestFile, read_tests};
use steadypull_contract::{hex, sha256_read};
use steadypull_testday::{Files, Place, too_long, unfetched};
use toml::de::DeTable;

use super::file_name::{FileName, REMOVED, TESTS};
use super::{Days, Name, StoreError, file};
use crate::file_identity::Identity;

/// Longest file of a test day, bytes.
pub const LONGEST_FILE: u64 = 1 << 30;
/// Longest file that is handed out, bytes: it is held whole. Certificates and recipes are
/// short; a long log is copied out of the folder by hand.
pub const LONGEST_OUT: u64 = 32 << 20;
/// Files whose hashes are remembered.
const MOST_HASHES: usize = 4096;
/// Most bytes that are hashed for one listing: whoever lists waits for it. What is left over is
/// hashed at the next.
const HASHED_AT_ONCE: u64 = 32 << 20;
/// Endings of logs.
const LOGS: [&str; 10] = [
    ".csv", ".txt", ".tsv", ".dat", ".log", ".asc", ".xlsx", ".xls", ".parquet", ".wav",
];

/// Hashes of files by what tells whether they were changed since.
pub(super) type Hashes = Mutex<HashMap<Identity, String>>;

/// A piece of a file that comes in.
pub enum Piece {
    /// Its next bytes.
    Data(Bytes),
    /// There are no more; without this it broke off.
    End,
}

/// Why a file is not put into a day, or not taken out.
#[derive(Debug)]
pub enum FileError {
    /// The store.
    Store(StoreError),
    /// There is no such file.
    Missing,
    /// Other bytes stand there under that name.
    Differs,
    /// The test file names it.
    Named,
    /// It broke off.
    BrokeOff,
    /// There is nothing in it.
    Empty,
    /// It is longer than any.
    TooLong,
    /// It is longer than what is handed out.
    TooLongOut,
    /// What stands there is no file of its own.
    NoFile(String),
}

impl<E: Into<StoreError>> From<E> for FileError {
    fn from(error: E) -> Self {
        Self::Store(error.into())
    }
}

impl Days {
    /// Keeps a file that comes in pieces: whole or not at all, and never over other bytes.
    pub fn receive(
        &self,
        day: &Name,
        name: &FileName,
        mut next: impl FnMut() -> Option<Piece>,
    ) -> Result<KeptTestFile, FileError> {
        let path = self.path(day)?.join(name.as_str());
        let mut part = file::Part::beside(&path)?;
        let (mut hash, mut bytes) = (Sha256::new(), 0_u64);
        loop {
            match next() {
                Some(Piece::Data(data)) => {
                    bytes += data.len() as u64;
                    if bytes > LONGEST_FILE {
                        return Err(FileError::TooLong);
                    }
                    hash.update(&data);
                    part.write(&data)?;
                }
                Some(Piece::End) if bytes == 0 => return Err(FileError::Empty),
                Some(Piece::End) => break,
                None => return Err(FileError::BrokeOff),
            }
        }
        let sha256 = hex(&hash.finalize());
        // The disk takes its time; nobody else has to wait for it.
        self.place(part.flushed()?, &path, &sha256)?;
        Ok(KeptTestFile {
            contract_version: CONTRACT_VERSION,
            name: name.as_str().into(),
            bytes,
            sha256,
            kind: kind(&path, name, None),
        })
    }

    /// Keeps a text as a file of a day, never over another.
    pub fn keep_text(&self, day: &Name, name: &FileName, text: &str) -> Result<(), FileError> {
        let bytes = Bytes::copy_from_slice(text.as_bytes());
        let mut pieces = [Piece::Data(bytes), Piece::End].into_iter();
        self.receive(day, name, || pieces.next()).map(drop)
    }

    /// Puts a whole file where none stands; one of the same bytes will do.
    fn place(&self, part: file::Part, path: &Path, sha256: &str) -> Result<(), FileError> {
        let lock = file::lock(self.folder())?;
        let placed = part.create(path);
        drop(lock);
        match placed {
            Ok(()) => {
                let about = fs::symlink_metadata(path)?;
                self.remember(&about, sha256);
                Ok(())
            }
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {
                let same = self.hash_of(path).map_err(|error| match error.kind() {
                    ErrorKind::InvalidInput => FileError::NoFile(error.to_string()),
                    _ => error.into(),
                })?;
                match same == sha256 {
                    true => Ok(()),
                    false => Err(FileError::Differs),
                }
            }
            Err(error) => Err(error.into()),
        }
    }

    /// The bytes of a file.
    pub fn hand_out(&self, day: &Name, name: &FileName) -> Result<Vec<u8>, FileError> {
        let path = self.path(day)?.join(name.as_str());
        let (file, about) = file::open_own(&path).map_err(|error| match error.kind() {
            ErrorKind::NotFound => FileError::Missing,
            ErrorKind::InvalidInput => FileError::NoFile(error.to_string()),
            _ => error.into(),
        })?;
        if about.len() > LONGEST_OUT {
            return Err(FileError::TooLongOut);
        }
        let mut bytes = Vec::with_capacity(about.len() as usize);
        file.take(LONGEST_OUT).read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    /// Moves a file to the day's removed ones.
    pub fn remove_file(&self, day: &Name, name: &FileName) -> Result<StoredTestDay, FileError> {
        let _lock = file::lock(self.folder())?;
        let folder = self.path(day)?;
        let (text, _) = self.text(day)?;
        // A file whose use cannot be told stays: the test file has to read first.
        if names(&text, name.as_str()) {
            return Err(FileError::Named);
        }
        let path = folder.join(name.as_str());
        let there = fs::symlink_metadata(&path).map_err(|_| FileError::Missing)?;
        if there.is_dir() {
            return Err(FileError::NoFile("is a folder".into()));
        }
        let (stem, ending) = name.parts();
        file::put_away(&path, &folder.join(REMOVED), stem, ending)?;
        Ok(self.read(day)?)
    }

    /// The files of a day, for whatever its test file names.
    pub fn files(&self, day: &Name) -> Result<DayFiles<'_>, StoreError> {
        let folder = self.path(day)?;
        Ok(DayFiles { days: self, folder })
    }

    /// Every file of a day but its test file, by name.
    pub(super) fn listed_files(
        &self,
        folder: &Path,
        test: Option<&TestFile>,
    ) -> Result<Vec<TestDayFile>, StoreError> {
        let (mut files, mut room) = (Vec::new(), HASHED_AT_ONCE);
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            let name = entry.file_name().to_string_lossy().into_owned();
            let is_dir = entry.file_type()?.is_dir();
            if !is_dir && !name.starts_with('.') && name != TESTS {
                let file = self.listed_file(&entry.path(), name, test);
                files.push(self.with_hash(file, &entry.path(), &mut room));
            }
        }
        files.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(files)
    }

    fn listed_file(&self, path: &Path, name: String, test: Option<&TestFile>) -> TestDayFile {
        let about = fs::symlink_metadata(path).ok().filter(Metadata::is_file);
        let (kind, problem) = match (FileName::new(&name), &about) {
            (_, None) => {
                let why = "is no file of its own here, but a link or a pipe";
                (TestDayFileKind::Other, Some(why.into()))
            }
            (Err(why), _) => {
                let why = format!("cannot be used here under its name: {why}; rename the file");
                (TestDayFileKind::Other, Some(why))
            }
            (Ok(file_name), _) => (kind(path, &file_name, test), None),
        };
        let hashes = self.hashes.lock().unwrap_or_else(PoisonError::into_inner);
        let known = about.as_ref().map(Identity::of);
        TestDayFile {
            name,
            bytes: about.map_or(0, |about| about.len()),
            sha256: known.and_then(|known| hashes.get(&known).cloned()),
            kind,
            problem,
        }
    }

    /// The same with its hash, if that fits into `room`, which gets smaller by its length.
    fn with_hash(&self, file: TestDayFile, path: &Path, room: &mut u64) -> TestDayFile {
        if file.sha256.is_some() || file.problem.is_some() || file.bytes > *room {
            return file;
        }
        *room -= file.bytes;
        // One that cannot be read is listed all the same.
        let sha256 = self.hash_of(path).ok();
        TestDayFile { sha256, ..file }
    }

    fn remember(&self, about: &Metadata, sha256: &str) {
        let mut hashes = self.hashes.lock().unwrap_or_else(PoisonError::into_inner);
        if hashes.len() >= MOST_HASHES {
            hashes.clear();
        }
        hashes.insert(Identity::of(about), sha256.into());
    }

    /// The hash of a file, by its bytes.
    fn hash_of(&self, path: &Path) -> io::Result<String> {
        let (mut file, about) = file::open_own(path)?;
        let (hash, _) = sha256_read(&mut file)?;
        self.remember(&about, &hash);
        Ok(hash)
    }
}

/// The files of one day.
pub struct DayFiles<'d> {
    days: &'d Days,
    folder: PathBuf,
}

impl DayFiles<'_> {
    /// Where a file of the day is: in its own folder, by a plain name.
    fn path(&self, name: &str) -> Result<PathBuf, String> {
        let name = FileName::new(name).map_err(|why| {
            format!("only files in the test day's own folder are read here, by a plain name: {why}")
        })?;
        Ok(self.folder.join(name.as_str()))
    }

    /// A file of at most `most` bytes, to be read, and how many it has.
    fn fetched(&self, name: &str, most: usize) -> Result<(io::Take<fs::File>, usize), String> {
        let path = self.path(name)?;
        let (file, about) = file::open_own(&path).map_err(|error| match error.kind() {
            ErrorKind::NotFound => "there is no such file in the test day".to_string(),
            ErrorKind::InvalidInput => error.to_string(),
            _ => unfetched(&error),
        })?;
        match about.len() > most as u64 {
            true => Err(too_long(most)),
            false => Ok((file.take(most as u64), about.len() as usize)),
        }
    }
}

impl Files for DayFiles<'_> {
    fn read(&self, name: &str) -> Result<Vec<u8>, String> {
        self.read_short(name, LONGEST_FILE as usize)
    }

    fn open(&self, name: &str) -> Result<Box<dyn Read + Send + '_>, String> {
        let (file, _) = self.fetched(name, LONGEST_FILE as usize)?;
        Ok(Box::new(file))
    }

    fn read_short(&self, name: &str, most: usize) -> Result<Vec<u8>, String> {
        let (mut file, length) = self.fetched(name, most)?;
        let mut bytes = Vec::with_capacity(length);
        let read = file.read_to_end(&mut bytes);
        read.map_err(|error| unfetched(&error))?;
        Ok(bytes)
    }

    fn place(&self, name: &str) -> Option<Place<'_>> {
        let about = fs::symlink_metadata(self.path(name).ok()?).ok()?;
        about.is_file().then(|| Place {
            shelf: &self.days.shelf,
            identity: format!("{:?}", Identity::of(&about)),
        })
    }
}

/// Whether a test file names `file`, or does not read so that it cannot be told.
fn names(text: &str, file: &str) -> bool {
    match read_tests(text) {
        Ok(test) => use_of(&test, file).is_some(),
        Err(_) => text.contains(file),
    }
}

/// What a test file takes a file for.
fn use_of(test: &TestFile, file: &str) -> Option<TestDayFileKind> {
    let pulls = &test.pulls;
    let this = |name: Option<&String>| name.is_some_and(|name| name == file);
    let marks = |pull: &PullEntry| {
        let footage = pull.footage.as_ref();
        footage.is_some_and(|seen| seen.marks == file || this(seen.other_end.as_ref()))
    };
    let certificate = |cell: &CellEntry| {
        let kept = cell.certificate_file.as_ref();
        kept.is_some_and(|kept| kept.name == file)
    };
    if pulls.iter().any(|pull| pull.log == file) {
        Some(TestDayFileKind::Log)
    } else if pulls.iter().any(|pull| pull.recipe == file) {
        Some(TestDayFileKind::Recipe)
    } else if test.predicts.iter().any(|entry| this(entry.plan.as_ref())) {
        Some(TestDayFileKind::Plan)
    } else if test.cells.iter().any(certificate) {
        Some(TestDayFileKind::Certificate)
    } else {
        pulls.iter().any(marks).then_some(TestDayFileKind::Other)
    }
}

/// What a file is: as the test file takes it, or else by its ending and its first keys.
fn kind(path: &Path, name: &FileName, test: Option<&TestFile>) -> TestDayFileKind {
    if let Some(kind) = test.and_then(|test| use_of(test, name.as_str())) {
        return kind;
    }
    let ending = name.parts().1.to_ascii_lowercase();
    if LOGS.contains(&&ending[..]) {
        return TestDayFileKind::Log;
    }
    match ending == ".toml" {
        true => toml_kind(path).unwrap_or(TestDayFileKind::Other),
        false => TestDayFileKind::Other,
    }
}

fn toml_kind(path: &Path) -> Option<TestDayFileKind> {
    let (file, _) = file::open_own(path).ok()?;
    let mut text = String::new();
    file.take(LONGEST_PLAN as u64)
        .read_to_string(&mut text)
        .ok()?;
    let (table, _) = DeTable::parse_recoverable(&text);
    let keys: Vec<&str> = table
        .get_ref()
        .keys()
        .map(|key| &key.get_ref()[..])
        .collect();
    match &keys[..] {
        ["line"] => Some(TestDayFileKind::Line),
        keys if keys.contains(&"layout") => Some(TestDayFileKind::Recipe),
        keys if keys.contains(&"casualty") => Some(TestDayFileKind::Plan),
        _ => None,
    }
}
