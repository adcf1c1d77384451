//! One draw of what a plan does not settle about a let-go.
//!
//! Direction (5° each way, assumed), tension and mass (10 % of the logarithm,
//! assumed), the share of its energy that the line gives back (even over its range),
//! wind and bumps ([`SiteDraw`]) and the place of a break inside a line (as likely
//! anywhere along it). The tension never passes the strength of the weakest line.

use super::side_setup::{SHORTEST_M, return_range};
use super::sides::Cut;
use super::{Setup, SiteDraw};
use crate::chance::Column;
use crate::line::Law;
use crate::rig::{LoadPath, Side};
use crate::units::{Angle, Force};

/// Spread of the launch direction, 1-sigma, up and to the side (assumed).
pub(crate) const DIRECTION_SPREAD_DEG: f64 = 5.0;
/// Spread of mass and tension at parting, 1-sigma of the logarithm (assumed).
pub(crate) const LOAD_SPREAD: f64 = 0.1;

/// Inputs of a draw, one column each.
pub(super) const INPUTS: usize = 10;

/// One draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Draw {
    /// Launch direction above the line of pull, never below it.
    pub elevation: Angle,
    /// Launch direction to the left of it.
    pub azimuth: Angle,
    /// Tension over that of the case.
    pub load: f64,
    /// Place in the range of the energy return, 0 to 1.
    pub back: f64,
    /// Mass of the hardware over that of the case.
    pub mass: f64,
    /// Wind and bumps.
    pub site: SiteDraw,
    /// Where along its line a break inside it is, 0 at the casualty's end to 1.
    pub along: f64,
}

impl Draw {
    /// Draw `i` of the columns: up, left, load, energy return, mass, gust, turn of the
    /// wind, bumps along and across, place inside a line.
    pub fn of(columns: &[Column; INPUTS], i: usize) -> Self {
        Self {
            elevation: Angle::from_deg((DIRECTION_SPREAD_DEG * columns[0].normal(i)).abs()),
            azimuth: Angle::from_deg(DIRECTION_SPREAD_DEG * columns[1].normal(i)),
            load: libm::exp(LOAD_SPREAD * columns[2].normal(i)),
            back: columns[3].level(i),
            mass: libm::exp(LOAD_SPREAD * columns[4].normal(i)),
            site: SiteDraw {
                gust: columns[5].level(i),
                turn: columns[6].level(i),
                bumps: [columns[7].level(i), columns[8].level(i)],
            },
            along: columns[9].level(i),
        }
    }

    /// Puts it on `setup`, whose case lets go at `tension`.
    pub fn put_on(&self, setup: &mut Setup, lines: &DrawnLines, tension: Force) {
        setup.elevation = self.elevation;
        setup.azimuth = self.azimuth;
        let tension_n = (tension.get() * self.load).min(lines.weakest_n);
        for (part, line) in setup.lines.iter_mut().zip(&lines.lines) {
            let back = line.least_back + (line.most_back - line.least_back) * self.back;
            part.unloading = line
                .law
                .with_energy_return(back)
                .unloading(line.law.strain_at(tension_n));
        }
        setup.hardware.mass = setup.hardware.mass * self.mass;
        self.site.put_on(setup);
    }
}

/// The lines of a path with the range of their energy return.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DrawnLines {
    lines: Vec<DrawnLine>,
    weakest_n: f64,
}

#[derive(Debug, Clone, PartialEq)]
struct DrawnLine {
    law: Law,
    least_back: f64,
    most_back: f64,
}

impl DrawnLines {
    /// Those on the side of the break that flies, in the order of its setup: from
    /// the far vehicle to the free end.
    pub fn of(path: &LoadPath, cut: &Cut) -> Self {
        let laws = path.line_laws();
        let weakest_n = laws
            .iter()
            .map(|(law, _)| law.breaking_n())
            .fold(f64::MAX, f64::min);
        let mut lines: Vec<DrawnLine> = laws
            .into_iter()
            .zip(&path.lines)
            .enumerate()
            .filter(|(k, ((_, length), _))| cut.share_of(*k) * length.get() >= SHORTEST_M)
            .map(|(_, ((law, _), line))| {
                let (least_back, most_back) = return_range(line);
                DrawnLine {
                    law,
                    least_back,
                    most_back,
                }
            })
            .collect();
        if cut.flies_to == Side::Tug {
            lines.reverse();
        }
        Self { lines, weakest_n }
    }

    /// One line, for tests without a plan.
    #[cfg(test)]
    pub fn one(law: Law, (least_back, most_back): (f64, f64)) -> Self {
        Self {
            weakest_n: law.breaking_n(),
            lines: vec![DrawnLine {
                law,
                least_back,
                most_back,
            }],
        }
    }

    /// Strength of the weakest line.
    pub fn weakest(&self) -> Force {
        Force::new(self.weakest_n)
    }
}
