//! What varies: values that are a number of something, and their size in SI.

use steadypull_engine::units::{
    Angle, Area, Charge, Current, Duration, Energy, Flow, Force, Length, LineMass, Mass, Power,
    Pressure, Resistance, Speed, Temperature, Voltage,
};

use super::unit_table::{Share, Slope};

/// How a value that is a number is sized and made.
pub(super) struct Number<T> {
    /// What it is, with its article.
    pub what: &'static str,
    /// SI unit, empty for a plain number or a share.
    pub unit: &'static str,
    /// Whether only whole numbers will do.
    pub whole: bool,
    /// Its size in SI.
    pub size: fn(&T) -> f64,
    /// The value of this size, if there is one.
    pub of: fn(f64) -> Option<T>,
}

/// A quantity by its size in SI.
pub(super) trait InSi: Sized {
    /// The unit, empty for a share.
    const SI: &'static str;
    /// So much of it.
    fn from_si(size: f64) -> Self;
}

macro_rules! in_si {
    ($($name:ident)+) => { $(
        impl InSi for $name {
            const SI: &'static str = $name::SI_UNIT;
            fn from_si(size: f64) -> Self { $name::new(size) }
        }
    )+ };
}
in_si!(Mass Force Length Speed Angle Energy Duration Pressure Power LineMass Area);
in_si!(Current Voltage Charge Resistance Flow Temperature);

impl InSi for Share {
    const SI: &'static str = "";
    fn from_si(size: f64) -> Self {
        Self(size)
    }
}

impl InSi for Slope {
    const SI: &'static str = Angle::SI_UNIT;
    fn from_si(size: f64) -> Self {
        Self(Angle::new(size))
    }
}
