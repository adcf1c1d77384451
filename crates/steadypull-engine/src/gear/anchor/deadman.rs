//! A log or timber buried across the pull.
//!
//! `F = HP × ground × face × (length − trench)`: `HP` the holding power of loam by
//! the depth of its middle and the slope of the line up to the surface (table,
//! straight between its points), `ground` 5 in hardpan or rock and 0.5 in
//! fine-grained or wet ground, `face` its height, `trench` the width dug away for
//! the line. The length counts up to five diameters of a log or nine of a timber:
//! past that it would break before the ground does.
//!
//! Range: 3 to 7 ft deep; shallower the power falls with the square of the depth,
//! as the table itself does (assumed); deeper it counts as 7 ft. Lines flatter
//! than 1 in 4 count as 1 in 4; steeper than 1 in 1 the table has nothing, and the
//! anchor is refused. Spread 0.35 (assumed): loam is not one soil.

use super::{Hold, Pull, Way};
use crate::chance::LogNormal;
use crate::finding::{Finding, Severity};
use crate::plan::{AnchorGround, Deadman};
use crate::show::Units;
use crate::source::{Source, Status};
use crate::table::read_between;
use crate::units::{Angle, FOOT_M, Force, Length, POUND_FORCE_N, Pressure};

/// Holding power and ground factor.
pub const POWER_SOURCE: Source = Source::new(
    "US Army TM 5-5420-278-10 table 9 (= FM 5-125), loam",
    Status::Read,
);
/// Length needed and the limits of length over diameter.
pub const LENGTH_SOURCE: Source = Source::new(
    "US Army FM 5-125 ch. 4: length and limits of a deadman",
    Status::FromMemory,
);

/// Runs per rise of the table's columns.
const RUNS: [f64; 4] = [1.0, 2.0, 3.0, 4.0];
/// Mean depth, ft, and holding power at 1 in 1, 2, 3 and 4, lbf/ft².
const POWER: [(f64, [f64; 4]); 5] = [
    (3.0, [950.0, 1300.0, 1450.0, 1500.0]),
    (4.0, [1750.0, 2200.0, 2600.0, 2700.0]),
    (5.0, [2800.0, 3600.0, 4000.0, 4100.0]),
    (6.0, [3800.0, 5100.0, 5800.0, 6000.0]),
    (7.0, [5100.0, 7000.0, 8000.0, 8400.0]),
];
const LBF_PER_FT2: Pressure = Pressure::new(POUND_FORCE_N / (FOOT_M * FOOT_M));

/// Greatest length over diameter of a log.
pub const MOST_LOG: f64 = 5.0;
/// Greatest length over height of a timber.
pub const MOST_TIMBER: f64 = 9.0;
/// Spread of the ground about the table (assumed).
const SPREAD: f64 = 0.35;

/// Holding power of loam; `None` for a line steeper than 1 in 1 or a depth that
/// is none.
pub fn holding_power(depth: Length, line_slope: f64) -> Option<Pressure> {
    let feet = depth.to_ft();
    // 1 in 1 that missed by rounding still counts as such.
    if !(feet > 0.0 && line_slope <= 1.0 + 1e-9) {
        return None;
    }
    let run = if line_slope > 0.0 {
        1.0 / line_slope
    } else {
        RUNS[3]
    };
    let at_depth = |row: &(f64, [f64; 4])| {
        let columns: Vec<(f64, f64)> = RUNS.into_iter().zip(row.1).collect();
        (row.0, read_between(&columns, run))
    };
    let by_depth: Vec<(f64, f64)> = POWER.iter().map(at_depth).collect();
    let shallow = (feet / POWER[0].0).min(1.0);
    Some(LBF_PER_FT2 * (read_between(&by_depth, feet) * shallow * shallow))
}

/// Holding power over that of loam.
pub fn ground_factor(ground: AnchorGround) -> f64 {
    match ground {
        AnchorGround::Hard => 5.0,
        AnchorGround::Loam => 1.0,
        AnchorGround::Wet => 0.5,
    }
}

/// Length that a load needs: what bears on the ground, and the trench.
pub fn length_needed(load: Force, power: Pressure, face: Length, trench: Length) -> Length {
    Length::new(load.get() / (power.get() * face.get())) + trench
}

/// Greatest length over face.
pub fn most_slender(log: bool) -> f64 {
    if log { MOST_LOG } else { MOST_TIMBER }
}

/// What the deadman holds.
pub(super) fn hold(name: &str, deadman: &Deadman, pull: Pull, units: Units) -> Hold {
    // The line cannot leave the ground flatter than it leads on.
    let slope = deadman.line_slope.max(pull.elevation.tan());
    let steepest = pull.elevation >= Angle::from_deg(89.0);
    let power = holding_power(deadman.depth, slope).filter(|_| !steepest);
    let counted = deadman.length.min(deadman.face * most_slender(deadman.log));
    let bearing = (counted - deadman.trench).max(Length::ZERO);
    let pascals = power.map_or(0.0, Pressure::get) * ground_factor(deadman.ground);
    let mut hold = Hold::of(vec![Way {
        what: "breaks out",
        load: LogNormal::new(pascals * deadman.face.get() * bearing.get(), SPREAD),
        less: Force::ZERO,
        method: format!(
            "holding power of the ground at {} and a line of 1 in {:.1}, {} bearing",
            units.rough_length(deadman.depth.get()),
            if slope > 0.0 { 1.0 / slope } else { RUNS[3] },
            units.rough_length(bearing.get())
        ),
        source: POWER_SOURCE,
    }]);
    if power.is_none() {
        hold.refused =
            Some("its line comes up steeper than 1 in 1, which lifts it out of the ground".into());
    }
    hold.findings = findings(name, deadman, slope);
    hold
}

fn findings(name: &str, deadman: &Deadman, slope: f64) -> Vec<Finding> {
    let mut found = Vec::new();
    let slender = deadman.length / deadman.face;
    let most = most_slender(deadman.log);
    if slender > most + 1e-9 {
        found.push(Finding::new(
            Severity::Warning,
            "deadman-slender",
            name,
            format!(
                "it is {slender:.1} times as long as it is thick, past {most:.0}: it may break, \
                 and no more than {most:.0} is counted"
            ),
            "use a thicker or shorter one, or two side by side",
            LENGTH_SOURCE.name,
        ));
    }
    if deadman.trench >= deadman.length {
        found.push(Finding::new(
            Severity::Critical,
            "deadman-trench",
            name,
            "the trench for the line is as wide as it is long: nothing bears on the ground",
            "dig the trench no wider than the line needs",
            LENGTH_SOURCE.name,
        ));
    }
    if slope > deadman.line_slope + 1e-9 {
        found.push(Finding::new(
            Severity::Note,
            "deadman-line-slope",
            name,
            "the rig leads its line up steeper than the plan says: the steeper one is counted",
            "cut the trench along the line, or lead the line away lower",
            POWER_SOURCE.name,
        ));
    }
    if deadman.depth.to_ft() < POWER[0].0 {
        found.push(Finding::new(
            Severity::Warning,
            "deadman-shallow",
            name,
            "it lies shallower than the 3 ft (0.9 m) where the table begins",
            "bury it deeper",
            POWER_SOURCE.name,
        ));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hold(name: &str, deadman: &Deadman, pull: Pull) -> Hold {
        super::hold(name, deadman, pull, Units::Metric)
    }

    const LEVEL: Pull = Pull {
        elevation: Angle::ZERO,
        bearing: Angle::ZERO,
    };

    fn log() -> Deadman {
        Deadman {
            depth: Length::from_ft(5.0),
            line_slope: 0.25,
            face: Length::from_ft(1.0),
            length: Length::from_ft(5.0),
            trench: Length::from_ft(1.0),
            log: true,
            ground: AnchorGround::Loam,
        }
    }

    #[test]
    fn power_grows_with_depth_and_flatness() {
        let at = |ft: f64, slope: f64| holding_power(Length::from_ft(ft), slope).unwrap();
        let mut last = Pressure::ZERO;
        for step in 1..90 {
            let here = at(0.1 * f64::from(step), 0.3);
            assert!(here >= last, "{step}");
            last = here;
        }
        assert!(at(5.0, 0.5) > at(5.0, 0.9) && at(5.0, 0.1) == at(5.0, 0.25));
        assert!((at(9.0, 0.25) / at(7.0, 0.25) - 1.0).abs() < 1e-12);
        assert_eq!(holding_power(Length::from_ft(5.0), 1.2), None);
        assert_eq!(holding_power(Length::from_ft(5.0), f64::NAN), None);
        assert_eq!(holding_power(Length::ZERO, 0.25), None);
    }

    #[test]
    fn a_steep_pull_weakens_and_then_lifts_it() {
        let flat = hold("d", &log(), LEVEL);
        assert!((flat.median.to_lbf() - 4.0 * 4100.0).abs() < 1e-6);
        let steep = hold("d", &log(), Pull::along([2.0, 0.0, 1.0]));
        assert!(steep.median < flat.median && steep.findings[0].code == "deadman-line-slope");
        for up in [[1.0, 0.0, 2.0], [0.0, 0.0, 1.0]] {
            let lifted = hold("d", &log(), Pull::along(up));
            assert!(lifted.refused.is_some() && lifted.high == Force::ZERO);
        }
    }

    #[test]
    fn past_the_limit_more_length_counts_for_nothing() {
        let longer = Deadman {
            length: Length::from_ft(8.0),
            ..log()
        };
        let (five, eight) = (hold("d", &log(), LEVEL), hold("d", &longer, LEVEL));
        assert_eq!(five.median, eight.median);
        assert_eq!(eight.findings[0].code, "deadman-slender");
        let timber = Deadman {
            log: false,
            ..longer
        };
        assert!(hold("d", &timber, LEVEL).findings.is_empty());
    }
}
