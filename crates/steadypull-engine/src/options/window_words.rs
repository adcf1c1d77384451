//! What closes an empty run-up window, and what would open it, in words.

use super::kinetic_study::KineticStudy;
use super::pull_chances::{Happens, PullChances};
use super::window::{UpperLimit, Window};
use crate::chance::quantile;
use crate::plan::{Plan, Policy};
use crate::pull::run_up_window::First;
use crate::show::Units;
use crate::units::Speed;

/// What closes the window of `study`, if it is empty.
pub fn closed_window(study: &KineticStudy, plan: &Plan) -> Option<String> {
    let (window, chances) = (&study.window, &study.chances);
    let (policy, words) = (&plan.policy, |speed| words(speed, plan.units));
    window.is_empty().then(|| {
        let wanted = percent(policy.shift_probability);
        match (window.least, window.greatest) {
            _ if chances.sticks_fast() => {
                "the casualty is held fast: no run-up moves it, and the line takes it all".into()
            }
            (None, greatest) => {
                let at = greatest.unwrap_or(chances.top());
                let found = chances.value(Happens::Shifts, at);
                format!(
                    "no run-up up to {} shifts it with {wanted}: at {} the chance is {}",
                    words(chances.top()),
                    words(at),
                    percent(found)
                )
            }
            (Some(least), greatest) => format!(
                "at the {} that shifts it with {wanted}, {}; {}",
                words(least),
                clash(window, chances, policy, least),
                most(greatest.map(words))
            ),
        }
    })
}

/// What would open the window of `study`, if it is empty.
pub fn opened_by(study: &KineticStudy, plan: &Plan) -> Option<String> {
    let (window, chances) = (&study.window, &study.chances);
    if !window.is_empty() {
        return None;
    }
    if study.chances.sticks_fast() {
        return Some("what holds the casualty fast cleared away".into());
    }
    let Some(least) = window.least else {
        return Some(
            "less resistance: clear and dig, let the tyres down, take load off; or a heavier tug"
                .into(),
        );
    };
    let less = "less resistance (clear and dig, let the tyres down, take load off)";
    let stronger = stronger(window, chances, &plan.policy, least);
    Some(stronger.map_or(less.to_string(), |s| format!("{less}, or {s}")))
}

/// What is past its limit at `speed`, with the number behind it.
fn clash(window: &Window, chances: &PullChances, policy: &Policy, speed: Speed) -> String {
    let chance = |what| chances.value(what, speed);
    let name = window.limit.subject();
    match &window.limit {
        UpperLimit::PassesWll(_) => format!(
            "the chance that a part, {name} before others, passes its working load limit is {} (policy {})",
            percent(chance(Happens::PassesWll)),
            percent(policy.wll_probability)
        ),
        UpperLimit::LetsGo(_) => format!(
            "the chance that a part, {name} before others, lets go is {} (policy {})",
            one_in(chance(Happens::LetsGo)),
            one_in(policy.parting_probability)
        ),
        UpperLimit::PastAllowed(_) => {
            let k = chances.links.iter().position(|l| l.name == name);
            let p = k.map_or(1.0, |k| chance(Happens::PastAllowed(k)));
            format!(
                "the chance that {name} passes what policy lets it carry is {} (policy {})",
                percent(p),
                percent(1.0 - policy.design_quantile)
            )
        }
        UpperLimit::PastPeople => format!(
            "the chance that the people in the tug are braked with over {} g is {} (policy {})",
            policy.max_occupant_g,
            percent(chance(Happens::PastPeople)),
            percent(1.0 - policy.design_quantile)
        ),
        UpperLimit::Design(First::Link(_)) => format!(
            "the design load would overload {name} (lets go: {})",
            one_in(chance(Happens::LetsGo))
        ),
        UpperLimit::Design(First::People) => format!(
            "the people in the tug are braked with over {} g at the design load",
            policy.max_occupant_g
        ),
        UpperLimit::Design(First::Rule) => "the rule on run-up speed is passed".into(),
    }
}

/// A rating with which the part that sets the limit would hold at `speed`.
fn stronger(
    window: &Window,
    chances: &PullChances,
    policy: &Policy,
    speed: Speed,
) -> Option<String> {
    let allowed = match &window.limit {
        UpperLimit::PassesWll(_) => policy.wll_probability,
        UpperLimit::LetsGo(_) | UpperLimit::PastAllowed(_) => 1.0 - policy.design_quantile,
        UpperLimit::Design(First::Link(_)) => 1.0 - policy.design_quantile,
        UpperLimit::PastPeople | UpperLimit::Design(First::People) => {
            return Some("a longer line or one with more stretch".into());
        }
        UpperLimit::Design(First::Rule) => return None,
    };
    let link = chances
        .links
        .iter()
        .find(|l| l.name == window.limit.subject())?;
    let peak_n = quantile(&chances.peaks(speed), 1.0 - allowed);
    // As marked on the part: its deratings come off again.
    let times = peak_n / link.allowed_n;
    (times.is_finite() && times > 1.0).then(|| {
        format!(
            "{} rated {:.1} times what it is, if every other part stands up to that too",
            link.name,
            (times * 10.0).ceil() / 10.0
        )
    })
}

fn most(greatest: Option<String>) -> String {
    match greatest {
        Some(greatest) => format!("{greatest} is the most"),
        None => "even a crawl is too much".into(),
    }
}

fn words(speed: Speed, units: Units) -> String {
    if speed < Speed::from_kmh(1.0) {
        "a crawl".into()
    } else {
        units.rough_speed(speed.get())
    }
}

/// A probability in per cent.
pub(super) fn percent(p: f64) -> String {
    match p * 100.0 {
        x if x > 0.0 && x < 1.0 => format!("{x:.1} %"),
        x => format!("{x:.0} %"),
    }
}

/// A small probability as people say it, such as `1 in 900`; in per cent from a tenth.
pub fn one_in(p: f64) -> String {
    if p >= 0.1 {
        return percent(p);
    }
    if p < 1e-6 {
        return "under 1 in a million".into();
    }
    let n = 1.0 / p;
    let step = libm::pow(10.0, libm::floor(libm::log10(n)) - 1.0);
    let round = ((n / step).round() * step) as u64;
    match (round / 1000, round % 1000) {
        (0, ones) => format!("1 in {ones}"),
        (1000.., _) => "1 in a million".into(),
        (thousands, ones) if round >= 10_000 => format!("1 in {thousands} {ones:03}"),
        _ => format!("1 in {round}"),
    }
}

#[cfg(test)]
mod tests {
    use super::one_in;

    #[test]
    fn small_chances_in_words() {
        for (p, words) in [
            (0.3, "30 %"),
            (1.0 / 90.0, "1 in 90"),
            (0.001, "1 in 1000"),
            (1.0 / 183_000.0, "1 in 180 000"),
            (1e-7, "under 1 in a million"),
            (0.0, "under 1 in a million"),
        ] {
            assert_eq!(one_in(p), words);
        }
    }
}
