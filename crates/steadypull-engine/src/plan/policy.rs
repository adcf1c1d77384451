//! The rules an organisation works by; every one has a shown default.

use crate::units::{Energy, Length, Speed};

/// Working rules. `Default` is the tool's own set; each field says its source.
#[derive(Debug, Clone, PartialEq)]
pub struct Policy {
    /// Quantile of the resistance that a rig must stand up to (0.95: design note).
    pub design_quantile: f64,
    /// Probability of shifting that lets a method be used.
    pub shift_probability: f64,
    /// Least MBS over peak load for a line in a kinetic pull (common practice).
    pub kinetic_design_factor: f64,
    /// Least MBS over load for a line in a steady pull (common practice).
    pub steady_design_factor: f64,
    /// Greatest probability that any part lets go.
    pub parting_probability: f64,
    /// Greatest probability that any part passes its working load limit (assumed: what
    /// the design quantile of 95 % leaves).
    pub wll_probability: f64,
    /// Greatest run-up speed, whatever the sums say (common practice).
    pub max_run_up: Speed,
    /// Greatest deceleration of the people in the tug, in shares of g (assumed: about
    /// half as much again as the hardest braking on a dry road).
    pub max_occupant_g: f64,
    /// Bystander distance as a multiple of the line's rest length
    /// (1.5: Trade Practices (Motor Vehicle Recovery Straps) Regulations 2010 reg. 8).
    pub standoff_line_lengths: f64,
    /// The same for wire rope (2: US Army FM 4-30.31 ch. 4).
    pub standoff_wire_lengths: f64,
    /// Smallest standoff whatever the line.
    pub standoff_min: Length,
    /// Quantile of the computed zone.
    pub zone_quantile: f64,
    /// Energy at which a fragment counts as hazardous
    /// (79 J: US DDESB TP-12 as quoted in an engineering note).
    pub injury_energy: Energy,
    /// Strap MBS over gross mass of the lighter vehicle, least
    /// (2: Consumer Goods (Motor Vehicle Recovery Straps) Safety Standard 2017).
    pub strap_ratio_min: f64,
    /// Strap MBS over gross mass of the lighter vehicle, greatest (3: as above).
    pub strap_ratio_max: f64,
}

impl Default for Policy {
    fn default() -> Self {
        Self {
            design_quantile: 0.95,
            shift_probability: 0.8,
            kinetic_design_factor: 2.0,
            steady_design_factor: 3.0,
            parting_probability: 1e-3,
            wll_probability: 0.05,
            max_run_up: Speed::from_kmh(18.0),
            max_occupant_g: 1.5,
            standoff_line_lengths: 1.5,
            standoff_wire_lengths: 2.0,
            standoff_min: Length::new(10.0),
            zone_quantile: 0.95,
            injury_energy: Energy::new(79.0),
            strap_ratio_min: 2.0,
            strap_ratio_max: 3.0,
        }
    }
}
