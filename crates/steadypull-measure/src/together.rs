//! Two things at once, for callers that have threads.

/// Does two things of which neither waits for the other.
///
/// What is worked out is the same whoever does it; a caller with threads may do both at once,
/// and do again what no thread could be had for.
pub trait Together: Sync {
    /// Does both.
    fn both<A: Send, B: Send>(
        &self,
        one: impl Fn() -> A + Sync,
        other: impl Fn() -> B + Sync,
    ) -> (A, B);
}

/// One after the other.
#[derive(Debug, Clone, Copy, Default)]
pub struct InTurn;

impl Together for InTurn {
    fn both<A: Send, B: Send>(
        &self,
        one: impl Fn() -> A + Sync,
        other: impl Fn() -> B + Sync,
    ) -> (A, B) {
        (one(), other())
    }
}
