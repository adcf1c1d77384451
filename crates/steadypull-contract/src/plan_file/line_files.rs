//! The one seam to line files: a plan names them, whoever holds files hands their texts in.

use std::collections::BTreeMap;

use toml::de::{DeTable, DeValue};

/// Ending of a line file's name.
pub const LINE_FILE_ENDING: &str = ".line.toml";
/// Longest line file that is read, bytes.
pub const LONGEST_LINE_FILE: usize = 1 << 18;
/// Longest name before the ending, bytes.
const LONGEST_NAME: usize = 80;
/// Tables of a plan that hold lines by name.
const TABLES: [&str; 2] = ["line", "bridle"];

/// How the name of a line file is written.
pub(super) const NAMED: &str = "a file beside the plan whose name is lower-case letters, digits and hyphens, \
     then .line.toml, such as \"snatch-9m.line.toml\"";

/// Texts of line files, by the names that plans give them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LineFiles(BTreeMap<String, Result<String, String>>);

static NONE: LineFiles = LineFiles(BTreeMap::new());

impl LineFiles {
    /// Those that the plan in `text` names. `fetch` is asked for plain names alone, which
    /// lead into no other folder; it gives a text, or why there is none in words that go on
    /// from the name.
    pub fn fetched(text: &str, mut fetch: impl FnMut(&str) -> Result<String, String>) -> Self {
        let fetched = |name: String| {
            let text = fetch(&name);
            (name, text)
        };
        Self(line_files_named(text).into_iter().map(fetched).collect())
    }

    /// Each with its name.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Result<String, String>)> {
        self.0.iter().map(|(name, text)| (&name[..], text))
    }
}

impl From<&BTreeMap<String, String>> for LineFiles {
    fn from(texts: &BTreeMap<String, String>) -> Self {
        let held = |(name, text): (&String, &String)| (name.clone(), Ok(text.clone()));
        Self(texts.iter().map(held).collect())
    }
}

/// A plan file's text, with the line files that it names.
#[derive(Debug, Clone, Copy)]
pub struct PlanText<'t> {
    /// The plan file.
    pub text: &'t str,
    /// The line files.
    pub lines: &'t LineFiles,
}

impl<'t> From<&'t str> for PlanText<'t> {
    fn from(text: &'t str) -> Self {
        Self { text, lines: &NONE }
    }
}

impl<'t> From<&&'t str> for PlanText<'t> {
    fn from(text: &&'t str) -> Self {
        (*text).into()
    }
}

impl<'t> From<&'t String> for PlanText<'t> {
    fn from(text: &'t String) -> Self {
        (&text[..]).into()
    }
}

impl<'t> From<(&'t str, &'t LineFiles)> for PlanText<'t> {
    fn from((text, lines): (&'t str, &'t LineFiles)) -> Self {
        Self { text, lines }
    }
}

/// Names of line files in a plan's text, each once; what is no such name is left out.
pub fn line_files_named(text: &str) -> Vec<String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (tree, _) = DeTable::parse_recoverable(text);
    let tables = TABLES.iter().filter_map(|key| tree.get_ref().get(*key));
    let tables = tables.filter_map(|group| group.get_ref().as_table());
    let lines = tables.flat_map(|group| group.values());
    let named = lines.filter_map(|line| match line.get_ref().get("file")?.get_ref() {
        DeValue::String(name) if is_line_file(name) => Some(name.to_string()),
        _ => None,
    });
    let mut names: Vec<String> = named.collect();
    names.sort();
    names.dedup();
    names
}

/// Whether `name` is a plain name of a line file: the same on every system, and in no other
/// folder.
pub fn is_line_file(name: &str) -> bool {
    let plain = |c: u8| c.is_ascii_lowercase() || c.is_ascii_digit() || c == b'-';
    name.strip_suffix(LINE_FILE_ENDING).is_some_and(|stem| {
        !stem.starts_with('-')
            && (1..=LONGEST_NAME).contains(&stem.len())
            && stem.bytes().all(plain)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_plain_names_are_fetched() {
        let text = "[line.a]\nfile = \"snatch-9m.line.toml\"\n[line.b]\nfile = \"../up.line.toml\"\n\
                    [bridle.c]\nfile = \"b.line.toml\"\n[line.d]\nfile = 3\n[line.e]\nfile = \"plan.toml\"\n\
                    [line.f]\nfile = \"snatch-9m.line.toml\"\n";
        assert_eq!(
            line_files_named(text),
            ["b.line.toml", "snatch-9m.line.toml"]
        );
        for bad in [
            "",
            ".line.toml",
            "/etc/a.line.toml",
            "a/b.line.toml",
            "a\\b.line.toml",
            "-a.line.toml",
            "A.line.toml",
            "a..line.toml",
            "a.line.toml\0",
            "c:a.line.toml",
        ] {
            assert!(!is_line_file(bad), "{bad:?}");
        }
        assert_eq!(line_files_named("line = 3\nbridle = [1]"), [""; 0]);
    }
}
