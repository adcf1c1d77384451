//! A tether by design: the least strength for each length and stretch that holds.
//!
//! The tether runs from the vehicle the line parts from to the line's end, and is a
//! straight spring that parts at its strength (as in the let-go itself): a stronger
//! one of the same length and stretch is stiffer too, so it hands more to its anchor.
//! It holds where it parts in no more draws than the chance leaves and lets nothing get
//! further than asked, `l (1 + e)`. Strengths go by a grid of ten per cent; along it the
//! step from parting to holding is halved in, which takes for granted that a stronger
//! one never parts where a weaker holds (a test says so).
//!
//! Lower bound: a catch that takes all it can out of line and hardware as one body
//! still leaves `p²/2m` of their energy to the tether, `p` their momentum.

use super::energies::Asked;
use super::order::{share_band, upper_quantile};
use super::set_up::{Make, SetUp, TetherMade};
use super::study::{Effort, SideBySide, Study};
use super::target::{Draws, Target};
use super::throw::Seen;
use crate::chance::Interval;
use crate::units::{Area, Energy, Force, Length};

/// Steps of strength to a decade: about 10 % each.
const STEPS_A_DECADE: f64 = 24.0;
/// Steps taken before both ends are known.
const STRIDE: i32 = 6;

/// What a tether design is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct TetherWish {
    /// Share of the draws in which it must hold, 0 to 1.
    pub chance: f64,
    /// What is held gets no further from where it let go.
    pub within: Length,
    /// Lengths tried.
    pub lengths: Vec<Length>,
    /// Strains at break tried.
    pub strains: Vec<f64>,
    /// Least and greatest strength tried.
    pub strengths: (Force, Force),
    /// How much work may be done.
    pub effort: Effort,
}

/// A tether that holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TetherFit {
    /// The tether.
    pub tether: TetherMade,
    /// Energy that it takes up before it parts; as it parts, its own ends have it.
    pub capacity: Energy,
    /// Load that it hands to its anchor, median.
    pub peak_median: Force,
    /// The same at the wish's chance.
    pub peak: Force,
}

/// One length and stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TetherCell {
    /// Length.
    pub length: Length,
    /// Strain at break.
    pub strain_at_break: f64,
    /// How far it lets anything get.
    pub reach: Length,
    /// The least strength that holds; none where none in the range does, or where it
    /// lets things get too far.
    pub fit: Option<TetherFit>,
}

/// What a design came to.
#[derive(Debug, Clone, PartialEq)]
pub struct TetherDesign {
    /// Every length with every stretch.
    pub cells: Vec<TetherCell>,
    /// The one that takes the least strength, after its check on fresh draws.
    pub least: Option<TetherFit>,
    /// Share of the fresh draws in which that one holds, and its 90 % band.
    pub held: Option<(f64, Interval)>,
    /// Draws of the search, of the check, and failed runs of the check.
    pub draws: (usize, usize, usize),
    /// Energy of the hardware without any tether at the far vehicle, quantile.
    pub untethered: Energy,
}

/// Designs a tether for one target.
pub fn tether_design(
    target: &Target,
    wish: &TetherWish,
    seed: u64,
    run: SideBySide,
) -> TetherDesign {
    let asked = Asked {
        under: Energy::new(1.0),
        chance: wish.chance,
    };
    let count = Effort::draws(wish.effort.search, wish.chance);
    let draws = Draws::to_search(seed, count);
    let mut study = Study::new(target, asked, wish.effort, draws, run);
    let bare = study.bare(&SetUp::of(vec![], no_dampers()));
    let cells = hunted(&study, wish, bare.hardware.median);
    let least = cells.iter().filter_map(|c| c.fit).min_by(|a, b| {
        let of = |f: &TetherFit| f.tether.mbs.get();
        of(a).total_cmp(&of(b))
    });
    let mut design = TetherDesign {
        cells,
        least: None,
        held: None,
        draws: (count, 0, 0),
        untethered: bare.hardware.quantile,
    };
    if let Some(fit) = least {
        check(&study, wish, fit, seed, &mut design);
    }
    design
}

/// The planned dampers hang on the line already.
fn no_dampers() -> Make {
    Make {
        grip: Force::ZERO,
        drag_area: Area::ZERO,
    }
}

fn with(tether: TetherMade) -> SetUp {
    SetUp {
        tether: Some(tether),
        ..SetUp::of(vec![], no_dampers())
    }
}

/// The step of strength that a cell has come to.
struct Hunt {
    cell: TetherCell,
    /// Greatest step known to part; one before the first at the start.
    parts: i32,
    /// Least step known to hold, with what it gave.
    holds: Option<(i32, TetherFit)>,
    next: i32,
}

impl Hunt {
    fn done(&self, last: i32) -> bool {
        match &self.holds {
            Some((step, _)) => step - self.parts <= 1,
            None => self.parts >= last,
        }
    }

    fn tell(&mut self, fit: Option<TetherFit>, last: i32) {
        match fit {
            Some(fit) => self.holds = Some((self.next, fit)),
            None => self.parts = self.next,
        }
        self.next = match &self.holds {
            Some((step, _)) if self.parts < 0 => (step - STRIDE).max(0),
            Some((step, _)) => (self.parts + step) / 2,
            None => (self.parts + STRIDE).min(last),
        };
    }
}

fn hunted(study: &Study, wish: &TetherWish, energy: Energy) -> Vec<TetherCell> {
    let (weakest, strongest) = wish.strengths;
    let last = step_of(weakest, strongest).max(0);
    let mut hunts: Vec<Hunt> = cells(wish)
        .into_iter()
        .map(|cell| {
            // As if the tether took up all that the hardware carries.
            let likely = energy * 2.0 / (cell.strain_at_break * cell.length.get());
            Hunt {
                next: step_of(weakest, Force::new(likely.get())).clamp(0, last),
                cell,
                parts: -1,
                holds: None,
            }
        })
        .collect();
    loop {
        let open: Vec<usize> = (0..hunts.len())
            .filter(|&i| hunts[i].cell.reach <= wish.within && !hunts[i].done(last))
            .collect();
        if open.is_empty() {
            break;
        }
        let tethers: Vec<TetherMade> = open.iter().map(|&i| made(&hunts[i], weakest)).collect();
        let set_ups: Vec<SetUp> = tethers.iter().map(|t| with(*t)).collect();
        let held = study.holding(&set_ups);
        for ((i, tether), seen) in open.into_iter().zip(tethers).zip(held) {
            let fit = seen.map(|seen| fit(tether, &seen, wish.chance));
            hunts[i].tell(fit, last);
        }
    }
    let found = |hunt: Hunt| TetherCell {
        fit: hunt.holds.map(|(_, fit)| fit),
        ..hunt.cell
    };
    hunts.into_iter().map(found).collect()
}

fn cells(wish: &TetherWish) -> Vec<TetherCell> {
    let mut all = Vec::new();
    for &length in &wish.lengths {
        for &strain_at_break in &wish.strains {
            all.push(TetherCell {
                length,
                strain_at_break,
                reach: length * (1.0 + strain_at_break),
                fit: None,
            });
        }
    }
    all
}

fn made(hunt: &Hunt, weakest: Force) -> TetherMade {
    TetherMade {
        length: hunt.cell.length,
        strain_at_break: hunt.cell.strain_at_break,
        mbs: strength_at(weakest, hunt.next),
    }
}

fn strength_at(weakest: Force, step: i32) -> Force {
    weakest * libm::exp10(f64::from(step) / STEPS_A_DECADE)
}

fn step_of(weakest: Force, strength: Force) -> i32 {
    let decades = libm::log10((strength / weakest).max(1e-6));
    libm::floor(decades * STEPS_A_DECADE + 1e-6) as i32
}

/// One step of strength more.
pub(super) fn stronger(tether: TetherMade) -> TetherMade {
    TetherMade {
        mbs: strength_at(tether.mbs, 1),
        ..tether
    }
}

fn fit(tether: TetherMade, seen: &[Option<Seen>], chance: f64) -> TetherFit {
    let mut peaks: Vec<f64> = seen.iter().flatten().map(|s| s.tether_n).collect();
    peaks.sort_by(f64::total_cmp);
    let at = |q| Force::new(upper_quantile(&peaks, q).unwrap_or(0.0));
    TetherFit {
        tether,
        capacity: Energy::new(
            0.5 * tether.mbs.get() * tether.strain_at_break * tether.length.get(),
        ),
        peak_median: at(0.5),
        peak: at(chance),
    }
}

/// Holds the least to fresh draws, followed to the end; makes it stronger until it
/// holds there, within the range of strengths.
fn check(study: &Study, wish: &TetherWish, fit: TetherFit, seed: u64, design: &mut TetherDesign) {
    let count = Effort::draws(wish.effort.check, wish.chance);
    let fresh = Draws::to_check(seed, count);
    let mut tether = fit.tether;
    while tether.mbs <= wish.strengths.1 {
        let runs = study.seen(&[with(tether)], &fresh, study.effort.check_segments);
        let seen = runs.into_iter().next().unwrap_or_default();
        let held = seen.iter().flatten().filter(|s| !s.parted).count();
        design.draws = (
            design.draws.0,
            count,
            seen.iter().filter(|s| s.is_none()).count(),
        );
        if count - held <= super::order::allowed_above(count, wish.chance) {
            design.least = Some(self::fit(tether, &seen, wish.chance));
            design.held = Some((held as f64 / count as f64, share_band(held, count)));
            return;
        }
        tether = stronger(tether);
    }
}
