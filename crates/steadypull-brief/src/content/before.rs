//! The checklist, and what was noticed.

use steadypull_contract::answer::{Answer, Finding, LinkKind, LinkState, MethodName, Severity};
use steadypull_contract::show::Units;

use super::{Block, ListKind, Section, Topic, sentence};

/// Steps before and after the pull.
pub(super) fn checklist(answer: &Answer, units: Units) -> Section {
    let mut items = Vec::new();
    items.extend(blockers(answer));
    items.extend(easing(answer));
    items.extend(rig(answer, units));
    items.push("Everybody briefed; signals shown and repeated; one person in charge named.".into());
    items.push("Drivers belted, windows up, nobody else in the vehicles.".into());
    items.push("Zone paced out, marked, empty: CLEAR reported.".into());
    items.push("Slack taken up slowly; everything looked at once more under light load.".into());
    items.push(
        "After: line slack, both vehicles braked, then walk in. Inspect and log every part.".into(),
    );
    Section {
        topic: Topic::Checklist,
        heading: "Checklist".into(),
        blocks: vec![Block::List {
            kind: ListKind::Tick,
            items,
        }],
    }
}

/// What must change before anything is pulled.
fn blockers(answer: &Answer) -> Vec<String> {
    let mut items = Vec::new();
    if let Some(what) = &answer.situation.held_by {
        items.push(format!("What holds the casualty cleared first: {what}."));
    }
    for link in &answer.load_path.links {
        match link.state {
            LinkState::Refused => items.push(format!(
                "{} taken out of the load path: it may never carry a recovery load.",
                link.name
            )),
            LinkState::Unrated => items.push(format!(
                "{} replaced by a rated part: nothing can be said for it.",
                link.name
            )),
            LinkState::OverMbs | LinkState::OverWll | LinkState::OverPolicy => {
                items.push(format!(
                    "{} replaced by a stronger part, or the load brought down ({}).",
                    link.name,
                    link.state.word()
                ));
            }
            LinkState::Within => {}
        }
    }
    items
}

/// What makes the pull smaller.
fn easing(answer: &Answer) -> Vec<String> {
    let asks = |method| answer.verdict.sequence.contains(&method);
    let mut items = Vec::new();
    if asks(MethodName::ClearAndDig) {
        items.push("Wheels, diffs and body dug clear; a ramp dug in the way out.".into());
    }
    if asks(MethodName::AirDownAndBoards) {
        items.push("Tyres aired down, boards laid.".into());
    }
    if asks(MethodName::Kinetic) {
        items.push("A steady tow tried before any kinetic pull.".into());
    }
    items
}

fn rig(answer: &Answer, units: Units) -> Vec<String> {
    let path = &answer.load_path;
    if path.links.is_empty() {
        return vec!["No rig is planned: nothing is attached.".into()];
    }
    let mut items = vec![format!(
        "All {} links in place in the order of the strip, each looked at and handled.",
        path.links.len()
    )];
    if path.links.iter().any(|l| l.kind == LinkKind::Shackle) {
        items.push("Shackle pins home and secured; soft shackles bedded in.".into());
    }
    if path.links.iter().any(|l| l.kind == LinkKind::Winch) {
        items.push("Winch: enough turns left on the drum, remote led out of the zone.".into());
    }
    if let Some(of) = &answer.rig {
        items.extend(super::rig::checks(of, &answer.standoff, units));
    }
    let mut names: Vec<&str> = answer
        .standoff
        .outlines
        .iter()
        .filter(|o| o.what.to_lowercase().contains("damper"))
        .map(|o| o.name.as_str())
        .collect();
    names.dedup();
    items.push(if names.is_empty() {
        "No dampers are planned: the zone counts on none.".into()
    } else {
        format!("Dampers on the line as drawn: {}.", names.join(", "))
    });
    items
}

/// Findings, worst first; none, no section. Notes go in small type.
pub(super) fn findings(findings: &[Finding]) -> Option<Section> {
    let (notes, pressing): (Vec<&Finding>, Vec<&Finding>) =
        findings.iter().partition(|f| f.severity == Severity::Note);
    let lists = [(ListKind::Bullet, pressing), (ListKind::Small, notes)];
    let blocks: Vec<Block> = lists
        .into_iter()
        .filter(|(_, findings)| !findings.is_empty())
        .map(|(kind, findings)| Block::List {
            kind,
            items: findings.into_iter().map(finding_words).collect(),
        })
        .collect();
    (!blocks.is_empty()).then(|| Section {
        topic: Topic::Findings,
        heading: "What was noticed".into(),
        blocks,
    })
}

fn finding_words(finding: &Finding) -> String {
    let word = match finding.severity {
        Severity::Critical => "CRITICAL",
        Severity::Warning => "WARNING",
        Severity::Note => "NOTE",
    };
    // The message opens after a colon: a full stop, but no capital.
    let message = finding.message.trim().trim_end_matches('.');
    let mut words = format!("{word}, {}: {message}.", finding.subject);
    if !finding.remedy.trim().is_empty() {
        words.push_str(&format!(" {}", sentence(&finding.remedy)));
    }
    if !finding.source.trim().is_empty() {
        words.push_str(&format!(" ({})", finding.source));
    }
    words
}
