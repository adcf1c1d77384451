//! Runs a haul: step by step over the line, from layer to layer, rest to rest.
//!
//! A step is at most 10 mm of line and ends at the edge of a layer, at the end of
//! the haul, or when the winding reaches its limit (solved for, not stepped
//! over). Within a step pull, current and voltage are those of its middle; the
//! winding follows its exponential.

use super::drum::Drum;
use super::haul::{End, HaulError, HaulEvent, HaulOutcome, HaulSample, HaulSetup};
use super::machine::{Kind, LimitedBy, Machine, Reading};
use super::motor::Motor;
use super::supply::FLAT;
use crate::situation::resistance::SUCTION_LENGTH_M;
use crate::units::{Force, Length, Temperature};

/// Longest step, m of line.
const STEP_M: f64 = 0.01;
/// Longest step, s.
const STEP_S: f64 = 20.0;
/// Longest haul, s.
const LONGEST_S: f64 = 6.0 * 3600.0;
/// Samples of the printed series at most, events and rests on top.
const SAMPLES: f64 = 120.0;
/// Samples of one rest.
const REST_SAMPLES: u32 = 6;
/// Closer than this is there, m.
const THERE_M: f64 = 1e-9;

/// Runs a haul.
pub fn run(setup: &HaulSetup) -> Result<HaulOutcome, HaulError> {
    setup.checked()?;
    let winch = setup.winch;
    let machine = Machine::new(&winch.plate, winch.rated_pull, winch.line_speed)?;
    let mut haul = Haul::new(setup, machine);
    haul.start();
    let end = loop {
        if let Some(end) = haul.step() {
            break end;
        }
    };
    haul.sample(None, haul.asked());
    haul.note(HaulEvent::Ends(end));
    haul.out.end = end;
    Ok(haul.finish())
}

struct Haul<'a> {
    setup: &'a HaulSetup<'a>,
    machine: Machine,
    drum: Drum,
    wound_at_start: f64,
    wanted_in: f64,
    line_in: f64,
    time: f64,
    winding_c: f64,
    charge: f64,
    layer: u32,
    next_sample: f64,
    out: HaulOutcome,
}

impl<'a> Haul<'a> {
    fn new(setup: &'a HaulSetup<'a>, machine: Machine) -> Self {
        let drum = setup.drum();
        let wound = setup.wound_at_start();
        let air = match &machine.kind {
            Kind::Electric(motor) => motor.heat.air.get(),
            _ => 20.0,
        };
        let charge = machine.charge_at_start();
        let layer = drum.winding(wound);
        Self {
            setup,
            drum,
            wound_at_start: wound.get(),
            wanted_in: setup.distance.get() * setup.haul_per_metre,
            line_in: 0.0,
            time: 0.0,
            winding_c: air,
            charge,
            layer,
            next_sample: 0.0,
            out: nothing_yet(&drum, wound, layer, air, charge),
            machine,
        }
    }

    fn start(&mut self) {
        self.note(HaulEvent::Starts);
        let least = f64::from(self.setup.winch.least_wraps);
        if self.out.wraps_at_start + 1e-6 < least {
            self.note(HaulEvent::TooFewWraps);
        }
    }

    /// Pull at the casualty after `line_in` metres of line.
    fn load(&self, line_in: f64) -> f64 {
        let load = self.setup.load;
        let moved = line_in / self.setup.haul_per_metre;
        load.slide.get() + load.suction.get() * libm::exp(-moved / SUCTION_LENGTH_M)
    }

    /// Line pull asked for now, N.
    fn asked(&self) -> f64 {
        self.load(self.line_in) / self.setup.advantage
    }

    /// Whether it is over because there is no more line to haul in.
    fn is_in(&self) -> Option<End> {
        if self.line_in >= self.wanted_in - THERE_M {
            Some(End::Arrived)
        } else if self.line_in >= self.setup.winch.paid_out.get() - THERE_M {
            Some(End::LineAllIn)
        } else {
            None
        }
    }

    /// Whether it stops here, before any more line comes in.
    fn ends_here(&mut self) -> Option<End> {
        if self.charge <= FLAT && matches!(self.machine.kind, Kind::Electric(_)) {
            return Some(End::BatteryFlat);
        }
        if self.time > LONGEST_S {
            return Some(End::TooLong);
        }
        let factor = self.drum.layer_factor(self.layer);
        let (most, by) = self.machine.most(self.charge);
        let most_n = most.get() / factor;
        let stall_n = self.machine.stall(self.charge).get() / factor;
        let asked = if self.setup.load.fixed {
            f64::INFINITY
        } else {
            self.asked()
        };
        let walks_n = self
            .setup
            .walks_at
            .map_or(f64::INFINITY, |f| f.get() / self.setup.advantage);
        // A casualty that does not move at all takes what there is.
        let reached = asked.min(most_n).min(walks_n);
        self.reached(reached, reached / most_n, reached / stall_n, by);
        if asked > walks_n && walks_n <= most_n {
            return Some(End::Walks);
        }
        if asked > most_n {
            self.out.greatest_share = self.out.greatest_share.max(1.0);
            return Some(match by {
                LimitedBy::Rating => End::Overload,
                other => End::Stall(other),
            });
        }
        None
    }

    fn reached(&mut self, pull_n: f64, share: f64, stall_share: f64, by: LimitedBy) {
        let out = &mut self.out;
        out.greatest_pull = out.greatest_pull.max(Force::new(pull_n));
        out.stall_share = out.stall_share.max(stall_share);
        if share >= out.greatest_share {
            out.greatest_share = share;
            out.limited_by = by;
        }
    }

    /// One step, or how it ends.
    fn step(&mut self) -> Option<End> {
        if let Some(end) = self.is_in() {
            return Some(end);
        }
        let wound = Length::new(self.wound_at_start + self.line_in);
        let layer = self.drum.winding(wound);
        if layer != self.layer {
            self.layer = layer;
            self.note(HaulEvent::Layer(layer));
        }
        if let Some(end) = self.ends_here() {
            return Some(end);
        }
        let edge = self.drum.length_in(layer).get() - self.wound_at_start;
        let stop = self
            .wanted_in
            .min(self.setup.winch.paid_out.get())
            .min(edge);
        let mut metres = (stop - self.line_in).min(STEP_M);
        let factor = self.drum.layer_factor(layer);
        let pull_n = self.load(self.line_in + 0.5 * metres) / self.setup.advantage;
        let Some(reading) = self.machine.turn(pull_n * factor, self.charge) else {
            return Some(End::Stall(LimitedBy::Supply));
        };
        let speed = reading.speed_first * factor;
        let mut seconds = metres / speed;
        let limit_s = self.time_to_limit(&reading);
        let hot = limit_s <= seconds.min(STEP_S);
        if hot {
            (seconds, metres) = (limit_s, limit_s * speed);
        } else if seconds > STEP_S {
            (seconds, metres) = (STEP_S, STEP_S * speed);
        }
        if self.line_in >= self.next_sample {
            self.sample(Some((&reading, speed)), pull_n);
            self.next_sample = self.line_in + self.wanted_in / SAMPLES;
        }
        self.turned(&reading, pull_n, metres, seconds);
        if hot {
            self.sample(Some((&reading, speed)), pull_n);
            self.rest(pull_n);
        }
        None
    }

    fn time_to_limit(&self, reading: &Reading) -> f64 {
        match &self.machine.kind {
            Kind::Electric(motor) => {
                let limit = motor.heat.limit.get();
                if self.winding_c >= limit {
                    return 0.0;
                }
                motor
                    .time_to(self.winding_c, limit, reading.flows.winding_heat)
                    .unwrap_or(f64::INFINITY)
            }
            _ => f64::INFINITY,
        }
    }

    fn turned(&mut self, reading: &Reading, pull_n: f64, metres: f64, seconds: f64) {
        let flows = reading.flows;
        let books = &mut self.out.books;
        books.battery_j += flows.battery * seconds;
        books.alternator_j += flows.alternator * seconds;
        books.engine_j += flows.engine * seconds;
        books.person_j += flows.person * seconds;
        books.battery_heat_j += flows.battery_heat * seconds;
        books.cable_heat_j += flows.cable_heat * seconds;
        books.winding_heat_j += flows.winding_heat * seconds;
        books.gear_heat_j += flows.gear_heat * seconds;
        books.line_j += pull_n * metres;
        let moved = metres / self.setup.haul_per_metre;
        let on_casualty = pull_n * self.setup.advantage * moved;
        books.casualty_j += on_casualty;
        books.rig_heat_j += pull_n * metres - on_casualty;
        if let Kind::Electric(motor) = &self.machine.kind {
            self.charge -= reading.battery_a * seconds / motor.charge_c();
            self.winding_c = motor.winding_after(self.winding_c, flows.winding_heat, seconds);
            let out = &mut self.out;
            out.greatest_current_a = out.greatest_current_a.max(reading.current_a);
            out.least_volts_v = out.least_volts_v.min(reading.volts_v);
            out.hottest = out.hottest.max(Temperature::new(self.winding_c));
        }
        let out = &mut self.out;
        out.greatest_handle = out.greatest_handle.max(Force::new(reading.handle_n));
        out.greatest_pressure_pa = out.greatest_pressure_pa.max(reading.pressure_pa);
        self.line_in += metres;
        self.time += seconds;
    }

    /// Rests until the winding has cooled; the brake holds the line at `pull_n`.
    fn rest(&mut self, pull_n: f64) {
        let Kind::Electric(motor) = &self.machine.kind else {
            return;
        };
        let motor: Motor = (**motor).clone();
        let until = motor.heat.rest_until.get();
        let Some(rest_s) = motor.time_to(self.winding_c, until, 0.0) else {
            return;
        };
        self.out.rests += 1;
        let hauled = self.time;
        self.out.first_rest_s.get_or_insert(hauled);
        self.note(HaulEvent::RestBegins);
        self.sample(None, pull_n);
        let seconds = rest_s / f64::from(REST_SAMPLES);
        for _ in 0..REST_SAMPLES {
            let idle = motor.supply.draw(0.0, self.charge);
            // It charges until it is full.
            let room_s = (1.0 - self.charge) * motor.charge_c() / -idle.battery_a;
            let charging_s = if idle.battery_a < 0.0 {
                seconds.min(room_s.max(0.0))
            } else {
                0.0
            };
            let half = idle.battery_a * charging_s / motor.charge_c() / 2.0;
            let idle = motor.supply.draw(0.0, self.charge - half);
            let books = &mut self.out.books;
            books.battery_j += idle.battery_w * charging_s;
            books.alternator_j += idle.alternator_w * charging_s;
            books.battery_heat_j += idle.battery_heat_w * charging_s;
            self.charge -= idle.battery_a * charging_s / motor.charge_c();
            self.winding_c = motor.winding_after(self.winding_c, 0.0, seconds);
            self.time += seconds;
            self.sample(None, pull_n);
        }
        self.out.resting_s += rest_s;
        self.note(HaulEvent::RestEnds);
        // The next step shows the haul going on.
        self.next_sample = self.line_in;
    }

    fn note(&mut self, event: HaulEvent) {
        self.out.events.push((self.time, event));
    }

    fn sample(&mut self, turning: Option<(&Reading, f64)>, pull_n: f64) {
        let mut sample = HaulSample {
            time_s: self.time,
            line_in_m: self.line_in,
            movement_m: self.line_in / self.setup.haul_per_metre,
            layer: self.layer,
            line_pull_n: pull_n.min(self.out.greatest_pull.get()),
            winding_c: self.winding_c,
            state_of_charge: self.charge,
            ..HaulSample::default()
        };
        if let Some((reading, speed)) = turning {
            let flows = reading.flows;
            sample.line_speed_m_s = speed;
            sample.current_a = reading.current_a;
            sample.volts_v = reading.volts_v;
            sample.pressure_pa = reading.pressure_pa;
            sample.handle_n = reading.handle_n;
            sample.power_in_w = flows.battery + flows.alternator + flows.engine + flows.person;
            sample.power_out_w = pull_n * speed;
        } else if let Kind::Electric(motor) = &self.machine.kind {
            let idle = motor.supply.draw(0.0, self.charge);
            sample.volts_v = idle.winch_v;
            sample.power_in_w = idle.battery_w + idle.alternator_w;
        }
        self.out.series.push(sample);
    }

    fn finish(self) -> HaulOutcome {
        let mut out = self.out;
        out.layers.1 = self.layer;
        out.line_in = Length::new(self.line_in);
        out.movement = Length::new(self.line_in / self.setup.haul_per_metre);
        out.time_s = self.time;
        out.charge_left = self.charge;
        if !out.least_volts_v.is_finite() {
            out.least_volts_v = 0.0;
        }
        out
    }
}

fn nothing_yet(drum: &Drum, wound: Length, layer: u32, air: f64, charge: f64) -> HaulOutcome {
    HaulOutcome {
        end: End::TooLong,
        layers: (layer, layer),
        wraps_at_start: drum.wraps_in(wound),
        line_in: Length::ZERO,
        movement: Length::ZERO,
        time_s: 0.0,
        resting_s: 0.0,
        rests: 0,
        first_rest_s: None,
        greatest_pull: Force::ZERO,
        greatest_share: 0.0,
        stall_share: 0.0,
        limited_by: LimitedBy::Rating,
        greatest_current_a: 0.0,
        least_volts_v: f64::INFINITY,
        hottest: Temperature::new(air),
        charge_left: charge,
        greatest_handle: Force::ZERO,
        greatest_pressure_pa: 0.0,
        events: Vec::new(),
        series: Vec::new(),
        books: Default::default(),
    }
}
