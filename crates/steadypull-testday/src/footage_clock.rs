//! The clock of footage beside the log's: from events that both have, or as typed.

use steadypull_contract::answer::{
    ClockAgreement, ClockEvent, Doubt, Finding, FootageClock, Measured, TestEventKind,
};
use steadypull_contract::plan_file::{FilmedEvent, FootageEntry, PullEntry, SeenEvent};
use steadypull_contract::show::percent;
use steadypull_engine::chance::{Interval, normal_quantile};
use steadypull_measure::events::{Event, Pull, SetBy};
use steadypull_measure::footage::{Clock, Offset, Shared, sync};
use steadypull_measure::readings::CONFIDENCE;
use steadypull_measure::shapes::half_width;

use crate::finding::warning;
use crate::measured::between;
use crate::trouble::Trouble;

/// A shutter whose readout is not known takes half a frame, give or take all of that half.
pub(crate) fn clock(wanted: &FootageEntry) -> Clock {
    let half = 0.5 / wanted.rate_hz;
    let (readout_s, readout_error_s) = match wanted.readout_s {
        Some(known) => (known, 0.0),
        None => (half, half / 3f64.sqrt()),
    };
    Clock {
        rate_hz: wanted.rate_hz,
        rate_error_hz: wanted.rate_uncertainty_hz,
        readout_s,
        readout_error_s,
        height_px: wanted.rows,
    }
}

/// Footage put beside its log by events.
#[derive(Debug, Clone)]
pub(crate) struct ByEvents {
    /// What came out.
    pub offset: Offset,
    events: Vec<(TestEventKind, Shared)>,
    /// From taut to slack, by the log.
    pull_s: [f64; 2],
}

/// The clock by the events that the footage's entry names; `None` where it names none.
/// `step_s` is the time between two loads: no event of a log is surer.
pub(crate) fn by_events(
    entry: &PullEntry,
    pull: &Pull,
    step_s: f64,
) -> Result<Option<ByEvents>, Trouble> {
    let Some(wanted) = entry.footage.as_ref().filter(|f| !f.seen.is_empty()) else {
        return Ok(None);
    };
    let shared = |seen: &SeenEvent| {
        let (kind, event) = logged(pull, seen.event).ok_or_else(|| unseen(entry, seen.event))?;
        let shared = Shared {
            frame: seen.frame,
            frames_error: wanted.seen_frames,
            log_time_s: event.time_s,
            log_error_s: event.uncertainty_s.max(step_s / 12f64.sqrt()),
        };
        Ok((kind, shared))
    };
    let events: Vec<_> = wanted.seen.iter().map(shared).collect::<Result<_, _>>()?;
    let alone: Vec<Shared> = events.iter().map(|(_, shared)| *shared).collect();
    let offset = sync(&alone, wanted.seen_row, &clock(wanted));
    let offset = offset.map_err(|problem| {
        Trouble::new(
            format!("[pull.{}.footage]", entry.name),
            problem.to_string(),
        )
    })?;
    Ok(Some(ByEvents {
        offset,
        events,
        pull_s: [pull.taut.time_s, pull.end.time_s],
    }))
}

/// The log's own event; none where it does not show.
fn logged(pull: &Pull, event: FilmedEvent) -> Option<(TestEventKind, Event)> {
    let cut_off = pull.begins_under_load && pull.taut.set_by == SetBy::Found;
    match event {
        FilmedEvent::Taut if cut_off => None,
        FilmedEvent::Taut => Some((TestEventKind::Taut, pull.taut)),
        FilmedEvent::Parting => Some((TestEventKind::Parting, pull.parting?)),
    }
}

fn unseen(entry: &PullEntry, event: FilmedEvent) -> Trouble {
    let (key, why) = match event {
        FilmedEvent::Parting => ("parting_frame", "the log shows no parting in this pull"),
        FilmedEvent::Taut => (
            "taut_frame",
            "the log does not show the line coming taut: it begins under load",
        ),
    };
    let message = format!("{key} has nothing beside it: {why}");
    Trouble::new(format!("[pull.{}.footage]", entry.name), message).hinting(format!(
        "leave it out, name another event, or set this one by hand in [pull.{}.events]",
        entry.name
    ))
}

impl ByEvents {
    /// Standard uncertainty of the clock at the worst place of the pull, for marks about a
    /// row (as a share of the picture), s.
    pub fn within_pull_s(&self, row: f64) -> f64 {
        let at = |log_s: &f64| {
            self.offset
                .error_at(self.offset.footage_time_s(*log_s), row)
        };
        self.pull_s.iter().map(at).fold(0.0, f64::max)
    }

    /// How far the line coming taut set the clock, 0 to 1.
    pub fn by_taut(&self) -> f64 {
        let each = self.events.iter().zip(&self.offset.weight_of);
        each.filter(|((kind, _), _)| *kind == TestEventKind::Taut)
            .map(|(_, weight)| weight)
            .sum()
    }

    /// As the answer tells it.
    pub fn told(&self, row: f64) -> FootageClock {
        let offset = &self.offset;
        FootageClock {
            shift_s: self.shift(),
            at_s: offset.at_s,
            drift_share: offset.drift_seen.map(|(drift, sure)| by_half(drift, sure)),
            drift_taken_share: offset.drift,
            within_pull_s: self.within_pull_s(row),
            agreement: offset.agreement.map(|agreement| ClockAgreement {
                chi_square: agreement.chi_square,
                degrees_of_freedom: agreement.freedom,
                p: agreement.p,
                in_doubt: agreement.is_in_doubt(),
            }),
            events: self.events(),
        }
    }

    fn shift(&self) -> Measured {
        let offset = &self.offset;
        let [frames, rows, log] = offset.error_of;
        // Frame 0 is told at its first row.
        let sure = offset.error_at(offset.at_s, 0.0);
        let readout = libm::sqrt((sure * sure - offset.error_s * offset.error_s).max(0.0));
        let parts = [
            ("frames", frames),
            ("events in the log", log),
            ("shutter", libm::hypot(rows, readout)),
        ];
        let mut made_of: Vec<Doubt> = parts
            .map(|(from, standard_uncertainty)| Doubt {
                from: from.into(),
                standard_uncertainty,
            })
            .into();
        made_of.sort_by(|a, b| b.standard_uncertainty.total_cmp(&a.standard_uncertainty));
        let parts = offset.parts_at(0.0);
        let bent: f64 = parts.iter().map(|p| p.deviation * p.deviation).sum();
        let bell = libm::sqrt((sure * sure - bent).max(0.0));
        let half = half_width(bell, &parts, CONFIDENCE);
        Measured {
            made_of,
            ..within(offset.offset_s, half, sure)
        }
    }

    fn events(&self) -> Vec<ClockEvent> {
        let offset = &self.offset;
        let errors = offset.left_s.iter().zip(&offset.event_error_s);
        let all = self.events.iter().zip(errors);
        all.map(|((kind, shared), (left_s, uncertainty_s))| ClockEvent {
            kind: *kind,
            frame: shared.frame,
            log_time_s: shared.log_time_s,
            left_s: *left_s,
            uncertainty_s: *uncertainty_s,
        })
        .collect()
    }

    /// That the events say different times, if they do.
    pub fn finding(&self, about: &str, wanted: &FootageEntry) -> Option<Finding> {
        let agreement = self.offset.agreement.filter(|a| a.is_in_doubt())?;
        let left = |(at, (kind, shared)): (usize, &(TestEventKind, Shared))| {
            let (word, frame) = (kind.word(), shared.frame);
            format!(
                "{word} in frame {frame} by {:+.1} ms",
                1e3 * self.offset.left_s[at]
            )
        };
        let left: Vec<String> = self.events.iter().enumerate().map(left).collect();
        let rate = self.offset.drift_seen.map_or(String::new(), |(drift, _)| {
            let agreed = wanted.rate_hz / (1.0 + drift);
            format!(
                "; they would agree at {agreed:.2} frames a second, {} is stated",
                wanted.rate_hz
            )
        });
        let message = format!(
            "footage and log disagree about when things happened: {} off the shift between them, which events that agree reach in {} of cases{rate}; the clock's uncertainty is widened to {:.1} ms",
            left.join(", "),
            percent(agreement.p),
            1e3 * self.offset.error_s,
        );
        Some(warning(
            "footage-clock",
            about,
            message,
            "look at the frames, at frame_rate as recorded (not as played), and at the events in the log",
        ))
    }
}

/// A value with its interval, normal.
fn by_half(value: f64, sure: f64) -> Measured {
    within(value, normal_quantile(0.975) * sure, sure)
}

fn within(value: f64, half: f64, sure: f64) -> Measured {
    let (low, high) = (value - half, value + half);
    Measured {
        standard_uncertainty: Some(sure),
        ..between(value, Interval { low, high })
    }
}
