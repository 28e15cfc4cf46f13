//! Settings of the hopper.

use sim_core::draw::Nature;
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stats::distribution::Spread;

/// Settings of the hopper, uncertain inputs included.
pub const SETTINGS: &[Setting] = &[
    Setting::new("rate", Kind::Quantity(Dimension::GravelRate), "loose ground fed per hour")
        .preset(Preset::Required)
        .range((1.0e-6, 1.0))
        .nature(Nature::Variability),
    Setting::optional("grizzly_gap", Dimension::Length, (0.02, 1.0), "clear gap between the grizzly bars"),
    Setting::choice(
        "reject",
        &[("washed", "hosed before it leaves"), ("dry", "leaves as dug")],
        Preset::Text("dry"),
        "whether the grizzly reject is washed",
    ),
    Setting::uncertain(
        "clinging",
        Dimension::Fraction,
        || Spread::split_log_normal(0.005, 0.01, 0.02),
        (0.0, 0.2),
        Nature::Variability,
        "fines clinging to unwashed grizzly reject, by mass of the reject",
        "assumed; a hosed reject keeps a tenth of it",
    ),
    Setting::uncertain(
        "uneven_feed",
        Dimension::Number,
        || Spread::split_log_normal(0.17, 0.30, 0.50),
        (0.0, 1.0),
        Nature::Variability,
        "unevenness of the feed as felt at the sluice (standard deviation over mean of the load)",
        "assumed 0.3 (0.1-0.6) for a bucket-fed plant",
    ),
];
