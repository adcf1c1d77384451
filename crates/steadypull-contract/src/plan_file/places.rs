//! Where vehicles stand: `at` and `facing`, for a rig laid out on the ground.

use core::ops::Range;

use steadypull_engine::plan::{Place, Pose};
use steadypull_engine::units::{Angle, Length};

use super::limits::{self, Limit};
use super::section::Section;
use super::value::Fault;

/// How a place is written.
const PLACE: &str = "two lengths in the plan's own frame, and a height if it matters, \
                     such as [\"12 m\", \"-3.5 m\"]";
/// How a direction is written.
const FACING: &str = "where its nose points, anticlockwise from +x seen from above, \
                      such as \"180 deg\"";

/// Reads both keys, so that they are known and a bad one is told; whether they
/// are needed is asked by [`needed_pose`].
pub(super) fn pose(vehicle: &Section) -> Option<()> {
    let at = place(vehicle);
    let facing = facing(vehicle);
    at?;
    facing.map(drop)
}

/// Where a vehicle of a rig laid out on the ground stands.
pub(super) fn needed_pose(vehicle: &Section) -> Option<Pose> {
    let (at, facing) = (place(vehicle)?, facing(vehicle)?);
    for (key, missing, expected) in [
        ("at", at.is_none(), PLACE),
        ("facing", facing.is_none(), FACING),
    ] {
        if missing && vehicle.is_present() && !vehicle.is_broken() {
            let fault = Fault::new(format!("{} is missing", vehicle.full(key)));
            let fault = fault
                .expecting(expected)
                .hinting("a rig laid out on the ground needs to know where each vehicle stands");
            vehicle.note_whole(vehicle.span_of(key), fault);
        }
    }
    Some(Pose {
        at: at?,
        facing: facing?,
    })
}

fn facing(vehicle: &Section) -> Option<Option<Angle>> {
    vehicle.key("facing").within(&limits::FACING).maybe()
}

/// The list `at` of a table: two or three lengths; `None` if it is bad.
pub(super) fn place(section: &Section) -> Option<Option<Place>> {
    section.list_items::<Length>("at");
    if !section.has("at") {
        return Some(None);
    }
    let items = section.items::<Length>("at", 3)?;
    let far: Vec<_> = items.iter().filter(|item| too_far(item)).collect();
    for (span, _) in &far {
        let Limit { text, why, .. } = limits::COORDINATE;
        let fault = Fault::new("is out of range".into()).expecting(text);
        section.note_at(span.clone(), "at", fault.hinting(why));
    }
    let lengths: Vec<Length> = items.iter().map(|(_, length)| *length).collect();
    let place = match lengths[..] {
        [x, y] => Place {
            x,
            y,
            z: Length::ZERO,
        },
        [x, y, z] => Place { x, y, z },
        _ => {
            let fault = Fault::new(format!("has {} of its coordinates", lengths.len()));
            section.note("at", fault.expecting(PLACE));
            return None;
        }
    };
    far.is_empty().then_some(Some(place))
}

fn too_far((_, length): &(Range<usize>, Length)) -> bool {
    !(limits::COORDINATE.low..=limits::COORDINATE.high).contains(length)
}
