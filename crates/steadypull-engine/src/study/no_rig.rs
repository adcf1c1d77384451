//! A plan without a rig: what the tug alone would decide.
//!
//! A steady tow and a single-line winch pull bring what the tug grips, drives, winches
//! and holds; whether that is at least the resistance, as found and dug out, can be
//! said without any gear. What a rig adds (a line that parts, a double line, a run-up)
//! cannot.

use super::{Levels, Model};
use crate::plan::{Method, Plan};
use crate::pull::winch::pull_in_use;
use crate::situation::resistance::terms;
use crate::situation::{Term, Treatment};

/// A method that the tug alone would decide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MethodTold {
    /// The method.
    pub method: Method,
    /// Whether the casualty is dug out first.
    pub dug: bool,
}

/// What a method comes to in a draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MethodDrawn {
    /// What it brings to bear at the casualty, N.
    pub brings_n: f64,
    /// Whether that is at least the resistance.
    pub moves: bool,
}

/// A plan without a rig made ready.
pub(super) struct NoRig {
    pub methods: Vec<MethodTold>,
    /// Pull of the winch by its plate, N.
    pub winch_n: Option<f64>,
    /// The resistance once dug out.
    pub dug: Vec<Term>,
}

impl NoRig {
    pub fn new(plan: &Plan) -> Self {
        let of = |dug| {
            terms(
                &plan.casualty,
                Treatment {
                    dug,
                    ..Treatment::default()
                },
                plan.units,
            )
        };
        let dug = of(true);
        let can_dig = dug != of(false) && !plan.tried.contains(&Method::ClearAndDig);
        let winch_n = plan.tug.winch.as_ref().map(|winch| {
            let with_line = plan.winch_and_line().map(|(w, line)| pull_in_use(w, line));
            with_line.unwrap_or(winch.rated_pull).get()
        });
        let methods = [
            Some(Method::SteadyTow),
            winch_n.map(|_| Method::WinchSingle),
        ];
        let methods: Vec<Method> = methods.into_iter().flatten().collect();
        let told = |dug: bool| methods.iter().map(move |m| MethodTold { method: *m, dug });
        Self {
            methods: told(false).chain(told(true).filter(|_| can_dig)).collect(),
            winch_n,
            dug,
        }
    }
}

impl Model<'_> {
    /// What the tug alone would bring by each method, and whether it moves the casualty.
    pub(super) fn by_method(
        &self,
        levels: &Levels,
        of: &NoRig,
        found: f64,
        dug: f64,
    ) -> Vec<MethodDrawn> {
        let told = |told: &MethodTold| {
            let winch = of.winch_n.filter(|_| told.method == Method::WinchSingle);
            let brings_n = self.brings(levels, winch);
            let fast = self.held_fast(told.dug);
            MethodDrawn {
                brings_n,
                moves: !fast && brings_n >= if told.dug { dug } else { found },
            }
        };
        of.methods.iter().map(told).collect()
    }
}
