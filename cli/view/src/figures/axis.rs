//! A frame for curves: size on a logarithmic axis, anything else on a plain one.

use plotters::prelude::DrawingBackend;
use sim_core::math::{ln, log10, pow};
use sim_core::quantity::US_NUMBERS_MM;

use crate::figures::FigureError;
use crate::figures::sheet::{Hang, Point, Sheet, width_of};
use crate::figures::style::{INK, QUIET, RULE, SOLID, TEXT};
use crate::numbers::mm;

/// A frame: left, right, top, bottom in units, and what they stand for.
#[derive(Debug, Clone, Copy)]
pub struct Frame {
    pub left: f64,
    pub right: f64,
    pub top: f64,
    pub bottom: f64,
    pub x: (f64, f64),
    pub y: (f64, f64),
    /// Whether x is logarithmic.
    pub log: bool,
}

const SIZE_TICKS_MM: [f64; 14] = [0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
const INCHES: [(&str, f64); 8] = [
    ("1/4 in", 0.25),
    ("1/2 in", 0.5),
    ("3/4 in", 0.75),
    ("1 in", 1.0),
    ("2 in", 2.0),
    ("4 in", 4.0),
    ("6 in", 6.0),
    ("12 in", 12.0),
];
const NUMBERS_SHOWN: [f64; 11] = [635.0, 325.0, 200.0, 120.0, 100.0, 60.0, 30.0, 18.0, 10.0, 5.0, 4.0];

impl Frame {
    /// Place of a value across.
    pub fn across(&self, x: f64) -> f64 {
        let (a, b) = self.x;
        let f = if self.log { ln(x.max(a) / a) / ln(b / a) } else { (x - a) / (b - a) };
        self.left + f * (self.right - self.left)
    }

    /// Place of a value upwards.
    pub fn up(&self, y: f64) -> f64 {
        let (a, b) = self.y;
        self.bottom - (y - a) / (b - a) * (self.bottom - self.top)
    }

    /// Place of a point.
    pub fn at(&self, (x, y): Point) -> Point {
        (self.across(x), self.up(y))
    }

    /// Level rules with labels on the left.
    pub fn levels<B: DrawingBackend>(&self, sheet: &Sheet<'_, B>, ticks: &[(f64, String)]) -> Result<(), FigureError> {
        for (value, label) in ticks {
            let y = self.up(*value);
            sheet.line(&[(self.left, y), (self.right, y)], 1.0, RULE, SOLID)?;
            sheet.text(label, (self.left - 8.0, y), Hang::Left, QUIET)?;
        }
        Ok(())
    }

    /// The size axis below the frame: millimetres, and a second row of sieve numbers and inches. Takes 84 units.
    pub fn sizes<B: DrawingBackend>(&self, sheet: &Sheet<'_, B>, name: &str) -> Result<(), FigureError> {
        sheet.line(&[(self.left, self.bottom), (self.right, self.bottom)], 1.5, INK, SOLID)?;
        let inside = |x: f64| x >= self.x.0 * 0.999 && x <= self.x.1 * 1.001;
        let first: Vec<(String, f64)> = SIZE_TICKS_MM.iter().filter(|x| inside(**x)).map(|x| (mm(*x), *x)).collect();
        let numbers = NUMBERS_SHOWN.iter().filter_map(|n| US_NUMBERS_MM.iter().find(|(m, _)| m == n));
        let mut second: Vec<(String, f64)> = numbers.map(|(n, size)| (format!("No. {n}"), *size)).collect();
        second.extend(INCHES.iter().map(|(label, inches)| ((*label).to_string(), inches * 25.4)));
        second.retain(|(_, x)| inside(*x));
        for (row, (ticks, color)) in [(first, INK), (second, QUIET)].into_iter().enumerate() {
            let y = self.bottom + 20.0 + 26.0 * row as f64;
            let mut free = f64::NEG_INFINITY;
            for (label, value) in ticks {
                let (x, half) = (self.across(value), width_of(&label, TEXT, false) / 2.0);
                if x - half < free || x + half > self.right + 24.0 {
                    continue;
                }
                free = x + half + 10.0;
                if row == 0 {
                    sheet.line(&[(x, self.bottom), (x, self.bottom + 7.0)], 1.5, INK, SOLID)?;
                }
                sheet.text(&label, (x, y + 4.0), Hang::Middle, color)?;
            }
        }
        sheet.text(name, ((self.left + self.right) / 2.0, self.bottom + 76.0), Hang::Middle, INK)
    }
}

/// Height that [`Frame::sizes`] takes.
pub const SIZES_HEIGHT: f64 = 96.0;

/// Round steps from 0 to at least `top`, at most six of them.
pub fn steps(top: f64) -> Vec<f64> {
    if !(top > 0.0 && top.is_finite()) {
        return vec![0.0, 1.0];
    }
    let rough = top / 4.0;
    let ten = pow(10.0, log10(rough).floor());
    let step = [1.0, 2.0, 2.5, 5.0, 10.0].iter().map(|f| f * ten).find(|s| *s >= rough * 0.999).unwrap_or(rough);
    let n = (top / step * 0.9999).ceil() as usize;
    (0..=n).map(|i| i as f64 * step).collect()
}
