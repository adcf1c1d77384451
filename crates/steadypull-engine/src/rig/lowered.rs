//! The load path of a lowering: what carries the vehicle, and the belay beside it.
//!
//! The parts that the lowering names, from the vehicle to the anchor; where the rig is
//! laid out on the ground too, the parts that it names there, with their reductions and
//! shares. The belay's parts come last and carry nothing as long as the main line holds.

use super::laid_out::laid_out_path;
use super::links::{Link, LinkKind, Side, anchor_link, block_link, line_link, shackle_link};
use super::path::{LoadPath, PathError, vehicle_link};
use crate::chance::{LogNormal, normal_quantile};
use crate::gear::anchor::TAIL;
use crate::plan::{LineAnchor, Lowering, Method, Part, Plan};
use crate::pull::lowering::anchor_hold::{TUG, hold_in_kit};
use crate::units::Force;

/// The load path of `lowering`; `at_holder` is the tension at the holder over that at
/// the vehicle.
pub fn lowered_path(
    plan: &Plan,
    lowering: &Lowering,
    at_holder: f64,
) -> Result<LoadPath, PathError> {
    let rig = plan.rig.as_ref().filter(|rig| rig.method == Method::Lower);
    let mut path = match rig.filter(|rig| rig.layout.is_some()) {
        Some(rig) => laid_out_path(plan, rig)?,
        None => LoadPath::without_parts(Method::Lower),
    };
    let main = &lowering.main;
    let mut parts = vec![point_link(plan, &main.point)];
    parts.extend(main.through.iter().map(|name| through(plan, name)));
    parts.push(line(plan, &main.line));
    parts.push(line_anchor(plan, &main.anchor, at_holder));
    if let Some(belay) = &lowering.belay {
        let beside = [
            point_link(plan, &belay.point),
            line(plan, &belay.line),
            line_anchor(plan, &belay.anchor, 1.0),
        ];
        parts.extend(
            beside
                .into_iter()
                .flatten()
                .map(|link| Some(unloaded(link))),
        );
    }
    for link in parts.into_iter().flatten() {
        if path.links.iter().all(|known| known.name != link.name) {
            path.links.push(link);
        }
    }
    let names = [Some(&main.line), lowering.belay.as_ref().map(|b| &b.line)];
    for name in names.into_iter().flatten() {
        if let Some(Part::Line(line)) = plan.kit.part(name)
            && path.lines.iter().all(|known| known.name != line.name)
        {
            path.lines.push(line.clone());
        }
    }
    Ok(path)
}

fn unloaded(link: Link) -> Link {
    Link {
        load_share: 0.0,
        ..link
    }
}

fn point_link(plan: &Plan, name: &str) -> Option<Link> {
    let short = name.strip_prefix("casualty.").unwrap_or(name);
    vehicle_link(plan, &format!("casualty.{short}"), 1.0)
}

fn line(plan: &Plan, name: &str) -> Option<Link> {
    match plan.kit.part(name) {
        Some(Part::Line(found)) => Some(line_link(found, Side::Between)),
        _ => None,
    }
}

/// A shackle, or a redirect with both parts of the line side by side.
fn through(plan: &Plan, name: &str) -> Option<Link> {
    match plan.kit.part(name)? {
        Part::Shackle(shackle) => Some(shackle_link(shackle, Side::Between)),
        Part::Block(block) => Some(block_link(block, Side::Between, 2.0)),
        Part::Line(_) | Part::Bridle(_) => None,
    }
}

/// What a line is held to; without a strength where nobody says what it holds.
fn line_anchor(plan: &Plan, anchor: &LineAnchor, share: f64) -> Option<Link> {
    let bare = |words: &str| Link {
        metal: false,
        load_share: share,
        ..Link::bare(&anchor.name, LinkKind::Anchor, words, Side::Tug)
    };
    if let Some((holds, spread)) = anchor.holds {
        let hold = LogNormal::new(holds.get(), spread);
        return Some(Link {
            mbs: Some(Force::new(hold.quantile(TAIL))),
            strength_spread: spread,
            ..bare("anchor, its hold as stated")
        });
    }
    if anchor.name == TUG {
        let (low, spread) = tug_as_anchor(plan);
        return Some(Link {
            mbs: Some(low),
            strength_spread: spread,
            gives_slowly: true,
            ..bare("the tug on its brakes")
        });
    }
    Some(match hold_in_kit(plan, &anchor.name) {
        Some((found, hold)) => Link {
            load_share: share,
            ..anchor_link(found, &hold, plan.units, Side::Tug)
        },
        None => bare("anchor"),
    })
}

/// The low figure of what the braked tug holds, which all but 5 % of draws of its grip
/// give, and the spread that joins it to the median.
fn tug_as_anchor(plan: &Plan) -> (Force, f64) {
    let tug = &plan.tug;
    let grip = LogNormal::new(tug.grip, tug.grip_spread);
    let (sin, cos) = (tug.slope_along.sin(), tug.slope_along.cos());
    let at = |p: f64| tug.vehicle.mass.weight() * (grip.quantile(p) * cos - sin).max(0.0);
    let (low, median) = (at(TAIL), at(0.5));
    if low.get() <= 0.0 {
        return (Force::ZERO, 0.0);
    }
    (low, libm::log(median / low) / -normal_quantile(TAIL))
}
