//! Laws of the designs, on a strap without a plan, and the map of docs/models.md.

use super::advice::{AtLoad, Usual};
use super::dampers::DamperWish;
use super::energies::{Asked, Energies};
use super::least::{Bounds, Least, least, lighter};
use super::set_up::{Hung, Make, SetUp, TetherMade};
use super::study::{Effort, Study};
use super::target::{Draws, Target};
use super::tether::{TetherWish, stronger, tether_design};
use super::throw::{Job, Trial};
use crate::letgo::draw::DrawnLines;
use crate::letgo::side_setup::drag_area;
use crate::letgo::sides::Cut;
use crate::letgo::{Hardware, HeldEnd, LinePart, Setup};
use crate::line::{Condition, Law, Material};
use crate::rig::Side;
use crate::units::{Area, Energy, Force, Length, Mass, Speed};

const SEED: u64 = 7;

fn one_by_one(jobs: &[Job]) -> Vec<Trial> {
    jobs.iter().map(Job::run).collect()
}

/// A line of `metres` and `strength`, parting at `load` with `kg` on its end.
fn target(material: Material, metres: f64, strength: Force, load: Force, kg: f64) -> Target {
    let preset = material.preset();
    let law = Law::new(
        &material.curve().unwrap(),
        strength,
        &Condition::default(),
        material,
    );
    let mass_per_length = material.mass_per_length(strength);
    let part = LinePart {
        length: Length::new(metres),
        mass_per_length,
        unloading: law
            .with_energy_return(preset.energy_return.2)
            .unloading(law.strain_at(load.get())),
        diameter: material.diameter(mass_per_length),
        joint_mass: Mass::ZERO,
    };
    let hardware = Mass::new(kg);
    let mut bare = Setup::new(
        vec![part],
        Hardware {
            mass: hardware,
            drag_area: drag_area(hardware),
        },
    );
    bare.held = HeldEnd::Vehicle {
        mass: Mass::new(2500.0),
        speed: Speed::ZERO,
    };
    let cut = Cut {
        line: 0,
        along: 0.0,
        flies_to: Side::Tug,
        inside: false,
    };
    Target {
        link: "hook".into(),
        at: Side::Casualty,
        cut,
        flies: "hook".into(),
        tension: load,
        hardware,
        twin: false,
        planned: bare.clone(),
        bare,
        lines: DrawnLines::one(law, (preset.energy_return.0, preset.energy_return.2)),
    }
}

/// The 9 m, 9 t nylon webbing strap of TF-07 with 1.5 kg on its end.
fn strap(tonnes: f64) -> Target {
    let nylon = Material::NylonWebbing;
    target(nylon, 9.0, Force::from_tf(9.0), Force::from_tf(tonnes), 1.5)
}

/// A 10 m, 12 t polyester webbing strap with 2 kg on its end.
fn polyester(tonnes: f64) -> Target {
    let polyester = Material::PolyesterWebbing;
    target(
        polyester,
        10.0,
        Force::from_tf(12.0),
        Force::from_tf(tonnes),
        2.0,
    )
}

fn make() -> Make {
    Make {
        grip: Force::new(200.0),
        drag_area: Area::new(0.05),
    }
}

fn quick() -> Effort {
    Effort {
        segments: 12,
        search: 20,
        curve: 20,
        check: 24,
        check_segments: 12,
        compared: 4,
    }
}

fn wish(under_j: f64, most_kg: f64) -> DamperWish {
    DamperWish {
        asked: Asked {
            under: Energy::new(under_j),
            chance: 0.9,
        },
        bounds: Bounds {
            most: Mass::new(most_kg),
            make: make(),
        },
        effort: quick(),
    }
}

fn study<'a>(target: &'a Target, asked: Asked) -> Study<'a> {
    let draws = Draws::to_search(SEED, quick().search);
    Study::new(target, asked, quick(), draws, &one_by_one)
}

fn found(target: &Target, wish: &DamperWish, number: usize) -> (Least, Energies) {
    let mut study = study(target, wish.asked);
    let bare = study.bare(&SetUp::of(vec![], make()));
    let fresh = Draws::to_check(SEED, wish.effort.check);
    (least(&study, number, wish.bounds, &bare, &fresh), bare)
}

/// A set-up that was said to do keeps its wish with runs twice as fine as those that it was
/// checked with: what they add is less than what was allowed for.
#[test]
fn what_will_do_still_does_with_finer_runs() {
    for target in [strap(1.0), polyester(1.75)] {
        let wish = wish(79.0, 15.0);
        let (found, _) = found(&target, &wish, 1);
        assert!(found.meets, "{found:?}");
        let mut study = study(&target, wish.asked);
        study.bare(&SetUp::of(vec![], make()));
        let fresh = Draws::to_check(SEED, wish.effort.check);
        let finer = study.over(&found.set_up, &fresh, 2 * study.check_segments());
        assert!(finer.meets(wish.asked), "{:?}: {finer:?}", found.set_up);
        let coarse = study.over(&found.set_up, &fresh, 16);
        assert!(
            coarse.worst.quantile <= finer.worst.quantile * 1.05,
            "few segments run low: {coarse:?} against {finer:?}"
        );
    }
}

#[test]
fn the_least_keeps_the_wish_and_one_step_less_does_not() {
    let (target, wish) = (strap(1.0), wish(79.0, 15.0));
    let (found, bare) = found(&target, &wish, 1);
    assert!(!bare.meets(wish.asked), "there is something to stop");
    assert!(found.meets, "{found:?}");
    let mut study = study(&target, wish.asked);
    study.bare(&SetUp::of(vec![], make()));
    let held_to = study.held_to();
    assert!(found.check.worst.quantile <= held_to.under);
    let fresh = Draws::to_check(SEED, wish.effort.check);
    assert_eq!(study.kept(&found.set_up, &fresh), Some(found.check));
    for less in lighter(&found.set_up) {
        let energies = study.energies(&less);
        let check = study.checked(&less, &fresh);
        assert!(
            !(energies.meets(held_to) && check.meets(held_to)),
            "{less:?} would do: {energies:?}"
        );
        assert!(study.kept(&less, &fresh).is_none_or(|kept| kept == check));
    }
}

#[test]
fn a_looser_wish_never_asks_for_more() {
    let target = strap(1.0);
    let total = |under_j: f64| {
        let (found, _) = found(&target, &wish(under_j, 15.0), 1);
        assert!(found.meets, "{under_j} J: {found:?}");
        found.set_up.total().get()
    };
    let (tight, loose) = (total(79.0), total(250.0));
    assert!(loose <= tight, "{loose} kg against {tight} kg");
}

#[test]
fn where_nothing_will_do_nothing_is_told() {
    let (target, wish) = (strap(6.0), wish(79.0, 2.0));
    let (found, bare) = found(&target, &wish, 2);
    assert!(!found.meets);
    assert!(found.check.worst.quantile > wish.asked.under);
    assert!(
        found.search.worst.quantile <= bare.worst.quantile,
        "closest is no worse than bare"
    );
    // The energy is there: two of 2 kg cannot hide over ten kilojoules.
    assert!(bare.stored.get() > 1e4);
}

#[test]
fn dropping_and_sharing_change_no_result() {
    let target = strap(2.0);
    let asked = wish(79.0, 15.0).asked;
    let study = study(&target, asked);
    let set_up = SetUp::of(vec![Hung::new(5.0, 0.0), Hung::new(5.0, 0.5)], make());
    let whole = study.energies(&set_up);
    let one = core::slice::from_ref(&set_up);
    // In blocks of four under a limit that it just keeps, against shares of eight.
    let kept = study.no_more_than(one, whole.worst.quantile.get());
    assert_eq!(kept, vec![Some(whole)]);
    let under = whole.worst.quantile.get() * (1.0 - 1e-9);
    assert_eq!(study.no_more_than(one, under), vec![None]);
    // Jobs in another order, as threads may take them.
    let backwards = |jobs: &[Job]| -> Vec<Trial> {
        let mut trials: Vec<Trial> = jobs.iter().rev().map(Job::run).collect();
        trials.reverse();
        trials
    };
    let draws = Draws::to_search(SEED, quick().search);
    let other = Study::new(&target, asked, quick(), draws, &backwards);
    assert_eq!(other.energies(&set_up), whole);
}

/// A damper hard against the hardware flies with it, each with the energy of its mass,
/// and the heavier end takes more of what the line gives than the light one did.
#[test]
fn a_damper_at_the_hardware_shares_its_energy() {
    let target = strap(3.0);
    let mut study = study(&target, wish(79.0, 15.0).asked);
    let bare = study.bare(&SetUp::of(vec![], make()));
    let with = study.energies(&SetUp::of(vec![Hung::new(4.5, 0.0)], make()));
    let share = with.hardware.median / with.worst.median;
    assert!((share - 0.25).abs() < 0.02, "1.5 of 6 kg: {share}");
    assert!(with.worst.median > bare.hardware.median);
    assert!(with.hardware.median < bare.hardware.median);
}

fn tether_wish(lengths: &[f64], strains: &[f64]) -> TetherWish {
    TetherWish {
        chance: 0.9,
        within: Length::new(9.0),
        lengths: lengths.iter().map(|&m| Length::new(m)).collect(),
        strains: strains.to_vec(),
        strengths: (Force::new(1e3), Force::from_tf(40.0)),
        effort: quick(),
    }
}

#[test]
fn the_least_tether_holds_more_than_a_plastic_catch_leaves() {
    let target = strap(2.0);
    let wish = tether_wish(&[2.0, 4.0], &[0.15, 0.30]);
    let design = tether_design(&target, &wish, SEED, &one_by_one);
    let mut study = study(&target, self::wish(79.0, 15.0).asked);
    let bare = study.bare(&SetUp::of(vec![], make()));
    // Hardware of mass M at its median energy E has momentum p with p²/2M = E; caught
    // with all of the line it keeps p²/2(M + m) of it, and the line has more of its own.
    let line = 9.0
        * Material::NylonWebbing
            .mass_per_length(Force::from_tf(9.0))
            .get();
    let plastic = bare.hardware.median * (1.5 / (1.5 + line));
    for cell in &design.cells {
        let fit = cell
            .fit
            .expect("a tether of that length and stretch holds 2 t");
        assert!(fit.capacity > plastic, "{fit:?} against {plastic:?}");
        assert!(fit.peak <= fit.tether.mbs && fit.peak >= fit.peak_median);
    }
    let mbs = |length: f64, strain: f64| {
        let cell = design
            .cells
            .iter()
            .find(|c| c.length == Length::new(length) && c.strain_at_break == strain);
        cell.unwrap().fit.unwrap().tether.mbs
    };
    assert!(mbs(2.0, 0.15) > mbs(4.0, 0.15), "longer asks for less");
    assert!(mbs(4.0, 0.15) > mbs(4.0, 0.30), "softer asks for less");
    assert!(design.held.is_some_and(|h| h.0 >= 0.85));
}

#[test]
fn a_stronger_tether_never_parts_where_a_weaker_holds() {
    let target = strap(2.0);
    let study = study(&target, wish(79.0, 15.0).asked);
    let mut tether = TetherMade {
        length: Length::new(2.0),
        strain_at_break: 0.15,
        mbs: Force::from_tf(1.0),
    };
    let mut parted_before = usize::MAX;
    for _ in 0..12 {
        let set_up = SetUp {
            tether: Some(tether),
            ..SetUp::of(vec![], make())
        };
        let seen = study.seen(&[set_up], &study.draws, 12).concat();
        let parted = seen.iter().flatten().filter(|s| s.parted).count();
        assert!(parted <= parted_before, "{tether:?}");
        parted_before = parted;
        tether = stronger(stronger(tether));
    }
    assert_eq!(parted_before, 0, "the strongest holds");
}

#[test]
fn a_range_too_weak_or_too_short_has_no_tether() {
    let target = strap(6.0);
    let weak = TetherWish {
        strengths: (Force::new(1e3), Force::new(5e3)),
        ..tether_wish(&[1.0], &[0.05])
    };
    let design = tether_design(&target, &weak, SEED, &one_by_one);
    assert!(design.least.is_none() && design.cells[0].fit.is_none());
    let near = TetherWish {
        within: Length::new(0.9),
        ..tether_wish(&[1.0], &[0.15])
    };
    let design = tether_design(&target, &near, SEED, &one_by_one);
    assert!(design.cells[0].reach > near.within && design.cells[0].fit.is_none());
}

/// The map of docs/models.md, by line, hardware and load: `cargo test --release -p
/// steadypull-engine damper_map -- --ignored --nocapture` prints it.
#[test]
#[ignore = "prints a table; minutes of work"]
fn damper_map() {
    let lines = [
        ("nylon webbing 9 m, 9 t", Material::NylonWebbing, 9.0, 9.0),
        (
            "polyester webbing 10 m, 12 t",
            Material::PolyesterWebbing,
            10.0,
            12.0,
        ),
        ("HMPE rope 10 m, 10 t", Material::Hmpe, 10.0, 10.0),
        ("HMPE rope 24 m, 10 t", Material::Hmpe, 24.0, 10.0),
    ];
    println!(
        "| line | hardware | parts at | stored | none | 0.5 kg middle | 5 kg middle | two of 5 kg | light does little | in order | two: hardware | two: all |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|---|---|");
    for (name, material, metres, tonnes) in lines {
        for kg in [0.5, 1.5, 4.5] {
            for load in [0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 9.0] {
                let (strength, load_n) = (Force::from_tf(tonnes), Force::from_tf(load));
                let target = target(material, metres, strength, load_n, kg);
                println!("| {name} | {kg} kg | {load} t | {} |", row(&target));
            }
        }
    }
}

/// The cells of one load of the map, with segments as short as those of a check.
fn row(target: &Target) -> String {
    let asked = Asked {
        under: Energy::new(79.0),
        chance: 0.95,
    };
    let mut effort = Effort::default();
    let draws = || Draws::to_search(SEED, effort.curve);
    effort.segments = Study::new(target, asked, effort, draws(), &one_by_one).check_segments();
    let mut study = Study::new(target, asked, effort, draws(), &one_by_one);
    let at = AtLoad::of(&mut study, make());
    let mut cells = vec![format!("{:.2}", at.stored.get() / 1e3)];
    cells.extend((0..4).map(|k| {
        let (alone, all) = (at.energies[k].hardware.median, at.energies[k].worst.median);
        match k == Usual::Two as usize {
            true => format!("{:.0} ({:.0})", alone.get(), all.get()),
            false => format!("{:.0}", alone.get()),
        }
    }));
    let claims: [fn(&super::Claims) -> bool; 4] = [
        |c| c.light_does_little,
        |c| c.in_order,
        |c| c.two_stop_hardware,
        |c| c.two_stop_all,
    ];
    cells.extend(claims.iter().map(|holds| {
        let yes = |c: &super::Claims| if holds(c) { "yes" } else { "no" };
        at.claims.as_ref().map_or("-", yes).to_string()
    }));
    cells.join(" | ")
}
