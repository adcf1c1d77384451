//! Readings as the contract tells them.

use steadypull_contract::answer::{Doubt, Measured};
use steadypull_engine::chance::Interval;
use steadypull_measure::readings::{Reading, Spread};

/// A reading; one without an interval that stands at nought has no value.
pub(crate) fn measured(reading: &Reading) -> Measured {
    match &reading.spread {
        Spread::Interval {
            interval,
            uncertainty,
            terms,
        } => {
            let doubt = |t: &steadypull_measure::readings::Term| Doubt {
                from: t.name.into(),
                standard_uncertainty: t.uncertainty,
            };
            let mut made_of: Vec<Doubt> = terms.iter().map(doubt).collect();
            made_of.sort_by(|a, b| b.standard_uncertainty.total_cmp(&a.standard_uncertainty));
            Measured {
                standard_uncertainty: Some(*uncertainty),
                made_of,
                ..between(reading.value, *interval)
            }
        }
        Spread::None(why) => without((reading.value != 0.0).then_some(reading.value), why),
    }
}

/// A number with an interval found in another way.
pub(crate) fn between(value: f64, interval: Interval) -> Measured {
    Measured {
        value: Some(value),
        low: Some(interval.low),
        high: Some(interval.high),
        standard_uncertainty: None,
        no_interval: None,
        made_of: Vec::new(),
    }
}

/// A number, or none, without an interval.
pub(crate) fn without(value: Option<f64>, why: &str) -> Measured {
    Measured {
        value: value.filter(|v| v.is_finite()),
        low: None,
        high: None,
        standard_uncertainty: None,
        no_interval: Some(why.into()),
        made_of: Vec::new(),
    }
}
