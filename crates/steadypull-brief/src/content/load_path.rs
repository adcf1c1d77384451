//! The load path as a table.

use steadypull_contract::answer::{Answer, Link, LinkKind};
use steadypull_contract::show::{Units, percent};

use super::{Block, Column, ListKind, Section, Table, Topic, sentence};
use crate::{BriefFigure, Figure};

/// The strip, the table and why each link stands as it does.
pub(super) fn section(answer: &Answer, units: Units) -> Section {
    let path = &answer.load_path;
    let mut blocks = Vec::new();
    if path.links.is_empty() {
        let why = path
            .missing
            .clone()
            .unwrap_or_else(|| "No rig in this answer.".into());
        blocks.push(Block::Text(why));
    } else {
        blocks.push(Block::Text(origin(answer, units)));
        blocks.push(Block::Figure(BriefFigure::Answer(Figure::LoadPathStrip)));
        blocks.push(Block::Table(table(answer, units)));
        blocks.extend(super::rig::tables(answer, units));
        let because = because(&path.links);
        if !because.is_empty() {
            blocks.push(Block::List {
                kind: ListKind::Bullet,
                items: because,
            });
        }
    }
    Section {
        topic: Topic::LoadPath,
        heading: "Load path".into(),
        blocks,
    }
}

fn origin(answer: &Answer, units: Units) -> String {
    let path = &answer.load_path;
    let rig = if path.proposed {
        "Rig proposed by the tool"
    } else {
        "Rig from the plan"
    };
    let method = path.method.map_or(String::new(), |m| {
        format!(" for {}", m.title().to_lowercase())
    });
    let place = if answer.rig.is_some() {
        "at the casualty"
    } else {
        "in the line"
    };
    let mut text = format!(
        "{rig}{method}: {} {place}, {} of line.",
        units.force(path.tension_n),
        units.length(path.line_length_m)
    );
    if let Some(weakest) = &path.weakest {
        text.push_str(&format!(" Weakest link: {weakest}."));
    }
    text
}

fn table(answer: &Answer, units: Units) -> Table {
    let path = &answer.load_path;
    let column = |heading, number, share| Column {
        heading,
        number,
        share,
    };
    Table {
        caption: format!(
            "Load in every link, casualty to tug. {}",
            sentence(&path.load_case)
        ),
        columns: vec![
            column("No.", true, 0.05),
            column("Link", false, 0.28),
            column("Load", true, 0.115),
            column("WLL derated", true, 0.125),
            column("MBS derated", true, 0.125),
            column("of WLL", true, 0.095),
            column("of MBS", true, 0.095),
            column("State", false, 0.115),
        ],
        rows: path
            .links
            .iter()
            .enumerate()
            .map(|(i, link)| row(i + 1, link, units))
            .collect(),
    }
}

/// Whether a line goes round it.
fn turns(link: &Link) -> bool {
    matches!(link.kind, LinkKind::Block | LinkKind::Ring)
}

fn row(number: usize, link: &Link, units: Units) -> Vec<String> {
    let force = |n: Option<f64>| n.map_or("none".into(), |n| units.force(n));
    let share = |s: Option<f64>| s.map_or("none".into(), percent);
    let angle = link.included_angle_deg.map_or(String::new(), |deg| {
        format!(
            ", {} deg between {}",
            steadypull_contract::show::figures(deg),
            if turns(link) { "lines" } else { "legs" }
        )
    });
    let branch = link
        .joins
        .as_ref()
        .map_or(String::new(), |node| format!("; branch at {node}"));
    let state = if link.weakest {
        format!("{}, weakest", link.state.word())
    } else {
        link.state.word().into()
    };
    vec![
        number.to_string(),
        format!("{} ({}{angle}{branch})", link.name, link.words),
        units.force(link.load_n),
        force(link.derated_wll_n),
        force(link.derated_mbs_n),
        share(link.share_of_wll),
        share(link.share_of_mbs),
        state,
    ]
}

/// Reasons of the links that are not simply within.
fn because(links: &[Link]) -> Vec<String> {
    links
        .iter()
        .filter(|link| {
            link.state != steadypull_contract::answer::LinkState::Within && !link.because.is_empty()
        })
        .map(|link| format!("{}: {}. {}", link.state.word(), link.name, link.because))
        .collect()
}
