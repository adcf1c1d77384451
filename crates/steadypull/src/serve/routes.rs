//! Every address of the server: the one list that the router and the OpenAPI document are
//! made from.

use axum::Router;
use axum::handler::Handler;
use axum::middleware::from_fn_with_state;
use axum::routing::{MethodFilter, MethodRouter, any, get as page_at, on};

use super::app::App;
use super::guard::guard;
use super::refusal::Refusal;
use super::{answers, days, examples, openapi, operations, page, plans, pulls, sign_in, upload};

/// One operation: how it is asked, what for, and who answers.
pub struct Route {
    /// `get`, `post`, `put` or `delete`.
    pub method: &'static str,
    /// Its address; `{name}` stands for a name.
    pub path: &'static str,
    /// What it does.
    pub what: &'static str,
    /// What it takes.
    pub takes: Option<Content>,
    /// What it gives, by status; every refusal is `errors`.
    pub gives: Vec<(u16, &'static str, Content)>,
    handler: MethodRouter<App>,
}

/// What is sent one way or the other.
#[derive(Clone, Copy)]
pub enum Content {
    /// JSON with the schema of this name.
    Json(&'static str),
    /// Bytes of these kinds.
    Bytes(&'static [&'static str]),
}

use Content::{Bytes, Json};

const FORM: Content = Bytes(&["application/x-www-form-urlencoded"]);
const DOCUMENT: Content = Bytes(&["text/html", "application/pdf"]);
const FILE: Content = Bytes(&["application/octet-stream"]);
const HTML: Content = Bytes(&["text/html"]);
const OPENAPI: Content = Bytes(&["application/json"]);

/// Every operation.
#[rustfmt::skip] // One operation a line.
pub fn routes() -> Vec<Route> {
    vec![
        get("/api/openapi.json", "This document", openapi::document).gives(200, "OpenAPI 3.1", OPENAPI),
        get("/api/health", "That the server is there", examples::health).gives(200, "It is", Json("health")),
        get("/api/examples", "The demo plans", examples::list).gives(200, "Every demo plan", Json("example-list")),
        get("/api/examples/{name}", "One demo plan", examples::text).gives(200, "Its text", Json("example")),
        get("/api/plans", "The plans that are kept", plans::list).gives(200, "Every plan, the last changed first", Json("plan-list")),
        post("/api/plans", "Keep a new plan", plans::add).takes(Json("new-plan")).gives(201, "As it is kept", Json("stored-plan")),
        get("/api/plans/{name}", "A plan that is kept", plans::open).gives(200, "As it is kept", Json("stored-plan")),
        put("/api/plans/{name}", "Save a plan", plans::save).takes(Json("save-plan")).gives(200, "As it is kept", Json("stored-plan")).gives(409, "Another text stands there by now: that one; nothing was changed", Json("stored-plan")),
        delete("/api/plans/{name}", "Move a plan to the removed ones", plans::remove).gives(200, "As it was kept", Json("stored-plan")),
        get("/api/tests", "The test days that are kept", days::list).gives(200, "Every test day, the last changed first", Json("test-day-list")),
        post("/api/tests", "Keep a new test day", days::add).takes(Json("new-test-day")).gives(201, "As it is kept", Json("stored-test-day")),
        get("/api/tests/{name}", "A test day that is kept", days::open).gives(200, "As it is kept", Json("stored-test-day")),
        put("/api/tests/{name}", "Save a test file", days::save).takes(Json("save-test-day")).gives(200, "As it is kept", Json("stored-test-day")).gives(409, "Another text stands there by now: that one; nothing was changed", Json("stored-test-day")),
        delete("/api/tests/{name}", "Move a test day to the removed ones", days::remove).gives(200, "As it was kept", Json("stored-test-day")),
        get("/api/tests/{name}/files/{file}", "The bytes of a file of a test day", days::file).gives(200, "As they are kept", FILE),
        put("/api/tests/{name}/files/{file}", "Put a file into a test day, never over other bytes", upload::put).takes(FILE).gives(200, "As it is kept", Json("test-day-file")),
        delete("/api/tests/{name}/files/{file}", "Move a file that the test file does not name to the removed ones", days::remove_file).gives(200, "The test day without it", Json("stored-test-day")),
        post("/api/tests/{name}/edit", "Change a test file's text", days::edit).takes(Json("edit-test-day")).gives(200, "After the changes, its mistakes among it", Json("stored-test-day")).gives(409, "Another text stands there by now: that one; nothing was changed", Json("stored-test-day")),
        post("/api/tests/{name}/rename", "Give a test day another name", days::rename).takes(Json("rename-test-day")).gives(200, "As it is kept", Json("stored-test-day")),
        post("/api/tests/{name}/look", "What a log seems to be", pulls::look).takes(Json("look-request")).gives(200, "A recipe for it, with reasons", Json("tests-look")),
        post("/api/tests/{name}/take-up", "Take a log into the test file: its recipe, and a table for each pull", pulls::take_up).takes(Json("take-up-request")).gives(200, "With its pulls", Json("stored-test-day")).gives(409, "Another text stands there by now: that one; nothing was changed", Json("stored-test-day")),
        post("/api/tests/{name}/read", "Read pulls off", pulls::read).takes(Json("read-request")).gives(200, "Their events and readings", Json("tests-read")),
        post("/api/tests/{name}/levels", "The load of a pull, for drawing", pulls::levels).takes(Json("levels-request")).gives(200, "Least and greatest of even parts", Json("tests-levels")),
        post("/api/tests/{name}/fit", "Fit lines to pulls", pulls::fit).takes(Json("fit-request")).gives(200, "The lines", Json("tests-fit")),
        post("/api/tests/{name}/compare", "Compare set-ups, and predictions with pulls", pulls::compare).takes(Json("compare-request")).gives(200, "Each comparison", Json("tests-compare")),
        post("/api/tests/{name}/order", "Plan the running order of a day", pulls::order).takes(Json("order-request")).gives(200, "The order, what it can show, when to stop, the record sheet", Json("tests-plan")),
        post("/api/tests/{name}/report", "Write the report of a test day", pulls::report).takes(Json("report-request")).gives(200, "The report", DOCUMENT),
        post("/api/lines", "Keep a line file beside the plans", plans::add_line).takes(Json("new-line-file")).gives(201, "By which name it is kept", Json("kept-line-file")),
        post("/api/edit", "Change a plan's text; the plan as a form", operations::edit).takes(Json("edit-request")).gives(200, "After the changes, its mistakes among it", Json("edited")),
        post("/api/open-as-rig", "A method of the ladder as the plan's own rig", operations::open_as_rig).takes(Json("open-as-rig-request")).gives(200, "The plan with it", Json("edited")),
        post("/api/lay-out", "A straight rig laid out on the ground", operations::lay_out).takes(Json("lay-out-request")).gives(200, "The plan with it", Json("edited")),
        post("/api/live", "Loads, angles and zones at once", operations::live).takes(Json("live-request")).gives(200, "What can be told without many runs", Json("live")),
        post("/api/answer", "Work a plan out", answers::answer).takes(Json("plan-request")).gives(200, "The whole answer", Json("answer")),
        post("/api/replay", "Follow one recoil moment by moment", operations::replay).takes(Json("replay-request")).gives(200, "Its motion", Json("replay")),
        post("/api/brief", "Draw the brief of a plan", answers::brief).takes(Json("brief-request")).gives(200, "The brief", DOCUMENT),
        post("/api/sign-in", "Sign in, where the network is let in", sign_in::sign_in).takes(FORM).gives(303, "Signed in, by a cookie", HTML).gives(401, "Not the passphrase", HTML).gives(429, "Wrong too often", HTML),
    ]
}

/// The router over all of them, the page, and the guard in front.
pub fn router(app: App) -> Router {
    let mut router = Router::new();
    for route in routes() {
        router = router.route(route.path, route.handler);
    }
    router
        .route("/sign-in", page_at(sign_in::page))
        .route("/sign-in.css", page_at(sign_in::sheet))
        .route("/", page_at(page::index))
        .route("/{*path}", page_at(page::file))
        .route("/api/{*path}", any(nothing))
        .fallback(nothing)
        .method_not_allowed_fallback(no_such_method)
        .layer(from_fn_with_state(app.clone(), guard))
        .with_state(app)
}

async fn nothing() -> Refusal {
    Refusal::no_such_address()
}

async fn no_such_method() -> Refusal {
    Refusal::no_such_method()
}

impl Route {
    fn new<H: Handler<T, App>, T: 'static>(
        (method, filter): (&'static str, MethodFilter),
        path: &'static str,
        what: &'static str,
        handler: H,
    ) -> Self {
        Self {
            method,
            path,
            what,
            takes: None,
            gives: Vec::new(),
            handler: on(filter, handler),
        }
    }

    fn takes(self, content: Content) -> Self {
        Self {
            takes: Some(content),
            ..self
        }
    }

    fn gives(mut self, status: u16, what: &'static str, content: Content) -> Self {
        self.gives.push((status, what, content));
        self
    }
}

fn get<H: Handler<T, App>, T: 'static>(path: &'static str, what: &'static str, by: H) -> Route {
    Route::new(("get", MethodFilter::GET), path, what, by)
}

fn post<H: Handler<T, App>, T: 'static>(path: &'static str, what: &'static str, by: H) -> Route {
    Route::new(("post", MethodFilter::POST), path, what, by)
}

fn put<H: Handler<T, App>, T: 'static>(path: &'static str, what: &'static str, by: H) -> Route {
    Route::new(("put", MethodFilter::PUT), path, what, by)
}

fn delete<H: Handler<T, App>, T: 'static>(path: &'static str, what: &'static str, by: H) -> Route {
    Route::new(("delete", MethodFilter::DELETE), path, what, by)
}
