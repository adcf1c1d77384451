//! `[setup.NAME]`: what hung on the line and what state it was in.

use steadypull_engine::units::Mass;

use crate::plan_file::entry::{Shape, entries};
use crate::plan_file::section::Section;
use crate::plan_file::value::{DamperPlace, Text};
use crate::plan_file::words::Wear;

/// Most dampers of a set-up.
const MOST_DAMPERS: usize = 12;

/// A set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct SetUpEntry {
    /// Its name in the file.
    pub name: String,
    /// The line.
    pub line: Option<String>,
    /// What stands on the label of what was tested.
    pub product: Option<String>,
    /// New, used or worn.
    pub condition: Option<String>,
    /// Wet or dry.
    pub wet: Option<bool>,
    /// Dampers on the line.
    pub dampers: Vec<HungDamper>,
    /// Anything else.
    pub note: Option<String>,
}

/// A damper on the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HungDamper {
    /// Its mass, kg.
    pub mass_kg: f64,
    /// Where, as a share of the line from the casualty.
    pub place: f64,
}

pub(super) fn setup(name: String, section: &Section) -> Option<SetUpEntry> {
    let text = |key| section.key::<Text>(key).maybe().map(|t| t.map(|t| t.0));
    let (line, product, note) = (text("line"), text("product"), text("note"));
    let condition = section.key::<Wear>("condition").maybe();
    let wet = section.key::<bool>("wet").maybe();
    let dampers = dampers(section);
    Some(SetUpEntry {
        name,
        line: line?,
        product: product?,
        condition: condition?.map(|word| crate::plan_file::Words::word(word).into()),
        wet: wet?,
        dampers: dampers?,
        note: note?,
    })
}

fn dampers(section: &Section) -> Option<Vec<HungDamper>> {
    let shape = Shape {
        cells: 2,
        most: MOST_DAMPERS,
        odd: "holds a damper that is no pair",
        expected: "pairs [mass, place], such as [[\"5 kg\", \"middle\"], [\"5 kg\", \"80 %\"]]"
            .into(),
    };
    let found = entries(section, "dampers", &shape, |entry| {
        let mass = entry.figure::<Mass>(0, "mass", Some(((0.1, 100.0), "0.1 kg to 100 kg")));
        let place = entry.figure::<DamperPlace>(1, "place", None);
        Some(HungDamper {
            mass_kg: mass?.get(),
            place: place?.0,
        })
    })?;
    Some(found.unwrap_or_default())
}
