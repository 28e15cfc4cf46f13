//! The constants of a plant that are not known well, one after another, on one scale.
//!
//! Each constant stands in its spread at a number u between 0 and 1 (0.1: the value that one run in ten falls below), and at
//! a normal score z, the value that a standard normal number falls below with chance u. So all of them, whatever their
//! units and spreads, are standard normal numbers before anything is seen. Constants are the scalar inputs of nature
//! Ignorance but prices and costs, on which no observation of the plant bears (what a clean-up loses is none of them); the number that names the joint draw of the
//! gold, poorest first; and the elements of the gradation that rest on few particles.

use crate::draw::{Address, InputList, Nature};
use crate::field::gold_posterior::GoldPosterior;
use crate::ground::{GoldKnown, Ground};
use crate::joint::Places;
use crate::plant::Plant;
use crate::size::{SOLID_CLASSES, solid_class};
use crate::stats::Spread;
use crate::stats::quantile_table::QuantileTable;

/// Name of the constant that names the joint draw of the gold.
pub const GOLD: &str = "ground/gold";
/// Name of the vector input of the gradation; its elements are called `ground/gradation-7`.
pub const GRADATION: &str = "ground/gradation";

/// What is kept with the money but shows in the weight of a clean-up: how a box fills, what the final clean-up loses.
const CLEAN_UP: &str = "money.clean_up";

/// Numbers at which a spread is read for its fingerprint.
const FINGERPRINT_AT: [f64; 9] = [0.001, 0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.98, 0.999];

/// One constant.
#[derive(Debug, Clone)]
pub struct Constant {
    /// Full name, e.g. `sluice/contact_efficiency`.
    pub name: String,
    /// Meaning in plain words.
    pub meaning: String,
    /// SI unit symbol; `-` for none.
    pub unit: String,
    /// By which a spread that was changed since is told from the one that was tuned.
    pub fingerprint: u64,
    values: Values,
}

/// What a constant is at a number.
#[derive(Debug, Clone)]
enum Values {
    Scalar(Spread),
    /// Grade of the draws of the gold, kg per loose m3.
    Gold(Vec<f64>),
    /// Mass of a class of the gradation, relative to the estimate.
    Gradation(QuantileTable),
}

impl Constant {
    /// Its value at a number between 0 and 1, SI.
    pub fn value(&self, u: f64) -> f64 {
        match &self.values {
            Values::Scalar(spread) => spread.quantile(u),
            Values::Gold(totals) => {
                totals.get(((u * totals.len() as f64) as usize).min(totals.len() - 1)).copied().unwrap_or(f64::NAN)
            }
            Values::Gradation(table) => table.quantile(u),
        }
    }

    /// One run in ten falls below, the middle, one run in ten is above: before anything is seen.
    pub fn before(&self) -> [f64; 3] {
        [0.1, 0.5, 0.9].map(|u| self.value(u))
    }
}

/// The constants of a plant, in the order of its inputs.
#[derive(Debug, Clone, Default)]
pub struct Constants {
    list: Vec<Constant>,
}

impl Constants {
    /// Those of a plant.
    pub fn of(plant: &Plant) -> Constants {
        Constants::among(&plant.inputs, &plant.ground)
    }

    /// Those among inputs and in a ground.
    pub fn among(inputs: &InputList, ground: &Ground) -> Constants {
        let is_price = |name: &str| name.starts_with("money") && !name.starts_with(CLEAN_UP);
        let tuned = |i: &&crate::draw::UncertainInput| {
            i.nature == Nature::Ignorance && !is_price(&i.name) && !i.spread.is_fixed()
        };
        let mut list: Vec<Constant> = inputs.all().iter().filter(tuned).map(scalar).collect();
        if let GoldKnown::Sampled(posterior) = &ground.gold {
            list.push(gold(posterior));
        }
        list.extend(gradation(ground));
        Constants { list }
    }

    /// All of them, in the order of the columns.
    pub fn all(&self) -> &[Constant] {
        &self.list
    }

    /// How many.
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Column of a constant.
    pub fn column(&self, name: &str) -> Option<usize> {
        self.list.iter().position(|c| c.name == name)
    }

    /// Where the constants stand in a plant: this one, or one that differs from it by some settings. What such a plant does
    /// not have is left out.
    pub fn places(&self, plant: &Plant) -> Places {
        let names: Vec<&str> = self.list.iter().map(|c| c.name.as_str()).collect();
        places_of(&names, &plant.inputs)
    }
}

/// Columns of named constants among the inputs of a plant; what it does not have is left out.
pub fn places_of(names: &[&str], inputs: &InputList) -> Places {
    let mut places = Places::default();
    for (column, name) in names.iter().enumerate() {
        let element = name.strip_prefix(GRADATION).and_then(|n| n.strip_prefix('-')).and_then(|n| n.parse().ok());
        if *name == GOLD {
            places.put_element(Address::of(GOLD), 0, column);
        } else if let Some(element) = element {
            places.put_element(Address::of(GRADATION), element, column);
        } else if let Some(index) = inputs.all().iter().position(|i| i.name == *name) {
            places.put_scalar(index, column);
        }
    }
    places
}

fn scalar(input: &crate::draw::UncertainInput) -> Constant {
    Constant {
        name: input.name.clone(),
        meaning: input.meaning.clone(),
        unit: input.unit.to_string(),
        fingerprint: fingerprint(FINGERPRINT_AT.iter().map(|u| input.spread.quantile(*u))),
        values: Values::Scalar(input.spread.clone()),
    }
}

fn gold(posterior: &GoldPosterior) -> Constant {
    Constant {
        name: GOLD.into(),
        meaning: "gold in the ground, by size, as the samples tell".into(),
        unit: "kg/m3".into(),
        fingerprint: fingerprint(posterior.rows().iter().flatten().copied()),
        values: Values::Gold(posterior.totals().to_vec()),
    }
}

/// The elements of the gradation that a run draws.
fn gradation(ground: &Ground) -> Vec<Constant> {
    let known = &ground.gradation;
    let classes = known.spread.iter().enumerate().filter_map(|(c, table)| table.as_ref().map(|t| (c, t)));
    let finer = known.finer.as_ref().map(|t| (SOLID_CLASSES, t));
    classes
        .chain(finer)
        .map(|(element, table)| Constant {
            name: format!("{GRADATION}-{element}"),
            meaning: if element == SOLID_CLASSES {
                "share of all gravel finer than the stones that were counted, over the best estimate".into()
            } else {
                format!("share of the gravel {}, over the best estimate", class_words(element))
            },
            unit: "-".into(),
            fingerprint: fingerprint(
                FINGERPRINT_AT.iter().map(|u| table.quantile(*u)).chain(known.share.iter().copied()),
            ),
            values: Values::Gradation(table.clone()),
        })
        .collect()
}

fn class_words(class: usize) -> String {
    let c = solid_class(class);
    let mm = |m: f64| format!("{:.3}", m * 1000.0).trim_end_matches('0').trim_end_matches('.').to_string();
    match (c.from_m > 0.0, c.to_m.is_finite()) {
        (true, true) => format!("of {} to {} mm", mm(c.from_m), mm(c.to_m)),
        (false, _) => format!("finer than {} mm", mm(c.to_m)),
        (true, false) => format!("coarser than {} mm", mm(c.from_m)),
    }
}

/// FNV-1a over the bits of numbers, word by word.
pub(crate) fn fingerprint(numbers: impl IntoIterator<Item = f64>) -> u64 {
    numbers.into_iter().fold(0xcbf2_9ce4_8422_2325, |hash: u64, x| {
        let hash = (hash ^ x.to_bits()).wrapping_mul(0x0000_0100_0000_01b3);
        hash ^ (hash >> 29)
    })
}
