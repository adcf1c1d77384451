//! `[line.*]`, `[shackle.*]`, `[bridle.*]`, `[block.*]`, `[damper.*]`,
//! `[tether.*]`, `[boards]` and `[tools]`: the gear on hand.

use steadypull_engine::line::Material;
use steadypull_engine::plan::{
    Block, Bridle, Damper, Kit, Part, RecoveryAid, Shackle, ShackleKind, Tether, Traction,
};
use steadypull_engine::units::{Force, Length};

use super::anchors::anchors;
use super::defaults::{self, carried_over, written};
use super::limits;
use super::line::line;
use super::names::{Names, Sort};
use super::points::mbs_below_wll;
use super::ring::ring;
use super::section::Section;
use super::unit_table::Share;
use super::value::{DamperPlace, Fault, Named};
use super::words::End;

/// Most parts of one sort.
const MOST_PARTS: usize = 60;
/// Most dampers, and most tethers.
const MOST_HUNG: usize = 12;

pub(super) fn kit(file: &Section, names: &Names) -> Option<Kit> {
    let lines = all(file, "line", MOST_PARTS, |name, section| {
        let line = line(name, section);
        section.close();
        line.map(Part::Line)
    });
    let shackles = all(file, "shackle", MOST_PARTS, |n, s| {
        shackle(n, s).map(Part::Shackle)
    });
    let bridles = all(file, "bridle", MOST_PARTS, |name, section| {
        bridle(name, section, file, names).map(Part::Bridle)
    });
    let blocks = all(file, "block", MOST_PARTS, |n, s| {
        block(n, s).map(Part::Block)
    });
    let rings = all(file, "ring", MOST_PARTS, |n, s| ring(n, s).map(Part::Block));
    let dampers = all(file, "damper", MOST_HUNG, damper);
    let tethers = all(file, "tether", MOST_HUNG, |name, section: &Section| {
        tether(name, section, names)
    });
    let aids = aids(file);
    let anchors = anchors(file);
    let parts = [lines?, shackles?, bridles?, blocks?, rings?]
        .into_iter()
        .flatten()
        .collect();
    Some(Kit {
        parts,
        dampers: dampers?,
        tethers: tethers?,
        anchors: anchors?,
        aids: aids?,
    })
}

/// Every `[key.NAME]`, or `None` after reading them all if any is bad.
fn all<T>(
    file: &Section,
    key: &'static str,
    most: usize,
    read: impl Fn(String, &Section) -> Option<T>,
) -> Option<Vec<T>> {
    let tables = file.named(key, most);
    let parts: Vec<_> = tables
        .into_iter()
        .map(|(name, section)| read(name, &section))
        .collect();
    parts.into_iter().collect()
}

fn shackle(name: String, section: &Section) -> Option<Shackle> {
    let kind = section.key::<ShackleKind>("kind").need();
    let wll = section
        .key::<Force>("wll")
        .within(&limits::SHACKLE_MBS)
        .maybe();
    let is_metal = kind.is_none_or(ShackleKind::is_metal);
    let by_wll = section.has("wll") && is_metal;
    let mbs_key = section.key::<Force>("mbs").within(&limits::SHACKLE_MBS);
    let mbs = if by_wll {
        mbs_key.or_else(|| {
            let mbs = wll?? * defaults::METAL_SHACKLE_FACTOR;
            Some((
                carried_over(mbs.to_tf(), "t"),
                defaults::METAL_SHACKLE_MBS_REASON.into(),
            ))
        })
    } else {
        mbs_key.need()
    };
    let mass = section.key("mass").within(&limits::PART_MASS).or_else(|| {
        let mbs = mbs?;
        let (mass, reason) = if kind?.is_metal() {
            let wll = wll?.unwrap_or(mbs / defaults::METAL_SHACKLE_FACTOR);
            (
                defaults::metal_shackle_mass(wll),
                defaults::METAL_SHACKLE_MASS_REASON,
            )
        } else {
            (
                defaults::soft_shackle_mass(mbs),
                defaults::SOFT_SHACKLE_MASS_REASON,
            )
        };
        Some((written(mass.get(), "kg"), reason.into()))
    });
    let side_angle = section.key("side_angle").within(&limits::SIDE_ANGLE);
    let side_angle = side_angle.or(defaults::SIDE_ANGLE.0, defaults::SIDE_ANGLE.1);
    let pin_gap = section.key("pin_gap").within(&limits::PIN_GAP).maybe();
    section.close();
    let (wll, mbs) = (wll?, mbs?);
    if kind == Some(ShackleKind::Soft) && section.has("pin_gap") {
        let fault = Fault::new("is of a soft shackle, which has no pin".into());
        section.note("pin_gap", fault.hinting("leave it out"));
        return None;
    }
    if wll.is_some_and(|wll| mbs <= wll) {
        section.note("mbs", mbs_below_wll());
        return None;
    }
    Some(Shackle {
        name,
        kind: kind?,
        wll,
        mbs,
        mass: mass?,
        side_angle: side_angle?,
        pin_gap: pin_gap?,
    })
}

fn bridle(name: String, section: &Section, file: &Section, names: &Names) -> Option<Bridle> {
    let points = bridle_points(section, names);
    let line = line(name, section);
    if section.has("hitch") {
        let fault = Fault::new("is of a bridle, whose ends are made fast to two points".into());
        section.note(
            "hitch",
            fault.hinting("leave it out: it is for a trunk strap"),
        );
    }
    let span = section.key::<Length>("span").within(&limits::SPAN);
    let from_offsets = points
        .as_ref()
        .and_then(|points| span_by_offsets(file, points));
    let span = match from_offsets {
        Some(metres) => {
            span.or_else(|| Some((carried_over(metres, "m"), defaults::SPAN_REASON.into())))
        }
        None if points.is_some() => span.need(),
        // The points are wrong: whether a span is needed is not known.
        None => span.maybe().flatten(),
    };
    let equalising = section
        .key("equalising")
        .or(defaults::EQUALISING.0, defaults::EQUALISING.1);
    section.close();
    let (line, span) = (line?, span?);
    if span >= line.length {
        let fault = Fault::new("is not shorter than the bridle".into());
        section.note(
            "span",
            fault.expecting("two legs that reach past the distance they span"),
        );
        return None;
    }
    Some(Bridle {
        line,
        points: points?,
        span,
        equalising: equalising?,
    })
}

/// Two known points of one vehicle, such as `casualty.rear-left`.
fn bridle_points(section: &Section, names: &Names) -> Option<[String; 2]> {
    let expected = "two recovery points of one vehicle, such as \
                    [\"casualty.rear-left\", \"casualty.rear-right\"]";
    let items = section.items::<Named>("points", 2)?;
    let mut known = true;
    for (span, item) in &items {
        let sort = names.sort(&item.0);
        let is_point = matches!(sort, Some(Sort::Point(_) | Sort::AnchorPoint));
        if !is_point && !section.is_broken() {
            let fault = Fault::new(format!("\"{}\" is no recovery point", item.0));
            let meant = names.meant(&item.0, |sort| matches!(sort, Sort::Point(_)));
            let hint = meant.map(|meant| format!("did you mean \"{meant}\"?"));
            section.note_whole(
                span.clone(),
                Fault {
                    hint,
                    ..fault.expecting(expected)
                },
            );
        }
        known &= is_point;
    }
    let texts: Vec<String> = items.into_iter().map(|(_, text)| text.0).collect();
    let vehicle = |text: &str| text.split('.').next().map(str::to_string);
    match <[String; 2]>::try_from(texts) {
        Ok(pair) if !known => drop(pair),
        Ok(pair) if pair[0] != pair[1] && vehicle(&pair[0]) == vehicle(&pair[1]) => {
            return Some(pair);
        }
        _ => section.note(
            "points",
            Fault::new("are not two points of one vehicle".into()).expecting(expected),
        ),
    }
    None
}

/// Distance between the points if the file gives both offsets.
fn span_by_offsets(file: &Section, points: &[String; 2]) -> Option<f64> {
    let offset = |full: &String| {
        let (vehicle, point) = full.split_once('.')?;
        let vehicle = ["casualty", "tug"]
            .into_iter()
            .find(|key| *key == vehicle)?;
        let vehicle = file.table(vehicle);
        let tables = vehicle.named("point", MOST_PARTS);
        let (_, table) = tables.into_iter().find(|(name, _)| name == point)?;
        let given: Option<Length> = table.key("offset").within(&limits::OFFSET).maybe()?;
        given.map(Length::get)
    };
    let span = (offset(&points[0])? - offset(&points[1])?).abs();
    (span > 0.0).then_some(span)
}

fn block(name: String, section: &Section) -> Option<Block> {
    let wll = section
        .key::<Force>("wll")
        .within(&limits::SHACKLE_MBS)
        .need();
    let mbs = section
        .key::<Force>("mbs")
        .within(&limits::SHACKLE_MBS)
        .or_else(|| {
            let mbs = wll? * defaults::BLOCK_FACTOR;
            Some((
                carried_over(mbs.to_tf(), "t"),
                defaults::BLOCK_MBS_REASON.into(),
            ))
        });
    let efficiency = section
        .key::<Share>("efficiency")
        .within(&limits::EFFICIENCY);
    let efficiency = efficiency.or(defaults::EFFICIENCY.0, defaults::EFFICIENCY.1);
    let sheave_diameter = section.key("sheave_diameter").within(&limits::SHEAVE);
    let sheave_diameter = sheave_diameter.or(defaults::SHEAVE.0, defaults::SHEAVE.1);
    let mass = section.key("mass").within(&limits::PART_MASS);
    let mass = mass.or(defaults::BLOCK_MASS.0, defaults::BLOCK_MASS.1);
    section.close();
    let (wll, mbs) = (wll?, mbs?);
    if mbs <= wll {
        section.note("mbs", mbs_below_wll());
        return None;
    }
    Some(Block {
        name,
        wll,
        mbs,
        efficiency: efficiency?.0,
        ring_friction: None,
        sheave_diameter: sheave_diameter?,
        mass: mass?,
    })
}

fn damper(name: String, section: &Section) -> Option<Damper> {
    let mass = section.key("mass").within(&limits::DAMPER_MASS).need();
    let place = section.key::<DamperPlace>("place").need();
    let drag_area = section.key("drag_area").within(&limits::DRAG_AREA);
    let drag_area = drag_area.or(defaults::DRAG_AREA.0, defaults::DRAG_AREA.1);
    let slips_at = section.key("slips_at").within(&limits::SLIP_FORCE);
    let slips_at = slips_at.or(defaults::SLIPS_AT.0, defaults::SLIPS_AT.1);
    section.close();
    Some(Damper {
        name,
        mass: mass?,
        place: place?.0,
        drag_area: drag_area?,
        slips_at: slips_at?,
    })
}

fn tether(name: String, section: &Section, names: &Names) -> Option<Tether> {
    let end = section.key::<End>("end").need();
    let length = section
        .key::<Length>("length")
        .within(&limits::TETHER_LENGTH)
        .need();
    let mbs = section
        .key::<Force>("mbs")
        .within(&limits::TETHER_MBS)
        .need();
    let stretch = section
        .key::<Share>("stretch_at_break")
        .within(&limits::TETHER_STRETCH);
    let stretch = stretch.or(defaults::TETHER_STRETCH.0, defaults::TETHER_STRETCH.1);
    let mass = section.key("mass").within(&limits::PART_MASS).or_else(|| {
        let by_length = Material::NylonWebbing.mass_per_length(mbs?).get() * length?.get();
        // No eye and stitching weighs less than this.
        Some((
            written(by_length.max(0.05), "kg"),
            defaults::TETHER_MASS_REASON.into(),
        ))
    });
    let point = tether_point(section, names);
    let exponent = section.key("stiffening").within(&limits::STIFFENING);
    let exponent = exponent.or(defaults::STIFFENING.0, defaults::STIFFENING.1);
    let back = section
        .key::<Share>("energy_return")
        .within(&limits::ENERGY_RETURN);
    let back = back.or(defaults::TETHER_RETURN.0, defaults::TETHER_RETURN.1);
    section.close();
    Some(Tether {
        name,
        at_casualty: end? == End::Casualty,
        length: length?,
        mbs: mbs?,
        strain_at_break: stretch?.0,
        mass: mass?,
        point: point?,
        exponent: exponent?,
        energy_return: back?.0,
    })
}

/// A known recovery point of a vehicle in the pull.
fn tether_point(section: &Section, names: &Names) -> Option<Option<String>> {
    let point = section.key::<Named>("point").maybe()?;
    let Some(Named(name)) = point else {
        return Some(None);
    };
    if matches!(names.sort(&name), Some(Sort::Point(_))) || section.is_broken() {
        return Some(Some(name));
    }
    let fault = Fault::new(format!("\"{name}\" is no recovery point"));
    let meant = names.meant(&name, |sort| matches!(sort, Sort::Point(_)));
    let hint = meant.map(|meant| format!("did you mean \"{meant}\"?"));
    let expected = "a recovery point of casualty or tug, such as \"casualty.rear-right\"";
    section.note(
        "point",
        Fault {
            hint,
            ..fault.expecting(expected)
        },
    );
    None
}

fn aids(file: &Section) -> Option<RecoveryAid> {
    let boards = boards(file);
    let tools = file.table("tools");
    let shovels = tools.key("shovels").within(&limits::SHOVELS);
    let shovels = shovels.or(defaults::SHOVELS.0, defaults::SHOVELS.1);
    let inflator = tools
        .key("inflator")
        .or(defaults::INFLATOR.0, defaults::INFLATOR.1);
    tools.close();
    Some(RecoveryAid {
        boards: boards?,
        shovels: shovels?,
        inflator: inflator?,
    })
}

fn boards(file: &Section) -> Option<Option<Traction>> {
    let section = file.table("boards");
    if !file.has("boards") {
        return Some(None);
    }
    let count = section.key("count").within(&limits::BOARD_COUNT);
    let count = count.or(defaults::BOARD_COUNT.0, defaults::BOARD_COUNT.1);
    let grip = section.key("grip").within(&limits::GRIP);
    let grip = grip.or(defaults::BOARD_GRIP.0, defaults::BOARD_GRIP.1);
    section.close();
    Some(Some(Traction {
        count: count?,
        grip: grip?,
    }))
}
