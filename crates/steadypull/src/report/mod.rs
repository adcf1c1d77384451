//! The answer as a person reads it in a terminal.
//!
//! Verdict first, then reasons, then the numbers by area, then what was
//! assumed and noticed; the cautions last, always. Plain characters only, so it
//! reads the same in a window, in a pipe and on paper.

mod assumed;
mod bar;
mod cautions;
mod chance;
mod chance_flights;
mod chance_kinds;
mod convergence;
mod dampers;
mod design;
mod findings;
#[cfg(test)]
mod fixture;
mod flying;
mod head;
mod let_go;
mod load_path;
mod lowering;
mod options;
mod page;
mod partings;
mod pull;
mod rig;
mod situation;
mod standoff;
mod test_day;
mod tether;
mod verdict;
mod winch;

use steadypull_contract::answer::Answer;
use steadypull_contract::printed::{ConvergenceAnswer, DampersAnswer, TetherAnswer};
use steadypull_contract::show::Units;

use crate::area::Area;
pub use chance::chance;
pub use page::Page;
pub use test_day::{tests_compare, tests_fit, tests_look, tests_plan, tests_read, tests_report};

/// How much a section says.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// What an instructor acts on.
    Short,
    /// Every number, with the models behind it.
    Full,
}

/// The whole answer.
pub fn check(answer: &Answer, units: Units) -> String {
    let mut page = Page::default();
    head::write(&mut page, &answer.plan, units);
    verdict::write(&mut page, answer);
    for area in areas(answer) {
        section(&mut page, answer, units, area, Detail::Short);
    }
    page.gap();
    if !answer.pulls() {
        page.paragraph(
            "Nothing is pulled. How hard it would be to pull, and by which method: \
             `steadypull situation PLAN`, `steadypull options PLAN`.",
        );
    }
    page.paragraph("More on one area, with its models: `steadypull let-go PLAN` and so on.");
    assumed::write(&mut page, &answer.plan);
    findings::write(&mut page, &answer.findings);
    cautions::write(&mut page, &answer.cautions);
    page.finish()
}

/// The areas of a whole report: a lowering comes first where there is one, and
/// what would be pulled is left out of a lowering that pulls nothing. A straight
/// rig is all said by its load path.
fn areas(answer: &Answer) -> Vec<Area> {
    let (lowers, pulls) = (answer.lowering.is_some(), answer.pulls());
    let first = lowers.then_some([Area::Lowering, Area::Standoff]);
    let rest = Area::ALL.into_iter().filter(|area| match area {
        Area::Lowering => false,
        Area::Rig => answer.rig.is_some(),
        Area::Standoff => !lowers,
        // The rig of a lowering has its links and what flies off them.
        Area::LoadPath | Area::LetGo => pulls || answer.rig.is_some(),
        _ => pulls,
    });
    first.into_iter().flatten().chain(rest).collect()
}

/// One area in full, with what must never be cut away from it.
pub fn area(answer: &Answer, units: Units, area: Area) -> String {
    let mut page = Page::default();
    head::write(&mut page, &answer.plan, units);
    verdict::headline(&mut page, answer);
    section(&mut page, answer, units, area, Detail::Full);
    findings::write(&mut page, &answer.findings);
    cautions::write(&mut page, &answer.cautions);
    page.finish()
}

/// Whether the let-go's numbers have settled, with what must never be cut away from it.
pub fn convergence(answer: &ConvergenceAnswer, units: Units) -> String {
    let mut page = Page::default();
    page.sides(&format!("STEADYPULL  {}", answer.title), "");
    convergence::write(&mut page, &answer.convergence, units);
    findings::write(&mut page, &answer.findings);
    cautions::write(&mut page, &answer.cautions);
    page.finish()
}

/// Dampers by design, with what must never be cut away from it.
pub fn dampers(answer: &DampersAnswer, units: Units) -> String {
    let mut page = Page::default();
    page.sides(&format!("STEADYPULL  {}", answer.title), "");
    dampers::write(&mut page, &answer.dampers, units);
    findings::write(&mut page, &answer.findings);
    cautions::write(&mut page, &answer.cautions);
    page.finish()
}

/// A tether by design, with what must never be cut away from it.
pub fn tether(answer: &TetherAnswer, units: Units) -> String {
    let mut page = Page::default();
    page.sides(&format!("STEADYPULL  {}", answer.title), "");
    tether::write(&mut page, &answer.tether, units);
    findings::write(&mut page, &answer.findings);
    cautions::write(&mut page, &answer.cautions);
    page.finish()
}

fn section(page: &mut Page, answer: &Answer, units: Units, area: Area, detail: Detail) {
    match area {
        Area::Situation => situation::write(page, &answer.situation, units, detail),
        Area::Options => options::write(page, &answer.options, units, detail),
        Area::LoadPath => load_path::write(page, &answer.load_path, units, detail),
        Area::Rig => rig::write(page, answer.rig.as_ref(), units, detail),
        Area::Pull => pull::write(page, &answer.pull, units, detail),
        Area::LetGo => let_go::write(page, &answer.let_go, units, detail),
        Area::Standoff => standoff::write(page, &answer.standoff, units),
        Area::Lowering => lowering::write(page, answer.lowering.as_ref(), units, detail),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reports(answer: &Answer) -> Vec<String> {
        let mut all = Vec::new();
        for units in [Units::Metric, Units::Imperial] {
            all.push(check(answer, units));
            all.extend(Area::ALL.map(|one| area(answer, units, one)));
        }
        all
    }

    #[test]
    fn every_report_fits_and_ends_in_the_cautions() {
        for answer in [
            fixture::answer(),
            fixture::bare_answer(),
            fixture::laid_out_answer(),
        ] {
            for report in reports(&answer) {
                for line in report.lines() {
                    assert!(
                        page::width(line) <= page::WIDTH,
                        "too wide: {line}\n{report}"
                    );
                    assert_eq!(line, line.trim_end(), "blanks at the end");
                }
                let end = report.split("CAUTIONS").nth(1).expect("cautions come last");
                for caution in &answer.cautions {
                    let first = caution.split(' ').next().expect("a word");
                    assert!(end.contains(first), "{caution} missing:\n{report}");
                }
                assert!(
                    !report.contains("NaN") && !report.contains("unknown"),
                    "{report}"
                );
                assert!(report.is_ascii(), "{report}");
            }
        }
    }

    #[test]
    fn the_verdict_comes_before_every_number() {
        let report = check(&fixture::answer(), Units::Metric);
        let headline = report
            .find("Do not pull with this rig")
            .expect("the headline");
        for heading in [
            "SITUATION",
            "OPTIONS",
            "LOAD PATH",
            "PULL",
            "LET-GO",
            "STANDOFF",
        ] {
            let at = report.find(&format!("\n{heading}  ")).expect(heading);
            assert!(headline < at, "{heading} before the verdict");
        }
    }

    #[test]
    fn a_laid_out_rig_has_its_haul_its_branches_and_its_travel() {
        let full = area(&fixture::laid_out_answer(), Units::Metric, Area::Rig);
        let flat = full.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in [
            "Haul 18.5 kN at tug.winch",
            "Haul, never past 20.7 kN: bow shackle is then at what it may carry",
            "1.68 real, 1.96 without friction: friction of blocks, rings and trunks leaves 85.5 %",
            "1.96 times as much line as the casualty moves",
            "haul: tree-a to block-2",
            "slack",
            "0.0200 to 80 deg",
            "48 deg",
        ] {
            assert!(flat.contains(words), "{words}:\n{full}");
        }
        assert!(!full.contains("-0 deg"), "{full}");
        let path = area(&fixture::laid_out_answer(), Units::Metric, Area::LoadPath);
        let tug = path.find("\n  TUG\n").expect("the haul ends");
        assert!(
            tug < path.find("BRANCH AT block-2").expect("a branch"),
            "{path}"
        );
    }

    #[test]
    fn a_straight_rig_points_to_its_load_path() {
        let alone = area(&fixture::answer(), Units::Metric, Area::Rig);
        assert!(alone.contains("`steadypull load-path PLAN`"), "{alone}");
        let all = check(&fixture::answer(), Units::Metric);
        assert!(!all.contains("\nRIG "), "{all}");
        assert!(check(&fixture::laid_out_answer(), Units::Metric).contains("\nRIG "));
    }

    #[test]
    fn what_is_missing_is_said() {
        let report = check(&fixture::bare_answer(), Units::Metric);
        for why in [
            "no kinetic line on hand",
            "no rig could be put together",
            "nothing is loaded",
        ] {
            assert!(report.contains(why), "{why}:\n{report}");
        }
    }
}
