//! Changes within a list or a table in braces.

use serde_json::Value;

use super::lines::TextLines;
use super::statements::{Entry, Inside, Node};
use super::{Refused, Splice, said, written};

/// What to do inside a value.
pub(super) struct Wanted<'w> {
    pub text: &'w str,
    /// The whole path, for messages.
    pub path: &'w [String],
    /// What stands there from now on; `None` for nothing.
    pub value: Option<&'w Value>,
}

impl Wanted<'_> {
    /// Changes to put the value at `rest` inside `node`.
    pub fn within(&self, node: &Node, rest: &[String]) -> Result<Vec<Splice>, Refused> {
        let Some((first, deeper)) = rest.split_first() else {
            return match self.value {
                Some(value) => self.replaced(node, value),
                None => Err(Refused::new(format!(
                    "{} cannot be taken out",
                    said(self.path)
                ))),
            };
        };
        match &node.inside {
            Inside::Scalar => Err(self.nothing_under(rest)),
            Inside::Array(entries) => self.in_list(node, entries, first, deeper),
            Inside::Inline(entries) => self.in_braces(node, entries, rest),
        }
    }

    fn nothing_under(&self, rest: &[String]) -> Refused {
        let above = &self.path[..self.path.len() - rest.len()];
        let message = format!(
            "{} holds a single value: nothing can stand under it",
            said(above)
        );
        Refused::new(message).hinting("take that value away first, or change it as a whole")
    }

    fn replaced(&self, node: &Node, value: &Value) -> Result<Vec<Splice>, Refused> {
        let new = written::value(value, self.path)?;
        let old = self.text.get(node.span.clone()).unwrap_or_default();
        let same = toml::de::DeValue::parse(old)
            .is_ok_and(|old| crate::plan_file::as_json(old.get_ref()) == *value);
        // Said otherwise, but the same: not worth a change.
        Ok(if same {
            Vec::new()
        } else {
            vec![(node.span.clone(), new)]
        })
    }

    fn in_list(
        &self,
        node: &Node,
        entries: &[Entry],
        first: &str,
        deeper: &[String],
    ) -> Result<Vec<Splice>, Refused> {
        let place = first.parse::<usize>().ok();
        let Some(place) = place.filter(|place| *place <= entries.len()) else {
            let above = &self.path[..self.path.len() - deeper.len() - 1];
            let message = format!(
                "{} is a list of {}: there is no entry \"{}\" in it",
                said(above),
                entries.len(),
                crate::plan_file::short_words(first)
            );
            return Err(Refused::new(message).hinting("entries count from 0"));
        };
        match (entries.get(place), self.value) {
            (Some(_), None) if deeper.is_empty() => Ok(self.without(node, entries, &[place])),
            (Some(entry), _) => self.within(&entry.value, deeper),
            (None, None) => Ok(Vec::new()),
            (None, Some(value)) => {
                let new = written::value(&nested(deeper, value), self.path)?;
                Ok(vec![self.one_more(node, entries, new)])
            }
        }
    }

    fn in_braces(
        &self,
        node: &Node,
        entries: &[Entry],
        rest: &[String],
    ) -> Result<Vec<Splice>, Refused> {
        let on_the_way = |entry: &Entry| rest.starts_with(&entry.path);
        if let Some(at) = entries.iter().position(on_the_way) {
            let entry = &entries[at];
            let deeper = &rest[entry.path.len()..];
            return match self.value {
                None if deeper.is_empty() => Ok(self.without(node, entries, &[at])),
                _ => self.within(&entry.value, deeper),
            };
        }
        let under: Vec<usize> = (0..entries.len())
            .filter(|at| entries[*at].path.starts_with(rest))
            .collect();
        match (under.first(), self.value) {
            (None, None) => Ok(Vec::new()),
            (Some(_), None) => Ok(self.without(node, entries, &under)),
            (Some(_), Some(_)) => {
                let message = format!("{} is written key by key in braces", said(self.path));
                Err(Refused::new(message).hinting("change its keys one by one"))
            }
            (None, Some(value)) => {
                let (name, deeper) = (written::key(&rest[0]), &rest[1..]);
                let held = written::value(&nested(deeper, value), self.path)?;
                Ok(vec![self.one_more(
                    node,
                    entries,
                    format!("{name} = {held}"),
                )])
            }
        }
    }

    /// Puts one more entry at the end.
    fn one_more(&self, node: &Node, entries: &[Entry], new: String) -> Splice {
        let Some(last) = entries.last() else {
            let open = node.span.start + 1;
            let inner = open..node.span.end - 1;
            let empty = self.text[inner.clone()].trim().is_empty();
            let braces = matches!(node.inside, Inside::Inline(_));
            return match (empty, braces) {
                (true, true) => (inner, format!(" {new} ")),
                (true, false) => (inner, new),
                // A comment stands in it.
                (false, _) => (open..open, format!(" {new}")),
            };
        };
        let lines = TextLines(self.text);
        let start = lines.start(last.span.start);
        let own_line = self.text[start..last.span.start].trim().is_empty();
        let gap = if own_line && start > node.span.start {
            format!(
                "{}{}",
                lines.line_break(),
                &self.text[start..last.span.start]
            )
        } else {
            " ".into()
        };
        let end = last.comma.as_ref().map_or(last.span.end, |comma| comma.end);
        match &last.comma {
            // A comment after the last entry stays with it.
            Some(_) if gap != " " => {
                let line = lines.end(end);
                let indent = &self.text[start..last.span.start];
                (line..line, format!("{indent}{new},{}", lines.line_break()))
            }
            Some(_) => (end..end, format!("{gap}{new},")),
            None => (end..end, format!(",{gap}{new}")),
        }
    }

    /// Takes entries out, with one comma each.
    fn without(&self, node: &Node, entries: &[Entry], gone: &[usize]) -> Vec<Splice> {
        let inner = node.span.start + 1..node.span.end - 1;
        if gone.len() == entries.len() && !self.text[inner.clone()].contains('#') {
            return vec![(inner, String::new())];
        }
        let mut cuts: Vec<core::ops::Range<usize>> = Vec::new();
        let last_kept = (0..entries.len()).rev().find(|at| !gone.contains(at));
        for at in gone {
            let entry = &entries[*at];
            let end = entry.comma.as_ref().map_or(entry.span.end, |c| c.end);
            cuts.push(self.with_space(entry.span.start..end));
        }
        // The comma before a last entry without one.
        let last_goes = gone.contains(&(entries.len() - 1));
        let open_end = entries.last().is_some_and(|entry| entry.comma.is_none());
        if let (true, true, Some(kept)) = (last_goes, open_end, last_kept)
            && let Some(comma) = &entries[kept].comma
        {
            cuts.push(comma.clone());
        }
        cuts.into_iter().map(|cut| (cut, String::new())).collect()
    }

    /// A cut with the space that would be one too many: the whole line where nothing else
    /// stands on it, else the spaces after it, or before it where it is the last.
    fn with_space(&self, cut: core::ops::Range<usize>) -> core::ops::Range<usize> {
        let lines = TextLines(self.text);
        let (start, end) = (lines.start(cut.start), lines.end(cut.end));
        let before = &self.text[start..cut.start];
        let after = &self.text[cut.end..end];
        if before.trim().is_empty() && after.trim().is_empty() {
            return start..end;
        }
        let spaces = after.len() - after.trim_start_matches([' ', '\t']).len();
        let closes = after[spaces..].starts_with([']', '}']);
        if closes {
            let kept = before.trim_end_matches([' ', '\t']).len();
            return start + kept..cut.end;
        }
        cut.start..cut.end + spaces
    }
}

/// `value` under `path`, table in table.
fn nested(path: &[String], value: &Value) -> Value {
    path.iter().rev().fold(value.clone(), |held, name| {
        Value::Object([(name.clone(), held)].into_iter().collect())
    })
}
