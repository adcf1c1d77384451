//! The link that a design is made for: the one asked for, or the worst.

use steadypull_engine::letgo::cases::prepared;
use steadypull_engine::letgo::design::{DamperWish, Job, Target, Trial, bare_energies};
use steadypull_engine::options::{Ladder, ladder};
use steadypull_engine::plan::Plan;
use steadypull_engine::rig::Side;

use crate::AnswerError;
use crate::answer::Finding;
use crate::assemble::{ChosenRig, answer_on, chosen_rig, runs};

/// The targets of a design, its own first.
pub(super) struct Chosen {
    pub targets: Vec<Target>,
    /// Whether the first is the worst, as against one that was named.
    pub worst: bool,
}

/// Everything that could fly off a straight rig.
pub(super) fn targets(plan: &Plan, rig: &ChosenRig) -> Vec<Target> {
    Target::all(rig.path, &prepared(plan, rig.path, rig.links))
}

/// Who runs the jobs: every thread there is.
pub(super) fn run(jobs: &[Job]) -> Vec<Trial> {
    runs::side_by_side(jobs, Job::run)
}

/// A design, with the findings and cautions that go with it.
pub(super) struct Designed<D> {
    pub design: D,
    pub findings: Vec<Finding>,
    pub cautions: Vec<String>,
}

/// Designs `what` for the straight rig of a plan, or tells by `nothing` why there is none.
/// The plan's own findings come with it, worst first.
pub(super) fn for_rig<D>(
    plan: &Plan,
    what: &str,
    design: impl FnOnce(&ChosenRig) -> Result<(D, Vec<Finding>), AnswerError>,
    nothing: impl FnOnce(String) -> D,
) -> Result<Designed<D>, AnswerError> {
    let ladder = ladder(plan, &runs::SideBySide::default())?;
    let whole = answer_on(plan, &ladder)?;
    let (design, mut findings) = match straight_rig(plan, &ladder, what) {
        Ok(rig) => design(&rig)?,
        Err(missing) => (nothing(missing), Vec::new()),
    };
    findings.extend(whole.findings);
    findings.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
    Ok(Designed {
        design,
        findings,
        cautions: whole.cautions,
    })
}

/// The straight rig of a plan, or why there is none to design for.
fn straight_rig<'a>(plan: &Plan, ladder: &'a Ladder, what: &str) -> Result<ChosenRig<'a>, String> {
    let Some(chosen) = chosen_rig(plan, ladder) else {
        return Err(if plan.lowering.is_some() {
            format!(
                "nothing is pulled in this plan: {what} by design goes by a pull from casualty to tug, and the lines of a lowering are not covered"
            )
        } else {
            format!("there is no rig to design {what} for")
        });
    };
    if chosen.path.laid_out.is_some() {
        return Err(format!(
            "{what} by design covers straight rigs alone, one path of line from casualty to tug. This rig is laid out on the ground: what flies off each of its parts is under `steadypull let-go PLAN`; for one part of line of it, write that part as a plan of its own with a straight [rig] path and its load"
        ));
    }
    Ok(chosen)
}

/// The links of `all` that could let go at the ends wanted: the one named, or the one
/// whose bare hardware arrives with the most.
pub(super) fn chosen(
    plan: &Plan,
    all: &[Target],
    link: Option<&str>,
    parts_at: Option<Side>,
    wish: &DamperWish,
) -> Result<Chosen, AnswerError> {
    let at_end = |t: &Target| parts_at.is_none_or(|side| t.at == side);
    let mut targets: Vec<Target> = all.iter().filter(|t| at_end(t)).cloned().collect();
    if let Some(link) = link {
        let first = targets.iter().position(|t| t.link == link);
        let Some(first) = first else {
            return Err(no_such_link(link, all, parts_at));
        };
        targets = vec![targets.swap_remove(first)];
        return Ok(Chosen {
            targets,
            worst: false,
        });
    }
    targets.retain(|t| !t.twin);
    let bare = bare_energies(&targets, wish, plan.seed, &run);
    let worst = (0..targets.len()).max_by(|&a, &b| {
        let of = |i: usize| bare[i].worst.quantile.get();
        // The first of equals, in the order of the path.
        of(a).total_cmp(&of(b)).then(b.cmp(&a))
    });
    if let Some(worst) = worst {
        targets.swap(0, worst);
        let at = targets[0].at;
        targets.retain(|t| t.at == at);
    }
    Ok(Chosen {
        targets,
        worst: true,
    })
}

fn no_such_link(link: &str, all: &[Target], parts_at: Option<Side>) -> AnswerError {
    let side = |t: &Target| match t.at {
        Side::Casualty => "at the casualty",
        _ => "at the tug",
    };
    let there_are = all
        .iter()
        .filter(|t| parts_at.is_none_or(|side| t.at == side))
        .map(|t| format!("{} ({})", t.link, side(t)))
        .collect();
    AnswerError::NoSuchLink {
        link: link.into(),
        there_are,
    }
}
