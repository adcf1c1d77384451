//! The runs behind the let-go of a laid-out rig, to be followed finer.

use super::ends::FreeEndOf;
use super::partings::Partings;
use super::scene::Scene;
use crate::letgo::settling::Settling;
use crate::plan::Plan;
use crate::rig::{Graph, Solved};
use crate::units::{Force, Mass};

/// Most ends that are followed finer: the most energetic.
const MOST_ENDS: usize = 8;

impl Partings {
    /// The runs of the most energetic free ends, the worst first.
    pub fn settling(&self, plan: &Plan, graph: &Graph, solved: &Solved) -> Vec<Settling> {
        let scene = Scene::new(plan, graph, solved);
        let most = self.ends.iter().take(MOST_ENDS);
        most.map(|end| of(&scene, end)).collect()
    }
}

fn of(scene: &Scene, end: &FreeEndOf) -> Settling {
    let setup = end.setup(scene);
    let flies = match end.hardware > Mass::ZERO {
        true => {
            let on_it = scene.plan.units.rough_mass(end.hardware.get());
            format!("its end with {on_it} on it")
        }
        false => "its bare end".to_string(),
    };
    Settling {
        link: scene.graph.runs[end.run].name.clone(),
        flies,
        flies_to: scene.node(end.towards(scene)).name.clone(),
        tension: Force::new(end.tension_n),
        hardware: end.hardware,
        dampers: setup.dampers.len(),
        // What it does later on its line lies within the rule distance.
        launch_alone: true,
        setup,
    }
}
