//! Words beside what they name, on no other words and on no mark.
//!
//! Each label tries places round what it names and takes the one that hides
//! least; once all have a place each tries again, the others standing. A thin
//! leader joins a label to its target where it stands off. A label for which there is no room is not drawn but given back, so that
//! it can be said in words.

use super::room::{Area, Placed, Room, Stroke};
use crate::canvas::{At, Canvas, Hang, Pen};
use crate::fonts::{Weight, text_width};
use crate::ink::INK;

/// What a label names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sort {
    /// A vehicle.
    Vehicle,
    /// A place where lines meet or turn.
    Node,
    /// A part of line.
    Line,
}

/// Orders in which the sorts find their places; the one that hides least is drawn.
const ORDERS: [[Sort; 3]; 4] = [
    [Sort::Vehicle, Sort::Node, Sort::Line],
    [Sort::Vehicle, Sort::Line, Sort::Node],
    [Sort::Line, Sort::Node, Sort::Vehicle],
    [Sort::Node, Sort::Line, Sort::Vehicle],
];

/// What a label without a place costs, in text sizes of distance.
const LEFT_OUT: f64 = 1000.0;

/// A label and what it names.
#[derive(Debug, Clone)]
pub(super) struct Label {
    /// Labels of one sort find their places one after the other.
    pub sort: Sort,
    /// Its words.
    pub text: String,
    /// What is said where there is no room for it.
    pub instead: String,
    /// Points of what it names, the best first.
    pub targets: Vec<At>,
    /// Whether it may stand upon its target, as a name upon a vehicle may.
    pub upon: bool,
    /// How heavy it is.
    pub weight: Weight,
}

/// Sixteen ways off a target, the level and upright ones first.
const WAYS: [At; 16] = [
    (0.0, -1.0),
    (0.0, 1.0),
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.707, -0.707),
    (-0.707, -0.707),
    (0.707, 0.707),
    (-0.707, 0.707),
    (0.383, -0.924),
    (-0.383, -0.924),
    (0.383, 0.924),
    (-0.383, 0.924),
    (0.924, -0.383),
    (-0.924, -0.383),
    (0.924, 0.383),
    (-0.924, 0.383),
];

/// Distances off a target to try, in text sizes.
const STEPS: [f64; 10] = [0.9, 1.4, 2.0, 2.8, 3.8, 5.0, 6.5, 8.5, 11.0, 14.0];

/// Times that each label, and then each pair, looks for a better place.
const ROUNDS: usize = 3;

/// Labels beyond which one order must do, for the sake of time.
const MANY: usize = 24;

/// Pairs that look for places together at most, for the sake of time.
const PAIRS: usize = 250;

/// A label that costs less than this, in text sizes, stands well enough.
const CONTENT: f64 = 4.0;

/// Labels of things nearer than this, in text sizes, may stand in each other's
/// way: they look for places together.
const NEIGHBOURS: f64 = 9.0;

/// Places and draws labels; gives back what is to be said of those without room.
pub(super) fn draw(canvas: &mut Canvas, room: &Room, labels: &[Label], size: f64) -> Vec<String> {
    let orders = if labels.len() <= MANY {
        &ORDERS[..]
    } else {
        &ORDERS[..1]
    };
    let best = orders
        .iter()
        .map(|order| search(room, labels, *order, size))
        .map(|places| (cost(room, &places), places))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let places = best.map_or(Vec::new(), |(cost, places)| {
        swapped(room, labels, places, cost, size)
    });
    for (from, to) in places.iter().flatten().filter_map(|p| p.leader) {
        canvas.line(from, to, Pen::full(INK, size * 0.07));
        canvas.circle(to, size * 0.13, Some(INK), None);
    }
    let mut left_over = Vec::new();
    for (label, place) in labels.iter().zip(&places) {
        let Some(place) = place else {
            left_over.push(label.instead.clone());
            continue;
        };
        let (x, y) = place.area.middle();
        let style = (label.weight, Hang::Middle);
        canvas.text_on_white((x, y + size * 0.34), &label.text, size, style);
    }
    left_over
}

/// A place for each label, found sort by sort.
fn search(room: &Room, labels: &[Label], order: [Sort; 3], size: f64) -> Vec<Option<Placed>> {
    let mut places: Vec<Option<Placed>> = vec![None; labels.len()];
    for _ in 0..ROUNDS {
        for sort in order {
            for (i, label) in labels.iter().enumerate().filter(|(_, l)| l.sort == sort) {
                places[i] = None;
                places[i] = best_place(room, label, &places, size);
            }
        }
    }
    places
}

/// What all places hide, and how far off they stand together.
fn cost(room: &Room, places: &[Option<Placed>]) -> f64 {
    let mut others = places.to_vec();
    let mut sum = 0.0;
    for (i, place) in places.iter().enumerate() {
        let Some(place) = place else {
            sum += LEFT_OUT;
            continue;
        };
        others[i] = None;
        let hidden = room.hidden(&place.area, place.leader, place.target, &others);
        sum += place.far + hidden.unwrap_or(LEFT_OUT);
        others[i] = Some(place.clone());
    }
    sum
}

/// Lets a label that stands badly, and a neighbour after or before it, look for
/// places together, as long as that costs less: what one took first may be all
/// the room that the other has.
fn swapped(
    room: &Room,
    labels: &[Label],
    mut places: Vec<Option<Placed>>,
    mut least: f64,
    size: f64,
) -> Vec<Option<Placed>> {
    let mut left = PAIRS;
    for _ in 0..ROUNDS {
        let before = least;
        for (first, second) in neighbours(labels, size) {
            let content = places[second].as_ref().is_some_and(|p| p.cost < CONTENT);
            if content || left == 0 {
                continue;
            }
            left -= 1;
            let mut tried = places.clone();
            (tried[first], tried[second]) = (None, None);
            for i in [second, first] {
                tried[i] = best_place(room, &labels[i], &tried, size);
            }
            let cost = cost(room, &tried);
            if cost < least {
                (places, least) = (tried, cost);
            }
        }
        if least >= before {
            break;
        }
    }
    places
}

/// Pairs of labels that name things close together, either first.
fn neighbours(labels: &[Label], size: f64) -> Vec<(usize, usize)> {
    let near = |a: &Label, b: &Label| match (a.targets.first(), b.targets.first()) {
        (Some(a), Some(b)) => (a.0 - b.0).abs() + (a.1 - b.1).abs() < NEIGHBOURS * size,
        _ => false,
    };
    let mut pairs = Vec::new();
    for (i, a) in labels.iter().enumerate() {
        for (j, b) in labels.iter().enumerate() {
            if i != j && near(a, b) {
                pairs.push((i, j));
            }
        }
    }
    pairs
}

/// The place that costs least, the others standing; none where there is no room.
fn best_place(room: &Room, label: &Label, others: &[Option<Placed>], size: f64) -> Option<Placed> {
    let wide = text_width(&label.text, size, label.weight) + size * 0.6;
    let high = size * 1.4;
    let mut best: Option<Placed> = None;
    for (rank, target) in label.targets.iter().enumerate() {
        for (far, area) in tries(label, *target, (wide, high), size) {
            let far = far + rank as f64 * 0.4;
            let beaten = |cost: f64| best.as_ref().is_some_and(|b| cost >= b.cost);
            if beaten(far) {
                continue;
            }
            let leader = leader(&area, *target, size);
            let hidden = room.hidden(&area, leader, *target, others);
            if let Some(cost) = hidden.map(|h| far + h).filter(|cost| !beaten(*cost)) {
                best = Some(Placed {
                    area,
                    target: *target,
                    leader,
                    far,
                    cost,
                });
            }
        }
    }
    best
}

/// Places to try with what their distance costs, in text sizes.
fn tries(label: &Label, target: At, (wide, high): At, size: f64) -> Vec<(f64, Area)> {
    let mut found = Vec::new();
    if label.upon {
        found.push((0.0, Area::round(target, wide, high)));
    }
    for (i, step) in STEPS.iter().enumerate() {
        for (j, (x, y)) in WAYS.iter().enumerate() {
            let off = step * size;
            let middle = (
                target.0 + x * (off + wide / 2.0),
                target.1 + y * (off * 0.7 + high / 2.0),
            );
            let cost = step + 0.02 * (i * WAYS.len() + j) as f64 / WAYS.len() as f64;
            found.push((cost, Area::round(middle, wide, high)));
        }
    }
    found
}

/// The stroke from a label to its target, where they stand apart.
fn leader(area: &Area, (x, y): At, size: f64) -> Option<Stroke> {
    let near = (
        x.clamp(area.left, area.right),
        y.clamp(area.top, area.bottom),
    );
    let (dx, dy) = (x - near.0, y - near.1);
    let apart = (dx * dx + dy * dy).sqrt();
    (apart > size * 0.5).then_some((near, (x, y)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(text: &str, target: At) -> Label {
        Label {
            sort: Sort::Line,
            text: text.into(),
            instead: text.into(),
            targets: vec![target],
            upon: false,
            weight: Weight::Bold,
        }
    }

    fn room() -> Room {
        Room {
            sheet: Area {
                left: 0.0,
                top: 0.0,
                right: 300.0,
                bottom: 200.0,
            },
            marks: Vec::new(),
            strokes: Vec::new(),
        }
    }

    #[test]
    fn eight_labels_of_one_point_stand_apart_on_the_sheet() {
        let labels: Vec<Label> = (0..8)
            .map(|i| label(&format!("{i}4.1 kN"), (150.0, 100.0)))
            .collect();
        let places = search(&room(), &labels, ORDERS[0], 10.0);
        let areas: Vec<Area> = places.iter().flatten().map(|p| p.area).collect();
        assert_eq!(areas.len(), 8);
        for (i, a) in areas.iter().enumerate() {
            assert!(areas[i + 1..].iter().all(|b| !a.overlaps(b)), "{i}");
            assert!(a.left >= 0.0 && a.top >= 0.0 && a.right <= 300.0 && a.bottom <= 200.0);
        }
    }

    #[test]
    fn a_label_stands_off_its_line_rather_than_on_it() {
        let mut room = room();
        room.strokes.push(((0.0, 100.0), (300.0, 100.0)));
        let places = search(&room, &[label("24.1 kN", (150.0, 100.0))], ORDERS[0], 10.0);
        let placed = places[0].as_ref().expect("room");
        assert!(placed.area.bottom < 100.0 || placed.area.top > 100.0);
    }

    #[test]
    fn without_room_nothing_is_drawn_and_the_words_come_back() {
        let mut room = room();
        room.marks.push(room.sheet);
        let mut canvas = Canvas::new();
        let left = draw(&mut canvas, &room, &[label("24.1 kN", (9.0, 9.0))], 10.0);
        assert_eq!(left, ["24.1 kN"]);
        assert_eq!(canvas.into_body(), "");
    }
}
