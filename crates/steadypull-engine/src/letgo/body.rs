//! The far vehicle as a box of faces, and where a flying thing strikes it.
//!
//! What it answers: of a body that moves from one place to the next, does it
//! strike the vehicle in between, on which face, how high, how squarely; or
//! where does it pass: over, under or beside.
//!
//! Seen from the side the vehicle is a row of straight faces from the lower edge
//! of its bumper or tailgate up to its roof; seen from above it is as wide
//! everywhere. Depth `d` is measured from the face in which the recovery point
//! sits (`d = x - x_held`), `y` to the left of the line of pull, `z` up from the ground.
//! A thing strikes where its straight way between two states first crosses a face
//! from outside; a raised bonnet is a thin panel and is struck from either side.
//!
//! Assumes a stiff box, a point body, no wheels, mirrors or bars; a vehicle sunk
//! in the ground is lowered by its depth. What is higher than the roof is over
//! it. Nothing is followed past its first strike.

use crate::plan::{BodyShape, Guarded};
use crate::units::{Angle, Length};

/// The end of a vehicle that the line comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BodyEnd {
    /// Its nose.
    Front,
    /// Its tail.
    Rear,
}

/// A face of the box.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// Grille, bar and lamps, from the bumper to the bonnet's edge.
    Grille,
    /// The bonnet, shut; the engine bay under one that is raised.
    Bonnet,
    /// The bonnet, raised before the windscreen.
    RaisedBonnet,
    /// The windscreen.
    Windscreen,
    /// The tailgate.
    Tailgate,
    /// The rear screen.
    RearScreen,
    /// The roof.
    Roof,
    /// A side.
    Side,
}

impl Face {
    /// Whether it is glass.
    pub fn is_glass(self) -> bool {
        matches!(self, Self::Windscreen | Self::RearScreen)
    }

    /// Whether `guarded` covers it.
    pub fn is_guarded_by(self, guarded: Guarded) -> bool {
        match self {
            Self::Windscreen => matches!(guarded, Guarded::Windscreen | Guarded::Both),
            Self::RearScreen => matches!(guarded, Guarded::RearScreen | Guarded::Both),
            _ => false,
        }
    }
}

/// A face seen from the side: from one edge to the next, depth and height, m.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Panel {
    face: Face,
    from: [f64; 2],
    to: [f64; 2],
    /// Open to both sides: a thin sheet.
    sheet: bool,
}

/// A vehicle as a box, seen from its recovery point along the line of pull.
#[derive(Debug, Clone, PartialEq)]
pub struct VehicleBody {
    panels: Vec<Panel>,
    underside_m: f64,
    length_m: f64,
    /// Sides, to the right and to the left of the line of pull, m.
    sides_m: [f64; 2],
}

/// A strike between two states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Struck {
    /// On which face.
    pub face: Face,
    /// Share of the way between the states.
    pub share: f64,
    /// Unit vector out of the face.
    pub out: [f64; 3],
}

/// How a thing passes the face with the recovery point without striking it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Passing {
    /// Above that face: over the roof, or over the bonnet to what lies behind.
    Over,
    /// Below the lower edge.
    Under,
    /// Past a side.
    Beside,
}

impl VehicleBody {
    /// `shape` from its `end`, lowered by `sunk`, with the recovery point `offset`
    /// to the left of the vehicle's middle as seen along the line of pull.
    pub fn new(shape: &BodyShape, end: BodyEnd, sunk: Length, offset: Length) -> Self {
        let down = |height: Length| (height - sunk).get().max(0.0);
        let mut panels = match end {
            BodyEnd::Front => front(shape, &down),
            BodyEnd::Rear => rear(shape, &down),
        };
        let top = panels.last().map_or([0.0, 0.0], |p| p.to);
        panels.push(Panel {
            face: Face::Roof,
            from: top,
            to: [top[0].max(shape.length.get()), top[1]],
            sheet: false,
        });
        if let (BodyEnd::Front, Some(raised)) = (end, shape.bonnet_raised) {
            panels.push(raised_bonnet(shape, raised, &down));
        }
        let half = 0.5 * shape.width.get();
        Self {
            panels,
            underside_m: down(shape.underside_height),
            length_m: top[0].max(shape.length.get()),
            sides_m: [-half - offset.get(), half - offset.get()],
        }
    }

    /// The first strike on the way from `from` to `to`, each depth, side and height, m.
    pub fn struck(&self, from: [f64; 3], to: [f64; 3]) -> Option<Struck> {
        // Nearly all of a flight is short of the vehicle.
        if from[0].max(to[0]) < 0.0 || from[0].min(to[0]) > self.length_m {
            return None;
        }
        let panels = self.panels.iter();
        let faces = panels.filter_map(|panel| self.on_panel(panel, from, to));
        let sides = [0, 1].into_iter();
        let sides = sides.filter_map(|side| self.on_side(side, from, to));
        faces
            .chain(sides)
            .min_by(|a, b| a.share.total_cmp(&b.share))
    }

    /// How something at `side` and `height` passes the face with the recovery
    /// point; none if it would have struck it.
    pub fn passing(&self, side: f64, height: f64) -> Option<Passing> {
        if !self.abreast(side) {
            Some(Passing::Beside)
        } else if height < self.underside_m {
            Some(Passing::Under)
        } else if height > self.edge_height_m() {
            Some(Passing::Over)
        } else {
            None
        }
    }

    /// Its outline from the side, from the lower edge of the face with the recovery point
    /// up and over: depth and height, m. A raised bonnet is left out.
    pub fn outline_m(&self) -> Vec<[f64; 2]> {
        let solid = self.panels.iter().filter(|p| !p.sheet);
        let mut found: Vec<[f64; 2]> = solid.flat_map(|p| [p.from, p.to]).collect();
        found.push([self.length_m, self.underside_m]);
        found.dedup();
        found
    }

    /// Where its sides are, to the right and to the left of the line of pull, m.
    pub fn sides_m(&self) -> [f64; 2] {
        self.sides_m
    }

    /// Height of the roof above the ground, m.
    pub fn roof_m(&self) -> f64 {
        let roof = self.panels.iter().find(|p| p.face == Face::Roof);
        roof.map_or(0.0, |p| p.to[1])
    }

    /// Upper edge of the face with the recovery point, m.
    fn edge_height_m(&self) -> f64 {
        self.panels.first().map_or(0.0, |p| p.to[1])
    }

    fn abreast(&self, side: f64) -> bool {
        side >= self.sides_m[0] && side <= self.sides_m[1]
    }

    fn on_panel(&self, panel: &Panel, from: [f64; 3], to: [f64; 3]) -> Option<Struck> {
        let along = [panel.to[0] - panel.from[0], panel.to[1] - panel.from[1]];
        let size = libm::hypot(along[0], along[1]);
        if size < 1e-9 {
            return None;
        }
        // To the left of the way up the face lies the outside.
        let out = [-along[1] / size, along[0] / size];
        let height =
            |p: [f64; 3]| out[0] * (p[0] - panel.from[0]) + out[1] * (p[2] - panel.from[1]);
        let (before, after) = (height(from), height(to));
        let enters = before >= 0.0 && after < 0.0;
        let leaves = panel.sheet && before <= 0.0 && after > 0.0;
        if !(enters || leaves) {
            return None;
        }
        let share = before / (before - after);
        let at = |k: usize| from[k] + share * (to[k] - from[k]);
        let up = (along[0] * (at(0) - panel.from[0]) + along[1] * (at(2) - panel.from[1]))
            / (size * size);
        let turn = if enters { 1.0 } else { -1.0 };
        (self.abreast(at(1)) && (0.0..=1.0).contains(&up)).then_some(Struck {
            face: panel.face,
            share,
            out: [turn * out[0], 0.0, turn * out[1]],
        })
    }

    fn on_side(&self, side: usize, from: [f64; 3], to: [f64; 3]) -> Option<Struck> {
        let way = [-1.0, 1.0][side];
        let height = |p: [f64; 3]| way * (p[1] - self.sides_m[side]);
        let (before, after) = (height(from), height(to));
        if !(before > 0.0 && after <= 0.0) {
            return None;
        }
        let share = before / (before - after);
        let at = |k: usize| from[k] + share * (to[k] - from[k]);
        let inside = at(0) >= 0.0
            && at(0) <= self.length_m
            && at(2) >= self.underside_m
            && at(2) <= self.top_m(at(0));
        inside.then_some(Struck {
            face: Face::Side,
            share,
            out: [0.0, way, 0.0],
        })
    }

    /// Height of the outline at a depth, m.
    fn top_m(&self, depth: f64) -> f64 {
        let over = self.panels.iter().filter(|p| !p.sheet);
        over.filter(|p| depth >= p.from[0] && depth <= p.to[0])
            .map(|p| {
                let span = p.to[0] - p.from[0];
                if span > 0.0 {
                    p.from[1] + (p.to[1] - p.from[1]) * (depth - p.from[0]) / span
                } else {
                    p.to[1]
                }
            })
            .fold(0.0, f64::max)
    }
}

/// Depth over which glass of this slope rises, m.
fn run_of(rise: f64, slope: Angle) -> f64 {
    let (sin, cos) = (slope.sin(), slope.cos());
    if sin > 1e-6 {
        (rise * cos / sin).max(0.0)
    } else {
        0.0
    }
}

fn panel(face: Face, from: [f64; 2], to: [f64; 2]) -> Panel {
    Panel {
        face,
        from,
        to,
        sheet: false,
    }
}

fn front(shape: &BodyShape, down: &dyn Fn(Length) -> f64) -> Vec<Panel> {
    let (edge, screen, roof) = (
        down(shape.bonnet_height),
        down(shape.screen_height),
        down(shape.roof_height),
    );
    let hinge = [shape.bonnet_length.get(), screen];
    let top = [hinge[0] + run_of(roof - screen, shape.screen_slope), roof];
    vec![
        panel(
            Face::Grille,
            [0.0, down(shape.underside_height)],
            [0.0, edge],
        ),
        panel(Face::Bonnet, [0.0, edge], hinge),
        panel(Face::Windscreen, hinge, top),
    ]
}

fn rear(shape: &BodyShape, down: &dyn Fn(Length) -> f64) -> Vec<Panel> {
    let (edge, roof) = (down(shape.tailgate_height), down(shape.roof_height));
    let top = [run_of(roof - edge, shape.rear_screen_slope), roof];
    vec![
        panel(
            Face::Tailgate,
            [0.0, down(shape.underside_height)],
            [0.0, edge],
        ),
        panel(Face::RearScreen, [0.0, edge], top),
    ]
}

/// The bonnet turned up about its hinge at the windscreen's lower edge, its front
/// edge in the air.
fn raised_bonnet(shape: &BodyShape, raised: Angle, down: &dyn Fn(Length) -> f64) -> Panel {
    let hinge = [shape.bonnet_length.get(), down(shape.screen_height)];
    let tip = [
        hinge[0] - shape.bonnet_length.get() * raised.cos(),
        hinge[1] + shape.bonnet_length.get() * raised.sin(),
    ];
    Panel {
        face: Face::RaisedBonnet,
        from: hinge,
        to: tip,
        sheet: true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wagon(end: BodyEnd) -> VehicleBody {
        VehicleBody::new(&BodyShape::wagon(), end, Length::ZERO, Length::ZERO)
    }

    fn level(body: &VehicleBody, side: f64, height: f64) -> Option<Face> {
        let (from, to) = ([-1.0, side, height], [6.0, side, height]);
        body.struck(from, to).map(|s| s.face)
    }

    #[test]
    fn every_height_has_its_face() {
        let front = wagon(BodyEnd::Front);
        for (height, face) in [
            (0.1, None),
            (0.6, Some(Face::Grille)),
            (1.05, Some(Face::Bonnet)),
            (1.5, Some(Face::Windscreen)),
            (2.0, None),
        ] {
            assert_eq!(level(&front, 0.0, height), face, "{height} m");
            assert_eq!(level(&front, 1.2, height), None, "beside, {height} m");
        }
        let rear = wagon(BodyEnd::Rear);
        assert_eq!(level(&rear, 0.0, 0.6), Some(Face::Tailgate));
        assert_eq!(level(&rear, 0.0, 1.5), Some(Face::RearScreen));
        assert_eq!(level(&rear, 0.0, 1.91), None);
        assert_eq!(rear.passing(0.0, 1.91), Some(Passing::Over));
        assert_eq!(rear.passing(0.0, 0.1), Some(Passing::Under));
        assert_eq!(rear.passing(-1.0, 0.6), Some(Passing::Beside));
        assert_eq!(rear.passing(0.0, 0.6), None);
    }

    #[test]
    fn a_square_hit_is_square_and_a_sloping_one_is_not() {
        let front = wagon(BodyEnd::Front);
        let grille = front.struck([-1.0, 0.0, 0.6], [1.0, 0.0, 0.6]).unwrap();
        assert_eq!(grille.out, [-1.0, 0.0, 0.0]);
        assert!((grille.share - 0.5).abs() < 1e-12);
        let screen = front.struck([-1.0, 0.0, 1.5], [5.0, 0.0, 1.5]).unwrap();
        let half = 0.5_f64.sqrt();
        assert!((screen.out[0] + half).abs() < 1e-9 && (screen.out[2] - half).abs() < 1e-9);
    }

    #[test]
    fn what_comes_down_lands_on_bonnet_or_roof() {
        let front = wagon(BodyEnd::Front);
        let down = |x: f64| front.struck([x, 0.0, 3.0], [x, 0.0, 0.0]).map(|s| s.face);
        assert_eq!(down(0.6), Some(Face::Bonnet));
        assert_eq!(down(3.0), Some(Face::Roof));
        assert_eq!(down(-0.2), None);
        let aside = front.struck([3.0, 2.0, 1.0], [3.0, 0.0, 1.0]).unwrap();
        assert_eq!((aside.face, aside.out), (Face::Side, [0.0, 1.0, 0.0]));
    }

    #[test]
    fn a_raised_bonnet_stands_before_the_screen() {
        let mut shape = BodyShape::wagon();
        shape.bonnet_raised = Some(Angle::from_deg(60.0));
        let body = VehicleBody::new(&shape, BodyEnd::Front, Length::ZERO, Length::ZERO);
        assert_eq!(level(&body, 0.0, 1.5), Some(Face::RaisedBonnet));
        assert_eq!(level(&body, 0.0, 0.6), Some(Face::Grille));
        let rear = VehicleBody::new(&shape, BodyEnd::Rear, Length::ZERO, Length::ZERO);
        assert_eq!(level(&rear, 0.0, 1.5), Some(Face::RearScreen));
    }

    #[test]
    fn mirrored_scenes_mirror_and_a_sunk_vehicle_is_lower() {
        let shape = BodyShape::wagon();
        let at = |offset: f64| {
            VehicleBody::new(&shape, BodyEnd::Rear, Length::ZERO, Length::new(offset))
        };
        let (left, right) = (at(0.4), at(-0.4));
        for i in 0..40 {
            let (side, height) = (-1.9 + 0.1 * f64::from(i), 0.05 * f64::from(i));
            let end = side + 0.3 - 0.01 * f64::from(i);
            let one = left.struck([-0.5, side, height], [5.0, end, height]);
            let other = right.struck([-0.5, -side, height], [5.0, -end, height]);
            assert_eq!(
                one.map(|s| (s.face, s.share)),
                other.map(|s| (s.face, s.share))
            );
        }
        let sunk = VehicleBody::new(&shape, BodyEnd::Rear, Length::new(0.6), Length::ZERO);
        assert_eq!(level(&sunk, 0.0, 0.1), Some(Face::Tailgate));
        assert_eq!(level(&sunk, 0.0, 1.4), None);
        assert!((sunk.roof_m() - 1.3).abs() < 1e-12);
    }
}
