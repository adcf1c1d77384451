//! JSON as it is written in a plan file.

use serde_json::Value;
use toml_writer::{ToTomlKey, ToTomlValue, TomlKeyBuilder, TomlStringBuilder};

use super::{Refused, said};

/// One part of a key, in quotes where it needs them.
pub(super) fn key(part: &str) -> String {
    TomlKeyBuilder::new(part).as_default().to_toml_key()
}

/// A key of several parts.
pub(super) fn keys(path: &[String]) -> String {
    let parts: Vec<String> = path.iter().map(|part| key(part)).collect();
    parts.join(".")
}

/// A value on one line.
pub(super) fn value(value: &Value, path: &[String]) -> Result<String, Refused> {
    Ok(match value {
        Value::Null => {
            let message = format!("{} holds a null: a plan file knows none", said(path));
            return Err(Refused::new(message).hinting("leave it out"));
        }
        Value::Bool(flag) => flag.to_string(),
        Value::Number(number) => match (number.as_i64(), number.as_f64()) {
            (Some(whole), _) => whole.to_string(),
            (None, Some(size)) if !number.is_u64() => size.to_toml_value(),
            _ => {
                let message = format!("{} cannot be {number}: it is far too large", said(path));
                return Err(Refused::new(message));
            }
        },
        Value::String(text) => TomlStringBuilder::new(text).as_basic().to_toml_value(),
        Value::Array(items) => {
            let items: Result<Vec<_>, _> =
                items.iter().map(|item| self::value(item, path)).collect();
            format!("[{}]", items?.join(", "))
        }
        Value::Object(entries) => {
            let entry = |(name, held): (&String, &Value)| {
                Ok(format!("{} = {}", key(name), self::value(held, path)?))
            };
            let entries: Result<Vec<_>, _> = entries.iter().map(entry).collect();
            let entries = entries?;
            if entries.is_empty() {
                "{}".into()
            } else {
                format!("{{ {} }}", entries.join(", "))
            }
        }
    })
}
