//! Spreads that are drawn together.

use crate::chance::{Copula, Joined};

/// Spreads of a plan that are drawn together, by their keys.
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// What they are in words, such as `line strap as measured`.
    pub words: String,
    /// Keys of the spreads, in the order in which they are drawn.
    pub keys: Vec<String>,
    /// How they go together, in the same order.
    pub copula: Copula,
}

impl Together {
    /// Those of them that a study draws, by the place that `place` knows of a key; none
    /// where no two of these go together.
    pub fn joined(&self, place: impl Fn(&str) -> Option<usize>) -> Option<Joined> {
        let found = self.keys.iter().enumerate();
        let found = found.filter_map(|(i, key)| Some((i, place(key)?)));
        let (kept, places): (Vec<usize>, Vec<usize>) = found.unzip();
        let copula = self.copula.among(&kept);
        copula.joins().then_some(Joined { places, copula })
    }
}
