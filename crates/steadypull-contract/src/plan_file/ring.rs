//! `[ring.NAME]`: a ring that a line slips round, or that lines meet at.

use core::f64::consts::PI;

use steadypull_engine::gear::block::capstan_ratio;
use steadypull_engine::plan::Block;
use steadypull_engine::units::{Angle, Force};

use super::defaults::{self, carried_over};
use super::limits;
use super::points::mbs_below_wll;
use super::section::Section;

pub(super) fn ring(name: String, section: &Section) -> Option<Block> {
    let wll = section
        .key::<Force>("wll")
        .within(&limits::SHACKLE_MBS)
        .need();
    let mbs = section.key::<Force>("mbs").within(&limits::SHACKLE_MBS);
    let mbs = mbs.or_else(|| {
        let mbs = wll? * defaults::BLOCK_FACTOR;
        Some((
            carried_over(mbs.to_tf(), "t"),
            defaults::BLOCK_MBS_REASON.into(),
        ))
    });
    let friction = section.key("friction").within(&limits::RING_FRICTION);
    let friction = friction.or(defaults::RING_FRICTION.0, defaults::RING_FRICTION.1);
    let bend = section.key("bend_diameter").within(&limits::SHEAVE);
    let bend = bend.or(defaults::RING_BEND.0, defaults::RING_BEND.1);
    let mass = section.key("mass").within(&limits::PART_MASS);
    let mass = mass.or(defaults::RING_MASS.0, defaults::RING_MASS.1);
    section.close();
    let (wll, mbs, friction) = (wll?, mbs?, friction?);
    if mbs <= wll {
        section.note("mbs", mbs_below_wll());
        return None;
    }
    Some(Block {
        name,
        wll,
        mbs,
        // In a straight path the line turns back on itself.
        efficiency: 1.0 / capstan_ratio(friction, Angle::new(PI)),
        ring_friction: Some(friction),
        sheave_diameter: bend?,
        mass: mass?,
    })
}
