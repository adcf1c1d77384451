//! `dampers` and `tether`: what it takes to keep what flies harmless.

use std::path::Path;

use steadypull_contract::answer::DamperDesign;
use steadypull_contract::design::{DamperQuestion, TetherQuestion, answer_dampers, answer_tether};
use steadypull_contract::show::Units;

use super::plot::PNG_WIDE;
use super::{Done, Ending, REPORT_IT, json_text};
use crate::answering::worked_out;
use crate::args::{Dampers, Tether};
use crate::failure::Failure;
use crate::report;
use crate::writing::{self, Overwrite};

/// The least dampers.
pub fn dampers(of: &Dampers, units: Units, json: bool) -> Result<Done, Failure> {
    let question = DamperQuestion {
        link: of.link.clone(),
        at: of.at.map(Into::into),
        under_j: of.under,
        chance: of.chance,
        most_kg: of.most,
        grip_n: of.grip,
    };
    let answer = worked_out(&of.plan, units, "Trying dampers", |plan| {
        answer_dampers(plan, &question)
    })?;
    let drawn = match &of.output {
        Some(folder) => drawn(folder, &answer.dampers, units, of.png)?,
        None => Vec::new(),
    };
    let text = if json {
        json_text(&answer)?
    } else {
        let files = drawn.iter().map(|path| format!("wrote {path}\n"));
        files.collect::<String>() + &report::dampers(&answer, units)
    };
    Ok(Done {
        text,
        ending: Ending::by(&answer.findings),
    })
}

/// Writes the figure to `folder`, where there is something to draw; gives its files.
fn drawn(
    folder: &Path,
    design: &DamperDesign,
    units: Units,
    png: bool,
) -> Result<Vec<String>, Failure> {
    let Some(svg) = steadypull_brief::damper_figure(design, units) else {
        return Ok(Vec::new());
    };
    writing::make_folder(folder)?;
    let mut forms = vec![("svg", svg.clone().into_bytes())];
    if png {
        let picture = steadypull_brief::png(&svg, PNG_WIDE)
            .map_err(|error| Failure::other(&error.to_string(), REPORT_IT))?;
        forms.push(("png", picture));
    }
    let mut files = Vec::new();
    for (ending, bytes) in forms {
        let path = folder.join(format!("{}.{ending}", steadypull_brief::DAMPER_FIGURE));
        writing::write(&path, &bytes, Overwrite::Allowed)?;
        files.push(path.display().to_string());
    }
    Ok(files)
}

/// The least tether.
pub fn tether(of: &Tether, units: Units, json: bool) -> Result<Done, Failure> {
    let question = TetherQuestion {
        link: of.link.clone(),
        at: of.at.map(Into::into),
        chance: of.chance,
        within_m: of.at_distance,
        length_m: of.length,
        stretch: of.stretch,
    };
    let answer = worked_out(&of.plan, units, "Trying tethers", |plan| {
        answer_tether(plan, &question)
    })?;
    let text = if json {
        json_text(&answer)?
    } else {
        report::tether(&answer, units)
    };
    Ok(Done {
        text,
        ending: Ending::by(&answer.findings),
    })
}
