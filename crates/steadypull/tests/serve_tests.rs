//! Test days that the server keeps, from a log that comes in to readings that go out.

mod common;
#[path = "common/schema.rs"]
mod schema;
#[path = "common/server.rs"]
mod server;

use std::fs;
use std::path::PathBuf;

use common::binary;
use serde_json::{Value, json};
use server::{Reply, Server};

/// An object out of an answer with this status, as its schema has it.
fn object(reply: &Reply, status: u16, schema: &str) -> Value {
    assert_eq!(reply.status, status, "{}", reply.text());
    let object = reply.json();
    assert_eq!(schema::faults(schema, &object), [""; 0]);
    object
}

fn day(reply: &Reply, status: u16) -> Value {
    object(reply, status, "stored-test-day")
}

fn listed(server: &Server) -> Vec<Value> {
    let list = object(&server.get("/api/tests"), 200, "test-day-list");
    list["days"].as_array().expect("days").clone()
}

fn new_day(server: &Server, name: &str) -> Value {
    let new = json!({ "name": name, "title": "Two logs", "demo": false });
    day(&server.post("/api/tests", &new), 201)
}

fn demo(server: &Server) -> Value {
    let new = json!({ "name": "demo", "title": "", "demo": true });
    day(&server.post("/api/tests", &new), 201)
}

fn put(server: &Server, path: &str, bytes: &[u8]) -> Reply {
    server.ask("PUT", path, &[], bytes)
}

fn file_of<'d>(day: &'d Value, name: &str) -> Option<&'d Value> {
    let files = day["files"].as_array().expect("files");
    files.iter().find(|file| file["name"] == name)
}

fn names(list: &Value, key: &str) -> Vec<String> {
    let list = list.as_array().expect("a list").iter();
    list.map(|one| one[key].as_str().expect("a name").to_string())
        .collect()
}

/// A log of one pull each five seconds, an arch of these peaks over two seconds, a
/// thousand rows a second, with noise that no filter takes for a pull.
fn log(peaks_kn: &[f64]) -> String {
    let mut text = String::from("Time (s);Load (kN)\r\n");
    let mut noise = 1_u32;
    for row in 0..5000 * peaks_kn.len() {
        noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let time_s = row as f64 / 1e3;
        let since_s = time_s % 5.0 - 1.5;
        let pull = match (0.0..2.0).contains(&since_s) {
            true => peaks_kn[row / 5000] * since_s * (2.0 - since_s),
            false => 0.0,
        };
        let load = 0.35 + pull + 0.1 * (f64::from(noise >> 8) / f64::from(1 << 24) - 0.5);
        text += &format!("{time_s:.3};{load:.4}\r\n");
    }
    text
}

#[test]
fn a_day_is_kept_opened_saved_and_removed() {
    let server = Server::start("days-main-path");
    assert_eq!(listed(&server), [] as [Value; 0]);
    let new = json!({ "name": null, "title": "Emu Flat: \"wet\" \\ dry", "demo": false });
    let kept = day(&server.post("/api/tests", &new), 201);
    assert_eq!(kept["name"], "emu-flat-wet-dry");
    let text = kept["text"].as_str().expect("text");
    assert!(
        text.contains(r#"title = "Emu Flat: \"wet\" \\ dry""#),
        "{text}"
    );
    // Without a pull it is a day in the making, and nothing is wrong with it.
    assert_eq!(kept["mistakes"], json!([]));
    assert_eq!(kept["pulls"], json!([]));
    let again = day(&server.post("/api/tests", &new), 201);
    assert_eq!(again["name"], "emu-flat-wet-dry-2");
    let blank = json!({ "name": null, "title": " ", "demo": false });
    server.post("/api/tests", &blank).refused(422);

    let path = "/api/tests/emu-flat-wet-dry";
    assert_eq!(day(&server.get(path), 200), kept);
    let save = json!({ "text": "title = \"Dry\" # kept\r\n", "revision": kept["revision"] });
    let saved = day(&server.send("PUT", path, &save), 200);
    assert_ne!(saved["revision"], kept["revision"]);
    assert_eq!(
        day(&server.send("PUT", path, &save), 200),
        saved,
        "no conflict"
    );
    let file = server.tests.join("emu-flat-wet-dry/tests.toml");
    let on_disk = fs::read_to_string(&file).expect("a plain file");
    assert_eq!(on_disk, "title = \"Dry\" # kept\r\n");
    let entry = listed(&server)
        .into_iter()
        .find(|d| d["name"] == "emu-flat-wet-dry");
    assert_eq!(entry.expect("an entry")["title"], "Dry");

    // Somebody else, by whatever means.
    fs::write(&file, "title = \"Theirs\"\n").expect("the folder is ours");
    let save = json!({ "text": "mine", "revision": saved["revision"] });
    let standing = day(&server.send("PUT", path, &save), 409);
    assert_eq!(standing["text"], "title = \"Theirs\"\n");
    let edit = json!({ "edits": [], "revision": saved["revision"] });
    assert_eq!(
        day(&server.post(&format!("{path}/edit"), &edit), 409),
        standing
    );

    put(&server, &format!("{path}/files/a.csv"), b"1;2\n");
    let gone = day(&server.ask("DELETE", path, &[], b""), 200);
    assert_eq!(gone["text"], standing["text"]);
    server.get(path).refused(404);
    let removed = server.tests.join("removed/emu-flat-wet-dry-1");
    assert_eq!(
        fs::read(removed.join("a.csv")).expect("still there"),
        b"1;2\n"
    );
    assert!(removed.join("tests.toml").is_file());
    assert_eq!(listed(&server).len(), 1, "what was removed is no day");
    server.ask("DELETE", path, &[], b"").refused(404);
}

#[test]
fn the_demo_is_answered_as_by_the_command_line() {
    let server = Server::start("days-demo");
    let kept = demo(&server);
    assert_eq!(kept["mistakes"], json!([]));
    assert_eq!(kept["pulls"].as_array().expect("pulls").len(), 10);
    assert_eq!(kept["pulls"][0]["displacement"], "Apart");
    assert_eq!(kept["setups"], json!(["dry", "wet"]));
    assert_eq!(kept["fits"], json!(["strap-dry"]));
    assert_eq!(kept["comparisons"], json!(["peak", "energy"]));
    for (file, kind) in [
        ("dry-1.csv", "log"),
        ("logger.toml", "recipe"),
        ("day.toml", "other"),
    ] {
        assert_eq!(file_of(&kept, file).expect(file)["kind"], kind, "{file}");
    }
    assert_eq!(file_of(&kept, "tests.toml"), None);
    for file in kept["files"].as_array().expect("files") {
        let hash = file["sha256"].as_str().expect("a short file is hashed");
        assert_eq!(hash.len(), 64, "{file}");
    }
    let folder = server.tests.join("demo");
    let said = |args: &[&str], file: PathBuf| -> Value {
        let out = binary()
            .args(["--json", "tests"])
            .args(args)
            .arg(file)
            .output();
        serde_json::from_slice(&out.expect("it runs").stdout).expect("JSON")
    };
    let asked = |what: &str, request: Value, schema: &str| {
        let reply = server.post(&format!("/api/tests/demo/{what}"), &request);
        object(&reply, 200, schema)
    };
    let tests = || folder.join("tests.toml");
    let all = json!({ "pull": null });
    assert_eq!(
        asked("read", all.clone(), "tests-read"),
        said(&["read"], tests())
    );
    // What is kept in memory gives the same once more.
    assert_eq!(asked("read", all, "tests-read"), said(&["read"], tests()));
    assert_eq!(
        asked("compare", json!({}), "tests-compare"),
        said(&["compare"], tests())
    );
    assert_eq!(
        asked("fit", json!({ "fit": "strap-dry" }), "tests-fit"),
        said(&["fit"], tests())
    );
    let asked_for = json!({ "units": "imperial" });
    assert_eq!(
        asked("order", asked_for, "tests-plan"),
        said(&["plan", "--units", "imperial"], tests())
    );
    // Sentences follow the units that are asked for; kept records know none.
    let feet = asked(
        "read",
        json!({ "pull": "dry-1", "units": "imperial" }),
        "tests-read",
    );
    let by_hand = ["read", "--pull", "dry-1", "--units", "imperial"];
    assert_eq!(feet, said(&by_hand, tests()));
    for (format, kind) in [
        ("html", "text/html; charset=utf-8"),
        ("pdf", "application/pdf"),
    ] {
        let wanted = json!({ "format": format, "units": "metric" });
        let reply = server.post("/api/tests/demo/report", &wanted);
        assert_eq!(
            (reply.status, reply.header("content-type")),
            (200, Some(kind))
        );
        let file = server.folder.join(format!("report.{format}"));
        let mut command = binary();
        command
            .args(["tests", "report"])
            .arg(tests())
            .arg("-o")
            .arg(&file);
        command.output().expect("it runs");
        assert_eq!(reply.body, fs::read(file).expect("a report"), "{format}");
    }
    let mut look = said(&["look"], folder.join("wet-2.csv"));
    look["file"] = "wet-2.csv".into();
    assert_eq!(
        asked("look", json!({ "file": "wet-2.csv" }), "tests-look"),
        look
    );
    for (what, request) in [
        ("read", json!({ "pull": "dry-9" })),
        ("fit", json!({ "fit": "none" })),
        (
            "levels",
            json!({ "pull": "dry-9", "from_s": null, "to_s": null, "parts": 9 }),
        ),
        (
            "levels",
            json!({ "pull": "dry-1", "from_s": 2.0, "to_s": 1.0, "parts": 9 }),
        ),
        ("look", json!({ "file": "none.csv" })),
    ] {
        server
            .post(&format!("/api/tests/demo/{what}"), &request)
            .refused(422);
    }
}

#[test]
fn a_log_comes_in_is_taken_up_read_drawn_and_corrected() {
    let server = Server::start("days-log");
    let kept = new_day(&server, "logs");
    let text = log(&[20.0, 30.0, 25.0]);
    let at = |what: &str| format!("/api/tests/logs/{what}");
    let sent = put(&server, &at("files/run%20a.csv"), text.as_bytes());
    let sent = object(&sent, 200, "test-day-file");
    assert_eq!(
        (&sent["kind"], &sent["bytes"]),
        (&json!("log"), &json!(text.len()))
    );

    let look = server.post(&at("look"), &json!({ "file": "run a.csv" }));
    let look = object(&look, 200, "tests-look");
    assert_eq!(look["sha256"], sent["sha256"]);
    assert_eq!(look["samples"], 15_000);
    let mut take = json!({
        "file": "run a.csv", "recipe": look["recipe"], "force": null, "displacement": null,
        "cell": null, "setup": null, "revision": "",
    });
    day(&server.post(&at("take-up"), &take), 409);
    take["revision"] = kept["revision"].clone();
    let taken = day(&server.post(&at("take-up"), &take), 200);
    assert_eq!(taken["mistakes"], json!([]));
    assert_eq!(
        names(&taken["pulls"], "name"),
        ["run-a-1", "run-a-2", "run-a-3"]
    );
    assert_eq!(taken["pulls"][1]["which"], 2);
    let written = taken["text"].as_str().expect("text");
    assert!(
        written.contains("# docs/test-file.md"),
        "comments stay: {written}"
    );
    assert!(written.contains(sent["sha256"].as_str().expect("a hash")));
    let recipe = file_of(&taken, "run a.recipe.toml").expect("a recipe");
    assert_eq!(recipe["kind"], "recipe");
    assert_eq!(
        file_of(&taken, "run a.csv").expect("a log")["sha256"],
        sent["sha256"]
    );
    // Once is enough.
    take["revision"] = taken["revision"].clone();
    let words = server.post(&at("take-up"), &take).refused(422);
    assert!(words.contains("taken up already"), "{words}");

    // Another log of the same logger needs no recipe of its own.
    put(&server, &at("files/b.csv"), log(&[40.0]).as_bytes());
    take["file"] = "b.csv".into();
    let both = day(&server.post(&at("take-up"), &take), 200);
    assert_eq!(both["pulls"][3]["name"], "b");
    assert_eq!(both["pulls"][3]["recipe"], "run a.recipe.toml");
    assert_eq!(file_of(&both, "b.recipe.toml"), None);

    let read = |pull: &str| {
        let reply = server.post(&at("read"), &json!({ "pull": pull }));
        object(&reply, 200, "tests-read")["pulls"][0].clone()
    };
    let second = read("run-a-2");
    let peak_n = second["readings"]["peak_n"]["value"]
        .as_f64()
        .expect("a peak");
    assert!((peak_n - 30e3).abs() < 300.0, "{peak_n}");
    assert!(second["log"]["checked"].as_bool().expect("whether"));

    let levels = |from: Value, to: Value| {
        let asked = json!({ "pull": "run-a-2", "from_s": from, "to_s": to, "parts": 40 });
        object(&server.post(&at("levels"), &asked), 200, "tests-levels")
    };
    let greatest = |drawn: &Value| {
        let all = drawn["greatest_n"].as_array().expect("loads").iter();
        all.filter_map(Value::as_f64).fold(0.0, f64::max)
    };
    let whole = levels(Value::Null, Value::Null);
    assert_eq!(
        (&whole["from_s"], &whole["to_s"]),
        (&json!(0.0), &json!(14.999))
    );
    assert!((greatest(&whole) - 30e3).abs() < 300.0);
    let third = levels(json!(10.0), Value::Null);
    assert_eq!(
        (&third["from_s"], &third["to_s"]),
        (&json!(10.0), &json!(14.999))
    );
    assert!((greatest(&third) - 25e3).abs() < 300.0);

    // Between two samples the two are drawn; beyond the record nothing is.
    let close = levels(json!(6.0002), json!(6.0004));
    assert_eq!(
        (&close["from_s"], &close["to_s"]),
        (&json!(6.0), &json!(6.001))
    );
    assert!(
        close["least_n"]
            .as_array()
            .expect("loads")
            .iter()
            .all(Value::is_number)
    );
    let beyond = levels(json!(20.0), json!(21.0));
    assert!(
        beyond["least_n"]
            .as_array()
            .expect("loads")
            .iter()
            .all(Value::is_null)
    );

    // An event dragged by hand: its place, and how sure the hand is.
    let path = |key: &str| json!(["pull", "run-a-2", "events", key]);
    let edit = json!({ "revision": both["revision"], "edits": [
        { "path": path("taut"), "value": "6.6 s" },
        { "path": path("uncertainty"), "value": "5 ms" },
    ]});
    let edited = day(&server.post(&at("edit"), &edit), 200);
    let by_hand = &edited["pulls"][1]["by_hand"];
    assert_eq!(
        (&by_hand["taut_s"], &by_hand["uncertainty_s"]),
        (&json!(6.6), &json!(0.005))
    );
    assert_eq!(edited["pulls"][0]["by_hand"]["taut_s"], Value::Null);
    let taut = |pull: &Value| {
        let all = pull["events"].as_array().expect("events").iter();
        all.clone()
            .find(|event| event["kind"] == "taut")
            .expect("it comes tight")
            .clone()
    };
    let moved = taut(&read("run-a-2"));
    assert_eq!(
        (&moved["time_s"], &moved["set_by"]),
        (&json!(6.6), &json!("hand"))
    );
    assert_eq!(taut(&second)["set_by"], "log");
    // And taken back.
    let back = json!({ "revision": edited["revision"], "edits": [
        { "path": ["pull", "run-a-2", "events"], "value": null },
    ]});
    let back = day(&server.post(&at("edit"), &back), 200);
    assert_eq!(back["pulls"], both["pulls"]);
    assert_eq!(read("run-a-2"), second);
    // Another way of cleaning is seen at once, whatever is kept in memory.
    let clean = json!({ "revision": back["revision"], "edits": [
        { "path": ["clean", "cfc"], "value": 60 },
    ]});
    day(&server.post(&at("edit"), &clean), 200);
    assert_ne!(read("run-a-2")["steps"], second["steps"]);
    // So is another file in place of the log: it is not the one that was taken up.
    let path = server.tests.join("logs/run a.csv");
    fs::write(path, log(&[20.0, 30.0, 26.0])).expect("the folder is ours");
    let reply = server.post(&at("read"), &json!({ "pull": "run-a-2" }));
    assert!(reply.refused(422).contains("not the file"));
    let asked = json!({ "pull": "run-a-2", "from_s": null, "to_s": null, "parts": 40 });
    server.post(&at("levels"), &asked).refused(422);
}

#[test]
fn what_cannot_be_taken_up_leaves_everything_as_it_was() {
    let server = Server::start("days-not-taken");
    let kept = new_day(&server, "a");
    put(&server, "/api/tests/a/files/a.csv", log(&[20.0]).as_bytes());
    put(
        &server,
        "/api/tests/a/files/flat.csv",
        log(&[0.0]).as_bytes(),
    );
    let look = server.post("/api/tests/a/look", &json!({ "file": "a.csv" }));
    let recipe = look.json()["recipe"]
        .as_str()
        .expect("a recipe")
        .to_string();
    let standing = day(&server.get("/api/tests/a"), 200);
    let take = |change: &[(&str, Value)]| {
        let mut take = json!({
            "file": "a.csv", "recipe": recipe, "force": null, "displacement": null,
            "cell": null, "setup": null, "revision": kept["revision"],
        });
        for (key, value) in change {
            take[*key] = value.clone();
        }
        let errors = object(&server.post("/api/tests/a/take-up", &take), 422, "errors");
        errors["errors"][0]["message"]
            .as_str()
            .expect("words")
            .to_string()
    };
    for (change, says) in [
        (("file", json!("flat.csv")), "pull"),
        (("file", json!("none.csv")), "no such file"),
        (("file", json!("../../x.csv")), "no name for a file"),
        (("file", json!("tests.toml")), "kept for the test day"),
        (("recipe", json!("no recipe")), "line 1"),
        (("recipe", json!("")), "line 1"),
        (("force", json!("Pressure")), "no channel"),
        (("displacement", json!("Load")), "no length"),
        (("cell", json!("yard")), "no [cell.yard]"),
        (("setup", json!("wet")), "no [setup.wet]"),
    ] {
        let words = take(std::slice::from_ref(&change));
        assert!(words.contains(says), "{change:?}: {words}");
    }
    assert_eq!(day(&server.get("/api/tests/a"), 200), standing);
    // Nor is a pull added to a test file that does not read.
    let broken = json!({ "text": "title = \n", "revision": kept["revision"] });
    let broken = day(&server.send("PUT", "/api/tests/a", &broken), 200);
    assert_ne!(broken["mistakes"], json!([]));
    let words = take(&[("revision", broken["revision"].clone())]);
    assert!(words.contains("cannot be changed"), "{words}");
    let reply = server.post("/api/tests/a/read", &json!({ "pull": null }));
    reply.refused(422);
    assert_eq!(reply.json()["errors"][0]["line"], 1);
}

#[test]
fn a_file_is_never_written_over_and_one_in_use_stays() {
    let server = Server::start("days-files");
    demo(&server);
    let at = |name: &str| format!("/api/tests/demo/files/{name}");
    let first = object(&put(&server, &at("x.csv"), b"one"), 200, "test-day-file");
    let known = "7692c3ad3540bb803c020b3aee66cd8887123234ea0c6e7143c0add73ff431ed";
    assert_eq!(
        first["sha256"], known,
        "of the three letters, by another program"
    );
    assert_eq!(
        object(&put(&server, &at("x.csv"), b"one"), 200, "test-day-file"),
        first
    );
    let words = put(&server, &at("x.csv"), b"two").refused(409);
    assert!(words.contains("something else"), "{words}");
    let folder = server.tests.join("demo");
    assert_eq!(fs::read(folder.join("x.csv")).expect("the first"), b"one");
    put(&server, &at("empty.csv"), b"").refused(422);
    // Whatever ends a log's name, and what others are by their first keys.
    for (name, text, kind) in [
        ("a.XLSX", "PK", "log"),
        ("line.toml", "[line.strap]\nlength = \"9 m\"\n", "line"),
        ("plan.toml", "title = \"x\"\n[casualty]\n", "plan"),
        ("notes.md", "wet", "other"),
    ] {
        let sent = object(
            &put(&server, &at(name), text.as_bytes()),
            200,
            "test-day-file",
        );
        assert_eq!(sent["kind"], kind, "{name}");
    }
    for name in ["dry-1.csv", "logger.toml", "EF-0417.txt"] {
        let words = server.ask("DELETE", &at(name), &[], b"").refused(409);
        assert!(words.contains("names"), "{words}");
    }
    let without = day(&server.ask("DELETE", &at("x.csv"), &[], b""), 200);
    assert_eq!(file_of(&without, "x.csv"), None);
    assert_eq!(
        fs::read(folder.join("removed/x-1.csv")).expect("moved"),
        b"one"
    );
    server.ask("DELETE", &at("x.csv"), &[], b"").refused(404);
    object(&put(&server, &at("x.csv"), b"two"), 200, "test-day-file");
    day(&server.ask("DELETE", &at("x.csv"), &[], b""), 200);
    assert_eq!(
        fs::read(folder.join("removed/x-2.csv")).expect("moved"),
        b"two"
    );
    let parts = fs::read_dir(&folder).expect("the day").flatten();
    let parts = parts.filter(|entry| entry.file_name().to_string_lossy().ends_with(".part"));
    assert_eq!(parts.count(), 0, "nothing half is left");
}

/// Marks of both ends of a line are in use, and so is the copy of a certificate.
#[test]
fn what_a_test_file_names_is_in_use_and_is_handed_out() {
    let server = Server::start("days-in-use");
    let kept = demo(&server);
    let kind = |day: &Value, name: &str| file_of(day, name).expect("a file")["kind"].clone();
    assert_eq!(kind(&kept, "EF-0417.txt"), "certificate");
    let at = |name: &str| format!("/api/tests/demo/files/{name}");
    object(
        &put(&server, &at("tug.csv"), b"frame,x,y\n"),
        200,
        "test-day-file",
    );
    let text = kept["text"].as_str().expect("text");
    let marks = "marks = \"dry-5-marks.csv\"";
    assert!(text.contains(marks));
    let text = text.replace(marks, &format!("{marks}\nother_end = \"tug.csv\""));
    let save = json!({ "text": text, "revision": kept["revision"] });
    day(&server.send("PUT", "/api/tests/demo", &save), 200);
    let words = server.ask("DELETE", &at("tug.csv"), &[], b"").refused(409);
    assert!(words.contains("names"), "{words}");

    let sent = server.get(&at("EF-0417.txt"));
    assert_eq!(sent.status, 200);
    let on_disk = fs::read(server.tests.join("demo/EF-0417.txt")).expect("a plain file");
    assert_eq!(sent.body, on_disk);
    let header = |name: &str| {
        let found = sent.headers.iter().find(|(key, _)| key == name);
        found.map(|(_, value)| value.as_str())
    };
    // Never a page of the server's own, whatever is in it.
    assert_eq!(header("content-type"), Some("application/octet-stream"));
    let as_kept = "attachment; filename=\"EF-0417.txt\"";
    assert_eq!(header("content-disposition"), Some(as_kept));
    assert_eq!(header("x-content-type-options"), Some("nosniff"));
    server.get(&at("none.txt")).refused(404);
    server.get(&at("tests.toml")).refused(422);
    server.get(&at("..%2Fdemo%2FEF-0417.txt")).refused(422);
    let long = fs::File::create(server.tests.join("demo/long.csv")).expect("a file");
    long.set_len((32 << 20) + 1).expect("a hole");
    let words = server.get(&at("long.csv")).refused(422);
    assert!(words.contains("longer"), "{words}");
}

#[test]
fn the_running_order_is_kept_in_the_test_file_and_planned_before_there_is_a_pull() {
    let server = Server::start("days-order");
    let kept = new_day(&server, "yard");
    assert_eq!(kept["order"], Value::Null);
    let ask = || server.post("/api/tests/yard/order", &json!({ "units": "metric" }));
    assert!(ask().text().contains("asks for no running order"));
    ask().refused(422);

    let set = |key: &[&str], value: Value| {
        let path: Vec<&str> = ["order"].iter().chain(key).copied().collect();
        json!({ "path": path, "value": value })
    };
    let edits = [
        set(&["difference"], json!("4 kN")),
        set(&["spread"], json!("1.2 kN")),
        set(&["spread_pulls"], json!(5)),
        set(&["standoff"], json!("80 ft")),
        set(&["limit"], json!("45 kN")),
        set(
            &["factor", "run-up", "levels"],
            json!(["8 km/h", "11 km/h"]),
        ),
        set(&["factor", "damper", "levels"], json!(["none", "5 kg"])),
    ];
    let edit = |edits: &[Value], revision: &Value| {
        let request = json!({ "edits": edits, "revision": revision });
        day(&server.post("/api/tests/yard/edit", &request), 200)
    };
    let kept = edit(&edits, &kept["revision"]);
    assert_eq!(names(&kept["mistakes"], "message"), [""; 0]);
    assert_eq!(kept["order"]["values"]["standoff"], "80 ft");
    assert_eq!(kept["order"]["values"]["spread_pulls"], "5");
    let factors = &kept["order"]["factors"];
    assert_eq!(names(factors, "name"), ["run-up", "damper"]);
    assert_eq!(factors[1]["levels"], json!(["none", "5 kg"]));

    let plan = object(&ask(), 200, "tests-plan");
    let (pulls, each) = (
        plan["pulls"].as_array().expect("pulls"),
        &plan["pulls_each"],
    );
    assert_eq!(pulls.len() as u64, 4 * each.as_u64().expect("a number"));
    assert_eq!(plan["comparisons"], 6);
    assert_eq!(plan["spread_guessed"], false);
    let standoff = plan["standoff_m"].as_f64().expect("a length");
    assert!((standoff - 80.0 * 0.3048).abs() < 1e-9, "{standoff}");
    // The same as a file of its own, which a day file is.
    let text = kept["text"].as_str().expect("text");
    let alone = text.replace("[order]\n", "").replace("[order.", "[");
    let file = server.folder.join("day.toml");
    fs::write(&file, alone).expect("the folder is ours");
    let out = binary()
        .args(["--json", "tests", "plan"])
        .arg(file)
        .output();
    let said: Value = serde_json::from_slice(&out.expect("it runs").stdout).expect("JSON");
    assert_eq!(said["pulls"], plan["pulls"]);
    assert_eq!(said["stop_rules"], plan["stop_rules"]);

    // A plan that is kept here says how far back people stand, and another name says nothing.
    let text = include_str!("../../../examples/guard-deep-clay.toml");
    let new = json!({ "name": "deep-clay", "plan": text });
    object(&server.post("/api/plans", &new), 201, "stored-plan");
    let instead = [
        set(&["plan"], json!("deep-clay.toml")),
        set(&["standoff"], Value::Null),
    ];
    let kept = edit(&instead, &kept["revision"]);
    let plan = object(&ask(), 200, "tests-plan");
    let of_plan = &plan["standoff_of_plan"];
    let distance = of_plan["distance_m"].as_f64().expect("a length");
    assert_eq!(of_plan["file"], "deep-clay.toml");
    assert!(distance > 10.0, "{distance}");
    assert_eq!(plan["standoff_m"], distance);
    assert_eq!(plan["standoff_stated_m"], Value::Null);
    let kept = edit(&[set(&["plan"], json!("../tests.toml"))], &kept["revision"]);
    ask().refused(422);
    let back = [
        set(&["plan"], Value::Null),
        set(&["standoff"], json!("80 ft")),
    ];
    let kept = edit(&back, &kept["revision"]);

    // A mistake in it is told by its key, in the test file and where the order is asked for.
    let kept = edit(&[set(&["limit"], json!("45"))], &kept["revision"]);
    let keys = |list: &Value| -> Vec<String> {
        let list = list.as_array().expect("a list").iter();
        list.filter_map(|one| one["key"].as_str().map(String::from))
            .collect()
    };
    assert_eq!(keys(&kept["mistakes"]), ["order.limit"]);
    let refused = ask();
    assert_eq!(
        (refused.status, keys(&refused.json()["errors"])),
        (422, vec!["order.limit".into()])
    );
    // As written, so that it can be put right.
    assert_eq!(kept["order"]["values"]["limit"], "45");
    let kept = edit(&[set(&["factor"], Value::Null)], &kept["revision"]);
    assert!(ask().text().contains("[order.factor.dampers]"));
    assert_eq!(kept["order"]["factors"], json!([]));
}

#[test]
fn a_day_gets_another_name_and_never_that_of_another() {
    let server = Server::start("days-rename");
    let kept = new_day(&server, "yard");
    new_day(&server, "other");
    put(&server, "/api/tests/yard/files/a.csv", b"1;2\n");
    let rename = |from: &str, to: &str| {
        server.post(&format!("/api/tests/{from}/rename"), &json!({ "name": to }))
    };
    for (to, status) in [
        ("other", 409),
        ("removed", 409),
        ("yard", 409),
        ("../x", 422),
        ("A", 422),
        ("", 422),
    ] {
        rename("yard", to).refused(status);
    }
    rename("none", "new").refused(404);
    let renamed = day(&rename("yard", "creek"), 200);
    assert_eq!(
        (&renamed["name"], &renamed["text"]),
        (&json!("creek"), &kept["text"])
    );
    assert_eq!(file_of(&renamed, "a.csv").expect("its file")["bytes"], 4);
    server.get("/api/tests/yard").refused(404);
    assert_eq!(names(&Value::Array(listed(&server)), "name").len(), 2);
}

#[test]
fn a_first_picture_is_of_the_log_as_it_came_until_it_is_cleaned() {
    let server = Server::start("days-picture");
    let kept = new_day(&server, "yard");
    // By a cell of 10 kN for a millivolt, the wrong way round, and a zero of 2 mV.
    let rows = (0..4000).map(|row| {
        let since_s = f64::from(row) / 1e3 - 1.5;
        let pull = if (0.0..2.0).contains(&since_s) {
            -3.0 * since_s * (2.0 - since_s)
        } else {
            0.0
        };
        let noise = 0.001 * f64::from(row * 7919 % 13);
        format!("{:.3};{:.4}\r\n", f64::from(row) / 1e3, 2.0 + pull + noise)
    });
    let log: String = rows.collect();
    let log = format!("Time (s);Cell (mV)\r\n{log}");
    put(&server, "/api/tests/yard/files/a.csv", log.as_bytes());
    let look = object(
        &server.post("/api/tests/yard/look", &json!({ "file": "a.csv" })),
        200,
        "tests-look",
    );
    fs::write(
        server.tests.join("yard/a.toml"),
        look["recipe"].as_str().expect("a recipe"),
    )
    .expect("ours");
    let text = "title = \"Yard\"\ndate = 2031-05-14\n[cell.main]\nload_per_unit = \"-10 kN\"\ncertificate = \"C-1\"\n\
        due = 2032-01-01\nrange = \"100 kN\"\nuncertainty = \"0.25 %\"\n[pull.a]\nlog = \"a.csv\"\nrecipe = \"a.toml\"\ncell = \"main\"\n";
    let save = json!({ "text": text, "revision": kept["revision"] });
    assert_eq!(
        day(&server.send("PUT", "/api/tests/yard", &save), 200)["mistakes"],
        json!([])
    );
    assert_eq!(look["channels"][0]["course"], Value::Null);
    let asked = json!({ "file": "a.csv", "course_parts": 10 });
    let look = object(
        &server.post("/api/tests/yard/look", &asked),
        200,
        "tests-look",
    );
    let channel = &look["channels"][0];
    let course = |key: &str| -> Vec<f64> {
        let parts = channel["course"][key].as_array().expect("parts").iter();
        parts.filter_map(Value::as_f64).collect()
    };
    assert_eq!((course("least").len(), course("greatest").len()), (10, 10));
    let least = course("least").into_iter().fold(f64::INFINITY, f64::min);
    assert_eq!(Some(least), channel["least"].as_f64());
    let levels = |at_once: bool| {
        let asked =
            json!({ "pull": "a", "from_s": null, "to_s": null, "parts": 40, "at_once": at_once });
        object(
            &server.post("/api/tests/yard/levels", &asked),
            200,
            "tests-levels",
        )
    };
    let ends = |levels: &Value| {
        let all = |key: &str| -> Vec<f64> {
            levels[key]
                .as_array()
                .expect("parts")
                .iter()
                .filter_map(Value::as_f64)
                .collect()
        };
        let least = all("least_n").into_iter().fold(f64::INFINITY, f64::min);
        (
            least,
            all("greatest_n")
                .into_iter()
                .fold(f64::NEG_INFINITY, f64::max),
        )
    };
    let first = levels(true);
    assert_eq!(
        (
            &first["cleaned"],
            first["from_s"].as_f64(),
            first["to_s"].as_f64()
        ),
        (&json!(false), Some(0.0), Some(3.999))
    );
    // By hand: -10 kN of 2.012 mV at most before the pull, of 2 - 3 mV at least in its middle.
    let (least, greatest) = ends(&first);
    assert!((least + 20.12e3).abs() < 1.0, "{least}");
    assert!((greatest - 10e3).abs() < 150.0, "{greatest}");
    let cleaned = levels(false);
    assert_eq!(cleaned["cleaned"], true);
    let (least, greatest) = ends(&cleaned);
    assert!(
        least.abs() < 200.0 && (greatest - 30e3).abs() < 300.0,
        "{least} {greatest}"
    );
    assert_eq!(levels(true), cleaned, "nobody waits for it any more");
}
