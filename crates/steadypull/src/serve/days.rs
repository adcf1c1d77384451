//! The test days that are kept, as they are asked for.

use std::sync::Arc;

use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use steadypull_contract::operation::{
    EditTestDay, NewTestDay, RenameTestDay, SaveTestDay, edit_tests, new_tests,
};
use steadypull_contract::plan_file::LONGEST_PLAN;
use steadypull_contract::printed::Errors;

use super::app::App;
use super::asked::{Asked, InPath};
use super::plans::saved_reply;
use super::refusal::Refusal;
use super::reply::{Reply, bytes_of, json};
use super::store::{
    ChangeError, Days, FileError, FileName, LONGEST_FILE, LONGEST_OUT, Name, StoreError, TESTS,
    title_of,
};
use crate::date::today;

/// Every test day.
pub async fn list(State(app): State<App>) -> Reply {
    let list = kept(&app, |days| days.list().map_err(|e| refused(&e))).await?;
    Ok(json(StatusCode::OK, &list))
}

/// A new test day.
pub async fn add(State(app): State<App>, Asked(new): Asked<NewTestDay>) -> Reply {
    let asked = new.name.as_deref().map(named).transpose()?;
    let day = kept(&app, move |days| {
        let files = first_files(&new)?;
        let title = files.iter().find_map(|(_, text)| title_of(text));
        let name =
            asked.unwrap_or_else(|| Name::from_title(&title.unwrap_or_default(), "test-day"));
        days.add(&name, &files).map_err(|e| refused(&e))
    });
    Ok(json(StatusCode::CREATED, &day.await?))
}

/// What a new day begins with, its test file first.
fn first_files(new: &NewTestDay) -> Result<Vec<(String, String)>, Refusal> {
    if new.demo {
        let files = steadypull_testday::example().map_err(|_| Refusal::fault())?;
        return Ok(files.into_iter().map(|f| (f.name, f.text)).collect());
    }
    if new.title.trim().is_empty() {
        return Err(Refusal::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "a test day needs a title",
            "say what is tested, and where",
        ));
    }
    let text = new_tests(&new.title, &today()).map_err(unprocessable)?;
    Ok(vec![(TESTS.into(), text)])
}

/// One test day.
pub async fn open(State(app): State<App>, InPath(name): InPath) -> Reply {
    let name = named(&name)?;
    let day = kept(&app, move |days| days.read(&name).map_err(|e| refused(&e))).await?;
    Ok(json(StatusCode::OK, &day))
}

/// Saves a test file.
pub async fn save(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(save): Asked<SaveTestDay>,
) -> Reply {
    let name = named(&name)?;
    let saved = kept(&app, move |days| {
        let saved = days.save(&name, &save.text, &save.revision);
        saved.map_err(|e| refused(&e))
    });
    Ok(saved_reply(&saved.await?))
}

/// Changes a test file's text.
pub async fn edit(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(asked): Asked<EditTestDay>,
) -> Reply {
    let name = named(&name)?;
    let saved = kept(&app, move |days| {
        let change = |text: &str| edit_tests(text, &asked.edits);
        let changed = days.change(&name, &asked.revision, change);
        changed.map_err(unchanged)
    });
    Ok(saved_reply(&saved.await?))
}

/// Gives a test day another name.
pub async fn rename(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(asked): Asked<RenameTestDay>,
) -> Reply {
    let (name, to) = (named(&name)?, named(&asked.name)?);
    let day = kept(&app, move |days| {
        let renamed = days.rename(&name, &to).map_err(|e| refused(&e))?;
        renamed.ok_or_else(|| taken(&to))
    });
    Ok(json(StatusCode::OK, &day.await?))
}

fn taken(name: &Name) -> Refusal {
    Refusal::new(
        StatusCode::CONFLICT,
        &format!("{} is taken already; nothing was changed", name.as_str()),
        "give another name",
    )
}

/// Removes a test day.
pub async fn remove(State(app): State<App>, InPath(name): InPath) -> Reply {
    let name = named(&name)?;
    let day = kept(&app, move |days| {
        days.remove(&name).map_err(|e| refused(&e))
    })
    .await?;
    Ok(json(StatusCode::OK, &day))
}

/// The bytes of a file of a test day: to be kept by whoever asks, never shown as a page of ours.
pub async fn file(State(app): State<App>, InPath((name, file)): InPath<(String, String)>) -> Reply {
    let (name, file) = (named(&name)?, named_file(&file)?);
    let as_kept = HeaderValue::from_str(&format!("attachment; filename=\"{}\"", file.as_str()));
    let bytes = kept(&app, move |days| {
        let bytes = days.hand_out(&name, &file);
        bytes.map_err(|e| refused_file(&e, &file))
    });
    let mut response = bytes_of(StatusCode::OK, "application/octet-stream", bytes.await?);
    // A file's name holds nothing that a header may not.
    let as_kept = as_kept.map_err(|_| Refusal::fault())?;
    response
        .headers_mut()
        .insert(header::CONTENT_DISPOSITION, as_kept);
    Ok(response)
}

/// Removes a file of a test day.
pub async fn remove_file(
    State(app): State<App>,
    InPath((name, file)): InPath<(String, String)>,
) -> Reply {
    let (name, file) = (named(&name)?, named_file(&file)?);
    let day = kept(&app, move |days| {
        let removed = days.remove_file(&name, &file);
        removed.map_err(|e| refused_file(&e, &file))
    });
    Ok(json(StatusCode::OK, &day.await?))
}

pub(super) fn named(text: &str) -> Result<Name, Refusal> {
    Name::new(text).map_err(|why| {
        Refusal::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            &format!("this is no name for a test day: {why}"),
            "choose a name such as emu-flat-2",
        )
    })
}

pub(super) fn named_file(text: &str) -> Result<FileName, Refusal> {
    FileName::new(text).map_err(|why| {
        Refusal::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            &format!("this is no name for a file of a test day: {why}"),
            "choose a name such as dry-1.csv",
        )
    })
}

/// What `work` gives on the test days, in its turn at the disk.
async fn kept<T: Send + 'static>(
    app: &App,
    work: impl FnOnce(&Days) -> Result<T, Refusal> + Send + 'static,
) -> Result<T, Refusal> {
    let days = Arc::clone(&app.days);
    app.files.take(move || work(&days)).await?
}

fn unprocessable(errors: Errors) -> Refusal {
    Refusal::of(StatusCode::UNPROCESSABLE_ENTITY, errors)
}

fn unchanged(error: ChangeError) -> Refusal {
    match error {
        ChangeError::Change(errors) => unprocessable(errors),
        ChangeError::Store(error) => refused(&error),
    }
}

pub(super) fn refused(error: &StoreError) -> Refusal {
    let new = Refusal::new;
    match error {
        StoreError::Missing => new(
            StatusCode::NOT_FOUND,
            "no test day of that name is kept",
            "GET /api/tests lists those that are",
        ),
        StoreError::Unreadable(why) => new(
            StatusCode::UNPROCESSABLE_ENTITY,
            &format!("the folder of this test day {why}"),
            "mend it or move it away by hand; nothing was changed",
        ),
        StoreError::TooLong => new(
            StatusCode::PAYLOAD_TOO_LARGE,
            &format!("the test file is too long: over {LONGEST_PLAN} bytes"),
            "is this really a test file?",
        ),
        StoreError::Disk(error) => new(
            StatusCode::INTERNAL_SERVER_ERROR,
            &format!("the folder of the test days cannot be used: {error}"),
            "check the disk and who may write the folder; nothing that was kept is changed",
        ),
    }
}

pub(super) fn refused_file(error: &FileError, file: &FileName) -> Refusal {
    let file = file.as_str();
    let new = |status, message: String, hint| Refusal::new(status, &message, hint);
    match error {
        FileError::Store(error) => refused(error),
        FileError::Missing => new(
            StatusCode::NOT_FOUND,
            format!("{file} is no file of this test day"),
            "GET /api/tests/{name} lists those that are",
        ),
        FileError::Differs => new(
            StatusCode::CONFLICT,
            format!("{file} is there already and holds something else; nothing was changed"),
            "a log is never written over: give this one another name",
        ),
        FileError::Named => new(
            StatusCode::CONFLICT,
            format!("the test file names {file}; nothing was changed"),
            "take it out of the test file first",
        ),
        FileError::BrokeOff => super::asked::broken_off(),
        FileError::Empty => new(
            StatusCode::UNPROCESSABLE_ENTITY,
            format!("{file} came empty; nothing was kept"),
            "look whether the logger has written it",
        ),
        FileError::TooLong => too_long(),
        FileError::TooLongOut => new(
            StatusCode::UNPROCESSABLE_ENTITY,
            format!("{file} is longer than what is handed out here: over {LONGEST_OUT} bytes"),
            "copy it out of the folder of the test day",
        ),
        FileError::NoFile(why) => new(
            StatusCode::UNPROCESSABLE_ENTITY,
            format!("what stands there as {file} {why}; nothing was changed"),
            "move it away by hand, or give this one another name",
        ),
    }
}

/// A file that is longer than any.
pub(super) fn too_long() -> Refusal {
    Refusal::new(
        StatusCode::PAYLOAD_TOO_LARGE,
        &format!("the file is too long: over {LONGEST_FILE} bytes; nothing was kept"),
        "cut the log into one for each pull, or log fewer channels",
    )
}
