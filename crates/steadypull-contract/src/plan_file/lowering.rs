//! `[lowering]`: down a slope on a held line, with `[lowering.main]` and
//! `[lowering.belay]`.

use steadypull_engine::plan::{
    Belay, Casualty, Holder, Kit, LineAnchor, LoweredBody, Lowering, MainLine, Round, SlopePiece,
    Surface, Turns,
};
use steadypull_engine::pull::lowering::anchor_hold::TUG;
use steadypull_engine::pull::lowering::profile::Profile;
use steadypull_engine::units::{Force, Length};

use super::defaults::{self, carried_over};
use super::limits;
use super::names::{Names, Sort};
use super::section::{A_PLAN, Section};
use super::unit_table::Share;
use super::value::{Fault, Named};
use super::way;
use super::words::{End, HeldBy, Nose};

/// Least distance of an anchor uphill of the vehicle's tail, m.
const CLEAR_OF_TAIL_M: f64 = 1.0;
/// Most parts in the main line.
const MOST_THROUGH: usize = 12;

/// What the rest of the file says.
pub(super) struct Known<'a> {
    pub names: &'a Names,
    pub casualty: Option<&'a Casualty>,
    pub kit: Option<&'a Kit>,
}

pub(super) fn lowering(file: &Section, known: &Known) -> Option<Option<Lowering>> {
    let section = file.table("lowering");
    if !file.has("lowering") {
        return Some(None);
    }
    let way = way::way(&section);
    let edge_radius = section.key("edge_radius").within(&limits::EDGE_RADIUS);
    let edge_radius = edge_radius.or(defaults::EDGE_RADIUS.0, defaults::EDGE_RADIUS.1);
    let body = body(&section);
    let from = section.key::<Length>("from").within(&limits::ALONG_WAY);
    let from = from.or(defaults::LOWER_FROM.0, defaults::LOWER_FROM.1);
    let ends = ends(&way, edge_radius, body.as_ref());
    let to = section.key::<Length>("to").within(&limits::ALONG_WAY);
    let to = to.or_else(|| Some((carried_over(ends?, "m"), defaults::LOWER_TO_REASON.into())));
    let surface = section.key::<Surface>("surface").need();
    let facts = surface.map(defaults::surface_facts);
    let by_surface = |pick: fn(&defaults::SurfaceFacts) -> defaults::Default| {
        let (text, reason) = facts.as_ref().map(pick)?;
        Some((text.into(), reason.into()))
    };
    let grip = section.key("grip").within(&limits::GRIP);
    let grip = grip.or_else(|| by_surface(|f| f.grip));
    let rolling = section.key("rolling").within(&limits::ROLLING);
    let rolling = rolling.or_else(|| by_surface(|f| f.rolling));
    let number = |key, (text, reason): defaults::Default| {
        section
            .key::<f64>(key)
            .within(&limits::GRIP_SPREAD)
            .or(text, reason)
    };
    let rolling_spread = number("rolling_spread", defaults::ROLLING_SPREAD);
    let mass_spread = number("mass_spread", defaults::MASS_SPREAD);
    let edge_friction = number("edge_friction", defaults::EDGE_FRICTION);
    let own_hold = section.key::<Share>("own_hold").within(&limits::OWN_HOLD);
    let own_hold = own_hold.or(defaults::OWN_HOLD.0, defaults::OWN_HOLD.1);
    let speed = section.key("speed").within(&limits::LOWER_SPEED);
    let speed = speed.or(defaults::LOWER_SPEED.0, defaults::LOWER_SPEED.1);
    let top = Top {
        from,
        overhang: body.map(|b| b.overhang),
    };
    let main = main_line(&section, known, top);
    let belay = belay(&section, known, top);
    section.close();
    let (way, body, from, to, main) = (way?, body?, from?, to?, main?);
    in_order(&section, from, to, Profile::new(&way, 0.0).length_m())?;
    let belay = belay?;
    two_lines(&section, &main, belay.as_ref())?;
    let body = LoweredBody {
        line_height: height_of(known, &main.point)?,
        ..body
    };
    Some(Some(Lowering {
        way,
        edge_radius: edge_radius?,
        from,
        to,
        body,
        surface: surface?,
        grip: grip?,
        rolling: rolling?,
        rolling_spread: rolling_spread?,
        mass_spread: mass_spread?,
        own_hold: own_hold?.0,
        edge_friction: edge_friction?,
        speed: speed?,
        main,
        belay,
    }))
}

/// A belay is a line of its own.
fn two_lines(section: &Section, main: &MainLine, belay: Option<&Belay>) -> Option<()> {
    if belay.is_none_or(|belay| belay.line != main.line) {
        return Some(());
    }
    let fault = Fault::new(format!("is \"{}\", the main line", main.line));
    let fault = fault.expecting("a second line: if the main line parts, the belay must not");
    section.table("belay").note("line", fault);
    None
}

/// Where the upper axle is when the lower one is at the end of the way.
fn ends(
    way: &Option<Vec<SlopePiece>>,
    radius: Option<Length>,
    body: Option<&LoweredBody>,
) -> Option<f64> {
    let length = Profile::new(way.as_ref()?, radius?.get()).length_m();
    Some(length - body?.wheelbase.get())
}

fn in_order(section: &Section, from: Length, to: Length, length_m: f64) -> Option<()> {
    let message = if to <= from {
        "is not below from"
    } else if to.get() > length_m + 1e-9 {
        "is past the end of the way"
    } else {
        return Some(());
    };
    let fault = Fault::new(message.into());
    section.note(
        "to",
        fault.expecting("the place of the upper axle at the end, along the way from its top"),
    );
    None
}

fn body(section: &Section) -> Option<LoweredBody> {
    let nose = section
        .key::<Nose>("nose")
        .or(defaults::NOSE.0, defaults::NOSE.1);
    let length = |key, limit, (text, reason): defaults::Default| {
        section.key::<Length>(key).within(limit).or(text, reason)
    };
    let wheelbase = length("wheelbase", &limits::WHEELBASE, defaults::WHEELBASE);
    let cg_height = length("cg_height", &limits::CG_HEIGHT, defaults::CG_HEIGHT);
    let overhang = length("overhang", &limits::OVERHANG, defaults::OVERHANG);
    let clearance = length("clearance", &limits::CLEARANCE, defaults::CLEARANCE);
    let front_share = section
        .key::<Share>("front_share")
        .within(&limits::FRONT_SHARE);
    let front_share = front_share.or(defaults::FRONT_SHARE.0, defaults::FRONT_SHARE.1);
    let belly_friction = section.key("belly_friction").within(&limits::GRIP);
    let belly_friction = belly_friction.or(defaults::BELLY_FRICTION.0, defaults::BELLY_FRICTION.1);
    Some(LoweredBody {
        wheelbase: wheelbase?,
        cg_height: cg_height?,
        front_share: front_share?.0,
        nose_down: nose? == Nose::Down,
        overhang: overhang?,
        line_height: Length::ZERO,
        clearance: clearance?,
        belly_friction: belly_friction?,
    })
}

fn height_of(known: &Known, point: &str) -> Option<Length> {
    let name = point.strip_prefix("casualty.")?;
    let points = &known.casualty?.vehicle.recovery_points;
    points.iter().find(|p| p.name == name).map(|p| p.height)
}

/// What the place of an anchor is judged by.
#[derive(Clone, Copy)]
struct Top {
    from: Option<Length>,
    overhang: Option<Length>,
}

fn main_line(lowering: &Section, known: &Known, top: Top) -> Option<MainLine> {
    let section = lowering.needed_table(
        "main",
        "the line that lowers: line, by, point, anchor_back",
        A_PLAN,
    );
    let by = section.key::<HeldBy>("by").need();
    let line = part(&section, "line", known.names, is_line, "a line of the kit");
    let point = part(&section, "point", known.names, is_casualty_point, POINT);
    let anchor = anchor(&section, known, top, by == Some(HeldBy::Winch));
    let through = through(&section, known.names);
    let has_block = through
        .iter()
        .flatten()
        .any(|name| known.names.sort(name) == Some(Sort::Block));
    let gives = section.key::<Length>("block_gives").within(&limits::SLACK);
    let block_gives = if has_block {
        gives.or(defaults::BLOCK_GIVES.0, defaults::BLOCK_GIVES.1)
    } else {
        gives.maybe().map(Option::unwrap_or_default)
    };
    let tail = section.key::<Length>("tail").within(&limits::SLACK);
    let tail = tail.or(defaults::TAIL.0, defaults::TAIL.1);
    let holder = match by {
        Some(HeldBy::Turns) => turns(&section).map(Holder::Turns),
        Some(HeldBy::Winch) => winch(&section, known.names, line.as_deref()),
        None => None,
    };
    // Keys of the other sort of holder are known, and out of place.
    if by.is_none_or(|by| by == HeldBy::Winch) {
        for key in TURN_KEYS {
            if section.has(key) && by.is_some() {
                section.note(key, Fault::new("is only for by = \"turns\"".into()));
            }
        }
    }
    section.close();
    Some(MainLine {
        line: line?,
        point: point?,
        holder: holder?,
        anchor: anchor?,
        through: through?,
        block_gives: block_gives?,
        tail: tail?,
    })
}

const TURN_KEYS: [&str; 7] = [
    "turns",
    "round",
    "friction",
    "friction_spread",
    "hand_limit",
    "diameter",
    "heat_mass",
];

fn turns(section: &Section) -> Option<Turns> {
    let turns = section.key::<f64>("turns").within(&limits::TURNS).need();
    let round = section.key::<Round>("round").need();
    let by_round = |wood: defaults::Default, metal: defaults::Default| {
        let (text, reason) = if round?.is_wood() { wood } else { metal };
        Some((text.into(), reason.into()))
    };
    let friction = section.key::<f64>("friction").within(&limits::FRICTION);
    let friction = friction.or_else(|| by_round(defaults::ON_WOOD, defaults::ON_METAL));
    let spread = section
        .key::<f64>("friction_spread")
        .within(&limits::GRIP_SPREAD);
    let friction_spread = spread.or(defaults::FRICTION_SPREAD.0, defaults::FRICTION_SPREAD.1);
    let hand_limit = section
        .key::<Force>("hand_limit")
        .within(&limits::HAND_LIMIT);
    let hand_limit = hand_limit.or(defaults::HAND_LIMIT.0, defaults::HAND_LIMIT.1);
    let diameter = section.key::<Length>("diameter").within(&limits::DRUM);
    let diameter = diameter.or_else(|| by_round(defaults::TREE_ROUND, defaults::METAL_ROUND));
    let heat_mass = section.key("heat_mass").within(&limits::HEAT_MASS);
    let heat_mass = heat_mass.or_else(|| by_round(defaults::WOOD_HEAT, defaults::METAL_HEAT));
    Some(Turns {
        turns: turns?,
        friction: friction?,
        friction_spread: friction_spread?,
        hand_limit: hand_limit?,
        round: round?,
        diameter: diameter?,
        heat_mass: heat_mass?,
    })
}

fn winch(section: &Section, names: &Names, line: Option<&str>) -> Option<Holder> {
    if names.sort("tug.winch") != Some(Sort::Winch) {
        if !section.is_broken() {
            let fault = Fault::new("is \"winch\", but the tug has none".into());
            section.note(
                "by",
                fault.hinting("describe it in [tug.winch], or use by = \"turns\""),
            );
        }
        return None;
    }
    let on_drum = names.winch_line.as_deref();
    if let (Some(line), Some(on_drum)) = (line, on_drum)
        && line != on_drum
    {
        let fault = Fault::new(format!(
            "is \"{line}\", but the winch carries \"{on_drum}\""
        ));
        section.note("line", fault.expecting("the line on the winch"));
        return None;
    }
    Some(Holder::Winch)
}

fn belay(lowering: &Section, known: &Known, top: Top) -> Option<Option<Belay>> {
    let section = lowering.table("belay");
    if !lowering.has("belay") {
        return Some(None);
    }
    let line = part(&section, "line", known.names, is_line, "a line of the kit");
    let point = part(&section, "point", known.names, is_casualty_point, POINT);
    let anchor = anchor(&section, known, top, false);
    let slack = section.key::<Length>("slack").within(&limits::SLACK);
    let slack = slack.or(defaults::BELAY_SLACK.0, defaults::BELAY_SLACK.1);
    let slips_at = section
        .key::<Force>("slips_at")
        .within(&limits::BELAY_SLIP)
        .maybe();
    let tail = section.key::<Length>("tail").within(&limits::SLACK);
    let tail = tail.or(defaults::TAIL.0, defaults::TAIL.1);
    section.close();
    Some(Some(Belay {
        line: line?,
        point: point?,
        anchor: anchor?,
        slack: slack?,
        slips_at: slips_at?,
        tail: tail?,
    }))
}

fn anchor(section: &Section, known: &Known, top: Top, winch: bool) -> Option<LineAnchor> {
    let name = section.key::<Named>("anchor");
    let name = if winch {
        name.or(defaults::WINCH_ANCHOR.0, defaults::WINCH_ANCHOR.1)
    } else {
        name.need()
    };
    let holds = section
        .key::<Force>("anchor_holds")
        .within(&limits::HOLD_FORCE)
        .maybe();
    let spread_key = section
        .key::<f64>("anchor_spread")
        .within(&limits::GRIP_SPREAD);
    let spread = if section.has("anchor_holds") {
        spread_key.or(defaults::ANCHOR_SPREAD.0, defaults::ANCHOR_SPREAD.1)
    } else {
        spread_key.maybe().map(Option::unwrap_or_default)
    };
    let back = section
        .key::<Length>("anchor_back")
        .within(&limits::ANCHOR_BACK)
        .need();
    let height = section
        .key::<Length>("anchor_height")
        .within(&limits::POINT_HEIGHT);
    let height = height.or(defaults::POINT_HEIGHT.0, defaults::ANCHOR_HEIGHT_REASON);
    let (name, holds) = (name?.0, holds?);
    if winch && name != TUG {
        let fault = Fault::new("is not the tug, which carries the winch".into());
        section.note("anchor", fault.expecting("\"tug\", or by = \"turns\""));
        return None;
    }
    let in_kit = known.kit.is_none_or(|kit| kit.anchor(&name).is_some());
    if holds.is_none() && name != TUG && !in_kit {
        let fault = Fault::new(format!("is \"{name}\", and nothing says what it holds"));
        section.note(
            "anchor",
            fault
                .expecting("\"tug\", or a name with anchor_holds beside it")
                .hinting("anchor_holds = \"40 kN\", as tested or as a table of holdfasts gives it"),
        );
        return None;
    }
    let back = back?;
    if let (Some(from), Some(overhang)) = (top.from, top.overhang)
        && (back + from - overhang).get() < CLEAR_OF_TAIL_M
    {
        let fault = Fault::new("puts the anchor beside the vehicle at the start".into());
        section.note(
            "anchor_back",
            fault.expecting("an anchor at least 1 m uphill of the end of the vehicle"),
        );
        return None;
    }
    Some(LineAnchor {
        name,
        holds: match holds {
            Some(force) => Some((force, spread?)),
            None => None,
        },
        back,
        height: height?,
    })
}

const POINT: &str = "a recovery point of the casualty, such as \"casualty.rear\"";

fn is_line(sort: Sort) -> bool {
    sort == Sort::Line
}

fn is_casualty_point(sort: Sort) -> bool {
    sort == Sort::Point(End::Casualty)
}

fn is_in_line(sort: Sort) -> bool {
    matches!(sort, Sort::Shackle | Sort::Block)
}

/// A name in the file that is of the wanted sort.
fn part(
    section: &Section,
    key: &'static str,
    names: &Names,
    wanted: fn(Sort) -> bool,
    expected: &str,
) -> Option<String> {
    let name = section.key::<Named>(key).need()?.0;
    if names.sort(&name).is_some_and(wanted) {
        return Some(name);
    }
    if !section.is_broken() {
        let fault = unknown(&name, names, wanted, expected);
        section.note(key, fault);
    }
    None
}

fn unknown(name: &str, names: &Names, wanted: fn(Sort) -> bool, expected: &str) -> Fault {
    let fault = Fault::new(format!("names \"{name}\", which is not {expected}"));
    let hint = names
        .meant(name, wanted)
        .map(|meant| format!("did you mean \"{meant}\"?"));
    Fault { hint, ..fault }
}

fn through(section: &Section, names: &Names) -> Option<Vec<String>> {
    let items = section.items::<Named>("through", MOST_THROUGH)?;
    let mut sound = true;
    for (span, item) in &items {
        if names.sort(&item.0).is_some_and(is_in_line) || section.is_broken() {
            continue;
        }
        let fault = unknown(&item.0, names, is_in_line, "a shackle or block of the kit");
        section.note_at(span.clone(), "through", fault);
        sound = false;
    }
    sound.then(|| items.into_iter().map(|(_, item)| item.0).collect())
}
