//! The planner's line model as a function to be fitted.
//!
//! The extension curve goes through the origin and `levels` knots at even shares of the
//! greatest load read, then straight on to the stated breaking strength: what lies
//! beyond the greatest load is an extrapolation. Below the greatest strain seen the
//! engine's own path law holds, with energy return and set; a rate term is its Maxwell
//! branch, carried from reading to reading with the strain taken straight between.
//!
//! Inside, each parameter runs over all numbers, so that no bound is ever met: strains
//! and times by their logarithm, shares by their log-odds.

use steadypull_engine::line::{Condition, Curve, CurveError, Law, Material, Path, Rate};
use steadypull_engine::units::{Force, Length};

use super::stretch_noise::StretchNoise;
use super::weighing::Weighed;
use crate::problem::{Problem, equal, finite, in_range, rising};

/// Greatest set that the engine takes.
const SET_MOST: f64 = 0.9;

/// One pull as read: time, stretch beyond rest length and force, reading by reading.
#[derive(Debug, Clone, Copy)]
pub struct PullRecord<'a> {
    /// Times, s, rising.
    pub time_s: &'a [f64],
    /// Stretch beyond the rest length of the new line, m.
    pub stretch_m: &'a [f64],
    /// Its noise.
    pub stretch_noise: StretchNoise<'a>,
    /// What else the stretch is in doubt by, for the whole pull at once (where it begins, its clock):
    /// for each such doubt how far one standard uncertainty of it moves every reading, m.
    pub shared_m: &'a [Vec<f64>],
    /// Force, N.
    pub force_n: &'a [f64],
    /// Standard uncertainty of its zero, N.
    pub zero_n: f64,
    /// Rest length of the new line.
    pub rest_length: Length,
    /// Greatest strain seen before this pull and not recovered; 0 for a rested line.
    pub strain_seen: f64,
}

/// A term of the model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Term {
    /// Held at this value.
    Fixed(f64),
    /// Fitted.
    Fitted,
}

/// The rate term of the model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RateTerm {
    /// None.
    None,
    /// Fitted: instant over slow stiffness, and relaxation time.
    Fitted,
}

/// What is fitted and what is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineModel {
    /// Knots of the extension curve, 1 (straight) to 6.
    pub levels: usize,
    /// Energy given back over energy taken.
    pub energy_return: Term,
    /// Strain left over greatest strain seen.
    pub set_fraction: Term,
    /// Rate effect.
    pub rate: RateTerm,
    /// Breaking strength as tested or stated on the label.
    pub breaking: Force,
}

/// A fitted parameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Parameter {
    /// Strain at the breaking strength, of a straight curve.
    StrainAtBreak,
    /// Strain at the greatest load read.
    StrainAtGreatest,
    /// Strain at one knot over that at the next, knots from 1 at the bottom.
    StrainRatio {
        /// The lower knot.
        knot: usize,
    },
    /// Energy given back over energy taken.
    EnergyReturn,
    /// Strain left over greatest strain seen.
    SetFraction,
    /// Instant stiffness over slow.
    StiffnessRatio,
    /// Relaxation time, s.
    RelaxationTime,
}

fn odds(share: f64) -> f64 {
    libm::log(share / (1.0 - share))
}

fn share(odds: f64) -> f64 {
    1.0 / (1.0 + libm::exp(-odds))
}

impl Parameter {
    /// The parameter's value from the number that is fitted.
    pub(super) fn value(self, inner: f64) -> f64 {
        match self {
            Self::StrainAtBreak | Self::StrainAtGreatest | Self::RelaxationTime => libm::exp(inner),
            Self::StrainRatio { .. } | Self::EnergyReturn => share(inner),
            Self::SetFraction => SET_MOST * share(inner),
            Self::StiffnessRatio => 1.0 + libm::exp(inner),
        }
    }

    /// The least and the greatest value that it can have.
    pub fn limits(self) -> (f64, f64) {
        (self.value(f64::NEG_INFINITY), self.value(f64::INFINITY))
    }

    /// Change of the value for one of the number that is fitted.
    pub(super) fn slope(self, inner: f64) -> f64 {
        let value = self.value(inner);
        match self {
            Self::StrainAtBreak | Self::StrainAtGreatest | Self::RelaxationTime => value,
            Self::StrainRatio { .. } | Self::EnergyReturn => value * (1.0 - value),
            Self::SetFraction => value * (1.0 - value / SET_MOST),
            Self::StiffnessRatio => value - 1.0,
        }
    }

    /// How much that change changes, over it.
    pub(super) fn bend(self, inner: f64) -> f64 {
        let value = self.value(inner);
        match self {
            Self::StrainAtBreak
            | Self::StrainAtGreatest
            | Self::RelaxationTime
            | Self::StiffnessRatio => 1.0,
            Self::StrainRatio { .. } | Self::EnergyReturn => 1.0 - 2.0 * value,
            Self::SetFraction => 1.0 - 2.0 * value / SET_MOST,
        }
    }

    /// Whether its least and its greatest value are ones that a real line can have.
    pub(super) fn natural_limits(self) -> (bool, bool) {
        match self {
            Self::SetFraction | Self::StiffnessRatio => (true, false),
            Self::EnergyReturn => (false, true),
            _ => (false, false),
        }
    }

    /// Where the fit of it starts; `strain` is the least-squares straight line's strain
    /// at the greatest load, `share` that load over the breaking strength, `time_s` the
    /// length of the longest pull.
    fn start(self, strain: f64, share: f64, time_s: f64) -> f64 {
        match self {
            Self::StrainAtBreak => libm::log(strain / share),
            Self::StrainAtGreatest => libm::log(strain),
            Self::StrainRatio { knot } => odds(knot as f64 / (knot as f64 + 1.0)),
            Self::EnergyReturn => odds(0.75),
            Self::SetFraction => odds(0.1 / SET_MOST),
            Self::StiffnessRatio => libm::log(0.2),
            Self::RelaxationTime => libm::log(0.1 * time_s),
        }
    }
}

/// A model with the records it is fitted to.
pub(super) struct Task<'a> {
    model: LineModel,
    pulls: &'a [PullRecord<'a>],
    pub(super) parameters: Vec<Parameter>,
    /// Greatest force read, N.
    greatest_n: f64,
}

impl<'a> Task<'a> {
    pub(super) fn new(model: LineModel, pulls: &'a [PullRecord<'a>]) -> Result<Self, Problem> {
        check(&model, pulls)?;
        let forces = pulls.iter().flat_map(|p| p.force_n);
        let greatest_n = forces.copied().fold(0.0, f64::max);
        if greatest_n <= 0.0 || greatest_n > model.breaking.get() {
            return Err(Problem::Degenerate(
                "the greatest force read must lie between nothing and the breaking strength; check units and strength",
            ));
        }
        Ok(Self {
            parameters: parameters(&model),
            model,
            pulls,
            greatest_n,
        })
    }

    /// Readings in all.
    pub(super) fn readings(&self) -> usize {
        self.pulls.iter().map(|p| p.force_n.len()).sum()
    }

    /// The share of the breaking strength that the pulls reach.
    pub(super) fn share_read(&self) -> f64 {
        self.greatest_n / self.model.breaking.get()
    }

    /// Numbers to start the fit from.
    pub(super) fn start(&self) -> Result<Vec<f64>, Problem> {
        let (mut cross, mut square, mut time_s) = (0.0, 0.0, 0.0_f64);
        for pull in self.pulls {
            let strains = pull.stretch_m.iter().map(|x| x / pull.rest_length.get());
            for (strain, force) in strains.zip(pull.force_n) {
                cross += strain.max(0.0) * force;
                square += strain * strain;
            }
            time_s = time_s.max(pull.time_s[pull.time_s.len() - 1] - pull.time_s[0]);
        }
        let stiffness_n = cross / square;
        if !(stiffness_n > 0.0 && stiffness_n.is_finite()) {
            return Err(Problem::Degenerate(
                "force does not rise with stretch; check the signs and the zero of both",
            ));
        }
        let (strain, share) = (self.greatest_n / stiffness_n, self.share_read());
        Ok(self
            .parameters
            .iter()
            .map(|p| p.start(strain, share, time_s))
            .collect())
    }

    /// The curve at the numbers `inner`.
    pub(super) fn curve(&self, inner: &[f64]) -> Result<Curve, CurveError> {
        let value_of = |wanted: Parameter, otherwise: f64| {
            let mut each = self.parameters.iter().zip(inner);
            let found = each.find(|(p, _)| **p == wanted);
            found.map_or(otherwise, |(p, x)| p.value(*x))
        };
        let held = |term: Term| match term {
            Term::Fixed(value) => value,
            Term::Fitted => 0.0,
        };
        let mut curve = Curve::new(
            &self.points(inner),
            value_of(Parameter::EnergyReturn, held(self.model.energy_return)),
            value_of(Parameter::SetFraction, held(self.model.set_fraction)),
        )?;
        if self.model.rate == RateTerm::Fitted {
            curve.rate = Some(Rate {
                stiffness_ratio: value_of(Parameter::StiffnessRatio, 1.0),
                relaxation_s: value_of(Parameter::RelaxationTime, 1.0),
            });
        }
        Ok(curve)
    }

    /// Points of the curve, from the origin to the breaking strength.
    fn points(&self, inner: &[f64]) -> Vec<(f64, f64)> {
        let levels = self.model.levels;
        if levels == 1 {
            return vec![(0.0, 0.0), (libm::exp(inner[0]), 1.0)];
        }
        let step = self.share_read() / levels as f64;
        let mut strain = libm::exp(inner[0]);
        let mut points = vec![(strain, step * levels as f64)];
        // The ratios follow from the top knot down.
        for (i, odds) in inner[1..levels].iter().enumerate() {
            strain *= share(*odds);
            points.push((strain, step * (levels - 1 - i) as f64));
        }
        points.push((0.0, 0.0));
        points.reverse();
        let (below, top) = (points[levels - 1], points[levels]);
        let slope = (top.1 - below.1) / (top.0 - below.0);
        if top.1 < 1.0 - 1e-9 {
            points.push((top.0 + (1.0 - top.1) / slope, 1.0));
        } else {
            points[levels].1 = 1.0;
        }
        points
    }

    /// The pulls, weighed by nothing but one noise of the force yet.
    pub(super) fn weighed(&self) -> Vec<Weighed> {
        self.pulls.iter().map(Weighed::new).collect()
    }

    /// Whether any pull has more to weigh than that.
    pub(super) fn has_more_to_weigh(&self) -> bool {
        self.pulls.iter().any(Weighed::has_more)
    }

    /// The pulls with the law at the numbers `inner`.
    pub(super) fn law_and_pulls(
        &self,
        inner: &[f64],
    ) -> Result<(Law, &[PullRecord<'a>]), CurveError> {
        Ok((
            as_tested(&self.curve(inner)?, self.model.breaking),
            self.pulls,
        ))
    }

    /// Writes fitted less read force over the greatest read, reading by reading, `straight` making
    /// of the law's forces what is held against those read and `free` freeing what is left.
    pub(super) fn write_with(
        &self,
        inner: &[f64],
        weighed: &[Weighed],
        out: &mut [f64],
        straight: impl Fn(&Weighed, &mut [f64]),
        free: impl Fn(&Weighed, &mut [f64]),
    ) {
        let Ok((law, pulls)) = self.law_and_pulls(inner) else {
            out.fill(f64::NAN);
            return;
        };
        let mut from = 0;
        for (pull, weighed) in pulls.iter().zip(weighed) {
            let to = from + pull.force_n.len();
            write_pull(&law, pull, &weighed.at_m, &mut out[from..to]);
            straight(weighed, &mut out[from..to]);
            for (r, force) in out[from..to].iter_mut().zip(pull.force_n) {
                *r = (*r - force) / self.greatest_n;
            }
            free(weighed, &mut out[from..to]);
            from = to;
        }
    }

    /// The same freed of all that neighbours share: the noise of the stretch, what the pull shares, and
    /// a noise that keeps the share `memory` of itself to the next reading.
    pub(super) fn write(&self, inner: &[f64], weighed: &[Weighed], memory: f64, out: &mut [f64]) {
        self.write_with(
            inner,
            weighed,
            out,
            Weighed::straighten,
            |weighed, residuals| {
                if !weighed.free(residuals) {
                    free(residuals, memory);
                }
            },
        );
    }

    /// N for one unit of the residuals.
    pub(super) fn unit_n(&self) -> f64 {
        self.greatest_n
    }

    /// Readings of each pull.
    pub(super) fn counts(&self) -> Vec<usize> {
        self.pulls.iter().map(|p| p.force_n.len()).collect()
    }
}

/// Takes the memory out of residuals: each less its share of the one before, the first
/// scaled to the same size.
fn free(residuals: &mut [f64], memory: f64) {
    for i in (1..residuals.len()).rev() {
        residuals[i] -= memory * residuals[i - 1];
    }
    residuals[0] *= (1.0 - memory * memory).sqrt();
}

/// The law of a line in the state it was tested in: no condition is taken off it, so
/// the material says nothing.
pub(super) fn as_tested(curve: &Curve, breaking: Force) -> Law {
    Law::new(
        curve,
        breaking,
        &Condition::default(),
        Material::NylonWebbing,
    )
}

/// Force of the law at each time of a pull with these stretches, N.
pub(super) fn write_pull(law: &Law, pull: &PullRecord, stretch_m: &[f64], out: &mut [f64]) {
    let mut path = Path::new(law.clone(), pull.strain_seen);
    let mut branch = Maxwell::new(law);
    for (i, force) in out.iter_mut().enumerate() {
        let strain = stretch_m[i] / pull.rest_length.get();
        let elastic = path.tension(strain);
        let extra = branch.to(pull.time_s[i], strain, elastic > 0.0);
        *force = (elastic + extra).max(0.0);
        path.remember(strain);
    }
}

/// The Maxwell branch `T' = (ratio − 1) K e' − T/τ`, K the slope of the curve at the
/// origin as in the engine, carried exactly with e' even between readings.
struct Maxwell {
    rate: Option<(f64, f64)>,
    before: Option<(f64, f64)>,
    tension_n: f64,
}

impl Maxwell {
    fn new(law: &Law) -> Self {
        let rate = law.curve().rate;
        Self {
            rate: rate.map(|r| ((r.stiffness_ratio - 1.0) * law.slope(0.0), r.relaxation_s)),
            before: None,
            tension_n: 0.0,
        }
    }

    /// Its tension at a reading, N; nothing while the line hangs slack.
    fn to(&mut self, time_s: f64, strain: f64, taut: bool) -> f64 {
        let Some((stiffness_n, relaxation_s)) = self.rate else {
            return 0.0;
        };
        let before = self.before.replace((time_s, strain));
        let (Some((then_s, was)), true) = (before, taut) else {
            self.tension_n = 0.0;
            return 0.0;
        };
        let dt = time_s - then_s;
        let gone = -libm::expm1(-dt / relaxation_s);
        let pace = (strain - was) / dt;
        self.tension_n += gone * (stiffness_n * pace * relaxation_s - self.tension_n);
        self.tension_n
    }
}

fn parameters(model: &LineModel) -> Vec<Parameter> {
    let mut list = vec![if model.levels == 1 {
        Parameter::StrainAtBreak
    } else {
        Parameter::StrainAtGreatest
    }];
    list.extend(
        (1..model.levels)
            .rev()
            .map(|knot| Parameter::StrainRatio { knot }),
    );
    if model.energy_return == Term::Fitted {
        list.push(Parameter::EnergyReturn);
    }
    if model.set_fraction == Term::Fitted {
        list.push(Parameter::SetFraction);
    }
    if model.rate == RateTerm::Fitted {
        list.extend([Parameter::StiffnessRatio, Parameter::RelaxationTime]);
    }
    list
}

fn check(model: &LineModel, pulls: &[PullRecord]) -> Result<(), Problem> {
    in_range("knots of the curve", model.levels as f64, 1.0, 6.0)?;
    in_range("the breaking strength, N", model.breaking.get(), 1.0, 1e9)?;
    if let Term::Fixed(value) = model.energy_return {
        in_range("the energy return held", value, 0.01, 1.0)?;
    }
    if let Term::Fixed(value) = model.set_fraction {
        in_range("the set held", value, 0.0, SET_MOST)?;
    }
    if pulls.is_empty() {
        return Err(Problem::TooFew {
            what: "pulls to fit",
            least: 1,
            got: 0,
        });
    }
    for pull in pulls {
        rising("times of a pull", pull.time_s, 5)?;
        finite("stretch of a pull", pull.stretch_m, 5)?;
        finite("force of a pull", pull.force_n, 5)?;
        equal(
            "times and stretch of a pull",
            pull.time_s.len(),
            pull.stretch_m.len(),
        )?;
        equal(
            "times and force of a pull",
            pull.time_s.len(),
            pull.force_n.len(),
        )?;
        in_range("the rest length, m", pull.rest_length.get(), 0.01, 1e4)?;
        in_range("the strain seen before", pull.strain_seen, 0.0, 1.0)?;
        check_doubts(pull)?;
    }
    Ok(())
}

fn check_doubts(pull: &PullRecord) -> Result<(), Problem> {
    let noise = &pull.stretch_noise;
    in_range("the noise of the stretch, m", noise.deviation_m, 0.0, 1e3)?;
    in_range("the uncertainty of the zero, N", pull.zero_n, 0.0, 1e9)?;
    finite("correlations of the stretch's noise", noise.correlation, 0)?;
    for moves in pull.shared_m {
        finite("what a doubt of a pull moves", moves, 0)?;
        equal(
            "stretch of a pull and what a doubt of it moves",
            pull.stretch_m.len(),
            moves.len(),
        )?;
    }
    Ok(())
}
