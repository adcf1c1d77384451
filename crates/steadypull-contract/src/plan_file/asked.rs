//! Quantities asked on a command line, written as in a plan file; read to SI.

use steadypull_engine::units::{Energy, Force, Length, Mass};

use super::quantity::quantity;
use super::unit_table::{Quantity, Share};

/// An energy such as `79 J`, J, from 1 J to 100 kJ.
pub fn asked_energy(text: &str) -> Result<f64, String> {
    let range = (Energy::new(1.0), Energy::from_kj(100.0));
    within(text, range, "1 J to 100 kJ")
}

/// A mass that a person can carry and hang, such as `10 kg`, kg, from 0.5 kg to 50 kg.
pub fn asked_damper_mass(text: &str) -> Result<f64, String> {
    within(text, (Mass::new(0.5), Mass::new(50.0)), "0.5 kg to 50 kg")
}

/// The force at which a grip slips, such as `300 N`, N, from 1 N to 50 kN.
pub fn asked_grip(text: &str) -> Result<f64, String> {
    within(
        text,
        (Force::new(1.0), Force::from_kn(50.0)),
        "1 N to 50 kN",
    )
}

/// A distance such as `4 m`, m, from 0.3 m to 100 m.
pub fn asked_distance(text: &str) -> Result<f64, String> {
    within(
        text,
        (Length::new(0.3), Length::new(100.0)),
        "0.3 m to 100 m",
    )
}

/// The length of a tether, such as `1.5 m`, m, from 50 mm to 30 m.
pub fn asked_tether_length(text: &str) -> Result<f64, String> {
    within(
        text,
        (Length::from_mm(50.0), Length::new(30.0)),
        "50 mm to 30 m",
    )
}

/// Stretch at break such as `15 %`, as a ratio, from 0.5 % to 100 %.
pub fn asked_stretch(text: &str) -> Result<f64, String> {
    within(text, (Share(0.005), Share(1.0)), "0.5 % to 100 %")
}

/// How surely, such as `95 %`, as a ratio, from 50 % to 99 %.
pub fn asked_chance(text: &str) -> Result<f64, String> {
    within(text, (Share(0.5), Share(0.99)), "50 % to 99 %")
}

fn within<Q: Quantity>(text: &str, (low, high): (Q, Q), limits: &str) -> Result<f64, String> {
    let asked = quantity::<Q>(text).map_err(|fault| {
        let more = fault
            .hint
            .or(fault.expected.map(|e| format!("expected {e}")));
        more.map_or(fault.message.clone(), |more| {
            format!("{}; {more}", fault.message)
        })
    })?;
    if asked >= low && asked <= high {
        Ok(asked.si())
    } else {
        Err(format!("is out of range; it may be {limits}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn asked_as_in_a_plan_and_within_its_range() {
        assert_eq!(asked_energy("79 J"), Ok(79.0));
        assert_eq!(asked_chance("95 %"), Ok(0.95));
        assert_eq!(
            asked_chance("0.95"),
            Err(
                "has no unit; write the unit, such as \"95 %\" if the plain ratio 0.95 is meant"
                    .into()
            )
        );
        assert_eq!(
            asked_chance("100 %"),
            Err("is out of range; it may be 50 % to 99 %".into())
        );
        assert!(asked_damper_mass("5 kN").is_err_and(|e| e.contains("the unit of")));
        assert!(asked_distance("nan m").is_err());
    }
}
