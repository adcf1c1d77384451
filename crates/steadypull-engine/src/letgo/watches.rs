//! Follows everything that flies in a run, and listens for the crack of its tail.
//!
//! - The free end: hardware with what it has picked up, or the last half metre of
//!   a bare line; the tail half a metre behind hardware; every damper.
//! - Hardware that comes off the line at its greatest speed, in free flight.
//! - The whip: what the tail does after the launch, when the end has passed the far
//!   vehicle or turned back and the line folds or comes tight: the speed of its last half
//!   metre as a whole, and that of its fastest node.
//!
//! An ideal line without thickness cracks without bound: the fastest node of a
//! chain grows with the number of segments (see [`Whip`]). The last half metre as
//! a whole has a speed that settles.

use super::bodies::{minus, plus, square, times};
use super::chain::Chain;
use super::flying::{FlyingState, Meets, Stretch, Watch};
use super::injury;
use super::outcome::FreeEnd;
use super::setup::Setup;
use crate::units::{Duration, Energy, Mass, Speed};

/// Time between looks at a flying thing, s: at 200 m/s it moves 20 cm, straight
/// to a hair (gravity bends that by a micrometre).
const LOOK_S: f64 = 1e-3;

/// What flies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thing {
    /// The hardware with what it has picked up, or the bare end of the line.
    FreeEnd,
    /// The line half a metre behind hardware.
    Tail,
    /// A damper, by its place in the setup.
    Damper(usize),
    /// The hardware, off the line at its greatest speed.
    OffTheLine,
}

/// What one thing did.
#[derive(Debug, Clone, PartialEq)]
pub struct Flown {
    /// What it is.
    pub thing: Thing,
    /// Its mass; of a line the half metre that counts.
    pub mass: Mass,
    /// Greatest speed before any strike.
    pub max_speed: Speed,
    /// Greatest kinetic energy before any strike.
    pub max_energy: Energy,
    /// What it meets.
    pub meets: Meets,
    /// Stretches of its way over each injury criterion.
    pub over: Vec<Stretch>,
    /// Where it is at the end if it strikes nothing, m.
    pub rests_m: [f64; 3],
}

/// The crack of the tail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Whip {
    /// Greatest speed of the last half metre of line as a whole (root of the mean
    /// square): it settles as segments are added.
    pub tail_speed: Speed,
    /// Greatest speed of a node of the tail: it grows with the number of segments,
    /// so it bounds nothing.
    pub node_speed: Speed,
    /// When the node has it.
    pub time: Duration,
    /// Where, m.
    pub place_m: [f64; 3],
}

/// All that is followed in a run.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Watches {
    lane: usize,
    free_end: Watch,
    tail: Option<Watch>,
    dampers: Vec<(Watch, f64)>,
    /// Nodes of the last half metre, each with the mass that counts, from the end on.
    half_metre: Vec<(usize, f64)>,
    /// The same nodes with their shares of that mass.
    tail_shares: Vec<(usize, f64)>,
    last_look_s: f64,
    crack: Option<Crack>,
}

/// The crack so far, speeds squared: a root in every step costs more than all else there.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Crack {
    tail_2: f64,
    node_2: f64,
    time_s: f64,
    place_m: [f64; 3],
}

impl Watches {
    /// Before the first step of lane `lane`. `half_metre`: nodes of the last half metre with the
    /// mass that counts, from the end on.
    pub fn new(setup: &Setup, lane: usize, half_metre: Vec<(usize, f64)>) -> Self {
        let criteria: Vec<f64> = setup.watched.criteria.iter().map(|c| c.get()).collect();
        let kg: f64 = half_metre.iter().map(|tail| tail.1).sum();
        let tail_shares = half_metre.iter().map(|&(i, part)| (i, part / kg)).collect();
        let watch = || Watch::new(setup.watched.far_body.clone(), &criteria);
        Self {
            lane,
            free_end: watch(),
            tail: (setup.hardware.mass.get() > 0.0).then(watch),
            dampers: setup
                .dampers
                .iter()
                .map(|d| (watch(), d.mass.get()))
                .collect(),
            half_metre,
            tail_shares,
            last_look_s: f64::NEG_INFINITY,
            crack: None,
        }
    }

    /// Whether it is time for the next look.
    pub fn look_due(&self, time_s: f64) -> bool {
        time_s - self.last_look_s >= LOOK_S
    }

    /// Looks at everything that flies, after a step that was due.
    pub fn look(&mut self, chain: &Chain, end: &FreeEnd) {
        let (b, l) = (&chain.bodies, self.lane);
        let lane = &chain.lanes[l];
        self.last_look_s = lane.time_s;
        let state = |body: usize, energy_j: f64| FlyingState {
            time_s: lane.time_s,
            place_m: on_ground(b.place(body, l)),
            velocity_m_s: b.velocity(body, l),
            energy_j,
            held_x_m: b.place(0, l)[0],
            held_m_s: b.velocity(0, l)[0],
        };
        let end_struck = self.free_end.has_struck();
        self.free_end.note(&FlyingState {
            velocity_m_s: end.velocity_m_s,
            ..state(chain.tip(), end.energy.get())
        });
        if let (Some(tail), Some(&(node, _))) = (&mut self.tail, self.half_metre.last()) {
            let joules = self
                .half_metre
                .iter()
                .map(|&(i, kg)| 0.5 * kg * square(b.velocity(i, l)));
            tail.note(&state(node, joules.sum()));
        }
        for (k, (watch, kg)) in self.dampers.iter_mut().enumerate() {
            let grip = &lane.grips[k];
            // What carries it has struck: the run goes on, it does not.
            if !grip.holds() && end_struck {
                continue;
            }
            let body = if grip.holds() { grip.body } else { chain.tip() };
            let speed_2 = square(b.velocity(body, l));
            watch.note(&state(body, 0.5 * *kg * speed_2));
        }
    }

    /// The crack, after a step once the end has passed the far point or turned.
    pub fn note_whip(&mut self, chain: &Chain) {
        let (b, l) = (&chain.bodies, self.lane);
        let (mut sum, mut fastest) = (0.0, (0.0, 0));
        for &(i, share) in &self.tail_shares {
            let speed_2 = square(b.velocity(i, l));
            sum += share * speed_2;
            // The end node is the hardware where there is any.
            if speed_2 > fastest.0 && (self.tail.is_none() || i != chain.tip()) {
                fastest = (speed_2, i);
            }
        }
        let crack = self.crack.get_or_insert_default();
        crack.tail_2 = if sum > crack.tail_2 {
            sum
        } else {
            crack.tail_2
        };
        if fastest.0 > crack.node_2 {
            crack.node_2 = fastest.0;
            crack.time_s = chain.lanes[l].time_s;
            crack.place_m = b.place(fastest.1, l);
        }
    }

    /// The crack, if the run got so far.
    pub fn whip(&self) -> Option<Whip> {
        let whip = |crack: Crack| Whip {
            tail_speed: Speed::new(crack.tail_2.sqrt()),
            node_speed: Speed::new(crack.node_2.sqrt()),
            time: Duration::new(crack.time_s),
            place_m: crack.place_m,
        };
        self.crack.map(whip)
    }

    /// What each thing did.
    pub fn flown(&self, setup: &Setup, chain: &Chain) -> Vec<Flown> {
        let (b, l) = (&chain.bodies, self.lane);
        let lane = &chain.lanes[l];
        let line_kg: f64 = self.half_metre.iter().map(|t| t.1).sum();
        let mut out = vec![flown(
            Thing::FreeEnd,
            if self.tail.is_some() {
                setup.hardware.mass.get()
            } else {
                line_kg
            },
            &self.free_end,
            b.place(chain.tip(), l),
        )];
        if let (Some(tail), Some(&(node, _))) = (&self.tail, self.half_metre.last()) {
            out.push(flown(Thing::Tail, line_kg, tail, b.place(node, l)));
        }
        for (k, (watch, kg)) in self.dampers.iter().enumerate() {
            let grip = &lane.grips[k];
            let body = if grip.holds() { grip.body } else { chain.tip() };
            out.push(flown(Thing::Damper(k), *kg, watch, b.place(body, l)));
        }
        out
    }
}

/// A place without the hair by which a body may sink into the ground.
fn on_ground([x, y, z]: [f64; 3]) -> [f64; 3] {
    [x, y, z.max(0.0)]
}

fn flown(thing: Thing, kg: f64, watch: &Watch, rests_m: [f64; 3]) -> Flown {
    let (max_speed, max_energy) = watch.greatest();
    Flown {
        thing,
        mass: Mass::new(kg),
        max_speed,
        max_energy,
        meets: watch.meets(),
        over: watch.stretches(),
        rests_m,
    }
}

/// The free flight of hardware that comes off at `launch`, past a far vehicle that
/// stands where it stood when the link let go.
pub(super) fn off_the_line(
    setup: &Setup,
    launch: &FreeEnd,
    (kg, drag_per_m): (f64, f64),
    (gravity, friction): ([f64; 3], f64),
    far_x_m: f64,
) -> Option<(Flown, super::FreeFlight)> {
    let criteria: Vec<f64> = setup.watched.criteria.iter().map(|c| c.get()).collect();
    let mut watch = Watch::new(setup.watched.far_body.clone(), &criteria);
    let flight = follow(
        &mut watch,
        (launch.time.get(), far_x_m),
        (launch.place_m, launch.velocity_m_s),
        (kg, drag_per_m, setup.wind_m_s),
        (gravity, friction),
    )?;
    let rests = [flight.stops_m.0, flight.stops_m.1, 0.0];
    Some((flown(Thing::OffTheLine, kg, &watch, rests), flight))
}

/// Stretches over each of `criteria` of the way along x of a body in free flight and
/// sliding, past no vehicle. `body`: its mass, kg, its drag a metre, the wind.
pub(super) fn over_in_flight(
    criteria: &[Energy],
    launch: ([f64; 3], [f64; 3]),
    body: (f64, f64, [f64; 3]),
    ground: ([f64; 3], f64),
) -> Vec<Stretch> {
    let criteria: Vec<f64> = criteria.iter().map(|c| c.get()).collect();
    let mut watch = Watch::new(None, &criteria);
    // Nothing stands anywhere: as far off as can be.
    follow(&mut watch, (0.0, f64::MAX), launch, body, ground);
    watch.stretches()
}

/// Shows `watch` a free flight that begins at `start_s` and the slide after it, with a
/// far vehicle at `far_x_m`.
fn follow(
    watch: &mut Watch,
    (start_s, far_x_m): (f64, f64),
    (place_m, velocity_m_s): ([f64; 3], [f64; 3]),
    (kg, drag_per_m, wind_m_s): (f64, f64, [f64; 3]),
    (gravity, friction): ([f64; 3], f64),
) -> Option<super::FreeFlight> {
    let mut see = |time_s: f64, place_m: [f64; 3], velocity_m_s: [f64; 3]| {
        watch.note(&FlyingState {
            time_s: start_s + time_s,
            place_m,
            velocity_m_s,
            energy_j: 0.5 * kg * square(velocity_m_s),
            held_x_m: far_x_m,
            held_m_s: 0.0,
        });
    };
    let flight = super::free_flight::watched(
        (place_m, velocity_m_s),
        (drag_per_m, wind_m_s),
        gravity,
        friction,
        &mut see,
    )?;
    slide(&mut see, &flight, friction, gravity);
    Some(flight)
}

/// The slide after the landing, in even parts of the way, slowed evenly.
pub(super) fn slide(
    see: &mut dyn FnMut(f64, [f64; 3], [f64; 3]),
    flight: &super::FreeFlight,
    friction: f64,
    gravity: [f64; 3],
) {
    const PARTS: u32 = 20;
    let from = [flight.lands_m.0, flight.lands_m.1, 0.0];
    let way = minus([flight.stops_m.0, flight.stops_m.1, 0.0], from);
    let [vx, vy, vz] = flight.lands_at_m_s;
    let lands = (vx * vx + vy * vy).sqrt();
    let left = (lands - friction * vz.abs()).max(0.0);
    let size = square(way).sqrt();
    if size <= 0.0 || left <= 0.0 || square(gravity) <= 0.0 {
        return;
    }
    for i in 0..=PARTS {
        let share = f64::from(i) / f64::from(PARTS);
        let speed = left * (1.0 - share).sqrt();
        let time_s = flight.flight_s + 2.0 * size / left * (1.0 - (1.0 - share).sqrt());
        see(time_s, plus(from, share, way), times(speed / size, way));
    }
}

/// What a run is watched for.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// The far vehicle; none where nothing stands there.
    pub far_body: Option<super::body::VehicleBody>,
    /// Injury criteria to tell the stretch of the way for.
    pub criteria: Vec<Energy>,
}

impl Default for Watched {
    /// No vehicle; first casualties and the hazardous fragment.
    fn default() -> Self {
        Self {
            far_body: None,
            criteria: vec![injury::FIRST_CASUALTY, injury::HAZARDOUS_FRAGMENT],
        }
    }
}
