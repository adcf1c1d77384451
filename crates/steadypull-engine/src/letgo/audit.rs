//! Energy and momentum books of a run.
//!
//! Every loss is counted where it happens, from the velocities before and after;
//! stored energy is the exact integral of the simulated law. Nothing is booked
//! as a loss to make the sum come out: what is left over is the error.

use super::bodies::{dot, plus, square, times};
use super::chain::Chain;

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
    /// Opens the books before the first step.
    pub fn open(chain: &Chain) -> Self {
        let kinetic = kinetic_j(chain);
        let vehicle_j = chain.bodies.kinetic_j(0);
        let stored_j = elastic_j(chain, 0.0);
        Self {
            put_in_j: stored_j + kinetic,
            vehicle_j,
            start_j: stored_j + kinetic,
            height_j: height_j(chain, 0.0),
            momentum: momentum(chain),
            worst_share: 0.0,
            stored_j,
        }
    }

    /// The books now.
    pub fn balance(&mut self, chain: &Chain) -> EnergyAudit {
        // Velocities belong to half a step ago: so must the positions.
        let back = 0.5 * chain.step_s;
        let sum = |list: &[f64]| list.iter().sum::<f64>();
        let mut audit = EnergyAudit {
            put_in_j: self.put_in_j,
            kinetic_j: kinetic_j(chain),
            vehicle_j: chain.bodies.kinetic_j(0) - self.vehicle_j,
            elastic_j: elastic_j(chain, back),
            gravity_j: height_j(chain, back) - self.height_j,
            viscosity_j: sum(&chain.segments.viscous_j),
            damping_j: sum(&chain.segments.dashpot_j),
            air_j: sum(&chain.bodies.air_j),
            ground_j: sum(&chain.bodies.ground_j),
            grip_j: chain.grips.iter().map(|g| g.dissipated_j).sum(),
            pick_up_j: chain.grips.iter().map(|g| g.pick_up_j).sum(),
            tether_j: chain.tethers.iter().map(|t| t.lost_j()).sum(),
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
    pub fn momentum(&self, chain: &Chain) -> MomentumAudit {
        let b = &chain.bodies;
        let moving: f64 = b.mass[1..].iter().sum();
        let gained = plus(momentum(chain), -1.0, self.momentum);
        let outer = [&b.outer_x, &b.outer_y, &b.outer_z].map(|list| list.iter().sum::<f64>());
        let mut impulse = plus(outer, -1.0, chain.holder.impulse);
        impulse = plus(impulse, moving * chain.kicked_s, chain.gravity);
        for tether in &chain.tethers {
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

/// Kinetic energy of all but the holder.
pub(super) fn kinetic_j(chain: &Chain) -> f64 {
    (1..chain.bodies.count())
        .map(|i| chain.bodies.kinetic_j(i))
        .sum()
}

fn elastic_j(chain: &Chain, back_s: f64) -> f64 {
    let b = &chain.bodies;
    let mut sum = 0.0;
    for run in &chain.runs {
        for i in run.from..run.to {
            let apart = plus(b.place(i + 1), -1.0, b.place(i));
            let parting = plus(b.velocity(i + 1), -1.0, b.velocity(i));
            let length = square(plus(apart, -back_s, parting)).sqrt();
            let strain = length * chain.segments.inv_rest[i] - 1.0;
            sum += run.law.energy_j_m(strain) * chain.segments.rest_m[i];
        }
    }
    sum += chain
        .grips
        .iter()
        .map(|g| g.energy_j(b, back_s))
        .sum::<f64>();
    sum + chain
        .tethers
        .iter()
        .map(|t| t.energy_j(b, back_s))
        .sum::<f64>()
}

fn height_j(chain: &Chain, back_s: f64) -> f64 {
    let b = &chain.bodies;
    let of = |i: usize| -b.mass[i] * dot(chain.gravity, plus(b.place(i), -back_s, b.velocity(i)));
    let carried: f64 = chain
        .grips
        .iter()
        .map(|g| -dot(chain.gravity, g.carried_kg_m))
        .sum();
    (1..b.count()).map(of).sum::<f64>() + carried
}

fn momentum(chain: &Chain) -> [f64; 3] {
    let b = &chain.bodies;
    (0..b.count()).fold([0.0; 3], |sum, i| {
        plus(sum, 1.0, times(b.mass[i], b.velocity(i)))
    })
}
