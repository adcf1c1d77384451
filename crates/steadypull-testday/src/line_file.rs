//! A fitted line as a table of a plan file.

use steadypull_contract::answer::FittedParameter;
use steadypull_contract::plan_file::FitEntry;
use steadypull_measure::fit::LineFit;

use crate::fit::Record;

/// The text of `[line.NAME]`, with where it comes from in comments.
pub(crate) fn line_toml(
    entry: &FitEntry,
    records: &[Record],
    fitted: &LineFit,
    parameters: &[FittedParameter],
    says: &str,
) -> String {
    let mut text = String::from(
        "# A line fitted to pulls: an estimate that certifies nothing. Paste it into a plan file.\n",
    );
    text += &format!("# {says}\n");
    text += &format!(
        "# Read up to {:.0} % of the breaking strength; above, the curve goes straight on.\n",
        fitted.share_read * 100.0
    );
    for parameter in parameters {
        text += &format!("# {}\n", interval_line(parameter, entry.confidence));
    }
    for record in records {
        text += &format!("# pull {}: log SHA-256 {}\n", record.name, record.sha256);
    }
    text += &format!("[line.{}]\n", entry.name);
    text += &format!("material = \"{}\"\n", entry.material.word());
    text += &format!("length = \"{} m\"\n", figures(entry.length_m));
    text += &format!(
        "mbs = \"{} kN\"            # as stated in the test file\n",
        figures(entry.mbs_n / 1e3)
    );
    text += &format!("stretch = {}\n", stretch(fitted));
    let curve = &fitted.curve;
    text += &format!(
        "energy_return = \"{} %\"\n",
        figures(curve.energy_return * 100.0)
    );
    text += &format!("set = \"{} %\"\n", figures(curve.set_fraction * 100.0));
    text += "condition = \"new\"            # the curve is as tested: nothing more comes off it\n";
    if let Some(rate) = curve.rate {
        text += &format!(
            "rate = {{ stiffness_ratio = {}, relaxation = \"{} s\" }}\n",
            with_point(rate.stiffness_ratio),
            figures(rate.relaxation_s)
        );
    }
    text
}

fn interval_line(parameter: &FittedParameter, confidence: f64) -> String {
    let scale = if parameter.unit == "1" && parameter.name != "stiffness-ratio" {
        (100.0, " %")
    } else if parameter.unit == "1" {
        (1.0, "")
    } else {
        (1.0, " s")
    };
    let end = |end: Option<f64>| end.map_or("open".into(), |end| figures(end * scale.0));
    format!(
        "{}: {}{}, {:.0} in 100 times from {} to {}{}",
        parameter.says,
        end(parameter.value.value),
        scale.1,
        confidence * 100.0,
        end(parameter.value.low),
        end(parameter.value.high),
        scale.1
    )
}

/// The stretch at MBS, or pairs of stretch and share of MBS.
fn stretch(fitted: &LineFit) -> String {
    let points: Vec<(f64, f64)> = fitted
        .curve
        .points()
        .filter(|point| point.1 > 0.0)
        .collect();
    let percent = |share: f64| format!("\"{} %\"", figures(share * 100.0));
    match points[..] {
        [(strain, _)] => percent(strain),
        _ => {
            let pair = |(strain, share): &(f64, f64)| {
                format!("[{}, {}]", percent(*strain), percent(*share))
            };
            format!(
                "[{}]",
                points.iter().map(pair).collect::<Vec<_>>().join(", ")
            )
        }
    }
}

/// Six figures, plainly written.
fn figures(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".into();
    }
    let places = (5.0 - libm::floor(libm::log10(value.abs()))).clamp(0.0, 12.0) as usize;
    let text = format!("{value:.places$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').into(),
        false => text,
    }
}

/// The same as a TOML number.
fn with_point(value: f64) -> String {
    let text = figures(value);
    if text.contains('.') {
        text
    } else {
        text + ".0"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn six_plain_figures() {
        for (value, text) in [
            (18.0, "18"),
            (88.2598511, "88.2599"),
            (0.0123456789, "0.0123457"),
            (100.0, "100"),
        ] {
            assert_eq!(figures(value), text);
        }
        assert_eq!(with_point(2.0), "2.0");
    }
}
