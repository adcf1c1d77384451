//! Where one pull ends and the next begins.

use core::ops::Range;

use crate::signal::{Series, lanes};

/// Samples of one pull: from the first at the threshold to the last above slack.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Span {
    pub samples: Range<usize>,
    /// The log, or what follows a gap, begins under load.
    pub starts_open: bool,
    /// The log ends, or a gap comes, under load.
    pub ends_open: bool,
}

impl Span {
    /// Whether the log does not show where it begins or where it ends.
    pub fn is_open(&self) -> bool {
        self.starts_open || self.ends_open
    }
}

/// Pulls stretch by stretch; none reaches across a gap.
pub(super) fn pulls(series: &Series, on_n: f64, off_n: f64, slack_for_s: f64) -> Vec<Span> {
    let slack_for = ((slack_for_s / series.step_s()) as usize).max(1);
    series
        .runs()
        .into_iter()
        .flat_map(|run| in_stretch(series.values(), run, on_n, off_n, slack_for))
        .collect()
}

fn in_stretch(
    values: &[f64],
    run: Range<usize>,
    on_n: f64,
    off_n: f64,
    slack_for: usize,
) -> Vec<Span> {
    let mut found: Vec<Span> = Vec::new();
    // Start of the pull that is on, and its last sample above slack.
    let mut on: Option<(usize, usize)> = None;
    let mut i = run.start;
    while i < run.end {
        let Some((start, last)) = on else {
            let Some(to_next) = lanes::first(&values[i..run.end], |v| v >= on_n) else {
                break;
            };
            i += to_next;
            on = Some((i, i));
            i += 1;
            continue;
        };
        if values[i] >= off_n {
            on = Some((start, i));
        } else if i - last > slack_for {
            found.push(span(start, last, run.start, false));
            on = None;
        }
        i += 1;
    }
    if let Some((start, last)) = on {
        found.push(span(start, last, run.start, last + 1 == run.end));
    }
    found
}

fn span(start: usize, last: usize, run_start: usize, ends_open: bool) -> Span {
    Span {
        samples: start..last + 1,
        starts_open: start == run_start,
        ends_open,
    }
}
