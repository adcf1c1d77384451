//! One flight of a rig moment by moment, to be looked at.
//!
//! The flight is found and worked out as [`partings`](super::partings) does, but of one
//! part alone. An end of line is shown by the run of its launch, carried on for as long as
//! the answer follows it: until the launch is over the two are the same run. Of a line
//! that goes on round a block only its own part is shown; the rest is worked out laid
//! straight beyond the block.

use super::draft::Draft;
use super::flights::{end_flight, thrown_flight};
use super::flown::{FlownEnd, flown_of, follow_on};
use super::parting::Flight;
use super::partings::{all_ends, drafts};
use super::scene::Scene;
use crate::letgo::film::{Film, Frame, film};
use crate::letgo::{LetGoError, Outcome, Setup};
use crate::plan::Plan;
use crate::rig::{LaidOut, NodeKind, Side};
use crate::units::{Duration, Force, Speed};

/// Which flight of which part, as the partings have them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Which {
    /// The part.
    pub parting: usize,
    /// Its flight.
    pub flight: usize,
}

/// A flight with what there is to look at.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmedFlight {
    /// The flight.
    pub flight: Flight,
    /// The part's name in the plan.
    pub part: String,
    /// Where it is in the rig, in words.
    pub at: String,
    /// Its load when it lets go.
    pub load: Force,
    /// The greatest that the rig can bring there.
    pub most_load: Force,
    /// The motion; none of what is only bounded.
    pub shown: Option<Shown>,
}

/// What moves.
#[derive(Debug, Clone, PartialEq)]
pub enum Shown {
    /// An end of line.
    End(Box<EndShown>),
    /// Something thrown: its free flight and slide, in the frame of the plan, the height
    /// above the ground.
    Thrown(Vec<ThrownAt>),
}

/// An end of line in motion.
#[derive(Debug, Clone, PartialEq)]
pub struct EndShown {
    /// The run.
    pub setup: Setup,
    /// Its outcome.
    pub outcome: Outcome,
    /// Its frames, in the coordinates of the run.
    pub film: Film,
    /// The vehicle that it flies to, if any.
    pub flies_to: Option<Side>,
    /// First node of the line that lies on its own part of line.
    pub from_node: usize,
    /// Furthest place along its way, m.
    pub most_x_m: f64,
    /// Where it breaks, m in plan, and its level way.
    pub from_m: [f64; 2],
    /// Its way, a unit vector in plan.
    pub way: [f64; 2],
    /// Names of its dampers.
    pub dampers: Vec<String>,
    /// Names of its tethers.
    pub tethers: Vec<String>,
}

impl EndShown {
    /// A place of the run in the frame of the plan, the height above the ground.
    pub fn in_plan(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let x = x.min(self.most_x_m);
        let [wx, wy] = self.way;
        [
            self.from_m[0] + x * wx - y * wy,
            self.from_m[1] + x * wy + y * wx,
            z.max(0.0),
        ]
    }
}

/// Something thrown at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThrownAt {
    /// Time after the part let go.
    pub time: Duration,
    /// Where it is, m.
    pub place_m: [f64; 3],
    /// How fast.
    pub speed: Speed,
}

/// The flight `which` when `pull` is the pull on the casualty along its way, or such that
/// the part carries `load`; none if there is no such flight.
pub fn filmed(
    plan: &Plan,
    rig: &LaidOut,
    pull: Force,
    which: Which,
    load: Option<Force>,
) -> Option<Result<FilmedFlight, LetGoError>> {
    let found = Found::of(plan, rig, super::times(rig, pull), which.parting)?;
    let flights = found.flights();
    let source = flights.list.get(which.flight)?.1;
    let Some(load) = load else {
        return Some(found.filmed(flights, source));
    };
    // No line carries more than its strength, whatever the pull.
    let carried = found.scene.solved.pull() / rig.at_unit_haul.pull();
    let times = load.get() / found.draft().cause.load_n * carried;
    let found = Found::of(plan, rig, times, which.parting)?;
    let flights = found.flights();
    Some(found.filmed(flights, source))
}

/// A part of a rig under load.
struct Found<'a> {
    scene: Scene<'a>,
    drafts: Vec<Draft>,
    number: usize,
}

/// What a flight is of: an end of line or a tail, or something thrown, by its place in
/// the draft.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Source {
    End(usize),
    Throw(usize),
}

/// The flights of a part, the most energetic first, with the runs of their launches.
struct Flights {
    flown: Vec<FlownEnd>,
    list: Vec<(Flight, Source)>,
}

impl<'a> Found<'a> {
    fn of(plan: &'a Plan, rig: &'a LaidOut, times: f64, number: usize) -> Option<Self> {
        let solved = rig.at_unit_haul.scaled(times);
        let scene = Scene::new(plan, &rig.graph, &solved);
        let drafts = drafts(&scene);
        (number < drafts.len()).then_some(Self {
            scene,
            drafts,
            number,
        })
    }

    fn draft(&self) -> &Draft {
        &self.drafts[self.number]
    }

    /// Which of the runs is that of an end or a tail.
    fn run_of(&self, flown: &[FlownEnd], number: usize) -> Option<usize> {
        let d = self.draft();
        let end = d.ends.iter().chain(&d.tails).nth(number)?;
        flown.iter().position(|f| f.is(end))
    }

    fn flights(&self) -> Flights {
        let (scene, d) = (&self.scene, self.draft());
        let (ends, tails) = all_ends(&self.drafts);
        let flown = flown_of(scene, ends, tails, d);
        let mut list: Vec<(Flight, Source)> = Vec::new();
        for n in 0..d.ends.len() + d.tails.len() {
            let run = self.run_of(&flown, n);
            list.extend(run.map(|k| (end_flight(scene, &flown[k]), Source::End(n))));
        }
        for (k, throw) in d.throws.iter().enumerate() {
            list.push((thrown_flight(scene, throw, d.share), Source::Throw(k)));
        }
        list.sort_by(|a, b| b.0.energy.get().total_cmp(&a.0.energy.get()));
        Flights { flown, list }
    }

    fn filmed(&self, flights: Flights, source: Source) -> Result<FilmedFlight, LetGoError> {
        let (scene, d) = (&self.scene, self.draft());
        let Flights { mut flown, list } = flights;
        let flight = list.into_iter().find(|(_, of)| *of == source);
        let told = |flight, shown| FilmedFlight {
            flight,
            part: d.cause.name.clone(),
            at: d.cause.at.clone(),
            load: Force::new(d.cause.load_n * d.share),
            most_load: self.most_load(),
            shown,
        };
        let run = match source {
            Source::End(n) => self.run_of(&flown, n),
            Source::Throw(_) => None,
        };
        match (source, run, flight) {
            (Source::Throw(k), _, Some((flight, _))) => {
                let states = d.throws[k].states(scene, flight.speed.get());
                Ok(told(flight, Some(Shown::Thrown(states))))
            }
            (_, Some(k), _) if flown[k].outcome.is_some() => {
                follow_on(scene, &mut flown[k..=k]);
                let shown = end_shown(scene, &flown[k])?;
                let flight = end_flight(scene, &flown[k]);
                Ok(told(flight, Some(Shown::End(Box::new(shown)))))
            }
            (_, _, Some((flight, _))) => Ok(told(flight, None)),
            // At a load so small that this line no longer flies.
            (_, _, None) => Err(LetGoError::NoLine),
        }
    }

    fn most_load(&self) -> Force {
        let lines = Force::new(self.draft().cause.load_n * self.scene.in_hand);
        self.draft().cause.strength.map_or(lines, |s| lines.min(s))
    }
}

/// The run of a launch carried on for as long as its end is followed.
fn end_shown(scene: &Scene, flown: &FlownEnd) -> Result<EndShown, LetGoError> {
    let end = &flown.end;
    let speed = flown
        .outcome
        .as_ref()
        .map_or(Speed::ZERO, |o| o.launch.speed);
    let (mut setup, dampers, tethers) = end.setup_and_gear(scene);
    setup.max_time = end.followed(scene, speed).max_time;
    let (outcome, film) = film(&setup)?;
    let goes_on = !end.ends_there(scene);
    let (way, from) = (end.way(scene), end.from_m);
    let to_stop_m = end.to_stop_m(scene);
    let own = |f: &Frame| f.nodes.iter().position(|n| n.place_m[0] <= to_stop_m);
    let own = film.frames.first().and_then(own).unwrap_or(0);
    Ok(EndShown {
        from_node: if goes_on { own } else { 0 },
        most_x_m: if goes_on {
            to_stop_m + end.own_m
        } else {
            f64::INFINITY
        },
        flies_to: match scene.node(end.far(scene)).kind {
            _ if goes_on => None,
            NodeKind::Casualty => Some(Side::Casualty),
            NodeKind::Tug | NodeKind::Winch => Some(Side::Tug),
            _ => None,
        },
        from_m: [from[0], from[1]],
        way,
        setup,
        outcome,
        film,
        dampers,
        tethers,
    })
}
