//! Checks of the flake and sphericity laws: the laws against each other and against falling metal.

use super::entry::{Origin, clean, row};
use super::flake::{bagheri_m_s, bagheri_shape, oblate_stokes_factor};
use super::model_error::{GrainProportions, gold_flake};
use super::sphericity::{
    drag_ganser, drag_haider_levenspiel, ganser_k1, ganser_k2, nominal_of_volume_m, sphericity_of_cylinder,
};
use super::terminal::{FOLD_REYNOLDS, solve_velocity_m_s};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::INCH_M;
use washgraph_units::math;

/// Fall velocity by Ganser in clean water at 20 °C, m/s.
fn by_ganser(rho_s: f64, dn_m: f64, psi: f64, projected_over_nominal: f64) -> f64 {
    let f = clean(20.0);
    let (k1, k2) = (ganser_k1(psi, projected_over_nominal), ganser_k2(psi));
    let drag = |re| drag_ganser(re, k1, k2);
    solve_velocity_m_s(f.submerged(rho_s), f.g, dn_m, f.nu, drag, FOLD_REYNOLDS)
}

/// Fall velocity by Haider and Levenspiel in clean water at 20 °C, m/s.
fn by_sphericity(rho_s: f64, dn_m: f64, psi: f64) -> f64 {
    let f = clean(20.0);
    let drag = |re| drag_haider_levenspiel(re, psi);
    solve_velocity_m_s(f.submerged(rho_s), f.g, dn_m, f.nu, drag, FOLD_REYNOLDS)
}

/// Flat gold of 17500 kg/m3 at 20 °C by four laws, cm/s; nominal diameter in mm.
///
/// Bagheri-Bonadonna with f = CSF, e = 1, c = 1; Ganser and Haider-Levenspiel with the sphericity of a lens; the disc of equal
/// volume with thickness over diameter = CSF.
#[cfg(test)]
mod flat_gold {
    use super::*;
    use crate::particle::flake::broadside_disc_m_s;
    use crate::particle::natural_grain::dietrich_m_s;
    use crate::particle::sphericity::sphericity_of_oblate;

    const RHO: f64 = 17500.0;

    pub(super) fn bagheri(dn_mm: f64, corey: f64) -> f64 {
        let f = clean(20.0);
        let shape = bagheri_shape(corey, 1.0, 1.0, RHO / f.rho);
        100.0 * bagheri_m_s(f.submerged(RHO), f.g, dn_mm * 1e-3, f.nu, shape)
    }

    pub(super) fn ganser(dn_mm: f64, corey: f64) -> f64 {
        let broad = 1.0 / math::cbrt(corey);
        100.0 * by_ganser(RHO, dn_mm * 1e-3, sphericity_of_oblate(corey), broad)
    }

    pub(super) fn sphericity(dn_mm: f64, corey: f64) -> f64 {
        100.0 * by_sphericity(RHO, dn_mm * 1e-3, sphericity_of_oblate(corey))
    }

    pub(super) fn disc(dn_mm: f64, corey: f64) -> f64 {
        let f = clean(20.0);
        // dn^3 = 1.5 D^2 T
        let diameter_m = dn_mm * 1e-3 / math::cbrt(1.5 * corey);
        100.0 * broadside_disc_m_s(f.submerged(RHO), f.g, diameter_m, corey * diameter_m, f.nu)
    }

    pub(super) fn dietrich(dn_mm: f64, corey: f64) -> f64 {
        let f = clean(20.0);
        100.0 * dietrich_m_s(f.submerged(RHO), f.g, dn_mm * 1e-3, f.nu, corey, 3.5)
    }
}

/// Nominal diameter of a cylinder, m; sizes in inches.
fn cylinder_m(diameter_in: f64, height_in: f64) -> f64 {
    INCH_M * math::cbrt(1.5 * diameter_in * diameter_in * height_in)
}

/// Nominal diameter of a six-sided prism as high as it is wide across flats, m; size in inches.
fn hexagon_m(flats_in: f64) -> f64 {
    let base = 0.5 * 3.0_f64.sqrt() * flats_in * flats_in;
    INCH_M * nominal_of_volume_m(base * flats_in)
}

/// Nominal diameter of the plate 1/4 x 1/4 x 1/16 in, m.
fn plate_m() -> f64 {
    INCH_M * nominal_of_volume_m(1.0 / 256.0)
}

/// Gold law on the steel plate, with the shift of the model error for tumbling flakes, cm/s.
fn plate_with_shift() -> f64 {
    let f = clean(20.0);
    let c = 6.0 / std::f64::consts::PI;
    let w = bagheri_m_s(f.submerged(7820.0), f.g, plate_m(), f.nu, bagheri_shape(0.25, 1.0, c, 7820.0 / f.rho));
    let broadside = w * 0.25 * INCH_M / f.nu;
    100.0 * w * gold_flake(broadside, GrainProportions::Fixed).factor(0.0)
}

const METAL: Origin = (
    Kind::Published,
    "Richardson and Zaki 1954, Trans. Inst. Chem. Eng. 32:35, metal shapes in water at 20 °C, measured",
    Status::Seen,
);
const PLATE: Origin = (
    Kind::PublishedUsedInFit,
    "Richardson and Zaki 1954, falling plate; the one datum behind the shift and spread of tumbling flakes",
    Status::Seen,
);
const THEORY: Origin = (Kind::Identity, "exact Stokes flow past an oblate spheroid", Status::Computed);

/// Checks of the drag of flat and angular grains.
pub const CHECKS: &[Check] = &[
    row(("oblate-stokes-0p1", "Happel-Brenner"), THEORY, 1.8365, "-", Band::Relative(1e-3), || {
        oblate_stokes_factor(0.1)
    }),
    row(("oblate-stokes-0p01", "Happel-Brenner"), THEORY, 3.9401, "-", Band::Relative(1e-3), || {
        oblate_stokes_factor(0.01)
    }),
    row(("oblate-stokes-thin-limit", "Happel-Brenner"), THEORY, 0.8488, "-", Band::Relative(1e-3), || {
        oblate_stokes_factor(1e-4) * math::cbrt(1e-4)
    }),
    row(("metal-steel-ball-ganser", "Ganser 1993"), METAL, 112.7, "cm/s", Band::Relative(0.15), || {
        100.0 * by_ganser(7740.0, 0.25 * INCH_M, 1.0, 1.0)
    }),
    row(
        ("metal-steel-ball-haider-levenspiel", "Haider-Levenspiel 1989"),
        METAL,
        112.7,
        "cm/s",
        Band::Relative(0.15),
        || 100.0 * by_sphericity(7740.0, 0.25 * INCH_M, 1.0),
    ),
    row(("metal-glass-cylinder-ganser", "Ganser 1993"), METAL, 34.1, "cm/s", Band::Relative(0.20), || {
        100.0 * by_ganser(2510.0, cylinder_m(0.25, 0.25), sphericity_of_cylinder(1.0), 1.0)
    }),
    row(
        ("metal-glass-cylinder-haider-levenspiel", "Haider-Levenspiel 1989"),
        METAL,
        34.1,
        "cm/s",
        Band::Relative(0.20),
        || 100.0 * by_sphericity(2510.0, cylinder_m(0.25, 0.25), sphericity_of_cylinder(1.0)),
    ),
    row(("metal-steel-cylinder-ganser", "Ganser 1993"), METAL, 74.4, "cm/s", Band::Relative(0.20), || {
        100.0 * by_ganser(7850.0, cylinder_m(0.25, 0.25), sphericity_of_cylinder(1.0), 1.0)
    }),
    row(
        ("metal-steel-cylinder-haider-levenspiel", "Haider-Levenspiel 1989"),
        METAL,
        74.4,
        "cm/s",
        Band::Relative(0.20),
        || 100.0 * by_sphericity(7850.0, cylinder_m(0.25, 0.25), sphericity_of_cylinder(1.0)),
    ),
    row(("metal-steel-hexagon-ganser", "Ganser 1993"), METAL, 67.5, "cm/s", Band::Relative(0.20), || {
        100.0 * by_ganser(7790.0, hexagon_m(3.0 / 16.0), 0.847, 1.0)
    }),
    row(
        ("metal-steel-hexagon-haider-levenspiel", "Haider-Levenspiel 1989"),
        METAL,
        67.5,
        "cm/s",
        Band::Relative(0.20),
        || 100.0 * by_sphericity(7790.0, hexagon_m(3.0 / 16.0), 0.847),
    ),
    row(("metal-steel-long-cylinder-ganser", "Ganser 1993"), METAL, 66.0, "cm/s", Band::Relative(0.20), || {
        100.0 * by_ganser(7785.0, cylinder_m(0.125, 0.25), sphericity_of_cylinder(2.0), 1.0)
    }),
    row(
        ("metal-steel-long-cylinder-haider-levenspiel", "Haider-Levenspiel 1989"),
        METAL,
        66.0,
        "cm/s",
        Band::Relative(0.20),
        || 100.0 * by_sphericity(7785.0, cylinder_m(0.125, 0.25), sphericity_of_cylinder(2.0)),
    ),
    // Band: two standard deviations of the error stated for tumbling flakes.
    row(
        ("metal-steel-plate-with-tumbling-shift", "Bagheri-Bonadonna 2016 with model error"),
        PLATE,
        64.5,
        "cm/s",
        Band::Between(64.5 * 0.6065, 64.5 * 1.6487),
        plate_with_shift,
    ),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::super::flake::drag_bagheri;
    use super::*;
    use crate::particle::flake::BagheriShape;
    use crate::particle::natural_grain_checks::golden_rows::rms_on_river_sand;
    use crate::particle::shape::{Proportions, intermediate_square_mesh_m, nominal_m};
    use washgraph_units::constants::QUARTZ_KG_M3;

    /// River sand as flatness 0.7, elongation 0.75, c 1 (nominal 1.13 times the sieve size), m/s; sieve size in mm.
    fn river_sand_by_bagheri(d_mm: f64) -> f64 {
        let f = clean(20.0);
        let ellipsoid = Proportions { elongation: 0.75, volume_coefficient: 1.0 };
        let dn_m = nominal_m(intermediate_square_mesh_m(d_mm * 1e-3, 0.7), 0.7, ellipsoid);
        let shape = bagheri_shape(0.7, 0.75, 1.0, QUARTZ_KG_M3 / f.rho);
        bagheri_m_s(f.submerged(QUARTZ_KG_M3), f.g, dn_m, f.nu, shape)
    }

    fn sphere_like() -> BagheriShape {
        bagheri_shape(1.0, 1.0, 1.0, 2.65)
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("drag-ganser-sphere-re-100", || drag_ganser(100.0, ganser_k1(1.0, 1.0), ganser_k2(1.0))),
        ("drag-bagheri-bonadonna-sphere-re-100", || drag_bagheri(100.0, sphere_like())),
        ("bagheri-bonadonna-k-s", || bagheri_shape(0.1, 1.0, 1.0, 17.0).k_s),
        ("bagheri-bonadonna-k-n", || bagheri_shape(0.1, 1.0, 1.0, 17.0).k_n),
        ("settling-river-sand-rms-bagheri", || rms_on_river_sand(river_sand_by_bagheri)),
        ("flake-bagheri-0p1mm-csf-0p05", || flat_gold::bagheri(0.1, 0.05)),
        ("flake-ganser-0p1mm-csf-0p05", || flat_gold::ganser(0.1, 0.05)),
        ("flake-sphericity-0p1mm-csf-0p05", || flat_gold::sphericity(0.1, 0.05)),
        ("flake-disc-0p1mm-csf-0p05", || flat_gold::disc(0.1, 0.05)),
        ("flake-bagheri-0p1mm-csf-0p1", || flat_gold::bagheri(0.1, 0.1)),
        ("flake-disc-0p1mm-csf-0p1", || flat_gold::disc(0.1, 0.1)),
        ("flake-bagheri-0p1mm-csf-0p2", || flat_gold::bagheri(0.1, 0.2)),
        ("flake-ganser-0p1mm-csf-0p2", || flat_gold::ganser(0.1, 0.2)),
        ("flake-sphericity-0p1mm-csf-0p2", || flat_gold::sphericity(0.1, 0.2)),
        ("flake-disc-0p1mm-csf-0p2", || flat_gold::disc(0.1, 0.2)),
        ("flake-dietrich-0p1mm-csf-0p2", || flat_gold::dietrich(0.1, 0.2)),
        ("flake-bagheri-0p5mm-csf-0p2", || flat_gold::bagheri(0.5, 0.2)),
        ("flake-ganser-0p5mm-csf-0p2", || flat_gold::ganser(0.5, 0.2)),
        ("flake-sphericity-0p5mm-csf-0p2", || flat_gold::sphericity(0.5, 0.2)),
        ("flake-disc-0p5mm-csf-0p2", || flat_gold::disc(0.5, 0.2)),
        ("flake-dietrich-0p5mm-csf-0p2", || flat_gold::dietrich(0.5, 0.2)),
        ("flake-bagheri-0p5mm-csf-0p5", || flat_gold::bagheri(0.5, 0.5)),
        ("flake-ganser-0p5mm-csf-0p5", || flat_gold::ganser(0.5, 0.5)),
        ("flake-sphericity-0p5mm-csf-0p5", || flat_gold::sphericity(0.5, 0.5)),
        ("flake-disc-0p5mm-csf-0p5", || flat_gold::disc(0.5, 0.5)),
        ("flake-bagheri-1mm-csf-0p3", || flat_gold::bagheri(1.0, 0.3)),
        ("flake-disc-1mm-csf-0p3", || flat_gold::disc(1.0, 0.3)),
        ("flake-bagheri-2mm-csf-0p2", || flat_gold::bagheri(2.0, 0.2)),
        ("flake-ganser-2mm-csf-0p2", || flat_gold::ganser(2.0, 0.2)),
        ("flake-sphericity-2mm-csf-0p2", || flat_gold::sphericity(2.0, 0.2)),
        ("flake-disc-2mm-csf-0p2", || flat_gold::disc(2.0, 0.2)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::particle::sphericity::sphericity_of_oblate;

    #[test]
    fn property_flake_law_agrees_with_the_broadside_disc() {
        for k in 0..=16 {
            let dn_mm = 0.05 * math::pow(40.0, f64::from(k) / 16.0);
            for corey in [0.05, 0.1, 0.15, 0.2, 0.25, 0.3] {
                let ratio = flat_gold::bagheri(dn_mm, corey) / flat_gold::disc(dn_mm, corey);
                assert!((ratio - 1.0).abs() < 0.20, "{dn_mm} {corey} {ratio}");
            }
        }
    }

    #[test]
    fn identity_slow_thin_disc_at_random_against_exact_stokes_theory() {
        // k_S is a mean over orientations. A disc of radius a drags 16 mu a w broadside and 32/3 mu a w edgewise; the mean
        // mobility gives 12 mu a w, three quarters of broadside. The correlation comes within 15 %.
        for phi in [0.05, 0.1] {
            let k_s = bagheri_shape(phi, 1.0, 1.0, 17.0).k_s;
            let at_random = 0.75 * oblate_stokes_factor(phi);
            assert!((k_s / at_random - 1.0).abs() < 0.15, "{phi} {k_s} {at_random}");
        }
    }

    #[test]
    fn identity_sphericities_of_known_bodies() {
        assert!((sphericity_of_cylinder(1.0) - 0.874).abs() < 5e-4);
        assert!((sphericity_of_cylinder(2.0) - 0.832).abs() < 5e-4);
        assert!((sphericity_of_oblate(0.9999) - 1.0).abs() < 1e-6);
        assert!((by_ganser(7740.0, 0.25 * INCH_M, 1.0, 1.0) / 1.127 - 1.02).abs() < 0.01);
    }

    #[test]
    fn published_ratios_to_the_falling_metal() {
        let ratios = [
            by_ganser(2510.0, cylinder_m(0.25, 0.25), 0.874, 1.0) / 0.341,
            by_ganser(7850.0, cylinder_m(0.25, 0.25), 0.874, 1.0) / 0.744,
            by_ganser(7790.0, hexagon_m(3.0 / 16.0), 0.847, 1.0) / 0.675,
            by_ganser(7785.0, cylinder_m(0.125, 0.25), 0.832, 1.0) / 0.66,
            by_ganser(7820.0, plate_m(), 0.64, 1.0) / 0.645,
            by_sphericity(7820.0, plate_m(), 0.64) / 0.645,
        ];
        for (ratio, noted) in ratios.iter().zip([1.14, 1.08, 1.00, 0.91, 0.69, 0.67]) {
            assert!((ratio - noted).abs() < 0.015, "{ratio} {noted} of {ratios:?}");
        }
    }
}
