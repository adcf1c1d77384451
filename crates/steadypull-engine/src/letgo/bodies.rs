//! Point masses in blocks, and the vectors of what is done to
//! them one by one.

use super::lanes::{BLOCK, Numbers, Ways};

/// Position, velocity, mass and load of every point mass of `w` runs.
///
/// Order: the nodes of the chain from the held end to the free end, padding to a
/// whole block that never moves, then the dampers. Positions belong to the step,
/// velocities to half a step before.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bodies {
    /// Runs side by side.
    pub w: usize,
    pub place: Ways,
    pub velocity: Ways,
    /// Velocities before the last kick.
    pub was: Ways,
    pub mass: Numbers,
    pub inv_mass: Numbers,
    /// Pull of grips and tethers, and the air on dampers, N.
    pub pushed: Ways,
    /// Energy taken by the air and the ground so far, J.
    pub air_j: Numbers,
    pub ground_j: Numbers,
    /// Impulse from the air and the ground so far, N·s.
    pub outer: Ways,
    /// First damper.
    pub dampers_from: usize,
}

impl Bodies {
    /// Massless bodies at the origin: `blocks` of nodes and `dampers` of each of `w` runs.
    pub fn new(w: usize, blocks: usize, dampers: usize) -> Self {
        let nodes = blocks * BLOCK;
        // One block more than there are nodes: the last node has a next to be read.
        let all = nodes + (dampers * w).next_multiple_of(BLOCK).max(BLOCK);
        let zero = || Numbers::new(all);
        Self {
            w,
            place: Ways::new(all),
            velocity: Ways::new(all),
            was: Ways::new(all),
            mass: zero(),
            inv_mass: zero(),
            pushed: Ways::new(all),
            air_j: zero(),
            ground_j: zero(),
            outer: Ways::new(all),
            dampers_from: nodes / w,
        }
    }

    /// Place of body `i` of run `l` in the lists.
    #[inline(always)]
    pub fn at(&self, i: usize, l: usize) -> usize {
        i * self.w + l
    }

    /// Forgets all of run `l`.
    pub fn clear(&mut self, l: usize) {
        for e in (l..self.mass.blocks.len() * BLOCK).step_by(self.w) {
            for list in [
                &mut self.place,
                &mut self.velocity,
                &mut self.was,
                &mut self.pushed,
                &mut self.outer,
            ] {
                list.set(e, [0.0; 3]);
            }
            for list in [
                &mut self.mass,
                &mut self.inv_mass,
                &mut self.air_j,
                &mut self.ground_j,
            ] {
                list.set(e, 0.0);
            }
        }
    }

    /// Gives body `i` of run `l` a mass; it can move unless told otherwise.
    pub fn set_mass(&mut self, i: usize, l: usize, mass: f64) {
        let e = self.at(i, l);
        self.mass.set(e, mass);
        self.inv_mass.set(e, 1.0 / mass);
    }

    /// Mass of body `i` of run `l`, kg.
    pub fn mass(&self, i: usize, l: usize) -> f64 {
        self.mass.get(self.at(i, l))
    }

    /// Place of body `i` of run `l`.
    #[inline(always)]
    pub fn place(&self, i: usize, l: usize) -> [f64; 3] {
        self.place.get(self.at(i, l))
    }

    /// Velocity of body `i` of run `l`.
    #[inline(always)]
    pub fn velocity(&self, i: usize, l: usize) -> [f64; 3] {
        self.velocity.get(self.at(i, l))
    }

    /// Adds a force to body `i` of run `l`.
    pub fn push(&mut self, i: usize, l: usize, force: [f64; 3]) {
        let e = self.at(i, l);
        self.pushed.add(e, force);
    }

    /// Kinetic energy of body `i` of run `l`, J.
    pub fn kinetic_j(&self, i: usize, l: usize) -> f64 {
        0.5 * self.mass(i, l) * square(self.velocity(i, l))
    }

    /// Speed of body `i` of run `l`, m/s.
    pub fn speed(&self, i: usize, l: usize) -> f64 {
        square(self.velocity(i, l)).sqrt()
    }
}

/// Length squared.
pub(super) fn square(v: [f64; 3]) -> f64 {
    dot(v, v)
}

/// Scalar product.
pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Difference.
pub(super) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// `a + k b`.
pub(super) fn plus(a: [f64; 3], k: f64, b: [f64; 3]) -> [f64; 3] {
    [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]]
}

/// Multiple.
pub(super) fn times(k: f64, a: [f64; 3]) -> [f64; 3] {
    [k * a[0], k * a[1], k * a[2]]
}
