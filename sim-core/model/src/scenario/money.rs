//! The `[money]` table: from what the owner typed to a [`MoneyPlan`], or all that is wrong with it.

use sim_core::constants::S_PER_H;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::kinds::tables;
use super::understood::rows_of;
use crate::money::settings::{
    CLEAN_UP_SETTINGS, COST_BASES, HOURLY_COST, MACHINE_SETTINGS, MONEY_SETTINGS, VOLUME_COST, WHOLE_COST,
};
use sim_core::draw::Input;
use sim_core::ground::Ground;
use sim_core::math::ln;
use sim_core::money::plan::{Build, CleanUpPlan, CostBasis, CostItem, Machine, MoneyPlan, SamplingCost, SeasonLength};
use sim_core::money::royalty::RoyaltyChain;
use sim_core::plant::{Understood, UnderstoodRow};
use sim_core::quantity::{Basis, Dimension, UnitChoice, show};
use sim_core::setting::{Reader, Setting, Settings};
use sim_core::size::ByGold;
use sim_core::size::gold_class;

/// Share of the gold in the box that the final clean-up recovers, by size in m; straight in the logarithm of the size between,
/// flat outside. Assumed: 0.9 to 0.99.
const RECOVERED: [(f64, f64); 3] = [(0.05e-3, 0.90), (0.15e-3, 0.97), (0.5e-3, 0.99)];

/// Two lengths of a season that differ by more than this contradict each other.
const SAME_SEASON: f64 = 0.01;

/// What a `[money]` table is read with.
pub(super) struct MoneyReader<'r, 'p> {
    pub reader: &'r mut Reader<'p>,
    pub units: UnitChoice,
    pub understood: &'r mut Vec<Understood>,
    /// The currency of every amount; "$" stands for any dollar.
    currency: String,
}

fn table_at<'t, 'i>(parent: &'t DeTable<'i>, key: &str) -> Option<(&'t DeTable<'i>, Range<usize>)> {
    let (_, value) = parent.iter().find(|(k, _)| k.get_ref() == key)?;
    value.get_ref().as_table().map(|t| (t, value.span()))
}

/// Reads the whole of `[money]`; `None` without one, or when something in it prevents the run. `season_s` is the time run
/// given at the top of the scenario (NaN: none); `ground` is `None` when it
/// has problems of its own.
pub(super) fn read_money(
    document: &DeTable<'_>,
    reader: &mut Reader<'_>,
    units: UnitChoice,
    understood: &mut Vec<Understood>,
    season_s: f64,
    season_place: Option<Range<usize>>,
    ground: Option<&Ground>,
) -> Option<MoneyPlan> {
    let (_, value) = document.iter().find(|(k, _)| k.get_ref() == "money")?;
    let Some(table) = value.get_ref().as_table() else {
        reader.problems.error(value.span(), "`money` is a table", "write [money] and below it gold_price = \"...\"");
        return None;
    };
    let before = reader.problems.error_count();
    let mut money = MoneyReader { reader, units, understood, currency: String::new() };
    let plan = money.plan(table, value.span(), season_s, season_place, ground);
    if money.reader.problems.error_count() > before { None } else { plan }
}

impl MoneyReader<'_, '_> {
    fn read(
        &mut self,
        table: &DeTable<'_>,
        place: Range<usize>,
        declared: &[Setting],
        owner: &str,
        kind: &str,
    ) -> Settings {
        let settings = self.reader.read(table, place, declared, owner);
        self.understood.push(Understood {
            owner: owner.into(),
            kind: kind.into(),
            rows: rows_of(&settings, declared, &[], self.units),
        });
        for setting in declared {
            if let Some(typed) = settings.currency(setting.key) {
                self.check_currency(typed, settings.place(setting.key));
            }
        }
        settings
    }

    /// Every amount must be in the one currency; a bare dollar sign fits any dollar.
    fn check_currency(&mut self, typed: &'static str, place: Option<Range<usize>>) {
        let is_dollar = |c: &str| c == "$" || c.ends_with('D');
        if self.currency == "$" && typed != "$" {
            // The first amount that names its currency says which one is meant.
            self.currency = typed.to_string();
            return;
        }
        let fits = typed == self.currency || typed == "$" && is_dollar(&self.currency);
        if !fits {
            self.reader.problems.error(
                place,
                format!("an amount in {typed}, but the money of this scenario is {}", self.currency),
                "write every amount in one currency; there are no exchange rates here",
            );
        }
    }

    fn plan(
        &mut self,
        table: &DeTable<'_>,
        place: Range<usize>,
        season_s: f64,
        season_place: Option<Range<usize>>,
        ground: Option<&Ground>,
    ) -> Option<MoneyPlan> {
        // The currency comes first: all amounts are checked against it.
        let named = table.iter().find(|(k, _)| k.get_ref() == "currency").and_then(|(_, v)| v.get_ref().as_str());
        self.currency = named.unwrap_or("$").to_string();
        let errors_before = self.reader.problems.error_count();
        let s = self.read(table, place.clone(), MONEY_SETTINGS, "money", "");
        let machines = self.machines(table);
        let costs = self.costs(table);
        let clean_up = self.clean_up(table);
        if self.reader.problems.error_count() > errors_before {
            // A setting that cannot be read is not one that is missing.
            return None;
        }
        let length = self.length(&s, season_s, season_place)?;
        self.contradictions(&s, &costs, &machines);
        Some(MoneyPlan {
            currency: self.currency.clone(),
            price_per_fine_kg: s.input("gold_price"),
            fineness: ground.map_or(f64::NAN, |g| g.fineness),
            mean_day_factor: ground.map_or(1.0, |g| self.reader.inputs.mean(g.inputs.day_factor)),
            payable: s.input("payable"),
            charge_per_raw_kg: s.input("refining"),
            royalty: RoyaltyChain {
                per_raw_kg: s.maybe("royalty_per_gold").unwrap_or(0.0),
                share_of_gross: s.maybe("royalty_gross").unwrap_or(0.0),
                share_of_net: s.maybe("royalty_net").unwrap_or(0.0),
                minimum: s.maybe("royalty_minimum").unwrap_or(0.0),
            },
            fuel_price_per_m3: s.input("fuel_price"),
            fuel_m3_j: s.input("fuel_per_energy"),
            engine_load: s.input("engine_load"),
            labour_per_s: s.input("labour"),
            owner_per_s: s.input("owner_wage"),
            strip_ratio: s.input("strip_ratio"),
            stripping_per_m3: s.input("stripping"),
            machines,
            costs,
            length,
            clean_up,
            build: Build {
                cost: s.input("build_cost"),
                seasons: s.maybe("life").unwrap_or(0.0) as u32,
                at_the_end: s.maybe("resale").unwrap_or(0.0) - s.maybe("reclamation").unwrap_or(0.0),
                discount: s.maybe("discount_rate"),
            },
            sampling: SamplingCost { pan: s.maybe("pan_cost"), bulk: s.maybe("bulk_sample_cost") },
        })
    }

    /// Length of the season from `[money]`, or from the top of the scenario.
    fn length(&mut self, s: &Settings, season_s: f64, season_place: Option<Range<usize>>) -> Option<SeasonLength> {
        let keys = ["days", "hours_per_day", "availability"];
        let missing: Vec<&str> = keys.into_iter().filter(|k| !s.was_given(k)).collect();
        if missing.len() == keys.len() {
            if season_s.is_finite() {
                let once = Input::Fixed(1.0);
                return Some(SeasonLength { days: once, day_s: Input::Fixed(season_s), availability: once });
            }
            self.reader.problems.error(
                s.span.clone(),
                "money needs to know how long a season is",
                "add days, hours_per_day and availability here, or season = \"700 h\" (time run) at the top",
            );
            return None;
        }
        if !missing.is_empty() {
            self.reader.problems.error(
                s.span.clone(),
                format!("the season lacks {}", missing.join(" and ")),
                "days, hours_per_day and availability go together, e.g. days = 100, hours_per_day = \"10 h\", availability = \"75 %\"",
            );
            return None;
        }
        let run_s = s.number("days") * s.number("hours_per_day") * s.number("availability");
        if season_s.is_finite() && (run_s / season_s - 1.0).abs() > SAME_SEASON {
            self.reader.problems.error(
                season_place,
                format!(
                    "two lengths of a season: {} h at the top, {:.0} h from days, hours and availability in [money]",
                    (season_s / S_PER_H).round(),
                    run_s / S_PER_H
                ),
                "take one of them out",
            );
        }
        Some(SeasonLength {
            days: s.input("days"),
            day_s: s.input("hours_per_day"),
            availability: s.input("availability"),
        })
    }

    /// What does not go together.
    fn contradictions(&mut self, s: &Settings, costs: &[CostItem], machines: &[Machine]) {
        let mut error =
            |key: &str, message: String, help: &str| self.reader.problems.error(s.place(key), message, help);
        for (one, other) in [("strip_ratio", "stripping"), ("stripping", "strip_ratio")] {
            if s.was_given(one) && !s.was_given(other) {
                error(one, format!("`{one}` is given but not `{other}`"), "stripping needs both, or neither");
            }
        }
        if s.basis("stripping") == Some(Basis::Loose) {
            error(
                "stripping",
                "stripping is counted by the bank volume of waste".into(),
                "multiply a loose price by (1 + swell) and write \"$ ../yd3 bank\"",
            );
        }
        let has_capital = s.was_given("build_cost") || costs.iter().any(|c| c.basis == CostBasis::Once);
        for key in ["discount_rate", "resale", "reclamation"] {
            if s.was_given(key) && !s.was_given("life") {
                error(key, format!("`{key}` is given but not how many seasons the plant serves"), "add life = 5 or so");
            }
        }
        if s.was_given("discount_rate") && !has_capital {
            error("discount_rate", "a present value needs what the plant costs".into(), "add build_cost = \"$ ...\"");
        }
        if has_capital && !s.was_given("life") {
            error(
                if s.was_given("build_cost") { "build_cost" } else { "cost" },
                "what is paid once must be shared out over seasons".into(),
                "add life = 5 or so: the seasons that the plant serves",
            );
        }
        if s.was_given("royalty_gross")
            && s.was_given("royalty_net")
            && s.number("royalty_gross") + s.number("royalty_net") >= 1.0
        {
            error("royalty_net", "the royalties take all there is".into(), "check the shares");
        }
        if !s.was_given("fuel_price") {
            let burns = machines.first().map_or(String::new(), |m| format!(" (`{}` burns it)", m.name));
            error(
                "fuel_price",
                format!("`fuel_price` is missing{burns}"),
                "add fuel_price = \"$ 1.40/L\" at your own price; 0 if fuel costs you nothing",
            );
        }
    }

    fn machines(&mut self, table: &DeTable<'_>) -> Vec<Machine> {
        let mut machines: Vec<Machine> = Vec::new();
        for (t, place) in tables(table, "machine", self.reader.problems) {
            let name = name_of(t).unwrap_or_else(|| format!("machine {}", machines.len() + 1));
            if machines.iter().any(|m| m.name == name) {
                self.twice(&name, place);
                continue;
            }
            let s = self.read(t, place, MACHINE_SETTINGS, &format!("money.machine.{name}"), "");
            machines.push(Machine { name, fuel_m3_s: s.input("fuel"), share: s.input("share_of_time") });
        }
        machines
    }

    fn costs(&mut self, table: &DeTable<'_>) -> Vec<CostItem> {
        let mut costs: Vec<CostItem> = Vec::new();
        for (t, place) in tables(table, "cost", self.reader.problems) {
            let name = name_of(t).unwrap_or_else(|| format!("cost {}", costs.len() + 1));
            if costs.iter().any(|c| c.name == name) {
                self.twice(&name, place);
                continue;
            }
            let typed = t.iter().find(|(k, _)| k.get_ref() == "basis").and_then(|(_, v)| v.get_ref().as_str());
            let number = COST_BASES.iter().position(|b| Some(b.0) == typed);
            let (basis, declared) = match number {
                Some(0) => (CostBasis::Running, HOURLY_COST),
                Some(1) => (CostBasis::Loose, VOLUME_COST),
                Some(2) => (CostBasis::Bank, VOLUME_COST),
                Some(3) => (CostBasis::Season, WHOLE_COST),
                _ => (CostBasis::Once, WHOLE_COST),
            };
            let s = self.read(t, place, declared, &format!("money.cost.{name}"), "");
            let said = s.basis("amount");
            let contradicts =
                matches!((basis, said), (CostBasis::Loose, Some(Basis::Bank)) | (CostBasis::Bank, Some(Basis::Loose)));
            if contradicts {
                self.reader.problems.error(
                    s.place("amount"),
                    format!("the amount of `{name}` says loose or bank otherwise than its basis"),
                    "use one of: per loose volume, per bank volume",
                );
            }
            costs.push(CostItem { name, basis, amount: s.input("amount") });
        }
        costs
    }

    fn twice(&mut self, name: &str, place: Range<usize>) {
        self.reader.problems.error(place, format!("`{name}` stands there twice"), "give each a name of its own");
    }

    fn clean_up(&mut self, table: &DeTable<'_>) -> CleanUpPlan {
        let empty = DeTable::new();
        let (t, place) = match table_at(table, "clean_up") {
            Some((t, place)) => (t, place),
            None => (&empty, 0..0),
        };
        let s = self.read(t, place, CLEAN_UP_SETTINGS, "money.clean_up", "");
        let curve = self.recovered(t).unwrap_or_else(|| RECOVERED.to_vec());
        if s.maybe("stop").unwrap_or(0.0) > 0.0 && !s.was_given("interval") {
            self.reader.problems.error(
                s.place("stop"),
                "a clean-up stops the plant, but not how often",
                "add interval = \"24 h\" or so: running time between two clean-ups",
            );
        }
        CleanUpPlan {
            interval_s: s.maybe("interval").unwrap_or(f64::INFINITY),
            stop_s: s.maybe("stop").unwrap_or(0.0),
            cost: s.input("cost"),
            loss_growth_per_s: s.input("loss_growth"),
            loss_by_class: loss_by_class(&curve),
            loss_factor: s.input("loss_factor"),
            depth_m: s.input("concentrate_depth"),
            density_kg_m3: s.input("concentrate_density"),
            rate_kg_s: s.input("work_up"),
        }
    }

    /// The list of [size, share recovered], small to large; `None` when it is not given or wrong.
    fn recovered(&mut self, table: &DeTable<'_>) -> Option<Vec<(f64, f64)>> {
        let (_, value) = table.iter().find(|(k, _)| k.get_ref() == "recovered")?;
        let help = "write recovered = [[\"0.05 mm\", \"90 %\"], [\"0.5 mm\", \"99 %\"]]";
        let DeValue::Array(rows) = value.get_ref() else {
            self.reader.problems.error(value.span(), "`recovered` is a list of [size, share]", help);
            return None;
        };
        let mut curve: Vec<(f64, f64)> = Vec::new();
        for row in rows.iter() {
            let cells = match row.get_ref() {
                DeValue::Array(cells) if cells.len() == 2 => cells,
                _ => {
                    self.reader.problems.error(row.span(), "each row is [size, share]", help);
                    return None;
                }
            };
            let mut values = [f64::NAN; 2];
            for ((cell, dimension), value) in
                cells.iter().zip([Dimension::SieveSize, Dimension::Fraction]).zip(&mut values)
            {
                let Some(text) = cell.get_ref().as_str() else {
                    self.reader.problems.error(cell.span(), "each value is a text with its unit", help);
                    return None;
                };
                let inner = cell.span().start + 1..cell.span().end.saturating_sub(1);
                *value = self.reader.parse(text, dimension, &inner, Some(inner.clone()))?.si;
            }
            let [size, share] = values;
            if !(size > 0.0 && (0.0..=1.0).contains(&share)) {
                self.reader.problems.error(
                    row.span(),
                    "a size above zero and a share from 0 to 100 % are wanted",
                    help,
                );
                return None;
            }
            curve.push((size, share));
        }
        curve.sort_by(|a, b| a.0.total_cmp(&b.0));
        if curve.is_empty() || curve.windows(2).any(|w| w.first().map(|p| p.0) == w.last().map(|p| p.0)) {
            self.reader.problems.error(value.span(), "`recovered` is empty or has a size twice", help);
            return None;
        }
        let words: Vec<String> = curve
            .iter()
            .map(|(d, r)| {
                format!(
                    "{} of {}",
                    show(*r, Dimension::Fraction, self.units),
                    show(*d, Dimension::SieveSize, self.units)
                )
            })
            .collect();
        if let Some(last) = self.understood.last_mut() {
            last.rows.push(UnderstoodRow {
                serves: None,
                key: "recovered",
                meaning: "recovered by the final clean-up".into(),
                value: words.join(", "),
                given: true,
            });
        }
        Some(curve)
    }
}

fn name_of(table: &DeTable<'_>) -> Option<String> {
    let (_, value) = table.iter().find(|(k, _)| k.get_ref() == "name")?;
    value.get_ref().as_str().map(str::to_string)
}

/// Share of each class of gold that the final clean-up loses, from points (size, share recovered) small to large.
fn loss_by_class(curve: &[(f64, f64)]) -> ByGold {
    std::array::from_fn(|g| {
        let size = gold_class(g).middle_m;
        let above = curve.iter().position(|p| p.0 >= size);
        let recovered = match above {
            Some(0) => curve.first().map_or(1.0, |p| p.1),
            None => curve.last().map_or(1.0, |p| p.1),
            Some(i) => {
                let (a, b) = (curve[i - 1], curve[i]);
                a.1 + (b.1 - a.1) * ln(size / a.0) / ln(b.0 / a.0)
            }
        };
        1.0 - recovered
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_the_final_clean_up_loses_what_its_table_says() {
        let loss = loss_by_class(&[(0.1e-3, 0.9), (1.0e-3, 1.0)]);
        for (g, loss) in loss.iter().enumerate() {
            let size = gold_class(g).middle_m;
            let wanted = (0.1 * ln(1.0e-3 / size) / ln(10.0)).clamp(0.0, 0.1);
            assert!((loss - wanted).abs() < 1e-12, "{size} {loss} {wanted}");
        }
    }
}
