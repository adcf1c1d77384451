//! Published figures of snap-back with what each source allows: the checks hold the
//! model to them, and `docs/snap_back.svg` draws them.

/// A published figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Published {
    /// The figure, in the unit of its row.
    pub figure: f64,
    /// What the source allows, as shares of it.
    pub allowed: (f64, f64),
}

impl Published {
    const fn new(figure: f64, allowed: (f64, f64)) -> Self {
        Self { figure, allowed }
    }

    /// What the source allows, in the unit of the figure.
    pub fn band(self) -> (f64, f64) {
        let most = (self.figure * self.allowed.1).min(f64::MAX);
        (self.figure * self.allowed.0, most)
    }
}

/// CV-SNAP-01: speed of a synthetic line, m/s: "up to 800 km/h", no method given, so an
/// order: a factor of three.
pub const SYNTHETIC_M_S: Published = Published::new(800.0 / 3.6, (0.3, 3.0));
/// CV-SNAP-01: speed of a wire, m/s: "up to 500 km/h", an upper bound told of.
pub const WIRE_M_S: Published = Published::new(500.0 / 3.6, (0.0, 1.0));
/// CV-SNAP-01: reach past the holder, in lengths of the line: an order.
pub const REACH_LENGTHS: Published = Published::new(1.0, (0.5, 1.5));
/// CV-SNAP-05: time of the front to the held end over `L/c`.
pub const FRONT_OVER_CROSSING: Published = Published::new(1.0, (0.98, 1.02));
/// CV-SYN-03: stretch of HMPE at break, %.
pub const HMPE_STRETCH_PERCENT: Published = Published::new(2.0, (0.5, 1.5));
/// CV-SYN-03: way of an end with an elastic tail in under a second, m, so its mean speed
/// over it, m/s: a lower bound.
pub const TAIL_M: Published = Published::new(15.0, (1.0, f64::INFINITY));
/// CV-DIST-04: way of a thrown block, m: 300 yards, an order.
pub const BLOCK_M: Published = Published::new(274.32, (150.0 / 274.32, 400.0 / 274.32));
