//! Numbers of a plan that can be varied, and those replaced while it is read.
//!
//! A replaced number counts as if the file gave it: every limit and cross check
//! holds, and every default that follows from it follows.

use core::cell::{Cell, RefCell};

use steadypull_engine::plan::Spread;

use super::number::Number;
use super::value::Value;
use super::varied::{self, ReadVaried};

/// A number of a plan that can be varied.
#[derive(Debug, Clone)]
pub struct Variable {
    /// Key as the plan file has it, such as `casualty.mass` or `line.strap-1.mbs`.
    pub key: String,
    /// SI unit; empty for a plain number or a share.
    pub unit: &'static str,
    /// Its value in the plan, SI.
    pub value: f64,
    /// What it is, such as `a mass`.
    pub what: &'static str,
    /// Least and greatest value that is taken, SI, where the key has limits.
    pub limits: Option<(f64, f64)>,
    /// The limits as people write them.
    pub limit_text: Option<&'static str>,
    /// Whether only whole numbers will do.
    pub whole: bool,
    /// Whether the file gives it; else it is a default.
    pub given: bool,
    pub(super) read: ReadVaried,
}

/// What is replaced, and what was found, while a file is read.
pub(super) struct Varying<'s> {
    set: &'s [(String, f64)],
    asked_for: Vec<Cell<bool>>,
    /// `None` when nobody asks: the list costs time.
    listed: Option<RefCell<Vec<Variable>>>,
    spreads: RefCell<Vec<Spread>>,
}

impl<'s> Varying<'s> {
    pub fn replacing(set: &'s [(String, f64)]) -> Self {
        Self {
            set,
            asked_for: vec![Cell::new(false); set.len()],
            listed: None,
            spreads: RefCell::default(),
        }
    }

    pub fn listing() -> Self {
        Self {
            listed: Some(RefCell::default()),
            ..Self::replacing(&[])
        }
    }

    fn position(&self, path: &str, key: &str) -> Option<usize> {
        self.set.iter().rposition(|(name, _)| is(name, path, key))
    }

    /// Whether anything is replaced.
    pub fn any(&self) -> bool {
        !self.set.is_empty()
    }

    /// Whether a key is replaced.
    pub fn replaces(&self, path: &str, key: &str) -> bool {
        self.position(path, key).is_some()
    }

    /// Whether a table's numbers matter though the file leaves it out: they are
    /// being listed, or one of them is replaced.
    pub fn reaches_into(&self, path: &str) -> bool {
        let within = |name: &str| name.strip_prefix(path).is_some_and(|r| r.starts_with('.'));
        self.listed.is_some() || self.set.iter().any(|(name, _)| within(name))
    }

    /// The number that replaces a key.
    pub fn replaced(&self, path: &str, key: &str) -> Option<f64> {
        let at = self.position(path, key)?;
        self.asked_for[at].set(true);
        Some(self.set[at].1)
    }

    /// Replaced keys that are no number of this plan.
    pub fn unknown(&self) -> Vec<&'s str> {
        let pairs = self.set.iter().zip(&self.asked_for);
        let never = pairs.filter(|(_, asked)| !asked.get());
        never
            .map(|((key, _), _)| &key[..])
            .filter(|key| {
                let is_last = |at: usize| self.set[at].0 == **key && self.asked_for[at].get();
                !(0..self.set.len()).any(is_last)
            })
            .collect()
    }

    /// Lists a number, once.
    pub fn list<T: Value>(
        &self,
        full: impl FnOnce() -> String,
        of: &Number<T>,
        value: &T,
        limits: Option<((f64, f64), &'static str)>,
        given: bool,
    ) {
        let Some(listed) = &self.listed else {
            return;
        };
        let key = full();
        let mut listed = listed.borrow_mut();
        if listed.iter().any(|known| known.key == key) {
            return;
        }
        listed.push(Variable {
            key,
            unit: of.unit,
            value: (of.size)(value),
            what: of.what,
            limits: limits.map(|(sizes, _)| sizes),
            limit_text: limits.map(|(_, text)| text),
            whole: of.whole,
            given,
            read: varied::read::<T>,
        });
    }

    /// Everything listed.
    pub fn into_list(self) -> Vec<Variable> {
        self.listed.map(RefCell::into_inner).unwrap_or_default()
    }

    /// Notes an input that is a spread, once.
    pub fn spread(&self, spread: Spread) {
        let mut spreads = self.spreads.borrow_mut();
        if !spreads.iter().any(|known| known.key == spread.key) {
            spreads.push(spread);
        }
    }

    pub fn take_spreads(&self) -> Vec<Spread> {
        self.spreads.take()
    }
}

/// Whether `name` is the key `key` of the table `path`.
fn is(name: &str, path: &str, key: &str) -> bool {
    if path.is_empty() {
        return name == key;
    }
    let rest = name.strip_prefix(path).and_then(|r| r.strip_prefix('.'));
    rest == Some(key)
}
