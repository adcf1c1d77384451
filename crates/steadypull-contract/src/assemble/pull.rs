//! The `pull` area.

use steadypull_engine::options::{
    self, Happens, KineticStudy, Ladder, SHIFT, closed_window, opened_by,
};
use steadypull_engine::plan::{Method, Plan};
use steadypull_engine::pull::Outcome;
use steadypull_engine::units::Speed;

use super::options::probability;
use crate::answer;
use crate::show::Units;

/// Slower than this is a crawl in words, 1 km/h.
const CRAWL: Speed = Speed::from_kmh(1.0);
/// Samples of the printed series at most.
const SERIES_MAX: usize = 240;

pub(super) fn pull(plan: &Plan, ladder: &Ladder) -> answer::Pull {
    match &ladder.kinetic {
        Some(study) => answer::Pull {
            kinetic: Some(kinetic(plan, study)),
            missing: None,
            winch: None,
        },
        None => {
            let why = ladder.rungs.iter().find(|r| r.method == Method::Kinetic);
            answer::Pull {
                kinetic: None,
                missing: why.map(|r| r.reason.clone()),
                winch: None,
            }
        }
    }
}

fn kinetic(plan: &Plan, study: &KineticStudy) -> answer::KineticPull {
    let design = &study.design;
    let length = study.path.line_length();
    let at = study.chances.at(study.speed);
    let line = study
        .path
        .lines
        .iter()
        .find(|l| l.kinetic)
        .or(study.path.lines.first());
    answer::KineticPull {
        line: line.map(|l| l.name.clone()).unwrap_or_default(),
        rest_length_m: length.get(),
        run_up_speed_m_s: study.speed.get(),
        run_up_planned: study.planned,
        slack_m: plan.rig.as_ref().map_or(0.0, |r| r.slack.get()),
        peak_force_n: design.peak_force.get(),
        peak_force_fixed_n: study.fixed.peak_force.get(),
        stretch_m: design.stretch.get(),
        stretch_share: design.stretch / length,
        stored_energy_j: design.stored_at_peak.get(),
        movement_m: design.movement.get(),
        shifted: design.movement >= plan.casualty.free_after.min(SHIFT),
        casualty_peak_acceleration_m_s2: design.casualty_peak_acceleration_m_s2,
        tug_peak_deceleration_m_s2: design.tug_peak_deceleration_m_s2,
        events: events(design),
        audit: answer::EnergyAudit {
            put_in_j: design.audit.put_in.get(),
            kinetic_j: design.audit.kinetic.get(),
            stored_j: design.audit.stored.get(),
            dissipated_j: design.audit.dissipated.get(),
            error_share: design.audit.error_share(),
        },
        series: series(design),
        window: window(plan, study),
        repeats: repeats(study),
        chances: answer::PullChances {
            shifts: at.shifts.value,
            passes_wll: at.passes_wll.value,
            parts: at.lets_go.value,
            samples: study.chances.samples() as u32,
        },
        at_run_up: speed_chances(study, study.speed),
        line_model: line.map(line_model).unwrap_or_default(),
    }
}

fn line_model(line: &steadypull_engine::plan::Line) -> String {
    let preset = line.material.preset();
    format!(
        "{:.1} % stretch at MBS as new; gives back {:.0} % of its energy ({:.0} to {:.0} %, assumed: no published figure); \
         preset curve: {} ({})",
        line.curve.strain_at_break() * 100.0,
        line.curve.energy_return * 100.0,
        preset.energy_return.0 * 100.0,
        preset.energy_return.2 * 100.0,
        preset.curve_source.name,
        preset.curve_source.status.words(),
    )
}

fn events(outcome: &Outcome) -> Vec<answer::PullEvent> {
    outcome
        .events
        .iter()
        .map(|e| answer::PullEvent {
            time_s: e.time.get(),
            what: e.kind.words().into(),
        })
        .collect()
}

fn series(outcome: &Outcome) -> answer::PullSeries {
    let every = outcome.series.len().div_ceil(SERIES_MAX).max(1);
    let last = outcome.series.len().saturating_sub(1);
    // The sample at the peak is kept whatever the stride.
    let peak = outcome.peak_time.get();
    let kept: Vec<_> = outcome
        .series
        .iter()
        .enumerate()
        .filter(|(i, s)| i % every == 0 || *i == last || (s.time_s - peak).abs() < 1e-9)
        .map(|(_, s)| *s)
        .collect();
    let column = |of: fn(&steadypull_engine::pull::Sample) -> f64| kept.iter().map(of).collect();
    answer::PullSeries {
        time_s: column(|s| s.time_s),
        force_n: column(|s| s.force_n),
        stretch_m: column(|s| s.stretch_m),
        tug_speed_m_s: column(|s| s.tug_speed_m_s),
        casualty_speed_m_s: column(|s| s.casualty_speed_m_s),
        casualty_movement_m: column(|s| s.casualty_movement_m),
    }
}

fn window(plan: &Plan, study: &KineticStudy) -> answer::RunUpWindow {
    let (window, policy) = (&study.window, &plan.policy);
    let ends = |ends: Option<(Speed, Speed)>| (ends.map(|e| e.0.get()), ends.map(|e| e.1.get()));
    let (sure, possible) = (ends(window.sure), ends(window.possible));
    answer::RunUpWindow {
        least_m_s: window.least.map(|s| s.get()),
        greatest_m_s: window.greatest.map(|s| s.get()),
        empty: window.is_empty(),
        limited_by: window.limit.subject().into(),
        words: window_words(plan, study),
        limited_how: window.limit.how().into(),
        sure_least_m_s: sure.0,
        sure_greatest_m_s: sure.1,
        possible_least_m_s: possible.0,
        possible_greatest_m_s: possible.1,
        opened_by: opened_by(study, plan),
        asked: answer::AskedChances {
            shifts: policy.shift_probability,
            passes_wll: policy.wll_probability,
            lets_go: policy.parting_probability,
            past_limit: 1.0 - policy.design_quantile,
        },
        curve: study
            .curve
            .iter()
            .map(|p| answer::WindowPoint {
                speed_m_s: p.speed.get(),
                peak_force_n: p.peak_force.get(),
                movement_m: p.movement.get(),
            })
            .collect(),
        chances: drawn_speeds(study)
            .into_iter()
            .map(|speed| speed_chances(study, speed))
            .collect(),
    }
}

fn window_words(plan: &Plan, study: &KineticStudy) -> String {
    let window = &study.window;
    if let Some(closed) = closed_window(study, plan) {
        return format!("empty: {closed}");
    }
    let (Some(least), Some(greatest)) = (window.least, window.greatest) else {
        return "empty".into();
    };
    let speed = |s: Speed| plan.units.speed(s.get());
    let sure = match window.sure {
        Some((least, greatest)) => format!(
            "sampling leaves no doubt from {} to {}",
            least_words(least, plan.units),
            speed(greatest)
        ),
        None => "so narrow that sampling could close it".into(),
    };
    format!(
        "from {} to {}, the upper end set by {} ({}); {sure}",
        least_words(least, plan.units),
        speed(greatest),
        window.limit.subject(),
        window.limit.how()
    )
}

/// The speeds pulled at, and two between each: the curves bend.
fn drawn_speeds(study: &KineticStudy) -> Vec<Speed> {
    let pulled = study.chances.speeds();
    let mut speeds = Vec::new();
    for pair in pulled.windows(2) {
        for k in 0..3 {
            speeds.push(pair[0] + (pair[1] - pair[0]) * (f64::from(k) / 3.0));
        }
    }
    speeds.extend(pulled.last());
    speeds
}

fn speed_chances(study: &KineticStudy, speed: Speed) -> answer::SpeedChances {
    let at = study.chances.at(speed);
    let passes = |what| probability(study.chances.probability(what, speed));
    let links = study.chances.links.iter().enumerate();
    let links = links.map(|(k, link)| (link.name.as_str(), Happens::PastAllowed(k)));
    let people = [("people in the tug", Happens::PastPeople)];
    answer::SpeedChances {
        speed_m_s: speed.get(),
        shifts: probability(at.shifts),
        passes_wll: probability(at.passes_wll),
        lets_go: probability(at.lets_go),
        past_limits: links
            .chain(people)
            .map(|(name, what)| answer::LimitChance {
                name: name.into(),
                passes: passes(what),
            })
            .collect(),
        stands: match study.window.stands(speed) {
            options::SpeedStands::TooSlow => answer::SpeedStands::TooSlow,
            options::SpeedStands::Inside => answer::SpeedStands::Inside,
            options::SpeedStands::Close => answer::SpeedStands::Close,
            options::SpeedStands::TooFast => answer::SpeedStands::TooFast,
            options::SpeedStands::TooSlowAndTooFast => answer::SpeedStands::TooSlowAndTooFast,
        },
    }
}

fn least_words(least: Speed, units: Units) -> String {
    if least < CRAWL {
        "a crawl".into()
    } else {
        units.speed(least.get())
    }
}

fn repeats(study: &KineticStudy) -> Vec<answer::RepeatPull> {
    study
        .repeats
        .iter()
        .zip(1..)
        .map(|(r, number)| answer::RepeatPull {
            number,
            peak_force_n: r.peak.get(),
            movement_m: r.movement.get(),
            set_m: r.set.get(),
        })
        .collect()
}
