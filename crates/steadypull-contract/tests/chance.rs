//! A study by chance: laws, a known answer, threads, interrupts, stated ranges.

use std::sync::atomic::{AtomicBool, Ordering};

use steadypull_contract::answer::{Chance, ChanceProbability, StoppedBy};
use steadypull_contract::{ChanceError, ChanceOptions, ChanceRuns, chance};
use steadypull_engine::chance::LogNormal;
use steadypull_engine::gear::block::capstan_ratio;
use steadypull_engine::units::{Angle, G, Mass};

/// A steady tow with little that is uncertain: no spread of grip, level firm ground.
const TOW: &str = r#"
[casualty]
mass = "2.4 t"
sits_in = "SOIL"
DEPTH

[casualty.point.front]
kind = "rated"
wll = "4 t"
mbs = "12 t"

[tug]
mass = "2.6 t"
surface = "grass"
grip = 0.25
grip_spread = 0.0
rolling = 0.05

[tug.point.rear]
kind = "rated"
wll = "4 t"
mbs = "12 t"

[line.strap]
material = "polyester-webbing"
length = "8 m"
mbs = "STRENGTH"

[rig]
method = "steady-tow"
path = ["casualty.front", "strap", "tug.rear"]
"#;

fn tow(soil: &str, depth: &str, strength: &str) -> String {
    TOW.replace("SOIL", soil)
        .replace("DEPTH", depth)
        .replace("STRENGTH", strength)
}

fn options(draws: u64, threads: usize) -> ChanceOptions {
    ChanceOptions {
        runs: ChanceRuns::Count(draws),
        drivers: false,
        threads: Some(threads),
        ..ChanceOptions::default()
    }
}

fn study(text: &str, options: &ChanceOptions) -> Chance {
    let never = AtomicBool::new(false);
    chance(text, options, &mut |_| (), &never).unwrap_or_else(|e| panic!("{e}"))
}

fn example(name: &str) -> String {
    let path = format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("the example is there")
}

/// Twice the stated half width: one study in a thousand is outside, and the seed is
/// fixed.
fn near(found: &ChanceProbability, exact: f64) -> bool {
    (found.estimate - exact).abs() <= found.high - found.low
}

#[test]
fn closed_form_of_a_tow_whose_terms_are_all_log_normal() {
    let found = study(&tow("firm", "", "12 t"), &options(1024, 2));
    // Rolling resistance and both masses are log-normal, and all else is known: the
    // pull brought, (mu - f) times the tug's weight, over the resistance is log-normal.
    let weight = |t: f64| Mass::from_t(t).weight().get();
    let rolling = found.resistance_n.as_ref().expect("it resists");
    let brings = (0.25 - 0.05) * weight(2.6);
    let share = rolling
        .at
        .iter()
        .find(|q| q.level == 0.5)
        .expect("the middle");
    let median = share.value;
    let spread = f64::sqrt(0.2 * 0.2 + 0.05 * 0.05 + 0.05 * 0.05);
    let exact = LogNormal::new(median_of_rolling(2.4), spread).probability_below(brings);
    let moves = found.moves.expect("a pull");
    assert!(near(&moves, exact), "{moves:?} {exact}");
    assert!(
        (median / median_of_rolling(2.4) - 1.0).abs() < 0.02,
        "{median}"
    );
    let high = rolling.at.iter().find(|q| q.level == 0.95).expect("95 %");
    let exact = LogNormal::new(median_of_rolling(2.4), f64::sqrt(0.0425)).quantile(0.95);
    assert!(high.low.unwrap() <= exact * 1.01 && exact <= high.high.unwrap() * 1.01);
}

/// Rolling resistance over firm ground, as the situation has it.
fn median_of_rolling(tonnes: f64) -> f64 {
    use steadypull_engine::plan::Soil;
    let share = steadypull_engine::situation::soil_facts(Soil::Firm).rolling;
    share * tonnes * 1000.0 * G
}

#[test]
fn more_mire_never_moves_more_often() {
    let mut last = u64::MAX;
    for depth in ["0.10 m", "0.25 m", "0.40 m", "0.60 m"] {
        let text = tow("mud", &format!("depth = \"{depth}\""), "12 t");
        let hits = study(&text, &options(128, 2)).moves.expect("a pull").hits;
        assert!(hits <= last, "{depth}: {hits} after {last}");
        last = hits;
    }
    assert!(last < 128);
}

#[test]
fn stronger_parts_never_let_go_more_often() {
    let mut last = u64::MAX;
    for strength in ["0.3 t", "0.5 t", "0.8 t", "1.2 t"] {
        let text = tow("mud", "depth = \"0.3 m\"", strength);
        let lets_go = study(&text, &options(128, 2)).lets_go.expect("stated");
        assert!(
            lets_go.hits <= last,
            "{strength}: {} after {last}",
            lets_go.hits
        );
        last = lets_go.hits;
    }
    assert!(last < 128);
}

#[test]
fn the_first_to_go_are_all_that_let_go_and_none_is_never() {
    let found = study(&tow("mud", "depth = \"0.3 m\"", "0.5 t"), &options(256, 2));
    let lets_go = found.lets_go.expect("stated");
    let first: u64 = found.first_to_go.iter().map(|f| f.probability.hits).sum();
    assert!(lets_go.hits > 0 && first == lets_go.hits);
    assert_eq!(found.first_to_go[0].part, "strap");
    let never = found.first_to_go.last().expect("three parts").probability;
    assert!(never.hits == 0 && never.high > 0.0 && never.low == 0.0);
    assert!(found.findings.iter().any(|f| f.code == "parting-likely"));
    assert!(
        found.headline.starts_with("DO NOT PULL"),
        "{}",
        found.headline
    );
}

#[test]
fn one_thread_and_two_give_the_same_bytes() {
    let text = example("tree-double-line");
    let on = |threads| {
        let asked = ChanceOptions {
            drivers: true,
            ..options(128, threads)
        };
        serde_json::to_string(&study(&text, &asked)).expect("it prints")
    };
    assert_eq!(on(1), on(2));
}

#[test]
fn an_interrupt_tells_what_there_is() {
    let text = example("tree-double-line");
    let stop = AtomicBool::new(false);
    let asked = ChanceOptions {
        drivers: false,
        ..ChanceOptions::default()
    };
    let cut = chance(
        &text,
        &asked,
        &mut |_| stop.store(true, Ordering::Relaxed),
        &stop,
    );
    let cut = cut.expect("one block was done");
    assert_eq!(cut.sample.stopped, StoppedBy::Interrupt);
    let whole = study(&text, &options(cut.sample.draws, 1));
    assert_eq!((cut.moves, &cut.peak_n), (whole.moves, &whole.peak_n));
    assert!(cut.notes.iter().any(|n| n.starts_with("INTERRUPTED")));
    let at_once = chance(&text, &asked, &mut |_| (), &stop);
    assert!(matches!(at_once, Err(ChanceError::Interrupted)));
}

#[test]
fn what_the_plan_states_takes_the_place_of_what_is_assumed() {
    let text = tow("firm", "", "12 t").replace("mass = \"2.4 t\"", "mass = \"2.0 t to 2.8 t\"");
    let found = study(&text, &options(512, 2));
    let of: Vec<_> = found
        .variables
        .iter()
        .filter(|v| v.key == "casualty.mass")
        .collect();
    assert_eq!(of.len(), 1);
    assert!(!of[0].assumed && of[0].source.starts_with("the plan"));
    assert_eq!(found.sample.failed, 0);
    // The mass is even between its bounds: the resistance spreads with it, by a tenth of
    // itself; a quantile of 128 draws would be as uncertain as that.
    let plain = study(&tow("firm", "", "12 t"), &options(512, 2));
    let wide = |c: &Chance| {
        let at = &c.resistance_n.as_ref().expect("it resists").at;
        at[2].value / at[0].value
    };
    assert!(
        wide(&found) > 1.02 * wide(&plain),
        "{} {}",
        wide(&found),
        wide(&plain)
    );
}

#[test]
fn the_zone_is_never_smaller_than_the_rule() {
    let found = study(&tow("mud", "depth = \"0.3 m\"", "12 t"), &options(128, 2));
    let zone = &found.zone;
    let away = |p: &steadypull_contract::answer::PlanPoint| {
        let x = p.x_m - p.x_m.clamp(0.0, 8.0);
        (x * x + p.y_m * p.y_m).sqrt()
    };
    for corners in [&zone.inner, &zone.corners, &zone.outer] {
        assert!(corners.iter().all(|c| away(c) >= zone.rule_m - 1e-9));
    }
    assert!(zone.furthest_inner_m <= zone.furthest_m && zone.furthest_m <= zone.furthest_outer_m);
}

#[test]
fn without_a_rig_it_tells_what_the_tug_decides() {
    let bare = "[casualty]\nmass = \"2.4 t\"\nsits_in = \"firm\"\n\
                [tug]\nmass = \"2.6 t\"\nsurface = \"grass\"\ngrip = 0.25\n\
                grip_spread = 0.0\nrolling = 0.05\n";
    let found = study(bare, &options(1024, 2));
    assert!(found.moves.is_none() && found.method.is_none() && found.peak_n.is_none());
    assert!(found.rig.is_empty() && found.flights.is_empty() && found.first_to_go.is_empty());
    // The same closed form as with a rig: nothing of it is the rig's.
    let weight = |t: f64| Mass::from_t(t).weight().get();
    let brings = (0.25 - 0.05) * weight(2.6);
    let spread = f64::sqrt(0.2 * 0.2 + 0.05 * 0.05 + 0.05 * 0.05);
    let exact = LogNormal::new(median_of_rolling(2.4), spread).probability_below(brings);
    let tow = &found.by_method[0];
    assert!(near(&tow.moves, exact) && !tow.dug_first, "{tow:?} {exact}");
    let at = &found.resistance_n.as_ref().expect("it resists").at;
    let middle = at.iter().find(|q| q.level == 0.5).expect("the middle");
    assert!((middle.value / median_of_rolling(2.4) - 1.0).abs() < 0.02);
    let said = found.not_said.join(" ");
    assert!(
        said.contains("steady-tow:") && said.contains("kinetic:"),
        "{said}"
    );
    let never = AtomicBool::new(false);
    let none = chance(bare, &options(0, 1), &mut |_| (), &never);
    assert!(matches!(none, Err(ChanceError::Options(_))));
}

/// A straight way without edges, own brakes or spreads but those at hand.
fn bank(turns: f64, belay: &str) -> String {
    let text = example("steep-bank-lowering");
    let from = text.find("\n[lowering]\n").expect("it lowers");
    format!(
        "{}\n[lowering]\nway = [[\"40 m\", \"28 deg\"]]\nedge_radius = \"0 m\"\n\
         from = \"2 m\"\nto = \"30 m\"\nwheelbase = \"2.75 m\"\nsurface = \"dry-earth\"\n\
         rolling = 0.05\nrolling_spread = 0.0\nmass_spread = 0.05\n\
         [lowering.main]\nline = \"lowering-rope\"\npoint = \"casualty.rear-left\"\n\
         through = [\"bow-1\"]\nby = \"turns\"\nround = \"post\"\nturns = {turns}\n\
         friction = 0.2\nfriction_spread = 0.3\nhand_limit = \"200 N\"\n\
         anchor = \"ironbark\"\nanchor_back = \"8 m\"\nanchor_height = \"0.75 m\"\n{belay}\n",
        &text[..from]
    )
}

#[test]
fn closed_form_of_a_vehicle_held_on_one_slope() {
    // T = W (sin a - c cos a), held by turns whose hold is H exp(mu 2 pi n): the chance
    // that a log-normal mass asks for less than a log-normal friction holds, by a sum
    // over the friction.
    let turns = 3.0;
    let found = study(&bank(turns, ""), &options(2048, 2));
    let held = found.lowering.as_ref().expect("it lowers");
    let slope = Angle::from_deg(28.0);
    let median = Mass::from_t(2.4).weight().get() * (slope.sin() - 0.05 * slope.cos());
    let middle = held
        .asked_n
        .at
        .iter()
        .find(|q| q.level == 0.5)
        .expect("50 %");
    assert!(
        (middle.value / median - 1.0).abs() < 0.02,
        "{middle:?} {median}"
    );
    let mu = LogNormal::new(0.2, 0.3);
    let mass = LogNormal::new(1.0, 0.05);
    let exact: f64 = (0..2000)
        .map(|i| mu.quantile((f64::from(i) + 0.5) / 2000.0))
        .map(|mu| 200.0 * capstan_ratio(mu, Angle::from_deg(360.0 * turns)))
        .map(|holds| mass.probability_below(holds / median))
        .sum::<f64>()
        / 2000.0;
    assert!(
        found.summary.iter().all(|s| !s.contains("pulls")),
        "{:?}",
        found.summary
    );
    assert!(near(&held.held, exact), "{:?} {exact}", held.held);
    assert!(held.belay.is_none());
    assert!(
        found
            .not_said
            .iter()
            .any(|s| s.contains("the plan has none"))
    );
    assert!(found.not_said.iter().any(|s| s.contains("not laid out")));
    assert!(!found.zone.computed_governs && found.sample.let_go_runs == 0);
}

#[test]
fn more_turns_never_hold_less_often_and_more_slack_never_catches_softer() {
    let held = |turns| {
        let found = study(&bank(turns, ""), &options(128, 2));
        found.lowering.expect("it lowers").held.hits
    };
    let counts: Vec<u64> = [1.5, 2.0, 2.5, 3.0, 4.0].into_iter().map(held).collect();
    assert!(counts.is_sorted() && counts[0] < counts[4], "{counts:?}");
    let belay = |slack: f64, from: &str, to: &str| {
        let text = format!(
            "[lowering.belay]\nline = \"belay-rope\"\npoint = \"casualty.rear-right\"\n\
             anchor = \"second-ironbark\"\nanchor_back = \"10 m\"\nslack = \"{slack} m\"\n"
        );
        let found = study(&bank(4.0, &text).replace(from, to), &options(128, 2));
        (found.lowering.unwrap().belay.unwrap(), found.not_said)
    };
    let mut last = 0.0;
    for slack in [0.1, 0.5, 1.0, 2.0] {
        let (found, _) = belay(slack, "\n[people]", "\n[people]");
        let high = found.peak_n.at.last().unwrap().value;
        assert!(high > last, "{slack} m: {high} after {last}");
        last = high;
    }
    // Nobody says what the point bears: that is said, and the rest still told.
    let stated =
        "[casualty.point.rear-right]\nkind = \"rated\"\nwll = \"4.5 t\"\nmbs = \"13.5 t\"\n";
    let bare = stated.replace("mbs = \"13.5 t\"\n", "");
    let (found, not_said) = belay(0.5, stated, &bare);
    assert!(found.holds.is_none() && found.stops.draws == 128);
    let said = not_said.join(" ");
    assert!(
        said.contains("strength of casualty.rear-right is not stated"),
        "{said}"
    );
}

#[test]
fn a_lowering_on_the_winch_tells_what_its_brake_holds() {
    let text = example("steep-bank-lowering")
        .replace(
            "by = \"turns\"\nround = \"tree\"\nturns = 4\n",
            "by = \"winch\"\n",
        )
        .replace(
            "anchor = \"ironbark\"\nanchor_back = \"8 m\"",
            "anchor = \"tug\"\nanchor_back = \"8 m\"",
        )
        .replace(
            "[anchor.ironbark]",
            "[tug.winch]\nrated_pull = \"4 t\"\nline = \"lowering-rope\"\n\n[anchor.ironbark]",
        );
    let from = text.find("# The same rig").expect("it is laid out");
    let to = text.find("[people]").expect("people");
    let text = format!("{}{}", &text[..from], &text[to..]);
    let found = study(&text, &options(128, 2));
    let keys: Vec<&str> = found.variables.iter().map(|v| v.key.as_str()).collect();
    assert!(keys.contains(&"tug.winch.rated_pull"), "{keys:?}");
    assert!(!keys.contains(&"lowering.main.friction"));
    assert_eq!(found.lowering.as_ref().expect("it lowers").held.draws, 128);
    assert!(
        found.rig.iter().any(|part| part == "tug"),
        "{:?}",
        found.rig
    );
}

#[test]
fn a_slope_given_as_a_range_spreads_the_holding_force() {
    let ranged = bank(4.0, "").replace("\"28 deg\"", "\"24 deg to 32 deg\"");
    let found = study(&ranged, &options(1024, 2));
    assert_eq!(found.sample.failed, 0);
    let key = "lowering.way.1.slope";
    assert!(found.variables.iter().any(|v| v.key == key && !v.assumed));
    // W m (sin a - c cos a) over an even slope and a log-normal mass, on a fine grid.
    let weight = Mass::from_t(2.4).weight().get();
    let mass = LogNormal::new(1.0, 0.05);
    let cells = 300;
    let level = |i: i32| (f64::from(i) + 0.5) / f64::from(cells);
    let mut all: Vec<f64> = (0..cells * cells)
        .map(|k| {
            let slope = Angle::from_deg(24.0 + 8.0 * level(k % cells));
            weight * mass.quantile(level(k / cells)) * (slope.sin() - 0.05 * slope.cos())
        })
        .collect();
    all.sort_by(f64::total_cmp);
    for q in &found.lowering.expect("it lowers").asked_n.at {
        let exact = all[(q.level * all.len() as f64) as usize];
        assert!((q.value / exact - 1.0).abs() < 0.02, "{q:?} {exact}");
    }
}

/// A kinetic pull whose tug and casualty have a mesh guard of `joules` before all glass.
fn guarded(joules: f64) -> Chance {
    let guard = |who: &str| {
        format!(
            "\n[{who}.body.screen_guard]\nwhat = \"mesh guard\"\nover = \"both\"\n\
             rated_energy = \"{joules} J\"\n"
        )
    };
    let text = example("uphill-sand");
    study(
        &(text + &guard("tug") + &guard("casualty")),
        &options(256, 2),
    )
}

#[test]
fn what_is_struck_is_told_with_intervals() {
    let sure = |p: &ChanceProbability| p.low <= p.estimate && p.estimate <= p.high && p.high > 0.0;
    let mut last = 0.0;
    for joules in [1.0, 60.0, 250.0, 1e5] {
        let found = guarded(joules);
        let all = found.if_a_part_lets_go.expect("something flies");
        let struck = all.at_vehicle.expect("it flies to a vehicle");
        assert!(sure(&struck.strikes) && sure(&struck.strikes_screen));
        assert!(sure(&struck.over_injury));
        assert!(struck.strikes_screen.hits <= struck.strikes.hits);
        assert!(struck.strikes.hits < struck.strikes.draws, "{struck:?}");
        assert_eq!(struck.injury_energy_j, 79.0);
        assert!(struck.strikes_screen.hits > 0, "{struck:?}");
        let high = struck.screen_energy_j.expect("one struck").at;
        assert!(high.is_sorted_by(|a, b| a.value <= b.value));
        // The tug alone has a guard: what flies at it is what it is asked of.
        let holds = struck.guard_holds.expect("it is struck");
        assert!(holds.draws <= struck.strikes_screen.hits && sure(&holds));
        assert!(holds.estimate >= last, "{joules} J: {holds:?} after {last}");
        last = holds.estimate;
        // Each thing apart adds up to all.
        let of = |f: &steadypull_contract::answer::ChanceFlight| {
            f.at_vehicle.as_ref().map_or(0, |v| v.strikes_screen.hits)
        };
        assert_eq!(
            found.flights.iter().map(of).sum::<u64>(),
            struck.strikes_screen.hits
        );
    }
    assert_eq!(last, 1.0, "all is held");
    let none = study(&example("uphill-sand"), &options(128, 2));
    let struck = none.if_a_part_lets_go.and_then(|f| f.at_vehicle);
    assert!(struck.expect("it flies to a vehicle").guard_holds.is_none());
}

#[test]
fn the_winch_and_the_stretch_are_drawn_and_named() {
    let found = study(&example("tree-double-line"), &options(128, 2));
    let of = |key: &str| found.variables.iter().find(|v| v.key == key);
    let winch = of("tug.winch.rated_pull").expect("the winch is drawn");
    assert!(
        winch.assumed && winch.low < 0.9 && winch.high > 1.1,
        "{winch:?}"
    );
    let stretch = found.variables.iter().find(|v| v.key.ends_with(".stretch"));
    let stretch = stretch.expect("the stretch is drawn");
    assert!(stretch.assumed && stretch.median == 1.0, "{stretch:?}");
    // What the plan states takes its place.
    let text = example("tree-double-line")
        .replace("rated_pull = \"", "rated_pull = \"4 t to 4.6 t\" # \"");
    let stated = study(&text, &options(128, 2));
    let winch: Vec<_> = stated
        .variables
        .iter()
        .filter(|v| v.key == "tug.winch.rated_pull")
        .collect();
    assert!(winch.len() == 1 && !winch[0].assumed, "{winch:?}");
}
