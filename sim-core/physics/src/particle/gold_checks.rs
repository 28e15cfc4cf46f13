//! Checks of the gold law and of the step from sieve size to nominal diameter.

use super::entry::{Origin, row};
use super::shape::{default_corey, intermediate_square_mesh_m};
use washgraph_units::check::{Band, Check, Kind, Status};

const GEOMETRY: Origin = (Kind::Identity, "geometry of the square mesh", Status::Computed);
const PRIOR: Origin = (Kind::Identity, "the assumed points of the prior", Status::Assumed);

/// Checks of the gold law.
pub const CHECKS: &[Check] = &[
    row(
        ("mesh-intermediate-thin", "square mesh"),
        GEOMETRY,
        std::f64::consts::SQRT_2,
        "-",
        Band::Relative(1e-3),
        || intermediate_square_mesh_m(1.0, 1e-6),
    ),
    row(("mesh-intermediate-round", "square mesh"), GEOMETRY, 1.0, "-", Band::Relative(1e-3), || {
        intermediate_square_mesh_m(1.0, 1.0)
    }),
    row(("default-corey-0p05mm", "shape prior"), PRIOR, 0.3, "-", Band::Absolute(1e-12), || default_corey(0.05e-3)),
    row(("default-corey-0p17mm", "shape prior"), PRIOR, 0.25, "-", Band::Absolute(1e-12), || default_corey(0.17e-3)),
    row(("default-corey-0p5mm", "shape prior"), PRIOR, 0.3, "-", Band::Absolute(1e-12), || default_corey(0.5e-3)),
    row(("default-corey-5mm", "shape prior"), PRIOR, 0.35, "-", Band::Absolute(1e-12), || default_corey(5.0e-3)),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::super::entry::clean;
    use super::super::gold::GoldSettling;
    use super::super::gold::gold_velocity_exact;
    use super::super::shape::Proportions;
    use super::super::shape::axes_from_sieve;

    /// Nominal over sieve size at e 0.75.
    fn nominal_over_sieve(corey: f64, c: f64) -> f64 {
        let proportions = Proportions { elongation: 0.75, volume_coefficient: c };
        axes_from_sieve(1.0, corey, proportions).nominal_m
    }

    /// Default gold law in clean water; sieve size in mm.
    fn gold(a_mm: f64, corey: f64, rho: f64, t_c: f64, e: f64, c: f64) -> GoldSettling {
        let f = clean(t_c);
        let proportions = Proportions { elongation: e, volume_coefficient: c };
        gold_velocity_exact(a_mm * 1e-3, corey, rho, proportions, f.rho, f.nu, f.g)
    }

    /// Geometric mean of two sieves, mm.
    pub(super) fn between(passing_mm: f64, retaining_mm: f64) -> f64 {
        (passing_mm * retaining_mm).sqrt()
    }

    /// 17000 kg/m3, e 0.75, c 1.25, cm/s.
    pub(super) fn cm_s(a_mm: f64, corey: f64, t_c: f64) -> f64 {
        100.0 * gold(a_mm, corey, 17000.0, t_c, 0.75, 1.25).w_m_s
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("nominal-over-sieve-csf-0p2-c-1", || nominal_over_sieve(0.2, 1.0)),
        ("nominal-over-sieve-csf-0p05-c-1p25", || nominal_over_sieve(0.05, 1.25)),
        ("nominal-over-sieve-csf-0p2-c-1p25", || nominal_over_sieve(0.2, 1.25)),
        ("nominal-over-sieve-csf-0p5-c-1p5", || nominal_over_sieve(0.5, 1.5)),
        ("nominal-over-sieve-csf-0p7-c-1p25", || nominal_over_sieve(0.7, 1.25)),
        ("gold-settling-minus-40-plus-50-mesh", || 0.01 * cm_s(between(0.425, 0.300), 0.2, 10.0)),
        ("gold-settling-4p75-2mm-csf-0p05", || cm_s(between(4.75, 2.0), 0.05, 10.0)),
        ("gold-settling-4p75-2mm-csf-0p7", || cm_s(between(4.75, 2.0), 0.7, 10.0)),
        ("gold-settling-2-0p85mm-csf-0p3", || cm_s(between(2.0, 0.85), 0.3, 10.0)),
        ("gold-settling-0p85-0p6mm-csf-0p2", || cm_s(between(0.85, 0.6), 0.2, 10.0)),
        ("gold-settling-0p6-0p425mm-csf-0p1", || cm_s(between(0.6, 0.425), 0.1, 10.0)),
        ("gold-settling-0p3-0p212mm-csf-0p5", || cm_s(between(0.3, 0.212), 0.5, 10.0)),
        ("gold-settling-0p15-0p106mm-csf-0p2", || cm_s(between(0.15, 0.106), 0.2, 10.0)),
        ("gold-settling-0p106-0p075mm-csf-0p7", || cm_s(between(0.106, 0.075), 0.7, 10.0)),
        ("gold-settling-0p075-0p053mm-csf-0p1", || cm_s(between(0.075, 0.053), 0.1, 10.0)),
        ("gold-settling-0p053-0p038mm-csf-0p05", || cm_s(between(0.053, 0.038), 0.05, 10.0)),
        ("gold-settling-0p053-0p038mm-csf-0p7", || cm_s(between(0.053, 0.038), 0.7, 10.0)),
        ("gold-settling-0p357mm-csf-0p2-20c", || cm_s(0.357, 0.2, 20.0)),
        ("gold-settling-0p126mm-csf-0p1-20c", || cm_s(0.126, 0.1, 20.0)),
        ("gold-settling-0p063mm-csf-0p1-20c", || cm_s(0.063, 0.1, 20.0)),
        ("gold-settling-sensitivity-c-1", || 100.0 * gold(0.357, 0.2, 17000.0, 10.0, 0.75, 1.0).w_m_s),
        ("gold-settling-sensitivity-c-1p5", || 100.0 * gold(0.357, 0.2, 17000.0, 10.0, 0.75, 1.5).w_m_s),
        ("gold-settling-sensitivity-e-0p6", || 100.0 * gold(0.357, 0.2, 17000.0, 10.0, 0.6, 1.25).w_m_s),
        ("gold-settling-sensitivity-e-0p9", || 100.0 * gold(0.357, 0.2, 17000.0, 10.0, 0.9, 1.25).w_m_s),
        ("gold-settling-sensitivity-rho-16000", || 100.0 * gold(0.357, 0.2, 16000.0, 10.0, 0.75, 1.25).w_m_s),
        ("gold-settling-sensitivity-rho-19300", || 100.0 * gold(0.357, 0.2, 19300.0, 10.0, 0.75, 1.25).w_m_s),
        ("gold-settling-sensitivity-0c", || 100.0 * gold(0.357, 0.2, 17000.0, 0.0, 0.75, 1.25).w_m_s),
        ("gold-nominal-worked-example", || 1e3 * gold(0.357, 0.2, 17000.0, 10.0, 0.75, 1.25).nominal_m),
        ("gold-reynolds-worked-example", || gold(0.357, 0.2, 17000.0, 10.0, 0.75, 1.25).reynolds),
    ];
}

#[cfg(test)]
mod tests {
    use super::super::shape::Proportions;
    use super::super::shape::axes_from_sieve;
    use super::golden_rows::{between, cm_s};
    use super::*;
    use crate::particle::shape::{axes_from_round_hole, corey_from_nominal_over_sieve, sieve_from_nominal_m};
    use proptest::prelude::*;

    #[test]
    fn pinned_whole_gold_table() {
        // Sieve pair mm; w in cm/s at CSF 0.05, 0.1, 0.2, 0.3, 0.5, 0.7; 17000 kg/m3, 10 °C.
        const COREY: [f64; 6] = [0.05, 0.1, 0.2, 0.3, 0.5, 0.7];
        const TABLE: [((f64, f64), [f64; 6]); 11] = [
            ((4.75, 2.0), [23.93, 34.49, 50.76, 64.32, 87.84, 109.95]),
            ((2.0, 0.850), [15.76, 23.28, 34.71, 44.07, 59.79, 73.62]),
            ((0.850, 0.600), [10.41, 15.86, 24.12, 30.74, 41.26, 49.62]),
            ((0.600, 0.425), [7.80, 12.07, 18.57, 23.71, 31.63, 37.56]),
            ((0.425, 0.300), [5.66, 8.88, 13.80, 17.66, 23.42, 27.49]),
            ((0.300, 0.212), [3.96, 6.32, 9.92, 12.71, 16.77, 19.45]),
            ((0.212, 0.150), [2.67, 4.34, 6.89, 8.85, 11.60, 13.26]),
            ((0.150, 0.106), [1.71, 2.85, 4.59, 5.91, 7.69, 8.64]),
            ((0.106, 0.075), [1.04, 1.77, 2.90, 3.75, 4.84, 5.33]),
            ((0.075, 0.053), [0.59, 1.04, 1.74, 2.25, 2.87, 3.10]),
            ((0.053, 0.038), [0.33, 0.59, 0.99, 1.29, 1.63, 1.73]),
        ];
        for ((passing, retaining), row) in TABLE {
            for (corey, noted) in COREY.into_iter().zip(row) {
                let w = cm_s(between(passing, retaining), corey, 10.0);
                let allowed = (1.5e-3 * noted).max(6e-3);
                assert!((w - noted).abs() < allowed, "{passing} {corey}: {w} {noted}");
            }
        }
    }

    proptest! {
        #[test]
        fn property_sieve_to_nominal_and_back(a in 1e-5f64..0.1, corey in 0.02f64..1.0, e in 0.5f64..1.0, c in 1.0f64..1.9) {
            let p = Proportions { elongation: e, volume_coefficient: c };
            let axes = axes_from_sieve(a, corey, p);
            prop_assert!((sieve_from_nominal_m(axes.nominal_m, corey, p) / a - 1.0).abs() < 1e-12);
            // A round hole of the same width passes the same grain or less.
            prop_assert!(axes_from_round_hole(a, corey, p).nominal_m <= axes.nominal_m * (1.0 + 1e-12));
            if corey < (0.5 * e).sqrt() {
                let back = corey_from_nominal_over_sieve(axes.nominal_m / a, p).unwrap();
                prop_assert!((back - corey).abs() < 1e-7, "{} {}", back, corey);
            }
        }
    }

    #[test]
    fn property_shape_prior_is_smooth_and_within_its_points() {
        assert!(corey_from_nominal_over_sieve(1.5, Proportions::default()).is_none());
        let mut last = default_corey(0.05e-3);
        for k in 1..=4000 {
            let d = 0.05e-3 * washgraph_units::math::pow(60.0, f64::from(k) / 4000.0);
            let here = default_corey(d);
            assert!((here - last).abs() < 2e-4 && (0.25..=0.35).contains(&here));
            last = here;
        }
    }
}
