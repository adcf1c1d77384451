//! `[tug.winch]`.

use steadypull_engine::plan::{Winch, WinchDrive};

use super::defaults;
use super::limits;
use super::names::{Names, Sort};
use super::points::mbs_below_wll;
use super::section::Section;
use super::value::{Fault, Name};

pub(super) fn winch(tug: &Section, names: &Names) -> Option<Option<Winch>> {
    let section = tug.table("winch");
    if !tug.has("winch") {
        return Some(None);
    }
    let drive = section.key::<WinchDrive>("drive");
    let drive = drive.or(defaults::WINCH_DRIVE.0, defaults::WINCH_DRIVE.1);
    let rated_pull = section.key("rated_pull").within(&limits::RATED_PULL).need();
    let layer = section.key("layer").within(&limits::LAYER);
    let layer = layer.or(defaults::LAYER.0, defaults::LAYER.1);
    let drum_diameter = section.key("drum_diameter").within(&limits::DRUM);
    let drum_diameter = drum_diameter.or(defaults::DRUM_DIAMETER.0, defaults::DRUM_DIAMETER.1);
    let drum_width = section.key("drum_width").within(&limits::DRUM);
    let drum_width = drum_width.or(defaults::DRUM_WIDTH.0, defaults::DRUM_WIDTH.1);
    let line = section.key::<Name>("line").need();
    let line_speed = section.key("line_speed").within(&limits::LINE_SPEED);
    let line_speed = line_speed.or(defaults::LINE_SPEED.0, defaults::LINE_SPEED.1);
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
        flange_diameter: None,
        line_diameter: None,
        packing: 0.8,
        least_wraps: 10,
        paid_out: steadypull_engine::units::Length::ZERO,
        plate: steadypull_engine::pull::winch::preset::preset("WG-E42")?.plate,
        preset: None,
    }))
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
