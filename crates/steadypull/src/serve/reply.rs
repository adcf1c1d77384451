//! Answers as they go out.

use axum::body::Body;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;

use super::refusal::Refusal;

/// What a handler gives.
pub type Reply = Result<Response, Refusal>;

/// `object` as JSON.
pub fn json(status: StatusCode, object: &impl Serialize) -> Response {
    match serde_json::to_vec(object) {
        Ok(bytes) => bytes_of(status, "application/json", bytes),
        // Nothing is left that could be said in JSON.
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}

/// Bytes of a kind.
pub fn bytes_of(status: StatusCode, kind: &'static str, bytes: impl Into<Body>) -> Response {
    let mut response = Response::new(bytes.into());
    *response.status_mut() = status;
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    response
}
