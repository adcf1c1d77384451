//! What every request passes on its way in, and every answer on its way out.
//!
//! A page from elsewhere must not be able to ask anything here, not even one whose name
//! was made to lead to this machine: the server answers to its own addresses alone, and to
//! its own page. A handler that panics is answered for.

use std::net::IpAddr;

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, Uri, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use tokio::task::JoinSet;

use super::app::App;
use super::policy;
use super::read_off::Shared;
use super::refusal::Refusal;
use super::sign_in;

/// The names that the server answers to.
#[derive(Debug, Clone, Copy)]
pub struct Hosts {
    /// The port that it is at.
    pub port: u16,
    /// Whether others on the network may ask too.
    pub lan: bool,
}

impl Hosts {
    /// Whether `authority`, as a request has it, is this server: by a number, or as
    /// localhost. Any other name may be one that somebody else leads here.
    fn know(self, authority: &str) -> bool {
        let (host, port) = match authority.rsplit_once(':') {
            Some((host, port)) if !port.ends_with(']') => (host, port.parse().ok()),
            _ => (authority, Some(80)),
        };
        let bare = host.strip_prefix('[').and_then(|h| h.strip_suffix(']'));
        let number = match bare {
            Some(v6) => v6.parse().map(IpAddr::V6).ok(),
            None => host.parse().map(IpAddr::V4).ok(),
        };
        let known = match number {
            Some(number) => self.lan || number.is_loopback(),
            None => host.eq_ignore_ascii_case("localhost"),
        };
        known && port == Some(self.port)
    }
}

/// The guard of every address.
pub async fn guard(State(app): State<App>, request: Request, next: Next) -> Response {
    let (head, body) = request.into_parts();
    let body = Shared::new(body);
    let request = Request::from_parts(head, Body::new(body.clone()));
    let admitted = admitted(&app, request.headers(), request.uri());
    let mut response = match admitted {
        Ok(()) if sign_in::is_let_in(&app, &request) => answered(next.run(request)).await,
        Ok(()) => sign_in::shown_the_door(request.uri()),
        Err(refusal) => refusal.into_response(),
    };
    harden(response.headers_mut());
    body.read_off().await;
    response
}

/// Refuses what is meant for another name, or comes from another place's page.
fn admitted(app: &App, headers: &HeaderMap, uri: &Uri) -> Result<(), Refusal> {
    let host = only(headers, &header::HOST).filter(|host| app.hosts.know(host));
    let host = host.ok_or_else(other_name)?;
    // A request may name its server in the address as well.
    if uri.authority().is_some_and(|authority| authority != host) {
        return Err(other_name());
    }
    let origin = headers.get(header::ORIGIN).map(HeaderValue::as_bytes);
    let own = format!("http://{host}");
    let other_origin = origin.is_some_and(|origin| !origin.eq_ignore_ascii_case(own.as_bytes()));
    // Browsers say so where they can: of a request by a page, or by the person.
    let site = headers.get("sec-fetch-site").map(HeaderValue::as_bytes);
    let other_site = site.is_some_and(|site| !matches!(site, b"same-origin" | b"none"));
    let is_page = !uri.path().starts_with("/api/");
    if other_origin || (other_site && !is_page) {
        return Err(Refusal::new(
            StatusCode::FORBIDDEN,
            "this request comes from the page of another place",
            "the page of this server, or a program that names no origin, may ask",
        ));
    }
    Ok(())
}

/// The value of a header that is there once.
fn only<'h>(headers: &'h HeaderMap, name: &HeaderName) -> Option<&'h str> {
    let mut all = headers.get_all(name).iter();
    let first = all.next()?.to_str().ok()?;
    all.next().is_none().then_some(first)
}

fn other_name() -> Refusal {
    Refusal::new(
        StatusCode::FORBIDDEN,
        "this server does not answer to that name",
        "open it at the address that it printed when it started",
    )
}

/// The answer, in a task of its own so that a panic ends there; the task goes when whoever
/// asked is gone.
async fn answered(answer: impl Future<Output = Response> + Send + 'static) -> Response {
    let mut task = JoinSet::new();
    task.spawn(answer);
    match task.join_next().await {
        Some(Ok(response)) => response,
        _ => Refusal::fault().into_response(),
    }
}

/// What a browser is told with every answer, unless the answer has its own.
fn harden(headers: &mut HeaderMap) {
    let mut tell = |name: HeaderName, value: &'static str| {
        headers
            .entry(name)
            .or_insert_with(|| HeaderValue::from_static(value));
    };
    tell(header::CONTENT_SECURITY_POLICY, policy::page());
    tell(header::X_CONTENT_TYPE_OPTIONS, "nosniff");
    tell(header::REFERRER_POLICY, "no-referrer");
    tell(header::CACHE_CONTROL, "no-store");
    let across = |name| HeaderName::from_static(name);
    tell(across("cross-origin-opener-policy"), "same-origin");
    tell(across("cross-origin-resource-policy"), "same-origin");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_is_answered_for() {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .build()
            .expect("a runtime");
        let failed = runtime.block_on(answered(async { panic!("injected") }));
        assert_eq!(failed.status(), StatusCode::INTERNAL_SERVER_ERROR);
        assert_eq!(failed.headers()[header::CONTENT_TYPE], "application/json");
        let well = runtime.block_on(answered(async { StatusCode::OK.into_response() }));
        assert_eq!(well.status(), StatusCode::OK);
    }

    #[test]
    fn only_the_own_addresses_are_known() {
        let here = Hosts {
            port: 7411,
            lan: false,
        };
        let lan = Hosts { lan: true, ..here };
        for host in [
            "localhost:7411",
            "LocalHost:7411",
            "127.0.0.1:7411",
            "[::1]:7411",
        ] {
            assert!(here.know(host) && lan.know(host), "{host}");
        }
        for host in ["192.168.4.2:7411", "[fe80::1]:7411"] {
            assert!(!here.know(host) && lan.know(host), "{host}");
        }
        for host in [
            "",
            "localhost",
            "localhost:80",
            "127.0.0.1",
            "wombat-gully.example:7411",
            "localhost.example:7411",
            "127.0.0.1.example:7411",
            "127.0.0.1:7411:7411",
            "user@127.0.0.1:7411",
            "::1:7411",
            "[::1]",
            "2130706433:7411",
            "0x7f.1:7411",
            "localhost:7411x",
        ] {
            assert!(!here.know(host) && !lan.know(host), "{host}");
        }
        let usual = Hosts {
            port: 80,
            lan: false,
        };
        assert!(usual.know("localhost") && usual.know("[::1]"));
    }
}
