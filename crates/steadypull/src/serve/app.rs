//! What every request may need.

use std::sync::Arc;
use std::thread::available_parallelism;

use super::answers::Answers;
use super::door::Door;
use super::guard::Hosts;
use super::store::{Days, Store};
use super::turns::Turns;
use super::upload::Limits;

/// Shared by all requests.
pub type App = Arc<Shared>;

/// What they share.
pub struct Shared {
    /// The plans that are kept.
    pub store: Arc<Store>,
    /// The test days that are kept.
    pub days: Arc<Days>,
    /// Answers that were worked out lately.
    pub answers: Arc<Answers>,
    /// Turns of what takes seconds.
    pub long: Turns,
    /// Turns of recoils to look at: one run each, wanted as dampers are moved.
    pub replays: Turns,
    /// Turns of what is wanted while something is dragged: never behind the long.
    pub quick: Turns,
    /// Turns of logs to be read: one at a time, for they take memory.
    pub logs: Turns,
    /// Turns of lines to be fitted and set-ups to be compared.
    pub fits: Turns,
    /// Turns at the disk.
    pub files: Turns,
    /// Turns of files that come in, each as slow as its sender.
    pub uploads: Turns,
    /// How long such a file may take.
    pub upload_limits: Limits,
    /// Names that the server answers to.
    pub hosts: Hosts,
    /// Who is let in; everybody on this machine where there is none.
    pub door: Option<Door>,
}

impl Shared {
    /// Nothing worked out yet, nobody waiting.
    pub fn new(store: Store, days: Days, hosts: Hosts, door: Option<Door>) -> Self {
        let cores = available_parallelism().map_or(1, usize::from);
        Self {
            store: Arc::new(store),
            days: Arc::new(days),
            answers: Arc::default(),
            // An answer uses the cores itself.
            long: Turns::new(cores.div_ceil(2), 24),
            replays: Turns::new(cores.div_ceil(2), 24),
            quick: Turns::new(cores.max(2), 64),
            logs: Turns::new(1, 48),
            fits: Turns::new(cores.div_ceil(2), 24),
            files: Turns::new(4, 512),
            uploads: Turns::new(4, 28),
            upload_limits: Limits::default(),
            hosts,
            door,
        }
    }
}
