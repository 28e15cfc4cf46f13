//! Empty field sheets with invented rows, for the owner to write over.

/// A field sheet to be filled in.
#[derive(Debug, Clone, Copy)]
pub struct Template {
    /// Name of its sheet in a workbook, and end of its file name.
    pub name: &'static str,
    /// What it is, for the first line.
    pub title: &'static str,
    /// Headings with units.
    pub headings: &'static [&'static str],
    /// Rows; a cell of digits is a number.
    pub rows: &'static [&'static [&'static str]],
}

impl Template {
    /// As CSV.
    pub fn csv(&self) -> String {
        let mut text = format!("# {}\n", self.title);
        for row in std::iter::once(&self.headings).chain(self.rows) {
            text += &row.join(",");
            text.push('\n');
        }
        text
    }
}

/// The three sheets.
pub const ALL: [Template; 3] = [SIEVES, STONES, PANS];

/// Sieve tests.
pub const SIEVES: Template = Template {
    name: "sieves",
    title: "Sieve tests. Invented figures: write your own over them. One row a sieve; `pan` is what passed the finest.",
    headings: &["pit", "sieve", "retained (kg)", "sample mass (kg)", "clay lumps (kg)"],
    rows: &[
        &["A", "3 in", "9.1", "133.3", "0"],
        &["A", "2 in", "9.4", "", "1.6"],
        &["A", "1 in", "17.8", "", "2.3"],
        &["A", "1/2 in", "19.2", "", "1.2"],
        &["A", "1/4 in", "16.7", "", "0.4"],
        &["A", "US 10", "19.1", "", ""],
        &["A", "US 30", "16.3", "", ""],
        &["A", "US 60", "8.9", "", ""],
        &["A", "US 200", "6.2", "", ""],
        &["A", "pan", "4.9", "", ""],
        &["B", "3 in", "7.3", "128.9", "0"],
        &["B", "2 in", "8.6", "", "1.1"],
        &["B", "1 in", "18.3", "", "1.9"],
        &["B", "1/2 in", "18.8", "", "1.0"],
        &["B", "1/4 in", "17.1", "", "0.3"],
        &["B", "US 10", "19.6", "", ""],
        &["B", "US 30", "15.8", "", ""],
        &["B", "US 60", "8.4", "", ""],
        &["B", "US 200", "5.9", "", ""],
        &["B", "pan", "4.6", "", ""],
    ],
};

/// Stones on the wall.
pub const STONES: Template = Template {
    name: "stones",
    title: "Stones on the pit wall: a tape along the wall, one point every foot. Invented figures: write your own over them.",
    headings: &["from", "to", "stones"],
    rows: &[
        &["", "2 in", "251"],
        &["2 in", "3 in", "22"],
        &["3 in", "4 in", "13"],
        &["4 in", "6 in", "9"],
        &["6 in", "10 in", "5"],
    ],
};

/// Pans and bulk samples.
pub const PANS: Template = Template {
    name: "pans",
    title: "Pans and bulk samples: raw gold by sieve class; a weight without sieves counts for the grade alone. Invented figures: write your own over them.",
    headings: &["sample", "volume (L loose)", "through", "on", "colours", "weight (mg)", "washed with"],
    rows: &[
        &["A1", "60", "US 10", "US 18", "0", "", "pan"],
        &["A1", "", "US 18", "US 30", "1", "1.9", ""],
        &["A1", "", "US 30", "US 50", "7", "3.6", ""],
        &["A1", "", "US 50", "US 100", "27", "1.9", ""],
        &["A1", "", "US 100", "US 200", "41", "0.5", ""],
        &["A2", "60", "US 10", "US 18", "1", "11.2", "pan"],
        &["A2", "", "US 18", "US 30", "2", "4.4", ""],
        &["A2", "", "US 30", "US 50", "9", "4.9", ""],
        &["A2", "", "US 50", "US 100", "22", "1.6", ""],
        &["A2", "", "US 100", "US 200", "38", "0.4", ""],
        &["B1", "60", "US 18", "US 30", "2", "3.7", "pan"],
        &["B1", "", "US 30", "US 50", "5", "2.8", ""],
        &["B1", "", "US 50", "US 100", "31", "2.2", ""],
        &["B1", "", "US 100", "US 200", "47", "0.5", ""],
        &["B2", "60", "US 30", "US 50", "8", "4.1", "pan"],
        &["B2", "", "US 50", "US 100", "24", "1.7", ""],
        &["B2", "", "US 100", "US 200", "36", "0.4", ""],
    ],
};
