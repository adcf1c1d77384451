//! The rig that a study is about, as the ladder of methods chose it.

use super::StudyError;
use crate::options::{KineticStudy, Rung};
use crate::plan::{Lowering, Method, Plan};
use crate::pull::lowering::drawn::Ready;
use crate::rig::{LoadPath, PathError, find_path, lowered_path, proposals};
use crate::situation::Treatment;
use crate::units::{Force, Length, Speed};

/// What a study is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Studied {
    /// A pull by a rig.
    Pull,
    /// A lowering.
    Lowering,
    /// A plan without a rig.
    NoRig,
}

/// The rig that is studied, and what is done before and with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Rigged {
    /// What the study is of.
    pub studied: Studied,
    /// The rig; without parts where there is none.
    pub path: LoadPath,
    /// What is done before the pull.
    pub treatment: Treatment,
    /// Speed of the tug when the line comes taut, for a kinetic pull.
    pub run_up: Option<Speed>,
    /// Slack laid out, for a kinetic pull.
    pub slack: Length,
    /// From one end of the rig to the other, level, for the zone of one that is not laid
    /// out on the ground.
    pub span: Length,
    /// Pull at the casualty at which what could fly is looked up.
    pub reference: Force,
}

impl Rigged {
    /// The rig of `rung`, with the run-up of `kinetic` if it is a kinetic pull; none
    /// where the rung has no rig.
    pub fn of(rung: &Rung, kinetic: Option<&KineticStudy>, slack: Length) -> Option<Self> {
        let path = rung.path.clone()?;
        let run_up = kinetic
            .filter(|_| path.method == Method::Kinetic)
            .map(|k| k.speed);
        let peak = rung.peak.filter(|p| p.get() > 0.0);
        Some(Self {
            studied: Studied::Pull,
            span: path.line_length(),
            path,
            treatment: rung.treatment,
            run_up,
            slack,
            reference: peak.unwrap_or(Force::from_kn(10.0)) * 0.5,
        })
    }

    /// The lowering of `plan`.
    pub fn lowering(plan: &Plan, lowering: &Lowering) -> Result<Self, StudyError> {
        let ready = Ready::new(plan, lowering)?;
        let asks = ready.greatest(1.0, lowering.rolling).at_vehicle;
        Ok(Self {
            studied: Studied::Lowering,
            path: lowered_path(plan, lowering, ready.at_holder_share())?,
            treatment: Treatment::default(),
            run_up: None,
            slack: Length::ZERO,
            span: ready.most_out(),
            reference: asks.max(Force::from_kn(1.0)) * 0.5,
        })
    }

    /// No rig at all; the vehicles are taken to stand `span` apart.
    pub fn none(span: Length) -> Self {
        Self {
            studied: Studied::NoRig,
            path: LoadPath::without_parts(Method::SteadyTow),
            treatment: Treatment::default(),
            run_up: None,
            slack: Length::ZERO,
            span,
            reference: Force::from_kn(1.0),
        }
    }

    /// The same rig in `plan`, a plan that differs from the one it was chosen for in
    /// numbers alone.
    pub fn redrawn(&self, plan: &Plan) -> Result<Self, StudyError> {
        match (self.studied, &plan.lowering) {
            (Studied::NoRig, _) => return Ok(Self::none(self.span)),
            (Studied::Lowering, Some(lowering)) => {
                let redrawn = Self::lowering(plan, lowering)?;
                return Ok(Self {
                    reference: self.reference,
                    ..redrawn
                });
            }
            _ => {}
        }
        let method = self.path.method;
        let path = if self.path.proposed && method != Method::Kinetic {
            let names = |path: &LoadPath| -> Vec<String> {
                path.links.iter().map(|l| l.name.clone()).collect()
            };
            let wanted = names(&self.path);
            let all = proposals(plan, method)?;
            let same = all.iter().position(|p| names(p) == wanted);
            let place = same.unwrap_or(0);
            let found = all.into_iter().nth(place);
            found.ok_or_else(|| PathError::Missing("there is no rig for it".into()))?
        } else {
            find_path(plan, method)?
        };
        let stated = plan.rig.as_ref().filter(|_| !self.path.proposed);
        Ok(Self {
            studied: self.studied,
            span: path.line_length(),
            path,
            treatment: self.treatment,
            run_up: self
                .run_up
                .map(|taken| stated.and_then(|rig| rig.run_up_speed).unwrap_or(taken)),
            slack: stated.map_or(self.slack, |rig| rig.slack),
            reference: self.reference,
        })
    }

    /// The parts whose strength is stated, each once by its name.
    pub fn parts(&self) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        for link in self.path.links.iter().filter(|l| l.mbs.is_some()) {
            if !found.contains(&link.name) {
                found.push(link.name.clone());
            }
        }
        found
    }
}
