//! The command `handbook`: every formula as a calculator with units, source and valid range.

use serde_json::{Map, Value, json};
use sim_core::formula::{Answer, Formula, Symbol, Typed};
use sim_core::problem::did_you_mean;
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
    let typed = match formula.read(inputs) {
        Ok(typed) => typed,
        Err(problems) => {
            problems.iter().for_each(|problem| anstream::eprintln!("error: {problem}"));
            return Exit::BadInput;
        }
    };
    let answer = match formula.answer(&typed.values) {
        Ok(answer) => answer,
        Err(trouble) => {
            let refusals = formula.refusals(&trouble, &typed);
            if as_json {
                print(&refused_json(formula, &typed, &refusals));
            }
            refusals.iter().for_each(|refusal| anstream::eprintln!("error: {refusal}"));
            return Exit::Impossible;
        }
    };
    let remarks = formula.remarks(&answer, &typed);
    remarks.iter().for_each(|remark| anstream::eprintln!("warning: {remark}"));
    print(&if as_json {
        result_json(formula, &typed, &answer, &remarks)
    } else {
        result_text(formula, &typed, &answer)
    });
    Exit::Done
}

/// Value and unit; `null` where an open output has no finite value.
fn pair(value: f64, unit: &str) -> Map<String, Value> {
    [("value".to_owned(), json!(finite(value))), ("unit".to_owned(), json!(unit))].into_iter().collect()
}

fn output_json(si: f64, symbol: &Symbol, typed: &Typed) -> Map<String, Value> {
    let mut map = pair(symbol.shown(si), &typed.unit_of(symbol));
    if let Some((value, unit)) = typed.in_own_unit(si, symbol) {
        map.insert("in_your_unit".into(), Value::Object(pair(value, &unit)));
    }
    map
}

fn inputs_json(formula: &Formula, typed: &Typed) -> Value {
    let one = |(s, v): (&Symbol, &f64)| (s.name.to_owned(), Value::Object(pair(s.shown(*v), &typed.unit_of(s))));
    Value::Object(formula.inputs.iter().zip(&typed.values).map(one).collect())
}

fn result_text(formula: &Formula, typed: &Typed, answer: &Answer) -> String {
    let mut t = format!("{}: {}\n  {}\n", formula.name, formula.meaning, formula.equation);
    for (symbol, value) in formula.inputs.iter().zip(&typed.values) {
        t += &format!("  {:<26} = {} {}\n", symbol.name, symbol.shown(*value), typed.unit_of(symbol));
    }
    for (symbol, value) in formula.outputs.iter().zip(&answer.outputs) {
        let open = formula.open.iter().find(|(name, _)| *name == symbol.name && !value.is_finite());
        t += &match (open, typed.in_own_unit(*value, symbol)) {
            (Some((_, words)), _) => format!("  {:<26} = {words}   ({})\n", symbol.name, symbol.meaning),
            (None, own) => format!(
                "  {:<26} = {} {}{}   ({})\n",
                symbol.name,
                symbol.shown(*value),
                typed.unit_of(symbol),
                own.map_or(String::new(), |(x, unit)| format!(" = {} {unit}", six_figures(x))),
                symbol.meaning
            ),
        };
    }
    t += &format!("  source: {} ({})\n", formula.source, formula.status.word());
    if !formula.limits.is_empty() {
        t += &format!("  {}\n", formula.limits);
    }
    t
}

fn result_json(formula: &Formula, typed: &Typed, answer: &Answer, remarks: &[String]) -> String {
    let mut document = Map::new();
    document.insert("name".into(), json!(formula.name));
    if let (Some(symbol), Some(value)) = (formula.outputs.first(), answer.outputs.first()) {
        document.extend(output_json(*value, symbol, typed));
    }
    if formula.outputs.len() > 1 {
        let one = |(s, v): (&Symbol, &f64)| (s.name.to_owned(), Value::Object(output_json(*v, s, typed)));
        document.insert("values".into(), Value::Object(formula.outputs.iter().zip(&answer.outputs).map(one).collect()));
    }
    document.insert("inputs".into(), inputs_json(formula, typed));
    document.insert("source".into(), json!(formula.source));
    document.insert("status".into(), json!(formula.status.word()));
    document.insert("warnings".into(), json!(remarks));
    serde_json::to_string_pretty(&Value::Object(document)).unwrap_or_default()
}

fn refused_json(formula: &Formula, typed: &Typed, refusals: &[String]) -> String {
    let document = json!({
        "name": formula.name, "value": null, "inputs": inputs_json(formula, typed), "errors": refusals,
    });
    serde_json::to_string_pretty(&document).unwrap_or_default()
}

fn describe(formula: &Formula) -> String {
    let mut t = format!("{}: {}\n  {}\n  inputs:\n", formula.name, formula.meaning, formula.equation);
    for s in formula.inputs {
        let default = match s.default {
            Some(d) => format!(", usual {} {}", s.shown(d), s.shown_unit()),
            None => String::new(),
        };
        t += &format!(
            "    {:<24} {} [{}], valid {}, possible {}{default}\n",
            s.name,
            s.meaning,
            s.shown_unit(),
            s.range_in_words(s.range, "-"),
            s.range_in_words(s.possible, "-")
        );
    }
    t += "  outputs:\n";
    for s in formula.outputs {
        t += &format!("    {:<24} {} [{}]\n", s.name, s.meaning, s.shown_unit());
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
        let inputs = f.inputs.iter().map(|s| format!("{} [{}]", s.name, s.shown_unit())).collect::<Vec<_>>().join(", ");
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
            "name": s.name, "meaning": s.meaning, "dimension": s.dimension.name(), "unit": s.shown_unit(),
            "range": [finite(s.shown(s.range.0)), finite(s.shown(s.range.1))],
            "possible": [finite(s.shown(s.possible.0)), finite(s.shown(s.possible.1))],
            "default": s.default.map(|d| s.shown(d))
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

/// As many figures as anybody reads.
fn six_figures(x: f64) -> f64 {
    format!("{x:.5e}").parse().unwrap_or(x)
}

/// JSON has no infinity: `null` stands for no limit.
fn finite(x: f64) -> Option<f64> {
    x.is_finite().then_some(x)
}
