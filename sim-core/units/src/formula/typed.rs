//! What was typed for a formula, read into SI, and the units in which its owner thinks.

use super::{Formula, Symbol};
use crate::problem::did_you_mean;
use crate::quantity::{self, Dimension, Parsed, System, UnitChoice};

/// Inputs of a formula as typed.
#[derive(Debug, Clone)]
pub struct Typed {
    /// All inputs, SI, usual values where nothing was typed; in the order of the formula.
    pub values: Vec<f64>,
    /// What was typed with a unit of its own, in the same order.
    units: Vec<Option<Parsed>>,
    /// The currency, where one was typed.
    pub currency: Option<&'static str>,
}

impl Formula {
    /// Reads `name=value` pairs. A bare number is read in the unit in which the input is shown.
    ///
    /// # Errors
    /// All that is wrong, in words: pairs that are none, unknown names, values that cannot be read, inputs that are missing, two
    /// currencies.
    pub fn read(&self, typed: &[String]) -> Result<Typed, Vec<String>> {
        let mut given: Vec<Option<Given>> = vec![None; self.inputs.len()];
        let mut problems = Vec::new();
        for pair in typed {
            match self.place_of(pair) {
                Err(problem) => problems.push(problem),
                Ok((place, symbol, text)) => match (read_value(text, symbol), given.get_mut(place)) {
                    (Ok(value), Some(free @ None)) => *free = Some(value),
                    (Ok(_), _) => problems.push(format!("`{}` is given twice", symbol.name)),
                    (Err(problem), _) => problems.push(format!("{}: {problem}", symbol.name)),
                },
            }
        }
        let currency = one_currency(self.inputs, &given).unwrap_or_else(|problem| {
            problems.push(problem);
            None
        });
        let mut read = Typed { values: Vec::new(), units: Vec::new(), currency };
        for (symbol, value) in self.inputs.iter().zip(given) {
            match (value, symbol.default) {
                (Some(value), _) => {
                    read.values.push(value.si);
                    read.units.push(value.unit);
                }
                (None, Some(default)) => {
                    read.values.push(default);
                    read.units.push(None);
                }
                // Where something was wrong with what was typed for it, that has been said.
                (None, None) if typed.iter().any(|pair| key(pair) == symbol.name) => {}
                (None, None) => problems.push(format!(
                    "`{}` is missing: {}, e.g. {}=\"{}\"",
                    symbol.name,
                    symbol.meaning,
                    symbol.name,
                    symbol.dimension.example()
                )),
            }
        }
        if problems.is_empty() { Ok(read) } else { Err(problems) }
    }

    fn place_of<'a>(&self, pair: &'a str) -> Result<(usize, &'static Symbol, &'a str), String> {
        let Some((name, text)) = pair.split_once('=') else {
            return Err(format!("`{pair}` is not name=value"));
        };
        let name = name.trim();
        let found = self.inputs.iter().enumerate().find(|(_, s)| s.name == name);
        found.map(|(place, symbol)| (place, symbol, text.trim())).ok_or_else(|| {
            let names: Vec<&str> = self.inputs.iter().map(|s| s.name).collect();
            let help = match did_you_mean(name, names.iter().copied()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("inputs: {}", names.join(", ")),
            };
            format!("`{name}` is not an input of {}; {help}", self.name)
        })
    }
}

fn key(pair: &str) -> &str {
    pair.split('=').next().unwrap_or("").trim()
}

#[derive(Debug, Clone)]
struct Given {
    si: f64,
    unit: Option<Parsed>,
}

fn read_value(text: &str, symbol: &Symbol) -> Result<Given, String> {
    let Ok(number) = text.parse::<f64>() else {
        let parsed = quantity::parse(text, symbol.dimension).map_err(|e| format!("{}; {}", e.message, e.help))?;
        if parsed.of_critical {
            return Err(format!("a share of the critical speed needs the drum; e.g. `{}`", symbol.dimension.example()));
        }
        return Ok(Given { si: parsed.si, unit: Some(parsed) });
    };
    if !number.is_finite() {
        return Err(format!("`{text}` is not an ordinary number"));
    }
    let si = match symbol.unit {
        "-" => Some(number),
        unit => quantity::convert_from(number, symbol.dimension, unit),
    };
    si.map(|si| Given { si, unit: None }).ok_or_else(|| format!("give `{}` with its unit", symbol.name))
}

/// The one currency of all amounts. A bare dollar sign goes with any dollar.
fn one_currency(inputs: &[Symbol], given: &[Option<Given>]) -> Result<Option<&'static str>, String> {
    let typed = inputs.iter().zip(given).filter_map(|(s, g)| {
        let currency = g.as_ref()?.unit.as_ref()?.currency?;
        Some((s.name, currency))
    });
    let mut one: Option<(&str, &'static str)> = None;
    for (name, currency) in typed {
        one = Some(match one {
            None => (name, currency),
            Some((_, known)) if known == currency => (name, known),
            Some((_, "$")) if currency.ends_with('D') => (name, currency),
            Some((_, known)) if currency == "$" && known.ends_with('D') => (name, known),
            Some((other, known)) => {
                return Err(format!(
                    "`{other}` is in {known} and `{name}` in {currency}: give all amounts in one currency"
                ));
            }
        });
    }
    Ok(one.map(|(_, currency)| currency))
}

impl Typed {
    /// The unit in which a symbol is shown, with the currency that was typed.
    pub fn unit_of(&self, symbol: &Symbol) -> String {
        self.named(symbol.shown_unit())
    }

    fn named(&self, unit: &str) -> String {
        match self.currency {
            Some(currency) => unit.replacen('$', currency, 1),
            None => unit.to_owned(),
        }
    }

    /// The value of an output in the owner's units, with the unit, where they differ from the unit in which it is shown: the unit
    /// that he typed for the same kind of quantity, else the usual one of his family of units.
    pub fn in_own_unit(&self, si: f64, symbol: &Symbol) -> Option<(f64, String)> {
        let typed = || self.units.iter().flatten().map(|p| p.unit);
        let same_kind = typed().filter(|u| u.dimension() == symbol.dimension).map(|u| u.symbol());
        let family = same_kind.chain(self.family().map(|choice| quantity::preferred(symbol.dimension, choice)));
        for unit in family {
            if unit == symbol.unit {
                return None;
            }
            if let Some(value) = quantity::convert_to(si, symbol.dimension, unit) {
                return Some((value, self.named(unit)));
            }
        }
        None
    }

    /// The family of units, where something that was typed belongs to one: bare numbers, percent and money do not.
    fn family(&self) -> Option<UnitChoice> {
        let of = |system: System| {
            let ratio = |d: Dimension| matches!(d, Dimension::Number | Dimension::Fraction | Dimension::Time);
            self.units.iter().flatten().any(|p| p.unit.system() == system && !ratio(p.unit.dimension()))
        };
        match (of(System::Imperial), of(System::Us), of(System::Si)) {
            (true, ..) => Some(UnitChoice::Imperial),
            (_, true, _) => Some(UnitChoice::Us),
            // Sizes in metric and nothing else.
            (.., true) => Some(UnitChoice::Metric),
            _ => None,
        }
    }
}

impl Symbol {
    /// The unit in which it is shown, or the SI unit where the shown one is not known to the converter.
    pub fn shown_unit(&self) -> &'static str {
        match self.unit {
            "-" => "-",
            unit if quantity::convert_to(1.0, self.dimension, unit).is_some() => unit,
            _ => self.dimension.si_symbol(),
        }
    }

    /// An SI value in the unit in which it is shown.
    pub fn shown(&self, si: f64) -> f64 {
        if self.unit == "-" { si } else { quantity::convert_to(si, self.dimension, self.unit).unwrap_or(si) }
    }
}
