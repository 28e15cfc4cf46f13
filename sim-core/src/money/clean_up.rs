//! How often to stop for a clean-up.

use crate::check::{Band, Check, Status};
use crate::formula::Formula;
use crate::quantity::Dimension;
use crate::stats::entry::{POSITIVE, RECKONED, input, output, row};

/// What decides the clean-up interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CleanUp {
    /// Margin while running, money/s: gold caught minus running cost.
    pub margin_per_s: f64,
    /// Value of the gold FED, money/s.
    pub fed_value_per_s: f64,
    /// Growth of the share lost as the riffles pack, per second of running: share lost = b t. Must be measured on samples from the
    /// tail of the box.
    pub loss_growth_per_s: f64,
    /// Cost of a clean-up (wages, help).
    pub cost: f64,
    /// Time that a clean-up stops the plant, s.
    pub stop_s: f64,
}

impl CleanUp {
    /// Mean money per time with a clean-up every T of running: (m T - v b T^2/2 - C)/(T + d).
    ///
    /// The linear law of loss is our assumption. T > 0.
    pub fn money_per_s(&self, interval_s: f64) -> f64 {
        let lost = 0.5 * self.fed_value_per_s * self.loss_growth_per_s * interval_s * interval_s;
        (self.margin_per_s * interval_s - lost - self.cost) / (interval_s + self.stop_s)
    }

    /// Best interval, s: T* = -d + sqrt(d^2 + 2 (C + m d)/(v b)). Derived by setting the slope of [`Self::money_per_s`] to zero.
    ///
    /// Infinite when nothing is lost by waiting.
    pub fn best_interval_s(&self) -> f64 {
        let d = self.stop_s;
        -d + (d * d + self.short_stop_interval_s() * self.short_stop_interval_s()).sqrt()
    }

    /// Best interval when the stop is short, s: sqrt(2 (C + m d)/(v b)).
    pub fn short_stop_interval_s(&self) -> f64 {
        (2.0 * (self.cost + self.margin_per_s * self.stop_s) / (self.fed_value_per_s * self.loss_growth_per_s)).sqrt()
    }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula {
    name: "clean-up-interval",
    meaning: "Hours between clean-ups that bring the most money",
    equation: "T* = -d + sqrt(d^2 + 2 (C + m d)/(v b)); rate(T) = (m T - v b T^2/2 - C)/(T + d)",
    inputs: &[
        input("margin", "money made while running", Dimension::MoneyPerTime, "$/h", POSITIVE, None),
        input("fed_value", "value of the gold fed", Dimension::MoneyPerTime, "$/h", POSITIVE, None),
        input("loss_growth", "growth of the share lost per hour of running", Dimension::PerTime, "1/h", POSITIVE, None),
        input("cost", "cost of a clean-up", Dimension::Money, "$", POSITIVE, Some(0.0)),
        input("stop", "time that it stops the plant", Dimension::Time, "h", POSITIVE, Some(7200.0)),
    ],
    outputs: &[
        output("interval", "best running time between clean-ups", Dimension::Time, "h"),
        output("money", "mean money per time at that interval", Dimension::MoneyPerTime, "$/h"),
        output("money_daily", "the same with a clean-up after 10 h of running", Dimension::MoneyPerTime, "$/h"),
    ],
    source: "derived here; linear growth of the loss is assumed",
    status: Status::Assumed,
    limits: "the optimum is flat: late costs less than too often, until the packing turns sharp; security argues for sooner",
    evaluate: |x| {
        let c =
            CleanUp { margin_per_s: x[0], fed_value_per_s: x[1], loss_growth_per_s: x[2], cost: x[3], stop_s: x[4] };
        let best = c.best_interval_s();
        vec![best, c.money_per_s(best), c.money_per_s(36_000.0)]
    },
}];

/// Example: margin 900 $/h, 1350 $/h fed, 0.0006 per hour, clean-up 200 $ and 2 h. Invented.
const EXAMPLE: CleanUp = CleanUp {
    margin_per_s: 900.0 / 3600.0,
    fed_value_per_s: 1350.0 / 3600.0,
    loss_growth_per_s: 0.0006 / 3600.0,
    cost: 200.0,
    stop_s: 7200.0,
};

const MODEL: &str = "clean-up interval";

fn hourly(interval_h: f64) -> f64 {
    EXAMPLE.money_per_s(interval_h * 3600.0) * 3600.0
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row("clean-up-best", MODEL, RECKONED, (68.3013, "h"), Band::Absolute(1e-3), || EXAMPLE.best_interval_s() / 3600.0),
    row("clean-up-best-rate", MODEL, RECKONED, (844.6760, "$/h"), Band::Absolute(1e-3), || {
        hourly(EXAMPLE.best_interval_s() / 3600.0)
    }),
    row("clean-up-short-stop", MODEL, RECKONED, (70.27, "h"), Band::Absolute(0.01), || {
        EXAMPLE.short_stop_interval_s() / 3600.0
    }),
    row("clean-up-12h", MODEL, RECKONED, (752.977, "$/h"), Band::Absolute(1e-3), || hourly(12.0)),
    row("clean-up-100h", MODEL, RECKONED, (840.686, "$/h"), Band::Absolute(1e-3), || hourly(100.0)),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_no_interval_beats_the_best() {
        let best = EXAMPLE.best_interval_s();
        for factor in [0.3, 0.9, 0.99, 1.01, 1.1, 3.0] {
            assert!(EXAMPLE.money_per_s(best * factor) < EXAMPLE.money_per_s(best));
        }
        assert_eq!(CleanUp { loss_growth_per_s: 0.0, ..EXAMPLE }.best_interval_s(), f64::INFINITY);
    }
}
