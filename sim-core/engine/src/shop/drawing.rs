//! Drawings as pure geometry, in metres: x to the right, y down.

use washgraph_units::quantity::Phrase;

/// The shape of a hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Opening {
    /// Diameter, m.
    Round(f64),
    /// Side, m.
    Square(f64),
    /// Width across x and length along y, m; ends are round.
    Slot(f64, f64),
}

impl Opening {
    /// Area, m2. Source: geometry.
    pub fn area_m2(self) -> f64 {
        use core::f64::consts::PI;
        match self {
            Opening::Round(d) => 0.25 * PI * d * d,
            Opening::Square(s) => s * s,
            Opening::Slot(w, l) => w * (l - w) + 0.25 * PI * w * w,
        }
    }

    /// Half its extent across x and along y, m.
    pub fn half_m(self) -> (f64, f64) {
        match self {
            Opening::Round(d) => (0.5 * d, 0.5 * d),
            Opening::Square(s) => (0.5 * s, 0.5 * s),
            Opening::Slot(w, l) => (0.5 * w, 0.5 * l),
        }
    }
}

/// Rows of equal holes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoleGrid {
    /// Their shape.
    pub opening: Opening,
    /// Middle of the first hole of the first row, m.
    pub first_m: (f64, f64),
    /// Holes in a row.
    pub columns: u32,
    /// Rows.
    pub rows: u32,
    /// Distance of neighbours in a row, m.
    pub column_step_m: f64,
    /// Distance of rows, m.
    pub row_step_m: f64,
    /// How far every second row is set off, m.
    pub shift_m: f64,
}

impl HoleGrid {
    /// Number of holes.
    pub fn count(&self) -> u64 {
        u64::from(self.columns) * u64::from(self.rows)
    }

    /// Area of all holes, m2.
    pub fn area_m2(&self) -> f64 {
        self.count() as f64 * self.opening.area_m2()
    }

    /// Middle of a hole, m.
    pub fn centre_m(&self, column: u32, row: u32) -> (f64, f64) {
        let shift = if row % 2 == 1 { self.shift_m } else { 0.0 };
        (
            self.first_m.0 + shift + f64::from(column) * self.column_step_m,
            self.first_m.1 + f64::from(row) * self.row_step_m,
        )
    }

    /// Middles of all holes, row by row, m.
    pub fn centres_m(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        (0..self.rows).flat_map(move |r| (0..self.columns).map(move |c| self.centre_m(c, r)))
    }
}

/// How a line is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stroke {
    /// Cut or edge.
    Edge,
    /// Centre line, or something behind.
    Dashed,
    /// Dimension or helping line.
    Thin,
}

/// A mark on a drawing.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// Rows of holes.
    Holes(HoleGrid),
    /// A circle by middle and diameter, m.
    Circle((f64, f64), f64, Stroke),
    /// A line from one point to another, m.
    Line((f64, f64), (f64, f64), Stroke),
    /// A rectangle by corner and size, m.
    Rectangle((f64, f64), (f64, f64), Stroke),
    /// A line with arrow heads and words at its middle: a dimension. From, to, words.
    Span((f64, f64), (f64, f64), Phrase),
    /// Words at a point, set to its right.
    Label((f64, f64), Phrase),
}

/// What a drawing is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// Printed at true scale and laid on the work.
    Template,
    /// To look at; dimensions count, not the scale.
    Picture,
}

/// A drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Short name for files, kebab-case.
    pub name: String,
    /// Title.
    pub title: String,
    /// Size, m.
    pub size_m: (f64, f64),
    /// What runs to the right, e.g. `around the drum`.
    pub across: String,
    /// What runs down, e.g. `along the drum, feed end on top`.
    pub down: String,
    /// The left and the right edge are the same line once it is rolled up.
    pub closes: bool,
    /// What it is for.
    pub purpose: Purpose,
    /// Its marks.
    pub marks: Vec<Mark>,
    /// What it shows, in words, for those who cannot see it.
    pub alt: Phrase,
}

impl Drawing {
    /// Its grids of holes.
    pub fn grids(&self) -> impl Iterator<Item = &HoleGrid> {
        self.marks.iter().filter_map(|m| match m {
            Mark::Holes(grid) => Some(grid),
            _ => None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_count_times_hole_area_is_the_open_area() {
        let grid = HoleGrid {
            opening: Opening::Round(0.0127),
            first_m: (0.01, 0.02),
            columns: 7,
            rows: 4,
            column_step_m: 0.019,
            row_step_m: 0.0165,
            shift_m: 0.0095,
        };
        let centres: Vec<_> = grid.centres_m().collect();
        assert_eq!(centres.len() as u64, grid.count());
        assert!((grid.area_m2() - 28.0 * 1.266_768_697_745e-4).abs() < 1e-12);
        assert_eq!(centres[7], (0.01 + 0.0095, 0.02 + 0.0165));
        // A slot as long as it is wide is a round hole.
        assert!((Opening::Slot(0.01, 0.01).area_m2() - Opening::Round(0.01).area_m2()).abs() < 1e-18);
    }
}
