//! A let-go of a rig laid out on the ground as it falls out in one draw.
//!
//! Every thing that could fly is found once, at a reference pull; a draw sets the pull
//! and all that is not known. Ends of line are run as chains, thrown blocks, rings and
//! joins by their bound ([`super::throw`]) and free flight.

use super::area::danger_areas;
use super::causes::{in_lines, in_nodes};
use super::draft::draft;
use super::end_setup::segments;
use super::ends::FreeEndOf;
use super::flights::end_words;
use super::scatter::RigScatter;
use super::scene::Scene;
use super::shape::Spot;
use super::struck::far_body;
use super::throw::Throw;
use super::zone::{Floor, nearest, rig_rule};
use crate::letgo::drawn::{ACCURACY, LetGoDraw, vary};
use crate::letgo::scatter::SCATTER_S;
use crate::letgo::{Outcome, Setup};
use crate::plan::Plan;
use crate::rig::{LaidOut, NodeKind, Side};
use crate::units::{Duration, Energy, Force, Length, Speed, kinetic_energy};

/// Something that flies from a rig laid out on the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct RigItem {
    /// The parts that leave it to fly.
    pub parts: Vec<String>,
    /// What flies, in words.
    pub flies: String,
    /// The end of line or node that it is, by its name.
    pub end: String,
    what: What,
}

#[derive(Debug, Clone, PartialEq)]
enum What {
    End(FreeEndOf),
    Thrown(Throw),
}

/// How an item leaves in a draw.
#[derive(Debug, Clone, PartialEq)]
pub enum RigLaunch {
    /// As a free end of line, to be run as a chain.
    Chain(Box<Setup>),
    /// Thrown: its speed and energy as it leaves, and where it comes down, m in plan.
    Thrown(Speed, Energy, Vec<Spot>),
}

/// Everything that could fly from a rig laid out on the ground.
pub struct RigFlights<'a> {
    /// One a thing that flies.
    pub items: Vec<RigItem>,
    scene: Scene<'a>,
    reference: Force,
}

impl<'a> RigFlights<'a> {
    /// Of `rig`, looked up at the pull `reference` on the casualty.
    pub fn new(plan: &'a Plan, rig: &'a LaidOut, reference: Force) -> Self {
        let times = reference / rig.at_unit_haul.pull();
        let times = if times.is_finite() {
            times.max(0.0)
        } else {
            0.0
        };
        let scene = Scene::new(plan, &rig.graph, &rig.at_unit_haul.scaled(times));
        let mut items: Vec<RigItem> = Vec::new();
        for cause in in_lines(&scene).into_iter().chain(in_nodes(&scene)) {
            let Some(d) = draft(&scene, cause) else {
                continue;
            };
            let ends = d.ends.into_iter().chain(d.tails).map(What::End);
            for what in ends.chain(d.throws.into_iter().map(What::Thrown)) {
                add(&mut items, &scene, &d.cause.name, what);
            }
        }
        Self {
            reference: reference * scene.in_hand.min(1.0),
            items,
            scene,
        }
    }

    /// Item `item` in `draw`.
    pub fn launch(&self, item: usize, draw: &LetGoDraw) -> RigLaunch {
        // No line carries more than its strength.
        let times = (draw.pull / self.reference).clamp(0.0, self.scene.in_hand);
        match &self.items[item].what {
            What::End(end) => {
                RigLaunch::Chain(Box::new(self.chain(self.broken(end, draw), times, draw)))
            }
            What::Thrown(thrown) => self.thrown(thrown, times, draw),
        }
    }

    /// An end as it is in a draw: a tail where its line parts.
    fn broken(&self, end: &FreeEndOf, draw: &LetGoDraw) -> FreeEndOf {
        let there = end.broken_at(&self.scene, draw.along);
        there.unwrap_or_else(|| end.clone())
    }

    fn chain(&self, mut end: FreeEndOf, times: f64, draw: &LetGoDraw) -> Setup {
        end.tension_n *= times;
        let mut setup = end.setup(&self.scene);
        setup.max_time = setup.max_time.min(Duration::new(SCATTER_S));
        setup.lines = end.line_parts(end.tension_n, draw.energy_return);
        let far = self.scene.node(end.far(&self.scene)).kind;
        vary(&mut setup, draw, far != NodeKind::Casualty);
        let mut setup = setup.to_accuracy(ACCURACY);
        // Short lines take fewer, or their steps get too small.
        setup.segments = segments(&setup, setup.segments);
        setup
    }

    fn thrown(&self, thrown: &Throw, times: f64, draw: &LetGoDraw) -> RigLaunch {
        let drawn = Throw {
            mass: thrown.mass * draw.hardware,
            ..thrown.clone()
        };
        let speed = drawn.launch(&self.scene, times).speed_m_s;
        let landed = [draw.left.get(), -draw.left.get()]
            .into_iter()
            .filter_map(|left| drawn.flight(&self.scene, speed, (draw.up.get(), left), &draw.site))
            .map(|f| f.lands_m);
        let swings = drawn.swings_to.map(|p| (p[0], p[1]));
        let speed = Speed::new(speed);
        RigLaunch::Thrown(
            speed,
            kinetic_energy(drawn.mass, speed),
            landed.chain(swings).collect(),
        )
    }

    /// The vehicle that item `item` flies to, if its line ends at one that it can strike.
    pub fn flies_to(&self, item: usize) -> Option<Side> {
        match &self.items[item].what {
            What::End(end) => far_body(&self.scene, end).map(|(side, _)| side),
            What::Thrown(_) => None,
        }
    }

    /// Where a run of item `item` comes down, m in plan.
    pub fn landings(&self, item: usize, draw: &LetGoDraw, outcome: &Outcome) -> Vec<Spot> {
        match &self.items[item].what {
            What::End(end) => self.broken(end, draw).landings(&self.scene, outcome),
            What::Thrown(_) => Vec::new(),
        }
    }

    /// Speed and energy with which the end of a run leaves.
    pub fn leaves(&self, item: usize, draw: &LetGoDraw, outcome: &Outcome) -> (Speed, Energy) {
        let speed = outcome.launch.speed;
        let hardware = match &self.items[item].what {
            What::End(end) => end.hardware * draw.hardware,
            What::Thrown(thrown) => thrown.mass,
        };
        let energy = if hardware.get() > 0.0 {
            kinetic_energy(hardware, speed)
        } else {
            outcome.launch_energy
        };
        (speed, energy)
    }

    /// Distance of a place from the nearest part of line.
    pub fn off_line(&self, place: Spot) -> Length {
        Length::new(nearest(&self.scene, place).0)
    }

    /// The rule distance, the middle of all the line, the direction of its first ray,
    /// and along each of `rays` rays how far the rule reaches and how far the rule and
    /// the inside of every bight do.
    pub fn frame(&self, rays: usize) -> (Length, Spot, f64, Vec<f64>, Vec<f64>) {
        let distance = rig_rule(&self.scene).distance;
        let areas = danger_areas(&self.scene, &RigScatter::default());
        let floor = Floor::of(&self.scene, distance, &areas, rays);
        let start = floor.angles.first().copied().unwrap_or(0.0);
        (distance, floor.middle, start, floor.rule_reach, floor.least)
    }
}

/// Adds what flies, or its part's name to what flies alike.
fn add(items: &mut Vec<RigItem>, scene: &Scene, part: &str, what: What) {
    let alike = |known: &What| match (known, &what) {
        (What::End(a), What::End(b)) => a.twin(b),
        (What::Thrown(a), What::Thrown(b)) => a.node == b.node && a.mass == b.mass,
        _ => false,
    };
    if let Some(known) = items.iter_mut().find(|i| alike(&i.what)) {
        if !known.parts.iter().any(|p| p == part) {
            known.parts.push(part.into());
        }
        return;
    }
    let flies = match &what {
        What::End(end) => end_words(scene, end),
        What::Thrown(t) => {
            let mass = scene.plan.units.rough_mass(t.mass.get());
            format!("{}, {mass}", scene.node(t.node).name)
        }
    };
    let end = match &what {
        What::End(e) => {
            let inside = if e.inside.is_some() { " inside" } else { "" };
            format!("{} {} {}{inside}", e.run, e.segment, e.to_last)
        }
        What::Thrown(t) => scene.node(t.node).name.clone(),
    };
    items.push(RigItem {
        parts: vec![part.into()],
        flies,
        end,
        what,
    });
}
