//! The plans that are kept, as they are asked for.

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use serde::Serialize;
use steadypull_contract::answer::CONTRACT_VERSION;
use steadypull_contract::operation::{KeptLineFile, NewLineFile, NewPlan, SavePlan};
use steadypull_contract::plan_file::{LINE_FILE_ENDING, LONGEST_PLAN, check_line_file};
use steadypull_contract::printed::Errors;

use super::app::App;
use super::asked::{Asked, InPath};
use super::refusal::Refusal;
use super::reply::{Reply, json};
use super::store::{Name, Saved, Store, StoreError, title_of};

/// Every plan.
pub async fn list(State(app): State<App>) -> Reply {
    let list = kept(&app, |store| store.list()).await?;
    Ok(json(StatusCode::OK, &list))
}

/// A new plan.
pub async fn add(State(app): State<App>, Asked(new): Asked<NewPlan>) -> Reply {
    let name = match &new.name {
        Some(name) => named(name)?,
        None => Name::from_title(&title_of(&new.plan).unwrap_or_default(), "plan"),
    };
    let plan = kept(&app, move |store| store.add(&name, &new.plan)).await?;
    Ok(json(StatusCode::CREATED, &plan))
}

/// One plan.
pub async fn open(State(app): State<App>, InPath(name): InPath) -> Reply {
    let name = named(&name)?;
    let plan = kept(&app, move |store| store.read(&name)).await?;
    Ok(json(StatusCode::OK, &plan))
}

/// Saves a plan.
pub async fn save(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(save): Asked<SavePlan>,
) -> Reply {
    let name = named(&name)?;
    let saved = kept(&app, move |store| {
        store.save(&name, &save.plan, &save.revision)
    });
    Ok(saved_reply(&saved.await?))
}

/// What became of a save, as it is answered.
pub fn saved_reply(saved: &Saved<impl Serialize>) -> Response {
    match saved {
        Saved::Kept(plan) => json(StatusCode::OK, plan),
        Saved::Conflict(standing) => json(StatusCode::CONFLICT, standing),
    }
}

/// Removes a plan.
pub async fn remove(State(app): State<App>, InPath(name): InPath) -> Reply {
    let name = named(&name)?;
    let plan = kept(&app, move |store| store.remove(&name)).await?;
    Ok(json(StatusCode::OK, &plan))
}

/// A line file that plans can name from now on; what no plan would take is refused.
pub async fn add_line(State(app): State<App>, Asked(new): Asked<NewLineFile>) -> Reply {
    let name = named(&new.name)?;
    let told = format!("{}{LINE_FILE_ENDING}", name.as_str());
    check_line_file(&told, &new.text).map_err(|problems| {
        let errors = Errors::of_plan(Some(&told), &problems);
        Refusal::of(StatusCode::UNPROCESSABLE_ENTITY, errors)
    })?;
    let file = kept(&app, move |store| store.add_line(&name, &new.text)).await?;
    let line = KeptLineFile {
        contract_version: CONTRACT_VERSION,
        file,
    };
    Ok(json(StatusCode::CREATED, &line))
}

fn named(text: &str) -> Result<Name, Refusal> {
    Name::new(text).map_err(|why| {
        Refusal::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            &format!("this is no name for a plan: {why}"),
            "choose a name such as wombat-gully-2",
        )
    })
}

/// What `work` gives on the store, in its turn.
async fn kept<T: Send + 'static>(
    app: &App,
    work: impl FnOnce(&Store) -> Result<T, StoreError> + Send + 'static,
) -> Result<T, Refusal> {
    let store = Arc::clone(&app.store);
    let done = app.files.take(move || work(&store)).await?;
    done.map_err(|error| refused(&error))
}

fn refused(error: &StoreError) -> Refusal {
    let new = Refusal::new;
    match error {
        StoreError::Missing => new(
            StatusCode::NOT_FOUND,
            "no plan of that name is kept",
            "GET /api/plans lists those that are; a plan that was open can be kept as a new one",
        ),
        StoreError::Unreadable(why) => new(
            StatusCode::UNPROCESSABLE_ENTITY,
            &format!("the file of this plan {why}"),
            "mend it or move it away by hand; nothing was changed",
        ),
        StoreError::TooLong => new(
            StatusCode::PAYLOAD_TOO_LARGE,
            &format!("the plan is too long: over {LONGEST_PLAN} bytes"),
            "is this really a plan file?",
        ),
        StoreError::Disk(error) => new(
            StatusCode::INTERNAL_SERVER_ERROR,
            &format!("the folder of the plans cannot be used: {error}"),
            "check the disk and who may write the folder; nothing that was kept is changed",
        ),
    }
}
