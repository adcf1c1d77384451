//! Laws of the zone by chance, with common random numbers.

use steadypull_contract::plan_file::read_plan;
use steadypull_engine::chance::{REPLICATES, Sampler};
use steadypull_engine::letgo::drawn::{LetGoDraw, StraightFlights};
use steadypull_engine::letgo::run_each;
use steadypull_engine::plan::Method;
use steadypull_engine::rig::find_path;
use steadypull_engine::study::{Flown, ZoneFrame, ZoneTally};
use steadypull_engine::units::{Angle, Force, Length};

/// Draws of each thing that could fly.
const DRAWS: usize = 96;

/// How far the zone reaches along each ray when every part lets go at `pull`, with the
/// same draws of all else whatever the pull.
fn reach(flights: &StraightFlights, frame: &ZoneFrame, pull: Force) -> Vec<f64> {
    let sampler = Sampler::sobol(3, 5, REPLICATES).expect("few inputs");
    let count = flights.items.len();
    let draw = |i: usize| {
        let level = |input| sampler.level((i / count) as u64, input);
        let turn = |level: f64| Angle::from_deg(16.0 * (level - 0.5));
        LetGoDraw {
            pull,
            up: Angle::new(turn(level(0)).get().abs()),
            left: turn(level(1)),
            energy_return: level(2),
            stretch: 1.0,
            hardware: 0.8 + 0.4 * level(3),
            damper_grip: 1.0,
            tether_strength: 1.0,
            friction: 0.3 + 0.3 * level(4),
            casualty_mass: 1.0,
            tug_mass: 1.0,
        }
    };
    let mut tally = ZoneTally::default();
    run_each(
        0..count * DRAWS,
        |i| flights.setup(i % count, &draw(i)),
        |i, outcome| {
            let item = i % count;
            let outcome = outcome.expect("a sound run");
            tally.add(
                frame,
                &Flown {
                    item,
                    speed_m_s: 0.0,
                    energy_j: 0.0,
                    reach_m: 0.0,
                    meeting: None,
                    places: flights.landings(item, &outcome),
                },
            );
        },
    );
    tally.contour(frame, 0.95, 0.9).reach
}

#[test]
fn a_higher_parting_load_never_shrinks_the_zone() {
    let path = format!(
        "{}/../../examples/uphill-sand.toml",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(path).expect("the example is there");
    let plan = read_plan(&text).expect("the example reads");
    let path = find_path(&plan, Method::Kinetic).expect("it has a rig");
    let flights = StraightFlights::new(&plan, &path);
    let frame = ZoneFrame::straight(flights.span(), Length::new(13.5));
    let mut last = frame.least.clone();
    for kn in [10.0, 16.0, 25.0, 40.0] {
        let next = reach(&flights, &frame, Force::from_kn(kn));
        for (ray, (new, old)) in next.iter().zip(&last).enumerate() {
            assert!(new >= old, "{kn} kN, ray {ray}: {new} after {old}");
        }
        last = next;
    }
    assert!(last.iter().zip(&frame.least).any(|(r, least)| r > least));
}
