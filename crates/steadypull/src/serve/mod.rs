//! `serve`: the page on a local server, the contract over HTTP, plans and test days in
//! folders.
//!
//! | file | holds |
//! |---|---|
//! | `routes` | every address: the list behind the router and `openapi` |
//! | `place` | address and folder of this server, and what it says when it starts |
//! | `listen` | connections within bounds |
//! | `guard`, `door`, `sign_in`, `policy` | who may ask, and what a browser may do with an answer |
//! | `asked`, `read_off`, `reply`, `refusal` | bodies in, answers and refusals out |
//! | `app`, `turns` | what requests share; work that takes its turn |
//! | `answers`, `operations`, `plans`, `days`, `upload`, `pulls`, `examples`, `page` | the handlers |
//! | `store/` | the folder of plans, and that of test days |

mod answers;
mod app;
mod asked;
mod days;
mod door;
mod examples;
mod guard;
mod listen;
mod openapi;
mod operations;
mod page;
mod place;
mod plans;
mod policy;
mod pulls;
mod read_off;
mod refusal;
mod reply;
mod routes;
mod sign_in;
mod store;
mod turns;
mod upload;

use std::io::{Write, stdout};
use std::sync::Arc;
use std::time::Duration;

use crate::args::Serve;
use crate::command::{Done, Ending};
use crate::failure::Failure;
use crate::interrupt;

pub use openapi::openapi;

/// The port where none is asked for.
pub const PORT: u16 = 7411;
/// Work that nobody can hear of any more is left at the end after this long.
const LAST_WORK: Duration = Duration::from_secs(1);

/// Serves until Ctrl-C.
pub fn run(serve: &Serve, json: bool) -> Result<Done, Failure> {
    let store = place::plans(serve.plans.as_deref())?;
    let days = place::days(serve.tests.as_deref())?;
    let door = place::door(serve.lan)?;
    let listener = place::bound(serve.port, serve.lan)?;
    let port = place::port(&listener)?;
    let serving = place::serving(port, serve.lan, store.folder(), days.folder());

    let hosts = guard::Hosts {
        port,
        lan: serve.lan,
    };
    let app = Arc::new(app::Shared::new(store, days, hosts, door));
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(|error| Failure::other(&format!("cannot serve: {error}"), "try again"))?;

    let stop = interrupt::watched();
    let said = match json {
        true => place::line(&serving)?,
        false => place::text(&serving),
    };
    // Nobody may be reading; the server is there all the same.
    let _ = stdout().write_all(said.as_bytes());
    let _ = stdout().flush();

    let served = runtime.block_on(listen::listen(listener, routes::router(app), stop));
    runtime.shutdown_timeout(LAST_WORK);
    served.map_err(|error| Failure::other(&format!("cannot serve: {error}"), "try again"))?;
    let text = match json {
        true => String::new(),
        false => format!(
            "ended; the plans are in {}, the test days in {}\n",
            serving.plans, serving.tests
        ),
    };
    Ok(Done {
        text,
        ending: Ending::Worked,
    })
}
