//! One table of the file while it is read.
//!
//! Every key the reader knows is asked for once, so that what was never asked
//! for is an unknown key. Reading goes on after a mistake: a bad value gives
//! `None`, its mistake is noted, and the plan is not built.

use core::cell::RefCell;
use core::ops::Range;

use steadypull_engine::plan::Spread;
use toml::de::{DeTable, DeValue};

use super::entry::FigureLimits;
use super::key::{Key, replaced};
use super::listing::{Asked, FieldShape};
use super::quantity::short;
use super::reader::Reader;
use super::spelling::nearest;
use super::spread;
use super::value::{Fault, Name, Value};
use crate::operation::FieldKind;

/// Where to find a plan that has every table.
pub(super) const A_PLAN: &str = "`steadypull example` writes a plan to start from";

/// A key that is not there, to be told unless it was only misspelt.
struct Missing {
    key: &'static str,
    span: Range<usize>,
    fault: Fault,
}

/// One table; one that is not in the file reads as empty.
pub(super) struct Section<'r> {
    pub(super) reader: &'r Reader<'r>,
    /// Its full name, empty for the whole file.
    pub path: String,
    /// The same, part by part.
    parts: Vec<String>,
    table: Option<&'r DeTable<'r>>,
    span: Range<usize>,
    /// Its absence was noted, or it is no table: nothing more is missing.
    excused: bool,
    known: RefCell<Vec<&'static str>>,
    missing: RefCell<Vec<Missing>>,
}

impl<'r> Section<'r> {
    /// The file as a table.
    pub fn whole_file(reader: &'r Reader<'r>, table: &'r DeTable<'r>) -> Self {
        Self::new(reader, Vec::new(), Some(table), reader.end_of_text())
    }

    fn new(
        reader: &'r Reader<'r>,
        parts: Vec<String>,
        table: Option<&'r DeTable<'r>>,
        span: Range<usize>,
    ) -> Self {
        Self {
            reader,
            path: parts.join("."),
            parts,
            table,
            span,
            excused: false,
            known: RefCell::default(),
            missing: RefCell::default(),
        }
    }

    /// Whether it stands in the file.
    pub fn is_present(&self) -> bool {
        self.table.is_some()
    }

    /// Whether its keys are to be read: it stands in the file, or is varied.
    pub fn is_read(&self) -> bool {
        self.is_present() || self.reader.varying.reaches_into(&self.path)
    }

    /// Whether it has the key, well or badly written, or it is replaced.
    pub fn has(&self, key: &'static str) -> bool {
        self.value(key).is_some() || self.replaces(key)
    }

    /// Whether a number of this reading stands in place of the key's own.
    pub fn replaces(&self, key: &str) -> bool {
        self.reader.varying.replaces(&self.path, key)
    }

    /// Full name of one of its keys.
    pub fn full(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.into()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    fn parts_of(&self, key: &str) -> Vec<String> {
        self.parts.iter().cloned().chain([key.into()]).collect()
    }

    /// Lists a key in the form, if one is asked for.
    pub fn list_field<T: Value>(
        &self,
        key: &'static str,
        limits: Option<&'static str>,
        needed: bool,
        in_a_list: bool,
    ) {
        if let Some(listing) = &self.reader.listing {
            let asked = self.asked(key, limits, needed);
            listing.field::<T>(asked, in_a_list);
        }
    }

    /// The same for a list.
    pub fn list_items<T: Value>(&self, key: &'static str) {
        self.list_field::<T>(key, None, false, true);
    }

    /// The same for a key with a form of its own.
    pub fn list_shaped(&self, key: &'static str, expected: &str) {
        if let Some(listing) = &self.reader.listing {
            let asked = self.asked(key, None, false);
            listing.shaped(asked, FieldShape::of(FieldKind::Other), expected.into());
        }
    }

    /// Lists a key that is neither a field nor a table by now.
    fn list_other(&self, key: &'static str) {
        let listing = self.reader.listing.as_ref();
        if listing.is_some_and(|listing| !listing.has_table(&self.parts_of(key))) {
            self.list_shaped(key, "");
        }
    }

    /// What `look` finds, without listing what it asks for.
    pub fn unlisted<R>(&self, look: impl FnOnce() -> R) -> R {
        let pause = |paused| {
            if let Some(listing) = &self.reader.listing {
                listing.pause(paused);
            }
        };
        pause(true);
        let found = look();
        pause(false);
        found
    }

    fn asked<'a>(&'a self, key: &'a str, limits: Option<&'static str>, needed: bool) -> Asked<'a> {
        let written = self.table.and_then(|table| table.get(key));
        Asked {
            path: &self.parts,
            key,
            written: written.map(|value| (value.span(), value.get_ref())),
            limits,
            needed,
        }
    }

    /// Where a key's value stands, or the table if it has none.
    pub fn span_of(&self, key: &'static str) -> Range<usize> {
        self.value(key).map_or(self.span.clone(), |(span, _)| span)
    }

    /// Notes a mistake about a key; the message goes on from its name.
    pub fn note(&self, key: &'static str, fault: Fault) {
        self.note_at(self.span_of(key), key, fault);
    }

    pub fn note_at(&self, span: Range<usize>, key: &str, fault: Fault) {
        let message = format!("{} {}", self.full(key), fault.message);
        let key = Some(self.full(key));
        self.reader.note(span, key, Fault { message, ..fault });
    }

    /// Notes that a key which has to be there is not.
    pub fn note_missing(&self, key: &'static str, expected: String) {
        if let Some(listing) = &self.reader.listing {
            listing.needed(&self.parts, key);
        }
        let fault = Fault::new(format!("{} is missing", self.full(key))).expecting(expected);
        if !self.excused {
            self.missing(key, self.span.clone(), fault);
        }
    }

    fn missing(&self, key: &'static str, span: Range<usize>, fault: Fault) {
        if !self.is_broken() {
            self.missing.borrow_mut().push(Missing { key, span, fault });
        }
    }

    /// Notes a mistake whose message is a whole sentence.
    pub fn note_whole(&self, span: Range<usize>, fault: Fault) {
        self.reader.note(span, None, fault);
    }

    /// Whether the TOML is broken, so that names may be missing from the tree.
    pub fn is_broken(&self) -> bool {
        self.reader.is_broken()
    }

    pub fn value(&self, key: &'static str) -> Option<(Range<usize>, &'r DeValue<'r>)> {
        let mut known = self.known.borrow_mut();
        if !known.contains(&key) {
            known.push(key);
        }
        let found = self.table?.get(key)?;
        Some((found.span(), found.get_ref()))
    }

    /// A key to be read.
    pub fn key<T: Value>(&self, key: &'static str) -> Key<'_, 'r, T> {
        Key::new(self, key)
    }

    /// A list of values, empty if the key is absent.
    pub fn list<T: Value>(&self, key: &'static str, most: usize) -> Option<Vec<T>> {
        let items = self.items::<T>(key, most)?;
        Some(items.into_iter().map(|(_, item)| item).collect())
    }

    /// A list of values with the place of each.
    pub fn items<T: Value>(
        &self,
        key: &'static str,
        most: usize,
    ) -> Option<Vec<(Range<usize>, T)>> {
        self.list_items::<T>(key);
        let Some((span, value)) = self.value(key) else {
            return Some(Vec::new());
        };
        let expected = || format!("a list in [ ] of {}", T::expected());
        let DeValue::Array(list) = value else {
            self.note_at(span, key, Fault::sort_of(value, expected()));
            return None;
        };
        if list.len() > most {
            let fault = Fault::new(format!("has {} entries", list.len()));
            self.note_at(span, key, fault.expecting(format!("at most {most}")));
            return None;
        }
        let read = |(at, item): (usize, &'r toml::Spanned<DeValue<'r>>)| match self.item(
            key,
            at,
            item.get_ref(),
        ) {
            Ok(value) => Some((item.span(), value)),
            Err(fault) => {
                self.note_at(item.span(), key, fault);
                None
            }
        };
        let all: Vec<_> = list.iter().enumerate().map(read).collect();
        all.into_iter().collect()
    }

    /// Entry `at` of a list; one that is a number goes by `key.1` from the first.
    fn item<T: Value>(&self, key: &str, at: usize, value: &DeValue) -> Result<T, Fault> {
        self.figure(&format!("{key}.{}", at + 1), value, None)
    }

    /// A number inside a list, by the key `name` that it goes by; `limits` bound what a
    /// spread of it may reach.
    pub fn figure<T: Value>(
        &self,
        name: &str,
        value: &DeValue,
        limits: Option<FigureLimits>,
    ) -> Result<T, Fault> {
        let Some(number) = &T::NUMBER else {
            return T::from_toml(value);
        };
        let varying = self.reader.varying;
        if varying.any()
            && let Some(size) = varying.replaced(&self.path, name)
        {
            return replaced(number, size);
        }
        let read = match spread::read(number, value) {
            Some(found) => {
                let found = found?;
                let sizes = limits.map(|(sizes, _)| sizes);
                let Some(distribution) = spread::cut(found.band, found.distribution, sizes)? else {
                    let within = limits.map_or("", |(_, text)| text);
                    let fault = Fault::new("reaches out of range".into());
                    return Err(fault.expecting(format!("all of it within {within}")));
                };
                varying.spread(Spread {
                    key: self.full(name),
                    unit: number.unit,
                    middle: (number.size)(&found.middle),
                    distribution,
                    text: found.text,
                });
                found.middle
            }
            None => T::from_toml(value)?,
        };
        varying.list(|| self.full(name), number, &read, limits, true);
        Ok(read)
    }

    /// A table within this one.
    pub fn table(&self, key: &'static str) -> Section<'r> {
        let path = self.full(key);
        let parts = self.parts_of(key);
        let value = self.value(key);
        if let Some(listing) = &self.reader.listing {
            let there = matches!(value, Some((_, DeValue::Table(_))));
            listing.table(&parts, there, false);
        }
        match value {
            Some((span, DeValue::Table(table))) => {
                Section::new(self.reader, parts, Some(table), span)
            }
            Some((span, other)) => {
                let expected = format!("a heading [{path}] with keys under it");
                self.note_at(span.clone(), key, Fault::sort_of(other, expected));
                Section {
                    excused: true,
                    ..Section::new(self.reader, parts, None, span)
                }
            }
            None => Section {
                excused: self.excused,
                ..Section::new(self.reader, parts, None, self.span.clone())
            },
        }
    }

    /// A table that every such file has; `hint` says where to find one.
    pub fn needed_table(&self, key: &'static str, what_for: &str, hint: &str) -> Section<'r> {
        let table = self.table(key);
        if table.is_present() || table.excused {
            return table;
        }
        let message = format!("the table [{}] is missing", table.path);
        let fault = Fault::new(message).expecting(what_for);
        let fault = fault.hinting(hint);
        self.missing(key, self.reader.end_of_text(), fault);
        Section {
            excused: true,
            ..table
        }
    }

    /// The tables `[key.NAME]`, in the order of the file.
    pub fn named(&self, key: &'static str, most: usize) -> Vec<(String, Section<'r>)> {
        let group = self.table(key);
        if let Some(listing) = &self.reader.listing {
            listing.table(&group.parts, group.is_present(), true);
        }
        let mut entries: Vec<_> = group.table.into_iter().flat_map(|t| t.iter()).collect();
        entries.sort_by_key(|(name, _)| name.span().start);
        if entries.len() > most {
            let message = format!("has {} entries", entries.len());
            self.note(
                key,
                Fault::new(message).expecting(format!("at most {most}")),
            );
            entries.truncate(most);
        }
        entries
            .into_iter()
            .filter_map(|(name, value)| {
                let path = group.full(name.get_ref());
                if let Err(fault) = Name::from_text(name.get_ref()) {
                    let fault = Fault {
                        message: format!("[{key}]: {}", fault.message),
                        ..fault
                    };
                    self.reader.note(name.span(), Some(path), fault);
                    return None;
                }
                let DeValue::Table(table) = value.get_ref() else {
                    let expected = format!("a heading [{}.NAME] with keys under it", group.path);
                    let fault = Fault::sort_of(value.get_ref(), expected);
                    let message = format!("{path} {}", fault.message);
                    let fault = Fault { message, ..fault };
                    self.reader.note(value.span(), Some(path), fault);
                    return None;
                };
                let parts = group.parts_of(name.get_ref());
                if let Some(listing) = &self.reader.listing {
                    listing.table(&parts, true, false);
                }
                let section = Section::new(self.reader, parts, Some(table), name.span());
                Some((name.get_ref().to_string(), section))
            })
            .collect()
    }

    /// The keys of this table that are tables, with their places.
    pub fn names(&self) -> Vec<(String, Range<usize>)> {
        let mut names: Vec<_> = self
            .table
            .into_iter()
            .flat_map(|t| t.iter())
            .map(|(name, _)| (name.get_ref().to_string(), name.span()))
            .collect();
        names.sort_by_key(|(_, span)| span.start);
        names
    }

    /// Its keys with their values, in the order of the file, whatever they are.
    pub fn entries(&self) -> Vec<(&'r str, Range<usize>, &'r toml::Spanned<DeValue<'r>>)> {
        let table = self.table.into_iter().flat_map(|t| t.iter());
        let mut entries: Vec<_> = table
            .map(|(name, value)| (&name.get_ref()[..], name.span(), value))
            .collect();
        entries.sort_by_key(|(_, span, _)| span.start);
        entries
    }

    /// Where its heading stands.
    pub fn heading(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The keys of the table `key` of the table `name` in this one.
    pub fn names_under(&self, name: &str, key: &str) -> Vec<String> {
        let table = self.table.and_then(|t| t.get(name));
        let within = table.and_then(|v| v.get_ref().get(key));
        let entries = within.and_then(|within| within.get_ref().as_table());
        let names = entries.into_iter().flat_map(|t| t.iter());
        names.map(|(name, _)| name.get_ref().to_string()).collect()
    }

    /// The texts in the list `key` of the table `name` in this one.
    pub fn texts_of(&self, name: &str, key: &str) -> Vec<&'r str> {
        let list = self
            .table
            .and_then(|t| t.get(name))
            .and_then(|v| v.get_ref().get(key));
        let items = list.and_then(|list| list.get_ref().as_array());
        items
            .into_iter()
            .flat_map(|l| l.iter())
            .filter_map(|v| v.get_ref().as_str())
            .collect()
    }

    /// Fills in a value that is no single key of this table.
    pub fn assume(&self, key: &str, value: &str, reason: &str) {
        self.reader.assume(self.full(key), value.into(), reason);
    }

    /// The same, once other tables have been read since: listed with its table.
    pub fn assume_later(&self, key: &str, value: &str, reason: &str) {
        self.reader
            .assume_in(&self.path, self.full(key), value.into(), reason);
    }

    /// Notes every key that was never asked for, and every one that is missing.
    pub fn close(&self) {
        let known = self.known.borrow();
        // Whatever was asked for has its place in the form, however it was asked for.
        for key in known.iter().filter(|_| self.reader.listing.is_some()) {
            self.list_other(key);
        }
        for (key, _) in self.table.into_iter().flat_map(|t| t.iter()) {
            let name: &str = key.get_ref();
            if known.contains(&name) {
                continue;
            }
            let place = match self.path.as_str() {
                "" => "at the top of the file".to_string(),
                path => format!("in [{path}]"),
            };
            let fault = Fault::new(format!("unknown key \"{}\" {place}", short(name)));
            let fault = match nearest(name, known.iter().copied()) {
                Some(meant) => {
                    self.missing.borrow_mut().retain(|m| m.key != meant);
                    fault.hinting(format!("did you mean {meant}?"))
                }
                None => fault.expecting(format!("one of {}", known.join(", "))),
            };
            self.reader.note(key.span(), Some(self.full(name)), fault);
        }
        self.close_to_others();
    }

    /// Notes every key that is missing; whatever was not asked for is for others to read.
    pub fn close_to_others(&self) {
        for Missing { key, span, fault } in self.missing.take() {
            self.reader.note(span, Some(self.full(key)), fault);
        }
    }
}
