//! One key that is about to be read: needed, filled in, or left out.

use steadypull_engine::plan::Spread;
use toml::de::DeValue;

use super::limits::Limit;
use super::number::Number;
use super::section::Section;
use super::spread::{self, Found};
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
        self.list_field(true);
        let found = self.found()?;
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
        if let Some(value) = self.found()? {
            return Some(value);
        }
        let (text, reason) = fill()?;
        let read = T::from_text(&text);
        if let Ok(value) = &read {
            section.assume(key, &text, &reason);
            self.list(value, false);
        }
        // A default that does not read is this program's mistake, said aloud.
        read.map_err(|fault| section.note(key, fault)).ok()
    }

    /// A key that is filled in with a value which is listed elsewhere.
    pub fn or_value(self, fill: T) -> Option<(T, bool)> {
        if let Some(value) = self.found()? {
            return Some((value, true));
        }
        self.list(&fill, false);
        Some((fill, false))
    }

    /// A number that stands in the file in a form of its own: `value`, unless it is
    /// replaced.
    pub fn varied(self, value: T) -> Option<T> {
        self.list(&value, true);
        let Some((number, size)) = self.replacement() else {
            return Some(value);
        };
        self.replaced(&number, size)
    }

    /// A key that may be absent: `None` if it is bad, `Some(None)` if absent.
    pub fn maybe(self) -> Option<Option<T>> {
        self.found()
    }

    fn found(&self) -> Option<Option<T>> {
        self.list_field(false);
        if let Some((number, size)) = self.replacement() {
            // The key is known, whether it stands in the file or not.
            self.section.value(self.key);
            return self.replaced(&number, size).map(Some);
        }
        let Some((span, value)) = self.section.value(self.key) else {
            return Some(None);
        };
        match self.read(value) {
            Ok(value) => {
                self.list(&value, true);
                Some(Some(value))
            }
            Err(fault) => {
                self.section.note_at(span, self.key, fault);
                None
            }
        }
    }

    fn list_field(&self, needed: bool) {
        let limits = self.limit.map(|limit| limit.text);
        self.section
            .list_field::<T>(self.key, limits, needed, false);
    }

    /// The number that this reading puts in place of the file's.
    fn replacement(&self) -> Option<(Number<T>, f64)> {
        let varying = self.section.reader.varying;
        let number = T::NUMBER?;
        Some((number, varying.replaced(&self.section.path, self.key)?))
    }

    fn replaced(&self, number: &Number<T>, size: f64) -> Option<T> {
        let value = replaced(number, size).and_then(|value| self.checked(value));
        let noted = |fault: Fault| {
            let fault = Fault {
                hint: Some(set_to(number, size)),
                ..fault
            };
            self.section.note(self.key, fault);
        };
        value.map_err(noted).ok()
    }

    fn read(&self, value: &DeValue) -> Result<T, Fault> {
        let spread = T::NUMBER.and_then(|number| Some((spread::read(&number, value)?, number)));
        if let Some((spread, number)) = spread {
            return self.middle_of(spread?, &number);
        }
        let read = T::from_toml(value).map_err(|fault| match &fault.hint {
            None if T::NUMBER.is_some() => Fault {
                hint: spread::hint(value),
                ..fault
            },
            _ => fault,
        });
        self.checked(read?)
    }

    /// The middle of a spread, noted once all of it lies within the limits.
    fn middle_of(&self, spread: Found<T>, number: &Number<T>) -> Result<T, Fault> {
        let cut = spread::cut(spread.band, spread.distribution, self.sizes(number))?;
        let Some(distribution) = cut else {
            let fault = Fault::new("reaches out of range".into());
            return Err(match self.limit {
                Some(limit) => fault.expecting(format!("all of it within {}", limit.text)),
                None => fault,
            });
        };
        let middle = self.checked(spread.middle)?;
        self.section.reader.varying.spread(Spread {
            key: self.section.full(self.key),
            unit: number.unit,
            middle: (number.size)(&middle),
            distribution,
            text: spread.text,
        });
        Ok(middle)
    }

    /// Its limits, SI.
    fn sizes(&self, number: &Number<T>) -> Option<(f64, f64)> {
        let limit = self.limit?;
        Some(((number.size)(&limit.low), (number.size)(&limit.high)))
    }

    fn list(&self, value: &T, given: bool) {
        if let Some(number) = &T::NUMBER {
            let (section, varying) = (self.section, self.section.reader.varying);
            let full = || section.full(self.key);
            let limits = self.limit.zip(self.sizes(number));
            let limits = limits.map(|(limit, sizes)| (sizes, limit.text));
            varying.list(full, number, value, limits, given);
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

/// The value of the size that replaces it.
pub(super) fn replaced<T>(number: &Number<T>, size: f64) -> Result<T, Fault> {
    if !size.is_finite() {
        return Err(Fault::new("is no finite number".into()));
    }
    let fault = || Fault::new("cannot be this".into()).expecting(number.what);
    (number.of)(size).ok_or_else(fault)
}

fn set_to<T>(number: &Number<T>, size: f64) -> String {
    let said = format!("it was set to {size} {}", number.unit);
    format!("{}, not by the file", said.trim_end())
}
