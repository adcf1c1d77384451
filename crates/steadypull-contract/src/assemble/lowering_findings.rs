//! What was noticed about a lowering.

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::line::Material;
use steadypull_engine::plan::{Belay, Holder, Part, Plan};
use steadypull_engine::pull::lowering::parts::{PartKind, PartLoad};
use steadypull_engine::pull::lowering::run_away::End;
use steadypull_engine::pull::lowering::study::{BelayStudy, catch_limit};
use steadypull_engine::units::{Angle, Force, Length};

use super::lowering::Worked;
use crate::show::percent;

const PRACTICE: &str = "common practice";
const MODEL: &str = "the lowering of this plan";
/// Share of the weight on the upper axle under which a bump may lift it.
const LIGHT_AXLE: f64 = 0.1;

pub(super) fn lowering(plan: &Plan, worked: &Worked) -> Vec<Finding> {
    let mut found = Vec::new();
    found.extend(line_short(worked));
    found.extend(
        worked
            .study
            .parts
            .iter()
            .filter_map(|load| part(worked, load)),
    );
    found.extend(hand(worked));
    found.extend(heat(worked));
    found.extend(stance(worked));
    found.extend(redirect(worked));
    match (&worked.lowering.belay, &worked.study.belay) {
        (Some(belay), Some(study)) => found.extend(belay_findings(plan, worked, belay, study)),
        _ => found.extend(no_belay(worked)),
    }
    found.extend(rope_on_winch(plan, worked));
    found.extend(recoil(plan));
    found
}

/// Without its rig on the ground nothing is known of where a parted line flies.
fn recoil(plan: &Plan) -> Option<Finding> {
    let laid_out = plan.rig.as_ref().is_some_and(|rig| rig.layout.is_some());
    (!laid_out).then(|| {
        Finding::new(
            Severity::Note,
            "lowering-recoil",
            "lines",
            "how a parted line springs back is not computed: the rig is not laid out on the ground",
            "lay it out, [rig] method = \"lower\" with a run for each line; keep the rule distance from both lines and their anchors, and out of the bends over edges and blocks",
            PRACTICE,
        )
    })
}

impl Worked<'_> {
    fn force(&self, force: Force) -> String {
        self.units.force(force.get())
    }

    fn by_hand(&self, force: Force) -> String {
        self.units.hand_force(force.get())
    }

    fn length(&self, length: Length) -> String {
        self.units.length(length.get())
    }
}

fn line_short(worked: &Worked) -> Option<Finding> {
    let out = &worked.study.pay_out;
    (out.left() < Length::ZERO).then(|| {
        Finding::new(
            Severity::Critical,
            "lowering-line-short",
            &worked.lowering.main.line,
            format!(
                "it needs {} to reach the end with its turns and tail kept; there is {}",
                worked.length(out.needed),
                worked.length(out.there_is)
            ),
            "use a longer line, stop higher, or move the holder nearer to the edge",
            "the way of the line over the ground; turns kept on a drum: common practice",
        )
    })
}

fn part(worked: &Worked, part: &PartLoad) -> Option<Finding> {
    // Turns are judged by the hand that tends them.
    let by_hand = part.kind == PartKind::Holder && part.limited_by.contains("hand");
    if part.within() || by_hand {
        return None;
    }
    let message = match part.limit {
        Some(limit) => format!(
            "carries up to {}, over the {} it may ({})",
            worked.force(part.load),
            worked.force(limit),
            part.limited_by
        ),
        None => format!(
            "carries up to {} and {}",
            worked.force(part.load),
            part.limited_by
        ),
    };
    let remedy = match part.kind {
        PartKind::Anchor => "use a stronger anchor, or find out what this one holds",
        _ => "use a stronger part, or take load off the vehicle",
    };
    Some(Finding::new(
        Severity::Critical,
        "lowering-part",
        &part.name,
        message,
        remedy,
        MODEL,
    ))
}

fn hand(worked: &Worked) -> Option<Finding> {
    let Holder::Turns(turns) = worked.lowering.main.holder else {
        return None;
    };
    let (hand, needed) = (
        worked.study.pay_out.hand?,
        worked.study.pay_out.turns_needed?,
    );
    (hand.design > turns.hand_limit).then(|| {
        Finding::new(
            Severity::Critical,
            "lowering-hand",
            "brake hand",
            format!(
                "with {} turns the hand holds {} ({} at the median), over the {} it can keep up",
                turns.turns,
                worked.by_hand(hand.design),
                worked.by_hand(hand.median),
                worked.by_hand(turns.hand_limit)
            ),
            format!("take {needed} turns"),
            "Euler-Eytelwein; hand force: common practice",
        )
    })
}

fn heat(worked: &Worked) -> Option<Finding> {
    let out = &worked.study.pay_out;
    if !out.overheats() {
        return None;
    }
    let energy = |e: steadypull_engine::units::Energy| worked.units.energy(e.get());
    Some(match (out.brake_test, out.hottest_c) {
        (Some(test), _) => Finding::new(
            Severity::Warning,
            "lowering-heat",
            "winch brake",
            format!(
                "takes up {}, more than the {} that the winch standard tests it with in one go",
                energy(out.heat),
                energy(test)
            ),
            "lower in stages with rests, a hand on the brake housing each time, or use a friction device",
            "SAE J706-2017 (lowers rated load 50 ft), read in a third-party summary",
        ),
        (None, hottest) => Finding::new(
            Severity::Critical,
            "lowering-heat",
            "turns",
            format!(
                "what they go round may reach {}; the line keeps its strength up to {}",
                worked.units.temperature(hottest.unwrap_or_default()),
                worked.units.temperature(out.line_stands_c)
            ),
            "lower in stages and let it cool, wet it, or use a larger device",
            "heat balance without loss; line temperatures from memory, see the maker",
        ),
    })
}

fn stance(worked: &Worked) -> Vec<Finding> {
    let holding = &worked.study.holding;
    let lightest = &holding.stations[holding.lightest];
    let mut found = Vec::new();
    if lightest.upper_share < LIGHT_AXLE {
        let (severity, message) = if holding.pitches_over() {
            (
                Severity::Critical,
                "lifts its upper wheels: it pitches over",
            )
        } else {
            (Severity::Warning, "has little weight on its upper wheels")
        };
        found.push(Finding::new(
            severity,
            "lowering-pitch",
            "casualty",
            format!(
                "{message} at {} ({} of its weight is on them)",
                worked.units.rough_length(lightest.distance_m),
                percent(lightest.upper_share)
            ),
            "make the line fast higher on the vehicle, ease the edge, or take another way down",
            MODEL,
        ));
    }
    if let Some(rock) = holding.rocks {
        let deg = |rad| Angle::new(rad).to_deg();
        found.push(Finding::new(
            Severity::Warning,
            "lowering-rocks",
            "casualty",
            format!(
                "sits on its chassis and rocks over the edge at {}, from {:.0} deg to {:.0} deg",
                worked.units.rough_length(rock.distance_m),
                deg(rock.from_rad),
                deg(rock.to_rad)
            ),
            "round the edge off or ramp it up until the chassis clears it; else stop there and ease it over",
            MODEL,
        ));
    } else if let Some((first, last)) = holding.belly {
        found.push(Finding::new(
            Severity::Warning,
            "lowering-belly",
            "casualty",
            format!(
                "its chassis bears on the ground from {} to {}",
                worked.units.rough_length(first),
                worked.units.rough_length(last)
            ),
            "round the edge off or ramp it up until the chassis clears it",
            MODEL,
        ));
    }
    found
}

/// The main line coming tight again once a redirect has let go.
fn redirect(worked: &Worked) -> Option<Finding> {
    let worst = worked.study.worst_redirect()?;
    let held = matches!(worst.run.end, End::Caught | End::Stays);
    let (severity, message) = if held {
        (
            Severity::Note,
            format!(
                "the main line comes tight again with {}",
                worked.force(worst.run.peak)
            ),
        )
    } else {
        (
            Severity::Warning,
            "the main line does not hold either: only the belay is left".to_string(),
        )
    };
    Some(Finding::new(
        severity,
        "lowering-redirect",
        "redirect",
        format!("if it lets go, {message}"),
        "stand outside the bend that a redirect makes; back it up with a second strap",
        MODEL,
    ))
}

fn no_belay(worked: &Worked) -> Option<Finding> {
    let fastest = worked.study.fastest()?;
    if fastest.run.end == End::Stays {
        return None;
    }
    let stops = match fastest.run.past_foot {
        Some(past) => format!("and stops {} past the end", worked.length(past)),
        None => "at the end of the way and does not stop in sight".to_string(),
    };
    let reaches = match (fastest.run.ran, fastest.run.foot_speed) {
        (None, Some(foot)) => foot,
        _ => fastest.run.greatest_speed,
    };
    Some(Finding::new(
        Severity::Warning,
        "lowering-no-belay",
        "belay",
        format!(
            "there is none: if the line parts the vehicle reaches {} {stops}",
            worked.units.speed(reaches.get())
        ),
        "tend a second line on its own anchor, or keep everybody out of the whole run-out",
        PRACTICE,
    ))
}

fn belay_findings(plan: &Plan, worked: &Worked, belay: &Belay, study: &BelayStudy) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut critical = |code, message: String, remedy: &str| {
        let subject = &belay.line;
        found.push(Finding::new(
            Severity::Critical,
            code,
            subject,
            message,
            remedy,
            MODEL,
        ));
    };
    let peak = study.peak();
    let worst = study.worst();
    let from = worked.length(worst.distance);
    match worst.run.end {
        End::Parted => critical(
            "belay-parts",
            format!(
                "it does not catch: let go at {from}, it parts at {}",
                worked.force(peak)
            ),
            "less slack, a line that stretches more, or a device that slips",
        ),
        End::RanThrough | End::Runs => critical(
            "belay-runs-through",
            format!("it does not catch: let go at {from}, the tail runs through the device"),
            "a device that slips at a higher force, or a longer tail",
        ),
        End::Caught | End::Stays if peak > catch_limit(plan, study) => critical(
            "belay-weak",
            format!(
                "the catch peaks at {}, over the {} that its strength and the policy's factor allow",
                worked.force(peak),
                worked.force(catch_limit(plan, study))
            ),
            "less slack, a stronger line, or a device that slips",
        ),
        End::Caught | End::Stays => {}
    }
    match study.anchor_holds {
        None => critical(
            "belay-anchor",
            format!(
                "nothing says whether its anchor holds the peak of {}",
                worked.force(peak)
            ),
            "state what it holds, or use another",
        ),
        Some(holds) if !study.anchor_stands() => critical(
            "belay-anchor",
            format!(
                "its anchor holds {}, the catch peaks at {}",
                worked.force(holds),
                worked.force(peak)
            ),
            "a stronger anchor, less slack, or a device that slips",
        ),
        Some(_) => {}
    }
    if !study.point_stands() {
        critical(
            "belay-point",
            format!(
                "{} may not carry the peak of {} ({})",
                belay.point,
                worked.force(peak),
                study.point.1
            ),
            "another point, less slack, or a device that slips",
        );
    }
    if study.needed > study.there_is {
        critical(
            "belay-short",
            format!(
                "it needs {}, there is {}",
                worked.length(study.needed),
                worked.length(study.there_is)
            ),
            "a longer line, or an anchor nearer to the edge",
        );
    }
    found.extend(shared(worked, belay));
    found
}

/// A belay that hangs on the same part as the main line.
fn shared(worked: &Worked, belay: &Belay) -> Vec<Finding> {
    let main = &worked.lowering.main;
    let pairs = [
        (&main.anchor.name, &belay.anchor.name, "anchor"),
        (&main.point, &belay.point, "recovery point"),
    ];
    pairs
        .into_iter()
        .filter(|(a, b, _)| a == b)
        .map(|(name, _, what)| {
            Finding::new(
                Severity::Warning,
                "belay-shared",
                name,
                format!(
                    "main line and belay hang on the same {what}: if it lets go, nothing is left"
                ),
                format!("give the belay its own {what}"),
                PRACTICE,
            )
        })
        .collect()
}

fn rope_on_winch(plan: &Plan, worked: &Worked) -> Option<Finding> {
    let main = &worked.lowering.main;
    let hmpe =
        matches!(plan.kit.part(&main.line), Some(Part::Line(l)) if l.material == Material::Hmpe);
    (main.holder == Holder::Winch && hmpe).then(|| {
        Finding::new(
            Severity::Warning,
            "lowering-drum-brake",
            &main.line,
            "a brake inside the drum heats the rope wound on it",
            "feel the drum at every stop; use a winch with its brake outside the drum, or turns round something",
            PRACTICE,
        )
    })
}
