//! A standing tree: its roots turn over or its stem breaks, whichever is first.
//!
//! - roots: critical turning moment `slope × stem mass` over the height of the
//!   strap, `F = M/h`; stem mass (fresh) from the diameter at breast height by
//!   `exp(b0 + b1 ln DBH)` kg dry above ground, DBH in cm, times the share of that
//!   which is stem, times fresh over dry mass;
//! - stem: `M = π/32 MOR DBH³` over the same height.
//!
//! Symbols: `M` N·m at the ground, `h` m, MOR modulus of rupture of green wood.
//! The slopes are of four conifers; any other tree gets the least of the four.
//! Below 1 m no further gain by a lower strap is counted for the roots: the
//! plate then shears instead of turning (assumed). Range: stems of 0.1 to 1 m,
//! sound and alive, on unfrozen ground that is not waterlogged. The mass
//! equations are from memory and every step is wide: the spread is 0.6.
//!
//! Uprooting goes with `H DBH²`, breaking with `DBH³` (Peltola et al., For.
//! Ecol. Manage. 135 (2000) 143–153, abstract, read): the mass equations grow as
//! DBH^2.3 to 2.5, which is that with H growing slowly with DBH.

use super::{Hold, Way};
use crate::chance::LogNormal;
use crate::finding::{Finding, Severity};
use crate::plan::{Tree, TreeSort};
use crate::show::Units;
use crate::source::{Source, Status};
use crate::units::{Force, Length, Mass};

/// Turning moments.
pub const MOMENT_SOURCE: Source = Source::new(
    "Byrne, UBC thesis 2005 (turning moment by stem mass); stem mass from the diameter \
     by Jenkins et al. 2003, from memory",
    Status::FromMemory,
);
/// Stem bending.
pub const STEM_SOURCE: Source = Source::new("M = pi/32 MOR DBH^3, MOR 40 MPa", Status::Computed);
/// What may not be used, and where the line goes.
pub const PRACTICE_SOURCE: Source = Source::new(
    "US Army FM 5-125 ch. 4: attach near the ground; avoid dead or rotten trees",
    Status::Read,
);

/// Modulus of rupture of green wood, Pa (CV-TREE-03).
pub const RUPTURE_PA: f64 = 40e6;
/// Spread of the root hold. Scatter of 283 uprooted trees about species and size
/// 0.33 (Forests 14 (2023) 533, table A1, read); the mass equation 0.25, fresh
/// over dry 0.2, site and wetness 0.35 (assumed); together 0.58.
const ROOT_SPREAD: f64 = 0.6;
/// Spread of the bending strength of stems (assumed).
const STEM_SPREAD: f64 = 0.25;
/// Height below which a lower strap counts for no more, m (assumed).
const ROOT_LEVER_M: f64 = 1.0;
/// The same for the stem: about its own width, m (assumed).
const STEM_LEVER_M: f64 = 0.3;
/// Height above which a strap is called high, m (assumed).
const HIGH_STRAP_M: f64 = 1.0;
/// Stem over all dry mass above ground of a softwood (Jenkins et al. 2003 at
/// 30 cm, from memory).
const STEM_SHARE: f64 = 0.77;
/// Fresh over dry mass: 90 % of water on dry wood (assumed).
const FRESH_OVER_DRY: f64 = 1.9;
/// What is left of a tree that is not sound (assumed).
const UNSOUND: f64 = 0.25;

/// Sorts with figures of their own.
const SORTS: [TreeSort; 4] = [
    TreeSort::Pine,
    TreeSort::Spruce,
    TreeSort::Redcedar,
    TreeSort::Hemlock,
];

/// Critical turning moment at the stem's foot, N·m, of a stem of this fresh mass.
pub fn turning_moment_n_m(sort: TreeSort, stem: Mass) -> f64 {
    let per_kg = match sort {
        TreeSort::Pine => 145.6,
        TreeSort::Spruce => 118.6,
        TreeSort::Redcedar => 94.5,
        TreeSort::Hemlock | TreeSort::Other => 77.4,
    };
    per_kg * stem.get()
}

/// Fresh mass of a stem by its diameter at breast height.
pub fn stem_mass(sort: TreeSort, diameter: Length) -> Mass {
    let (b0, b1) = match sort {
        TreeSort::Pine => (-2.5356, 2.4349),
        TreeSort::Spruce => (-2.0773, 2.3323),
        TreeSort::Redcedar => (-2.0336, 2.2592),
        TreeSort::Hemlock | TreeSort::Other => (-2.5384, 2.4814),
    };
    let cm = diameter.to_mm() / 10.0;
    Mass::new(STEM_SHARE * FRESH_OVER_DRY * libm::exp(b0 + b1 * libm::log(cm)))
}

/// Turning moment of a tree by its diameter, N·m: its own sort's, or the least of
/// all sorts for another.
pub fn root_moment_n_m(sort: TreeSort, diameter: Length) -> f64 {
    let of = |sort| turning_moment_n_m(sort, stem_mass(sort, diameter));
    match sort {
        TreeSort::Other => SORTS.map(of).into_iter().fold(f64::INFINITY, f64::min),
        known => of(known),
    }
}

/// Bending moment that breaks a stem of this diameter, N·m.
pub fn stem_moment_n_m(diameter: Length) -> f64 {
    let d = diameter.get();
    core::f64::consts::PI / 32.0 * RUPTURE_PA * d * d * d
}

/// Load at `height` for a moment at the ground.
pub fn load_at(moment_n_m: f64, height: Length) -> Force {
    Force::new(moment_n_m / height.get())
}

/// Height to reckon with when the plan gives none: slender, a hundred diameters
/// (assumed), so that the fall zone errs on the long side.
pub fn slender_height(diameter: Length) -> Length {
    diameter * 100.0
}

/// What the tree holds.
pub(super) fn hold(name: &str, tree: &Tree, units: Units) -> Hold {
    let left = if tree.sound { 1.0 } else { UNSOUND };
    let strap = tree.strap_height;
    let (stem_words, length) = (units.thickness(tree.stem_diameter.get()), |l: Length| {
        units.rough_length(l.get())
    });
    let root_lever = strap.max(Length::new(ROOT_LEVER_M));
    let roots = load_at(root_moment_n_m(tree.sort, tree.stem_diameter), root_lever);
    let stem_lever = strap.max(Length::new(STEM_LEVER_M));
    let stem = load_at(stem_moment_n_m(tree.stem_diameter), stem_lever);
    let mut hold = Hold::of(vec![
        Way {
            what: "uproots",
            load: LogNormal::new(left * roots.get(), ROOT_SPREAD),
            less: Force::ZERO,
            method: format!(
                "turning moment of the roots by stem mass, {stem_words} stem, counted over {}",
                length(root_lever)
            ),
            source: MOMENT_SOURCE,
        },
        Way {
            what: "breaks at the strap",
            load: LogNormal::new(left * stem.get(), STEM_SPREAD),
            less: Force::ZERO,
            method: format!(
                "bending of a {stem_words} stem, counted over {}",
                length(stem_lever)
            ),
            source: STEM_SOURCE,
        },
    ]);
    hold.falls_within = Some(tree.height);
    if !tree.sound {
        hold.refused =
            Some("a tree that is dead, rotten or loose at its roots snaps or falls early".into());
    }
    if strap.get() > HIGH_STRAP_M {
        hold.findings.push(high_strap(name, &length(strap)));
    }
    hold
}

fn high_strap(name: &str, strap: &str) -> Finding {
    Finding::new(
        Severity::Warning,
        "high-strap",
        name,
        format!("the strap is {strap} up the stem: its hold falls as one over that height"),
        "put the strap as low as the ground lets it lie",
        PRACTICE_SOURCE.name,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hold(name: &str, tree: &Tree) -> Hold {
        super::hold(name, tree, Units::Metric)
    }

    fn tree(mm: f64, strap: f64) -> Tree {
        Tree {
            stem_diameter: Length::from_mm(mm),
            strap_height: Length::new(strap),
            height: slender_height(Length::from_mm(mm)),
            sort: TreeSort::Pine,
            sound: true,
        }
    }

    #[test]
    fn height_takes_from_the_hold_as_its_inverse() {
        let (low, high) = (hold("t", &tree(300.0, 1.0)), hold("t", &tree(300.0, 3.0)));
        assert!((low.ways[0].load.median / high.ways[0].load.median - 3.0).abs() < 1e-12);
        assert!(low.findings.is_empty() && high.findings[0].code == "high-strap");
    }

    #[test]
    fn a_low_strap_is_limited_by_the_roots() {
        let hold = hold("t", &tree(300.0, 0.5));
        assert_eq!(hold.likeliest().map(|w| w.what), Some("uproots"));
        // About seven tonnes, give or take a lot, for a 30 cm pine.
        assert!((40.0..90.0).contains(&hold.median.to_kn()), "{hold:?}");
        assert!(hold.low < hold.median * 0.45);
    }

    #[test]
    fn an_unknown_tree_counts_as_the_weakest() {
        for mm in [100.0, 300.0, 900.0] {
            let d = Length::from_mm(mm);
            let other = root_moment_n_m(TreeSort::Other, d);
            assert!(SORTS.iter().all(|s| root_moment_n_m(*s, d) >= other));
        }
    }

    #[test]
    fn an_unsound_tree_is_refused_and_weak() {
        let sound = hold("t", &tree(300.0, 0.5));
        let dead = hold(
            "t",
            &Tree {
                sound: false,
                ..tree(300.0, 0.5)
            },
        );
        assert!(dead.refused.is_some() && dead.median < sound.median * 0.3);
    }
}
