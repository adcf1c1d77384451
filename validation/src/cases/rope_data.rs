//! Published stiffness, strength and mass of rope.

use crate::check::{Tolerance, check, checks};
use crate::reference;
use steadypull_engine::line::rope_data::*;
use steadypull_engine::line::{Condition, Material};
use steadypull_engine::source::{Source, Status};
use steadypull_engine::units::Length;

const PRINTED: &str = "figures as printed";
const D24: Length = Length::from_mm(24.0);

checks! {
    cv_nyl_01 => check("CV-NYL-01", "double-braid nylon, AE/Fb of every size", BRAID_SOURCE, "-")
        .values(NYLON_BRAID.map(|s| s.stiffness() / s.strength()), [3.54; 20], Tolerance::Rel(0.005), "rounding of the table");
    cv_nyl_01_strain => check("CV-NYL-01", "linear strain at break, of the preset too", BRAID_SOURCE, "%")
        .values(
            [100.0 / 3.54, 100.0 * strain_at_break(Material::NylonBraid)],
            [28.25, 28.25],
            Tolerance::Rel(0.005),
            "rounding of the table",
        );
    cv_nyl_01_table => {
        let table = reference::nylon_double_braid();
        let expected = [table.numbers("Fb_1e5N"), table.numbers("AE_1e5N")].concat();
        let got = [NYLON_BRAID.map(|s| s.strength_1e5_n), NYLON_BRAID.map(|s| s.stiffness_1e5_n)].concat();
        check("CV-NYL-01", "strength and stiffness of every size as printed", BRAID_SOURCE, "1e5 N")
            .values(got, expected, Tolerance::Exact, "table as printed")
    };
    cv_nyl_01_misprint => {
        let table = reference::nylon_double_braid();
        let ratio: Vec<f64> = table.numbers("AE_over_Fb");
        let off: Vec<f64> = ratio
            .iter()
            .zip(table.numbers("diameter_in"))
            .filter(|(r, _)| (*r / 3.54 - 1.0).abs() > 0.005)
            .map(|(_, d)| d)
            .collect();
        check("CV-NYL-01", "the one size whose printed kips break the ratio", BRAID_SOURCE, "in")
            .values(off, [1.8], Tolerance::Exact, "a misprint of the source, not of ours")
            .note("table 6-8 prints 417.0 kips for 1.8 in; its own 17.32e5 N is 389.4 kips, which is used")
    };
    cv_nyl_02 => check("CV-NYL-02", "1.0 in: 33.6 kips and 118.9 kips", BRAID_SOURCE, "kips")
        .values(
            [NYLON_BRAID[0].strength().to_lbf() / 1e3, NYLON_BRAID[0].stiffness().to_lbf() / 1e3],
            [33.6, 118.9],
            Tolerance::Rel(1e-3),
            "rounding of the table",
        );
    cv_nyl_03 => check("CV-NYL-03", "linear energy to break, 1.0 in", Source::new("elastic strain energy Fb^2/(2 AE)", Status::Computed), "J/m")
        .values([NYLON_BRAID[0].energy_per_length_j_m()], [21_125.0], Tolerance::Rel(1e-3), "rounding of the table");
    cv_nyl_04 => check("CV-NYL-04", "strength lost by wet nylon, webbing and braid", BRAID_SOURCE, "-")
        .bands(
            [Material::NylonWebbing, Material::NylonBraid].map(|m| 1.0 - Condition { wet: true, ..Condition::default() }.strength_factor(m)),
            [(0.10, 0.15 + 1e-12), (0.10, 0.15 + 1e-12)],
            "10 to 15 % by source",
        );
    cv_nyl_05 => check("CV-NYL-05", "3-strand nylon at safe load, at break; double braid at break", STRETCH_SOURCE, "-")
        .bands(
            [NYLON_3_STRAND_STRAIN_WORKING, NYLON_3_STRAND_STRAIN_BREAK, strain_at_break(Material::NylonBraid)],
            [(0.30, 0.36), (0.45, 0.55), (0.25, 0.50)],
            "about 1/3; about 50 %; 25 to 50 % at break by construction",
        )
        .note("woven webbing stretches less (TF-02) and is not held to this rope figure");
    cv_ea_01 => check("CV-EA-01", "linear strain at break: nylon, polyester, HMPE", FIT_SOURCE, "%")
        .values(
            [NYLON, POLYESTER, HMPE].map(|fit| 100.0 * fit.strain_at_break()),
            [20.0, 7.14, 1.79],
            Tolerance::Rel(3e-3),
            "printed to three figures",
        );
    cv_ea_01_table => check("CV-EA-01", "EA/MBL: nylon, polyester, HMPE, wire", FIT_SOURCE, "-")
        .values([NYLON, POLYESTER, HMPE, WIRE].map(|fit| fit.stiffness_ratio), reference::line_props().numbers("EA_over_MBL_static"), Tolerance::Rel(1e-4), PRINTED);
    cv_ea_01_presets => check("CV-EA-01", "EA/MBL of the presets: nylon webbing, nylon braid, polyester, HMPE, wire", FIT_SOURCE, "-")
        .bands(
            [Material::NylonWebbing, Material::NylonBraid, Material::PolyesterWebbing, Material::Hmpe, Material::WireRope]
                .map(|m| 1.0 / strain_at_break(m)),
            [(1.0, 10.0), (1.0, 10.0), (13.9, 14.1), (55.5, 56.5), (94.0, 96.0)],
            "nylon 1 to 10 by source; the others as fitted",
        );
    cv_ea_02 => check("CV-EA-02", "dynamic stiffness at mean load 0.1, 0.2, 0.3: nylon, polyester, HMPE", FIT_SOURCE, "-")
        .values(
            [NYLON, POLYESTER, HMPE]
                .map(|fit| [0.1, 0.2, 0.3].map(|mean| fit.dynamic_stiffness_ratio(mean).unwrap_or(f64::NAN)))
                .concat(),
            [5.98, 9.88, 13.78, 15.6, 19.6, 23.6, 64.4, 69.8, 75.2],
            Tolerance::Abs(1e-9),
            "closed form",
        );
    cv_ea_03 => check("CV-EA-03", "24 mm: mass (kg/m) then strength (N): nylon, polyester, HMPE", FIT_SOURCE, "kg/m; N")
        .values(
            [NYLON, POLYESTER, HMPE].map(|fit| [fit.mass(D24).get(), fit.strength(D24).get()]).concat(),
            [0.33696, 122_411.5, 0.391104, 177_408.0, 0.285696, 343_079.4],
            Tolerance::Rel(1e-6),
            PRINTED,
        );
    cv_ea_04 => check("CV-EA-04", "recoil c e from MBL: 24 mm nylon, polyester, HMPE; 11 mm wire", Source::new("c e = MBL/sqrt(EA m) on CV-EA data", Status::Computed), "m/s")
        .values(recoil_speeds(), [269.549, 180.002, 146.437, 45.081], Tolerance::Rel(1e-5), PRINTED);
    cv_ea_04_order => check("CV-EA-04", "order of recoil", FIT_SOURCE, "-")
        .statements([("nylon > polyester > HMPE > wire", recoil_speeds().is_sorted_by(|a, b| a > b))]);
}

fn strain_at_break(material: Material) -> f64 {
    material
        .curve()
        .map_or(f64::NAN, |curve| curve.strain_at_break())
}

fn recoil_speeds() -> [f64; 4] {
    [
        NYLON.recoil_speed(D24).get(),
        POLYESTER.recoil_speed(D24).get(),
        HMPE.recoil_speed(D24).get(),
        WIRE.recoil_speed(Length::from_mm(11.0)).get(),
    ]
}
