//! The rig as planned, or one proposed from the kit for a method.

use thiserror::Error;

use super::laid_out::laid_out_path;
use super::links::{
    Link, LinkKind, Side, block_link, bridle_link, line_link, point, shackle_link, winch_link,
};
use super::solved::LaidOut;
use super::statics::StaticsError;
use crate::line::{CurveError, Law};
use crate::plan::{Line, Method, Part, Plan, Rig, Shackle};
use crate::units::{Force, Length};

/// A load path for a method.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadPath {
    /// The method.
    pub method: Method,
    /// Whether the tool proposed it.
    pub proposed: bool,
    /// Links from casualty to tug.
    pub links: Vec<Link>,
    /// Lines from casualty to tug, bridles left out (short, taken as stiff).
    pub lines: Vec<Line>,
    /// Pull at the casualty over pull at the winch; 1 without blocks.
    pub advantage: f64,
    /// The rig on the ground, if it is not a straight path.
    pub laid_out: Option<LaidOut>,
}

/// Why there is no load path.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PathError {
    /// Something is not in the kit.
    #[error("{0}")]
    Missing(String),
    /// A name leads nowhere.
    #[error("`{0}` is not in the plan")]
    Unknown(String),
    /// A bridle does not reach.
    #[error("bridle `{0}` is too short for the points it spans")]
    BridleTooShort(String),
    /// A rig on the ground that cannot be laid as described.
    #[error("the rig cannot be laid: {0}")]
    NotLaid(String),
    /// A rig on the ground that cannot be solved.
    #[error(transparent)]
    NotSolved(#[from] StaticsError),
}

impl LoadPath {
    /// A path that has no parts yet.
    pub fn without_parts(method: Method) -> Self {
        Self {
            method,
            proposed: false,
            links: Vec::new(),
            lines: Vec::new(),
            advantage: 1.0,
            laid_out: None,
        }
    }

    /// The line that gives most of its stretch; how sure that line is counts for all of them.
    pub fn leading_line(&self) -> Option<&Line> {
        let gives = |line: &Line| line.curve.strain_at_break() * line.length.get();
        let lines = self.lines.iter();
        lines.max_by(|a, b| gives(a).total_cmp(&gives(b)))
    }

    /// Rest length of its lines; of a rig on the ground what is out of the lines
    /// that are hauled.
    pub fn line_length(&self) -> Length {
        if let Some(rig) = &self.laid_out {
            return rig.hauled_out();
        }
        self.lines.iter().map(|line| line.length).sum()
    }

    /// The law of its lines joined end to end.
    pub fn law(&self) -> Result<Law, CurveError> {
        Law::in_series(&self.line_laws())
    }

    /// Each line's law and rest length.
    pub fn line_laws(&self) -> Vec<(Law, Length)> {
        self.lines
            .iter()
            .map(|l| {
                (
                    Law::new(&l.curve, l.mbs, &l.condition, l.material),
                    l.length,
                )
            })
            .collect()
    }
}

/// The load path for `method`: the plan's rig if it is for that method, else the
/// simplest proposed from the kit.
pub fn find_path(plan: &Plan, method: Method) -> Result<LoadPath, PathError> {
    match &plan.rig {
        Some(rig) if rig.method == method && rig.layout.is_some() => laid_out_path(plan, rig),
        Some(rig) if rig.method == method => planned(plan, rig),
        _ => proposed(plan, method),
    }
}

fn planned(plan: &Plan, rig: &Rig) -> Result<LoadPath, PathError> {
    let blocks: Vec<f64> = rig
        .path
        .iter()
        .filter_map(|name| match plan.kit.part(name) {
            Some(Part::Block(block)) => Some(block.efficiency),
            _ => None,
        })
        .collect();
    if blocks.len() > 1 {
        return Err(PathError::NotLaid(
            "a straight path holds one block at most; lay the rig out by its runs".into(),
        ));
    }
    // One block at the casualty doubles the line.
    let advantage = blocks.iter().fold(1.0, |sum, efficiency| sum + efficiency);
    let mut path = LoadPath {
        advantage,
        ..LoadPath::without_parts(rig.method)
    };
    for (i, name) in rig.path.iter().enumerate() {
        let side = side_of(i, rig.path.len());
        add(&mut path, plan, name, side)?;
    }
    refuse_metal_joiners(&mut path);
    Ok(path)
}

fn side_of(i: usize, count: usize) -> Side {
    if i < 2 && i * 2 < count {
        Side::Casualty
    } else if i + 2 >= count {
        Side::Tug
    } else {
        Side::Between
    }
}

fn add(path: &mut LoadPath, plan: &Plan, name: &str, side: Side) -> Result<(), PathError> {
    let per_part = 1.0 / path.advantage;
    if let Some(found) = vehicle_link(plan, name, per_part) {
        path.links.push(found);
        return Ok(());
    }
    let behind_block = path.links.iter().any(|l| l.kind == LinkKind::Block);
    match plan
        .kit
        .part(name)
        .ok_or_else(|| PathError::Unknown(name.to_string()))?
    {
        Part::Line(line) => {
            let share = if behind_block { per_part } else { 1.0 };
            path.links.push(Link {
                load_share: share,
                ..line_link(line, Side::Between)
            });
            path.lines.push(line.clone());
        }
        Part::Shackle(shackle) => path.links.push(shackle_link(shackle, side)),
        Part::Bridle(bridle) => {
            let found = bridle_link(bridle, side)
                .ok_or_else(|| PathError::BridleTooShort(name.to_string()))?;
            // Each point carries its leg.
            for point_name in &bridle.points {
                if let Some(mut end) = vehicle_link(plan, point_name, per_part) {
                    end.load_share = found.load_share;
                    path.links.push(end);
                }
            }
            path.links.push(found);
        }
        Part::Block(block) => path.links.push(block_link(block, side, 1.0)),
    }
    Ok(())
}

pub(super) fn vehicle_link(plan: &Plan, name: &str, winch_share: f64) -> Option<Link> {
    if name == "tug.winch" {
        return plan.tug.winch.as_ref().map(|w| winch_link(w, winch_share));
    }
    let (vehicle, side, short) = if let Some(short) = name.strip_prefix("casualty.") {
        (&plan.casualty.vehicle, Side::Casualty, short)
    } else {
        (&plan.tug.vehicle, Side::Tug, name.strip_prefix("tug.")?)
    };
    let found = vehicle.recovery_points.iter().find(|p| p.name == short)?;
    Some(point(name, found, vehicle, side))
}

/// Two kinetic lines are never joined by metal (common practice).
fn refuse_metal_joiners(path: &mut LoadPath) {
    let kinetic = |link: &Link| link.kind == LinkKind::KineticLine;
    let first = path.links.iter().position(kinetic);
    let last = path.links.iter().rposition(kinetic);
    let (Some(first), Some(last)) = (first, last) else {
        return;
    };
    for link in &mut path.links[first..=last] {
        if link.metal && link.kind != LinkKind::KineticLine {
            link.refused =
                Some("metal hardware between two kinetic lines flies when either parts".into());
        }
    }
}

/// Rigs to propose for `method`, simplest first: a winch pull in several parts is
/// tried as a double line, then, with a second block, as a triple line.
pub fn proposals(plan: &Plan, method: Method) -> Result<Vec<LoadPath>, PathError> {
    let simplest = proposed(plan, method)?;
    if method != Method::WinchMulti {
        return Ok(vec![simplest]);
    }
    let triple = triple_line(plan);
    Ok(core::iter::once(simplest).chain(triple).collect())
}

fn proposed(plan: &Plan, method: Method) -> Result<LoadPath, PathError> {
    let advantage = match method {
        Method::WinchMulti => 1.0 + best_blocks(plan)?[0].efficiency,
        _ => 1.0,
    };
    let mut path = LoadPath {
        proposed: true,
        advantage,
        ..LoadPath::without_parts(method)
    };
    let mut shackles = shackles_by_strength(plan).into_iter();
    path.links.push(best_point(plan, Side::Casualty)?);
    path.links
        .extend(shackles.next().map(|s| shackle_link(s, Side::Casualty)));
    if method == Method::WinchMulti {
        path.links
            .push(block_link(best_blocks(plan)?[0], Side::Casualty, 1.0));
    }
    let line = line_for(plan, method)?;
    let share = 1.0 / advantage;
    path.links.push(Link {
        load_share: share,
        ..line_link(line, Side::Between)
    });
    path.lines.push(line.clone());
    if matches!(method, Method::WinchSingle | Method::WinchMulti) {
        let winch = plan.tug.winch.as_ref().ok_or_else(no_winch)?;
        path.links.push(winch_link(winch, share));
    } else {
        path.links
            .extend(shackles.next().map(|s| shackle_link(s, Side::Tug)));
        path.links.push(best_point(plan, Side::Tug)?);
    }
    Ok(path)
}

/// From the winch round a block at the casualty, back round one at the tug, and
/// made fast to the casualty's shackle; `None` where something for it is missing.
fn triple_line(plan: &Plan) -> Option<LoadPath> {
    let blocks = best_blocks(plan).ok()?;
    let [moving, standing, ..] = blocks[..] else {
        return None;
    };
    let (e1, e2) = (standing.efficiency, moving.efficiency);
    // From the winch: 1, then what survives the moving and the standing block.
    let tensions = [1.0, e2, e2 * e1];
    let advantage: f64 = tensions.iter().sum();
    let mut path = LoadPath {
        proposed: true,
        advantage,
        ..LoadPath::without_parts(Method::WinchMulti)
    };
    let mut shackles = shackles_by_strength(plan).into_iter();
    path.links.push(best_point(plan, Side::Casualty).ok()?);
    path.links
        .push(shackle_link(shackles.next()?, Side::Casualty));
    let on_moving = (tensions[0] + tensions[1]) / advantage;
    path.links
        .push(block_link(moving, Side::Casualty, on_moving));
    let line = line_for(plan, Method::WinchMulti).ok()?;
    path.links.push(Link {
        load_share: 1.0 / advantage,
        ..line_link(line, Side::Between)
    });
    path.lines.push(line.clone());
    let on_standing = (tensions[1] + tensions[2]) / advantage;
    path.links
        .push(block_link(standing, Side::Tug, on_standing));
    path.links.push(Link {
        load_share: on_standing,
        ..shackle_link(shackles.next()?, Side::Tug)
    });
    path.links.push(Link {
        load_share: on_standing,
        ..best_point(plan, Side::Tug).ok()?
    });
    let winch = plan.tug.winch.as_ref()?;
    path.links.push(winch_link(winch, 1.0 / advantage));
    Some(path)
}

fn no_winch() -> PathError {
    PathError::Missing("the tug has no winch".into())
}

/// The blocks that turn on something, strongest first; at least one.
fn best_blocks(plan: &Plan) -> Result<Vec<&crate::plan::Block>, PathError> {
    let mut found: Vec<_> = plan
        .kit
        .parts
        .iter()
        .filter_map(|p| {
            if let Part::Block(block) = p {
                Some(block)
            } else {
                None
            }
        })
        .filter(|block| block.ring_friction.is_none())
        .collect();
    found.sort_by(|a, b| b.wll.get().total_cmp(&a.wll.get()));
    if found.is_empty() {
        return Err(PathError::Missing("there is no block in the kit".into()));
    }
    Ok(found)
}

fn shackles_by_strength(plan: &Plan) -> Vec<&Shackle> {
    let mut found: Vec<&Shackle> = plan
        .kit
        .parts
        .iter()
        .filter_map(|p| {
            if let Part::Shackle(shackle) = p {
                Some(shackle)
            } else {
                None
            }
        })
        .filter(|s| s.wll.is_some() || !s.kind.is_metal())
        .collect();
    // Soft first: what flies is then light; then the strongest.
    found.sort_by(|a, b| {
        a.kind
            .is_metal()
            .cmp(&b.kind.is_metal())
            .then(b.mbs.get().total_cmp(&a.mbs.get()))
    });
    found
}

/// The strongest point that may carry a recovery load.
fn best_point(plan: &Plan, side: Side) -> Result<Link, PathError> {
    let (vehicle, who) = match side {
        Side::Casualty => (&plan.casualty.vehicle, "casualty"),
        _ => (&plan.tug.vehicle, "tug"),
    };
    let strength = |link: &Link| {
        let by_mbs = link.derated_mbs().map(|f| f.get() / 2.0);
        link.derated_wll()
            .map(Force::get)
            .into_iter()
            .chain(by_mbs)
            .fold(0.0, f64::max)
    };
    vehicle
        .recovery_points
        .iter()
        .map(|p| {
            let full = format!("{who}.{}", p.name);
            point(&full, p, vehicle, side)
        })
        .filter(|link| link.refused.is_none())
        .max_by(|a, b| strength(a).total_cmp(&strength(b)))
        .ok_or_else(|| {
            PathError::Missing(format!(
                "the {who} has no recovery point that may carry a recovery load"
            ))
        })
}

fn line_for(plan: &Plan, method: Method) -> Result<&Line, PathError> {
    let winching = matches!(method, Method::WinchSingle | Method::WinchMulti);
    if winching {
        let winch = plan.tug.winch.as_ref().ok_or_else(no_winch)?;
        return match plan.kit.part(&winch.line) {
            Some(Part::Line(line)) => Ok(line),
            _ => Err(PathError::Unknown(winch.line.clone())),
        };
    }
    let on_winch = plan.tug.winch.as_ref().map(|w| w.line.as_str());
    let kinetic = method == Method::Kinetic;
    plan.kit
        .parts
        .iter()
        .filter_map(|p| {
            if let Part::Line(line) = p {
                Some(line)
            } else {
                None
            }
        })
        .filter(|l| l.kinetic == kinetic && Some(l.name.as_str()) != on_winch)
        .max_by(|a, b| a.mbs.get().total_cmp(&b.mbs.get()))
        .ok_or_else(|| {
            let what = if kinetic { "kinetic" } else { "low-stretch" };
            PathError::Missing(format!("there is no {what} line in the kit"))
        })
}
