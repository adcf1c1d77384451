//! What is asked of a test day: a log looked at, pulls read and drawn, lines fitted, set-ups
//! compared, a running order planned.
//!
//! Whatever may have to read a log takes its turn with the other logs, one at a time, for
//! they take memory; what takes sums has turns of its own.

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use serde::Serialize;
use steadypull_contract::answer::TestsLevels;
use steadypull_contract::operation::{
    BriefFormat, CompareRequest, FitRequest, LevelsRequest, LookRequest, OrderRequest, ReadRequest,
    ReadUnits, ReportRequest, StoredTestDay, TakeUpRequest, order_in_tests,
};
use steadypull_contract::plan_file::{PlanProblems, TestFile, read_day, read_tests};
use steadypull_contract::printed::Errors;
use steadypull_contract::show::Units;
use steadypull_testday::{Drawing, Files, TakeUpError, TestsError};

use super::answers::document;
use super::app::App;
use super::asked::{Asked, InPath};
use super::days::{named, named_file, refused, refused_file};
use super::plans::saved_reply;
use super::refusal::Refusal;
use super::reply::{Reply, json};
use super::store::{DayFiles, Days, Name, Saved, Store, TESTS};
use super::turns::Turns;
use crate::failure::tests_errors;

/// What a log seems to be.
pub async fn look(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(asked): Asked<LookRequest>,
) -> Reply {
    let (name, file) = (named(&name)?, named_file(&asked.file)?);
    worked_out(&app, &app.logs, move |days| {
        let files = days.files(&name).map_err(|e| refused(&e))?;
        let recipe = asked.recipe.as_deref();
        let looked = steadypull_testday::look_by(file.as_str(), recipe, &files);
        let looked = looked.map_err(|e| in_the_way(&e))?;
        match asked.course_parts {
            None => Ok(looked),
            Some(parts) => steadypull_testday::with_courses(looked, parts as usize, &files)
                .map_err(|e| in_the_way(&e)),
        }
    })
    .await
}

/// A log taken into the test file.
pub async fn take_up(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(asked): Asked<TakeUpRequest>,
) -> Reply {
    let name = named(&name)?;
    named_file(&asked.file)?;
    let days = Arc::clone(&app.days);
    let work = move || taken_up(&days, &name, &asked);
    Ok(saved_reply(&app.logs.take(work).await??))
}

fn taken_up(
    days: &Days,
    name: &Name,
    asked: &TakeUpRequest,
) -> Result<Saved<StoredTestDay>, Refusal> {
    let (text, at) = days.text(name).map_err(|e| refused(&e))?;
    if at != asked.revision {
        let standing = days.read(name).map_err(|e| refused(&e))?;
        return Ok(Saved::Conflict(standing));
    }
    let files = days.files(name).map_err(|e| refused(&e))?;
    let taken = steadypull_testday::take_up(&text, asked, &files);
    let taken = taken.map_err(|error| match error {
        TakeUpError::Text(errors) => Refusal::of(StatusCode::UNPROCESSABLE_ENTITY, errors),
        TakeUpError::Log(error) => in_the_way(&error),
    })?;
    // The recipe first: a test file never names one that is not there.
    if let Some(recipe) = &taken.recipe {
        let file = named_file(&recipe.name)?;
        let kept = days.keep_text(name, &file, &recipe.text);
        kept.map_err(|e| refused_file(&e, &file))?;
    }
    let saved = days.save(name, &taken.text, &asked.revision);
    saved.map_err(|e| refused(&e))
}

/// Pulls, read off.
pub async fn read(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(asked): Asked<ReadRequest>,
) -> Reply {
    let name = named(&name)?;
    worked_out(&app, &app.logs, move |days| {
        of_day(days, &name, asked.units, |test, files| {
            steadypull_testday::read(test, asked.pull.as_deref(), files)
        })
    })
    .await
}

/// The load of a pull, for drawing: at once where its log was read before. As the log came,
/// where that is rather wanted than waited for.
pub async fn levels(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(asked): Asked<LevelsRequest>,
) -> Reply {
    let (name, asked) = (named(&name)?, Arc::new(asked));
    let days = Arc::clone(&app.days);
    let (day, wanted) = (name.clone(), Arc::clone(&asked));
    let at_hand = app.quick.take(move || levels_at_hand(&days, &day, &wanted));
    if let Some(drawn) = at_hand.await?? {
        return Ok(json(StatusCode::OK, &drawn));
    }
    worked_out(&app, &app.logs, move |days| {
        let levels = match asked.at_once {
            true => steadypull_testday::levels_as_logged,
            false => steadypull_testday::levels,
        };
        of_day(days, &name, None, |test, files| {
            levels(test, drawing(&asked), files)
        })
    })
    .await
}

fn levels_at_hand(
    days: &Days,
    name: &Name,
    asked: &LevelsRequest,
) -> Result<Option<TestsLevels>, Refusal> {
    let test = test_file(days, name)?;
    let files = days.files(name).map_err(|e| refused(&e))?;
    let drawn = steadypull_testday::levels_at_hand(&test, drawing(asked), &files);
    drawn.transpose().map_err(|e| in_the_way(&e))
}

fn drawing(asked: &LevelsRequest) -> Drawing<'_> {
    Drawing {
        pull: &asked.pull,
        from_s: asked.from_s,
        to_s: asked.to_s,
        parts: asked.parts as usize,
    }
}

/// Lines, fitted.
pub async fn fit(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(asked): Asked<FitRequest>,
) -> Reply {
    let name = named(&name)?;
    worked_out(&app, &app.fits, move |days| {
        let mut test = test_file(days, &name)?.said_in(read_in(asked.units));
        if let Some(only) = &asked.fit {
            one_fit(&mut test, only)?;
        }
        let files = days.files(&name).map_err(|e| refused(&e))?;
        steadypull_testday::fit(&test, &files).map_err(|e| in_the_way(&e))
    })
    .await
}

/// Leaves one of the fits that a test file asks for.
fn one_fit(test: &mut TestFile, only: &str) -> Result<(), Refusal> {
    let names: Vec<String> = test.fits.iter().map(|fit| fit.name.clone()).collect();
    test.fits.retain(|fit| fit.name == only);
    match test.fits.is_empty() {
        false => Ok(()),
        true => Err(Refusal::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "there is no such fit in the test file",
            &format!("there are: {}", names.join(", ")),
        )),
    }
}

/// Set-ups, side by side.
pub async fn compare(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(asked): Asked<CompareRequest>,
) -> Reply {
    let name = named(&name)?;
    worked_out(&app, &app.fits, move |days| {
        of_day(days, &name, asked.units, steadypull_testday::compare)
    })
    .await
}

/// The running order of the day, planned.
pub async fn order(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(asked): Asked<OrderRequest>,
) -> Reply {
    let name = named(&name)?;
    let plans = Arc::clone(&app.store);
    worked_out(&app, &app.fits, move |days| {
        let (text, _) = days.text(&name).map_err(|e| refused(&e))?;
        order_in_tests(&text).ok_or_else(no_order)?;
        let day = read_day(&text).map_err(|problems| mistaken(&problems))?;
        let day = day.said_in(read_in(asked.units));
        let day_files = days.files(&name).map_err(|e| refused(&e))?;
        let files = DayThenPlans {
            day: day_files,
            plans: &plans,
        };
        steadypull_testday::plan(&day, &files).map_err(|e| in_the_way(&e))
    })
    .await
}

/// What the running order names: files of the day, else plans kept here and what they name.
struct DayThenPlans<'a> {
    day: DayFiles<'a>,
    plans: &'a Store,
}

impl Files for DayThenPlans<'_> {
    fn read(&self, name: &str) -> Result<Vec<u8>, String> {
        self.day
            .read(name)
            .or_else(|why| self.plans.file(name).map(String::into_bytes).ok_or(why))
    }
}

fn no_order() -> Refusal {
    Refusal::new(
        StatusCode::UNPROCESSABLE_ENTITY,
        "the test file asks for no running order",
        "write [order] and what is varied in it; docs/test-file.md lists its keys",
    )
}

/// All of it, as a report to print.
pub async fn report(
    State(app): State<App>,
    InPath(name): InPath,
    Asked(asked): Asked<ReportRequest>,
) -> Reply {
    let name = named(&name)?;
    let days = Arc::clone(&app.days);
    app.fits
        .take(move || reported(&days, &name, &asked))
        .await?
}

fn reported(days: &Days, name: &Name, asked: &ReportRequest) -> Reply {
    let units = Units::from(asked.units);
    let (text, _) = days.text(name).map_err(|e| refused(&e))?;
    let test = as_read(&text)?.said_in(units);
    let files = days.files(name).map_err(|e| refused(&e))?;
    let report = steadypull_testday::report(&test, (TESTS, text.as_bytes()), &files);
    let report = report.map_err(|e| in_the_way(&e))?;
    let bytes = match asked.format {
        BriefFormat::Pdf => steadypull_brief::test_report_pdf(&report, units),
        BriefFormat::Html => {
            steadypull_brief::test_report_html(&report, units).map(String::into_bytes)
        }
    };
    Ok(document(asked.format, bytes.map_err(|_| Refusal::fault())?))
}

/// What `work` gives on the test days, in its turn.
async fn worked_out<T: Serialize>(
    app: &App,
    turns: &Turns,
    work: impl FnOnce(&Days) -> Result<T, Refusal> + Send + 'static,
) -> Reply {
    let days = Arc::clone(&app.days);
    let work = move || work(&days).map(|done| json(StatusCode::OK, &done));
    turns.take(work).await?
}

/// What `work` makes of a day's test file and its files.
fn of_day<T>(
    days: &Days,
    name: &Name,
    units: Option<ReadUnits>,
    work: impl FnOnce(&TestFile, &dyn Files) -> Result<T, TestsError>,
) -> Result<T, Refusal> {
    let test = test_file(days, name)?.said_in(read_in(units));
    let files = days.files(name).map_err(|e| refused(&e))?;
    work(&test, &files).map_err(|e| in_the_way(&e))
}

fn test_file(days: &Days, name: &Name) -> Result<TestFile, Refusal> {
    let (text, _) = days.text(name).map_err(|e| refused(&e))?;
    as_read(&text)
}

fn as_read(text: &str) -> Result<TestFile, Refusal> {
    read_tests(text).map_err(|problems| mistaken(&problems))
}

fn mistaken(problems: &PlanProblems) -> Refusal {
    let errors = Errors::of_plan(Some(TESTS), problems);
    Refusal::of(StatusCode::UNPROCESSABLE_ENTITY, errors)
}

fn read_in(units: Option<ReadUnits>) -> Units {
    units.unwrap_or_default().into()
}

fn in_the_way(error: &TestsError) -> Refusal {
    match error {
        TestsError::InTheWay(_) => {
            Refusal::of(StatusCode::UNPROCESSABLE_ENTITY, tests_errors(error))
        }
        TestsError::NotFinite(_) => Refusal::fault(),
    }
}
