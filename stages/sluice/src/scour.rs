//! When the stream lifts gold out of the riffles again.

use crate::symbols as s;
use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::{Formula, Symbol};
use sim_core::math::{exp, ln};
use sim_core::quantity::Dimension as D;

/// What holds gold among the black sand of a riffle pocket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pocket {
    /// Dimensionless shear theta_c at which the black sand itself gives way [-], 0.03-0.06, default 0.045.
    pub threshold: f64,
    /// Hiding exponent gamma [-], 0.5-0.9, default 0.7: 0 no shelter, 1 full shelter.
    pub hiding: f64,
    /// Size D_b of the black sand in the pocket (m), 1-4 mm, default 2 mm.
    pub black_sand_m: f64,
}

/// Shear stress that hidden gold resists.
///
/// tau_cg = theta_c (rho_g - rho) g d_n^(1 - gamma) D_b^gamma
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | d_n | nominal diameter of the gold | m | 50e-6 to 2e-3 |
/// | rho_g, rho | density of gold and water | kg/m3 | |
/// | theta_c, gamma, D_b | see [`Pocket`] | | |
///
/// Source: Shields 1936 with a hiding function of power form (from memory); untested for gold. 0 for a grain no denser
/// than the water.
pub fn gold_resistance_pa(nominal_m: f64, excess_density_kg_m3: f64, pocket: &Pocket, gravity_m_s2: f64) -> f64 {
    exp(ln_gold_resistance(nominal_m, excess_density_kg_m3, pocket, gravity_m_s2))
}

/// Logarithm of [`gold_resistance_pa`], for the kernel, which needs a power of it.
#[inline]
pub(crate) fn ln_gold_resistance(nominal_m: f64, excess_density_kg_m3: f64, pocket: &Pocket, gravity: f64) -> f64 {
    // One logarithm of a product in place of three.
    let size = (1.0 - pocket.hiding) * ln(nominal_m / pocket.black_sand_m);
    ln(pocket.threshold * excess_density_kg_m3.max(0.0) * gravity * pocket.black_sand_m) + size
}

/// Share of the capture rate that survives scour.
///
/// A_s = 1/(1 + (f_p tau_b/tau_cg)^n_s)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | tau_b | shear stress on the bed | Pa | > 0 |
/// | tau_cg | stress that hidden gold resists | Pa | > 0 |
/// | f_p | share of the bed shear that reaches the pocket | - | 0.05-0.2, default 0.10 |
/// | n_s | sharpness | - | 1-3, default 2 |
///
/// Source: form and constants assumed. f_p is the largest unknown of the sluice: calibrate it on the scour depth between
/// riffles.
pub fn scour_factor(bed_shear_pa: f64, resistance_pa: f64, pocket_share: f64, exponent: f64) -> f64 {
    1.0 / (1.0 + exp(exponent * ln(pocket_share * bed_shear_pa / resistance_pa)))
}

fn calculate(inputs: &[f64]) -> Vec<f64> {
    let [tau_b, d_n, rho_g, rho, f_p, n_s, theta_c, gamma, d_b] = *inputs else {
        return vec![f64::NAN; 2];
    };
    let pocket = Pocket { threshold: theta_c, hiding: gamma, black_sand_m: d_b };
    let resistance = gold_resistance_pa(d_n, rho_g - rho, &pocket, crate::flow::FIT_GRAVITY_M_S2);
    vec![scour_factor(tau_b, resistance, f_p, n_s), resistance]
}

pub(crate) const POCKET_SHARE: Symbol = s::symbol(
    "pocket_share",
    "share of the bed shear that reaches the riffle pocket",
    D::Fraction,
    "-",
    (0.05, 0.2),
    Some(0.10),
);
pub(crate) const SCOUR_EXPONENT: Symbol =
    s::symbol("scour_exponent", "sharpness of the scour factor", D::Number, "-", (1.0, 3.0), Some(2.0));
pub(crate) const THRESHOLD: Symbol = s::symbol(
    "threshold",
    "dimensionless shear at which the black sand gives way",
    D::Number,
    "-",
    (0.03, 0.06),
    Some(0.045),
);
pub(crate) const HIDING: Symbol =
    s::symbol("hiding", "hiding exponent: 0 no shelter, 1 full shelter", D::Number, "-", (0.5, 0.9), Some(0.7));
pub(crate) const BLACK_SAND: Symbol =
    s::symbol("black_sand_size", "size of the black sand in the pockets", D::SieveSize, "mm", (1e-3, 4e-3), Some(2e-3));

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "sluice-scour",
    "Bed shear against what gold hidden in black sand resists, and the share of the capture that survives.",
    "tau_cg = theta_c (rho_g - rho) g d_n^(1 - gamma) D_b^gamma; A_s = 1/(1 + (f_p tau_b/tau_cg)^n_s)",
    calculate,
)
.inputs(&[
    s::symbol("bed_shear", "shear stress on the bed", D::Stress, "Pa", (5.0, 200.0), Some(35.0)),
    s::symbol("nominal_size", "nominal diameter of the gold", D::Length, "mm", (50.0e-6, 2.0e-3), Some(198.0e-6)),
    s::GOLD_DENSITY,
    s::WATER_DENSITY,
    POCKET_SHARE,
    SCOUR_EXPONENT,
    THRESHOLD,
    HIDING,
    BLACK_SAND,
])
.outputs(&[
    s::output("scour_factor", "share of the capture that survives", D::Number, "-"),
    s::output("resistance", "shear stress that the hidden gold resists", D::Stress, "Pa"),
])
.source("Shields 1936 with a power-law hiding function; pocket share and sharpness assumed here", Status::Memory)
.limits("untested for gold; the pocket share is the largest unknown of the sluice")];

const DEFAULT_POCKET: Pocket = Pocket { threshold: 0.045, hiding: 0.7, black_sand_m: 2e-3 };

/// Checks of this file.
pub const CHECKS: &[Check] = &[Check::new("sluice-gold-resistance-full-shelter", "sluice scour", || {
    let pocket = Pocket { hiding: 1.0, ..DEFAULT_POCKET };
    gold_resistance_pa(1e-4, 16_500.0, &pocket, 9.81) / gold_resistance_pa(1e-3, 16_500.0, &pocket, 9.81)
})
.against(
    Kind::Identity,
    "fully sheltered gold (gamma 1) resists the same at any size: ratio of 0.1 to 1 mm",
    Status::Computed,
)
.value(1.0, "-")
.within(Band::Absolute(1e-12))];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    fn simple_form_resistance() -> f64 {
        gold_resistance_pa(crate::settling::simple_nominal_m(178e-6, 0.4), 16_500.0, &DEFAULT_POCKET, 9.81)
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("sluice-gold-resistance-178um", simple_form_resistance),
        ("sluice-scour-factor-178um", || {
            scour_factor(1000.0 * 0.187_13 * 0.187_13, simple_form_resistance(), 0.10, 2.0)
        }),
    ];
}
