//! `[casualty.body]` and `[tug.body]`: the outside of a vehicle, and what guards its
//! glass.

use steadypull_engine::plan::{BodyShape, Guarded, ScreenGuard};
use steadypull_engine::units::{Angle, Energy, Length};

use super::defaults::{self, carried_over};
use super::limits;
use super::section::Section;
use super::value::{Fault, Text};
use super::words::{Bonnet, Words};
use crate::show::Units;

/// The shape of a vehicle: the heights of its glass and roof from its own table,
/// the rest from the table `body` in it.
pub(super) fn shape(vehicle: &Section) -> Option<BodyShape> {
    let screen = vehicle.key("screen_height").within(&limits::SCREEN_HEIGHT);
    let screen = screen.or(defaults::SCREEN_HEIGHT.0, defaults::SCREEN_HEIGHT.1);
    let roof = vehicle.key("roof_height").within(&limits::ROOF_HEIGHT);
    let roof = roof.or(defaults::ROOF_HEIGHT.0, defaults::ROOF_HEIGHT.1);
    let body = vehicle.table("body");
    let (Some(screen), Some(roof)) = (screen, roof) else {
        read(&body, &BodyShape::wagon());
        return None;
    };
    if roof <= screen {
        let fault = Fault::new("is not above screen_height".into());
        vehicle.note(
            "roof_height",
            fault.expecting("a roof above the windscreen's lower edge"),
        );
        read(&body, &BodyShape::wagon());
        return None;
    }
    let usual = usual(screen, roof);
    if !body.is_read() {
        if !vehicle.has("body") {
            vehicle.assume("body", &written(&usual), defaults::BODY_REASON);
        }
        return Some(usual);
    }
    in_order(&body, read(&body, &usual)?)
}

/// A wagon with this screen and roof: no other height may contradict them.
fn usual(screen_height: Length, roof_height: Length) -> BodyShape {
    let wagon = BodyShape::wagon();
    let bonnet_height = wagon.bonnet_height.min(screen_height);
    let tailgate_height = wagon.tailgate_height.min(roof_height * 0.6);
    let lower = bonnet_height.min(tailgate_height);
    BodyShape {
        underside_height: wagon.underside_height.min(lower * 0.5),
        bonnet_height,
        tailgate_height,
        screen_height,
        roof_height,
        ..wagon
    }
}

/// The same as it would be written in the plan.
fn written(shape: &BodyShape) -> String {
    let m = |length: Length| carried_over(length.get(), "m");
    let deg = |angle: Angle| carried_over(angle.to_deg(), "deg");
    format!(
        "{{ underside_height = \"{}\", bonnet_height = \"{}\", bonnet_length = \"{}\", bonnet = \"shut\", screen_slope = \"{}\", tailgate_height = \"{}\", rear_screen_slope = \"{}\", length = \"{}\", width = \"{}\" }}",
        m(shape.underside_height),
        m(shape.bonnet_height),
        m(shape.bonnet_length),
        deg(shape.screen_slope),
        m(shape.tailgate_height),
        deg(shape.rear_screen_slope),
        m(shape.length),
        m(shape.width),
    )
}

fn read(body: &Section, usual: &BodyShape) -> Option<BodyShape> {
    let length = |key: &'static str, limit, value: Length| {
        body.key::<Length>(key)
            .within(limit)
            .or(&carried_over(value.get(), "m"), defaults::WAGON)
    };
    let angle = |key: &'static str, value: Angle| {
        body.key::<Angle>(key)
            .within(&limits::GLASS_SLOPE)
            .or(&carried_over(value.to_deg(), "deg"), defaults::WAGON)
    };
    let edge = &limits::BODY_EDGE;
    let underside_height = length("underside_height", edge, usual.underside_height);
    let bonnet_height = length("bonnet_height", edge, usual.bonnet_height);
    let bonnet_length = length("bonnet_length", &limits::BONNET_LENGTH, usual.bonnet_length);
    let bonnet = body
        .key::<Bonnet>("bonnet")
        .or(Bonnet::Shut.word(), defaults::BONNET_REASON);
    let raised = bonnet == Some(Bonnet::Raised);
    let raised_to = raised_key(body, raised, "raised_to", |key| {
        let key = body.key::<Angle>(key).within(&limits::RAISED_TO);
        key.or(defaults::RAISED_TO.0, defaults::RAISED_TO.1)
    });
    let sheet = raised_key(body, raised, "bonnet_sheet", |key| {
        let key = body.key::<Length>(key).within(&limits::BONNET_SHEET);
        key.or(defaults::BONNET_SHEET.0, defaults::BONNET_SHEET.1)
    });
    let screen_slope = angle("screen_slope", usual.screen_slope);
    let tailgate_height = length("tailgate_height", edge, usual.tailgate_height);
    let rear_screen_slope = angle("rear_screen_slope", usual.rear_screen_slope);
    let whole = length("length", &limits::VEHICLE_LENGTH, usual.length);
    let width = length("width", &limits::VEHICLE_WIDTH, usual.width);
    let screen_guard = guard(body);
    body.close();
    Some(BodyShape {
        underside_height: underside_height?,
        bonnet_height: bonnet_height?,
        bonnet_length: bonnet_length?,
        screen_height: usual.screen_height,
        screen_slope: screen_slope?,
        tailgate_height: tailgate_height?,
        rear_screen_slope: rear_screen_slope?,
        roof_height: usual.roof_height,
        length: whole?,
        width: width?,
        bonnet_raised: bonnet.and(raised_to?),
        bonnet_sheet: sheet?.unwrap_or(usual.bonnet_sheet),
        screen_guard: screen_guard?,
    })
}

/// A key that only a raised bonnet has.
fn raised_key<T>(
    body: &Section,
    raised: bool,
    key: &'static str,
    read: impl FnOnce(&'static str) -> Option<T>,
) -> Option<Option<T>> {
    if raised {
        return read(key).map(Some);
    }
    if body.has(key) {
        let fault = Fault::new("is about a raised bonnet".into());
        body.note(
            key,
            fault.hinting("write bonnet = \"raised\", or leave it out"),
        );
        return None;
    }
    Some(None)
}

fn guard(body: &Section) -> Option<Option<ScreenGuard>> {
    let guard = body.table("screen_guard");
    if !body.has("screen_guard") {
        return Some(None);
    }
    let what = guard.key::<Text>("what").need();
    let over = guard.key::<Guarded>("over").need();
    let rated_energy = guard
        .key::<Energy>("rated_energy")
        .within(&limits::GUARD_ENERGY)
        .maybe();
    guard.close();
    Some(Some(ScreenGuard {
        what: what?.0,
        rated_energy: rated_energy?,
        over: over?,
    }))
}

/// Refuses edges that are out of order, at the key that the plan gives.
fn in_order(body: &Section, shape: BodyShape) -> Option<BodyShape> {
    let wrong = |key: &'static str, than: &str| {
        let fault = Fault::new(format!("is {than}"));
        body.note(
            key,
            fault.expecting(
                "underside_height below bonnet_height and tailgate_height, bonnet_height no higher than screen_height, tailgate_height below roof_height",
            ),
        );
    };
    if shape.bonnet_height > shape.screen_height {
        wrong("bonnet_height", "above the windscreen's lower edge");
    } else if shape.tailgate_height >= shape.roof_height {
        wrong("tailgate_height", "not below the roof");
    } else if shape.underside_height >= shape.bonnet_height.min(shape.tailgate_height) {
        wrong("underside_height", "not below the bonnet and the tailgate");
    } else if shape.bonnet_length >= shape.length {
        wrong("bonnet_length", "not shorter than the vehicle");
    } else {
        return Some(shape);
    }
    None
}

/// What the plan says of the outside of a vehicle, for the brief; nothing of a
/// plain wagon.
pub(super) fn lines(which: &str, shape: &BodyShape, units: Units) -> Vec<String> {
    let m = |length: Length| units.length(length.get());
    let mut lines = Vec::new();
    if *shape != usual(shape.screen_height, shape.roof_height) {
        lines.push(format!(
            "{which} from {} up, bonnet at {} for {}, tailgate to {}, {} long and {} wide",
            m(shape.underside_height),
            m(shape.bonnet_height),
            m(shape.bonnet_length),
            m(shape.tailgate_height),
            m(shape.length),
            m(shape.width)
        ));
    }
    if let Some(raised) = shape.bonnet_raised {
        lines.push(format!(
            "{which} bonnet raised to {:.0} deg",
            raised.to_deg()
        ));
    }
    if let Some(guard) = &shape.screen_guard {
        let rated = match guard.rated_energy {
            Some(energy) => format!("rated {}", units.energy(energy.get())),
            None => "without a rating".into(),
        };
        let over = guard.over.word();
        lines.push(format!("{which} {over} guard: {}, {rated}", guard.what));
    }
    lines
}
