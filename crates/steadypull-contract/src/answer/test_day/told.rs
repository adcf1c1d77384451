//! Answers of the tests area in words and units, as every reader of them prints it.

use steadypull_engine::show::{AxisUnit, Units, figures, gravities, percent, seconds};

use super::{FootageClock, Measured, TestDamper, TestEventKind, TestSetUp};

/// A value in SI `unit` (`1` for a share) as people read it.
pub fn in_unit(units: Units, unit: &str, value: f64) -> String {
    match unit {
        "N" => units.force(value),
        "m" => units.length(value),
        "s" => seconds(value),
        "J" => units.energy(value),
        "1" => percent(value),
        "m/s" => units.flight_speed(value),
        "m/s2" => gravities(value),
        "N s" => format!("{} s", units.force(value)),
        "N/m" => {
            let (per, force) = (units.length_axis(), units.force_axis());
            let value = figures(value * per.si / force.si);
            format!("{value} {}/{}", force.name, per.name)
        }
        "" => figures(value),
        other => format!("{} {other}", figures(value)),
    }
}

/// A length of about a millimetre, such as the noise of a stretch: `0.46 mm`, `0.018 in`.
pub fn fine_length(units: Units, metres: f64) -> String {
    match units {
        Units::Metric => format!("{} mm", figures(metres * 1e3)),
        Units::Imperial => format!("{} in", figures(metres / 0.0254)),
    }
}

/// The unit of a chart's axis for values in SI `unit` (`1` for a share).
pub fn axis_unit(units: Units, unit: &str) -> AxisUnit {
    let (force, length) = (units.force_axis(), units.length_axis());
    let imperial = units == Units::Imperial;
    let of = |metric, other, si| AxisUnit {
        name: if imperial { other } else { metric },
        si,
    };
    match unit {
        "N" => force,
        "m" => length,
        "J" => units.energy_axis(),
        "1" => of("%", "%", 0.01),
        "N s" => of("kN s", "lbf s", force.si),
        "N/m" => of("kN/m", "lbf/ft", force.si / length.si),
        // Times: every other reading that can be compared.
        _ => of("s", "s", 1.0),
    }
}

impl Measured {
    /// The value in SI `unit` with its interval, or with why it has none.
    pub fn told(&self, units: Units, unit: &str) -> String {
        let value = self.value.map(|value| in_unit(units, unit, value));
        let interval = self.interval(units, unit);
        match (value, interval, &self.no_interval) {
            (Some(value), Some(interval), why) => {
                let why = why.as_ref().map_or(String::new(), |why| format!("; {why}"));
                format!("{value} ({interval}){why}")
            }
            (Some(value), None, Some(why)) => format!("{value}, no interval: {why}"),
            (Some(value), None, None) => value,
            (None, _, Some(why)) => format!("none: {why}"),
            (None, _, None) => "none".into(),
        }
    }

    /// Both ends of the interval; an end that is missing reaches as far as can be.
    pub fn interval(&self, units: Units, unit: &str) -> Option<String> {
        let end = |value| in_unit(units, unit, value);
        match (self.low, self.high) {
            (Some(low), Some(high)) => Some(format!("{} to {}", end(low), end(high))),
            (Some(low), None) => Some(format!("from {} up", end(low))),
            (None, Some(high)) => Some(format!("up to {}", end(high))),
            (None, None) => None,
        }
    }

    /// What most of the uncertainty comes from, with its share of the variance.
    pub fn mostly(&self) -> Option<String> {
        let whole = self.standard_uncertainty.filter(|u| *u > 0.0)?;
        let first = self.made_of.first()?;
        let share = first.standard_uncertainty / whole;
        Some(format!("{} ({})", first.from, percent(share * share)))
    }
}

impl TestEventKind {
    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Taut => "taut",
            Self::Peak => "peak",
            Self::BreakOut => "break-out",
            Self::Parting => "parting",
            Self::End => "slack",
        }
    }
}

impl FootageClock {
    /// What was found, by which events, whether they agree, and how the frame rate drifts.
    pub fn told(&self) -> Vec<String> {
        let ms = |s: f64| format!("{:.1} ms", 1e3 * s);
        let event = |e: &super::ClockEvent| {
            let frame = e.frame;
            format!(
                "{} at {:.3} s in frame {frame}",
                e.kind.word(),
                e.log_time_s
            )
        };
        let events: Vec<String> = self.events.iter().map(event).collect();
        let sure = self.shift_s.standard_uncertainty.unwrap_or(0.0);
        let shift = self.shift_s.value.unwrap_or(0.0);
        let mut told = vec![
            format!(
                "log time is footage time {} {:.4} s, one standard uncertainty {}; over the pull at most {}",
                if shift < 0.0 { '-' } else { '+' },
                shift.abs(),
                ms(sure),
                ms(self.within_pull_s)
            ),
            format!("by {}", events.join(" and ")),
        ];
        told.push(match &self.agreement {
            None => "one event: nothing checks it".into(),
            Some(agreement) => format!(
                "{}: chi-square {} with {} of freedom, as much or more in {} of such pairs",
                match agreement.in_doubt {
                    true => "EVENTS DISAGREE, so the uncertainties are widened",
                    false => "events agree",
                },
                figures(agreement.chi_square),
                agreement.degrees_of_freedom,
                percent(agreement.p)
            ),
        });
        told.extend(self.drift_share.as_ref().map(|drift| {
            let share = |share: f64| format!("{:+.2} %", 100.0 * share);
            let ends = drift.low.zip(drift.high);
            let ends = ends.map_or(String::new(), |(low, high)| {
                format!(" ({} to {})", share(low), share(high))
            });
            format!(
                "by the events alone the log gains {}{ends} on the footage; taken: {}",
                share(drift.value.unwrap_or(0.0)),
                share(self.drift_taken_share)
            )
        }));
        told
    }
}

impl TestSetUp {
    /// Its labels, one after the other.
    pub fn labels(&self, units: Units) -> String {
        let wet = self.wet.map(|wet| if wet { "wet" } else { "dry" });
        let damper = |d: &TestDamper| {
            let mass = units.plain_mass(d.mass_kg);
            let place = percent(d.place_share);
            format!("damper of {mass} at {place} of the line from the casualty")
        };
        let words = [&self.line, &self.product, &self.condition];
        let mut labels: Vec<String> = words.into_iter().flatten().cloned().collect();
        labels.extend(wet.map(String::from));
        labels.extend(self.dampers.iter().map(damper));
        labels.extend(self.note.clone());
        match labels.is_empty() {
            true => "no labels".into(),
            false => labels.join(", "),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(low: Option<f64>, high: Option<f64>, why: Option<&str>) -> Measured {
        Measured {
            value: Some(37.9e3),
            low,
            high,
            standard_uncertainty: None,
            no_interval: why.map(String::from),
            made_of: Vec::new(),
        }
    }

    #[test]
    fn an_end_that_is_open_is_told_as_open() {
        let told = |low, high, why| number(low, high, why).told(Units::Metric, "N");
        assert_eq!(
            told(Some(37e3), Some(39e3), None),
            "37.9 kN (37.0 kN to 39.0 kN)"
        );
        assert_eq!(
            told(Some(37e3), None, Some("open")),
            "37.9 kN (from 37.0 kN up); open"
        );
        assert_eq!(
            told(None, None, Some("clipped")),
            "37.9 kN, no interval: clipped"
        );
        let nothing = Measured {
            value: None,
            ..number(None, None, Some("clipped"))
        };
        assert_eq!(nothing.told(Units::Metric, "N"), "none: clipped");
    }

    #[test]
    fn labels_are_told_in_the_units_asked_for() {
        let setup = TestSetUp {
            name: "wet".into(),
            line: Some("strap 9 m".into()),
            product: None,
            condition: Some("new".into()),
            wet: Some(true),
            dampers: vec![TestDamper {
                mass_kg: 5.0,
                place_share: 0.5,
            }],
            note: None,
        };
        assert_eq!(
            setup.labels(Units::Imperial),
            "strap 9 m, new, wet, damper of 11 lb at 50.0 % of the line from the casualty"
        );
    }
}
