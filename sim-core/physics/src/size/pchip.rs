//! Monotone cubic interpolation (PCHIP): a smooth curve through measured points that never overshoots them.

/// Value at `x` of the cubic that has values `y0`, `y1` and slopes `m0`, `m1` at `x0`, `x1` (cubic Hermite form).
#[inline]
pub(crate) fn hermite(x: f64, (x0, x1): (f64, f64), (y0, y1): (f64, f64), m: (f64, f64)) -> f64 {
    let h = x1 - x0;
    let t = (x - x0) / h;
    let s = 1.0 - t;
    y0 * (1.0 + 2.0 * t) * s * s + y1 * t * t * (3.0 - 2.0 * t) + h * t * s * (m.0 * s - m.1 * t)
}

/// Slopes of the monotone cubic at the points (x_k, y_k), with x rising.
///
/// With h_k = x_(k+1) - x_k and secants s_k: inside, the weighted harmonic mean
/// (w1 + w2)/(w1/s_(k-1) + w2/s_k), w1 = 2 h_k + h_(k-1), w2 = h_k + 2 h_(k-1), or 0 where the secants change sign;
/// at the ends the three-point formula, cut back so that the curve stays monotone.
/// Source: Fritsch and Butland 1984, SIAM J. Sci. Stat. Comput. 5:300 (from memory); same as scipy's
/// `PchipInterpolator`.
///
/// Two points give the straight line; fewer give slopes of 0.
pub(crate) fn slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let n = x.len().min(y.len());
    if n < 2 {
        return vec![0.0; n];
    }
    let h: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
    let s: Vec<f64> = (0..n - 1).map(|k| (y[k + 1] - y[k]) / h[k]).collect();
    if n == 2 {
        return vec![s[0]; 2];
    }
    let mut m = vec![0.0; n];
    m[0] = end_slope(h[0], h[1], s[0], s[1]);
    m[n - 1] = end_slope(h[n - 2], h[n - 3], s[n - 2], s[n - 3]);
    for k in 1..n - 1 {
        if s[k - 1] * s[k] > 0.0 {
            let w1 = 2.0 * h[k] + h[k - 1];
            let w2 = h[k] + 2.0 * h[k - 1];
            m[k] = (w1 + w2) / (w1 / s[k - 1] + w2 / s[k]);
        }
    }
    m
}

fn end_slope(h0: f64, h1: f64, s0: f64, s1: f64) -> f64 {
    let e = ((2.0 * h0 + h1) * s0 - h0 * s1) / (h0 + h1);
    if e * s0 <= 0.0 {
        0.0
    } else if s0 * s1 <= 0.0 && e.abs() > 3.0 * s0.abs() {
        3.0 * s0
    } else {
        e
    }
}
