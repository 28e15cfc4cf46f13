//! Numbers of the whole model that the golden file of this crate keeps.

use crate::capture::{GoldGrain, HydraulicState};
use crate::constants::Constants;
use crate::enrichment::rouse;
use crate::reference::{EXPANDED_METAL, PLANT_WIDE_CHECKS, fate_of, plant_wide_check_grain};
use crate::settling::hindrance;
use crate::whole::{SIZE_M, plant_wide_fate, simple, simple_fate, thick_drop};

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

/// The default form, then the simple one.
pub(crate) const ROWS: &[washgraph_golden::Row] = &[
    ("sluice-default-178um-settling", || grain_03().settling_m_s),
    ("sluice-default-178um-hindered", hindered_03),
    ("sluice-default-178um-rouse", || rouse(hindered_03(), state_03().shear_velocity_m_s, 0.40)),
    ("sluice-default-packing", || state_03().packing),
    ("sluice-default-178um-never-settled", || {
        // 0.96 e^-X with X 5.1298
        plant_wide_fate(&EXPANDED_METAL, &PLANT_WIDE_CHECKS, SIZE_M, 0.3).never_settled
    }),
    ("sluice-default-75um", || em_at(75.0, 0.3)),
    ("sluice-default-100um", || em_at(100.0, 0.3)),
    ("sluice-default-126um", || em_at(126.0, 0.3)),
    ("sluice-default-178um", || em_at(178.0, 0.3)),
    ("sluice-default-212um", || em_at(212.0, 0.3)),
    ("sluice-default-360um", || em_at(360.0, 0.3)),
    ("sluice-default-flat-75um", || em_at(75.0, 0.2)),
    ("sluice-default-flat-100um", || em_at(100.0, 0.2)),
    ("sluice-default-flat-126um", || em_at(126.0, 0.2)),
    ("sluice-default-flat-178um", || em_at(178.0, 0.2)),
    ("sluice-default-flat-212um", || em_at(212.0, 0.2)),
    ("sluice-default-flat-360um", || em_at(360.0, 0.2)),
    ("sluice-default-contact-0p3", || em_with_contact(0.3)),
    ("sluice-default-contact-0p7", || em_with_contact(0.7)),
    ("sluice-simple-75um", || simple_em(75.0)),
    ("sluice-simple-100um", || simple_em(100.0)),
    ("sluice-simple-126um", || simple_em(126.0)),
    ("sluice-simple-178um", || simple_em(178.0)),
    ("sluice-simple-212um", || simple_em(212.0)),
    ("sluice-simple-360um", || simple_em(360.0)),
    ("sluice-simple-178um-never-settled", || simple_fate(&EXPANDED_METAL, SIZE_M).never_settled),
    ("sluice-simple-178um-packed", || simple_fate(&EXPANDED_METAL, SIZE_M).packed),
    ("sluice-simple-178um-scoured", || simple_fate(&EXPANDED_METAL, SIZE_M).scoured),
    ("sluice-simple-thick-slurry-drop", || thick_drop(simple)),
];
