//! Handbook figures of winch rigging, worked out by the rig solver.

use crate::check::{Tolerance, check, checks};
use crate::rigs::{Rig, tackle};
use steadypull_engine::gear::block::{
    BLOCK_SOURCE, CAPSTAN_SOURCE, SHEAVE_SOURCE, TACKLE_SOURCE,
};
use steadypull_engine::gear::bridle::SOURCE as BRIDLE_SOURCE;
use steadypull_engine::rig::{Motion, NodeKind, Solved};
use steadypull_engine::source::{Source, Status};

const PRINTED: &str = "figures as printed";
/// A place so far off that a pull to it keeps its direction, m.
const FAR: f64 = 1e6;
const BLOCK_TABLE: Source = Source::new(
    "lifting-hardware tackle block tables, three makers agree",
    Status::Read,
);

checks! {
    cv_block_01_rig => check("CV-BLOCK-01", "the same by the rig solver, 30 to 150 deg", BLOCK_SOURCE, "x T")
        .values(
            [30.0, 45.0, 60.0, 90.0, 120.0, 135.0, 150.0].map(block),
            [1.93185, 1.84776, 1.73205, 1.41421, 1.0, 0.765367, 0.517638],
            Tolerance::Abs(1e-5),
            PRINTED,
        );
    cv_block_03_rig => check("CV-BLOCK-03", "1000 lbf round blocks at 50 and 135 deg, by the rig solver", BLOCK_TABLE, "lbf")
        .values([1000.0 * block(50.0), 1000.0 * block(135.0)], [1810.0, 760.0], Tolerance::Rel(0.01), "the table rounds down");
    cv_llf_01_rig => check("CV-LLF-01", "lead line over load, four parts, lead from the fixed block, by the rig solver", SHEAVE_SOURCE, "x load")
        .values([1.0 / lead_from_fixed(1.0 / 1.09)], [0.309], Tolerance::Abs(5e-4), "printed to three figures");
    cv_llf_02_rig => check("CV-LLF-02", "6000 lb with two extra lead sheaves, by the rig solver", SHEAVE_SOURCE, "lbf")
        .values([6000.0 * 1.09 * 1.09 / lead_from_fixed(1.0 / 1.09)], [2200.4], Tolerance::Abs(1.0), "1 lbf");
    cv_ma_01_rig => check("CV-MA-01", "real advantage, haul from the moving side, by the rig solver", Source::new("geometric series", Status::Computed), "-")
        .values(
            [(2, 0.96), (3, 0.96), (4, 0.96), (2, 0.9), (3, 0.9), (4, 0.9)].map(|(n, e)| advantage(n, e)),
            [1.96, 2.8816, 3.766336, 1.9, 2.71, 3.439],
            Tolerance::Abs(1e-6),
            "straps of the test rig lie in line",
        );
    cv_tack_03_rig => check("CV-TACK-03", "the manual's fall line against the rig solver at the same 10 % a sheave", TACKLE_SOURCE, "-")
        .statements([
            ("13 000 lbf is above what three parts at 0.9 a sheave need", 13_000.0 > 30_000.0 / advantage(3, 0.9)),
            ("and above what they need at 1/1.1 a sheave", 13_000.0 > 30_000.0 / advantage(3, 1.0 / 1.1)),
        ])
        .note("the manual adds a tenth of the whole load for each sheave, also where only a third of the load passes; its fall line is higher by 17 to 19 %");
    cv_cap_01_rig => check("CV-CAP-01", "a line round a trunk by the rig solver: mu 0.3, 90 deg; mu 0.15, 180 deg less a hair", CAPSTAN_SOURCE, "-")
        .values([trunk(0.3, 90.0), trunk(0.15, 179.999)], [1.601978, 1.601978], Tolerance::Abs(1e-5), "the hair");
    cv_bridle_01_rig => check("CV-BRIDLE-01", "symmetric fixed legs by the rig solver", BRIDLE_SOURCE, "x pull")
        .values([60.0, 90.0, 120.0].map(|deg| legs(deg / 2.0, deg / 2.0)[0]), [0.577350, 0.707107, 1.0], Tolerance::Abs(1e-6), PRINTED);
    cv_bridle_02_rig => check("CV-BRIDLE-02", "fixed legs at 20 and 35 deg by the rig solver", BRIDLE_SOURCE, "x pull")
        .values(legs(20.0, 35.0), [0.700208, 0.417529], Tolerance::Abs(1e-6), PRINTED);
    cv_sling_01_rig => check("CV-SLING-01", "leg of a two-leg sling by its angle to the horizontal, by the rig solver", Source::new("1/sin(a)", Status::Computed), "x share")
        .values([60.0, 45.0, 30.0].map(|deg: f64| 2.0 * legs(90.0 - deg, 90.0 - deg)[0]), [1.154701, 1.414214, 2.0], Tolerance::Abs(1e-6), PRINTED);
}

fn at(degrees: f64, metres: f64) -> [f64; 3] {
    let angle = degrees.to_radians();
    [metres * libm::cos(angle), metres * libm::sin(angle), 0.0]
}

/// Load on a fixed block over the tension of a line that leaves it `degrees` apart.
fn block(degrees: f64) -> f64 {
    let solved = Rig::new(Motion::HaulingIn)
        .fixed("block", NodeKind::Block, [0.0; 3])
        .casualty(at(0.0, 10.0))
        .winch(at(degrees, 12.0))
        .hauled(&["casualty", "block", "winch"], 1.0)
        .solve();
    solved.nodes[0].carries / solved.haul
}

/// Load over lead line tension: four parts, the lead from the fixed block.
fn lead_from_fixed(efficiency: f64) -> f64 {
    let straps = |rig: Rig, anchor: &str, block: &str, off: f64| {
        rig.anchor(anchor, [FAR, off, 0.0])
            .block(block, [FAR - 1.0, off, 0.0])
            .strap(&[anchor, block], 1.0)
    };
    let mut rig = Rig::new(Motion::HaulingIn)
        .casualty([0.0; 3])
        .winch([2.0 * FAR, 0.0, 0.0])
        .anchor("dead-end", [FAR, 0.0, 0.0]);
    for block in ["moving-0", "moving-1"] {
        rig = rig.block(block, [1.0, 0.0, 0.0]).strap(&["casualty", block], 1.0);
    }
    rig = straps(rig, "a", "standing-0", 0.0);
    // The lead turns back from the last fixed block; it is a fixed point here.
    rig = rig.fixed("lead", NodeKind::Anchor, [FAR, 0.0, 0.0]);
    let way = ["dead-end", "moving-0", "standing-0", "moving-1", "lead", "winch"];
    let solved = rig.hauled(&way, efficiency).solve();
    solved.real_advantage
}

fn advantage(parts: usize, efficiency: f64) -> f64 {
    tackle(parts, efficiency, Motion::HaulingIn).solve().real_advantage
}

/// Haul over what is left past a trunk with `wrap` degrees of turn.
fn trunk(friction: f64, wrap: f64) -> f64 {
    let solved = Rig::new(Motion::HaulingIn)
        .fixed("trunk", NodeKind::Anchor, [0.0; 3])
        .casualty(at(0.0, 10.0))
        .winch(at(180.0 - wrap, 12.0))
        .hauled_round(&["casualty", "trunk", "winch"], friction)
        .solve();
    let tension = &solved.runs[0].tension_n;
    tension[1] / tension[0]
}

/// Tensions of two fixed legs, `first` and `second` degrees either side of a pull
/// of 1 along x.
fn legs(first: f64, second: f64) -> [f64; 2] {
    let (a, b) = (at(180.0 - first, 1.0), at(180.0 + second, 1.0));
    let solved: Solved = Rig::new(Motion::HaulingIn)
        .fixed("a", NodeKind::Casualty, a)
        .fixed("b", NodeKind::Casualty, b)
        .winch([FAR, 0.0, 0.0])
        .block("apex", [0.01, 0.0, 0.0])
        .strap(&["a", "apex"], 1.0)
        .strap(&["b", "apex"], 1.0)
        .hauled(&["apex", "winch"], 1.0)
        .solve();
    let haul = solved.haul.get();
    [
        solved.runs[0].tension_n[0] / haul,
        solved.runs[1].tension_n[0] / haul,
    ]
}
