//! Money over several seasons.

use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{ANY, POSITIVE, input, number, output, result};
use washgraph_units::math::pow;
use washgraph_units::quantity::Dimension;

/// When the money of a season counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Timing {
    /// In the middle of the season: t = i - 1/2. The default.
    MidSeason,
    /// At the end of the season: t = i.
    SeasonEnd,
}

impl Timing {
    /// Time in years of season number i = 1, 2, ...
    fn years(self, i: u32) -> f64 {
        match self {
            Timing::MidSeason => f64::from(i) - 0.5,
            Timing::SeasonEnd => f64::from(i),
        }
    }
}

/// Net present value: -capital + sum flow_i/(1+r)^t_i.
///
/// `capital` spent at t = 0; `flows` of seasons 1, 2, ... (freight, bond and reclamation are flows too; debt service is not);
/// `rate` per year > -1. Source: standard.
pub fn present_value(capital: f64, flows: &[f64], rate: f64, timing: Timing) -> f64 {
    let discounted: f64 = (1..).zip(flows).map(|(i, flow)| flow * pow(1.0 + rate, -timing.years(i))).sum();
    discounted - capital
}

/// Internal rate of return: the rate at which [`present_value`] is zero.
///
/// `None` unless the flows change sign exactly once (with the capital in front): otherwise there is no rate or no single one.
/// Searched between -99.9 % and 10^6 % a year by halving, to 1e-14.
pub fn rate_of_return(capital: f64, flows: &[f64], timing: Timing) -> Option<f64> {
    let signs: Vec<bool> =
        std::iter::once(-capital).chain(flows.iter().copied()).filter(|f| *f != 0.0).map(|f| f > 0.0).collect();
    if signs.windows(2).filter(|w| w.first() != w.last()).count() != 1 {
        return None;
    }
    let (mut low, mut high) = (-0.999, 1e4);
    let value = |rate: f64| present_value(capital, flows, rate, timing);
    let falling = value(low) > 0.0;
    if falling == (value(high) > 0.0) {
        return None;
    }
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if (value(middle) > 0.0) == falling {
            low = middle
        } else {
            high = middle
        }
        if high - low < 1e-14 {
            break;
        }
    }
    Some(0.5 * (low + high))
}

/// Seasons until the capital is back, undiscounted, with the flow of a season spread evenly over it.
///
/// `None` when it never is. 0 when there is no capital.
pub fn payback_seasons(capital: f64, flows: &[f64]) -> Option<f64> {
    let mut owed = capital;
    if owed <= 0.0 {
        return Some(0.0);
    }
    for (i, flow) in flows.iter().enumerate() {
        if *flow >= owed {
            return Some(i as f64 + owed / flow);
        }
        owed -= flow;
    }
    None
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "seasons-value",
    "Present value, rate of return and payback of equal seasons after a first one",
    "NPV = -capital + sum flow_i/(1+r)^(i-1/2); IRR: NPV = 0; payback undiscounted",
    |x| {
        let seasons = usize::try_from(washgraph_stats::counts::as_count(x[3].clamp(1.0, 100.0))).unwrap_or(1);
        let mut flows = vec![x[2]; seasons];
        if let Some(first) = flows.first_mut() {
            *first = x[1];
        }
        if let Some(last) = flows.last_mut() {
            *last += x[4];
        }
        vec![
            present_value(x[0], &flows, x[5], Timing::MidSeason),
            present_value(x[0], &flows, x[5], Timing::SeasonEnd),
            rate_of_return(x[0], &flows, Timing::MidSeason).unwrap_or(f64::NAN),
            payback_seasons(x[0], &flows).unwrap_or(f64::NAN),
        ]
    },
)
.inputs(&[
    input("capital", "money spent before the first season", Dimension::Money, "$", POSITIVE, None),
    input("first", "net money of the first season", Dimension::Money, "$", ANY, None),
    input("later", "net money of each later season", Dimension::Money, "$", ANY, None),
    number("seasons", "number of seasons in all", (1.0, 100.0), Some(3.0)),
    input("last", "added in the last season: resale less reclamation", Dimension::Money, "$", ANY, Some(0.0)),
    input("rate", "discount rate a year", Dimension::Fraction, "-", (-0.99, 10.0), Some(0.12)),
])
.outputs(&[
    output("npv", "present value, money in mid-season", Dimension::Money, "$"),
    output("npv_season_end", "present value, money at season end", Dimension::Money, "$"),
    result("irr", "rate of return a year, mid-season; no answer when there is no single one"),
    result("payback", "seasons until the capital is back; no answer when it never is"),
])
.source("standard discounting", Status::CommonPractice)
.limits("say whether the owner's wage is in the costs; debt service is cash, not value")];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    const FLOWS: [f64; 3] = [80e3, 120e3, 120e3];

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("npv-mid-season", || present_value(250e3, &FLOWS, 0.12, Timing::MidSeason)),
        ("npv-season-end", || present_value(250e3, &FLOWS, 0.12, Timing::SeasonEnd)),
        ("irr-mid-season", || rate_of_return(250e3, &FLOWS, Timing::MidSeason).unwrap_or(f64::NAN)),
        ("payback", || payback_seasons(250e3, &FLOWS).unwrap_or(f64::NAN)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_no_single_rate_is_no_answer() {
        assert_eq!(rate_of_return(100.0, &[300.0, -250.0], Timing::SeasonEnd), None);
        assert_eq!(rate_of_return(100.0, &[-1.0, -1.0], Timing::SeasonEnd), None);
        assert_eq!(payback_seasons(100.0, &[10.0, 20.0]), None);
        let r = rate_of_return(100.0, &[110.0], Timing::SeasonEnd).unwrap();
        assert!((r - 0.1).abs() < 1e-12);
    }
}
