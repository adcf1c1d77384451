//! What is settled about the readings in turn with the fits: the noise of the force and its memory, slopes,
//! and what each pull shares.

use super::least_squares::{Fitted, least_squares, spread};
use super::line::{MadeOf, Memory, Rules, by_pull, residuals, tethered};
use super::line_model::Task;
use super::problem::FitProblem;
use super::weighing::Weighed;

/// Fits made to settle it.
const ROUNDS: usize = 12;
/// Steps to the noise in a round.
const NOISE_STEPS: usize = 8;
/// Least noise of the force over the scatter of all that is left: under it the noise told of the stretch
/// is more than there is.
const FLOOR: f64 = 0.05;
/// Greatest memory: beyond it the noise is a drift, which no fit can part from the line.
const MEMORY_MOST: f64 = 0.98;
/// A noise, and a parameter in its standard errors, that stay within this are settled.
const NOISE_STILL: f64 = 0.01;
const PARAMETER_STILL: f64 = 0.02;
const MEMORY_STILL: f64 = 1e-3;

/// What is settled.
pub(super) struct Settled {
    pub weighed: Vec<Weighed>,
    /// Share of its noise that the next reading of force keeps.
    pub memory: f64,
    /// Noise of the force less what it keeps, over the greatest force read.
    pub noise: f64,
    /// Whether that is the least there can be.
    pub at_floor: bool,
    /// Share of the freed residuals' squares that it makes.
    own: f64,
    /// Where the last fit stood.
    pub at: Vec<f64>,
}

/// Settles it, by fits and what is left over of them in turn.
pub(super) fn settled(task: &Task, start: &[f64], rules: &Rules) -> Result<Settled, FitProblem> {
    let mut now = Settled {
        weighed: task.weighed(),
        memory: 0.0,
        noise: 0.0,
        at_floor: false,
        own: 1.0,
        at: start.to_vec(),
    };
    let more = task.has_more_to_weigh();
    if !more && rules.memory == Memory::None {
        return Ok(now);
    }
    for _ in 0..ROUNDS {
        let fitted = now.fitted(task, start, rules)?;
        let (memory, noise) = (now.memory, now.noise);
        let moved = now.moved_to(&fitted);
        if more {
            now.look_again(task)?;
        }
        if rules.memory == Memory::Found {
            now.memory = now.kept(task);
        }
        if more {
            now.find_noise(task, rules)?;
        }
        let still = (now.memory - memory).abs() < MEMORY_STILL
            && (now.noise - noise).abs() <= NOISE_STILL * now.noise
            && (!more || moved < PARAMETER_STILL);
        if still {
            break;
        }
    }
    Ok(now)
}

impl Settled {
    fn fitted(&self, task: &Task, start: &[f64], rules: &Rules) -> Result<Fitted, FitProblem> {
        let write = |inner: &[f64], out: &mut [f64]| tethered(task, start, self, inner, out);
        let model = residuals(task, &write);
        least_squares(&model, &self.at, &vec![1.0; start.len()], rules.loss)
    }

    /// Takes over where a fit stood; how far the parameter that moved most did, in standard errors.
    fn moved_to(&mut self, fitted: &Fitted) -> f64 {
        let pairs = self.at.iter().zip(&fitted.parameters);
        let errors = fitted.standard_errors();
        let moved = pairs
            .zip(&errors)
            .map(|((a, b), error)| (a - b).abs() / error);
        let most = moved.fold(0.0, f64::max);
        self.at.clone_from(&fitted.parameters);
        most
    }

    /// Slopes, and what each pull shares, by the line as it stands.
    fn look_again(&mut self, task: &Task) -> Result<(), FitProblem> {
        let left = self.raw(task, &self.at, Weighed::straighten);
        let left = by_pull(&left, task.unit_n(), &task.counts());
        let noise_n = self.noise * task.unit_n();
        let (law, pulls) = task.law_and_pulls(&self.at)?;
        for ((weighed, pull), left) in self.weighed.iter_mut().zip(pulls).zip(&left) {
            weighed.share_again(left, noise_n);
            weighed.look_again(&law, pull);
        }
        Ok(())
    }

    /// Residuals over the greatest force read, of nothing freed.
    pub(super) fn raw(
        &self,
        task: &Task,
        inner: &[f64],
        straight: fn(&Weighed, &mut [f64]),
    ) -> Vec<f64> {
        let mut raw = vec![0.0; task.readings()];
        task.write_with(inner, &self.weighed, &mut raw, straight, |_, _| {});
        raw
    }

    /// The noise of the force with which all residuals, freed, scatter as they should (Newton's steps).
    fn find_noise(&mut self, task: &Task, rules: &Rules) -> Result<(), FitProblem> {
        let raw = self.raw(task, &self.at, Weighed::straighten);
        let moved = self.raw(task, &self.at, Weighed::straighten_moved);
        let (unit_n, parameters) = (task.unit_n(), self.at.len());
        let most = spread(&moved, parameters, rules.loss.bend(&moved)).variance;
        let floor = FLOOR * FLOOR * most;
        let mut square = if self.noise > 0.0 {
            self.noise * self.noise
        } else {
            most
        };
        for _ in 0..NOISE_STEPS {
            self.free_by(square.sqrt() * unit_n)?;
            let mut freed = raw.clone();
            self.free(task, &mut freed);
            let bend = rules.loss.bend(&freed);
            let found = spread(&freed, parameters, bend).variance;
            let own = self.own_share(task, &freed, bend);
            let step = (found - square) / (1.0 - found / square * (1.0 - own));
            let next = (square + step).clamp(0.2 * square, 5.0 * square).max(floor);
            let moved = (next / square - 1.0).abs();
            square = next;
            if moved < NOISE_STILL {
                break;
            }
        }
        self.noise = square.sqrt();
        self.at_floor = square <= floor;
        self.free_by(self.noise * unit_n)?;
        let mut freed = raw;
        self.free(task, &mut freed);
        self.own = self.own_share(task, &freed, rules.loss.bend(&freed));
        Ok(())
    }

    fn free_by(&mut self, noise_n: f64) -> Result<(), FitProblem> {
        let memory = self.memory;
        self.weighed
            .iter_mut()
            .try_for_each(|pull| pull.free_by(noise_n, memory))
    }

    fn free(&self, task: &Task, residuals: &mut [f64]) {
        let mut from = 0;
        for (weighed, count) in self.weighed.iter().zip(task.counts()) {
            weighed.free(&mut residuals[from..from + count]);
            from += count;
        }
    }

    /// Share of the freed residuals' squares that is the force's own noise.
    fn own_share(&self, task: &Task, freed: &[f64], bend: f64) -> f64 {
        let bent: Vec<f64> = freed.iter().map(|r| r.clamp(-bend, bend)).collect();
        let all: f64 = bent.iter().map(|r| r * r).sum();
        let pulls = by_pull(&bent, 1.0, &task.counts());
        let own = self.weighed.iter().zip(&pulls);
        let own: f64 = own
            .map(|(weighed, freed)| self.remembered(weighed.back(freed).as_slice()))
            .sum();
        own / all.max(f64::MIN_POSITIVE)
    }

    /// `vᵀ R v`, R the covariance of a noise with this memory and 1 of its own in each reading.
    fn remembered(&self, values: &[f64]) -> f64 {
        let (mut sum, mut before) = (0.0, 0.0);
        for v in values {
            sum += v * (v + 2.0 * before);
            before = self.memory * (before + v);
        }
        sum / (1.0 - self.memory * self.memory)
    }

    /// Share of its noise that the next reading of force keeps, pull by pull, 0 to [`MEMORY_MOST`]
    /// (D. Cochrane, G. H. Orcutt, J. Am. Stat. Assoc. 44 (1949) 32–61, from memory), what the noise of
    /// the stretch makes of both sums taken off them.
    ///
    /// The correlation of fitted residuals is too low by about `(p (1 + φ) + 2 φ)/n`: M. G.
    /// Kendall's bias (Biometrika 41 (1954) 403–404, from memory) for a mean, p = 1, taken to
    /// p parameters; it is put back.
    fn kept(&self, task: &Task) -> f64 {
        let left = self.raw(task, &self.at, Weighed::straighten_moved);
        let pulls = by_pull(&left, task.unit_n(), &task.counts());
        let pairs = pulls.iter().flat_map(|p| p.windows(2));
        let (mut cross, mut square) =
            pairs.fold((0.0, 0.0), |(c, s), w| (c + w[0] * w[1], s + w[0] * w[0]));
        for of in self
            .weighed
            .iter()
            .filter_map(|pull| pull.by_stretch_n2.as_ref())
        {
            cross -= (1..of.nrows()).map(|i| of[(i, i - 1)]).sum::<f64>();
            square -= (1..of.nrows()).map(|i| of[(i - 1, i - 1)]).sum::<f64>();
        }
        let (n, p) = (left.len() as f64, self.at.len() as f64);
        if square <= 0.0 {
            return 0.0;
        }
        ((cross / square + p / n) / (1.0 - (p + 2.0) / n).max(0.1)).clamp(0.0, MEMORY_MOST)
    }

    /// Degrees of freedom behind the noise of the force, `freedom` of them behind the scatter of all that
    /// is left.
    ///
    /// Where the noise of the stretch makes a part of that scatter, the force's own is known from the rest
    /// alone: with `o` the share that is its own, `Σ r²` moves by `o` of what the noise's square does, which
    /// leaves `o²` of the degrees.
    ///
    /// With a memory found: a parameter hangs on what is slow, and the variance of that grows with the memory by
    /// `(1 + φ)/(1 − φ)`, whose logarithm has the slope `2/(1 − φ²)`. The memory found has the
    /// variance `(1 − φ²)/n` (M. S. Bartlett, J. R. Stat. Soc. Suppl. 8 (1946) 27, from memory). So the
    /// logarithm of the variance scatters by `2/ν + 4/(n (1 − φ²))` instead of `2/ν`, which is that of
    /// fewer degrees of freedom (Satterthwaite's match).
    pub(super) fn freedom(&self, freedom: f64, memory: Memory, readings: usize) -> f64 {
        let own = self.own * self.own;
        let of_memory = match memory {
            Memory::None => 0.0,
            Memory::Found => 2.0 / (readings as f64 * (1.0 - self.memory * self.memory) * own),
        };
        1.0 / (1.0 / (freedom * own) + of_memory)
    }

    /// What the noise of the stretch makes of one force, root of the mean square, N.
    pub(super) fn by_stretch_n(&self) -> f64 {
        let readings: usize = self.weighed.iter().map(|pull| pull.at_m.len()).sum();
        let squares = self
            .weighed
            .iter()
            .filter_map(|pull| pull.by_stretch_n2.as_ref());
        (squares.map(|of| of.trace()).sum::<f64>() / readings as f64).sqrt()
    }

    /// Shares of a variance, by what each freed reading counts for in the number, pull by pull.
    pub(super) fn made_of(&self, counts: &[Vec<f64>], unit_n: f64) -> MadeOf {
        let noise_n2 = (self.noise * unit_n) * (self.noise * unit_n);
        let (mut force, mut stretch, mut shared) = (0.0, 0.0, Vec::new());
        for (weighed, counts) in self.weighed.iter().zip(counts) {
            let back = weighed.back(counts);
            force += noise_n2 * self.remembered(back.as_slice());
            let of = weighed.by_stretch_n2.as_ref();
            stretch += of.map_or(0.0, |of| back.dot(&(of * &back)));
            let each = weighed.moved_n.iter().map(|moved| moved.dot(&back));
            shared.push(each.map(|by| by * by).collect::<Vec<f64>>());
        }
        if noise_n2 == 0.0 {
            // Nothing but the force's own noise was weighed.
            force = 1.0;
        }
        let whole = force + stretch + shared.iter().flatten().sum::<f64>();
        let share = |part: f64| part / whole.max(f64::MIN_POSITIVE);
        MadeOf {
            force: share(force),
            stretch: share(stretch),
            shared: shared
                .iter()
                .map(|pull| pull.iter().map(|part| share(*part)).collect())
                .collect(),
        }
    }
}
