//! How the numbers were worked out, each with its source, and only where it was used.

use steadypull_contract::answer::{Compared, FittedLine, Measured, PullRead, TestsReport};

use super::super::{Block, ListKind, Section};

pub(super) fn section(report: &TestsReport) -> Section {
    let mut items = loads(&report.read.pulls);
    items.extend(readings(&report.read.pulls));
    if let Some(fit) = &report.fit {
        items.extend(fits(&fit.lines));
    }
    if let Some(compare) = &report.compare {
        items.extend(comparisons(&compare.compared, report.read.test.seed));
        items.extend((!compare.predicted.is_empty()).then(|| PREDICTIONS.into()));
    }
    items.push(MORE.into());
    super::section(
        "Methods and sources",
        vec![Block::List {
            kind: ListKind::Bullet,
            items,
        }],
    )
}

const PREDICTIONS: &str = "Predictions are held against the mean of their pulls: Student's t on the spread, and the mean doubt of one reading added in squares as if all pulls shared it, which errs on the wide side.";
const MORE: &str = "The program's docs/models.md, sections 13 to 15, gives the formulas, what each was checked against, how often the intervals were seen to hold the truth, and which sources were read and which are from memory.";

/// Zero, calibration, filter.
fn loads(pulls: &[PullRead]) -> Vec<String> {
    let step = |start: &str| {
        let starts = |pull: &PullRead| pull.steps.iter().any(|s| s.says.starts_with(start));
        pulls.iter().any(starts)
    };
    let mut items = vec![
        "Loads: the log is never changed. What is wrong with it is looked for first; a missing sample stays missing, and nothing is read across one. The steps of cleaning stand below.".to_string(),
    ];
    if step("low-pass CFC") {
        items.push("Filter: low-pass by channel frequency class, forward and backward, so that it moves nothing in time (SAE J211-1, ISO 6487). What it takes off a peak is put back, with the doubt of that; the peak as the class gives it stands beside it.".into());
    }
    items
}

/// Readings and their intervals.
fn readings(pulls: &[PullRead]) -> Vec<String> {
    let mut items = vec![
        "Peak: the top of a bent curve through the highest samples, since the largest sample alone reads too high in noise.".to_string(),
        "Intervals of readings: noise, zero, calibration, steps of values, clocks and filter, each as a standard uncertainty, added in squares; Student's t with the degrees of freedom of Welch and Satterthwaite, 95 in 100 (JCGM 100:2008, the GUM).".into(),
    ];
    let any = |has: &dyn Fn(&PullRead) -> bool| pulls.iter().any(has);
    if any(&|pull| pull.readings.stretch.is_some()) {
        items.push("Energies: load over stretch by trapezoids up to the greatest stretch and back; the share kept is 1 less what came back over what went in; stiffness is the straight line from 20 to 80 % of the peak on the way up.".into());
    }
    let swings = |measured: &Measured| measured.value.is_some();
    if any(&|pull| swings(&pull.readings.oscillation.frequency_hz)) {
        items.push("Oscillation: a decaying wave on a slow curve by least squares while the load is held, told where two cycles fit and it stands out by four of its uncertainties.".into());
    }
    let clocked = |pull: &PullRead| pull.footage.as_ref().is_some_and(|f| f.clock.is_some());
    if any(&clocked) {
        items.push("Clock of the footage: by events that log and footage both have, weighted by their uncertainties (a frame's time over the root of 12, the frame as told by eye, the event in the log); the frame rate may drift as far as its uncertainty leaves room. Whether the events agree is a chi-square; where they do not, the uncertainties are widened (Birge 1932, from memory).".into());
    }
    if any(&|pull| pull.footage.is_some()) {
        items.push("Footage: marks to the plane by a known length, a smoothing spline through them with its errors (Wahba 1978, Craven and Wahba 1979). One plane square to the camera; no lens distortion is taken out.".into());
    }
    items
}

fn fits(lines: &[FittedLine]) -> Vec<String> {
    if lines.is_empty() {
        return Vec::new();
    }
    let mut items = vec![
        "Lines: the planner's own line (an extension curve, a share of energy given back, a set) by least squares (Levenberg and Marquardt) to the load before the filter. Noise of the stretch is weighed too, by the slope of the line (effective variance, Orear 1982, from memory). Where the stretch of each pull begins is fitted too, and its clock within its doubt. What least squares is off by on average where the line bends is taken off (Box 1971, from memory).".to_string(),
        "Intervals of parameters: profile likelihood (Bates and Watts 1988), so they may be uneven; what each pull shares (its beginning, its clock, the zero of its load) is in them as far as the readings know it, and what all pulls share (the scales of load and stretch) is put in by fitting again with each moved by one standard uncertainty, and added in squares (JCGM 100:2008, 5.1.3 note 2).".into(),
        "Residuals: by their runs (Wald and Wolfowitz 1940) and by the correlation of neighbours (Ljung and Box 1978). Parameters told apart: condition of the scaled slopes (Belsley, Kuh and Welsch 1980), correlations, and profiles that close.".into(),
    ];
    if lines.iter().any(|line| line.noise_memory != 0.0) {
        items.push("Noise with a memory: the share that a reading keeps of the error before it was found from the residuals and taken out (Cochrane and Orcutt 1949).".into());
    }
    items
}

fn comparisons(compared: &[Compared], seed: u64) -> Vec<String> {
    let mut items = Vec::new();
    let pairs = || compared.iter().flat_map(|one| &one.pairs);
    if pairs().any(|pair| pair.low.is_some()) {
        items.push("Differences: Welch's interval for unequal spreads (Welch 1947, degrees of freedom by Satterthwaite); beside it the BCa bootstrap (Efron 1987), which is too narrow under about ten pulls.".into());
    }
    if pairs().any(|pair| pair.permutation_p.is_some()) {
        items.push(format!("By chance alone: the permutation test of the means, all deals up to 200 000, else 99 999 drawn from seed {seed} with p = (b + 1)/(m + 1) (Phipson and Smyth 2010). With all pairs of a comparison in view by Holm's steps (Holm 1979). A difference counts as shown only where Welch's interval leaves nothing out of reach and the test agrees."));
    }
    if compared
        .iter()
        .flat_map(|one| &one.setups)
        .any(|s| s.tolerance.is_some())
    {
        items.push("Tolerance limits: a bound on a share of all such pulls, mean and k standard deviations; one side by the noncentral t, both sides by the exact integral (ISO 16269-6). Normal spread is taken, not shown.".into());
    }
    items.push("What pulls share, such as one cell's calibration, cancels in a difference and is not in its interval.".into());
    items
}
