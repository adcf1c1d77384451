//! `[tug.winch]`.

use steadypull_engine::plan::{PlateRow, Winch, WinchDrive};
use steadypull_engine::pull::winch::preset::{Preset, preset, usual};
use steadypull_engine::units::{Speed, Voltage};

use super::defaults::{self, carried_over, written};
use super::limits;
use super::names::{Names, Sort};
use super::points::mbs_below_wll;
use super::section::Section;
use super::value::{Fault, Name};
use super::winch_drum::drum_figures;
use super::winch_plate::{PresetName, plate, rows};
use super::words::Words;

pub(super) fn winch(tug: &Section, names: &Names) -> Option<Option<Winch>> {
    let section = tug.table("winch");
    if !tug.has("winch") {
        return Some(None);
    }
    let named = section.key::<PresetName>("preset").maybe();
    let named = named.map(|n| n.and_then(|n| preset(n.0)));
    let drive = drive(&section, named.as_ref());
    let rated_pull = section.key("rated_pull").within(&limits::RATED_PULL);
    let rated_pull = match &named {
        Some(Some(preset)) => rated_pull.or_else(|| Some(rated_by_preset(preset))),
        Some(None) => rated_pull.need(),
        None => rated_pull.maybe().flatten(),
    };
    let layer = section.key("layer").within(&limits::LAYER);
    // With the line paid out it is worked out, once the line is known.
    let layer = match section.has("paid_out") {
        true => layer.maybe().map(|given| given.unwrap_or(1)),
        false => layer.or(defaults::LAYER.0, defaults::LAYER.1),
    };
    let drum_diameter = section.key("drum_diameter").within(&limits::DRUM);
    let drum_diameter = drum_diameter.or(defaults::DRUM_DIAMETER.0, defaults::DRUM_DIAMETER.1);
    let drum_width = section.key("drum_width").within(&limits::DRUM);
    let drum_width = drum_width.or(defaults::DRUM_WIDTH.0, defaults::DRUM_WIDTH.1);
    let line = section.key::<Name>("line").need();
    let base = drive
        .zip(named)
        .and_then(|(drive, named)| base(&section, drive, named));
    let rows = drive.and_then(|drive| rows(&section, drive));
    let line_speed = line_speed(&section, base.as_ref(), rows.as_deref());
    let drum = drum_figures(&section);
    let plate = base
        .as_ref()
        .zip(rated_pull)
        .zip(line_speed)
        .zip(rows)
        .and_then(|(((base, rated), speed), rows)| plate(&section, base, rated, speed, rows));
    let height = section.key("height").within(&limits::POINT_HEIGHT);
    let height = height.or(defaults::WINCH_HEIGHT.0, defaults::WINCH_HEIGHT.1);
    let forward = section.key("forward").within(&limits::FORWARD).maybe();
    let mount_mass = section.key("mount_mass").within(&limits::MOUNT_MASS);
    let mount_mass = mount_mass.or(defaults::MOUNT_MASS.0, defaults::MOUNT_MASS.1);
    let mount_mbs = section
        .key("mount_mbs")
        .within(&limits::POINT_RATING)
        .maybe();
    section.close();
    let (plate, filled_in) = plate?;
    let drum = drum?;
    let (line, rated_pull, mount_mbs) = (line?.0, rated_pull?, mount_mbs?);
    known_line(&section, names, &line)?;
    if mount_mbs.is_some_and(|mbs| mbs <= rated_pull) {
        let fault = mbs_below_wll().expecting("a mount stronger than the winch's rated pull");
        section.note(
            "mount_mbs",
            Fault {
                message: "is not above rated_pull".into(),
                ..fault
            },
        );
        return None;
    }
    Some(Some(Winch {
        drive: drive?,
        rated_pull,
        layer: layer?,
        drum_diameter: drum_diameter?,
        drum_width: drum_width?,
        line,
        line_speed: line_speed?,
        height: height?,
        forward: forward?.unwrap_or(defaults::FRONT),
        mount_mass: mount_mass?,
        mount_mbs,
        flange_diameter: drum.flange_diameter,
        line_diameter: drum.line_diameter,
        packing: drum.packing,
        least_wraps: drum.least_wraps,
        paid_out: drum.paid_out,
        plate,
        preset: filled_in,
    }))
}

/// The drive as said, else that of the preset named, else the usual one.
fn drive(section: &Section, named: Option<&Option<Preset>>) -> Option<WinchDrive> {
    let key = section.key::<WinchDrive>("drive");
    let Some(preset) = named?.as_ref() else {
        return key.or(defaults::WINCH_DRIVE.0, defaults::WINCH_DRIVE.1);
    };
    let drive = key.maybe()?.unwrap_or(preset.drive);
    if drive == preset.drive {
        return Some(drive);
    }
    let message = format!("is a preset of another drive than \"{}\"", drive.word());
    let fault = Fault::new(message);
    section.note(
        "preset",
        fault.hinting("leave out drive: the preset says it"),
    );
    None
}

fn rated_by_preset(preset: &Preset) -> (String, String) {
    let text = carried_over(preset.rated_pull.to_tf(), "t");
    (text, format!("as the preset {}", preset.name))
}

/// The preset that fills in what the plate does not say.
fn base(section: &Section, drive: WinchDrive, named: Option<Preset>) -> Option<Preset> {
    // 18 V parts the 12 V plants from the 24 V ones.
    let high = drive == WinchDrive::Electric
        && section.has("volts")
        && section
            .key::<Voltage>("volts")
            .maybe()
            .flatten()
            .is_some_and(|v| v > Voltage::new(18.0));
    let usual = if high { "WG-E42-24" } else { usual(drive) };
    named.or_else(|| preset(usual))
}

/// Line speed at no load: as said, or as the first row of the plate has it.
fn line_speed(
    section: &Section,
    base: Option<&Preset>,
    rows: Option<&[PlateRow]>,
) -> Option<Speed> {
    let key = section.key("line_speed").within(&limits::LINE_SPEED);
    if let [first, ..] = rows? {
        if section.has("line_speed") {
            let fault = Fault::new("and rows are both given".into());
            section.note("line_speed", fault.hinting("the row at no load says it"));
            return None;
        }
        return Some(first.speed);
    }
    key.or_else(|| {
        let base = base?;
        if base.drive == WinchDrive::Electric {
            let (text, reason) = defaults::LINE_SPEED;
            return Some((text.into(), reason.into()));
        }
        let text = written(base.line_speed.get() * 60.0, "m/min");
        Some((text, format!("as the preset {}", base.name)))
    })
}

fn known_line(section: &Section, names: &Names, line: &str) -> Option<()> {
    if names.sort(line) == Some(Sort::Line) {
        return Some(());
    }
    if !section.is_broken() {
        let fault = Fault::new(format!("names \"{line}\", which is no line of the kit"))
            .expecting("the NAME of a table [line.NAME]");
        let meant = names.meant(line, |sort| sort == Sort::Line);
        let hint = meant.map(|meant| format!("did you mean \"{meant}\"?"));
        section.note("line", Fault { hint, ..fault });
    }
    None
}
