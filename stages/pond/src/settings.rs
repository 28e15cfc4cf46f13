//! Settings of the pond.

use sim_core::constants::S_PER_DAY;
use sim_core::draw::Nature;
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stats::{Spread, SpreadError};

/// A millimetre a day, m/s.
const MM_DAY: f64 = 1e-3 / S_PER_DAY;

/// Grain as fast as the clay, by the word of `clay`. Assumed.
fn clay_grain(clay: &str) -> Result<Spread, SpreadError> {
    match clay {
        "dispersed" => Spread::split_log_normal(0.7e-6, 1.2e-6, 2.5e-6),
        "flocculated" => Spread::split_log_normal(10e-6, 15e-6, 30e-6),
        _ => Spread::split_log_normal(1.5e-6, 5e-6, 15e-6),
    }
}

/// Settings of the pond, uncertain inputs included.
pub(crate) const SETTINGS: &[Setting] = &[
    Setting::required("area", Dimension::Area, (4.0, 1e7), "surface of the pond; of several in a row together"),
    Setting::optional("depth", Dimension::Length, (0.2, 30.0), "mean depth when full; or give the volume"),
    Setting::optional("volume", Dimension::Volume, (1.0, 1e8), "water that it holds when full; or give the depth"),
    Setting::uncertain(
        "tanks",
        Dimension::Number,
        || Spread::triangular(1.0, 2.0, 3.0),
        (0.5, 50.0),
        Nature::Ignorance,
        "still tanks in a row that it is worth: 1 where water runs straight across, 2-3 usual, more for ponds in a row",
        "Hazen's tanks as given by Fair and Geyer, from memory; range assumed",
    ),
    Setting::usual(
        "recycled",
        Dimension::Fraction,
        "100 %",
        (0.0, 1.0),
        "share of the water of all outlets that is drawn from the pond; the rest is fresh",
    ),
    Setting::optional(
        "fresh",
        Dimension::Flow,
        (0.0, 10.0),
        "most fresh water that may be taken, averaged around the clock; without it there is always enough",
    ),
    Setting::usual("bleed", Dimension::Flow, "0 US gpm", (0.0, 10.0), "water let out for good while the plant runs"),
    Setting::uncertain(
        "seepage",
        Dimension::Velocity,
        || Spread::split_log_normal(1e-8, 1e-7, 1e-6),
        (0.0, 1e-3),
        Nature::Ignorance,
        "fall of the water line by seepage",
        "assumed: Darcy with a bed between tight silt and silty sand; mark the line on a stake for a day to know it",
    ),
    Setting::usual(
        "seepage_carries",
        Dimension::Fraction,
        "0 %",
        (0.0, 1.0),
        "share of the seepage that takes hanging fines along",
    ),
    Setting::uncertain(
        "evaporation",
        Dimension::Velocity,
        || Spread::triangular(2.0 * MM_DAY, 4.0 * MM_DAY, 6.0 * MM_DAY),
        (0.0, 1e-6),
        Nature::Variability,
        "fall of the water line by evaporation",
        "200-390 mm a summer on Mackenzie delta lakes; Fort Collins pan 4-6 mm a day, of which lakes lose 0.7",
    ),
    Setting::uncertain(
        "rain",
        Dimension::Velocity,
        || Spread::triangular(0.0, MM_DAY, 3.0 * MM_DAY),
        (0.0, 1e-5),
        Nature::Variability,
        "rain on the pond and on what drains into it, as a rise of its water line",
        "assumed, a dry to a middling summer",
    ),
    Setting::usual("springs", Dimension::Flow, "0 US gpm", (0.0, 10.0), "clean water that runs in by itself"),
    Setting::uncertain(
        "pile_moisture",
        Dimension::Fraction,
        || Spread::triangular(0.126, 0.18, 0.234),
        (0.0, 0.6),
        Nature::Ignorance,
        "water over wet mass of the drained tailings pile",
        "assumed, 18 % give or take a third",
    ),
    Setting::uncertain(
        "mud_dry_density",
        Dimension::Density,
        || Spread::triangular(400.0, 700.0, 1000.0),
        (100.0, 1600.0),
        Nature::Ignorance,
        "dry solids in a volume of pond mud",
        "assumed: 700 kg/m3 is mud that is half water by mass",
    ),
    Setting::uncertain(
        "silt_curve",
        Dimension::Number,
        || Spread::triangular(0.4, 0.7, 1.0),
        (0.1, 3.0),
        Nature::Ignorance,
        "shape of the silt under 0.045 mm: the share finer than d is (d/0.045 mm) to this power",
        "assumed; form of Gaudin and Schuhmann for crushed ore",
    ),
    Setting::choice(
        "clay",
        &[
            ("as-it-is", "not known: somewhere between single plates and flakes of mud"),
            ("dispersed", "stays milky for days: soft water, no salts"),
            ("flocculated", "clumps and clears within the hour, by itself or because you dose it"),
        ],
        Preset::Text("as-it-is"),
        "how the freed clay behaves in the pond, where no jar was timed",
    ),
    Setting::new(
        "clay_grain",
        Kind::Quantity(Dimension::SieveSize),
        "grain of quartz that falls as fast as the middle of the freed clay",
    )
    .preset(Preset::SpreadBy { key: "clay", make: clay_grain, unless: &["jar_hanging", "jar_cleared"] })
    .range((2e-7, 1e-3))
    .source("assumed: dispersed clay falls as grains of about 1 um, flocculated as 15 um; a settling jar replaces it"),
    Setting::new(
        "jar_hanging",
        Kind::Rows(&[Dimension::Time, Dimension::Fraction]),
        "settling jar of site water: time since it was shaken, and share of the dirt that still hangs at `jar_depth`",
    ),
    Setting::optional(
        "jar_depth",
        Dimension::Length,
        (0.01, 2.0),
        "depth under the water line at which the jar was sampled",
    ),
    Setting::new(
        "jar_cleared",
        Kind::Rows(&[Dimension::Time, Dimension::Length]),
        "settling jar of site water: time since it was shaken, and depth of clear water over the line of the dirt",
    ),
    Setting::usual("jar_temperature", Dimension::Temperature, "15 C", (0.0, 40.0), "temperature of the jar"),
    Setting::uncertain(
        "jar_factor",
        Dimension::Number,
        || Spread::log_normal_within(1.0, 0.25, 0.4, 2.5),
        (0.1, 10.0),
        Nature::Ignorance,
        "fall speeds in the pond over those of the jar",
        "assumed: one jar, one day's water, a calm that a pond does not have",
    ),
    Setting::uncertain(
        "clay_swelling",
        Dimension::Number,
        || Spread::triangular(1.0, 4.0, 5.0),
        (1.0, 10.0),
        Nature::Ignorance,
        "effective volume of clay hanging in the pond water over its dry volume (1 silt, 3-5 flocculated clay)",
        "assumed; enters Krieger and Dougherty",
    ),
    Setting::usual("cut", Dimension::Time, "60 day", (86_400.0, 3.2e7), "length of the cut, in days with rests"),
    Setting::usual("run_a_day", Dimension::Time, "10 h", (600.0, 86_400.0), "running time in a day"),
    Setting::usual("start_full", Dimension::Fraction, "100 %", (0.0, 1.0), "how full the pond is when the cut begins"),
    Setting::usual("old_mud", Dimension::Fraction, "0 %", (0.0, 0.95), "share of the pond that old mud fills by then"),
    Setting::optional("dig_out", Dimension::Time, (86_400.0, 3.2e7), "mud is dug out every so many days"),
    Setting::usual(
        "working_depth",
        Dimension::Length,
        "2 ft",
        (0.0, 5.0),
        "free water over the mud below which the pond settles less; 2 ft is the least depth of Montana DEQ 2016",
    ),
];
