//! Prices and costs of a scenario, and the money of one trial.
//!
//! A trial stands for one season on one draw of the ground, the prices and the constants. What is not known for sure stays
//! as drawn for the whole season; what changes from hour to hour has been averaged out before (the seasons of the model).
//!
//! ```text
//! gravel rate ──> loose, bank ──> washing, stripping ─┐
//! gold caught ──> less filling, less final clean-up ──> sold ──> income ──> less royalty ──> net of the season
//! engines, machines ──> fuel ─────────────────────────┘
//! ```

use super::clean_up::{self, CleanUp};
use super::fuel::{part_load_factor, shaft_fuel_m3_s};
use super::gold_value::GoldTerms;
use super::royalty::RoyaltyChain;
use washgraph_physics::size::ByGold;
use washgraph_stats::draw::{Draws, Input, InputList};

/// What the amount of a cost item is counted by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CostBasis {
    /// Money per second that the plant runs.
    Running,
    /// Money per loose m3 of pay gravel.
    Loose,
    /// Money per bank m3 of pay gravel.
    Bank,
    /// Money per season.
    Season,
    /// Money spent once, before the first season.
    Once,
}

/// A cost typed by the owner.
#[derive(Debug, Clone, PartialEq)]
pub struct CostItem {
    /// Its name.
    pub name: String,
    /// What it is counted by.
    pub basis: CostBasis,
    /// Money per unit of the basis, SI.
    pub amount: Input,
}

/// A machine beside the plant that burns fuel while the plant runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Its name.
    pub name: String,
    /// Fuel while it works, m3/s.
    pub fuel_m3_s: Input,
    /// Time it works over time the plant runs.
    pub share: Input,
}

/// Length of a season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeasonLength {
    /// Working days.
    pub days: Input,
    /// Paid time a day, s.
    pub day_s: Input,
    /// Share of the paid time in which the plant could run or be cleaned up.
    pub availability: Input,
}

/// How the box is cleaned up.
#[derive(Debug, Clone, PartialEq)]
pub struct CleanUpPlan {
    /// Running time between two clean-ups, s; infinite when it is not said.
    pub interval_s: f64,
    /// Time that a clean-up stops the plant, s.
    pub stop_s: f64,
    /// Money that a clean-up costs beside the wages.
    pub cost: Input,
    /// Growth of the share lost, 1/s of running; NaN when it has not been measured.
    pub loss_growth_per_s: Input,
    /// Share of each class that the final clean-up loses, at the middle of the table.
    pub loss_by_class: ByGold,
    /// Factor on all of `loss_by_class`.
    pub loss_factor: Input,
    /// Depth of concentrate over the riffled area, m.
    pub depth_m: Input,
    /// Mass of concentrate per volume, kg/m3.
    pub density_kg_m3: Input,
    /// Concentrate worked up per time in the final clean-up, kg/s; NaN when not said.
    pub rate_kg_s: Input,
}

/// What the plant cost and how long it serves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Build {
    /// Money spent before the first season.
    pub cost: Input,
    /// Seasons that it serves; 0 when not said.
    pub seasons: u32,
    /// Resale in the last season, less reclamation.
    pub at_the_end: f64,
    /// Discount rate a year, when a present value is asked for.
    pub discount: Option<f64>,
}

/// What one further sample of the ground costs the owner; `None` where he has not said.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct SamplingCost {
    /// One more pan from a spot of its own.
    pub pan: Option<f64>,
    /// One bulk sample.
    pub bulk: Option<f64>,
}

/// Prices and costs of a scenario, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct MoneyPlan {
    /// Currency as shown, e.g. `USD`.
    pub currency: String,
    /// Price of fine gold, money per kg.
    pub price_per_fine_kg: Input,
    /// Gold in raw gold.
    pub fineness: f64,
    /// Mean over the season of the grade of a period's ground over the mean grade.
    pub mean_day_factor: f64,
    /// Share of the fine gold that is paid.
    pub payable: Input,
    /// Refining, assay and shipping, money per kg of raw gold.
    pub charge_per_raw_kg: Input,
    /// Royalties; the gross is the money after the charges.
    pub royalty: RoyaltyChain,
    /// Price of fuel, money per m3.
    pub fuel_price_per_m3: Input,
    /// Fuel per shaft energy at full load, m3/J.
    pub fuel_m3_j: Input,
    /// Load of the engines over their rated power.
    pub engine_load: Input,
    /// Wages of the crew without the owner, money per paid second.
    pub labour_per_s: Input,
    /// The owner's own wage, money per paid second.
    pub owner_per_s: Input,
    /// Bank waste per bank pay gravel.
    pub strip_ratio: Input,
    /// Stripping, money per bank m3 of waste.
    pub stripping_per_m3: Input,
    /// Machines that burn fuel.
    pub machines: Vec<Machine>,
    /// Costs typed by the owner.
    pub costs: Vec<CostItem>,
    /// Length of the season.
    pub length: SeasonLength,
    /// Clean-ups.
    pub clean_up: CleanUpPlan,
    /// The plant as an investment.
    pub build: Build,
    /// What further samples cost; no part of the season's account.
    pub sampling: SamplingCost,
}

/// What a season of one trial rests on: means over the season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeasonFlows {
    /// Gravel fed while running, LOOSE, m3/s.
    pub loose_m3_s: f64,
    /// Swell from bank to loose.
    pub swell: f64,
    /// Raw gold fed while running, kg/s.
    pub fed_kg_s: f64,
    /// Raw gold caught by clean riffles while running, kg/s.
    pub caught_kg_s: f64,
    /// Share of the gold caught that the final clean-up loses at the middle of its table.
    pub clean_up_loss: f64,
    /// Power of the engines of the plant, W.
    pub engine_w: f64,
}

/// Money of one season of one trial, in the currency of the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoneyOutcome {
    /// Time run, s.
    pub run_s: f64,
    /// Gravel washed, LOOSE, m3.
    pub loose_m3: f64,
    /// Gravel washed, BANK, m3.
    pub bank_m3: f64,
    /// Raw gold that came in, kg.
    pub fed_kg: f64,
    /// Raw gold in the box at the clean-ups, kg.
    pub boxed_kg: f64,
    /// Raw gold sold, kg.
    pub sold_kg: f64,
    /// Money of the buyer after payable share and charges, before royalty.
    pub income: f64,
    /// Royalty.
    pub royalty: f64,
    /// Fuel of the plant's engines and of the machines.
    pub fuel: f64,
    /// Fuel burnt, m3.
    pub fuel_m3: f64,
    /// Wages without the owner's.
    pub labour: f64,
    /// Cost items that go with running time and gravel.
    pub running: f64,
    /// Stripping.
    pub stripping: f64,
    /// Cost items of the season.
    pub fixed: f64,
    /// Clean-ups beside wages.
    pub clean_ups: f64,
    /// The owner's wage.
    pub owner: f64,
    /// Share of the season in what the plant cost, less what it brings at the end.
    pub build_share: f64,
    /// Whether the riffles are full, and catch nothing more, before the clean-up comes.
    pub box_full: bool,
    /// What is left of the season before the owner's wage and the plant: income - royalty - all costs of the season.
    pub net: f64,
    /// Break-even grade for gravel already dug, raw kg per BANK m3: fuel, wages and running costs only.
    pub wash_or_waste_kg_m3: f64,
    /// Break-even grade of the season, raw kg per BANK m3: all of its costs, without the owner's wage and the plant.
    pub break_even_kg_m3: f64,
    /// The same with the owner's wage and the plant.
    pub break_even_all_kg_m3: f64,
    /// Running time between clean-ups that brings the most money, s; NaN when the growth of the loss is not known, or when
    /// running loses money.
    pub best_interval_s: f64,
    /// Money of the season given away by the interval of the plan against the best one.
    pub lost_by_interval: f64,
}

impl MoneyOutcome {
    /// What is left after the owner's wage.
    pub fn after_wage(&self) -> f64 {
        self.net - self.owner
    }
    /// Every number with its name, SI and money, to check by hand.
    pub fn rows(&self) -> [(&'static str, f64); 23] {
        [
            ("run_s", self.run_s),
            ("loose_m3", self.loose_m3),
            ("bank_m3", self.bank_m3),
            ("fed_kg", self.fed_kg),
            ("boxed_kg", self.boxed_kg),
            ("sold_kg", self.sold_kg),
            ("income", self.income),
            ("royalty", self.royalty),
            ("fuel_m3", self.fuel_m3),
            ("fuel", self.fuel),
            ("labour", self.labour),
            ("running", self.running),
            ("stripping", self.stripping),
            ("season", self.fixed),
            ("clean_ups", self.clean_ups),
            ("net", self.net),
            ("owner", self.owner),
            ("plant_share", self.build_share),
            ("wash_or_waste_kg_m3_bank", self.wash_or_waste_kg_m3),
            ("break_even_kg_m3_bank", self.break_even_kg_m3),
            ("break_even_all_kg_m3_bank", self.break_even_all_kg_m3),
            ("best_interval_s", self.best_interval_s),
            ("lost_by_interval", self.lost_by_interval),
        ]
    }
    /// What is left after the owner's wage and the season's share in the plant.
    pub fn after_all(&self) -> f64 {
        self.net - self.owner - self.build_share
    }
}

/// An input that may be absent: nothing then.
fn or_none(input: Input, draws: &Draws) -> f64 {
    let value = input.get(draws);
    if value.is_nan() { 0.0 } else { value }
}

impl MoneyPlan {
    /// Money of one season of one trial.
    ///
    /// `draws` must hold the trial's values of the uncertain inputs of the plan (see [`Self::inputs`]). Pure: no randomness
    /// of its own. Compare two plants by calling this on the same trial of both, or take whole runs from
    /// `Seasons` of the model, whose outcomes stand in the order of the trials.
    ///
    /// net = (sold x (price x fineness x payable - charge) - royalty) - fuel - wages - running - stripping - season - clean-ups
    ///
    /// Source: definition. The crew is paid for days x hours, whether the plant runs or not; clean-ups take their time out of
    /// the hours available.
    pub fn trial(&self, flows: &SeasonFlows, draws: &Draws) -> MoneyOutcome {
        let paid_s = self.length.days.get(draws) * self.length.day_s.get(draws);
        let available_s = paid_s * self.length.availability.get(draws);
        let c = &self.clean_up;
        let (run_s, clean_ups) = clean_up::running(available_s, c.interval_s, c.stop_s);
        let loose_m3 = flows.loose_m3_s * run_s;
        let bank_m3 = loose_m3 / (1.0 + flows.swell);
        let fed_kg = flows.fed_kg_s * run_s;

        let growth = or_none(c.loss_growth_per_s, draws);
        let recovery = if flows.fed_kg_s > 0.0 { flows.caught_kg_s / flows.fed_kg_s } else { 0.0 };
        let boxed_kg = fed_kg * clean_up::mean_recovery(recovery, growth, c.interval_s.min(available_s));
        let final_loss = (flows.clean_up_loss * c.loss_factor.get(draws)).min(1.0);
        let sold_kg = boxed_kg * (1.0 - final_loss);

        // Royalties come after this: they may depend on the costs.
        let before_royalty = GoldTerms {
            price_per_fine_kg: self.price_per_fine_kg.get(draws),
            fineness: self.fineness,
            payable: self.payable.get(draws),
            charge_per_raw_kg: or_none(self.charge_per_raw_kg, draws),
            royalty: 0.0,
        };
        let value_per_kg = before_royalty.net_per_raw_kg();
        let income = sold_kg * value_per_kg;

        let fuel_m3 = self.fuel_m3_s(flows.engine_w, draws) * run_s;
        let fuel = fuel_m3 * or_none(self.fuel_price_per_m3, draws);
        let labour = self.labour_per_s.get(draws) * paid_s;
        let running = self.items(CostBasis::Running, draws) * run_s
            + self.items(CostBasis::Loose, draws) * loose_m3
            + self.items(CostBasis::Bank, draws) * bank_m3;
        let stripping = or_none(self.strip_ratio, draws) * or_none(self.stripping_per_m3, draws) * bank_m3;
        let fixed = self.items(CostBasis::Season, draws);
        let clean_up_cost = or_none(c.cost, draws) * clean_ups;
        let costs = fuel + labour + running + stripping + fixed + clean_up_cost;
        let royalty = self.royalty.due(sold_kg, income, costs);
        let owner = or_none(self.owner_per_s, draws) * paid_s;
        let build_share = self.build_share(draws);

        // Grade at which so much is earned, with the same share of the gold sold.
        let sold_share = if fed_kg > 0.0 { sold_kg / fed_kg } else { 0.0 };
        let grade = |cost: f64| self.gold_for(cost, value_per_kg) / (sold_share * bank_m3);
        let washing = fuel + labour * run_s / paid_s + running;
        let kept_per_kg = self.kept_per_kg(value_per_kg);
        let clean = CleanUp {
            margin_per_s: (sold_kg * kept_per_kg - fuel - running - stripping) / run_s,
            fed_value_per_s: flows.fed_kg_s * (1.0 - final_loss) * kept_per_kg,
            loss_growth_per_s: c.loss_growth_per_s.get(draws),
            cost: or_none(c.cost, draws),
            stop_s: c.stop_s,
        };
        let (best_interval_s, lost_by_interval) =
            best_interval(&clean, growth, c.interval_s.min(available_s), available_s);
        MoneyOutcome {
            run_s,
            loose_m3,
            bank_m3,
            fed_kg,
            boxed_kg,
            sold_kg,
            income,
            royalty,
            fuel,
            fuel_m3,
            labour,
            running,
            stripping,
            fixed,
            clean_ups: clean_up_cost,
            owner,
            build_share,
            box_full: growth * c.interval_s.min(available_s) > recovery,
            net: income - royalty - costs,
            wash_or_waste_kg_m3: washing / (kept_per_kg.max(0.0) * sold_share * bank_m3),
            break_even_kg_m3: grade(costs),
            break_even_all_kg_m3: grade(costs + owner + build_share),
            best_interval_s,
            lost_by_interval,
        }
    }

    /// Time available in a season with every input at its middle, s.
    pub fn middle_run_s(&self, inputs: &InputList) -> f64 {
        let l = &self.length;
        inputs.middle(l.days) * inputs.middle(l.day_s) * inputs.middle(l.availability)
    }

    /// Money of the gold caught in the period of the trial less what running costs in it, per second of running: what one
    /// day may bring, coarse grains and all. Season costs, stripping and clean-ups are spread over the season's running time.
    pub fn period_net_per_s(&self, caught_kg_s: f64, season: &MoneyOutcome) -> f64 {
        if !(season.boxed_kg > 0.0) {
            return season.net / season.run_s;
        }
        // A kilogram caught on that day brings what a kilogram in the box brings over the season.
        let per_kg = (season.income - season.royalty) / season.boxed_kg;
        let costs = season.income - season.royalty - season.net;
        caught_kg_s * per_kg - costs / season.run_s
    }

    /// Fuel of the plant's engines at that power and of the machines, m3/s.
    pub fn fuel_m3_s(&self, engine_w: f64, draws: &Draws) -> f64 {
        let at_load = or_none(self.fuel_m3_j, draws) * part_load_factor(self.engine_load.get(draws));
        let engines = if engine_w == 0.0 { 0.0 } else { shaft_fuel_m3_s(engine_w, at_load) };
        engines + self.machines.iter().map(|m| m.fuel_m3_s.get(draws) * m.share.get(draws)).sum::<f64>()
    }

    /// Money spent before the first season: the plant and all that is paid once.
    pub fn capital(&self, draws: &Draws) -> f64 {
        or_none(self.build.cost, draws) + self.items(CostBasis::Once, draws)
    }

    /// Share of a season in the plant: (spent once - left at the end)/seasons; 0 when the seasons are not said.
    fn build_share(&self, draws: &Draws) -> f64 {
        if self.build.seasons == 0 {
            return 0.0;
        }
        (self.capital(draws) - self.build.at_the_end) / f64::from(self.build.seasons)
    }

    fn items(&self, basis: CostBasis, draws: &Draws) -> f64 {
        self.costs.iter().filter(|c| c.basis == basis).map(|c| c.amount.get(draws)).sum()
    }

    /// Raw gold to be sold to cover a cost, kg: with royalties on gold and gross, or with their minimum, whichever is more.
    /// A share of the net asks nothing where nothing is earned.
    fn gold_for(&self, cost: f64, value_per_kg: f64) -> f64 {
        let kept = self.kept_per_kg(value_per_kg);
        if !(kept > 0.0) {
            return f64::INFINITY;
        }
        (cost / kept).max((cost + self.royalty.minimum) / value_per_kg)
    }

    /// What is left of a raw kilogram after royalties on gold and gross, money per kg.
    fn kept_per_kg(&self, value_per_kg: f64) -> f64 {
        value_per_kg * (1.0 - self.royalty.share_of_gross) - self.royalty.per_raw_kg
    }

    /// The uncertain inputs that [`Self::trial`] reads, by number.
    pub fn inputs(&self) -> Vec<usize> {
        let mut all = vec![
            self.price_per_fine_kg,
            self.payable,
            self.charge_per_raw_kg,
            self.fuel_price_per_m3,
            self.fuel_m3_j,
            self.engine_load,
            self.labour_per_s,
            self.owner_per_s,
            self.strip_ratio,
            self.stripping_per_m3,
            self.length.days,
            self.length.day_s,
            self.length.availability,
            self.clean_up.cost,
            self.clean_up.loss_growth_per_s,
            self.clean_up.loss_factor,
            self.clean_up.depth_m,
            self.clean_up.density_kg_m3,
            self.clean_up.rate_kg_s,
            self.build.cost,
        ];
        all.extend(self.machines.iter().flat_map(|m| [m.fuel_m3_s, m.share]));
        all.extend(self.costs.iter().map(|c| c.amount));
        let mut drawn: Vec<usize> = all
            .into_iter()
            .filter_map(|i| match i {
                Input::Drawn(number) => Some(number),
                Input::Fixed(_) => None,
            })
            .collect();
        drawn.sort_unstable();
        drawn.dedup();
        drawn
    }
}

/// Best interval between clean-ups, and the money of the season that the present one gives away against it.
fn best_interval(clean: &CleanUp, growth: f64, interval_s: f64, available_s: f64) -> (f64, f64) {
    // The margin of the plan holds the mean loss of its interval; the formula wants that of clean riffles.
    let clean =
        CleanUp { margin_per_s: clean.margin_per_s + 0.5 * clean.fed_value_per_s * growth * interval_s, ..*clean };
    if !(clean.margin_per_s > 0.0 && clean.loss_growth_per_s > 0.0) {
        return (f64::NAN, f64::NAN);
    }
    let best = clean.best_interval_s().min(available_s);
    let lost = (clean.money_per_s(best) - clean.money_per_s(interval_s)) * available_s;
    (best, lost)
}
