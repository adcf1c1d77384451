//! Forged dee and bow shackles: working load, breaking load, deratings.
//!
//! Working load limits by bow size; breaking load at least five times that;
//! factors for side load, heat and two legs in the bow; a field formula for a
//! shackle with no mark. Carbon and grade 6 shackles with screw or bolt pins.

use crate::source::{Source, Status};
use crate::table::read_between;
use crate::units::{Angle, Force, Length};

/// Sizes and working loads.
pub const SIZE_SOURCE: Source = Source::new(
    "US Fed. Spec. RR-C-271 grade A sizes, read in a supplier table",
    Status::Read,
);
/// Breaking load over working load.
pub const BREAKING_SOURCE: Source = Source::new(
    "city utility standard citing RR-C-271D: at least 5; makers state 6",
    Status::Read,
);
/// Proof load over working load.
pub const PROOF_SOURCE: Source = Source::new("EN 13889:2003; RR-C-271", Status::FromMemory);
/// Side load and two legs.
pub const SIDE_LOAD_SOURCE: Source = Source::new(
    "shackle maker tables, four agree; ASME B30.26 defers to maker",
    Status::Read,
);
/// Heat.
pub const HEAT_SOURCE: Source = Source::new("supplier table, EN 13889 shackles", Status::Read);
/// Shackles with no mark.
pub const FIELD_SOURCE: Source = Source::new("US Navy NAVEDTRA 14251 ch. 6", Status::Read);

/// Least breaking load over working load.
pub const BREAKING_RATIO: f64 = 5.0;
/// The same as makers state it: not to be counted on without the part's paper.
pub const BREAKING_RATIO_MAKERS: f64 = 6.0;
/// Proof load over working load, EN 13889.
pub const PROOF_RATIO_EN: f64 = 2.0;
/// Proof load over working load, RR-C-271.
pub const PROOF_RATIO_US: f64 = 2.2;

/// One size as printed: bow diameter mm, working load t, pin diameter mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Diameter of the bow's bar, mm.
    pub bow_mm: f64,
    /// Working load limit, tonnes-force.
    pub wll_tf: f64,
    /// Diameter of the pin, mm.
    pub pin_mm: f64,
}

const fn size(bow_mm: f64, wll_tf: f64, pin_mm: f64) -> Size {
    Size {
        bow_mm,
        wll_tf,
        pin_mm,
    }
}

/// The sizes of RR-C-271 grade A.
pub const SIZES: [Size; 18] = [
    size(5.0, 0.33, 6.0),
    size(6.0, 0.5, 8.0),
    size(8.0, 0.75, 10.0),
    size(9.0, 1.0, 11.0),
    size(11.0, 1.5, 13.0),
    size(13.0, 2.0, 16.0),
    size(16.0, 3.25, 19.0),
    size(19.0, 4.75, 22.0),
    size(22.0, 6.5, 25.0),
    size(25.0, 8.5, 28.0),
    size(28.0, 9.5, 32.0),
    size(32.0, 12.0, 35.0),
    size(35.0, 13.5, 38.0),
    size(38.0, 17.0, 42.0),
    size(45.0, 25.0, 50.0),
    size(50.0, 35.0, 57.0),
    size(65.0, 55.0, 70.0),
    size(75.0, 85.0, 83.0),
];

/// Working load limit of the nominal size nearest to a measured bow, where one
/// lies within 0.6 mm (an inch size is up to that much off its metric name).
pub fn wll_by_bow(bow: Length) -> Option<Force> {
    SIZES
        .iter()
        .find(|size| (size.bow_mm - bow.to_mm()).abs() <= 0.6)
        .map(|size| Force::from_tf(size.wll_tf))
}

/// Least breaking load of a marked shackle.
pub fn least_breaking_load(wll: Force) -> Force {
    wll * BREAKING_RATIO
}

/// Share of the working load left when pulled `angle` out of line with the bow.
///
/// 1, 0.7 and 0.5 at 0°, 45° and 90°, straight between; nothing past 90°, where
/// no table goes.
pub fn side_load_factor(angle: Angle) -> f64 {
    let deg = angle.abs().to_deg();
    // A right angle that missed by rounding is still a right angle.
    if deg > 90.0 + 1e-9 {
        return 0.0;
    }
    read_between(&[(0.0, 1.0), (45.0, 0.7), (90.0, 0.5)], deg)
}

/// Share of the working load left with two symmetric legs in the bow: all of it
/// up to 120° between them, none past that, where no table goes.
pub fn two_leg_factor(included: Angle) -> f64 {
    let deg = included.abs().to_deg();
    if deg.is_nan() {
        f64::NAN
    } else if deg <= 120.0 + 1e-9 {
        1.0
    } else {
        0.0
    }
}

/// Inside length of a bow over the diameter of its pin (assumed: usual
/// proportions; 71 mm on 22 mm at 4.75 t).
pub const INSIDE_OVER_PIN: f64 = 3.2;

/// Diameter of the pin of a shackle of this working load: the nearest size at or
/// below it, the smallest for less.
pub fn pin_by_wll(wll: Force) -> Length {
    let below = SIZES
        .iter()
        .rev()
        .find(|size| size.wll_tf <= wll.to_tf() + 1e-9);
    Length::from_mm(below.unwrap_or(&SIZES[0]).pin_mm)
}

/// How far a shackle tilts when its load slides to one side of the pin.
///
/// The load lies half of the free width `gap` off the middle of the pin, the other
/// pull goes through the crown, one inside length above: `tan t = gap/2 over the
/// inside length`. Geometry; the inside length is by usual proportions.
pub fn pin_tilt(wll: Force, gap: Length) -> Angle {
    let inside = pin_by_wll(wll) * INSIDE_OVER_PIN;
    Angle::new(libm::atan(gap.get().max(0.0) / 2.0 / inside.get()))
}

/// What heat does to a shackle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Heat {
    /// It keeps this share of its working load.
    Keeps(f64),
    /// It must not be used.
    DoNotUse,
    /// Colder than the table goes.
    NotCovered,
}

/// What is left of a shackle at `temperature_c`, degrees Celsius.
pub fn heat_factor(temperature_c: f64) -> Heat {
    match temperature_c {
        t if t < 0.0 => Heat::NotCovered,
        t if t <= 200.0 => Heat::Keeps(1.0),
        t if t <= 300.0 => Heat::Keeps(0.90),
        t if t <= 400.0 => Heat::Keeps(0.75),
        // Hotter, or not a number.
        _ => Heat::DoNotUse,
    }
}

/// Working load of an unmarked shackle by the bow's bar: 3 D² short tons, D in
/// inches. For rigging by hand; a recovery rig needs a marked part.
pub fn field_wll_inches(bow: Length) -> Force {
    let d = bow.to_inch();
    Force::from_lbf(3.0 * d * d * 2000.0)
}

/// The same rule as printed in metric: 0.417 D² tonnes, D in centimetres.
pub fn field_wll_metric(bow: Length) -> Force {
    let d_cm = bow.to_mm() / 10.0;
    Force::from_tf(0.417 * d_cm * d_cm)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_rise_and_unknown_sizes_have_no_rating() {
        assert!(
            SIZES
                .windows(2)
                .all(|p| p[0].bow_mm < p[1].bow_mm && p[0].wll_tf < p[1].wll_tf)
        );
        assert_eq!(wll_by_bow(Length::from_mm(14.5)), None);
        assert_eq!(
            wll_by_bow(Length::from_inch(0.75)),
            wll_by_bow(Length::from_mm(19.0))
        );
    }

    #[test]
    fn a_wider_gap_tilts_more() {
        let wll = Force::from_tf(4.75);
        assert_eq!(pin_by_wll(wll), Length::from_mm(22.0));
        assert_eq!(pin_by_wll(Force::from_tf(5.0)), Length::from_mm(22.0));
        assert_eq!(pin_by_wll(Force::from_tf(0.1)), Length::from_mm(6.0));
        assert_eq!(pin_tilt(wll, Length::ZERO), Angle::ZERO);
        let tilt = |mm: f64| pin_tilt(wll, Length::from_mm(mm)).to_deg();
        assert!(tilt(10.0) < tilt(20.0) && (7.0..9.0).contains(&tilt(20.0)));
    }

    #[test]
    fn side_load_past_the_table_carries_nothing() {
        assert_eq!(side_load_factor(Angle::from_deg(90.0)), 0.5);
        assert_eq!(side_load_factor(Angle::from_deg(-45.0)), 0.7);
        assert_eq!(side_load_factor(Angle::from_deg(100.0)), 0.0);
        assert!(side_load_factor(Angle::new(f64::NAN)).is_nan());
        assert_eq!(two_leg_factor(Angle::from_deg(130.0)), 0.0);
        assert_eq!(heat_factor(f64::NAN), Heat::DoNotUse);
    }
}
