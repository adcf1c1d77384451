//! How a load goes after its peak: to a plateau, or to nothing at once.

use super::{Event, EventKind, Settings, crossing, found};
use crate::signal::Channel;

/// Share of the rise in which a line could not unload.
const PARTING_SHARE: f64 = 0.25;
/// Band of a plateau, as a share of its level to either side.
const PLATEAU_BAND: f64 = 0.1;
/// Plateaus lie between these shares of the peak.
const PLATEAU: (f64, f64) = (0.1, 0.9);

/// A pull as the fall is looked for in.
pub(super) struct Whole<'a> {
    pub channel: &'a Channel,
    /// Highest sample.
    pub highest: usize,
    /// One past the last sample.
    pub end: usize,
    pub peak_n: f64,
    pub ends_open: bool,
    pub rise_s: Option<f64>,
}

/// The fall to nothing faster than a whole line could unload: when it began.
pub(super) fn parting(pull: &Whole, settings: &Settings) -> Option<Event> {
    if pull.ends_open {
        return None;
    }
    let values = pull.channel.series.values();
    // The last fall counts: a pull may sink for long before something lets go. What was
    // there just before is not the peak, so shares are of the load it fell from.
    let before = before_last_fall(pull)?;
    let from_n = values[before];
    let after = (pull.end + 1).min(values.len());
    let high = crossing(pull.channel, before..after, 0.9 * from_n, false)?;
    let low = crossing(pull.channel, before..after, 0.1 * from_n, false)?;
    let fall_s = low.time_s - high.time_s;
    let whole_line_s = settings
        .fastest_unload_s
        .or(pull.rise_s.map(|rise| PARTING_SHARE * rise))?;
    // What the filter smears a sudden end into is no proof that it was slow.
    let filter = pull.channel.quality.filter;
    let smear_s = filter.map_or(0.0, |f| f.rise_time_s());
    let limit_s = whole_line_s.max((1.5 * smear_s).min(2.0 * whole_line_s));
    (fall_s < limit_s).then(|| {
        // The filter moves nothing in time and widens the fall about its middle, their widths
        // in squares; a straight fall is five quarters of its way from 90 to 10 % long.
        let own_s = libm::sqrt((fall_s * fall_s - smear_s * smear_s).max(0.0));
        let began_s = 0.5 * (high.time_s + low.time_s) - 0.625 * own_s;
        found(
            EventKind::Parting,
            began_s,
            high.uncertainty_s.max(0.125 * fall_s),
        )
    })
}

/// The last sample from which the load only falls (by more than noise) to the end. What comes
/// under a fifth of the peak is left out: a filter rings about nought after a sudden fall.
fn before_last_fall(pull: &Whole) -> Option<usize> {
    let values = pull.channel.series.values();
    let band = 6.0 * pull.channel.quality.noise_after_filter() + 0.02 * pull.peak_n;
    let least_n = 0.2 * pull.peak_n;
    let end = (pull.highest..pull.end).rfind(|i| values[*i] >= least_n)?;
    let (mut top, mut place) = (f64::NEG_INFINITY, None);
    for i in (pull.highest..=end).rev() {
        if values[i] > top {
            (top, place) = (values[i], Some(i));
        } else if values[i] < top - band {
            break;
        }
    }
    place
}

/// The fall from the peak to a level that lasts.
pub(super) fn break_out(pull: &Whole, peak: Event, settings: &Settings) -> Option<Event> {
    let series = &pull.channel.series;
    let values = series.values();
    let length = (settings.plateau_s / series.step_s()) as usize + 1;
    let noise = pull.channel.quality.noise_after_filter();
    let reach = pull.end.checked_sub(length)?;
    let stride = (length / 8).max(1);
    let level = (pull.highest..reach)
        .step_by(stride)
        .find_map(|i| level_of(&values[i..i + length], noise))?;
    let share = level / pull.peak_n;
    let fell = pull.peak_n - level > 6.0 * noise;
    (fell && share > PLATEAU.0 && share < PLATEAU.1).then_some(Event {
        kind: EventKind::BreakOut,
        ..peak
    })
}

/// Mean of values that stay within the band of a plateau.
fn level_of(values: &[f64], noise: f64) -> Option<f64> {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let band = PLATEAU_BAND * mean + 4.0 * noise;
    let level = values.iter().all(|v| (v - mean).abs() <= band);
    (mean > 0.0 && level).then_some(mean)
}
