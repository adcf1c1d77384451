//! The winch haul of the `pull` area.

use steadypull_engine::chance::quantile;
use steadypull_engine::options::Ladder;
use steadypull_engine::plan::{Line, Method, Plan, Winch, WinchPlate};
use steadypull_engine::pull::winch::preset::PRESET_SOURCE;
use steadypull_engine::pull::winch::supply::{FLAT, cable_resistance};
use steadypull_engine::pull::winch::{
    Drum, End, HaulError, HaulLoad, HaulOutcome, HaulSample, HaulSetup, LimitedBy, Machine, run,
};
use steadypull_engine::rig::{LinkKind, LoadPath, NodeKind};
use steadypull_engine::situation::resistance;
use steadypull_engine::units::{Force, Length};

use super::ChosenRig;
use crate::answer;
use crate::plan_file::Words;
use crate::show::{Units, figures, percent};

/// The haul with the rig shown, if it is a winch's.
pub(super) fn winch_haul(
    plan: &Plan,
    ladder: &Ladder,
    chosen: Option<&ChosenRig>,
) -> Result<Option<answer::WinchHaul>, HaulError> {
    let winching =
        |c: &&ChosenRig| matches!(c.path.method, Method::WinchSingle | Method::WinchMulti);
    let (Some(chosen), Some((winch, line))) = (chosen.filter(winching), plan.winch_and_line())
    else {
        return Ok(None);
    };
    let rig = rig_of(chosen.path);
    let held = resistance(&plan.casualty, chosen.rung.treatment, plan.seed, plan.units);
    let course = |level: f64| {
        let (slide, suction) = held.design(level);
        let load = HaulLoad {
            slide,
            suction,
            fixed: held.fixed_end,
        };
        // As unlucky with the anchor's grip as with what holds the casualty.
        let hold = hold_at(ladder, 1.0 - level);
        course(&HaulSetup {
            winch,
            line,
            load,
            advantage: rig.advantage,
            haul_per_metre: rig.haul_per_metre,
            distance: plan.casualty.free_after,
            walks_at: Some(hold / rig.on_tug),
        })
    };
    Ok(Some(answer::WinchHaul {
        drive: winch.drive.word().into(),
        rated_pull_n: winch.rated_pull.get(),
        preset: winch.preset.clone(),
        plate: plate_words(winch, plan.units),
        drum: drum(winch, line)?,
        advantage: rig.advantage,
        haul_per_metre: rig.haul_per_metre,
        distance_m: plan.casualty.free_after.get(),
        design: course(plan.policy.design_quantile)?,
        median: course(0.5)?,
        model: model(winch),
    }))
}

/// What the rig makes of the line pull.
struct RigFigures {
    advantage: f64,
    haul_per_metre: f64,
    /// Force on the tug over the pull at the casualty.
    on_tug: f64,
}

fn rig_of(path: &LoadPath) -> RigFigures {
    if let Some(laid) = &path.laid_out {
        let solved = &laid.at_unit_haul;
        let mut sum = [0.0; 3];
        for (node, load) in laid.graph.nodes.iter().zip(&solved.nodes) {
            if matches!(node.kind, NodeKind::Tug | NodeKind::Winch) {
                for (s, f) in sum.iter_mut().zip(load.load_n) {
                    *s += f;
                }
            }
        }
        let on_tug = sum.iter().map(|f| f * f).sum::<f64>().sqrt();
        return RigFigures {
            advantage: solved.real_advantage,
            haul_per_metre: solved.haul_per_metre,
            on_tug: (on_tug / solved.real_advantage).max(1e-6),
        };
    }
    let blocks = path
        .links
        .iter()
        .filter(|l| l.kind == LinkKind::Block)
        .count();
    RigFigures {
        advantage: path.advantage,
        haul_per_metre: 1.0 + blocks as f64,
        // A straight rig: both ends of the line are made fast to the tug.
        on_tug: 1.0,
    }
}

/// Hold of the braked tug at a level of its samples.
fn hold_at(ladder: &Ladder, level: f64) -> Force {
    let mut sorted = ladder.tug.anchor_samples.clone();
    sorted.sort_by(f64::total_cmp);
    Force::new(quantile(&sorted, level))
}

fn drum(winch: &Winch, line: &Line) -> Result<answer::WinchDrum, HaulError> {
    let drum = Drum::of(winch, line);
    let machine = Machine::new(&winch.plate, winch.rated_pull, winch.line_speed)?;
    let stall = machine.stall(machine.charge_at_start());
    let wound = line.length - winch.paid_out;
    let least = u32::from(winch.least_wraps);
    let out_at = |wound: Length| (line.length - wound).get().max(0.0);
    Ok(answer::WinchDrum {
        line: line.name.clone(),
        line_length_m: line.length.get(),
        line_diameter_m: winch.diameter_of(line).get(),
        layer_planned: u32::from(winch.layer),
        paid_out_m: winch.paid_out.get(),
        wraps_left: drum.wraps_in(wound),
        least_wraps: least,
        most_paid_out_m: out_at(drum.length_of_wraps(least)),
        holds_m: drum.capacity().map(|l| l.get()),
        layers: (1..=drum.outermost(line.length))
            .map(|n| answer::WinchLayer {
                layer: n,
                rated_pull_n: winch.rated_pull.get() / drum.layer_factor(n),
                stall_pull_n: stall.get() / drum.layer_factor(n),
                paid_out_when_full_m: out_at(drum.length_in(n)),
            })
            .collect(),
    })
}

fn course(setup: &HaulSetup) -> Result<answer::HaulCourse, HaulError> {
    let out = run(setup)?;
    let load = setup.load;
    let plate = &setup.winch.plate;
    let hydraulic = matches!(plate, WinchPlate::Hydraulic(_));
    let by_hand = matches!(plate, WinchPlate::Hand(_));
    Ok(answer::HaulCourse {
        break_out_n: (load.slide + load.suction).get(),
        sliding_n: load.slide.get(),
        walks_at_n: setup.walks_at.map_or(0.0, |f| f.get()),
        end: end(out.end),
        end_words: out.end.words().into(),
        movement_m: out.movement.get(),
        line_in_m: out.line_in.get(),
        time_s: out.time_s,
        resting_s: out.resting_s,
        rests: out.rests,
        first_rest_after_s: out.first_rest_s,
        first_layer: out.layers.0,
        last_layer: out.layers.1,
        greatest_line_pull_n: out.greatest_pull.get(),
        share_of_pull: out.greatest_share,
        share_of_stall: out.stall_share,
        limited_by: limited_by(out.limited_by).into(),
        electric: electric(plate, &out),
        greatest_pressure_pa: hydraulic.then_some(out.greatest_pressure_pa),
        greatest_handle_n: by_hand.then_some(out.greatest_handle.get()),
        events: out
            .events
            .iter()
            .map(|(time_s, event)| answer::PullEvent {
                time_s: *time_s,
                what: event.words(),
            })
            .collect(),
        energy: energy(&out),
        series: series(plate, &out),
    })
}

fn electric(plate: &WinchPlate, out: &HaulOutcome) -> Option<answer::HaulElectric> {
    let WinchPlate::Electric(plate) = plate else {
        return None;
    };
    Some(answer::HaulElectric {
        greatest_current_a: out.greatest_current_a,
        least_volts_v: (out.greatest_current_a > 0.0).then_some(out.least_volts_v),
        hottest_winding_c: out.hottest.get(),
        winding_limit_c: plate.heat.limit.get(),
        charge_left_share: out.charge_left,
        charge_least_share: FLAT,
    })
}

fn end(end: End) -> answer::HaulEnd {
    match end {
        End::Arrived => answer::HaulEnd::Arrived,
        End::Overload => answer::HaulEnd::Overload,
        End::Stall(_) => answer::HaulEnd::Stall,
        End::Walks => answer::HaulEnd::Walks,
        End::LineAllIn => answer::HaulEnd::LineAllIn,
        End::BatteryFlat => answer::HaulEnd::BatteryFlat,
        End::TooLong => answer::HaulEnd::TooLong,
    }
}

fn limited_by(by: LimitedBy) -> &'static str {
    match by {
        LimitedBy::Rating => "its rated pull",
        LimitedBy::Supply => "what battery and cable can turn",
        LimitedBy::Relief => "the relief valve",
        LimitedBy::Person => "the person at the handle",
    }
}

fn energy(out: &HaulOutcome) -> answer::HaulEnergy {
    let books = &out.books;
    answer::HaulEnergy {
        battery_j: books.battery_j,
        alternator_j: books.alternator_j,
        engine_j: books.engine_j,
        person_j: books.person_j,
        battery_heat_j: books.battery_heat_j,
        cable_heat_j: books.cable_heat_j,
        winding_heat_j: books.winding_heat_j,
        gear_heat_j: books.gear_heat_j,
        line_j: books.line_j,
        rig_heat_j: books.rig_heat_j,
        casualty_j: books.casualty_j,
        error_share: books.error_share(),
    }
}

fn series(plate: &WinchPlate, out: &HaulOutcome) -> answer::HaulSeries {
    let column = |of: fn(&HaulSample) -> f64| -> Vec<f64> { out.series.iter().map(of).collect() };
    let electric = |of| matches!(plate, WinchPlate::Electric(_)).then(|| column(of));
    answer::HaulSeries {
        time_s: column(|s| s.time_s),
        line_in_m: column(|s| s.line_in_m),
        movement_m: column(|s| s.movement_m),
        layer: out.series.iter().map(|s| s.layer).collect(),
        line_pull_n: column(|s| s.line_pull_n),
        line_speed_m_s: column(|s| s.line_speed_m_s),
        power_in_w: column(|s| s.power_in_w),
        power_out_w: column(|s| s.power_out_w),
        current_a: electric(|s: &HaulSample| s.current_a),
        volts_v: electric(|s: &HaulSample| s.volts_v),
        winding_c: electric(|s: &HaulSample| s.winding_c),
        charge_share: electric(|s: &HaulSample| s.state_of_charge),
        pressure_pa: matches!(plate, WinchPlate::Hydraulic(_)).then(|| column(|s| s.pressure_pa)),
        handle_n: matches!(plate, WinchPlate::Hand(_)).then(|| column(|s| s.handle_n)),
    }
}

/// The data-plate in words.
pub(crate) fn plate_words(winch: &Winch, units: Units) -> Vec<String> {
    let per_minute = |m_s: f64| units.line_speed(m_s);
    match &winch.plate {
        WinchPlate::Electric(plate) => {
            let mut lines: Vec<String> = plate
                .rows
                .iter()
                .map(|row| {
                    format!(
                        "first layer, {} V: {} at {}, {} A",
                        figures(plate.volts.get()),
                        units.force(row.pull.get()),
                        per_minute(row.speed.get()),
                        figures(row.current.get())
                    )
                })
                .collect();
            let battery = plate.battery;
            lines.push(format!(
                "battery {} Ah at {}, {} mohm inside; alternator {} A to spare",
                figures(battery.capacity.to_ah()),
                percent(battery.state_of_charge),
                figures(battery.resistance.to_mohm()),
                figures(plate.alternator.get())
            ));
            lines.push(format!(
                "cable {} each way, {} mm2 copper, {} mohm out and back; gear gives {}",
                units.length(plate.cable.length.get()),
                figures(plate.cable.section.get() * 1e6),
                figures(cable_resistance(plate.cable).to_mohm()),
                percent(plate.gear_efficiency)
            ));
            let heat = plate.heat;
            lines.push(format!(
                "winding from {} to {} in {} s at the last row; cools in {} min; rests until {}",
                units.temperature(heat.air.get()),
                units.temperature(heat.limit.get()),
                figures(heat.hot_after.get()),
                figures(heat.cools_in.to_min()),
                units.temperature(heat.rest_until.get())
            ));
            lines
        }
        WinchPlate::Hydraulic(plate) => vec![format!(
            "{} on the first layer; pump {}, relief at {}, engine at {} of the speed they hold for",
            per_minute(winch.line_speed.get()),
            units.flow(plate.flow.get()),
            units.oil_pressure(plate.relief.get()),
            percent(plate.engine_share)
        )],
        WinchPlate::Hand(plate) => vec![format!(
            "{} of line a stroke of {}, {} at no load; handle takes 1/{} of the pull, {} at most and {} W kept up",
            units.length(plate.line_per_stroke.get()),
            units.length(plate.handle_travel.get()),
            per_minute(winch.line_speed.get()),
            figures(plate.handle_ratio),
            units.hand_force(plate.handle_limit.get()),
            figures(plate.person_power.get())
        )],
    }
}

fn model(winch: &Winch) -> String {
    let figures_from = match &winch.preset {
        Some(name) => format!(
            "figures that the plan leaves out as the preset {name} ({})",
            PRESET_SOURCE.name,
        ),
        None => "every figure from the plan".into(),
    };
    let drive = match &winch.plate {
        WinchPlate::Electric(_) => {
            "motor by the rows of its plate, back-EMF and the voltage that battery, alternator and \
             cable leave it; one lump of winding, whose resistance is not raised by its heat, so a \
             hot winch pulls less and slower than shown"
        }
        WinchPlate::Hydraulic(_) => "constant speed up to the relief valve",
        WinchPlate::Hand(_) => "a person keeps up force and power to their limits",
    };
    format!(
        "constant torque on the drum (layer rule, US Army TM 9-2320-338-10); {drive}; {figures_from}"
    )
}
