//! Pulls of a known line, for tests of the fit.
#![allow(dead_code)] // Each test file uses its own part of this.

use super::noise::normal;
use steadypull_engine::line::{Condition, Curve, Law, Material, Path};
use steadypull_engine::pull::kinetic::Drive;
use steadypull_engine::pull::{Setup, run};
use steadypull_engine::units::{Duration, Force, Length, Mass, Speed};
use steadypull_measure::fit::{
    LineModel, Loss, Memory, PullRecord, RateTerm, Rules, StretchNoise, Term,
};

/// A straight curve, everything but the rate effect fitted, for a strap of 9 t.
pub const STRAIGHT: LineModel = LineModel {
    levels: 1,
    energy_return: Term::Fitted,
    set_fraction: Term::Fitted,
    rate: RateTerm::None,
    breaking: Force::from_tf(9.0),
};
/// Plain least squares, 95 %.
pub const PLAIN: Rules = Rules {
    loss: Loss::Squares,
    memory: Memory::None,
    confidence: 0.95,
};

pub struct Pull {
    pub time_s: Vec<f64>,
    pub stretch_m: Vec<f64>,
    pub force_n: Vec<f64>,
}

impl Pull {
    pub fn record(&self) -> PullRecord<'_> {
        PullRecord {
            time_s: &self.time_s,
            stretch_m: &self.stretch_m,
            stretch_noise: StretchNoise::NONE,
            shared_m: &[],
            force_n: &self.force_n,
            zero_n: 0.0,
            rest_length: Length::new(9.0),
            strain_seen: 0.0,
        }
    }

    /// The same with normal noise of `noise_n` on the force.
    pub fn noisy(&self, noise_n: f64, seed: u64) -> Self {
        let force = self.force_n.iter().enumerate();
        Self {
            time_s: self.time_s.clone(),
            stretch_m: self.stretch_m.clone(),
            force_n: force
                .map(|(i, f)| f + noise_n * normal(seed, i as u64))
                .collect(),
        }
    }
}

/// The line of nine tonnes with this curve, dry and new.
pub fn of_curve(curve: &Curve) -> Law {
    let condition = Condition::default();
    Law::new(
        curve,
        Force::from_tf(9.0),
        &condition,
        Material::NylonWebbing,
    )
}

pub fn strap() -> Law {
    of_curve(&Material::NylonWebbing.curve().unwrap())
}

/// The engine's pull of a 9 m line at a run-up speed, every `keep`-th sample up to the
/// line's first slack.
pub fn pulled(law: Law, speed: f64, keep: usize) -> Pull {
    let outcome = run(&Setup {
        tug_mass: Mass::new(2900.0),
        casualty_mass: Some(Mass::new(2600.0)),
        length: Length::new(9.0),
        path: Path::new(law, 0.0),
        run_up_speed: Speed::new(speed),
        slack: Length::ZERO,
        drive: Drive::NONE,
        tug_grade: Force::ZERO,
        tug_rolling: Force::ZERO,
        slide: Force::new(30e3),
        break_extra: Force::new(8e3),
        break_length: Length::new(0.3),
        viscous_n_s_per_m: 0.0,
        parts_at: None,
        duration: Duration::new(1.5),
    })
    .unwrap();
    let mut pull = Pull {
        time_s: vec![],
        stretch_m: vec![],
        force_n: vec![],
    };
    let mut peaked = false;
    for sample in outcome.series.iter().step_by(keep) {
        peaked |= sample.force_n > 0.0;
        if peaked && sample.force_n <= 0.0 {
            break;
        }
        if pull.time_s.last().is_none_or(|t| sample.time_s > *t) {
            pull.time_s.push(sample.time_s);
            pull.stretch_m.push(sample.stretch_m);
            pull.force_n.push(sample.force_n);
        }
    }
    pull
}

/// A pull up to 9 % and back in even time.
pub fn swung(readings: usize) -> Pull {
    let mut path = Path::new(strap(), 0.0);
    let mut pull = Pull {
        time_s: vec![],
        stretch_m: vec![],
        force_n: vec![],
    };
    for i in 0..readings {
        let t = i as f64 / readings as f64;
        let strain = 0.09 * libm::sin(core::f64::consts::PI * t);
        pull.time_s.push(t);
        pull.stretch_m.push(9.0 * strain);
        pull.force_n.push(path.tension(strain));
        path.remember(strain);
    }
    pull
}
