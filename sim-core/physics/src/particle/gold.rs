//! The gold law of the whole plant: sieve size to nominal diameter, then Bagheri-Bonadonna, never faster than the sphere.
//!
//! ```text
//! sieve size A, CSF ──> f ──> I, S, dn (square mesh) ──> Q = (4/3) R g dn^3/nu^2
//!                        │                                   │
//!                        └──> k_S, k_N ──> Q k_N/k_S^2 ──table──> Re (flat grain) ──┐
//!                                          Q ──────────────table──> Re (sphere) ────┴─ smaller ──> w = Re nu/dn
//! ```
//! No measured gold velocity stands behind this law: the tables of the tests on manufactured gold flakes could not be
//! obtained. See [`super::model_error`] for how far to trust it.

use std::f64::consts::{LN_2, LN_10};
use std::sync::LazyLock;

use super::entry::{
    COREY, ELONGATION, FLUID_DENSITY, GOLD_DENSITY, GRAVITY, KINEMATIC_VISCOSITY, SIEVE, TEMPERATURE,
    VOLUME_COEFFICIENT, output, surroundings,
};
use super::flake::{bagheri_exponents, bagheri_m_s, bagheri_reduced_drag, bagheri_shape};
use super::log_table::LogTable;
use super::shape::{Proportions, axes_from_sieve, flatness};
use super::sphere::{cheng_2009_m_s, drag_cheng_2009};
use super::water::WaterState;
use washgraph_units::check::Status;
use washgraph_units::constants::STANDARD_GRAVITY_M_S2;
use washgraph_units::formula::Formula;
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// How one class of gold falls, and its sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GoldSettling {
    /// Terminal fall velocity of a single grain, m/s.
    pub w_m_s: f64,
    /// Nominal diameter dn, m.
    pub nominal_m: f64,
    /// Intermediate axis I, m: what a round hole must let through.
    pub intermediate_m: f64,
    /// Thickness (short axis) S, m: what a slot must let through.
    pub thickness_m: f64,
    /// Reynolds number w dn/nu [-].
    pub reynolds: f64,
    /// Reynolds number on the broadside diameter sqrt(L I) [-]; above about 100 flakes flutter and tumble.
    pub reynolds_broadside: f64,
}

/// Tables of the two settling laws, built once per run and shared by all trials and threads.
#[derive(Debug, Clone, PartialEq)]
pub struct SettlingTable {
    /// ln x against ln of the reduced group of Bagheri-Bonadonna.
    flat: LogTable,
    /// ln Re against ln Q of the sphere.
    sphere: LogTable,
}

impl Default for SettlingTable {
    fn default() -> Self {
        SettlingTable::new()
    }
}

impl SettlingTable {
    /// Both tables. Deterministic; built once in the life of the program, a few milliseconds. Differs from the exact solution by
    /// less than 1e-6 relative.
    pub fn new() -> SettlingTable {
        static BUILT: LazyLock<SettlingTable> = LazyLock::new(|| SettlingTable {
            flat: LogTable::new(bagheri_reduced_drag),
            sphere: LogTable::new(drag_cheng_2009),
        });
        BUILT.clone()
    }

    /// Fall velocity and sizes of gold of a sieve size (m), Corey factor and density [kg/m3] in some water, with the default
    /// elongation and volume coefficient and standard gravity. Inside a trial prefer one [`SettlingTable::gold_law`] for all classes.
    pub fn gold_velocity(&self, sieve_m: f64, corey: f64, rho_g_kg_m3: f64, water: &WaterState) -> GoldSettling {
        self.gold_law(rho_g_kg_m3, water, Proportions::default()).settle(sieve_m, corey)
    }

    /// Prepares the gold law for one density, water and grain proportions: what all classes of a trial share.
    ///
    /// Velocities are NaN when the gold is not denser than the water.
    pub fn gold_law(&self, rho_g_kg_m3: f64, water: &WaterState, proportions: Proportions) -> GoldLaw<'_> {
        let nu = water.kinematic_viscosity_m2_s();
        let ratio = rho_g_kg_m3 / water.density_kg_m3;
        let (alpha, beta) = bagheri_exponents(ratio);
        let ln_c = math::ln(proportions.volume_coefficient);
        let ln_e = math::ln(proportions.elongation);
        let weight = 4.0 / 3.0 * (ratio - 1.0) * STANDARD_GRAVITY_M_S2 / (nu * nu);
        GoldLaw {
            table: self,
            elongation: proportions.elongation,
            root_elongation: proportions.elongation.sqrt(),
            ln_c_over_e_third: (ln_c - ln_e) / 3.0,
            c_over_e_root: math::exp((ln_c - ln_e) / 3.0),
            form_s_root: math::exp((1.3 * ln_e + ln_c) / 3.0),
            ln_form_n: ln_e + ln_c,
            ln10_alpha: LN_10 * alpha,
            beta,
            ln_weight: math::ln(weight),
            nu,
        }
    }

    /// Fall velocity of a sphere of diameter d (m) and density [kg/m3] by Cheng 2009, m/s, from the table.
    pub fn sphere_velocity_m_s(&self, d_m: f64, rho_s_kg_m3: f64, water: &WaterState) -> f64 {
        let nu = water.kinematic_viscosity_m2_s();
        let r = rho_s_kg_m3 / water.density_kg_m3 - 1.0;
        let q = super::terminal::driving_group(r, STANDARD_GRAVITY_M_S2, d_m, nu);
        math::exp(self.sphere.ln_reynolds(math::ln(q))) * nu / d_m
    }
}

/// The part of the gold law that the water does not change: sizes of a grain, and the logarithms that the law takes of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrainForm {
    /// Intermediate axis I, m.
    pub intermediate_m: f64,
    /// Nominal diameter dn, m.
    pub nominal_m: f64,
    /// Thickness (short axis) S, m.
    pub thickness_m: f64,
    /// ln dn.
    ln_nominal: f64,
    /// ln of the Stokes shape factor k_S.
    ln_k_s: f64,
    /// ln(-log10 F_N); minus infinity where F_N is 1 or more.
    ln_flatness: f64,
}

/// The gold law of one trial. Everything is kept in logarithms, because powers are the dear part of the law.
#[derive(Debug, Clone)]
pub struct GoldLaw<'a> {
    table: &'a SettlingTable,
    elongation: f64,
    root_elongation: f64,
    /// ln(c/e)/3, the part of ln dn that no class changes.
    ln_c_over_e_third: f64,
    /// (c/e)^(1/3), so that dn = I (c/e)^(1/3) f^(1/3).
    c_over_e_root: f64,
    /// (e^1.3 c)^(1/3), the part of F_S^(1/3) without f.
    form_s_root: f64,
    /// ln(e c), the part of ln F_N without f^2.
    ln_form_n: f64,
    ln10_alpha: f64,
    beta: f64,
    /// ln((4/3) R g/nu^2).
    ln_weight: f64,
    nu: f64,
}

impl GoldLaw<'_> {
    /// Fall velocity and sizes of gold of a sieve size (m) and Corey factor [-].
    #[inline]
    pub fn settle(&self, sieve_m: f64, corey: f64) -> GoldSettling {
        self.settle_ln(sieve_m, math::ln(sieve_m), corey)
    }

    /// As [`GoldLaw::settle`], with ln of the sieve size given (the classes of the grid never change).
    #[inline]
    pub fn settle_ln(&self, sieve_m: f64, ln_sieve: f64, corey: f64) -> GoldSettling {
        self.fall(&self.form(sieve_m, ln_sieve, corey))
    }

    /// What a grain's sizes alone decide; the same in any water, so that dirty water needs only [`GoldLaw::fall`] again.
    #[inline]
    pub fn form(&self, sieve_m: f64, ln_sieve: f64, corey: f64) -> GrainForm {
        let f = (corey / self.root_elongation).min(1.0);
        let bulge = 1.0 + f * f;
        let ln_f = math::ln(f);
        // One cube root serves both F_S and dn.
        let root_f = math::exp(ln_f / 3.0);
        let root_s = root_f * self.form_s_root;
        let ln_form_n = 2.0 * ln_f + self.ln_form_n;
        let intermediate_m = sieve_m * (2.0 / bulge).sqrt();
        GrainForm {
            intermediate_m,
            nominal_m: intermediate_m * root_f * self.c_over_e_root,
            thickness_m: f * intermediate_m,
            // dn = A sqrt(2/(1 + f^2)) (c f/e)^(1/3)
            ln_nominal: ln_sieve + 0.5 * (LN_2 - math::ln(bulge)) + ln_f / 3.0 + self.ln_c_over_e_third,
            ln_k_s: math::ln(0.5 * (root_s + 1.0 / root_s)),
            ln_flatness: if ln_form_n < 0.0 { math::ln(-ln_form_n / LN_10) } else { f64::NEG_INFINITY },
        }
    }

    /// Fall velocity of a grain whose form is known.
    #[inline]
    pub fn fall(&self, form: &GrainForm) -> GoldSettling {
        // -log10 F_N to the power beta
        let ln_k_n = self.ln10_alpha * math::exp(self.beta * form.ln_flatness);
        let ln_q = self.ln_weight + 3.0 * form.ln_nominal;
        let ln_x = self.table.flat.ln_reynolds(ln_q + ln_k_n - 2.0 * form.ln_k_s);
        let ln_re_flat = ln_x + form.ln_k_s - ln_k_n;
        let ln_re_sphere = self.table.sphere.ln_reynolds(ln_q);
        // Written so that a NaN stays one.
        let ln_re = if ln_re_sphere < ln_re_flat { ln_re_sphere } else { ln_re_flat };
        let reynolds = math::exp(ln_re);
        let w_m_s = reynolds * self.nu / form.nominal_m;
        // sqrt(L I) = I/sqrt(e)
        let reynolds_broadside = w_m_s * form.intermediate_m / (self.root_elongation * self.nu);
        GoldSettling {
            w_m_s,
            nominal_m: form.nominal_m,
            intermediate_m: form.intermediate_m,
            thickness_m: form.thickness_m,
            reynolds,
            reynolds_broadside,
        }
    }

    /// Elongation that the law was prepared with [-].
    pub fn elongation(&self) -> f64 {
        self.elongation
    }
}

/// The gold law solved exactly, for the handbook and as the oracle of the tables; R from the density ratio, g and nu free.
pub fn gold_velocity_exact(
    sieve_m: f64,
    corey: f64,
    rho_g_kg_m3: f64,
    proportions: Proportions,
    rho_kg_m3: f64,
    nu_m2_s: f64,
    g_m_s2: f64,
) -> GoldSettling {
    let (e, c) = (proportions.elongation, proportions.volume_coefficient);
    let ratio = rho_g_kg_m3 / rho_kg_m3;
    let axes = axes_from_sieve(sieve_m, corey, proportions);
    let shape = bagheri_shape(flatness(corey, e), e, c, ratio);
    let dn = axes.nominal_m;
    let flat = bagheri_m_s(ratio - 1.0, g_m_s2, dn, nu_m2_s, shape);
    let sphere = cheng_2009_m_s(ratio - 1.0, g_m_s2, dn, nu_m2_s);
    let w_m_s = if sphere < flat { sphere } else { flat };
    GoldSettling {
        w_m_s,
        nominal_m: dn,
        intermediate_m: axes.intermediate_m,
        thickness_m: axes.short_m,
        reynolds: w_m_s * dn / nu_m2_s,
        reynolds_broadside: w_m_s * (axes.long_m * axes.intermediate_m).sqrt() / nu_m2_s,
    }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "settling-gold",
    "Fall velocity of gold of a sieve size and flatness: the law of the whole plant",
    "sieve size -> dn (see nominal-diameter) -> Bagheri-Bonadonna, at most the \
    sphere of Cheng 2009 at dn",
    |x| {
        let s = surroundings(x, 5);
        let proportions = Proportions { elongation: x[3], volume_coefficient: x[4] };
        let gold = gold_velocity_exact(x[0], x[1], x[2], proportions, s.rho, s.nu, s.g);
        vec![gold.w_m_s, gold.nominal_m, gold.intermediate_m, gold.thickness_m, gold.reynolds, gold.reynolds_broadside]
    },
)
.inputs(&[
    SIEVE,
    COREY,
    GOLD_DENSITY,
    ELONGATION,
    VOLUME_COEFFICIENT,
    TEMPERATURE,
    FLUID_DENSITY,
    KINEMATIC_VISCOSITY,
    GRAVITY,
])
.outputs(&[
    super::entry::VELOCITY,
    output("nominal_diameter", "diameter of the sphere of equal volume", Dimension::Length, "mm"),
    output("intermediate_axis", "intermediate axis", Dimension::Length, "mm"),
    output("thickness", "short axis", Dimension::Length, "mm"),
    output("reynolds", "Reynolds number on the nominal diameter", Dimension::Number, "-"),
    output("reynolds_broadside", "Reynolds number on the broadside diameter", Dimension::Number, "-"),
])
.source(
    "Bagheri and Bonadonna 2016, Powder Technol. 301:526; cap Cheng 2009, Powder \
    Technol. 189:395; sieve to nominal derived",
    Status::Seen,
)
.limits(
    "no measured gold velocity stands behind it: spread 16 % for fine flakes, 25 % \
    for coarse ones that tumble",
)];

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use washgraph_units::constants::QUARTZ_KG_M3;

    static TABLE: LazyLock<SettlingTable> = LazyLock::new(SettlingTable::new);

    fn close(a: f64, b: f64, rel: f64) -> bool {
        (a / b - 1.0).abs() < rel
    }

    proptest! {
        #[test]
        fn identity_fast_path_is_the_exact_law(
            ln_a in math::ln(1e-5)..math::ln(0.16), corey in 0.03f64..1.0, e in 0.5f64..1.0, c in 1.0f64..1.9,
            rho in 4000.0f64..19500.0, t in 0.0f64..30.0, fines in 0.0f64..300.0,
        ) {
            let water = WaterState::muddy(t, fines, QUARTZ_KG_M3, 1.5);
            let p = Proportions { elongation: e, volume_coefficient: c };
            let a = math::exp(ln_a);
            let fast = TABLE.gold_law(rho, &water, p).settle(a, corey);
            let exact = gold_velocity_exact(
                a, corey, rho, p, water.density_kg_m3, water.kinematic_viscosity_m2_s(), STANDARD_GRAVITY_M_S2,
            );
            prop_assert!(close(fast.w_m_s, exact.w_m_s, 1e-6), "{} {}", fast.w_m_s, exact.w_m_s);
            prop_assert!(close(fast.nominal_m, exact.nominal_m, 1e-12));
            prop_assert!(close(fast.intermediate_m, exact.intermediate_m, 1e-12));
            prop_assert!(close(fast.thickness_m, exact.thickness_m, 1e-12));
            prop_assert!(close(fast.reynolds, exact.reynolds, 1e-6));
            prop_assert!(close(fast.reynolds_broadside, exact.reynolds_broadside, 1e-6));
        }

        #[test]
        fn property_bigger_and_denser_gold_falls_faster_and_never_faster_than_a_sphere(
            ln_a in math::ln(1e-5)..math::ln(0.1), corey in 0.03f64..0.86, rho in 8000.0f64..19000.0, t in 0.0f64..30.0,
        ) {
            let water = WaterState::clean(t);
            let a = math::exp(ln_a);
            let w = |a, corey, rho| TABLE.gold_velocity(a, corey, rho, &water).w_m_s;
            let here = TABLE.gold_velocity(a, corey, rho, &water);
            prop_assert!(w(a * 1.01, corey, rho) > here.w_m_s);
            prop_assert!(w(a, corey, rho * 1.01) > here.w_m_s);
            let sphere = TABLE.sphere_velocity_m_s(here.nominal_m, rho, &water);
            prop_assert!(here.w_m_s <= sphere * (1.0 + 1e-9));
            // Chunkier at the same nominal diameter.
            let p = Proportions::default();
            let same = super::super::shape::sieve_from_nominal_m(here.nominal_m, corey * 1.005, p);
            prop_assert!(w(same, corey * 1.005, rho) >= here.w_m_s * (1.0 - 1e-9));
        }
    }

    #[test]
    fn property_light_or_nonsense_gold_gives_nan_and_no_panic() {
        let water = WaterState::clean(10.0);
        assert!(TABLE.gold_velocity(1e-3, 0.3, 900.0, &water).w_m_s.is_nan());
        assert!(TABLE.gold_velocity(f64::NAN, 0.3, 17000.0, &water).w_m_s.is_nan());
        assert!(TABLE.gold_velocity(1e-3, -0.3, 17000.0, &water).w_m_s.is_nan());
    }

    #[test]
    fn property_warmth_helps_fine_gold_and_slightly_slows_coarse() {
        let w = |a, t| TABLE.gold_velocity(a, 0.3, 17000.0, &WaterState::clean(t)).w_m_s;
        assert!(w(0.1e-3, 20.0) > 1.2 * w(0.1e-3, 0.0));
        let coarse = w(5e-3, 20.0) / w(5e-3, 0.0);
        assert!(coarse > 0.95 && coarse < 1.0, "{coarse}");
    }
}
