//! Work that is done side by side, where there are threads; the same comes of it.

use std::borrow::Cow;
use std::panic::resume_unwind;
use std::thread;

use steadypull_logs::Times;
use steadypull_measure::signal::{Grid, Stamps};
use steadypull_measure::together::{InTurn, Together};

/// Does two things on two cores.
pub(crate) struct SideBySide;

impl Together for SideBySide {
    fn both<A: Send, B: Send>(
        &self,
        one: impl Fn() -> A + Sync,
        other: impl Fn() -> B + Sync,
    ) -> (A, B) {
        if thread::available_parallelism().map_or(1, usize::from) == 1 {
            return InTurn.both(one, other);
        }
        thread::scope(|scope| {
            let beside = thread::Builder::new().spawn_scoped(scope, &one);
            let other = other();
            let one = match beside {
                Ok(beside) => beside.join().unwrap_or_else(|panic| resume_unwind(panic)),
                Err(_) => one(),
            };
            (one, other)
        })
    }
}

/// What `work` makes of each, in their order.
pub(crate) fn each<T: Sync, R: Send>(all: &[T], work: &(impl Fn(&T) -> R + Sync)) -> Vec<R> {
    if all.len() < 2 {
        return all.iter().map(work).collect();
    }
    let (some, others) = all.split_at(all.len() / 2);
    let (mut made, later) = SideBySide.both(|| each(some, work), || each(others, work));
    made.extend(later);
    made
}

/// A log's times as cleaning takes them.
pub(crate) enum Clock<'l> {
    Listed(Cow<'l, [f64]>),
    Even(Grid),
}

impl<'l> Clock<'l> {
    pub fn of(times: &'l Times) -> Self {
        match times {
            Times::Listed(times_s) => Self::Listed(Cow::Borrowed(times_s)),
            Times::Even(even) => Grid::new(even.first, even.by, even.over, even.unit, even.count)
                .map_or_else(|| Self::Listed(Cow::Owned(times.to_vec())), Self::Even),
        }
    }

    pub fn stamps(&self) -> Stamps<'_> {
        match self {
            Self::Listed(times_s) => Stamps::Listed(times_s),
            Self::Even(grid) => Stamps::Even(*grid),
        }
    }
}

#[cfg(test)]
mod tests {
    use steadypull_logs::EvenTimes;

    use super::*;

    #[test]
    fn each_in_its_order() {
        let all: Vec<usize> = (0..7).collect();
        assert_eq!(each(&all, &|n| n * n), [0, 1, 4, 9, 16, 25, 36]);
    }

    /// The times that cleaning reckons with are those of the log, to the bit.
    #[test]
    fn a_grid_is_the_logs_own() {
        for (over, unit) in [
            (1e4, (1.0, 1.0)),
            (10.0, (1.0, 1000.0)),
            (1.0, (60.0, 1.0)),
            (44_100.0, (1.0, 1.0)),
        ] {
            let times = Times::Even(EvenTimes {
                first: 7,
                by: 3,
                over,
                unit,
                count: 100_000,
            });
            let clock = Clock::of(&times);
            assert!(matches!(clock, Clock::Even(_)));
            assert_eq!(clock.stamps().to_vec(), times.to_vec());
        }
    }
}
