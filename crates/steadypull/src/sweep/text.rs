//! A row as a line of CSV (RFC 4180) and back, to the bit.
//!
//! Numbers are written with as many digits as it takes to read the same number
//! again; what is missing is empty, so no number ever reads `NaN`. No line break
//! stands inside a line.

use steadypull_contract::study::{Cell, Column, Kind};

use super::Line;

/// One line of the table, without its end.
pub fn line(line: &Line) -> String {
    let cells = line.cells.iter().map(|cell| match cell {
        Cell::Number(number) => number.to_string(),
        Cell::Text(text) => quoted(text),
        Cell::Missing => String::new(),
    });
    joined([line.index.to_string()].into_iter().chain(cells))
}

/// Fields with commas between.
pub fn joined(fields: impl Iterator<Item = String>) -> String {
    fields.collect::<Vec<_>>().join(",")
}

/// A text as one field; in quotes where it would be read as something else.
pub fn quoted(text: &str) -> String {
    let plain = text.replace(['\n', '\r'], " ");
    if plain.is_empty() || plain.contains([',', '"']) || plain.trim() != plain {
        format!("\"{}\"", plain.replace('"', "\"\""))
    } else {
        plain
    }
}

/// What a line says, if it is a whole one of these columns.
pub fn read(text: &str, columns: &[Column]) -> Option<Line> {
    let fields = fields(text)?;
    if fields.len() != columns.len() {
        return None;
    }
    let mut fields = fields.into_iter();
    let index = fields.next()?.0.parse().ok()?;
    let cells = fields
        .zip(&columns[1..])
        .map(|((field, in_quotes), column)| match column.kind {
            _ if field.is_empty() && !in_quotes => Some(Cell::Missing),
            Kind::Text => Some(Cell::Text(field)),
            Kind::Number | Kind::Whole => {
                let number = field
                    .parse::<f64>()
                    .ok()
                    .filter(|number| number.is_finite());
                number.map(Cell::Number)
            }
        });
    Some(Line {
        index,
        cells: cells.collect::<Option<_>>()?,
    })
}

/// The fields of a line, and whether each stood in quotes; none if a quote is open.
fn fields(text: &str) -> Option<Vec<(String, bool)>> {
    let mut fields = Vec::new();
    let mut rest = text;
    loop {
        let (field, in_quotes, after) = match rest.strip_prefix('"') {
            Some(quoted) => {
                let (field, after) = in_quotes(quoted)?;
                (field, true, after)
            }
            None => {
                let end = rest.find(',').unwrap_or(rest.len());
                (rest[..end].to_string(), false, &rest[end..])
            }
        };
        fields.push((field, in_quotes));
        match after.strip_prefix(',') {
            Some(next) => rest = next,
            None if after.is_empty() => return Some(fields),
            None => return None,
        }
    }
}

/// A field up to its closing quote, and what follows it.
fn in_quotes(text: &str) -> Option<(String, &str)> {
    let mut field = String::new();
    let mut rest = text;
    loop {
        let at = rest.find('"')?;
        field += &rest[..at];
        rest = &rest[at + 1..];
        match rest.strip_prefix('"') {
            Some(next) => {
                field.push('"');
                rest = next;
            }
            None => return Some((field, rest)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn columns(kinds: &[Kind]) -> Vec<Column> {
        let column = |kind: &Kind| Column {
            name: "x".into(),
            kind: *kind,
        };
        kinds.iter().map(column).collect()
    }

    #[test]
    fn lines_read_back_to_the_bit() {
        let cells = vec![
            Cell::Number(0.1 + 0.2),
            Cell::Number(-1.0e-300),
            Cell::Number(f64::MAX),
            Cell::Missing,
            Cell::Text("a \"quoted\", comma".into()),
            Cell::Text(" edge ".into()),
            Cell::Text(String::new()),
            Cell::Missing,
        ];
        let number = Kind::Number;
        let text = Kind::Text;
        let kinds = [
            Kind::Whole,
            number,
            number,
            number,
            number,
            text,
            text,
            text,
            text,
        ];
        let columns = columns(&kinds);
        let written = Line { index: 7, cells };
        let whole = line(&written);
        assert_eq!(read(&whole, &columns), Some(written));
        for cut in (0..whole.len()).filter(|at| whole.is_char_boundary(*at)) {
            let torn = read(&whole[..cut], &columns);
            assert!(torn.is_none() || cut > 40, "{}", &whole[..cut]);
        }
    }

    #[test]
    fn lines_that_are_none() {
        let columns = columns(&[Kind::Whole, Kind::Number, Kind::Text]);
        for bad in [
            "",
            "1",
            "1,2",
            "x,2,a",
            "1,x,a",
            "1,NaN,a",
            "1,inf,a",
            "1,2,\"a",
            "1,2,\"a\"b",
            "1,2,a,",
        ] {
            assert_eq!(read(bad, &columns), None, "{bad}");
        }
    }
}
