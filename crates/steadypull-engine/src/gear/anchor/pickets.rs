//! Pickets driven in banks and lashed, in line with the pull.
//!
//! - wood, 3 in by 5 ft, driven 3 to 4 ft at 15° away from the pull, in loam: the
//!   handbook's figure for the arrangement; one that is not in the table gets the
//!   best that it contains, bank by bank;
//! - steel, 1.5 m by 25 mm, two thirds in the ground at 45°: 350 kgf for each
//!   picket, and no more than the 2 t that the source gives pickets at all;
//! - wet or fine-grained ground halves it; hard ground counts as loam, for a
//!   picket that can hardly be driven is no better than one that can;
//! - a pull that leads upward draws pickets: the hold falls with its cosine
//!   (assumed), and past 20° a finding says so.
//!
//! Spread 0.35 (assumed): depth, soil and the lashing differ from one to another.

use super::{Hold, Pull, Way};
use crate::chance::LogNormal;
use crate::finding::{Finding, Severity};
use crate::plan::{AnchorGround, Pickets};
use crate::source::{Source, Status};
use crate::units::Force;

/// Wood pickets single, 1-1-1 and 3-2-1.
pub const WOOD_SOURCE: Source = Source::new(
    "US Navy NAVEDTRA 14251 p. 6-36 ff; US Army FM 5-125 ch. 4",
    Status::Read,
);
/// Wood pickets 1-1 and 2-1.
pub const WOOD_MEMORY_SOURCE: Source = Source::new("US Army FM 5-125 ch. 4", Status::FromMemory);
/// Steel pickets.
pub const STEEL_SOURCE: Source = Source::new(
    "Australian Emergency Manual, Disaster Rescue par. 8.3",
    Status::Read,
);
/// Factor of wet ground.
pub const GROUND_SOURCE: Source = Source::new(
    "US Army FM 5-125 ch. 4, picket holdfasts",
    Status::FromMemory,
);

/// Hold of wood pickets in loam by bank, from the line backwards, lbf, the least
/// first.
pub const WOOD_LBF: [(&[u8], f64, Source); 5] = [
    (&[1], 700.0, WOOD_SOURCE),
    (&[1, 1], 1400.0, WOOD_MEMORY_SOURCE),
    (&[1, 1, 1], 1800.0, WOOD_SOURCE),
    (&[2, 1], 2000.0, WOOD_MEMORY_SOURCE),
    (&[3, 2, 1], 4000.0, WOOD_SOURCE),
];
/// Hold of one steel picket.
pub const STEEL_EACH: Force = Force::from_kgf(350.0);
/// Most that a steel picket holdfast is given.
pub const STEEL_MOST: Force = Force::from_tf(2.0);
/// Spread of holdfasts driven by hand (assumed).
pub(super) const SPREAD: f64 = 0.35;
/// Pull above level from which a finding is made, degrees (assumed).
const STEEP_DEG: f64 = 20.0;

/// Hold of wood pickets in loam, who says so, and whether the table has that very
/// arrangement; nothing for no pickets.
pub fn wood_hold(banks: &[u8]) -> (Force, Source, bool) {
    let contained = |table: &[u8]| {
        table.len() <= banks.len() && table.iter().zip(banks).all(|(few, many)| few <= many)
    };
    match WOOD_LBF.iter().rev().find(|row| contained(row.0)) {
        Some((table, lbf, source)) => (Force::from_lbf(*lbf), *source, *table == banks),
        None => (Force::ZERO, WOOD_SOURCE, false),
    }
}

/// Hold of so many steel pickets in good ground.
pub fn steel_hold(pickets: u32) -> Force {
    (STEEL_EACH * f64::from(pickets)).min(STEEL_MOST)
}

/// Share of the hold in loam that is left in another ground.
pub fn ground_share(ground: AnchorGround) -> f64 {
    match ground {
        AnchorGround::Hard | AnchorGround::Loam => 1.0,
        AnchorGround::Wet => 0.5,
    }
}

/// What the ground does, in words that go on from the method.
pub(super) fn in_ground(ground: AnchorGround) -> String {
    match ground {
        AnchorGround::Wet => format!(
            ", halved for wet ground ({}, {})",
            GROUND_SOURCE.name,
            GROUND_SOURCE.status.words()
        ),
        AnchorGround::Hard | AnchorGround::Loam => String::new(),
    }
}

/// Share left of the hold when the line leads upward.
pub(super) fn lift_share(pull: Pull) -> f64 {
    pull.elevation.cos().max(0.0)
}

/// What the holdfast holds.
pub(super) fn hold(name: &str, pickets: &Pickets, pull: Pull) -> Hold {
    let (in_loam, source, printed) = if pickets.steel {
        let count = pickets.banks.iter().map(|n| u32::from(*n)).sum();
        (steel_hold(count), STEEL_SOURCE, true)
    } else {
        wood_hold(&pickets.banks)
    };
    let median = in_loam * (ground_share(pickets.ground) * lift_share(pull));
    let material = if pickets.steel { "steel" } else { "wood" };
    let banks = in_words(&pickets.banks);
    let mut hold = Hold::of(vec![Way {
        what: "draws out",
        load: LogNormal::new(median.get(), SPREAD),
        less: Force::ZERO,
        method: format!(
            "{material} pickets in banks of {banks}, by the handbook's figure{}",
            in_ground(pickets.ground)
        ),
        source,
    }]);
    if !printed {
        hold.findings.push(Finding::new(
            Severity::Note,
            "pickets-not-in-table",
            name,
            format!("{banks} is no arrangement of the table: it counts as the best it contains"),
            "drive 1-1, 2-1, 1-1-1 or 3-2-1",
            WOOD_SOURCE.name,
        ));
    }
    hold.findings.extend(steep(name, pull));
    hold
}

/// The banks as people write them: `3-2-1`.
pub fn in_words(banks: &[u8]) -> String {
    let banks: Vec<String> = banks.iter().map(u8::to_string).collect();
    banks.join("-")
}

/// A pull that draws pins or pickets out of the ground.
pub(super) fn steep(name: &str, pull: Pull) -> Option<Finding> {
    (pull.elevation.to_deg() > STEEP_DEG).then(|| {
        Finding::new(
            Severity::Warning,
            "anchor-lifted",
            name,
            format!(
                "the line leads {:.0} deg upward from it and draws it out of the ground",
                pull.elevation.to_deg()
            ),
            "lead the line away low, by a block near the ground if need be",
            "common practice",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_pickets_never_hold_less() {
        let of = |banks: &[u8]| wood_hold(banks).0;
        assert_eq!(of(&[2, 2, 1]), Force::from_lbf(2000.0));
        assert_eq!(of(&[4, 3, 2, 1]), Force::from_lbf(4000.0));
        assert_eq!(of(&[1, 1, 1, 1]), of(&[1, 1, 1]));
        assert_eq!(of(&[]), Force::ZERO);
        assert!(!wood_hold(&[2]).2 && wood_hold(&[2, 1]).2);
        assert!(WOOD_LBF.windows(2).all(|pair| pair[0].1 < pair[1].1));
    }

    #[test]
    fn steel_pickets_stop_at_two_tonnes() {
        assert_eq!(steel_hold(5), Force::from_kgf(1750.0));
        assert_eq!(steel_hold(12), Force::from_tf(2.0));
    }

    #[test]
    fn a_rising_line_draws_them() {
        let pickets = Pickets {
            banks: vec![3, 2, 1],
            steel: false,
            ground: AnchorGround::Loam,
        };
        let level = hold("p", &pickets, Pull::along([1.0, 0.0, 0.0]));
        let rising = hold("p", &pickets, Pull::along([1.0, 0.0, 1.0]));
        assert!((rising.median / level.median - f64::sqrt(0.5)).abs() < 1e-12);
        assert_eq!(rising.findings[0].code, "anchor-lifted");
        let up = hold("p", &pickets, Pull::along([0.0, 0.0, 1.0]));
        assert!(up.median.get() < 1e-9 && up.yield_probability(Force::new(1.0)) > 0.999);
    }
}
