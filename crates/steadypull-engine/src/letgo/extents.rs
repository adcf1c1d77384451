//! How far everything reaches, looked at once a round for all runs: what turns back stands
//! still for longer.

use fearless_simd::{Simd, SimdBase};

use super::chain::{Chain, ROUND};
use super::lanes::{BLOCK, Block, WayBlock, greater, lesser};
use super::outcome::Extents;

/// Least and greatest place so far, m; of a run wherever its numbers stand in a block.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Bounds {
    least: WayBlock,
    most: WayBlock,
}

impl Bounds {
    /// Begins again with a place of run `l` of `w`.
    pub fn begin(&mut self, (l, w): (usize, usize), place: [f64; 3]) {
        for k in (l..BLOCK).step_by(w) {
            self.least.set(k, place);
            self.most.set(k, place);
        }
    }

    /// Those of run `l` of `w`.
    pub fn extents(&self, l: usize, w: usize) -> Extents {
        let ks = || (l..BLOCK).step_by(w);
        let least = |list: &Block| ks().map(|k| list[k]).fold(list[l], f64::min);
        let most = |list: &Block| ks().map(|k| list[k]).fold(list[l], f64::max);
        Extents {
            x_min: least(&self.least.x),
            x_max: most(&self.most.x),
            y_min: least(&self.least.y),
            y_max: most(&self.most.y),
            z_max: most(&self.most.z),
        }
    }

    fn widen(&mut self, k: usize, place: [f64; 3]) {
        let (least, most) = (self.least.get(k), self.most.get(k));
        self.least.set(k, [0, 1, 2].map(|c| least[c].min(place[c])));
        self.most.set(k, [0, 1, 2].map(|c| most[c].max(place[c])));
    }
}

impl Chain {
    /// Looks at all places, if it is time.
    #[inline(always)]
    pub(super) fn note_extents<S: Simd>(&mut self, simd: S) {
        if !self.steps.is_multiple_of(ROUND) {
            return;
        }
        let nodes = (self.kind.segments + 1) * self.w;
        let whole = nodes / BLOCK;
        let places = &self.bodies.place.blocks[..whole];
        for h in (0..BLOCK).step_by(S::f64s::LEN) {
            let mut least = self.bounds.least.at(simd, h);
            let mut most = self.bounds.most.at(simd, h);
            for place in places {
                let place = place.at(simd, h);
                least.x = lesser::<S>(place.x, least.x);
                least.y = lesser::<S>(place.y, least.y);
                most.x = greater::<S>(place.x, most.x);
                most.y = greater::<S>(place.y, most.y);
                most.z = greater::<S>(place.z, most.z);
            }
            self.bounds.least.put(h, least);
            self.bounds.most.put(h, most);
        }
        // The last nodes do not fill a block; dampers may have been picked up.
        let from = self.bodies.dampers_from * self.w;
        for e in whole * BLOCK..nodes {
            self.bounds.widen(e % BLOCK, self.bodies.place.get(e));
        }
        for e in from..from + self.kind.dampers * self.w {
            if self.bodies.mass.get(e) > 0.0 {
                self.bounds.widen(e % BLOCK, self.bodies.place.get(e));
            }
        }
    }
}
