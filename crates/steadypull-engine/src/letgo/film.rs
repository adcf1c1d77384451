//! A run to be looked at: where everything is, moment by moment.
//!
//! The run is the one of [`run`](super::run), step for step: a film looks on after steps
//! and changes nothing. It keeps the states as the run had them, none made up between
//! two, at first every [`GRID_S`], then so far apart that nothing moves further from one
//! frame to the next than need be for [`MOST_FRAMES`] of them.

use fearless_simd::Level;

use super::audit::kinetic_j;
use super::bodies::square;
use super::chain::{Chain, Kind};
use super::outcome::FreeEnd;
use super::run::{Running, start};
use super::{LetGoError, Outcome, Setup};
use crate::units::{Duration, Length};

/// Most frames of a film.
pub const MOST_FRAMES: usize = 400;
/// Least time between looks, s: the fastest that flies moves 4 cm.
const GRID_S: f64 = 2.5e-4;
/// Most looks that are kept during a run; the time between them doubles when they are.
const MOST_LOOKS: usize = 4096;
/// Longest time between frames, s.
const LONGEST_S: f64 = 0.02;
/// Ways between frames that are tried, m: each is 1.25 times the one before.
const LEAST_WAY_M: f64 = 0.005;
const WAY_STEP: f64 = 1.25;

/// One body at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyAt {
    /// Place (x, y, z), m.
    pub place_m: [f64; 3],
    /// Speed, m/s.
    pub speed_m_s: f64,
}

/// A tether at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TetherAt {
    /// Where it is made fast, m.
    pub anchor_m: [f64; 3],
    /// Where it holds the line, m.
    pub line_m: [f64; 3],
    /// Whether it still does.
    pub holds: bool,
}

/// Everything at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Time after the link let go.
    pub time: Duration,
    /// Nodes of the line from the held to the free end.
    pub nodes: Vec<BodyAt>,
    /// Kinetic energy of line, hardware and dampers together, J.
    pub moving_j: f64,
    /// The free end, as an outcome tells it.
    pub free_end: FreeEnd,
    /// Dampers in the order of the setup: on the line or with what picked them up.
    pub dampers: Vec<BodyAt>,
    /// Tethers in the order of the setup.
    pub tethers: Vec<TetherAt>,
}

/// The frames of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Film {
    /// In the order of time; the first is the moment of parting, the last the end.
    pub frames: Vec<Frame>,
    /// The furthest that anything moves from one frame to the next.
    pub apart: Length,
}

/// Works out what flies when the link lets go, and shows it.
pub fn film(setup: &Setup) -> Result<(Outcome, Film), LetGoError> {
    setup.check()?;
    let kind = Kind::of(setup);
    let mut chain = Chain::new(kind, false, Level::new());
    let Some(mut running) = start(&mut chain, 0, Some(&(0, setup))) else {
        return Err(LetGoError::NoLine);
    };
    let mut looks = Looks::open(&chain, &running);
    loop {
        chain.step();
        if let Some(end) = running.note(&chain, 0) {
            looks.keep(&chain, &running);
            let outcome = running.outcome(&chain, 0, end?)?;
            return Ok((outcome, looks.film()));
        }
        looks.look(&chain, &running);
    }
}

/// What has been seen so far.
struct Looks {
    kept: Vec<Frame>,
    every_s: f64,
    next_s: f64,
}

impl Looks {
    fn open(chain: &Chain, running: &Running) -> Self {
        Self {
            kept: vec![frame(chain, running)],
            every_s: GRID_S,
            next_s: GRID_S,
        }
    }

    /// After a step.
    fn look(&mut self, chain: &Chain, running: &Running) {
        if chain.lanes[0].time_s < self.next_s {
            return;
        }
        if self.kept.len() == MOST_LOOKS {
            let mut odd = false;
            self.kept.retain(|_| {
                odd = !odd;
                odd
            });
            self.every_s *= 2.0;
        }
        self.keep(chain, running);
        // On the grid, however long the step was.
        self.next_s = (libm::floor(chain.lanes[0].time_s / self.every_s) + 1.0) * self.every_s;
    }

    fn keep(&mut self, chain: &Chain, running: &Running) {
        self.kept.push(frame(chain, running));
    }

    /// The frames that show the motion best.
    fn film(mut self) -> Film {
        let mut way_m = LEAST_WAY_M;
        let mut chosen = chosen(&self.kept, way_m);
        while chosen.len() > MOST_FRAMES {
            way_m *= WAY_STEP;
            chosen = self::chosen(&self.kept, way_m);
        }
        let mut k = 0;
        self.kept.retain(|_| {
            k += 1;
            chosen.binary_search(&(k - 1)).is_ok()
        });
        Film {
            apart: apart(&self.kept),
            frames: self.kept,
        }
    }
}

/// Looks between which nothing has moved much further than `way_m`, the last among them.
fn chosen(looks: &[Frame], way_m: f64) -> Vec<usize> {
    let mut found = vec![0];
    let (mut moved_m, mut since) = (0.0, 0);
    for k in 1..looks.len() {
        let time = |k: usize| looks[k].time.get();
        moved_m += fastest_m_s(&looks[k]) * (time(k) - time(k - 1));
        // Later looks are further apart the longer a run is: more must not be asked of them.
        let due = moved_m >= way_m || time(k) - time(since) >= LONGEST_S.max(time(k) / 50.0);
        if due || k + 1 == looks.len() {
            found.push(k);
            (moved_m, since) = (0.0, k);
        }
    }
    found
}

fn fastest_m_s(look: &Frame) -> f64 {
    let bodies = look.nodes.iter().chain(&look.dampers);
    bodies.map(|b| b.speed_m_s).fold(0.0, f64::max)
}

/// The furthest that a body of two frames in a row is apart.
fn apart(frames: &[Frame]) -> Length {
    let way = |a: &BodyAt, b: &BodyAt| square(super::bodies::minus(a.place_m, b.place_m));
    let bodies =
        |f: &'_ Frame| -> Vec<BodyAt> { f.nodes.iter().chain(&f.dampers).copied().collect() };
    let furthest = frames.windows(2).flat_map(|two| {
        let (a, b) = (bodies(&two[0]), bodies(&two[1]));
        a.into_iter().zip(b).map(|(a, b)| way(&a, &b))
    });
    Length::new(furthest.fold(0.0, f64::max).sqrt())
}

fn frame(chain: &Chain, running: &Running) -> Frame {
    let (b, lane) = (&chain.bodies, &chain.lanes[0]);
    let at = |body: usize| BodyAt {
        place_m: b.place(body, 0),
        speed_m_s: b.speed(body, 0),
    };
    let of_tether = |tether: &super::tether::TetherLine| {
        let (near, far) = (b.place(tether.segment, 0), b.place(tether.segment + 1, 0));
        TetherAt {
            anchor_m: tether.anchor,
            line_m: core::array::from_fn(|k| near[k] + tether.share * (far[k] - near[k])),
            holds: tether.holds(),
        }
    };
    Frame {
        time: Duration::new(lane.time_s),
        nodes: (0..=chain.tip()).map(at).collect(),
        moving_j: kinetic_j(chain, 0),
        free_end: running.recorder.free_end(chain),
        dampers: lane
            .grips
            .iter()
            .map(|grip| at(if grip.holds() { grip.body } else { chain.tip() }))
            .collect(),
        tethers: lane.tethers.iter().map(of_tether).collect(),
    }
}
