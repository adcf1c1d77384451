//! One table of the file while it is read.
//!
//! Every key the reader knows is asked for once, so that what was never asked
//! for is an unknown key. Reading goes on after a mistake: a bad value gives
//! `None`, its mistake is noted, and the plan is not built.

use core::cell::{Cell, RefCell};
use core::ops::Range;

use steadypull_engine::plan::{Assumed, Plan};
use toml::de::{DeTable, DeValue};

use super::limits::Limit;
use super::position::Lines;
use super::problem::{PlanProblems, Problem};
use super::quantity::short;
use super::spelling::nearest;
use super::value::{Fault, Name, Value};

/// Most mistakes that are noted; past it they are counted.
const MOST_NOTED: usize = 1000;

/// The file being read: its mistakes and filled-in values so far.
pub(super) struct Reader<'t> {
    text: &'t str,
    lines: Lines<'t>,
    noted: RefCell<Vec<(Range<usize>, Fault)>>,
    uncounted: Cell<u32>,
    assumed: RefCell<Vec<Assumed>>,
    broken_lines: RefCell<Vec<u32>>,
}

impl<'t> Reader<'t> {
    pub fn new(text: &'t str) -> Self {
        Self {
            text,
            lines: Lines::new(text),
            noted: RefCell::default(),
            uncounted: Cell::new(0),
            assumed: RefCell::default(),
            broken_lines: RefCell::default(),
        }
    }

    /// Notes a mistake; its message is a whole sentence.
    pub fn note(&self, span: Range<usize>, fault: Fault) {
        let mut noted = self.noted.borrow_mut();
        if noted.len() < MOST_NOTED {
            noted.push((span, fault));
        } else {
            self.uncounted.set(self.uncounted.get().saturating_add(1));
        }
    }

    /// Notes a mistake in the TOML itself.
    pub fn broken_syntax(&self, span: Range<usize>, fault: Fault) {
        let mut broken = self.broken_lines.borrow_mut();
        if broken.len() < MOST_NOTED {
            let line = self.lines.place(&span).line;
            // One slip often trips the parser several times on its line.
            if broken.contains(&line) {
                return;
            }
            broken.push(line);
        }
        drop(broken);
        self.note(span, fault);
    }

    /// Whether the TOML is broken, so that anything may be missing from the tree.
    pub fn is_broken(&self) -> bool {
        !self.broken_lines.borrow().is_empty()
    }

    /// An empty span at the end.
    pub fn end_of_text(&self) -> Range<usize> {
        self.text.len()..self.text.len()
    }

    /// The line that holds the byte `at`.
    pub fn line_around(&self, at: usize) -> &'t str {
        self.lines.line(self.lines.place(&(at..at)).line)
    }

    fn assume(&self, key: String, value: String, reason: &str) {
        self.assumed.borrow_mut().push(Assumed { key, value, reason: reason.into() });
    }

    /// The plan, if there was no mistake.
    pub fn finish(self, plan: Option<Plan>) -> Result<Plan, PlanProblems> {
        let noted = self.noted.take();
        match plan {
            Some(plan) if noted.is_empty() => {
                return Ok(Plan { assumed: self.assumed.take(), ..plan });
            }
            None if noted.is_empty() => {
                // Unreachable as long as every `None` is noted; never silent.
                self.note(0..0, Fault::new("the plan could not be read".into()));
            }
            _ => self.noted.replace(noted).clear(),
        }
        Err(self.problems())
    }

    fn problems(&self) -> PlanProblems {
        let broken = self.broken_lines.borrow();
        let mut placed: Vec<_> = self
            .noted
            .take()
            .into_iter()
            .map(|(span, fault)| (self.lines.place(&span), span, fault))
            .collect();
        placed.sort_by(|a, b| (a.0.line, a.1.start).cmp(&(b.0.line, b.1.start)));
        placed.dedup_by(|a, b| a.1 == b.1 && a.2 == b.2);
        // What a broken line seems to say is not worth a second mistake.
        let mut seen = Vec::new();
        placed.retain(|(place, ..)| {
            let again = broken.contains(&place.line) && seen.contains(&place.line);
            seen.push(place.line);
            !again
        });
        let beyond = placed.len().saturating_sub(PlanProblems::MOST) as u32;
        placed.truncate(PlanProblems::MOST);
        let problems = placed
            .into_iter()
            .map(|(place, span, fault)| Problem {
                line: place.line,
                column: place.column,
                end_column: place.end_column,
                found: self.text.get(span).map(short).unwrap_or_default(),
                message: fault.message,
                expected: fault.expected,
                hint: fault.hint,
            })
            .collect();
        PlanProblems { problems, more: beyond.saturating_add(self.uncounted.get()) }
    }
}

/// One table; one that is not in the file reads as empty.
pub(super) struct Section<'r> {
    reader: &'r Reader<'r>,
    /// Its full name, empty for the whole file.
    pub path: String,
    table: Option<&'r DeTable<'r>>,
    span: Range<usize>,
    /// Its absence was noted, or it is no table: nothing more is missing.
    excused: bool,
    known: RefCell<Vec<&'static str>>,
}

impl<'r> Section<'r> {
    /// The file as a table.
    pub fn whole_file(reader: &'r Reader<'r>, table: &'r DeTable<'r>) -> Self {
        Self::new(reader, String::new(), Some(table), reader.end_of_text())
    }

    fn new(
        reader: &'r Reader<'r>,
        path: String,
        table: Option<&'r DeTable<'r>>,
        span: Range<usize>,
    ) -> Self {
        Self { reader, path, table, span, excused: false, known: RefCell::default() }
    }

    /// Whether it stands in the file.
    pub fn is_present(&self) -> bool {
        self.table.is_some()
    }

    /// Whether it has the key, well or badly written.
    pub fn has(&self, key: &'static str) -> bool {
        self.value(key).is_some()
    }

    /// Full name of one of its keys.
    pub fn full(&self, key: &str) -> String {
        if self.path.is_empty() { key.into() } else { format!("{}.{key}", self.path) }
    }

    /// Where a key's value stands, or the table if it has none.
    pub fn span_of(&self, key: &'static str) -> Range<usize> {
        self.value(key).map_or(self.span.clone(), |(span, _)| span)
    }

    /// Notes a mistake about a key; the message goes on from its name.
    pub fn note(&self, key: &'static str, fault: Fault) {
        self.note_at(self.span_of(key), key, fault);
    }

    fn note_at(&self, span: Range<usize>, key: &str, fault: Fault) {
        let message = format!("{} {}", self.full(key), fault.message);
        self.reader.note(span, Fault { message, ..fault });
    }

    /// Notes a mistake whose message is a whole sentence.
    pub fn note_whole(&self, span: Range<usize>, fault: Fault) {
        self.reader.note(span, fault);
    }

    /// Whether the TOML is broken, so that names may be missing from the tree.
    pub fn is_broken(&self) -> bool {
        self.reader.is_broken()
    }

    fn value(&self, key: &'static str) -> Option<(Range<usize>, &'r DeValue<'r>)> {
        let mut known = self.known.borrow_mut();
        if !known.contains(&key) {
            known.push(key);
        }
        let found = self.table?.get(key)?;
        Some((found.span(), found.get_ref()))
    }

    /// A key to be read.
    pub fn key<T: Value>(&self, key: &'static str) -> Key<'_, 'r, T> {
        Key { section: self, key, limit: None, inside: |_, _| true }
    }

    /// A list of values, empty if the key is absent.
    pub fn list<T: Value>(&self, key: &'static str, most: usize) -> Option<Vec<T>> {
        let items = self.items::<T>(key, most)?;
        Some(items.into_iter().map(|(_, item)| item).collect())
    }

    /// A list of values with the place of each.
    pub fn items<T: Value>(&self, key: &'static str, most: usize) -> Option<Vec<(Range<usize>, T)>> {
        let Some((span, value)) = self.value(key) else { return Some(Vec::new()) };
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
        let read = |item: &'r toml::Spanned<DeValue<'r>>| match T::from_toml(item.get_ref()) {
            Ok(value) => Some((item.span(), value)),
            Err(fault) => {
                self.note_at(item.span(), key, fault);
                None
            }
        };
        let all: Vec<_> = list.iter().map(read).collect();
        all.into_iter().collect()
    }

    /// A table within this one.
    pub fn table(&self, key: &'static str) -> Section<'r> {
        let path = self.full(key);
        match self.value(key) {
            Some((span, DeValue::Table(table))) => {
                Section::new(self.reader, path, Some(table), span)
            }
            Some((span, other)) => {
                let expected = format!("a heading [{path}] with keys under it");
                self.note_at(span.clone(), key, Fault::sort_of(other, expected));
                Section { excused: true, ..Section::new(self.reader, path, None, span) }
            }
            None => Section {
                excused: self.excused,
                ..Section::new(self.reader, path, None, self.span.clone())
            },
        }
    }

    /// A table that every plan has.
    pub fn needed_table(&self, key: &'static str, what_for: &str) -> Section<'r> {
        let table = self.table(key);
        if table.is_present() || table.excused {
            return table;
        }
        if !self.is_broken() {
            let message = format!("the table [{}] is missing", table.path);
            let fault = Fault::new(message).expecting(what_for);
            self.reader.note(self.reader.end_of_text(), fault);
        }
        Section { excused: true, ..table }
    }

    /// The tables `[key.NAME]`, in the order of the file.
    pub fn named(&self, key: &'static str, most: usize) -> Vec<(String, Section<'r>)> {
        let group = self.table(key);
        let mut entries: Vec<_> = group.table.into_iter().flat_map(|t| t.iter()).collect();
        entries.sort_by_key(|(name, _)| name.span().start);
        if entries.len() > most {
            let message = format!("has {} entries", entries.len());
            self.note(key, Fault::new(message).expecting(format!("at most {most}")));
            entries.truncate(most);
        }
        entries.into_iter().filter_map(|(name, value)| {
            let path = group.full(name.get_ref());
            if let Err(fault) = Name::from_text(name.get_ref()) {
                let fault = Fault { message: format!("[{key}]: {}", fault.message), ..fault };
                self.reader.note(name.span(), fault);
                return None;
            }
            let DeValue::Table(table) = value.get_ref() else {
                let expected = format!("a heading [{}.NAME] with keys under it", group.path);
                let fault = Fault::sort_of(value.get_ref(), expected);
                self.reader.note(
                    value.span(),
                    Fault { message: format!("{path} {}", fault.message), ..fault },
                );
                return None;
            };
            let section = Section::new(self.reader, path, Some(table), name.span());
            Some((name.get_ref().to_string(), section))
        }).collect()
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

    /// The texts in the list `key` of the table `name` in this one.
    pub fn texts_of(&self, name: &str, key: &str) -> Vec<&'r str> {
        let list = self.table.and_then(|t| t.get(name)).and_then(|v| v.get_ref().get(key));
        let items = list.and_then(|list| list.get_ref().as_array());
        items.into_iter().flat_map(|l| l.iter()).filter_map(|v| v.get_ref().as_str()).collect()
    }

    /// Fills in a value that is no single key of this table.
    pub fn assume(&self, key: &str, value: &str, reason: &str) {
        self.reader.assume(self.full(key), value.into(), reason);
    }

    /// Notes every key that was never asked for.
    pub fn close(&self) {
        let known = self.known.borrow();
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
            let listed = known.join(", ");
            let fault = match nearest(name, known.iter().copied()) {
                Some(meant) => fault.hinting(format!("did you mean {meant}?")),
                None => fault.expecting(format!("one of {listed}")),
            };
            self.reader.note(key.span(), fault);
        }
    }
}

/// One key that is about to be read.
pub(super) struct Key<'s, 'r, T: 'static> {
    section: &'s Section<'r>,
    key: &'static str,
    limit: Option<&'static Limit<T>>,
    inside: fn(&T, &Limit<T>) -> bool,
}

impl<T: Value> Key<'_, '_, T> {
    /// The range it must lie in.
    pub fn within(self, limit: &'static Limit<T>) -> Self
    where
        T: PartialOrd,
    {
        let inside = |value: &T, limit: &Limit<T>| *value >= limit.low && *value <= limit.high;
        Self { limit: Some(limit), inside, ..self }
    }

    /// A key that every such table has.
    pub fn need(self) -> Option<T> {
        let (section, key) = (self.section, self.key);
        let expected = self.expected();
        match self.maybe()? {
            Some(value) => Some(value),
            None => {
                if !section.excused && !section.is_broken() {
                    let message = format!("{} is missing", section.full(key));
                    let fault = Fault::new(message).expecting(expected);
                    section.reader.note(section.span.clone(), fault);
                }
                None
            }
        }
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
        let Some((span, value)) = self.section.value(self.key) else { return Some(None) };
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
                Err(if limit.why.is_empty() { fault } else { fault.hinting(limit.why) })
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
