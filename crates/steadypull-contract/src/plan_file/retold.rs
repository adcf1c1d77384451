//! A quantity as a plan file writes it, told in other units.

use steadypull_engine::show::{Units, figures};
use steadypull_engine::units::{FOOT_M, POUND_FORCE_N, POUND_KG};

const INCH_M: f64 = FOOT_M / 12.0;
/// Metric units of a plan file, the imperial one told instead, and how many of it.
/// A tonne of load and a tonne of mass are as many pounds.
const IMPERIAL: [(&str, &str, f64); 17] = [
    ("kg", "lb", 1.0 / POUND_KG),
    ("t", "lb", 1e3 / POUND_KG),
    ("kN", "lbf", 1e3 / POUND_FORCE_N),
    ("N", "lbf", 1.0 / POUND_FORCE_N),
    ("m", "ft", 1.0 / FOOT_M),
    ("cm", "in", 1e-2 / INCH_M),
    ("mm", "in", 1e-3 / INCH_M),
    ("km/h", "mph", 1.0 / 1.609_344),
    ("m/s", "ft/s", 1.0 / FOOT_M),
    ("m/min", "ft/min", 1.0 / FOOT_M),
    ("kJ", "ft lbf", 1e3 / (FOOT_M * POUND_FORCE_N)),
    ("J", "ft lbf", 1.0 / (FOOT_M * POUND_FORCE_N)),
    ("kPa", "psi", 1e3 * INCH_M * INCH_M / POUND_FORCE_N),
    ("bar", "psi", 1e5 * INCH_M * INCH_M / POUND_FORCE_N),
    ("kg/m", "lb/ft", FOOT_M / POUND_KG),
    ("m2", "ft2", 1.0 / (FOOT_M * FOOT_M)),
    ("m\u{b2}", "ft2", 1.0 / (FOOT_M * FOOT_M)),
];

/// What a key was given, in `units`: a quantity, or a table with quantities in quotes.
/// Whatever else it holds stays as written.
pub fn retold(written: &str, units: Units) -> String {
    if units == Units::Metric {
        return written.into();
    }
    if let Some(told) = quantity(written) {
        return told;
    }
    let pieces = written.split('"').enumerate();
    let told: Vec<String> = pieces
        .map(|(k, piece)| match k % 2 {
            1 => quantity(piece).unwrap_or_else(|| piece.into()),
            _ => piece.into(),
        })
        .collect();
    told.join("\"")
}

fn quantity(text: &str) -> Option<String> {
    let (number, unit) = text.rsplit_once(' ')?;
    // Limits are written with gaps between thousands.
    let number: f64 = number.replace(' ', "").parse().ok()?;
    let (_, imperial, of_it) = IMPERIAL.into_iter().find(|(metric, ..)| *metric == unit)?;
    // Without the gaps between thousands: a plan file has none.
    Some(format!(
        "{} {imperial}",
        figures(number * of_it).replace(' ', "")
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_are_told_and_all_else_stays() {
        let cases = [
            ("1.5 kg", "3.31 lb"),
            ("23.75 t", "52400 lb"),
            ("241.317 kPa", "35.0 psi"),
            ("-2.3 m", "-7.55 ft"),
            ("10 000 kN", "2250000 lbf"),
            (
                "{ height = \"0.3 m\", bonnet = \"shut\" }",
                "{ height = \"0.984 ft\", bonnet = \"shut\" }",
            ),
            ("WG-E42", "WG-E42"),
            ("12 V", "12 V"),
            ("3 turns of line", "3 turns of line"),
            ("18 %", "18 %"),
        ];
        for (written, told) in cases {
            assert_eq!(retold(written, Units::Imperial), told);
            assert_eq!(retold(written, Units::Metric), written);
        }
    }
}
