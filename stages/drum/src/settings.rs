//! Settings of the drum.

use sim_core::draw::Nature;
use sim_core::lever::{Effort, Lever, Move, Question};
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stats::distribution::Spread;

/// Settings of the drum, uncertain inputs included.
pub const SETTINGS: &[Setting] = &[
    Setting::required("diameter", Dimension::Length, (0.1, 6.0), "inside diameter of the shell"),
    Setting::required("slope", Dimension::Slope, (0.0, 0.3), "fall of the axis towards the discharge"),
    Setting::new("speed", Kind::Known(Dimension::RotationSpeed), "turning speed")
        .preset(Preset::Required)
        .range((0.001, 3.0)),
    Setting::optional(
        "feed_opening",
        Dimension::Length,
        (0.05, 6.0),
        "diameter of the opening at the feed end; usual is 0.6 of the drum",
    ),
    Setting::usual("wall", Dimension::Length, "1/4 in", (0.0005, 0.05), "thickness of the shell plate"),
    Setting::choice(
        "lining",
        &[("steel", "bare steel, worn smooth by the gravel"), ("ribbed", "ribbed rubber or a dead bed of stones")],
        Preset::Text("steel"),
        "inside of closed sections without bars",
    ),
    Setting::uncertain(
        "wall_friction",
        Dimension::Angle,
        || Spread::triangular(0.28, 0.40, 0.54),
        (0.05, 1.2),
        Nature::Ignorance,
        "friction angle of wet gravel on bare steel",
        "assumed 16-31 degrees",
    ),
    Setting::optional(
        "slurry_size",
        Dimension::SieveSize,
        (0.00005, 0.005),
        "size of sand that rides half in the water and half in the bed, 0.5 to 1 mm (assumed); without it all rides in the bed",
    ),
    Setting::optional(
        "shell_mass",
        Dimension::Mass,
        (1.0, 1e6),
        "mass of everything that turns, without gravel; without it the weight of the plate and a third more",
    ),
    Setting::optional(
        "riding_ring",
        Dimension::Length,
        (0.1, 8.0),
        "diameter of the riding rings; usual is the drum's",
    ),
    Setting::usual(
        "roller_angle",
        Dimension::Angle,
        "30 deg",
        (0.1, 1.3),
        "angle from straight down to each of the four rollers, seen from the axis",
    ),
    Setting::uncertain(
        "start_factor",
        Dimension::Number,
        || Spread::triangular(2.0, 2.2, 2.5),
        (1.0, 6.0),
        Nature::Ignorance,
        "torque at the start, or with a bed that has set, over running torque",
        "assumed 2-2.5",
    ),
    Setting::choice(
        "drive",
        &[
            ("hydraulic", "hydraulic motor fed by a pump on the engine"),
            ("gearbox", "gearbox on an engine or electric motor"),
        ],
        Preset::Text("hydraulic"),
        "what turns the drum",
    ),
    Setting::uncertain(
        "drive_efficiency",
        Dimension::Fraction,
        || Spread::triangular(0.80, 0.85, 0.90),
        (0.2, 1.0),
        Nature::Ignorance,
        "hydromechanical efficiency of the running motor, or efficiency of the gearbox",
        "0.80-0.90 for hydraulic motors (makers' sheets, seen in part)",
    ),
    Setting::usual(
        "start_efficiency",
        Dimension::Fraction,
        "70 %",
        (0.2, 1.0),
        "hydromechanical efficiency of the motor from standstill; 60-80 % for slow motors (from memory)",
    ),
    Setting::usual("oil_efficiency", Dimension::Fraction, "93 %", (0.2, 1.0), "volumetric efficiency of the motor"),
    Setting::usual(
        "pump_efficiency",
        Dimension::Fraction,
        "85 %",
        (0.2, 1.0),
        "efficiency of the oil pump and its belt",
    ),
    Setting::optional("motor", Dimension::Displacement, (1e-6, 2e-2), "displacement of the hydraulic motor per turn"),
    Setting::usual(
        "relief_pressure",
        Dimension::Pressure,
        "2000 psi",
        (1e6, 5e7),
        "pressure at which the relief valve of the drive opens",
    ),
    Setting::optional("oil_flow", Dimension::Flow, (1e-6, 0.02), "oil that the pump gives the motor"),
    Setting::usual("pinion_teeth", Dimension::Number, "15", (7.0, 60.0), "teeth of the pinion on the drive")
        .kind(Kind::Whole),
    Setting::usual("chain_pitch", Dimension::Length, "1 in", (0.006, 0.08), "pitch of the roller chain; 1 in is No 80"),
    Setting::usual("chain_strands", Dimension::Number, "1", (1.0, 4.0), "strands of the chain").kind(Kind::Whole),
    Setting::optional(
        "chain_circle",
        Dimension::Length,
        (0.1, 10.0),
        "pitch diameter of the chain or sprocket round the drum; usual is the outside of the shell and one pitch more",
    ),
    Setting::choice(
        "chain_layout",
        &[
            ("loop", "a loop of chain round the drum's sprocket and the pinion"),
            ("touching", "chain laid round the drum, pinion touching it: 2 to 3 teeth in mesh"),
        ],
        Preset::Text("loop"),
        "how the chain meets the pinion",
    ),
    Setting::usual(
        "chain_wrap",
        Dimension::Angle,
        "120 deg",
        (0.2, 6.0),
        "part of the pinion that a loop of chain wraps",
    ),
    Setting::usual(
        "service_factor",
        Dimension::Number,
        "1.4",
        (1.0, 3.0),
        "service factor on the chain; 1.3-1.5 for uneven load (from memory)",
    ),
    Setting::uncertain(
        "repose",
        Dimension::Angle,
        || Spread::triangular(0.558, 0.611, 0.698),
        (0.3, 1.0),
        Nature::Variability,
        "angle of repose of the tumbling bed",
        "assumed 32-40 degrees for damp gravel, a few less when full of water",
    ),
    Setting::uncertain(
        "residence_factor",
        Dimension::Number,
        || Spread::log_normal_within(1.0, 0.13, 0.6, 1.6),
        (0.3, 3.0),
        Nature::Ignorance,
        "factor on the time that the bed takes through the drum",
        "assumed +-25 %: drums of this speed turn faster than the law was measured at",
    ),
    Setting::uncertain(
        "film_thickness",
        Dimension::Length,
        || Spread::triangular(0.05e-3, 0.1e-3, 0.2e-3),
        (0.0, 0.002),
        Nature::Ignorance,
        "water film on washed rock",
        "0.1 mm gives 1-2 % moisture as drained gravel holds, from memory; range assumed",
    ),
    Setting::uncertain(
        "spray_mixing",
        Dimension::Fraction,
        || Spread::triangular(0.05, 0.1, 0.2),
        (0.0, 1.0),
        Nature::Ignorance,
        "share of the spray that mixes with the film on the rock",
        "assumed",
    ),
    Setting::uncertain(
        "coating",
        Dimension::Fraction,
        || Spread::split_log_normal(0.003, 0.006, 0.015),
        (0.0, 0.1),
        Nature::Ignorance,
        "fines coating the rock before rinsing, by mass of the rock",
        "assumed 0.2-2 %",
    ),
    Setting::uncertain(
        "coating_wash",
        Dimension::Number,
        || Spread::triangular(1.0, 2.0, 3.0),
        (0.0, 20.0),
        Nature::Ignorance,
        "rate at which 2 bar spray washes the coating off, per L of spray and kg of rock",
        "assumed 1-3; no published law",
    ),
    Setting::uncertain(
        "wash_need",
        Dimension::WaterPerMass,
        || Spread::triangular(1.25e-3, 1.5e-3, 1.75e-3),
        (0.0, 0.02),
        Nature::Ignorance,
        "water that wet screening needs per dry mass",
        "5-7 US gpm per short ton/h (screen-area reference)",
    ),
    Setting::uncertain(
        "fines_need",
        Dimension::WaterPerMass,
        || Spread::triangular(11.4e-3, 12.0e-3, 12.5e-3),
        (0.0, 0.1),
        Nature::Ignorance,
        "water that washing needs per mass finer than 75 um",
        "50 US gpm per t/h of minus 200 mesh (trade magazine, 2017)",
    ),
    Setting::uncertain(
        "slurry_need",
        Dimension::WaterPerMass,
        || Spread::triangular(0.3e-3, 0.5e-3, 0.8e-3),
        (0.0, 0.02),
        Nature::Ignorance,
        "water at the feed end per dry mass for the charge to run as a slurry and clay not to ball",
        "assumed; below about 0.5 m3/t clay balls instead of washing out",
    ),
];

/// What may be moved about a drum as a whole; its sections have their own. Steps are our choice.
pub const LEVERS: &[Lever] = &[
    Lever::new("slope", "Drum slope")
        .takes(Effort::Adjust)
        .beside(Question::Hole)
        .more(Move::times("drum steeper", 1.2).eases(&["spilling-back", "drum-stalls"]))
        .less(Move::times("drum flatter (more scrubbing)", 0.8).eases(&[
            "rock-rushes-through",
            "clay-balls",
            "dirty-oversize",
            "coarse-gold-lost",
        ])),
    Lever::new("speed", "Drum speed")
        .takes(Effort::Adjust)
        .beside(Question::Hole)
        .more(Move::times("drum faster", 1.15).eases(&[
            "clay-balls",
            "spilling-back",
            "screen-plugged",
            "drum-stalls",
            "coarse-gold-lost",
        ]))
        .less(Move::times("drum slower (more scrubbing)", 0.85).eases(&["rock-rushes-through", "dirty-oversize"])),
];
