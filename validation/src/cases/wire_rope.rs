//! Wire rope.

use crate::check::{Tolerance, check, checks};
use crate::reference;
use steadypull_engine::gear::termination::{self, Termination};
use steadypull_engine::gear::wire_rope::*;
use steadypull_engine::units::{Force, Length};

const TABLE: &str = "table as printed";

checks! {
    cv_wire_02 => check("CV-WIRE-02", "field rule: 14 mm (kg), 0.5 in (short tons), share left sharply bent", FIELD_SOURCE, "kg; ton; -")
        .values(
            [
                field_wll_metric(Length::from_mm(14.0)).to_kgf(),
                field_wll_inches(Length::from_inch(0.5)).to_lbf() / 2000.0,
                SHARP_BEND,
            ],
            [1568.0, 2.0, 0.7],
            Tolerance::Rel(1e-12),
            "the rule itself",
        );
    cv_wire_04 => {
        let table = reference::bend_dd();
        let rope = Length::from_mm(10.0);
        let got: Vec<f64> = table
            .numbers("D_over_d")
            .iter()
            .map(|&ratio| 100.0 * bend_efficiency(rope * ratio, rope).unwrap_or(f64::NAN))
            .collect();
        check("CV-WIRE-04", "bending efficiency, D/d 40 to 1", BEND_SOURCE, "%")
            .values(got, table.numbers("efficiency_percent"), Tolerance::Rel(1e-12), TABLE)
    };
    cv_wire_05 => check("CV-WIRE-05", "elastic stretch: 20 kN, 30 m, 10 mm", STRETCH_SOURCE, "m")
        .values(
            [elastic_stretch(Force::from_kn(20.0), Length::new(30.0), metal_area(Length::from_mm(10.0)), MODULUS[1]).get()],
            [0.150],
            Tolerance::Rel(1e-12),
            "closed form; area factor and E are from memory",
        );
    cv_wire_05_band => check("CV-WIRE-05", "modulus: low, taken, high", STRETCH_SOURCE, "GPa")
        .values(MODULUS.map(|e| e.get() / 1e9), [60.0, 100.0, 110.0], Tolerance::Rel(1e-12), "band as stated");
    cv_clip_01 => clip_column("clips, drop forged, rope 1/2 to 1 1/2 in", "-", "clips_drop_forged", |c| f64::from(c.forged));
    cv_clip_01_other => clip_column("clips, other makes", "-", "clips_other", |c| f64::from(c.other));
    cv_clip_01_spacing => clip_column("spacing of clips", "in", "spacing_in", |c| c.spacing.to_inch());
    cv_clip_01_rule => {
        let ropes = reference::wire_clips().numbers("rope_in");
        let six_diameters: Vec<f64> = ropes.iter().map(|d| 6.0 * d).collect();
        let got: Vec<f64> = ropes
            .iter()
            .map(|&d| clips(Length::from_inch(d)).map_or(f64::NAN, |c| c.spacing.to_inch()))
            .collect();
        check("CV-CLIP-01", "spacing is six diameters", CLIP_SOURCE, "in")
            .values(got, six_diameters, Tolerance::Rel(1e-12), "the rule itself")
    };
    cv_clip_02 => check("CV-CLIP-02", "clips; hand splice (low, high); swaged (low, high); spelter", termination::SOURCE, "%")
        .values(
            {
                let clips = Termination::Clips.efficiency();
                let splice = Termination::HandSplice.efficiency_band();
                let swaged = Termination::SwagedSocket.efficiency_band();
                let spelter = Termination::SpelterSocket.efficiency();
                [clips, splice.0, splice.1, swaged.0, swaged.1, spelter].map(|share| 100.0 * share)
            },
            [80.0, 70.0, 90.0, 95.0, 100.0, 100.0],
            Tolerance::Rel(1e-12),
            "figures as stated; a made end is within 5 points of them",
        )
        .note("the splice was read in FM 55-501 par. 12-100, the others are from memory");
}

fn clip_column(
    what: &'static str,
    unit: &'static str,
    column: &str,
    of: fn(Clips) -> f64,
) -> crate::check::Check {
    let table = reference::wire_clips();
    let got: Vec<f64> = table
        .numbers("rope_in")
        .iter()
        .map(|&rope| clips(Length::from_inch(rope)).map_or(f64::NAN, of))
        .collect();
    check("CV-CLIP-01", what, CLIP_SOURCE, unit).values(
        got,
        table.numbers(column),
        Tolerance::Rel(1e-12),
        TABLE,
    )
}
