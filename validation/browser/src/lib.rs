//! The recoil chain as a page runs it: a hash of every digit of a motley ensemble, to be
//! compared with the native one, and many runs to be timed. For `cargo xtask wasm`.

#[path = "../../../crates/steadypull-engine/tests/letgo_motley/mod.rs"]
mod letgo_motley;
#[path = "../../../crates/steadypull-engine/tests/letgo_rig/mod.rs"]
mod letgo_rig;
#[path = "../../../crates/steadypull-engine/examples/shared/recoils.rs"]
mod recoils;

/// See `letgo_motley::digest`.
#[allow(unsafe_code)]
// SAFETY: no other item of this module for the browser is exported under this name.
#[unsafe(no_mangle)]
pub extern "C" fn digest() -> u64 {
    letgo_motley::digest()
}

/// See `recoils::at_one_per_cent`.
#[allow(unsafe_code)]
// SAFETY: no other item of this module for the browser is exported under this name.
#[unsafe(no_mangle)]
pub extern "C" fn at_one_per_cent(runs: u32) -> f64 {
    recoils::at_one_per_cent(runs as usize)
}
