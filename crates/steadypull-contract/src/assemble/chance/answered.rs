//! A finished study in the contract's words.

use steadypull_engine::chance::{Distribution, Moments, Tally, Values, clopper_pearson};
use steadypull_engine::plan::{Plan, Policy};
use steadypull_engine::study::{ItemTotals, Studied, Totals, Variable};

use super::blocks::Study;
use super::rigged::StudiedRig;
use super::{CONFIDENCE, findings, not_said, words, zone};
use crate::answer::{
    CONTRACT_VERSION, Chance, ChanceBelay, ChanceFlight, ChanceLowering, ChanceMethod,
    ChanceProbability, ChanceSample, ChanceStrikes, ChanceStudied, ChanceVariable, FirstToGo,
    QuantileAt, Quantiles, ReckonedChance, StoppedBy,
};
use crate::assemble::{cautions, method_name, summary};
use crate::show::percent;

/// The answer of `study`.
pub(super) fn answer(
    plan: &Plan,
    rig: &StudiedRig,
    study: &Study,
    stopped: StoppedBy,
    error_asked: Option<f64>,
) -> Chance {
    let totals = study.totals();
    let policy = &plan.policy;
    let path = &rig.rigged.path;
    let design = policy.design_quantile;
    let lowers = rig.rigged.studied == Studied::Lowering;
    let has_rig = rig.rigged.studied != Studied::NoRig;
    let loaded = (0..study.parts().len()).any(|part| study.carries(part));
    let mut answer = Chance {
        contract_version: CONTRACT_VERSION,
        plan: summary::summary(plan),
        headline: String::new(),
        summary: Vec::new(),
        studied: studied(rig),
        method: (rig.rigged.studied != Studied::NoRig).then(|| method_name(path.method)),
        rig: rig.names(),
        proposed: path.proposed,
        dug_first: rig.rigged.treatment.dug,
        run_up_m_s: rig.rigged.run_up.map(|v| v.get()),
        sample: sample(study, stopped, error_asked),
        moves: (rig.rigged.studied == Studied::Pull).then(|| probability(&totals.works)),
        lowering: lowering(rig, totals, design),
        by_method: by_method(study, design),
        passes_wll: (totals.share_of_wll.runs() > 0).then(|| probability(&totals.over_wll)),
        lets_go: loaded.then(|| probability(&totals.lets_go)),
        lets_go_reckoned: reckoned(loaded, &totals.parting),
        first_to_go: first_to_go(study),
        strength_not_stated: not_stated(rig),
        resistance_n: quantiles(&totals.resistance_n, design).filter(|_| !lowers),
        resistance_dug_n: quantiles(&totals.resistance_dug_n, design),
        brings_n: quantiles(&totals.brings_n, design).filter(|_| !lowers),
        peak_n: quantiles(&totals.peak_n, design).filter(|_| has_rig),
        movement_m: quantiles(&totals.movement_m, design),
        share_of_wll: quantiles(&totals.share_of_wll, design),
        share_of_mbs: quantiles(&totals.share_of_mbs, design),
        if_a_part_lets_go: flight(
            "whichever part lets go, each as likely",
            &[],
            &totals.all,
            policy,
        ),
        flights: flights(study, policy),
        zone: zone::zone(plan, rig, study),
        drivers: if study.driver_draws() > 0 {
            study.effects().drivers(&study.groups)
        } else {
            Vec::new()
        },
        variables: study.variables.iter().map(variable).collect(),
        not_said: not_said::of(plan, rig),
        notes: Vec::new(),
        findings: Vec::new(),
        cautions: cautions(lowers),
    };
    answer.findings = findings::findings(plan, rig, &answer);
    answer.notes = words::notes(plan, rig, &answer);
    answer.headline = words::headline(plan, &answer);
    answer.summary = words::summary(plan, &answer);
    answer
}

fn sample(study: &Study, stopped: StoppedBy, error_asked: Option<f64>) -> ChanceSample {
    let totals = study.totals();
    let errors = study.errors();
    ChanceSample {
        seed: study.seed,
        draws: study.draws(),
        draws_for_drivers: study.driver_draws(),
        let_go_runs: totals.zone.runs(),
        failed: totals.failed_pulls + totals.failed_flights + study.effects().failed,
        confidence: CONFIDENCE,
        error_asked,
        error_of_probabilities: errors.probabilities,
        error_of_quantiles: errors.quantiles,
        stopped,
    }
}

/// A probability; where it happened seldom or nearly always, by the interval that
/// never says too little.
pub(super) fn probability(tally: &Tally) -> ChanceProbability {
    let (hits, draws) = (tally.hits(), tally.runs());
    let found = tally.interval(CONFIDENCE);
    let safe = clopper_pearson(hits, draws, CONFIDENCE);
    let at_an_end = hits.min(draws - hits) < 20;
    let interval = if at_an_end { safe } else { found };
    ChanceProbability {
        estimate: if draws > 0 { tally.share() } else { 0.0 },
        low: interval.low,
        high: interval.high,
        hits,
        draws,
    }
}

/// The chance that a part lets go, the strengths reckoned whole.
fn reckoned(loaded: bool, parting: &Moments) -> Option<ReckonedChance> {
    let interval = parting.mean_interval(CONFIDENCE);
    (loaded && parting.runs() > 0).then(|| {
        let estimate = parting.mean();
        // A t interval of a rare chance may reach under nothing, or stand at nothing.
        ReckonedChance {
            estimate,
            low: interval.low.clamp(0.0, estimate),
            high: interval.high.clamp(estimate, 1.0),
        }
    })
}

/// The parts that carry load.
fn first_to_go(study: &Study) -> Vec<FirstToGo> {
    let of = |(part, tally): (&String, &Tally)| FirstToGo {
        part: part.clone(),
        probability: probability(tally),
    };
    let parts = study.parts().iter().zip(&study.totals().first);
    let loaded = parts.enumerate().filter(|(part, _)| study.carries(*part));
    let mut found: Vec<FirstToGo> = loaded.map(|(_, told)| of(told)).collect();
    // Equal counts keep the order of the rig.
    found.sort_by_key(|f| core::cmp::Reverse(f.probability.hits));
    found
}

fn not_stated(rig: &StudiedRig) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for link in rig.rigged.path.links.iter().filter(|l| l.mbs.is_none()) {
        if !found.contains(&link.name) {
            found.push(link.name.clone());
        }
    }
    found
}

/// 5 %, the middle, 95 % and the policy's quantile of a result.
fn quantiles(values: &Values, policy: f64) -> Option<Quantiles> {
    if values.runs() == 0 {
        return None;
    }
    let mut levels = vec![0.05, 0.5, 0.95, policy];
    levels.sort_by(f64::total_cmp);
    levels.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let sorted = values.sorted();
    let at = |level: f64| {
        let interval = sorted.interval(level, CONFIDENCE);
        QuantileAt {
            level,
            value: sorted.quantile(level),
            low: Some(interval.low).filter(|x| x.is_finite()),
            high: Some(interval.high).filter(|x| x.is_finite()),
        }
    };
    Some(Quantiles {
        at: levels.into_iter().map(at).collect(),
        draws: values.runs(),
    })
}

fn studied(rig: &StudiedRig) -> ChanceStudied {
    match rig.rigged.studied {
        Studied::Pull => ChanceStudied::Pull,
        Studied::Lowering => ChanceStudied::Lowering,
        Studied::NoRig => ChanceStudied::NoRig,
    }
}

fn lowering(rig: &StudiedRig, totals: &Totals, design: f64) -> Option<ChanceLowering> {
    if rig.rigged.studied != Studied::Lowering {
        return None;
    }
    let belay = &totals.belay;
    Some(ChanceLowering {
        held: probability(&totals.works),
        asked_n: quantiles(&totals.resistance_n, design)?,
        can_hold_n: quantiles(&totals.brings_n, design)?,
        loose_m_s: quantiles(&belay.loose_m_s, design)?,
        belay: quantiles(&belay.peak_n, design).map(|peak_n| ChanceBelay {
            stops: probability(&belay.stops),
            holds: (belay.holds.runs() > 0).then(|| probability(&belay.holds)),
            peak_n,
        }),
    })
}

fn by_method(study: &Study, design: f64) -> Vec<ChanceMethod> {
    let methods = study.methods().iter().zip(&study.totals().by_method);
    methods
        .filter_map(|(told, totals)| {
            Some(ChanceMethod {
                method: method_name(told.method),
                dug_first: told.dug,
                moves: probability(&totals.moves),
                brings_n: quantiles(&totals.brings_n, design)?,
            })
        })
        .collect()
}

fn flight(
    what: &str,
    parts: &[String],
    totals: &ItemTotals,
    policy: &Policy,
) -> Option<ChanceFlight> {
    let of = |values: &Values| quantiles(values, policy.zone_quantile);
    Some(ChanceFlight {
        what: what.into(),
        parts: parts.to_vec(),
        speed_m_s: of(&totals.speed_m_s)?,
        energy_j: of(&totals.energy_j)?,
        reach_m: of(&totals.reach_m)?,
        at_vehicle: (totals.strikes.runs() > 0).then(|| ChanceStrikes {
            strikes: probability(&totals.strikes),
            strikes_screen: probability(&totals.screen),
            over_injury: probability(&totals.over_injury),
            injury_energy_j: policy.injury_energy.get(),
            screen_height_m: of(&totals.screen_height_m),
            screen_energy_j: of(&totals.screen_energy_j),
            guard_holds: (totals.guard_holds.runs() > 0).then(|| probability(&totals.guard_holds)),
        }),
    })
}

fn flights(study: &Study, policy: &Policy) -> Vec<ChanceFlight> {
    let items = study.items();
    let of = items.iter().zip(&study.totals().items);
    let mut found: Vec<ChanceFlight> = of
        .filter_map(|(item, totals)| flight(&item.words, &item.parts, totals, policy))
        .collect();
    let most = |f: &ChanceFlight| f.energy_j.at.last().map_or(0.0, |q| q.value);
    found.sort_by(|a, b| most(b).total_cmp(&most(a)));
    found
}

fn variable(variable: &Variable) -> ChanceVariable {
    let at = |p| variable.distribution.quantile(p);
    ChanceVariable {
        key: variable.key.clone(),
        what: variable.words.clone(),
        group: variable.group.clone(),
        law: law(&variable.distribution),
        unit: variable.unit.into(),
        low: at(0.05),
        median: at(0.5),
        high: at(0.95),
        source: variable.source.clone(),
        assumed: variable.assumed,
    }
}

/// The law of a distribution in words.
fn law(distribution: &Distribution) -> String {
    let spread = |s: f64| match s < 0.01 {
        true => format!("log-normal, spread {}", percent(s)),
        false => format!("log-normal, spread {:.0} %", s * 100.0),
    };
    match distribution {
        Distribution::Fixed(_) => "known".into(),
        Distribution::Uniform { .. } => "even between two bounds".into(),
        Distribution::Triangular { .. } => "triangle between two bounds".into(),
        Distribution::Normal { .. } => "normal".into(),
        Distribution::NormalWithin { .. } => "normal, cut off at its bounds".into(),
        Distribution::LogNormal(whole) => spread(whole.spread),
        Distribution::LogNormalWithin { whole, .. } => {
            format!("{}, cut off at its bounds", spread(whole.spread))
        }
    }
}
