//! What flies when a part lets go, told from its runs.

use super::end_setup::wind_along;
use super::ends::FreeEndOf;
use super::flown::FlownEnd;
use super::parting::{Flight, FlightSort, TriedPlace, WayOver};
use super::scene::{Scene, level, unit};
use super::throw::{FRICTION, Throw};
use crate::letgo::bodies::{minus, times};
use crate::letgo::flight::AIR_DENSITY_KG_M3;
use crate::letgo::flying::{Meets, Stretch, Strike};
use crate::letgo::injury::FIRST_CASUALTY;
use crate::letgo::side_setup::drag_area;
use crate::letgo::watches::over_in_flight;
use crate::letgo::{BreakPlace, Crack, Outcome, SiteDraw, Thing};
use crate::rig::Side;
use crate::units::{Energy, Length, Mass, Speed, kinetic_energy};

pub(super) fn end_flight(scene: &Scene, flown: &FlownEnd) -> Flight {
    let (end, outcome) = (&flown.end, flown.outcome.as_ref());
    let (speed, energy) = match outcome {
        Some(o) if end.hardware.get() > 0.0 => (
            o.launch.speed.get(),
            kinetic_energy(end.hardware, o.launch.speed).get(),
        ),
        Some(o) => (o.launch.speed.get(), o.launch_energy.get()),
        None => end.bound(),
    };
    let way = unit(minus(scene.place(end.towards(scene)), end.from_m));
    let flight = outcome.and_then(|o| o.free_flight);
    Flight {
        what: end_words(scene, end),
        sort: FlightSort::LineEnd,
        mass: end.hardware,
        from_m: end.from_m,
        way,
        speed: Speed::new(speed),
        energy: Energy::new(energy),
        bound: outcome.is_none(),
        lands_m: flight.map(|f| end.in_plan(scene, f.lands_m)),
        stops_m: flight.map(|f| end.in_plan(scene, f.stops_m)),
        strike: outcome.and_then(|o| struck(scene, end, o)),
        inside: end.inside.map(|i| Length::new(i.at_m())),
        places: places(flown),
        crack: flown.crack.map(|crack| {
            let [x, y, z] = crack.place_m;
            let (x, y) = end.in_plan(scene, (x, y));
            Crack {
                place_m: [x, y, z],
                ..crack
            }
        }),
        over: on_its_line(scene, flown),
        over_off_line: match outcome {
            Some(outcome) => off_its_line(scene, end, outcome),
            None => bounded_over(scene, end),
        },
        side: scene.side(way).into(),
    }
}

pub(super) fn end_words(scene: &Scene, end: &FreeEndOf) -> String {
    let (run, to) = (
        &scene.graph.runs[end.run].name,
        &scene.node(end.towards(scene)).name,
    );
    match end.inside {
        Some(_) => format!("the tail of {}, parted inside, to {to}", end.line_name()),
        None if end.hardware.get() > 0.0 => {
            let on_it = scene.plan.units.rough_mass(end.hardware.get());
            format!("the end of {run} with {on_it} on it, to {to}")
        }
        None => format!("the bare end of {run}, to {to}"),
    }
}

/// Where its line was tried to part.
fn places(flown: &FlownEnd) -> Vec<TriedPlace> {
    let Some(inside) = flown.end.inside else {
        return Vec::new();
    };
    let place = |p: &BreakPlace| TriedPlace {
        at: Length::new(inside.at(p.along).at_m()),
        speed: p.launch_speed,
        energy: p.launch_energy,
    };
    flown.places.iter().map(place).collect()
}

/// Stretches of the way on its line over each criterion, in plan: it gets no further past
/// its stop than its own part of line is long.
fn on_its_line(scene: &Scene, flown: &FlownEnd) -> Vec<WayOver> {
    let end = &flown.end;
    let most_m = end.to_stop_m(scene) + end.own_m;
    let in_plan = |x: f64| end.in_plan(scene, (x.min(most_m), 0.0));
    let stretches = flown.over.iter();
    stretches.map(|s| way_over(s, &in_plan)).collect()
}

/// The same if it comes off the line at its greatest speed.
fn off_its_line(scene: &Scene, end: &FreeEndOf, outcome: &Outcome) -> Vec<WayOver> {
    let mut found = outcome.flown.iter();
    let off = found.find(|f| f.thing == Thing::OffTheLine);
    let in_plan = |x: f64| end.in_plan(scene, (x, 0.0));
    let stretches = off.map_or(&[][..], |f| f.over.as_slice());
    stretches.iter().map(|s| way_over(s, &in_plan)).collect()
}

fn way_over(stretch: &Stretch, in_plan: &dyn Fn(f64) -> (f64, f64)) -> WayOver {
    WayOver {
        criterion: stretch.criterion,
        from_m: in_plan(stretch.from.get()),
        to_m: in_plan(stretch.to.get()),
        lowest: stretch.lowest,
        highest: stretch.highest,
    }
}

/// The free flight of an end that is only bounded, at its bound.
fn bounded_over(scene: &Scene, end: &FreeEndOf) -> Vec<WayOver> {
    let (speed, joules) = end.bound();
    // The mass that the bound's energy is of.
    let kg = 2.0 * joules / (speed * speed).max(1e-12);
    let flight = FreeThrow {
        from_m: end.from_m,
        way: unit(minus(scene.place(end.towards(scene)), end.from_m)),
        kg,
        speed_m_s: speed,
    };
    flight.over(scene)
}

/// A body thrown at a speed along a way in the plan's frame.
struct FreeThrow {
    from_m: [f64; 3],
    way: [f64; 3],
    kg: f64,
    speed_m_s: f64,
}

impl FreeThrow {
    /// Stretches of its way over each criterion, seen along the level part of the way.
    fn over(&self, scene: &Scene) -> Vec<WayOver> {
        if self.kg <= 0.0 {
            return Vec::new();
        }
        let level = level(self.way);
        let along = |v: [f64; 3]| v[0] * level[0] + v[1] * level[1];
        let aside = |v: [f64; 3]| v[1] * level[0] - v[0] * level[1];
        let rise = scene.terrain.rise_along([self.way[0], self.way[1]]);
        let velocity = times(self.speed_m_s, [along(self.way), 0.0, self.way[2] - rise]);
        let gravity = scene.terrain.gravity();
        let drag = 0.5 * AIR_DENSITY_KG_M3 * drag_area(Mass::new(self.kg)).get() / self.kg;
        let criteria = [FIRST_CASUALTY, scene.plan.policy.injury_energy];
        let stretches = over_in_flight(
            &criteria,
            ([0.0, 0.0, scene.terrain.height_m(self.from_m)], velocity),
            (self.kg, drag, wind_along(scene, level)),
            ([along(gravity), aside(gravity), gravity[2]], FRICTION),
        );
        let in_plan = |x: f64| (self.from_m[0] + x * level[0], self.from_m[1] + x * level[1]);
        stretches.iter().map(|s| way_over(s, &in_plan)).collect()
    }
}

/// What the end strikes off its line.
fn struck(scene: &Scene, end: &FreeEndOf, outcome: &Outcome) -> Option<(Side, Strike)> {
    let (side, _) = super::struck::far_body(scene, end)?;
    let off = outcome
        .flown
        .iter()
        .find(|f| f.thing == Thing::OffTheLine)?;
    match off.meets {
        Meets::Strikes(strike) => Some((side, strike)),
        _ => None,
    }
}

pub(super) fn thrown_flight(scene: &Scene, t: &Throw, share: f64) -> Flight {
    let speed = t.launch(scene, share).speed_m_s;
    let flight = t.flight(scene, speed, (0.0, 0.0), &SiteDraw::MIDDLE);
    let node = scene.node(t.node);
    let others: Vec<&str> = t
        .pulls
        .iter()
        .map(|p| scene.node(p.other).name.as_str())
        .collect();
    let where_to = if t.pulls.iter().any(|p| !p.fast) {
        "into the bight, between"
    } else {
        "pulled across, between"
    };
    Flight {
        what: format!(
            "{}, {}",
            node.name,
            scene.plan.units.rough_mass(t.mass.get())
        ),
        sort: FlightSort::Thrown,
        mass: t.mass,
        from_m: scene.place(t.node),
        way: t.way,
        speed: Speed::new(speed),
        energy: kinetic_energy(t.mass, Speed::new(speed)),
        bound: true,
        lands_m: flight.map(|f| f.lands_m),
        stops_m: flight.map(|f| f.stops_m),
        strike: None,
        inside: None,
        places: Vec::new(),
        crack: None,
        over: Vec::new(),
        over_off_line: FreeThrow {
            from_m: scene.place(t.node),
            way: t.way,
            kg: t.mass.get(),
            speed_m_s: speed,
        }
        .over(scene),
        side: format!("{where_to} {}, {}", others.join(" and "), scene.side(t.way)),
    }
}
