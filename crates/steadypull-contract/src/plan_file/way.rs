//! The way of a lowering: pieces `way`, or points `points`, each figure with a key of its
//! own (`lowering.way.2.slope`).

use core::cell::Cell;

use steadypull_engine::plan::SlopePiece;
use steadypull_engine::units::{Angle, Length};

use super::entry::{Entry, FigureLimits, Shape, entries};
use super::section::Section;
use super::unit_table::Slope;
use super::value::Fault;

/// Most pieces of a way.
const MOST_PIECES: usize = 60;

/// The way as pieces or as points, never both.
pub(super) fn way(section: &Section) -> Option<Vec<SlopePiece>> {
    let (pieces, points) = (pieces(section), points(section));
    match (section.has("way"), section.has("points")) {
        (true, true) => {
            let fault = Fault::new("and way are both given".into());
            section.note("points", fault.hinting("choose one of the two forms"));
            None
        }
        (false, false) => {
            section.note_missing("way", PIECES.into());
            None
        }
        (true, false) => pieces?,
        (false, true) => points?,
    }
}

/// Limits of a piece and of a point of the way.
const PIECE_LENGTH: FigureLimits = ((0.05, 500.0), "5 cm to 500 m");
const PIECE_SLOPE: FigureLimits = (
    (-30.0 * DEGREE, 65.0 * DEGREE),
    "-30 deg to 65 deg, positive where it falls",
);
const DEGREE: f64 = core::f64::consts::PI / 180.0;

/// Pieces `[length along the ground, slope]`, top first.
fn pieces(section: &Section) -> Option<Option<Vec<SlopePiece>>> {
    entries(section, "way", &shape(PIECES), |entry| {
        let length = entry.figure::<Length>(0, "length", Some(PIECE_LENGTH));
        let slope = entry.figure::<Slope>(1, "slope", Some(PIECE_SLOPE));
        piece(entry, length?, slope?.0)
    })
}

const PIECES: &str = "pieces [length along the ground, slope down], top first, such as \
                      [[\"5 m\", \"3 deg\"], [\"20 m\", \"28 deg\"]]";
const POINTS: &str = "points [level distance, height], top first, such as \
                      [[\"0 m\", \"0 m\"], [\"5 m\", \"-0.3 m\"], [\"20 m\", \"-9 m\"]]";

fn shape(expected: &str) -> Shape {
    Shape {
        cells: 2,
        most: MOST_PIECES,
        odd: "holds an entry that is no pair",
        expected: expected.into(),
    }
}

/// Points `[level distance, height]`, top first, as pieces between them.
fn points(section: &Section) -> Option<Option<Vec<SlopePiece>>> {
    // A point is known by the entry before it, so that a mistake has its place.
    let before: Cell<Option<(f64, f64)>> = Cell::new(None);
    let found = entries(section, "points", &shape(POINTS), |entry| {
        let along = entry.figure::<Length>(0, "distance", None);
        let height = entry.figure::<Length>(1, "height", None);
        let (x1, z1) = (along?.get(), height?.get());
        let Some((x0, z0)) = before.replace(Some((x1, z1))) else {
            return Some(None);
        };
        if x1 <= x0 {
            let fault = Fault::new("holds a point that is not further down the way".into());
            entry.note(fault.expecting("level distances that rise from point to point"));
            return None;
        }
        let (run, fall) = (x1 - x0, z0 - z1);
        let slope = Angle::from_grade(fall / run);
        let length = Length::new((run * run + fall * fall).sqrt());
        piece(entry, length, slope).map(Some)
    })?;
    let Some(found) = found else {
        return Some(None);
    };
    let pieces: Vec<SlopePiece> = found.into_iter().flatten().collect();
    if pieces.is_empty() {
        let fault = Fault::new("holds fewer than two points".into()).expecting(POINTS);
        section.note("points", fault);
        return None;
    }
    Some(Some(pieces))
}

fn piece(entry: &Entry, length: Length, slope: Angle) -> Option<SlopePiece> {
    match checked(length, slope) {
        Ok(()) => Some(SlopePiece { length, slope }),
        Err(fault) => {
            entry.note(fault);
            None
        }
    }
}

fn checked(length: Length, slope: Angle) -> Result<(), Fault> {
    if length.get() < 0.05 || length.get() > 500.0 {
        let fault = Fault::new("holds a piece that is too short or too long".into());
        return Err(fault.expecting("5 cm to 500 m each"));
    }
    if !(-30.0..=65.0).contains(&slope.to_deg()) {
        let fault = Fault::new("holds a piece that is too steep".into());
        return Err(fault
            .expecting("slopes of -30 deg to 65 deg, positive where it falls")
            .hinting("beyond that a vehicle hangs; this is no way to lower it"));
    }
    Ok(())
}
