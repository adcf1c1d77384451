//! The same step compiled for four numbers an instruction, where the processor has it.
//!
//! Only the instructions differ: every operation stays that of IEEE 754 on each number
//! by itself, none is fused, so the bits are those of the plain build (a test compares).

use super::chain::Chain;

/// Says that the processor at hand has AVX2: there is no other way to come by one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Avx2(());

impl Avx2 {
    /// Whether the processor at hand has it.
    pub fn detected() -> Option<Self> {
        std::is_x86_feature_detected!("avx2").then_some(Self(()))
    }

    /// Moves the runs of `chain` on by a step each.
    #[allow(unsafe_code)]
    pub fn step<const W: usize>(self, chain: &mut Chain<W>) {
        // SAFETY: `step` may be called only where AVX2 is there. `self` is the proof:
        // its one field is private to this module, and `detected` makes one only after
        // the processor was asked.
        unsafe { step(chain) }
    }
}

#[target_feature(enable = "avx2")]
fn step<const W: usize>(chain: &mut Chain<W>) {
    chain.one_step();
}
