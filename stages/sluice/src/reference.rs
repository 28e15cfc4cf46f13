//! Reference cases: the two boxes to which the published rows belong, and helpers to run them.

use crate::capture::{BoxGeometry, Fate, GoldGrain, HydraulicState, SlurryState, capture};
use crate::constants::Constants;
use crate::settling::{simple_nominal_m, simple_settling_m_s};
use sim_core::math::{exp, ln};
use sim_core::particle::Proportions;
use sim_core::particle::gold::gold_velocity_exact;

/// A box with its slurry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Case {
    /// The box.
    pub geometry: BoxGeometry,
    /// The slurry of its run.
    pub slurry: SlurryState,
}

/// Solids by volume at the published rated feed and minimum water. Source: Clarkson 1990 (from memory), 7.8-8.9 % with
/// pores of 0.40-0.30; the check values use 7.6 %.
pub const RATED_SOLIDS_BY_VOLUME: f64 = 0.076;

/// Expanded metal of 6 mm under its published minimum flow; 1 m wide, 8 ft long as the pilot sluice of Hamilton 1988.
pub const EXPANDED_METAL: Case = Case {
    geometry: BoxGeometry {
        width_m: 1.0,
        length_m: 2.44,
        slope: 0.146,
        riffle_height_m: 0.006,
        runs: 1,
        slick_plate_m: 2.0,
    },
    slurry: SlurryState {
        flow_m3_s: 0.040,
        solids_by_volume: RATED_SOLIDS_BY_VOLUME,
        d50_m: 0.005,
        d98_m: 0.019,
        d_max_m: 0.019,
        water_density_kg_m3: 1000.0,
    },
};

/// Angle iron of 28 mm, a typical plant. Flow, slope and length assumed: the source of the rows gives none.
pub const ANGLE_IRON: Case = Case {
    geometry: BoxGeometry {
        width_m: 1.0,
        length_m: 6.0,
        slope: 0.20,
        riffle_height_m: 0.028,
        runs: 1,
        slick_plate_m: 2.0,
    },
    slurry: SlurryState {
        flow_m3_s: 0.080,
        solids_by_volume: RATED_SOLIDS_BY_VOLUME,
        d50_m: 0.008,
        d98_m: 0.025,
        d_max_m: 0.025,
        water_density_kg_m3: 1000.0,
    },
};

/// Density of gold in all check values [kg/m3].
pub const CHECK_GOLD_DENSITY_KG_M3: f64 = 17_500.0;
/// Viscosity of water in all check values [m2/s]: 10 C.
pub const CHECK_VISCOSITY_M2_S: f64 = 1.3e-6;

/// The simple form as its check values use it: even feed, no guards, g 9.81.
pub const SIMPLE_CHECKS: Constants = Constants::simple_form().with_even_feed().without_guards().with_fit_gravity();

/// The plant-wide form as its check values use it: even feed, no guards, g 9.81.
pub const PLANT_WIDE_CHECKS: Constants = Constants::plant_wide().with_even_feed().without_guards().with_fit_gravity();

/// A gold grain of the simple form.
pub fn simple_grain(sieve_m: f64, csf: f64, density_kg_m3: f64, water_kg_m3: f64, nu_m2_s: f64) -> GoldGrain {
    let nominal_m = simple_nominal_m(sieve_m, csf);
    let settling_m_s =
        simple_settling_m_s(nominal_m, csf, density_kg_m3 / water_kg_m3, nu_m2_s, crate::flow::FIT_GRAVITY_M_S2);
    GoldGrain { settling_m_s, nominal_m, sieve_m, density_kg_m3 }
}

/// A gold grain of the simple form's check values: 17,500 kg/m3, water of 10 C.
pub fn simple_check_grain(sieve_m: f64, csf: f64) -> GoldGrain {
    simple_grain(sieve_m, csf, CHECK_GOLD_DENSITY_KG_M3, 1000.0, CHECK_VISCOSITY_M2_S)
}

/// A gold grain of the plant-wide gold law, solved exactly, g 9.81, default elongation and volume coefficient.
pub fn plant_wide_grain(sieve_m: f64, csf: f64, density_kg_m3: f64, water_kg_m3: f64, nu_m2_s: f64) -> GoldGrain {
    let settling = gold_velocity_exact(
        sieve_m,
        csf,
        density_kg_m3,
        Proportions::default(),
        water_kg_m3,
        nu_m2_s,
        crate::flow::FIT_GRAVITY_M_S2,
    );
    GoldGrain { settling_m_s: settling.w_m_s, nominal_m: settling.nominal_m, sieve_m, density_kg_m3 }
}

/// A gold grain of the plant-wide law's check values: 17,500 kg/m3, water of 10 C.
pub fn plant_wide_check_grain(sieve_m: f64, csf: f64) -> GoldGrain {
    plant_wide_grain(sieve_m, csf, CHECK_GOLD_DENSITY_KG_M3, 1000.0, CHECK_VISCOSITY_M2_S)
}

/// Fate of one grain and the stream.
pub fn fate_of(case: &Case, constants: &Constants, grain: GoldGrain) -> (Fate, HydraulicState) {
    let mut out = [Fate::default()];
    let state = capture(&case.geometry, &case.slurry, constants, &[grain], &mut out);
    let [fate] = out;
    (fate, state)
}

/// A size class as the published rows give it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeBand {
    /// Smallest size (m).
    pub from_m: f64,
    /// Largest size (m).
    pub to_m: f64,
    /// Sizes taken, evenly spaced in the logarithm, ends included.
    pub sizes: u32,
}

/// -65+100 mesh, 150-212 um.
pub const FINE_BAND: SizeBand = SizeBand { from_m: 150e-6, to_m: 212e-6, sizes: 8 };
/// "Under 0.1 mm", taken as 30-100 um.
pub const FLOUR_BAND: SizeBand = SizeBand { from_m: 30e-6, to_m: 100e-6, sizes: 15 };
/// 1-2.5 mm.
pub const COARSE_BAND: SizeBand = SizeBand { from_m: 1.0e-3, to_m: 2.5e-3, sizes: 6 };

impl SizeBand {
    /// Plain mean of a value over the sizes of the band.
    pub fn mean(&self, value: impl Fn(f64) -> f64) -> f64 {
        let steps = self.sizes.saturating_sub(1).max(1);
        let mut sum = 0.0;
        for i in 0..self.sizes {
            let part = f64::from(i) / f64::from(steps);
            sum += value(self.from_m * exp(part * ln(self.to_m / self.from_m)));
        }
        sum / f64::from(self.sizes)
    }
}
