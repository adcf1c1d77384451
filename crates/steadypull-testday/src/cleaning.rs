//! The steps of cleaning that a test file asks for.

use steadypull_contract::plan_file::{
    CellEntry, CellLaw, CellUncertainty, Day, Iso376Class, PullEntry, TestFile, ZeroFrom,
};
use steadypull_measure::signal::calibration::{
    Calibration, CalibrationError, Date, Iso376, Law, Stated,
};
use steadypull_measure::signal::cfc::Cfc;
use steadypull_measure::signal::resample::Between;
use steadypull_measure::signal::steps::{Step, StepError, ZeroBy};

use crate::trouble::Trouble;

pub(crate) fn kept(entry: &PullEntry) -> Vec<Step> {
    let crop = entry
        .crop_s
        .map(|(from_s, to_s)| Step::Crop { from_s, to_s });
    let remove = entry
        .remove_s
        .iter()
        .map(|&(from_s, to_s)| Step::Remove { from_s, to_s });
    crop.into_iter().chain(remove).collect()
}

pub(crate) fn on_steps(test: &TestFile) -> Result<Vec<Step>, Trouble> {
    let resample = test.clean.resample.map(|r| Step::Resample {
        step_s: r.step_s,
        between: if r.cubic {
            Between::Cubic
        } else {
            Between::Linear
        },
        longest_gap_s: r.longest_gap_s,
    });
    let class = test.clean.cfc.map(Cfc::new).transpose();
    let class = class.map_err(|error| Trouble::new("[clean] cfc", error.to_string()))?;
    Ok(resample
        .into_iter()
        .chain(class.map(Step::Filter))
        .collect())
}

pub(crate) fn load_steps(
    test: &TestFile,
    entry: &PullEntry,
    cell: Option<&CellEntry>,
) -> Result<Vec<Step>, Trouble> {
    let mut steps = kept(entry);
    steps.extend(test.clean.invert.then_some(Step::Invert));
    steps.push(Step::Zero(zero(test, entry)));
    if let Some(cell) = cell {
        let about = format!("cell {}", cell.name);
        let wrong = |error: CalibrationError| Trouble::new(&about, error.to_string());
        steps.push(Step::Calibrate {
            calibration: calibration(cell).map_err(wrong)?,
            tested: date(test.date).map_err(wrong)?,
        });
    }
    steps.extend(on_steps(test)?);
    Ok(steps)
}

fn zero(test: &TestFile, entry: &PullEntry) -> ZeroBy {
    let window = |(from_s, to_s)| ZeroBy::Window { from_s, to_s };
    match (entry.zero_window_s, test.clean.zero) {
        (Some(own), _) => window(own),
        (None, ZeroFrom::Window(from, to)) => window((from, to)),
        (None, ZeroFrom::QuietPart) => ZeroBy::QuietPart,
        (None, ZeroFrom::AsLogged) => ZeroBy::Level {
            level: 0.0,
            uncertainty: 0.0,
        },
    }
}

pub(crate) fn without_filter(steps: Vec<Step>) -> Vec<Step> {
    let plain = |step: &Step| !matches!(step, Step::Filter(_));
    steps.into_iter().filter(plain).collect()
}

pub(crate) fn only_filter(steps: Vec<Step>) -> Vec<Step> {
    let filter = |step: &Step| matches!(step, Step::Filter(_));
    steps.into_iter().filter(filter).collect()
}

fn date(day: Day) -> Result<Date, CalibrationError> {
    Date::new(day.year, day.month, day.day)
}

pub(crate) fn law(law: &CellLaw) -> Law {
    match law {
        CellLaw::AsLogged => Law::Gain(1.0),
        CellLaw::Gain(gain) => Law::Gain(*gain),
        CellLaw::Polynomial(terms) => Law::Polynomial(terms.clone()),
    }
}

fn calibration(cell: &CellEntry) -> Result<Calibration, CalibrationError> {
    let stated = match cell.uncertainty {
        CellUncertainty::Relative { share, coverage } => Stated::Relative {
            expanded: share,
            factor: coverage,
        },
        CellUncertainty::Residual(residual) => Stated::ResidualN(residual),
        CellUncertainty::Class(class) => Stated::Class(match class {
            Iso376Class::Class00 => Iso376::Class00,
            Iso376Class::Class05 => Iso376::Class05,
            Iso376Class::Class1 => Iso376::Class1,
            Iso376Class::Class2 => Iso376::Class2,
        }),
    };
    Calibration::new(
        law(&cell.law),
        stated,
        &cell.certificate,
        date(cell.due)?,
        cell.range_n,
    )
}

pub(crate) fn uncleaned(about: &str, error: &StepError) -> Trouble {
    use steadypull_measure::signal::steps::Cause;
    let hint = match &error.cause {
        Cause::Uneven => "write resample = \"1 ms\" or so in [clean]",
        Cause::Zero(_) => {
            "give zero_window = [\"0 s\", \"0.8 s\"] where the line hangs slack, or zero = \"as-logged\""
        }
        Cause::Filter(_) => "choose another cfc in [clean], or leave it out",
        Cause::NothingLeft { .. } => "look at crop against the log's own times",
        _ => "look at [clean] and at the log",
    };
    Trouble::new(about, format!("cannot be cleaned, {error}")).hinting(hint)
}
