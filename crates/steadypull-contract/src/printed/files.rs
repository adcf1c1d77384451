//! What a command wrote, and the demo plans.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::answer::Finding;

/// What `brief`, `plot`, `example -o` and `tests report` print with `--json`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Written {
    /// Version of the contract.
    pub contract_version: u32,
    /// Every file written, in order.
    pub written: Vec<WrittenFile>,
    /// Figures that hold nothing for this plan.
    pub skipped: Vec<SkippedFigure>,
    /// Everything noticed about the plan, worst first; empty for a demo plan.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// One file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WrittenFile {
    /// Its path as given or built on the command line.
    pub file: String,
    /// What it holds: `brief`, `plan`, `test report`, or the name of the figure.
    pub holds: String,
    /// Its form.
    pub kind: FileKind,
}

/// A figure that holds nothing for this plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SkippedFigure {
    /// Its name.
    pub figure: String,
    /// Why there is nothing to draw.
    pub why: String,
}

/// The form of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FileKind {
    /// A printable document.
    Pdf,
    /// A page for a browser.
    Html,
    /// A drawing.
    Svg,
    /// A picture.
    Png,
    /// A plan file, or another in TOML.
    Toml,
    /// A table, or a log.
    Csv,
}

/// What `example --list --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExampleList {
    /// Version of the contract.
    pub contract_version: u32,
    /// Every demo plan.
    pub examples: Vec<ExampleEntry>,
}

/// One demo plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExampleEntry {
    /// Its name for `steadypull example NAME`.
    pub name: String,
    /// What it is about.
    pub about: String,
}

/// What `example --json` prints when no file is asked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExampleText {
    /// Version of the contract.
    pub contract_version: u32,
    /// Its name.
    pub name: String,
    /// The plan file as text.
    pub plan: String,
}
