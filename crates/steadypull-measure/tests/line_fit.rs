//! The line model fitted to simulated pulls: it gives back the line that made them, and
//! its intervals keep their word.

mod noise;
mod pulls;

use noise::{normal, unit};
use pulls::{PLAIN, Pull, STRAIGHT, pulled, strap, swung};
use steadypull_engine::chance::Interval;
use steadypull_engine::line::{Condition, Law, Material};
use steadypull_engine::units::{Force, Length};
use steadypull_measure::fit::{
    LineFit, LineModel, Loss, Memory, Parameter, PullRecord, RateTerm, Rules, Term, Told, fit_line,
};

fn fitted(model: &LineModel, pulls: &[&Pull]) -> LineFit {
    let records: Vec<PullRecord> = pulls.iter().map(|p| p.record()).collect();
    fit_line(model, &records, &PLAIN).unwrap()
}

#[test]
fn a_pull_without_noise_gives_back_its_line() {
    let pull = pulled(strap(), 3.5, 1);
    let fit = fitted(&STRAIGHT, &[&pull]);
    for (estimate, want) in fit.estimates.iter().zip([0.18, 0.7, 0.1]) {
        assert!((estimate.value / want - 1.0).abs() < 1e-6, "{estimate:?}");
    }
    let law = fit.law();
    for strain in [0.02, 0.08, 0.15] {
        assert!((law.tension(strain) / strap().tension(strain) - 1.0).abs() < 1e-6);
    }
    assert!(fit.share_read > 0.3 && fit.share_read < 1.0);
}

#[test]
fn two_noisy_pulls_give_back_their_line_inside_the_interval() {
    let pulls = [
        pulled(strap(), 3.5, 2).noisy(400.0, 1),
        pulled(strap(), 2.5, 2).noisy(400.0, 2),
    ];
    let fit = fitted(&STRAIGHT, &[&pulls[0], &pulls[1]]);
    for (estimate, want) in fit.estimates.iter().zip([0.18, 0.7, 0.1]) {
        assert!(estimate.interval.contains(want), "{estimate:?}");
        assert!(!estimate.open && estimate.interval.contains(estimate.value));
    }
    assert!(fit.residual_check.like_noise(), "{:?}", fit.residual_check);
    assert!((fit.noise.get() / 400.0 - 1.0).abs() < 0.15);
    assert_ne!(fit.separation.told, Told::Open { parameter: 0 });
}

/// A stiffening line and a rate term: the knots and the branch come back.
#[test]
fn a_bent_curve_comes_back() {
    let points = [(0.0, 0.0), (0.06, 0.12), (0.11, 0.32), (0.2, 1.0)];
    let curve = steadypull_engine::line::Curve::new(&points, 0.75, 0.08).unwrap();
    let law = Law::new(
        &curve,
        Force::from_tf(9.0),
        &Condition::default(),
        Material::NylonBraid,
    );
    let pull = pulled(law.clone(), 3.5, 1).noisy(150.0, 5);
    let fit = fitted(
        &LineModel {
            levels: 4,
            ..STRAIGHT
        },
        &[&pull],
    );
    for strain in [0.03, 0.06, 0.09, 0.12] {
        let off = fit.law().tension(strain) - law.tension(strain);
        assert!(off.abs() < 600.0, "{strain} {off}");
    }
    let returned = fit
        .estimates
        .iter()
        .find(|e| e.parameter == Parameter::EnergyReturn);
    assert!(returned.unwrap().interval.contains(0.75), "{returned:?}");
}

#[test]
fn a_rate_term_comes_back() {
    let mut curve = Material::NylonWebbing.curve().unwrap();
    curve.rate = Some(steadypull_engine::line::Rate {
        stiffness_ratio: 1.4,
        relaxation_s: 0.08,
    });
    let law = Law::new(
        &curve,
        Force::from_tf(9.0),
        &Condition::default(),
        Material::NylonWebbing,
    );
    let pull = pulled(law, 3.5, 1);
    let fit = fitted(
        &LineModel {
            rate: RateTerm::Fitted,
            ..STRAIGHT
        },
        &[&pull],
    );
    for (estimate, want) in fit.estimates.iter().zip([0.18, 0.7, 0.1, 1.4, 0.08]) {
        assert!((estimate.value / want - 1.0).abs() < 0.02, "{estimate:?}");
    }
}

/// One pull that is never let back says nothing of energy return and set, and the fit
/// says so.
#[test]
fn a_pull_without_a_way_back_cannot_tell() {
    let whole = pulled(strap(), 3.5, 2);
    let top = (0..whole.force_n.len())
        .max_by(|a, b| whole.force_n[*a].total_cmp(&whole.force_n[*b]))
        .unwrap();
    let up = Pull {
        time_s: whole.time_s[..top].to_vec(),
        stretch_m: whole.stretch_m[..top].to_vec(),
        force_n: whole.force_n[..top].to_vec(),
    }
    .noisy(300.0, 9);
    let fit = fitted(&STRAIGHT, &[&up]);
    assert!(fit.estimates[0].interval.contains(0.18) && !fit.estimates[0].open);
    for estimate in &fit.estimates[1..] {
        assert!(estimate.open, "{estimate:?}");
    }
    assert_eq!(fit.separation.told, Told::Open { parameter: 1 });
    let held = LineModel {
        energy_return: Term::Fixed(0.7),
        set_fraction: Term::Fixed(0.1),
        ..STRAIGHT
    };
    let fit = fitted(&held, &[&up]);
    assert!(fit.estimates[0].interval.contains(0.18));
}

/// A line without set: half of all noise puts the best set at nothing, and the interval
/// must then reach down to it.
#[test]
fn a_line_without_set_is_bounded_from_above() {
    let curve = steadypull_engine::line::Curve::linear(0.18, 0.8, 0.0).unwrap();
    let law = Law::new(
        &curve,
        Force::from_tf(9.0),
        &Condition::default(),
        Material::NylonBraid,
    );
    let pull = pulled(law, 3.5, 4);
    let mut held = 0;
    for seed in 0..200 {
        let fit = fitted(&STRAIGHT, &[&pull.noisy(300.0, 5_000 + seed)]);
        let set = fit.estimates[2];
        assert!(set.interval.high < 0.2 && !set.open, "{set:?}");
        held += i32::from(set.interval.low < 0.005);
    }
    // One-sided here, so it holds at least as often as its word.
    assert!(held >= 190, "{held}");
}

/// A line that gives all back stands at both limits at once, where the set gives way:
/// the fit must settle there and say 1 is possible.
/// A rate effect asked of a line that has none: ends a thousandfold off are none, and are said to be open.
#[test]
fn a_line_without_a_rate_leaves_its_rate_open() {
    let model = LineModel {
        rate: RateTerm::Fitted,
        ..STRAIGHT
    };
    let (one, two) = (pulled(strap(), 3.0, 8), pulled(strap(), 2.4, 8));
    let fit = fitted(&model, &[&one.noisy(120.0, 5), &two.noisy(120.0, 6)]);
    let relaxation = &fit.estimates[4];
    assert_eq!(relaxation.parameter, Parameter::RelaxationTime);
    assert!(relaxation.open, "{relaxation:?}");
    for estimate in &fit.estimates {
        let (least, most) = estimate.parameter.limits();
        let Interval { low, high } = estimate.interval;
        assert!(low >= least && high <= most, "{estimate:?}");
        let far = high > 1100.0 * estimate.value || low < estimate.value / 1100.0;
        assert!(!far || low == least || high == most, "{estimate:?}");
    }
}

#[test]
fn a_line_without_loss_reaches_its_limit() {
    let law = Law::linear_elastic(Force::from_tf(9.0) * (1.0 / 0.18), Force::from_tf(9.0)).unwrap();
    let pull = pulled(law, 3.5, 4);
    for seed in 0..40 {
        let fit = fitted(&STRAIGHT, &[&pull.noisy(300.0, 7_000 + seed)]);
        let returned = fit.estimates[1];
        assert!(returned.interval.low > 0.9, "{returned:?}");
        assert!(returned.interval.high > 0.995, "{returned:?}");
        assert!(fit.estimates[0].interval.half_width() < 0.01);
    }
}

/// Every 17th reading off by `wild_n`.
fn with_wild_readings(wild_n: f64) -> Pull {
    let mut pull = pulled(strap(), 3.5, 2).noisy(200.0, 3);
    for i in (5..pull.force_n.len()).step_by(17) {
        pull.force_n[i] += wild_n;
    }
    pull
}

/// Wild readings drag squares, not Huber's loss, however wild they are.
#[test]
fn wild_readings_do_not_drag_the_robust_fit() {
    let strain = |pull: &Pull, loss| {
        let fit = fit_line(&STRAIGHT, &[pull.record()], &Rules { loss, ..PLAIN }).unwrap();
        fit.estimates[0]
    };
    let mild = with_wild_readings(8e3);
    let (plain, robust) = (strain(&mild, Loss::Squares), strain(&mild, Loss::Huber));
    assert!((plain.value - 0.18).abs() > 2.0 * robust.interval.half_width());
    assert!(plain.interval.half_width() > 3.0 * robust.interval.half_width());
    assert!(robust.interval.contains(0.18), "{robust:?}");
    let robust = strain(&with_wild_readings(25e3), Loss::Huber);
    assert!(robust.interval.contains(0.18), "{robust:?}");
    assert!(robust.interval.half_width() < 0.002);
}

/// Twice the force at twice the strength, or all lengths by one factor, is the same line.
#[test]
fn a_fit_knows_no_unit() {
    let pull = pulled(strap(), 3.0, 3).noisy(300.0, 4);
    let one = fitted(&STRAIGHT, &[&pull]);
    let times = |values: &[f64], k: f64| values.iter().map(|v| v * k).collect::<Vec<f64>>();
    let scaled = Pull {
        time_s: pull.time_s.clone(),
        stretch_m: times(&pull.stretch_m, 3.280_84),
        force_n: times(&pull.force_n, 0.224_809),
    };
    let mut record = scaled.record();
    record.rest_length = Length::new(9.0 * 3.280_84);
    let model = LineModel {
        breaking: STRAIGHT.breaking * 0.224_809,
        ..STRAIGHT
    };
    let other = fit_line(&model, &[record], &PLAIN).unwrap();
    for (a, b) in one.estimates.iter().zip(&other.estimates) {
        assert!((a.value / b.value - 1.0).abs() < 1e-7);
        assert!((a.interval.low / b.interval.low - 1.0).abs() < 1e-5);
        assert!((a.interval.high / b.interval.high - 1.0).abs() < 1e-5);
    }
}

/// Stated 95 % intervals hold the true values in 93 to 97 % of 2000 noisy repeats.
#[test]
fn intervals_keep_their_word() {
    let pull = pulled(strap(), 3.5, 8);
    let mut held = [0; 3];
    for seed in 0..2000 {
        let fit = fitted(&STRAIGHT, &[&pull.noisy(300.0, 1_000_000 + seed)]);
        let truth = [0.18, 0.7, 0.1];
        for (held, (estimate, want)) in held.iter_mut().zip(fit.estimates.iter().zip(truth)) {
            *held += u64::from(estimate.interval.contains(want));
        }
    }
    for (parameter, count) in held.into_iter().enumerate() {
        let share = count as f64 / 2000.0;
        println!("parameter {parameter}: {share}");
        assert!((0.93..=0.97).contains(&share), "{parameter} {share}");
    }
}

/// Huber's intervals too, with one reading in twenty far off: a dozen readings of the engine's pull,
/// two dozen of an even swing.
#[test]
fn robust_intervals_keep_their_word() {
    for (pull, repeats) in [(pulled(strap(), 3.5, 6), 2000), (swung(24), 1000)] {
        let mut held = [0; 3];
        for seed in 0..repeats {
            let mut noisy = pull.noisy(300.0, 3_000_000 + seed);
            for (i, force) in noisy.force_n.iter_mut().enumerate() {
                if unit(seed + 17, i as u64) < 0.05 {
                    *force += 6e3 * normal(seed + 19, i as u64);
                }
            }
            let rules = Rules {
                loss: Loss::Huber,
                ..PLAIN
            };
            let fit = fit_line(&STRAIGHT, &[noisy.record()], &rules).unwrap();
            let each = fit.estimates.iter().zip([0.18, 0.7, 0.1]);
            for (held, (estimate, want)) in held.iter_mut().zip(each) {
                *held += i32::from(estimate.interval.contains(want));
            }
        }
        for count in held {
            let share = f64::from(count) / repeats as f64;
            println!("robust, {} readings: {share}", pull.force_n.len());
            assert!((0.93..=0.97).contains(&share), "{share}");
        }
    }
}

/// Noise that keeps 0.8 of itself, one pull of 200 readings: plain 95 % intervals hold the truth
/// in about half of the repeats and the residuals say so; with the memory found, and what is unsure
/// of it counted, in 93 to 97 % (of 400, with what so few leave open: 2.33 standard errors).
#[test]
fn noise_with_a_memory_is_seen_and_taken_in() {
    const REPEATS: u64 = 400;
    let clean = swung(200);
    let (mut plain_held, mut held, mut flagged) = ([0; 3], [0; 3], 0);
    for seed in 0..REPEATS {
        let mut pull = clean.noisy(0.0, 0);
        let mut before = 0.0;
        for (i, force) in pull.force_n.iter_mut().enumerate() {
            before = 0.8 * before + 300.0 * normal(3100 + seed, i as u64);
            *force += before;
        }
        let plain = fitted(&STRAIGHT, &[&pull]);
        flagged += u64::from(!plain.residual_check.like_noise());
        let rules = Rules {
            memory: Memory::Found,
            ..PLAIN
        };
        let fit = fit_line(&STRAIGHT, &[pull.record()], &rules).unwrap();
        for (k, want) in [0.18, 0.7, 0.1].into_iter().enumerate() {
            plain_held[k] += u64::from(plain.estimates[k].interval.contains(want));
            held[k] += u64::from(fit.estimates[k].interval.contains(want));
        }
    }
    println!("plain {plain_held:?} memory {held:?} flagged {flagged}");
    let share = |held: &u64| *held as f64 / REPEATS as f64;
    let error = |share: f64| (share * (1.0 - share) / REPEATS as f64).sqrt();
    let (least, most) = (0.93 - 2.33 * error(0.93), 0.97 + 2.33 * error(0.97));
    assert!(flagged as f64 >= 0.99 * REPEATS as f64);
    assert!(
        plain_held.iter().all(|held| share(held) < 0.7),
        "{plain_held:?}"
    );
    let told = held
        .iter()
        .map(share)
        .all(|held| (least..=most).contains(&held));
    assert!(told, "{held:?}");
}

#[test]
fn bad_records_say_why() {
    let pull = pulled(strap(), 3.0, 3);
    let mut record = pull.record();
    record.force_n = &record.force_n[1..];
    let said = fit_line(&STRAIGHT, &[record], &PLAIN).unwrap_err();
    assert!(
        said.to_string().contains("times and force of a pull"),
        "{said}"
    );
    let weak = LineModel {
        breaking: Force::new(1000.0),
        ..STRAIGHT
    };
    let said = fit_line(&weak, &[pull.record()], &PLAIN).unwrap_err();
    assert!(
        said.to_string().contains("check units and strength"),
        "{said}"
    );
    assert!(fit_line(&STRAIGHT, &[], &PLAIN).is_err());
}
