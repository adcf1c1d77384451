//! Dampers by design.

use steadypull_contract::answer::{
    ArrivalEnergies, DamperChoice, DamperDesign, DamperWish, HungDamper, LoadPoint,
};
use steadypull_contract::show::{Units, figures, percent};

use super::Page;

/// Writes the answer, the set-ups behind it, the curves, and where advice holds.
pub fn write(page: &mut Page, design: &DamperDesign, units: Units) {
    page.heading("DAMPERS", "the least that keeps what flies harmless");
    page.paragraph(&design.headline);
    let Some(wish) = &design.wish else { return };
    page.gap();
    asked(page, design, wish, units);
    numbers(page, design, units);
    others(page, design, units);
    curves(page, design, units);
    loads(page, design, units);
    page.heading(
        "ADVICE",
        "where what people say holds, for this line and hardware",
    );
    for line in &design.advice {
        page.item("-", line);
    }
    accuracy(page, design, wish, units);
}

fn asked(page: &mut Page, design: &DamperDesign, wish: &DamperWish, units: Units) {
    let named = (wish.link.as_str(), wish.worst);
    super::design::link(page, named, wish.parts_at, &wish.flies);
    page.fact(
        "Load, line",
        &format!(
            "{} in {} of line, which gives back {}",
            units.force_as_load(wish.tension_n),
            units.length(wish.line_m),
            units.energy(wish.stored_energy_j)
        ),
    );
    page.fact(
        "Wish",
        &format!(
            "nothing arrives at the far vehicle with over {} in {} of the draws, at any height, dampers included",
            units.energy(wish.under_j),
            percent(wish.chance)
        ),
    );
    page.fact(
        "Dampers",
        &format!(
            "up to {} each; grip slips at {} (assumed unless the plan or --grip says it)",
            units.mass(wish.most_kg),
            units.hand_force(wish.grip_n)
        ),
    );
    if let Some(bare) = &design.bare {
        page.fact("Without dampers", &arrival(bare, units));
    }
}

fn arrival(of: &ArrivalEnergies, units: Units) -> String {
    format!(
        "{} median, {} at the wish's chance ({})",
        units.energy(of.worst.median_j),
        units.energy(of.worst.quantile_j),
        band(of, units)
    )
}

fn band(of: &ArrivalEnergies, units: Units) -> String {
    let low = units.energy(of.worst.band_low_j);
    match of.worst.band_high_j {
        Some(high) => format!("sampling {low} to {}", units.energy(high)),
        None => format!("sampling: {low} or more"),
    }
}

/// Dampers in words.
fn hung(dampers: &[HungDamper], units: Units) -> String {
    let one = |d: &HungDamper| {
        let place = if d.from_hardware_share < 1e-6 {
            "at hardware".into()
        } else {
            units.length(d.from_hardware_m)
        };
        format!("{} {place}", units.mass(d.mass_kg))
    };
    dampers.iter().map(one).collect::<Vec<_>>().join(", ")
}

fn numbers(page: &mut Page, design: &DamperDesign, units: Units) {
    page.gap();
    page.paragraph(
        "By number of dampers, mass and length of line from the hardware; energies over fresh draws at the wish's chance:",
    );
    let row = |choice: &DamperChoice| {
        [
            hung(&choice.dampers, units),
            units.mass(choice.total_kg),
            units.energy(choice.check.hardware.quantile_j),
            units.energy(choice.check.damper.quantile_j),
            units.energy(choice.check.worst.quantile_j),
            percent(choice.check.met_share),
            if choice.meets { "yes" } else { "no" }.into(),
        ]
    };
    let rows: Vec<[String; 7]> = design.numbers.iter().map(row).collect();
    page.table(
        &[
            "Dampers", "in all", "hardware", "damper", "together", "kept in", "will do",
        ],
        &rows,
    );
    page.paragraph(
        "Hardware: alone. Damper: the most energetic one. Together: the hardware with all that it carries, or that damper, whichever is more; the wish is about this.",
    );
    if let Some(choice) = design.chosen.and_then(|k| design.numbers.get(k as usize)) {
        let check = &choice.check;
        page.fact(
            "Checked",
            &format!(
                "{}; {}",
                super::design::checked(
                    "the wish is kept",
                    check.met_share,
                    check.draws,
                    (check.met_low, check.met_high)
                ),
                band(check, units)
            ),
        );
    }
}

fn others(page: &mut Page, design: &DamperDesign, units: Units) {
    for other in &design.other_links {
        let kept = if other.meets {
            "keeps the wish"
        } else {
            "does NOT keep the wish"
        };
        page.fact(
            "Same if this lets go",
            &format!(
                "{}, {} of hardware on {} of line: {kept}, {} at the wish's chance",
                other.link,
                units.mass(other.hardware_mass_kg),
                units.length(other.line_m),
                units.energy(other.check.worst.quantile_j)
            ),
        );
    }
}

fn curves(page: &mut Page, design: &DamperDesign, units: Units) {
    page.heading("CURVES", "arrival energy against mass, place and grip");
    for curve in &design.by_mass {
        let places: Vec<String> = curve.places.iter().map(|p| percent(*p)).collect();
        page.paragraph(&format!(
            "{} damper(s), at {} of the line from the hardware:",
            curve.places.len(),
            places.join(", ")
        ));
        let rows: Vec<[String; 5]> = curve
            .points
            .iter()
            .map(|p| {
                point(
                    format!("    {} each", units.mass(p.each_kg)),
                    &p.energies,
                    units,
                )
            })
            .collect();
        table(page, "    mass", &rows);
    }
    page.paragraph(&format!(
        "One damper of {}, by its place from the hardware:",
        units.mass(design.placed_mass_kg)
    ));
    let rows: Vec<[String; 5]> = design
        .by_place
        .iter()
        .map(|p| {
            let place = format!("    {} of the line", percent(p.from_hardware_share));
            point(place, &p.energies, units)
        })
        .collect();
    table(page, "    place", &rows);
    if design.by_grip.is_empty() {
        return;
    }
    page.paragraph("The dampers of the answer, by the force at which their grips slip:");
    let rows: Vec<[String; 5]> = design
        .by_grip
        .iter()
        .map(|p| {
            point(
                format!("    {}", units.hand_force(p.grip_n)),
                &p.energies,
                units,
            )
        })
        .collect();
    table(page, "    grip", &rows);
}

fn table(page: &mut Page, head: &str, rows: &[[String; 5]]) {
    page.table(
        &[head, "hardware", "at chance", "together", "at chance"],
        rows,
    );
}

/// Medians and quantiles of the hardware and of the most energetic thing.
fn point(name: String, of: &ArrivalEnergies, units: Units) -> [String; 5] {
    [
        name,
        units.energy(of.hardware.median_j),
        units.energy(of.hardware.quantile_j),
        units.energy(of.worst.median_j),
        units.energy(of.worst.quantile_j),
    ]
}

fn loads(page: &mut Page, design: &DamperDesign, units: Units) {
    page.heading(
        "BY LOAD",
        "usual set-ups, by the load at which the line parts",
    );
    page.paragraph("Median energy of the hardware alone; in brackets, of the most energetic thing that arrives:");
    let names = ["A", "B", "C", "D", "E"];
    for (name, usual) in names.iter().zip(&design.usual) {
        page.item(&format!("{name}:"), &usual.name);
    }
    let row = |at: &LoadPoint| -> [String; 6] {
        let own = if at.own { " *" } else { "" };
        let cell = |k: usize| {
            at.energies.get(k).map_or(String::new(), |e| {
                let (alone, all) = (e.hardware.median_j, e.worst.median_j);
                match k {
                    0 => short(alone),
                    _ => format!("{} ({})", short(alone), short(all)),
                }
            })
        };
        [
            format!("{}{own}", units.force_as_load(at.tension_n)),
            cell(0),
            cell(1),
            cell(2),
            cell(3),
            cell(4),
        ]
    };
    let rows: Vec<[String; 6]> = design.by_load.iter().map(row).collect();
    page.table(&["parts at", "A, J", "B, J", "C, J", "D, J", "E, J"], &rows);
    page.paragraph("* the load of this plan.");
}

/// Joules, in a narrow column.
fn short(joules: f64) -> String {
    if joules >= 9_995.0 {
        format!("{}k", figures(joules / 1e3))
    } else {
        figures(joules)
    }
}

fn accuracy(page: &mut Page, design: &DamperDesign, wish: &DamperWish, units: Units) {
    let Some(a) = &design.accuracy else { return };
    page.gap();
    page.paragraph(&format!(
        "Chosen over {} common draws of launch direction (5 deg each way), load and mass (10 %), and energy return, with {} segments, as are the curves; checked on {} fresh draws with {} to {} segments. Steps: {} of mass, {} of the line in place; nothing is claimed between them, nor of dampers of very unlike mass.",
        a.search_draws,
        a.segments,
        a.check_draws,
        a.check_segments,
        a.check_segments + 8,
        units.mass(a.mass_step_kg),
        percent(a.place_step_share)
    ));
    page.paragraph(&format!(
        "Runs through dampers come out low until segments are as short as the touch of hardware and damper: finer ones could still add {} to the check, and the wish is kept only with so much added. The curves could be {} too low: they show which way it goes.",
        percent(a.finer_adds_share),
        percent(a.finer_adds_to_curves_share)
    ));
    if let (Some(check), Some(search)) = (a.compared_check_j, a.compared_search_j) {
        page.paragraph(&format!(
            "The set-up of the answer over {} draws: median {} with {} segments, {} with {}.",
            a.compared_draws,
            units.energy(check),
            a.check_segments,
            units.energy(search),
            a.segments
        ));
    }
    page.paragraph(&format!(
        "Grip {} and drag area {} m2 of a damper are taken alike for all. Whether flying hardware runs squarely into a damper settles a single run: trust the share of draws, not one flight.",
        units.hand_force(wish.grip_n),
        figures(wish.drag_area_m2)
    ));
}
