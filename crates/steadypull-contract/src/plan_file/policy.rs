//! `[policy]`: the rules this organisation works by.
//!
//! The defaults are the engine's own [`Policy::default`], written as a plan
//! file would write them.

use steadypull_engine::plan::Policy;
use steadypull_engine::units::{Energy, Length, Speed};

use super::defaults::written;
use super::limits::{self, Limit};
use super::section::Section;
use super::unit_table::Share;
use super::value::Fault;

const OWN: &str = "policy default (project's own)";
const PRACTICE: &str = "policy default (common practice)";
const STANDARD: &str = "policy default (Consumer Goods (Motor Vehicle Recovery Straps) Safety Standard 2017, CV-STRAP-01)";

pub(super) fn policy(file: &Section) -> Option<Policy> {
    let section = file.table("policy");
    let own = Policy::default();
    let share = |key, limit: &'static Limit<Share>, default: f64, reason| {
        let key = section.key::<Share>(key).within(limit);
        key.or(&written(default * 100.0, "%"), reason)
            .map(|share| share.0)
    };
    let number = |key, limit: &'static Limit<f64>, default: f64, reason| {
        section
            .key::<f64>(key)
            .within(limit)
            .or(&format!("{default}"), reason)
    };
    let design_quantile = share(
        "design_quantile",
        &limits::DESIGN_QUANTILE,
        own.design_quantile,
        OWN,
    );
    let shift_probability = share(
        "shift_probability",
        &limits::SHIFT_PROBABILITY,
        own.shift_probability,
        OWN,
    );
    let kinetic_design_factor = number(
        "kinetic_design_factor",
        &limits::DESIGN_FACTOR,
        own.kinetic_design_factor,
        PRACTICE,
    );
    let steady_design_factor = number(
        "steady_design_factor",
        &limits::DESIGN_FACTOR,
        own.steady_design_factor,
        PRACTICE,
    );
    let parting_probability = share(
        "parting_probability",
        &limits::PARTING,
        own.parting_probability,
        OWN,
    );
    let wll_probability = share(
        "wll_probability",
        &limits::WLL_PASSED,
        own.wll_probability,
        OWN,
    );
    let max_run_up = section
        .key::<Speed>("max_run_up")
        .within(&limits::MAX_RUN_UP);
    let max_run_up = max_run_up.or(&written(own.max_run_up.to_kmh(), "km/h"), PRACTICE);
    let max_occupant_g = number(
        "max_occupant_g",
        &limits::OCCUPANT_G,
        own.max_occupant_g,
        OWN,
    );
    let standoff_line_lengths = number(
        "standoff_line_lengths",
        &limits::LINE_LENGTHS,
        own.standoff_line_lengths,
        "Trade Practices (Motor Vehicle Recovery Straps) Regulations 2010 reg. 8 (CV-STRAP-06)",
    );
    let standoff_wire_lengths = number(
        "standoff_wire_lengths",
        &limits::WIRE_LENGTHS,
        own.standoff_wire_lengths,
        "US Army FM 4-30.31 ch. 4",
    );
    let standoff_min = section
        .key::<Length>("standoff_min")
        .within(&limits::STANDOFF_MIN);
    let standoff_min = standoff_min.or(&written(own.standoff_min.get(), "m"), OWN);
    let zone_quantile = share(
        "zone_quantile",
        &limits::ZONE_QUANTILE,
        own.zone_quantile,
        OWN,
    );
    let injury_energy = section
        .key::<Energy>("injury_energy")
        .within(&limits::INJURY_ENERGY);
    let injury_energy = injury_energy.or(
        &written(own.injury_energy.get(), "J"),
        "US DDESB TP-12 as quoted in an engineering note",
    );
    let strap_ratio_min = number(
        "strap_ratio_min",
        &limits::STRAP_RATIO,
        own.strap_ratio_min,
        STANDARD,
    );
    let strap_ratio_max = number(
        "strap_ratio_max",
        &limits::STRAP_RATIO,
        own.strap_ratio_max,
        STANDARD,
    );
    section.close();
    let (strap_ratio_min, strap_ratio_max) = (strap_ratio_min?, strap_ratio_max?);
    if strap_ratio_min >= strap_ratio_max {
        let key = if section.has("strap_ratio_min") {
            "strap_ratio_min"
        } else {
            "strap_ratio_max"
        };
        let fault = Fault::new("leaves no room for a strap".into());
        section.note(
            key,
            fault.expecting("strap_ratio_min below strap_ratio_max"),
        );
        return None;
    }
    Some(Policy {
        design_quantile: design_quantile?,
        shift_probability: shift_probability?,
        kinetic_design_factor: kinetic_design_factor?,
        steady_design_factor: steady_design_factor?,
        parting_probability: parting_probability?,
        wll_probability: wll_probability?,
        max_run_up: max_run_up?,
        max_occupant_g: max_occupant_g?,
        standoff_line_lengths: standoff_line_lengths?,
        standoff_wire_lengths: standoff_wire_lengths?,
        standoff_min: standoff_min?,
        zone_quantile: zone_quantile?,
        injury_energy: injury_energy?,
        strap_ratio_min,
        strap_ratio_max,
    })
}
