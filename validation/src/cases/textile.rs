//! Knots, age and design factors of rope and webbing.

use crate::check::{Check, Tolerance, check, checks};
use crate::reference;
use steadypull_engine::gear::age::{self, old_nylon, old_nylon_shares};
use steadypull_engine::gear::design_factor::{self, Standard};
use steadypull_engine::gear::knot::{Fibre, HMPE_SOURCE, NATURAL_SOURCE, strength_kept};
use steadypull_engine::line::{Condition, Knot, Material};
use steadypull_engine::source::{Source, Status};

checks! {
    cv_age_01 => check("CV-AGE-01", "old nylon, seven lines: share of new rating", age::SOURCE, "x rating")
        .values(old_nylon_shares(), reference::aged_nylon().numbers("ratio"), Tolerance::Abs(1e-3), "figures as printed");
    cv_age_01_statistics => check("CV-AGE-01", "mean, s, 95/95 lower bound normal, lognormal", Source::new("ISO 16269-6 one-sided factor, n = 7", Status::Computed), "x rating")
        .values(
            {
                let all = old_nylon();
                [all.mean, all.deviation, all.bound_normal, all.bound_lognormal]
            },
            [0.3407, 0.0896, 0.0361, 0.1417],
            Tolerance::Abs(1e-4),
            "figures as printed",
        );
    cv_age_02 => check("CV-AGE-02", "what wears nylon", Source::new("AD0631428 (US Army), abstract", Status::Read), "-")
        .statements([
            ("strength falls with wear", worn_strength(0.5) < worn_strength(0.1)),
            ("energy falls with wear", worn_energy(0.5) < worn_energy(0.1)),
            ("a line never used keeps its strength", worn_strength(0.0) == 1.0),
        ])
        .note("the model has no term for years or sun: wear alone takes strength and stretch");
    cv_knot_01 => knots("CV-KNOT-01", "knots and splices in natural fibre", NATURAL_SOURCE, Fibre::Natural, "natural fibre");
    cv_knot_01_lines => check("CV-KNOT-01", "the same as a line's condition takes it: bowline, clove hitch, reef", NATURAL_SOURCE, "%")
        .values(
            [Knot::Bowline, Knot::CloveHitch, Knot::Reef].map(|knot| 100.0 * in_line(knot, Material::PolyesterWebbing)),
            [60.0, 75.0, 45.0],
            Tolerance::Abs(10.0),
            "10 points between sources; carried over from natural fibre",
        );
    cv_knot_02 => knots("CV-KNOT-02", "knots and splice in HMPE 12-strand", HMPE_SOURCE, Fibre::Hmpe, "HMPE 12-strand");
    cv_knot_02_lines => check("CV-KNOT-02", "the same as a line's condition takes it: figure eight, bowline", HMPE_SOURCE, "%")
        .values([Knot::FigureEight, Knot::Bowline].map(|knot| 100.0 * in_line(knot, Material::Hmpe)), [33.0, 33.0], Tolerance::Abs(10.0), "10 points between sources");
    cv_df_01 => check("CV-DF-01", "design factors: EN 1492-1, ASME B30.9, EN 1677, wire rope sling", design_factor::SOURCE, "-")
        .values(
            [Standard::WebbingSlingEn, Standard::SyntheticSlingUs, Standard::Grade8FittingEn, Standard::WireRopeSling]
                .map(Standard::design_factor),
            [7.0, 5.0, 4.0, 5.0],
            Tolerance::Exact,
            "as the standards state them",
        );
}

fn knots(
    id: &'static str,
    what: &'static str,
    source: Source,
    fibre: Fibre,
    material: &str,
) -> Check {
    let table = reference::knots();
    let printed = table.numbers("strength_kept_percent");
    let rows = table
        .words("knot")
        .into_iter()
        .zip(table.words("material"))
        .zip(printed);
    let (got, expected): (Vec<f64>, Vec<f64>) = rows
        .filter(|((_, of), _)| *of == material)
        .map(|((knot, _), percent)| {
            (
                100.0 * strength_kept(knot, fibre).unwrap_or(f64::NAN),
                percent,
            )
        })
        .unzip();
    check(id, what, source, "%").values(
        got,
        expected,
        Tolerance::Rel(1e-12),
        "table as printed; sources differ by 10 points",
    )
}

fn in_line(knot: Knot, material: Material) -> f64 {
    Condition {
        knot,
        ..Condition::default()
    }
    .strength_factor(material)
}

fn worn(wear: f64) -> Condition {
    Condition {
        wear,
        ..Condition::default()
    }
}

fn worn_strength(wear: f64) -> f64 {
    worn(wear).strength_factor(Material::NylonBraid)
}

fn worn_energy(wear: f64) -> f64 {
    worn_strength(wear) * worn(wear).stretch_factor(Material::NylonBraid)
}
