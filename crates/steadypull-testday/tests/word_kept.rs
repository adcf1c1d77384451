//! The intervals of a fit keep their word on logs with fresh noise, the beginning of each
//! stretch moved by the fit and the cell as good as exact.

mod common;

use common::Folder;
use steadypull_engine::chance::normal_quantile;
use steadypull_engine::line::Material;
use steadypull_testday::fit;

/// Even values in (0, 1) from a counter: SplitMix64, as in the engine.
fn unit(seed: u64, n: u64) -> f64 {
    let mut z = seed.wrapping_add((n + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15));
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^= z >> 31;
    (2 * (z >> 12) + 1) as f64 / (1u64 << 53) as f64
}

/// Of 40 repeats each 95 % interval holds the truth 35 times or more (a fair one fails that in
/// 3 of 100 choices of seeds; these seeds are fixed).
#[test]
fn intervals_hold_the_line() {
    let curve = Material::NylonWebbing.curve().unwrap();
    let truth = [
        curve.strain_at_break(),
        curve.energy_return,
        curve.set_fraction,
    ];
    let mut held = [0; 3];
    for seed in 0..40 {
        let mut folder = Folder::demo();
        for (which, log) in ["dry-1.csv", "dry-2.csv", "dry-3.csv"]
            .into_iter()
            .enumerate()
        {
            let seed = 1000 + 10 * seed + which as u64;
            folder.change_loads(log, |row, load| {
                load + 0.2 * normal_quantile(unit(seed, row as u64))
            });
        }
        let test = folder.tests_with("uncertainty = \"0.5 %\"", "uncertainty = \"0.001 %\"");
        let line = &fit(&test, &folder).unwrap().lines[0];
        for ((held, parameter), truth) in held.iter_mut().zip(&line.parameters).zip(truth) {
            let (low, high) = (parameter.value.low.unwrap(), parameter.value.high.unwrap());
            *held += u32::from((low..=high).contains(&truth));
        }
    }
    println!("held of 40: {held:?}");
    assert!(held.iter().all(|held| *held >= 35), "{held:?}");
}
