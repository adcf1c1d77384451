//! Watches a run: greatest speed, arrival, energy along the way, reach, path.

use super::assemble::TAIL_SHARE;
use super::audit::kinetic_j;
use super::bodies::{plus, square, times};
use super::chain::Chain;
use super::outcome::{DamperOutcome, EnergyAtDistance, FreeEnd};
use super::setup::Setup;
use super::watches::Watches;
use crate::units::{Duration, Energy, Length, Speed};

const PATH_SAMPLES: usize = 200;
const DISTANCES: usize = 20;
/// Length of line at the free end whose energy stands in for hardware, m.
const TAIL_M: f64 = 0.5;

/// Share of the pull at the far end that counts as slack. The wave is mirrored
/// there, so the pull is gone when the middle of its front arrives.
const SLACK_SHARE: f64 = 0.02;

/// Nodes of the line's end, each with the mass that counts, kg.
type Tail = Vec<(usize, f64)>;

#[derive(Debug, Clone, PartialEq)]
pub(super) struct Recorder {
    lane: usize,
    hardware_kg: f64,
    tail_mean: Tail,
    tail_half_metre: Tail,
    from_x: f64,
    far_x: f64,
    last: FreeEnd,
    pub launch: FreeEnd,
    pub launch_energy_j: f64,
    pub fastest: FreeEnd,
    turned: bool,
    pub arrival: Option<FreeEnd>,
    pub arrival_held_x: Option<f64>,
    pub tether_held_x: Vec<Option<f64>>,
    along_j: [f64; DISTANCES],
    passed: usize,
    pub reach_m: f64,
    pub path: Vec<FreeEnd>,
    stride: u64,
    start_pull_n: f64,
    pub slack_s: Option<f64>,
    damper_energy_j: Vec<f64>,
    damper_kg: Vec<f64>,
    pub damper_arrival: Vec<Option<FreeEnd>>,
    pub watches: Watches,
}

impl Recorder {
    /// Before the first step.
    pub fn new(chain: &Chain, l: usize, setup: &Setup) -> Self {
        let hardware_kg = setup.hardware.mass.get();
        let half_metre = tail(chain, l, TAIL_M);
        let b = &chain.bodies;
        let tip = chain.tip();
        let (start, far) = (b.place(tip, l), b.place(0, l));
        let grips = &chain.lanes[l].grips;
        let mut recorder = Self {
            lane: l,
            hardware_kg,
            tail_mean: tail(
                chain,
                l,
                (0..tip).map(|i| chain.rest_m(i, l)).sum::<f64>() * TAIL_SHARE,
            ),
            tail_half_metre: half_metre.clone(),
            watches: Watches::new(setup, l, half_metre),
            from_x: start[0],
            far_x: far[0],
            last: FreeEnd::default(),
            launch: FreeEnd::default(),
            launch_energy_j: 0.0,
            fastest: FreeEnd::default(),
            turned: false,
            arrival: None,
            arrival_held_x: None,
            tether_held_x: vec![None; chain.lanes[l].tethers.len()],
            along_j: [0.0; DISTANCES],
            passed: 0,
            reach_m: f64::NEG_INFINITY,
            path: Vec::with_capacity(PATH_SAMPLES),
            stride: 1,
            start_pull_n: 0.0,
            slack_s: None,
            damper_energy_j: vec![0.0; grips.len()],
            damper_arrival: vec![None; grips.len()],
            damper_kg: grips.iter().map(|g| b.mass(g.body, l)).collect(),
        };
        recorder.last = recorder.free_end(chain);
        recorder.launch = recorder.last;
        recorder.path.push(recorder.last);
        recorder.launch_energy_j = recorder.last.energy.get();
        let start = recorder.last;
        recorder.watches.look(chain, &start);
        recorder
    }

    /// x of the far recovery point at the start.
    pub fn far_x(&self) -> f64 {
        self.far_x
    }

    /// The free end now.
    pub fn free_end(&self, chain: &Chain) -> FreeEnd {
        let (b, l) = (&chain.bodies, self.lane);
        let tip = chain.tip();
        let grips = chain.lanes[l].grips.iter().zip(&self.damper_kg);
        let carried: f64 = grips.filter(|(g, _)| !g.holds()).map(|(_, kg)| kg).sum();
        let velocity = self.end_velocity(chain);
        let own = 0.5 * (self.hardware_kg + carried) * square(b.velocity(tip, l));
        let line: f64 = self
            .tail_half_metre
            .iter()
            .map(|&(i, kg)| 0.5 * kg * square(b.velocity(i, l)))
            .sum();
        FreeEnd {
            time: Duration::new(chain.lanes[l].time_s),
            place_m: b.place(tip, l),
            velocity_m_s: velocity,
            speed: Speed::new(square(velocity).sqrt()),
            energy: Energy::new(own.max(line)),
        }
    }

    /// After every step. Most steps of a run come after the arrival and show nothing
    /// new: those cost little.
    pub fn note(&mut self, chain: &Chain) {
        let lane = &chain.lanes[self.lane];
        // A power of two.
        let keeps = lane.steps & (self.stride - 1) == 0;
        let looks = self.watches.look_due(lane.time_s);
        let under_way = self.arrival.is_none() || self.passed < DISTANCES;
        if under_way || keeps || looks || self.is_fastest(chain) {
            let now = self.free_end(chain);
            self.note_launch(chain, &now);
            self.note_passing(chain, &now);
            if looks {
                self.watches.look(chain, &now);
            }
            if keeps {
                self.keep(now);
            }
            self.last = now;
        } else {
            self.note_reach(chain);
        }
        if self.arrival.is_some() || self.turned {
            self.watches.note_whip(chain);
        }
        self.note_pull(chain);
        self.note_dampers_and_tethers(chain);
    }

    /// Whether the free end is faster than it ever was.
    #[inline(always)]
    fn is_fastest(&self, chain: &Chain) -> bool {
        let fastest = self.fastest.speed.get();
        square(self.end_velocity(chain)) > fastest * fastest
    }

    /// Velocity of the hardware, or of the end of a bare line as a whole.
    #[inline(always)]
    fn end_velocity(&self, chain: &Chain) -> [f64; 3] {
        if self.hardware_kg > 0.0 {
            chain.bodies.velocity(chain.tip(), self.lane)
        } else {
            mean_velocity(chain, self.lane, &self.tail_mean)
        }
    }

    #[inline(always)]
    fn note_reach(&mut self, chain: &Chain) {
        let b = &chain.bodies;
        let past = b.place(chain.tip(), self.lane)[0] - b.place(0, self.lane)[0];
        self.reach_m = self.reach_m.max(past);
    }

    /// Greatest speed on the way to the far vehicle; the crack of a line's end
    /// that turns back or swings round later is kept apart.
    fn note_launch(&mut self, chain: &Chain, now: &FreeEnd) {
        if now.speed > self.fastest.speed {
            self.fastest = *now;
        }
        if self.arrival.is_some() || self.turned {
            return;
        }
        if now.speed > self.launch.speed {
            self.launch = *now;
        }
        self.launch_energy_j = self.launch_energy_j.max(now.energy.get());
        let moving = chain.bodies.velocity(chain.tip(), self.lane)[0];
        self.turned =
            moving < 0.0 && now.speed.get() > 0.1 && self.launch.velocity_m_s[0] > -moving;
    }

    fn note_passing(&mut self, chain: &Chain, now: &FreeEnd) {
        let held_x = chain.bodies.place(0, self.lane)[0];
        let x = now.place_m[0];
        self.note_reach(chain);
        if self.arrival.is_none() && x >= held_x {
            let before = self.last.place_m[0];
            let share = if x > before {
                ((held_x - before) / (x - before)).clamp(0.0, 1.0)
            } else {
                1.0
            };
            self.arrival = Some(between(&self.last, now, share));
            self.arrival_held_x = Some(held_x);
        }
        let span = self.far_x - self.from_x;
        while self.passed < DISTANCES
            && x - self.from_x >= span * (self.passed + 1) as f64 / DISTANCES as f64
        {
            self.along_j[self.passed] = now.energy.get();
            self.passed += 1;
        }
    }

    fn note_pull(&mut self, chain: &Chain) {
        if self.slack_s.is_some() {
            return;
        }
        let lane = &chain.lanes[self.lane];
        let pull = square(lane.holder.pull).sqrt();
        if lane.steps == 1 {
            self.start_pull_n = pull;
        }
        if pull < SLACK_SHARE * self.start_pull_n {
            self.slack_s = Some(lane.time_s - lane.step_s);
        }
    }

    fn note_dampers_and_tethers(&mut self, chain: &Chain) {
        let lane = &chain.lanes[self.lane];
        for (k, grip) in lane.grips.iter().enumerate() {
            let body = if grip.holds() { grip.body } else { chain.tip() };
            let (b, l) = (&chain.bodies, self.lane);
            let speed_2 = square(b.velocity(body, l));
            let joules = 0.5 * self.damper_kg[k] * speed_2;
            self.damper_energy_j[k] = self.damper_energy_j[k].max(joules);
            let before = self.damper_arrival[k].map_or(0.0, |a| a.energy.get());
            if joules > before && b.place(body, l)[0] >= b.place(0, l)[0] {
                self.damper_arrival[k] = Some(FreeEnd {
                    time: Duration::new(lane.time_s),
                    place_m: b.place(body, l),
                    velocity_m_s: b.velocity(body, l),
                    speed: Speed::new(speed_2.sqrt()),
                    energy: Energy::new(joules),
                });
            }
        }
        for (tether, held_x) in lane.tethers.iter().zip(&mut self.tether_held_x) {
            if held_x.is_none() && !tether.holds() {
                *held_x = Some(chain.bodies.place(0, self.lane)[0]);
            }
        }
    }

    /// Keeps a sample; when full, drops every second one and samples half as often.
    fn keep(&mut self, now: FreeEnd) {
        if self.path.len() == PATH_SAMPLES {
            let mut odd = false;
            self.path.retain(|_| {
                odd = !odd;
                odd
            });
            self.stride *= 2;
        }
        self.path.push(now);
    }

    /// Energy at each sampled distance.
    pub fn energy_along(&self) -> Vec<EnergyAtDistance> {
        let span = self.far_x - self.from_x;
        let at = |(k, j): (usize, &f64)| EnergyAtDistance {
            distance: Length::new(span * (k + 1) as f64 / DISTANCES as f64),
            energy: Energy::new(*j),
        };
        self.along_j.iter().enumerate().map(at).collect()
    }

    /// Each damper's story.
    pub fn dampers(&self, chain: &Chain) -> Vec<DamperOutcome> {
        let of = |(k, grip): (usize, &super::damper::Grip)| {
            let (joules, kg) = (self.damper_energy_j[k], self.damper_kg[k]);
            let body = if grip.holds() { grip.body } else { chain.tip() };
            DamperOutcome {
                max_speed: Speed::new((2.0 * joules / kg).sqrt()),
                max_energy: Energy::new(joules),
                slipped: Length::new(grip.slipped_m),
                dissipated: Energy::new(grip.dissipated_j),
                picked_up_at: grip.picked_up_at_s.map(Duration::new),
                rests_m: chain.bodies.place(body, self.lane),
                arrival: self.damper_arrival[k],
            }
        };
        chain.lanes[self.lane]
            .grips
            .iter()
            .enumerate()
            .map(of)
            .collect()
    }
}

/// Whether all has come to rest: the free end still, hardly any energy left.
pub(super) fn settled(chain: &Chain, l: usize, put_in_j: f64) -> bool {
    let tip = chain.tip();
    chain.bodies.speed(tip, l) < 0.1 && kinetic_j(chain, l) < (1e-4 * put_in_j).max(0.5)
}

fn mean_velocity(chain: &Chain, l: usize, tail: &Tail) -> [f64; 3] {
    let kg: f64 = tail.iter().map(|t| t.1).sum();
    let sum = tail.iter().fold([0.0; 3], |sum, &(i, m)| {
        plus(sum, m, chain.bodies.velocity(i, l))
    });
    times(1.0 / kg, sum)
}

/// The last `length_m` of rest line as node masses.
fn tail(chain: &Chain, l: usize, length_m: f64) -> Tail {
    let mut left = length_m;
    let mut tail: Tail = vec![(chain.tip(), 0.0)];
    for i in (0..chain.tip()).rev() {
        let rest_m = chain.rest_m(i, l);
        let share = (left / rest_m).min(1.0);
        let half = 0.5 * share / chain.line_inv_kg(i, l);
        if let Some(end) = tail.last_mut() {
            end.1 += half;
        }
        tail.push((i, half));
        left -= rest_m;
        if left <= 0.0 {
            break;
        }
    }
    tail
}

fn between(a: &FreeEnd, b: &FreeEnd, share: f64) -> FreeEnd {
    let mix = |x: f64, y: f64| x + share * (y - x);
    let mix3 = |x: [f64; 3], y: [f64; 3]| [mix(x[0], y[0]), mix(x[1], y[1]), mix(x[2], y[2])];
    FreeEnd {
        time: Duration::new(mix(a.time.get(), b.time.get())),
        place_m: mix3(a.place_m, b.place_m),
        velocity_m_s: mix3(a.velocity_m_s, b.velocity_m_s),
        speed: Speed::new(mix(a.speed.get(), b.speed.get())),
        energy: Energy::new(mix(a.energy.get(), b.energy.get())),
    }
}
