//! What flies by chance: how fast, how far, and what it does to the vehicle it flies to.

use steadypull_contract::answer::{Chance, ChanceFlight, ChanceStrikes, QuantileAt, Quantiles};
use steadypull_contract::in_these;
use steadypull_contract::show::Units;

use super::Page;

/// What is counted here.
const LET_GOS: &str = "let-gos";

/// Each thing that could fly.
pub(super) fn write(page: &mut Page, answer: &Chance, units: Units) {
    page.heading(
        "IF A PART LETS GO",
        "each thing that could fly, 95 % quantile",
    );
    if answer.flights.is_empty() {
        page.paragraph("Nothing flies: nothing is loaded.");
    }
    for flight in &answer.flights {
        let ChanceFlight { what, parts, .. } = flight;
        page.paragraph(&format!("{what} ({})", parts.join(", ")));
        if let (Some(speed), Some(energy), Some(reach)) = (
            high(&flight.speed_m_s),
            high(&flight.energy_j),
            high(&flight.reach_m),
        ) {
            page.under(&format!(
                "{}, {}, {} from the line; from {} let-gos",
                units.flight_speed(speed.value),
                units.energy(energy.value),
                units.length(reach.value),
                flight.speed_m_s.draws
            ));
        }
        if let Some(strikes) = &flight.at_vehicle {
            at_vehicle(page, strikes, units);
        }
    }
}

fn high(of: &Quantiles) -> Option<QuantileAt> {
    let near = |q: &&QuantileAt| (q.level - 0.95).abs() < 1e-9;
    of.at.iter().find(near).copied()
}

fn at_vehicle(page: &mut Page, of: &ChanceStrikes, units: Units) {
    page.under(&format!(
        "strikes the vehicle it flies to {}",
        in_these(&of.strikes, LET_GOS)
    ));
    let mut screen = format!(
        "strikes its screen {}",
        in_these(&of.strikes_screen, LET_GOS)
    );
    if let (Some(height), Some(energy)) = (&of.screen_height_m, &of.screen_energy_j)
        && let (Some(height), Some(energy)) = (high(height), high(energy))
    {
        screen += &format!(
            ", then up to {} high with {}",
            units.length(height.value),
            units.energy(energy.value)
        );
    }
    page.under(&screen);
    if let Some(holds) = &of.guard_holds {
        page.under(&format!(
            "the guard before the glass holds {} that strike it",
            in_these(holds, LET_GOS)
        ));
    }
    page.under(&format!(
        "arrives over the injury criterion of {} {}",
        units.energy(of.injury_energy_j),
        in_these(&of.over_injury, LET_GOS)
    ));
}
