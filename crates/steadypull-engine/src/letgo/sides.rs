//! Both sides of a link that lets go: which lines recoil to which vehicle, from
//! where, with what on their end, and what stays behind.
//!
//! What it answers: a straight load path parts at one place. On each side of it
//! whatever line is left recoils to the vehicle that still holds it; hardware
//! between the break and a line rides on that line's end; what hangs on a vehicle
//! without a line to throw it stays there, but for a bridle, which snaps back.
//!
//! - A link between a vehicle and the first line parts: all lines fly to the other
//!   vehicle.
//! - A link between two lines parts: the lines on each side fly to their vehicle,
//!   with the link on the end of either (nobody knows which keeps it).
//! - A line parts at its ends, or inside: two bare tails. Where, nobody knows: it is
//!   tried at [`INSIDE`] unless the plan says where.
//!
//! The energy in a bridle `E`, thrown with what hangs at its apex of mass `M`:
//! at most `min(sqrt(2 E/M), v_end)`, `v_end` the speed of the end of its legs alone.

use super::LinePart;
use super::assemble::free_end_speed;
use super::body::{BodyEnd, VehicleBody};
use super::side_setup::return_range;
use crate::line::Law;
use crate::plan::{Bridle, Line, Part, Plan, RecoveryPoint, Vehicle};
use crate::rig::{LinkKind, LoadPath, LoadedLink, Side};
use crate::units::{Energy, Force, Length, Mass, Speed, kinetic_energy};

/// Shares of a line, from its end that comes first, at which it is tried to part inside.
pub const INSIDE: [f64; 5] = [0.1, 0.3, 0.5, 0.7, 0.9];

/// Least mass taken for the end of a bridle, kg: half a soft shackle.
const LEAST_KG: f64 = 0.1;

/// A place where the path parts, and the vehicle to which this side of it flies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Which line the break is next to or in, from the casualty.
    pub line: usize,
    /// How far along that line from its casualty end, as a share.
    pub along: f64,
    /// The vehicle to which this side flies.
    pub flies_to: Side,
    /// Whether the break is inside the line, as against at an end of it.
    pub inside: bool,
}

impl Cut {
    /// The vehicle on the other side of the break.
    pub fn parted_from(&self) -> Side {
        other(self.flies_to)
    }

    /// The share of line `k` that flies.
    pub fn share_of(&self, k: usize) -> f64 {
        let past = match self.flies_to {
            Side::Tug => (k > self.line, 1.0 - self.along),
            _ => (k < self.line, self.along),
        };
        match past {
            (true, _) => 1.0,
            (false, share) if k == self.line => share,
            _ => 0.0,
        }
    }
}

/// What stays on the other vehicle.
#[derive(Debug, Clone, PartialEq)]
pub struct Stays {
    /// The vehicle.
    pub on: Side,
    /// Names of the links that stay on it, from the vehicle to the break.
    pub links: Vec<String>,
    /// Their mass, lines left out.
    pub mass: Mass,
    /// Line that is left there and flies to that vehicle: another case tells it.
    pub line: Length,
    /// A bridle that snaps back to its vehicle: greatest speed and energy, bounds.
    pub thrown: Option<(Speed, Energy)>,
}

/// The vehicle at the other end.
pub fn other(side: Side) -> Side {
    if side == Side::Tug {
        Side::Casualty
    } else {
        Side::Tug
    }
}

pub(super) fn is_line(kind: LinkKind) -> bool {
    matches!(kind, LinkKind::Line | LinkKind::KineticLine)
}

/// Where `line` is tried to part inside.
pub fn inside_places(line: &Line) -> Vec<f64> {
    line.parts_at.map_or(INSIDE.to_vec(), |place| vec![place])
}

/// The two sides of a break inside line number `line`, at a share `along` of it.
pub fn inside_cuts(line: usize, along: f64) -> [Cut; 2] {
    [Side::Tug, Side::Casualty].map(|flies_to| Cut {
        line,
        along,
        flies_to,
        inside: true,
    })
}

/// Which line of the path link `i` is; none for one that is no line.
pub fn line_number(links: &[LoadedLink], i: usize) -> Option<usize> {
    let before = links[..i].iter().filter(|l| is_line(l.link.kind)).count();
    is_line(links[i].link.kind).then_some(before)
}

/// Every side that flies when link `i` lets go; of a line, at its ends.
pub fn cuts(links: &[LoadedLink], i: usize) -> Vec<Cut> {
    let lines = links.iter().filter(|l| is_line(l.link.kind)).count();
    let before = links[..i].iter().filter(|l| is_line(l.link.kind)).count();
    let cut = |line: usize, along: f64, flies_to: Side| Cut {
        line,
        along,
        flies_to,
        inside: false,
    };
    let mut found = Vec::new();
    if is_line(links[i].link.kind) {
        found.push(cut(before, 0.0, Side::Tug));
        found.push(cut(before, 1.0, Side::Casualty));
        // Lines beyond a line that parts at its end keep the hardware of the join.
        if before > 0 {
            found.push(cut(before, 0.0, Side::Casualty));
        }
        if before + 1 < lines {
            found.push(cut(before, 1.0, Side::Tug));
        }
        return found;
    }
    if before < lines {
        found.push(cut(before, 0.0, Side::Tug));
    }
    if before > 0 {
        found.push(cut(before - 1, 1.0, Side::Casualty));
    }
    found
}

/// Mass on the end of the side that flies: the hardware between the break and its
/// line, with the link itself where that is no line.
pub fn hardware(links: &[LoadedLink], i: usize, cut: &Cut) -> Mass {
    let mass = |run: &mut dyn Iterator<Item = &LoadedLink>| -> Mass {
        run.take_while(|l| !is_line(l.link.kind))
            .map(|l| l.link.mass)
            .sum()
    };
    if !is_line(links[i].link.kind) {
        return match cut.flies_to {
            Side::Tug => mass(&mut links[i..].iter()),
            _ => mass(&mut links[..=i].iter().rev()),
        };
    }
    // A line's own tails are bare; past its ends the join flies.
    let own = cut.share_of(cut.line) > 0.0;
    match (own, cut.flies_to) {
        (true, _) => Mass::ZERO,
        (false, Side::Tug) => mass(&mut links[i + 1..].iter()),
        (false, _) => mass(&mut links[..i].iter().rev()),
    }
}

/// What stays on the other side of the break of link `i`.
pub fn stays(
    plan: &Plan,
    path: &LoadPath,
    links: &[LoadedLink],
    i: usize,
    cut: &Cut,
    tension: Force,
) -> Stays {
    let on = cut.parted_from();
    // From that vehicle up to the break; a line that parts inside is on both sides.
    let near: Vec<&LoadedLink> = match on {
        Side::Tug => links[i + 1..].iter().rev().collect(),
        _ => links[..i].iter().collect(),
    };
    let hung = near.iter().filter(|l| !is_line(l.link.kind));
    let line: Length = path
        .lines
        .iter()
        .enumerate()
        .map(|(k, line)| {
            let back = Cut {
                flies_to: on,
                ..*cut
            };
            line.length * back.share_of(k)
        })
        .sum();
    // Snaps back only where no line is left to hold it out.
    let bridle = near.iter().position(|l| l.link.kind == LinkKind::Bridle);
    let bare = line.get() <= 0.0;
    Stays {
        on,
        links: near.iter().map(|l| l.link.name.clone()).collect(),
        mass: hung.map(|l| l.link.mass).sum(),
        line,
        thrown: bridle.filter(|_| bare).and_then(|at| {
            let kg: f64 = near[at + 1..].iter().map(|l| l.link.mass.get()).sum();
            match plan.kit.part(&near[at].link.name) {
                Some(Part::Bridle(bridle)) => {
                    snaps_back(bridle, tension * near[at].link.load_share, kg)
                }
                _ => None,
            }
        }),
    }
}

/// Bounds of the speed and the energy with which a bridle under `leg` comes back.
fn snaps_back(bridle: &Bridle, leg: Force, hung_kg: f64) -> Option<(Speed, Energy)> {
    let line = &bridle.line;
    let law = Law::new(&line.curve, line.mbs, &line.condition, line.material)
        .with_energy_return(return_range(line).1);
    let leg_n = leg.get().min(law.breaking_n());
    if leg_n <= 1.0 {
        return None;
    }
    let part = LinePart {
        length: line.length,
        mass_per_length: line.mass_per_length,
        unloading: law.unloading(law.strain_at(leg_n)),
        diameter: line.material.diameter(line.mass_per_length),
        joint_mass: Mass::ZERO,
    };
    let stored_j = part.length.get() * part.unloading.energy(part.unloading.strain_max);
    let mass = Mass::new(hung_kg.max(LEAST_KG));
    let speed = (2.0 * stored_j / mass.get())
        .sqrt()
        .min(free_end_speed(&part));
    let speed = Speed::new(speed);
    Some((speed, kinetic_energy(mass, speed)))
}

/// The vehicle at `side` as a box seen along the line.
pub fn body(plan: &Plan, path: &LoadPath, side: Side) -> VehicleBody {
    let (vehicle, sunk) = match side {
        Side::Tug => (&plan.tug.vehicle, Length::ZERO),
        _ => (
            &plan.casualty.vehicle,
            plan.casualty.sunk.map_or(Length::ZERO, |s| s.depth),
        ),
    };
    let (end, offset) = end_of(plan, path, side, vehicle);
    // A point to the left of a vehicle's middle is to the left of the line of pull
    // seen towards its tail, to the right seen towards its nose.
    let seen = match end {
        BodyEnd::Rear => offset,
        BodyEnd::Front => -offset,
    };
    VehicleBody::new(&vehicle.shape, end, sunk, seen)
}

/// The end of a vehicle that the line comes to, and how far to the left of its
/// middle the point sits.
///
/// From how far forward the point is, which the plan states or which goes by its
/// name; of a point amidships the tug's tail and the casualty's nose.
pub fn end_of(plan: &Plan, path: &LoadPath, side: Side, vehicle: &Vehicle) -> (BodyEnd, Length) {
    let link = match side {
        Side::Tug => path.links.last(),
        _ => path.links.first(),
    };
    let points: Vec<&RecoveryPoint> = match link {
        Some(link) if link.kind == LinkKind::Winch => Vec::new(),
        Some(link) => points_of(plan, &link.name, vehicle),
        None => Vec::new(),
    };
    let count = points.len().max(1) as f64;
    let offset = points.iter().map(|p| p.offset.get()).sum::<f64>() / count;
    let winch = link.is_some_and(|l| l.kind == LinkKind::Winch);
    let forward = match (&plan.tug.winch, winch) {
        (Some(winch), true) => winch.forward.get(),
        _ => points.iter().map(|p| p.forward.get()).sum::<f64>() / count,
    };
    let amidships_rear = forward == 0.0 && side == Side::Tug && !winch;
    let end = if forward < 0.0 || amidships_rear {
        BodyEnd::Rear
    } else {
        BodyEnd::Front
    };
    (end, Length::new(offset))
}

/// The recovery points that a link is or spans.
fn points_of<'v>(plan: &Plan, link: &str, vehicle: &'v Vehicle) -> Vec<&'v RecoveryPoint> {
    let named = |full: &str| {
        let short = full.split_once('.').map_or(full, |(_, short)| short);
        vehicle.recovery_points.iter().find(|p| p.name == short)
    };
    match plan.kit.part(link) {
        Some(Part::Bridle(bridle)) => bridle.points.iter().filter_map(|p| named(p)).collect(),
        _ => named(link).into_iter().collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(line: usize, along: f64, flies_to: Side) -> Cut {
        Cut {
            line,
            along,
            flies_to,
            inside: along > 0.0 && along < 1.0,
        }
    }

    #[test]
    fn both_sides_of_a_break_share_the_lines() {
        for (line, along) in [(0, 0.0), (0, 0.3), (1, 0.5), (1, 1.0), (2, 1.0)] {
            for k in 0..3 {
                let to_tug = cut(line, along, Side::Tug).share_of(k);
                let back = cut(line, along, Side::Casualty).share_of(k);
                assert!((to_tug + back - 1.0).abs() < 1e-12, "{line} {along} {k}");
            }
        }
        assert_eq!(cut(1, 0.25, Side::Tug).share_of(0), 0.0);
        assert_eq!(cut(1, 0.25, Side::Tug).share_of(2), 1.0);
        assert_eq!(cut(1, 0.25, Side::Tug).share_of(1), 0.75);
    }
}
