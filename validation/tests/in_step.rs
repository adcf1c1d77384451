//! The generated documents say what the checks say now.
//!
//! With `BLESS=1` in the environment they are written anew instead.

use std::path::Path;

#[test]
fn documents_are_in_step() {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    for document in validation::documents(&validation::all()) {
        let path = top.join(document.path);
        if std::env::var_os("BLESS").is_some() {
            std::fs::write(&path, &document.text).unwrap();
        }
        let committed = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            committed == document.text,
            "{} is out of step: run `cargo xtask validate --write` and read the difference",
            document.path
        );
    }
}
