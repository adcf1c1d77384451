//! The demo's files in memory, to be changed before they are read.
#![allow(dead_code)] // Each test file uses its own part of this.

use std::collections::BTreeMap;

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};
use steadypull_contract::plan_file::{TestFile, read_tests};
use steadypull_engine::chance::normal_quantile;
use steadypull_testday::{Files, TestsError, Trouble, example};

pub struct Folder(pub BTreeMap<String, Vec<u8>>);

impl Files for Folder {
    fn read(&self, name: &str) -> Result<Vec<u8>, String> {
        let found = self.0.get(name).cloned();
        found.ok_or_else(|| "there is no such file".into())
    }
}

impl Folder {
    /// The demo.
    pub fn demo() -> Self {
        let files = example().expect("the demo's pulls can be run");
        Self(
            files
                .into_iter()
                .map(|file| (file.name, file.text.into_bytes()))
                .collect(),
        )
    }

    /// A file of the demo.
    pub fn demo_text(name: &str) -> String {
        Self::demo().text(name)
    }

    pub fn text(&self, name: &str) -> String {
        String::from_utf8(self.0[name].clone()).expect("text")
    }

    /// Its test file, with `from` put in place of `to`.
    pub fn tests_with(&self, from: &str, to: &str) -> TestFile {
        let text = self.text("tests.toml");
        assert!(text.contains(from), "{from} is in the demo");
        read(&text.replacen(from, to, 1))
    }

    pub fn tests(&self) -> TestFile {
        read(&self.text("tests.toml"))
    }

    /// The loads of a log changed line by line: row from 0 and kN in, kN out.
    pub fn change_loads(&mut self, log: &str, mut change: impl FnMut(usize, f64) -> f64) {
        let text = self.text(log);
        let mut rows = text.split("\r\n").map(String::from).collect::<Vec<_>>();
        for (row, line) in rows
            .iter_mut()
            .skip(1)
            .filter(|l| !l.is_empty())
            .enumerate()
        {
            let cells: Vec<&str> = line.split(';').collect();
            let load = change(row, cells[1].parse().expect("a load"));
            *line = format!("{};{load:.3};{}", cells[0], cells[2]);
        }
        self.0.insert(log.into(), rows.join("\r\n").into_bytes());
    }
}

/// Chance from a seed.
pub struct Draws(ChaCha8Rng);

impl Draws {
    pub fn from_seed(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// Between 0 and 1, neither of them.
    pub fn even(&mut self) -> f64 {
        (2 * (self.0.next_u64() >> 12) + 1) as f64 / (1u64 << 53) as f64
    }

    pub fn normal(&mut self) -> f64 {
        normal_quantile(self.even())
    }
}

pub fn read(text: &str) -> TestFile {
    read_tests(text).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// What is in the way.
pub fn troubles<T: std::fmt::Debug>(answer: Result<T, TestsError>) -> Vec<Trouble> {
    match answer {
        Err(TestsError::InTheWay(troubles)) => troubles,
        other => panic!("nothing is in the way: {other:?}"),
    }
}
