//! How much line the drum holds, on which layer it pulls, what the layer leaves.
//!
//! Layer `n` lies at the pitch diameter `D_n = D + (2n − 1) d`, `D` the bare drum
//! and `d` the line. A layer has `N = floor(K w / d)` wraps, `w` the width between
//! flanges and `K` the packing (drum capacity factor of SAE J706-2017, 0.7 to 0.9,
//! CV-J706-01): line winds loosely and crosses over. `n` layers hold
//! `pi N (n D + n^2 d)`. At constant torque the pull falls as `D_1/D_n`, which is
//! the layer rule `P_n = P_1/(1 + (n − 1) q)`, `q = 2 d/D_1` (CV-DRUM-01, -02).
//!
//! Assumes round line that does not flatten and does not bury between the wraps
//! below it; soft fibre line does both under load, so a layer holds more than
//! said and the next one starts later.

use core::f64::consts::PI;

use crate::line::Material;
use crate::plan::{Line, Winch};
use crate::source::{Source, Status};
use crate::units::{Force, Length};

/// Share of a full layer that is wound, where the plan says nothing: the middle
/// of the band of SAE J706.
pub const PACKING: f64 = 0.8;
/// Where the packing comes from.
pub const PACKING_SOURCE: Source = Source::new(
    "SAE J706-2017 drum capacity factor 0.7 to 0.9 (third-party summary)",
    Status::Read,
);
/// Where the least wraps come from.
pub const LEAST_WRAPS_SOURCE: Source = Source::new("common practice", Status::CommonPractice);
/// Most layers counted on any drum.
const MOST_LAYERS: u32 = 400;

/// Wraps that stay on the drum: friction, not the clamp, holds the line.
pub fn least_wraps(material: Material) -> u8 {
    if material.is_metal() { 5 } else { 10 }
}

/// A drum with the line that is wound on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drum {
    bare_m: f64,
    line_m: f64,
    wraps: u32,
    flange_m: Option<f64>,
}

impl Drum {
    /// A drum `bare` across, `width` between flanges, wound with round line.
    pub fn new(bare: Length, width: Length, line: Length, packing: f64) -> Self {
        let fit = packing * width.get() / line.get();
        Self {
            bare_m: bare.get(),
            line_m: line.get(),
            // A hair over a whole number of wraps is that number.
            wraps: ((fit + 1e-9) as u32).max(1),
            flange_m: None,
        }
    }

    /// The drum of `winch` with its line.
    pub fn of(winch: &Winch, line: &Line) -> Self {
        let diameter = winch.diameter_of(line);
        let drum = Self::new(
            winch.drum_diameter,
            winch.drum_width,
            diameter,
            winch.packing,
        );
        Self {
            flange_m: winch.flange_diameter.map(|d| d.get()),
            ..drum
        }
    }

    /// Wraps on a full layer.
    pub fn wraps_per_layer(&self) -> u32 {
        self.wraps
    }

    /// Pitch diameter of layer `n`, from 1.
    pub fn pitch_diameter(&self, n: u32) -> Length {
        Length::new(self.bare_m + (2.0 * f64::from(n) - 1.0) * self.line_m)
    }

    /// Pitch diameter of layer `n` over that of the first.
    pub fn layer_factor(&self, n: u32) -> f64 {
        self.pitch_diameter(n) / self.pitch_diameter(1)
    }

    /// Line held by the first `n` layers.
    pub fn length_in(&self, n: u32) -> Length {
        let n = f64::from(n);
        Length::new(PI * f64::from(self.wraps) * (n * self.bare_m + n * n * self.line_m))
    }

    /// Line held by layer `n` alone.
    pub fn length_on(&self, n: u32) -> Length {
        self.length_in(n) - self.length_in(n.saturating_sub(1))
    }

    /// Outermost layer of `wound` line at rest.
    pub fn outermost(&self, wound: Length) -> u32 {
        self.first_layer(|n| self.length_in(n).get() >= wound.get() - 1e-9)
    }

    /// Layer on which the next bit of line is wound on `wound`.
    pub fn winding(&self, wound: Length) -> u32 {
        self.first_layer(|n| self.length_in(n).get() > wound.get() + 1e-9)
    }

    fn first_layer(&self, holds: impl Fn(u32) -> bool) -> u32 {
        (1..MOST_LAYERS).find(|n| holds(*n)).unwrap_or(MOST_LAYERS)
    }

    /// Wraps in `wound` line.
    pub fn wraps_in(&self, wound: Length) -> f64 {
        let layer = self.outermost(wound);
        let below = layer.saturating_sub(1);
        let rest = wound - self.length_in(below);
        f64::from(below * self.wraps)
            + rest.get().max(0.0) / (PI * self.pitch_diameter(layer).get())
    }

    /// Length of the innermost `wraps`.
    pub fn length_of_wraps(&self, wraps: u32) -> Length {
        let below = wraps / self.wraps;
        let rest = f64::from(wraps % self.wraps);
        self.length_in(below) + self.pitch_diameter(below + 1) * (PI * rest)
    }

    /// Whole layers between drum and flange edge, if the flange is known.
    pub fn layers_within_flange(&self) -> Option<u32> {
        let room = (self.flange_m? - self.bare_m) / (2.0 * self.line_m);
        Some((room + 1e-9).max(0.0) as u32)
    }

    /// Line the drum holds, if the flange is known.
    pub fn capacity(&self) -> Option<Length> {
        Some(self.length_in(self.layers_within_flange()?))
    }

    /// Line left on the drum in the middle of layer `layer`, never less than
    /// `least_wraps` nor more than `line`: what is taken where a plan says the
    /// layer in use but not what is paid out.
    pub fn wound_in_middle_of(&self, layer: u32, least_wraps: u32, line: Length) -> Length {
        let middle = (self.length_in(layer.saturating_sub(1)) + self.length_in(layer)) / 2.0;
        middle.max(self.length_of_wraps(least_wraps)).min(line)
    }
}

/// Pull of `winch` on the layer in use with a line of diameter `line`.
pub fn winch_pull(winch: &Winch, line: Length) -> Force {
    let drum = Drum::new(winch.drum_diameter, winch.drum_width, line, winch.packing);
    winch.rated_pull / drum.layer_factor(u32::from(winch.layer.max(1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drum() -> Drum {
        let mm = Length::from_mm;
        Drum::new(mm(64.0), mm(230.0), mm(10.0), 0.8)
    }

    #[test]
    fn closed_form_layers_add_up() {
        let drum = drum();
        assert_eq!(drum.wraps_per_layer(), 18);
        let by_hand: f64 = (1..=4)
            .map(|n| 18.0 * PI * (0.064 + (2.0 * f64::from(n) - 1.0) * 0.01))
            .sum();
        assert!((drum.length_in(4).get() - by_hand).abs() < 1e-12);
        assert!(
            (drum.length_on(4) + drum.length_in(3) - drum.length_in(4))
                .get()
                .abs()
                < 1e-12
        );
    }

    #[test]
    fn a_full_layer_is_the_outermost_and_the_next_one_winds() {
        let drum = drum();
        assert_eq!(drum.outermost(drum.length_in(3)), 3);
        assert_eq!(drum.winding(drum.length_in(3)), 4);
        assert_eq!(drum.winding(Length::ZERO), 1);
        assert!((drum.wraps_in(drum.length_in(3)) - 54.0).abs() < 1e-9);
        assert!((drum.wraps_in(drum.length_of_wraps(25)) - 25.0).abs() < 1e-9);
    }

    #[test]
    fn the_flange_sets_what_the_drum_holds() {
        let drum = Drum {
            flange_m: Some(0.130),
            ..drum()
        };
        assert_eq!(drum.layers_within_flange(), Some(3));
        assert_eq!(drum.capacity(), Some(drum.length_in(3)));
    }

    #[test]
    fn the_layer_rule_is_what_the_geometry_gives() {
        let drum = drum();
        let q = 2.0 * 0.010 / 0.074;
        for n in 1..=8 {
            let rule = 1.0 / (1.0 + f64::from(n - 1) * q);
            assert!((1.0 / drum.layer_factor(n) - rule).abs() < 1e-15);
        }
    }
}
