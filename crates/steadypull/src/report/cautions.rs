//! What holds for every answer.

use super::Page;

/// Writes the cautions; they end every report.
pub fn write(page: &mut Page, cautions: &[String]) {
    page.heading("CAUTIONS", "for every answer");
    for caution in cautions {
        page.item("!", caution);
    }
}
