//! A chain of small states, each tied to the next and to a reading: least squares solved
//! link by link.
//!
//! The square-root information smoother (G. J. Bierman, Factorization Methods for
//! Discrete Sequential Estimation (1977), ch. 5 and 10, from memory): rows of
//! `[R | z]` of each state are turned upper triangular with the rows that tie it to the
//! next, so no prior is needed and nothing is squared before its time. Rows are turned by
//! Householder's reflections, each of one row of the triangle with those under it: the rest of
//! the column is nought already.

/// A square of the state's size, rows one after another.
pub(super) type Square<const M: usize> = [[f64; M]; M];

/// Numbers in a row for the largest state, of three: x, x' and the right-hand side.
const WIDE: usize = 7;

/// x, from `M` on x' or nothing, from `2 M` on the right-hand side.
type Row = [f64; WIDE];

/// A link solved forwards: `own x = rest − next x'`, x' the state after.
struct Link<const M: usize> {
    own: Square<M>,
    next: Square<M>,
    rest: [f64; M],
}

/// One state: its value and covariance in units of the noise.
pub(super) struct State<const M: usize> {
    pub(super) mean: [f64; M],
    pub(super) covariance: Square<M>,
}

/// The chain, as far as it has come.
pub(super) struct Chain<const M: usize> {
    /// Rows of information on the newest state.
    newest: [Row; M],
    links: Vec<Link<M>>,
}

impl<const M: usize> Chain<M> {
    /// A first state of which nothing is known, with room for so many.
    pub(super) fn new(states: usize) -> Self {
        Self {
            newest: [[0.0; WIDE]; M],
            links: Vec::with_capacity(states),
        }
    }

    /// A reading of the state's first number, with the root of its weight.
    pub(super) fn read(&mut self, value: f64, root_weight: f64) {
        let mut row = [[0.0; WIDE]];
        row[0][0] = root_weight;
        row[0][2 * M] = root_weight * value;
        for (j, top) in self.newest.iter_mut().enumerate() {
            reflect(top, &mut row, j);
        }
    }

    /// On to the next state x' with `tie x' − tied x` small: `tie` the root of the tie's
    /// weight, `tied` that times the step from x.
    pub(super) fn go(&mut self, tied: &Square<M>, tie: &Square<M>) {
        let mut ties = [[0.0; WIDE]; M];
        for (row, (tied, tie)) in ties.iter_mut().zip(tied.iter().zip(tie)) {
            for j in 0..M {
                row[j] = -tied[j];
                row[M + j] = tie[j];
            }
        }
        for (j, top) in self.newest.iter_mut().enumerate() {
            reflect(top, &mut ties, j);
        }
        self.links.push(Link {
            own: block(&self.newest, 0),
            next: block(&self.newest, M),
            rest: self.newest.map(|row| row[2 * M]),
        });
        self.newest = triangular(ties);
    }

    /// All states, first to last; none where the readings do not fix them.
    pub(super) fn solve(self) -> Option<Vec<State<M>>> {
        let inverse = inverted(&block(&self.newest, 0))?;
        let mut mean = times(&inverse, &self.newest.map(|row| row[2 * M]));
        let mut covariance = product(&inverse, &transposed(&inverse));
        let mut states = Vec::with_capacity(self.links.len() + 1);
        for link in self.links.iter().rev() {
            states.push(State { mean, covariance });
            let own = inverted(&link.own)?;
            let gain = product(&own, &link.next);
            let carried = times(&link.next, &mean);
            mean = times(&own, &core::array::from_fn(|i| link.rest[i] - carried[i]));
            let alone = product(&own, &transposed(&own));
            covariance = product(&product(&gain, &covariance), &transposed(&gain));
            for (cell, alone) in covariance
                .as_flattened_mut()
                .iter_mut()
                .zip(alone.as_flattened())
            {
                *cell += alone;
            }
        }
        states.push(State { mean, covariance });
        states.reverse();
        let finite = |s: &State<M>| {
            s.covariance
                .iter()
                .chain([&s.mean])
                .flatten()
                .all(|v| v.is_finite())
        };
        states.iter().all(finite).then_some(states)
    }
}

/// Makes column `j` of the lower rows nought by a reflection that takes it into `top`.
#[inline(always)]
fn reflect<const N: usize>(top: &mut Row, lower: &mut [Row; N], j: usize) {
    let column = lower.map(|row| row[j]);
    let below: f64 = column.iter().map(|v| v * v).sum();
    if below == 0.0 {
        return;
    }
    // The mirror is (first, column), half its square `long first`.
    let long = (top[j] * top[j] + below).sqrt().copysign(top[j]);
    let first = top[j] + long;
    let scale = 1.0 / (long * first);
    for k in 0..WIDE {
        let along: f64 = lower.iter().zip(&column).map(|(row, m)| m * row[k]).sum();
        let by = scale * (first * top[k] + along);
        top[k] -= by * first;
        for (row, m) in lower.iter_mut().zip(&column) {
            row[k] -= by * m;
        }
    }
}

/// Rows of which the first `M` numbers are nought as those of a state: x' becomes x, the rows a
/// triangle.
fn triangular<const M: usize>(rows: [Row; M]) -> [Row; M] {
    let mut rows = rows.map(|row| {
        let mut own = [0.0; WIDE];
        own[..M].copy_from_slice(&row[M..2 * M]);
        own[2 * M] = row[2 * M];
        own
    });
    for j in 0..M {
        let (upper, lower) = rows.split_at_mut(j + 1);
        match lower {
            [one] => reflect(&mut upper[j], core::array::from_mut(one), j),
            [one, two] => {
                let mut both = [*one, *two];
                reflect(&mut upper[j], &mut both, j);
                [*one, *two] = both;
            }
            _ => {}
        }
    }
    rows
}

/// The square of the rows that begins at a column.
fn block<const M: usize>(rows: &[Row; M], from: usize) -> Square<M> {
    rows.map(|row| core::array::from_fn(|j| row[from + j]))
}

fn times<const M: usize>(a: &Square<M>, x: &[f64; M]) -> [f64; M] {
    core::array::from_fn(|i| a[i].iter().zip(x).map(|(a, x)| a * x).sum())
}

pub(super) fn product<const M: usize>(a: &Square<M>, b: &Square<M>) -> Square<M> {
    core::array::from_fn(|i| core::array::from_fn(|j| (0..M).map(|k| a[i][k] * b[k][j]).sum()))
}

fn transposed<const M: usize>(a: &Square<M>) -> Square<M> {
    core::array::from_fn(|i| core::array::from_fn(|j| a[j][i]))
}

/// The inverse of an upper triangle; none where it has none.
fn inverted<const M: usize>(a: &Square<M>) -> Option<Square<M>> {
    let mut inverse = [[0.0; M]; M];
    for i in (0..M).rev() {
        if a[i][i] == 0.0 {
            return None;
        }
        let over = 1.0 / a[i][i];
        inverse[i] = core::array::from_fn(|j| {
            let sum: f64 = (i + 1..=j).map(|k| a[i][k] * inverse[k][j]).sum();
            match j == i {
                true => over,
                false => -over * sum,
            }
        });
    }
    Some(inverse)
}
