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
}

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
    section.close();
    let [from, to] = ends;
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
    }))
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
