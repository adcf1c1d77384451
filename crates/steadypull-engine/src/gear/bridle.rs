//! Two-legged bridles: leg tensions from the pull and the angles.
//!
//! Symmetric: `T = P / (2 cos(a/2))`, `a` the angle between the legs. Unequal:
//! `T1 = P sin b2 / sin(b1 + b2)`, legs at `b1`, `b2` either side of the pull.
//!
//! A fixed bridle (apex tied) shares by the sine rule when the pull comes from
//! one side, and one leg goes slack once the pull passes the other. In an
//! equalising bridle the apex slides along the ellipse whose foci are the two
//! points, until both legs pull alike. Inextensible legs, no friction at the
//! apex, all in one plane. Source: statics.

use crate::source::{Source, Status};
use crate::units::{Angle, Force, Length};

/// Leg tensions.
pub const SOURCE: Source = Source::new("statics, sine rule", Status::Computed);

/// Leg tensions and the angle between the legs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Legs {
    /// Tension of each leg, first the one the pull comes into line with: that from
    /// the point on the other side of where it leans.
    pub tension: [Force; 2],
    /// Angle between the legs.
    pub included: Angle,
}

impl Legs {
    /// The harder-pulled leg.
    pub fn greatest(&self) -> Force {
        self.tension[0].max(self.tension[1])
    }
}

/// Tension of each leg of a symmetric bridle; `None` from 180° on, where no
/// tension is enough.
pub fn leg_tension(pull: Force, included: Angle) -> Option<Force> {
    let cosine = libm::cos(0.5 * included.get());
    (cosine > 1e-12 && included.get() >= 0.0).then(|| pull / (2.0 * cosine))
}

/// Tensions of legs lying `first` and `second` either side of the pull; `None`
/// unless both angles are positive and their sum under 180°.
pub fn unequal_legs(pull: Force, first: Angle, second: Angle) -> Option<[Force; 2]> {
    let sum = (first + second).get();
    let possible = first.get() >= 0.0 && second.get() >= 0.0;
    if !(possible && sum > 0.0 && sum < core::f64::consts::PI) {
        return None;
    }
    let over = libm::sin(sum);
    Some([pull * (second.sin() / over), pull * (first.sin() / over)])
}

/// Angle between two legs of `leg` from points `span` apart; `None` when they
/// do not reach.
pub fn included_angle(span: Length, leg: Length) -> Option<Angle> {
    let half = 0.5 * (span / leg);
    (0.0..1.0)
        .contains(&half)
        .then(|| Angle::new(2.0 * libm::asin(half)))
}

/// Legs of a bridle with a tied apex in the middle of its line, the pull
/// `off_axis` from square to the span.
pub fn fixed(pull: Force, span: Length, whole: Length, off_axis: Angle) -> Option<Legs> {
    let included = included_angle(span, whole / 2.0)?;
    let (half, lean) = (included / 2.0, off_axis.abs());
    if lean.get().is_nan() || lean.get() >= core::f64::consts::FRAC_PI_2 {
        return None;
    }
    if lean >= half {
        // The far leg hangs slack; the near one turns into line with the pull.
        return Some(Legs {
            tension: [pull, Force::ZERO],
            included,
        });
    }
    if half.get() == 0.0 {
        return Some(Legs {
            tension: [pull / 2.0; 2],
            included,
        });
    }
    let tension = unequal_legs(pull, half - lean, half + lean)?;
    Some(Legs { tension, included })
}

/// Legs of a bridle that slides at its apex, the pull `off_axis` from square to
/// the span.
pub fn equalising(pull: Force, span: Length, whole: Length, off_axis: Angle) -> Option<Legs> {
    let (long, focus) = (0.5 * whole.get(), 0.5 * span.get());
    let reaches = focus >= 0.0 && focus < long && long.is_finite();
    if !reaches || off_axis.abs().get().is_nan() {
        return None;
    }
    let short = (long * long - focus * focus).sqrt();
    // The pull stands square to the ellipse at the apex (a cos t, b sin t):
    // tan(off axis) = b cos t / (a sin t).
    let cot = long * off_axis.tan() / short;
    let cos2 = cot * cot / (1.0 + cot * cot);
    let product = long * long - focus * focus * cos2;
    let cosine = (short / product.sqrt()).min(1.0);
    Some(Legs {
        tension: [pull / (2.0 * cosine); 2],
        included: Angle::new(2.0 * libm::acos(cosine)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const PULL: Force = Force::new(10e3);

    #[test]
    fn square_pull_is_the_same_fixed_or_equalising() {
        let (span, whole) = (Length::new(0.9), Length::new(2.4));
        let a = fixed(PULL, span, whole, Angle::ZERO).unwrap();
        let b = equalising(PULL, span, whole, Angle::ZERO).unwrap();
        assert!((a.greatest() / b.greatest() - 1.0).abs() < 1e-12);
        assert!((a.included / b.included - 1.0).abs() < 1e-9);
        let symmetric = leg_tension(PULL, a.included).unwrap();
        assert!((a.greatest() / symmetric - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_leaning_pull_loads_the_near_leg_of_a_fixed_bridle() {
        let (span, whole) = (Length::new(0.9), Length::new(2.4));
        let lean = fixed(PULL, span, whole, Angle::from_deg(15.0)).unwrap();
        assert!(lean.tension[0] > lean.tension[1] && lean.tension[1] > Force::ZERO);
        let past = fixed(PULL, span, whole, Angle::from_deg(40.0)).unwrap();
        assert_eq!(past.tension, [PULL, Force::ZERO]);
    }

    #[test]
    fn equal_legs_balance_a_leaning_pull() {
        // Rebuild the apex and add the legs' forces up along and across the pull.
        let (span, whole, lean) = (Length::new(1.2), Length::new(3.0), Angle::from_deg(20.0));
        let legs = equalising(PULL, span, whole, lean).unwrap();
        let (a, c) = (1.5, 0.6);
        let b = f64::sqrt(a * a - c * c);
        let t = libm::atan2(b, a * lean.tan());
        let apex = (a * libm::cos(t), b * libm::sin(t));
        let unit = |x: f64| {
            let (dx, dy) = (x - apex.0, -apex.1);
            let r = f64::sqrt(dx * dx + dy * dy);
            (dx / r, dy / r)
        };
        let (p, q) = (unit(-c), unit(c));
        let tension = legs.tension[0].get();
        let sum = (tension * (p.0 + q.0), tension * (p.1 + q.1));
        assert!((sum.0 + PULL.get() * lean.sin()).abs() < 1e-6);
        assert!((sum.1 + PULL.get() * lean.cos()).abs() < 1e-6);
    }

    #[test]
    fn legs_that_do_not_reach() {
        assert_eq!(included_angle(Length::new(2.0), Length::new(1.0)), None);
        assert_eq!(
            fixed(PULL, Length::new(2.0), Length::new(2.0), Angle::ZERO),
            None
        );
        assert_eq!(
            equalising(PULL, Length::new(2.0), Length::new(2.0), Angle::ZERO),
            None
        );
        assert_eq!(leg_tension(PULL, Angle::from_deg(180.0)), None);
        assert_eq!(leg_tension(PULL, Angle::new(f64::NAN)), None);
    }
}
