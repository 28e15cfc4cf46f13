//! Bank and loose volumes, pans to the yard, boulders, raw and fine gold.

use std::f64::consts::PI;
use washgraph_units::constants::{CUBIC_YARD_M3, GOLD_KG_M3, INCH_M, SILVER_KG_M3};

use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{Evidence, POSITIVE, input, output, result, row, share};
use washgraph_units::quantity::Dimension;

/// Loose volume of gravel: V_loose = V_bank (1 + s). s = swell, share by which the volume grows when dug, > -1.
pub fn loose_from_bank(bank_m3: f64, swell: f64) -> f64 {
    bank_m3 * (1.0 + swell)
}

/// Bank volume of gravel: V_bank = V_loose/(1 + s); 1/(1+s) is the load factor.
pub fn bank_from_loose(loose_m3: f64, swell: f64) -> f64 {
    loose_m3 / (1.0 + swell)
}

/// Grade per loose volume from grade per bank volume: divided by 1 + s. kg/m3.
pub fn grade_loose_from_bank(bank_kg_m3: f64, swell: f64) -> f64 {
    bank_kg_m3 / (1.0 + swell)
}

/// Struck pans of loose gravel to a BANK volume: N = (V_bank/V_pan)(1 + s).
///
/// V_pan = struck volume of the pan. Source: definition. The old rule of 180 pans to the bank yard does not agree with a
/// swell of 20 to 25 % and a 16 in pan: ask for pan and swell.
pub fn pans_per_bank(bank_m3: f64, pan_m3: f64, swell: f64) -> f64 {
    bank_m3 / pan_m3 * (1.0 + swell)
}

/// Struck volume of a pan with straight sides, m3: V = (pi h/12)(D^2 + D d + d^2), D top, d bottom, h depth, m. Geometry.
pub fn pan_volume_m3(top_m: f64, bottom_m: f64, depth_m: f64) -> f64 {
    PI * depth_m / 12.0 * (top_m * top_m + top_m * bottom_m + bottom_m * bottom_m)
}

/// Bank grade when the sample left the boulders out: grade (1 - boulder share of the bank volume).
///
/// Samples cut without boulders read high (Wells 1969); the formula is ours.
pub fn grade_with_boulders(sample_grade_kg_m3: f64, boulder_volume_share: f64) -> f64 {
    sample_grade_kg_m3 * (1.0 - boulder_volume_share)
}

/// Density of a gold-silver alloy, kg/m3: 1/rho = F/19,300 + (1-F)/10,490. F = fineness as a share, rest silver.
///
/// Source: volumes of the metals added (standard). Placer gold with hollows, quartz or iron coats is lighter.
pub fn alloy_density(fineness: f64) -> f64 {
    1.0 / (fineness / GOLD_KG_M3 + (1.0 - fineness) / SILVER_KG_M3)
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "bank-and-loose",
        "Loose volume and grade of gravel from its volume and grade in the bank",
        "loose = bank (1+s); load factor = 1/(1+s); grade loose = grade bank/(1+s)",
        |x| vec![loose_from_bank(x[0], x[1]), bank_from_loose(1.0, x[1]), grade_loose_from_bank(x[2], x[1])],
    )
    .inputs(&[
        input("bank", "volume in the bank", Dimension::Volume, "yd3", POSITIVE, Some(CUBIC_YARD_M3)),
        share("swell", "growth of the volume when dug", Some(0.18)),
        input("grade_bank", "gold per bank volume", Dimension::Grade, "mg/m3", POSITIVE, Some(0.0)),
    ])
    .outputs(&[
        output("loose", "loose volume", Dimension::Volume, "yd3"),
        result("load_factor", "bank over loose"),
        output("grade_loose", "gold per loose volume", Dimension::Grade, "mg/m3"),
    ])
    .source("definition of swell", Status::CommonPractice)
    .limits("swell of sand and gravel 8 to 30 %: measure it"),
    Formula::new(
        "pans-per-yard",
        "Pans to a bank yard, and what gold per pan means per volume of bank",
        "pans = (V_yard/V_pan)(1+s); grade = gold per pan x pans/V_yard",
        |x| {
            let pans = pans_per_bank(CUBIC_YARD_M3, x[0], x[1]);
            vec![pans, x[2] * pans / CUBIC_YARD_M3]
        },
    )
    .inputs(&[
        input("pan", "struck volume of the pan", Dimension::Volume, "L", POSITIVE, None),
        share("swell", "growth of the volume when dug", Some(0.18)),
        input("gold_per_pan", "gold per pan", Dimension::Mass, "mg", POSITIVE, Some(1e-6)),
    ])
    .outputs(&[
        result("pans", "pans to the bank yard"),
        output("grade_bank", "gold per bank volume", Dimension::Grade, "mg/yd3"),
    ])
    .source("definition", Status::CommonPractice)
    .limits("heaped or wet-packed pans hold more"),
    Formula::new("pan-volume", "Struck volume of a pan with straight sides", "V = (pi h/12)(D^2 + D d + d^2)", |x| {
        vec![pan_volume_m3(x[0], x[1], x[2])]
    })
    .inputs(&[
        input("top", "diameter at the rim", Dimension::Length, "in", POSITIVE, None),
        input("bottom", "diameter of the bottom", Dimension::Length, "in", POSITIVE, None),
        input("depth", "depth", Dimension::Length, "in", POSITIVE, None),
    ])
    .outputs(&[output("volume", "struck volume", Dimension::Volume, "L")])
    .source("geometry", Status::Computed)
    .limits("riffles and rounded corners are left out"),
    Formula::new(
        "grade-with-boulders",
        "Bank grade when the sample left the boulders out",
        "grade = sample grade (1 - boulder share)",
        |x| vec![grade_with_boulders(x[0], x[1])],
    )
    .inputs(&[
        input("sample_grade", "grade of the sample without boulders, bank", Dimension::Grade, "mg/m3", POSITIVE, None),
        share("boulder_share", "boulders by volume of the bank", None),
    ])
    .outputs(&[output("grade", "grade of the bank", Dimension::Grade, "mg/m3")])
    .source("the trap: Wells 1969, BLM Technical Bulletin 4; the formula is ours", Status::Assumed)
    .limits("boulders without gold"),
    Formula::new(
        "placer-gold-density",
        "Density of placer gold from its fineness",
        "1/rho = F/19.3 + (1-F)/10.49",
        |x| vec![alloy_density(x[0])],
    )
    .inputs(&[share("fineness", "gold by mass, e.g. 0.85 for 850 fine", None)])
    .outputs(&[output("density", "density of the alloy", Dimension::Density, "g/cm3")])
    .source("volumes of gold and silver added", Status::Computed)
    .limits("rest silver; hollows, quartz and iron coats lower it"),
];

const TB4_PAN: Evidence = (
    Kind::Published,
    "Wells 1969, BLM Technical Bulletin 4: pan 16 in top, 10 in bottom, 2 1/2 in deep holds 336 in3; band 1 %: whole inches",
    Status::Seen,
);
const TB4_FACTOR: Evidence = (
    Kind::Published,
    "Wells 1969, BLM Technical Bulletin 4: 150 to 200 pans to the bank yard, often 180, swell 20-25 % (here 22.5 %)",
    Status::Seen,
);
/// Cubic inch, m3. Source: International Yard and Pound Agreement 1959 (0.0254 m cubed, exact).
const CUBIC_INCH_M3: f64 = INCH_M * INCH_M * INCH_M;
const TB4_PAN_M3: f64 = 336.0 * CUBIC_INCH_M3;

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row("tb4-pan-volume", "pan as a frustum", TB4_PAN, (336.0, "in3"), Band::Relative(0.01), || {
        pan_volume_m3(16.0 * INCH_M, 10.0 * INCH_M, 2.5 * INCH_M) / CUBIC_INCH_M3
    }),
    row("tb4-pan-factor", "pans to the bank yard", TB4_FACTOR, (180.0, "-"), Band::Between(150.0, 200.0), || {
        pans_per_bank(CUBIC_YARD_M3, TB4_PAN_M3, 0.225)
    }),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;
    use washgraph_units::constants::TROY_OUNCE_KG;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("pans-per-loose-yard", || pans_per_bank(CUBIC_YARD_M3, TB4_PAN_M3, 0.0)),
        ("ounce-per-yard", || TROY_OUNCE_KG * 1e3 / CUBIC_YARD_M3),
        ("alloy-850-fine", || alloy_density(0.85) * 1e-3),
    ];
}
