//! The mistakes as people read them: 80 columns, plain characters, no colour.

use super::position::Lines;
use super::problem::{PlanProblems, Problem};

/// Columns of a page.
const WIDTH: usize = 80;
/// Characters of a source line that are shown.
const SHOWN: usize = 64;
/// Characters kept before the mistake when a line is cut.
const KEPT_BEFORE: usize = 30;

impl PlanProblems {
    /// The report on the plan file `file_name` whose text is `text`.
    pub fn report(&self, file_name: &str, text: &str) -> String {
        let lines = Lines::new(text.strip_prefix('\u{feff}').unwrap_or(text));
        let file_name = printable(file_name);
        let mut report = String::new();
        for problem in &self.problems {
            let head = format!("{file_name}:{}:{}: ", problem.line, problem.column);
            report += &wrapped(&(head + &problem.message), "", "    ");
            report += &source(problem, lines.line(problem.line));
            for (label, said) in [("expected", &problem.expected), ("hint", &problem.hint)] {
                if let Some(said) = said {
                    report += &wrapped(&format!("{label}: {said}"), "       ", "         ");
                }
            }
            report.push('\n');
        }
        let count = self.problems.len() + self.more as usize;
        if self.more > 0 {
            report += &format!("and {} more\n", self.more);
        }
        let mistakes = if count == 1 { "mistake" } else { "mistakes" };
        report + &format!("{count} {mistakes} in {file_name}; no plan was read\n")
    }
}

/// The source line and a line of carets under the mistake.
fn source(problem: &Problem, line: &str) -> String {
    let chars: Vec<char> = line.chars().map(printable_char).collect();
    let column = (problem.column.max(1) as usize - 1).min(chars.len());
    let end = (problem.end_column.max(1) as usize - 1).max(column + 1);
    let from = if chars.len() > SHOWN {
        column.saturating_sub(KEPT_BEFORE)
    } else {
        0
    };
    let to = (from + SHOWN).min(chars.len());
    let before = if from > 0 { "..." } else { "" };
    let after = if to < chars.len() { "..." } else { "" };
    let shown: String = chars[from..to].iter().collect();
    let shown = format!("{before}{shown}{after}");
    let blank = " ".repeat(before.len() + column - from);
    let carets = "^".repeat(end.min(to.max(column + 1)) - column);
    let text = format!("{:>5} | {shown}", problem.line);
    format!("{}\n      | {blank}{carets}\n", text.trim_end())
}

/// A tab or a control character would move the carets or the terminal.
fn printable_char(c: char) -> char {
    match c {
        '\t' => ' ',
        c if c.is_control() => '?',
        // Marks that reorder text could hide what a line says.
        '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => '?',
        c => c,
    }
}

/// `text` without anything that would move a terminal's cursor.
pub(super) fn printable(text: &str) -> String {
    text.chars().map(printable_char).collect()
}

/// `text` broken at spaces to lines of [`WIDTH`].
fn wrapped(text: &str, first: &str, next: &str) -> String {
    let mut lines = String::new();
    let mut line = first.to_string();
    let mut empty = true;
    for word in printable(text).split(' ') {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            lines += line.trim_end();
            lines.push('\n');
            line = next.to_string();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line += word;
        empty = false;
    }
    lines + line.trim_end() + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(column: u32, end_column: u32) -> Problem {
        Problem {
            line: 1,
            column,
            end_column,
            key: None,
            found: String::new(),
            message: "wrong".into(),
            expected: None,
            hint: None,
        }
    }

    #[test]
    fn carets_stand_under_the_mistake() {
        assert_eq!(
            source(&problem(3, 5), "a\tbc"),
            "    1 | a bc\n      |   ^^\n"
        );
        assert_eq!(source(&problem(9, 10), "ab"), "    1 | ab\n      |   ^\n");
    }

    #[test]
    fn long_lines_are_cut_around_it() {
        let line = "x".repeat(500);
        let shown = source(&problem(300, 490), &line);
        assert!(shown.lines().all(|l| l.chars().count() <= WIDTH), "{shown}");
        assert!(shown.contains("...x"));
    }
}
