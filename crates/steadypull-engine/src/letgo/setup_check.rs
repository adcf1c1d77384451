//! Whether a setup can be run: every number in its range, NaN in none.

use super::setup::{
    Ground, HeldEnd, LetGoError, LinePart, MAX_SEGMENTS, Setup, StepChoice, TetherToLine,
};
use crate::units::{Area, Mass};

const MAX_BODIES: usize = 16;

impl Setup {
    /// Says what is wrong with it, if anything.
    pub fn check(&self) -> Result<(), LetGoError> {
        if self.lines.is_empty() {
            return Err(LetGoError::NoLine);
        }
        let most = MAX_SEGMENTS as f64;
        within(
            "segments",
            self.segments as f64,
            self.lines.len() as f64,
            most,
            "between the number of lines and 2000",
        )?;
        within(
            "lines in the path",
            self.lines.len() as f64,
            1.0,
            32.0,
            "at most 32",
        )?;
        within(
            "dampers",
            self.dampers.len() as f64,
            0.0,
            MAX_BODIES as f64,
            "at most 16",
        )?;
        within(
            "tethers",
            self.tethers.len() as f64,
            0.0,
            MAX_BODIES as f64,
            "at most 16",
        )?;
        for (i, line) in self.lines.iter().enumerate() {
            check_line(line)?;
            let first_n = self.lines[0].unloading.tension_max_n;
            let tension_n = line.unloading.tension_max_n;
            if (tension_n - first_n).abs() > 1e-3 * first_n {
                return Err(LetGoError::UnequalTension {
                    line: i + 1,
                    tension_n,
                    first_n,
                });
            }
        }
        self.check_bodies()?;
        self.check_place()
    }

    fn check_bodies(&self) -> Result<(), LetGoError> {
        mass("hardware mass (kg)", self.hardware.mass)?;
        area("hardware drag area (m2)", self.hardware.drag_area)?;
        let rest = self.rest_length().get();
        for damper in &self.dampers {
            within(
                "damper mass (kg)",
                damper.mass.get(),
                1e-3,
                1e3,
                "between 0.001 and 1000",
            )?;
            area("damper drag area (m2)", damper.drag_area)?;
            within(
                "damper grip (N)",
                damper.slips_at.get(),
                0.0,
                1e7,
                "between 0 and 10 MN",
            )?;
            within(
                "damper place (m from the free end)",
                damper.from_free_end.get(),
                0.0,
                rest,
                "on the line",
            )?;
            within(
                "damper contact radius (m)",
                damper.contact_radius.get(),
                0.0,
                1.0,
                "between 0 and 1",
            )?;
        }
        for tether in &self.tethers {
            within(
                "tether place (m from the free end)",
                tether.from_free_end.get(),
                0.0,
                rest,
                "on the line",
            )?;
            within(
                "tether length (m)",
                tether.length.get(),
                0.05,
                100.0,
                "between 0.05 and 100",
            )?;
            within(
                "tether strength (N)",
                tether.mbs.get(),
                1.0,
                1e7,
                "between 1 N and 10 MN",
            )?;
            within(
                "tether strain at break",
                tether.strain_at_break,
                0.005,
                1.0,
                "between 0.5 % and 100 %",
            )?;
            mass("tether mass (kg)", tether.mass)?;
            check_tether_curve(tether)?;
        }
        if let HeldEnd::Vehicle { mass, speed } = self.held {
            within(
                "far vehicle mass (kg)",
                mass.get(),
                10.0,
                1e6,
                "between 10 and 1 000 000",
            )?;
            within(
                "far vehicle speed (m/s)",
                speed.get(),
                -50.0,
                50.0,
                "between -50 and 50",
            )?;
        }
        Ok(())
    }

    fn check_place(&self) -> Result<(), LetGoError> {
        within(
            "parted vehicle speed (m/s)",
            self.parted_speed.get(),
            -50.0,
            50.0,
            "between -50 and 50",
        )?;
        within(
            "break offset (m)",
            self.break_offset.get(),
            -1e3,
            1e3,
            "between -1000 and 1000",
        )?;
        within(
            "height of the break (m)",
            self.free_height.get(),
            0.0,
            100.0,
            "between 0 and 100",
        )?;
        within(
            "height of the far recovery point (m)",
            self.held_height.get(),
            0.0,
            100.0,
            "between 0 and 100",
        )?;
        let rise = (self.held_height - self.free_height).abs().get();
        within(
            "difference of heights (m)",
            rise,
            0.0,
            0.9 * self.taut_length().get(),
            "less than nine tenths of the line's length",
        )?;
        within(
            "gravity (m/s2)",
            self.gravity_m_s2,
            0.0,
            100.0,
            "between 0 and 100",
        )?;
        within(
            "air density (kg/m3)",
            self.air_kg_m3,
            0.0,
            10.0,
            "between 0 and 10",
        )?;
        let steepest = core::f64::consts::FRAC_PI_2;
        within(
            "launch elevation (rad)",
            self.elevation.get(),
            -steepest,
            steepest,
            "between -90 and 90 degrees",
        )?;
        within(
            "launch azimuth (rad)",
            self.azimuth.get(),
            -steepest,
            steepest,
            "between -90 and 90 degrees",
        )?;
        within("viscosity", self.viscosity, 0.0, 8.0, "between 0 and 8")?;
        within(
            "dashpot (N s)",
            self.dashpot_n_s,
            0.0,
            1e6,
            "between 0 and 1 000 000",
        )?;
        within(
            "longest time (s)",
            self.max_time.get(),
            0.0,
            60.0,
            "between 0 and 60",
        )?;
        for wind in self.wind_m_s {
            within("wind (m/s)", wind, -100.0, 100.0, "between -100 and 100")?;
        }
        if let StepChoice::Fixed(step) = self.step {
            within(
                "fixed step (s)",
                step.get(),
                1e-8,
                1e-2,
                "between 0.00000001 and 0.01",
            )?;
        }
        if let StepChoice::Share(share) = self.step {
            within(
                "share of the longest stable step",
                share,
                0.01,
                0.9,
                "between 0.01 and 0.9",
            )?;
        }
        self.ground.as_ref().map_or(Ok(()), check_ground)
    }
}

fn check_ground(ground: &Ground) -> Result<(), LetGoError> {
    within(
        "ground friction",
        ground.friction,
        0.0,
        5.0,
        "between 0 and 5",
    )?;
    for (what, slope) in [
        ("slope (rad)", ground.slope),
        ("cross slope (rad)", ground.cross_slope),
    ] {
        within(what, slope.get(), -1.0, 1.0, "less than 57 degrees")?;
    }
    let bumps = &ground.roughness;
    within(
        "spacing of bumps (m)",
        bumps.spacing.get(),
        0.05,
        1e3,
        "between 0.05 and 1000",
    )?;
    within(
        "height of bumps (m)",
        bumps.height.get(),
        0.0,
        0.25 * bumps.spacing.get(),
        "between 0 and a quarter of their spacing",
    )?;
    for phase in bumps.phase {
        within(
            "phase of bumps",
            phase,
            -1e6,
            1e6,
            "between -1 000 000 and 1 000 000",
        )?;
    }
    Ok(())
}

fn check_tether_curve(tether: &TetherToLine) -> Result<(), LetGoError> {
    within(
        "exponent of tether",
        tether.exponent,
        1.0,
        10.0,
        "between 1 and 10",
    )?;
    within(
        "energy return of tether",
        tether.energy_return,
        0.05,
        1.0,
        "between 5 % and 100 %",
    )?;
    for place in tether.anchor_m.iter().flatten() {
        within(
            "anchor of tether (m)",
            *place,
            -1e3,
            1e3,
            "between -1000 and 1000",
        )?;
    }
    Ok(())
}

fn check_line(line: &LinePart) -> Result<(), LetGoError> {
    let branch = &line.unloading;
    within(
        "line length (m)",
        line.length.get(),
        0.05,
        1e3,
        "between 0.05 and 1000",
    )?;
    within(
        "line mass per metre (kg/m)",
        line.mass_per_length.get(),
        1e-5,
        100.0,
        "between 0.00001 and 100",
    )?;
    within(
        "line diameter (m)",
        line.diameter.get(),
        0.0,
        1.0,
        "between 0 and 1",
    )?;
    mass("join mass (kg)", line.joint_mass)?;
    within(
        "tension at parting (N)",
        branch.tension_max_n,
        1.0,
        1e8,
        "between 1 N and 100 MN",
    )?;
    within(
        "strain at parting",
        branch.strain_max,
        1e-5,
        2.0,
        "between 0.001 % and 200 %",
    )?;
    within(
        "set strain",
        branch.strain_slack,
        0.0,
        branch.strain_max * (1.0 - 1e-3),
        "below the strain at parting",
    )?;
    within(
        "exponent of unloading",
        branch.exponent,
        1.0 - 1e-9,
        30.0,
        "between 1 and 30",
    )
}

fn mass(what: &'static str, mass: Mass) -> Result<(), LetGoError> {
    within(what, mass.get(), 0.0, 1e4, "between 0 and 10 000")
}

fn area(what: &'static str, area: Area) -> Result<(), LetGoError> {
    within(what, area.get(), 0.0, 10.0, "between 0 and 10")
}

/// Written so that NaN is out of range.
fn within(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
    limit: &'static str,
) -> Result<(), LetGoError> {
    if value >= low && value <= high {
        Ok(())
    } else {
        Err(LetGoError::OutOfRange { what, value, limit })
    }
}
