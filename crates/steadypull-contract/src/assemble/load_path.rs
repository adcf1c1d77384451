//! The `load_path` area.

use steadypull_engine::options::Ladder;
use steadypull_engine::plan::{Method, Plan};
use steadypull_engine::rig::loads::design_factor;
use steadypull_engine::rig::{LinkKind, LinkState, LoadedLink, Side, find_path};

use super::{ChosenRig, method_name};
use crate::answer;

pub(super) fn load_path(
    plan: &Plan,
    ladder: &Ladder,
    chosen: Option<&ChosenRig>,
) -> answer::LoadPath {
    let Some(chosen) = chosen else {
        return answer::LoadPath {
            method: None,
            proposed: plan.rig.is_none(),
            load_case: "no rig".into(),
            tension_n: 0.0,
            links: Vec::new(),
            weakest: None,
            line_length_m: 0.0,
            missing: Some(missing(plan, ladder)),
        };
    };
    answer::LoadPath {
        method: Some(method_name(chosen.path.method)),
        proposed: chosen.path.proposed,
        load_case: load_case(plan, chosen),
        tension_n: chosen.rung.peak.map_or(0.0, |f| f.get()),
        links: chosen
            .links
            .iter()
            .map(|l| link(l, chosen.path.method, plan))
            .collect(),
        weakest: chosen
            .links
            .iter()
            .find(|l| l.weakest)
            .map(|l| l.link.name.clone()),
        line_length_m: chosen.path.line_length().get(),
        missing: None,
    }
}

fn missing(plan: &Plan, ladder: &Ladder) -> String {
    if plan.lowering.is_some() && plan.rig.is_none() {
        return "nothing is pulled: the plan lowers the casualty".into();
    }
    let asked = plan
        .rig
        .as_ref()
        .map(|r| r.method)
        .unwrap_or(Method::SteadyTow);
    match find_path(plan, asked) {
        Err(error) => error.to_string(),
        Ok(_) => ladder
            .rungs
            .last()
            .map(|r| r.reason.clone())
            .unwrap_or_default(),
    }
}

fn load_case(plan: &Plan, chosen: &ChosenRig) -> String {
    let q = plan.policy.design_quantile * 100.0;
    let dug = if chosen.rung.treatment.dug {
        ", after digging"
    } else {
        ""
    };
    let fixed = plan
        .casualty
        .held_by
        .as_ref()
        .is_some_and(|h| h.yields_at.is_none());
    match (chosen.path.method, fixed && !chosen.rung.treatment.dug) {
        (Method::Kinetic, true) => "peak of the pull against a casualty that does not move".into(),
        (Method::Kinetic, false) => {
            format!("peak of the pull against the {q:.0} % resistance{dug}")
        }
        (Method::Lower, _) => format!("the greatest holding force, {q:.0} % of cases lie below"),
        (_, true) => "all that the tug or winch can pull, the casualty held fast".into(),
        (_, false) => format!(
            "the {q:.0} % break-out resistance{dug}, or all that the tug or winch can pull if less"
        ),
    }
}

fn link(loaded: &LoadedLink, method: Method, plan: &Plan) -> answer::Link {
    let link = &loaded.link;
    let shares = super::options::link_load(loaded);
    answer::Link {
        name: link.name.clone(),
        kind: kind(link.kind),
        words: link.words.clone(),
        side: side(link.side),
        load_n: loaded.load.get(),
        wll_n: link.wll.map(|f| f.get()),
        mbs_n: link.mbs.map(|f| f.get()),
        derated_wll_n: link.derated_wll().map(|f| f.get()),
        derated_mbs_n: link.derated_mbs().map(|f| f.get()),
        deratings: link
            .factors
            .iter()
            .map(|f| answer::Derating {
                what: f.what.clone(),
                factor: f.left,
                source: f.source.into(),
            })
            .collect(),
        share_of_wll: shares.share_of_wll,
        share_of_mbs: shares.share_of_mbs,
        parting_probability: loaded.parting_probability,
        weakest: loaded.weakest,
        state: state(loaded.state),
        because: link_because(loaded, method, plan),
        included_angle_deg: link.included.map(|a| a.to_deg()),
        mass_kg: link.mass.get(),
        run: link.run.clone(),
        joins: link.joins.clone(),
    }
}

/// Why a link stands as it does, in words.
pub(super) fn link_because(loaded: &LoadedLink, method: Method, plan: &Plan) -> String {
    let load = plan.units.force(loaded.load.get());
    let link = &loaded.link;
    let of = |what: &str, rating: Option<steadypull_engine::units::Force>| {
        rating.map_or(String::new(), |r| {
            format!("{load} against {what} {}", plan.units.force(r.get()))
        })
    };
    if link.kind == LinkKind::Anchor && link.refused.is_none() {
        return of("a low hold of", link.derated_mbs());
    }
    match loaded.state {
        LinkState::Refused => link.refused.clone().unwrap_or_default(),
        LinkState::OverMbs if link.kind == LinkKind::Anchor => {
            of("a low hold (5 %) of", link.derated_mbs())
        }
        LinkState::OverMbs => of("a breaking strength of", link.derated_mbs()),
        LinkState::OverWll => of("a working load limit of", link.derated_wll()),
        LinkState::OverPolicy => {
            let factor = design_factor(link, method, &plan.policy);
            format!(
                "{}; the policy asks for a factor of {factor}",
                of("a breaking strength of", link.derated_mbs())
            )
        }
        LinkState::Within => match link.derated_wll() {
            Some(_) => of("a working load limit of", link.derated_wll()),
            None => of("a breaking strength of", link.derated_mbs()),
        },
    }
}

fn kind(kind: LinkKind) -> answer::LinkKind {
    match kind {
        LinkKind::RecoveryPoint => answer::LinkKind::RecoveryPoint,
        LinkKind::Shackle => answer::LinkKind::Shackle,
        LinkKind::KineticLine => answer::LinkKind::KineticLine,
        LinkKind::Line => answer::LinkKind::Line,
        LinkKind::Bridle => answer::LinkKind::Bridle,
        LinkKind::Block => answer::LinkKind::Block,
        LinkKind::Winch => answer::LinkKind::Winch,
        LinkKind::Ring => answer::LinkKind::Ring,
        LinkKind::Anchor => answer::LinkKind::Anchor,
    }
}

pub(super) fn side(side: Side) -> answer::Side {
    match side {
        Side::Casualty => answer::Side::Casualty,
        Side::Between => answer::Side::Between,
        Side::Tug => answer::Side::Tug,
    }
}

fn state(state: LinkState) -> answer::LinkState {
    match state {
        LinkState::Within => answer::LinkState::Within,
        LinkState::OverWll => answer::LinkState::OverWll,
        LinkState::OverPolicy => answer::LinkState::OverPolicy,
        LinkState::OverMbs => answer::LinkState::OverMbs,
        LinkState::Refused => answer::LinkState::Refused,
    }
}
