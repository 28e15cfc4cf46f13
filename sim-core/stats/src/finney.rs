//! Mean of a lognormal from few data.

use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{POSITIVE, number, result};
use washgraph_units::math::exp;

/// Correction factor of the lognormal mean for n data.
///
/// psi_n(t) = 1 + (n-1) t/n + sum_(k>=2) (n-1)^(2k-1) t^k/(k! n^k (n+1)(n+3)...(n+2k-3)); tends to exp(t) for large n.
///
/// n >= 2, 0 <= t (<= some hundreds). Source: Finney 1941 (series from memory). NaN for n < 1 or t < 0.
pub fn psi(n: f64, t: f64) -> f64 {
    if !(n >= 1.0 && t >= 0.0) {
        return f64::NAN;
    }
    let mut term = (n - 1.0) * t / n;
    let mut sum = 1.0 + term;
    // All terms are positive; the bound only stops an overflow to infinity.
    for k in 1..10_000 {
        let k = f64::from(k);
        term *= (n - 1.0) * (n - 1.0) * t / ((k + 1.0) * n * (n + 2.0 * k - 1.0));
        sum += term;
        if !(term > sum * 1e-17) {
            break;
        }
    }
    sum
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "lognormal-mean-few-data",
    "Mean of a lognormal grade from a few samples, relative to their geometric mean",
    "mean/geometric mean = psi_n(s^2/2)",
    |x| vec![psi(x[0], 0.5 * x[1] * x[1]), exp(0.5 * x[1] * x[1])],
)
.inputs(&[
    number("samples", "number of samples", (2.0, 1e6), None),
    number("sd_ln", "standard deviation of the natural logarithms of the grades", POSITIVE, None),
])
.outputs(&[result("factor", "mean over geometric mean"), result("factor_many", "the same for very many samples")])
.source("Finney 1941, Sichel (series)", Status::Memory)
.limits("lognormal data; no zeros")];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[("finney-psi-100", || psi(100.0, 0.5))];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_many_data_tend_to_the_exponential() {
        assert!((psi(1e9, 1.5) / exp(1.5) - 1.0).abs() < 1e-7);
        assert_eq!(psi(5.0, 0.0), 1.0);
        assert!(psi(5.0, -1.0).is_nan());
    }
}
