//! Where things come down in many let-go runs, ray by ray, and the zone from it.
//!
//! For each thing that could fly and each ray from the middle of the rig: of the runs
//! in which it comes within the lobe's angle of that ray, how many reached how far.
//! Reaches are counted in bins 1 % wide and read off at the upper edge; memory does
//! not grow with the runs, and merging in any order gives the same.
//!
//! The contour at a quantile `q` reaches, along each ray, the largest over all things
//! of the upper order statistic `⌈q (n + 1)⌉` of `n` reaches: thing by thing, so that
//! one that seldom flies this way is not averaged away by others. It is smoothed from
//! outside only (each reach holds for its neighbours too, less as they turn away), and
//! is never smaller than the rule distance. Its band: the order statistics between
//! which the quantile lies with the stated probability; where too few runs came that way
//! to bound it, the largest stands and the ray counts as unbounded.

use std::collections::BTreeMap;

use super::zone_frame::{LOBE_DEG, RAYS};
use super::{Flown, ZoneFrame};
use crate::chance::{Interval, quantile_ranks};

/// Width of a bin in the natural logarithm, and the least reach told apart, m.
const WIDTH: f64 = 0.01;
const LEAST_M: f64 = 0.1;
/// Angle over which smoothing from outside takes a reach down to nothing, deg.
const FADES_DEG: f64 = 36.0;

/// Counts of reaches by thing and ray.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ZoneTally {
    /// Item, ray and bin, packed in this order.
    cells: BTreeMap<u64, u32>,
    /// Runs by item.
    runs: Vec<u64>,
}

/// A contour of the zone.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// Its quantile.
    pub quantile: f64,
    /// How far it reaches along each ray of the frame, m; never under the frame's least.
    pub reach: Vec<f64>,
    /// The same where things come down alone, whatever the rule; nothing along rays that
    /// nothing comes near.
    pub bare: Vec<f64>,
    /// The inner edge of its band.
    pub inner: Vec<f64>,
    /// The outer edge of its band.
    pub outer: Vec<f64>,
    /// Rays along which the outer edge passes the frame's least.
    pub outside: usize,
    /// Those of them along which too few runs came to bound it from outside.
    pub unbounded: usize,
    /// Whether it passes the least of the frame anywhere.
    pub governs: bool,
}

impl ZoneTally {
    /// Counts one let-go.
    pub fn add(&mut self, frame: &ZoneFrame, flown: &Flown) {
        if self.runs.len() <= flown.item {
            self.runs.resize(flown.item + 1, 0);
        }
        self.runs[flown.item] += 1;
        let mut reach = [0.0_f64; RAYS];
        for p in &flown.places {
            let (x, y) = (p.0 - frame.middle.0, p.1 - frame.middle.1);
            if x.is_finite() && y.is_finite() {
                spread(frame, libm::atan2(y, x), libm::hypot(x, y), &mut reach);
            }
        }
        for (ray, r) in reach.into_iter().enumerate().filter(|(_, r)| *r > 0.0) {
            *self
                .cells
                .entry(packed(flown.item, ray, bin(r)))
                .or_default() += 1;
        }
    }

    /// Adds the counts of another.
    pub fn merge(&mut self, other: &Self) {
        if self.runs.len() < other.runs.len() {
            self.runs.resize(other.runs.len(), 0);
        }
        for (mine, more) in self.runs.iter_mut().zip(&other.runs) {
            *mine += more;
        }
        for (cell, n) in &other.cells {
            *self.cells.entry(*cell).or_default() += n;
        }
    }

    /// Let-go runs counted.
    pub fn runs(&self) -> u64 {
        self.runs.iter().sum()
    }

    /// Runs of the thing that flew least often.
    pub fn least_runs(&self) -> u64 {
        self.runs.iter().copied().min().unwrap_or(0)
    }

    /// The contour at `quantile`, its band holding with probability `level`.
    pub fn contour(&self, frame: &ZoneFrame, quantile: f64, level: f64) -> Contour {
        let mut ranks_of: BTreeMap<u64, Interval> = BTreeMap::new();
        let mut raw = [[0.0_f64; 3]; RAYS];
        let mut unbounded = [false; RAYS];
        for item in 0..self.runs.len() {
            for (ray, most) in raw.iter_mut().enumerate() {
                let reaches = self.reaches(item, ray);
                let n: u64 = reaches.iter().map(|(_, n)| n).sum();
                if n == 0 {
                    continue;
                }
                let band = ranks_of
                    .entry(n)
                    .or_insert_with(|| quantile_ranks(n, quantile, level));
                let (low, high) = (libm::floor(band.low), libm::ceil(band.high - 1e-9));
                unbounded[ray] |= high > n as f64;
                let ranks = [upper_rank(n, quantile), low.max(1.0) as u64, high as u64];
                for (most, rank) in most.iter_mut().zip(ranks) {
                    *most = most.max(at_rank(&reaches, rank));
                }
            }
        }
        let of = |k: usize| -> Vec<f64> {
            let one: Vec<f64> = raw.iter().map(|r| r[k]).collect();
            smoothed(frame, &one)
        };
        let floored = |bare: &[f64]| -> Vec<f64> {
            let with_least = bare.iter().zip(&frame.least);
            with_least.map(|(r, least)| r.max(*least)).collect()
        };
        let bare = of(0);
        let (reach, inner, outer) = (floored(&bare), floored(&of(1)), floored(&of(2)));
        let mirrored = |k: usize| if frame.mirrored { fold(k) } else { k };
        let passes = |k: &usize| outer[*k] > frame.least[*k] * (1.0 + 1e-9);
        Contour {
            quantile,
            governs: reach
                .iter()
                .zip(&frame.least)
                .any(|(r, l)| *r > l * (1.0 + 1e-9)),
            outside: (0..RAYS).filter(passes).count(),
            unbounded: (0..RAYS)
                .filter(passes)
                .filter(|k| unbounded[mirrored(*k)])
                .count(),
            bare,
            reach,
            inner,
            outer,
        }
    }

    /// Upper edges of the bins met by an item along a ray, and how often.
    fn reaches(&self, item: usize, ray: usize) -> Vec<(f64, u64)> {
        let range = packed(item, ray, 0)..packed(item, ray + 1, 0);
        let edge = |cell: u64| LEAST_M * libm::exp(WIDTH * (cell & 0xffff) as f64);
        let cells = self.cells.range(range);
        cells.map(|(c, n)| (edge(*c), u64::from(*n))).collect()
    }
}

fn packed(item: usize, ray: usize, bin: u16) -> u64 {
    (item as u64) << 32 | (ray as u64) << 16 | u64::from(bin)
}

fn bin(reach_m: f64) -> u16 {
    let bin = libm::ceil(libm::log(reach_m / LEAST_M) / WIDTH - 1e-9);
    bin.clamp(0.0, f64::from(u16::MAX)) as u16
}

/// Rank of the upper order statistic that stands for the quantile `p` of `n` values.
fn upper_rank(n: u64, p: f64) -> u64 {
    let rank = libm::ceil(p.clamp(0.0, 1.0) * (n + 1) as f64) as u64;
    rank.clamp(1, n.max(1))
}

fn at_rank(reaches: &[(f64, u64)], rank: u64) -> f64 {
    let mut below = 0;
    for (edge, n) in reaches {
        below += n;
        if rank <= below {
            return *edge;
        }
    }
    reaches.last().map_or(0.0, |r| r.0)
}

/// The ray that stands for ray `k` and its mirror image.
fn fold(k: usize) -> usize {
    k.min(RAYS - k)
}

/// Raises the reach of every ray within the lobe of a place.
fn spread(frame: &ZoneFrame, angle: f64, r: f64, reach: &mut [f64; RAYS]) {
    let step = core::f64::consts::TAU / RAYS as f64;
    let turn = angle - frame.start;
    let turn = if frame.mirrored { turn.abs() } else { turn };
    let lobe = LOBE_DEG.to_radians();
    let first = libm::ceil((turn - lobe) / step - 1e-9) as i64;
    let last = libm::floor((turn + lobe) / step + 1e-9) as i64;
    for k in first..=last {
        let k = k.rem_euclid(RAYS as i64) as usize;
        let k = if frame.mirrored { fold(k) } else { k };
        reach[k] = reach[k].max(r);
    }
}

/// The reach of every ray, smoothed from outside.
fn smoothed(frame: &ZoneFrame, raw: &[f64]) -> Vec<f64> {
    let steps = (FADES_DEG / 360.0 * RAYS as f64) as i64;
    let whole = |k: i64| {
        let k = k.rem_euclid(RAYS as i64) as usize;
        raw[if frame.mirrored { fold(k) } else { k }]
    };
    // The side between two corners clears a landing between their rays.
    let half_ray = libm::cos(core::f64::consts::PI / RAYS as f64);
    (0..RAYS as i64)
        .map(|k| {
            let near = (-steps..=steps).map(|d| {
                let off = d as f64 / (steps + 1) as f64;
                whole(k + d) * (1.0 - off * off)
            });
            near.fold(0.0, f64::max) / half_ray
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    fn frame() -> ZoneFrame {
        ZoneFrame::straight(Length::new(10.0), Length::new(15.0))
    }

    fn flown(item: usize, places: Vec<(f64, f64)>) -> Flown {
        Flown {
            item,
            speed_m_s: 0.0,
            energy_j: 0.0,
            reach_m: 0.0,
            meeting: None,
            places,
        }
    }

    #[test]
    fn the_zone_is_the_envelope_of_all_things_and_never_under_the_rule() {
        let frame = frame();
        let mut tally = ZoneTally::default();
        for i in 0..200 {
            let far = 20.0 + f64::from(i);
            tally.add(&frame, &flown(0, vec![(5.0 + far, 0.0)]));
            // Seldom matters as often: its own quantile counts.
            if i % 20 == 0 {
                tally.add(&frame, &flown(1, vec![(5.0 - 3.0 * far, 0.0)]));
            }
        }
        let contour = tally.contour(&frame, 0.95, 0.9);
        assert!(contour.governs && contour.reach.len() == RAYS);
        assert!(
            (contour.reach[0] / 210.0 - 1.0).abs() < 0.02,
            "{:?}",
            contour.reach[0]
        );
        assert!(contour.reach[RAYS / 2] > 3.0 * 200.0 * 0.99);
        for k in 0..RAYS {
            assert!(contour.inner[k] <= contour.reach[k] && contour.reach[k] <= contour.outer[k]);
            assert!(contour.inner[k] >= frame.least[k]);
            assert!(
                (contour.reach[k] - contour.reach[fold(k)]).abs() < 1e-9,
                "mirrored"
            );
        }
        // Ten runs of the second thing cannot bound its 95 % from outside.
        assert!(contour.unbounded > 0 && contour.unbounded < contour.outside);
        assert_eq!((tally.runs(), tally.least_runs()), (210, 10));
    }

    #[test]
    fn further_landings_and_higher_quantiles_never_shrink_it() {
        let frame = frame();
        let (mut near, mut far) = (ZoneTally::default(), ZoneTally::default());
        for i in 0..300 {
            let (r, a) = (10.0 + 0.3 * f64::from(i), 0.02 * f64::from(i % 40));
            let at = |r: f64| (5.0 + r * libm::cos(a), r * libm::sin(a));
            near.add(&frame, &flown(0, vec![at(r)]));
            far.add(&frame, &flown(0, vec![at(1.2 * r)]));
        }
        let of = |t: &ZoneTally, q| t.contour(&frame, q, 0.9).reach;
        let larger = |a: &[f64], b: &[f64]| a.iter().zip(b).all(|(a, b)| a >= b);
        assert!(larger(&of(&far, 0.9), &of(&near, 0.9)));
        for (low, high) in [(0.5, 0.9), (0.9, 0.95), (0.95, 0.99)] {
            assert!(larger(&of(&near, high), &of(&near, low)));
        }
    }

    #[test]
    fn without_runs_it_is_the_rule() {
        let frame = frame();
        let contour = ZoneTally::default().contour(&frame, 0.95, 0.9);
        assert_eq!(contour.reach, frame.least);
        assert!(contour.bare.iter().all(|r| *r == 0.0));
        assert!(!contour.governs);
    }
}
