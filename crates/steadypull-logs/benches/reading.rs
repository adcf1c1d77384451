//! How fast logs are read: `cargo bench -p steadypull-logs`.

#![allow(missing_docs, reason = "a bench has no readers")]

use divan::counter::BytesCount;
use steadypull_logs::{Recipe, guess, read};

fn main() {
    divan::main();
}

const ROWS: usize = 500_000;

fn text(delimiter: char, decimal: char, row: impl Fn(usize) -> String) -> (Vec<u8>, Recipe) {
    let mut out = format!("Time{delimiter}Load (kN)\n");
    for at in 0..ROWS {
        out += &format!(
            "{}\n",
            row(at)
                .replace('.', &decimal.to_string())
                .replace('|', &delimiter.to_string())
        );
    }
    let recipe = guess(out.as_bytes()).unwrap().recipe;
    (out.into_bytes(), recipe)
}

fn load(at: usize) -> f64 {
    20.0 + (at % 1000) as f64 / 70.0
}

fn bench(bencher: divan::Bencher<'_, '_>, (bytes, recipe): (Vec<u8>, Recipe)) {
    bencher
        .counter(BytesCount::of_slice(&bytes))
        .bench(|| read(divan::black_box(&bytes), &recipe).unwrap());
}

#[divan::bench]
fn plain(bencher: divan::Bencher<'_, '_>) {
    bench(
        bencher,
        text(',', '.', |at| {
            format!("{:.4}|{:.6}", at as f64 / 1000.0, load(at))
        }),
    );
}

#[divan::bench]
fn every_digit(bencher: divan::Bencher<'_, '_>) {
    bench(
        bencher,
        text(',', '.', |at| {
            format!("{}|{}", at as f64 / 1024.0 / 3.0, load(at) / 3.0)
        }),
    );
}

#[divan::bench]
fn decimal_commas(bencher: divan::Bencher<'_, '_>) {
    bench(
        bencher,
        text(';', ',', |at| {
            format!("{:.4}|{:.6}", at as f64 / 1000.0, load(at))
        }),
    );
}

#[divan::bench]
fn date_stamps(bencher: divan::Bencher<'_, '_>) {
    let stamp = |at: usize| {
        let (hours, minutes, ms) = (at / 3_600_000, at / 60_000 % 60, at % 60_000);
        format!(
            "2031-12-24T{hours:02}:{minutes:02}:{:02}.{:03}Z",
            ms / 1000,
            ms % 1000
        )
    };
    bench(
        bencher,
        text(',', '.', |at| format!("{}|{:.6}", stamp(at), load(at))),
    );
}

#[divan::bench]
fn quoted_cells(bencher: divan::Bencher<'_, '_>) {
    bench(
        bencher,
        text(',', '.', |at| {
            format!("\"{:.4}\"|\"{:.6}\"", at as f64 / 1000.0, load(at))
        }),
    );
}

#[divan::bench]
fn guessing(bencher: divan::Bencher<'_, '_>) {
    let (bytes, _) = text(',', '.', |at| {
        format!("{:.4}|{:.6}", at as f64 / 1000.0, load(at))
    });
    bencher.bench(|| guess(divan::black_box(&bytes)).unwrap());
}
