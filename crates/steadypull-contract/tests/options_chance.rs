//! Verdicts by probability: laws that hold on common draws, and closed forms.

use proptest::prelude::*;
use steadypull_contract::EXAMPLES;
use steadypull_contract::answer::{Answer, RungVerdict};
use steadypull_contract::answer_plan;
use steadypull_contract::plan_file::read_plan;
use steadypull_engine::chance::{LogNormal, normal_cdf};
use steadypull_engine::options::{Happens, Ladder, PullChances, Rung, Window, ladder};
use steadypull_engine::plan::{Method, Plan};
use steadypull_engine::pull::PullError;
use steadypull_engine::pull::many::{InTurn, Marks, Numbered, Pulls};
use steadypull_engine::rig::loads::strength;
use steadypull_engine::units::{Length, Speed};

fn example(name: &str) -> &'static str {
    let found = EXAMPLES.iter().find(|(n, _)| *n == name);
    found.expect("an example of that name").1
}

fn plan(text: &str) -> Plan {
    read_plan(text).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"))
}

fn laddered(plan: &Plan) -> Ladder {
    ladder(plan, &InTurn).unwrap()
}

fn rung(ladder: &Ladder, method: Method) -> &Rung {
    let found = ladder.rungs.iter().find(|r| r.method == method);
    found.expect("a rung for every method")
}

fn chances(plan: &Plan) -> PullChances {
    laddered(plan).kinetic.expect("a kinetic rig").chances
}

/// A strap pull with a few figures to vary.
fn kinetic_plan(tug_t: f64, casualty_t: f64, line_m: f64, mbs_t: f64, sunk: &str) -> String {
    format!(
        r#"
[casualty]
mass = "{casualty_t:.2} t"
sits_in = "clay"
sunk_to = "{sunk}"
[casualty.point.rear]
kind = "rated"
wll = "4.5 t"
mbs = "13.5 t"
[tug]
mass = "{tug_t:.2} t"
surface = "gravel"
[tug.point.rear]
kind = "rated"
wll = "4.5 t"
mbs = "13.5 t"
[line.strap]
material = "nylon-webbing"
length = "{line_m:.1} m"
mbs = "{mbs_t:.1} t"
[shackle.soft-1]
kind = "soft"
mbs = "15 t"
[shackle.soft-2]
kind = "soft"
mbs = "15 t"
[rig]
method = "kinetic"
path = ["casualty.rear", "soft-1", "strap", "soft-2", "tug.rear"]
"#
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(8) })]

    /// Each draw's peak rises with the run-up, so nothing that it decides gets less
    /// likely. Two things may fall for a draw here and there, and must stay a few in a
    /// hundred. Movement: after a faster run-up the tug is stopped sooner and its drive
    /// works for less time. Braking of the tug: one that is stopped short of shifting
    /// the casualty loses its drive, and is drawn back harder than one that shifts it.
    #[test]
    fn harm_never_falls_with_speed(
        tug in 2.0..4.0, casualty in 1.5..3.5, line in 5.0..12.0, mbs in 6.0..12.0,
        sunk in prop::sample::select(vec!["wheel", "guard"]),
    ) {
        let chances = chances(&plan(&kinetic_plan(tug, casualty, line, mbs, sunk)));
        let speeds = chances.speeds();
        for pair in speeds.windows(2) {
            let middle = (pair[0] + pair[1]) * 0.5;
            for (slow, fast) in [(pair[0], middle), (middle, pair[1])] {
                for what in [Happens::PassesWll, Happens::LetsGo, Happens::PastAllowed(2)] {
                    let (a, b) = (chances.value(what, slow), chances.value(what, fast));
                    prop_assert!(b >= a - 1e-12, "{what:?} {a} at {slow:?}, {b} at {fast:?}");
                }
                for what in [Happens::Shifts, Happens::PastPeople] {
                    let (a, b) = (chances.value(what, slow), chances.value(what, fast));
                    prop_assert!(b >= a - 0.05, "{what:?} {a} at {slow:?}, {b} at {fast:?}");
                }
            }
        }
    }
}

/// Ends of the window; nothing where it is empty.
fn ends(window: &Window) -> Option<(f64, f64)> {
    let ends = window.least.zip(window.greatest);
    ends.filter(|_| !window.is_empty())
        .map(|(a, b)| (a.get(), b.get()))
}

/// A change to a plan.
type Change<'a> = &'a dyn Fn(&mut Plan);

#[test]
fn a_tighter_policy_never_widens_the_window() {
    let text = kinetic_plan(3.5, 1.2, 12.0, 11.0, "wheel").replace("4.5 t", "6 t");
    let base = plan(&text);
    let window = |change: &dyn Fn(&mut Plan)| {
        let mut plan = base.clone();
        change(&mut plan);
        ends(&laddered(&plan).kinetic.unwrap().window)
    };
    let (least, greatest) = window(&|_| ())
        .unwrap_or_else(|| panic!("{:?}", laddered(&base).kinetic.map(|k| k.window)));
    let tighter: [(&str, Change); 7] = [
        ("shift", &|p| p.policy.shift_probability = 0.95),
        ("wll", &|p| p.policy.wll_probability = 0.001),
        ("parting", &|p| p.policy.parting_probability = 1e-6),
        ("design", &|p| p.policy.design_quantile = 0.99),
        ("factor", &|p| p.policy.kinetic_design_factor = 2.5),
        ("people", &|p| p.policy.max_occupant_g = 0.7),
        ("rule", &|p| p.policy.max_run_up = Speed::from_kmh(6.0)),
    ];
    let mut narrower = 0;
    for (name, change) in tighter {
        let Some((low, high)) = window(change) else {
            narrower += 1;
            continue;
        };
        // The rule moves the speeds pulled at, and with them what lies between.
        assert!(
            low >= least - 0.05 && high <= greatest + 0.02,
            "{name}: {low} to {high}"
        );
        narrower += usize::from(low > least + 0.02 || high < greatest - 0.02);
    }
    assert!(narrower >= 4, "{narrower} of 7 made a difference");
}

#[test]
fn sure_lies_in_found_and_found_in_possible() {
    for (tug, sunk) in [(2.9, "wheel"), (3.5, "guard"), (2.4, "wheel")] {
        let plan = plan(&kinetic_plan(tug, 2.6, 9.0, 9.0, sunk));
        let window = laddered(&plan).kinetic.unwrap().window;
        let found = ends(&window);
        if let Some(sure) = window.sure {
            let (low, high) = found.expect("what is sure is found");
            assert!(sure.0.get() >= low - 0.011 && sure.1.get() <= high + 0.011);
        }
        if let Some((low, high)) = found {
            let possible = window.possible.expect("what is found is possible");
            assert!(possible.0.get() <= low + 0.011 && possible.1.get() >= high - 0.011);
        }
    }
}

/// Pulls on two threads, dealt out in turn.
struct OnTwo;

impl Pulls for OnTwo {
    fn run(&self, count: usize, one: Numbered) -> Vec<Result<Marks, PullError>> {
        let half = |k: usize| -> Vec<_> { (k..count).step_by(2).map(|i| (i, one(i))).collect() };
        let mut all = std::thread::scope(|scope| {
            let other = scope.spawn(|| half(1));
            let mut all = half(0);
            all.extend(other.join().unwrap());
            all
        });
        all.sort_by_key(|(i, _)| *i);
        all.into_iter().map(|(_, marks)| marks).collect()
    }
}

#[test]
fn one_and_two_threads_give_the_same_bits() {
    for name in ["guard-deep-clay", "uphill-sand", "rock-held"] {
        let plan = plan(example(name));
        assert_eq!(ladder(&plan, &InTurn), ladder(&plan, &OnTwo), "{name}");
    }
}

/// A tow of a casualty in sand to its guards: the mire is the only term.
fn tow_plan(tug: &str, wll: &str, mbs: &str) -> Plan {
    plan(&tow_text(tug, wll, mbs))
}

fn tow_text(tug: &str, wll: &str, mbs: &str) -> String {
    format!(
        r#"
[casualty]
mass = "2.6 t"
sits_in = "soft-sand"
sunk_to = "guard"
[casualty.point.rear]
kind = "rated"
wll = "{wll}"
mbs = "{mbs}"
[tug]
mass = "{tug}"
surface = "gravel"
grip = 0.7
grip_spread = 0.0
max_drive = "900 kN"
power = "990 kW"
[tug.point.rear]
kind = "rated"
wll = "100 t"
mbs = "200 t"
[line.tow]
material = "polyester-webbing"
length = "10 m"
mbs = "190 t"
[rig]
method = "steady-tow"
path = ["casualty.rear", "tow", "tug.rear"]
"#
    )
}

/// The one term of the resistance: median, N, and spread.
fn mire(ladder: &Ladder) -> (f64, f64) {
    let term = &ladder.found.terms[0];
    assert_eq!(ladder.found.terms.len(), 1);
    (term.size.median, term.size.spread)
}

/// The sample has one value in each of 2048 even slices, so that a probability of one
/// term is right to one slice.
const SLICE: f64 = 1.0 / 2048.0 + 1e-9;

#[test]
fn closed_form_chance_that_a_tow_shifts_it() {
    for tug in ["6 t", "8 t", "10 t"] {
        let ladder = laddered(&tow_plan(tug, "100 t", "200 t"));
        let (median, spread) = mire(&ladder);
        let pull = ladder.tug.steady.median.get();
        let expected = LogNormal::new(median, spread).probability_below(pull);
        let found = rung(&ladder, Method::SteadyTow).shift.unwrap();
        assert!(
            (found - expected).abs() <= SLICE,
            "{tug}: {found}, {expected}"
        );
        assert!(expected > 0.02 && expected < 0.98);
    }
}

#[test]
fn closed_form_chances_of_wll_and_of_letting_go() {
    // A tug that always wins: the load is the resistance itself.
    let ladder = laddered(&tow_plan("40 t", "8 t", "9 t"));
    let (median, spread) = mire(&ladder);
    let tow = rung(&ladder, Method::SteadyTow);
    let point = &tow.path.as_ref().unwrap().links[0];
    let risks = tow.chances.as_ref().unwrap();
    let wll = point.derated_wll().unwrap().get();
    let passes = 1.0 - LogNormal::new(median, spread).probability_below(wll);
    assert!((risks.passes_wll.value - passes).abs() <= SLICE);
    assert!(risks.passes_wll.low <= passes && passes <= risks.passes_wll.high);
    // P(strength < load) of two log-normals.
    let hold = strength(point).unwrap();
    let both = (spread * spread + hold.spread * hold.spread).sqrt();
    let goes = LogNormal::new(hold.median, both).probability_below(median);
    assert!((risks.lets_go.value - goes).abs() <= SLICE, "{goes}");
    assert!(risks.lets_go.low <= goes && goes <= risks.lets_go.high);
    assert!(passes > 0.02 && goes > 0.005);
    assert_eq!(risks.likeliest_to_go.as_deref(), Some("casualty.rear"));
}

/// A fixed end, a straight line, no drive once taut: `F = v sqrt(k m)`, and each of
/// speed, stretch and mass as it is drawn.
#[test]
fn closed_form_chance_that_a_kinetic_pull_passes_a_wll() {
    let text = kinetic_plan(2.9, 2.6, 9.0, 12.0, "wheel")
        .replace(
            "method = \"kinetic\"",
            "method = \"kinetic\"\nslack = \"0 m\"",
        )
        .replace("sunk_to", "held_by = { what = \"rock\" }\nsunk_to")
        .replace(
            "surface = \"gravel\"",
            "surface = \"gravel\"\nrolling = 0.001\nholds_drive = false",
        );
    let plan = plan(&text);
    let study = laddered(&plan).kinetic.unwrap();
    let law = study.path.law().unwrap();
    let stiffness = law.slope(0.001) / study.path.line_length().get();
    let mass = plan.tug.vehicle.mass.get();
    let wll = study.path.links[0].derated_wll().unwrap().get();
    assert_eq!(plan.rig.as_ref().unwrap().slack, Length::ZERO);
    // Stretch 10 % and mass 5 % act by their square roots.
    let spread = (0.05f64 * 0.05 + 0.025 * 0.025).sqrt();
    let mut seen = 0;
    for speed in study.chances.speeds() {
        let about = speed.get() * (stiffness * mass).sqrt();
        // Speed as driven: bell curve, 10 %, cut at 30 %: even steps of its level.
        let mean = |n: usize| {
            let whole = normal_cdf(3.0) - normal_cdf(-3.0);
            let step = 6.0 / n as f64;
            (0..n)
                .map(|i| {
                    let z = -3.0 + (i as f64 + 0.5) * step;
                    let share = (normal_cdf(z + 0.5 * step) - normal_cdf(z - 0.5 * step)) / whole;
                    let peak = about * (1.0 + 0.1 * z);
                    share * (1.0 - LogNormal::new(peak, spread).probability_below(wll))
                })
                .sum::<f64>()
        };
        let expected = if about > 0.0 { mean(600) } else { 0.0 };
        let found = study.chances.probability(Happens::PassesWll, speed);
        let outside = (found.low - expected).max(expected - found.high);
        assert!(outside < 0.02, "{speed:?}: {found:?}, {expected}");
        seen += usize::from(expected > 0.1 && expected < 0.9);
    }
    assert!(seen > 0, "no speed in the middle of the rise");
}

fn answered(text: &str) -> Answer {
    answer_plan(&plan(text)).unwrap()
}

#[test]
fn an_empty_window_says_do_not_and_names_the_clash() {
    let weak = example("uphill-sand").replace(
        "wll = \"4 t\"\nmbs = \"12 t\"",
        "wll = \"2 t\"\nmbs = \"12 t\"",
    );
    let answer = answered(&weak);
    let pull = answer.pull.kinetic.as_ref().unwrap();
    assert!(pull.window.empty && pull.window.sure_least_m_s.is_none());
    assert!(
        pull.window.words.contains("casualty.front-right"),
        "{}",
        pull.window.words
    );
    let by = pull.window.opened_by.as_ref().unwrap();
    assert!(
        by.contains("casualty.front-right rated") && by.contains("less resistance"),
        "{by}"
    );
    let kinetic = answer.options.ladder.last().unwrap();
    assert_eq!(kinetic.verdict, RungVerdict::RuledOut);
    assert!(
        kinetic.reason.starts_with("do not: at the "),
        "{}",
        kinetic.reason
    );
    let finding = answer
        .findings
        .iter()
        .find(|f| f.code == "window-empty")
        .unwrap();
    assert!(finding.message.contains("do not"));
    assert!(!answer.verdict.within_policy);
}

#[test]
fn a_held_casualty_is_never_pulled_kinetically() {
    let answer = answered(example("rock-held"));
    let pull = answer.pull.kinetic.unwrap();
    assert!(pull.window.empty && pull.at_run_up.shifts.value == 0.0);
    assert!(
        pull.window.words.contains("held fast"),
        "{}",
        pull.window.words
    );
    assert!(pull.at_run_up.lets_go.value > 0.05);
}

#[test]
fn a_rung_is_ruled_out_by_chance_alone_with_its_number() {
    // At the design load the point is inside its working load limit; one pull in
    // fifty or so is not.
    let base = tow_plan("40 t", "12 t", "200 t");
    let ladder_of = |allowed: f64| {
        let mut plan = base.clone();
        plan.policy.wll_probability = allowed;
        laddered(&plan)
    };
    let (lax, strict) = (ladder_of(0.05), ladder_of(0.001));
    let (lax, strict) = (
        rung(&lax, Method::SteadyTow),
        rung(&strict, Method::SteadyTow),
    );
    assert_eq!(
        lax.verdict,
        steadypull_engine::options::Verdict::First,
        "{}",
        lax.reason
    );
    assert_eq!(
        strict.verdict,
        steadypull_engine::options::Verdict::RuledOut
    );
    assert!(
        strict.reason.contains("casualty.rear before others"),
        "{}",
        strict.reason
    );
    let text = tow_text("40 t", "12 t", "200 t") + "[policy]\nwll_probability = \"0.1 %\"\n";
    let answer = answered(&text);
    assert!(answer.findings.iter().any(|f| f.code == "by-chance"));
    assert!(!answer.verdict.within_policy);
    assert!(
        strict.reason.contains("over the 0.1 % allowed"),
        "{}",
        strict.reason
    );
}
