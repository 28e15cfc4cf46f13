//! Checks on the data: warnings with numbers, before anyone believes them.

use super::gold_sample::GoldSamples;
use super::grain_weight::GrainWeights;
use super::patchiness::{Patchiness, SHOWN_BELOW};
use super::sheet::{Sheet, SheetReader};
use super::sieve_test::SieveTest;
use washgraph_physics::size::{SOLID_CLASSES, solid_class};
use washgraph_stats::counts::CLIFTON_GRAINS;
use washgraph_units::check::Status;
use washgraph_units::constants::QUARTZ_KG_M3;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{POSITIVE, input, output};
use washgraph_units::quantity::{Dimension, Phrase, UnitChoice, show};

/// Largest particles that a sieve sample should hold.
// Source: principle of ASTM D6913 (abstract seen): at least 100 of the largest particles, taken as spheres.
const LARGEST_PARTICLES: f64 = 100.0;
/// Share of the gold that one grain may carry before the grade hangs on it. Assumed.
const NUGGET_SHARE: f64 = 1.0 / 3.0;
/// Largest nominal diameter of a grain over the opening that it passed: a long grain goes through on its diagonal. Computed
/// from the ellipsoid on the diagonal with elongation 0.6 and volume coefficient 1.5 (1.5 rounded up).
const LONGEST_GRAIN: f64 = 1.5;
/// Least nominal diameter over the opening that retained it: a leaf of Corey factor 0.02.
const THINNEST_GRAIN: f64 = 0.4;

/// Mass of a sieve sample that holds 100 of its largest particles, kg: M = 100 (pi/6) rho D^3.
///
/// D = size of the largest particles, m; rho = density of the rock, kg/m3; particles taken as spheres. Source: principle of
/// ASTM D6913 (abstract seen; its table of masses, which rounds this, was not). Holds for any size; below a few millimetres
/// scales and splitting ask for more.
pub fn mass_for_top_size_kg(top_m: f64, rock_kg_m3: f64) -> f64 {
    LARGEST_PARTICLES * std::f64::consts::PI / 6.0 * rock_kg_m3 * top_m * top_m * top_m
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "sieve-sample-for-top-size",
    "Mass of a sieve sample that holds a hundred of its largest stones",
    "M = 100 (pi/6) rho D^3",
    |x| vec![mass_for_top_size_kg(x[0], x[1])],
)
.inputs(&[
    input("top_size", "size of the largest stones", Dimension::SieveSize, "mm", POSITIVE, None),
    input("rock_density", "density of the rock", Dimension::Density, "kg/m3", POSITIVE, Some(QUARTZ_KG_M3)),
])
.outputs(&[output("sample", "mass to sieve", Dimension::Mass, "kg")])
.source("principle of ASTM D6913: at least 100 of the largest particles", Status::Seen)
.limits("stones beyond a few inches: count them on the pit wall instead")];

/// Warnings on sieve tests: too small for their top size.
pub fn sieve_tests(
    tests: &[SieveTest],
    splice_m: Option<f64>,
    rock_kg_m3: f64,
    units: UnitChoice,
    sheet: &Sheet,
    sheet_reader: &mut SheetReader<'_>,
) {
    for test in tests {
        let top = top_size(test).min(splice_m.unwrap_or(f64::INFINITY));
        let needed = mass_for_top_size_kg(top, rock_kg_m3);
        let grain = needed / LARGEST_PARTICLES;
        if test.sample_kg < 0.5 * needed {
            let of = if test.pit.is_empty() { String::new() } else { format!("pit {}: ", test.pit) };
            sheet_reader.warning(
                sheet,
                None,
                None,
                format!(
                    "{of}{} is a small sample for stones of {}: about {:.0} of them make up that weight, 100 should",
                    show(test.sample_kg, Dimension::Mass, units),
                    show(top, Dimension::Length, units),
                    test.sample_kg / grain
                ),
                format!(
                    "sieve {} or more, or count the stones on the pit wall (stones_file and splice)",
                    show(needed, Dimension::Mass, units)
                ),
            );
        }
    }
}

/// Size that 95 % of the test is finer than.
fn top_size(test: &SieveTest) -> f64 {
    let mut below = 0.0;
    for c in 0..SOLID_CLASSES {
        below += test.shares[c];
        if below >= 0.95 {
            return solid_class(c).finite_to_m();
        }
    }
    solid_class(SOLID_CLASSES - 1).middle_m
}

/// Warnings on gold samples. Returns what belongs into the result of every run, in words.
pub fn gold_samples(
    samples: &GoldSamples,
    weights: &GrainWeights,
    patchy: Option<Patchiness>,
    gold_kg_m3: f64,
    units: UnitChoice,
    sheet: &Sheet,
    sheet_reader: &mut SheetReader<'_>,
) -> Vec<Phrase> {
    let mut findings = Vec::new();
    let n = samples.total_colours();
    if n < CLIFTON_GRAINS && samples.whole.is_empty() {
        let text = Phrase::new("only ")
            .count(n)
            .text(format!(" colours: the grade is known to about +-{:.0} % at best", 100.0 / n.sqrt()));
        sheet_reader.warning(
            sheet,
            None,
            None,
            text.say(units),
            "pan more ground until there are at least 20 colours (Clifton and others 1969)",
        );
        findings.push(text);
    }
    impossible_weights(samples, gold_kg_m3, units, sheet, sheet_reader);
    findings.extend(nugget(samples, units, sheet, sheet_reader));
    if let Some(p) = patchy.filter(|p| p.chance < SHOWN_BELOW && p.between > 0.0) {
        let text = Phrase::from(format!(
            "the {} samples scatter more than chance ({}): spots differ by about {:.0} % beyond it",
            p.samples,
            if p.chance < 0.001 { "less than 1 in 1000".into() } else { format!("{:.1} in 100", 100.0 * p.chance) },
            100.0 * p.between.sqrt()
        ));
        sheet_reader.warning(
            sheet,
            None,
            None,
            text.say(units),
            "more spots help, not more ground from the same spots",
        );
        findings.push(text);
    }
    if let Some((factor, _)) = weights.flatness.filter(|f| f.0 < 0.6 || f.0 > 1.7) {
        let text = Phrase::from(format!(
            "the weighed colours are {} than assumed: flatness factor {factor:.2}",
            if factor < 1.0 { "much flatter" } else { "much chunkier" }
        ));
        sheet_reader.warning(
            sheet,
            None,
            None,
            text.say(units),
            "check the scale: is it milligrams? and do the sieves name the right series?",
        );
        findings.push(text);
    }
    findings
}

/// Grain masses that no grain of the class can have, and masses that fall where the sieve grows.
fn impossible_weights(
    samples: &GoldSamples,
    gold_kg_m3: f64,
    units: UnitChoice,
    sheet: &Sheet,
    sheet_reader: &mut SheetReader<'_>,
) {
    let mut finer: Option<(f64, f64)> = None;
    let sieve = |x: f64| show(x, Dimension::SieveSize, units);
    for class in &samples.sieve_classes {
        if !(class.weighed_colours > 0.0 && class.weighed_kg > 0.0) {
            continue;
        }
        let grain = class.weighed_kg / class.weighed_colours;
        let ball = |d: f64| std::f64::consts::PI / 6.0 * gold_kg_m3 * d * d * d;
        let (least, most) = (ball(THINNEST_GRAIN * class.on_m), ball(LONGEST_GRAIN * class.through_m));
        if grain > most || grain < least {
            sheet_reader.warning(
                sheet,
                None,
                None,
                format!(
                    "colours between {} and {} weigh {:.3} mg each; a grain of that size can weigh {:.3} to {:.3} mg",
                    sieve(class.on_m),
                    sieve(class.through_m),
                    grain * 1e6,
                    least * 1e6,
                    most * 1e6
                ),
                "check the unit of the weight, the count, and that the gold is clean of black sand",
            );
        }
        if let Some((mass, on)) = finer
            && grain < mass
            && class.weighed_colours >= 5.0
        {
            sheet_reader.warning(
                sheet,
                None,
                None,
                format!(
                    "colours on {} weigh less each ({:.3} mg) than those on the finer {} ({:.3} mg)",
                    sieve(class.on_m),
                    grain * 1e6,
                    sieve(on),
                    mass * 1e6
                ),
                "check the two rows: sieves or weights may be swapped",
            );
        }
        finer = Some((grain, class.on_m));
    }
}

/// One grain that carries more than a third of the gold.
fn nugget(
    samples: &GoldSamples,
    units: UnitChoice,
    sheet: &Sheet,
    sheet_reader: &mut SheetReader<'_>,
) -> Option<Phrase> {
    let total = samples.total_kg();
    let heaviest = samples
        .sieve_classes
        .iter()
        .filter(|c| c.colours >= 0.999)
        .map(|c| c.heaviest_kg.max(c.gold_kg / c.colours))
        .fold(0.0, f64::max);
    let share = heaviest / total;
    if !(share > NUGGET_SHARE) || samples.total_colours() < 1.5 {
        return None;
    }
    let without = (total - heaviest) / samples.volume_m3();
    let text = Phrase::new("one grain of ")
        .size(heaviest, Dimension::Mass)
        .text(" carries ")
        .share(share)
        .text(" of the gold: the samples show ")
        .size(total / samples.volume_m3(), Dimension::Grade)
        .text(" of loose ground with it, ")
        .size(without, Dimension::Grade)
        .text(" without");
    sheet_reader.warning(
        sheet,
        None,
        None,
        text.say(units),
        "a nugget is not to be left out, nor to be believed: wash more ground",
    );
    Some(text)
}

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("sieve-sample-19mm", || mass_for_top_size_kg(19.0e-3, QUARTZ_KG_M3)),
        ("sieve-sample-76mm", || mass_for_top_size_kg(76.2e-3, QUARTZ_KG_M3)),
    ];
}
