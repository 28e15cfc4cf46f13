//! The JSON schema of a scenario, for editors that check and complete TOML by a schema. It is made from the declared
//! settings, so that a new stage crate is in it without any code here.
//!
//! An editor that knows it says which keys there are and what they mean. It does not replace `check`, which alone knows
//! units, ranges and how the parts hang together.

use serde_json::{Map, Value, json};
use sim_core::registry::Registry;
use sim_core::setting::{Kind, Preset, Setting};
use washgraph_model::money::settings::{HOURLY_COST, MACHINE_SETTINGS};
use washgraph_model::scenario::{SCENARIO_SETTINGS, SHARED, TABLES};

/// Draft of JSON Schema that the document follows.
const DRAFT: &str = "https://json-schema.org/draft/2020-12/schema";

/// The schema of scenarios with these kinds of stages, sections and outlets.
pub fn scenario_schema(registry: &Registry) -> Value {
    let sections: Vec<Value> =
        registry.sections().iter().map(|k| of_kind(k.name, k.purpose, k.settings, &["id"], &[])).collect();
    let stages = registry.stages().iter().map(|k| {
        let lists = if k.has_sections { vec![("section", list_of(sections.clone()))] } else { vec![] };
        of_kind(k.name, k.purpose, k.settings, &["id"], &lists)
    });
    let outlets = registry.outlets().iter().map(|k| of_kind(k.name, k.purpose, k.settings, &["id", "on", "from"], &[]));
    let mut top = table(SCENARIO_SETTINGS);
    let properties = [
        ("stage", list_of(stages.collect())),
        ("water", list_of(outlets.collect())),
        ("wires", json!({ "type": "array", "items": { "type": "string" }, "description": meaning("wires") })),
        ("ground", ground()),
        ("money", money()),
    ];
    for (name, value) in properties {
        put(&mut top, name, value);
    }
    put_in(&mut top, "$schema", json!(DRAFT));
    put_in(&mut top, "$id", json!(crate::schema::id("scenario")));
    put_in(&mut top, "title", json!("washgraph scenario"));
    put_in(&mut top, "required", json!(["title", "ground", "stage", "wires"]));
    top
}

fn ground() -> Value {
    let mut ground = of_table("ground");
    put(&mut ground, "gradation", of_table("ground.gradation"));
    put(&mut ground, "gold", of_table("ground.gold"));
    put_in(&mut ground, "required", json!(["gradation", "gold"]));
    ground
}

fn money() -> Value {
    let mut money = of_table("money");
    put(&mut money, "clean_up", of_table("money.clean_up"));
    // The bases differ in the unit of the amount alone, which a schema does not see.
    put(&mut money, "cost", list_of(vec![table(HOURLY_COST)]));
    put(&mut money, "machine", list_of(vec![table(MACHINE_SETTINGS)]));
    money
}

fn of_table(name: &str) -> Value {
    table(TABLES.iter().find(|t| t.name == name).map_or(&[], |t| t.settings))
}

/// A table of one kind: what `kind` must say, its settings, the keys shared by all such tables.
fn of_kind(kind: &str, purpose: &str, settings: &[Setting], shared: &[&'static str], lists: &[(&str, Value)]) -> Value {
    let mut schema = table(settings);
    put(&mut schema, "kind", json!({ "const": kind, "description": purpose }));
    for setting in SHARED.iter().filter(|s| shared.contains(&s.key)) {
        put(&mut schema, setting.key, of_setting(setting));
    }
    for (name, list) in lists {
        put(&mut schema, name, list.clone());
    }
    let mut required: Vec<&str> = vec!["kind"];
    required.extend(shared.iter().copied().filter(|k| *k == "on"));
    required.extend(must_be_given(settings));
    put_in(&mut schema, "required", json!(required));
    put_in(&mut schema, "title", json!(kind));
    schema
}

fn must_be_given(settings: &[Setting]) -> impl Iterator<Item = &'static str> {
    settings.iter().filter(|s| matches!(s.preset, Preset::Required)).map(|s| s.key)
}

/// A closed table of declared settings. A choice that a file may add words to takes any word once the file is named.
fn table(settings: &[Setting]) -> Value {
    let mut properties: Map<String, Value> = settings.iter().map(|s| (s.key.to_string(), of_setting(s))).collect();
    let required: Vec<&str> = must_be_given(settings).collect();
    let mut extended = Vec::new();
    for file in settings {
        let Kind::File { words_of } = file.kind else { continue };
        let choice = properties.get_mut(words_of).and_then(Value::as_object_mut);
        if let Some((choice, words)) = choice.and_then(|c| c.remove("enum").map(|words| (c, words))) {
            choice.insert("type".into(), json!("string"));
            extended.push(json!({ "properties": { words_of: { "enum": words } } }));
            extended.push(json!({ "required": [file.key] }));
        }
    }
    let mut schema =
        json!({ "type": "object", "additionalProperties": false, "properties": properties, "required": required });
    if !extended.is_empty() {
        put_in(&mut schema, "anyOf", json!(extended));
    }
    schema
}

fn list_of(kinds: Vec<Value>) -> Value {
    json!({ "type": "array", "items": { "oneOf": kinds } })
}

fn of_setting(setting: &Setting) -> Value {
    // A quantity is a text with its unit; a bare number is for those without one.
    let quantity = json!({ "type": ["string", "number"] });
    let mut schema = match setting.kind {
        Kind::Known(_) => quantity,
        Kind::Quantity(_) => json!({ "anyOf": [quantity, {
            "type": "object",
            "additionalProperties": false,
            "properties": { "low": quantity, "mid": quantity, "high": quantity },
            "required": ["low", "mid", "high"],
        }] }),
        Kind::Whole => json!({ "type": "integer" }),
        Kind::Choice(words) => json!({ "enum": words.iter().map(|w| w.0).collect::<Vec<_>>() }),
        Kind::Switch => json!({ "type": "boolean" }),
        Kind::Text | Kind::File { .. } => json!({ "type": "string" }),
        Kind::Rows(_) => json!({ "type": "array", "items": { "type": "array", "items": quantity } }),
        Kind::Words(_) => json!({ "type": ["array", "string"], "items": { "type": "string" } }),
        Kind::Nested => json!({}),
    };
    put_in(&mut schema, "description", json!(description(setting)));
    if let Some(dimension) = setting.dimension() {
        put_in(&mut schema, "examples", json!([dimension.example()]));
    }
    schema
}

fn description(setting: &Setting) -> String {
    let usual = match setting.preset {
        Preset::Text(text) if !text.is_empty() => format!("; usually {text}"),
        _ => String::new(),
    };
    let words = match setting.kind {
        Kind::Choice(words) | Kind::Words(words) => {
            format!(". {}", words.iter().map(|w| format!("{}: {}", w.0, w.1)).collect::<Vec<_>>().join("; "))
        }
        _ => String::new(),
    };
    format!("{}{usual}{words}", setting.meaning)
}

fn meaning(key: &str) -> &'static str {
    SCENARIO_SETTINGS.iter().find(|s| s.key == key).map_or("", |s| s.meaning)
}

fn put(schema: &mut Value, property: &str, value: Value) {
    if let Some(properties) = schema.get_mut("properties").and_then(Value::as_object_mut) {
        properties.insert(property.to_string(), value);
    }
}

fn put_in(schema: &mut Value, key: &str, value: Value) {
    if let Some(schema) = schema.as_object_mut() {
        schema.insert(key.to_string(), value);
    }
}
