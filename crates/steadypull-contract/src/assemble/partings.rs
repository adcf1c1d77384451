//! The `let_go` area of a rig laid out on the ground.

use std::borrow::Cow;

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::letgo::injury;
use steadypull_engine::letgo::rig::{self, FlightSort, RigLetGo, RigZone};
use steadypull_engine::plan::{Method, Plan};
use steadypull_engine::rig::LaidOut;
use steadypull_engine::units::Force;

use super::ChosenRig;
use super::flying::{body_words, criterion_source, whip_of};
use super::let_go::SHELTER;
use super::standoff::{Lowered, lowering_rule};
use crate::answer::{BreakPlace, Flight, FreedRun, HazardousWay, LetGo, Parting};
use crate::show::Units;

/// Slope from which a casualty that nothing holds rolls away, degrees (assumed:
/// rolling resistance of firm ground is overcome).
const ROLLS_FROM_DEG: f64 = 3.0;

/// The chosen rig on the ground, if it is laid out there.
fn laid_out<'a>(chosen: Option<&ChosenRig<'a>>) -> Option<&'a LaidOut> {
    chosen.and_then(|c| c.path.laid_out.as_ref())
}

/// Its let-go at the greatest load of its method.
/// The let-go of a laid-out rig. That of a lowering keeps the distance of the line
/// that is out at the most, not of what is out where its rig is drawn.
pub(super) fn rig_let_go(
    plan: &Plan,
    chosen: Option<&ChosenRig>,
    lowered: Option<Lowered>,
) -> Option<RigLetGo> {
    let peak = chosen?.rung.peak.unwrap_or(Force::ZERO);
    let laid = laid_out(chosen)?;
    Some(rig::laid_out_let_go(&kept(plan, lowered), laid, peak))
}

/// Its zone by the rule and the bights alone, before anything flies.
pub(super) fn rule_zone(
    plan: &Plan,
    chosen: Option<&ChosenRig>,
    lowered: Option<Lowered>,
) -> Option<RigZone> {
    let peak = chosen?.rung.peak.unwrap_or(Force::ZERO);
    let laid = laid_out(chosen)?;
    Some(rig::laid_out_rule_zone(&kept(plan, lowered), laid, peak))
}

/// The plan with the distance that is kept of it.
fn kept(plan: &Plan, lowered: Option<Lowered>) -> Cow<'_, Plan> {
    let Some(lowered) = lowered else {
        return Cow::Borrowed(plan);
    };
    let mut kept = plan.clone();
    let rule = lowering_rule(plan, lowered).0;
    kept.policy.standoff_min = plan.policy.standoff_min.max(rule);
    Cow::Owned(kept)
}

pub(super) fn let_go(plan: &Plan, found: &RigLetGo) -> LetGo {
    let list = found.partings.list.as_slice();
    LetGo {
        load_case: "each part lets go at the load of the pull, or at its own strength if that is less; lines give back the most of their energy-return range; a line that parts inside does so where the plan says, or where most leaves of five places along it; only a single line from casualty to tug has its dampers counted".into(),
        cases: Vec::new(),
        faces: Vec::new(),
        partings: list.iter().map(|p| parting(plan, p)).collect(),
        worst: worst(list).map(|p| p.name.clone()),
        injury_energy_j: plan.policy.injury_energy.get(),
        injury_source: injury::FRAGMENT_SOURCE.name.into(),
        shelter: SHELTER.into(),
        missing: list
            .is_empty()
            .then(|| "nothing in the rig carries load".into()),
    }
}

fn worst(list: &[rig::Parting]) -> Option<&rig::Parting> {
    list.iter()
        .max_by(|a, b| a.times_injury.total_cmp(&b.times_injury))
}

fn parting(plan: &Plan, found: &rig::Parting) -> Parting {
    let [x_m, y_m, z_m] = found.place_m;
    Parting {
        part: found.name.clone(),
        what: found.words.clone(),
        at: found.at.clone(),
        x_m,
        y_m,
        z_m,
        load_n: found.load.get(),
        released_energy_j: found.released.get(),
        freed: found
            .freed
            .iter()
            .map(|f| FreedRun {
                run: f.name.clone(),
                tension_n: f.tension.get(),
                energy_j: f.energy.get(),
            })
            .collect(),
        holding: found.holding.words.clone(),
        runs_left: found.holding.runs.clone(),
        casualty_held_by: found.holding.casualty_by.clone(),
        slack_m: found.holding.slack_m,
        flights: found.flights.iter().map(|f| flight(plan, f)).collect(),
        side: found.side.clone(),
        times_injury: found.times_injury,
    }
}

pub(super) fn flight(plan: &Plan, found: &rig::Flight) -> Flight {
    Flight {
        what: found.what.clone(),
        thrown: found.sort == FlightSort::Thrown,
        mass_kg: found.mass.get(),
        from_x_m: found.from_m[0],
        from_y_m: found.from_m[1],
        heading_deg: found.heading().to_deg(),
        climb_deg: found.climb().to_deg(),
        speed_m_s: found.speed.get(),
        energy_j: found.energy.get(),
        upper_bound: found.bound,
        lands_x_m: found.lands_m.map(|p| p.0),
        lands_y_m: found.lands_m.map(|p| p.1),
        runs_on_m: runs_on(found),
        strikes_vehicle: found.strike.map(|(at, _)| super::load_path::side(at)),
        strike: found.strike.map(|(at, strike)| {
            let shape = &super::flying::vehicle(plan, at).shape;
            super::flying::strike_on(shape, found.mass, &strike)
        }),
        inside_at_m: found.inside.map(|m| m.get()),
        places: found
            .places
            .iter()
            .map(|p| BreakPlace {
                at_m: p.at.get(),
                speed_m_s: p.speed.get(),
                energy_j: p.energy.get(),
            })
            .collect(),
        whip: found.crack.as_ref().map(whip_of),
        hazardous: found.over.iter().map(hazardous).collect(),
        hazardous_off_line: found.over_off_line.iter().map(hazardous).collect(),
        side: found.side.clone(),
    }
}

fn hazardous(over: &rig::WayOver) -> HazardousWay {
    let ((from_x_m, from_y_m), (to_x_m, to_y_m)) = (over.from_m, over.to_m);
    let (dx, dy) = (to_x_m - from_x_m, to_y_m - from_y_m);
    let (lowest_m, highest_m) = (over.lowest.get(), over.highest.get());
    HazardousWay {
        criterion_j: over.criterion.get(),
        source: criterion_source(over.criterion),
        from_x_m,
        from_y_m,
        to_x_m,
        to_y_m,
        length_m: (dx * dx + dy * dy).sqrt(),
        lowest_m,
        highest_m,
        body: body_words(lowest_m, highest_m),
    }
}

fn runs_on(found: &rig::Flight) -> Option<f64> {
    let (x, y) = found.stops_m?;
    let (dx, dy) = (x - found.from_m[0], y - found.from_m[1]);
    Some((dx * dx + dy * dy).sqrt())
}

/// What the crew must know before anything is loaded.
pub(super) fn findings(plan: &Plan, method: Method, found: &RigLetGo) -> Vec<Finding> {
    let mut out: Vec<Finding> = found.zone.areas.iter().map(bight).collect();
    out.extend(worst_flight(&found.partings.list, plan.units));
    out.extend(run_on(found, plan.units));
    out.extend(nothing_holds(plan, method, &found.partings.list));
    out
}

fn bight(area: &rig::DangerArea) -> Finding {
    Finding::new(
        Severity::Warning,
        "bight",
        &area.name,
        area.why.clone(),
        format!(
            "nobody inside it while it is loaded; observers stand {}",
            area.observers
        ),
        "US Army FM 4-30.31 (2006) ch. 4, safety precautions",
    )
}

fn worst_flight(list: &[rig::Parting], units: Units) -> Option<Finding> {
    let worst = worst(list).filter(|p| p.times_injury > 1.0)?;
    let flight = worst.flights.first()?;
    Some(Finding::new(
        Severity::Warning,
        "let-go",
        &worst.name,
        format!(
            "if it lets go, {} leaves at {} with {}, {:.0} times what counts as hazardous, {}",
            flight.what,
            units.flight_speed(flight.speed.get()),
            units.energy(flight.energy.get()),
            worst.times_injury,
            flight.side
        ),
        "lower the load, use soft shackles, nobody in line with any part of line or in a bight",
        injury::FRAGMENT_SOURCE.name,
    ))
}

/// What comes off goes on past the drawn zone.
fn run_on(found: &RigLetGo, units: Units) -> Option<Finding> {
    let flights = found.partings.list.iter().flat_map(|p| &p.flights);
    let furthest = flights.filter_map(runs_on).fold(0.0, f64::max);
    (furthest > found.zone.rule.distance.get()).then(|| {
        Finding::new(
            Severity::Warning,
            "run-on",
            "lines and bights",
            format!(
                "what comes off the line could skip and slide {} from where it let go, beyond the drawn zone",
                units.length(furthest)
            ),
            "keep clear in line with every part of line, and across every bight, as far as can be seen",
            "free flight with air drag and sliding friction of this plan",
        )
    })
}

/// Parts whose loss leaves the casualty held by nothing.
fn nothing_holds(plan: &Plan, method: Method, list: &[rig::Parting]) -> Option<Finding> {
    let mut parts: Vec<&str> = list
        .iter()
        .filter(|p| p.holding.casualty_by.is_empty())
        .map(|p| p.name.as_str())
        .collect();
    parts.sort_unstable();
    parts.dedup();
    let first = parts.first()?;
    let steep = plan.casualty.slope_along.to_deg().abs() >= ROLLS_FROM_DEG;
    let severity = match (method, steep) {
        (Method::Lower, _) => Severity::Critical,
        (_, true) => Severity::Warning,
        _ => Severity::Note,
    };
    Some(Finding::new(
        severity,
        "holds-alone",
        *first,
        format!(
            "nothing else holds the casualty if one of these lets go: {}",
            parts.join(", ")
        ),
        "chock the casualty or hold it on a second line, and keep everybody out from below it",
        "common practice",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::examples::EXAMPLES;
    use crate::plan_file::read_plan;
    use steadypull_engine::rig::{
        Graph, GraphRun, Holds, Meets, Motion, Node, NodeKind, Solved, SolvedNode, SolvedRun, Stop,
    };

    /// A demo plan's line from the casualty round a block that the kit does not hold.
    fn redirect() -> (Plan, LaidOut) {
        let plan = read_plan(EXAMPLES[0].1).unwrap();
        let line = plan.kit.parts.iter().find_map(|p| match p {
            steadypull_engine::plan::Part::Line(line) => Some(line.name.clone()),
            _ => None,
        });
        let line = line.unwrap();
        let places = [
            ("casualty.rear", NodeKind::Casualty, [8.0, 0.0, 0.6]),
            ("corner", NodeKind::Block, [0.0, 0.0, 0.6]),
            ("tug.rear", NodeKind::Tug, [0.0, 8.0, 0.6]),
            ("rock", NodeKind::Anchor, [-1.0, -1.0, 0.2]),
        ];
        let half = 0.5_f64.sqrt();
        let stop = |node, meets| Stop { node, meets };
        let run = |name: &str, stops, count: usize| GraphRun {
            name: name.into(),
            stops,
            parts: vec![vec![line.clone()]; count],
            holds: Holds::Hauled { share: 1.0 },
            rest_m: 8.0,
            stiffness_n: 1e6,
        };
        let graph = Graph {
            nodes: places
                .iter()
                .map(|(name, kind, place_m)| Node {
                    name: (*name).into(),
                    kind: *kind,
                    place_m: *place_m,
                    fixed: *kind != NodeKind::Block,
                    strong: None,
                })
                .collect(),
            runs: vec![
                run(
                    "main",
                    vec![
                        stop(0, Meets::Fast),
                        stop(1, Meets::Sheave(1.0)),
                        stop(2, Meets::Fast),
                    ],
                    2,
                ),
                run(
                    "hanger",
                    vec![stop(1, Meets::Fast), stop(3, Meets::Fast)],
                    1,
                ),
            ],
            motion: Motion::HaulingIn,
        };
        let node = |place_m: [f64; 3], carries: f64| SolvedNode {
            place_m,
            load_n: [0.0; 3],
            carries: Force::new(carries),
            included: None,
            side_angle: None,
            travel: [0.0; 3],
        };
        let under = |tension: f64, length_m: Vec<f64>| SolvedRun {
            tension_n: vec![tension; length_m.len()],
            length_m,
            slack: false,
        };
        let solved = Solved {
            nodes: vec![
                node(places[0].2, 1.0),
                node(places[1].2, 2.0 * half),
                node(places[2].2, 1.0),
                node(places[3].2, 2.0 * half),
            ],
            runs: vec![under(1.0, vec![8.0, 8.0]), under(2.0 * half, vec![1.5])],
            haul: Force::new(1.0),
            pull_n: [-1.0, 0.0, 0.0],
            way: [-1.0, 0.0, 0.0],
            real_advantage: 1.0,
            ideal_advantage: 1.0,
            haul_per_metre: 1.0,
            residual: 0.0,
        };
        let laid = LaidOut {
            graph,
            at_unit_haul: solved,
        };
        (plan, laid)
    }

    #[test]
    fn a_redirect_is_told_with_its_bight_and_what_holds() {
        let (plan, laid) = redirect();
        let found = rig::laid_out_let_go(&plan, &laid, Force::from_kn(20.0));
        let told = let_go(&plan, &found);
        assert!(told.missing.is_none() && told.cases.is_empty());
        let block = told.partings.iter().find(|p| p.part == "corner").unwrap();
        assert_eq!(block.casualty_held_by, ["main"]);
        assert!(block.flights.iter().any(|f| f.thrown && f.upper_bound));
        assert!(crate::finite::non_finite(&told).is_empty());
        let standoff = super::super::standoff_laid_out::standoff(
            &plan,
            &found.zone,
            found.partings.failed,
            None,
        );
        assert_eq!(standoff.danger_areas[0].name, "bight at corner");
        assert!(standoff.beside_m >= standoff.rule_m);
        assert!(crate::finite::non_finite(&standoff).is_empty());
        let codes: Vec<&str> = findings(&plan, Method::Lower, &found)
            .iter()
            .map(|f| f.code)
            .collect();
        for wanted in ["bight", "let-go", "holds-alone"] {
            assert!(codes.contains(&wanted), "{codes:?}");
        }
        let alone = nothing_holds(&plan, Method::Lower, &found.partings.list).unwrap();
        assert_eq!(alone.severity, Severity::Critical);
        assert!(!alone.message.contains("corner"), "{}", alone.message);
    }

    #[test]
    fn an_unloaded_rig_has_the_rule_and_nothing_that_flies() {
        let (plan, laid) = redirect();
        for pull in [0.0, -5e3, f64::NAN] {
            let found = rig::laid_out_let_go(&plan, &laid, Force::new(pull));
            let told = let_go(&plan, &found);
            assert_eq!(
                told.missing.as_deref(),
                Some("nothing in the rig carries load")
            );
            let standoff = super::super::standoff_laid_out::standoff(
                &plan,
                &found.zone,
                found.partings.failed,
                None,
            );
            assert!(!standoff.computed_governs && standoff.zone == standoff.rule_zone);
        }
    }
}
