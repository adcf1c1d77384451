//! The server's main paths: every address, the page, what it says, how it ends.

mod common;
#[path = "common/schema.rs"]
mod schema;
#[path = "common/server.rs"]
mod server;

use common::{binary, demos, folder, run};
use serde_json::{Value, json};
use server::Server;

fn demo_text() -> String {
    std::fs::read_to_string(common::demo()).expect("a demo plan")
}

fn checked(name: &str, reply: &server::Reply) -> Value {
    assert_eq!(reply.status, 200, "{name}: {}", reply.text());
    assert_eq!(reply.header("content-type"), Some("application/json"));
    let object = reply.json();
    assert_eq!(schema::faults(name, &object), [""; 0], "{name}");
    object
}

#[test]
fn it_says_where_it_is_and_ends_in_order() {
    let here = folder("serve-says").join("made/for it");
    let server = Server::start_in(&here);
    assert_eq!(schema::faults("serving", &server.said), [""; 0]);
    let plans = server.said["plans"].as_str().expect("a folder").to_string();
    assert!(plans.ends_with("made/for it"), "{plans}");
    assert!(server.at.ip().is_loopback());
    assert_eq!(server.said["network_address"], Value::Null);
    let health = checked("health", &server.get("/api/health"));
    assert_eq!(health["version"], env!("CARGO_PKG_VERSION"));
    let held = server.connect();
    let (code, rest) = server.interrupt();
    assert_eq!((code, rest.as_str()), (Some(0), ""));
    drop(held);
}

#[test]
fn people_are_told_the_same_in_words() {
    use std::io::{BufRead, BufReader};
    let here = folder("serve-words");
    let mut command = binary();
    command.args(["serve", "--port", "0", "--plans"]).arg(&here);
    let mut child = command
        .stdout(std::process::Stdio::piped())
        .spawn()
        .expect("it starts");
    let mut lines = BufReader::new(child.stdout.take().expect("a pipe")).lines();
    let mut said = String::new();
    while !said.contains("Ctrl-C") {
        said += &lines.next().expect("more to come").expect("a line");
        said.push('\n');
    }
    child.kill().expect("it runs");
    child.wait().expect("it ends");
    assert!(said.contains("at http://127.0.0.1:"), "{said}");
    assert!(said.contains(&here.display().to_string()), "{said}");
    assert!(!said.contains("network"), "{said}");
}

#[test]
fn a_port_that_is_taken_is_said_with_what_to_do() {
    let server = Server::start("serve-taken");
    let port = server.at.port().to_string();
    let here = folder("serve-taken-too");
    let here = here.to_string_lossy();
    let ran = run(&["serve", "--port", &port, "--plans", &here]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains(&port), "{}", ran.err);
    assert!(ran.err.contains("--port 0"), "{}", ran.err);
    let ran = run(&["serve", "--json", "--port", &port, "--plans", &here]);
    assert_eq!(schema::faults("errors", &ran.json()), [""; 0]);
}

#[test]
fn a_folder_that_cannot_be_is_said() {
    let here = folder("serve-no-folder");
    let file = common::file(&here, "file", b"no folder");
    let ran = run(&["serve", "--port", "0", "--plans", &file]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("--plans FOLDER"), "{}", ran.err);
}

#[test]
fn demo_plans_are_those_of_the_command_line() {
    let server = Server::start("serve-examples");
    let list = checked("example-list", &server.get("/api/examples"));
    assert_eq!(list, run(&["example", "--list", "--json"]).json());
    for (name, path) in demos() {
        let example = checked("example", &server.get(&format!("/api/examples/{name}")));
        let text = std::fs::read_to_string(path).expect("a demo plan");
        assert_eq!(example["plan"], text);
    }
    let none = server.get("/api/examples/none").refused(404);
    assert!(none.contains("guard-deep-clay"), "{none}");
}

#[test]
fn an_answer_is_that_of_the_command_line() {
    let server = Server::start("serve-answer");
    for (name, path) in demos() {
        let plan = std::fs::read_to_string(&path).expect("a demo plan");
        let ask = || server.post("/api/answer", &json!({ "plan": plan }));
        let answer = checked("answer", &ask());
        assert_eq!(answer, run(&["check", &path, "--json"]).json(), "{name}");
        assert_eq!(answer, ask().json(), "{name} asked again");
    }
}

#[test]
fn mistakes_in_a_plan_have_their_places() {
    let server = Server::start("serve-mistakes");
    let reply = server.post(
        "/api/answer",
        &json!({ "plan": "title = \"x\"\nnonsense = 1\n" }),
    );
    assert_eq!(reply.status, 422);
    let object = reply.json();
    assert_eq!(schema::faults("errors", &object), [""; 0]);
    let errors = object["errors"].as_array().expect("errors");
    assert!(errors.len() >= 3, "{object}");
    assert_eq!(errors[0]["line"], 2);
    assert_eq!(errors[0]["found"], "nonsense");
    assert_eq!(errors[0]["file"], Value::Null);
}

#[test]
fn a_brief_is_a_page_or_a_document() {
    let server = Server::start("serve-brief");
    for units in ["metric", "imperial"] {
        let ask = |format: &str| {
            let asked = json!({ "plan": demo_text(), "format": format, "units": units });
            server.post("/api/brief", &asked)
        };
        let page = ask("html");
        assert_eq!(page.status, 200);
        assert_eq!(
            page.header("content-type"),
            Some("text/html; charset=utf-8")
        );
        let text = page.text();
        assert!(text.starts_with("<!DOCTYPE html>"));
        assert_eq!(text.contains(" lbf"), units == "imperial");
        let policy = page.header("content-security-policy").expect("a policy");
        assert!(
            policy.contains("sandbox") && !policy.contains("unsafe"),
            "{policy}"
        );
        let pdf = ask("pdf");
        assert_eq!(pdf.header("content-type"), Some("application/pdf"));
        assert!(pdf.body.starts_with(b"%PDF-"));
    }
    let bad = json!({ "plan": demo_text(), "format": "doc", "units": "metric" });
    let said = server.post("/api/brief", &bad).refused(422);
    assert!(said.contains("doc"), "{said}");
}

#[test]
fn the_brief_s_style_sheet_is_the_one_that_the_policy_allows() {
    use base64::Engine;
    use sha2::{Digest, Sha256};
    let server = Server::start("serve-style");
    let asked = json!({ "plan": demo_text(), "format": "html", "units": "metric" });
    let page = server.post("/api/brief", &asked);
    let text = page.text();
    let style = text.split("<style>").nth(1).expect("a style sheet");
    let style = style.split("</style>").next().expect("its end");
    let hash = base64::engine::general_purpose::STANDARD.encode(Sha256::digest(style));
    for reply in [&page, &server.get("/")] {
        let policy = reply.header("content-security-policy").expect("a policy");
        assert!(policy.contains(&format!("'sha256-{hash}'")), "{policy}");
    }
    assert!(
        !text.contains(" style="),
        "an inline style that no hash allows"
    );
}

#[test]
fn edits_quick_answers_and_replays_are_answered() {
    let server = Server::start("serve-operations");
    let plan = demo_text();
    let edited = server.post("/api/edit", &json!({ "plan": plan, "edits": [] }));
    let edited = checked("edited", &edited);
    assert_eq!(edited["plan"], plan);
    let wrong = server.post("/api/edit", &json!({ "plan": "title = 3", "edits": [] }));
    assert_ne!(checked("edited", &wrong)["errors"], json!([]));
    let live = json!({ "plan": plan, "edits": [] });
    let live = checked("live", &server.post("/api/live", &live));
    assert_eq!(live["errors"], json!([]));
    assert!(live["situation"].is_object());
    let asked = |case: u32| {
        json!({
            "plan": plan, "rig": null, "case": case, "flight": null, "dampers": null, "load_n": null,
        })
    };
    checked("replay", &server.post("/api/replay", &asked(0)));
    server.post("/api/replay", &asked(4000)).refused(422);
}

#[test]
fn the_openapi_document_is_in_step_and_whole() {
    let text = run(&["schema", "openapi"]).out;
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../schemas/openapi.json");
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(path, &text).expect("the schemas folder can be written");
    }
    let committed = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        committed == text,
        "openapi.json is out of step: `cargo xtask schemas`"
    );
    let server = Server::start("serve-openapi");
    assert_eq!(server.get("/api/openapi.json").text(), text);

    let document: Value = serde_json::from_str(&text).expect("JSON");
    let schemas = document["components"]["schemas"]
        .as_object()
        .expect("schemas");
    assert!(schemas.contains_key("Answer") && schemas.contains_key("Errors"));
    let refers = text.split("\"$ref\": \"").skip(1);
    for reference in refers.map(|rest| rest.split('"').next().unwrap_or_default()) {
        let name = reference.strip_prefix("#/components/schemas/");
        let name = name.unwrap_or_else(|| panic!("leads outside: {reference}"));
        assert!(schemas.contains_key(name), "{reference}");
    }
    // Every part has one meaning: what a schema's own file says of it.
    for (file, text) in steadypull_contract::schemas() {
        let root: Value =
            serde_json::from_str(&text.replace("#/definitions/", "#/components/schemas/"))
                .expect("JSON");
        for (part, meaning) in root["definitions"].as_object().into_iter().flatten() {
            if let Some(stands) = schemas.get(part) {
                let mut meaning = meaning.clone();
                meaning.as_object_mut().expect("a schema").remove("title");
                assert_eq!(stands, &meaning, "{part} of {file}");
            }
        }
    }
}

#[test]
fn every_address_of_the_document_is_served() {
    let server = Server::start("serve-addresses");
    let document = server.get("/api/openapi.json").json();
    let paths = document["paths"].as_object().expect("paths");
    assert!(paths.len() >= 10, "{paths:?}");
    for (path, operations) in paths {
        let path = path.replace("{name}", "UPPER");
        for method in operations.as_object().expect("operations").keys() {
            let reply = server.send(&method.to_uppercase(), &path, &json!({}));
            assert_ne!(reply.status, 405, "{method} {path}");
            let nothing = reply.text().contains("there is nothing at this address");
            assert!(!nothing || path == "/api/sign-in", "{method} {path}");
        }
        let other = server.send("PATCH", &path, &json!({}));
        other.refused(405);
        assert!(other.header("allow").is_some(), "{path}");
    }
}

#[test]
fn the_page_is_there_or_says_how_to_build_it() {
    let server = Server::start("serve-page");
    let page = server.get("/");
    assert_eq!(
        page.header("content-type"),
        Some("text/html; charset=utf-8")
    );
    let text = page.text();
    let notes = server.said["notes"].to_string();
    assert_eq!(
        page.status == 503,
        notes.contains("cargo xtask serve"),
        "{notes}"
    );
    if page.status == 503 {
        assert!(text.contains("cargo xtask serve"), "{text}");
        return;
    }
    assert_eq!(page.status, 200);
    assert_eq!(page.header("cache-control"), Some("no-cache"));
    let tag = page.header("etag").expect("a tag");
    let again = server.ask("GET", "/", &[("if-none-match", tag)], b"");
    assert_eq!((again.status, again.body.len()), (304, 0));
    let assets = text.split("\"/assets/").skip(1);
    let assets: Vec<&str> = assets.filter_map(|rest| rest.split('"').next()).collect();
    assert!(!assets.is_empty(), "{text}");
    for asset in assets {
        let reply = server.get(&format!("/assets/{asset}"));
        assert_eq!(reply.status, 200, "{asset}");
        let keep = reply.header("cache-control").expect("how long to keep it");
        assert!(keep.contains("immutable"), "{keep}");
        let kind = reply.header("content-type").expect("a kind");
        assert!(kind.starts_with("text/"), "{asset}: {kind}");
    }
    assert!(
        !text.contains("<script>") && !text.contains(" style="),
        "{text}"
    );
}

#[test]
fn every_answer_carries_the_policies() {
    let server = Server::start("serve-policies");
    let paths = [
        "/",
        "/nothing",
        "/api/health",
        "/api/nothing",
        "/api/plans/UPPER",
        "/sign-in.css",
    ];
    for reply in paths.map(|path| server.get(path)) {
        let policy = reply.header("content-security-policy").expect("a policy");
        let has = |part: &str| policy.split("; ").any(|p| p == part);
        for part in [
            "default-src 'none'",
            "script-src 'self'",
            "base-uri 'none'",
            "form-action 'self'",
            "frame-ancestors 'self'",
            "connect-src 'self'",
        ] {
            assert!(has(part), "{part}: {policy}");
        }
        assert!(!policy.contains("unsafe"), "{policy}");
        for (name, value) in [
            ("x-content-type-options", "nosniff"),
            ("referrer-policy", "no-referrer"),
            ("cross-origin-opener-policy", "same-origin"),
            ("cross-origin-resource-policy", "same-origin"),
        ] {
            assert_eq!(reply.header(name), Some(value));
        }
        assert!(reply.header("cache-control").is_some());
    }
}
