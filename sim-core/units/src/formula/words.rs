//! Refusals and remarks of a formula in words.

use super::{Answer, Formula, Outside, Symbol, Trouble, Typed};
use crate::quantity::Dimension;

/// Six figures are enough for a sentence.
fn rounded(x: f64) -> f64 {
    format!("{x:.5e}").parse().unwrap_or(x)
}

fn with_unit(x: f64, unit: &str) -> String {
    let number = if x != 0.0 && !(1e-4..1e9).contains(&x.abs()) { format!("{x:e}") } else { format!("{x}") };
    if unit == "-" { number } else { format!("{number} {unit}") }
}

impl Symbol {
    /// A range, SI, in the shown unit of the symbol: `0.1 to 3 mm`, `0 or more`. With `-` as the unit the numbers alone.
    pub fn range_in_words(&self, (low, high): (f64, f64), unit: &str) -> String {
        let one = |x: f64| with_unit(rounded(self.shown(x)), unit);
        match (low.is_finite(), high.is_finite()) {
            (true, true) => format!("{} to {}", one(low), one(high)),
            (true, false) => format!("{} or more", one(low)),
            (false, true) => format!("{} or less", one(high)),
            (false, false) => "any".to_owned(),
        }
    }
}

impl Formula {
    /// The remarks of an answer, one sentence each.
    pub fn remarks(&self, answer: &Answer, typed: &Typed) -> Vec<String> {
        let mut list: Vec<String> = answer
            .outside
            .iter()
            .map(|o| {
                let unit = typed.unit_of(o.symbol);
                format!(
                    "{} = {} is outside the valid range, {}",
                    o.symbol.name,
                    with_unit(rounded(o.symbol.shown(o.value)), &unit),
                    o.symbol.range_in_words(o.symbol.range, &unit)
                )
            })
            .collect();
        list.extend(answer.strained.clone());
        list
    }

    /// Why there is no answer, one sentence each.
    pub fn refusals(&self, trouble: &Trouble, typed: &Typed) -> Vec<String> {
        match trouble {
            Trouble::Count { wanted, given } => vec![format!("{} takes {wanted} inputs, not {given}", self.name)],
            Trouble::Beyond(list) => list.iter().map(|o| beyond(o, typed)).collect(),
            Trouble::Together(words) => vec![format!("{} has no answer for these inputs: {words}", self.name)],
            Trouble::None => vec![self.ended("has no answer for these inputs")],
            Trouble::NotFinite(output) => {
                vec![
                    self.ended(&format!(
                        "has no answer for these inputs: `{output}` would be endless or without a value"
                    )),
                ]
            }
            Trouble::Impossible(output, value) => {
                let symbol = self.outputs.iter().find(|s| s.name == *output);
                let would_be = symbol.map_or_else(String::new, |s| {
                    format!(" of {}", with_unit(rounded(s.shown(*value)), &typed.unit_of(s)))
                });
                vec![self.ended(&format!("has no answer for these inputs: `{output}`{would_be} cannot be"))]
            }
        }
    }

    fn ended(&self, words: &str) -> String {
        match self.limits {
            "" => format!("{} {words}", self.name),
            limits => format!("{} {words}. {limits}", self.name),
        }
    }
}

fn beyond(o: &Outside, typed: &Typed) -> String {
    let (symbol, unit) = (o.symbol, typed.unit_of(o.symbol));
    let mut text = format!(
        "{} = {} cannot be: possible is {}",
        symbol.name,
        with_unit(rounded(symbol.shown(o.value)), &unit),
        symbol.range_in_words(symbol.possible, &unit)
    );
    // A share typed as 65 for 65 %, a fineness typed as 850 for 850 per mille.
    if symbol.dimension == Dimension::Fraction && symbol.possible.1 <= 1.0 {
        let bare = if symbol.unit == "%" { 100.0 * o.value } else { o.value };
        if (1.0..=100.0).contains(&bare) && symbol.unit != "%" {
            text += &format!("; for a share in percent write `{} %`", rounded(bare));
        } else if (100.0..=1000.0).contains(&bare) {
            text += &format!("; for parts of a thousand write `{} per mille`", rounded(bare));
        }
    }
    text
}
