//! Rigs in three dimensions against an independent optimiser and root finder.

use crate::check::{Check, Tolerance, check, checks};
use crate::reference::independent;
use crate::rigs::{Rig, double_with_redirect};
use steadypull_engine::rig::statics::SOURCE;
use steadypull_engine::rig::{Motion, NodeKind, Solved};

const AGREES: &str = "both solve the same equations; the file holds nine decimals";

checks! {
    cv_ind_rig_1 => compare("CV-IND-RIG-1", "double line with redirect", &double_with_redirect(0.96));
    cv_ind_rig_2 => compare("CV-IND-RIG-2", "redirect round a ring", &ring());
    cv_ind_rig_3 => compare("CV-IND-RIG-3", "uneven bridle double line redirect", &bridle());
    cv_ind_rig_4 => compare("CV-IND-RIG-4", "triple line spread out", &triple());
    cv_ind_rig_5 => compare("CV-IND-RIG-5", "two tugs on a ring", &two_tugs());
    cv_ind_rig_6 => compare("CV-IND-RIG-6", "double line on a double line", &compound());
}

/// Every advantage, tension and place of a case.
fn compare(id: &'static str, case: &'static str, rig: &Rig) -> Check {
    let solved = rig.solve();
    let (mut got, mut wanted) = (Vec::new(), Vec::new());
    let mut pair = |quantity: &str, value: f64| {
        got.push(value);
        wanted.push(independent("rig_statics", &[case], quantity));
    };
    pair("real advantage", solved.real_advantage);
    pair("ideal advantage", solved.ideal_advantage);
    pair("line hauled per metre", solved.haul_per_metre);
    tensions(&solved, &mut pair);
    places(rig, &solved, &mut pair);
    check(id, case, SOURCE, "x haul; m").values(got, wanted, Tolerance::Abs(1e-6), AGREES)
}

fn tensions(solved: &Solved, pair: &mut impl FnMut(&str, f64)) {
    let haul = solved.haul.get();
    for (i, run) in solved.runs.iter().enumerate() {
        for (j, tension) in run.tension_n.iter().enumerate() {
            pair(&format!("line {i} part {j} tension over haul"), tension / haul);
        }
    }
}

fn places(rig: &Rig, solved: &Solved, pair: &mut impl FnMut(&str, f64)) {
    for (described, node) in rig.0.nodes.iter().zip(&solved.nodes) {
        if !described.fixed {
            for (axis, value) in ["x", "y", "z"].iter().zip(node.place_m) {
                pair(&format!("{} {axis}", described.name), value);
            }
        }
    }
}

fn ring() -> Rig {
    Rig::new(Motion::HaulingIn)
        .casualty([0.0, 0.0, 0.6])
        .winch([4.0, -14.0, 0.7])
        .anchor("tree", [16.0, 2.0, 0.5])
        .block("ring", [15.0, 1.0, 0.5])
        .strap(&["tree", "ring"], 1.2)
        .hauled_round(&["casualty", "ring", "winch"], 0.2)
}

fn bridle() -> Rig {
    Rig::new(Motion::HaulingIn)
        .fixed("left", NodeKind::Casualty, [0.0, 0.45, 0.5])
        .fixed("right", NodeKind::Casualty, [0.0, -0.45, 0.5])
        .winch([12.0, -9.0, 0.8])
        .anchor("tree-1", [20.0, 3.0, 0.7])
        .anchor("tree-2", [19.0, -2.0, 1.1])
        .block("apex", [1.0, 0.0, 0.5])
        .block("moving", [2.0, 0.0, 0.5])
        .block("redirect", [18.0, -2.0, 1.0])
        .strap(&["left", "apex"], 1.2)
        .strap(&["right", "apex"], 1.25)
        .strap(&["apex", "moving"], 0.8)
        .strap(&["tree-2", "redirect"], 0.9)
        .hauled(&["tree-1", "moving", "redirect", "winch"], 0.9)
}

fn triple() -> Rig {
    Rig::new(Motion::HaulingIn)
        .casualty([0.0, 0.0, 0.4])
        .winch([15.0, -4.0, 0.8])
        .anchor("tree", [17.0, 3.0, 0.6])
        .block("moving", [1.0, 0.0, 0.4])
        .block("standing", [16.0, 3.0, 0.6])
        .strap(&["casualty", "moving"], 0.8)
        .strap(&["tree", "standing"], 1.1)
        .hauled(&["casualty", "standing", "moving", "winch"], 0.92)
}

fn two_tugs() -> Rig {
    Rig::new(Motion::HaulingIn)
        .casualty([0.0, 0.0, 0.6])
        .fixed("tug-1", NodeKind::Tug, [14.0, 5.0, 0.8])
        .fixed("tug-2", NodeKind::Tug, [15.0, -6.0, 0.5])
        .block("ring", [5.0, 0.5, 0.6])
        .strap(&["casualty", "ring"], 5.0)
        .hauled(&["ring", "tug-1"], 1.0)
        .hauled_share(&["ring", "tug-2"], 0.8)
}

fn compound() -> Rig {
    Rig::new(Motion::HaulingIn)
        .casualty([0.0, 0.0, 0.5])
        .winch([22.0, -2.0, 0.8])
        .anchor("tree-1", [20.0, 2.0, 0.6])
        .anchor("tree-2", [21.0, 0.5, 0.7])
        .block("first", [1.0, 0.0, 0.5])
        .block("second", [9.0, 0.0, 0.6])
        .strap(&["casualty", "first"], 1.0)
        .strap_over(&["tree-1", "first", "second"], 27.0, 0.95)
        .hauled(&["tree-2", "second", "winch"], 0.95)
}
