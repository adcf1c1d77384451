//! Point masses in flat lists, one list a component, so that loops over them
//! are plain and can be batched into lanes.

/// Position, velocity, mass and load of every point mass.
///
/// Order: the nodes of the chain from the held end to the free end, then the
/// dampers. Positions belong to the step, velocities to half a step before.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bodies {
    pub x: Vec<f64>,
    pub y: Vec<f64>,
    pub z: Vec<f64>,
    pub vx: Vec<f64>,
    pub vy: Vec<f64>,
    pub vz: Vec<f64>,
    /// Velocities before the last kick.
    pub was_x: Vec<f64>,
    pub was_y: Vec<f64>,
    pub was_z: Vec<f64>,
    pub mass: Vec<f64>,
    pub inv_mass: Vec<f64>,
    /// Every force but gravity and ground, N.
    pub fx: Vec<f64>,
    pub fy: Vec<f64>,
    pub fz: Vec<f64>,
    /// The air's share of that force, N.
    pub air_x: Vec<f64>,
    pub air_y: Vec<f64>,
    pub air_z: Vec<f64>,
    /// Energy taken by the air and the ground so far, J.
    pub air_j: Vec<f64>,
    pub ground_j: Vec<f64>,
    /// Impulse from the air and the ground so far, N·s.
    pub outer_x: Vec<f64>,
    pub outer_y: Vec<f64>,
    pub outer_z: Vec<f64>,
}

impl Bodies {
    /// `count` massless bodies at the origin.
    pub fn new(count: usize) -> Self {
        let zero = || vec![0.0; count];
        Self {
            x: zero(),
            y: zero(),
            z: zero(),
            vx: zero(),
            vy: zero(),
            vz: zero(),
            was_x: zero(),
            was_y: zero(),
            was_z: zero(),
            mass: zero(),
            inv_mass: zero(),
            fx: zero(),
            fy: zero(),
            fz: zero(),
            air_x: zero(),
            air_y: zero(),
            air_z: zero(),
            air_j: zero(),
            ground_j: zero(),
            outer_x: zero(),
            outer_y: zero(),
            outer_z: zero(),
        }
    }

    /// Number of bodies.
    pub fn count(&self) -> usize {
        self.x.len()
    }

    /// Gives body `i` a mass; it can move unless told otherwise.
    pub fn set_mass(&mut self, i: usize, mass: f64) {
        self.mass[i] = mass;
        self.inv_mass[i] = 1.0 / mass;
    }

    /// Place of body `i`.
    pub fn place(&self, i: usize) -> [f64; 3] {
        [self.x[i], self.y[i], self.z[i]]
    }

    /// Velocity of body `i`.
    pub fn velocity(&self, i: usize) -> [f64; 3] {
        [self.vx[i], self.vy[i], self.vz[i]]
    }

    /// Adds a force to body `i`.
    pub fn push(&mut self, i: usize, force: [f64; 3]) {
        self.fx[i] += force[0];
        self.fy[i] += force[1];
        self.fz[i] += force[2];
    }

    /// Changes velocities by the forces over `dt_s`; body 0 is left to its holder.
    #[inline(never)]
    pub fn kick(&mut self, dt_s: f64, gravity: [f64; 3]) {
        let n = self.count();
        let (gx, gy, gz) = (gravity[0] * dt_s, gravity[1] * dt_s, gravity[2] * dt_s);
        let (fx, fy, fz) = (&self.fx[..n], &self.fy[..n], &self.fz[..n]);
        let (vx, vy, vz) = (&mut self.vx[..n], &mut self.vy[..n], &mut self.vz[..n]);
        let inv = &self.inv_mass[..n];
        for i in 1..n {
            let by_mass = inv[i] * dt_s;
            vx[i] += fx[i] * by_mass + gx;
            vy[i] += fy[i] * by_mass + gy;
            vz[i] += fz[i] * by_mass + gz;
        }
    }

    /// Remembers the velocities before a kick.
    pub fn remember(&mut self) {
        self.was_x.copy_from_slice(&self.vx);
        self.was_y.copy_from_slice(&self.vy);
        self.was_z.copy_from_slice(&self.vz);
    }

    /// Counts work and impulse of the air over a kick of `dt_s`.
    #[inline(never)]
    pub fn count_air(&mut self, dt_s: f64) {
        let n = self.count();
        let half = 0.5 * dt_s;
        let (ax, ay, az) = (&self.air_x[..n], &self.air_y[..n], &self.air_z[..n]);
        let (vx, vy, vz) = (&self.vx[..n], &self.vy[..n], &self.vz[..n]);
        let (ux, uy, uz) = (&self.was_x[..n], &self.was_y[..n], &self.was_z[..n]);
        let air_j = &mut self.air_j[..n];
        let (ox, oy, oz) = (
            &mut self.outer_x[..n],
            &mut self.outer_y[..n],
            &mut self.outer_z[..n],
        );
        for i in 0..n {
            // The mean of the speeds before and after makes the work exact.
            air_j[i] -= half
                * (ax[i] * (ux[i] + vx[i]) + ay[i] * (uy[i] + vy[i]) + az[i] * (uz[i] + vz[i]));
            ox[i] += ax[i] * dt_s;
            oy[i] += ay[i] * dt_s;
            oz[i] += az[i] * dt_s;
        }
    }

    /// Moves every body with its velocity over `dt_s`.
    #[inline(never)]
    pub fn drift(&mut self, dt_s: f64) {
        let n = self.count();
        let (x, y, z) = (&mut self.x[..n], &mut self.y[..n], &mut self.z[..n]);
        let (vx, vy, vz) = (&self.vx[..n], &self.vy[..n], &self.vz[..n]);
        for i in 0..n {
            x[i] += vx[i] * dt_s;
            y[i] += vy[i] * dt_s;
            z[i] += vz[i] * dt_s;
        }
    }

    /// Kinetic energy of body `i`, J.
    pub fn kinetic_j(&self, i: usize) -> f64 {
        0.5 * self.mass[i] * square(self.velocity(i))
    }

    /// Speed of body `i`, m/s.
    pub fn speed(&self, i: usize) -> f64 {
        square(self.velocity(i)).sqrt()
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
