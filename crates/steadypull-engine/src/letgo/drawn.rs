//! A let-go as it falls out in one draw of everything that is not known.
//!
//! What it answers: given the pull at which a part lets go and the draw of direction,
//! energy return, masses, grip and friction, the run that tells what comes back.
//! The things that could fly are prepared once; a draw only changes numbers in them.
//! A rig laid out on the ground has its own in [`super::rig`].

use super::cases::prepared;
use super::inside::broken_inside;
use super::scatter::{SCATTER_S, in_plan};
use super::side_setup::return_range;
use super::sides::Cut;
use super::{HeldEnd, Outcome, Setup, SiteDraw};
use crate::line::Law;
use crate::plan::Plan;
use crate::rig::{LinkKind, LoadPath, Side, load_links};
use crate::units::{Angle, Duration, Force, Length, Mass};

/// Share of the hardware's settled speed within which a drawn run finds it.
pub const ACCURACY: f64 = 0.01;
/// Pull at which what could fly is looked up; nothing of it depends on the size.
const LOOK_UP_PULL: Force = Force::new(1e3);

/// One draw of what a let-go does not know.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LetGoDraw {
    /// Pull at the casualty when a part lets go.
    pub pull: Force,
    /// Launch direction above the line of pull.
    pub up: Angle,
    /// Launch direction to the left of the line of pull.
    pub left: Angle,
    /// Place of the energy return in its range: 0 the least, 1 the most.
    pub energy_return: f64,
    /// Stretch of the lines at that pull over that taken.
    pub stretch: f64,
    /// Mass of what flies over its stated mass.
    pub hardware: f64,
    /// Grip of dampers over that stated.
    pub damper_grip: f64,
    /// Strength of tethers over that stated.
    pub tether_strength: f64,
    /// Friction of the ground.
    pub friction: f64,
    /// Mass of the casualty over that stated.
    pub casualty_mass: f64,
    /// Mass of the tug over that stated.
    pub tug_mass: f64,
    /// Wind and bumps.
    pub site: SiteDraw,
    /// Where along its line a break inside it is, 0 to 1 from the end that comes first.
    pub along: f64,
}

/// Something that flies from a straight rig if a link lets go.
#[derive(Debug, Clone, PartialEq)]
pub struct StraightItem {
    /// The links that leave the same thing to fly.
    pub links: Vec<String>,
    /// The end at which they let go.
    pub at: Side,
    /// What flies, in words.
    pub flies: String,
    /// Mass of hardware on the line's end.
    pub hardware: Mass,
    /// The side of a break that it is, where its line parts inside.
    pub inside: Option<Cut>,
    tension: Force,
    setup: Setup,
}

/// Everything that could fly from a straight rig.
#[derive(Debug, Clone, PartialEq)]
pub struct StraightFlights<'a> {
    plan: &'a Plan,
    path: &'a LoadPath,
    /// One a thing that flies.
    pub items: Vec<StraightItem>,
    /// Law, range of energy return of each line, casualty to tug.
    lines: Vec<(Law, (f64, f64))>,
    line_share: f64,
    weakest_n: f64,
    span: Length,
}

impl<'a> StraightFlights<'a> {
    /// Of the straight rig `path`.
    pub fn new(plan: &'a Plan, path: &'a LoadPath) -> Self {
        let loaded = load_links(&path.links, LOOK_UP_PULL, path.method, &plan.policy);
        let mut items: Vec<StraightItem> = Vec::new();
        for case in prepared(plan, path, &loaded) {
            let (link, at, hardware) = (case.link(), case.at(), case.hardware());
            let inside = Some(case.cut).filter(|cut| cut.inside);
            let twin = items
                .iter_mut()
                .find(|i| i.at == at && i.hardware == hardware && i.inside.is_none());
            let twin = twin.filter(|_| inside.is_none());
            match twin {
                Some(twin) => twin.links.push(link.into()),
                None => items.push(StraightItem {
                    links: vec![link.into()],
                    at,
                    flies: case.flies().into(),
                    hardware,
                    inside,
                    tension: case.tension,
                    setup: case.setup().clone(),
                }),
            }
        }
        let laws = path.line_laws();
        let is_line =
            |l: &&crate::rig::Link| matches!(l.kind, LinkKind::Line | LinkKind::KineticLine);
        Self {
            plan,
            path,
            items,
            weakest_n: laws
                .iter()
                .map(|(law, _)| law.breaking_n())
                .fold(f64::MAX, f64::min),
            lines: laws
                .into_iter()
                .zip(&path.lines)
                .map(|((law, _), line)| (law, return_range(line)))
                .collect(),
            line_share: path
                .links
                .iter()
                .find(is_line)
                .map_or(1.0, |l| l.load_share),
            span: path.line_length(),
        }
    }

    /// The run of item `item` in `draw`.
    pub fn setup(&self, item: usize, draw: &LetGoDraw) -> Setup {
        let StraightItem { at, .. } = &self.items[item];
        let mut setup = self.broken(&self.items[item], draw.along);
        setup.max_time = setup.max_time.min(Duration::new(SCATTER_S));
        let tension_n = (draw.pull.get() * self.line_share).min(self.weakest_n);
        let unloading = |(law, (low, high)): &(Law, (f64, f64))| {
            let back = low + (high - low) * draw.energy_return;
            law.with_energy_return(back)
                .unloading(law.strain_at(tension_n))
        };
        let mut unloadings: Vec<_> = self.lines.iter().map(unloading).collect();
        if *at == Side::Casualty {
            unloadings.reverse();
        }
        for (part, unloading) in setup.lines.iter_mut().zip(unloadings) {
            part.unloading = unloading;
        }
        vary(&mut setup, draw, *at == Side::Casualty);
        setup.to_accuracy(ACCURACY)
    }

    /// The run of an item before its draw; a break inside a line where the draw says, or
    /// where it is looked up if that leaves hardly any line on its side.
    fn broken(&self, item: &StraightItem, along: f64) -> Setup {
        let there = item
            .inside
            .and_then(|cut| broken_inside(self.plan, self.path, &cut, along, item.tension));
        there.map_or(item.setup.clone(), |(_, setup)| setup)
    }

    /// Where things are or come down in plan: x from the casualty's recovery point
    /// towards the tug, y to the left, m.
    pub fn landings(&self, item: usize, outcome: &Outcome) -> Vec<(f64, f64)> {
        in_plan(self.items[item].at, outcome)
    }

    /// From the casualty's recovery point to the tug's.
    pub fn span(&self) -> Length {
        self.span
    }
}

/// What of a draw is alike for every rig; `tug_holds` where the far end is the tug's.
pub(super) fn vary(setup: &mut Setup, draw: &LetGoDraw, tug_holds: bool) {
    setup.elevation = draw.up;
    setup.azimuth = draw.left;
    setup.hardware.mass = setup.hardware.mass * draw.hardware;
    for line in &mut setup.lines {
        // The same load at so much more stretch.
        line.unloading.strain_max *= draw.stretch;
        line.unloading.strain_slack *= draw.stretch;
    }
    for damper in &mut setup.dampers {
        damper.slips_at = damper.slips_at * draw.damper_grip;
    }
    for tether in &mut setup.tethers {
        tether.mbs = tether.mbs * draw.tether_strength;
    }
    draw.site.put_on(setup);
    if let Some(ground) = &mut setup.ground {
        ground.friction = draw.friction;
    }
    if let HeldEnd::Vehicle { mass, .. } = &mut setup.held {
        let times = if tug_holds {
            draw.tug_mass
        } else {
            draw.casualty_mass
        };
        *mass = *mass * times;
    }
}
