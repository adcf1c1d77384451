//! Energy and momentum books of a run.
//!
//! Every loss is counted where it happens, from the velocities before and after;
//! stored energy is the exact integral of the simulated law. Nothing is booked
//! as a loss to make the sum come out: what is left over is the error.

use super::bodies::{dot, minus, plus, square};
use super::chain::Chain;
use super::lanes::{BLOCK, Numbers};

/// Where the energy is, J.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EnergyAudit {
    /// Put in: stored in the line, and the motion of all but the far vehicle.
    pub put_in_j: f64,
    /// Motion of line, hardware and dampers.
    pub kinetic_j: f64,
    /// Motion of the far vehicle, less what it had.
    pub vehicle_j: f64,
    /// Stored in line, grips and tethers.
    pub elastic_j: f64,
    /// Raised against gravity since the start.
    pub gravity_j: f64,
    /// Lost to numerical viscosity.
    pub viscosity_j: f64,
    /// Lost to physical damping of the line.
    pub damping_j: f64,
    /// Lost to the air; less than nothing where wind gives more than it takes.
    pub air_j: f64,
    /// Lost to the ground.
    pub ground_j: f64,
    /// Lost in slipping grips.
    pub grip_j: f64,
    /// Lost when hardware picks dampers up.
    pub pick_up_j: f64,
    /// Lost in tethers, by their hysteresis and with those that part.
    pub tether_j: f64,
    /// Left over at the end: sum of the above less what was put in.
    pub error_j: f64,
    /// Largest left over at any time, as a share of what was put in.
    pub worst_error_share: f64,
}

/// Momentum gained against the impulses that gave it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MomentumAudit {
    /// Momentum of line, hardware, dampers and a rolling far vehicle, less that
    /// at the start, N·s.
    pub gained: [f64; 3],
    /// Impulses of holder, gravity, air, ground and tethers, N·s.
    pub impulse: [f64; 3],
    /// Size of the difference over `sqrt(2 m E)` of the run.
    pub error_share: f64,
}

/// The state at the start and the running worst.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Books {
    put_in_j: f64,
    vehicle_j: f64,
    start_j: f64,
    height_j: f64,
    momentum: [f64; 3],
    worst_share: f64,
    pub stored_j: f64,
}

impl Books {
    /// Opens the books of run `l` before the first step.
    pub fn open(chain: &Chain, l: usize) -> Self {
        let kinetic = kinetic_j(chain, l);
        let vehicle_j = chain.bodies.kinetic_j(0, l);
        let stored_j = elastic_j(chain, l, 0.0) + of_gear_j(chain, l, 0.0);
        Self {
            put_in_j: stored_j + kinetic,
            vehicle_j,
            start_j: stored_j + kinetic,
            height_j: height_j(chain, l, 0.0),
            momentum: momentum(chain, l),
            worst_share: 0.0,
            stored_j,
        }
    }

    /// What was put in, J.
    pub fn put_in_j(&self) -> f64 {
        self.put_in_j
    }

    /// The books now.
    pub fn balance(&mut self, chain: &Chain, l: usize) -> EnergyAudit {
        let lane = &chain.lanes[l];
        // Velocities belong to half a step ago: so must the positions. Segments are
        // taken a whole step back, where the law knows what they store, and the pull of
        // that place then does half of its work.
        let half = 0.5 * lane.step_s;
        let b = &chain.bodies;
        let bodies = |list: &Numbers| -> f64 {
            let each = chain.all_bodies().map(|i| list.get(chain.at(i, l)));
            each.sum()
        };
        let line = Line::of(chain, l);
        let mut audit = EnergyAudit {
            put_in_j: self.put_in_j,
            kinetic_j: kinetic_j(chain, l),
            vehicle_j: b.kinetic_j(0, l) - self.vehicle_j,
            elastic_j: elastic_j(chain, l, lane.step_s) + of_gear_j(chain, l, half),
            gravity_j: height_j(chain, l, lane.step_s - 0.5 * chain.timing.kick[l]) - self.height_j,
            viscosity_j: line.viscous_j,
            damping_j: line.dashpot_j,
            air_j: bodies(&b.air_j),
            ground_j: bodies(&b.ground_j),
            grip_j: lane.grips.iter().map(|g| g.dissipated_j).sum(),
            pick_up_j: lane.grips.iter().map(|g| g.pick_up_j).sum(),
            tether_j: lane.tethers.iter().map(|t| t.lost_j()).sum(),
            ..EnergyAudit::default()
        };
        audit.error_j = audit.kinetic_j
            + audit.vehicle_j
            + audit.elastic_j
            + audit.gravity_j
            + audit.viscosity_j
            + audit.damping_j
            + audit.air_j
            + audit.ground_j
            + audit.grip_j
            + audit.pick_up_j
            + audit.tether_j
            - self.start_j;
        self.worst_share = self.worst_share.max(audit.error_j.abs() / self.put_in_j);
        audit.worst_error_share = self.worst_share;
        audit
    }

    /// The momentum books now.
    pub fn momentum(&self, chain: &Chain, l: usize) -> MomentumAudit {
        let (b, lane) = (&chain.bodies, &chain.lanes[l]);
        let moving: f64 = chain.all_bodies().skip(1).map(|i| b.mass(i, l)).sum();
        let gained = plus(momentum(chain, l), -1.0, self.momentum);
        let outer = chain
            .all_bodies()
            .fold([0.0; 3], |sum, i| plus(sum, 1.0, b.outer.get(b.at(i, l))));
        let mut impulse = plus(outer, -1.0, lane.holder.impulse);
        impulse = plus(impulse, moving * lane.kicked_s, lane.gravity);
        for tether in &lane.tethers {
            impulse = plus(impulse, 1.0, tether.impulse);
        }
        let scale = (2.0 * moving * self.put_in_j).sqrt().max(1e-9);
        MomentumAudit {
            gained,
            impulse,
            error_share: square(plus(gained, -1.0, impulse)).sqrt() / scale,
        }
    }
}

/// The accounts of the segments of a run, with the works of the last kick, which the
/// chain books at the head of its next step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Line {
    viscous_j: f64,
    dashpot_j: f64,
}

impl Line {
    fn of(chain: &Chain, l: usize) -> Self {
        let (b, s) = (&chain.bodies, &chain.segments);
        let kick = chain.timing.kick[l];
        let mut sum = Self::default();
        for i in 0..chain.tip() {
            let e = chain.at(i, l);
            let (state, k) = (&s.state[e / BLOCK], e % BLOCK);
            let (near, far) = (b.velocity(i, l), b.velocity(i + 1, l));
            let after = dot(state.u.get(k), minus(far, near));
            let swept = 0.5 * kick * (s.rate.get(e + BLOCK) + after);
            sum.viscous_j += state.viscous_j[k] + state.viscous_n[k] * swept;
            sum.dashpot_j += state.dashpot_j[k] + state.dashpot_n[k] * swept;
        }
        sum
    }
}

/// Kinetic energy of all but the holder.
pub(super) fn kinetic_j(chain: &Chain, l: usize) -> f64 {
    let bodies = chain.all_bodies().skip(1);
    bodies.map(|i| chain.bodies.kinetic_j(i, l)).sum()
}

/// Energy stored in the line at positions moved back by `back_s`, and what its pull has
/// done since.
fn elastic_j(chain: &Chain, l: usize, back_s: f64) -> f64 {
    let (b, s) = (&chain.bodies, &chain.segments);
    let mut sum = 0.0;
    for i in 0..chain.tip() {
        let apart = minus(b.place(i + 1, l), b.place(i, l));
        let parting = minus(b.velocity(i + 1, l), b.velocity(i, l));
        let length = square(plus(apart, -back_s, parting)).sqrt();
        let e = chain.at(i, l);
        let (built, state, k) = (&s.built[e / BLOCK], &s.state[e / BLOCK], e % BLOCK);
        let strain = length * built.inv_rest[k] - 1.0;
        let pulling = 0.5 * chain.timing.kick[l] * dot(state.u.get(k), parting);
        sum += s.laws[e].energy_j_m(strain) * built.rest_m[k] + state.elastic_n[k] * pulling;
    }
    sum
}

/// Energy stored in grips, and in tethers at positions moved back by `back_s`.
fn of_gear_j(chain: &Chain, l: usize, back_s: f64) -> f64 {
    let (b, lane) = (&chain.bodies, &chain.lanes[l]);
    let grips = lane.grips.iter().map(|g| g.energy_j());
    let tethers = lane.tethers.iter().map(|t| t.energy_j(b, back_s));
    grips.sum::<f64>() + tethers.sum::<f64>()
}

fn height_j(chain: &Chain, l: usize, back_s: f64) -> f64 {
    let (b, lane) = (&chain.bodies, &chain.lanes[l]);
    let of = |i: usize| {
        let place = plus(b.place(i, l), -back_s, b.velocity(i, l));
        -b.mass(i, l) * dot(lane.gravity, place)
    };
    let carried: f64 = lane
        .grips
        .iter()
        .map(|g| -dot(lane.gravity, g.carried_kg_m))
        .sum();
    chain.all_bodies().skip(1).map(of).sum::<f64>() + carried
}

fn momentum(chain: &Chain, l: usize) -> [f64; 3] {
    let b = &chain.bodies;
    chain
        .all_bodies()
        .fold([0.0; 3], |sum, i| plus(sum, b.mass(i, l), b.velocity(i, l)))
}
