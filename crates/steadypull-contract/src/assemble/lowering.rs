//! The `lowering` area.

use steadypull_engine::options::{Rung, Verdict};
use steadypull_engine::plan::{Holder, Lowering, Method, Plan, Rig};
use steadypull_engine::pull::lowering::holding::{Range, Station};
use steadypull_engine::pull::lowering::parts::{Left, PartLoad};
use steadypull_engine::pull::lowering::profile::Ground;
use steadypull_engine::pull::lowering::run_away::{End, RunSample};
use steadypull_engine::pull::lowering::study::{
    BelayStudy, LoweringError, RunFrom, Study, catch_limit, study, then,
};
use steadypull_engine::rig::{PathError, find_path, load_links};
use steadypull_engine::units::Angle;

use super::standoff::Lowered;
use crate::answer;
use crate::show::Units;

/// Samples of a printed series at most.
const SERIES_MAX: usize = 160;
/// Step of the printed ground, m.
const WAY_STEP_M: f64 = 0.25;
/// Ground shown past the end, m.
const WAY_BEYOND_M: f64 = 6.0;

/// A lowering worked out, with what the plan says of it.
pub(super) struct Worked<'a> {
    pub lowering: &'a Lowering,
    pub study: Study,
    /// The units that sentences are in.
    pub units: Units,
}

/// Works out the lowering, if the plan has one.
pub(super) fn worked(plan: &Plan) -> Result<Option<Worked<'_>>, LoweringError> {
    let Some(lowering) = &plan.lowering else {
        return Ok(None);
    };
    Ok(Some(Worked {
        lowering,
        study: study(plan, lowering)?,
        units: plan.units,
    }))
}

impl Worked<'_> {
    /// The rig of the lowering as it is laid out on the ground, under the load that
    /// parts are judged at; none where the plan lays none out.
    pub(super) fn rung(&self, plan: &Plan) -> Result<Option<Rung>, PathError> {
        let laid = |rig: &&Rig| rig.method == Method::Lower && rig.layout.is_some();
        if plan.rig.as_ref().filter(laid).is_none() {
            return Ok(None);
        }
        let path = find_path(plan, Method::Lower)?;
        let load = self.study.holding.peak().hold.design;
        Ok(Some(Rung {
            method: Method::Lower,
            verdict: Verdict::First,
            reason: "the lowering of the plan".into(),
            shift: None,
            shift_dug: None,
            samples: 0,
            chances: None,
            needed: Some(load),
            available: None,
            peak: Some(load),
            stored: None,
            treatment: Default::default(),
            links: load_links(&path.links, load, Method::Lower, &plan.policy),
            path: Some(path),
        }))
    }

    /// The most line out on either line, and whether one is metal.
    pub(super) fn lowered(&self, plan: &Plan) -> Lowered {
        let names = [
            Some(&self.lowering.main.line),
            self.lowering.belay.as_ref().map(|b| &b.line),
        ];
        let metal = names.into_iter().flatten().any(|name| {
            matches!(plan.kit.part(name), Some(steadypull_engine::plan::Part::Line(l)) if l.material.is_metal())
        });
        Lowered {
            span: self.study.pay_out.out_greatest,
            metal,
        }
    }
}

pub(super) fn lowering(
    plan: &Plan,
    worked: &Worked,
    standoff: &answer::Standoff,
) -> answer::Lowering {
    let (lowering, study) = (worked.lowering, &worked.study);
    let peak = study.holding.peak();
    let fastest = study.fastest().map(run);
    answer::Lowering {
        line: lowering.main.line.clone(),
        held_by: held_by(&lowering.main.holder),
        anchor: lowering.main.anchor.name.clone(),
        nose_down: lowering.body.nose_down,
        wheelbase_m: lowering.body.wheelbase.get(),
        from_m: lowering.from.get(),
        to_m: lowering.to.get(),
        way: way(lowering, study),
        greatest: range(peak.hold),
        greatest_design_n: peak.hold.design.get(),
        greatest_at_m: peak.distance_m,
        at_holder: range(peak.at_holder),
        series: series(&study.holding.stations),
        rocks: study.holding.rocks.map(|rock| answer::Rocking {
            at_m: rock.distance_m,
            from_deg: Angle::new(rock.from_rad).to_deg(),
            to_deg: Angle::new(rock.to_rad).to_deg(),
        }),
        belly_from_m: study.holding.belly.map(|b| b.0),
        belly_to_m: study.holding.belly.map(|b| b.1),
        upper_axle_share: study.holding.stations[study.holding.lightest].upper_share,
        pay_out: pay_out(worked),
        parts: study.parts.iter().map(|p| part(study, p)).collect(),
        run_away: fastest.unwrap_or_else(|| run(&study.loose[0])),
        belay: study.belay.as_ref().map(|b| belay(plan, lowering, b)),
        standoff_m: standoff.rule_m,
        standoff_rule: standoff.rule.clone(),
        models: models(),
    }
}

fn held_by(holder: &Holder) -> String {
    match holder {
        Holder::Winch => "the tug's winch, paid out on its brake".into(),
        Holder::Turns(turns) => format!(
            "{} turns round a {}, tended by hand",
            turns.turns,
            turns.round.word()
        ),
    }
}

fn range(range: Range) -> answer::ForceRange {
    answer::ForceRange {
        low_n: range.low.get(),
        median_n: range.median.get(),
        high_n: range.high.get(),
    }
}

fn way(lowering: &Lowering, study: &Study) -> Vec<answer::WayPoint> {
    let back = lowering.belay.as_ref().map_or(0.0, |b| b.anchor.back.get());
    let from = -lowering.main.anchor.back.get().max(back) - 1.0;
    let to = study.profile.length_m() + WAY_BEYOND_M;
    let steps = (((to - from) / WAY_STEP_M).ceil() as usize).min(2 * SERIES_MAX);
    let point = |g: Ground| answer::WayPoint {
        level_m: g.x_m,
        height_m: g.z_m,
        slope_deg: Angle::new(g.slope_rad).to_deg(),
    };
    (0..=steps)
        .map(|i| {
            point(
                study
                    .profile
                    .at(from + (to - from) * i as f64 / steps as f64),
            )
        })
        .collect()
}

fn series(stations: &[Station]) -> answer::LoweringSeries {
    let every = stations.len().div_ceil(SERIES_MAX).max(1);
    let last = stations.len() - 1;
    let kept: Vec<&Station> = stations
        .iter()
        .enumerate()
        .filter(|(i, _)| i % every == 0 || *i == last)
        .map(|(_, s)| s)
        .collect();
    let column = |of: fn(&Station) -> f64| kept.iter().map(|s| of(s)).collect();
    answer::LoweringSeries {
        distance_m: column(|s| s.distance_m),
        hold_n: column(|s| s.hold.median.get()),
        hold_low_n: column(|s| s.hold.low.get()),
        hold_high_n: column(|s| s.hold.high.get()),
        holder_n: column(|s| s.at_holder.median.get()),
        pitch_deg: column(|s| Angle::new(s.stance.pitch_rad).to_deg()),
        upper_share: column(|s| s.upper_share),
        line_out_m: column(|s| s.line.length_m),
        upper_level_m: column(|s| s.stance.upper[0]),
        upper_height_m: column(|s| s.stance.upper[1]),
        lower_level_m: column(|s| s.stance.lower[0]),
        lower_height_m: column(|s| s.stance.lower[1]),
    }
}

fn pay_out(worked: &Worked) -> answer::PayOut {
    let out = &worked.study.pay_out;
    let limit = match worked.lowering.main.holder {
        Holder::Turns(turns) => Some(turns.hand_limit.get()),
        Holder::Winch => None,
    };
    answer::PayOut {
        speed_m_s: out.speed.get(),
        time_s: out.time.get(),
        out_at_start_m: out.out_at_start.get(),
        out_greatest_m: out.out_greatest.get(),
        needed_m: out.needed.get(),
        there_is_m: out.there_is.get(),
        hand: out.hand.map(range),
        hand_design_n: out.hand.map(|h| h.design.get()),
        hand_limit_n: limit,
        turns_needed: out.turns_needed,
        heat_j: out.heat.get(),
        heat_limit_j: out.brake_test.map(|e| e.get()),
        hottest_c: out.hottest_c,
        line_stands_c: out.line_stands_c,
    }
}

fn part(study: &Study, part: &PartLoad) -> answer::LoweringPart {
    answer::LoweringPart {
        name: part.name.clone(),
        kind: part.kind.words().into(),
        load_n: part.load.get(),
        limit_n: part.limit.map(|f| f.get()),
        share_of_limit: part.share(),
        limited_by: part.limited_by.into(),
        within: part.within(),
        left: match part.left {
            Left::MainLine => "the main line, slack by what the redirect drew aside",
            Left::Belay => "the belay",
            Left::Nothing => "nothing",
        }
        .into(),
        then: then(study, part).as_ref().map(run),
    }
}

/// The word for how a run-away ends.
pub(super) fn end_word(end: End) -> &'static str {
    match end {
        End::Stays => "stays",
        End::Caught => "caught",
        End::Parted => "line parts",
        End::RanThrough => "tail runs through",
        End::Runs => "runs",
    }
}

fn run(from: &RunFrom) -> answer::RunAway {
    let run = &from.run;
    answer::RunAway {
        from_m: from.distance.get(),
        end: end_word(run.end).into(),
        greatest_speed_m_s: run.greatest_speed.get(),
        taut_speed_m_s: run.taut_speed.map(|v| v.get()),
        peak_force_n: run.peak.get(),
        ran_m: run.ran.map(|l| l.get()),
        stopping_m: run.stopping.map(|l| l.get()),
        slipped_m: run.slipped.get(),
        foot_speed_m_s: run.foot_speed.map(|v| v.get()),
        past_foot_m: run.past_foot.map(|l| l.get()),
        time_s: run.time.get(),
        audit_error_share: run.audit.error_share(),
        series: course(&run.series),
    }
}

fn course(samples: &[RunSample]) -> answer::RunAwaySeries {
    let every = samples.len().div_ceil(SERIES_MAX).max(1);
    let last = samples.len().saturating_sub(1);
    let peak = samples.iter().map(|s| s.force_n).fold(0.0, f64::max);
    let kept: Vec<&RunSample> = samples
        .iter()
        .enumerate()
        .filter(|(i, s)| i % every == 0 || *i == last || (peak > 0.0 && s.force_n == peak))
        .map(|(_, s)| s)
        .collect();
    let column = |of: fn(&RunSample) -> f64| kept.iter().map(|s| of(s)).collect();
    answer::RunAwaySeries {
        time_s: column(|s| s.time_s),
        distance_m: column(|s| s.distance_m),
        speed_m_s: column(|s| s.speed_m_s),
        force_n: column(|s| s.force_n),
    }
}

fn belay(plan: &Plan, lowering: &Lowering, study: &BelayStudy) -> answer::Belay {
    let described = lowering.belay.as_ref();
    answer::Belay {
        line: described.map(|b| b.line.clone()).unwrap_or_default(),
        anchor: described.map(|b| b.anchor.name.clone()).unwrap_or_default(),
        point: described.map(|b| b.point.clone()).unwrap_or_default(),
        slack_m: described.map_or(0.0, |b| b.slack.get()),
        slips_at_n: described.and_then(|b| b.slips_at).map(|f| f.get()),
        catches: study.catches(),
        words: catch_words(study).into(),
        peak_force_n: study.peak().get(),
        limit_n: catch_limit(plan, study).get(),
        strength_n: study.strength.get(),
        anchor_holds_n: study.anchor_holds.map(|f| f.get()),
        point_limit_n: study.point.0.map(|f| f.get()),
        needed_m: study.needed.get(),
        there_is_m: study.there_is.get(),
        worst: run(study.worst()),
        from_m: study.runs.iter().map(|r| r.distance.get()).collect(),
        peaks_n: study.runs.iter().map(|r| r.run.peak.get()).collect(),
    }
}

fn catch_words(study: &BelayStudy) -> &'static str {
    match study.worst().run.end {
        End::Parted => "does not catch: the line parts",
        End::RanThrough | End::Runs => "does not catch: the tail runs through the device",
        _ if study.anchor_holds.is_none() => "stops it if its anchor holds, which is not stated",
        _ if !study.anchor_stands() => "does not catch: its anchor yields",
        _ if !study.point_stands() => "stops it, but its point may not carry the peak",
        _ => "catches from every place",
    }
}

fn models() -> Vec<String> {
    [
        "Holding force: rigid vehicle on two axles at a steady crawl, friction as stated; a jerk adds to it.",
        "Range: mass and rolling resistance vary; the slope is taken as measured. At 28 deg one degree more is about 4 % more force.",
        "Run-away: worked out with the mass at its upper and the rolling resistance at its lower design quantile, its own brakes as far as the plan counts on them; the vehicle keeps its wheels and its way.",
        "Catch: the line's own curve without rate effect, along the way, over no edge. What springs back of a parted line is worked out where the rig is laid out on the ground; keep the rule distance in any case.",
    ]
    .map(String::from)
    .to_vec()
}
