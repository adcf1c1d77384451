//! How far the stretch of the lines and the pull of the winch may be off what is taken,
//! by kind and source. Every figure here is assumed unless it says otherwise.

use super::{Role, Variable};
use crate::chance::{Distribution, LogNormal};
use crate::line::Material;
use crate::plan::{Line, Method, Plan, Winch, WinchDrive};
use crate::rig::LoadPath;

/// Stretch that the plan gives for its line, 1-sigma of the logarithm.
const STATED_STRETCH: f64 = 0.05;
/// A winch whose plate the plan gives, over one taken from a preset.
const PRESET_WIDER: f64 = 0.05;

/// Stretch of a preset line, 1-sigma of the logarithm, and what that rests on.
fn preset_stretch(material: Material) -> (f64, &'static str) {
    match material {
        Material::NylonWebbing | Material::NylonBraid => (
            0.10,
            "the 16 to 22 % of common practice (TF-02) taken as 90 % of such lines",
        ),
        Material::PolyesterWebbing => (0.15, "weaves differ; assumed"),
        Material::Hmpe => (0.20, "little stretch, much of it from bedding in; assumed"),
        Material::WireRope => (0.15, "constructions differ; assumed"),
        Material::Chain => (0.20, "preset curve assumed; assumed"),
    }
}

fn is_preset(line: &Line) -> bool {
    let preset = line.material.preset().points;
    let same = |((e, t), (pe, pt)): ((f64, f64), &(f64, f64))| {
        (e - pe).abs() < 1e-9 && (t - pt).abs() < 1e-9
    };
    line.curve.points().count() == preset.len() && line.curve.points().zip(preset).all(same)
}

fn stretch_spread(line: &Line) -> (f64, &'static str) {
    if is_preset(line) {
        preset_stretch(line.material)
    } else {
        (STATED_STRETCH, "as the plan gives it; spread of it assumed")
    }
}

fn about_one(spread: f64) -> Distribution {
    Distribution::LogNormal(LogNormal::new(1.0, spread))
}

/// Stretch of the lines of `path` over that taken; nothing known without a line.
pub(super) fn stretch(path: &LoadPath) -> Distribution {
    path.leading_line()
        .map_or(Distribution::Fixed(1.0), |l| about_one(stretch_spread(l).0))
}

/// The stretch as a variable of a study; all lines of a path go by the one that gives
/// most of it.
pub(super) fn stretch_variable(path: &LoadPath) -> Option<Variable> {
    let line = path.leading_line()?;
    let (spread, source) = stretch_spread(line);
    Some(Variable {
        role: Role::Stretch,
        key: format!("line.{}.stretch", line.name),
        words: "stretch of the lines over that taken, in the pull and as a part lets go".into(),
        group: "stretch of the lines".into(),
        distribution: about_one(spread),
        unit: "",
        source: format!("{}: {source}", line.material.word().replace('-', " ")),
        assumed: true,
    })
}

/// Pull of a winch over that on its plate for the layer in use: 1-sigma of the
/// logarithm, and what that rests on.
fn winch_spread(winch: &Winch) -> (f64, &'static str) {
    let (own, why) = match winch.drive {
        WinchDrive::Electric => (0.10, "electric: charge, warm motor, wear"),
        WinchDrive::Hydraulic => (0.05, "hydraulic: setting of the relief valve"),
        WinchDrive::Hand => (0.15, "hand: who works the lever"),
    };
    match winch.preset {
        Some(_) => (own + PRESET_WIDER, why),
        None => (own, why),
    }
}

/// Pull of the tug's winch over that of its plate.
pub(super) fn winch_pull(winch: &Winch) -> Distribution {
    about_one(winch_spread(winch).0)
}

/// The pull of the winch as a variable, where `path` is hauled by it.
pub(super) fn winch_variable(plan: &Plan, path: &LoadPath) -> Option<Variable> {
    let hauls = matches!(path.method, Method::WinchSingle | Method::WinchMulti);
    let winch = plan.tug.winch.as_ref().filter(|_| hauls)?;
    Some(winch_variable_of(winch))
}

/// The pull of `winch` as a variable.
pub(super) fn winch_variable_of(winch: &Winch) -> Variable {
    let (_, why) = winch_spread(winch);
    let whose = match winch.preset {
        Some(_) => "plate of a preset",
        None => "plate in the plan",
    };
    Variable {
        role: Role::WinchPull,
        key: "tug.winch.rated_pull".into(),
        words: "pull of the winch over that rated on the layer in use".into(),
        group: "pull of the winch".into(),
        distribution: winch_pull(winch),
        unit: "",
        source: format!("{why}; {whose}; spread assumed"),
        assumed: true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::{Condition, Curve};
    use crate::plan::Hitch;
    use crate::units::{Force, Length, LineMass};

    fn line(material: Material, curve: Curve, metres: f64) -> Line {
        Line {
            parts_at: None,
            name: format!("{}-{metres}", material.word()),
            material,
            kinetic: false,
            length: Length::new(metres),
            mbs: Force::from_tf(9.0),
            wll: None,
            mass_per_length: LineMass::new(0.4),
            curve,
            condition: Condition::default(),
            labelled: true,
            hitch: Hitch::Straight,
        }
    }

    fn path(lines: Vec<Line>) -> LoadPath {
        LoadPath {
            method: Method::SteadyTow,
            proposed: false,
            links: Vec::new(),
            lines,
            advantage: 1.0,
            laid_out: None,
        }
    }

    fn spread(of: &LoadPath) -> f64 {
        match stretch(of) {
            Distribution::LogNormal(l) => l.spread,
            _ => 0.0,
        }
    }

    #[test]
    fn the_line_that_stretches_most_says_how_sure_its_stretch_is() {
        let webbing = Material::NylonWebbing;
        let preset = line(webbing, webbing.curve().unwrap(), 9.0);
        let hmpe = line(Material::Hmpe, Material::Hmpe.curve().unwrap(), 20.0);
        let stated = line(webbing, Curve::linear(0.20, 0.7, 0.1).unwrap(), 9.0);
        assert_eq!(spread(&path(vec![hmpe.clone(), preset])), 0.10);
        assert_eq!(spread(&path(vec![hmpe.clone()])), 0.20);
        assert_eq!(spread(&path(vec![stated, hmpe])), STATED_STRETCH);
        assert_eq!(stretch(&path(Vec::new())), Distribution::Fixed(1.0));
        assert!(stretch_variable(&path(Vec::new())).is_none());
    }
}
