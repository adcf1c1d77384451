//! `[anchor.NAME]`: what a rig is made fast to besides the tug.

use core::ops::Range;

use steadypull_engine::gear::anchor::tree::slender_height;
use steadypull_engine::plan::{
    Anchor, AnchorGround, AnchorKind, AnchorVehicle, Deadman, GroundPlate, Pickets, Place, Pose,
    StatedAnchor, Surface, Tree, TreeSort,
};
use steadypull_engine::units::Length;

use super::defaults::{self, written};
use super::limits::{self, Limit};
use super::points::points;
use super::section::Section;
use super::unit_table::Slope;
use super::value::{Fault, Text};
use super::words::AnchorSort;

/// Most anchors.
pub(super) const MOST_ANCHORS: usize = 12;
/// The keys of every kind, and `point`.
const KEYS: [&str; 27] = [
    "stem_diameter",
    "strap_height",
    "height",
    "sort",
    "sound",
    "banks",
    "steel",
    "ground",
    "depth",
    "line_slope",
    "face",
    "length",
    "trench",
    "log",
    "pins",
    "mass",
    "facing",
    "surface",
    "grip",
    "grip_spread",
    "slope_along",
    "chocked",
    "tows",
    "point",
    "what",
    "holds",
    "spread",
];
/// Most banks of pickets, and most pickets in one.
const MOST_BANKS: usize = 6;
const MOST_IN_BANK: u8 = 9;

/// Every `[anchor.NAME]`, or `None` after reading them all if any is bad.
pub(super) fn anchors(file: &Section) -> Option<Vec<Anchor>> {
    let read: Vec<_> = file
        .named("anchor", MOST_ANCHORS)
        .into_iter()
        .map(|(name, section)| anchor(name, &section))
        .collect();
    read.into_iter().collect()
}

fn anchor(name: String, section: &Section) -> Option<Anchor> {
    let sort = section.key::<AnchorSort>("kind").need();
    let at = anchor_place(section);
    let kind = match sort {
        Some(AnchorSort::Tree) => tree(section).map(AnchorKind::Tree),
        Some(AnchorSort::Pickets) => pickets(section).map(AnchorKind::Pickets),
        Some(AnchorSort::Deadman) => deadman(section).map(AnchorKind::Deadman),
        Some(AnchorSort::Plate) => plate(section).map(AnchorKind::Plate),
        Some(AnchorSort::Vehicle) => vehicle(section, at).map(AnchorKind::Vehicle),
        Some(AnchorSort::Stated) => stated(section).map(AnchorKind::Stated),
        None => {
            // With the kind unknown no other key can be told right from wrong.
            for key in KEYS {
                section.has(key);
            }
            None
        }
    };
    section.close();
    let (kind, at) = (kind?, at?);
    Some(Anchor {
        name,
        place: bears_at(at, &kind),
        kind,
    })
}

/// Where the line bears: at the strap of a tree, else on the ground.
fn bears_at(ground: Place, kind: &AnchorKind) -> Place {
    match kind {
        AnchorKind::Tree(tree) => Place {
            z: ground.z + tree.strap_height,
            ..ground
        },
        _ => ground,
    }
}

/// `at = ["12 m", "3 m"]`, with the height of the ground there as a third entry.
fn anchor_place(section: &Section) -> Option<Place> {
    let expected = "x and y on the ground, and its height if it is not that of the rest, \
                    such as [\"12 m\", \"3 m\"]";
    section.list_items::<Length>("at");
    if !section.has("at") {
        section.note_missing("at", expected.into());
        return None;
    }
    let items = section.items::<Length>("at", 3)?;
    let given: Vec<Length> = items.iter().map(|(_, length)| *length).collect();
    let (x, y, z) = match given[..] {
        [x, y] => (x, y, Length::ZERO),
        [x, y, z] => (x, y, z),
        _ => {
            let fault = Fault::new("is neither two entries nor three".into());
            section.note("at", fault.expecting(expected));
            return None;
        }
    };
    let limits = [
        &limits::GROUND_ACROSS,
        &limits::GROUND_ACROSS,
        &limits::GROUND_UP,
    ];
    let inside: Vec<bool> = items
        .into_iter()
        .zip(limits)
        .map(|((span, length), limit)| in_range(section, span, length, limit))
        .collect();
    inside.into_iter().all(|ok| ok).then_some(Place { x, y, z })
}

fn in_range(section: &Section, span: Range<usize>, length: Length, limit: &Limit<Length>) -> bool {
    let inside = length >= limit.low && length <= limit.high;
    if !inside {
        let fault = Fault::new("is out of range".into()).expecting(limit.text);
        section.note_at(span, "at", fault.hinting(limit.why));
    }
    inside
}

fn tree(section: &Section) -> Option<Tree> {
    let stem = section.key("stem_diameter").within(&limits::STEM).need();
    let strap = section.key("strap_height").within(&limits::STRAP_HEIGHT);
    let strap_height = strap.or(defaults::STRAP_HEIGHT.0, defaults::STRAP_HEIGHT.1);
    let height = section
        .key::<Length>("height")
        .within(&limits::TREE_HEIGHT)
        .or_else(|| {
            let tall = slender_height(stem?);
            Some((
                written(tall.get(), "m"),
                defaults::TREE_HEIGHT_REASON.into(),
            ))
        });
    let sort = section.key::<TreeSort>("sort");
    let sort = sort.or(defaults::TREE_SORT.0, defaults::TREE_SORT.1);
    let sound = section.key::<bool>("sound").need();
    let (strap_height, height) = (strap_height?, height?);
    if strap_height >= height {
        let fault = Fault::new("is not below the top of the tree".into());
        section.note("strap_height", fault.expecting("a strap low on the stem"));
        return None;
    }
    Some(Tree {
        stem_diameter: stem?,
        strap_height,
        height,
        sort: sort?,
        sound: sound?,
    })
}

fn pickets(section: &Section) -> Option<Pickets> {
    let banks = banks(section);
    let steel = section
        .key("steel")
        .or(defaults::STEEL_PICKETS.0, defaults::STEEL_PICKETS.1);
    let ground = section.key::<AnchorGround>("ground").need();
    Some(Pickets {
        banks: banks?,
        steel: steel?,
        ground: ground?,
    })
}

fn banks(section: &Section) -> Option<Vec<u8>> {
    let expected = "pickets in each bank, from the line backwards, such as [3, 2, 1]";
    section.list_items::<u8>("banks");
    if !section.has("banks") {
        section.note_missing("banks", expected.into());
        return None;
    }
    let items = section.items::<u8>("banks", MOST_BANKS)?;
    if items.is_empty() {
        section.note("banks", Fault::new("is empty".into()).expecting(expected));
        return None;
    }
    let mut sound = true;
    for (span, count) in &items {
        if !(1..=MOST_IN_BANK).contains(count) {
            let fault = Fault::new(format!("has a bank of {count}"));
            let expected = format!("1 to {MOST_IN_BANK} pickets in each bank");
            section.note_at(span.clone(), "banks", fault.expecting(expected));
            sound = false;
        }
    }
    sound.then(|| items.into_iter().map(|(_, count)| count).collect())
}

fn deadman(section: &Section) -> Option<Deadman> {
    let depth = section
        .key::<Length>("depth")
        .within(&limits::DEADMAN_DEPTH)
        .need();
    let slope = section
        .key::<Slope>("line_slope")
        .within(&limits::LINE_SLOPE)
        .need();
    let face = section
        .key::<Length>("face")
        .within(&limits::DEADMAN_FACE)
        .need();
    let length = section
        .key::<Length>("length")
        .within(&limits::DEADMAN_LENGTH)
        .need();
    let trench = section.key::<Length>("trench").within(&limits::TRENCH);
    let trench = trench.or(defaults::TRENCH.0, defaults::TRENCH.1);
    let log = section.key("log").or(defaults::LOG.0, defaults::LOG.1);
    let ground = section.key::<AnchorGround>("ground").need();
    let (depth, face, length, trench) = (depth?, face?, length?, trench?);
    let not_below = |key, what: &str, expected: &str| {
        let fault = Fault::new(format!("is not below {what}"));
        section.note(key, fault.expecting(expected));
    };
    if face >= depth * 2.0 {
        not_below(
            "face",
            "twice its depth",
            "a log or timber with ground over it",
        );
        return None;
    }
    if trench >= length {
        not_below("trench", "its length", "a trench for the line alone");
        return None;
    }
    Some(Deadman {
        depth,
        line_slope: slope?.0.tan(),
        face,
        length,
        trench,
        log: log?,
        ground: ground?,
    })
}

fn plate(section: &Section) -> Option<GroundPlate> {
    let pins = section.key("pins").within(&limits::PINS).need();
    let ground = section.key::<AnchorGround>("ground").need();
    Some(GroundPlate {
        pins: pins?,
        ground: ground?,
    })
}

fn vehicle(section: &Section, at: Option<Place>) -> Option<AnchorVehicle> {
    let mass = section.key("mass").within(&limits::VEHICLE_MASS).need();
    let facing = section.key("facing").within(&limits::ANCHOR_FACING).need();
    let surface = section.key::<Surface>("surface").need();
    let facts = surface.map(defaults::surface_facts);
    let by_surface = |pick: fn(&defaults::SurfaceFacts) -> defaults::Default| {
        let (text, reason) = pick(facts.as_ref()?);
        Some((text.into(), reason.into()))
    };
    let grip = section.key("grip").within(&limits::GRIP);
    let grip = grip.or_else(|| by_surface(|f| f.grip));
    let spread = section.key("grip_spread").within(&limits::GRIP_SPREAD);
    let grip_spread = spread.or_else(|| by_surface(|f| f.spread));
    let slope = section.key("slope_along").within(&limits::ANCHOR_SLOPE);
    let slope_along: Option<Slope> = slope.or(defaults::SLOPE.0, defaults::SLOPE.1);
    let chocked = section
        .key("chocked")
        .or(defaults::CHOCKED.0, defaults::CHOCKED.1);
    let tows = section.key("tows").or(defaults::TOWS.0, defaults::TOWS.1);
    let recovery_points = points(section);
    let recovery_points = recovery_points?;
    if recovery_points.is_empty() {
        let table = format!(
            "a table [{}.point.NAME] to make a line fast to",
            section.path
        );
        section.note_missing("point", table);
        return None;
    }
    Some(AnchorVehicle {
        pose: Pose {
            at: at?,
            facing: facing?,
        },
        mass: mass?,
        grip: grip?,
        grip_spread: grip_spread?,
        slope_along: slope_along?.0,
        chocked: chocked?,
        tows: tows?,
        recovery_points,
    })
}

fn stated(section: &Section) -> Option<StatedAnchor> {
    let what = section.key::<Text>("what").need();
    let holds = section.key("holds").within(&limits::HOLD_FORCE).need();
    let spread = section.key("spread").within(&limits::GRIP_SPREAD);
    let spread = spread.or(defaults::HOLD_SPREAD.0, defaults::HOLD_SPREAD.1);
    Some(StatedAnchor {
        what: what?.0,
        holds: holds?,
        spread: spread?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_strap_lifts_the_place_of_a_tree() {
        let ground = Place {
            z: Length::new(2.0),
            ..Place::default()
        };
        let tree = AnchorKind::Tree(Tree {
            stem_diameter: Length::from_mm(400.0),
            strap_height: Length::new(0.5),
            height: Length::new(20.0),
            sort: TreeSort::Pine,
            sound: true,
        });
        assert_eq!(bears_at(ground, &tree).z, Length::new(2.5));
    }
}
