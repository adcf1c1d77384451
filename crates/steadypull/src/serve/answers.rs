//! Plans worked out: the whole answer, and the brief that is drawn from it.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::Response;
use sha2::{Digest, Sha256};
use steadypull_contract::answer::Answer;
use steadypull_contract::answer_plan;
use steadypull_contract::operation::{
    BriefFormat, BriefRequest, CarriesLines, PlanRequest, ReadUnits,
};
use steadypull_contract::plan_file::{LineFiles, PlanText, read_plan};
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

/// What an answer depends on: the plan's text and its line files, by their hash, and the
/// units of its sentences.
type Key = ([u8; 32], ReadUnits);

impl Answers {
    /// The answer to `plan`, told in `units`; it depends on nothing else.
    fn to(&self, plan: PlanText, units: ReadUnits) -> Result<Arc<Answer>, Refusal> {
        let asked = (hash_of(plan), units);
        // The lock is not held while one is worked out.
        if let Some(answer) = self.known(&asked) {
            return Ok(answer);
        }
        let answer = Arc::new(worked_out(plan, units)?);
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

/// Each text with its length before it, so that no two run into one.
fn hash_of(plan: PlanText) -> [u8; 32] {
    let mut hash = Sha256::new();
    let mut add = |text: &str| {
        hash.update((text.len() as u64).to_le_bytes());
        hash.update(text.as_bytes());
    };
    add(plan.text);
    for (name, text) in plan.lines.iter() {
        add(name);
        add(text.as_deref().unwrap_or_default());
    }
    hash.finalize().into()
}

fn worked_out(plan: PlanText, units: ReadUnits) -> Result<Answer, Refusal> {
    let refused = |errors| Refusal::of(StatusCode::UNPROCESSABLE_ENTITY, errors);
    let plan = read_plan(plan).map_err(|mistakes| refused(Errors::of_plan(None, &mistakes)))?;
    answer_plan(&plan.said_in(units.into())).map_err(|error| {
        let error = InputError::whole(None, &error.to_string(), None);
        refused(Errors::new(vec![error], 0))
    })
}

/// The whole answer.
pub async fn answer(State(app): State<App>, Asked(mut asked): Asked<PlanRequest>) -> Reply {
    let (answers, store) = (Arc::clone(&app.answers), Arc::clone(&app.store));
    let work = move || {
        asked.add_lines(|name| store.line_file(name));
        let lines = LineFiles::from(&asked.lines);
        let answer = answers.to((&asked.plan[..], &lines).into(), asked.units)?;
        Ok(json(StatusCode::OK, &*answer))
    };
    app.long.take(work).await?
}

/// The brief.
pub async fn brief(State(app): State<App>, Asked(mut asked): Asked<BriefRequest>) -> Reply {
    let (answers, store) = (Arc::clone(&app.answers), Arc::clone(&app.store));
    let work = move || {
        asked.add_lines(|name| store.line_file(name));
        let lines = LineFiles::from(&asked.lines);
        let answer = answers.to((&asked.plan[..], &lines).into(), asked.units)?;
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
