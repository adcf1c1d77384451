//! Numbers as loggers write them, read exactly: to the nearest `f64`, as the standard library
//! reads them.

use crate::recipe::{Grouping, Notation};

/// Powers of ten that an `f64` holds exactly.
pub(crate) const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// Why a text is no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NoNumber {
    /// It is none.
    NotANumber,
    /// Larger than an `f64` holds.
    TooLarge,
}

/// The number that begins at `at`, and where it ends; none where it takes the slow way.
///
/// Digits that fit 2^53 and a power of ten up to 22 are both exact as `f64`, so their product or
/// quotient is rounded once and is the nearest (Clinger 1990, How to read floating point numbers
/// accurately; from memory).
#[inline]
pub(crate) fn quick(bytes: &[u8], at: usize, decimal: u8) -> Option<(f64, usize)> {
    match short(bytes, at, decimal) {
        Some((value, end)) if !matches!(bytes.get(end), Some(b'e' | b'E')) => Some((value, end)),
        _ => of_any_length(bytes, at, decimal),
    }
}

/// Digits, the decimal mark and digits in one word, as most cells are, with its sign; none where
/// it is otherwise, or where the text ends soon.
#[inline(always)]
fn short(bytes: &[u8], at: usize, decimal: u8) -> Option<(f64, usize)> {
    let text = bytes.get(at..)?.first_chunk::<10>()?;
    let negative = text[0] == b'-';
    let start = usize::from(negative);
    let over_nought = over_nought(text[start..].first_chunk::<8>()?);
    let others = no_digits(over_nought);
    let mark = (others.trailing_zeros() / 8) as usize;
    if mark == 0 || mark >= 7 || text[start + mark] != decimal {
        return None;
    }
    let end = match others & (others - 1) {
        0 if text[start + 8].is_ascii_digit() => return None,
        0 => 8,
        later => (later.trailing_zeros() / 8) as usize,
    };
    let fraction = end - mark - 1;
    if fraction == 0 {
        return None;
    }
    // Without the mark, and to the end of the word.
    let before = (1 << (8 * mark)) - 1;
    let digits = (over_nought & before) | ((over_nought >> 8) & !before);
    let size = eight_digits(digits << (72 - 8 * end)) as f64 / TENS[fraction];
    Some((if negative { -size } else { size }, at + start + end))
}

#[inline]
fn of_any_length(bytes: &[u8], at: usize, decimal: u8) -> Option<(f64, usize)> {
    let (negative, start) = sign(bytes, at);
    let (whole, mut end) = digits(bytes, start, 0);
    let (mut mantissa, mut count, mut fraction) = (whole, end - start, 0);
    if bytes.get(end) == Some(&decimal) {
        let from = end + 1;
        (mantissa, end) = digits(bytes, from, mantissa);
        fraction = end - from;
        count += fraction;
        // `5.` is a number, `5,` more likely a delimiter.
        if fraction == 0 && decimal == b',' {
            return None;
        }
    }
    if count == 0 {
        return None;
    }
    let mut power = -(fraction as i32);
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let (down, from) = sign(bytes, end + 1);
        let (exponent, to) = digits(bytes, from, 0);
        if to == from || to - from > 3 {
            return None;
        }
        power += if down {
            -(exponent as i32)
        } else {
            exponent as i32
        };
        end = to;
    }
    // More digits than `mantissa` holds have overflowed it.
    let size = match scaled(mantissa, power).filter(|_| count <= 19) {
        Some(size) => size,
        None if decimal == b'.' => return standard(bytes, at, end),
        None => return None,
    };
    Some((if negative { -size } else { size }, end))
}

fn scaled(mantissa: u64, power: i32) -> Option<f64> {
    if mantissa > 1 << 53 {
        return None;
    }
    let ten = *TENS.get(power.unsigned_abs() as usize)?;
    // Signed numbers are converted in one instruction.
    let mantissa = mantissa as i64 as f64;
    Some(if power < 0 {
        mantissa / ten
    } else {
        mantissa * ten
    })
}

fn standard(bytes: &[u8], at: usize, end: usize) -> Option<(f64, usize)> {
    let value: f64 = std::str::from_utf8(&bytes[at..end]).ok()?.parse().ok()?;
    value.is_finite().then_some((value, end))
}

#[inline]
fn sign(bytes: &[u8], at: usize) -> (bool, usize) {
    match bytes.get(at) {
        Some(b'-') => (true, at + 1),
        Some(b'+') => (false, at + 1),
        _ => (false, at),
    }
}

/// `value` with the digits from `at` on behind it, and where they end; eight at a time.
#[inline]
fn digits(bytes: &[u8], mut at: usize, mut value: u64) -> (u64, usize) {
    while let Some(eight) = bytes.get(at..).and_then(|rest| rest.first_chunk::<8>()) {
        let (count, digits) = leading_digits(*eight);
        value = value
            .wrapping_mul(WHOLE_TENS[count])
            .wrapping_add(u64::from(digits));
        at += count;
        if count < 8 {
            return (value, at);
        }
    }
    while let Some(digit) = bytes
        .get(at)
        .map(|b| b.wrapping_sub(b'0'))
        .filter(|d| *d < 10)
    {
        value = value.wrapping_mul(10).wrapping_add(u64::from(digit));
        at += 1;
    }
    (value, at)
}

/// Powers of ten up to eight digits.
const WHOLE_TENS: [u64; 9] = [
    1,
    10,
    100,
    1000,
    10_000,
    100_000,
    1_000_000,
    10_000_000,
    100_000_000,
];

/// How many digits stand before anything else, and their number.
#[inline]
fn leading_digits(eight: [u8; 8]) -> (usize, u32) {
    let over_nought = over_nought(&eight);
    let count = (no_digits(over_nought).trailing_zeros() / 8) as usize;
    match count {
        0 => (0, 0),
        _ => (count, eight_digits(over_nought << (64 - 8 * count))),
    }
}

/// Eight bytes as one word, the first lowest, each as what makes it of `0`: digits as they count.
#[inline(always)]
fn over_nought(eight: &[u8; 8]) -> u64 {
    u64::from_le_bytes(*eight) ^ 0x3030_3030_3030_3030
}

/// The highest bit of each byte that is no digit: of all others 0x76 more stays under 0x80.
#[inline(always)]
fn no_digits(over_nought: u64) -> u64 {
    let low = (over_nought & 0x7f7f_7f7f_7f7f_7f7f) + 0x7676_7676_7676_7676;
    (low | over_nought) & 0x8080_8080_8080_8080
}

/// The number of eight digits, the first lowest: pairs of them, fours, all.
#[inline(always)]
fn eight_digits(ones: u64) -> u32 {
    let pairs = (ones.wrapping_mul(10) + (ones >> 8)) & 0x00ff_00ff_00ff_00ff;
    let fours = (pairs.wrapping_mul(100) + (pairs >> 16)) & 0x0000_ffff_0000_ffff;
    (fours.wrapping_mul(10_000) + (fours >> 32)) as u32
}

impl Notation {
    /// The number a whole cell holds; spaces around it do not count.
    pub(crate) fn read(self, cell: &str) -> Result<f64, NoNumber> {
        let cell = cell.trim();
        let decimal = char::from(self.decimal.byte());
        let mut plain = String::with_capacity(cell.len());
        let (body, tail) = split_exponent(cell);
        let (whole, fraction) = match body.split_once(decimal) {
            Some((whole, fraction)) => (whole, Some(fraction)),
            None => (body, None),
        };
        self.whole(whole, &mut plain)?;
        if let Some(fraction) = fraction {
            if fraction.is_empty() && decimal == ',' {
                return Err(NoNumber::NotANumber);
            }
            plain.push('.');
            plain.push_str(fraction);
        }
        plain.push_str(tail);
        let plain = plain.replace('\u{2212}', "-");
        if !plain
            .bytes()
            .all(|b| b.is_ascii_digit() || b"+-.eE".contains(&b))
        {
            return Err(NoNumber::NotANumber);
        }
        match plain.parse::<f64>() {
            Ok(value) if value.is_finite() => Ok(value),
            Ok(_) => Err(NoNumber::TooLarge),
            Err(_) => Err(NoNumber::NotANumber),
        }
    }

    /// Writes the digits before the fraction without their groups, which must be of three.
    fn whole(self, whole: &str, plain: &mut String) -> Result<(), NoNumber> {
        if self.grouping == Grouping::None || !whole.contains(|c| self.grouping.is(c)) {
            plain.push_str(whole);
            return Ok(());
        }
        let unsigned = whole.trim_start_matches(['+', '-', '\u{2212}']);
        let mut groups = unsigned.split(|c| self.grouping.is(c));
        let first = groups.next().unwrap_or("");
        let first_is_right = (1..=3).contains(&first.len()) && !first.starts_with('0');
        if !first_is_right || !groups.all(|g| g.len() == 3 && g.bytes().all(|b| b.is_ascii_digit()))
        {
            return Err(NoNumber::NotANumber);
        }
        plain.extend(whole.chars().filter(|c| !self.grouping.is(*c)));
        Ok(())
    }
}

fn split_exponent(cell: &str) -> (&str, &str) {
    cell.find(['e', 'E'])
        .map_or((cell, ""), |at| cell.split_at(at))
}

/// Words that loggers and spreadsheets write for no value.
pub(crate) fn means_no_value(cell: &str) -> bool {
    let cell = cell.trim().to_ascii_lowercase();
    matches!(
        cell.as_str(),
        "nan"
            | "na"
            | "n/a"
            | "#n/a"
            | "null"
            | "none"
            | "nil"
            | "-"
            | "--"
            | "---"
            | "-nan"
            | "+nan"
            | "#num!"
            | "missing"
            | "error"
    )
}

/// Words that loggers write for a value beyond their range.
pub(crate) fn means_overload(cell: &str) -> bool {
    let cell = cell.trim().to_ascii_lowercase();
    let cell = cell.trim_start_matches(['+', '-']);
    matches!(
        cell,
        "ol" | "o.l"
            | "ovl"
            | "over"
            | "overload"
            | "overflow"
            | "overrange"
            | "over range"
            | "inf"
            | "infinity"
            | "sat"
            | "clip"
    )
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::recipe::Decimal;

    const PLAIN: Notation = Notation {
        decimal: Decimal::Dot,
        grouping: Grouping::None,
    };

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 4096, ..ProptestConfig::default() })]

        #[test]
        fn quick_is_exact(text in "[+-]?[0-9]{0,21}(\\.[0-9]{0,21})?([eE][+-]?[0-9]{1,4})?") {
            // At the end of a text, and with more behind it.
            let longer = format!("{text},0123456789");
            let found = quick(text.as_bytes(), 0, b'.');
            prop_assert_eq!(quick(longer.as_bytes(), 0, b'.'), found);
            if let Some((value, end)) = found {
                prop_assert_eq!(value.to_bits(), text[..end].parse::<f64>().unwrap().to_bits());
            }
        }

        #[test]
        fn any_float_reads_back(bits: u64) {
            let value = f64::from_bits(bits);
            prop_assume!(value.is_finite());
            prop_assert_eq!(PLAIN.read(&format!("{value}")).unwrap().to_bits(), bits);
            prop_assert_eq!(PLAIN.read(&format!("{value:e}")).unwrap().to_bits(), bits);
        }

        #[test]
        fn any_text_is_a_number_or_not(text: String) {
            if let Ok(value) = PLAIN.read(&text) {
                prop_assert!(value.is_finite());
            }
        }
    }

    #[test]
    fn groups_are_of_three() {
        let german = Notation {
            decimal: Decimal::Comma,
            grouping: Grouping::Dot,
        };
        assert_eq!(german.read("-1.234.567,5"), Ok(-1_234_567.5));
        assert_eq!(german.read("1.5"), Err(NoNumber::NotANumber));
        assert_eq!(german.read("0.123"), Err(NoNumber::NotANumber));
        assert_eq!(german.read("1234,5"), Ok(1234.5));
        let spaced = Notation {
            decimal: Decimal::Dot,
            grouping: Grouping::Space,
        };
        assert_eq!(spaced.read("12\u{a0}345.5"), Ok(12_345.5));
        assert_eq!(PLAIN.read("\u{2212}2"), Ok(-2.0));
        assert_eq!(PLAIN.read("0x1F"), Err(NoNumber::NotANumber));
        assert_eq!(PLAIN.read("1e999"), Err(NoNumber::TooLarge));
        assert_eq!(PLAIN.read("inf"), Err(NoNumber::NotANumber));
    }
}
