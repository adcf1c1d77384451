//! `validate`: the models against outside truth.

use crate::run::write;
use anyhow::{Result, bail};

/// Prints the table; with `--write` renews VALIDATION.md and its chart.
pub fn validate(args: &[String]) -> Result<bool> {
    let renew = match args {
        [] => false,
        [only] if only == "--write" => true,
        _ => bail!("validate takes --write or nothing"),
    };
    let outcomes = validation::all();
    print!("{}", validation::table(&outcomes));
    if renew {
        for document in validation::documents(&outcomes) {
            write(document.path, &document.text)?;
        }
    }
    Ok(outcomes.iter().all(validation::Outcome::holds))
}
