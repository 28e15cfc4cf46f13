//! How far a count of colours may be off: Poisson, clustered, and of mixed grain masses.

use super::discrete::{negative_binomial_cdf, poisson_cdf};
use super::gamma::chi_square_upper_tail;
use super::grain_mass::{disc_kg, lognormal_mass_weighted_kg};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{Evidence, POSITIVE, input, number, output, result, row};
use washgraph_units::math::exp;
use washgraph_units::quantity::Dimension;

/// Grains that a sample should hold after Clifton and others 1969 (USGS Professional Paper 625-C): about +-50 % at 95 %.
pub const CLIFTON_GRAINS: f64 = 20.0;

/// Nearest whole count of a number typed by a user; below zero and NaN become 0.
pub fn as_count(x: f64) -> u64 {
    x.round() as u64
}

/// Sample mass that holds `grains` colours on average, kg: M = n m/grade.
///
/// m = mass of one colour, kg; grade = gold mass per mass of ground, -. Source: Clifton and others 1969, with n = 20. Holds
/// for colours of about equal mass only; see [`gold_for_relative_error`].
pub fn sample_for_grains_kg(grains: f64, colour_kg: f64, grade_kg_kg: f64) -> f64 {
    grains * colour_kg / grade_kg_kg
}

/// Relative standard deviation of a Poisson count of mean n: 1/sqrt(n).
pub fn poisson_relative_sd(mean: f64) -> f64 {
    1.0 / mean.sqrt()
}

/// Relative standard deviation of a clustered count: sqrt(1/mu + 1/k) (negative binomial).
///
/// mu = expected count; k = clustering index: small = patchy, infinite = Poisson. Source: standard; that heap and split
/// samples behave so: David 1977.
pub fn clustered_relative_sd(mean: f64, k: f64) -> f64 {
    (1.0 / mean + 1.0 / k).sqrt()
}

/// Probability that a clustered sample holds no colour at all: (1 + mu/k)^-k.
pub fn clustered_empty(mean: f64, k: f64) -> f64 {
    exp(-k * washgraph_units::math::ln_1p(mean / k))
}

/// Success probability of the negative binomial with this mean and clustering index: k/(k + mu).
pub fn clustered_success(mean: f64, k: f64) -> f64 {
    k / (k + mean)
}

/// Mean and variance (n - 1) of a set of counts; NaN below two.
fn mean_and_variance(counts: &[f64]) -> (f64, f64) {
    let moments = super::average::Moments::of(counts);
    (moments.mean(), moments.variance())
}

/// Clustering index estimated by moments: k = xbar^2/(s^2 - xbar).
///
/// `None` when s^2 <= xbar: no clustering shown, which does not prove that there is none. Counts must come from samples of
/// equal size. Source: standard moment estimator.
pub fn clustering_index(counts: &[f64]) -> Option<f64> {
    let (mean, variance) = mean_and_variance(counts);
    (variance > mean).then(|| mean * mean / (variance - mean))
}

/// Dispersion test of counts from samples of equal size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dispersion {
    /// sum (n_i - nbar)^2 / nbar.
    pub statistic: f64,
    /// Probability of so large a statistic or larger if the counts are Poisson.
    pub chance: f64,
}

/// Whether counts scatter more than Poisson: sum (n_i - nbar)^2/nbar against chi-square with N-1 degrees of freedom.
///
/// Source: Fisher's index of dispersion (from memory). Two samples or more with at least one colour; NaN otherwise.
pub fn dispersion_test(counts: &[f64]) -> Dispersion {
    let (mean, variance) = mean_and_variance(counts);
    let freedom = counts.len() as f64 - 1.0;
    let statistic = freedom * variance / mean;
    Dispersion { statistic, chance: chi_square_upper_tail(freedom, statistic) }
}

/// Mass-weighted mean colour mass, kg: m_w = sum w_j m_j / sum w_j.
///
/// w_j = share of gold MASS in class j, m_j = colour mass of the class. Slices of equal length; extra entries are ignored.
pub fn mass_weighted_kg(mass_shares: &[f64], colour_kg: &[f64]) -> f64 {
    let weighted: f64 = mass_shares.iter().zip(colour_kg).map(|(w, m)| w * m).sum();
    weighted / mass_shares.iter().sum::<f64>()
}

/// Relative standard deviation of the gold in a sample: RSD^2 = m_w/G + 1/k + s_a^2 (compound Poisson).
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | m_w | mass-weighted mean colour mass | kg | > 0 |
/// | G | gold expected in the sample | kg | > 0 |
/// | 1/k | clustering, per independent sample spot | - | >= 0, 0 = none |
/// | s_a | relative error of splitting and assay | - | >= 0 |
///
/// Source: variance of a compound Poisson sum (standard); equals (1/n)(1 + CV_m^2). Most samples read below the truth and
/// few far above: the distribution is skewed.
pub fn gold_relative_sd(mass_weighted_kg: f64, gold_kg: f64, clustering: f64, assay_relative_sd: f64) -> f64 {
    (mass_weighted_kg / gold_kg + clustering + assay_relative_sd * assay_relative_sd).sqrt()
}

/// Gold that a sample must hold for a relative standard deviation, kg: G = m_w/RSD^2 (no clustering, no assay error).
pub fn gold_for_relative_error(mass_weighted_kg: f64, relative_sd: f64) -> f64 {
    mass_weighted_kg / (relative_sd * relative_sd)
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "twenty-grain-grade",
        "Lowest grade that a sample of this mass can tell, by the colours it should hold",
        "grade = n (pi/4) csf rho d^3 / M",
        |x| vec![x[4] * disc_kg(x[0], x[2], x[3]) / x[1]],
    )
    .inputs(&[
        input("diameter", "diameter of the colours", Dimension::SieveSize, "um", POSITIVE, None),
        input("sample", "sample mass, dry", Dimension::Mass, "g", POSITIVE, None),
        number("shape_factor", "thickness over diameter", (0.0, 1.0), Some(0.1)).possible((0.0, 1.0)),
        input("density", "density of the gold", Dimension::Density, "g/cm3", POSITIVE, Some(17_000.0)),
        number("grains", "colours wanted", POSITIVE, Some(CLIFTON_GRAINS)),
    ])
    .outputs(&[output("grade", "gold per mass of ground", Dimension::Fraction, "ppm")])
    .source("Clifton and others 1969, USGS Professional Paper 625-C (criterion seen in Marshall 2002)", Status::Seen)
    .limits("colours of about equal mass"),
    Formula::new(
        "poisson-count",
        "Chance of a count between two numbers when so many are expected",
        "P(low <= N <= high) = Q(high+1, mean) - Q(low, mean)",
        |x| {
            let (low, high) = (as_count(x[1]), as_count(x[2]));
            let below = if low == 0 { 0.0 } else { poisson_cdf(low - 1, x[0]) };
            let chance = if high < low { 0.0 } else { poisson_cdf(high, x[0]) - below };
            vec![chance, poisson_relative_sd(x[0])]
        },
    )
    .inputs(&[
        number("expected", "expected number", POSITIVE, None),
        number("low", "lowest count", (0.0, 1e9), Some(0.0)),
        number("high", "highest count", (0.0, 1e9), None),
    ])
    .outputs(&[
        result("chance", "chance of a count from low to high"),
        result("relative_sd", "relative standard deviation of the count"),
    ])
    .source("Poisson distribution", Status::Computed)
    .limits("independent grains"),
    Formula::new(
        "twenty-grain-sample",
        "Sample mass that holds a wanted number of equal colours",
        "M = n (pi/4) csf rho d^3 / grade; RSD = 1/sqrt n",
        |x| vec![sample_for_grains_kg(x[4], disc_kg(x[0], x[2], x[3]), x[1]), poisson_relative_sd(x[4])],
    )
    .inputs(&[
        input("diameter", "diameter of the colours", Dimension::SieveSize, "mm", POSITIVE, None),
        input("grade", "gold per mass of ground", Dimension::Fraction, "ppm", POSITIVE, None),
        number("shape_factor", "thickness over diameter", (0.0, 1.0), Some(0.1)).possible((0.0, 1.0)),
        input("density", "density of the gold", Dimension::Density, "g/cm3", POSITIVE, Some(17_000.0)),
        number("grains", "colours wanted", POSITIVE, Some(CLIFTON_GRAINS)),
    ])
    .outputs(&[
        output("sample", "sample mass, dry", Dimension::Mass, "kg"),
        result("relative_sd", "relative standard deviation of the grade"),
    ])
    .source("Clifton and others 1969, USGS Professional Paper 625-C (criterion seen in Marshall 2002)", Status::Seen)
    .limits("colours of about equal mass; mixed sizes need many more: see gold-sampling-error"),
    Formula::new(
        "gold-sampling-error",
        "Error of the grade from a sample of gold of mixed sizes, and the gold a wanted error asks for",
        "RSD^2 = m_w/G + 1/k; m_w = m(d50) exp(4.5 ln^2 sg)",
        |x| {
            let m_w = lognormal_mass_weighted_kg(disc_kg(x[0], x[3], x[4]), x[1]);
            vec![gold_relative_sd(m_w, x[2], x[5], 0.0), m_w, gold_for_relative_error(m_w, x[6])]
        },
    )
    .inputs(&[
        input("median_size", "size that half the gold mass is finer than", Dimension::SieveSize, "mm", POSITIVE, None),
        number("geometric_sd", "84 % size over median size, by mass", (1.0, 10.0), Some(1.8)).possible((1.0, 1000.0)),
        input("gold", "gold expected in the sample", Dimension::Mass, "mg", POSITIVE, None),
        number("shape_factor", "thickness over diameter", (0.0, 1.0), Some(0.2)).possible((0.0, 1.0)),
        input("density", "density of the gold", Dimension::Density, "g/cm3", POSITIVE, Some(17_000.0)),
        number("clustering", "1/k, 0 for none", (0.0, 10.0), Some(0.0)),
        input(
            "wanted_relative_sd",
            "relative standard deviation wanted",
            Dimension::Fraction,
            "-",
            (0.0, 10.0),
            Some(0.2),
        ),
    ])
    .outputs(&[
        result("relative_sd", "relative standard deviation of the grade"),
        output("mass_weighted", "mass-weighted mean colour", Dimension::Mass, "mg"),
        output("gold_needed", "gold for the wanted error, without clustering", Dimension::Mass, "mg"),
    ])
    .source("variance of a compound Poisson sum; lognormal sizes", Status::Computed)
    .limits("one shape for all sizes; clustering is per independent sample spot"),
    Formula::new(
        "clustered-count",
        "Spread of a count of colours in patchy ground",
        "RSD = sqrt(1/mu + 1/k); P(0) = (1 + mu/k)^-k; P(N <= n) negative binomial",
        |x| {
            vec![
                clustered_relative_sd(x[0], x[1]),
                clustered_empty(x[0], x[1]),
                negative_binomial_cdf(as_count(x[2]), x[1], clustered_success(x[0], x[1])),
                poisson_cdf(as_count(x[2]), x[0]),
            ]
        },
    )
    .inputs(&[
        number("expected", "expected number of colours", POSITIVE, None),
        number("k", "clustering index: small = patchy", POSITIVE, Some(4.0)),
        number("at_most", "count whose chance is asked", (0.0, 1e9), Some(5.0)),
    ])
    .outputs(&[
        result("relative_sd", "relative standard deviation"),
        result("chance_empty", "chance of no colour at all"),
        result("chance_at_most", "chance of that count or fewer"),
        result("chance_at_most_poisson", "the same without clustering"),
    ])
    .source("negative binomial distribution; its use for gold: David 1977", Status::Seen)
    .limits("the index k = 4 is an illustration, not a measurement"),
    Formula::new(
        "clustering-from-scatter",
        "Clustering index from the mean and scatter of counts in equal samples, with the dispersion test",
        "k = xbar^2/(s^2 - xbar); (N-1) s^2/xbar ~ chi-square with N-1 degrees of freedom",
        |x| {
            let variance = x[1] * x[1];
            let k = if variance > x[0] { x[0] * x[0] / (variance - x[0]) } else { f64::NAN };
            let statistic = (x[2] - 1.0) * variance / x[0];
            vec![k, statistic, chi_square_upper_tail(x[2] - 1.0, statistic)]
        },
    )
    .inputs(&[
        number("mean", "mean count", POSITIVE, None),
        number("sd", "standard deviation of the counts", POSITIVE, None),
        number("samples", "number of samples", (2.0, 1e6), None),
    ])
    .outputs(&[
        result("k", "clustering index; no answer when no clustering is shown"),
        result("statistic", "dispersion statistic"),
        result("chance", "chance of as much scatter without clustering"),
    ])
    .source("moment estimator; Fisher's index of dispersion", Status::Memory)
    .limits("samples of equal size; no clustering shown does not prove that there is none"),
];

/// Colours in ten 1 kg samples: Ingamells' set as shown in a lecture by Pitard (seen).
pub const INGAMELLS_TEN_SAMPLES: [f64; 10] = [2.0, 1.0, 0.0, 0.0, 2.0, 1.0, 3.0, 0.0, 1.0, 2.0];

/// Colours in the quarters of a 60 lb sample with 320 particles: Wells 1969, BLM Technical Bulletin 4, fig. 21 (seen).
pub const TB4_QUARTERS: [f64; 4] = [87.0, 66.0, 73.0, 94.0];

const CHART: Evidence = (
    Kind::Published,
    "Marshall 2002, reading of Clifton's chart: 20 flakes of 30 um (thickness d/10) in 50 g are 16 ppb; band: the reading is whole ppb",
    Status::Seen,
);
const PITARD: Evidence = (
    Kind::Published,
    "Ingamells' ten samples in a lecture by Pitard: 3 of 10 empty; band: half a sample",
    Status::Seen,
);
const TB4: Evidence = (
    Kind::Published,
    "Wells 1969, BLM TB4 fig. 21: halves of 320 particles 153 and 167, range 14; band: one SD of such a range",
    Status::Seen,
);
/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row("clifton-chart-30um-flakes", "twenty-grain rule", CHART, (16.0, "ppb"), Band::Absolute(0.5), || {
        CLIFTON_GRAINS * disc_kg(30e-6, 0.1, 19_300.0) / 0.05 * 1e9
    }),
    row("ten-samples-empty", "Poisson share of empty samples", PITARD, (0.3, "-"), Band::Absolute(0.05), || {
        poisson_cdf(0, mean_and_variance(&INGAMELLS_TEN_SAMPLES).0)
    }),
    row("tb4-halves-range", "random splitting in halves", TB4, (14.0, "-"), Band::Absolute(10.8), || {
        // Expected difference of the two halves of 320: 2 SD sqrt(2/pi), SD = sqrt(320)/2.
        320.0_f64.sqrt() * (2.0 / std::f64::consts::PI).sqrt()
    }),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("clifton-30um-flakes-reckoned", || CLIFTON_GRAINS * disc_kg(30e-6, 0.1, 19_300.0) / 0.05 * 1e9),
        ("poisson-10-to-30-of-20", || poisson_cdf(30, 20.0) - poisson_cdf(9, 20.0)),
        ("poisson-12-to-28-of-20", || poisson_cdf(28, 20.0) - poisson_cdf(11, 20.0)),
        ("clustered-rsd-20-k4", || clustered_relative_sd(20.0, 4.0)),
        ("clustered-5-of-20-k4", || negative_binomial_cdf(5, 4.0, clustered_success(20.0, 4.0))),
        ("ten-samples-dispersion", || dispersion_test(&INGAMELLS_TEN_SAMPLES).statistic),
        ("ten-samples-dispersion-chance", || dispersion_test(&INGAMELLS_TEN_SAMPLES).chance),
        ("tb4-quarters-dispersion", || dispersion_test(&TB4_QUARTERS).statistic),
        ("tb4-quarters-dispersion-chance", || dispersion_test(&TB4_QUARTERS).chance),
        ("tb4-sixteenth-sd", || (320.0_f64 / 16.0 * (1.0 - 1.0 / 16.0)).sqrt()),
        ("compound-poisson-gold-for-20pct", || {
            gold_for_relative_error(lognormal_mass_weighted_kg(disc_kg(0.4e-3, 0.2, 17_500.0), 1.8), 0.2) * 1e3
        }),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_equal_colours_reduce_to_the_count_rule() {
        let m = mass_weighted_kg(&[0.2, 0.8], &[3e-7, 3e-7]);
        assert!((gold_relative_sd(m, 20.0 * m, 0.0, 0.0) - poisson_relative_sd(20.0)).abs() < 1e-12);
        assert!((gold_relative_sd(m, 20.0 * m, 0.25, 0.0) - clustered_relative_sd(20.0, 4.0)).abs() < 1e-12);
    }

    #[test]
    fn identity_compound_form_equals_number_form() {
        // Two classes: RSD^2 = m_w/G = (1/n)(1 + CV^2) by number.
        let (m, w, gold) = ([1.0, 10.0], [0.4, 0.6], 500.0);
        let counts = [gold * w[0] / m[0], gold * w[1] / m[1]];
        let n = counts[0] + counts[1];
        let mean = gold / n;
        let cv2 = (counts[0] * m[0] * m[0] + counts[1] * m[1] * m[1]) / n / (mean * mean) - 1.0;
        let rsd = gold_relative_sd(mass_weighted_kg(&w, &m), gold, 0.0, 0.0);
        assert!((rsd * rsd - (1.0 + cv2) / n).abs() < 1e-15);
    }

    #[test]
    fn property_no_clustering_is_reported_as_none_shown() {
        assert_eq!(clustering_index(&INGAMELLS_TEN_SAMPLES), None);
        let k = clustering_index(&[0.0, 0.0, 9.0, 1.0]).unwrap();
        assert!((k - 2.5 * 2.5 / (19.0 - 2.5)).abs() < 1e-12);
    }
}
