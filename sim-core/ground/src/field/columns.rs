//! The columns of the three field sheets, with the headings that people give them.

use super::sheet::{Column, Content};
use washgraph_units::quantity::Dimension;

const fn column(key: &'static str, also: &'static [&'static str], content: Content, meaning: &'static str) -> Column {
    let unit = match content {
        Content::Quantity(Dimension::SieveSize) => "mm",
        Content::Quantity(Dimension::Mass) => "kg",
        Content::Quantity(Dimension::Volume) => "L loose",
        Content::Quantity(_) => "%",
        _ => "",
    };
    Column { key, also, content, unit, meaning }
}

const SIZE: Content = Content::Quantity(Dimension::SieveSize);
const MASS: Content = Content::Quantity(Dimension::Mass);
const SHARE: Content = Content::Quantity(Dimension::Fraction);
const VOLUME: Content = Content::Quantity(Dimension::Volume);

/// Columns of a sheet of sieve tests.
pub mod sieves {
    use super::*;

    /// Which test.
    pub const PIT: usize = 0;
    /// The sieve, or `pan`.
    pub const SIZE_COLUMN: usize = 1;
    /// Share that passes.
    pub const PASSING: usize = 2;
    /// Mass that stays on the sieve.
    pub const RETAINED: usize = 3;
    /// Mass before sieving.
    pub const SAMPLE: usize = 4;
    /// Weighed wet or dry.
    pub const WEIGHED: usize = 5;
    /// Water over wet mass of what was weighed wet.
    pub const MOISTURE: usize = 6;
    /// Clay lumps picked from that sieve.
    pub const LUMPS: usize = 7;

    /// The columns.
    pub const COLUMNS: &[Column] = &[
        column("pit", &["test", "sample", "hole", "bucket", "trench"], Content::Text, "which pit or bucket"),
        column(
            "size",
            &["sieve", "sieve size", "opening", "screen", "mesh", "screen size", "sieve opening"],
            SIZE,
            "the sieve; `pan` for what passes the finest",
        ),
        column(
            "passing",
            &["finer", "percent passing", "passing percent", "percent finer", "cumulative passing", "share passing"],
            SHARE,
            "share of the whole sample that passes this sieve",
        ),
        column(
            "retained",
            &["mass retained", "weight retained", "on sieve", "mass on sieve", "mass", "weight", "held"],
            MASS,
            "mass that stays on this sieve",
        ),
        column(
            "sample_mass",
            &["total", "total mass", "total weight", "sample weight", "sample", "mass before", "weight before"],
            MASS,
            "mass before sieving",
        ),
        column("weighed", &["condition", "wet or dry", "state"], Content::Text, "wet or dry"),
        column("moisture", &["water content"], SHARE, "water over wet mass, when weighed wet"),
        column("clay_lumps", &["lumps", "clay", "clay balls"], MASS, "clay lumps picked from this sieve"),
    ];
}

/// Columns of a count of stones on a pit wall or along a line.
pub mod stones {
    use super::*;

    /// Which wall.
    pub const PIT: usize = 0;
    /// Lower bound of a class.
    pub const FROM: usize = 1;
    /// Upper bound of a class.
    pub const TO: usize = 2;
    /// Size of a single stone.
    pub const SIZE_COLUMN: usize = 3;
    /// How many.
    pub const STONES: usize = 4;

    /// The columns.
    pub const COLUMNS: &[Column] = &[
        column("pit", &["wall", "line", "face"], Content::Text, "which wall"),
        column("from", &["coarser than", "over", "on", "lower"], SIZE, "lower bound of the class; empty for the rest"),
        column("to", &["finer than", "under", "through", "upper"], SIZE, "upper bound of the class"),
        column("size", &["axis", "middle axis", "b axis", "width"], SIZE, "middle axis of one stone"),
        column(
            "stones",
            &["count", "number", "n", "points", "hits"],
            Content::Number,
            "stones (or points on the line)",
        ),
    ];
}

/// Columns of a sheet of pans and bulk samples.
pub mod gold {
    use super::*;

    /// Which sample.
    pub const SAMPLE: usize = 0;
    /// Volume of ground washed.
    pub const VOLUME_COLUMN: usize = 1;
    /// Number of pans.
    pub const PANS: usize = 2;
    /// What one pan holds.
    pub const PAN_VOLUME: usize = 3;
    /// Sieve that passes the class.
    pub const THROUGH: usize = 4;
    /// Sieve that retains it.
    pub const ON: usize = 5;
    /// Number of colours.
    pub const COLOURS: usize = 6;
    /// Their weight.
    pub const WEIGHT: usize = 7;
    /// Raw or fine.
    pub const GOLD: usize = 8;
    /// What it was washed with.
    pub const WASHED: usize = 9;

    /// The columns.
    pub const COLUMNS: &[Column] = &[
        column("sample", &["pit", "hole", "pan", "bucket", "test"], Content::Text, "which sample"),
        column(
            "volume",
            &["volume washed", "washed", "ground", "sample volume"],
            VOLUME,
            "ground washed, loose or bank",
        ),
        column("pans", &["number of pans"], Content::Number, "pans of loose ground, instead of the volume"),
        column("pan_volume", &["volume of pan", "pan size"], VOLUME, "what one struck pan holds"),
        column("through", &["passes", "finer than", "passing", "under"], SIZE, "sieve that passes the class"),
        column("on", &["retained on", "coarser than", "over", "held on"], SIZE, "sieve that retains the class"),
        column("colours", &["colors", "count", "grains", "number", "n"], Content::Number, "colours counted"),
        Column {
            key: "weight",
            also: &["mass", "gold weight", "gold mass"],
            content: MASS,
            unit: "mg",
            meaning: "their weight",
        },
        column("gold", &["raw or fine", "kind"], Content::Text, "raw or fine weight"),
        column("washed_with", &["method", "washed by", "with", "tool"], Content::Text, "pan, sluice, rocker, ..."),
    ];
}
