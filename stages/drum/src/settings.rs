//! Settings of the drum.

use sim_core::draw::Nature;
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stats::distribution::Spread;

/// Settings of the drum, uncertain inputs included.
pub const SETTINGS: &[Setting] = &[
    Setting::required("diameter", Dimension::Length, (0.1, 6.0), "inside diameter of the shell"),
    Setting::required("slope", Dimension::Slope, (0.0, 0.3), "fall of the axis towards the discharge"),
    Setting {
        key: "speed",
        meaning: "turning speed",
        kind: Kind::Known(Dimension::RotationSpeed),
        preset: Preset::Required,
        range: (0.001, 3.0),
        nature: Nature::Ignorance,
        source: "",
    },
    Setting::optional(
        "feed_opening",
        Dimension::Length,
        (0.05, 6.0),
        "diameter of the opening at the feed end; usual is 0.6 of the drum",
    ),
    Setting::uncertain(
        "repose",
        Dimension::Angle,
        || Spread::triangular(0.558, 0.611, 0.698),
        (0.3, 1.0),
        Nature::Variability,
        "angle of repose of the tumbling bed",
        "assumed 32-40 degrees for damp gravel, a few less when full of water",
    ),
    Setting::uncertain(
        "residence_factor",
        Dimension::Number,
        || Spread::log_normal_within(1.0, 0.13, 0.6, 1.6),
        (0.3, 3.0),
        Nature::Ignorance,
        "factor on the time that the bed takes through the drum",
        "assumed +-25 %: drums of this speed turn faster than the law was measured at",
    ),
    Setting::uncertain(
        "film_thickness",
        Dimension::Length,
        || Spread::triangular(0.05e-3, 0.1e-3, 0.2e-3),
        (0.0, 0.002),
        Nature::Ignorance,
        "water film on washed rock",
        "0.1 mm gives 1-2 % moisture as drained gravel holds, from memory; range assumed",
    ),
    Setting::uncertain(
        "spray_mixing",
        Dimension::Fraction,
        || Spread::triangular(0.05, 0.1, 0.2),
        (0.0, 1.0),
        Nature::Ignorance,
        "share of the spray that mixes with the film on the rock",
        "assumed",
    ),
    Setting::uncertain(
        "coating",
        Dimension::Fraction,
        || Spread::split_log_normal(0.003, 0.006, 0.015),
        (0.0, 0.1),
        Nature::Ignorance,
        "fines coating the rock before rinsing, by mass of the rock",
        "assumed 0.2-2 %",
    ),
    Setting::uncertain(
        "coating_wash",
        Dimension::Number,
        || Spread::triangular(1.0, 2.0, 3.0),
        (0.0, 20.0),
        Nature::Ignorance,
        "rate at which 2 bar spray washes the coating off, per L of spray and kg of rock",
        "assumed 1-3; no published law",
    ),
    Setting::uncertain(
        "wash_need",
        Dimension::WaterPerMass,
        || Spread::triangular(1.25e-3, 1.5e-3, 1.75e-3),
        (0.0, 0.02),
        Nature::Ignorance,
        "water that wet screening needs per dry mass",
        "5-7 US gpm per short ton/h (screen-area reference)",
    ),
    Setting::uncertain(
        "fines_need",
        Dimension::WaterPerMass,
        || Spread::triangular(11.4e-3, 12.0e-3, 12.5e-3),
        (0.0, 0.1),
        Nature::Ignorance,
        "water that washing needs per mass finer than 75 um",
        "50 US gpm per t/h of minus 200 mesh (trade magazine, 2017)",
    ),
    Setting::uncertain(
        "slurry_need",
        Dimension::WaterPerMass,
        || Spread::triangular(0.3e-3, 0.5e-3, 0.8e-3),
        (0.0, 0.02),
        Nature::Ignorance,
        "water at the feed end per dry mass for the charge to run as a slurry and clay not to ball",
        "assumed; below about 0.5 m3/t clay balls instead of washing out",
    ),
];
