//! Keys that hold one word of a few.

use steadypull_engine::line::{Knot, Material};
use steadypull_engine::plan::{
    AnchorGround, DrivenWheels, Guarded, Hitch, Method, PointKind, Round, ShackleKind, Soil,
    Surface, ToldApart, TreeSort, WinchDrive,
};

use super::listing::FieldShape;
use super::quantity::short;
use super::spelling::nearest;
use super::study_file::Points;
use super::test_file::{BetweenWord, Iso376Class, ToleranceSide, ZeroWord};
use super::value::{Fault, Value};
use crate::answer::TestReading;

/// One of a few words.
pub(crate) trait Words: Copy + PartialEq + 'static {
    const ALL: &'static [(&'static str, Self)];

    /// The word for it in plan files.
    fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(_, value)| *value == self)
            .map_or("", |(word, _)| word)
    }
}

fn one_of<W: Words>() -> String {
    let words: Vec<String> = W::ALL
        .iter()
        .map(|(word, _)| format!("\"{word}\""))
        .collect();
    format!("one of {}", words.join(", "))
}

fn shape_of<W: Words>() -> FieldShape {
    FieldShape::word(W::ALL.iter().map(|(word, _)| *word))
}

fn from_word<W: Words>(text: &str) -> Result<W, Fault> {
    if let Some((_, value)) = W::ALL.iter().find(|(word, _)| *word == text) {
        return Ok(*value);
    }
    let fault = Fault::new(format!("is not a known word: \"{}\"", short(text)));
    let fault = fault.expecting(one_of::<W>());
    Err(match nearest(text, W::ALL.iter().map(|(word, _)| *word)) {
        Some(meant) => fault.hinting(format!("did you mean \"{meant}\"?")),
        None => fault,
    })
}

macro_rules! words {
    ($($name:ident { $($word:expr => $value:ident,)+ })+) => { $(
        impl Words for $name {
            const ALL: &'static [(&'static str, Self)] = &[$(($word, Self::$value)),+];
        }
        impl Value for $name {
            fn shape() -> FieldShape { shape_of::<Self>() }
            fn expected() -> String { one_of::<Self>() }
            fn from_text(text: &str) -> Result<Self, Fault> { from_word(text) }
        }
    )+ };
}

/// The depth classes of a sunk vehicle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum DepthClass {
    Wheel,
    Guard,
    Body,
}

/// The wear of a line in a word.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Wear {
    New,
    Used,
    Worn,
}

impl Wear {
    /// 0 new to 1 worn out (`used`: assumed).
    pub fn share(self) -> f64 {
        match self {
            Self::New => 0.0,
            Self::Used => 0.3,
            Self::Worn => 1.0,
        }
    }
}

/// The sorts of anchor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum AnchorSort {
    Tree,
    Pickets,
    Deadman,
    Plate,
    Vehicle,
    Stated,
}

/// Which end of the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum End {
    Casualty,
    Tug,
}

/// The short forms of a rig laid out on the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum LaidForm {
    SingleLine,
    Redirect,
    DoubleLine,
    TripleLine,
}

/// Which way a lowered vehicle faces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Nose {
    Down,
    Up,
}

/// What holds a lowering line back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum HeldBy {
    Winch,
    Turns,
}

/// How the bonnet stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Bonnet {
    Shut,
    Raised,
}

words! {
    ZeroWord { "quiet-part" => QuietPart, "as-logged" => AsLogged, }
    BetweenWord { "straight" => Straight, "cubic" => Cubic, }
    Iso376Class { "00" => Class00, "0.5" => Class05, "1" => Class1, "2" => Class2, }
    ToleranceSide { "at-least" => AtLeast, "at-most" => AtMost, "both" => Both, }
    TestReading {
        "peak" => Peak,
        "impulse" => Impulse,
        "duration" => Duration,
        "rise" => Rise,
        "stretch" => Stretch,
        "energy-in" => EnergyIn,
        "energy-back" => EnergyBack,
        "hysteresis" => Hysteresis,
        "stiffness" => Stiffness,
    }
    Bonnet { "shut" => Shut, "raised" => Raised, }
    Guarded { "windscreen" => Windscreen, "rear-screen" => RearScreen, "both" => Both, }
    DepthClass { "wheel" => Wheel, "guard" => Guard, "body" => Body, }
    Wear { "new" => New, "used" => Used, "worn" => Worn, }
    End { "casualty" => Casualty, "tug" => Tug, }
    LaidForm {
        "single-line" => SingleLine,
        "redirect" => Redirect,
        "double-line" => DoubleLine,
        "triple-line" => TripleLine,
    }
    Nose { "down" => Down, "up" => Up, }
    HeldBy { "winch" => Winch, "turns" => Turns, }
    Points {
        "sobol" => Sobol,
        "latin-hypercube" => LatinHypercube,
        "random" => Random,
    }
    Round { "tree" => Tree, "post" => Post, "bollard" => Bollard, "drum" => Drum, }
    DrivenWheels { "all" => All, "front" => Front, "rear" => Rear, "none" => None, }
    PointKind {
        "rated" => Rated,
        "receiver-insert" => ReceiverInsert,
        "open-receiver" => OpenReceiver,
        "tow-ball" => TowBall,
        "tie-down-eye" => TieDownEye,
        "towing-eye" => TowingEye,
        "unrated" => Unrated,
    }
    Soil {
        "clay" => Clay,
        "silt" => Silt,
        "bog" => Bog,
        "mud" => Mud,
        "soft-sand" => SoftSand,
        "wet-sand" => WetSand,
        "snow" => Snow,
        "firm" => Firm,
    }
    Surface {
        "dry-road" => DryRoad,
        "wet-road" => WetRoad,
        "gravel" => Gravel,
        "dry-earth" => DryEarth,
        "wet-earth" => WetEarth,
        "grass" => Grass,
        "firm-sand" => FirmSand,
        "soft-sand" => SoftSand,
        "mud" => Mud,
        "snow" => Snow,
        "ice" => Ice,
    }
    WinchDrive { "electric" => Electric, "hydraulic" => Hydraulic, "hand" => Hand, }
    ShackleKind { "bow" => Bow, "dee" => Dee, "soft" => Soft, }
    Knot {
        "none" => None,
        "bowline" => Bowline,
        "figure-eight" => FigureEight,
        "reef" => Reef,
        "clove-hitch" => CloveHitch,
        "eye-splice" => EyeSplice,
        "short-splice" => ShortSplice,
        "clips" => Clips,
        "hand-splice" => HandSplice,
        "swaged-socket" => SwagedSocket,
    }
    ToldApart { "apart" => Apart, "leaning" => Leaning, "open" => Open, }
    Hitch { "straight" => Straight, "choke" => Choke, "basket" => Basket, }
    TreeSort {
        "pine" => Pine,
        "spruce" => Spruce,
        "redcedar" => Redcedar,
        "hemlock" => Hemlock,
        "other" => Other,
    }
    AnchorGround { "hard" => Hard, "loam" => Loam, "wet" => Wet, }
    AnchorSort {
        "tree" => Tree,
        "pickets" => Pickets,
        "deadman" => Deadman,
        "plate" => Plate,
        "vehicle" => Vehicle,
        "stated" => Stated,
    }
    Method {
        "clear-and-dig" => ClearAndDig,
        "air-down-and-boards" => AirDownAndBoards,
        "steady-tow" => SteadyTow,
        "winch-single" => WinchSingle,
        "winch-multi" => WinchMulti,
        "kinetic" => Kinetic,
        "lower" => Lower,
    }
    Material {
        "nylon-webbing" => NylonWebbing,
        "nylon-braid" => NylonBraid,
        "polyester-webbing" => PolyesterWebbing,
        "hmpe" => Hmpe,
        "wire-rope" => WireRope,
        "chain" => Chain,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use steadypull_engine::situation::soil_facts;

    #[test]
    fn words_agree_with_the_engine() {
        for method in Method::LADDER {
            assert_eq!(Words::word(method), method.word());
        }
        for material in Material::ALL {
            assert_eq!(Words::word(material), material.word());
        }
        for (word, soil) in Soil::ALL {
            assert_eq!(*word, soil_facts(*soil).word);
        }
    }
}
