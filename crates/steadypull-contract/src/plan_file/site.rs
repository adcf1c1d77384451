//! `[site]`: wind, and the ground between the vehicles.

use steadypull_engine::plan::{Gusts, Site};
use steadypull_engine::units::{Angle, Length, Speed};

use super::defaults;
use super::limits;
use super::section::Section;
use super::unit_table::Slope;
use super::value::Fault;
use crate::show::{Units, figures};

/// Bumps are no higher than this share of their spacing.
const STEEPEST: f64 = 0.25;

pub(super) fn site(file: &Section) -> Option<Site> {
    let section = file.table("site");
    if !section.is_read() {
        if !file.has("site") {
            file.assume("site", defaults::SITE, defaults::SITE_REASON);
        }
        return Some(calm_and_level());
    }
    let wind = section.key::<Speed>("wind").within(&limits::WIND);
    let wind = wind.or(defaults::CALM.0, defaults::CALM.1);
    let blows = wind.is_some_and(|w| w.get() > 0.0);
    let from = section.key::<Angle>("wind_from").within(&limits::FACING);
    let wind_from = if blows {
        from.or(defaults::WIND_FROM.0, defaults::WIND_FROM.1)
    } else {
        from.maybe().map(|angle| angle.unwrap_or(Angle::ZERO))
    };
    let gusts = gusts(&section, blows);
    let slope = |key: &'static str| {
        let key = section.key::<Slope>(key).within(&limits::SLOPE);
        key.or(defaults::SITE_SLOPE.0, defaults::SITE_SLOPE.1)
    };
    let slope_along = slope("slope_along");
    let slope_across = slope("slope_across");
    let bumps = section.key::<Length>("bumps").within(&limits::BUMPS);
    let bumps = bumps.or(defaults::BUMPS.0, defaults::BUMPS.1);
    let rough = bumps.is_some_and(|b| b.get() > 0.0);
    let spacing = section.key("bump_spacing").within(&limits::BUMP_SPACING);
    let bump_spacing = if rough {
        spacing.or(defaults::BUMP_SPACING.0, defaults::BUMP_SPACING.1)
    } else {
        spacing.maybe().map(|s| s.unwrap_or(Length::new(1.0)))
    };
    section.close();
    let (bumps, bump_spacing) = (bumps?, bump_spacing?);
    if bumps > bump_spacing * STEEPEST {
        let fault = Fault::new("is more than a quarter of bump_spacing".into());
        section.note(
            "bumps",
            fault.expecting("bumps that things slide over, no steps"),
        );
        return None;
    }
    Some(Site {
        wind: wind?,
        wind_from: wind_from?,
        gusts: gusts?,
        slope_along: slope_along?.0,
        slope_across: slope_across?.0,
        bumps,
        bump_spacing,
    })
}

/// How unsteady the wind is; nothing is assumed of calm air.
fn gusts(section: &Section, blows: bool) -> Option<Gusts> {
    let factor = section
        .key::<f64>("gust_factor")
        .within(&limits::GUST_FACTOR);
    let turns = section
        .key::<Angle>("wind_turns")
        .within(&limits::WIND_TURNS);
    if blows {
        let factor = factor.or(defaults::GUST_FACTOR.0, defaults::GUST_FACTOR.1);
        let turns = turns.or(defaults::WIND_TURNS.0, defaults::WIND_TURNS.1);
        return Some(Gusts {
            factor: factor?,
            turns: turns?,
        });
    }
    let (factor, turns) = (factor.maybe(), turns.maybe());
    Some(Gusts {
        factor: factor?.unwrap_or(Gusts::STEADY.factor),
        turns: turns?.unwrap_or(Gusts::STEADY.turns),
    })
}

fn calm_and_level() -> Site {
    Site {
        bump_spacing: Length::new(1.0),
        ..Site::default()
    }
}

/// What the plan says of the site, for the brief; nothing of a calm, level one.
pub(super) fn lines(site: &Site, units: Units) -> Vec<String> {
    let mut lines = Vec::new();
    if site.wind.get() > 0.0 {
        lines.push(format!(
            "wind {} from {} deg, anticlockwise from +x, gust factor {}, direction within {} deg (1 sigma)",
            units.flight_speed(site.wind.get()),
            figures(site.wind_from.to_deg()),
            figures(site.gusts.factor),
            figures(site.gusts.turns.to_deg())
        ));
    }
    if site.slope_along != Angle::ZERO || site.slope_across != Angle::ZERO {
        lines.push(format!(
            "ground under the line {:.1} deg along, {:.1} deg across",
            site.slope_along.to_deg(),
            site.slope_across.to_deg()
        ));
    }
    if site.bumps.get() > 0.0 {
        lines.push(format!(
            "bumps of {}, {} apart",
            units.length(site.bumps.get()),
            units.length(site.bump_spacing.get())
        ));
    }
    lines
}
