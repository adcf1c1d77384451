//! What no page of ours does to a test day: refused in words, and nothing else is read.

mod common;
#[path = "common/schema.rs"]
mod schema;
#[path = "common/server.rs"]
mod server;

use std::fs;
use std::io::Write;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use server::{Server, reply};

const SECRET: &str = "time;load\n0;31415\n1;92653\n";

fn day(server: &Server, name: &str) -> Value {
    let new = json!({ "name": name, "title": "A day", "demo": false });
    let reply = server.post("/api/tests", &new);
    assert_eq!(reply.status, 201, "{}", reply.text());
    reply.json()
}

fn files(server: &Server, name: &str) -> Vec<String> {
    let entries = fs::read_dir(server.tests.join(name))
        .expect("a day")
        .flatten();
    let mut names: Vec<String> = entries
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn names_that_lead_elsewhere_are_refused() {
    let server = Server::start("days-names");
    day(&server, "a");
    fs::write(server.tests.join("secret.csv"), SECRET).expect("a file beside the days");
    let long = "a".repeat(101);
    let names = [
        "..%2fsecret.csv",
        "..%2F..%2Fsecret.csv",
        "%2e%2e%2fsecret.csv",
        "..",
        "%2e%2e",
        ".",
        "%00",
        "a%00.csv",
        "a%0a.csv",
        "a%5c..%5csecret.csv",
        "%2fetc%2fpasswd",
        "C%3asecret.csv",
        ".lock",
        ".a.csv.1-1.part",
        "tests.toml",
        "TESTS.toml",
        "removed",
        "con.csv",
        "%c3%a9.csv",
        "%ff.csv",
        "a.csv%20",
        "a%3astream.csv",
        &long,
    ];
    for name in names {
        let path = format!("/api/tests/a/files/{name}");
        for reply in [
            server.ask("PUT", &path, &[], b"x"),
            server.ask("DELETE", &path, &[], b""),
        ] {
            let status = reply.status;
            assert!(matches!(status, 400 | 404 | 422), "{name}: {status}");
            reply.refused(status);
        }
    }
    for name in [
        "..", "%2e%2e", "a%2fb", "a%00b", "removed", "UPPER", ".lock", "con",
    ] {
        for path in [
            "",
            "/files/x.csv",
            "/look",
            "/read",
            "/levels",
            "/take-up",
            "/edit",
            "/order",
            "/rename",
        ] {
            let path = format!("/api/tests/{name}{path}");
            for method in ["GET", "PUT", "POST", "DELETE"] {
                let reply = server.send(method, &path, &json!({ "file": "secret.csv" }));
                let status = reply.status;
                let refused = matches!(status, 400 | 404 | 405 | 415 | 422);
                assert!(refused, "{method} {path}: {status}");
                assert!(!reply.text().contains("31415"));
            }
        }
    }
    for name in ["../x", "a/b", "a\0b", "", "con", "A"] {
        let new = json!({ "name": name, "title": "x", "demo": false });
        server.post("/api/tests", &new).refused(422);
    }
    // The folder of the removed ones is no day, and no day takes its place.
    let new = json!({ "name": "removed", "title": "x", "demo": false });
    assert_eq!(server.post("/api/tests", &new).json()["name"], "removed-2");
    for file in [
        "../secret.csv",
        "/etc/passwd",
        "a\0b",
        "tests.toml",
        ".lock",
    ] {
        let reply = server.post("/api/tests/a/look", &json!({ "file": file }));
        reply.refused(422);
        assert!(!reply.text().contains("31415"));
    }
    assert_eq!(files(&server, "a"), ["tests.toml"]);
    server.check_alive();
}

#[test]
fn a_test_file_leads_nowhere_but_to_its_own_folder() {
    let server = Server::start("days-test-file");
    let kept = day(&server, "a");
    fs::write(server.tests.join("secret.csv"), SECRET).expect("a file beside the days");
    let own = server.tests.join("secret.csv");
    let own = own.to_str().expect("text");
    let mut revision = kept["revision"].clone();
    for name in [
        "../secret.csv",
        own,
        "/etc/passwd",
        "a/../../secret.csv",
        "..\\\\secret.csv",
        "\\u0000",
    ] {
        // As a log, as a recipe, as marks of footage and as a plan.
        let tests = [
            format!("[pull.x]\nlog = \"{name}\"\nrecipe = \"r.toml\"\n"),
            format!("[pull.x]\nlog = \"x.csv\"\nrecipe = \"{name}\"\n"),
            format!(
                "[setup.s]\nline = \"x\"\n[pull.x]\nlog = \"x.csv\"\nrecipe = \"r.toml\"\n\
                 setup = \"s\"\n[predict.p]\nsetup = \"s\"\nplan = \"{name}\"\n"
            ),
        ];
        for text in tests {
            let text = format!("title = \"x\"\ndate = 2031-05-14\n{text}");
            let save = json!({ "text": text, "revision": revision });
            let saved = server.send("PUT", "/api/tests/a", &save);
            assert_eq!(saved.status, 200, "{}", saved.text());
            revision = saved.json()["revision"].clone();
            for (what, request) in [
                ("read", json!({ "pull": null })),
                ("compare", json!({})),
                (
                    "levels",
                    json!({ "pull": "x", "from_s": null, "to_s": null, "parts": 3 }),
                ),
            ] {
                let reply = server.post(&format!("/api/tests/a/{what}"), &request);
                reply.refused(422);
                let text = reply.text();
                assert!(!text.contains("31415") && !text.contains("root:"), "{text}");
            }
        }
    }
    // A log named as a recipe is not read as one.
    fs::write(server.tests.join("a/long.csv"), vec![b'#'; 9 << 20]).expect("a long file");
    let text =
        "title = \"x\"\ndate = 2031-05-14\n[pull.x]\nlog = \"x.csv\"\nrecipe = \"long.csv\"\n";
    let save = json!({ "text": text, "revision": revision });
    assert_eq!(server.send("PUT", "/api/tests/a", &save).status, 200);
    let reply = server.post("/api/tests/a/read", &json!({ "pull": null }));
    assert!(reply.refused(422).contains("too long"), "{}", reply.text());
    server.check_alive();
}

#[cfg(unix)]
#[test]
fn links_and_pipes_are_not_followed() {
    use std::os::unix::fs::symlink;
    let server = Server::start("days-links");
    day(&server, "a");
    let outside = server.folder.join("secret.csv");
    fs::write(&outside, SECRET).expect("a file outside");
    let inside = server.tests.join("a");
    symlink(&outside, inside.join("link.csv")).expect("a link");
    let pipe = inside.join("pipe.csv");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("mkfifo is there").success());
    for name in ["link.csv", "pipe.csv"] {
        let reply = server.post("/api/tests/a/look", &json!({ "file": name }));
        let words = reply.refused(422);
        assert!(words.contains("link"), "{name}: {words}");
        assert!(!reply.text().contains("31415"));
        // Nor written through.
        let path = format!("/api/tests/a/files/{name}");
        server.ask("PUT", &path, &[], b"x").refused(422);
        let day = server.get("/api/tests/a").json();
        let file = day["files"].as_array().expect("files").iter();
        let file = file.clone().find(|file| file["name"] == name);
        assert!(file.expect("listed")["problem"].is_string());
    }
    assert_eq!(fs::read_to_string(&outside).expect("untouched"), SECRET);

    // A day that is a link, and a day whose test file is one.
    let elsewhere = server.folder.join("elsewhere");
    fs::create_dir(&elsewhere).expect("a folder");
    fs::write(elsewhere.join("tests.toml"), "title = \"31415\"").expect("a file");
    symlink(&elsewhere, server.tests.join("linked")).expect("a link");
    fs::create_dir(server.tests.join("b")).expect("a day");
    symlink(
        elsewhere.join("tests.toml"),
        server.tests.join("b/tests.toml"),
    )
    .expect("a link");
    fs::create_dir(server.tests.join("bare")).expect("a folder");
    for name in ["linked", "b", "bare"] {
        let path = format!("/api/tests/{name}");
        let reply = server.get(&path);
        reply.refused(422);
        assert!(!reply.text().contains("31415"), "{}", reply.text());
        let save = json!({ "text": "x", "revision": "" });
        server.send("PUT", &path, &save).refused(422);
        server.ask("DELETE", &path, &[], b"").refused(422);
    }
    let list = server.get("/api/tests").json();
    let list = list["days"].as_array().expect("days").clone();
    let wrong = list.iter().filter(|day| day["problem"].is_string()).count();
    assert_eq!((list.len(), wrong), (4, 3), "{list:?}");
    server.check_alive();
}

#[test]
fn a_file_that_breaks_off_is_not_kept() {
    let server = Server::start("days-broken-off");
    day(&server, "a");
    let head = |length: &str| {
        format!(
            "PUT /api/tests/a/files/x.csv HTTP/1.1\r\nhost: {}\r\nconnection: close\r\n{length}\r\n\r\n",
            server.at
        )
    };
    // Gone in the middle, with its length said and without.
    for length in ["content-length: 100000", "transfer-encoding: chunked"] {
        let mut stream = server.connect();
        stream.write_all(head(length).as_bytes()).expect("a head");
        stream.write_all(b"8\r\n12345678\r\n").expect("a part");
        stream.shutdown(std::net::Shutdown::Both).expect("gone");
        drop(stream);
        let since = Instant::now();
        while files(&server, "a").len() > 1 && since.elapsed() < Duration::from_secs(30) {
            std::thread::sleep(Duration::from_millis(20));
        }
        assert_eq!(files(&server, "a"), ["tests.toml"], "{length}");
    }
    // Half closed: there is somebody to hear that it broke off.
    let mut stream = server.connect();
    stream
        .write_all(head("content-length: 100000").as_bytes())
        .expect("a head");
    stream.write_all(b"12345678").expect("a part");
    stream
        .shutdown(std::net::Shutdown::Write)
        .expect("half closed");
    if let Some(heard) = reply(&mut stream) {
        heard.refused(400);
    }
    // A length that nobody will wait for, and one that is none.
    let claimed = |length: &str| {
        let mut stream = server.connect();
        let length = format!("content-length: {length}");
        stream.write_all(head(&length).as_bytes()).expect("a head");
        reply(&mut stream).expect("an answer")
    };
    let words = claimed("1073741825").refused(413);
    assert!(words.contains("too long"), "{words}");
    let status = claimed("18446744073709551615").status;
    assert!((400..500).contains(&status), "{status}");
    assert_eq!(files(&server, "a"), ["tests.toml"]);
    // The same under that name is welcome after all that.
    let sent = server.ask("PUT", "/api/tests/a/files/x.csv", &[], b"whole");
    assert_eq!(sent.status, 200, "{}", sent.text());
}

#[test]
fn a_killed_server_leaves_no_half_file_under_a_name() {
    let mut server = Server::start("days-killed");
    day(&server, "a");
    let mut stream = server.connect();
    let head = format!(
        "PUT /api/tests/a/files/x.csv HTTP/1.1\r\nhost: {}\r\ncontent-length: 9000000\r\n\r\n",
        server.at
    );
    stream.write_all(head.as_bytes()).expect("a head");
    stream.write_all(&vec![b'7'; 4_000_000]).expect("a part");
    let since = Instant::now();
    while files(&server, "a").len() < 2 && since.elapsed() < Duration::from_secs(30) {
        std::thread::sleep(Duration::from_millis(20));
    }
    server.kill();
    assert!(!files(&server, "a").contains(&"x.csv".to_string()));
    let again = Server::start_in(&server.folder);
    let list = again.get("/api/tests/a").json();
    assert_eq!(list["files"], json!([]));
    let sent = again.ask("PUT", "/api/tests/a/files/x.csv", &[], b"whole");
    assert_eq!(sent.status, 200, "{}", sent.text());
}

#[test]
fn other_pages_are_refused() {
    let server = Server::start("days-origin");
    day(&server, "a");
    let theirs = ("origin", "http://wombat.example");
    for (method, path) in [
        ("GET", "/api/tests"),
        ("POST", "/api/tests"),
        ("PUT", "/api/tests/a/files/x.csv"),
        ("DELETE", "/api/tests/a"),
        ("POST", "/api/tests/a/compare"),
    ] {
        let words = server.ask(method, path, &[theirs], b"x").refused(403);
        assert!(words.contains("another place"), "{words}");
    }
    assert_eq!(files(&server, "a"), ["tests.toml"]);
}
