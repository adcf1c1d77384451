//! How fine a chain must be for a wanted accuracy, and whether it was fine enough.
//!
//! The error of a chain in the speed of its hardware falls as one over the number of
//! segments: the front of the recoil is spread over a few of them. Measured against 512
//! segments on a 9 m line let go at 18 % strain (hardware of 0.3 to 12 kg on 3.15 kg of
//! line, exponents 1 and 1.6, one line and a stiff second one of 4 m): largest errors of
//! the greatest speed on the way, in per cent, at a viscosity of 0.25 (of 1):
//!
//! | lines | branch | 8 segments | 12 | 16 | 20 | 24 | 32 |
//! |---|---|---|---|---|---|---|---|
//! | one | straight | 2.8 (6.0) | 1.7 (3.8) | 1.3 (2.7) | 1.0 (2.1) | 0.8 (1.7) | 0.6 (1.2) |
//! | one | curved | 2.8 (7.3) | 1.8 (4.6) | 1.3 (3.3) | 1.0 (2.5) | 0.8 (1.9) | 0.5 (1.3) |
//! | two | straight | 3.8 (7.6) | 2.5 (4.8) | 1.8 (3.5) | 1.5 (2.7) | 1.2 (2.2) | 0.9 (1.5) |
//! | two | curved | 4.0 (9.1) | 2.6 (5.7) | 1.9 (4.0) | 1.5 (3.1) | 1.2 (2.5) | 0.9 (1.7) |
//!
//! Worst is hardware of about two thirds of the line; on a straight line hardware of less
//! than half of it is within 0.9 % with 16 segments already.
//!
//! A quarter of the viscosity is enough where hardware at least as heavy as a segment
//! carries the end along; a bare end needs all of it, or its last node is thrown too
//! fast (CV-ROD-14). A smaller viscosity also allows a longer step. The step itself, at
//! 0.7 of the longest stable one, moves the speed by less than 0.05 %. The books of such
//! coarse chains close to 0.1 % as a rule and to 0.3 % at worst, for a moment: over 512
//! runs the middle one was 0.03 % off at its worst moment, and none 0.01 % at its end.
//!
//! The speed of hardware is what is promised, not the energy of a glancing arrival, and
//! not the crack of a bare end, which grows with the number of segments without bound.

use super::ensemble::run_all;
use super::segment_law::SegmentLaw;
use super::setup::{LetGoError, MAX_SEGMENTS, Setup, StepChoice};
use crate::units::{Energy, Speed};

/// Segments for 1 %: of one curved line, of a straight one, of a straight one with light
/// hardware, more for each further line (from the table above, in whole packs).
const CURVED: f64 = 24.0;
const STRAIGHT: f64 = 20.0;
const STRAIGHT_AND_LIGHT: f64 = 16.0;
const EACH_FURTHER: f64 = 12.0;
/// Hardware counts as light below this share of the line.
const LIGHT: f64 = 0.5;
/// Most and least that are chosen.
const MOST: f64 = 256.0;
const LEAST: f64 = 8.0;
/// Viscosity where hardware carries the end along.
const CARRIED: f64 = 0.25;
/// Shares of the longest stable step at which convergence is looked at.
const SHARE: f64 = 0.7;
const HALF_SHARE: f64 = 0.35;
/// Levels of segments: once, twice and four times.
const TIMES: [usize; 3] = [1, 2, 4];
/// Error left over the change from once to four times the segments, at first order.
const LEFT: f64 = 4.0 / 3.0;

impl Setup {
    /// The same run with segments, viscosity and step chosen so that the greatest speed
    /// of hardware is within `share` of its settled value; see the module for what was
    /// measured. Between 0.2 % and 5 %; [`converge`] checks it on the run itself.
    pub fn to_accuracy(mut self, share: f64) -> Self {
        let share = share.clamp(0.002, 0.05);
        let curved = self
            .lines
            .iter()
            .any(|line| SegmentLaw::new(&line.unloading).above_one != 0.0);
        let further = self.lines.len().saturating_sub(1) as f64;
        let line_kg: f64 = self
            .lines
            .iter()
            .map(|line| line.length.get() * line.mass_per_length.get())
            .sum();
        let light = self.hardware.mass.get() <= LIGHT * line_kg;
        let one_line = match (curved, light) {
            (true, _) => CURVED,
            (false, false) => STRAIGHT,
            (false, true) => STRAIGHT_AND_LIGHT,
        };
        let for_one = one_line + EACH_FURTHER * further;
        let wanted = (for_one * 0.01 / share).clamp(LEAST, MOST);
        // At least two to a line, in whole packs.
        self.segments = (wanted.ceil() as usize)
            .max(2 * self.lines.len())
            .next_multiple_of(4);
        let carried = self.hardware.mass.get() * self.segments as f64 >= line_kg;
        self.viscosity = if carried { CARRIED } else { 1.0 };
        self.step = StepChoice::ByWave;
        self
    }
}

/// One run of a convergence check.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// Segments of the chain.
    pub segments: usize,
    /// Share of the longest stable step that it took.
    pub step_share: f64,
    /// Greatest speed of the free end on the way to the far vehicle.
    pub speed: Speed,
    /// Its energy as it arrives there, if it does.
    pub arrival: Option<Energy>,
    /// Steps taken.
    pub steps: u64,
}

/// A run at `n`, `2n` and `4n` segments, and at `n` with halved steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Convergence {
    /// With `n`, `2n` and `4n` segments.
    pub by_segments: [Level; 3],
    /// With `n` segments and half the step.
    pub halved_step: Level,
}

impl Convergence {
    /// Change of the speed from `n` to `4n` segments, as a share of the latter.
    pub fn speed_change(&self) -> f64 {
        change(self.by_segments[0].speed, self.by_segments[2].speed)
    }

    /// Change of the speed with half the step, as a share.
    pub fn speed_change_by_step(&self) -> f64 {
        change(self.by_segments[0].speed, self.halved_step.speed)
    }

    /// Change of the arrival energy from `n` to `4n` segments, as a share of the latter;
    /// none unless both arrive.
    pub fn arrival_change(&self) -> Option<f64> {
        energy_change(self.by_segments[0].arrival?, self.by_segments[2].arrival?)
    }

    /// Change of the arrival energy with half the step, as a share; none unless both
    /// arrive.
    pub fn arrival_change_by_step(&self) -> Option<f64> {
        energy_change(self.by_segments[0].arrival?, self.halved_step.arrival?)
    }

    /// What is left of the speed's error, as a share: twice as many segments halve it,
    /// so four times as many take away three quarters.
    pub fn speed_error(&self) -> f64 {
        LEFT * self.speed_change().abs() + self.speed_change_by_step().abs()
    }

    /// What is left of the error of the arrival energy, by the same reckoning; none
    /// unless all arrive.
    pub fn arrival_error(&self) -> Option<f64> {
        let by_step = self.arrival_change_by_step()?;
        Some(LEFT * self.arrival_change()?.abs() + by_step.abs())
    }

    /// Whether it arrives with any fineness, but not with all.
    pub fn arrival_in_doubt(&self) -> bool {
        let levels = self.by_segments.iter().chain([&self.halved_step]);
        let arrive = levels.filter(|level| level.arrival.is_some()).count();
        arrive > 0 && arrive <= TIMES.len()
    }
}

fn energy_change(coarse: Energy, fine: Energy) -> Option<f64> {
    (fine.get() > 0.0).then(|| coarse / fine - 1.0)
}

fn change(coarse: Speed, fine: Speed) -> f64 {
    if fine.get() > 0.0 {
        coarse.get() / fine.get() - 1.0
    } else {
        0.0
    }
}

/// Runs `setup` with once, twice and four times its segments and with half its step,
/// for a user who asks whether its numbers have settled.
pub fn converge(setup: &Setup) -> Result<Convergence, LetGoError> {
    let finest = setup.segments * TIMES[2];
    if finest > MAX_SEGMENTS {
        return Err(LetGoError::OutOfRange {
            what: "segments of the finest run",
            value: finest as f64,
            limit: "at most 2000, so at most 500 to begin with",
        });
    }
    let at = |times: usize, share: f64| Setup {
        segments: setup.segments * times,
        step: StepChoice::Share(share),
        ..setup.clone()
    };
    let setups = [
        at(TIMES[0], SHARE),
        at(TIMES[1], SHARE),
        at(TIMES[2], SHARE),
        at(1, HALF_SHARE),
    ];
    let mut levels = Vec::with_capacity(setups.len());
    for (one, outcome) in setups.iter().zip(run_all(&setups)) {
        let outcome = outcome?;
        levels.push(Level {
            segments: one.segments,
            step_share: if levels.len() < TIMES.len() {
                SHARE
            } else {
                HALF_SHARE
            },
            speed: outcome.launch.speed,
            arrival: outcome.arrival.map(|a| a.energy),
            steps: outcome.steps,
        });
    }
    Ok(Convergence {
        by_segments: [levels[0], levels[1], levels[2]],
        halved_step: levels[3],
    })
}
