//! The data-plate in `[tug.winch]`: its own figures, the rest from a preset.

use core::cell::Cell;
use core::ops::Range;

use steadypull_engine::plan::{
    Battery, Cable, ElectricPlate, HandPlate, HydraulicPlate, PlateRow, WinchDrive, WinchPlate,
    WindingHeat,
};
use steadypull_engine::pull::winch::preset::{NAMES, Preset};
use steadypull_engine::pull::winch::supply::awg_section;
use steadypull_engine::pull::winch::{Machine, PlateError};
use steadypull_engine::units::{Area, Current, Force, Speed};

use super::entry::{Entry, FigureLimits, Shape, entries};
use super::limits::{self, Limit};
use super::listing::FieldShape;
use super::quantity::short;
use super::section::Section;
use super::spelling::nearest;
use super::unit_table::Share;
use super::value::{Fault, Value};
use crate::operation::FieldKind;

/// Most rows of a data-plate.
const MOST_ROWS: usize = 12;

/// The name of a preset.
pub(super) struct PresetName(pub &'static str);

impl Value for PresetName {
    fn shape() -> FieldShape {
        FieldShape::word(NAMES)
    }

    fn expected() -> String {
        format!("one of {}", NAMES.map(|n| format!("\"{n}\"")).join(", "))
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        if let Some(name) = NAMES.into_iter().find(|name| *name == text) {
            return Ok(Self(name));
        }
        let message = format!("is no preset: \"{}\"", short(text));
        let fault = Fault::new(message).expecting(Self::expected());
        Err(match nearest(text, NAMES) {
            Some(meant) => fault.hinting(format!("did you mean \"{meant}\"?")),
            None => fault,
        })
    }
}

/// An AWG number: `4`, `1/0`, `2/0`.
struct Awg(i8);

impl Value for Awg {
    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Text)
    }

    fn expected() -> String {
        "an AWG number in quotes, \"10\" down to \"1\", then \"1/0\" to \"4/0\"".into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        let number = match text.split_once('/') {
            Some((n, "0")) => n
                .parse()
                .ok()
                .filter(|n| (1..=4).contains(n))
                .map(|n: i8| 1 - n),
            Some(_) => None,
            None => text.parse().ok().filter(|n| (1..=10).contains(n)),
        };
        let fault = || Fault::new(format!("is no AWG number: \"{}\"", short(text)));
        number
            .map(Self)
            .ok_or_else(|| fault().expecting(Self::expected()))
    }
}

const PULL_LIMITS: FigureLimits = ((0.0, limits::RATED_PULL.high.get()), "0 kN to 1000 kN");
const SPEED_LIMITS: FigureLimits = ((0.0, limits::LINE_SPEED.high.get()), "0 m/s to 3 m/s");
const CURRENT_LIMITS: FigureLimits = ((1e-3, 5000.0), "more than 0 A, up to 5000 A");

const ROWS: &str = "[pull, line speed, current] on the first layer, such as \
                    [\"2 t\", \"3 m/min\", \"240 A\"]";

/// One row of the plate.
fn row(entry: &Entry) -> Option<(Range<usize>, PlateRow)> {
    let pull = entry.figure(0, "pull", Some(PULL_LIMITS));
    let speed = entry.figure(1, "speed", Some(SPEED_LIMITS));
    let current = entry.figure(2, "current", Some(CURRENT_LIMITS));
    let row = PlateRow {
        pull: pull?,
        speed: speed?,
        current: current?,
    };
    let in_range = row.pull >= Force::ZERO
        && row.pull <= limits::RATED_PULL.high
        && row.speed >= Speed::ZERO
        && row.speed <= limits::LINE_SPEED.high
        && row.current > Current::ZERO
        && row.current <= Current::new(5000.0);
    if !in_range {
        let fault = Fault::new("holds a row with a figure below nothing or far too large".into());
        entry.note(fault.expecting(ROWS));
        return None;
    }
    Some((entry.span(), row))
}

/// The rows of the plate, empty where there are none; each past the one before.
pub(super) fn rows(section: &Section, drive: WinchDrive) -> Option<Vec<PlateRow>> {
    if drive != WinchDrive::Electric {
        return Some(Vec::new());
    }
    let shape = Shape {
        cells: 3,
        most: MOST_ROWS,
        odd: "holds a row that is not of three figures",
        expected: ROWS.into(),
    };
    let rows = entries(section, "rows", &shape, row)?.unwrap_or_default();
    let Some((span, first)) = rows.first() else {
        return Some(Vec::new());
    };
    if first.pull != Force::ZERO || rows.len() < 2 {
        let fault = Fault::new("do not start at no load, or there is only one".into());
        let fault = fault.expecting("a first row with a pull of \"0 t\", then one or more");
        section.note_at(span.clone(), "rows", fault);
        return None;
    }
    if first.speed <= Speed::ZERO {
        let fault = Fault::new("start with a winch that does not turn at no load".into());
        section.note_at(span.clone(), "rows", fault);
        return None;
    }
    let wrong = rows
        .windows(2)
        .find(|pair| !goes_on(&pair[0].1, &pair[1].1));
    if let Some([_, (span, _)]) = wrong {
        out_of_order(section, span.clone());
        return None;
    }
    Some(rows.into_iter().map(|(_, row)| row).collect())
}

fn goes_on(a: &PlateRow, b: &PlateRow) -> bool {
    b.pull > a.pull && b.current > a.current && b.speed < a.speed
}

fn out_of_order(section: &Section, span: Range<usize>) {
    let fault = Fault::new("are out of order here".into());
    let fault = fault.expecting("more pull, more current and less speed than the row before it");
    section.note_at(span, "rows", fault);
}

/// Reads figures, and knows whether any was left to the preset.
struct Figures<'s, 'r> {
    section: &'s Section<'r>,
    filled_in: Cell<bool>,
}

impl Figures<'_, '_> {
    fn or<T: Value + PartialOrd>(
        &self,
        key: &'static str,
        limit: &'static Limit<T>,
        preset: T,
    ) -> Option<T> {
        let (found, given) = self.section.key::<T>(key).within(limit).or_value(preset)?;
        if !given {
            self.filled_in.set(true);
        }
        Some(found)
    }
}

/// The plate, and the name of the preset that filled in what it does not say.
pub(super) fn plate(
    section: &Section,
    base: &Preset,
    rated: Force,
    line_speed: Speed,
    rows: Vec<PlateRow>,
) -> Option<(WinchPlate, Option<String>)> {
    let figures = Figures {
        section,
        filled_in: Cell::new(false),
    };
    let like = base
        .plate
        .scaled(rated / base.rated_pull, line_speed / base.line_speed);
    let plate = match like {
        WinchPlate::Electric(like) => electric(&figures, like, rows).map(WinchPlate::Electric),
        WinchPlate::Hydraulic(like) => hydraulic(&figures, like).map(WinchPlate::Hydraulic),
        WinchPlate::Hand(like) => by_hand(&figures, like).map(WinchPlate::Hand),
    }?;
    if let Err(error) = Machine::new(&plate, rated, line_speed) {
        section.note(at_fault(&error, &plate, section), fault_of(&error));
        return None;
    }
    let filled_in = figures.filled_in.get();
    if filled_in && !section.has("preset") {
        let reason = format!(
            "assumed: {}, scaled to the rated pull and line speed; write its plate's own figures",
            base.words
        );
        section.assume("preset", base.name, &reason);
    }
    let named = filled_in || section.has("preset");
    Some((plate, named.then(|| base.name.into())))
}

fn at_fault(error: &PlateError, plate: &WinchPlate, section: &Section) -> &'static str {
    match (error, plate) {
        (PlateError::Heat, _) => "rest_until",
        (_, WinchPlate::Hydraulic(_)) => "pump_flow",
        (_, WinchPlate::Hand(_)) => "handle_ratio",
        _ if section.has("rows") => "rows",
        _ => "gear_efficiency",
    }
}

fn fault_of(error: &PlateError) -> Fault {
    let fault = Fault::new(format!("gives no winch that works: {error}"));
    match error {
        PlateError::Heat => {
            fault.expecting("air_temperature, rest_until, winding_limit, each above the one before")
        }
        PlateError::ShortOfRated => fault.expecting("a last row at the rated pull or above it"),
        _ => fault.hinting(
            "compare every figure with the plate; pull and speed are those of the first layer",
        ),
    }
}

fn electric(figures: &Figures, like: ElectricPlate, rows: Vec<PlateRow>) -> Option<ElectricPlate> {
    if rows.is_empty() {
        figures.filled_in.set(true);
    }
    let volts = figures.or("volts", &limits::VOLTS, like.volts);
    let gear = figures.or(
        "gear_efficiency",
        &limits::EFFICIENCY,
        Share(like.gear_efficiency),
    );
    let battery = battery(figures, like.battery);
    let alternator = figures.or("alternator", &limits::ALTERNATOR, like.alternator);
    let cable = cable(figures, like.cable);
    let heat = heat(figures, like.heat);
    Some(ElectricPlate {
        volts: volts?,
        rows: if rows.is_empty() { like.rows } else { rows },
        gear_efficiency: gear?.0,
        battery: battery?,
        alternator: alternator?,
        cable: cable?,
        heat: heat?,
    })
}

fn battery(figures: &Figures, like: Battery) -> Option<Battery> {
    let capacity = figures.or("battery_capacity", &limits::BATTERY, like.capacity);
    let charge = figures.or(
        "state_of_charge",
        &limits::STATE_OF_CHARGE,
        Share(like.state_of_charge),
    );
    let resistance = figures.or(
        "battery_resistance",
        &limits::BATTERY_RESISTANCE,
        like.resistance,
    );
    Some(Battery {
        capacity: capacity?,
        state_of_charge: charge?.0,
        resistance: resistance?,
    })
}

fn cable(figures: &Figures, like: Cable) -> Option<Cable> {
    let length = figures.or("cable_length", &limits::CABLE_LENGTH, like.length);
    let section = figures.section;
    let awg = section.key::<Awg>("cable_awg").maybe();
    let copper = section
        .key::<Area>("cable_section")
        .within(&limits::CABLE_SECTION);
    let (awg, copper) = (awg?, copper.maybe()?);
    let copper = match (awg, copper) {
        (Some(_), Some(_)) => {
            let fault = Fault::new("and cable_section are both given".into());
            section.note("cable_awg", fault.hinting("choose one"));
            return None;
        }
        (Some(Awg(number)), None) => awg_section(number),
        (None, Some(copper)) => copper,
        (None, None) => {
            figures.filled_in.set(true);
            let copper = section.key("cable_section");
            copper.within(&limits::CABLE_SECTION).varied(like.section)?
        }
    };
    Some(Cable {
        length: length?,
        section: copper,
    })
}

fn heat(figures: &Figures, like: WindingHeat) -> Option<WindingHeat> {
    let hot_after = figures.or("hot_after", &limits::HOT_AFTER, like.hot_after);
    let cools_in = figures.or("cools_in", &limits::COOLS_IN, like.cools_in);
    let limit = figures.or("winding_limit", &limits::WINDING, like.limit);
    let rest_until = figures.or("rest_until", &limits::WINDING, like.rest_until);
    let air = figures.or("air_temperature", &limits::AIR, like.air);
    Some(WindingHeat {
        hot_after: hot_after?,
        cools_in: cools_in?,
        limit: limit?,
        rest_until: rest_until?,
        air: air?,
    })
}

fn hydraulic(figures: &Figures, like: HydraulicPlate) -> Option<HydraulicPlate> {
    let flow = figures.or("pump_flow", &limits::FLOW, like.flow);
    let relief = figures.or("relief_pressure", &limits::RELIEF, like.relief);
    let share = figures.or(
        "engine_share",
        &limits::ENGINE_SHARE,
        Share(like.engine_share),
    );
    Some(HydraulicPlate {
        flow: flow?,
        relief: relief?,
        engine_share: share?.0,
    })
}

fn by_hand(figures: &Figures, like: HandPlate) -> Option<HandPlate> {
    let line = figures.or(
        "line_per_stroke",
        &limits::LINE_PER_STROKE,
        like.line_per_stroke,
    );
    let travel = figures.or("handle_travel", &limits::HANDLE_TRAVEL, like.handle_travel);
    let ratio = figures.or("handle_ratio", &limits::HANDLE_RATIO, like.handle_ratio);
    let limit = figures.or("handle_limit", &limits::HANDLE_LIMIT, like.handle_limit);
    let power = figures.or("person_power", &limits::PERSON_POWER, like.person_power);
    Some(HandPlate {
        line_per_stroke: line?,
        handle_travel: travel?,
        handle_ratio: ratio?,
        handle_limit: limit?,
        person_power: power?,
    })
}
