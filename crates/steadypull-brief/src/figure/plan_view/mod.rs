//! The plan view: vehicles, line, dampers and zones from above, to scale.
//!
//! The sheet's right is the contract's +x and its top is +y. A straight rig is
//! one drawing with its distances; a rig laid out on the ground is two, itself
//! with its tensions and then the zone round it, each to its own scale.

pub(super) mod chance_zone;
mod danger;
mod distances;
mod ground;
mod key;
mod labels;
mod laid_out;
mod marks;
mod naming;
mod room;
mod shapes;
mod zone_panel;

use steadypull_contract::answer::{Answer, Standoff};

use super::{Drawing, Figure, Frame};
use crate::BriefError;
use crate::canvas::Canvas;
use distances::dimensions;
use ground::ground;
use key::{key, places};
use shapes::{draw_outline, vehicle_labels, warning, zones};

/// Draws the plan.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    if !answer.pulls() && answer.rig.is_none() {
        return Err(Figure::PlanView.nothing("nothing is pulled; see the figure of the lowering"));
    }
    if let Some(rig) = &answer.rig {
        return laid_out::draw(rig, &answer.standoff, frame);
    }
    let standoff = &answer.standoff;
    let s = frame.size;
    let ground = ground(standoff, frame)
        .ok_or_else(|| Figure::PlanView.nothing("the answer has no zone and no outlines"))?;
    let mut canvas = Canvas::new();
    zones(&mut canvas, standoff, &ground, s);
    for outline in &standoff.outlines {
        draw_outline(&mut canvas, outline, &ground, s);
    }
    vehicle_labels(&mut canvas, standoff, &ground, frame);
    warning(&mut canvas, standoff, &ground, frame);
    let mut y = dimensions(&mut canvas, standoff, &ground, frame);
    y = key(&mut canvas, standoff, &ground, y, frame);
    if frame.notes {
        y = places(&mut canvas, standoff, y, frame);
    }
    Ok(Drawing {
        height: y + s * 0.3,
        body: canvas.into_body(),
        words: words(standoff, frame),
    })
}

fn words(standoff: &Standoff, frame: Frame) -> String {
    let length = |m| frame.units.length(m);
    format!(
        "Seen from above, to scale. Nobody inside the zone while the line is loaded: {} behind the casualty, {} behind the tug, {} to each side of the line. The rule distance is {}.",
        length(standoff.behind_casualty_m),
        length(standoff.behind_tug_m),
        length(standoff.beside_m),
        length(standoff.rule_m)
    )
}
