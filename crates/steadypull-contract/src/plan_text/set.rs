//! One key or table set, or taken away.

use core::ops::Range;

use serde_json::{Map, Value};

use super::inside::Wanted;
use super::lines::TextLines;
use super::statements::{Statement, What, statements};
use super::{Refused, Splice, said, spliced, still_reads, written};

/// The text with `value` at `path`; `None` takes it away.
pub(crate) fn set(text: &str, path: &[String], value: Option<&Value>) -> Result<String, Refused> {
    if path.is_empty() {
        return Err(Refused::new("an edit without a path changes nothing"));
    }
    let file = File {
        text,
        lines: TextLines(text),
        statements: statements(text),
    };
    still_reads(file.set(path, value)?, path)
}

struct File<'t> {
    text: &'t str,
    lines: TextLines<'t>,
    statements: Vec<Statement>,
}

impl File<'_> {
    fn set(&self, path: &[String], value: Option<&Value>) -> Result<String, Refused> {
        self.within_no_list(path, value)?;
        let holds = |s: &&Statement| path.starts_with(&s.path);
        if let Some((statement, node)) = self.statements.iter().filter(holds).find_map(|s| {
            let What::Value(node) = &s.what else {
                return None;
            };
            Some((s, node))
        }) {
            let rest = &path[statement.path.len()..];
            if rest.is_empty() && value.is_none() {
                return Ok(self.spliced(vec![self.without(statement)]));
            }
            let wanted = Wanted {
                text: self.text,
                path,
                value,
            };
            return Ok(self.spliced(wanted.within(node, rest)?));
        }
        let there = self.statements.iter().any(|s| s.path.starts_with(path));
        match (there, value) {
            (false, None) => Ok(self.text.into()),
            (true, None) => Ok(self.spliced(self.without_table(path))),
            (true, Some(Value::Object(entries))) => self.table_replaced(path, entries),
            (false, Some(Value::Object(entries))) => self.new_table(path, entries),
            (true, Some(value)) => {
                let without = self.spliced(self.without_table(path));
                set(&without, path, Some(value))
            }
            (false, Some(value)) => self.new_key(path, value),
        }
    }

    fn spliced(&self, splices: Vec<Splice>) -> String {
        spliced(self.text, splices)
    }

    /// Refuses a path into a list of tables: an entry of it has no path.
    fn within_no_list(&self, path: &[String], value: Option<&Value>) -> Result<(), Refused> {
        let listed = |s: &&Statement| matches!(s.what, What::Listed);
        let into = |s: &Statement| path.starts_with(&s.path) && (path != s.path || value.is_some());
        match self.statements.iter().filter(listed).find(|s| into(s)) {
            Some(list) => {
                let message = format!("{} is a list of tables", said(&list.path));
                Err(Refused::new(message).hinting("change it in the plan file's text"))
            }
            None => Ok(()),
        }
    }

    /// Takes one statement out, with the comment lines directly above it.
    fn without(&self, statement: &Statement) -> Splice {
        let start = self.lines.above(self.lines.start(statement.span.start));
        let lines = start..self.lines.end(statement.span.end);
        (self.lines.taken_out(lines), String::new())
    }

    /// Takes every statement of a table out, blocks under a heading whole.
    fn without_table(&self, path: &[String]) -> Vec<Splice> {
        let mut runs: Vec<Range<usize>> = Vec::new();
        for (at, statement) in self.statements.iter().enumerate() {
            if !statement.path.starts_with(path) {
                continue;
            }
            let heading = !matches!(statement.what, What::Value(_));
            // A key under a heading of the table goes with its block.
            if !heading && statement.under >= path.len() {
                continue;
            }
            let start = self.lines.above(self.lines.start(statement.span.start));
            let end = match heading {
                true => self.block_end(at),
                false => self.lines.end(statement.span.end),
            };
            match runs.last_mut() {
                Some(run) if self.is_blank(run.end, start) => run.end = end,
                _ => runs.push(start..end),
            }
        }
        let out = |run: Range<usize>| (self.lines.taken_out(run), String::new());
        runs.into_iter().map(out).collect()
    }

    /// Whether nothing but space stands from `from` to `to`.
    fn is_blank(&self, from: usize, to: usize) -> bool {
        let between = self.text.get(from..to);
        between.is_some_and(|text| text.trim().is_empty())
    }

    /// Where the last key under the heading `at` ends, past its line.
    fn last_key(&self, at: usize) -> usize {
        let under = self.statements[at + 1..].iter();
        let keys = under.take_while(|s| matches!(s.what, What::Value(_)));
        let last = keys.last().unwrap_or(&self.statements[at]);
        self.lines.end(last.span.end)
    }

    /// Where the block under the heading `at` ends, its closing comment lines included.
    fn block_end(&self, at: usize) -> usize {
        self.lines.below(self.last_key(at))
    }

    /// A table that is there gets these entries and no others.
    fn table_replaced(
        &self,
        path: &[String],
        entries: &Map<String, Value>,
    ) -> Result<String, Refused> {
        let mut text = self.text.to_string();
        let with = |name: &str| {
            path.iter()
                .cloned()
                .chain([name.into()])
                .collect::<Vec<_>>()
        };
        for statement in &self.statements {
            let child = statement.path.get(path.len());
            let child = child.filter(|_| statement.path.starts_with(path));
            if let Some(gone) = child.filter(|name| !entries.contains_key(*name)) {
                text = set(&text, &with(gone), None)?;
            }
        }
        let still_there = statements(&text).iter().any(|s| s.path.starts_with(path));
        if !still_there {
            return set(&text, path, Some(&Value::Object(entries.clone())));
        }
        for (name, held) in entries {
            let held = Some(held).filter(|held| !held.is_null());
            text = set(&text, &with(name), held)?;
        }
        Ok(text)
    }

    /// A table that is not there.
    fn new_table(&self, path: &[String], entries: &Map<String, Value>) -> Result<String, Refused> {
        let mut lines = Vec::new();
        block(path, entries, &mut lines)?;
        Ok(self.with_block(path, lines))
    }

    fn with_block(&self, path: &[String], mut lines: Vec<String>) -> String {
        let at = self.place_for(path);
        let next = self.lines.after(at);
        let crowded = next.is_some_and(|next| !self.lines.is_blank(&next));
        let before = self.lines.before(at).filter(|_| at > 0);
        let open = before.is_none_or(|line| self.lines.is_blank(&line));
        if !crowded && !open {
            lines.insert(0, String::new());
        }
        self.spliced(vec![(at..at, self.lines.put_in(at, &lines))])
    }

    /// Where a new table goes: after the last that shares the most of its path, else at
    /// the end.
    fn place_for(&self, path: &[String]) -> usize {
        let headings = || {
            let all = self.statements.iter().enumerate();
            all.filter(|(_, s)| !matches!(s.what, What::Value(_)))
        };
        let shared = (1..path.len()).rev().find_map(|parts| {
            let family = |(_, s): &(usize, &Statement)| s.path.starts_with(&path[..parts]);
            headings().rfind(family)
        });
        match shared {
            Some((at, _)) => self.block_end(at),
            None => match self.statements.last() {
                Some(last) => self.lines.below(self.lines.end(last.span.end)),
                None => self.text.len(),
            },
        }
    }

    /// A key that is not there, in a table that may not be there.
    fn new_key(&self, path: &[String], value: &Value) -> Result<String, Refused> {
        let (parent, own) = path.split_at(path.len() - 1);
        let held = written::value(value, path)?;
        let line = |own: &[String]| format!("{} = {held}", written::keys(own));
        let heading = self
            .statements
            .iter()
            .position(|s| matches!(s.what, What::Heading) && s.path == parent);
        if let Some(at) = heading {
            let last = self.statements[at + 1..].iter();
            let last = last.take_while(|s| matches!(s.what, What::Value(_))).last();
            let indent = last.map_or("", |s| self.lines.indent(s.span.start));
            let end = self.last_key(at);
            return Ok(self.with_line(end, format!("{indent}{}", line(own))));
        }
        let dotted = |s: &&Statement| {
            matches!(s.what, What::Value(_)) && s.under < parent.len() && s.path.starts_with(parent)
        };
        if let Some(last) = self.statements.iter().rfind(dotted) {
            let indent = self.lines.indent(last.span.start);
            let end = self.lines.end(last.span.end);
            let own = line(&path[last.under..]);
            return Ok(self.with_line(end, format!("{indent}{own}")));
        }
        if parent.is_empty() {
            return Ok(self.new_root_key(line(own)));
        }
        let lines = vec![format!("[{}]", written::keys(parent)), line(own)];
        Ok(self.with_block(parent, lines))
    }

    fn with_line(&self, at: usize, line: String) -> String {
        self.spliced(vec![(at..at, self.lines.put_in(at, &[line]))])
    }

    /// A key of the file itself: after the others, else before the first heading.
    fn new_root_key(&self, line: String) -> String {
        let root = self.statements.iter();
        let root = root.take_while(|s| matches!(s.what, What::Value(_))).last();
        if let Some(last) = root {
            return self.with_line(self.lines.end(last.span.end), line);
        }
        let Some(first) = self.statements.first() else {
            return self.with_block(&[], vec![line]);
        };
        let at = self.lines.above(self.lines.start(first.span.start));
        let lines = [line, String::new()];
        self.spliced(vec![(at..at, self.lines.put_in(at, &lines))])
    }
}

/// The lines of a new table: its keys, then the tables in it under headings of their own.
fn block(
    path: &[String],
    entries: &Map<String, Value>,
    lines: &mut Vec<String>,
) -> Result<(), Refused> {
    let is_table = |held: &Value| held.is_object();
    let only_tables = !entries.is_empty() && entries.values().all(is_table);
    if !only_tables {
        lines.push(format!("[{}]", written::keys(path)));
    }
    let with = |name: &String| {
        path.iter()
            .cloned()
            .chain([name.clone()])
            .collect::<Vec<_>>()
    };
    for (name, held) in entries
        .iter()
        .filter(|(_, held)| !is_table(held) && !held.is_null())
    {
        let own = with(name);
        lines.push(format!(
            "{} = {}",
            written::key(name),
            written::value(held, &own)?
        ));
    }
    for (name, held) in entries {
        if let Value::Object(inner) = held {
            if !lines.is_empty() {
                lines.push(String::new());
            }
            block(&with(name), inner, lines)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn path(text: &str) -> Vec<String> {
        text.split('.').map(String::from).collect()
    }

    fn check(text: &str, at: &str, value: Value, wanted: &str) {
        let value = Some(&value).filter(|v| !v.is_null());
        assert_eq!(set(text, &path(at), value).as_deref(), Ok(wanted), "{at}");
    }

    fn refused(text: &str, at: &str, value: Value) -> String {
        let value = Some(&value).filter(|v| !v.is_null());
        set(text, &path(at), value).expect_err(at).message
    }

    #[test]
    fn a_value_changes_and_its_comment_stays() {
        let text = "# the file\n\n[casualty] # it\nmass  = \"2 t\"   # weighed\nname = 'x'\n";
        let wanted = "# the file\n\n[casualty] # it\nmass  = \"2.5 t\"   # weighed\nname = 'x'\n";
        check(text, "casualty.mass", "2.5 t".into(), wanted);
        check(text, "casualty.name", "x".into(), text);
        let crlf = text.replace('\n', "\r\n");
        check(
            &crlf,
            "casualty.mass",
            "2.5 t".into(),
            &wanted.replace('\n', "\r\n"),
        );
    }

    #[test]
    fn figures_of_a_list_by_their_place() {
        let text = "at = [\"0 m\", \"1 m\"] # here\n";
        check(
            text,
            "at.1",
            "2 m".into(),
            "at = [\"0 m\", \"2 m\"] # here\n",
        );
        check(
            text,
            "at.2",
            "3 m".into(),
            "at = [\"0 m\", \"1 m\", \"3 m\"] # here\n",
        );
        check(text, "at.0", Value::Null, "at = [\"1 m\"] # here\n");
        check(text, "at.1", Value::Null, "at = [\"0 m\"] # here\n");
        let long = "at = [\n  1, # one\n  2, # two\n]\n";
        check(
            long,
            "at.2",
            3.into(),
            "at = [\n  1, # one\n  2, # two\n  3,\n]\n",
        );
        check(
            long,
            "at.0",
            Value::Null,
            "at = [\n  # one\n  2, # two\n]\n",
        );
        assert!(refused(text, "at.3", 1.into()).contains("list of 2"));
        assert!(refused(text, "at.x", 1.into()).contains("no entry"));
    }

    #[test]
    fn keys_in_braces() {
        let text = "mass = { low = \"2 t\", high = \"3 t\" }\n";
        let wanted = "mass = { low = \"2 t\", high = \"4 t\" }\n";
        check(text, "mass.high", "4 t".into(), wanted);
        let more = "mass = { low = \"2 t\", high = \"3 t\", likely = \"2.5 t\" }\n";
        check(text, "mass.likely", "2.5 t".into(), more);
        check(more, "mass.likely", Value::Null, text);
        check("a = {}\n", "a.b.c", 1.into(), "a = { b = { c = 1 } }\n");
    }

    #[test]
    fn a_new_key_goes_below_the_others_and_a_new_table_to_its_kind() {
        let text = "title = \"x\"\n\n[line.a]\nmbs = \"9 t\" # m\n\n[rig]\nmethod = \"kinetic\"\n";
        check(
            text,
            "line.a.wll",
            "3 t".into(),
            "title = \"x\"\n\n[line.a]\nmbs = \"9 t\" # m\nwll = \"3 t\"\n\n[rig]\nmethod = \"kinetic\"\n",
        );
        check(
            text,
            "line.b.mbs",
            "3 t".into(),
            "title = \"x\"\n\n[line.a]\nmbs = \"9 t\" # m\n\n[line.b]\nmbs = \"3 t\"\n\n[rig]\nmethod = \"kinetic\"\n",
        );
        check(
            text,
            "place",
            "y".into(),
            "title = \"x\"\nplace = \"y\"\n\n[line.a]\nmbs = \"9 t\" # m\n\n[rig]\nmethod = \"kinetic\"\n",
        );
        let object = serde_json::json!({ "crew": 3, "more": { "a": [1, 2.5] } });
        check(
            "",
            "people",
            object,
            "[people]\ncrew = 3\n\n[people.more]\na = [1, 2.5]\n",
        );
    }

    #[test]
    fn a_table_goes_with_its_own_comments() {
        let text = "# file\n\n# of a\n[line.a]\nx = 1\n# end of a\n\n# of b\n[line.b]\ny = 1\n";
        check(
            text,
            "line.a",
            Value::Null,
            "# file\n\n# of b\n[line.b]\ny = 1\n",
        );
        check(text, "line", Value::Null, "# file\n");
        check("a.b = 1\nx = 2\na.c = 3\n", "a", Value::Null, "x = 2\n");
        check("[a]\nx = 1\n[b]\ny = 1", "b", Value::Null, "[a]\nx = 1");
    }

    #[test]
    fn what_cannot_be_is_refused_in_words() {
        assert!(refused("mass = 3\n", "mass.x", 1.into()).contains("single value"));
        assert!(refused("[[a]]\nx = 1\n", "a.x", 1.into()).contains("list of tables"));
        assert!(refused("", "a", serde_json::json!([null])).contains("null"));
        assert!(refused("", "a", u64::MAX.into()).contains("too large"));
    }
}
