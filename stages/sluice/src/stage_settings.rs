//! Settings of the sluice: what is built, and the constants of the model as uncertain inputs.

use sim_core::draw::Nature as InputNature;
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stats::{Spread, SpreadError};

use crate::constants::{Nature, Shape, UNCERTAIN, UncertainConstant};

/// A constant of the model as a setting, from its row in [`UNCERTAIN`].
macro_rules! constant {
    ($i:literal) => {
        Setting {
            key: UNCERTAIN[$i].name,
            meaning: UNCERTAIN[$i].meaning,
            kind: Kind::Quantity(if matches!(UNCERTAIN[$i].unit.as_bytes(), b"m") {
                Dimension::Length
            } else {
                Dimension::Number
            }),
            preset: Preset::Spread(|| spread_of(&UNCERTAIN[$i])),
            range: UNCERTAIN[$i].allowed,
            nature: match UNCERTAIN[$i].nature {
                Nature::Ignorance => InputNature::Ignorance,
                Nature::Variability => InputNature::Variability,
            },
            source: UNCERTAIN[$i].source,
        }
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
    Setting::choice(
        "riffles",
        &[("expanded-metal", "expanded metal over mat"), ("angle-iron", "angle iron over mat")],
        Preset::Required,
        "what the riffles are made of",
    ),
    Setting::optional(
        "riffle_height",
        Dimension::Length,
        (0.001, 0.2),
        "height of the riffles; usual are 6 mm expanded metal, 25 mm angle iron",
    ),
    Setting {
        key: "runs",
        meaning: "equal runs side by side",
        kind: Kind::Whole,
        preset: Preset::Text("1"),
        range: (1.0, 100.0),
        nature: InputNature::Ignorance,
        source: "",
    },
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
    constant!(0),
    constant!(1),
    constant!(2),
    constant!(3),
    constant!(4),
    constant!(5),
    constant!(6),
    constant!(7),
    constant!(8),
    constant!(9),
    constant!(10),
    constant!(11),
    constant!(12),
    constant!(14),
    constant!(15),
    constant!(16),
];
