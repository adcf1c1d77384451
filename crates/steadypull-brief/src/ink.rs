//! The look: white ground, one ink, one accent; states by word and shape.

/// Text, lines, outlines. 17:1 on white.
pub const INK: &str = "#14181c";
/// The accent: zones, windows, limits. 7:1 on white.
pub const ACCENT: &str = "#0b5c8a";
/// Fill under ink text. Ink on it is over 13:1; prints as a light grey.
pub const TINT: &str = "#d3e4ee";
/// Secondary text. 7:1 on white.
pub const GREY: &str = "#51595f";
/// Hair lines and empty frames: 3:1 on white.
pub const RULE: &str = "#8b949a";
/// The ground.
pub const WHITE: &str = "#ffffff";
