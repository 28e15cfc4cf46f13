//! The pond over time: fines building up, mud filling it, water coming and going.
//!
//! ```text
//!   dM_i/dt = Q_in C_in,i (1 - R_i) - (Q_ret + Q_seep' + Q_disch) C_i        M_i = C_i V
//!   dV/dt   = Q_in + rain + make-up - Q_ret - seepage - evaporation - discharge
//!   mud: what settles, at its settled density; it takes depth first, then area
//! ```
//! Within a step flows, volume and area stand still and the fines follow their exact exponential, so no step is too long to be stable;
//! the mass book closes by difference. A step should still be short against the time in which the pond fills.

use super::pond::tank_removal;
use washgraph_units::math::exp;

/// The pond as dug.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PondShape {
    /// Surface (m2).
    pub area_m2: f64,
    /// Water and mud that it holds when full (m3).
    pub capacity_m3: f64,
    /// Tanks in a row that it is worth (-); see [`super::pond::TANKS`].
    pub tanks: f64,
    /// Free depth of water below which mud starts to take settling area (m). Assumed 0.6 (2 ft, the least depth that Montana DEQ 2016
    /// advises).
    pub working_depth_m: f64,
    /// Dry solids in a volume of pond mud (kg/m3).
    pub mud_dry_density_kg_m3: f64,
}

/// Water of a pond (m3/s).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PondFlows {
    /// From the plant.
    pub inflow_m3_s: f64,
    /// Back to the plant.
    pub return_m3_s: f64,
    /// Rain and run-off.
    pub rain_m3_s: f64,
    /// Make-up put into the pond.
    pub makeup_m3_s: f64,
    /// Seepage; only `carrying_share` of it takes fines along.
    pub seepage_m3_s: f64,
    /// Share of the seepage that carries fines (-); 0 assumed.
    pub carrying_share: f64,
    /// Evaporation.
    pub evaporation_m3_s: f64,
    /// Let out for good.
    pub discharge_m3_s: f64,
}

impl PondFlows {
    /// Outflow that carries fines (m3/s).
    pub fn carrying_m3_s(&self) -> f64 {
        self.return_m3_s + self.carrying_share * self.seepage_m3_s + self.discharge_m3_s
    }

    /// Change of the water held (m3/s).
    pub fn net_m3_s(&self) -> f64 {
        self.inflow_m3_s + self.rain_m3_s + self.makeup_m3_s
            - self.return_m3_s
            - self.seepage_m3_s
            - self.evaporation_m3_s
            - self.discharge_m3_s
    }
}

/// What a pond holds.
#[derive(Debug, Clone, PartialEq)]
pub struct PondState {
    /// Clear and dirty water (m3).
    pub water_m3: f64,
    /// Settled mud (m3).
    pub mud_m3: f64,
    /// Hanging fines by class (kg).
    pub fines_kg: Vec<f64>,
}

/// Book of a step (kg).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PondStep {
    /// Came in with the wash water.
    pub in_kg: f64,
    /// Settled.
    pub settled_kg: f64,
    /// Left with return, discharge and carrying seepage.
    pub out_kg: f64,
    /// Whether the pond ran dry in this step; it is left empty and the shortage is not made up.
    pub ran_dry: bool,
    /// Water that ran over the top because the pond was full (m3).
    pub spilled_m3: f64,
}

impl PondState {
    /// Concentration of a class (kg/m3).
    pub fn concentration_kg_m3(&self, class: usize) -> f64 {
        self.fines_kg.get(class).map_or(0.0, |mass| if self.water_m3 > 0.0 { mass / self.water_m3 } else { 0.0 })
    }

    /// Area that still settles: all of it while the free depth exceeds the working depth, then in proportion (m2). Assumed.
    pub fn working_area_m2(&self, shape: &PondShape) -> f64 {
        let free_depth_m = ((shape.capacity_m3 - self.mud_m3) / shape.area_m2).max(0.0);
        shape.area_m2 * (free_depth_m / shape.working_depth_m).min(1.0)
    }

    /// Removal of a class at a flow (-); 1 at no flow.
    pub fn removal(&self, shape: &PondShape, fall_m_s: f64, flow_m3_s: f64) -> f64 {
        if flow_m3_s <= 0.0 {
            return 1.0;
        }
        tank_removal(fall_m_s * self.working_area_m2(shape) / flow_m3_s, shape.tanks)
    }

    /// Moves on by `step_s` with inflow concentrations `inflow_kg_m3` and fall speeds `fall_m_s`, one of each per class.
    pub fn advance(
        &mut self,
        shape: &PondShape,
        flows: &PondFlows,
        inflow_kg_m3: &[f64],
        fall_m_s: &[f64],
        step_s: f64,
    ) -> PondStep {
        let mut book = PondStep::default();
        // Fines leave with the carrying water and mix into the volume that stands in the pond meanwhile.
        let rate_per_s = if self.water_m3 > 0.0 { flows.carrying_m3_s() / self.water_m3 } else { f64::INFINITY };
        let kept = exp(-rate_per_s * step_s);
        let mean_kept_s = if rate_per_s > 0.0 { (1.0 - kept) / rate_per_s } else { step_s };
        let working: Vec<f64> = fall_m_s.iter().map(|&v| self.removal(shape, v, flows.inflow_m3_s)).collect();
        for ((mass, &c_in), &removal) in self.fines_kg.iter_mut().zip(inflow_kg_m3).zip(&working) {
            let in_kg = flows.inflow_m3_s * c_in * step_s;
            let settled_kg = in_kg * removal;
            let after = *mass * kept + flows.inflow_m3_s * c_in * (1.0 - removal) * mean_kept_s;
            book.in_kg += in_kg;
            book.settled_kg += settled_kg;
            book.out_kg += in_kg - settled_kg - (after - *mass);
            *mass = after;
        }
        self.mud_m3 += book.settled_kg / shape.mud_dry_density_kg_m3;
        self.water_m3 += flows.net_m3_s() * step_s;
        if self.water_m3 < 0.0 {
            book.ran_dry = true;
            self.water_m3 = 0.0;
        }
        let room_m3 = (shape.capacity_m3 - self.mud_m3).max(0.0);
        if self.water_m3 > room_m3 {
            book.spilled_m3 = self.water_m3 - room_m3;
            let share = room_m3 / self.water_m3;
            for mass in &mut self.fines_kg {
                book.out_kg += *mass * (1.0 - share);
                *mass *= share;
            }
            self.water_m3 = room_m3;
        }
        book
    }
}

/// Time after which the build-up of what does not settle has come within 37 % of its end.
///
/// `t = V/Q_bleed`; `V` water in the circuit (m3), `Q_bleed` water that leaves for good with its fines (m3/s); result (s).
pub fn build_up_time_s(volume_m3: f64, bleed_m3_s: f64) -> f64 {
    volume_m3 / bleed_m3_s
}

/// Time until mud has filled a volume.
///
/// `t = V rho_mud/F`; `V` room for mud (m3), `rho_mud` dry solids in a volume of mud (kg/m3), `F` fines that settle (kg/s); result (s).
pub fn fill_time_s(room_m3: f64, mud_dry_density_kg_m3: f64, settling_kg_s: f64) -> f64 {
    room_m3 * mud_dry_density_kg_m3 / settling_kg_s
}

#[cfg(test)]
mod tests {
    use super::super::pond::{return_share, steady_return_kg_m3};
    use super::*;
    use washgraph_units::constants::S_PER_H;

    fn shape() -> PondShape {
        PondShape {
            area_m2: 1_500.0,
            capacity_m3: 2_250.0,
            tanks: 2.0,
            working_depth_m: 0.6,
            mud_dry_density_kg_m3: 700.0,
        }
    }

    #[test]
    fn identity_time_steps_end_at_the_closed_form() {
        let shape = PondShape { capacity_m3: 1e9, ..shape() };
        let (flow, fall) = (165.0 / S_PER_H, 1.72e-5);
        let flows = PondFlows {
            inflow_m3_s: flow,
            return_m3_s: 0.95 * flow,
            discharge_m3_s: 0.05 * flow,
            ..PondFlows::default()
        };
        let fresh = 0.02 * 60.0 / 3.6;
        let mut pond = PondState { water_m3: 2_250.0, mud_m3: 0.0, fines_kg: vec![0.0] };
        let (mut in_kg, mut elsewhere_kg) = (0.0, 0.0);
        for _ in 0..20_000 {
            let c_in = 0.95 * pond.concentration_kg_m3(0) + fresh / flow;
            let book = pond.advance(&shape, &flows, &[c_in], &[fall], 600.0);
            in_kg += book.in_kg;
            elsewhere_kg += book.settled_kg + book.out_kg;
        }
        assert!((in_kg - elsewhere_kg - pond.fines_kg[0]).abs() < 1e-9 * in_kg);
        let r = return_share(flows.return_m3_s, 0.0, flows.discharge_m3_s);
        let steady = steady_return_kg_m3(fresh, flow, r, pond.removal(&shape, fall, flow));
        assert!((pond.concentration_kg_m3(0) / steady - 1.0).abs() < 1e-6);
    }

    #[test]
    fn property_mud_takes_depth_then_area() {
        let mut pond = PondState { water_m3: 1_000.0, mud_m3: 0.0, fines_kg: vec![0.0] };
        assert_eq!(pond.working_area_m2(&shape()), 1_500.0);
        pond.mud_m3 = 1_300.0;
        assert_eq!(pond.working_area_m2(&shape()), 1_500.0);
        pond.mud_m3 = 1_800.0;
        assert!((pond.working_area_m2(&shape()) - 750.0).abs() < 1e-9);
    }

    #[test]
    fn property_pond_runs_dry_and_spills_openly() {
        let mut pond = PondState { water_m3: 100.0, mud_m3: 0.0, fines_kg: vec![50.0] };
        let drain = PondFlows { return_m3_s: 1.0, ..PondFlows::default() };
        assert!(pond.advance(&shape(), &drain, &[0.0], &[1e-5], 200.0).ran_dry);
        let mut full = PondState { water_m3: 2_250.0, mud_m3: 0.0, fines_kg: vec![50.0] };
        let rain = PondFlows { rain_m3_s: 0.1, ..PondFlows::default() };
        let book = full.advance(&shape(), &rain, &[0.0], &[1e-5], 100.0);
        assert!((book.spilled_m3 - 10.0).abs() < 1e-9 && (book.out_kg + full.fines_kg[0] - 50.0).abs() < 1e-9);
    }
}
