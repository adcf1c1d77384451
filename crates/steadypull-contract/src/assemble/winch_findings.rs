//! What was noticed of a winch haul.

use steadypull_engine::finding::{Finding, Severity};

use crate::answer::{HaulCourse, HaulEnd, WinchDrum, WinchHaul};
use crate::show::{Units, figures, percent};

const PRACTICE: &str = "common practice";
/// A haul with rests that are longer than this share of it is worth a word.
const MUCH_REST: f64 = 0.25;
/// A battery under this share may not start its engine on a cold morning.
const LOW_CHARGE: f64 = 0.5;

/// Everything noticed of a haul: drum, then the haul, then battery and heat.
pub(super) fn winch(haul: &WinchHaul, units: Units) -> Vec<Finding> {
    let mut found = Vec::new();
    found.extend(wraps(&haul.drum, units));
    found.extend(drum_too_small(&haul.drum, units));
    found.extend(other_layer(haul, units));
    found.extend(stopped(haul, units));
    found.extend(heat(moving(haul), units));
    found.extend(battery(moving(haul)));
    found
}

/// The haul against the design resistance, or the median where that does not move.
fn moving(haul: &WinchHaul) -> &HaulCourse {
    if haul.design.movement_m > 0.0 {
        &haul.design
    } else {
        &haul.median
    }
}

fn finding(
    severity: Severity,
    code: &'static str,
    message: String,
    remedy: &str,
    source: &'static str,
) -> Finding {
    Finding::new(severity, code, "winch", message, remedy, source)
}

fn wraps(drum: &WinchDrum, units: Units) -> Option<Finding> {
    (drum.wraps_left + 1e-6 < f64::from(drum.least_wraps)).then(|| {
        finding(
            Severity::Critical,
            "winch-wraps",
            format!(
                "{} wraps of {} are left on the drum with {} paid out; {} must stay",
                figures(drum.wraps_left),
                drum.line,
                units.length(drum.paid_out_m),
                drum.least_wraps
            ),
            "bring the tug closer or lengthen the line at its hook; the clamp alone does not hold it",
            PRACTICE,
        )
    })
}

fn drum_too_small(drum: &WinchDrum, units: Units) -> Option<Finding> {
    let holds = drum.holds_m.filter(|holds| *holds < drum.line_length_m)?;
    Some(finding(
        Severity::Warning,
        "winch-drum-full",
        format!(
            "the drum holds about {} of {}, which is {} long",
            units.length(holds),
            drum.line,
            units.length(drum.line_length_m)
        ),
        "stop before the line climbs over the flange; wind it evenly",
        "SAE J706-2017 drum capacity factor",
    ))
}

fn other_layer(haul: &WinchHaul, units: Units) -> Option<Finding> {
    let course = moving(haul);
    let (first, last) = (course.first_layer, course.last_layer);
    let planned = haul.drum.layer_planned;
    if first <= planned && last <= planned {
        return None;
    }
    let top = haul.drum.layers.iter().find(|l| l.layer == last);
    let pull = top.map_or(String::new(), |l| {
        format!(", rated {} there", units.force(l.rated_pull_n))
    });
    let severity = if first > planned {
        Severity::Warning
    } else {
        Severity::Note
    };
    Some(finding(
        severity,
        "winch-layer",
        format!(
            "the load path is worked out on layer {planned}, but the haul winds on layers {first} to {last}{pull}"
        ),
        "pay out more line before the pull, or plan for the higher layer",
        "US Army TM 9-2320-338-10 (layer rule)",
    ))
}

fn stopped(haul: &WinchHaul, units: Units) -> Option<Finding> {
    let design = &haul.design;
    let (code, remedy) = match design.end {
        HaulEnd::Arrived | HaulEnd::BatteryFlat => return None,
        HaulEnd::Stall => (
            "winch-stall",
            "add a part of line, pay out more, or dig first",
        ),
        HaulEnd::Overload => (
            "winch-overload",
            "add a part of line, pay out more, or dig first",
        ),
        HaulEnd::Walks => (
            "winch-walks",
            "chock the tug or anchor it, or dig first; more parts of line do not help here",
        ),
        HaulEnd::LineAllIn => (
            "winch-line-in",
            "set the tug further back so that enough line is out",
        ),
        HaulEnd::TooLong => ("winch-too-long", "take another winch or another method"),
    };
    let also = if haul.median.end == HaulEnd::Arrived {
        "; against the median it arrives"
    } else {
        ", and short against the median too"
    };
    let walks = if design.end == HaulEnd::Walks {
        format!(" at a pull of {}", units.force(design.walks_at_n))
    } else {
        String::new()
    };
    Some(finding(
        Severity::Warning,
        code,
        format!(
            "against the design resistance the haul ends after {} of {}: {}{walks}{also}",
            units.length(design.movement_m),
            units.length(haul.distance_m),
            design.end_words,
        ),
        remedy,
        "statics of the haul",
    ))
}

fn heat(course: &HaulCourse, units: Units) -> Option<Finding> {
    let electric = course.electric.as_ref()?;
    if course.rests == 0 || course.resting_s < MUCH_REST * course.time_s {
        return None;
    }
    Some(finding(
        Severity::Note,
        "winch-hot",
        format!(
            "the winding reaches {} after {} s; rests: {}, taking {} min of {} min",
            units.temperature(electric.winding_limit_c),
            figures(course.first_rest_after_s.unwrap_or(0.0)),
            course.rests,
            figures(course.resting_s / 60.0),
            figures(course.time_s / 60.0)
        ),
        "rest with the brake holding and people clear: the line stays loaded; add a part of line to lighten it",
        "common practice (CV-AMP-01), figures assumed",
    ))
}

fn battery(course: &HaulCourse) -> Option<Finding> {
    let electric = course.electric.as_ref()?;
    if electric.charge_left_share >= LOW_CHARGE {
        return None;
    }
    let flat = course.end == HaulEnd::BatteryFlat;
    let severity = if flat {
        Severity::Critical
    } else {
        Severity::Warning
    };
    Some(finding(
        severity,
        "winch-battery",
        format!(
            "the haul leaves {} in the battery{}",
            percent(electric.charge_left_share.max(0.0)),
            if flat {
                ", too little to start the engine, and ends there"
            } else {
                ""
            }
        ),
        "keep the engine running fast enough to charge, and rest longer",
        PRACTICE,
    ))
}
