//! What the server says about itself, and the demo plans.

use axum::http::StatusCode;
use steadypull_contract::answer::CONTRACT_VERSION;
use steadypull_contract::operation::Health;

use super::asked::InPath;
use super::refusal::Refusal;
use super::reply::{Reply, json};
use crate::command::{example_list, example_named};

/// That the server is there.
pub async fn health() -> Reply {
    let health = Health {
        contract_version: CONTRACT_VERSION,
        version: env!("CARGO_PKG_VERSION").into(),
    };
    Ok(json(StatusCode::OK, &health))
}

/// The demo plans.
pub async fn list() -> Reply {
    Ok(json(StatusCode::OK, &example_list()))
}

/// One demo plan.
pub async fn text(InPath(name): InPath) -> Reply {
    let plan = example_named(&name).map_err(|message| {
        Refusal::new(
            StatusCode::NOT_FOUND,
            &message,
            "GET /api/examples lists them",
        )
    })?;
    Ok(json(StatusCode::OK, &plan.whole()))
}
