//! The day file: what is varied, and what is to be learnt. A test file holds the same under
//! `[order]`.

use steadypull_engine::show::Units;
use steadypull_engine::units::{Force, Length};

use super::{Day, Head, MOST_NAMED, WithAssumed, asked, head, named, read};
use crate::plan_file::limits;
use crate::plan_file::problem::PlanProblems;
use crate::plan_file::section::Section;
use crate::plan_file::unit_table::Share;
use crate::plan_file::value::{Fault, Text};

/// Most levels of one factor.
const MOST_LEVELS: usize = 12;

/// A day of tests as planned.
#[derive(Debug, Clone, PartialEq)]
pub struct DayFile {
    /// Title.
    pub title: String,
    /// The day, if it is fixed.
    pub date: Option<Day>,
    /// Where.
    pub place: Option<String>,
    /// Seed of the order.
    pub seed: u64,
    /// What is varied: name and levels. Every mix of levels is a set-up.
    pub factors: Vec<(String, Vec<String>)>,
    /// Standard deviation of the peak from pull to pull, N.
    pub spread_n: f64,
    /// Pulls of one set-up that it was measured on; `None`: guessed.
    pub spread_pulls: Option<u32>,
    /// The least difference of peaks worth knowing, N.
    pub difference_n: f64,
    /// Over all comparisons together.
    pub confidence: f64,
    /// Chance at which that difference is to be shown.
    pub power: f64,
    /// Pulls of each set-up that there is time for, if it is short.
    pub pulls_at_most: Option<u32>,
    /// How far back people stand, m, where it is typed; one of this and `plan` is there.
    pub standoff_m: Option<f64>,
    /// Plan file whose let-go says how far.
    pub plan: Option<String>,
    /// Lowest rating of what carries the load, N.
    pub limit_n: f64,
    /// Highest load that is planned, N; at most the limit.
    pub highest_load_n: f64,
    /// Defaults that were filled in: key, value, reason.
    pub assumed: Vec<(String, String, String)>,
    /// Units of the sentences made of it.
    pub units: Units,
}

impl DayFile {
    /// The same day file, its sentences in these units.
    pub fn said_in(self, units: Units) -> Self {
        Self { units, ..self }
    }
}

impl WithAssumed for DayFile {
    fn assumed(&mut self, filled_in: Vec<(String, String, String)>) {
        self.assumed = filled_in;
    }
}

/// Where a test file holds what a day file does.
pub(super) const ORDER: &str = "order";

/// Reads a day file, or the `[order]` of a test file whatever stands in the rest of it; or
/// says everything that is wrong with it.
pub fn read_day(text: &str) -> Result<DayFile, PlanProblems> {
    read(text, "the day file could not be read", day)
}

fn day(file: &Section) -> Option<DayFile> {
    let (head, date) = (head(file), file.key::<Day>("date").maybe());
    if !file.has(ORDER) {
        return asked_of(head, date, file);
    }
    let asked = asked_of(head, date, &file.table(ORDER));
    file.close_to_others();
    asked
}

/// The day that `file` asks for, under the head of its file.
pub(super) fn asked_of(
    head: Option<Head>,
    date: Option<Option<Day>>,
    file: &Section,
) -> Option<DayFile> {
    let factors = named(file, "factor", MOST_NAMED, factor);
    let force = |key| file.key::<Force>(key).within(&limits::CELL_RESIDUAL);
    let spread = force("spread").need();
    let spread_pulls = file.key::<u32>("spread_pulls");
    let spread_pulls = spread_pulls.within(&limits::SPREAD_PULLS).maybe();
    let difference = force("difference").need();
    let confidence = asked::confidence(file);
    let power = file.key::<Share>("power").within(&limits::CONFIDENCE);
    let power = power.or("80 %", "usual");
    let most = file.key::<u32>("pulls_at_most");
    let most = most.within(&limits::PULLS_EACH).maybe();
    let standoff = file.key::<Length>("standoff");
    let standoff = standoff.within(&limits::STANDOFF_MIN).maybe();
    let plan = file.key::<Text>("plan").maybe();
    if let (Some(None), Some(None)) = (&standoff, &plan) {
        let expected = "a length such as \"60 m\", or plan = \"plan.toml\": the plan of the \
                        pulls, from whose let-go it comes";
        file.note_missing("standoff", expected.into());
    }
    let limit = file.key::<Force>("limit").within(&limits::CELL_RANGE);
    let limit = limit.need();
    let highest = file.key::<Force>("highest_load");
    let highest = highest.within(&limits::CELL_RANGE).maybe();
    let highest = highest_load(file, highest, limit);
    if file.table("factor").names().is_empty() && !file.is_broken() {
        let fault = Fault::new("nothing is varied".into());
        let heading = file.full("factor.dampers");
        let expected = format!("a heading such as [{heading}] with levels = [\"none\", \"5 kg\"]");
        file.note_whole(file.heading(), fault.expecting(expected));
        file.close();
        return None;
    }
    file.close();
    let (title, place, seed) = head?;
    Some(DayFile {
        title,
        date: date?,
        place,
        seed,
        factors: factors?,
        spread_n: spread?.get(),
        spread_pulls: spread_pulls?,
        difference_n: difference?.get(),
        confidence: confidence?,
        power: power?.0,
        pulls_at_most: most?,
        standoff_m: standoff?.map(Length::get),
        plan: plan?.map(|text| text.0),
        limit_n: limit?.get(),
        highest_load_n: highest?.get(),
        assumed: Vec::new(),
        units: Units::default(),
    })
}

/// The highest load that is planned: at most the limit, and that where none is said.
fn highest_load(
    file: &Section,
    stated: Option<Option<Force>>,
    limit: Option<Force>,
) -> Option<Force> {
    let (stated, limit) = (stated?, limit?);
    let Some(stated) = stated else {
        let reason = "a load of so much ends the day, and none under it does";
        file.assume("highest_load", "the limit", reason);
        return Some(limit);
    };
    if stated > limit {
        let fault = Fault::new("is over the limit, at which the day ends".into());
        file.note(
            "highest_load",
            fault.hinting("plan for less, or rig with higher ratings"),
        );
        return None;
    }
    Some(stated)
}

fn factor(name: String, section: &Section) -> Option<(String, Vec<String>)> {
    let levels: Vec<String> = section
        .list::<Text>("levels", MOST_LEVELS)?
        .into_iter()
        .map(|text| text.0)
        .collect();
    let twice = levels
        .iter()
        .enumerate()
        .any(|(at, level)| levels[..at].contains(level));
    if levels.len() < 2 || twice {
        let fault = Fault::new("are no levels".into());
        section.note(
            "levels",
            fault.expecting("two texts at least, each another one"),
        );
        return None;
    }
    Some((name, levels))
}
