//! Operations of the contract that need nothing of the server but a turn.

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use serde::Serialize;
use steadypull_contract::operation::{
    self, CarriesLines, EditRequest, LayOut, LiveRequest, OpenAsRig, ReplayRequest,
};
use steadypull_contract::printed::Errors;

use super::app::App;
use super::asked::Asked;
use super::refusal::Refusal;
use super::reply::{Reply, json};
use super::turns::Turns;

/// Changes a plan's text.
pub async fn edit(State(app): State<App>, Asked(asked): Asked<EditRequest>) -> Reply {
    worked_out(&app, &app.quick, asked, operation::edit).await
}

/// What can be told at once, while something is dragged.
pub async fn live(State(app): State<App>, Asked(asked): Asked<LiveRequest>) -> Reply {
    worked_out(&app, &app.quick, asked, |asked| Ok(operation::live(asked))).await
}

/// One recoil, moment by moment.
pub async fn replay(State(app): State<App>, Asked(asked): Asked<ReplayRequest>) -> Reply {
    worked_out(&app, &app.replays, asked, operation::replay).await
}

/// A method of the ladder as the plan's own rig.
pub async fn open_as_rig(State(app): State<App>, Asked(asked): Asked<OpenAsRig>) -> Reply {
    worked_out(&app, &app.quick, asked, operation::open_as_rig).await
}

/// A straight rig laid out on the ground.
pub async fn lay_out(State(app): State<App>, Asked(asked): Asked<LayOut>) -> Reply {
    worked_out(&app, &app.quick, asked, operation::lay_out).await
}

/// What an operation gives, in its turn, with the line files of the folder at hand.
async fn worked_out<A: CarriesLines + Send + 'static, T: Serialize>(
    app: &App,
    turns: &Turns,
    mut asked: A,
    operation: impl FnOnce(&A) -> Result<T, Errors> + Send + 'static,
) -> Reply {
    let store = Arc::clone(&app.store);
    let work = move || {
        asked.add_lines(|name| store.line_file(name));
        match operation(&asked) {
            Ok(done) => Ok(json(StatusCode::OK, &done)),
            Err(errors) => Err(Refusal::of(StatusCode::UNPROCESSABLE_ENTITY, errors)),
        }
    };
    turns.take(work).await?
}
