//! What one let-go does to the vehicle that it flies to.
//!
//! What it answers: does anything of it strike glass there, which face it strikes
//! hardest, how high and with what energy; does anything arrive there with more than
//! the injury criterion; does the guard before that glass hold by its rating.
//!
//! Counted are the hardware or bare end on its line (off its line, where it misses on
//! it), the tail behind it and every damper. A raised bonnet is never counted on: what
//! strikes it counts as striking the windscreen behind it. To arrive is to strike the
//! vehicle or to pass the face with its recovery point, over, under or beside it.

use crate::letgo::body::Face;
use crate::letgo::flying::{Meets, Strike};
use crate::letgo::shield::{self, Holds};
use crate::letgo::{Flown, Thing};
use crate::plan::BodyShape;
use crate::units::{Energy, Length};

/// What one let-go does to the vehicle that it flies to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meeting {
    /// The hardest strike of anything on the vehicle, if anything strikes it.
    pub hardest: Option<Hit>,
    /// The hardest strike on glass, or on a raised bonnet before it.
    pub screen: Option<Hit>,
    /// Whether anything arrives over the injury criterion.
    pub over_injury: bool,
    /// Of strikes on glass behind a guard with a stated rating: whether it holds them
    /// all.
    pub guard_holds: Option<bool>,
}

/// A strike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hit {
    /// On which face.
    pub face: Face,
    /// How high above the ground.
    pub height: Length,
    /// With what energy.
    pub energy: Energy,
}

/// Whether a strike on `face` goes for glass.
fn goes_for_glass(face: Face) -> bool {
    face.is_glass() || face == Face::RaisedBonnet
}

/// Of all that flew in a run, what counts.
fn counted(flown: &[Flown]) -> impl Iterator<Item = &Flown> {
    let of = |thing: Thing| flown.iter().find(move |f| f.thing == thing);
    let strikes = |f: &Flown| matches!(f.meets, Meets::Strikes(_));
    let on_line = of(Thing::FreeEnd);
    let misses = !on_line.is_some_and(strikes);
    flown
        .iter()
        .filter(move |f| f.thing != Thing::OffTheLine || misses)
}

impl Meeting {
    /// Of all that flew in a run at a vehicle of this `shape`.
    pub fn of(flown: &[Flown], shape: &BodyShape, criterion: Energy) -> Self {
        let mut met = Self {
            hardest: None,
            screen: None,
            over_injury: false,
            guard_holds: None,
        };
        for thing in counted(flown) {
            match &thing.meets {
                Meets::Strikes(strike) => met.strikes(strike, shape, criterion),
                Meets::Passes(passed) => met.over_injury |= passed.energy >= criterion,
                Meets::StopsShort => {}
            }
        }
        met
    }

    fn strikes(&mut self, strike: &Strike, shape: &BodyShape, criterion: Energy) {
        let hit = Hit {
            face: strike.face,
            height: strike.height,
            energy: strike.energy,
        };
        let harder = |known: &Option<Hit>| known.is_none_or(|k| hit.energy > k.energy);
        self.over_injury |= strike.energy >= criterion;
        if harder(&self.hardest) {
            self.hardest = Some(hit);
        }
        if !goes_for_glass(strike.face) {
            return;
        }
        if harder(&self.screen) {
            self.screen = Some(hit);
        }
        let glass = match strike.face {
            Face::RaisedBonnet => Face::Windscreen,
            face => face,
        };
        let guard = shape.screen_guard.as_ref();
        let Some(guard) = guard.filter(|g| glass.is_guarded_by(g.over)) else {
            return;
        };
        let holds = match shield::guard(guard, strike.energy).holds {
            Holds::Yes => true,
            Holds::No => false,
            Holds::NotKnown => return,
        };
        self.guard_holds = Some(self.guard_holds.unwrap_or(true) && holds);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::letgo::body::Passing;
    use crate::letgo::flying::Passed;
    use crate::plan::{Guarded, ScreenGuard};
    use crate::units::{Duration, Mass, Speed};

    const CRITERION: Energy = Energy::new(79.0);

    fn flown(thing: Thing, meets: Meets) -> Flown {
        Flown {
            thing,
            mass: Mass::new(1.5),
            max_speed: Speed::new(40.0),
            max_energy: Energy::new(1200.0),
            meets,
            over: Vec::new(),
            rests_m: [0.0; 3],
        }
    }

    fn strike(face: Face, joules: f64) -> Meets {
        Meets::Strikes(Strike {
            face,
            time: Duration::ZERO,
            depth: Length::ZERO,
            side: Length::ZERO,
            height: Length::new(1.3),
            speed: Speed::new(30.0),
            normal_speed: Speed::new(30.0),
            energy: Energy::new(joules),
        })
    }

    fn passes(joules: f64) -> Meets {
        Meets::Passes(Passed {
            how: Passing::Over,
            time: Duration::ZERO,
            height: Length::new(2.5),
            side: Length::ZERO,
            speed: Speed::new(30.0),
            energy: Energy::new(joules),
        })
    }

    fn guarded(joules: f64) -> BodyShape {
        BodyShape {
            screen_guard: Some(ScreenGuard {
                what: "mesh".into(),
                rated_energy: Some(Energy::new(joules)),
                over: Guarded::Windscreen,
            }),
            ..BodyShape::wagon()
        }
    }

    fn met(things: &[Flown], shape: &BodyShape) -> Meeting {
        Meeting::of(things, shape, CRITERION)
    }

    #[test]
    fn off_the_line_counts_only_where_it_misses_on_it() {
        let off = flown(Thing::OffTheLine, strike(Face::Windscreen, 900.0));
        let shape = BodyShape::wagon();
        let hits = flown(Thing::FreeEnd, strike(Face::Grille, 500.0));
        let both = met(&[hits, off.clone()], &shape);
        assert!(both.screen.is_none() && both.hardest.is_some_and(|h| h.face == Face::Grille));
        let misses = flown(Thing::FreeEnd, Meets::StopsShort);
        let both = met(&[misses, off], &shape);
        assert!(both.screen.is_some_and(|h| h.energy == Energy::new(900.0)));
    }

    #[test]
    fn a_guard_holds_by_its_rating_and_a_raised_bonnet_is_no_guard() {
        let hit = |face, joules| [flown(Thing::FreeEnd, strike(face, joules))];
        let of = |joules| met(&hit(Face::Windscreen, joules), &guarded(500.0));
        assert_eq!(of(499.0).guard_holds, Some(true));
        assert_eq!(of(501.0).guard_holds, Some(false));
        let bonnet = met(&hit(Face::RaisedBonnet, 100.0), &guarded(500.0));
        assert!(bonnet.screen.is_some() && bonnet.guard_holds == Some(true));
        assert_eq!(
            met(&hit(Face::Windscreen, 9.0), &BodyShape::wagon()).guard_holds,
            None
        );
        assert_eq!(
            met(&hit(Face::RearScreen, 9.0), &guarded(500.0)).guard_holds,
            None
        );
    }

    #[test]
    fn passing_over_the_criterion_is_arriving_over_it() {
        let shape = BodyShape::wagon();
        let of = |meets| met(&[flown(Thing::FreeEnd, meets)], &shape).over_injury;
        assert!(of(passes(80.0)) && !of(passes(78.0)) && !of(Meets::StopsShort));
        assert!(of(strike(Face::Tailgate, 80.0)) && !of(strike(Face::Tailgate, 78.0)));
    }
}
