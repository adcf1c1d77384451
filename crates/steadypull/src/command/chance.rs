//! `chance`: a recovery under everything that is not known.

use std::io::{IsTerminal, Write, stderr};
use std::path::Path;

use steadypull_brief::{BriefError, ChanceFigure};
use steadypull_contract::answer::{Chance, Severity};
use steadypull_contract::printed::FileKind;
use steadypull_contract::show::{Units, percent};
use steadypull_contract::{ChanceOptions, ChanceProgress, ChanceRuns, chance};

use super::plot::PNG_WIDE;
use super::{Done, Ending, json_text};
use crate::answering::PlanFile;
use crate::args;
use crate::failure::Failure;
use crate::interrupt;
use crate::report;
use crate::writing::{self, Overwrite};

/// An error such as `2%`, for the command line.
pub fn error_share(text: &str) -> Result<f64, String> {
    let expected = "give it as a percentage above 0% and under 50%, such as 2%";
    let number = text.trim().strip_suffix('%').ok_or(expected)?;
    let percent: f64 = number.trim().parse().map_err(|_| expected)?;
    if percent > 0.0 && percent < 50.0 {
        Ok(percent / 100.0)
    } else {
        Err(expected.into())
    }
}

/// Studies the plan; writes the figures where a folder is given.
pub fn run(asked: &args::Chance, units: Units, json: bool) -> Result<Done, Failure> {
    let plan = PlanFile::open(&asked.plan)?;
    if let Some(folder) = &asked.output {
        writing::make_folder(folder)?;
    }
    let answer = studied(&asked.plan, &plan, &options(asked, units))?;
    let written = match &asked.output {
        Some(folder) => figures(&answer, folder, units, asked.png)?,
        None => Vec::new(),
    };
    let text = if json {
        json_text(&answer)?
    } else {
        report::chance(&answer, units, &written)
    };
    let critical = answer
        .findings
        .iter()
        .any(|f| f.severity == Severity::Critical);
    Ok(Done {
        text,
        ending: if critical {
            Ending::Critical
        } else {
            Ending::Worked
        },
    })
}

/// Studies the plan that `file` holds, and says meanwhile how far it is.
pub fn studied(file: &str, plan: &PlanFile, options: &ChanceOptions) -> Result<Chance, Failure> {
    let mut line = ProgressLine::new();
    let found = chance(
        plan,
        options,
        &mut |progress| line.say(&progress),
        interrupt::watched(),
    );
    line.wipe();
    found.map_err(|error| Failure::of_chance(file, &plan.text, &error))
}

fn options(asked: &args::Chance, units: Units) -> ChanceOptions {
    let runs = match asked.runs {
        Some(count) => ChanceRuns::Count(count),
        None => ChanceRuns::Until {
            error: asked.error,
            most: asked.most_runs,
        },
    };
    ChanceOptions {
        seed: asked.seed.map(u64::from),
        runs,
        drivers: true,
        threads: asked.threads,
        units,
    }
}

/// Writes every figure; says which were written and which left out.
fn figures(
    answer: &Chance,
    folder: &Path,
    units: Units,
    png: bool,
) -> Result<Vec<String>, Failure> {
    let mut said = Vec::new();
    for figure in ChanceFigure::ALL {
        let svg = match steadypull_brief::chance_figure(answer, figure, units) {
            Ok(svg) => svg,
            Err(BriefError::NoChanceFigure { why, .. }) => {
                said.push(format!("left out {}: {why}", figure.name()));
                continue;
            }
            Err(error) => return Err(Failure::other(&error.to_string(), super::REPORT_IT)),
        };
        let picture = png
            .then(|| steadypull_brief::png(&svg, PNG_WIDE))
            .transpose()
            .map_err(|error| Failure::other(&error.to_string(), super::REPORT_IT))?;
        let forms = [
            (Some(svg.as_bytes()), FileKind::Svg, "svg"),
            (picture.as_deref(), FileKind::Png, "png"),
        ];
        for (bytes, kind, ending) in forms {
            let Some(bytes) = bytes else { continue };
            let path = folder.join(format!("{}.{ending}", figure.name()));
            writing::write(&path, bytes, Overwrite::Allowed)?;
            let file = writing::file(&path, figure.name(), kind);
            said.push(format!("wrote {} ({})", file.file, file.holds));
        }
    }
    Ok(said)
}

/// How far it is, on the terminal; quiet where standard error is no terminal.
struct ProgressLine {
    terminal: bool,
    said: bool,
}

impl ProgressLine {
    fn new() -> Self {
        Self {
            terminal: stderr().is_terminal(),
            said: false,
        }
    }

    fn say(&mut self, progress: &ChanceProgress) {
        if !self.terminal {
            return;
        }
        let error = progress.error.map_or("not known yet".into(), percent);
        self.put(&format!(
            "\r{} of at most {} draws, error {error}; Ctrl-C ends it with what there is ",
            progress.draws, progress.most
        ));
        self.said = true;
    }

    fn wipe(&self) {
        if self.said {
            self.put(&format!("\r{:79}\r", ""));
        }
    }

    /// A closed terminal must not end the work.
    fn put(&self, text: &str) {
        let mut stderr = stderr();
        let _ = stderr.write_all(text.as_bytes());
        let _ = stderr.flush();
    }
}

#[cfg(test)]
mod tests {
    use super::error_share;

    #[test]
    fn errors_are_percentages() {
        assert_eq!(error_share("2%"), Ok(0.02));
        assert_eq!(error_share(" 0.5 % "), Ok(0.005));
        for bad in ["2", "0%", "-1%", "50%", "NaN%", "%", "two%"] {
            assert!(error_share(bad).is_err(), "{bad}");
        }
    }
}
