//! Files that are there whole or not at all, whenever the program is killed.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

/// Ending of a file that is being written.
const PART: &str = "part";
/// A part left this long ago is of a program that was killed.
const LEFT: Duration = Duration::from_secs(3600);

/// Puts `text` at `path`, in place of what stands there: what is read there at any moment
/// is the old text or the new one.
pub fn replace(path: &Path, text: &str) -> io::Result<()> {
    let part = written(path, text)?;
    let moved = fs::rename(&part, path);
    settled(path, &part, moved)
}

/// Puts `text` at `path` where nothing stands yet; `AlreadyExists` otherwise.
pub fn create(path: &Path, text: &str) -> io::Result<()> {
    let part = written(path, text)?;
    let linked = match fs::hard_link(&part, path) {
        Ok(()) => {
            // The text is in place; a part that stays is cleared away later.
            let _ = fs::remove_file(&part);
            Ok(())
        }
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Err(error),
        // Some file systems have no such links; the folder is locked, so that nothing of
        // ours comes between the look and the move.
        Err(_) if fs::symlink_metadata(path).is_err() => fs::rename(&part, path),
        Err(_) => Err(ErrorKind::AlreadyExists.into()),
    };
    settled(path, &part, linked)
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
        let age = fs::metadata(&path).and_then(|about| about.modified());
        let age = age.ok().and_then(|time| time.elapsed().ok());
        let is_part = path.extension().is_some_and(|ending| ending == PART);
        if is_part && age.is_some_and(|age| age > LEFT) {
            // One that stays does no harm.
            let _ = fs::remove_file(path);
        }
    }
}

/// A new file beside `path` with `text` in it, flushed to the disk.
fn written(path: &Path, text: &str) -> io::Result<PathBuf> {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let name = path.file_stem().unwrap_or_default().to_string_lossy();
    let name = format!(".{name}.{}-{count}.{PART}", std::process::id());
    let part = path.with_file_name(name);
    let mut file = File::create(&part)?;
    let done = file
        .write_all(text.as_bytes())
        .and_then(|()| file.sync_all());
    done.map(|()| part.clone()).inspect_err(|_| {
        let _ = fs::remove_file(&part);
    })
}

/// The end of a write: the folder made to last, or the part taken away.
fn settled(path: &Path, part: &Path, moved: io::Result<()>) -> io::Result<()> {
    if moved.is_err() {
        let _ = fs::remove_file(part);
    }
    moved?;
    path.parent().map_or(Ok(()), sync_folder)
}
