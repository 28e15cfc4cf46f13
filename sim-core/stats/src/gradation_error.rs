//! How far a sieved sample of finite mass may be off, and the posterior of its class masses.

use super::quantile_table::QuantileTable;
use super::spread_error::SpreadError;
use washgraph_units::check::Status;
use washgraph_units::constants::QUARTZ_KG_M3;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{POSITIVE, input, number, output, result, share};
use washgraph_units::quantity::Dimension;

/// Slightly high bound of the standard deviation of a class fraction: sqrt(p (1-p) m/M).
///
/// m = mean mass of one grain of the class, M = sample mass, kg. Source: derived here.
pub fn class_fraction_sd_bound(fraction: f64, grain_kg: f64, sample_kg: f64) -> f64 {
    (fraction * (1.0 - fraction) * grain_kg / sample_kg).sqrt()
}

/// Sample mass for a standard deviation of a class fraction, by the same bound, kg: p (1-p) m/SD^2.
pub fn sample_for_class_sd_kg(fraction: f64, grain_kg: f64, sd: f64) -> f64 {
    fraction * (1.0 - fraction) * grain_kg / (sd * sd)
}

/// Posterior of the mass of one size class: a gamma distribution of its grain count, times the mass of one grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClassMass {
    /// Shape: grains seen, plus the prior's.
    pub shape: f64,
    /// Mass of one grain, kg: the scale of the gamma distribution.
    pub grain_kg: f64,
}

impl ClassMass {
    /// Table of the class mass, kg, for use in every trial.
    pub fn table(&self) -> Result<QuantileTable, SpreadError> {
        QuantileTable::gamma(self.shape, 1.0 / self.grain_kg)
    }
}

/// Posterior of the class masses of a sieved sample: X_i ~ Gamma(shape N_i + a0 p0_i, scale m_i), N_i = mass_i/m_i.
///
/// Drawn independently and divided by their sum they are the gradation of the ground: coarse classes come out wide, fine
/// ones narrow. `prior_strength` a0 in grains, `prior_fractions` p0 from another source (all alike when nothing is known).
/// Source: derived here from Poisson class counts. A class with neither grains nor prior has shape 0 and is always empty.
pub fn class_mass_posteriors(
    class_kg: &[f64],
    grain_kg: &[f64],
    prior_strength: f64,
    prior_fractions: &[f64],
) -> Vec<ClassMass> {
    class_kg
        .iter()
        .zip(grain_kg)
        .zip(prior_fractions)
        .map(|((mass, grain), p0)| ClassMass { shape: mass / grain + prior_strength * p0, grain_kg: *grain })
        .collect()
}

/// Mean and standard deviation of a Dirichlet share: alpha_i/A and sqrt(alpha_i (A - alpha_i)/(A^2 (A+1))).
///
/// What [`class_mass_posteriors`] becomes when all grains weigh the same. Standard result.
pub fn dirichlet_share(alpha_i: f64, alpha_sum: f64) -> (f64, f64) {
    let variance = alpha_i * (alpha_sum - alpha_i) / (alpha_sum * alpha_sum * (alpha_sum + 1.0));
    (alpha_i / alpha_sum, variance.sqrt())
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "sieve-sample-error",
        "Error of one size class in a sieved sample, and the sample a wanted error asks for",
        "SD = sqrt(p (1-p) m/M), m = (pi/6) rho d^3; M = p (1-p) m/SD^2",
        |x| {
            let grain = super::grain_mass::sphere_kg(x[0], x[3]);
            vec![class_fraction_sd_bound(x[1], grain, x[2]), sample_for_class_sd_kg(x[1], grain, x[4])]
        },
    )
    .inputs(&[
        input("size", "stone size of the class", Dimension::SieveSize, "mm", POSITIVE, None),
        share("fraction", "mass share of the class", Some(0.1)),
        input("sample", "sample mass, dry", Dimension::Mass, "kg", POSITIVE, None),
        input("density", "density of the stones", Dimension::Density, "g/cm3", POSITIVE, Some(QUARTZ_KG_M3)),
        share("wanted_sd", "standard deviation wanted, as a share", Some(0.01)),
    ])
    .outputs(&[
        output("sd", "standard deviation of the share", Dimension::Fraction, "%"),
        output("sample_needed", "sample for the wanted standard deviation", Dimension::Mass, "kg"),
    ])
    .source("independent Poisson counts of stones, derived here (slightly high bound)", Status::Computed)
    .limits("spheres of one size; sieving faults come on top"),
    Formula::new(
        "class-share-of-equal-grains",
        "Share of one class, and its error, when every grain weighs the same",
        "mean = a_i/A; SD = sqrt(a_i (A-a_i)/(A^2 (A+1)))",
        |x| {
            let (mean, sd) = dirichlet_share(x[0], x[1]);
            vec![mean, sd]
        },
    )
    .inputs(&[
        number("grains", "grains of the class, plus the prior's", POSITIVE, None),
        number("all_grains", "grains of all classes, plus the prior's", POSITIVE, None),
    ])
    .outputs(&[result("mean", "mean share"), result("sd", "its standard deviation")])
    .source("Dirichlet distribution", Status::Computed)
    .limits("wrong for a sieved gravel, whose coarse grains weigh more: see sieve-sample-error"),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("dirichlet-sd-1", || dirichlet_share(3.0, 50.0).1),
        ("dirichlet-sd-2", || dirichlet_share(14.0, 50.0).1),
        ("dirichlet-sd-3", || dirichlet_share(22.0, 50.0).1),
        ("dirichlet-sd-4", || dirichlet_share(11.0, 50.0).1),
        ("sieve-sample-53mm", || sample_for_class_sd_kg(0.1, crate::grain_mass::sphere_kg(0.053, QUARTZ_KG_M3), 0.01)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_tabulated_class_masses_of_equal_grains_are_dirichlet() {
        // Prior (2,5,8,5) as 20 grains, counts (1,9,14,6), all grains 1 g: alpha (3,14,22,11).
        let classes = class_mass_posteriors(&[1e-3, 9e-3, 14e-3, 6e-3], &[1e-3; 4], 20.0, &[0.1, 0.25, 0.4, 0.25]);
        let tables: Vec<_> = classes.iter().map(|c| c.table().unwrap()).collect();
        let n = 40_000;
        let (mut sum, mut squares) = ([0.0; 4], [0.0; 4]);
        for i in 0..n {
            // Additive recurrence with irrational steps: even coverage without a random generator.
            let x: Vec<f64> = [2.0_f64, 3.0, 5.0, 7.0]
                .iter()
                .zip(&tables)
                .map(|(prime, t)| t.quantile((prime.sqrt() * f64::from(i) + 0.5).fract()))
                .collect();
            let all: f64 = x.iter().sum();
            for j in 0..4 {
                sum[j] += x[j] / all;
                squares[j] += (x[j] / all) * (x[j] / all);
            }
        }
        for (j, alpha) in [3.0, 14.0, 22.0, 11.0].into_iter().enumerate() {
            let (mean, sd) = dirichlet_share(alpha, 50.0);
            let m = sum[j] / f64::from(n);
            let s = (squares[j] / f64::from(n) - m * m).sqrt();
            assert!((m - mean).abs() < 3e-4 && (s / sd - 1.0).abs() < 0.01, "{m} {mean} {s} {sd}");
        }
    }
}
