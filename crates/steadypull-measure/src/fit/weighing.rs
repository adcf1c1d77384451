//! What readings are weighed by: errors in the stretch as well as in the force.
//!
//! What was read is the stretch `X = x + n − Σ bₖ vₖ`, x what it was, n its noise, bₖ a standard
//! normal number for each doubt that the whole pull shares (where its stretch begins, its clock) and vₖ
//! what one standard uncertainty of that moves. The zero of the force is one more such doubt, whose
//! `J v` is its uncertainty in every reading. About the path freed of noise and moved (`x̂ = H X' + Σ b̂ₖ H vₖ`,
//! `X' = X − n̂`) the law is straight enough:
//!
//! ```text
//! r = f(x̂) + S (X' − H X') + A n̂ − Σ b̂ₖ Jvₖ − F,   Cov r = σ² R + σₓ² A K Aᵀ + Σ (Jvₖ)(Jvₖ)ᵀ
//! A = S + (J − S) H
//! ```
//!
//! `J` are the slopes of the readings' forces against all stretches up to them, `S` those against
//! their own alone, R the memory of the force's noise. So a reading's own noise of stretch counts by
//! the slope of the line there: the effective variance (J. Orear, Am. J. Phys. 50 (1982) 912–916,
//! from memory), with all that neighbours share in the place of its diagonal. The slopes and the
//! covariance are those of the round before, so that the fit does not make the line flatter to be
//! weighed less.
//!
//! The path is freed of what the forces, too, tell of its noise, as an orthogonal fit does: what is left of noise in
//! it then has nothing to do with what is left over of the forces, and makes no line flatter (attenuation:
//! W. A. Fuller, Measurement Error Models (1987), ch. 1, from memory). A clock's vₖ are differences of the same noisy
//! stretches, and a rough path has seen too great a stretch: so they are smoothed like it.
//!
//! σ makes the whitened residuals scatter as they should: `Σ = n − p` (R. C. Paule, J. Mandel, J. Res. NBS 87
//! (1982) 377–385, from memory). The best numbers of the shared doubts and of the noise are the conditional means,
//! `b̂ₖ = −(Jvₖ)ᵀ (Cov r)⁻¹ r` and `n̂ = σₓ² (A K)ᵀ (Cov r)⁻¹ r`.

use nalgebra::{DMatrix, DVector};

use super::line_model::{PullRecord, write_pull};
use super::problem::FitProblem;
use super::stretch_noise::smoother;
use steadypull_engine::line::{Law, Path};

/// Step of strain for slopes.
const STRAIN_STEP: f64 = 1e-7;
/// Step of a shared doubt for slopes, in standard uncertainties.
const SHARED_STEP: f64 = 1e-3;

/// A pull with what its readings are weighed by.
pub(super) struct Weighed {
    smoother: Option<DMatrix<f64>>,
    /// `H vₖ`.
    moves_m: Vec<Vec<f64>>,
    /// Standard uncertainty of the zero of the force, N.
    zero_n: f64,
    /// `b̂`, one for each doubt that the pull shares, the last that of the zero.
    pub(super) shared: Vec<f64>,
    /// Where the law is worked out.
    pub(super) at_m: Vec<f64>,
    /// `n̂`, m.
    noise_m: Vec<f64>,
    /// `S (X' − H X') + A n̂`, N.
    own_n: Vec<f64>,
    /// `σₓ² A K`, N m.
    with_noise: Option<DMatrix<f64>>,
    /// `Jvₖ`, N.
    pub(super) moved_n: Vec<DVector<f64>>,
    /// `σₓ² A K Aᵀ`, N².
    pub(super) by_stretch_n2: Option<DMatrix<f64>>,
    /// What frees residuals of all of it, rows from the left up to themselves.
    freeing: Option<DMatrix<f64>>,
}

impl Weighed {
    pub(super) fn new(pull: &PullRecord) -> Self {
        let noisy = pull.stretch_noise.deviation_m > 0.0;
        let smoother = noisy.then(|| smoother(pull.time_s, pull.stretch_m, &pull.stretch_noise));
        let smooth = |read: &[f64]| smoothed(smoother.as_ref(), read);
        Self {
            at_m: smooth(pull.stretch_m),
            moves_m: pull.shared_m.iter().map(|moves| smooth(moves)).collect(),
            smoother,
            shared: vec![0.0; pull.shared_m.len() + 1],
            zero_n: pull.zero_n,
            noise_m: vec![0.0; pull.stretch_m.len()],
            own_n: vec![0.0; pull.stretch_m.len()],
            with_noise: None,
            moved_n: Vec::new(),
            by_stretch_n2: None,
            freeing: None,
        }
    }

    /// Whether there is more to weigh than one noise of the force.
    pub(super) fn has_more(pull: &PullRecord) -> bool {
        pull.stretch_noise.deviation_m > 0.0 || !pull.shared_m.is_empty() || pull.zero_n > 0.0
    }

    /// Slopes and covariances anew, by a law nearer to the line.
    pub(super) fn look_again(&mut self, law: &Law, pull: &PullRecord) {
        let pairs = pull.stretch_m.iter().zip(&self.noise_m);
        let freed: Vec<f64> = pairs.map(|(x, n)| x - n).collect();
        let smooth_m = smoothed(self.smoother.as_ref(), &freed);
        self.at_m = smooth_m.clone();
        for (b, moves) in self.shared.iter().zip(&self.moves_m) {
            self.at_m
                .iter_mut()
                .zip(moves)
                .for_each(|(x, v)| *x += b * v);
        }
        let forces = |by: &dyn Fn(usize) -> f64| {
            let stretch_m: Vec<f64> = self
                .at_m
                .iter()
                .enumerate()
                .map(|(i, x)| x + by(i))
                .collect();
            let mut out = vec![0.0; stretch_m.len()];
            write_pull(law, pull, &stretch_m, &mut out);
            DVector::from_vec(out)
        };
        self.moved_n = self
            .moves_m
            .iter()
            .map(|v| {
                let to = |sign: f64| forces(&|i| sign * SHARED_STEP * v[i]);
                (to(1.0) - to(-1.0)) / (2.0 * SHARED_STEP)
            })
            .collect();
        let zero = DVector::from_element(self.at_m.len(), pull.zero_n);
        self.moved_n.push(zero);
        let Some(smoother) = &self.smoother else {
            return;
        };
        let own = own_slopes(law, pull, &self.at_m);
        let mut errs = DMatrix::from_diagonal(&DVector::from_column_slice(&own));
        let step_m = STRAIN_STEP * pull.rest_length.get();
        for j in (0..own.len()).filter(|j| outlasts(law, &self.at_m, *j)) {
            let to = |sign: f64| forces(&|i| if i == j { sign * step_m } else { 0.0 });
            let mut later = (to(1.0) - to(-1.0)) / (2.0 * step_m);
            later[j] -= own[j];
            errs += later * smoother.row(j);
        }
        let of_noise = &errs * DVector::from_column_slice(&self.noise_m);
        let pairs = freed.iter().zip(&smooth_m).zip(of_noise.iter());
        self.own_n = own
            .iter()
            .zip(pairs)
            .map(|(s, ((x, h), more))| s * (x - h) + more)
            .collect();
        let deviation = pull.stretch_noise.deviation_m;
        let with_noise = deviation * deviation * pull.stretch_noise.through(&errs);
        self.by_stretch_n2 = Some(&with_noise * errs.transpose());
        self.with_noise = Some(with_noise);
    }

    /// Covariance of the residuals over σ², at σ = `noise_n`, and its factor kept.
    pub(super) fn free_by(&mut self, noise_n: f64, memory: f64) -> Result<(), FitProblem> {
        let n = self.at_m.len();
        let by = 1.0 / (noise_n * noise_n);
        let mut covariance = remembers(memory, n);
        if let Some(by_stretch) = &self.by_stretch_n2 {
            covariance += by_stretch * by;
        }
        for moved in &self.moved_n {
            covariance.ger(by, moved, moved, 1.0);
        }
        let factor = covariance.cholesky().ok_or(FitProblem::Singular)?.l();
        let freeing = factor.solve_lower_triangular(&DMatrix::identity(n, n));
        self.freeing = Some(freeing.ok_or(FitProblem::Singular)?.transpose());
        Ok(())
    }

    /// Adds to the law's forces at `at_m` what makes them those at the stretch as read, its
    /// shared doubts at nought.
    pub(super) fn straighten(&self, forces_n: &mut [f64]) {
        self.add_own(forces_n);
        let moves = self.moved_n.len().saturating_sub(1);
        for (b, moved) in self.shared.iter().zip(&self.moved_n[..moves]) {
            forces_n
                .iter_mut()
                .zip(moved.iter())
                .for_each(|(f, m)| *f -= b * m);
        }
    }

    /// The same with the shared doubts at their best numbers.
    pub(super) fn straighten_moved(&self, forces_n: &mut [f64]) {
        self.add_own(forces_n);
        let zero_n = self.zero_n * self.shared.last().copied().unwrap_or(0.0);
        forces_n.iter_mut().for_each(|f| *f += zero_n);
    }

    fn add_own(&self, forces_n: &mut [f64]) {
        forces_n
            .iter_mut()
            .zip(&self.own_n)
            .for_each(|(f, own)| *f += own);
    }

    /// Frees residuals of what neighbours share: `false` where nothing is known yet.
    pub(super) fn free(&self, residuals: &mut [f64]) -> bool {
        let Some(freeing) = &self.freeing else {
            return false;
        };
        // By columns of the transpose, so that what is multiplied lies side by side.
        for (i, column) in freeing.column_iter().enumerate().rev() {
            let row = &column.as_slice()[..=i];
            residuals[i] = row.iter().zip(&residuals[..=i]).map(|(w, r)| w * r).sum();
        }
        true
    }

    /// The transpose of what frees, times values: what each reading counts for.
    pub(super) fn back(&self, freed: &[f64]) -> DVector<f64> {
        let freed = DVector::from_column_slice(freed);
        match &self.freeing {
            Some(freeing) => freeing * freed,
            None => freed,
        }
    }

    /// The best numbers of the shared doubts and of the noise, by residuals that are not freed, N.
    pub(super) fn share_again(&mut self, residuals_n: &[f64], noise_n: f64) {
        if self.moved_n.is_empty() {
            return;
        }
        let mut freed = residuals_n.to_vec();
        self.free(&mut freed);
        let weighed = self.back(&freed) / (noise_n * noise_n);
        self.shared = self
            .moved_n
            .iter()
            .map(|moved| -moved.dot(&weighed))
            .collect();
        if let Some(with_noise) = &self.with_noise {
            self.noise_m = with_noise.tr_mul(&weighed).as_slice().to_vec();
        }
    }
}

/// `H` times what was read; the same where nothing is smoothed.
fn smoothed(smoother: Option<&DMatrix<f64>>, read: &[f64]) -> Vec<f64> {
    match smoother {
        Some(smoother) => {
            let smooth = smoother * DVector::from_column_slice(read);
            smooth.as_slice().to_vec()
        }
        None => read.to_vec(),
    }
}

/// Covariance of a noise that keeps the share `memory` from reading to reading and has 1 of its own in each.
fn remembers(memory: f64, n: usize) -> DMatrix<f64> {
    let whole = 1.0 / (1.0 - memory * memory);
    DMatrix::from_fn(n, n, |i: usize, j: usize| match i.abs_diff(j) {
        0 => whole,
        apart => whole * libm::pow(memory, apart as f64),
    })
}

/// Slope of each reading's force against its own stretch, the path before it held, N/m.
fn own_slopes(law: &Law, pull: &PullRecord, at_m: &[f64]) -> Vec<f64> {
    let mut path = Path::new(law.clone(), pull.strain_seen);
    let length_m = pull.rest_length.get();
    let slope = |x: &f64| {
        let strain = x / length_m;
        let (more, less) = (strain + STRAIN_STEP, strain - STRAIN_STEP);
        let slope = (path.tension(more) - path.tension(less)) / (2.0 * STRAIN_STEP * length_m);
        path.remember(strain);
        slope
    };
    at_m.iter().map(slope).collect()
}

/// Whether a reading's stretch shows in the force of later ones: all do with a rate effect, else
/// the greatest so far that is followed by a lesser one.
fn outlasts(law: &Law, at_m: &[f64], which: usize) -> bool {
    let greatest = |before: &[f64]| before.iter().copied().fold(f64::MIN, f64::max);
    law.curve().rate.is_some()
        || at_m[which] > greatest(&at_m[..which])
            && at_m.get(which + 1).is_some_and(|next| *next <= at_m[which])
}
