//! `plot`: the figures as drawings or pictures.

use std::path::Path;

use steadypull_brief::{BriefError, Figure};
use steadypull_contract::answer::Answer;
use steadypull_contract::printed::{FileKind, SkippedFigure, WrittenFile};
use steadypull_contract::show::Units;

use super::{Done, Ending, json_text};
use crate::answering::answer_to;
use crate::args::Plot;
use crate::failure::Failure;
use crate::progress::Progress;
use crate::writing::{self, Overwrite};

/// Pixels across a picture.
pub(super) const PNG_WIDE: u32 = 1600;

/// The figure called `name`, for the command line.
pub fn figure_named(name: &str) -> Result<Figure, String> {
    let names: Vec<&str> = Figure::ALL.iter().map(|figure| figure.name()).collect();
    let found = Figure::ALL.into_iter().find(|figure| figure.name() == name);
    found.ok_or_else(|| format!("no such figure; there are: {}", names.join(", ")))
}

/// Writes the figures.
pub fn run(plot: &Plot, units: Units, json: bool) -> Result<Done, Failure> {
    let answer = answer_to(&plot.plan, units)?;
    writing::make_folder(&plot.output)?;
    let (mut written, mut skipped) = (vec![], vec![]);
    let progress = Progress::show("Drawing the figures");
    for figure in plot.figure.map_or(Figure::ALL.to_vec(), |one| vec![one]) {
        match drawn(&answer, figure, units, plot.png) {
            Ok(drawing) => written.extend(save(&plot.output, figure, &drawing)?),
            Err(BriefError::NothingToDraw { why, .. }) => {
                skipped.push(SkippedFigure {
                    figure: figure.name().into(),
                    why,
                });
            }
            Err(error) => return Err(Failure::other(&error.to_string(), super::REPORT_IT)),
        }
    }
    drop(progress);

    let ending = Ending::of(&answer);
    let headline = answer.verdict.headline.clone();
    let report = writing::written(written, skipped, Some(answer));
    let text = if json {
        json_text(&report)?
    } else {
        writing::written_text(&report, Some(&headline))
    };
    Ok(Done { text, ending })
}

/// A figure, in each form that was asked for.
struct Drawing {
    svg: String,
    png: Option<Vec<u8>>,
}

fn drawn(answer: &Answer, figure: Figure, units: Units, png: bool) -> Result<Drawing, BriefError> {
    let svg = steadypull_brief::figure(answer, figure, units)?;
    let png = png
        .then(|| steadypull_brief::png(&svg, PNG_WIDE))
        .transpose()?;
    Ok(Drawing { svg, png })
}

fn save(folder: &Path, figure: Figure, drawing: &Drawing) -> Result<Vec<WrittenFile>, Failure> {
    let forms = [
        (Some(drawing.svg.as_bytes()), FileKind::Svg, "svg"),
        (drawing.png.as_deref(), FileKind::Png, "png"),
    ];
    let mut files = vec![];
    for (bytes, kind, ending) in forms {
        if let Some(bytes) = bytes {
            let path = folder.join(format!("{}.{ending}", figure.name()));
            writing::write(&path, bytes, Overwrite::Allowed)?;
            files.push(writing::file(&path, figure.name(), kind));
        }
    }
    Ok(files)
}
