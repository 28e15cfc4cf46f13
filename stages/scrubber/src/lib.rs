//! Drum sections with a closed shell, where clay lumps wear and free their gold: the scrubber, and a blank end.
//!
//! The wear itself is part of the march over the drum (`sim_core::drum`): a lump loses size at a speed that follows the
//! power put into the bed and the water added. This crate supplies the section: its length, ring and water.

mod law;
mod section;
mod trouble;
pub mod washing;

pub use section::{BLANK, SCRUBBER};

use sim_core::check::Check;
use sim_core::formula::Formula;

/// Handbook entries of this crate.
fn formulas() -> Vec<&'static Formula> {
    washing::FORMULAS.iter().collect()
}

/// Checks of this crate.
fn checks() -> Vec<&'static Check> {
    washing::CHECKS.iter().collect()
}

#[cfg(test)]
mod tests {
    use core::f64::consts::PI;

    use sim_core::drum::{Carried, Drum, ExitRule, March, Section};
    use sim_core::math::tan;

    use crate::law::ScrubberSection;

    #[test]
    fn identity_and_pinned_checks_of_this_crate_pass() {
        for check in super::checks() {
            let value = (check.computed)();
            assert!(check.passes(value), "{}: {} against {}", check.id, value, check.published);
        }
        for entry in super::formulas() {
            let inputs: Vec<f64> = entry.inputs.iter().map(|s| s.default.unwrap_or(s.range.0 + 0.01)).collect();
            assert_eq!((entry.evaluate)(&inputs).len(), entry.outputs.len(), "{}", entry.name);
            for symbol in entry.inputs.iter().chain(entry.outputs) {
                let known = sim_core::quantity::convert_to(1.0, symbol.dimension, symbol.unit);
                assert!(known.is_some(), "{}: {} in {}", entry.name, symbol.name, symbol.unit);
            }
        }
    }

    /// A bed with hardly any clay in a drum of 3.9 W/kg and much water: lumps shrink by the closed form.
    #[test]
    fn identity_lumps_shrink_by_the_closed_form() {
        let drum = Drum {
            diameter_m: 0.9,
            slope: tan(4.0 * PI / 180.0),
            speed_rev_s: 0.3,
            repose_rad: 35.0 * PI / 180.0,
            bulk_density_kg_m3: 1600.0,
            wet_density_kg_m3: 2000.0,
            feed_opening_depth_m: f64::INFINITY,
            transport_factor: 1.0,
            exit: ExitRule::Lip,
        };
        let shell =
            |water: f64| ScrubberSection { length_m: 1.5, exit_ring_m: 0.0, added_water_m3_s: water, lifters: None };
        let flows = [13.0];
        let lumps = ([0.020, 0.060], [1e-6, 1e-6]);
        let carried = Carried::gravel(&[0.001], &[0.002], &flows)
            .and_then(|c| c.with_tracers(1))
            .and_then(|c| c.with_lumps(&lumps.0, &lumps.1, 0.04e-3))
            .expect("carried");
        let mut march = March::new(48, 1);
        let wet = march.solve(&drum, &[&shell(1.0)], &carried, 5, None).expect("solves").clone();
        let section = &wet.sections()[0];
        // Power per mass varies along the bed about the reference, so the shrinking is near 2 w t but not equal to it.
        let expected = 2.0 * 0.04e-3 * section.residence_s * section.power_w / (section.hold_up_m3 * 2000.0) / 3.9;
        assert!((section.lump_shrunk_m / expected - 1.0).abs() < 0.01);
        for (i, size) in lumps.0.iter().enumerate() {
            let left = section.lump_left_kg_s[i] / lumps.1[i];
            let ratio = 1.0 - section.lump_shrunk_m / size;
            assert!((left - ratio * ratio * ratio).abs() < 1e-12);
        }
        let freed = section.clay_worn_kg_s / 2e-6;
        assert!((section.freed_left[0] - freed).abs() < 1e-12 && freed > 0.0);
        let dry = march.solve(&drum, &[&shell(0.0)], &carried, 5, None).expect("solves");
        assert_eq!(dry.sections()[0].clay_worn_kg_s, 0.0);
        assert_eq!(shell(0.0).open_points(), 0);
    }
}
