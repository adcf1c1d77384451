//! The rig that a study is about, as the ladder of methods chose it.

use crate::options::{KineticStudy, Rung};
use crate::plan::{Method, Plan};
use crate::rig::{LoadPath, PathError, find_path, proposals};
use crate::situation::Treatment;
use crate::units::{Force, Length, Speed};

/// The rig that is studied, and what is done before and with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Rigged {
    /// The rig.
    pub path: LoadPath,
    /// What is done before the pull.
    pub treatment: Treatment,
    /// Speed of the tug when the line comes taut, for a kinetic pull.
    pub run_up: Option<Speed>,
    /// Slack laid out, for a kinetic pull.
    pub slack: Length,
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
            path,
            treatment: rung.treatment,
            run_up,
            slack,
            reference: peak.unwrap_or(Force::from_kn(10.0)) * 0.5,
        })
    }

    /// The same rig in `plan`, a plan that differs from the one it was chosen for in
    /// numbers alone.
    pub fn redrawn(&self, plan: &Plan) -> Result<Self, PathError> {
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
