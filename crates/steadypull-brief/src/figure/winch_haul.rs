//! The winch haul in time: line pull above, what it asks of the winch below.

use steadypull_contract::answer::{Answer, HaulCourse, WinchHaul};
use steadypull_contract::show::{AxisUnit, Units, figures, percent};

use super::chart::{Field, frame as chart_frame, mark_room};
use super::force_time::{greatest, text_block};
use super::{Drawing, Figure, Frame};
use crate::BriefError;
use crate::axis::Axis;
use crate::canvas::{At, Canvas, Hang, Pen};
use crate::fonts::Weight;
use crate::ink::{ACCENT, INK};

/// Hauls longer than this are marked in minutes, s.
const LONG_S: f64 = 240.0;

/// Draws the chart.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    let nothing = |why: &str| Figure::WinchHaul.nothing(why);
    let haul = answer.pull.winch.as_ref();
    let haul = haul.ok_or_else(|| nothing("the rig shown is not hauled by a winch"))?;
    let Some((course, against)) = shown(haul) else {
        return Err(nothing(&format!(
            "the casualty does not move: {}",
            haul.median.end_words
        )));
    };
    let s = frame.size;
    let lower = panels(course, frame.units);
    let mut canvas = Canvas::new();
    let fields = fields(frame, lower.len());
    let pull = pull_axis(haul, course, frame, fields[0]);
    let axes: Vec<Axis> = lower
        .iter()
        .zip(&fields[1..])
        .map(|(panel, field)| {
            let top = greatest(&panel.values).max(panel.limit.unwrap_or(0.0));
            Axis::straight((0.0, top), panel.unit, (field.bottom, field.top), 3)
        })
        .collect();
    let left = axes
        .iter()
        .map(|axis| mark_room(axis, s))
        .fold(mark_room(&pull, s), f64::max);
    let time_end = greatest(&course.series.time_s);
    let unit = if time_end > LONG_S {
        AxisUnit {
            name: "min",
            si: 60.0,
        }
    } else {
        AxisUnit { name: "s", si: 1.0 }
    };
    let time = Axis::straight((0.0, time_end), unit, (left, fields[0].right), 6);
    let last = fields.len() - 1;
    let across = |i: usize| (i == last).then_some("Time from the start of the haul");
    let field = |i: usize| Field { left, ..fields[i] };
    chart_frame(
        &mut canvas,
        field(0),
        (&time, across(0)),
        (&pull, "Line pull at the winch"),
        s,
    );
    limit_of_layer(&mut canvas, haul, course, (&time, &pull), s);
    curve(
        &mut canvas,
        course,
        &course.series.line_pull_n,
        (&time, &pull),
        s,
    );
    for (i, (panel, axis)) in lower.iter().zip(&axes).enumerate() {
        chart_frame(
            &mut canvas,
            field(i + 1),
            (&time, across(i + 1)),
            (axis, panel.title),
            s,
        );
        if let Some(limit) = panel.limit {
            let y = axis.at(limit);
            canvas.line(
                (left, y),
                (field(0).right, y),
                Pen::dashed(INK, s * 0.12, "7 3"),
            );
        }
        curve(&mut canvas, course, &panel.values, (&time, axis), s);
    }
    let words = words(haul, course, against, frame);
    let y = text_block(&mut canvas, &words, fields[last].bottom + s * 2.8, frame);
    Ok(Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words,
    })
}

/// The course to draw: against the design resistance if it moves, else against
/// the median.
pub(crate) fn shown(haul: &WinchHaul) -> Option<(&HaulCourse, &'static str)> {
    let drawable = |c: &HaulCourse| {
        c.movement_m > 0.0 && c.series.time_s.len().min(c.series.line_pull_n.len()) > 1
    };
    if drawable(&haul.design) {
        Some((&haul.design, "the design resistance"))
    } else {
        drawable(&haul.median).then_some((&haul.median, "the median resistance"))
    }
}

/// A panel under the pull.
struct Panel {
    title: &'static str,
    unit: AxisUnit,
    values: Vec<f64>,
    limit: Option<f64>,
}

fn panels(course: &HaulCourse, units: Units) -> Vec<Panel> {
    let series = &course.series;
    let panel = |title, unit, values: &Option<Vec<f64>>, limit| {
        values.as_ref().map(|values| Panel {
            title,
            unit,
            values: values.clone(),
            limit,
        })
    };
    let plain = |name| AxisUnit { name, si: 1.0 };
    let degrees = |c: f64| units.degrees(c).1;
    let hottest = course.electric.as_ref().map(|e| degrees(e.winding_limit_c));
    let winding = (series.winding_c.as_ref()).map(|all| all.iter().map(|c| degrees(*c)).collect());
    [
        panel("Current", plain("A"), &series.current_a, None),
        panel("Winding", plain(units.degrees(0.0).0), &winding, hottest),
        panel(
            "Pressure",
            units.oil_pressure_axis(),
            &series.pressure_pa,
            None,
        ),
        panel(
            "Force on the handle",
            units.hand_force_axis(),
            &series.handle_n,
            None,
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn fields(frame: Frame, lower: usize) -> Vec<Field> {
    let s = frame.size;
    let mut fields = vec![Field {
        left: 0.0,
        right: frame.width - s * 0.6,
        top: s * 1.9,
        bottom: s * 1.9 + (frame.width * 0.2).max(s * 8.0),
    }];
    for _ in 0..lower {
        let above = fields[fields.len() - 1];
        let top = above.bottom + s * 2.6;
        fields.push(Field {
            top,
            bottom: top + s * 4.0,
            ..above
        });
    }
    fields
}

fn pull_axis(haul: &WinchHaul, course: &HaulCourse, frame: Frame, field: Field) -> Axis {
    let pulled = greatest(&course.series.line_pull_n);
    // A limit far over the pull would squash the curve: it is then named only.
    let limits = course
        .series
        .layer
        .iter()
        .filter_map(|n| rated_on(haul, *n));
    let top = limits
        .filter(|limit| *limit <= pulled * 4.0)
        .fold(pulled, f64::max);
    Axis::straight(
        (0.0, top * 1.04),
        frame.units.force_axis(),
        (field.bottom, field.top),
        5,
    )
}

fn rated_on(haul: &WinchHaul, layer: u32) -> Option<f64> {
    let found = haul.drum.layers.iter().find(|l| l.layer == layer)?;
    let limit = found.rated_pull_n.min(found.stall_pull_n);
    limit.is_finite().then_some(limit)
}

/// The pull of the layer, dashed, one step a layer.
fn limit_of_layer(
    canvas: &mut Canvas,
    haul: &WinchHaul,
    course: &HaulCourse,
    (time, pull): (&Axis, &Axis),
    s: f64,
) {
    let series = &course.series;
    let mut points: Vec<At> = Vec::new();
    for (t, layer) in series.time_s.iter().zip(&series.layer) {
        let Some(limit) = rated_on(haul, *layer) else {
            continue;
        };
        let at = (time.at(*t), pull.at(limit));
        if let Some(before) = points.last().copied()
            && before.1 != at.1
        {
            points.push((at.0, before.1));
        }
        points.push(at);
    }
    canvas.polyline(&points, Pen::dashed(INK, s * 0.14, "7 3"));
    if let Some(at) = points.first() {
        canvas.text_on_white(
            (at.0 + s * 1.2, at.1 - s * 0.25),
            "L",
            s,
            (Weight::Bold, Hang::Middle),
        );
    }
}

fn curve(
    canvas: &mut Canvas,
    course: &HaulCourse,
    values: &[f64],
    (time, up): (&Axis, &Axis),
    s: f64,
) {
    let points: Vec<At> = course
        .series
        .time_s
        .iter()
        .zip(values)
        .map(|(t, v)| (time.at(*t), up.at(*v)))
        .collect();
    canvas.polyline(&points, Pen::full(ACCENT, s * 0.2));
}

fn words(haul: &WinchHaul, course: &HaulCourse, against: &str, frame: Frame) -> String {
    let rests = match course.rests {
        0 => "without a rest".into(),
        n => format!(
            "rests: {n}, taking {} min of it",
            figures(course.resting_s / 60.0)
        ),
    };
    let asked = course.electric.as_ref().map_or(String::new(), |e| {
        format!(
            " Up to {} A; the winding reaches {} (rest at {}, dashed); {} left in the battery.",
            figures(e.greatest_current_a),
            frame.units.temperature(e.hottest_winding_c),
            frame.units.temperature(e.winding_limit_c),
            percent(e.charge_left_share)
        )
    });
    format!(
        "Haul against {against}: {} of line for {} of movement in {} min, {rests}; {}. \
         Greatest line pull {}, {} of what the layer allows (L, dashed, lower on a higher layer).{asked} \
         Advantage {}.",
        frame.units.length(course.line_in_m),
        frame.units.length(course.movement_m),
        figures(course.time_s / 60.0),
        course.end_words,
        frame.units.force(course.greatest_line_pull_n),
        percent(course.share_of_pull),
        figures(haul.advantage),
    )
}
