//! One draw of the wind and of where the bumps of the ground lie.
//!
//! A let-go lasts a second or so: one gust or lull, in one direction. It is drawn from
//! the gusts of the site ([`crate::plan::Gusts`]) and blows steadily through the run.
//! Where the bumps lie under the line nobody knows: as likely anywhere in a spacing.

use super::Setup;
use crate::plan::Gusts;

/// One draw of the site, each as a level from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SiteDraw {
    /// How hard it blows.
    pub gust: f64,
    /// How far the wind has turned anticlockwise.
    pub turn: f64,
    /// Where the bumps lie along and across, in spacings.
    pub bumps: [f64; 2],
}

impl SiteDraw {
    /// The middle of every gust and turn, the bumps where a single run has them.
    pub const MIDDLE: Self = Self {
        gust: 0.5,
        turn: 0.5,
        bumps: [0.0; 2],
    };

    /// Puts it on `setup`, whose wind is the mean one.
    pub fn put_on(&self, setup: &mut Setup) {
        setup.wind_m_s = self.blown(setup.wind_m_s, &setup.gusts);
        if let Some(ground) = &mut setup.ground {
            // Even ground has none to move.
            if ground.roughness.height.get() > 0.0 {
                ground.roughness.phase = self.bumps;
            }
        }
    }

    /// The wind of this draw where `mean` blows on average.
    pub fn blown(&self, mean: [f64; 3], gusts: &Gusts) -> [f64; 3] {
        let [x, y, z] = mean;
        // Calm is calm; a steady wind keeps its bits.
        if (x == 0.0 && y == 0.0) || *gusts == Gusts::STEADY {
            return mean;
        }
        let times = gusts.speed().quantile(self.gust);
        let turn = gusts.turn().quantile(self.turn);
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        [times * (x * cos - y * sin), times * (x * sin + y * cos), z]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Angle;

    const GUSTY: Gusts = Gusts {
        factor: 1.7,
        turns: Angle::from_deg(15.0),
    };

    fn drawn(gust: f64, turn: f64) -> [f64; 3] {
        SiteDraw {
            gust,
            turn,
            ..SiteDraw::MIDDLE
        }
        .blown([6.0, 8.0, 0.0], &GUSTY)
    }

    #[test]
    fn gusts_keep_their_mean_and_stay_within_their_factor() {
        let speed = |[x, y, _]: [f64; 3]| libm::hypot(x, y);
        let levels = (0..2000).map(|i| (f64::from(i) + 0.5) / 2000.0);
        let speeds: Vec<f64> = levels.map(|l| speed(drawn(l, 0.3))).collect();
        let mean = speeds.iter().sum::<f64>() / speeds.len() as f64;
        assert!((mean - 10.0).abs() < 0.02, "{mean}");
        assert!(speeds.windows(2).all(|w| w[0] <= w[1]));
        assert!(speeds[0] >= 3.0 - 1e-9 && speeds[1999] <= 17.0 + 1e-9);
        assert!(speeds[1999] > 16.0, "the gust factor is nearly reached");
    }

    #[test]
    fn a_turn_turns_and_keeps_the_speed() {
        let [x, y, _] = drawn(0.5, 0.841_344_746_068_543);
        let from = libm::atan2(8.0, 6.0);
        let turned = (libm::atan2(y, x) - from).to_degrees();
        assert!((turned - 15.0).abs() < 1e-6, "one sigma: {turned}");
        assert!((libm::hypot(x, y) - 10.0).abs() < 1e-9);
        let mean = SiteDraw::MIDDLE.blown([0.0, -5.0, 0.0], &Gusts::STEADY);
        assert_eq!(mean, [0.0, -5.0, 0.0]);
    }
}
