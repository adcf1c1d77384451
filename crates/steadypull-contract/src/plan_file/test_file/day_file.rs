//! The day file: which set-ups are to be pulled, and what is to be learnt.

use super::{Day, MOST_NAMED, SetUpEntry, WithAssumed, asked, head, named, read, setup};
use crate::answer::TestReading;
use crate::plan_file::limits;
use crate::plan_file::problem::PlanProblems;
use crate::plan_file::section::Section;
use crate::plan_file::unit_table::Share;
use crate::plan_file::value::Fault;
use steadypull_engine::units::Force;

/// A day of tests as planned.
#[derive(Debug, Clone, PartialEq)]
pub struct DayFile {
    /// Title.
    pub title: String,
    /// The day, if it is fixed.
    pub date: Option<Day>,
    /// Where.
    pub place: Option<String>,
    /// Seed of the order.
    pub seed: u64,
    /// The set-ups, in the order of the file.
    pub setups: Vec<SetUpEntry>,
    /// Pulls of each set-up that there is time for.
    pub pulls_each: u32,
    /// In what order they are pulled.
    pub order: OrderBy,
    /// The reading that decides.
    pub reading: TestReading,
    /// Standard deviation expected from pull to pull, N.
    pub spread_n: f64,
    /// The least difference worth knowing, N.
    pub difference_n: f64,
    /// Of the intervals.
    pub confidence: f64,
    /// Chance at which that difference is to be seen.
    pub power: f64,
    /// Load above which the day is stopped, N.
    pub stop_above_n: Option<f64>,
    /// Defaults that were filled in: key, value, reason.
    pub assumed: Vec<(String, String, String)>,
}

/// In what order set-ups are pulled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OrderBy {
    /// Rounds: each set-up once a round, shuffled within it.
    Rounds,
    /// All shuffled.
    Shuffled,
}

impl WithAssumed for DayFile {
    fn assumed(&mut self, filled_in: Vec<(String, String, String)>) {
        self.assumed = filled_in;
    }
}

/// Reads a day file, or says everything that is wrong with it.
pub fn read_day(text: &str) -> Result<DayFile, PlanProblems> {
    read(text, "the day file could not be read", day)
}

fn day(file: &Section) -> Option<DayFile> {
    let head = head(file);
    let date = file.key::<Day>("date").maybe();
    let setups = named(file, "setup", MOST_NAMED, setup::setup);
    let pulls = file
        .key::<u32>("pulls_each")
        .within(&limits::PULLS_EACH)
        .need();
    let order = file.key::<OrderBy>("order");
    let order = order.or(
        "rounds",
        "what drifts over the day then falls on every set-up alike",
    );
    let force = |key| file.key::<Force>(key).within(&limits::CELL_RESIDUAL);
    let spread = force("spread").need();
    let difference = force("difference").need();
    let confidence = asked::confidence(file);
    let power = file.key::<Share>("power").within(&limits::CONFIDENCE);
    let power = power.or("80 %", "usual");
    let stop = file
        .key::<Force>("stop_above")
        .within(&limits::CELL_RANGE)
        .maybe();
    let few = file.table("setup").names().len() < 2;
    if few && !file.is_broken() {
        let fault = Fault::new("fewer than two set-ups are described".into());
        file.note_whole(
            file.heading(),
            fault.expecting("headings such as [setup.none] and [setup.one-bag]"),
        );
    }
    file.close();
    let (title, place, seed) = head?;
    if few {
        return None;
    }
    Some(DayFile {
        title,
        date: date?,
        place,
        seed,
        setups: setups?,
        pulls_each: pulls?,
        order: order?,
        reading: TestReading::Peak,
        spread_n: spread?.get(),
        difference_n: difference?.get(),
        confidence: confidence?,
        power: power?.0,
        stop_above_n: stop?.map(Force::get),
        assumed: Vec::new(),
    })
}
