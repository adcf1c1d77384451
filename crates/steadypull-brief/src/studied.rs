//! What a brief is made from: the answer, and the studies that were asked for with it.

use steadypull_contract::answer::{Answer, Chance, DamperDesign, TestsReport};

use crate::figure::test_day::{self, TestFigure};
use crate::figure::{self, Drawing, Frame, damper_set_ups};
use crate::{BriefError, ChanceFigure, DAMPER_FIGURE, DAMPER_TITLE, Figure};

/// An answer with its studies. An answer alone makes the brief that is quick.
#[derive(Debug, Clone, Copy)]
pub struct Studied<'a> {
    /// The answer.
    pub answer: &'a Answer,
    /// The recovery by chance, if it was asked for.
    pub chance: Option<&'a Chance>,
    /// Dampers by design, if they were asked for.
    pub dampers: Option<&'a DamperDesign>,
}

impl<'a> From<&'a Answer> for Studied<'a> {
    fn from(answer: &'a Answer) -> Self {
        Self {
            answer,
            chance: None,
            dampers: None,
        }
    }
}

impl Studied<'_> {
    /// Whether there is any study.
    pub(crate) fn any(&self) -> bool {
        self.chance.is_some() || self.dampers.is_some()
    }
}

/// A figure of a brief.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BriefFigure {
    /// Of the answer.
    Answer(Figure),
    /// Of the study by chance.
    Chance(ChanceFigure),
    /// Arrival energy by damper set-up.
    DamperSetUps,
    /// Of a test day.
    Test(TestFigure),
}

/// What the figures of a document are drawn from.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Source<'a> {
    /// A plan's answer.
    Plan(Studied<'a>),
    /// A test day.
    Tests(&'a TestsReport),
}

impl BriefFigure {
    /// A short name, for the page.
    pub fn name(self) -> String {
        match self {
            Self::Answer(figure) => figure.name().into(),
            Self::Chance(figure) => figure.name().into(),
            Self::DamperSetUps => DAMPER_FIGURE.into(),
            Self::Test(figure) => figure.name(),
        }
    }

    /// The words over it.
    pub fn title(self) -> &'static str {
        match self {
            Self::Answer(figure) => figure.title(),
            Self::Chance(figure) => figure.title(),
            Self::DamperSetUps => DAMPER_TITLE,
            Self::Test(figure) => figure.title(),
        }
    }

    /// Draws it.
    pub(crate) fn draw(self, of: Source, frame: Frame) -> Result<Drawing, BriefError> {
        match (self, of) {
            (Self::Test(figure), Source::Tests(report)) => test_day::draw(report, figure, frame),
            (_, Source::Plan(studied)) => self.of_plan(studied, frame),
            (_, Source::Tests(_)) => Err(BriefError::NoTestFigure {
                figure: self.name(),
            }),
        }
    }

    fn of_plan(self, of: Studied, frame: Frame) -> Result<Drawing, BriefError> {
        match self {
            Self::Answer(figure) => figure::draw(of.answer, figure, frame),
            Self::Chance(figure) => match of.chance {
                Some(chance) => figure::chance::draw(chance, figure, frame),
                None => Err(figure.nothing("no study by chance was asked for")),
            },
            Self::DamperSetUps => of
                .dampers
                .and_then(|design| damper_set_ups::draw(design, frame))
                .ok_or(BriefError::NoDamperFigure),
            Self::Test(figure) => Err(BriefError::NoTestFigure {
                figure: figure.name(),
            }),
        }
    }
}
