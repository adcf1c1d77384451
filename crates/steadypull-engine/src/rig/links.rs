//! A part of the plan as a link of the load path.

use super::derating::{hitch_factor, hitch_share, shackle_factors, side_factor, worse_angle};
use crate::gear::anchor::{Hold, words};
use crate::gear::{bridle, towing_eye};
use crate::line::strength_factors;
use crate::plan::{
    Anchor, AnchorKind, Block, Bridle, Line, PointKind, RecoveryPoint, Shackle, Vehicle, Winch,
};
use crate::show::Units;
use crate::units::{Angle, Force, Mass};

/// What a link is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinkKind {
    /// A point on a vehicle.
    RecoveryPoint,
    /// A shackle, hard or soft.
    Shackle,
    /// A line made to stretch.
    KineticLine,
    /// A low-stretch line.
    Line,
    /// A two-legged bridle.
    Bridle,
    /// A block or ring.
    Block,
    /// A winch.
    Winch,
    /// A ring that a line goes round.
    Ring,
    /// What the rig is made fast to besides the tug.
    Anchor,
}

/// Which vehicle a link is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// At the casualty.
    Casualty,
    /// Between the vehicles.
    Between,
    /// At the tug.
    Tug,
}

/// A reduction of a rating.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    /// What reduces it.
    pub what: String,
    /// What is left, 0 to 1.
    pub left: f64,
    /// Where the figure comes from.
    pub source: &'static str,
}

/// One link.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// Its name in the plan.
    pub name: String,
    /// What it is.
    pub kind: LinkKind,
    /// What it is, in words.
    pub words: String,
    /// Which vehicle it is at.
    pub side: Side,
    /// Working load limit as marked.
    pub wll: Option<Force>,
    /// Breaking strength as stated.
    pub mbs: Option<Force>,
    /// Reductions.
    pub factors: Vec<Factor>,
    /// Its load over the pull at the casualty.
    pub load_share: f64,
    /// Scatter of its strength, 1-sigma of the logarithm.
    pub strength_spread: f64,
    /// Mass that flies if it lets go.
    pub mass: Mass,
    /// Whether it is metal.
    pub metal: bool,
    /// Whether it gives way slowly, in sight of everybody: a vehicle that slides.
    pub gives_slowly: bool,
    /// Why it may never carry a recovery load, if so.
    pub refused: Option<String>,
    /// Angle between a bridle's legs, or the two lines of a block or ring.
    pub included: Option<Angle>,
    /// The run it belongs to, in a rig laid out on the ground.
    pub run: Option<String>,
    /// The node of the haul at which its branch joins; none on the haul itself.
    pub joins: Option<String>,
}

impl Link {
    /// A part of which nothing is known but what it is.
    pub(super) fn bare(name: &str, kind: LinkKind, words: &str, side: Side) -> Self {
        Self {
            name: name.to_string(),
            kind,
            words: words.to_string(),
            side,
            wll: None,
            mbs: None,
            factors: Vec::new(),
            load_share: 1.0,
            strength_spread: HARDWARE_SPREAD,
            mass: Mass::ZERO,
            metal: true,
            gives_slowly: false,
            refused: None,
            included: None,
            run: None,
            joins: None,
        }
    }

    /// What all reductions together leave.
    pub fn left(&self) -> f64 {
        self.factors.iter().map(|f| f.left).product()
    }

    /// Working load limit after reductions.
    pub fn derated_wll(&self) -> Option<Force> {
        self.wll.map(|wll| wll * self.left())
    }

    /// Breaking strength after reductions.
    pub fn derated_mbs(&self) -> Option<Force> {
        self.mbs.map(|mbs| mbs * self.left())
    }
}

/// Scatter of the strength of forged hardware and welded points (assumed).
const HARDWARE_SPREAD: f64 = 0.10;

/// A recovery point of `vehicle`, by its full name in the plan, pulled as the plan
/// says.
pub fn point(full_name: &str, point: &RecoveryPoint, vehicle: &Vehicle, side: Side) -> Link {
    point_at(full_name, point, vehicle.gross_mass, side, Angle::ZERO)
}

/// A recovery point in a rig laid out on the ground: pulled `side_angle` off the
/// direction in which it is strong, or what the plan says if that is more.
/// `gross_mass` is that of its vehicle, for a towing eye.
pub fn point_at(
    full_name: &str,
    point: &RecoveryPoint,
    gross_mass: Mass,
    side: Side,
    side_angle: Angle,
) -> Link {
    let (words, refused) = match point.kind {
        PointKind::Rated => ("rated recovery point", None),
        PointKind::ReceiverInsert => ("receiver with rated insert", None),
        PointKind::OpenReceiver => (
            "open receiver",
            Some(
                "an open receiver with a shackle or pin through its hole bends the pin and lets go",
            ),
        ),
        PointKind::TowBall => (
            "tow ball",
            Some("a tow ball is made for towing a trailer; it snaps off and flies"),
        ),
        PointKind::TieDownEye => (
            "tie-down eye",
            Some("a tie-down eye is made for transport lashings, not for a pull"),
        ),
        PointKind::TowingEye => ("factory towing eye", None),
        PointKind::Unrated => (
            "unrated point",
            Some("it has no rating: nothing can be said for it"),
        ),
    };
    let mut out = Link {
        wll: point.wll,
        mbs: point.mbs,
        mass: point.torn_off_mass,
        refused: refused.map(str::to_string),
        ..Link::bare(full_name, LinkKind::RecoveryPoint, words, side)
    };
    if point.kind == PointKind::TowingEye && out.wll.is_none() {
        out.wll = Some(towing_eye::proven_pull(gross_mass));
    }
    if out.refused.is_none() && out.wll.is_none() && out.mbs.is_none() {
        out.refused = Some("neither a working load limit nor a breaking strength is stated".into());
    }
    out.factors
        .extend(side_factor(worse_angle(side_angle, point.side_angle)));
    out
}

/// A shackle pulled as the plan says.
pub fn shackle_link(shackle: &Shackle, side: Side) -> Link {
    shackle_link_at(shackle, side, Angle::ZERO, None)
}

/// A shackle in a rig laid out on the ground: pulled `side_angle` out of line, or
/// what the plan says if that is more, with two legs `legs` apart in its bow.
pub fn shackle_link_at(
    shackle: &Shackle,
    side: Side,
    side_angle: Angle,
    legs: Option<Angle>,
) -> Link {
    use crate::plan::ShackleKind;
    let words = match shackle.kind {
        ShackleKind::Bow => "bow shackle",
        ShackleKind::Dee => "dee shackle",
        ShackleKind::Soft => "soft shackle",
    };
    let mut out = Link {
        wll: shackle.wll,
        mbs: Some(shackle.mbs),
        mass: shackle.mass,
        metal: shackle.kind.is_metal(),
        ..Link::bare(&shackle.name, LinkKind::Shackle, words, side)
    };
    (out.factors, out.refused) = shackle_factors(shackle, side_angle, legs);
    if shackle.kind.is_metal() && shackle.wll.is_none() {
        out.refused = Some(
            "a hard shackle with no working load limit marked is not for lifting or pulling".into(),
        );
    }
    out
}

/// A line.
pub fn line_link(line: &Line, side: Side) -> Link {
    let kind = if line.kinetic {
        LinkKind::KineticLine
    } else {
        LinkKind::Line
    };
    let words = format!(
        "{}{}",
        if line.kinetic {
            "kinetic line, "
        } else {
            "low-stretch line, "
        },
        line.material.word().replace('-', " ")
    );
    let preset = line.material.preset();
    let mut factors: Vec<Factor> = strength_factors(&line.condition, line.material)
        .into_iter()
        .map(|(what, left, source)| Factor {
            what: what.to_string(),
            left,
            source,
        })
        .collect();
    factors.extend(hitch_factor(line, Angle::ZERO));
    Link {
        wll: line.wll,
        mbs: Some(line.mbs),
        factors,
        // Old lines scatter as the seven of CV-AGE-01 did: s/mean = 0.26.
        strength_spread: preset.strength_spread
            + (0.26 - preset.strength_spread) * line.condition.wear,
        mass: Mass::new(line.mass_per_length.get() * line.length.get()),
        metal: line.material.is_metal(),
        ..Link::bare(&line.name, kind, &words, side)
    }
}

/// A bridle; `None` when its legs do not reach.
pub fn bridle_link(bridle: &Bridle, side: Side) -> Option<Link> {
    let legs = if bridle.equalising {
        bridle::equalising
    } else {
        bridle::fixed
    };
    let legs = legs(
        Force::new(1.0),
        bridle.span,
        bridle.line.length,
        Angle::ZERO,
    )?;
    let of_line = line_link(&bridle.line, side);
    Some(Link {
        kind: LinkKind::Bridle,
        words: format!(
            "{} bridle",
            if bridle.equalising {
                "equalising"
            } else {
                "fixed-leg"
            }
        ),
        load_share: legs.greatest().get(),
        included: Some(legs.included),
        ..of_line
    })
}

/// A block that takes `load_share` of the pull.
pub fn block_link(block: &Block, side: Side, load_share: f64) -> Link {
    Link {
        wll: Some(block.wll),
        mbs: Some(block.mbs),
        mass: block.mass,
        load_share,
        ..Link::bare(&block.name, LinkKind::Block, "block", side)
    }
}

/// A block or ring in a rig laid out on the ground: `carries` is what it carries
/// over the pull at the casualty, the vector sum of its two lines, `between` the
/// angle they leave.
pub fn turn_link(block: &Block, side: Side, carries: f64, between: Angle) -> Link {
    let (kind, words) = if block.ring_friction.is_some() {
        (LinkKind::Ring, "ring")
    } else {
        (LinkKind::Block, "block")
    };
    Link {
        kind,
        words: words.into(),
        included: Some(between),
        ..block_link(block, side, carries)
    }
}

/// A strap round a trunk or other anchor, its legs `from_axis` of the pull where it
/// is a basket.
pub fn strap_link(line: &Line, side: Side, from_axis: Angle) -> Link {
    let mut out = line_link(line, side);
    match hitch_share(line, from_axis) {
        Some(share) => out.load_share = share,
        None => {
            out.refused = Some(format!(
                "its legs stand {:.0} deg to the pull; past 60 no basket is allowed",
                from_axis.abs().to_deg()
            ));
        }
    }
    out
}

/// An anchor. Its strength is its hold: the low figure, which all but 5 % of such
/// anchors hold, stands as its breaking strength.
pub fn anchor_link(anchor: &Anchor, hold: &Hold, units: Units, side: Side) -> Link {
    Link {
        mbs: Some(hold.low),
        strength_spread: hold.spread,
        metal: false,
        gives_slowly: matches!(anchor.kind, AnchorKind::Vehicle(_)),
        refused: hold.refused.clone(),
        ..Link::bare(&anchor.name, LinkKind::Anchor, &words(anchor, units), side)
    }
}

/// A winch.
pub fn winch_link(winch: &Winch, load_share: f64) -> Link {
    Link {
        wll: Some(winch.rated_pull),
        mbs: winch.mount_mbs,
        mass: winch.mount_mass,
        load_share,
        ..Link::bare(
            "tug.winch",
            LinkKind::Winch,
            "winch and its mount",
            Side::Tug,
        )
    }
}
