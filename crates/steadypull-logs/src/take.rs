//! Cells in, columns of numbers in SI out, with every cell that could not be taken told of.

use crate::clock::{self, DAY_NS};
use crate::even::Times;
use crate::log::{Log, LogChannel, Places};
use crate::mistake::{Kind, Mistake, Mistakes, Place};
use crate::number::{NoNumber, means_no_value, means_overload};
use crate::recipe::{Channel, DateOrder, Notation, Recipe, Sign, Time};
use crate::times;
use crate::unit::{Quantity, Unit};

/// The most values a log may hold.
pub(crate) const MOST_VALUES: usize = 100_000_000;
/// A moment that is not known.
pub(crate) const GAP: i64 = i64::MIN;

/// A cell as its format tells it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Cell<'a> {
    /// Text to be read as the recipe says.
    Text(&'a str),
    /// A number.
    Number(f64),
    /// A date of a spreadsheet, days since 30 December 1899.
    Days(f64),
    /// A moment, ns since 1970.
    Moment(i64),
    /// Nothing.
    Empty,
}

/// What is done with a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Slot {
    /// Left alone.
    Skip,
    /// A number: channels in their order, then the time.
    Number(usize),
    /// A moment or a time of day.
    Stamp,
    /// A date whose clock stands in another column.
    Date,
}

/// The texts of cells taken, by row and with their columns.
pub(crate) type Texts = Vec<Vec<(u32, String)>>;

/// How much of a log is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum How {
    /// All of it.
    Whole,
    /// The first rows, with the text of their cells.
    First(usize),
}

/// Columns as they grow.
pub(crate) struct Columns<'r> {
    recipe: &'r Recipe,
    notation: Notation,
    /// What is done with each column; those past the end are skipped.
    pub slots: Vec<Slot>,
    /// Numbers as written, channels first, then the time where it is a number; of a file that
    /// is read by rows that stands in `times`.
    pub raw: Vec<Vec<f64>>,
    times: Times,
    /// Moments, where the time is one.
    pub stamps: Vec<i64>,
    /// Values that came in SI by their own unit: slot, row, value.
    converted: Vec<(usize, usize, f64)>,
    /// Numbers of the row at hand.
    pub now: Vec<f64>,
    stamp_now: i64,
    date_now: Option<i64>,
    how: How,
    /// Texts of the cells taken, where they are asked for.
    pub texts: Texts,
    line: u64,
    rows: usize,
    most_rows: usize,
    stamped: bool,
    pub mistakes: Mistakes,
    pub places: Places,
}

/// Rows read the quick way, not yet taken.
#[derive(Debug, Default)]
pub(crate) struct Plain {
    /// As [`Columns::raw`].
    pub numbers: Vec<Vec<f64>>,
    /// Their moments, or as many gaps.
    pub stamps: Vec<i64>,
    pub rows: usize,
    /// Where the next row begins.
    pub end: usize,
}

impl Plain {
    /// No rows yet, of so many numbers; the room of those before is kept.
    pub fn clear(&mut self, numbers: usize) {
        self.numbers.resize_with(numbers, Vec::new);
        self.numbers.iter_mut().for_each(Vec::clear);
        self.stamps.clear();
        (self.rows, self.end) = (0, 0);
    }
}

impl<'r> Columns<'r> {
    /// Checks the recipe and makes ready. `columns` is how many the file has, where it says so.
    pub fn new(
        recipe: &'r Recipe,
        notation: Notation,
        columns: u32,
        places: Places,
        how: How,
    ) -> Result<Self, Mistakes> {
        let slots = slots(recipe, columns)?;
        let numbers = slots
            .iter()
            .filter(|s| matches!(s, Slot::Number(_)))
            .count();
        let stamped = slots.contains(&Slot::Stamp);
        Ok(Self {
            recipe,
            notation,
            slots,
            raw: vec![Vec::new(); numbers],
            times: Times::Listed(Vec::new()),
            stamps: Vec::new(),
            converted: Vec::new(),
            now: vec![f64::NAN; numbers],
            stamp_now: GAP,
            date_now: None,
            how,
            texts: Vec::new(),
            line: 0,
            rows: 0,
            most_rows: MOST_VALUES / (numbers + usize::from(stamped)).max(1),
            stamped,
            mistakes: Mistakes::default(),
            places,
        })
    }

    /// True where the time comes as moments.
    pub fn has_stamps(&self) -> bool {
        self.stamped
    }

    /// Room for the columns of a long log: large enough that the system moves them by their
    /// pages as they grow, and not value by value. What is not used is never touched.
    pub fn expect_many(&mut self) {
        const MANY: usize = 1 << 22;
        let channels = self.recipe.channels.len();
        let many = MANY.min(self.most_rows);
        self.raw[..channels]
            .iter_mut()
            .for_each(|column| column.reserve(many.saturating_sub(column.len())));
    }

    /// Rows so far.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// True when no further row is wanted.
    pub fn enough(&self) -> bool {
        matches!(self.how, How::First(n) if self.rows >= n)
    }

    /// Begins the row on `line`.
    pub fn begin(&mut self, line: u64) {
        self.line = line;
        self.places.note(self.rows, line);
        self.now.fill(f64::NAN);
        self.stamp_now = GAP;
        self.date_now = None;
        if self.how != How::Whole {
            self.texts.push(Vec::new());
        }
    }

    /// Ends the row; what was not put is a gap.
    #[inline]
    pub fn end(&mut self) -> Result<(), Mistakes> {
        let channels = self.recipe.channels.len();
        for (column, value) in self.raw.iter_mut().zip(&self.now[..channels]) {
            column.push(*value);
        }
        self.times.extend(&self.now[channels..]);
        if self.stamped {
            self.stamps.push(self.stamp_now);
        }
        self.rows += 1;
        if self.rows > self.most_rows {
            return Err(Mistakes::one(
                Kind::TooMuch,
                self.places.at_line(self.line, 0),
                "",
            ));
        }
        Ok(())
    }

    /// Takes rows that were read the quick way, the first of them on `line`; the line after
    /// them.
    pub fn take_rows(&mut self, line: u64, plain: &Plain) -> Result<u64, Mistakes> {
        let room = self.most_rows - self.rows;
        if plain.rows > room {
            let place = self.places.at_line(line + room as u64, 0);
            return Err(Mistakes::one(Kind::TooMuch, place, ""));
        }
        if plain.rows > 0 {
            self.places.note(self.rows, line);
        }
        let (channels, times) = plain.numbers.split_at(self.recipe.channels.len());
        for (column, values) in self.raw.iter_mut().zip(channels) {
            column.extend_from_slice(values);
        }
        times.iter().for_each(|times| self.times.extend(times));
        if self.stamped {
            self.stamps.extend_from_slice(&plain.stamps);
        }
        self.rows += plain.rows;
        Ok(line + plain.rows as u64)
    }

    /// The times as written, where they are numbers.
    pub fn take_times(&mut self) -> Times {
        let mut times = std::mem::replace(&mut self.times, Times::Listed(Vec::new()));
        let stored = self.raw.pop().unwrap_or_default();
        times.extend(&stored);
        times
    }

    /// The whole row is lost.
    pub fn lose_row(&mut self, kind: Kind, found: &str) {
        self.now.fill(f64::NAN);
        self.stamp_now = GAP;
        self.mistakes
            .add(kind, self.places.at_line(self.line, 0), found);
    }

    /// Puts a cell of the row at hand; columns count from 1.
    pub fn put(&mut self, column: u32, cell: &Cell<'_>) {
        let slot = self
            .slots
            .get(column as usize - 1)
            .copied()
            .unwrap_or(Slot::Skip);
        if let (How::First(_), Some(row)) = (self.how, self.texts.last_mut()) {
            row.push((column, cell.text()));
        }
        match slot {
            Slot::Skip => {}
            Slot::Number(at) => match self.number(at, cell) {
                Ok(value) => self.now[at] = value,
                Err(kind) => self.complain(kind, column, cell),
            },
            Slot::Stamp => self.put_stamp(column, cell),
            Slot::Date => match self.date(cell) {
                Some(days) => self.date_now = Some(days),
                None => self.complain(Kind::NotATime, column, cell),
            },
        }
    }

    fn complain(&mut self, kind: Kind, column: u32, cell: &Cell<'_>) {
        self.mistakes
            .add(kind, self.places.at_line(self.line, column), &cell.text());
    }

    fn number(&mut self, at: usize, cell: &Cell<'_>) -> Result<f64, Kind> {
        match cell {
            Cell::Number(value) if value.is_finite() => Ok(*value),
            Cell::Number(value) if value.is_infinite() => Err(Kind::Overload),
            Cell::Number(_) => Err(Kind::NoValue),
            Cell::Empty => Err(Kind::EmptyCell),
            Cell::Text(text) if text.trim().is_empty() => Err(Kind::EmptyCell),
            Cell::Text(text) => self.number_in(at, text),
            Cell::Days(_) | Cell::Moment(_) => Err(Kind::NotANumber),
        }
    }

    fn number_in(&mut self, at: usize, text: &str) -> Result<f64, Kind> {
        match self.notation.read(text) {
            Ok(value) => Ok(value),
            Err(NoNumber::TooLarge) => Err(Kind::TooLarge),
            Err(NoNumber::NotANumber) if means_no_value(text) => Err(Kind::NoValue),
            Err(NoNumber::NotANumber) if means_overload(text) => Err(Kind::Overload),
            Err(NoNumber::NotANumber) => self.number_with_unit(at, text),
        }
    }

    /// `12.5 kN`: taken where the unit is known and fits the channel.
    fn number_with_unit(&mut self, at: usize, text: &str) -> Result<f64, Kind> {
        let channel = self.recipe.channels.get(at).ok_or(Kind::NotANumber)?;
        let (value, unit) = value_and_unit(self.notation, text).ok_or(Kind::NotANumber)?;
        let own = Unit::named(&channel.unit);
        if own.is_none_or(|own| own.quantity != unit.quantity || own.si != unit.si) {
            return Err(Kind::OtherUnit);
        }
        let place = self.places.at_line(self.line, channel.column);
        if own.is_some_and(|own| own.symbol == unit.symbol) {
            self.mistakes.add(Kind::UnitInCell, place, text);
            return Ok(value);
        }
        self.mistakes.add(Kind::UnitDiffers, place, text);
        self.converted
            .push((at, self.rows, unit.to_si(calibrated(channel, value))));
        Ok(value)
    }

    fn put_stamp(&mut self, column: u32, cell: &Cell<'_>) {
        let ns = match &self.recipe.time {
            Time::DateClock {
                clock_column: None,
                order,
                ..
            } => moment(cell, *order),
            Time::DateClock { .. } => self.date_now.zip(of_day(cell)).and_then(joined),
            _ => of_day(cell),
        };
        match ns {
            Some(ns) => self.stamp_now = ns,
            None => self.complain(Kind::NotATime, column, cell),
        }
    }

    fn date(&self, cell: &Cell<'_>) -> Option<i64> {
        let Time::DateClock { order, .. } = &self.recipe.time else {
            return None;
        };
        match cell {
            Cell::Text(text) => clock::date(text.as_bytes(), *order),
            Cell::Days(_) | Cell::Moment(_) => moment(cell, *order).map(|ns| ns.div_euclid(DAY_NS)),
            _ => None,
        }
    }

    /// The log of all rows taken; `rate_hz` and `full_scale`, in the file's numbers, are what
    /// the file tells.
    pub fn finish(
        mut self,
        rate_hz: Option<f64>,
        full_scale: Option<(f64, f64)>,
    ) -> Result<(Log, Texts), Mistakes> {
        if self.rows == 0 {
            return Err(Mistakes::one(Kind::NoNumbers, Place::File, ""));
        }
        let timed = times::times(&mut self, rate_hz)?;
        let mut channels = Vec::with_capacity(self.recipe.channels.len());
        let raw = std::mem::take(&mut self.raw);
        for (at, (channel, values)) in self.recipe.channels.iter().zip(raw).enumerate() {
            channels.push(self.channel(at, channel, values, full_scale));
        }
        let log = Log {
            sha256: String::new(),
            bytes: 0,
            times: timed.times,
            starts: timed.starts,
            rate_hz: timed.rate_hz,
            channels,
            mistakes: self.mistakes,
            places: self.places,
        };
        Ok((log, self.texts))
    }

    fn channel(
        &mut self,
        at: usize,
        channel: &Channel,
        mut values: Vec<f64>,
        full_scale: Option<(f64, f64)>,
    ) -> LogChannel {
        let unit = Unit::named(&channel.unit);
        if channel.factor != 1.0 || channel.sign != Sign::Plus {
            values.iter_mut().for_each(|v| *v = calibrated(channel, *v));
        }
        let own = self.converted.iter().filter(|c| c.0 == at);
        let converted: Vec<(usize, f64)> = own.map(|(_, row, value)| (*row, *value)).collect();
        for (row, value) in &converted {
            values[*row] = unit.map_or(*value, |unit| unit.written(*value));
        }
        if values.iter().all(|v| *v == 0.0) {
            self.mistakes.add(
                Kind::AllZero,
                self.places.of(0, channel.column),
                &channel.name,
            );
        }
        let to_si =
            |v: f64| unit.map_or(calibrated(channel, v), |u| u.to_si(calibrated(channel, v)));
        let ends = |(a, b): (f64, f64)| (to_si(a).min(to_si(b)), to_si(a).max(to_si(b)));
        LogChannel {
            name: channel.name.clone(),
            unit: unit.map_or(channel.unit.clone(), |u| u.si.to_string()),
            written_unit: channel.unit.clone(),
            quantity: channel.quantity,
            written: values,
            converted,
            full_scale: full_scale.map(ends),
        }
    }

    /// Takes a file that stores whole columns: `take` fills one, already as long as the log and
    /// all gaps.
    pub fn take_columns(
        &mut self,
        rows: usize,
        mut take: impl FnMut(&mut Self, u32, Slot) -> Result<(), Mistakes>,
    ) -> Result<(), Mistakes> {
        if rows > self.most_rows {
            return Err(Mistakes::one(
                Kind::TooMuch,
                Place::File,
                &format!("{rows} rows"),
            ));
        }
        self.rows = rows;
        if self.how != How::Whole {
            self.texts = vec![Vec::new(); rows];
        }
        for (column, slot) in (1..).zip(self.slots.clone()).filter(|s| s.1 != Slot::Skip) {
            match slot {
                Slot::Number(at) => self.raw[at] = vec![f64::NAN; rows],
                _ => self.stamps = vec![GAP; rows],
            }
            take(self, column, slot)?;
        }
        Ok(())
    }

    /// Puts a cell of a stored column.
    pub fn put_at(&mut self, slot: Slot, row: usize, column: u32, cell: &Cell<'_>) {
        if let Some(texts) = self.texts.get_mut(row) {
            texts.push((column, cell.text()));
        }
        let taken = match (slot, cell) {
            (Slot::Number(at), cell) => {
                self.number(at, cell).map(|value| self.raw[at][row] = value)
            }
            (_, Cell::Moment(ns)) => {
                self.stamps[row] = *ns;
                Ok(())
            }
            _ => Err(Kind::EmptyCell),
        };
        if let Err(kind) = taken {
            self.mistakes
                .add(kind, self.places.of(row, column), &cell.text());
        }
    }

    /// Rows of a stored column that could not be unpacked.
    pub fn lose_rest(
        &mut self,
        slot: Slot,
        rows: std::ops::Range<usize>,
        column: u32,
        found: &str,
    ) {
        let places = &self.places;
        let count = rows.len().max(1) as u64;
        self.mistakes.add_many(Kind::Unread, count, || {
            Mistake::new(Kind::Unread, places.of(rows.start, column), found)
        });
        if let Slot::Number(at) = slot {
            self.raw[at][rows].fill(f64::NAN);
        }
    }

    pub fn recipe(&self) -> &'r Recipe {
        self.recipe
    }
}

fn calibrated(channel: &Channel, value: f64) -> f64 {
    let value = value * channel.factor;
    if channel.sign == Sign::Minus {
        -value
    } else {
        value
    }
}

/// A number with a known unit behind it.
pub(crate) fn value_and_unit(notation: Notation, text: &str) -> Option<(f64, &'static Unit)> {
    let at = text.rfind(|c: char| c.is_ascii_digit() || c == '.')? + 1;
    // The last digit may belong to the unit, as in m/s2.
    let cut = text
        .find(|c: char| c.is_alphabetic() && c != 'e' && c != 'E')
        .map_or(at, |n| n.min(at));
    Some((
        notation.read(&text[..cut]).ok()?,
        Unit::named(&text[cut..])?,
    ))
}

fn joined((days, ns): (i64, i64)) -> Option<i64> {
    days.checked_mul(DAY_NS)?.checked_add(ns)
}

/// Days since 30 December 1899 as ns since 1970, to the microsecond, which is what an `f64` of
/// that size can tell.
fn of_serial(days: f64) -> Option<i64> {
    let us = ((days - 25_569.0) * 86_400e6).round();
    (us.abs() < 9.0e15).then_some(us as i64 * 1000)
}

fn moment(cell: &Cell<'_>, order: DateOrder) -> Option<i64> {
    match cell {
        Cell::Text(text) => clock::stamp(text.as_bytes(), order),
        Cell::Days(days) => of_serial(*days),
        Cell::Moment(ns) => Some(*ns),
        Cell::Number(_) | Cell::Empty => None,
    }
}

fn of_day(cell: &Cell<'_>) -> Option<i64> {
    match cell {
        Cell::Text(text) => clock::clock(text.as_bytes()),
        Cell::Days(days) => of_serial(*days).map(|ns| ns.rem_euclid(DAY_NS)),
        Cell::Moment(ns) => Some(ns.rem_euclid(DAY_NS)),
        Cell::Number(_) | Cell::Empty => None,
    }
}

impl Cell<'_> {
    /// The cell as it would be shown.
    pub fn text(&self) -> String {
        match self {
            Self::Text(text) => (*text).to_string(),
            Self::Number(value) => value.to_string(),
            Self::Days(days) if days.abs() < 1.0 => {
                of_day(self).map_or_else(String::new, clock::of_day)
            }
            Self::Days(days) => of_serial(*days).map_or_else(|| days.to_string(), clock::iso),
            Self::Moment(ns) => clock::iso(*ns),
            Self::Empty => String::new(),
        }
    }
}

/// What is done with each column, and whether the recipe holds together.
fn slots(recipe: &Recipe, columns: u32) -> Result<Vec<Slot>, Mistakes> {
    let mut wrong = Mistakes::default();
    let mut slots = vec![Slot::Skip; columns as usize];
    let mut set = |column: u32, slot: Slot, key: String| match slots
        .get_mut((column as usize).wrapping_sub(1))
    {
        None => wrong.add(Kind::NoColumn, Place::Recipe { key }, &column.to_string()),
        Some(taken) if *taken != Slot::Skip => {
            wrong.add(Kind::Recipe, Place::Recipe { key }, "a column taken twice")
        }
        Some(free) => *free = slot,
    };
    for (at, channel) in recipe.channels.iter().enumerate() {
        set(
            channel.column,
            Slot::Number(at),
            format!("channel.{}.column", at + 1),
        );
    }
    let key = || "time.column".to_string();
    match &recipe.time {
        Time::Elapsed { column, .. } | Time::SampleNumber { column, .. } => {
            set(*column, Slot::Number(recipe.channels.len()), key());
        }
        Time::Clock { column }
        | Time::DateClock {
            column,
            clock_column: None,
            ..
        } => set(*column, Slot::Stamp, key()),
        Time::DateClock {
            column,
            clock_column: Some(clock),
            ..
        } => {
            set(*column, Slot::Date, key());
            set(*clock, Slot::Stamp, "time.clock_column".to_string());
        }
        Time::Rate { .. } | Time::FileRate {} | Time::Unknown {} => {}
    }
    check_units(recipe, &mut wrong);
    if wrong.is_empty() {
        Ok(slots)
    } else {
        Err(wrong)
    }
}

fn check_units(recipe: &Recipe, wrong: &mut Mistakes) {
    if recipe.channels.is_empty() {
        wrong.add(
            Kind::Recipe,
            Place::Recipe {
                key: "channel".into(),
            },
            "no channel is taken",
        );
    }
    for (at, channel) in recipe.channels.iter().enumerate() {
        let place = |key| Place::Recipe {
            key: format!("channel.{}.{key}", at + 1),
        };
        let measured = Unit::named(&channel.unit).map_or(Quantity::Other, |u| u.quantity);
        if measured != channel.quantity {
            wrong.add(
                Kind::Recipe,
                place("quantity"),
                &format!("{:?} in {}", channel.quantity, channel.unit),
            );
        }
        if !(channel.factor.is_finite() && channel.factor != 0.0) {
            wrong.add(Kind::Recipe, place("factor"), &channel.factor.to_string());
        }
    }
}

/// What stands over the columns, against what the recipe was made for.
pub(crate) fn check_headers(
    recipe: &Recipe,
    names: Option<&[String]>,
    units: Option<&[String]>,
    place: impl Fn(bool, u32) -> Place,
) -> Result<(), Mistakes> {
    let mut moved = Mistakes::default();
    for channel in &recipe.channels {
        let rows = [
            (&channel.header, names, true),
            (&channel.units_header, units, false),
        ];
        for (expected, found, is_names) in rows {
            let (Some(expected), Some(found)) = (expected, found) else {
                continue;
            };
            let there = found
                .get(channel.column as usize - 1)
                .map_or("", String::as_str);
            if there != expected {
                let found = format!("{there}, not {expected}");
                moved.add_many(Kind::Moved, 1, || {
                    Mistake::new(Kind::Moved, place(is_names, channel.column), &found)
                });
            }
        }
    }
    if moved.is_empty() { Ok(()) } else { Err(moved) }
}
