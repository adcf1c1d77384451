//! Where this server is: address, folder, passphrase, and what it says about itself.

use std::env;
use std::ffi::OsString;
use std::io::{self, ErrorKind, IsTerminal, stdin};
use std::net::{IpAddr, Ipv4Addr, TcpListener, UdpSocket};
use std::path::{Path, PathBuf};

use steadypull_contract::answer::CONTRACT_VERSION;
use steadypull_contract::printed::Serving;

use super::door::{Door, SHORTEST};
use super::page;
use super::store::{Days, Store};
use crate::failure::Failure;
use crate::report::Page;

/// Where a passphrase can be left for a service.
const PASSPHRASE: &str = "STEADYPULL_PASSPHRASE";

/// The plans, in the folder asked for or the user's own.
pub fn plans(asked: Option<&Path>) -> Result<Store, Failure> {
    opened(asked, "plans", Store::open)
}

/// The test days, likewise.
pub fn days(asked: Option<&Path>) -> Result<Days, Failure> {
    opened(asked, "tests", Days::open)
}

/// A folder opened: the one asked for by the option called `what`, or the user's own of
/// that name.
fn opened<T>(
    asked: Option<&Path>,
    what: &str,
    open: impl FnOnce(&Path) -> io::Result<T>,
) -> Result<T, Failure> {
    let own = || Some(data_folder()?.join(what));
    let folder = asked.map(Path::to_path_buf).or_else(own).ok_or_else(|| {
        Failure::other(
            &format!("no folder for the {what}: you have no home folder here"),
            &format!("name one: --{what} FOLDER"),
        )
    })?;
    open(&folder).map_err(|error| {
        Failure::of_file(
            &folder.display().to_string(),
            &format!("cannot be the folder of the {what}: {error}"),
            &format!("name another: --{what} FOLDER"),
        )
    })
}

/// Where programs keep a user's data on this system.
fn data_folder() -> Option<PathBuf> {
    let named = |name: &str| env::var_os(name).filter(|v: &OsString| !v.is_empty());
    let home = || env::home_dir().filter(|home| home.is_absolute());
    if cfg!(windows) {
        return named("APPDATA").map(|data| PathBuf::from(data).join("Steadypull"));
    }
    if cfg!(target_os = "macos") {
        return home().map(|home| home.join("Library/Application Support/Steadypull"));
    }
    let data = named("XDG_DATA_HOME").map(PathBuf::from);
    let data = data.filter(|data| data.is_absolute());
    let data = data.or_else(|| home().map(|home| home.join(".local/share")));
    data.map(|data| data.join("steadypull"))
}

/// The door for the network: none without `lan`.
pub fn door(lan: bool) -> Result<Option<Door>, Failure> {
    if !lan {
        return Ok(None);
    }
    let passphrase = passphrase()?;
    if passphrase.chars().count() < SHORTEST {
        return Err(Failure::other(
            &format!("the passphrase is too short: it needs {SHORTEST} characters or more"),
            "four or five words that nobody would guess do well",
        ));
    }
    let door = Door::new(&passphrase).map_err(|error| {
        let message = format!("this system gives no random numbers: {error}");
        Failure::other(&message, "without them nobody can be let in safely")
    })?;
    Ok(Some(door))
}

fn passphrase() -> Result<String, Failure> {
    if let Some(given) = env::var_os(PASSPHRASE) {
        return given.into_string().map_err(|_| {
            let message = format!("{PASSPHRASE} is no text in UTF-8");
            Failure::other(&message, "choose letters that every keyboard has")
        });
    }
    let none = || {
        Failure::other(
            "--lan needs a passphrase, and there is no terminal to type it at",
            &format!("set the environment variable {PASSPHRASE}"),
        )
    };
    if !stdin().is_terminal() {
        return Err(none());
    }
    let typed = |prompt: &str| rpassword::prompt_password(prompt).map_err(|_| none());
    let first = typed("Passphrase for everybody on the network: ")?;
    if typed("The same once more: ")? != first {
        return Err(Failure::other("the two are not the same", "try again"));
    }
    Ok(first)
}

/// The port, taken.
pub fn bound(port: u16, lan: bool) -> Result<TcpListener, Failure> {
    let address = match lan {
        true => Ipv4Addr::UNSPECIFIED,
        false => Ipv4Addr::LOCALHOST,
    };
    let listener = TcpListener::bind((address, port));
    let listener = listener.and_then(|l| l.set_nonblocking(true).map(|()| l));
    listener.map_err(|error| {
        let (why, hint) = match error.kind() {
            ErrorKind::AddrInUse => (
                "another program is there, perhaps a Steadypull that runs already".into(),
                "open that one, or choose another port: --port 0 takes any that is free",
            ),
            ErrorKind::PermissionDenied => (
                "you may not use it".into(),
                "choose a port over 1023: --port 0 takes any that is free",
            ),
            _ => (error.to_string(), "--port 0 takes any that is free"),
        };
        Failure::other(&format!("cannot serve at port {port}: {why}"), hint)
    })
}

/// The port that it is.
pub fn port(listener: &TcpListener) -> Result<u16, Failure> {
    let address = listener.local_addr();
    let address = address.map_err(|e| Failure::other(&format!("no address: {e}"), "try again"))?;
    Ok(address.port())
}

/// What the server says about itself.
pub fn serving(port: u16, lan: bool, plans: &Path, tests: &Path) -> Serving {
    let at = |ip: IpAddr| format!("http://{ip}:{port}/");
    let mut notes = Vec::new();
    if !page::is_built() {
        notes.push(page::NOT_BUILT.into());
    }
    if lan {
        notes.extend(EXPOSED.map(String::from));
    }
    Serving {
        contract_version: CONTRACT_VERSION,
        address: at(Ipv4Addr::LOCALHOST.into()),
        network_address: lan.then(own_address).flatten().map(at),
        plans: plans.display().to_string(),
        tests: tests.display().to_string(),
        notes,
    }
}

const EXPOSED: [&str; 4] = [
    "open to everybody who can reach this machine and knows the passphrase, at every network \
     address that it has",
    "they can read, change, add and remove the plans and the test days in those folders, fill \
     the disk with logs and keep this machine busy; no other file, and nothing else of this \
     machine",
    "nothing is encrypted (plain HTTP): whoever listens in on that network can read the \
     passphrase and the plans, and change what others see; use it on a network that you trust, \
     never on the open internet",
    "a passphrase holds until the server ends; start it again to shut everybody out",
];

/// The address that others on the network would use. Nothing is sent: the system only
/// says by which of its addresses it would go to one far away (RFC 5737's, for documents).
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    let address = socket.local_addr().ok()?.ip();
    (!address.is_loopback() && !address.is_unspecified()).then_some(address)
}

/// The same for people.
pub fn text(serving: &Serving) -> String {
    let mut page = Page::default();
    page.drawn(&format!("Steadypull is at {}", serving.address));
    if let Some(address) = &serving.network_address {
        page.drawn(&format!("from the network: {address}"));
    }
    page.drawn(&format!("plans are kept in {}", serving.plans));
    page.drawn(&format!("test days are kept in {}", serving.tests));
    for note in &serving.notes {
        page.item("!", note);
    }
    page.drawn("open it in a browser; Ctrl-C ends it");
    page.finish()
}

/// The same for programs: one line.
pub fn line(serving: &Serving) -> Result<String, Failure> {
    let line = serde_json::to_string(serving);
    let line = line.map_err(|e| Failure::other(&format!("no JSON: {e}"), "report this"))?;
    Ok(line + "\n")
}
