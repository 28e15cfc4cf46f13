//! Water and muddy water: density, viscosity, vapour pressure.

use super::entry::{FLUID_DENSITY, GRAVITY, TEMPERATURE, input, output, row};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::QUARTZ_KG_M3;
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Density of clean water at atmospheric pressure, kg/m3.
///
/// rho = (999.83952 + 16.945176 T - 7.9870401e-3 T^2 - 46.170461e-6 T^3 + 105.56302e-9 T^4 - 280.54253e-12 T^5)
///       / (1 + 16.879850e-3 T), T in °C
///
/// Source: Kell 1975, J. Chem. Eng. Data 20:97 (from memory); within 0.003 % of IAPWS-95 from 0 to 30 °C. Air-free
/// water; below 0 °C the equation is of supercooled water.
pub fn density_kg_m3(t_c: f64) -> f64 {
    let t = t_c;
    (999.83952 + t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 + t * -280.54253e-12)))))
        / (1.0 + 16.879850e-3 * t)
}

/// Viscosity of water at 20 °C, Pa s.
// Source: Swindells, Coe and Godfrey 1952, as used by Kestin et al. 1978 (from memory).
pub const VISCOSITY_AT_20_C_PA_S: f64 = 1.002e-3;

/// Viscosity of clean water, Pa s.
///
/// log10(mu/mu20) = (20 - T)/(T + 96) [1.2364 - 1.37e-3 (20 - T) + 5.7e-6 (20 - T)^2], T in °C
///
/// Source: Kestin, Sokolov and Wakeham 1978, J. Phys. Chem. Ref. Data 7:941 (from memory); within 0.1 % of IAPWS 2008
/// from 0 to 30 °C.
pub fn viscosity_pa_s(t_c: f64) -> f64 {
    let below = 20.0 - t_c;
    let exponent = below / (t_c + 96.0) * (1.2364 + below * (-1.37e-3 + below * 5.7e-6));
    VISCOSITY_AT_20_C_PA_S * math::pow(10.0, exponent)
}

/// Vapour pressure of water, Pa.
///
/// p = 610.94 exp(17.625 T/(T + 243.04)), T in °C
///
/// Source: Magnus form, constants of Alduchov and Eskridge 1996 (from memory). Within 0.4 % from -40 to 50 °C.
pub fn vapour_pressure_pa(t_c: f64) -> f64 {
    610.94 * math::exp(17.625 * t_c / (t_c + 243.04))
}

/// Viscosity of a thin suspension over that of the water, 1 + 2.5 phi [-]; phi = share of solids by volume, below 0.02.
///
/// Source: Einstein 1906, 1911. Too low in thicker mud.
pub fn relative_viscosity_einstein(phi: f64) -> f64 {
    1.0 + 2.5 * phi
}

/// Viscosity of a suspension over that of the water, 1 + 2.5 phi + 10.05 phi^2 + 0.00273 exp(16.6 phi) [-].
///
/// Source: Thomas 1965, J. Colloid Sci. 20:267 (from memory). Fits rigid spheres up to phi 0.6. Gives 1.0027, not 1, in
/// clean water.
pub fn relative_viscosity_thomas(phi: f64) -> f64 {
    1.0 + phi * (2.5 + 10.05 * phi) + 0.00273 * math::exp(16.6 * phi)
}

/// Densest packing of fines in the Krieger-Dougherty law, by volume [-].
// Source: common value for spheres (Krieger and Dougherty 1959 leave it to be fitted).
pub const FINES_MAXIMUM_PACKING: f64 = 0.62;

/// Share of the water taken up by fines with their bound water up to which the plant uses the Krieger-Dougherty law; beyond
/// it the water is called a paste [-]. Our choice: the law goes to infinity at [`FINES_MAXIMUM_PACKING`], and no
/// wash plant runs on mud ten times as thick as water.
pub const THICKEST_MUD: f64 = 0.55;

/// Viscosity of mud over that of the water [-]: the law used by the plant.
///
/// mu_r = (1 - phi_eff/phi_m)^(-2.5 phi_m)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | phi_eff | share of fines by volume, swelled by bound water (1 silt, 3-5 times for flocculated clay, assumed) | - | 0 to < phi_m |
/// | phi_m | densest packing | - | 0.5 to 0.7; default 0.62 |
///
/// Source: Krieger and Dougherty 1959, Trans. Soc. Rheol. 3:137. No yield stress, no shear thinning. At and above phi_m
/// the mud no longer flows: infinite.
pub fn relative_viscosity_krieger_dougherty(phi_eff: f64, phi_m: f64) -> f64 {
    if phi_eff >= phi_m {
        return f64::INFINITY;
    }
    math::pow(1.0 - phi_eff / phi_m, -2.5 * phi_m)
}

/// Density of mud, kg/m3: rho_w + (1 - rho_w/rho_s) C, with C the mass of fines per volume of mud, kg/m3.
///
/// Source: mass balance.
pub fn mud_density_kg_m3(water_kg_m3: f64, fines_kg_m3: f64, fines_density_kg_m3: f64) -> f64 {
    water_kg_m3 + (1.0 - water_kg_m3 / fines_density_kg_m3) * fines_kg_m3
}

/// Yield stress of the mud that holds a grain up, Pa: tau_y = Y g (rho_s - rho) d, Y 0.05 to 0.1.
///
/// Source: Chhabra, Bubbles, Drops and Particles in Non-Newtonian Fluids (from memory). About 0.8 to 1.6 Pa for 0.1 mm
/// gold.
pub fn holding_yield_stress_pa(y: f64, g_m_s2: f64, rho_s_kg_m3: f64, rho_kg_m3: f64, d_m: f64) -> f64 {
    y * g_m_s2 * (rho_s_kg_m3 - rho_kg_m3) * d_m
}

/// The water as the grains feel it: clean or muddy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterState {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Viscosity, Pa s.
    pub viscosity_pa_s: f64,
}

impl WaterState {
    /// Clean water at a temperature [°C], 0 to 30.
    pub fn clean(temperature_c: f64) -> WaterState {
        WaterState {
            temperature_c,
            density_kg_m3: density_kg_m3(temperature_c),
            viscosity_pa_s: viscosity_pa_s(temperature_c),
        }
    }

    /// Water with `fines_kg_m3` of fines of density `fines_density_kg_m3` in it: mass balance for the density,
    /// Krieger-Dougherty for the viscosity. `swelling` is the volume of a fine grain with its bound water over its own
    /// (1 silt, 3 to 5 flocculated clay, assumed).
    pub fn muddy(temperature_c: f64, fines_kg_m3: f64, fines_density_kg_m3: f64, swelling: f64) -> WaterState {
        let phi_eff = swelling * fines_kg_m3 / fines_density_kg_m3;
        WaterState::suspension(temperature_c, fines_kg_m3, fines_density_kg_m3, phi_eff)
    }

    /// As [`WaterState::muddy`], with the volume share of the fines and their bound water given: for fines of several kinds.
    pub fn suspension(temperature_c: f64, fines_kg_m3: f64, fines_density_kg_m3: f64, phi_eff: f64) -> WaterState {
        let clean = WaterState::clean(temperature_c);
        WaterState {
            temperature_c,
            density_kg_m3: mud_density_kg_m3(clean.density_kg_m3, fines_kg_m3, fines_density_kg_m3),
            viscosity_pa_s: clean.viscosity_pa_s * relative_viscosity_krieger_dougherty(phi_eff, FINES_MAXIMUM_PACKING),
        }
    }

    /// Kinematic viscosity nu = mu/rho, m2/s.
    #[inline]
    pub fn kinematic_viscosity_m2_s(&self) -> f64 {
        self.viscosity_pa_s / self.density_kg_m3
    }
}

const FINES: Symbol = input(
    "fines_volume_share",
    "share of fines by volume, with bound water",
    Dimension::Fraction,
    "-",
    (0.0, 0.6),
    None,
);
const RELATIVE: Symbol = output("relative_viscosity", "viscosity over that of the clean water", Dimension::Number, "-");

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new("water-density", "Density of clean water", "Kell's ratio of polynomials in T", |x| {
        vec![density_kg_m3(x[0])]
    })
    .inputs(&[TEMPERATURE])
    .outputs(&[output("density", "density", Dimension::Density, "kg/m3")])
    .source("Kell 1975, J. Chem. Eng. Data 20:97", Status::Memory)
    .limits("air-free water at atmospheric pressure"),
    Formula::new(
        "water-viscosity",
        "Viscosity of clean water",
        "log10(mu/mu20) = (20-T)/(T+96) [1.2364 - 1.37e-3 (20-T) + 5.7e-6 (20-T)^2]",
        |x| vec![viscosity_pa_s(x[0])],
    )
    .inputs(&[TEMPERATURE])
    .outputs(&[output("viscosity", "viscosity", Dimension::Viscosity, "mPa s")])
    .source("Kestin, Sokolov and Wakeham 1978, J. Phys. Chem. Ref. Data 7:941", Status::Memory),
    Formula::new("water-kinematic-viscosity", "Kinematic viscosity of clean water", "nu = mu/rho", |x| {
        vec![WaterState::clean(x[0]).kinematic_viscosity_m2_s()]
    })
    .inputs(&[TEMPERATURE])
    .outputs(&[output("kinematic_viscosity", "kinematic viscosity", Dimension::KinematicViscosity, "mm2/s")])
    .source("Kestin et al. 1978 over Kell 1975", Status::Memory),
    Formula::new("water-vapour-pressure", "Vapour pressure of water", "p = 610.94 exp(17.625 T/(T + 243.04))", |x| {
        vec![vapour_pressure_pa(x[0])]
    })
    .inputs(&[TEMPERATURE])
    .outputs(&[output("pressure", "vapour pressure", Dimension::Pressure, "kPa")])
    .source("Magnus form, Alduchov and Eskridge 1996", Status::Memory),
    Formula::new("mud-viscosity-einstein", "Relative viscosity of a thin suspension", "mu_r = 1 + 2.5 phi", |x| {
        vec![relative_viscosity_einstein(x[0])]
    })
    .inputs(&[FINES])
    .outputs(&[RELATIVE])
    .source("Einstein 1906, 1911", Status::Seen)
    .limits("too low above phi 0.02"),
    Formula::new(
        "mud-viscosity-thomas",
        "Relative viscosity of a suspension",
        "mu_r = 1 + 2.5 phi + 10.05 phi^2 + 0.00273 exp(16.6 phi)",
        |x| vec![relative_viscosity_thomas(x[0])],
    )
    .inputs(&[FINES])
    .outputs(&[RELATIVE])
    .source("Thomas 1965, J. Colloid Sci. 20:267", Status::Memory)
    .limits("rigid grains; 1.0027 in clean water"),
    Formula::new(
        "mud-viscosity-krieger-dougherty",
        "Relative viscosity of mud, as the plant uses it",
        "mu_r = (1 - phi_eff/phi_m)^(-2.5 phi_m)",
        |x| vec![relative_viscosity_krieger_dougherty(x[0], x[1])],
    )
    .inputs(&[
        FINES,
        input(
            "maximum_packing",
            "densest packing of the fines by volume",
            Dimension::Fraction,
            "-",
            (0.4, 0.75),
            Some(FINES_MAXIMUM_PACKING),
        ),
    ])
    .outputs(&[RELATIVE])
    .source("Krieger and Dougherty 1959, Trans. Soc. Rheol. 3:137", Status::Seen)
    .limits("no yield stress; infinite at the densest packing"),
    Formula::new("mud-density", "Density of muddy water", "rho_f = rho_w + (1 - rho_w/rho_s) C", |x| {
        vec![mud_density_kg_m3(density_kg_m3(x[2]), x[0], x[1])]
    })
    .inputs(&[
        input("fines", "mass of fines per volume of mud", Dimension::Density, "g/L", (0.0, 1000.0), None),
        input(
            "fines_density",
            "density of the fines",
            Dimension::Density,
            "kg/m3",
            (2000.0, 5000.0),
            Some(QUARTZ_KG_M3),
        ),
        TEMPERATURE,
    ])
    .outputs(&[output("density", "density of the mud", Dimension::Density, "kg/m3")])
    .source("mass balance", Status::Computed),
    Formula::new(
        "mud-yield-stress-holding-grain",
        "Yield stress of mud that keeps a grain from sinking",
        "tau_y = Y g (rho_s - rho) d",
        |x| {
            let rho = if x[4] > 0.0 { x[4] } else { density_kg_m3(x[3]) };
            vec![holding_yield_stress_pa(x[2], x[5], x[1], rho, x[0])]
        },
    )
    .inputs(&[
        super::entry::DIAMETER,
        super::entry::GOLD_DENSITY,
        input("factor", "factor Y", Dimension::Number, "-", (0.05, 0.1), Some(0.07)),
        TEMPERATURE,
        FLUID_DENSITY,
        GRAVITY,
    ])
    .outputs(&[output("stress", "yield stress", Dimension::Stress, "Pa")])
    .source("Chhabra, Bubbles, Drops and Particles in Non-Newtonian Fluids", Status::Memory),
];

const IAPWS: (Kind, &str, Status) =
    (Kind::Published, "IAPWS-95 density and IAPWS-2008 viscosity at 0.101325 MPa, evaluated", Status::Computed);

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row(("water-density-0c", "Kell 1975"), IAPWS, 999.843, "kg/m3", Band::Relative(2e-4), || density_kg_m3(0.0)),
    row(("water-density-5c", "Kell 1975"), IAPWS, 999.967, "kg/m3", Band::Relative(2e-4), || density_kg_m3(5.0)),
    row(("water-density-10c", "Kell 1975"), IAPWS, 999.702, "kg/m3", Band::Relative(2e-4), || density_kg_m3(10.0)),
    row(("water-density-20c", "Kell 1975"), IAPWS, 998.207, "kg/m3", Band::Relative(2e-4), || density_kg_m3(20.0)),
    row(("water-density-30c", "Kell 1975"), IAPWS, 995.649, "kg/m3", Band::Relative(2e-4), || density_kg_m3(30.0)),
    row(("water-viscosity-0c", "Kestin et al. 1978"), IAPWS, 1.7918, "mPa s", Band::Relative(5e-3), || {
        1e3 * viscosity_pa_s(0.0)
    }),
    row(("water-viscosity-5c", "Kestin et al. 1978"), IAPWS, 1.5182, "mPa s", Band::Relative(5e-3), || {
        1e3 * viscosity_pa_s(5.0)
    }),
    row(("water-viscosity-10c", "Kestin et al. 1978"), IAPWS, 1.3059, "mPa s", Band::Relative(5e-3), || {
        1e3 * viscosity_pa_s(10.0)
    }),
    row(("water-viscosity-20c", "Kestin et al. 1978"), IAPWS, 1.0016, "mPa s", Band::Relative(5e-3), || {
        1e3 * viscosity_pa_s(20.0)
    }),
    row(("water-viscosity-30c", "Kestin et al. 1978"), IAPWS, 0.7972, "mPa s", Band::Relative(5e-3), || {
        1e3 * viscosity_pa_s(30.0)
    }),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;
    use washgraph_units::constants::QUARTZ_KG_M3;

    /// Fall speed of a 0.1 mm gold grain in mud over that in clean water, Ferguson-Church 18/1.0 on 17,500 kg/m3.
    fn slowing_in_mud(fines_kg_m3: f64, swelling: f64) -> f64 {
        let speed = |fines_kg_m3| {
            let mud = WaterState::muddy(10.0, fines_kg_m3, QUARTZ_KG_M3, swelling);
            crate::particle::natural_grain::ferguson_church_m_s(
                17500.0 / mud.density_kg_m3 - 1.0,
                washgraph_units::constants::STANDARD_GRAVITY_M_S2,
                0.1e-3,
                mud.kinematic_viscosity_m2_s(),
                18.0,
                1.0,
            )
        };
        speed(fines_kg_m3) / speed(0.0)
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("mud-einstein-phi-0p20", || relative_viscosity_einstein(0.20)),
        ("mud-thomas-phi-0p20", || relative_viscosity_thomas(0.20)),
        ("mud-krieger-dougherty-phi-0p20", || relative_viscosity_krieger_dougherty(0.20, FINES_MAXIMUM_PACKING)),
        ("mud-slowing-100g-l-silt-0p1mm-gold", || slowing_in_mud(100.0, 1.0)),
        ("mud-slowing-100g-l-clay-0p1mm-gold", || slowing_in_mud(100.0, 4.0)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;
    use washgraph_units::constants::QUARTZ_KG_M3;

    #[test]
    fn published_iapws_table_at_the_other_temperatures() {
        for (t, rho, mu) in [(15.0, 999.103, 1.1376e-3), (25.0, 997.048, 0.8900e-3)] {
            assert!((density_kg_m3(t) / rho - 1.0).abs() < 3e-5);
            assert!((viscosity_pa_s(t) / mu - 1.0).abs() < 2e-3);
        }
    }

    #[test]
    fn identity_no_fines_is_clean_water_and_packed_fines_do_not_flow() {
        let clean = WaterState::clean(8.0);
        assert_eq!(WaterState::muddy(8.0, 0.0, QUARTZ_KG_M3, 3.0), clean);
        let packed = WaterState::muddy(8.0, 900.0, QUARTZ_KG_M3, 2.0);
        assert!(packed.viscosity_pa_s.is_infinite());
        // Half water, half rock by volume.
        assert!((mud_density_kg_m3(1000.0, 1325.0, QUARTZ_KG_M3) - 1825.0).abs() < 1e-9);
    }
}
