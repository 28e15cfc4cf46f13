//! A box re-set for the rock that other holes let through, in the middle case.
//!
//! | what | rule | where it comes from |
//! |---|---|---|
//! | riffle height | a quarter of the largest rock, within 6 and 32 mm | assumed |
//! | riffles | expanded metal up to 10 mm, angle iron above | heights of the published tests, widened (assumed) |
//! | slope | as built; when the riffles change kind, the middle of the published practice for that kind | Clarkson 1990 (from memory), Clarkson 1994 (seen) |
//! | slurry | runs at the depth max(c_h D_max, 24 mm), c_h 1 | old rule that the water cover the largest rock (seen); least depth assumed |
//! | solids | never above 12 % by volume | web article on sluice sizing quoting Poling 1989 and Clarkson 1990 (seen) |
//!
//! The assumptions `cover_ratio` (c_h) and `least_depth_m` can be given other values by who asks.

use sim_core::constants::{QUARTZ_KG_M3, STANDARD_GRAVITY_M_S2, VON_KARMAN};
use sim_core::quantity::{Dimension, Phrase, format};
use sim_core::stage::{Assumption, Reset, ResetSite};

use crate::constants::Constants;
use crate::cover::{LEAST_DESIGN_DEPTH_M, cover_depth_m};
use crate::flow::{Channel, flow_per_width_m2_s, roughness_m};
use crate::practice::MOST_SOLIDS_BY_VOLUME;
use crate::riffles::kind_for_height;

/// Riffle height over the largest rock. Assumed.
const RIFFLE_PER_ROCK: f64 = 0.25;
/// Lowest and highest riffles of the rule, m.
const RIFFLES_M: (f64, f64) = (0.006, 0.032);
/// Depth over the largest rock, c_h. Assumed.
const COVER_RATIO: f64 = 1.0;

/// What the rules assume, over the range of what is said in the trade. Assumed.
pub(crate) const ASSUMPTIONS: &[Assumption] = &[
    Assumption {
        name: "cover_ratio",
        words: "water cover of {} of the largest rock",
        dimension: Dimension::Number,
        values: &[0.6, 0.8, 1.0, 1.2],
    },
    Assumption {
        name: "least_depth_m",
        words: "least depth of {}",
        dimension: Dimension::Length,
        values: &[0.018, 0.024, 0.030],
    },
];

/// The box for this rock; `None` where no kind of riffle is so high.
pub(crate) fn reset(site: &ResetSite<'_>) -> Option<Reset> {
    let rock_m = site.largest_rock_m;
    let height_m = (RIFFLE_PER_ROCK * rock_m).clamp(RIFFLES_M.0, RIFFLES_M.1);
    let kind = kind_for_height(height_m)?;
    let word = kind.name.as_ref();
    let is_same_kind = (site.word)("riffles").as_deref() == Some(word);
    let slope = match kind.ranges.slope {
        Some((low, high)) if !is_same_kind => 0.5 * (low + high),
        _ => (site.setting)("slope"),
    };
    let channel = Channel {
        slope,
        roughness_m: roughness_m(Constants::plant_wide().roughness_ratio, height_m),
        gravity_m_s2: STANDARD_GRAVITY_M_S2,
        von_karman: VON_KARMAN,
    };
    let assumed = |name: &str, usual: f64| (site.assumed)(name).unwrap_or(usual);
    let depth_m =
        cover_depth_m(assumed("cover_ratio", COVER_RATIO), rock_m).max(assumed("least_depth_m", LEAST_DESIGN_DEPTH_M));
    let width_m = (site.setting)("width") * (site.setting)("runs").max(1.0);
    let feed = site.feed;
    let solids_m3_s = feed.rock_kg_s.iter().sum::<f64>() / site.rock_density_kg_m3
        + (feed.lumps_kg_s() + feed.clay_kg_s) / QUARTZ_KG_M3;
    let slurry_m3_s = (flow_per_width_m2_s(depth_m, &channel) * width_m).max(solids_m3_s / MOST_SOLIDS_BY_VOLUME);
    let metric = |x: f64, d: Dimension, unit: &str| format(x, d, unit).unwrap_or_default();
    let mut settings = vec![
        ("riffle_height", metric(1e-4 * (height_m * 1e4).round(), Dimension::Length, "m")),
        ("riffles", word.to_string()),
    ];
    if !is_same_kind {
        settings.push(("slope", metric(1e-4 * (slope * 1e4).round(), Dimension::Slope, "-")));
    }
    Some(Reset {
        settings,
        water_m3_s: (slurry_m3_s - solids_m3_s - feed.water_m3_s).max(0.0),
        words: Phrase::new(format!("{word} "))
            .length(height_m)
            .text(" high, slope ")
            .size(slope, Dimension::Slope)
            .text(", slurry ")
            .length(depth_m)
            .text(" deep"),
    })
}
