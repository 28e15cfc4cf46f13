//! The JSON schema of result.json.

use washgraph_model::result::RunResult;

/// The schema of result.json, pretty-printed with a line end.
pub fn result_schema() -> String {
    let schema = schemars::schema_for!(RunResult);
    serde_json::to_string_pretty(&schema).unwrap_or_default() + "\n"
}
