//! `[pull.NAME]`: one pull: its log, what cell took it, what was moved by hand.

use steadypull_engine::units::{Duration, Length};

use super::{Known, reference, sha256, window};
use crate::plan_file::entry::{Shape, entries};
use crate::plan_file::limits;
use crate::plan_file::section::Section;
use crate::plan_file::unit_table::Share;
use crate::plan_file::value::{Fault, Text, Value};

/// Most stretches taken out of one log.
const MOST_REMOVED: usize = 100;

/// One pull.
#[derive(Debug, Clone, PartialEq)]
pub struct PullEntry {
    /// Its name in the file.
    pub name: String,
    /// The log.
    pub log: String,
    /// The recipe to read it by.
    pub recipe: String,
    /// What the log's bytes must hash to, in lower-case hexadecimal digits.
    pub sha256: Option<String>,
    /// Which pull of the log, from 1; rebounds do not count.
    pub which: Option<u32>,
    /// The cell that took the load.
    pub cell: Option<String>,
    /// The channel of the load, where the recipe has several.
    pub force: Option<String>,
    /// The channel of the stretch between the line's ends.
    pub displacement: Option<String>,
    /// The stretch is what the footage shows, and no channel of the log.
    pub displacement_from: Option<DisplacementFrom>,
    /// Expanded uncertainty (k = 2) of the stretch as a share of it.
    pub displacement_uncertainty: Option<f64>,
    /// To be added to the times of the stretch, and its standard uncertainty, s.
    pub displacement_shift_s: (f64, f64),
    /// The set-up.
    pub setup: Option<String>,
    /// Kept of the log, s.
    pub crop_s: Option<(f64, f64)>,
    /// Taken out of it, s.
    pub remove_s: Vec<(f64, f64)>,
    /// The part of this log that is quiet, s.
    pub zero_window_s: Option<(f64, f64)>,
    /// Greatest strain that the line has seen before and not recovered.
    pub strain_seen: f64,
    /// Footage of it.
    pub footage: Option<super::FootageEntry>,
    /// Events set by hand.
    pub moved: Vec<HandMove>,
}

impl PullEntry {
    /// Whether it has a stretch beside its load.
    pub fn has_displacement(&self) -> bool {
        self.displacement.is_some() || self.displacement_from.is_some()
    }
}

/// Where a stretch comes from that is no channel of the log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DisplacementFrom {
    /// The marks of `[pull.NAME.footage]`.
    Footage,
}

/// An event set by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandMove {
    /// Which.
    pub event: ByHandEvent,
    /// When, s, with its standard uncertainty, s; `None`: it did not happen.
    pub at_s: Option<(f64, f64)>,
}

/// Events that can be set by hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ByHandEvent {
    /// The line comes tight.
    Taut,
    /// The load is greatest.
    Peak,
    /// The casualty begins to move.
    BreakOut,
    /// Something lets go.
    Parting,
    /// The line is slack again.
    End,
}

pub(super) fn pull(
    name: String,
    section: &Section,
    known: &Known,
    recipe: Option<&Option<String>>,
) -> Option<PullEntry> {
    let text = |key| section.key::<Text>(key).maybe().map(|t| t.map(|t| t.0));
    let log = section.key::<Text>("log").need();
    let own = text("recipe");
    let sha256 = sha256(section, "sha256");
    let which = section
        .key::<u32>("which")
        .within(&limits::WHICH_PULL)
        .maybe();
    let cell = reference(section, "cell", &known.cells, "cell");
    let (force, displacement) = (text("force"), text("displacement"));
    let sure = section.key::<Share>("displacement_uncertainty");
    let sure = sure.within(&limits::CELL_UNCERTAINTY).maybe();
    let shift = shift(section);
    let setup = reference(section, "setup", &known.setups, "setup");
    let crop = window(section, "crop");
    let remove = remove(section);
    let zero = window(section, "zero_window");
    let seen = section
        .key::<Share>("strain_seen")
        .within(&limits::STRAIN_SEEN)
        .maybe();
    let moved = moved(&section.table("events"));
    let footage = super::footage::footage(&section.table("footage"));
    let from = section.key::<DisplacementFrom>("displacement_from").maybe();
    if let (Some(Some(_)), Some(footage)) = (from, &footage) {
        check_footage(section, footage.as_ref());
    } else if let (Some(None), Some(Some(footage))) = (from, &footage)
        && footage.other_end.is_some()
    {
        section.note_missing("displacement_from", DisplacementFrom::expected());
    }
    let recipe = match (own?, recipe) {
        (Some(own), _) => Some(own),
        (None, Some(Some(common))) => Some(common.clone()),
        // The recipe for all has its own mistake.
        (None, None) => None,
        (None, Some(None)) => {
            let expected = "a recipe file, here or as recipe = at the top for all pulls; \
                            `steadypull tests look LOG -o RECIPE.toml` writes one";
            section.note_missing("recipe", expected.into());
            None
        }
    };
    Some(PullEntry {
        name,
        log: log?.0,
        recipe: recipe?,
        sha256: sha256?,
        which: which?,
        cell: cell?,
        force: force?,
        displacement: displacement?,
        displacement_from: from?,
        displacement_uncertainty: sure?.map(|share| share.0),
        displacement_shift_s: shift?,
        setup: setup?,
        crop_s: crop?,
        remove_s: remove?,
        zero_window_s: zero?,
        strain_seen: seen?.map_or(0.0, |share| share.0),
        moved: moved?,
        footage: footage?,
    })
}

/// What a stretch from footage needs, and what it has of its own.
fn check_footage(section: &Section, footage: Option<&super::FootageEntry>) {
    let clash = |key, message: &str, hint: &str| {
        section.note(key, Fault::new(message.into()).hinting(hint));
    };
    if footage.is_none() {
        clash(
            "displacement_from",
            "names footage, and there is none",
            "describe it under [pull.NAME.footage]",
        );
    }
    if section.has("displacement") {
        clash(
            "displacement",
            "and displacement_from are both given",
            "choose one: a channel of the log, or the footage",
        );
    }
    if section.has("displacement_uncertainty") {
        clash(
            "displacement_uncertainty",
            "is of a channel of the log",
            "footage is as sure as its known length, askew and click say",
        );
    }
    let synced = footage.is_some_and(|footage| !footage.seen.is_empty());
    if synced {
        for key in ["displacement_shift", "displacement_shift_uncertainty"] {
            if section.has(key) {
                let hint = "keep the frames of [pull.NAME.footage], whose events the log has too, \
                            or the shift by hand";
                clash(
                    key,
                    "and frames of events both set the clock of the footage",
                    hint,
                );
            }
        }
    } else if footage.is_some() && !section.has("displacement_shift") {
        let expected = "the log's time less the footage's, such as \"1.204 s\"; or taut_frame or \
                        parting_frame in [pull.NAME.footage]: the first frame \
                        that shows an event which the log has too";
        section.note_missing("displacement_shift", expected.into());
    }
}

fn shift(section: &Section) -> Option<(f64, f64)> {
    let by = section
        .key::<Duration>("displacement_shift")
        .within(&limits::SHIFT)
        .maybe();
    let sure = section.key::<Duration>("displacement_shift_uncertainty");
    let sure = sure.within(&limits::SHIFT_UNCERTAINTY).maybe();
    match (by?, sure?) {
        (None, None) => Some((0.0, 0.0)),
        (Some(by), Some(sure)) => Some((by.get(), sure.get())),
        (None, Some(sure)) => Some((0.0, sure.get())),
        (Some(_), None) => {
            let expected = "how well the shift is known, such as \"2 ms\" (one standard deviation)";
            section.note_missing("displacement_shift_uncertainty", expected.into());
            None
        }
    }
}

fn remove(section: &Section) -> Option<Vec<(f64, f64)>> {
    let shape = Shape {
        cells: 2,
        most: MOST_REMOVED,
        odd: "holds an entry that is no pair of times",
        expected: "pairs of times, such as [[\"3.10 s\", \"3.12 s\"]]".into(),
    };
    let found = entries(section, "remove", &shape, |entry| {
        let from = entry.figure::<Duration>(0, "from", None);
        let to = entry.figure::<Duration>(1, "to", None);
        let (from, to) = (from?.get(), to?.get());
        if from > to {
            entry.note(Fault::new("ends before it begins".into()));
            return None;
        }
        Some((from, to))
    })?;
    Some(found.unwrap_or_default())
}

fn moved(section: &Section) -> Option<Vec<HandMove>> {
    const KEYS: [(&str, ByHandEvent); 5] = [
        ("taut", ByHandEvent::Taut),
        ("peak", ByHandEvent::Peak),
        ("break_out", ByHandEvent::BreakOut),
        ("parting", ByHandEvent::Parting),
        ("end", ByHandEvent::End),
    ];
    let sure = section.key::<Duration>("uncertainty");
    let sure = sure.within(&limits::SHIFT_UNCERTAINTY).maybe();
    let mut moved = Vec::new();
    let mut sound = true;
    for (key, event) in KEYS {
        match section.key::<Duration>(key).maybe() {
            Some(Some(at)) => moved.push(HandMove {
                event,
                at_s: Some((at.get(), f64::NAN)),
            }),
            Some(None) => {}
            None => sound = false,
        }
    }
    for (key, event) in [
        ("no_break_out", ByHandEvent::BreakOut),
        ("no_parting", ByHandEvent::Parting),
    ] {
        match section.key::<bool>(key).maybe() {
            Some(Some(true)) => moved.push(HandMove { event, at_s: None }),
            Some(_) => {}
            None => sound = false,
        }
    }
    section.close();
    let timed = moved.iter().any(|m| m.at_s.is_some());
    let sure = sure?;
    if timed && sure.is_none() {
        let expected = "how well a hand sets them, such as \"5 ms\" (one standard deviation)";
        section.note_missing("uncertainty", expected.into());
        section.close();
        return None;
    }
    for one in &mut moved {
        one.at_s = one
            .at_s
            .map(|(at, _)| (at, sure.map_or(0.0, Duration::get)));
    }
    sound.then_some(moved)
}

/// Rest length of a line that is fitted.
pub(super) fn rest_length(section: &Section) -> Option<Length> {
    section
        .key::<Length>("length")
        .within(&limits::LINE_LENGTH)
        .need()
}
