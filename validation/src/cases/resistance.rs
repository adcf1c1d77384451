//! How hard a vehicle is stuck, by the handbooks.

use crate::check::{Tolerance, check, checks};
use crate::reference;
use crate::situations::{CLASS_HEIGHTS_M, sunk, wagon};
use steadypull_engine::gear::block::{
    TACKLE_SHARE_PER_SHEAVE, TACKLE_SOURCE, fall_line, least_advantage, total_resistance,
};
use steadypull_engine::plan::Soil;
use steadypull_engine::situation::handbook::*;
use steadypull_engine::situation::{TermKind, Treatment, resistance};
use steadypull_engine::source::{Source, Status};
use steadypull_engine::units::{Angle, Duration, Force, Mass};
use steadypull_engine::show::Units;

const RULE: &str = "the rule itself";

checks! {
    cv_mire_01 => check("CV-MIRE-01", "mire resistance at hub, guard and body", MIRE_SOURCE, "lbf")
        .values(
            CLASS_HEIGHTS_M.map(|depth| 10_000.0 * mire_factor(&sunk(depth))),
            reference::mire().numbers("factor_of_weight").iter().map(|f| f * 1e4).collect::<Vec<_>>(),
            Tolerance::Exact,
            "exact at the class points",
        );
    cv_mire_04 => check("CV-MIRE-04", "reductions of the mire resistance", MIRE_SOURCE, "%")
        .values(
            [(true, false), (false, true), (true, true)]
                .map(|(back, power)| 100.0 * (mire_reduction(back, power) - 1.0)),
            [-10.0, -40.0, -50.0],
            Tolerance::Rel(1e-12),
            RULE,
        )
        .note("given there for tracked vehicles");
    cv_grade_01 => check("CV-GRADE-01", "grade rule, degrees/60: 2400 kg at 15 deg", MIRE_SOURCE, "N")
        .values(
            [grade_rule(Mass::new(2400.0).weight(), Angle::from_deg(15.0)).get()],
            [5883.99],
            Tolerance::Rel(1e-6),
            "figures as printed",
        );
    cv_grade_02 => check("CV-GRADE-02", "grade rule over W sin(a)", Source::new("trigonometry", Status::Computed), "-")
        .values(
            [5.0, 10.0, 20.0, 30.0, 45.0].map(|deg| {
                let slope = Angle::from_deg(deg);
                grade_rule(Force::new(1.0), slope).get() / slope.sin()
            }),
            [0.956143, 0.959795, 0.974601, 1.0, 1.060660],
            Tolerance::Abs(1e-6),
            "figures as printed",
        )
        .note("the rule is low by up to 4.5 % below 30 deg; the situation uses W sin(a)");
    cv_overt_01 => check("CV-OVERT-01", "righting an overturned vehicle", MIRE_SOURCE, "x W")
        .values([righting_pull(Force::new(1.0)).get()], [0.5], Tolerance::Exact, RULE)
        .note("the manual gives the vehicle +-20 %; the rule is held exactly");
    cv_ground_01 => check("CV-GROUND-01", "resistance by ground", GROUND_SOURCE, "x W")
        .values(
            Ground::ALL.map(Ground::fraction_of_weight),
            reference::ground_factor().numbers("fraction_of_weight"),
            Tolerance::Exact,
            RULE,
        );
    cv_ground_02 => check("CV-GROUND-02", "1 to 4 locked wheels; shallow mud, one locked, margin", GROUND_SOURCE, "x W")
        .values(
            [
                locked_wheel_resistance(Force::new(1.0), 1).get(),
                locked_wheel_resistance(Force::new(1.0), 2).get(),
                locked_wheel_resistance(Force::new(1.0), 3).get(),
                locked_wheel_resistance(Force::new(1.0), 4).get(),
                commonwealth_estimate(Force::new(1.0), Ground::ShallowMud, 1).get(),
            ],
            [1.0 / 3.0, 1.0 / 3.0, 2.0 / 3.0, 2.0 / 3.0, 1.25 * 2.0 / 3.0],
            Tolerance::Exact,
            RULE,
        );
    cv_suck_01 => check("CV-SUCK-01", "holding strength of mud by pull time, T/Te 0.001 to 10", SUCTION_SOURCE, "-")
        .values(
            [1e-3, 1e-2, 0.1, 1.0, 10.0]
                .map(|ratio| suction_time_factor(Duration::new(60.0 * ratio), Duration::new(60.0))),
            [2.4327, 2.0706, 1.7623, 1.5, 1.2767],
            Tolerance::Abs(1e-4),
            "figures as printed",
        )
        .note("scan: exponent sign read, denominator from context");
    cv_suck_02 => check("CV-SUCK-02", "spread of breakout force and time; high over median of our suction", Source::new("Lee, NCEL R-755 (1972), abstract", Status::Read), "-")
        .bands(
            [SUCTION_FORCE_SPREAD, SUCTION_TIME_SPREAD, suction_spread()],
            [(0.5, 0.5), (1.0, 1.0), (1.5, f64::MAX)],
            "the least spread to use: our 84 % quantile is 1.5 times the median or more",
        );
    cv_tack_01 => check("CV-TACK-01", "rigging step 4: R (1 + s n)", TACKLE_SOURCE, "x R")
        .values(
            [(0.1, 2), (0.04, 4), (0.1, 0)]
                .map(|(share, n)| total_resistance(Force::new(1.0), share, n).get()),
            [1.2, 1.16, 1.0],
            Tolerance::Exact,
            RULE,
        );
    cv_tack_02 => check("CV-TACK-02", "the same at 10 % a sheave: tackle and total of 30 000 lbf, 3 sheaves", Source::new("US Army FM 20-22 and successors (10 % a sheave)", Status::FromMemory), "lbf")
        .values(
            {
                let load = Force::from_lbf(30_000.0);
                let total = total_resistance(load, TACKLE_SHARE_PER_SHEAVE, 3);
                [(total - load).to_lbf(), total.to_lbf()]
            },
            [9000.0, 39_000.0],
            Tolerance::Rel(1e-12),
            RULE,
        );
    cv_tack_03 => check("CV-TACK-03", "rigging step 5: fall line of 39 000 lbf at advantage 3", TACKLE_SOURCE, "lbf")
        .values(
            [fall_line(Force::from_lbf(39_000.0), 3.0).map_or(f64::NAN, Force::to_lbf)],
            [13_000.0],
            Tolerance::Exact,
            RULE,
        );
    cv_tack_03_winch => check("CV-TACK-03", "advantage raised until the fall line is below the winch", TACKLE_SOURCE, "parts")
        .values(
            [20_000.0, 13_500.0, 13_000.0, 9_000.0].map(|capacity| {
                let total = Force::from_lbf(39_000.0);
                least_advantage(total, Force::from_lbf(capacity)).map_or(f64::NAN, f64::from)
            }),
            [2.0, 3.0, 4.0, 5.0],
            Tolerance::Exact,
            "a fall line equal to the capacity is not below it",
        );
}

/// High end of our suction term over its median, at one standard deviation.
fn suction_spread() -> f64 {
    let stuck = resistance(&wagon(Soil::Clay, 0.72), Treatment::default(), 1, Units::Metric);
    let suction = stuck
        .terms
        .iter()
        .find(|term| term.kind == TermKind::Suction);
    // 0.8413 is one standard deviation above the median; the last digit is
    // rounded up so that exactly 1.5 is not lost to it.
    suction.map_or(f64::NAN, |term| {
        term.size.quantile(0.841_345) / term.size.quantile(0.5)
    })
}
