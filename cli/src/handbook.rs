//! The command `handbook`: every formula as a calculator with units, source and valid range.

use serde_json::{Map, Value, json};
use sim_core::formula::{Formula, Symbol};
use sim_core::problem::did_you_mean;
use sim_core::quantity::{self, Dimension};
use sim_core::registry::Registry;

use crate::exit::Exit;
use crate::output::print;

/// Lists the formulas, or evaluates one.
pub(crate) fn handbook(registry: &Registry, name: &str, inputs: &[String], as_json: bool) -> Exit {
    let formulas = washgraph_model::handbook::formulas(registry);
    if name == "list" {
        print(&if as_json { list_json(&formulas) } else { list_text(&formulas) });
        return Exit::Done;
    }
    let Some(formula) = formulas.iter().find(|f| f.name == name) else {
        let help = match did_you_mean(name, formulas.iter().map(|f| f.name)) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "`handbook list` names them all".into(),
        };
        anstream::eprintln!("error: there is no formula `{name}`; {help}");
        return Exit::BadInput;
    };
    if inputs.is_empty() && !as_json && formula.inputs.iter().any(|s| s.default.is_none()) {
        print(&describe(formula));
        return Exit::Done;
    }
    match read_inputs(formula, inputs) {
        Err(problems) => {
            for problem in problems {
                anstream::eprintln!("error: {problem}");
            }
            Exit::BadInput
        }
        Ok(values) => {
            let outputs = (formula.evaluate)(&values);
            for warning in warnings(formula, &values) {
                anstream::eprintln!("warning: {warning}");
            }
            print(&if as_json {
                result_json(formula, &values, &outputs)
            } else {
                result_text(formula, &values, &outputs)
            });
            if outputs.first().is_none_or(|o| o.is_nan()) {
                anstream::eprintln!("error: {} has no answer for these inputs. {}", formula.name, formula.limits);
                return Exit::Impossible;
            }
            Exit::Done
        }
    }
}

/// SI value in the shown unit.
fn shown(si: f64, symbol: &Symbol) -> f64 {
    if symbol.unit == "-" { si } else { quantity::convert_to(si, symbol.dimension, symbol.unit).unwrap_or(si) }
}

/// The shown unit, or the SI unit where the shown one is not known to the converter.
fn unit_of(symbol: &Symbol) -> &'static str {
    if symbol.unit == "-" {
        return "-";
    }
    match quantity::convert_to(1.0, symbol.dimension, symbol.unit) {
        Some(_) => symbol.unit,
        None => symbol.dimension.si_symbol(),
    }
}

fn read_inputs(formula: &Formula, typed: &[String]) -> Result<Vec<f64>, Vec<String>> {
    let mut values: Vec<Option<f64>> = vec![None; formula.inputs.len()];
    let mut problems = Vec::new();
    for pair in typed {
        let Some((key, text)) = pair.split_once('=') else {
            problems.push(format!("`{pair}` is not name=value"));
            continue;
        };
        let Some(i) = formula.inputs.iter().position(|s| s.name == key.trim()) else {
            let names: Vec<&str> = formula.inputs.iter().map(|s| s.name).collect();
            let help = match did_you_mean(key, names.iter().copied()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("inputs: {}", names.join(", ")),
            };
            problems.push(format!("`{key}` is not an input of {}; {help}", formula.name));
            continue;
        };
        let symbol = &formula.inputs[i];
        match read_value(text.trim(), symbol) {
            Ok(value) if values[i].is_none() => values[i] = Some(value),
            Ok(_) => problems.push(format!("`{key}` is given twice")),
            Err(problem) => problems.push(format!("{key}: {problem}")),
        }
    }
    for (symbol, value) in formula.inputs.iter().zip(&mut values) {
        if value.is_none() {
            match symbol.default {
                Some(default) => *value = Some(default),
                None => problems.push(format!(
                    "`{}` is missing: {}, e.g. {}={}",
                    symbol.name,
                    symbol.meaning,
                    symbol.name,
                    example(symbol)
                )),
            }
        }
    }
    if problems.is_empty() { Ok(values.into_iter().flatten().collect()) } else { Err(problems) }
}

/// A value with its unit; a bare number is read in the shown unit of the input.
fn read_value(text: &str, symbol: &Symbol) -> Result<f64, String> {
    if let Ok(number) = text.parse::<f64>() {
        if !number.is_finite() {
            return Err(format!("`{text}` is not an ordinary number"));
        }
        if unit_of(symbol) == "-"
            || matches!(symbol.dimension, Dimension::Number | Dimension::Fraction) && symbol.unit != "%"
        {
            return Ok(number);
        }
        return quantity::convert_from(number, symbol.dimension, unit_of(symbol))
            .ok_or_else(|| format!("give `{}` with its unit", symbol.name));
    }
    quantity::parse(text, symbol.dimension).map(|p| p.si).map_err(|e| format!("{}; {}", e.message, e.help))
}

fn example(symbol: &Symbol) -> String {
    format!("\"{}\"", symbol.dimension.example())
}

fn warnings(formula: &Formula, values: &[f64]) -> Vec<String> {
    let mut list = Vec::new();
    for (symbol, value) in formula.inputs.iter().zip(values) {
        let (low, high) = symbol.range;
        if *value < low || *value > high {
            list.push(format!(
                "{} = {} {} is outside the valid range {} to {}",
                symbol.name,
                shown(*value, symbol),
                unit_of(symbol),
                shown(low, symbol),
                shown(high, symbol)
            ));
        }
    }
    list
}

fn result_text(formula: &Formula, values: &[f64], outputs: &[f64]) -> String {
    let mut t = format!("{}: {}\n  {}\n", formula.name, formula.meaning, formula.equation);
    for (symbol, value) in formula.inputs.iter().zip(values) {
        t += &format!("  {:<26} = {} {}\n", symbol.name, shown(*value, symbol), unit_of(symbol));
    }
    for (symbol, value) in formula.outputs.iter().zip(outputs) {
        t += &format!("  {:<26} = {} {}   ({})\n", symbol.name, shown(*value, symbol), unit_of(symbol), symbol.meaning);
    }
    t += &format!("  source: {} ({})\n", formula.source, formula.status.word());
    if !formula.limits.is_empty() {
        t += &format!("  {}\n", formula.limits);
    }
    t
}

fn result_json(formula: &Formula, values: &[f64], outputs: &[f64]) -> String {
    let inputs: Map<String, Value> = formula
        .inputs
        .iter()
        .zip(values)
        .map(|(s, v)| (s.name.to_string(), json!({ "value": shown(*v, s), "unit": unit_of(s) })))
        .collect();
    let mut document = Map::new();
    document.insert("name".into(), json!(formula.name));
    if let (Some(symbol), Some(value)) = (formula.outputs.first(), outputs.first()) {
        document.insert("value".into(), json!(shown(*value, symbol)));
        document.insert("unit".into(), json!(unit_of(symbol)));
    }
    if formula.outputs.len() > 1 {
        let all: Map<String, Value> = formula
            .outputs
            .iter()
            .zip(outputs)
            .map(|(s, v)| (s.name.to_string(), json!({ "value": shown(*v, s), "unit": unit_of(s) })))
            .collect();
        document.insert("values".into(), Value::Object(all));
    }
    document.insert("inputs".into(), Value::Object(inputs));
    document.insert("source".into(), json!(formula.source));
    document.insert("status".into(), json!(formula.status.word()));
    document.insert("warnings".into(), json!(warnings(formula, values)));
    serde_json::to_string_pretty(&Value::Object(document)).unwrap_or_default()
}

fn describe(formula: &Formula) -> String {
    let mut t = format!("{}: {}\n  {}\n  inputs:\n", formula.name, formula.meaning, formula.equation);
    for s in formula.inputs {
        let default = match s.default {
            Some(d) => format!(", usual {} {}", shown(d, s), unit_of(s)),
            None => String::new(),
        };
        t += &format!(
            "    {:<24} {} [{}], valid {} to {}{default}\n",
            s.name,
            s.meaning,
            unit_of(s),
            shown(s.range.0, s),
            shown(s.range.1, s)
        );
    }
    t += "  outputs:\n";
    for s in formula.outputs {
        t += &format!("    {:<24} {} [{}]\n", s.name, s.meaning, unit_of(s));
    }
    t += &format!("  source: {} ({})\n", formula.source, formula.status.word());
    if !formula.limits.is_empty() {
        t += &format!("  {}\n", formula.limits);
    }
    t
}

fn list_text(formulas: &[&Formula]) -> String {
    let mut t = String::new();
    for f in formulas {
        let inputs = f.inputs.iter().map(|s| format!("{} [{}]", s.name, unit_of(s))).collect::<Vec<_>>().join(", ");
        t += &format!(
            "{}\n    {}\n    {}\n    inputs: {inputs}\n    source: {} ({})\n",
            f.name,
            f.meaning,
            f.equation,
            f.source,
            f.status.word()
        );
    }
    t += &format!("{} formulas. `handbook NAME input=value ...` evaluates one.\n", formulas.len());
    t
}

fn list_json(formulas: &[&Formula]) -> String {
    let symbol = |s: &Symbol| {
        json!({
            "name": s.name, "meaning": s.meaning, "dimension": s.dimension.name(), "unit": unit_of(s),
            "range": [finite(shown(s.range.0, s)), finite(shown(s.range.1, s))], "default": s.default.map(|d| shown(d, s))
        })
    };
    let list: Vec<_> = formulas
        .iter()
        .map(|f| {
            json!({
                "name": f.name, "meaning": f.meaning, "equation": f.equation,
                "inputs": f.inputs.iter().map(symbol).collect::<Vec<_>>(),
                "outputs": f.outputs.iter().map(symbol).collect::<Vec<_>>(),
                "source": f.source, "status": f.status.word(), "limits": f.limits
            })
        })
        .collect();
    serde_json::to_string_pretty(&list).unwrap_or_default()
}

/// JSON has no infinity: `null` stands for no limit.
fn finite(x: f64) -> Option<f64> {
    x.is_finite().then_some(x)
}
