//! Numbers as people read them: always with a unit, three significant figures.

/// Which units people read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Metric.
    #[default]
    Metric,
    /// Imperial.
    Imperial,
}

const POUND_FORCE_N: f64 = crate::units::POUND_FORCE_N;
const POUND_KG: f64 = crate::units::POUND_KG;
const FOOT_M: f64 = crate::units::FOOT_M;
/// NIST SP 811, appendix B.
const PSI_PA: f64 = POUND_FORCE_N / (FOOT_M * FOOT_M / 144.0);
/// NIST SP 811, appendix B.
const US_GALLON_L: f64 = 3.785_411_784;
const G: f64 = crate::units::G;

impl Units {
    /// A force, such as `45.2 kN` or `10 200 lbf`.
    pub fn force(self, newtons: f64) -> String {
        match self {
            Self::Metric => format!("{} kN", figures(newtons / 1e3)),
            Self::Imperial => format!("{} lbf", figures(newtons / POUND_FORCE_N)),
        }
    }

    /// The force of a hand, such as `120 N` or `27 lbf`.
    pub fn hand_force(self, newtons: f64) -> String {
        match self {
            Self::Metric if newtons < 1e3 => format!("{} N", figures(newtons)),
            _ => self.force(newtons),
        }
    }

    /// A force as the load in tonnes or short tons that people rate gear by.
    pub fn force_as_load(self, newtons: f64) -> String {
        match self {
            Self::Metric => format!("{} t", figures(newtons / G / 1e3)),
            Self::Imperial => format!("{} lb", figures(newtons / POUND_FORCE_N)),
        }
    }

    /// A length, such as `13.5 m` or `44.3 ft`.
    pub fn length(self, metres: f64) -> String {
        match self {
            Self::Metric => format!("{} m", figures(metres)),
            Self::Imperial => format!("{} ft", figures(metres / FOOT_M)),
        }
    }

    /// A driving speed, such as `12 km/h`.
    pub fn speed(self, metres_per_second: f64) -> String {
        match self {
            Self::Metric => format!("{} km/h", figures(metres_per_second * 3.6)),
            Self::Imperial => {
                format!("{} mph", figures(metres_per_second * 3.6 / (1.609_344)))
            }
        }
    }

    /// The speed of something that flies, such as `80 m/s`.
    pub fn flight_speed(self, metres_per_second: f64) -> String {
        match self {
            Self::Metric => format!("{} m/s", figures(metres_per_second)),
            Self::Imperial => format!("{} ft/s", figures(metres_per_second / FOOT_M)),
        }
    }

    /// The speed of a line, such as `9.00 m/min`.
    pub fn line_speed(self, metres_per_second: f64) -> String {
        self.line_speed_axis().told(metres_per_second)
    }

    /// An energy, such as `24.1 kJ` or `17 800 ft lbf`.
    pub fn energy(self, joules: f64) -> String {
        match self {
            Self::Metric if joules.abs() < 1e3 => format!("{} J", figures(joules)),
            Self::Metric => format!("{} kJ", figures(joules / 1e3)),
            Self::Imperial => format!("{} ft lbf", figures(joules / (FOOT_M * POUND_FORCE_N))),
        }
    }

    /// A mass, such as `2600 kg` or `5730 lb`.
    pub fn mass(self, kilograms: f64) -> String {
        match self {
            Self::Metric => format!("{} kg", figures(kilograms)),
            Self::Imperial => format!("{} lb", figures(kilograms / POUND_KG)),
        }
    }

    /// A length of which a decimal is all that counts, such as `0.5 m` or `1.6 ft`.
    pub fn rough_length(self, metres: f64) -> String {
        match self {
            Self::Metric => format!("{metres:.1} m"),
            Self::Imperial => format!("{:.1} ft", metres / FOOT_M),
        }
    }

    /// A mass of which a decimal is all that counts, such as `1.3 kg` or `2.9 lb`.
    pub fn rough_mass(self, kilograms: f64) -> String {
        match self {
            Self::Metric => format!("{kilograms:.1} kg"),
            Self::Imperial => format!("{:.1} lb", kilograms / POUND_KG),
        }
    }

    /// A mass in whole units, such as `2600 kg` or `5732 lb`.
    pub fn whole_mass(self, kilograms: f64) -> String {
        match self {
            Self::Metric => format!("{kilograms:.0} kg"),
            Self::Imperial => format!("{:.0} lb", kilograms / POUND_KG),
        }
    }

    /// A mass as people say it, such as `5 kg` or `11 lb`.
    pub fn plain_mass(self, kilograms: f64) -> String {
        let tenths = |v: f64| (v * 10.0).round() / 10.0;
        match self {
            Self::Metric => format!("{} kg", tenths(kilograms)),
            Self::Imperial => format!("{} lb", tenths(kilograms / POUND_KG)),
        }
    }

    /// A length in whole units, such as `16 m` or `52 ft`.
    pub fn whole_length(self, metres: f64) -> String {
        match self {
            Self::Metric => format!("{metres:.0} m"),
            Self::Imperial => format!("{:.0} ft", metres / FOOT_M),
        }
    }

    /// A driving speed to a decimal, such as `9.8 km/h` or `6.1 mph`.
    pub fn rough_speed(self, metres_per_second: f64) -> String {
        let kmh = metres_per_second * 3.6;
        match self {
            Self::Metric => format!("{kmh:.1} km/h"),
            Self::Imperial => format!("{:.1} mph", kmh / 1.609_344),
        }
    }

    /// A pressure on ground or of what sticks to it, such as `4.0 kPa` or `84 psf`.
    pub fn ground_pressure(self, pascals: f64) -> String {
        match self {
            Self::Metric => format!("{:.1} kPa", pascals / 1e3),
            Self::Imperial => format!("{:.0} psf", pascals * FOOT_M * FOOT_M / POUND_FORCE_N),
        }
    }

    /// An area, such as `1.2 m2` or `12.9 ft2`.
    pub fn area(self, square_metres: f64) -> String {
        match self {
            Self::Metric => format!("{square_metres:.1} m2"),
            Self::Imperial => format!("{:.1} ft2", square_metres / (FOOT_M * FOOT_M)),
        }
    }

    /// A thickness, such as `450 mm` or `17.7 in`.
    pub fn thickness(self, metres: f64) -> String {
        match self {
            Self::Metric => format!("{:.0} mm", metres * 1e3),
            Self::Imperial => format!("{:.1} in", metres * 12.0 / FOOT_M),
        }
    }

    /// The pressure of oil, such as `140 bar` or `2030 psi`.
    pub fn oil_pressure(self, pascals: f64) -> String {
        self.oil_pressure_axis().told(pascals)
    }

    /// The flow of a pump, such as `45.0 L/min` or `11.9 gal/min` (US gallons).
    pub fn flow(self, cubic_metres_per_second: f64) -> String {
        let litres = cubic_metres_per_second * 60e3;
        match self {
            Self::Metric => format!("{} L/min", figures(litres)),
            Self::Imperial => format!("{} gal/min", figures(litres / US_GALLON_L)),
        }
    }

    /// A temperature, such as `80.0 C` or `176 F`.
    pub fn temperature(self, celsius: f64) -> String {
        let (sign, on_it) = self.degrees(celsius);
        format!("{} {sign}", figures(on_it))
    }

    /// The sign of the temperature scale, and a temperature on it.
    pub fn degrees(self, celsius: f64) -> (&'static str, f64) {
        match self {
            Self::Metric => ("C", celsius),
            Self::Imperial => ("F", celsius * 1.8 + 32.0),
        }
    }
}

/// The unit of a chart's axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisUnit {
    /// Its sign, such as `kN`.
    pub name: &'static str,
    /// SI units in one of it.
    pub si: f64,
}

impl AxisUnit {
    fn told(self, si: f64) -> String {
        format!("{} {}", figures(si / self.si), self.name)
    }
}

impl Units {
    /// The unit of the speed of a line.
    pub fn line_speed_axis(self) -> AxisUnit {
        self.axis(("m/min", 1.0 / 60.0), ("ft/min", FOOT_M / 60.0))
    }

    /// The unit of the pressure of oil.
    pub fn oil_pressure_axis(self) -> AxisUnit {
        self.axis(("bar", 1e5), ("psi", PSI_PA))
    }

    /// The unit of the force of a hand.
    pub fn hand_force_axis(self) -> AxisUnit {
        self.axis(("N", 1.0), ("lbf", POUND_FORCE_N))
    }

    /// The unit of a force axis.
    pub fn force_axis(self) -> AxisUnit {
        self.axis(("kN", 1e3), ("lbf", POUND_FORCE_N))
    }

    /// The unit of a length axis.
    pub fn length_axis(self) -> AxisUnit {
        self.axis(("m", 1.0), ("ft", FOOT_M))
    }

    /// The unit of a driving-speed axis.
    pub fn speed_axis(self) -> AxisUnit {
        self.axis(("km/h", 1.0 / 3.6), ("mph", 1.609_344 / 3.6))
    }

    /// The unit of an energy axis.
    pub fn energy_axis(self) -> AxisUnit {
        self.axis(("J", 1.0), ("ft lbf", FOOT_M * POUND_FORCE_N))
    }

    fn axis(self, metric: (&'static str, f64), imperial: (&'static str, f64)) -> AxisUnit {
        let (name, si) = match self {
            Self::Metric => metric,
            Self::Imperial => imperial,
        };
        AxisUnit { name, si }
    }
}

/// The number at an axis mark: as many decimals as the step between marks has.
pub fn tick(value: f64, step: f64) -> String {
    if !value.is_finite() {
        return "unknown".into();
    }
    let places = (-step.abs().log10_floor()).clamp(0, 9) as usize;
    let text = group(&format!("{value:.places$}"));
    if text
        .trim_start_matches('-')
        .chars()
        .all(|c| matches!(c, '0' | '.'))
    {
        return "0".into();
    }
    text
}

/// A share as a percentage, such as `43 %`.
pub fn percent(share: f64) -> String {
    let percent = share * 100.0;
    if percent != 0.0 && percent.abs() < 0.1 {
        return if percent > 0.0 {
            "under 0.1 %".into()
        } else {
            "over -0.1 %".into()
        };
    }
    if percent.abs() >= 99.95 && percent.abs() < 100.0 {
        return "over 99.9 %".into();
    }
    format!("{} %", figures(percent))
}

/// A probability found from samples, between the ends of its interval: one that never
/// happened is told by its upper end, one that always did by its lower.
pub fn likely(value: f64, low: f64, high: f64) -> String {
    let bounded = |word: &str, share: f64| match percent(share) {
        small if small.starts_with(word) => small,
        other => format!("{word} {other}"),
    };
    if value <= 0.0 && high > 0.0 {
        bounded("under", high)
    } else if value >= 1.0 && low < 1.0 {
        bounded("over", low)
    } else {
        percent(value)
    }
}

pub use crate::options::one_in;

/// How many of a hundred a share is, such as `95` or `99.5`: for stated levels.
pub fn of_100(share: f64) -> String {
    let text = figures(share * 100.0);
    match text.split_once('.') {
        Some((whole, rest)) if rest.chars().all(|c| c == '0') => whole.into(),
        _ => text,
    }
}

/// A time, such as `0.32 s`.
pub fn seconds(seconds: f64) -> String {
    // No model here tells times apart that are closer than this.
    const LEAST_S: f64 = 1e-4;
    let told = if seconds.abs() < LEAST_S {
        0.0
    } else {
        seconds
    };
    format!("{} s", figures(told))
}

/// An acceleration in shares of standard gravity, such as `0.8 g`.
pub fn gravities(metres_per_second_squared: f64) -> String {
    format!("{} g", figures(metres_per_second_squared / G))
}

/// Three significant figures, thousands set apart by a thin gap from five digits on. What
/// is left of a difference, under a millionth of a thousandth, is told as nothing.
pub fn figures(value: f64) -> String {
    const LEAST: f64 = 1e-9;
    if !value.is_finite() {
        return "unknown".into();
    }
    if value.abs() < LEAST {
        return "0".into();
    }
    let mut places = 2 - (value.abs().log10_floor());
    // Rounding may carry into another digit: 9.996 is 10.0, not 10.00.
    let step = 10f64.powi(-places);
    let rounded = (value / step).round() * step;
    if rounded.abs().log10_floor() > value.abs().log10_floor() {
        places -= 1;
    }
    let text = format!("{:.*}", places.max(0) as usize, rounded);
    group(&text)
}

trait Log10Floor {
    fn log10_floor(self) -> i32;
}

impl Log10Floor for f64 {
    /// The decimal exponent, exact at the powers of ten.
    fn log10_floor(self) -> i32 {
        let text = format!("{self:e}");
        text.rsplit_once('e')
            .and_then(|(_, e)| e.parse().ok())
            .unwrap_or(0)
    }
}

fn group(text: &str) -> String {
    let (sign, digits) = text.strip_prefix('-').map_or(("", text), |d| ("-", d));
    let (whole, rest) = digits.split_once('.').map_or((digits, ""), |(w, r)| (w, r));
    let mut out = String::new();
    for (i, c) in whole.chars().enumerate() {
        if whole.len() > 4 && i > 0 && (whole.len() - i).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(c);
    }
    if rest.is_empty() {
        format!("{sign}{out}")
    } else {
        format!("{sign}{out}.{rest}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn never_seen_is_told_by_its_upper_end() {
        assert_eq!(likely(0.0, 0.0, 0.0058), "under 0.580 %");
        assert_eq!(likely(0.0, 0.0, 0.0001), "under 0.1 %");
        assert_eq!(likely(0.0, 0.0, 0.0), "0 %");
        assert_eq!(likely(1.0, 0.994, 1.0), "over 99.4 %");
        assert_eq!(likely(1.0, 0.9999, 1.0), "over 99.9 %");
        assert_eq!(likely(0.25, 0.2, 0.3), percent(0.25));
    }

    #[test]
    fn three_figures() {
        let cases = [
            (0.0, "0"),
            (9.996, "10.0"),
            (45_231.0, "45 200"),
            (0.012_34, "0.0123"),
            (-3.456, "-3.46"),
            (1000.0, "1000"),
            (99.96, "100"),
            (12_345_678.0, "12 300 000"),
        ];
        for (value, text) in cases {
            assert_eq!(figures(value), text, "{value}");
        }
        assert_eq!(figures(f64::NAN), "unknown");
    }

    #[test]
    fn axis_marks_have_the_decimals_of_their_step() {
        assert_eq!(tick(20.0, 20.0), "20");
        assert_eq!(tick(0.6000000001, 0.2), "0.6");
        assert_eq!(tick(12_000.0, 2000.0), "12 000");
        assert_eq!(tick(-0.0, 0.5), "0");
        assert_eq!(Units::Imperial.speed_axis().si, 0.44704);
    }

    #[test]
    fn units_in_both_systems() {
        assert_eq!(Units::Metric.force(45_231.0), "45.2 kN");
        assert_eq!(Units::Imperial.force(4_448.221_615_260_5), "1000 lbf");
        assert_eq!(Units::Imperial.speed(4.4704), "10.0 mph");
        assert_eq!(percent(0.0005), "under 0.1 %");
        assert_eq!(percent(0.9999), "over 99.9 %");
        assert_eq!(percent(0.43), "43.0 %");
    }
}
