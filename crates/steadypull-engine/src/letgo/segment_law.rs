//! The unloading branch of a line as a table fit for the inner loop.
//!
//! What it answers: tension, wave impedance and stored energy of a segment at a
//! strain. Between the slack strain `e_s` and the greatest strain `e_m` the
//! branch `T = T_m ((e − e_s)/(e_m − e_s))^p` is laid out in equal cells with
//! straight lines between; below `e_s` there is no tension, above `e_m` the last
//! cell goes straight on. The energy is the exact integral of those straight
//! lines, so an energy audit judges the law that is really simulated.
//!
//! - `T` tension, N; `e` strain; `μ` mass per metre, kg/m
//! - `Z = sqrt(μ dT/de)` wave impedance, kg/s; `c = Z/μ` wave speed, m/s
//!
//! Range: `p ≥ 1` (less would start with an endless stiffness). With 512 cells
//! the energy of the table differs from that of the power law by less than
//! `p(p + 1)/(12·512²)`, under 4 parts in a million at `p = 3`.
//! Source: design note of this project; closed form CV-UNL-01.

use crate::line::Unloading;

const CELLS: usize = 512;

/// One cell: tension at its lower end, its slope and its wave impedance.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cell {
    tension_n: f64,
    slope_n: f64,
    impedance_kg_s: f64,
}

/// What a segment pulls at a strain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pull {
    pub tension_n: f64,
    pub impedance_kg_s: f64,
}

/// The unloading branch of one line, tabulated.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SegmentLaw {
    slack_strain: f64,
    cells_per_strain: f64,
    cell_strain: f64,
    cells: Vec<Cell>,
    /// Energy at the lower end of each cell, J per metre of rest length.
    energy_j_m: Vec<f64>,
    max_strain: f64,
}

impl SegmentLaw {
    /// Tabulates `unloading` for a line of `line_kg_m`.
    pub fn new(unloading: &Unloading, line_kg_m: f64) -> Self {
        let width = unloading.strain_max - unloading.strain_slack;
        let cell_strain = width / CELLS as f64;
        let tension: Vec<f64> = (0..=CELLS)
            .map(|i| {
                let share = i as f64 / CELLS as f64;
                unloading.tension_max_n * libm::pow(share, unloading.exponent)
            })
            .collect();
        let cells: Vec<Cell> = tension
            .windows(2)
            .map(|t| {
                let slope_n = (t[1] - t[0]) / cell_strain;
                Cell {
                    tension_n: t[0],
                    slope_n,
                    impedance_kg_s: (slope_n * line_kg_m).sqrt(),
                }
            })
            .collect();
        let mut sum = 0.0;
        let mut energy_j_m = Vec::with_capacity(CELLS);
        for t in tension.windows(2) {
            energy_j_m.push(sum);
            sum += 0.5 * (t[0] + t[1]) * cell_strain;
        }
        Self {
            slack_strain: unloading.strain_slack,
            cells_per_strain: 1.0 / cell_strain,
            cell_strain,
            cells,
            energy_j_m,
            max_strain: unloading.strain_max,
        }
    }

    /// Tension and impedance at `strain`; nothing while slack.
    #[inline(always)]
    pub fn pull(&self, strain: f64) -> Pull {
        let place = (strain - self.slack_strain) * self.cells_per_strain;
        if place > 0.0 {
            let i = (place as usize).min(CELLS - 1);
            let cell = &self.cells[i];
            let along = (place - i as f64) * self.cell_strain;
            Pull {
                tension_n: cell.tension_n + cell.slope_n * along,
                impedance_kg_s: cell.impedance_kg_s,
            }
        } else {
            Pull {
                tension_n: 0.0,
                impedance_kg_s: 0.0,
            }
        }
    }

    /// Energy stored at `strain`, J per metre of rest length.
    pub fn energy_j_m(&self, strain: f64) -> f64 {
        let place = (strain - self.slack_strain) * self.cells_per_strain;
        if place > 0.0 {
            let i = (place as usize).min(CELLS - 1);
            let cell = &self.cells[i];
            let along = (place - i as f64) * self.cell_strain;
            self.energy_j_m[i] + along * (cell.tension_n + 0.5 * cell.slope_n * along)
        } else {
            0.0
        }
    }

    /// Strain at which it goes slack.
    pub fn slack_strain(&self) -> f64 {
        self.slack_strain
    }

    /// Strain at the moment of parting.
    pub fn max_strain(&self) -> f64 {
        self.max_strain
    }

    /// Steepest slope, N per unit strain.
    pub fn steepest_n(&self) -> f64 {
        self.cells[CELLS - 1].slope_n
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn branch(exponent: f64) -> Unloading {
        Unloading {
            strain_max: 0.18,
            tension_max_n: 88e3,
            strain_slack: 0.018,
            exponent,
        }
    }

    #[test]
    fn closed_form_table_follows_the_branch() {
        for p in [1.0, 1.5, 2.0, 3.0] {
            let law = SegmentLaw::new(&branch(p), 0.55);
            for strain in [0.01, 0.02, 0.07, 0.123, 0.18] {
                let exact = branch(p).tension(strain);
                assert!((law.pull(strain).tension_n - exact).abs() < 1e-5 * 88e3);
            }
            let whole = 88e3 * 0.162 / (p + 1.0);
            let error = law.energy_j_m(0.18) / whole - 1.0;
            assert!(error.abs() < 4e-6, "CV-UNL-01: {error}");
        }
    }

    #[test]
    fn energy_is_the_integral_of_the_tension_even_past_the_table() {
        let law = SegmentLaw::new(&branch(1.6), 0.55);
        let h = 1e-6;
        for strain in [0.03, 0.1, 0.179, 0.2] {
            let slope = (law.energy_j_m(strain + h) - law.energy_j_m(strain - h)) / (2.0 * h);
            let tension = law.pull(strain).tension_n;
            assert!((slope - tension).abs() < 1e-3 * tension);
        }
    }
}
