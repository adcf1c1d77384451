//! Conditions that end a mode of a pull, and the moment at which one fails.

use super::{CAS_V, CAS_X, LineMode, Motion, Now, State, TUG_V, TUG_X, TugMode};

/// An event is located to this time, s.
const EVENT_TIME_S: f64 = 1e-9;
/// Rounds of that search at most; halving alone needs 25 from the longest step.
const ROUNDS: usize = 60;
/// A condition that no longer holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Crossing {
    Taut,
    Slack,
    Load,
    Unload,
    BreakOut,
    CasualtyStops,
    TugStops,
    TugLeaves,
    Parts,
}

/// Where an event was found.
pub(super) struct Located {
    pub(super) time_s: f64,
    pub(super) state: State,
    pub(super) crossing: Crossing,
}

impl Motion<'_> {
    /// The first moment of a step of `h` at which a condition no longer holds, a
    /// hair late; by false position with the Illinois rule from a cubic first guess,
    /// each guess moved half the wanted time across so that the bracket closes from
    /// both ends.
    pub(super) fn locate(&self, h: f64, end: State, end_now: &Now, found: Crossing) -> Located {
        let mut late = Located {
            time_s: h,
            state: end,
            crossing: found,
        };
        let (mut low, mut low_state, mut low_tension) = (0.0, self.state, self.now.tension_n);
        let mut below = self.margin(found, &low_state, low_tension);
        let mut above = self.margin(found, &end, end_now.tension_n);
        let slope = |now: &Now| self.margin_rate(found, &now.rates).map(|rate| rate * h);
        let slopes = slope(&self.now).zip(slope(end_now));
        let mut from_below = true;
        let nudge = 0.5 * EVENT_TIME_S;
        for round in 0..ROUNDS {
            let width = late.time_s - low;
            if width <= EVENT_TIME_S {
                break;
            }
            let falls = round < ROUNDS / 4 && below <= 0.0 && above > 0.0;
            let share = match slopes {
                _ if !falls => 0.5,
                Some(slopes) if round == 0 => cubic_root((below, above), slopes),
                _ => below / (below - above),
            };
            let across = if from_below { nudge } else { -nudge };
            let at = (low + share * width + across).clamp(low + nudge, late.time_s - nudge);
            let state = self.stepped(at);
            let tension = self.tension(&state);
            if let Some(crossing) = self.crossed(&state, tension) {
                above = self.margin(crossing, &state, tension);
                if crossing != late.crossing {
                    below = self.margin(crossing, &low_state, low_tension);
                } else if !from_below {
                    below *= 0.5;
                }
                from_below = false;
                late = Located {
                    time_s: at,
                    state,
                    crossing,
                };
            } else {
                (low, low_state, low_tension) = (at, state, tension);
                below = self.margin(late.crossing, &state, tension);
                if from_below {
                    above *= 0.5;
                }
                from_below = true;
            }
        }
        late
    }

    /// How far a condition is broken at `y`: negative while it holds.
    fn margin(&self, crossing: Crossing, y: &State, tension_n: f64) -> f64 {
        match crossing {
            Crossing::Parts => self
                .setup
                .parts_at
                .map_or(f64::NAN, |limit| tension_n - limit.get()),
            Crossing::Taut => self.strain(y) - self.path.strain_slack(),
            Crossing::Slack => self.path.strain_slack() - self.strain(y),
            Crossing::Load => self.strain(y) - self.path.strain_max(),
            Crossing::Unload => y[CAS_V] - y[TUG_V],
            Crossing::BreakOut => tension_n - self.held_by_n,
            Crossing::CasualtyStops => -y[CAS_V],
            Crossing::TugStops if self.tug == TugMode::Forward => -y[TUG_V],
            Crossing::TugStops => y[TUG_V],
            Crossing::TugLeaves => {
                let push = self.standstill_push(tension_n);
                push.abs() - self.setup.tug_rolling.get()
            }
        }
    }

    /// How fast that margin changes, where the rates say it.
    fn margin_rate(&self, crossing: Crossing, rates: &State) -> Option<f64> {
        let stretching = (rates[TUG_X] - rates[CAS_X]) * self.per_length;
        Some(match crossing {
            Crossing::Taut | Crossing::Load => stretching,
            Crossing::Slack => -stretching,
            Crossing::Unload => rates[CAS_V] - rates[TUG_V],
            Crossing::CasualtyStops => -rates[CAS_V],
            Crossing::TugStops if self.tug == TugMode::Forward => -rates[TUG_V],
            Crossing::TugStops => rates[TUG_V],
            Crossing::Parts | Crossing::BreakOut | Crossing::TugLeaves => return None,
        })
    }

    /// The first condition of the present mode that no longer holds at `y`.
    pub(super) fn crossed(&self, y: &State, tension: f64) -> Option<Crossing> {
        let strain = self.strain(y);
        if self
            .setup
            .parts_at
            .is_some_and(|limit| tension >= limit.get())
        {
            return Some(Crossing::Parts);
        }
        match self.line {
            LineMode::Slack if strain > self.path.strain_slack() => return Some(Crossing::Taut),
            LineMode::Below if strain <= self.path.strain_slack() => return Some(Crossing::Slack),
            LineMode::Below if strain > self.path.strain_max() => return Some(Crossing::Load),
            LineMode::Loading if y[TUG_V] < y[CAS_V] => return Some(Crossing::Unload),
            _ => {}
        }
        if !self.casualty_moves && self.casualty_kg.is_some() && tension > self.held_by_n {
            return Some(Crossing::BreakOut);
        }
        if self.casualty_moves && y[CAS_V] < 0.0 {
            return Some(Crossing::CasualtyStops);
        }
        match self.tug {
            TugMode::Forward if y[TUG_V] < 0.0 => Some(Crossing::TugStops),
            TugMode::Backward if y[TUG_V] > 0.0 => Some(Crossing::TugStops),
            TugMode::Stopped if self.standstill_direction(tension) != TugMode::Stopped => {
                Some(Crossing::TugLeaves)
            }
            _ => None,
        }
    }
}

/// Where between 0 and 1 the cubic with these ends and end slopes is nothing, by
/// Newton's rule from the straight line; a guess.
fn cubic_root((below, above): (f64, f64), (first, last): (f64, f64)) -> f64 {
    let rise = above - below;
    let (bend, twist) = (3.0 * rise - 2.0 * first - last, first + last - 2.0 * rise);
    let mut x = -below / rise;
    for _ in 0..4 {
        let value = below + x * (first + x * (bend + x * twist));
        let slope = first + x * (2.0 * bend + 3.0 * x * twist);
        x = (x - value / slope).clamp(0.0, 1.0);
    }
    if x.is_nan() { 0.5 } else { x }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// x³ + x − 0.5, whose root is 0.423854 (Cardano).
    #[test]
    fn closed_form_cubic_root() {
        let root = cubic_root((-0.5, 1.5), (1.0, 4.0));
        assert!((root * root * root + root - 0.5).abs() < 1e-9);
    }
}
