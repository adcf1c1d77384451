//! Names and units as they stand over columns.

use crate::recipe::TimeUnit;
use crate::unit::Unit;

/// A header taken apart.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Header {
    /// The name without its unit.
    pub name: String,
    /// The unit's text.
    pub unit: Option<String>,
    /// The unit stands in brackets or in a row of its own, so that it is surely meant as one.
    pub is_marked: bool,
}

fn is_unit(text: &str) -> bool {
    Unit::named(text).is_some() || TimeUnit::named(text).is_some()
}

/// Text in brackets at the end, and what is before it.
fn bracketed(text: &str) -> Option<(&str, &str)> {
    let pairs = [('(', ')'), ('[', ']'), ('{', '}'), ('<', '>')];
    pairs.iter().find_map(|(open, close)| {
        let inner = text.strip_suffix(*close)?;
        let at = inner.rfind(*open)?;
        Some((inner[..at].trim(), inner[at + open.len_utf8()..].trim()))
    })
}

impl Header {
    /// From the cell in the row of names and that in the row of units.
    pub fn of(name: &str, units: Option<&str>) -> Self {
        let name = name.trim();
        let unit = units.map(str::trim).filter(|u| !u.is_empty());
        if let Some(unit) = unit {
            let unit = bracketed(unit).map_or(unit, |b| b.1);
            return Self {
                name: name.into(),
                unit: Some(unit.into()),
                is_marked: true,
            };
        }
        match bracketed(name) {
            Some((before, unit)) if !unit.is_empty() => {
                let name = if before.is_empty() { unit } else { before };
                Self {
                    name: name.into(),
                    unit: Some(unit.into()),
                    is_marked: true,
                }
            }
            _ => Self::by_suffix(name),
        }
    }

    /// `load_kN`, `Load kN`, `F/kN`, `Force, N`: the end only where it is a unit.
    fn by_suffix(name: &str) -> Self {
        let cuts = name
            .char_indices()
            .filter(|(_, c)| matches!(c, '/' | '_' | ' ' | ',' | '-' | '.'));
        for (at, cut) in cuts {
            let (before, unit) = (name[..at].trim(), name[at + cut.len_utf8()..].trim());
            if !before.is_empty() && is_unit(unit) {
                let is_marked = cut == '/';
                return Self {
                    name: before.into(),
                    unit: Some(unit.into()),
                    is_marked,
                };
            }
        }
        Self {
            name: name.into(),
            ..Self::default()
        }
    }

    /// The unit of time it names, by its unit or by all of it.
    pub fn time_unit(&self) -> Option<TimeUnit> {
        self.unit
            .as_deref()
            .map_or_else(|| TimeUnit::named(&self.name), TimeUnit::named)
    }

    /// True for a name of time.
    pub fn is_time(&self) -> bool {
        let name = self.name.to_lowercase();
        let parts = [
            "time", "zeit", "temps", "tiempo", "tempo", "elapsed", "stamp", "clock", "epoch",
        ];
        name == "t"
            || TimeUnit::named(&name).is_some() && name.len() > 1
            || parts.iter().any(|p| name.contains(p))
    }

    /// True for a name of a count of samples.
    pub fn is_count(&self) -> bool {
        let name = self.name.to_lowercase();
        let words = [
            "n", "i", "no", "no.", "nr", "nr.", "#", "idx", "index", "row", "point", "scan",
            "record", "count",
        ];
        words.contains(&name.as_str())
            || name.starts_with("sample")
            || name.ends_with("index")
            || name.ends_with("number")
    }
}

/// True for a row of units: each cell empty, in brackets, or a known unit, and one at least
/// that is known.
pub(super) fn is_units_row(cells: &[String]) -> bool {
    let mut known = 0;
    let all = cells.iter().map(|c| c.trim()).all(|cell| {
        let inner = bracketed(cell).filter(|b| b.0.is_empty()).map(|b| b.1);
        known += usize::from(is_unit(inner.unwrap_or(cell)));
        cell.is_empty() || cell == "-" || inner.is_some() || is_unit(cell) || cell.starts_with('°')
    });
    all && known > 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_found_where_people_put_them() {
        let found = |text| {
            let header = Header::of(text, None);
            (header.name, header.unit.unwrap_or_default())
        };
        let pair = |a: &str, b: &str| (a.to_string(), b.to_string());
        assert_eq!(found("Load (kN)"), pair("Load", "kN"));
        assert_eq!(found("Load [ lbf ]"), pair("Load", "lbf"));
        assert_eq!(found("F/kN"), pair("F", "kN"));
        assert_eq!(found("accel m/s2"), pair("accel", "m/s2"));
        assert_eq!(found("time_ms"), pair("time", "ms"));
        assert_eq!(found("load cell"), pair("load cell", ""));
        assert_eq!(found("kN"), pair("kN", ""));
    }

    #[test]
    fn rows_of_units() {
        let row = |cells: &[&str]| {
            is_units_row(&cells.iter().map(|c| (*c).to_string()).collect::<Vec<_>>())
        };
        assert!(row(&["s", "kN", ""]));
        assert!(row(&["[s]", "[°C]"]));
        assert!(!row(&["time", "load"]));
        assert!(!row(&["", ""]));
    }
}
