//! A pull among many keeps no series: its marks are those of the whole pull, to the bit.

use proptest::prelude::*;
use steadypull_engine::line::{Condition, Curve, Law, Material, Path};
use steadypull_engine::pull::kinetic::{Drive, Setup, run};
use steadypull_engine::pull::many::Marks;
use steadypull_engine::units::{Duration, Force, Length, Mass, Power, Speed};

fn setup(speed: f64, slide_kn: f64, extra_kn: f64, energy_return: f64, braid: bool) -> Setup {
    let curve = if braid {
        let points = [(0.0, 0.0), (0.1, 0.2), (0.2, 0.5), (0.28, 1.0)];
        Curve::new(&points, energy_return, 0.1).unwrap()
    } else {
        Curve::linear(0.18, energy_return, 0.1).unwrap()
    };
    let condition = Condition::default();
    let law = Law::new(
        &curve,
        Force::from_kn(88.0),
        &condition,
        Material::NylonWebbing,
    );
    Setup {
        tug_mass: Mass::new(2900.0),
        casualty_mass: Some(Mass::new(2600.0)),
        length: Length::new(9.0),
        path: Path::new(law, 0.0),
        run_up_speed: Speed::new(speed),
        slack: Length::ZERO,
        drive: Drive {
            greatest: Force::from_kn(15.0),
            power: Power::new(110e3),
            held: true,
        },
        tug_grade: Force::from_kn(0.5),
        tug_rolling: Force::from_kn(1.1),
        slide: Force::from_kn(slide_kn),
        break_extra: Force::from_kn(extra_kn),
        break_length: Length::new(0.35),
        viscous_n_s_per_m: 0.0,
        parts_at: None,
        duration: Duration::new(4.0),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn marks_without_series_are_those_of_the_whole_pull(
        speed in 0.0..7.0, slide in 1.0..60.0, extra in 0.0..30.0, back in 0.5..0.9, braid: bool,
    ) {
        let setup = setup(speed, slide, extra, back, braid);
        let whole = Marks::of(&run(&setup).unwrap());
        prop_assert_eq!(Marks::of_pull(&setup).unwrap(), whole);
    }
}
