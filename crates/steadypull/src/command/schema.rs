//! `schema`: the JSON Schema of what `--json` prints.

use super::{Done, Ending};
use crate::args::Schema;

const ENDING: &str = ".schema.json";

/// The name of a schema that there is, for the command line.
pub fn schema_named(name: &str) -> Result<String, String> {
    let all = steadypull_contract::schemas();
    let names: Vec<&str> = all
        .iter()
        .map(|(name, _)| name.trim_end_matches(ENDING))
        .collect();
    if names.contains(&name) {
        return Ok(name.into());
    }
    Err(format!("no such schema; there are: {}", names.join(", ")))
}

/// Prints one schema.
pub fn run(schema: &Schema) -> Done {
    let wanted = format!("{}{ENDING}", schema.name);
    let all = steadypull_contract::schemas();
    let found = all.into_iter().find(|(name, _)| *name == wanted);
    let text = found.map(|(_, text)| text).unwrap_or_default();
    Done {
        text,
        ending: Ending::Worked,
    }
}
