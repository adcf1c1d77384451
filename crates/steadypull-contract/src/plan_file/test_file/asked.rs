//! `[fit.NAME]`, `[compare.NAME]`, `[predict.NAME]`: what is made of the pulls.

use steadypull_engine::line::Material;
use steadypull_engine::units::{Energy, Force, Length};

use super::{Known, pull, reference, references};
use crate::answer::TestReading;
use crate::plan_file::limits;
use crate::plan_file::section::Section;
use crate::plan_file::unit_table::Share;
use crate::plan_file::value::{Fault, Text};

/// A line to be fitted to pulls.
#[derive(Debug, Clone, PartialEq)]
pub struct FitEntry {
    /// Its name, which the line goes by.
    pub name: String,
    /// The pulls; empty for every pull with a displacement.
    pub pulls: Vec<String>,
    /// What the line is made of.
    pub material: Material,
    /// Rest length as new, m.
    pub length_m: f64,
    /// Breaking strength, N.
    pub mbs_n: f64,
    /// Knots of the extension curve.
    pub knots: u8,
    /// Energy given back over energy taken, where it is held and not fitted.
    pub energy_return: Option<f64>,
    /// Strain left over greatest strain, where it is held and not fitted.
    pub set: Option<f64>,
    /// Whether a rate effect is fitted.
    pub rate: bool,
    /// Of the intervals.
    pub confidence: f64,
}

/// Set-ups to be compared by one reading.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareEntry {
    /// Its name.
    pub name: String,
    /// The reading.
    pub reading: TestReading,
    /// The set-ups; empty for all that have pulls.
    pub setups: Vec<String>,
    /// Of the intervals.
    pub confidence: f64,
    /// Which side tolerance limits are told for.
    pub tolerance: Option<ToleranceSide>,
    /// Share of all pulls of a set-up that the limit covers.
    pub cover: f64,
}

/// Sides of a tolerance limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToleranceSide {
    /// The share covered lies above it.
    AtLeast,
    /// The share covered lies below it.
    AtMost,
    /// Between two.
    Both,
}

/// What was predicted for a set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct PredictEntry {
    /// Its name.
    pub name: String,
    /// The set-up.
    pub setup: String,
    /// Plan file whose kinetic pull is run.
    pub plan: Option<String>,
    /// Stated by hand: reading, value in SI.
    pub stated: Vec<(TestReading, f64)>,
}

pub(super) fn fit(name: String, section: &Section, known: &Known) -> Option<FitEntry> {
    let pulls = references(section, "pulls", &known.pulls, "pull");
    let material = section.key::<Material>("material").need();
    let length = pull::rest_length(section);
    let mbs = section.key::<Force>("mbs").within(&limits::LINE_MBS).need();
    let knots = section.key::<u8>("knots").within(&limits::KNOTS);
    let knots = knots.or("1", "a straight curve, which few pulls can tell");
    let held = |key, limit| section.key::<Share>(key).within(limit).maybe();
    let energy_return = held("energy_return", &limits::ENERGY_RETURN);
    let set = held("set", &limits::SET);
    let rate = section
        .key::<bool>("rate")
        .or("false", "left out: it takes pulls at several speeds");
    let confidence = confidence(section);
    Some(FitEntry {
        name,
        pulls: pulls?,
        material: material?,
        length_m: length?.get(),
        mbs_n: mbs?.get(),
        knots: knots?,
        energy_return: energy_return?.map(|share| share.0),
        set: set?.map(|share| share.0),
        rate: rate?,
        confidence: confidence?,
    })
}

pub(super) fn confidence(section: &Section) -> Option<f64> {
    let confidence = section
        .key::<Share>("confidence")
        .within(&limits::CONFIDENCE);
    Some(confidence.or("95 %", "usual")?.0)
}

pub(super) fn compare(name: String, section: &Section, known: &Known) -> Option<CompareEntry> {
    let reading = section.key::<TestReading>("reading").need();
    let setups = references(section, "setups", &known.setups, "setup");
    let confidence = confidence(section);
    let tolerance = section.key::<ToleranceSide>("tolerance").maybe();
    let cover = match tolerance {
        Some(Some(_)) => {
            let cover = section.key::<Share>("cover").within(&limits::CONFIDENCE);
            cover.or("95 %", "usual")
        }
        _ if section.has("cover") => {
            let fault = Fault::new("is given, and tolerance is missing".into());
            section.note(
                "cover",
                fault.hinting("write tolerance = \"at-most\" or so"),
            );
            None
        }
        _ => Some(Share(0.95)),
    };
    if setups.as_ref().is_some_and(|setups| setups.len() == 1) {
        let fault = Fault::new("names one set-up".into());
        section.note(
            "setups",
            fault.expecting("two at least, or none for all of them"),
        );
        return None;
    }
    Some(CompareEntry {
        name,
        reading: reading?,
        setups: setups?,
        confidence: confidence?,
        tolerance: tolerance?,
        cover: cover?.0,
    })
}

pub(super) fn predict(name: String, section: &Section, known: &Known) -> Option<PredictEntry> {
    let setup = reference(section, "setup", &known.setups, "setup");
    let plan = section.key::<Text>("plan").maybe();
    let peak = section
        .key::<Force>("peak")
        .within(&limits::CELL_RANGE)
        .maybe();
    let stretch = section
        .key::<Length>("stretch")
        .within(&limits::LINE_LENGTH)
        .maybe();
    let energy = section
        .key::<Energy>("energy_in")
        .within(&limits::GUARD_ENERGY)
        .maybe();
    let setup = setup?;
    if setup.is_none() {
        section.note_missing("setup", "the set-up that it was predicted for".into());
    }
    let (plan, peak, stretch, energy) = (plan?, peak?, stretch?, energy?);
    let stated = [
        (TestReading::Peak, peak.map(Force::get)),
        (TestReading::Stretch, stretch.map(Length::get)),
        (TestReading::EnergyIn, energy.map(Energy::get)),
    ];
    let stated: Vec<_> = stated
        .into_iter()
        .filter_map(|(r, v)| Some((r, v?)))
        .collect();
    if plan.is_some() != stated.is_empty() {
        let message = format!("[{}] holds no prediction, or two", section.path);
        let fault =
            Fault::new(message).expecting("plan = \"plan.toml\", or peak, stretch, energy_in");
        section.note_whole(section.heading(), fault);
        return None;
    }
    Some(PredictEntry {
        name,
        setup: setup?,
        plan: plan.map(|text| text.0),
        stated,
    })
}
