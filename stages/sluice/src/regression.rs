//! Pinned values of the whole model: they guard today's numbers and say nothing of the world.

use crate::capture::{GoldGrain, HydraulicState};
use crate::constants::Constants;
use crate::enrichment::rouse;
use crate::reference::{EXPANDED_METAL, PLANT_WIDE_CHECKS, fate_of, plant_wide_check_grain};
use crate::settling::hindrance;
use crate::whole::{DEFAULT, SIMPLE, SIZE_M, check, plant_wide_fate, simple, simple_fate, thick_drop};
use sim_core::check::{Band, Check, Kind, Status};

const SIMPLE_CASE: &str = "expanded-metal reference case, CSF 0.4, 17,500 kg/m3, 10 C";
const CASE_03: &str = "expanded-metal reference case, CSF 0.3, 17,500 kg/m3, 10 C, even feed, no guards";
const CASE_02: &str = "expanded-metal reference case, CSF 0.2, 17,500 kg/m3, 10 C, even feed, no guards";

fn simple_em(size_um: f64) -> f64 {
    simple(&EXPANDED_METAL, size_um * 1e-6)
}

fn em_at(size_um: f64, csf: f64) -> f64 {
    plant_wide_fate(&EXPANDED_METAL, &PLANT_WIDE_CHECKS, size_um * 1e-6, csf).caught
}

fn em_with_contact(contact: f64) -> f64 {
    plant_wide_fate(&EXPANDED_METAL, &Constants { contact, ..PLANT_WIDE_CHECKS }, SIZE_M, 0.3).caught
}

fn grain_03() -> GoldGrain {
    plant_wide_check_grain(SIZE_M, 0.3)
}

/// Settling velocity of the 178 um grain at CSF 0.3 among 7.6 % of solids [m/s].
fn hindered_03() -> f64 {
    grain_03().settling_m_s * hindrance(0.076, 0.5, 3.0)
}

fn state_03() -> HydraulicState {
    fate_of(&EXPANDED_METAL, &PLANT_WIDE_CHECKS, grain_03()).1
}

const fn pinned(
    id: &'static str,
    model: &'static str,
    source: &'static str,
    published: f64,
    allowed: f64,
    computed: fn() -> f64,
) -> Check {
    Check {
        published,
        computed,
        band: Band::Absolute(allowed),
        ..check(Kind::Pinned, Status::Computed, id, model, source)
    }
}

/// Pinned values of the default form, then of the simple one.
pub const CHECKS: &[Check] = &[
    Check {
        unit: "m/s",
        ..pinned("sluice-default-178um-settling", DEFAULT, CASE_03, 0.090_58, 0.0005, || grain_03().settling_m_s)
    },
    Check { unit: "m/s", ..pinned("sluice-default-178um-hindered", DEFAULT, CASE_03, 0.080_64, 0.0004, hindered_03) },
    pinned("sluice-default-178um-rouse", DEFAULT, CASE_03, 1.0773, 0.005, || {
        rouse(hindered_03(), state_03().shear_velocity_m_s, 0.40)
    }),
    pinned("sluice-default-packing", DEFAULT, CASE_03, 0.8522, 0.0005, || state_03().packing),
    pinned("sluice-default-178um-never-settled", DEFAULT, CASE_03, 0.0057, 0.0001, || {
        // 0.96 e^-X with X 5.1298
        plant_wide_fate(&EXPANDED_METAL, &PLANT_WIDE_CHECKS, SIZE_M, 0.3).never_settled
    }),
    pinned("sluice-default-75um", DEFAULT, CASE_03, 0.4715, 0.002, || em_at(75.0, 0.3)),
    pinned("sluice-default-100um", DEFAULT, CASE_03, 0.6769, 0.002, || em_at(100.0, 0.3)),
    pinned("sluice-default-126um", DEFAULT, CASE_03, 0.8182, 0.002, || em_at(126.0, 0.3)),
    pinned("sluice-default-178um", DEFAULT, CASE_03, 0.9324, 0.002, || em_at(178.0, 0.3)),
    pinned("sluice-default-212um", DEFAULT, CASE_03, 0.9516, 0.002, || em_at(212.0, 0.3)),
    pinned("sluice-default-360um", DEFAULT, CASE_03, 0.9600, 0.002, || em_at(360.0, 0.3)),
    pinned("sluice-default-flat-75um", DEFAULT, CASE_02, 0.3628, 0.002, || em_at(75.0, 0.2)),
    pinned("sluice-default-flat-100um", DEFAULT, CASE_02, 0.5486, 0.002, || em_at(100.0, 0.2)),
    pinned("sluice-default-flat-126um", DEFAULT, CASE_02, 0.7034, 0.002, || em_at(126.0, 0.2)),
    pinned("sluice-default-flat-178um", DEFAULT, CASE_02, 0.8767, 0.002, || em_at(178.0, 0.2)),
    pinned("sluice-default-flat-212um", DEFAULT, CASE_02, 0.9235, 0.002, || em_at(212.0, 0.2)),
    pinned("sluice-default-flat-360um", DEFAULT, CASE_02, 0.9593, 0.002, || em_at(360.0, 0.2)),
    pinned("sluice-default-contact-0p3", DEFAULT, CASE_03, 0.870, 0.002, || em_with_contact(0.3)),
    pinned("sluice-default-contact-0p7", DEFAULT, CASE_03, 0.956, 0.002, || em_with_contact(0.7)),
    pinned("sluice-simple-75um", SIMPLE, SIMPLE_CASE, 0.367, 0.002, || simple_em(75.0)),
    pinned("sluice-simple-100um", SIMPLE, SIMPLE_CASE, 0.589, 0.002, || simple_em(100.0)),
    pinned("sluice-simple-126um", SIMPLE, SIMPLE_CASE, 0.775, 0.002, || simple_em(126.0)),
    pinned("sluice-simple-178um", SIMPLE, SIMPLE_CASE, 0.935, 0.002, || simple_em(178.0)),
    pinned("sluice-simple-212um", SIMPLE, SIMPLE_CASE, 0.956, 0.002, || simple_em(212.0)),
    pinned("sluice-simple-360um", SIMPLE, SIMPLE_CASE, 0.960, 0.002, || simple_em(360.0)),
    pinned("sluice-simple-178um-never-settled", SIMPLE, SIMPLE_CASE, 0.0036, 0.0001, || {
        simple_fate(&EXPANDED_METAL, SIZE_M).never_settled
    }),
    pinned("sluice-simple-178um-packed", SIMPLE, SIMPLE_CASE, 0.0046, 0.0001, || {
        simple_fate(&EXPANDED_METAL, SIZE_M).packed
    }),
    pinned("sluice-simple-178um-scoured", SIMPLE, SIMPLE_CASE, 0.0162, 0.0001, || {
        simple_fate(&EXPANDED_METAL, SIZE_M).scoured
    }),
    pinned("sluice-simple-thick-slurry-drop", SIMPLE, SIMPLE_CASE, 0.175, 0.005, || thick_drop(simple)),
];
