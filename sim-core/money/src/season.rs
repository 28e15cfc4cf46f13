//! Hours, gold and money of a season.

use washgraph_units::check::Status;
use washgraph_units::constants::S_PER_H;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{POSITIVE, input, number, output, share};
use washgraph_units::quantity::Dimension;

/// Operating time of a season, s: days x hours a day x availability.
pub fn operating_s(days: f64, hours_per_day: f64, availability: f64) -> f64 {
    days * hours_per_day * S_PER_H * availability
}

/// What a season needs and costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Season {
    /// Operating time, s.
    pub operating_s: f64,
    /// Gravel washed, LOOSE, m3/s.
    pub loose_m3_s: f64,
    /// Swell, -.
    pub swell: f64,
    /// Grade, kg of RAW gold per BANK m3.
    pub grade_raw_kg_m3: f64,
    /// Share of the gold caught.
    pub recovery: f64,
    /// Net money per kg of raw gold.
    pub net_per_raw_kg: f64,
    /// Cost of running the plant, money/s.
    pub running_cost_per_s: f64,
    /// Bank waste per bank pay gravel.
    pub strip_ratio: f64,
    /// Cost of stripping per bank m3.
    pub stripping_per_m3: f64,
    /// Costs that do not depend on the hours: freight, bond, rebuild, reclamation, wages of the season.
    pub fixed: f64,
}

/// What a season brings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeasonResult {
    /// Pay gravel, BANK m3.
    pub bank_m3: f64,
    /// Raw gold caught, kg.
    pub gold_raw_kg: f64,
    /// Net money of the gold.
    pub income: f64,
    /// Washing, stripping and fixed costs.
    pub costs: f64,
    /// Income minus costs.
    pub profit: f64,
    /// Break-even grade with all costs, raw kg per bank m3.
    pub break_even_raw_kg_m3: f64,
}

impl Season {
    /// Balance of the season: gold = bank x grade x recovery; profit = gold x net - washing - stripping - fixed; total
    /// break-even = costs/(bank x net x recovery). Source: definition.
    pub fn balance(&self) -> SeasonResult {
        let bank_m3 = self.loose_m3_s * self.operating_s / (1.0 + self.swell);
        let gold_raw_kg = bank_m3 * self.grade_raw_kg_m3 * self.recovery;
        let income = gold_raw_kg * self.net_per_raw_kg;
        let costs = self.running_cost_per_s * self.operating_s
            + bank_m3 * self.strip_ratio * self.stripping_per_m3
            + self.fixed;
        SeasonResult {
            bank_m3,
            gold_raw_kg,
            income,
            costs,
            profit: income - costs,
            break_even_raw_kg_m3: costs / (bank_m3 * self.net_per_raw_kg * self.recovery),
        }
    }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "season",
    "Gold, profit and break-even grade of a season",
    "gold = bank x grade x recovery; profit = gold x net - washing - stripping - fixed",
    |x| {
        let season = Season {
            operating_s: operating_s(x[0], x[1] / S_PER_H, x[2]),
            loose_m3_s: x[3],
            swell: x[4],
            grade_raw_kg_m3: x[5],
            recovery: x[6],
            net_per_raw_kg: x[7],
            running_cost_per_s: x[8],
            strip_ratio: x[9],
            stripping_per_m3: x[10],
            fixed: x[11],
        };
        let r = season.balance();
        vec![season.operating_s, r.bank_m3, r.gold_raw_kg, r.income, r.profit, r.break_even_raw_kg_m3]
    },
)
.inputs(&[
    number("days", "working days", POSITIVE, Some(100.0)),
    input("hours_per_day", "hours a day", Dimension::Time, "h", (0.0, 86_400.0), Some(36_000.0))
        .possible((0.0, 86_400.0)),
    share("availability", "share of those hours that the plant runs", Some(0.75)),
    input("rate", "gravel washed, loose", Dimension::GravelRate, "yd3/h", POSITIVE, None),
    share("swell", "growth of the volume when dug", Some(0.18)),
    input("grade", "raw gold per bank volume", Dimension::Grade, "mg/m3", POSITIVE, None),
    share("recovery", "share of the gold caught", Some(0.9)),
    input("net", "net money per raw gold", Dimension::MoneyPerMass, "$/g", POSITIVE, None),
    input("cost", "cost of running the plant", Dimension::MoneyPerTime, "$/h", POSITIVE, None),
    number("strip_ratio", "bank waste per bank pay gravel", POSITIVE, Some(0.0)),
    input("stripping_cost", "cost of stripping, bank", Dimension::MoneyPerVolume, "$/yd3", POSITIVE, Some(0.0)),
    input("fixed", "costs that do not depend on the hours", Dimension::Money, "$", POSITIVE, Some(0.0)),
])
.outputs(&[
    output("hours", "hours of running", Dimension::Time, "h"),
    output("bank", "pay gravel, bank", Dimension::Volume, "yd3"),
    output("gold", "raw gold caught", Dimension::Mass, "ozt"),
    output("income", "net money of the gold", Dimension::Money, "$"),
    output("profit", "profit", Dimension::Money, "$"),
    output("break_even", "break-even grade with all costs, raw per bank", Dimension::Grade, "mg/m3"),
])
.source("definition", Status::CommonPractice)
.limits("one grade for the whole season; say whether the owner's wage is in the fixed costs")
.open(&[("break_even", "none: no gold is caught or it is worth nothing")])];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;
    use washgraph_units::constants::CUBIC_YARD_M3;

    /// Season of the worked example: 100 days of 10 h at 75 %, 60 loose yards an hour, swell 0.25, 450 $/h, 3 yards of waste at
    /// $2.50. Invented.
    pub(super) fn example() -> Season {
        Season {
            operating_s: operating_s(100.0, 10.0, 0.75),
            loose_m3_s: 60.0 * CUBIC_YARD_M3 / S_PER_H,
            swell: 0.25,
            grade_raw_kg_m3: 5e-4,
            recovery: 0.9,
            net_per_raw_kg: crate::gold_value::EXAMPLE.net_per_raw_kg(),
            running_cost_per_s: 450.0 / S_PER_H,
            strip_ratio: 3.0,
            stripping_per_m3: 2.5 / CUBIC_YARD_M3,
            fixed: 0.0,
        }
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("season-hours", || example().operating_s / S_PER_H),
        ("season-bank-yards", || example().balance().bank_m3 / CUBIC_YARD_M3),
        ("season-break-even", || example().balance().break_even_raw_kg_m3 * 1e3 * CUBIC_YARD_M3),
    ];
}

#[cfg(test)]
mod tests {
    use super::golden_rows::example;
    use super::*;

    #[test]
    fn identity_profit_is_zero_at_break_even() {
        let season = Season { fixed: 60_000.0, ..example() };
        let at = Season { grade_raw_kg_m3: season.balance().break_even_raw_kg_m3, ..season };
        assert!(at.balance().profit.abs() < 1e-6);
        assert!(season.balance().profit > 0.0);
    }
}
