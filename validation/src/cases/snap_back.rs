//! Snap-back and harm to lines in the literature: speeds, orders, thresholds.

use crate::check::{Tolerance, check, checks};
use steadypull_engine::gear::age::old_nylon;
use steadypull_engine::line::rope_data::{
    HMPE, LASTING_HARM_SHARE, NYLON, POLYESTER, RopeFit, WIRE,
};
use steadypull_engine::line::{Condition, Law, Material};
use steadypull_engine::plan::Policy;
use steadypull_engine::source::{Source, Status};
use steadypull_engine::units::{Force, Length};

const BULLETIN: Source = Source::new("UK MAIB Safety Bulletin 1/2016, as reported", Status::Read);
const ALERT: Source = Source::new("marine club safety alert SA 015", Status::Read);

checks! {
    cv_syn_01 => check("CV-SYN-01", "lasting harm starts at; our design loads, kinetic and steady, as shares of MBS", Source::new("US Navy 14160 seamanship text", Status::Read), "x MBS")
        .bands(
            [LASTING_HARM_SHARE, 1.0 / Policy::default().kinetic_design_factor, 1.0 / Policy::default().steady_design_factor],
            [(0.75, 0.75), (0.0, 0.75), (0.0, 0.75)],
            "a threshold: planned loads stay under it",
        );
    cv_syn_03 => check("CV-SYN-03", "stretch of HMPE at break; recoil of an elastic tail at HMPE's break", BULLETIN, "%; m/s")
        .bands(
            [100.0 * HMPE.strain_at_break(), tail_recoil_m_s()],
            [(1.0, 3.0), (15.0, f64::MAX)],
            "about 2 %; over 15 m in under 1 s",
        )
        .note("the seen 15 m/s is a mean speed over 15 m, a lower bound for the launch");
    cv_syn_03_order => check("CV-SYN-03", "HMPE against a tail", BULLETIN, "-")
        .statements([
            ("an elastic tail holds over ten times the energy of HMPE, length for length, at one load", energy_ratio_tail() > 10.0),
            ("the tail recoils faster than HMPE alone at that load", tail_recoil_m_s() > HMPE.recoil_speed(Length::from_mm(24.0)).get()),
        ])
        .note("a lossless HMPE line would still recoil at c e = 146 m/s at its strength; that its end stayed is not shown by this rule");
    cv_syn_04 => check("CV-SYN-04", "strength a used part may be left with: 95/95 bounds of old nylon, normal and lognormal", Source::new("UK MAIB report 13/2017, as reported", Status::Read), "x MBS")
        .bands(
            [old_nylon().bound_normal, old_nylon().bound_lognormal],
            [(0.0, 0.25), (0.0, 0.25)],
            "an HMPE line parted below a quarter of its MBS: our bound must reach that low",
        )
        .note("a line's wear setting stops at 0.34 (mean of old nylon); lower shares must be given as the part's own strength");
    cv_snap_01 => check("CV-SNAP-01", "recoil c e of nylon, polyester, HMPE (24 mm) over the quoted 800 km/h", ALERT, "-")
        .bands(
            [NYLON, POLYESTER, HMPE].map(|fit| fit.recoil_speed(Length::from_mm(24.0)).to_kmh() / 800.0),
            [(0.3, 3.0); 3],
            "an upper order only, no method given: within a factor of three",
        );
    cv_snap_01_wire => check("CV-SNAP-01", "recoil c e of 11 mm wire over the quoted 500 km/h", ALERT, "-")
        .bands(
            [WIRE.recoil_speed(Length::from_mm(11.0)).to_kmh() / 500.0],
            [(0.0, 1.0)],
            "an upper bound told of, not a measurement",
        )
        .note("a linear wire from rest gives a third of the quoted speed: the quote cannot be explained by it");
    cv_snap_04 => check("CV-SNAP-04", "release ratio: energy after over energy stored, every preset", Source::new("USCG CG-D-39-82 (1982), abstract", Status::Read), "-")
        .values(
            Material::ALL.map(release_ratio),
            Material::ALL.map(|m| m.preset().energy_return.1),
            Tolerance::Rel(1e-9),
            "definition only: our energy return is that ratio",
        )
        .note("the report's tables could not be opened: no ratio of theirs is compared");
}

/// Tension of 24 mm HMPE at its strength.
fn hmpe_break_n() -> f64 {
    HMPE.strength(Length::from_mm(24.0)).get()
}

/// Diameter of nylon tail as strong as 24 mm HMPE, by halving.
fn tail_diameter() -> Length {
    let (mut low, mut high) = (0.024, 0.1);
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        if NYLON.strength(Length::new(mid)).get() < hmpe_break_n() {
            low = mid
        } else {
            high = mid
        }
    }
    Length::new(high)
}

fn tail_recoil_m_s() -> f64 {
    NYLON.recoil_speed(tail_diameter()).get()
}

/// Energy per metre of the tail over that of HMPE, both at HMPE's strength.
fn energy_ratio_tail() -> f64 {
    let stiffness = |fit: RopeFit, d| fit.stiffness(d).get();
    stiffness(HMPE, Length::from_mm(24.0)) / stiffness(NYLON, tail_diameter())
}

fn release_ratio(material: Material) -> f64 {
    let Ok(curve) = material.curve() else {
        return f64::NAN;
    };
    let law = Law::new(&curve, Force::from_tf(9.0), &Condition::default(), material);
    let strain = 0.9 * curve.strain_at_break();
    law.unloading(strain).energy(strain) / law.energy(strain)
}
