//! Centrifugal pump: head against flow, speed, power.
//!
//! ```text
//!   H |*----___            three points, first at no flow:  H = H0 - B Q^C
//!     |        ---__       more points:                     monotone cubic through them
//!     |             *      slower engine (ratio s):         Q ~ s, H ~ s^2, P ~ s^3
//!     +-----------------Q
//! ```
//! The head is in metres of the fluid pumped. No maker's curve is built in: the user types points off his own.

use thiserror::Error;

use washgraph_units::constants::STANDARD_GRAVITY_M_S2 as G;
use washgraph_units::math::{ln, pow};

/// Why a set of points is not a pump curve that can be used.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum PumpError {
    /// Fewer than three points.
    #[error("a pump curve needs at least three points of flow and head, {count} given")]
    TooFewPoints {
        /// How many there were.
        count: usize,
    },
    /// A value is negative or not a number.
    #[error("point {point} of the pump curve must have a flow of zero or more and a head of zero or more")]
    BadPoint {
        /// Which point, from 1.
        point: usize,
    },
    /// Flows do not increase from point to point.
    #[error("flows of the pump curve must increase from point to point: point {point} does not")]
    FlowNotIncreasing {
        /// Which point, from 1.
        point: usize,
    },
    /// The head rises with flow where it must fall.
    #[error("the head must fall as the flow grows: it does not at point {point} of the pump curve")]
    RisingCurve {
        /// Which point, from 1.
        point: usize,
    },
}

/// A curve that rises from no flow before it falls: two flows give the same head and the pump may hunt between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Droop {
    /// Flow at the highest typed point (m3/s); running below it is unstable.
    pub peak_flow_m3_s: f64,
    /// Head there (m).
    pub peak_head_m: f64,
}

#[derive(Debug, Clone, PartialEq)]
enum Shape {
    /// `H = H0 - B Q^C`.
    Power { h0_m: f64, b: f64, c: f64 },
    /// Points and the slope of the curve at each.
    Points { flow_m3_s: Vec<f64>, head_m: Vec<f64>, slope_s_m2: Vec<f64> },
}

/// Head against flow at full speed, falling everywhere.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpCurve {
    shape: Shape,
    last_flow_m3_s: f64,
    droop: Option<Droop>,
}

/// Coefficients `(B, C)` of `H = H0 - B Q^C` through no flow and two points.
///
/// `C = ln[(H0-H2)/(H0-H1)] / ln(Q2/Q1)`, `B = (H0-H1)/Q1^C`; heads (m), flows (m3/s); `C` usually 1 to 3 (-).
/// Source: EPANET manual, pump curve of three points (from memory). NaN unless `H0 > H1 > H2` and `0 < Q1 < Q2`.
///
/// ```
/// # use washgraph_physics::hydraulics::pump::fit_three_points;
/// let (b, c) = fit_three_points(38.0, (0.040, 31.0), (0.080, 12.0));
/// assert!((c - 1.89308).abs() < 1e-5 && (b / 3101.11 - 1.0).abs() < 1e-5);
/// ```
pub fn fit_three_points(h0_m: f64, first: (f64, f64), second: (f64, f64)) -> (f64, f64) {
    let c = ln((h0_m - second.1) / (h0_m - first.1)) / ln(second.0 / first.0);
    ((h0_m - first.1) / pow(first.0, c), c)
}

impl PumpCurve {
    /// Curve through `(flow [m3/s], head [m])` points in order of flow.
    ///
    /// Three points of which the first is at no flow give the power form; anything else gives a monotone piecewise cubic
    /// (Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5, 1984, from memory). A curve that rises at first and then falls is
    /// accepted with a [`Droop`]; left of its peak it is held level (falling by 0.1 %) so that there is one answer.
    /// A curve that rises later, or never falls, is refused.
    pub fn from_points(points: &[(f64, f64)]) -> Result<PumpCurve, PumpError> {
        check_points(points)?;
        let peak = points
            .iter()
            .enumerate()
            .fold(0, |best, (i, p)| if p.1 > points.get(best).map_or(f64::NEG_INFINITY, |q| q.1) { i } else { best });
        let mut falling: Vec<(f64, f64)> = points.iter().skip(peak).copied().collect();
        if falling.len() < 2 {
            return Err(PumpError::RisingCurve { point: points.len() });
        }
        for (i, pair) in falling.windows(2).enumerate() {
            if let [a, b] = pair
                && b.1 >= a.1
            {
                return Err(PumpError::RisingCurve { point: peak + i + 2 });
            }
        }
        let last_flow_m3_s = points.last().map_or(0.0, |p| p.0);
        if let ([first, second, third], true) = (points, peak == 0)
            && first.0 == 0.0
        {
            let (b, c) = fit_three_points(first.1, *second, *third);
            return Ok(PumpCurve { shape: Shape::Power { h0_m: first.1, b, c }, last_flow_m3_s, droop: None });
        }
        let mut droop = None;
        if let (true, Some(&(q, h))) = (peak > 0, falling.first()) {
            droop = Some(Droop { peak_flow_m3_s: q, peak_head_m: h });
            falling.insert(0, (0.0, h * 1.001));
        }
        Ok(PumpCurve { shape: monotone_cubic(&falling), last_flow_m3_s, droop })
    }

    /// The droop, if the typed curve has one: to be shown as a warning.
    pub fn droop(&self) -> Option<Droop> {
        self.droop
    }

    /// The curve of a pump that gives `factor` times the flow at every head.
    ///
    /// `H(Q) = H1(Q/factor)`; a wider pump of the same kind and speed. Simplified: makers' next sizes differ in head as well.
    pub fn wider(&self, factor: f64) -> PumpCurve {
        let shape = match &self.shape {
            Shape::Power { h0_m, b, c } => Shape::Power { h0_m: *h0_m, b: b / pow(factor, *c), c: *c },
            Shape::Points { flow_m3_s, head_m, slope_s_m2 } => Shape::Points {
                flow_m3_s: flow_m3_s.iter().map(|q| q * factor).collect(),
                head_m: head_m.clone(),
                slope_s_m2: slope_s_m2.iter().map(|s| s / factor).collect(),
            },
        };
        let droop = self.droop.map(|d| Droop { peak_flow_m3_s: d.peak_flow_m3_s * factor, ..d });
        PumpCurve { shape, last_flow_m3_s: self.last_flow_m3_s * factor, droop }
    }

    /// Flow of the last typed point (m3/s).
    pub fn last_flow_m3_s(&self) -> f64 {
        self.last_flow_m3_s
    }

    /// The curve at a speed and a state of wear.
    pub fn running(&self, duty: PumpDuty) -> RunningPump<'_> {
        let s = duty.speed_ratio;
        let scaled_b = match self.shape {
            Shape::Power { b, c, .. } => b * pow(s, 2.0 - c),
            Shape::Points { .. } => 0.0,
        };
        RunningPump { curve: self, duty, scaled_b }
    }
}

fn check_points(points: &[(f64, f64)]) -> Result<(), PumpError> {
    if points.len() < 3 {
        return Err(PumpError::TooFewPoints { count: points.len() });
    }
    for (i, p) in points.iter().enumerate() {
        if !(p.0 >= 0.0 && p.0.is_finite() && p.1 >= 0.0 && p.1.is_finite()) {
            return Err(PumpError::BadPoint { point: i + 1 });
        }
    }
    for (i, pair) in points.windows(2).enumerate() {
        if let [a, b] = pair
            && b.0 <= a.0
        {
            return Err(PumpError::FlowNotIncreasing { point: i + 2 });
        }
    }
    Ok(())
}

/// Slopes that keep a falling table falling: weighted harmonic mean of the two chords inside, the chord at the ends.
fn monotone_cubic(points: &[(f64, f64)]) -> Shape {
    let chords: Vec<(f64, f64)> = points
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some((b.0 - a.0, (b.1 - a.1) / (b.0 - a.0))),
            _ => None,
        })
        .collect();
    let mut slopes = Vec::with_capacity(points.len());
    slopes.extend(chords.first().map(|chord| chord.1));
    for pair in chords.windows(2) {
        if let [(left_width, left), (right_width, right)] = *pair {
            let (w1, w2) = (2.0 * right_width + left_width, right_width + 2.0 * left_width);
            slopes.push((w1 + w2) / (w1 / left + w2 / right));
        }
    }
    slopes.extend(chords.last().map(|chord| chord.1));
    Shape::Points {
        flow_m3_s: points.iter().map(|p| p.0).collect(),
        head_m: points.iter().map(|p| p.1).collect(),
        slope_s_m2: slopes,
    }
}

/// How the pump is run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpDuty {
    /// Speed over the speed of the typed curve (-); 0.5 to 1.2.
    pub speed_ratio: f64,
    /// Head of the worn pump over the head of the new one (-); 0.85 to 1 (assumed).
    pub head_factor: f64,
}

impl Default for PumpDuty {
    fn default() -> Self {
        PumpDuty { speed_ratio: 1.0, head_factor: 1.0 }
    }
}

/// A pump curve at a speed and a state of wear, ready to be evaluated without allocation.
#[derive(Debug, Clone, Copy)]
pub struct RunningPump<'a> {
    curve: &'a PumpCurve,
    duty: PumpDuty,
    scaled_b: f64,
}

impl RunningPump<'_> {
    /// Head (m) and its slope dH/dQ (s/m2, never above 0) at a flow.
    ///
    /// Power form: `H = s^2 H0 - B s^(2-C) Q^C`; points: `H = s^2 H1(Q/s)`. Source: affinity laws.
    /// Wear multiplies the head. Backward flow meets the mirrored curve (power form) or the first slope continued (points);
    /// past the last point the curve goes on with its last slope and [`RunningPump::past_end`] says so.
    #[inline]
    pub fn head_and_slope(&self, flow_m3_s: f64) -> (f64, f64) {
        let s = self.duty.speed_ratio;
        let (head, slope) = match &self.curve.shape {
            Shape::Power { h0_m, c, .. } => {
                let size = flow_m3_s.abs();
                let drop_per_flow = if size > 0.0 { self.scaled_b * pow(size, c - 1.0) } else { 0.0 };
                (s * s * h0_m - drop_per_flow * flow_m3_s, -c * drop_per_flow)
            }
            Shape::Points { flow_m3_s: flows, head_m, slope_s_m2 } => {
                let (head, slope) = cubic_at(flows, head_m, slope_s_m2, flow_m3_s / s);
                (s * s * head, s * slope)
            }
        };
        (self.duty.head_factor * head, self.duty.head_factor * slope)
    }

    /// Head at no flow (m).
    pub fn shutoff_head_m(&self) -> f64 {
        self.head_and_slope(0.0).0
    }

    /// Whether the flow lies past the last typed point: the head there is a guess.
    pub fn past_end(&self, flow_m3_s: f64) -> bool {
        flow_m3_s > self.duty.speed_ratio * self.curve.last_flow_m3_s
    }

    /// Whether the flow lies left of the peak of a drooping curve: the pump may hunt.
    pub fn unstable(&self, flow_m3_s: f64) -> bool {
        self.curve.droop.is_some_and(|droop| flow_m3_s < self.duty.speed_ratio * droop.peak_flow_m3_s)
    }

    /// A flow in the middle of the curve, to start an iteration from (m3/s).
    pub(crate) fn middle_flow_m3_s(&self) -> f64 {
        0.5 * self.duty.speed_ratio * self.curve.last_flow_m3_s
    }
}

/// Value and slope of a piecewise cubic; straight beyond its ends.
fn cubic_at(x: &[f64], y: &[f64], slope: &[f64], at: f64) -> (f64, f64) {
    let right = x.iter().position(|&node| node > at).unwrap_or(x.len());
    let last = x.len() - 1;
    if right == 0 || right > last {
        let end = if right == 0 { 0 } else { last };
        return (y[end] + slope[end] * (at - x[end]), slope[end]);
    }
    let left = right - 1;
    let width = x[right] - x[left];
    let t = (at - x[left]) / width;
    let chord = (y[right] - y[left]) / width;
    let (d0, d1) = (slope[left], slope[right]);
    let second = 3.0 * chord - 2.0 * d0 - d1;
    let third = d0 + d1 - 2.0 * chord;
    let value = y[left] + width * t * (d0 + t * (second + t * third));
    (value, d0 + t * (2.0 * second + 3.0 * t * third))
}

/// Power given to the water.
///
/// `P = rho g Q H`; `rho` density of what is pumped (kg/m3), `Q` (m3/s), `H` head in metres of that fluid (m); result (W).
pub fn hydraulic_power_w(density_kg_m3: f64, flow_m3_s: f64, head_m: f64) -> f64 {
    density_kg_m3 * G * flow_m3_s * head_m
}

/// Power at the pump shaft.
///
/// `P_shaft = rho g Q H / eta`; `eta` pump efficiency (-), 0.5-0.65 for a trash pump (assumed), 0.7-0.8 for a clean-water pump
/// near its best point; result (W). Infinite for `eta` 0.
pub fn shaft_power_w(density_kg_m3: f64, flow_m3_s: f64, head_m: f64, efficiency: f64) -> f64 {
    hydraulic_power_w(density_kg_m3, flow_m3_s, head_m) / efficiency
}

/// Efficiency of a pump away from its best flow.
///
/// `eta = eta_b q (2 - q)`, `q = Q/Q_b`; `Q_b` flow of best efficiency at the running speed (m3/s), `eta_b` efficiency there (-);
/// result (-). Source: common practice, no source (a parabola through no flow and the best point,
/// often drawn so). The maker's curve is better. Below `q` of 0.106 and above 1.894 the parabola means nothing; [`LEAST_EFFICIENCY`] of the best is
/// taken there.
pub fn efficiency_at(flow_over_best: f64, best_efficiency: f64) -> f64 {
    best_efficiency * (flow_over_best * (2.0 - flow_over_best)).max(LEAST_EFFICIENCY)
}

/// Least efficiency over the best one that [`efficiency_at`] gives (-). Assumed.
pub const LEAST_EFFICIENCY: f64 = 0.2;

/// Share of the best flow between which a pump may run (-). Assumed: wider than the 70-120 % that pump guides prefer (from memory).
pub const ALLOWED_RANGE: (f64, f64) = (0.5, 1.3);

/// Best flow over the last flow of the typed curve, when the user knows no better (-). Assumed.
pub const USUAL_BEST_FLOW: f64 = 0.65;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_curve_passes_through_its_points_and_follows_affinity() {
        let three = [(0.0, 38.0), (0.040, 31.0), (0.080, 12.0)];
        let five = [(0.0, 38.0), (0.02, 36.0), (0.04, 31.0), (0.06, 23.0), (0.08, 12.0)];
        for points in [&three[..], &five[..]] {
            let curve = PumpCurve::from_points(points).unwrap();
            let full = curve.running(PumpDuty::default());
            for &(q, h) in points {
                assert!((full.head_and_slope(q).0 - h).abs() < 1e-10);
            }
            let s = 0.85;
            let slow = curve.running(PumpDuty { speed_ratio: s, head_factor: 1.0 });
            for q in [0.01, 0.033, 0.07] {
                let (h, dh) = full.head_and_slope(q);
                let (hs, dhs) = slow.head_and_slope(s * q);
                assert!((hs - s * s * h).abs() < 1e-12 * h && (dhs - s * dh).abs() < 1e-9 * dh.abs());
            }
        }
    }

    #[test]
    fn property_head_falls_all_along() {
        let curve =
            PumpCurve::from_points(&[(0.0, 30.0), (0.01, 29.9), (0.02, 29.0), (0.05, 10.0), (0.06, 9.9)]).unwrap();
        let pump = curve.running(PumpDuty::default());
        let mut last = f64::INFINITY;
        for step in 0..900 {
            let (h, slope) = pump.head_and_slope(1e-4 * f64::from(step) - 0.01);
            assert!(h < last && slope <= 0.0);
            last = h;
        }
        assert!(pump.past_end(0.061) && !pump.past_end(0.059));
    }

    #[test]
    fn property_rising_curve_is_refused_and_droop_is_told() {
        let rising = PumpCurve::from_points(&[(0.0, 10.0), (0.01, 12.0), (0.02, 13.0)]);
        assert_eq!(rising, Err(PumpError::RisingCurve { point: 3 }));
        let late = PumpCurve::from_points(&[(0.0, 20.0), (0.01, 12.0), (0.02, 13.0), (0.03, 5.0)]);
        assert_eq!(late, Err(PumpError::RisingCurve { point: 3 }));
        let droop = PumpCurve::from_points(&[(0.0, 20.0), (0.01, 22.0), (0.02, 18.0), (0.03, 5.0)]).unwrap();
        assert_eq!(droop.droop().unwrap().peak_flow_m3_s, 0.01);
        let pump = droop.running(PumpDuty::default());
        assert!(pump.unstable(0.005) && !pump.unstable(0.02) && pump.head_and_slope(0.005).1 < 0.0);
        assert_eq!(PumpCurve::from_points(&[(0.0, 1.0)]), Err(PumpError::TooFewPoints { count: 1 }));
    }
}
