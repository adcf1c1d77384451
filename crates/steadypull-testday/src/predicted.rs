//! What was predicted beside what was measured.

use steadypull_contract::answer::{Finding, Predicted, PullRead, Severity, TestReading};
use steadypull_contract::plan_file::{PredictEntry, TestFile};
use steadypull_contract::show::Units;
use steadypull_engine::chance::normal_quantile;
use steadypull_measure::compare::Sample;

use crate::compare::usable;
use crate::files::Files;
use crate::finding::{Noticed, warning};
use crate::plan_named::answered;
use crate::trouble::Trouble;

/// Of the interval of a mean.
const CONFIDENCE: f64 = 0.95;

pub(crate) fn predicted(
    test: &TestFile,
    pulls: &[PullRead],
    files: &dyn Files,
) -> Result<(Vec<Predicted>, Vec<Finding>), Trouble> {
    let (mut rows, mut findings) = (Vec::new(), Vec::new());
    for entry in &test.predicts {
        let from = entry.plan.clone().unwrap_or_else(|| "stated".into());
        for (reading, value) in values(entry, test.units, files)? {
            let row = row(entry, &from, reading, value, pulls)?;
            findings.extend(finding(&row));
            rows.push(row);
        }
    }
    Ok((rows, findings))
}

/// Readings and their predictions.
fn values(
    entry: &PredictEntry,
    units: Units,
    files: &dyn Files,
) -> Result<Vec<(TestReading, f64)>, Trouble> {
    let Some(name) = &entry.plan else {
        return Ok(entry.stated.clone());
    };
    let whose = format!("[predict {}]", entry.name);
    let (answer, _) = answered(name, &whose, units, files)?;
    let kinetic = answer.pull.kinetic.ok_or_else(|| {
        let why = answer
            .pull
            .missing
            .unwrap_or_else(|| "its rig is none".into());
        Trouble::new(name, format!("the plan has no kinetic pull to run: {why}"))
    })?;
    Ok(vec![
        (TestReading::Peak, kinetic.peak_force_n),
        (TestReading::Stretch, kinetic.stretch_m),
    ])
}

fn row(
    entry: &PredictEntry,
    from: &str,
    reading: TestReading,
    predicted: f64,
    pulls: &[PullRead],
) -> Result<Predicted, Trouble> {
    let usable = usable(pulls, &entry.setup, reading);
    let values: Vec<f64> = usable.pulls.iter().map(|pull| pull.1).collect();
    let sample = match &values[..] {
        [] => None,
        values => Some(
            Sample::of(values)
                .map_err(|e| Trouble::new(format!("predict {}", entry.name), e.to_string()))?,
        ),
    };
    let half = sample.and_then(|sample| with_shared(sample, &usable.pulls));
    let mean = sample.map(|sample| sample.mean);
    let (low, high) = (
        mean.zip(half).map(|(m, h)| m - h),
        mean.zip(half).map(|(m, h)| m + h),
    );
    let agrees = low
        .zip(high)
        .map(|(low, high)| (low..=high).contains(&predicted));
    Ok(Predicted {
        name: entry.name.clone(),
        setup: entry.setup.clone(),
        reading,
        unit: reading.unit().into(),
        from: from.into(),
        predicted,
        measured: mean,
        low,
        high,
        pulls: values.len() as u32,
        off_share: mean
            .filter(|_| predicted != 0.0)
            .map(|mean| mean / predicted - 1.0),
        agrees,
        says: says(agrees, values.len()).into(),
    })
}

/// Half the interval of a mean: the spread of the pulls, and what all of them may share (the
/// mean doubt of one reading, taken as wholly shared) added in squares.
fn with_shared(sample: Sample, pulls: &[(&str, f64, Option<f64>)]) -> Option<f64> {
    let of_spread = crate::compare::half_width(sample, CONFIDENCE)?;
    let shared = pulls.iter().map(|pull| pull.2.unwrap_or(0.0)).sum::<f64>();
    let shared = shared / sample.count as f64;
    Some(libm::hypot(
        of_spread,
        normal_quantile(0.5 + 0.5 * CONFIDENCE) * shared,
    ))
}

fn says(agrees: Option<bool>, pulls: usize) -> &'static str {
    match (agrees, pulls) {
        (Some(true), _) => {
            "The prediction lies inside the interval of what was measured: nothing speaks against it."
        }
        (Some(false), _) => {
            "The prediction lies outside the interval of what was measured: it does not describe these pulls."
        }
        (None, 0) => "Nothing was measured.",
        (None, _) => {
            "One pull: how much pulls differ is not known, so nothing can be said of the prediction."
        }
    }
}

/// A load above its prediction is what gets people hurt.
fn finding(row: &Predicted) -> Option<Finding> {
    let about = format!("predict {}", row.name);
    if row.reading == TestReading::Peak && row.low.is_some_and(|low| low > row.predicted) {
        return Some(
            Noticed {
                severity: Severity::Critical,
                code: "above-prediction",
                subject: about,
                message: format!(
                    "set-up {} loads the line more than was predicted, by {:.0} % on the mean",
                    row.setup,
                    100.0 * row.off_share.unwrap_or(0.0)
                ),
                remedy: "plan with the measured peak, and find out why before anybody relies on the prediction",
                source: "common practice",
            }
            .into(),
        );
    }
    let alone = row.pulls == 1 && row.measured.is_some_and(|m| m > row.predicted);
    let off = row.agrees == Some(false);
    (alone || off).then(|| {
        let message = match alone {
            true => "the one pull lies above its prediction",
            false => "the prediction lies outside what was measured",
        };
        warning(
            "off-prediction",
            &about,
            message,
            "look at what differs between plan and pulls",
        )
    })
}
