//! The JSON schema of result.json.

use serde_json::json;
use washgraph_model::result::{RunResult, SCHEMA_VERSION};

/// Names a schema of ours, so that others can refer to it. It is a name and leads to no place.
pub(crate) fn id(of: &str) -> String {
    format!("urn:washgraph:schema:{of}")
}

/// The schema of result.json, pretty-printed with a line end.
pub fn result_schema() -> String {
    let mut schema = schemars::schema_for!(RunResult);
    schema.insert("$id".into(), json!(id(&format!("result:{SCHEMA_VERSION}"))));
    serde_json::to_string_pretty(&schema).unwrap_or_default() + "\n"
}
