//! The cleaned load of a pull for drawing.

use steadypull_contract::answer::{CONTRACT_VERSION, TestsLevels};
use steadypull_contract::plan_file::TestFile;
use steadypull_measure::levels::Levels;

use crate::files::Files;
use crate::read::entry_named;
use crate::take::{Taken, Wanted, take};
use crate::trouble::{TestsError, sound};

/// Most parts of one drawing.
const PARTS_MOST: usize = 10_000;

/// The load of the pull called `name` between two times (the whole record without them) in
/// `pixels` even parts. A page that draws the same pull again keeps what [`take`] gave and
/// asks [`levels_of`].
pub fn levels(
    test: &TestFile,
    name: &str,
    window_s: Option<(f64, f64)>,
    pixels: usize,
    files: &dyn Files,
) -> Result<TestsLevels, TestsError> {
    let taken = take(test, entry_named(test, name)?, files, Wanted::Readings)?;
    levels_of(&taken, window_s, pixels)
}

/// The same of a pull that is at hand.
pub fn levels_of(
    taken: &Taken,
    window_s: Option<(f64, f64)>,
    pixels: usize,
) -> Result<TestsLevels, TestsError> {
    let series = &taken.load.series;
    let (from_s, to_s) = window_s.unwrap_or((series.start_s(), series.end_s()));
    let samples = series.between(from_s, to_s);
    let parts = pixels.clamp(1, PARTS_MOST);
    let spans = Levels::new(series.values()).query(series.values(), samples.clone(), parts);
    let there = |value: f64| value.is_finite().then_some(value);
    sound(TestsLevels {
        contract_version: CONTRACT_VERSION,
        pull: taken.name.clone(),
        from_s: series.time_s(samples.start),
        to_s: series.time_s(samples.end.max(samples.start + 1) - 1),
        least_n: spans.iter().map(|span| there(span.least)).collect(),
        greatest_n: spans.iter().map(|span| there(span.greatest)).collect(),
        gap: spans.iter().map(|span| span.gap).collect(),
    })
}
