//! Settings of `[ground]` and its sub-tables.

use super::super::clay_wear;
use sim_core::draw::Nature;
use sim_core::field::WashedWith;
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stats::distribution::Spread;

const ANY: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

const fn text(key: &'static str, meaning: &'static str) -> Setting {
    Setting::new(key, Kind::Text, meaning).range(ANY)
}

/// Settings of `[ground]`.
pub const GROUND_SETTINGS: &[Setting] = &[
    Setting::nested("gradation", "the sieve test"),
    Setting::nested("gold", "what the pans held"),
    Setting::uncertain(
        "loose_density",
        Dimension::Density,
        || Spread::split_log_normal(1500.0, 1600.0, 1700.0),
        (800.0, 2400.0),
        Nature::Ignorance,
        "dry mass per loose volume",
        "assumed; handbooks 1500-1930 loose, from memory",
    ),
    Setting::uncertain(
        "swell",
        Dimension::Fraction,
        || Spread::triangular(0.08, 0.18, 0.30),
        (0.0, 1.0),
        Nature::Ignorance,
        "swell from bank to loose",
        "assumed within published 5-40 % for sand and gravel",
    ),
    Setting::uncertain(
        "moisture",
        Dimension::Fraction,
        || Spread::split_log_normal(0.03, 0.05, 0.09),
        (0.0, 0.5),
        Nature::Variability,
        "water over wet mass of the feed",
        "assumed",
    ),
    Setting::uncertain(
        "rock_density",
        Dimension::Density,
        || Spread::uniform(2650.0, 2750.0),
        (2000.0, 4000.0),
        Nature::Ignorance,
        "density of the rock",
        "quartz and common rock, from memory",
    ),
    Setting::new("clay", Kind::Quantity(Dimension::Fraction), "clay in lumps, share of the dry mass").range((0.0, 0.6)),
    Setting::uncertain(
        "clay_lump_size",
        Dimension::Length,
        || Spread::split_log_normal(0.020, 0.040, 0.080),
        (0.002, 0.5),
        Nature::Variability,
        "median size of the clay lumps by mass",
        "assumed",
    ),
    Setting::uncertain(
        "clay_richness",
        Dimension::Number,
        || Spread::split_log_normal(0.3, 1.0, 3.0),
        (0.0, 20.0),
        Nature::Ignorance,
        "gold per mass of clay lumps over gold per mass of the rest",
        "assumed",
    ),
    Setting::new(
        "clay_wear",
        Kind::Quantity(Dimension::Velocity),
        "speed at which the surface of a lump wears at 3.9 W/kg; 0.001 to 0.1 mm/s is assumed when neither it nor a \
                  test nor a class is given",
    )
    .range((0.0, 0.01)),
    clay_wear::CLAY_TEST,
    clay_wear::CLAY_TEST_LUMP,
    clay_wear::CLAY_TEST_TIME,
    clay_wear::CLAY_TEST_LEFT,
    clay_wear::CLAY_TEST_POWER,
    clay_wear::CLAY_CLASS,
    clay_wear::CLAY_PLASTICITY,
    clay_wear::FROST,
    clay_wear::FROST_GAIN,
    Setting::uncertain(
        "gold_density",
        Dimension::Density,
        || Spread::normal_within(17_000.0, 500.0, 15_000.0, 19_300.0),
        (10_000.0, 19_400.0),
        Nature::Ignorance,
        "density of the gold grains",
        "assumed; placer gold, with inclusions and pores",
    ),
    Setting::uncertain(
        "gold_shape",
        Dimension::Number,
        || Spread::log_normal_within(1.0, 0.25, 0.6, 1.7),
        (0.2, 3.0),
        Nature::Ignorance,
        "factor on the flatness (Corey factor) of all gold; below 1 is flatter",
        "assumed; weigh counted grains to pin it",
    ),
    Setting::uncertain(
        "water_temperature",
        Dimension::Temperature,
        || Spread::split_normal(4.0, 8.0, 13.0),
        (0.0, 35.0),
        Nature::Variability,
        "temperature of the water",
        "assumed; northern creek in season",
    ),
];

/// Settings of `[ground.gradation]`.
pub const GRADATION_SETTINGS: &[Setting] = &[
    Setting::optional("sample_mass", Dimension::Mass, (0.05, 1.0e7), "mass that was sieved"),
    Setting::nested("passing", "list of [sieve, share passing]"),
    text("file", "CSV or XLSX file of sieve tests beside the scenario"),
    text("sheet", "sheet of the workbook; usually `sieves`"),
    Setting::choice(
        "weighed",
        &[("dry", "dry"), ("wet", "wet, as dug")],
        Preset::Text("dry"),
        "whether the sieve masses are wet or dry",
    ),
    Setting::usual(
        "sample_moisture",
        Dimension::Fraction,
        "5 %",
        (0.0, 0.4),
        "water over wet mass of what was weighed wet",
    ),
    Setting::optional(
        "largest",
        Dimension::SieveSize,
        (0.001, 5.0),
        "size of the largest stone, when the top sieve does not pass all",
    ),
    text("stones_file", "CSV or XLSX file of stones counted on a pit wall"),
    text("stones_sheet", "sheet of the workbook; usually `stones`"),
    Setting::optional(
        "splice",
        Dimension::SieveSize,
        (0.005, 1.0),
        "size where the sieve tests end and the count of stones begins",
    ),
    Setting::choice(
        "stones_by",
        &[("line", "points along a line or on a grid"), ("face", "every stone of a marked face")],
        Preset::Text("line"),
        "how the stones were counted",
    ),
];

/// Settings of `[ground.gold]`.
pub const GOLD_SETTINGS: &[Setting] = &[
    Setting::optional("volume", Dimension::Volume, (1.0e-4, 1.0e6), "volume that was panned; say loose or bank"),
    Setting::optional("pan_volume", Dimension::Volume, (1.0e-4, 0.1), "what one struck pan holds"),
    Setting::nested("found", "list of { sample, volume, through, on, colours, weight }"),
    text("file", "CSV or XLSX file of pans and bulk samples beside the scenario"),
    text("sheet", "sheet of the workbook; usually `pans`"),
    Setting::choice("washed_with", WashedWith::WORDS, Preset::Text("pan"), "what the samples were washed with"),
    Setting::uncertain(
        "true_over_found",
        Dimension::Number,
        || Spread::split_log_normal(1.0, 1.05, 1.15),
        (0.3, 10.0),
        Nature::Ignorance,
        "true gold over gold found, for what washing the samples lost",
        "assumed for a careful panner",
    ),
    Setting::choice(
        "gold",
        &[("raw", "as it lies in the pan"), ("fine", "assayed gold")],
        Preset::Text("raw"),
        "whether weights and a believed grade are raw or fine gold",
    ),
    Setting::optional(
        "left_out",
        Dimension::SieveSize,
        (0.002, 2.0),
        "stones larger than this were thrown out before the volume was measured",
    ),
    Setting::optional(
        "largest_gold",
        Dimension::SieveSize,
        (1.0e-4, 0.12),
        "largest gold reckoned with; without it, one sieve step above the coarsest class that held any",
    ),
    Setting::choice(
        "patchy",
        &[
            ("from samples", "when the samples scatter more than chance"),
            ("no", "never: every spot is like the ground as a whole"),
        ],
        Preset::Text("from samples"),
        "whether the spots sampled may be richer or poorer than the ground",
    ),
    Setting::choice(
        "shape",
        &[("from weights", "flatness from colours counted and weighed"), ("assumed", "the assumed flatness")],
        Preset::Text("from weights"),
        "where the flatness of the gold comes from, unless gold_shape is given",
    ),
    Setting::uncertain(
        "day_to_day",
        Dimension::Number,
        || Spread::fixed(1.0),
        (0.05, 20.0),
        Nature::Variability,
        "grade of one period's ground over the mean grade",
        "1 unless the samples are patchy",
    ),
    Setting::new(
        "grade",
        Kind::Quantity(Dimension::Grade),
        "gold per volume, when it is a belief and not from samples; say loose or bank",
    )
    .range((1.0e-9, 1.0)),
    Setting::optional(
        "median_size",
        Dimension::SieveSize,
        (1.0e-5, 0.05),
        "size that half the gold by weight is finer than, with a believed grade",
    ),
    Setting::usual(
        "size_spread",
        Dimension::Number,
        "2.2",
        (1.05, 10.0),
        "geometric standard deviation of the gold size by weight, with a believed grade",
    ),
    Setting::usual("fineness", Dimension::Fraction, "0.85", (0.2, 1.0), "gold in raw gold"),
];
