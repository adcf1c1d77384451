//! Rows of cells: where the numbers begin and end, and which columns are the time and channels.

use crate::mistake::{Kind, Mistakes, Place};
use crate::recipe::{Channel, Notation, Rows, Sign, Time};
use crate::unit::{Quantity, Unit};

use super::cell::Looks;
use super::delimiter::Lines;
use super::header::{Header, is_units_row};
use super::time::{self, Found};
use super::{Choice, Sure};

/// The most lines a foot may have.
pub(super) const MOST_FOOT: usize = 40;

/// Where the numbers begin.
pub(super) struct Body {
    /// The first row of numbers, by its place in the sample.
    pub first: usize,
    pub head_lines: u32,
    pub names_line: Option<u32>,
    pub units_line: Option<u32>,
    pub names: Vec<String>,
    pub units: Vec<String>,
}

/// Columns that mostly hold values in rows of the usual length.
fn value_columns(rows: &Lines, columns: usize, notation: Notation) -> Vec<bool> {
    let usual: Vec<&Vec<String>> = rows[rows.len() / 3..]
        .iter()
        .map(|r| &r.1)
        .filter(|r| r.len() == columns)
        .collect();
    let share = |column: usize| {
        let filled = usual.iter().filter(|r| !r[column].is_empty()).count();
        let values = usual
            .iter()
            .filter(|r| Looks::of(&r[column], notation).is_filled_value())
            .count();
        values * 2 > filled
    };
    (0..columns).map(share).collect()
}

/// Where the numbers begin: the first row in which every column that mostly holds values does.
pub(super) fn find_body(
    rows: &Lines,
    columns: usize,
    notation: Notation,
    comment: Option<&str>,
) -> Option<Body> {
    let is_value = value_columns(rows, columns, notation);
    let is_body = |row: &[String]| {
        let looks: Vec<Looks> = row.iter().map(|c| Looks::of(c, notation)).collect();
        let right = looks
            .iter()
            .zip(&is_value)
            .all(|(l, wanted)| !wanted || l.is_value());
        let is_comment = comment.is_some_and(|c| row[0].starts_with(c));
        row.len() == columns
            && !is_comment
            && right
            && looks.iter().any(|l| matches!(l, Looks::Number(_)))
    };
    let mut first = rows.iter().position(|r| is_body(&r.1))?;
    // Longer rows of numbers before it are rows too: they are told of, not hidden in the head.
    while first > 0 && rows[first - 1].1.len() > columns && is_body(&rows[first - 1].1[..columns]) {
        first -= 1;
    }
    let mut body = Body {
        first,
        head_lines: u32::try_from(rows[first].0 - 1).ok()?,
        names_line: None,
        units_line: None,
        names: Vec::new(),
        units: Vec::new(),
    };
    let mut above = rows[..first]
        .iter()
        .rev()
        .filter(|r| r.1.iter().any(|c| !c.is_empty()));
    let mut next = above.next().and_then(|r| fitting(r, columns, comment));
    if let Some((line, cells)) = next.as_ref().filter(|n| is_units_row(&n.1)) {
        // A lone row of units does for names too, but then its words are no names.
        body.units_line = Some(*line);
        body.units = cells.clone();
        next = above.next().and_then(|r| fitting(r, columns, comment));
    }
    if let Some((line, cells)) =
        next.filter(|n| n.1.iter().any(|c| Looks::of(c, notation) == Looks::Text))
    {
        body.names_line = Some(line);
        body.names = cells;
    }
    Some(body)
}

/// A row of the head that has as many cells as one of numbers, but for a comment sign before it
/// or an empty cell after it.
fn fitting(
    (line, cells): &(u64, Vec<String>),
    columns: usize,
    comment: Option<&str>,
) -> Option<(u32, Vec<String>)> {
    let mut cells = cells.clone();
    if let Some(comment) = comment {
        cells[0] = cells[0]
            .strip_prefix(comment)
            .unwrap_or(&cells[0])
            .trim()
            .to_string();
        if cells[0].is_empty() && cells.len() > 1 {
            cells.remove(0);
        }
    }
    let is_short = cells.len() + 1 == columns && columns > 2;
    (cells.len() == columns || is_short).then_some((u32::try_from(*line).ok()?, cells))
}

/// How many of the last rows are words and not numbers; blank ones between them count.
pub(super) fn foot(rows: &Lines, body: &Body, notation: Notation) -> u32 {
    let mut last = None;
    for (line, cells) in rows
        .iter()
        .rev()
        .take_while(|r| r.0 > u64::from(body.head_lines))
    {
        let is_blank = cells.iter().all(|c| c.is_empty());
        if !is_blank && Looks::of(&cells[0], notation) != Looks::Text {
            break;
        }
        if !is_blank {
            last = Some(*line);
        }
    }
    let Some((first, end)) = last.zip(rows.last().map(|r| r.0)) else {
        return 0;
    };
    let lines = end - first + 1;
    if lines as usize > MOST_FOOT {
        0
    } else {
        lines as u32
    }
}

/// Tells where the numbers begin and end.
pub(super) fn tell_rows(rows: &Rows, choices: &mut Vec<Choice>) {
    let line = |n: Option<u32>| n.map_or("none".to_string(), |n| n.to_string());
    let sure = if rows.names_line.is_some() {
        Sure::Certain
    } else {
        Sure::Likely
    };
    let head = format!("the first row of numbers is line {}", rows.head_lines + 1);
    choices.push(Choice::new(
        "layout.rows.head_lines",
        rows.head_lines.to_string(),
        sure,
        head,
    ));
    let why = if rows.names_line.is_some() {
        "words in as many cells as the numbers"
    } else {
        "no row of words fits the columns"
    };
    choices.push(Choice::new(
        "layout.rows.names_line",
        line(rows.names_line),
        sure,
        why,
    ));
    if rows.units_line.is_some() {
        let why = "every cell is a unit";
        choices.push(Choice::new(
            "layout.rows.units_line",
            line(rows.units_line),
            Sure::Certain,
            why,
        ));
    }
    if rows.foot_lines > 0 {
        let why = "the last lines begin with words";
        choices.push(Choice::new(
            "layout.rows.foot_lines",
            rows.foot_lines.to_string(),
            Sure::Likely,
            why,
        ));
    }
}

/// A sample of rows with what stands over them.
pub(super) struct Sample {
    names: Vec<String>,
    units: Vec<String>,
    notation: Notation,
    /// Other words of the head, in which a rate may stand.
    head: String,
    /// The columns.
    pub columns: Vec<Column>,
}

/// A column of a sample.
pub(super) struct Column {
    pub at: u32,
    pub header: Header,
    pub cells: Vec<String>,
    pub looks: Vec<Looks>,
}

impl Column {
    /// The share of filled cells that look so.
    pub fn share(&self, is: impl Fn(&Looks) -> bool) -> f64 {
        let filled = self.looks.iter().filter(|l| **l != Looks::Empty).count();
        let right = self.looks.iter().filter(|l| is(l)).count();
        if filled == 0 {
            0.0
        } else {
            right as f64 / filled as f64
        }
    }

    pub fn is_numeric(&self) -> bool {
        let has_number = self.looks.iter().any(|l| matches!(l, Looks::Number(_)));
        has_number && self.share(|l| matches!(l, Looks::Number(_) | Looks::NoValue)) > 0.5
    }

    pub fn numbers(&self) -> impl Iterator<Item = f64> + '_ {
        self.looks.iter().filter_map(|l| {
            if let Looks::Number(v) = l {
                Some(*v)
            } else {
                None
            }
        })
    }
}

impl Sample {
    pub fn new(
        names: Vec<String>,
        units: Vec<String>,
        rows: Vec<Vec<String>>,
        notation: Notation,
        head: String,
    ) -> Self {
        let width = rows.iter().map(Vec::len).max().unwrap_or(0);
        let mut columns: Vec<Column> = (0..width)
            .map(|at| Column {
                at: at as u32 + 1,
                header: Header::of(
                    names.get(at).map_or("", String::as_str),
                    units.get(at).map(String::as_str),
                ),
                cells: Vec::new(),
                looks: Vec::new(),
            })
            .collect();
        for row in rows {
            for (column, cell) in columns.iter_mut().zip(row) {
                column.looks.push(Looks::of(&cell, notation));
                column.cells.push(cell);
            }
        }
        Self {
            names,
            units,
            notation,
            head,
            columns,
        }
    }

    /// The time and the channels, with the reasons.
    pub fn columns(&self, choices: &mut Vec<Choice>) -> Result<(Time, Vec<Channel>), Mistakes> {
        let Found { time, taken } = time::guess(&self.columns, &self.head, self.notation, choices);
        let mut channels: Vec<Channel> = Vec::new();
        for column in self.columns.iter().filter(|c| !taken.contains(&c.at)) {
            if !column.is_numeric() {
                self.tell_left_out(column, choices);
                continue;
            }
            let key = format!("channel.{}", channels.len() + 1);
            let channel = self.channel(column, &channels, &key, choices);
            channels.push(channel);
        }
        if channels.is_empty() {
            return Err(Mistakes::one(
                Kind::NoNumbers,
                Place::File,
                "no column of numbers beside the time",
            ));
        }
        Ok((time, channels))
    }

    fn tell_left_out(&self, column: &Column, choices: &mut Vec<Choice>) {
        let is_empty = column.looks.iter().all(|l| *l == Looks::Empty);
        let why = if is_empty {
            "it is empty"
        } else {
            "it holds no numbers"
        };
        let name = self
            .names
            .get(column.at as usize - 1)
            .map_or("", String::as_str);
        choices.push(Choice::new(
            "channel",
            format!("column {} {name} left out", column.at),
            Sure::Likely,
            why,
        ));
    }

    fn channel(
        &self,
        column: &Column,
        others: &[Channel],
        key: &str,
        choices: &mut Vec<Choice>,
    ) -> Channel {
        let at = column.at as usize - 1;
        let (unit, quantity) = unit_of(column, self.columns.get(at + 1), key, choices);
        Channel {
            column: column.at,
            name: own_name(column, others, key, choices),
            header: self.names.get(at).cloned(),
            units_header: self.units.get(at).cloned(),
            unit,
            quantity,
            sign: Sign::Plus,
            factor: 1.0,
        }
    }
}

/// The column's name, with a number behind it where another has the same.
fn own_name(column: &Column, others: &[Channel], key: &str, choices: &mut Vec<Choice>) -> String {
    let name = match column.header.name.as_str() {
        "" => format!("column {}", column.at),
        name => name.to_string(),
    };
    let is_taken = |name: &str| others.iter().any(|o| o.name == name);
    if !is_taken(&name) {
        return name;
    }
    let own = (2..)
        .map(|n| format!("{name} ({n})"))
        .find(|n| !is_taken(n))
        .unwrap_or(name);
    choices.push(Choice::new(
        &format!("{key}.name"),
        own.clone(),
        Sure::Likely,
        "another column has the same name",
    ));
    own
}

/// The unit of a column and what it measures.
fn unit_of(
    column: &Column,
    next: Option<&Column>,
    key: &str,
    choices: &mut Vec<Choice>,
) -> (String, Quantity) {
    let header = &column.header;
    let by_name = || Some(&header.name).filter(|n| n.len() > 1 && Unit::named(n).is_some());
    let key = format!("{key}.unit");
    let Some(text) = header.unit.as_ref().or_else(by_name) else {
        let choice = match unit_in_cells(column) {
            Some(unit) => {
                choices.push(Choice::new(
                    &key,
                    unit.symbol,
                    Sure::Likely,
                    "it stands in the cells",
                ));
                return (unit.symbol.into(), unit.quantity);
            }
            None => Choice::new(
                &key,
                "unknown",
                Sure::Unsure,
                "no unit stands over the column",
            ),
        };
        // Not taken: a logger that changes its range changes that column too.
        let beside = next
            .and_then(|n| n.cells.first())
            .and_then(|c| Unit::named(c));
        choices.push(match beside {
            Some(unit) => choice.or(unit.symbol, "it stands in the first row of the next column"),
            None => choice.or("the unit", "say what the numbers are in"),
        });
        return ("unknown".into(), Quantity::Other);
    };
    let Some(unit) = Unit::named(text) else {
        let why = "not a unit of force, length, acceleration or voltage; values stay as written";
        choices.push(Choice::new(&key, text.clone(), Sure::Likely, why));
        return (text.clone(), Quantity::Other);
    };
    choices.push(tell_unit(&key, text, unit, header.is_marked));
    (unit.symbol.into(), unit.quantity)
}

fn tell_unit(key: &str, text: &str, unit: &Unit, is_marked: bool) -> Choice {
    let place = if is_marked {
        "it stands over the column"
    } else {
        "the name ends in it"
    };
    let choice = |sure, why: String| Choice::new(key, unit.symbol, sure, why);
    match text.to_lowercase().as_str() {
        "kg" | "kgs" | "t" | "tonne" | "tonnes" | "lb" | "lbs" | "klb" | "klbs" => {
            let why = format!(
                "{place}; `{text}` is taken as the weight of that mass under standard gravity"
            );
            choice(Sure::Likely, why).or("a mass", "it is not a force then")
        }
        "g" | "mg" => choice(Sure::Likely, format!("{place}, as standard gravity"))
            .or("a mass", "grams, not gravity"),
        _ if is_marked => choice(Sure::Certain, place.into()),
        _ => choice(Sure::Likely, place.into()).or("unknown", "if the end of the name is no unit"),
    }
}

/// The unit behind the numbers of most cells.
fn unit_in_cells(column: &Column) -> Option<&'static Unit> {
    let unit_at = |cell: &String| {
        let at = cell.find(|c: char| c.is_alphabetic() && c != 'e' && c != 'E')?;
        Unit::named(&cell[at..])
    };
    let found: Vec<&Unit> = column.cells.iter().filter_map(unit_at).collect();
    let first = *found.first()?;
    let same = found.iter().filter(|u| u.symbol == first.symbol).count();
    (same * 2 > column.cells.len()).then_some(first)
}
