//! What one flying thing does on its way: what it meets, and where it is hazardous.
//!
//! What it answers: of a thing followed from state to state (hardware, the line's
//! tail, a damper, hardware that came off the line): where and how hard it first
//! strikes the far vehicle, or how it passes it; over which stretch of the way it
//! carries more than an injury criterion, and how high it is there.
//!
//! Pure functions over consecutive states; between two of them the way is straight
//! and speeds go straight. The far vehicle may roll: depths are from its recovery
//! point. Past a strike nothing is followed: the run goes on as if no vehicle stood
//! there, so rest and reach of a thing that strikes are those of one that misses.

use super::bodies::{dot, plus};
use super::body::{Face, Passing, VehicleBody};
use crate::units::{Duration, Energy, Length, Speed};

/// A flying thing at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FlyingState {
    /// Time after the link let go, s.
    pub time_s: f64,
    /// Place (x, y, z), m.
    pub place_m: [f64; 3],
    /// Velocity, m/s.
    pub velocity_m_s: [f64; 3],
    /// Kinetic energy, J.
    pub energy_j: f64,
    /// The far recovery point's x, m, and its speed along x, m/s.
    pub held_x_m: f64,
    /// Speed of the far vehicle along x, m/s.
    pub held_m_s: f64,
}

/// The first strike on the far vehicle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strike {
    /// What it strikes.
    pub face: Face,
    /// When.
    pub time: Duration,
    /// How far behind the face with the recovery point.
    pub depth: Length,
    /// To the left of the line of pull.
    pub side: Length,
    /// Above the ground.
    pub height: Length,
    /// Its speed over the ground.
    pub speed: Speed,
    /// Speed into the face, the vehicle's own taken off.
    pub normal_speed: Speed,
    /// Its kinetic energy.
    pub energy: Energy,
}

/// How it passes the far vehicle without a strike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passed {
    /// Over, under or beside.
    pub how: Passing,
    /// When it passes the face with the recovery point.
    pub time: Duration,
    /// How high.
    pub height: Length,
    /// How far to the left of the line of pull.
    pub side: Length,
    /// How fast.
    pub speed: Speed,
    /// With what kinetic energy.
    pub energy: Energy,
}

/// What a thing meets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Meets {
    /// It strikes the far vehicle.
    Strikes(Strike),
    /// It passes it.
    Passes(Passed),
    /// It does not get there.
    StopsShort,
}

/// The stretch of the way over an energy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// The energy.
    pub criterion: Energy,
    /// Where it begins, along x.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Least height on it.
    pub lowest: Length,
    /// Greatest height on it.
    pub highest: Length,
}

/// Follows one thing.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Watch {
    body: Option<VehicleBody>,
    last: Option<FlyingState>,
    strike: Option<Strike>,
    passed: Option<Passed>,
    criteria_j: Vec<f64>,
    stretches: Vec<Option<Stretch>>,
    fastest_m_s: f64,
    most_j: f64,
    /// It began at the far vehicle and has not left it.
    hangs_there: bool,
}

/// What begins no further than this from the far vehicle's face hangs at it: only
/// once it has left can it strike, m.
const AT_FACE_M: f64 = 0.2;

impl Watch {
    /// Before the first state. `criteria_j` are the injury criteria, J.
    pub fn new(body: Option<VehicleBody>, criteria_j: &[f64]) -> Self {
        Self {
            body,
            last: None,
            strike: None,
            passed: None,
            criteria_j: criteria_j.to_vec(),
            stretches: vec![None; criteria_j.len()],
            fastest_m_s: 0.0,
            most_j: 0.0,
            hangs_there: false,
        }
    }

    /// The next state.
    pub fn note(&mut self, now: &FlyingState) {
        let (first, last) = (self.last.is_none(), self.last.replace(*now));
        let near = seen(now)[0] > -AT_FACE_M;
        self.hangs_there = near && (first || self.hangs_there);
        let Some(last) = last.filter(|_| !self.hangs_there) else {
            self.note_energy(now);
            return;
        };
        if self.strike.is_some() {
            return;
        }
        let (from, to) = (seen(&last), seen(now));
        if let Some(body) = &self.body
            && let Some(struck) = body.struck(from, to)
        {
            let at = between(&last, now, struck.share);
            self.strike = Some(strike(&at, struck.face, struck.out));
            self.note_energy(&at);
            return;
        }
        if self.passed.is_none() && from[0] < 0.0 && to[0] >= 0.0 {
            let at = between(&last, now, from[0] / (from[0] - to[0]));
            self.passed = Some(self.passes(&at));
        }
        self.note_energy(now);
    }

    /// Where it is worked out to strike, or how it passes.
    pub fn meets(&self) -> Meets {
        match (self.strike, self.passed) {
            (Some(strike), _) => Meets::Strikes(strike),
            (None, Some(passed)) => Meets::Passes(passed),
            (None, None) => Meets::StopsShort,
        }
    }

    /// Whether it has struck.
    pub fn has_struck(&self) -> bool {
        self.strike.is_some()
    }

    /// Stretches over each criterion that it passes at all.
    pub fn stretches(&self) -> Vec<Stretch> {
        self.stretches.iter().flatten().copied().collect()
    }

    /// Greatest speed and energy before any strike.
    pub fn greatest(&self) -> (Speed, Energy) {
        (Speed::new(self.fastest_m_s), Energy::new(self.most_j))
    }

    fn passes(&self, at: &FlyingState) -> Passed {
        let (side, height) = (at.place_m[1], at.place_m[2]);
        let how = self.body.as_ref().map_or(Passing::Over, |body| {
            body.passing(side, height).unwrap_or(Passing::Over)
        });
        Passed {
            how,
            time: Duration::new(at.time_s),
            height: Length::new(height),
            side: Length::new(side),
            speed: speed(at),
            energy: Energy::new(at.energy_j),
        }
    }

    fn note_energy(&mut self, at: &FlyingState) {
        self.fastest_m_s = self.fastest_m_s.max(speed(at).get());
        self.most_j = self.most_j.max(at.energy_j);
        for (criterion, stretch) in self.criteria_j.iter().zip(&mut self.stretches) {
            if at.energy_j < *criterion {
                continue;
            }
            let (x, z) = (Length::new(at.place_m[0]), Length::new(at.place_m[2]));
            let over = stretch.get_or_insert(Stretch {
                criterion: Energy::new(*criterion),
                from: x,
                to: x,
                lowest: z,
                highest: z,
            });
            over.from = over.from.min(x);
            over.to = over.to.max(x);
            over.lowest = over.lowest.min(z);
            over.highest = over.highest.max(z);
        }
    }
}

fn speed(at: &FlyingState) -> Speed {
    Speed::new(dot(at.velocity_m_s, at.velocity_m_s).sqrt())
}

/// Place seen from the far recovery point.
fn seen(at: &FlyingState) -> [f64; 3] {
    let [x, y, z] = at.place_m;
    [x - at.held_x_m, y, z]
}

fn between(a: &FlyingState, b: &FlyingState, share: f64) -> FlyingState {
    let mix = |x: f64, y: f64| x + share * (y - x);
    let mix3 = |x: [f64; 3], y: [f64; 3]| [mix(x[0], y[0]), mix(x[1], y[1]), mix(x[2], y[2])];
    FlyingState {
        time_s: mix(a.time_s, b.time_s),
        place_m: mix3(a.place_m, b.place_m),
        velocity_m_s: mix3(a.velocity_m_s, b.velocity_m_s),
        energy_j: mix(a.energy_j, b.energy_j),
        held_x_m: mix(a.held_x_m, b.held_x_m),
        held_m_s: mix(a.held_m_s, b.held_m_s),
    }
}

fn strike(at: &FlyingState, face: Face, out: [f64; 3]) -> Strike {
    let closing = plus(at.velocity_m_s, -at.held_m_s, [1.0, 0.0, 0.0]);
    let [depth, side, height] = seen(at);
    Strike {
        face,
        time: Duration::new(at.time_s),
        depth: Length::new(depth),
        side: Length::new(side),
        height: Length::new(height),
        speed: speed(at),
        normal_speed: Speed::new((-dot(closing, out)).max(0.0)),
        energy: Energy::new(at.energy_j),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::letgo::body::BodyEnd;
    use crate::plan::BodyShape;
    use crate::units::G;

    fn wagon(end: BodyEnd) -> VehicleBody {
        VehicleBody::new(&BodyShape::wagon(), end, Length::ZERO, Length::ZERO)
    }

    fn state(time_s: f64, place_m: [f64; 3], velocity_m_s: [f64; 3]) -> FlyingState {
        FlyingState {
            time_s,
            place_m,
            velocity_m_s,
            energy_j: 0.5 * 2.0 * dot(velocity_m_s, velocity_m_s),
            held_x_m: 10.0,
            held_m_s: 0.0,
        }
    }

    /// A body of 2 kg thrown from the origin, without air.
    fn thrown(end: BodyEnd, height: f64, v: [f64; 3]) -> Watch {
        let mut watch = Watch::new(Some(wagon(end)), &[15.0, 79.0]);
        for i in 0..4000 {
            let t = f64::from(i) * 1e-3;
            let z = height + v[2] * t - 0.5 * G * t * t;
            if z >= 0.0 {
                watch.note(&state(
                    t,
                    [v[0] * t, v[1] * t, z],
                    [v[0], v[1], v[2] - G * t],
                ));
            }
        }
        watch
    }

    #[test]
    fn energy_is_kept_from_arrival_to_strike() {
        // Over the bonnet's edge and into the screen.
        let watch = thrown(BodyEnd::Front, 0.6, [40.0, 0.0, 4.0]);
        let Meets::Strikes(strike) = watch.meets() else {
            panic!("{:?}", watch.meets());
        };
        assert_eq!(strike.face, Face::Windscreen);
        let passed = watch.passed.unwrap();
        assert_eq!(passed.how, Passing::Over);
        let whole = |energy: Energy, height: Length| energy.get() + 2.0 * G * height.get();
        let (arrives, strikes) = (
            whole(passed.energy, passed.height),
            whole(strike.energy, strike.height),
        );
        assert!(
            (arrives / strikes - 1.0).abs() < 1e-6,
            "{arrives} {strikes}"
        );
        assert!(strike.normal_speed < strike.speed);
    }

    #[test]
    fn over_under_beside_and_short() {
        let how = |watch: Watch| match watch.meets() {
            Meets::Passes(passed) => Some(passed.how),
            _ => None,
        };
        assert_eq!(
            how(thrown(BodyEnd::Rear, 0.6, [40.0, 0.0, 12.0])),
            Some(Passing::Over)
        );
        assert_eq!(
            how(thrown(BodyEnd::Rear, 0.6, [40.0, 6.0, 2.0])),
            Some(Passing::Beside)
        );
        let short = thrown(BodyEnd::Rear, 0.6, [3.0, 0.0, 0.0]);
        assert_eq!(short.meets(), Meets::StopsShort);
        let Meets::Strikes(hit) = thrown(BodyEnd::Rear, 0.6, [60.0, 0.0, 1.0]).meets() else {
            panic!("it strikes the tailgate");
        };
        assert_eq!(hit.face, Face::Tailgate);
        assert!((hit.normal_speed.get() - 60.0).abs() < 1e-9);
    }

    #[test]
    fn the_hazardous_stretch_ends_at_the_strike() {
        let watch = thrown(BodyEnd::Rear, 0.6, [60.0, 0.0, 1.0]);
        let stretches = watch.stretches();
        assert_eq!(stretches.len(), 2);
        assert_eq!(stretches[1].from, Length::ZERO);
        assert!((stretches[1].to.get() - 10.0).abs() < 1e-9);
        assert!(stretches[1].highest >= stretches[1].lowest);
        let slow = thrown(BodyEnd::Rear, 0.6, [1.0, 0.0, 0.0]);
        assert!(slow.stretches().is_empty());
    }

    #[test]
    fn mirrored_flights_mirror() {
        let one = thrown(BodyEnd::Front, 0.7, [50.0, 2.0, 3.0]).meets();
        let other = thrown(BodyEnd::Front, 0.7, [50.0, -2.0, 3.0]).meets();
        let (Meets::Strikes(one), Meets::Strikes(other)) = (one, other) else {
            panic!("{one:?} {other:?}");
        };
        assert_eq!(
            (one.face, one.height, one.energy),
            (other.face, other.height, other.energy)
        );
        assert_eq!(one.side, -other.side);
    }
}
