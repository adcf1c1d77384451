//! What the filter took off a value.
//!
//! Let `F` be the filter and `d = y − F y` what a second run of it would take off the filtered
//! value. A smooth top lost about `d` in the first run already (`1 − F ≈ (f/f_c)⁴` is small, and
//! the same again). A sharp corner lost four times `d`: with `H = 1/(1 + x⁴)`, `∫ (1−H)/x² dx =
//! π/(2√2) = 1.1107` against `∫ (H−H²)/x² dx = Γ(3/4) Γ(5/4)/4 = 0.2777`. So `2.5 d` is put back,
//! and the `1.5 d` to either answer counts as one standard uncertainty, since either may be
//! the true one. Where `d` does not stand out of its noise nothing is put back; the doubt
//! stays. Method: ours; held against CV-CFC-09.

use crate::linear::Weighted;
use crate::signal::Channel;
use crate::signal::cfc::Filter;

/// Corner over smooth: what was lost over what a second run loses.
const CORNER: f64 = 4.0;
/// Standard deviations at which a loss stands out.
const STANDS_OUT: f64 = 2.0;

/// What the filter took off, and how sure that is.
pub(super) struct Loss {
    /// To be added to the value.
    pub put_back: f64,
    /// Standard uncertainty of that.
    pub uncertainty: f64,
    /// What a second run would take off; infinite where the stretch is too short for one.
    pub again: f64,
}

/// The loss of a value that is a weighted sum of filtered samples.
pub(super) fn filter_loss(channel: &Channel, value: &Weighted) -> Loss {
    let Some(filter) = channel.quality.filter else {
        return Loss {
            put_back: 0.0,
            uncertainty: 0.0,
            again: 0.0,
        };
    };
    let d = again(channel, &filter, value);
    let noise = noise_of_again(channel, &filter, value);
    let (middle, half) = (0.5 * (CORNER + 1.0), 0.5 * (CORNER - 1.0));
    let stands_out = d.abs() > STANDS_OUT * noise;
    Loss {
        put_back: if stands_out { middle * d } else { 0.0 },
        uncertainty: libm::hypot(half * d, middle * noise),
        again: d,
    }
}

fn noise_of_again(channel: &Channel, filter: &Filter, value: &Weighted) -> f64 {
    let through = Weighted {
        first: 0,
        weights: filter.weights_through(&value.weights),
    };
    let plain = Weighted {
        first: filter.pad(),
        weights: value.weights.clone(),
    };
    plain.mix(1.0, &through, -1.0).noise(&channel.quality)
}

fn again(channel: &Channel, filter: &Filter, value: &Weighted) -> f64 {
    let values = channel.series.values();
    let (first, end) = (value.first, value.first + value.weights.len());
    let reach = 3 * filter.pad();
    let there = |i: &usize| !values[*i].is_nan();
    let left = (first.saturating_sub(reach)..first)
        .rev()
        .take_while(there)
        .count();
    let right = (end..(end + reach).min(values.len()))
        .take_while(there)
        .count();
    let part = &values[first - left..end + right];
    let local = Weighted {
        first: left,
        weights: value.weights.clone(),
    };
    filter
        .stretch(part)
        .map_or(f64::INFINITY, |twice| local.of(part) - local.of(&twice))
}
