//! Units a log may come in, with the exact way into SI.
//!
//! Factors: NIST Special Publication 811 (2008), Guide for the Use of the International System
//! of Units, appendix B.8: foot 0.3048 m, inch 0.0254 m, kilogram-force 9.806 65 N and standard
//! gravity 9.806 65 m/s² exact; pound-force 4.448 222 N there, exactly 0.453 592 37 kg times
//! 9.806 65 m/s², which is 4.448 221 615 260 5 N; kip 1000 lbf; metric ton-force 1000 kgf.

use serde::{Deserialize, Serialize};

/// What a channel tells of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Quantity {
    /// A force, N.
    Force,
    /// A length moved, m.
    Displacement,
    /// An acceleration, m/s².
    Acceleration,
    /// Anything else: volts, degrees, counts; the unit is told as written.
    Other,
}

/// A known unit. A value in SI is the written value times `times`, divided by `over`; both are
/// exact as stored, so that a value is rounded twice at most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// Its symbol, as kept in a recipe.
    pub symbol: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// The SI unit values come out in.
    pub si: &'static str,
    /// Multiplies the written value.
    pub times: f64,
    /// Divides what comes of that.
    pub over: f64,
    spellings: &'static [&'static str],
}

impl Unit {
    /// The unit of a spelling such as `kN`, `lbs`, `µm` or `m/s^2`; none where it is not known.
    /// Where letters of either case mean different units (`mN`, `MN`), only the exact case counts.
    pub fn named(text: &str) -> Option<&'static Unit> {
        let text = text.trim();
        let exact = |unit: &&Unit| unit.symbol == text || unit.spellings.contains(&text);
        UNITS.iter().find(exact).or_else(|| {
            let lower = text.to_lowercase();
            let loose =
                |s: &&str| s.len() > 1 && !CASE_MATTERS.contains(s) && s.to_lowercase() == lower;
            UNITS
                .iter()
                .find(|u| u.spellings.iter().chain([&u.symbol]).any(&loose))
        })
    }

    /// A written value in SI.
    pub fn to_si(&self, value: f64) -> f64 {
        value * self.times / self.over
    }

    /// The written value of one in SI.
    pub(crate) fn written(&self, value: f64) -> f64 {
        value * self.over / self.times
    }

    /// Whether a written value is one in SI.
    pub(crate) fn is_si(&self) -> bool {
        self.times == self.over
    }

    /// All units there are.
    pub fn all() -> &'static [Unit] {
        &UNITS
    }
}

/// Spellings of which another case is another unit.
const CASE_MATTERS: [&str; 4] = ["mN", "MN", "mV", "Mg"];

const fn unit(
    symbol: &'static str,
    quantity: Quantity,
    si: &'static str,
    (times, over): (f64, f64),
    spellings: &'static [&'static str],
) -> Unit {
    Unit {
        symbol,
        quantity,
        si,
        times,
        over,
        spellings,
    }
}

use Quantity::{Acceleration, Displacement, Force, Other};

static UNITS: [Unit; 22] = [
    unit(
        "kN",
        Force,
        "N",
        (1000.0, 1.0),
        &["kilonewton", "kilonewtons"],
    ),
    unit("N", Force, "N", (1.0, 1.0), &["newton", "newtons"]),
    unit("daN", Force, "N", (10.0, 1.0), &[]),
    unit("mN", Force, "N", (1.0, 1000.0), &[]),
    unit("MN", Force, "N", (1e6, 1.0), &[]),
    unit(
        "kgf",
        Force,
        "N",
        (980_665.0, 100_000.0),
        &["kg", "kgs", "kp"],
    ),
    unit(
        "tf",
        Force,
        "N",
        (980_665.0, 100.0),
        &["t", "tonne", "tonnes"],
    ),
    unit(
        "lbf",
        Force,
        "N",
        (44_482_216_152_605.0, 1e13),
        &["lb", "lbs"],
    ),
    unit(
        "klbf",
        Force,
        "N",
        (44_482_216_152_605.0, 1e10),
        &["kip", "kips", "klb", "klbs"],
    ),
    unit(
        "m",
        Displacement,
        "m",
        (1.0, 1.0),
        &["metre", "metres", "meter", "meters"],
    ),
    unit("cm", Displacement, "m", (1.0, 100.0), &[]),
    unit(
        "mm",
        Displacement,
        "m",
        (1.0, 1000.0),
        &["millimetre", "millimetres"],
    ),
    unit(
        "um",
        Displacement,
        "m",
        (1.0, 1e6),
        &["µm", "μm", "micron", "microns"],
    ),
    unit(
        "in",
        Displacement,
        "m",
        (254.0, 10_000.0),
        &["inch", "inches", "\""],
    ),
    unit(
        "ft",
        Displacement,
        "m",
        (3048.0, 10_000.0),
        &["foot", "feet"],
    ),
    unit(
        "m/s2",
        Acceleration,
        "m/s2",
        (1.0, 1.0),
        &["m/s²", "m/s^2", "m/s/s", "ms-2", "m.s-2"],
    ),
    unit(
        "g",
        Acceleration,
        "m/s2",
        (980_665.0, 100_000.0),
        &["gn", "g0"],
    ),
    unit("mg", Acceleration, "m/s2", (980_665.0, 1e8), &[]),
    unit(
        "ft/s2",
        Acceleration,
        "m/s2",
        (3048.0, 10_000.0),
        &["ft/s²", "ft/s^2"],
    ),
    unit("V", Other, "V", (1.0, 1.0), &["volt", "volts"]),
    unit(
        "mV",
        Other,
        "V",
        (1.0, 1000.0),
        &["millivolt", "millivolts"],
    ),
    unit("uV", Other, "V", (1.0, 1e6), &["µV", "μV"]),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST SP 811 (2008), appendix B.8, figures as printed there (from memory, seven digits).
    #[test]
    fn factors_are_those_of_sp_811() {
        let printed = [
            ("lbf", 4.448222),
            ("kgf", 9.80665),
            ("tf", 9806.65),
            ("kip", 4448.222),
            ("in", 0.0254),
            ("ft", 0.3048),
            ("g", 9.80665),
            ("mm", 0.001),
            ("ft/s2", 0.3048),
        ];
        for (name, si) in printed {
            let ours = Unit::named(name).unwrap().to_si(1.0);
            assert!((ours / si - 1.0).abs() < 2e-7, "{name}: {ours} and {si}");
        }
        assert_eq!(Unit::named("lbf").unwrap().to_si(1.0), 4.4482216152605);
        assert_eq!(Unit::named("mm").unwrap().to_si(3.0), 0.003);
    }

    #[test]
    fn case_counts_where_it_changes_the_unit() {
        assert_eq!(Unit::named("KN").unwrap().symbol, "kN");
        assert_eq!(Unit::named("LBS").unwrap().symbol, "lbf");
        assert_eq!(Unit::named("MN").unwrap().times, 1e6);
        assert_eq!(Unit::named("mN").unwrap().over, 1000.0);
        assert!(Unit::named("Mn").is_none());
        assert!(
            Unit::named("ton").is_none(),
            "short, long or metric: nobody knows"
        );
    }
}
