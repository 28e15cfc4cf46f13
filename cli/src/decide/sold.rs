//! Settings that are bought in set sizes: what is proposed for them is a size that is sold.

use sim_core::quantity::UnitChoice;
use sim_core::stock::{Item, Stock};

/// What a setting is bought as, by kind of table and key; `None` for what is cut or set to any size.
fn item_of(kind: &str, key: &str) -> Option<Item> {
    match (kind, key) {
        ("screen", "hole") => Some(Item::PlateHole),
        ("spray-bar", "hole") => Some(Item::Drill),
        (_, "hose_bore" | "suction_bore" | "delivery_bore") => Some(Item::HoseBore),
        _ => None,
    }
}

/// The list that a setting is bought from.
pub(crate) fn stock_of(kind: &str, key: &str, units: UnitChoice) -> Option<&'static Stock> {
    item_of(kind, key).map(|item| Stock::of(item, units))
}

/// The size that is sold nearest to a factor on the present one, at least one size up or down from it.
pub(crate) fn next_size(stock: &Stock, now_m: f64, factor: f64) -> Option<String> {
    let wanted = stock.nearest(factor * now_m);
    let next = if factor > 1.0 { stock.above(now_m)?.max(wanted) } else { stock.below(now_m)?.min(wanted) };
    Some(stock.say(next))
}
