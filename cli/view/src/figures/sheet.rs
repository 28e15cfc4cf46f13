//! A sheet on which a figure is drawn, in units of 1/720 of its width, with its title on top.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{PathElement, Polygon, Text};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontStyle, IntoFont, RGBColor, ShapeStyle, TextStyle};

use crate::figures::FigureError;
use crate::figures::render::failed;
use crate::figures::style::{FONT, Hatch, INK, LEADING, MARGIN, PAPER, TEXT, TITLE, WIDTH};

/// A point in units.
pub type Point = (f64, f64);

/// plotters counts the height of a line of text, not of the letters.
const LINE_PER_EM: f64 = 1.24;

/// Where a text hangs on its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hang {
    Right,
    Middle,
    Left,
}

/// The sheet.
pub struct Sheet<'a, B: DrawingBackend> {
    area: &'a DrawingArea<B, Shift>,
    scale: f64,
}

fn text_style(em: f64, bold: bool, color: RGBColor, scale: f64) -> TextStyle<'static> {
    let style = if bold { FontStyle::Bold } else { FontStyle::Normal };
    let mut look = TextStyle::from((FONT, em * LINE_PER_EM * scale, style).into_font());
    look.color = color.to_backend_color();
    look
}

/// Width of a text in units, as the widest of the fonts that may show it.
pub fn width_of(text: &str, em: f64, bold: bool) -> f64 {
    let style = text_style(em, bold, INK, 4.0);
    // A font that is not there is reported by the drawing itself; half an em a letter is a fair guess until then.
    style.font.box_size(text).map_or(0.6 * em * text.chars().count() as f64, |(w, _)| f64::from(w) / 4.0)
}

/// Breaks a text into lines no wider than that; a single longer word stays whole.
pub fn wrap(text: &str, em: f64, bold: bool, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width_of(&format!("{line} {word}"), em, bold) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    lines
}

/// Height that a title takes, with the space below it.
pub fn title_height(title: &str) -> f64 {
    let lines = wrap(title, TITLE, true, WIDTH - 2.0 * MARGIN).len();
    14.0 + lines as f64 * TITLE * LEADING + 10.0
}

impl<'a, B: DrawingBackend> Sheet<'a, B> {
    /// An empty sheet with its title; also the height at which the figure begins.
    pub fn new(area: &'a DrawingArea<B, Shift>, title: &str) -> Result<(Sheet<'a, B>, f64), FigureError> {
        let (pixels, _) = area.dim_in_pixel();
        let sheet = Sheet { area, scale: f64::from(pixels) / WIDTH };
        area.fill(&PAPER).map_err(failed::<B>)?;
        let mut y = 14.0 + TITLE * LEADING / 2.0;
        for line in wrap(title, TITLE, true, WIDTH - 2.0 * MARGIN) {
            sheet.text_in(&line, (MARGIN, y), Hang::Right, TITLE, true, INK)?;
            y += TITLE * LEADING;
        }
        Ok((sheet, title_height(title)))
    }

    fn device(&self, (x, y): Point) -> (i32, i32) {
        ((x * self.scale).round() as i32, (y * self.scale).round() as i32)
    }

    /// Text of the usual size, its middle at that height.
    pub fn text(&self, text: &str, at: Point, hang: Hang, color: RGBColor) -> Result<(), FigureError> {
        self.text_in(text, at, hang, TEXT, false, color)
    }

    /// Text of any size.
    pub fn text_in(
        &self,
        text: &str,
        at: Point,
        hang: Hang,
        em: f64,
        bold: bool,
        color: RGBColor,
    ) -> Result<(), FigureError> {
        let h = match hang {
            Hang::Right => HPos::Left,
            Hang::Middle => HPos::Center,
            Hang::Left => HPos::Right,
        };
        let style = text_style(em, bold, color, self.scale).pos(Pos::new(h, VPos::Center));
        self.area.draw(&Text::new(text.to_string(), self.device(at), style)).map_err(failed::<B>)
    }

    /// A line with dashes (none: solid).
    pub fn line(&self, points: &[Point], width: f64, color: RGBColor, dashes: &[f64]) -> Result<(), FigureError> {
        for piece in dashed(points, dashes) {
            let path: Vec<(i32, i32)> = piece.iter().map(|p| self.device(*p)).collect();
            let style = ShapeStyle {
                color: color.to_rgba(),
                filled: false,
                stroke_width: (width * self.scale).round().max(1.0) as u32,
            };
            self.area.draw(&PathElement::new(path, style)).map_err(failed::<B>)?;
        }
        Ok(())
    }

    /// A filled face.
    pub fn face(&self, points: &[Point], color: RGBColor) -> Result<(), FigureError> {
        let path: Vec<(i32, i32)> = points.iter().map(|p| self.device(*p)).collect();
        self.area.draw(&Polygon::new(path, color.filled())).map_err(failed::<B>)
    }

    /// A bar with a hatch and a thin outline.
    pub fn bar(&self, (x0, y0): Point, (x1, y1): Point, color: RGBColor, hatch: Hatch) -> Result<(), FigureError> {
        let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)];
        self.face(&corners, color)?;
        for [a, b] in hatch_lines(x0.min(x1), y0.min(y1), x0.max(x1), y0.max(y1), hatch) {
            self.line(&[a, b], 1.0, INK, &[])?;
        }
        self.line(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)], 1.0, INK, &[])
    }
}

/// Cuts a line into dashes.
fn dashed(points: &[Point], dashes: &[f64]) -> Vec<Vec<Point>> {
    if dashes.is_empty() || points.len() < 2 {
        return vec![points.to_vec()];
    }
    let mut pieces = Vec::new();
    let mut turns = dashes.iter().copied().cycle();
    let (mut left, mut on) = (turns.next().unwrap_or(1.0), true);
    let mut piece: Vec<Point> = points.first().copied().into_iter().collect();
    for pair in points.windows(2) {
        let [mut a, b] = [pair[0], pair[1]];
        loop {
            let length = ((b.0 - a.0) * (b.0 - a.0) + (b.1 - a.1) * (b.1 - a.1)).sqrt();
            if length <= left {
                left -= length;
                if on {
                    piece.push(b);
                }
                break;
            }
            let f = left / length;
            a = (a.0 + f * (b.0 - a.0), a.1 + f * (b.1 - a.1));
            if on {
                piece.push(a);
                pieces.push(std::mem::take(&mut piece));
            } else {
                piece = vec![a];
            }
            on = !on;
            left = turns.next().unwrap_or(1.0).max(0.5);
        }
    }
    if on && piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}

/// Lines of a hatch within a bar.
fn hatch_lines(x0: f64, y0: f64, x1: f64, y1: f64, hatch: Hatch) -> Vec<[Point; 2]> {
    const STEP: f64 = 7.0;
    let mut lines = Vec::new();
    if matches!(hatch, Hatch::Rising | Hatch::Crossed) {
        // x + y = c, kept on one lattice for all bars so that neighbours line up.
        let mut c = ((x0 + y0) / STEP).ceil() * STEP;
        while c < x1 + y1 {
            let (a, b) = (x0.max(c - y1), x1.min(c - y0));
            lines.push([(a, c - a), (b, c - b)]);
            c += STEP;
        }
    }
    if matches!(hatch, Hatch::Falling | Hatch::Crossed) {
        let mut c = ((x0 - y1) / STEP).ceil() * STEP;
        while c < x1 - y0 {
            let (a, b) = (x0.max(c + y0), x1.min(c + y1));
            lines.push([(a, a - c), (b, b - c)]);
            c += STEP;
        }
    }
    if hatch == Hatch::Level {
        let mut y = (y0 / STEP).ceil() * STEP;
        while y < y1 {
            lines.push([(x0, y), (x1, y)]);
            y += STEP;
        }
    }
    if hatch == Hatch::Upright {
        let mut x = (x0 / STEP).ceil() * STEP;
        while x < x1 {
            lines.push([(x, y0), (x, y1)]);
            x += STEP;
        }
    }
    lines
}
