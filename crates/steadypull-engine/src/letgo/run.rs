//! Runs a let-go from the moment of parting until everything lies still.

use super::assemble::assemble;
use super::audit::Books;
use super::bodies::square;
use super::chain::Chain;
use super::free_flight::FreeFlight;
use super::outcome::{Outcome, TetherResult};
use super::record::{Recorder, settled};
use super::setup::{LetGoError, Setup};
use super::watches::{Flown, off_the_line};
use crate::units::{Duration, Energy, Force, Length};

/// More steps than any sensible run takes.
const MOST_STEPS: u64 = 4_000_000;
/// Steps between looks at the books.
const LOOK_EVERY: u64 = 32;
/// Longest time in which an unbreakable tether meets its greatest load.
const ASKED_WITHIN_S: f64 = 0.5;

/// Works out what flies when the link lets go.
pub fn run(setup: &Setup) -> Result<Outcome, LetGoError> {
    setup.check()?;
    let mut chain = assemble(setup, false);
    let mut books = Books::open(&chain);
    let mut recorder = Recorder::new(&chain, setup);
    let at_rest = follow(&mut chain, &mut books, &mut recorder, setup.max_time.get())?;
    let asked = energy_asked(setup, &chain)?;
    let energy = books.balance(&chain);
    let far_x = recorder.far_x();
    let off = fly_off(setup, &chain, &recorder);
    let flight = off.as_ref().map(|(_, flight)| *flight);
    let mut flown = recorder.watches.flown(setup, &chain);
    flown.extend(off.map(|(flown, _)| flown));
    let held_x = recorder.arrival_held_x.unwrap_or(chain.bodies.x[0]);
    let tethers = chain.tethers.iter().zip(&setup.tethers).enumerate();
    Ok(Outcome {
        stored: Energy::new(books.stored_j),
        launch: recorder.launch,
        fastest: recorder.fastest,
        launch_energy: Energy::new(recorder.launch_energy_j),
        arrival: recorder.arrival,
        held_moved: Length::new(held_x - far_x),
        energy_along: recorder.energy_along(),
        far_point: Length::new(far_x),
        end: recorder.free_end(&chain),
        at_rest,
        reach: Length::new(recorder.reach_m.max(0.0)),
        free_flight: flight,
        free_reach: flight.map(|f| Length::new((f.stops_m.0 - far_x).max(0.0))),
        extents: recorder.extents,
        dampers: recorder.dampers(&chain),
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
        momentum: books.momentum(&chain),
        flown,
        whip: recorder.watches.whip(),
        path: recorder.path,
        steps: chain.steps,
    })
}

/// Steps until rest or `end_s`; true if everything lies still.
fn follow(
    chain: &mut Chain,
    books: &mut Books,
    recorder: &mut Recorder,
    end_s: f64,
) -> Result<bool, LetGoError> {
    let tip = chain.tip();
    let mut put_in_j = 0.0;
    while chain.time_s < end_s {
        chain.step(end_s);
        recorder.note(chain);
        if chain.steps.is_multiple_of(LOOK_EVERY) {
            let audit = books.balance(chain);
            put_in_j = audit.put_in_j;
            if !audit.error_j.is_finite() || !square(chain.bodies.place(tip)).is_finite() {
                return Err(LetGoError::NotFinite {
                    time_s: chain.time_s,
                });
            }
            if chain.ground.is_some() && settled(chain, put_in_j) {
                return Ok(true);
            }
            if chain.steps > MOST_STEPS {
                return Err(LetGoError::TooManySteps { steps: MOST_STEPS });
            }
        }
    }
    Ok(chain.ground.is_some() && settled(chain, put_in_j))
}

/// What each tether would have to hold if none could part.
fn energy_asked(setup: &Setup, chain: &Chain) -> Result<Vec<f64>, LetGoError> {
    let held = chain.tethers.iter().all(|tether| tether.holds());
    if held {
        return Ok(chain.tethers.iter().map(|tether| tether.peak_j).collect());
    }
    let mut unbreakable = assemble(setup, true);
    let end_s = setup.max_time.get().min(ASKED_WITHIN_S);
    while unbreakable.time_s < end_s && unbreakable.steps < MOST_STEPS {
        unbreakable.step(end_s);
    }
    Ok(unbreakable
        .tethers
        .iter()
        .map(|tether| tether.peak_j)
        .collect())
}

/// The hardware, with what it has picked up, off the line at its greatest speed.
fn fly_off(setup: &Setup, chain: &Chain, recorder: &Recorder) -> Option<(Flown, FreeFlight)> {
    let friction = chain.ground.as_ref()?.friction;
    let launch = &recorder.launch;
    let last = setup.lines.last()?;
    // Without hardware a half metre of line flies.
    let bare = setup.hardware.mass.get() <= 0.0;
    let (kg, area) = if bare {
        (
            0.5 * last.mass_per_length.get(),
            0.5 * last.diameter.get() * super::chain::DRAG_ACROSS,
        )
    } else {
        (setup.hardware.mass.get(), setup.hardware.drag_area.get())
    };
    let drag_per_m = 0.5 * setup.air_kg_m3 * area / kg;
    off_the_line(
        setup,
        launch,
        (kg, drag_per_m),
        (chain.gravity, friction),
        recorder.far_x(),
    )
}
