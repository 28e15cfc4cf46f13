//! The spread of an uncertain input, read by one uniform number through its inverse distribution.
//!
//! One number per input and trial is what lets two designs be compared on the same ground: the same uniform gives the same
//! place in the spread, whatever else the plant draws.

use std::sync::Arc;

use super::normal;
use super::quantile_table::QuantileTable;
use super::spread_error::{SpreadError, apart, finite, ordered, positive};
use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{ANY, number, result, share};
use washgraph_units::math::{exp, ln};

/// Least share of an unlimited distribution that limits must leave, so that the inverse keeps its digits. Our choice.
const LEAST_SHARE_WITHIN_LIMITS: f64 = 1e-6;

/// Limits of a cut-off normal or lognormal distribution, with the probabilities that they cut away.
///
/// What lies outside is not moved to the limit: the distribution inside is enlarged to make up a whole (truncation).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    low: f64,
    high: f64,
    /// Lower limit as a normal score.
    z_low: f64,
    /// Upper limit as a normal score.
    z_high: f64,
    /// Probability below the lower limit in the unlimited distribution.
    below_low: f64,
    /// Probability between the limits in the unlimited distribution.
    share: f64,
}

impl Limits {
    fn new(low: f64, high: f64, z_low: f64, z_high: f64) -> Result<Self, SpreadError> {
        ordered("the lower limit", low, "the upper limit", high)?;
        let below_low = normal::cdf(z_low);
        let share = normal::cdf(z_high) - below_low;
        if !(share >= LEAST_SHARE_WITHIN_LIMITS) {
            return Err(SpreadError::LimitsTooTight { low, high, share });
        }
        Ok(Self { low, high, z_low, z_high, below_low, share })
    }

    /// Lowest value that can come out.
    pub fn low(&self) -> f64 {
        self.low
    }

    /// Highest value that can come out.
    pub fn high(&self) -> f64 {
        self.high
    }
}

/// Share outside its limits that a spread may have without being cut: no draw is as far out, the farthest being 1.2e-10.
const NEXT_TO_NOTHING: f64 = 1e-10;
/// Share on either side that may be cut away by enlarging the rest: no point moves by more than this share of the runs. More would
/// carry the typed points away from where they were typed. Our choice.
const MOST_CUT: f64 = 0.02;
/// Least share of a spread that must lie within the limits for a cut to make sense.
const LEAST_KEPT: f64 = 1e-3;
/// Quantiles over which the mean of a cut spread is summed.
const MEAN_POINTS: u32 = 2000;

/// The distribution of an uncertain input. Made by the constructors, which refuse what makes no sense.
///
/// All of them read one uniform number `u` in (0, 1): `quantile(u)` is the value below which the share `u` lies.
#[derive(Debug, Clone, PartialEq)]
pub enum Spread {
    /// Always the same value.
    Fixed(f64),
    /// Any value between the ends, all alike.
    Uniform {
        /// Lowest value.
        low: f64,
        /// Highest value.
        high: f64,
    },
    /// Straight lines from the ends up to the most likely value.
    Triangular {
        /// Lowest value.
        low: f64,
        /// Most likely value.
        mode: f64,
        /// Highest value.
        high: f64,
    },
    /// Normal (bell) distribution, cut off at limits if there are any.
    Normal {
        /// Mean of the distribution before limits.
        mean: f64,
        /// Standard deviation before limits.
        sd: f64,
        /// Where it is cut off.
        limits: Option<Limits>,
    },
    /// Distribution whose logarithm is normal, cut off at limits if there are any. Positive quantities only.
    LogNormal {
        /// Median before limits.
        median: f64,
        /// Standard deviation of the natural logarithm before limits.
        sigma_ln: f64,
        /// Where it is cut off.
        limits: Option<Limits>,
    },
    /// Any value between the ends, all ratios alike. Positive quantities only.
    LogUniform {
        /// Lowest value.
        low: f64,
        /// Highest value.
        high: f64,
    },
    /// Two half-normals joined at the median: meets the 10 %, 50 % and 90 % points exactly.
    SplitNormal {
        /// Value that 1 run in 10 falls below.
        pctl_10: f64,
        /// Middle value.
        median: f64,
        /// Value that 1 run in 10 is above.
        pctl_90: f64,
    },
    /// The same in logarithms, for quantities above zero: meets the 10 %, 50 % and 90 % points exactly.
    SplitLogNormal {
        /// Value that 1 run in 10 falls below.
        pctl_10: f64,
        /// Middle value.
        median: f64,
        /// Value that 1 run in 10 is above.
        pctl_90: f64,
    },
    /// A tabulated inverse distribution, such as a posterior.
    Table(Arc<QuantileTable>),
    /// Another spread, of which only what lies within limits comes out.
    Within {
        /// The spread before limits.
        whole: Box<Spread>,
        /// Share of it below the lower limit.
        below_low: f64,
        /// Share of it within the limits.
        share: f64,
        /// Lowest value that can come out.
        low: f64,
        /// Highest value that can come out.
        high: f64,
    },
}

impl Spread {
    /// Always `value`.
    pub fn fixed(value: f64) -> Result<Self, SpreadError> {
        finite("the value", value)?;
        Ok(Spread::Fixed(value))
    }

    /// Uniform between `low` and `high`, low < high.
    pub fn uniform(low: f64, high: f64) -> Result<Self, SpreadError> {
        finite("the low end", low)?;
        finite("the high end", high)?;
        apart("the low end", low, "the high end", high)?;
        Ok(Spread::Uniform { low, high })
    }

    /// Triangular with low <= mode <= high, low < high.
    pub fn triangular(low: f64, mode: f64, high: f64) -> Result<Self, SpreadError> {
        finite("the low end", low)?;
        finite("the most likely value", mode)?;
        finite("the high end", high)?;
        ordered("the low end", low, "the most likely value", mode)?;
        ordered("the most likely value", mode, "the high end", high)?;
        apart("the low end", low, "the high end", high)?;
        Ok(Spread::Triangular { low, mode, high })
    }

    /// Normal with mean and standard deviation (> 0), without limits.
    pub fn normal(mean: f64, sd: f64) -> Result<Self, SpreadError> {
        finite("the mean", mean)?;
        positive("the standard deviation", sd)?;
        Ok(Spread::Normal { mean, sd, limits: None })
    }

    /// Normal cut off at `low` and `high` (an infinity means no limit on that side).
    pub fn normal_within(mean: f64, sd: f64, low: f64, high: f64) -> Result<Self, SpreadError> {
        Self::normal(mean, sd)?;
        let limits = Limits::new(low, high, (low - mean) / sd, (high - mean) / sd)?;
        Ok(Spread::Normal { mean, sd, limits: Some(limits) })
    }

    /// Lognormal with median (> 0) and standard deviation of the natural logarithm (> 0), without limits.
    pub fn log_normal(median: f64, sigma_ln: f64) -> Result<Self, SpreadError> {
        positive("the median", median)?;
        positive("the log standard deviation", sigma_ln)?;
        Ok(Spread::LogNormal { median, sigma_ln, limits: None })
    }

    /// Lognormal cut off at `low` (zero for none) and `high` (infinity for none).
    pub fn log_normal_within(median: f64, sigma_ln: f64, low: f64, high: f64) -> Result<Self, SpreadError> {
        Self::log_normal(median, sigma_ln)?;
        ordered("zero", 0.0, "the lower limit", low)?;
        let limits = Limits::new(low, high, ln(low / median) / sigma_ln, ln(high / median) / sigma_ln)?;
        Ok(Spread::LogNormal { median, sigma_ln, limits: Some(limits) })
    }

    /// Log-uniform with 0 < low < high.
    pub fn log_uniform(low: f64, high: f64) -> Result<Self, SpreadError> {
        positive("the low end", low)?;
        positive("the high end", high)?;
        apart("the low end", low, "the high end", high)?;
        Ok(Spread::LogUniform { low, high })
    }

    /// Two half-normals through three points, pctl_10 <= median <= pctl_90 and the outer two apart.
    pub fn split_normal(pctl_10: f64, median: f64, pctl_90: f64) -> Result<Self, SpreadError> {
        finite("the 1-in-10 low value", pctl_10)?;
        finite("the middle value", median)?;
        finite("the 1-in-10 high value", pctl_90)?;
        ordered("the 1-in-10 low value", pctl_10, "the middle value", median)?;
        ordered("the middle value", median, "the 1-in-10 high value", pctl_90)?;
        apart("the 1-in-10 low value", pctl_10, "the 1-in-10 high value", pctl_90)?;
        Ok(Spread::SplitNormal { pctl_10, median, pctl_90 })
    }

    /// Two half-lognormals through three points above zero, ordered as in [`Spread::split_normal`].
    pub fn split_log_normal(pctl_10: f64, median: f64, pctl_90: f64) -> Result<Self, SpreadError> {
        positive("the 1-in-10 low value", pctl_10)?;
        Self::split_normal(pctl_10, median, pctl_90)?;
        Ok(Spread::SplitLogNormal { pctl_10, median, pctl_90 })
    }

    /// The spread with only what lies within limits kept, enlarged to make up a whole; as it is when next to nothing lies
    /// outside or it ends by itself. For spreads drawn through three typed points, whose tails know no physical limit (a
    /// share of clay above 1). A spread that lies outside as a whole is left as it is.
    ///
    /// Where more than 1 run in 50 lies outside on one side (a low point typed at the limit itself), enlarging the rest would move
    /// the typed points. They stay then, and the runs beyond a limit stand on it: of 0 / 60 / 60 % with no less than 0 %, 1 run in 10
    /// has 0 %.
    #[must_use]
    pub fn within(self, low: f64, high: f64) -> Self {
        // A side without width stands on the median as a whole: a limit there keeps it, from whichever side.
        let below = |x: f64, is_lower: bool| match &self {
            Spread::SplitNormal { pctl_10, median, pctl_90 } => {
                let on_low_side = x < *median || (is_lower && x == *median);
                let side = if on_low_side { median - pctl_10 } else { pctl_90 - median };
                let whole = f64::from(!on_low_side);
                Some(if side > 0.0 { normal::cdf((x - median) / side * normal::Z_90) } else { whole })
            }
            Spread::SplitLogNormal { pctl_10, median, pctl_90 } if x > 0.0 => {
                let on_low_side = x < *median || (is_lower && x == *median);
                let side = ln(if on_low_side { median / pctl_10 } else { pctl_90 / median });
                let whole = f64::from(!on_low_side);
                Some(if side > 0.0 { normal::cdf(ln(x / median) / side * normal::Z_90) } else { whole })
            }
            Spread::SplitLogNormal { .. } => Some(0.0),
            _ => None,
        };
        let (Some(below_low), Some(below_high)) = (below(low, true), below(high, false)) else { return self };
        let share = below_high - below_low;
        if share > LEAST_KEPT && share < 1.0 - NEXT_TO_NOTHING {
            let is_little = below_low <= MOST_CUT && below_high >= 1.0 - MOST_CUT;
            let (below_low, share) = if is_little { (below_low, share) } else { (0.0, 1.0) };
            Spread::Within { whole: Box::new(self), below_low, share, low, high }
        } else {
            self
        }
    }

    /// A tabulated inverse distribution.
    pub fn table(table: QuantileTable) -> Self {
        Spread::Table(Arc::new(table))
    }

    /// Value below which the share `u` of the spread lies.
    ///
    /// `u` in (0, 1). At exactly 0 or 1 a spread without limits answers with an infinity (or zero on the low side of a
    /// lognormal); outside, NaN for the curved ones.
    pub fn quantile(&self, u: f64) -> f64 {
        match self {
            Spread::Fixed(value) => *value,
            Spread::Uniform { low, high } => low + u * (high - low),
            Spread::Triangular { low, mode, high } => triangular_quantile(*low, *mode, *high, u),
            Spread::Normal { mean, sd, limits: None } => mean + sd * normal::quantile(u),
            Spread::Normal { mean, sd, limits: Some(l) } => {
                (mean + sd * normal::quantile(l.below_low + u * l.share)).max(l.low).min(l.high)
            }
            Spread::LogNormal { median, sigma_ln, limits: None } => median * exp(sigma_ln * normal::quantile(u)),
            Spread::LogNormal { median, sigma_ln, limits: Some(l) } => {
                (median * exp(sigma_ln * normal::quantile(l.below_low + u * l.share))).max(l.low).min(l.high)
            }
            Spread::LogUniform { low, high } => low * exp(u * ln(high / low)),
            Spread::SplitNormal { pctl_10, median, pctl_90 } => {
                let z = normal::quantile(u);
                median + z / normal::Z_90 * if z < 0.0 { median - pctl_10 } else { pctl_90 - median }
            }
            Spread::SplitLogNormal { pctl_10, median, pctl_90 } => {
                let z = normal::quantile(u);
                median * exp(z / normal::Z_90 * ln(if z < 0.0 { median / pctl_10 } else { pctl_90 / median }))
            }
            Spread::Table(table) => table.quantile(u),
            Spread::Within { whole, below_low, share, low, high } => {
                whole.quantile(below_low + u * share).max(*low).min(*high)
            }
        }
    }

    /// The middle (median): what `--once` runs with.
    pub fn middle(&self) -> f64 {
        self.quantile(0.5)
    }

    /// Mean of the spread.
    ///
    /// Exact for every kind (closed forms of the truncated and split distributions included) but [`Spread::Within`], which is
    /// summed over quantiles; "approx" because the closed forms lose digits where limits cut far into a tail.
    pub fn mean_approx(&self) -> f64 {
        match self {
            Spread::Fixed(value) => *value,
            Spread::Uniform { low, high } => 0.5 * (low + high),
            Spread::Triangular { low, mode, high } => (low + mode + high) / 3.0,
            Spread::Normal { mean, limits: None, .. } => *mean,
            Spread::Normal { mean, sd, limits: Some(l) } => {
                mean + sd * (normal::density(l.z_low) - normal::density(l.z_high)) / l.share
            }
            Spread::LogNormal { median, sigma_ln, limits: None } => median * exp(0.5 * sigma_ln * sigma_ln),
            Spread::LogNormal { median, sigma_ln, limits: Some(l) } => {
                let kept = normal::cdf(l.z_high - sigma_ln) - normal::cdf(l.z_low - sigma_ln);
                median * exp(0.5 * sigma_ln * sigma_ln) * kept / l.share
            }
            Spread::LogUniform { low, high } => (high - low) / ln(high / low),
            Spread::SplitNormal { pctl_10, median, pctl_90 } => {
                // E|z| of a half-normal is 2 phi(0); each half has probability 1/2.
                median + normal::density(0.0) * ((pctl_90 - median) - (median - pctl_10)) / normal::Z_90
            }
            Spread::SplitLogNormal { pctl_10, median, pctl_90 } => {
                let below = ln(median / pctl_10) / normal::Z_90;
                let above = ln(pctl_90 / median) / normal::Z_90;
                median
                    * (exp(0.5 * below * below) * normal::cdf(-below) + exp(0.5 * above * above) * normal::cdf(above))
            }
            Spread::Table(table) => table.mean(),
            Spread::Within { .. } => {
                (0..MEAN_POINTS).map(|i| self.quantile((f64::from(i) + 0.5) / f64::from(MEAN_POINTS))).sum::<f64>()
                    / f64::from(MEAN_POINTS)
            }
        }
    }

    /// The spread of a quantity `factor` times as large, for a change of unit or a correction. `factor` > 0.
    pub fn scaled_by(&self, factor: f64) -> Result<Self, SpreadError> {
        positive("the factor", factor)?;
        let f = factor;
        let scale_limits = |limits: &Option<Limits>| limits.map(|l| Limits { low: f * l.low, high: f * l.high, ..l });
        Ok(match self {
            Spread::Fixed(value) => Spread::Fixed(f * value),
            Spread::Uniform { low, high } => Spread::Uniform { low: f * low, high: f * high },
            Spread::Triangular { low, mode, high } => {
                Spread::Triangular { low: f * low, mode: f * mode, high: f * high }
            }
            Spread::Normal { mean, sd, limits } => {
                Spread::Normal { mean: f * mean, sd: f * sd, limits: scale_limits(limits) }
            }
            Spread::LogNormal { median, sigma_ln, limits } => {
                Spread::LogNormal { median: f * median, sigma_ln: *sigma_ln, limits: scale_limits(limits) }
            }
            Spread::LogUniform { low, high } => Spread::LogUniform { low: f * low, high: f * high },
            Spread::SplitNormal { pctl_10, median, pctl_90 } => {
                Spread::SplitNormal { pctl_10: f * pctl_10, median: f * median, pctl_90: f * pctl_90 }
            }
            Spread::SplitLogNormal { pctl_10, median, pctl_90 } => {
                Spread::SplitLogNormal { pctl_10: f * pctl_10, median: f * median, pctl_90: f * pctl_90 }
            }
            Spread::Table(table) => Spread::Table(Arc::new(table.as_ref().clone().scaled_by(f))),
            Spread::Within { whole, below_low, share, low, high } => Spread::Within {
                whole: Box::new(whole.scaled_by(f)?),
                below_low: *below_low,
                share: *share,
                low: f * low,
                high: f * high,
            },
        })
    }

    /// Whether every run gets the same value.
    pub fn is_fixed(&self) -> bool {
        matches!(self, Spread::Fixed(_))
    }

    /// The spread in words, each value as the caller says it: "1 run in 10 below 5 cm, middle 10 cm, 1 in 10 above 20 cm".
    pub fn describe(&self, say: impl Fn(f64) -> String) -> String {
        if let Spread::Fixed(value) = self {
            return format!("always {}", say(*value));
        }
        let [low, middle, high] = [0.1, 0.5, 0.9].map(|u| say(self.quantile(u)));
        format!("1 run in 10 below {low}, middle {middle}, 1 in 10 above {high}")
    }
}

/// Inverse of the triangular distribution.
///
/// u <= c: low + sqrt(u (high-low)(mode-low)); else high - sqrt((1-u)(high-low)(high-mode)); c = (mode-low)/(high-low).
/// Source: standard result.
fn triangular_quantile(low: f64, mode: f64, high: f64, u: f64) -> f64 {
    let width = high - low;
    if u * width <= mode - low {
        low + (u * width * (mode - low)).sqrt()
    } else {
        high - ((1.0 - u) * width * (high - mode)).sqrt()
    }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "three-point-spread",
    "A spread through its 1-in-10 low, middle and 1-in-10 high values, read at any share",
    "x = median + z/1.28155 (median - low) below, (high - median) above; in logarithms for the second",
    |x| {
        let both = |s: Result<Spread, SpreadError>| s.map_or([f64::NAN; 2], |s| [s.quantile(x[3]), s.mean_approx()]);
        // Three equal values are no spread but one known value.
        let one = x[0] == x[1] && x[1] == x[2];
        let plain = both(if one { Spread::fixed(x[1]) } else { Spread::split_normal(x[0], x[1], x[2]) });
        let log = both(match one {
            true if x[1] > 0.0 => Spread::fixed(x[1]),
            _ => Spread::split_log_normal(x[0], x[1], x[2]),
        });
        vec![plain[0], plain[1], log[0], log[1]]
    },
)
.inputs(&[
    number("low", "value that 1 run in 10 falls below", ANY, None),
    number("middle", "middle value", ANY, None),
    number("high", "value that 1 run in 10 is above", ANY, None),
    share("u", "share of the runs below the value asked for", Some(0.5)),
])
.outputs(&[
    result("value", "value by two half-normals"),
    result("mean", "their mean"),
    result("value_log", "value by two half-lognormals; no answer unless all are above zero"),
    result("mean_log", "their mean"),
])
.source("two half-normals joined at the median, derived here", Status::Assumed)
.limits("no answer when the three are out of order")];

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean by the midpoint rule over u.
    fn mean_by_sum(s: &Spread) -> f64 {
        let n = 400_000;
        (0..n).map(|i| s.quantile((f64::from(i) + 0.5) / f64::from(n))).sum::<f64>() / f64::from(n)
    }

    fn all() -> Vec<Spread> {
        vec![
            Spread::fixed(3.0).unwrap(),
            Spread::uniform(-1.0, 4.0).unwrap(),
            Spread::triangular(0.08, 0.18, 0.30).unwrap(),
            Spread::triangular(1.0, 1.0, 3.0).unwrap(),
            Spread::normal(17_000.0, 500.0).unwrap(),
            Spread::normal_within(0.3, 0.2, 0.05, 0.9).unwrap(),
            Spread::log_normal(0.3, 0.7).unwrap(),
            Spread::log_normal_within(0.45, 0.2, 0.2, 1.0).unwrap(),
            Spread::log_uniform(0.02, 3.0).unwrap(),
            Spread::split_normal(1.0, 2.0, 5.0).unwrap(),
            Spread::split_log_normal(0.05, 0.1, 0.3).unwrap(),
        ]
    }

    #[test]
    fn identity_mean_and_order_of_every_kind() {
        for s in all() {
            let mean = s.mean_approx();
            assert!((mean_by_sum(&s) / mean - 1.0).abs() < 3e-5, "{s:?}: {mean} {}", mean_by_sum(&s));
            let mut last = f64::NEG_INFINITY;
            for i in 1..1000 {
                let x = s.quantile(f64::from(i) / 1000.0);
                assert!(x.is_finite() && x >= last, "{s:?}");
                last = x;
            }
            let scaled = s.scaled_by(2.5).unwrap();
            assert!((scaled.quantile(0.3) / (2.5 * s.quantile(0.3)) - 1.0).abs() < 1e-14);
            assert!((scaled.mean_approx() / (2.5 * mean) - 1.0).abs() < 1e-14);
        }
    }

    #[test]
    fn identity_split_spreads_meet_their_three_points() {
        for s in [Spread::split_normal(1.0, 2.0, 5.0).unwrap(), Spread::split_log_normal(1.0, 2.0, 5.0).unwrap()] {
            for (u, x) in [(0.1, 1.0), (0.5, 2.0), (0.9, 5.0)] {
                assert!((s.quantile(u) - x).abs() < 1e-12);
            }
        }
        let cut = Spread::normal_within(0.0, 1.0, -1.0, f64::INFINITY).unwrap();
        assert!(cut.quantile(1e-9) >= -1.0);
        assert!(cut.scaled_by(0.0).is_err());
    }

    #[test]
    fn property_senseless_spreads_are_refused_in_words() {
        let said = |r: Result<Spread, SpreadError>| r.unwrap_err().to_string();
        assert_eq!(said(Spread::uniform(2.0, 1.0)), "the low end (2) must not be above the high end (1)");
        assert_eq!(
            said(Spread::split_normal(1.0, 3.0, 2.0)),
            "the middle value (3) must not be above the 1-in-10 high value (2)"
        );
        assert_eq!(said(Spread::log_normal(0.0, 1.0)), "the median must be above zero, but it is 0");
        assert!(said(Spread::normal(1.0, f64::NAN)).contains("ordinary number"));
        assert!(said(Spread::normal_within(0.0, 1.0, 9.0, 10.0)).contains("widen"));
        assert!(Spread::uniform(1.0, 1.0).is_err() && Spread::log_uniform(-1.0, 1.0).is_err());
    }

    #[test]
    fn pinned_words() {
        let s = Spread::split_log_normal(0.05, 0.1, 0.2).unwrap();
        let say = |x: f64| format!("{x:.3} m");
        assert_eq!(s.describe(say), "1 run in 10 below 0.050 m, middle 0.100 m, 1 in 10 above 0.200 m");
        assert_eq!(Spread::Fixed(17.5).describe(say), "always 17.500 m");
    }

    #[test]
    fn identity_a_cut_spread_stays_within_and_keeps_its_shape_inside() {
        let whole = Spread::split_log_normal(0.075, 0.15, 0.30).unwrap();
        let cut = whole.clone().within(0.0, 0.6);
        assert!(matches!(cut, Spread::Within { .. }));
        assert!(whole.quantile(1.0 - 1e-6) > 1.0);
        let mut u = 1e-7;
        while u < 1.0 - 1e-7 {
            assert!(cut.quantile(u) <= 0.6 * (1.0 + 1e-12), "{u}");
            u += 0.001;
        }
        assert!(
            (cut.quantile(0.5) / 0.15 - 1.0).abs() < 0.01
                && (cut.mean_approx() / whole.mean_approx() - 1.0).abs() < 0.03
        );
        // Mid on a limit: the half that stands there as a whole stays, and the tail beyond the other limit goes.
        let low_half = Spread::split_normal(0.4, 1.0, 1.0).unwrap().within(0.2, 1.0);
        assert!(low_half.quantile(1e-6) >= 0.2 && low_half.quantile(0.99) == 1.0);
        let high_half = Spread::split_normal(0.2, 0.2, 0.6).unwrap().within(0.2, 1.0);
        assert!(high_half.quantile(1.0 - 1e-6) <= 1.0 && high_half.quantile(0.3) == 0.2);
        assert_eq!(whole.clone().within(0.0, 1e9), whole);
        assert_eq!(Spread::fixed(2.0).unwrap().within(0.0, 1.0), Spread::fixed(2.0).unwrap());
    }

    /// Numbers in (0, 1) without a pattern, the same each time.
    fn uniforms(count: u32) -> impl Iterator<Item = f64> {
        (1..=count).map(|i| (f64::from(i) * 0.618_033_988_749_894_9).fract())
    }

    #[test]
    fn property_typed_triples_come_out_as_typed_and_never_outside_their_range() {
        let range = (0.0, 0.6);
        let mut numbers = uniforms(9000).map(|u| range.1 * u);
        let mut triples = vec![[0.0, 0.0, 0.2], [0.0, 0.6, 0.6], [0.0, 0.3, 0.6], [0.6, 0.6, 0.6], [0.0, 0.0, 0.6]];
        while let (Some(a), Some(b), Some(c)) = (numbers.next(), numbers.next(), numbers.next()) {
            let mut t = [a, b * b / range.1, c];
            t.sort_by(f64::total_cmp);
            // Every fourth touches: low on mid, mid on high, an end on the range.
            match triples.len() % 8 {
                0 => t[0] = t[1],
                2 => t[1] = t[2],
                4 => t[0] = range.0,
                6 => t[2] = range.1,
                _ => {}
            }
            triples.push(t);
        }
        for t in triples {
            let [low, mid, high] = t;
            let whole = if low == high {
                Spread::fixed(mid)
            } else if low > 0.0 && low < mid && mid < high {
                Spread::split_log_normal(low, mid, high)
            } else {
                Spread::split_normal(low, mid, high)
            };
            let cut = whole.unwrap().within(range.0, range.1);
            for u in [1.2e-10, 1e-6, 0.01, 0.3, 0.7, 0.99, 1.0 - 1e-6, 1.0 - 1.2e-10] {
                let x = cut.quantile(u);
                assert!(x >= range.0 && x <= range.1, "{t:?}: {x} at {u}");
            }
            for (u, typed) in [(0.1, low), (0.5, mid), (0.9, high)] {
                // As typed up to the share of the runs that may be cut away.
                let (from, to) = (cut.quantile(u - MOST_CUT), cut.quantile(u + MOST_CUT));
                assert!(
                    from <= typed * (1.0 + 1e-9) && typed <= to * (1.0 + 1e-9) + 1e-12,
                    "{t:?}: {from} {to} at {u}"
                );
            }
        }
    }
}
