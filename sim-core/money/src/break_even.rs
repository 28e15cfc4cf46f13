//! The grade that pays, and the chance that the ground holds less.

use washgraph_stats::normal;
use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{POSITIVE, input, number, output, result, share};
use washgraph_units::math::ln;
use washgraph_units::quantity::Dimension;

/// Washing cost per BANK volume: (cost per hour/loose volume per hour)(1 + s).
///
/// cost_per_s money/s, loose_m3_s m3/s, s = swell. Source: definition.
pub fn washing_cost_per_bank_m3(cost_per_s: f64, loose_m3_s: f64, swell: f64) -> f64 {
    cost_per_s / loose_m3_s * (1.0 + swell)
}

/// Cost per BANK volume of pay gravel with stripping: washing + strip ratio x stripping cost.
///
/// strip ratio = bank volume of waste per bank volume of pay gravel.
pub fn cost_per_bank_m3(washing_per_m3: f64, strip_ratio: f64, stripping_per_m3: f64) -> f64 {
    washing_per_m3 + strip_ratio * stripping_per_m3
}

/// Break-even grade, kg of RAW gold per BANK m3: cost/(net per raw kg x recovery).
///
/// With the washing cost alone it answers wash-or-waste for gravel already dug; with all costs, mine-or-not. Source: definition.
pub fn break_even_raw_kg_m3(cost_per_bank_m3: f64, net_per_raw_kg: f64, recovery: f64) -> f64 {
    cost_per_bank_m3 / (net_per_raw_kg * recovery)
}

/// Chance that a lognormal grade lies below break-even when its MEDIAN is known: Phi(ln(be/median)/s).
///
/// s = log standard deviation > 0.
pub fn chance_of_loss_from_median(break_even: f64, median: f64, sigma_ln: f64) -> f64 {
    normal::cdf(ln(break_even / median) / sigma_ln)
}

/// The same when its MEAN is known: Phi((ln(be/mean) + s^2/2)/s). Taking one for the other moves the risk by many points.
pub fn chance_of_loss_from_mean(break_even: f64, mean: f64, sigma_ln: f64) -> f64 {
    normal::cdf((ln(break_even / mean) + 0.5 * sigma_ln * sigma_ln) / sigma_ln)
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "break-even-grade",
        "The grade at which washing pays for itself, with and without stripping",
        "be = [(cost/rate)(1+s) + strip ratio x strip cost]/(net per raw gram x recovery)",
        |x| {
            let washing = washing_cost_per_bank_m3(x[0], x[1], x[2]);
            let all = cost_per_bank_m3(washing, x[5], x[6]);
            let be = break_even_raw_kg_m3(all, x[4], x[3]);
            vec![break_even_raw_kg_m3(washing, x[4], x[3]), be, be / (1.0 + x[2]), be * x[7], all]
        },
    )
    .inputs(&[
        input("cost", "cost of running the plant", Dimension::MoneyPerTime, "$/h", POSITIVE, None),
        input("rate", "gravel washed, loose", Dimension::GravelRate, "yd3/h", POSITIVE, None),
        share("swell", "growth of the volume when dug", Some(0.18)),
        share("recovery", "share of the gold caught", Some(0.9)),
        input("net", "net money per raw gold (see raw-gold-value)", Dimension::MoneyPerMass, "$/g", POSITIVE, None),
        number("strip_ratio", "bank waste per bank pay gravel", POSITIVE, Some(0.0)),
        input("stripping_cost", "cost of stripping, bank", Dimension::MoneyPerVolume, "$/yd3", POSITIVE, Some(0.0)),
        share("fineness", "gold by mass of the raw gold", Some(0.85)),
    ])
    .outputs(&[
        output("wash_or_waste", "break-even for gravel already dug, raw gold per bank", Dimension::Grade, "mg/m3"),
        output("mine_or_not", "break-even with stripping, raw gold per bank", Dimension::Grade, "mg/m3"),
        output("mine_or_not_loose", "the same per loose volume", Dimension::Grade, "mg/m3"),
        output("mine_or_not_fine", "the same, fine gold per bank", Dimension::Grade, "mg/m3"),
        output("cost_per_bank", "cost per bank volume with stripping", Dimension::MoneyPerVolume, "$/yd3"),
    ])
    .source("definition", Status::CommonPractice)
    .limits("fixed costs of the season are not in it: see season"),
    Formula::new(
        "chance-of-loss-lognormal",
        "Chance that the ground is poorer than break-even, if the known grade is its median or its mean",
        "median: Phi(ln(be/median)/s); mean: Phi((ln(be/mean) + s^2/2)/s)",
        |x| vec![chance_of_loss_from_median(x[0], x[1], x[2]), chance_of_loss_from_mean(x[0], x[1], x[2])],
    )
    .inputs(&[
        input("break_even", "break-even grade", Dimension::Grade, "mg/m3", POSITIVE, None),
        input("grade", "known grade, on the same basis", Dimension::Grade, "mg/m3", POSITIVE, None),
        number("sigma_ln", "log standard deviation of the grade", POSITIVE, Some(0.5)),
    ])
    .outputs(&[
        result("if_median", "chance of a loss if the grade is the median"),
        result("if_mean", "chance of a loss if the grade is the mean"),
    ])
    .source("lognormal distribution", Status::Computed)
    .limits("only the grade varies"),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;
    use washgraph_units::constants::{CUBIC_YARD_M3, S_PER_H};

    /// Example: $450/h, 60 loose yards an hour, swell 0.25, recovery 0.90; strip ratio and stripping cost per bank yard. In raw
    /// grams per bank yard.
    fn example_g_yd3(strip_ratio: f64) -> f64 {
        let washing = washing_cost_per_bank_m3(450.0 / S_PER_H, 60.0 * CUBIC_YARD_M3 / S_PER_H, 0.25);
        let cost = cost_per_bank_m3(washing, strip_ratio, 2.5 / CUBIC_YARD_M3);
        break_even_raw_kg_m3(cost, crate::gold_value::EXAMPLE.net_per_raw_kg(), 0.90) * 1e3 * CUBIC_YARD_M3
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("break-even-bank", || example_g_yd3(0.0)),
        ("break-even-loose", || example_g_yd3(0.0) / 1.25),
        ("break-even-stripped", || example_g_yd3(3.0)),
        ("break-even-fine", || example_g_yd3(0.0) * 0.85),
        ("break-even-per-m3", || example_g_yd3(0.0) * 1e3 / CUBIC_YARD_M3),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_mean_and_median_forms_agree() {
        let (s, median) = (0.8, 300.0);
        let mean = median * washgraph_units::math::exp(0.5 * s * s);
        let (a, b) = (chance_of_loss_from_median(178.5, median, s), chance_of_loss_from_mean(178.5, mean, s));
        assert!((a - b).abs() < 1e-14);
        assert_eq!(chance_of_loss_from_median(1.0, 1.0, s), 0.5);
    }
}
