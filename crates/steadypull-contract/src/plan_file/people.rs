//! `[people]`: who is there and where they stand.

use steadypull_engine::plan::People;

use super::defaults;
use super::limits;
use super::section::Section;

pub(super) fn people(file: &Section) -> Option<People> {
    let section = file.table("people");
    let crew = section.key("crew").within(&limits::CREW);
    let crew = crew.or(defaults::CREW.0, defaults::CREW.1);
    let bystanders = section.key("bystanders").within(&limits::BYSTANDERS);
    let bystanders = bystanders.or(defaults::BYSTANDERS.0, defaults::BYSTANDERS.1);
    let bystanders_at = section
        .key("bystanders_at")
        .within(&limits::BYSTANDERS_AT)
        .maybe();
    section.close();
    Some(People {
        crew: crew?,
        bystanders: bystanders?,
        bystanders_at: bystanders_at?,
    })
}
