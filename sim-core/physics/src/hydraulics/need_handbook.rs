//! Handbook entries and checks of [`super::need`].

use super::need::{
    ANGLE_IRON_WATER, EXPANDED_METAL_WATER, FINES_WATER, SLUICE_LOADING, SLUICE_SOLIDS, SluiceDemand, WASH_WATER,
    sluice_need, solids_by_volume, thinning_water_m3_s, wash_need, water_per_gravel_from_duty,
};
use super::symbol::{POSITIVE, evaluate, needed, output, preset};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::{FOOT_M, QUARTZ_KG_M3, S_PER_H, US_GPM_M3_S};
use washgraph_units::formula::Formula;
use washgraph_units::quantity::Dimension as D;

/// Miner's inch of 1/40 cubic foot a second, m3/s. Source: statute of California and others (seen).
const MINERS_INCH_40_M3_S: f64 = 0.028_316_846_592 / 40.0;

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "wash-water-need",
        "Water that washing and screening need",
        "Q = max(a F, b F_75)",
        evaluate!(|f, share, a, b| [wash_need(f, f * share, a, b).water_m3_s, a * f, b * f * share]),
    )
    .inputs(&[
        needed("feed", "dry feed", D::MassRate, "t/h", POSITIVE),
        preset("fines_share", "share of the feed below 75 um", D::Fraction, "%", (0.0, 1.0), 0.0),
        preset("per_feed", "water per feed, 1.25-1.75 m3/t", D::WaterPerMass, "m3/t", (5e-4, 4e-3), WASH_WATER.usual),
        preset(
            "per_fines",
            "water per minus 75 um, 11.4-12.5 m3/t",
            D::WaterPerMass,
            "m3/t",
            (5e-3, 3e-2),
            FINES_WATER.usual,
        ),
    ])
    .outputs(&[
        output("water", "water needed", D::Flow, "m3/h"),
        output("by_feed", "by the feed", D::Flow, "m3/h"),
        output("by_fines", "by the fines", D::Flow, "m3/h"),
    ])
    .source(
        "screen-area reference (5-7 gpm per short ton an hour); trade magazine 2017 (50 \
    gpm per ton an hour of minus 200 mesh)",
        Status::Seen,
    )
    .limits("Taking the larger of the two is assumed."),
    Formula::new(
        "sluice-water-need",
        "Water that a sluice needs by width, by its solids, to cover and to move its \
    largest stone",
        "max(q w; Q_s (1 - c)/c; Manning at y = k D; Manning at tau = theta (rho_s - \
    rho) g D)",
        evaluate!(|w, s, solids, stone, q, c, cover, n, theta, rho_s, rho| {
            let need = sluice_need(&SluiceDemand {
                width_m: w,
                slope: s,
                manning_n: n,
                per_width_m2_s: q,
                solids_m3_s: solids / rho_s,
                most_solids: c,
                largest_stone_m: stone,
                cover,
                shields_critical: theta,
                stone_kg_m3: rho_s,
                slurry_kg_m3: rho,
            });
            [need.need().water_m3_s, need.width_m3_s, need.solids_m3_s, need.cover_m3_s, need.mobility_m3_s]
        }),
    )
    .inputs(&[
        needed("width", "inside width", D::Length, "m", (0.05, 20.0)),
        needed("slope", "slope as a tangent", D::Slope, "in/ft", (0.005, 0.5)),
        needed("solids", "dry solids", D::MassRate, "t/h", POSITIVE),
        needed("largest_stone", "largest stone in the sluice feed", D::Length, "mm", (0.0, 0.5)),
        preset(
            "per_width",
            "40 L/s/m over expanded metal, 80 over angle iron",
            D::FlowPerWidth,
            "L/s/m",
            (0.005, 0.5),
            EXPANDED_METAL_WATER.usual,
        ),
        preset("most_solids", "most solids by volume", D::Fraction, "%", (0.01, 0.5), SLUICE_SOLIDS.usual),
        preset("cover", "depth over the size of the largest stone, 0.6-1.2", D::Number, "-", (0.0, 3.0), 1.0),
        preset("manning_n", "0.015-0.030 over riffles", D::Number, "-", (0.009, 0.08), 0.024),
        preset("shields_critical", "Shields number at the start of motion", D::Number, "-", (0.02, 0.1), 0.047),
        preset("stone_density", "density of the solids", D::Density, "kg/m3", (1_200.0, 8_000.0), QUARTZ_KG_M3),
        preset("slurry_density", "density of the slurry", D::Density, "kg/m3", (950.0, 1_800.0), 1_000.0),
    ])
    .outputs(&[
        output("water", "water needed", D::Flow, "L/s"),
        output("by_width", "by width", D::Flow, "L/s"),
        output("by_solids", "by solids", D::Flow, "L/s"),
        output("by_cover", "by cover of the largest stone", D::Flow, "L/s"),
        output("by_motion", "by motion of the largest stone; none when no depth moves it", D::Flow, "L/s"),
    ])
    .source(
        "Yukon practice (page quoting Poling 1989, Clarkson 1990); old rule of cover; \
    Manning; Shields",
        Status::Seen,
    )
    .limits("Manning over riffles is a rough guide.")
    .open(&[("by_motion", "none: no depth moves it")]),
    Formula::new(
        "slurry-solids",
        "Share of solids by volume of a slurry, and the water that brings it to a limit",
        "c = Q_s/(Q_s + Q_w);  Q_w = Q_s (1 - c)/c",
        evaluate!(|s, w, c, rho| [solids_by_volume(s / rho, w), thinning_water_m3_s(s / rho, c)]),
    )
    .inputs(&[
        needed("solids", "dry solids", D::MassRate, "t/h", POSITIVE),
        needed("water", "water", D::Flow, "m3/h", POSITIVE),
        preset("most_solids", "limit of solids by volume", D::Fraction, "%", (0.01, 0.6), SLUICE_SOLIDS.usual),
        preset("solids_density", "density of the solids", D::Density, "kg/m3", (1_200.0, 8_000.0), QUARTZ_KG_M3),
    ])
    .outputs(&[
        output("solids_by_volume", "share of solids", D::Fraction, "%"),
        output("water_at_limit", "water at the limit", D::Flow, "m3/h"),
    ])
    .source("definition", Status::Computed),
    Formula::new(
        "water-from-duty",
        "Water per gravel of old practice, from cubic yards washed by a miner's inch in \
    24 h",
        "W = 86400 Q_mi/(0.764555 duty)",
        evaluate!(|duty, inch| [water_per_gravel_from_duty(inch, duty)]),
    )
    .inputs(&[
        needed("duty", "cubic yards a miner's inch washes in 24 h, 1-5 or more", D::Number, "-", (0.1, 50.0)),
        preset("miners_inch", "one miner's inch; ask which", D::Flow, "L/s", (5e-4, 1e-3), MINERS_INCH_40_M3_S),
    ])
    .outputs(&[output("water_per_gravel", "volume of water per volume of gravel", D::WaterPerGravel, "m3/m3")])
    .source("old treatises", Status::Seen),
];

const fn unit_check(
    id: &'static str,
    source: &'static str,
    unit: &'static str,
    published: f64,
    band: Band,
    computed: fn() -> f64,
) -> Check {
    Check::new(id, "figures of practice in SI", computed)
        .against(Kind::Identity, source, Status::Computed)
        .value(published, unit)
        .within(band)
}

/// US gal/min per short ton an hour, m3/kg.
const GPM_PER_SHORT_TON_H: f64 = US_GPM_M3_S * S_PER_H / 907.184_74;

/// Checks.
pub const CHECKS: &[Check] = &[
    unit_check("wash-water-low", "5 gpm per short ton an hour", "m3/t", 1.25, Band::Absolute(0.005), || {
        5_000.0 * GPM_PER_SHORT_TON_H
    }),
    unit_check(
        "wash-water-high",
        "7 gpm per short ton an hour",
        "m3/t",
        1e3 * WASH_WATER.high,
        Band::Absolute(0.005),
        || 7_000.0 * GPM_PER_SHORT_TON_H,
    ),
    unit_check(
        "fines-water-short-ton",
        "50 gpm per short ton an hour",
        "m3/t",
        1e3 * FINES_WATER.high,
        Band::Absolute(0.05),
        || 50_000.0 * GPM_PER_SHORT_TON_H,
    ),
    unit_check("expanded-metal-us", "2400 L/min per metre", "US gpm/ft", 193.0, Band::Absolute(0.5), || {
        EXPANDED_METAL_WATER.usual * FOOT_M / US_GPM_M3_S
    }),
    unit_check("angle-iron-us", "4800 L/min per metre", "US gpm/ft", 387.0, Band::Absolute(1.0), || {
        ANGLE_IRON_WATER.usual * FOOT_M / US_GPM_M3_S
    }),
    unit_check("pilot-loading-low", "100 lb a minute per foot", "t/h/m", 8.9, Band::Absolute(0.05), || {
        3.6 * SLUICE_LOADING.low
    }),
    unit_check("pilot-loading-high", "700 lb a minute per foot", "t/h/m", 62.5, Band::Absolute(0.2), || {
        3.6 * SLUICE_LOADING.high
    }),
    Check::new("small-sluice-miners-inches", "least water over expanded metal", || {
        EXPANDED_METAL_WATER.usual * FOOT_M / MINERS_INCH_40_M3_S
    })
    .against(
        Kind::Published,
        "old practice, apart from the Yukon figure: 15-20 miner's inches for a steep 12 in box",
        Status::Seen,
    )
    .value(17.5, "miner's inch CA")
    .within(Band::Between(15.0, 20.0)),
    Check::new("duty-of-one", "water from duty", || water_per_gravel_from_duty(MINERS_INCH_40_M3_S, 1.0))
        .against(
            Kind::Identity,
            "one yd3 in 24 h by a miner's inch of 1/40 ft3/s is 2160 ft3 on 27 ft3",
            Status::Computed,
        )
        .value(80.0, "-")
        .within(Band::Relative(1e-6)),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("clarkson-solids", || {
            let water = 160.0 * 60.0 * 4.546_09e-3;
            solids_by_volume(0.60 * 8.0 * 0.764_554_9, water)
        }),
        ("sluice-thinning-example", || thinning_water_m3_s(24.0 / 2.65, 0.0835)),
    ];
}

#[cfg(test)]
mod tests {
    use super::super::need::Binding;
    use super::*;

    const DEMAND: SluiceDemand = SluiceDemand {
        width_m: 0.6,
        slope: 1.0 / 6.0,
        manning_n: 0.024,
        per_width_m2_s: 0.040,
        solids_m3_s: 0.0025,
        most_solids: 0.12,
        largest_stone_m: 0.019,
        cover: 1.0,
        shields_critical: 0.047,
        stone_kg_m3: QUARTZ_KG_M3,
        slurry_kg_m3: 1_000.0,
    };

    #[test]
    fn property_each_rule_binds_where_it_should() {
        assert_eq!(sluice_need(&DEMAND).need().binding, Binding::Width);
        let thick = SluiceDemand { solids_m3_s: 0.01, ..DEMAND };
        assert_eq!(sluice_need(&thick).need().binding, Binding::Solids);
        let rocky = SluiceDemand { largest_stone_m: 0.08, ..DEMAND };
        assert_eq!(sluice_need(&rocky).need().binding, Binding::Cover);
        let flat = SluiceDemand { slope: 0.02, largest_stone_m: 0.03, cover: 0.5, ..DEMAND };
        assert_eq!(sluice_need(&flat).need().binding, Binding::Mobility);
        let hopeless = SluiceDemand { slope: 0.01, largest_stone_m: 0.1, ..DEMAND };
        assert!(sluice_need(&hopeless).mobility_m3_s.is_nan());
        assert_eq!(wash_need(16.7, 0.5, 1.5e-3, 12e-3).binding, Binding::Feed);
        assert_eq!(wash_need(16.7, 5.0, 1.5e-3, 12e-3).binding, Binding::Fines);
    }

    #[test]
    fn identity_thinning_water_gives_the_share() {
        assert!((solids_by_volume(0.01, thinning_water_m3_s(0.01, 0.12)) - 0.12).abs() < 1e-15);
    }
}
