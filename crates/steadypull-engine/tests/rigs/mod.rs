//! Rigs for the tests, built by name.
#![allow(dead_code)]

use steadypull_engine::rig::{
    Graph, GraphRun, Holds, Meets, Motion, Node, NodeKind, Solved, Stop, solve,
};
use steadypull_engine::units::Force;

/// A rig being put together.
pub struct Rig(pub Graph);

impl Rig {
    pub fn new(motion: Motion) -> Self {
        Self(Graph {
            nodes: Vec::new(),
            runs: Vec::new(),
            motion,
        })
    }

    fn node(mut self, name: &str, kind: NodeKind, place_m: [f64; 3], fixed: bool) -> Self {
        self.0.nodes.push(Node {
            name: name.into(),
            kind,
            place_m,
            fixed,
            strong: None,
        });
        self
    }

    pub fn fixed(self, name: &str, kind: NodeKind, place_m: [f64; 3]) -> Self {
        self.node(name, kind, place_m, true)
    }

    pub fn casualty(self, place_m: [f64; 3]) -> Self {
        self.fixed("casualty", NodeKind::Casualty, place_m)
    }

    pub fn winch(self, place_m: [f64; 3]) -> Self {
        self.fixed("winch", NodeKind::Winch, place_m)
    }

    pub fn anchor(self, name: &str, place_m: [f64; 3]) -> Self {
        self.fixed(name, NodeKind::Anchor, place_m)
    }

    pub fn block(self, name: &str, guess_m: [f64; 3]) -> Self {
        self.node(name, NodeKind::Block, guess_m, false)
    }

    fn run(mut self, stops: &[&str], over: Meets, holds: Holds) -> Self {
        let last = stops.len() - 1;
        let at = |(i, name): (usize, &&str)| Stop {
            node: self.0.node(name).unwrap_or_else(|| panic!("no {name}")),
            meets: if i == 0 || i == last {
                Meets::Fast
            } else {
                over
            },
        };
        let stops: Vec<Stop> = stops.iter().enumerate().map(at).collect();
        let name = format!("run-{}", self.0.runs.len());
        let rest_m = match holds {
            Holds::Length(rest) => rest,
            Holds::Hauled { .. } => 60.0,
        };
        self.0.runs.push(GraphRun {
            name,
            parts: vec![Vec::new(); stops.len() - 1],
            stops,
            holds,
            rest_m,
            stiffness_n: 1e6,
        });
        self
    }

    /// A line over sheaves to what hauls it, the last stop.
    pub fn hauled(self, stops: &[&str], efficiency: f64) -> Self {
        self.run(
            stops,
            Meets::Sheave(efficiency),
            Holds::Hauled { share: 1.0 },
        )
    }

    /// A line straight to a second haul that pulls `share` as hard as the first.
    pub fn hauled_share(self, stops: &[&str], share: f64) -> Self {
        self.run(stops, Meets::Fast, Holds::Hauled { share })
    }

    /// A line round rings or trunks to what hauls it.
    pub fn hauled_round(self, stops: &[&str], friction: f64) -> Self {
        self.run(stops, Meets::Round(friction), Holds::Hauled { share: 1.0 })
    }

    /// A strap or line that keeps its length.
    pub fn strap(self, stops: &[&str], rest_m: f64) -> Self {
        self.run(stops, Meets::Slides, Holds::Length(rest_m))
    }

    /// A line that keeps its length and goes over sheaves.
    pub fn strap_over(self, stops: &[&str], rest_m: f64, efficiency: f64) -> Self {
        self.run(stops, Meets::Sheave(efficiency), Holds::Length(rest_m))
    }

    pub fn solve(&self) -> Solved {
        solve(&self.0, Force::from_kn(1.0)).unwrap()
    }
}

/// The usual rigs pulled straight along x, with `parts` parts of line.
///
/// Even numbers are made fast at the anchor, odd ones at the moving side, as a
/// tackle with the haul line from the moving block is.
pub fn tackle(parts: usize, efficiency: f64, motion: Motion) -> Rig {
    // All in one line: blocks at the casualty's end and at the anchor's end lie
    // on short straps; nodes a little apart keep the directions sound.
    let mut rig = Rig::new(motion)
        .casualty([0.0, 0.0, 0.0])
        .winch([20.0, 0.0, 0.0]);
    if parts == 1 {
        return rig.hauled(&["casualty", "winch"], efficiency);
    }
    let (moving, standing) = (parts / 2, parts.div_ceil(2) - 1);
    for k in 0..moving {
        let name = format!("moving-{k}");
        rig = rig
            .block(&name, [1.0, 0.0, 0.0])
            .strap(&["casualty", &name], 1.0);
    }
    for k in 0..standing {
        let (anchor, name) = (format!("anchor-{k}"), format!("standing-{k}"));
        rig = rig
            .anchor(&anchor, [20.0, 0.0, 0.0])
            .block(&name, [19.0, 0.0, 0.0])
            .strap(&[&anchor, &name], 1.0);
    }
    let mut way: Vec<String> = Vec::new();
    if parts.is_multiple_of(2) {
        rig = rig.anchor("dead-end", [20.0, 0.0, 0.0]);
        way.push("dead-end".into());
        way.push("moving-0".into());
        for k in 0..standing {
            way.push(format!("standing-{k}"));
            way.push(format!("moving-{}", k + 1));
        }
    } else {
        way.push("casualty".into());
        for k in 0..standing {
            way.push(format!("standing-{k}"));
            way.push(format!("moving-{k}"));
        }
    }
    way.push("winch".into());
    let way: Vec<&str> = way.iter().map(String::as_str).collect();
    rig.hauled(&way, efficiency)
}

/// A redirect: the line from the casualty round a block on a strap to the winch.
pub fn redirect(efficiency: f64) -> Rig {
    Rig::new(Motion::HaulingIn)
        .casualty([0.0, 0.0, 0.6])
        .winch([4.0, -14.0, 0.7])
        .anchor("tree", [16.0, 2.0, 0.5])
        .block("redirect", [15.0, 1.0, 0.5])
        .strap(&["tree", "redirect"], 1.2)
        .hauled(&["casualty", "redirect", "winch"], efficiency)
}

/// Double line off a tree with a redirect, as in the demo.
pub fn double_with_redirect(efficiency: f64) -> Rig {
    Rig::new(Motion::HaulingIn)
        .casualty([0.0, 0.0, 0.6])
        .winch([4.0, -14.0, 0.7])
        .anchor("tree-1", [18.0, 1.0, 0.5])
        .anchor("tree-2", [17.0, -3.0, 0.6])
        .block("moving", [2.0, 0.0, 0.6])
        .block("redirect", [16.0, -3.0, 0.6])
        .strap(&["casualty", "moving"], 1.5)
        .strap(&["tree-2", "redirect"], 1.0)
        .hauled(&["tree-1", "moving", "redirect", "winch"], efficiency)
}

/// `count` redirects in a zigzag between two rows of trees.
pub fn zigzag(count: usize, efficiency: f64) -> Rig {
    let mut rig = Rig::new(Motion::HaulingIn)
        .casualty([0.0, 0.0, 0.6])
        .winch([60.0, 0.0, 0.6]);
    let mut way = vec!["casualty".to_string()];
    for k in 0..count {
        let (x, y) = (2.0 + 2.2 * k as f64, if k % 2 == 0 { 4.0 } else { -4.0 });
        let (tree, block) = (format!("tree-{k}"), format!("block-{k}"));
        rig = rig
            .anchor(&tree, [x, y, 0.5])
            .block(&block, [x, 0.8 * y, 0.5])
            .strap(&[&tree, &block], 1.0);
        way.push(block);
    }
    way.push("winch".into());
    let way: Vec<&str> = way.iter().map(String::as_str).collect();
    rig.hauled(&way, efficiency)
}
