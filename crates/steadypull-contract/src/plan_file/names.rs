//! Every name the file gives, good or bad parts alike.
//!
//! A part with a mistake in it still has a name, so a path through it is not
//! called broken as well.

use core::ops::Range;

use super::section::Section;
use super::spelling::nearest;
use super::value::{Fault, Named};
use super::words::End;

/// What carries a name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sort {
    Line,
    Shackle,
    Block,
    /// A bridle at this end, if its points say so.
    Bridle(Option<End>),
    /// A recovery point.
    Point(End),
    /// The tug's winch.
    Winch,
    /// An anchor.
    Anchor,
    /// A recovery point of a vehicle that is an anchor.
    AnchorPoint,
}

/// The names in a plan file, as a path writes them.
pub(super) struct Names {
    entries: Vec<(String, Sort)>,
    /// The line on the tug's winch.
    pub winch_line: Option<String>,
}

impl Names {
    pub fn collect(file: &Section) -> Self {
        let mut names = Self {
            entries: Vec::new(),
            winch_line: None,
        };
        let mut seen: Vec<String> = Vec::new();
        for (key, sort) in [
            ("line", Sort::Line),
            ("shackle", Sort::Shackle),
            ("block", Sort::Block),
            ("ring", Sort::Block),
            ("bridle", Sort::Bridle(None)),
            ("anchor", Sort::Anchor),
        ] {
            let group = file.table(key);
            for (name, span) in group.names() {
                if seen.contains(&name) {
                    note_twice(file, &name, span);
                }
                seen.push(name.clone());
                let sort = match sort {
                    Sort::Bridle(_) => Sort::Bridle(bridle_end(&group, &name)),
                    other => other,
                };
                if sort == Sort::Anchor {
                    let points = group.names_under(&name, "point").into_iter();
                    let points = points.map(|point| (format!("{name}.{point}"), Sort::AnchorPoint));
                    names.entries.extend(points);
                }
                names.entries.push((name, sort));
            }
        }
        for (vehicle, end) in [("casualty", End::Casualty), ("tug", End::Tug)] {
            for (point, _) in file.table(vehicle).table("point").names() {
                names
                    .entries
                    .push((format!("{vehicle}.{point}"), Sort::Point(end)));
            }
        }
        names.add_winch(&file.table("tug").table("winch"));
        names
    }

    fn add_winch(&mut self, winch: &Section) {
        if winch.is_present() {
            self.entries.push(("tug.winch".into(), Sort::Winch));
            self.winch_line = winch
                .key::<Named>("line")
                .maybe()
                .flatten()
                .map(|text| text.0);
        }
    }

    /// What `name` is.
    pub fn sort(&self, name: &str) -> Option<Sort> {
        self.entries
            .iter()
            .find(|(known, _)| known == name)
            .map(|(_, sort)| *sort)
    }

    /// The name of the wanted sort that was probably meant.
    pub fn meant(&self, name: &str, wanted: fn(Sort) -> bool) -> Option<&str> {
        let known = || {
            self.entries
                .iter()
                .filter(|(_, sort)| wanted(*sort))
                .map(|(n, _)| &n[..])
        };
        let with_vehicle = || known().find(|n| n.split_once('.').is_some_and(|(_, p)| p == name));
        nearest(name, known()).or_else(with_vehicle)
    }
}

fn note_twice(file: &Section, name: &str, span: Range<usize>) {
    let fault = Fault::new(format!("the name \"{name}\" is given to two parts"));
    file.note_whole(
        span,
        fault.hinting("a path goes by names: give each part its own"),
    );
}

/// The end whose points a bridle spans.
fn bridle_end(bridles: &Section, name: &str) -> Option<End> {
    let points = bridles.texts_of(name, "points");
    let all = |vehicle: &str| !points.is_empty() && points.iter().all(|p| p.starts_with(vehicle));
    if all("casualty.") {
        Some(End::Casualty)
    } else if all("tug.") {
        Some(End::Tug)
    } else {
        None
    }
}
