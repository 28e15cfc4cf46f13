//! What the solved line means for the pump in one trial.

use sim_core::hydraulics::manifold::ManifoldFlow;
use sim_core::hydraulics::pipe::pipe_speed_m_s;
use sim_core::hydraulics::pump::{efficiency_at, shaft_power_w};
use sim_core::hydraulics::suction::npsh_available_m;
use sim_core::particle::water::{WaterState, vapour_pressure_pa};
use sim_core::plumbing::LineState;

/// Values of a trial that the pump's numbers rest on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Site {
    pub air_pa: f64,
    pub best_flow_m3_s: f64,
    pub best_efficiency: f64,
    pub npsh_required_m: f64,
    pub engine_power_w: Option<f64>,
    pub drive_efficiency: f64,
    pub fuel_m3_j: f64,
}

/// The pump in a trial.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PumpFacts {
    pub flow_m3_s: f64,
    pub head_m: f64,
    pub gauge_pa: f64,
    pub efficiency: f64,
    /// At the engine's shaft, ahead of the belts.
    pub engine_w: f64,
    pub engine_load: f64,
    pub fuel_m3_s: f64,
    pub npsh_available_m: f64,
    pub npsh_margin_m: f64,
    pub share_of_best: f64,
    pub suction_m_s: f64,
    pub delivery_m_s: f64,
    pub past_end: bool,
    pub unstable: bool,
}

impl PumpFacts {
    /// The pump's numbers from the solved line. Wear costs head at the same shaft power, so it lowers the efficiency as well.
    pub fn of(line: &LineState, flow: &ManifoldFlow, water: &WaterState, site: &Site, ends: (bool, bool)) -> PumpFacts {
        let q = flow.pump_flow_m3_s;
        let best = site.best_flow_m3_s * line.duty.speed_ratio;
        let efficiency = efficiency_at(q / best, site.best_efficiency) * line.duty.head_factor;
        let shaft_w = shaft_power_w(water.density_kg_m3, q, flow.pump_head_m, efficiency);
        let engine_w = shaft_w / site.drive_efficiency;
        let vapour_pa = vapour_pressure_pa(water.temperature_c);
        let npsh = npsh_available_m(site.air_pa, vapour_pa, water.density_kg_m3, line.lift_m, flow.suction_loss_m);
        PumpFacts {
            flow_m3_s: q,
            head_m: flow.pump_head_m,
            gauge_pa: line.gauge_pa(water.density_kg_m3),
            efficiency,
            engine_w,
            engine_load: site.engine_power_w.map_or(f64::NAN, |p| engine_w / p),
            fuel_m3_s: engine_w * site.fuel_m3_j,
            npsh_available_m: npsh,
            npsh_margin_m: npsh - site.npsh_required_m,
            share_of_best: q / best,
            suction_m_s: pipe_speed_m_s(q, line.trunk.suction.bore_m),
            delivery_m_s: pipe_speed_m_s(q, line.trunk.delivery.bore_m),
            past_end: ends.0,
            unstable: ends.1,
        }
    }
}
