//! Events moved by hand.

use super::{Event, EventKind, EventsError, Found, SetBy};
use crate::signal::Series;

/// One event moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// Which pull, counted from nought.
    pub pull: usize,
    /// Which event.
    pub kind: EventKind,
    /// What to do.
    pub to: ByHand,
}

/// What a hand does to an event.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ByHand {
    /// Puts it at a time, s, with the standard uncertainty the hand claims, s.
    At {
        /// When, s.
        time_s: f64,
        /// How sure, s.
        uncertainty_s: f64,
    },
    /// Takes it away: it did not happen. For break-out and parting alone.
    Away,
}

/// The events as moved, each marked as set by hand; refused where it would put them out of
/// order or off the record.
pub fn set_by_hand(found: &Found, moved: &[Moved], series: &Series) -> Result<Found, EventsError> {
    let mut set = found.clone();
    for one in moved {
        apply(&mut set, one, series)?;
    }
    Ok(set)
}

fn apply(set: &mut Found, moved: &Moved, series: &Series) -> Result<(), EventsError> {
    let (time_s, event) = match moved.to {
        ByHand::Away => (f64::NAN, None),
        ByHand::At {
            time_s,
            uncertainty_s,
        } => {
            let event = Event {
                kind: moved.kind,
                time_s,
                uncertainty_s,
                set_by: SetBy::Hand,
            };
            (time_s, Some(event))
        }
    };
    let cannot = |why| EventsError::CannotBe {
        kind: moved.kind,
        pull: moved.pull,
        time_s,
        why,
    };
    let pull = set
        .pulls
        .get_mut(moved.pull)
        .ok_or(cannot("there is no such pull"))?;
    if let Some(event) = event {
        let unsure = !(event.uncertainty_s.is_finite() && event.uncertainty_s >= 0.0);
        if unsure || !(series.start_s()..=series.end_s()).contains(&event.time_s) {
            return Err(cannot("it is off the record, or its uncertainty is none"));
        }
    }
    let kept = "only break-out and parting can be taken away";
    match moved.kind {
        EventKind::Taut => {
            pull.taut = event.ok_or(cannot(kept))?;
            pull.loaded_s.0 = time_s;
        }
        EventKind::Peak => pull.peak = event.ok_or(cannot(kept))?,
        EventKind::End => {
            pull.end = event.ok_or(cannot(kept))?;
            pull.loaded_s.1 = time_s;
        }
        EventKind::BreakOut => pull.break_out = event,
        EventKind::Parting => pull.parting = event,
    }
    let inside = |e: &Event| (pull.taut.time_s..=pull.end.time_s).contains(&e.time_s);
    let others = [Some(pull.peak), pull.break_out, pull.parting];
    if pull.taut.time_s < pull.end.time_s && others.iter().flatten().all(inside) {
        Ok(())
    } else {
        Err(cannot("taut must come first and the end last"))
    }
}
