//! What washed rock carries over the end: a water film with the fines in it, and a coating.

use sim_core::check::{Check, Status};
use sim_core::formula::{Formula, Symbol};
use sim_core::math::exp;
use sim_core::quantity::Dimension;

/// Shape factor of gravel in its specific surface. Assumed.
pub const SURFACE_SHAPE: f64 = 0.8;
/// Pressure of the spray that the coating rate refers to, Pa.
const REFERENCE_SPRAY_PA: f64 = 2.0e5;

/// Specific surface of a size class, m2/kg: S = 6/(rho d psi).
///
/// `density_kg_m3` of the rock, `size_m` of the grains, psi their shape factor (default 0.8, assumed). Geometry of a sphere;
/// sum over classes by mass share.
pub fn specific_surface_m2_kg(density_kg_m3: f64, size_m: f64, shape: f64) -> f64 {
    6.0 / (density_kg_m3 * size_m * shape)
}

/// Share of the fines in the film that a spray leaves there: q_c/(q_c + e q_s).
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | q_c | liquor carried on the rock | m3/s |
/// | q_s | clean spray | m3/s |
/// | e | share of the spray that mixes with the film | - |
///
/// Source: mixing balance; e 0.1 (0.05-0.2) assumed. One spray bar with clean water; dirty water sets a floor.
pub fn film_left(carried_m3_s: f64, spray_m3_s: f64, mixing: f64) -> f64 {
    if carried_m3_s > 0.0 { carried_m3_s / (carried_m3_s + mixing * spray_m3_s) } else { 0.0 }
}

/// Share of a coating that spray leaves: exp(-k W sqrt(p / 2 bar)).
///
/// k 1-3 per (L/kg) (assumed), W spray in L per kg of rock, p spray pressure in Pa. Assumed; no published law was found.
pub fn coating_left(rate_kg_l: f64, spray_l_kg: f64, pressure_pa: f64) -> f64 {
    exp(-rate_kg_l * spray_l_kg * (pressure_pa.max(0.0) / REFERENCE_SPRAY_PA).sqrt())
}

const fn symbol(name: &'static str, meaning: &'static str, dimension: Dimension, unit: &'static str, range: (f64, f64), default: Option<f64>) -> Symbol {
    Symbol { name, meaning, dimension, unit, range, default }
}

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula {
        name: "rinse-film-left",
        meaning: "share of the fines in the water film on rock that a clean spray leaves there",
        equation: "C/C0 = q_c/(q_c + e q_s)",
        inputs: &[
            symbol("carried", "water carried on the rock", Dimension::Flow, "m3/h", (0.0, 1.0), None),
            symbol("spray", "spray water", Dimension::Flow, "m3/h", (0.0, 1.0), None),
            symbol("mixing", "share of the spray that mixes with the film", Dimension::Fraction, "-", (0.0, 1.0), Some(0.1)),
        ],
        outputs: &[symbol("left", "share left", Dimension::Fraction, "-", (0.0, 1.0), None)],
        source: "mixing balance; mixing share assumed",
        status: Status::Assumed,
        limits: "clean spray, one bar",
        evaluate: |x| vec![film_left(x[0], x[1], x[2])],
    },
    Formula {
        name: "rinse-coating-left",
        meaning: "share of the fines coating rock that spray leaves there",
        equation: "M/M0 = exp(-k W sqrt(p/2 bar))",
        inputs: &[
            symbol("rate", "k, per L of spray and kg of rock", Dimension::Number, "-", (0.0, 20.0), Some(2.0)),
            symbol("spray", "L of spray per kg of rock", Dimension::Number, "-", (0.0, 100.0), None),
            symbol("pressure", "spray pressure", Dimension::Pressure, "kPa", (0.0, 2.0e6), Some(2.0e5)),
        ],
        outputs: &[symbol("left", "share left", Dimension::Fraction, "-", (0.0, 1.0), None)],
        source: "assumed; no published law was found",
        status: Status::Assumed,
        limits: "",
        evaluate: |x| vec![coating_left(x[0], x[1], x[2])],
    },
    Formula {
        name: "specific-surface",
        meaning: "surface of grains per mass",
        equation: "S = 6/(rho d psi)",
        inputs: &[
            symbol("density", "density of the rock", Dimension::Density, "kg/m3", (1000.0, 6000.0), Some(2700.0)),
            symbol("size", "size of the grains", Dimension::Length, "mm", (1.0e-6, 1.0), None),
            symbol("shape", "shape factor psi", Dimension::Number, "-", (0.1, 1.0), Some(SURFACE_SHAPE)),
        ],
        outputs: &[symbol("surface", "surface in m2 per kg", Dimension::Number, "-", (0.0, 1.0e6), None)],
        source: "geometry of a sphere; shape factor assumed",
        status: Status::Computed,
        limits: "",
        evaluate: |x| vec![specific_surface_m2_kg(x[0], x[1], x[2])],
    },
];

/// Checks.
pub const CHECKS: &[Check] = &[];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_no_spray_leaves_all_and_more_spray_less() {
        assert_eq!(film_left(1e-4, 0.0, 0.1), 1.0);
        assert!(film_left(1e-4, 0.01, 0.1) < film_left(1e-4, 0.005, 0.1));
        assert_eq!(coating_left(2.0, 0.0, 2e5), 1.0);
    }
}
