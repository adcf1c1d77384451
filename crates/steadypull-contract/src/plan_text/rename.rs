//! A table or key called otherwise, wherever its name stands in a key.

use super::statements::{Entry, Inside, Node, What, statements};
use super::{Refused, Splice, said, spliced, still_reads, written};

/// The text with the last part of `path` called `name`.
pub(crate) fn rename(text: &str, path: &[String], name: &str) -> Result<String, Refused> {
    let Some((old, parent)) = path.split_last() else {
        return Err(Refused::new("a new name without a path changes nothing"));
    };
    if old == name {
        return Ok(text.into());
    }
    let statements = statements(text);
    let mut splices: Vec<Splice> = Vec::new();
    let mut taken = false;
    let renamed: Vec<String> = parent.iter().cloned().chain([name.into()]).collect();
    for statement in &statements {
        taken |= statement.path.starts_with(&renamed);
        let part = path.len() - 1;
        if statement.path.starts_with(path) {
            let own = part.checked_sub(statement.under);
            if let Some(key) = own.and_then(|own| statement.keys.get(own)) {
                splices.push((key.clone(), written::key(name)));
            }
        } else if let (true, What::Value(node)) =
            (path.starts_with(&statement.path), &statement.what)
        {
            let rest = &path[statement.path.len()..];
            taken |= in_braces(node, &renamed[statement.path.len()..]).is_some();
            splices.extend(in_braces(node, rest).map(|key| (key, written::key(name))));
        }
    }
    if splices.is_empty() {
        return Err(Refused::new(format!(
            "there is no {} to rename",
            said(path)
        )));
    }
    if taken {
        let message = format!("there is a {} already", said(&renamed));
        return Err(Refused::new(message).hinting("choose another name"));
    }
    still_reads(spliced(text, splices), &renamed)
}

/// Where the last part of `rest` stands in a table in braces.
fn in_braces(node: &Node, rest: &[String]) -> Option<core::ops::Range<usize>> {
    let Inside::Inline(entries) = &node.inside else {
        return None;
    };
    entries.iter().find_map(|entry: &Entry| {
        if entry.path.starts_with(rest) {
            return entry.keys.get(rest.len() - 1).cloned();
        }
        let deeper = rest.starts_with(&entry.path);
        deeper.then(|| in_braces(&entry.value, &rest[entry.path.len()..]))?
    })
}
