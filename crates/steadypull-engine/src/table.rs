//! Reading a published table between its points.

/// The value at `x` by straight line between rising `points`; the nearest end
/// outside them. NaN goes through as NaN, never as an end of the table.
pub fn read_between(points: &[(f64, f64)], x: f64) -> f64 {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return f64::NAN;
    };
    if x.is_nan() {
        return f64::NAN;
    }
    if x <= first.0 {
        return first.1;
    }
    for pair in points.windows(2) {
        let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
        if x == x1 {
            // The printed value itself, not its neighbour by rounding.
            return y1;
        }
        if x < x1 {
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
        }
    }
    last.1
}

#[cfg(test)]
mod tests {
    use super::read_between;

    #[test]
    fn points_between_and_ends() {
        let table = [(1.0, 50.0), (2.0, 65.0), (4.0, 75.0)];
        assert_eq!(read_between(&table, 2.0), 65.0);
        assert_eq!(read_between(&table, 3.0), 70.0);
        assert_eq!(read_between(&table, 0.0), 50.0);
        assert_eq!(read_between(&table, 9.0), 75.0);
        assert!(read_between(&table, f64::NAN).is_nan());
        assert!(read_between(&[], 1.0).is_nan());
    }
}
