//! The range each key may lie in, with the reason where it is not plain.
//!
//! The ranges refuse slips (a missing digit, the wrong unit) and values beyond
//! what the models were made for; they are no advice. All are the project's own
//! unless the reason names a source.

use steadypull_engine::units::{
    Angle, Area, Charge, Current, Duration, Energy, Flow, Force, Length, LineMass, Mass, Power,
    Pressure, Resistance, Speed, Temperature, Voltage,
};

use super::unit_table::{Share, Slope};

/// A closed range; `text` says it as people write it.
pub(super) struct Limit<T> {
    pub low: T,
    pub high: T,
    pub text: &'static str,
    pub why: &'static str,
}

macro_rules! limits {
    ($($name:ident: $kind:ty = $low:expr, $high:expr, $text:literal, $why:literal;)+) => {
        $(
            pub(super) const $name: Limit<$kind> =
                Limit { low: $low, high: $high, text: $text, why: $why };
        )+

        #[cfg(test)]
        mod tests {
            use super::*;
            use crate::plan_file::value::Value;

            fn agrees<T: Value + PartialEq + core::fmt::Debug>(limit: &Limit<T>) {
                let (low, high) = limit.text.split_once(" to ").expect(limit.text);
                assert_eq!(T::from_text(low).as_ref(), Ok(&limit.low), "{}", limit.text);
                assert_eq!(T::from_text(high).as_ref(), Ok(&limit.high), "{}", limit.text);
            }

            #[test]
            fn what_is_said_is_what_is_held() {
                $(agrees(&$name);)+
            }
        }
    };
}

const fn percent(value: f64) -> Share {
    Share(value / 100.0)
}

limits! {
    SEED: u64 = 0, u32::MAX as u64, "0 to 4294967295", "";
    STUDY_RUNS: u64 = 1, 10_000_000, "1 to 10000000", "";

    VEHICLE_MASS: Mass = Mass::new(300.0), Mass::from_t(60.0), "300 kg to 60 t",
        "the models are for wheeled vehicles of this size";
    TYRE_PRESSURE: Pressure = Pressure::from_psi(3.0), Pressure::from_psi(150.0), "3 psi to 150 psi", "";
    WHEEL_HEIGHT: Length = Length::from_mm(100.0), Length::new(3.0), "100 mm to 3 m", "";
    DEPTH: Length = Length::ZERO, Length::new(3.0), "0 m to 3 m", "";
    STUCK_FOR: Duration = Duration::ZERO, Duration::from_min(60.0 * 24.0 * 60.0), "0 min to 60 d", "";
    CONTACT_AREA: Area = Area::from_cm2(100.0), Area::new(30.0), "100 cm2 to 30 m2", "";
    SLOPE: Slope = Slope(Angle::from_deg(-45.0)), Slope(Angle::from_deg(45.0)), "-45 deg to 45 deg",
        "positive uphill in the direction of the pull; no vehicle stands on more";
    SLOPE_ACROSS: Slope = Slope(Angle::from_deg(0.0)), Slope(Angle::from_deg(45.0)), "0 deg to 45 deg",
        "written without sign";
    HOLD_FORCE: Force = Force::new(100.0), Force::from_kn(5000.0), "100 N to 5000 kN", "";
    LOCKED_WHEELS: u8 = 0, 4, "0 to 4", "";
    FREE_AFTER: Length = Length::from_mm(100.0), Length::new(200.0), "100 mm to 200 m", "";

    POINT_RATING: Force = Force::new(500.0), Force::from_kn(2000.0), "500 N to 2000 kN", "";
    TORN_OFF_MASS: Mass = Mass::new(0.1), Mass::new(100.0), "0.1 kg to 100 kg", "";
    POINT_HEIGHT: Length = Length::ZERO, Length::new(3.0), "0 m to 3 m", "";
    OFFSET: Length = Length::new(-2.0), Length::new(2.0), "-2 m to 2 m",
        "positive to the vehicle's left, negative to its right";
    FORWARD: Length = Length::new(-6.0), Length::new(6.0), "-6 m to 6 m",
        "positive towards the vehicle's nose, negative towards its tail";
    COORDINATE: Length = Length::new(-2000.0), Length::new(2000.0), "-2000 m to 2000 m",
        "choose an origin on site, such as the middle of the casualty";
    FACING: Angle = Angle::from_deg(-360.0), Angle::from_deg(360.0), "-360 deg to 360 deg",
        "anticlockwise from +x seen from above";
    SIDE_ANGLE: Angle = Angle::from_deg(0.0), Angle::from_deg(90.0), "0 deg to 90 deg", "";

    GRIP: f64 = 0.02, 1.5, "0.02 to 1.5", "";
    GRIP_SPREAD: f64 = 0.0, 1.0, "0 to 1", "";
    ROLLING: f64 = 0.001, 0.6, "0.001 to 0.6", "";
    POWER: Power = Power::from_kw(5.0), Power::from_kw(1000.0), "5 kW to 1000 kW", "";
    MAX_DRIVE: Force = Force::from_kn(1.0), Force::from_kn(1000.0), "1 kN to 1000 kN", "";
    SCREEN_HEIGHT: Length = Length::from_mm(300.0), Length::new(4.0), "300 mm to 4 m", "";
    ROOF_HEIGHT: Length = Length::from_mm(500.0), Length::new(5.0), "500 mm to 5 m", "";
    BODY_EDGE: Length = Length::ZERO, Length::new(4.0), "0 m to 4 m", "";
    BONNET_LENGTH: Length = Length::ZERO, Length::new(4.0), "0 m to 4 m", "";
    GLASS_SLOPE: Angle = Angle::from_deg(15.0), Angle::from_deg(90.0), "15 deg to 90 deg",
        "above the level: upright glass is at 90 deg";
    RAISED_TO: Angle = Angle::from_deg(20.0), Angle::from_deg(100.0), "20 deg to 100 deg",
        "above the level, hinged at the windscreen";
    BONNET_SHEET: Length = Length::from_mm(0.4), Length::from_mm(5.0), "0.4 mm to 5 mm", "";
    VEHICLE_LENGTH: Length = Length::new(2.0), Length::new(20.0), "2 m to 20 m", "";
    VEHICLE_WIDTH: Length = Length::new(1.0), Length::new(4.0), "1 m to 4 m", "";
    GUARD_ENERGY: Energy = Energy::new(1.0), Energy::new(500e3), "1 J to 500 kJ",
        "the energy of a striking body that its maker or a test says it holds";

    WIND: Speed = Speed::ZERO, Speed::new(40.0), "0 m/s to 40 m/s", "nothing is pulled in a stronger one";
    GUST_FACTOR: f64 = 1.0, 3.0, "1 to 3", "the strongest 3 s of 10 min over their mean";
    WIND_TURNS: Angle = Angle::ZERO, Angle::from_deg(60.0), "0 deg to 60 deg",
        "1-sigma, either way of wind_from";
    PARTS_AT: Share = percent(1.0), percent(99.0), "1 % to 99 %",
        "of the line, from its end that comes first in its path or run";
    BUMPS: Length = Length::ZERO, Length::new(1.0), "0 m to 1 m", "crest above trough";
    BUMP_SPACING: Length = Length::from_mm(100.0), Length::new(50.0), "100 mm to 50 m", "crest to crest";
    STIFFENING: f64 = 1.0, 10.0, "1 to 10", "load grows with this power of the stretch";

    RATED_PULL: Force = Force::from_kn(1.0), Force::from_kn(1000.0), "1 kN to 1000 kN", "";
    LAYER: u8 = 1, 12, "1 to 12", "";
    DRUM: Length = Length::from_mm(20.0), Length::new(2.0), "20 mm to 2 m", "";
    LINE_SPEED: Speed = Speed::new(0.001), Speed::new(3.0), "0.001 m/s to 3 m/s", "";
    MOUNT_MASS: Mass = Mass::new(1.0), Mass::new(500.0), "1 kg to 500 kg", "";

    LINE_DIAMETER: Length = Length::from_mm(2.0), Length::from_mm(60.0), "2 mm to 60 mm", "";
    PACKING: Share = percent(50.0), percent(100.0), "50 % to 100 %",
        "the drum capacity factor of SAE J706 lies between 70 and 90 %";
    LEAST_WRAPS: u8 = 1, 40, "1 to 40", "the clamp alone does not hold the line";
    PAID_OUT: Length = Length::ZERO, Length::new(200.0), "0 m to 200 m", "";
    VOLTS: Voltage = Voltage::new(6.0), Voltage::new(60.0), "6 V to 60 V", "";
    BATTERY: Charge = Charge::from_ah(1.0), Charge::from_ah(2000.0), "1 Ah to 2000 Ah", "";
    STATE_OF_CHARGE: Share = percent(0.0), percent(100.0), "0 % to 100 %", "";
    BATTERY_RESISTANCE: Resistance = Resistance::from_mohm(0.1), Resistance::from_mohm(500.0),
        "0.1 mohm to 500 mohm", "";
    ALTERNATOR: Current = Current::ZERO, Current::new(600.0), "0 A to 600 A",
        "what it has to spare at the engine speed of the haul";
    CABLE_LENGTH: Length = Length::from_mm(100.0), Length::new(50.0), "100 mm to 50 m", "one way";
    CABLE_SECTION: Area = Area::from_cm2(0.02), Area::from_cm2(5.0), "2 mm2 to 500 mm2", "";
    HOT_AFTER: Duration = Duration::new(5.0), Duration::from_min(240.0), "5 s to 240 min", "";
    COOLS_IN: Duration = Duration::new(30.0), Duration::from_min(600.0), "30 s to 600 min", "";
    AIR: Temperature = Temperature::new(-40.0), Temperature::new(60.0), "-40 C to 60 C", "";
    WINDING: Temperature = Temperature::new(40.0), Temperature::new(250.0), "40 C to 250 C", "";
    FLOW: Flow = Flow::from_l_per_min(0.5), Flow::from_l_per_min(2000.0), "0.5 L/min to 2000 L/min", "";
    RELIEF: Pressure = Pressure::from_bar(5.0), Pressure::from_bar(800.0), "5 bar to 800 bar", "";
    ENGINE_SHARE: Share = percent(5.0), percent(300.0), "5 % to 300 %", "";
    LINE_PER_STROKE: Length = Length::from_mm(0.5), Length::new(1.0), "0.5 mm to 1 m", "";
    HANDLE_TRAVEL: Length = Length::from_mm(50.0), Length::new(6.0), "50 mm to 6 m", "there and back";
    HANDLE_RATIO: f64 = 1.5, 2000.0, "1.5 to 2000", "line pull over force on the handle";
    HANDLE_LIMIT: Force = Force::new(20.0), Force::new(1500.0), "20 N to 1500 N", "";
    PERSON_POWER: Power = Power::new(5.0), Power::new(1000.0), "5 W to 1000 W", "";

    LINE_LENGTH: Length = Length::from_mm(100.0), Length::new(200.0), "100 mm to 200 m", "";
    LINE_MBS: Force = Force::from_kn(1.0), Force::from_kn(2000.0), "1 kN to 2000 kN", "";
    LINE_MASS: LineMass = LineMass::new(0.001), LineMass::new(30.0), "0.001 kg/m to 30 kg/m", "";
    ENERGY_RETURN: Share = percent(5.0), percent(100.0), "5 % to 100 %",
        "energy given back over energy taken";
    SET: Share = percent(0.0), percent(90.0), "0 % to 90 %",
        "stretch left after unloading over greatest stretch";
    STRETCH: Share = percent(0.1), percent(100.0), "0.1 % to 100 %", "";
    DATA_TO: Share = percent(0.1), percent(100.0), "0.1 % to 100 %",
        "share of the breaking strength up to which there is data";
    LINE_CONFIDENCE: Share = percent(50.0), percent(99.9), "50 % to 99.9 %", "";
    STIFFNESS_RATIO: f64 = 1.0, 10.0, "1 to 10", "";
    RELAXATION: Duration = Duration::from_ms(1.0), Duration::from_min(60.0), "1 ms to 60 min", "";
    WEAR: Share = percent(0.0), percent(100.0), "0 % to 100 %", "";
    STRAIN_SEEN: Share = percent(0.0), percent(60.0), "0 % to 60 %", "";

    SHACKLE_MBS: Force = Force::from_kn(1.0), Force::from_kn(10_000.0), "1 kN to 10 000 kN", "";
    PART_MASS: Mass = Mass::new(0.01), Mass::new(200.0), "0.01 kg to 200 kg", "";
    SPAN: Length = Length::from_mm(100.0), Length::new(5.0), "100 mm to 5 m", "";
    EFFICIENCY: Share = percent(20.0), percent(100.0), "20 % to 100 %", "";
    RING_FRICTION: f64 = 0.01, 0.8, "0.01 to 0.8", "";
    SHEAVE: Length = Length::from_mm(10.0), Length::new(1.0), "10 mm to 1 m", "";

    PIN_GAP: Length = Length::ZERO, Length::from_mm(200.0), "0 mm to 200 mm",
        "free width on the pin beside what bears on it";

    GROUND_ACROSS: Length = Length::new(-500.0), Length::new(500.0), "-500 m to 500 m",
        "metres on the ground in the plan's own frame";
    GROUND_UP: Length = Length::new(-200.0), Length::new(200.0), "-200 m to 200 m",
        "height of the ground there";
    STEM: Length = Length::from_mm(80.0), Length::new(1.5), "80 mm to 1.5 m",
        "diameter of the stem at breast height; the figures are for trees of this size";
    STRAP_HEIGHT: Length = Length::ZERO, Length::new(10.0), "0 m to 10 m", "";
    TREE_HEIGHT: Length = Length::new(2.0), Length::new(150.0), "2 m to 150 m", "";
    DEADMAN_DEPTH: Length = Length::new(0.3), Length::new(5.0), "0.3 m to 5 m", "";
    LINE_SLOPE: Slope = Slope(Angle::from_deg(0.0)), Slope(Angle::from_deg(45.0)), "0 deg to 45 deg",
        "a line steeper than 1 in 1 lifts the anchor out";
    DEADMAN_FACE: Length = Length::from_mm(50.0), Length::new(2.0), "50 mm to 2 m", "";
    DEADMAN_LENGTH: Length = Length::new(0.3), Length::new(10.0), "0.3 m to 10 m", "";
    TRENCH: Length = Length::from_mm(50.0), Length::new(2.0), "50 mm to 2 m", "";
    PINS: u8 = 1, 20, "1 to 20", "";
    ANCHOR_FACING: Angle = Angle::from_deg(-360.0), Angle::from_deg(360.0), "-360 deg to 360 deg",
        "where its nose points, anticlockwise from +x seen from above";
    ANCHOR_SLOPE: Slope = Slope(Angle::from_deg(-45.0)), Slope(Angle::from_deg(45.0)), "-45 deg to 45 deg",
        "positive when the line pulls it downhill";

    DAMPER_MASS: Mass = Mass::new(0.1), Mass::new(100.0), "0.1 kg to 100 kg", "";
    DRAG_AREA: Area = Area::from_cm2(1.0), Area::new(3.0), "1 cm2 to 3 m2", "";
    SLIP_FORCE: Force = Force::new(1.0), Force::from_kn(50.0), "1 N to 50 kN", "";
    TETHER_LENGTH: Length = Length::from_mm(50.0), Length::new(30.0), "50 mm to 30 m", "";
    TETHER_MBS: Force = Force::new(100.0), Force::from_kn(1000.0), "100 N to 1000 kN", "";
    TETHER_STRETCH: Share = percent(0.5), percent(100.0), "0.5 % to 100 %", "";

    BOARD_COUNT: u32 = 1, 16, "1 to 16", "";
    SHOVELS: u32 = 0, 50, "0 to 50", "";

    RUN_UP: Speed = Speed::from_kmh(0.5), Speed::from_kmh(60.0), "0.5 km/h to 60 km/h", "";
    SLACK: Length = Length::ZERO, Length::new(50.0), "0 m to 50 m", "";

    EDGE_RADIUS: Length = Length::ZERO, Length::new(50.0), "0 m to 50 m", "0 m is a sharp edge";
    ALONG_WAY: Length = Length::ZERO, Length::new(1000.0), "0 m to 1000 m",
        "along the ground from the top of the way";
    WHEELBASE: Length = Length::new(1.0), Length::new(8.0), "1 m to 8 m", "";
    CG_HEIGHT: Length = Length::from_mm(200.0), Length::new(3.0), "200 mm to 3 m", "";
    OVERHANG: Length = Length::ZERO, Length::new(3.0), "0 m to 3 m", "";
    CLEARANCE: Length = Length::from_mm(50.0), Length::new(1.5), "50 mm to 1.5 m", "";
    FRONT_SHARE: Share = percent(20.0), percent(80.0), "20 % to 80 %", "";
    OWN_HOLD: Share = percent(0.0), percent(80.0), "0 % to 80 %",
        "share of the load on the wheels that its own brakes or engine hold back with";
    LOWER_SPEED: Speed = Speed::from_kmh(0.1), Speed::from_kmh(6.0), "0.1 km/h to 6 km/h",
        "walking pace: a faster lowering cannot be stopped";
    ANCHOR_BACK: Length = Length::new(0.5), Length::new(200.0), "0.5 m to 200 m",
        "uphill of the top of the way";
    TURNS: f64 = 0.5, 8.0, "0.5 to 8", "";
    FRICTION: f64 = 0.02, 0.8, "0.02 to 0.8", "";
    HAND_LIMIT: Force = Force::new(20.0), Force::new(500.0), "20 N to 500 N",
        "what a hand holds for minutes";
    HEAT_MASS: Mass = Mass::new(0.1), Mass::new(500.0), "0.1 kg to 500 kg", "";
    BELAY_SLIP: Force = Force::new(500.0), Force::from_kn(200.0), "500 N to 200 kN", "";

    CREW: u32 = 1, 100, "1 to 100", "somebody drives";
    BYSTANDERS: u32 = 0, 10_000, "0 to 10000", "";
    BYSTANDERS_AT: Length = Length::ZERO, Length::new(1000.0), "0 m to 1000 m", "";

    DESIGN_QUANTILE: Share = percent(50.0), percent(99.9), "50 % to 99.9 %", "";
    SHIFT_PROBABILITY: Share = percent(1.0), percent(99.9), "1 % to 99.9 %", "";
    DESIGN_FACTOR: f64 = 1.2, 20.0, "1.2 to 20", "MBS over load";
    PARTING: Share = percent(0.0001), percent(10.0), "0.0001 % to 10 %", "";
    WLL_PASSED: Share = percent(0.001), percent(10.0), "0.001 % to 10 %",
        "the design load never passes a working load limit, whatever this says";
    MAX_RUN_UP: Speed = Speed::from_kmh(1.0), Speed::from_kmh(40.0), "1 km/h to 40 km/h", "";
    OCCUPANT_G: f64 = 0.1, 5.0, "0.1 to 5", "as a multiple of standard gravity";
    LINE_LENGTHS: f64 = 1.5, 20.0, "1.5 to 20",
        "1.5 line lengths is the published rule (Trade Practices Regulations 2010 reg. 8); a policy may be stricter, not looser";
    WIRE_LENGTHS: f64 = 2.0, 20.0, "2 to 20",
        "2 line lengths is the published rule (US Army FM 4-30.31 ch. 4); a policy may be stricter, not looser";
    STANDOFF_MIN: Length = Length::new(5.0), Length::new(500.0), "5 m to 500 m", "";
    ZONE_QUANTILE: Share = percent(50.0), percent(99.9), "50 % to 99.9 %", "";
    INJURY_ENERGY: Energy = Energy::new(1.0), Energy::new(79.0), "1 J to 79 J",
        "79 J is the published criterion (US DDESB TP-12); a policy may be stricter, not looser";
    STRAP_RATIO: f64 = 1.0, 10.0, "1 to 10", "";

    CELL_RANGE: Force = Force::new(100.0), Force::from_kn(5000.0), "100 N to 5000 kN", "";
    CELL_UNCERTAINTY: Share = percent(0.001), percent(50.0), "0.001 % to 50 %", "";
    CELL_RESIDUAL: Force = Force::new(0.01), Force::from_kn(100.0), "0.01 N to 100 kN", "";
    COVERAGE: f64 = 1.0, 5.0, "1 to 5", "2 on most certificates";
    CFC: f64 = 1.0, 10_000.0, "1 to 10000", "SAE J211 names 60, 180, 600 and 1000";
    SAMPLE_STEP: Duration = Duration::from_ms(0.005), Duration::new(10.0), "0.005 ms to 10 s", "";
    LONGEST_GAP: Duration = Duration::from_ms(0.005), Duration::new(60.0), "0.005 ms to 60 s", "";
    EVENT_TIME: Duration = Duration::from_ms(0.1), Duration::from_min(10.0), "0.1 ms to 10 min", "";
    WHICH_PULL: u32 = 1, 10_000, "1 to 10000", "counted from the start of the log, rebounds left out";
    SHIFT: Duration = Duration::from_min(-60.0), Duration::from_min(60.0), "-60 min to 60 min", "";
    SHIFT_UNCERTAINTY: Duration = Duration::ZERO, Duration::from_min(1.0), "0 s to 1 min", "";
    KNOTS: u8 = 1, 6, "1 to 6", "";
    CONFIDENCE: Share = percent(50.0), percent(99.9), "50 % to 99.9 %", "";
    FRAME_RATE: f64 = 5.0, 100_000.0, "5 to 100000", "frames a second as recorded, not as played";
    FRAME_RATE_UNCERTAINTY: f64 = 0.0, 1000.0, "0 to 1000", "";
    PICTURE_ROWS: f64 = 16.0, 20_000.0, "16 to 20000", "";
    LENGTH_UNCERTAINTY: Length = Length::ZERO, Length::new(5.0), "0 m to 5 m", "";
    CLICK: f64 = 0.1, 100.0, "0.1 to 100", "pixels";
    SEEN_FRAME: u32 = 1, 100_000_000, "1 to 100000000", "the first frame that shows it; in frame 0 it was over";
    SEEN_FRAMES: f64 = 0.0, 1000.0, "0 to 1000", "frames";
    EVENT_ROW: f64 = 0.0, 20_000.0, "0 to 20000", "pixels down";
    ASKEW: Share = percent(0.0), percent(50.0), "0 % to 50 %", "";
    SPREAD_PULLS: u32 = 2, 10_000, "2 to 10000", "one pull has no spread";
    PULLS_EACH: u32 = 1, 200, "1 to 200", "";
}
