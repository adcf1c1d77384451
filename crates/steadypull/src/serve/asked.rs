//! The body of a request: read within bounds of size and time, then as JSON.

use std::time::Duration;

use axum::body::Body;
use axum::extract::{FromRequest, FromRequestParts, Path, Request};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode, header};
use http_body_util::BodyExt;
use serde::de::DeserializeOwned;
use steadypull_contract::plan_file::LONGEST_PLAN;
use steadypull_contract::printed::{Errors, InputError};
use tokio::time::timeout;

use super::refusal::Refusal;

/// Longest body: the longest plan, and as much again for how JSON writes it.
pub const LONGEST_BODY: usize = 2 * LONGEST_PLAN;
/// Longest time that a body may take to come in.
const BODY_TIME: Duration = Duration::from_secs(20);

const TAKES: &str = "GET /api/openapi.json says what each address takes";

/// What was asked, as its type says.
pub struct Asked<T>(pub T);

impl<T: DeserializeOwned, S: Send + Sync> FromRequest<S> for Asked<T> {
    type Rejection = Refusal;

    async fn from_request(request: Request, _: &S) -> Result<Self, Refusal> {
        if !is_of(request.headers(), "application/json") {
            return Err(Refusal::new(
                StatusCode::UNSUPPORTED_MEDIA_TYPE,
                "the request is not sent as JSON",
                "send it with `content-type: application/json`",
            ));
        }
        let bytes = whole(request.into_body()).await?;
        // Read by its type, a list would do as an object without names.
        if bytes.trim_ascii_start().starts_with(b"[") {
            return Err(Refusal::new(
                StatusCode::UNPROCESSABLE_ENTITY,
                "the request is not what is asked here: a list, where an object belongs",
                TAKES,
            ));
        }
        serde_json::from_slice(&bytes)
            .map(Self)
            .map_err(|error| no_such_request(&error))
    }
}

/// The name in an address, or the names.
pub struct InPath<T = String>(pub T);

impl<T: DeserializeOwned + Send, S: Send + Sync> FromRequestParts<S> for InPath<T> {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Refusal> {
        let name = Path::<T>::from_request_parts(parts, state).await;
        name.map(|Path(name)| Self(name)).map_err(|_| {
            Refusal::new(
                StatusCode::BAD_REQUEST,
                "the address is no text in UTF-8",
                "write what is no plain letter in it as % and two digits, in UTF-8",
            )
        })
    }
}

/// Whether a body is sent as `kind`, whatever follows that.
pub fn is_of(headers: &HeaderMap, kind: &str) -> bool {
    let sent = headers.get(header::CONTENT_TYPE);
    let sent = sent.and_then(|value| value.to_str().ok());
    let sent = sent.and_then(|value| value.split(';').next());
    sent.is_some_and(|sent| sent.trim().eq_ignore_ascii_case(kind))
}

/// A whole body.
pub async fn whole(body: Body) -> Result<Vec<u8>, Refusal> {
    timeout(BODY_TIME, read(body)).await.unwrap_or_else(|_| {
        Err(Refusal::new(
            StatusCode::REQUEST_TIMEOUT,
            "the request took too long to come in",
            "try again; a plan is small and needs no more than a moment",
        ))
    })
}

async fn read(mut body: Body) -> Result<Vec<u8>, Refusal> {
    let mut bytes = Vec::new();
    while let Some(frame) = body.frame().await {
        let Ok(data) = frame.map_err(|_| broken_off())?.into_data() else {
            continue;
        };
        if bytes.len() + data.len() > LONGEST_BODY {
            return Err(Refusal::new(
                StatusCode::PAYLOAD_TOO_LARGE,
                &format!("the request is too long: over {LONGEST_BODY} bytes"),
                &format!("a plan is at most {LONGEST_PLAN} bytes; is this really one?"),
            ));
        }
        bytes.extend_from_slice(&data);
    }
    Ok(bytes)
}

/// A body that came to no end.
pub fn broken_off() -> Refusal {
    Refusal::new(
        StatusCode::BAD_REQUEST,
        "the request broke off",
        "try again",
    )
}

/// JSON that is none, or not what is asked here.
fn no_such_request(error: &serde_json::Error) -> Refusal {
    let (status, what) = match error.classify() {
        serde_json::error::Category::Data => {
            (StatusCode::UNPROCESSABLE_ENTITY, "not what is asked here")
        }
        _ => (StatusCode::BAD_REQUEST, "no JSON"),
    };
    let number = |n: usize| u32::try_from(n).ok();
    let message = format!("the request is {what}: {error}");
    let error = InputError {
        line: number(error.line()),
        column: number(error.column()),
        ..InputError::whole(None, &message, Some(TAKES))
    };
    Refusal::of(status, Errors::new(vec![error], 0))
}
