//! Records of an old workbook and what stands in them (BIFF8).

/// Most shared strings; one takes three bytes of the file and two dozen of memory.
const MOST_STRINGS: usize = 1 << 20;

/// Records one after the other, up to the end or one that is cut off: its kind and its bytes.
pub(super) struct Records<'a> {
    rest: &'a [u8],
}

impl<'a> Records<'a> {
    pub fn of(stream: &'a [u8], at: usize) -> Self {
        Self {
            rest: stream.get(at..).unwrap_or(&[]),
        }
    }
}

impl<'a> Iterator for Records<'a> {
    type Item = (u16, &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        let (kind, length) = (u16_at(self.rest, 0)?, u16_at(self.rest, 2)?);
        let (data, rest) = self.rest[4..].split_at_checked(usize::from(length))?;
        self.rest = rest;
        Some((kind, data))
    }
}

/// A record and those that go on with it.
pub(super) struct Pieces<'a> {
    now: &'a [u8],
    later: &'a [&'a [u8]],
}

impl<'a> Pieces<'a> {
    pub fn of(pieces: &'a [&'a [u8]]) -> Self {
        let (now, later) = pieces
            .split_first()
            .map_or((&[][..], pieces), |p| (*p.0, p.1));
        Self { now, later }
    }

    /// Whether the next piece was begun.
    fn turn(&mut self) -> bool {
        let Some((now, later)) = self.later.split_first() else {
            return false;
        };
        (self.now, self.later) = (now, later);
        true
    }

    fn byte(&mut self) -> Option<u8> {
        while self.now.is_empty() {
            self.turn().then_some(())?;
        }
        let (byte, rest) = self.now.split_first()?;
        self.now = rest;
        Some(*byte)
    }

    fn number(&mut self, bytes: u32) -> Option<usize> {
        (0..bytes).try_fold(0, |sum, at| {
            Some(sum | usize::from(self.byte()?) << (8 * at))
        })
    }

    fn skip(&mut self, mut count: usize) -> Option<()> {
        while count > self.now.len() {
            count -= self.now.len();
            self.turn().then_some(())?;
        }
        self.now = &self.now[count..];
        Some(())
    }

    /// So many letters, of one byte or of two each; a piece that goes on within them says anew
    /// which.
    fn letters(&mut self, mut count: usize, mut is_wide: bool) -> Option<String> {
        let mut found = Vec::new();
        while count > 0 {
            if self.now.is_empty() {
                self.turn().then_some(())?;
                is_wide = self.byte()? & 1 == 1;
            }
            let width = if is_wide { 2 } else { 1 };
            let here = count.min(self.now.len() / width);
            if here == 0 {
                return None;
            }
            let (letters, rest) = self.now.split_at(here * width);
            let letter = |l: &[u8]| u16_at(l, 0).unwrap_or_else(|| u16::from(l[0]));
            found.extend(letters.chunks_exact(width).map(letter));
            (self.now, count) = (rest, count - here);
        }
        Some(String::from_utf16_lossy(&found))
    }

    /// A text with its length and the width of its letters before it.
    pub fn text(&mut self) -> Option<String> {
        let count = self.number(2)?;
        let is_wide = self.byte()? & 1 == 1;
        self.letters(count, is_wide)
    }

    /// The strings that cells share; each may have its look and its phonetics behind it.
    pub fn shared(&mut self) -> Option<Vec<String>> {
        self.skip(4)?;
        let claimed = self.number(4)?;
        let mut strings = Vec::new();
        while strings.len() < claimed.min(MOST_STRINGS) {
            let count = self.number(2)?;
            let flags = self.byte()?;
            let runs = if flags & 8 == 0 { 0 } else { self.number(2)? };
            let more = if flags & 4 == 0 { 0 } else { self.number(4)? };
            strings.push(self.letters(count, flags & 1 == 1)?);
            self.skip(4 * runs + more)?;
        }
        Some(strings)
    }
}

pub(super) fn u16_at(data: &[u8], at: usize) -> Option<u16> {
    let bytes = data.get(at..)?.first_chunk()?;
    Some(u16::from_le_bytes(*bytes))
}

pub(super) fn u32_at(data: &[u8], at: usize) -> Option<u32> {
    let bytes = data.get(at..)?.first_chunk()?;
    Some(u32::from_le_bytes(*bytes))
}

pub(super) fn f64_at(data: &[u8], at: usize) -> Option<f64> {
    let bytes = data.get(at..)?.first_chunk()?;
    Some(f64::from_le_bytes(*bytes))
}

/// A number in four bytes: whole, or the upper half of a double; a hundredth of it where the
/// last bit says so.
pub(super) fn rk(packed: u32) -> f64 {
    let value = match packed & 2 {
        0 => f64::from_bits(u64::from(packed & !3) << 32),
        _ => f64::from(packed as i32 >> 2),
    };
    if packed & 1 == 1 {
        value / 100.0
    } else {
        value
    }
}

/// The name of a sheet of cells and where its records begin; none for a chart or a macro.
pub(super) fn sheet(data: &[u8]) -> Option<Option<(String, usize)>> {
    let at = u32_at(data, 0)? as usize;
    let is_wide = data.get(7)? & 1 == 1;
    let name = Pieces::of(&[&data[8..]]).letters(usize::from(data[6]), is_wide)?;
    Some((data[5] == 0).then_some((name, at)))
}

/// A number format: its number, and whether it shows a date or a time.
pub(super) fn format(data: &[u8]) -> Option<(u16, bool)> {
    let letters = Pieces::of(&[data.get(2..)?]).text()?;
    Some((u16_at(data, 0)?, shows_date(&letters)))
}

/// Whether letters of dates and times stand in a format, beside its quoted words, its letters set
/// apart and its colours.
fn shows_date(format: &str) -> bool {
    let mut letters = format.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '"' => drop(letters.by_ref().find(|l| *l == '"')),
            '\\' | '_' | '*' => drop(letters.next()),
            '[' => {
                let within: String = letters.by_ref().take_while(|l| *l != ']').collect();
                // A time that goes on past its day: [h], [mm], [ss].
                if !within.is_empty() && within.chars().all(|l| "hHmMsS".contains(l)) {
                    return true;
                }
            }
            'G' if letters.as_str().starts_with("eneral") => return false,
            _ if "yYmMdDhHsS".contains(letter) => return true,
            _ => {}
        }
    }
    false
}
