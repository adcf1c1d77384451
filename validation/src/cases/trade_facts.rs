//! Facts of the trade: order and direction, in bands, with no published source.

use crate::check::{check, checks};
use crate::situations::{CLASS_HEIGHTS_M, wagon};
use steadypull_engine::gear::shackle::{least_breaking_load, wll_by_bow};
use steadypull_engine::line::{Condition, Law, Material};
use steadypull_engine::plan::{Method, Soil};
use steadypull_engine::situation::{TermKind, Treatment, resistance};
use steadypull_engine::source::{Source, Status};
use steadypull_engine::units::{Force, Length};
use steadypull_engine::show::Units;

const PRACTICE: Source = Source::new("common practice", Status::CommonPractice);
const STRAP_LENGTH_M: f64 = 9.0;

checks! {
    tf_01 => check("TF-01", "2 t wagon sunk to the body in a bog: median resistance before suction", PRACTICE, "x weight")
        .bands([bogged_to_the_body()], [(2.5, 3.5)], "about three times its standing weight");
    tf_02 => check("TF-02", "stretch of a 9 m, 9 t strap when it parts, dry and new", PRACTICE, "m")
        .bands([STRAP_LENGTH_M * strap(false, 0.0).strain_at(strap(false, 0.0).breaking_n())], [(1.4, 2.0)], "about a fifth");
    tf_03 => check("TF-03", "wet and worn straps", PRACTICE, "-")
        .statements([
            ("wet stretches less at every load", LOADS.iter().all(|&n| strap(true, 0.0).strain_at(n) < strap(false, 0.0).strain_at(n))),
            ("worn stretches less at every load", LOADS.iter().all(|&n| strap(false, 1.0).strain_at(n) < strap(false, 0.0).strain_at(n))),
            ("worn out, under 5 % at half of MBS", strap(false, 1.0).strain_at(0.5 * MBS.get()) < 0.05),
        ]);
    tf_04 => check("TF-04", "bow shackle of 4.75 t: breaking over working load; over a 9 t strap", PRACTICE, "-")
        .bands(
            {
                let wll = wll_by_bow(Length::from_mm(19.0)).unwrap_or(Force::ZERO);
                let breaks = least_breaking_load(wll);
                [breaks / wll, breaks / MBS, breaks.to_tf()]
            },
            [(4.0, 6.0), (1.000_001, f64::MAX), (20.0, f64::MAX)],
            "about five times, over 20 t, never the weakest link in a 9 t rig",
        );
    tf_08 => check("TF-08", "order of the methods", PRACTICE, "-")
        .statements([
            ("kinetic comes last", Method::LADDER.last() == Some(&Method::Kinetic)),
            ("a winch comes before kinetic", Method::WinchMulti < Method::Kinetic && Method::WinchSingle < Method::Kinetic),
            ("a steady tow comes before kinetic", Method::SteadyTow < Method::Kinetic),
        ]);
}

const MBS: Force = Force::from_tf(9.0);
const LOADS: [f64; 4] = [5e3, 20e3, 50e3, 80e3];

fn bogged_to_the_body() -> f64 {
    let casualty = wagon(Soil::Bog, CLASS_HEIGHTS_M[2]);
    let stuck = resistance(&casualty, Treatment::default(), 1, Units::Metric);
    let before_suction: f64 = stuck
        .terms
        .iter()
        .filter(|term| term.kind != TermKind::Suction)
        .map(|term| term.size.quantile(0.5))
        .sum();
    before_suction / casualty.vehicle.mass.weight().get()
}

fn strap(wet: bool, wear: f64) -> Law {
    let condition = Condition {
        wet,
        wear,
        ..Condition::default()
    };
    let material = Material::NylonWebbing;
    // The preset is a constant table; were it broken the checks above fail.
    let curve = material.curve().expect("the preset curve is a curve");
    Law::new(&curve, MBS, &condition, material)
}
