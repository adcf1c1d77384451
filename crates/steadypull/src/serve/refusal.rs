//! A request that is refused, in the one documented shape.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use steadypull_contract::printed::{Errors, InputError};

use super::reply::json;

/// Why a request is refused, and with which status.
#[derive(Debug)]
pub struct Refusal {
    status: StatusCode,
    errors: Errors,
    retry_after_s: Option<u32>,
}

impl Refusal {
    /// Refused for one reason; `hint` says what to do.
    pub fn new(status: StatusCode, message: &str, hint: &str) -> Self {
        let error = InputError::whole(None, message, Some(hint));
        Self::of(status, Errors::new(vec![error], 0))
    }

    /// Refused for the mistakes in `errors`.
    pub fn of(status: StatusCode, errors: Errors) -> Self {
        Self {
            status,
            errors,
            retry_after_s: None,
        }
    }

    /// Refused for now: the same may be asked again after so many seconds.
    pub fn for_now(self, retry_after_s: u32) -> Self {
        Self {
            retry_after_s: Some(retry_after_s),
            ..self
        }
    }

    /// Something in the tool itself went wrong.
    pub fn fault() -> Self {
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "this could not be worked out: a fault of the tool, not of the plan",
            "keep the plan file and report it; the server goes on",
        )
    }

    /// There is nothing at an address.
    pub fn no_such_address() -> Self {
        Self::new(
            StatusCode::NOT_FOUND,
            "there is nothing at this address",
            "GET /api/openapi.json lists every address that there is",
        )
    }

    /// What was asked for cannot be done with an address.
    pub fn no_such_method() -> Self {
        Self::new(
            StatusCode::METHOD_NOT_ALLOWED,
            "this address cannot be asked that way",
            "GET /api/openapi.json says how each address is asked",
        )
    }

    /// What is wrong.
    #[cfg(test)]
    pub fn errors(&self) -> &Errors {
        &self.errors
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let mut response = json(self.status, &self.errors);
        if let Some(seconds) = self.retry_after_s {
            let headers = response.headers_mut();
            headers.insert(header::RETRY_AFTER, HeaderValue::from(seconds));
        }
        response
    }
}
