//! Cleaning as a list of steps that can be written down and run again.
//!
//! The steps act on copies, in their order; the log itself is never touched. The same log
//! and list give the same bits. Each step leaves a record for the report. Order matters and
//! is not put right in silence: a filter before even steps is refused, so is a second
//! calibration or filter.

mod readings;

use std::borrow::Cow;

use steadypull_engine::show::figures;
use thiserror::Error;

use super::calibration::{Calibration, CalibrationError, CalibrationFinding, Date};
use super::cfc::{Cfc, CfcError, Filter};
use super::faults::{Fault, FaultKind, Looking, look_in};
use super::quality::{Channel, Quality};
use super::resample::{Between, ResampleError, resample};
use super::series::Series;
use super::stamps::Stamps;
use super::survey::Survey;
use super::zero::{self, Quiet, ZeroError};
use crate::together::{InTurn, Together};
use readings::Readings;

/// One step of cleaning.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// Keep what is stamped from one time to another, s.
    Crop {
        /// First time kept, s.
        from_s: f64,
        /// Last time kept, s.
        to_s: f64,
    },
    /// Mark what is stamped from one time to another as missing (a spike, a knock).
    Remove {
        /// First time removed, s.
        from_s: f64,
        /// Last time removed, s.
        to_s: f64,
    },
    /// Change the sign.
    Invert,
    /// Take the zero off.
    Zero(ZeroBy),
    /// From readings to loads.
    Calibrate {
        /// The calibration.
        calibration: Calibration,
        /// Day of the test.
        tested: Date,
    },
    /// Onto even steps of time.
    Resample {
        /// The step, s.
        step_s: f64,
        /// How values between stamps are found.
        between: Between,
        /// Stamps further apart than this are a gap, s.
        longest_gap_s: f64,
    },
    /// Add to the times, to bring channels together.
    Shift {
        /// To be added, s.
        by_s: f64,
        /// Its standard uncertainty, s.
        uncertainty_s: f64,
    },
    /// Low-pass.
    Filter(Cfc),
}

/// Where the zero comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ZeroBy {
    /// The first quiet part.
    QuietPart,
    /// A part that someone says is quiet.
    Window {
        /// Its first time, s.
        from_s: f64,
        /// Its last time, s.
        to_s: f64,
    },
    /// A level from elsewhere.
    Level {
        /// The level, in the unit read.
        level: f64,
        /// Its standard uncertainty.
        uncertainty: f64,
    },
}

/// What a step did.
#[derive(Debug, Clone, PartialEq)]
pub struct Done {
    /// In a sentence.
    pub words: String,
    /// Samples before.
    pub before: usize,
    /// Samples after.
    pub after: usize,
    /// The quiet part a zero came from.
    pub quiet: Option<Quiet>,
    /// What a calibration must say of itself.
    pub findings: Vec<CalibrationFinding>,
}

/// A log cleaned.
#[derive(Debug, Clone, PartialEq)]
pub struct Cleaned {
    /// The channel.
    pub channel: Channel,
    /// What each step did, in order.
    pub done: Vec<Done>,
    /// What was wrong with the log as it came.
    pub faults: Vec<Fault>,
}

/// Why a step cannot be done.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("step {number}: {cause}")]
pub struct StepError {
    /// Which step, counted from 1; one past the last when the whole cannot be ended.
    pub number: usize,
    /// Why.
    pub cause: Cause,
}

/// What stops a step.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Cause {
    /// Nothing is left.
    #[error("no two samples are stamped from {from_s} to {to_s} s")]
    NothingLeft {
        /// From, s.
        from_s: f64,
        /// To, s.
        to_s: f64,
    },
    /// A number that is none.
    #[error("{0} must be a finite number")]
    NoNumber(&'static str),
    /// Even steps are needed.
    #[error("this needs even steps of time: put a resample step before it")]
    Uneven,
    /// Done before.
    #[error("the log was {0} by a step before: once is enough")]
    Twice(&'static str),
    /// Too late.
    #[error("the filter comes before this step and must come after it: {0}")]
    AfterFilter(&'static str),
    /// From the resampling.
    #[error(transparent)]
    Resample(#[from] ResampleError),
    /// From the zero.
    #[error(transparent)]
    Zero(#[from] ZeroError),
    /// From the calibration.
    #[error(transparent)]
    Calibration(#[from] CalibrationError),
    /// From the filter.
    #[error(transparent)]
    Filter(#[from] CfcError),
}

/// Runs the steps over a log.
pub fn clean<'a>(
    times_s: impl Into<Stamps<'a>>,
    values: &'a [f64],
    steps: &[Step],
) -> Result<Cleaned, StepError> {
    clean_by(times_s, values, steps, &InTurn)
}

/// The same, the faults looked for while the steps are run where the caller has hands for it.
pub fn clean_by<'a>(
    times_s: impl Into<Stamps<'a>>,
    values: &'a [f64],
    steps: &[Step],
    hands: &impl Together,
) -> Result<Cleaned, StepError> {
    let times_s = times_s.into();
    let filter = steps.iter().find_map(|step| match step {
        Step::Filter(class) => Some(*class),
        _ => None,
    });
    let looking = Looking { filter, ends: None };
    let survey = Survey::of(times_s, values, hands);
    let (cleaned, faults) = hands.both(
        || run(Work::new(times_s, values, &survey, hands), steps),
        || look_in(times_s, values, &survey, &looking),
    );
    let (mut channel, done, shifts) = cleaned?;
    channel.quality.clipped_s = clipped(&faults, &shifts);
    Ok(Cleaned {
        channel,
        done,
        faults,
    })
}

/// The channel, what each step did, and what was added to the times.
fn run(
    mut work: Work<'_, impl Together>,
    steps: &[Step],
) -> Result<(Channel, Vec<Done>, Vec<f64>), StepError> {
    let mut done = Vec::new();
    for (i, step) in steps.iter().enumerate() {
        let numbered = |cause| StepError {
            number: i + 1,
            cause,
        };
        done.push(work.step(step).map_err(numbered)?);
    }
    let shifts = core::mem::take(&mut work.shifts);
    let channel = work.end().map_err(|cause| StepError {
        number: steps.len() + 1,
        cause,
    })?;
    Ok((channel, done, shifts))
}

/// Where the recorder was at its end, by times that were shifted since.
fn clipped(faults: &[Fault], shifts: &[f64]) -> Vec<(f64, f64)> {
    let moved = |time_s: f64| shifts.iter().fold(time_s, |t, by_s| t + by_s);
    faults
        .iter()
        .filter(|f| matches!(f.kind, FaultKind::Saturated { .. }))
        .map(|f| (moved(f.place.from_s), moved(f.place.to_s)))
        .collect()
}

/// A log on its way.
struct Work<'a, H> {
    hands: &'a H,
    times_s: Times<'a>,
    values: Readings<'a>,
    /// What is known of it, while times and values are as they came.
    survey: Option<&'a Survey>,
    /// Step of time, once even.
    step_s: Option<f64>,
    quality: Quality,
    quiet: Option<Quiet>,
    calibrated: bool,
    shifts: Vec<f64>,
}

/// Times as they came, or as they were made since, s.
enum Times<'a> {
    Given(Stamps<'a>),
    Made(Vec<f64>),
}

impl Times<'_> {
    fn stamps(&self) -> Stamps<'_> {
        match self {
            Self::Given(stamps) => *stamps,
            Self::Made(times_s) => Stamps::Listed(times_s),
        }
    }

    /// Changes them.
    fn change(&mut self, change: impl FnOnce(&mut Vec<f64>)) {
        let mut times_s = match self {
            Self::Given(stamps) => stamps.to_vec(),
            Self::Made(times_s) => core::mem::take(times_s),
        };
        change(&mut times_s);
        *self = Self::Made(times_s);
    }
}

impl<'a, H: Together> Work<'a, H> {
    fn new(times_s: Stamps<'a>, values: &'a [f64], survey: &'a Survey, hands: &'a H) -> Self {
        Self {
            hands,
            times_s: Times::Given(times_s),
            values: Readings::new(values, survey),
            survey: Some(survey),
            step_s: None,
            quality: Quality {
                noise_freedom: (values.len() as f64 - 2.0).max(1.0),
                step: survey.step,
                ..Quality::of_noise(survey.noise)
            },
            quiet: None,
            calibrated: false,
            shifts: Vec::new(),
        }
    }

    fn step(&mut self, step: &Step) -> Result<Done, Cause> {
        let before = self.values.len();
        let (mut quiet, mut findings) = (None, Vec::new());
        let words = match step {
            Step::Crop { from_s, to_s } => self.crop(*from_s, *to_s)?,
            Step::Remove { from_s, to_s } => self.remove(*from_s, *to_s)?,
            Step::Invert => {
                self.values.negate();
                "sign changed".into()
            }
            Step::Zero(by) => {
                let words = self.zero(*by)?;
                quiet = self.quiet.clone();
                words
            }
            Step::Calibrate {
                calibration,
                tested,
            } => {
                let (words, greatest) = self.calibrate(calibration)?;
                findings = calibration.findings(*tested, greatest);
                words
            }
            Step::Resample {
                step_s,
                between,
                longest_gap_s,
            } => self.resample(*step_s, *between, *longest_gap_s)?,
            Step::Shift {
                by_s,
                uncertainty_s,
            } => self.shift(*by_s, *uncertainty_s)?,
            Step::Filter(class) => self.filter(*class)?,
        };
        self.survey = None;
        Ok(Done {
            words,
            before,
            after: self.values.len(),
            quiet,
            findings,
        })
    }

    fn crop(&mut self, from_s: f64, to_s: f64) -> Result<String, Cause> {
        let kept = self.times_s.stamps().within(from_s, to_s);
        if kept.len() < 2 {
            return Err(Cause::NothingLeft { from_s, to_s });
        }
        let end = kept.end.min(self.values.len());
        let cut = |list: &mut Vec<f64>| {
            list.truncate(end);
            list.drain(..kept.start.min(end));
        };
        self.times_s.change(cut);
        cut(self.values.list());
        Ok(format!("kept from {from_s:.4} to {to_s:.4} s"))
    }

    fn remove(&mut self, from_s: f64, to_s: f64) -> Result<String, Cause> {
        if self.quality.filter.is_some() {
            return Err(Cause::AfterFilter("it has spread what is to be removed"));
        }
        let stamps = self.times_s.stamps();
        let inside = |i: usize| i < stamps.len() && (from_s..=to_s).contains(&stamps.at(i));
        let mut removed = 0;
        for (i, v) in self.values.list().iter_mut().enumerate() {
            if inside(i) {
                *v = f64::NAN;
                removed += 1;
            }
        }
        Ok(format!(
            "{removed} samples from {from_s:.4} to {to_s:.4} s marked as missing"
        ))
    }

    fn zero(&mut self, by: ZeroBy) -> Result<String, Cause> {
        let (level, uncertainty, words) = match by {
            ZeroBy::Level { level, uncertainty } => {
                if !(level.is_finite() && uncertainty.is_finite() && uncertainty >= 0.0) {
                    return Err(Cause::NoNumber("the zero and its uncertainty"));
                }
                (level, uncertainty, "given".to_owned())
            }
            ZeroBy::QuietPart => {
                let found = match self.survey {
                    Some(survey) => zero::find_in(survey),
                    None => zero::find(self.times_s.stamps(), self.values.all()),
                };
                self.take(found?)
            }
            ZeroBy::Window { from_s, to_s } => {
                let (times_s, values) = (self.times_s.stamps(), self.values.all());
                let within = zero::within(times_s, values, from_s, to_s)?;
                self.take(within)
            }
        };
        self.values.take_off(level);
        self.quality.zero = uncertainty;
        Ok(format!(
            "zero of {} in the log's unit taken off, {words}",
            figures(level)
        ))
    }

    /// Keeps a quiet part for its noise; its level, uncertainty and words.
    fn take(&mut self, quiet: Quiet) -> (f64, f64, String) {
        let words = format!(
            "read from {:.3} to {:.3} s where the log scatters by {} ({} values)",
            quiet.from_s,
            quiet.to_s,
            figures(quiet.scatter),
            quiet.count
        );
        let answer = (quiet.level, quiet.level_uncertainty, words);
        if self.quality.filter.is_none() {
            self.quality.noise = quiet.scatter;
            self.quality.noise_freedom = quiet.count as f64 - 1.0;
        }
        self.quiet = Some(quiet);
        answer
    }

    /// Words of it, and the greatest load, N.
    fn calibrate(&mut self, calibration: &Calibration) -> Result<(String, f64), Cause> {
        if self.calibrated {
            return Err(Cause::Twice("calibrated"));
        }
        let curve = !matches!(calibration.law(), super::calibration::Law::Gain(_));
        if curve && self.quality.filter.is_some() {
            return Err(Cause::AfterFilter(
                "a curve of the filtered reading is not the filtered load",
            ));
        }
        let greatest = self.values.calibrate(calibration)?;
        let slope = calibration.law().slope(0.0).abs();
        self.quality.noise *= slope;
        self.quality.zero *= slope;
        self.quality.step *= slope;
        self.quality.calibration = calibration.spread();
        self.calibrated = true;
        let words = format!(
            "readings made loads by certificate {}, due {}",
            calibration.certificate(),
            calibration.due()
        );
        Ok((words, greatest))
    }

    fn resample(
        &mut self,
        step_s: f64,
        between: Between,
        longest_gap_s: f64,
    ) -> Result<String, Cause> {
        if self.quality.filter.is_some() {
            return Err(Cause::AfterFilter(
                "its class holds for the steps it ran on",
            ));
        }
        let listed = match self.times_s.stamps() {
            Stamps::Listed(times_s) => Cow::Borrowed(times_s),
            even => Cow::Owned(even.to_vec()),
        };
        let series = resample(&listed, self.values.all(), step_s, between, longest_gap_s)?;
        self.times_s = Times::Made(times_of(&series));
        self.values.replace(series.into_values());
        self.step_s = Some(step_s);
        self.noise_again();
        let missing = self.values.all().iter().filter(|v| v.is_nan()).count();
        Ok(format!(
            "put on even steps of {:.4} ms, {} between stamps; {missing} samples missing in gaps over {:.4} ms",
            step_s * 1e3,
            between.word(),
            longest_gap_s * 1e3
        ))
    }

    fn shift(&mut self, by_s: f64, uncertainty_s: f64) -> Result<String, Cause> {
        if !(by_s.is_finite() && uncertainty_s.is_finite() && uncertainty_s >= 0.0) {
            return Err(Cause::NoNumber("the shift and its uncertainty"));
        }
        self.times_s
            .change(|times_s| times_s.iter_mut().for_each(|t| *t += by_s));
        self.shifts.push(by_s);
        if let Some(quiet) = &mut self.quiet {
            quiet.from_s += by_s;
            quiet.to_s += by_s;
        }
        self.quality.clock_s = uncertainty_s;
        Ok(format!(
            "times moved by {:.4} ms, known to {:.4} ms",
            by_s * 1e3,
            uncertainty_s * 1e3
        ))
    }

    fn filter(&mut self, class: Cfc) -> Result<String, Cause> {
        if self.quality.filter.is_some() {
            return Err(Cause::Twice("filtered"));
        }
        let (filter, left_out) = self.filtered(class)?;
        self.quality.filter = Some(filter);
        self.noise_with_memory(&filter);
        Ok(format!(
            "low-pass CFC {}, forward and backward (−3 dB at {:.1} Hz); {} samples in stretches too short are now missing",
            class.number(),
            filter.minus_3db_hz(),
            left_out
        ))
    }

    /// Filters the values; the filter, and how many samples now are missing.
    fn filtered(&mut self, class: Cfc) -> Result<(Filter, usize), Cause> {
        let step_s = self.even_step()?;
        if let Ok(filter) = Filter::new(class, 1.0 / step_s)
            && let Some(through) = self.values.through(&filter, self.hands)
        {
            self.step_s = Some(step_s);
            self.values.replace(through);
            return Ok((filter, 0));
        }
        let series = self.series()?;
        let filter = Filter::new(class, series.rate_hz())?;
        let filtered = filter.run(&series)?;
        self.step_s = Some(step_s);
        self.values.replace(filtered.series.into_values());
        Ok((filter, filtered.left_out))
    }

    /// Noise on the new steps, from the same quiet part.
    fn noise_again(&mut self) {
        if let Some(now) = self.quiet_now() {
            self.quality.noise = now.scatter;
        }
    }

    /// Noise with memory counts as the white noise that would do as much where it does most:
    /// after the filter, or to means of sixteenths of the quiet part.
    ///
    /// Only where it is well more than chance makes of white noise: 1.3 times after the
    /// filter, 1.5 times (chance under 1 %) in the means.
    fn noise_with_memory(&mut self, filter: &Filter) {
        let Some(now) = self.quiet_now() else {
            return;
        };
        let after_filter = now.scatter / filter.noise_share();
        let in_means = now.level_uncertainty * libm::sqrt(now.count as f64);
        let noise = self.quality.noise;
        for (as_white, well_more) in [(after_filter, 1.3), (in_means, 1.5)] {
            if as_white > well_more * noise {
                self.quality.noise = self.quality.noise.max(as_white);
            }
        }
        if self.quality.noise > noise {
            // Known from the means of sixteen blocks at best.
            self.quality.noise_freedom = 15.0;
        }
    }

    /// The quiet part as the log is now.
    fn quiet_now(&mut self) -> Option<Quiet> {
        let (from_s, to_s) = self
            .quiet
            .as_ref()
            .map(|quiet| (quiet.from_s, quiet.to_s))?;
        zero::within(self.times_s.stamps(), self.values.all(), from_s, to_s).ok()
    }

    fn even_step(&self) -> Result<f64, Cause> {
        let known = self.step_s.or_else(|| even_step(self.times_s.stamps()));
        known.ok_or(Cause::Uneven)
    }

    /// The log as a series, which takes the values along.
    fn series(&mut self) -> Result<Series, Cause> {
        let step_s = self.even_step()?;
        let series = Series::new(self.times_s.stamps().at(0), step_s, self.values.take());
        series.map_err(|e| Cause::Resample(e.into()))
    }

    fn end(mut self) -> Result<Channel, Cause> {
        Ok(Channel {
            series: self.series()?,
            quality: self.quality,
        })
    }
}

fn times_of(series: &Series) -> Vec<f64> {
    (0..series.values().len())
        .map(|i| series.time_s(i))
        .collect()
}

/// The step of a log whose stamps are even to a thousandth of it, which needs no
/// resampling.
fn even_step(times_s: Stamps<'_>) -> Option<f64> {
    let last = times_s.len().checked_sub(1).filter(|l| *l > 0)?;
    let step_s = (times_s.at(last) - times_s.at(0)) / last as f64;
    let even = match times_s {
        Stamps::Even(_) => true,
        Stamps::Listed(times_s) => times_s
            .iter()
            .enumerate()
            .all(|(i, t)| (t - times_s[0] - step_s * i as f64).abs() <= 1e-3 * step_s),
    };
    (step_s > 0.0 && even).then_some(step_s)
}
