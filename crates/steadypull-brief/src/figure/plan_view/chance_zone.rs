//! Where things come down if a part lets go: contours at several quantiles, the zone
//! with its sampling band, the rule, and the rig to scale.

use steadypull_contract::answer::{Chance, ChanceZone, PlanPoint};
use steadypull_contract::show::of_100;

use super::super::chance::ChanceFigure;
use super::super::{Drawing, Frame};
use super::ground::{Ground, extent, fitted};
use super::key::scale_bar;
use super::laid_out::in_order;
use super::marks::{self, Thing};
use super::shapes::draw_outline;
use crate::BriefError;
use crate::canvas::{At, Canvas, Hang, LEADING, Pen};
use crate::fonts::{Weight, text_width, wrap};
use crate::ink::{ACCENT, INK, TINT, WHITE};

/// Greatest height of the map over the width.
const HIGH: f64 = 0.8;
/// Dashes of the contours, in the order of their quantiles.
const DASHES: [&str; 4] = ["1.5 3", "5 3", "9 3", "9 3 2 3"];

/// Draws the map.
pub(in crate::figure) fn draw(answer: &Chance, frame: Frame) -> Result<Drawing, BriefError> {
    let zone = &answer.zone;
    let s = frame.size;
    let mut canvas = Canvas::new();
    let heading = "NOBODY INSIDE the thick line while any line is loaded";
    let lines = wrap(heading, s, Weight::Bold, frame.width);
    canvas.lines((0.0, s), &lines, s, (Weight::Bold, Hang::Left));
    let top = s + (lines.len() as f64 - 1.0) * s * LEADING + s * 0.8;
    let contours = contours(zone)
        .into_iter()
        .flat_map(|(corners, _, _)| corners);
    let corners = zone.outer.iter().chain(&zone.corners).chain(contours);
    let all = corners.chain(zone.outlines.iter().flat_map(|o| &o.points));
    let edges = (s * 0.3, frame.width - s * 0.3);
    let ground = extent(all)
        .and_then(|extent| fitted(extent, edges, top, frame.width * HIGH))
        .ok_or_else(|| ChanceFigure::ZoneMap.nothing("the answer has no zone"))?;
    shapes(&mut canvas, zone, &ground, s);
    rig(&mut canvas, zone, &ground, s);
    labels(&mut canvas, zone, &ground, s);
    let y = ground.bottom() + s * 1.4;
    scale_bar(&mut canvas, &ground, y, frame);
    let y = key(&mut canvas, answer, y, frame);
    Ok(Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words: words(answer, frame),
    })
}

fn on(ground: &Ground, corners: &[PlanPoint]) -> Vec<At> {
    corners.iter().map(|p| ground.at(*p)).collect()
}

fn shapes(canvas: &mut Canvas, zone: &ChanceZone, ground: &Ground, s: f64) {
    let (inner, outer) = (on(ground, &zone.inner), on(ground, &zone.outer));
    let hair = Pen::full(ACCENT, s * 0.05);
    canvas.polygon(&outer, Some(TINT), Some(hair));
    canvas.polygon(&inner, Some(WHITE), Some(hair));
    let rule = on(ground, &zone.rule_corners);
    canvas.hatch(&rule, s * 0.9, Pen::full(ACCENT, s * 0.035));
    canvas.polygon(&rule, None, Some(Pen::full(INK, s * 0.09)));
    for (corners, dash, _) in contours(zone) {
        canvas.polygon(
            &on(ground, corners),
            None,
            Some(Pen::dashed(INK, s * 0.11, dash)),
        );
    }
    let whole = on(ground, &zone.corners);
    canvas.polygon(&whole, None, Some(Pen::full(ACCENT, s * 0.26)));
}

/// Contours besides the zone itself, where that is not the rule: corners, dashes,
/// quantile.
fn contours(zone: &ChanceZone) -> Vec<(&[PlanPoint], &'static str, f64)> {
    let is_zone = |q: f64| zone.computed_governs && (q - zone.quantile).abs() <= 1e-9;
    let others = zone.contours.iter().filter(|c| !is_zone(c.quantile));
    others
        .zip(DASHES)
        .map(|(c, dash)| (c.corners.as_slice(), dash, c.quantile))
        .collect()
}

fn rig(canvas: &mut Canvas, zone: &ChanceZone, ground: &Ground, s: f64) {
    if zone.behind_casualty_m.is_some() {
        for outline in &zone.outlines {
            draw_outline(canvas, outline, ground, s * 0.7);
        }
        return;
    }
    for outline in in_order(&zone.outlines) {
        if Thing::of(outline).shows_small() {
            marks::draw(canvas, outline, ground, s * 0.6);
        }
    }
}

/// Names of the contours, on them, where they stand apart from each other.
fn labels(canvas: &mut Canvas, zone: &ChanceZone, ground: &Ground, s: f64) {
    let size = s * 0.8;
    let mut all: Vec<(&[PlanPoint], String)> = contours(zone)
        .into_iter()
        .map(|(corners, _, q)| (corners, percent(q)))
        .collect();
    if zone.computed_governs {
        all.push((&zone.corners, percent(zone.quantile)));
    }
    all.sort_by(|a, b| furthest(a.0).total_cmp(&furthest(b.0)));
    let mut taken: Vec<At> = Vec::new();
    for (corners, text) in all {
        let points = on(ground, corners);
        // Too small to tell from the rig.
        if furthest(corners).sqrt() * ground.scale < s * 4.0 {
            continue;
        }
        let half = text_width(&text, size, Weight::Bold) / 2.0;
        let free = |p: &At| {
            let off = |t: &At| (t.0 - p.0).abs() > half * 2.4 || (t.1 - p.1).abs() > size * 1.5;
            taken.iter().all(off)
        };
        // A contour may leave the drawing: its name stands where the line does.
        let right = ground.left * 2.0 + wide(ground);
        let shown =
            |p: &At| (0.0..=right).contains(&p.0) && (ground.top..=ground.bottom()).contains(&p.1);
        // From the furthest corner on, round the contour.
        let start = furthest_place(corners);
        let spot = (0..points.len())
            .map(|k| points[(start + k) % points.len()])
            .find(|p| shown(p) && free(p));
        let Some((x, y)) = spot else { continue };
        let x = x.clamp(half + s * 0.3, right - half - s * 0.3);
        let y = y.clamp(ground.top + size, ground.bottom() - size * 0.2);
        canvas.text_on_white(
            (x, y + size * 0.35),
            &text,
            size,
            (Weight::Bold, Hang::Middle),
        );
        taken.push((x, y));
    }
}

fn wide(ground: &Ground) -> f64 {
    (ground.high.0 - ground.low.0) * ground.scale
}

fn furthest(corners: &[PlanPoint]) -> f64 {
    let away = corners.iter().map(|p| p.x_m * p.x_m + p.y_m * p.y_m);
    away.fold(0.0, f64::max)
}

fn furthest_place(corners: &[PlanPoint]) -> usize {
    let away = |p: &PlanPoint| p.x_m * p.x_m + p.y_m * p.y_m;
    let most = corners
        .iter()
        .enumerate()
        .max_by(|a, b| away(a.1).total_cmp(&away(b.1)));
    most.map_or(0, |(i, _)| i)
}

fn percent(quantile: f64) -> String {
    format!("{} %", of_100(quantile))
}

fn key(canvas: &mut Canvas, answer: &Chance, y: f64, frame: Frame) -> f64 {
    let zone = &answer.zone;
    let s = frame.size;
    let small = s * 0.9;
    let length = |m: f64| frame.units.length(m);
    let governs = if zone.computed_governs {
        "set by what flies where it passes the rule"
    } else {
        "set by the rule everywhere"
    };
    let mut items = vec![(
        Pen::full(ACCENT, s * 0.26),
        format!(
            "zone at {}: up to {} from a line, {governs}",
            percent(zone.quantile),
            length(zone.furthest_m)
        ),
    )];
    let band = format!(
        "its sampling band: {} to {}, from {} let-go runs{}",
        length(zone.furthest_inner_m),
        length(zone.furthest_outer_m),
        answer.sample.let_go_runs,
        if zone.open_share > 0.0 {
            "; open outwards in places: further is safer"
        } else {
            ""
        }
    );
    items.push((Pen::full(TINT, s * 0.6), band));
    for (_, dash, q) in contours(zone) {
        let text = format!(
            "{} of let-gos of each thing come down inside, whatever the rule",
            percent(q)
        );
        items.push((Pen::dashed(INK, s * 0.09, dash), text));
    }
    items.push((
        Pen::full(INK, s * 0.09),
        format!("rule, hatched: {}", length(zone.rule_m)),
    ));
    let mut y = y + s * 0.3;
    for (pen, text) in items {
        let from = y + small * LEADING - small * 0.35;
        canvas.line((0.0, from), (s * 2.6, from), pen);
        for line in wrap(&text, small, Weight::Regular, frame.width - s * 3.2) {
            y += small * LEADING;
            canvas.text((s * 3.2, y), &line, small, (Weight::Regular, Hang::Left));
        }
    }
    y
}

fn words(answer: &Chance, frame: Frame) -> String {
    let zone = &answer.zone;
    let length = |m: f64| frame.units.length(m);
    format!(
        "Seen from above, to scale. Nobody inside the zone while any line is loaded: up to {} \
         from the nearest line at {}, between {} and {} by sampling. The rule distance is {}.",
        length(zone.furthest_m),
        percent(zone.quantile),
        length(zone.furthest_inner_m),
        length(zone.furthest_outer_m),
        length(zone.rule_m)
    )
}
