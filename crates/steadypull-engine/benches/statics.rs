//! How long a rig takes to solve.

#[path = "../tests/rigs/mod.rs"]
mod rigs;

use divan::{Bencher, black_box};
use steadypull_engine::rig::{Motion, solve};
use steadypull_engine::units::Force;

fn main() {
    divan::main();
}

/// Double line off a tree with a redirect: 6 nodes and 3 runs, 12 parts with
/// their shackles.
#[divan::bench]
fn twelve_part_rig(bencher: Bencher) {
    let rig = rigs::double_with_redirect(0.96);
    bencher.bench(|| solve(black_box(&rig.0), Force::from_kn(10.0)));
}

/// A triple line.
#[divan::bench]
fn triple_line(bencher: Bencher) {
    let rig = rigs::tackle(3, 0.96, Motion::HaulingIn);
    bencher.bench(|| solve(black_box(&rig.0), Force::from_kn(10.0)));
}

/// Twenty-four redirects one after another: 50 parts.
#[divan::bench]
fn fifty_part_rig(bencher: Bencher) {
    let rig = rigs::zigzag(24, 0.97);
    bencher.bench(|| solve(black_box(&rig.0), Force::from_kn(10.0)));
}
