//! `[clean]` and `[events]`: how every log is cleaned, and how its events are found.
//!
//! The steps are always done in one order: crop, remove, invert, zero, calibrate,
//! resample, filter. Only what a step is told to do stands in the file.

use steadypull_engine::units::{Duration, Force};

use super::window;
use crate::plan_file::limits;
use crate::plan_file::section::Section;
use crate::plan_file::value::Fault;

/// How logs are cleaned.
#[derive(Debug, Clone, PartialEq)]
pub struct Cleaning {
    /// The cell reads pulls as negative.
    pub invert: bool,
    /// Where the zero comes from.
    pub zero: ZeroFrom,
    /// Onto even steps.
    pub resample: Option<Resampling>,
    /// Channel frequency class of the low-pass.
    pub cfc: Option<f64>,
}

/// Where the zero comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ZeroFrom {
    /// The first quiet part of the log.
    QuietPart,
    /// From one time to another, s.
    Window(f64, f64),
    /// As the logger wrote it.
    AsLogged,
}

/// Words for the zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::plan_file) enum ZeroWord {
    QuietPart,
    AsLogged,
}

/// How values between stamps are found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::plan_file) enum BetweenWord {
    Straight,
    Cubic,
}

/// Onto even steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resampling {
    /// The step, s.
    pub step_s: f64,
    /// A cubic between stamps, else straight.
    pub cubic: bool,
    /// Stamps further apart are a gap, s.
    pub longest_gap_s: f64,
}

/// How events are looked for; what is not said is the measurement's own.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EventRules {
    /// A load the threshold must not be under, N.
    pub threshold_n: Option<f64>,
    /// How long the load must stay away to end a pull, s.
    pub slack_for_s: Option<f64>,
    /// How soon after a pull a lower one is its rebound, s.
    pub rebound_within_s: Option<f64>,
    /// How long the load stays level after a break-out, s.
    pub plateau_s: Option<f64>,
    /// Fastest fall that the whole line could make, s.
    pub fastest_unload_s: Option<f64>,
}

pub(super) fn cleaning(section: &Section) -> Option<Cleaning> {
    let invert = section
        .key::<bool>("invert")
        .or("false", "loads are positive in the log");
    let zero = zero(section);
    let resample = resampling(section);
    let cfc = section.key::<f64>("cfc").within(&limits::CFC).maybe();
    section.close();
    Some(Cleaning {
        invert: invert?,
        zero: zero?,
        resample: resample?,
        cfc: cfc?,
    })
}

fn zero(section: &Section) -> Option<ZeroFrom> {
    let stretch = window(section, "zero_window");
    let word = section.key::<ZeroWord>("zero").maybe();
    match (stretch?, word?) {
        (Some(_), Some(_)) => {
            let fault = Fault::new("and zero are both given".into());
            section.note("zero_window", fault.hinting("keep one of the two"));
            None
        }
        (Some((from, to)), None) => Some(ZeroFrom::Window(from, to)),
        (None, Some(ZeroWord::AsLogged)) => Some(ZeroFrom::AsLogged),
        (None, Some(ZeroWord::QuietPart)) => Some(ZeroFrom::QuietPart),
        (None, None) => {
            section.assume(
                "zero",
                "quiet-part",
                "the first quiet part of a log, since a cell is zeroed before the pull",
            );
            Some(ZeroFrom::QuietPart)
        }
    }
}

fn resampling(section: &Section) -> Option<Option<Resampling>> {
    let step = section
        .key::<Duration>("resample")
        .within(&limits::SAMPLE_STEP)
        .maybe();
    let between = section.key::<BetweenWord>("between").maybe();
    let gap = section
        .key::<Duration>("longest_gap")
        .within(&limits::LONGEST_GAP)
        .maybe();
    let (step, between, gap) = (step?, between?, gap?);
    let Some(step) = step else {
        if let Some(key) = ["between", "longest_gap"]
            .into_iter()
            .find(|k| section.has(k))
        {
            let fault = Fault::new("says how to resample, and resample is missing".into());
            section.note(
                key,
                fault.hinting("write resample = \"1 ms\", or leave it out"),
            );
            return None;
        }
        return Some(None);
    };
    let between = between.unwrap_or_else(|| {
        section.assume("between", "straight", "makes nothing up between stamps");
        BetweenWord::Straight
    });
    let gap = gap.unwrap_or_else(|| {
        let three = step * 3.0;
        let text = crate::plan_file::defaults::written(three.get() * 1e3, "ms");
        section.assume("longest_gap", &text, "three steps");
        three
    });
    Some(Some(Resampling {
        step_s: step.get(),
        cubic: between == BetweenWord::Cubic,
        longest_gap_s: gap.get(),
    }))
}

pub(super) fn events(section: &Section) -> Option<EventRules> {
    let threshold = section
        .key::<Force>("threshold")
        .within(&limits::CELL_RESIDUAL)
        .maybe();
    let time = |key| {
        let read = section
            .key::<Duration>(key)
            .within(&limits::EVENT_TIME)
            .maybe();
        read.map(|time| time.map(Duration::get))
    };
    let slack_for = time("slack_for");
    let rebound = time("rebound_within");
    let plateau = time("plateau");
    let unload = time("fastest_unload");
    section.close();
    Some(EventRules {
        threshold_n: threshold?.map(Force::get),
        slack_for_s: slack_for?,
        rebound_within_s: rebound?,
        plateau_s: plateau?,
        fastest_unload_s: unload?,
    })
}
