//! The tests area: a test file and the logs it names in, answers out.
//!
//! ```text
//! test file --read_tests--> TestFile --\
//! log, recipe --Files--> bytes --take--> pull --> read, fit, compare, levels
//! ```
//!
//! The crate opens no file and knows no clock: whatever the test file names comes through
//! [`Files`], and what was made of it may be kept on a [`Shelf`]. The numbers are `steadypull-measure`'s, the logs `steadypull-logs`'s, the types
//! of the answers `steadypull-contract`'s; here they are put together, and nothing that is no
//! number leaves.

mod beside;
mod cells;
mod cleaning;
mod compare;
mod draws;
mod example;
mod files;
mod finding;
mod fit;
mod footage;
mod footage_clock;
mod levels;
mod line_file;
mod log_named;
mod look;
mod measured;
mod noticed;
mod plan;
mod plan_named;
mod predicted;
mod read;
mod record;
mod report;
mod shelf;
mod stretch_noise;
mod take;
mod take_up;
mod trouble;

pub use compare::compare;
pub use example::{ExampleFile, example};
pub use files::{Files, too_long, unfetched};
pub use fit::fit;
pub use levels::{Drawing, levels, levels_as_logged, levels_at_hand};
pub use look::{look, look_at, look_by, with_courses};
pub use plan::plan;
pub use read::read;
pub use report::report;
pub use shelf::{Place, Shelf};
pub use take::{Taken, Wanted, take};
pub use take_up::{NewRecipe, TakeUpError, TakenUp, take_up};
pub use trouble::{TestsError, Trouble};

use steadypull_contract::answer::{AssumedDefault, TestDamper, TestSetUp, TestSummary};
use steadypull_contract::plan_file::{HungDamper, SetUpEntry, TestFile, retold};
use steadypull_contract::show::Units;

/// What holds for every answer of this area.
fn cautions() -> Vec<String> {
    [
        "These are measurements of these pulls with this gear on this day; they certify nothing, and no gear by them.",
        "An interval holds what its doubts say, which are listed; a cell's creep, side load, heat and mass in motion are in none of them.",
        "Follow the makers' ratings, local law and codes, and trained or licensed practice where it is required.",
        "When in doubt, do not pull.",
    ]
    .map(String::from)
    .to_vec()
}

/// Refuses what needs pulls where none is described yet: such a file is a day in the making.
fn pulled(test: &TestFile) -> Result<(), Trouble> {
    if !test.pulls.is_empty() {
        return Ok(());
    }
    Err(Trouble::new("the test file", "describes no pull yet").hinting(
        "add a heading such as [pull.first] with log = \"first.csv\" and the recipe it is read by",
    ))
}

fn summary(test: &TestFile) -> TestSummary {
    TestSummary {
        title: test.title.clone(),
        date: Some(test.date.to_string()),
        place: test.place.clone(),
        seed: test.seed,
        setups: test.setups.iter().map(set_up).collect(),
        assumed: assumed(&test.assumed, test.units),
    }
}

fn set_up(entry: &SetUpEntry) -> TestSetUp {
    let damper = |hung: &HungDamper| TestDamper {
        mass_kg: hung.mass_kg,
        place_share: hung.place,
    };
    TestSetUp {
        name: entry.name.clone(),
        line: entry.line.clone(),
        product: entry.product.clone(),
        condition: entry.condition.clone(),
        wet: entry.wet,
        dampers: entry.dampers.iter().map(damper).collect(),
        note: entry.note.clone(),
    }
}

fn assumed(filled_in: &[(String, String, String)], units: Units) -> Vec<AssumedDefault> {
    let told = |(key, value, reason): &(String, String, String)| AssumedDefault {
        key: key.clone(),
        value: retold(value, units),
        reason: reason.clone(),
    };
    filled_in.iter().map(told).collect()
}
