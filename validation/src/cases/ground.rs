//! Rolling and grip by surface.

use crate::check::{Check, Tolerance, check, checks};
use crate::reference;
use steadypull_engine::plan::Surface;
use steadypull_engine::situation::surface::{
    CARVILL, GripBand, MOYER, TABOREK, grip_band, rolling_coefficient,
};
use steadypull_engine::source::Source;

checks! {
    cv_roll_01 => rolling("CV-ROLL-01", "rolling coefficient, first source", MOYER, "Moyer");
    cv_roll_02 => rolling("CV-ROLL-02", "rolling coefficient, second source (low, high)", CARVILL, "Carvill");
    cv_mu_01 => check("CV-MU-01", "peak grip, dry asphalt to ice", TABOREK, "-")
        .bands(
            middles(|band| band.peak),
            [(0.80, 0.90), (0.50, 0.70), (0.60, 0.60), (0.68, 0.68), (0.55, 0.55), (0.20, 0.20), (0.10, 0.10)],
            "the middle of our band lies in the source's",
        );
    cv_mu_01_sliding => check("CV-MU-01", "sliding grip, dry asphalt to ice", TABOREK, "-")
        .bands(
            middles(|band| band.sliding),
            [(0.75, 0.75), (0.45, 0.60), (0.55, 0.55), (0.65, 0.65), (0.40, 0.50), (0.15, 0.15), (0.07, 0.07)],
            "the middle of our band lies in the source's",
        );
}

/// The rows of one source: low and high of each against the table.
fn rolling(id: &'static str, what: &'static str, source: Source, prefix: &str) -> Check {
    let table = reference::rolling();
    let mut expected = Vec::new();
    let mut got = Vec::new();
    let rows = table
        .words("surface")
        .into_iter()
        .zip(table.words("coefficient"));
    for ((surface, printed), row_source) in rows.zip(table.words("source")) {
        if !row_source.starts_with(prefix) {
            continue;
        }
        let (low, high) = printed.split_once('-').unwrap_or((printed, printed));
        expected.extend([low, high].map(|s| s.parse().unwrap_or(f64::NAN)));
        let row = rolling_coefficient(surface);
        got.extend([
            row.map_or(f64::NAN, |r| r.low),
            row.map_or(f64::NAN, |r| r.high),
        ]);
    }
    check(id, what, source, "x W").values(got, expected, Tolerance::Exact, "table as printed")
}

fn middles(of: fn(GripBand) -> (f64, f64)) -> Vec<f64> {
    [
        Surface::DryRoad,
        Surface::WetRoad,
        Surface::Gravel,
        Surface::DryEarth,
        Surface::WetEarth,
        Surface::Snow,
        Surface::Ice,
    ]
    .map(|surface| {
        grip_band(surface).map_or(f64::NAN, |band| {
            let (low, high) = of(band);
            // Not (low + high) / 2, which can round off a band of no width.
            low + (high - low) / 2.0
        })
    })
    .to_vec()
}
