//! Hiding: small grains among large ones are harder to move, large ones easier.
//!
//! theta_ci is the critical Shields number of size Di in a mixture, theta_cm that of its mean size Dm; tau_r a reference stress.

use super::entry::{input, output, row};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::QUARTZ_KG_M3;
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Egiazaroff: theta_ci/theta_cm = [log 19/log(19 Di/Dm)]^2 [-].
///
/// Source: Egiazaroff 1965, J. Hydraul. Div. ASCE 91(HY4):225. For Di/Dm above 0.4; infinite at 1/19, meaningless below.
pub fn egiazaroff(size_over_mean: f64) -> f64 {
    let ratio = math::ln(19.0) / math::ln(19.0 * size_over_mean);
    ratio * ratio
}

/// Ashida and Michiue: Egiazaroff from Di/Dm = 0.4 up, 0.843 (Di/Dm)^-1 below [-].
///
/// Source: Ashida and Michiue 1972. The two meet at 0.4 (2.107 and 2.108). Without the power -1, as in one public module, they
/// would not.
pub fn ashida_michiue(size_over_mean: f64) -> f64 {
    if size_over_mean < 0.4 { 0.843 / size_over_mean } else { egiazaroff(size_over_mean) }
}

/// Wilcock and Crowe: reference stress of size Di over that of the mean surface size, tau_ri/tau_rm = (Di/Dsm)^b,
/// b = 0.67/(1 + exp(1.5 - Di/Dsm)) [-].
///
/// Source: Wilcock and Crowe 2003, J. Hydraul. Eng. 129:120.
pub fn wilcock_crowe(size_over_mean: f64) -> f64 {
    let b = 0.67 / (1.0 + math::exp(1.5 - size_over_mean));
    math::pow(size_over_mean, b)
}

/// Reference Shields number of the mean surface size, 0.021 + 0.015 exp(-20 Fs) [-]; Fs share of sand on the surface.
///
/// Source: Wilcock and Crowe 2003 (from memory).
pub fn reference_shields(sand_share: f64) -> f64 {
    0.021 + 0.015 * math::exp(-20.0 * sand_share)
}

/// Exponent of the power law of hiding [-]. Source: Parker, Klingeman and McLean 1982 (the value seen in a public code).
pub const POWER_LAW_EXPONENT: f64 = -0.982;

/// Power law: theta_ci/theta_c50 = (Di/D50)^-0.982 [-]: nearly all sizes move together.
pub fn power_law(size_over_median: f64) -> f64 {
    math::pow(size_over_median, POWER_LAW_EXPONENT)
}

/// Factor on the critical *stress* of a dense grain in a quartz bed, (rho_s - rho)/(rho_q - rho) [-].
///
/// Write a hiding law in stress and multiply by this: 0.3 mm gold in a 10 mm bed then needs about the stress that breaks up the
/// gravel. Inference, untested for gold.
pub fn dense_grain_factor(rho_s_kg_m3: f64, rho_quartz_kg_m3: f64, rho_kg_m3: f64) -> f64 {
    (rho_s_kg_m3 - rho_kg_m3) / (rho_quartz_kg_m3 - rho_kg_m3)
}

const RATIO: Symbol =
    input("size_over_mean", "grain size over the mean size of the bed", Dimension::Number, "-", (0.001, 50.0), None);
const THETA: Symbol =
    output("shields_ratio", "critical Shields number over that of the mean size", Dimension::Number, "-");

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "hiding-egiazaroff",
        "Critical Shields number of a size in a mixture (Egiazaroff)",
        "theta_ci/theta_cm = [log 19/log(19 Di/Dm)]^2",
        |x| vec![egiazaroff(x[0])],
    )
    .inputs(&[RATIO.valid((0.4, 50.0))])
    .outputs(&[THETA])
    .source("Egiazaroff 1965, J. Hydraul. Div. ASCE 91(HY4):225", Status::Memory)
    .limits("Di/Dm above 0.4"),
    Formula::new(
        "hiding-ashida-michiue",
        "Critical Shields number of a size in a mixture (Ashida-Michiue)",
        "0.843 (Di/Dm)^-1 below Di/Dm 0.4, Egiazaroff above",
        |x| vec![ashida_michiue(x[0])],
    )
    .inputs(&[RATIO])
    .outputs(&[THETA])
    .source("Ashida and Michiue 1972", Status::Memory),
    Formula::new(
        "hiding-wilcock-crowe",
        "Reference stress of a size over that of the mean surface size",
        "tau_ri/tau_rm = (Di/Dsm)^b, b = 0.67/(1 + exp(1.5 - Di/Dsm))",
        |x| vec![wilcock_crowe(x[0])],
    )
    .inputs(&[RATIO])
    .outputs(&[output("stress_ratio", "reference stress over that of the mean size", Dimension::Number, "-")])
    .source("Wilcock and Crowe 2003, J. Hydraul. Eng. 129:120", Status::Seen),
    Formula::new(
        "reference-shields-wilcock-crowe",
        "Reference Shields number of the mean surface size of a sand and gravel bed",
        "tau*_rm = 0.021 + 0.015 exp(-20 Fs)",
        |x| vec![reference_shields(x[0])],
    )
    .inputs(&[input("sand_share", "share of sand on the bed surface", Dimension::Fraction, "-", (0.0, 1.0), None)])
    .outputs(&[output("shields", "reference Shields number", Dimension::Number, "-")])
    .source("Wilcock and Crowe 2003, J. Hydraul. Eng. 129:120", Status::Memory),
    Formula::new(
        "hiding-power-law",
        "Critical Shields number of a size in a mixture (power law)",
        "theta_ci/theta_c50 = (Di/D50)^-0.982",
        |x| vec![power_law(x[0])],
    )
    .inputs(&[RATIO.named("size_over_median").meaning("grain size over the median size of the bed")])
    .outputs(&[THETA])
    .source("Parker, Klingeman and McLean 1982", Status::Seen)
    .limits("gravel bed rivers"),
    Formula::new(
        "hiding-dense-grain",
        "Factor on the critical stress of a dense grain in a bed of rock",
        "(rho_s - rho)/(rho_quartz - rho)",
        |x| vec![dense_grain_factor(x[0], x[1], x[2])],
    )
    .inputs(&[
        super::entry::GOLD_DENSITY,
        input(
            "bed_density",
            "density of the bed's grains",
            Dimension::Density,
            "kg/m3",
            (2000.0, 4000.0),
            Some(QUARTZ_KG_M3),
        ),
        input("fluid_density", "density of the water", Dimension::Density, "kg/m3", (900.0, 2000.0), Some(1000.0)),
    ])
    .outputs(&[output("factor", "factor on the stress", Dimension::Number, "-")])
    .source("inference; untested for gold", Status::Assumed),
];

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row(
        ("hiding-ashida-michiue-joins", "Ashida-Michiue 1972"),
        (Kind::Identity, "the two branches meet at Di/Dm = 0.4", Status::Computed),
        1.0,
        "-",
        Band::Relative(1e-3),
        || ashida_michiue(0.4 - 1e-9) / egiazaroff(0.4),
    ),
    row(
        ("hiding-mean-size", "all hiding laws"),
        (Kind::Identity, "Di = Dm", Status::Computed),
        1.0,
        "-",
        Band::Relative(1e-12),
        || ashida_michiue(1.0) * wilcock_crowe(1.0) * power_law(1.0),
    ),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] =
        &[("hiding-egiazaroff-0p4", || egiazaroff(0.4)), ("hiding-wilcock-crowe-0p4", || wilcock_crowe(0.4))];
}
