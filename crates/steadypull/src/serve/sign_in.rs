//! Signing in with the passphrase, where the network is let in: a page without script.

use std::net::IpAddr;
use std::time::Instant;

use axum::Extension;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};

use super::app::App;
use super::asked::{is_of, whole};
use super::door::{COOKIE, Door, WAIT};
use super::refusal::Refusal;
use super::reply::{Reply, bytes_of};

const PAGE: &str = "/sign-in";
const SHEET: &str = "/sign-in.css";
const FORM: &str = "/api/sign-in";

/// Where a request comes from.
#[derive(Clone, Copy)]
pub struct Peer(pub IpAddr);

/// Whether a request may go on: everything may where no door is, and the sign-in itself.
pub fn is_let_in(app: &App, request: &Request) -> bool {
    let open = matches!(request.uri().path(), PAGE | SHEET | FORM);
    let knows = |door: &Door| door.knows(request.headers());
    open || app.door.as_ref().is_none_or(knows)
}

/// What somebody without a session gets: a program the reason, a person the sign-in page.
pub fn shown_the_door(uri: &Uri) -> Response {
    if !uri.path().starts_with("/api/") {
        return to(PAGE);
    }
    Refusal::new(
        StatusCode::UNAUTHORIZED,
        "nobody is signed in",
        "open the page of this server in a browser and give the passphrase",
    )
    .into_response()
}

fn to(path: &'static str) -> Response {
    let mut response = StatusCode::SEE_OTHER.into_response();
    let headers = response.headers_mut();
    headers.insert(header::LOCATION, HeaderValue::from_static(path));
    response
}

/// The sign-in page.
pub async fn page(State(app): State<App>) -> Reply {
    match app.door {
        Some(_) => Ok(form(StatusCode::OK, "")),
        None => Err(Refusal::no_such_address()),
    }
}

/// Its style sheet.
pub async fn sheet() -> Response {
    let sheet = include_str!("sign_in.css");
    bytes_of(StatusCode::OK, "text/css; charset=utf-8", sheet)
}

/// The passphrase, as the form of the page sends it.
pub async fn sign_in(
    State(app): State<App>,
    Extension(Peer(peer)): Extension<Peer>,
    headers: HeaderMap,
    body: Body,
) -> Reply {
    let door = app.door.as_ref().ok_or_else(Refusal::no_such_address)?;
    if !is_of(&headers, "application/x-www-form-urlencoded") {
        return Err(Refusal::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "this is not sent as a form",
            "sign in on the page of this server",
        ));
    }
    let body = whole(body).await?;
    let given = form_urlencoded::parse(&body).find(|(name, _)| name == "passphrase");
    let given = given
        .map(|(_, given)| given.into_owned())
        .unwrap_or_default();
    if door.count(peer, Instant::now()).is_none() {
        let mut wait = form(
            StatusCode::TOO_MANY_REQUESTS,
            "That was wrong too often. Wait a minute, then try again.",
        );
        let seconds = HeaderValue::from(WAIT.as_secs());
        wait.headers_mut().insert(header::RETRY_AFTER, seconds);
        return Ok(wait);
    }
    let Some(session) = door.opened(given.as_bytes()) else {
        return Ok(form(
            StatusCode::UNAUTHORIZED,
            "That is not the passphrase. Ask whoever started the server.",
        ));
    };
    door.forgive(peer);
    let cookie = format!("{COOKIE}={session}; HttpOnly; SameSite=Strict; Path=/");
    let cookie = HeaderValue::from_str(&cookie).map_err(|_| Refusal::fault())?;
    let mut response = to("/");
    response.headers_mut().insert(header::SET_COOKIE, cookie);
    Ok(response)
}

fn form(status: StatusCode, said: &str) -> Response {
    let said = match said {
        "" => String::new(),
        said => format!("<p role=\"alert\">{said}</p>\n"),
    };
    let html = include_str!("sign_in.html").replace("<!-- said -->\n", &said);
    let mut response = bytes_of(status, "text/html; charset=utf-8", html);
    // With no referrer at all a form is sent without its origin too.
    let headers = response.headers_mut();
    headers.insert(
        header::REFERRER_POLICY,
        HeaderValue::from_static("same-origin"),
    );
    response
}
