//! The worked example of a season, put through the plan that the trials use.

use super::gold_value::EXAMPLE;
use super::plan::{
    Build, CleanUpPlan, CostBasis, CostItem, MoneyOutcome, MoneyPlan, SamplingCost, SeasonFlows, SeasonLength,
};
use super::royalty::RoyaltyChain;
use washgraph_physics::size::GOLD_CLASSES;
use washgraph_stats::draw::{Draws, Input, InputList};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::{CUBIC_YARD_M3, S_PER_H};
use washgraph_units::formula::entry::{Evidence, row};

const NONE: Input = Input::Fixed(f64::NAN);

/// 100 days of 10 h at 75 %, 450 $/h, 3 bank yards of waste at $2.50 for each of pay gravel, 5 % royalty; no clean-ups. The
/// fuel and the wages are in the 450. Invented.
fn plan(royalty: RoyaltyChain) -> MoneyPlan {
    let fixed = Input::Fixed;
    MoneyPlan {
        currency: "$".into(),
        price_per_fine_kg: fixed(EXAMPLE.price_per_fine_kg),
        fineness: EXAMPLE.fineness,
        mean_day_factor: 1.0,
        payable: fixed(EXAMPLE.payable),
        charge_per_raw_kg: NONE,
        royalty,
        fuel_price_per_m3: fixed(0.0),
        fuel_m3_j: fixed(0.0),
        engine_load: fixed(1.0),
        labour_per_s: fixed(0.0),
        owner_per_s: NONE,
        strip_ratio: fixed(3.0),
        stripping_per_m3: fixed(2.5 / CUBIC_YARD_M3),
        machines: Vec::new(),
        costs: vec![CostItem { name: "plant".into(), basis: CostBasis::Running, amount: fixed(450.0 / S_PER_H) }],
        length: SeasonLength { days: fixed(100.0), day_s: fixed(36_000.0), availability: fixed(0.75) },
        clean_up: CleanUpPlan {
            interval_s: f64::INFINITY,
            stop_s: 0.0,
            cost: NONE,
            loss_growth_per_s: NONE,
            loss_by_class: [0.0; GOLD_CLASSES],
            loss_factor: fixed(1.0),
            depth_m: NONE,
            density_kg_m3: NONE,
            rate_kg_s: NONE,
        },
        build: Build { cost: NONE, seasons: 0, at_the_end: 0.0, discount: None },
        sampling: SamplingCost::default(),
    }
}

/// 60 loose yards an hour, swell 0.25, half a gram of raw gold in a bank m3, 90 % caught.
fn season(royalty: RoyaltyChain) -> MoneyOutcome {
    let loose_m3_s = 60.0 * CUBIC_YARD_M3 / S_PER_H;
    let fed_kg_s = loose_m3_s / 1.25 * 5e-4;
    let flows = SeasonFlows {
        loose_m3_s,
        swell: 0.25,
        fed_kg_s,
        caught_kg_s: 0.9 * fed_kg_s,
        clean_up_loss: 0.0,
        engine_w: 0.0,
    };
    plan(royalty).trial(&flows, &Draws::new(0, &InputList::default()))
}

fn gross() -> RoyaltyChain {
    RoyaltyChain { share_of_gross: EXAMPLE.royalty, ..RoyaltyChain::default() }
}

const MODEL: &str = "money of a season";
const SAME: Evidence = (
    Kind::Identity,
    "income - royalty - costs by hand: 12.39 kg of raw gold, 450 $/h over 750 h, 108,000 bank yards of waste",
    Status::Computed,
);

/// Checks of this file.
pub const CHECKS: &[Check] = &[row("season-plan-net", MODEL, SAME, (0.0, "$"), Band::Absolute(1e-6), || {
    let gold_kg = 36_000.0 * CUBIC_YARD_M3 * 5e-4 * 0.9;
    let by_hand = gold_kg * EXAMPLE.net_per_raw_kg() - 450.0 * 750.0 - 108_000.0 * 2.5;
    season(gross()).net - by_hand
})];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("season-plan-break-even", || season(gross()).break_even_kg_m3 * 1e3 * CUBIC_YARD_M3),
        ("season-plan-wash-or-waste", || season(gross()).wash_or_waste_kg_m3 * 1e6),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rent that is due whatever is found raises the break-even grade; the royalty on the net asks nothing there.
    #[test]
    fn identity_royalties_at_break_even() {
        let plain = season(RoyaltyChain::default());
        let net = season(RoyaltyChain { share_of_net: 0.3, ..RoyaltyChain::default() });
        assert_eq!(plain.break_even_kg_m3, net.break_even_kg_m3);
        assert!((net.net - 0.7 * plain.net).abs() < 1e-6);
        let rent = season(RoyaltyChain { minimum: 50_000.0, ..RoyaltyChain::default() });
        let costs = plain.income - plain.net;
        assert!((rent.break_even_kg_m3 / plain.break_even_kg_m3 - (costs + 50_000.0) / costs).abs() < 1e-12);
        let all = season(RoyaltyChain { per_raw_kg: 1e9, ..RoyaltyChain::default() });
        assert_eq!(all.break_even_kg_m3, f64::INFINITY);
    }
}
