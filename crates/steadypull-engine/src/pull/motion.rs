//! The equations of motion of a pull, stepped from event to event.

use super::kinetic::{Audit, Event, EventKind, Outcome, PullError, Sample, Setup};
use crate::line::Path;
use crate::units::{Duration, Energy, Force, Length, Mass, Speed};

/// Events in one pull before it is given up as a chatter.
const EVENT_LIMIT: usize = 400;
/// How finely a pull is followed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fineness {
    /// An event is located to this time, s.
    event_time_s: f64,
    /// Step at the line's own frequency, rad.
    step_radians: f64,
    /// Longest step, s.
    step_max_s: f64,
    /// Whether the pull in time is kept.
    keeps_series: bool,
}

/// For a pull that is shown.
pub(super) const FINE: Fineness = Fineness {
    event_time_s: 1e-7,
    step_radians: 0.03,
    step_max_s: 4e-3,
    keeps_series: true,
};

/// For one pull among many, of which peak, movement and braking are kept: the peak
/// is an event and so still found, the rest is of fourth order in the step. Peaks
/// agree with the fine ones to 0.1 %, movements to 5 mm (`tests/pull_many.rs`).
pub(super) const COARSE: Fineness = Fineness {
    event_time_s: 1e-5,
    step_radians: 0.12,
    step_max_s: 16e-3,
    keeps_series: false,
};

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

/// A pull under way.
pub(super) struct Motion<'a> {
    setup: &'a Setup,
    fineness: Fineness,
    path: Path,
    length_m: f64,
    tug_kg: f64,
    casualty_kg: Option<f64>,
    line: LineMode,
    casualty_moves: bool,
    tug: TugMode,
    drive_on: bool,
    time_s: f64,
    state: State,
    events: Vec<Event>,
    series: Vec<Sample>,
    peak: (f64, f64),
    strain_peak: f64,
    casualty_acceleration: f64,
    tug_deceleration: f64,
    start_j: f64,
    /// Heat booked by the change from loading to unloading branches, J.
    hysteresis_j: f64,
    parted: bool,
}

impl<'a> Motion<'a> {
    pub(super) fn new(setup: &'a Setup, fineness: Fineness) -> Self {
        let path = setup.path.clone();
        let length_m = setup.length.get();
        let speed = setup.run_up_speed.get();
        let mut state = [0.0; 8];
        state[TUG_X] = path.strain_slack() * length_m - setup.slack.get();
        state[TUG_V] = speed;
        let tug_kg = setup.tug_mass.get();
        Self {
            setup,
            fineness,
            length_m,
            tug_kg,
            casualty_kg: setup.casualty_mass.map(Mass::get),
            line: LineMode::Slack,
            casualty_moves: false,
            tug: if speed > 0.0 {
                TugMode::Forward
            } else {
                TugMode::Stopped
            },
            drive_on: setup.drive.greatest.get() > 0.0,
            time_s: 0.0,
            state,
            events: Vec::new(),
            series: Vec::new(),
            peak: (0.0, 0.0),
            strain_peak: 0.0,
            casualty_acceleration: 0.0,
            tug_deceleration: 0.0,
            start_j: 0.5 * tug_kg * speed * speed,
            hysteresis_j: 0.0,
            parted: false,
            path,
        }
    }

    pub(super) fn run(mut self) -> Result<Outcome, PullError> {
        let step_s = self.step_s();
        let every = ((self.setup.duration.get() / step_s / 400.0) as usize).max(1);
        let mut count = 0;
        self.settle_start();
        self.record();
        while self.time_s < self.setup.duration.get() && !self.parted && !self.at_rest() {
            if self.events.len() > EVENT_LIMIT {
                return Err(PullError::TooManyEvents(EVENT_LIMIT));
            }
            let h = step_s.min(self.setup.duration.get() - self.time_s);
            if h <= 0.0 {
                break;
            }
            let happened = self.advance(h);
            count += 1;
            self.watch_peaks();
            if happened || count % every == 0 {
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

    fn step_s(&self) -> f64 {
        let law = self.path.law();
        let end = law.curve().strain_at_break();
        // Stiffest of first loading and the branch back from its end.
        let back = law.unloading(end);
        let branch = back.tension_max_n * back.exponent / (end - back.strain_slack).max(1e-9);
        let stiffest = [0.0, 0.5 * end, end]
            .iter()
            .map(|e| law.slope(*e))
            .fold(branch, f64::max)
            / self.length_m;
        let inverse_mass = 1.0 / self.tug_kg + self.casualty_kg.map_or(0.0, |m| 1.0 / m);
        let radians_per_s = (stiffest * inverse_mass).sqrt();
        let mut step = (self.fineness.step_radians / radians_per_s).min(self.fineness.step_max_s);
        if let Some(rate) = law.curve().rate {
            step = step.min(0.05 * rate.relaxation_s);
        }
        step.max(1e-6)
    }

    fn strain(&self, y: &State) -> f64 {
        (y[TUG_X] - y[CAS_X]) / self.length_m
    }

    fn tension(&self, y: &State) -> f64 {
        let strain = self.strain(y);
        let elastic = match self.line {
            LineMode::Slack => return 0.0,
            LineMode::Loading => self.path.law().tension(strain),
            LineMode::Below => self.path.tension(strain.min(self.path.strain_max())),
        };
        (elastic + y[MAXWELL_N]).max(0.0)
    }

    fn resistance(&self, y: &State) -> f64 {
        self.setup.slide.get()
            + self.setup.break_extra.get() * libm::exp(-y[CAS_X] / self.setup.break_length.get())
            + self.setup.viscous_n_s_per_m * y[CAS_V].max(0.0)
    }

    fn drive(&self, y: &State) -> f64 {
        let on = self.drive_on
            && self.tug == TugMode::Forward
            && (self.setup.drive.held || self.line == LineMode::Slack);
        if !on {
            return 0.0;
        }
        let by_power = self.setup.drive.power.get() / y[TUG_V].max(CRAWL_M_S);
        self.setup.drive.greatest.get().min(by_power)
    }

    fn derivative(&self, y: &State) -> State {
        let mut d = [0.0; 8];
        let tension = self.tension(y);
        let drive = self.drive(y);
        let rolling = match self.tug {
            TugMode::Forward => self.setup.tug_rolling.get(),
            TugMode::Backward => -self.setup.tug_rolling.get(),
            TugMode::Stopped => 0.0,
        };
        if self.tug != TugMode::Stopped {
            let grade = self.setup.tug_grade.get();
            d[TUG_X] = y[TUG_V];
            d[TUG_V] = (drive - grade - rolling - tension) / self.tug_kg;
            d[DRIVE_J] = drive * y[TUG_V];
            d[GRADE_J] = grade * y[TUG_V];
            d[HEAT_J] = rolling * y[TUG_V];
        }
        if let (true, Some(mass)) = (self.casualty_moves, self.casualty_kg) {
            let resistance = self.resistance(y);
            d[CAS_X] = y[CAS_V];
            d[CAS_V] = (tension - resistance) / mass;
            d[HEAT_J] += resistance * y[CAS_V];
        }
        self.add_rate(y, &mut d);
        d
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

    fn stepped(&self, h: f64) -> State {
        let y = &self.state;
        let k1 = self.derivative(y);
        let k2 = self.derivative(&along(y, &k1, 0.5 * h));
        let k3 = self.derivative(&along(y, &k2, 0.5 * h));
        let k4 = self.derivative(&along(y, &k3, h));
        let mut out = *y;
        for i in 0..out.len() {
            out[i] += h / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]);
        }
        out
    }

    /// Takes a step of `h`, or less up to the first event. Whether one happened.
    fn advance(&mut self, h: f64) -> bool {
        let end = self.stepped(h);
        if self.crossed(&end).is_none() {
            self.state = end;
            self.time_s += h;
            return false;
        }
        let (mut low, mut high) = (0.0, h);
        while high - low > self.fineness.event_time_s {
            let mid = 0.5 * (low + high);
            if self.crossed(&self.stepped(mid)).is_some() {
                high = mid
            } else {
                low = mid
            }
        }
        let at = self.stepped(high);
        let crossing = self.crossed(&at);
        self.state = at;
        self.time_s += high;
        self.watch_peaks();
        if let Some(crossing) = crossing {
            self.change(crossing);
        }
        true
    }

    /// The first condition of the present mode that no longer holds at `y`.
    fn crossed(&self, y: &State) -> Option<Crossing> {
        let strain = self.strain(y);
        let tension = self.tension(y);
        if self
            .setup
            .parts_at
            .is_some_and(|limit| tension >= limit.get())
        {
            return Some(Crossing::Parts);
        }
        match self.line {
            LineMode::Slack if strain > self.path.strain_slack() => return Some(Crossing::Taut),
            LineMode::Below if strain <= self.path.strain_slack() => return Some(Crossing::Slack),
            LineMode::Below if strain > self.path.strain_max() => return Some(Crossing::Load),
            LineMode::Loading if y[TUG_V] < y[CAS_V] => return Some(Crossing::Unload),
            _ => {}
        }
        if !self.casualty_moves && self.casualty_kg.is_some() && tension > self.resistance(y) {
            return Some(Crossing::BreakOut);
        }
        if self.casualty_moves && y[CAS_V] < 0.0 {
            return Some(Crossing::CasualtyStops);
        }
        match self.tug {
            TugMode::Forward if y[TUG_V] < 0.0 => Some(Crossing::TugStops),
            TugMode::Backward if y[TUG_V] > 0.0 => Some(Crossing::TugStops),
            TugMode::Stopped if self.standstill_direction(y) != TugMode::Stopped => {
                Some(Crossing::TugLeaves)
            }
            _ => None,
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
        self.tug = self.standstill_direction(&self.state);
    }

    /// Which way a standing tug goes, rolling resistance holding it if it can.
    fn standstill_direction(&self, y: &State) -> TugMode {
        let drive = if self.drive_on {
            self.setup.drive.greatest.get()
        } else {
            0.0
        };
        let push = drive - self.setup.tug_grade.get() - self.tension(y);
        let holds = self.setup.tug_rolling.get();
        if push > holds && self.drive_on {
            TugMode::Forward
        } else if push < -holds && self.tension(y) > 0.0 {
            TugMode::Backward
        } else {
            // With the drive off a driver holds the vehicle on its brakes
            // against its own grade.
            TugMode::Stopped
        }
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
        let tension = self.tension(&self.state);
        if tension > self.peak.0 {
            self.peak = (tension, self.time_s);
        }
        self.strain_peak = self.strain_peak.max(self.strain(&self.state));
        let d = self.derivative(&self.state);
        self.casualty_acceleration = self.casualty_acceleration.max(d[CAS_V]);
        self.tug_deceleration = self.tug_deceleration.max(-d[TUG_V]);
    }

    fn record(&mut self) {
        if !self.fineness.keeps_series {
            return;
        }
        let y = &self.state;
        let taut = self.line != LineMode::Slack;
        self.series.push(Sample {
            time_s: self.time_s,
            force_n: self.tension(y),
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
            peak_force: Force::new(self.peak.0),
            peak_time: Duration::new(self.peak.1),
            stretch: Length::new((self.strain_peak * self.length_m).max(0.0)),
            stored_at_peak: Energy::new(law.energy(self.strain_peak) * self.length_m),
            movement: Length::new(y[CAS_X]),
            tug_end_speed: Speed::new(y[TUG_V]),
            casualty_peak_acceleration_m_s2: self.casualty_acceleration,
            tug_peak_deceleration_m_s2: self.tug_deceleration,
            events: self.events,
            series: self.series,
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

fn along(y: &State, d: &State, h: f64) -> State {
    let mut out = *y;
    for i in 0..out.len() {
        out[i] += h * d[i];
    }
    out
}

/// A condition that no longer holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Crossing {
    Taut,
    Slack,
    Load,
    Unload,
    BreakOut,
    CasualtyStops,
    TugStops,
    TugLeaves,
    Parts,
}
