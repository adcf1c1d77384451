//! Which links could let go and what then flies, each with its run.
//!
//! One run for each side of each link at its load, with the dampers and tethers
//! planned and again bare, and a scatter of coarse runs for the zone
//! ([`scatter`]). A link that lets go leaves whatever hangs between it and the line on
//! the line's end; a line parts at its ends, and inside where that is
//! worst (see [`sides`](super::sides), [`inside`](super::inside)).

use super::film::{Film, film};
use super::inside::{self, BreakPlace};
use super::planned_gear::{with_dampers, with_gear_of};
pub(super) use super::side_setup::bare_setup;
use super::sides::{self, Cut, Stays, is_line};
use super::{Crack, LetGoError, Outcome, Setup, run};
use crate::plan::Plan;
use crate::rig::{LoadPath, LoadedLink, Side};
use crate::units::{Force, Mass};

pub(crate) use super::draw::{DIRECTION_SPREAD_DEG, LOAD_SPREAD};
pub(super) use super::planned_gear::CONTACT_M;
pub use super::scatter::{Scatter, ScatterMet, ScatterRun, scatter, scatter_runs};
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
    /// The places that were tried, of a line that parts inside; `cut` is at the worst.
    pub places: Vec<BreakPlace>,
    pub(super) setup: Setup,
}

impl Case {
    /// The run with the dampers and tethers planned.
    pub fn setup(&self) -> &Setup {
        &self.setup
    }

    /// The crack of the tail, if the run got so far.
    pub fn crack(&self) -> Option<Crack> {
        let whip = self.planned.whip.as_ref()?;
        Crack::of(whip, self.planned.stored, &self.setup.lines)
    }
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
    /// The same side of a break at other places inside the same line.
    pub(super) elsewhere: Vec<Prepared>,
}

/// The outcomes of a case.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcomes {
    /// With the dampers and tethers planned.
    planned: Outcome,
    /// Without.
    bare: Outcome,
    /// The places inside the line that were tried.
    places: Vec<BreakPlace>,
    /// Which of the places elsewhere was the worst; none for the case's own.
    at: Option<usize>,
}

impl Prepared {
    /// Runs it; nothing for one that flies as an earlier one does. Runs do not
    /// depend on each other, so a caller may run several at once.
    pub fn run(&self) -> Option<Result<Outcomes, LetGoError>> {
        self.twin.is_none().then(|| self.worst_place())
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

    /// Runs it where the most energy arrives.
    fn worst_place(&self) -> Result<Outcomes, LetGoError> {
        if self.elsewhere.is_empty() {
            return self.both(Vec::new(), None);
        }
        let (places, at) = self.places();
        self.at_place(at).both(places, at)
    }

    /// The places inside the line that are tried, and which of those elsewhere is the
    /// worst.
    fn places(&self) -> (Vec<BreakPlace>, Option<usize>) {
        let all = [self].into_iter().chain(&self.elsewhere);
        let tries: Vec<(f64, Setup)> = all
            .map(|place| (place.cut.along, place.planned.clone()))
            .collect();
        let places = inside::tried(&tries);
        let worst = inside::worst(&places, |p| p.arriving);
        let at = self
            .elsewhere
            .iter()
            .position(|place| Some(place.cut.along) == worst);
        (places, at)
    }

    /// Runs it where the most energy arrives, and shows it.
    fn filmed(&self) -> Result<(Outcomes, Film), LetGoError> {
        let (places, at) = match self.elsewhere.is_empty() {
            true => (Vec::new(), None),
            false => self.places(),
        };
        let there = self.at_place(at);
        let (planned, film) = film(&there.planned)?;
        Ok((there.with_bare(planned, places, at)?, film))
    }

    /// The case with what came of it.
    fn with(mut self, outcomes: Outcomes) -> Case {
        let case = match outcomes.at {
            Some(at) => self.elsewhere.swap_remove(at),
            None => self,
        };
        Case {
            link: case.link,
            at: case.at,
            cut: case.cut,
            flies: case.flies,
            stays: case.stays,
            tension: case.tension,
            hardware: case.hardware,
            planned: outcomes.planned,
            bare: outcomes.bare,
            dampers: case.dampers,
            tethers: case.tethers,
            places: outcomes.places,
            setup: case.planned,
        }
    }

    fn at_place(&self, at: Option<usize>) -> &Self {
        at.map_or(self, |at| &self.elsewhere[at])
    }

    fn both(&self, places: Vec<BreakPlace>, at: Option<usize>) -> Result<Outcomes, LetGoError> {
        let planned = run(&self.planned)?;
        self.with_bare(planned, places, at)
    }

    fn with_bare(
        &self,
        planned: Outcome,
        places: Vec<BreakPlace>,
        at: Option<usize>,
    ) -> Result<Outcomes, LetGoError> {
        let bare = if self.dampers.is_empty() && self.tethers.is_empty() {
            planned.clone()
        } else {
            run(&self.bare)?
        };
        Ok(Outcomes {
            planned,
            bare,
            places,
            at,
        })
    }
}

/// The cases of a loaded path before they are run.
pub fn prepared(plan: &Plan, path: &LoadPath, links: &[LoadedLink]) -> Vec<Prepared> {
    prepared_at(plan, path, links, None)
}

/// The same, each with `tension` in the line when it lets go where one is given.
fn prepared_at(
    plan: &Plan,
    path: &LoadPath,
    links: &[LoadedLink],
    stated: Option<Force>,
) -> Vec<Prepared> {
    let mut found: Vec<Prepared> = Vec::new();
    for (i, link) in links.iter().enumerate() {
        let planned = tension(path, links, link);
        if planned.get() <= 0.0 {
            continue;
        }
        let tension = stated.unwrap_or(planned);
        for cut in sides::cuts(links, i) {
            found.extend(prepare(plan, (path, links), i, cut, tension, &found));
        }
        let line = sides::line_number(links, i).and_then(|k| Some((k, path.lines.get(k)?)));
        if let Some((k, line)) = line {
            let places = sides::inside_places(line);
            for side in [0, 1] {
                let at = |along: &f64| sides::inside_cuts(k, *along)[side];
                let prepare = |cut| prepare(plan, (path, links), i, cut, tension, &[]);
                found.extend(with_elsewhere(places.iter().map(at).filter_map(prepare)));
            }
        }
    }
    found
}

/// One case of a break tried at several places: the middle one, with the others.
fn with_elsewhere(places: impl Iterator<Item = Prepared>) -> Option<Prepared> {
    let mut places: Vec<Prepared> = places.collect();
    if places.is_empty() {
        return None;
    }
    let mut middle = places.remove(places.len() / 2);
    middle.elsewhere = places;
    Some(middle)
}

/// Case number `number` of a loaded path with its film, at the load of the pull or with
/// `tension` in the line; none if there is no such case.
pub fn filmed(
    plan: &Plan,
    (path, links): (&LoadPath, &[LoadedLink]),
    number: usize,
    tension: Option<Force>,
) -> Option<Result<(Case, Film), LetGoError>> {
    let mut found = prepared_at(plan, path, links, tension);
    let mut shown = number;
    while let Some(twin) = found.get(shown)?.twin {
        shown = twin;
    }
    let result = found[shown].filmed();
    let case = found.swap_remove(number);
    Some(result.map(|(mut outcomes, film)| {
        if shown != number {
            (outcomes.places, outcomes.at) = (Vec::new(), None);
        }
        (case.with(outcomes), film)
    }))
}

/// The greatest tension that the lines of a path can bring to a break.
pub fn greatest_tension(path: &LoadPath) -> Force {
    let laws = path.line_laws();
    let strengths = laws.iter().map(|(law, _)| law.breaking_n());
    Force::new(strengths.fold(f64::MAX, f64::min))
}

/// Cases with the outcomes of [`Prepared::run`], in the same order.
pub fn cases_of(
    prepared: Vec<Prepared>,
    outcomes: Vec<Option<Result<Outcomes, LetGoError>>>,
) -> Result<Vec<Case>, LetGoError> {
    let mut found: Vec<Case> = Vec::with_capacity(prepared.len());
    for (case, outcome) in prepared.into_iter().zip(outcomes) {
        let twin = case.twin.and_then(|i| found.get(i));
        let outcomes = match (outcome, twin) {
            (_, Some(twin)) => Outcomes {
                planned: twin.planned.clone(),
                bare: twin.bare.clone(),
                places: Vec::new(),
                at: None,
            },
            (Some(outcome), None) => outcome?,
            (None, None) => case.worst_place()?,
        };
        found.push(case.with(outcomes));
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
    (pull * in_line).min(greatest_tension(path))
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
        let (setup, dampers) = with_dampers(plan, path.line_length(), &bare, cut.flies_to);
        (setup, dampers, Vec::new())
    } else {
        with_gear_of(plan, path, &bare, &cut)
    };
    let mass = plan.units.rough_mass(hardware.get());
    let flies = match hardware.get() > 0.0 {
        false => "the bare end of the line".to_string(),
        true if is_line(link.kind) => {
            format!("what joined it to the next line, {mass}")
        }
        true => format!("{} and what it leaves on the line, {mass}", link.name),
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
        elsewhere: Vec::new(),
    })
}
