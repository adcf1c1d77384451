//! `[line.NAME]`: lines, straps and ropes; a bridle is made of one too.
//!
//! What tests measure stands here, or in the line file that `file` names; never in both.

use steadypull_engine::line::{Condition, Curve, Knot, Material, Rate};
use steadypull_engine::plan::{Hitch, Line, Spread, TestedLine, Together};
use steadypull_engine::units::{Duration, Force, Length};
use toml::de::DeValue;

use super::defaults::{self, written};
use super::entry::{FigureLimits, Shape, entries};
use super::key::Key;
use super::limits;
use super::line_file::{LineFile, Measured, Unread};
use super::listing::FieldShape;
use super::number::Number;
use super::points::mbs_below_wll;
use super::problem::{PlanProblems, Problem};
use super::quantity::quantity;
use super::section::Section;
use super::unit_table::Share;
use super::value::{Fault, LineFileName, Value};
use super::words::Wear;

/// Most points of a stretch curve.
const MOST_CURVE_POINTS: usize = 200;

/// The line in `section`; the caller closes it.
pub(super) fn line(name: String, section: &Section) -> Option<Line> {
    let source = source(section);
    let material = match source {
        Source::Plan => section.key::<Material>("material").need(),
        Source::File(file) => Some(file.line.material),
        Source::Unread => None,
    };
    let kinetic = section.key::<bool>("kinetic").or_else(|| {
        let nylon = material?.is_nylon();
        let why = if nylon {
            "assumed: nylon is what kinetic lines are made of"
        } else {
            "not nylon"
        };
        Some((nylon.to_string(), why.into()))
    });
    let length = section.key::<Length>("length").within(&limits::LINE_LENGTH);
    let length = source.number(length, |line| line.length);
    let mbs = section.key::<Force>("mbs").within(&limits::LINE_MBS);
    let mbs = source.number(mbs, |line| line.mbs);
    let wll = section
        .key::<Force>("wll")
        .within(&limits::LINE_MBS)
        .maybe();
    let mass_per_length = section
        .key("mass_per_length")
        .within(&limits::LINE_MASS)
        .or_else(|| {
            let (material, mbs) = (material?, mbs?);
            let text = written(material.mass_per_length(mbs).get(), "kg/m");
            Some((
                text,
                format!("from its MBS: {}", material.preset().mass_source.name),
            ))
        });
    let curve = match source {
        Source::Plan => curve(section, material),
        Source::File(file) => measured_curve(section, &file.line),
        Source::Unread => None,
    };
    let condition = condition(section, material, &source);
    let labelled = section
        .key("labelled")
        .or(defaults::LABELLED.0, defaults::LABELLED.1);
    let hitch = hitch(section, kinetic);
    let parts_at = section.key::<Share>("parts_at").within(&limits::PARTS_AT);
    let parts_at = parts_at.maybe();
    if let (Some(mbs), Some(Some(wll))) = (mbs, wll)
        && mbs <= wll
    {
        section.note("mbs", mbs_below_wll());
    }
    if let Source::File(file) = source {
        note_tests(section, file, &name);
    }
    Some(Line {
        name,
        material: material?,
        kinetic: kinetic?,
        length: length?,
        mbs: mbs?,
        wll: wll?,
        mass_per_length: mass_per_length?,
        curve: curve?,
        condition: condition?,
        labelled: labelled?,
        hitch: hitch?,
        parts_at: parts_at?.map(|share| share.0),
    })
}

/// Where what tests measure of a line stands.
enum Source<'r> {
    /// In the plan.
    Plan,
    /// In a line file.
    File(&'r LineFile),
    /// In a line file that is not there, or has mistakes: told already.
    Unread,
}

impl Source<'_> {
    /// A number of the line that its file holds, where there is one.
    fn number<T: Value>(&self, key: Key<T>, of: impl Fn(&Measured) -> T) -> Option<T> {
        match self {
            Self::Plan => key.need(),
            Self::File(file) => key.varied(of(&file.line)),
            Self::Unread => None,
        }
    }
}

/// Keys of a line that a line file holds.
const MEASURED: [&str; 7] = [
    "material",
    "length",
    "mbs",
    "stretch",
    "energy_return",
    "set",
    "rate",
];

fn source<'r>(section: &Section<'r>) -> Source<'r> {
    let named = section.key::<LineFileName>("file").maybe();
    if !section.has("file") {
        return Source::Plan;
    }
    let keys = section.entries();
    for key in MEASURED {
        if keys.iter().any(|(there, _, _)| *there == key) {
            section.note(key, stated_twice());
        }
    }
    let Some(Some(LineFileName(name))) = named else {
        return Source::Unread;
    };
    let files = section.reader.line_files;
    match files.and_then(|files| files.get(&name)) {
        Some(Ok(file)) => {
            if file.line.wet && section.has("wet") {
                section.note("wet", stated_twice());
            }
            Source::File(file)
        }
        unread => {
            let why = unread.and_then(|read| read.as_ref().err());
            note_unread(section, &name, why);
            Source::Unread
        }
    }
}

/// Notes why there is no line in the file `name`; `None` where nobody handed it in.
fn note_unread(section: &Section, name: &str, why: Option<&Unread>) {
    let hint = "a line file lies beside the plan; `steadypull tests fit --use` writes one";
    let gone = |why: &str| {
        let fault = Fault::new(format!("names {name}{why}"));
        section.note("file", fault.hinting(hint));
    };
    match why {
        None => gone(", and no such file is at hand"),
        Some(Unread::NoText(why)) => gone(&format!(": {why}")),
        Some(Unread::Mistakes(PlanProblems { problems, more })) => {
            for Problem {
                line,
                column,
                message,
                expected,
                hint,
                ..
            } in problems
            {
                let fault = Fault {
                    message: format!("names {name}, line {line}, column {column}: {message}"),
                    expected: expected.clone(),
                    hint: hint.clone(),
                };
                section.note("file", fault);
            }
            if *more > 0 {
                section.note(
                    "file",
                    Fault::new(format!("names {name}: {more} mistakes more")),
                );
            }
        }
    }
}

fn stated_twice() -> Fault {
    Fault::new("stands in the line file too, which this line names".into())
        .hinting("leave it out here; without `file` the plan states everything itself")
}

/// Notes where a line was measured, and how sure its numbers are.
fn note_tests(section: &Section, file: &LineFile, name: &str) {
    section.reader.tested(TestedLine {
        line: name.into(),
        together: together(section, file),
        ..file.about.clone()
    });
    let varying = section.reader.varying;
    for interval in &file.intervals {
        if !varying.replaces(&section.path, interval.key) {
            varying.spread(Spread {
                key: section.full(interval.key),
                unit: interval.unit,
                middle: interval.middle,
                distribution: interval.distribution,
                text: interval.text.clone(),
            });
        }
    }
}

/// The numbers of the file that are drawn together, by the keys of their spreads.
fn together(section: &Section, file: &LineFile) -> Option<Together> {
    let copula = file.copula.as_ref().filter(|copula| copula.joins())?;
    Some(Together {
        words: format!("{} as measured", section.path.replacen('.', " ", 1)),
        keys: file.intervals.iter().map(|i| section.full(i.key)).collect(),
        copula: copula.clone(),
    })
}

/// The curve of a line file, its numbers replaced where they are to be.
fn measured_curve(section: &Section, line: &Measured) -> Option<Curve> {
    let back = section.key("energy_return").within(&limits::ENERGY_RETURN);
    let energy_return: Option<Share> = back.varied(line.energy_return);
    let set: Option<Share> = section.key("set").within(&limits::SET).varied(line.set);
    let rate = match line.rate {
        Some(rate) => Some(measured_rate(section, rate)?),
        None => None,
    };
    let points = stretched(section, line.points.clone())?;
    made(section, &points, energy_return?, set?, rate)
}

fn measured_rate(section: &Section, rate: Rate) -> Option<Rate> {
    let table = section.table("rate");
    let ratio = table
        .key("stiffness_ratio")
        .within(&limits::STIFFNESS_RATIO)
        .varied(rate.stiffness_ratio);
    let relaxation = table.key("relaxation").within(&limits::RELAXATION);
    let relaxation = relaxation.varied(Duration::new(rate.relaxation_s));
    Some(Rate {
        stiffness_ratio: ratio?,
        relaxation_s: relaxation?.get(),
    })
}

/// The stretch as a line file says it.
pub(super) fn measured_stretch(section: &Section) -> Option<Vec<(f64, f64)>> {
    let points = stretch(section)?;
    if points.is_none() {
        section.note_missing("stretch", STRETCH.into());
    }
    points
}

/// How a trunk strap is rigged; straight where nothing is said.
fn hitch(section: &Section, kinetic: Option<bool>) -> Option<Hitch> {
    let given = section.key::<Hitch>("hitch").maybe()?;
    if given.is_some() && kinetic == Some(true) {
        let fault = Fault::new("is of a kinetic line, which goes round nothing".into());
        section.note(
            "hitch",
            fault.hinting("leave it out, or write kinetic = false for a trunk strap"),
        );
        return None;
    }
    Some(given.unwrap_or_default())
}

/// The stretch at MBS alone.
struct AtBreak(f64);

impl Value for AtBreak {
    const NUMBER: Option<Number<Self>> = Some(Number {
        what: "the stretch at MBS",
        unit: "",
        whole: false,
        size: |share| share.0,
        of: |size| Some(Self(size)),
    });

    fn shape() -> FieldShape {
        Share::shape()
    }

    fn expected() -> String {
        STRETCH.into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        let share = quantity::<Share>(text).map_err(|f| f.expecting(Self::expected()))?;
        Ok(Self(share.0))
    }
}

/// How the stretch is written.
const STRETCH: &str = "the stretch at MBS, such as \"18 %\", or pairs [stretch, share of MBS] up \
                       to MBS, such as [[\"5 %\", \"20 %\"], [\"18 %\", \"100 %\"]]";
const POINT_STRETCH: FigureLimits = ((0.0, 1.0), "0 % to 100 %");
const POINT_SHARE: FigureLimits = ((0.0, 1.0), "0 % to 100 %");

/// Stretch against share of MBS, from the origin.
fn curve_points(section: &Section) -> Option<Option<Vec<(f64, f64)>>> {
    let shape = Shape {
        cells: 2,
        most: MOST_CURVE_POINTS,
        odd: "holds a point that is no pair",
        expected: STRETCH.into(),
    };
    let found = entries(section, "stretch", &shape, |entry| {
        let stretch = entry.figure::<Share>(0, "stretch", Some(POINT_STRETCH));
        let share = entry.figure::<Share>(1, "share", Some(POINT_SHARE));
        Some((stretch?.0, share?.0))
    })?;
    Some(found.map(|points| {
        let own = points.into_iter().filter(|point| *point != (0.0, 0.0));
        core::iter::once((0.0, 0.0)).chain(own).collect()
    }))
}

/// The stretch as said: a curve, or the stretch at MBS as a number or a spread.
fn stretch(section: &Section) -> Option<Option<Vec<(f64, f64)>>> {
    match section.value("stretch") {
        // A default is filled in, and replaced, further on: its shape is kept.
        None => {
            section.list_field::<AtBreak>("stretch", None, false, false);
            return Some(None);
        }
        Some((_, DeValue::Array(_))) => return curve_points(section),
        Some(_) => {}
    }
    let at_break = section.key::<AtBreak>("stretch").maybe()?;
    Some(at_break.map(|share| vec![(0.0, 0.0), (share.0, 1.0)]))
}

/// The curve with its stretch at MBS replaced, if it is to be; its shape is kept.
fn stretched(section: &Section, points: Vec<(f64, f64)>) -> Option<Vec<(f64, f64)>> {
    let at_break = points.last().map_or(0.0, |point| point.0);
    let wanted = section
        .key::<AtBreak>("stretch")
        .varied(AtBreak(at_break))?
        .0;
    if wanted == at_break || at_break == 0.0 {
        return Some(points);
    }
    let scaled = |(stretch, share): (f64, f64)| match share {
        1.0 => (wanted, share),
        _ => (stretch * (wanted / at_break), share),
    };
    Some(points.into_iter().map(scaled).collect())
}

fn curve(section: &Section, material: Option<Material>) -> Option<Curve> {
    let stretch = stretch(section);
    let share = |value: f64| written(value * 100.0, "%");
    let preset = material.map(Material::preset);
    let energy_return = section
        .key("energy_return")
        .within(&limits::ENERGY_RETURN)
        .or_else(|| {
            let (low, taken, high) = preset?.energy_return;
            let range = format!("assumed, range {} to {}", share(low), share(high));
            Some((
                share(taken),
                format!("{range}: {}", defaults::ENERGY_RETURN_REASON),
            ))
        });
    let set = section.key("set").within(&limits::SET).or_else(|| {
        Some((
            share(preset?.set_fraction),
            "assumed for its material".into(),
        ))
    });
    let rate = rate(section);
    let stretch = stretch?;
    let points = match stretch {
        Some(given) => given,
        None => {
            let preset = preset?;
            let at_break = preset.points.last().map_or(0.0, |p| p.0);
            section.assume("stretch", &share(at_break), preset.curve_source.name);
            preset.points.to_vec()
        }
    };
    let points = stretched(section, points)?;
    made(section, &points, energy_return?, set?, rate?)
}

fn made(
    section: &Section,
    points: &[(f64, f64)],
    energy_return: Share,
    set: Share,
    rate: Option<Rate>,
) -> Option<Curve> {
    match Curve::new(points, energy_return.0, set.0) {
        Ok(mut curve) => {
            curve.rate = rate;
            Some(curve)
        }
        Err(error) => {
            let fault = Fault::new(format!("is no curve: {error}"));
            section.note("stretch", fault.expecting(STRETCH));
            None
        }
    }
}

pub(super) fn rate(section: &Section) -> Option<Option<Rate>> {
    let table = section.table("rate");
    if !section.has("rate") {
        section.assume(
            "rate",
            "none",
            "rate effect left out unless a fitted one is given",
        );
        return Some(None);
    }
    let ratio = table
        .key("stiffness_ratio")
        .within(&limits::STIFFNESS_RATIO)
        .need();
    let relaxation = table.key("relaxation").within(&limits::RELAXATION).need();
    table.close();
    Some(Some(Rate {
        stiffness_ratio: ratio?,
        relaxation_s: relaxation?.get(),
    }))
}

fn condition(section: &Section, material: Option<Material>, source: &Source) -> Option<Condition> {
    let word = section.key::<Wear>("condition").maybe();
    let measured = section.key::<Share>("wear").within(&limits::WEAR).maybe();
    let wet = section.key("wet").or(defaults::WET.0, defaults::WET.1);
    let knot = section
        .key::<Knot>("knot")
        .or(defaults::KNOT.0, defaults::KNOT.1);
    let seen = section
        .key::<Share>("strain_seen")
        .within(&limits::STRAIN_SEEN);
    let seen = seen.or(defaults::STRAIN_SEEN.0, defaults::STRAIN_SEEN.1);
    if knot.is_some_and(Knot::is_of_wire) && material.is_some_and(|m| m != Material::WireRope) {
        let fault = Fault::new("is how a wire rope ends".into());
        section.note(
            "knot",
            fault.expecting("a knot or splice of a fibre line, or material = \"wire-rope\""),
        );
        return None;
    }
    // A wear set for this reading stands in place of the word.
    let set = section.replaces("wear");
    let word = word.map(|word| word.filter(|_| !set));
    if section.has("condition") && section.has("wear") && !set {
        let fault = Fault::new("and condition are both given".into());
        section.note(
            "wear",
            fault.hinting("choose one: the word, or the share worn"),
        );
        return None;
    }
    let wear_of_word = match (word?, measured?) {
        (Some(word), _) => word.share(),
        (None, Some(share)) => share.0,
        (None, None) => {
            let (assumed, why, wear) = match source {
                Source::Plan => (defaults::CONDITION.0, defaults::CONDITION.1, Wear::Used),
                _ => ("new", "as tested: nothing more comes off", Wear::New),
            };
            section.assume("condition", assumed, why);
            wear.share()
        }
    };
    let wear = section.key::<Share>("wear").within(&limits::WEAR);
    let wear = wear.varied(Share(wear_of_word))?.0;
    Some(Condition {
        wet: wet?,
        wear,
        knot: knot?,
        strain_seen: seen?.0,
    })
}
