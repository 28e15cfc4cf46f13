//! Short ways to say "the reference case, but".

use washgraph_sluice::capture::{Fate, GoldGrain};
use washgraph_sluice::constants::Constants;
use washgraph_sluice::reference::{
    Case, EXPANDED_METAL, PLANT_WIDE_CHECKS, SIMPLE_CHECKS, fate_of, plant_wide_check_grain, simple_check_grain,
};

pub const SIZE_M: f64 = 178e-6;

pub fn em(change: impl FnOnce(&mut Case)) -> Case {
    let mut case = EXPANDED_METAL;
    change(&mut case);
    case
}

pub fn simple(case: &Case, size_m: f64) -> f64 {
    simple_with(case, size_m, |_| ())
}

pub fn simple_with(case: &Case, size_m: f64, change: impl FnOnce(&mut Constants)) -> f64 {
    let mut constants = SIMPLE_CHECKS;
    change(&mut constants);
    fate_of(case, &constants, simple_check_grain(size_m, 0.4)).0.caught
}

pub fn gold(size_m: f64) -> GoldGrain {
    plant_wide_check_grain(size_m, 0.3)
}

pub fn default_form(case: &Case, size_m: f64) -> f64 {
    fate_of(case, &PLANT_WIDE_CHECKS, gold(size_m)).0.caught
}

/// Everything on: guards and uneven feed.
pub fn full(case: &Case, size_m: f64) -> Fate {
    fate_of(case, &Constants::plant_wide(), gold(size_m)).0
}

/// Slurry at fixed solids (per width, m2/s): the water changes.
pub fn at_fixed_solids(slurry_m2_s: f64, solids_m2_s: f64) -> Case {
    em(|c| {
        c.slurry.flow_m3_s = slurry_m2_s * c.geometry.width_m;
        c.slurry.solids_by_volume = solids_m2_s / slurry_m2_s;
    })
}
