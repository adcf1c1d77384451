//! Run-aways against closed forms: free fall down a slope, harmonic catch, a device
//! that slips.

use steadypull_engine::line::{Law, Path};
use steadypull_engine::plan::SlopePiece;
use steadypull_engine::pull::lowering::profile::Profile;
use steadypull_engine::pull::lowering::run_away::{CatchLine, End, RunAway, Setup, run_away};
use steadypull_engine::units::{Angle, Force, G, Length, Mass, Speed};

const MASS: Mass = Mass::new(2400.0);

fn way(pieces: &[(f64, f64)], radius_m: f64) -> Profile {
    let piece = |&(length, deg): &(f64, f64)| SlopePiece {
        length: Length::new(length),
        slope: Angle::from_deg(deg),
    };
    Profile::new(&pieces.iter().map(piece).collect::<Vec<_>>(), radius_m)
}

fn elastic(ea_n: f64, slack_m: f64, slips_at: Option<f64>, tail_m: f64) -> CatchLine {
    let law = Law::linear_elastic(Force::new(ea_n), Force::new(0.5 * ea_n)).expect("a curve");
    CatchLine {
        path: Path::new(law, 0.0),
        length: Length::new(20.0),
        slack: Length::new(slack_m),
        slips_at: slips_at.map(Force::new),
        tail: Length::new(tail_m),
    }
}

fn run(profile: &Profile, c: f64, v: f64, catch: Option<CatchLine>) -> RunAway {
    run_away(&Setup {
        profile,
        wheelbase: Length::new(2.8),
        mass: MASS,
        holds_back: c,
        start: Length::ZERO,
        foot: Length::new(15.0),
        speed: Speed::new(v),
        catch,
    })
}

fn close(got: f64, expected: f64, share: f64) {
    assert!(
        (got - expected).abs() <= share * expected.abs(),
        "{got} is not {expected}"
    );
}

#[test]
fn closed_form_frictionless_speed_is_that_of_the_height() {
    let slope = way(&[(200.0, 28.0)], 0.0);
    let h = 15.0 * Angle::from_deg(28.0).sin();
    let out = run(&slope, 0.0, 0.0, None);
    close(
        out.foot_speed.expect("a foot").get(),
        (2.0 * G * h).sqrt(),
        1e-9,
    );
    // On any way: both axles' mean height counts.
    let bent = way(&[(3.0, 5.0), (12.0, 33.0), (30.0, -20.0)], 1.0);
    let out = run(&bent, 0.0, 0.0, None);
    let height = |s: f64| 0.5 * (bent.at(s).z_m + bent.at(s + 2.8).z_m);
    for sample in out.series.iter().step_by(20) {
        let fallen = height(0.0) - height(sample.distance_m);
        close(
            sample.speed_m_s + 1e-9,
            (2.0 * G * fallen).max(0.0).sqrt() + 1e-9,
            1e-9,
        );
    }
    assert!(out.audit.error_share().abs() < 1e-9);
}

#[test]
fn closed_form_time_and_run_out_with_rolling() {
    let slope = way(&[(200.0, 20.0)], 0.0);
    let a = Angle::from_deg(20.0);
    let pull = G * (a.sin() - 0.08 * a.cos());
    let out = run(&slope, 0.08, 1.0, None);
    let at = out
        .series
        .iter()
        .find(|s| s.distance_m > 40.0)
        .expect("it runs");
    close(
        at.speed_m_s,
        (1.0 + 2.0 * pull * at.distance_m).sqrt(),
        1e-9,
    );
    close(at.time_s, (at.speed_m_s - 1.0) / pull, 1e-9);
    // Down 15 m of slope, out on the level until rolling has eaten the height.
    let bowl = way(&[(15.0, 20.0), (200.0, 0.0)], 0.0);
    let out = run(&bowl, 0.08, 0.0, None);
    let (start, end) = (bowl.at(0.0), out.ran.expect("it stops").get());
    let mean = |f: fn(f64, f64) -> f64, s: f64| {
        let (u, l) = (bowl.at(s), bowl.at(s + 2.8));
        0.5 * (f(u.x_m, u.z_m) + f(l.x_m, l.z_m))
    };
    let fallen = mean(|_, z| z, 0.0) - mean(|_, z| z, end);
    let level = mean(|x, _| x, end) - mean(|x, _| x, 0.0);
    assert!(start.z_m == 0.0 && out.end == End::Runs);
    close(fallen, 0.08 * level, 1e-6);
}

#[test]
fn closed_form_harmonic_catch() {
    // CV-KIN-09 on a slope: T = F + sqrt(F^2 + 2 k E), F = W (sin a - c cos a).
    let slope = way(&[(200.0, 28.0)], 0.0);
    let a = Angle::from_deg(28.0);
    for (c, slack, v) in [(0.0, 0.0, 0.0), (0.0, 1.5, 0.0), (0.08, 0.5, 0.6)] {
        let ea = 3.0e6;
        let force = MASS.weight().get() * (a.sin() - c * a.cos());
        let energy = 0.5 * MASS.get() * v * v + force * slack;
        let k = ea / 20.0;
        let expected = force + (force * force + 2.0 * k * energy).sqrt();
        let out = run(&slope, c, v, Some(elastic(ea, slack, None, 0.0)));
        assert_eq!(out.end, End::Caught);
        close(out.peak.get(), expected, 1e-6);
        close(out.stopping.expect("it stops").get(), expected / k, 1e-6);
        assert!(out.audit.error_share().abs() < 1e-6);
    }
}

#[test]
fn closed_form_upright_fall_is_the_published_rope_formula() {
    // CV-KIN-09, harmonic rope model: 80 kg, EA 20 kN, fall factor 1.77: 8278.553 N.
    // A way cannot be upright; at 89.99 deg it is within 1e-7 of it.
    let wall = way(&[(500.0, 89.99)], 0.0);
    let out = run_away(&Setup {
        profile: &wall,
        wheelbase: Length::new(0.1),
        mass: Mass::new(80.0),
        holds_back: 0.0,
        start: Length::ZERO,
        foot: Length::new(300.0),
        speed: Speed::ZERO,
        catch: Some(CatchLine {
            path: Path::new(
                Law::linear_elastic(Force::new(20e3), Force::new(20e3)).expect("a curve"),
                0.0,
            ),
            length: Length::new(10.0),
            slack: Length::new(17.7),
            slips_at: None,
            tail: Length::ZERO,
        }),
    });
    close(out.peak.get(), 8278.553, 1e-6);
}

#[test]
fn closed_form_slipping_device_stops_it_in_energy_over_force() {
    let slope = way(&[(200.0, 28.0)], 0.0);
    let force = MASS.weight().get() * Angle::from_deg(28.0).sin();
    let slip = 18e3;
    // A very stiff line: all of the stop is slip.
    let out = run(&slope, 0.0, 0.0, Some(elastic(4e9, 2.0, Some(slip), 50.0)));
    assert_eq!(out.end, End::Caught);
    close(out.slipped.get(), force * 2.0 / (slip - force), 1e-3);
    close(out.peak.get(), slip, 1e-3);
    assert!(
        out.audit.error_share().abs() < 1e-5,
        "{}",
        out.audit.error_share()
    );
}

#[test]
fn a_device_weaker_than_the_slope_runs_off_the_end() {
    let slope = way(&[(40.0, 28.0), (60.0, 0.0)], 0.0);
    let out = run(&slope, 0.05, 0.5, Some(elastic(3e6, 0.5, Some(6e3), 4.0)));
    assert_eq!(out.end, End::RanThrough);
    close(out.slipped.get(), 4.0, 1e-4);
    assert!(out.foot_speed.is_some_and(|v| v.get() > 5.0));
    assert!(out.audit.error_share().abs() < 1e-3);
}

#[test]
fn a_line_too_weak_parts_and_the_books_still_close() {
    let slope = way(&[(60.0, 30.0)], 0.0);
    let mut catch = elastic(2e6, 4.0, None, 0.0);
    let weak = Law::linear_elastic(Force::new(2e6), Force::new(40e3)).expect("a curve");
    catch.path = Path::new(weak, 0.0);
    let out = run(&slope, 0.08, 1.0, Some(catch));
    assert_eq!(out.end, End::Parted);
    close(out.peak.get(), 40e3, 1e-4);
    assert!(out.audit.error_share().abs() < 1e-5);
}

#[test]
fn a_vehicle_that_its_wheels_hold_stays() {
    let gentle = way(&[(60.0, 3.0)], 0.0);
    let out = run(&gentle, 0.08, 0.0, None);
    assert_eq!(out.end, End::Stays);
    assert!(out.foot_speed.is_none());
}
