//! The constants of a plant that are not known well, one after another, on one scale.
//!
//! Each constant stands in its spread at a number u between 0 and 1 (0.1: the value that one run in ten falls below), and at
//! a normal score z, the value that a standard normal number falls below with chance u. So all of them, whatever their
//! units and spreads, are standard normal numbers before anything is seen. Constants are the scalar inputs of nature
//! Ignorance but prices and costs, on which no observation of the plant bears (what a clean-up loses is none of them); the number that names the joint draw of the
//! gold, poorest first, with those by which the gold stands aside of it; and the elements of the gradation that rest on few
//! particles.

use sim_core::draw::{Address, InputList, Nature};
use sim_core::field::gold_posterior::GoldPosterior;
use sim_core::ground::{GoldKnown, Ground};
use sim_core::joint::{JointDraws, Places};
use sim_core::plant::Plant;
use sim_core::quantity::Dimension;
use sim_core::size::{SOLID_CLASSES, solid_class};
use sim_core::stats::quantile_table::QuantileTable;
use sim_core::stats::{Spread, normal};

/// Name of the constant that names the joint draw of the gold.
pub const GOLD: &str = "ground/gold";
/// Begin of the names of the numbers by which the gold stands aside of its joint draw (see [`sim_core::field::gold_between`]).
const ASIDE: &str = "ground/gold-";
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
    /// Kind of quantity.
    pub dimension: Dimension,
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
    /// A standard normal number that moves the gold aside of its draw.
    Aside,
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
            Values::Aside => normal::quantile(u),
            Values::Gradation(table) => table.quantile(u),
        }
    }

    /// Whether it means something only together with the draw of the gold.
    pub fn is_aside(&self) -> bool {
        matches!(self.values, Values::Aside)
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
    /// The gold of the ground, when it was sampled.
    gold: Option<GoldPosterior>,
}

impl Constants {
    /// Those of a plant.
    pub fn of(plant: &Plant) -> Constants {
        Constants::among(&plant.inputs, &plant.ground)
    }

    /// Those among inputs and in a ground.
    pub fn among(inputs: &InputList, ground: &Ground) -> Constants {
        let is_price = |name: &str| name.starts_with("money") && !name.starts_with(CLEAN_UP);
        let tuned = |i: &&sim_core::draw::UncertainInput| {
            i.nature == Nature::Ignorance && !is_price(&i.name) && !i.spread.is_fixed()
        };
        let mut list: Vec<Constant> = inputs.all().iter().filter(tuned).map(scalar).collect();
        let gold = match &ground.gold {
            GoldKnown::Sampled(posterior) => Some(posterior.as_ref().clone()),
            GoldKnown::Believed(_) => None,
        };
        list.extend(gold.iter().flat_map(gold_constants));
        list.extend(gradation(ground));
        Constants { list, gold }
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

    /// Where the grade of the gold of a row of numbers stands among the joint draws (0 to 1); `None` without samples.
    pub fn gold_number(&self, row: &[f64]) -> Option<f64> {
        let posterior = self.gold.as_ref()?;
        let at = self.column(GOLD)?;
        let aside = row.get(at + 1..at + 1 + posterior.between().directions())?;
        let grade: f64 = posterior.row_between(*row.get(at)?, aside).iter().sum();
        let totals = posterior.totals();
        let n = totals.len() as f64;
        Some((totals.partition_point(|t| *t < grade) as f64 / n).clamp(0.5 / n, 1.0 - 0.5 / n))
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
        let aside = name.strip_prefix(ASIDE).and_then(|n| n.parse().ok());
        if *name == GOLD {
            places.put_element(Address::of(GOLD), 0, column);
        } else if let Some(element) = aside {
            places.put_element(Address::of(GOLD), element, column);
        } else if let Some(element) = element {
            places.put_element(Address::of(GRADATION), element, column);
        } else if let Some(index) = inputs.all().iter().position(|i| i.name == *name) {
            places.put_scalar(index, column);
        }
    }
    places
}

fn scalar(input: &sim_core::draw::UncertainInput) -> Constant {
    Constant {
        name: input.name.clone(),
        meaning: input.meaning.clone(),
        dimension: input.dimension,
        fingerprint: fingerprint(FINGERPRINT_AT.iter().map(|u| input.spread.quantile(*u))),
        values: Values::Scalar(input.spread.clone()),
    }
}

/// The draw of the gold, then how far it stands aside of it in each direction.
fn gold_constants(posterior: &GoldPosterior) -> Vec<Constant> {
    let fingerprint = fingerprint(posterior.rows().iter().flatten().copied());
    let draw = Constant {
        name: GOLD.into(),
        meaning: "gold in the ground, by size, as the samples tell".into(),
        dimension: Dimension::Grade,
        fingerprint,
        values: Values::Gold(posterior.totals().to_vec()),
    };
    let aside = (1..=posterior.between().directions()).map(|k| Constant {
        name: format!("{ASIDE}{k}"),
        meaning: format!("gold in the ground: how far by size it stands from that draw, direction {k}"),
        dimension: Dimension::Number,
        fingerprint,
        values: Values::Aside,
    });
    std::iter::once(draw).chain(aside).collect()
}

/// Gives the columns of the gold in joint draws the middle that they have together: the middle of each for itself is the gold of
/// no draw.
pub fn set_middle_of_gold(joint: &mut JointDraws, ground: &Ground) {
    let GoldKnown::Sampled(posterior) = &ground.gold else { return };
    let known = posterior.between();
    let gold = Address::of(GOLD);
    let column = |element: usize| joint.places.elements().find(|(_, a, e)| (*a, *e) == (gold, element)).map(|x| x.0);
    let Some(columns) = (0..=known.directions()).map(column).collect::<Option<Vec<usize>>>() else { return };
    let numbers = |row: &[f64]| columns.iter().map(|c| row.get(*c).copied().unwrap_or(0.5)).collect::<Vec<f64>>();
    let rows: Vec<Vec<f64>> = (0..joint.rows()).map(|i| numbers(joint.row(i))).collect();
    let (u, aside) = known.middle_of(rows.iter().map(|r| (r[0], &r[1..])));
    for (column, number) in columns.iter().zip(std::iter::once(u).chain(aside)) {
        joint.set_middle(*column, number);
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
            dimension: Dimension::Number,
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
