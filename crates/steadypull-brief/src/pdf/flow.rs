//! Sets pieces on pages: full-width bands, and bands of two columns.

use std::rc::Rc;

use super::PAPER;
use crate::canvas::{At, Canvas, Hang};
use crate::fonts::Weight;
use crate::ink::GREY;

/// White round a page.
pub(super) const MARGIN: f64 = 30.0;
/// White under a page.
const BELOW: f64 = 22.0;
/// White between columns.
pub(super) const GUTTER: f64 = 16.0;
/// Width of a full band.
pub(super) const FULL: f64 = PAPER.0 - 2.0 * MARGIN;
/// Width of a column.
pub(super) const COLUMN: f64 = (FULL - GUTTER) / 2.0;

/// Something drawn that never splits.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    /// Height taken.
    pub height: f64,
    /// Its shapes, from (0, 0) down.
    pub body: String,
    /// Whether it must not stand last in a column: a heading.
    pub keep: bool,
    /// What is drawn over it again where it comes first on a page or in a column: the head
    /// of a table over one of its rows.
    pub under: Option<Rc<Piece>>,
}

impl Piece {
    /// A piece that stands for itself.
    pub(super) fn alone(height: f64, body: String) -> Self {
        Self {
            height,
            body,
            keep: false,
            under: None,
        }
    }

    /// Height of what is drawn over it where it comes first.
    fn over(&self) -> f64 {
        self.under.as_ref().map_or(0.0, |head| head.height)
    }
}

/// Pieces that share a width.
#[derive(Debug, Clone)]
pub(super) enum Band {
    /// Over the whole page.
    Full(Vec<Piece>),
    /// In two columns, read down the left one first.
    Columns(Vec<Piece>),
}

/// What goes on the pages.
#[derive(Debug, Clone)]
pub(super) struct Sheets {
    /// From the top down.
    pub bands: Vec<Band>,
    /// At the foot of every page.
    pub foot: Piece,
}

/// A stack of pages being filled.
struct Filling {
    done: Vec<Canvas>,
    page: Canvas,
    y: f64,
    bottom: f64,
}

impl Filling {
    fn room(&self) -> f64 {
        self.bottom - self.y
    }

    fn turn(&mut self) {
        self.done.push(std::mem::take(&mut self.page));
        self.y = MARGIN;
    }

    fn fresh(&self) -> bool {
        self.y <= MARGIN + 1e-6
    }
}

/// The pages' shapes.
pub(super) fn pages(sheets: &Sheets, size: f64) -> Vec<String> {
    let bottom = PAPER.1 - BELOW - sheets.foot.height - size;
    let mut filling = Filling {
        done: Vec::new(),
        page: Canvas::new(),
        y: MARGIN,
        bottom,
    };
    for band in &sheets.bands {
        match band {
            Band::Full(pieces) => full(&mut filling, pieces),
            Band::Columns(pieces) => columns(&mut filling, pieces),
        }
    }
    if !filling.fresh() || filling.done.is_empty() {
        filling.turn();
    }
    let count = filling.done.len();
    let finish = |(i, mut page): (usize, Canvas)| {
        page.place((MARGIN, bottom + size), &sheets.foot.body);
        let number = format!("page {} of {count}", i + 1);
        let at = (
            PAPER.0 - MARGIN,
            bottom + size + sheets.foot.height - size * 0.5,
        );
        page.coloured_text(
            at,
            &number,
            size * 0.85,
            (Weight::Regular, Hang::Right),
            GREY,
        );
        page.into_body()
    };
    filling.done.into_iter().enumerate().map(finish).collect()
}

fn full(filling: &mut Filling, pieces: &[Piece]) {
    for (i, piece) in pieces.iter().enumerate() {
        if run_height(&pieces[i..]) > filling.room() && !filling.fresh() {
            filling.turn();
        }
        let first = filling.fresh();
        filling.y += place(&mut filling.page, (MARGIN, filling.y), piece, first);
    }
}

/// Draws a piece, under its head where it comes first; the height that it took.
fn place(page: &mut Canvas, (x, y): At, piece: &Piece, first: bool) -> f64 {
    let head = piece.under.as_ref().filter(|_| first);
    let over = head.map_or(0.0, |head| {
        page.place((x, y), &head.body);
        head.height
    });
    page.place((x, y + over), &piece.body);
    over + piece.height
}

fn columns(filling: &mut Filling, pieces: &[Piece]) {
    let mut rest = pieces;
    while !rest.is_empty() {
        let room = filling.room();
        let (left, right) = split(rest, room);
        if left + right == 0 {
            if filling.fresh() {
                // Taller than a page: it has been scaled to fit one, so this
                // is the last resort against looping.
                filling.page.place((MARGIN, filling.y), &rest[0].body);
                rest = &rest[1..];
            }
            filling.turn();
            continue;
        }
        let (left, right) = if left + right == rest.len() {
            balanced(rest, room)
        } else {
            (left, right)
        };
        let mut lowest = filling.y;
        for (x, run) in [
            (MARGIN, &rest[..left]),
            (MARGIN + COLUMN + GUTTER, &rest[left..left + right]),
        ] {
            let mut y = filling.y;
            for (at, piece) in run.iter().enumerate() {
                y += place(&mut filling.page, (x, y), piece, at == 0);
            }
            lowest = lowest.max(y);
        }
        filling.y = lowest;
        rest = &rest[left + right..];
        if !rest.is_empty() {
            filling.turn();
        }
    }
}

/// Height of a piece with those that it must keep company with.
fn run_height(pieces: &[Piece]) -> f64 {
    let mut high = 0.0;
    for piece in pieces {
        high += piece.height;
        if !piece.keep {
            break;
        }
    }
    high
}

/// Pieces that fit a column of a height.
fn fit(pieces: &[Piece], room: f64) -> usize {
    let mut high = pieces.first().map_or(0.0, Piece::over);
    for (i, piece) in pieces.iter().enumerate() {
        if high + run_height(&pieces[i..]) > room + 1e-6 {
            return i;
        }
        high += piece.height;
    }
    pieces.len()
}

fn split(pieces: &[Piece], room: f64) -> (usize, usize) {
    let left = fit(pieces, room);
    (left, fit(&pieces[left..], room))
}

/// The split with the least height that still holds everything.
fn balanced(pieces: &[Piece], room: f64) -> (usize, usize) {
    let (mut low, mut high) = (0.0, room);
    for _ in 0..24 {
        let middle = (low + high) / 2.0;
        let (left, right) = split(pieces, middle);
        if left + right == pieces.len() {
            high = middle
        } else {
            low = middle
        }
    }
    split(pieces, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(height: f64, keep: bool) -> Piece {
        Piece {
            keep,
            ..Piece::alone(height, String::new())
        }
    }

    #[test]
    fn headings_are_not_left_behind() {
        let pieces = [piece(50.0, false), piece(10.0, true), piece(50.0, false)];
        assert_eq!(fit(&pieces, 70.0), 1);
        assert_eq!(fit(&pieces, 110.0), 3);
    }

    #[test]
    fn columns_are_balanced() {
        let pieces: Vec<Piece> = (0..10).map(|_| piece(10.0, false)).collect();
        assert_eq!(balanced(&pieces, 500.0), (5, 5));
    }

    #[test]
    fn everything_is_set_somewhere() {
        let marked = |i: usize| Piece {
            keep: i.is_multiple_of(7),
            ..Piece::alone(37.0, format!("<g id=\"p{i}\"/>"))
        };
        let sheets = Sheets {
            bands: vec![
                Band::Full((0..5).map(marked).collect()),
                Band::Columns((5..200).map(marked).collect()),
                Band::Columns(vec![piece(5000.0, true)]),
            ],
            foot: piece(20.0, false),
        };
        let all = pages(&sheets, 8.0).concat();
        for i in 0..200 {
            assert_eq!(all.matches(&format!("\"p{i}\"")).count(), 1, "{i}");
        }
    }

    #[test]
    fn a_table_that_breaks_has_its_head_again() {
        let head = Piece {
            keep: true,
            ..Piece::alone(20.0, "<g id=\"head\"/>".into())
        };
        let row = Piece {
            under: Some(Rc::new(head.clone())),
            ..Piece::alone(30.0, "<g id=\"row\"/>".into())
        };
        let table: Vec<Piece> = std::iter::once(head).chain(vec![row; 60]).collect();
        for band in [Band::Full(table.clone()), Band::Columns(table)] {
            let sheets = Sheets {
                bands: vec![band],
                foot: piece(20.0, false),
            };
            let pages = pages(&sheets, 8.0);
            let rows = pages.concat().matches("\"row\"").count();
            assert_eq!(rows, 60);
            for page in &pages {
                let head = page.find("\"head\"").expect("a head on every page");
                assert!(head < page.find("\"row\"").expect("rows"));
            }
        }
    }
}
