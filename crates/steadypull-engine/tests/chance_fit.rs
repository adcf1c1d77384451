//! Goodness of fit: what is drawn has the distribution it is said to have.
//!
//! 5000 values of each distribution, put through its own probability, against even
//! spread over 0 to 1 (the probabilities themselves are checked against scipy where
//! they are written). Critical values at 1 % for a fully known distribution:
//! Kolmogorov–Smirnov 1.628/√n (limit law, Smirnov 1948), Anderson–Darling A² 3.857
//! (Anderson, Darling 1954; table in D'Agostino, Stephens, Goodness-of-Fit
//! Techniques, 1986, 4.2), both from memory. One test in a hundred fails by chance:
//! of 8 distributions × 4 seeds × 2 tests none may fail here by more than the 0.1 %
//! values, 1.949/√n and 5.96 to 6.0, and at most four at 1 %.

use steadypull_engine::chance::{Distribution, LogNormal, Sampler};

const VALUES: u64 = 5000;

fn distributions() -> Vec<Distribution> {
    let bell = Distribution::Normal { mean: 5.0, sd: 2.0 };
    let positive = LogNormal::new(0.3, 0.4);
    vec![
        Distribution::Uniform {
            low: -2.0,
            high: 7.0,
        },
        Distribution::Triangular {
            low: 1.0,
            likely: 1.5,
            high: 4.0,
        },
        Distribution::Triangular {
            low: 1.0,
            likely: 1.0,
            high: 4.0,
        },
        bell,
        Distribution::LogNormal(positive),
        bell.within(4.0, 9.0).unwrap(),
        bell.within(9.0, f64::INFINITY).unwrap(),
        Distribution::LogNormal(positive).within(0.1, 0.5).unwrap(),
    ]
}

/// Probabilities of the values drawn, rising.
fn drawn(distribution: Distribution, sampler: &Sampler, input: usize) -> Vec<f64> {
    let probability =
        |run| distribution.probability_below(distribution.quantile(sampler.level(run, input)));
    let mut all: Vec<f64> = (0..VALUES).map(probability).collect();
    all.sort_by(f64::total_cmp);
    all
}

/// √n times the greatest distance from even spread.
fn kolmogorov_smirnov(rising: &[f64]) -> f64 {
    let n = rising.len() as f64;
    let distance = |(i, u): (usize, &f64)| (u - i as f64 / n).max((i as f64 + 1.0) / n - u);
    rising.iter().enumerate().map(distance).fold(0.0, f64::max) * n.sqrt()
}

/// A², which weighs the tails.
fn anderson_darling(rising: &[f64]) -> f64 {
    let n = rising.len();
    let term = |i: usize| {
        let both = libm::log(rising[i]) + libm::log1p(-rising[n - 1 - i]);
        (2 * i + 1) as f64 * both
    };
    -(n as f64) - (0..n).map(term).sum::<f64>() / n as f64
}

#[test]
fn plain_draws_fit() {
    let mut beyond = 0;
    for seed in 1..=4 {
        let sampler = Sampler::plain(seed, distributions().len());
        for (input, distribution) in distributions().into_iter().enumerate() {
            let rising = drawn(distribution, &sampler, input);
            let (ks, ad) = (kolmogorov_smirnov(&rising), anderson_darling(&rising));
            assert!(ks < 1.949 && ad < 5.96, "{distribution:?} {ks} {ad}");
            beyond += usize::from(ks > 1.628) + usize::from(ad > 3.857);
        }
    }
    assert!(beyond <= 4, "{beyond} of 64 beyond the 1 % values");
}

/// Even points fit far better than chance: the distance is of the order of one
/// step, 1/n, in each repeat.
#[test]
fn even_points_fit_better_than_chance() {
    let inputs = distributions().len();
    for sampler in [
        Sampler::sobol(3, inputs, 4).unwrap(),
        Sampler::latin_hypercube(3, inputs, 4, VALUES).unwrap(),
    ] {
        for (input, distribution) in distributions().into_iter().enumerate() {
            let rising = drawn(distribution, &sampler, input);
            let (ks, ad) = (kolmogorov_smirnov(&rising), anderson_darling(&rising));
            assert!(ks < 0.3 && ad < 0.1, "{distribution:?} {ks} {ad}");
        }
    }
}
