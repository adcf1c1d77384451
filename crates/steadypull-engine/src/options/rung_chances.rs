//! What a method risks, by probability, and whether that is more than policy lets.

use super::probability::Probability;
use super::pull_chances::{Happens, PullChances};
use super::window_words::{one_in, percent};
use crate::plan::{Method, Policy};
use crate::rig::loads::{BELOW_MBS, held_to_wll, strength};
use crate::rig::{Link, LinkKind};
use crate::units::Speed;

/// Chances of one method with its rig.
#[derive(Debug, Clone, PartialEq)]
pub struct RungChances {
    /// That a part passes its working load limit.
    pub passes_wll: Probability,
    /// The likeliest to, where it can happen.
    pub likeliest_past_wll: Option<String>,
    /// That a part lets go.
    pub lets_go: Probability,
    /// The likeliest to.
    pub likeliest_to_go: Option<String>,
    /// That an anchor yields, where the rig has one.
    pub anchor_yields: Option<Probability>,
    /// That the braked tug slides before the casualty moves or the winch stalls.
    pub tug_slides: Option<Probability>,
    /// The anchor furthest past its allowed chance, that chance, and the allowed one.
    anchor_over: Option<(String, f64, f64)>,
}

impl RungChances {
    /// Of a kinetic pull at its run-up speed.
    pub(super) fn of_kinetic(chances: &PullChances, speed: Speed) -> Self {
        let at = chances.at(speed);
        let likeliest = |what| {
            chances
                .likeliest(what, speed)
                .map(|(held, _)| held.name.clone())
        };
        Self {
            passes_wll: at.passes_wll,
            likeliest_past_wll: likeliest(Happens::PassesWll),
            lets_go: at.lets_go,
            likeliest_to_go: likeliest(Happens::LetsGo),
            anchor_yields: None,
            tug_slides: None,
            anchor_over: None,
        }
    }

    /// Of a steady pull whose load at the casualty is each of `pulls_n`, N;
    /// `slides` tells where the braked tug slides first.
    pub(super) fn of_steady(
        links: &[Link],
        method: Method,
        pulls_n: &[f64],
        slides: Option<&[bool]>,
        policy: &Policy,
    ) -> Self {
        let (anchors, parts): (Vec<&Link>, Vec<&Link>) =
            links.iter().partition(|l| l.kind == LinkKind::Anchor);
        let count = pulls_n.len();
        // Each is looked at more than once, and takes longer than the rest together.
        let given = |links: &[&Link]| -> Vec<Vec<f64>> {
            links.iter().map(|l| gives(l, pulls_n)).collect()
        };
        let (anchors_give, parts_give) = (given(&anchors), given(&parts));
        let goes = |given: &[Vec<f64>]| -> Vec<f64> {
            let stand = |i: usize| given.iter().map(|of| 1.0 - of[i]).product::<f64>();
            (0..count).map(|i| 1.0 - stand(i)).collect()
        };
        let mean = |of: &[f64]| of.iter().sum::<f64>() / count.max(1) as f64;
        let worst = |of: &[Vec<f64>]| {
            let chances = parts
                .iter()
                .zip(of)
                .map(|(l, of)| (l.name.clone(), mean(of)));
            let likely = chances.filter(|(_, p)| *p > 0.0);
            likely
                .max_by(|a, b| a.1.total_cmp(&b.1))
                .map(|(name, _)| name)
        };
        let past: Vec<Vec<f64>> = parts
            .iter()
            .map(|l| {
                let wll = held_to_wll(l, method);
                let past = |p: &f64| wll.is_some_and(|wll| p * l.load_share > wll.get());
                let past = |p| f64::from(u8::from(past(p)));
                pulls_n.iter().map(past).collect()
            })
            .collect();
        let any_past = (0..count).map(|i| past.iter().any(|of| of[i] > 0.0));
        let anchor_over = anchors
            .iter()
            .zip(&anchors_give)
            .map(|(l, of)| {
                let allowed = if l.gives_slowly {
                    BELOW_MBS
                } else {
                    policy.parting_probability
                };
                (l.name.clone(), mean(of), allowed)
            })
            .filter(|(_, p, allowed)| p > allowed)
            .max_by(|a, b| (a.1 / a.2).total_cmp(&(b.1 / b.2)));
        Self {
            passes_wll: Probability::of_counts(any_past, 1),
            likeliest_past_wll: worst(&past),
            lets_go: Probability::of_chances(goes(&parts_give), 1),
            likeliest_to_go: worst(&parts_give),
            anchor_yields: (!anchors.is_empty())
                .then(|| Probability::of_chances(goes(&anchors_give), 1)),
            tug_slides: slides.map(|s| Probability::of_counts(s.iter().copied(), 1)),
            anchor_over,
        }
    }

    /// What is likelier than policy lets it be, with the number behind it.
    pub fn trouble(&self, policy: &Policy) -> Option<String> {
        let part = |name: &Option<String>| match name {
            Some(name) => format!("a part, {name} before others,"),
            None => "a part".into(),
        };
        if self.lets_go.value > policy.parting_probability {
            return Some(format!(
                "the chance that {} lets go is {}, over the {} allowed",
                part(&self.likeliest_to_go),
                one_in(self.lets_go.value),
                one_in(policy.parting_probability)
            ));
        }
        if let Some((name, chance, allowed)) = &self.anchor_over {
            return Some(format!(
                "the chance that {name} yields is {}, over the {} allowed",
                one_in(*chance),
                one_in(*allowed)
            ));
        }
        (self.passes_wll.value > policy.wll_probability).then(|| {
            format!(
                "the chance that {} passes its working load limit is {}, over the {} allowed",
                part(&self.likeliest_past_wll),
                percent(self.passes_wll.value),
                percent(policy.wll_probability)
            )
        })
    }
}

/// Probability that a link gives way with each of `pulls_n`, N, at the casualty.
fn gives(link: &Link, pulls_n: &[f64]) -> Vec<f64> {
    let strength = strength(link);
    let at = |p: &f64| strength.map_or(0.0, |s| s.probability_below(p * link.load_share));
    pulls_n.iter().map(at).collect()
}
