//! Draws of what the plan gives as ranges: the plan is read again with drawn numbers.
//!
//! A number that follows from another (a default, a rating by mass) follows the draw,
//! and every limit and cross check holds: a draw that makes no plan counts as failed.

use steadypull_engine::plan::Plan;
use steadypull_engine::study::{Drawn, Model, Rigged, Role, Row, Variable};

use super::blocks::Study;
use crate::plan_file::ParsedPlan;

/// What the plan gives as ranges.
pub(super) struct Redraw<'a> {
    parsed: &'a ParsedPlan<'a>,
    rigged: &'a Rigged,
    /// Place among the variables, and key, of each.
    stated: Vec<(usize, String)>,
}

impl<'a> Redraw<'a> {
    pub fn new(
        parsed: &'a ParsedPlan<'a>,
        plan: &Plan,
        rigged: &'a Rigged,
        variables: &[Variable],
    ) -> Self {
        let key = |(place, v): (usize, &Variable)| match v.role {
            Role::Stated(i) => Some((place, plan.spreads[i].key.clone())),
            _ => None,
        };
        Self {
            parsed,
            rigged,
            stated: variables.iter().enumerate().filter_map(key).collect(),
        }
    }

    /// Works out draws, each with the draw that it is like.
    pub fn draw_all(&self, study: &Study, asked: Vec<(Vec<f64>, Option<usize>)>) -> Vec<Drawn> {
        if self.stated.is_empty() {
            let row = |(levels, like)| Row {
                model: &study.model,
                levels,
                like,
            };
            return Model::draw_all(&asked.into_iter().map(row).collect::<Vec<_>>());
        }
        // One plan for each different set of drawn numbers.
        let mut sets: Vec<Vec<f64>> = Vec::new();
        let mut of: Vec<usize> = Vec::new();
        for (levels, _) in &asked {
            let set = self.values(study, levels);
            let known = sets.iter().position(|s| *s == set);
            of.push(known.unwrap_or(sets.len()));
            if known.is_none() {
                sets.push(set);
            }
        }
        let plans: Vec<Option<(Plan, Rigged)>> = sets.iter().map(|s| self.plan(s)).collect();
        let models: Vec<Option<Model>> = plans
            .iter()
            .map(|drawn| {
                let (plan, rigged) = drawn.as_ref()?;
                Model::new(plan, rigged, &study.variables, Some(&study.model)).ok()
            })
            .collect();
        let mut rows: Vec<Row> = Vec::new();
        let mut place: Vec<Option<usize>> = Vec::new();
        for ((levels, like), set) in asked.into_iter().zip(of) {
            let Some(model) = &models[set] else {
                place.push(None);
                continue;
            };
            let like = like.and_then(|i| place[i]);
            place.push(Some(rows.len()));
            rows.push(Row {
                model,
                levels,
                like,
            });
        }
        let drawn = Model::draw_all(&rows);
        let failed = || Drawn {
            failed_pull: true,
            ..Drawn::default()
        };
        place
            .into_iter()
            .map(|at| at.map_or_else(failed, |i| drawn[i].clone()))
            .collect()
    }

    /// Drawn value of each.
    fn values(&self, study: &Study, levels: &[f64]) -> Vec<f64> {
        let of = |(place, _): &(usize, String)| {
            study.variables[*place]
                .distribution
                .quantile(levels[*place])
        };
        self.stated.iter().map(of).collect()
    }

    fn plan(&self, values: &[f64]) -> Option<(Plan, Rigged)> {
        let keys = self.stated.iter().map(|(_, key)| key.clone());
        let set: Vec<(String, f64)> = keys.zip(values.iter().copied()).collect();
        let plan = self.parsed.plan_with(&set).ok()?;
        let rigged = self.rigged.redrawn(&plan).ok()?;
        Some((plan, rigged))
    }
}
