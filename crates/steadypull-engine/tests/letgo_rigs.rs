//! Let-go of rigs laid out on the ground: what holds, what flies, where nobody stands.

mod letgo_scenes;

use proptest::prelude::*;

use letgo_scenes::{
    Scene, belayed, bridle, double_line, equalised, redirect, rotated, straight, turned,
};
use steadypull_engine::letgo::rig::{
    FlightSort, Parting, Partings, RigScatter, RigZone, partings, rig_scatter, rig_zone,
};
use steadypull_engine::letgo::{Hardware, LinePart, Setup, run};
use steadypull_engine::line::{Law, Material};
use steadypull_engine::plan::{Damper, Part};
use steadypull_engine::units::{Area, Duration, Force, G, Length, Mass};

fn part(scene: &Scene) -> Partings {
    partings(&scene.plan, &scene.graph, &scene.solved)
}

fn zone(scene: &Scene) -> (RigScatter, RigZone) {
    let found = part(scene);
    let thrown = rig_scatter(&scene.plan, &scene.graph, &scene.solved, &found);
    let zone = rig_zone(&scene.plan, &scene.graph, &scene.solved, &thrown);
    (thrown, zone)
}

fn named<'a>(partings: &'a Partings, name: &str) -> &'a Parting {
    let found = partings.list.iter().find(|p| p.name == name);
    found.unwrap_or_else(|| panic!("{name} is missing"))
}

fn hmpe_redirect(tension_n: f64) -> Scene {
    redirect(tension_n, Material::Hmpe, 9.0, 4.0)
}

#[test]
fn what_is_left_holding() {
    let single = part(&straight(30e3));
    for p in &single.list {
        assert!(p.holding.casualty_by.is_empty(), "{p:?}");
        assert_eq!(p.holding.words, "nothing holds the casualty");
    }
    let turned = part(&hmpe_redirect(30e3));
    let strap = named(&turned, "tree-strap");
    assert_eq!(strap.holding.casualty_by, ["main"]);
    let slack = strap.holding.slack_m.unwrap();
    assert!((slack - (40.0 - 20.0 * 2.0_f64.sqrt())).abs() < 1e-9);
    assert!(strap.freed.iter().all(|f| f.name == "hanger"));
    let line = named(&turned, "winch-line");
    assert!(line.holding.casualty_by.is_empty());
    let freed: Vec<&str> = line.freed.iter().map(|f| f.name.as_str()).collect();
    assert_eq!(freed, ["main", "hanger"], "the hanger goes slack with it");

    let double = part(&double_line(15e3));
    for name in ["winch-line", "short-strap", "block-1", "tree", "tug.winch"] {
        let p = named(&double, name);
        assert!(p.holding.casualty_by.is_empty(), "{name}: {:?}", p.holding);
    }
    let legs = part(&bridle(20e3));
    assert!(named(&legs, "winch-line").holding.casualty_by.is_empty());
    let leg = legs
        .list
        .iter()
        .find(|p| p.at.contains("casualty.left"))
        .unwrap();
    assert_eq!(leg.holding.casualty_by, ["right leg"]);
}

#[test]
fn a_belay_holds_and_an_equalising_bridle_runs_out() {
    let belayed = part(&belayed(20e3));
    let main = named(&belayed, "main-rope");
    assert_eq!(main.holding.casualty_by, ["belay"]);
    assert!(main.holding.words.ends_with("once it comes taut"));
    assert!(
        belayed.list.iter().all(|p| p.name != "belay-rope"),
        "carries nothing"
    );
    let point = named(&belayed, "casualty.rear");
    assert!(point.holding.casualty_by.is_empty(), "both are on it");

    let slid = part(&equalised(20e3));
    for name in ["casualty.left", "legs", "winch-line"] {
        let p = named(&slid, name);
        assert!(p.holding.casualty_by.is_empty(), "{name}: {:?}", p.holding);
    }
    // The apex is thrown back at the casualty by its legs when the main line goes.
    let main = named(&slid, "winch-line");
    let apex = |f: &&steadypull_engine::letgo::rig::Flight| f.sort == FlightSort::Thrown;
    let flight = main.flights.iter().find(apex).unwrap();
    assert!(flight.way[0] < -0.999 && flight.side.ends_with("back against the pull"));
}

#[test]
fn sides_swap_in_the_mirror() {
    let scene = hmpe_redirect(30e3);
    let other = turned(&scene, |[x, y, z]| [x, -y, z]);
    for (a, b) in part(&scene).list.iter().zip(&part(&other).list) {
        let swapped = a.side.replace("left", "LEFT").replace("right", "left");
        assert_eq!(swapped.replace("LEFT", "right"), b.side, "{}", a.name);
    }
}

#[test]
fn closed_form_block_on_a_line_without_mass() {
    // Heavy block: v = sqrt(2 rho E/M), E = T^2 L/(2 EA) of the whole line.
    let scene = redirect(30e3, Material::Hmpe, 9.0, 60.0);
    let found = part(&scene);
    let thrown = named(&found, "block-1");
    let flight = thrown
        .flights
        .iter()
        .find(|f| f.sort == FlightSort::Thrown)
        .unwrap();
    let main = named(&found, "winch-line").freed[0].energy.get();
    let speed = (2.0 * main / 60.0).sqrt();
    assert!(
        (flight.speed.get() / speed - 1.0).abs() < 1e-6,
        "{flight:?}"
    );
    // Along the bisector, into the bight.
    let half = 0.5_f64.sqrt();
    for (got, wanted) in flight.way.iter().zip([half, half, 0.0]) {
        assert!((got - wanted).abs() < 1e-9);
    }
    assert!(flight.side.contains("into the bight"), "{}", flight.side);
    // The casualty is pulled along -x: +y is to its right.
    assert!(
        flight.side.contains("to the right of the pull"),
        "{}",
        flight.side
    );
}

fn check_energy(scene: &Scene) {
    let found = part(scene);
    assert_eq!(found.failed, 0);
    for p in &found.list {
        for f in &p.flights {
            // It may fall to the ground besides.
            let fall = f.mass.get() * G * f.from_m[2];
            let (got, most) = (f.energy.get(), p.released.get() + fall);
            assert!(
                got <= most * 1.001,
                "{} {}: {got} of {most}",
                p.name,
                f.what
            );
            assert!(f.speed.is_finite() && f.energy.get() >= 0.0);
        }
    }
}

#[test]
fn flights_never_carry_more_than_comes_free() {
    check_energy(&straight(30e3));
    check_energy(&hmpe_redirect(30e3));
    check_energy(&redirect(60e3, Material::WireRope, 20.0, 90.0));
    check_energy(&double_line(15e3));
    check_energy(&bridle(20e3));
}

#[test]
fn no_load_no_flight() {
    let scene = hmpe_redirect(0.0);
    let (thrown, zone) = zone(&scene);
    assert!(part(&scene).list.is_empty());
    assert_eq!(thrown.runs(), 0);
    assert!(!zone.computed_governs && zone.areas.is_empty());
    assert_eq!(zone.corners, zone.rule_corners);
}

#[test]
fn straight_rig_recoils_as_it_does_along_a_path() {
    let found = part(&straight(30e3));
    let shackle = named(&found, "bow-1");
    let flight = &shackle.flights[0];
    assert!((flight.mass.get() - 1.3).abs() < 1e-12 && !flight.bound);
    // Massless bound v = sqrt(2 E/M) from above, and most of it reached.
    let bound = (2.0 * shackle.released.get() / 1.3).sqrt();
    let share = flight.speed.get() / bound;
    assert!((0.6..=1.0).contains(&share), "{share}");
    assert_eq!(flight.side, "along the pull");
}

fn inside(corners: &[(f64, f64)], p: (f64, f64)) -> bool {
    let mut odd = false;
    for (k, a) in corners.iter().enumerate() {
        let b = corners[(k + 1) % corners.len()];
        if (a.1 > p.1) != (b.1 > p.1) && p.0 < a.0 + (p.1 - a.1) / (b.1 - a.1) * (b.0 - a.0) {
            odd = !odd;
        }
    }
    odd
}

fn away(scene: &Scene, p: (f64, f64)) -> f64 {
    let mut least = f64::INFINITY;
    for run in &scene.graph.runs {
        for w in run.stops.windows(2) {
            let [a, b] = [w[0], w[1]].map(|s| scene.solved.nodes[s.node].place_m);
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            let share = ((p.0 - a[0]) * dx + (p.1 - a[1]) * dy) / (dx * dx + dy * dy);
            let share = share.clamp(0.0, 1.0);
            let (x, y) = (a[0] + share * dx, a[1] + share * dy);
            least = least.min(((p.0 - x).powi(2) + (p.1 - y).powi(2)).sqrt());
        }
    }
    least
}

/// Everything that may come down or be whipped over lies inside.
fn check_zone(mut scene: Scene) {
    scene.plan.policy.zone_quantile = 1.0;
    let (thrown, zone) = zone(&scene);
    assert_eq!(thrown.failed, 0);
    let rule = zone.rule.distance.get();
    for i in 0..120 {
        for j in 0..120 {
            let p = (f64::from(i) * 3.0 - 180.0, f64::from(j) * 3.0 - 180.0);
            if away(&scene, p) < rule - 1e-6 {
                assert!(inside(&zone.rule_corners, p), "{p:?} within {rule} m");
                assert!(inside(&zone.corners, p), "{p:?} within {rule} m");
            }
        }
    }
    for p in thrown.groups.iter().flat_map(|g| g.runs.iter().flatten()) {
        assert!(inside(&zone.corners, *p), "landing {p:?}");
    }
    for area in &zone.areas {
        let n = area.corners.len() as f64;
        let x = area.corners.iter().map(|c| c.0).sum::<f64>() / n;
        let y = area.corners.iter().map(|c| c.1).sum::<f64>() / n;
        assert!(inside(&zone.corners, (x, y)));
        for c in &area.corners {
            // A hair inwards, for corners that lie on the edge itself.
            let near = (c.0 + 1e-6 * (x - c.0), c.1 + 1e-6 * (y - c.1));
            assert!(inside(&zone.corners, near), "{} at {c:?}", area.name);
        }
    }
}

#[test]
fn zone_holds_the_rule_every_bight_and_every_landing() {
    check_zone(straight(30e3));
    check_zone(hmpe_redirect(30e3));
    check_zone(redirect(60e3, Material::WireRope, 20.0, 90.0));
    check_zone(double_line(15e3));
    check_zone(bridle(20e3));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn zone_of_any_redirect_holds_all_and_flights_stay_within_their_energy(
        from in 4.0..40.0_f64, to in 4.0..40.0_f64, turn in 0.2..3.0_f64, start in -3.0..3.0_f64,
        tension_n in 1e3..80e3_f64, kg in 0.5..90.0_f64, stretchy in any::<bool>(),
    ) {
        let at = |far: f64, angle: f64| [far * libm::cos(angle), far * libm::sin(angle)];
        let material = if stretchy { Material::NylonBraid } else { Material::Hmpe };
        let rope = letgo_scenes::line("winch-line", material, 100.0, 9.0);
        let scene = letgo_scenes::bent(at(from, start), at(to, start + turn), tension_n, rope, kg);
        check_energy(&scene);
        check_zone(scene);
    }
}

#[test]
fn redirect_has_a_danger_area_of_its_own() {
    let scene = hmpe_redirect(30e3);
    let (_, zone) = zone(&scene);
    let [bight] = zone.areas.as_slice() else {
        panic!("{:?}", zone.areas)
    };
    assert_eq!(bight.name, "bight at block-1");
    // Inside the angle, and past the straight line between its neighbours.
    for p in [(5.0, 5.0), (9.0, 9.0), (14.0, 14.0), (0.5, 15.0)] {
        assert!(inside(&bight.corners, p), "{p:?}");
    }
    assert!(!inside(&bight.corners, (-3.0, -3.0)));
    assert!(bight.observers.contains("to the left of the pull"));
    assert!(zone_of_straight_has_none());
}

fn zone_of_straight_has_none() -> bool {
    zone(&straight(30e3)).1.areas.is_empty()
}

fn close(a: &[(f64, f64)], b: &[(f64, f64)]) {
    assert_eq!(a.len(), b.len());
    for p in a {
        let near = b
            .iter()
            .map(|q| libm::hypot(p.0 - q.0, p.1 - q.1))
            .fold(f64::INFINITY, f64::min);
        assert!(near < 1e-3, "{p:?} is {near} m from the nearest corner");
    }
}

#[test]
fn a_mirrored_scene_has_a_mirrored_zone() {
    for scene in [hmpe_redirect(30e3), bridle(20e3)] {
        let (_, zone_of) = zone(&scene);
        let (_, other) = zone(&turned(&scene, |[x, y, z]| [x, -y, z]));
        let back: Vec<_> = other.corners.iter().map(|c| (c.0, -c.1)).collect();
        close(&zone_of.corners, &back);
        assert!((zone_of.beside.get() - other.beside.get()).abs() < 1e-3);
    }
}

#[test]
fn a_turned_scene_has_a_turned_zone() {
    let scene = hmpe_redirect(30e3);
    let (_, zone_of) = zone(&scene);
    for angle in [0.4, 2.0, -1.3] {
        let (_, other) = zone(&rotated(&scene, angle));
        let (sin, cos) = libm::sincos(-angle);
        let back: Vec<_> = other
            .corners
            .iter()
            .map(|c| (c.0 * cos - c.1 * sin, c.0 * sin + c.1 * cos))
            .collect();
        close(&zone_of.corners, &back);
    }
}

/// By symmetry a block of mass M on a bight of half-angle a throws as M/(2 cos^2 a)
/// on the end of half the line, which the chain works out in time.
#[test]
fn bound_on_a_thrown_block_is_near_the_chain() {
    let cos = core::f64::consts::FRAC_1_SQRT_2;
    for kg in [0.3, 1.0, 2.0, 3.0, 4.0, 6.0, 10.0, 60.0] {
        let scene = redirect(30e3, Material::Hmpe, 9.0, kg);
        let found = part(&scene);
        let flight = &named(&found, "block-1").flights;
        let thrown = flight
            .iter()
            .find(|f| f.sort == FlightSort::Thrown)
            .unwrap();
        let mut setup = Setup::new(
            vec![half_line(&scene, 30e3, 20.0)],
            Hardware {
                mass: Mass::new(kg / (2.0 * cos * cos)),
                ..Hardware::default()
            },
        )
        .in_empty_space();
        setup.max_time = Duration::new(0.2);
        let chain = run(&setup).unwrap().launch.speed.get() / cos;
        let over = thrown.speed.get() / chain;
        assert!((0.995..1.12).contains(&over), "{kg} kg: {over} times");
    }
}

fn half_line(scene: &Scene, tension_n: f64, length: f64) -> LinePart {
    let Some(Part::Line(line)) = scene.plan.kit.part("winch-line") else {
        panic!("no line")
    };
    let greatest = line.material.preset().energy_return.2;
    let law = Law::new(&line.curve, line.mbs, &line.condition, line.material)
        .with_energy_return(greatest);
    LinePart {
        length: Length::new(length),
        mass_per_length: line.mass_per_length,
        unloading: law.unloading(law.strain_at(tension_n)),
        diameter: Length::ZERO,
        joint_mass: Mass::ZERO,
    }
}

/// On a bank the ground leans; nothing is lost, and left still mirrors right.
#[test]
fn a_rig_on_a_bank_keeps_its_zone() {
    for slope in [0.2, 0.6, -0.6] {
        let bank = |[x, y, z]: [f64; 3]| [x, y, z + slope * x];
        for scene in [straight(30e3), hmpe_redirect(30e3), bridle(20e3)] {
            let leaning = turned(&scene, bank);
            let (thrown, zone_of) = zone(&leaning);
            assert_eq!(thrown.failed + part(&leaning).failed, 0);
            let (_, other) = zone(&turned(&leaning, |[x, y, z]| [x, -y, z]));
            let back: Vec<_> = other.corners.iter().map(|c| (c.0, -c.1)).collect();
            close(&zone_of.corners, &back);
        }
    }
}

#[test]
fn dampers_count_on_a_single_line_between_the_vehicles_alone() {
    let speed = |scene: &Scene| named(&part(scene), "bow-1").flights[0].speed.get();
    let damped = |mut scene: Scene| {
        scene.plan.kit.dampers.push(Damper {
            name: "bag".into(),
            mass: Mass::new(10.0),
            place: 0.0,
            drag_area: Area::new(0.05),
            slips_at: Force::from_kn(2.0),
        });
        scene
    };
    let bare = speed(&straight(30e3));
    assert!(speed(&damped(straight(30e3))) < 0.9 * bare);
    let bent = hmpe_redirect(30e3);
    assert_eq!(speed(&damped(bent.clone())), speed(&bent));
}

/// All the energy that came free in the last half metre is the most that a crack can have.
#[test]
fn closed_form_bound_of_a_crack_and_its_place() {
    for scene in [straight(30e3), hmpe_redirect(30e3)] {
        let found = part(&scene);
        let Some(Part::Line(line)) = scene.plan.kit.part("winch-line") else {
            panic!("no line")
        };
        let half_metre_kg = 0.5 * line.mass_per_length.get();
        let mut seen = 0;
        let lines = found.list.iter().filter(|p| p.name == "winch-line");
        for flight in lines.flat_map(|p| &p.flights) {
            let (Some(crack), None) = (flight.crack, flight.inside) else {
                continue;
            };
            // The strap of the block goes slack with it; it is another line.
            if !flight.what.contains("main") {
                continue;
            }
            seen += 1;
            // All the line behind the end throws it: round the block both halves of the
            // redirect's line, away from the block its own.
            let all = named(&found, "winch-line").freed[0].energy.get();
            let away_from_block =
                scene.graph.nodes.len() > 2 && !flight.what.contains("to block-1");
            let behind = if away_from_block { 0.5 * all } else { all };
            let bound = (2.0 * behind / half_metre_kg).sqrt();
            assert!(
                (crack.at_most.get() / bound - 1.0).abs() < 0.01,
                "{crack:?} {bound}"
            );
            assert!(crack.at_least <= crack.at_most && crack.at_least.get() > 0.0);
            // No further from where it let go than its own part of line and as much again.
            let [x, y, z] = crack.place_m;
            let away = libm::hypot(x - flight.from_m[0], y - flight.from_m[1]);
            assert!(z >= 0.0 && away < 2.0 * 20.0 + 1.5, "{away}");
        }
        assert!(seen >= 2, "{seen} cracks");
    }
}

#[test]
fn a_higher_criterion_lies_within_a_lower_one_and_begins_where_it_leaves() {
    for scene in [straight(30e3), hmpe_redirect(30e3), bridle(20e3)] {
        let mut seen = 0;
        for flight in part(&scene).list.iter().flat_map(|p| &p.flights) {
            for ways in [&flight.over, &flight.over_off_line] {
                let size = |w: &steadypull_engine::letgo::rig::WayOver| {
                    libm::hypot(w.to_m.0 - w.from_m.0, w.to_m.1 - w.from_m.1)
                };
                if let [low, high] = ways.as_slice() {
                    seen += 1;
                    assert!(low.criterion < high.criterion);
                    assert!(size(high) <= size(low) + 1e-9, "{low:?} {high:?}");
                    assert!(low.lowest <= high.lowest && low.highest >= high.highest);
                }
            }
            // What is thrown is over a criterion from the start, or never.
            if flight.sort == FlightSort::Thrown {
                let first = flight.over_off_line.first();
                assert_eq!(first.is_some(), flight.energy.get() >= 15.0, "{flight:?}");
                if let Some(way) = first {
                    let (x, y) = (
                        way.from_m.0 - flight.from_m[0],
                        way.from_m.1 - flight.from_m[1],
                    );
                    assert!(libm::hypot(x, y) < 1e-9, "{flight:?}");
                }
            }
        }
        assert!(seen >= 2, "{seen} ways over both");
    }
}

/// A line of 45 m from the casualty round a block 20 m off and on for 20 m to the winch.
#[test]
fn a_stated_place_lies_in_one_part_of_a_line_that_goes_round_a_block() {
    let tails = |share: f64| -> Vec<(String, f64)> {
        let mut scene = hmpe_redirect(30e3);
        for part in &mut scene.plan.kit.parts {
            if let Part::Line(line) = part
                && line.name == "winch-line"
            {
                line.parts_at = Some(share);
            }
        }
        let found = part(&scene);
        let lines = found.list.iter().filter(|p| p.name == "winch-line");
        let tails = lines.flat_map(|p| p.flights.iter().map(|f| (p.at.clone(), f.inside)));
        tails
            .filter_map(|(at, inside)| Some((at, inside?.get())))
            .collect()
    };
    for (share, at) in [
        (0.1, "casualty.rear to block-1"),
        (0.6, "block-1 to tug.winch"),
    ] {
        let found = tails(share);
        assert_eq!(found.len(), 2, "both halves fly: {found:?}");
        for (where_, at_m) in &found {
            assert_eq!(where_, at);
            assert!((at_m - share * 45.0).abs() < 1e-6, "{at_m}");
        }
    }
    // The last of it is on the drum.
    assert!(tails(0.95).is_empty());
}
