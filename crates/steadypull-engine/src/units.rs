//! Quantities with their units: a force is not a number.
//!
//! SI inside, radians for angles; other units enter and leave through the
//! named constructors and getters here and nowhere else. The factors are exact
//! by definition: the international pound 0.453 592 37 kg and foot 0.3048 m
//! (agreement of 1959) and standard gravity 9.806 65 m/s² (3rd CGPM, 1901).

use core::ops::{Add, Div, Mul, Neg, Sub};

/// Standard gravity, m/s².
pub const G: f64 = 9.806_65;
/// One pound, kg.
pub const POUND_KG: f64 = 0.453_592_37;
/// One foot, m.
pub const FOOT_M: f64 = 0.3048;
/// One pound-force, N.
pub const POUND_FORCE_N: f64 = POUND_KG * G;

macro_rules! quantity {
    ($(#[$meta:meta])* $name:ident, $si:literal, { $($(#[$um:meta])* $from:ident / $to:ident = $factor:expr;)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            #[doc = concat!("The SI unit, ", $si, ".")]
            pub const SI_UNIT: &'static str = $si;

            #[doc = concat!("From a value in ", $si, ".")]
            pub const fn new(si: f64) -> Self { Self(si) }
            #[doc = concat!("The value in ", $si, ".")]
            pub const fn get(self) -> f64 { self.0 }
            $(
                $(#[$um])*
                pub const fn $from(value: f64) -> Self { Self(value * $factor) }
                $(#[$um])*
                pub const fn $to(self) -> f64 { self.0 / $factor }
            )*
            /// True unless the value is NaN or infinite.
            pub const fn is_finite(self) -> bool { self.0.is_finite() }
            /// The smaller of two.
            pub const fn min(self, other: Self) -> Self { Self(self.0.min(other.0)) }
            /// The larger of two.
            pub const fn max(self, other: Self) -> Self { Self(self.0.max(other.0)) }
            /// Its size without its sign.
            pub const fn abs(self) -> Self { Self(self.0.abs()) }
        }
        impl Add for $name { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
        impl Sub for $name { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
        impl Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl Mul<f64> for $name { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
        impl Mul<$name> for f64 { type Output = $name; fn mul(self, q: $name) -> $name { $name(self * q.0) } }
        impl Div<f64> for $name { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
        impl Div for $name { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
        impl core::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iter: I) -> Self { iter.fold(Self::ZERO, Add::add) }
        }
    };
}

quantity!(
    /// A force or tension.
    Force, "N", {
        /// Kilonewtons.
        from_kn / to_kn = 1e3;
        /// Pounds-force.
        from_lbf / to_lbf = POUND_FORCE_N;
        /// Kilograms-force: how gear is often rated.
        from_kgf / to_kgf = G;
        /// Tonnes-force (1000 kgf): how gear is often rated.
        from_tf / to_tf = 1e3 * G;
    }
);
quantity!(
    /// A mass.
    Mass, "kg", {
        /// Tonnes.
        from_t / to_t = 1e3;
        /// Pounds.
        from_lb / to_lb = POUND_KG;
    }
);
quantity!(
    /// A length or distance.
    Length, "m", {
        /// Millimetres.
        from_mm / to_mm = 1e-3;
        /// Feet.
        from_ft / to_ft = FOOT_M;
        /// Inches.
        from_inch / to_inch = FOOT_M / 12.0;
    }
);
quantity!(
    /// A speed.
    Speed, "m/s", {
        /// Kilometres per hour.
        from_kmh / to_kmh = 1.0 / 3.6;
        /// Miles per hour.
        from_mph / to_mph = 5280.0 * FOOT_M / 3600.0;
    }
);
quantity!(
    /// A plane angle.
    Angle, "rad", {
        /// Degrees.
        from_deg / to_deg = core::f64::consts::PI / 180.0;
    }
);
quantity!(
    /// An energy.
    Energy, "J", {
        /// Kilojoules.
        from_kj / to_kj = 1e3;
        /// Foot pounds-force.
        from_ft_lbf / to_ft_lbf = FOOT_M * POUND_FORCE_N;
    }
);
quantity!(
    /// A time span.
    Duration, "s", {
        /// Minutes.
        from_min / to_min = 60.0;
        /// Milliseconds.
        from_ms / to_ms = 1e-3;
    }
);
quantity!(
    /// A pressure.
    Pressure, "Pa", {
        /// Kilopascals.
        from_kpa / to_kpa = 1e3;
        /// Bar.
        from_bar / to_bar = 1e5;
        /// Pounds per square inch.
        from_psi / to_psi = POUND_FORCE_N / (FOOT_M / 12.0) / (FOOT_M / 12.0);
    }
);
quantity!(
    /// A power.
    Power, "W", {
        /// Kilowatts.
        from_kw / to_kw = 1e3;
        /// Mechanical horsepower, 550 ft lbf/s.
        from_hp / to_hp = 550.0 * FOOT_M * POUND_FORCE_N;
    }
);
quantity!(
    /// A stiffness.
    Stiffness, "N/m", {
        /// Kilonewtons per metre.
        from_kn_per_m / to_kn_per_m = 1e3;
    }
);
quantity!(
    /// Mass of line by length.
    LineMass, "kg/m", {
        /// Pounds per foot.
        from_lb_per_ft / to_lb_per_ft = POUND_KG / FOOT_M;
    }
);
quantity!(
    /// An area.
    Area, "m2", {
        /// Square centimetres.
        from_cm2 / to_cm2 = 1e-4;
    }
);

quantity!(
    /// An electric current.
    Current, "A", {}
);
quantity!(
    /// A voltage.
    Voltage, "V", {}
);
quantity!(
    /// An electric resistance.
    Resistance, "ohm", {
        /// Milliohms.
        from_mohm / to_mohm = 1e-3;
    }
);
quantity!(
    /// An electric charge.
    Charge, "C", {
        /// Ampere hours.
        from_ah / to_ah = 3600.0;
    }
);
quantity!(
    /// A flow by volume.
    Flow, "m3/s", {
        /// Litres per minute.
        from_l_per_min / to_l_per_min = 1e-3 / 60.0;
    }
);
quantity!(
    /// A temperature on the Celsius scale.
    Temperature, "degC", {}
);

impl Mass {
    /// The weight of this mass under standard gravity.
    pub fn weight(self) -> Force {
        Force::new(self.get() * G)
    }
}

impl Angle {
    /// The angle of a slope whose rise over run is `grade` (0.18 for 18 %).
    pub fn from_grade(grade: f64) -> Self {
        Self::new(libm::atan(grade))
    }
    /// Sine.
    pub fn sin(self) -> f64 {
        libm::sin(self.get())
    }
    /// Cosine.
    pub fn cos(self) -> f64 {
        libm::cos(self.get())
    }
    /// Tangent.
    pub fn tan(self) -> f64 {
        libm::tan(self.get())
    }
}

/// Kinetic energy of a mass at a speed.
pub fn kinetic_energy(mass: Mass, speed: Speed) -> Energy {
    Energy::new(0.5 * mass.get() * speed.get() * speed.get())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn same(a: f64, b: f64) {
        assert!((a - b).abs() <= 1e-12 * b.abs(), "{a} is not {b}");
    }

    #[test]
    fn every_factor_both_ways() {
        same(Mass::from_lb(4500.0).get(), 2_041.165_665);
        same(Mass::new(2_041.165_665).to_lb(), 4500.0);
        same(Force::from_lbf(1.0).get(), 4.448_221_615_260_5);
        same(Force::new(4.448_221_615_260_5).to_lbf(), 1.0);
        same(Force::from_tf(9.0).get(), 88_259.85);
        same(Force::from_kgf(1.0).to_tf(), 1e-3);
        same(Length::from_ft(30.0).get(), 9.144);
        same(Length::from_inch(1.0).to_mm(), 25.4);
        same(Speed::from_kmh(18.0).get(), 5.0);
        same(Speed::from_mph(1.0).get(), 0.447_04);
        same(Angle::from_deg(180.0).get(), core::f64::consts::PI);
        same(Pressure::from_psi(35.0).to_kpa(), 241.316_505_260_892_64);
        same(Pressure::from_bar(1.0).get(), 1e5);
        same(Power::from_hp(1.0).get(), 745.699_871_582_270_3);
        same(Energy::from_ft_lbf(58.0).get(), 78.637_441_003_221_23);
        same(LineMass::from_lb_per_ft(1.0).get(), 1.488_163_943_569_553_6);
        same(Angle::from_grade(0.18).tan(), 0.18);
        same(Resistance::from_mohm(5.0).get(), 0.005);
        same(Charge::from_ah(1.0).get(), 3600.0);
        same(Flow::from_l_per_min(60.0).get(), 1e-3);
        same(Mass::from_t(2.6).weight().get(), 25_497.29);
    }
}
