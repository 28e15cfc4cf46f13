//! One pass with every input at its middle: each stage's numbers and each class's fate, to check by hand.

use sim_core::constants::G_H_PER_KG_S;
use std::fmt::Write as _;

use serde_json::json;
use sim_core::plant::Plant;
use sim_core::quantity::{Dimension, show, show_both};
use sim_core::size::{GOLD_CLASSES, SOLID_CLASSES, gold_class, solid_class};
use sim_core::stage::Role;
use sim_core::trial::{BrokenBooks, Worker};
use washgraph_model::money::Seasons;

/// A middle pass.
pub struct Once<'p> {
    plant: &'p Plant,
    worker: Worker<'p>,
}

impl<'p> Once<'p> {
    /// Runs the pass.
    pub fn new(plant: &'p Plant) -> Self {
        // A new worker has just run the middle case.
        Once { plant, worker: Worker::new(plant, plant.seed) }
    }

    fn caught(&self, g: usize) -> f64 {
        self.worker.caught.iter().map(|c| c[g]).sum()
    }

    /// As text.
    pub fn text(&self) -> String {
        let (plant, w) = (self.plant, &self.worker);
        let mut t = format!(
            "{}\nOne pass, every input at its middle.\n\nUncertain inputs, in SI and in your units:\n",
            plant.title
        );
        for (i, input) in plant.inputs.all().iter().enumerate() {
            let (value, dimension) = (w.input(i), input.dimension);
            let own = show(value, dimension, plant.units);
            let unit = dimension.si_symbol();
            let _ = writeln!(t, "  {:<34} {value:>12.6} {unit:<6} {own:<16} {}", input.name, input.meaning);
        }
        let _ = writeln!(t, "\nWater outlets, in SI and in your units:");
        for (node, state) in plant.outlets.iter().zip(&w.outlets) {
            let _ = writeln!(
                t,
                "  {:<20} {:>10.6} m3/s {:<14} {:>10.1} Pa {:<10} on {}",
                node.id,
                state.flow_m3_s,
                show(state.flow_m3_s, Dimension::Flow, plant.units),
                state.pressure_pa,
                show(state.pressure_pa, Dimension::Pressure, plant.units),
                node.on
            );
        }
        for node in &plant.nodes {
            let _ = writeln!(t, "\n{} ({})", node.id, node.kind.name);
            for i in node.measures.clone() {
                let m = &plant.measures[i];
                if !matches!(m.role, Role::Profile { .. } | Role::OverDays { .. }) {
                    let _ = writeln!(t, "  {:<28} {}", m.name, show_both(w.measures[i], m.dimension, plant.units));
                }
            }
            for (port, slot) in node.kind.outlets.iter().zip(node.outlets.clone()) {
                if let Some(s) = w.stream(slot) {
                    let _ = writeln!(
                        t,
                        "  -> {:<12} rock {:.4} kg/s, lumps {:.4} kg/s, clay in water {:.4} kg/s, water {:.6} m3/s, gold {:.6} g/h free + {:.6} g/h locked",
                        port.name,
                        s.rock_kg_s.iter().sum::<f64>(),
                        s.lumps_kg_s(),
                        s.clay_kg_s,
                        s.water_m3_s,
                        s.gold_kg_s.iter().sum::<f64>() * G_H_PER_KG_S,
                        s.locked_kg_s.iter().sum::<f64>() * G_H_PER_KG_S
                    );
                }
            }
        }
        let _ = writeln!(t, "\nGold by class: settling speed, fed g/h, caught share, losses as shares of the class");
        for g in 0..GOLD_CLASSES {
            if !(w.fed[g] > 0.0) {
                continue;
            }
            let _ = write!(
                t,
                "  {:<16} w {:.5} m/s  CSF {:.3}  fed {:>9.5}  caught {:.5}",
                gold_class(g).label(),
                w.ground.settling[g].w_m_s,
                w.ground.corey[g],
                w.fed[g] * G_H_PER_KG_S,
                self.caught(g) / w.fed[g]
            );
            for (note, lost) in plant.notes.iter().zip(&w.lost) {
                if lost[g] / w.fed[g] > 5e-6 {
                    let _ = write!(t, "  {}/{} {:.5}", note.stage, note.reason.name, lost[g] / w.fed[g]);
                }
            }
            let _ = writeln!(t);
        }
        let _ = writeln!(t, "\nRock by class: fed kg/s, then each stream");
        for c in (0..SOLID_CLASSES).filter(|c| w.rock_fed[*c] > 0.0) {
            let _ = write!(t, "  {:<16} {:>10.5}", solid_class(c).label(), w.rock_fed[c]);
            for node in &plant.nodes {
                for (port, slot) in node.kind.outlets.iter().zip(node.outlets.clone()) {
                    let kg_s = w.stream(slot).map_or(0.0, |s| s.rock_kg_s[c]);
                    let _ = write!(t, "  {}.{} {:.5}", node.id, port.name, kg_s);
                }
            }
            let _ = writeln!(t);
        }
        if let (Some(money), Some(plan)) = (Seasons::middle(plant, w), &plant.money) {
            let _ = writeln!(t, "\nMoney of the season, {}, SI", plan.currency);
            for (name, value) in money.rows() {
                let _ = writeln!(t, "  {name:<28} {value:>16.6}");
            }
        }
        let r = w.residuals();
        let _ = writeln!(
            t,
            "\nBalance, worst relative residual: gold {:.1e}, solids {:.1e}, water {:.1e}",
            r.gold, r.solids, r.water
        );
        t
    }

    /// The stage that breaks the books of this pass; `None` when they close.
    pub fn broken_books(&self) -> Option<BrokenBooks> {
        self.worker.broken_books()
    }

    /// As JSON.
    pub fn json(&self) -> String {
        let (plant, w) = (self.plant, &self.worker);
        let inputs: serde_json::Map<_, _> = plant
            .inputs
            .all()
            .iter()
            .enumerate()
            .map(|(i, x)| {
                (
                    x.name.clone(),
                    json!({ "value": w.input(i), "unit": x.dimension.si_symbol(), "dimension": x.dimension }),
                )
            })
            .collect();
        let stages: Vec<_> = plant
            .nodes
            .iter()
            .map(|node| {
                let measures: serde_json::Map<_, _> = node
                    .measures
                    .clone()
                    .filter(|i| !matches!(plant.measures[*i].role, Role::Profile { .. } | Role::OverDays { .. }))
                    .map(|i| {
                        let m = &plant.measures[i];
                        (m.name.clone(), json!({ "value": w.measures[i], "unit": m.dimension.si_symbol(), "dimension": m.dimension }))
                    })
                    .collect();
                json!({ "id": node.id, "kind": node.kind.name, "measures": measures })
            })
            .collect();
        let classes: Vec<_> = (0..GOLD_CLASSES)
            .filter(|g| w.fed[*g] > 0.0)
            .map(|g| {
                let losses: Vec<_> = plant
                    .notes
                    .iter()
                    .zip(&w.lost)
                    .filter(|(_, l)| l[g] != 0.0)
                    .map(|(n, l)| json!({ "stage": n.stage, "reason": n.reason.name, "share": l[g] / w.fed[g] }))
                    .collect();
                let class = gold_class(g);
                json!({
                    "from_mm": class.from_m * 1e3, "to_mm": class.to_m.is_finite().then_some(class.to_m * 1e3),
                    "settling_m_s": w.ground.settling[g].w_m_s, "corey": w.ground.corey[g],
                    "fed_g_per_h": w.fed[g] * G_H_PER_KG_S, "recovery": self.caught(g) / w.fed[g], "losses": losses
                })
            })
            .collect();
        let money: Option<serde_json::Map<_, _>> = Seasons::middle(plant, w)
            .map(|m| m.rows().into_iter().map(|(name, value)| (name.to_string(), json!(value))).collect());
        serde_json::to_string_pretty(&json!({ "inputs": inputs, "stages": stages, "gold": classes, "money": money }))
            .unwrap_or_default()
    }
}
