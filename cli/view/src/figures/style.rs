//! One look for every figure. Nothing is told by colour alone: lines differ by dash, faces by hatch, and the single accent
//! is darker than the greys beside it when printed in black and white.

use plotters::style::{FontStyle, RGBColor, register_font};

use crate::figures::FigureError;

/// Width of a sheet in its own units. Narrow, so that 20-unit letters are still 9 pixels on a 360-pixel phone.
pub const WIDTH: f64 = 720.0;
/// Device pixels per unit.
pub const PIXELS_PER_UNIT: f64 = 2.0;
/// Left and right margin.
pub const MARGIN: f64 = 18.0;
/// Letter height (em) of text and of titles.
pub const TEXT: f64 = 20.0;
/// Letter height (em) of titles.
pub const TITLE: f64 = 24.0;
/// Line spacing over letter height.
pub const LEADING: f64 = 1.25;

pub const PAPER: RGBColor = RGBColor(255, 255, 255);
pub const INK: RGBColor = RGBColor(28, 28, 28);
pub const QUIET: RGBColor = RGBColor(92, 92, 92);
pub const RULE: RGBColor = RGBColor(214, 212, 208);
pub const STONE: RGBColor = RGBColor(226, 223, 216);
pub const LOST: RGBColor = RGBColor(176, 172, 164);
/// Gold that is caught; 35 % grey in black and white.
pub const GOLD: RGBColor = RGBColor(164, 104, 0);
/// The spread around a line of gold.
pub const GOLD_PALE: RGBColor = RGBColor(240, 219, 176);

/// Dash and gap in units; empty for a solid line.
pub const SOLID: &[f64] = &[];
pub const DASHED: &[f64] = &[14.0, 7.0];
pub const DOTTED: &[f64] = &[3.0, 6.0];

/// Hatch of a face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hatch {
    None,
    Rising,
    Falling,
    Level,
    Upright,
    Crossed,
}

/// Hatches in the order in which they are given out.
pub const HATCHES: [Hatch; 6] =
    [Hatch::Rising, Hatch::None, Hatch::Falling, Hatch::Level, Hatch::Crossed, Hatch::Upright];

/// Name under which the font is known to plotters; in an SVG the reader's own sans-serif takes its place.
pub const FONT: &str = "sans-serif";

/// Makes the font known. Harmless when repeated.
pub fn register() -> Result<(), FigureError> {
    register_font(FONT, FontStyle::Normal, dejavu::sans::regular()).map_err(|_| FigureError::Font)?;
    register_font(FONT, FontStyle::Bold, dejavu::sans::bold()).map_err(|_| FigureError::Font)
}
