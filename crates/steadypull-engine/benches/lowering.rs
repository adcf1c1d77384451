//! A lowering: one run-away into a catch, and the holding force all the way down.

use steadypull_engine::line::{Condition, Law, Material, Path};
use steadypull_engine::plan::SlopePiece;
use steadypull_engine::pull::lowering::profile::Profile;
use steadypull_engine::pull::lowering::run_away::{CatchLine, Setup, run_away};
use steadypull_engine::units::{Angle, Force, Length, Mass, Speed};

fn main() {
    divan::main();
}

fn way() -> Profile {
    let piece = |(length, deg): (f64, f64)| SlopePiece {
        length: Length::new(length),
        slope: Angle::from_deg(deg),
    };
    Profile::new(&[(6.0, 3.0), (18.0, 28.0), (10.0, 2.0)].map(piece), 1.5)
}

fn catch() -> CatchLine {
    let material = Material::NylonBraid;
    let curve = material.curve().expect("the preset is a curve");
    let law = Law::new(
        &curve,
        Force::from_tf(11.0),
        &Condition::default(),
        material,
    );
    CatchLine {
        path: Path::new(law, 0.0),
        length: Length::new(18.0),
        slack: Length::new(0.5),
        slips_at: Some(Force::from_kn(20.0)),
        tail: Length::new(6.0),
    }
}

fn setup(profile: &Profile, catch: Option<CatchLine>) -> Setup<'_> {
    Setup {
        profile,
        wheelbase: Length::new(2.75),
        mass: Mass::new(2600.0),
        holds_back: 0.06,
        start: Length::new(8.0),
        foot: Length::new(28.0),
        speed: Speed::from_kmh(2.0),
        catch,
    }
}

#[divan::bench]
fn run_away_caught(bencher: divan::Bencher) {
    let profile = way();
    let setup = setup(&profile, Some(catch()));
    bencher.bench(|| run_away(&setup));
}

#[divan::bench]
fn run_away_loose(bencher: divan::Bencher) {
    let profile = way();
    let setup = setup(&profile, None);
    bencher.bench(|| run_away(&setup));
}
