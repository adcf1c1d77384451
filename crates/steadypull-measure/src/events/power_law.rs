//! A load that leaves nought by a power of time, as a filter shows it.
//!
//! ```text
//! F(τ) = A τᵖ exp(c τ²) from the foot on, nought before, through the channel's filter
//! ```
//!
//! A line that comes taut at a speed leaves nought by some power (1 for a straight curve), one that
//! goes slack along its unloading branch comes back to it by that branch's exponent; `c` is the
//! first that a smooth motion adds, even in time since the ends' acceleration vanishes with the
//! load. Least squares by damped Gauss–Newton steps; the foot is then, to small errors, a weighted
//! sum of samples.

use core::ops::Range;

use crate::linear::{Normal, Weighted, solve};
use crate::signal::Channel;
use crate::signal::cfc::Filter;

/// Powers that a load may leave nought by.
const POWERS: (f64, f64) = (0.6, 6.0);
/// Steps at most.
const STEPS_MOST: usize = 60;
/// Step of the foot, in samples, at which it has settled.
const SETTLED: f64 = 1e-4;
/// Damping at first, and from where no step helps.
const DAMPING: (f64, f64) = (1e-3, 1e9);
/// Samples used in a period of the filter's −3 dB frequency.
const USED_A_PERIOD: f64 = 12.0;
/// Samples that a law is laid through roughly.
const FEW: usize = 100;
/// Samples beyond the foot at least.
const SAMPLES_LEAST: f64 = 4.0;
/// Size of residuals over that of the noise from which they are no noise.
const NO_NOISE: f64 = 2.0;

/// Samples from slack into load, place by place, whichever way time runs.
pub(super) struct Way<'a> {
    /// The channel.
    pub channel: &'a Channel,
    /// Its sample at place nought.
    pub from: usize,
    /// Whether load rises with time.
    pub rising: bool,
}

impl Way<'_> {
    /// The sample at a place.
    fn sample(&self, place: usize) -> usize {
        if self.rising {
            self.from + place
        } else {
            self.from - place
        }
    }

    /// The value at a place.
    pub fn value(&self, place: usize) -> f64 {
        self.channel.series.values()[self.sample(place)]
    }

    /// Where a time lies.
    pub fn place(&self, time_s: f64) -> f64 {
        let place = self.channel.series.place(time_s) - self.from as f64;
        if self.rising { place } else { -place }
    }

    /// The time of a place, s.
    pub fn time_s(&self, place: f64) -> f64 {
        let place = if self.rising { place } else { -place };
        self.channel.series.start_s() + (self.from as f64 + place) * self.channel.series.step_s()
    }

    /// Weights by place as weights by sample.
    fn weights(&self, places: Range<usize>, mut weights: Vec<f64>) -> Weighted {
        if !self.rising {
            weights.reverse();
        }
        let ends = (self.sample(places.start), self.sample(places.end - 1));
        Weighted {
            first: ends.0.min(ends.1),
            weights,
        }
    }
}

/// A power law laid through the places below an end.
#[derive(Debug, Clone)]
pub(super) struct PowerLaw {
    at: Parameters,
    scale: f64,
    /// Standard uncertainty of the foot, in places: by zero, and by noise.
    pub uncertainty: f64,
    /// Whether the residuals are more than noise could make them: the load follows no such law.
    pub misses: bool,
}

impl PowerLaw {
    /// Roughly, as if there were no filter, through a few of the places under `end`, from a foot and a
    /// power to start with; `None` where there are too few or no law fits.
    pub fn roughly(way: &Way, end: usize, foot: f64, power: f64) -> Option<Self> {
        let laid = Laid::with(way, end, end as f64 - foot, (end / FEW).max(1), None)?;
        let power = power.clamp(1.1 * POWERS.0, 0.9 * POWERS.1);
        let amplitude = laid.amplitude([foot, 1.0, power, 0.0])?;
        laid.law([foot, amplitude, power, 0.0])
    }

    /// Through the places under an end, from this one to start with.
    pub fn again(&self, way: &Way, end: usize) -> Option<Self> {
        Laid::new(way, end, self.scale)?.law(self.at)
    }

    /// How sure the foot would be from the places under another end if this law held there, in places.
    pub fn uncertainty_under(&self, way: &Way, end: usize) -> Option<f64> {
        let laid = Laid::new(way, end, self.scale)?;
        laid.uncertainty(&self.at, &laid.slopes(&self.at), way.channel.quality.noise)
    }

    /// Where the load leaves nought, in places.
    pub fn foot(&self) -> f64 {
        self.at[0]
    }
}

/// The law at the places it is laid through.
struct Laid<'a> {
    way: &'a Way<'a>,
    places: Vec<usize>,
    stride: usize,
    values: Vec<f64>,
    /// Places in a unit of its time.
    scale: f64,
    filter: Option<Filter>,
}

/// Foot in places, amplitude, power, and the even term.
type Parameters = [f64; 4];

/// Slopes of the law against its parameters, place by place; that against the amplitude is the law
/// over its amplitude.
type Slopes = Vec<[f64; 4]>;

impl<'a> Laid<'a> {
    fn new(way: &'a Way<'a>, end: usize, scale: f64) -> Option<Self> {
        let rate_hz = way.channel.series.rate_hz();
        let own = way.channel.quality.filter;
        let stride = own.map_or(1, |f| {
            ((rate_hz / (USED_A_PERIOD * f.class().nominal_hz())) as usize).max(1)
        });
        let filter = match own {
            Some(own) if stride > 1 => {
                Some(Filter::new(own.class(), rate_hz / stride as f64).ok()?)
            }
            own => own,
        };
        Self::with(way, end, scale, stride, filter)
    }

    fn with(
        way: &'a Way<'a>,
        end: usize,
        scale: f64,
        stride: usize,
        filter: Option<Filter>,
    ) -> Option<Self> {
        if scale.is_nan() || scale < SAMPLES_LEAST {
            return None;
        }
        let places: Vec<usize> = ((end - 1) % stride..end).step_by(stride).collect();
        let values = places.iter().map(|p| way.value(*p)).collect();
        Some(Self {
            way,
            places,
            stride,
            values,
            scale,
            filter,
        })
    }

    /// The law that fits best. Where the residuals are more than the noise they are what it counts as
    /// noise (R. T. Birge, Phys. Rev. 40 (1932) 207, from memory): a load that follows no such law quite,
    /// where it is quiet enough to show.
    fn law(&self, start: Parameters) -> Option<PowerLaw> {
        let (at, slopes) = self.fitted(start)?;
        let quality = &self.way.channel.quality;
        let noise = libm::hypot(quality.noise_after_filter(), quality.digitisation());
        let residuals = libm::sqrt(self.cost(&at, &slopes) / self.values.len() as f64);
        let misses = residuals > NO_NOISE * noise;
        let counted = if misses {
            residuals / quality.filter.map_or(1.0, |f| f.noise_share())
        } else {
            quality.noise * (residuals / noise).max(1.0)
        };
        Some(PowerLaw {
            at,
            scale: self.scale,
            uncertainty: self.uncertainty(&at, &slopes, counted)?,
            misses,
        })
    }

    /// The law with its slopes at the parameters.
    fn slopes(&self, at: &Parameters) -> Slopes {
        // Before the foot there is nothing; beyond the last place as much as the filter reaches.
        let pad = self.filter.map_or(0, |f| f.pad());
        let slopes: Slopes = (0..self.places.len() + pad)
            .map(|k| self.slopes_at((self.places[0] + k * self.stride) as f64, at))
            .collect();
        match self.filter {
            None => slopes,
            Some(filter) => {
                let mut through = filter.weights_through_each(&slopes);
                through.drain(..pad);
                through.truncate(self.places.len());
                through
            }
        }
    }

    /// Slopes of the law before the filter.
    fn slopes_at(&self, place: f64, [foot, amplitude, power, even]: &Parameters) -> [f64; 4] {
        let t = (place - foot) / self.scale;
        if t <= 0.0 {
            return [0.0; 4];
        }
        let log = libm::log(t);
        let shape = libm::exp(power * log + even * t * t);
        let law = amplitude * shape;
        [
            -law * (power / t + 2.0 * even * t) / self.scale,
            shape,
            law * log,
            law * t * t,
        ]
    }

    /// The amplitude that fits best with the rest held.
    fn amplitude(&self, at: Parameters) -> Option<f64> {
        let slopes = self.slopes(&at);
        let square: f64 = slopes.iter().map(|s| s[1] * s[1]).sum();
        let cross: f64 = slopes.iter().zip(&self.values).map(|(s, v)| s[1] * v).sum();
        Some(cross / square).filter(|a| a.is_finite() && *a > 0.0)
    }

    /// Read less law, place by place.
    fn residuals(&self, at: &Parameters, slopes: &Slopes) -> impl Iterator<Item = f64> {
        let both = slopes.iter().zip(&self.values);
        both.map(|(s, v)| v - at[1] * s[1])
    }

    fn cost(&self, at: &Parameters, slopes: &Slopes) -> f64 {
        self.residuals(at, slopes).map(|r| r * r).sum()
    }

    fn normal(&self, at: &Parameters, slopes: &Slopes) -> Normal<4> {
        let mut normal = Normal::NOTHING;
        for (row, r) in slopes.iter().zip(self.residuals(at, slopes)) {
            normal.add(row, r);
        }
        normal
    }

    /// Steps until the foot stands still.
    fn fitted(&self, start: Parameters) -> Option<(Parameters, Slopes)> {
        let (mut at, mut slopes) = (start, self.slopes(&start));
        let mut cost = self.cost(&at, &slopes);
        let mut damping = DAMPING.0;
        for _ in 0..STEPS_MOST {
            let mut normal = self.normal(&at, &slopes);
            for (j, row) in normal.matrix.iter_mut().enumerate() {
                row[j] *= 1.0 + damping;
            }
            let step = normal.solve()?;
            let next = [0, 1, 2, 3].map(|j| at[j] + step[j]);
            let there = self.can_be(&next).then(|| self.slopes(&next));
            let better = there
                .map(|s| (self.cost(&next, &s), s))
                .filter(|(c, _)| *c <= cost);
            let Some((less, there)) = better else {
                damping *= 10.0;
                if damping > DAMPING.1 {
                    return Some((at, slopes));
                }
                continue;
            };
            let still = step[0].abs() < SETTLED || cost - less < 1e-9 * cost;
            (at, slopes, cost) = (next, there, less);
            damping *= 0.1;
            if still {
                return Some((at, slopes));
            }
        }
        None
    }

    fn can_be(&self, at: &Parameters) -> bool {
        let last = self.places[self.places.len() - 1] as f64;
        at.iter().all(|v| v.is_finite())
            && at[0] < last - 0.5 * SAMPLES_LEAST
            && at[1] > 0.0
            && at[2] > POWERS.0
            && at[2] < POWERS.1
            && at[3].abs() < 10.0
    }

    /// Standard uncertainty of the foot, in places, by zero and by noise of this size before the filter.
    fn uncertainty(&self, at: &Parameters, slopes: &Slopes, noise: f64) -> Option<f64> {
        let row = solve(self.normal(at, slopes).matrix, [1.0, 0.0, 0.0, 0.0])?;
        let (first, last) = (self.places[0], self.places[self.places.len() - 1]);
        let mut weights = vec![0.0; last + 1 - first];
        for (weight, slopes) in weights.iter_mut().step_by(self.stride).zip(slopes) {
            *weight = row.iter().zip(slopes).map(|(r, s)| r * s).sum();
        }
        let weights = self.way.weights(first..last + 1, weights);
        let quality = &self.way.channel.quality;
        let zero = quality.zero * weights.weights.iter().sum::<f64>();
        let uncertainty = libm::hypot(noise * weights.share_of_noise(quality), zero);
        uncertainty.is_finite().then_some(uncertainty)
    }
}
