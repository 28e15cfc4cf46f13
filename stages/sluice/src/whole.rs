//! Checks of the whole sluice model, in both settling forms.
//!
//! Three published recovery rows set three constants, so their checks are a calibration. What is published and was not used
//! in the fit is only of the kind "more of this, less of that".

use crate::capture::{BoxGeometry, Fate};
use crate::constants::Constants;
use crate::reference::{
    ANGLE_IRON, COARSE_BAND, Case, EXPANDED_METAL, FINE_BAND, FLOUR_BAND, PLANT_WIDE_CHECKS, SIMPLE_CHECKS, SizeBand,
    fate_of, plant_wide_check_grain, plant_wide_grain, simple_check_grain,
};
use sim_core::check::{Band, Check, Kind, Status};
use sim_core::particle::shape::default_corey;

const FROM_HAMILTON: &str = "Hamilton 1988, MASc thesis, University of British Columbia, abstract: -65+100 mesh gold over \
    expanded metal, recovery \"frequently exceeded 90 %\", above 95 % possible; read as 92 +- 3 %";
const FROM_BGS: &str = "BGS WC/97/14, web summary: typical sluices; flow, slope and riffles not given, assumed here";
const FROM_CLARKSON: &str = "Clarkson 1994, CIM Bulletin 87(979), abstract: packing when shallow, scour when steep";
const FROM_POLING: &str = "Poling & Hamilton 1986, summary: expanded metal far superior for 20-150 mesh gold";
const FROM_ARTICLE: &str = "web article on sluice sizing quoting Poling 1989 and Clarkson 1990: keep under 12 % solids by \
    volume; the sign only";
pub(crate) const SIMPLE: &str = "sluice recovery, simple form";
pub(crate) const DEFAULT: &str = "sluice recovery, plant-wide settling";
const FULL: &str = "sluice recovery, default model at the middle of its priors";
/// A gold size at which most single checks are made (m).
pub(crate) const SIZE_M: f64 = 178e-6;

/// Share of one gold size caught in a case.
pub(crate) type Recovery = fn(&Case, f64) -> f64;

pub(crate) fn simple_fate(case: &Case, size_m: f64) -> Fate {
    fate_of(case, &SIMPLE_CHECKS, simple_check_grain(size_m, 0.4)).0
}

pub(crate) fn simple(case: &Case, size_m: f64) -> f64 {
    simple_fate(case, size_m).caught
}

pub(crate) fn plant_wide_fate(case: &Case, constants: &Constants, size_m: f64, csf: f64) -> Fate {
    fate_of(case, constants, plant_wide_check_grain(size_m, csf)).0
}

fn plant_wide(case: &Case, size_m: f64) -> f64 {
    plant_wide_fate(case, &PLANT_WIDE_CHECKS, size_m, 0.3).caught
}

/// Everything on, every prior at its middle: default shape of each size, 17,000 kg/m3, water of 10 C.
fn full(case: &Case, size_m: f64) -> f64 {
    let constants = Constants::plant_wide().with_contact_for(default_corey(SIZE_M));
    let grain =
        plant_wide_grain(size_m, default_corey(size_m), 17_000.0, 1000.0, crate::reference::CHECK_VISCOSITY_M2_S);
    fate_of(case, &constants, grain).0.caught
}

fn band(case: &Case, sizes: SizeBand, recovery: Recovery) -> f64 {
    sizes.mean(|size| recovery(case, size))
}

/// The angle-iron case cut to the length of the expanded-metal one.
const ANGLE_IRON_SHORT: Case = Case {
    geometry: BoxGeometry { length_m: EXPANDED_METAL.geometry.length_m, ..ANGLE_IRON.geometry },
    slurry: ANGLE_IRON.slurry,
};

/// Expanded metal less angle iron at equal length, each at its own water, 150-212 um.
fn advantage(recovery: Recovery) -> f64 {
    band(&EXPANDED_METAL, FINE_BAND, recovery) - band(&ANGLE_IRON_SHORT, FINE_BAND, recovery)
}

/// The least advantage of expanded metal over 0.15 to 0.6 mm.
fn least_advantage(recovery: Recovery) -> f64 {
    (0..=20)
        .map(|i| 150e-6 * sim_core::math::pow(4.0, f64::from(i) / 20.0))
        .map(|size| recovery(&EXPANDED_METAL, size) - recovery(&ANGLE_IRON_SHORT, size))
        .fold(f64::INFINITY, f64::min)
}

/// The expanded-metal case at another slope [in/ft].
fn at_slope_in_ft(in_ft: f64) -> Case {
    Case { geometry: BoxGeometry { slope: in_ft / 12.0, ..EXPANDED_METAL.geometry }, ..EXPANDED_METAL }
}

/// The expanded-metal case at another solids share and the same slurry flow.
fn at_solids(solids_by_volume: f64) -> Case {
    let mut case = EXPANDED_METAL;
    case.slurry.solids_by_volume = solids_by_volume;
    case
}

/// Slope of best recovery at 178 um between 0.5 and 4 in/ft [in/ft].
fn best_slope_in_ft(recovery: Recovery) -> f64 {
    let slope = |i: u32| 0.5 + 0.01 * f64::from(i);
    let mut best = (0.5, 0.0);
    for i in 0..=350 {
        let r = recovery(&at_slope_in_ft(slope(i)), SIZE_M);
        if r > best.1 {
            best = (slope(i), r);
        }
    }
    best.0
}

pub(crate) fn thick_drop(recovery: Recovery) -> f64 {
    recovery(&at_solids(0.08), SIZE_M) - recovery(&at_solids(0.15), SIZE_M)
}

/// Worst distance from 1 of the sum of fates, over both cases, both forms and many sizes.
fn worst_closure() -> f64 {
    let mut worst = 0.0_f64;
    for case in [EXPANDED_METAL, ANGLE_IRON] {
        for i in 0..60 {
            let size = 10e-6 * sim_core::math::exp(0.12 * f64::from(i));
            let all = Constants::plant_wide();
            worst = worst.max((simple_fate(&case, size).total() - 1.0).abs());
            worst = worst.max((plant_wide_fate(&case, &all, size, 0.3).total() - 1.0).abs());
        }
    }
    worst
}

const fn fitted(
    id: &'static str,
    model: &'static str,
    source: &'static str,
    published: f64,
    allowed: f64,
    computed: fn() -> f64,
) -> Check {
    Check::new(id, model, computed)
        .against(Kind::PublishedUsedInFit, source, Status::Seen)
        .value(published, "-")
        .within(Band::Absolute(allowed))
}

const fn trend(
    id: &'static str,
    model: &'static str,
    source: &'static str,
    published: f64,
    range: (f64, f64),
    unit: &'static str,
    computed: fn() -> f64,
) -> Check {
    Check::new(id, model, computed)
        .against(Kind::Published, source, Status::Seen)
        .value(published, unit)
        .within(Band::Between(range.0, range.1))
}

/// Checks of the whole model.
pub const CHECKS: &[Check] = &[
    // Calibration rows, in both forms and with everything on.
    fitted("sluice-default-150-212um", DEFAULT, FROM_HAMILTON, 0.92, 0.05, || {
        band(&EXPANDED_METAL, FINE_BAND, plant_wide)
    }),
    fitted("sluice-default-1-2p5mm", DEFAULT, FROM_BGS, 0.96, 0.03, || band(&ANGLE_IRON, COARSE_BAND, plant_wide)),
    fitted("sluice-default-30-100um", DEFAULT, FROM_BGS, 0.20, 0.10, || band(&ANGLE_IRON, FLOUR_BAND, plant_wide)),
    fitted("sluice-full-150-212um", FULL, FROM_HAMILTON, 0.92, 0.05, || band(&EXPANDED_METAL, FINE_BAND, full)),
    fitted("sluice-full-1-2p5mm", FULL, FROM_BGS, 0.96, 0.03, || band(&ANGLE_IRON, COARSE_BAND, full)),
    fitted("sluice-full-30-100um", FULL, FROM_BGS, 0.20, 0.10, || band(&ANGLE_IRON, FLOUR_BAND, full)),
    fitted("sluice-simple-150-212um", SIMPLE, FROM_HAMILTON, 0.92, 0.05, || band(&EXPANDED_METAL, FINE_BAND, simple)),
    fitted("sluice-simple-1-2p5mm", SIMPLE, FROM_BGS, 0.96, 0.03, || band(&ANGLE_IRON, COARSE_BAND, simple)),
    fitted("sluice-simple-30-100um", SIMPLE, FROM_BGS, 0.20, 0.10, || band(&ANGLE_IRON, FLOUR_BAND, simple)),
    // Published behaviour that was not used in the fit.
    trend("sluice-best-slope", DEFAULT, FROM_CLARKSON, 1.75, (1.0, 2.5), "in/ft", || best_slope_in_ft(plant_wide)),
    trend("sluice-best-slope-simple", SIMPLE, FROM_CLARKSON, 1.75, (1.0, 2.5), "in/ft", || best_slope_in_ft(simple)),
    trend("sluice-expanded-metal-advantage", DEFAULT, FROM_POLING, 0.0, (0.01, 1.0), "-", || advantage(plant_wide)),
    trend("sluice-expanded-metal-advantage-simple", SIMPLE, FROM_POLING, 0.0, (0.01, 1.0), "-", || advantage(simple)),
    trend("sluice-expanded-metal-never-worse", DEFAULT, FROM_POLING, 0.0, (-1e-9, 1.0), "-", || {
        least_advantage(plant_wide)
    }),
    trend("sluice-expanded-metal-never-worse-simple", SIMPLE, FROM_POLING, 0.0, (-1e-9, 1.0), "-", || {
        least_advantage(simple)
    }),
    trend("sluice-thick-slurry-loses", DEFAULT, FROM_ARTICLE, 0.0, (0.005, 1.0), "-", || thick_drop(plant_wide)),
    trend("sluice-thick-slurry-loses-simple", SIMPLE, FROM_ARTICLE, 0.0, (0.005, 1.0), "-", || thick_drop(simple)),
    // Identity.
    Check::new("sluice-fates-sum-to-one", DEFAULT, worst_closure)
        .against(
            Kind::Identity,
            "conservation: worst distance from 1 over both cases, both forms, 60 sizes",
            Status::Computed,
        )
        .value(0.0, "-")
        .within(Band::Absolute(1e-12)),
];
