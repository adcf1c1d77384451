//! Stops and parts to nodes and runs; the legs of each bridle become runs too.

use super::entry::{self, Entry, Point};
use super::haul::Haul;
use super::trace::{Traced, TracedStop};
use super::{RigSubject, SHACKLE_LENGTH, TRUNK_FRICTION};
use crate::plan::{Block, Bridle, Layout, Line, Method, Plan, Shackle};
use crate::rig::{Graph, GraphRun, Holds, Meets, Motion, Node, NodeKind, Stop};

/// Stretch of forged hardware at its breaking strength (assumed: small).
const HARDWARE_STRETCH: f64 = 0.01;

/// A graph with what its nodes and runs were in the plan.
pub(super) struct Built {
    pub graph: Graph,
    /// Where each node is first named.
    pub named_at: Vec<RigSubject>,
    /// Nodes at the nose or tail of a vehicle.
    pub at_an_end: Vec<bool>,
    /// What each run is.
    pub run_is: Vec<RigSubject>,
}

/// Builds the graph; every name has been found and every end is made fast.
pub(super) fn build(
    plan: &Plan,
    layout: &Layout,
    method: Method,
    traced: &[Traced],
    hauls: &[Haul],
) -> Built {
    let mut built = Built {
        graph: Graph {
            nodes: Vec::new(),
            runs: Vec::new(),
            motion: match method {
                Method::Lower => Motion::PayingOut,
                _ => Motion::HaulingIn,
            },
        },
        named_at: Vec::new(),
        at_an_end: Vec::new(),
        run_is: Vec::new(),
    };
    let mut bridles: Vec<&Bridle> = Vec::new();
    for (index, run) in traced.iter().enumerate() {
        let haul = hauls.iter().find(|haul| haul.run == index);
        built.add_run(run, haul);
        for end in run.ends() {
            if let Entry::Bridle(bridle) = &end.entry
                && !bridles
                    .iter()
                    .any(|known| known.line.name == bridle.line.name)
            {
                bridles.push(bridle);
            }
        }
    }
    for bridle in bridles {
        if let Some(points) = entry::bridle_points(plan, layout, bridle) {
            built.add_bridle(bridle, &points);
        }
    }
    built
}

impl Built {
    fn add_run(&mut self, run: &Traced, haul: Option<&Haul>) {
        let last = run.stops.len() - 1;
        let mut stops: Vec<Stop> = run
            .stops
            .iter()
            .enumerate()
            .map(|(i, stop)| Stop {
                node: self.node_of(run.name, stop),
                meets: meets(&stop.entry, i == 0 || i == last),
            })
            .collect();
        let mut parts: Vec<Vec<String>> = run
            .parts
            .iter()
            .map(|names| names.iter().map(|name| name.to_string()).collect())
            .collect();
        if haul.is_some_and(|haul| haul.turned) {
            stops.reverse();
            parts.reverse();
            parts.iter_mut().for_each(|names| names.reverse());
        }
        let (rest_m, stiffness_n) = series(run);
        self.graph.runs.push(GraphRun {
            name: run.name.into(),
            stops,
            parts,
            holds: match haul {
                Some(_) => Holds::Hauled { share: 1.0 },
                None => Holds::Length(rest_m),
            },
            rest_m,
            stiffness_n,
        });
        self.run_is.push(RigSubject::Run(run.name.into()));
    }

    /// The node of a stop, made when it is first named.
    fn node_of(&mut self, run: &str, stop: &TracedStop) -> usize {
        if let Some(known) = self.graph.node(stop.name) {
            return known;
        }
        let free = |kind| Node {
            name: stop.name.into(),
            kind,
            place_m: [0.0; 3],
            fixed: false,
            strong: None,
        };
        let (node, at_an_end) = match &stop.entry {
            Entry::Point(point) => (fixed_point(stop.name, point), point.at_an_end),
            Entry::Post(anchor) => {
                let node = Node {
                    place_m: anchor.place.metres(),
                    fixed: true,
                    ..free(NodeKind::Anchor)
                };
                (node, false)
            }
            Entry::Block(block) if block.ring_friction.is_some() => (free(NodeKind::Ring), false),
            Entry::Block(_) => (free(NodeKind::Block), false),
            // Traced runs stop at nothing else.
            _ => (free(NodeKind::Apex), false),
        };
        let named_at = RigSubject::Stop {
            run: run.into(),
            index: stop.index,
        };
        self.push(node, named_at, at_an_end)
    }

    fn push(&mut self, node: Node, named_at: RigSubject, at_an_end: bool) -> usize {
        self.graph.nodes.push(node);
        self.named_at.push(named_at);
        self.at_an_end.push(at_an_end);
        self.graph.nodes.len() - 1
    }

    /// An equalising bridle is one run that slides at its apex; one with fixed
    /// legs is two runs of half its length.
    fn add_bridle(&mut self, bridle: &Bridle, points: &[Point; 2]) {
        let name = &bridle.line.name;
        let Some(apex) = self.graph.node(name) else {
            return;
        };
        let ends = [0, 1].map(|i| {
            let (full, point) = (&bridle.points[i], &points[i]);
            self.graph.node(full).unwrap_or_else(|| {
                let part = RigSubject::Part(name.clone());
                self.push(fixed_point(full, point), part, point.at_an_end)
            })
        });
        let fast = |node| Stop {
            node,
            meets: Meets::Fast,
        };
        let whole = bridle.line.length.get();
        let legs = if bridle.equalising {
            let slides = Stop {
                node: apex,
                meets: Meets::Slides,
            };
            let stops = vec![fast(ends[0]), slides, fast(ends[1])];
            vec![(name.clone(), stops, whole)]
        } else {
            [0, 1]
                .map(|i| {
                    let leg = format!("{name} to {}", bridle.points[i]);
                    (leg, vec![fast(ends[i]), fast(apex)], 0.5 * whole)
                })
                .into()
        };
        for (leg, stops, rest_m) in legs {
            self.graph.runs.push(GraphRun {
                name: leg,
                parts: vec![vec![name.clone()]; stops.len() - 1],
                stops,
                holds: Holds::Length(rest_m),
                rest_m,
                stiffness_n: axial_n(&bridle.line),
            });
            self.run_is.push(RigSubject::Part(name.clone()));
        }
    }
}

fn fixed_point(name: &str, point: &Point) -> Node {
    Node {
        name: name.into(),
        kind: point.kind,
        place_m: point.place_m,
        fixed: true,
        strong: Some(point.strong),
    }
}

fn meets(entry: &Entry, at_end: bool) -> Meets {
    match entry {
        _ if at_end => Meets::Fast,
        Entry::Block(Block {
            ring_friction: Some(friction),
            ..
        }) => Meets::Round(*friction),
        Entry::Block(block) => Meets::Sheave(block.efficiency),
        _ => Meets::Round(TRUNK_FRICTION),
    }
}

fn axial_n(line: &Line) -> f64 {
    line.mbs.get() / line.curve.strain_at_break()
}

/// Rest length and stiffness EA of all parts of a run in series. A run without
/// any part hangs by the hook or eye of its block.
fn series(run: &Traced) -> (f64, f64) {
    let short = SHACKLE_LENGTH.get();
    let hardware = |mbs_n: f64| (short, mbs_n / HARDWARE_STRETCH);
    let part = |entry: &Entry| match entry {
        Entry::Line(line) => Some((line.length.get(), axial_n(line))),
        Entry::Shackle(Shackle { mbs, .. }) => Some(hardware(mbs.get())),
        _ => None,
    };
    let mut all: Vec<(f64, f64)> = run.series.iter().filter_map(part).collect();
    if all.is_empty() {
        let own = run.ends().into_iter().find_map(|end| match &end.entry {
            Entry::Block(block) => Some(block.mbs.get()),
            Entry::Bridle(bridle) => Some(bridle.line.mbs.get()),
            _ => None,
        });
        all.extend(own.map(hardware));
    }
    let rest_m: f64 = all.iter().map(|(length, _)| length).sum();
    let give: f64 = all.iter().map(|(length, axial)| length / axial).sum();
    (rest_m, rest_m / give)
}
