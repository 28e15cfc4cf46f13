//! Asks every part of the plant what the shop must know, with the numbers of the run.

use sim_core::plant::Plant;
use sim_core::shop::{OutletSite, Reading, ShopPart, StageSite};
use sim_core::stats::order::percentile_sorted;
use sim_core::trial::TrialStatistics;

/// A part and whose it is.
pub struct Owned {
    /// Stage or section that the part belongs to.
    pub owner: String,
    /// The part.
    pub part: ShopPart,
}

/// All parts: stage by stage in the order of flow, each followed by the water outlets that are mounted on it.
pub fn parts(plant: &Plant, statistics: &TrialStatistics) -> Vec<Owned> {
    let measures: Vec<Reading> = statistics.measures.iter().map(|values| reading(values)).collect();
    let mut list = Vec::new();
    let mut add = |owner: &str, parts: Vec<ShopPart>| {
        list.extend(parts.into_iter().map(|part| Owned { owner: owner.to_string(), part }));
    };
    for node in &plant.nodes {
        let own = measures.get(node.measures.clone()).unwrap_or(&[]);
        add(&node.id, node.stage.shop(&StageSite { id: &node.id, measures: own }));
        for (outlet, (flow, pressure)) in plant.outlets.iter().zip(&statistics.outlets) {
            let (stage, section) = match outlet.on.split_once('.') {
                Some((stage, section)) => (stage, Some(section)),
                None => (outlet.on.as_str(), None),
            };
            if stage != node.id {
                continue;
            }
            let site = OutletSite {
                id: &outlet.id,
                on: &outlet.on,
                run_m: node.stage.mount_length_m(section),
                flow_m3_s: reading(flow),
                pressure_pa: reading(pressure),
            };
            add(&outlet.id, outlet.outlet.shop(&site));
        }
    }
    list
}

/// Middle and both tails of the values that exist.
fn reading(values: &[f64]) -> Reading {
    let mut sorted: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    let at = |p| percentile_sorted(&sorted, p);
    Reading { middle: at(0.5), low: at(0.1), high: at(0.9) }
}
