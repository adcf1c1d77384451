//! How bytes become letters.

use crate::mistake::{Kind, Mistakes, Place};
use crate::recipe::Encoding;

use super::{Choice, Sure};

const KEY: &str = "layout.encoding";

/// The encoding of a text, or that it is none.
pub(super) fn guess(bytes: &[u8]) -> Result<(Encoding, Choice), Mistakes> {
    let by_mark = |encoding, name| {
        (
            encoding,
            Choice::new(
                KEY,
                name,
                Sure::Certain,
                "it begins with its byte order mark",
            ),
        )
    };
    if bytes.starts_with(b"\xef\xbb\xbf") {
        return Ok(by_mark(Encoding::Utf8, "utf-8"));
    }
    if bytes.starts_with(b"\xff\xfe") {
        return Ok(by_mark(Encoding::Utf16Le, "utf-16le"));
    }
    if bytes.starts_with(b"\xfe\xff") {
        return Ok(by_mark(Encoding::Utf16Be, "utf-16be"));
    }
    let head = &bytes[..bytes.len().min(1 << 16)];
    if let Some((encoding, name)) = by_zeros(head) {
        return Ok((
            encoding,
            Choice::new(KEY, name, Sure::Likely, "every other byte is zero"),
        ));
    }
    if is_binary(head) {
        return Err(Mistakes::one(Kind::Binary, Place::File, ""));
    }
    Ok(by_letters(bytes))
}

fn by_zeros(head: &[u8]) -> Option<(Encoding, &'static str)> {
    let (pairs, _) = head.as_chunks::<2>();
    let high = pairs.iter().filter(|p| p[0] == 0).count();
    let low = pairs.iter().filter(|p| p[1] == 0).count();
    let most = pairs.len() * 9 / 10;
    match (low > most, high > most) {
        (true, false) if high == 0 => Some((Encoding::Utf16Le, "utf-16le")),
        (false, true) if low == 0 => Some((Encoding::Utf16Be, "utf-16be")),
        _ => None,
    }
}

/// Zeros, or more than one control character in a hundred.
fn is_binary(head: &[u8]) -> bool {
    let is_control = |b: &&u8| **b < 0x20 && !b"\t\n\r\x0c\x1a".contains(b);
    head.contains(&0) || head.iter().filter(is_control).count() * 100 > head.len()
}

fn by_letters(bytes: &[u8]) -> (Encoding, Choice) {
    match std::str::from_utf8(bytes) {
        Ok(_) if bytes.is_ascii() => (
            Encoding::Utf8,
            Choice::new(KEY, "utf-8", Sure::Certain, "it is plain ASCII"),
        ),
        Ok(_) => (
            Encoding::Utf8,
            Choice::new(
                KEY,
                "utf-8",
                Sure::Certain,
                "its letters beyond ASCII are valid UTF-8",
            ),
        ),
        Err(e) => {
            let at = e.valid_up_to();
            let why = format!("byte {} (0x{:02x}) is no UTF-8", at + 1, bytes[at]);
            let choice = Choice::new(KEY, "latin-1", Sure::Likely, why);
            (
                Encoding::Latin1,
                choice.or("utf-8", "if single bytes of the file are damaged"),
            )
        }
    }
}
