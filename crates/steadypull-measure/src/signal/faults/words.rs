//! Faults in plain sentences.

use super::{Fault, FaultKind};

impl Fault {
    /// What it is, where, and what it does to the numbers, in a sentence or two; `tell` tells
    /// a value of the log with its unit.
    pub fn words(&self, tell: &dyn Fn(f64) -> String) -> String {
        let place = &self.place;
        let span = format!("{:.4} to {:.4} s", place.from_s, place.to_s);
        let at = format!("{:.4} s", place.from_s);
        match &self.kind {
            FaultKind::NoClock => format!(
                "The stamps from sample {} on are no times, or not one for each value: nothing can be read from this log.",
                place.first
            ),
            FaultKind::Gap { missing } => format!(
                "From {span} about {missing} samples are missing: a peak may have passed there unseen, and impulse and energy are not read across it. A clock set forward looks the same."
            ),
            FaultKind::DuplicateStamp => format!(
                "Two samples are stamped {at}: which came first is not known, and slopes there mean nothing."
            ),
            FaultKind::TimeReversed { back_s } => format!(
                "At {at} two stamps are in the wrong order by {:.3} ms: slopes and times there are wrong by as much.",
                back_s * 1e3
            ),
            FaultKind::ClockStep { back_s } => format!(
                "After {at} the clock is {back_s:.4} s behind: times before and after do not compare, and nothing is read across it."
            ),
            FaultKind::Jitter { share } => format!(
                "Steps of time scatter by {:.1} %: values are off by that share of a step times the slope of the load, and times by as much.",
                share * 100.0
            ),
            FaultKind::Saturated { at: value, high } => format!(
                "From {span} the log is flat at {}, {} end of what the recorder reads: the true peak is larger, by how much is not known; impulse and energy are too small.",
                tell(*value),
                if *high { "the upper" } else { "the lower" }
            ),
            FaultKind::Stuck { at: value } => format!(
                "From {span} the log repeats {} while the rest scatters: what the load did then is not known.",
                tell(*value)
            ),
            FaultKind::Missing => format!(
                "From {span} there are no values: a peak may have passed there unseen, and nothing is read across it."
            ),
            FaultKind::Spike { height } => format!(
                "At {at} the log jumps by {} for up to three samples: taken for load it would raise the peak; a filter spreads it and leaves part of it.",
                tell(*height)
            ),
            FaultKind::ZeroDrift { before, after } => format!(
                "The zero went from {} before to {} after: every load between is off by up to {}, and impulse and energy with it.",
                tell(*before),
                tell(*after),
                tell((after - before).abs())
            ),
            FaultKind::SlowForFilter { rate_hz, least_hz } => format!(
                "The log has {rate_hz:.1} samples a second and the filter class asks for {least_hz:.0}: the class cannot be used, and a peak shorter than a few samples is missed."
            ),
            FaultKind::Coarse { step } => format!(
                "Values come in steps of {}, more than they scatter: no load is known better than to a part of that step.",
                tell(*step)
            ),
        }
    }
}
