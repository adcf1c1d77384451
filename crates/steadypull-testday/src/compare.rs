//! Set-ups of a test file side by side.

use steadypull_contract::answer::{
    CONTRACT_VERSION, ComparePair, CompareVerdict, Compared, ComparedSetUp, Finding, Measured,
    PullRead, TestReading, TestsCompareAnswer, ToleranceLimit,
};
use steadypull_contract::plan_file::{CompareEntry, PullEntry, TestFile, ToleranceSide};
use steadypull_engine::chance::student_quantile;
use steadypull_measure::compare::tolerance::{Promise, one_sided, two_sided};
use steadypull_measure::compare::{Comparison, Pair, Rules, Sample, Verdict, several_setups};
use steadypull_measure::problem::Problem;

use crate::files::Files;
use crate::finding::{sorted, warning};
use crate::predicted::predicted;
use crate::read::read_off;
use crate::trouble::{TestsError, Trouble, sound};

/// Compares whatever the test file asks for.
pub fn compare(test: &TestFile, files: &dyn Files) -> Result<TestsCompareAnswer, TestsError> {
    crate::pulled(test)?;
    if test.compares.is_empty() && test.predicts.is_empty() {
        return Err(Trouble::new("the test file", "asks for no comparison")
            .hinting("add a heading such as [compare.peak] with reading = \"peak\"")
            .into());
    }
    let entries: Vec<&PullEntry> = test
        .pulls
        .iter()
        .filter(|pull| pull.setup.is_some())
        .collect();
    let (pulls, mut findings) = read_off(test, &entries, files)?;
    let mut compared = Vec::new();
    for entry in &test.compares {
        let about = format!("compare {}", entry.name);
        let one = one(test, entry, &pulls);
        let one = one.map_err(|error| Trouble::new(&about, error.to_string()))?;
        findings.extend(left_out(&about, &one));
        compared.push(one);
    }
    let (predicted, noticed) = predicted(test, &pulls, files)?;
    findings.extend(noticed);
    sound(TestsCompareAnswer {
        contract_version: CONTRACT_VERSION,
        test: crate::summary(test),
        compared,
        predicted,
        findings: sorted(findings),
        cautions: crate::cautions(),
    })
}

/// A reading of a pull.
pub(crate) fn reading_of(pull: &PullRead, reading: TestReading) -> Result<&Measured, String> {
    let readings = &pull.readings;
    let stretch = || {
        let why = readings.no_stretch.clone();
        readings
            .stretch
            .as_ref()
            .ok_or_else(|| why.unwrap_or_else(|| "no stretch was logged".into()))
    };
    Ok(match reading {
        TestReading::Peak => &readings.peak_n,
        TestReading::Impulse => &readings.impulse_n_s,
        TestReading::Duration => &readings.duration_s,
        TestReading::Rise => &readings.rise_s,
        TestReading::Stretch => &stretch()?.greatest_m,
        TestReading::EnergyIn => &stretch()?.energy_in_j,
        TestReading::EnergyBack => &stretch()?.energy_back_j,
        TestReading::Hysteresis => &stretch()?.hysteresis_share,
        TestReading::Stiffness => &stretch()?.stiffness_n_m,
    })
}

/// The pulls of a set-up with a reading that can be defended, and why others are left out.
pub(crate) struct Usable<'a> {
    pub pulls: Vec<(&'a str, f64, Option<f64>)>,
    pub left_out: Vec<String>,
}

pub(crate) fn usable<'a>(pulls: &'a [PullRead], setup: &str, reading: TestReading) -> Usable<'a> {
    let mut usable = Usable {
        pulls: Vec::new(),
        left_out: Vec::new(),
    };
    for pull in pulls
        .iter()
        .filter(|pull| pull.setup.as_deref() == Some(setup))
    {
        let read = reading_of(pull, reading).and_then(|m| match (m.value, &m.no_interval) {
            (Some(value), None) => Ok((value, m.standard_uncertainty)),
            (_, why) => Err(why.clone().unwrap_or_default()),
        });
        match read {
            Ok((value, sure)) => usable.pulls.push((&pull.name, value, sure)),
            Err(why) => usable.left_out.push(format!("{}: {why}", pull.name)),
        }
    }
    usable
}

fn one(test: &TestFile, entry: &CompareEntry, pulls: &[PullRead]) -> Result<Compared, Problem> {
    let names: Vec<&str> = match &entry.setups[..] {
        [] => {
            let pulled = |name: &&str| pulls.iter().any(|p| p.setup.as_deref() == Some(name));
            test.setups
                .iter()
                .map(|s| &s.name[..])
                .filter(pulled)
                .collect()
        }
        named => named.iter().map(|name| &name[..]).collect(),
    };
    let each: Vec<(&str, Usable)> = names
        .iter()
        .map(|name| (*name, usable(pulls, name, entry.reading)))
        .collect();
    let setups = each
        .iter()
        .map(|(name, usable)| setup(entry, name, usable))
        .collect::<Result<_, _>>()?;
    Ok(Compared {
        name: entry.name.clone(),
        reading: entry.reading,
        unit: entry.reading.unit().into(),
        confidence: entry.confidence,
        setups,
        pairs: pairs(test, entry, &each)?,
    })
}

fn setup(entry: &CompareEntry, name: &str, usable: &Usable) -> Result<ComparedSetUp, Problem> {
    let values: Vec<f64> = usable.pulls.iter().map(|pull| pull.1).collect();
    let sample = match &values[..] {
        [] => None,
        values => Some(Sample::of(values)?),
    };
    let (tolerance, no_tolerance) = match (entry.tolerance, sample) {
        (None, _) => (None, None),
        (Some(side), Some(sample)) if sample.count >= 2 => {
            (Some(limit(entry, side, sample)?), None)
        }
        (Some(_), _) => (
            None,
            Some("one pull has no spread: a tolerance limit needs two at least".into()),
        ),
    };
    let half = sample.and_then(|sample| half_width(sample, entry.confidence));
    let mean = sample.map(|sample| sample.mean);
    let end = |sign: f64| mean.zip(half).map(|(mean, half)| mean + sign * half);
    Ok(ComparedSetUp {
        name: name.into(),
        pulls: values.len() as u32,
        pull_names: usable.pulls.iter().map(|pull| pull.0.into()).collect(),
        uncertainties: usable.pulls.iter().map(|pull| pull.2).collect(),
        values,
        left_out: usable.left_out.clone(),
        mean,
        mean_low: end(-1.0),
        mean_high: end(1.0),
        deviation: sample.and_then(|s| s.deviation),
        tolerance,
        no_tolerance,
    })
}

/// Half the interval of a mean by the spread of its pulls: `t s/√n`, n − 1 degrees of freedom.
pub(crate) fn half_width(sample: Sample, confidence: f64) -> Option<f64> {
    let (n, deviation) = (sample.count as f64, sample.deviation?);
    let t = student_quantile(n - 1.0, 0.5 + 0.5 * confidence);
    Some(t * deviation / n.sqrt())
}

fn limit(
    entry: &CompareEntry,
    side: ToleranceSide,
    sample: Sample,
) -> Result<ToleranceLimit, Problem> {
    let promise = Promise {
        cover: entry.cover,
        confidence: entry.confidence,
    };
    let factor = match side {
        ToleranceSide::Both => two_sided(sample.count, promise)?,
        _ => one_sided(sample.count, promise)?,
    };
    let out = factor * sample.deviation.unwrap_or(0.0);
    Ok(ToleranceLimit {
        cover: entry.cover,
        confidence: entry.confidence,
        low: (side != ToleranceSide::AtMost).then_some(sample.mean - out),
        high: (side != ToleranceSide::AtLeast).then_some(sample.mean + out),
        factor,
    })
}

fn pairs(
    test: &TestFile,
    entry: &CompareEntry,
    each: &[(&str, Usable)],
) -> Result<Vec<ComparePair>, Problem> {
    let there: Vec<&(&str, Usable)> = each.iter().filter(|(_, u)| !u.pulls.is_empty()).collect();
    if there.len() < 2 {
        return Ok(Vec::new());
    }
    let values: Vec<Vec<f64>> = there
        .iter()
        .map(|(_, usable)| usable.pulls.iter().map(|pull| pull.1).collect())
        .collect();
    let slices: Vec<&[f64]> = values.iter().map(Vec::as_slice).collect();
    let rules = Rules {
        confidence: entry.confidence,
        seed: test.seed,
        ..Rules::default()
    };
    let pairs = several_setups(&slices, &rules)?;
    Ok(pairs
        .iter()
        .map(|p| pair(p, there[p.setups.0].0, there[p.setups.1].0))
        .collect())
}

fn pair(pair: &Pair, first: &str, second: &str) -> ComparePair {
    let none = |samples: &[Sample; 2], says: &str| ComparePair {
        first: first.into(),
        second: second.into(),
        difference: Some(samples[1].mean - samples[0].mean),
        low: None,
        high: None,
        bootstrap_low: None,
        bootstrap_high: None,
        permutation_p: None,
        adjusted_p: None,
        least_p: None,
        resolution: None,
        verdict: None,
        says: says.into(),
    };
    match &pair.comparison {
        Comparison::PulledOnce { samples } => none(
            samples,
            "One of them was pulled once: how much pulls differ by themselves is not known, so nothing can be said of the difference. Pull each at least four times.",
        ),
        Comparison::NoSpread { samples } => none(
            samples,
            "No pull differs from another of its set-up: the record is too coarse to compare.",
        ),
        Comparison::Compared(d) => ComparePair {
            low: Some(d.welch.low),
            high: Some(d.welch.high),
            bootstrap_low: Some(d.bootstrap.low),
            bootstrap_high: Some(d.bootstrap.high),
            permutation_p: Some(d.permutation.p),
            adjusted_p: pair.adjusted_p,
            least_p: Some(d.permutation.least_p),
            resolution: Some(d.resolution),
            verdict: pair.verdict.map(verdict),
            ..none(&d.samples, pair.verdict.map_or("", says))
        },
    }
}

fn verdict(verdict: Verdict) -> CompareVerdict {
    match verdict {
        Verdict::Shown => CompareVerdict::Shown,
        Verdict::NotShown => CompareVerdict::NotShown,
        Verdict::TooFewToShow => CompareVerdict::TooFew,
    }
}

fn says(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Shown => {
            "A difference is shown: its interval leaves nothing out of reach, and the permutation test agrees with all pairs in view."
        }
        Verdict::NotShown => {
            "No difference is shown: there is none, or one below what so many pulls can see. It is not shown that they are alike."
        }
        Verdict::TooFewToShow => {
            "Too few pulls: whatever they read, no difference could be shown at this confidence. Pull each at least four times."
        }
    }
}

fn left_out(about: &str, compared: &Compared) -> Vec<Finding> {
    let told = |setup: &ComparedSetUp| {
        (!setup.left_out.is_empty()).then(|| {
            warning(
                "pulls-left-out",
                about,
                format!(
                    "{} of set-up {} left out, which can lean the comparison: {}",
                    setup.left_out.len(),
                    setup.name,
                    setup.left_out.join("; ")
                ),
                "pull them again",
            )
        })
    };
    compared.setups.iter().filter_map(told).collect()
}
