//! Pixels to metres in one plane.
//!
//! From four points or more whose places are known: the homography
//!
//! ```text
//! X = (h₁₁ x + h₁₂ y + h₁₃)/(h₃₁ x + h₃₂ y + h₃₃),   Y likewise
//! ```
//!
//! by the normalised direct linear transform (R. Hartley, A. Zisserman, Multiple View
//! Geometry (2003), 4.1 and 4.4, from memory): least algebraic error over all points. From a
//! known length alone: one scale, x along the length. That is right only where the camera
//! looks square on; seen askew by the angle a, lengths along the tilt come out as
//! `cos a` of what they are (10°: 1.5 %, 20°: 6 %), which is stated as part of the error through
//! `askew`.
//!
//! How sure: each input (clicked pixels, the length, the tilt) moved by its standard
//! deviation, the differences added in squares.

use nalgebra::{DMatrix, Matrix3, Vector3};

use crate::problem::{Problem, finite, in_range};

/// Pixels to metres in one plane.
#[derive(Debug, Clone, PartialEq)]
pub struct Plane {
    to_metres: Matrix3<f64>,
    /// The same with each input taken up and down by its error.
    moved: Vec<[Matrix3<f64>; 2]>,
    /// Error of a click, pixels.
    click_px: f64,
    /// Greatest distance of a known point from where the plane puts it, m.
    worst_fit_m: f64,
}

/// A place in the plane. Errors are standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// m along each axis.
    pub at_m: [f64; 2],
    /// From the click on this mark, along each axis.
    pub click_error_m: [f64; 2],
    /// From the plane, common to all marks, along each axis.
    pub plane_error_m: [f64; 2],
}

fn apply(h: &Matrix3<f64>, at: [f64; 2]) -> [f64; 2] {
    let v = h * Vector3::new(at[0], at[1], 1.0);
    [v.x / v.z, v.y / v.z]
}

/// Moves points to their middle and to a mean distance of √2 from it.
fn normaliser(points: &[[f64; 2]]) -> Option<Matrix3<f64>> {
    let n = points.len() as f64;
    let mean = |axis: usize| points.iter().map(|p| p[axis]).sum::<f64>() / n;
    let (x, y) = (mean(0), mean(1));
    let far = points
        .iter()
        .map(|p| libm::hypot(p[0] - x, p[1] - y))
        .sum::<f64>()
        / n;
    let k = core::f64::consts::SQRT_2 / far;
    k.is_finite()
        .then(|| Matrix3::new(k, 0.0, -k * x, 0.0, k, -k * y, 0.0, 0.0, 1.0))
}

const ON_A_LINE: Problem = Problem::Degenerate(
    "the known points do not span a plane: no three of the first four may lie on one line",
);

/// The homography from pixels to metres.
fn homography(pixels: &[[f64; 2]], metres: &[[f64; 2]]) -> Result<Matrix3<f64>, Problem> {
    let (Some(from), Some(to)) = (normaliser(pixels), normaliser(metres)) else {
        return Err(ON_A_LINE);
    };
    // A row of noughts makes the matrix square for four points, so that the vector left
    // over is among those worked out.
    let mut rows = DMatrix::zeros((2 * pixels.len()).max(9), 9);
    for (i, (p, m)) in pixels.iter().zip(metres).enumerate() {
        let ([x, y], [u, v]) = (apply(&from, *p), apply(&to, *m));
        let first = [x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, -u];
        let second = [0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y, -v];
        for j in 0..9 {
            rows[(2 * i, j)] = first[j];
            rows[(2 * i + 1, j)] = second[j];
        }
    }
    let svd = rows.svd(false, true);
    let mut order: Vec<usize> = (0..9).collect();
    order.sort_by(|a, b| svd.singular_values[*a].total_cmp(&svd.singular_values[*b]));
    // A second vector left over: the points fix no plane.
    let (Some(v), true) = (svd.v_t, svd.singular_values[order[1]] > 1e-9) else {
        return Err(ON_A_LINE);
    };
    let row = v.row(order[0]);
    let h = Matrix3::from_fn(|i, j| row[3 * i + j]);
    let back = to.try_inverse().ok_or(ON_A_LINE)?;
    Ok(back * h * from)
}

/// Scale alone: metres along the line from `a` to `b` in the picture, and square to it.
fn scale(a: [f64; 2], b: [f64; 2], length_m: f64) -> Matrix3<f64> {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let k = length_m / (dx * dx + dy * dy);
    // Rows down the picture, metres up.
    Matrix3::new(
        k * dx,
        k * dy,
        -k * (dx * a[0] + dy * a[1]),
        k * dy,
        -k * dx,
        -k * (dy * a[0] - dx * a[1]),
        0.0,
        0.0,
        1.0,
    )
}

impl Plane {
    /// From four or more points: where they are in the picture (pixels) and in the plane
    /// (m), and the error of a click (pixels).
    pub fn from_points(
        pixels: &[[f64; 2]],
        metres: &[[f64; 2]],
        click_px: f64,
    ) -> Result<Self, Problem> {
        finite("pixels of the known points", pixels.as_flattened(), 8)?;
        finite("metres of the known points", metres.as_flattened(), 8)?;
        crate::problem::equal(
            "known points in pixels and metres",
            pixels.len(),
            metres.len(),
        )?;
        in_range("error of a click, pixels", click_px, 0.0, 1e3)?;
        let to_metres = homography(pixels, metres)?;
        let moved_to = |i: usize, step: f64| {
            let mut moved = pixels.to_vec();
            moved[i / 2][i % 2] += step;
            homography(&moved, metres)
        };
        let moved = (0..2 * pixels.len())
            .map(|i| Ok([moved_to(i, click_px)?, moved_to(i, -click_px)?]))
            .collect::<Result<Vec<_>, Problem>>()?;
        let off = |(p, m): (&[f64; 2], &[f64; 2])| {
            let [x, y] = apply(&to_metres, *p);
            libm::hypot(x - m[0], y - m[1])
        };
        Ok(Self {
            worst_fit_m: pixels.iter().zip(metres).map(off).fold(0.0, f64::max),
            to_metres,
            moved,
            click_px,
        })
    }

    /// From one known length between two points of the picture: x from `a` towards `b`,
    /// y square to it and up where x runs right. Errors are standard deviations; `askew`
    /// is the share by which lengths may be off because the camera is not square on.
    pub fn from_length(
        a_px: [f64; 2],
        b_px: [f64; 2],
        length_m: f64,
        length_error_m: f64,
        askew: f64,
        click_px: f64,
    ) -> Result<Self, Problem> {
        finite("ends of the known length", &[a_px, b_px].concat(), 4)?;
        in_range("the known length, m", length_m, 1e-3, 1e4)?;
        in_range(
            "error of the known length, m",
            length_error_m,
            0.0,
            0.5 * length_m,
        )?;
        in_range("share askew", askew, 0.0, 0.5)?;
        in_range("error of a click, pixels", click_px, 0.0, 1e3)?;
        if libm::hypot(b_px[0] - a_px[0], b_px[1] - a_px[1]) <= 4.0 * click_px.max(0.25) {
            return Err(Problem::Degenerate(
                "the known length is too short in the picture for the error of a click; take a longer one",
            ));
        }
        let part = libm::hypot(length_error_m, askew * length_m);
        let at = |end: usize, axis: usize, step: f64| {
            let mut ends = [a_px, b_px];
            ends[end][axis] += step;
            scale(ends[0], ends[1], length_m)
        };
        let mut moved: Vec<[Matrix3<f64>; 2]> = [(0, 0), (0, 1), (1, 0), (1, 1)]
            .into_iter()
            .map(|(end, axis)| [at(end, axis, click_px), at(end, axis, -click_px)])
            .collect();
        moved.push([
            scale(a_px, b_px, length_m + part),
            scale(a_px, b_px, length_m - part),
        ]);
        Ok(Self {
            to_metres: scale(a_px, b_px, length_m),
            moved,
            click_px,
            worst_fit_m: 0.0,
        })
    }

    /// Where a pixel is in the plane, m.
    pub fn at_m(&self, x_px: f64, y_px: f64) -> [f64; 2] {
        apply(&self.to_metres, [x_px, y_px])
    }

    /// Where in the picture a place of the plane is, pixels; none on the horizon.
    pub fn at_px(&self, at_m: [f64; 2]) -> Option<[f64; 2]> {
        let back = apply(&self.to_metres.try_inverse()?, at_m);
        back.iter().all(|v| v.is_finite()).then_some(back)
    }

    /// Greatest distance of a known point from where the plane puts it, m; nothing of
    /// four points, which fit exactly.
    pub fn worst_fit_m(&self) -> f64 {
        self.worst_fit_m
    }

    /// Where a pixel is in the plane, and how sure.
    pub fn place(&self, x_px: f64, y_px: f64) -> Place {
        let half = |up: [f64; 2], down: [f64; 2], axis: usize| 0.5 * (up[axis] - down[axis]);
        let square = |v: f64| v * v;
        let (c, at) = (self.click_px, [x_px, y_px]);
        let clicked = [[c, 0.0], [0.0, c]].map(|[dx, dy]| {
            [
                self.at_m(x_px + dx, y_px + dy),
                self.at_m(x_px - dx, y_px - dy),
            ]
        });
        let click = |axis: usize| {
            clicked
                .iter()
                .map(|[u, d]| square(half(*u, *d, axis)))
                .sum::<f64>()
        };
        let plane = |axis: usize| {
            let each = self.moved.iter();
            each.map(|[u, d]| square(half(apply(u, at), apply(d, at), axis)))
                .sum::<f64>()
        };
        Place {
            at_m: self.at_m(x_px, y_px),
            click_error_m: [click(0).sqrt(), click(1).sqrt()],
            plane_error_m: [plane(0).sqrt(), plane(1).sqrt()],
        }
    }

    /// The plane with each of its errors taken up and down once.
    pub(super) fn errors(&self) -> Vec<[Self; 2]> {
        let with = |h: &Matrix3<f64>| Self {
            to_metres: *h,
            moved: Vec::new(),
            ..*self
        };
        self.moved
            .iter()
            .map(|[up, down]| [with(up), with(down)])
            .collect()
    }
}
