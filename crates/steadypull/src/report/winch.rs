//! The winch haul: its drum, its time, what it asks of motor and battery.

use steadypull_contract::answer::{HaulCourse, HaulEnd, WinchDrum, WinchHaul};
use steadypull_contract::show::{Units, figures, percent, seconds};

use super::{Detail, Page};

/// Writes the haul; in full also its course and where the energy went.
pub fn write(page: &mut Page, haul: &WinchHaul, units: Units, detail: Detail) {
    page.paragraph(
        "Winch haul with the rig shown; it can be stopped at any moment. While it rests its \
         brake holds the line loaded: people stay clear.",
    );
    let preset = haul.preset.as_ref();
    let preset = preset.map_or(String::new(), |name| format!(", figures as {name}"));
    page.fact(
        "Winch",
        &format!(
            "{}, {} on layer 1{preset}",
            haul.drive,
            units.force(haul.rated_pull_n)
        ),
    );
    drum(page, &haul.drum, units);
    page.fact(
        "Rig",
        &format!(
            "pulls {} times the line pull, friction in; takes in {} times the movement",
            figures(haul.advantage),
            figures(haul.haul_per_metre)
        ),
    );
    page.gap();
    both(page, haul, units);
    if detail == Detail::Full {
        course(page, &haul.design);
        energy(page, &haul.design, units);
        page.gap();
        for line in &haul.plate {
            page.item("-", line);
        }
        page.fact("Winch model", &haul.model);
    }
}

fn drum(page: &mut Page, drum: &WinchDrum, units: Units) {
    let short = if drum.wraps_left < f64::from(drum.least_wraps) {
        ": TOO FEW"
    } else {
        ""
    };
    page.fact(
        "Line paid out",
        &format!(
            "{} of {}, {}",
            units.length(drum.paid_out_m),
            units.length(drum.line_length_m),
            drum.line
        ),
    );
    page.fact(
        "Wraps left",
        &format!(
            "{}; {} must stay{short}, so never more than {} out",
            figures(drum.wraps_left),
            drum.least_wraps,
            units.length(drum.most_paid_out_m)
        ),
    );
    if drum.holds_m.is_none() {
        page.fact("Drum holds", "not checked: the plan gives no flange");
    }
    page.gap();
    let rows: Vec<[String; 4]> = drum
        .layers
        .iter()
        .map(|layer| {
            let mark = if layer.layer == drum.layer_planned {
                format!("{} (planned)", layer.layer)
            } else {
                layer.layer.to_string()
            };
            [
                mark,
                units.force(layer.rated_pull_n),
                units.force(layer.stall_pull_n),
                units.length(layer.paid_out_when_full_m),
            ]
        })
        .collect();
    page.table(
        &["Layer", "rated pull", "stalls at", "out when full"],
        &rows,
    );
    page.gap();
}

fn both(page: &mut Page, haul: &WinchHaul, units: Units) {
    let (design, median) = (&haul.design, &haul.median);
    let mut rows: Vec<[String; 3]> = Vec::new();
    let mut row = |what: &str, of: &dyn Fn(&HaulCourse) -> String| {
        rows.push([what.into(), of(design), of(median)]);
    };
    row("Resistance at the start", &|c| units.force(c.break_out_n));
    row("Line pull at the most", &|c| {
        units.force(c.greatest_line_pull_n)
    });
    row("... of what the layer allows", &|c| {
        percent(c.share_of_pull)
    });
    row("... of the pull that stalls it", &|c| {
        percent(c.share_of_stall)
    });
    row("Tug moves at a pull of", &|c| units.force(c.walks_at_n));
    row("Casualty moves", &|c| units.length(c.movement_m));
    row("Layers wound", &|c| {
        format!("{} to {}", c.first_layer, c.last_layer)
    });
    row("Time", &|c| minutes(c.time_s));
    row("... of it resting", &|c| {
        format!("{} in {}", minutes(c.resting_s), c.rests)
    });
    row("First rest after hauling", &|c| {
        c.first_rest_after_s.map_or("none".into(), seconds)
    });
    if design.electric.is_some() {
        let of = |c: &HaulCourse, get: fn(&steadypull_contract::answer::HaulElectric) -> String| {
            c.electric.as_ref().map(get).unwrap_or_default()
        };
        row("Current at the most", &|c| {
            of(c, |e| format!("{} A", figures(e.greatest_current_a)))
        });
        row("Volts at the winch, least", &|c| {
            of(c, |e| {
                e.least_volts_v
                    .map_or("-".into(), |v| format!("{} V", figures(v)))
            })
        });
        row("Winding at the hottest", &|c| {
            c.electric
                .as_ref()
                .map_or(String::new(), |e| units.temperature(e.hottest_winding_c))
        });
        row("Left in the battery", &|c| {
            of(c, |e| percent(e.charge_left_share.max(0.0)))
        });
    }
    if design.greatest_pressure_pa.is_some() {
        row("Pressure at the most", &|c| {
            units.oil_pressure(c.greatest_pressure_pa.unwrap_or(0.0))
        });
    }
    if design.greatest_handle_n.is_some() {
        row("Force on the handle", &|c| {
            units.force(c.greatest_handle_n.unwrap_or(0.0))
        });
    }
    page.table(&["Haul against the", "design resistance", "median"], &rows);
    page.fact("Against the design", &ends(design));
    page.fact("Against the median", &ends(median));
}

fn ends(course: &HaulCourse) -> String {
    match course.end {
        HaulEnd::Arrived => course.end_words.clone(),
        _ => {
            let words = &course.end_words;
            format!("{}{}", words[..1].to_uppercase(), &words[1..])
        }
    }
}

/// A time in seconds under two minutes, else in minutes.
fn minutes(time_s: f64) -> String {
    if time_s < 120.0 {
        seconds(time_s)
    } else {
        format!("{} min", figures(time_s / 60.0))
    }
}

/// Events shown at most: rests repeat.
const MOST_EVENTS: usize = 16;

fn course(page: &mut Page, course: &HaulCourse) {
    page.gap();
    page.paragraph("What happens when, against the design resistance:");
    for event in course.events.iter().take(MOST_EVENTS) {
        page.fact(&format!("  {}", minutes(event.time_s)), &event.what);
    }
    if course.events.len() > MOST_EVENTS {
        let more = course.events.len() - MOST_EVENTS;
        page.fact("  ...", &format!("{more} more in the JSON answer"));
    }
}

fn energy(page: &mut Page, course: &HaulCourse, units: Units) {
    let energy = &course.energy;
    page.gap();
    let rows = [
        ("Energy from the battery", energy.battery_j),
        ("... the alternator", energy.alternator_j),
        ("... the engine's pump", energy.engine_j),
        ("... a person", energy.person_j),
        ("Heat in the battery", energy.battery_heat_j),
        ("... the cable", energy.cable_heat_j),
        ("... the winding", energy.winding_heat_j),
        ("... gear, brake, oil", energy.gear_heat_j),
        ("... the rig's blocks", energy.rig_heat_j),
        ("Work on the line", energy.line_j),
        ("Work on the casualty", energy.casualty_j),
    ];
    for (what, joules) in rows {
        if joules != 0.0 {
            page.fact(what, &units.energy(joules));
        }
    }
    page.fact("Unaccounted for", &percent(energy.error_share));
}

#[cfg(test)]
pub mod sample {
    //! A haul to lay out.

    use steadypull_contract::answer::*;

    fn course(end: HaulEnd, words: &str) -> HaulCourse {
        HaulCourse {
            break_out_n: 24_000.0,
            sliding_n: 18_000.0,
            walks_at_n: 25_000.0,
            end,
            end_words: words.into(),
            movement_m: 4.0,
            line_in_m: 8.0,
            time_s: 424.0,
            resting_s: 300.0,
            rests: 1,
            first_rest_after_s: Some(81.0),
            first_layer: 3,
            last_layer: 4,
            greatest_line_pull_n: 12_600.0,
            share_of_pull: 0.52,
            share_of_stall: 0.44,
            limited_by: "its rated pull".into(),
            electric: Some(HaulElectric {
                greatest_current_a: 260.0,
                least_volts_v: Some(10.4),
                hottest_winding_c: 160.0,
                winding_limit_c: 160.0,
                charge_left_share: 0.71,
                charge_least_share: 0.2,
            }),
            greatest_pressure_pa: None,
            greatest_handle_n: None,
            events: vec![PullEvent {
                time_s: 0.0,
                what: "the haul begins".into(),
            }],
            energy: HaulEnergy {
                battery_j: 2e5,
                alternator_j: 1e5,
                engine_j: 0.0,
                person_j: 0.0,
                battery_heat_j: 2e4,
                cable_heat_j: 1e4,
                winding_heat_j: 9e4,
                gear_heat_j: 1e5,
                line_j: 8e4,
                rig_heat_j: 5e3,
                casualty_j: 7.5e4,
                error_share: 1e-12,
            },
            series: HaulSeries {
                time_s: vec![0.0, 424.0],
                line_in_m: vec![0.0, 8.0],
                movement_m: vec![0.0, 4.0],
                layer: vec![3, 4],
                line_pull_n: vec![12_600.0, 9500.0],
                line_speed_m_s: vec![0.03, 0.04],
                power_in_w: vec![2700.0, 2500.0],
                power_out_w: vec![380.0, 380.0],
                current_a: Some(vec![260.0, 210.0]),
                volts_v: Some(vec![10.4, 10.9]),
                winding_c: Some(vec![30.0, 95.0]),
                charge_share: Some(vec![0.9, 0.71]),
                pressure_pa: None,
                handle_n: None,
            },
        }
    }

    /// A haul to lay out.
    pub fn haul() -> WinchHaul {
        WinchHaul {
            drive: "electric".into(),
            rated_pull_n: 42_000.0,
            preset: Some("WG-E42".into()),
            plate: vec!["first layer, 12 V: 0 kN at 9 m/min, 70 A".into()],
            drum: WinchDrum {
                line: "a winch line with a name that goes on and on".into(),
                line_length_m: 28.0,
                line_diameter_m: 0.01,
                layer_planned: 3,
                paid_out_m: 16.0,
                wraps_left: 41.0,
                least_wraps: 10,
                most_paid_out_m: 25.7,
                holds_m: None,
                layers: (1..=4)
                    .map(|layer| WinchLayer {
                        layer,
                        rated_pull_n: 42_000.0 / f64::from(layer),
                        stall_pull_n: 47_000.0 / f64::from(layer),
                        paid_out_when_full_m: 28.0 - 5.0 * f64::from(layer),
                    })
                    .collect(),
            },
            advantage: 1.9,
            haul_per_metre: 2.0,
            distance_m: 4.0,
            design: course(HaulEnd::Walks, "stopped: the anchoring vehicle is drawn on"),
            median: course(HaulEnd::Arrived, "arrived"),
            model: "constant torque on the drum".into(),
        }
    }
}
