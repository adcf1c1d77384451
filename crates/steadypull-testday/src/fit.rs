//! A line fitted to the pulls of a test file.
//!
//! The fit looks at the load before the filter, thinned to [`READINGS_MOST`] readings a pull:
//! the filter rounds the corners that tell where a line comes tight. Noise of the stretch is weighed by
//! what is told of the channel (its scatter from sample to sample or while it rests, through its filter) or
//! of the marks. The fit finds where each pull's stretch begins, and its clock within its doubt, as well as the
//! readings know them. What all pulls share (the scales of load and stretch) no reading can narrow: it is put in by
//! fitting again with each moved by one standard uncertainty, and adds to the intervals in squares (JCGM 100:2008
//! 5.1.3, note 2).

use steadypull_contract::answer::{
    CONTRACT_VERSION, CellUsed, Doubt, Finding, FitVerdict, FittedLine, FittedParameter,
    FittedPull, Measured, TestsFitAnswer,
};
use steadypull_contract::plan_file::{FitEntry, PullEntry, TestFile};
use steadypull_engine::chance::normal_quantile;
use steadypull_engine::units::{Force, Length};
use steadypull_measure::fit::{
    Estimate, FitProblem, LineFit, LineModel, MadeOf, Memory, Parameter, PullRecord, RateTerm,
    Rules, StretchNoise, Term, Told, fit_line,
};

use crate::cells::Cells;
use crate::files::Files;
use crate::finding::{sorted, warning};
use crate::line_file::line_toml;
use crate::read::entry_named;
use crate::stretch_noise::{ReadNoise, of_channel};
use crate::take::{Once, Taken, Wanted, take};
use crate::trouble::{TestsError, Trouble, sound};

/// Readings of one pull at most: the time of a fit goes with the cube of them, what it tells with their root.
const READINGS_MOST: usize = 300;
/// Readings of one pull at least.
const READINGS_LEAST: usize = 20;
/// Slack before and after, over the time that it is taut. The ends were found in the same loads: a record that
/// stopped at them would leave out just those readings whose noise moved them.
const SLACK_BESIDE: f64 = 0.05;
/// How many times its doubt in the log the fit may move where a pull's stretch begins: in effect as it likes.
/// The time of taut was found in the same loads that the fit goes by and is no second witness.
const BEGINS_WITHIN: f64 = 10.0;

/// The readings of one pull.
#[derive(Clone)]
pub(crate) struct Record {
    pub name: String,
    pub log: String,
    pub sha256: String,
    pub footage: Vec<(String, String)>,
    pub cell: Option<CellUsed>,
    pub time_s: Vec<f64>,
    pub stretch_m: Vec<f64>,
    pub force_n: Vec<f64>,
    pub strain_seen: f64,
    /// Noise of its stretch.
    noise: ReadNoise,
    /// Standard uncertainty of its load's zero, N.
    zero_n: f64,
    /// What the fit moves all stretches within: how far one standard uncertainty of where they begin does, m,
    /// and then of their clock, where it is in doubt.
    within_m: Vec<Vec<f64>>,
    /// Standard uncertainty of the load's scale and of the stretch's, as shares.
    load_share: f64,
    stretch_share: f64,
}

/// Fits every line that the test file asks for.
pub fn fit(test: &TestFile, files: &dyn Files) -> Result<TestsFitAnswer, TestsError> {
    crate::pulled(test)?;
    if test.fits.is_empty() {
        return Err(
            Trouble::new("the test file", "asks for no line to be fitted")
                .hinting("add a heading such as [fit.strap] with material, length and mbs")
                .into(),
        );
    }
    let (mut lines, mut findings, mut troubles) = (Vec::new(), Vec::new(), Vec::new());
    for entry in &test.fits {
        match line(test, entry, files) {
            Ok((line, noticed)) => {
                lines.push(line);
                findings.extend(noticed);
            }
            Err(trouble) => troubles.extend(trouble),
        }
    }
    if !troubles.is_empty() {
        troubles.dedup();
        return Err(TestsError::InTheWay(troubles));
    }
    findings.dedup();
    sound(TestsFitAnswer {
        contract_version: CONTRACT_VERSION,
        test: crate::summary(test),
        lines,
        findings: sorted(findings),
        cautions: crate::cautions(),
    })
}

fn line(
    test: &TestFile,
    entry: &FitEntry,
    files: &dyn Files,
) -> Result<(FittedLine, Vec<Finding>), Vec<Trouble>> {
    let (records, mut findings) = records(test, entry, files)?;
    let about = format!("fit {}", entry.name);
    let failed = |error: FitProblem| {
        vec![Trouble::new(&about, error.to_string()).hinting(
            "look at the pulls with `steadypull tests read`, at length and mbs, or hold energy_return and set",
        )]
    };
    let model = model(entry);
    let mut rules = Rules {
        confidence: entry.confidence,
        ..Rules::default()
    };
    let mut fitted = fitted(&model, &records, entry, &rules).map_err(failed)?;
    if !fitted.residual_check.like_noise() {
        rules.memory = Memory::Found;
        fitted = self::fitted(&model, &records, entry, &rules).map_err(failed)?;
        findings.push(residual_finding(&about, &fitted));
    }
    findings.extend(fitted.too_near.then(|| too_near(&about)));
    let shared = shared(&model, &records, entry, &rules, &fitted).map_err(failed)?;
    findings.extend(condition_findings(test, entry, &records));
    Ok((told(test, entry, &records, &fitted, &shared), findings))
}

fn model(entry: &FitEntry) -> LineModel {
    let term = |held: Option<f64>| held.map_or(Term::Fitted, Term::Fixed);
    LineModel {
        levels: entry.knots.into(),
        energy_return: term(entry.energy_return),
        set_fraction: term(entry.set),
        rate: if entry.rate {
            RateTerm::Fitted
        } else {
            RateTerm::None
        },
        breaking: Force::new(entry.mbs_n),
    }
}

fn fitted(
    model: &LineModel,
    records: &[Record],
    entry: &FitEntry,
    rules: &Rules,
) -> Result<LineFit, FitProblem> {
    let pulls: Vec<PullRecord> = records
        .iter()
        .map(|record| PullRecord {
            time_s: &record.time_s,
            stretch_m: &record.stretch_m,
            stretch_noise: StretchNoise {
                deviation_m: record.noise.deviation_m,
                correlation: &record.noise.correlation,
            },
            shared_m: &record.within_m,
            force_n: &record.force_n,
            zero_n: record.zero_n,
            rest_length: Length::new(entry.length_m),
            strain_seen: record.strain_seen,
        })
        .collect();
    fit_line(model, &pulls, rules)
}

/// The pulls of a fit, taken and thinned.
fn records(
    test: &TestFile,
    entry: &FitEntry,
    files: &dyn Files,
) -> Result<(Vec<Record>, Vec<Finding>), Vec<Trouble>> {
    let (mut records, mut findings, mut troubles) = (Vec::new(), Vec::new(), Vec::new());
    let pulls: Vec<&PullEntry> = match &entry.pulls[..] {
        [] => test
            .pulls
            .iter()
            .filter(|pull| pull.has_displacement())
            .collect(),
        names => names
            .iter()
            .map(|name| entry_named(test, name))
            .collect::<Result<_, _>>()
            .map_err(|trouble| vec![trouble])?,
    };
    if pulls.is_empty() {
        return Err(vec![
            Trouble::new(format!("fit {}", entry.name), "no pull has a displacement")
                .hinting("name the channel of the stretch: displacement = \"NAME\""),
        ]);
    }
    let cells = Cells::of(test, &pulls, files)?;
    let mut once = Once::default();
    for pull in pulls {
        let taken = take(test, pull, files, Wanted::Unfiltered);
        let taken = taken.and_then(|taken| once.check(&taken).map(|()| taken));
        match taken
            .and_then(|taken| Ok((record(pull, &taken, cells.of_pull(pull))?, taken.findings)))
        {
            Ok((record, noticed)) => {
                records.push(record);
                findings.extend(noticed);
            }
            Err(trouble) => troubles.push(trouble),
        }
    }
    if troubles.is_empty() {
        Ok((records, findings))
    } else {
        Err(troubles)
    }
}

fn record(entry: &PullEntry, taken: &Taken, cell: Option<CellUsed>) -> Result<Record, Trouble> {
    let about = format!("pull {}", entry.name);
    let displacement = match &taken.displacement {
        Some(Ok(channel)) => channel,
        Some(Err(why)) => return Err(Trouble::new(about, why.clone())),
        None => {
            return Err(
                Trouble::new(about, "has no displacement, which a fit needs")
                    .hinting("name the channel of the stretch, or leave the pull out of the fit"),
            );
        }
    };
    let load = taken.unfiltered.as_ref().unwrap_or(&taken.load);
    let pull = taken.pull();
    let end_s = pull
        .parting
        .map_or(pull.end.time_s, |parting| parting.time_s);
    if load.quality.clipped_between(pull.taut.time_s, end_s) {
        return Err(Trouble::new(
            about,
            "the recorder was at the end of its range: no line can be fitted to this pull",
        )
        .hinting("leave it out of the fit"));
    }
    let at_taut = displacement.series.at(pull.taut.time_s);
    let rest_m = at_taut
        .ok_or_else(|| Trouble::new(&about, "the stretch is missing where the line comes taut"))?;
    let beside_s = SLACK_BESIDE * (end_s - pull.taut.time_s);
    let until_s = match pull.parting {
        Some(_) => end_s,
        None => end_s + beside_s,
    };
    let samples = load.series.between(pull.taut.time_s - beside_s, until_s);
    let every = samples.len().div_ceil(READINGS_MOST).max(1);
    let mut record = Record {
        name: entry.name.clone(),
        log: entry.log.clone(),
        sha256: taken.log.sha256.clone(),
        footage: taken.footage.clone(),
        cell,
        time_s: Vec::new(),
        stretch_m: Vec::new(),
        force_n: Vec::new(),
        strain_seen: entry.strain_seen,
        noise: of_channel(&displacement.quality, load.series.step_s(), every),
        zero_n: load.quality.zero,
        within_m: Vec::new(),
        load_share: load.quality.calibration.relative,
        stretch_share: displacement.quality.calibration.relative,
    };
    let (clock_s, mut later_m) = (displacement.quality.clock_s, Vec::new());
    let later = |time_s: f64, at: f64| {
        let moved = displacement.series.at(time_s + clock_s);
        moved.map_or(0.0, |moved| moved - at)
    };
    for sample in samples.step_by(every) {
        let time_s = load.series.time_s(sample);
        let (force, at) = (load.series.values()[sample], displacement.series.at(time_s));
        let (true, Some(at)) = (force.is_finite(), at) else {
            continue;
        };
        record.time_s.push(time_s - pull.taut.time_s);
        record.stretch_m.push(at - rest_m);
        let since_taut = later(time_s, at) - later(pull.taut.time_s, rest_m);
        later_m.push(since_taut);
        record.force_n.push(force);
    }
    if record.time_s.len() < READINGS_LEAST {
        let message = format!(
            "load and stretch have {} readings together, and {READINGS_LEAST} are needed",
            record.time_s.len()
        );
        return Err(Trouble::new(about, message).hinting("log faster, or leave it out of the fit"));
    }
    // How fast the ends part there, over the first tenth of the way to the peak.
    let later_s = pull.taut.time_s + 0.1 * (pull.peak.time_s - pull.taut.time_s);
    let speed = displacement
        .series
        .at(later_s)
        .map_or(0.0, |later| (later - rest_m) / (later_s - pull.taut.time_s));
    let event_m = libm::hypot(speed * pull.taut.uncertainty_s, record.noise.deviation_m);
    record.within_m = vec![vec![BEGINS_WITHIN * event_m; later_m.len()]];
    if clock_s > 0.0 {
        record.within_m.push(later_m);
    }
    Ok(record)
}

/// A doubt that all pulls share.
struct Shared {
    from: &'static str,
    /// How far each parameter moves by one standard uncertainty.
    by: Vec<f64>,
}

fn shared(
    model: &LineModel,
    records: &[Record],
    entry: &FitEntry,
    rules: &Rules,
    fitted: &LineFit,
) -> Result<Vec<Shared>, FitProblem> {
    let mut found = Vec::new();
    let mut moved = |from: &'static str, change: &dyn Fn(&mut Record)| {
        let mut other = records.to_vec();
        other.iter_mut().for_each(change);
        let fit = self::fitted(model, &other, entry, rules)?;
        let pairs = fit.estimates.iter().zip(&fitted.estimates);
        found.push(Shared {
            from,
            by: pairs.map(|(a, b)| a.value - b.value).collect(),
        });
        Ok::<(), FitProblem>(())
    };
    let greatest = |of: fn(&Record) -> f64| records.iter().map(of).fold(0.0, f64::max);
    let (load, stretch) = (greatest(|r| r.load_share), greatest(|r| r.stretch_share));
    if load > 0.0 {
        moved("calibration of the load", &|one| {
            one.force_n.iter_mut().for_each(|f| *f *= 1.0 + load);
        })?;
    }
    if stretch > 0.0 {
        moved("scale of the stretch", &|one| {
            one.stretch_m.iter_mut().for_each(|x| *x *= 1.0 + stretch);
        })?;
    }
    Ok(found)
}

impl Record {
    /// Its stretches where the fit has moved them, m.
    fn moved_m(&self, shared: &[f64]) -> Vec<f64> {
        let moved = |(at, x): (usize, &f64)| {
            let each = self.within_m.iter().zip(shared);
            x + each.map(|(by_m, times)| times * by_m[at]).sum::<f64>()
        };
        self.stretch_m.iter().enumerate().map(moved).collect()
    }

    /// What the pull shares, in words, in the order of the fit's shared doubts.
    fn doubts(&self) -> Vec<String> {
        let mut words = vec![format!("where {} came taut", self.name)];
        if self.within_m.len() > 1 {
            words.push(format!("clock of the stretch of {}", self.name));
        }
        words.push(format!("zero of the load of {}", self.name));
        words
    }
}

/// Parts of the scatter of a fit, in words, with their shares of its variance.
fn parts(made_of: &MadeOf, records: &[Record]) -> Vec<(String, f64)> {
    let mut parts = vec![
        ("noise of the load".to_string(), made_of.force),
        ("noise of the stretch".to_string(), made_of.stretch),
    ];
    for (record, shares) in records.iter().zip(&made_of.shared) {
        parts.extend(record.doubts().into_iter().zip(shares.iter().copied()));
    }
    parts.retain(|part| part.1 > 0.0);
    parts
}

fn told(
    test: &TestFile,
    entry: &FitEntry,
    records: &[Record],
    fitted: &LineFit,
    shared: &[Shared],
) -> FittedLine {
    let (verdict, says) = verdict(fitted);
    let points: Vec<(f64, f64)> = fitted.curve.points().collect();
    let curve = &fitted.curve;
    let rate = curve.rate;
    let parameters: Vec<FittedParameter> = fitted
        .estimates
        .iter()
        .enumerate()
        .map(|(at, estimate)| {
            let parts = parts(&fitted.made_of[at], records);
            parameter(estimate, &parts, at, shared, entry.confidence)
        })
        .collect();
    let pulls = records.iter().zip(&fitted.residuals_n).zip(&fitted.shared);
    let mut line = FittedLine {
        name: entry.name.clone(),
        material: entry.material.word().into(),
        length_m: entry.length_m,
        mbs_n: entry.mbs_n,
        pulls: pulls
            .map(|((record, residuals), shared)| fitted_pull(record, residuals, shared))
            .collect(),
        parameters,
        confidence: entry.confidence,
        intervals: intervals_in_words(fitted.memory).into(),
        verdict,
        says,
        condition: fitted.separation.condition.min(1e12),
        correlation: correlation(fitted, shared),
        residuals_like_noise: fitted.residual_check.like_noise(),
        noise_memory: fitted.memory,
        runs_p: fitted.residual_check.runs_p,
        correlation_p: fitted.residual_check.correlation_p,
        noise_n: fitted.noise.get(),
        noise_by_stretch_n: fitted.noise_by_stretch.get(),
        curve_stretch: points.iter().map(|point| point.0).collect(),
        curve_share: points.iter().map(|point| point.1).collect(),
        share_read: fitted.share_read,
        energy_return: curve.energy_return,
        set_share: curve.set_fraction,
        stiffness_ratio: rate.map(|rate| rate.stiffness_ratio),
        relaxation_s: rate.map(|rate| rate.relaxation_s),
        line_toml: String::new(),
    };
    line.line_toml = line_toml(test, entry, records, &line);
    line
}

/// Correlations of the parameters as their intervals have them: by the scatter, what each pull shares among it,
/// and by what all pulls share.
fn correlation(fitted: &LineFit, shared: &[Shared]) -> Vec<Vec<f64>> {
    let both = |i: usize, j: usize| {
        let by_all = shared.iter().map(|s| s.by[i] * s.by[j]);
        fitted.covariance[i][j] + by_all.sum::<f64>()
    };
    let one = |i: usize, j: usize| match both(i, i) * both(j, j) {
        _ if i == j => 1.0,
        square if square > 0.0 => (both(i, j) / libm::sqrt(square)).clamp(-1.0, 1.0),
        _ => 0.0,
    };
    let places = 0..fitted.estimates.len();
    let row = |i| places.clone().map(|j| one(i, j)).collect();
    places.clone().map(row).collect()
}

fn intervals_in_words(memory: f64) -> &'static str {
    if memory == 0.0 {
        "by profile likelihood, with the scales that all pulls share added in squares"
    } else {
        "by profile likelihood with the memory of the noise taken out, and the scales that all pulls share added in squares"
    }
}

fn residual_finding(about: &str, fitted: &LineFit) -> Finding {
    let (code, message) = match fitted.residual_check.like_noise() {
        true => (
            "noise-remembers",
            "neighbouring readings err together; that memory was found and taken out, and the intervals are the wider for it",
        ),
        false => (
            "residuals",
            "what is left over about the line is not like noise, even with a memory: the line bends otherwise than the model, and the intervals are too narrow",
        ),
    };
    warning(
        code,
        about,
        message,
        "try more knots or a rate effect, and look at the residuals",
    )
}

fn too_near(about: &str) -> Finding {
    warning(
        "stretch-noise",
        about,
        "the readings lie nearer to the line than the noise told of their stretch would have them: that noise is told too large, and the intervals are too wide",
        "look at what shook the stretch while the line was slack, or at click in [pull.NAME.footage]",
    )
}

fn fitted_pull(record: &Record, residuals: &[f64], shared: &[f64]) -> FittedPull {
    FittedPull {
        name: record.name.clone(),
        sha256: record.sha256.clone(),
        readings: record.time_s.len() as u32,
        strain_seen: record.strain_seen,
        moved_m: shared
            .first()
            .map_or(0.0, |times| times * record.within_m[0][0]),
        stretch_noise_m: record.noise.deviation_m,
        time_s: record.time_s.clone(),
        stretch_m: record.moved_m(shared),
        force_n: record.force_n.clone(),
        residual_n: residuals.to_vec(),
    }
}

fn words(parameter: Parameter) -> (String, String, &'static str) {
    let (name, says, unit) = match parameter {
        Parameter::StrainAtBreak => (
            "stretch-at-mbs",
            "stretch at the breaking strength, straight on",
            "1",
        ),
        Parameter::StrainAtGreatest => (
            "stretch-at-greatest",
            "stretch at the greatest load read",
            "1",
        ),
        Parameter::StrainRatio { knot } => {
            return (
                format!("knot-{knot}"),
                format!("stretch at knot {knot} over that at the next"),
                "1",
            );
        }
        Parameter::EnergyReturn => ("energy-return", "energy given back over energy taken", "1"),
        Parameter::SetFraction => ("set", "stretch left over greatest stretch", "1"),
        Parameter::StiffnessRatio => ("stiffness-ratio", "instant stiffness over slow", "1"),
        Parameter::RelaxationTime => ("relaxation", "relaxation time", "s"),
    };
    (name.into(), says.into(), unit)
}

fn parameter(
    estimate: &Estimate,
    parts: &[(String, f64)],
    at: usize,
    shared: &[Shared],
    confidence: f64,
) -> FittedParameter {
    let (name, says, unit) = words(estimate.parameter);
    FittedParameter {
        name,
        says,
        unit: unit.into(),
        value: widened(estimate, parts, at, shared, confidence),
        open: estimate.open,
    }
}

/// The interval of the scatter, each end moved out by the shared doubts in squares.
fn widened(
    estimate: &Estimate,
    parts: &[(String, f64)],
    at: usize,
    shared: &[Shared],
    confidence: f64,
) -> Measured {
    let z = normal_quantile(0.5 + 0.5 * confidence);
    let square: f64 = shared.iter().map(|s| s.by[at] * s.by[at]).sum();
    let out = |inner: f64| libm::hypot(inner, z * libm::sqrt(square));
    let low = estimate.value - out(estimate.value - estimate.interval.low);
    let high = estimate.value + out(estimate.interval.high - estimate.value);
    let mut made_of: Vec<Doubt> = shared
        .iter()
        .map(|s| Doubt {
            from: s.from.into(),
            standard_uncertainty: s.by[at].abs(),
        })
        .collect();
    let scatter = estimate.interval.half_width() / z;
    if scatter.is_finite() {
        made_of.extend(parts.iter().map(|(from, share)| Doubt {
            from: from.clone(),
            standard_uncertainty: scatter * libm::sqrt(*share),
        }));
    }
    made_of.sort_by(|a, b| b.standard_uncertainty.total_cmp(&a.standard_uncertainty));
    let (least, most) = estimate.parameter.limits();
    let finite = |end: f64| end.is_finite().then_some(end);
    Measured {
        value: finite(estimate.value),
        low: finite(low.max(least)).filter(|_| estimate.interval.low.is_finite()),
        high: finite(high.min(most)),
        standard_uncertainty: finite(libm::sqrt(scatter * scatter + square)),
        no_interval: estimate.open.then(|| {
            "the pulls leave an end of it open: it reaches to the end of what is possible".into()
        }),
        made_of,
    }
}

fn verdict(fitted: &LineFit) -> (FitVerdict, String) {
    let name = |at: usize| words(fitted.estimates[at].parameter).1;
    match fitted.separation.told {
        Told::Apart => (
            FitVerdict::Apart,
            "The pulls tell each parameter on its own.".into(),
        ),
        Told::Leaning {
            first,
            second,
            correlation,
        } => (
            FitVerdict::Leaning,
            format!(
                "The pulls know \"{}\" and \"{}\" together better than apart (correlation {correlation:.2}): use them as a pair from this fit, or hold one of them.",
                name(first),
                name(second)
            ),
        ),
        Told::Open { parameter } => (
            FitVerdict::Open,
            format!(
                "The pulls say nothing of \"{}\" on a side: log the way back to slack, or hold it at a value from elsewhere.",
                name(parameter)
            ),
        ),
    }
}

/// The curve is the line's as it was tested; its strength is the label's.
fn condition_findings(test: &TestFile, entry: &FitEntry, records: &[Record]) -> Vec<Finding> {
    let worn = records.iter().any(|record| {
        let setup = test
            .pull(&record.name)
            .and_then(|pull| pull.setup.as_deref());
        let setup = setup.and_then(|name| test.setup(name));
        setup.is_some_and(|s| {
            s.wet == Some(true) || s.condition.as_deref().is_some_and(|c| c != "new")
        })
    });
    worn.then(|| {
        warning(
            "strength-as-stated",
            &format!("fit {}", entry.name),
            "the line was wet or not new: the curve is as tested, but its strength is only what mbs states",
            "state in mbs what the line is worth as it is now; the table for the plan takes nothing more off it",
        )
    })
    .into_iter()
    .collect()
}
