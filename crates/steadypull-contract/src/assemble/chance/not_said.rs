//! What a study cannot say, in words.

use steadypull_engine::plan::{Method, Plan};
use steadypull_engine::rig::LoadPath;
use steadypull_engine::study::Studied;

use super::super::standoff::NO_RIG_SPAN;
use super::rigged::StudiedRig;

/// What cannot be said, and why.
pub(super) fn of(plan: &Plan, rig: &StudiedRig) -> Vec<String> {
    match rig.rigged.studied {
        Studied::Pull => Vec::new(),
        Studied::Lowering => lowering(plan, &rig.rigged.path),
        Studied::NoRig => without_rig(plan, rig.why_no_rig.as_deref()),
    }
}

fn lowering(plan: &Plan, path: &LoadPath) -> Vec<String> {
    let mut said = Vec::new();
    match plan.lowering.as_ref().and_then(|l| l.belay.as_ref()) {
        None => said.push("Whether a belay holds: the plan has none.".into()),
        Some(belay) => {
            let point = belay.point.trim_start_matches("casualty.");
            let parts = [belay.anchor.name.clone(), format!("casualty.{point}")];
            let unknown = parts.iter().filter_map(|name| unknown(path, name));
            said.extend(unknown.map(|why| format!("Whether the belay holds as a whole: {why}.")));
        }
    }
    if path.laid_out.is_none() {
        said.push(
            "What comes back if the line parts: the rig is not laid out on the ground \
             (`[rig]` with `method = \"lower\"` and its runs), so the zone is the rule's."
                .into(),
        );
    }
    said
}

/// Why it is not known what a part holds.
fn unknown(path: &LoadPath, name: &str) -> Option<String> {
    let link = path.links.iter().find(|l| l.name == *name)?;
    match (&link.refused, link.mbs) {
        (Some(why), _) => Some(format!("{name} is refused ({why})")),
        (None, None) => Some(format!("the breaking strength of {name} is not stated")),
        (None, Some(_)) => None,
    }
}

fn without_rig(plan: &Plan, why: Option<&str>) -> Vec<String> {
    let mut said = vec![
        format!(
            "What breaks, what flies and how far: no rig can be made of this kit ({}).",
            why.unwrap_or("it is empty")
        ),
        format!(
            "How far to stand: the rule is told for vehicles {} apart; it grows with the line.",
            plan.units.length(NO_RIG_SPAN.get())
        ),
        "Whether a kinetic pull moves it: that goes by the kinetic line, its points and the \
         run-up."
            .into(),
        "Whether a winch in several parts of line moves it: that goes by the blocks.".into(),
    ];
    if plan.tug.winch.is_none() {
        said.push(format!(
            "A winch pull ({}): the tug has no winch.",
            Method::WinchSingle.word()
        ));
    }
    said
}
