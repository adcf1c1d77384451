//! The frames of a run as tracks of what moves, in whole millimetres.

use steadypull_engine::letgo::film::{BodyAt, Film, Frame};
use steadypull_engine::letgo::{Outcome, Setup};

use crate::operation::{ReplayTrack, TrackKind};

/// Where a place of a run is in the frame of the answer, m.
pub(super) type InFrame<'a> = &'a dyn Fn([f64; 3]) -> [f64; 3];

/// Names of what is on the line.
pub(super) struct Names<'a> {
    pub line: &'a str,
    pub hardware: &'a str,
    pub dampers: &'a [String],
    pub tethers: &'a [String],
}

/// Everything that moves, the line first.
pub(super) fn tracks(
    setup: &Setup,
    (outcome, film): (&Outcome, &Film),
    names: &Names,
    in_frame: InFrame,
) -> Vec<ReplayTrack> {
    let frames = film.frames.as_slice();
    let name = |list: &[String], k: usize| list.get(k).cloned().unwrap_or_default();
    let hardware_kg = setup.hardware.mass.get();
    let kg = |k: usize| setup.dampers[k].mass.get();
    let own_j = |kg: f64, body: &BodyAt| 0.5 * kg * body.speed_m_s * body.speed_m_s;
    let tip = |frame: &Frame| frame.nodes.last().copied();
    // All that moves but what has a track of its own.
    let line_j = |frame: &Frame| {
        let dampers = frame.dampers.iter().enumerate();
        let hung: f64 = dampers.map(|(k, body)| own_j(kg(k), body)).sum();
        let on_end = tip(frame).map_or(0.0, |body| own_j(hardware_kg, &body));
        (frame.moving_j - hung - on_end).max(0.0)
    };
    let line_kg = |line: &steadypull_engine::letgo::LinePart| {
        line.length.get() * line.mass_per_length.get() + line.joint_mass.get()
    };
    let mut found = vec![ReplayTrack {
        kind: TrackKind::Line,
        name: names.line.into(),
        mass_kg: setup.lines.iter().map(line_kg).sum(),
        points: setup.segments as u32 + 1,
        places_mm: places(frames, in_frame, |f, put| {
            f.nodes.iter().for_each(|n| put(n.place_m));
        }),
        speed_m_s: frames.iter().map(|f| f.free_end.speed.get()).collect(),
        energy_j: frames.iter().map(line_j).collect(),
        parts_at_s: None,
    }];
    let one = |kind, name, kg: f64, at: &dyn Fn(&Frame) -> Option<BodyAt>| ReplayTrack {
        kind,
        name,
        mass_kg: kg,
        points: 1,
        places_mm: places(frames, in_frame, |f, put| {
            at(f).iter().for_each(|b| put(b.place_m));
        }),
        speed_m_s: frames.iter().filter_map(at).map(|b| b.speed_m_s).collect(),
        energy_j: frames
            .iter()
            .filter_map(at)
            .map(|b| own_j(kg, &b))
            .collect(),
        parts_at_s: None,
    };
    if hardware_kg > 0.0 {
        found.push(one(
            TrackKind::Hardware,
            names.hardware.into(),
            hardware_kg,
            &tip,
        ));
    }
    for k in 0..setup.dampers.len() {
        let at = |f: &Frame| f.dampers.get(k).copied();
        found.push(one(TrackKind::Damper, name(names.dampers, k), kg(k), &at));
    }
    for (k, tether) in setup.tethers.iter().enumerate() {
        found.push(ReplayTrack {
            kind: TrackKind::Tether,
            name: name(names.tethers, k),
            mass_kg: tether.mass.get(),
            points: 2,
            places_mm: places(frames, in_frame, |f, put| {
                if let Some(tether) = f.tethers.get(k) {
                    put(tether.anchor_m);
                    put(tether.line_m);
                }
            }),
            speed_m_s: Vec::new(),
            energy_j: Vec::new(),
            parts_at_s: outcome
                .tethers
                .get(k)
                .and_then(|t| t.parted_at)
                .map(|t| t.get()),
        });
    }
    found
}

/// Leaves out the points of a line before one of them.
pub(super) fn from_point(line: &mut ReplayTrack, first: usize) {
    let points = line.points as usize;
    let first = first.min(points - 1);
    let frames = line.places_mm.chunks(3 * points);
    line.places_mm = frames.flat_map(|f| f[3 * first..].to_vec()).collect();
    line.points = (points - first) as u32;
}

/// The places that `of` gives of each frame, one after another.
fn places(
    frames: &[Frame],
    in_frame: InFrame,
    of: impl Fn(&Frame, &mut dyn FnMut([f64; 3])),
) -> Vec<i32> {
    let mut found = Vec::new();
    for frame in frames {
        of(frame, &mut |place_m| {
            found.extend(in_frame(place_m).map(mm))
        });
    }
    found
}

/// Whole millimetres; what is further than a line could throw is kept at the edge.
pub(super) fn mm(m: f64) -> i32 {
    (m * 1e3).round() as i32
}
