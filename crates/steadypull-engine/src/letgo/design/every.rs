//! The set-up that will do for every link that could let go at an end.
//!
//! Dampers hang on the line before anyone knows which part of it goes. So the least that
//! was found for the worst link is put to the others too, on fresh draws: the lightest of
//! the numbers that keeps the wish for all is told. Where none does, the dampers of the
//! lightest get heavier until it does.

use super::energies::Energies;
use super::least::{Least, raised};
use super::study::Study;
use super::target::Draws;
use crate::units::Mass;

/// Most steps of mass by which dampers get heavier for the other links.
const MOST_STEPS: u32 = 10;

/// What a set-up comes to if another link lets go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IfAnother {
    /// What arrives, over a few fresh draws.
    pub energies: Energies,
    /// Whether the wish is kept.
    pub meets: bool,
}

/// The draws that set-ups are put to: of the link that they were made for, and of others.
pub(super) struct Fresh<'a> {
    pub own: &'a Draws,
    pub others: &'a Draws,
}

/// The place in `least` of the set-up to tell, with what it comes to for each of `others`.
/// Its dampers may be made heavier.
pub(super) fn for_every(
    study: &Study,
    others: &[Study],
    least: &mut [Least],
    most: Mass,
    fresh: &Fresh,
) -> (Option<usize>, Vec<IfAnother>) {
    let mut keeping: Vec<usize> = (0..least.len()).filter(|&k| least[k].meets).collect();
    let total = |k: &usize| least[*k].set_up.total().get();
    keeping.sort_by(|a, b| total(a).total_cmp(&total(b)));
    for &k in &keeping {
        if let Some(found) = kept_by(others, &least[k], fresh.others) {
            return (Some(k), found);
        }
    }
    if let Some(&k) = keeping.first() {
        for steps in 1..=MOST_STEPS {
            let mut heavier = least[k].clone();
            heavier.set_up = raised(&heavier.set_up, steps, most);
            let Some(found) = kept_by(others, &heavier, fresh.others) else {
                continue;
            };
            if let Some(check) = study.kept(&heavier.set_up, fresh.own) {
                least[k] = Least {
                    search: study.energies(&heavier.set_up),
                    check,
                    ..heavier
                };
                return (Some(k), found);
            }
        }
    }
    let closest = (0..least.len()).min_by(|&a, &b| {
        let of = |k: usize| least[k].check.worst.quantile.get();
        of(a).total_cmp(&of(b))
    });
    let told = keeping.first().copied().or(closest);
    let found = told.map(|k| {
        others
            .iter()
            .map(|s| alone(s, &least[k], fresh.others))
            .collect()
    });
    (told, found.unwrap_or_default())
}

/// What it comes to for the others; nothing as soon as one does not keep the wish.
fn kept_by(others: &[Study], least: &Least, few: &Draws) -> Option<Vec<IfAnother>> {
    let one = |study: &Study| {
        let energies = study.kept(&least.set_up, few)?;
        Some(IfAnother {
            energies,
            meets: true,
        })
    };
    others.iter().map(one).collect()
}

fn alone(study: &Study, least: &Least, few: &Draws) -> IfAnother {
    let energies = study.checked(&least.set_up, few);
    IfAnother {
        energies,
        meets: energies.meets(study.held_to()),
    }
}
