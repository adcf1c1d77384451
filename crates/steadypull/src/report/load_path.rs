//! The load in every link: the load-path strip, top to bottom.

use steadypull_contract::answer::{Link, LinkKind, LinkState, LoadPath};
use steadypull_contract::show::{Units, figures, percent};

use super::bar::bar;
use super::{Detail, Page};

/// Cells of a link's bar.
const CELLS: usize = 24;

/// Writes the chain from casualty to tug.
pub fn write(page: &mut Page, path: &LoadPath, units: Units, detail: Detail) {
    page.heading("LOAD PATH", "the load in every link, casualty to tug");
    if let Some(why) = &path.missing {
        page.paragraph(why);
        return;
    }
    rig(page, path, units);
    page.gap();
    page.drawn("  CASUALTY");
    let mut at = None;
    for (number, link) in path.links.iter().enumerate() {
        let branch = link.joins.as_ref().map(|node| (node, &link.run));
        if branch != at {
            ends(page, at.is_none(), link);
            at = branch;
        }
        cell(page, number + 1, link, units);
        if detail == Detail::Full {
            derating(page, link, units);
        }
    }
    if at.is_none() {
        page.drawn("  TUG");
    }
    page.paragraph("Bars: # load, full width MBS, | WLL; both as derated. > over MBS.");
}

/// Ends the haul where its first branch begins, and names the branch.
fn ends(page: &mut Page, on_haul: bool, link: &Link) {
    if on_haul {
        page.drawn("  TUG");
    }
    if let Some(node) = &link.joins {
        page.paragraph(&format!("BRANCH AT {node}"));
    }
}

fn rig(page: &mut Page, path: &LoadPath, units: Units) {
    if let Some(method) = path.method {
        let whose = if path.proposed {
            "proposed here"
        } else {
            "as planned"
        };
        page.fact("Rig", &format!("{}, {whose}", method.title()));
    }
    page.fact("Load case", &path.load_case);
    let laid_out = path.links.iter().any(|l| l.run.is_some());
    let what = if laid_out {
        "Pull at the casualty"
    } else {
        "Load in the line"
    };
    page.fact(what, &units.force(path.tension_n));
    page.fact("Line laid out", &units.length(path.line_length_m));
    if let Some(weakest) = &path.weakest {
        page.fact("Weakest link", weakest);
    }
}

fn cell(page: &mut Page, number: usize, link: &Link, units: Units) {
    let weakest = if link.weakest { "WEAKEST LINK, " } else { "" };
    page.sides(
        &format!("  {number:>2} {}", link.name),
        &format!("{weakest}{}", link.state.word()),
    );
    if link.words != link.name {
        page.under(&link.words);
    }
    page.drawn(&format!("     {}", strip(link, units)));
    if link.state != LinkState::Within {
        page.under(&link.because);
    }
}

/// The load, its shares and the bar, in one line.
fn strip(link: &Link, units: Units) -> String {
    let of = |what: &str, share: Option<f64>| match share {
        Some(share) => format!("{:>7} {what}", percent(share)),
        None => format!("{:>7} {what}", "no"),
    };
    let bar = match link.share_of_mbs {
        Some(share) => bar(share, limit(link), CELLS),
        None => String::new(),
    };
    let load = units.force(link.load_n);
    format!(
        "{load:>10} {} {} {bar}",
        of("WLL", link.share_of_wll),
        of(strength(link), link.share_of_mbs)
    )
}

/// What a link is strong by: an anchor by the hold that 95 of 100 have.
fn strength(link: &Link) -> &'static str {
    if link.kind == LinkKind::Anchor {
        "HOLD"
    } else {
        "MBS"
    }
}

/// Where the working load limit stands on the bar.
fn limit(link: &Link) -> Option<f64> {
    Some(link.derated_wll_n? / link.derated_mbs_n?)
}

fn derating(page: &mut Page, link: &Link, units: Units) {
    let rating = |value: Option<f64>| value.map_or("none stated".into(), |n| units.force(n));
    page.under(&format!(
        "As stated: WLL {}, MBS {}. Derated: WLL {}, MBS {}.",
        rating(link.wll_n),
        rating(link.mbs_n),
        rating(link.derated_wll_n),
        rating(link.derated_mbs_n)
    ));
    for one in &link.deratings {
        let left = percent(one.factor);
        page.under(&format!(
            "{}: {left} left. Source: {}",
            one.what, one.source
        ));
    }
    if let Some(angle) = link.included_angle_deg {
        let between = match link.kind {
            LinkKind::Block | LinkKind::Ring => "lines",
            _ => "legs",
        };
        page.under(&format!(
            "Angle between its {between}: {} deg",
            figures(angle)
        ));
    }
    if let Some(chance) = link.parting_probability {
        page.under(&format!(
            "Chance that it lets go at this load: {}",
            percent(chance)
        ));
    }
    if link.state == LinkState::Within {
        page.under(&link.because);
    }
}
