//! The clock of footage: against numpy and scipy, and on clocks that are known.
//!
//! Reference: `validation/independent/measure/footage_sync.csv`, written by
//! `footage_sync.py` there (numpy 2.4.6, scipy 1.17.1).

mod noise;

use noise::{normal, unit};
use proptest::prelude::*;
use steadypull_measure::footage::{Clock, Offset, Shared, sync};

const REFERENCE: &str = include_str!("../../../validation/independent/measure/footage_sync.csv");

fn numbers(cells: &[&str]) -> Vec<f64> {
    cells.iter().map(|cell| cell.parse().unwrap()).collect()
}

fn event(text: &str) -> Shared {
    let cells: Vec<&str> = text.split(':').collect();
    let [off, log, error] = numbers(&cells[1..])[..] else {
        panic!("{text}")
    };
    Shared {
        frame: cells[0].parse().unwrap(),
        frames_error: off,
        log_time_s: log,
        log_error_s: error,
    }
}

#[test]
fn published_by_numpy_weighted_least_squares() {
    let (mut cases, mut disagree) = (0, 0);
    for line in REFERENCE.lines() {
        let cells: Vec<&str> = line.split(',').collect();
        let events: Vec<Shared> = cells[0].split(';').map(event).collect();
        let want = numbers(&cells[1..]);
        let clock = Clock {
            rate_error_hz: want[1],
            ..Clock::even(want[0])
        };
        let got = sync(&events, None, &clock).unwrap();
        let agreement = got.agreement.map_or([0.0, -1.0], |a| [a.chi_square, a.p]);
        let chi_square = if events.len() == 1 { 0.0 } else { want[7] };
        for (what, got, want, most) in [
            ("at", got.at_s, want[2], 1e-9),
            ("offset", got.offset_s, want[3], 1e-9),
            ("error", got.error_s / want[4] - 1.0, 0.0, 1e-6),
            ("drift", got.drift, want[5], 1e-9),
            ("drift's error", got.drift_error, want[6], 1e-9),
            ("chi-square", agreement[0], chi_square, 1e-6),
            ("p", agreement[1], want[8], 1e-6),
        ] {
            assert!((got - want).abs() < most, "{line}: {what} {got} {want}");
        }
        cases += 1;
        disagree += u32::from(got.agreement.is_some_and(|a| a.is_in_doubt()));
    }
    assert!(cases == 40 && disagree > 0, "{cases} {disagree}");
}

/// Draws one after the other.
struct Draws(u64, u64);

impl Draws {
    fn unit(&mut self) -> f64 {
        self.1 += 1;
        unit(self.0, self.1)
    }

    fn normal(&mut self) -> f64 {
        self.1 += 1;
        normal(self.0, self.1)
    }
}

/// A film of a known clock: frame 0 at 1.1 s, its rate off by as much as stated.
struct Film {
    clock: Clock,
    true_rate_hz: f64,
}

impl Film {
    fn new(draws: &mut Draws, rate_error_hz: f64) -> Self {
        let true_rate_hz = 240.0 + rate_error_hz * draws.normal();
        let clock = Clock {
            rate_error_hz,
            ..Clock::even(240.0)
        };
        Self {
            clock,
            true_rate_hz,
        }
    }

    fn frame(&self, log_s: f64) -> f64 {
        (log_s - 1.1) * self.true_rate_hz
    }

    /// An event as film and log have it.
    fn shared(&self, draws: &mut Draws, at_s: f64) -> Shared {
        let first = self.frame(at_s).ceil() + (0.7 * draws.normal()).round();
        Shared {
            frame: first as u32,
            // A rounded normal draw of 0.7: its own spread and that of rounding.
            frames_error: (0.49f64 + 1.0 / 12.0).sqrt(),
            log_time_s: at_s + 0.001 * draws.normal(),
            log_error_s: 0.001,
        }
    }

    fn late_by(&self, offset: &Offset, log_s: f64) -> (f64, f64) {
        let footage_s = self.frame(log_s) / self.clock.rate_hz;
        let off = offset.footage_time_s(log_s) - footage_s;
        (off, offset.error_at(footage_s, 0.0))
    }
}

/// Share of 4000 films whose clock lies within two standard deviations at a time of the log,
/// and share of those whose events count as saying different times.
fn held(events_s: &[f64], rate_error_hz: f64, at_s: f64, seed: u64) -> (f64, f64) {
    let mut draws = Draws(seed, 0);
    let (mut inside, mut in_doubt) = (0u32, 0u32);
    for _ in 0..4000 {
        let film = Film::new(&mut draws, rate_error_hz);
        let mut apart = |at: &f64| {
            let within = draws.unit() / 240.0;
            film.shared(&mut draws, at + within)
        };
        let events: Vec<Shared> = events_s.iter().map(&mut apart).collect();
        let offset = sync(&events, None, &film.clock).unwrap();
        let (off, error) = film.late_by(&offset, at_s);
        inside += u32::from(off.abs() <= 1.96 * error);
        in_doubt += u32::from(offset.agreement.is_some_and(|a| a.is_in_doubt()));
    }
    (f64::from(inside) / 4000.0, f64::from(in_doubt) / 4000.0)
}

#[test]
fn errors_are_the_scatter_of_films() {
    for (events_s, rate_error_hz, at_s) in [
        (&[2.0][..], 0.0, 2.5),
        (&[2.0], 0.7, 3.5),
        (&[2.0, 4.0], 0.0, 3.0),
        (&[2.0, 4.0], 0.7, 4.5),
        (&[2.0, 3.0, 4.0], 0.7, 2.2),
    ] {
        let (inside, in_doubt) = held(events_s, rate_error_hz, at_s, 7);
        println!("{events_s:?} rate {rate_error_hz}: held {inside}, in doubt {in_doubt}");
        // Three standard errors of 4000 films about 95 in 100, and a little for widening.
        assert!((0.938..=0.965).contains(&inside), "{events_s:?}: {inside}");
        if events_s.len() > 1 {
            assert!((0.035..=0.065).contains(&in_doubt), "{in_doubt}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..Default::default() })]

    /// A later film or a later log moves the offset by as much and nothing else.
    #[test]
    fn a_film_that_begins_later_is_offset_by_so_much(
        first in 10u32..500, more in 1u32..500, later in 1u32..500, log_s in 0.0..50.0f64,
        apart_s in 0.1..2.0f64, rate_error in 0.0..2.0f64,
    ) {
        let clock = Clock { rate_error_hz: rate_error, ..Clock::even(240.0) };
        let shared = |frame, log_time_s| Shared { frame, frames_error: 0.5, log_time_s, log_error_s: 0.002 };
        let here = [shared(first, log_s), shared(first + more, log_s + apart_s)];
        let there = here.map(|e| Shared { frame: e.frame + later, ..e });
        let (here, there) = (sync(&here, None, &clock).unwrap(), sync(&there, None, &clock).unwrap());
        let moved = f64::from(later) / 240.0;
        prop_assert!((here.offset_s - there.offset_s - moved).abs() < 1e-9);
        prop_assert!((here.error_s - there.error_s).abs() < 1e-9);
        prop_assert!((here.drift - there.drift).abs() < 1e-9);
        prop_assert!(here.error_at(here.at_s + 3.0, 0.0) >= here.error_s);
    }
}
