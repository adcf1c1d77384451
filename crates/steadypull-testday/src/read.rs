//! Every pull of a test file, read off.

use std::sync::Arc;

use steadypull_contract::answer::{
    CONTRACT_VERSION, CellUsed, Finding, FootageRead, OscillationReadings, OtherPull, PullRead,
    PullReadings, SetBy, StretchReadings, TestEvent, TestEventKind, TestsReadAnswer,
};
use steadypull_contract::plan_file::{PullEntry, TestFile};
use steadypull_measure::events::{Event, EventKind, SetBy as Who};
use steadypull_measure::readings::{Stretch, oscillation, peak, shape, stretch};

use crate::beside::each;
use crate::cells::Cells;
use crate::files::Files;
use crate::finding::sorted;
use crate::footage::footage;
use crate::measured::measured;
use crate::take::{Once, Taken, Wanted, take};
use crate::trouble::{TestsError, Trouble, sound};

/// Reads every pull, or the one called `only`. Logs are held one at a time.
pub fn read(
    test: &TestFile,
    only: Option<&str>,
    files: &dyn Files,
) -> Result<TestsReadAnswer, TestsError> {
    crate::pulled(test)?;
    let entries = match only {
        None => test.pulls.iter().collect(),
        Some(name) => vec![entry_named(test, name)?],
    };
    let (pulls, findings) = read_off(test, &entries, files)?;
    sound(TestsReadAnswer {
        contract_version: CONTRACT_VERSION,
        test: crate::summary(test),
        pulls,
        findings: sorted(findings),
        cautions: crate::cautions(),
    })
}

pub(crate) fn entry_named<'t>(test: &'t TestFile, name: &str) -> Result<&'t PullEntry, Trouble> {
    test.pull(name).ok_or_else(|| {
        let names: Vec<&str> = test.pulls.iter().map(|pull| &pull.name[..]).collect();
        Trouble::new(
            format!("pull {name}"),
            "there is no such pull in the test file",
        )
        .hinting(format!("there are: {}", names.join(", ")))
    })
}

/// The pulls and what was noticed; every one that cannot be read is told.
pub(crate) fn read_off(
    test: &TestFile,
    entries: &[&PullEntry],
    files: &dyn Files,
) -> Result<(Vec<PullRead>, Vec<Finding>), TestsError> {
    let cells = Cells::of(test, entries, files).map_err(TestsError::InTheWay)?;
    let (mut pulls, mut findings, mut troubles) = (Vec::new(), Vec::new(), Vec::new());
    let mut once = Once::default();
    // Pulls of one record are read side by side, and let go before the next is made.
    let mut together: Vec<(Taken, &PullEntry, Option<FootageRead>)> = Vec::new();
    let read = |together: &mut Vec<_>| {
        let read = each(together, &|(taken, entry, footage): &(
            Taken,
            &PullEntry,
            _,
        )| {
            pull_read(taken, entry, cells.of_pull(entry), Option::clone(footage))
        });
        together.clear();
        read
    };
    for entry in entries {
        let taken = take(test, entry, files, Wanted::Readings);
        match taken.and_then(|taken| with_footage(taken, entry, files, &mut once)) {
            Ok((taken, footage)) => {
                let same = |one: &(Taken, _, _)| Arc::ptr_eq(&one.0.record, &taken.record);
                if !together.last().is_some_and(same) {
                    pulls.extend(read(&mut together));
                }
                findings.extend(taken.findings.iter().cloned());
                together.push((taken, entry, footage));
            }
            Err(trouble) => troubles.push(trouble),
        }
    }
    pulls.extend(read(&mut together));
    if troubles.is_empty() {
        Ok((pulls, findings))
    } else {
        troubles.dedup();
        Err(TestsError::InTheWay(troubles))
    }
}

/// A pull that was not taken before, with what its footage shows.
fn with_footage(
    taken: Taken,
    entry: &PullEntry,
    files: &dyn Files,
    once: &mut Once,
) -> Result<(Taken, Option<FootageRead>), Trouble> {
    once.check(&taken)?;
    let parted = taken.pull().parting.is_some();
    let footage = footage(entry, taken.by_events.as_ref(), parted, files)?;
    Ok((taken, footage))
}

fn pull_read(
    taken: &Taken,
    entry: &PullEntry,
    cell: Option<CellUsed>,
    footage: Option<FootageRead>,
) -> PullRead {
    let (pull, load) = (taken.pull(), &taken.load);
    PullRead {
        name: taken.name.clone(),
        setup: entry.setup.clone(),
        log: taken.log.clone(),
        cell,
        mistakes: taken.mistakes.clone(),
        faults: taken.faults.clone(),
        steps: taken.steps.clone(),
        noise_n: load.quality.noise_after_filter(),
        threshold_n: taken.found.threshold_n,
        record_s: [load.series.start_s(), load.series.end_s()],
        events: events(taken),
        cut_off: pull.begins_under_load || pull.ends_under_load,
        footage,
        others: others(taken),
        readings: readings(taken),
    }
}

fn events(taken: &Taken) -> Vec<TestEvent> {
    let pull = taken.pull();
    let all = [
        Some(pull.taut),
        Some(pull.peak),
        pull.break_out,
        pull.parting,
        Some(pull.end),
    ];
    let mut events: Vec<TestEvent> = all.iter().flatten().map(event).collect();
    events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    events
}

fn event(event: &Event) -> TestEvent {
    TestEvent {
        kind: match event.kind {
            EventKind::Taut => TestEventKind::Taut,
            EventKind::Peak => TestEventKind::Peak,
            EventKind::BreakOut => TestEventKind::BreakOut,
            EventKind::Parting => TestEventKind::Parting,
            EventKind::End => TestEventKind::End,
        },
        time_s: event.time_s,
        uncertainty_s: event.uncertainty_s,
        set_by: match event.set_by {
            Who::Found => SetBy::Log,
            Who::Hand => SetBy::Hand,
        },
    }
}

fn others(taken: &Taken) -> Vec<OtherPull> {
    /// Most that are listed.
    const MOST: usize = 50;
    let all = taken.found.pulls.iter().enumerate();
    let others = all
        .filter(|(at, _)| *at != taken.at)
        .map(|(_, pull)| OtherPull {
            taut_s: pull.taut.time_s,
            end_s: pull.end.time_s,
            about_n: taken.load.series.at(pull.peak.time_s).unwrap_or(0.0),
            rebound: pull.rebound,
        });
    others.take(MOST).collect()
}

fn readings(taken: &Taken) -> PullReadings {
    let (load, pull) = (&taken.load, taken.pull());
    let (peak, shape) = (peak(load, pull), shape(load, pull));
    let together = taken.displacement.as_ref().map(|displacement| {
        let displacement = displacement.as_ref().map_err(Clone::clone)?;
        stretch(load, displacement, pull).map_err(|error| error.to_string())
    });
    let (stretch, no_stretch) = match together {
        None => (None, None),
        Some(Ok(read)) => (Some(stretch_readings(&read)), None),
        Some(Err(why)) => (None, Some(why)),
    };
    PullReadings {
        peak_n: measured(&peak.load),
        peak_as_filtered_n: measured(&peak.as_filtered),
        peak_time_s: measured(&peak.time),
        rise_s: measured(&shape.rise),
        width_s: measured(&peak.width),
        impulse_n_s: measured(&shape.impulse),
        duration_s: measured(&shape.duration),
        oscillation: swing(taken),
        stretch,
        no_stretch,
    }
}

/// The strongest oscillation while the load is held after the break-out; without one after
/// the peak.
fn swing(taken: &Taken) -> OscillationReadings {
    let (from_s, to_s) = held(taken);
    let read = oscillation(&taken.load, from_s, to_s, taken.found.threshold_n);
    OscillationReadings {
        from_s,
        to_s,
        frequency_hz: measured(&read.frequency),
        damping_ratio: measured(&read.damping),
        amplitude_n: measured(&read.amplitude),
        resolution_hz: (read.resolution_hz < f64::MAX).then_some(read.resolution_hz),
    }
}

/// From when to when the load is held: after the break-out (or the peak) from where it first
/// comes down to its middle value there, to where it last stands at that. What lies before and
/// after is a jump and an unloading, which are no swings.
fn held(taken: &Taken) -> (f64, f64) {
    let (series, pull) = (&taken.load.series, taken.pull());
    let from_s = pull.break_out.unwrap_or(pull.peak).time_s;
    let to_s = pull.parting.unwrap_or(pull.end).time_s;
    let window = series.between(from_s, to_s);
    let values = &series.values()[window.clone()];
    let mut sorted: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    let Some(middle) = sorted.get(sorted.len() / 2).copied() else {
        return (from_s, from_s);
    };
    let down = match pull.break_out {
        Some(_) => values.iter().position(|v| *v <= middle).unwrap_or(0),
        None => 0,
    };
    let last = values.iter().rposition(|v| *v >= middle);
    let last = last.unwrap_or(down).max(down);
    (
        series.time_s(window.start + down),
        series.time_s(window.start + last),
    )
}

fn stretch_readings(read: &Stretch) -> StretchReadings {
    StretchReadings {
        greatest_m: measured(&read.greatest),
        energy_in_j: measured(&read.energy_in),
        energy_back_j: measured(&read.energy_back),
        hysteresis_share: measured(&read.hysteresis),
        stiffness_n_m: measured(&read.stiffness),
    }
}
