//! Royalties and rents: a chain of claims on the gold.

use washgraph_units::check::Status;
use washgraph_units::constants::TROY_OUNCE_KG;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{ANY, POSITIVE, input, output, share};
use washgraph_units::quantity::Dimension;

/// Yukon royalty, money per kg of crude (raw) gold: 2.5 % of a legislated 15 $/oz. Source: Yukon Placer Mining Act (seen as
/// quoted with the royalty collected).
pub const YUKON_PER_RAW_KG: f64 = 0.025 * 15.0 / TROY_OUNCE_KG;

/// What must be handed over on a season's gold.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RoyaltyChain {
    /// Fixed money per kg of raw gold.
    pub per_raw_kg: f64,
    /// Share of the gross, 0 to 1 (private leases 0.05 to 0.20, from memory).
    pub share_of_gross: f64,
    /// Share of the net income after the two claims above, 0 to 1; nothing is due on a loss.
    pub share_of_net: f64,
    /// Least that is due, such as an advance rent.
    pub minimum: f64,
}

impl RoyaltyChain {
    /// Royalty due: max(minimum, fixed + gross part + max(0, net part)).
    ///
    /// `raw_kg` gold caught; `gross` money from it; `costs` all that may be deducted before net income. Order as in most leases
    /// and laws (common practice): the net is taken after the fixed and the gross claims.
    pub fn due(&self, raw_kg: f64, gross: f64, costs: f64) -> f64 {
        let first = self.per_raw_kg * raw_kg + self.share_of_gross * gross;
        let net = (gross - first - costs).max(0.0);
        (first + self.share_of_net * net).max(self.minimum)
    }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "royalty",
    "Royalty due on a season's gold: fixed per ounce, share of gross, share of net, least due",
    "max(minimum, fixed x gold + g x gross + n x max(0, gross - these - costs))",
    |x| {
        let chain = RoyaltyChain { per_raw_kg: x[3], share_of_gross: x[4], share_of_net: x[5], minimum: x[6] };
        vec![chain.due(x[0], x[1], x[2])]
    },
)
.inputs(&[
    input("gold", "raw gold caught", Dimension::Mass, "ozt", POSITIVE, None),
    input("gross", "money from the gold", Dimension::Money, "$", ANY, Some(0.0)),
    input("costs", "costs that may be deducted", Dimension::Money, "$", POSITIVE, Some(0.0)),
    input(
        "per_mass",
        "fixed money per raw mass (Yukon 0.375 $/ozt)",
        Dimension::MoneyPerMass,
        "$/ozt",
        POSITIVE,
        Some(0.0),
    ),
    share("share_of_gross", "share of the gross", Some(0.0)),
    share("share_of_net", "share of the net (Alaska state land 0.03)", Some(0.0)),
    input("minimum", "least due", Dimension::Money, "$", POSITIVE, Some(0.0)),
])
.outputs(&[output("due", "royalty due", Dimension::Money, "$")])
.source("laws of Yukon, Alaska and British Columbia; private leases", Status::CommonPractice)
.limits("read the lease: what may be deducted differs")];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    const YUKON: RoyaltyChain =
        RoyaltyChain { per_raw_kg: YUKON_PER_RAW_KG, share_of_gross: 0.0, share_of_net: 0.0, minimum: 0.0 };

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("yukon-royalty-47500", || YUKON.due(47_500.0 * TROY_OUNCE_KG, 0.0, 0.0)),
        ("yukon-ounces-behind-33300", || 33_300.0 / YUKON_PER_RAW_KG / TROY_OUNCE_KG),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_no_net_share_on_a_loss_and_the_minimum_holds() {
        let chain = RoyaltyChain { per_raw_kg: 0.0, share_of_gross: 0.05, share_of_net: 0.03, minimum: 0.0 };
        assert!((chain.due(1.0, 1000.0, 2000.0) - 50.0).abs() < 1e-12);
        assert!((chain.due(1.0, 1000.0, 500.0) - (50.0 + 0.03 * 450.0)).abs() < 1e-12);
        assert_eq!(RoyaltyChain { minimum: 80.0, ..chain }.due(1.0, 1000.0, 2000.0), 80.0);
    }
}
