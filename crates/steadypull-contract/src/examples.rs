//! The demo plans, for whoever starts with an empty folder.

/// Name and text of each demo plan; all are invented.
pub const EXAMPLES: &[(&str, &str)] = &[
    (
        "guard-deep-clay",
        include_str!("../../../examples/guard-deep-clay.toml"),
    ),
    (
        "rock-held",
        include_str!("../../../examples/rock-held.toml"),
    ),
    (
        "side-slope-bridle",
        include_str!("../../../examples/side-slope-bridle.toml"),
    ),
    (
        "steep-bank-lowering",
        include_str!("../../../examples/steep-bank-lowering.toml"),
    ),
    (
        "tree-double-line",
        include_str!("../../../examples/tree-double-line.toml"),
    ),
    (
        "uphill-sand",
        include_str!("../../../examples/uphill-sand.toml"),
    ),
];
