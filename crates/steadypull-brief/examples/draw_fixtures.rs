//! Draws every fixture into a folder, to look at: `draw_fixtures FOLDER`.

#[path = "../tests/fixtures/mod.rs"]
mod fixtures;

use std::path::Path;

use steadypull_brief::{BriefError, Figure, figure, html, pdf, png};
use steadypull_contract::show::Units;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = std::env::args().nth(1).ok_or("which folder?")?;
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    for (i, (name, answer)) in fixtures::all().into_iter().enumerate() {
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
        std::fs::write(
            folder.join(format!("{name}.html")),
            html(&answer, units, "25 November 2026")?,
        )?;
        std::fs::write(
            folder.join(format!("{name}.pdf")),
            pdf(&answer, units, "25 November 2026")?,
        )?;
    }
    Ok(())
}
