//! What is filled in where the file says nothing, and why.
//!
//! Each value is text as it would be written in the plan file: what is printed
//! is exactly what is used. Where a value could err either way, the one with
//! the higher load or the less help is taken. `CV-` and `TF-` name rows of the
//! project's table of outside checks.

use steadypull_engine::plan::{PointKind, Surface};
use steadypull_engine::units::{Force, Length, Mass};

/// A value and its reason.
pub(super) type Default = (&'static str, &'static str);

pub(super) const SEED: &str = "any number will do; the same one gives the same answer";

pub(super) const DRIVEN: Default = ("all", "assumed: a four-wheel drive in working order");
pub(super) const ROAD_PRESSURE: Default = (
    "35 psi",
    "assumed: usual road pressure; see the tyre placard",
);
pub(super) const TYRE_PRESSURE_REASON: &str = "assumed: not let down, as on the road";
pub(super) const GROSS_MASS_REASON: &str = "assumed: loaded to its gross mass; see its plate";

pub(super) const HUB_HEIGHT: Default = ("0.38 m", "assumed: wagon on tyres of about 0.76 m");
pub(super) const GUARD_HEIGHT: Default = (
    "0.6 m",
    "assumed: wagon, foot of the tyre to the guard line",
);
pub(super) const BODY_HEIGHT: Default = (
    "0.9 m",
    "assumed: wagon, foot of the tyre to the body above the sills",
);
pub(super) const DEPTH: Default = (
    "0 m",
    "no depth given: taken as not sunk; give depth or sunk_to if it is",
);
pub(super) const STUCK_FOR: Default = (
    "30 min",
    "assumed: usual time to fetch a tug; suction grows with it",
);
pub(super) const SLOPE: Default = ("0 deg", "no slope given: taken as level; measure it");
pub(super) const LOCKED_WHEELS: Default = ("0", "none mentioned: all wheels taken to turn");
pub(super) const OWN_DRIVE: Default = (
    "false",
    "counting on no help from its engine is the safe side",
);
pub(super) const BACK_ALONG_TRACKS: Default = (
    "false",
    "not mentioned; the way it came in is easier by a tenth (CV-MIRE-04)",
);
pub(super) const OVERTURNED: Default = ("false", "not mentioned: taken to stand on its wheels");
pub(super) const FREE_AFTER: Default = ("3 m", "assumed: about a vehicle's wheelbase");

/// What flies with the line if a point tears off.
pub(super) fn torn_off_mass(kind: PointKind) -> Default {
    match kind {
        PointKind::Rated => ("1.5 kg", "assumed: hook or eye with its bolts"),
        PointKind::ReceiverInsert => ("4 kg", "assumed: the insert with its pin"),
        PointKind::OpenReceiver => ("1.5 kg", "assumed: the pin and what hung on it"),
        PointKind::TowBall => ("2 kg", "assumed: the ball with its shank"),
        PointKind::TieDownEye => ("0.5 kg", "assumed: the eye with its bolt"),
        PointKind::TowingEye => ("1.5 kg", "assumed: the eye with its screw or bracket"),
        PointKind::Unrated => ("2 kg", "assumed: a bracket with its bolts"),
    }
}
pub(super) const POINT_HEIGHT: Default = ("0.6 m", "assumed: chassis height of a wagon");
pub(super) const OFFSET: Default = ("0 m", "not given: taken on the centre line");
pub(super) const SIDE_ANGLE: Default = ("0 deg", "not given: taken as a straight pull");
/// A wagon's front points and winch, forward of its middle (assumed).
pub(super) const FRONT: Length = Length::new(2.3);

/// Where a point of a wagon lies, forward of its middle, by its name (assumed).
pub(super) fn forward(name: &str) -> Length {
    if name.contains("front") {
        FRONT
    } else if name.contains("rear") {
        -FRONT
    } else {
        Length::ZERO
    }
}
pub(super) const FORWARD_REASON: &str = "assumed by its name: a wagon's front and rear points lie 2.3 m from its middle, others level with it";
pub(super) const WINCH_FORWARD_REASON: &str = "assumed: in the front bar of a wagon";

pub(super) const HOLDS_DRIVE: Default = (
    "true",
    "a driver who stays on the throttle gives the higher load",
);
pub(super) const SCREEN_HEIGHT: Default = ("1.1 m", "assumed: wagon, lower edge of the windscreen");
pub(super) const ROOF_HEIGHT: Default = ("1.9 m", "assumed: wagon");
pub(super) const WAGON: &str = "assumed: wagon; measure it";
pub(super) const BODY_REASON: &str = "assumed: wagon; what flies is judged against this outline";
pub(super) const BONNET_REASON: &str = "not mentioned: taken as shut";
pub(super) const RAISED_TO: Default = ("55 deg", "assumed: held up by its own stay");
pub(super) const BONNET_SHEET: Default = ("0.7 mm", "assumed: sheet steel; aluminium is weaker");
pub(super) const POWER_REASON: &str = "assumed: 35 kW at the wheels for each tonne of its mass";
pub(super) const MAX_DRIVE_REASON: &str = "assumed: 0.9 of its weight in the lowest gear";

pub(super) const WINCH_DRIVE: Default = ("electric", "assumed: the usual vehicle winch");
pub(super) const LAYER: Default = ("4", "assumed: a nearly full drum, the least pull");
pub(super) const DRUM_DIAMETER: Default = ("64 mm", "assumed: usual for a vehicle winch");
pub(super) const DRUM_WIDTH: Default = ("230 mm", "assumed: usual for a vehicle winch");
pub(super) const LINE_SPEED: Default =
    ("9 m/min", "assumed: usual for an electric winch at no load");
pub(super) const PACKING: Default = (
    "80 %",
    "middle of the drum capacity factor of SAE J706 (CV-J706-01)",
);
pub(super) const WRAPS_METAL_REASON: &str = "common practice for wire rope; its maker comes first";
pub(super) const WRAPS_FIBRE_REASON: &str = "common practice for fibre rope; its maker comes first";
pub(super) const WINCH_HEIGHT: Default = ("0.7 m", "assumed: behind the front bar of a wagon");
pub(super) const MOUNT_MASS: Default = ("35 kg", "assumed: winch with its mount");

pub(super) const CONDITION: Default = (
    "used",
    "assumed: gear in service is not new; used counts as 30 % worn",
);
pub(super) const WET: Default = ("false", "not mentioned: taken as dry");
pub(super) const KNOT: Default = ("none", "not mentioned: sewn or spliced eyes");
pub(super) const STRAIN_SEEN: Default = ("0 %", "not mentioned: taken as rested, not pulled today");
pub(super) const LABELLED: Default = (
    "true",
    "not mentioned: taken to carry a legible label; look at it",
);
pub(super) const ENERGY_RETURN_REASON: &str =
    "no published figure was found for recovery gear; the answer shows what the range does";

pub(super) const METAL_SHACKLE_FACTOR: f64 = 5.0;
pub(super) const METAL_SHACKLE_MBS_REASON: &str =
    "5 x WLL, the least by RR-C-271 (CV-SHK-02) and EN 13889 (CV-SHK-03)";
pub(super) const METAL_SHACKLE_MASS_REASON: &str =
    "assumed: 1.3 kg at WLL 4.75 t, growing with WLL^1.5";
pub(super) const SOFT_SHACKLE_MASS_REASON: &str =
    "assumed: 0.25 kg at MBS 10 t, growing with MBS^1.5";

pub(super) const EQUALISING: Default = ("false", "not mentioned: the legs may share unequally");
pub(super) const SPAN_REASON: &str = "from the offsets of its two points";
pub(super) const BLOCK_FACTOR: f64 = 2.0;
pub(super) const BLOCK_MBS_REASON: &str = "assumed: 2 x WLL, low on purpose; see its maker's mark";
pub(super) const EFFICIENCY: Default = ("90 %", "assumed: plain bush, one half turn");
pub(super) const SHEAVE: Default = ("80 mm", "assumed: usual for a vehicle's block");
pub(super) const BLOCK_MASS: Default = ("2.5 kg", "assumed: usual for a vehicle's block");
pub(super) const RING_FRICTION: Default = (
    "0.15",
    "assumed: fibre line on a smooth metal ring; measure it",
);
pub(super) const RING_BEND: Default = ("40 mm", "assumed: the thickness of an alloy ring's wall");
pub(super) const RING_MASS: Default = ("0.6 kg", "assumed: an alloy ring");
pub(super) const HITCH_REASON: &str =
    "not mentioned: made fast by its own eye; a choked strap keeps 80 %";
pub(super) const SHACKLE_LENGTH_REASON: &str =
    "assumed for each shackle, and for a block's own hook; it is no key";
pub(super) const TRUNK_FRICTION_REASON: &str = "assumed: a line slipping on dry bark; it is no key";
pub(super) const AT_THE_WINCH: &str = "the method is a winch pull";

pub(super) const STRAP_HEIGHT: Default = ("0.5 m", "assumed: low on the stem");
pub(super) const TREE_HEIGHT_REASON: &str =
    "assumed: slender, a hundred stem diameters, so that it falls far; measure it";
pub(super) const TREE_SORT: Default = (
    "other",
    "not mentioned: the least of the four sorts with a figure",
);
pub(super) const STEEL_PICKETS: Default = ("false", "not mentioned: taken as wood");
pub(super) const TRENCH: Default = ("0.3 m", "assumed: one foot, as in FM 5-125 (CV-DEAD-03)");
pub(super) const LOG: Default = (
    "true",
    "not mentioned: a round log, which has the lower limit",
);
pub(super) const CHOCKED: Default = ("false", "not mentioned: no gain is counted");
pub(super) const TOWS: Default = ("false", "not mentioned: it stands braked and does not pull");
pub(super) const HOLD_SPREAD: Default = ("0.3", "assumed: few have been pulled to the end");

pub(super) const DRAG_AREA: Default = ("0.05 m2", "assumed: a bag of about 0.3 m by 0.2 m");
pub(super) const SLIPS_AT: Default = (
    "200 N",
    "assumed: hung over the line with its straps closed",
);
pub(super) const TETHER_STRETCH: Default = ("15 %", "assumed: nylon webbing with sewn ends");
pub(super) const STIFFENING: Default = ("1", "assumed: load in proportion to stretch");
pub(super) const TETHER_RETURN: Default = (
    "100 %",
    "assumed: it gives back all, so that it slows the least in the end",
);
pub(super) const SITE: &str =
    "{ wind = \"0 m/s\", slope_along = \"0 deg\", slope_across = \"0 deg\", bumps = \"0 m\" }";
pub(super) const SITE_REASON: &str =
    "not given: calm air, level and even ground under the line for what flies";
pub(super) const CALM: Default = ("0 m/s", "not mentioned: taken as calm");
pub(super) const WIND_FROM: Default = ("90 deg", "assumed: across the pull, from its left");
pub(super) const GUST_FACTOR: Default = (
    "1.7",
    "assumed: open ground; EN 1991-1-4 gives 1.7 at 2 m in category II, WMO guidelines 1.66 in-land \
     (both from memory)",
);
pub(super) const WIND_TURNS: Default = (
    "15 deg",
    "assumed: turbulence over open ground turns it by about 12 deg, and it is judged by feel",
);
pub(super) const SITE_SLOPE: Default = ("0 deg", "not mentioned: level under the line");
pub(super) const BUMPS: Default = ("0 m", "not mentioned: even ground");
pub(super) const BUMP_SPACING: Default = ("1 m", "assumed: ruts and tussocks");
pub(super) const TETHER_MASS_REASON: &str =
    "from its strength and length, as nylon webbing (CV-KIN-08 inputs)";

pub(super) const BOARD_COUNT: Default = ("2", "assumed: a pair");
pub(super) const BOARD_GRIP: Default = ("0.5", "assumed: muddy tyre on a muddy board");
pub(super) const SHOVELS: Default = ("0", "none mentioned");
pub(super) const INFLATOR: Default = (
    "false",
    "not mentioned: tyres let down could not be filled again",
);

pub(super) const KINETIC_SLACK: Default = (
    "2 m",
    "assumed: enough to reach the run-up speed at a crawl",
);
pub(super) const NO_SLACK: Default = ("0 m", "a steady pull starts with a taut line");

pub(super) const EDGE_RADIUS: Default = ("0.5 m", "assumed: an edge rounded by wheels");
pub(super) const LOWER_FROM: Default = ("0 m", "assumed: upper axle at the top of the way");
pub(super) const LOWER_TO_REASON: &str = "lower axle at the end of the way";
pub(super) const NOSE: Default = ("down", "assumed: nose down, the driver sees the way");
pub(super) const WHEELBASE: Default = ("2.85 m", "assumed wagon; measure it");
pub(super) const CG_HEIGHT: Default = ("0.75 m", "assumed: laden wagon without a load on its roof");
pub(super) const OVERHANG: Default = ("0.9 m", "assumed wagon, axle to recovery point");
pub(super) const CLEARANCE: Default = ("0.22 m", "assumed wagon, ground to chassis amidships");
pub(super) const FRONT_SHARE: Default = ("50 %", "assumed: laden wagon");
pub(super) const BELLY_FRICTION: Default = ("0.4", "assumed: steel on earth");
pub(super) const ROLLING_SPREAD: Default = ("0.2", "assumed, as for the casualty's resistance");
pub(super) const MASS_SPREAD: Default = ("0.05", "assumed: not weighed with its load");
pub(super) const EDGE_FRICTION: Default = ("0", "counting on no help from edges is the safe side");
pub(super) const OWN_HOLD: Default = (
    "0 %",
    "counting on no help from its brakes or engine is the safe side",
);
pub(super) const LOWER_SPEED: Default = ("2 km/h", "common practice: a slow walk");
pub(super) const WINCH_ANCHOR: Default = ("tug", "the winch is the tug's");
pub(super) const ANCHOR_SPREAD: Default = ("0.3", "assumed: ground differs from place to place");
pub(super) const ANCHOR_HEIGHT_REASON: &str = "assumed: chassis or strap height";
pub(super) const TAIL: Default = ("3 m", "common practice: line left to hold and to stop with");
pub(super) const BLOCK_GIVES: Default = ("2 m", "assumed: what a redirect draws the line aside");
pub(super) const BELAY_SLACK: Default = ("0.5 m", "assumed: kept just clear of the ground");
pub(super) const ON_WOOD: Default = ("0.25", "assumed: rope on bark or dressed timber");
pub(super) const ON_METAL: Default = ("0.15", "assumed: rope on smooth metal (CV-CAP-01 inputs)");
pub(super) const FRICTION_SPREAD: Default = ("0.2", "assumed: dry or damp, rough or polished");
pub(super) const HAND_LIMIT: Default = ("200 N", "common practice: one hand for minutes");
pub(super) const TREE_ROUND: Default = ("300 mm", "assumed: a sound stem or post");
pub(super) const METAL_ROUND: Default = ("150 mm", "assumed: tube or bollard");
pub(super) const WOOD_HEAT: Default = ("2 kg", "assumed: bark and outer wood under the turns");
pub(super) const METAL_HEAT: Default = ("8 kg", "assumed: steel under the turns");

pub(super) const CREW: Default = ("2", "assumed: one driver in each vehicle");
pub(super) const BYSTANDERS: Default = ("0", "none mentioned");

/// Grip, its spread, and rolling under the tug, with the source of each.
pub(super) struct SurfaceFacts {
    pub grip: Default,
    pub spread: Default,
    pub rolling: Default,
}

const BAND: &str = "assumed: wider than the published band, for tread and tyre";
const LOOSE: &str = "assumed: loose ground differs from place to place";
const TABOREK: &str =
    "middle of the published peak band (Taborek 1957 in Wong, from memory, CV-MU-01)";
const MOYER: &str = "Moyer in Marks (CV-ROLL-01)";
const CARVILL: &str = "Carvill 1993 (CV-ROLL-02)";

/// What is taken for a surface.
pub(super) fn surface_facts(surface: Surface) -> SurfaceFacts {
    let facts = |grip, grip_from, spread, spread_from, rolling, rolling_from| SurfaceFacts {
        grip: (grip, grip_from),
        spread: (spread, spread_from),
        rolling: (rolling, rolling_from),
    };
    match surface {
        Surface::DryRoad => facts("0.85", TABOREK, "0.15", BAND, "0.02", CARVILL),
        Surface::WetRoad => facts("0.6", TABOREK, "0.15", BAND, "0.02", CARVILL),
        Surface::Gravel => facts("0.6", TABOREK, "0.15", BAND, "0.04", CARVILL),
        Surface::DryEarth => facts("0.68", TABOREK, "0.15", BAND, "0.08", CARVILL),
        Surface::WetEarth => facts(
            "0.55",
            TABOREK,
            "0.2",
            LOOSE,
            "0.1",
            "assumed: above medium hard soil",
        ),
        Surface::Grass => facts(
            "0.5",
            "assumed: below wet earth",
            "0.2",
            LOOSE,
            "0.08",
            CARVILL,
        ),
        Surface::FirmSand => facts(
            "0.5",
            "assumed: below wet earth",
            "0.2",
            LOOSE,
            "0.1",
            CARVILL,
        ),
        Surface::SoftSand => facts(
            "0.35",
            "assumed: well below firm sand",
            "0.2",
            LOOSE,
            "0.2",
            CARVILL,
        ),
        Surface::Mud => facts(
            "0.3",
            "assumed: well below wet earth",
            "0.2",
            LOOSE,
            "0.2",
            "assumed: as the worst sand",
        ),
        Surface::Snow => facts(
            "0.2",
            TABOREK,
            "0.2",
            LOOSE,
            "0.06",
            "assumed: as wet loose gravel",
        ),
        Surface::Ice => facts("0.1", TABOREK, "0.2", LOOSE, "0.012", MOYER),
    }
}

/// Mass of a forged shackle of this working load.
pub(super) fn metal_shackle_mass(wll: Force) -> Mass {
    grown(Mass::new(1.3), wll / Force::from_tf(4.75))
}

/// Mass of a spliced fibre shackle of this strength.
pub(super) fn soft_shackle_mass(mbs: Force) -> Mass {
    grown(Mass::new(0.25), mbs / Force::from_tf(10.0))
}

/// Like shapes: strength grows with the square of size, mass with its cube.
fn grown(mass: Mass, strength_ratio: f64) -> Mass {
    mass * (strength_ratio * strength_ratio.sqrt())
}

/// A computed default as text, to three figures: `1.3 kg`.
pub(super) fn written(value: f64, unit: &str) -> String {
    with_figures(value, 99.5, unit)
}

/// A strength or a given value carried over, to six figures: `23.75 t`.
pub(super) fn carried_over(value: f64, unit: &str) -> String {
    with_figures(value, 99_999.5, unit)
}

/// With as many decimals as lift the digits to `least`, less trailing zeros.
fn with_figures(value: f64, least: f64, unit: &str) -> String {
    let mut places = 0;
    while places < 9 && value.abs() * 10f64.powi(places) < least {
        places += 1;
    }
    let text = format!("{value:.*}", places as usize);
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => &text,
    };
    format!("{text} {unit}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan_file::value::Value;
    use crate::plan_file::words::Words;

    #[test]
    fn computed_defaults_are_short() {
        let cases = [
            (1.3, "1.3 kg"),
            (25_497.29, "25497 kg"),
            (0.012_345, "0.0123 kg"),
            (0.0, "0 kg"),
        ];
        for (value, text) in cases {
            assert_eq!(written(value, "kg"), text);
        }
        assert_eq!(carried_over(4.75 * 5.0, "t"), "23.75 t");
    }

    #[test]
    fn published_shackle_mass_scale() {
        assert!((metal_shackle_mass(Force::from_tf(4.75)).get() - 1.3).abs() < 1e-12);
        assert!(metal_shackle_mass(Force::from_tf(2.0)) < Mass::new(0.5));
    }

    #[test]
    fn every_surface_reads() {
        for (word, surface) in Surface::ALL {
            let facts = surface_facts(*surface);
            for (text, _) in [facts.grip, facts.spread, facts.rolling] {
                assert!(f64::from_text(text).is_ok(), "{word}");
            }
        }
    }
}
