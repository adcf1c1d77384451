//! Has the crate built again when the page has been: its files go into the binary.

fn main() {
    // The folder is made where it is not there: cargo takes a missing one for changed, and
    // would build this crate at every call. Where it cannot be made, that is all that is lost.
    let _ = std::fs::create_dir_all("../../web/dist");
    println!("cargo::rerun-if-changed=../../web/dist");
}
