//! The equations of motion of a pull, stepped from event to event.

mod events;
mod rule;

use events::Crossing;

use super::crest::Crest;
use super::kinetic::{Audit, Event, EventKind, Outcome, PullError, Sample, Setup};
use super::line_force::{Below, DyingAway, Loading};
use crate::line::Path;
use crate::units::{Duration, Energy, Force, Length, Mass, Speed};

/// Events in one pull before it is given up as a chatter.
const EVENT_LIMIT: usize = 400;
/// Steps on the line's own frequency, radians a step: while it loads, so that the
/// peak is exact, and below the greatest strain seen.
const STEP_LOADING: f64 = 0.05;
const STEP_BELOW: f64 = 0.08;
/// Longest step, s.
const STEP_MAX_S: f64 = 10e-3;
/// Step while the line is slack, s: nothing there is stiff.
const STEP_SLACK_S: f64 = 25e-3;
/// Samples of a series at most, events apart.
const SAMPLES: f64 = 400.0;
/// Speed below which power no longer limits the drive, m/s.
const CRAWL_M_S: f64 = 0.7;

/// Position of each integrated quantity in the state.
const TUG_X: usize = 0;
const TUG_V: usize = 1;
const CAS_X: usize = 2;
const CAS_V: usize = 3;
const MAXWELL_N: usize = 4;
const DRIVE_J: usize = 5;
const GRADE_J: usize = 6;
const HEAT_J: usize = 7;
type State = [f64; 8];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum LineMode {
    Slack,
    Below,
    Loading,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum TugMode {
    Forward,
    Stopped,
    Backward,
}

/// Forces and rates at one moment.
#[derive(Debug, Clone, Copy, Default)]
struct Now {
    rates: State,
    tension_n: f64,
}

/// A pull under way.
pub(super) struct Motion<'a> {
    setup: &'a Setup,
    path: Path,
    length_m: f64,
    tug_kg: f64,
    casualty_kg: Option<f64>,
    /// What the inner loop would divide by: length and masses.
    per_length: f64,
    per_tug: f64,
    per_casualty: f64,
    /// What costs most, worked out about the state.
    loading: Loading,
    below: Below,
    dying: DyingAway,
    line: LineMode,
    casualty_moves: bool,
    tug: TugMode,
    drive_on: bool,
    time_s: f64,
    /// Step of the present mode, s.
    step_s: f64,
    /// When the series was last added to, s.
    recorded_s: f64,
    state: State,
    /// Forces and rates at the state, in the present mode.
    now: Now,
    /// Resistance of a standing casualty, N.
    held_by_n: f64,
    events: Vec<Event>,
    /// The pull in time, where it is wanted.
    series: Option<Vec<Sample>>,
    tension_crest: Crest,
    strain_peak: f64,
    casualty_crest: Crest,
    tug_crest: Crest,
    start_j: f64,
    /// Heat booked by the change from loading to unloading branches, J.
    hysteresis_j: f64,
    parted: bool,
}

impl<'a> Motion<'a> {
    pub(super) fn new(setup: &'a Setup, with_series: bool) -> Self {
        let path = setup.path.clone();
        let length_m = setup.length.get();
        let speed = setup.run_up_speed.get();
        let mut state = [0.0; 8];
        state[TUG_X] = path.strain_slack() * length_m - setup.slack.get();
        state[TUG_V] = speed;
        let tug_kg = setup.tug_mass.get();
        Self {
            setup,
            length_m,
            tug_kg,
            casualty_kg: setup.casualty_mass.map(Mass::get),
            per_length: 1.0 / length_m,
            per_tug: 1.0 / tug_kg,
            per_casualty: setup.casualty_mass.map_or(0.0, |mass| 1.0 / mass.get()),
            loading: Loading::NONE,
            below: Below::new(path.unloading()),
            dying: DyingAway::new(setup.break_length.get()),
            line: LineMode::Slack,
            casualty_moves: false,
            tug: if speed > 0.0 {
                TugMode::Forward
            } else {
                TugMode::Stopped
            },
            drive_on: setup.drive.greatest.get() > 0.0,
            time_s: 0.0,
            step_s: 0.0,
            recorded_s: 0.0,
            state,
            now: Now::default(),
            held_by_n: 0.0,
            events: Vec::with_capacity(16),
            series: with_series.then(Vec::new),
            tension_crest: Crest::default(),
            strain_peak: 0.0,
            casualty_crest: Crest::default(),
            tug_crest: Crest::default(),
            start_j: 0.5 * tug_kg * speed * speed,
            hysteresis_j: 0.0,
            parted: false,
            path,
        }
    }

    pub(super) fn run(mut self) -> Result<Outcome, PullError> {
        self.settle_start();
        self.step_s = self.step_s();
        let every_s = self.setup.duration.get() / SAMPLES;
        self.held_by_n = self.resistance(&self.state);
        self.now = self.now_at(&self.state);
        self.record();
        while self.time_s < self.setup.duration.get() && !self.parted && !self.at_rest() {
            if self.events.len() > EVENT_LIMIT {
                return Err(PullError::TooManyEvents(EVENT_LIMIT));
            }
            let h = self.step_s.min(self.setup.duration.get() - self.time_s);
            if h <= 0.0 {
                break;
            }
            let happened = self.advance(h);
            if happened || self.time_s - self.recorded_s >= every_s {
                self.record();
            }
        }
        self.record();
        Ok(self.outcome())
    }

    /// A tug that starts at rest moves if its drive beats grade and rolling.
    fn settle_start(&mut self) {
        if self.tug == TugMode::Stopped {
            self.leave_standstill();
        }
    }

    /// The step for the present mode: a share of a radian of what moves on the
    /// stiffest line it may meet there.
    fn step_s(&self) -> f64 {
        let law = self.path.law();
        let (radians, slope) = match self.line {
            LineMode::Slack => return STEP_SLACK_S,
            LineMode::Below => (STEP_BELOW, self.path.unloading().slope_max()),
            LineMode::Loading => {
                let end = law.curve().strain_at_break();
                let slopes = [0.0, 0.5 * end, end].map(|e| law.slope(e));
                (STEP_LOADING, slopes.into_iter().fold(0.0, f64::max))
            }
        };
        let tug = if self.tug == TugMode::Stopped {
            0.0
        } else {
            self.per_tug
        };
        let casualty = if self.casualty_moves {
            self.per_casualty
        } else {
            0.0
        };
        let radians_per_s = (slope * self.per_length * (tug + casualty)).sqrt();
        let mut step = (radians / radians_per_s).min(STEP_MAX_S);
        if let Some(rate) = law.curve().rate {
            step = step.min(0.05 * rate.relaxation_s);
        }
        step.max(1e-6)
    }

    fn strain(&self, y: &State) -> f64 {
        (y[TUG_X] - y[CAS_X]) * self.per_length
    }

    #[inline(always)]
    fn tension(&self, y: &State) -> f64 {
        let strain = self.strain(y);
        let elastic = match self.line {
            LineMode::Slack => return 0.0,
            LineMode::Loading => self.loading.tension(self.path.law(), strain),
            LineMode::Below => self.below.tension(strain),
        };
        (elastic + y[MAXWELL_N]).max(0.0)
    }

    fn resistance(&self, y: &State) -> f64 {
        self.setup.slide.get()
            + self.setup.break_extra.get() * self.dying.share(y[CAS_X])
            + self.setup.viscous_n_s_per_m * y[CAS_V].max(0.0)
    }

    fn drive(&self, y: &State) -> f64 {
        let on = self.drive_on
            && self.tug == TugMode::Forward
            && (self.setup.drive.held || self.line == LineMode::Slack);
        if !on {
            return 0.0;
        }
        let (greatest, power) = (
            self.setup.drive.greatest.get(),
            self.setup.drive.power.get(),
        );
        let speed = y[TUG_V].max(CRAWL_M_S);
        if greatest * speed <= power {
            greatest
        } else {
            power / speed
        }
    }

    /// Forces and rates at `y`, in the present mode.
    #[inline(always)]
    fn now_at(&self, y: &State) -> Now {
        let mut d = [0.0; 8];
        let tension = self.tension(y);
        if self.tug != TugMode::Stopped {
            let drive = self.drive(y);
            let rolling = match self.tug {
                TugMode::Backward => -self.setup.tug_rolling.get(),
                _ => self.setup.tug_rolling.get(),
            };
            let grade = self.setup.tug_grade.get();
            d[TUG_X] = y[TUG_V];
            d[TUG_V] = (drive - grade - rolling - tension) * self.per_tug;
            d[DRIVE_J] = drive * y[TUG_V];
            d[GRADE_J] = grade * y[TUG_V];
            d[HEAT_J] = rolling * y[TUG_V];
        }
        if self.casualty_moves {
            let resistance = self.resistance(y);
            d[CAS_X] = y[CAS_V];
            d[CAS_V] = (tension - resistance) * self.per_casualty;
            d[HEAT_J] += resistance * y[CAS_V];
        }
        self.add_rate(y, &mut d);
        Now {
            rates: d,
            tension_n: tension,
        }
    }

    /// The Maxwell branch: `T_m' = (ratio − 1) K e' − T_m/tau`.
    fn add_rate(&self, y: &State, d: &mut State) {
        let Some(rate) = self.path.law().curve().rate else {
            return;
        };
        if self.line == LineMode::Slack {
            return;
        }
        let stiffness = (rate.stiffness_ratio - 1.0).max(1e-9) * self.path.law().slope(0.0);
        let strain_rate = (d[TUG_X] - d[CAS_X]) / self.length_m;
        d[MAXWELL_N] = stiffness * strain_rate - y[MAXWELL_N] / rate.relaxation_s;
        d[HEAT_J] += y[MAXWELL_N] * y[MAXWELL_N] * self.length_m / (stiffness * rate.relaxation_s);
        // A line cannot push: what a clipped tension does not deliver is heat.
        let elastic = self.tension_unclipped(y);
        if elastic < 0.0 {
            d[HEAT_J] -= elastic * strain_rate * self.length_m;
        }
    }

    fn tension_unclipped(&self, y: &State) -> f64 {
        self.path.tension(self.strain(y)) + y[MAXWELL_N]
    }

    fn maxwell_j(&self, y: &State) -> f64 {
        let Some(rate) = self.path.law().curve().rate else {
            return 0.0;
        };
        let stiffness = (rate.stiffness_ratio - 1.0).max(1e-9) * self.path.law().slope(0.0);
        0.5 * y[MAXWELL_N] * y[MAXWELL_N] * self.length_m / stiffness
    }

    /// Takes a step of `h`, or less up to the first event. Whether one happened.
    fn advance(&mut self, h: f64) -> bool {
        let end = self.stepped(h);
        let now = self.now_at(&end);
        let Some(crossing) = self.crossed(&end, now.tension_n) else {
            self.state = end;
            self.now = now;
            self.time_s += h;
            self.move_anchors();
            self.watch_peaks();
            return false;
        };
        let event = self.locate(h, end, &now, crossing);
        self.state = event.state;
        self.time_s += event.time_s;
        self.move_anchors();
        self.now = self.now_at(&self.state);
        self.watch_peaks();
        self.change(event.crossing);
        self.move_anchors();
        self.now = self.now_at(&self.state);
        self.step_s = self.step_s();
        self.start_crests();
        true
    }

    fn move_anchors(&mut self) {
        let strain = self.strain(&self.state);
        match self.line {
            LineMode::Slack => {}
            LineMode::Loading => self.loading.anchor(self.path.law(), strain),
            LineMode::Below => self.below.anchor(strain),
        }
        if self.casualty_moves {
            self.dying.anchor(self.state[CAS_X]);
        }
    }

    fn change(&mut self, crossing: Crossing) {
        match crossing {
            Crossing::Taut => {
                self.line = if self.path.strain_max() > 0.0 {
                    LineMode::Below
                } else {
                    LineMode::Loading
                };
                self.note(EventKind::Taut);
            }
            Crossing::Slack => {
                self.hysteresis_j += self.maxwell_j(&self.state);
                self.state[MAXWELL_N] = 0.0;
                self.line = LineMode::Slack;
                self.note(EventKind::Slack);
            }
            Crossing::Load => self.line = LineMode::Loading,
            Crossing::Unload => {
                let strain = self.strain(&self.state);
                self.path.remember(strain);
                self.below = Below::new(self.path.unloading());
                self.line = LineMode::Below;
                self.note(EventKind::Peak);
            }
            Crossing::BreakOut => {
                self.casualty_moves = true;
                self.note(EventKind::BreakOut);
            }
            Crossing::CasualtyStops => {
                self.casualty_moves = false;
                self.state[CAS_V] = 0.0;
                self.held_by_n = self.resistance(&self.state);
                self.note(EventKind::CasualtyStops);
            }
            Crossing::TugStops => {
                self.state[TUG_V] = 0.0;
                if self.tug == TugMode::Forward {
                    self.note(EventKind::TugStops);
                }
                self.drive_on = false;
                self.tug = TugMode::Stopped;
                self.leave_standstill();
            }
            Crossing::TugLeaves => self.leave_standstill(),
            Crossing::Parts => {
                self.parted = true;
                self.note(EventKind::Parts);
            }
        }
    }

    fn leave_standstill(&mut self) {
        self.tug = self.standstill_direction(self.tension(&self.state));
    }

    /// Which way a standing tug goes, rolling resistance holding it if it can.
    fn standstill_direction(&self, tension: f64) -> TugMode {
        let push = self.standstill_push(tension);
        let holds = self.setup.tug_rolling.get();
        if push > holds && self.drive_on {
            TugMode::Forward
        } else if push < -holds && tension > 0.0 {
            TugMode::Backward
        } else {
            // With the drive off a driver holds the vehicle on its brakes
            // against its own grade.
            TugMode::Stopped
        }
    }

    /// Force forward on a standing tug, N, rolling resistance apart.
    fn standstill_push(&self, tension: f64) -> f64 {
        let drive = if self.drive_on {
            self.setup.drive.greatest.get()
        } else {
            0.0
        };
        drive - self.setup.tug_grade.get() - tension
    }

    fn at_rest(&self) -> bool {
        self.line == LineMode::Slack
            && !self.casualty_moves
            && self.time_s > 0.0
            && self.events.iter().any(|e| e.kind == EventKind::Slack)
            && self.tug != TugMode::Forward
    }

    fn note(&mut self, kind: EventKind) {
        self.events.push(Event {
            time: Duration::new(self.time_s),
            kind,
        });
    }

    fn watch_peaks(&mut self) {
        let (time, now) = (self.time_s, self.now);
        // Without a rate effect the line peaks where it turns, which is an event.
        if self.path.law().curve().rate.is_some() {
            self.tension_crest.watch(time, now.tension_n);
        } else {
            self.tension_crest.take(time, now.tension_n);
        }
        self.casualty_crest.watch(time, now.rates[CAS_V]);
        self.tug_crest.watch(time, -now.rates[TUG_V]);
        self.strain_peak = self.strain_peak.max(self.strain(&self.state));
    }

    /// After a change of mode: what was before says nothing of the curve to come.
    fn start_crests(&mut self) {
        let (time, now) = (self.time_s, self.now);
        self.tension_crest.start(time, now.tension_n);
        self.casualty_crest.start(time, now.rates[CAS_V]);
        self.tug_crest.start(time, -now.rates[TUG_V]);
    }

    fn record(&mut self) {
        self.recorded_s = self.time_s;
        let Some(series) = &mut self.series else {
            return;
        };
        let y = &self.state;
        let taut = self.line != LineMode::Slack;
        series.push(Sample {
            time_s: self.time_s,
            force_n: self.now.tension_n,
            stretch_m: if taut {
                (y[TUG_X] - y[CAS_X]).max(0.0)
            } else {
                0.0
            },
            tug_speed_m_s: y[TUG_V],
            casualty_speed_m_s: y[CAS_V],
            casualty_movement_m: y[CAS_X],
        });
    }

    fn outcome(self) -> Outcome {
        let y = &self.state;
        let law = self.path.law();
        let kinetic = 0.5 * self.tug_kg * y[TUG_V] * y[TUG_V]
            + self
                .casualty_kg
                .map_or(0.0, |m| 0.5 * m * y[CAS_V] * y[CAS_V]);
        let strain = self.strain(y);
        // Energy kept from the line when it turned back at its greatest strain,
        // less what that strain's own history had already cost.
        let line_loss = |e: f64| law.energy(e) * (1.0 - law.curve().energy_return) * self.length_m;
        let seen = self.setup.path.strain_max();
        let deepest = self
            .path
            .strain_max()
            .max(if self.line == LineMode::Loading {
                strain
            } else {
                0.0
            });
        let stored = match self.line {
            LineMode::Slack => 0.0,
            _ => self.path.recoverable(strain) * self.length_m,
        } + self.maxwell_j(y);
        let dissipated = y[HEAT_J]
            + self.hysteresis_j
            + (line_loss(deepest) - line_loss(seen)).max(0.0)
            + y[GRADE_J].max(0.0);
        let put_in = self.start_j + y[DRIVE_J] + (-y[GRADE_J]).max(0.0);
        Outcome {
            peak_force: Force::new(self.tension_crest.greatest),
            peak_time: Duration::new(self.tension_crest.when),
            stretch: Length::new((self.strain_peak * self.length_m).max(0.0)),
            stored_at_peak: Energy::new(law.energy(self.strain_peak) * self.length_m),
            movement: Length::new(y[CAS_X]),
            tug_end_speed: Speed::new(y[TUG_V]),
            casualty_peak_acceleration_m_s2: self.casualty_crest.greatest,
            tug_peak_deceleration_m_s2: self.tug_crest.greatest,
            events: self.events,
            series: self.series.unwrap_or_default(),
            audit: Audit {
                put_in: Energy::new(put_in),
                kinetic: Energy::new(kinetic),
                stored: Energy::new(stored),
                dissipated: Energy::new(dissipated),
            },
            parted: self.parted,
            path: self.path,
        }
    }
}
