//! Which links could let go and what then flies, each with its run.
//!
//! One run for each side of each link at its load, with the dampers and tethers
//! planned and again bare, and a scatter of coarse runs for the zone
//! ([`scatter`]). A link that lets go leaves whatever hangs between it and the line on
//! the line's end; a line parts at its ends and in its middle (see
//! [`sides`](super::sides)).

use super::planned_gear::{with_dampers, with_gear_of};
pub(super) use super::side_setup::bare_setup;
use super::sides::{self, Cut, Stays, is_line};
use super::{LetGoError, Outcome, Setup, run};
use crate::plan::Plan;
use crate::rig::{LoadPath, LoadedLink, Side};
use crate::units::{Force, Mass};

pub(crate) use super::draw::{DIRECTION_SPREAD_DEG, LOAD_SPREAD};
pub(super) use super::planned_gear::CONTACT_M;
pub use super::scatter::{Scatter, ScatterMet, scatter};
pub(crate) use super::side_setup::return_range;

/// One link that could let go.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The link.
    pub link: String,
    /// The vehicle that this side of it parted from; it flies to the other.
    pub at: Side,
    /// Where it lets go.
    pub cut: Cut,
    /// What flies.
    pub flies: String,
    /// What stays on the vehicle it parted from.
    pub stays: Stays,
    /// Tension in the line when it does.
    pub tension: Force,
    /// Mass of hardware at the free end.
    pub hardware: Mass,
    /// With the dampers and tethers planned.
    pub planned: Outcome,
    /// Without.
    pub bare: Outcome,
    /// Names of the dampers, in the order of the outcome's.
    pub dampers: Vec<String>,
    /// Names of the tethers, in the order of the outcome's.
    pub tethers: Vec<String>,
    pub(super) setup: Setup,
}

/// A case before it is run: what lets go, and the two runs that it takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Prepared {
    pub(super) link: String,
    pub(super) at: Side,
    pub(super) cut: Cut,
    pub(super) flies: String,
    pub(super) stays: Stays,
    pub(super) tension: Force,
    pub(super) hardware: Mass,
    pub(super) planned: Setup,
    pub(super) bare: Setup,
    pub(super) dampers: Vec<String>,
    pub(super) tethers: Vec<String>,
    /// An earlier case that flies alike: same load and hardware at the same end.
    pub(super) twin: Option<usize>,
}

/// The outcomes of a case: with the dampers and tethers planned, and without.
pub type Outcomes = (Outcome, Outcome);

impl Prepared {
    /// Runs it; nothing for one that flies as an earlier one does. Runs do not
    /// depend on each other, so a caller may run several at once.
    pub fn run(&self) -> Option<Result<Outcomes, LetGoError>> {
        self.twin.is_none().then(|| self.both())
    }

    /// The link that lets go.
    pub(super) fn link(&self) -> &str {
        &self.link
    }

    /// The end at which it lets go.
    pub(super) fn at(&self) -> Side {
        self.at
    }

    /// What flies, in words.
    pub(super) fn flies(&self) -> &str {
        &self.flies
    }

    /// Mass of hardware on the line's end.
    pub(super) fn hardware(&self) -> Mass {
        self.hardware
    }

    /// The run with the dampers and tethers planned.
    pub(super) fn setup(&self) -> &Setup {
        &self.planned
    }

    fn both(&self) -> Result<Outcomes, LetGoError> {
        let planned = run(&self.planned)?;
        let bare = if self.dampers.is_empty() && self.tethers.is_empty() {
            planned.clone()
        } else {
            run(&self.bare)?
        };
        Ok((planned, bare))
    }
}

/// The cases of a loaded path before they are run.
pub fn prepared(plan: &Plan, path: &LoadPath, links: &[LoadedLink]) -> Vec<Prepared> {
    let mut found: Vec<Prepared> = Vec::new();
    for (i, link) in links.iter().enumerate() {
        let tension = tension(path, links, link);
        if tension.get() <= 0.0 {
            continue;
        }
        for cut in sides::cuts(links, i) {
            found.extend(prepare(plan, (path, links), i, cut, tension, &found));
        }
    }
    found
}

/// Cases with the outcomes of [`Prepared::run`], in the same order.
pub fn cases_of(
    prepared: Vec<Prepared>,
    outcomes: Vec<Option<Result<Outcomes, LetGoError>>>,
) -> Result<Vec<Case>, LetGoError> {
    let mut found: Vec<Case> = Vec::with_capacity(prepared.len());
    for (case, outcome) in prepared.into_iter().zip(outcomes) {
        let twin = case.twin.and_then(|i| found.get(i));
        let (planned, bare) = match (outcome, twin) {
            (_, Some(twin)) => (twin.planned.clone(), twin.bare.clone()),
            (Some(outcome), None) => outcome?,
            (None, None) => case.both()?,
        };
        found.push(Case {
            link: case.link,
            at: case.at,
            cut: case.cut,
            flies: case.flies,
            stays: case.stays,
            tension: case.tension,
            hardware: case.hardware,
            planned,
            bare,
            dampers: case.dampers,
            tethers: case.tethers,
            setup: case.planned,
        });
    }
    Ok(found)
}

/// Tension in the line when `link` lets go: what the pull puts there, or less
/// if the link holds less.
fn tension(path: &LoadPath, links: &[LoadedLink], link: &LoadedLink) -> Force {
    let share = link.link.load_share;
    let held = link
        .link
        .derated_mbs()
        .map_or(link.load, |mbs| link.load.min(mbs));
    let pull = held / share;
    let in_line = links
        .iter()
        .find(|l| is_line(l.link.kind))
        .map_or(1.0, |l| l.link.load_share);
    let weakest = path
        .line_laws()
        .iter()
        .map(|(law, _)| law.breaking_n())
        .fold(f64::MAX, f64::min);
    (pull * in_line).min(Force::new(weakest))
}

fn prepare(
    plan: &Plan,
    (path, links): (&LoadPath, &[LoadedLink]),
    i: usize,
    cut: Cut,
    tension: Force,
    earlier: &[Prepared],
) -> Option<Prepared> {
    let link = &links[i].link;
    let at = cut.parted_from();
    let hardware = sides::hardware(links, i, &cut);
    let bare = bare_setup(plan, path, &cut, hardware, tension)?;
    let (planned, dampers, tethers) = if cut.inside {
        let (setup, dampers) = with_dampers(plan, path, &bare, &cut);
        (setup, dampers, Vec::new())
    } else {
        with_gear_of(plan, path, &bare, &cut)
    };
    let flies = match hardware.get() > 0.0 {
        false => "the bare end of the line".to_string(),
        true if is_line(link.kind) => {
            format!("what joined it to the next line, {:.1} kg", hardware.get())
        }
        true => format!(
            "{} and what it leaves on the line, {:.1} kg",
            link.name,
            hardware.get()
        ),
    };
    let twin = earlier.iter().position(|c| {
        c.at == at
            && c.hardware == hardware
            && c.bare.rest_length() == bare.rest_length()
            && (c.tension / tension - 1.0).abs() < 1e-9
    });
    Some(Prepared {
        link: link.name.clone(),
        at,
        cut,
        flies,
        stays: sides::stays(plan, path, links, i, &cut, tension),
        tension,
        hardware,
        planned,
        bare,
        dampers,
        tethers,
        twin,
    })
}
