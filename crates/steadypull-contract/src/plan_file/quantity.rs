//! `2.6 t` to a mass: a plain decimal number, then a unit.
//!
//! Thousands may be set apart by spaces (`10 000 lbf`), as this tool prints
//! them. A comma is refused: it means tenths to some and thousands to others.

use super::spelling::nearest;
use super::unit_table::{Quantity, measured_in};
use super::value::Fault;

/// The quantity written in `text`.
pub(super) fn quantity<Q: Quantity>(text: &str) -> Result<Q, Fault> {
    let (digits, unit) = split(text.trim());
    if digits.is_empty() {
        let fault = Fault::new(format!("does not start with a number: \"{}\"", short(text)));
        return Err(fault.expecting(expected::<Q>()));
    }
    let value = number(digits).map_err(|f| f.expecting(expected::<Q>()))?;
    if let (Some(make), Some(run)) = (Q::IN_RATIO, unit.strip_prefix("in ")) {
        return ratio(value, run, make);
    }
    let made = unit_named::<Q>(unit, digits)?(value);
    if made.si().is_finite() {
        Ok(made)
    } else {
        Err(too_large())
    }
}

/// What is expected where a `Q` stands.
pub(super) fn expected<Q: Quantity>() -> String {
    format!(
        "{} in {}, such as \"{}\"",
        Q::WHAT,
        unit_list::<Q>(),
        Q::EXAMPLE
    )
}

/// A number without a unit: plain decimals, spaces between thousands.
pub(super) fn number(digits: &str) -> Result<f64, Fault> {
    let unsigned = digits.trim_start_matches(['+', '-', '\u{2212}']);
    let minus = digits.starts_with(['-', '\u{2212}']);
    let signs = digits.chars().count() - unsigned.chars().count();
    if unsigned.contains(',') {
        return Err(comma(unsigned));
    }
    let plain: String = unsigned.chars().filter(|c| *c != ' ').collect();
    let is_decimal = plain.chars().filter(|c| *c == '.').count() <= 1
        && plain.chars().any(|c| c.is_ascii_digit());
    if signs > 1 || !is_decimal || !in_thousands(unsigned) {
        return Err(Fault::new(format!(
            "is not one number: \"{}\"",
            short(digits)
        )));
    }
    match plain.parse::<f64>() {
        Ok(size) if size.is_finite() => Ok(if minus { -size } else { size }),
        _ => Err(too_large()),
    }
}

fn too_large() -> Fault {
    Fault::new("is far too large".into())
}

/// Number and unit of `text`, neither with spaces around it.
pub(super) fn split(text: &str) -> (&str, &str) {
    let mut end = 0;
    for (at, c) in text.char_indices() {
        let sign = at == 0 && matches!(c, '+' | '-' | '\u{2212}');
        if sign || c.is_ascii_digit() || matches!(c, '.' | ',') {
            end = at + c.len_utf8();
        } else if c != ' ' {
            break;
        }
    }
    (text[..end].trim(), text[end..].trim())
}

/// Whether spaces stand only before groups of three whole digits.
fn in_thousands(unsigned: &str) -> bool {
    let whole = unsigned.split('.').next().unwrap_or("");
    let groups_of_three = whole.split(' ').skip(1).all(|group| group.len() == 3);
    groups_of_three && !unsigned[whole.len()..].contains(' ')
}

fn comma(unsigned: &str) -> Fault {
    let fault = Fault::new(format!(
        "has a comma in its number: \"{}\"",
        short(unsigned)
    ));
    let (whole, rest) = unsigned.split_once(',').unwrap_or((unsigned, ""));
    let thousands = rest.len() == 3 && !whole.is_empty();
    if rest.contains([',', '.']) || thousands {
        let joined = unsigned.replace(',', "");
        return fault.hinting(format!(
            "write thousands without a comma, {}; tenths with a point",
            short(&joined)
        ));
    }
    fault.hinting(format!(
        "write a decimal point: {}",
        short(&format!("{whole}.{rest}"))
    ))
}

fn ratio<Q: Quantity>(rise: f64, run: &str, make: fn(f64) -> Q) -> Result<Q, Fault> {
    let run = number(run.trim()).map_err(|f| f.expecting(expected::<Q>()))?;
    let made = make(rise / run);
    let fault = || Fault::new("is no slope".into()).expecting(expected::<Q>());
    if run > 0.0 && made.si().is_finite() {
        Ok(made)
    } else {
        Err(fault())
    }
}

fn unit_named<Q: Quantity>(unit: &str, digits: &str) -> Result<fn(f64) -> Q, Fault> {
    let found = Q::UNITS.iter().find(|u| u.spellings.contains(&unit));
    if let Some(found) = found {
        return Ok(found.make);
    }
    let written = |unit: &str| format!("\"{} {unit}\"", short(digits));
    if unit.is_empty() {
        let hint = format!("write the unit, such as {}", Q::with_unit(&short(digits)));
        return Err(Fault::new("has no unit".into())
            .expecting(expected::<Q>())
            .hinting(hint));
    }
    let message = match measured_in(unit) {
        Some(what) => format!("is in {unit}, the unit of {what}"),
        None => format!("has an unknown unit: {}", short(unit)),
    };
    let fault = Fault::new(message).expecting(expected::<Q>());
    let spellings = Q::UNITS.iter().flat_map(|u| u.spellings.iter().copied());
    Err(
        match nearest(unit, spellings).filter(|_| measured_in(unit).is_none()) {
            Some(meant) => fault.hinting(format!("did you mean {}?", written(meant))),
            None => fault,
        },
    )
}

fn unit_list<Q: Quantity>() -> String {
    let units: Vec<&str> = Q::UNITS.iter().map(|u| u.spellings[0]).collect();
    match units.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => units.concat(),
    }
}

/// The start of `text`, for a message.
pub(crate) fn short(text: &str) -> String {
    const MOST: usize = 40;
    let text = super::report::printable(text);
    if text.chars().count() <= MOST {
        return text;
    }
    text.chars().take(MOST).chain("...".chars()).collect()
}

#[cfg(test)]
mod tests {
    use super::super::unit_table::{Share, Slope};
    use super::*;
    use steadypull_engine::units::*;

    fn si<Q: Quantity>(text: &str) -> f64 {
        quantity::<Q>(text).map_or(f64::NAN, Q::si)
    }

    #[test]
    fn units_as_people_write_them() {
        let close = |got: f64, want: f64| {
            assert!(
                (got - want).abs() <= 1e-9 * want.abs(),
                "{got} is not {want}"
            )
        };
        close(si::<Mass>("2.6 t"), 2600.0);
        close(si::<Mass>("2.6t"), 2600.0);
        close(si::<Mass>("4500 lb"), 2_041.165_665);
        close(si::<Length>("30 ft"), 9.144);
        close(si::<Speed>("18 km/h"), 5.0);
        close(si::<Speed>("6 m/min"), 0.1);
        close(si::<Pressure>("35 psi"), 241_316.505_260_892_64);
        close(si::<Slope>("8\u{b0}"), 8f64.to_radians());
        close(si::<Slope>("18 %"), 0.178_092_938_231_197_56);
        close(si::<Slope>("1 in 5"), 0.197_395_559_849_880_75);
        close(si::<Slope>("-1 in 5"), -0.197_395_559_849_880_75);
        close(si::<Force>("90 kN"), 90_000.0);
        close(si::<Force>("9 t"), 88_259.85);
        close(si::<Force>("10 000 lbf"), 44_482.216_152_605);
        close(si::<Energy>("58 ft lbf"), 78.637_441_003_221_23);
        close(si::<Power>("150 hp"), 111_854.980_735_734_05);
        close(si::<Duration>("3 h"), 10_800.0);
        close(si::<Area>("0.05 m2"), 0.05);
        close(si::<LineMass>("0.55 kg/m"), 0.55);
        close(si::<Share>("18%"), 0.18);
    }

    #[test]
    fn every_slip_has_its_own_message() {
        let cases = [
            ("2600", "has no unit"),
            ("2,6 t", "has a comma in its number: \"2,6\""),
            ("2.6 T", "has an unknown unit: T"),
            ("2.6 kN", "is in kN, the unit of a force or rating"),
            ("heavy", "does not start with a number: \"heavy\""),
            ("nan kg", "does not start with a number: \"nan kg\""),
            ("2.6.1 t", "is not one number: \"2.6.1\""),
            ("--2 t", "is not one number: \"-\""),
            ("26 00 kg", "is not one number: \"26 00\""),
            ("", "does not start with a number: \"\""),
        ];
        for (text, message) in cases {
            let fault = quantity::<Mass>(text).expect_err(text);
            assert_eq!(fault.message, message, "{text}");
        }
        let fault = quantity::<Mass>(&"9".repeat(400)).expect_err("too large");
        assert_eq!(fault.message, "is far too large");
    }
}
