//! The cleaned load of a pull for drawing.

use steadypull_contract::answer::{CONTRACT_VERSION, TestsLevels};
use steadypull_contract::plan_file::TestFile;
use steadypull_measure::levels::{Levels, Span};

use crate::files::Files;
use crate::read::entry_named;
use crate::record::{Record, as_logged, record, record_at_hand};
use crate::take::{Taken, Wanted};
use crate::trouble::{TestsError, Trouble, sound};

/// Most parts of one drawing.
const PARTS_MOST: usize = 10_000;

/// What of a pull's load is to be drawn.
#[derive(Debug, Clone, Copy)]
pub struct Drawing<'n> {
    /// The pull.
    pub pull: &'n str,
    /// First time, s; the record's where there is none.
    pub from_s: Option<f64>,
    /// Last time, s, likewise.
    pub to_s: Option<f64>,
    /// In how many even parts.
    pub parts: usize,
}

/// The load of a pull for drawing. With a shelf the record and its levels are kept, so that
/// the next part of it costs next to nothing.
pub fn levels(
    test: &TestFile,
    drawing: Drawing,
    files: &dyn Files,
) -> Result<TestsLevels, TestsError> {
    crate::pulled(test)?;
    let entry = entry_named(test, drawing.pull)?;
    let record = record(test, entry, files, Wanted::Readings)?;
    drawn(&record, drawing)
}

/// The whole log of a pull as it came, for a first picture while it is being cleaned: only
/// `drawing`'s pull and parts count. The log is kept where there is a shelf.
pub fn levels_as_logged(
    test: &TestFile,
    drawing: Drawing,
    files: &dyn Files,
) -> Result<TestsLevels, TestsError> {
    let logged = as_logged(test, entry_named(test, drawing.pull)?, files)?;
    let spans = whole(logged.written(), drawing.parts);
    // A sensitivity below zero turns a span over.
    let load = |span: Span| {
        let (a, b) = (logged.load_n(span.least), logged.load_n(span.greatest));
        Span {
            least: a.min(b),
            greatest: a.max(b),
            ..span
        }
    };
    let spans: Vec<Span> = spans.into_iter().map(load).collect();
    told(drawing.pull, false, logged.ends_s(), &spans)
}

/// The same where the record is kept already; `None` where it would have to be made first.
pub fn levels_at_hand(
    test: &TestFile,
    drawing: Drawing,
    files: &dyn Files,
) -> Option<Result<TestsLevels, TestsError>> {
    let record = record_at_hand(test, test.pull(drawing.pull)?, files)?;
    Some(drawn(&record, drawing))
}

/// The same of a pull that is taken, between two times or as a whole.
pub(crate) fn levels_of(
    taken: &Taken,
    window_s: Option<(f64, f64)>,
    parts: usize,
) -> Result<TestsLevels, TestsError> {
    let drawing = Drawing {
        pull: &taken.name,
        from_s: window_s.map(|window| window.0),
        to_s: window_s.map(|window| window.1),
        parts,
    };
    drawn(&taken.record, drawing)
}

fn drawn(record: &Record, drawing: Drawing) -> Result<TestsLevels, TestsError> {
    let series = &record.load.series;
    let from_s = drawing.from_s.unwrap_or(series.start_s());
    let to_s = drawing.to_s.unwrap_or(series.end_s());
    if from_s > to_s {
        let about = format!("pull {}", drawing.pull);
        let message = format!("nothing can be drawn from {from_s} s to {to_s} s");
        return Err(Trouble::new(about, message)
            .hinting("the first time comes before the last")
            .into());
    }
    let mut samples = series.between(from_s, to_s);
    // Between two samples lies none: these two are drawn.
    if samples.is_empty() && from_s <= series.end_s() && to_s >= series.start_s() {
        samples = samples.start.saturating_sub(1)..samples.start + 1;
    }
    let parts = drawing.parts.clamp(1, PARTS_MOST);
    let spans = record
        .levels()
        .query(series.values(), samples.clone(), parts);
    let ends_s = (
        series.time_s(samples.start),
        series.time_s(samples.end.max(samples.start + 1) - 1),
    );
    told(drawing.pull, true, ends_s, &spans)
}

/// All of `values` in so many parts, within bounds.
pub(crate) fn whole(values: &[f64], parts: usize) -> Vec<Span> {
    let parts = parts.clamp(1, PARTS_MOST).min(values.len().max(1));
    Levels::new(values).query(values, 0..values.len(), parts)
}

fn told(
    pull: &str,
    cleaned: bool,
    (from_s, to_s): (f64, f64),
    spans: &[Span],
) -> Result<TestsLevels, TestsError> {
    let there = |value: f64| value.is_finite().then_some(value);
    sound(TestsLevels {
        contract_version: CONTRACT_VERSION,
        pull: pull.into(),
        cleaned,
        from_s,
        to_s,
        least_n: spans.iter().map(|span| there(span.least)).collect(),
        greatest_n: spans.iter().map(|span| there(span.greatest)).collect(),
        gap: spans.iter().map(|span| span.gap).collect(),
    })
}
