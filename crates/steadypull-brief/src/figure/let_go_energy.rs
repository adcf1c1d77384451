//! What flies if a link lets go: its energy along the way, on decades.

use steadypull_contract::answer::{Answer, LetGoCase, Side};
use steadypull_contract::show::figures;

use super::chart::{Field, frame as chart_frame, mark_room, thinned};
use super::force_time::text_block;
use super::mark::badge;
use super::{Drawing, Figure, Frame, link_number};
use crate::BriefError;
use crate::axis::Axis;
use crate::canvas::{At, Canvas, Hang, LEADING, Pen};
use crate::content::sentence;
use crate::fonts::{Weight, wrap};
use crate::ink::{ACCENT, INK};

/// Curves that one chart can hold legibly.
const MOST: usize = 6;
const DASHES: [&str; MOST] = ["", "8 3", "3 2", "8 2 2 2", "1 2", "12 4"];

/// Draws the chart.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    let let_go = &answer.let_go;
    let cases = worst_first(&let_go.cases);
    if cases.is_empty() {
        let why = let_go.missing.clone();
        return Err(Figure::LetGoEnergy.nothing(
            why.unwrap_or_else(|| "no link's energy along the flight was worked out".into()),
        ));
    }
    let s = frame.size;
    let shown = &cases[..cases.len().min(MOST)];
    let points = || shown.iter().flat_map(|c| &c.energy_along);
    let top = points()
        .map(|p| p.energy_j)
        .filter(|e| e.is_finite())
        .fold(let_go.injury_energy_j.max(1.0), f64::max);
    let floor = (let_go.injury_energy_j / 10.0).clamp(0.1, 10.0);
    let long = points()
        .map(|p| p.distance_m)
        .filter(|d| d.is_finite())
        .fold(0.5, f64::max);
    let field = Field {
        left: 0.0,
        right: frame.width - s * 0.9,
        top: s * 1.9,
        bottom: s * 1.9 + (frame.width * 0.29).max(s * 10.5),
    };
    let energy = Axis::decades(
        (floor, top),
        frame.units.energy_axis(),
        (field.bottom, field.top),
    );
    let field = Field {
        left: mark_room(&energy, s),
        ..field
    };
    let distance = Axis::straight(
        (0.0, long),
        frame.units.length_axis(),
        (field.left, field.right),
        6,
    );

    let mut canvas = Canvas::new();
    let injury = energy.at(let_go.injury_energy_j);
    canvas.hatch(
        &Field {
            bottom: injury,
            ..field
        }
        .corners(),
        s * 1.1,
        Pen::full(ACCENT, s * 0.03),
    );
    chart_frame(
        &mut canvas,
        field,
        (&distance, Some("Flown from where it let go")),
        (&energy, "Energy of the free end"),
        s,
    );
    canvas.line(
        (field.left, injury),
        (field.right, injury),
        Pen::full(INK, s * 0.18),
    );
    for (i, case) in shown.iter().enumerate().rev() {
        let curve: Vec<At> = case
            .energy_along
            .iter()
            .map(|p| (distance.at(p.distance_m), energy.at(p.energy_j)))
            .collect();
        let wide = if i == 0 { 0.26 } else { 0.15 };
        canvas.polyline(
            &thinned(&curve, 1.0),
            Pen::dashed(ACCENT, s * wide, DASHES[i]),
        );
    }
    let label = format!("injury from {}", frame.units.energy(let_go.injury_energy_j));
    canvas.text_on_white(
        (field.right - s * 0.4, injury - s * 0.45),
        &label,
        s * 0.9,
        (Weight::Bold, Hang::Right),
    );
    badges(&mut canvas, answer, shown, (&distance, &energy), s);
    let mut y = field.bottom + s * 3.0;
    y = key(&mut canvas, answer, shown, y, frame);
    if cases.len() > MOST {
        y = text_block(
            &mut canvas,
            &format!(
                "{} more in the JSON answer, all with less.",
                cases.len() - MOST
            ),
            y,
            frame,
        );
    }
    y += s * 0.6;
    y = text_block(
        &mut canvas,
        &format!(
            "{} Injury criterion: {}.",
            sentence(&let_go.load_case),
            let_go.injury_source.trim_end_matches('.')
        ),
        y,
        frame,
    );
    Ok(Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words: words(answer, shown, frame),
    })
}

fn worst_first(cases: &[LetGoCase]) -> Vec<&LetGoCase> {
    let mut cases: Vec<&LetGoCase> = cases.iter().filter(|c| c.energy_along.len() > 1).collect();
    cases.sort_by(|a, b| b.times_injury.total_cmp(&a.times_injury));
    cases
}

/// The links' numbers on their curves, each at its own place along.
fn badges(
    canvas: &mut Canvas,
    answer: &Answer,
    cases: &[&LetGoCase],
    (distance, energy): (&Axis, &Axis),
    s: f64,
) {
    for (i, case) in cases.iter().enumerate() {
        let n = case.energy_along.len();
        let share = (i as f64 + 1.0) / (cases.len() as f64 + 1.0);
        let at = ((n - 1) as f64 * share) as usize;
        if let (Some(point), Some(number)) = (
            case.energy_along.get(at),
            link_number(&answer.load_path, &case.link),
        ) {
            badge(
                canvas,
                (distance.at(point.distance_m), energy.at(point.energy_j)),
                s * 0.95,
                number,
            );
        }
    }
}

fn key(canvas: &mut Canvas, answer: &Answer, cases: &[&LetGoCase], y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let small = s * 0.9;
    let mut y = y;
    for (i, case) in cases.iter().enumerate() {
        y += s * 0.35;
        let middle = y + small * 0.9;
        canvas.line(
            (0.0, middle),
            (s * 2.6, middle),
            Pen::dashed(ACCENT, s * if i == 0 { 0.26 } else { 0.15 }, DASHES[i]),
        );
        if let Some(number) = link_number(&answer.load_path, &case.link) {
            badge(canvas, (s * 3.6, middle), s * 0.9, number);
        }
        for line in wrap(
            &case_words(case, frame),
            small,
            Weight::Regular,
            frame.width - s * 4.8,
        ) {
            y += small * LEADING;
            canvas.text((s * 4.8, y), &line, small, (Weight::Regular, Hang::Left));
        }
    }
    y
}

/// Where a link lets go, in words.
fn at_side(side: Side) -> &'static str {
    match side {
        Side::Casualty => "at the casualty",
        Side::Between => "between the vehicles",
        Side::Tug => "at the tug",
    }
}

fn case_words(case: &LetGoCase, frame: Frame) -> String {
    let units = frame.units;
    let arrives = case
        .arrival
        .as_ref()
        .map_or("does not reach the far vehicle".into(), |a| {
            format!(
                "arrives with {} at {} ({})",
                units.energy(a.energy_j),
                units.flight_speed(a.speed_m_s),
                a.strikes
            )
        });
    format!(
        "{} lets go {}: {arrives}, {} × injury",
        case.link,
        at_side(case.parts_at),
        figures(case.times_injury)
    )
}

fn words(answer: &Answer, cases: &[&LetGoCase], frame: Frame) -> String {
    let cases: Vec<String> = cases.iter().map(|c| case_words(c, frame)).collect();
    format!(
        "Injury is counted from {}. {}.",
        frame.units.energy(answer.let_go.injury_energy_j),
        cases.join(". ")
    )
}
