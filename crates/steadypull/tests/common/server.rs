//! A server of its own for a test, and a client that sends exactly what it is told.
#![allow(dead_code)] // Each test file uses its own part of this.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::Value;

use crate::common::{binary, folder};

/// Longer than any answer takes on a busy machine.
pub const PATIENCE: Duration = Duration::from_secs(300);

/// A server that runs until it is dropped.
pub struct Server {
    child: Child,
    /// What it said when it started.
    pub said: Value,
    /// Where it is.
    pub at: SocketAddr,
    /// Where its plans are.
    pub folder: PathBuf,
    /// Where its test days are.
    pub tests: PathBuf,
}

/// What a server answered.
#[derive(Debug)]
pub struct Reply {
    pub status: u16,
    pub headers: Vec<(String, String)>,
    pub body: Vec<u8>,
}

/// Where the test days of a server over `folder` are.
fn tests_of(folder: &Path) -> PathBuf {
    folder.join("test-days")
}

impl Server {
    /// A server with an empty folder called `name`.
    pub fn start(name: &str) -> Self {
        Self::start_in(&folder(name))
    }

    /// A server over a folder.
    pub fn start_in(folder: &Path) -> Self {
        Self::with(folder, &[], |_| {})
    }

    /// A server with more arguments, and whatever `settle` does to its command.
    pub fn with(folder: &Path, args: &[&str], settle: impl FnOnce(&mut Command)) -> Self {
        let mut command = binary();
        command.args(["serve", "--json", "--port", "0", "--plans"]);
        command.arg(folder).arg("--tests").arg(tests_of(folder));
        command.args(args).stdout(Stdio::piped());
        command.env_remove("STEADYPULL_PASSPHRASE");
        settle(&mut command);
        let mut child = command.spawn().expect("the binary starts");
        let mut line = String::new();
        let out = child.stdout.as_mut().expect("a pipe");
        BufReader::new(out)
            .read_line(&mut line)
            .expect("the server says where it is");
        let said: Value = serde_json::from_str(&line).unwrap_or_else(|e| panic!("{e}: {line}"));
        let address = said["address"].as_str().expect("an address");
        let at = address
            .trim_start_matches("http://")
            .trim_end_matches('/')
            .parse()
            .expect("a number and a port");
        Self {
            child,
            said,
            at,
            folder: folder.to_path_buf(),
            tests: tests_of(folder),
        }
    }

    pub fn get(&self, path: &str) -> Reply {
        self.ask("GET", path, &[], b"")
    }

    /// Sends an object as the page does.
    pub fn send(&self, method: &str, path: &str, object: &Value) -> Reply {
        let body = object.to_string();
        let json = ("content-type", "application/json");
        self.ask(method, path, &[json], body.as_bytes())
    }

    pub fn post(&self, path: &str, object: &Value) -> Reply {
        self.send("POST", path, object)
    }

    /// Sends a request to its own name, with more headers.
    pub fn ask(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Reply {
        let host = self.at.to_string();
        let own = [("host", host.as_str())];
        self.raw(method, path, &[&own, headers].concat(), body)
    }

    /// Sends a request with these headers alone.
    pub fn raw(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Reply {
        let mut request = format!("{method} {path} HTTP/1.1\r\nconnection: close\r\n");
        for (name, value) in headers {
            request += &format!("{name}: {value}\r\n");
        }
        request += &format!("content-length: {}\r\n\r\n", body.len());
        let mut stream = self.connect();
        // A server that has heard enough may close its end.
        let _ = stream.write_all(request.as_bytes());
        let _ = stream.write_all(body);
        reply(&mut stream).unwrap_or_else(|| panic!("no answer to {method} {path}"))
    }

    pub fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(self.at).expect("the server listens");
        stream
            .set_read_timeout(Some(PATIENCE))
            .expect("a time limit");
        stream
    }

    /// Whether it still answers.
    pub fn check_alive(&self) {
        assert_eq!(self.get("/api/health").status, 200);
    }

    /// Ends it by Ctrl-C: exit code, and what it still said.
    #[cfg(unix)]
    pub fn interrupt(mut self) -> (Option<i32>, String) {
        let id = self.child.id().to_string();
        let sent = Command::new("kill").args(["-INT", &id]).status();
        assert!(sent.expect("kill is there").success());
        let mut rest = String::new();
        let out = self.child.stdout.as_mut().expect("a pipe");
        out.read_to_string(&mut rest).expect("text");
        (self.child.wait().expect("it ends").code(), rest)
    }

    /// Kills it at once.
    pub fn kill(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.kill();
    }
}

impl Reply {
    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|e| panic!("{e}: {self:?}"))
    }

    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub fn header(&self, name: &str) -> Option<&str> {
        let mut all = self.headers.iter().filter(|(n, _)| n == name);
        all.next().map(|(_, value)| value.as_str())
    }

    /// The words of a refusal with this status, in the documented shape.
    pub fn refused(&self, status: u16) -> String {
        assert_eq!(self.status, status, "{}", self.text());
        let object = self.json();
        assert_eq!(crate::schema::faults("errors", &object), [""; 0]);
        let first = &object["errors"][0];
        let helps = first["hint"].is_string() || first["expected"].is_string();
        assert!(helps, "not what to do: {first}");
        first["message"].as_str().expect("words").to_string()
    }
}

/// Reads an answer to its end; `None` where the line was closed without a whole one.
pub fn reply(stream: &mut TcpStream) -> Option<Reply> {
    let mut bytes = Vec::new();
    // What came before a line broke off is an answer all the same.
    let _ = stream.read_to_end(&mut bytes);
    let end = bytes.windows(4).position(|four| four == b"\r\n\r\n")?;
    let head = String::from_utf8(bytes[..end].to_vec()).expect("a head of letters");
    let mut lines = head.lines();
    let status = lines.next()?.split(' ').nth(1)?.parse().ok()?;
    let headers = lines.filter_map(|line| line.split_once(": "));
    let headers = headers.map(|(name, value)| (name.to_ascii_lowercase(), value.to_string()));
    let reply = Reply {
        status,
        headers: headers.collect(),
        body: bytes[end + 4..].to_vec(),
    };
    // One that broke off is none.
    let length = reply.header("content-length").unwrap_or("0").parse();
    let headless = matches!(reply.status, 304) || length == Ok(reply.body.len());
    headless.then_some(reply)
}
