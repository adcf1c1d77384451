//! `bless`: renews every generated and expected file.

use crate::{check, schemas, validate};
use anyhow::Result;

/// Schemas and validation first, so that the tests that read them agree.
pub fn bless(_args: &[String]) -> Result<bool> {
    schemas::schemas(&[])?;
    let valid = validate::validate(&["--write".to_owned()])?;
    check::tests(true)?;
    eprintln!("read the difference before it goes in: git diff");
    Ok(valid)
}
