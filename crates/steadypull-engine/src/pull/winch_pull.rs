//! What a winch pulls on the drum layer in use.
//!
//! Constant torque: `P_n = P_1 / (1 + (n − 1) q)`, `q = 2 d / D_1`, `D_1` the
//! pitch diameter of the first layer and `d` the line (CV-DRUM-02).

use crate::plan::Winch;
use crate::units::{Force, Length};

/// Pull on the layer in use with a line of diameter `line`.
pub fn winch_pull(winch: &Winch, line: Length) -> Force {
    let pitch = winch.drum_diameter.get() + line.get();
    let q = 2.0 * line.get() / pitch;
    winch.rated_pull / (1.0 + f64::from(winch.layer.saturating_sub(1)) * q)
}
