//! Lowering: holding force, hand at the turns, run-away and catch.

use crate::check::{Tolerance, check, checks};
use steadypull_engine::line::{Law, Path};
use steadypull_engine::plan::{LoweredBody, Round, SlopePiece, Turns};
use steadypull_engine::pull::lowering::holding::balance;
use steadypull_engine::pull::lowering::pay_out::hand_at;
use steadypull_engine::pull::lowering::profile::Profile;
use steadypull_engine::pull::lowering::run_away::{CatchLine, End, RunAway, Setup, run_away};
use steadypull_engine::pull::lowering::stance::on_axles;
use steadypull_engine::source::{Source, Status};
use steadypull_engine::units::{Angle, Force, Length, Mass, Speed};

const STATICS: Source = Source::new("statics of a rigid body on a slope", Status::Computed);
const ENERGY: Source = Source::new("energy: m g h = m v^2/2", Status::Computed);
const HARMONIC: Source = Source::new(
    "harmonic rope model (UIAA impact force formula) along a slope: F + sqrt(F^2 + 2 k E), F = W sin a",
    Status::Computed,
);
const ROPE: Source = Source::new(
    "harmonic rope model (UIAA impact force formula), the values of CV-KIN-09",
    Status::Computed,
);
const SLIP: Source = Source::new("constant force over a distance: E/(T - W sin a)", Status::Computed);
const CAPSTAN: Source = Source::new("Euler-Eytelwein, the ratios of CV-CAP-01", Status::Computed);
const DIGITS: &str = "1e-6, figures as printed";
const MASS: Mass = Mass::new(2400.0);

checks! {
    cv_low_01 => check("CV-LOW-01", "holding force of 2.4 t at 15, 28, 40 deg, rolling 0.08, line parallel: W (sin a - c cos a)", STATICS, "N")
        .values([15.0, 28.0, 40.0].map(holds), [4272.835364, 9386.982385, 13_686.256160], Tolerance::Rel(1e-6), DIGITS);
    cv_low_02 => check("CV-LOW-02", "slope at which the upper wheels lift, line at the ground: tan a = 1.26/0.75", STATICS, "deg")
        .values([lifts_at_deg()], [59.237281], Tolerance::Abs(1e-5), "found by halving to 1e-6 deg");
    cv_low_03 => check("CV-LOW-03", "hand at 1.5 turns holding 10 kN, friction 0.3 and 0.15", CAPSTAN, "N")
        .values([0.3, 0.15].map(hand), [591.645113, 2432.375614], Tolerance::Rel(1e-6), DIGITS);
    cv_low_04 => check("CV-LOW-04", "speed after 15 m of 15, 28, 40 deg without friction: sqrt(2 g h)", ENERGY, "m/s")
        .values([15.0, 28.0, 40.0].map(speed), [8.726078, 11.752374, 13.751647], Tolerance::Rel(1e-6), DIGITS);
    cv_low_05 => check("CV-LOW-05", "peak on a belay of 150 kN/m on 28 deg, slack 0 and 1.5 m", HARMONIC, "N")
        .values([0.0, 1.5].map(|slack| peak(28.0, MASS, (3e6, 20.0, slack))), [22_098.927846, 82_424.175259], Tolerance::Rel(1e-6), DIGITS);
    cv_low_06 => check("CV-LOW-06", "the same upright: 80 kg, EA 20 kN, fall factor 1.77; EA 30 kN, 1.0", ROPE, "N")
        .values(
            [(20e3, 1.77), (30e3, 1.0)].map(|(ea, factor)| peak(89.999, Mass::new(80.0), (ea, 10.0, 10.0 * factor))),
            [8278.553, 7690.139], Tolerance::Rel(1e-6), DIGITS,
        )
        .note("at 89.999 deg: a way is no wall; the sine differs from 1 by 2e-10");
    cv_low_07 => check("CV-LOW-07", "line let through by a device that slips at 18 kN, 2 m of slack on 28 deg", SLIP, "m")
        .values([slipped()], [3.179457], Tolerance::Rel(1e-3), "the line before it slips takes a little");
}

fn way(deg: f64) -> Profile {
    let piece = SlopePiece {
        length: Length::new(400.0),
        slope: Angle::from_deg(deg),
    };
    Profile::new(&[piece], 0.0)
}

fn body(line_height: f64) -> LoweredBody {
    LoweredBody {
        wheelbase: Length::new(2.8),
        cg_height: Length::new(0.75),
        front_share: 0.55,
        nose_down: true,
        overhang: Length::new(0.9),
        line_height: Length::new(line_height),
        clearance: Length::new(0.25),
        belly_friction: 0.4,
    }
}

fn holds(deg: f64) -> f64 {
    let (a, body) = (Angle::from_deg(deg), body(0.65));
    let stance = on_axles(&way(deg), &body, 10.0);
    MASS.weight().get() * balance(&stance, &body, [-a.cos(), a.sin()], 0.08).tension
}

fn lifts_at_deg() -> f64 {
    let body = body(0.0);
    let (mut low, mut high) = (10.0, 80.0);
    while high - low > 1e-6 {
        let mid = 0.5 * (low + high);
        let a = Angle::from_deg(mid);
        let stance = on_axles(&way(mid), &body, 10.0);
        if balance(&stance, &body, [-a.cos(), a.sin()], 0.0).normal[0] > 0.0 {
            low = mid;
        } else {
            high = mid;
        }
    }
    high
}

fn hand(friction: f64) -> f64 {
    let turns = Turns {
        turns: 1.5,
        friction,
        friction_spread: 0.2,
        hand_limit: Force::new(200.0),
        round: Round::Post,
        diameter: Length::new(0.2),
        heat_mass: Mass::new(2.0),
    };
    hand_at(&turns, Force::from_kn(10.0), friction).get()
}

fn run(deg: f64, mass: Mass, catch: Option<CatchLine>) -> RunAway {
    run_away(&Setup {
        profile: &way(deg),
        wheelbase: Length::new(2.8),
        mass,
        holds_back: 0.0,
        start: Length::ZERO,
        foot: Length::new(15.0),
        speed: Speed::ZERO,
        catch,
    })
}

fn speed(deg: f64) -> f64 {
    run(deg, MASS, None).foot_speed.map_or(f64::NAN, Speed::get)
}

fn line(ea_n: f64, length_m: f64, slack_m: f64) -> Option<CatchLine> {
    let law = Law::linear_elastic(Force::new(ea_n), Force::new(ea_n)).ok()?;
    Some(CatchLine {
        path: Path::new(law, 0.0),
        length: Length::new(length_m),
        slack: Length::new(slack_m),
        slips_at: None,
        tail: Length::ZERO,
    })
}

/// Peak on a straight line; no number if it does not catch.
fn peak(deg: f64, mass: Mass, (ea_n, length_m, slack_m): (f64, f64, f64)) -> f64 {
    let out = run(deg, mass, line(ea_n, length_m, slack_m));
    if out.end == End::Caught {
        out.peak.get()
    } else {
        f64::NAN
    }
}

fn slipped() -> f64 {
    let stiff = line(4e9, 20.0, 2.0).map(|catch| CatchLine {
        slips_at: Some(Force::from_kn(18.0)),
        tail: Length::new(50.0),
        ..catch
    });
    let out = run(28.0, MASS, stiff);
    if out.end == End::Caught {
        out.slipped.get()
    } else {
        f64::NAN
    }
}
