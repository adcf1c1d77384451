//! Whether a rig's path is connected: from a recovery point of the casualty,
//! through parts of the kit, to a recovery point or the winch of the tug.

use core::ops::Range;

use steadypull_engine::plan::Method;

use super::names::{Names, Sort};
use super::section::Section;
use super::value::{Fault, Named};
use super::words::End;

/// One entry of a path.
struct Step<'p> {
    name: &'p str,
    span: Range<usize>,
    sort: Option<Sort>,
}

impl Step<'_> {
    /// Whether it can be the path's end at this vehicle.
    fn ends_at(&self, end: End) -> bool {
        match self.sort {
            // A name that is not known has had its own mistake noted.
            None | Some(Sort::Bridle(None)) => true,
            Some(Sort::Point(at) | Sort::Bridle(Some(at))) => at == end,
            Some(Sort::Winch) => end == End::Tug,
            _ => false,
        }
    }

    fn is_end(&self) -> bool {
        matches!(
            self.sort,
            Some(Sort::Point(_) | Sort::Bridle(_) | Sort::Winch)
        )
    }
}

/// Notes what is wrong with the path; true if nothing is.
pub(super) fn check(
    section: &Section,
    method: Option<Method>,
    path: &[(Range<usize>, Named)],
    names: &Names,
) -> bool {
    let steps: Vec<Step> = path
        .iter()
        .map(|(span, text)| Step {
            name: &text.0,
            span: span.clone(),
            sort: names.sort(&text.0),
        })
        .collect();
    let [first, inner @ .., last] = &steps[..] else {
        return is_long_enough(section, &steps);
    };
    let known = unknown_steps(section, &steps, names) == 0;
    let whole = is_long_enough(section, &steps);
    // Told once, not as two loose ends.
    if first.ends_at(End::Tug) && last.ends_at(End::Casualty) && known {
        let fault = Fault::new("rig.path runs from the tug to the casualty".into());
        section.note_whole(first.span.clone(), fault.hinting("turn the list round"));
        return false;
    }
    let tied = no_loose_end(section, first, End::Casualty)
        & no_loose_end(section, last, End::Tug)
        & no_end_inside(section, inner)
        & none_twice(section, &steps);
    let held = !known || has_line(section, &steps);
    let wound = !known || winch_agrees(section, method, inner, last, names);
    known && whole && tied && held && wound
}

fn is_long_enough(section: &Section, steps: &[Step]) -> bool {
    if steps.len() < 3 && !section.is_broken() {
        let fault = Fault::new("is too short to join the vehicles".into()).expecting(
            "a recovery point of the casualty, the parts in order, a recovery point of the tug",
        );
        section.note(
            "path",
            fault.hinting("leave [rig] out and the tool proposes a rig"),
        );
    }
    steps.len() >= 3
}

fn unknown_steps(section: &Section, steps: &[Step], names: &Names) -> usize {
    let unknown = steps.iter().filter(|step| step.sort.is_none());
    unknown
        .map(|step| {
            if section.is_broken() {
                return;
            }
            let fault = Fault::new(format!(
                "rig.path names \"{}\", which the file does not describe",
                step.name
            ))
            .expecting("a part of the kit, casualty.POINT, tug.POINT or tug.winch");
            let meant = names.meant(step.name, |_| true);
            let hint = meant.map(|meant| format!("did you mean \"{meant}\"?"));
            section.note_whole(step.span.clone(), Fault { hint, ..fault });
        })
        .count()
}

fn no_loose_end(section: &Section, step: &Step, end: End) -> bool {
    let tied = step.ends_at(end);
    if !tied {
        let (side, vehicle, ways) = match end {
            End::Casualty => ("begins", "casualty", "casualty.POINT"),
            End::Tug => ("ends", "tug", "tug.POINT or tug.winch"),
        };
        let fault = Fault::new(format!(
            "a loose end: rig.path {side} with \"{}\", not at the {vehicle}",
            step.name
        ));
        let fault = fault.expecting(format!(
            "{ways}, or a bridle between points of the {vehicle}"
        ));
        section.note_whole(step.span.clone(), fault);
    }
    tied
}

fn no_end_inside(section: &Section, inner: &[Step]) -> bool {
    let ends = inner.iter().filter(|step| step.is_end());
    ends.map(|step| {
        let fault = Fault::new(format!(
            "\"{}\" stands in the middle of rig.path",
            step.name
        ))
        .expecting("recovery points, bridles and the winch only at the ends");
        section.note_whole(step.span.clone(), fault);
    })
    .count()
        == 0
        && no_anchor(section, inner)
}

fn no_anchor(section: &Section, inner: &[Step]) -> bool {
    let anchors = inner
        .iter()
        .filter(|step| matches!(step.sort, Some(Sort::Anchor | Sort::AnchorPoint)));
    anchors
        .map(|step| {
            let fault = Fault::new(format!(
                "\"{}\" is an anchor, and rig.path is a straight line between the vehicles",
                step.name
            ));
            let fault = fault.hinting(
                "lay the rig out on the ground: a table [rig.run.NAME] for each line, or a layout",
            );
            section.note_whole(step.span.clone(), fault);
        })
        .count()
        == 0
}

fn none_twice(section: &Section, steps: &[Step]) -> bool {
    let again = steps
        .iter()
        .enumerate()
        .filter(|(i, step)| steps[..*i].iter().any(|before| before.name == step.name));
    again
        .map(|(_, step)| {
            let fault = Fault::new(format!("\"{}\" stands in rig.path twice", step.name))
                .hinting("describe each part under its own name, even if they are alike");
            section.note_whole(step.span.clone(), fault);
        })
        .count()
        == 0
}

fn has_line(section: &Section, steps: &[Step]) -> bool {
    let is_line = |step: &Step| matches!(step.sort, Some(Sort::Line | Sort::Bridle(_)));
    let found = steps.iter().any(is_line);
    if !found {
        section.note("path", Fault::new("has no line in it".into()));
    }
    found
}

/// A winch pull ends at the winch, by its own line; no other pull does.
fn winch_agrees(
    section: &Section,
    method: Option<Method>,
    inner: &[Step],
    last: &Step,
    names: &Names,
) -> bool {
    let at_winch = last.sort == Some(Sort::Winch);
    let winches = matches!(method, Some(Method::WinchSingle | Method::WinchMulti));
    let fault = if at_winch && !winches && method.is_some() {
        Fault::new("ends at the winch, but the method is no winch pull".into())
            .hinting("a winch is not made to be towed on; end at a recovery point")
    } else if !at_winch && winches && last.ends_at(End::Tug) {
        Fault::new("of a winch pull ends at tug.winch".into())
            .expecting("..., the line on the winch, \"tug.winch\"")
    } else if at_winch && inner.last().map(|step| step.name) != names.winch_line.as_deref() {
        Fault::new("reaches the winch by another line than its own".into())
            .expecting("the line named in [tug.winch] just before \"tug.winch\"")
    } else if method == Some(Method::WinchMulti)
        && !inner.iter().any(|s| s.sort == Some(Sort::Block))
    {
        Fault::new("has no block in it".into())
            .hinting("several parts of line need a block; with one part write \"winch-single\"")
    } else {
        return true;
    };
    section.note("path", fault);
    false
}
