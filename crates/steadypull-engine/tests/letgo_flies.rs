//! What flies: laws of runs that are watched.

mod letgo_rig;

use letgo_rig::{damper, strap};
use steadypull_engine::letgo::body::{BodyEnd, Face, Passing, VehicleBody};
use steadypull_engine::letgo::flying::Meets;
use steadypull_engine::letgo::{Flown, Outcome, Setup, Thing, run};
use steadypull_engine::plan::BodyShape;
use steadypull_engine::units::{Angle, Duration, Length};

/// At a wagon's `end`, launched `up` and `left`, degrees.
fn at_wagon(tonnes: f64, kg: f64, end: BodyEnd, (up, left): (f64, f64)) -> Setup {
    let mut setup = strap(tonnes, kg);
    setup.segments = 24;
    setup.max_time = Duration::new(0.6);
    setup.elevation = Angle::from_deg(up);
    setup.azimuth = Angle::from_deg(left);
    setup.watched.far_body = Some(VehicleBody::new(
        &BodyShape::wagon(),
        end,
        Length::ZERO,
        Length::ZERO,
    ));
    setup
}

fn thing(outcome: &Outcome, what: Thing) -> &Flown {
    let found = outcome.flown.iter().find(|f| f.thing == what);
    found.unwrap_or_else(|| panic!("{what:?} flies"))
}

#[test]
fn watching_changes_nothing_in_the_run() {
    let watched = at_wagon(3.0, 1.5, BodyEnd::Rear, (4.0, 1.0));
    let mut alone = watched.clone();
    alone.watched.far_body = None;
    let (watched, alone) = (run(&watched).unwrap(), run(&alone).unwrap());
    assert_eq!(watched.arrival, alone.arrival);
    assert_eq!(watched.end, alone.end);
    assert_eq!(watched.steps, alone.steps);
}

#[test]
fn what_is_above_the_roof_is_over_and_what_strikes_is_below_it() {
    let roof = BodyShape::wagon().roof_height.get();
    let (mut over, mut struck) = (0, 0);
    for up in 0..24 {
        let setup = at_wagon(3.0, 1.5, BodyEnd::Rear, (f64::from(up), 0.0));
        let outcome = run(&setup).unwrap();
        match thing(&outcome, Thing::FreeEnd).meets {
            Meets::Strikes(strike) => {
                struck += 1;
                assert!(strike.height.get() <= roof + 1e-9, "{strike:?}");
            }
            Meets::Passes(passed) if passed.how == Passing::Over => {
                over += 1;
                assert!(passed.height.get() > roof - 0.35, "{passed:?}");
            }
            other => assert!(up < 2, "{up} deg: {other:?}"),
        }
    }
    assert!(over > 3 && struck > 3, "{over} over, {struck} struck");
}

#[test]
fn a_strike_at_the_recovery_point_is_the_arrival() {
    let outcome = run(&at_wagon(4.0, 2.0, BodyEnd::Rear, (2.0, 0.0))).unwrap();
    let Meets::Strikes(strike) = thing(&outcome, Thing::FreeEnd).meets else {
        panic!("it strikes the tailgate");
    };
    let arrival = outcome.arrival.unwrap();
    assert_eq!(strike.face, Face::Tailgate);
    let close = |a: f64, b: f64| (a / b - 1.0).abs() < 2e-3;
    assert!(close(strike.time.get(), arrival.time.get()));
    assert!(close(strike.speed.get(), arrival.speed.get()));
    assert!(close(strike.energy.get(), arrival.energy.get()));
}

#[test]
fn mirrored_launches_mirror() {
    let of = |left: f64| {
        let setup = at_wagon(4.0, 1.5, BodyEnd::Front, (6.0, left));
        let outcome = run(&setup).unwrap();
        thing(&outcome, Thing::OffTheLine).clone()
    };
    let (one, other) = (of(3.0), of(-3.0));
    let (Meets::Strikes(a), Meets::Strikes(b)) = (one.meets, other.meets) else {
        panic!("{:?} {:?}", one.meets, other.meets);
    };
    assert_eq!(a.face, b.face);
    assert!((a.side + b.side).abs().get() < 1e-9 && (a.height - b.height).abs().get() < 1e-9);
    assert!(a.side.get().abs() > 0.1, "{a:?}");
}

#[test]
fn a_tail_cracks_no_harder_than_its_energy_allows() {
    for (tonnes, kg) in [(2.0, 0.0), (4.0, 0.0), (4.0, 1.5)] {
        let mut setup = strap(tonnes, kg);
        setup.segments = 64;
        setup.max_time = Duration::new(0.8);
        let outcome = run(&setup).unwrap();
        let whip = outcome.whip.expect("the end passes the far point");
        let most = (2.0 * outcome.stored.get() / (0.5 * 0.55)).sqrt();
        assert!(whip.tail_speed.get() < most, "{whip:?} {most}");
        // The crack is past the far point, where the line has run out.
        assert!(whip.place_m[0] > outcome.far_point.get(), "{whip:?}");
        // Hardware carries the tail on; without any the fold drives the end ever faster.
        if kg == 0.0 {
            assert!(
                whip.node_speed.get() > 2.0 * outcome.launch.speed.get(),
                "{whip:?}"
            );
        }
    }
}

#[test]
fn dampers_are_followed_to_the_vehicle() {
    let mut setup = at_wagon(6.0, 1.5, BodyEnd::Rear, (1.0, 0.0));
    setup.dampers = vec![damper(5.0, 4.5), damper(5.0, 9.0)];
    let outcome = run(&setup).unwrap();
    let middle = thing(&outcome, Thing::Damper(0));
    let Meets::Strikes(strike) = middle.meets else {
        panic!("at 6 t the middle damper is carried to the vehicle: {middle:?}");
    };
    assert!(strike.energy <= middle.max_energy);
    // One that hangs at the far vehicle from the start strikes nothing.
    assert_eq!(thing(&outcome, Thing::Damper(1)).meets, Meets::StopsShort);
}
