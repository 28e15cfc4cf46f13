//! Sizes and counts read off a vector of class masses.

use std::sync::LazyLock;
use washgraph_units::constants::QUARTZ_KG_M3;

use super::entry::{input, output, row};
use super::grid::{GOLD_CLASSES, SOLID_CLASSES, SizeClass, gold_classes, solid_classes};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

static SOLID_LN_EDGES: LazyLock<[f64; SOLID_CLASSES + 1]> = LazyLock::new(|| ln_edges(solid_classes()));
static GOLD_LN_EDGES: LazyLock<[f64; GOLD_CLASSES + 1]> = LazyLock::new(|| ln_edges(gold_classes()));

fn ln_edges<const N: usize>(classes: &[SizeClass]) -> [f64; N] {
    std::array::from_fn(|i| {
        let edge_m = if i == 0 { classes[0].finite_from_m() } else { classes[i - 1].finite_to_m() };
        math::ln(edge_m)
    })
}

/// Size D_p that a share p of the mass is finer than, m, for masses by class of solids.
///
/// Within a class the mass is spread evenly over the logarithm of the size, so that D_p moves without steps as masses
/// change (linear in mass, log in size). The open classes end at the assumed sizes of
/// [`SizeClass::finite_from_m`] and [`SizeClass::finite_to_m`]. p = 0 and 1 give the ends of the filled classes. Only
/// the proportions matter. NaN when there is no mass or p lies outside 0..1. Common practice, no source.
pub fn solid_percentile_size_m(masses: &[f64; SOLID_CLASSES], p: f64) -> f64 {
    percentile(SOLID_LN_EDGES.as_slice(), masses, p)
}

/// As [`solid_percentile_size_m`], on a cumulative curve without corners at the class edges.
///
/// Between two edges the cumulative mass is a monotone cubic of the logarithm of size; its slope at an edge is the weighted
/// harmonic mean of the densities of the two classes that meet there (Fritsch & Butland 1984, from memory), and zero beside
/// an empty class. A law that takes D_98 to a high power then has no corner where D_98 passes from one class to the next.
/// NaN as there.
pub fn solid_smooth_percentile_size_m(masses: &[f64; SOLID_CLASSES], p: f64) -> f64 {
    smooth_percentile(SOLID_LN_EDGES.as_slice(), masses, p)
}

/// Size D_p that a share p of the mass is finer than, m, for masses by class of gold. See [`solid_percentile_size_m`].
pub fn gold_percentile_size_m(masses: &[f64; GOLD_CLASSES], p: f64) -> f64 {
    percentile(GOLD_LN_EDGES.as_slice(), masses, p)
}

fn percentile(ln_edges: &[f64], masses: &[f64], p: f64) -> f64 {
    let total: f64 = masses.iter().sum();
    if !(total > 0.0 && (0.0..=1.0).contains(&p)) {
        return f64::NAN;
    }
    let wanted = p * total;
    let mut below = 0.0;
    let mut top = f64::NAN;
    for (i, &mass) in masses.iter().enumerate() {
        if !(mass > 0.0) {
            continue;
        }
        let (lo, hi) = (ln_edges[i], ln_edges[i + 1]);
        if below + mass >= wanted {
            return math::exp(lo + (hi - lo) * ((wanted - below) / mass));
        }
        below += mass;
        top = hi;
    }
    // Rounding of the running sum at p = 1.
    math::exp(top)
}

fn smooth_percentile(ln_edges: &[f64], masses: &[f64], p: f64) -> f64 {
    let total: f64 = masses.iter().sum();
    if !(total > 0.0 && (0.0..=1.0).contains(&p)) {
        return f64::NAN;
    }
    let wanted = p * total;
    let mut below = 0.0;
    let mut last = 0;
    for (i, &mass) in masses.iter().enumerate() {
        if !(mass > 0.0) {
            continue;
        }
        last = i;
        if below + mass >= wanted {
            let width = ln_edges[i + 1] - ln_edges[i];
            let here = mass / width;
            let slope_at = |edge: usize| {
                if edge == 0 || edge == masses.len() {
                    return 0.5 * here;
                }
                let (w0, w1) = (ln_edges[edge] - ln_edges[edge - 1], ln_edges[edge + 1] - ln_edges[edge]);
                edge_slope(masses[edge - 1] / w0, masses[edge] / w1, w0, w1)
            };
            let t = cubic_share((wanted - below) / mass, slope_at(i) / here, slope_at(i + 1) / here);
            return math::exp(ln_edges[i] + width * t);
        }
        below += mass;
    }
    // Rounding of the running sum at p = 1.
    math::exp(ln_edges[last + 1])
}

/// Slope of the cumulative curve where two classes meet: weighted harmonic mean of their densities.
fn edge_slope(before: f64, after: f64, w0: f64, w1: f64) -> f64 {
    if !(before > 0.0 && after > 0.0) {
        return 0.0;
    }
    let (a, b) = (2.0 * w1 + w0, w1 + 2.0 * w0);
    (a + b) / (a / before + b / after)
}

/// Where in 0..1 a monotone cubic from 0 to 1 with the slopes s0 and s1 at its ends reaches a value.
fn cubic_share(value: f64, s0: f64, s1: f64) -> f64 {
    let at = |t: f64| t * (s0 + t * (3.0 - 2.0 * s0 - s1 + t * (s0 + s1 - 2.0)));
    let (mut low, mut high) = (0.0, 1.0);
    let mut t = value;
    for _ in 0..60 {
        let miss = at(t) - value;
        if miss > 0.0 {
            high = t;
        } else {
            low = t;
        }
        let slope = s0 + t * (2.0 * (3.0 - 2.0 * s0 - s1) + 3.0 * t * (s0 + s1 - 2.0));
        let mut next = if slope > 0.0 { t - miss / slope } else { 0.5 * (low + high) };
        if !(next > low && next < high) {
            next = 0.5 * (low + high);
        }
        if (next - t).abs() < 1e-13 {
            return next;
        }
        t = next;
    }
    t
}

/// Volume coefficient of a sphere, pi/6: mass = kappa rho d^3.
pub const SPHERE_VOLUME: f64 = std::f64::consts::PI / 6.0;

/// Number of grains in a mass that is spread evenly over the logarithm of size between two sieves.
///
/// N = m (a^-3 - b^-3)/(3 kappa rho ln(b/a))
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | m | mass of the class | kg | >= 0 |
/// | a, b | retaining and passing size | m | 0 < a <= b |
/// | rho | grain density | kg/m3 | > 0 |
/// | kappa | mass of a grain over rho d^3; sphere pi/6 | - | > 0 |
///
/// Source: derived (mean of d^-3 under a log-uniform mass). The geometric mean size would give 4.5 % fewer over one
/// step of R20/3. At b = a it is m/(kappa rho a^3).
pub fn particles_in_class(mass_kg: f64, a_m: f64, b_m: f64, rho_kg_m3: f64, kappa: f64) -> f64 {
    let ln_ratio = math::ln(b_m / a_m);
    // (1 - e^(-3 l))/(3 l) tends to 1 as l -> 0.
    let narrowing = if ln_ratio.abs() < 1e-12 { 1.0 } else { -math::expm1(-3.0 * ln_ratio) / (3.0 * ln_ratio) };
    mass_kg * narrowing / (kappa * rho_kg_m3 * a_m * a_m * a_m)
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "particles-in-class",
    "Number of grains in a mass between two sieves",
    "N = m (a^-3 - b^-3)/(3 kappa rho ln(b/a))",
    |x| vec![particles_in_class(x[0], x[1], x[2], x[3], x[4])],
)
.inputs(&[
    input("mass", "mass of the class", Dimension::Mass, "g", (0.0, 1e9), None),
    input("retaining_size", "opening that retains the class", Dimension::SieveSize, "mm", (1e-6, 1.0), None),
    input("passing_size", "opening that passes the class", Dimension::SieveSize, "mm", (1e-6, 1.0), None),
    input("density", "grain density", Dimension::Density, "kg/m3", (500.0, 23000.0), Some(QUARTZ_KG_M3)),
    input(
        "volume_coefficient",
        "grain volume over the cube of its size; sphere 0.5236",
        Dimension::Number,
        "-",
        (0.01, 1.0),
        Some(SPHERE_VOLUME),
    ),
])
.outputs(&[output("count", "number of grains", Dimension::Number, "-")])
.source("derived: mass spread evenly over the logarithm of size", Status::Computed)];

/// Checks of this file.
pub const CHECKS: &[Check] = &[row(
    ("particles-in-one-gram-gold-spheres", "log-uniform class"),
    (Kind::Identity, "1 g of spheres of 17.5 g/cm3 at 0.25-0.355 mm, worked apart", Status::Computed),
    4321.0,
    "-",
    Band::Absolute(1.0),
    || particles_in_class(1e-3, 0.25e-3, 0.355e-3, 17500.0, SPHERE_VOLUME),
)];

#[cfg(test)]
mod tests {
    use super::*;
    use washgraph_units::constants::QUARTZ_KG_M3;

    #[test]
    fn property_the_smooth_percentile_has_no_corner_at_a_class_edge() {
        // Mass of one class grows from nothing: D_98 passes the edge below it.
        let at = |more: f64| {
            let mut masses = [0.0; SOLID_CLASSES];
            masses[10] = 1.0;
            masses[11] = 0.8;
            masses[12] = more;
            (solid_percentile_size_m(&masses, 0.98), solid_smooth_percentile_size_m(&masses, 0.98))
        };
        // Where the plain one has its corner: more = 0.02/0.98 x 1.8.
        let corner = 0.02 / 0.98 * 1.8;
        let bend = |pick: fn((f64, f64)) -> f64| {
            let d = 0.01 * corner;
            let (before, here, after) = (pick(at(corner - d)), pick(at(corner)), pick(at(corner + d)));
            ((after - here) / (here - before) - 1.0).abs()
        };
        assert!(bend(|x| x.0) > 0.3 && bend(|x| x.1) < 0.1, "{} {}", bend(|x| x.0), bend(|x| x.1));
        let (plain, smooth) = at(0.2);
        assert!((smooth / plain - 1.0).abs() < 0.1);
        // Percentiles rise with p and end with the filled classes.
        let mut masses = [1.0; SOLID_CLASSES];
        masses[3] = 0.0;
        let mut last = 0.0;
        for k in 0..=100 {
            let d = solid_smooth_percentile_size_m(&masses, f64::from(k) / 100.0);
            assert!(d >= last);
            last = d;
        }
        assert!((last / solid_percentile_size_m(&masses, 1.0) - 1.0).abs() < 1e-9);
    }

    use approx::assert_relative_eq;

    #[test]
    fn identity_percentile_of_one_class_is_log_linear() {
        let mut masses = [0.0; SOLID_CLASSES];
        masses[10] = 3.0;
        assert_relative_eq!(solid_percentile_size_m(&masses, 0.0), 1.0e-3);
        assert_relative_eq!(solid_percentile_size_m(&masses, 1.0), 1.4e-3, max_relative = 1e-14);
        let middle = solid_classes()[10].middle_m;
        assert_relative_eq!(solid_percentile_size_m(&masses, 0.5), middle, max_relative = 1e-14);
        assert!(solid_percentile_size_m(&[0.0; SOLID_CLASSES], 0.5).is_nan());
        assert!(solid_percentile_size_m(&masses, 1.5).is_nan());
    }

    #[test]
    fn property_percentile_rises_with_p_and_moves_without_steps() {
        let masses: [f64; GOLD_CLASSES] = std::array::from_fn(|i| 1.0 + (i % 5) as f64);
        let mut last = 0.0;
        for k in 0..=1000 {
            let d = gold_percentile_size_m(&masses, f64::from(k) / 1000.0);
            assert!(d > last && d < last.max(1e-5) * 1.2);
            last = d;
        }
    }

    #[test]
    fn identity_count_in_a_narrow_class() {
        let wide = particles_in_class(1.0, 1e-3, 1e-3 * (1.0 + 1e-9), QUARTZ_KG_M3, SPHERE_VOLUME);
        let one = particles_in_class(1.0, 1e-3, 1e-3, QUARTZ_KG_M3, SPHERE_VOLUME);
        assert_relative_eq!(wide, one, max_relative = 1e-8);
        assert_relative_eq!(one, 1.0 / (SPHERE_VOLUME * QUARTZ_KG_M3 * 1e-9), max_relative = 1e-12);
    }
}
