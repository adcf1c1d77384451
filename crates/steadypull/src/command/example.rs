//! `example`: the demo plans.

use std::path::Path;

use steadypull_contract::EXAMPLES;
use steadypull_contract::answer::CONTRACT_VERSION;
use steadypull_contract::plan_file::read_plan;
use steadypull_contract::printed::{ExampleEntry, ExampleList, ExampleText, FileKind};

use super::{Done, Ending, json_text};
use crate::args::Example;
use crate::failure::Failure;
use crate::report::Page;
use crate::writing::{self, Overwrite};

/// A demo plan.
#[derive(Debug, Clone, Copy)]
pub struct ExamplePlan {
    name: &'static str,
    text: &'static str,
}

impl ExamplePlan {
    /// Every demo plan.
    fn all() -> impl Iterator<Item = Self> {
        EXAMPLES.iter().map(|&(name, text)| Self { name, text })
    }

    /// What it is about: the title it gives itself.
    fn about(self) -> String {
        read_plan(self.text)
            .map(|plan| plan.title)
            .unwrap_or_default()
    }

    /// The plan as an object.
    pub fn whole(self) -> ExampleText {
        ExampleText {
            contract_version: CONTRACT_VERSION,
            name: self.name.into(),
            plan: self.text.into(),
        }
    }
}

/// The demo plan called `name`, for the command line.
pub fn example_named(name: &str) -> Result<ExamplePlan, String> {
    let found = ExamplePlan::all().find(|plan| plan.name == name);
    let names = || {
        ExamplePlan::all()
            .map(|plan| plan.name)
            .collect::<Vec<_>>()
            .join(", ")
    };
    found.ok_or_else(|| format!("no such demo plan; there are: {}", names()))
}

/// Every demo plan with what it is about.
pub fn example_list() -> ExampleList {
    let entry = |plan: ExamplePlan| ExampleEntry {
        name: plan.name.into(),
        about: plan.about(),
    };
    ExampleList {
        contract_version: CONTRACT_VERSION,
        examples: ExamplePlan::all().map(entry).collect(),
    }
}

/// Lists, prints or writes demo plans.
pub fn run(example: &Example, json: bool) -> Result<Done, Failure> {
    let text = if example.list {
        list(json)?
    } else {
        let plan = example
            .name
            .or_else(|| ExamplePlan::all().next())
            .ok_or_else(none)?;
        match &example.output {
            Some(path) => save(plan, path, example.force, json)?,
            None => print(plan, json)?,
        }
    };
    Ok(Done {
        text,
        ending: Ending::Worked,
    })
}

fn none() -> Failure {
    Failure::other("no demo plan was built in", super::REPORT_IT)
}

fn list(json: bool) -> Result<String, Failure> {
    if json {
        return json_text(&example_list());
    }
    let mut page = Page::default();
    for plan in ExamplePlan::all() {
        page.flush_left(plan.name);
        page.under(&plan.about());
    }
    Ok(page.finish())
}

fn print(plan: ExamplePlan, json: bool) -> Result<String, Failure> {
    if !json {
        return Ok(plan.text.into());
    }
    json_text(&plan.whole())
}

fn save(plan: ExamplePlan, path: &Path, force: bool, json: bool) -> Result<String, Failure> {
    let overwrite = if force {
        Overwrite::Allowed
    } else {
        Overwrite::Refused
    };
    writing::write(path, plan.text.as_bytes(), overwrite)?;
    let files = vec![writing::file(path, "plan", FileKind::Toml)];
    let report = writing::written(files, vec![], None);
    if json {
        json_text(&report)
    } else {
        Ok(writing::written_text(&report, None))
    }
}
