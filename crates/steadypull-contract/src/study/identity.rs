//! One word that stands for a plan, a study of it and the program.
//!
//! FNV-1a, 64 bits (Fowler, Noll, Vo; constants from RFC 9923): it guards against
//! mixing by mistake, not against malice.

use crate::answer::CONTRACT_VERSION;
use crate::plan_file::{PlanText, Points, StudyInput, Varied};

const OFFSET: u64 = 0xcbf2_9ce4_8422_2325;
const PRIME: u64 = 0x0000_0100_0000_01b3;

struct Hash(u64);

impl Hash {
    fn bytes(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(PRIME);
        }
    }

    /// A text with an end, so that no two texts run into one.
    fn text(&mut self, text: &str) {
        self.bytes(text.as_bytes());
        self.bytes(&[0xff]);
    }
}

pub(super) fn of(
    plan: PlanText,
    inputs: &[StudyInput],
    want: &[String],
    points: Points,
    seed: u64,
    runs: u64,
) -> String {
    let mut hash = Hash(OFFSET);
    hash.text(env!("CARGO_PKG_VERSION"));
    hash.text(plan.text);
    for (name, text) in plan.lines.iter() {
        hash.text(name);
        hash.text(text.as_deref().unwrap_or_default());
    }
    for input in inputs {
        hash.text(&input.variable.key);
        match &input.varied {
            Varied::Listed(values) => {
                values
                    .iter()
                    .for_each(|value| hash.bytes(&value.to_bits().to_le_bytes()));
            }
            Varied::Drawn(distribution) => hash.text(&format!("{distribution:?}")),
        }
    }
    want.iter().for_each(|path| hash.text(path));
    hash.text(points.word());
    for number in [seed, runs, u64::from(CONTRACT_VERSION)] {
        hash.bytes(&number.to_le_bytes());
    }
    format!("{:016x}", hash.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_test_vectors() {
        // From the authors' list.
        for (text, value) in [
            ("", OFFSET),
            ("a", 0xaf63_dc4c_8601_ec8c),
            ("foobar", 0x8594_4171_f739_67e8),
        ] {
            let mut hash = Hash(OFFSET);
            hash.bytes(text.as_bytes());
            assert_eq!(hash.0, value, "{text}");
        }
    }
}
