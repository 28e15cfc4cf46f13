//! Drawings as SVG: whole at true scale, in windows at true scale, and as pictures to look at.

use std::fmt::Write as _;

use sim_core::quantity::{Dimension, UnitChoice};
use sim_core::shop::{Drawing, HoleGrid, Mark, Opening, Stroke};

use crate::sheet::ruler;
use crate::sheet::tiles::{TileGrid, Window};
use crate::sheet::words;

/// Width of a picture in its own units.
const PICTURE: f64 = 1000.0;
/// Letter height on a picture, same units.
const LETTER: f64 = 26.0;
/// Width of a letter over its height, generous.
const LETTER_WIDTH: f64 = 0.58;
/// Most holes that a picture shows; a template has them all.
const MOST_PICTURED: usize = 5000;
/// DesignRuns of the cross in the middle of a hole, mm.
const ARM_MM: f64 = 2.0;

/// Text safe inside SVG and HTML.
pub fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

fn mm(m: f64) -> f64 {
    1000.0 * m
}

fn point_mm((x, y): (f64, f64)) -> (f64, f64) {
    (mm(x), mm(y))
}

/// A hole at true scale, mm, with a cross at its middle for the centre punch.
fn hole(t: &mut String, opening: Opening, (x, y): (f64, f64), dashed: bool) {
    let dash = if dashed { " stroke-dasharray=\"2 1\"" } else { "" };
    match opening {
        Opening::Round(d) => {
            let _ = write!(t, "<circle cx=\"{x:.3}\" cy=\"{y:.3}\" r=\"{:.3}\"{dash}/>", 0.5 * mm(d));
        }
        Opening::Square(s) => {
            let s = mm(s);
            let _ = write!(
                t,
                "<rect x=\"{:.3}\" y=\"{:.3}\" width=\"{s:.3}\" height=\"{s:.3}\"{dash}/>",
                x - 0.5 * s,
                y - 0.5 * s
            );
        }
        Opening::Slot(w, l) => {
            let (w, l) = (mm(w), mm(l));
            let _ = write!(
                t,
                "<rect x=\"{:.3}\" y=\"{:.3}\" width=\"{w:.3}\" height=\"{l:.3}\" rx=\"{:.3}\"{dash}/>",
                x - 0.5 * w,
                y - 0.5 * l,
                0.5 * w
            );
        }
    }
    let _ =
        write!(t, "<path d=\"M{:.3},{y:.3}h{}M{x:.3},{:.3}v{}\"/>", x - ARM_MM, 2.0 * ARM_MM, y - ARM_MM, 2.0 * ARM_MM);
}

/// Middles of a grid in mm; a hole on the seam of a plate that closes shows at both edges.
fn middles_mm(drawing: &Drawing, grid: &HoleGrid) -> impl Iterator<Item = (f64, f64)> {
    let width = mm(drawing.size_m.0);
    let half = mm(grid.opening.half_m().0);
    let closes = drawing.closes;
    let centres: Vec<(f64, f64)> = grid.centres_m().map(point_mm).collect();
    centres.into_iter().flat_map(move |(x, y)| {
        let twin = if !closes {
            None
        } else if x + half > width {
            Some((x - width, y))
        } else if x - half < 0.0 {
            Some((x + width, y))
        } else {
            None
        };
        std::iter::once((x, y)).chain(twin)
    })
}

fn stroke_of(stroke: Stroke) -> (&'static str, f64) {
    match stroke {
        Stroke::Edge => ("", 1.0),
        Stroke::Dashed => ("6 4", 0.6),
        Stroke::Thin => ("", 0.4),
    }
}

/// Everything that shows in a window of the drawing, at true scale, mm.
fn at_true_scale(drawing: &Drawing, window: &Window) -> String {
    let mut t = String::from("<g fill=\"none\" stroke=\"#000\" stroke-width=\"0.3\">");
    for mark in &drawing.marks {
        match mark {
            Mark::Holes(grid) => {
                let (half_x, half_y) = grid.opening.half_m();
                for middle in middles_mm(drawing, grid).filter(|m| window.shows(*m, (mm(half_x), mm(half_y)))) {
                    hole(&mut t, grid.opening, middle, false);
                }
            }
            Mark::Circle(middle, d, stroke) => {
                let ((x, y), (dash, _)) = (point_mm(*middle), stroke_of(*stroke));
                let _ = write!(
                    t,
                    "<circle cx=\"{x:.3}\" cy=\"{y:.3}\" r=\"{:.3}\" stroke-dasharray=\"{dash}\"/>",
                    0.5 * mm(*d)
                );
            }
            Mark::Line(from, to, stroke) => {
                let ((x, y), (u, v), (dash, _)) = (point_mm(*from), point_mm(*to), stroke_of(*stroke));
                let _ = write!(
                    t,
                    "<line x1=\"{x:.3}\" y1=\"{y:.3}\" x2=\"{u:.3}\" y2=\"{v:.3}\" stroke-dasharray=\"{dash}\"/>"
                );
            }
            Mark::Rectangle(corner, size, stroke) => {
                let ((x, y), (w, h), (dash, _)) = (point_mm(*corner), point_mm(*size), stroke_of(*stroke));
                let _ = write!(
                    t,
                    "<rect x=\"{x:.3}\" y=\"{y:.3}\" width=\"{w:.3}\" height=\"{h:.3}\" stroke-dasharray=\"{dash}\"/>"
                );
            }
            // Words and dimensions belong to pictures; on the work they would be in the way.
            Mark::Span(..) | Mark::Label(..) => {}
        }
    }
    t + "</g>"
}

/// A window of the drawing, 1 unit = 1 mm, with registration crosses.
pub fn window(drawing: &Drawing, window: &Window, crosses: &[(f64, f64)], label: &str) -> String {
    let Window { x, y, width, height } = *window;
    let mut t = format!(
        "<svg class=\"true\" xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.3}mm\" height=\"{height:.3}mm\" viewBox=\"{x:.3} {y:.3} {width:.3} {height:.3}\" role=\"img\" aria-label=\"{}\">",
        escaped(label)
    );
    t += &at_true_scale(drawing, window);
    for (u, v) in crosses.iter().filter(|c| window.shows(**c, (0.0, 0.0))) {
        let _ = write!(
            t,
            "<path d=\"M{:.3},{v:.3}h8M{u:.3},{:.3}v8\" stroke=\"#000\" stroke-width=\"0.6\"/><circle cx=\"{u:.3}\" cy=\"{v:.3}\" r=\"2.5\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.3\"/>",
            u - 4.0,
            v - 4.0
        );
    }
    t + "</svg>"
}

/// The whole drawing at true scale, mm, with the ruler above it: for a plotter or a cutting table.
pub fn whole(drawing: &Drawing) -> String {
    let (width, height) = point_mm(drawing.size_m);
    let (ruler_w, ruler_h) = ruler::SIZE_MM;
    let margin = 5.0;
    let (w, h) = (width.max(ruler_w) + 2.0 * margin, height + ruler_h + 3.0 * margin);
    let all = Window { x: -margin, y: -margin, width: w, height: h };
    let mut t = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w:.3}mm\" height=\"{h:.3}mm\" viewBox=\"{:.3} {:.3} {w:.3} {h:.3}\" font-family=\"sans-serif\"><title>{}</title>",
        -margin,
        -(margin + ruler_h + margin),
        escaped(&drawing.title)
    );
    t += &ruler::marks(0.0, -(ruler_h + margin));
    let _ = write!(
        t,
        "<text x=\"0\" y=\"{:.3}\" font-size=\"3.5\">measure me: 100 mm / 4 in before cutting. {}: {} to the right, {} down</text>",
        -margin,
        escaped(&drawing.title),
        escaped(&drawing.across),
        escaped(&drawing.down)
    );
    t += &at_true_scale(drawing, &all);
    t + "</svg>\n"
}

/// The drawing as a picture, not to scale on paper, with its dimensions in words.
pub fn picture(drawing: &Drawing, units: UnitChoice) -> String {
    let scale = PICTURE / drawing.size_m.0;
    let height = drawing.size_m.1 * scale;
    let pad = 8.0;
    let mut t = format!(
        "<svg class=\"picture\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{} {} {} {:.1}\" role=\"img\" aria-label=\"{}\" font-family=\"sans-serif\" font-size=\"{LETTER}\">",
        -pad,
        -pad,
        PICTURE + 2.0 * pad,
        height + 2.0 * pad,
        escaped(&words::phrase(&drawing.alt, units))
    );
    for mark in &drawing.marks {
        pictured(&mut t, mark, scale, units);
    }
    t + "</svg>"
}

fn pictured(t: &mut String, mark: &Mark, scale: f64, units: UnitChoice) {
    let at = |(x, y): (f64, f64)| (x * scale, y * scale);
    match mark {
        Mark::Holes(grid) => holes_pictured(t, grid, scale),
        Mark::Circle(middle, d, stroke) => {
            let ((x, y), (dash, width)) = (at(*middle), stroke_of(*stroke));
            let _ = write!(
                t,
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{:.1}\" fill=\"none\" stroke=\"#000\" stroke-width=\"{}\" stroke-dasharray=\"{dash}\"/>",
                0.5 * d * scale,
                3.0 * width
            );
        }
        Mark::Line(from, to, stroke) => {
            let ((x, y), (u, v), (dash, width)) = (at(*from), at(*to), stroke_of(*stroke));
            let _ = write!(
                t,
                "<line x1=\"{x:.1}\" y1=\"{y:.1}\" x2=\"{u:.1}\" y2=\"{v:.1}\" stroke=\"#000\" stroke-width=\"{}\" stroke-dasharray=\"{dash}\"/>",
                3.0 * width
            );
        }
        Mark::Rectangle(corner, size, stroke) => {
            let ((x, y), (w, h), (dash, width)) = (at(*corner), at(*size), stroke_of(*stroke));
            let _ = write!(
                t,
                "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{h:.1}\" fill=\"none\" stroke=\"#000\" stroke-width=\"{}\" stroke-dasharray=\"{dash}\"/>",
                3.0 * width
            );
        }
        Mark::Span(from, to, phrase) => {
            let ((x, y), (u, v)) = (at(*from), at(*to));
            let upright = (v - y).abs() > (u - x).abs();
            let (dx, dy, design_run) = if upright { (8.0, 0.0, "h16") } else { (0.0, 8.0, "v16") };
            let _ = write!(
                t,
                "<path d=\"M{x:.1},{y:.1}L{u:.1},{v:.1}M{:.1},{:.1}{design_run}M{:.1},{:.1}{design_run}\" stroke=\"#000\" stroke-width=\"1.5\" fill=\"none\"/>",
                x - dx,
                y - dy,
                u - dx,
                v - dy
            );
            let room = if upright { PICTURE } else { (u - x).abs() };
            text(t, (0.5 * (x + u), 0.5 * (y + v)), "middle", &words::phrase(phrase, units), room);
        }
        Mark::Label(point, phrase) => text(t, at(*point), "start", &words::phrase(phrase, units), PICTURE),
    }
}

/// Words on a white ground, pressed together rather than running over their neighbours.
fn text(t: &mut String, (x, y): (f64, f64), anchor: &str, words: &str, room: f64) {
    if words.is_empty() {
        return;
    }
    let wide_at_full = LETTER_WIDTH * LETTER * words.chars().count() as f64;
    let size = if wide_at_full > room { (LETTER * room / wide_at_full).max(0.5 * LETTER) } else { LETTER };
    let wide = wide_at_full * size / LETTER;
    let left = if anchor == "middle" { x - 0.5 * wide } else { x };
    let _ = write!(
        t,
        "<rect x=\"{left:.1}\" y=\"{:.1}\" width=\"{wide:.1}\" height=\"{:.1}\" fill=\"#fff\"/><text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"{anchor}\" font-size=\"{size:.1}\" font-weight=\"700\">{}</text>",
        y - 0.5 * size,
        size,
        y + 0.35 * size,
        escaped(words)
    );
}

fn holes_pictured(t: &mut String, grid: &HoleGrid, scale: f64) {
    let (half_x, half_y) = grid.opening.half_m();
    let (w, h) = (half_x * scale, half_y * scale);
    let round = if matches!(grid.opening, Opening::Square(_)) { 0.0 } else { w };
    for (x, y) in grid.centres_m().take(MOST_PICTURED) {
        let _ = write!(
            t,
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" rx=\"{round:.2}\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"2\"/>",
            x * scale - w,
            y * scale - h,
            2.0 * w,
            2.0 * h
        );
    }
}

/// The plate of a template in small, with the sheets of paper that its full size takes and their names.
pub fn map(drawing: &Drawing, tiles: &TileGrid, units: UnitChoice) -> String {
    let (width_mm, height_mm) = point_mm(drawing.size_m);
    let (side, foot) = (300.0, 50.0);
    let scale = (PICTURE - side) / width_mm;
    let (w, h) = (width_mm * scale, height_mm * scale);
    let mut t = format!(
        "<svg class=\"picture\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"-4 -4 {} {:.1}\" role=\"img\" aria-label=\"{}\" font-family=\"sans-serif\" font-size=\"{LETTER}\">",
        PICTURE + 8.0,
        h + foot + 8.0,
        escaped(&words::phrase(&drawing.alt, units))
    );
    for (column, row, window) in tiles.windows() {
        let (x, y) = (window.x * scale, window.y * scale);
        let (cw, ch) = (window.width * scale, window.height * scale);
        let _ = write!(
            t,
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{cw:.1}\" height=\"{ch:.1}\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.7\"/>"
        );
        let size = (0.35 * cw.min(ch)).min(0.8 * LETTER);
        if size > 6.0 {
            let _ = write!(
                t,
                "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\" font-size=\"{size:.1}\">{}</text>",
                x + 0.5 * cw,
                y + 0.5 * ch + 0.35 * size,
                TileGrid::name(column, row)
            );
        }
    }
    let _ = write!(
        t,
        "<rect x=\"0\" y=\"0\" width=\"{w:.1}\" height=\"{h:.1}\" fill=\"none\" stroke=\"#000\" stroke-width=\"4\"/>"
    );
    let length = |m: f64| words::joined(m, Dimension::Length, units);
    text(&mut t, (0.5 * w, h + 0.55 * foot), "middle", &length(drawing.size_m.0), w);
    text(&mut t, (w + 14.0, 0.5 * h), "start", &length(drawing.size_m.1), side - 14.0);
    t + "</svg>"
}

/// What of a grid one sheet of paper holds to be stepped along the work: a first column and row, dashed, to be laid on holes
/// that are there, and so many columns and an even number of rows beyond them.
pub struct Step {
    /// Sheets of paper across.
    pub columns: u32,
    /// Sheets of paper down.
    pub rows: u32,
    /// The drawing.
    pub svg: String,
}

/// The stepping template of a grid for a window of this size, mm; `None` when not even two rows and a column fit.
pub fn step(grid: &HoleGrid, room_mm: (f64, f64)) -> Option<Step> {
    let (half_x, half_y) = grid.opening.half_m();
    let (dx, dy) = (mm(grid.column_step_m), mm(grid.row_step_m));
    let shift = mm(grid.shift_m);
    let (rx, ry) = (mm(half_x), mm(half_y));
    let edge = 1.0;
    let columns = ((room_mm.0 - 2.0 * (rx + edge) - shift) / dx).floor().min(f64::from(grid.columns));
    let mut rows = ((room_mm.1 - 2.0 * (ry + edge)) / dy).floor().min(f64::from(grid.rows));
    if grid.shift_m > 0.0 && rows >= 2.0 {
        rows -= rows % 2.0;
    }
    if !(columns >= 1.0 && rows >= 1.0) {
        return None;
    }
    let (columns, rows) = (columns as u32, rows as u32);
    let (width, height) =
        (f64::from(columns) * dx + shift + 2.0 * (rx + edge), f64::from(rows) * dy + 2.0 * (ry + edge));
    let mut t = format!(
        "<svg class=\"true\" xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.3}mm\" height=\"{height:.3}mm\" viewBox=\"0 0 {width:.3} {height:.3}\" role=\"img\" aria-label=\"{columns} by {rows} holes at true scale; the dashed ones lie on holes already marked\"><g fill=\"none\" stroke=\"#000\" stroke-width=\"0.3\">"
    );
    for r in 0..=rows {
        for c in 0..=columns {
            let x = rx + edge + f64::from(c) * dx + if r % 2 == 1 { shift } else { 0.0 };
            let y = ry + edge + f64::from(r) * dy;
            hole(&mut t, grid.opening, (x, y), r == 0 || c == 0);
        }
    }
    Some(Step { columns, rows, svg: t + "</g></svg>" })
}
