//! Settings that every section of a drum shares: length, ring, lifters.

use crate::lever::{Effort, Lever, Move};
use crate::setting::{Preset, Setting, Settings};
use washgraph_physics::drum::lifters::Lifters;
use washgraph_units::problem::Problems;
use washgraph_units::quantity::Dimension;
use washgraph_units::stock::Item;

/// Length of a section.
pub const LENGTH: Setting = Setting::required("length", Dimension::Length, (0.05, 50.0), "length along the axis");

/// Ring at the end of a section.
pub const EXIT_RING: Setting =
    Setting::usual("exit_ring", Dimension::Length, "0 mm", (0.0, 2.0), "height of the ring at its end; 0 for none");

/// A ring as high as this share of the drum's diameter is tried where there is none. Assumed.
const NEW_RING: f64 = 0.08;

/// The lever on the ring at the end of a section: its name, and the words for a higher and a lower one. Steps are our choice.
pub const fn ring_lever(name: &'static str, higher: &'static str, lower: &'static str) -> Lever {
    Lever::new(EXIT_RING.key, name)
        .takes(Effort::Build)
        .more(Move::times(higher, 1.5))
        .less(Move::times(lower, 0.6).eases(&["spilling-back", "drum-stalls"]).against_symptoms_only())
        .sold_as(Item::Ring)
        .first_share_of("diameter", NEW_RING)
}

/// Lifters of a section.
pub const LIFTERS: Setting = Setting::choice(
    "lifters",
    &[
        ("none", "plain shell"),
        ("bars", "low bars that keep the bed from slipping and turn it over"),
        ("high", "high lifters that drop the rock from above"),
    ],
    Preset::Text("none"),
    "bars or lifters welded along the shell",
);

/// Height of the lifters.
pub const LIFTER_HEIGHT: Setting = Setting::optional(
    "lifter_height",
    Dimension::Length,
    (0.005, 1.0),
    "height of the lifters; usual is 1/18 of the diameter for bars, 1/6 for high ones (common practice, no source)",
);

/// Share of the circumference.
pub const LIFTER_SHARE: Setting = Setting::optional(
    "lifter_share",
    Dimension::Fraction,
    (0.0, 1.0),
    "share of the circumference under the heaps that they carry: number of lifters x height x 0.7 over the circumference; \
     usual is 15 % for bars, 30 % for high ones (assumed)",
);

/// Usual height over the drum diameter and share of the circumference. Common practice, no source; share assumed.
const USUAL: [(&str, f64, f64); 2] = [("bars", 1.0 / 18.0, 0.15), ("high", 1.0 / 6.0, 0.30)];

/// Lifters of a section from its settings and those of the drum.
pub fn lifters(section: &Settings, drum: &Settings, problems: &mut Problems) -> Option<Lifters> {
    let word = section.word("lifters");
    let Some((_, height, share)) = USUAL.iter().find(|usual| usual.0 == word) else {
        for key in ["lifter_height", "lifter_share"] {
            if section.was_given(key) {
                problems.warning(
                    section.place(key),
                    format!("`{key}` is given, but the section has no lifters"),
                    "add lifters = \"bars\" or \"high\"",
                );
            }
        }
        return None;
    };
    let diameter_m = drum.number("diameter");
    let height_m = section.maybe("lifter_height").unwrap_or(height * diameter_m);
    if height_m > 0.25 * diameter_m {
        problems.error(
            section.place("lifter_height"),
            "the lifters are higher than a quarter of the drum",
            "lower them; usual is 1/18 of the diameter for bars, 1/6 for high lifters",
        );
    }
    Some(Lifters { height_m, share: section.maybe("lifter_share").unwrap_or(*share) })
}
