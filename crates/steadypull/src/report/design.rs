//! What designs of dampers and of tethers say alike.

use steadypull_contract::answer::Side;
use steadypull_contract::show::percent;

use super::Page;
use super::let_go::end;

/// The link that a design is made for.
pub fn link(page: &mut Page, (link, worst): (&str, bool), parts_at: Side, flies: &str) {
    let which = if worst { " (the worst)" } else { "" };
    let value = format!("{link}{which}, {}: {flies}", end(parts_at));
    page.fact("If this lets go", &value);
}

/// A share of fresh draws with the band of its sampling; `does` what they do.
pub fn checked(does: &str, share: f64, draws: u32, band: (f64, f64)) -> String {
    format!(
        "{does} in {} of {draws} fresh draws (sampling {} to {})",
        percent(share),
        percent(band.0),
        percent(band.1)
    )
}
