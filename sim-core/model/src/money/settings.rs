//! What the owner may type of money: prices, wages, stripping, machines, costs of his own, clean-ups, the plant itself.
//!
//! No price is shipped as truth: what only the owner knows must be given.

use sim_core::constants::S_PER_H;
use sim_core::draw::Nature;
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stats::Spread;

const FREE: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);
/// Money is never negative here; the upper end only guards against a slip of the pen.
const MONEY: (f64, f64) = (0.0, 1.0e12);

/// A quantity that only the owner knows, may be uncertain and must be given.
const fn owners(key: &'static str, dimension: Dimension, range: (f64, f64), meaning: &'static str) -> Setting {
    Setting::new(key, Kind::Quantity(dimension), meaning).preset(Preset::Required).range(range)
}

/// The same, but it may be absent.
const fn maybe(key: &'static str, dimension: Dimension, range: (f64, f64), meaning: &'static str) -> Setting {
    owners(key, dimension, range, meaning).preset(Preset::Absent)
}

const fn word(key: &'static str, preset: Preset, meaning: &'static str) -> Setting {
    Setting::new(key, Kind::Text, meaning).preset(preset).range(FREE)
}

/// Currencies that may be named.
pub const CURRENCIES: &[(&str, &str)] = &[
    ("USD", "US dollar"),
    ("CAD", "Canadian dollar"),
    ("AUD", "Australian dollar"),
    ("NZD", "New Zealand dollar"),
    ("EUR", "euro"),
    ("GBP", "pound sterling"),
    ("$", "dollars, whichever you mean"),
];

/// Settings of `[money]`.
pub const MONEY_SETTINGS: &[Setting] = &[
    Setting::choice("currency", CURRENCIES, Preset::Text("$"), "currency of every amount"),
    owners("gold_price", Dimension::MoneyPerMass, (1.0, 1.0e9), "price of fine gold, per ounce or gram of FINE gold"),
    Setting::uncertain(
        "payable",
        Dimension::Fraction,
        || Spread::split_normal(0.95, 0.97, 0.985),
        (0.2, 1.0),
        Nature::Ignorance,
        "share of the fine gold that the buyer pays, melt loss included",
        "assumed; ask your buyer: small lots are paid 95 to 99 %",
    ),
    maybe("refining", Dimension::MoneyPerMass, (0.0, 1.0e8), "refining, assay and shipping per raw weight"),
    Setting::optional("royalty_per_gold", Dimension::MoneyPerMass, (0.0, 1.0e8), "royalty per raw weight of gold"),
    Setting::optional("royalty_gross", Dimension::Fraction, (0.0, 0.95), "royalty as a share of what the buyer pays"),
    Setting::optional("royalty_net", Dimension::Fraction, (0.0, 0.95), "royalty as a share of the net income"),
    Setting::optional("royalty_minimum", Dimension::Money, MONEY, "least royalty or advance rent of a season"),
    maybe("fuel_price", Dimension::MoneyPerVolume, (0.0, 1.0e6), "price of fuel"),
    Setting::uncertain(
        "fuel_per_energy",
        Dimension::FuelPerEnergy,
        || Spread::uniform(0.250e-3 / 3.6e6, 0.274e-3 / 3.6e6),
        (0.1e-3 / 3.6e6, 2.0e-3 / 3.6e6),
        Nature::Ignorance,
        "fuel per shaft energy of the plant's engines at full load",
        "direct diesel engine, 210 to 230 g/kWh, from memory",
    ),
    Setting::uncertain(
        "engine_load",
        Dimension::Fraction,
        || Spread::split_normal(0.45, 0.65, 0.85),
        (0.1, 1.0),
        Nature::Ignorance,
        "load of the plant's engines over their rated power",
        "assumed; look at the plates",
    ),
    owners("labour", Dimension::MoneyPerTime, (0.0, 1.0e6), "wages of the whole crew without the owner, per paid hour"),
    maybe("owner_wage", Dimension::MoneyPerTime, (0.0, 1.0e6), "the owner's own wage, per paid hour"),
    maybe("strip_ratio", Dimension::Number, (0.0, 100.0), "bank volume of waste per bank volume of pay gravel"),
    maybe("stripping", Dimension::MoneyPerVolume, (0.0, 1.0e6), "cost of stripping, per bank volume of waste"),
    maybe("days", Dimension::Number, (1.0, 366.0), "working days of a season"),
    maybe("hours_per_day", Dimension::Time, (600.0, 86_400.0), "paid hours a day"),
    maybe(
        "availability",
        Dimension::Fraction,
        (0.01, 1.0),
        "share of the paid hours in which the plant runs or is cleaned up",
    ),
    maybe("build_cost", Dimension::Money, MONEY, "what the plant costs before the first season"),
    owners("life", Dimension::Number, (1.0, 100.0), "seasons that the plant serves")
        .kind(Kind::Whole)
        .preset(Preset::Absent),
    Setting::optional("resale", Dimension::Money, MONEY, "what the plant is sold for after its last season"),
    Setting::optional(
        "reclamation",
        Dimension::Money,
        MONEY,
        "what putting the ground back costs after the last season",
    ),
    Setting::optional("discount_rate", Dimension::Fraction, (-0.5, 2.0), "discount rate a year, for the present value"),
    Setting::optional(
        "pan_cost",
        Dimension::Money,
        MONEY,
        "what one more pan costs: dug, carried, washed and counted; read by `samples`",
    ),
    Setting::optional("bulk_sample_cost", Dimension::Money, MONEY, "what one bulk sample costs; read by `samples`"),
    Setting::nested("clean_up", "how the box is cleaned up"),
    Setting::nested("machine", "machines that burn fuel, one table each"),
    Setting::nested("cost", "costs of your own, one table each"),
];

/// Settings of `[money.clean_up]`.
pub const CLEAN_UP_SETTINGS: &[Setting] = &[
    Setting::optional("interval", Dimension::Time, (1800.0, 3.2e7), "running time between two clean-ups"),
    Setting::usual("stop", Dimension::Time, "0 h", (0.0, 8.7e5), "time that a clean-up stops the plant"),
    maybe("cost", Dimension::Money, MONEY, "what a clean-up costs beside the wages"),
    maybe(
        "loss_growth",
        Dimension::PerTime,
        (0.0, 1.0 / S_PER_H),
        "growth of the share of gold lost as the riffles fill, per hour of running; measure it at the tail of the box",
    ),
    Setting::nested("recovered", "list of [size, share] that the final clean-up recovers of the gold in the box"),
    Setting::uncertain(
        "loss_factor",
        Dimension::Number,
        || Spread::log_normal_within(1.0, 0.5, 0.4, 2.5),
        (0.0, 20.0),
        Nature::Ignorance,
        "factor on all that the final clean-up loses",
        "assumed; pan the tailings of the final clean-up",
    ),
    Setting::uncertain(
        "concentrate_depth",
        Dimension::Length,
        || Spread::split_log_normal(0.005, 0.010, 0.020),
        (0.0, 0.3),
        Nature::Ignorance,
        "depth of concentrate over the riffled area, matting included",
        "assumed",
    ),
    Setting::uncertain(
        "concentrate_density",
        Dimension::Density,
        || Spread::uniform(1800.0, 2200.0),
        (1000.0, 5000.0),
        Nature::Ignorance,
        "mass of concentrate per volume",
        "assumed; packed sand with black sand",
    ),
    maybe("work_up", Dimension::MassRate, (1.0e-6, 10.0), "concentrate worked up per hour in the final clean-up"),
];

/// Settings of `[[money.machine]]`.
pub const MACHINE_SETTINGS: &[Setting] = &[
    word("name", Preset::Required, "name of the machine"),
    owners("fuel", Dimension::Flow, (0.0, 1.0e-4), "fuel burnt while it works"),
    owners("share_of_time", Dimension::Fraction, (0.0, 3.0), "time it works over time the plant runs")
        .preset(Preset::Text("100 %")),
];

/// Words for what a cost item is counted by.
pub const COST_BASES: &[(&str, &str)] = &[
    ("per hour", "for every hour that the plant runs"),
    ("per loose volume", "for every loose yard or cubic metre washed"),
    ("per bank volume", "for every bank yard or cubic metre washed"),
    ("per season", "once a season"),
    ("once", "once, before the first season"),
];

const fn cost_settings(dimension: Dimension) -> [Setting; 3] {
    [
        word("name", Preset::Required, "name of the cost"),
        Setting::choice("basis", COST_BASES, Preset::Required, "what the amount is counted by"),
        owners("amount", dimension, MONEY, "amount"),
    ]
}

/// Settings of `[[money.cost]]` counted by the hour.
pub const HOURLY_COST: &[Setting] = &cost_settings(Dimension::MoneyPerTime);
/// Settings of `[[money.cost]]` counted by the volume.
pub const VOLUME_COST: &[Setting] = &cost_settings(Dimension::MoneyPerVolume);
/// Settings of `[[money.cost]]` counted by the season or once.
pub const WHOLE_COST: &[Setting] = &cost_settings(Dimension::Money);
