//! A winch haul against statics, closed forms and its own books.

use proptest::prelude::*;
use steadypull_engine::line::{Condition, Material};
use steadypull_engine::plan::{Line, Winch, WinchDrive, WinchPlate};
use steadypull_engine::pull::winch::preset::preset;
use steadypull_engine::pull::winch::{
    Drum, End, HaulError, HaulEvent, HaulLoad, HaulOutcome, HaulSetup, LimitedBy, Machine,
    PlateError, pull_in_use, run, winch_pull,
};
use steadypull_engine::units::{Duration, Force, Length, Mass, Temperature};

fn line() -> Line {
    let material = Material::Hmpe;
    let mbs = Force::from_tf(9.0);
    Line {
        name: "winch-line".into(),
        material,
        kinetic: false,
        length: Length::new(28.0),
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
        paid_out: Length::new(24.0),
        plate: preset.plate,
        preset: Some(preset.name.into()),
    }
}

fn haul<'a>(winch: &'a Winch, line: &'a Line, slide_n: f64, suction_n: f64) -> HaulSetup<'a> {
    HaulSetup {
        winch,
        line,
        load: HaulLoad {
            slide: Force::new(slide_n),
            suction: Force::new(suction_n),
            fixed: false,
        },
        advantage: 1.0,
        haul_per_metre: 1.0,
        distance: Length::new(8.0),
        walks_at: None,
    }
}

fn ran(setup: &HaulSetup) -> HaulOutcome {
    run(setup).unwrap()
}

fn near(got: f64, want: f64, share: f64, what: &str) {
    assert!(
        (got - want).abs() <= share * want.abs(),
        "{what}: {got} is not {want}"
    );
}

#[test]
fn a_haul_ends_where_statics_says() {
    let (winch, line) = (winch("WG-E42"), line());
    let mut setup = haul(&winch, &line, 12_000.0, 6_000.0);
    (setup.advantage, setup.haul_per_metre) = (1.9, 2.0);
    let out = ran(&setup);
    assert_eq!(out.end, End::Arrived);
    near(out.movement.get(), 8.0, 1e-9, "movement");
    near(out.line_in.get(), 16.0, 1e-9, "line in");
    near(
        out.greatest_pull.get(),
        18_000.0 / 1.9,
        1e-9,
        "pull at break-out",
    );
    // Work on the casualty: slide x + suction d (1 - exp(-x/d)).
    let d = 0.35;
    let work = 12_000.0 * 8.0 + 6_000.0 * d * (1.0 - libm::exp(-8.0 / d));
    near(out.books.casualty_j, work, 1e-4, "work on the casualty");
    near(out.books.line_j, work * 2.0 / 1.9, 1e-4, "work on the line");
    assert!(out.books.error_share().abs() < 1e-9, "{:?}", out.books);
}

#[test]
fn it_stops_exactly_where_the_load_passes_the_pull_of_the_layer() {
    let (mut winch, line) = (winch("WG-H80"), line());
    let diameter = winch.diameter_of(&line);
    let drum = Drum::of(&winch, &line);
    for layer in 1..=4u8 {
        winch.layer = layer;
        let pull = winch_pull(&winch, diameter).get();
        // Half a layer before its edge; a load between its pull and the next's.
        let wound = drum.wound_in_middle_of(u32::from(layer), 10, line.length);
        winch.paid_out = line.length - wound;
        let out = ran(&haul(&winch, &line, pull * 0.999_999, 0.0));
        assert_eq!(out.end, End::Stall(LimitedBy::Relief), "layer {layer}");
        assert_eq!(out.layers, (u32::from(layer), u32::from(layer) + 1));
        let left = drum.length_in(u32::from(layer)) - wound;
        near(out.line_in.get(), left.get(), 1e-6, "line in at the edge");
        let out = ran(&haul(&winch, &line, pull * 1.000_001, 0.0));
        assert_eq!(out.line_in, Length::ZERO, "layer {layer}");
    }
}

#[test]
fn closed_form_time_of_a_hydraulic_haul() {
    // Constant torque, constant drum speed: each layer takes its wraps' turns.
    let (mut winch, line) = (winch("WG-H80"), line());
    let drum = Drum::of(&winch, &line);
    winch.paid_out = line.length - drum.length_in(2);
    let mut setup = haul(&winch, &line, 20_000.0, 0.0);
    setup.distance = drum.length_on(3) + drum.length_on(4);
    let out = ran(&setup);
    let turns_each_second = winch.line_speed.get() / (core::f64::consts::PI * 0.074);
    let turns = 2.0 * f64::from(drum.wraps_per_layer());
    near(out.time_s, turns / turns_each_second, 1e-6, "time");
    let layers: Vec<_> = out
        .events
        .iter()
        .filter(|e| matches!(e.1, HaulEvent::Layer(_)))
        .collect();
    assert_eq!(layers.len(), 1, "{:?}", out.events);
}

#[test]
fn common_practice_a_minute_of_hard_pulling_then_minutes_of_rest() {
    let (mut winch, line) = (winch("WG-E42"), line());
    winch.paid_out = line.length - Length::new(3.0);
    winch.line_speed = preset("WG-E42").unwrap().line_speed;
    let out = ran(&haul(&winch, &line, winch.rated_pull.get() * 0.98, 0.0));
    let first = out.first_rest_s.unwrap();
    assert!((45.0..90.0).contains(&first), "{first} s");
    let rest = out.resting_s / f64::from(out.rests);
    assert!((120.0..900.0).contains(&rest), "{rest} s");
    assert!(out.hottest <= Temperature::new(160.0 + 1e-6));
}

#[test]
fn the_vehicle_walks_before_the_casualty_moves() {
    let (winch, line) = (winch("WG-E42"), line());
    let mut setup = haul(&winch, &line, 15_000.0, 0.0);
    setup.walks_at = Some(Force::new(14_000.0));
    let out = ran(&setup);
    assert_eq!((out.end, out.movement), (End::Walks, Length::ZERO));
    setup.walks_at = Some(Force::new(16_000.0));
    assert_eq!(ran(&setup).end, End::Arrived);
}

#[test]
fn a_fixed_casualty_takes_all_that_the_winch_has() {
    let (winch, line) = (winch("WG-E42"), line());
    let mut setup = haul(&winch, &line, 1_000.0, 0.0);
    setup.load.fixed = true;
    let out = ran(&setup);
    assert_eq!(out.movement, Length::ZERO);
    assert!(
        matches!(out.end, End::Overload | End::Stall(_)),
        "{:?}",
        out.end
    );
    assert!(out.greatest_share >= 1.0);
}

#[test]
fn a_person_stalls_at_their_limit() {
    let (mut winch, line) = (winch("WG-L15"), line());
    if let WinchPlate::Hand(plate) = &mut winch.plate {
        plate.handle_limit = Force::new(200.0);
    }
    let out = ran(&haul(&winch, &line, 12_000.0, 0.0));
    assert_eq!(out.end, End::Stall(LimitedBy::Person));
    let out = ran(&haul(&winch, &line, 5_000.0, 0.0));
    assert_eq!(out.end, End::Arrived);
    assert!(out.greatest_handle <= Force::new(200.0));
    assert!(out.books.error_share().abs() < 1e-9);
}

#[test]
fn too_much_line_out_leaves_too_few_wraps() {
    let (mut winch, line) = (winch("WG-E42"), line());
    winch.paid_out = line.length - Length::new(1.0);
    let out = ran(&haul(&winch, &line, 5_000.0, 0.0));
    assert!(out.events.iter().any(|e| e.1 == HaulEvent::TooFewWraps));
    assert!(out.wraps_at_start < 10.0);
}

#[test]
fn all_line_in_ends_it() {
    let (mut winch, line) = (winch("WG-E42"), line());
    winch.paid_out = Length::new(3.0);
    let out = ran(&haul(&winch, &line, 5_000.0, 0.0));
    assert_eq!(out.end, End::LineAllIn);
    near(out.line_in.get(), 3.0, 1e-9, "line in");
}

#[test]
fn a_small_battery_goes_flat() {
    let (mut winch, line) = (winch("WG-E42"), line());
    if let WinchPlate::Electric(plate) = &mut winch.plate {
        plate.battery.capacity = steadypull_engine::units::Charge::from_ah(8.0);
        plate.alternator = steadypull_engine::units::Current::ZERO;
    }
    let out = ran(&haul(&winch, &line, 20_000.0, 0.0));
    assert_eq!(out.end, End::BatteryFlat);
    assert!(out.charge_left <= 0.2 + 1e-2, "{}", out.charge_left);
    assert!(out.books.battery_j > 0.0 && out.books.alternator_j == 0.0);
}

#[test]
fn a_plate_that_creates_energy_is_refused() {
    let mut winch = winch("WG-E42");
    if let WinchPlate::Electric(plate) = &mut winch.plate {
        plate.rows[2].speed = plate.rows[1].speed * 0.99;
        plate.rows[3].speed = plate.rows[2].speed * 0.99;
    }
    let error = Machine::new(&winch.plate, winch.rated_pull, winch.line_speed).unwrap_err();
    assert!(matches!(error, PlateError::CreatesEnergy { .. }), "{error}");
}

#[test]
fn plates_that_make_no_sense_are_refused() {
    let sound = winch("WG-E42");
    let tried = |change: fn(&mut steadypull_engine::plan::ElectricPlate)| {
        let mut winch = sound.clone();
        if let WinchPlate::Electric(plate) = &mut winch.plate {
            change(plate);
        }
        Machine::new(&winch.plate, winch.rated_pull, winch.line_speed).unwrap_err()
    };
    assert_eq!(tried(|p| p.rows.truncate(1)), PlateError::NoLoadRow);
    assert_eq!(tried(|p| p.rows.swap(2, 3)), PlateError::Order(4));
    assert_eq!(tried(|p| p.rows.truncate(3)), PlateError::ShortOfRated);
    assert_eq!(
        tried(|p| p.heat.rest_until = Temperature::new(200.0)),
        PlateError::Heat
    );
    assert_eq!(
        tried(|p| p.heat.hot_after = Duration::ZERO),
        PlateError::NotPositive
    );
    assert_eq!(tried(|p| p.rows.clear()), PlateError::NoLoadRow);
}

#[test]
fn a_rig_that_creates_work_is_refused() {
    let (winch, line) = (winch("WG-E42"), line());
    let mut setup = haul(&winch, &line, 5_000.0, 0.0);
    setup.advantage = 2.1;
    setup.haul_per_metre = 2.0;
    assert!(matches!(run(&setup), Err(HaulError::Rig { .. })));
    setup.advantage = f64::NAN;
    assert!(run(&setup).is_err());
}

#[test]
fn more_cable_is_less_voltage_and_more_time() {
    let (mut winch, line) = (winch("WG-E42"), line());
    let short = ran(&haul(&winch, &line, 15_000.0, 0.0));
    if let WinchPlate::Electric(plate) = &mut winch.plate {
        plate.cable.length = Length::new(8.0);
    }
    let long = ran(&haul(&winch, &line, 15_000.0, 0.0));
    assert!(long.least_volts_v < short.least_volts_v);
    assert!(long.time_s > short.time_s);
    near(
        long.greatest_current_a,
        short.greatest_current_a,
        1e-9,
        "current goes by load",
    );
}

fn kinds() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec!["WG-E42", "WG-E42-24", "WG-H80", "WG-L15"])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn books_close_and_ends_agree_with_statics(
        name in kinds(),
        share in 0.05..1.3f64,
        suction in 0.0..0.5f64,
        friction in 0.0..0.3f64,
        parts in 1u32..5,
        out_m in 3.0..27.5f64,
        distance in 0.5..12.0f64,
        walks in prop::option::of(0.1..1.5f64),
    ) {
        let (mut winch, line) = (winch(name), line());
        winch.paid_out = Length::new(out_m);
        let rated = winch.rated_pull.get();
        let mut setup = haul(&winch, &line, rated * share, rated * suction);
        setup.haul_per_metre = f64::from(parts);
        setup.advantage = f64::from(parts) * (1.0 - friction);
        setup.distance = Length::new(distance);
        setup.walks_at = walks.map(|w| Force::new(w * rated * setup.advantage));
        let out = ran(&setup);
        prop_assert!(out.books.error_share().abs() < 1e-3, "{:?}", out.books);
        prop_assert!(out.books.line_j >= out.books.casualty_j - 1e-6);
        for heat in [out.books.battery_heat_j, out.books.cable_heat_j, out.books.winding_heat_j, out.books.gear_heat_j, out.books.rig_heat_j] {
            prop_assert!(heat >= -1e-6, "{:?}", out.books);
        }
        prop_assert!((out.line_in.get() - out.movement.get() * setup.haul_per_metre).abs() < 1e-9);
        prop_assert!(out.series.windows(2).all(|w| w[1].time_s >= w[0].time_s && w[1].line_in_m >= w[0].line_in_m));
        prop_assert!(out.hottest.get() <= 160.0 + 1e-6);
        prop_assert!(out.series.len() < 2000, "{}", out.series.len());
        let finite = out.series.iter().all(|s| {
            [s.time_s, s.line_in_m, s.line_pull_n, s.line_speed_m_s, s.current_a, s.volts_v, s.winding_c, s.state_of_charge, s.power_in_w, s.power_out_w]
                .iter().all(|v| v.is_finite())
        });
        prop_assert!(finite);
    }

    #[test]
    fn battery_gives_what_its_charge_says(share in 0.1..0.9f64, alternator in 0.0..200.0f64) {
        let (mut winch, line) = (winch("WG-E42"), line());
        if let WinchPlate::Electric(plate) = &mut winch.plate {
            plate.alternator = steadypull_engine::units::Current::new(alternator);
        }
        let out = ran(&haul(&winch, &line, winch.rated_pull.get() * share * 0.6, 0.0));
        // The open-circuit voltage is straight in the charge, so its energy goes by
        // where it began and ended, whatever lay between.
        let (from, to) = (0.9, out.charge_left);
        let capacity_c = 75.0 * 3600.0;
        let energy = |s: f64| capacity_c * (11.8 * s + 0.95 * s * s / 2.0);
        let passed = out.books.put_in().get().max(1.0);
        prop_assert!(((energy(from) - energy(to)) - out.books.battery_j).abs() < 1e-3 * passed,
            "{} J of {} J", out.books.battery_j, energy(from) - energy(to));
        prop_assert!(out.charge_left <= 1.0 + 1e-4);
    }

    #[test]
    fn pull_falls_with_the_layer_and_current_rises_with_load(
        layer in 1u8..11, drum_mm in 40.0..400.0f64, line_mm in 4.0..30.0f64, low in 0.0..0.9f64, more in 0.01..0.1f64,
    ) {
        let mut winch = winch("WG-E42");
        winch.drum_diameter = Length::from_mm(drum_mm);
        winch.layer = layer;
        let here = winch_pull(&winch, Length::from_mm(line_mm));
        winch.layer = layer + 1;
        prop_assert!(winch_pull(&winch, Length::from_mm(line_mm)) < here);
        let line = line();
        winch.drum_diameter = Length::from_mm(64.0);
        let rated = winch.rated_pull.get() * 0.6;
        let a = ran(&haul(&winch, &line, rated * low + 10.0, 0.0));
        let b = ran(&haul(&winch, &line, rated * (low + more) + 10.0, 0.0));
        prop_assert!(b.greatest_current_a > a.greatest_current_a);
        // At the start: rests let the alternator lift the voltage later.
        prop_assert!(b.series[0].volts_v < a.series[0].volts_v);
    }
}

#[test]
fn drives_are_those_of_their_presets() {
    for (name, drive) in [
        ("WG-E42", WinchDrive::Electric),
        ("WG-H80", WinchDrive::Hydraulic),
        ("WG-L15", WinchDrive::Hand),
    ] {
        assert_eq!(winch(name).drive, drive);
    }
}

#[test]
fn the_pull_in_use_is_what_the_haul_starts_with() {
    let line = line();
    for name in ["WG-E42", "WG-E42-24", "WG-H80", "WG-L15"] {
        let mut winch = winch(name);
        if let WinchPlate::Electric(plate) = &mut winch.plate {
            // A weak battery: less than the rating.
            plate.battery.resistance = plate.battery.resistance * 6.0;
        }
        let pull = pull_in_use(&winch, &line);
        let over = ran(&haul(&winch, &line, pull.get() * 1.000_001, 0.0));
        assert_eq!(over.line_in, Length::ZERO, "{name}: {:?}", over.end);
        let mut under = haul(&winch, &line, pull.get() * 0.99, 0.0);
        under.distance = Length::from_mm(50.0);
        assert_eq!(ran(&under).end, End::Arrived, "{name}");
    }
}
