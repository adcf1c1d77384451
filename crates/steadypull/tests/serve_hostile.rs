//! What no page of ours sends: refused in words, and the server goes on.

mod common;
#[path = "common/schema.rs"]
mod schema;
#[path = "common/server.rs"]
mod server;

use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::Barrier;

use serde_json::json;
use server::{Server, reply};

const JSON: (&str, &str) = ("content-type", "application/json");

#[test]
fn bodies_that_are_none_of_ours_are_refused_in_words() {
    let server = Server::start("hostile-bodies");
    let deep = format!("{{\"plan\": \"\", \"edits\": {}", "[".repeat(200_000));
    let cases: [(&[u8], u16, &str); 12] = [
        (b"", 400, "no JSON"),
        (b"{", 400, "no JSON"),
        (b"{\"plan\": \"x\"} more", 400, "no JSON"),
        (b"\xff\xfe", 400, "no JSON"),
        (b" [\"title = 'x'\"]", 422, "a list"),
        (b"{\"plan\": NaN}", 400, "no JSON"),
        (b"[]", 422, "not what is asked"),
        (b"null", 422, "not what is asked"),
        (b"{}", 422, "plan"),
        (b"{\"plan\": 3}", 422, "expected a string"),
        (b"{\"plan\": null}", 422, "expected a string"),
        (b"{\"plan\": \"\", \"other\": 1}", 422, "other"),
    ];
    for path in [
        "/api/answer",
        "/api/edit",
        "/api/replay",
        "/api/brief",
        "/api/plans",
    ] {
        for (body, status, said) in &cases {
            let reply = server.ask("POST", path, &[JSON], body);
            let start = String::from_utf8_lossy(&body[..body.len().min(40)]);
            // Each has its own fields, and may miss one of them first.
            let exact = path == "/api/answer";
            assert!(exact || matches!(reply.status, 400 | 422), "{path} {start}");
            let words = reply.refused(if exact { *status } else { reply.status });
            assert!(!exact || words.contains(said), "{path} {start}: {words}");
        }
    }
    let deep = server.ask("POST", "/api/edit", &[JSON], deep.as_bytes());
    assert!(matches!(deep.status, 400 | 422), "{}", deep.text());
    deep.refused(deep.status);
    for kind in [
        "text/plain",
        "application/x-www-form-urlencoded",
        "multipart/form-data",
        "",
    ] {
        let reply = server.ask("POST", "/api/plans", &[("content-type", kind)], b"{}");
        assert!(reply.refused(415).contains("JSON"));
    }
    let kept = server.get("/api/plans").json();
    assert_eq!(kept["plans"], json!([]));
    server.check_alive();
}

#[test]
fn a_body_that_is_too_long_is_refused_and_not_kept_in_memory() {
    let server = Server::start("hostile-long");
    let long = vec![b' '; (2 << 20) + 1];
    let words = server
        .ask("POST", "/api/answer", &[JSON], &long)
        .refused(413);
    assert!(words.contains("too long"), "{words}");
    let longer = vec![b' '; 20 << 20];
    server
        .ask("POST", "/api/answer", &[JSON], &longer)
        .refused(413);
    // Just short enough, and no JSON.
    server
        .ask("POST", "/api/answer", &[JSON], &long[1..])
        .refused(400);
    // In pieces whose number nobody said.
    let mut stream = server.connect();
    let head = format!(
        "POST /api/answer HTTP/1.1\r\nhost: {}\r\nconnection: close\r\n\
         content-type: application/json\r\ntransfer-encoding: chunked\r\n\r\n",
        server.at
    );
    stream.write_all(head.as_bytes()).expect("a head");
    let piece = vec![b' '; 1 << 16];
    for _ in 0..40 {
        let sent = write!(stream, "{:x}\r\n", piece.len())
            .and_then(|()| stream.write_all(&piece))
            .and_then(|()| stream.write_all(b"\r\n"));
        sent.expect("it is read off");
    }
    stream.write_all(b"0\r\n\r\n").expect("the end");
    reply(&mut stream).expect("an answer").refused(413);
    server.check_alive();
}

#[test]
fn other_names_and_other_pages_are_refused() {
    let server = Server::start("hostile-names");
    let port = server.at.port();
    let own = server.at.to_string();
    let local = format!("localhost:{port}");
    for host in [own.as_str(), &local] {
        assert_eq!(
            server
                .raw("GET", "/api/health", &[("host", host)], b"")
                .status,
            200
        );
    }
    let elsewhere = [
        format!("wombat.example:{port}"),
        format!("127.0.0.1.example:{port}"),
        format!("192.0.2.7:{port}"),
        format!("127.0.0.1:{}", port ^ 1),
        "127.0.0.1".into(),
        "localhost".into(),
        String::new(),
    ];
    for host in &elsewhere {
        for path in ["/", "/api/plans", "/assets/x.js"] {
            let words = server.raw("GET", path, &[("host", host)], b"").refused(403);
            assert!(words.contains("that name"), "{host}: {words}");
        }
    }
    server.raw("GET", "/", &[], b"").refused(403);
    let twice = [("host", own.as_str()), ("host", "wombat.example")];
    assert!(matches!(
        server.raw("GET", "/", &twice, b"").status,
        400 | 403
    ));
    let named = format!("http://wombat.example:{port}/api/health");
    server
        .raw("GET", &named, &[("host", &own)], b"")
        .refused(403);

    let new = json!({ "name": "a", "plan": "x" }).to_string();
    let origin = format!("http://{own}");
    let by_name = format!("http://{local}");
    let theirs = [
        ("origin", "http://wombat.example"),
        ("origin", "null"),
        ("origin", &by_name),
        ("origin", "https://127.0.0.1"),
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-site", "same-site"),
        ("sec-fetch-site", ""),
    ];
    for header in theirs {
        for (method, path) in [
            ("POST", "/api/plans"),
            ("DELETE", "/api/plans/a"),
            ("PUT", "/api/plans/a"),
            ("GET", "/api/plans"),
        ] {
            let reply = server.ask(method, path, &[header, JSON], new.as_bytes());
            let words = reply.refused(403);
            assert!(words.contains("another place"), "{header:?}: {words}");
            assert!(reply.header("access-control-allow-origin").is_none());
        }
    }
    // Asking first whether one may ask gets no leave.
    let asking = [
        ("origin", "http://wombat.example"),
        ("access-control-request-method", "PUT"),
    ];
    let reply = server.ask("OPTIONS", "/api/plans/a", &asking, b"");
    assert_eq!(reply.status, 403);
    assert!(reply.header("access-control-allow-origin").is_none());
    assert_eq!(server.get("/api/plans").json()["plans"], json!([]));

    // A link to the page may stand anywhere; its own page may ask.
    let link = [("sec-fetch-site", "cross-site")];
    assert_ne!(server.ask("GET", "/", &link, b"").status, 403);
    let own_page = [
        ("origin", origin.as_str()),
        ("sec-fetch-site", "same-origin"),
        JSON,
    ];
    assert_eq!(
        server
            .ask("POST", "/api/plans", &own_page, new.as_bytes())
            .status,
        201
    );
}

#[test]
fn addresses_that_are_none_are_refused() {
    let server = Server::start("hostile-addresses");
    for path in [
        "/nothing",
        "/api",
        "/api/",
        "/api/nothing",
        "/api/plans/a/b",
        "/../Cargo.toml",
        "/..%2f..%2fCargo.toml",
        "/assets/../index.html",
        "/assets/%2e%2e/%2e%2e/Cargo.toml",
        "//etc/passwd",
        "/%00",
        "/.lock",
        "/sign-in",
    ] {
        let words = server.get(path).refused(404);
        assert!(words.contains("nothing at this address"), "{path}: {words}");
    }
    server.get("/%ff").refused(400);
    for (method, path) in [
        ("POST", "/"),
        ("PUT", "/api/health"),
        ("DELETE", "/api/plans"),
        ("PATCH", "/api/plans/a"),
        ("TRACE", "/"),
        ("GET", "/api/answer"),
    ] {
        server.ask(method, path, &[], b"").refused(405);
    }
    server.check_alive();
}

#[test]
fn what_is_no_request_is_cut_off() {
    let server = Server::start("hostile-noise");
    let own = server.at;
    let long = "x".repeat(80 << 10);
    let many = "a: b\r\n".repeat(500);
    for noise in [
        "\0\0\0\0\r\n\r\n".to_string(),
        "GET\r\n\r\n".into(),
        "\u{16}\u{3}\u{1}\u{2}\u{0}\r\n\r\n".into(),
        format!("GET / HTTP/1.1\r\nhost: {own}\r\nx: {long}\r\n\r\n"),
        format!("GET /{long} HTTP/1.1\r\nhost: {own}\r\n\r\n"),
        format!("GET / HTTP/1.1\r\nhost: {own}\r\n{many}\r\n"),
        format!("POST / HTTP/1.1\r\nhost: {own}\r\ncontent-length: 5\r\ncontent-length: 9\r\n\r\n"),
        format!("POST / HTTP/1.1\r\nhost: {own}\r\ncontent-length: -1\r\n\r\n"),
    ] {
        let mut stream = server.connect();
        let _ = stream.write_all(noise.as_bytes());
        let start = &noise[..noise.len().min(30)];
        let heard = reply(&mut stream).map(|reply| reply.status);
        let refused = heard.is_none_or(|status| (400..500).contains(&status));
        assert!(refused, "{start:?}: {heard:?}");
    }
    server.check_alive();
}

#[test]
fn slow_clients_are_cut_off() {
    let server = Server::start("hostile-slow");
    let host = server.at.to_string();
    std::thread::scope(|scope| {
        // A head that never ends: the line is closed.
        scope.spawn(|| {
            let mut stream = server.connect();
            write!(stream, "GET / HTTP/1.1\r\nhost: {host}\r\nx").expect("a start");
            let mut heard = Vec::new();
            let _ = stream.read_to_end(&mut heard);
            assert!(!String::from_utf8_lossy(&heard).contains(" 200 "));
        });
        // A line that says nothing at all.
        scope.spawn(|| {
            let mut stream = server.connect();
            let mut heard = Vec::new();
            let _ = stream.read_to_end(&mut heard);
            assert!(heard.is_empty());
        });
        // A body that never ends: said in words.
        scope.spawn(|| {
            let mut stream = server.connect();
            let head = "content-type: application/json\r\ncontent-length: 90\r\nconnection: close";
            write!(
                stream,
                "POST /api/answer HTTP/1.1\r\nhost: {host}\r\n{head}\r\n\r\n{{"
            )
            .expect("a start");
            let words = reply(&mut stream).expect("an answer").refused(408);
            assert!(words.contains("too long"), "{words}");
        });
        // Meanwhile others are served.
        for _ in 0..5 {
            server.check_alive();
        }
    });
    server.check_alive();
}

#[test]
fn two_hundred_clients_at_once_are_answered_or_refused_in_words() {
    let server = Server::start("hostile-crowd");
    let plan = std::fs::read_to_string(common::demo()).expect("a demo plan");
    let asked = json!({ "plan": plan });
    let gate = Barrier::new(200);
    let statuses: Vec<u16> = std::thread::scope(|scope| {
        let client = |i: usize| {
            let (server, asked, gate) = (&server, &asked, &gate);
            move || {
                gate.wait();
                let reply = match i % 4 {
                    0 => server.post(
                        "/api/plans",
                        &json!({ "name": "crowd", "plan": i.to_string() }),
                    ),
                    1 => server.post("/api/edit", &json!({ "plan": "", "edits": [] })),
                    _ => server.post("/api/answer", asked),
                };
                if reply.status == 503 {
                    assert!(reply.refused(503).contains("busy"));
                    let seconds = reply.header("retry-after").expect("when to ask again");
                    assert!(seconds.parse::<u32>().expect("seconds") > 0);
                } else {
                    assert!(matches!(reply.status, 200 | 201), "{}", reply.text());
                    reply.json();
                }
                reply.status
            }
        };
        let clients: Vec<_> = (0..200).map(|i| scope.spawn(client(i))).collect();
        clients
            .into_iter()
            .map(|c| c.join().expect("a client ends"))
            .collect()
    });
    let count = |wanted| statuses.iter().filter(|&&status| status == wanted).count();
    assert!(count(200) >= 1, "{statuses:?}");
    // What was kept is there: one file for each that was told so.
    let kept = server.get("/api/plans").json();
    let kept = kept["plans"].as_array().expect("plans").len();
    assert_eq!(kept, count(201));
    assert!(kept > 0);
    assert_eq!(server.post("/api/answer", &asked).status, 200);
}

#[test]
fn more_connections_than_there_is_room_for_are_told_so() {
    let server = Server::start("hostile-connections");
    let held: Vec<TcpStream> = (0..256).map(|_| server.connect()).collect();
    // Taken up in order, hence after all of these.
    let reply = server.get("/api/health");
    assert!(reply.refused(503).contains("connected"));
    assert!(reply.header("retry-after").is_some());
    drop(held);
    let served = || {
        (0..600).any(|_| {
            let served = server.get("/api/health").status == 200;
            std::thread::sleep(std::time::Duration::from_millis(if served {
                0
            } else {
                100
            }));
            served
        })
    };
    assert!(served(), "no room again");
}

#[test]
fn clients_that_go_away_leave_room_for_others() {
    let server = Server::start("hostile-gone");
    let plan = std::fs::read_to_string(common::demo()).expect("a demo plan");
    // Different texts, so that each is work of its own; more than may wait.
    for i in 0..40 {
        let body = json!({ "plan": format!("{plan}\n# {i}\n") }).to_string();
        let mut stream = server.connect();
        let head = format!(
            "POST /api/answer HTTP/1.1\r\nhost: {}\r\ncontent-type: application/json\r\n\
             content-length: {}\r\n\r\n{body}",
            server.at,
            body.len()
        );
        stream.write_all(head.as_bytes()).expect("a request");
    }
    server.check_alive();
    let asked = json!({ "plan": plan, "edits": [] });
    assert_eq!(
        server.post("/api/live", &asked).status,
        200,
        "behind the long ones"
    );
    let served = || {
        (0..600).any(|_| {
            let served = server.post("/api/answer", &json!({ "plan": plan })).status == 200;
            std::thread::sleep(std::time::Duration::from_millis(if served {
                0
            } else {
                100
            }));
            served
        })
    };
    assert!(served(), "no room again");
}
