//! The schema of scenarios that editors use says of the ready scenarios what `check` says of them.

#[cfg(test)]
mod scenarios {
    use std::fs;
    use std::path::{Path, PathBuf};

    use serde_json::{Value, json};

    fn repository_file(path: &str) -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
    }

    fn schema() -> Value {
        washgraph_cli::scenario_schema(&washgraph_standard_stages::registry())
    }

    fn scenario(path: &str) -> Value {
        let text = fs::read_to_string(repository_file(path)).expect("a scenario");
        toml::from_str(&text).expect("TOML")
    }

    /// What a document breaks of a schema, of the words of JSON Schema (draft 2020-12) that ours uses. A word that is not known
    /// here fails.
    fn broken(value: &Value, schema: &Value, path: &str) -> Vec<String> {
        let mut list = Vec::new();
        for (word, rule) in schema.as_object().expect("a schema is an object") {
            match word.as_str() {
                "$schema" | "$id" | "title" | "description" | "examples" | "additionalProperties" => {}
                "type" => {
                    let is = match value {
                        Value::Object(_) => "object",
                        Value::Array(_) => "array",
                        Value::String(_) => "string",
                        Value::Bool(_) => "boolean",
                        Value::Number(n) if n.is_i64() || n.is_u64() => "integer",
                        Value::Number(_) => "number",
                        Value::Null => "null",
                    };
                    let takes = |t: &Value| t == is || (t == "number" && is == "integer");
                    if !rule.as_array().map_or_else(|| takes(rule), |l| l.iter().any(takes)) {
                        list.push(format!("{path}: {is} in place of {rule}"));
                    }
                }
                "enum" => {
                    if !rule.as_array().expect("a list").contains(value) {
                        list.push(format!("{path}: {value} is none of {rule}"));
                    }
                }
                "const" => {
                    if rule != value {
                        list.push(format!("{path}: {value} is not {rule}"));
                    }
                }
                "anyOf" | "oneOf" => {
                    let all: Vec<Vec<String>> =
                        rule.as_array().expect("a list").iter().map(|s| broken(value, s, path)).collect();
                    let fit = all.iter().filter(|b| b.is_empty()).count();
                    if fit == 0 || (word == "oneOf" && fit > 1) {
                        list.push(format!(
                            "{path}: fits {fit} of {}; {:?}",
                            all.len(),
                            all.iter().min_by_key(|b| b.len())
                        ));
                    }
                }
                "items" => {
                    for (k, item) in value.as_array().into_iter().flatten().enumerate() {
                        list.extend(broken(item, rule, &format!("{path}[{k}]")));
                    }
                }
                "required" => {
                    for key in rule.as_array().expect("a list") {
                        if value.is_object() && value.get(key.as_str().expect("a key")).is_none() {
                            list.push(format!("{path}: lacks {key}"));
                        }
                    }
                }
                "properties" => {
                    for (key, item) in value.as_object().into_iter().flatten() {
                        match rule.get(key) {
                            Some(inner) => list.extend(broken(item, inner, &format!("{path}.{key}"))),
                            None if schema["additionalProperties"] == json!(false) => {
                                list.push(format!("{path}: unknown {key}"));
                            }
                            None => {}
                        }
                    }
                }
                other => panic!("the test does not know the word {other}"),
            }
        }
        list
    }

    #[test]
    fn property_ready_scenarios_fit_the_schema() {
        let schema = schema();
        for path in ["scenarios/juniper-creek.toml", "scenarios/badger-gulch.toml", "tests/broken/sound.toml"] {
            assert_eq!(broken(&scenario(path), &schema, "scenario"), Vec::<String>::new(), "{path}");
        }
    }

    #[test]
    fn property_slips_do_not_fit_the_schema() {
        let schema = schema();
        let slip = |change: &dyn Fn(&mut Value)| {
            let mut document = scenario("scenarios/juniper-creek.toml");
            change(&mut document);
            broken(&document, &schema, "scenario").join("\n")
        };
        assert!(slip(&|d| d["stage"][1]["slop"] = json!("5 deg")).contains("unknown slop"));
        assert!(slip(&|d| d["stage"][1]["kind"] = json!("drumm")).contains("stage[1]"));
        assert!(slip(&|d| d["stage"][2]["riffles"] = json!("expanded")).contains("none of"));
        let own = |d: &mut Value| {
            d["stage"][2]["riffles"] = json!("slotted-mat");
            d["stage"][2]["riffle_file"] = json!("own.toml");
        };
        assert_eq!(slip(&own), "", "a file of one's own brings words of its own");
        assert!(slip(&|d| d["money"]["days"] = json!({ "low": 80 })).contains("money.days"));
        assert!(slip(&|d| d["title"] = Value::Null).contains("title"));
    }
}
