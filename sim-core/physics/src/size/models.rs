//! Model gradations: curves of the mass share finer than a size, with two or three numbers each.
//!
//! F(d) is the share by mass of grains finer than d [-], between 0 and 1. All are zero at d <= 0.

use super::entry::{input, output, row};
use super::grid::{SOLID_CLASSES, solid_classes};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Rosin-Rammler: share finer than a size.
///
/// F = 1 - exp(-(d/d63)^n)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | d | size | m | >= 0 |
/// | d63 | size that 63.2 % are finer than | m | > 0 |
/// | n | spread; large is narrow | - | 0.3 to 3 usual |
///
/// Source: Rosin and Rammler 1933 (from memory). No upper size: a tail of large stones always remains.
pub fn rosin_rammler_passing(d_m: f64, d63_m: f64, n: f64) -> f64 {
    if !(d_m > 0.0) {
        return 0.0;
    }
    -math::expm1(-math::pow(d_m / d63_m, n))
}

/// Rosin-Rammler: size that a share p is finer than, d_p = d63 (-ln(1 - p))^(1/n), m. Infinite at p = 1.
pub fn rosin_rammler_size_m(p: f64, d63_m: f64, n: f64) -> f64 {
    d63_m * math::pow(-math::ln_1p(-p), 1.0 / n)
}

/// Rosin-Rammler: mean size by mass, d63 Gamma(1 + 1/n), m.
pub fn rosin_rammler_mean_m(d63_m: f64, n: f64) -> f64 {
    d63_m * math::exp(math::ln_gamma(1.0 + 1.0 / n))
}

/// Power law with a top size: share finer than a size.
///
/// F = (d/k)^m for d <= k, else 1
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | d | size | m | >= 0 |
/// | k | top size | m | > 0 |
/// | m | slope of the log-log line | - | 0.2 to 1.5 usual |
///
/// Source: Gates, Gaudin, Schuhmann (Schuhmann 1940, from memory). With m = 0.5 it is Fuller's curve and with m = 0.45
/// Talbot's as used for asphalt (from memory, concrete and asphalt texts).
pub fn power_law_passing(d_m: f64, top_m: f64, exponent: f64) -> f64 {
    if !(d_m > 0.0) {
        0.0
    } else if d_m >= top_m {
        1.0
    } else {
        math::pow(d_m / top_m, exponent)
    }
}

/// Lognormal by mass: share finer than a size.
///
/// F = Phi(ln(d/d50)/ln sg)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | d | size | m | >= 0 |
/// | d50 | median by mass | m | > 0 |
/// | sg | geometric standard deviation, d84/d50 | - | > 1 |
///
/// Source: Hatch and Choate 1929 (from memory).
pub fn lognormal_passing(d_m: f64, d50_m: f64, geometric_sd: f64) -> f64 {
    if !(d_m > 0.0) {
        return 0.0;
    }
    let z = math::ln(d_m / d50_m) / math::ln(geometric_sd);
    0.5 * math::erfc(-z / std::f64::consts::SQRT_2)
}

/// Hatch-Choate: median by number over median by mass of a lognormal, exp(-3 ln^2 sg) [-].
///
/// Source: Hatch and Choate 1929, J. Franklin Inst. 207:369 (from memory). Holds for grains of one shape and density.
pub fn hatch_choate_number_over_mass(geometric_sd: f64) -> f64 {
    let s = math::ln(geometric_sd);
    math::exp(-3.0 * s * s)
}

/// A model gradation.
#[derive(Debug, Clone, PartialEq)]
pub enum SizeModel {
    /// See [`rosin_rammler_passing`].
    RosinRammler {
        /// Size that 63.2 % are finer than, m.
        d63_m: f64,
        /// Spread exponent [-].
        n: f64,
    },
    /// See [`power_law_passing`]: Gates-Gaudin-Schuhmann, Fuller, Talbot.
    PowerLaw {
        /// Top size, m.
        top_m: f64,
        /// Exponent [-].
        exponent: f64,
    },
    /// See [`lognormal_passing`].
    Lognormal {
        /// Median by mass, m.
        d50_m: f64,
        /// Geometric standard deviation [-].
        geometric_sd: f64,
    },
    /// Two parts, F = w F1 + (1 - w) F2: common in placer gravel (cobble framework plus sand).
    Mixture {
        /// Mass share of the first part [-].
        share: f64,
        /// First part.
        first: Box<SizeModel>,
        /// Second part.
        second: Box<SizeModel>,
    },
}

impl SizeModel {
    /// Share by mass finer than a size (m).
    pub fn passing(&self, d_m: f64) -> f64 {
        match self {
            SizeModel::RosinRammler { d63_m, n } => rosin_rammler_passing(d_m, *d63_m, *n),
            SizeModel::PowerLaw { top_m, exponent } => power_law_passing(d_m, *top_m, *exponent),
            SizeModel::Lognormal { d50_m, geometric_sd } => lognormal_passing(d_m, *d50_m, *geometric_sd),
            SizeModel::Mixture { share, first, second } => {
                share * first.passing(d_m) + (1.0 - share) * second.passing(d_m)
            }
        }
    }

    /// Size that a share p is finer than, m, by bisection between 1 nm and 1 km; NaN unless 0 < p < 1.
    pub fn size_at_m(&self, p: f64) -> f64 {
        if !(p > 0.0 && p < 1.0) {
            return f64::NAN;
        }
        let (mut lo, mut hi) = (math::ln(1e-9), math::ln(1e3));
        for _ in 0..80 {
            let middle = 0.5 * (lo + hi);
            if self.passing(math::exp(middle)) < p {
                lo = middle;
            } else {
                hi = middle;
            }
        }
        math::exp(0.5 * (lo + hi))
    }

    /// Mass share of each class of solids; sums to 1.
    pub fn class_shares(&self) -> [f64; SOLID_CLASSES] {
        shares_by_class(|d_m| self.passing(d_m))
    }
}

/// Mass share of each class of solids under a curve of the share finer; the open ends take the rest, so the sum is 1.
pub(super) fn shares_by_class(passing: impl Fn(f64) -> f64) -> [f64; SOLID_CLASSES] {
    let mut below = 0.0;
    let mut shares = [0.0; SOLID_CLASSES];
    for (share, class) in shares.iter_mut().zip(solid_classes()) {
        let upto = if class.to_m.is_finite() { passing(class.to_m) } else { 1.0 };
        *share = upto - below;
        below = upto;
    }
    shares
}

const SIZE: Symbol = input("size", "size of the opening", Dimension::SieveSize, "mm", (0.0, 10.0), None);
const D63: Symbol = input("size_63", "size that 63.2 % are finer than", Dimension::SieveSize, "mm", (1e-6, 10.0), None);
const SPREAD: Symbol = input("spread", "exponent n; large is narrow", Dimension::Number, "-", (0.1, 10.0), None);
const PASSING: Symbol = output("passing", "mass share finer", Dimension::Fraction, "-");

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new("rosin-rammler-passing", "Share finer than a size, Rosin-Rammler", "F = 1 - exp(-(d/d63)^n)", |x| {
        vec![rosin_rammler_passing(x[0], x[1], x[2])]
    })
    .inputs(&[SIZE, D63, SPREAD])
    .outputs(&[PASSING])
    .source("Rosin and Rammler 1933", Status::Memory)
    .limits("no top size: a tail of large stones always remains"),
    Formula::new(
        "rosin-rammler-size",
        "Size that a share is finer than, Rosin-Rammler",
        "d_p = d63 (-ln(1 - p))^(1/n)",
        |x| vec![rosin_rammler_size_m(x[0], x[1], x[2])],
    )
    .inputs(&[input("share", "mass share finer", Dimension::Fraction, "-", (0.0, 1.0), None), D63, SPREAD])
    .outputs(&[output("size", "size", Dimension::SieveSize, "mm")])
    .source("Rosin and Rammler 1933", Status::Memory),
    Formula::new("rosin-rammler-mean", "Mean size by mass, Rosin-Rammler", "d63 Gamma(1 + 1/n)", |x| {
        vec![rosin_rammler_mean_m(x[0], x[1])]
    })
    .inputs(&[D63, SPREAD])
    .outputs(&[output("mean", "mean size", Dimension::SieveSize, "mm")])
    .source("Rosin and Rammler 1933; mean of the Weibull distribution", Status::Computed),
    Formula::new(
        "power-law-passing",
        "Share finer than a size: Gates-Gaudin-Schuhmann; Fuller (exponent 0.5); Talbot (0.45)",
        "F = (d/k)^m for d <= k, else 1",
        |x| vec![power_law_passing(x[0], x[1], x[2])],
    )
    .inputs(&[
        SIZE,
        input("top_size", "size that everything passes", Dimension::SieveSize, "mm", (1e-6, 10.0), None),
        input("exponent", "slope of the log-log line", Dimension::Number, "-", (0.1, 3.0), Some(0.5)),
    ])
    .outputs(&[PASSING])
    .source("Schuhmann 1940; Fuller and Thompson 1907; Talbot and Richart 1923", Status::Memory),
    Formula::new("lognormal-passing", "Share finer than a size, lognormal by mass", "F = Phi(ln(d/d50)/ln sg)", |x| {
        vec![lognormal_passing(x[0], x[1], x[2])]
    })
    .inputs(&[
        SIZE,
        input("median", "median size by mass", Dimension::SieveSize, "mm", (1e-6, 10.0), None),
        GEOMETRIC_SD,
    ])
    .outputs(&[PASSING])
    .source("Hatch and Choate 1929", Status::Memory),
    Formula::new("two-part-passing", "Share finer of a mix of two gravels at one size", "F = w F1 + (1 - w) F2", |x| {
        vec![x[0] * x[1] + (1.0 - x[0]) * x[2]]
    })
    .inputs(&[
        input("share", "mass share of the first part", Dimension::Fraction, "-", (0.0, 1.0), None),
        input("first", "share finer of the first part", Dimension::Fraction, "-", (0.0, 1.0), None),
        input("second", "share finer of the second part", Dimension::Fraction, "-", (0.0, 1.0), None),
    ])
    .outputs(&[PASSING])
    .source("mass balance", Status::Computed),
    Formula::new(
        "hatch-choate-number-median",
        "Median size by number of a lognormal from its median by mass",
        "d50_number = d50_mass exp(-3 ln^2 sg)",
        |x| vec![x[0] * hatch_choate_number_over_mass(x[1])],
    )
    .inputs(&[input("median", "median size by mass", Dimension::SieveSize, "mm", (1e-6, 10.0), None), GEOMETRIC_SD])
    .outputs(&[output("number_median", "median size by number", Dimension::SieveSize, "mm")])
    .source("Hatch and Choate 1929, J. Franklin Inst. 207:369", Status::Memory)
    .limits("grains of one shape and density"),
];

const GEOMETRIC_SD: Symbol =
    input("geometric_sd", "geometric standard deviation, d84/d50", Dimension::Number, "-", (1.0001, 20.0), None)
        .possible((1.0, 1000.0));

const EQUATION: (Kind, &str, Status) = (Kind::Identity, "the model's own equation, worked apart", Status::Computed);

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row(
        ("gradation-rosin-rammler-passing", "Rosin-Rammler 1933"),
        EQUATION,
        0.180755,
        "-",
        Band::Absolute(1e-4),
        || rosin_rammler_passing(2e-3, 12e-3, 0.9),
    ),
    row(("gradation-rosin-rammler-d50", "Rosin-Rammler 1933"), EQUATION, 7.98584, "mm", Band::Absolute(1e-4), || {
        1e3 * rosin_rammler_size_m(0.5, 12e-3, 0.9)
    }),
    row(("gradation-rosin-rammler-d80", "Rosin-Rammler 1933"), EQUATION, 20.36195, "mm", Band::Absolute(1e-4), || {
        1e3 * rosin_rammler_size_m(0.8, 12e-3, 0.9)
    }),
    row(("gradation-rosin-rammler-mean", "Rosin-Rammler 1933"), EQUATION, 12.62620, "mm", Band::Absolute(1e-4), || {
        1e3 * rosin_rammler_mean_m(12e-3, 0.9)
    }),
    row(
        ("gradation-rosin-rammler-d80-over-d20", "Rosin-Rammler 1933"),
        EQUATION,
        7.213,
        "-",
        Band::Absolute(1e-3),
        || rosin_rammler_size_m(0.8, 1.0, 1.0) / rosin_rammler_size_m(0.2, 1.0, 1.0),
    ),
    row(("gradation-fuller-4p75mm", "Fuller 1907"), EQUATION, 25.166, "%", Band::Absolute(0.01), || {
        100.0 * power_law_passing(4.75e-3, 75e-3, 0.5)
    }),
    row(("gradation-lognormal-2mm", "lognormal by mass"), EQUATION, 0.158655, "-", Band::Absolute(1e-6), || {
        lognormal_passing(2e-3, 8e-3, 4.0)
    }),
    row(("gradation-hatch-choate", "Hatch-Choate 1929"), EQUATION, 0.154897, "-", Band::Absolute(1e-5), || {
        hatch_choate_number_over_mass(2.2)
    }),
];

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn identity_mixture_shares_sum_to_one_and_size_inverts_passing() {
        let model = SizeModel::Mixture {
            share: 0.7,
            first: Box::new(SizeModel::PowerLaw { top_m: 150e-3, exponent: 0.8 }),
            second: Box::new(SizeModel::Lognormal { d50_m: 0.6e-3, geometric_sd: 2.5 }),
        };
        let shares = model.class_shares();
        assert_relative_eq!(shares.iter().sum::<f64>(), 1.0, max_relative = 1e-14);
        assert!(shares.iter().all(|&s| s >= 0.0));
        for p in [0.01, 0.3, 0.5, 0.98] {
            assert_relative_eq!(model.passing(model.size_at_m(p)), p, max_relative = 1e-9);
        }
        assert!(model.size_at_m(0.0).is_nan() && model.size_at_m(1.0).is_nan());
    }
}
