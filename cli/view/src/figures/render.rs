//! Every figure of a result, to SVG and PNG in memory. The caller writes files.

use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, IntoDrawingArea};
use plotters::prelude::{BitMapBackend, DrawingBackend, SVGBackend};
use rayon::prelude::*;

use crate::tables::Table;
use sim_core::quantity::UnitChoice;
use washgraph_model::result::RunResult;

use crate::figures::style::{PIXELS_PER_UNIT, WIDTH};
use crate::figures::{
    bed_depth, drum_power, gold_path, gradation, in_short, losses, pond_days, recovery_by_size, screen_fate,
    scrub_time, season_money, style, water,
};

/// Why a figure could not be drawn.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FigureError {
    /// The font in the program could not be read.
    #[error("the font of the figures could not be read")]
    Font,
    /// Drawing failed.
    #[error("figure could not be drawn: {0}")]
    Draw(String),
    /// The picture could not be packed as PNG.
    #[error("figure could not be packed as PNG: {0}")]
    Png(String),
}

/// A figure, ready to be written.
#[derive(Debug, Clone)]
pub struct Figure {
    /// Name of its file, without ending.
    pub name: &'static str,
    /// What it shows, as a finding.
    pub title: String,
    /// The same for those who cannot see it.
    pub alt: String,
    /// Drawing.
    pub svg: String,
    /// Picture, 1440 pixels wide.
    pub png: Vec<u8>,
    /// Its numbers.
    pub table: Table,
}

/// Draws every figure that the result has numbers for.
pub fn all(outcome: &RunResult, units: UnitChoice) -> Result<Vec<Figure>, FigureError> {
    drawn(outcome, units, &|_| true, true)
}

/// The same as SVG alone, for a page that shows them itself; their PNG is empty.
pub fn all_vectors(outcome: &RunResult, units: UnitChoice) -> Result<Vec<Figure>, FigureError> {
    drawn(outcome, units, &|_| true, false)
}

/// Draws those of these names as SVG alone, for a screen that wants them at once; their PNG is empty.
pub fn vectors(outcome: &RunResult, units: UnitChoice, names: &[&str]) -> Result<Vec<Figure>, FigureError> {
    drawn(outcome, units, &|name| names.contains(&name), false)
}

fn drawn(
    outcome: &RunResult,
    units: UnitChoice,
    wanted: &dyn Fn(&str) -> bool,
    pictures: bool,
) -> Result<Vec<Figure>, FigureError> {
    style::register()?;
    // Each figure stands by itself: they are drawn side by side and kept in this order.
    let mut jobs: Vec<Box<dyn Fn() -> Result<Figure, FigureError> + Send + Sync + '_>> = Vec::new();
    macro_rules! figure {
        ($name:literal, $room:ident) => {
            if wanted($name) && $room::present(outcome) {
                jobs.push(Box::new(move || {
                    let height = $room::height(outcome, units);
                    Ok(Figure {
                        name: $name,
                        title: $room::title(outcome, units),
                        alt: $room::alt(outcome, units),
                        svg: svg(height, |area| $room::draw(area, outcome, units))?,
                        png: if pictures { png(height, |area| $room::draw(area, outcome, units))? } else { Vec::new() },
                        table: $room::table(outcome, units),
                    })
                }));
            }
        };
    }
    figure!("gold-path", gold_path);
    figure!("recovery-by-size", recovery_by_size);
    figure!("losses", losses);
    figure!("water", water);
    figure!("bed-depth", bed_depth);
    figure!("screen-fate", screen_fate);
    figure!("scrub-time", scrub_time);
    figure!("drum-power", drum_power);
    figure!("gradation", gradation);
    figure!("season-money", season_money);
    figure!("pond-days", pond_days);
    figure!("in-short", in_short);
    jobs.par_iter().map(|job| job()).collect()
}

/// A figure that draws itself on any backend.
pub trait Drawing {
    /// Height of the sheet in units.
    fn height(&self) -> f64;
    /// Draws it.
    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError>;
}

/// A single figure, to SVG and PNG.
pub fn picture(
    name: &'static str,
    title: &str,
    alt: String,
    table: Table,
    drawing: &impl Drawing,
) -> Result<Figure, FigureError> {
    style::register()?;
    let height = drawing.height();
    Ok(Figure {
        name,
        title: title.to_string(),
        alt,
        svg: svg(height, |area| drawing.draw(area))?,
        png: png(height, |area| drawing.draw(area))?,
        table,
    })
}

/// Device pixels of a sheet of that height in units.
fn pixels(height: f64) -> (u32, u32) {
    ((WIDTH * PIXELS_PER_UNIT) as u32, (height * PIXELS_PER_UNIT).ceil() as u32)
}

fn svg(
    height: f64,
    draw: impl FnOnce(&DrawingArea<SVGBackend<'_>, Shift>) -> Result<(), FigureError>,
) -> Result<String, FigureError> {
    let mut text = String::new();
    {
        let area = SVGBackend::with_string(&mut text, pixels(height)).into_drawing_area();
        draw(&area)?;
        area.present().map_err(|e| FigureError::Draw(e.to_string()))?;
    }
    Ok(text)
}

fn png(
    height: f64,
    draw: impl FnOnce(&DrawingArea<BitMapBackend<'_>, Shift>) -> Result<(), FigureError>,
) -> Result<Vec<u8>, FigureError> {
    let (w, h) = pixels(height);
    let mut rgb = vec![0_u8; w as usize * h as usize * 3];
    {
        let backend =
            BitMapBackend::with_buffer_and_format(&mut rgb, (w, h)).map_err(|e| FigureError::Draw(e.to_string()))?;
        let area: DrawingArea<BitMapBackend<'_>, Shift> = backend.into_drawing_area();
        draw(&area)?;
        area.present().map_err(|e| FigureError::Draw(e.to_string()))?;
    }
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, w, h);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let failed = |e: png::EncodingError| FigureError::Png(e.to_string());
    let mut writer = encoder.write_header().map_err(failed)?;
    writer.write_image_data(&rgb).map_err(failed)?;
    writer.finish().map_err(failed)?;
    Ok(bytes)
}

/// Turns any error of a backend into ours.
pub fn failed<B: DrawingBackend>(error: plotters::drawing::DrawingAreaErrorKind<B::ErrorType>) -> FigureError {
    FigureError::Draw(error.to_string())
}
