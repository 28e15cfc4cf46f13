//! The gamma distribution: incomplete gamma functions, density, quantile, and its tabulated inverse.

use super::normal;
use super::quantile_table::{Node, QuantileTable, Side};
use super::spread_error::SpreadError;
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::math::{erfc, exp, ln, ln_1p, ln_gamma};

/// ln sqrt(2 pi), exact constant rounded to f64.
pub(crate) const LN_SQRT_TWO_PI: f64 = 0.918_938_533_204_672_8;

/// Shape above which the incomplete gamma functions use Temme's uniform expansion instead of a sum.
const LARGE_SHAPE: f64 = 1e5;

/// Shape above which the table takes the quantile from the Cornish-Fisher expansion.
const CORNISH_FISHER_SHAPE: f64 = 1e3;

/// x - ln(1 + x) without loss of digits for small x; x > -1.
///
/// With r = x/(2+x): ln(1+x) = 2 (r + r^3/3 + r^5/5 + ...), hence x - ln(1+x) = r (x - 2 r^2 (1/3 + r^2/5 + ...)).
/// Source: standard series.
pub(crate) fn x_minus_ln_1p(x: f64) -> f64 {
    if !(x.abs() < 0.35) {
        return x - ln_1p(x);
    }
    let r = x / (2.0 + x);
    let r2 = r * r;
    let mut sum = 0.0;
    let mut power = 1.0;
    for i in 0..14 {
        sum += power / f64::from(2 * i + 3);
        power *= r2;
    }
    r * (x - 2.0 * r2 * sum)
}

/// Error of Stirling's formula: ln Gamma(a+1) - [(a + 1/2) ln a - a + ln sqrt(2 pi)], a > 0.
///
/// Source: Stirling's series, Abramowitz and Stegun 1964, 6.1.41 (from memory); absolute error below 1e-14.
pub(crate) fn stirling_error(a: f64) -> f64 {
    if a < 10.0 {
        return ln_gamma(a + 1.0) - (a + 0.5) * ln(a) + a - LN_SQRT_TWO_PI;
    }
    let s = 1.0 / (a * a);
    (1.0 / 12.0
        - s * (1.0 / 360.0 - s * (1.0 / 1260.0 - s * (1.0 / 1680.0 - s * (1.0 / 1188.0 - s * 691.0 / 360_360.0)))))
        / a
}

/// x^a e^-x / Gamma(a+1): the Poisson probability of a counts at mean x, for any real a > 0, x > 0.
///
/// Written as exp(-a phi(x/a - 1) - stirling error)/sqrt(2 pi a), phi(m) = m - ln(1+m), so that large a and x lose no
/// digits. Source: Loader 2000, "Fast and accurate computation of binomial probabilities" (from memory).
pub(crate) fn poisson_term(a: f64, x: f64) -> f64 {
    Shape::new(a).poisson_term(x)
}

/// A shape with the part of the logarithm of its gamma function that each evaluation needs.
#[derive(Debug, Clone, Copy)]
struct Shape {
    a: f64,
    /// ln Gamma(a+1) below 10; from there Stirling error + ln sqrt(2 pi a).
    constant: f64,
}

impl Shape {
    fn new(a: f64) -> Self {
        let constant = if a < 10.0 { ln_gamma(a + 1.0) } else { stirling_error(a) + LN_SQRT_TWO_PI + 0.5 * ln(a) };
        Self { a, constant }
    }

    /// See [`poisson_term`].
    fn poisson_term(self, x: f64) -> f64 {
        let Self { a, constant } = self;
        if a < 10.0 { exp(a * ln(x) - x - constant) } else { exp(-a * x_minus_ln_1p((x - a) / a) - constant) }
    }

    /// Both tails and the Poisson term at 0 < x < infinity, see [`tails`].
    fn tails(self, x: f64) -> (f64, f64, f64) {
        let a = self.a;
        let power = self.poisson_term(x);
        if a > LARGE_SHAPE {
            let (p, q) = tails_of_large_shape(a, x);
            return (p, q, power);
        }
        if x < a + 1.0 {
            let mut term = 1.0;
            let mut sum = 1.0;
            let mut n = a;
            while term > sum * 1e-17 {
                n += 1.0;
                term *= x / n;
                sum += term;
            }
            let p = (power * sum).min(1.0);
            (p, 1.0 - p, power)
        } else {
            let q = (power * a * upper_fraction(a, x)).min(1.0);
            (1.0 - q, q, power)
        }
    }
}

/// Both tails of the gamma distribution with shape a and rate 1: (P, Q), P = probability at or below x, Q = 1 - P.
///
/// P(a,x) = 1/Gamma(a) * integral 0..x of t^(a-1) e^-t dt. Series below x = a + 1, continued fraction above (Abramowitz
/// and Stegun 1964, 6.5.29 and 6.5.31), Temme's uniform expansion (Temme 1979) from a = 1e5; all from memory, checked
/// against an independent library. Relative error of the smaller tail about 1e-13, 1e-11 from a = 1e5.
///
/// a > 0, x >= 0; NaN outside.
pub fn tails(a: f64, x: f64) -> (f64, f64) {
    if !(a > 0.0 && x >= 0.0) {
        return (f64::NAN, f64::NAN);
    }
    if x == 0.0 {
        return (0.0, 1.0);
    }
    if x == f64::INFINITY {
        return (1.0, 0.0);
    }
    let (p, q, _) = Shape::new(a).tails(x);
    (p, q)
}

/// Continued fraction of Q(a,x) Gamma(a) e^x x^-a by the modified Lentz method, for x >= a + 1.
fn upper_fraction(a: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let mut b = x + 1.0 - a;
    let mut c = 1.0 / TINY;
    let mut d = 1.0 / b;
    let mut h = d;
    // Converges in a few sqrt(a) steps; the bound only stops a NaN.
    for i in 1..20_000 {
        let i = f64::from(i);
        let an = i * (a - i);
        b += 2.0;
        d = an * d + b;
        if d.abs() < TINY {
            d = TINY;
        }
        c = b + an / c;
        if c.abs() < TINY {
            c = TINY;
        }
        d = 1.0 / d;
        let step = d * c;
        h *= step;
        if (step - 1.0).abs() < 2e-16 {
            break;
        }
    }
    h
}

/// Temme's uniform expansion: Q = erfc(eta sqrt(a/2))/2 + exp(-a eta^2/2)/sqrt(2 pi a) (c0 + c1/a), eta^2/2 = m - ln(1+m),
/// m = x/a - 1, c0 = 1/m - 1/eta.
fn tails_of_large_shape(a: f64, x: f64) -> (f64, f64) {
    let m = (x - a) / a;
    let half_square = if m > -1.0 { x_minus_ln_1p(m) } else { f64::INFINITY };
    let eta = (2.0 * half_square).sqrt().copysign(m);
    let c0 = if eta.abs() < 0.03 {
        -1.0 / 3.0
            + eta
                * (1.0 / 12.0
                    + eta * (-2.0 / 135.0 + eta * (1.0 / 864.0 + eta * (1.0 / 2835.0 - eta * 139.0 / 777_600.0))))
    } else {
        1.0 / m - 1.0 / eta
    };
    let c1 = -1.0 / 540.0 - eta / 288.0;
    let rest = exp(-a * half_square) / (std::f64::consts::TAU * a).sqrt() * (c0 + c1 / a);
    let z = eta * (0.5 * a).sqrt();
    (0.5 * erfc(-z) - rest, 0.5 * erfc(z) + rest)
}

/// Probability that a gamma variable of this shape and rate 1 lies at or below x. See [`tails`].
pub fn cdf(shape: f64, x: f64) -> f64 {
    tails(shape, x).0
}

/// Probability that a gamma variable of this shape and rate 1 lies above x. See [`tails`].
pub fn upper_tail(shape: f64, x: f64) -> f64 {
    tails(shape, x).1
}

/// Density of the gamma distribution with rate 1: x^(a-1) e^-x / Gamma(a). a > 0, x > 0.
pub fn density(shape: f64, x: f64) -> f64 {
    poisson_term(shape, x) * shape / x
}

/// x with probability `p` at or below it, for shape > 0 and rate 1; p in (0, 1).
///
/// Newton's method on the logarithm of the smaller tail over ln x, where both tails are concave, so that it cannot run
/// away. Relative error about 1e-13. 0 and infinity at p = 0 and 1; NaN outside. Underflows to 0 for very small shapes at
/// small p: take [`ln_quantile`] there.
///
/// ```
/// // Shape 1 is the exponential distribution: the median is ln 2.
/// let x = washgraph_stats::gamma::quantile(1.0, 0.5);
/// assert!((x - 2.0_f64.ln()).abs() < 1e-14);
/// ```
pub fn quantile(shape: f64, p: f64) -> f64 {
    exp(ln_quantile(shape, p, 1.0 - p))
}

/// ln x with probability `below` at or below x and `above` = 1 - `below` above it (give whichever is small exactly).
///
/// Same method and range as [`quantile`].
pub fn ln_quantile(shape: f64, below: f64, above: f64) -> f64 {
    if !(shape > 0.0 && below >= 0.0 && above >= 0.0) {
        return f64::NAN;
    }
    if below == 0.0 {
        return f64::NEG_INFINITY;
    }
    if above == 0.0 {
        return f64::INFINITY;
    }
    let floor = lowest(shape, below);
    newton(Shape::new(shape), floor, (below, above), start(shape, below, above), 1e-15)
}

/// Lowest ln x that the quantile can have: P(a,x) <= x^a/Gamma(a+1).
fn lowest(shape: f64, below: f64) -> f64 {
    (ln(below) + ln_gamma(shape + 1.0)) / shape
}

/// First guess of ln x: Wilson and Hilferty 1931 for shapes from 1; below that a bound on the side from which Newton's
/// method approaches without overshooting.
fn start(shape: f64, below: f64, above: f64) -> f64 {
    if shape >= 1.0 {
        let z = if below < above { normal::quantile(below) } else { normal::quantile_upper(above) };
        let w = 1.0 - 1.0 / (9.0 * shape) + z / (3.0 * shape.sqrt());
        if w > 0.1 {
            return ln(shape) + 3.0 * ln(w);
        }
        return lowest(shape, below);
    }
    if below <= above { lowest(shape, below) } else { ln((-ln(above) - ln_gamma(shape)).max(1.0)) }
}

/// Newton's method from `y`, to a step below `tolerance`.
///
/// `floor` = [`lowest`], below which the quantile cannot lie.
fn newton(shape: Shape, floor: f64, (below, above): (f64, f64), mut y: f64, tolerance: f64) -> f64 {
    // So far down that x^a/Gamma(a+1) is the whole of P.
    if floor < -40.0 {
        return floor;
    }
    let lower = below <= above;
    let target = ln(if lower { below } else { above });
    for _ in 0..100 {
        let (p, q, power) = shape.tails(exp(y));
        let slope = power * shape.a;
        let step = if lower { (target - ln(p)) * p / slope } else { (ln(q) - target) * q / slope };
        if !step.is_finite() {
            break;
        }
        let next = (y + step.clamp(-2.0, 2.0)).max(floor);
        let moved = (next - y).abs();
        y = next;
        if moved <= tolerance * (1.0 + y.abs()) {
            break;
        }
    }
    y
}

/// Cornish-Fisher expansion of the gamma quantile for large shapes, rate 1, z = normal score.
///
/// x = a + z sqrt a + (z^2-1)/3 + (z^3-7z)/(36 sqrt a) - (3z^4+7z^2-16)/(810 a). Derived from the cumulants
/// kappa_r = a (r-1)!; relative error below 1e-9 for a >= 1000 and |z| <= 6.4 (tested).
fn cornish_fisher(shape: f64, z: f64) -> f64 {
    let root = shape.sqrt();
    let z2 = z * z;
    shape + z * root + (z2 - 1.0) / 3.0 + z * (z2 - 7.0) / (36.0 * root)
        - ((3.0 * z2 + 7.0) * z2 - 16.0) / (810.0 * shape)
}

impl QuantileTable {
    /// Table of the gamma distribution with this shape and rate (the inverse of the scale): mean = shape/rate.
    ///
    /// Meant for posteriors of fixed shape that are drawn in each trial. Relative error of the quantile for p in
    /// [1e-6, 1-1e-6]: below 1e-4 for shapes 0.05 to 1e4 (tested), in fact below 1e-5. Shapes below 0.5 are tabulated as
    /// ln x, because x itself runs over hundreds of decades; below 0.05 the error grows as 2e-8/shape. Shapes above 1e4
    /// only get better. Cells: 8 to an octave for shapes from 0.5, else 16, below 0.05 32.
    pub fn gamma(shape: f64, rate: f64) -> Result<Self, SpreadError> {
        for (what, value) in [("the shape of the gamma distribution", shape), ("its rate", rate)] {
            if !value.is_finite() {
                return Err(SpreadError::NotFinite { what, value });
            }
            if !(value > 0.0) {
                return Err(SpreadError::NotPositive { what, value });
            }
        }
        let logarithmic = shape < 0.5;
        let bits = if shape >= 0.5 {
            3
        } else if shape >= 0.05 {
            4
        } else {
            5
        };
        let known = Shape::new(shape);
        let ln_gamma_next = ln_gamma(shape + 1.0);
        // Side, t, ln x and d ln x/d ln t of the previous node: the start of the next.
        let mut previous: Option<(Side, f64, f64, f64)> = None;
        let table = Self::build(bits, logarithmic, shape, |side, t| {
            let (below, above) = if side == Side::Lower { (t, 1.0 - t) } else { (1.0 - t, t) };
            let (x, y);
            if shape >= CORNISH_FISHER_SHAPE {
                let z = normal::quantile(t);
                x = cornish_fisher(shape, if side == Side::Lower { z } else { -z });
                y = 0.0;
            } else {
                let guess = match previous {
                    Some((s, t0, y0, per_ln_t)) if s == side => y0 + per_ln_t * ln(t / t0),
                    _ => start(shape, below, above),
                };
                let floor = (ln(below) + ln_gamma_next) / shape;
                // Newton's method doubles the digits: a last step of 1e-5 leaves about 1e-10.
                y = newton(known, floor, (below, above), guess, 1e-5);
                x = exp(y);
            }
            // dx/dt = +-1/density; d ln x/dt = dx/dt / x, written so that it survives an x too small for a double.
            let density_of_ln_x = if y < -40.0 { shape * below } else { known.poisson_term(x) * shape };
            let sign = if side == Side::Lower { 1.0 } else { -1.0 };
            let slope_ln = sign / density_of_ln_x;
            previous = Some((side, t, y, slope_ln * t));
            if logarithmic { Node { value: y, slope: slope_ln } } else { Node { value: x, slope: slope_ln * x } }
        });
        Ok(table.scaled_by(1.0 / rate))
    }
}

/// Probability that a chi-square variable with `freedom` degrees of freedom exceeds x: Q(freedom/2, x/2).
pub fn chi_square_upper_tail(freedom: f64, x: f64) -> f64 {
    upper_tail(0.5 * freedom, 0.5 * x)
}

/// Checks of the gamma distribution.
pub const CHECKS: &[Check] = &[
    Check::new("gamma-quantile-inverts-cdf", "gamma quantile", || cdf(0.3, quantile(0.3, 1e-6)))
        .against(Kind::Identity, "P(a, quantile(p)) = p, here a = 0.3, p = 1e-6", Status::Computed)
        .value(1e-6, "-")
        .within(Band::Relative(1e-12)),
    Check::new("gamma-half-shape-is-normal-square", "incomplete gamma function", || upper_tail(0.5, 4.5))
        .against(Kind::Identity, "Q(1/2, z^2/2) = 2 (1 - Phi(z)), here z = 3", Status::Computed)
        .value(0.002_699_796_063_260_19, "-")
        .within(Band::Relative(1e-12)),
];

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::function::gamma::{gamma_lr, gamma_ur};

    #[test]
    fn identity_incomplete_gamma_agrees_with_statrs() {
        for a in [0.01, 0.05, 0.3, 1.0, 2.5, 9.9, 10.1, 47.0, 1e3, 2e4] {
            for f in [1e-6, 0.01, 0.2, 0.7, 0.95, 1.0, 1.05, 1.3, 2.0, 6.0] {
                let x = a * f;
                let (p, q) = tails(a, x);
                let (op, oq) = (gamma_lr(a, x), gamma_ur(a, x));
                // The oracle loses digits in its logarithm of the gamma function at large shapes.
                let tol = 2e-12 + 2e-14 * a;
                assert!((p - op).abs() <= tol * op.max(1e-3), "P({a},{x}) {p} {op}");
                assert!((q - oq).abs() <= tol * oq.max(1e-3), "Q({a},{x}) {q} {oq}");
                assert!((p + q - 1.0).abs() < 1e-15);
            }
        }
    }

    #[test]
    fn identity_large_shape_expansion_meets_the_sums() {
        for z in [-6.0, -2.0, -0.3, 0.0, 0.1, 1.5, 5.0] {
            let a = 9.9e4;
            let x = a + z * f64::sqrt(a);
            let (p, q) = tails(a, x);
            let (tp, tq) = tails_of_large_shape(a, x);
            assert!((tp / p - 1.0).abs() < 1e-11 && (tq / q - 1.0).abs() < 1e-11, "z {z}: {p} {tp} {q} {tq}");
        }
    }

    #[test]
    fn identity_quantile_inverts_both_tails() {
        for a in [1e-3, 0.02, 0.05, 0.3, 0.9, 1.0, 3.0, 40.0, 1e3, 1e4, 3e5, 1e9] {
            for e in 1..=12 {
                let t = washgraph_units::math::pow(10.0, -f64::from(e)) * 4.9;
                let y = ln_quantile(a, t, 1.0 - t);
                if y > -700.0 {
                    assert!(
                        (cdf(a, exp(y)) / t - 1.0).abs() < 3e-9 * (1.0 + a / 1e5),
                        "a {a} below {t}: {}",
                        cdf(a, exp(y))
                    );
                }
                let x = exp(ln_quantile(a, 1.0 - t, t));
                assert!(
                    (upper_tail(a, x) / t - 1.0).abs() < 3e-9 * (1.0 + a / 1e5),
                    "a {a} above {t}: {}",
                    upper_tail(a, x)
                );
            }
        }
    }

    #[test]
    fn identity_table_meets_the_quantile_within_its_stated_error() {
        let mut worst = 0.0_f64;
        for a in [0.05, 0.07, 0.1, 0.2, 0.35, 0.499, 0.5, 0.7, 1.0, 1.5, 3.0, 8.0, 30.0, 120.0, 999.0, 1001.0, 1e4] {
            let table = QuantileTable::gamma(a, 2.0).unwrap();
            let mut last = 0.0;
            for i in 0..=4000 {
                // Even steps of the normal score from 1e-6 to 1 - 1e-6.
                let z = -4.753_424 + 9.506_848 * f64::from(i) / 4000.0;
                let u = normal::cdf(z);
                let exact = ln_quantile(a, u, normal::upper_tail(z));
                let x = table.quantile(u);
                let error = (x * 2.0 / exp(exact) - 1.0).abs();
                if exact > -690.0 {
                    worst = worst.max(error);
                    assert!(error < 2e-5, "shape {a}, u {u}: {x} against {}, error {error}", exp(exact) / 2.0);
                }
                assert!(x >= last);
                last = x;
            }
            assert!((table.mean() - a / 2.0).abs() < 1e-12 * a);
        }
        assert!(worst > 1e-7, "the stated error is idle: {worst}");
        assert!(QuantileTable::gamma(0.0, 1.0).is_err() && QuantileTable::gamma(1.0, f64::NAN).is_err());
    }
}
