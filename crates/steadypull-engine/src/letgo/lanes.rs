//! Numbers worked on several at a time, by plain arithmetic on each.
//!
//! The chain keeps its state in blocks of [`BLOCK`]: number `i` of run `l` of `w` stands at
//! place `i w + l` of all, so that the next of the same run is always `w` places on. Blocks
//! are worked on in one, two or four packs, as wide as the
//! processor at hand works; the next of each is slid together from this pack and the one
//! after it ([`next`]): fetched `w` places on, it would lie across two lines of the cache,
//! and wait for both if they were written just now. Every operation is that of IEEE 754 on each number by itself,
//! nothing is fused and nothing summed across, so a number does not depend on those
//! beside it, on `w`, or on the width of the packs.

use core::ops::{Deref, DerefMut};

use fearless_simd::{Select, Simd, SimdBase, SimdMask};

/// Numbers in a block: those of the widest pack there is.
pub(super) const BLOCK: usize = 8;

/// A block of numbers; of a number a run the same `w` again and again. It begins where a
/// line of the cache does: a pack that straddles two takes twice as long to fetch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[repr(align(64))]
pub(super) struct Block(pub [f64; BLOCK]);

impl Deref for Block {
    type Target = [f64; BLOCK];

    #[inline(always)]
    fn deref(&self) -> &Self::Target {
        &self.0
    }
}

impl DerefMut for Block {
    #[inline(always)]
    fn deref_mut(&mut self) -> &mut Self::Target {
        &mut self.0
    }
}

/// Most runs that go side by side: the state of more does not fit the nearest cache.
pub(super) const MOST_ABREAST: usize = 4;

/// A number of each of `w` runs, again and again, without a way through memory.
#[inline(always)]
pub(super) fn again([a, b, c, d]: [f64; MOST_ABREAST], w: usize) -> Block {
    Block(match w {
        1 => [a; BLOCK],
        2 => [a, b, a, b, a, b, a, b],
        _ => [a, b, c, d, a, b, c, d],
    })
}

/// The pack at place `h` of a block.
#[inline(always)]
pub(super) fn load<S: Simd>(simd: S, block: &Block, h: usize) -> S::f64s {
    S::f64s::from_slice(simd, &block[h..h + S::f64s::LEN])
}

/// Writes a pack to place `h` of a block.
#[inline(always)]
pub(super) fn store<S: Simd>(pack: S::f64s, block: &mut Block, h: usize) {
    pack.store_slice(&mut block[h..h + S::f64s::LEN]);
}

/// The same number in every place of a pack.
#[inline(always)]
pub(super) fn all<S: Simd>(simd: S, x: f64) -> S::f64s {
    S::f64s::splat(simd, x)
}

/// The greater of each pair; the second where they are equal.
#[inline(always)]
pub(super) fn greater<S: Simd>(a: S::f64s, b: S::f64s) -> S::f64s {
    // The instruction of these processors does just this; those of others treat zeros
    // and what is no number in ways of their own.
    if cfg!(any(target_arch = "x86", target_arch = "x86_64")) {
        a.max(b)
    } else if let Some(greater) = browser::greater::<S>(a, b) {
        greater
    } else {
        a.simd_gt(b).select(a, b)
    }
}

/// The less of each pair; the second where they are equal.
#[inline(always)]
pub(super) fn lesser<S: Simd>(a: S::f64s, b: S::f64s) -> S::f64s {
    if cfg!(any(target_arch = "x86", target_arch = "x86_64")) {
        a.min(b)
    } else if let Some(lesser) = browser::lesser::<S>(a, b) {
        lesser
    } else {
        a.simd_lt(b).select(a, b)
    }
}

/// Single instructions that a browser has and the packs do not offer: a comparison and a
/// choice take five.
#[cfg(all(target_arch = "wasm32", target_feature = "simd128"))]
mod browser {
    use core::arch::wasm32::{
        f64x2, f64x2_extract_lane, f64x2_pmax, f64x2_pmin, i64x2, v128, v128_and,
    };
    use fearless_simd::{Simd, SimdBase, SimdMask};

    #[inline(always)]
    fn two<S: Simd>(pack: &S::f64s) -> Option<v128> {
        let &[a, b] = pack.as_slice() else {
            return None;
        };
        Some(f64x2(a, b))
    }

    #[inline(always)]
    fn pack<S: Simd>(mut like: S::f64s, two: v128) -> S::f64s {
        let both = [f64x2_extract_lane::<0>(two), f64x2_extract_lane::<1>(two)];
        like.as_mut_slice().copy_from_slice(&both);
        like
    }

    #[inline(always)]
    pub fn greater<S: Simd>(a: S::f64s, b: S::f64s) -> Option<S::f64s> {
        Some(pack::<S>(a, f64x2_pmax(two::<S>(&b)?, two::<S>(&a)?)))
    }

    #[inline(always)]
    pub fn lesser<S: Simd>(a: S::f64s, b: S::f64s) -> Option<S::f64s> {
        Some(pack::<S>(a, f64x2_pmin(two::<S>(&b)?, two::<S>(&a)?)))
    }

    #[inline(always)]
    pub fn only<S: Simd>(mask: S::mask64s, a: S::f64s) -> Option<S::f64s> {
        let twice = two::<S>(&a)?;
        let mut bits = [0; 2];
        mask.store_slice(&mut bits);
        Some(pack::<S>(a, v128_and(i64x2(bits[0], bits[1]), twice)))
    }
}

/// None elsewhere.
#[cfg(not(all(target_arch = "wasm32", target_feature = "simd128")))]
mod browser {
    use fearless_simd::Simd;

    #[inline(always)]
    pub fn greater<S: Simd>(_: S::f64s, _: S::f64s) -> Option<S::f64s> {
        None
    }

    #[inline(always)]
    pub fn lesser<S: Simd>(_: S::f64s, _: S::f64s) -> Option<S::f64s> {
        None
    }

    #[inline(always)]
    pub fn only<S: Simd>(_: S::mask64s, _: S::f64s) -> Option<S::f64s> {
        None
    }
}

/// `a` where the mask holds, else nothing.
#[inline(always)]
pub(super) fn only<S: Simd>(simd: S, mask: S::mask64s, a: S::f64s) -> S::f64s {
    browser::only::<S>(mask, a).unwrap_or_else(|| mask.select(a, all(simd, 0.0)))
}

/// Whether the mask holds anywhere.
#[inline(always)]
pub(super) fn any<S: Simd>(mask: S::mask64s) -> bool {
    mask.any_true()
}

/// The pack after that at place `h` of block `p`.
#[inline(always)]
pub(super) fn following<S: Simd>(p: usize, h: usize) -> (usize, usize) {
    let h = h + S::f64s::LEN;
    if h < BLOCK { (p, h) } else { (p + 1, 0) }
}

/// The pack before that at place `h` of block `p`, which is not the first.
#[inline(always)]
pub(super) fn preceding<S: Simd>(p: usize, h: usize) -> (usize, usize) {
    if h > 0 {
        (p, h - S::f64s::LEN)
    } else {
        (p - 1, BLOCK - S::f64s::LEN)
    }
}

/// What stands `W` places on from a pack, where `after` follows it.
#[inline(always)]
pub(super) fn next<S: Simd, const W: usize>(here: S::f64s, after: S::f64s) -> S::f64s {
    here.slide::<W>(after)
}

/// What stands `W` places back from a pack, where `before` goes ahead of it.
#[inline(always)]
pub(super) fn last<S: Simd, const W: usize>(before: S::f64s, here: S::f64s) -> S::f64s {
    match S::f64s::LEN - W {
        0 => before,
        1 => before.slide::<1>(here),
        3 => before.slide::<3>(here),
        4 => before.slide::<4>(here),
        _ => before.slide::<7>(here),
    }
}

/// Three components in packs.
#[derive(Clone, Copy)]
pub(super) struct Way<S: Simd> {
    pub x: S::f64s,
    pub y: S::f64s,
    pub z: S::f64s,
}

impl<S: Simd> Way<S> {
    #[inline(always)]
    pub fn dot(self, other: Self) -> S::f64s {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// What stands `W` places on, where `after` follows.
    #[inline(always)]
    pub fn next<const W: usize>(self, after: Self) -> Self {
        Self {
            x: next::<S, W>(self.x, after.x),
            y: next::<S, W>(self.y, after.y),
            z: next::<S, W>(self.z, after.z),
        }
    }

    /// What stands `W` places back, where `before` goes ahead.
    #[inline(always)]
    pub fn last<const W: usize>(self, before: Self) -> Self {
        Self {
            x: last::<S, W>(before.x, self.x),
            y: last::<S, W>(before.y, self.y),
            z: last::<S, W>(before.z, self.z),
        }
    }

    #[inline(always)]
    pub fn times(self, k: S::f64s) -> Self {
        Self {
            x: self.x * k,
            y: self.y * k,
            z: self.z * k,
        }
    }

    /// This where the mask holds, else nothing.
    #[inline(always)]
    pub fn only(self, simd: S, mask: S::mask64s) -> Self {
        Self {
            x: only(simd, mask, self.x),
            y: only(simd, mask, self.y),
            z: only(simd, mask, self.z),
        }
    }

    #[inline(always)]
    pub fn plus(self, other: Self) -> Self {
        Self {
            x: self.x + other.x,
            y: self.y + other.y,
            z: self.z + other.z,
        }
    }

    #[inline(always)]
    pub fn minus(self, other: Self) -> Self {
        Self {
            x: self.x - other.x,
            y: self.y - other.y,
            z: self.z - other.z,
        }
    }
}

/// A way of each run, `w` of them again and again.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct WayBlock {
    pub x: Block,
    pub y: Block,
    pub z: Block,
}

impl WayBlock {
    /// The pack at place `h`.
    #[inline(always)]
    pub fn at<S: Simd>(&self, simd: S, h: usize) -> Way<S> {
        Way {
            x: load(simd, &self.x, h),
            y: load(simd, &self.y, h),
            z: load(simd, &self.z, h),
        }
    }

    /// Writes the pack at place `h`.
    #[inline(always)]
    pub fn put<S: Simd>(&mut self, h: usize, way: Way<S>) {
        store::<S>(way.x, &mut self.x, h);
        store::<S>(way.y, &mut self.y, h);
        store::<S>(way.z, &mut self.z, h);
    }

    /// Number `k`.
    pub fn get(&self, k: usize) -> [f64; 3] {
        [self.x[k], self.y[k], self.z[k]]
    }

    /// Writes number `k`.
    pub fn set(&mut self, k: usize, v: [f64; 3]) {
        (self.x[k], self.y[k], self.z[k]) = (v[0], v[1], v[2]);
    }
}

/// Numbers in blocks.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Numbers {
    pub blocks: Vec<Block>,
}

impl Numbers {
    /// `len` of nothing, and what fills the last block.
    pub fn new(len: usize) -> Self {
        Self {
            blocks: vec![Block::default(); len.div_ceil(BLOCK)],
        }
    }

    #[inline(always)]
    pub fn get(&self, e: usize) -> f64 {
        self.blocks[e / BLOCK][e % BLOCK]
    }

    #[inline(always)]
    pub fn set(&mut self, e: usize, x: f64) {
        self.blocks[e / BLOCK][e % BLOCK] = x;
    }

    #[inline(always)]
    pub fn add(&mut self, e: usize, x: f64) {
        self.blocks[e / BLOCK][e % BLOCK] += x;
    }
}

/// Ways in blocks.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Ways {
    pub blocks: Vec<WayBlock>,
}

impl Ways {
    /// `len` of nothing, and what fills the last block.
    pub fn new(len: usize) -> Self {
        Self {
            blocks: vec![WayBlock::default(); len.div_ceil(BLOCK)],
        }
    }

    /// Nothing everywhere.
    pub fn clear(&mut self) {
        self.blocks.fill(WayBlock::default());
    }

    #[inline(always)]
    pub fn get(&self, e: usize) -> [f64; 3] {
        self.blocks[e / BLOCK].get(e % BLOCK)
    }

    #[inline(always)]
    pub fn set(&mut self, e: usize, v: [f64; 3]) {
        self.blocks[e / BLOCK].set(e % BLOCK, v);
    }

    #[inline(always)]
    pub fn add(&mut self, e: usize, v: [f64; 3]) {
        let block = &mut self.blocks[e / BLOCK];
        block.x[e % BLOCK] += v[0];
        block.y[e % BLOCK] += v[1];
        block.z[e % BLOCK] += v[2];
    }
}
