//! Snap-back and harm to lines in the literature: speeds, orders, thresholds.

use crate::check::{Tolerance, check, checks};
use crate::published::{HMPE_STRETCH_PERCENT, REACH_LENGTHS, SYNTHETIC_M_S, TAIL_M, WIRE_M_S};
use crate::rope_recoil::{TRIAL_END_M, as_strong_as_hmpe, at_strength, trial};
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
            [HMPE_STRETCH_PERCENT.band(), TAIL_M.band()],
            "about 2 %; over 15 m in under 1 s",
        )
        .note("the seen 15 m/s is a mean speed over 15 m, a lower bound for the launch");
    cv_syn_03_order => check("CV-SYN-03", "HMPE against a tail", BULLETIN, "-")
        .statements([
            ("an elastic tail holds over ten times the energy of HMPE, length for length, at one load", energy_ratio_tail() > 10.0),
            ("the tail recoils faster than HMPE alone at that load", tail_recoil_m_s() > HMPE.recoil_speed(Length::from_mm(24.0)).get()),
        ])
        .note("a lossless HMPE line would still recoil at c e = 146 m/s at its strength");
    cv_syn_03_trial => check("CV-SYN-03", "HMPE with 22 m of elastic tail parts at a quarter, half, all of its strength: m flown by the tail's end in 1 s, its mean speed over 15 m", BULLETIN, "m; m/s")
        .bands(
            [0.25, 0.5, 1.0].map(|share| trial(share, true, 1.0)).iter().flat_map(|end| [end.flown_m, end.over_15_m_m_s]).collect::<Vec<_>>(),
            [TAIL_M.band(); 6],
            "over 15 m in under 1 s",
        )
        .note("the load of the trial is not told: a used rope, so from a quarter of its strength up; 44 mm, 10 m of HMPE each side of the break and a tail of nylon as strong are assumed");
    cv_syn_03_bare => check("CV-SYN-03", "energy of the end without a tail over that of the end with it, 10 m of HMPE each, at a quarter, half, all of its strength", BULLETIN, "-")
        .bands(
            [0.25, 0.5, 1.0].map(|share| trial(share, false, 1e-3).stored_j / trial(share, true, 1e-3).stored_j),
            [(0.0, 0.1); 3],
            "an order less: one end was dangerous, the other stayed",
        );
    cv_syn_03_outside => check("CV-SYN-03", "where the model lies outside: the end without a tail", BULLETIN, "-")
        .statements({
            let [tailed, bare] = [true, false].map(|with_tail| trial(0.5, with_tail, 1.0).flown_m);
            [
                ("the end with a tail flies over twice as far", tailed > 2.0 * bare),
                ("the model throws the end without a tail past its holder: more than was seen, so on the safe side", bare > TRIAL_END_M),
            ]
        })
        .note("that end stayed in the trial. The model lets a line go at once and whole, so all it holds comes back, at 74 m/s at half strength; to stay it would have to lose all but a few ten-thousandths as its strands fail one after another, and no source read gives that loss");
    cv_syn_04 => check("CV-SYN-04", "strength a used part may be left with: 95/95 bounds of old nylon, normal and lognormal", Source::new("UK MAIB report 13/2017, as reported", Status::Read), "x MBS")
        .bands(
            [old_nylon().bound_normal, old_nylon().bound_lognormal],
            [(0.0, 0.25), (0.0, 0.25)],
            "an HMPE line parted below a quarter of its MBS: our bound must reach that low",
        )
        .note("a line's wear setting stops at 0.34 (mean of old nylon); lower shares must be given as the part's own strength");
    cv_snap_01 => check("CV-SNAP-01", "recoil c e of nylon, polyester, HMPE (24 mm) over the quoted 800 km/h", ALERT, "-")
        .bands(
            [NYLON, POLYESTER, HMPE].map(|fit| fit.recoil_speed(Length::from_mm(24.0)).get() / SYNTHETIC_M_S.figure),
            [SYNTHETIC_M_S.allowed; 3],
            "an upper order only, no method given: within a factor of three",
        );
    cv_snap_01_wire => check("CV-SNAP-01", "recoil c e of 11 mm wire over the quoted 500 km/h", ALERT, "-")
        .bands(
            [WIRE.recoil_speed(Length::from_mm(11.0)).get() / WIRE_M_S.figure],
            [WIRE_M_S.allowed],
            "an upper bound told of, not a measurement",
        )
        .note("a linear wire from rest gives a third of the quoted speed: the quote cannot be explained by it");
    cv_snap_01_chain => check("CV-SNAP-01", "the same in the chain, 20 m bare at strength: nylon, polyester, HMPE over 800 km/h; 11 mm wire over 500 km/h", ALERT, "-")
        .bands(
            [
                at(NYLON, 24.0).0 / SYNTHETIC_M_S.figure,
                at(POLYESTER, 24.0).0 / SYNTHETIC_M_S.figure,
                at(HMPE, 24.0).0 / SYNTHETIC_M_S.figure,
                at(WIRE, 11.0).0 / WIRE_M_S.figure,
            ],
            [SYNTHETIC_M_S.allowed, SYNTHETIC_M_S.allowed, SYNTHETIC_M_S.allowed, WIRE_M_S.allowed],
            "an upper order only, no method given: a factor of three; the wire's an upper bound",
        );
    cv_snap_01_reach => check("CV-SNAP-01", "how far past its holder the end of 20 m flies: nylon, polyester, HMPE, wire", ALERT, "x length")
        .bands(
            [at(NYLON, 24.0).1, at(POLYESTER, 24.0).1, at(HMPE, 24.0).1, at(WIRE, 11.0).1],
            [REACH_LENGTHS.band(); 4],
            "about as far as the remaining length: an order",
        )
        .note("bare ends from 1 m up. 50 m of wire drops to the ground before it reaches its holder");
    cv_snap_04 => check("CV-SNAP-04", "release ratio: energy after over energy stored, every preset", Source::new("USCG CG-D-39-82 (1982), abstract", Status::Read), "-")
        .values(
            Material::ALL.map(release_ratio),
            Material::ALL.map(|m| m.preset().energy_return.1),
            Tolerance::Rel(1e-9),
            "definition only: our energy return is that ratio",
        )
        .note("the report's tables could not be opened: no ratio of theirs is compared");
}

/// Speed and reach of 20 m of rope of that many millimetres.
fn at(fit: RopeFit, millimetres: f64) -> (f64, f64) {
    at_strength(fit, Length::from_mm(millimetres))
}

fn tail_diameter() -> Length {
    as_strong_as_hmpe(Length::from_mm(24.0))
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
