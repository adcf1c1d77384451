//! `[casualty]` and `[tug]`.

use steadypull_engine::plan::{
    Casualty, DrivenWheels, Hold, RecoveryPoint, Soil, Sunk, Surface, Tug, Vehicle,
};
use steadypull_engine::units::Mass;

use super::body::shape;
use super::defaults::{self, carried_over, written};
use super::limits;
use super::names::Names;
use super::places;
use super::points::points;
use super::section::{A_PLAN, Section};
use super::value::{Fault, Text};
use super::winch::winch;
use super::words::DepthClass;

pub(super) fn casualty(file: &Section) -> Option<Casualty> {
    let section = file.needed_table(
        "casualty",
        "the stuck vehicle: at least mass and sits_in",
        A_PLAN,
    );
    let vehicle = vehicle(&section, "Casualty");
    let sunk = sunk(&section);
    let soil = section.key::<Soil>("sits_in").need();
    let stuck_for = section.key("stuck_for").within(&limits::STUCK_FOR);
    let stuck_for = stuck_for.or(defaults::STUCK_FOR.0, defaults::STUCK_FOR.1);
    let contact_area = section
        .key("contact_area")
        .within(&limits::CONTACT_AREA)
        .maybe();
    let slope_along = section.key("slope_along").within(&limits::SLOPE);
    let slope_along = slope_along.or(defaults::SLOPE.0, defaults::SLOPE.1);
    let slope_across = section.key("slope_across").within(&limits::SLOPE_ACROSS);
    let slope_across = slope_across.or(defaults::SLOPE.0, defaults::SLOPE.1);
    let held_by = held_by(&section);
    let locked_wheels = section.key("locked_wheels").within(&limits::LOCKED_WHEELS);
    let locked_wheels = locked_wheels.or(defaults::LOCKED_WHEELS.0, defaults::LOCKED_WHEELS.1);
    let yes_no = |key, (text, reason): defaults::Default| section.key::<bool>(key).or(text, reason);
    let own_drive = yes_no("own_drive", defaults::OWN_DRIVE);
    let back_along_tracks = yes_no("back_along_tracks", defaults::BACK_ALONG_TRACKS);
    let overturned = yes_no("overturned", defaults::OVERTURNED);
    let free_after = section.key("free_after").within(&limits::FREE_AFTER);
    let free_after = free_after.or(defaults::FREE_AFTER.0, defaults::FREE_AFTER.1);
    section.close();
    Some(Casualty {
        vehicle: vehicle?,
        sunk: sunk?,
        soil: soil?,
        stuck_for: stuck_for?,
        contact_area: contact_area?,
        slope_along: slope_along?.0,
        slope_across: slope_across?.0,
        held_by: held_by?,
        locked_wheels: locked_wheels?,
        own_drive: own_drive?,
        back_along_tracks: back_along_tracks?,
        overturned: overturned?,
        free_after: free_after?,
    })
}

/// Depth by class or by measure, never both.
fn sunk(section: &Section) -> Option<Option<Sunk>> {
    let class = section.key::<DepthClass>("sunk_to").maybe();
    let measured = section.key("depth").within(&limits::DEPTH).maybe();
    // A depth set for this reading stands in place of the class.
    let class = class.map(|class| class.filter(|_| !section.replaces("depth")));
    if section.has("sunk_to") && section.has("depth") && !section.replaces("depth") {
        let fault = Fault::new("and sunk_to are both given".into());
        section.note(
            "depth",
            fault.hinting("choose one: the class, or the depth as measured"),
        );
        return None;
    }
    let (class, measured) = (class?, measured?);
    if class.is_none() && measured.is_none() {
        section.assume("depth", defaults::DEPTH.0, defaults::DEPTH.1);
    }
    let is_sunk = class.is_some() || measured.is_some_and(|d| d.get() > 0.0);
    let heights = heights(section, is_sunk)?.filter(|_| is_sunk);
    let depth = match (class, &heights) {
        (Some(DepthClass::Wheel), Some(heights)) => heights.hub_height,
        (Some(DepthClass::Guard), Some(heights)) => heights.guard_height,
        (Some(DepthClass::Body), Some(heights)) => heights.body_height,
        _ => measured.unwrap_or_default(),
    };
    let depth = section.key("depth").within(&limits::DEPTH).varied(depth)?;
    Some(heights.map(|heights| Sunk { depth, ..heights }))
}

/// The heights that depth is judged by; only filled in where they matter.
fn heights(section: &Section, is_sunk: bool) -> Option<Option<Sunk>> {
    let height = |key: &'static str, (text, reason): defaults::Default| {
        let key = section.key(key).within(&limits::WHEEL_HEIGHT);
        if is_sunk {
            key.or(text, reason).map(Some)
        } else {
            key.maybe()
        }
    };
    let hub = height("hub_height", defaults::HUB_HEIGHT);
    let guard = height("guard_height", defaults::GUARD_HEIGHT);
    let body = height("body_height", defaults::BODY_HEIGHT);
    let (Some(hub_height), Some(guard_height), Some(body_height)) = (hub?, guard?, body?) else {
        return Some(None);
    };
    if !(hub_height < guard_height && guard_height < body_height) {
        let fault = Fault::new("is out of order".into());
        let order = "hub_height below guard_height below body_height";
        let key = ["guard_height", "hub_height", "body_height"]
            .into_iter()
            .find(|k| section.has(k));
        section.note(key.unwrap_or("guard_height"), fault.expecting(order));
        return None;
    }
    Some(Some(Sunk {
        depth: hub_height,
        hub_height,
        guard_height,
        body_height,
    }))
}

fn held_by(section: &Section) -> Option<Option<Hold>> {
    let hold = section.table("held_by");
    if !section.has("held_by") {
        return Some(None);
    }
    let what = hold.key::<Text>("what").need();
    let yields_at = hold.key("yields_at").within(&limits::HOLD_FORCE).maybe();
    hold.close();
    Some(Some(Hold {
        what: what?.0,
        yields_at: yields_at?,
    }))
}

pub(super) fn tug(file: &Section, names: &Names) -> Option<Tug> {
    let section = file.needed_table(
        "tug",
        "the recovering vehicle: at least mass and surface",
        A_PLAN,
    );
    let vehicle = vehicle(&section, "Tug");
    let mass = vehicle.as_ref().map(|v| v.mass);
    let surface = section.key::<Surface>("surface").need();
    let facts = surface.map(defaults::surface_facts);
    let by_surface = |pick: fn(&defaults::SurfaceFacts) -> defaults::Default| {
        facts
            .as_ref()
            .map(pick)
            .map(|(text, reason)| (text.into(), reason.into()))
    };
    let grip = section
        .key("grip")
        .within(&limits::GRIP)
        .or_else(|| by_surface(|f| f.grip));
    let spread = section.key("grip_spread").within(&limits::GRIP_SPREAD);
    let grip_spread = spread.or_else(|| by_surface(|f| f.spread));
    let rolling = section.key("rolling").within(&limits::ROLLING);
    let rolling = rolling.or_else(|| by_surface(|f| f.rolling));
    let slope_along = section.key("slope_along").within(&limits::SLOPE);
    let slope_along = slope_along.or(defaults::SLOPE.0, defaults::SLOPE.1);
    let power = section
        .key("power")
        .within(&limits::POWER)
        .or_else(|| power_by_mass(mass?));
    let max_drive = section.key("max_drive").within(&limits::MAX_DRIVE);
    let max_drive = max_drive.or_else(|| max_drive_by_mass(mass?));
    let holds_drive = section.key("holds_drive");
    let holds_drive = holds_drive.or(defaults::HOLDS_DRIVE.0, defaults::HOLDS_DRIVE.1);
    let winch = winch(&section, names);
    section.close();
    Some(Tug {
        vehicle: vehicle?,
        surface: surface?,
        grip: grip?,
        grip_spread: grip_spread?,
        rolling: rolling?,
        slope_along: slope_along?.0,
        power: power?,
        max_drive: max_drive?,
        holds_drive: holds_drive?,
        winch: winch?,
    })
}

fn power_by_mass(mass: Mass) -> Option<(String, String)> {
    let text = written((35.0 * mass.to_t()).round(), "kW");
    Some((text, defaults::POWER_REASON.into()))
}

fn max_drive_by_mass(mass: Mass) -> Option<(String, String)> {
    let text = written(0.9 * mass.weight().to_kn(), "kN");
    Some((text, defaults::MAX_DRIVE_REASON.into()))
}

/// What both vehicles have.
fn vehicle(section: &Section, called: &str) -> Option<Vehicle> {
    let name = section
        .key::<Text>("name")
        .or(called, "assumed: the file gives no name");
    let mass = section.key("mass").within(&limits::VEHICLE_MASS).need();
    let gross_mass = section
        .key("gross_mass")
        .within(&limits::VEHICLE_MASS)
        .or_else(|| {
            Some((
                carried_over(mass?.get(), "kg"),
                defaults::GROSS_MASS_REASON.into(),
            ))
        });
    let driven = section
        .key::<DrivenWheels>("driven")
        .or(defaults::DRIVEN.0, defaults::DRIVEN.1);
    let road = section
        .key("road_tyre_pressure")
        .within(&limits::TYRE_PRESSURE);
    let road_tyre_pressure = road.or(defaults::ROAD_PRESSURE.0, defaults::ROAD_PRESSURE.1);
    let tyre_pressure = section
        .key("tyre_pressure")
        .within(&limits::TYRE_PRESSURE)
        .or_else(|| {
            let text = carried_over(road_tyre_pressure?.to_kpa(), "kPa");
            Some((text, defaults::TYRE_PRESSURE_REASON.into()))
        });
    let recovery_points: Option<Vec<RecoveryPoint>> = points(section);
    let shape = shape(section);
    let pose = places::pose(section);
    pose?;
    Some(Vehicle {
        name: name?.0,
        mass: mass?,
        gross_mass: gross_mass?,
        driven: driven?,
        tyre_pressure: tyre_pressure?,
        road_tyre_pressure: road_tyre_pressure?,
        recovery_points: recovery_points?,
        shape: shape?,
    })
}
