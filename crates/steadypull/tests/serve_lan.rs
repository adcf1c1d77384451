//! The network is let in by a passphrase alone.

mod common;
#[path = "common/schema.rs"]
mod schema;
#[path = "common/server.rs"]
mod server;

use std::net::{IpAddr, Ipv4Addr};

use common::{binary, folder};
use serde_json::json;
use server::{Reply, Server};

const WORDS: &str = "four wombats dig & dig";
const FORM: (&str, &str) = ("content-type", "application/x-www-form-urlencoded");

fn start(name: &str) -> Server {
    let here = folder(name);
    Server::with(&here, &["--lan"], |command| {
        command.env("STEADYPULL_PASSPHRASE", WORDS);
    })
}

fn sign_in(server: &Server, passphrase: &str) -> Reply {
    let body: String = form_urlencoded::Serializer::new(String::new())
        .append_pair("passphrase", passphrase)
        .finish();
    server.ask("POST", "/api/sign-in", &[FORM], body.as_bytes())
}

#[test]
fn without_a_passphrase_it_does_not_start() {
    let here = folder("lan-none");
    let run = |passphrase: Option<&str>| {
        let mut command = binary();
        command
            .args(["serve", "--lan", "--port", "0", "--plans"])
            .arg(&here);
        match passphrase {
            Some(words) => command.env("STEADYPULL_PASSPHRASE", words),
            None => command.env_remove("STEADYPULL_PASSPHRASE"),
        };
        let output = command.output().expect("the binary starts");
        assert_eq!(output.status.code(), Some(1));
        assert!(output.stdout.is_empty());
        String::from_utf8(output.stderr).expect("text")
    };
    assert!(run(None).contains("STEADYPULL_PASSPHRASE"));
    for short in ["", "wombat", "elevenchars"] {
        let said = run(Some(short));
        assert!(said.contains("too short"), "{short:?}: {said}");
    }
}

#[test]
fn it_says_what_it_exposes() {
    let server = start("lan-exposes");
    assert_eq!(schema::faults("serving", &server.said), [""; 0]);
    let notes = server.said["notes"].to_string();
    for part in [
        "everybody who can reach",
        "read, change, add and remove",
        "plain HTTP",
    ] {
        assert!(notes.contains(part), "{part}: {notes}");
    }
    assert!(!server.said.to_string().contains(WORDS));
}

#[test]
fn nothing_is_shown_to_whoever_is_not_signed_in() {
    let server = start("lan-signed-out");
    for path in ["/", "/assets/x.js", "/nothing"] {
        let reply = server.get(path);
        assert_eq!(reply.status, 303, "{path}");
        assert_eq!(reply.header("location"), Some("/sign-in"));
        assert!(reply.body.is_empty());
    }
    for path in [
        "/api/health",
        "/api/plans",
        "/api/openapi.json",
        "/api/nothing",
    ] {
        let words = server.get(path).refused(401);
        assert!(words.contains("signed in"), "{path}: {words}");
    }
    let new = json!({ "name": "a", "plan": "x" });
    server.post("/api/plans", &new).refused(401);
    server.ask("DELETE", "/api/plans/a", &[], b"").refused(401);
    for cookie in [
        "",
        "steadypull_session=",
        "steadypull_session=0000",
        "a=b; c",
    ] {
        let reply = server.ask("GET", "/api/plans", &[("cookie", cookie)], b"");
        reply.refused(401);
    }
    let page = server.get("/sign-in");
    assert_eq!(page.status, 200);
    let text = page.text();
    assert!(
        text.contains("type=\"password\"") && text.contains("not encrypted"),
        "{text}"
    );
    assert!(
        !text.contains("<script") && !text.contains("<style"),
        "{text}"
    );
    let policy = page.header("content-security-policy").expect("a policy");
    assert!(policy.contains("default-src 'none'") && policy.contains("form-action 'self'"));
    assert_eq!(server.get("/sign-in.css").status, 200);
}

#[test]
fn the_passphrase_opens_and_nothing_else() {
    let server = start("lan-sign-in");
    for wrong in ["", "four wombats dig & di", "FOUR WOMBATS DIG & DIG"] {
        let reply = sign_in(&server, wrong);
        assert_eq!(reply.status, 401, "{wrong:?}");
        assert!(reply.header("set-cookie").is_none());
        assert!(
            reply.text().contains("not the passphrase"),
            "{}",
            reply.text()
        );
    }
    let reply = sign_in(&server, WORDS);
    assert_eq!(reply.status, 303);
    assert_eq!(reply.header("location"), Some("/"));
    let cookie = reply.header("set-cookie").expect("a session");
    let (session, flags) = cookie.split_once("; ").expect("flags");
    for flag in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(flags.split("; ").any(|f| f == flag), "{flag}: {flags}");
    }
    let (name, value) = session.split_once('=').expect("a value");
    assert_eq!((name, value.len()), ("steadypull_session", 64));
    assert!(value.bytes().all(|b| b.is_ascii_hexdigit()));

    let ask = |method: &str, path: &str| server.ask(method, path, &[("cookie", session)], b"");
    assert_eq!(ask("GET", "/api/health").status, 200);
    assert_ne!(ask("GET", "/").status, 303);
    // A session lets nobody in from another page, nor under another name.
    let headers = [("cookie", session), ("origin", "http://wombat.example")];
    server
        .ask("DELETE", "/api/plans/a", &headers, b"")
        .refused(403);
    let host = format!("wombat.example:{}", server.at.port());
    let named = [("host", host.as_str()), ("cookie", session)];
    server.raw("GET", "/api/plans", &named, b"").refused(403);
    // By another number of this machine it may be reached.
    let number = format!("192.0.2.7:{}", server.at.port());
    let numbered = [("host", number.as_str()), ("cookie", session)];
    assert_eq!(server.raw("GET", "/api/health", &numbered, b"").status, 200);
    assert_eq!(server.at.ip(), IpAddr::V4(Ipv4Addr::LOCALHOST));

    // Another process knows no session of this one.
    let other = start("lan-other");
    let reply = other.ask("GET", "/api/health", &[("cookie", session)], b"");
    reply.refused(401);
}

#[test]
fn wrong_tries_have_to_wait() {
    let server = start("lan-tries");
    for _ in 0..5 {
        assert_eq!(sign_in(&server, "no").status, 401);
    }
    for words in ["no", WORDS] {
        let reply = sign_in(&server, words);
        assert_eq!(reply.status, 429, "{words:?}");
        assert_eq!(reply.header("retry-after"), Some("60"));
        assert!(reply.header("set-cookie").is_none());
    }
    // Many at once do not slip by.
    let server = start("lan-tries-at-once");
    let statuses: Vec<u16> = std::thread::scope(|scope| {
        let tries: Vec<_> = (0..30)
            .map(|_| scope.spawn(|| sign_in(&server, "no").status))
            .collect();
        tries
            .into_iter()
            .map(|t| t.join().expect("it ends"))
            .collect()
    });
    assert_eq!(
        statuses.iter().filter(|&&s| s == 401).count(),
        5,
        "{statuses:?}"
    );
}

#[test]
fn the_form_is_taken_from_its_own_page_alone() {
    let server = start("lan-form");
    let body = b"passphrase=four+wombats+dig+%26+dig";
    let theirs = [FORM, ("origin", "http://wombat.example")];
    server
        .ask("POST", "/api/sign-in", &theirs, body)
        .refused(403);
    let json = [("content-type", "application/json")];
    server
        .ask("POST", "/api/sign-in", &json, b"{}")
        .refused(415);
    let origin = format!("http://{}", server.at);
    let own = [FORM, ("origin", origin.as_str())];
    assert_eq!(server.ask("POST", "/api/sign-in", &own, body).status, 303);
    server.get("/api/sign-in").refused(405);
}
