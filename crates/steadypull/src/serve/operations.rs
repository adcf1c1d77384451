//! Operations of the contract that need nothing of the server but a turn.

use axum::extract::State;
use axum::http::StatusCode;
use serde::Serialize;
use steadypull_contract::operation::{
    self, EditRequest, LayOut, LiveRequest, OpenAsRig, ReplayRequest,
};
use steadypull_contract::printed::Errors;

use super::app::App;
use super::asked::Asked;
use super::refusal::Refusal;
use super::reply::{Reply, json};
use super::turns::Turns;

/// Changes a plan's text.
pub async fn edit(State(app): State<App>, Asked(asked): Asked<EditRequest>) -> Reply {
    worked_out(&app.quick, move || operation::edit(&asked)).await
}

/// What can be told at once, while something is dragged.
pub async fn live(State(app): State<App>, Asked(asked): Asked<LiveRequest>) -> Reply {
    worked_out(&app.quick, move || Ok(operation::live(&asked))).await
}

/// One recoil, moment by moment.
pub async fn replay(State(app): State<App>, Asked(asked): Asked<ReplayRequest>) -> Reply {
    worked_out(&app.replays, move || operation::replay(&asked)).await
}

/// A method of the ladder as the plan's own rig.
pub async fn open_as_rig(State(app): State<App>, Asked(asked): Asked<OpenAsRig>) -> Reply {
    worked_out(&app.quick, move || operation::open_as_rig(&asked)).await
}

/// A straight rig laid out on the ground.
pub async fn lay_out(State(app): State<App>, Asked(asked): Asked<LayOut>) -> Reply {
    worked_out(&app.quick, move || operation::lay_out(&asked)).await
}

/// What an operation gives, in its turn.
async fn worked_out<T: Serialize>(
    turns: &Turns,
    operation: impl FnOnce() -> Result<T, Errors> + Send + 'static,
) -> Reply {
    let work = move || match operation() {
        Ok(done) => Ok(json(StatusCode::OK, &done)),
        Err(errors) => Err(Refusal::of(StatusCode::UNPROCESSABLE_ENTITY, errors)),
    };
    turns.take(work).await?
}
