//! What a pump and an outlet tell the engine of themselves.

use super::hose::{Hose, Tolerance};
use washgraph_physics::hydraulics::manifold::Trunk;
use washgraph_physics::hydraulics::pump::{PumpCurve, PumpDuty};
use washgraph_stats::draw::{Draws, Input};

/// A pump with its suction and delivery, as a stage hands it over.
#[derive(Debug, Clone)]
pub struct Supply {
    /// Head against flow at the rated speed.
    pub curve: PumpCurve,
    /// Suction line.
    pub suction: Hose,
    /// Delivery up to the manifold.
    pub delivery: Hose,
    /// Pump above the water (m), negative when flooded.
    pub lift: Input,
    /// Manifold above the pump (m).
    pub rise_m: f64,
    /// Running speed (rev/s); NaN when it runs at the speed of the curve.
    pub speed: Input,
    /// Speed of the curve (rev/s).
    pub rated_speed_rev_s: f64,
    /// Share of the head that wear has cost.
    pub wear: Input,
    /// Factor on bores.
    pub bore_factor: Input,
    /// Factor on roughness.
    pub roughness_factor: Input,
    /// Factor on the losses of fittings.
    pub fitting_factor: Input,
}

impl Supply {
    /// Speed and wear in a trial.
    pub fn duty(&self, draws: &Draws) -> PumpDuty {
        let ratio = self.speed.get(draws) / self.rated_speed_rev_s;
        PumpDuty { speed_ratio: if ratio.is_finite() { ratio } else { 1.0 }, head_factor: 1.0 - self.wear.get(draws) }
    }

    /// The hoses' factors in a trial.
    pub fn tolerance(&self, draws: &Draws) -> Tolerance {
        Tolerance {
            bore: self.bore_factor.get(draws),
            roughness: self.roughness_factor.get(draws),
            fittings: self.fitting_factor.get(draws),
        }
    }

    /// Suction and delivery in a trial.
    pub fn trunk(&self, tolerance: &Tolerance) -> Trunk {
        Trunk { source_head_m: 0.0, suction: self.suction.run(tolerance), delivery: self.delivery.run(tolerance) }
    }

    /// Level of the manifold above the water in a trial (m).
    pub fn manifold_m(&self, draws: &Draws) -> f64 {
        self.lift.get(draws) + self.rise_m
    }
}

/// What is known of an outlet before any trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutletFacts {
    /// Number of holes or nozzles; 1 for an open end.
    pub holes: f64,
    /// Diameter of a hole or nozzle as built (m); of an open end the bore of its hose.
    pub hole_m: f64,
    /// Bore of the pipe of a spray bar (m).
    pub bar_bore_m: Option<f64>,
    /// Bore of its hose (m); `None` when it sits on the manifold.
    pub hose_bore_m: Option<f64>,
    /// How far its jets must carry (m), when said.
    pub throw_m: Option<f64>,
    /// Whether it is an open end.
    pub open_end: bool,
}

/// An outlet fed by a pump, as the pump's builder sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Fed {
    /// Its id.
    pub id: String,
    /// What is known of it.
    pub facts: OutletFacts,
}
