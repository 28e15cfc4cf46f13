//! Calculators that run the whole sluice for one gold size.
//!
//! Left as they are, their inputs are the expanded-metal reference case of the check values.

use crate::capture::{BoxGeometry, GoldGrain, SlurryState};
use crate::constants::{CONTACT_PLANT_WIDE, CONTACT_SIMPLE_FORM, Constants, contact_efficiency};
use crate::model::SettlingForm;
use crate::packing::{PACKING_EXPONENT, PACKING_SCALE};
use crate::reference::{Case, fate_of, plant_wide_grain, simple_grain};
use crate::scour::{BLACK_SAND, HIDING, POCKET_SHARE, Pocket, SCOUR_EXPONENT, THRESHOLD};
use crate::symbols as s;
use sim_core::check::Status;
use sim_core::formula::{Formula, Symbol};
use sim_core::quantity::Dimension as D;

/// A gold grain from sieve size, shape, its density, that of the water, and the viscosity of the water.
type GrainOf = fn(f64, f64, f64, f64, f64) -> GoldGrain;

const BYPASS: Symbol =
    s::symbol("bypass", "share that surge and splash carry over", D::Fraction, "%", (0.0, 0.10), Some(0.04));
const GUARDS: Symbol = s::symbol(
    "guards",
    "1 with the factors for thick slurry, uncovered rock, starved box and bypass by size; 0 the bare fitted model",
    D::Number,
    "-",
    (0.0, 1.0),
    Some(0.0),
)
.possible((0.0, 1.0));
const D98: Symbol = s::symbol(
    "d98",
    "98 % passing size of the sluice feed (matters with guards only)",
    D::SieveSize,
    "mm",
    (0.006, 0.040),
    Some(0.019),
);
const LOAD_CV: Symbol = s::symbol(
    "load_cv",
    "unevenness of the solids load: standard deviation / mean; 0 for an even feed",
    D::Fraction,
    "-",
    (0.0, 0.6),
    Some(0.0),
);

const fn shape(default: f64) -> Symbol {
    s::symbol(
        "shape_factor",
        "Corey shape factor of the gold: thickness / sqrt(length x breadth)",
        D::Number,
        "-",
        (0.15, 1.0),
        Some(default),
    )
    .possible((0.001, 1.0))
}

const fn contact(default: f64) -> Symbol {
    s::symbol("contact", "contact efficiency eta", D::Number, "-", (0.2, 1.0), Some(default))
}

const fn exponent(default: f64) -> Symbol {
    s::symbol("enrichment_exponent", "exponent m of the near-bed enrichment", D::Number, "-", (0.0, 1.0), Some(default))
}

const fn inputs(csf: f64, eta: f64, m: f64) -> [Symbol; 25] {
    [
        s::FLOW_PER_WIDTH,
        s::SLOPE,
        s::RIFFLE_HEIGHT,
        s::LENGTH,
        s::SOLIDS_BY_VOLUME,
        s::GRAVEL_SIZE,
        s::GOLD_SIZE,
        shape(csf),
        s::GOLD_DENSITY,
        s::KINEMATIC_VISCOSITY,
        contact(eta),
        BYPASS,
        GUARDS,
        D98,
        LOAD_CV,
        s::WATER_DENSITY,
        exponent(m),
        PACKING_SCALE,
        PACKING_EXPONENT,
        POCKET_SHARE,
        SCOUR_EXPONENT,
        THRESHOLD,
        HIDING,
        BLACK_SAND,
        s::ROUGHNESS_RATIO,
    ]
}

const PLANT_WIDE_INPUTS: [Symbol; 25] = inputs(0.3, CONTACT_PLANT_WIDE, 0.45);
const SIMPLE_INPUTS: [Symbol; 25] = inputs(0.4, CONTACT_SIMPLE_FORM, 0.5);

const OUTPUTS: [Symbol; 12] = [
    s::output("recovery", "share caught", D::Fraction, "%"),
    s::output("never_settled", "share that never came down", D::Fraction, "%"),
    s::output("packed", "share lost to packed riffles", D::Fraction, "%"),
    s::output("scoured", "share lifted out again", D::Fraction, "%"),
    s::output("bypassed", "share carried over by surge and splash", D::Fraction, "%"),
    s::output("depth", "depth of the slurry", D::Length, "mm"),
    s::output("velocity", "mean velocity of the slurry", D::Velocity, "m/s"),
    s::output("packing_factor", "share of the riffles that works", D::Number, "-"),
    s::output("bed_shear", "shear stress on the bed", D::Stress, "Pa"),
    s::output("thick_slurry_factor", "share of the capture rate left in thick slurry", D::Number, "-"),
    s::output("cover_factor", "share of the catch left over uncovered rock or in a starved box", D::Number, "-"),
    s::output("settling_velocity", "settling velocity of the gold in still clear water", D::Velocity, "m/s"),
];

fn calculate(values: &[f64], form: SettlingForm, grain_of: GrainOf) -> Vec<f64> {
    let [
        flow,
        slope,
        riffle_height_m,
        length_m,
        solids_by_volume,
        d50_m,
        size,
        csf,
        density,
        nu,
        contact,
        bypass,
        guards,
        d98_m,
        load_cv,
        water_density_kg_m3,
        enrichment_exponent,
        packing_scale,
        packing_exponent,
        pocket_share,
        scour_exponent,
        threshold,
        hiding,
        black_sand_m,
        roughness_ratio,
    ] = *values
    else {
        return vec![f64::NAN; OUTPUTS.len()];
    };
    let full = Constants {
        contact,
        bypass,
        load_cv,
        enrichment_exponent,
        packing_scale,
        packing_exponent,
        pocket_share,
        scour_exponent,
        pocket: Pocket { threshold, hiding, black_sand_m },
        roughness_ratio,
        ..Constants::of(form).with_fit_gravity()
    };
    let constants = if guards >= 0.5 { full } else { full.without_guards() };
    let case = Case {
        geometry: BoxGeometry { width_m: 1.0, length_m, slope, riffle_height_m, runs: 1, slick_plate_m: 0.0 },
        slurry: SlurryState { flow_m3_s: flow, solids_by_volume, d50_m, d98_m, d_max_m: d98_m, water_density_kg_m3 },
    };
    let grain = grain_of(size, csf, density, water_density_kg_m3, nu);
    let (fate, state) = fate_of(&case, &constants, grain);
    vec![
        fate.caught,
        fate.never_settled,
        fate.packed,
        fate.scoured,
        fate.bypass,
        state.depth_m,
        state.velocity_m_s,
        state.packing,
        state.bed_shear_pa,
        state.thick,
        state.cover,
        grain.settling_m_s,
    ]
}

const EQUATION: &str = "X = eta alpha w L/q; K L = X A_p A_v A_s; caught = A_c (1 - b)(1 - e^-KL); never settled = \
    (1 - b) e^-X; packed = (1 - b)(e^(-X A_p A_v) - e^-X + (1 - A_c)(1 - e^-KL)); scoured = (1 - b)(e^-KL - e^(-X A_p A_v))";
const LIMITS: &str = "a calibration on three published rows, not a validation; g 9.81 m/s2; see the warnings of `run`";

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "sluice-recovery",
        "What a riffled sluice catches of one gold size and how the rest is lost; the default model.",
        EQUATION,
        |v| calculate(v, SettlingForm::PlantWide, plant_wide_grain),
    )
    .inputs(&PLANT_WIDE_INPUTS)
    .outputs(&OUTPUTS)
    .source(
        "first-order capture on surface loading (Hazen 1904); gold settling of Bagheri & Bonadonna 2016 under the \
                 sphere cap; constants fitted here to Hamilton 1988 and BGS WC/97/14",
        Status::Assumed,
    )
    .limits(LIMITS),
    Formula::new(
        "sluice-recovery-simple-form",
        "What a riffled sluice catches of one gold size and how the rest is lost; simple settling form.",
        EQUATION,
        |v| calculate(v, SettlingForm::Simple, simple_grain),
    )
    .inputs(&SIMPLE_INPUTS)
    .outputs(&OUTPUTS)
    .source(
        "first-order capture on surface loading (Hazen 1904); constants fitted here to Hamilton 1988 and BGS \
                 WC/97/14 with the simple settling form",
        Status::Assumed,
    )
    .limits(LIMITS),
    Formula::new(
        "sluice-contact-efficiency",
        "Contact efficiency that goes with the shape of the fine gold (default model).",
        "eta = 0.45 (0.3/CSF)^0.4 x factor, within 0.2 to 1",
        |v| {
            let [csf, factor] = *v else {
                return vec![f64::NAN];
            };
            vec![contact_efficiency(csf, factor)]
        },
    )
    .inputs(&[
        s::symbol("shape_factor", "Corey shape factor of the 150-212 um gold", D::Number, "-", (0.1, 0.7), Some(0.3)),
        s::symbol("factor", "spread, lognormal with sigma 0.2", D::Number, "-", (0.5, 2.0), Some(1.0)),
    ])
    .outputs(&[s::output("contact", "contact efficiency eta", D::Number, "-")])
    .source("fitted here: flatter gold needs better contact to give the same published recovery", Status::Computed)
    .limits("carries the error of the drag law in the sluice"),
];
