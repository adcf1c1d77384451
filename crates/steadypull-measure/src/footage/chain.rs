//! A chain of small states, each tied to the next and to a reading: least squares solved
//! link by link.
//!
//! The square-root information smoother (G. J. Bierman, Factorization Methods for
//! Discrete Sequential Estimation (1977), ch. 5 and 10, from memory): rows of
//! `[R | z]` of each state are turned upper triangular with the rows that tie it to the
//! next, so no prior is needed and nothing is squared before its time.

use nalgebra::{DMatrix, DVector};

/// A link solved forwards: `own x = rest − next x'`, x' the state after.
struct Link {
    own: DMatrix<f64>,
    next: DMatrix<f64>,
    rest: DVector<f64>,
}

/// One state: its value and covariance in units of the noise.
pub(super) struct State {
    pub(super) mean: DVector<f64>,
    pub(super) covariance: DMatrix<f64>,
}

/// The chain, as far as it has come.
pub(super) struct Chain {
    size: usize,
    /// Rows of information on the newest state, right-hand side last.
    newest: DMatrix<f64>,
    links: Vec<Link>,
}

/// Turns the rows upper triangular: as many rows as columns, or fewer.
fn triangular(rows: DMatrix<f64>) -> DMatrix<f64> {
    let columns = rows.ncols();
    let r = rows.qr().unpack_r();
    let keep = r.nrows().min(columns);
    r.rows(0, keep).into_owned()
}

impl Chain {
    /// A first state of `size` numbers of which nothing is known.
    pub(super) fn new(size: usize) -> Self {
        Self {
            size,
            newest: DMatrix::zeros(size, size + 1),
            links: Vec::new(),
        }
    }

    /// A reading of the state's first number, with the root of its weight.
    pub(super) fn read(&mut self, value: f64, root_weight: f64) {
        let mut rows = self.newest.clone().insert_row(self.newest.nrows(), 0.0);
        let last = rows.nrows() - 1;
        rows[(last, 0)] = root_weight;
        rows[(last, self.size)] = root_weight * value;
        let r = triangular(rows);
        self.newest = r.rows(0, self.size).into_owned();
    }

    /// On to the next state x' with `tie (x' − step x)` small: `tie` the root of the
    /// tie's weight.
    pub(super) fn go(&mut self, step: &DMatrix<f64>, tie: &DMatrix<f64>) {
        let m = self.size;
        // Columns: x, x', right-hand side.
        let mut rows = DMatrix::zeros(2 * m, 2 * m + 1);
        rows.view_mut((0, 0), (m, m))
            .copy_from(&self.newest.columns(0, m));
        rows.view_mut((0, 2 * m), (m, 1))
            .copy_from(&self.newest.column(m));
        rows.view_mut((m, 0), (m, m)).copy_from(&(-tie * step));
        rows.view_mut((m, m), (m, m)).copy_from(tie);
        let r = triangular(rows);
        self.links.push(Link {
            own: r.view((0, 0), (m, m)).into_owned(),
            next: r.view((0, m), (m, m)).into_owned(),
            rest: r.view((0, 2 * m), (m, 1)).column(0).into_owned(),
        });
        self.newest = r.view((m, m), (m, m + 1)).into_owned();
    }

    /// All states, first to last; none where the readings do not fix them.
    pub(super) fn solve(self) -> Option<Vec<State>> {
        let m = self.size;
        let last = self.newest.columns(0, m).into_owned();
        let inverse = last.solve_upper_triangular(&DMatrix::identity(m, m))?;
        let mut mean = &inverse * self.newest.column(m);
        let mut covariance = &inverse * inverse.transpose();
        let mut states = Vec::with_capacity(self.links.len() + 1);
        for link in self.links.iter().rev() {
            states.push(State {
                mean: mean.clone(),
                covariance: covariance.clone(),
            });
            let own = link.own.solve_upper_triangular(&DMatrix::identity(m, m))?;
            let gain = &own * &link.next;
            mean = &own * (&link.rest - &link.next * mean);
            covariance = &own * own.transpose() + &gain * covariance * gain.transpose();
        }
        states.push(State { mean, covariance });
        states.reverse();
        let finite = states.iter().all(|s| {
            s.mean
                .iter()
                .chain(s.covariance.iter())
                .all(|v| v.is_finite())
        });
        finite.then_some(states)
    }
}
