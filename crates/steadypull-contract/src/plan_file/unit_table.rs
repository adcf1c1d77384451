//! The units of each quantity, as people write them.
//!
//! Factors live in the engine's `units`; here are only spellings. A rating in
//! tonnes, kilograms or pounds is the weight of that mass, converted once, here.

use steadypull_engine::units::{
    Angle, Area, Charge, Current, Duration, Energy, Flow, Force, Length, LineMass, Mass, Power,
    Pressure, Resistance, Speed, Temperature, Voltage,
};

/// One unit: its spellings, the usual one first, and what a number of it is.
pub(super) struct UnitOf<Q> {
    pub spellings: &'static [&'static str],
    pub make: fn(f64) -> Q,
}

/// A quantity that is written as a number with a unit.
pub(super) trait Quantity: Copy + PartialOrd + super::number::InSi + 'static {
    /// What it is, with its article.
    const WHAT: &'static str;
    /// How one is written.
    const EXAMPLE: &'static str;
    /// Its units.
    const UNITS: &'static [UnitOf<Self>];
    /// What `1 in 5` means, for a slope.
    const IN_RATIO: Option<fn(f64) -> Self> = None;

    /// How a bare number would be written with a unit.
    fn with_unit(number: &str) -> String;

    /// Its size in SI, to see whether it is finite.
    fn si(self) -> f64;
}

/// A part of the whole, written in per cent.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub(super) struct Share(pub f64);

/// A slope, written in degrees, per cent of grade, or as 1 in 5.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub(super) struct Slope(pub Angle);

macro_rules! quantities {
    ($($name:ident: $what:literal, $example:literal, $si:expr, { $($($spelling:literal)|+ => $make:expr;)+ })+) => {
        $(
            impl Quantity for $name {
                const WHAT: &'static str = $what;
                const EXAMPLE: &'static str = $example;
                const UNITS: &'static [UnitOf<Self>] =
                    &[$(UnitOf { spellings: &[$($spelling),+], make: $make }),+];
                const IN_RATIO: Option<fn(f64) -> Self> = Self::RATIO;

                fn with_unit(number: &str) -> String {
                    Self::with_likely_unit(number, Self::UNITS[0].spellings[0])
                }

                fn si(self) -> f64 {
                    let si: fn(Self) -> f64 = $si;
                    si(self)
                }
            }
        )+

        /// What is measured in `unit`.
        pub(super) fn measured_in(unit: &str) -> Option<&'static str> {
            let all: &[(&[&[&str]], &'static str)] =
                &[$((&[$(&[$($spelling),+]),+], $what)),+];
            all.iter().find(|(units, _)| units.iter().any(|u| u.contains(&unit))).map(|u| u.1)
        }
    };
}

/// How some quantities are written that others are not.
trait Written: Sized {
    /// Only a slope is also written as a ratio.
    const RATIO: Option<fn(f64) -> Self> = None;

    /// What was probably meant by a number without a unit.
    fn with_likely_unit(number: &str, unit: &str) -> String {
        format!("\"{number} {unit}\"")
    }
}

impl Written for Share {
    /// A share below one was probably meant as the plain ratio: 0.3 is 30 %.
    fn with_likely_unit(number: &str, unit: &str) -> String {
        let ratio = number
            .parse::<f64>()
            .ok()
            .filter(|ratio| (0.0..1.0).contains(ratio));
        match ratio {
            Some(ratio) => format!(
                "\"{}\" if the plain ratio {number} is meant",
                super::defaults::written(ratio * 100.0, unit)
            ),
            None => format!("\"{number} {unit}\""),
        }
    }
}

impl Written for Slope {
    const RATIO: Option<fn(f64) -> Self> = Some(|grade| Self(Angle::from_grade(grade)));
}

macro_rules! plainly_written {
    ($($name:ident)+) => { $(impl Written for $name {})+ };
}
plainly_written!(Mass Force Length Speed Angle Energy Duration Pressure Power LineMass Area);
plainly_written!(Current Voltage Charge Resistance Flow Temperature);

fn square(side: Length, count: f64) -> Area {
    Area::new(side.get() * side.get() * count)
}

fn per_minute(length: Length) -> Speed {
    Speed::new(length.get() / Duration::from_min(1.0).get())
}

quantities! {
    Mass: "a mass", "2.6 t", |q| q.get(), {
        "kg" => Mass::new;
        "t" | "tonne" | "tonnes" => Mass::from_t;
        "lb" | "lbs" => Mass::from_lb;
        "g" => |v| Mass::new(v / 1e3);
    }
    Force: "a force or rating", "9 t", |q| q.get(), {
        "kN" => Force::from_kn;
        "N" => Force::new;
        "t" | "tf" | "tonne" | "tonnes" => Force::from_tf;
        "kg" | "kgf" => Force::from_kgf;
        "lbf" | "lb" | "lbs" => Force::from_lbf;
    }
    Length: "a length", "9 m", |q| q.get(), {
        "m" => Length::new;
        "cm" => |v| Length::from_mm(v * 10.0);
        "mm" => Length::from_mm;
        "ft" => Length::from_ft;
        "in" | "inch" | "inches" => Length::from_inch;
    }
    Speed: "a speed", "12 km/h", |q| q.get(), {
        "km/h" | "kmh" | "kph" => Speed::from_kmh;
        "m/s" => Speed::new;
        "m/min" => |v| per_minute(Length::new(v));
        "mph" => Speed::from_mph;
        "ft/s" => |v| Speed::new(Length::from_ft(v).get());
        "ft/min" => |v| per_minute(Length::from_ft(v));
    }
    Angle: "an angle", "8 deg", |q| q.get(), {
        "deg" | "\u{b0}" | "degrees" => Angle::from_deg;
    }
    Slope: "a slope", "8 deg\", \"18 %\" or \"1 in 5", |q| q.0.get(), {
        "deg" | "\u{b0}" | "degrees" => |v| Slope(Angle::from_deg(v));
        "%" => |v| Slope(Angle::from_grade(v / 100.0));
    }
    Share: "a share", "30 %", |q| q.0, {
        "%" => |v| Share(v / 100.0);
    }
    Energy: "an energy", "79 J", |q| q.get(), {
        "J" => Energy::new;
        "kJ" => Energy::from_kj;
        "ft lbf" | "ft lb" | "ft-lbf" | "ft-lb" => Energy::from_ft_lbf;
    }
    Duration: "a time", "40 min", |q| q.get(), {
        "s" => Duration::new;
        "min" => Duration::from_min;
        "h" | "hours" | "hour" => |v| Duration::from_min(v * 60.0);
        "d" | "days" | "day" => |v| Duration::from_min(v * 24.0 * 60.0);
        "ms" => Duration::from_ms;
    }
    Pressure: "a pressure", "35 psi", |q| q.get(), {
        "psi" => Pressure::from_psi;
        "kPa" => Pressure::from_kpa;
        "bar" => Pressure::from_bar;
    }
    Power: "a power", "110 kW", |q| q.get(), {
        "kW" => Power::from_kw;
        "W" => Power::new;
        "hp" => Power::from_hp;
    }
    LineMass: "a mass per length", "0.55 kg/m", |q| q.get(), {
        "kg/m" => LineMass::new;
        "g/m" => |v| LineMass::new(v / 1e3);
        "lb/ft" => LineMass::from_lb_per_ft;
    }
    Area: "an area", "0.05 m2", |q| q.get(), {
        "m2" | "m\u{b2}" => Area::new;
        "cm2" | "cm\u{b2}" => Area::from_cm2;
        "ft2" | "ft\u{b2}" | "sq ft" => |v| square(Length::from_ft(1.0), v);
        "mm2" | "mm\u{b2}" => |v| Area::from_cm2(v / 100.0);
    }
    Current: "a current", "400 A", |q| q.get(), {
        "A" => Current::new;
    }
    Voltage: "a voltage", "12 V", |q| q.get(), {
        "V" => Voltage::new;
    }
    Charge: "a battery's capacity", "75 Ah", |q| q.get(), {
        "Ah" => Charge::from_ah;
    }
    Resistance: "a resistance", "5 mohm", |q| q.get(), {
        "mohm" => Resistance::from_mohm;
        "ohm" => Resistance::new;
    }
    Flow: "a flow", "45 L/min", |q| q.get(), {
        "L/min" | "l/min" => Flow::from_l_per_min;
    }
    Temperature: "a temperature", "30 C", |q| q.get(), {
        "C" | "\u{b0}C" | "degC" => Temperature::new;
    }
}
