//! What happens in a log: pulls, and in each pull taut, peak, break-out or parting, end.
//!
//! | event | found as |
//! |---|---|
//! | taut, end | the load passes the threshold; the time is where a power law laid through the filtered way between nought and 0.4 of the peak leaves nought (`foot.rs`) |
//! | peak | top of a bent curve through the highest samples (`turn.rs`) |
//! | break-out | after the peak the load falls, and stays within a band at a level between a tenth and nine tenths of the peak for `plateau_s`: the casualty has begun to move |
//! | parting | the load falls from 90 to 10 % of the peak, and to rest, faster than the line could unload |
//! | rebound | a lower pull that begins within `rebound_within_s` of the end of one |
//!
//! The threshold is the largest of 8 standard deviations of the filtered noise, 3 of the
//! zero, 2 steps of the values and 1 % of the greatest load; a pull ends where the load stays
//! under half of it for `slack_for_s`. What is above it at the very end of a stretch for less
//! than the filter's padding is noise that the mirror at the end let through, and no pull.
//!
//! *How fast can a line unload?* As fast as what hangs on it lets its ends come together:
//! in a pull with a run-up about as fast as it was loaded. A parted line has no load as soon as
//! its stretch has run out, some hundredths of a second. So a fall in less than a quarter of
//! the rise (assumed; hysteresis alone makes it 0.8 of the rise for the steepest curve here)
//! or than the time given is called parting. A let-go by hand or an anchor that comes
//! out looks the same.
//!
//! Method: ours. Every event carries its standard uncertainty, from noise over slope and from
//! what the model of its place leaves open, and may be set by hand.

mod by_hand;
mod crossing;
mod fall;
mod foot;
mod power_law;
mod split;

use thiserror::Error;

use crate::signal::{Channel, lanes};
use crate::turn;

pub use by_hand::{ByHand, Moved, set_by_hand};
pub(crate) use crossing::crossing;

/// How events are looked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// A load the threshold must not be under, N.
    pub threshold_n: f64,
    /// How long the load must stay away to end a pull, s.
    pub slack_for_s: f64,
    /// How soon after a pull a lower one is its rebound, s.
    pub rebound_within_s: f64,
    /// How long the load must stay level after a break-out, s.
    pub plateau_s: f64,
    /// Fastest fall from 90 to 10 % of a peak that the line could make while whole, s; if
    /// `None` a quarter of the rise.
    pub fastest_unload_s: Option<f64>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            threshold_n: 0.0,
            slack_for_s: 0.05,
            rebound_within_s: 1.0,
            plateau_s: 0.2,
            fastest_unload_s: None,
        }
    }
}

/// Kinds of event in a pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// The line comes tight.
    Taut,
    /// The load is greatest.
    Peak,
    /// The casualty begins to move.
    BreakOut,
    /// The line, or what holds it, lets go.
    Parting,
    /// The line is slack again.
    End,
}

/// Who set an event.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetBy {
    /// Found in the log.
    Found,
    /// Moved by hand.
    Hand,
}

/// Something that happened at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// What.
    pub kind: EventKind,
    /// When, s.
    pub time_s: f64,
    /// Standard uncertainty of the time, s.
    pub uncertainty_s: f64,
    /// Who set it.
    pub set_by: SetBy,
}

/// One pull.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// The line comes tight.
    pub taut: Event,
    /// The load is greatest.
    pub peak: Event,
    /// The casualty begins to move, if it shows.
    pub break_out: Option<Event>,
    /// Something lets go, if it shows.
    pub parting: Option<Event>,
    /// The line is slack.
    pub end: Event,
    /// Times, s, between which the load is above nought: readings that add up are taken from
    /// the one to the other, so that nothing under the threshold is left out. Those of
    /// taut and end where a hand has set them.
    pub loaded_s: (f64, f64),
    /// Whether it is the rebound of the pull before it.
    pub rebound: bool,
    /// The log begins under load, so taut is only its start.
    pub begins_under_load: bool,
    /// The log ends, or has a gap, under load, so the end is only where it stops.
    pub ends_under_load: bool,
}

/// The pulls of a log and the load they were told by.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// In order of time.
    pub pulls: Vec<Pull>,
    /// Load from which a pull is one, N.
    pub threshold_n: f64,
    /// Load under which it ends, N.
    pub slack_under_n: f64,
}

/// Why no events can be told.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum EventsError {
    /// A setting that is no time or load.
    #[error("{0} must be a finite number from nought up")]
    BadSetting(&'static str),
    /// Nothing above the noise.
    #[error(
        "the load never passes {threshold_n:.1} N, the least that stands out of the noise: there is no pull in this log, or its sign is the wrong way round"
    )]
    NothingPulls {
        /// The threshold, N.
        threshold_n: f64,
    },
    /// An event by hand that cannot be.
    #[error("{kind:?} of pull {pull} cannot be at {time_s} s: {why}")]
    CannotBe {
        /// Which event.
        kind: EventKind,
        /// Which pull, counted from nought.
        pull: usize,
        /// When, s.
        time_s: f64,
        /// Why not.
        why: &'static str,
    },
}

/// The pulls in a channel of loads.
pub fn find(channel: &Channel, settings: &Settings) -> Result<Found, EventsError> {
    settings.check()?;
    let threshold_n = threshold(channel, settings);
    let slack_under_n = 0.5 * threshold_n;
    let spans = split::pulls(
        &channel.series,
        threshold_n,
        slack_under_n,
        settings.slack_for_s,
    );
    // At the ends of a stretch the filter's mirror lets noise through whole.
    let at_an_end = channel.quality.filter.map_or(0, |f| f.pad());
    let mut pulls: Vec<Pull> = spans
        .iter()
        .filter(|span| !(span.is_open() && span.samples.len() <= at_an_end))
        .filter_map(|span| pull(channel, span, threshold_n, settings))
        .collect();
    if pulls.is_empty() {
        return Err(EventsError::NothingPulls { threshold_n });
    }
    mark_rebounds(channel, &mut pulls, settings.rebound_within_s);
    Ok(Found {
        pulls,
        threshold_n,
        slack_under_n,
    })
}

impl Settings {
    fn check(&self) -> Result<(), EventsError> {
        let all = [
            (self.threshold_n, "the threshold"),
            (self.slack_for_s, "the time of slack"),
            (self.rebound_within_s, "the time of a rebound"),
            (self.plateau_s, "the time of a plateau"),
            (
                self.fastest_unload_s.unwrap_or(0.0),
                "the fastest unloading",
            ),
        ];
        match all.iter().find(|(v, _)| !(v.is_finite() && *v >= 0.0)) {
            Some((_, name)) => Err(EventsError::BadSetting(name)),
            None => Ok(()),
        }
    }
}

fn threshold(channel: &Channel, settings: &Settings) -> f64 {
    let quality = &channel.quality;
    let greatest = lanes::greatest(channel.series.values(), 0.0);
    [
        settings.threshold_n,
        8.0 * quality.noise_after_filter(),
        3.0 * quality.zero,
        2.0 * quality.step,
        0.01 * greatest,
    ]
    .into_iter()
    .fold(f64::MIN_POSITIVE, f64::max)
}

fn pull(
    channel: &Channel,
    span: &split::Span,
    threshold_n: f64,
    settings: &Settings,
) -> Option<Pull> {
    let series = &channel.series;
    let highest = span
        .samples
        .clone()
        .max_by(|a, b| series.values()[*a].total_cmp(&series.values()[*b]))?;
    let peak = match turn::top(channel, span.samples.clone(), 0.0) {
        Some(turn) => found(EventKind::Peak, turn.time_s, turn.time_uncertainty_s),
        None => found(EventKind::Peak, series.time_s(highest), series.step_s()),
    };
    let (first, last) = (span.samples.start, span.samples.end - 1);
    let foot = |at: usize, rising| {
        foot::foot(&foot::Side {
            channel,
            at,
            highest,
            level: threshold_n,
            rising,
            length_s: (last - first) as f64 * series.step_s(),
        })
    };
    let (taut, from_s) = match span.starts_open {
        true => (
            found(EventKind::Taut, series.time_s(first), 0.0),
            series.time_s(first),
        ),
        false => foot(first, true).into_event(EventKind::Taut),
    };
    let (end, to_s) = match span.ends_open {
        true => (
            found(EventKind::End, series.time_s(last), 0.0),
            series.time_s(last),
        ),
        false => foot(last, false).into_event(EventKind::End),
    };
    let peak_n = series.values()[highest];
    let whole = fall::Whole {
        channel,
        highest,
        end: span.samples.end,
        peak_n,
        ends_open: span.ends_open,
        rise_s: crossing::rise_s(channel, span.samples.start, highest, peak_n),
    };
    Some(Pull {
        taut,
        peak,
        break_out: fall::break_out(&whole, peak, settings),
        parting: fall::parting(&whole, settings),
        end,
        loaded_s: (from_s, to_s),
        rebound: false,
        begins_under_load: span.starts_open,
        ends_under_load: span.ends_open,
    })
}

fn found(kind: EventKind, time_s: f64, uncertainty_s: f64) -> Event {
    Event {
        kind,
        time_s,
        uncertainty_s,
        set_by: SetBy::Found,
    }
}

/// A pull that follows soon upon another and is lower is that one's rebound.
fn mark_rebounds(channel: &Channel, pulls: &mut [Pull], within_s: f64) {
    let load = |pull: &Pull| channel.series.at(pull.peak.time_s).unwrap_or(0.0);
    let mut of: Option<f64> = None;
    for i in 1..pulls.len() {
        let soon = pulls[i].taut.time_s - pulls[i - 1].end.time_s <= within_s;
        let first = if pulls[i - 1].rebound {
            of
        } else {
            Some(load(&pulls[i - 1]))
        };
        pulls[i].rebound = soon && first.is_some_and(|first| load(&pulls[i]) < first);
        of = first;
    }
}
