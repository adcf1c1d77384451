//! Each link's load against its limits, and the weakest link.
//!
//! A part's strength is log-normal with its stated breaking strength, after
//! deratings, as the 5 % quantile; the weakest link is the likeliest to let go
//! at its load, not the one with the smallest rating.

use super::links::{Link, LinkKind};
use crate::chance::LogNormal;
use crate::plan::{Method, Policy};
use crate::units::Force;

/// Share of parts weaker than their stated breaking strength (assumed).
pub const BELOW_MBS: f64 = 0.05;

/// How a link stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinkState {
    /// Within its limits.
    Within,
    /// Over its working load limit.
    OverWll,
    /// Less in hand than the policy asks.
    OverPolicy,
    /// Over its breaking strength.
    OverMbs,
    /// May never carry a recovery load.
    Refused,
}

/// A link under its load.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadedLink {
    /// The link.
    pub link: Link,
    /// Its load.
    pub load: Force,
    /// Probability that it lets go at that load, where its strength is stated.
    pub parting_probability: Option<f64>,
    /// Whether it is the likeliest to let go.
    pub weakest: bool,
    /// How it stands.
    pub state: LinkState,
}

/// What `link` may carry by policy, as a tension at the casualty.
///
/// Its derated working load limit where it has one; else its derated breaking
/// strength over the policy's factor. A kinetic line in a kinetic pull goes by
/// its breaking strength, whatever its label says of a working load.
pub fn allowed_tension(link: &Link, method: Method, policy: &Policy) -> Force {
    if link.refused.is_some() {
        return Force::ZERO;
    }
    let by_mbs = if link.kind == LinkKind::Anchor && !link.gives_slowly {
        strength(link).map(|hold| Force::new(hold.quantile(policy.parting_probability)))
    } else {
        link.derated_mbs()
            .map(|mbs| mbs / design_factor(link, method, policy))
    };
    let by_wll = held_to_wll(link, method);
    let own = match (by_wll, by_mbs) {
        (Some(wll), Some(mbs)) if is_line(link) => wll.min(mbs),
        (Some(wll), _) => wll,
        (None, Some(mbs)) => mbs,
        (None, None) => Force::ZERO,
    };
    own / link.load_share
}

/// The working load limit that `link` is held to in a pull by `method`, derated; none
/// for what goes by its breaking strength, whatever its label says.
pub fn held_to_wll(link: &Link, method: Method) -> Option<Force> {
    link.derated_wll().filter(|_| !goes_by_mbs(link, method))
}

fn is_line(link: &Link) -> bool {
    matches!(
        link.kind,
        LinkKind::Line | LinkKind::KineticLine | LinkKind::Bridle
    )
}

/// Kinetic lines, and soft shackles with them, are chosen by breaking strength
/// in a kinetic pull: its peak lasts a fraction of a second (common practice).
fn goes_by_mbs(link: &Link, method: Method) -> bool {
    let soft = link.kind == LinkKind::Shackle && !link.metal;
    method == Method::Kinetic && (link.kind == LinkKind::KineticLine || soft)
}

/// Least breaking strength over load that the policy asks of `link`.
///
/// None of an anchor: its figure is already the low end of a wide spread, and the
/// chance that it yields is held against the policy like any other part's.
pub fn design_factor(link: &Link, method: Method, policy: &Policy) -> f64 {
    if link.kind == LinkKind::Anchor {
        1.0
    } else if goes_by_mbs(link, method) {
        policy.kinetic_design_factor
    } else {
        policy.steady_design_factor
    }
}

/// The strength of a link as a distribution, N.
pub fn strength(link: &Link) -> Option<LogNormal> {
    let mbs = link.derated_mbs()?;
    Some(LogNormal::with_quantile(
        mbs.get(),
        BELOW_MBS,
        link.strength_spread,
    ))
}

/// Puts `tension` at the casualty on every link.
pub fn load_links(
    links: &[Link],
    tension: Force,
    method: Method,
    policy: &Policy,
) -> Vec<LoadedLink> {
    let mut loaded: Vec<LoadedLink> = links
        .iter()
        .map(|link| {
            let load = tension * link.load_share;
            LoadedLink {
                load,
                parting_probability: strength(link).map(|s| s.probability_below(load.get())),
                weakest: false,
                state: state(link, load, tension, method, policy),
                link: link.clone(),
            }
        })
        .collect();
    mark_weakest(&mut loaded);
    loaded
}

fn state(link: &Link, load: Force, tension: Force, method: Method, policy: &Policy) -> LinkState {
    if link.refused.is_some() {
        return LinkState::Refused;
    }
    if link.kind == LinkKind::Anchor {
        return anchor_state(link, load, policy);
    }
    if link.derated_mbs().is_some_and(|mbs| load >= mbs) {
        return LinkState::OverMbs;
    }
    let over_wll = link.derated_wll().is_some_and(|wll| load > wll);
    if over_wll && !goes_by_mbs(link, method) {
        return LinkState::OverWll;
    }
    if tension > allowed_tension(link, method, policy) {
        return LinkState::OverPolicy;
    }
    LinkState::Within
}

/// An anchor is held to the policy's chance of parting; one that gives way slowly to
/// its low hold, which 95 of 100 such anchors have.
fn anchor_state(link: &Link, load: Force, policy: &Policy) -> LinkState {
    let allowed = if link.gives_slowly {
        BELOW_MBS
    } else {
        policy.parting_probability
    };
    match strength(link) {
        Some(hold) if hold.probability_below(load.get()) <= allowed => LinkState::Within,
        _ => LinkState::OverPolicy,
    }
}

/// How near to letting go, in standard deviations; a link with a working load
/// limit alone is taken to hold twice that at least (assumed for ranking only).
fn nearness(link: &LoadedLink) -> f64 {
    if link.link.refused.is_some() {
        return f64::INFINITY;
    }
    let stand_in = link
        .link
        .derated_wll()
        .map(|wll| LogNormal::with_quantile(2.0 * wll.get(), BELOW_MBS, link.link.strength_spread));
    match strength(&link.link).or(stand_in) {
        Some(s) if link.load.get() > 0.0 => libm::log(link.load.get() / s.median) / s.spread,
        _ => f64::NEG_INFINITY,
    }
}

fn mark_weakest(loaded: &mut [LoadedLink]) {
    let weakest = loaded
        .iter()
        .enumerate()
        .max_by(|a, b| nearness(a.1).total_cmp(&nearness(b.1)))
        .map(|(i, _)| i);
    if let Some(i) = weakest {
        loaded[i].weakest = true;
    }
}
