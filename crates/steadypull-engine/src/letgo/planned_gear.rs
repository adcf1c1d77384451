//! The dampers and tethers of the plan, put on the side of a break that flies.

use super::sides::Cut;
use super::{DamperOnLine, Setup, TetherToLine};
use crate::plan::{Plan, Tether};
use crate::rig::{LoadPath, Side};
use crate::units::Length;

/// Distance at which flying hardware runs into a damper, m.
pub(super) const CONTACT_M: f64 = 0.15;

/// The dampers planned, where they hang on the side that flies. One within reach of
/// the break is on neither side: nobody knows which keeps it. One within reach of
/// the far vehicle stays there.
///
/// `whole` is the length of line between the vehicles, in which their places count.
pub(super) fn with_dampers(
    plan: &Plan,
    whole: Length,
    bare: &Setup,
    flies_to: Side,
) -> (Setup, Vec<String>) {
    let own = bare.rest_length();
    let mut setup = bare.clone();
    let mut names = Vec::new();
    for damper in &plan.kit.dampers {
        let from_far = match flies_to {
            Side::Tug => whole * (1.0 - damper.place),
            _ => whole * damper.place,
        };
        let from_free_end = own - from_far;
        if from_free_end.get() > CONTACT_M && from_far.get() > CONTACT_M {
            names.push(damper.name.clone());
            setup.dampers.push(on_line(damper, from_free_end));
        }
    }
    (setup, names)
}

/// Dampers and tethers of a break at an end of the path; of one between two lines
/// the dampers alone.
pub(super) fn with_gear_of(
    plan: &Plan,
    path: &LoadPath,
    bare: &Setup,
    cut: &Cut,
) -> (Setup, Vec<String>, Vec<String>) {
    if (bare.rest_length() / path.line_length() - 1.0).abs() < 1e-9 {
        let near = match cut.parted_from() {
            Side::Tug => path.links.last(),
            _ => path.links.first(),
        };
        let used = near.map_or("", |link| link.name.as_str());
        return with_gear(plan, bare, cut.parted_from(), used);
    }
    let (setup, dampers) = with_dampers(plan, path.line_length(), bare, cut.flies_to);
    (setup, dampers, Vec::new())
}

/// Where a tether's own recovery point lies in the coordinates of the run; none for
/// the point of the line.
fn anchor_of(
    plan: &Plan,
    setup: &Setup,
    tether: &Tether,
    (at, used): (Side, &str),
) -> Option<[f64; 3]> {
    let full = tether.point.as_ref()?;
    let (owner, short) = full.split_once('.')?;
    let vehicle = match owner {
        "tug" => &plan.tug.vehicle,
        _ => &plan.casualty.vehicle,
    };
    let points = &vehicle.recovery_points;
    let own = points.iter().find(|p| p.name == short)?;
    let used = used.split_once('.').map_or(used, |(_, short)| short);
    let used = points.iter().find(|p| p.name == used).or(points.first())?;
    let aside = own.offset.get() - used.offset.get();
    let behind = (own.forward.get() - used.forward.get()).abs();
    // Seen along the flight the other points of that vehicle lie behind the break; the
    // left of a vehicle is the left of the flight away from its nose.
    let left = if used.forward.get() < 0.0 {
        -aside
    } else {
        aside
    };
    let height = setup.free_height.get() + own.height.get() - used.height.get();
    let on = match (owner, at) {
        ("tug", Side::Tug) | ("casualty", Side::Casualty) => -behind,
        // A tether from the far vehicle holds from there.
        _ => setup.taut_length().get(),
    };
    Some([on, left, height.max(0.0)])
}

fn on_line(damper: &crate::plan::Damper, from_free_end: Length) -> DamperOnLine {
    DamperOnLine {
        mass: damper.mass,
        from_free_end,
        drag_area: damper.drag_area,
        slips_at: damper.slips_at,
        contact_radius: Length::new(CONTACT_M),
    }
}

/// With the dampers and the tethers planned at that end, where the line was made fast
/// to `used`.
pub(super) fn with_gear(
    plan: &Plan,
    bare: &Setup,
    at: Side,
    used: &str,
) -> (Setup, Vec<String>, Vec<String>) {
    let mut setup = bare.clone();
    let whole = setup.rest_length();
    for damper in &plan.kit.dampers {
        let share = if at == Side::Casualty {
            damper.place
        } else {
            1.0 - damper.place
        };
        setup.dampers.push(on_line(damper, whole * share));
    }
    let tethers: Vec<_> = plan
        .kit
        .tethers
        .iter()
        .filter(|t| t.at_casualty == (at == Side::Casualty))
        .collect();
    for tether in &tethers {
        setup.tethers.push(TetherToLine {
            anchor_m: anchor_of(plan, &setup, tether, (at, used)),
            exponent: tether.exponent,
            energy_return: tether.energy_return,
            ..TetherToLine::new(
                tether.length,
                tether.mbs,
                tether.strain_at_break,
                tether.mass,
            )
        });
    }
    let dampers = plan.kit.dampers.iter().map(|d| d.name.clone()).collect();
    (
        setup,
        dampers,
        tethers.iter().map(|t| t.name.clone()).collect(),
    )
}
