//! The load of a pull in time: from least to greatest in each part, and what happened.

use steadypull_contract::answer::{PullRead, TestEvent, TestEventKind, TestsLevels};
use steadypull_contract::show::AxisUnit;

use super::super::chart::{Field, frame as chart_frame};
use super::super::force_time::text_block;
use super::{Drawing, Frame, field, load_axis, range};
use crate::axis::Axis;
use crate::canvas::{At, Canvas, Hang, Pen};
use crate::fonts::Weight;
use crate::ink::{ACCENT, GREY, INK};

pub(super) fn draw(pull: &PullRead, levels: &TestsLevels, frame: Frame) -> Drawing {
    let s = frame.size;
    let (low, high) = range(levels.least_n.iter().chain(&levels.greatest_n).flatten());
    let (field, force) = field(frame, |field| load_axis((low, high), frame, field));
    let time = Axis::straight(
        (levels.from_s, levels.to_s),
        AxisUnit { name: "s", si: 1.0 },
        (field.left, field.right),
        6,
    );
    let mut canvas = Canvas::new();
    let across = (&time, Some("Time by the log's clock"));
    chart_frame(&mut canvas, field, across, (&force, "Load"), s);
    curve(&mut canvas, levels, (&time, &force), s);
    let named = events(&mut canvas, pull, (&time, &force), field, s);
    let y = text_block(&mut canvas, &named, field.bottom + s * 2.7, frame);
    Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words: format!(
            "The load of pull {} from {:.3} s to {:.3} s rises to {}. {named}",
            pull.name,
            levels.from_s,
            levels.to_s,
            frame.units.force(high)
        ),
    }
}

/// The load part by part: its span, joined through the middles; broken where there is none.
fn curve(canvas: &mut Canvas, levels: &TestsLevels, (time, force): (&Axis, &Axis), s: f64) {
    let parts = levels.least_n.len().max(1) as f64;
    let step_s = (levels.to_s - levels.from_s) / parts;
    let (mut run, mut spans): (Vec<At>, Vec<(At, At)>) = (Vec::new(), Vec::new());
    let both = levels.least_n.iter().zip(&levels.greatest_n).enumerate();
    for (part, (least, greatest)) in both {
        let x = time.at(levels.from_s + (part as f64 + 0.5) * step_s);
        let (Some(least), Some(greatest)) = (least, greatest) else {
            canvas.polyline(&run, Pen::full(ACCENT, s * 0.13));
            run.clear();
            continue;
        };
        run.push((x, force.at(0.5 * (least + greatest))));
        let span = ((x, force.at(*least)), (x, force.at(*greatest)));
        if span.0.1 - span.1.1 > s * 0.1 {
            spans.push(span);
        }
    }
    canvas.polyline(&run, Pen::full(ACCENT, s * 0.13));
    canvas.strokes(&spans, Pen::full(ACCENT, s * 0.08));
}

/// Letters on the events, and their names.
fn events(
    canvas: &mut Canvas,
    pull: &PullRead,
    (time, force): (&Axis, &Axis),
    field: Field,
    s: f64,
) -> String {
    let mut named = Vec::new();
    let mut last = f64::NEG_INFINITY;
    for (at, event) in pull.events.iter().enumerate() {
        let letter = char::from(b'a' + at as u8);
        let x = time.at(event.time_s);
        let pen = Pen::dashed(GREY, s * 0.08, "2 2");
        canvas.line((x, field.top), (x, field.bottom), pen);
        let low = if x - last < s * 1.1 { s * 1.0 } else { 0.0 };
        last = x;
        canvas.text_on_white(
            (x + s * 0.3, field.top + s * 0.7 + low),
            &letter.to_string(),
            s * 0.9,
            (Weight::Bold, Hang::Left),
        );
        if let (TestEventKind::Peak, Some(peak)) = (event.kind, pull.readings.peak_n.value) {
            canvas.circle((x, force.at(peak)), s * 0.3, Some(INK), None);
        }
        named.push(format!("{letter} {}", name(event)));
    }
    let cut = match pull.cut_off {
        true => " CUT OFF: the log is not whole while the line is under load.",
        false => "",
    };
    format!("{}.{cut}", named.join(", "))
}

fn name(event: &TestEvent) -> String {
    let hand = match event.set_by {
        steadypull_contract::answer::SetBy::Hand => " by hand",
        steadypull_contract::answer::SetBy::Log => "",
    };
    format!("{}{hand} {:.3} s", event.kind.word(), event.time_s)
}
