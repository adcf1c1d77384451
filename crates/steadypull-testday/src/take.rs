//! One pull taken out of its log: its record, its events, the stretch from its footage.

use std::sync::Arc;

use steadypull_contract::answer::{CleaningStep, Finding, LogFault, LogGroup, LogProvenance};
use steadypull_contract::plan_file::{ByHandEvent, DisplacementFrom, PullEntry, TestFile};
use steadypull_contract::show::Units;
use steadypull_measure::events::{self, ByHand, EventKind, Found, Moved, set_by_hand};
use steadypull_measure::signal::Channel;
use steadypull_measure::signal::steps::Done;

use crate::cleaning::{on_steps, only_filter};
use crate::files::Files;
use crate::footage::shown;
use crate::footage_clock::{ByEvents, by_events};
use crate::look::log_faults;
use crate::noticed::{cell_findings, clean_findings, read_findings};
use crate::record::{Record, on_times_of, record};
use crate::trouble::Trouble;

/// What of a pull is wanted besides its filtered load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// Nothing.
    Readings,
    /// The load before the filter too, for a fit.
    Unfiltered,
}

/// One pull taken.
#[derive(Debug, Clone)]
pub struct Taken {
    /// Its name in the test file.
    pub name: String,
    /// Where it comes from.
    pub log: LogProvenance,
    /// Oddities of the reading.
    pub mistakes: Vec<LogGroup>,
    /// Faults of the load channel.
    pub faults: Vec<LogFault>,
    /// What was done to it.
    pub steps: Vec<CleaningStep>,
    /// The load, cleaned.
    pub load: Arc<Channel>,
    /// The load without the filter, where it was wanted.
    pub unfiltered: Option<Arc<Channel>>,
    /// The stretch, cleaned, at the same times; or why there is none.
    pub displacement: Option<Result<Arc<Channel>, String>>,
    /// Name and SHA-256 of each table of marks that the stretch was read from.
    pub footage: Vec<(String, String)>,
    /// Every pull of the log.
    pub found: Found,
    /// Which of them this is.
    pub at: usize,
    /// What was noticed.
    pub findings: Vec<Finding>,
    /// The clock of its footage, where events set it.
    pub(crate) by_events: Option<ByEvents>,
    /// What it was taken from.
    pub(crate) record: Arc<Record>,
}

impl Taken {
    /// The pull.
    pub fn pull(&self) -> &events::Pull {
        &self.found.pulls[self.at]
    }
}

/// Pulls taken so far: a pull that counts twice fakes a spread.
#[derive(Default)]
pub(crate) struct Once(Vec<(String, usize, String)>);

impl Once {
    /// Refuses a pull of a log that was taken under another name.
    pub(crate) fn check(&mut self, taken: &Taken) -> Result<(), Trouble> {
        let same =
            |(hash, at, _): &&(String, usize, String)| *hash == taken.log.sha256 && *at == taken.at;
        if let Some((_, _, name)) = self.0.iter().find(same) {
            let message = format!(
                "is the same pull of the same log as pull {name}: counted twice it fakes a spread"
            );
            return Err(Trouble::new(format!("pull {}", taken.name), message)
                .hinting("leave one out, or correct its log or which"));
        }
        self.0
            .push((taken.log.sha256.clone(), taken.at, taken.name.clone()));
        Ok(())
    }
}

/// Takes one pull of a test file.
pub fn take(
    test: &TestFile,
    entry: &PullEntry,
    files: &dyn Files,
    wanted: Wanted,
) -> Result<Taken, Trouble> {
    let record = record(test, entry, files, wanted)?;
    let about = format!("pull {}", entry.name);
    let cell = entry.cell.as_deref().and_then(|name| test.cell(name));
    let at = chosen(entry, &record.found, &record.load, test.units)?;
    let found = moved(entry, &record.found, at, &record.load)?;
    let by_events = by_events(entry, &found.pulls[at], record.load.series.step_s())?;
    let (mut displacement, mut footage) = (record.displacement.clone(), Vec::new());
    if let (Some(DisplacementFrom::Footage), Some(wanted)) =
        (entry.displacement_from, &entry.footage)
    {
        let filter = only_filter(on_steps(test)?);
        let shown = shown(
            entry,
            wanted,
            by_events.as_ref(),
            &record.load,
            &filter,
            files,
        )?;
        displacement = Some(on_times_of(&record.load, shown.channel).map(Arc::new));
        footage = shown.tables;
    }
    let mut findings = read_findings(&about, &record.mistakes);
    findings.extend(cell_findings(test, &about, cell));
    findings.extend(clean_findings(
        &about,
        &record,
        &found.pulls[at],
        test.units,
    ));
    let disagree = by_events.as_ref().zip(entry.footage.as_ref());
    findings.extend(disagree.and_then(|(events, wanted)| events.finding(&about, wanted)));
    Ok(Taken {
        name: entry.name.clone(),
        log: LogProvenance {
            checked: entry.sha256.is_some(),
            ..record.log.clone()
        },
        mistakes: record.mistakes.clone(),
        faults: log_faults(&record.faults, test.units, &record.unit),
        steps: record.done.iter().map(step_done).collect(),
        load: Arc::clone(&record.load),
        unfiltered: record.unfiltered.clone(),
        displacement,
        footage,
        found,
        at,
        findings,
        by_events,
        record,
    })
}

/// Which of the log's pulls is meant; never guessed where there are several.
fn chosen(
    entry: &PullEntry,
    found: &Found,
    load: &Channel,
    units: Units,
) -> Result<usize, Trouble> {
    let own: Vec<usize> = (0..found.pulls.len())
        .filter(|&at| !found.pulls[at].rebound)
        .collect();
    let list = || {
        let told = |(n, at): (usize, &usize)| {
            let pull = &found.pulls[*at];
            let peak = load.series.at(pull.peak.time_s).unwrap_or(0.0);
            format!(
                "{} from {:.2} s with {}",
                n + 1,
                pull.taut.time_s,
                units.force(peak)
            )
        };
        let shown: Vec<_> = own.iter().enumerate().take(12).map(told).collect();
        shown.join("; ")
    };
    let about = format!("pull {}", entry.name);
    match (entry.which, &own[..]) {
        (Some(which), _) => own.get(which as usize - 1).copied().ok_or_else(|| {
            Trouble::new(
                about,
                format!("which = {which}, and the log holds {} pulls", own.len()),
            )
            .hinting(format!("there are: {}", list()))
        }),
        (None, [one]) => Ok(*one),
        (None, _) => Err(Trouble::new(
            about,
            format!(
                "the log holds {} pulls and which is meant is not said",
                own.len()
            ),
        )
        .hinting(format!(
            "write which = 1 or so ({}), or a threshold in [events] that small ones stay under",
            list()
        ))),
    }
}

fn moved(entry: &PullEntry, found: &Found, at: usize, load: &Channel) -> Result<Found, Trouble> {
    let moves: Vec<Moved> = entry
        .moved
        .iter()
        .map(|hand| Moved {
            pull: at,
            kind: match hand.event {
                ByHandEvent::Taut => EventKind::Taut,
                ByHandEvent::Peak => EventKind::Peak,
                ByHandEvent::BreakOut => EventKind::BreakOut,
                ByHandEvent::Parting => EventKind::Parting,
                ByHandEvent::End => EventKind::End,
            },
            to: match hand.at_s {
                None => ByHand::Away,
                Some((time_s, uncertainty_s)) => ByHand::At {
                    time_s,
                    uncertainty_s,
                },
            },
        })
        .collect();
    set_by_hand(found, &moves, &load.series).map_err(|error| {
        Trouble::new(format!("[pull.{}.events]", entry.name), error.to_string())
            .hinting("times are those of the log's own clock")
    })
}

fn step_done(done: &Done) -> CleaningStep {
    CleaningStep {
        says: done.words.clone(),
        samples_before: done.before as u64,
        samples_after: done.after as u64,
    }
}
