//! Time of a let-go run: the default 64 segments and the 16 of a scatter run.

#[path = "../tests/letgo_scenes/mod.rs"]
mod letgo_scenes;

use divan::Bencher;
use steadypull_engine::letgo::rig::rig_let_go;
use steadypull_engine::letgo::{DamperOnLine, Hardware, LinePart, Setup, run};
use steadypull_engine::line::{Condition, Law, Material};
use steadypull_engine::units::{Angle, Area, Duration, Force, Length, LineMass, Mass};

fn main() {
    divan::main();
}

fn strap(segments: usize, end_s: f64, dampers: usize) -> Setup {
    let material = Material::NylonWebbing;
    let curve = material.curve().unwrap();
    let law = Law::new(&curve, Force::from_tf(9.0), &Condition::default(), material);
    let line = LinePart {
        length: Length::new(9.0),
        mass_per_length: LineMass::new(0.55),
        unloading: law.unloading(law.strain_at(Force::from_tf(6.0).get())),
        diameter: Length::new(0.05),
        joint_mass: Mass::ZERO,
    };
    let hardware = Hardware {
        mass: Mass::new(1.5),
        drag_area: Area::new(0.004),
    };
    let mut setup = Setup::new(vec![line], hardware);
    setup.segments = segments;
    setup.max_time = Duration::new(end_s);
    setup.elevation = Angle::from_deg(2.0);
    setup.azimuth = Angle::from_deg(1.0);
    for k in 0..dampers {
        setup.dampers.push(DamperOnLine {
            mass: Mass::new(5.0),
            from_free_end: Length::new(4.5 * (1 - k) as f64),
            drag_area: Area::new(0.1),
            slips_at: Force::new(300.0),
            contact_radius: Length::new(0.15),
        });
    }
    setup
}

#[divan::bench(args = [0, 2])]
fn default_half_second(bencher: Bencher, dampers: usize) {
    let setup = strap(64, 0.5, dampers);
    bencher.bench(|| run(divan::black_box(&setup)));
}

#[divan::bench(args = [0, 2])]
fn scatter_one_and_a_half_seconds(bencher: Bencher, dampers: usize) {
    let setup = strap(16, 1.5, dampers);
    bencher.bench(|| run(divan::black_box(&setup)));
}

#[divan::bench]
fn whole_let_go_of_a_redirect(bencher: Bencher) {
    let scene = letgo_scenes::redirect(30e3, Material::Hmpe, 9.0, 4.0);
    bencher.bench(|| rig_let_go(&scene.plan, &scene.graph, divan::black_box(&scene.solved)));
}

#[divan::bench]
fn whole_let_go_of_a_double_line(bencher: Bencher) {
    let scene = letgo_scenes::double_line(15e3);
    bencher.bench(|| rig_let_go(&scene.plan, &scene.graph, divan::black_box(&scene.solved)));
}
