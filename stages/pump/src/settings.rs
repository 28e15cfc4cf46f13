//! Settings of the pump.

use sim_core::draw::Nature;
use sim_core::plumbing::HoseKeys;
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stats::SpreadError;
use sim_core::stats::distribution::Spread;

use crate::engine::{DERATINGS, ENGINES, fuel_spread};

const ANY: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

/// Settings of the pump, uncertain inputs included.
pub const SETTINGS: &[Setting] = &[
    Setting::new(
        "curve",
        Kind::Rows(&[Dimension::Flow, Dimension::Head]),
        "points of the pump curve off its plate, flow and head, at least three in order of flow",
    )
    .preset(Preset::Required)
    .range(ANY),
    Setting::optional("rated_speed", Dimension::RotationSpeed, (0.5, 200.0), "speed for which the curve holds"),
    Setting::new(
        "speed",
        Kind::Quantity(Dimension::RotationSpeed),
        "speed at which it runs, when it is not that of the curve",
    )
    .range((0.5, 200.0))
    .nature(Nature::Variability),
    Setting::new(
        "lift",
        Kind::Quantity(Dimension::Length),
        "pump above the water that it draws from; negative when flooded",
    )
    .preset(Preset::Required)
    .range((-30.0, 30.0))
    .nature(Nature::Variability),
    Setting::required("manifold_height", Dimension::Length, (-100.0, 200.0), "manifold above the pump"),
    HoseKeys::SUCTION.bore_setting(Preset::Required),
    HoseKeys::SUCTION.length_setting(Preset::Required),
    HoseKeys::SUCTION.kind_setting("suction-corrugated-bore"),
    HoseKeys::SUCTION.roughness_setting(),
    HoseKeys::SUCTION.fittings_setting("foot-valve-with-strainer, elbow-90-long-radius-flanged"),
    HoseKeys::DELIVERY.bore_setting(Preset::Required),
    HoseKeys::DELIVERY.length_setting(Preset::Required),
    HoseKeys::DELIVERY.kind_setting("layflat-new"),
    HoseKeys::DELIVERY.roughness_setting(),
    HoseKeys::DELIVERY.fittings_setting("check-valve-swing, 2 x elbow-90-long-radius-flanged"),
    Setting::usual("altitude", Dimension::Length, "0 m", (-500.0, 6_000.0), "altitude of the site"),
    Setting::usual("air_temperature", Dimension::Temperature, "20 °C", (-40.0, 55.0), "air at the engine on a hot day"),
    Setting::choice("engine", ENGINES, Preset::Text("diesel"), "what drives it"),
    Setting::optional("engine_power", Dimension::Power, (10.0, 5.0e6), "rated power of the engine"),
    Setting::choice(
        "derating",
        DERATINGS,
        Preset::Text("continuous"),
        "how much of the rated power counts at the site; an electric motor gives all of it",
    ),
    Setting::usual(
        "drive_efficiency",
        Dimension::Fraction,
        "100 %",
        (0.5, 1.0),
        "share of the power that belts pass on",
    ),
    Setting::optional(
        "best_flow",
        Dimension::Flow,
        (1.0e-6, 10.0),
        "flow of best efficiency; without it 65 % of the last point of the curve (assumed)",
    ),
    Setting::uncertain(
        "efficiency",
        Dimension::Fraction,
        || Spread::triangular(0.50, 0.60, 0.65),
        (0.05, 0.95),
        Nature::Ignorance,
        "efficiency of the pump at its best flow",
        "trash pumps 50-65 %, from memory",
    ),
    Setting::uncertain(
        "npsh_required",
        Dimension::Head,
        || Spread::triangular(2.0, 3.0, 5.0),
        (0.1, 15.0),
        Nature::Ignorance,
        "suction head that the pump asks for at its inlet, NPSHr of the maker's curve",
        "assumed 2-5 m; the maker's curve tells",
    ),
    Setting::uncertain(
        "wear",
        Dimension::Fraction,
        || Spread::triangular(0.0, 0.05, 0.15),
        (0.0, 0.9),
        Nature::Ignorance,
        "share of its head that the pump has lost by wear",
        "assumed 0-15 %",
    ),
    Setting::uncertain(
        "hose_bore_factor",
        Dimension::Number,
        || Spread::triangular(0.97, 1.0, 1.03),
        (0.5, 1.5),
        Nature::Ignorance,
        "true bore of the hoses over the nominal one; layflat grows under pressure",
        "assumed +-3 %",
    ),
    Setting::uncertain(
        "roughness_factor",
        Dimension::Number,
        || Spread::split_log_normal(0.6, 1.0, 2.0),
        (0.01, 100.0),
        Nature::Ignorance,
        "roughness of the hoses over that of their kind",
        "assumed; tables give 1/2 to 2 of the usual value",
    ),
    Setting::uncertain(
        "fitting_factor",
        Dimension::Number,
        || Spread::triangular(0.7, 1.0, 1.3),
        (0.05, 20.0),
        Nature::Ignorance,
        "losses of the fittings over those of the tables",
        "assumed +-30 %",
    ),
    Setting::new("fuel_use", Kind::Quantity(Dimension::FuelPerEnergy), "fuel per energy at the engine's shaft")
        .preset(Preset::SpreadBy { key: "engine", make: fuel_of, unless: &[] })
        .range((0.0, 1.0e-9))
        .source(
            "diesel 0.25 L/kWh new and large (talle.biz chart) to 0.35 small or old; petrol 330-400 g/kWh, from memory",
        ),
];

fn fuel_of(engine: &str) -> Result<Spread, SpreadError> {
    fuel_spread(engine)
}
