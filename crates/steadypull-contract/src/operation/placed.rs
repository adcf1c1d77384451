//! Where vehicles stand so that a straight rig lies on the ground as it was planned.
//!
//! The casualty stands at the origin unless the plan says where, the end that its line
//! leaves from towards +x; the tug stands along that line, as far off as the line reaches
//! with its hardware, less what has to stay on a drum. The recovery points lie in line, so
//! that the pull and with it every load stays what it was; where they lie at unlike heights
//! the line rises by that, which a straight path leaves out.

use serde_json::{Value, json};
use steadypull_engine::plan::{Line, Part, Plan, RecoveryPoint, Rig, Vehicle};
use steadypull_engine::pull::winch::drum::Drum;
use steadypull_engine::rig::lay_out::SHACKLE_LENGTH;

use steadypull_engine::units::Angle;

use super::Edit;
use super::rigging::set;
use crate::plan_file::{PlanText, variables};

/// An end of the path as it lies at its vehicle.
#[derive(Clone, Copy)]
struct End {
    forward_m: f64,
    offset_m: f64,
    /// How far a bridle's apex stands off its points.
    reach_m: f64,
}

/// A place on the ground and a way to face.
#[derive(Clone, Copy)]
struct Pose {
    x_m: f64,
    y_m: f64,
    facing_deg: f64,
}

impl Pose {
    /// Where something `forward` and `offset` of the vehicle's middle lies.
    fn place(self, forward_m: f64, offset_m: f64) -> (f64, f64) {
        let (sin, cos) = turned(self.facing_deg);
        (
            self.x_m + cos * forward_m - sin * offset_m,
            self.y_m + sin * forward_m + cos * offset_m,
        )
    }
}

/// Sine and cosine, exact at whole right angles.
fn turned(deg: f64) -> (f64, f64) {
    match deg.rem_euclid(360.0) {
        0.0 => (0.0, 1.0),
        180.0 => (0.0, -1.0),
        other => (Angle::from_deg(other).sin(), Angle::from_deg(other).cos()),
    }
}

/// Edits that lay the straight rig of a plan out on the ground, or why not.
pub(super) fn laid(text: PlanText, plan: &Plan, rig: &Rig) -> Result<Vec<Edit>, String> {
    let [Some(first), Some(last)] = [rig.path.first(), rig.path.last()] else {
        return Err("the rig has no path".into());
    };
    let (here, there) = (end(plan, first)?, end(plan, last)?);
    let (runs, doubled) = runs(plan, rig)?;
    let given = |vehicle: &str| pose_of(text, vehicle);
    let mut edits = Vec::new();
    match (given("casualty"), given("tug")) {
        // Where they stand is said already.
        (Some(_), Some(_)) => {}
        (None, Some(_)) => {
            return Err(
                "the plan says where the tug stands, and not where the casualty does".into(),
            );
        }
        (known, None) => {
            let away = known.unwrap_or(Pose {
                x_m: 0.0,
                y_m: 0.0,
                facing_deg: if here.forward_m < 0.0 { 180.0 } else { 0.0 },
            });
            if known.is_none() {
                edits.extend(pose_edits("casualty", away));
            }
            let span = reach(plan, rig, doubled) + here.reach_m + there.reach_m;
            edits.extend(pose_edits("tug", opposite(away, here, there, span)));
        }
    }
    edits.push(set(&["rig", "path"], Value::Null));
    edits.extend(runs);
    Ok(edits)
}

/// Where the tug stands `span` off the casualty's end, in line with both.
fn opposite(casualty: Pose, here: End, there: End, span: f64) -> Pose {
    let way = |back: bool| if back { 180.0 } else { 0.0 };
    let heading = casualty.facing_deg + way(here.forward_m < 0.0);
    let (sin, cos) = turned(heading);
    let (x, y) = casualty.place(here.forward_m, here.offset_m);
    let (x, y) = (x + cos * span, y + sin * span);
    let facing_deg = (heading + way(there.forward_m >= 0.0)).rem_euclid(360.0);
    let middle = Pose {
        x_m: 0.0,
        y_m: 0.0,
        facing_deg,
    };
    let (dx, dy) = middle.place(there.forward_m, there.offset_m);
    Pose {
        x_m: x - dx,
        y_m: y - dy,
        facing_deg,
    }
}

fn pose_edits(vehicle: &str, pose: Pose) -> [Edit; 2] {
    // Millimetres are finer than anybody paces.
    let metres = |m: f64| {
        let mm = (m * 1e3).round() / 1e3;
        format!("{} m", if mm == 0.0 { 0.0 } else { mm })
    };
    let at = [metres(pose.x_m), metres(pose.y_m)];
    [
        set(&[vehicle, "at"], json!(at)),
        set(
            &[vehicle, "facing"],
            json!(format!("{} deg", pose.facing_deg)),
        ),
    ]
}

/// Where the plan says that a vehicle stands, if it does.
fn pose_of(text: PlanText, vehicle: &str) -> Option<Pose> {
    let known = variables(text).ok()?;
    let value = |key: &str| {
        let key = format!("{vehicle}.{key}");
        known
            .iter()
            .find(|v| v.given && v.key == key)
            .map(|v| v.value)
    };
    Some(Pose {
        x_m: value("at.1")?,
        y_m: value("at.2")?,
        facing_deg: Angle::new(value("facing")?).to_deg(),
    })
}

fn end(plan: &Plan, name: &str) -> Result<End, String> {
    if let Some(Part::Bridle(bridle)) = plan.kit.part(name) {
        let ends = [0, 1].map(|i| point(plan, &bridle.points[i]));
        let [Some(a), Some(b)] = ends else {
            return Err(format!("bridle {name} spans points that are not described"));
        };
        let (half, leg) = (0.5 * bridle.span.get(), 0.5 * bridle.line.length.get());
        return Ok(End {
            forward_m: 0.5 * (a.forward.get() + b.forward.get()),
            offset_m: 0.5 * (a.offset.get() + b.offset.get()),
            reach_m: (leg * leg - half * half).max(0.0).sqrt(),
        });
    }
    if let ("tug.winch", Some(winch)) = (name, &plan.tug.winch) {
        return Ok(End {
            forward_m: winch.forward.get(),
            offset_m: 0.0,
            reach_m: 0.0,
        });
    }
    let point = point(plan, name).ok_or_else(|| format!("{name} is no recovery point"))?;
    Ok(End {
        forward_m: point.forward.get(),
        offset_m: point.offset.get(),
        reach_m: 0.0,
    })
}

fn point<'p>(plan: &'p Plan, name: &str) -> Option<&'p RecoveryPoint> {
    let (owner, point) = name.split_once('.')?;
    let vehicle: &Vehicle = match owner {
        "casualty" => &plan.casualty.vehicle,
        "tug" => &plan.tug.vehicle,
        _ => return None,
    };
    vehicle.recovery_points.iter().find(|p| p.name == point)
}

fn lines<'p>(plan: &'p Plan, rig: &'p Rig) -> impl Iterator<Item = &'p Line> {
    rig.path
        .iter()
        .filter_map(|name| match plan.kit.part(name) {
            Some(Part::Line(line)) => Some(line),
            _ => None,
        })
}

/// How far apart the ends of the path lie with its line out.
fn reach(plan: &Plan, rig: &Rig, doubled: bool) -> f64 {
    let out: f64 = lines(plan, rig).map(|line| line.length.get()).sum();
    let hardware = rig
        .path
        .iter()
        .filter(|name| matches!(plan.kit.part(name), Some(Part::Shackle(_))));
    let hardware = hardware.count() as f64 * SHACKLE_LENGTH.get();
    let winch = plan.tug.winch.as_ref();
    let winch = winch.filter(|_| rig.path.last().is_some_and(|end| end == "tug.winch"));
    let kept = winch.and_then(|winch| {
        let Some(Part::Line(line)) = plan.kit.part(&winch.line) else {
            return None;
        };
        let wraps = Drum::of(winch, line).length_of_wraps(u32::from(winch.least_wraps));
        // A hand's breadth more, so that a rounded place still leaves the wraps.
        Some(wraps.get() + 0.1)
    });
    let out = out - kept.unwrap_or(0.0);
    let parts = if doubled { 2.0 } else { 1.0 };
    ((out / parts + hardware) * 100.0).floor() / 100.0
}

/// The runs, and whether the line goes out and back.
fn runs(plan: &Plan, rig: &Rig) -> Result<(Vec<Edit>, bool), String> {
    let is_block = |name: &String| matches!(plan.kit.part(name), Some(Part::Block(_)));
    let Some(block) = rig.path.iter().position(is_block) else {
        return Ok((
            vec![set(&["rig", "run", "main", "path"], json!(rig.path))],
            false,
        ));
    };
    let dead = dead_end(plan, rig)?;
    let main = dead
        .into_iter()
        .chain(rig.path[block + 1..].iter().cloned());
    // The line goes round the block between its dead end and the winch.
    let mut main: Vec<String> = main.collect();
    let line = main
        .iter()
        .position(|name| matches!(plan.kit.part(name), Some(Part::Line(_))));
    let line = line.ok_or("no line goes round the block")?;
    main.insert(line + 1, rig.path[block].clone());
    let moving: Vec<&String> = rig.path[..=block].iter().rev().collect();
    let edits = vec![
        set(&["rig", "run", "main", "path"], json!(main)),
        set(&["rig", "run", "moving", "path"], json!(moving)),
    ];
    Ok((edits, true))
}

/// What the end of a double line is made fast to at the tug: the strongest rated point at
/// the winch's end, by the strongest shackle left over.
fn dead_end(plan: &Plan, rig: &Rig) -> Result<Vec<String>, String> {
    let missing = "a double line needs a rated recovery point beside the winch for its dead end";
    let winch = plan.tug.winch.as_ref().ok_or(missing)?;
    let rated = |point: &&RecoveryPoint| {
        let same_end = (point.forward.get() < 0.0) == (winch.forward.get() < 0.0);
        same_end && (point.wll.is_some() || point.mbs.is_some())
    };
    let strength = |point: &RecoveryPoint| {
        let by_mbs = point.mbs.map_or(0.0, |mbs| 0.5 * mbs.get());
        point.wll.map_or(by_mbs, |wll| wll.get())
    };
    let points = plan.tug.vehicle.recovery_points.iter().filter(rated);
    let point = points.max_by(|a, b| strength(a).total_cmp(&strength(b)));
    let point = point.ok_or(missing)?;
    let spare = plan.kit.parts.iter().filter_map(|part| match part {
        Part::Shackle(shackle) if !rig.path.contains(&shackle.name) => Some(shackle),
        _ => None,
    });
    let shackle = spare.max_by(|a, b| a.mbs.get().total_cmp(&b.mbs.get()));
    let shackle = shackle.ok_or("a double line needs one more shackle for its dead end")?;
    Ok(vec![format!("tug.{}", point.name), shackle.name.clone()])
}
