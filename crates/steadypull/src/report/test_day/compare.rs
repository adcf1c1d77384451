//! Set-ups side by side.

use steadypull_contract::answer::{
    ComparePair, CompareVerdict, Compared, ComparedSetUp, Predicted, ToleranceLimit, in_unit,
};
use steadypull_contract::show::{Units, figures, of_100, percent};

use crate::report::Page;

/// Writes one comparison.
pub fn write(page: &mut Page, compared: &Compared, units: Units) {
    let name = format!("COMPARED BY {}", compared.reading.title().to_uppercase());
    page.heading(&name, &compared.name);
    let rows: Vec<[String; 4]> = compared
        .setups
        .iter()
        .map(|s| row(s, &compared.unit, units))
        .collect();
    page.table(&["Set-up", "Pulls", "Mean", "Spread"], &rows);
    for setup in &compared.setups {
        if let Some(limit) = &setup.tolerance {
            let text = tolerance(limit, &compared.unit, units);
            page.item("-", &format!("{}: {text}", setup.name));
        }
        if let Some(why) = &setup.no_tolerance {
            page.item("-", &format!("{}: no tolerance limit: {why}", setup.name));
        }
    }
    if compared.pairs.is_empty() {
        page.paragraph("Nothing to compare: fewer than two set-ups have such a reading.");
    }
    for pair in &compared.pairs {
        self::pair(page, pair, compared, units);
    }
}

fn row(setup: &ComparedSetUp, unit: &str, units: Units) -> [String; 4] {
    let number =
        |value: Option<f64>| value.map_or("none".into(), |value| in_unit(units, unit, value));
    [
        setup.name.clone(),
        setup.pulls.to_string(),
        number(setup.mean),
        number(setup.deviation),
    ]
}

fn tolerance(limit: &ToleranceLimit, unit: &str, units: Units) -> String {
    let end = |end: f64| in_unit(units, unit, end);
    let where_to = match (limit.low, limit.high) {
        (Some(low), Some(high)) => format!("from {} to {}", end(low), end(high)),
        (Some(low), None) => format!("above {}", end(low)),
        (None, Some(high)) => format!("below {}", end(high)),
        (None, None) => "nowhere".into(),
    };
    format!(
        "{} in 100 such pulls lie {where_to}, said with {} in 100 confidence (normal spread taken)",
        of_100(limit.cover),
        of_100(limit.confidence)
    )
}

fn pair(page: &mut Page, pair: &ComparePair, compared: &Compared, units: Units) {
    page.gap();
    let verdict = match pair.verdict {
        Some(CompareVerdict::Shown) => "SHOWN",
        Some(CompareVerdict::NotShown) => "NOT SHOWN",
        Some(CompareVerdict::TooFew) => "TOO FEW",
        None => "NO VERDICT",
    };
    page.sides(&format!("  {} less {}", pair.second, pair.first), verdict);
    let unit = &compared.unit;
    if let Some(difference) = pair.difference {
        let interval = pair
            .low
            .zip(pair.high)
            .map_or(", no interval".into(), |(low, high)| {
                format!(
                    "  ({} to {}, {} in 100)",
                    in_unit(units, unit, low),
                    in_unit(units, unit, high),
                    of_100(compared.confidence)
                )
            });
        page.fact(
            "Difference",
            &format!("{}{interval}", in_unit(units, unit, difference)),
        );
    }
    if let Some((p, adjusted)) = pair.permutation_p.zip(pair.adjusted_p) {
        page.fact(
            "By chance alone",
            &format!(
                "p = {} by permutation, {} with all pairs in view",
                figures(p),
                figures(adjusted)
            ),
        );
    }
    if let Some(resolution) = pair.resolution {
        page.fact(
            "Could have seen",
            &format!("{}, four times in five", in_unit(units, unit, resolution)),
        );
    }
    page.paragraph(&pair.says);
}

/// Writes what was predicted.
pub fn predicted(page: &mut Page, rows: &[Predicted], units: Units) {
    if rows.is_empty() {
        return;
    }
    page.heading("PREDICTED", "beside what was measured");
    for row in rows {
        let show = |value: f64| in_unit(units, &row.unit, value);
        page.sides(
            &format!(
                "  {}, set-up {}, {}",
                row.name,
                row.setup,
                row.reading.title()
            ),
            match row.agrees {
                Some(true) => "AGREES",
                Some(false) => "OFF",
                None => "NO VERDICT",
            },
        );
        page.fact(
            "Predicted",
            &format!("{} ({})", show(row.predicted), row.from),
        );
        let measured = row.measured.map_or("nothing".into(), |measured| {
            let interval = row.low.zip(row.high);
            let interval = interval.map_or(", no interval".into(), |(low, high)| {
                format!("  ({} to {})", show(low), show(high))
            });
            let off = row
                .off_share
                .map_or(String::new(), |off| format!(", {} off", percent(off)));
            format!("{}{interval}, {} pulls{off}", show(measured), row.pulls)
        });
        page.fact("Measured, mean", &measured);
        page.paragraph(&row.says);
    }
}
