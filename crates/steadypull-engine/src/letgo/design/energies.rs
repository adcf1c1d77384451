//! What many draws of one set-up come to: medians, quantiles, and their bands.

use super::order::{quantile_band, share_band, upper_quantile};
use super::throw::Seen;
use crate::chance::Interval;
use crate::units::Energy;

/// One quantity over the draws.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spread {
    /// Median.
    pub median: Energy,
    /// The wish's quantile (upper order statistic).
    pub quantile: Energy,
    /// Lower end of the 90 % band of sampling of that quantile.
    pub band_low: Energy,
    /// Upper end; none where the draws are too few to have one.
    pub band_high: Option<Energy>,
}

/// Arrival energies at the far vehicle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Energies {
    /// The hardware alone, or the last half metre of a bare line.
    pub hardware: Spread,
    /// The most energetic damper, of its own mass.
    pub damper: Spread,
    /// The most energetic thing that arrives: hardware with all that it carries, or a
    /// damper. This is what a wish is about.
    pub worst: Spread,
    /// Energy that the line could give back when the link let go, median.
    pub stored: Energy,
    /// Share of the draws in which nothing arrives with more than the wish allows; a
    /// run that failed counts against it.
    pub met_share: f64,
    /// 90 % band of that share (Clopper and Pearson).
    pub met_band: Interval,
    /// Share of the draws in which the hardware gets to the far vehicle at all.
    pub arrives_share: f64,
    /// Draws.
    pub draws: usize,
    /// Draws whose run failed; they are in no quantile.
    pub failed: usize,
}

/// What is asked of the quantile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// Nothing may arrive with more than this...
    pub under: Energy,
    /// ... in this share of the draws, 0 to 1.
    pub chance: f64,
}

impl Energies {
    pub(super) fn of(seen: &[Option<Seen>], asked: Asked) -> Self {
        let ran: Vec<&Seen> = seen.iter().flatten().collect();
        let met = ran
            .iter()
            .filter(|s| s.worst_j <= asked.under.get())
            .count();
        let arrived = ran.iter().filter(|s| s.arrived_s.is_some()).count();
        let spread = |pick: fn(&Seen) -> f64| {
            Spread::of(ran.iter().map(|s| pick(s)).collect(), asked.chance)
        };
        Self {
            hardware: spread(|s| s.hardware_j),
            damper: spread(|s| s.damper_j),
            worst: spread(|s| s.worst_j),
            stored: spread(|s| s.stored_j).median,
            met_share: met as f64 / seen.len().max(1) as f64,
            met_band: share_band(met, seen.len()),
            arrives_share: arrived as f64 / ran.len().max(1) as f64,
            draws: seen.len(),
            failed: seen.len() - ran.len(),
        }
    }

    /// Whether the quantile keeps what is asked, by these draws.
    pub fn meets(&self, asked: Asked) -> bool {
        self.failed == 0 && self.draws > 0 && self.worst.quantile <= asked.under
    }
}

impl Spread {
    pub(super) fn of(mut values: Vec<f64>, chance: f64) -> Self {
        values.sort_by(f64::total_cmp);
        let (low, high) = quantile_band(&values, chance);
        let at = |q| Energy::new(upper_quantile(&values, q).unwrap_or(0.0));
        Self {
            median: at(0.5),
            quantile: at(chance),
            // Few draws bound nothing below: then no energy at all is the bound.
            band_low: Energy::new(low.unwrap_or(0.0)),
            band_high: high.map(Energy::new),
        }
    }
}
