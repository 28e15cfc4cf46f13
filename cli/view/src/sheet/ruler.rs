//! The ruler that tells whether the printer kept the scale.

use std::fmt::Write as _;

/// Length of the metric ruler.
pub const METRIC_MM: f64 = 100.0;
/// Length of the inch ruler, 4 in.
pub const INCH_MM: f64 = 4.0 * 25.4;
/// Size of the drawing of both.
pub const SIZE_MM: (f64, f64) = (122.0, 22.0);

/// Both rulers as SVG elements in millimetres, the zero of both at the given point.
pub fn marks(x: f64, y: f64) -> String {
    let mut t = String::new();
    scale(&mut t, "ruler-mm", x, y + 6.0, METRIC_MM, 10.0, "100 mm");
    scale(&mut t, "ruler-in", x, y + 17.0, INCH_MM, 12.7, "4 in");
    t
}

fn scale(t: &mut String, class: &str, x: f64, y: f64, length: f64, step: f64, words: &str) {
    let end = x + length;
    let _ = write!(
        t,
        "<line class=\"{class}\" x1=\"{x}\" y1=\"{y}\" x2=\"{end}\" y2=\"{y}\" stroke=\"#000\" stroke-width=\"0.5\"/>"
    );
    let ticks = (length / step).round() as u32;
    for k in 0..=ticks {
        let at = x + f64::from(k) * step;
        let tall = if k == 0 || k == ticks {
            5.0
        } else if k % 2 == 0 {
            3.0
        } else {
            2.0
        };
        let _ = write!(
            t,
            "<line x1=\"{at:.3}\" y1=\"{y}\" x2=\"{at:.3}\" y2=\"{:.3}\" stroke=\"#000\" stroke-width=\"0.25\"/>",
            y - tall
        );
    }
    let _ = write!(t, "<text x=\"{:.2}\" y=\"{:.2}\" font-size=\"4\" font-weight=\"700\">{words}</text>", end + 1.5, y);
}

/// The ruler as a drawing of its own at true scale.
pub fn svg() -> String {
    let (w, h) = SIZE_MM;
    format!(
        "<svg class=\"ruler\" xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" role=\"img\" aria-label=\"Ruler of 100 mm and of 4 in to check the scale of the print\">{}</svg>",
        marks(0.5, 2.0)
    )
}
