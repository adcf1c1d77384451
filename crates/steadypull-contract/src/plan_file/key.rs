//! One key that is about to be read: needed, filled in, or left out.

use super::limits::Limit;
use super::section::Section;
use super::value::{Fault, Value};

/// One key that is about to be read.
pub(super) struct Key<'s, 'r, T: 'static> {
    section: &'s Section<'r>,
    key: &'static str,
    limit: Option<&'static Limit<T>>,
    inside: fn(&T, &Limit<T>) -> bool,
}

impl<'s, 'r, T> Key<'s, 'r, T> {
    pub fn new(section: &'s Section<'r>, key: &'static str) -> Self {
        Self {
            section,
            key,
            limit: None,
            inside: |_, _| true,
        }
    }
}

impl<T: Value> Key<'_, '_, T> {
    /// The range it must lie in.
    pub fn within(self, limit: &'static Limit<T>) -> Self
    where
        T: PartialOrd,
    {
        let inside = |value: &T, limit: &Limit<T>| *value >= limit.low && *value <= limit.high;
        Self {
            limit: Some(limit),
            inside,
            ..self
        }
    }

    /// A key that every such table has.
    pub fn need(self) -> Option<T> {
        let (section, key) = (self.section, self.key);
        let expected = self.expected();
        let found = self.maybe()?;
        if found.is_none() {
            section.note_missing(key, expected);
        }
        found
    }

    /// A key that is filled in with `text` if it is absent.
    pub fn or(self, text: &str, reason: &str) -> Option<T> {
        self.or_else(|| Some((text.into(), reason.into())))
    }

    /// A key that is filled in with a value worked out from others, if they read.
    pub fn or_else(self, fill: impl FnOnce() -> Option<(String, String)>) -> Option<T> {
        let (section, key) = (self.section, self.key);
        if let Some(value) = self.maybe()? {
            return Some(value);
        }
        let (text, reason) = fill()?;
        let read = T::from_text(&text);
        if read.is_ok() {
            section.assume(key, &text, &reason);
        }
        // A default that does not read is this program's mistake, said aloud.
        read.map_err(|fault| section.note(key, fault)).ok()
    }

    /// A key that may be absent: `None` if it is bad, `Some(None)` if absent.
    pub fn maybe(self) -> Option<Option<T>> {
        let Some((span, value)) = self.section.value(self.key) else {
            return Some(None);
        };
        match T::from_toml(value).and_then(|value| self.checked(value)) {
            Ok(value) => Some(Some(value)),
            Err(fault) => {
                self.section.note_at(span, self.key, fault);
                None
            }
        }
    }

    fn checked(&self, value: T) -> Result<T, Fault> {
        match self.limit {
            Some(limit) if !(self.inside)(&value, limit) => {
                let fault = Fault::new("is out of range".into()).expecting(limit.text);
                Err(if limit.why.is_empty() {
                    fault
                } else {
                    fault.hinting(limit.why)
                })
            }
            _ => Ok(value),
        }
    }

    fn expected(&self) -> String {
        match self.limit {
            Some(limit) => format!("{}; {}", T::expected(), limit.text),
            None => T::expected(),
        }
    }
}
