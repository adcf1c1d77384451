//! Every distribution against scipy 1.17.1 (moments of the bounded log-normal by
//! its quadrature), and what is refused.

use super::*;

const LEVELS: [f64; 5] = [1e-6, 0.05, 0.5, 0.9, 0.999_999];

/// A distribution; its quantiles at `LEVELS`; (x, probability below); mean; sd.
struct Known {
    distribution: Distribution,
    quantiles: [f64; 5],
    below: [(f64, f64); 2],
    mean: f64,
    sd: f64,
}

fn known() -> Vec<Known> {
    let bell = Distribution::Normal { mean: 5.0, sd: 2.0 };
    let wide = Distribution::Normal { mean: 1.0, sd: 2.0 };
    let positive = Distribution::LogNormal(LogNormal::new(2.0, 0.5));
    vec![
        Known {
            distribution: Distribution::Triangular {
                low: 2.0,
                likely: 4.0,
                high: 10.0,
            },
            quantiles: [
                2.004,
                2.894_427_190_999_915_7,
                5.101_020_514_433_644,
                7.809_109_769_979_336,
                9.993_071_796_769_625,
            ],
            below: [(3.0, 0.0625), (7.0, 0.8125)],
            mean: 5.333_333_333_333_334,
            sd: 1.699_673_171_197_595,
        },
        Known {
            distribution: bell,
            quantiles: [
                -4.506_848_617_645_797,
                1.710_292_746_097_054_3,
                5.0,
                7.563_103_131_089_201,
                14.506_848_617_634_175,
            ],
            below: [
                (3.0, 0.158_655_253_931_457_07),
                (7.0, 0.841_344_746_068_542_9),
            ],
            mean: 5.0,
            sd: 2.0,
        },
        Known {
            distribution: Distribution::LogNormal(LogNormal::new(0.5, 0.3)),
            quantiles: [
                0.120_130_758_748_526_22,
                0.305_256_378_981_498_6,
                0.5,
                0.734_414_488_958_435_6,
                2.081_065_687_122_626,
            ],
            below: [
                (0.4, 0.228_495_158_776_198_75),
                (0.9, 0.974_960_517_531_435_9),
            ],
            mean: 0.523_013_929_954_358_5,
            sd: 0.160_501_619_475_162_84,
        },
        Known {
            distribution: bell.within(2.0, 6.0).unwrap(),
            quantiles: [
                2.000_009_645_839_97,
                2.414_398_196_990_679_6,
                4.384_492_357_702_009,
                5.658_395_748_833_141,
                5.999_996_451_482_521,
            ],
            below: [
                (3.0, 0.147_037_988_060_552_02),
                (5.5, 0.851_508_277_397_161_5),
            ],
            mean: 4.287_454_231_645_881,
            sd: 1.058_769_380_273_579_8,
        },
        // Far out in the upper tail, 3 to 4 standard deviations.
        Known {
            distribution: bell.within(11.0, 13.0).unwrap(),
            quantiles: [
                11.000_000_594_888_297,
                11.030_429_557_902_048,
                11.396_948_263_523_907,
                12.185_848_222_631_224,
                12.999_980_300_402_036,
            ],
            below: [
                (11.5, 0.586_297_437_756_034),
                (12.5, 0.956_952_746_062_440_7),
            ],
            mean: 11.520_908_571_180_048,
            sd: 0.443_972_043_162_099,
        },
        Known {
            distribution: wide.within(0.0, f64::INFINITY).unwrap(),
            quantiles: [
                3.928_033_061_595_393e-6,
                0.192_023_401_923_713_48,
                1.793_742_350_179_089_5,
                3.964_359_356_881_814_7,
                10.654_899_718_086_98,
            ],
            below: [
                (1.0, 0.276_894_946_576_341_06),
                (4.0, 0.903_382_750_314_794_4),
            ],
            mean: 2.018_320_867_674_067,
            sd: 1.394_525_633_606_449,
        },
        Known {
            distribution: positive.within(1.0, 5.0).unwrap(),
            quantiles: [
                1.000_002_895_336_607_8,
                1.130_704_180_941_138_2,
                2.062_917_815_476_46,
                3.582_817_140_802_171,
                4.999_970_310_323_669,
            ],
            below: [
                (1.5, 0.225_964_895_564_462_06),
                (3.0, 0.801_671_712_392_110_2),
            ],
            mean: 2.254_240_678_769_370_3,
            sd: 0.897_732_024_529_596_2,
        },
    ]
}

/// The spreads here are near 1, so 1e-14 is the rounding of a value near nothing.
fn close(ours: f64, theirs: f64) -> bool {
    (ours - theirs).abs() <= 2e-10 * theirs.abs() + 1e-14
}

#[test]
fn published_by_scipy_quantiles_probabilities_and_moments() {
    for known in known() {
        let d = known.distribution;
        assert_eq!(d.check(), Ok(()), "{d:?}");
        for (p, x) in LEVELS.iter().zip(known.quantiles) {
            assert!(
                close(d.quantile(*p), x),
                "{d:?} {p}: {} {x}",
                d.quantile(*p)
            );
        }
        for (x, p) in known.below {
            assert!(close(d.probability_below(x), p), "{d:?} {x}");
        }
        assert!(close(d.mean(), known.mean), "{d:?} {}", d.mean());
        assert!(close(d.sd(), known.sd), "{d:?} {}", d.sd());
        assert_eq!(d.median(), d.quantile(0.5));
    }
}

#[test]
fn closed_form_uniform_and_fixed() {
    let d = Distribution::Uniform {
        low: -1.0,
        high: 3.0,
    };
    assert_eq!(d.quantile(0.0), -1.0);
    assert_eq!(d.quantile(1.0), 3.0);
    assert_eq!(d.quantile(0.25), 0.0);
    assert_eq!(d.probability_below(2.0), 0.75);
    assert_eq!(d.mean(), 1.0);
    assert!(close(d.sd(), 4.0 / 12f64.sqrt()));
    let known = Distribution::Fixed(2.5);
    assert_eq!(known.quantile(0.99), 2.5);
    assert_eq!(known.probability_below(2.5), 1.0);
    assert_eq!(known.probability_below(2.4), 0.0);
    assert_eq!((known.mean(), known.sd()), (2.5, 0.0));
}

#[test]
fn levels_and_values_go_both_ways_and_bounds_are_never_passed() {
    for known in known() {
        let d = known.distribution;
        let (low, high) = d.bounds();
        let mut before = f64::NEG_INFINITY;
        for i in 0..=2000 {
            let p = f64::from(i) / 2000.0;
            let x = d.quantile(p);
            assert!(x >= before && x >= low && x <= high, "{d:?} {p}");
            before = x;
            assert!((d.probability_below(x) - p).abs() < 1e-12, "{d:?} {p}");
        }
    }
}

#[test]
fn what_is_no_distribution_says_why() {
    let refused = |d: Distribution| d.check().unwrap_err().to_string();
    assert!(refused(Distribution::Fixed(f64::NAN)).contains("value is not a finite number"));
    let equal = Distribution::Uniform {
        low: 2.0,
        high: 2.0,
    };
    assert!(refused(equal).contains("must be below the high value 2"));
    let outside = Distribution::Triangular {
        low: 1.0,
        likely: 4.0,
        high: 3.0,
    };
    assert!(refused(outside).contains("likely value 4 must lie between 1 and 3"));
    let flat = Distribution::Normal { mean: 1.0, sd: 0.0 };
    assert!(refused(flat).contains("standard deviation must be more than nothing"));
    let negative = Distribution::LogNormal(LogNormal::new(-1.0, 0.2));
    assert!(refused(negative).contains("median must be more than nothing"));
}

#[test]
fn bounds_that_hold_nothing_are_refused_and_wider_ones_change_nothing() {
    let bell = Distribution::Normal { mean: 5.0, sd: 1.0 };
    assert_eq!(
        bell.within(20.0, 30.0),
        Err(DistributionError::NothingWithin {
            low: 20.0,
            high: 30.0
        })
    );
    let range = Distribution::Uniform {
        low: 0.2,
        high: 1.4,
    };
    let refused = range.within(0.0, 1.0).unwrap_err().to_string();
    assert!(refused.contains("values from 0.2 to 1.4 reach outside"));
    assert_eq!(range.within(0.0, 2.0), Ok(range));
    let positive = Distribution::LogNormal(LogNormal::new(0.5, 0.3));
    assert_eq!(positive.within(0.0, f64::INFINITY), Ok(positive));
}
