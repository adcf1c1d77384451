//! The line file: a line as it was measured in tests, with how sure that is and where it
//! comes from.
//!
//! A plan names it in `[line.NAME]` by `file`; `steadypull tests fit --use` writes it. It
//! carries no seal: its hashes say which logs it was made from, not that nobody changed it.

use std::collections::BTreeMap;

use steadypull_engine::chance::{Copula, Distribution, LogNormal, normal_quantile};
use steadypull_engine::line::{Curve, Material, Rate};
use steadypull_engine::plan::{TestedLine, ToldApart};
use steadypull_engine::units::{Duration, Force, Length};
use toml::de::DeTable;

use super::limits::{self, Limit};
use super::line::{measured_stretch, rate};
use super::line_correlation::correlation;
use super::line_files::{LONGEST_LINE_FILE, LineFiles};
use super::position::Lines;
use super::problem::PlanProblems;
use super::reader::Reader;
use super::section::Section;
use super::syntax;
use super::test_file::Day;
use super::unit_table::Share;
use super::value::{Fault, Sentence, Text, Value};
use super::vary::Varying;
use super::words::{Wear, Words};
use crate::hash::sha256_of;
use crate::show::{figures, of_100};

/// What makes one.
const WRITES: &str = "`steadypull tests fit TESTS.toml --use NAME.line.toml` writes one";
/// Most pulls that a line rests on.
const MOST_PULLS: usize = 500;

/// A line file as read.
#[derive(Debug, Clone)]
pub(super) struct LineFile {
    /// The line.
    pub line: Measured,
    /// How sure its numbers are.
    pub intervals: Vec<Interval>,
    /// How these go together, in their order; none where the file does not say.
    pub copula: Option<Copula>,
    /// Where it comes from; the plan's own name of the line is not known here.
    pub about: TestedLine,
}

/// What tests measure of a line, and what they take from its label.
#[derive(Debug, Clone)]
pub(super) struct Measured {
    pub material: Material,
    pub length: Length,
    pub mbs: Force,
    /// Stretch against share of the breaking strength, from the origin.
    pub points: Vec<(f64, f64)>,
    pub energy_return: Share,
    pub set: Share,
    pub rate: Option<Rate>,
    /// Tested wet: what water takes off is in the curve.
    pub wet: bool,
}

/// How sure one number of it is.
#[derive(Debug, Clone)]
pub(super) struct Interval {
    /// Key of the line in a plan, such as `stretch` or `rate.relaxation`.
    pub key: &'static str,
    /// SI unit of its values.
    pub unit: &'static str,
    /// The line's own value, SI.
    pub middle: f64,
    /// What it may be, SI.
    pub distribution: Distribution,
    /// The same for people.
    pub text: String,
}

/// The line files of a plan, read once for all readings of it.
pub(super) type LinesRead = BTreeMap<String, Result<LineFile, Unread>>;

/// Why there is no line.
#[derive(Debug, Clone)]
pub(super) enum Unread {
    /// There is no text, in words that go on from the name.
    NoText(String),
    /// Mistakes in it.
    Mistakes(PlanProblems),
}

pub(super) fn read_all(files: &LineFiles) -> LinesRead {
    let read = |(name, text): (&str, &Result<String, String>)| {
        let text = text.as_ref().map_err(|why| Unread::NoText(why.clone()));
        let line = text.and_then(|text| read(name, text).map_err(Unread::Mistakes));
        (name.to_string(), line)
    };
    files.iter().map(read).collect()
}

/// Whether a plan would take a line from `text`, else every mistake in it.
pub fn check_line_file(name: &str, text: &str) -> Result<(), PlanProblems> {
    read(name, text).map(|_| ())
}

fn read(name: &str, text: &str) -> Result<LineFile, PlanProblems> {
    let whole = text;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > LONGEST_LINE_FILE {
        let mut long = PlanProblems::too_long(text.len(), LONGEST_LINE_FILE);
        for problem in &mut long.problems {
            problem.message = format!("the file is too long for a line: {} bytes", text.len());
            problem.hint = Some("is this really a line file?".into());
        }
        return Err(long);
    }
    let (tree, mistakes) = DeTable::parse_recoverable(text);
    let (lines, nothing) = (Lines::new(text), Varying::replacing(&[]));
    let reader = Reader::new(text, &lines, &nothing);
    syntax::report(&reader, &mistakes);
    let file = Section::whole_file(&reader, tree.get_ref());
    let file = line_file(name, &sha256_of(whole), &file);
    reader.mistakes()?;
    file.ok_or_else(|| {
        // Unreachable as long as every `None` is noted; never silent.
        reader.note(0..0, None, Fault::new("the line could not be read".into()));
        reader.mistakes().err().unwrap_or(PlanProblems {
            problems: Vec::new(),
            more: 1,
        })
    })
}

fn line_file(name: &str, sha256: &str, file: &Section) -> Option<LineFile> {
    let what_for = "[line] with material, length, mbs, stretch, energy_return and set";
    let line = measured(&file.needed_table("line", what_for, WRITES));
    let what_for = "[interval] with confidence, and how sure each number is";
    let interval = file.needed_table("interval", what_for, WRITES);
    let intervals = intervals(name, &interval, line.as_ref());
    let copula = correlation(file, &interval);
    let about = about(file);
    file.close();
    let (line, intervals) = (line?, intervals?);
    Some(LineFile {
        intervals,
        copula: copula?,
        about: TestedLine {
            file: name.into(),
            sha256: sha256.into(),
            wet: line.wet,
            ..about?
        },
        line,
    })
}

fn measured(line: &Section) -> Option<Measured> {
    // What it goes by in the test file; a plan has a name of its own for it.
    let name = line.key::<Text>("name").maybe();
    let material = line.key::<Material>("material").need();
    let length = line.key::<Length>("length").within(&limits::LINE_LENGTH);
    let length = length.need();
    let mbs = line.key::<Force>("mbs").within(&limits::LINE_MBS).need();
    let points = measured_stretch(line);
    let back = line.key::<Share>("energy_return");
    let energy_return = back.within(&limits::ENERGY_RETURN).need();
    let set = line.key::<Share>("set").within(&limits::SET).need();
    let rate = rate(line);
    let wet = line.key::<bool>("wet").maybe();
    no_spreads(line);
    line.close();
    name?;
    let (points, energy_return, set) = (points?, energy_return?, set?);
    if let Err(error) = Curve::new(&points, energy_return.0, set.0) {
        line.note("stretch", Fault::new(format!("is no curve: {error}")));
        return None;
    }
    Some(Measured {
        material: material?,
        length: length?,
        mbs: mbs?,
        points,
        energy_return,
        set,
        rate: rate?,
        wet: wet?.unwrap_or(false),
    })
}

/// How sure a number is stands under its own heading, where its middle cannot be mistaken.
fn no_spreads(line: &Section) {
    for spread in line.reader.varying.take_spreads() {
        let full = spread.key.split('.').take(2).collect::<Vec<_>>().join(".");
        let keys = ["length", "mbs", "stretch", "energy_return", "set", "rate"];
        if let Some(key) = keys.into_iter().find(|key| line.full(key) == full) {
            let fault = Fault::new("is a spread".into());
            line.note(
                key,
                fault.hinting("give one value; [interval] says how sure it is"),
            );
        }
    }
}

fn intervals(name: &str, table: &Section, line: Option<&Measured>) -> Option<Vec<Interval>> {
    let confidence = table
        .key::<Share>("confidence")
        .within(&limits::LINE_CONFIDENCE);
    let confidence = confidence.need();
    let of = Told {
        name,
        table,
        confidence: confidence.map_or(0.95, |share| share.0),
    };
    let at_break = line
        .and_then(|l| l.points.last())
        .map(|point| Share(point.0));
    let rate = line.and_then(|l| l.rate);
    let all = [
        of.interval("stretch", "stretch", at_break, Law::Times, &limits::STRETCH),
        of.interval(
            "energy_return",
            "energy_return",
            line.map(|l| l.energy_return),
            Law::Bell,
            &limits::ENERGY_RETURN,
        ),
        of.interval("set", "set", line.map(|l| l.set), Law::Bell, &limits::SET),
        of.interval(
            "stiffness_ratio",
            "rate.stiffness_ratio",
            rate.map(|r| r.stiffness_ratio),
            Law::Bell,
            &limits::STIFFNESS_RATIO,
        ),
        of.interval(
            "relaxation",
            "rate.relaxation",
            rate.map(|r| Duration::new(r.relaxation_s)),
            Law::Times,
            &limits::RELAXATION,
        ),
    ];
    table.close();
    let all: Option<Vec<Option<Interval>>> = all.into_iter().collect();
    confidence?;
    Some(all?.into_iter().flatten().collect())
}

/// Which curve an interval stands for.
#[derive(Clone, Copy, PartialEq)]
enum Law {
    /// A bell.
    Bell,
    /// A bell of the logarithm: as likely so many times more as less.
    Times,
}

/// The table of the intervals.
struct Told<'s, 'r> {
    name: &'s str,
    table: &'s Section<'r>,
    confidence: f64,
}

impl Told<'_, '_> {
    /// The interval under `key`, of the line's number that a plan calls `of` and that is
    /// `value`; none where there is none. A curve has one width: that of the wider side.
    fn interval<T: Value>(
        &self,
        key: &'static str,
        of: &'static str,
        value: Option<T>,
        law: Law,
        limit: &'static Limit<T>,
    ) -> Option<Option<Interval>> {
        let ends = self.table.items::<T>(key, 2)?;
        if !self.table.has(key) {
            return Some(None);
        }
        let number = T::NUMBER?;
        let sizes: Vec<f64> = ends.iter().map(|(_, end)| (number.size)(end)).collect();
        let middle = value.map(|value| (number.size)(&value));
        let limits = ((number.size)(&limit.low), (number.size)(&limit.high));
        let found = match (&sizes[..], middle) {
            ([low, high], Some(middle)) if low <= &middle && &middle <= high && low < high => {
                let ends = (*low, *high);
                let drawn = self.distribution(middle, ends, law, limits);
                let interval = drawn.map(|distribution| Interval {
                    key: of,
                    unit: number.unit,
                    middle,
                    distribution,
                    text: self.text(ends, number.unit, of),
                });
                interval.ok_or("is no interval that can be drawn from")
            }
            ([_, _], Some(_)) => Err("does not hold the line's own value"),
            // Told where the line's own number is read, or missing.
            ([_, _], None) if !of.starts_with("rate.") => return None,
            ([_, _], None) => Err("is of a rate, and [line] has none"),
            _ => Err("is no interval"),
        };
        let noted = |what: &str| {
            let expected = "two values, the low end first, with the value of [line] between them";
            let fault = Fault::new(what.into()).expecting(expected);
            self.table.note(key, fault);
        };
        found.map(Some).map_err(noted).ok()
    }

    fn distribution(
        &self,
        middle: f64,
        (low, high): (f64, f64),
        law: Law,
        limits: (f64, f64),
    ) -> Option<Distribution> {
        let ends = normal_quantile(0.5 + 0.5 * self.confidence);
        let whole = match law {
            Law::Bell => Distribution::Normal {
                mean: middle,
                sd: (high - middle).max(middle - low) / ends,
            },
            Law::Times if low > 0.0 => {
                let spread = libm::log(high / middle).max(libm::log(middle / low)) / ends;
                Distribution::LogNormal(LogNormal::new(middle, spread))
            }
            Law::Times => return None,
        };
        whole.check().ok()?;
        whole.within(limits.0, limits.1).ok()
    }

    fn text(&self, (low, high): (f64, f64), unit: &str, of: &str) -> String {
        let ends = match (unit, of) {
            ("", "rate.stiffness_ratio") => (figures(low), figures(high)),
            ("", _) => (share(low), share(high)),
            _ => (
                format!("{} {unit}", figures(low)),
                format!("{} {unit}", figures(high)),
            ),
        };
        format!(
            "{} to {}, {} in 100 by {}",
            ends.0,
            ends.1,
            of_100(self.confidence),
            self.name
        )
    }
}

fn share(share: f64) -> String {
    format!("{} %", figures(share * 100.0))
}

/// Where it comes from; the file's own name and hash, what [line] says and what is drawn
/// together are filled in after it.
fn about(file: &Section) -> Option<TestedLine> {
    let what_for = "[fit] with data_to, verdict, says, method and program";
    let fit = file.needed_table("fit", what_for, WRITES);
    let data_to = fit.key::<Share>("data_to").within(&limits::DATA_TO).need();
    let told = fit.key::<ToldApart>("verdict").need();
    let says = fit.key::<Sentence>("says").need();
    let held = fit.list::<Text>("held", 5);
    let method = fit.key::<Sentence>("method").need();
    let program = fit.key::<Text>("program").need();
    fit.close();
    let what_for = "[tests] with title, date and sha256, and a [tests.pull.NAME] for each pull";
    let tests = file.needed_table("tests", what_for, WRITES);
    let title = tests.key::<Text>("title").need();
    let date = tests.key::<Day>("date").need();
    let place = tests.key::<Text>("place").maybe();
    let sha256 = tests.key::<Hash>("sha256").need();
    let condition = tests.key::<Wear>("condition").maybe();
    let pulls = pulls(&tests);
    tests.close();
    sha256?;
    let pulls = pulls?;
    let mut overdue: Vec<String> = pulls.iter().filter_map(Pull::overdue).collect();
    overdue.sort();
    overdue.dedup();
    Some(TestedLine {
        line: String::new(),
        file: String::new(),
        sha256: String::new(),
        wet: false,
        title: title?.0,
        date: date?.to_string(),
        place: place?.map(|text| text.0),
        condition: condition?.map(|wear| wear.word().into()),
        pulls: pulls.len() as u32,
        data_to: data_to?.0,
        told: told?,
        says: says?.0,
        held: held?.into_iter().map(|text| text.0).collect(),
        overdue,
        without_cell: pulls.iter().filter(|pull| pull.cell.is_none()).count() as u32,
        together: None,
        method: method?.0,
        program: program?.0,
    })
}

/// A pull that the line rests on.
struct Pull {
    cell: Option<String>,
    overdue: bool,
}

impl Pull {
    fn overdue(&self) -> Option<String> {
        self.cell.clone().filter(|_| self.overdue)
    }
}

fn pulls(tests: &Section) -> Option<Vec<Pull>> {
    let all = tests.named("pull", MOST_PULLS);
    if all.is_empty() && !tests.is_broken() && tests.is_present() {
        let fault = Fault::new("names no pull".into());
        tests.note(
            "pull",
            fault.expecting("a heading [tests.pull.NAME] for each"),
        );
        return None;
    }
    let all: Vec<_> = all.iter().map(|(_, section)| pull(section)).collect();
    all.into_iter().collect()
}

fn pull(section: &Section) -> Option<Pull> {
    let log = section.key::<Text>("log").need();
    let sha256 = section.key::<Hash>("sha256").need();
    let cell = section.key::<Text>("cell").maybe();
    let overdue = section.key::<bool>("overdue").maybe();
    // Footage that the stretch was read from and the cell's certificate, with their hashes.
    section.key::<Text>("certificate").maybe()?;
    for (key, hash) in [
        ("marks", "marks_sha256"),
        ("other_end", "other_end_sha256"),
        ("certificate_file", "certificate_sha256"),
    ] {
        section.key::<Text>(key).maybe()?;
        section.key::<Hash>(hash).maybe()?;
    }
    match (section.has("cell"), section.has("overdue")) {
        (true, false) => section.note_missing("overdue", bool::expected()),
        (false, true) => section.note_missing("cell", Text::expected()),
        _ => {}
    }
    section.close();
    log?;
    sha256?;
    let (cell, overdue) = (cell?.map(|text| text.0), overdue?);
    Some(Pull {
        cell,
        overdue: overdue == Some(true),
    })
}

/// A SHA-256, read for its form alone: what it is of is not at hand.
struct Hash;

impl Value for Hash {
    fn shape() -> super::listing::FieldShape {
        super::listing::FieldShape::of(crate::operation::FieldKind::Text)
    }

    fn expected() -> String {
        "a SHA-256: 64 hexadecimal digits".into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        if text.len() == 64 && text.bytes().all(|c| c.is_ascii_hexdigit()) {
            return Ok(Self);
        }
        Err(Fault::new("is no SHA-256".into()).expecting(Self::expected()))
    }
}
