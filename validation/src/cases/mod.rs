//! The checks, one file a topic.

use crate::check::Check;

mod flight;
mod ground;
mod hardware;
mod injury;
mod kinetic;
mod letgo;
mod line_law;
mod resistance;
mod rigging;
mod rope_data;
mod rule_distance;
mod snap_back;
mod strap_law;
mod textile;
mod trade_facts;
mod wire_rope;

/// A topic by its file and its checks.
pub type Topic = (&'static str, fn() -> Vec<Check>);

/// Every topic.
pub const TOPICS: &[Topic] = &[
    ("resistance", resistance::checks),
    ("ground", ground::checks),
    ("rule_distance", rule_distance::checks),
    ("rigging", rigging::checks),
    ("hardware", hardware::checks),
    ("wire_rope", wire_rope::checks),
    ("textile", textile::checks),
    ("strap_law", strap_law::checks),
    ("rope_data", rope_data::checks),
    ("line_law", line_law::checks),
    ("snap_back", snap_back::checks),
    ("kinetic", kinetic::checks),
    ("letgo", letgo::checks),
    ("flight", flight::checks),
    ("injury", injury::checks),
    ("trade_facts", trade_facts::checks),
];

#[cfg(test)]
mod tests {
    use super::TOPICS;

    #[test]
    fn every_file_here_is_a_topic() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/cases");
        let mut files: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .filter_map(|entry| entry.unwrap().file_name().into_string().ok())
            .filter_map(|name| name.strip_suffix(".rs").map(str::to_owned))
            .filter(|name| name != "mod")
            .collect();
        files.sort();
        let mut listed: Vec<&str> = TOPICS.iter().map(|topic| topic.0).collect();
        listed.sort_unstable();
        assert_eq!(files, listed);
    }
}
