//! Plans worked out: the whole answer, and the brief that is drawn from it.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::Response;
use sha2::{Digest, Sha256};
use steadypull_contract::answer::Answer;
use steadypull_contract::answer_plan;
use steadypull_contract::operation::{BriefFormat, BriefRequest, PlanRequest, ReadUnits};
use steadypull_contract::plan_file::read_plan;
use steadypull_contract::printed::{Errors, InputError};
use steadypull_contract::show::Units;

use super::app::App;
use super::asked::Asked;
use super::policy;
use super::refusal::Refusal;
use super::reply::{Reply, bytes_of, json};
use crate::date::today;

/// Answers that are kept for whoever asks the same again: the page does after an undo, and
/// the brief is drawn from the answer that is on the screen.
const KEPT: usize = 8;

/// The answers to the texts that were asked last.
#[derive(Default)]
pub struct Answers(Mutex<VecDeque<(Key, Arc<Answer>)>>);

/// What an answer depends on: the plan's text, by its hash, and the units of its sentences.
type Key = ([u8; 32], ReadUnits);

impl Answers {
    /// The answer to the plan in `text`, told in `units`; it depends on nothing else.
    fn to(&self, text: &str, units: ReadUnits) -> Result<Arc<Answer>, Refusal> {
        let asked = (Sha256::digest(text.as_bytes()).into(), units);
        // The lock is not held while one is worked out.
        if let Some(answer) = self.known(&asked) {
            return Ok(answer);
        }
        let answer = Arc::new(worked_out(text, units)?);
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.push_front((asked, Arc::clone(&answer)));
        kept.truncate(KEPT);
        Ok(answer)
    }

    fn known(&self, asked: &Key) -> Option<Arc<Answer>> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let at = kept.iter().position(|(known, _)| known == asked)?;
        let found = kept.remove(at)?;
        let answer = Arc::clone(&found.1);
        kept.push_front(found);
        Some(answer)
    }
}

fn worked_out(text: &str, units: ReadUnits) -> Result<Answer, Refusal> {
    let refused = |errors| Refusal::of(StatusCode::UNPROCESSABLE_ENTITY, errors);
    let plan = read_plan(text).map_err(|mistakes| refused(Errors::of_plan(None, &mistakes)))?;
    answer_plan(&plan.said_in(units.into())).map_err(|error| {
        let error = InputError::whole(None, &error.to_string(), None);
        refused(Errors::new(vec![error], 0))
    })
}

/// The whole answer.
pub async fn answer(State(app): State<App>, Asked(asked): Asked<PlanRequest>) -> Reply {
    let answers = Arc::clone(&app.answers);
    let work = move || {
        let answer = answers.to(&asked.plan, asked.units)?;
        Ok(json(StatusCode::OK, &*answer))
    };
    app.long.take(work).await?
}

/// The brief.
pub async fn brief(State(app): State<App>, Asked(asked): Asked<BriefRequest>) -> Reply {
    let answers = Arc::clone(&app.answers);
    let work = move || {
        let answer = answers.to(&asked.plan, asked.units)?;
        drawn(&answer, &asked)
    };
    app.long.take(work).await?
}

fn drawn(answer: &Answer, asked: &BriefRequest) -> Reply {
    let units = Units::from(asked.units);
    let made_on = today();
    let bytes = match asked.format {
        BriefFormat::Pdf => steadypull_brief::pdf(answer, units, &made_on),
        BriefFormat::Html => {
            steadypull_brief::html(answer, units, &made_on).map(String::into_bytes)
        }
    };
    Ok(document(asked.format, bytes.map_err(|_| Refusal::fault())?))
}

/// A document to print, which may load its own style sheet and nothing else.
pub fn document(format: BriefFormat, bytes: Vec<u8>) -> Response {
    let kind = match format {
        BriefFormat::Pdf => "application/pdf",
        BriefFormat::Html => "text/html; charset=utf-8",
    };
    let mut response = bytes_of(StatusCode::OK, kind, bytes);
    let policy = HeaderValue::from_static(policy::brief());
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_SECURITY_POLICY, policy);
    response
}
