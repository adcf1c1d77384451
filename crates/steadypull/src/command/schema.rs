//! `schema`: the JSON Schema of what `--json` prints.

use super::{Done, Ending};
use crate::args::Schema;
use crate::serve::openapi;

const ENDING: &str = ".schema.json";
/// What the server can be asked: no schema of one object, but made of them.
const OPENAPI: &str = "openapi";

/// The name of a schema that there is, for the command line.
pub fn schema_named(name: &str) -> Result<String, String> {
    let all = steadypull_contract::schemas();
    let names = all.iter().map(|(name, _)| name.trim_end_matches(ENDING));
    let names: Vec<&str> = names.chain([OPENAPI]).collect();
    if names.contains(&name) {
        return Ok(name.into());
    }
    Err(format!("no such schema; there are: {}", names.join(", ")))
}

/// Prints one schema.
pub fn run(schema: &Schema) -> Done {
    Done {
        text: text_of(&schema.name),
        ending: Ending::Worked,
    }
}

fn text_of(name: &str) -> String {
    if name == OPENAPI {
        return openapi();
    }
    let wanted = format!("{name}{ENDING}");
    let all = steadypull_contract::schemas();
    let found = all.into_iter().find(|(name, _)| *name == wanted);
    found.map(|(_, text)| text).unwrap_or_default()
}
