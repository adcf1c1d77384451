//! Where a plan names a part, a recovery point or an anchor.

use super::ParsedPlan;
use super::value::{Name, Value};
use crate::operation::{Field, FieldKind, FormTable};

/// Every value that names what stands at `path`, with what it is once that is called
/// `name`; why not, where that cannot be a name.
pub(crate) fn referring(
    text: &str,
    path: &[String],
    name: &str,
) -> Result<Vec<(Vec<String>, String)>, String> {
    Name::from_text(name).map_err(|fault| {
        let expected = fault.expected.unwrap_or_default();
        format!("{}; a name is {expected}", fault.message)
    })?;
    let Ok(parsed) = ParsedPlan::new(text) else {
        return Ok(Vec::new());
    };
    let names = names_of(path, name);
    let (form, _) = parsed.form();
    let named = |table: &FormTable| {
        let parent = path.split_last().map(|(_, parent)| parent);
        table.named && Some(&table.path[..]) == parent
    };
    if !form.tables.iter().any(named) {
        return Err(format!("{} has no name of the plan's own", path.join(".")));
    }
    let mut found = Vec::new();
    for field in form.fields.iter().filter(|field| names_parts(field)) {
        let renamed = |text: &str| renamed(text, names.as_ref());
        match &field.written {
            serde_json::Value::String(text) => {
                found.extend(renamed(text).map(|new| (field.path.clone(), new)));
            }
            serde_json::Value::Array(items) => {
                for (at, item) in items.iter().enumerate() {
                    let new = item.as_str().and_then(renamed);
                    let place = field.path.iter().cloned().chain([at.to_string()]);
                    found.extend(new.map(|new| (place.collect(), new)));
                }
            }
            _ => {}
        }
    }
    Ok(found)
}

fn names_parts(field: &Field) -> bool {
    matches!(field.kind, FieldKind::Part | FieldKind::Parts)
}

/// What a reference says now and then: the name, and the beginning before a point's.
struct Renamed {
    old: String,
    new: String,
    /// Whether names of points follow it: `wagon-5.front`.
    owns_points: bool,
}

/// How the table at `path` is named by others, if it is.
fn names_of(path: &[String], name: &str) -> Option<Renamed> {
    let path: Vec<&str> = path.iter().map(String::as_str).collect();
    let whole = |old: &str, new: &str, owns_points| Renamed {
        old: old.into(),
        new: new.into(),
        owns_points,
    };
    match path[..] {
        ["line" | "shackle" | "block" | "ring" | "bridle", old] => Some(whole(old, name, false)),
        ["anchor", old] => Some(whole(old, name, true)),
        [owner @ ("casualty" | "tug"), "point", old] | ["anchor", owner, "point", old] => Some(
            whole(&format!("{owner}.{old}"), &format!("{owner}.{name}"), false),
        ),
        _ => None,
    }
}

/// What a reference that says `text` says from then on, if it changes.
fn renamed(text: &str, names: Option<&Renamed>) -> Option<String> {
    let Renamed {
        old,
        new,
        owns_points,
    } = names?;
    let text = text.trim();
    if text == old {
        return Some(new.clone());
    }
    let point = text.strip_prefix(&old[..])?.strip_prefix('.')?;
    owns_points.then(|| format!("{new}.{point}"))
}
