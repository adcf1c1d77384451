//! Runs let-goes from the moment of parting until everything lies still, one alone
//! or several side by side.

use fearless_simd::Level;

use super::audit::Books;
use super::bodies::square;
use super::chain::{Chain, Kind};
use super::free_flight::FreeFlight;
use super::outcome::{FreeEnd, Outcome, TetherResult};
use super::record::{Recorder, settled};
use super::setup::{LetGoError, Setup};
use super::watches::{Flown, off_the_line};
use crate::units::{Duration, Energy, Force, Length};

/// More steps than any sensible run takes.
const MOST_STEPS: u64 = 4_000_000;
/// Steps between looks at whether it has come to rest, and at the books.
const LOOK_EVERY: u64 = 32;
const AUDIT_EVERY: u64 = 256;
/// Longest time in which an unbreakable tether meets its greatest load.
const ASKED_WITHIN_S: f64 = 0.5;

/// Works out what flies when the link lets go.
pub fn run(setup: &Setup) -> Result<Outcome, LetGoError> {
    run_with(setup, Level::new())
}

/// The same with the instructions of `level`.
pub(super) fn run_with(setup: &Setup, level: Level) -> Result<Outcome, LetGoError> {
    setup.check()?;
    let mut result = None;
    let keep = |_, outcome| result = Some(outcome);
    let on = |_, _: &Standing| Then::GoesOn;
    work_out(Kind::of(setup), &[(0, setup)], (false, level), on, keep);
    result.unwrap_or(Err(LetGoError::NotFinite { time_s: 0.0 }))
}

/// One run in its lane.
pub(super) struct Running<'a> {
    number: usize,
    setup: &'a Setup,
    books: Books,
    pub recorder: Recorder,
}

/// A run as it stands when it is looked at.
pub(super) struct Standing<'a> {
    chain: &'a Chain,
    lane: usize,
    recorder: &'a Recorder,
}

impl Standing<'_> {
    /// Time after the link let go, s.
    pub fn time_s(&self) -> f64 {
        self.chain.lanes[self.lane].time_s
    }

    /// The free end as it first passed the far recovery point, if it has.
    pub fn arrival(&self) -> Option<&FreeEnd> {
        self.recorder.arrival.as_ref()
    }

    /// Each damper at its greatest energy so far at or past that point.
    pub fn dampers(&self) -> impl Iterator<Item = Option<&FreeEnd>> {
        self.recorder.damper_arrival.iter().map(Option::as_ref)
    }

    /// Whether a tether has parted.
    pub fn parted(&self) -> bool {
        let tethers = &self.chain.lanes[self.lane].tethers;
        tethers.iter().any(|tether| !tether.holds())
    }
}

/// What becomes of runs after a look at one of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Then {
    /// It goes on.
    GoesOn,
    /// It ends here.
    Ends,
    /// None of them is wanted any more.
    AllEnd,
}

/// Works out `setups` of one kind, which must have passed their checks, one at a time or,
/// if `abreast`, as many as go with `level`: as soon as one is done the next takes its
/// lane. Gives each with its number, in the order in which they are done. Each is looked
/// at every [`LOOK_EVERY`] steps; false as soon as none of them is wanted any more.
pub(super) fn work_out(
    kind: Kind,
    setups: &[(usize, &Setup)],
    (abreast, level): (bool, Level),
    mut look: impl FnMut(usize, &Standing) -> Then,
    mut done: impl FnMut(usize, Result<Outcome, LetGoError>),
) -> bool {
    let mut chain = Chain::new(kind, abreast, level);
    let mut waiting = setups.iter();
    let mut lanes: Vec<Option<Running>> = (0..chain.w)
        .map(|l| start(&mut chain, l, waiting.next()))
        .collect();
    while lanes.iter().any(Option::is_some) || waiting.len() > 0 {
        chain.step();
        for (l, lane) in lanes.iter_mut().enumerate() {
            let Some(running) = lane else {
                continue;
            };
            let mut end = running.note(&chain, l);
            if end.is_none() && chain.lanes[l].steps.is_multiple_of(LOOK_EVERY) {
                match look(running.number, &running.standing(&chain, l)) {
                    Then::GoesOn => {}
                    Then::Ends => end = Some(Ok(running.at_rest(&chain, l))),
                    Then::AllEnd => return false,
                }
            }
            let Some(end) = end else {
                continue;
            };
            let outcome = end.and_then(|at_rest| running.outcome(&chain, l, at_rest));
            done(running.number, outcome);
            *lane = None;
        }
        if chain.may_begin() {
            for (l, lane) in lanes.iter_mut().enumerate() {
                // What stands empty stays so once none is left.
                if lane.is_none() && chain.lanes[l].busy {
                    *lane = start(&mut chain, l, waiting.next());
                }
            }
        }
    }
    true
}

/// Lays the next run into lane `l`; nothing if there is none left.
pub(super) fn start<'a>(
    chain: &mut Chain,
    l: usize,
    next: Option<&(usize, &'a Setup)>,
) -> Option<Running<'a>> {
    let Some(&(number, setup)) = next else {
        chain.park(l);
        return None;
    };
    chain.lay(l, setup, false);
    Some(Running {
        number,
        setup,
        books: Books::open(chain, l),
        recorder: Recorder::new(chain, l, setup),
    })
}

impl Running<'_> {
    /// After each step; when it has ended, whether everything lies still.
    pub fn note(&mut self, chain: &Chain, l: usize) -> Option<Result<bool, LetGoError>> {
        self.recorder.note(chain);
        let lane = &chain.lanes[l];
        if lane.steps.is_multiple_of(LOOK_EVERY) {
            if !square(chain.bodies.place(chain.tip(), l)).is_finite() {
                return Some(Err(LetGoError::NotFinite {
                    time_s: lane.time_s,
                }));
            }
            if self.at_rest(chain, l) {
                return Some(Ok(true));
            }
            if lane.steps > MOST_STEPS {
                return Some(Err(LetGoError::TooManySteps { steps: MOST_STEPS }));
            }
            if lane.steps.is_multiple_of(AUDIT_EVERY) {
                let audit = self.books.balance(chain, l);
                if !audit.error_j.is_finite() {
                    return Some(Err(LetGoError::NotFinite {
                        time_s: lane.time_s,
                    }));
                }
            }
        }
        (lane.time_s >= lane.end_s).then(|| Ok(self.at_rest(chain, l)))
    }

    fn at_rest(&self, chain: &Chain, l: usize) -> bool {
        chain.kind.ground && settled(chain, l, self.books.put_in_j())
    }

    fn standing<'b>(&'b self, chain: &'b Chain, lane: usize) -> Standing<'b> {
        Standing {
            chain,
            lane,
            recorder: &self.recorder,
        }
    }

    pub fn outcome(
        &mut self,
        chain: &Chain,
        l: usize,
        at_rest: bool,
    ) -> Result<Outcome, LetGoError> {
        let (setup, lane) = (self.setup, &chain.lanes[l]);
        let recorder = &mut self.recorder;
        let asked = energy_asked(setup, chain, l);
        let energy = self.books.balance(chain, l);
        if !energy.error_j.is_finite() {
            return Err(LetGoError::NotFinite {
                time_s: lane.time_s,
            });
        }
        let far_x = recorder.far_x();
        let off = fly_off(setup, chain, l, recorder);
        let flight = off.as_ref().map(|(_, flight)| *flight);
        let mut flown = recorder.watches.flown(setup, chain);
        flown.extend(off.map(|(flown, _)| flown));
        let held_x = recorder
            .arrival_held_x
            .unwrap_or(chain.bodies.place(0, l)[0]);
        let tethers = lane.tethers.iter().zip(&setup.tethers).enumerate();
        Ok(Outcome {
            stored: Energy::new(self.books.stored_j),
            launch: recorder.launch,
            fastest: recorder.fastest,
            launch_energy: Energy::new(recorder.launch_energy_j),
            arrival: recorder.arrival,
            held_moved: Length::new(held_x - far_x),
            energy_along: recorder.energy_along(),
            far_point: Length::new(far_x),
            end: recorder.free_end(chain),
            at_rest,
            reach: Length::new(recorder.reach_m.max(0.0)),
            free_flight: flight,
            free_reach: flight.map(|f| Length::new((f.stops_m.0 - far_x).max(0.0))),
            extents: chain.bounds.extents(l, chain.w),
            dampers: recorder.dampers(chain),
            tethers: tethers
                .map(|(k, (t, planned))| TetherResult {
                    peak_load: Force::new(t.peak_n),
                    parted_at: t.parted_at_s.map(Duration::new),
                    capacity: Energy::new(
                        planned.mbs.get() * planned.strain_at_break * planned.length.get()
                            / (planned.exponent + 1.0),
                    ),
                    asked: Energy::new(asked[k]),
                    held_moved: recorder.tether_held_x[k].map(|x| Length::new(x - far_x)),
                })
                .collect(),
            slack_at_held: recorder.slack_s.map(Duration::new),
            energy,
            momentum: self.books.momentum(chain, l),
            flown,
            whip: recorder.watches.whip(),
            path: core::mem::take(&mut recorder.path),
            steps: lane.steps,
        })
    }
}

/// What each tether would have to hold if none could part.
fn energy_asked(setup: &Setup, chain: &Chain, l: usize) -> Vec<f64> {
    let asked = |tethers: &[super::tether::TetherLine]| -> Vec<f64> {
        tethers.iter().map(|tether| tether.peak_j).collect()
    };
    let tethers = &chain.lanes[l].tethers;
    if tethers.iter().all(|tether| tether.holds()) {
        return asked(tethers);
    }
    let mut unbreakable = Chain::new(chain.kind, false, Level::new());
    unbreakable.lay(0, setup, true);
    let end_s = setup.max_time.get().min(ASKED_WITHIN_S);
    unbreakable.lanes[0].end_s = end_s;
    while unbreakable.lanes[0].time_s < end_s && unbreakable.lanes[0].steps < MOST_STEPS {
        unbreakable.step();
    }
    asked(&unbreakable.lanes[0].tethers)
}

/// The hardware, with what it has picked up, off the line at its greatest speed.
fn fly_off(
    setup: &Setup,
    chain: &Chain,
    l: usize,
    recorder: &Recorder,
) -> Option<(Flown, FreeFlight)> {
    let lane = &chain.lanes[l];
    let friction = lane.ground?.friction;
    let launch = &recorder.launch;
    let last = setup.lines.last()?;
    // Without hardware a half metre of line flies.
    let bare = setup.hardware.mass.get() <= 0.0;
    let (kg, area) = if bare {
        (
            0.5 * last.mass_per_length.get(),
            0.5 * last.diameter.get() * super::air::DRAG_ACROSS,
        )
    } else {
        (setup.hardware.mass.get(), setup.hardware.drag_area.get())
    };
    let drag_per_m = 0.5 * setup.air_kg_m3 * area / kg;
    off_the_line(
        setup,
        launch,
        (kg, drag_per_m),
        (lane.gravity, friction),
        recorder.far_x(),
    )
}
