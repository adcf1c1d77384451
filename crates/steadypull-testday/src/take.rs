//! One pull taken out of its log: read by its recipe, cleaned, its events found.

use steadypull_contract::answer::{
    CellUsed, CleaningStep, Finding, LogFault, LogGroup, LogProvenance,
};
use steadypull_contract::plan_file::{
    ByHandEvent, CellEntry, CellLaw, CellUncertainty, Day, DisplacementFrom, Iso376Class,
    PullEntry, TestFile, ZeroFrom,
};
use steadypull_logs::{Log, LogChannel, Quantity, Recipe};
use steadypull_measure::events::{self, ByHand, EventKind, Found, Moved, Settings, set_by_hand};
use steadypull_measure::signal::calibration::{
    Calibration, CalibrationError, CalibrationFinding, CalibrationSpread, Date, Iso376, Law, Stated,
};
use steadypull_measure::signal::cfc::Cfc;
use steadypull_measure::signal::faults::FaultKind;
use steadypull_measure::signal::resample::Between;
use steadypull_measure::signal::steps::{Cleaned, Done, Step, StepError, ZeroBy, clean};
use steadypull_measure::signal::{Channel, Series};

use crate::files::Files;
use crate::finding::{note, warning};
use crate::footage::shown;
use crate::look::{groups, log_faults, refused};
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
    /// The cell, if the test file names one.
    pub cell: Option<CellUsed>,
    /// Oddities of the reading.
    pub mistakes: Vec<LogGroup>,
    /// Faults of the load channel.
    pub faults: Vec<LogFault>,
    /// What was done to it.
    pub steps: Vec<CleaningStep>,
    /// The load, cleaned.
    pub load: Channel,
    /// The load without the filter, where it was wanted.
    pub unfiltered: Option<Channel>,
    /// The stretch, cleaned, at the same times; or why there is none.
    pub displacement: Option<Result<Channel, String>>,
    /// Name and SHA-256 of each table of marks that the stretch was read from.
    pub footage: Vec<(String, String)>,
    /// Every pull of the log.
    pub found: Found,
    /// Which of them this is.
    pub at: usize,
    /// What was noticed.
    pub findings: Vec<Finding>,
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
    let mut log = open(entry, files)?;
    let about = format!("pull {}", entry.name);
    let force = force_channel(entry, &log)?;
    let stretch = stretch_channel(entry, &log)?;
    let cell = entry.cell.as_deref().and_then(|name| test.cell(name));
    check_unit(entry, &log.channels[force], cell)?;
    let provenance = provenance(entry, &log, force, stretch);
    let mistakes = groups(&log.mistakes);
    let mut findings = read_findings(&about, &log);
    let steps = load_steps(test, entry, cell)?;
    let cleaned = clean(&log.times_s, &log.channels[force].values, &steps);
    let cleaned = cleaned.map_err(|error| uncleaned(&about, &error))?;
    let unfiltered = match wanted {
        Wanted::Readings => None,
        Wanted::Unfiltered => {
            let steps: Vec<Step> = without_filter(steps);
            let plain = clean(&log.times_s, &log.channels[force].values, &steps);
            Some(plain.map_err(|error| uncleaned(&about, &error))?.channel)
        }
    };
    log.channels[force].values = Vec::new();
    let mut displacement = stretch.map(|at| displacement(test, entry, &log, at, &cleaned.channel));
    drop(log);
    let mut footage = Vec::new();
    if let (Some(DisplacementFrom::Footage), Some(wanted)) =
        (entry.displacement_from, &entry.footage)
    {
        let filter = only_filter(on_steps(test)?);
        let shown = shown(entry, wanted, &cleaned.channel, &filter, files)?;
        displacement = Some(on_times_of(&cleaned.channel, shown.channel));
        footage = shown.tables;
    }
    let found = found(test, entry, &cleaned.channel)?;
    let at = chosen(entry, &found, &cleaned.channel)?;
    let found = moved(entry, &found, at, &cleaned.channel)?;
    findings.extend(cell_findings(test, &about, cell));
    findings.extend(clean_findings(&about, &cleaned, &found.pulls[at]));
    Ok(Taken {
        name: entry.name.clone(),
        log: provenance,
        cell: cell.map(|cell| cell_used(cell, test.date)),
        mistakes,
        faults: log_faults(&cleaned.faults),
        steps: cleaned.done.iter().map(step_done).collect(),
        load: cleaned.channel,
        unfiltered,
        displacement,
        footage,
        found,
        at,
        findings,
    })
}

/// The log, read by its recipe, its hash checked.
fn open(entry: &PullEntry, files: &dyn Files) -> Result<Log, Trouble> {
    let fetched = |name: &str| {
        files.read(name).map_err(|why| {
            Trouble::new(name, why).hinting(format!("[pull.{}] names it", entry.name))
        })
    };
    let recipe = recipe(&entry.recipe, &fetched(&entry.recipe)?)?;
    let bytes = fetched(&entry.log)?;
    let log = steadypull_logs::read(&bytes, &recipe).map_err(|m| refused(&entry.log, &m))?;
    match &entry.sha256 {
        Some(stated) if *stated != log.sha256 => Err(Trouble::new(
            &entry.log,
            format!(
                "this is not the file that [pull.{}] was written for: its SHA-256 is {}, and {stated} is stated",
                entry.name, log.sha256
            ),
        )
        .hinting("find the log as it came from the logger; a log that was opened and saved again is another file")),
        _ => Ok(log),
    }
}

fn recipe(name: &str, bytes: &[u8]) -> Result<Recipe, Trouble> {
    let text = std::str::from_utf8(bytes)
        .map_err(|_| Trouble::new(name, "the recipe is not text in UTF-8"))?;
    Recipe::from_toml(text).map_err(|error| {
        let before = error.span().and_then(|span| text.get(..span.start));
        let line = before.map_or(1, |before| before.matches('\n').count() + 1);
        let message = format!("line {line}: {}", error.message());
        Trouble::new(name, message)
            .hinting("`steadypull tests look LOG -o RECIPE.toml` writes a recipe")
    })
}

fn listed(log: &Log) -> String {
    let names = log
        .channels
        .iter()
        .map(|c| format!("\"{}\" ({})", c.name, c.unit));
    names.collect::<Vec<_>>().join(", ")
}

fn named(entry: &PullEntry, log: &Log, key: &str, name: &str) -> Result<usize, Trouble> {
    let found = log.channels.iter().position(|channel| channel.name == name);
    found.ok_or_else(|| {
        let message = format!("{key} = \"{name}\" is no channel of its recipe");
        Trouble::new(format!("pull {}", entry.name), message)
            .hinting(format!("there are: {}", listed(log)))
    })
}

fn force_channel(entry: &PullEntry, log: &Log) -> Result<usize, Trouble> {
    if let Some(name) = &entry.force {
        return named(entry, log, "force", name);
    }
    let forces: Vec<usize> = (0..log.channels.len())
        .filter(|&at| log.channels[at].quantity == Quantity::Force)
        .collect();
    match (&forces[..], log.channels.len()) {
        ([one], _) => Ok(*one),
        ([], 1) => Ok(0),
        _ => Err(Trouble::new(
            format!("pull {}", entry.name),
            "which channel holds the load is not said, and it is not plain",
        )
        .hinting(format!(
            "write force = \"NAME\"; there are: {}",
            listed(log)
        ))),
    }
}

fn stretch_channel(entry: &PullEntry, log: &Log) -> Result<Option<usize>, Trouble> {
    let Some(name) = &entry.displacement else {
        return Ok(None);
    };
    let at = named(entry, log, "displacement", name)?;
    if log.channels[at].unit != "m" {
        let message = format!(
            "the channel \"{name}\" reads {}, which is no length",
            log.channels[at].unit
        );
        return Err(Trouble::new(format!("pull {}", entry.name), message)
            .hinting("give the recipe its unit, and a factor where it needs one"));
    }
    Ok(Some(at))
}

/// A log of volts needs a cell that makes loads of them.
fn check_unit(
    entry: &PullEntry,
    channel: &LogChannel,
    cell: Option<&CellEntry>,
) -> Result<(), Trouble> {
    let loads = channel.quantity == Quantity::Force;
    let as_logged = cell.is_none_or(|cell| cell.law == CellLaw::AsLogged);
    if loads || !as_logged {
        return Ok(());
    }
    let message = format!(
        "the channel \"{}\" reads {}, which is no load",
        channel.name, channel.unit
    );
    Err(Trouble::new(format!("pull {}", entry.name), message)
        .hinting("name a cell with load_per_unit or polynomial"))
}

fn provenance(entry: &PullEntry, log: &Log, force: usize, stretch: Option<usize>) -> LogProvenance {
    LogProvenance {
        file: entry.log.clone(),
        sha256: log.sha256.clone(),
        checked: entry.sha256.is_some(),
        bytes: log.bytes,
        recipe: entry.recipe.clone(),
        samples: log.times_s.len() as u64,
        rate_hz: log.rate_hz,
        starts: log.starts.clone(),
        force_channel: log.channels[force].name.clone(),
        displacement_channel: stretch.map(|at| log.channels[at].name.clone()),
    }
}

fn kept(entry: &PullEntry) -> Vec<Step> {
    let crop = entry
        .crop_s
        .map(|(from_s, to_s)| Step::Crop { from_s, to_s });
    let remove = entry
        .remove_s
        .iter()
        .map(|&(from_s, to_s)| Step::Remove { from_s, to_s });
    crop.into_iter().chain(remove).collect()
}

fn on_steps(test: &TestFile) -> Result<Vec<Step>, Trouble> {
    let resample = test.clean.resample.map(|r| Step::Resample {
        step_s: r.step_s,
        between: if r.cubic {
            Between::Cubic
        } else {
            Between::Linear
        },
        longest_gap_s: r.longest_gap_s,
    });
    let class = test.clean.cfc.map(Cfc::new).transpose();
    let class = class.map_err(|error| Trouble::new("[clean] cfc", error.to_string()))?;
    Ok(resample
        .into_iter()
        .chain(class.map(Step::Filter))
        .collect())
}

fn load_steps(
    test: &TestFile,
    entry: &PullEntry,
    cell: Option<&CellEntry>,
) -> Result<Vec<Step>, Trouble> {
    let mut steps = kept(entry);
    steps.extend(test.clean.invert.then_some(Step::Invert));
    steps.push(Step::Zero(zero(test, entry)));
    if let Some(cell) = cell {
        let about = format!("cell {}", cell.name);
        let wrong = |error: CalibrationError| Trouble::new(&about, error.to_string());
        steps.push(Step::Calibrate {
            calibration: calibration(cell).map_err(wrong)?,
            tested: date(test.date).map_err(wrong)?,
        });
    }
    steps.extend(on_steps(test)?);
    Ok(steps)
}

fn zero(test: &TestFile, entry: &PullEntry) -> ZeroBy {
    let window = |(from_s, to_s)| ZeroBy::Window { from_s, to_s };
    match (entry.zero_window_s, test.clean.zero) {
        (Some(own), _) => window(own),
        (None, ZeroFrom::Window(from, to)) => window((from, to)),
        (None, ZeroFrom::QuietPart) => ZeroBy::QuietPart,
        (None, ZeroFrom::AsLogged) => ZeroBy::Level {
            level: 0.0,
            uncertainty: 0.0,
        },
    }
}

fn without_filter(steps: Vec<Step>) -> Vec<Step> {
    let plain = |step: &Step| !matches!(step, Step::Filter(_));
    steps.into_iter().filter(plain).collect()
}

fn only_filter(steps: Vec<Step>) -> Vec<Step> {
    let filter = |step: &Step| matches!(step, Step::Filter(_));
    steps.into_iter().filter(filter).collect()
}

fn date(day: Day) -> Result<Date, CalibrationError> {
    Date::new(day.year, day.month, day.day)
}

fn calibration(cell: &CellEntry) -> Result<Calibration, CalibrationError> {
    let law = match &cell.law {
        CellLaw::AsLogged => Law::Gain(1.0),
        CellLaw::Gain(gain) => Law::Gain(*gain),
        CellLaw::Polynomial(terms) => Law::Polynomial(terms.clone()),
    };
    let stated = match cell.uncertainty {
        CellUncertainty::Relative { share, coverage } => Stated::Relative {
            expanded: share,
            factor: coverage,
        },
        CellUncertainty::Residual(residual) => Stated::ResidualN(residual),
        CellUncertainty::Class(class) => Stated::Class(match class {
            Iso376Class::Class00 => Iso376::Class00,
            Iso376Class::Class05 => Iso376::Class05,
            Iso376Class::Class1 => Iso376::Class1,
            Iso376Class::Class2 => Iso376::Class2,
        }),
    };
    Calibration::new(
        law,
        stated,
        &cell.certificate,
        date(cell.due)?,
        cell.range_n,
    )
}

fn cell_used(cell: &CellEntry, tested: Day) -> CellUsed {
    CellUsed {
        name: cell.name.clone(),
        certificate: cell.certificate.clone(),
        due: cell.due.to_string(),
        overdue: tested > cell.due,
        range_n: cell.range_n,
    }
}

fn step_done(done: &Done) -> CleaningStep {
    CleaningStep {
        says: done.words.clone(),
        samples_before: done.before as u64,
        samples_after: done.after as u64,
    }
}

fn uncleaned(about: &str, error: &StepError) -> Trouble {
    use steadypull_measure::signal::steps::Cause;
    let hint = match &error.cause {
        Cause::Uneven => "write resample = \"1 ms\" or so in [clean]",
        Cause::Zero(_) => {
            "give zero_window = [\"0 s\", \"0.8 s\"] where the line hangs slack, or zero = \"as-logged\""
        }
        Cause::Filter(_) => "choose another cfc in [clean], or leave it out",
        Cause::NothingLeft { .. } => "look at crop against the log's own times",
        _ => "look at [clean] and at the log",
    };
    Trouble::new(about, format!("cannot be cleaned, {error}")).hinting(hint)
}

/// The stretch, cleaned as the load is, on the load's own times.
fn displacement(
    test: &TestFile,
    entry: &PullEntry,
    log: &Log,
    at: usize,
    load: &Channel,
) -> Result<Channel, String> {
    let mut steps = kept(entry);
    let (by_s, uncertainty_s) = entry.displacement_shift_s;
    if by_s != 0.0 || uncertainty_s != 0.0 {
        steps.push(Step::Shift {
            by_s,
            uncertainty_s,
        });
    }
    steps.extend(on_steps(test).map_err(|trouble| trouble.message)?);
    let cleaned = clean(&log.times_s, &log.channels[at].values, &steps);
    let mut channel = cleaned.map_err(|error| error.to_string())?.channel;
    channel.quality.calibration = CalibrationSpread {
        relative: 0.5 * entry.displacement_uncertainty.unwrap_or(0.0),
        absolute_n: 0.0,
    };
    on_times_of(load, channel)
}

/// The channel on the load's times, straight between its own, where it lies beside them.
fn on_times_of(load: &Channel, channel: Channel) -> Result<Channel, String> {
    let beside = load.series.place(channel.series.start_s());
    if (beside - libm::round(beside)).abs() < 1e-6 {
        return Ok(channel);
    }
    let value = |i: usize| channel.series.at(load.series.time_s(i)).unwrap_or(f64::NAN);
    let values = (0..load.series.values().len()).map(value).collect();
    let series = Series::new(load.series.start_s(), load.series.step_s(), values);
    Ok(Channel {
        series: series.map_err(|error| error.to_string())?,
        quality: channel.quality,
    })
}

fn found(test: &TestFile, entry: &PullEntry, load: &Channel) -> Result<Found, Trouble> {
    let (rules, usual) = (test.events, Settings::default());
    let settings = Settings {
        threshold_n: rules.threshold_n.unwrap_or(usual.threshold_n),
        slack_for_s: rules.slack_for_s.unwrap_or(usual.slack_for_s),
        rebound_within_s: rules.rebound_within_s.unwrap_or(usual.rebound_within_s),
        plateau_s: rules.plateau_s.unwrap_or(usual.plateau_s),
        fastest_unload_s: rules.fastest_unload_s,
    };
    events::find(load, &settings).map_err(|error| {
        Trouble::new(format!("pull {}", entry.name), error.to_string())
            .hinting("look at invert, at the channel and at threshold in [events]")
    })
}

/// Which of the log's pulls is meant; never guessed where there are several.
fn chosen(entry: &PullEntry, found: &Found, load: &Channel) -> Result<usize, Trouble> {
    let own: Vec<usize> = (0..found.pulls.len())
        .filter(|&at| !found.pulls[at].rebound)
        .collect();
    let list = || {
        let told = |(n, at): (usize, &usize)| {
            let pull = &found.pulls[*at];
            let peak = load.series.at(pull.peak.time_s).unwrap_or(0.0);
            format!(
                "{} from {:.2} s with {:.1} kN",
                n + 1,
                pull.taut.time_s,
                peak / 1e3
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

fn read_findings(about: &str, log: &Log) -> Vec<Finding> {
    let lost: u64 = groups(&log.mistakes)
        .iter()
        .filter(|g| g.lost)
        .map(|g| g.count)
        .sum();
    let lost = (lost > 0).then(|| {
        let message = format!("{lost} cells or rows of {about} could not be read and are gaps");
        warning(
            "log-gaps",
            about,
            message,
            "look at the log; nothing is read across a gap",
        )
    });
    lost.into_iter().collect()
}

fn cell_findings(test: &TestFile, about: &str, cell: Option<&CellEntry>) -> Vec<Finding> {
    let mut findings = Vec::new();
    if cell.is_none() {
        findings.push(warning(
            "no-cell",
            about,
            "no cell is named: nothing vouches for the loads, and no doubt of a calibration is in their intervals",
            "describe the cell and its certificate in [cell.NAME] and name it",
        ));
    }
    if test.clean.zero == ZeroFrom::AsLogged {
        findings.push(warning(
            "zero-as-logged",
            about,
            "the zero was taken as the logger wrote it: how far it is off is not known and is in no interval",
            "log some seconds with the line slack before the pull",
        ));
    }
    findings
}

fn clean_findings(about: &str, cleaned: &Cleaned, pull: &events::Pull) -> Vec<Finding> {
    let mut findings = Vec::new();
    for done in &cleaned.done {
        findings.extend(
            done.findings
                .iter()
                .map(|found| calibration_finding(about, found)),
        );
        let doubt = done.quiet.as_ref().and_then(|quiet| quiet.doubt.clone());
        findings.extend(doubt.map(|doubt| {
            warning(
                "zero-in-doubt",
                about,
                doubt,
                "give zero_window where the line hangs slack",
            )
        }));
    }
    let inside = |from: f64, to: f64| from <= pull.end.time_s && to >= pull.taut.time_s;
    for fault in &cleaned.faults {
        if !inside(fault.place.from_s, fault.place.to_s) {
            continue;
        }
        let (code, remedy) = match fault.kind {
            FaultKind::Saturated { .. } => (
                "clipped",
                "take a cell or a range that the pull stays under, and pull again",
            ),
            FaultKind::Gap { .. } | FaultKind::Missing | FaultKind::ClockStep { .. } => {
                ("gap-in-pull", "pull again, or leave this pull out")
            }
            FaultKind::Spike { .. } => {
                ("spike-in-pull", "take it out with remove, if it is no load")
            }
            FaultKind::Stuck { .. } => ("stuck-in-pull", "look at the logger and its cable"),
            FaultKind::ZeroDrift { .. } => {
                ("zero-drift", "look at the cell; zero it before each pull")
            }
            _ => continue,
        };
        findings.push(warning(code, about, fault.words(), remedy));
    }
    if pull.begins_under_load || pull.ends_under_load {
        findings.push(warning(
            "cut-off",
            about,
            "the log begins or ends, or has a gap, while the line is under load: duration, impulse and energies are not whole",
            "log from before the line comes taut until it is slack",
        ));
    }
    if let Some(parting) = &pull.parting {
        findings.push(note(
            "parting",
            about,
            format!(
                "the load falls away at {:.3} s faster than a whole line unloads: something let go",
                parting.time_s
            ),
            "say what it was in the set-up; a let-go by hand looks the same: no_parting = true",
        ));
    }
    // One of each kind says it.
    let mut told: Vec<Finding> = Vec::new();
    for finding in findings {
        if !told.iter().any(|one| one.code == finding.code) {
            told.push(finding);
        }
    }
    told
}

fn calibration_finding(about: &str, found: &CalibrationFinding) -> Finding {
    let (code, remedy, source) = match found {
        CalibrationFinding::Overdue { .. } => (
            "cell-overdue",
            "calibrate the cell, and read these pulls again with what it shows",
            "common practice",
        ),
        CalibrationFinding::BeyondRange { .. } => (
            "cell-range",
            "take a cell calibrated to a greater load",
            "common practice",
        ),
        CalibrationFinding::BelowLowerLimit { .. } => (
            "cell-too-large",
            "take a smaller cell",
            "ASTM E74, from memory",
        ),
    };
    Finding {
        source: source.into(),
        ..warning(code, about, found.words(), remedy)
    }
}
