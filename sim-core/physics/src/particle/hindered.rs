//! Grains in a crowd fall slower: w_h = w (1 - C)^n.
//!
//! Re is on the free fall velocity of the single grain. Codes that work with the slip between grain and water use n - 1:
//! do not mix. For a sparse dense grain in slurry use the mixture density in R and the total C here (a rule of thumb: it
//! may count buoyancy twice).

use super::entry::{VELOCITY, input, output, row};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Exponent n by Rowe: the default for spheres [-].
///
/// n = 2.35 (2 + 0.175 Re^0.75)/(1 + 0.175 Re^0.75)
///
/// Source: Rowe 1987, Chem. Eng. Sci. 42:2795. Smooth from 4.70 (slow) to 2.35 (fast); within 4 % of the n measured by
/// Richardson and Zaki in wide vessels. Re 2e-4 to 7e3.
pub fn exponent_rowe(re: f64) -> f64 {
    let x = 0.175 * math::pow(re, 0.75);
    2.35 * (2.0 + x) / (1.0 + x)
}

/// Exponent n by Richardson and Zaki, in pieces, with grain over vessel diameter d/D (0 in a pond) [-].
///
/// Re < 0.2: 4.65 + 19.5 d/D; to 1: (4.35 + 17.5 d/D) Re^-0.03; to 200: (4.45 + 18 d/D) Re^-0.1; to 500: 4.45 Re^-0.1; above
/// 2.39
///
/// Source: Richardson and Zaki 1954, Trans. Inst. Chem. Eng. 32:35. Has small steps between the pieces.
pub fn exponent_richardson_zaki(re: f64, grain_over_vessel: f64) -> f64 {
    if re < 0.2 {
        4.65 + 19.5 * grain_over_vessel
    } else if re < 1.0 {
        (4.35 + 17.5 * grain_over_vessel) * math::pow(re, -0.03)
    } else if re < 200.0 {
        (4.45 + 18.0 * grain_over_vessel) * math::pow(re, -0.1)
    } else if re < 500.0 {
        4.45 * math::pow(re, -0.1)
    } else {
        2.39
    }
}

/// Exponent n by Garside and Al-Dibouni, n = (5.1 + 0.27 Re^0.9)/(1 + 0.1 Re^0.9) [-]: an upper alternative.
///
/// Source: Garside and Al-Dibouni 1977, Ind. Eng. Chem. Process Des. Dev. 16:206. 10 to 17 % above the n measured by
/// Richardson and Zaki.
pub fn exponent_garside(re: f64) -> f64 {
    let x = math::pow(re, 0.9);
    (5.1 + 0.27 * x) / (1.0 + 0.1 * x)
}

/// Exponent n of non-spherical grains in fast fall, n = 2.7 [(pi/6)(dn/dp)^3]^0.16 [-]; dp is the diameter of the circle of
/// the area seen from above at rest. Flakes have a lower n. Source: Richardson and Zaki 1954.
pub fn exponent_nonspherical(nominal_over_projected: f64) -> f64 {
    let k = std::f64::consts::PI / 6.0 * nominal_over_projected * nominal_over_projected * nominal_over_projected;
    2.7 * math::pow(k, 0.16)
}

/// What natural sand adds to the exponent of spheres [-].
// Source: set so that sand at C = 0.4 falls at 0.7 of the sphere prediction (0.6^0.70 = 0.70), which Baldock et al. 2004
// measured (abstract seen).
pub const SAND_EXTRA_EXPONENT: f64 = 0.70;

/// Exponent n of natural sand: Rowe's plus [`SAND_EXTRA_EXPONENT`] [-].
pub fn exponent_sand(re: f64) -> f64 {
    exponent_rowe(re) + SAND_EXTRA_EXPONENT
}

/// Factor (1 - C)^n on the fall velocity [-]; C share of grains by volume, 0 to about 0.5. 0 at C >= 1.
pub fn hindrance(concentration: f64, n: f64) -> f64 {
    if concentration >= 1.0 {
        return 0.0;
    }
    math::exp(n * math::ln_1p(-concentration))
}

const RE: Symbol =
    input("reynolds", "Reynolds number of the single grain, w d/nu", Dimension::Number, "-", (2e-4, 7e3), None);
const N: Symbol = output("exponent", "exponent n of (1 - C)^n", Dimension::Number, "-");

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "hindered-exponent-rowe",
        "Exponent of hindered settling, smooth",
        "n = 2.35 (2 + 0.175 Re^0.75)/(1 + 0.175 Re^0.75)",
        |x| vec![exponent_rowe(x[0])],
    )
    .inputs(&[RE])
    .outputs(&[N])
    .source("Rowe 1987, Chem. Eng. Sci. 42:2795", Status::Seen)
    .limits("spheres; natural sand about 0.7 more"),
    Formula::new("hindered-exponent-sand", "Exponent of hindered settling of natural sand", "n = n_Rowe + 0.70", |x| {
        vec![exponent_sand(x[0])]
    })
    .inputs(&[RE])
    .outputs(&[N])
    .source("Rowe 1987, raised to the measurements of Baldock et al. 2004", Status::Computed),
    Formula::new(
        "hindered-exponent-richardson-zaki",
        "Exponent of hindered settling, in pieces",
        "n = 4.65 + 19.5 d/D (Re < 0.2); (4.35 + 17.5 d/D) Re^-0.03 (< 1); (4.45 + 18 \
    d/D) Re^-0.1 (< 200); 4.45 Re^-0.1 (< 500); 2.39",
        |x| vec![exponent_richardson_zaki(x[0], x[1])],
    )
    .inputs(&[
        RE,
        input(
            "grain_over_vessel",
            "grain over vessel diameter; 0 in open water",
            Dimension::Number,
            "-",
            (0.0, 0.04),
            Some(0.0),
        ),
    ])
    .outputs(&[N])
    .source("Richardson and Zaki 1954, Trans. Inst. Chem. Eng. 32:35", Status::Seen)
    .limits("spheres; small steps between the pieces"),
    Formula::new(
        "hindered-exponent-garside",
        "Exponent of hindered settling, upper alternative",
        "n = (5.1 + 0.27 Re^0.9)/(1 + 0.1 Re^0.9)",
        |x| vec![exponent_garside(x[0])],
    )
    .inputs(&[RE])
    .outputs(&[N])
    .source("Garside and Al-Dibouni 1977, Ind. Eng. Chem. Process Des. Dev. 16:206", Status::Seen)
    .limits("10 to 17 % above measured n"),
    Formula::new(
        "hindered-exponent-nonspherical",
        "Exponent of hindered settling of non-spherical grains in fast fall",
        "n = 2.7 [(pi/6)(dn/dp)^3]^0.16",
        |x| vec![exponent_nonspherical(x[0])],
    )
    .inputs(&[input(
        "nominal_over_projected",
        "nominal diameter over that of the circle of the area seen from above at rest",
        Dimension::Number,
        "-",
        (0.1, 1.2),
        None,
    )])
    .outputs(&[N])
    .source("Richardson and Zaki 1954, Trans. Inst. Chem. Eng. 32:35", Status::Seen)
    .limits("turbulent fall only"),
    Formula::new("hindered-settling", "Fall velocity in a crowd", "w_h = w (1 - C)^n", |x| {
        vec![x[0] * hindrance(x[1], x[2])]
    })
    .inputs(&[
        input("free_velocity", "fall velocity of a single grain", Dimension::Velocity, "m/s", (0.0, 10.0), None),
        input("concentration", "share of grains by volume", Dimension::Fraction, "-", (0.0, 0.5), None),
        input("exponent", "exponent n", Dimension::Number, "-", (2.0, 6.0), None),
    ])
    .outputs(&[VELOCITY])
    .source("Richardson and Zaki 1954, Trans. Inst. Chem. Eng. 32:35", Status::Seen),
];

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row(
        ("hindered-n-re-2p02", "Rowe 1987"),
        (Kind::Published, "Richardson and Zaki 1954, table VI, n measured at Re 2.02, d/D -> 0", Status::Seen),
        4.17,
        "-",
        Band::Relative(0.03),
        || exponent_rowe(2.02),
    ),
    row(
        ("hindered-sand-at-0p4", "Rowe 1987 + 0.70"),
        (Kind::PublishedUsedInFit, "Baldock et al. 2004, natural sand over sphere prediction at C = 0.4", Status::Seen),
        0.7,
        "-",
        Band::Absolute(0.005),
        || hindrance(0.4, exponent_sand(10.0)) / hindrance(0.4, exponent_rowe(10.0)),
    ),
    row(
        ("hindered-none-when-alone", "Richardson-Zaki"),
        (Kind::Identity, "C = 0", Status::Computed),
        1.0,
        "-",
        Band::Absolute(0.0),
        || hindrance(0.0, 4.65),
    ),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[("hindered-rowe-slow-limit", || exponent_rowe(1e-6))];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_smooth_exponent_follows_the_pieces() {
        for re in [0.01, 0.5, 3.0, 50.0, 300.0, 2000.0] {
            let pieces = exponent_richardson_zaki(re, 0.0);
            assert!((exponent_rowe(re) / pieces - 1.0).abs() < 0.08, "{re}");
            let upper = exponent_garside(re) / exponent_rowe(re);
            assert!(upper > 1.05 && upper < 1.2, "{re} {upper}");
        }
        assert_eq!(hindrance(1.0, 3.0), 0.0);
        assert!((hindrance(1e-12, 4.65) - 1.0).abs() < 1e-11);
        // Below half speed already at C = 0.15 (Baldock et al. 2004).
        assert!(hindrance(0.15, exponent_sand(1.0)) < 0.5);
    }
}
