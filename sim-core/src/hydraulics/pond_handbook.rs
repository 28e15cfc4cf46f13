//! Handbook entries and checks of the pond, its recirculation and its make-up.

use super::makeup::{DampSolids, carried_water_kg_s, evaporation_m3_s, makeup_m3_s, seepage_m3_s};
use super::pond::{
    SETTLEABLE_LIMIT, area_for_removal_m2, build_up, fines_fall_m_s, ideal_removal, jar_fall_m_s,
    return_share, settleable_solids, steady_return_kg_m3, stokes_size_m, tank_removal,
};
use super::pond_time::{build_up_time_s, fill_time_s};
use super::symbol::{POSITIVE, evaluate, needed, output, preset};
use crate::check::{Band, Check, Kind, Status};
use crate::formula::{Formula, Symbol};
use crate::quantity::Dimension as D;

/// Density of clean water at 10 C, kg/m3. Source: water tables.
const WATER_10C_KG_M3: f64 = 999.7;
/// Kinematic viscosity of clean water at 10 C, m2/s. Source: water tables.
const NU_10C_M2_S: f64 = 1.307e-6;
/// Density of quartz and common rock fines, kg/m3. Source: mineral tables.
const QUARTZ_KG_M3: f64 = 2_650.0;

const FALL: Symbol = needed(
    "fall_speed",
    "fall speed of the grain size",
    D::Velocity,
    "mm/s",
    POSITIVE,
);
const AREA: Symbol = needed("area", "surface of the pond", D::Area, "m2", POSITIVE);
const FLOW: Symbol = needed(
    "flow",
    "wash water through the pond",
    D::Flow,
    "L/s",
    POSITIVE,
);
const TANKS: Symbol = preset(
    "tanks",
    "tanks in a row: 1 poor, 2-3 usual, 8 very good",
    D::Number,
    "-",
    (0.5, 1e6),
    2.0,
);
const VISCOSITY: Symbol = preset(
    "viscosity",
    "kinematic viscosity of the water",
    D::KinematicViscosity,
    "mm2/s",
    (2e-7, 1e-3),
    NU_10C_M2_S,
);
const GRAIN_DENSITY: Symbol = preset(
    "grain_density",
    "density of the grains",
    D::Density,
    "kg/m3",
    (1_100.0, 20_000.0),
    QUARTZ_KG_M3,
);
const WATER_DENSITY: Symbol = preset(
    "density",
    "density of the water",
    D::Density,
    "kg/m3",
    (950.0, 1_500.0),
    WATER_10C_KG_M3,
);
const RETURNED: Symbol = preset(
    "return_share",
    "share of the pond's outflow that comes back",
    D::Fraction,
    "%",
    (0.0, 1.0),
    0.95,
);

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula {
        name: "pond-removal",
        meaning: "Share of a grain size that a pond takes out",
        equation: "R = 1 - (1 + x/n)^-n, x = v_s A/Q;  ideal: min(1, x)",
        inputs: &[FALL, AREA, FLOW, TANKS],
        outputs: &[
            output(
                "removal",
                "share taken out by a pond worth n tanks",
                D::Fraction,
                "%",
            ),
            output(
                "ideal_removal",
                "share taken out by an ideal pond",
                D::Fraction,
                "%",
            ),
            output("overflow_ratio", "x", D::Number, "-"),
        ],
        source: "Hazen 1904; Fair & Geyer",
        status: Status::Memory,
        limits: "Depth does not enter; nothing is stirred up again.",
        evaluate: evaluate!(|v, a, q, n| [
            tank_removal(v * a / q, n),
            ideal_removal(v, a, q),
            v * a / q
        ]),
    },
    Formula {
        name: "pond-removal-of-size",
        meaning: "Share of a grain size that a pond takes out, from its diameter",
        equation: "v = R_s g d^2/(18 nu + sqrt(0.75 R_s g d^3));  R = 1 - (1 + v A/(n Q))^-n",
        inputs: &[
            needed(
                "grain_size",
                "diameter of the grains",
                D::SieveSize,
                "um",
                (1e-7, 2e-3),
            ),
            AREA,
            FLOW,
            TANKS,
            VISCOSITY,
            GRAIN_DENSITY,
            WATER_DENSITY,
        ],
        outputs: &[
            output("removal", "share taken out", D::Fraction, "%"),
            output("fall_speed", "fall speed", D::Velocity, "mm/s"),
            output(
                "ideal_area",
                "surface of an ideal pond that takes all of it",
                D::Area,
                "m2",
            ),
        ],
        source: "Ferguson & Church 2004; Hazen 1904; Fair & Geyer",
        status: Status::Memory,
        limits: "Loose single grains; flocculated clay falls as a larger grain.",
        evaluate: evaluate!(|d, a, q, n, nu, rho_s, rho| {
            let v = fines_fall_m_s(d, nu, rho_s, rho);
            [tank_removal(v * a / q, n), v, q / v]
        }),
    },
    Formula {
        name: "pond-area",
        meaning: "Surface of a pond that takes out a wanted share of a grain size",
        equation: "A = (Q/v_s) n [(1 - R)^(-1/n) - 1]",
        inputs: &[
            needed(
                "removal",
                "share to take out",
                D::Fraction,
                "%",
                (0.0, 0.9999),
            ),
            FALL,
            FLOW,
            TANKS,
        ],
        outputs: &[output("area", "surface", D::Area, "m2")],
        source: "Hazen 1904; Fair & Geyer, turned round",
        status: Status::Memory,
        limits: "",
        evaluate: evaluate!(|r, v, q, n| [area_for_removal_m2(r, v, q, n)]),
    },
    Formula {
        name: "pond-recycle",
        meaning: "Fines of one size in the return water when plant and pond have come to balance",
        equation: "C_ret = (1 - R) (F/Q)/(1 - r (1 - R))",
        inputs: &[
            needed(
                "fresh_fines",
                "fines of that size set free in the plant",
                D::MassRate,
                "t/h",
                POSITIVE,
            ),
            FLOW,
            needed(
                "removal",
                "share that the pond takes out",
                D::Fraction,
                "%",
                (0.0, 1.0),
            ),
            RETURNED,
        ],
        outputs: &[
            output(
                "return_concentration",
                "fines in the return water",
                D::Density,
                "g/L",
            ),
            output(
                "inflow_concentration",
                "fines in the water that enters the pond",
                D::Density,
                "g/L",
            ),
            output(
                "build_up",
                "times over the fines of one pass",
                D::Number,
                "-",
            ),
        ],
        source: "mass balance",
        status: Status::Computed,
        limits: "Removal is taken as not changed by the mud itself.",
        evaluate: evaluate!(|f, q, removal, r| {
            [
                steady_return_kg_m3(f, q, r, removal),
                build_up(r, removal) * f / q,
                build_up(r, removal),
            ]
        }),
    },
    Formula {
        name: "pond-return-share",
        meaning: "Share of the pond's outflow that comes back to the plant",
        equation: "r = Q_ret/(Q_ret + Q_seep + Q_disch)",
        inputs: &[
            needed(
                "return_flow",
                "water back to the plant",
                D::Flow,
                "L/s",
                POSITIVE,
            ),
            preset(
                "carrying_seepage",
                "seepage that carries fines",
                D::Flow,
                "L/s",
                POSITIVE,
                0.0,
            ),
            preset("discharge", "water let out", D::Flow, "L/s", POSITIVE, 0.0),
        ],
        outputs: &[output("return_share", "share returned", D::Fraction, "%")],
        source: "definition",
        status: Status::Computed,
        limits: "",
        evaluate: evaluate!(|ret, seep, out| [return_share(ret, seep, out)]),
    },
    Formula {
        name: "pond-build-up-time",
        meaning: "Time in which fines that do not settle build up, and time in which mud fills the pond",
        equation: "t = V/Q_bleed;  t_fill = V_mud rho_mud/F",
        inputs: &[
            needed("volume", "water in the circuit", D::Volume, "m3", POSITIVE),
            needed(
                "bleed",
                "water that leaves for good with its fines",
                D::Flow,
                "m3/h",
                POSITIVE,
            ),
            preset(
                "mud_room",
                "room for mud",
                D::Volume,
                "m3",
                POSITIVE,
                1_000.0,
            ),
            preset(
                "mud_dry_density",
                "dry solids in a volume of mud",
                D::Density,
                "kg/m3",
                (100.0, 1_600.0),
                700.0,
            ),
            preset(
                "settling_fines",
                "fines that settle",
                D::MassRate,
                "t/h",
                POSITIVE,
                1.0,
            ),
        ],
        outputs: &[
            output("build_up_time", "time to 63 % of the end", D::Time, "h"),
            output("fill_time", "time to fill the room", D::Time, "h"),
        ],
        source: "mass balance",
        status: Status::Computed,
        limits: "",
        evaluate: evaluate!(|v, q, room, rho, f| [
            build_up_time_s(v, q),
            fill_time_s(room, rho, f)
        ]),
    },
    Formula {
        name: "settling-jar",
        meaning: "What a jar of site water says: fall speed and grain size of what has cleared",
        equation: "v = h/t;  d = sqrt(18 nu v/((rho_s/rho - 1) g))",
        inputs: &[
            needed(
                "cleared_depth",
                "from the water line down to the dirty water",
                D::Length,
                "mm",
                (0.001, 2.0),
            ),
            needed(
                "time",
                "since the jar was shaken",
                D::Time,
                "min",
                (1.0, 1e7),
            ),
            VISCOSITY,
            GRAIN_DENSITY,
            WATER_DENSITY,
        ],
        outputs: &[
            output("fall_speed", "fall speed", D::Velocity, "mm/s"),
            output(
                "grain_size",
                "grain that falls so, by Stokes",
                D::SieveSize,
                "um",
            ),
        ],
        source: "still water; Stokes 1851",
        status: Status::Computed,
        limits: "Fines only.",
        evaluate: evaluate!(|h, t, nu, rho_s, rho| {
            let v = jar_fall_m_s(h, t);
            [v, stokes_size_m(v, nu, rho_s, rho)]
        }),
    },
    Formula {
        name: "settleable-solids",
        meaning: "Settleable solids of water in an Imhoff cone, from what settles in an hour",
        equation: "SS = C/rho_settled",
        inputs: &[
            needed(
                "settling_solids",
                "solids coarser than about 11 um",
                D::Density,
                "mg/L",
                POSITIVE,
            ),
            preset(
                "settled_density",
                "dry solids in settled mud",
                D::Density,
                "kg/m3",
                (200.0, 1_000.0),
                500.0,
            ),
        ],
        outputs: &[
            output(
                "settleable",
                "volume of mud per volume of water; 0.001 is 1 mL/L",
                D::Number,
                "-",
            ),
            output(
                "over_limit",
                "over the US placer limit of 0.2 mL/L",
                D::Number,
                "-",
            ),
        ],
        source: "assumed bridge; limit of 40 CFR 440.142",
        status: Status::Assumed,
        limits: "Local rules decide what may leave the pond.",
        evaluate: evaluate!(|c, rho| [
            settleable_solids(c, rho),
            settleable_solids(c, rho) / SETTLEABLE_LIMIT
        ]),
    },
    Formula {
        name: "carried-water",
        meaning: "Water that leaves with damp solids",
        equation: "W = S m/(1 - m)/rho",
        inputs: &[
            needed("solids", "dry solids", D::MassRate, "t/h", POSITIVE),
            needed(
                "moisture",
                "water over wet mass",
                D::Fraction,
                "%",
                (0.0, 0.95),
            ),
            WATER_DENSITY,
        ],
        outputs: &[output("water", "water carried", D::Flow, "m3/h")],
        source: "definition",
        status: Status::Computed,
        limits: "Moisture is over wet mass: 50 % is one tonne of water a tonne of solids.",
        evaluate: evaluate!(|s, m, rho| [carried_water_kg_s(s, m) / rho]),
    },
    Formula {
        name: "makeup-water",
        meaning: "Water that a plant with a closed pond uses up",
        equation: "out with oversize, tailings and mud - in with the bank + evaporation + seepage - rain",
        inputs: &[
            needed("feed", "dry feed", D::MassRate, "t/h", POSITIVE),
            preset(
                "oversize_share",
                "share of the feed that goes over the screen",
                D::Fraction,
                "%",
                (0.0, 1.0),
                0.60,
            ),
            preset(
                "mud_share",
                "share of the feed that ends as pond mud",
                D::Fraction,
                "%",
                (0.0, 1.0),
                0.06,
            ),
            preset(
                "oversize_moisture",
                "water over wet mass",
                D::Fraction,
                "%",
                (0.0, 0.9),
                0.06,
            ),
            preset(
                "tailings_moisture",
                "water over wet mass",
                D::Fraction,
                "%",
                (0.0, 0.9),
                0.18,
            ),
            preset(
                "mud_moisture",
                "water over wet mass",
                D::Fraction,
                "%",
                (0.0, 0.9),
                0.50,
            ),
            preset(
                "bank_moisture",
                "water over wet mass",
                D::Fraction,
                "%",
                (0.0, 0.9),
                0.05,
            ),
            preset(
                "pond_area",
                "surface of the pond",
                D::Area,
                "m2",
                POSITIVE,
                1_500.0,
            ),
            preset(
                "evaporation",
                "fall of the water line a day by evaporation",
                D::Length,
                "mm",
                (0.0, 0.05),
                0.004,
            ),
            preset(
                "conductivity",
                "of the bed: 1e-7 m/s tight, 1e-5 m/s sandy",
                D::Velocity,
                "m/s",
                (0.0, 1e-3),
                1e-7,
            ),
            preset(
                "gradient",
                "of the seepage",
                D::Number,
                "-",
                (0.0, 10.0),
                1.0,
            ),
            preset(
                "rain",
                "rise of the water line a day by rain",
                D::Length,
                "mm",
                (0.0, 0.5),
                0.0,
            ),
        ],
        outputs: &[
            output("makeup", "make-up water", D::Flow, "m3/h"),
            output("carried_out", "water out with the solids", D::Flow, "m3/h"),
            output("brought_in", "water in with the gravel", D::Flow, "m3/h"),
            output("evaporated", "evaporation", D::Flow, "m3/h"),
            output("seeped", "seepage", D::Flow, "m3/h"),
        ],
        source: "water balance; moistures assumed; Darcy for seepage",
        status: Status::Computed,
        limits: "Negative when the pond gains. Water at 1000 kg/m3.",
        evaluate: evaluate!(
            |feed, over, mud, m_o, m_t, m_m, m_b, area, evap, k, i, rain| {
                let leaving = [
                    DampSolids {
                        dry_kg_s: feed * over,
                        moisture: m_o,
                    },
                    DampSolids {
                        dry_kg_s: feed * (1.0 - over - mud),
                        moisture: m_t,
                    },
                    DampSolids {
                        dry_kg_s: feed * mud,
                        moisture: m_m,
                    },
                ];
                let bank = DampSolids {
                    dry_kg_s: feed,
                    moisture: m_b,
                };
                let out: f64 = leaving
                    .iter()
                    .map(|s| carried_water_kg_s(s.dry_kg_s, s.moisture) / 1_000.0)
                    .sum();
                let evaporated = evaporation_m3_s(evap / DAY_S, area);
                let seeped = seepage_m3_s(k, i, area);
                let total = makeup_m3_s(
                    &leaving,
                    bank,
                    evaporated,
                    seeped,
                    rain / DAY_S * area,
                    1_000.0,
                );
                [
                    total,
                    out,
                    carried_water_kg_s(feed, m_b) / 1_000.0,
                    evaporated,
                    seeped,
                ]
            }
        ),
    },
];

/// One day, s (exact).
const DAY_S: f64 = 86_400.0;
/// One tonne an hour, kg/s (exact).
const T_H_KG_S: f64 = 1.0 / 3.6;

const fn pinned(
    id: &'static str,
    model: &'static str,
    unit: &'static str,
    published: f64,
    band: Band,
    computed: fn() -> f64,
) -> Check {
    Check {
        id,
        model,
        kind: Kind::Pinned,
        source: "calculated apart",
        status: Status::Computed,
        published,
        computed,
        unit,
        band,
    }
}

fn fall_10c_mm_s(grain_um: f64) -> f64 {
    1_000.0 * fines_fall_m_s(1e-6 * grain_um, NU_10C_M2_S, QUARTZ_KG_M3, WATER_10C_KG_M3)
}

/// The closed pond of the example: 60 t/h, 2 % of it in the class, 165 m3/h, 1500 m2, two tanks, 95 % returned, 10 C.
fn example_removal(grain_um: f64) -> f64 {
    tank_removal(
        1e-3 * fall_10c_mm_s(grain_um) * 1_500.0 / (165.0 / 3_600.0),
        2.0,
    )
}

fn example_return_g_l(grain_um: f64) -> f64 {
    steady_return_kg_m3(
        0.02 * 60.0 * T_H_KG_S,
        165.0 / 3_600.0,
        0.95,
        example_removal(grain_um),
    )
}

/// Parts of the make-up of the example, m3/h.
fn example_makeup(part: usize) -> f64 {
    let feed = 60.0 * T_H_KG_S;
    let leaving = [
        DampSolids {
            dry_kg_s: 0.60 * feed,
            moisture: 0.06,
        },
        DampSolids {
            dry_kg_s: 0.34 * feed,
            moisture: 0.18,
        },
        DampSolids {
            dry_kg_s: 0.06 * feed,
            moisture: 0.50,
        },
    ];
    let bank = DampSolids {
        dry_kg_s: feed,
        moisture: 0.05,
    };
    let evaporated = evaporation_m3_s(0.004 / DAY_S, 1_500.0);
    let seeped = seepage_m3_s(1e-7, 1.0, 1_500.0);
    3_600.0
        * match part {
            0 => makeup_m3_s(&leaving, bank, evaporated, seeped, 0.0, 1_000.0),
            1 => leaving
                .iter()
                .map(|s| carried_water_kg_s(s.dry_kg_s, s.moisture) / 1_000.0)
                .sum(),
            _ => seeped,
        }
}

const FALL_MODEL: &str = "Ferguson-Church fall speed of fines";
const TANK_MODEL: &str = "pond of n tanks";
const LOOP_MODEL: &str = "closed pond";

/// Checks.
pub const CHECKS: &[Check] = &[
    pinned(
        "pond-n2-x3",
        TANK_MODEL,
        "-",
        0.840,
        Band::Absolute(0.001),
        || tank_removal(3.0, 2.0),
    ),
    pinned(
        "pond-n3-x1",
        TANK_MODEL,
        "-",
        0.578,
        Band::Absolute(0.001),
        || tank_removal(1.0, 3.0),
    ),
    pinned(
        "pond-n8-x1",
        TANK_MODEL,
        "-",
        0.610,
        Band::Absolute(0.001),
        || tank_removal(1.0, 8.0),
    ),
    pinned(
        "pond-n8-x3",
        TANK_MODEL,
        "-",
        0.922,
        Band::Absolute(0.001),
        || tank_removal(3.0, 8.0),
    ),
    pinned(
        "pond-n2-x5",
        TANK_MODEL,
        "-",
        0.92,
        Band::Absolute(0.005),
        || tank_removal(5.0, 2.0),
    ),
    pinned(
        "fines-5um-10c",
        FALL_MODEL,
        "mm/s",
        0.0172,
        Band::Relative(0.01),
        || fall_10c_mm_s(5.0),
    ),
    pinned(
        "fines-10um-10c",
        FALL_MODEL,
        "mm/s",
        0.0685,
        Band::Relative(0.005),
        || fall_10c_mm_s(10.0),
    ),
    pinned(
        "fines-20um-10c",
        FALL_MODEL,
        "mm/s",
        0.272,
        Band::Relative(0.005),
        || fall_10c_mm_s(20.0),
    ),
    pinned(
        "fines-75um-10c",
        FALL_MODEL,
        "mm/s",
        3.53,
        Band::Relative(0.005),
        || fall_10c_mm_s(75.0),
    ),
    pinned(
        "fines-50um-5c",
        FALL_MODEL,
        "mm/s",
        1.42,
        Band::Relative(0.005),
        || 1_000.0 * fines_fall_m_s(50e-6, 1.519e-6, QUARTZ_KG_M3, 999.97),
    ),
    pinned(
        "fines-50um-20c",
        FALL_MODEL,
        "mm/s",
        2.10,
        Band::Relative(0.005),
        || 1_000.0 * fines_fall_m_s(50e-6, 1.004e-6, QUARTZ_KG_M3, 998.2),
    ),
    pinned(
        "pond-ideal-area-10um",
        "ideal pond",
        "m2",
        668.0,
        Band::Relative(0.005),
        || 0.04575 / (1e-3 * fall_10c_mm_s(10.0)),
    ),
    pinned(
        "pond-ideal-area-50um",
        "ideal pond",
        "m2",
        28.0,
        Band::Absolute(0.5),
        || 0.04575 / (1e-3 * fall_10c_mm_s(50.0)),
    ),
    Check {
        id: "six-feet-in-six-hours",
        model: "Stokes size of what falls 6 ft in 6.5 h at 10 C",
        kind: Kind::Published,
        source: "Montana DEQ 2016: fine silt settles 6 ft in about 6.5 h; fine silt is 7.8-15.6 um (Wentworth 1922)",
        status: Status::Seen,
        published: 10.7,
        computed: || {
            1e6 * stokes_size_m(
                jar_fall_m_s(6.0 * 0.3048, 6.5 * 3_600.0),
                NU_10C_M2_S,
                QUARTZ_KG_M3,
                WATER_10C_KG_M3,
            )
        },
        unit: "um",
        band: Band::Between(7.8, 15.6),
    },
    pinned(
        "six-feet-stokes-size",
        "Stokes size",
        "um",
        10.7,
        Band::Relative(0.05),
        || {
            1e6 * stokes_size_m(
                jar_fall_m_s(6.0 * 0.3048, 6.5 * 3_600.0),
                NU_10C_M2_S,
                QUARTZ_KG_M3,
                WATER_10C_KG_M3,
            )
        },
    ),
    Check {
        id: "settleable-limit",
        model: "settleable solids",
        kind: Kind::PublishedUsedInFit,
        source: "40 CFR 440.142, seen in a copy; the constant is taken from it",
        status: Status::Seen,
        published: 0.2,
        computed: || 1_000.0 * SETTLEABLE_LIMIT,
        unit: "mL/L",
        band: Band::Absolute(1e-12),
    },
    pinned(
        "recycle-5um-removal",
        LOOP_MODEL,
        "-",
        0.391,
        Band::Relative(0.01),
        || example_removal(5.0),
    ),
    pinned(
        "recycle-5um-return",
        LOOP_MODEL,
        "g/L",
        10.5,
        Band::Relative(0.01),
        || example_return_g_l(5.0),
    ),
    pinned(
        "recycle-10um-return",
        LOOP_MODEL,
        "g/L",
        2.05,
        Band::Relative(0.01),
        || example_return_g_l(10.0),
    ),
    pinned(
        "recycle-20um-return",
        LOOP_MODEL,
        "g/L",
        0.25,
        Band::Absolute(0.006),
        || example_return_g_l(20.0),
    ),
    pinned(
        "recycle-1um-return",
        LOOP_MODEL,
        "g/L",
        100.0,
        Band::Relative(0.01),
        || example_return_g_l(1.0),
    ),
    pinned(
        "recycle-1um-build-up",
        LOOP_MODEL,
        "-",
        14.0,
        Band::Absolute(0.5),
        || build_up(0.95, example_removal(1.0)),
    ),
    pinned(
        "recycle-flocculated-return",
        LOOP_MODEL,
        "g/L",
        0.64,
        Band::Absolute(0.006),
        || example_return_g_l(15.0),
    ),
    pinned(
        "build-up-time",
        LOOP_MODEL,
        "h",
        281.0,
        Band::Absolute(0.5),
        || build_up_time_s(2_250.0, 8.0 / 3_600.0) / 3_600.0,
    ),
    pinned(
        "makeup-example",
        "make-up water",
        "m3/h",
        8.0,
        Band::Absolute(0.05),
        || example_makeup(0),
    ),
    pinned(
        "makeup-carried-out",
        "make-up water",
        "m3/h",
        10.4,
        Band::Absolute(0.05),
        || example_makeup(1),
    ),
    pinned(
        "makeup-seepage",
        "make-up water",
        "m3/h",
        0.54,
        Band::Absolute(0.005),
        || example_makeup(2),
    ),
];
