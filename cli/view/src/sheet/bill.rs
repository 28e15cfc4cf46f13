//! Quantities, and what they cost at the owner's prices. A price that he did not give stays blank and is named.

use serde::Serialize;
use sim_core::constants::S_PER_H;
use sim_core::quantity::{Dimension, UnitChoice, convert_to};
use sim_core::shop::{Amount, Piece, Work};

use crate::sheet::gather::Owned;
use crate::sheet::prices::{Measured, Prices};
use crate::sheet::words;

/// A line of the bill.
#[derive(Debug, Serialize)]
pub struct Line {
    /// Number of the part.
    pub part: usize,
    /// Which way of coming by the part this line belongs to.
    pub way: String,
    /// Lines of the first way count in the sum.
    pub counted: bool,
    /// What it is.
    pub item: String,
    /// Its size, in words.
    pub size: String,
    /// What it is for.
    pub used_for: String,
    /// How often, for work.
    pub count: Option<u64>,
    /// How often an hour, for work.
    pub pace_per_h: Option<f64>,
    /// How much, as printed: in `unit`, rounded as shown.
    pub quantity: f64,
    /// Unit of the quantity.
    pub unit: &'static str,
    /// Weight, kg; `None` when not known.
    pub weight_kg: Option<f64>,
    /// The owner's price of one unit.
    pub price: Option<f64>,
    /// Quantity times price.
    pub cost: Option<f64>,
    /// What else is to be known.
    pub note: String,
}

/// Ways to come by a part set against each other.
#[derive(Debug, Serialize)]
pub struct Choice {
    /// Number of the part.
    pub part: usize,
    /// Title of the part.
    pub title: String,
    /// Name of each way, and its cost if all of it is priced.
    pub ways: Vec<(String, Option<f64>)>,
    /// What is left to choose.
    pub words: String,
}

/// The bill.
#[derive(Debug, Serialize)]
pub struct Bill {
    /// The lines.
    pub lines: Vec<Line>,
    /// Sum of the counted lines that are priced.
    pub sum: f64,
    /// Counted lines without a price.
    pub unpriced: Vec<String>,
    /// Weight of the counted pieces that say theirs, kg.
    pub weight_kg: f64,
    /// Weight of all lines, in words.
    pub weight: String,
    /// What is left to choose.
    pub choices: Vec<Choice>,
    /// Prices that no line asked for.
    pub unused_prices: Vec<String>,
}

impl Bill {
    /// The bill of all parts, with the owner's prices.
    pub fn new(owned: &[Owned], prices: &Prices, units: UnitChoice) -> Bill {
        let mut lines = Vec::new();
        for (i, o) in owned.iter().enumerate() {
            for (w, way) in o.part.ways.iter().enumerate() {
                let place = Place { part: i + 1, way: &way.name, counted: w == 0 };
                lines.extend(way.pieces.iter().map(|p| piece(p, &place, prices, units)));
                lines.extend(way.work.iter().map(|x| work(x, &place, prices)));
            }
        }
        let counted = || lines.iter().filter(|l| l.counted);
        let mut unpriced: Vec<String> = Vec::new();
        for line in counted().filter(|l| l.cost.is_none()) {
            let name = line.name();
            if !unpriced.contains(&name) {
                unpriced.push(name);
            }
        }
        let weight_kg = counted().filter_map(|l| l.weight_kg).sum();
        Bill {
            sum: counted().filter_map(|l| l.cost).sum(),
            unpriced,
            weight_kg,
            weight: words::joined(weight_kg, Dimension::Mass, units),
            choices: choices(owned, &lines),
            unused_prices: prices.unused(lines.iter().map(|l| (l.item.as_str(), l.size.as_str()))),
            lines,
        }
    }

    /// Whether any counted line has a price.
    pub fn any_price(&self) -> bool {
        self.lines.iter().any(|l| l.cost.is_some())
    }
}

impl Line {
    /// Item with its size.
    pub fn name(&self) -> String {
        if self.size.is_empty() { self.item.clone() } else { format!("{}, {}", self.item, self.size) }
    }

    /// Quantity with its unit, as printed.
    pub fn quantity_words(&self) -> String {
        let number = words::trimmed(format!("{:.1}", self.quantity));
        if self.unit == EACH { number } else { format!("{number} {}", self.unit) }
    }
}

/// Unit of things that are counted.
pub const EACH: &str = "each";

struct Place<'a> {
    part: usize,
    way: &'a str,
    counted: bool,
}

/// The unit in which an amount is bought.
fn bought(amount: Amount, units: UnitChoice) -> (f64, Dimension, &'static str) {
    let metric = units == UnitChoice::Metric;
    match amount {
        Amount::Count(n) => (n, Dimension::Number, EACH),
        Amount::Length(m) => (m, Dimension::Length, if metric { "m" } else { "ft" }),
        Amount::Area(m2) => (m2, Dimension::Area, if metric { "m2" } else { "ft2" }),
        Amount::Mass(kg) => (kg, Dimension::Mass, if metric { "kg" } else { "lb" }),
    }
}

fn piece(p: &Piece, place: &Place<'_>, prices: &Prices, units: UnitChoice) -> Line {
    let (si, dimension, unit) = bought(p.amount, units);
    let exact = if unit == EACH { si } else { convert_to(si, dimension, unit).unwrap_or(f64::NAN) };
    let size = words::phrase(&p.size, units);
    let measured = Measured { dimension, unit };
    priced(
        Line {
            part: place.part,
            way: place.way.to_string(),
            counted: place.counted,
            item: p.item.clone(),
            size,
            used_for: p.used_for.clone(),
            count: None,
            pace_per_h: None,
            quantity: tenth(exact),
            unit,
            weight_kg: p.mass_kg,
            price: None,
            cost: None,
            note: String::new(),
        },
        measured,
        prices,
    )
}

fn work(w: &Work, place: &Place<'_>, prices: &Prices) -> Line {
    let own = prices.pace_per_h(&w.item);
    let [slow, usual, fast] = w.pace.per_s.map(|p| p * S_PER_H);
    let pace = own.unwrap_or(usual);
    let note = match own {
        Some(_) => "at your own pace".to_string(),
        None => format!(
            "{:.0} to {:.0} h at {fast:.0} to {slow:.0} an hour ({}); time your own",
            w.count / fast,
            w.count / slow,
            w.pace.sure.words()
        ),
    };
    priced(
        Line {
            part: place.part,
            way: place.way.to_string(),
            counted: place.counted,
            item: w.item.clone(),
            size: String::new(),
            used_for: w.used_for.clone(),
            count: Some(w.count.round() as u64),
            pace_per_h: Some(pace),
            quantity: tenth(w.count / pace),
            unit: "h",
            weight_kg: None,
            price: None,
            cost: None,
            note,
        },
        Measured { dimension: Dimension::Time, unit: "h" },
        prices,
    )
}

/// The cost follows from the printed quantity, so that it can be checked by hand.
fn priced(mut line: Line, measured: Measured, prices: &Prices) -> Line {
    line.price = prices.price(&line.item, &line.size, &measured);
    line.cost = line.price.map(|p| (p * line.quantity * 100.0).round() / 100.0);
    line
}

fn tenth(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

fn choices(owned: &[Owned], lines: &[Line]) -> Vec<Choice> {
    let mut list = Vec::new();
    for (i, o) in owned.iter().enumerate().filter(|(_, o)| o.part.ways.len() > 1) {
        let ways: Vec<(String, Option<f64>)> = o
            .part
            .ways
            .iter()
            .map(|way| {
                let of_way = || lines.iter().filter(|l| l.part == i + 1 && l.way == way.name);
                let cost = of_way().map(|l| l.cost).sum::<Option<f64>>();
                (way.name.clone(), cost)
            })
            .collect();
        let said = |(name, cost): &(String, Option<f64>)| match cost {
            Some(cost) => format!("{name}: {}", words::money(*cost)),
            None => format!("{name}: not all priced"),
        };
        let mut text = ways.iter().map(said).collect::<Vec<_>>().join("; ");
        if let [(first, Some(a)), (second, Some(b))] = ways.as_slice() {
            let (cheaper, less) = if a <= b { (first, b - a) } else { (second, a - b) };
            text += &format!("; `{cheaper}` costs {} less", words::money(less));
        }
        list.push(Choice { part: i + 1, title: o.part.title.clone(), ways, words: text });
    }
    list
}
