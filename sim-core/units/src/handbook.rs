//! Converters as handbook entries, and the checks of the unit table.

use crate::check::{Band, Check, Kind, Status};
use crate::constants::{FOOT_M, TROY_OUNCE_KG};
use crate::formula::{Formula, Symbol};
use crate::quantity::{self as mesh, Dimension as D, convert_to, parse};

/// International yard, m. Source: International Yard and Pound Agreement 1959 (exact).
const YARD_M: f64 = 0.9144;

/// Flow of a number of miner's inches.
///
/// Q = n ft3/N
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | n | miner's inches | - | >= 0 |
/// | N | miner's inches in one cubic foot per second | 1/(ft3/s) | 30-60 |
/// | Q | flow | m3/s | |
///
/// Source: state statutes as collected in water-right tables: N = 40 (AZ CA MT NV OR), 50 (ID KS NE NM ND SD UT),
/// 38.4 (CO), 1/0.028 = 35.714 (BC). Older texts use other heads and openings; nothing is refused here.
pub fn miners_inch_flow_m3_s(miners_inches: f64, inches_per_ft3_s: f64) -> f64 {
    miners_inches * FOOT_M * FOOT_M * FOOT_M / inches_per_ft3_s
}

/// Gold grade in SI from troy ounces per cubic yard.
///
/// g = n m_ozt / V_yd, with n in ozt/yd3, m_ozt = 0.0311034768 kg, V_yd = 0.764554857984 m3; g in kg/m3. Exact by definition
/// of the yard and the pound (1959). Loose stays loose and bank stays bank.
pub fn grade_from_troy_ounces_kg_m3(ozt_per_yd3: f64) -> f64 {
    ozt_per_yd3 * TROY_OUNCE_KG / (YARD_M * YARD_M * YARD_M)
}

const fn number(name: &'static str, meaning: &'static str, range: (f64, f64)) -> Symbol {
    Symbol::new(name, meaning, D::Number, "-").valid(range)
}

const OPENING: Symbol =
    Symbol::new("opening", "nominal opening of the square mesh", D::Length, "mm").valid((0.0, f64::INFINITY));

fn input(values: &[f64], place: usize) -> f64 {
    values.get(place).copied().unwrap_or(f64::NAN)
}

/// Handbook entries.
const FORMULAS: &[Formula] = &[
    Formula::new("mesh-us-opening", "opening of a US sieve number", "table of ASTM E11", |x| {
        vec![mesh::us_number_mm(input(x, 0)).map_or(f64::NAN, |mm| mm / 1000.0)]
    })
    .inputs(&[number("number", "US sieve number, 3.5 to 635", (3.5, 635.0))])
    .outputs(&[OPENING])
    .source("ASTM E11 nominal openings", Status::Seen)
    .limits(
        "Numbers that the standard does not have give no answer. Cloth may differ from \
    the nominal opening by 3 % (coarse) to 5.5 % (75 um).",
    ),
    Formula::new(
        "mesh-tyler-opening",
        "opening of the US sieve that stands for a Tyler mesh today",
        "table: Tyler mesh against US sieve",
        |x| vec![mesh::tyler_mesh_mm(input(x, 0)).map_or(f64::NAN, |mm| mm / 1000.0)],
    )
    .inputs(&[number("mesh", "Tyler mesh, 3 to 400", (3.0, 400.0))])
    .outputs(&[OPENING])
    .source("correspondence of the Tyler and US series", Status::Memory)
    .limits(
        "The original Tyler openings differ from these by up to 3 %. Meshes that the \
    series does not have give no answer.",
    ),
    Formula::new(
        "grade-from-troy-ounces",
        "gold grade in metric units from troy ounces per cubic yard",
        "g = n * 0.0311034768 kg / 0.764554857984 m3",
        |x| vec![grade_from_troy_ounces_kg_m3(input(x, 0))],
    )
    .inputs(&[number("ounces_per_yard", "troy ounces per cubic yard", (0.0, f64::INFINITY))])
    .outputs(&[Symbol::new("grade", "gold per volume, loose or bank as the yard was", D::Grade, "g/m3")
        .valid((0.0, f64::INFINITY))])
    .source("International Yard and Pound Agreement 1959 (exact)", Status::Computed),
    Formula::new("miners-inch-flow", "flow of a number of miner's inches", "Q = n / N cubic feet per second", |x| {
        vec![miners_inch_flow_m3_s(input(x, 0), input(x, 1))]
    })
    .inputs(&[
        number("inches", "number of miner's inches", (0.0, f64::INFINITY)),
        number(
            "inches_per_cfs",
            "miner's inches in 1 ft3/s: 40 (AZ CA MT NV OR), 50 (ID KS NE NM ND SD UT), \
    38.4 (CO), 35.714 (BC)",
            (30.0, 60.0),
        ),
    ])
    .outputs(&[Symbol::new("flow", "flow of water", D::Flow, "L/s").valid((0.0, f64::INFINITY))])
    .source("state statutes as collected in water-right tables", Status::Seen)
    .limits("Always ask which miner's inch is meant."),
];

/// SI value of a text; NaN when it is refused.
fn si(text: &str, dimension: D) -> f64 {
    parse(text, dimension).map_or(f64::NAN, |p| p.si)
}

/// Value of a text in another unit.
fn as_unit(text: &str, dimension: D, unit: &str) -> f64 {
    convert_to(si(text, dimension), dimension, unit).unwrap_or(f64::NAN)
}

/// A factor printed to seven figures in NIST SP 811.
const fn nist(id: &'static str, published: f64, unit: &'static str, computed: fn() -> f64) -> Check {
    Check::new(id, "unit table", computed)
        .against(Kind::Published, "NIST Special Publication 811 (2008), appendix B.8", Status::Memory)
        .value(published, unit)
        .within(Band::Relative(1e-6))
}

const fn miners(id: &'static str, published: f64, unit: &'static str, half_digit: f64, computed: fn() -> f64) -> Check {
    Check::new(id, "unit table: miner's inch", computed)
        .against(Kind::Published, "water-right tables of the states", Status::Seen)
        .value(published, unit)
        .within(Band::Absolute(half_digit))
}

const fn unit_identity(
    id: &'static str,
    published: f64,
    unit: &'static str,
    band: Band,
    computed: fn() -> f64,
) -> Check {
    Check::new(id, "unit table", computed)
        .against(Kind::Identity, "definitions of the units", Status::Computed)
        .value(published, unit)
        .within(band)
}

/// Checks.
const CHECKS: &[Check] = &[
    miners("unit-miners-inch-co-gpm", 11.69, "US gpm", 0.005, || as_unit("1 miner's inch CO", D::Flow, "US gpm")),
    miners("unit-miners-inch-co-l-s", 0.737, "L/s", 0.0005, || as_unit("1 miner's inch CO", D::Flow, "L/s")),
    miners("unit-miners-inch-bc-gpm", 12.57, "US gpm", 0.005, || as_unit("1 miner's inch BC", D::Flow, "US gpm")),
    miners("unit-miners-inch-bc-l-s", 0.793, "L/s", 0.0005, || as_unit("1 miner's inch BC", D::Flow, "L/s")),
    nist("unit-psi", 6.894_757e3, "Pa", || si("1 psi", D::Pressure)),
    nist("unit-us-gpm", 6.309_020e-5, "m3/s", || si("1 US gpm", D::Flow)),
    nist("unit-cubic-yard", 7.645_549e-1, "m3", || si("1 yd3", D::Volume)),
    nist("unit-imperial-gallon", 4.546_09e-3, "m3", || si("1 imp gal", D::Volume)),
    nist("unit-foot-of-water", 2.989_067e3, "Pa", || si("1 ft of water", D::Pressure)),
    nist("unit-horsepower", 7.456_999e2, "W", || si("1 hp", D::Power)),
    nist("unit-pound-force-foot", 1.355_818, "N m", || si("1 lbf ft", D::Torque)),
    nist("unit-pound-per-cubic-foot", 1.601_846e1, "kg/m3", || si("1 lb/ft3", D::Density)),
    nist("unit-troy-ounce", 3.110_348e-2, "kg", || si("1 ozt", D::Mass)),
    nist("unit-short-ton-per-hour", 2.519_958e-1, "kg/s", || si("1 short ton/h", D::MassRate)),
    unit_identity("unit-troy-ounce-per-cubic-yard", 40.6818, "g/m3", Band::Absolute(1e-4), || {
        as_unit("1 ozt/yd3", D::Grade, "g/m3")
    }),
    unit_identity("unit-solids-100-lb-min-ft", 8.93, "t/h/m", Band::Relative(0.005), || {
        as_unit("100 lb/min/ft", D::SolidsPerWidth, "t/h/m")
    }),
    unit_identity("unit-water-2400-l-min-m-us", 193.0, "US gpm/ft", Band::Relative(0.01), || {
        as_unit("2400 L/min per m", D::FlowPerWidth, "US gpm/ft")
    }),
    unit_identity("unit-water-2400-l-min-m-imp", 161.0, "imp gpm/ft", Band::Relative(0.01), || {
        as_unit("2400 L/min per m", D::FlowPerWidth, "imp gpm/ft")
    }),
    unit_identity("unit-us-gal-per-cubic-yard", 4.9511e-3, "m3/m3", Band::Relative(1e-5), || {
        si("1 US gal/yd3", D::WaterPerGravel)
    }),
];

/// Handbook entries on quantities.
pub fn formulas() -> Vec<&'static Formula> {
    FORMULAS.iter().collect()
}

/// Published-value checks of quantities.
pub fn checks() -> Vec<&'static Check> {
    CHECKS.iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_and_identity_checks_pass() {
        for check in CHECKS {
            let computed = (check.computed)();
            assert!(check.passes(computed), "{}: published {}, computed {computed}", check.id, check.published);
        }
    }

    #[test]
    fn identity_calculators_agree_with_the_table() {
        let miners = miners_inch_flow_m3_s(7.0, 38.4);
        assert!((miners / si("7 miner's inch CO", D::Flow) - 1.0).abs() < 1e-14);
        let grade = grade_from_troy_ounces_kg_m3(2.0);
        assert!((grade / si("2 ozt/yd3", D::Grade) - 1.0).abs() < 1e-14);
    }
}
