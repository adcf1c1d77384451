//! What the vehicle does if what holds it parts: it runs until a line catches it.
//!
//! The vehicle moves along the way; its height is the mean of the ground under
//! its two axles, so that on any way, without friction, `v² = 2 g h`.
//!
//! ```text
//! free:    v²/2 = v0²/2 + g (z0 − z) − c g (x − x0)
//! caught:  m v' = m g sin a − c m g cos a − T,   T = path law of (s − s_taut − slip)/L
//! ```
//!
//! `c` is rolling resistance and the vehicle's own hold, `x` and `z` its level
//! distance and height, sines and cosines the means over the axles. A device that
//! slips holds `T` at its slip force and lets line through until the tail is
//! gone. The free run is exact; the catch is stepped (Runge–Kutta 4), every change
//! located to 1e-7 s: taut, slip, slip ends, edges of the way, parting, standstill.
//! The catch is followed to the first standstill: what springs back is less.
//!
//! Left out: a line that catches has no mass and no rate effect, lies along the
//! way and rubs on no edge; the vehicle does not roll over, dig in or hit
//! anything; wheels have no inertia. Exact cases: `v = sqrt(2 g h)`; linear line
//! `T = F + sqrt(F² + 2 k E)` with `F = W (sin a − c cos a)` (CV-KIN-09); a device
//! that slips from the start stops it in `E/(T_slip − F)`.

use super::profile::Profile;
use crate::line::Path;
use crate::units::{Duration, Energy, Force, Length, Mass, Speed};

/// Steps along the ground while it runs free, m.
const FREE_STEP_M: f64 = 0.05;
/// Run-out past the way at which it is said not to stop.
pub const FAR: Length = Length::new(300.0);
/// Angle of the line's own swing in one step of the catch, rad.
const STEP_RADIANS: f64 = 0.02;
const STEP_MAX_S: f64 = 5e-3;
const EVENT_TIME_S: f64 = 1e-7;
/// Changes of state in one catch before it is given up.
const EVENT_LIMIT: usize = 400;
/// Longest catch followed, s.
const CATCH_MAX_S: f64 = 60.0;

/// A line that comes tight as the vehicle runs.
#[derive(Debug, Clone, PartialEq)]
pub struct CatchLine {
    /// Its law and what it has seen.
    pub path: Path,
    /// Line between vehicle and device, at rest.
    pub length: Length,
    /// How far the vehicle runs before it comes tight.
    pub slack: Length,
    /// Force at which its device slips; `None` is fixed.
    pub slips_at: Option<Force>,
    /// Line that can run through the device.
    pub tail: Length,
}

/// What is needed to follow a run-away.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup<'a> {
    /// The way.
    pub profile: &'a Profile,
    /// Distance between the axles.
    pub wheelbase: Length,
    /// Mass.
    pub mass: Mass,
    /// Share of the load on the wheels that holds back.
    pub holds_back: f64,
    /// Place of the upper axle when it parts.
    pub start: Length,
    /// Place of the upper axle at the foot: the end of the lowering.
    pub foot: Length,
    /// Speed when it parts.
    pub speed: Speed,
    /// The line that catches, if there is one.
    pub catch: Option<CatchLine>,
}

/// How a run-away ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// It does not run: the wheels hold it, or it rolls to a stop before a line is
    /// tight.
    Stays,
    /// A line holds it.
    Caught,
    /// The line parts; it runs on.
    Parted,
    /// The tail runs through the device; it runs on.
    RanThrough,
    /// Nothing catches it.
    Runs,
}

/// Where the energy went, from the parting to the end of the catch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunAudit {
    /// Kinetic energy at the start, and what the fall gave.
    pub put_in: Energy,
    /// Kinetic energy at the end.
    pub kinetic: Energy,
    /// Energy that the line would give back.
    pub stored: Energy,
    /// Heat in ground, line and device.
    pub dissipated: Energy,
}

impl RunAudit {
    /// What is left over, as a share of what was put in.
    pub fn error_share(&self) -> f64 {
        let left = self.put_in - self.kinetic - self.stored - self.dissipated;
        left / self.put_in.max(Energy::new(1.0))
    }
}

/// A place in a run-away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunSample {
    /// Time since the parting, s.
    pub time_s: f64,
    /// Place of the upper axle, m.
    pub distance_m: f64,
    /// Speed, m/s.
    pub speed_m_s: f64,
    /// Tension in the line that catches, N.
    pub force_n: f64,
}

/// What a run-away did.
#[derive(Debug, Clone, PartialEq)]
pub struct RunAway {
    /// How it ended.
    pub end: End,
    /// Greatest speed before a line stopped it or it came to rest.
    pub greatest_speed: Speed,
    /// Speed when the line came tight.
    pub taut_speed: Option<Speed>,
    /// Peak tension in the line that catches.
    pub peak: Force,
    /// Distance run from the parting to standstill; none if it does not stop.
    pub ran: Option<Length>,
    /// Distance from the line coming tight to standstill.
    pub stopping: Option<Length>,
    /// Line let through by the device.
    pub slipped: Length,
    /// Speed at the foot, if it gets there.
    pub foot_speed: Option<Speed>,
    /// How far past the foot it stops, if it gets there and stops.
    pub past_foot: Option<Length>,
    /// Time to standstill, or to the foot if it does not stop.
    pub time: Duration,
    /// Course, from the parting on.
    pub series: Vec<RunSample>,
    /// Energy to the end of the catch, or of the run without one.
    pub audit: RunAudit,
}

/// Follows a run-away to standstill, or until it is far past the way.
pub fn run_away(setup: &Setup) -> RunAway {
    let mut run = Run::new(setup);
    let far = setup.profile.length_m().max(setup.foot.get()) + FAR.get();
    let Some(catch) = &setup.catch else {
        let stopped = run.free_to(far);
        run.audit_now(None);
        let end = if stopped && run.moved() < FREE_STEP_M {
            End::Stays
        } else {
            End::Runs
        };
        return run.outcome(end, stopped);
    };
    if run.free_to(setup.start.get() + catch.slack.get()) {
        run.audit_now(None);
        return run.outcome(End::Stays, true);
    }
    let end = Catch::new(&mut run, catch).follow();
    match end {
        End::Caught => run.outcome(End::Caught, true),
        other => {
            let stopped = run.free_to(far);
            run.outcome(other, stopped)
        }
    }
}

/// Ground under the middle of the vehicle: level distance and height, m, and the
/// means of cosine and sine.
struct Middle {
    x_m: f64,
    z_m: f64,
    cos: f64,
    sin: f64,
}

struct Run<'a> {
    setup: &'a Setup<'a>,
    s: f64,
    v: f64,
    time_s: f64,
    fastest: f64,
    at_foot: Option<f64>,
    foot_time_s: f64,
    series: Vec<RunSample>,
    taut: Option<(f64, f64)>,
    peak_n: f64,
    slipped_m: f64,
    audit: RunAudit,
}

impl<'a> Run<'a> {
    fn new(setup: &'a Setup<'a>) -> Self {
        let v = setup.speed.get();
        let none = RunAudit {
            put_in: Energy::ZERO,
            kinetic: Energy::ZERO,
            stored: Energy::ZERO,
            dissipated: Energy::ZERO,
        };
        let mut run = Self {
            setup,
            s: setup.start.get(),
            v,
            time_s: 0.0,
            fastest: v,
            at_foot: (setup.start >= setup.foot).then_some(v),
            foot_time_s: 0.0,
            series: Vec::new(),
            taut: None,
            peak_n: 0.0,
            slipped_m: 0.0,
            audit: none,
        };
        run.record(0.0);
        run
    }

    fn moved(&self) -> f64 {
        self.s - self.setup.start.get()
    }

    fn middle(&self, s: f64) -> Middle {
        self.middle_as_from(s, s)
    }

    /// The same if each axle were still on the stretch on which it is at `from`.
    fn middle_as_from(&self, from: f64, s: f64) -> Middle {
        let ahead = self.setup.wheelbase.get();
        let upper = self.setup.profile.as_from(from, s);
        let lower = self.setup.profile.as_from(from + ahead, s + ahead);
        let mean = |f: fn(f64) -> f64| 0.5 * (f(upper.slope_rad) + f(lower.slope_rad));
        Middle {
            x_m: 0.5 * (upper.x_m + lower.x_m),
            z_m: 0.5 * (upper.z_m + lower.z_m),
            cos: mean(libm::cos),
            sin: mean(libm::sin),
        }
    }

    /// Half the square of the speed at `s`, from what it is at `from`.
    fn half_square(&self, from: &Middle, at: &Middle) -> f64 {
        let g = crate::units::G;
        0.5 * self.v * self.v + g * (from.z_m - at.z_m)
            - self.setup.holds_back * g * (at.x_m - from.x_m)
    }

    /// Runs free to `end`, or to a standstill before. Whether it stopped.
    fn free_to(&mut self, end: f64) -> bool {
        while self.s < end {
            let step = (self.next_mark(end) - self.s).min(FREE_STEP_M * (1.0 + 0.2 * self.v));
            let from = self.middle(self.s);
            let half = self.half_square(&from, &self.middle(self.s + step));
            let stops = half <= 0.0;
            let step = if stops { self.stop_within(step) } else { step };
            let next = libm::sqrt(2.0 * half.max(0.0));
            self.time_s += 2.0 * step / (self.v + next).max(1e-6);
            self.s = if step + self.s >= self.next_mark(end) {
                self.next_mark(end)
            } else {
                self.s + step
            };
            self.v = if stops { 0.0 } else { next };
            self.pass_foot();
            self.fastest = self.fastest.max(self.v);
            self.record(0.0);
            if stops {
                return true;
            }
        }
        false
    }

    /// The end of a free run, or the foot if that comes first.
    fn next_mark(&self, end: f64) -> f64 {
        match self.at_foot {
            None => end.min(self.setup.foot.get()),
            Some(_) => end,
        }
    }

    /// How far into a step it stops.
    fn stop_within(&self, step: f64) -> f64 {
        let from = self.middle(self.s);
        let (mut low, mut high) = (0.0, step);
        for _ in 0..48 {
            let mid = 0.5 * (low + high);
            if self.half_square(&from, &self.middle(self.s + mid)) > 0.0 {
                low = mid;
            } else {
                high = mid;
            }
        }
        low
    }

    fn pass_foot(&mut self) {
        if self.at_foot.is_none() && self.s >= self.setup.foot.get() {
            self.at_foot = Some(self.v);
            self.foot_time_s = self.time_s;
        }
    }

    fn record(&mut self, force_n: f64) {
        self.series.push(RunSample {
            time_s: self.time_s,
            distance_m: self.s,
            speed_m_s: self.v,
            force_n,
        });
    }

    /// Books the energy so far, with what a line took.
    fn audit_now(&mut self, line: Option<LineEnergy>) {
        let (start, now) = (self.middle(self.setup.start.get()), self.middle(self.s));
        let weight = self.setup.mass.weight().get();
        let m = self.setup.mass.get();
        let v0 = self.setup.speed.get();
        let line = line.unwrap_or_default();
        self.audit = RunAudit {
            put_in: Energy::new(0.5 * m * v0 * v0 + weight * (start.z_m - now.z_m)),
            kinetic: Energy::new(0.5 * m * self.v * self.v),
            stored: Energy::new(line.stored_j),
            dissipated: Energy::new(
                self.setup.holds_back * weight * (now.x_m - start.x_m) + line.heat_j,
            ),
        };
    }

    fn outcome(self, end: End, stopped: bool) -> RunAway {
        let ran = stopped.then(|| Length::new(self.moved()));
        let past = (self.s - self.setup.foot.get()).max(0.0);
        RunAway {
            end,
            greatest_speed: Speed::new(self.fastest),
            taut_speed: self.taut.map(|(_, v)| Speed::new(v)),
            peak: Force::new(self.peak_n),
            ran,
            stopping: match (end, self.taut) {
                (End::Caught, Some((at, _))) => Some(Length::new(self.s - at)),
                _ => None,
            },
            slipped: Length::new(self.slipped_m),
            foot_speed: self.at_foot.map(Speed::new),
            past_foot: (stopped && self.at_foot.is_some()).then(|| Length::new(past)),
            time: Duration::new(if stopped {
                self.time_s
            } else {
                self.foot_time_s
            }),
            series: self.series,
            audit: self.audit,
        }
    }
}

/// Energy in the line, J.
#[derive(Debug, Clone, Copy, Default)]
struct LineEnergy {
    stored_j: f64,
    heat_j: f64,
}

/// A catch under way.
struct Catch<'r, 'a> {
    run: &'r mut Run<'a>,
    line: &'r CatchLine,
    /// Place at which the line came tight, line let through included, m.
    taut_m: f64,
    slips: bool,
    crossed: usize,
    /// Edges, each with how far ahead of the upper axle the one that crosses it is, m.
    breaks: Vec<(f64, f64)>,
}

/// What ends a step of the catch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Crossing {
    Parts,
    Slips,
    TailGone,
    Stands,
    Edge,
}

impl<'r, 'a> Catch<'r, 'a> {
    fn new(run: &'r mut Run<'a>, line: &'r CatchLine) -> Self {
        let wheelbase = run.setup.wheelbase.get();
        let mut breaks: Vec<(f64, f64)> = run
            .setup
            .profile
            .breaks()
            .flat_map(|b| [(b, 0.0), (b, wheelbase)])
            .collect();
        breaks.sort_by(|(b, ahead), (c, further)| f64::total_cmp(&(b - ahead), &(c - further)));
        run.taut = Some((run.s, run.v));
        let taut_m = run.s - line.path.strain_slack() * line.length.get();
        let crossed = breaks.partition_point(|(b, ahead)| *b <= run.s + ahead);
        Self {
            run,
            line,
            taut_m,
            slips: false,
            crossed,
            breaks,
        }
    }

    fn step_s(&self) -> f64 {
        let law = self.line.path.law();
        let end = law.curve().strain_at_break();
        let stiffest = [0.0, 0.5 * end, end]
            .iter()
            .map(|e| law.slope(*e))
            .fold(0.0, f64::max);
        let per_metre = stiffest / self.line.length.get();
        let swing = (per_metre / self.run.setup.mass.get()).sqrt();
        (STEP_RADIANS / swing).min(STEP_MAX_S)
    }

    fn stretch(&self, s: f64) -> f64 {
        s - self.taut_m - self.run.slipped_m
    }

    fn tension(&self, s: f64) -> f64 {
        match (self.slips, self.line.slips_at) {
            (true, Some(force)) => force.get(),
            _ => self
                .line
                .path
                .tension(self.stretch(s) / self.line.length.get()),
        }
    }

    /// At `s`, for a step that begins where the vehicle is now. The step ends at the
    /// first edge it meets, and till then no stage of it may see the slope beyond.
    fn acceleration(&self, s: f64) -> f64 {
        let at = self.run.middle_as_from(self.run.s, s);
        let g = crate::units::G;
        let c = self.run.setup.holds_back;
        g * (at.sin - c * at.cos) - self.tension(s) / self.run.setup.mass.get()
    }

    fn stepped(&self, h: f64) -> (f64, f64) {
        let (s, v) = (self.run.s, self.run.v);
        let a1 = self.acceleration(s);
        let (s2, v2) = (s + 0.5 * h * v, v + 0.5 * h * a1);
        let a2 = self.acceleration(s2);
        let (s3, v3) = (s + 0.5 * h * v2, v + 0.5 * h * a2);
        let a3 = self.acceleration(s3);
        let (s4, v4) = (s + h * v3, v + h * a3);
        let a4 = self.acceleration(s4);
        (
            s + h / 6.0 * (v + 2.0 * v2 + 2.0 * v3 + v4),
            v + h / 6.0 * (a1 + 2.0 * a2 + 2.0 * a3 + a4),
        )
    }

    fn crossing(&self, (s, v): (f64, f64)) -> Option<Crossing> {
        let tension = self.tension(s);
        if tension >= self.line.path.law().breaking_n() {
            return Some(Crossing::Parts);
        }
        if v <= 0.0 {
            return Some(Crossing::Stands);
        }
        match self.line.slips_at {
            Some(force) if !self.slips && tension >= force.get() => return Some(Crossing::Slips),
            Some(_) if self.slips && self.through(s) >= self.line.tail.get() => {
                return Some(Crossing::TailGone);
            }
            _ => {}
        }
        let next = self.breaks.get(self.crossed);
        let edge = next.is_some_and(|(b, ahead)| s + ahead > *b);
        edge.then_some(Crossing::Edge)
    }

    /// Line let through when the vehicle is at `s` and the device slips.
    fn through(&self, s: f64) -> f64 {
        self.run.slipped_m + (s - self.run.s)
    }

    fn advance(&mut self, h: f64) -> Option<Crossing> {
        let mut taken = h;
        if self.crossing(self.stepped(h)).is_some() {
            let (mut low, mut high) = (0.0, h);
            while high - low > EVENT_TIME_S {
                let mid = 0.5 * (low + high);
                if self.crossing(self.stepped(mid)).is_some() {
                    high = mid;
                } else {
                    low = mid;
                }
            }
            taken = high;
        }
        let at = self.stepped(taken);
        let crossing = self.crossing(at);
        if self.slips {
            self.run.slipped_m = self.through(at.0);
        }
        (self.run.s, self.run.v) = at;
        self.run.time_s += taken;
        crossing
    }

    fn follow(mut self) -> End {
        let step_s = self.step_s();
        let started_s = self.run.time_s;
        let mut events = 0;
        let end = loop {
            let crossing = self.advance(step_s);
            let tension = self.tension(self.run.s);
            self.run.peak_n = self.run.peak_n.max(tension);
            self.run.fastest = self.run.fastest.max(self.run.v);
            self.run.pass_foot();
            self.run.record(tension);
            events += usize::from(crossing.is_some());
            match crossing {
                Some(Crossing::Parts) => break End::Parted,
                Some(Crossing::TailGone) => break End::RanThrough,
                Some(Crossing::Stands) => break End::Caught,
                Some(Crossing::Slips) => self.slips = true,
                Some(Crossing::Edge) => self.crossed += 1,
                None => {}
            }
            if events > EVENT_LIMIT || self.run.time_s - started_s > CATCH_MAX_S {
                break End::RanThrough;
            }
        };
        self.close(end);
        end
    }

    /// Sets the vehicle at rest if it is caught, and books the energy.
    fn close(&mut self, end: End) {
        let length = self.line.length.get();
        let strain = self.stretch(self.run.s) / length;
        let law = self.line.path.law();
        let seen = self.line.path.strain_max();
        let stored = self.line.path.recoverable(strain) * length;
        let before = self.line.path.recoverable(self.line.path.strain_slack()) * length;
        let lost = (law.energy(strain.max(seen)) - law.energy(seen))
            * (1.0 - law.curve().energy_return)
            * length;
        let slipped = self.line.slips_at.map_or(0.0, |f| f.get()) * self.run.slipped_m;
        if end == End::Caught {
            self.run.v = 0.0;
        }
        let kept = if end == End::Parted {
            0.0
        } else {
            stored - before
        };
        let parted = if end == End::Parted {
            stored - before
        } else {
            0.0
        };
        self.run.audit_now(Some(LineEnergy {
            stored_j: kept,
            heat_j: lost + slipped + parted,
        }));
    }
}
