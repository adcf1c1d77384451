//! Shackles and towing eyes.

use crate::check::{Tolerance, check, checks};
use crate::reference;
use steadypull_engine::gear::{shackle::*, towing_eye};
use steadypull_engine::units::{Angle, Force, Length, Mass, POUND_KG};

const TABLE: &str = "table as printed";

checks! {
    cv_shk_01 => {
        let table = reference::shackle_wll();
        let got: Vec<f64> = table
            .numbers("bow_mm")
            .iter()
            .map(|&bow| wll_by_bow(Length::from_mm(bow)).map_or(f64::NAN, Force::to_tf))
            .collect();
        check("CV-SHK-01", "working load by bow size, 5 to 75 mm", SIZE_SOURCE, "t")
            .values(got, table.numbers("wll_t"), Tolerance::Rel(1e-12), TABLE)
    };
    cv_shk_01_inches => check("CV-SHK-01", "working load by inch size, 5/8 to 1 in", SIZE_SOURCE, "t")
        .values(
            [0.625, 0.75, 0.875, 1.0]
                .map(|bow| wll_by_bow(Length::from_inch(bow)).map_or(f64::NAN, Force::to_tf)),
            [3.25, 4.75, 6.5, 8.5],
            Tolerance::Rel(1e-12),
            TABLE,
        );
    cv_shk_02 => check("CV-SHK-02", "breaking over working load: ours, makers'", BREAKING_SOURCE, "-")
        .bands([BREAKING_RATIO, BREAKING_RATIO_MAKERS], [(5.0, 6.0), (5.0, 6.0)], "5 to 6 by source")
        .note("sources differ: 5 in the specification, 6 in makers' tables; 5 is used");
    cv_shk_03 => check("CV-SHK-03", "proof (EN, US) and least breaking over working load", PROOF_SOURCE, "x WLL")
        .values(
            [PROOF_RATIO_EN, PROOF_RATIO_US, least_breaking_load(Force::new(1.0)).get()],
            [2.0, 2.2, 5.0],
            Tolerance::Exact,
            TABLE,
        );
    cv_shk_05 => check("CV-SHK-05", "side load at 0, 45, 90 deg, and half way between", SIDE_LOAD_SOURCE, "x WLL")
        .values(
            [0.0, 45.0, 90.0, 22.5, 67.5].map(|deg| side_load_factor(Angle::from_deg(deg))),
            [1.0, 0.7, 0.5, 0.85, 0.6],
            Tolerance::Rel(1e-12),
            "straight line between the points, as the row allows",
        );
    cv_shk_06 => check("CV-SHK-06", "two legs in the bow, 0, 60, 120 deg between them", SIDE_LOAD_SOURCE, "x WLL")
        .values([0.0, 60.0, 120.0].map(|deg| two_leg_factor(Angle::from_deg(deg))), [1.0; 3], Tolerance::Exact, TABLE);
    cv_shk_06_wide => check("CV-SHK-06", "two legs wider than 120 deg", SIDE_LOAD_SOURCE, "-")
        .statements([("121 deg has no rating", two_leg_factor(Angle::from_deg(121.0)) == 0.0)]);
    cv_eye_01 => check("CV-EYE-01", "towing eye of a 3000 kg vehicle; a 9 t strap over it", towing_eye::SOURCE, "N; -")
        .values(
            {
                let eye = towing_eye::proven_pull(Mass::new(3000.0));
                [eye.get(), Force::from_tf(9.0) / eye]
            },
            [14_709.975, 6.0],
            Tolerance::Rel(1e-12),
            "the rule itself",
        );
    cv_shk_07 => check("CV-SHK-07", "heat: 20, 200, 201, 300, 301, 400 C", HEAT_SOURCE, "x WLL")
        .values(
            [20.0, 200.0, 201.0, 300.0, 301.0, 400.0].map(|t| match heat_factor(t) {
                Heat::Keeps(share) => share,
                Heat::DoNotUse | Heat::NotCovered => f64::NAN,
            }),
            [1.0, 1.0, 0.9, 0.9, 0.75, 0.75],
            Tolerance::Exact,
            TABLE,
        );
    cv_shk_07_hotter => check("CV-SHK-07", "heat above 400 C", HEAT_SOURCE, "-")
        .statements([
            ("401 C: do not use", heat_factor(401.0) == Heat::DoNotUse),
            ("below the table: not covered", heat_factor(-5.0) == Heat::NotCovered),
        ]);
    cv_shk_08 => check("CV-SHK-08", "unmarked shackle, 5/8 in: short tons and pounds", FIELD_SOURCE, "short ton; lb")
        .values(
            {
                let lbf = field_wll_inches(Length::from_inch(0.625)).to_lbf();
                [lbf / 2000.0, lbf]
            },
            [1.1719, 2343.8],
            Tolerance::Rel(1e-4),
            "figures as printed",
        );
    cv_shk_08_metric => check("CV-SHK-08", "the same in metric, 1.59 cm", FIELD_SOURCE, "t")
        .values([field_wll_metric(Length::from_mm(15.9)).to_tf()], [1.05], Tolerance::Rel(0.005), "printed to three figures")
        .note("the two forms differ by 1.1 %: 3 short tons per in2 is 0.4218 t per cm2, printed as 0.417");
    cv_shk_08_forms => check("CV-SHK-08", "metric form over inch form", FIELD_SOURCE, "-")
        .values(
            [field_wll_metric(Length::new(0.02)) / field_wll_inches(Length::new(0.02))],
            [0.417 / (3.0 * 2.0 * POUND_KG / 2.54 / 2.54)],
            Tolerance::Rel(1e-12),
            "the same D in both",
        );
}
