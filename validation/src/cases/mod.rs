//! The checks, one file a topic.

use crate::check::Check;

/// One file of checks.
pub struct Topic {
    /// The file, without its ending.
    #[cfg(test)]
    pub file: &'static str,
    /// The names of its checks.
    #[cfg(test)]
    pub names: &'static [&'static str],
    /// Its checks, worked out.
    pub checks: fn() -> Vec<Check>,
}

pub use rule_distance::thrown_by_wire;

macro_rules! topics {
    ($($file:ident)+) => {
        $(mod $file;)+

        /// Every topic, in the order of the report.
        pub const TOPICS: &[Topic] = &[
            $(Topic {
                #[cfg(test)]
                file: stringify!($file),
                #[cfg(test)]
                names: $file::NAMES,
                checks: $file::checks,
            }),+
        ];
    };
}

topics! {
    resistance
    ground
    rule_distance
    rigging
    rig_handbook
    rig_statics
    hardware
    wire_rope
    textile
    strap_law
    rope_data
    line_law
    snap_back
    kinetic
    lowering
    letgo
    rod_end_mass
    convergence
    recoil_peers
    flight
    injury
    trade_facts
    anchors
    derating
    winch
    chance
    measuring
}

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
        let mut listed: Vec<&str> = TOPICS.iter().map(|topic| topic.file).collect();
        listed.sort_unstable();
        assert_eq!(files, listed);
    }
}
