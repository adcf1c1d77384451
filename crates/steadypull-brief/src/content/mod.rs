//! The words of a brief, or of a test report: one model that the HTML and the PDF both print.
//!
//! Built once from the answer; neither printer adds, drops or changes a word
//! (where paper runs out, the PDF says how much more the JSON answer holds).

mod before;
mod crew;
mod limits;
mod load_path;
mod lowering;
mod plan;
mod rig;
mod studies;
mod test_day;

pub use test_day::test_report;

use steadypull_contract::show::Units;

use crate::{BriefFigure, HandSignal, Studied};

/// The whole brief.
#[derive(Debug, Clone, PartialEq)]
pub struct Brief {
    /// What kind of document it is, such as `recovery brief`.
    pub kind: &'static str,
    /// Title of the plan.
    pub title: String,
    /// Place, date and vehicles.
    pub about: Vec<String>,
    /// The verdict.
    pub banner: Banner,
    /// The sections in reading order.
    pub sections: Vec<Section>,
    /// What holds for every answer; always printed whole.
    pub cautions: Vec<String>,
    /// Where the numbers come from.
    pub footer: String,
}

/// The verdict at the top.
#[derive(Debug, Clone, PartialEq)]
pub struct Banner {
    /// Whether the pull must not go ahead like this.
    pub stop: bool,
    /// The words read first.
    pub words: &'static str,
    /// The answer in one line.
    pub headline: String,
    /// Reasons, most important first.
    pub reasons: Vec<String>,
}

/// A part of the brief with a heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// What it is, for layout.
    pub topic: Topic,
    /// Heading.
    pub heading: String,
    /// What it holds.
    pub blocks: Vec<Block>,
}

/// What a section is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Topic {
    /// Load in every link.
    LoadPath,
    /// Plan view and places.
    Standoff,
    /// Numbers to act on.
    Limits,
    /// When to stop.
    StopWhen,
    /// Who does what.
    Roles,
    /// Hand signals and stop words.
    Signals,
    /// Before, during, after.
    Checklist,
    /// What was noticed.
    Findings,
    /// Every method.
    Methods,
    /// Charts of the pull.
    Pull,
    /// The way down and the holding force.
    Lowering,
    /// What flies if a link lets go.
    LetGo,
    /// The recovery by chance.
    Chance,
    /// Dampers by design.
    Dampers,
    /// What holds the casualty.
    Resistance,
    /// What the plan says.
    Inputs,
    /// What was filled in.
    Assumed,
    /// A part of a test report.
    Test,
}

/// A piece of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// Running text.
    Text(String),
    /// A list.
    List {
        /// How its items are marked.
        kind: ListKind,
        /// Its items.
        items: Vec<String>,
    },
    /// Names with a value and a note each.
    Pairs(Vec<Pair>),
    /// A table.
    Table(Table),
    /// A drawn figure.
    Figure(BriefFigure),
    /// The four hand signals.
    Signals(Vec<HandSignal>),
}

/// How items are marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ListKind {
    /// A bullet.
    Bullet,
    /// A number.
    Numbered,
    /// A box to tick.
    Tick,
    /// Small type: long and rarely read.
    Small,
}

/// A name, a value, a note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pair {
    /// What it is.
    pub name: String,
    /// How much, with its unit.
    pub value: String,
    /// Why, or what to do at it; may be empty.
    pub note: String,
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// Column headings; numbers are right-aligned.
    pub columns: Vec<Column>,
    /// Rows of cells, one for each column.
    pub rows: Vec<Vec<String>>,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its heading.
    pub heading: &'static str,
    /// Whether it holds numbers.
    pub number: bool,
    /// Its share of the width.
    pub share: f64,
}

/// Text with a capital and a full stop, as the contract's phrases have neither.
pub(crate) fn sentence(text: &str) -> String {
    let text = text.trim().trim_end_matches('.');
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        let first: String = first.to_uppercase().collect();
        format!("{first}{}.", letters.as_str())
    })
}

/// Builds the brief's words.
pub fn brief<'a>(of: impl Into<Studied<'a>>, units: Units, made_on: &str) -> Brief {
    let of = of.into();
    let answer = of.answer;
    let pulled = answer.pulls();
    let mut sections = answer.lowering.as_ref().map_or_else(Vec::new, |lowering| {
        lowering::sections(answer, lowering, units)
    });
    if pulled {
        sections.extend([
            load_path::section(answer, units),
            limits::section(answer, units),
            limits::stop_when(answer, units),
            crew::standoff(answer, units),
            crew::roles(answer),
            crew::signals(),
            before::checklist(answer, units),
        ]);
    }
    if !pulled && answer.rig.is_some() {
        sections.push(load_path::section(answer, units));
        sections.push(crew::rig_from_above());
    }
    sections.extend(before::findings(&answer.findings));
    sections.extend(studies::sections(of, units));
    sections.extend(plan::inputs(answer));
    if pulled {
        sections.extend(plan::charts(answer));
    }
    Brief {
        kind: "recovery brief",
        title: answer.plan.title.clone(),
        about: plan::about(answer, units, made_on),
        banner: plan::banner(answer),
        sections,
        cautions: answer.cautions.clone(),
        footer: plan::footer(answer),
    }
}

impl Brief {
    /// Every text in reading order: what both printers must print.
    pub fn texts(&self) -> Vec<String> {
        let mut texts = vec![self.title.clone()];
        texts.extend(self.about.iter().cloned());
        texts.extend([self.banner.words.to_string(), self.banner.headline.clone()]);
        texts.extend(self.banner.reasons.iter().cloned());
        for section in &self.sections {
            texts.push(section.heading.clone());
            section
                .blocks
                .iter()
                .for_each(|block| block.texts(&mut texts));
        }
        texts.extend(self.cautions.iter().cloned());
        texts.push(self.footer.clone());
        texts
    }
}

impl Block {
    fn texts(&self, texts: &mut Vec<String>) {
        match self {
            Self::Text(text) => texts.push(text.clone()),
            Self::List { items, .. } => texts.extend(items.iter().cloned()),
            Self::Pairs(pairs) => {
                for pair in pairs {
                    texts.extend([pair.name.clone(), pair.value.clone(), pair.note.clone()]);
                }
            }
            Self::Table(table) => {
                texts.push(table.caption.clone());
                texts.extend(table.columns.iter().map(|c| c.heading.to_string()));
                texts.extend(table.rows.iter().flatten().cloned());
            }
            Self::Figure(figure) => texts.push(figure.title().into()),
            Self::Signals(signals) => {
                for signal in signals {
                    texts.extend([signal.word().to_string(), signal.how().to_string()]);
                }
            }
        }
    }
}
