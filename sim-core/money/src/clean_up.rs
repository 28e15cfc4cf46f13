//! How often to stop for a clean-up.

use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::S_PER_H;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{Evidence, POSITIVE, input, output, result, row, share};
use washgraph_units::quantity::Dimension;

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
    /// Infinite when nothing is lost by waiting. With the margin m = R v - c (R recovery, c running cost per time) it is
    /// -d + sqrt(d^2 + 2 R d/b + 2 (C - c d)/(v b)): a richer ground is cleaned up more often when a clean-up costs more than
    /// the running costs that its stop saves, C > c d, and less often when the stop saves more than the clean-up costs.
    pub fn best_interval_s(&self) -> f64 {
        let d = self.stop_s;
        -d + (d * d + self.short_stop_interval_s() * self.short_stop_interval_s()).sqrt()
    }

    /// Best interval when the stop is short, s: sqrt(2 (C + m d)/(v b)).
    pub fn short_stop_interval_s(&self) -> f64 {
        (2.0 * (self.cost + self.margin_per_s * self.stop_s) / (self.fed_value_per_s * self.loss_growth_per_s)).sqrt()
    }
}

/// Time run and number of clean-ups in the time available: each cycle is `interval_s` of running and `stop_s` of standing.
///
/// run = available T/(T + d); clean-ups = run/T. An interval longer than the time available means one clean-up after it all,
/// which stops nothing. Source: definition; the number is not rounded, since the last cycle of a season is seldom whole.
pub fn running(available_s: f64, interval_s: f64, stop_s: f64) -> (f64, f64) {
    if !(interval_s < available_s) {
        return (available_s, 1.0);
    }
    let run_s = available_s * interval_s / (interval_s + stop_s);
    (run_s, run_s / interval_s)
}

/// Mean recovery over a run of T with riffles that fill: R - b T/2, while the recovery at its end, R - b T, is above zero;
/// after that the box catches nothing more and the mean is R^2/(2 b T).
///
/// R recovery of clean riffles (0 to 1), b growth of the share lost (1/s, >= 0), T running time between clean-ups (s). The
/// linear law is our assumption; b must come from samples of the tail of the box, taken just before and just after a
/// clean-up.
pub fn mean_recovery(clean_recovery: f64, loss_growth_per_s: f64, interval_s: f64) -> f64 {
    if !(loss_growth_per_s > 0.0) {
        return clean_recovery;
    }
    let lost_at_end = loss_growth_per_s * interval_s;
    if lost_at_end <= clean_recovery {
        clean_recovery - 0.5 * lost_at_end
    } else {
        0.5 * clean_recovery * clean_recovery / lost_at_end
    }
}

/// Mass of concentrate taken out of the box, kg: area x depth x density.
///
/// area m2 of riffles, depth m of what they and the matting hold (5 to 20 mm, assumed), density kg/m3 (1800 to 2200 of packed
/// sand with black sand, assumed). Source: definition.
pub fn concentrate_kg(area_m2: f64, depth_m: f64, density_kg_m3: f64) -> f64 {
    area_m2 * depth_m * density_kg_m3
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "clean-up-season",
        "Time run, clean-ups, concentrate and gold of a season with riffles that fill",
        "run = H T/(T + d); n = run/T; mean recovery R - b T/2 (R^2/(2 b T) when b T > \
    R); concentrate = A h rho",
        |x| {
            let (run_s, clean_ups) = running(x[0], x[1], x[2]);
            vec![run_s, clean_ups, mean_recovery(x[3], x[4], x[1].min(x[0])), concentrate_kg(x[5], x[6], x[7])]
        },
    )
    .inputs(&[
        input("available", "time of the season for running and cleaning up", Dimension::Time, "h", POSITIVE, None),
        input("interval", "running time between clean-ups", Dimension::Time, "h", POSITIVE, None),
        input("stop", "time that a clean-up stops the plant", Dimension::Time, "h", POSITIVE, Some(7200.0)),
        share("recovery", "share caught by clean riffles", Some(0.9)),
        input("loss_growth", "growth of the share lost per hour", Dimension::PerTime, "1/h", POSITIVE, Some(0.0)),
        input("area", "riffled area", Dimension::Area, "ft2", POSITIVE, Some(0.0)),
        input("depth", "depth of concentrate over it", Dimension::Length, "mm", POSITIVE, Some(0.01)),
        input("density", "concentrate per volume", Dimension::Density, "kg/m3", POSITIVE, Some(2000.0)),
    ])
    .outputs(&[
        output("run", "time run", Dimension::Time, "h"),
        result("clean_ups", "clean-ups in the season"),
        result("mean_recovery", "share caught, mean over a run"),
        output("concentrate", "concentrate of one clean-up", Dimension::Mass, "kg"),
    ])
    .source("definition; linear growth of the loss and the depth of concentrate are assumed", Status::Assumed)
    .limits("measure the growth of the loss on samples from the tail of the box"),
    Formula::new(
        "clean-up-interval",
        "Hours between clean-ups that bring the most money",
        "T* = -d + sqrt(d^2 + 2 (C + m d)/(v b)); rate(T) = (m T - v b T^2/2 - C)/(T + d)",
        |x| {
            let c = CleanUp {
                margin_per_s: x[0],
                fed_value_per_s: x[1],
                loss_growth_per_s: x[2],
                cost: x[3],
                stop_s: x[4],
            };
            let best = c.best_interval_s();
            vec![best, c.money_per_s(best), c.money_per_s(36_000.0)]
        },
    )
    .inputs(&[
        input("margin", "money made while running", Dimension::MoneyPerTime, "$/h", POSITIVE, None),
        input("fed_value", "value of the gold fed", Dimension::MoneyPerTime, "$/h", POSITIVE, None),
        input("loss_growth", "growth of the share lost per hour of running", Dimension::PerTime, "1/h", POSITIVE, None),
        input("cost", "cost of a clean-up", Dimension::Money, "$", POSITIVE, Some(0.0)),
        input("stop", "time that it stops the plant", Dimension::Time, "h", POSITIVE, Some(7200.0)),
    ])
    .outputs(&[
        output("interval", "best running time between clean-ups", Dimension::Time, "h"),
        output("money", "mean money per time at that interval", Dimension::MoneyPerTime, "$/h"),
        output("money_daily", "the same with a clean-up after 10 h of running", Dimension::MoneyPerTime, "$/h"),
    ])
    .source("derived here; linear growth of the loss is assumed", Status::Assumed)
    .limits(
        "the optimum is flat: late costs less than too often, until the packing turns \
    sharp; security argues for sooner",
    ),
];

/// Example: margin 900 $/h, 1350 $/h fed, 0.0006 per hour, clean-up 200 $ and 2 h. Invented.
const EXAMPLE: CleanUp = CleanUp {
    margin_per_s: 900.0 / S_PER_H,
    fed_value_per_s: 1350.0 / S_PER_H,
    loss_growth_per_s: 0.0006 / S_PER_H,
    cost: 200.0,
    stop_s: 7200.0,
};

const MODEL: &str = "clean-up interval";

fn hourly(interval_h: f64) -> f64 {
    EXAMPLE.money_per_s(interval_h * S_PER_H) * S_PER_H
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row("clean-up-slope-at-best", MODEL, BEST, (0.0, "$/h2"), Band::Absolute(1e-5), || {
        let best = EXAMPLE.best_interval_s() / S_PER_H;
        (hourly(best + 0.01) - hourly(best - 0.01)) / 0.02
    }),
    row("clean-up-same-for-any-grade", MODEL, NEUTRAL, (0.0, "h"), Band::Absolute(1e-9), || {
        let best = |fed_value_per_s: f64| {
            let running_per_s = 315.0 / S_PER_H;
            let cost = running_per_s * EXAMPLE.stop_s;
            let margin_per_s = 0.9 * fed_value_per_s - running_per_s;
            CleanUp { margin_per_s, fed_value_per_s, cost, ..EXAMPLE }.best_interval_s() / S_PER_H
        };
        best(1350.0 / S_PER_H) - best(2700.0 / S_PER_H)
    }),
    row("clean-up-run-of-season", "clean-ups of a season", CYCLE, (700.0, "h"), Band::Absolute(1e-9), || {
        let (run_s, n) = running(700.0 * S_PER_H, 24.0 * S_PER_H, 2.0 * S_PER_H);
        (run_s + n * 2.0 * S_PER_H) / S_PER_H
    }),
    row("clean-up-mean-recovery", "filling riffles", FILLING, (0.876, "-"), Band::Absolute(1e-12), || {
        mean_recovery(0.9, 0.0006 / S_PER_H, 80.0 * S_PER_H)
    }),
    row("clean-up-mean-recovery-full", "filling riffles", FILLED, (1.0, "-"), Band::Absolute(1e-9), || {
        // Ten times as long as it takes to fill: midpoint sums of max(0, R - b t) against the formula.
        let (r, b, t) = (0.9, 0.1, 90.0);
        let sum: f64 = (0..10_000_u32).map(|i| (r - b * t * (f64::from(i) + 0.5) / 1e4).max(0.0) / 1e4).sum();
        sum / mean_recovery(r, b, t)
    }),
];

const BEST: Evidence = (Kind::Identity, "the slope of the money rate is zero at its best interval", Status::Computed);
const NEUTRAL: Evidence = (
    Kind::Identity,
    "a clean-up that costs just what its stop saves is due after the same time on any ground",
    Status::Computed,
);
const CYCLE: Evidence = (Kind::Identity, "time run and time stopped add up to the time available", Status::Computed);
const FILLING: Evidence = (Kind::Identity, "0.9 - 0.0006/h x 80 h/2, by hand", Status::Computed);
const FILLED: Evidence =
    (Kind::Identity, "the mean of what is caught along the run, by midpoint sums", Status::Computed);

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("clean-up-best", || EXAMPLE.best_interval_s() / S_PER_H),
        ("clean-up-best-rate", || hourly(EXAMPLE.best_interval_s() / S_PER_H)),
        ("clean-up-short-stop", || EXAMPLE.short_stop_interval_s() / S_PER_H),
        ("clean-up-12h", || hourly(12.0)),
        ("clean-up-100h", || hourly(100.0)),
    ];
}

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
