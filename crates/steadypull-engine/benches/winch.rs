//! A 30 m winch haul in time: electric, with layers and rests, and hydraulic.

use divan::Bencher;
use steadypull_engine::line::{Condition, Material};
use steadypull_engine::plan::{Line, Winch};
use steadypull_engine::pull::winch::preset::preset;
use steadypull_engine::pull::winch::{HaulLoad, HaulSetup, run};
use steadypull_engine::units::{Force, Length, Mass};

fn main() {
    divan::main();
}

fn line() -> Line {
    let material = Material::Hmpe;
    let mbs = Force::from_tf(9.0);
    Line {
        name: "winch-line".into(),
        material,
        kinetic: false,
        length: Length::new(40.0),
        mbs,
        wll: None,
        mass_per_length: material.mass_per_length(mbs),
        curve: material.curve().unwrap(),
        condition: Condition::default(),
        labelled: true,
        hitch: Default::default(),
        parts_at: None,
    }
}

fn winch(name: &str) -> Winch {
    let preset = preset(name).unwrap();
    Winch {
        drive: preset.drive,
        rated_pull: preset.rated_pull,
        layer: 1,
        drum_diameter: Length::from_mm(64.0),
        drum_width: Length::from_mm(230.0),
        line: "winch-line".into(),
        line_speed: preset.line_speed,
        height: Length::new(0.7),
        forward: Length::new(2.0),
        mount_mass: Mass::new(35.0),
        mount_mbs: None,
        flange_diameter: None,
        line_diameter: Some(Length::from_mm(10.0)),
        packing: 0.8,
        least_wraps: 10,
        paid_out: Length::new(34.0),
        plate: preset.plate,
        preset: None,
    }
}

#[divan::bench(args = ["WG-E42", "WG-H80"])]
fn thirty_metres(bencher: Bencher, name: &str) {
    let (winch, line) = (winch(name), line());
    let setup = HaulSetup {
        winch: &winch,
        line: &line,
        load: HaulLoad {
            slide: Force::from_kn(16.0),
            suction: Force::from_kn(6.0),
            fixed: false,
        },
        advantage: 1.0,
        haul_per_metre: 1.0,
        distance: Length::new(30.0),
        walks_at: None,
    };
    bencher.bench(|| run(divan::black_box(&setup)));
}
