//! Bars and axes from plain characters.

/// A bar of `columns` cells, filled to `share` of it, with a mark where a limit is.
///
/// `[#####....|.........]` is under the limit, `[##########|####>]` over the whole.
pub fn bar(share: f64, limit: Option<f64>, columns: usize) -> String {
    let filled = cells(share, columns);
    let mut cell: Vec<char> = (0..columns)
        .map(|i| if i < filled { '#' } else { '.' })
        .collect();
    if share > 1.0 {
        cell[columns - 1] = '>';
    }
    if let Some(at) = limit.filter(|at| (0.0..1.0).contains(at)) {
        cell[place(at, columns)] = '|';
    }
    let inside: String = cell.into_iter().collect();
    format!("[{inside}]")
}

/// Cells that `share` fills; anything above nothing fills one.
fn cells(share: f64, columns: usize) -> usize {
    let whole = (share.clamp(0.0, 1.0) * columns as f64).round() as usize;
    if share > 0.0 { whole.max(1) } else { 0 }
}

fn place(share: f64, columns: usize) -> usize {
    ((share * columns as f64) as usize).min(columns - 1)
}

/// A mark under an axis.
pub struct Mark {
    /// Where on the axis.
    pub at: f64,
    /// What it says.
    pub label: String,
}

/// An axis from 0 to `end` with a filled stretch and marks under it, a line each.
pub fn axis(end: f64, filled: Option<(f64, f64)>, marks: &[Mark], columns: usize) -> Vec<String> {
    let at = |value: f64| place((value / end).clamp(0.0, 1.0), columns);
    let inside: String = (0..columns)
        .map(|i| match filled {
            Some((from, to)) if at(from) <= i && i <= at(to) => '#',
            _ => '.',
        })
        .collect();
    let mut lines = vec![format!("|{inside}|")];
    for mark in marks {
        let before = at(mark.at) + 1;
        let length = mark.label.chars().count() + 2;
        lines.push(if before + length <= columns + 2 || before < length {
            format!("{:before$}^ {}", "", mark.label)
        } else {
            format!("{:>before$} ^", mark.label, before = before - 1)
        });
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_fill_to_their_share() {
        assert_eq!(bar(0.5, None, 10), "[#####.....]");
        assert_eq!(bar(0.001, None, 10), "[#.........]");
        assert_eq!(bar(0.0, None, 10), "[..........]");
        assert_eq!(bar(0.3, Some(0.5), 10), "[###..|....]");
        assert_eq!(bar(1.7, Some(0.5), 10), "[#####|###>]");
        assert_eq!(bar(f64::NAN, None, 4), "[....]");
    }

    #[test]
    fn marks_stand_under_their_place() {
        let mark = |at, label: &str| Mark {
            at,
            label: label.into(),
        };
        let lines = axis(
            10.0,
            Some((2.0, 5.0)),
            &[mark(2.0, "least"), mark(9.5, "most")],
            20,
        );
        assert_eq!(
            lines,
            [
                "|....#######.........|",
                "     ^ least",
                "               most ^",
            ]
        );
        assert_eq!(lines[2].find('^'), Some(20));
    }
}
