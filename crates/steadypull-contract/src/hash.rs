//! Hashes of files, as every answer writes them.

use std::io::{self, Read};

use sha2::{Digest, Sha256};

/// Bytes that are hashed at once.
const PART: usize = 1 << 16;

/// SHA-256, in hexadecimal digits.
pub fn sha256_of(bytes: impl AsRef<[u8]>) -> String {
    hex(&Sha256::digest(bytes))
}

/// SHA-256 of all that `source` still gives, in hexadecimal digits, and how many bytes that is.
pub fn sha256_read(source: &mut (impl Read + ?Sized)) -> io::Result<(String, u64)> {
    let (mut hash, mut bytes) = (Sha256::new(), 0);
    let mut part = vec![0; PART];
    loop {
        match source.read(&mut part) {
            Ok(0) => return Ok((hex(&hash.finalize()), bytes)),
            Ok(length) => {
                hash.update(&part[..length]);
                bytes += length as u64;
            }
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
}

/// Bytes in hexadecimal digits.
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example of one block of FIPS 180-4 (its "abc", from NIST's example values).
    const ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    #[test]
    fn the_standards_own_example() {
        assert_eq!(sha256_of("abc"), ABC);
        let read = sha256_read(&mut &b"abc"[..]).expect("bytes at hand");
        assert_eq!(read, (ABC.to_string(), 3));
    }

    #[test]
    fn parts_make_the_same_whole() {
        let long: Vec<u8> = (0..3 * PART + 7).map(|at| (at % 251) as u8).collect();
        let read = sha256_read(&mut &long[..]).expect("bytes at hand");
        assert_eq!(read, (sha256_of(&long), long.len() as u64));
    }
}
