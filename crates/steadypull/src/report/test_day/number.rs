//! Measured numbers with their units and intervals.

use steadypull_contract::answer::Measured;
use steadypull_contract::show::{Units, figures, gravities, percent, seconds};

/// A value in SI `unit` as people read it.
pub fn shown(units: Units, unit: &str, value: f64) -> String {
    match unit {
        "N" => units.force(value),
        "m" => units.length(value),
        "s" => seconds(value),
        "J" => units.energy(value),
        "1" => percent(value),
        "m/s" => units.flight_speed(value),
        "m/s2" => gravities(value),
        "N s" => divided(&units.force(value), "s"),
        "N/m" => {
            let per = units.length_axis();
            let force = units.force_axis();
            format!(
                "{} {}/{}",
                figures(value * per.si / force.si),
                force.name,
                per.name
            )
        }
        other => format!("{} {other}", figures(value)),
    }
}

/// A force times a time has the force's unit and then the time's.
fn divided(force: &str, time: &str) -> String {
    format!("{force} {time}")
}

/// The value with its interval, or with why it has none.
pub fn told(units: Units, unit: &str, measured: &Measured) -> String {
    let value = measured.value.map(|value| shown(units, unit, value));
    let ends = measured.low.zip(measured.high);
    match (value, ends, &measured.no_interval) {
        (Some(value), Some((low, high)), why) => {
            let why = why.as_ref().map_or(String::new(), |why| format!("; {why}"));
            format!(
                "{value}  ({} to {}){why}",
                shown(units, unit, low),
                shown(units, unit, high)
            )
        }
        (Some(value), None, Some(why)) => format!("{value}, no interval: {why}"),
        (Some(value), None, None) => value,
        (None, _, Some(why)) => format!("none: {why}"),
        (None, _, None) => "none".into(),
    }
}

/// What most of the uncertainty comes from.
pub fn mostly(measured: &Measured) -> Option<String> {
    let whole = measured.standard_uncertainty.filter(|u| *u > 0.0)?;
    let first = measured.made_of.first()?;
    let share = first.standard_uncertainty / whole;
    Some(format!("{} ({})", first.from, percent(share * share)))
}
