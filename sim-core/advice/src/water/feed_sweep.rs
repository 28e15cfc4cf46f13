//! How much the pump must give at other feed rates.

use crate::water::WaterStudy;
use sim_core::constants::S_PER_H;
use sim_core::lever::Serves;
use sim_core::quantity::{Dimension, UnitChoice, show};

use crate::plants::base::Base;

/// Feed rates over the middle one.
const FACTORS: [f64; 7] = [0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0];
/// Trials at each rate. The spread of a need is narrow against its growth with the feed.
const TRIALS: usize = 100;

/// One feed rate.
#[derive(Debug, Clone)]
pub struct AtFeed {
    /// Loose ground, m3/s.
    pub feed_m3_s: f64,
    /// As the user writes it.
    pub name: String,
    /// Flow through the pump that meets all needs, m3/s: 1 run in 10 below, middle, 1 run in 10 above. Infinite where no
    /// head brings enough water through these hoses and holes.
    pub needed_m3_s: [f64; 3],
}

/// Needs over the feed rate of the only source; empty when the plant has several sources or none with a rate.
pub fn feed_sweep(base: &Base<'_>, line: usize, seed: u64, middle_feed_m3_s: f64) -> Vec<AtFeed> {
    let rates: Vec<_> = base.levers_that(Serves::Feed).collect();
    let [rate] = rates.as_slice() else { return Vec::new() };
    let Ok(path) = base.find(&rate.at.path) else { return Vec::new() };
    FACTORS
        .iter()
        .filter_map(|factor| {
            let feed_m3_s = factor * middle_feed_m3_s;
            let text = format!("{} m3/h loose", feed_m3_s * S_PER_H);
            let plant = base.variant(&[(path.clone(), text)]).ok()?;
            let study = WaterStudy::new(&plant, line, seed, TRIALS)?;
            Some(AtFeed { feed_m3_s, name: name(feed_m3_s, plant.units), needed_m3_s: needed(&study) })
        })
        .collect()
}

fn name(feed_m3_s: f64, units: UnitChoice) -> String {
    show(feed_m3_s, Dimension::GravelRate, units)
}

/// Flow on the plant's own curve at which every need is met, over the trials.
fn needed(study: &WaterStudy) -> [f64; 3] {
    let mut flows: Vec<f64> = study
        .trials
        .iter()
        .map(|trial| {
            let met = trial.case.duty_for(|flow| !(study.missing_m3_s(trial, Some(flow)) > 0.0));
            met.map_or(f64::INFINITY, |(flow, _)| flow)
        })
        .collect();
    flows.sort_by(f64::total_cmp);
    let at = |level: f64| {
        let i = (level * (flows.len().max(1) - 1) as f64).round() as usize;
        flows.get(i).copied().unwrap_or(f64::NAN)
    };
    [at(0.1), at(0.5), at(0.9)]
}

/// Largest feed (m3/s) at which a supply meets the need in 9 runs of 10, between the rates tried; `None` below the first.
pub fn largest_feed_m3_s(sweep: &[AtFeed], supply_m3_s: f64) -> Option<f64> {
    let first = sweep.first()?;
    if !(first.needed_m3_s[2] <= supply_m3_s) {
        return None;
    }
    let crossing = sweep.windows(2).find(|w| !(w[1].needed_m3_s[2] <= supply_m3_s));
    Some(match crossing {
        None => sweep.last()?.feed_m3_s,
        Some([low, high]) if high.needed_m3_s[2].is_finite() => {
            let share = (supply_m3_s - low.needed_m3_s[2]) / (high.needed_m3_s[2] - low.needed_m3_s[2]);
            low.feed_m3_s + share * (high.feed_m3_s - low.feed_m3_s)
        }
        Some(pair) => pair.first()?.feed_m3_s,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(feed_m3_s: f64, most: f64) -> AtFeed {
        AtFeed { feed_m3_s, name: String::new(), needed_m3_s: [0.5 * most, 0.8 * most, most] }
    }

    #[test]
    fn identity_largest_feed_lies_where_need_meets_supply() {
        let sweep = [at(1.0, 10.0), at(2.0, 20.0), at(3.0, f64::INFINITY)];
        assert_eq!(largest_feed_m3_s(&sweep, 5.0), None);
        assert_eq!(largest_feed_m3_s(&sweep, 15.0), Some(1.5));
        assert_eq!(largest_feed_m3_s(&sweep, 25.0), Some(2.0));
        assert_eq!(largest_feed_m3_s(&sweep[..2], 25.0), Some(2.0));
        assert_eq!(largest_feed_m3_s(&[], 25.0), None);
    }
}
