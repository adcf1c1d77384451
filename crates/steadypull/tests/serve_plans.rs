//! Plans that the server keeps: nothing is lost, nothing overwritten unseen.

mod common;
#[path = "common/schema.rs"]
mod schema;
#[path = "common/server.rs"]
mod server;

use std::fs;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::Duration;

use common::{folder, run};
use serde_json::{Value, json};
use server::{Reply, Server};

/// A plan as it is kept, out of an answer with this status.
fn stored(reply: &Reply, status: u16) -> Value {
    assert_eq!(reply.status, status, "{}", reply.text());
    let object = reply.json();
    assert_eq!(schema::faults("stored-plan", &object), [""; 0]);
    object
}

fn listed(server: &Server) -> Vec<Value> {
    let reply = server.get("/api/plans");
    let object = reply.json();
    assert_eq!(schema::faults("plan-list", &object), [""; 0]);
    object["plans"].as_array().expect("plans").clone()
}

#[test]
fn a_plan_is_kept_opened_saved_and_removed() {
    let server = Server::start("plans-main-path");
    assert_eq!(listed(&server), [] as [Value; 0]);
    // Not a plan that can be worked out: kept to the letter all the same.
    let text = "# a comment\ntitle = \"Wombat Gully, wet\"\r\n\n\tx = \"\u{e9}\" \n";
    let new = json!({ "name": null, "plan": text });
    let kept = stored(&server.post("/api/plans", &new), 201);
    assert_eq!(kept["name"], "wombat-gully-wet");
    assert_eq!(kept["plan"], text);
    let file = server.folder.join("wombat-gully-wet.toml");
    assert_eq!(fs::read_to_string(&file).expect("a plain file"), text);
    let again = stored(&server.post("/api/plans", &new), 201);
    assert_eq!(again["name"], "wombat-gully-wet-2");
    let named = json!({ "name": "by-hand", "plan": "" });
    assert_eq!(
        stored(&server.post("/api/plans", &named), 201)["name"],
        "by-hand"
    );

    let path = "/api/plans/wombat-gully-wet";
    assert_eq!(stored(&server.get(path), 200), kept);
    let save = json!({ "plan": "title = \"Dry\"\n", "revision": kept["revision"] });
    let saved = stored(&server.send("PUT", path, &save), 200);
    assert_ne!(saved["revision"], kept["revision"]);
    assert_eq!(stored(&server.get(path), 200), saved);
    // The answer to a save may be lost on its way: the same once more is no conflict.
    assert_eq!(stored(&server.send("PUT", path, &save), 200), saved);

    let list = listed(&server);
    let names: Vec<&str> = list.iter().filter_map(|p| p["name"].as_str()).collect();
    assert_eq!(names.len(), 3, "{names:?}");
    let entry = list.iter().find(|p| p["name"] == "wombat-gully-wet");
    assert_eq!(entry.expect("an entry")["title"], "Dry");

    let gone = stored(&server.ask("DELETE", path, &[], b""), 200);
    assert_eq!(gone, saved);
    server.get(path).refused(404);
    let removed = server.folder.join("removed");
    let first = removed.join("wombat-gully-wet-1.toml");
    assert_eq!(
        fs::read_to_string(first).expect("still there"),
        "title = \"Dry\"\n"
    );
    // Another of the same name does not take its place.
    stored(&server.post("/api/plans", &new), 201);
    stored(&server.ask("DELETE", path, &[], b""), 200);
    let second = removed.join("wombat-gully-wet-2.toml");
    assert_eq!(fs::read_to_string(second).expect("there too"), text);
    server.ask("DELETE", path, &[], b"").refused(404);
    server.send("PUT", path, &save).refused(404);
    assert_eq!(listed(&server).len(), 2);
}

#[test]
fn a_conflict_shows_what_stands_there() {
    let server = Server::start("plans-conflict");
    let kept = server.post("/api/plans", &json!({ "name": "a", "plan": "one" }));
    let kept = stored(&kept, 201);
    // Somebody else, by whatever means.
    fs::write(server.folder.join("a.toml"), "two").expect("the folder is ours");
    let save = |plan: &str, revision: &Value| {
        let save = json!({ "plan": plan, "revision": revision });
        server.send("PUT", "/api/plans/a", &save)
    };
    let standing = stored(&save("three", &kept["revision"]), 409);
    assert_eq!(standing["plan"], "two");
    assert_eq!(stored(&server.get("/api/plans/a"), 200), standing);
    stored(&save("three", &json!("")), 409);
    let saved = stored(&save("three", &standing["revision"]), 200);
    assert_eq!(saved["plan"], "three");
}

#[test]
fn files_dropped_in_by_hand_are_listed_with_what_is_wrong() {
    let here = folder("plans-by-hand");
    let put = |name: &str, bytes: &[u8]| fs::write(here.join(name), bytes).expect("a file");
    put("good.toml", b"title = \"Good\"\nbroken ==== \n");
    put("no-text.toml", b"title = \"\xff\xfe\"");
    put("Creek Crossing.toml", b"title = \"Creek\"");
    put("long.toml", &vec![b'#'; 2 << 20]);
    put("empty.toml", b"");
    put("notes.txt", b"no plan");
    put(".hidden.toml", b"");
    fs::create_dir(here.join("folder.toml")).expect("a folder");
    let server = Server::start_in(&here);
    let list = listed(&server);
    let about = |name: &str| {
        let found = list.iter().find(|plan| plan["name"] == name);
        let found = found.unwrap_or_else(|| panic!("{name} in {list:?}"));
        let problem = found["problem"].as_str().unwrap_or_default();
        (found["title"].clone(), problem.to_string())
    };
    assert_eq!(list.len(), 6, "{list:?}");
    assert_eq!(about("good"), (json!("Good"), String::new()));
    assert_eq!(about("empty"), (Value::Null, String::new()));
    for (name, wrong) in [
        ("no-text", "UTF-8"),
        ("long", "too long"),
        ("folder", "no file"),
        ("Creek Crossing", "rename"),
    ] {
        let (_, problem) = about(name);
        assert!(problem.contains(wrong), "{name}: {problem}");
    }
    // Nothing is changed of what cannot be read.
    let save = json!({ "plan": "x", "revision": "" });
    for name in ["no-text", "long", "folder"] {
        let path = format!("/api/plans/{name}");
        server.get(&path).refused(422);
        server.send("PUT", &path, &save).refused(422);
        server.ask("DELETE", &path, &[], b"").refused(422);
    }
    assert_eq!(listed(&server), list);
    let new = json!({ "name": "folder", "plan": "x" });
    assert_eq!(
        stored(&server.post("/api/plans", &new), 201)["name"],
        "folder-2"
    );
}

/// A line file of the tests demo, and a plan that takes its line by `file`.
fn with_a_line(here: &Path) -> (String, impl Fn(&str) -> String) {
    let demo = here.with_extension("demo");
    let text = |path: &Path| path.to_string_lossy().into_owned();
    let _ = fs::remove_dir_all(&demo);
    assert_eq!(run(&["tests", "example", "-o", &text(&demo)]).code, 0);
    let line = text(&here.join("strap.line.toml"));
    let fit = [
        "tests",
        "fit",
        &text(&demo.join("tests.toml")),
        "--use",
        &line,
    ];
    assert_eq!(run(&fit).code, 0);
    let plan = |named: &str| {
        format!(
            "title = \"Named\"\n[casualty]\nmass = \"2.6 t\"\nsits_in = \"clay\"\n\
             [casualty.point.rear]\nkind = \"rated\"\nwll = \"5 t\"\n\
             [tug]\nmass = \"2.9 t\"\nsurface = \"dry-earth\"\n\
             [tug.point.front]\nkind = \"rated\"\nwll = \"5 t\"\n\
             [line.strap]\nfile = \"{named}\"\n[rig]\nmethod = \"steady-tow\"\n\
             path = [\"casualty.rear\", \"strap\", \"tug.front\"]\n"
        )
    };
    (fs::read_to_string(line).expect("a line file"), plan)
}

#[test]
fn line_files_lie_beside_the_plans_and_are_none() {
    let here = folder("plans-lines");
    let (line, plan) = with_a_line(&here);
    let server = Server::start_in(&here);
    let named = plan("strap.line.toml");
    stored(
        &server.post("/api/plans", &json!({ "name": "named", "plan": named })),
        201,
    );
    let names: Vec<Value> = listed(&server).iter().map(|p| p["name"].clone()).collect();
    assert_eq!(names, ["named"]);

    let answer =
        |plan: &str| server.post("/api/answer", &json!({ "plan": plan, "units": "metric" }));
    let tested = |object: &Value| object["plan"]["tested"][0].clone();
    let first = answer(&named).json();
    assert_eq!(schema::faults("answer", &first), [""; 0]);
    assert_eq!(tested(&first)["file"], "strap.line.toml");
    // The plan is the same, the line file is not: no answer of before is given again.
    let other = line.replace("date = \"2031-05-14\"", "date = \"2031-05-15\"");
    assert_ne!(other, line);
    fs::write(here.join("strap.line.toml"), &other).expect("the folder is ours");
    assert_eq!(tested(&answer(&named).json())["date"], "2031-05-15");
    // What a request carries holds.
    let carried = json!({ "plan": named, "units": "metric", "lines": { "strap.line.toml": line } });
    let carried = server.post("/api/answer", &carried).json();
    assert_eq!(carried, first);

    let errors = |path: &str, more: &Value| {
        let mut asked = json!({ "plan": plan("strap.line.toml"), "units": "metric" });
        let asked_of = asked.as_object_mut().expect("an object");
        asked_of.extend(more.as_object().expect("an object").clone());
        server.post(path, &asked).json()["errors"].clone()
    };
    let edits = json!({ "edits": [] });
    for path in ["/api/edit", "/api/live"] {
        assert_eq!(errors(path, &edits), json!([]), "{path}");
    }
    let swap =
        json!({ "edits": [{ "path": ["line", "strap", "file"], "value": "gone.line.toml" }] });
    assert_eq!(errors("/api/live", &swap)[0]["key"], "line.strap.file");
    fs::copy(here.join("strap.line.toml"), here.join("gone.line.toml")).expect("a copy");
    assert_eq!(errors("/api/live", &swap), json!([]));
    let brief = json!({ "plan": named, "format": "html", "units": "metric" });
    assert!(
        server
            .post("/api/brief", &brief)
            .text()
            .contains("strap.line.toml")
    );

    // Nothing outside of the folder, nothing that is no plain file, no wait on a pipe.
    fs::write(here.with_extension("line.toml"), &line).expect("a file beside the folder");
    fs::create_dir(here.join("folder.line.toml")).expect("a folder");
    let beside = here
        .file_name()
        .expect("a name")
        .to_string_lossy()
        .into_owned();
    for name in [
        format!("../{beside}.line.toml"),
        "folder.line.toml".into(),
        "con.line.toml".into(),
        "named.toml".into(),
        "/etc/passwd".into(),
        "none.line.toml".into(),
    ] {
        let reply = answer(&plan(&name));
        assert_eq!(reply.status, 422, "{name}");
        assert_eq!(
            reply.json()["errors"][0]["key"],
            "line.strap.file",
            "{name}"
        );
    }
}

#[test]
fn names_that_lead_elsewhere_are_refused() {
    let server = Server::start("plans-names");
    let outside = server.folder.with_extension("toml");
    fs::write(&outside, "secret").expect("a file beside the folder");
    let name = server.folder.file_name().expect("a name").to_string_lossy();
    let up = format!("..%2f{name}");
    let long = "a".repeat(81);
    for name in [
        up.as_str(),
        "..%2Fx",
        "%2e%2e%2fx",
        "..",
        "%2e%2e",
        ".",
        "a%00b",
        "%00",
        "a%2fb",
        "a%5cb",
        "%2fetc%2fpasswd",
        "C%3a",
        "con",
        "nul",
        "com1",
        "UPPER",
        "a.toml",
        "a%20b",
        "%c3%a9",
        "%ff%fe",
        ".lock",
        "-rf",
        &long,
    ] {
        let path = format!("/api/plans/{name}");
        for reply in [
            server.get(&path),
            server.send("PUT", &path, &json!({ "plan": "x", "revision": "" })),
            server.ask("DELETE", &path, &[], b""),
        ] {
            assert!(
                matches!(reply.status, 400 | 404 | 422),
                "{name}: {}",
                reply.status
            );
            let words = reply.refused(reply.status);
            assert!(!reply.text().contains("secret"), "{name}: {words}");
        }
    }
    for name in ["../x", "a/b", "a\0b", "", "con", "A"] {
        let new = json!({ "name": name, "plan": "x" });
        let words = server.post("/api/plans", &new).refused(422);
        assert!(words.contains("no name for a plan"), "{name:?}: {words}");
    }
    assert_eq!(listed(&server), [] as [Value; 0]);
    assert_eq!(fs::read_to_string(&outside).expect("untouched"), "secret");
    server.check_alive();
}

#[test]
fn a_plan_longer_than_any_is_not_kept() {
    let server = Server::start("plans-long");
    let long = "#".repeat((1 << 20) + 1);
    let new = json!({ "name": "a", "plan": long });
    server.post("/api/plans", &new).refused(413);
    let most = json!({ "name": "a", "plan": &long[1..] });
    let kept = stored(&server.post("/api/plans", &most), 201);
    let save = json!({ "plan": long, "revision": kept["revision"] });
    server.send("PUT", "/api/plans/a", &save).refused(413);
    assert_eq!(stored(&server.get("/api/plans/a"), 200), kept);
}

/// A text that tells its number and whether it is whole.
fn numbered(number: u64) -> String {
    format!(
        "title = \"Save {number}\"\n# {}\n# end {number}\n",
        "x".repeat(40_000)
    )
}

fn number_of(text: &str) -> u64 {
    let number = text
        .strip_prefix("title = \"Save ")
        .and_then(|t| t.split('"').next());
    let number = number.and_then(|n| n.parse().ok());
    let number = number.unwrap_or_else(|| panic!("half a plan: {} bytes", text.len()));
    assert!(
        text == numbered(number),
        "half of save {number}: {} bytes",
        text.len()
    );
    number
}

#[test]
fn a_killed_server_loses_nothing_that_it_kept() {
    let here = folder("plans-killed");
    fs::write(here.join("a.toml"), numbered(0)).expect("the folder is ours");
    let sent = AtomicU64::new(0);
    let kept = AtomicU64::new(0);
    let mut added = 0;
    for round in 0..12_u64 {
        let mut server = Server::start_in(&here);
        let plan = stored(&server.get("/api/plans/a"), 200);
        let standing = number_of(plan["plan"].as_str().expect("text"));
        assert!(
            standing >= kept.load(Ordering::SeqCst),
            "save {standing} came back"
        );
        assert!(standing <= sent.load(Ordering::SeqCst));
        let at = server.at;
        let over = AtomicBool::new(false);
        std::thread::scope(|scope| {
            scope.spawn(|| {
                let mut revision = plan["revision"].clone();
                while !over.load(Ordering::SeqCst) {
                    let number = sent.fetch_add(1, Ordering::SeqCst) + 1;
                    let save = json!({ "plan": numbered(number), "revision": revision });
                    let Some(reply) = try_send(at, "PUT", "/api/plans/a", &save) else {
                        break;
                    };
                    revision = stored(&reply, 200)["revision"].clone();
                    kept.store(number, Ordering::SeqCst);
                }
            });
            scope.spawn(|| {
                while !over.load(Ordering::SeqCst) {
                    let new = json!({ "name": "new", "plan": numbered(7) });
                    let Some(reply) = try_send(at, "POST", "/api/plans", &new) else {
                        break;
                    };
                    stored(&reply, 201);
                    added += 1;
                }
            });
            std::thread::sleep(Duration::from_millis(40 + 37 * (round % 5)));
            server.kill();
            over.store(true, Ordering::SeqCst);
        });
    }
    assert!(
        kept.load(Ordering::SeqCst) > 12,
        "hardly anything was saved"
    );
    let server = Server::start_in(&here);
    let list = listed(&server);
    assert!(
        list.len() > added,
        "{} of {added} new plans",
        list.len() - 1
    );
    for plan in list {
        assert_eq!(plan["problem"], Value::Null, "{plan}");
        let name = plan["name"].as_str().expect("a name");
        let text = fs::read_to_string(here.join(format!("{name}.toml"))).expect("a plan");
        number_of(&text);
    }
}

/// An answer, or none where the server is gone.
fn try_send(at: std::net::SocketAddr, method: &str, path: &str, object: &Value) -> Option<Reply> {
    use std::io::Write;
    let body = object.to_string();
    let mut stream = std::net::TcpStream::connect(at).ok()?;
    let head = format!(
        "{method} {path} HTTP/1.1\r\nhost: {at}\r\nconnection: close\r\n\
         content-type: application/json\r\ncontent-length: {}\r\n\r\n",
        body.len()
    );
    stream.write_all(head.as_bytes()).ok()?;
    stream.write_all(body.as_bytes()).ok()?;
    server::reply(&mut stream)
}

#[test]
fn two_servers_over_one_folder_do_not_write_over_each_other() {
    let here = folder("plans-two-servers");
    let servers = [Server::start_in(&here), Server::start_in(&here)];
    stored(
        &servers[0].post("/api/plans", &json!({ "name": "a", "plan": "" })),
        201,
    );
    // Each adds lines of its own to the text that it read; a conflict is tried again.
    let write = |server: &Server, who: &str| {
        for number in 0..25 {
            loop {
                let plan = stored(&server.get("/api/plans/a"), 200);
                let text = plan["plan"].as_str().expect("text");
                let text = format!("{text}# {who} {number}\n");
                let save = json!({ "plan": text, "revision": plan["revision"] });
                let reply = server.send("PUT", "/api/plans/a", &save);
                if reply.status == 200 {
                    break;
                }
                stored(&reply, 409);
            }
        }
    };
    std::thread::scope(|scope| {
        scope.spawn(|| write(&servers[0], "here"));
        scope.spawn(|| write(&servers[1], "there"));
    });
    let text = fs::read_to_string(here.join("a.toml")).expect("the plan");
    assert_eq!(text.lines().count(), 50, "{text}");
    for who in ["here", "there"] {
        for number in 0..25 {
            assert!(
                text.contains(&format!("# {who} {number}\n")),
                "{who} {number} is lost"
            );
        }
    }
}

#[test]
fn a_line_file_is_kept_for_plans_to_name_and_never_written_over() {
    let server = Server::start("plans-lines");
    let day = folder("plans-lines-day");
    let day = day.to_str().expect("a plain path");
    run(&["tests", "example", "-o", day]);
    let fitted = run(&["tests", "fit", &format!("{day}/tests.toml"), "--json"]).json();
    let text = fitted["lines"][0]["line_toml"]
        .as_str()
        .expect("a line file");
    let keep =
        |name: &str, text: &str| server.post("/api/lines", &json!({ "name": name, "text": text }));
    let kept = |reply: Reply| {
        assert_eq!(reply.status, 201, "{}", reply.text());
        let object = reply.json();
        assert_eq!(schema::faults("kept-line-file", &object), [""; 0]);
        object["file"].as_str().expect("a name").to_string()
    };
    assert_eq!(kept(keep("strap", text)), "strap.line.toml");
    assert_eq!(
        kept(keep("strap", text)),
        "strap.line.toml",
        "it stands there already"
    );
    let other = format!("{text}\n# looked at again\n");
    assert_eq!(kept(keep("strap", &other)), "strap-2.line.toml");
    assert_eq!(listed(&server), [] as [Value; 0], "no plans");
    for (name, text, says) in [
        ("../strap", text, "no name"),
        ("strap", "length = 3", "unknown key"),
        ("strap", "", "the table [line] is missing"),
    ] {
        let refused = keep(name, text);
        assert_eq!(refused.status, 422, "{name}: {}", refused.text());
        assert!(refused.text().contains(says), "{}", refused.text());
        assert_eq!(schema::faults("errors", &refused.json()), [""; 0]);
    }
}
