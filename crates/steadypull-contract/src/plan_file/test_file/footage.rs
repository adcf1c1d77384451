//! `[pull.NAME.footage]`: marks of a point in frames, and what makes metres and seconds of
//! them.

use steadypull_engine::units::{Duration, Length};

use crate::plan_file::limits;
use crate::plan_file::section::Section;
use crate::plan_file::unit_table::Share;
use crate::plan_file::value::{Fault, Text};

/// Footage of a pull. Uncertainties are standard deviations.
#[derive(Debug, Clone, PartialEq)]
pub struct FootageEntry {
    /// Table of marks: frame from 0, x to the right, y down, pixels.
    pub marks: String,
    /// Marks of the line's other end, where that moves too; `None`: it stays where it is.
    pub other_end: Option<String>,
    /// Frames a second, as recorded.
    pub rate_hz: f64,
    /// Uncertainty of that, Hz.
    pub rate_uncertainty_hz: f64,
    /// Rows of the picture.
    pub rows: f64,
    /// From the first row read to the last, s; `None`: not known.
    pub readout_s: Option<f64>,
    /// A length in the plane of the motion, m, and its uncertainty.
    pub known_m: (f64, f64),
    /// Its ends in the picture, pixels; x runs from the first to the second.
    pub known_px: [[f64; 2]; 2],
    /// How well a point is marked, pixels.
    pub click_px: f64,
    /// Share by which lengths may be off because the camera is not square on.
    pub askew: f64,
    /// Events that the log saw too, in order of time: its clock. Empty: none is named.
    pub seen: Vec<SeenEvent>,
    /// How many frames off their first frames may be.
    pub seen_frames: f64,
    /// Row of the picture where they show, pixels; `None`: not known.
    pub seen_row: Option<f64>,
}

/// Events that log and picture show at the same moment. A break-out is none: the log tells it
/// at the greatest load, a picture where the casualty first moves, which is earlier.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FilmedEvent {
    /// The line comes tight.
    Taut,
    /// Something lets go.
    Parting,
}

/// An event of the log that the footage shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SeenEvent {
    /// Which.
    pub event: FilmedEvent,
    /// The first frame that shows it, from 0.
    pub frame: u32,
}

/// Their keys.
const SEEN: [(&str, FilmedEvent); 2] = [
    ("taut_frame", FilmedEvent::Taut),
    ("parting_frame", FilmedEvent::Parting),
];

pub(super) fn footage(section: &Section) -> Option<Option<FootageEntry>> {
    if !section.is_present() {
        return Some(None);
    }
    let number = |key| section.key::<f64>(key);
    let marks = section.key::<Text>("marks").need();
    let other_end = section.key::<Text>("other_end").maybe();
    let rate = number("frame_rate").within(&limits::FRAME_RATE).need();
    let rate_sure = number("frame_rate_uncertainty").within(&limits::FRAME_RATE_UNCERTAINTY);
    let rate_sure = rate_sure.or("0", "taken as exact; phones can be off by a few per mille");
    let rows = number("rows").within(&limits::PICTURE_ROWS).need();
    let readout = section
        .key::<Duration>("readout")
        .within(&limits::SHIFT_UNCERTAINTY);
    let readout = readout.maybe();
    let known = section
        .key::<Length>("known_length")
        .within(&limits::LINE_LENGTH);
    let known = known.need();
    let known_sure = section.key::<Length>("known_length_uncertainty");
    let known_sure = known_sure.within(&limits::LENGTH_UNCERTAINTY).need();
    let ends = [point(section, "known_from"), point(section, "known_to")];
    let click = number("click").within(&limits::CLICK);
    let click = click.or("1.5", "assumed: a point marked by hand");
    let askew = section.key::<Share>("askew").within(&limits::ASKEW);
    let askew = askew.or(
        "3 %",
        "assumed: the camera some 14 deg off square (1 - cos 14 deg)",
    );
    let seen = seen(section);
    let told = told(section, seen.as_deref(), rows);
    section.close();
    let ([from, to], (seen_frames, seen_row)) = (ends, told?);
    Some(Some(FootageEntry {
        marks: marks?.0,
        other_end: other_end?.map(|text| text.0),
        rate_hz: rate?,
        rate_uncertainty_hz: rate_sure?,
        rows: rows?,
        readout_s: readout?.map(Duration::get),
        known_m: (known?.get(), known_sure?.get()),
        known_px: [from?, to?],
        click_px: click?,
        askew: askew?.0,
        seen: seen?,
        seen_frames,
        seen_row,
    }))
}

/// The events that are named, each after the one before it.
fn seen(section: &Section) -> Option<Vec<SeenEvent>> {
    let mut seen: Vec<SeenEvent> = Vec::new();
    let mut sound = true;
    for (key, event) in SEEN {
        let frame = section.key::<u32>(key).within(&limits::SEEN_FRAME);
        match frame.maybe() {
            None => sound = false,
            Some(None) => {}
            Some(Some(frame)) if seen.last().is_some_and(|last| frame <= last.frame) => {
                let fault = Fault::new("is no later than taut_frame".into());
                let order = "the line comes taut before something parts";
                section.note(key, fault.hinting(order));
                sound = false;
            }
            Some(Some(frame)) => seen.push(SeenEvent { event, frame }),
        }
    }
    sound.then_some(seen)
}

/// How well the frames of events are told, and the row where they show.
fn told(
    section: &Section,
    seen: Option<&[SeenEvent]>,
    rows: Option<f64>,
) -> Option<(f64, Option<f64>)> {
    let frames = section.key::<f64>("event_uncertainty");
    let frames = frames.within(&limits::SEEN_FRAMES);
    let row = section
        .key::<f64>("event_row")
        .within(&limits::EVENT_ROW)
        .maybe();
    if !seen.is_some_and(<[_]>::is_empty) {
        let frames = frames.or(
            "0.5",
            "assumed: the first frame as told by eye, frame by frame",
        );
        return Some((frames?, in_picture(section, row?, rows)?));
    }
    let (frames, row) = (frames.maybe()?, row?);
    let stray = [("event_uncertainty", frames), ("event_row", row)];
    for (key, _) in stray.iter().filter(|(_, value)| value.is_some()) {
        let fault = Fault::new("is of events, and none is named".into());
        let hint = "write taut_frame = 812 or so: the first frame that shows it";
        section.note(key, fault.hinting(hint));
    }
    (frames.is_none() && row.is_none()).then_some((0.0, None))
}

/// The row of the events, if it is one of the picture.
fn in_picture(section: &Section, row: Option<f64>, rows: Option<f64>) -> Option<Option<f64>> {
    if row.zip(rows).is_some_and(|(row, rows)| row > rows) {
        let fault = Fault::new("lies under the picture, which has fewer rows".into());
        section.note("event_row", fault);
        return None;
    }
    Some(row)
}

fn point(section: &Section, key: &'static str) -> Option<[f64; 2]> {
    let numbers = section.list::<f64>(key, 2)?;
    if let [x, y] = numbers[..] {
        return Some([x, y]);
    }
    let expected = "two numbers, pixels to the right and down, such as [412.0, 833.0]";
    if section.has(key) {
        section.note(
            key,
            Fault::new("is no point of the picture".into()).expecting(expected),
        );
    } else {
        section.note_missing(key, expected.into());
        section.close();
    }
    None
}
