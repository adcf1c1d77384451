//! Names of plans and test days: what can safely be a file name on any system, and nothing else.

/// Longest name.
const LONGEST: usize = 80;
/// Names that some systems keep for devices, whatever ending follows.
const RESERVED: [&str; 4] = ["con", "prn", "aux", "nul"];

/// A name that is one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Name(String);

impl Name {
    /// The name that `text` is, or why it is none.
    pub fn new(text: &str) -> Result<Self, &'static str> {
        let plain = |c: u8| c.is_ascii_lowercase() || c.is_ascii_digit();
        if text.is_empty() || text.len() > LONGEST {
            return Err("a name has 1 to 80 letters");
        }
        if !text.bytes().all(|c| plain(c) || c == b'-') {
            return Err("a name consists of lower-case letters, digits and hyphens");
        }
        if text.starts_with('-') {
            return Err("a name begins with a letter or a digit");
        }
        if is_reserved(text) {
            return Err("some systems keep this name for a device");
        }
        Ok(Self(text.into()))
    }

    /// A name made from a title; `otherwise` where nothing of it can be a name.
    pub fn from_title(title: &str, otherwise: &str) -> Self {
        let words = title.to_lowercase();
        let words = words.split(|c: char| !c.is_ascii_alphanumeric());
        let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
        let mut name = words.join("-");
        name.truncate(LONGEST);
        Self::new(name.trim_end_matches('-')).unwrap_or_else(|_| Self(otherwise.into()))
    }

    /// The same name with a number, from 2, as short as it has to be.
    pub fn numbered(&self, number: u32) -> Self {
        if number < 2 {
            return self.clone();
        }
        let ending = format!("-{number}");
        let room = LONGEST - ending.len();
        let stem = &self.0[..self.0.len().min(room)];
        Self(format!("{stem}{ending}"))
    }

    /// The name as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// Whether some systems keep a name, in lower case and without an ending, for a device.
pub fn is_reserved(text: &str) -> bool {
    let numbered = |kind: &str| {
        let rest = text.strip_prefix(kind);
        rest.is_some_and(|rest| matches!(rest.as_bytes(), [b'0'..=b'9']))
    };
    RESERVED.contains(&text) || numbered("com") || numbered("lpt")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_plain_name_is_refused() {
        let long = "a".repeat(81);
        let bad = [
            "",
            ".",
            "..",
            "../up",
            "a/b",
            "a\\b",
            "a.toml",
            "%2e",
            "a\0b",
            "A",
            "ä",
            "con",
            "nul",
            "com1",
            "lpt9",
            "-rf",
            " a",
            "a ",
            "a:b",
            "/etc/passwd",
            &long,
        ];
        for text in bad {
            assert!(Name::new(text).is_err(), "{text:?}");
        }
        let longest = "a".repeat(80);
        for text in [
            "a",
            "wombat-gully-2",
            "0",
            "com",
            "com10",
            "console",
            "removed",
            &longest,
        ] {
            assert_eq!(Name::new(text).expect(text).as_str(), text);
        }
    }

    #[test]
    fn titles_become_names() {
        for (title, name) in [
            ("Guard-deep in clay", "guard-deep-in-clay"),
            ("  Ünder the  bank! ", "nder-the-bank"),
            ("../../etc", "etc"),
            ("???", "plan"),
            ("CON", "plan"),
            ("", "plan"),
        ] {
            assert_eq!(Name::from_title(title, "plan").as_str(), name, "{title:?}");
        }
        let long = Name::from_title(&"very ".repeat(40), "plan");
        assert!(Name::new(long.as_str()).is_ok());
        let last = long.numbered(4_000_000_000);
        assert!(Name::new(last.as_str()).is_ok(), "{last:?}");
        assert!(last.as_str().ends_with("-4000000000"));
        assert_eq!(long.numbered(1), long);
    }
}
