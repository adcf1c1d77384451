//! Pages between a Parquet file and the library that makes numbers of them: unpacked here, so that
//! no memory is taken for a claim, nor for what unpacks to more than it claims.

use std::io::Read;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use bytes::{Buf, Bytes};
use flate2::read::MultiGzDecoder;
use parquet::basic::{CompressionCodec, Encoding};
use parquet::column::page::{Page, PageMetadata, PageReader};
use parquet::errors::ParquetError;
use parquet::file::metadata::RowGroupMetaData;
use parquet::file::reader::{ChunkReader, Length, SerializedPageReader};
use ruzstd::decoding::FrameDecoder;

/// Bytes that note what the last page header read from them claims.
pub(super) struct Watched {
    bytes: Bytes,
    /// Bytes that the page at hand is said to unpack to.
    claimed: AtomicI64,
}

impl Watched {
    pub fn new(bytes: &[u8]) -> Self {
        Self {
            bytes: Bytes::copy_from_slice(bytes),
            claimed: AtomicI64::new(0),
        }
    }
}

impl Length for Watched {
    fn len(&self) -> u64 {
        self.bytes.len() as u64
    }
}

impl ChunkReader for Watched {
    type T = bytes::buf::Reader<Bytes>;

    fn get_read(&self, start: u64) -> Result<Self::T, ParquetError> {
        let from = usize::try_from(start).ok();
        let from = from.filter(|at| *at <= self.bytes.len());
        let from = from.ok_or_else(|| ParquetError::EOF("past the end".into()))?;
        let rest = self.bytes.slice(from..);
        let claim = claimed(&rest).unwrap_or(-1);
        self.claimed.store(claim, Ordering::Relaxed);
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

/// What a page unpacks to, as its header claims. A header in Thrift's compact form begins with
/// its kind and its unpacked size, numbers of four bytes (type 5) with rising field numbers: 0x15
/// before each.
fn claimed(header: &[u8]) -> Option<i64> {
    let mut value = None;
    let mut at = 0;
    for _ in 0..2 {
        header.get(at).filter(|b| **b == 0x15)?;
        let (found, next) = zigzag(header, at + 1)?;
        (value, at) = (Some(found), next);
    }
    value
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

/// The most that a packed page may unpack to, bytes: 32 million doubles. Writers make pages of a
/// megabyte; some one page of a row group.
const LARGEST_PAGE: usize = 1 << 28;
/// The most bytes that a value takes in all of its column's pages: eight in a dictionary, eight
/// more in a page, its level; and as many to spare.
const LARGEST_VALUE: usize = 32;
/// Bytes of pages beside their values.
const SPARE: usize = 1 << 16;

/// Whether pages packed in this way are unpacked here.
pub(super) fn is_known(packing: CompressionCodec) -> bool {
    use CompressionCodec::{GZIP, LZ4_RAW, SNAPPY, UNCOMPRESSED, ZSTD};
    matches!(packing, UNCOMPRESSED | SNAPPY | GZIP | ZSTD | LZ4_RAW)
}

fn general(why: impl ToString) -> ParquetError {
    ParquetError::General(why.to_string())
}

/// Unpacks what must come to `size` bytes.
fn unpack(packing: CompressionCodec, packed: &[u8], size: usize) -> Result<Vec<u8>, ParquetError> {
    let mut out = match packing {
        // Grows as it goes, since it has nowhere to be told where to stop.
        CompressionCodec::GZIP => Vec::new(),
        _ => vec![0; size],
    };
    let unpacked = match packing {
        CompressionCodec::SNAPPY => snap::raw::Decoder::new()
            .decompress(packed, &mut out)
            .map_err(general),
        CompressionCodec::LZ4_RAW => {
            lz4_flex::block::decompress_into(packed, &mut out).map_err(general)
        }
        CompressionCodec::ZSTD => FrameDecoder::new()
            .decode_all(packed, &mut out)
            .map_err(general),
        CompressionCodec::GZIP => MultiGzDecoder::new(packed)
            .take(size as u64 + 1)
            .read_to_end(&mut out)
            .map_err(general),
        other => Err(general(format!("packed with {other:?}"))),
    }?;
    if unpacked != size {
        return Err(general(format!("it unpacks to {unpacked} of {size} bytes")));
    }
    Ok(out)
}

/// The pages of a column in a row group, unpacked and looked at before numbers are made of them.
pub(super) struct Pages {
    inner: SerializedPageReader<Watched>,
    file: Arc<Watched>,
    packing: CompressionCodec,
    /// Bytes that pages may still unpack to.
    room: usize,
    has_dictionary: bool,
}

impl Pages {
    pub fn new(
        file: &Arc<Watched>,
        group: &RowGroupMetaData,
        column: usize,
    ) -> Result<Self, ParquetError> {
        let chunk = group.column(column);
        let rows = usize::try_from(group.num_rows())?;
        let as_is = chunk.clone().into_builder();
        let as_is = as_is.set_compression_codec(CompressionCodec::UNCOMPRESSED);
        Ok(Self {
            inner: SerializedPageReader::new(file.clone(), &as_is.build()?, rows, None)?,
            file: file.clone(),
            packing: chunk.compression_codec(),
            room: rows.saturating_mul(LARGEST_VALUE).saturating_add(SPARE),
            has_dictionary: false,
        })
    }

    /// The page as it was before it was packed.
    fn unpacked(&mut self, mut page: Page) -> Result<Page, ParquetError> {
        // Levels of the second kind of page stand before what is packed.
        let (buf, plain) = match &mut page {
            Page::DataPage { buf, .. } | Page::DictionaryPage { buf, .. } => (buf, 0),
            Page::DataPageV2 {
                is_compressed: false,
                ..
            } => return Ok(page),
            Page::DataPageV2 {
                buf,
                def_levels_byte_len,
                rep_levels_byte_len,
                ..
            } => {
                let levels = def_levels_byte_len.saturating_add(*rep_levels_byte_len);
                (buf, levels as usize)
            }
        };
        let claimed = usize::try_from(self.file.claimed.load(Ordering::Relaxed))?;
        let size = claimed.checked_sub(plain).filter(|_| plain <= buf.len());
        let size = size.ok_or_else(|| general("its levels are longer than the page"))?;
        if size > LARGEST_PAGE.min(self.room) {
            return Err(general("a page claims more than it can hold"));
        }
        self.room -= size;
        // A page of gaps alone may have nothing behind its levels.
        if size > 0 {
            let body = unpack(self.packing, &buf[plain..], size)?;
            *buf = match plain {
                0 => body.into(),
                _ => [&buf[..plain], &body].concat().into(),
            };
        }
        Ok(page)
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
        let Some(mut page) = self.inner.get_next_page()? else {
            return Ok(None);
        };
        if self.packing != CompressionCodec::UNCOMPRESSED {
            page = self.unpacked(page)?;
        }
        self.check(&page)?;
        Ok(Some(page))
    }

    fn peek_next_page(&mut self) -> Result<Option<PageMetadata>, ParquetError> {
        self.inner.peek_next_page()
    }

    fn skip_next_page(&mut self) -> Result<(), ParquetError> {
        self.inner.skip_next_page()
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use flate2::write::GzEncoder;
    use ruzstd::encoding::{CompressionLevel, compress_to_vec};

    use super::*;

    fn packings(plain: &[u8]) -> [(CompressionCodec, Vec<u8>); 4] {
        let mut gzip = GzEncoder::new(Vec::new(), flate2::Compression::default());
        gzip.write_all(plain).unwrap();
        let snappy = snap::raw::Encoder::new().compress_vec(plain).unwrap();
        [
            (CompressionCodec::SNAPPY, snappy),
            (CompressionCodec::GZIP, gzip.finish().unwrap()),
            (
                CompressionCodec::ZSTD,
                compress_to_vec(plain, CompressionLevel::Fastest),
            ),
            (CompressionCodec::LZ4_RAW, lz4_flex::block::compress(plain)),
        ]
    }

    #[test]
    fn what_was_packed_comes_out_whole_or_not_at_all() {
        let plain: Vec<u8> = (0..3000_u32).flat_map(|n| (n / 3).to_le_bytes()).collect();
        for (packing, packed) in packings(&plain) {
            let size = plain.len();
            assert_eq!(unpack(packing, &packed, size).unwrap(), plain);
            for (from, to) in [(size - 1, packed.len()), (size + 1, packed.len())] {
                let found = unpack(packing, &packed[..to], from);
                assert!(found.is_err(), "{packing:?} of {from} bytes");
            }
            for to in 0..packed.len() {
                let found = unpack(packing, &packed[..to], size);
                assert!(found.is_err(), "{packing:?} cut to {to} bytes");
            }
        }
    }

    /// 64 MB in a few kilobytes, said to be 400 bytes: left where it passes them.
    #[test]
    fn a_bomb_is_left_where_it_passes_its_claim() {
        for (packing, packed) in packings(&vec![0; 64 << 20]) {
            let error = unpack(packing, &packed, 400).unwrap_err().to_string();
            assert!(
                !error.contains("unpacks to 67108864"),
                "{packing:?}: {error}"
            );
        }
    }
}
