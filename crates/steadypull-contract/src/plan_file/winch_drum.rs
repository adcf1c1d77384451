//! What `[tug.winch]` says of its drum, and what follows from the line on it.

use steadypull_engine::plan::{Kit, Line, Part, Tug, Winch};
use steadypull_engine::pull::winch::{Drum, least_wraps};
use steadypull_engine::units::Length;

use super::defaults::{self, written};
use super::limits;
use super::section::Section;
use super::unit_table::Share;
use super::value::{Fault, Value};

/// The figures of the drum as said; wraps and line out may follow from the line.
pub(super) struct DrumFigures {
    pub flange_diameter: Option<Length>,
    pub line_diameter: Option<Length>,
    pub packing: f64,
    pub least_wraps: u8,
    pub paid_out: Length,
}

pub(super) fn drum_figures(section: &Section) -> Option<DrumFigures> {
    let flange = section.key("flange_diameter").within(&limits::DRUM).maybe();
    let line = section.key("line_diameter").within(&limits::LINE_DIAMETER);
    let line = line.maybe();
    let packing = section.key::<Share>("packing").within(&limits::PACKING);
    let packing = packing.or(defaults::PACKING.0, defaults::PACKING.1);
    let wraps = section
        .key("least_wraps")
        .within(&limits::LEAST_WRAPS)
        .maybe();
    let paid_out = section.key("paid_out").within(&limits::PAID_OUT).maybe();
    Some(DrumFigures {
        flange_diameter: flange?,
        line_diameter: line?,
        packing: packing?.0,
        least_wraps: wraps?.unwrap_or(0),
        paid_out: paid_out?.unwrap_or(Length::ZERO),
    })
}

/// Fills in what follows from the line on the drum, and sees that it fits.
pub(super) fn with_its_line(file: &Section, mut tug: Tug, kit: &Kit) -> Option<Tug> {
    let section = file.table("tug").table("winch");
    let Some(winch) = &mut tug.winch else {
        return Some(tug);
    };
    let Some(Part::Line(line)) = kit.part(&winch.line) else {
        return Some(tug);
    };
    if !section.has("least_wraps") {
        winch.least_wraps = least_wraps(line.material);
        let reason = match line.material.is_metal() {
            true => defaults::WRAPS_METAL_REASON,
            false => defaults::WRAPS_FIBRE_REASON,
        };
        section.assume_later("least_wraps", &winch.least_wraps.to_string(), reason);
    }
    fits(&section, winch, line)?;
    paid_out(&section, winch, line)?;
    Some(tug)
}

/// A drum that could not hold the line even wound without a gap is a slip.
fn fits(section: &Section, winch: &Winch, line: &Line) -> Option<()> {
    let diameter = winch.diameter_of(line);
    let flange = winch.flange_diameter;
    if flange.is_some_and(|flange| flange < winch.drum_diameter + diameter * 2.0) {
        let fault = Fault::new("leaves no room for one layer of its line".into());
        section.note(
            "flange_diameter",
            fault.expecting(format!(
                "more than drum_diameter and two line diameters, {}",
                written((winch.drum_diameter + diameter * 2.0).to_mm(), "mm")
            )),
        );
        return None;
    }
    if winch.drum_width < diameter {
        let fault = Fault::new("is narrower than its line".into());
        let line = written(diameter.to_mm(), "mm");
        section.note("drum_width", fault.expecting(format!("more than {line}")));
        return None;
    }
    let tight = Winch {
        packing: 1.0,
        ..winch.clone()
    };
    let most = Drum::of(&tight, line).capacity();
    if let Some(most) = most.filter(|most| *most < line.length) {
        let held = written(most.get(), "m");
        let message = format!(
            "cannot hold the {} of \"{}\": {held} at most, wound without a gap",
            written(line.length.get(), "m"),
            line.name
        );
        let fault = Fault::new(message);
        section.note(
            "flange_diameter",
            fault.hinting(
                "look at drum_diameter, drum_width, flange_diameter and the line's length",
            ),
        );
        return None;
    }
    Some(())
}

/// Line paid out from the layer in use, or the layer from the line paid out.
fn paid_out(section: &Section, winch: &mut Winch, line: &Line) -> Option<()> {
    let drum = Drum::of(winch, line);
    if section.has("paid_out") {
        if winch.paid_out > line.length {
            let fault = Fault::new("is more than the line has".into());
            let whole = written(line.length.get(), "m");
            section.note("paid_out", fault.expecting(format!("at most {whole}")));
            return None;
        }
        if !section.has("layer") {
            let layer = drum.outermost(line.length - winch.paid_out);
            winch.layer = u8::try_from(layer).unwrap_or(u8::MAX);
            section.assume_later(
                "layer",
                &winch.layer.to_string(),
                "worked out from paid_out",
            );
        }
        return Some(());
    }
    let layer = u32::from(winch.layer);
    let wound = drum.wound_in_middle_of(layer, u32::from(winch.least_wraps), line.length);
    let text = written((line.length - wound).get().max(0.0), "m");
    let reason = format!("worked out: the line that is left is in the middle of layer {layer}");
    section.assume_later("paid_out", &text, &reason);
    winch.paid_out = Length::from_text(&text).ok()?.min(line.length);
    Some(())
}
