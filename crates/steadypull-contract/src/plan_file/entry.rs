//! Figures in a list of lists, each with a key of its own: `lowering.way.2.slope`.
//!
//! Entries count from 1 as they stand in the file. Each figure may be a spread, and may
//! be varied by a study, like any other number of a plan; what makes sense of them
//! together (rising, in order) is checked for every reading, so a draw that makes no
//! sense makes no plan.

use core::ops::Range;

use toml::Spanned;
use toml::de::DeValue;

use super::section::Section;
use super::value::{Fault, Value};

/// Least and greatest size of a figure, SI, and how people write that.
pub(super) type FigureLimits = ((f64, f64), &'static str);

/// One entry of a list of lists.
pub(super) struct Entry<'s, 'r> {
    section: &'s Section<'r>,
    key: &'static str,
    number: usize,
    span: Range<usize>,
    cells: Vec<&'r Spanned<DeValue<'r>>>,
}

impl Entry<'_, '_> {
    /// Where it stands.
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The figure in `cell`, whose key ends in `name`; `limits` bound what a spread of
    /// it may reach.
    pub fn figure<T: Value>(
        &self,
        cell: usize,
        name: &str,
        limits: Option<FigureLimits>,
    ) -> Option<T> {
        let cell = self.cells.get(cell)?;
        let name = format!("{}.{}.{name}", self.key, self.number);
        let read = self.section.figure(&name, cell.get_ref(), limits);
        let noted = |fault| self.section.note_at(cell.span(), &name, fault);
        read.map_err(noted).ok()
    }

    /// A mistake of the entry as a whole; the message goes on from the key's name.
    pub fn note(&self, fault: Fault) {
        self.section.note_at(self.span(), self.key, fault);
    }
}

/// How entries are written.
pub(super) struct Shape {
    /// Cells of each.
    pub cells: usize,
    /// Most entries.
    pub most: usize,
    /// What is said of an entry with another number of cells.
    pub odd: &'static str,
    /// What is expected.
    pub expected: String,
}

/// The entries of the list `key`, each made of its figures by `read`; `None` if one is
/// bad, `Some(None)` if the key is absent.
pub(super) fn entries<'r, T>(
    section: &Section<'r>,
    key: &'static str,
    shape: &Shape,
    read: impl Fn(&Entry<'_, 'r>) -> Option<T>,
) -> Option<Option<Vec<T>>> {
    section.list_shaped(key, &shape.expected);
    let Some((span, value)) = section.value(key) else {
        return Some(None);
    };
    let bad = |span: Range<usize>, fault: Fault| {
        section.note_at(span, key, fault.expecting(shape.expected.clone()));
    };
    let DeValue::Array(list) = value else {
        bad(span, Fault::sort_of(value, ""));
        return None;
    };
    if list.is_empty() || list.len() > shape.most {
        let fault = Fault::new(format!("has {} entries", list.len()));
        section.note_at(span, key, fault.expecting(format!("1 to {}", shape.most)));
        return None;
    }
    let entry = |(at, item): (usize, &'r Spanned<DeValue<'r>>)| {
        let cells = item.get_ref().as_array();
        let cells: Vec<_> = cells.into_iter().flat_map(|a| a.iter()).collect();
        if cells.len() != shape.cells {
            bad(item.span(), Fault::new(shape.odd.into()));
            return None;
        }
        read(&Entry {
            section,
            key,
            number: at + 1,
            span: item.span(),
            cells,
        })
    };
    // Every entry is read, so that every mistake is told.
    let all: Vec<Option<T>> = list.iter().enumerate().map(entry).collect();
    let all: Option<Vec<T>> = all.into_iter().collect();
    all.map(Some)
}
