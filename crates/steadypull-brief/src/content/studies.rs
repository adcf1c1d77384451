//! The studies that were asked for with the brief: chances, and dampers by design.

use steadypull_contract::answer::{Chance, DamperDesign};
use steadypull_contract::show::{Units, percent};

use super::{Block, ListKind, Section, Topic, sentence};
use crate::{BriefFigure, ChanceFigure, Studied};

/// One section a study.
pub(super) fn sections(of: Studied, units: Units) -> Vec<Section> {
    let chance = of.chance.map(chance);
    let dampers = of.dampers.map(|design| dampers(design, units));
    chance.into_iter().chain(dampers).collect()
}

/// What the chances are, where things come down, and what to find out first.
fn chance(found: &Chance) -> Section {
    let mut blocks = vec![
        Block::Text(sentence(&found.headline)),
        Block::List {
            kind: ListKind::Bullet,
            items: found.summary.iter().map(|line| sentence(line)).collect(),
        },
    ];
    // Where the rule sets the zone all round the plan view shows it already.
    if found.zone.computed_governs && !found.zone.corners.is_empty() {
        blocks.push(Block::Figure(BriefFigure::Chance(ChanceFigure::ZoneMap)));
    }
    // What does not vary has nothing that drives it.
    if found.drivers.iter().any(|d| !d.drivers.is_empty()) {
        blocks.push(Block::Figure(BriefFigure::Chance(ChanceFigure::Tornado)));
    }
    let sample = &found.sample;
    blocks.push(Block::Text(format!(
        "{} draws, {} let-go runs, {} failed; probabilities within {} either way.",
        sample.draws,
        sample.let_go_runs,
        sample.failed,
        percent(sample.error_of_probabilities)
    )));
    Section {
        topic: Topic::Chance,
        heading: "By chance: everything that is not known".into(),
        blocks,
    }
}

/// What dampers it takes, or that none will do, with the energies of usual set-ups.
fn dampers(design: &DamperDesign, units: Units) -> Section {
    let mut blocks = vec![Block::Text(sentence(&design.headline))];
    if let Some(wish) = &design.wish {
        blocks.push(Block::Text(format!(
            "If {} lets go at {}: {}. Dampers slip at {} (assumed unless the plan says it).",
            wish.link,
            units.force_as_load(wish.tension_n),
            wish.flies,
            units.hand_force(wish.grip_n)
        )));
    }
    // A figure helps to choose; where no damper is needed there is nothing to choose.
    if design.chosen.is_some() && !design.by_load.is_empty() {
        blocks.push(Block::Figure(BriefFigure::DamperSetUps));
    }
    Section {
        topic: Topic::Dampers,
        heading: "Dampers by design".into(),
        blocks,
    }
}
