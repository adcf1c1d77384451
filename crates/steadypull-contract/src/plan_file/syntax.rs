//! Mistakes in the TOML itself, in the words of the trade where they are known.

use toml::de::Error;

use super::reader::Reader;
use super::report::printable;
use super::value::Fault;

/// Reports what the TOML parser found.
pub(super) fn report(reader: &Reader, mistakes: &[Error]) {
    // Under a heading that stands twice, every key does too: told once.
    let mut twice_until = None;
    for mistake in mistakes {
        let span = mistake.span().unwrap_or(reader.end_of_text());
        let (number, line) = reader.line_around(span.start);
        let twice = mistake.message().contains("duplicate key");
        let follows = twice && twice_until == Some(number.saturating_sub(1));
        if twice && (follows || line.trim_start().starts_with('[')) {
            twice_until = Some(number);
        }
        if !follows {
            reader.broken_syntax(span, explained(mistake.message(), line));
        }
    }
}

fn explained(message: &str, line: &str) -> Fault {
    if message.contains("duplicate key") {
        return Fault::new("this name or key stands here a second time".into())
            .hinting("keep one of the two; a table's keys all go under one heading");
    }
    if let Some((key, value)) = unquoted_quantity(line) {
        let line = printable(&format!("{key} = \"{value}\""));
        let hint = format!("put quotes around a value with a unit: {line}");
        return Fault::new("a value with a unit needs quotes".into()).hinting(hint);
    }
    if message.contains("string, expected `\"`") {
        return Fault::new("the closing quote is missing".into())
            .hinting("is the file cut off here, or a \" left out?");
    }
    Fault::new(format!("the file cannot be read here (TOML): {message}"))
        .expecting("key = value, or a heading such as [casualty]")
}

/// Key and value of a line like `mass = 2.6 t`.
fn unquoted_quantity(line: &str) -> Option<(&str, &str)> {
    let (key, value) = line.split_once('=')?;
    let value = value.split('#').next()?.trim();
    let starts = value.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.'));
    let has_unit = value.ends_with(|c: char| c.is_alphanumeric() || matches!(c, '%' | '\u{b0}'))
        && value.contains(|c: char| c.is_alphabetic() || matches!(c, '%' | '\u{b0}'));
    let plain = !value.contains(['"', '\'', '[', '{', ':']);
    let short = key.len() + value.len() < 60;
    (starts && has_unit && plain && short).then_some((key.trim(), value))
}
