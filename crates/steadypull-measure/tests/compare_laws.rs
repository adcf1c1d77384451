//! Laws of tolerance limits, permutation tests and intervals, on drawn cases.

mod noise;

use noise::normal;
use proptest::prelude::*;
use steadypull_measure::compare::tolerance::{Promise, one_sided, two_sided};
use steadypull_measure::compare::{
    Comparison, Rules, holm, permutation, two_setups, zero_failure_tests,
};

fn normals(seed: u64, count: usize) -> Vec<f64> {
    (0..count as u64).map(|i| normal(seed, i)).collect()
}

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 24,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(7),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn factors_fall_with_tests_and_rise_with_the_promise(
        n in 2usize..80, cover in 0.55f64..0.985, confidence in 0.55f64..0.985,
    ) {
        let at = |n, cover, confidence| {
            let promise = Promise { cover, confidence };
            (one_sided(n, promise).unwrap(), two_sided(n, promise).unwrap())
        };
        let here = at(n, cover, confidence);
        let surer = at(n, cover, confidence + 0.01);
        let wider = at(n, cover + 0.01, confidence);
        prop_assert!(surer.0 > here.0 && surer.1 > here.1);
        prop_assert!(wider.0 > here.0 && wider.1 > here.1);
        // Both sides cost more than one.
        prop_assert!(here.1 > here.0);
        // At half confidence or little above it, few tests need not cost more.
        if confidence > 0.75 {
            let more = at(n + 1, cover, confidence);
            prop_assert!(more.0 < here.0 && more.1 < here.1);
        }
    }

    #[test]
    fn a_reliability_shown_takes_no_test_more_than_needed(
        reliability in 0.3f64..0.999, confidence in 0.3f64..0.999,
    ) {
        let n = zero_failure_tests(reliability, confidence).unwrap() as i32;
        prop_assert!(reliability.powi(n) <= (1.0 - confidence) * (1.0 + 1e-6));
        prop_assert!(n == 1 || reliability.powi(n - 1) > (1.0 - confidence) * (1.0 - 1e-6));
    }

    #[test]
    fn holm_never_lowers_and_keeps_the_order(p in prop::collection::vec(0.0f64..1.0, 1..12)) {
        let adjusted = holm(&p);
        for i in 0..p.len() {
            prop_assert!(adjusted[i] >= p[i] && adjusted[i] <= 1.0);
            for j in 0..p.len() {
                prop_assert!(p[i] > p[j] || adjusted[i] <= adjusted[j]);
            }
        }
    }

    #[test]
    fn a_comparison_knows_no_unit_and_no_order(seed in 0u64..1000, scale in 1e-3f64..1e6) {
        let (a, b) = (normals(seed, 6), normals(seed + 5000, 7));
        let times = |x: &[f64]| x.iter().map(|v| v * scale).collect::<Vec<f64>>();
        let rules = Rules::default();
        let (one, other, back) = (
            two_setups(&a, &b, &rules).unwrap(),
            two_setups(&times(&a), &times(&b), &rules).unwrap(),
            two_setups(&b, &a, &rules).unwrap(),
        );
        let (Comparison::Compared(one), Comparison::Compared(other), Comparison::Compared(back)) =
            (one, other, back) else { panic!("compared") };
        prop_assert!((other.welch.low - scale * one.welch.low).abs() < 1e-9 * scale);
        prop_assert!((other.bootstrap.high - scale * one.bootstrap.high).abs() < 1e-9 * scale);
        prop_assert_eq!(one.permutation.p, other.permutation.p);
        prop_assert_eq!(one.permutation.p, back.permutation.p);
        prop_assert!((back.welch.low + one.welch.high).abs() < 1e-12);
    }
}

/// Of very many parts the factors go to the normal quantiles, from above by the first
/// term of their error: `z + z_c √((1 + z²/2)/n)` on one side.
#[test]
fn factors_of_very_many_parts_are_normal_quantiles() {
    let promise = Promise {
        cover: 0.95,
        confidence: 0.95,
    };
    let (z, n) = (1.644_853_626_951_472_2_f64, 100_000.0_f64);
    let one = one_sided(100_000, promise).unwrap();
    assert!(
        (one - z - z * ((1.0 + 0.5 * z * z) / n).sqrt()).abs() < 5e-5,
        "{one}"
    );
    let both = two_sided(100_000, promise).unwrap();
    let first = 1.959_963_984_540_054 * (1.0 + z / (2.0 * n).sqrt());
    assert!((both - first).abs() < 1e-4, "{both} {first}");
}

/// Under no difference, p ≤ q in a share q of tests: Kolmogorov's distance of 2000
/// permutation p from even, against its 99.9 % bound 1.95/√n. Five against six: 462
/// deals, so p is even to 1/462 but for that step.
#[test]
fn permutation_p_is_even_where_nothing_differs() {
    let runs = 2000;
    let mut p: Vec<f64> = (0..runs)
        .map(|i| {
            let values = normals(77_000 + i, 11);
            permutation(&values[..5], &values[5..], i).unwrap().p
        })
        .collect();
    p.sort_by(f64::total_cmp);
    let n = runs as f64;
    let far = p
        .iter()
        .enumerate()
        .map(|(i, p)| {
            ((i as f64 + 1.0) / n - p)
                .abs()
                .max((p - i as f64 / n).abs())
        })
        .fold(0.0, f64::max);
    assert!(far < 1.95 / n.sqrt() + 2.0 / 462.0, "{far}");
}

/// Welch's 95 % interval of unlike spreads and counts holds the true difference in 95 %
/// of 2000 repeats, within three standard errors of that count.
#[test]
fn welch_interval_keeps_its_word() {
    let rules = Rules {
        draws: 200,
        ..Rules::default()
    };
    let runs = 2000u64;
    let held = (0..runs)
        .filter(|i| {
            let values = normals(910_000 + i, 11);
            let first: Vec<f64> = values[..5].iter().map(|z| 60.0 + 2.0 * z).collect();
            let second: Vec<f64> = values[5..].iter().map(|z| 57.0 + 4.0 * z).collect();
            match two_setups(&first, &second, &rules).unwrap() {
                Comparison::Compared(found) => found.welch.contains(-3.0),
                _ => false,
            }
        })
        .count();
    let share = held as f64 / runs as f64;
    assert!(
        (share - 0.95).abs() < 3.0 * (0.95f64 * 0.05 / runs as f64).sqrt(),
        "{share}"
    );
}
