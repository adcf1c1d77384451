//! Four numbers worked on at once, by plain arithmetic on each.
//!
//! The chain keeps its state in packs of four: four neighbouring segments of one
//! run (`W` = 1), or the same segment of four runs (`W` = 4). Every operation here is
//! that of IEEE 754 on each number by itself, nothing is fused and nothing summed
//! across, so a number does not depend on those beside it, on `W`, or on the
//! instructions that the compiler makes of it.

use core::ops::{Add, Mul, Neg, Sub};

/// Numbers in a pack.
pub(super) const PACK: usize = 4;

/// A pack of four numbers.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[repr(align(32))]
pub(super) struct Four(pub [f64; PACK]);

impl Four {
    /// Nothing, four times.
    pub const ZERO: Self = Self([0.0; PACK]);

    /// The same number four times.
    #[inline(always)]
    pub const fn all(x: f64) -> Self {
        Self([x; PACK])
    }

    #[inline(always)]
    pub fn sqrt(self) -> Self {
        let a = self.0;
        Self([a[0].sqrt(), a[1].sqrt(), a[2].sqrt(), a[3].sqrt()])
    }

    #[inline(always)]
    pub fn abs(self) -> Self {
        let a = self.0;
        Self([a[0].abs(), a[1].abs(), a[2].abs(), a[3].abs()])
    }

    #[inline(always)]
    pub fn over(self, other: Self) -> Self {
        let (a, b) = (self.0, other.0);
        Self([a[0] / b[0], a[1] / b[1], a[2] / b[2], a[3] / b[3]])
    }

    /// The greater; the other where they are equal.
    #[inline(always)]
    pub fn max(self, other: Self) -> Self {
        Self::where_more(self, other, self, other)
    }

    /// The less; the other where they are equal.
    #[inline(always)]
    pub fn min(self, other: Self) -> Self {
        Self::where_more(other, self, self, other)
    }

    /// `yes` where `a > b`, else `no`.
    #[inline(always)]
    pub fn where_more(a: Self, b: Self, yes: Self, no: Self) -> Self {
        let (a, b, yes, no) = (a.0, b.0, yes.0, no.0);
        Self([
            if a[0] > b[0] { yes[0] } else { no[0] },
            if a[1] > b[1] { yes[1] } else { no[1] },
            if a[2] > b[2] { yes[2] } else { no[2] },
            if a[3] > b[3] { yes[3] } else { no[3] },
        ])
    }

    /// Its size with the sign of `of`.
    #[inline(always)]
    pub fn with_sign(self, of: Self) -> Self {
        let (a, s) = (self.0, of.0);
        Self([
            a[0].copysign(s[0]),
            a[1].copysign(s[1]),
            a[2].copysign(s[2]),
            a[3].copysign(s[3]),
        ])
    }

    /// Whether any is more than its fellow in `other`.
    #[inline(always)]
    pub fn any_more(self, other: Self) -> bool {
        let (a, b) = (self.0, other.0);
        let more = |k: usize| if a[k] > b[k] { u64::MAX } else { 0 };
        (more(0) | more(1) | more(2) | more(3)) != 0
    }

    /// The pack of the next segment: of `W` = 1 the numbers one place on.
    #[inline(always)]
    pub fn next<const W: usize>(self, after: Self) -> Self {
        if W == PACK {
            after
        } else {
            let (a, b) = (self.0, after.0);
            Self([a[1], a[2], a[3], b[0]])
        }
    }

    /// The pack of the segment before.
    #[inline(always)]
    pub fn last<const W: usize>(self, before: Self) -> Self {
        if W == PACK {
            before
        } else {
            let (a, b) = (before.0, self.0);
            Self([a[3], b[0], b[1], b[2]])
        }
    }
}

impl Add for Four {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        let (a, b) = (self.0, other.0);
        Self([a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3]])
    }
}

impl Sub for Four {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        let (a, b) = (self.0, other.0);
        Self([a[0] - b[0], a[1] - b[1], a[2] - b[2], a[3] - b[3]])
    }
}

impl Mul for Four {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        let (a, b) = (self.0, other.0);
        Self([a[0] * b[0], a[1] * b[1], a[2] * b[2], a[3] * b[3]])
    }
}

impl Mul<f64> for Four {
    type Output = Self;
    #[inline(always)]
    fn mul(self, k: f64) -> Self {
        self * Self::all(k)
    }
}

impl Neg for Four {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        let a = self.0;
        Self([-a[0], -a[1], -a[2], -a[3]])
    }
}

/// Three components in packs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Way {
    pub x: Four,
    pub y: Four,
    pub z: Four,
}

impl Way {
    #[inline(always)]
    pub fn dot(self, other: Self) -> Four {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    #[inline(always)]
    pub fn times(self, k: Four) -> Self {
        Self {
            x: self.x * k,
            y: self.y * k,
            z: self.z * k,
        }
    }

    #[inline(always)]
    pub fn next<const W: usize>(self, after: Self) -> Self {
        Self {
            x: self.x.next::<W>(after.x),
            y: self.y.next::<W>(after.y),
            z: self.z.next::<W>(after.z),
        }
    }

    #[inline(always)]
    pub fn last<const W: usize>(self, before: Self) -> Self {
        Self {
            x: self.x.last::<W>(before.x),
            y: self.y.last::<W>(before.y),
            z: self.z.last::<W>(before.z),
        }
    }
}

impl Add for Way {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self {
            x: self.x + other.x,
            y: self.y + other.y,
            z: self.z + other.z,
        }
    }
}

impl Sub for Way {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self {
            x: self.x - other.x,
            y: self.y - other.y,
            z: self.z - other.z,
        }
    }
}

/// Place of number `i` of lane `l` in a list of packs.
#[inline(always)]
pub(super) const fn flat<const W: usize>(i: usize, l: usize) -> usize {
    i * W + l
}

/// Number `e` of a list of packs.
#[inline(always)]
pub(super) fn get(list: &[Four], e: usize) -> f64 {
    list[e / PACK].0[e % PACK]
}

/// Sets number `e` of a list of packs.
#[inline(always)]
pub(super) fn set(list: &mut [Four], e: usize, x: f64) {
    list[e / PACK].0[e % PACK] = x;
}

/// Three lists of packs, one a component.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Ways {
    pub x: Vec<Four>,
    pub y: Vec<Four>,
    pub z: Vec<Four>,
}

impl Ways {
    /// `packs` of nothing.
    pub fn new(packs: usize) -> Self {
        let zero = || vec![Four::ZERO; packs];
        Self {
            x: zero(),
            y: zero(),
            z: zero(),
        }
    }

    #[inline(always)]
    pub fn get(&self, e: usize) -> [f64; 3] {
        let (p, k) = (e / PACK, e % PACK);
        [self.x[p].0[k], self.y[p].0[k], self.z[p].0[k]]
    }

    #[inline(always)]
    pub fn set(&mut self, e: usize, v: [f64; 3]) {
        let (p, k) = (e / PACK, e % PACK);
        (self.x[p].0[k], self.y[p].0[k], self.z[p].0[k]) = (v[0], v[1], v[2]);
    }

    #[inline(always)]
    pub fn add(&mut self, e: usize, v: [f64; 3]) {
        let was = self.get(e);
        self.set(e, [was[0] + v[0], was[1] + v[1], was[2] + v[2]]);
    }

    /// The first `packs` of each list.
    #[inline(always)]
    pub fn first(&self, packs: usize) -> Slices<'_> {
        Slices {
            x: &self.x[..packs],
            y: &self.y[..packs],
            z: &self.z[..packs],
        }
    }

    /// The first `packs` of each list, to be changed.
    #[inline(always)]
    pub fn first_mut(&mut self, packs: usize) -> SlicesMut<'_> {
        SlicesMut {
            x: &mut self.x[..packs],
            y: &mut self.y[..packs],
            z: &mut self.z[..packs],
        }
    }
}

/// Said once a turn of a loop over packs: keeps the compiler from taking four packs
/// at a time, for which it would transpose them back and forth. Costs nothing itself.
#[inline(always)]
pub(super) fn pack_by_pack() {
    core::hint::black_box(());
}

/// The number of each node's next less its own.
#[inline(always)]
pub(super) fn differences<const W: usize>(nodes: &[Four], out: &mut [Four]) {
    let nodes = &nodes[..=out.len()];
    for p in 0..out.len() {
        out[p] = nodes[p].next::<W>(nodes[p + 1]) - nodes[p];
    }
}

/// Parts of three lists of one length, so that bounds are checked once.
#[derive(Clone, Copy)]
pub(super) struct Slices<'a> {
    x: &'a [Four],
    y: &'a [Four],
    z: &'a [Four],
}

impl Slices<'_> {
    #[inline(always)]
    pub fn at(&self, p: usize) -> Way {
        Way {
            x: self.x[p],
            y: self.y[p],
            z: self.z[p],
        }
    }
}

/// The same, to be changed.
pub(super) struct SlicesMut<'a> {
    x: &'a mut [Four],
    y: &'a mut [Four],
    z: &'a mut [Four],
}

impl SlicesMut<'_> {
    #[inline(always)]
    pub fn at(&self, p: usize) -> Way {
        Way {
            x: self.x[p],
            y: self.y[p],
            z: self.z[p],
        }
    }

    #[inline(always)]
    pub fn put(&mut self, p: usize, way: Way) {
        (self.x[p], self.y[p], self.z[p]) = (way.x, way.y, way.z);
    }
}
