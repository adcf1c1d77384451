//! What bends, hitches and side pulls take from a part, each with its source.
//!
//! - bend: share of strength left by `D/d`, the diameter bent round over the
//!   thickness of the line, from the published wire rope table. No table for fibre
//!   lines was found: the wire table stands in (assumed). The thickness of webbing
//!   is a fifth of the diameter it would have as a braid (assumed: a 9 t strap is
//!   then 6 mm thick). Sharper than 1 to 1, where the table ends at one half, what
//!   is left falls with the ratio (assumed). Not for an eye made for its pin, which
//!   was broken on one when the line was rated, nor for chain;
//! - hitch: EN 1492-1 mode factors. A choked strap keeps 0.8; a basket is rated
//!   for 1.4 times a straight strap up to 45° between leg and pull, once that up to
//!   60°, and nothing beyond: its two legs share the load, so this is a share of
//!   load and not a gain in strength;
//! - shackle: published side-load table, for the angle of the pull and the tilt on
//!   a pin that is not filled; two legs in the bow up to 120° apart.

use super::links::Factor;
use crate::gear::sling::{self, Mode};
use crate::gear::{shackle, wire_rope};
use crate::line::Material;
use crate::plan::{Hitch, Line, Shackle};
use crate::units::{Angle, Length};

const SIDE_SOURCE: &str = "shackle maker tables, four agree; ASME B30.26 defers to the maker";
const TILT_SOURCE: &str = "tilt by geometry (inside length of the bow assumed), then shackle \
                           maker tables for a side load";
const FIBRE_BEND_SOURCE: &str =
    "assumed: wire rope tackle block table stands in, none was found for fibre";

/// Thickness of webbing over the diameter of a braid of the same mass (assumed).
const WEBBING_THICKNESS: f64 = 0.2;

/// The thickness that a line bends over: its diameter, for webbing its thickness.
pub fn bend_thickness(line: &Line) -> Length {
    let diameter = line.material.diameter(line.mass_per_length);
    match line.material {
        Material::NylonWebbing | Material::PolyesterWebbing => diameter * WEBBING_THICKNESS,
        _ => diameter,
    }
}

/// What a bend round something of diameter `over` leaves of a line; `what` is that
/// thing, such as `the sheave`. `None` for chain, which no such table is for.
pub fn bend_factor(line: &Line, over: Length, what: &str) -> Option<Factor> {
    if line.material == Material::Chain {
        return None;
    }
    let thickness = bend_thickness(line);
    let ratio = over / thickness;
    let left = match wire_rope::bend_efficiency(over, thickness) {
        Some(left) => left,
        None if ratio > 0.0 => 0.5 * ratio,
        // Round nothing at all, or no number.
        None => 0.0,
    };
    Some(Factor {
        what: format!("bent round {what} at D/d {ratio:.1}"),
        left,
        source: if line.material == Material::WireRope {
            wire_rope::BEND_SOURCE.name
        } else {
            FIBRE_BEND_SOURCE
        },
    })
}

/// What the hitch of a strap leaves of its strength; `None` where it takes nothing.
pub fn hitch_factor(line: &Line, from_axis: Angle) -> Option<Factor> {
    let left = match line.hitch {
        Hitch::Choke => sling::mode_factor(Mode::Choke, from_axis)?,
        Hitch::Straight | Hitch::Basket => return None,
    };
    Some(Factor {
        what: "choked".into(),
        left,
        source: sling::MODE_SOURCE.name,
    })
}

/// Load on a strap over the load on its shackle, as its rating counts it: all of it,
/// or in a basket one over the mode factor; `None` for a basket too wide.
pub fn hitch_share(line: &Line, from_axis: Angle) -> Option<f64> {
    match line.hitch {
        Hitch::Straight | Hitch::Choke => Some(1.0),
        Hitch::Basket => sling::mode_factor(Mode::Basket, from_axis).map(|factor| 1.0 / factor),
    }
}

/// The larger of two angles without sign; no number if the first is none.
pub(super) fn worse_angle(solved: Angle, stated: Angle) -> Angle {
    if solved.get().is_nan() {
        return solved;
    }
    solved.abs().max(stated.abs())
}

/// What a pull to the side leaves; `None` in line.
pub(super) fn side_factor(angle: Angle) -> Option<Factor> {
    let left = shackle::side_load_factor(angle);
    // Not below one, for a number that is none, as well.
    (left != 1.0).then(|| Factor {
        what: format!("pulled {:.0} deg to the side", angle.abs().to_deg()),
        left,
        source: SIDE_SOURCE,
    })
}

/// What side load, a loose pin and the spread of two legs leave of a hard shackle,
/// and why it may not be used at all, if so. The angle is that of the rig or what
/// the plan says, whichever is more. Nothing is taken from a soft shackle, which
/// turns to the pull.
pub fn shackle_factors(
    shackle: &Shackle,
    side_angle: Angle,
    legs_included: Option<Angle>,
) -> (Vec<Factor>, Option<String>) {
    if !shackle.kind.is_metal() {
        return (Vec::new(), None);
    }
    if side_angle.get().is_nan() {
        return (
            Vec::new(),
            Some("nobody knows the angle it is pulled at".into()),
        );
    }
    let side = worse_angle(side_angle, shackle.side_angle);
    let tilt = match (shackle.wll, shackle.pin_gap) {
        (Some(wll), Some(gap)) => shackle::pin_tilt(wll, gap),
        _ => Angle::ZERO,
    };
    let mut factors: Vec<Factor> = side_factor(side).into_iter().collect();
    let straight = shackle::side_load_factor(side);
    if tilt > Angle::ZERO && straight > 0.0 {
        factors.push(Factor {
            what: format!("tilts {:.0} deg on a pin that is not filled", tilt.to_deg()),
            left: shackle::side_load_factor(side + tilt) / straight,
            source: TILT_SOURCE,
        });
    }
    (factors, refused(side + tilt, legs_included))
}

fn refused(side: Angle, legs: Option<Angle>) -> Option<String> {
    if shackle::side_load_factor(side) == 0.0 {
        return Some(format!(
            "it is pulled {:.0} deg to the side, past the 90 where its rating ends",
            side.to_deg()
        ));
    }
    legs.filter(|legs| shackle::two_leg_factor(*legs) == 0.0)
        .map(|legs| {
            format!(
                "its two legs stand {:.0} deg apart, past the 120 where its rating ends",
                legs.abs().to_deg()
            )
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Condition;
    use crate::plan::ShackleKind;
    use crate::units::{Force, Mass};

    fn line(material: Material, hitch: Hitch) -> Line {
        let mbs = Force::from_tf(9.0);
        Line {
            name: "line".into(),
            material,
            kinetic: false,
            length: Length::new(3.0),
            mbs,
            wll: None,
            mass_per_length: material.mass_per_length(mbs),
            curve: material.curve().unwrap(),
            condition: Condition::default(),
            labelled: true,
            hitch,
            parts_at: None,
        }
    }

    fn bow(gap_mm: Option<f64>, side_deg: f64) -> Shackle {
        Shackle {
            name: "bow".into(),
            kind: ShackleKind::Bow,
            wll: Some(Force::from_tf(4.75)),
            mbs: Force::from_tf(23.75),
            mass: Mass::new(1.3),
            side_angle: Angle::from_deg(side_deg),
            pin_gap: gap_mm.map(Length::from_mm),
        }
    }

    #[test]
    fn bends_by_the_table_and_below_it() {
        let rope = line(Material::WireRope, Hitch::Straight);
        let d = bend_thickness(&rope);
        let at = |ratio: f64| bend_factor(&rope, d * ratio, "the sheave").unwrap();
        assert!((at(6.0).left - 0.79).abs() < 1e-9);
        assert_eq!(at(6.0).what, "bent round the sheave at D/d 6.0");
        assert!((at(1.0).left - 0.5).abs() < 1e-9 && (at(0.5).left - 0.25).abs() < 1e-9);
        assert_eq!(at(0.0).left, 0.0);
        assert_eq!(at(f64::NAN).left, 0.0);
        let hmpe = line(Material::Hmpe, Hitch::Straight);
        let stand_in = bend_factor(&hmpe, Length::from_mm(80.0), "the sheave").unwrap();
        assert!(stand_in.source.starts_with("assumed"));
        let chain = line(Material::Chain, Hitch::Straight);
        assert_eq!(bend_factor(&chain, d, "the sheave"), None);
    }

    #[test]
    fn webbing_bends_over_its_thickness() {
        let strap = line(Material::NylonWebbing, Hitch::Straight);
        assert!((5.0..8.0).contains(&bend_thickness(&strap).to_mm()));
    }

    #[test]
    fn hitches_by_the_mode_factors() {
        let of = |hitch| line(Material::PolyesterWebbing, hitch);
        let at = Angle::from_deg;
        assert_eq!(hitch_factor(&of(Hitch::Straight), at(0.0)), None);
        assert_eq!(hitch_factor(&of(Hitch::Choke), at(0.0)).unwrap().left, 0.8);
        assert_eq!(hitch_share(&of(Hitch::Choke), at(0.0)), Some(1.0));
        assert_eq!(hitch_share(&of(Hitch::Basket), at(30.0)), Some(1.0 / 1.4));
        assert_eq!(hitch_share(&of(Hitch::Basket), at(60.0)), Some(1.0));
        assert_eq!(hitch_share(&of(Hitch::Basket), at(61.0)), None);
    }

    #[test]
    fn a_shackle_in_line_and_filled_loses_nothing() {
        let (factors, refused) = shackle_factors(&bow(Some(0.0), 0.0), Angle::ZERO, None);
        assert!(factors.is_empty() && refused.is_none());
    }

    #[test]
    fn side_pull_and_tilt_come_to_the_table_at_their_sum() {
        let wll = Force::from_tf(4.75);
        let (factors, refused) =
            shackle_factors(&bow(Some(12.0), 10.0), Angle::from_deg(-30.0), None);
        let left: f64 = factors.iter().map(|f| f.left).product();
        let sum = Angle::from_deg(30.0) + shackle::pin_tilt(wll, Length::from_mm(12.0));
        assert!((left - shackle::side_load_factor(sum)).abs() < 1e-12);
        assert!(factors.len() == 2 && refused.is_none());
    }

    #[test]
    fn past_the_tables_it_is_refused() {
        let refused = |side: f64, legs: Option<f64>| {
            let legs = legs.map(Angle::from_deg);
            shackle_factors(&bow(None, 0.0), Angle::from_deg(side), legs).1
        };
        assert_eq!(refused(90.0, Some(120.0)), None);
        assert!(refused(95.0, None).unwrap().contains("95 deg"));
        assert!(refused(f64::NAN, None).is_some());
        assert!(refused(0.0, Some(130.0)).unwrap().contains("130 deg"));
        let soft = Shackle {
            kind: ShackleKind::Soft,
            ..bow(None, 0.0)
        };
        assert_eq!(
            shackle_factors(&soft, Angle::from_deg(95.0), None),
            (Vec::new(), None)
        );
    }
}
