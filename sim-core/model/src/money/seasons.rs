//! The seasons of a run: one for each trial, with what changes from hour to hour averaged out.

use rayon::prelude::*;

use sim_core::draw::Draws;
use sim_core::money::averaging::Averaging;
use sim_core::money::plan::{MoneyOutcome, MoneyPlan, SeasonFlows};
use sim_core::plant::Plant;
use sim_core::trial::{DETAIL_TRIALS, TrialStatistics, Worker};

/// Trials worked out by one thread at a time.
const CHUNK: usize = 128;
/// Chunks kept at a time, so that a run of a million stays small.
const CHUNKS_AT_ONCE: usize = 512;

/// Means over the trials of the lines of a season's account, in money.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Account {
    /// Money of the buyer.
    pub income: f64,
    /// Royalty.
    pub royalty: f64,
    /// Fuel.
    pub fuel: f64,
    /// Fuel, m3.
    pub fuel_m3: f64,
    /// Wages without the owner's.
    pub labour: f64,
    /// Cost items by running time and gravel.
    pub running: f64,
    /// Stripping.
    pub stripping: f64,
    /// Cost items of the season.
    pub fixed: f64,
    /// Clean-ups.
    pub clean_ups: f64,
    /// The owner's wage.
    pub owner: f64,
    /// Share of the season in the plant.
    pub build_share: f64,
    /// Share of the trials in which the riffles are full before the clean-up comes.
    pub box_full: f64,
}

/// The seasons of a run, every list in the order of the trials, so that two plants on the same seed can be taken pair by pair.
/// `net`, `after_wage` and `after_all` hold all trials, the others the first [`DETAIL_TRIALS`].
#[derive(Debug, Clone, Default)]
pub struct Seasons {
    /// What is left of the season before the owner's wage and the plant.
    pub net: Vec<f64>,
    /// What is left after the owner's wage.
    pub after_wage: Vec<f64>,
    /// What is left after the owner's wage and the season's share in the plant.
    pub after_all: Vec<f64>,
    /// Money per second of running in the period of the trial, coarse grains and all.
    pub period_net_per_s: Vec<f64>,
    /// Time run, s.
    pub run_s: Vec<f64>,
    /// Gravel washed, LOOSE, m3.
    pub loose_m3: Vec<f64>,
    /// Gold caught, mean over the season, kg/s.
    pub caught_kg_s: Vec<f64>,
    /// Gravel washed, BANK, m3.
    pub bank_m3: Vec<f64>,
    /// Raw gold in the box, kg.
    pub boxed_kg: Vec<f64>,
    /// Raw gold sold, kg.
    pub sold_kg: Vec<f64>,
    /// Grade of the season, raw kg per BANK m3.
    pub grade_bank_kg_m3: Vec<f64>,
    /// Break-even grade for gravel already dug, raw kg per BANK m3.
    pub wash_or_waste_kg_m3: Vec<f64>,
    /// Break-even grade of the season.
    pub break_even_kg_m3: Vec<f64>,
    /// Break-even grade with wage and plant.
    pub break_even_all_kg_m3: Vec<f64>,
    /// Money spent before the first season.
    pub capital: Vec<f64>,
    /// Best running time between clean-ups, s.
    pub best_interval_s: Vec<f64>,
    /// Money given away by the interval of the plan.
    pub lost_by_interval: Vec<f64>,
    /// Concentrate of one clean-up, kg.
    pub concentrate_kg: Vec<f64>,
    /// Hours of work on the concentrate of one clean-up, s.
    pub work_up_s: Vec<f64>,
    /// Means of the account.
    pub account: Account,
}

impl Seasons {
    /// The seasons of a run; `None` for a plant without money. `seed` is that of the run, whose trials are 0, 1, 2 ...
    pub fn new(plant: &Plant, seed: u64, statistics: &TrialStatistics) -> Option<Seasons> {
        Seasons::averaged(plant, seed, statistics, &Averaging::kept(&plant.inputs, seed, statistics.trials))
    }

    /// The same with an averaging that suits the plant.
    pub fn averaged(
        plant: &Plant,
        seed: u64,
        statistics: &TrialStatistics,
        averaging: &Averaging<'_>,
    ) -> Option<Seasons> {
        let plan = plant.money.as_ref()?;
        let flows = season_flows(statistics, averaging);
        let needed = needed_inputs(plan, plant);
        let starts: Vec<usize> = (0..flows.len()).step_by(CHUNK).collect();
        let mut seasons = Seasons::default();
        for some in starts.chunks(CHUNKS_AT_ONCE) {
            let parts: Vec<Vec<Row>> = some
                .into_par_iter()
                .map(|&start| {
                    let mut draws = Draws::new(seed, &plant.inputs);
                    let end = (start + CHUNK).min(flows.len());
                    let mut rows = Vec::with_capacity(end - start);
                    for (t, flow) in flows.iter().enumerate().take(end).skip(start) {
                        draws.set_some(t as u64, &plant.inputs, &needed);
                        rows.push(Row::new(plant, plan, flow, &draws, statistics, t));
                    }
                    rows
                })
                .collect();
            parts.iter().flatten().for_each(|row| seasons.push(row));
        }
        seasons.caught_kg_s = flows.iter().map(|f| f.caught_kg_s).collect();
        seasons.account.divide(flows.len() as f64);
        Some(seasons)
    }

    /// The season of the middle case that a worker has just run; `None` for a plant without money.
    pub fn middle(plant: &Plant, worker: &Worker<'_>) -> Option<MoneyOutcome> {
        let plan = plant.money.as_ref()?;
        let mut draws = Draws::new(0, &plant.inputs);
        draws.set_middle(&plant.inputs);
        let s = &worker.season;
        let loose_m3_s: f64 = plant.feeds.iter().map(|f| f.get(&draws)).sum();
        let flows = SeasonFlows {
            loose_m3_s,
            swell: plant.ground.inputs.swell.get(&draws),
            fed_kg_s: loose_m3_s * s.grade_loose_kg_m3,
            caught_kg_s: s.caught_kg_s,
            clean_up_loss: if s.caught_kg_s > 0.0 { s.clean_up_loss_kg_s / s.caught_kg_s } else { 0.0 },
            engine_w: s.engine_w,
        };
        Some(plan.trial(&flows, &draws))
    }

    fn push(&mut self, row: &Row) {
        let o = &row.outcome;
        for (list, value) in
            [(&mut self.net, o.net), (&mut self.after_wage, o.after_wage()), (&mut self.after_all, o.after_all())]
        {
            list.push(value);
        }
        self.account.add(o);
        if self.run_s.len() >= DETAIL_TRIALS {
            return;
        }
        for (list, value) in [
            (&mut self.period_net_per_s, row.period_net_per_s),
            (&mut self.run_s, o.run_s),
            (&mut self.loose_m3, o.loose_m3),
            (&mut self.bank_m3, o.bank_m3),
            (&mut self.boxed_kg, o.boxed_kg),
            (&mut self.sold_kg, o.sold_kg),
            (&mut self.grade_bank_kg_m3, o.fed_kg / o.bank_m3),
            (&mut self.wash_or_waste_kg_m3, o.wash_or_waste_kg_m3),
            (&mut self.break_even_kg_m3, o.break_even_kg_m3),
            (&mut self.break_even_all_kg_m3, o.break_even_all_kg_m3),
            (&mut self.capital, row.capital),
            (&mut self.best_interval_s, o.best_interval_s),
            (&mut self.lost_by_interval, o.lost_by_interval),
            (&mut self.concentrate_kg, row.concentrate_kg),
            (&mut self.work_up_s, row.work_up_s),
        ] {
            list.push(value);
        }
    }
}

impl Account {
    fn add(&mut self, o: &MoneyOutcome) {
        self.income += o.income;
        self.royalty += o.royalty;
        self.fuel += o.fuel;
        self.fuel_m3 += o.fuel_m3;
        self.labour += o.labour;
        self.running += o.running;
        self.stripping += o.stripping;
        self.fixed += o.fixed;
        self.clean_ups += o.clean_ups;
        self.owner += o.owner;
        self.build_share += o.build_share;
        self.box_full += f64::from(u8::from(o.box_full));
    }

    fn divide(&mut self, trials: f64) {
        for sum in [
            &mut self.income,
            &mut self.royalty,
            &mut self.fuel,
            &mut self.fuel_m3,
            &mut self.labour,
            &mut self.running,
            &mut self.stripping,
            &mut self.fixed,
            &mut self.clean_ups,
            &mut self.owner,
            &mut self.build_share,
            &mut self.box_full,
        ] {
            *sum /= trials;
        }
    }
}

/// One trial.
struct Row {
    outcome: MoneyOutcome,
    period_net_per_s: f64,
    capital: f64,
    concentrate_kg: f64,
    work_up_s: f64,
}

impl Row {
    fn new(
        plant: &Plant,
        plan: &MoneyPlan,
        flow: &SeasonFlows,
        draws: &Draws,
        statistics: &TrialStatistics,
        t: usize,
    ) -> Row {
        let flow = SeasonFlows { swell: plant.ground.inputs.swell.get(draws), ..*flow };
        let outcome = plan.trial(&flow, draws);
        let caught = statistics.caught.get(t).copied().unwrap_or(f64::NAN);
        let area_m2 = statistics.season.get(t).map_or(f64::NAN, |s| s.catch_area_m2);
        let c = &plan.clean_up;
        let concentrate_kg =
            sim_core::money::clean_up::concentrate_kg(area_m2, c.depth_m.get(draws), c.density_kg_m3.get(draws));
        Row {
            outcome,
            period_net_per_s: plan.period_net_per_s(caught, &outcome),
            capital: plan.capital(draws),
            concentrate_kg,
            work_up_s: concentrate_kg / c.rate_kg_s.get(draws),
        }
    }
}

/// Inputs read by the money of a trial.
fn needed_inputs(plan: &MoneyPlan, plant: &Plant) -> Vec<usize> {
    let mut needed = plan.inputs();
    if let sim_core::draw::Input::Drawn(i) = plant.ground.inputs.swell {
        needed.push(i);
    }
    needed.sort_unstable();
    needed.dedup();
    needed
}

/// Means over the season of each trial's flows. Gold is taken as the volume of ground whose gold is fed or caught, times the
/// grade: the volumes change from hour to hour, the grade of the season does not.
fn season_flows(statistics: &TrialStatistics, averaging: &Averaging<'_>) -> Vec<SeasonFlows> {
    let volume = |mass: f64, grade: f64| if grade > 0.0 { mass / grade } else { f64::NAN };
    let mut series = vec![
        statistics.feed.clone(),
        statistics.season.iter().map(|s| volume(s.caught_kg_s, s.grade_loose_kg_m3)).collect(),
        statistics.season.iter().map(|s| s.engine_w).collect(),
    ];
    averaging.average_out(&mut series);
    let [feed, caught, engine] = series.as_slice() else { return Vec::new() };
    statistics
        .season
        .iter()
        .zip(feed)
        .zip(caught)
        .zip(engine)
        .map(|(((s, feed), caught), engine)| SeasonFlows {
            loose_m3_s: *feed,
            swell: f64::NAN,
            fed_kg_s: feed * s.grade_loose_kg_m3,
            // No gold in the ground of a trial: none is caught.
            caught_kg_s: if caught.is_finite() { caught * s.grade_loose_kg_m3 } else { 0.0 },
            clean_up_loss: if s.caught_kg_s > 0.0 { s.clean_up_loss_kg_s / s.caught_kg_s } else { 0.0 },
            engine_w: *engine,
        })
        .collect()
}
