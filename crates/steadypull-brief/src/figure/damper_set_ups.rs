//! Arrival energy by damper set-up, as small multiples: one panel a set-up against the
//! load at which the line parts, and one for the set-ups of the answer.

use steadypull_contract::answer::{ArrivalEnergies, DamperDesign, DamperWish};
use steadypull_contract::show::percent;

use super::chart::{Field, mark_room};
use super::force_time::text_block;
use super::mark::Mark;
use super::{Drawing, Frame};
use crate::axis::Axis;
use crate::canvas::{At, Canvas, Hang, LEADING, Pen};
use crate::content::sentence;
use crate::fonts::{Weight, wrap_label};
use crate::ink::{ACCENT, GREY, INK, RULE, TINT};

/// Panels side by side, and on a narrow sheet.
const ACROSS: usize = 3;
const ACROSS_NARROW: usize = 2;
/// Narrow, in text sizes.
const NARROW: f64 = 44.0;
/// Least energy drawn, J: what is below stands on the base line.
const FLOOR_J: f64 = 1.0;
/// Lines of a panel's name: what the longest takes on a phone.
const NAME_LINES: usize = 3;

/// Draws the figure; `None` where nothing was worked out.
pub(crate) fn draw(design: &DamperDesign, frame: Frame) -> Option<Drawing> {
    let wish = design.wish.as_ref()?;
    if design.by_load.is_empty() {
        return None;
    }
    let s = frame.size;
    let scales = Scales::of(design, frame);
    let mut canvas = Canvas::new();
    let panels = design.usual.len() + 1;
    for panel in 0..panels {
        let field = scales.field(panel);
        let energy = scales.energy(field, frame);
        let left = panel % scales.across == 0;
        ground(&mut canvas, field, (&energy, left), wish, s);
        match design.usual.get(panel) {
            Some(usual) => {
                name(&mut canvas, field, panel, &sentence_case(&usual.name), s);
                by_load(&mut canvas, design, panel, field, &energy, frame);
            }
            None => {
                name(
                    &mut canvas,
                    field,
                    panel,
                    "Of the answer, by number of dampers",
                    s,
                );
                by_number(&mut canvas, design, field, &energy, s);
            }
        }
    }
    canvas.text(
        (0.0, s),
        &format!(
            "Energy at the far vehicle ({})",
            frame.units.energy_axis().name
        ),
        s,
        (Weight::Bold, Hang::Left),
    );
    let mut y = scales.field(panels - 1).bottom + s * 3.4;
    y = key(&mut canvas, wish, y, frame);
    if frame.notes {
        y = text_block(&mut canvas, &sentence(&design.headline), y + s * 0.4, frame);
    }
    Some(Drawing {
        height: y + s * 0.5,
        body: canvas.into_body(),
        words: words(design, wish, frame),
    })
}

/// Panels side by side.
fn panels_across(frame: Frame) -> usize {
    match frame.width < NARROW * frame.size {
        true => ACROSS_NARROW,
        false => ACROSS,
    }
}

/// Places of the panels, and the range of their energies.
struct Scales {
    left: f64,
    wide: f64,
    high: f64,
    gap: f64,
    rise: f64,
    top_j: f64,
    size: f64,
    across: usize,
}

impl Scales {
    fn of(design: &DamperDesign, frame: Frame) -> Self {
        let s = frame.size;
        let all = design.by_load.iter().flat_map(|at| &at.energies);
        let top_j = all
            .map(|e| e.worst.quantile_j.max(e.hardware.quantile_j))
            .filter(|j| j.is_finite())
            .fold(100.0, f64::max);
        let sample = Axis::decades((FLOOR_J, top_j), frame.units.energy_axis(), (1.0, 0.0));
        let left = mark_room(&sample, s);
        let gap = s * 1.4;
        let across = panels_across(frame);
        let wide = (frame.width - left - gap * (across - 1) as f64 - s * 1.3) / across as f64;
        Self {
            left,
            wide,
            high: wide * 0.92,
            gap,
            // Room for a name over a panel and for marks under the one before.
            rise: s * (NAME_LINES as f64 * 1.2 + 0.6),
            top_j,
            size: s,
            across,
        }
    }

    fn field(&self, panel: usize) -> Field {
        let (row, column) = (panel / self.across, panel % self.across);
        let left = self.left + column as f64 * (self.wide + self.gap);
        let under = self.size * 3.0;
        let top = self.size * 1.4 + self.rise + row as f64 * (self.high + self.rise + under);
        Field {
            left,
            right: left + self.wide,
            top,
            bottom: top + self.high,
        }
    }

    fn energy(&self, field: Field, frame: Frame) -> Axis {
        Axis::decades(
            (FLOOR_J, self.top_j),
            frame.units.energy_axis(),
            (field.bottom, field.top),
        )
    }
}

fn sentence_case(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn name(canvas: &mut Canvas, field: Field, panel: usize, text: &str, s: f64) {
    let small = s * 0.92;
    let letter = char::from(b'A' + (panel % 26) as u8);
    let wide = field.right - field.left;
    let lines = wrap_label(
        &format!("{letter}  {text}"),
        small,
        Weight::Bold,
        wide,
        NAME_LINES,
    );
    // The last line stands just over the panel.
    let mut y = field.top - s * 0.5 - small * 1.2 * (lines.len() as f64 - 1.0);
    for line in lines {
        canvas.text((field.left, y), &line, small, (Weight::Bold, Hang::Left));
        y += small * 1.2;
    }
}

/// Rules, the limits and the frame of a panel.
fn ground(
    canvas: &mut Canvas,
    field: Field,
    (energy, marked): (&Axis, bool),
    wish: &DamperWish,
    s: f64,
) {
    let small = s * 0.85;
    let limit = energy.at(wish.under_j);
    canvas.hatch(
        &Field {
            bottom: limit,
            ..field
        }
        .corners(),
        s * 1.1,
        Pen::full(ACCENT, s * 0.02),
    );
    for (value, text) in &energy.marks {
        let y = energy.at(*value);
        canvas.line((field.left, y), (field.right, y), Pen::full(RULE, s * 0.03));
        if marked {
            canvas.text(
                (field.left - s * 0.4, y + small * 0.35),
                text,
                small,
                (Weight::Regular, Hang::Right),
            );
        }
    }
    let across = |y: f64| ((field.left, y), (field.right, y));
    let (from, to) = across(limit);
    canvas.line(from, to, Pen::full(INK, s * 0.18));
    let (from, to) = across(energy.at(wish.first_casualty_j));
    canvas.line(from, to, Pen::dashed(INK, s * 0.12, "5 3"));
    let outline = Pen::full(INK, s * 0.08);
    canvas.line((field.left, field.top), (field.left, field.bottom), outline);
    canvas.line(
        (field.left, field.bottom),
        (field.right, field.bottom),
        outline,
    );
}

/// One usual set-up against the load.
fn by_load(
    canvas: &mut Canvas,
    design: &DamperDesign,
    usual: usize,
    field: Field,
    energy: &Axis,
    frame: Frame,
) {
    let s = frame.size;
    let loads: Vec<f64> = design.by_load.iter().map(|at| at.tension_n).collect();
    let ends = (
        loads.iter().copied().fold(f64::MAX, f64::min),
        loads.iter().copied().fold(1.0, f64::max),
    );
    let load = Axis::decades(ends, frame.units.force_axis(), (field.left, field.right));
    across(canvas, field, &load, s);
    if let Some(own) = design.by_load.iter().find(|at| at.own) {
        let x = load.at(own.tension_n);
        canvas.line(
            (x, field.top),
            (x, field.bottom),
            Pen::dashed(GREY, s * 0.1, "2 3"),
        );
    }
    let points: Vec<(f64, &ArrivalEnergies)> = design
        .by_load
        .iter()
        .filter_map(|at| Some((load.at(at.tension_n), at.energies.get(usual)?)))
        .collect();
    series(canvas, &points, energy, usual > 0, s);
}

/// The set-ups of the answer: none, then one, two and three dampers.
fn by_number(canvas: &mut Canvas, design: &DamperDesign, field: Field, energy: &Axis, s: f64) {
    let found = design.numbers.iter().map(|choice| &choice.check);
    let all: Vec<&ArrivalEnergies> = design.bare.iter().chain(found).collect();
    let step = (field.right - field.left) / all.len().max(1) as f64;
    for (k, energies) in all.iter().enumerate() {
        let x = field.left + step * (k as f64 + 0.5);
        let label = if k == 0 {
            "0".to_string()
        } else {
            k.to_string()
        };
        canvas.text(
            (x, field.bottom + s * 1.2),
            &label,
            s * 0.85,
            (Weight::Regular, Hang::Middle),
        );
        bar(canvas, x, energies, energy, s);
        if k > 0 {
            damper(
                canvas,
                (x + s * 0.75, energy.at(energies.damper.median_j)),
                s,
            );
        }
    }
    canvas.text(
        (field.right, field.bottom + s * 2.3),
        "Dampers",
        s * 0.85,
        (Weight::Regular, Hang::Right),
    );
}

/// Median of the hardware with a bar up to its quantile.
fn bar(canvas: &mut Canvas, x: f64, energies: &ArrivalEnergies, energy: &Axis, s: f64) {
    let (low, high) = (
        energy.at(energies.hardware.median_j),
        energy.at(energies.hardware.quantile_j),
    );
    canvas.rect(
        (x - s * 0.3, high),
        (s * 0.6, (low - high).max(0.5)),
        Some(TINT),
        Some(Pen::full(ACCENT, s * 0.08)),
    );
    Mark::Disc.draw(canvas, (x, low), s * 0.26);
}

fn damper(canvas: &mut Canvas, at: At, s: f64) {
    Mark::Ring.draw(canvas, at, s * 0.3);
}

fn across(canvas: &mut Canvas, field: Field, load: &Axis, s: f64) {
    let small = s * 0.85;
    for (value, text) in &load.marks {
        let x = load.at(*value);
        canvas.line(
            (x, field.bottom),
            (x, field.bottom + s * 0.3),
            Pen::full(INK, s * 0.07),
        );
        canvas.text(
            (x, field.bottom + s * 1.2),
            text,
            small,
            (Weight::Regular, Hang::Middle),
        );
    }
    canvas.text(
        (field.right, field.bottom + s * 2.3),
        &format!("Parts at ({})", load.unit),
        small,
        (Weight::Regular, Hang::Right),
    );
}

/// Band and median of the hardware, and the dampers' own energy. Lines go from one
/// arrival to the next: nothing leads up from what stops short.
fn series(
    canvas: &mut Canvas,
    points: &[(f64, &ArrivalEnergies)],
    energy: &Axis,
    dampers: bool,
    s: f64,
) {
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let at = |(x, e): (f64, &ArrivalEnergies), pick: fn(&ArrivalEnergies) -> f64| {
            (x, energy.at(pick(e)))
        };
        let arrives = |pick: fn(&ArrivalEnergies) -> f64| pick(a.1).min(pick(b.1)) > FLOOR_J;
        let band = [
            at(a, quantile),
            at(b, quantile),
            at(b, median),
            at(a, median),
        ];
        if arrives(quantile) {
            canvas.polygon(&band, Some(TINT), None);
            canvas.line(band[0], band[1], Pen::full(ACCENT, s * 0.05));
        }
        if arrives(median) {
            canvas.line(band[3], band[2], Pen::full(ACCENT, s * 0.2));
        }
        if dampers && arrives(own) {
            canvas.line(at(a, own), at(b, own), Pen::dashed(INK, s * 0.12, "3 2"));
        }
    }
    for (x, energies) in points {
        if dampers {
            damper(canvas, (*x, energy.at(own(energies))), s);
        }
        Mark::Disc.draw(canvas, (*x, energy.at(median(energies))), s * 0.24);
    }
}

fn median(of: &ArrivalEnergies) -> f64 {
    of.hardware.median_j
}

fn quantile(of: &ArrivalEnergies) -> f64 {
    of.hardware.quantile_j
}

fn own(of: &ArrivalEnergies) -> f64 {
    of.damper.median_j
}

fn key(canvas: &mut Canvas, wish: &DamperWish, y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let small = s * 0.9;
    let chance = percent(wish.chance);
    let units = frame.units;
    let entries = [
        format!("hardware alone: median, band up to {chance} of the draws"),
        "the most energetic damper, of its own mass, median".to_string(),
        format!(
            "wish: nothing over {}; hatched: over it",
            units.energy(wish.under_j)
        ),
        format!("{}: people first hurt", units.energy(wish.first_casualty_j)),
        "load of this plan".to_string(),
        "on the base line: does not arrive".to_string(),
    ];
    let columns = panels_across(frame) - 1;
    let mut y = y;
    for (row, some) in entries.chunks(columns).enumerate() {
        y += small * LEADING;
        for (column, text) in some.iter().enumerate() {
            let x = column as f64 * frame.width * 0.53;
            let at = (x + s * 1.2, y - small * 0.32);
            sample(canvas, row * columns + column, at, s);
            canvas.text((x + s * 2.8, y), text, small, (Weight::Regular, Hang::Left));
        }
    }
    y
}

/// The mark of an entry of the key.
fn sample(canvas: &mut Canvas, entry: usize, (x, y): At, s: f64) {
    let ends = ((x - s * 1.1, y), (x + s * 1.1, y));
    match entry {
        0 => {
            canvas.rect(
                (ends.0.0, y - s * 0.4),
                (s * 2.2, s * 0.4),
                Some(TINT),
                None,
            );
            canvas.line(ends.0, ends.1, Pen::full(ACCENT, s * 0.2));
            Mark::Disc.draw(canvas, (x, y), s * 0.24);
        }
        1 => {
            canvas.line(ends.0, ends.1, Pen::dashed(INK, s * 0.12, "3 2"));
            damper(canvas, (x, y), s);
        }
        2 => canvas.line(ends.0, ends.1, Pen::full(INK, s * 0.18)),
        3 => canvas.line(ends.0, ends.1, Pen::dashed(INK, s * 0.12, "5 3")),
        4 => canvas.line(ends.0, ends.1, Pen::dashed(GREY, s * 0.1, "2 3")),
        _ => Mark::Disc.draw(canvas, (x, y), s * 0.24),
    }
}

fn words(design: &DamperDesign, wish: &DamperWish, frame: Frame) -> String {
    let units = frame.units;
    let own = design.by_load.iter().find(|at| at.own);
    let set_ups: Vec<String> = own
        .iter()
        .flat_map(|at| design.usual.iter().zip(&at.energies))
        .map(|(usual, e)| {
            format!(
                "{}: hardware {}, damper {}",
                usual.name,
                units.energy(e.hardware.median_j),
                units.energy(e.damper.median_j)
            )
        })
        .collect();
    format!(
        "Median arrival energies if {} lets go at {}: {}. {}",
        wish.link,
        units.force(wish.tension_n),
        set_ups.join("; "),
        sentence(&design.headline)
    )
}
