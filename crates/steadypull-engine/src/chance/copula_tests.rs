//! Factor, draws and shares of inputs that are drawn together, against closed forms, numpy,
//! and what must hold for any of them.

use proptest::prelude::*;

use super::*;
use crate::chance::{Design, Distribution, REPLICATES, Sampler, Sensitivity};

fn pair(r: f64) -> Copula {
    Copula::new(2, |_, _| r).unwrap()
}

/// What is taken off so that rounding makes nothing impossible.
fn taken(r: f64) -> f64 {
    (1.0 - ROUNDING) * r
}

#[test]
fn two_inputs_have_a_closed_form() {
    for r in [-1.0, -0.35, 0.0, 0.8, 1.0] {
        let (copula, r) = (pair(r), taken(r));
        assert_eq!(copula.factor[0], [1.0]);
        let below = (1.0 - r * r).sqrt();
        assert!((copula.factor[1][0] - r).abs() < 1e-15);
        assert!((copula.factor[1][1] - below).abs() < 1e-15, "{copula:?}");
    }
}

/// As numpy factors the same correlations (`validation/independent/correlated_draws.py`).
#[test]
fn the_factor_is_numpys() {
    let text = include_str!("../../../../validation/independent/correlated_draws.csv");
    let rows = text.lines().skip(2).map(|line| {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        ((cells[0] as usize, cells[1] as usize), cells[2], cells[3])
    });
    let rows: Vec<((usize, usize), f64, f64)> = rows.collect();
    assert_eq!(rows.len(), 15);
    let of = |i, j| rows.iter().find(|row| row.0 == (i, j)).unwrap().1;
    let copula = Copula::new(5, of).unwrap();
    for ((i, j), _, factor) in &rows {
        let got = copula.factor[*i][*j];
        assert!((got - factor).abs() < 1e-14, "{i} {j}: {got} {factor}");
    }
}

/// Two normals with correlation r are both below their middle 1/4 + asin r / 2π of the time
/// (W. F. Sheppard, Phil. Trans. R. Soc. A 192 (1899) 101–167, from memory), and so are
/// whatever they stand for.
#[test]
fn both_are_low_as_often_as_sheppard_says() {
    const RUNS: u64 = 1 << 14;
    for r in [-0.95, -0.5, 0.0, 0.3, 0.9] {
        let (copula, sampler) = (pair(r), Sampler::sobol(5, 2, 1).unwrap());
        let both_low = |run: &u64| {
            let mut levels = [0, 1].map(|j| sampler.level(*run, j));
            copula.join(&mut levels, &[0, 1]);
            levels[0] < 0.5 && levels[1] < 0.5
        };
        let share = (0..RUNS).filter(both_low).count() as f64 / RUNS as f64;
        let wanted = 0.25 + libm::asin(taken(r)) / (2.0 * core::f64::consts::PI);
        // A standard error of plain draws is 0.0034; these are evener.
        assert!((share - wanted).abs() < 0.002, "{r}: {share} {wanted}");
    }
}

#[test]
fn what_cannot_hold_together_is_refused() {
    for odd in [1.000_001, -2.0, f64::NAN, f64::INFINITY] {
        let refused = Copula::new(2, |_, _| odd).unwrap_err();
        assert!(matches!(refused, CopulaError::Outside(_)), "{refused}");
    }
    // Two that go with a third as one go together as one.
    let three = |last: f64| Copula::new(3, |i, j| if (i, j) == (2, 1) { last } else { 0.9 });
    // From 2 r² − 1 = 0.62 up they can.
    assert_eq!(three(0.61), Err(CopulaError::Impossible));
    assert!(three(0.62).is_ok() && three(0.63).is_ok());
    let apart = Copula::new(3, |_, _| -0.51);
    assert_eq!(apart, Err(CopulaError::Impossible));
    assert!(Copula::new(3, |_, _| -0.5).is_ok());
    assert!(Copula::new(0, |_, _| 0.5).is_ok_and(|none| !none.joins()));
}

/// Correlations that hold together: of rows drawn at random, as a fit's are.
fn together(inputs: usize) -> impl Strategy<Value = Vec<Vec<f64>>> {
    let row = prop::collection::vec(-1.0..1.0_f64, inputs);
    prop::collection::vec(row, inputs).prop_map(|rows| {
        let length = |row: &[f64]| dot(row, row).sqrt().max(1e-9);
        let unit = |row: &Vec<f64>| row.iter().map(|x| x / length(row)).collect();
        let rows: Vec<Vec<f64>> = rows.iter().map(unit).collect();
        let of = |i: usize| {
            rows.iter()
                .map(|b| dot(&rows[i], b).clamp(-1.0, 1.0))
                .collect()
        };
        (0..rows.len()).map(of).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// L Lᵀ is what was asked for, of the whole and of a part of it; what a file rounds off
    /// makes nothing impossible.
    #[test]
    fn the_factor_makes_the_correlations(r in together(5), kept in prop::sample::subsequence(vec![0, 1, 2, 3, 4], 0..=5)) {
        let rounded = |x: f64| libm::round(x * 1e6) / 1e6;
        let whole = Copula::new(5, |i, j| rounded(r[i][j])).unwrap();
        let part = whole.among(&kept);
        for (copula, places) in [(&whole, &vec![0, 1, 2, 3, 4]), (&part, &kept)] {
            for (i, a) in copula.factor.iter().enumerate() {
                prop_assert!((dot(a, a) - 1.0).abs() < 1e-12);
                for (j, b) in copula.factor[..i].iter().enumerate() {
                    let wanted = taken(rounded(r[places[i]][places[j]]));
                    prop_assert!((dot(a, b) - wanted).abs() < 1e-10, "{} {wanted}", dot(a, b));
                }
            }
        }
    }

    /// However inputs go together, each goes its own whole way: its values are those of its
    /// distribution, at every twentieth as often as a plain sample has them there.
    #[test]
    fn each_input_keeps_its_distribution(r in together(3), seed in 0u64..1000) {
        const RUNS: u64 = 4096;
        let copula = Copula::new(3, |i, j| r[i][j]).unwrap();
        let distributions = distributions();
        let sampler = Sampler::sobol(seed, 3, 1).unwrap();
        let draws: Vec<[f64; 3]> = (0..RUNS).map(|run| {
            let mut levels = [0, 1, 2].map(|j| sampler.level(run, j));
            let own = levels[0];
            copula.join(&mut levels, &[0, 1, 2]);
            assert_eq!(levels[0], own);
            [0, 1, 2].map(|j| distributions[j].quantile(levels[j]))
        }).collect();
        for (j, distribution) in distributions.iter().enumerate() {
            let (least, greatest) = distribution.bounds();
            prop_assert!(draws.iter().all(|d| (least..=greatest).contains(&d[j])));
            for twentieth in 1..20 {
                let level = f64::from(twentieth) / 20.0;
                let value = distribution.quantile(level);
                let below = draws.iter().filter(|d| d[j] <= value).count() as f64;
                // Five standard errors of plain draws; these are evener.
                let error = 5.0 * (level * (1.0 - level) / RUNS as f64).sqrt();
                prop_assert!((below / RUNS as f64 - level).abs() < error, "{j} {level} {below}");
            }
        }
    }

    /// Levels stay inside of 0 to 1 however far out they were drawn.
    #[test]
    fn levels_stay_levels(r in together(3), levels in [1e-16..1.0_f64, 1e-16..1.0_f64, 1e-16..1.0_f64]) {
        let copula = Copula::new(3, |i, j| r[i][j]).unwrap();
        for ends in [levels, [1e-16; 3], [1.0 - 1e-16; 3], [1e-16, 1.0 - 1e-16, 0.5]] {
            let mut joined = ends;
            copula.join(&mut joined, &[0, 1, 2]);
            prop_assert!(joined.iter().all(|p| *p > 0.0 && *p < 1.0), "{joined:?}");
        }
    }
}

/// A bell cut off at one side, one cut off at both, and a bell of the logarithm.
fn distributions() -> [Distribution; 3] {
    let bell = |mean, sd, low, high| Distribution::Normal { mean, sd }.within(low, high).unwrap();
    [
        Distribution::LogNormal(crate::chance::LogNormal::new(0.18, 0.2)),
        bell(0.7, 0.1, 0.05, 0.8),
        bell(0.1, 0.1, 0.0, 0.15),
    ]
}

/// The others of a study keep their levels to the bit, wherever those drawn together stand.
#[test]
fn nobody_else_is_moved() {
    let joined = Joined {
        places: vec![3, 1],
        copula: pair(0.6),
    };
    let own = [0.2, 0.3, 0.4, 0.9, 0.6];
    let mut levels = own;
    joined.join(&mut levels);
    let moved: Vec<bool> = levels.iter().zip(own).map(|(a, b)| *a != b).collect();
    assert_eq!(moved, [false, true, false, false, false]);
    // z' = r z₁ + √(1 − r²) z₂, from the two levels that were drawn.
    let (r, z) = (taken(0.6), [0.9, 0.3].map(normal_quantile));
    let wanted = normal_cdf(r * z[0] + (1.0 - r * r).sqrt() * z[1]);
    assert!((levels[1] - wanted).abs() < 1e-15);
}

/// Y = 2 X₁ + X₂ + 3 X₃, X₁ and X₂ drawn together with correlation r: variance 4 + 1 + 4 r + 9,
/// of which the two as one have 5 + 4 r, first order and total.
#[test]
fn a_group_has_its_share() {
    for r in [-0.9, -0.4, 0.0, 0.7] {
        let (copula, design) = (pair(r), Design::new(11, 3, REPLICATES).unwrap());
        let answer = |levels: [f64; 3]| {
            let z = levels.map(normal_quantile);
            2.0 * z[0] + z[1] + 3.0 * z[2]
        };
        let mut shares = Sensitivity::new(2, REPLICATES);
        for row in 0..4096 {
            let of = |part: u64| {
                let mut levels = [0, 1, 2].map(|j| design.level(row * design.group() + part, j));
                copula.join(&mut levels, &[0, 1]);
                levels
            };
            let (a, b) = (of(0), of(1));
            let mixed = [[b[0], b[1], a[2]], [a[0], a[1], b[2]]];
            let answers = [a, b, mixed[0], mixed[1]].map(answer);
            shares.add(row, &answers);
        }
        let shares = shares.shares(0.9).unwrap();
        let pair = 5.0 + 4.0 * taken(r);
        for (share, wanted) in shares.iter().zip([pair, 9.0]) {
            let wanted = wanted / (pair + 9.0);
            assert!(
                (share.first - wanted).abs() < 0.01,
                "{r}: {share:?} {wanted}"
            );
            assert!(
                (share.total - wanted).abs() < 0.01,
                "{r}: {share:?} {wanted}"
            );
        }
    }
}
