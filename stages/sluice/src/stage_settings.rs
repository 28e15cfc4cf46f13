//! Settings of the sluice: what is built, and the constants of the model as uncertain inputs.

use sim_core::draw::Nature as InputNature;
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stats::{Spread, SpreadError};

use crate::constants::{
    BLACK_SAND_SIZE, BYPASS, CONTACT_FACTOR, COVER_RATIO, COVER_SHARE, ENRICHMENT_EXPONENT, HIDING, HINDERING_SHARE,
    HINDRANCE_EXPONENT, Nature, PACKING_EXPONENT, PACKING_SCALE, POCKET_SHARE, POCKET_THRESHOLD, ROUGHNESS_RATIO,
    SCOUR_EXPONENT, Shape, THICK_LIMIT, UncertainConstant,
};

/// A constant of the model as a setting.
macro_rules! constant {
    ($constant:ident) => {
        Setting::new(
            $constant.name,
            Kind::Quantity(if matches!($constant.unit.as_bytes(), b"m") {
                Dimension::Length
            } else {
                Dimension::Number
            }),
            $constant.meaning,
        )
        .preset(Preset::Spread(|| spread_of(&$constant)))
        .range($constant.allowed)
        .nature(match $constant.nature {
            Nature::Ignorance => InputNature::Ignorance,
            Nature::Variability => InputNature::Variability,
        })
        .source($constant.source)
    };
}

fn spread_of(u: &UncertainConstant) -> Result<Spread, SpreadError> {
    match u.shape {
        Shape::Triangular => Spread::triangular(u.low, u.default, u.high),
        Shape::LogNormal { sigma } => Spread::log_normal_within(u.default, sigma, u.low, u.high),
    }
}

/// Settings of the sluice. The unevenness of the load is not among them: it comes with the feed.
pub const SETTINGS: &[Setting] = &[
    Setting::required("width", Dimension::Length, (0.05, 20.0), "width of one run"),
    Setting::required("length", Dimension::Length, (0.3, 100.0), "riffled length of a run"),
    Setting::required("slope", Dimension::Slope, (0.005, 1.0), "fall of the box"),
    Setting::choice("riffles", crate::riffles::WORDS, Preset::Required, "what the riffles are made of"),
    Setting::new(
        "riffle_file",
        Kind::File { words_of: "riffles" },
        "file of riffles of your own, tables [[riffle]], beside the scenario",
    )
    .nature(InputNature::Ignorance),
    Setting::optional(
        "riffle_height",
        Dimension::Length,
        (0.001, 0.2),
        "height of the riffles; left out, the usual one of their kind",
    ),
    Setting::new("runs", Kind::Whole, "equal runs side by side")
        .preset(Preset::Text("1"))
        .range((1.0, 100.0))
        .nature(InputNature::Ignorance),
    Setting::usual("slick_plate", Dimension::Length, "2 m", (0.0, 50.0), "smooth plate ahead of the riffles"),
    Setting::uncertain(
        "clay_thickening",
        Dimension::Number,
        || Spread::triangular(1.0, 4.0, 5.0),
        (0.0, 10.0),
        InputNature::Ignorance,
        "effective volume of freed clay in the water over its dry volume (1 silt, 3-5 flocculated clay)",
        "assumed; enters Krieger and Dougherty",
    ),
    constant!(CONTACT_FACTOR),
    constant!(ENRICHMENT_EXPONENT),
    constant!(POCKET_SHARE),
    constant!(SCOUR_EXPONENT),
    constant!(POCKET_THRESHOLD),
    constant!(HIDING),
    constant!(BLACK_SAND_SIZE),
    constant!(PACKING_SCALE),
    constant!(PACKING_EXPONENT),
    constant!(ROUGHNESS_RATIO),
    constant!(HINDERING_SHARE),
    constant!(HINDRANCE_EXPONENT),
    constant!(BYPASS),
    constant!(THICK_LIMIT),
    constant!(COVER_SHARE),
    constant!(COVER_RATIO),
];

#[cfg(test)]
mod tests {
    use super::SETTINGS;
    use crate::constants::UNCERTAIN;

    #[test]
    fn identity_each_constant_that_a_trial_writes_is_a_setting() {
        for constant in UNCERTAIN {
            assert_eq!(SETTINGS.iter().filter(|s| s.key == constant.name).count(), 1, "{}", constant.name);
        }
    }
}
