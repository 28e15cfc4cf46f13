//! One unknown, one bracket: the root finder of this room.

/// Root of a continuous function between two points where it has opposite signs, or `None` when the signs are equal or a
/// value is not a number.
///
/// Chandrupatla's method: inverse quadratic interpolation where it is safe, halving where it is not; never leaves the
/// bracket. Source: T. R. Chandrupatla, Advances in Engineering Software 28 (1997) 145-149 (from memory).
/// Stops when the bracket is narrower than `tolerance` (absolute) plus the rounding of the root, or after 200 steps.
pub(crate) fn bracketed_root(f: impl Fn(f64) -> f64, low: f64, high: f64, tolerance: f64) -> Option<f64> {
    let (mut a, mut b) = (low, high);
    let (mut f_a, mut f_b) = (f(a), f(b));
    if f_a == 0.0 {
        return Some(a);
    }
    if f_b == 0.0 {
        return Some(b);
    }
    if !(f_a * f_b < 0.0) {
        return None;
    }
    let mut step = 0.5;
    for _ in 0..200 {
        let trial = a + step * (b - a);
        let f_trial = f(trial);
        if f_trial.is_nan() {
            return None;
        }
        let (c, f_c);
        if (f_trial > 0.0) == (f_a > 0.0) {
            (c, f_c) = (a, f_a);
        } else {
            (c, f_c) = (b, f_b);
            (b, f_b) = (a, f_a);
        }
        (a, f_a) = (trial, f_trial);
        let best = if f_a.abs() < f_b.abs() { a } else { b };
        let narrow = (2.0 * f64::EPSILON * best.abs() + 0.5 * tolerance) / (b - a).abs();
        if f_a == 0.0 || narrow >= 0.5 {
            return Some(best);
        }
        let xi = (a - b) / (c - b);
        let phi = (f_a - f_b) / (f_c - f_b);
        step = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            f_a / (f_b - f_a) * f_c / (f_b - f_c) + (c - a) / (b - a) * f_a / (f_c - f_a) * f_b / (f_c - f_b)
        } else {
            0.5
        }
        .clamp(narrow, 1.0 - narrow);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::bracketed_root;

    #[test]
    fn identity_finds_the_cube_root_of_two() {
        let root = bracketed_root(|x| x * x * x - 2.0, 0.0, 2.0, 0.0).unwrap();
        assert!((root - washgraph_units::math::cbrt(2.0)).abs() < 1e-15);
        assert!(bracketed_root(|x| x * x + 1.0, -1.0, 1.0, 0.0).is_none());
    }
}
