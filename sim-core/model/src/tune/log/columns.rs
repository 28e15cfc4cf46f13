//! The columns of a field log. Each has one meaning for all observations; each observation says which of them it reads.

use sim_core::field::{Column, Content};
use sim_core::quantity::Dimension as D;

const fn quantity(
    key: &'static str,
    also: &'static [&'static str],
    dimension: D,
    unit: &'static str,
    meaning: &'static str,
) -> Column {
    Column { key, also, content: Content::Quantity(dimension), unit, meaning }
}
const fn number(key: &'static str, also: &'static [&'static str], meaning: &'static str) -> Column {
    Column { key, also, content: Content::Number, unit: "", meaning }
}
const fn text(key: &'static str, also: &'static [&'static str], meaning: &'static str) -> Column {
    Column { key, also, content: Content::Text, unit: "", meaning }
}

/// Numbers of the columns.
pub mod column {
    /// Day.
    pub const DATE: usize = 0;
    /// Which observation.
    pub const WHAT: usize = 1;
    /// Where in the plant.
    pub const AT: usize = 2;
    /// Ground washed.
    pub const WASHED: usize = 3;
    /// Volume of a sample or a bucket.
    pub const VOLUME: usize = 4;
    /// Pans.
    pub const PANS: usize = 5;
    /// What a pan holds.
    pub const PAN_VOLUME: usize = 6;
    /// Cuts of the stream that make up a sample.
    pub const CUTS: usize = 7;
    /// Mass of a sample.
    pub const SAMPLE: usize = 8;
    /// A sieve.
    pub const SIEVE: usize = 9;
    /// Mass through that sieve.
    pub const UNDERSIZE: usize = 10;
    /// Dried fines.
    pub const FINES: usize = 11;
    /// Sieve that passes a class of gold.
    pub const THROUGH: usize = 12;
    /// Sieve that retains it.
    pub const ON: usize = 13;
    /// Colours.
    pub const COLOURS: usize = 14;
    /// Weight of gold.
    pub const WEIGHT: usize = 15;
    /// Share that the pan keeps.
    pub const KEPT: usize = 16;
    /// Raw or fine.
    pub const GOLD: usize = 17;
    /// What a sample was washed with.
    pub const WASHED_WITH: usize = 18;
    /// Whether clay lumps were broken up.
    pub const LUMPS: usize = 19;
    /// A time.
    pub const TIME: usize = 20;
    /// A place along the drum.
    pub const PLACE: usize = 21;
    /// A depth.
    pub const DEPTH: usize = 22;
    /// Test of clay lumps.
    pub const TEST: usize = 23;
    /// Size of the lumps.
    pub const LUMP: usize = 24;
    /// Share left of them.
    pub const LEFT: usize = 25;
    /// Pressure.
    pub const PRESSURE: usize = 26;
    /// Pressure to start.
    pub const STARTING: usize = 27;
    /// Holes caught.
    pub const HOLES: usize = 28;
    /// Speed of turning.
    pub const TURNS: usize = 29;
    /// Speed of water.
    pub const SPEED: usize = 30;
    /// Where the speed was taken.
    pub const SPEED_OF: usize = 31;
    /// Buckets.
    pub const BUCKETS: usize = 32;
    /// What a bucket holds.
    pub const BUCKET: usize = 33;
    /// Share that hangs.
    pub const HANGING: usize = 34;
    /// Depth that has cleared.
    pub const CLEARED: usize = 35;
    /// Error of each number.
    pub const ERROR: usize = 36;
    /// Error that all numbers share.
    pub const SHARED_ERROR: usize = 37;
    /// The number of a reading that a kind declares.
    pub const VALUE: usize = 38;
}

/// Number of the column of a key.
pub fn numbered(key: &str) -> Option<usize> {
    COLUMNS.iter().position(|c| c.key == key)
}

/// The columns.
pub const COLUMNS: &[Column] = &[
    text("date", &["day"], "day of the observation, 2026-06-12"),
    text("what", &["observation"], "which observation"),
    text("at", &["where", "stage", "outlet"], "stage or water outlet of the scenario; not needed where only one fits"),
    quantity(
        "washed",
        &["ground washed", "washed volume"],
        D::Volume,
        "yd3 loose",
        "ground washed since the last clean-up, loose or bank",
    ),
    quantity(
        "volume",
        &["sample volume"],
        D::Volume,
        "L loose",
        "volume of the sample, or of the bucket that was filled",
    ),
    number("pans", &["number of pans"], "struck pans, instead of the volume"),
    quantity("pan_volume", &["volume of pan", "pan size"], D::Volume, "L loose", "what one struck pan holds"),
    number("cuts", &["sweeps"], "cuts of the whole stream that make up the sample, some time apart"),
    quantity(
        "sample",
        &["sample mass", "sample weight"],
        D::Mass,
        "kg",
        "mass of the sample before it is washed, drained",
    ),
    quantity("sieve", &["sieve size", "opening"], D::SieveSize, "mm", "sieve through which the sample was washed"),
    quantity("undersize", &["through the sieve"], D::Mass, "kg", "mass that went through that sieve"),
    quantity("fines", &["dried fines", "fines dry"], D::Mass, "g", "dry mass of what the rinse water left"),
    quantity(
        "through",
        &["passes", "finer than", "passing", "under"],
        D::SieveSize,
        "mm",
        "sieve that passes the class of gold",
    ),
    quantity("on", &["retained on", "coarser than", "over", "held on"], D::SieveSize, "mm", "sieve that retains it"),
    number("colours", &["colors", "count", "grains"], "colours counted in the class; 0 counts too"),
    quantity("weight", &["gold weight", "gold mass"], D::Mass, "mg", "weight of the gold"),
    quantity(
        "kept",
        &["pan keeps"],
        D::Fraction,
        "%",
        "share of such colours that your panning keeps: pan a known number",
    ),
    text("gold", &["raw or fine"], "raw or fine weight"),
    text("washed_with", &["method", "washed by", "tool"], "pan, sluice, rocker, laboratory"),
    text("clay_lumps", &["lumps"], "broken (rubbed to mud before panning) or left"),
    quantity("time", &["running time", "run", "seconds"], D::Time, "s", "time taken, or time since the start"),
    text("place", &["position"], "feed end, ring, outlet, or the distance from the feed end"),
    quantity("depth", &["bed depth", "water depth"], D::Length, "in", "depth"),
    text("test", &["clay test"], "mixer, slake or jar"),
    quantity("lump", &["lump size"], D::Length, "in", "size of the lumps at the start"),
    quantity("left", &["weight left"], D::Fraction, "%", "share of their weight left after the time"),
    quantity("pressure", &["running pressure", "gauge"], D::Pressure, "psi", "what the gauge shows"),
    quantity(
        "starting_pressure",
        &["starting", "pressure to start"],
        D::Pressure,
        "psi",
        "what it shows as the drum starts",
    ),
    number("holes", &["holes caught"], "holes caught in the bucket; without it all of the outlet"),
    quantity("turns", &["rpm", "pump speed"], D::RotationSpeed, "rpm", "speed of turning"),
    quantity("speed", &["velocity", "water speed"], D::Velocity, "ft/s", "speed of the water"),
    text("speed_of", &["speed taken of"], "surface (a float) or mean"),
    number("buckets", &["loads"], "buckets fed in the time"),
    quantity("bucket", &["bucket volume", "load"], D::Volume, "yd3 loose", "what a bucket holds, as heaped in use"),
    quantity("hanging", &["still hanging"], D::Fraction, "%", "share of the dirt that still hangs at the depth"),
    quantity(
        "cleared",
        &["clear to", "clear depth"],
        D::Length,
        "in",
        "depth of clear water over the line of the dirt",
    ),
    quantity("error", &["give or take"], D::Fraction, "%", "what each number may be off by (standard deviation)"),
    quantity("shared_error", &["common error"], D::Fraction, "%", "what all numbers may be off by together"),
    text("value", &["number read"], "what was read, with its unit"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_columns_stand_at_their_numbers() {
        for (at, key) in [
            (column::DATE, "date"),
            (column::CUTS, "cuts"),
            (column::FINES, "fines"),
            (column::LUMPS, "clay_lumps"),
            (column::PRESSURE, "pressure"),
            (column::SPEED_OF, "speed_of"),
            (column::SHARED_ERROR, "shared_error"),
            (column::VALUE, "value"),
        ] {
            assert_eq!(COLUMNS[at].key, key);
        }
        assert_eq!(COLUMNS.len(), column::VALUE + 1);
        // No heading may mean two columns.
        let mut names: Vec<String> = Vec::new();
        for c in COLUMNS {
            names.push(c.key.replace('_', " "));
            names.extend(c.also.iter().map(|a| a.to_string()));
        }
        names.sort();
        let all = names.len();
        names.dedup();
        assert_eq!(names.len(), all);
    }
}
