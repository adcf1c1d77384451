//! Whether a guard before the glass or a raised bonnet holds what strikes it.
//!
//! What it answers: does a mesh screen of a stated energy rating hold a strike,
//! and by what margin; what is known of a raised bonnet.
//!
//! - A guard holds when its rating is no less than the energy of all that strikes:
//!   the whole kinetic energy counts, not the part square to the mesh. Without a
//!   stated rating it is not known whether it holds, and it never counts.
//! - No rating of a raised bonnet was found. Formulae for steel missiles on steel
//!   plates give the energy that just perforates a sheet:
//!   `E = 17 400 (D T)^1.5` (Ballistic Research Laboratory, plate constant 1) and
//!   `E = D S/46 500 (16 000 T² + 1500 W/W_s T)` (Stanford Research Institute),
//!   `E` in ft lbf, `D` diameter of the missile, `T` thickness, `W` width between
//!   supports over a standard `W_s` of 4, all in inches, `S` strength in lbf/in²
//!   (both from memory, as collected in BC-TOP-9-A, 1974).
//!
//! Their range begins at sheets several times as thick (`T/D` from 0.1; a bonnet is
//! at 0.015), so they are stretched here, and the sheet may fold or tear off its
//! hinge well below. More than the higher of them: it does not hold. Less: not
//! known. A bonnet is never counted as protection.

use crate::plan::{BodyShape, ScreenGuard};
use crate::source::{Source, Status};
use crate::units::{Energy, Length, Mass};

/// Perforation of a thin steel sheet.
pub const PERFORATION_SOURCE: Source = Source::new(
    "BRL and Stanford formulae for steel missiles on steel plates (as in BC-TOP-9-A, 1974), far below their range of thickness",
    Status::FromMemory,
);
/// Where a guard's rating comes from.
pub const STATED_RATING: Source = Source::new("the rating stated in the plan", Status::Assumed);
/// Of a guard without a rating.
pub const NO_RATING: Source = Source::new("no rating is stated", Status::Assumed);

/// Strength of a bonnet's sheet, lbf/in²: mild steel, 270 MPa (assumed).
const SHEET_PSI: f64 = 39_000.0;
/// Width between supports over the formula's standard, at most (the formula's own
/// range ends near 8 diameters of the missile).
const MOST_WIDTHS: f64 = 8.0;
const INCH_M: f64 = 0.0254;
const FT_LBF_J: f64 = 1.355_817_948_331_400_4;
const STEEL_KG_M3: f64 = 7850.0;

/// Whether something holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// By its stated rating.
    Yes,
    /// It does not.
    No,
    /// Nobody can say; never to be counted on.
    NotKnown,
}

/// What stands between the strike and the people.
#[derive(Debug, Clone, PartialEq)]
pub struct Shield {
    /// What it is.
    pub what: String,
    /// Whether it holds.
    pub holds: Holds,
    /// Its stated rating.
    pub rated: Option<Energy>,
    /// Rating over the energy that strikes.
    pub margin: Option<f64>,
    /// Energy that just perforates it by two formulae, low and high.
    pub estimate: Option<(Energy, Energy)>,
    /// What that rests on.
    pub source: Source,
}

/// A guard against a strike of `energy`.
pub fn guard(guard: &ScreenGuard, energy: Energy) -> Shield {
    let margin = guard.rated_energy.map(|rated| {
        if energy.get() > 0.0 {
            (rated.get() / energy.get()).min(1e6)
        } else {
            1e6
        }
    });
    Shield {
        what: guard.what.clone(),
        holds: match margin {
            Some(margin) if margin >= 1.0 => Holds::Yes,
            Some(_) => Holds::No,
            None => Holds::NotKnown,
        },
        rated: guard.rated_energy,
        margin,
        estimate: None,
        source: if guard.rated_energy.is_some() {
            STATED_RATING
        } else {
            NO_RATING
        },
    }
}

/// A raised bonnet against a steel body of `mass` that strikes with `energy`.
pub fn raised_bonnet(shape: &BodyShape, mass: Mass, energy: Energy) -> Shield {
    let (low, high) = perforation(shape.bonnet_sheet, diameter(mass));
    Shield {
        what: "raised bonnet".into(),
        holds: if energy > high {
            Holds::No
        } else {
            Holds::NotKnown
        },
        rated: None,
        margin: None,
        estimate: Some((low, high)),
        source: PERFORATION_SOURCE,
    }
}

/// Diameter of a round steel lump of `mass`, at least that of a soft shackle's knot.
fn diameter(mass: Mass) -> Length {
    let kg = mass.get().max(0.1);
    Length::new(libm::cbrt(6.0 * kg / (core::f64::consts::PI * STEEL_KG_M3)))
}

/// Energies at which a steel body of `diameter` just perforates a steel sheet, the
/// lower and the higher of the two formulae.
pub fn perforation(sheet: Length, diameter: Length) -> (Energy, Energy) {
    let (t, d) = (sheet.get() / INCH_M, diameter.get() / INCH_M);
    let brl = 17_400.0 * libm::pow(d * t, 1.5);
    let widths = (8.0 * d / 4.0).min(MOST_WIDTHS);
    let stanford = d * SHEET_PSI / 46_500.0 * (16_000.0 * t * t + 1500.0 * widths * t);
    let joules = |ft_lbf: f64| Energy::new(ft_lbf * FT_LBF_J);
    (joules(brl.min(stanford)), joules(brl.max(stanford)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_higher_rating_never_turns_holds_into_does_not() {
        let of = |joules: f64| ScreenGuard {
            what: "mesh".into(),
            rated_energy: Some(Energy::new(joules)),
            over: crate::plan::Guarded::Windscreen,
        };
        let mut held = false;
        for i in 1..200 {
            let shield = guard(&of(10.0 * f64::from(i)), Energy::new(777.0));
            assert!(!(held && shield.holds == Holds::No), "{i}");
            held = shield.holds == Holds::Yes;
            assert_eq!(held, shield.margin.unwrap() >= 1.0);
        }
        assert!(held);
    }

    #[test]
    fn without_a_rating_nothing_is_known() {
        let bare = ScreenGuard {
            what: "mesh".into(),
            rated_energy: None,
            over: crate::plan::Guarded::Both,
        };
        let shield = guard(&bare, Energy::new(1.0));
        assert_eq!((shield.holds, shield.margin), (Holds::NotKnown, None));
    }

    #[test]
    fn a_bonnet_is_never_said_to_hold() {
        let shape = BodyShape::wagon();
        for (kg, joules, holds) in [
            (1.5, 1.0, Holds::NotKnown),
            (1.5, 79.0, Holds::NotKnown),
            (1.5, 3000.0, Holds::No),
        ] {
            let shield = raised_bonnet(&shape, Mass::new(kg), Energy::new(joules));
            assert_eq!(shield.holds, holds, "{joules} J: {shield:?}");
        }
    }

    #[test]
    fn perforation_follows_its_formulae() {
        // One inch of plate, a missile of one inch: 17 400 ft lbf by the first;
        // 1 x 39 000/46 500 x (16 000 + 1500 x 2) = 15 935 by the second.
        let inch = Length::new(INCH_M);
        let (low, high) = perforation(inch, inch);
        assert!((high.get() / FT_LBF_J - 17_400.0).abs() < 1e-6);
        assert!((low.get() / FT_LBF_J - 15_935.483_871).abs() < 1e-3);
        let (thin, _) = perforation(Length::from_mm(0.7), Length::from_mm(70.0));
        let (thick, _) = perforation(Length::from_mm(1.4), Length::from_mm(70.0));
        assert!(thick > thin);
    }
}
