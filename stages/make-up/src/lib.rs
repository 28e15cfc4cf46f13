//! Water outlet: an open pipe or gate with a set flow, mounted where water is short (usually at the head of the sluice).

use sim_core::draw::{Draws, Input, Nature};
use sim_core::particle::water::WaterState;
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stage::{Outlet, OutletBuilder, OutletKind, OutletState};

/// The kind `make-up`.
pub static MAKE_UP: OutletKind = OutletKind {
    name: "make-up",
    purpose: "an open pipe with a set flow",
    settings: &[Setting {
        key: "flow",
        meaning: "water that it gives",
        kind: Kind::Quantity(Dimension::Flow),
        preset: Preset::Required,
        range: (0.0, 5.0),
        nature: Nature::Variability,
        source: "",
    }],
    build: |b: &mut OutletBuilder<'_>| Some(Box::new(MakeUp { flow: b.settings.input("flow") })),
    formulas: Vec::new,
    checks: Vec::new,
};

struct MakeUp {
    flow: Input,
}

impl Outlet for MakeUp {
    fn state(&self, draws: &Draws, _water: &WaterState) -> OutletState {
        OutletState { flow_m3_s: self.flow.get(draws), pressure_pa: 0.0 }
    }
}
