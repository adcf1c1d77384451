//! The plan as lines for the brief: what was put in, filled-in values included.

use steadypull_engine::gear::anchor::words;
use steadypull_engine::plan::{
    Anchor, AnchorKind, Block, Casualty, Damper, Hitch, Holder, Kit, Layout, Line, LineAnchor,
    Lowering, Part, Plan, Pose, RecoveryPoint, Rig, Shackle, TestedLine, Tether, Tug, Vehicle,
};
use steadypull_engine::units::{Angle, Duration};

use super::words::Words;
use crate::show::{Units, figures, percent};

/// One line for each input, in the order of the plan file.
pub fn inputs(plan: &Plan, units: Units) -> Vec<String> {
    let mut lines = casualty(&plan.casualty, units);
    lines.extend(tug(&plan.tug, units));
    lines.extend(kit(&plan.kit, units));
    lines.extend(plan.tested.iter().map(tested_line));
    lines.extend(plan.rig.as_ref().map(|rig| rig_line(rig, units)));
    let layout = plan.rig.as_ref().and_then(|rig| rig.layout.as_ref());
    lines.extend(
        layout
            .into_iter()
            .flat_map(|l| layout_lines(plan, l, units)),
    );
    lines.extend(plan.lowering.iter().flat_map(|l| lowering(l, units)));
    lines.extend(super::site::lines(&plan.site, units));
    if !plan.tried.is_empty() {
        let tried: Vec<&str> = plan.tried.iter().map(|method| method.word()).collect();
        lines.push(format!("tried without success: {}", tried.join(", ")));
    }
    let people = &plan.people;
    let at = people
        .bystanders_at
        .map(|at| format!(", at {}", units.length(at.get())));
    let at = at.unwrap_or_default();
    lines.push(format!(
        "people: crew {}, bystanders {}{at}",
        people.crew, people.bystanders
    ));
    lines
}

/// Where a line was measured.
fn tested_line(tested: &TestedLine) -> String {
    format!(
        "line {}: measured on {} in {} pulls{}, data up to {} of MBS ({})",
        tested.line,
        tested.date,
        tested.pulls,
        if tested.wet { ", wet" } else { "" },
        percent(tested.data_to),
        tested.file
    )
}

fn casualty(casualty: &Casualty, units: Units) -> Vec<String> {
    let mut lines = vehicle("casualty", &casualty.vehicle, units);
    lines.extend(super::body::lines(
        "casualty",
        &casualty.vehicle.shape,
        units,
    ));
    lines.push(format!("casualty sits in {}", casualty.soil.word()));
    lines.push(match &casualty.sunk {
        None => "casualty is not sunk".into(),
        Some(sunk) => format!(
            "casualty sunk {} deep; hub at {}, guard at {}, body at {}",
            units.length(sunk.depth.get()),
            units.length(sunk.hub_height.get()),
            units.length(sunk.guard_height.get()),
            units.length(sunk.body_height.get())
        ),
    });
    lines.push(format!("casualty stuck for {}", time(casualty.stuck_for)));
    if let Some(area) = casualty.contact_area {
        lines.push(format!("casualty contact area {} m2", figures(area.get())));
    }
    lines.push(format!(
        "casualty slope along the pull {}",
        slope(casualty.slope_along)
    ));
    lines.push(format!(
        "casualty slope across the pull {}",
        degrees(casualty.slope_across)
    ));
    if let Some(hold) = &casualty.held_by {
        let yields = match hold.yields_at {
            Some(force) => format!("yields at {}", units.force(force.get())),
            None => "does not yield".into(),
        };
        lines.push(format!("casualty held by {}: {yields}", hold.what));
    }
    lines.push(format!(
        "casualty wheels locked: {}",
        casualty.locked_wheels
    ));
    for (said, what) in [
        (casualty.own_drive, "casualty drives with the pull"),
        (
            casualty.back_along_tracks,
            "casualty goes back along its tracks",
        ),
        (casualty.overturned, "casualty lies on its side or roof"),
    ] {
        lines.extend(said.then(|| what.to_string()));
    }
    lines.push(format!(
        "casualty free after {}",
        units.length(casualty.free_after.get())
    ));
    lines
}

fn tug(tug: &Tug, units: Units) -> Vec<String> {
    let mut lines = vehicle("tug", &tug.vehicle, units);
    lines.push(format!(
        "tug stands on {}: grip {} (spread {}), rolling {}",
        tug.surface.word(),
        figures(tug.grip),
        figures(tug.grip_spread),
        figures(tug.rolling)
    ));
    lines.push(format!(
        "tug slope along the pull {}",
        slope(tug.slope_along)
    ));
    let stays = if tug.holds_drive {
        "stays on"
    } else {
        "lifts off"
    };
    lines.push(format!(
        "tug power {} kW at the wheels, greatest drive {}; driver {stays} when the line comes taut",
        figures(tug.power.to_kw()),
        units.force(tug.max_drive.get())
    ));
    lines.push(format!(
        "tug windscreen from {} up, roof at {}",
        units.length(tug.vehicle.shape.screen_height.get()),
        units.length(tug.vehicle.shape.roof_height.get())
    ));
    lines.extend(super::body::lines("tug", &tug.vehicle.shape, units));
    if let Some(winch) = &tug.winch {
        let mount = winch
            .mount_mbs
            .map(|mbs| format!(", mount MBS {}", units.force(mbs.get())));
        lines.push(format!(
            "tug winch: {}, rated {} on layer 1, layer {} in use, line {}{}",
            winch.drive.word(),
            units.force(winch.rated_pull.get()),
            winch.layer,
            winch.line,
            mount.unwrap_or_default()
        ));
        let preset = winch
            .preset
            .as_ref()
            .map(|name| format!(", plate as {name}"));
        lines.push(format!(
            "tug winch drum: {} paid out, {} wraps stay on{}",
            units.length(winch.paid_out.get()),
            winch.least_wraps,
            preset.unwrap_or_default()
        ));
    }
    lines
}

fn vehicle(which: &str, vehicle: &Vehicle, units: Units) -> Vec<String> {
    let driven = match vehicle.driven.word() {
        "all" => "all wheels".to_string(),
        "none" => "no wheels".to_string(),
        axle => format!("{axle} wheels"),
    };
    let tyres = (
        pressure(vehicle.tyre_pressure.to_kpa()),
        pressure(vehicle.road_tyre_pressure.to_kpa()),
    );
    let mut lines = vec![
        format!("{which} {}: {driven} driven", vehicle.name),
        format!(
            "{which} mass {}, gross {}",
            units.mass(vehicle.mass.get()),
            units.mass(vehicle.gross_mass.get())
        ),
        format!("{which} tyres {} (road {})", tyres.0, tyres.1),
    ];
    lines.extend(
        vehicle
            .recovery_points
            .iter()
            .map(|point| point_line(which, point, units)),
    );
    lines
}

/// Both units: gauges in the field show one or the other.
fn pressure(kilopascals: f64) -> String {
    let psi = steadypull_engine::units::Pressure::from_kpa(kilopascals).to_psi();
    format!("{} kPa/{} psi", figures(kilopascals), figures(psi))
}

fn point_line(which: &str, point: &RecoveryPoint, units: Units) -> String {
    let rating = |what: &str, force: Option<steadypull_engine::units::Force>| {
        force
            .map(|f| format!(", {what} {}", units.force(f.get())))
            .unwrap_or_default()
    };
    format!(
        "{which} point {which}.{}: {}{}{}, at {}, side angle {}",
        point.name,
        point.kind.word(),
        rating("WLL", point.wll),
        rating("MBS", point.mbs),
        units.length(point.height.get()),
        degrees(point.side_angle)
    )
}

fn kit(kit: &Kit, units: Units) -> Vec<String> {
    let mut lines: Vec<String> = kit
        .parts
        .iter()
        .map(|part| part_line(part, units))
        .collect();
    lines.extend(kit.dampers.iter().map(|damper| damper_line(damper, units)));
    lines.extend(kit.tethers.iter().map(|tether| tether_line(tether, units)));
    lines.extend(kit.anchors.iter().map(|anchor| anchor_line(anchor, units)));
    if let Some(boards) = kit.aids.boards {
        lines.push(format!(
            "boards: {}, grip {}",
            boards.count,
            figures(boards.grip)
        ));
    }
    let inflator = if kit.aids.inflator {
        "an inflator"
    } else {
        "no inflator"
    };
    lines.push(format!("tools: {} shovels, {inflator}", kit.aids.shovels));
    lines
}

fn anchor_line(anchor: &Anchor, units: Units) -> String {
    let [x, y, z] = anchor.place.metres().map(|m| units.length(m));
    let more = match &anchor.kind {
        AnchorKind::Tree(tree) => format!(
            ", {}, {}, {} tall",
            tree.sort.word(),
            if tree.sound { "sound" } else { "not sound" },
            units.length(tree.height.get())
        ),
        AnchorKind::Pickets(pickets) => format!(", {} ground", pickets.ground.word()),
        AnchorKind::Deadman(deadman) => format!(
            ", {} ground, line {} up",
            deadman.ground.word(),
            degrees(Angle::from_grade(deadman.line_slope))
        ),
        AnchorKind::Plate(plate) => format!(", {} ground", plate.ground.word()),
        AnchorKind::Vehicle(vehicle) => format!(
            ", grip {}, pulled {} a slope of {}{}",
            figures(vehicle.grip),
            if vehicle.slope_along.get() < 0.0 {
                "up"
            } else {
                "down"
            },
            degrees(vehicle.slope_along.abs()),
            if vehicle.chocked { ", chocked" } else { "" }
        ),
        AnchorKind::Stated(stated) => {
            format!(", holds {}", units.force_as_load(stated.holds.get()))
        }
    };
    format!(
        "anchor {} at {x}, {y}, {z}: {}{more}",
        anchor.name,
        words(anchor, units)
    )
}

fn part_line(part: &Part, units: Units) -> String {
    match part {
        Part::Line(line) => format!("line {}", line_words(line, units)),
        Part::Shackle(shackle) => shackle_line(shackle, units),
        Part::Bridle(bridle) => format!(
            "bridle {}, between {} and {}, {} apart{}",
            line_words(&bridle.line, units),
            bridle.points[0],
            bridle.points[1],
            units.length(bridle.span.get()),
            if bridle.equalising {
                ", equalising"
            } else {
                ""
            }
        ),
        Part::Block(block) => block_line(block, units),
    }
}

fn block_line(block: &Block, units: Units) -> String {
    let (what, turns) = match block.ring_friction {
        Some(friction) => ("ring", format!("friction {}", figures(friction))),
        None => ("block", format!("efficiency {}", percent(block.efficiency))),
    };
    format!(
        "{what} {}: WLL {}, MBS {}, {turns}",
        block.name,
        units.force_as_load(block.wll.get()),
        units.force_as_load(block.mbs.get()),
    )
}

fn line_words(line: &Line, units: Units) -> String {
    let mut words = format!(
        "{}: {} {}, {}, MBS {}, {} stretch at MBS, {} worn",
        line.name,
        if line.kinetic {
            "kinetic"
        } else {
            "low-stretch"
        },
        line.material.word(),
        units.length(line.length.get()),
        units.force_as_load(line.mbs.get()),
        percent(line.curve.strain_at_break()),
        percent(line.condition.wear)
    );
    let parts_at = line
        .parts_at
        .map(|share| format!("taken to part inside {} along it", percent(share)));
    let knot = format!("knot {}", line.condition.knot.word());
    let seen = format!("stretched {} today", percent(line.condition.strain_seen));
    for (said, what) in [
        (line.condition.wet, "wet"),
        (
            line.condition.knot != steadypull_engine::line::Knot::None,
            &knot,
        ),
        (line.condition.strain_seen > 0.0, &seen),
        (!line.labelled, "no label"),
        (parts_at.is_some(), parts_at.as_deref().unwrap_or_default()),
    ] {
        if said {
            words += &format!(", {what}");
        }
    }
    match line.hitch {
        Hitch::Straight => {}
        hitch => words += &format!(", rigged as a {}", hitch.word()),
    }
    words
}

fn shackle_line(shackle: &Shackle, units: Units) -> String {
    let wll = shackle
        .wll
        .map(|wll| format!("WLL {}, ", units.force_as_load(wll.get())));
    let gap = shackle.pin_gap.map(|gap| {
        let mm = figures(gap.to_mm());
        format!(", {mm} mm free on its pin")
    });
    let gap = gap.unwrap_or_default();
    format!(
        "shackle {}: {}, {}MBS {}, {}, side angle {}{gap}",
        shackle.name,
        shackle.kind.word(),
        wll.unwrap_or_default(),
        units.force_as_load(shackle.mbs.get()),
        units.mass(shackle.mass.get()),
        degrees(shackle.side_angle)
    )
}

fn damper_line(damper: &Damper, units: Units) -> String {
    format!(
        "damper {}: {}, at {} of the line from the casualty",
        damper.name,
        units.mass(damper.mass.get()),
        percent(damper.place)
    )
}

fn tether_line(tether: &Tether, units: Units) -> String {
    format!(
        "tether {}: at the {}, {}, MBS {}",
        tether.name,
        if tether.at_casualty {
            "casualty"
        } else {
            "tug"
        },
        units.length(tether.length.get()),
        units.force_as_load(tether.mbs.get())
    )
}

fn rig_line(rig: &Rig, units: Units) -> String {
    let speed = rig
        .run_up_speed
        .map(|speed| format!("; run-up {}", units.speed(speed.get())));
    let slack = if rig.slack.get() > 0.0 {
        format!("; slack {}", units.length(rig.slack.get()))
    } else {
        String::new()
    };
    let path = match rig.layout {
        Some(_) => "laid out on the ground".to_string(),
        None => rig.path.join(" - "),
    };
    format!(
        "rig for {}: {path}{}{slack}",
        rig.method.word(),
        speed.unwrap_or_default()
    )
}

/// Where the vehicles and the points in use stand, and each run.
fn layout_lines(plan: &Plan, layout: &Layout, units: Units) -> Vec<String> {
    let mut lines = vec![
        pose_line("casualty", &layout.casualty, units),
        pose_line("tug", &layout.tug, units),
    ];
    for (which, vehicle) in [
        ("casualty", &plan.casualty.vehicle),
        ("tug", &plan.tug.vehicle),
    ] {
        for point in &vehicle.recovery_points {
            let full = format!("{which}.{}", point.name);
            if in_use(plan, layout, &full) {
                let (forward, left) = (point.forward.get(), point.offset.get());
                lines.push(format!("{full} lies {}", from_middle(forward, left, units)));
            }
        }
    }
    if let Some(winch) = plan.tug.winch.as_ref()
        && in_use(plan, layout, "tug.winch")
    {
        let lies = from_middle(winch.forward.get(), 0.0, units);
        lines.push(format!("tug.winch lies {lies}"));
    }
    let runs = layout.runs.iter();
    lines.extend(runs.map(|run| format!("run {}: {}", run.name, run.path.join(" - "))));
    lines
}

fn pose_line(which: &str, pose: &Pose, units: Units) -> String {
    let [x, y, z] = pose.at.metres().map(|metres| units.length(metres));
    format!(
        "{which} stands at {x}, {y}, height {z}, facing {}",
        degrees(pose.facing)
    )
}

/// Whether a run ends at a point, or at a bridle between it and another.
fn in_use(plan: &Plan, layout: &Layout, full: &str) -> bool {
    let mut names = layout.runs.iter().flat_map(|run| &run.path);
    names.any(|name| match plan.kit.part(name) {
        Some(Part::Bridle(bridle)) => bridle.points.iter().any(|point| point == full),
        _ => name == full,
    })
}

fn from_middle(forward: f64, left: f64, units: Units) -> String {
    let along = if forward < 0.0 { "behind" } else { "ahead of" };
    let ahead = units.length(forward.abs());
    let side = match left {
        l if l > 0.0 => format!(", {} to the left", units.length(l)),
        l if l < 0.0 => format!(", {} to the right", units.length(-l)),
        _ => String::new(),
    };
    format!("{ahead} {along} its middle{side}")
}

fn lowering(lowering: &Lowering, units: Units) -> Vec<String> {
    let pieces: Vec<String> = lowering
        .way
        .iter()
        .map(|p| format!("{} at {}", units.length(p.length.get()), degrees(p.slope)))
        .collect();
    let body = &lowering.body;
    let nose = if body.nose_down { "down" } else { "up" };
    let mut lines = vec![
        format!("way down: {}", pieces.join(", ")),
        format!(
            "lowered nose {nose} from {} to {} of the way, edges rounded to {}",
            units.length(lowering.from.get()),
            units.length(lowering.to.get()),
            units.length(lowering.edge_radius.get())
        ),
        format!(
            "lowered vehicle: wheelbase {}, centre of gravity {} up, {} on the front axle, chassis {} up",
            units.length(body.wheelbase.get()),
            units.length(body.cg_height.get()),
            percent(body.front_share),
            units.length(body.clearance.get())
        ),
        format!(
            "lowering ground: {}, rolling {}, its own brakes hold {} of the load on its wheels",
            lowering.surface.word(),
            figures(lowering.rolling),
            percent(lowering.own_hold)
        ),
    ];
    let main = &lowering.main;
    let held = match main.holder {
        Holder::Winch => "winch".to_string(),
        Holder::Turns(turns) => format!(
            "{} turns round a {}, friction {}",
            turns.turns,
            turns.round.word(),
            figures(turns.friction)
        ),
    };
    lines.push(format!(
        "lowering line {} from {}: {held}, {}",
        main.line,
        main.point,
        anchor_words(&main.anchor, units)
    ));
    if let Some(belay) = &lowering.belay {
        let slips = belay.slips_at.map_or("fixed".to_string(), |force| {
            format!("slips at {}", units.force(force.get()))
        });
        lines.push(format!(
            "belay {} from {}: slack {}, {slips}, {}",
            belay.line,
            belay.point,
            units.length(belay.slack.get()),
            anchor_words(&belay.anchor, units)
        ));
    }
    lines
}

fn anchor_words(anchor: &LineAnchor, units: Units) -> String {
    let holds = anchor
        .holds
        .map(|(force, _)| format!(", holds {}", units.force(force.get())));
    format!(
        "on {} {} uphill of the top{}",
        anchor.name,
        units.length(anchor.back.get()),
        holds.unwrap_or_default()
    )
}

fn time(span: Duration) -> String {
    let minutes = span.to_min();
    if minutes < 120.0 {
        format!("{} min", figures(minutes))
    } else {
        format!("{} h", figures(minutes / 60.0))
    }
}

fn degrees(angle: Angle) -> String {
    format!("{} deg", figures(angle.to_deg()))
}

fn slope(angle: Angle) -> String {
    let way = match angle.get() {
        rise if rise > 0.0 => " uphill",
        rise if rise < 0.0 => " downhill",
        _ => " (level)",
    };
    format!("{}{way}", degrees(angle.abs()))
}
