//! A guard between a Parquet file's claims and the library that believes them.

use bytes::{Buf, Bytes};
use parquet::basic::Encoding;
use parquet::column::page::{Page, PageMetadata, PageReader};
use parquet::errors::ParquetError;
use parquet::file::reader::{ChunkReader, Length};

/// Bytes that look at every page header before the library does. A page that claims to unpack to
/// more than its packed bytes can hold is refused, so that no memory is taken for a claim.
pub(super) struct Guarded {
    bytes: Bytes,
    /// Where the footer begins.
    footer: usize,
}

impl Guarded {
    pub fn new(bytes: &[u8]) -> Self {
        let tail = bytes.len().saturating_sub(8);
        let length = bytes[tail..]
            .first_chunk::<4>()
            .map_or(0, |b| u32::from_le_bytes(*b) as usize);
        Self {
            bytes: Bytes::copy_from_slice(bytes),
            footer: tail.saturating_sub(length),
        }
    }
}

impl Length for Guarded {
    fn len(&self) -> u64 {
        self.bytes.len() as u64
    }
}

impl ChunkReader for Guarded {
    type T = bytes::buf::Reader<Bytes>;

    fn get_read(&self, start: u64) -> Result<Self::T, ParquetError> {
        let from = usize::try_from(start).ok();
        let from = from.filter(|at| *at <= self.bytes.len());
        let from = from.ok_or_else(|| ParquetError::EOF("past the end".into()))?;
        let rest = self.bytes.slice(from..);
        if from < self.footer && unpacks_too_far(&rest) {
            return Err(ParquetError::General(
                "a page claims more than it can hold".into(),
            ));
        }
        Ok(rest.reader())
    }

    fn get_bytes(&self, start: u64, length: usize) -> Result<Bytes, ParquetError> {
        let from = usize::try_from(start).ok();
        let to = from
            .and_then(|at| at.checked_add(length))
            .filter(|to| *to <= self.bytes.len());
        let range = from
            .zip(to)
            .ok_or_else(|| ParquetError::EOF("past the end".into()))?;
        Ok(self.bytes.slice(range.0..range.1))
    }
}

/// The most that a byte of snappy unpacks to is 64 bytes for three; more is a lie.
const MOST_UNPACKED: i64 = 24;

/// A page header in Thrift's compact form begins with its kind, its unpacked and its packed size,
/// three numbers of four bytes (type 5) with rising field numbers: 0x15 before each.
fn unpacks_too_far(header: &[u8]) -> bool {
    let mut at = 0;
    let mut fields = [0; 3];
    for field in &mut fields {
        if header.get(at) != Some(&0x15) {
            return true;
        }
        let Some((value, next)) = zigzag(header, at + 1) else {
            return true;
        };
        (*field, at) = (value, next);
    }
    let [_, unpacked, packed] = fields;
    unpacked > packed.saturating_mul(MOST_UNPACKED).saturating_add(1 << 10)
}

fn zigzag(bytes: &[u8], at: usize) -> Option<(i64, usize)> {
    let mut value: u64 = 0;
    for n in 0..5 {
        let byte = *bytes.get(at + n)?;
        value |= u64::from(byte & 0x7f) << (7 * n);
        if byte & 0x80 == 0 {
            return Some(((value >> 1) as i64 ^ -((value & 1) as i64), at + n + 1));
        }
    }
    None
}

/// Pages that are looked at before they are unpacked into numbers.
pub(super) struct Pages {
    inner: Box<dyn PageReader>,
    has_dictionary: bool,
}

impl Pages {
    pub fn new(inner: Box<dyn PageReader>) -> Self {
        Self {
            inner,
            has_dictionary: false,
        }
    }

    /// A dictionary holds no more than its bytes, and comes before the pages that need it.
    fn check(&mut self, page: &Page) -> Result<(), ParquetError> {
        let refuse = |why: &str| Err(ParquetError::General(why.into()));
        let needs = matches!(
            page.encoding(),
            Encoding::RLE_DICTIONARY | Encoding::PLAIN_DICTIONARY
        );
        match page {
            Page::DictionaryPage {
                buf, num_values, ..
            } => {
                self.has_dictionary = true;
                // The smallest number is of four bytes.
                if *num_values as usize > buf.len() / 4 {
                    return refuse("a dictionary claims more than it can hold");
                }
                Ok(())
            }
            _ if needs && !self.has_dictionary => refuse("its dictionary is missing"),
            _ => Ok(()),
        }
    }
}

impl Iterator for Pages {
    type Item = Result<Page, ParquetError>;

    fn next(&mut self) -> Option<Self::Item> {
        self.get_next_page().transpose()
    }
}

impl PageReader for Pages {
    fn get_next_page(&mut self) -> Result<Option<Page>, ParquetError> {
        let page = self.inner.get_next_page()?;
        if let Some(page) = &page {
            self.check(page)?;
        }
        Ok(page)
    }

    fn peek_next_page(&mut self) -> Result<Option<PageMetadata>, ParquetError> {
        self.inner.peek_next_page()
    }

    fn skip_next_page(&mut self) -> Result<(), ParquetError> {
        self.inner.skip_next_page()
    }
}
