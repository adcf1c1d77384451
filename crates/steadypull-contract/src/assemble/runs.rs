//! Let-go runs of a straight rig and kinetic pulls, side by side where the platform
//! has threads.
//!
//! No run depends on another, and results are put back in order: the answer is the
//! same for any number of threads.

#[cfg(not(target_arch = "wasm32"))]
use core::sync::atomic::{AtomicUsize, Ordering};

use steadypull_engine::letgo::LetGoError;
use steadypull_engine::letgo::cases::{
    Case, Prepared, Scatter, cases_of, prepared, scatter, scatter_runs,
};
use steadypull_engine::plan::Plan;
use steadypull_engine::pull::PullError;
use steadypull_engine::pull::many::{Marks, Numbered, Pulls};
use steadypull_engine::rig::{LoadPath, LoadedLink};

/// Coarse runs handed to a thread at once: enough to fill its lanes, few enough that
/// threads end together.
const AT_ONCE: usize = 32;

/// The cases of a loaded path.
pub(super) fn cases(
    plan: &Plan,
    path: &LoadPath,
    links: &[LoadedLink],
) -> Result<Vec<Case>, LetGoError> {
    let prepared = prepared(plan, path, links);
    let outcomes = side_by_side(&prepared, Prepared::run);
    cases_of(prepared, outcomes)
}

/// `count` draws of coarse runs over the cases, for the zone.
pub(super) fn thrown(plan: &Plan, path: &LoadPath, cases: &[Case], count: usize) -> Scatter {
    let whole = scatter_runs(count);
    let parts: Vec<usize> = (0..whole).step_by(AT_ONCE).collect();
    let one = |from: &usize| {
        let to = whole.min(from + AT_ONCE);
        scatter(plan, path, cases, count, *from..to)
    };
    let mut all = Scatter::default();
    for part in side_by_side(&parts, one) {
        all.runs.extend(part.runs);
        all.failed += part.failed;
        all.met.extend(part.met);
    }
    all
}

/// Kinetic pulls side by side, on so many threads where a number is given.
#[derive(Default)]
pub(super) struct SideBySide(pub Option<usize>);

impl Pulls for SideBySide {
    fn run(&self, count: usize, one: Numbered) -> Vec<Result<Marks, PullError>> {
        let numbers: Vec<usize> = (0..count).collect();
        side_by_side_on(self.0, &numbers, |i| one(*i))
    }
}

/// Threads that work is dealt out to.
#[cfg(not(target_arch = "wasm32"))]
pub(super) fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}

/// The one there is.
#[cfg(target_arch = "wasm32")]
pub(super) fn threads() -> usize {
    1
}

/// What `work` makes of each item, in their order.
#[cfg(not(target_arch = "wasm32"))]
pub(super) fn side_by_side<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    side_by_side_on(None, items, work)
}

/// The same on so many threads, where a number is given.
#[cfg(not(target_arch = "wasm32"))]
pub(super) fn side_by_side_on<T: Sync, R: Send>(
    threads: Option<usize>,
    items: &[T],
    work: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    let threads = threads
        .unwrap_or_else(self::threads)
        .min(items.len())
        .max(1);
    // Each thread begins with one, then takes the next that nobody has: some take longer.
    let untaken = AtomicUsize::new(threads);
    let hand = |k: usize| -> Vec<(usize, R)> {
        let mut first = Some(k);
        let taken = core::iter::from_fn(|| {
            let next = || untaken.fetch_add(1, Ordering::Relaxed);
            let i = first.take().unwrap_or_else(next);
            Some((i, items.get(i)?))
        });
        taken.map(|(i, item)| (i, work(item))).collect()
    };
    let hand = &hand;
    let mut done: Vec<(usize, R)> = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|k| scope.spawn(move || hand(k))).collect();
        let mut done = hand(0);
        for other in others {
            match other.join() {
                Ok(part) => done.extend(part),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    done.sort_by_key(|(i, _)| *i);
    done.into_iter().map(|(_, result)| result).collect()
}

/// What `work` makes of each item, in their order.
#[cfg(target_arch = "wasm32")]
pub(super) fn side_by_side<T, R>(items: &[T], work: impl Fn(&T) -> R) -> Vec<R> {
    items.iter().map(work).collect()
}

/// The same; there are no threads here.
#[cfg(target_arch = "wasm32")]
pub(super) fn side_by_side_on<T, R>(
    _threads: Option<usize>,
    items: &[T],
    work: impl Fn(&T) -> R,
) -> Vec<R> {
    side_by_side(items, work)
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;
    use std::sync::Mutex;

    use steadypull_engine::pull::many::{InTurn, Marks, Pulls};

    use super::{SideBySide, side_by_side};

    #[test]
    fn results_come_in_order_whatever_the_threads() {
        let items: Vec<u64> = (0..97).collect();
        let squares = side_by_side(&items, |n| n * n);
        assert_eq!(squares, items.iter().map(|n| n * n).collect::<Vec<_>>());
        assert!(side_by_side(&[] as &[u64], |n| *n).is_empty());
    }

    #[test]
    fn two_threads_share_the_pulls_and_tell_the_same() {
        let marks = |i: usize| Marks {
            peak_n: i as f64,
            movement_m: 0.1 * i as f64,
            tug_deceleration_m_s2: 0.0,
        };
        let hands = Mutex::new(HashSet::new());
        let one = |i: usize| {
            let mut hands = hands.lock().expect("no hand fails");
            hands.insert(std::thread::current().id());
            Ok(marks(i))
        };
        let shared = SideBySide(Some(2)).run(101, &one);
        assert_eq!(hands.lock().expect("no hand fails").len(), 2);
        assert_eq!(shared, InTurn.run(101, &|i| Ok(marks(i))));
    }
}
