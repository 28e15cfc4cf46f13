//! From the price of fine gold to money per raw gram.

use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::TROY_OUNCE_KG;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{Evidence, POSITIVE, input, output, row, share};
use washgraph_units::quantity::Dimension;

/// What the buyer pays for raw gold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GoldTerms {
    /// Price of fine gold, money per kg (1 $/ozt = 32.1507 $/kg).
    pub price_per_fine_kg: f64,
    /// Gold by mass of the raw gold, 0 to 1 (850 fine = 0.85); the rest is not paid.
    pub fineness: f64,
    /// Share of the fine gold that is paid, 0 to 1.
    pub payable: f64,
    /// Refining, assay and shipping, money per kg of RAW gold.
    pub charge_per_raw_kg: f64,
    /// Royalty on the gross, 0 to 1.
    pub royalty: f64,
}

impl GoldTerms {
    /// Net money per kg of RAW gold: (price F payable - charge)(1 - royalty).
    ///
    /// Source: common practice of settlement sheets. Simplified: silver unpaid, no melt loss (put it into `payable`), royalty on
    /// what is left after charges. Negative when the charges exceed the value.
    pub fn net_per_raw_kg(&self) -> f64 {
        (self.price_per_fine_kg * self.fineness * self.payable - self.charge_per_raw_kg) * (1.0 - self.royalty)
    }
}

/// Fine gold paid for in a melt, kg: net melt weight x assay x payable.
pub fn payable_fine_kg(net_melt_kg: f64, assay: f64, payable: f64) -> f64 {
    net_melt_kg * assay * payable
}

/// Settlement of a melt: net melt weight x assay x payable x price - charges.
pub fn settlement(net_melt_kg: f64, assay: f64, payable: f64, price_per_fine_kg: f64, charges: f64) -> f64 {
    payable_fine_kg(net_melt_kg, assay, payable) * price_per_fine_kg - charges
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "raw-gold-value",
        "What a raw gram or ounce of placer gold brings",
        "net = (price F payable - charge)(1 - royalty)",
        |x| {
            let terms = GoldTerms {
                price_per_fine_kg: x[0],
                fineness: x[1],
                payable: x[2],
                charge_per_raw_kg: x[3],
                royalty: x[4],
            };
            vec![terms.net_per_raw_kg(); 2]
        },
    )
    .inputs(&[
        input("price", "price of fine gold", Dimension::MoneyPerMass, "$/ozt", POSITIVE, None),
        share("fineness", "gold by mass, e.g. 0.85 for 850 fine", Some(0.85)),
        share("payable", "share of the fine gold that is paid", Some(0.98)),
        input("charge", "refining and shipping per raw mass", Dimension::MoneyPerMass, "$/ozt", POSITIVE, Some(0.0)),
        share("royalty", "royalty on the gross", Some(0.0)),
    ])
    .outputs(&[
        output("net_per_raw_gram", "money per raw gram", Dimension::MoneyPerMass, "$/g"),
        output("net_per_raw_ounce", "the same per raw troy ounce", Dimension::MoneyPerMass, "$/ozt"),
    ])
    .source("settlement sheets of refiners", Status::CommonPractice)
    .limits("silver unpaid; melt loss (1 to 5 % of raw weight) goes into the payable share; nuggets may bring more"),
    Formula::new(
        "gold-settlement",
        "What a melt brings at the refinery",
        "melt x assay x payable x price - charges",
        |x| vec![settlement(x[0], x[1], x[2], x[3], x[4]), payable_fine_kg(x[0], x[1], x[2])],
    )
    .inputs(&[
        input("melt", "net melt weight", Dimension::Mass, "g", POSITIVE, None),
        share("assay", "fine gold by mass", None),
        share("payable", "share of the fine gold that is paid", Some(0.98)),
        input("price", "price of fine gold", Dimension::MoneyPerMass, "$/ozt", POSITIVE, None),
        input("charges", "charges of the lot", Dimension::Money, "$", POSITIVE, Some(0.0)),
    ])
    .outputs(&[
        output("settlement", "money paid", Dimension::Money, "$"),
        output("fine_paid", "fine gold paid for", Dimension::Mass, "ozt"),
    ])
    .source("settlement sheets of refiners", Status::CommonPractice),
];

/// Terms of the worked example: 3,000 per ounce, 850 fine, 98 % payable, 5 % royalty. Invented.
pub(super) const EXAMPLE: GoldTerms = GoldTerms {
    price_per_fine_kg: 3000.0 / TROY_OUNCE_KG,
    fineness: 0.85,
    payable: 0.98,
    charge_per_raw_kg: 0.0,
    royalty: 0.05,
};

const SHEET: Evidence = (
    Kind::Published,
    "published settlement example: 24.96 kg x 0.913 x 0.99 = 725.4 ozt; band: the rounding of 24.96 kg and 725.4",
    Status::Seen,
);
/// Checks of this file.
pub const CHECKS: &[Check] =
    &[row("settlement-725-ounces", "settlement of a melt", SHEET, (725.4, "ozt"), Band::Absolute(0.1), || {
        payable_fine_kg(24.96, 0.913, 0.99) / TROY_OUNCE_KG
    })];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("net-per-raw-gram", || EXAMPLE.net_per_raw_kg() * 1e-3),
        ("net-per-raw-gram-no-royalty", || GoldTerms { royalty: 0.0, ..EXAMPLE }.net_per_raw_kg() * 1e-3),
        ("settlement-725-ounces-reckoned", || payable_fine_kg(24.96, 0.913, 0.99) / TROY_OUNCE_KG),
    ];
}
