//! What a displacement beside the load tells: energy, hysteresis, stiffness.
//!
//! `E_in = ∫ F dx` from taut to the greatest stretch, `E_back = −∫ F dx` from there to the end,
//! trapezoids in both. The greatest stretch is the top of a bent curve (`turn.rs`), not the
//! luckiest sample. To small errors both are weighted sums of the loads (weights: the
//! movement) and of the movements (weights: the change of load), which gives their noise
//! and, mixed, that of the hysteresis share. What an error of one clock against the other
//! does is found by moving the movement one step either way.
//!
//! The displacement must be that of the line's ends against each other. What stretches with
//! the line (shackles, chassis, an anchor that creeps) is in these energies; footage of one
//! end alone is not enough. Source of the integral: definition; hysteresis share as in
//! section 3 of the models.

use core::ops::Range;

use thiserror::Error;

use crate::events::{Pull, crossing};
use crate::linear::Weighted;
use crate::shapes::Part;
use crate::signal::{Channel, Quality};
use crate::turn::{self, Turn};

use super::CLIPPED;
use super::budget::{Reading, Term};
use super::corner::{Corner, corner};
use super::filter_loss::filter_loss;

/// Stiffness is read between these shares of the peak.
const STIFF: (f64, f64) = (0.2, 0.8);

/// Part of the way to its turn over which the stretch is a parabola.
const SMOOTH_PART: usize = 4;

/// Readings of load and displacement together.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// Greatest stretch from taut, m.
    pub greatest: Reading,
    /// Energy the line took in, J.
    pub energy_in: Reading,
    /// Energy it gave back, J.
    pub energy_back: Reading,
    /// Share it kept.
    pub hysteresis: Reading,
    /// Load for a metre more of stretch, on the way up, N/m.
    pub stiffness: Reading,
}

/// Why load and displacement cannot be read together.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum StretchError {
    /// Samples at other times.
    #[error(
        "load and displacement are not sampled at the same times (steps {load_step_s} and {displacement_step_s} s): resample both to one step from one start"
    )]
    OtherClock {
        /// Step of the load, s.
        load_step_s: f64,
        /// Step of the displacement, s.
        displacement_step_s: f64,
    },
    /// A gap or an end.
    #[error("load or displacement is missing somewhere from {from_s:.3} to {to_s:.3} s")]
    Missing {
        /// From, s.
        from_s: f64,
        /// To, s.
        to_s: f64,
    },
    /// Filters that differ shift nothing in time but round off differently.
    #[error("load and displacement went through different filter classes: filter both by one")]
    OtherFilter,
}

/// Both channels over a pull, sample by sample.
struct Both<'a> {
    load: &'a Channel,
    displacement: &'a Channel,
    /// Sample of the displacement less that of the load at the same time.
    offset: isize,
    /// Samples of the load.
    samples: Range<usize>,
    /// Sample of the load at the greatest stretch, and that stretch.
    turn: Option<(usize, Turn)>,
}

/// An energy and what it is to small errors.
#[derive(Clone)]
struct Energy {
    value: f64,
    /// By load, m.
    of_load: Weighted,
    /// By displacement, N.
    of_displacement: Weighted,
    /// By the zero of the load, m.
    of_zero: f64,
    /// By the clock of the displacement, J/s.
    of_clock: f64,
}

/// Energy, hysteresis and stiffness of a pull.
pub fn stretch(
    load: &Channel,
    displacement: &Channel,
    pull: &Pull,
) -> Result<Stretch, StretchError> {
    let both = Both::new(load, displacement, pull)?;
    let peak_n = turn::top(load, both.samples.clone(), 0.0).map(|t| t.value);
    let clipped = load
        .quality
        .clipped_between(pull.taut.time_s, pull.end.time_s)
        || displacement
            .quality
            .clipped_between(pull.taut.time_s, pull.end.time_s);
    let told = |reading: Reading| {
        if clipped {
            Reading::without(reading.value, reading.unit, CLIPPED)
        } else {
            reading
        }
    };
    Ok(Stretch {
        greatest: told(both.greatest(pull)),
        energy_in: told(both.energy_in()),
        energy_back: told(both.energy_back(pull)),
        hysteresis: told(both.hysteresis(pull)),
        stiffness: told(both.stiffness(peak_n)),
    })
}

const NO_TURN: &str = "the stretch still grows where the load ends: nothing shows what comes back";

impl<'a> Both<'a> {
    fn new(
        load: &'a Channel,
        displacement: &'a Channel,
        pull: &Pull,
    ) -> Result<Self, StretchError> {
        let offset = common_clock(load, displacement)?;
        if load.quality.filter.map(|f| f.class()) != displacement.quality.filter.map(|f| f.class())
        {
            return Err(StretchError::OtherFilter);
        }
        let samples = load.series.between(pull.loaded_s.0, pull.loaded_s.1);
        let missing = StretchError::Missing {
            from_s: pull.taut.time_s,
            to_s: pull.end.time_s,
        };
        let (first, end) = (
            samples.start as isize + offset,
            samples.end as isize + offset,
        );
        // One sample more at either end, for the clock.
        let there = first >= 1 && (end as usize) < displacement.series.values().len();
        if !there || samples.len() < 3 {
            return Err(missing);
        }
        let theirs = first as usize..end as usize;
        let all = load.series.values()[samples.clone()]
            .iter()
            .all(|v| v.is_finite())
            && displacement.series.values()[theirs.start - 1..theirs.end + 1]
                .iter()
                .all(|v| v.is_finite());
        if !all {
            return Err(missing);
        }
        let base = displacement.series.values()[theirs.start];
        let turn = turn::top(displacement, theirs, base).and_then(|turn| {
            let place = libm::round(displacement.series.place(turn.time_s)) as isize - offset;
            let inside = place > samples.start as isize && place + 1 < samples.end as isize;
            inside.then_some((place as usize, turn))
        });
        Ok(Self {
            load,
            displacement,
            offset,
            samples,
            turn,
        })
    }

    fn x(&self, sample: usize) -> f64 {
        self.moved(sample, 0)
    }

    /// Displacement `by` samples later.
    fn moved(&self, sample: usize, by: isize) -> f64 {
        self.displacement.series.values()[(sample as isize + self.offset + by) as usize]
    }

    fn f(&self, sample: usize) -> f64 {
        self.load.series.values()[sample]
    }

    fn clock_s(&self) -> f64 {
        libm::hypot(self.load.quality.clock_s, self.displacement.quality.clock_s)
    }

    /// Work on the line between two samples, J, with the displacement `by` samples later.
    fn work(&self, from: usize, to: usize, by: isize) -> f64 {
        (from..to)
            .map(|i| {
                0.5 * (self.f(i) + self.f(i + 1)) * (self.moved(i + 1, by) - self.moved(i, by))
            })
            .sum()
    }

    /// Work between two samples with its weights.
    fn energy(&self, from: usize, to: usize, turns_later: [isize; 2]) -> Energy {
        let n = to - from + 1;
        let (mut of_load, mut of_displacement) = (vec![0.0; n], vec![0.0; n]);
        for i in from..to {
            let (k, dx) = (i - from, self.x(i + 1) - self.x(i));
            let mean = 0.5 * (self.f(i) + self.f(i + 1));
            of_load[k] += 0.5 * dx;
            of_load[k + 1] += 0.5 * dx;
            of_displacement[k] -= mean;
            of_displacement[k + 1] += mean;
        }
        // Where an end is the turn it goes with the displacement; taut and end do not.
        let moved = |by: isize| {
            let end = |sample: usize, goes: isize| (sample as isize - by * goes) as usize;
            self.work(end(from, turns_later[0]), end(to, turns_later[1]), by)
        };
        Energy {
            value: self.work(from, to, 0),
            of_load: Weighted {
                first: from,
                weights: of_load,
            },
            of_displacement: Weighted {
                first: (from as isize + self.offset) as usize,
                weights: of_displacement,
            },
            of_zero: self.x(to) - self.x(from),
            of_clock: (moved(1) - moved(-1)) / (2.0 * self.load.series.step_s()),
        }
    }

    /// The energy with the stretch at the turn as the curve says instead of as its sample does.
    fn with_turn(&self, mut energy: Energy, force_there: f64) -> Energy {
        let Some((sample, turn)) = &self.turn else {
            return energy;
        };
        energy.value += force_there * (turn.value - self.x(*sample));
        let single = Weighted {
            first: (*sample as isize + self.offset) as usize,
            weights: vec![1.0],
        };
        let change = turn.weights.mix(1.0, &single, -1.0);
        energy.of_displacement = energy.of_displacement.mix(1.0, &change, force_there);
        energy
    }

    fn loading(&self) -> Energy {
        let (first, last) = (self.samples.start, self.samples.end - 1);
        match &self.turn {
            None => self.energy(first, last, [0, 0]),
            Some((turn, _)) => {
                let mean = 0.5 * (self.f(turn - 1) + self.f(*turn));
                self.with_turn(self.energy(first, *turn, [0, 1]), mean)
            }
        }
    }

    /// What comes back, counted positive.
    fn unloading(&self) -> Option<Energy> {
        let (turn, _) = self.turn.as_ref()?;
        let mean = 0.5 * (self.f(*turn) + self.f(turn + 1));
        let work = self.with_turn(self.energy(*turn, self.samples.end - 1, [1, 0]), -mean);
        Some(work.mix(-1.0, &work, 0.0))
    }

    /// From the stretch at taut to the greatest.
    fn greatest(&self, pull: &Pull) -> Reading {
        let (taut_s, parts) = self.taut_s(pull);
        let [early, taut, late] = [-taut_s, 0.0, taut_s].map(|by| self.at_taut(pull, by));
        let Some((_, turn)) = &self.turn else {
            let last = self.x(self.samples.end - 1);
            return Reading::without(last - taut.value, "m", NO_TURN);
        };
        let quality = &self.displacement.quality;
        let loss = filter_loss(self.displacement, &turn.weights);
        let value = turn.value - taut.value + loss.put_back;
        let weights = turn.weights.mix(1.0, &taut.weights, -1.0);
        let terms = vec![
            noise("noise", weights.noise(quality), quality),
            Term::sure("what the filter took off", loss.uncertainty),
            parts_of(
                Term::sure("taut", 0.5 * (late.value - early.value)),
                taut_s,
                &parts,
            ),
            Term::sure("calibration", quality.calibration.relative * value),
            Term::sure("steps of values", quality.digitisation()),
        ];
        Reading::with_terms(value, "m", terms)
    }

    /// The displacement where the line comes taut, had it done so `by_s` later: about the corner that
    /// it may make there, or straight between samples where too few show it.
    fn at_taut(&self, pull: &Pull, by_s: f64) -> Corner {
        let series = &self.displacement.series;
        let place = series.place(pull.taut.time_s + by_s);
        let last = series.values().len() - 2;
        let turn = self.turn.as_ref().map_or(last, |(turn, _)| {
            (*turn as isize + self.offset).max(0) as usize
        });
        let after = turn.saturating_sub(place as usize) / SMOOTH_PART;
        corner(self.displacement, place, after).unwrap_or_else(|| {
            let left = (place as usize).clamp(1, last);
            let share = place - left as f64;
            let weights = Weighted {
                first: left,
                weights: vec![1.0 - share, share],
            };
            Corner {
                value: weights.of(series.values()),
                weights,
            }
        })
    }

    fn energy_in(&self) -> Reading {
        let energy = self.loading();
        Reading::with_terms(energy.value, "J", self.terms(&energy, energy.value))
    }

    fn energy_back(&self, pull: &Pull) -> Reading {
        match self.unloading() {
            None => Reading::without(0.0, "J", NO_TURN),
            Some(energy) if pull.ends_under_load || pull.parting.is_some() => Reading::without(
                energy.value,
                "J",
                "the line did not unload whole: it parted, or the log ends under load",
            ),
            Some(energy) => {
                Reading::with_terms(energy.value, "J", self.terms(&energy, energy.value))
            }
        }
    }

    fn hysteresis(&self, pull: &Pull) -> Reading {
        let energy_in = self.loading();
        let whole = !pull.ends_under_load && pull.parting.is_none();
        let Some(back) = self.unloading().filter(|_| whole && energy_in.value > 0.0) else {
            return Reading::without(0.0, "1", "the way back was not seen whole");
        };
        let share = back.value / energy_in.value;
        let ratio = back.mix(-1.0 / energy_in.value, &energy_in, share / energy_in.value);
        // Gains cancel: nothing of a calibration that is in proportion is left.
        Reading::with_terms(1.0 - share, "1", self.terms(&ratio, 0.0))
    }

    /// Doubts of an energy, or of a mixture of energies, in its unit; `gained` is what the
    /// gains of both channels bear on.
    fn terms(&self, energy: &Energy, gained: f64) -> Vec<Term> {
        let (load, displacement) = (&self.load.quality, &self.displacement.quality);
        let offset = libm::hypot(load.zero, load.calibration.absolute_n);
        vec![
            noise("noise of the load", energy.of_load.noise(load), load),
            noise(
                "noise of the displacement",
                energy
                    .of_displacement
                    .noise_smoothed(displacement, self.displacement.series.step_s()),
                displacement,
            ),
            Term::sure("zero of the load", offset * energy.of_zero),
            Term::sure(
                "calibration of the load",
                load.calibration.relative * gained,
            ),
            Term::sure(
                "calibration of the displacement",
                displacement.calibration.relative * gained,
            ),
            self.clocks(energy.of_clock),
        ]
    }

    /// The doubt that the clocks bring, by how far a reading goes in a second.
    fn clocks(&self, of_clock: f64) -> Term {
        let clock_s = self.clock_s();
        let term = Term::sure("clocks", of_clock * clock_s);
        parts_of(term, clock_s, &self.clock_parts())
    }

    fn clock_parts(&self) -> Vec<Part> {
        let (load, displacement) = (&self.load.quality, &self.displacement.quality);
        [&load.clock_parts[..], &displacement.clock_parts].concat()
    }

    /// How sure the displacement's time of taut is, and what of that follows no bell curve, s. What
    /// the event is off in the log is off in a clock set by it too, the other way round.
    fn taut_s(&self, pull: &Pull) -> (f64, Vec<Part>) {
        let (clock_s, event_s) = (self.clock_s(), pull.taut.uncertainty_s);
        let by_taut = self.displacement.quality.clock_by_taut;
        let common = by_taut * event_s;
        let clock_alone = (clock_s * clock_s - common * common).max(0.0);
        let left = (1.0 - by_taut) * event_s;
        (libm::sqrt(clock_alone + left * left), self.clock_parts())
    }

    fn stiffness(&self, peak_n: Option<f64>) -> Reading {
        let none = |why| Reading::without(0.0, "N/m", why);
        let Some(peak_n) = peak_n else {
            return none("the log shows no peak");
        };
        let highest = self
            .samples
            .clone()
            .max_by(|a, b| self.f(*a).total_cmp(&self.f(*b)))
            .unwrap_or(self.samples.start);
        let at = |share| {
            let way_up = self.samples.start.saturating_sub(1)..highest + 1;
            crossing(self.load, way_up, share * peak_n, true)
        };
        let (Some(low), Some(high)) = (at(STIFF.0), at(STIFF.1)) else {
            return none("the log does not show the rise from 20 to 80 % of the peak");
        };
        let samples = self.load.series.between(low.time_s, high.time_s);
        if samples.len() < 5 {
            return none("fewer than five samples lie between 20 and 80 % of the peak");
        }
        self.slope(samples)
    }

    /// Least squares of load on displacement.
    fn slope(&self, samples: Range<usize>) -> Reading {
        let slope = |by: isize| {
            let n = samples.len() as f64;
            let x = samples.clone().map(|i| self.moved(i, by)).sum::<f64>() / n;
            let f = samples.clone().map(|i| self.f(i)).sum::<f64>() / n;
            let (mut top, mut below) = (0.0, 0.0);
            for i in samples.clone() {
                let d = self.moved(i, by) - x;
                top += d * (self.f(i) - f);
                below += d * d;
            }
            (top / below, x, below)
        };
        let (value, middle, below) = slope(0);
        if !(value.is_finite() && value > 0.0) {
            return Reading::without(0.0, "N/m", "load does not rise with stretch here");
        }
        let (load, displacement) = (&self.load.quality, &self.displacement.quality);
        let weights = |first: usize, factor: f64| Weighted {
            first,
            weights: samples
                .clone()
                .map(|i| factor * (self.x(i) - middle) / below)
                .collect(),
        };
        let theirs = (samples.start as isize + self.offset) as usize;
        let of_clock = (slope(1).0 - slope(-1).0) / (2.0 * self.load.series.step_s());
        let terms = vec![
            noise(
                "noise of the load",
                weights(samples.start, 1.0).noise(load),
                load,
            ),
            noise(
                "noise of the displacement",
                weights(theirs, value)
                    .noise_smoothed(displacement, self.displacement.series.step_s()),
                displacement,
            ),
            Term::sure("calibration of the load", load.calibration.relative * value),
            Term::sure(
                "calibration of the displacement",
                displacement.calibration.relative * value,
            ),
            self.clocks(of_clock),
        ];
        Reading::with_terms(value, "N/m", terms)
    }
}

impl Energy {
    /// `a` times this and `b` times another, and so for all they are to errors.
    fn mix(&self, a: f64, other: &Self, b: f64) -> Self {
        Self {
            value: a * self.value + b * other.value,
            of_load: self.of_load.mix(a, &other.of_load, b),
            of_displacement: self.of_displacement.mix(a, &other.of_displacement, b),
            of_zero: a * self.of_zero + b * other.of_zero,
            of_clock: a * self.of_clock + b * other.of_clock,
        }
    }
}

/// A term that came of a time as unsure as `time_s`, with the parts of that time in its own unit.
fn parts_of(term: Term, time_s: f64, parts: &[Part]) -> Term {
    let each = parts
        .iter()
        .map(|part| part.times(term.uncertainty / time_s));
    let parts = each.collect();
    term.of_parts(parts)
}

fn noise(name: &'static str, uncertainty: f64, quality: &Quality) -> Term {
    Term {
        name,
        uncertainty,
        freedom: quality.noise_freedom,
        parts: Vec::new(),
    }
}

/// How many samples later the displacement's first would be counted as the load's.
fn common_clock(load: &Channel, displacement: &Channel) -> Result<isize, StretchError> {
    let (a, b) = (&load.series, &displacement.series);
    let offset = (a.start_s() - b.start_s()) / a.step_s();
    let longest = a.values().len().max(b.values().len()) as f64;
    let same_step = ((a.step_s() - b.step_s()) / a.step_s()).abs() * longest < 0.01;
    if same_step && (offset - libm::round(offset)).abs() < 0.01 {
        Ok(libm::round(offset) as isize)
    } else {
        Err(StretchError::OtherClock {
            load_step_s: a.step_s(),
            displacement_step_s: b.step_s(),
        })
    }
}
