//! SVG to PNG, with our own fonts only.

use resvg::tiny_skia::{Color, Pixmap, Transform};

use crate::{BriefError, fonts};

/// Widest picture made.
const GREATEST_WIDE: u32 = 8192;

/// Reads an SVG with our own fonts.
pub(crate) fn tree(svg: &str) -> Result<usvg::Tree, BriefError> {
    let options = usvg::Options {
        font_family: fonts::FAMILY.into(),
        fontdb: fonts::database(),
        ..usvg::Options::default()
    };
    usvg::Tree::from_str(svg, &options).map_err(|e| BriefError::Svg(e.to_string()))
}

/// An SVG as a PNG picture on white, so many pixels wide.
pub fn png(svg: &str, pixels_wide: u32) -> Result<Vec<u8>, BriefError> {
    let tree = tree(svg)?;
    let scale = pixels_wide as f32 / tree.size().width();
    let high = (tree.size().height() * scale).ceil();
    let size_error = BriefError::PixelSize {
        wide: pixels_wide,
        greatest: GREATEST_WIDE,
    };
    if pixels_wide == 0 || pixels_wide > GREATEST_WIDE || high > 4.0 * GREATEST_WIDE as f32 {
        return Err(size_error);
    }
    let mut picture = Pixmap::new(pixels_wide, (high as u32).max(1)).ok_or(size_error)?;
    picture.fill(Color::WHITE);
    resvg::render(
        &tree,
        Transform::from_scale(scale, scale),
        &mut picture.as_mut(),
    );
    picture
        .encode_png()
        .map_err(|e| BriefError::Png(e.to_string()))
}
