//! How long what a screen waits for takes, for every demo plan.

use divan::{Bencher, black_box};
use steadypull_contract::EXAMPLES;
use steadypull_contract::operation::{EditRequest, LiveRequest, edit, live};

fn main() {
    divan::main();
}

fn names() -> impl Iterator<Item = &'static str> {
    EXAMPLES.iter().map(|(name, _)| *name)
}

fn text(name: &str) -> String {
    let found = EXAMPLES.iter().find(|(known, _)| *known == name);
    found.map_or(String::new(), |(_, text)| (*text).into())
}

/// The quick answer while something is dragged: wanted under 10 ms.
#[divan::bench(args = names())]
fn live_answer(bencher: Bencher, name: &str) {
    let request = LiveRequest {
        lines: Default::default(),
        plan: text(name),
        edits: Vec::new(),
        units: Default::default(),
    };
    bencher.bench(|| live(black_box(&request)));
}

/// The form.
#[divan::bench(args = names())]
fn form(bencher: Bencher, name: &str) {
    let request = EditRequest {
        lines: Default::default(),
        plan: text(name),
        edits: Vec::new(),
        units: Default::default(),
    };
    bencher.bench(|| edit(black_box(&request)).is_ok());
}
