//! Draws every fixture, or one, into a folder to look at:
//! `draw_fixtures FOLDER [FIXTURE]`.

#[path = "../tests/fixtures/mod.rs"]
mod fixtures;

use std::path::Path;

use steadypull_brief::{BriefError, Figure, figure, html, pdf, png};
use steadypull_contract::show::Units;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = std::env::args().nth(1).ok_or("which folder?")?;
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    let only = std::env::args().nth(2);
    for (i, (name, answer)) in fixtures::all().into_iter().enumerate() {
        if only.as_ref().is_some_and(|only| only != name) {
            continue;
        }
        let units = if i == 7 {
            Units::Imperial
        } else {
            Units::Metric
        };
        for which in Figure::ALL {
            match figure(&answer, which, units) {
                Ok(svg) => {
                    std::fs::write(
                        folder.join(format!("{name}-{}.png", which.name())),
                        png(&svg, 1000)?,
                    )?;
                    std::fs::write(folder.join(format!("{name}-{}.svg", which.name())), svg)?;
                }
                Err(BriefError::NothingToDraw { figure, why }) => {
                    println!("{name}: no {}: {why}", figure.name())
                }
                Err(error) => return Err(error.into()),
            }
        }
        let page = html(&answer, units, "25 November 2026")?;
        for (width, pixels) in [("narrow", 656), ("wide", 880)] {
            for (which, svg) in drawn_for(width, &page) {
                let picture = folder.join(format!("{name}-{which}-{width}.png"));
                std::fs::write(picture, png(svg, pixels)?)?;
            }
        }
        std::fs::write(folder.join(format!("{name}.html")), page)?;
        std::fs::write(
            folder.join(format!("{name}.pdf")),
            pdf(&answer, units, "25 November 2026")?,
        )?;
    }
    Ok(())
}

/// The figures of a page as a phone (`narrow`) or a column of a printed page
/// (`wide`) shows them, by name.
fn drawn_for<'a>(width: &str, page: &'a str) -> Vec<(&'a str, &'a str)> {
    let (open, close) = (
        format!("<div class=\"{width}\">"),
        format!("-{width}-title"),
    );
    page.split(open.as_str())
        .skip(1)
        .filter_map(|rest| {
            let svg = &rest[..rest.find("</div>")?];
            let (_, named) = svg.split_once("aria-labelledby=\"")?;
            Some((named.split_once(close.as_str())?.0, svg))
        })
        .collect()
}
