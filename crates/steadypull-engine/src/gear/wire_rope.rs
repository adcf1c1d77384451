//! Wire rope: field rule, U-bolt clips, loss by bending, elastic stretch.
//!
//! - working load `8 d²` kgf (d in mm) or `8 d²` short tons (d in inches), 30 %
//!   less when sharply bent: for rope with no certificate;
//! - clips by rope size, six diameters apart;
//! - share of strength left by the ratio of bend to rope diameter, D/d;
//! - stretch `W L / (E A)`, metal area `0.40 d²`, E 100 GPa (60 to 110).

use crate::source::{Source, Status};
use crate::table::read_between;
use crate::units::{Area, Force, Length, Pressure};

/// The field rule.
pub const FIELD_SOURCE: Source = Source::new(
    "Australian Emergency Manual, Disaster Rescue par. 3.15; US Navy NAVEDTRA 14026 ch. 1",
    Status::Read,
);
/// Loss by bending.
pub const BEND_SOURCE: Source = Source::new(
    "wire rope tackle block table (source curve: Wire Rope Users Manual)",
    Status::Read,
);
/// Clips.
pub const CLIP_SOURCE: Source = Source::new(
    "29 CFR 1918 App. II table 1; FM 55-501 par. 12-101",
    Status::Read,
);
/// Stretch: the formula from a maker's note, area factor and E from memory.
pub const STRETCH_SOURCE: Source = Source::new("dL = W L / (E A)", Status::Computed);

/// Share of the field rule left round a sharp bend.
pub const SHARP_BEND: f64 = 0.7;

/// Working load by the metric field rule.
pub fn field_wll_metric(diameter: Length) -> Force {
    let d = diameter.to_mm();
    Force::from_kgf(8.0 * d * d)
}

/// Working load by the inch field rule.
pub fn field_wll_inches(diameter: Length) -> Force {
    let d = diameter.to_inch();
    Force::from_lbf(8.0 * d * d * 2000.0)
}

const BEND: [(f64, f64); 10] = [
    (1.0, 0.50),
    (2.0, 0.65),
    (4.0, 0.75),
    (6.0, 0.79),
    (8.0, 0.83),
    (10.0, 0.86),
    (15.0, 0.89),
    (20.0, 0.91),
    (30.0, 0.93),
    (40.0, 0.95),
];

/// Share of strength left round a bend of `bend` over a rope of `rope`
/// diameter; `None` for a bend sharper than the rope itself, which no table
/// covers. Gentler than 40 to 1 counts as 40 to 1.
pub fn bend_efficiency(bend: Length, rope: Length) -> Option<f64> {
    let ratio = bend / rope;
    (ratio >= 1.0).then(|| read_between(&BEND, ratio))
}

/// U-bolt clips for one eye.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clips {
    /// How many drop-forged clips.
    pub forged: u8,
    /// How many of any other make.
    pub other: u8,
    /// From clip to clip.
    pub spacing: Length,
}

/// Rope inches, drop-forged clips, other clips, spacing inches.
const CLIPS: [(f64, u8, u8, f64); 9] = [
    (0.5, 3, 4, 3.0),
    (0.625, 3, 4, 3.75),
    (0.75, 4, 5, 4.5),
    (0.875, 4, 5, 5.25),
    (1.0, 5, 6, 6.0),
    (1.125, 6, 6, 6.75),
    (1.25, 6, 7, 7.5),
    (1.375, 7, 7, 8.25),
    (1.5, 7, 8, 9.0),
];

/// Clips for a rope, by the next size up; `None` past 1½ in.
pub fn clips(rope: Length) -> Option<Clips> {
    // A rope measured to a thousandth of an inch over a size is that size.
    let inches = rope.to_inch() - 1e-3;
    CLIPS.iter().find(|row| inches <= row.0).map(|row| Clips {
        forged: row.1,
        other: row.2,
        spacing: Length::from_inch(row.3),
    })
}

/// Metal area over diameter squared of 6x19 rope (from memory).
pub const METAL_AREA_FACTOR: f64 = 0.40;
/// Modulus of the rope: low, taken, high (from memory).
pub const MODULUS: [Pressure; 3] = [
    Pressure::from_kpa(60e6),
    Pressure::from_kpa(100e6),
    Pressure::from_kpa(110e6),
];

/// Metal area of a 6x19 rope.
pub fn metal_area(diameter: Length) -> Area {
    Area::new(METAL_AREA_FACTOR * diameter.get() * diameter.get())
}

/// Elastic stretch under `load`, once the rope has bedded in.
pub fn elastic_stretch(load: Force, length: Length, area: Area, modulus: Pressure) -> Length {
    Length::new(load.get() * length.get() / (modulus.get() * area.get()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn off_the_tables() {
        let rope = Length::from_mm(10.0);
        assert_eq!(bend_efficiency(Length::from_mm(5.0), rope), None);
        assert_eq!(bend_efficiency(Length::new(9.0), rope), Some(0.95));
        assert_eq!(bend_efficiency(Length::new(f64::NAN), rope), None);
        assert_eq!(clips(Length::from_inch(2.0)), None);
        assert_eq!(clips(Length::from_mm(10.0)).map(|c| c.forged), Some(3));
    }
}
