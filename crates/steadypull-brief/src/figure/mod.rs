//! The figures: each draws one area of an answer at any width.
//!
//! A figure is drawn for the width and text size it will be read at, not
//! scaled down: a phone, a page and a wide screen each get their own.

pub(crate) mod chance;
mod chart;
pub(crate) mod damper_set_ups;
mod force_time;
mod let_go_energy;
mod load_path_strip;
mod lowering;
mod mark;
mod options_ladder;
mod plan_view;
mod resistance;
mod run_up_chances;
mod run_up_window;
pub(crate) mod signal;
mod strands;
pub(crate) mod test_day;
mod tornado;
pub(crate) mod winch_haul;

use steadypull_contract::answer::{Answer, LoadPath, MethodName, Options};
use steadypull_contract::show::Units;

use crate::BriefError;
use crate::canvas::{escape, number};
use crate::fonts::FAMILY;
use crate::ink::WHITE;

/// A figure that an answer can be drawn as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Figure {
    /// The chain from casualty to tug, one cell a link.
    LoadPathStrip,
    /// Vehicles, line and zones from above, to scale.
    PlanView,
    /// Force and movement of the kinetic pull in time.
    ForceTime,
    /// Peak force and movement against run-up speed.
    RunUpWindow,
    /// Chances of shifting and of harm against run-up speed.
    RunUpChances,
    /// Energy along the flight if a link lets go.
    LetGoEnergy,
    /// Every method, least hazardous first.
    OptionsLadder,
    /// What holds the casualty, by term.
    Resistance,
    /// The way down to scale, and the holding force along it.
    Lowering,
    /// Line pull, current and heat of the winch haul in time.
    WinchHaul,
}

impl Figure {
    /// Every figure.
    pub const ALL: [Self; 10] = [
        Self::LoadPathStrip,
        Self::PlanView,
        Self::ForceTime,
        Self::RunUpWindow,
        Self::RunUpChances,
        Self::LetGoEnergy,
        Self::OptionsLadder,
        Self::Resistance,
        Self::Lowering,
        Self::WinchHaul,
    ];

    /// A short name for files and commands.
    pub fn name(self) -> &'static str {
        match self {
            Self::LoadPathStrip => "load-path-strip",
            Self::PlanView => "plan-view",
            Self::ForceTime => "force-time",
            Self::RunUpWindow => "run-up-window",
            Self::RunUpChances => "run-up-chances",
            Self::LetGoEnergy => "let-go-energy",
            Self::OptionsLadder => "options-ladder",
            Self::Resistance => "resistance",
            Self::Lowering => "lowering",
            Self::WinchHaul => "winch-haul",
        }
    }

    /// The words over it.
    pub fn title(self) -> &'static str {
        match self {
            Self::LoadPathStrip => "Load path, casualty to tug",
            Self::PlanView => "Plan view and standoff, to scale",
            Self::ForceTime => "Kinetic pull: force in time",
            Self::RunUpWindow => "Kinetic pull: run-up window",
            Self::RunUpChances => "Kinetic pull: chances against run-up speed",
            Self::LetGoEnergy => "If a link lets go: energy along the flight",
            Self::OptionsLadder => "Methods, least hazardous first",
            Self::Resistance => "What holds the casualty",
            Self::Lowering => "Lowering: the way down and the holding force",
            Self::WinchHaul => "Winch haul in time",
        }
    }

    /// A refusal to draw, with its reason.
    pub(crate) fn nothing(self, why: impl Into<String>) -> BriefError {
        BriefError::NothingToDraw {
            figure: self,
            why: why.into(),
        }
    }
}

/// What a figure is drawn for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Frame {
    /// Width of the figure.
    pub width: f64,
    /// Size of its text.
    pub size: f64,
    /// Units of its numbers.
    pub units: Units,
    /// Whether notes are drawn that a brief prints elsewhere.
    pub notes: bool,
}

/// A drawn figure.
#[derive(Debug, Clone)]
pub(crate) struct Drawing {
    /// Height taken.
    pub height: f64,
    /// Its shapes.
    pub body: String,
    /// The same in words, for those who cannot see it.
    pub words: String,
}

/// Draws a figure.
pub(crate) fn draw(answer: &Answer, which: Figure, frame: Frame) -> Result<Drawing, BriefError> {
    match which {
        Figure::LoadPathStrip => load_path_strip::draw(answer, frame),
        Figure::PlanView => plan_view::draw(answer, frame),
        Figure::ForceTime => force_time::draw(answer, frame),
        Figure::RunUpWindow => run_up_window::draw(answer, frame),
        Figure::RunUpChances => run_up_chances::draw(answer, frame),
        Figure::LetGoEnergy => let_go_energy::draw(answer, frame),
        Figure::OptionsLadder => options_ladder::draw(answer, frame),
        Figure::Resistance => resistance::draw(answer, frame),
        Figure::Lowering => lowering::draw(answer, frame),
        Figure::WinchHaul => winch_haul::draw(answer, frame),
    }
}

/// A drawing as an SVG element; `id` must be unique in its document.
pub(crate) fn svg(drawing: &Drawing, title: &str, id: &str, width: f64) -> String {
    let (w, h) = (number(width), number(drawing.height));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" \
         viewBox=\"0 0 {w} {h}\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" \
         font-family=\"{FAMILY}, sans-serif\"><title id=\"{id}-title\">{}</title>\
         <desc id=\"{id}-desc\">{}</desc>\
         <rect width=\"{w}\" height=\"{h}\" fill=\"{WHITE}\"/>{}</svg>\n",
        escape(title),
        escape(&drawing.words),
        drawing.body
    )
}

/// Number of a link in the load-path strip, from 1: the mark it bears in every
/// figure.
pub(crate) fn link_number(path: &LoadPath, name: &str) -> Option<usize> {
    path.links
        .iter()
        .position(|link| link.name == name)
        .map(|i| i + 1)
}

/// Tension in the line at which something reaches a limit.
#[derive(Debug, Clone)]
pub(crate) struct LineLimit {
    /// Tension in the line.
    pub tension_n: f64,
    /// The link that reaches its limit first.
    pub link: String,
}

/// Tensions in the kinetic line at which the first link reaches its WLL and its
/// MBS after derating: the tension worked out for, over the greatest share there.
pub(crate) fn kinetic_limits(
    options: &Options,
    path: &LoadPath,
) -> (Option<LineLimit>, Option<LineLimit>) {
    let rung = options
        .ladder
        .iter()
        .find(|r| r.method == MethodName::Kinetic && !r.links.is_empty());
    if let Some((rung, tension)) = rung.and_then(|r| r.peak_load_n.map(|n| (r, n))) {
        let shares = |pick: fn(&steadypull_contract::answer::LinkLoad) -> Option<f64>| {
            first_at_limit(
                rung.links.iter().map(|l| (l.name.as_str(), pick(l))),
                tension,
            )
        };
        return (shares(|l| l.share_of_wll), shares(|l| l.share_of_mbs));
    }
    if path.method == Some(MethodName::Kinetic) {
        return path_limits(path);
    }
    (None, None)
}

/// The same for the load path shown.
pub(crate) fn path_limits(path: &LoadPath) -> (Option<LineLimit>, Option<LineLimit>) {
    let links = || path.links.iter();
    (
        first_at_limit(
            links().map(|l| (l.name.as_str(), l.share_of_wll)),
            path.tension_n,
        ),
        first_at_limit(
            links().map(|l| (l.name.as_str(), l.share_of_mbs)),
            path.tension_n,
        ),
    )
}

fn first_at_limit<'a>(
    shares: impl Iterator<Item = (&'a str, Option<f64>)>,
    tension_n: f64,
) -> Option<LineLimit> {
    let (link, share) = shares
        .filter_map(|(name, share)| share.map(|s| (name, s)))
        .filter(|(_, share)| share.is_finite() && *share > 0.0)
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let tension_n = tension_n / share;
    tension_n.is_finite().then(|| LineLimit {
        tension_n,
        link: link.into(),
    })
}
