//! A drawing larger than the paper, cut into sheets that overlap.

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paper {
    /// Its name, as CSS knows it.
    pub name: &'static str,
    /// Width and height, mm.
    pub size_mm: (f64, f64),
}

impl Paper {
    /// ISO 216.
    pub const A4: Paper = Paper { name: "A4", size_mm: (210.0, 297.0) };
    /// 8 1/2 by 11 in.
    pub const LETTER: Paper = Paper { name: "letter", size_mm: (215.9, 279.4) };

    /// The room for a drawing at true scale, mm.
    pub fn window_mm(self) -> (f64, f64) {
        (self.size_mm.0 - 2.0 * MARGIN_MM, self.size_mm.1 - 2.0 * MARGIN_MM - HEAD_MM)
    }
}

/// Edge of the paper that no printer is asked to print on.
pub const MARGIN_MM: f64 = 9.0;
/// Room for title and ruler above the drawing.
pub const HEAD_MM: f64 = 40.0;
/// How far neighbouring sheets overlap.
pub const OVERLAP_MM: f64 = 10.0;

/// Part of a drawing, mm: corner and size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Left edge, mm.
    pub x: f64,
    /// Upper edge, mm.
    pub y: f64,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
}

impl Window {
    /// Whether something with this middle and half size shows in it.
    pub fn shows(&self, (x, y): (f64, f64), (half_x, half_y): (f64, f64)) -> bool {
        x + half_x > self.x
            && x - half_x < self.x + self.width
            && y + half_y > self.y
            && y - half_y < self.y + self.height
    }
}

/// The sheets of a drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TileGrid {
    /// Sheets across.
    pub columns: u32,
    /// Sheets down.
    pub rows: u32,
    window: (f64, f64),
    size_mm: (f64, f64),
}

impl TileGrid {
    /// The sheets that a drawing of this size, m, takes.
    pub fn of(size_m: (f64, f64), paper: Paper) -> TileGrid {
        let size_mm = (1000.0 * size_m.0, 1000.0 * size_m.1);
        let window = paper.window_mm();
        TileGrid { columns: sheets(size_mm.0, window.0), rows: sheets(size_mm.1, window.1), window, size_mm }
    }

    /// What a sheet shows.
    pub fn window(&self, column: u32, row: u32) -> Window {
        let x = f64::from(column) * (self.window.0 - OVERLAP_MM);
        let y = f64::from(row) * (self.window.1 - OVERLAP_MM);
        Window { x, y, width: self.window.0.min(self.size_mm.0 - x), height: self.window.1.min(self.size_mm.1 - y) }
    }

    /// All sheets, row by row.
    pub fn windows(&self) -> impl Iterator<Item = (u32, u32, Window)> + '_ {
        (0..self.rows).flat_map(move |r| (0..self.columns).map(move |c| (c, r, self.window(c, r))))
    }

    /// Points in the middle of the overlaps, where neighbouring sheets are laid cross on cross, mm.
    pub fn crosses(&self) -> Vec<(f64, f64)> {
        let at = |k: u32, window: f64| f64::from(k) * (window - OVERLAP_MM) + 0.5 * OVERLAP_MM;
        let mut list = Vec::new();
        for r in 0..=self.rows {
            for c in 0..=self.columns {
                list.push((at(c, self.window.0), at(r, self.window.1)));
            }
        }
        list
    }

    /// Name of a sheet: letter of its row, number in the row.
    pub fn name(column: u32, row: u32) -> String {
        let mut letters = String::new();
        let mut n = row + 1;
        while n > 0 {
            let letter = char::from(b'A' + ((n - 1) % 26) as u8);
            letters.insert(0, letter);
            n = (n - 1) / 26;
        }
        format!("{letters}{}", column + 1)
    }
}

fn sheets(size_mm: f64, window_mm: f64) -> u32 {
    (((size_mm - OVERLAP_MM) / (window_mm - OVERLAP_MM)).ceil()).max(1.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_sheets_cover_the_drawing_and_overlap() {
        for paper in [Paper::A4, Paper::LETTER] {
            for size in [(2.893, 1.829), (0.1, 0.05), (0.192, 0.24), (0.382, 3.1), (19.0, 0.2)] {
                let grid = TileGrid::of(size, paper);
                let (width, height) = paper.window_mm();
                let last = grid.window(grid.columns - 1, grid.rows - 1);
                assert!((last.x + last.width - 1000.0 * size.0).abs() < 1e-9 || size.0 * 1000.0 < width);
                assert!(
                    last.x + last.width >= 1000.0 * size.0 - 1e-9 && last.y + last.height >= 1000.0 * size.1 - 1e-9
                );
                for (c, r, w) in grid.windows() {
                    assert!(w.width > 0.0 && w.height > 0.0 && w.width <= width + 1e-9 && w.height <= height + 1e-9);
                    if c > 0 {
                        let before = grid.window(c - 1, r);
                        assert!((before.x + width - w.x - OVERLAP_MM).abs() < 1e-9);
                    }
                }
            }
        }
    }

    #[test]
    fn identity_names_of_sheets() {
        let names = [(0, 0), (11, 0), (0, 25), (3, 26)].map(|(c, r)| TileGrid::name(c, r));
        assert_eq!(names, ["A1", "A12", "Z1", "AA4"]);
    }
}
