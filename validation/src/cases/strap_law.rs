//! The Australian rule for recovery straps.

use crate::check::{Tolerance, check, checks};
use steadypull_engine::gear::strap_rule::*;
use steadypull_engine::letgo::rule_distance::{LineInUse, rule_distance};
use steadypull_engine::line::{Condition, Material};
use steadypull_engine::units::{Force, Length, Mass};
use steadypull_engine::show::Units;

checks! {
    cv_strap_01 => check("CV-STRAP-01", "MBS for a lighter vehicle of 3000 kg GVM: least, greatest", SOURCE, "kg")
        .values(
            {
                let (least, greatest) = rating_range(Mass::new(3000.0));
                [least.to_kgf(), greatest.to_kgf()]
            },
            [6000.0, 9000.0],
            Tolerance::Rel(1e-12),
            "the rule itself",
        );
    cv_strap_01_findings => check("CV-STRAP-01", "what the tool finds", SOURCE, "-")
        .statements([
            ("5.9 t is too weak", rating_code(5900.0) == Some("strap-too-weak")),
            ("6 t is within", rating_code(6000.0).is_none()),
            ("9 t is within", rating_code(9000.0).is_none()),
            ("9.1 t is too strong", rating_code(9100.0) == Some("strap-too-strong")),
        ]);
    cv_strap_03 => check("CV-STRAP-03", "missing information: findings on a bare label, bare packaging, and full ones", SOURCE, "findings")
        .values(
            [
                label_findings("strap", &Label::default()).len() as f64,
                packaging_findings("strap", &Packaging::default()).len() as f64,
                label_findings("strap", &FULL_LABEL).len() as f64 + 1.0,
                packaging_findings("strap", &FULL_PACKAGING).len() as f64 + 1.0,
            ],
            [6.0, 4.0, 1.0, 1.0],
            Tolerance::Exact,
            "one for each thing the rule asks for; full ones counted from 1",
        );
    cv_strap_03_each => check("CV-STRAP-03", "each missing thing is named by itself", SOURCE, "-")
        .statements([
            ("warning", only(Label { warning: false, ..FULL_LABEL }, "label-warning")),
            ("supplier", only(Label { supplier: false, ..FULL_LABEL }, "label-supplier")),
            ("batch", only(Label { batch: false, ..FULL_LABEL }, "label-batch")),
            ("MBS", only(Label { mbs: false, ..FULL_LABEL }, "label-mbs")),
            ("2-3 x GVM", only(Label { ratio_advice: false, ..FULL_LABEL }, "label-ratio")),
            ("lighter vehicle", only(Label { lighter_vehicle: false, ..FULL_LABEL }, "label-lighter")),
        ]);
    cv_strap_05 => check("CV-STRAP-05", "scope", SOURCE, "-")
        .statements([
            ("recovery strap in scope", in_scope(GearKind::RecoveryStrap)),
            ("lifting sling out", !in_scope(GearKind::LiftingSling)),
            ("tie-down out", !in_scope(GearKind::TieDown)),
            ("wire cable out", !in_scope(GearKind::WireCable)),
            ("chain out", !in_scope(GearKind::Chain)),
            ("rope out", !in_scope(GearKind::Rope)),
            ("ordinary tow strap out", !in_scope(GearKind::TowStrap)),
        ]);
    cv_strap_06 => check("CV-STRAP-06", "bystanders for a 9 m strap: the rule, and the tool's rule distance", REGULATION_SOURCE, "m")
        .values(
            [
                bystander_distance(Length::new(9.0)).get(),
                rule_distance(&[LineInUse { length: Length::new(9.0), metal: false }]).get(),
            ],
            [13.5, 13.5],
            Tolerance::Exact,
            "the rule itself",
        );
    cv_strap_07 => check("CV-STRAP-07", "instructions and the wet strap", REGULATION_SOURCE, "-")
        .statements([
            ("wet strap is weaker", wet().strength_factor(Material::NylonWebbing) < 1.0),
            ("wet strap stretches less", wet().stretch_factor(Material::NylonWebbing) < 1.0),
            ("wet strap is told of", says("strap-wet", "weaker and stretches less")),
            ("damper, heavy bag or blanket", says("strap-damper", "a damper, a heavy bag or a blanket")),
            ("no tow ball or tie-down point", says("strap-points", "tow ball or tie-down")),
            ("rated recovery points only", says("strap-points", "rated recovery points only")),
            ("never in the path", says("strap-bystanders", "out of the path")),
        ]);
    cv_strap_11 => check("CV-STRAP-11", "made; in force; transition; sole standard from (year, month)", SOURCE, "-")
        .values(
            {
                let made = [f64::from(MADE.0), f64::from(MADE.1), f64::from(MADE.2)];
                let force = [f64::from(IN_FORCE.0), f64::from(IN_FORCE.1), f64::from(IN_FORCE.2)];
                let sole = sole_standard_from();
                [&made[..], &force, &[f64::from(TRANSITION_MONTHS), f64::from(sole.0), f64::from(sole.1)]].concat()
            },
            [2017.0, 11.0, 30.0, 2017.0, 12.0, 1.0, 24.0, 2019.0, 12.0],
            Tolerance::Exact,
            "dates of the instrument",
        )
        .note("the explanatory statement says December 2019, other texts 1 January 2020");
}

const FULL_LABEL: Label = Label {
    warning: true,
    supplier: true,
    batch: true,
    mbs: true,
    ratio_advice: true,
    lighter_vehicle: true,
};
const FULL_PACKAGING: Packaging = Packaging {
    brand: true,
    contact: true,
    mbs: true,
    ratio_advice: true,
};

fn rating_code(mbs_kg: f64) -> Option<&'static str> {
    rating_findings(
        "strap",
        Force::from_kgf(mbs_kg),
        Mass::new(3000.0),
        Units::Metric,
    )
        .first()
        .map(|f| f.code)
}

fn only(label: Label, code: &str) -> bool {
    let found = label_findings("strap", &label);
    found.len() == 1 && found[0].code == code
}

fn wet() -> Condition {
    Condition {
        wet: true,
        ..Condition::default()
    }
}

fn says(code: &str, words: &str) -> bool {
    instructions("strap").iter().any(|finding| {
        finding.code == code && (finding.message.contains(words) || finding.remedy.contains(words))
    })
}
