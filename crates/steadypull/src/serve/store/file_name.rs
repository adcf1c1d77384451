//! Names of files in a test day: one part of a path that means the same on any system.

use super::name::is_reserved;

/// Longest name.
const LONGEST: usize = 100;
/// The test file, which is changed by other addresses.
pub const TESTS: &str = "tests.toml";
/// Where removed files go, within the day.
pub const REMOVED: &str = "removed";

/// A name that is one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileName(String);

impl FileName {
    /// The name that `text` is, or why it is none.
    pub fn new(text: &str) -> Result<Self, &'static str> {
        let plain = |c: u8| c.is_ascii_alphanumeric() || matches!(c, b'.' | b'-' | b'_' | b' ');
        if text.is_empty() || text.len() > LONGEST {
            return Err("a name has 1 to 100 letters");
        }
        if !text.bytes().all(plain) {
            return Err("a name consists of the letters a to z, digits, `.`, `-`, `_` and spaces");
        }
        if text.starts_with(['.', ' ', '-']) {
            return Err("a name begins with a letter, a digit or `_`");
        }
        if text.ends_with(['.', ' ']) {
            return Err("a name ends with no dot and no space");
        }
        let lower = text.to_ascii_lowercase();
        let device = lower.split('.').next().unwrap_or_default().trim_end();
        if is_reserved(device) {
            return Err("some systems keep this name for a device");
        }
        if lower == TESTS || lower == REMOVED {
            return Err("this name is kept for the test day itself");
        }
        Ok(Self(text.into()))
    }

    /// The name as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The name without its last ending, and the ending with its dot.
    pub fn parts(&self) -> (&str, &str) {
        let at = self.0.rfind('.').filter(|at| *at > 0);
        self.0.split_at(at.unwrap_or(self.0.len()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_leads_elsewhere_or_means_something_else_is_no_name() {
        let long = "a".repeat(101);
        for text in [
            "",
            ".",
            "..",
            "../up.csv",
            "..\\up.csv",
            "/etc/passwd",
            "a/b.csv",
            "a\\b.csv",
            "C:a.csv",
            "a\0.csv",
            "a\n.csv",
            ".lock",
            ".a.1-2.part",
            " a.csv",
            "-rf",
            "a.csv ",
            "a.",
            "gr\u{f6}\u{df}e.csv",
            "a\u{202e}vsc.exe",
            "con",
            "NUL.csv",
            "com1.tar.gz",
            "aux .csv",
            "tests.toml",
            "Tests.TOML",
            "removed",
            "a*b",
            "a?b",
            &long,
        ] {
            assert!(FileName::new(text).is_err(), "{text:?}");
        }
        let longest = "a".repeat(100);
        for text in [
            "dry-1.csv",
            "Run 12 (wet".trim_end_matches(" (wet"),
            "LOG_0001.TXT",
            "a..b",
            "0",
            "console.csv",
            "tests.toml.csv",
            &longest,
        ] {
            assert_eq!(FileName::new(text).expect(text).as_str(), text);
        }
    }

    #[test]
    fn an_ending_is_the_last_one() {
        for (name, parts) in [("a.tar.gz", ("a.tar", ".gz")), ("plain", ("plain", ""))] {
            assert_eq!(FileName::new(name).expect(name).parts(), parts);
        }
    }
}
