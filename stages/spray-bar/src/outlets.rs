//! The outlets `spray-bar` and `nozzles`: holes at a pressure that is typed.

use sim_core::draw::{Draws, Input, Nature};
use sim_core::hydraulics::orifice::{hole_area_m2, orifice_flow_m3_s};
use sim_core::particle::water::WaterState;
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stage::{Outlet, OutletBuilder, OutletKind, OutletState};
use sim_core::stats::distribution::Spread;

const PRESSURE: Setting = Setting {
    key: "pressure",
    meaning: "pressure in the pipe ahead of the holes",
    kind: Kind::Quantity(Dimension::Pressure),
    preset: Preset::Required,
    range: (100.0, 3.0e6),
    nature: Nature::Variability,
    source: "",
};

/// The kind `spray-bar`.
pub static SPRAY_BAR: OutletKind = OutletKind {
    name: "spray-bar",
    purpose: "a pipe with a row of holes over the screen or scrubber",
    settings: &[
        Setting {
            key: "holes",
            meaning: "number of holes",
            kind: Kind::Whole,
            preset: Preset::Required,
            range: (1.0, 5000.0),
            nature: Nature::Ignorance,
            source: "",
        },
        Setting::required("hole", Dimension::Length, (0.0005, 0.1), "diameter of a hole"),
        Setting::choice(
            "made",
            &[("drilled", "clean drilled holes"), ("torch-cut", "ragged holes cut with a torch")],
            Preset::Text("drilled"),
            "how the holes were made",
        ),
        PRESSURE,
        Setting::uncertain(
            "drilled_coefficient",
            Dimension::Number,
            || Spread::triangular(0.55, 0.61, 0.68),
            (0.2, 1.0),
            Nature::Ignorance,
            "discharge coefficient of drilled holes",
            "0.60-0.62 sharp plate (FHWA HEC-22, orifice tables); range assumed",
        ),
        Setting::uncertain(
            "torch_cut_coefficient",
            Dimension::Number,
            || Spread::triangular(0.35, 0.40, 0.50),
            (0.2, 1.0),
            Nature::Ignorance,
            "discharge coefficient of torch-cut holes",
            "0.40 ragged edge (FHWA HEC-22); range assumed",
        ),
        Setting::uncertain(
            "plugged",
            Dimension::Fraction,
            || Spread::triangular(0.0, 0.03, 0.15),
            (0.0, 1.0),
            Nature::Variability,
            "share of the holes that are plugged",
            "assumed 0-15 %",
        ),
    ],
    build: |b: &mut OutletBuilder<'_>| {
        let coefficient =
            if b.settings.word("made") == "torch-cut" { "torch_cut_coefficient" } else { "drilled_coefficient" };
        Some(Box::new(Holes {
            count: b.settings.number("holes"),
            hole_m: b.settings.number("hole"),
            coefficient: b.settings.input(coefficient),
            plugged: b.settings.input("plugged"),
            pressure: b.settings.input("pressure"),
        }))
    },
    formulas: crate::formulas,
    checks: crate::checks,
};

/// The kind `nozzles`.
pub static NOZZLES: OutletKind = OutletKind {
    name: "nozzles",
    purpose: "moulded or turned nozzles in the hopper",
    settings: &[
        Setting {
            key: "count",
            meaning: "number of nozzles",
            kind: Kind::Whole,
            preset: Preset::Required,
            range: (1.0, 500.0),
            nature: Nature::Ignorance,
            source: "",
        },
        Setting::required("bore", Dimension::Length, (0.0005, 0.2), "bore of a nozzle"),
        PRESSURE,
        Setting::uncertain(
            "coefficient",
            Dimension::Number,
            || Spread::triangular(0.90, 0.95, 0.97),
            (0.2, 1.0),
            Nature::Ignorance,
            "discharge coefficient of the nozzles",
            "0.95 flow tube (quoted from NFPA 291); range assumed",
        ),
    ],
    build: |b: &mut OutletBuilder<'_>| {
        Some(Box::new(Holes {
            count: b.settings.number("count"),
            hole_m: b.settings.number("bore"),
            coefficient: b.settings.input("coefficient"),
            plugged: Input::Fixed(0.0),
            pressure: b.settings.input("pressure"),
        }))
    },
    formulas: crate::formulas,
    checks: crate::checks,
};

struct Holes {
    count: f64,
    hole_m: f64,
    coefficient: Input,
    plugged: Input,
    pressure: Input,
}

impl Outlet for Holes {
    fn state(&self, draws: &Draws, water: &WaterState) -> OutletState {
        let pressure_pa = self.pressure.get(draws);
        let open = self.count * (1.0 - self.plugged.get(draws));
        let per_hole =
            orifice_flow_m3_s(self.coefficient.get(draws), hole_area_m2(self.hole_m), pressure_pa, water.density_kg_m3);
        OutletState { flow_m3_s: open * per_hole, pressure_pa }
    }
}
