//! The segments of a chain in blocks: what they are made of and how they stand.

use super::bodies::dot;
use super::lanes::{BLOCK, Block, Numbers, WayBlock, Ways};
use super::segment_law::SegmentLaw;

/// What stays as it is of a block of segments.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Built {
    pub rest_m: Block,
    pub inv_rest: Block,
    /// One over the segment's mass, 1/kg.
    pub inv_mass: Block,
    /// Wave impedance at parting, kg/s.
    pub stiffest_kg_s: Block,
    /// Half air density times diameter times rest length, kg/m.
    pub air_kg_m: Block,
    /// How far the limiter spares it the viscosity, 0 to 1.
    pub limited: Block,
    /// The unloading branch: one more than the strain where it goes slack, one over its
    /// width, tension at parting, half of the exponent less 1.
    pub slack_ratio: Block,
    pub inv_width: Block,
    pub most_n: Block,
    pub half_above_one: Block,
    /// Energy stored over tension times strain from slack, `l/(p + 1)`, m.
    pub store_m: Block,
    /// Square of a way by which its ends part in a step that counts as small, m2.
    pub small_m2: Block,
}

impl Built {
    /// Makes place `k` a segment that never pulls and feels no air.
    pub fn clear(&mut self, k: usize) {
        for block in [
            &mut self.inv_mass,
            &mut self.stiffest_kg_s,
            &mut self.air_kg_m,
            &mut self.limited,
            &mut self.inv_width,
            &mut self.most_n,
            &mut self.half_above_one,
            &mut self.store_m,
        ] {
            block[k] = 0.0;
        }
        (self.rest_m[k], self.inv_rest[k]) = (1.0, 1.0);
        self.small_m2[k] = 1.0;
        // Further from taut than any strain there is.
        self.slack_ratio[k] = 1e30;
    }
}

/// How a block of segments stands: what pulls in this step, and the accounts.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct State {
    /// Direction towards the free end.
    pub u: WayBlock,
    /// Strain less that at which it goes slack.
    pub beyond: Block,
    /// How fast its ends part, all directions summed, m/s.
    pub hurried_m_s: Block,
    /// Wave impedance, kg/s; nothing while slack.
    pub impedance: Block,
    /// Elastic, viscous and damping tension, N.
    pub elastic_n: Block,
    pub viscous_n: Block,
    pub dashpot_n: Block,
    /// What was stored at the start and the work that the elastic tension has taken in
    /// up to the kick before the last, J.
    pub given_j: Block,
    /// Energy turned to heat up to then, J.
    pub viscous_j: Block,
    pub dashpot_j: Block,
}

impl State {
    /// Forgets place `k`.
    pub fn clear(&mut self, k: usize) {
        for block in [
            &mut self.u.x,
            &mut self.u.y,
            &mut self.u.z,
            &mut self.beyond,
            &mut self.hurried_m_s,
            &mut self.impedance,
            &mut self.elastic_n,
            &mut self.viscous_n,
            &mut self.dashpot_n,
            &mut self.given_j,
            &mut self.viscous_j,
            &mut self.dashpot_j,
        ] {
            block[k] = 0.0;
        }
    }
}

/// Segments in blocks. Where a place back is read there is a block more in front.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Segments {
    pub built: Vec<Built>,
    pub state: Vec<State>,
    /// Speed at which its ends part, m/s; a block in front.
    pub rate: Numbers,
    /// Pull on its near end and against its far end, N; a block in front.
    pub pull_n: Ways,
    /// Half the drag of the air, on each end, N, when it was last reckoned; past the last
    /// segment the drag of the hardware; a block in front.
    pub air_n: Ways,
    /// Blocks of which any carries load.
    pub pulling: Vec<usize>,
    /// The branch again, for what is worked out one by one.
    pub laws: Vec<SegmentLaw>,
}

impl Segments {
    /// `n` blocks, and one to spare behind.
    pub fn new(n: usize) -> Self {
        let len = (n + 1) * BLOCK;
        Self {
            built: vec![Built::default(); n],
            state: vec![State::default(); n],
            rate: Numbers::new(len + 2 * BLOCK),
            pull_n: Ways::new(len + BLOCK),
            air_n: Ways::new(len + BLOCK),
            pulling: Vec::with_capacity(n),
            laws: vec![SegmentLaw::NONE; len],
        }
    }

    /// Sets what the air does to each end of segment `e`, or past the last to the hardware.
    #[inline(always)]
    pub fn set_air(&mut self, e: usize, air_n: [f64; 3]) {
        self.air_n.set(e + BLOCK, air_n);
    }

    /// Keeps the books of segment `e` right when the velocity of its far end jumps by
    /// `jump` after a kick of `kick_s`: works are booked at the head of the next step, from
    /// velocities that by then hold the jump, which no work of the segment's has made.
    pub fn jumped(&mut self, e: usize, kick_s: f64, jump: [f64; 3]) {
        let (state, k) = (&mut self.state[e / BLOCK], e % BLOCK);
        let swept = 0.5 * kick_s * dot(state.u.get(k), jump);
        state.given_j[k] -= state.elastic_n[k] * swept;
        state.viscous_j[k] -= state.viscous_n[k] * swept;
        state.dashpot_j[k] -= state.dashpot_n[k] * swept;
    }
}
