//! Repeats, shards, evenness and the speed at which the error falls.

use super::*;

const SEED: u64 = 2024;

fn mean(sampler: &Sampler, replicate: usize, points: u64, f: impl Fn(&[f64]) -> f64) -> f64 {
    let replicates = sampler.replicates() as u64;
    let mut x = vec![0.0; sampler.inputs()];
    let mut sum = 0.0;
    for point in 0..points {
        let i = point * replicates + replicate as u64;
        for (j, x) in x.iter_mut().enumerate() {
            *x = sampler.level(i, j);
        }
        sum += f(&x);
    }
    sum / points as f64
}

/// Variance between repeats of the mean of a smooth function with mean 1,
/// Π (1 + (x − ½)/(j + 1)) over four inputs.
fn variance_of_mean(sampler: &Sampler, points: u64) -> f64 {
    let smooth = |x: &[f64]| {
        let factor = |(j, x): (usize, &f64)| 1.0 + (x - 0.5) / (j as f64 + 1.0);
        x.iter().enumerate().map(factor).product::<f64>()
    };
    let means: Vec<f64> = (0..sampler.replicates())
        .map(|r| mean(sampler, r, points, smooth))
        .collect();
    means.iter().map(|m| (m - 1.0) * (m - 1.0)).sum::<f64>() / means.len() as f64
}

#[test]
fn sobol_variance_falls_faster_than_one_over_n() {
    let sampler = Sampler::sobol(SEED, 4, 64).unwrap();
    let (few, many) = (
        variance_of_mean(&sampler, 64),
        variance_of_mean(&sampler, 1024),
    );
    // 16 times the points: plain sampling gives 16, a scrambled net about 16³.
    assert!(few / many > 16.0 * 16.0, "{few:e} {many:e}");
    // The variance of one plain run is Π(1 + 1/(12 (j+1)²)) − 1 = 0.1247.
    assert!(many < 0.1247 / 1024.0 / 100.0, "{many:e}");
}

#[test]
fn latin_hypercube_takes_away_what_single_inputs_explain() {
    let sampler = Sampler::latin_hypercube(SEED, 4, 64, 64 * 256).unwrap();
    assert!(variance_of_mean(&sampler, 256) < 0.1247 / 256.0 / 5.0);
}

/// Single pairs of far inputs are known to line up at a few hundred points; over
/// all pairs the correlation must be no more than that of plain random values.
#[test]
fn repeats_differ_and_inputs_are_on_the_whole_uncorrelated() {
    let (inputs, n) = (40, 256);
    let sampler = Sampler::sobol(SEED, inputs, 4).unwrap();
    let column = |r: u64, j: usize| -> Vec<f64> {
        (0..n).map(|p| sampler.level(p * 4 + r, j) - 0.5).collect()
    };
    let columns: Vec<Vec<f64>> = (0..inputs).map(|j| column(0, j)).collect();
    let mut squares = 0.0;
    for j in 0..inputs {
        assert_ne!(columns[j], column(1, j));
        for other in 0..j {
            let products = columns[j].iter().zip(&columns[other]);
            let correlation = 12.0 * products.map(|(a, b)| a * b).sum::<f64>() / n as f64;
            squares += correlation * correlation;
        }
    }
    let rms = (squares / (inputs * (inputs - 1) / 2) as f64).sqrt();
    assert!(rms < 1.0 / (n as f64).sqrt(), "{rms}");
}

/// Warnock's formula for the squared L2 star discrepancy (Warnock 1972).
fn discrepancy(points: &[Vec<f64>]) -> f64 {
    let (n, s) = (points.len() as f64, points[0].len() as i32);
    let single: f64 = points
        .iter()
        .map(|x| x.iter().map(|x| 1.0 - x * x).product::<f64>())
        .sum();
    let pairs: f64 = points
        .iter()
        .flat_map(|a| points.iter().map(move |b| (a, b)))
        .map(|(a, b)| {
            a.iter()
                .zip(b)
                .map(|(a, b)| 1.0 - a.max(*b))
                .product::<f64>()
        })
        .sum();
    let whole = (1.0f64 / 3.0).powi(s);
    (whole - 2f64.powi(1 - s) * single / n + pairs / (n * n)).sqrt()
}

#[test]
fn sobol_discrepancy_is_far_below_plain() {
    let points = |sampler: &Sampler| -> Vec<Vec<f64>> {
        (0..512)
            .map(|i| (0..5).map(|j| sampler.level(i, j)).collect())
            .collect()
    };
    let sobol = discrepancy(&points(&Sampler::sobol(SEED, 5, 1).unwrap()));
    let plain = discrepancy(&points(&Sampler::plain(SEED, 5)));
    assert!(sobol < plain / 3.0, "{sobol} {plain}");
}

#[test]
fn more_inputs_change_no_other_draw() {
    let small = Sampler::sobol(SEED, 3, 8).unwrap();
    let large = Sampler::sobol(SEED, 60, 8).unwrap();
    let columns = Sampler::latin_hypercube(SEED, 3, 2, 100).unwrap();
    let more = Sampler::latin_hypercube(SEED, 9, 2, 100).unwrap();
    for i in 0..100 {
        for j in 0..3 {
            assert_eq!(small.level(i, j), large.level(i, j));
            assert_eq!(columns.level(i, j), more.level(i, j));
        }
    }
    // The first repeat is the column that studies have always used.
    assert_eq!(columns.level(4, 1), Column::new(SEED, 1, 50).level(2));
}

#[test]
fn what_cannot_be_sampled_says_why() {
    let many = Sampler::sobol(SEED, 300, 8).unwrap_err().to_string();
    assert!(many.contains("reach to 256 uncertain inputs, got 300"));
    assert!(Sampler::sobol(SEED, 3, 0).is_err());
    let uneven = Sampler::latin_hypercube(SEED, 3, 8, 100).unwrap_err();
    assert!(
        uneven
            .to_string()
            .contains("100 runs do not part evenly over 8")
    );
}
