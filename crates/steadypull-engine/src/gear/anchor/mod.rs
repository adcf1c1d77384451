//! What an anchor holds: each way it can yield, with its spread.
//!
//! An anchor yields by the first of its ways to be overcome (a tree uproots or
//! its stem breaks; a vehicle slides, tips or is lifted). The hold of each way is
//! `X − c`: `X` log-normal, `c` a fixed part (the pull of its own slope on a
//! vehicle). The ways are taken as independent, so the chance that the anchor
//! yields at a load `F` is `1 − Π (1 − P(X ≤ F + c))`.
//!
//! Assumptions: a steady pull; the handbooks' figures, which say what a holdfast
//! "stands", are taken as the median of such holdfasts, not as a least value; the
//! spreads are assumed unless their file says otherwise. Nobody has tested the
//! anchor at hand: watch it.

pub mod deadman;
pub mod pickets;
pub mod plate;
pub mod stated;
pub mod tree;
pub mod vehicle;

use crate::chance::{LogNormal, normal_quantile};
use crate::finding::Finding;
use crate::plan::{Anchor, AnchorKind};
use crate::show::Units;
use crate::source::Source;
use crate::units::{Angle, Force, Length};

/// Share of anchors that hold less than the low figure, or more than the high one.
pub const TAIL: f64 = 0.05;

/// One way in which an anchor yields.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// What it does then, such as `uproots`.
    pub what: &'static str,
    /// Load at which it does so, N, before [`Way::less`] is taken off.
    pub load: LogNormal,
    /// What its own weight takes off that; negative when it adds.
    pub less: Force,
    /// How the figure was found.
    pub method: String,
    /// Where it comes from.
    pub source: Source,
}

impl Way {
    /// Chance that it happens at `load` or less.
    fn probability(&self, load: Force) -> f64 {
        self.load.probability_below((load + self.less).get())
    }

    /// The load at which it happens with probability `p`.
    fn quantile(&self, p: f64) -> Force {
        (Force::new(self.load.quantile(p)) - self.less).max(Force::ZERO)
    }
}

/// What an anchor holds against a pull in one direction.
#[derive(Debug, Clone, PartialEq)]
pub struct Hold {
    /// Every way in which it yields.
    pub ways: Vec<Way>,
    /// Load that half of such anchors hold.
    pub median: Force,
    /// Spread of the weaker half, 1-sigma of the logarithm: it joins `low` and
    /// `median`.
    pub spread: f64,
    /// Load that all but 5 % of such anchors hold.
    pub low: Force,
    /// Load that only 5 % of such anchors hold.
    pub high: Force,
    /// Why it may never be used, if so; the figures then are what is left of it.
    pub refused: Option<String>,
    /// What was noticed about it.
    pub findings: Vec<Finding>,
    /// How far from it it falls, along the pull, when it yields.
    pub falls_within: Option<Length>,
}

impl Hold {
    /// The hold of an anchor that yields by the first of `ways`, at least one.
    fn of(ways: Vec<Way>) -> Self {
        let mut hold = Self {
            ways,
            median: Force::ZERO,
            spread: 0.0,
            low: Force::ZERO,
            high: Force::ZERO,
            refused: None,
            findings: Vec::new(),
            falls_within: None,
        };
        hold.low = hold.quantile(TAIL);
        hold.median = hold.quantile(0.5);
        hold.high = hold.quantile(1.0 - TAIL);
        hold.spread = if hold.low > Force::ZERO {
            libm::log(hold.median / hold.low) / -normal_quantile(TAIL)
        } else {
            hold.likeliest().map_or(0.0, |way| way.load.spread)
        };
        hold
    }

    /// Chance that it yields at `load` or less.
    pub fn yield_probability(&self, load: Force) -> f64 {
        let holds: f64 = self
            .ways
            .iter()
            .map(|way| 1.0 - way.probability(load))
            .product();
        1.0 - holds
    }

    /// The load at which it yields with probability `p`.
    pub fn quantile(&self, p: f64) -> Force {
        if let [only] = &self.ways[..] {
            return only.quantile(p);
        }
        // At the quantile of any one way the chance is at least p; where no way has
        // its n-th part of p, it is less than p.
        let least = |p: f64| {
            let each = self.ways.iter().map(|way| way.quantile(p));
            each.reduce(Force::min).unwrap_or(Force::ZERO)
        };
        let mut high = least(p);
        let mut low = least(p / self.ways.len().max(1) as f64);
        for _ in 0..44 {
            let middle = (low + high) / 2.0;
            if self.yield_probability(middle) < p {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    }

    /// The way it most likely yields: the one with the least median.
    pub fn likeliest(&self) -> Option<&Way> {
        self.ways
            .iter()
            .min_by(|a, b| a.quantile(0.5).get().total_cmp(&b.quantile(0.5).get()))
    }

    /// How the figure was found, by the way it most likely yields.
    pub fn method(&self) -> &str {
        self.likeliest().map_or("", |way| &way.method)
    }

    /// Where that figure comes from.
    pub fn source(&self) -> Option<Source> {
        self.likeliest().map(|way| way.source)
    }
}

/// What `anchor` holds against a pull along `pull`, a direction of any length out
/// of the anchor; one of no length counts as a level pull along x.
pub fn hold(anchor: &Anchor, pull: [f64; 3], units: Units) -> Hold {
    let pull = Pull::along(pull);
    match &anchor.kind {
        AnchorKind::Tree(tree) => tree::hold(&anchor.name, tree, units),
        AnchorKind::Pickets(pickets) => pickets::hold(&anchor.name, pickets, pull),
        AnchorKind::Deadman(deadman) => deadman::hold(&anchor.name, deadman, pull, units),
        AnchorKind::Plate(plate) => plate::hold(&anchor.name, plate, pull),
        AnchorKind::Vehicle(vehicle) => vehicle::hold(&anchor.name, vehicle, pull, units),
        AnchorKind::Stated(stated) => stated::hold(stated),
    }
}

/// What `anchor` is, in words: `tree, 300 mm stem, strap 0.5 m up`.
pub fn words(anchor: &Anchor, units: Units) -> String {
    match &anchor.kind {
        AnchorKind::Tree(tree) => format!(
            "tree, {} stem, strap {} up",
            units.thickness(tree.stem_diameter.get()),
            units.rough_length(tree.strap_height.get())
        ),
        AnchorKind::Pickets(pickets) => format!(
            "{} pickets, {}",
            if pickets.steel { "steel" } else { "wood" },
            pickets::in_words(&pickets.banks)
        ),
        AnchorKind::Deadman(deadman) => format!(
            "buried {}, {} long, {} deep",
            if deadman.log { "log" } else { "timber" },
            units.rough_length(deadman.length.get()),
            units.rough_length(deadman.depth.get())
        ),
        AnchorKind::Plate(plate) => format!("ground plate, {} pins", plate.pins),
        AnchorKind::Vehicle(vehicle) => format!(
            "{} of {}",
            if vehicle.tows {
                "second tug"
            } else {
                "braked vehicle"
            },
            units.whole_mass(vehicle.mass.get())
        ),
        AnchorKind::Stated(stated) => stated.what.clone(),
    }
}

/// The direction of a pull on an anchor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pull {
    /// Angle above level; negative when the line leads down.
    pub elevation: Angle,
    /// Where it leads seen from above, anticlockwise from +x.
    pub bearing: Angle,
}

impl Pull {
    pub(crate) fn along([x, y, z]: [f64; 3]) -> Self {
        Self {
            elevation: Angle::new(libm::atan2(z, libm::hypot(x, y))),
            bearing: Angle::new(libm::atan2(y, x)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Status;

    fn way(median: f64, spread: f64) -> Way {
        Way {
            what: "yields",
            load: LogNormal::new(median, spread),
            less: Force::ZERO,
            method: String::new(),
            source: Source::new("invented", Status::Assumed),
        }
    }

    #[test]
    fn one_way_is_its_own_distribution() {
        let hold = Hold::of(vec![way(40e3, 0.4)]);
        assert_eq!(hold.median, Force::new(40e3));
        assert!((hold.spread - 0.4).abs() < 1e-12);
        assert!((hold.yield_probability(hold.low) - 0.05).abs() < 1e-12);
        assert!((hold.yield_probability(hold.high) - 0.95).abs() < 1e-12);
    }

    #[test]
    fn two_like_ways_hold_less_than_one() {
        // Closed form: 1 - (1 - q)^2 = 0.5 at q = 1 - sqrt(0.5).
        let one = way(40e3, 0.4);
        let two = Hold::of(vec![one.clone(), one.clone()]);
        let median = one.load.quantile(1.0 - f64::sqrt(0.5));
        assert!((two.median.get() / median - 1.0).abs() < 1e-9);
        assert!((two.yield_probability(two.low) - 0.05).abs() < 1e-9);
    }

    #[test]
    fn a_fixed_part_shifts_the_hold() {
        let mut downhill = way(40e3, 0.2);
        downhill.less = Force::new(10e3);
        assert_eq!(Hold::of(vec![downhill.clone()]).median, Force::new(30e3));
        downhill.less = Force::new(400e3);
        let gone = Hold::of(vec![downhill]);
        assert_eq!(gone.high, Force::ZERO);
        assert!(gone.spread.is_finite() && gone.yield_probability(Force::new(1.0)) > 0.999);
    }

    #[test]
    fn a_direction_of_no_length_is_level() {
        let pull = Pull::along([0.0; 3]);
        assert_eq!((pull.elevation, pull.bearing), (Angle::ZERO, Angle::ZERO));
    }
}
