//! Files that are there whole or not at all, whenever the program is killed.

use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

/// Ending of a file that is being written.
const PART: &str = "part";
/// A part left this long ago is of a program that was killed.
const LEFT: Duration = Duration::from_secs(3600);
/// Most files of one name, told apart by a number.
pub const MOST_ALIKE: u32 = 10_000;

/// A file that is being written: gone again unless it is put in place.
pub struct Part {
    path: PathBuf,
    file: Option<File>,
}

impl Part {
    /// A new one in the folder that `path` is in.
    pub fn beside(path: &Path) -> io::Result<Self> {
        let path = part_beside(path);
        let file = Some(File::create(&path)?);
        Ok(Self { path, file })
    }

    /// Adds bytes.
    pub fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        match &mut self.file {
            Some(file) => file.write_all(bytes),
            None => Err(ErrorKind::NotConnected.into()),
        }
    }

    /// Flushes it to the disk; nothing can be added any more.
    fn finish(&mut self) -> io::Result<()> {
        self.file.take().map_or(Ok(()), |file| file.sync_all())
    }

    /// Puts it at `path`, in place of what stands there: what is read there at any moment
    /// is the old file or the new one.
    pub fn replace(mut self, path: &Path) -> io::Result<()> {
        self.finish()?;
        fs::rename(&self.path, path)?;
        path.parent().map_or(Ok(()), sync_folder)
    }

    /// Flushes it, so that putting it in place takes no time.
    pub fn flushed(mut self) -> io::Result<Self> {
        self.finish()?;
        Ok(self)
    }

    /// Puts it at `path` where nothing stands yet; `AlreadyExists` otherwise.
    pub fn create(mut self, path: &Path) -> io::Result<()> {
        self.finish()?;
        match fs::hard_link(&self.path, path) {
            // The file is in place; a part that stays is cleared away later.
            Ok(()) => {}
            Err(error) if error.kind() == ErrorKind::AlreadyExists => return Err(error),
            // Some file systems have no such links; the folder is locked, so that nothing
            // of ours comes between the look and the move.
            Err(_) if fs::symlink_metadata(path).is_err() => fs::rename(&self.path, path)?,
            Err(_) => return Err(ErrorKind::AlreadyExists.into()),
        }
        path.parent().map_or(Ok(()), sync_folder)
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        // Some systems take no file away that is open.
        self.file = None;
        let _ = fs::remove_file(&self.path);
    }
}

/// Puts `text` at `path`, in place of what stands there.
pub fn replace(path: &Path, text: &str) -> io::Result<()> {
    let mut part = Part::beside(path)?;
    part.write(text.as_bytes())?;
    part.replace(path)
}

/// Puts `text` at `path` where nothing stands yet; `AlreadyExists` otherwise.
pub fn create(path: &Path, text: &str) -> io::Result<()> {
    let mut part = Part::beside(path)?;
    part.write(text.as_bytes())?;
    part.create(path)
}

/// Moves what is at `from` to `removed`, as `stem-1ending` or with the next free number.
pub fn put_away(from: &Path, removed: &Path, stem: &str, ending: &str) -> io::Result<()> {
    fs::create_dir_all(removed)?;
    for number in 1..=MOST_ALIKE {
        let to = removed.join(format!("{stem}-{number}{ending}"));
        if fs::symlink_metadata(&to).is_err() {
            fs::rename(from, &to)?;
            sync_folder(removed)?;
            return from.parent().map_or(Ok(()), sync_folder);
        }
    }
    Err(ErrorKind::AlreadyExists.into())
}

/// Opens a file that is one: no link to elsewhere, no folder, no pipe.
pub fn open_own(path: &Path) -> io::Result<(File, Metadata)> {
    let none = || io::Error::new(ErrorKind::InvalidInput, "is a link, a folder or no file");
    // Looked at first: to open a pipe would wait for somebody to write.
    let there = fs::symlink_metadata(path)?;
    if !there.is_file() {
        return Err(none());
    }
    let file = File::open(path)?;
    let about = file.metadata()?;
    match is_same(&there, &about) {
        true => Ok((file, about)),
        // A link was put there since.
        false => Err(none()),
    }
}

#[cfg(unix)]
fn is_same(a: &Metadata, b: &Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (a.dev(), a.ino()) == (b.dev(), b.ino())
}

#[cfg(not(unix))]
fn is_same(a: &Metadata, b: &Metadata) -> bool {
    (a.len(), a.created().ok()) == (b.len(), b.created().ok())
}

/// Takes the lock of a folder until the file is dropped: two servers over one folder do
/// not write between each other's look and move.
pub fn lock(folder: &Path) -> io::Result<File> {
    let path = folder.join(".lock");
    let file = OpenOptions::new().create(true).append(true).open(path)?;
    match file.lock() {
        // Some network folders know no locks; there, one server has to do.
        Err(error) if error.kind() != ErrorKind::Unsupported => Err(error),
        _ => Ok(file),
    }
}

/// Makes a folder's new entries last.
pub fn sync_folder(folder: &Path) -> io::Result<()> {
    // Elsewhere a folder cannot be opened, and the file's own flush has to do.
    if cfg!(unix) {
        File::open(folder)?.sync_all()?;
    }
    Ok(())
}

/// Takes away parts that a killed program has left; nobody was ever told they were kept.
pub fn clear_parts(folder: &Path) {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    for path in entries.map(|entry| entry.path()) {
        let Ok(about) = fs::symlink_metadata(&path) else {
            continue;
        };
        let age = about.modified().ok().and_then(|time| time.elapsed().ok());
        let hidden = |name: &std::ffi::OsStr| name.as_encoded_bytes().starts_with(b".");
        let is_part = path.extension().is_some_and(|ending| ending == PART)
            && path.file_name().is_some_and(hidden);
        if is_part && age.is_some_and(|age| age > LEFT) {
            // One that stays does no harm.
            let _ = match about.is_dir() {
                true => fs::remove_dir_all(path),
                false => fs::remove_file(path),
            };
        }
    }
}

/// A new path for a part, beside `path`.
pub fn part_beside(path: &Path) -> PathBuf {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let name = path.file_stem().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{}-{count}.{PART}", std::process::id()))
}
