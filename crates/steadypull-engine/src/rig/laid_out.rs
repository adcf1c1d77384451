//! A rig laid out on the ground as a load path: its links, their shares of the
//! pull, the haul first and then its branches.
//!
//! Statics is in proportion, so each link has one share: its load over the pull
//! on the casualty. A line that goes round things is a link in every part, each
//! with its own tension.

use super::derated::{node_links, part_link};
use super::graph::{Graph, Holds, NodeKind};
use super::lay_out;
use super::links::{Link, Side, point_at, winch_link};
use super::path::{LoadPath, PathError};
use super::solved::{LaidOut, Solved, Vector};
use super::statics::{solve, vector};
use super::walk::{Leg, Stretch, walk};
use crate::line::Law;
use crate::plan::{Line, Part, Plan, Rig, Vehicle};
use crate::units::{Energy, Force, Length};

/// Haul at which shares are worked out. It matters only where stretch settles
/// them; elsewhere every haul gives the same.
const REFERENCE_HAUL: Force = Force::new(20e3);

/// The load path of the plan's rig, laid out on the ground.
pub(super) fn laid_out_path(plan: &Plan, rig: &Rig) -> Result<LoadPath, PathError> {
    let mut graph = lay_out::graph(plan).map_err(|faults| {
        let words: Vec<String> = faults.into_iter().map(|f| f.message).collect();
        PathError::NotLaid(words.join("; "))
    })?;
    tend_belay(plan, &mut graph);
    path_of(plan, rig, graph)
}

/// A belay is tended: what is out of it is its way and the slack kept, not all of
/// its line.
fn tend_belay(plan: &Plan, graph: &mut Graph) {
    let Some(belay) = plan.lowering.as_ref().and_then(|l| l.belay.as_ref()) else {
        return;
    };
    let places: Vec<Vector> = graph.nodes.iter().map(|n| n.place_m).collect();
    let has = |parts: &[Vec<String>]| parts.iter().flatten().any(|part| *part == belay.line);
    for run in graph.runs.iter_mut().filter(|run| has(&run.parts)) {
        let way: f64 = run
            .stops
            .windows(2)
            .map(|pair| vector::towards(places[pair[0].node], places[pair[1].node]).1)
            .sum();
        if let Holds::Length(rest) = run.holds {
            run.holds = Holds::Length(rest.min(way + belay.slack.get()));
        }
    }
}

/// The load path of a graph of `plan`.
pub(super) fn path_of(plan: &Plan, rig: &Rig, graph: Graph) -> Result<LoadPath, PathError> {
    let solved = solve(&graph, REFERENCE_HAUL)?;
    let unit = solved.scaled(1.0 / REFERENCE_HAUL.get());
    let links = Reading {
        plan,
        graph: &graph,
        solved: &unit,
        pull: unit.pull().get(),
        told: Vec::new(),
    }
    .links();
    Ok(LoadPath {
        method: rig.method,
        proposed: false,
        lines: lines(plan, &graph),
        advantage: unit.real_advantage,
        links,
        laid_out: Some(LaidOut {
            graph,
            at_unit_haul: unit,
        }),
    })
}

impl LoadPath {
    /// Load on the tug over the pull on the casualty, level: 1 on a straight path.
    pub fn tug_share(&self) -> f64 {
        let Some(rig) = &self.laid_out else {
            return 1.0;
        };
        let nodes = rig.graph.nodes.iter().zip(&rig.at_unit_haul.nodes);
        let on_tug = nodes
            .filter(|(node, _)| matches!(node.kind, NodeKind::Tug | NodeKind::Winch))
            .fold([0.0; 3], |sum, (_, solved)| {
                vector::plus(sum, solved.load_n, 1.0)
            });
        vector::size([on_tug[0], on_tug[1], 0.0]) / rig.at_unit_haul.pull().get()
    }
}

impl LaidOut {
    /// Line out of all hauled runs.
    pub fn hauled_out(&self) -> Length {
        let runs = self.graph.runs.iter().enumerate();
        runs.filter(|(_, run)| matches!(run.holds, Holds::Hauled { .. }))
            .map(|(i, _)| self.at_unit_haul.paid_out(i))
            .sum()
    }

    /// The nodes along the haul, from the casualty to what hauls.
    pub fn haul_way(&self) -> Vec<usize> {
        let stretches = walk(&self.graph);
        let legs = stretches.first().map_or(&[][..], |haul| &haul.legs);
        let first = legs.first().map(|leg| leg.from);
        first
            .into_iter()
            .chain(legs.iter().map(|leg| leg.to))
            .collect()
    }

    /// Energy in the rig's lines with `pull` at the casualty; bridles left out
    /// (short, taken as stiff).
    pub fn stored(&self, lines: &[Line], pull: Force) -> Energy {
        let haul = pull.get() / self.at_unit_haul.pull().get();
        let runs = self.graph.runs.iter().zip(&self.at_unit_haul.runs);
        let joules = runs
            .flat_map(|(run, solved)| {
                run.parts
                    .iter()
                    .zip(solved.tension_n.iter().zip(&solved.length_m))
            })
            .map(|(parts, (tension, length))| {
                let in_it: Vec<&Line> = lines.iter().filter(|l| parts.contains(&l.name)).collect();
                let whole: f64 = in_it.iter().map(|l| l.length.get()).sum();
                let energy = |line: &&Line| {
                    let law = Law::new(&line.curve, line.mbs, &line.condition, line.material);
                    // Of a line that goes on, only what lies in this part.
                    let share = (length / whole).min(1.0);
                    law.energy(law.strain_at(tension * haul)) * line.length.get() * share
                };
                in_it.iter().map(energy).sum::<f64>()
            })
            .sum();
        Energy::new(joules)
    }
}

/// Every line of the rig once, bridles left out.
fn lines(plan: &Plan, graph: &Graph) -> Vec<Line> {
    let mut found: Vec<Line> = Vec::new();
    for name in graph.runs.iter().flat_map(|run| run.parts.iter().flatten()) {
        if let Some(Part::Line(line)) = plan.kit.part(name)
            && found.iter().all(|known| known.name != line.name)
        {
            found.push(line.clone());
        }
    }
    found
}

/// The rig while its links are read off.
struct Reading<'a> {
    plan: &'a Plan,
    graph: &'a Graph,
    solved: &'a Solved,
    /// Pull on the casualty at the haul of 1 N.
    pull: f64,
    /// Nodes and bridles that have been told.
    told: Vec<String>,
}

impl Reading<'_> {
    fn links(mut self) -> Vec<Link> {
        let mut out = Vec::new();
        for stretch in walk(self.graph) {
            out.extend(self.stretch(&stretch));
        }
        out
    }

    fn stretch(&mut self, stretch: &Stretch) -> Vec<Link> {
        let joins = stretch
            .joins
            .map(|node| self.graph.nodes[node].name.clone());
        let mut out = Vec::new();
        for (i, leg) in stretch.legs.iter().enumerate() {
            if i == 0 && joins.is_none() {
                out.extend(self.node(leg.from));
            }
            out.extend(self.parts(leg));
            out.extend(self.node(leg.to));
        }
        let run = stretch
            .legs
            .first()
            .map(|leg| self.graph.runs[leg.run].name.clone());
        for link in &mut out {
            link.joins = joins.clone();
            link.run = link.run.take().or_else(|| run.clone());
        }
        out
    }

    /// The parts in one part of line, in the order walked.
    fn parts(&mut self, leg: &Leg) -> Vec<Link> {
        let run = &self.graph.runs[leg.run];
        let share = self.solved.runs[leg.run].tension_n[leg.span] / self.pull;
        let mut names: Vec<&String> = run.parts[leg.span].iter().collect();
        if leg.backwards {
            names.reverse();
        }
        let mut out = Vec::new();
        for name in names {
            let Some(part) = self.plan.kit.part(name) else {
                continue;
            };
            let is_bridle = matches!(part, Part::Bridle(_));
            if is_bridle && self.tell(name) {
                continue;
            }
            let Some(mut link) = part_link(self.plan, self.graph, self.solved, part, leg) else {
                continue;
            };
            link.side = self.side(leg);
            link.load_share = if is_bridle {
                self.hardest_leg(name)
            } else {
                // A basket counts its load by its own rating.
                link.load_share * share
            };
            link.run = Some(run.name.clone());
            out.push(link);
        }
        out
    }

    /// Whether `name` was told already; it is now.
    fn tell(&mut self, name: &str) -> bool {
        let told = self.told.iter().any(|t| t == name);
        if !told {
            self.told.push(name.to_string());
        }
        told
    }

    /// Tension of the hardest-pulled leg of a bridle over the pull.
    fn hardest_leg(&self, name: &String) -> f64 {
        let runs = self.graph.runs.iter().zip(&self.solved.runs);
        runs.flat_map(|(run, solved)| run.parts.iter().zip(&solved.tension_n))
            .filter(|(parts, _)| parts.contains(name))
            .fold(0.0, |most, (_, tension)| {
                f64::max(most, tension / self.pull)
            })
    }

    fn side(&self, leg: &Leg) -> Side {
        let at = |kind: NodeKind| {
            [leg.from, leg.to]
                .iter()
                .any(|node| self.graph.nodes[*node].kind == kind)
        };
        if at(NodeKind::Casualty) {
            Side::Casualty
        } else {
            Side::Between
        }
    }

    /// The links that a node is, the first time it is met.
    fn node(&mut self, index: usize) -> Vec<Link> {
        let node = &self.graph.nodes[index];
        let name = node.name.clone();
        if node.kind == NodeKind::Apex || self.tell(&name) {
            return Vec::new();
        }
        let solved = &self.solved.nodes[index];
        let mut links = self.node_links(index, &name);
        for link in &mut links {
            link.load_share = solved.carries.get() / self.pull;
            link.included = solved.included;
        }
        links
    }

    fn node_links(&self, index: usize, name: &str) -> Vec<Link> {
        let plan = self.plan;
        let side_angle = self.solved.nodes[index].side_angle.unwrap_or_default();
        let of = |vehicle: &Vehicle, side: Side| {
            let short = name.split_once('.').map_or(name, |(_, short)| short);
            let found = vehicle.recovery_points.iter().find(|p| p.name == short);
            found.map(|p| point_at(name, p, vehicle.gross_mass, side, side_angle))
        };
        let one = match self.graph.nodes[index].kind {
            NodeKind::Casualty => of(&plan.casualty.vehicle, Side::Casualty),
            NodeKind::Tug => of(&plan.tug.vehicle, Side::Tug),
            NodeKind::Winch => plan.tug.winch.as_ref().map(|w| winch_link(w, 1.0)),
            NodeKind::Apex => None,
            NodeKind::Block | NodeKind::Ring | NodeKind::Anchor => {
                return node_links(plan, self.graph, self.solved, index);
            }
        };
        one.into_iter().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::lay_out::tests::scene::plan;
    use super::super::links::LinkKind;
    use super::*;
    use crate::plan::Method;

    fn path(method: Method, runs: &[(&str, &[&str])]) -> LoadPath {
        let plan = plan(method, runs);
        laid_out_path(&plan, plan.rig.as_ref().unwrap()).unwrap()
    }

    fn told(path: &LoadPath) -> Vec<&str> {
        path.links.iter().map(|l| l.name.as_str()).collect()
    }

    fn redirect() -> LoadPath {
        path(
            Method::WinchSingle,
            &[
                (
                    "main",
                    &[
                        "tug.winch",
                        "winch-line",
                        "block-1",
                        "bow-1",
                        "casualty.rear",
                    ],
                ),
                ("redirect", &["block-1", "bow-2", "strap-1", "tree-1"]),
            ],
        )
    }

    #[test]
    fn the_haul_is_read_first_and_its_branches_after() {
        let path = redirect();
        assert_eq!(
            told(&path),
            [
                "casualty.rear",
                "bow-1",
                "winch-line",
                "block-1",
                "winch-line",
                "tug.winch",
                "bow-2",
                "strap-1",
                "tree-1"
            ]
        );
        let joins: Vec<_> = path.links.iter().map(|l| l.joins.as_deref()).collect();
        assert!(joins[..6].iter().all(Option::is_none));
        assert!(joins[6..].iter().all(|j| *j == Some("block-1")));
    }

    #[test]
    fn shares_are_loads_over_the_pull() {
        let path = redirect();
        let share = |name: &str| {
            path.links
                .iter()
                .find(|l| l.name == name)
                .unwrap()
                .load_share
        };
        let rig = path.laid_out.as_ref().unwrap();
        let block = &rig.at_unit_haul.nodes[rig.graph.node("block-1").unwrap()];
        let pull = rig.at_unit_haul.pull();
        assert!((share("block-1") - block.carries / pull).abs() < 1e-12);
        assert!((share("strap-1") - share("block-1")).abs() < 1e-9);
        assert!((share("tree-1") - share("block-1")).abs() < 1e-9);
        // The winch pulls harder than the casualty feels: a tenth is lost.
        assert!((share("tug.winch") * path.advantage - 1.0).abs() < 1e-9);
        assert!(path.advantage < 0.91 && path.tug_share() > 1.0);
        assert!(path.links.iter().any(|l| l.kind == LinkKind::Anchor));
    }

    #[test]
    fn a_bridle_is_told_once_with_both_its_points() {
        for bridle in ["bridle-e", "bridle-f"] {
            let path = path(
                Method::WinchSingle,
                &[("main", &["tug.winch", "winch-line", "bow-1", bridle])],
            );
            let told = told(&path);
            assert_eq!(told.iter().filter(|n| **n == bridle).count(), 1);
            for point in ["casualty.rear-left", "casualty.rear-right"] {
                assert!(told.contains(&point), "{told:?}");
            }
            let link = path.links.iter().find(|l| l.name == bridle).unwrap();
            assert!(link.load_share > 0.5 && link.load_share < 0.6);
            assert!(link.included.unwrap().to_deg() > 20.0);
        }
    }

    #[test]
    fn stored_energy_is_that_of_every_part_of_line() {
        let path = redirect();
        let pull = Force::from_kn(20.0);
        let rig = path.laid_out.as_ref().unwrap();
        let energy = rig.stored(&path.lines, pull).get();
        // Nearly straight HMPE: T L e / 2 each, over both parts of the line.
        let haul = pull.get() / rig.at_unit_haul.pull().get();
        let main = rig
            .graph
            .runs
            .iter()
            .position(|r| r.name == "main")
            .unwrap();
        let line = path.lines.iter().find(|l| l.name == "winch-line").unwrap();
        let stiffness = line.mbs.get() / line.curve.strain_at_break();
        let run = &rig.at_unit_haul.runs[main];
        let by_hand: f64 = run
            .tension_n
            .iter()
            .zip(&run.length_m)
            .map(|(t, l)| 0.5 * (t * haul) * (t * haul) / stiffness * l)
            .sum();
        assert!(
            energy > by_hand && energy < 1.2 * by_hand,
            "{energy} {by_hand}"
        );
    }
}
