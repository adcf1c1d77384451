//! A tether by design.

use steadypull_contract::answer::{TetherCell, TetherDesign, TetherPoint, TetherWish};
use steadypull_contract::show::{Units, percent};

use super::Page;

/// Writes the answer, strength against stretch, and what it asks of its point.
pub fn write(page: &mut Page, design: &TetherDesign, units: Units) {
    page.heading("TETHER", "the least that holds what lets go");
    page.paragraph(&design.headline);
    let Some(wish) = &design.wish else { return };
    page.gap();
    asked(page, wish, units);
    least(page, design, units);
    cells(page, design, units);
    points(page, design, units);
    page.gap();
    page.paragraph(&format!(
        "Chosen over {} common draws with {} segments, the least checked on {} fresh ones with {}; strengths in steps of {}. The tether is a straight spring without loss, made fast where the line is: what it holds is thrown back at its own vehicle, and its point is taken not to give. Line behind the held end may still whip past it.",
        design.search_draws,
        design.segments,
        design.check_draws,
        design.check_segments,
        percent(design.strength_step)
    ));
}

fn asked(page: &mut Page, wish: &TetherWish, units: Units) {
    let named = (wish.link.as_str(), wish.worst);
    super::design::link(page, named, wish.parts_at, &wish.flies);
    page.fact("Load", &units.force_as_load(wish.tension_n));
    page.fact(
        "Without a tether",
        &format!(
            "the hardware arrives at the far vehicle with {} at {}, without dampers",
            units.energy(wish.untethered_j),
            percent(wish.chance)
        ),
    );
    page.fact(
        "Wish",
        &format!(
            "it holds in {} of the draws, and nothing it holds gets further than {}",
            percent(wish.chance),
            units.length(wish.within_m)
        ),
    );
    page.fact(
        "Strengths tried",
        &format!(
            "{} to {}",
            units.force_as_load(wish.weakest_n),
            units.force_as_load(wish.strongest_n)
        ),
    );
    if wish.dampers > 0 {
        page.fact("With", &format!("{} dampers as planned", wish.dampers));
    }
}

fn least(page: &mut Page, design: &TetherDesign, units: Units) {
    let Some(fit) = &design.least else { return };
    page.fact(
        "If it parts after all",
        &format!(
            "its own ends have {}; {} of tether could fly at {} at the most",
            units.energy(fit.capacity_j),
            units.mass(fit.mass_kg),
            units.flight_speed(fit.end_speed_m_s)
        ),
    );
    if let (Some(share), Some(low), Some(high)) =
        (design.held_share, design.held_low, design.held_high)
    {
        page.fact(
            "Checked",
            &super::design::checked("holds", share, design.check_draws, (low, high)),
        );
    }
}

fn cells(page: &mut Page, design: &TetherDesign, units: Units) {
    page.gap();
    page.paragraph(
        "Least strength for each length and stretch, and the load it hands to its point:",
    );
    let row = |cell: &TetherCell| -> [String; 6] {
        let name = format!(
            "{}, {}",
            units.length(cell.length_m),
            percent(cell.stretch_at_break)
        );
        let reach = units.length(cell.reach_m);
        match &cell.fit {
            Some(fit) => [
                name,
                reach,
                units.force_as_load(fit.mbs_n),
                units.force_as_load(fit.peak_n),
                units.energy(fit.capacity_j),
                units.mass(fit.mass_kg),
            ],
            None => [
                name,
                reach,
                if cell.too_long { "too long" } else { "none" }.into(),
                "-".into(),
                "-".into(),
                "-".into(),
            ],
        }
    };
    let rows: Vec<[String; 6]> = design.cells.iter().map(row).collect();
    page.table(
        &[
            "Length, stretch",
            "lets go as far as",
            "MBS",
            "to its point",
            "takes up",
            "mass",
        ],
        &rows,
    );
}

fn points(page: &mut Page, design: &TetherDesign, units: Units) {
    if design.points.is_empty() {
        return;
    }
    page.gap();
    page.paragraph(
        "Points of that vehicle, under the load that the least tether hands to its point:",
    );
    for point in &design.points {
        page.item("-", &words(point, units));
    }
}

fn words(point: &TetherPoint, units: Units) -> String {
    let rated = if point.rated {
        ""
    } else {
        ", NOT a rated point"
    };
    let limit = |what: &str, limit: Option<f64>, share: Option<f64>| match (limit, share) {
        (Some(n), Some(share)) => format!(
            ", {what} {}: {} of it",
            units.force_as_load(n),
            percent(share)
        ),
        (Some(n), None) => format!(", {what} {}", units.force_as_load(n)),
        _ => format!(", {what} not known"),
    };
    let used = if point.in_use {
        "; the line is made fast here: it may be what lets go"
    } else {
        ""
    };
    format!(
        "{}{rated}{}{}{used}",
        point.name,
        limit("WLL", point.wll_n, point.share_of_wll),
        limit("MBS", point.mbs_n, point.share_of_mbs)
    )
}
