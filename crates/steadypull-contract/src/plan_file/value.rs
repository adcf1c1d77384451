//! What a key can hold, and why a value does not read.

use toml::de::DeValue;

use super::line_files;
use super::listing::FieldShape;
use super::number::Number;
use super::quantity::{expected, number, quantity, short};
use super::unit_table::Quantity;
use crate::operation::FieldKind;

/// Why a value does not read; the message goes on from the key's name.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fault {
    pub message: String,
    pub expected: Option<String>,
    pub hint: Option<String>,
}

impl Fault {
    pub fn new(message: String) -> Self {
        Self {
            message,
            expected: None,
            hint: None,
        }
    }

    pub fn expecting(self, expected: impl Into<String>) -> Self {
        Self {
            expected: Some(expected.into()),
            ..self
        }
    }

    pub fn hinting(self, hint: impl Into<String>) -> Self {
        Self {
            hint: Some(hint.into()),
            ..self
        }
    }

    /// A value of the wrong sort.
    pub fn sort_of(value: &DeValue, expected: impl Into<String>) -> Self {
        Self::new(format!("is {}", sort(value))).expecting(expected)
    }
}

/// The sort of a value, with its article.
pub(super) fn sort(value: &DeValue) -> &'static str {
    match value {
        DeValue::String(_) => "a text in quotes",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// Something a key can hold.
pub(super) trait Value: Sized {
    /// How a form asks for it.
    fn shape() -> FieldShape;
    /// How it varies, if it is a number.
    const NUMBER: Option<Number<Self>> = None;
    /// What is expected, with an example.
    fn expected() -> String;
    /// The value written in `text`, without quotes: the form of a default.
    fn from_text(text: &str) -> Result<Self, Fault>;
    /// The value in the file.
    fn from_toml(value: &DeValue) -> Result<Self, Fault> {
        match value {
            DeValue::String(text) => Self::from_text(text),
            other => Err(Fault::sort_of(other, Self::expected())),
        }
    }
}

impl<Q: Quantity> Value for Q {
    const NUMBER: Option<Number<Self>> = Some(Number {
        what: Q::WHAT,
        unit: Q::SI,
        whole: false,
        size: |quantity| quantity.si(),
        of: |size| Some(Q::from_si(size)),
    });

    fn shape() -> FieldShape {
        FieldShape {
            units: Q::UNITS.iter().map(|unit| unit.spellings[0]).collect(),
            ..FieldShape::of(FieldKind::Quantity)
        }
    }

    fn expected() -> String {
        expected::<Q>()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        quantity(text)
    }

    fn from_toml(value: &DeValue) -> Result<Self, Fault> {
        let bare = match value {
            DeValue::String(text) => return quantity(text),
            DeValue::Integer(n) if n.radix() == 10 => n.as_str(),
            DeValue::Float(n) => n.as_str(),
            other => return Err(Fault::sort_of(other, expected::<Q>())),
        };
        let hint = format!(
            "write the unit, in quotes, such as {}",
            Q::with_unit(&short(bare))
        );
        let fault = Fault::new("is a bare number, without a unit".into());
        Err(fault.expecting(expected::<Q>()).hinting(hint))
    }
}

impl Value for f64 {
    const NUMBER: Option<Number<Self>> = Some(Number {
        what: "a plain number",
        unit: "",
        whole: false,
        size: |number| *number,
        of: Some,
    });

    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Number)
    }

    fn expected() -> String {
        "a number without a unit".into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        number(text).map_err(|f| f.expecting(Self::expected()))
    }

    fn from_toml(value: &DeValue) -> Result<Self, Fault> {
        let text = match value {
            DeValue::Float(n) => n.as_str(),
            DeValue::Integer(n) if n.radix() == 10 => n.as_str(),
            other => return Err(Fault::sort_of(other, Self::expected())),
        };
        match text.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(number),
            _ => Err(Fault::new(format!("is no finite number: {}", short(text)))
                .expecting(Self::expected())),
        }
    }
}

/// The whole number of this size, if it is one.
fn whole(size: f64) -> Option<u64> {
    let most = u64::from(u32::MAX);
    let found = size.clamp(0.0, most as f64) as u64;
    (found as f64 == size).then_some(found)
}

impl Value for u64 {
    const NUMBER: Option<Number<Self>> = Some(Number {
        what: "a whole number",
        unit: "",
        whole: true,
        size: |number| *number as f64,
        of: whole,
    });

    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Count)
    }

    fn expected() -> String {
        "a whole number".into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        let fault = || Fault::new(format!("is no whole number from 0 up: {}", short(text)));
        text.parse()
            .map_err(|_| fault().expecting(Self::expected()))
    }

    fn from_toml(value: &DeValue) -> Result<Self, Fault> {
        match value {
            DeValue::Integer(n) if n.radix() == 10 => Self::from_text(n.as_str()),
            DeValue::Float(n) => Self::from_text(n.as_str()),
            other => Err(Fault::sort_of(other, Self::expected())),
        }
    }
}

/// A whole number that the engine holds in a smaller type.
macro_rules! small_whole {
    ($($name:ident)+) => { $(
        impl Value for $name {
            const NUMBER: Option<Number<Self>> = Some(Number {
                what: "a whole number",
                unit: "",
                whole: true,
                size: |number| f64::from(*number),
                of: |size| whole(size)?.try_into().ok(),
            });

            fn shape() -> FieldShape { u64::shape() }
            fn expected() -> String { u64::expected() }
            fn from_text(text: &str) -> Result<Self, Fault> {
                let fault = || Fault::new("is far too large".into()).expecting(Self::expected());
                u64::from_text(text)?.try_into().map_err(|_| fault())
            }
            fn from_toml(value: &DeValue) -> Result<Self, Fault> {
                let fault = || Fault::new("is far too large".into()).expecting(Self::expected());
                u64::from_toml(value)?.try_into().map_err(|_| fault())
            }
        }
    )+ };
}
small_whole!(u8 u32);

impl Value for bool {
    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Flag)
    }

    fn expected() -> String {
        "true or false, without quotes".into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        let fault = || Fault::new("is neither true nor false".into());
        text.parse()
            .map_err(|_| fault().expecting(Self::expected()))
    }

    fn from_toml(value: &DeValue) -> Result<Self, Fault> {
        let yes_or_no = |text: &str| match text.to_lowercase().as_str() {
            "yes" | "true" => Some("true"),
            "no" | "false" => Some("false"),
            _ => None,
        };
        let fault = Fault::sort_of(value, Self::expected());
        match value {
            DeValue::Boolean(said) => Ok(*said),
            DeValue::String(text) => Err(match yes_or_no(text) {
                Some(meant) => fault.hinting(format!("write {meant} without quotes")),
                None => fault,
            }),
            _ => Err(fault),
        }
    }
}

/// A line of free text.
pub(super) struct Text(pub String);

impl Text {
    const LONGEST: usize = 120;
}

impl Value for Text {
    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Text)
    }

    fn expected() -> String {
        format!(
            "a line of text in quotes, at most {} characters",
            Self::LONGEST
        )
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        let text = printed_line(text, Self::LONGEST);
        text.map(Self)
            .map_err(|fault| fault.expecting(Self::expected()))
    }
}

/// A text on one line that prints, at most so many characters long.
fn printed_line(text: &str, longest: usize) -> Result<String, Fault> {
    let text = text.trim();
    let message = if text.is_empty() {
        "is empty"
    } else if text.chars().count() > longest {
        "is too long"
    } else if text != super::report::printable(text) {
        "holds a tab, line break or other character that does not print"
    } else {
        return Ok(text.into());
    };
    Err(Fault::new(message.into()))
}

/// A sentence or two.
pub(super) struct Sentence(pub String);

impl Sentence {
    const LONGEST: usize = 600;
}

impl Value for Sentence {
    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Text)
    }

    fn expected() -> String {
        format!("a text in quotes, at most {} characters", Self::LONGEST)
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        let text = printed_line(text, Self::LONGEST);
        text.map(Self)
            .map_err(|fault| fault.expecting(Self::expected()))
    }
}

/// The name of a line file.
pub(super) struct LineFileName(pub String);

impl Value for LineFileName {
    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Text)
    }

    fn expected() -> String {
        line_files::NAMED.into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        if line_files::is_line_file(text) {
            return Ok(Self(text.into()));
        }
        let fault = Fault::new(format!("is no name of a line file: \"{}\"", short(text)));
        Err(fault.expecting(Self::expected()))
    }
}

/// What a rig names: a part of the kit, a recovery point, an anchor, the winch.
pub(super) struct Named(pub String);

impl Value for Named {
    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Part)
    }

    fn expected() -> String {
        Text::expected()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        Text::from_text(text).map(|text| Self(text.0))
    }
}

/// The name of a part or a recovery point.
pub(super) struct Name(pub String);

impl Name {
    const LONGEST: usize = 40;
    /// Words that mean something else in a path.
    const TAKEN: [&'static str; 3] = ["casualty", "tug", "winch"];
}

impl Value for Name {
    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Part)
    }

    fn expected() -> String {
        "a name of letters, digits, - and _, at most 40 characters".into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
        let message = if Self::TAKEN.contains(&text) {
            format!("\"{text}\" has a meaning of its own in a rig's path")
        } else if text.is_empty() || text.len() > Self::LONGEST || !text.chars().all(plain) {
            format!("\"{}\" cannot be a name", short(text))
        } else {
            return Ok(Self(text.into()));
        };
        Err(Fault::new(message).expecting(Self::expected()))
    }
}

/// The place of a damper: a share of the line, or a word.
pub(super) struct DamperPlace(pub f64);

impl DamperPlace {
    const WORDS: [&'static str; 3] = ["casualty end", "middle", "tug end"];
}

impl Value for DamperPlace {
    const NUMBER: Option<Number<Self>> = Some(Number {
        what: "a share of the line from the casualty",
        unit: "",
        whole: false,
        size: |place| place.0,
        of: |size| (0.0..=1.0).contains(&size).then_some(Self(size)),
    });

    fn shape() -> FieldShape {
        FieldShape {
            words: Self::WORDS.to_vec(),
            ..super::unit_table::Share::shape()
        }
    }

    fn expected() -> String {
        "\"casualty end\", \"middle\", \"tug end\", or a share of the line from the casualty, \
         \"0 %\" to \"100 %\""
            .into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        let share = match text.trim() {
            "casualty end" => 0.0,
            "middle" => 0.5,
            "tug end" => 1.0,
            other => match quantity::<super::unit_table::Share>(other) {
                Ok(share) => share.0,
                Err(fault) => {
                    let is_word = other.starts_with(char::is_alphabetic);
                    let fault = if is_word {
                        Fault::new(format!("is no place on the line: \"{}\"", short(other)))
                    } else {
                        fault
                    };
                    let meant = super::spelling::nearest(other, Self::WORDS);
                    let hint = meant.map(|m| format!("did you mean \"{m}\"?"));
                    return Err(Fault { hint, ..fault }.expecting(Self::expected()));
                }
            },
        };
        let fault = || Fault::new("is off the line".into()).expecting(Self::expected());
        if (0.0..=1.0).contains(&share) {
            Ok(Self(share))
        } else {
            Err(fault())
        }
    }
}
