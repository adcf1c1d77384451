//! From what the cell reads to load, with the certificate behind it.
//!
//! | what | rule | source |
//! |---|---|---|
//! | lower limit factor | `LLF = 2.4 s`, `s` the residual standard deviation of the fit | ASTM E74, CV-CAL-01, from memory |
//! | class A, class AA | loads from `400 LLF`, `2000 LLF` up | as above |
//! | class 00, 0.5, 1, 2 | reproducibility within 0.05, 0.10, 0.20, 0.40 % | ISO 376:2011 table 2, CV-CAL-02, from memory |
//! | standard uncertainty of a certificate | its expanded uncertainty over its factor `k` | JCGM 100:2008 4.3.3 |
//!
//! From a class alone the standard uncertainty is taken as its limit over √3 (evenly
//! spread within it; assumed). A certificate holds for steady load: neither standard speaks
//! of a pull that lasts a tenth of a second, nor of load that falls, nor of the
//! temperature on the day.
//!
//! No clock here: the date of the test comes with the question.

use steadypull_engine::show::Units;
use thiserror::Error;

/// A day of the calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

/// How a reading less its zero becomes load.
#[derive(Debug, Clone, PartialEq)]
pub enum Law {
    /// Load in N for one unit read.
    Gain(f64),
    /// Load in N as `c0 + c1 r + c2 r² + …` of the reading `r`.
    Polynomial(Vec<f64>),
}

/// What the certificate says about its own doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stated {
    /// Expanded uncertainty as a share of the load, and its coverage factor.
    Relative {
        /// Share of the load, 0.0025 for 0.25 %.
        expanded: f64,
        /// Coverage factor, 2 as a rule.
        factor: f64,
    },
    /// ASTM E74: residual standard deviation of the fit, N.
    ResidualN(f64),
    /// ISO 376 class alone.
    Class(Iso376),
}

/// Classes of ISO 376.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Iso376 {
    /// Class 00.
    Class00,
    /// Class 0.5.
    Class05,
    /// Class 1.
    Class1,
    /// Class 2.
    Class2,
}

/// Classes of loads by ASTM E74.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum E74Class {
    /// For calibrating testing machines.
    A,
    /// For calibrating other force standards.
    AA,
}

/// A cell's calibration and the certificate it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    law: Law,
    stated: Stated,
    certificate: String,
    due: Date,
    greatest_n: f64,
}

/// Standard uncertainty that a calibration brings: both parts together at a load.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CalibrationSpread {
    /// Share of the load.
    pub relative: f64,
    /// Whatever the load, N.
    pub absolute_n: f64,
}

/// Something about a calibration that the report must say.
#[derive(Debug, Clone, PartialEq)]
pub enum CalibrationFinding {
    /// Used after it fell due.
    Overdue {
        /// The certificate.
        certificate: String,
        /// Day it fell due.
        due: Date,
        /// Day of the test.
        tested: Date,
    },
    /// Load beyond what was calibrated.
    BeyondRange {
        /// Greatest load met, N.
        met_n: f64,
        /// Greatest load calibrated, N.
        greatest_n: f64,
    },
    /// So little of the range that readings in another unit are likelier.
    HardlyAny {
        /// Greatest load met, N.
        met_n: f64,
        /// Greatest load calibrated, N.
        greatest_n: f64,
    },
    /// The greatest load lies under the lower limit of class A.
    BelowLowerLimit {
        /// Greatest load met, N.
        met_n: f64,
        /// Lower limit, N.
        lower_limit_n: f64,
    },
}

/// Why a calibration cannot be used.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CalibrationError {
    /// No such day.
    #[error("{year:04}-{month:02}-{day:02} is no day of the calendar")]
    NoDay {
        /// Year.
        year: u16,
        /// Month, 1 to 12.
        month: u8,
        /// Day, from 1.
        day: u8,
    },
    /// A gain or a polynomial that gives no load.
    #[error(
        "a gain must be a number other than nought; a polynomial needs two numbers at least, all finite"
    )]
    NoLaw,
    /// An uncertainty that is none.
    #[error(
        "the certificate's uncertainty must be given: a share from 0 to 1 with a factor from 1, or newtons from 0; got {0}"
    )]
    NoUncertainty(f64),
    /// No greatest load.
    #[error("the greatest load calibrated must be above nought, got {0} N")]
    NoRange(f64),
    /// A polynomial that turns back.
    #[error(
        "the polynomial turns back at a reading of {reading}, inside what was read: it cannot be the calibration of these readings"
    )]
    TurnsBack {
        /// Where it turns.
        reading: f64,
    },
}

impl Date {
    /// A day by year, month and day.
    pub fn new(year: u16, month: u8, day: u8) -> Result<Self, CalibrationError> {
        let leap = year.is_multiple_of(4) && !year.is_multiple_of(100) || year.is_multiple_of(400);
        let days = match month {
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            1..=12 => 31,
            _ => 0,
        };
        if !(1..=days).contains(&day) {
            return Err(CalibrationError::NoDay { year, month, day });
        }
        Ok(Self { year, month, day })
    }
}

impl core::fmt::Display for Date {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl Iso376 {
    /// Reproducibility limit as a share of the load (CV-CAL-02).
    pub fn reproducibility(self) -> f64 {
        match self {
            Self::Class00 => 0.0005,
            Self::Class05 => 0.0010,
            Self::Class1 => 0.0020,
            Self::Class2 => 0.0040,
        }
    }
}

/// ASTM E74's lower limit factor from the residual standard deviation, N.
pub fn lower_limit_factor_n(residual_n: f64) -> f64 {
    2.4 * residual_n
}

/// Least load at which a cell may be used in a class of ASTM E74, N.
pub fn lower_limit_n(residual_n: f64, class: E74Class) -> f64 {
    let times = match class {
        E74Class::A => 400.0,
        E74Class::AA => 2000.0,
    };
    times * lower_limit_factor_n(residual_n)
}

impl Stated {
    fn spread(self) -> CalibrationSpread {
        match self {
            Self::Relative { expanded, factor } => CalibrationSpread {
                relative: expanded / factor,
                absolute_n: 0.0,
            },
            Self::ResidualN(s) => CalibrationSpread {
                relative: 0.0,
                absolute_n: s,
            },
            Self::Class(class) => CalibrationSpread {
                relative: class.reproducibility() / 3f64.sqrt(),
                absolute_n: 0.0,
            },
        }
    }

    fn check(self) -> Result<(), CalibrationError> {
        let (good, shown) = match self {
            Self::Relative { expanded, factor } => (
                (0.0..1.0).contains(&expanded) && factor.is_finite() && factor >= 1.0,
                expanded,
            ),
            Self::ResidualN(s) => (s.is_finite() && s >= 0.0, s),
            Self::Class(_) => (true, 0.0),
        };
        if good {
            Ok(())
        } else {
            Err(CalibrationError::NoUncertainty(shown))
        }
    }
}

impl CalibrationSpread {
    /// Standard uncertainty at a load, N.
    pub fn at(self, load_n: f64) -> f64 {
        let relative = self.relative * load_n;
        libm::sqrt(relative * relative + self.absolute_n * self.absolute_n)
    }
}

impl Law {
    fn check(&self) -> Result<(), CalibrationError> {
        let good = match self {
            Self::Gain(gain) => gain.is_finite() && *gain != 0.0,
            Self::Polynomial(c) => c.len() >= 2 && c.iter().all(|c| c.is_finite()),
        };
        if good {
            Ok(())
        } else {
            Err(CalibrationError::NoLaw)
        }
    }

    /// Load for a reading less its zero, N.
    pub fn load_n(&self, reading: f64) -> f64 {
        match self {
            Self::Gain(gain) => gain * reading,
            Self::Polynomial(c) => c.iter().rev().fold(0.0, |sum, c| sum * reading + c),
        }
    }

    /// Makes loads of readings less their zero.
    pub(super) fn apply(&self, readings: &mut [f64]) {
        match self {
            Self::Gain(gain) => readings.iter_mut().for_each(|r| *r *= gain),
            Self::Polynomial(_) => readings.iter_mut().for_each(|r| *r = self.load_n(*r)),
        }
    }

    /// Load for one more unit read, N.
    pub fn slope(&self, reading: f64) -> f64 {
        match self {
            Self::Gain(gain) => *gain,
            Self::Polynomial(c) => c
                .iter()
                .enumerate()
                .skip(1)
                .rev()
                .fold(0.0, |sum, (i, c)| sum * reading + i as f64 * c),
        }
    }

    /// Refuses a polynomial whose slope changes sign between two readings (looked at in
    /// 256 places).
    fn rises_throughout(&self, low: f64, high: f64) -> Result<(), CalibrationError> {
        let sign = self.slope(low);
        for i in 0..=256 {
            let reading = low + (high - low) * f64::from(i) / 256.0;
            if self.slope(reading) * sign <= 0.0 {
                return Err(CalibrationError::TurnsBack { reading });
            }
        }
        Ok(())
    }
}

impl Calibration {
    /// A calibration with its certificate's name, the day it falls due and the greatest
    /// load it covers, N.
    pub fn new(
        law: Law,
        stated: Stated,
        certificate: impl Into<String>,
        due: Date,
        greatest_n: f64,
    ) -> Result<Self, CalibrationError> {
        law.check()?;
        stated.check()?;
        if !(greatest_n.is_finite() && greatest_n > 0.0) {
            return Err(CalibrationError::NoRange(greatest_n));
        }
        Ok(Self {
            law,
            stated,
            certificate: certificate.into(),
            due,
            greatest_n,
        })
    }

    /// The law.
    pub fn law(&self) -> &Law {
        &self.law
    }

    /// The certificate's name.
    pub fn certificate(&self) -> &str {
        &self.certificate
    }

    /// The day it falls due.
    pub fn due(&self) -> Date {
        self.due
    }

    /// Standard uncertainty it brings.
    pub fn spread(&self) -> CalibrationSpread {
        self.stated.spread()
    }

    /// Makes loads of readings less their zero; missing stays missing.
    pub fn apply(&self, readings: &mut [f64]) -> Result<(), CalibrationError> {
        let there = readings.iter().copied().filter(|r| r.is_finite());
        let (low, high) = there.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), r| {
            (l.min(r), h.max(r))
        });
        self.check_from(low, high)?;
        self.law.apply(readings);
        Ok(())
    }

    /// Refuses a law that turns back from the least to the greatest reading.
    pub(super) fn check_from(&self, low: f64, high: f64) -> Result<(), CalibrationError> {
        match low < high {
            true => self.law.rises_throughout(low, high),
            false => Ok(()),
        }
    }

    /// What the report must say of a test on a day with loads up to `met_n`.
    pub fn findings(&self, tested: Date, met_n: f64) -> Vec<CalibrationFinding> {
        let mut found = Vec::new();
        if tested > self.due {
            found.push(CalibrationFinding::Overdue {
                certificate: self.certificate.clone(),
                due: self.due,
                tested,
            });
        }
        if met_n > self.greatest_n {
            found.push(CalibrationFinding::BeyondRange {
                met_n,
                greatest_n: self.greatest_n,
            });
        }
        if met_n < HARDLY_ANY * self.greatest_n {
            found.push(CalibrationFinding::HardlyAny {
                met_n,
                greatest_n: self.greatest_n,
            });
        }
        if let Stated::ResidualN(s) = self.stated {
            let lower_limit_n = lower_limit_n(s, E74Class::A);
            if met_n < lower_limit_n {
                found.push(CalibrationFinding::BelowLowerLimit {
                    met_n,
                    lower_limit_n,
                });
            }
        }
        found
    }
}

/// Share of the range under which a log's greatest load is taken for a mistake of units.
const HARDLY_ANY: f64 = 0.01;

impl CalibrationFinding {
    /// A sentence for people.
    pub fn words(&self, units: Units) -> String {
        match self {
            Self::Overdue {
                certificate,
                due,
                tested,
            } => format!(
                "certificate {certificate} fell due on {due} and the test was on {tested}: the intervals rest on a calibration that nobody vouches for any more; calibrate the cell again before these loads are used"
            ),
            Self::BeyondRange { met_n, greatest_n } => format!(
                "the greatest load, {}, is beyond the {} that were calibrated: what lies above is not covered by the certificate",
                units.force(*met_n),
                units.force(*greatest_n)
            ),
            Self::HardlyAny { met_n, greatest_n } => format!(
                "the greatest load, {}, is under a hundredth of the {} that the cell was calibrated to: either the cell is far too large for this pull, or its load for one unit read is not of the unit that the log writes",
                units.force(*met_n),
                units.force(*greatest_n)
            ),
            Self::BelowLowerLimit {
                met_n,
                lower_limit_n,
            } => format!(
                "the greatest load, {}, is under the lower limit of class A, {} (ASTM E74): the cell is too large for this pull",
                units.force(*met_n),
                units.force(*lower_limit_n)
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cell(stated: Stated) -> Calibration {
        let due = Date::new(2026, 3, 31).unwrap();
        Calibration::new(Law::Gain(2000.0), stated, "C-17", due, 100e3).unwrap()
    }

    #[test]
    fn published_limits_of_astm_e74() {
        // CV-CAL-01.
        assert_eq!(lower_limit_factor_n(10.0), 24.0);
        assert_eq!(lower_limit_n(10.0, E74Class::A), 9600.0);
        assert_eq!(lower_limit_n(10.0, E74Class::AA), 48_000.0);
    }

    #[test]
    fn published_classes_of_iso_376() {
        // CV-CAL-02, in per cent.
        let classes = [
            Iso376::Class00,
            Iso376::Class05,
            Iso376::Class1,
            Iso376::Class2,
        ];
        for (class, per_cent) in classes.into_iter().zip([0.05, 0.10, 0.20, 0.40]) {
            assert!((class.reproducibility() * 100.0 - per_cent).abs() < 1e-12);
        }
    }

    #[test]
    fn an_overdue_cell_is_told_from_the_day_after() {
        let stated = Stated::Relative {
            expanded: 0.005,
            factor: 2.0,
        };
        let cell = cell(stated);
        assert_eq!(cell.spread().at(40e3), 100.0);
        assert!(
            cell.findings(Date::new(2026, 3, 31).unwrap(), 50e3)
                .is_empty()
        );
        let late = cell.findings(Date::new(2026, 4, 1).unwrap(), 120e3);
        assert!(matches!(late[0], CalibrationFinding::Overdue { .. }));
        assert!(
            late[0]
                .words(Units::Metric)
                .contains("fell due on 2026-03-31")
        );
        assert!(matches!(late[1], CalibrationFinding::BeyondRange { .. }));
    }

    #[test]
    fn hardly_any_load_is_told() {
        let class = Stated::Class(Iso376::Class1);
        let day = Date::new(2026, 1, 1).unwrap();
        let found = |met_n| cell(class).findings(day, met_n);
        assert!(found(1000.0).is_empty(), "a hundredth of the range");
        let hardly = found(52.0);
        assert!(matches!(hardly[..], [CalibrationFinding::HardlyAny { .. }]));
        let words = hardly[0].words(Units::Metric);
        assert!(
            words.contains("0.0520 kN") && words.contains("100 kN"),
            "{words}"
        );
    }

    #[test]
    fn a_cell_too_large_is_told() {
        let found = cell(Stated::ResidualN(20.0)).findings(Date::new(2026, 1, 1).unwrap(), 15e3);
        assert!(matches!(
            found[..],
            [CalibrationFinding::BelowLowerLimit { lower_limit_n, .. }] if lower_limit_n == 19_200.0
        ));
    }

    #[test]
    fn polynomials_and_their_slopes() {
        let law = Law::Polynomial(vec![1.0, 2.0, 0.5]);
        assert_eq!(law.load_n(3.0), 1.0 + 6.0 + 4.5);
        assert_eq!(law.slope(3.0), 2.0 + 3.0);
        let due = Date::new(2026, 1, 1).unwrap();
        let stated = Stated::Class(Iso376::Class1);
        let cell = Calibration::new(law, stated, "C-18", due, 1e5).unwrap();
        let mut readings = [0.0, 1.0];
        cell.apply(&mut readings).unwrap();
        assert_eq!(readings, [1.0, 3.5]);
        assert!(matches!(
            cell.apply(&mut [-4.0, 1.0]),
            Err(CalibrationError::TurnsBack { .. })
        ));
    }

    #[test]
    fn refuses_days_laws_and_doubts_that_are_none() {
        assert!(Date::new(2026, 2, 29).is_err() && Date::new(2024, 2, 29).is_ok());
        assert!(Date::new(2026, 13, 1).is_err() && Date::new(1900, 2, 29).is_err());
        let due = Date::new(2026, 1, 1).unwrap();
        let class = Stated::Class(Iso376::Class1);
        assert!(Calibration::new(Law::Gain(0.0), class, "", due, 1.0).is_err());
        assert!(Calibration::new(Law::Gain(1.0), class, "", due, 0.0).is_err());
        let none = Stated::Relative {
            expanded: f64::NAN,
            factor: 2.0,
        };
        assert!(Calibration::new(Law::Gain(1.0), none, "", due, 1.0).is_err());
    }
}
