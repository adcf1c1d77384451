//! Points over the threads, rows in order whatever their number.

use std::ops::Range;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;

use steadypull_contract::study::{Row, Study};

use crate::failure::Failure;

/// Points in a block, for each thread: rows are written a block at a time, and
/// Ctrl-C is heard between two.
const BLOCK_PER_THREAD: usize = 2;

/// Works out `points`, handing each block of rows to `write` in order. Stops between
/// two blocks once `stop` is set; gives back whether all was done.
pub fn in_order(
    study: &Study,
    points: Range<u64>,
    threads: Option<u16>,
    stop: &AtomicBool,
    mut write: impl FnMut(Vec<Row>) -> Result<(), Failure>,
) -> Result<bool, Failure> {
    let cores = || thread::available_parallelism().map_or(1, usize::from);
    let threads = threads.map_or_else(cores, usize::from);
    let mut next = points.start;
    while next < points.end {
        if stop.load(Ordering::SeqCst) {
            return Ok(false);
        }
        let end = points.end.min(next + (threads * BLOCK_PER_THREAD) as u64);
        write(block(study, next..end, threads))?;
        next = end;
    }
    Ok(true)
}

fn block(study: &Study, points: Range<u64>, threads: usize) -> Vec<Row> {
    let indices: Vec<u64> = points.collect();
    let next = AtomicUsize::new(0);
    let hand = || {
        let mut done = Vec::new();
        while let Some(index) = indices.get(next.fetch_add(1, Ordering::SeqCst)) {
            done.push(study.row(*index));
        }
        done
    };
    let mut rows: Vec<Row> = thread::scope(|scope| {
        let others: Vec<_> = (1..threads.min(indices.len()))
            .map(|_| scope.spawn(hand))
            .collect();
        let mut rows = hand();
        for other in others {
            match other.join() {
                Ok(done) => rows.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        rows
    });
    rows.sort_by_key(|row| row.index);
    rows
}
